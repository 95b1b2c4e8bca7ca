//! What people and wind put on what is built.

use measure::{Force, Pressure};
use model::why::Mark;

/// A force or a pressure with its source.
#[derive(Debug)]
pub struct Load<T> {
    /// How much.
    pub load: T,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

/// A person on one board.
pub static PERSON: Load<Force> = Load {
    load: Force::newtons(1_000),
    source: "1.0 to 1.5 kN for each 0.6 m of seat; 1 kN in the middle of one slat",
    mark: Mark::CommonPractice,
};

/// People standing close, on a deck or a seat, in Europe, Australia and New Zealand.
pub static CROWD: Load<Pressure> = Load {
    load: Pressure::pascals(4_000),
    source: "EN 1991-1-1 category A balconies, 2.5 to 4.0 kN/m²",
    mark: Mark::FromMemory,
};
/// The same in North America: 40 lb/ft², to the pascal.
pub static CROWD_NA: Load<Pressure> =
    Load { load: Pressure::pascals(1_915), source: "IRC decks, 40 lb/ft² of people", mark: Mark::FromMemory };

/// A child that climbs a screen and leans out from its top.
pub static CHILD: Load<Force> =
    Load { load: Force::newtons(500), source: "half a kilonewton, level, at the top", mark: Mark::CommonPractice };
