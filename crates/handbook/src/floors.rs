//! What floors and ground bear.

use model::why::Mark;

/// A pressure with its source.
#[derive(Debug)]
pub struct Bears {
    /// What bears it.
    pub what: &'static str,
    /// In pascals.
    pub pascals: i64,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

/// What balconies and decks are built for, from the least up, spread over their whole floor.
pub static FLOORS: [Bears; 3] = [
    Bears {
        what: "a deck of a house in North America",
        pascals: 1_915,
        source: "40 lb/ft², IRC Table R301.5",
        mark: Mark::FromMemory,
    },
    Bears {
        what: "a balcony in much of Europe, at least",
        pascals: 2_500,
        source: "EN 1991-1-1 Table 6.2, 2.5 to 4 kN/m²",
        mark: Mark::FromMemory,
    },
    Bears {
        what: "a balcony in much of Europe, at most",
        pascals: 4_000,
        source: "EN 1991-1-1 Table 6.2, 2.5 to 4 kN/m²",
        mark: Mark::FromMemory,
    },
];

/// What soft ground under a lawn bears, without sinking by more than one sees.
pub static GROUND: Bears = Bears {
    what: "soft clay or loose sand under turf",
    pascals: 50_000,
    source: "presumed bearing of soft to firm ground, 50 to 100 kPa, BS 8004 Table 1; firm ground, gravel and paving bear more",
    mark: Mark::FromMemory,
};

#[cfg(test)]
mod tests {
    use super::*;

    /// 40 lb/ft² are 1915.2 Pa: a pound-force is 4.4482216152605 N and a foot 304.8 mm (international yard and pound agreement, 1959).
    #[test]
    fn pounds_on_a_foot() {
        let pascals = 40.0 * 4.448_221_615_260_5 / (0.3048_f64 * 0.3048);
        assert!((pascals - FLOORS[0].pascals as f64).abs() < 0.5, "{pascals}");
        assert!(FLOORS.windows(2).all(|pair| pair[0].pascals < pair[1].pascals));
    }
}
