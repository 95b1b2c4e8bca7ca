//! Prices by measure: by the metre, the foot, the board foot and the square metre.

use crate::why::{Case, Input, Mark, Of, Quantity, Rule, Value};
use measure::{Length, Money};

/// What a price is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// A metre of length.
    Metre,
    /// A foot of length: 304.8 mm.
    Foot,
    /// A foot by a foot by an inch: 144 cubic inches, of the size by which it is sold.
    BoardFoot,
    /// A square metre, of the width by which it is sold.
    SquareMetre,
}

/// A price by measure, and the sides of what costs it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measured {
    /// What the price is for.
    pub measure: Measure,
    /// The price of one measure.
    pub rate: Money,
    /// Length, width and thickness, as sold.
    pub sides: [Length; 3],
}

const METRE: Length = Length::mm(1000);
const FOOT: Length = Length::inch_64ths(12 * 64);
const INCH: Length = Length::inch_64ths(64);

/// What a price by measure comes to.
pub static PRICE_BY_MEASURE: Rule = Rule {
    id: "price-by-measure",
    words: "The price of one measure times how many measures there are, each side over the side of the measure; to the nearest hundredth",
    formula: "price = price of a measure × side / side of the measure × …",
    inputs: &["price of a measure", "side, side of the measure…"],
    source: "a board foot is 12 in × 12 in × 1 in, by the size as sold: the lumber trade of North America",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [rate, sides @ ..] if !sides.is_empty() => {
            let (sides, rest) = sides.as_chunks::<2>();
            let product = |at: usize| sides.iter().try_fold(1_i128, |product, side| product.checked_mul(side[at]));
            let (many, one) = (rate.checked_mul(product(0)?)?, product(1)?);
            if !rest.is_empty() || one <= 0 || many < 0 {
                return None;
            }
            Some(many.checked_mul(2)?.checked_add(one)?.div_euclid(one.checked_mul(2)?))
        }
        _ => None,
    },
    case: Case {
        given: &[450, 2_438_400_000, 304_800_000, 152_400_000, 304_800_000, 25_400_000, 25_400_000],
        gives: 1800,
        source: "a 1 × 6 of 8 ft is 4 board feet; at 4.50 each 18.00, worked by hand",
    },
};

impl Measured {
    /// The measure's sides beside the sides of what is measured.
    fn pairs(&self) -> Vec<(&'static str, Length, Length)> {
        let [length, width, thickness] = self.sides;
        match self.measure {
            Measure::Metre => vec![("length", length, METRE)],
            Measure::Foot => vec![("length", length, FOOT)],
            Measure::SquareMetre => vec![("length", length, METRE), ("width as sold", width, METRE)],
            Measure::BoardFoot => {
                vec![("length", length, FOOT), ("width as sold", width, FOOT), ("thickness as sold", thickness, INCH)]
            }
        }
    }

    /// What it comes to, with its why; `None` where that is too large to be written.
    pub fn quantity(&self, name: impl Into<String>) -> Option<Quantity> {
        let mut inputs = vec![Input::new("price of a measure", Value::money(self.rate))];
        for (side, length, one) in self.pairs() {
            inputs.push(Input::new(side, Value::length(length)));
            inputs.push(Input::new("side of the measure", Value::length(one)));
        }
        Quantity::by(name, "the price of one", Of::Money, &PRICE_BY_MEASURE, inputs)
    }

    /// What it comes to; `None` where that is too large to be written.
    pub fn price(&self) -> Option<Money> {
        let value = self.quantity("price")?.value.value;
        i64::try_from(value).ok().map(Money::hundredths)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Board feet by the trade's arithmetic (thickness in inches × width in inches × length in feet / 12): a 2 × 4 of 10 ft is
    /// 6⅔, a 1 × 6 of 8 ft is 4, a 6 × 8 of 8 ft is 32. By the metre 3.6 × 4.70 = 16.92; a sheet of 2440 × 1220 at 20.00 for
    /// the square metre is 2.9768 × 20 = 59.54.
    #[test]
    fn prices_by_measure() {
        let inch = |inches: i64| Length::inch_64ths(64 * inches);
        let price = |measure, rate, sides| Measured { measure, rate: Money::hundredths(rate), sides }.price();
        let feet =
            |rate, thick, wide, feet: i64| price(Measure::BoardFoot, rate, [inch(12 * feet), inch(wide), inch(thick)]);
        assert_eq!(feet(300, 2, 4, 10), Some(Money::hundredths(2000)));
        assert_eq!(feet(450, 1, 6, 8), Some(Money::hundredths(1800)));
        assert_eq!(feet(100, 6, 8, 8), Some(Money::hundredths(3200)));
        let sides = [Length::mm(3600), Length::mm(145), Length::mm(20)];
        assert_eq!(price(Measure::Metre, 470, sides), Some(Money::hundredths(1692)));
        assert_eq!(price(Measure::Foot, 110, [inch(96), inch(4), inch(1)]), Some(Money::hundredths(880)));
        let sheet = [Length::mm(2440), Length::mm(1220), Length::mm(18)];
        assert_eq!(price(Measure::SquareMetre, 2000, sheet), Some(Money::hundredths(5954)));
        // Half a hundredth goes up: 0.05 for a metre, half a metre long.
        assert_eq!(price(Measure::Metre, 5, [Length::mm(500), sides[1], sides[2]]), Some(Money::hundredths(3)));
    }

    #[test]
    fn the_rule_gives_its_case_and_never_panics() {
        crate::why::check_rule(&PRICE_BY_MEASURE);
        for given in [&[1_i128][..], &[1, 2], &[1, 2, 0], &[1, 2, 3, 4], &[i128::MAX, 2, 1], &[1, i128::MAX, i128::MAX]]
        {
            (PRICE_BY_MEASURE.compute)(given);
        }
        assert_eq!((PRICE_BY_MEASURE.compute)(&[i128::MAX, 2, 1]), None);
    }
}
