//! Heights that one may fall from, and openings that a child gets into.
//!
//! These are the models of codes; the local code decides.

use measure::Length;
use model::why::Mark;

/// A length with its region and source.
#[derive(Debug)]
pub struct Guard {
    /// The word of the region, as a plan names it.
    pub region: &'static str,
    /// From this height on a floor wants a guard.
    pub from: Length,
    /// How high that guard is.
    pub high: Length,
    /// What must not pass through its openings: the diameter of a ball.
    pub opening: Length,
    /// Where it stands.
    pub source: &'static str,
    /// How the height it is wanted from is known; the other two are from memory.
    pub mark: Mark,
}

const NA: &str = "International Residential Code R312.1, as told by Pierce County: 30 in above grade; 36 in high and 4 in apart are from memory";
const EU: &str =
    "Approved Document K (England): above 600 mm, 1100 mm high, 100 mm apart; elsewhere in Europe often above 1 m";
const ANZ: &str = "National Construction Code of Australia: above 1 m, 1 m high, 125 mm apart";

/// The guards of the regions.
pub static GUARDS: [Guard; 3] = [
    Guard {
        region: "eu",
        from: Length::mm(600),
        high: Length::mm(1100),
        opening: Length::mm(100),
        source: EU,
        mark: Mark::FromMemory,
    },
    Guard {
        region: "na",
        from: Length::inch_64ths(30 * 64),
        high: Length::inch_64ths(36 * 64),
        opening: Length::inch_64ths(4 * 64),
        source: NA,
        mark: Mark::Published,
    },
    Guard {
        region: "anz",
        from: Length::mm(1000),
        high: Length::mm(1000),
        opening: Length::mm(125),
        source: ANZ,
        mark: Mark::FromMemory,
    },
];

/// The guards of a region; of a word that is no region none.
pub fn guards_of(region: &str) -> Option<&'static Guard> {
    GUARDS.iter().find(|guard| guard.region == region)
}

/// A length with its source.
#[derive(Debug)]
pub struct Figure {
    /// How much.
    pub length: Length,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const PLAY: &str = "EN 1176-1 (playground equipment), openings that catch fingers or heads";

/// Gaps above this and below [`FINGER_TO`] catch a finger.
pub static FINGER_FROM: Figure = Figure { length: Length::mm(8), source: PLAY, mark: Mark::FromMemory };
/// A finger comes out of gaps from this on.
pub static FINGER_TO: Figure = Figure { length: Length::mm(25), source: PLAY, mark: Mark::FromMemory };
/// Gaps above this let a small body through and may hold its head.
pub static HEAD_FROM: Figure = Figure { length: Length::mm(89), source: PLAY, mark: Mark::FromMemory };
/// A heel or the tip of a stick does not go through gaps up to this.
pub static HEEL: Figure = Figure {
    length: Length::inch_64ths(32),
    source: "openings in floors that people walk on, 1/2 in: ADA Standards (2010) 302.3",
    mark: Mark::FromMemory,
};
/// A lip where people walk is no more than this.
pub static LIP: Figure = Figure {
    length: Length::mm(3),
    source: "Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations: lip between pavers, pedestrian",
    mark: Mark::Published,
};
/// From this height on an edge is seen as a step, and not tripped over, *common practice*.
pub static STEP_FROM: Figure = Figure {
    length: Length::mm(100),
    source: "the least rise of a step that is seen as one",
    mark: Mark::CommonPractice,
};

#[cfg(test)]
mod tests {
    use super::*;

    /// Pierce County, after IRC R312.1.1 (read): 30 in, 762 mm. ICPI (read): a lip of 1/8 in or 3 mm at most.
    #[test]
    fn published_heights_are_theirs() {
        assert_eq!(guards_of("na").map(|guard| guard.from), Some(Length::mm(762)));
        assert!((LIP.length - Length::inch_64ths(8)).abs() < Length::nm(200_000));
    }

    #[test]
    fn openings_are_in_order() {
        let order = [FINGER_FROM.length, FINGER_TO.length, HEAD_FROM.length];
        assert!(order.windows(2).all(|pair| pair[0] < pair[1]));
        assert!(GUARDS.iter().all(|guard| HEAD_FROM.length < guard.opening));
    }
}
