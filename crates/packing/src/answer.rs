//! A plan for cutting, and the proof that comes with it.

/// A plan for cutting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cutting {
    /// Which boards are cut into what; longest board first. Parts of one length from several items may stand in several lines.
    pub patterns: Vec<Pattern>,
    /// Cost of all boards.
    pub cost: i64,
    /// Boards cut.
    pub boards: u32,
    /// Whether the cost is proven least, with the evidence.
    pub status: Status,
    /// True when goals 2 to 7 are exact too.
    pub ties_exact: bool,
    /// Steps spent.
    pub steps: u64,
}

/// One way to cut one type of stock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pattern {
    /// Index into [`Job::stocks`](crate::Job::stocks).
    pub stock: usize,
    /// Index into [`Job::items`](crate::Job::items) and parts on one board, longest first.
    pub parts: Vec<(usize, u32)>,
    /// On a board with bad stretches the same parts clear stretch by clear stretch, from the squared end on; else empty.
    pub stretches: Vec<Vec<(usize, u32)>>,
    /// Boards cut so.
    pub times: u32,
    /// What each board leaves: [`slack`](crate::slack); with bad stretches the same of all clear ones together; where slanted ends share a cut, so much more.
    pub slack: i64,
    /// True if the slack keeps the wished reserve; else the pattern is tight.
    pub comfortable: bool,
}

/// How far the cost is proven.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Status {
    /// No plan is cheaper.
    Proven(Certificate),
    /// The steps ran out: no plan costs less than `lower`.
    Bound {
        /// Proven lower bound on the cost.
        lower: i64,
        /// Its evidence.
        certificate: Certificate,
    },
}

/// Prices of parts that no board's cost can be beaten by: a proof of a lower bound. See [`verify`](crate::verify) for what it claims.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Certificate {
    /// Units of price in one unit of cost.
    pub scale: i64,
    /// Price of one part of each item, at least zero; zero for an item without demand.
    pub duals: Vec<i64>,
    /// For each stock what one board more would be worth, at least zero; above zero only where the supply is short.
    pub supply_duals: Vec<i64>,
    /// Further lists of prices, each a rule that says which boards can hold all parts together; empty where the prices above prove as
    /// much alone.
    pub rules: Vec<Rule>,
    /// No plan costs less: the value of the prices, rounded up to the next sum that the costs of the stock can make; where there are
    /// rules, the least cost of boards that keep them all; where there are cases, the least of theirs.
    pub bound: i64,
    /// Where boards have bad stretches: one for each way of buying such boards, in the order in which the last such stock counts fastest
    /// (those of no cost are all bought). Empty otherwise, and the fields above say nothing where it is not.
    pub cases: Vec<Case>,
    /// Whether the bound itself reaches the cost.
    pub kind: CertificateKind,
}

/// One list of prices, as a rule for the boards that are bought: what the boards hold at most, each by itself, sums at least to the worth
/// of all parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rule {
    /// Price of one part of each item, at least zero; zero for an item without demand.
    pub duals: Vec<i64>,
    /// For each stock what the parts on one board are worth at most; zero for a stock that holds no part or is out of supply.
    pub held: Vec<i64>,
}

/// What is proven of one way of buying boards with bad stretches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Case {
    /// A certificate of the job that is left, in which the clear stretches bought are stocks of no cost behind the caller's own; `None`
    /// where a part is too long for it or all its boards are too short together.
    pub certificate: Option<Certificate>,
}

/// What closes a proof.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CertificateKind {
    /// The bound of the prices equals the cost: the prices are the whole proof. In a [`Status::Bound`]: the prices are all there is.
    Duals,
    /// The same with rules: no boards that keep them all cost less.
    Boards,
    /// The bound lies below the cost; an exhaustive search found nothing between them.
    Search,
}
