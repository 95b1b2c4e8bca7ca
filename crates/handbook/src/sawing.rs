//! What is known of cutting by hand-held and bench saws in a home workshop.

use measure::Length;
use model::why::Mark;

/// A length that the trade goes by.
#[derive(Debug)]
pub struct Figure {
    /// How much.
    pub length: Length,
    /// Where it comes from.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

/// The closest that a first part is held to its length: half of what careful measuring, marking and cutting keeps.
pub static FIRST_OFF: Figure = Figure {
    length: Length::nm(500_000),
    source: "hand measuring, marking and cutting keeps 1 mm either way with care; half of it leaves room for the rest",
    mark: Mark::FromMemory,
};

/// Below this a part is short: hands come too near the blade.
pub static SHORT: Figure = Figure {
    length: Length::mm(250),
    source: "some 200 to 250 mm is the least that is held by hand beside a blade",
    mark: Mark::CommonPractice,
};
