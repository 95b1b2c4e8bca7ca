//! What is asked and what is answered: wishes with ranges, runs that must close, closings, windows and collisions.
//!
//! Inputs and results only; the work is done by the modules beside this one. All lengths are whole `i64` values in
//! one unit chosen by the caller (nanometres in this house), all sums are `i128`.

use std::fmt;

/// Everything that has to come out at once.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problem {
    /// Ways of building to choose from (corner pattern, lay of a unit, spacer).
    pub choices: Vec<Choice>,
    /// Sizes to be found, each on its own grid.
    pub sizes: Vec<Size>,
    /// Gaps or joints shared by runs; each run has its own exact gap, total over places.
    pub gaps: Vec<Gap>,
    /// Rows of repeats that fill a face.
    pub runs: Vec<Run>,
    /// Hard limits, never relaxed.
    pub relations: Vec<Relation>,
}

/// A choice between named options; earlier options are preferred at ties.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// What is chosen.
    pub name: String,
    /// The options, at least one.
    pub options: Vec<String>,
    /// The option asked for, if there is only one that will do.
    pub pinned: Option<usize>,
}

/// A size on the grid `origin + k * step`.
///
/// A pin (measured, cut or fixed) is a wish with `from == to == want`; its grid has to pass through it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Size {
    /// The maker's name for it.
    pub name: String,
    /// One point of the grid.
    pub origin: i64,
    /// Distance of neighbouring grid points, at least 1.
    pub step: i64,
    /// What is wanted.
    pub wish: Wish,
}

/// A gap or joint, shared by all runs that name it; real-valued for each run (`total / places`).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gap {
    /// The maker's name for it.
    pub name: String,
    /// What is wanted of every run that has this gap.
    pub wish: Wish,
}

/// What is wanted, within which range, and how much it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wish {
    /// The wanted value.
    pub want: i64,
    /// Least value allowed.
    pub from: i64,
    /// Greatest value allowed, not below `from`.
    pub to: i64,
    /// Rank in the objective: 0 matters most.
    pub rank: u32,
    /// Price of one unit of deviation among wishes of one rank, not negative.
    pub weight: i64,
    /// How far it may go when it is dropped while a collision is explained: the range used is the hull of this and `from..to`.
    pub reach: (i64, i64),
}

/// `sum of coefficient * size + constant`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Affine {
    /// Pairs of size index and coefficient; a size may occur more than once.
    pub terms: Vec<(usize, i64)>,
    /// The constant part.
    pub constant: i64,
}

impl Affine {
    /// Value at the given sizes, or `None` if an index is out of range or the sum leaves `i128`.
    pub fn at(&self, sizes: &[i64]) -> Option<i128> {
        self.terms.iter().try_fold(i128::from(self.constant), |sum, &(size, factor)| {
            let product = i128::from(factor).checked_mul(i128::from(*sizes.get(size)?))?;
            sum.checked_add(product)
        })
    }

    /// Least and greatest value while every size stays within its range, or `None` as for [`Affine::at`].
    ///
    /// Exact if every size occurs once; otherwise an outer bound.
    pub fn interval(&self, ranges: &[(i64, i64)]) -> Option<(i128, i128)> {
        let start = i128::from(self.constant);
        self.terms.iter().try_fold((start, start), |(low, high), &(size, factor)| {
            let &(from, to) = ranges.get(size)?;
            let a = i128::from(factor).checked_mul(i128::from(from))?;
            let b = i128::from(factor).checked_mul(i128::from(to))?;
            Some((low.checked_add(a.min(b))?, high.checked_add(a.max(b))?))
        })
    }
}

/// A row of `n` equal repeats and gaps that fills a face exactly.
///
/// With `P = n * gaps_per_member * gap_scale + end_gaps` (places in parts of `1 / gap_scale`) it closes when
/// `P >= 0`, `n` lies in `count`, `n >= 1`, and for some `g` within the gap's range
/// `n * member + P / gap_scale * g = face`. With `P = 0` the members alone have to fill the face.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// The maker's name for it.
    pub name: String,
    /// The run exists when all of these (choice, option) pairs hold.
    pub when: Vec<(usize, usize)>,
    /// Length to be filled.
    pub face: Affine,
    /// Length of one repeat without its gaps, not negative.
    pub member: i64,
    /// Gap widths in one repeat, not negative.
    pub gaps_per_member: i64,
    /// Gap widths at the ends, in parts of `1 / gap_scale`: `-1` for both ends flush, `+1` for a gap at both.
    pub end_gaps: i64,
    /// 1 at right angles; greater where an end gap takes a fraction of a gap width more or less of the run.
    pub gap_scale: i64,
    /// Index of the gap.
    pub gap: usize,
    /// Least and greatest count allowed.
    pub count: (i64, i64),
}

/// A hard limit `from <= value <= to`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Relation {
    /// The maker's name for it.
    pub name: String,
    /// It holds only when all of these (choice, option) pairs hold.
    pub when: Vec<(usize, usize)>,
    /// What is limited.
    pub value: Affine,
    /// Least value.
    pub from: i64,
    /// Greatest value.
    pub to: i64,
}

/// How much work may be done. Work is counted in steps (nodes looked at), so that every machine agrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Steps for the search; counting, proving and explaining may each take as many again.
    pub steps: u64,
    /// Closings to list.
    pub keep: usize,
    /// Where the count of all closings stops; 0 for a hand that drags: no count and no proof.
    pub count_cap: u64,
}

impl Default for Limits {
    /// 12 closings, counted up to 1000, in 20 000 steps.
    fn default() -> Self {
        Self { steps: 20_000, keep: 12, count_cap: 1_000 }
    }
}

/// Order of the objective.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ranking {
    /// Wishes in the order of their ranks.
    AsWished,
    /// All sizes by rank, then all gaps by rank.
    SizesFirst,
    /// The total of all counts, then as wished.
    FewestMembers,
}

/// What [`solve`](crate::solve) came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// It comes out.
    Fits(Answer),
    /// It does not, and here is why.
    Collides(Collision),
    /// Stopped before anything was found and before it was shown that there is nothing.
    Unfinished {
        /// Steps taken.
        steps: u64,
    },
}

/// The best closings, best first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Whether the list is known to be the best.
    pub status: Status,
    /// Distinct closings with their best sizes, in the order of their vectors.
    pub closings: Vec<Closing>,
    /// How many closings there are in all.
    pub found: Found,
    /// Steps of the search (without counting and proving).
    pub steps: u64,
    /// The covering tree for a referee; only with [`Status::Proven`], and absent if it outgrew the step limit.
    pub proof: Option<Proof>,
}

/// How the search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// The closings listed are the best there are, in order; if fewer than asked for, there are no others.
    Proven,
    /// The step limit ended it; what is listed comes out, but better closings and sizes may have been missed.
    StepLimit,
    /// The caller ended it; as for the step limit.
    Cancelled,
}

/// A count of closings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Found {
    /// Closings counted.
    pub count: u64,
    /// There may be more.
    pub capped: bool,
}

/// One choice of options and counts with its best sizes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Closing {
    /// Chosen option of each choice.
    pub choices: Vec<usize>,
    /// Count of each run, `None` if its `when` does not hold.
    pub counts: Vec<Option<i64>>,
    /// Best sizes.
    pub sizes: Vec<i64>,
    /// The objective, see [`vector`](crate::solve).
    pub vector: Vec<i128>,
    /// Gap of each run, `None` if its `when` does not hold.
    pub gaps: Vec<Option<GapShare>>,
    /// Least and greatest value of each size within this closing, the others free to follow; both are reached.
    /// Should the step limit end this search, the range is narrower, never wider, than the truth.
    pub room: Vec<(i64, i64)>,
}

/// A gap in exact form: `total * scale / places`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GapShare {
    /// What is left of the face for gaps.
    pub total: i128,
    /// Gap widths that share it, in parts of `1 / scale`.
    pub places: i128,
    /// Parts that make one gap width.
    pub scale: i64,
}

/// A stretch of one size in which every run that hangs on this size alone closes at every grid point.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Window {
    /// First grid point.
    pub from: i64,
    /// Last grid point.
    pub to: i64,
    /// Grid point nearest to the want; of two, the smaller.
    pub best: i64,
    /// Counts at `best`, per run: the one whose gap is nearest to its want; of two, the smaller.
    pub counts: Vec<(usize, i64)>,
}

/// Why nothing comes out, and what would free it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Collision {
    /// Wishes that cannot hold together; if `minimal`, any one of them dropped to its reach lets something come out
    /// (as far as the wishes of this set are concerned). Empty if the limits collide whatever is wished.
    pub set: Vec<WishRef>,
    /// Runs and relations that take part: with these alone the set still collides.
    pub limits: Vec<LimitRef>,
    /// Single changes that let everything come out, nearest first: sizes and gaps, then counts, then choices.
    pub relaxations: Vec<Relaxation>,
    /// Changes of two sizes or gaps, one of the set and one of the set or behind its limits, that let everything come out and are together less than any single one, least
    /// first. Only what was searched to the end.
    pub pairs: Vec<Pair>,
    /// `false` if a step limit left a question open, so that the set may be larger, or a change further, than need be.
    pub minimal: bool,
    /// Steps taken.
    pub steps: u64,
}

/// One wish, by index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WishRef {
    /// Range of a size.
    Size(usize),
    /// Range of a gap.
    Gap(usize),
    /// Range of a run's count.
    Count(usize),
    /// A pinned choice.
    Choice(usize),
}

/// One hard limit, by index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LimitRef {
    /// A run that must close.
    Run(usize),
    /// A relation.
    Relation(usize),
}

/// The least change of one wish, all others kept, with which something comes out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Relaxation {
    /// The wish to change.
    pub wish: WishRef,
    /// The new range that suffices: the old one widened on one side; for a choice, the option taken, twice.
    pub from: i64,
    /// Upper end of it.
    pub to: i64,
    /// The change, in the wish's own unit (a gap's is rounded up to a whole one); 1 for a choice.
    pub by: i64,
    /// The best closing under that change, its vector as wished.
    pub closing: Closing,
}

/// The least change of two wishes together, all others kept, with which something comes out. Neither frees it alone at that.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pair {
    /// Each wish with the new range that suffices.
    pub changes: [(WishRef, (i64, i64)); 2],
    /// Both changes together, in the wishes' own unit (a gap's is rounded up to a whole one).
    pub by: i64,
    /// The best closing under that change.
    pub closing: Closing,
}

/// What is split in a proof.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Variable {
    /// Option of a choice.
    Choice(usize),
    /// Count of a run.
    Count(usize),
    /// A size.
    Size(usize),
}

/// A covering tree: every closing that is not listed is no better than the last listed one.
///
/// A referee replays it, see the module `proof`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Proof {
    /// One variable is cut into ranges; what the ranges leave uncovered, propagation shows to be empty.
    Split {
        /// What is cut.
        on: Variable,
        /// Ranges, ends included, in ascending order, each with its own proof.
        parts: Vec<((i64, i64), Proof)>,
    },
    /// Propagation empties it.
    Empty,
    /// Its lower bound is not below the last listed closing.
    Bound,
    /// Options and counts are fixed and are those of this listed closing, and the lower bound is not below its vector.
    Listed(usize),
    /// Only at the top: the problem falls apart into parts that nothing joins. Each part's list is proven for itself, and the
    /// listed closings of the whole are the best that can be put together from one closing of each part.
    Apart(Vec<Apart>),
}

/// A part of a problem that falls apart, by index into the whole; everything in it is numbered by its place in these lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Apart {
    /// Its choices.
    pub choices: Vec<usize>,
    /// Its sizes.
    pub sizes: Vec<usize>,
    /// Its gaps.
    pub gaps: Vec<usize>,
    /// Its runs.
    pub runs: Vec<usize>,
    /// Its relations.
    pub relations: Vec<usize>,
    /// Its best closings, best first, in its own numbering.
    pub closings: Vec<Closing>,
    /// The covering tree of its own list.
    pub proof: Proof,
}

/// Nonsense in the problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// An index points nowhere.
    Index {
        /// Which list holds it, with the entry.
        at: String,
        /// The index.
        index: usize,
        /// Length of what it points into.
        len: usize,
    },
    /// A value outside what makes sense.
    Value {
        /// Where it stands.
        at: String,
        /// The value.
        value: i64,
        /// What was expected.
        expected: &'static str,
    },
    /// Numbers so large that exact sums cannot be kept.
    Overflow {
        /// Where.
        at: String,
    },
    /// More windows than a ruler can show.
    TooManyWindows {
        /// The limit.
        limit: usize,
    },
    /// A list has another length than the problem asks for.
    Length {
        /// Which list.
        at: &'static str,
        /// Its length.
        len: usize,
        /// Length expected.
        expected: usize,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Index { at, index, len } => {
                write!(f, "{at}: index {index}, but there are only {len}")
            }
            Self::Value { at, value, expected } => write!(f, "{at}: {value}, expected {expected}"),
            Self::Overflow { at } => write!(f, "{at}: numbers too large for exact sums"),
            Self::TooManyWindows { limit } => {
                write!(f, "more than {limit} windows: ask for a shorter stretch")
            }
            Self::Length { at, len, expected } => {
                write!(f, "{at}: {len} entries, expected {expected}")
            }
        }
    }
}

impl std::error::Error for Fault {}
