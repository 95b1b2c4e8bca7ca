//! How soil, water and people press on walls.

use measure::{Density, Factor, Length, Pressure, UnitWeight};
use model::why::Mark;

/// The share of its own weight with which soil presses sideways on a wall that cannot give way: `K0`.
#[derive(Debug)]
pub struct AtRest {
    /// The share.
    pub share: Factor,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

/// `K0 = 1 − sin φ` (Jaky) for φ = 30°, between a loam and a sand; cohesion is taken as none.
pub static AT_REST: AtRest = AtRest {
    share: Factor::thousandths(500),
    source: "K0 = 1 - sin φ (Jaky), as coded in an open engineering library, for φ = 30°",
    mark: Mark::Published,
};

/// What wet soil weighs where the yard does not say: a blend of loam and compost, soaked.
pub static WET: Density = Density::kg_per_m3(1835);
/// Where that stands.
pub const WET_SOURCE: &str = "18 kN/m³, a loam and compost blend when soaked (16 to 19), typical (from memory)";

/// Newtons of a kilogram, in hundred-thousandths: standard gravity, exact.
pub const GRAVITY: i64 = 980_665;

/// The weight of water.
pub static WATER: UnitWeight = UnitWeight::newtons_per_m3(9_810);

/// People who kneel or stand on the soil at a wall: lower end of 2.5 to 5 kN/m², *common practice*.
pub static PEOPLE_AT_EDGE: Pressure = Pressure::pascals(2_500);

/// Retained heights above this are for an engineer, and in many places need leave.
pub static ASK_ABOVE: Length = Length::mm(1_000);
