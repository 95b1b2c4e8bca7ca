//! Screws in wood: holes, distances, how long they have to be.
//!
//! Distances are those of the European pattern for screws across the grain in timber up to 420 kg/m³: the least, and those
//! where a load pulls towards the end or pushes towards the edge. They keep the wood from splitting and say nothing of what a
//! screw carries.

use measure::Length;
use model::why::Mark;

/// A number of screw diameters with its source.
#[derive(Debug)]
pub struct Distance {
    /// In diameters where the hole is drilled first.
    pub drilled: i64,
    /// In diameters where it is not.
    pub not_drilled: i64,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const SPACING: &str = "LVL Handbook (Federation of the Finnish Woodworking Industries, 2025) Table 5.1, which carries the pattern of EN 1995-1-1 Table 8.2";

const fn distance(drilled: i64, not_drilled: i64) -> Distance {
    Distance { drilled, not_drilled, source: SPACING, mark: Mark::Published }
}

/// From the end of the wood, along its grain, not loaded towards it: a3,c.
pub static FROM_END: Distance = distance(7, 10);
/// From an edge, across the grain, not loaded towards it: a4,c.
pub static FROM_EDGE: Distance = distance(3, 5);
/// From an end towards which a screw pushes the wood: a3,t, `(7 + 5 cos a) d` drilled and `(10 + 5 cos a) d` not, at its most.
pub static FROM_LOADED_END: Distance = distance(12, 15);
/// From an edge towards which a screw thinner than [`THICK_FROM`] pushes the wood: a4,t, `(3 + 2 sin a) d` drilled and
/// `(5 + 2 sin a) d` not, at its most.
pub static FROM_EDGE_LOADED_BY_THIN: Distance = distance(5, 7);
/// The same of thicker screws: `(3 + 4 sin a) d` drilled and `(5 + 5 sin a) d` not, at its most.
pub static FROM_EDGE_LOADED_BY_THICK: Distance = distance(7, 10);
/// From this diameter on a screw keeps further off a loaded edge, by the same table.
pub const THICK_FROM: Length = Length::mm(5);

/// From an edge towards which a screw of this diameter pushes the wood.
pub fn from_loaded_edge(diameter: Length) -> &'static Distance {
    if diameter < THICK_FROM { &FROM_EDGE_LOADED_BY_THIN } else { &FROM_EDGE_LOADED_BY_THICK }
}

/// From screw to screw along the grain: a1, `(4 + |cos a|) d` drilled and `(5 + 7 |cos a|) d` not, at its most.
pub static ALONG_GRAIN: Distance = distance(5, 12);
/// From screw to screw across the grain: a2, `(3 + |sin a|) d` drilled, at its most.
pub static ACROSS_GRAIN: Distance = distance(4, 5);

/// A length with its source.
#[derive(Debug)]
pub struct Row {
    /// The length.
    pub length: Length,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const CLADDING: &str = "Timber Decking and Cladding Association, in the TRADA yearbook 2022, p. 117";

/// From the end of a board that carries only itself.
pub static CLADDING_FROM_END: Row = Row { length: Length::mm(20), source: CLADDING, mark: Mark::Published };
/// A board that carries only itself and is narrower than this has one screw at a support; others have two, at the quarter
/// points of their width.
pub static ONE_SCREW_BELOW: Row = Row { length: Length::mm(100), source: CLADDING, mark: Mark::Published };
/// Boards wider than this cup and split where they are held hard on both sides.
pub static WIDE_BOARD: Row = Row {
    length: Length::mm(150),
    source: "a trade guide to fixing cladding, on a stored page (weak)",
    mark: Mark::Published,
};

/// Thread in the base for each part of thickness held, in tenths: a screw is 2.5 to 3 times as long as the held board is
/// thick, or has 25 to 40 mm in the base; the longer rule for boards from 20 mm on is taken, *common practice*.
pub const GRIP_TENTHS: i64 = 15;
/// How far short of the far face a tip ends, *common practice*.
pub const TIP_SHORT: Length = Length::mm(5);
/// How much longer a screw is that goes into end grain, where it does not count in withdrawal (NDS 12.5.2, from memory),
/// *common practice*.
pub const END_GRAIN_MORE: Length = Length::mm(12);
/// A countersink is so many times as wide as the screw: between the columns of the table of bits, *common practice*.
pub const COUNTERSINK_DIAMETERS: i64 = 2;

/// A number of diameters.
#[derive(Debug)]
pub struct Times {
    /// So many.
    pub times: i64,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

/// The least that a wood screw goes into its base if it is to carry anything.
pub static GRIP_LEAST: Times =
    Times { times: 6, source: "NDS (AWC, 2018) 12.1.5.6, as coded in an open library", mark: Mark::Published };

/// How far a countersunk head lies below the face once it is driven home.
pub static SUNK: Row = Row {
    length: Length::mm(1),
    source: "a countersunk head is drawn in flush and a little more",
    mark: Mark::CommonPractice,
};
/// What is left beyond a tip at least, so that it neither shows nor is felt.
pub static LEFT_BEYOND: Row = Row {
    length: Length::mm(2),
    source: "a tip stays 2 mm inside, its head sunk: common practice",
    mark: Mark::CommonPractice,
};

/// The lengths that wood screws are usually sold in, in mm, *common practice*.
pub const USUAL_LENGTHS_MM: [i64; 16] = [20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 120, 140, 160, 200];
/// The same in eighths of an inch.
pub const USUAL_LENGTHS_EIGHTHS: [i64; 16] = [6, 8, 10, 12, 13, 14, 16, 18, 20, 22, 24, 26, 28, 32, 40, 48];

/// What a pilot hole is to the root of the thread, and the root to the diameter.
#[derive(Debug)]
pub struct Pilot {
    /// Numerator and denominator.
    pub share: [i64; 2],
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const LEAD_HOLES: &str = "NDS (AWC, 2018) 12.1.5.2, lead holes for side load, as quoted on a page about wood screws";

/// The pilot in wood up to [`DENSE_FROM`], of the root.
pub static PILOT_IN_LIGHT_WOOD: Pilot = Pilot { share: [7, 8], source: LEAD_HOLES, mark: Mark::Published };
/// The pilot in denser wood, of the root.
pub static PILOT_IN_DENSE_WOOD: Pilot = Pilot { share: [1, 1], source: LEAD_HOLES, mark: Mark::Published };
/// The root, of the diameter, for most sizes.
pub static ROOT: Pilot =
    Pilot { share: [2, 3], source: "USDA Wood Handbook, FPL-GTR-190, p. 8-10", mark: Mark::Published };
/// Wood is dense above this, in kg/m³: a specific gravity of 0.6 in the lead holes of NDS 12.1.5.2.
pub const DENSE_FROM: u32 = 600;

#[cfg(test)]
mod tests {
    use super::*;

    /// Pre-drilled a3,c 7 d, a4,c 3 d, a1 (4 + |cos a|) d, a2 (3 + |sin a|) d (LVL Handbook 2025 Table 5.1).
    #[test]
    fn distances_are_the_tables() {
        let drilled = [&FROM_END, &FROM_EDGE, &ALONG_GRAIN, &ACROSS_GRAIN].map(|distance| distance.drilled);
        assert_eq!(drilled, [7, 3, 4 + 1, 3 + 1]);
        let not_drilled = [&FROM_END, &FROM_EDGE, &ALONG_GRAIN, &ACROSS_GRAIN].map(|distance| distance.not_drilled);
        assert_eq!(not_drilled, [10, 5, 5 + 7, 5]);
    }

    /// Pre-drilled a3,t (7 + 5 cos a) d at a = 0; a4,t (3 + 2 sin a) d below 5 mm and (3 + 4 sin a) d from there on at a = 90°;
    /// not drilled 10 + 5, 5 + 2 and 5 + 5 (the same table).
    #[test]
    fn loaded_ends_and_edges_are_the_tables() {
        assert_eq!([FROM_LOADED_END.drilled, FROM_LOADED_END.not_drilled], [7 + 5, 10 + 5]);
        let edge = |nm: i64| [from_loaded_edge(Length::nm(nm)).drilled, from_loaded_edge(Length::nm(nm)).not_drilled];
        assert_eq!(edge(4_999_999), [3 + 2, 5 + 2]);
        assert_eq!(edge(5_000_000), [3 + 4, 5 + 5]);
    }
}
