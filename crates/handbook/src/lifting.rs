//! What people lift.

use measure::Mass;
use model::why::Mark;

/// A limit with its source.
#[derive(Debug)]
pub struct Limit {
    /// The mass.
    pub mass: Mass,
    /// What it holds for.
    pub holds_for: &'static str,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

/// What one person lifts: the guideline filter for men, close to the body, between knuckle and elbow height, about thirty
/// lifts an hour at most. It is a filter below which no closer look is due, not a safe limit; for women the same table gives
/// 16 kg (from memory).
pub static ONE_PERSON: Limit = Limit {
    mass: Mass::kg(25),
    holds_for: "one man, close to the body, between knuckle and elbow height; 16 kg for a woman (from memory)",
    source: "UK Health and Safety Executive, L23 figure 20 / INDG143, as quoted on a training page",
    mark: Mark::Published,
};

/// How much of the sum of their single limits a team lifts, in thousandths: two people two thirds, three half. Two thirds are
/// 666.7 thousandths and are rounded down, so that rounding never raises the limit.
///
/// # Source
/// UK Health and Safety Executive, L23, team handling (from memory). For more than three no figure is given; half is kept.
pub fn team_share(people: u32) -> u32 {
    match people {
        0 | 1 => 1000,
        2 => 666,
        _ => 500,
    }
}
