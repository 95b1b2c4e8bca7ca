//! Members that stand no further apart than a spacing: as few equal bays as that takes.

use super::MOST_MEMBERS;
use crate::fitting::up;
use crate::laid::{Built, Number};

/// Equal bays between members, both end ones flush.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Spaced {
    /// From where the first member starts to where the last one does.
    pub reach: i128,
    pub bays: i128,
    spacing: Option<i128>,
}

impl Spaced {
    /// Where the last member starts `reach` behind the first; without a spacing there are these two.
    pub fn over(reach: i128, spacing: Option<i128>) -> Spaced {
        let bays = spacing
            .filter(|&spacing| spacing > 0)
            .map_or(1, |spacing| up(reach, spacing).clamp(1, MOST_MEMBERS.into()));
        Spaced { reach, bays, spacing }
    }

    /// Where member `i` starts.
    pub fn start(&self, i: i128) -> i128 {
        (self.reach * i).div_euclid(self.bays)
    }

    /// From one start to the next, down to the nanometre below.
    pub fn pitch(&self) -> i128 {
        self.start(1)
    }

    /// Expects why there are so many: `NAME.bays` and `NAME.pitch`. Without a spacing nothing was counted.
    pub fn expect(&self, name: &str, built: &mut Built<'_>) {
        let Some(spacing) = self.spacing else { return };
        let mut expect = |what: &str, rule, of, inputs| {
            built.numbers.push(Number { name: format!("{name}.{what}"), rule, of, inputs });
        };
        expect("bays", "as-needed", "count", vec![self.reach, spacing]);
        expect("pitch", "pitch", "nm", vec![self.reach, self.bays]);
    }
}

#[cfg(test)]
mod tests {
    use super::Spaced;

    /// Posts of 47 in a trough 1470 long inside, no more than 600 apart: 1423 from first to last, three bays of 474.333; and
    /// 1200 from first to last needs two bays of 600 but three where it is a nanometre more. Worked by hand.
    #[test]
    fn as_many_as_needed() {
        let mm = 1_000_000;
        let posts = Spaced::over(1_423 * mm, Some(600 * mm));
        assert_eq!(
            (posts.bays, posts.start(1), posts.start(2), posts.start(3)),
            (3, 474_333_333, 948_666_666, 1_423 * mm)
        );
        let bays = |reach| Spaced::over(reach, Some(600 * mm)).bays;
        assert_eq!([bays(1_200 * mm), bays(1_200 * mm + 1), bays(5), bays(-5)], [2, 3, 1, 1]);
        assert_eq!(Spaced::over(9_000 * mm, None).bays, 1);
    }
}
