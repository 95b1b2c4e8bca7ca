//! How wood moves across its grain as it dries and takes up water.
//!
//! `change = width × C × change of moisture content` (USDA FPL-GTR-190 (2010) Eq. 13-2, p. 13-18, for 6 to 14 %; the rule is
//! used up to 19 %, where it still holds approximately). Boards are taken as flat-sawn, which move most.

use model::why::Mark;

/// A coefficient with its source.
#[derive(Debug)]
pub struct Movement {
    /// The material as a yard file names it; empty is wood in general.
    pub name: &'static str,
    /// Share of the width for each percent of moisture content, in hundred-thousandths.
    pub coefficient: i64,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const fn row(name: &'static str, coefficient: i64, source: &'static str, mark: Mark) -> Movement {
    Movement { name, coefficient, source, mark }
}

/// A coefficient is told in parts of so many.
pub const PARTS: i64 = 100_000;

/// Wood that has no row of its own: a quarter of a percent for each percent.
pub static IN_GENERAL: Movement = row(
    "",
    250,
    "EN 1313-1:2010 clause 5 (a stored extract), and the wood shrinkage page of the American Wood Council",
    Mark::Published,
);

const HANDBOOK_72: &str = "Agriculture Handbook 72, as quoted on a page about flooring";
const SHRINKAGE: &str =
    "by the footnote of GTR-190 Table 13-5 from the tangential shrinkage of Table 4-3, which is recalled";

/// The materials of the house whose own coefficient is known.
pub static MOVEMENTS: [Movement; 11] = [
    row("larch", 323, SHRINKAGE, Mark::FromMemory),
    row("western-red-cedar", 234, "by the footnote of GTR-190 Table 13-5 from Table 4-3: 5.0 %", Mark::FromMemory),
    row("douglas-fir", 267, HANDBOOK_72, Mark::Published),
    row("merbau", 158, HANDBOOK_72, Mark::Published),
    row("ipe", 282, SHRINKAGE, Mark::FromMemory),
    row("teak", 186, HANDBOOK_72, Mark::Published),
    row("jarrah", 396, HANDBOOK_72, Mark::Published),
    row(
        "slash-pine",
        265,
        "Agriculture Handbook 72, southern pine, as quoted on a page about flooring",
        Mark::Published,
    ),
    row("robinia", 252, "USDA FPL-GTR-190 (2010) Table 13-5, black locust", Mark::Published),
    row("redwood", 205, "by the footnote of GTR-190 Table 13-5 from a recalled 4.4 %", Mark::FromMemory),
    row("radiata-pine", 234, SHRINKAGE, Mark::FromMemory),
];

/// A change of moisture content with its source.
#[derive(Debug)]
pub struct Change {
    /// In percent.
    pub percent: i64,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

/// What wood outdoors goes through in a year.
pub static OUTDOORS: Change =
    Change { percent: 7, source: "12 to 19 % outdoors in a temperate climate", mark: Mark::CommonPractice };

/// How wood of this name moves; wood without a row as wood in general.
pub fn of(material: &str) -> &'static Movement {
    MOVEMENTS.iter().find(|row| row.name == material).unwrap_or(&IN_GENERAL)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::materials;

    /// The footnote of GTR-190 Table 13-5: `C = (S / f) / (100 − S (f − 10) / f)`, f = 30, or 22 for western red cedar; it
    /// gives the published 0.00252 of black locust from 7.2 %. Tangential shrinkage of Table 4-3: western red cedar 5.0 and
    /// Douglas fir 7.6 (both read there), western larch 9.1 and ipe 8.0 (recalled).
    #[test]
    fn coefficients_follow_from_shrinkage() {
        let parts = |s: f64, f: f64| ((s / f) / (100.0 - s * (f - 10.0) / f) * PARTS as f64).round() as i64;
        assert_eq!(parts(7.2, 30.0), 252);
        let from =
            [("western-red-cedar", 5.0, 22.0), ("douglas-fir", 7.6, 30.0), ("larch", 9.1, 30.0), ("ipe", 8.0, 30.0)];
        for (name, s, f) in from {
            assert_eq!(of(name).coefficient, parts(s, f), "{name}");
        }
    }

    /// The quick rule of the American Wood Council: 1 % of the size for 4 % of moisture content.
    #[test]
    fn wood_in_general_moves_by_the_quick_rule() {
        assert_eq!(of("scots-pine").coefficient * 4, PARTS / 100);
    }

    /// GTR-190 Table 4-2 at 50 °F (read there): 12.3 % at 65 % relative humidity, 18.4 % at 85 %, 20.9 % at 90 %. A year outdoors
    /// takes up what lies between the first two, and not a wet spell.
    #[test]
    fn a_year_outdoors_lies_within_the_table_of_moisture_contents() {
        let percent = OUTDOORS.percent as f64;
        assert!(18.4 - 12.3 < percent && percent < 20.9 - 12.3);
    }

    #[test]
    fn every_row_is_a_material_of_the_house() {
        assert!(MOVEMENTS.iter().all(|row| materials::find(row.name).is_some()));
    }
}
