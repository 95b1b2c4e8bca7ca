//! The referee's own formulas, one for each rule, written from the page of rules.

use crate::buying::with_spare;

/// The referee's own formulas, by the id of the rule: the value of some inputs; `None` if they give none.
pub(super) fn formula(rule: &str, x: &[i128]) -> Option<i128> {
    let milli = 10_i128.pow(21);
    match (rule, x) {
        ("fitted", [wish, moved]) => wish.checked_add(*moved),
        ("gap", [row, members, member, gaps]) if *gaps > 0 => {
            Some(row.checked_sub(members.checked_mul(*member)?)?.div_euclid(*gaps))
        }
        ("pattern-gap", [row, members, gaps]) if *gaps > 0 => Some(row.checked_sub(*members)?.div_euclid(*gaps)),
        ("row-length", [side, start, finish]) => side.checked_add(*start)?.checked_add(*finish),
        ("upright", [top, bottom, raised]) => top.checked_sub(*bottom)?.checked_sub(*raised),
        ("slack", [stock, trim, parts, cuts, kerf]) => {
            stock.checked_sub(*trim)?.checked_sub(*parts)?.checked_sub(cuts.checked_mul(*kerf)?)
        }
        ("breaks-at", [stock, trim, parts, cuts]) if *cuts > 0 => {
            Some(stock.checked_sub(*trim)?.checked_sub(*parts)?.div_euclid(*cuts))
        }
        ("reserve", [per_cut, cuts, per_board]) => per_cut.checked_mul(*cuts)?.checked_add(*per_board),
        ("spares", [laid, spare]) if *laid >= 0 && (0..=10_000).contains(spare) => {
            Some(with_spare(*laid, i64::try_from(*spare).ok()?))
        }
        ("amount", [count, price]) => count.checked_mul(*price),
        ("total", amounts) => amounts.iter().try_fold(0_i128, |sum, amount| sum.checked_add(*amount)),
        // A cubic nanometre at a kilogram for the cubic metre is 10⁻²¹ mg; the nearest milligram is taken.
        ("mass", [length, width, thickness, density]) => {
            let product = length.checked_mul(*width)?.checked_mul(*thickness)?.checked_mul(*density)?;
            Some(product.checked_mul(2)?.checked_add(milli)?.div_euclid(2 * milli))
        }
        ("stated-mass", [mass]) => Some(*mass),
        ("sum-of-masses", pairs) if pairs.len() % 2 == 0 => {
            pairs.chunks(2).try_fold(0_i128, |sum, pair| sum.checked_add(pair[0].checked_mul(pair[1])?))
        }
        // A cubic millimetre at a kilogram for the cubic metre is a thousandth of a milligram.
        ("mass-of-volume", [volume, density]) => {
            Some(volume.checked_mul(*density)?.checked_add(500)?.div_euclid(1000))
        }
        ("whole-packs", [used, each]) if *each > 0 => Some(used.checked_add(each - 1)?.div_euclid(*each)),
        ("team-lift", [one, people, share]) => Some(one.checked_mul(*people)?.checked_mul(*share)?.div_euclid(1000)),
        _ => None,
    }
}

/// The rules that the referee knows.
pub(super) const KNOWN: &[&str] = &[
    "fitted",
    "gap",
    "pattern-gap",
    "row-length",
    "upright",
    "slack",
    "breaks-at",
    "reserve",
    "spares",
    "amount",
    "total",
    "mass",
    "stated-mass",
    "sum-of-masses",
    "mass-of-volume",
    "whole-packs",
    "team-lift",
];

#[cfg(test)]
mod tests {
    use super::formula;

    /// Worked by hand: a trough's end board, eight posts of 446 on a 3600, a deck board of 2400 × 145 × 21 at 1000 kg/m³.
    #[test]
    fn formulas_give_what_was_worked_by_hand() {
        let mm = 1_000_000;
        assert_eq!(formula("row-length", &[520, -20, -20]), Some(480));
        assert_eq!(formula("slack", &[3600, 10, 3568, 7, 3]), Some(1));
        assert_eq!(formula("breaks-at", &[3600 * mm, 10 * mm, 3568 * mm, 7]), Some(3_142_857));
        assert_eq!(formula("mass", &[2400 * mm, 145 * mm, 21 * mm, 1000]), Some(7_308_000));
        assert_eq!(formula("gap", &[1_174_750_000, 11, 88_900_000, 10]), Some(19_685_000));
        assert_eq!(formula("sum-of-masses", &[8, 7_308_000]), Some(58_464_000));
        assert_eq!(formula("team-lift", &[25 * mm, 2, 666]), Some(33_300_000));
        // Two litres at 550 kg/m³ are 1.1 kg; 307.5 litres are seven bags of 50;
        // of a metre 915 mm are members and ten gaps share 85.
        assert_eq!(formula("mass-of-volume", &[2_000_000, 550]), Some(1_100_000));
        assert_eq!(formula("whole-packs", &[307_500_000, 50_000_000]), Some(7));
        assert_eq!(formula("pattern-gap", &[1_000 * mm, 915 * mm, 10]), Some(8_500_000));
        assert_eq!(formula("stated-mass", &[2_600_000]), Some(2_600_000));
        assert_eq!(formula("stated-mass", &[1, 2_600_000]), None);
        assert_eq!(formula("mass", &[i128::MAX, 2, 2, 2]), None);
        assert_eq!(formula("unheard of", &[1]), None);
    }
}
