//! How long timber lasts, by its species, its treatment and where it stands.
//!
//! All classes are of heartwood; sapwood is not durable (class 5 of EN 350; nwpc.eu, natural durability of wood).

use measure::Length;
use model::why::Mark;

/// The durability of a material of the house.
#[derive(Debug)]
pub struct Species {
    /// The material as a yard file names it.
    pub name: &'static str,
    /// Classes of EN 350 from the best to the worst that its lists give: 1 very durable … 5 not durable.
    pub en_350: [i64; 2],
    /// Where they stand, and how they are known.
    pub en_350_from: (&'static str, Mark),
    /// Classes of AS 5604 in the ground and above it, 1 … 4, if it is listed there.
    pub as_5604: Option<[i64; 2]>,
    /// Where they stand, and how they are known.
    pub as_5604_from: (&'static str, Mark),
    /// Whether its tannin stains about steel that is not stainless.
    pub tannin: bool,
}

const LISTS: &str = "EN 350-2:1994 and EN 350:2016, as listed on stored pages";
const EN_350: &str = "EN 350";
const AS_5604: &str = "AS 5604-2005";
const QUEENSLAND: &str = "AS 5604, Timber Queensland Technical Data Sheet 16b (2014)";
const READ: (&str, Mark) = (LISTS, Mark::Published);
const RECALLED: (&str, Mark) = (EN_350, Mark::FromMemory);
const AS_RECALLED: (&str, Mark) = (AS_5604, Mark::FromMemory);
const AS_READ: (&str, Mark) = (QUEENSLAND, Mark::Published);
const NOT_LISTED: (&str, Mark) = ("", Mark::FromMemory);

const fn species(
    name: &'static str,
    en_350: [i64; 2],
    en_350_from: (&'static str, Mark),
    as_5604: Option<[i64; 2]>,
    as_5604_from: (&'static str, Mark),
    tannin: bool,
) -> Species {
    Species { name, en_350, en_350_from, as_5604, as_5604_from, tannin }
}

/// Every material of the house whose durability is known. Strength classes are of spruce, fir or pine.
pub static SPECIES: [Species; 21] = [
    species("larch", [3, 4], READ, None, NOT_LISTED, false),
    species("siberian-larch", [3, 4], RECALLED, None, NOT_LISTED, false),
    species("western-red-cedar", [2, 3], READ, Some([3, 2]), AS_RECALLED, true),
    species("douglas-fir", [3, 4], READ, Some([4, 4]), AS_RECALLED, false),
    species("scots-pine", [3, 4], READ, None, NOT_LISTED, false),
    species("spruce", [4, 4], READ, None, NOT_LISTED, false),
    species("softwood-c16", [4, 4], READ, None, NOT_LISTED, false),
    species("softwood-c24", [4, 4], READ, None, NOT_LISTED, false),
    species("radiata-pine", [4, 5], RECALLED, Some([4, 4]), AS_RECALLED, false),
    species("slash-pine", [3, 4], RECALLED, Some([4, 4]), AS_RECALLED, false),
    species("oak", [2, 4], READ, None, NOT_LISTED, true),
    species("sweet-chestnut", [2, 2], RECALLED, None, NOT_LISTED, true),
    species("robinia", [1, 2], READ, None, NOT_LISTED, true),
    species("iroko", [1, 2], RECALLED, None, NOT_LISTED, false),
    species("teak", [1, 3], READ, Some([2, 1]), AS_RECALLED, false),
    species("merbau", [1, 2], RECALLED, Some([3, 1]), AS_RECALLED, true),
    species("jarrah", [1, 1], RECALLED, Some([2, 2]), AS_RECALLED, true),
    species("blackbutt", [2, 2], RECALLED, Some([2, 1]), AS_READ, true),
    species("spotted-gum", [2, 2], RECALLED, Some([2, 1]), AS_RECALLED, false),
    species("ipe", [1, 1], RECALLED, None, NOT_LISTED, true),
    species("redwood", [2, 3], RECALLED, None, NOT_LISTED, true),
];

/// Materials that are often sold treated, so that one has to ask, *common practice*.
pub const OFTEN_TREATED: [&str; 7] =
    ["scots-pine", "spruce", "softwood-c16", "softwood-c24", "radiata-pine", "slash-pine", "douglas-fir"];

/// The durability of a material.
pub fn of(material: &str) -> Option<&'static Species> {
    SPECIES.iter().find(|row| row.name == material)
}

/// Where a part stands, from the driest up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Zone {
    /// Off the ground, and water runs off: use class 3.1.
    Above,
    /// Near the ground or lying flat, so that it stays wet: use class 3.2.
    Near,
    /// In the ground or against wet soil: use class 4.
    Soil,
}

/// What the standards call a zone, and what it takes there.
#[derive(Debug)]
pub struct Use {
    /// The zone.
    pub zone: Zone,
    /// EN 335:2013.
    pub en_335: &'static str,
    /// American Wood Protection Association.
    pub awpa: &'static str,
    /// Australia and New Zealand.
    pub hazard: &'static str,
    /// The poorest class of EN 350 that is normally enough.
    pub poorest: i64,
    /// Where that stands, and how it is known.
    pub from: (&'static str, Mark),
}

const EN_460: (&str, Mark) = ("EN 460 by the use classes of EN 335:2013", Mark::FromMemory);

/// The three zones. Names: EN 335 (a stored extract), AWPA (UC3B, UC4A, UC4B read; UC3A from memory), hazard classes (New Zealand
/// Timber Preservation Council). Which zone a part is in is judgement.
pub static USES: [Use; 3] = [
    Use { zone: Zone::Above, en_335: "3.1", awpa: "UC3B", hazard: "H3", poorest: 3, from: EN_460 },
    Use { zone: Zone::Near, en_335: "3.2", awpa: "UC3B", hazard: "H3", poorest: 3, from: EN_460 },
    Use { zone: Zone::Soil, en_335: "4", awpa: "UC4A", hazard: "H4", poorest: 2, from: EN_460 },
];

/// What is told of a zone.
pub fn use_of(zone: Zone) -> &'static Use {
    &USES[zone as usize]
}

/// Below this height rain splashes back from the ground.
pub const SPLASH: Length = Length::mm(150);
/// Where that comes from, and how it is known.
pub const SPLASH_FROM: (&str, Mark) =
    ("150 to 200 mm off the ground keeps cladding out of splashes: TRADA", Mark::FromMemory);

/// Years that heartwood lasts by its class of AS 5604-2005, from and to; 1 to 4. Class 1 has no upper end.
pub static YEARS_IN_GROUND: [[i64; 2]; 4] = [[25, 0], [15, 25], [5, 15], [0, 5]];
/// The same above the ground.
pub static YEARS_ABOVE: [[i64; 2]; 4] = [[40, 0], [15, 40], [7, 15], [0, 7]];
/// Where both stand: read on timberinfo.com.au and qtimber.daf.qld.gov.au.
pub const YEARS_FROM: (&str, Mark) = ("AS 5604-2005, expected life by class", Mark::Published);

/// The years of a class in a zone; `None` of a class that is none.
pub fn years(class: i64, zone: Zone) -> Option<[i64; 2]> {
    let table = if zone == Zone::Soil { &YEARS_IN_GROUND } else { &YEARS_ABOVE };
    table.get(usize::try_from(class.checked_sub(1)?).ok()?).copied()
}

/// The least share of a floor that drains, in hundredths of a percent, *common practice*.
pub const DRAINS: i64 = 100;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::materials;

    /// EN 350 as listed on stored pages (read): western red cedar 2 and 3, larch 3-4, Scots pine 3-4, Douglas fir 3 to 3-4,
    /// European oak 2 and 2-4, robinia 1-2, teak 1 to 1-3, spruce 4.
    #[test]
    fn classes_are_the_lists() {
        let rows = [
            ("western-red-cedar", [2, 3]),
            ("larch", [3, 4]),
            ("scots-pine", [3, 4]),
            ("douglas-fir", [3, 4]),
            ("oak", [2, 4]),
            ("robinia", [1, 2]),
            ("teak", [1, 3]),
            ("spruce", [4, 4]),
        ];
        for (name, classes) in rows {
            assert_eq!(of(name).map(|row| row.en_350), Some(classes), "{name}");
        }
        // Timber Queensland TDS 16b (read): blackbutt 2 in the ground and 1 above.
        assert_eq!(of("blackbutt").and_then(|row| row.as_5604), Some([2, 1]));
    }

    /// AS 5604-2005 (read): in the ground over 25, 15 to 25, 5 to 15, 0 to 5 years; above it over 40, 15 to 40, 7 to 15, 0 to 7.
    #[test]
    fn years_are_the_table_and_never_fewer_above() {
        let all = |zone| [1, 2, 3, 4].map(|class| years(class, zone));
        assert_eq!(all(Zone::Soil), [[25, 0], [15, 25], [5, 15], [0, 5]].map(Some));
        assert_eq!(all(Zone::Above), [[40, 0], [15, 40], [7, 15], [0, 7]].map(Some));
        assert!((1..=4).all(|class| years(class, Zone::Near) >= years(class, Zone::Soil)));
        assert_eq!((years(0, Zone::Soil), years(5, Zone::Soil)), (None, None));
    }

    #[test]
    fn every_row_is_a_material_of_the_house() {
        let rows = SPECIES.iter();
        assert!(OFTEN_TREATED.iter().all(|name| of(name).is_some()));
        assert!(rows.clone().all(|row| materials::find(row.name).is_some()));
        assert!(
            rows.clone()
                .all(|row| row.en_350[0] <= row.en_350[1] && row.as_5604.is_some() != row.as_5604_from.0.is_empty())
        );
        assert!(USES.iter().all(|row| std::ptr::eq(row, use_of(row.zone))));
    }
}
