//! Names that look like sizes: 2 × 4 in is what a board is called, not what it measures.

use crate::plan::Named;
use crate::suggest::quote;
use measure::{Length, Tape, Unit};
use model::problem::Problem;
use model::schema::Values;

/// Nominal and dry dressed thickness of softwood, both in 64ths of an inch.
///
/// # Source
/// PS 20, the American Softwood Lumber Standard, minimum dressed sizes of finish, boards, dimension and timbers, dry
/// (figures *from memory*).
const THICKNESS: &[(i64, i64)] = &[(64, 48), (80, 64), (96, 80), (128, 96), (192, 160), (256, 224), (384, 352)];

/// Nominal and dry dressed width of softwood, both in 64ths of an inch; source as for [`THICKNESS`].
const WIDTH: &[(i64, i64)] =
    &[(128, 96), (192, 160), (256, 224), (320, 288), (384, 352), (512, 464), (640, 592), (768, 720)];

/// Questions a board whose thickness and width are exactly those of a name.
pub(crate) fn question(named: &Named<'_>, values: &Values, thickness: Length, width: Length) -> Option<Problem> {
    let (thin, wide) = (thickness.min(width), thickness.max(width));
    let real_thin = dressed(THICKNESS, thin)?;
    let real_wide = dressed(WIDTH, wide)?;
    let tape = Tape::usual(Unit::Inch);
    let bare = |length: Length| tape.show(length).replace('"', "");
    let name = format!("{} × {} in", bare(thin), bare(wide));
    let problem = Problem::new(format!("the board `{}` is said to measure {name}", quote(named.name)))
        .at(&values.place_of("thickness"))
        .expected("expected what a tape reads, not what the shop calls it")
        .hint(format!(
            "{name} is the name; it measures {} × {} in (PS 20, the American Softwood Lumber Standard); write `really = true` if yours was measured so",
            bare(real_thin),
            bare(real_wide),
        ));
    Some(problem)
}

fn dressed(table: &[(i64, i64)], nominal: Length) -> Option<Length> {
    let found = table.iter().find(|(name, _)| Length::inch_64ths(*name) == nominal);
    found.map(|(_, real)| Length::inch_64ths(*real))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1x = 3/4, 5/4 = 1, 2x = 1-1/2, x4 = 3-1/2, x6 = 5-1/2, x8 = 7-1/4, x10 = 9-1/4, x12 = 11-1/4 (PS 20; *common
    /// practice* in every North American yard).
    #[test]
    fn names_and_sizes() {
        let inch = |text| measure::parse(text, Unit::Inch).expect("a length");
        for (name, real) in [("1", "3/4"), ("1-1/4", "1"), ("2", "1-1/2"), ("4", "3-1/2")] {
            assert_eq!(dressed(THICKNESS, inch(name)), Some(inch(real)));
        }
        for (name, real) in [("4", "3-1/2"), ("6", "5-1/2"), ("8", "7-1/4"), ("10", "9-1/4"), ("12", "11-1/4")] {
            assert_eq!(dressed(WIDTH, inch(name)), Some(inch(real)));
        }
        assert_eq!(dressed(THICKNESS, inch("1-1/2")), Some(inch("1-1/4")));
        assert_eq!(dressed(WIDTH, inch("3-1/2")), None);
        assert_eq!(dressed(WIDTH, inch("7-1/4")), None);
    }
}
