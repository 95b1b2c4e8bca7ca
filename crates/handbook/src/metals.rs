//! Fasteners outdoors: which metal lasts in which wood.

use model::stock::Metal;
use model::why::Mark;

/// What asks for a metal, with its source.
#[derive(Debug)]
pub struct Demand {
    /// What there is.
    pub what: &'static str,
    /// The least that lasts.
    pub least: Metal,
    /// Where that stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const fn demand(what: &'static str, least: Metal, source: &'static str, mark: Mark) -> Demand {
    Demand { what, least, source, mark }
}

/// Anything outdoors.
pub static OUTDOORS: Demand = demand(
    "wood outdoors",
    Metal::Coated,
    "stainless or high-performance coated for what is outdoors: Timber Decking and Cladding Association, in the TRADA yearbook 2022",
    Mark::Published,
);
/// Wood that is treated.
pub static TREATED: Demand = demand(
    "treated wood",
    Metal::HotDip,
    "hot-dip zinc (ASTM A153), stainless, silicon bronze or copper in treated wood: IBC 2304.9.5, IRC R317.3, as quoted on stored pages",
    Mark::Published,
);
/// Wood with tannin.
pub static TANNIN: Demand = demand(
    "wood with tannin",
    Metal::Stainless,
    "iron stains wood with tannin: TRADA yearbook 2022; which species those are is from memory",
    Mark::Published,
);
/// Treated wood in the ground.
pub static IN_GROUND: Demand = demand(
    "wood in the ground",
    Metal::Stainless,
    "stainless in wood that is treated for the ground (UC4B): a builders' journal, as quoted on a stored page",
    Mark::Published,
);
/// Salt in the air.
pub static COAST: Demand = demand(
    "salt in the air",
    Metal::Marine,
    "stainless near salt water, American Wood Council DCA 6; grade 316 is from memory",
    Mark::FromMemory,
);

/// Zinc that is lost in a year, in nanometres, at most, by the class of ISO 9223:2012: C1 to C5.
pub static ZINC_LOST: [i64; 5] = [100, 700, 2_100, 4_200, 8_400];
/// Where it stands: read in a stored table in the form of ISO 12944-2.
pub const ZINC_FROM: (&str, Mark) = ("ISO 9223:2012, loss in the first year", Mark::Published);

/// Whole years that so much zinc lasts at worst in a class, 1 to 5; `None` of another class.
pub fn zinc_years(nanometres: i64, class: usize) -> Option<i64> {
    Some(nanometres.max(0) / ZINC_LOST.get(class.checked_sub(1)?)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 9223:2012: 2.1 µm of zinc a year at most in C3, so 50 µm of hot-dip zinc last 23.8 years (24, worked by hand).
    #[test]
    fn zinc_goes_by_its_class() {
        assert_eq!(zinc_years(50_000, 3), Some(23));
        assert_eq!((zinc_years(50_000, 0), zinc_years(50_000, 6)), (None, None));
        let falling: Vec<_> = (1..=5).filter_map(|class| zinc_years(50_000, class)).collect();
        assert!(falling.windows(2).all(|pair| pair[0] >= pair[1]));
    }

    #[test]
    fn worse_places_ask_for_no_less() {
        let rows = [&OUTDOORS, &TREATED, &IN_GROUND, &COAST];
        assert!(rows.windows(2).all(|pair| pair[0].least <= pair[1].least));
    }
}
