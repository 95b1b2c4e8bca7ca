//! Why a job has no plan, and why a certificate proves nothing.

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Problem {
    /// An item is longer than every stock.
    TooLong {
        /// The first such item.
        item: usize,
        /// The longest part that could be cut.
        longest: i64,
    },
    /// The boards there are do not suffice. If `available` is not below `needed`, the parts do not divide among them.
    SupplyShort {
        /// Length of all parts, each with one kerf.
        needed: i128,
        /// Length of all usable boards less trim, each with one kerf.
        available: i128,
    },
    /// A number that means nothing: a negative kerf, a length of zero.
    Nonsense {
        /// Which number.
        what: &'static str,
        /// Its value.
        value: i64,
    },
    /// A number or a count above what the engine takes.
    TooMuch {
        /// Which number.
        what: &'static str,
        /// Its value.
        value: i64,
        /// The most that is taken.
        limit: i64,
    },
    /// The steps ran out, or the caller stopped the search, before any plan was found.
    OutOfSteps,
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Problem::TooLong { item, longest } => {
                write!(f, "item {item} is longer than every stock: the longest part that can be cut is {longest}")
            }
            Problem::SupplyShort { needed, available } if available < needed => {
                write!(f, "the stock does not suffice: parts with kerf take {needed}, the boards have {available}")
            }
            Problem::SupplyShort { needed, available } => {
                write!(f, "the parts do not divide among the boards there are: they take {needed} of {available}")
            }
            Problem::Nonsense { what, value } => write!(f, "{what} cannot be {value}"),
            Problem::TooMuch { what, value, limit } => write!(f, "{what}: {value} is more than {limit}"),
            Problem::OutOfSteps => write!(f, "the search ended before it found a plan"),
        }
    }
}

impl std::error::Error for Problem {}

/// Why a certificate proves nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refuted {
    /// The job itself is not sound.
    Job(Problem),
    /// Wrong number of prices, a price below zero, too large, or of a supply without end, or two prices for one length.
    Shape,
    /// A pattern of this stock is worth more than its cost and supply price.
    Pattern {
        /// The stock.
        stock: usize,
        /// The worth of that pattern.
        worth: i64,
    },
    /// The prices are sound but prove only `holds`.
    Bound {
        /// What they prove.
        holds: i64,
    },
    /// The check would take too long; nothing is decided.
    TooLong,
}

impl std::fmt::Display for Refuted {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Refuted::Job(problem) => write!(f, "the job is not sound: {problem}"),
            Refuted::Shape => write!(f, "the prices do not belong to this job"),
            Refuted::Pattern { stock, worth } => {
                write!(f, "stock {stock} holds parts worth {worth}, more than it costs")
            }
            Refuted::Bound { holds } => write!(f, "the prices prove only {holds}"),
            Refuted::TooLong => write!(f, "the check would take too long"),
        }
    }
}

impl std::error::Error for Refuted {}
