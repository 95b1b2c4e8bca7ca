//! How far a regular outline reaches, along the front and from front to back: so many times its side, as a fraction, so that what
//! fills it can be asked of fit in whole numbers.

use measure::Length;
use model::affine::Affine;
use model::outline::Outline;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// The greatest denominator of a reach: the fractions are then within 4 parts in 10⁸ (*our own choice*).
const LARGEST: i64 = 10_000;

/// A multiple of a side, as a fraction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Reach {
    pub(crate) times: i64,
    pub(crate) over: i64,
}

impl Reach {
    /// How far a regular outline reaches along the front, and from front to back: the sides that lead there, each by its part in
    /// that way.
    pub(crate) fn of(outline: &Outline) -> [Reach; 2] {
        let ways = outline.directions();
        [0, 1].map(|axis| Reach::near(ways.iter().map(|way| way[axis].max(0.0)).sum()))
    }

    /// The last convergent of the ratio's continued fraction whose denominator is no greater than [`LARGEST`].
    fn near(ratio: f64) -> Reach {
        let (mut before, mut last) = (Reach { times: 0, over: 1 }, Reach { times: 1, over: 0 });
        let mut rest = ratio;
        loop {
            // Sums of sines are whole to a few parts in 10¹⁶ where they are whole.
            let whole = libm::floor(rest + 1e-12);
            // A term that an `i64` does not hold is far beyond the largest denominator.
            let step = |last: i64, before: i64| last.checked_mul(whole as i64)?.checked_add(before);
            let next = step(last.times, before.times).zip(step(last.over, before.over));
            match next {
                Some((times, over)) if over <= LARGEST => (before, last) = (last, Reach { times, over }),
                _ => return last,
            }
            if rest - whole < 1e-9 {
                return last;
            }
            rest = 1.0 / (rest - whole);
        }
    }

    /// So far, for a side of this length, to the nearest nanometre.
    pub(crate) fn at(self, side: Length) -> Option<Length> {
        let reach = (REACH.compute)(&[side.nanometres().into(), self.times.into(), self.over.into()])?;
        i64::try_from(reach).ok().map(Length::nm)
    }

    /// The longest side with which it reaches no further than that.
    pub(crate) fn side_within(self, most: Length) -> Length {
        let side = i128::from(most.nanometres()) * i128::from(self.over) / i128::from(self.times);
        Length::nm(i64::try_from(side).unwrap_or(i64::MAX)).min(Length::READ_LIMIT)
    }

    /// What a row that fills it is asked to fill, [`Reach::over`] times over.
    pub(crate) fn face(self, side: &Affine) -> Affine {
        side.clone() * self.times
    }

    /// So far, with its why.
    pub(crate) fn explain(self, name: String, what: &str, side: Length) -> Option<Quantity> {
        let inputs = vec![
            Input::new("a side", Value::length(side)),
            Input::new("times", Value::count(self.times)),
            Input::new("over", Value::count(self.over)),
        ];
        Quantity::by(name, what, Of::Length, &REACH, inputs)
    }
}

/// How far a regular outline reaches.
pub(crate) static REACH: Rule = Rule {
    id: "reach",
    words: "A regular outline reaches a fixed multiple of its side, which is taken as a fraction within 4 parts in 10⁸",
    formula: "reach = side × times / over",
    inputs: &["side", "times", "over"],
    source: "the sides of a regular polygon that lead one way, each by the cosine of its turn from there; continued fractions",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [side, times, over] if *over > 0 => Some((2 * side.checked_mul(*times)? + over).div_euclid(2 * over)),
        _ => None,
    },
    case: Case {
        given: &[1_000_000_000, 13_775, 7_953],
        gives: 1_732_050_798,
        source: "a hexagon of side 1 is √3 = 1.7320508 across its flats (Euclid, Elements IV 15)",
    },
};

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms (any table of regular polygons): √3/2, the golden ratio φ and √(5 + 2√5)/2, 2 and √3, 1 + √2, 2 φ and
    /// √(5 + 2√5), 2 + √3.
    #[test]
    fn reaches_are_near_their_closed_forms() {
        let root = libm::sqrt;
        let golden = (1.0 + root(5.0)) / 2.0;
        let flats = root(5.0 + 2.0 * root(5.0));
        let forms = [
            (3, [1.0, root(3.0) / 2.0]),
            (5, [golden, flats / 2.0]),
            (6, [2.0, root(3.0)]),
            (8, [1.0 + root(2.0); 2]),
            (10, [2.0 * golden, flats]),
            (12, [2.0 + root(3.0); 2]),
        ];
        for (count, ratios) in forms {
            let outline = Outline::regular(count, Length::mm(1_000).into()).expect("a polygon");
            for (reach, ratio) in Reach::of(&outline).into_iter().zip(ratios) {
                let near = reach.times as f64 / reach.over as f64;
                assert!((near / ratio - 1.0).abs() < 4e-8 && reach.over <= LARGEST, "{count}: {reach:?} for {ratio}");
            }
        }
        let hexagon = Outline::regular(6, Length::mm(800).into()).expect("a polygon");
        assert_eq!(Reach::of(&hexagon), [Reach { times: 2, over: 1 }, Reach { times: 13_775, over: 7_953 }]);
        assert_eq!(Reach { times: 2, over: 1 }.side_within(Length::nm(1_001)), Length::nm(500));
    }
}
