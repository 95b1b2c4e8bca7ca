//! A length shared over several places, never divided until it is marked.

use crate::Length;
use crate::length::divide_half_away;

/// A total shared evenly over a number of places: fifteen joints that make 140 together.
///
/// The single share need not be a whole number of anything, so it is never computed; [`Share::mark`] gives the place of
/// each mark on the tape, and the marks add up to the total exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Share {
    total: Length,
    places: u32,
}

impl Share {
    /// `total` over `places`; `None` if there is no place to share it over.
    pub fn new(total: Length, places: u32) -> Option<Share> {
        (places > 0).then_some(Share { total, places })
    }

    /// All places together.
    pub fn total(self) -> Length {
        self.total
    }

    /// Over how many places.
    pub fn places(self) -> u32 {
        self.places
    }

    /// The sum of the first `count` shares, down to the nanometre below.
    pub fn first(self, count: u32) -> Length {
        let sum = i128::from(self.total.nanometres()) * i128::from(count);
        // The quotient is below |total| times count, and callers count places of this share: it fits.
        Length::nm(sum.div_euclid(i128::from(self.places)) as i64)
    }

    /// `base` and the first `count` shares together, on the nearest mark of a tape with this `step`, halves away from
    /// zero. With `base` the members passed so far, this is the edge of the next member: `round(i (b + g) / s) s`
    /// (*common practice*: mark from one datum, never from mark to mark).
    pub fn mark(self, base: Length, count: u32, step: Length) -> Length {
        let places = i128::from(self.places);
        let exact = i128::from(base.nanometres()) * places + i128::from(self.total.nanometres()) * i128::from(count);
        let step_nm = i128::from(step.nanometres().max(1));
        Length::nm((divide_half_away(exact, step_nm * places) * step_nm) as i64)
    }

    /// The marks between the places: one after the first share, one after the second, and so on to the total. Each lies
    /// on the tape, and the last is the total rounded to the tape.
    pub fn marks(self, step: Length) -> Vec<Length> {
        (1..=self.places).map(|count| self.mark(Length::ZERO, count, step)).collect()
    }

    /// How the whole steps of the tape are shared out: the smaller gap and how many have it, then the larger gap and how
    /// many have that. Their sum is the total rounded to the tape.
    pub fn in_steps(self, step: Length) -> [(Length, u32); 2] {
        let step_nm = step.nanometres().max(1);
        let steps = self.total.round_to(Length::nm(step_nm)).nanometres() / step_nm;
        let (each, more) = (steps.div_euclid(i64::from(self.places)), steps.rem_euclid(i64::from(self.places)));
        // `more` is below `places`, which is a u32.
        let more = more as u32;
        [(Length::nm(step_nm) * each, self.places - more), (Length::nm(step_nm) * (each + 1), more)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn inches(sixteenths: i64) -> Length {
        Length::inch_64ths(sixteenths * 4)
    }

    /// A screen of our own: eleven slats of 3-1/2 in in 46-1/4 in, marked in sixteenths from one datum. The figures were
    /// worked out with decimal arithmetic outside this project.
    #[test]
    fn marks_of_a_slatted_screen() {
        let gaps = Share::new(inches(740 - 11 * 56), 10).expect("ten gaps");
        let step = inches(1);
        let edges: Vec<Length> = (0..11).map(|i| gaps.mark(inches(56) * i64::from(i), i, step)).collect();
        let expected = [0, 68, 137, 205, 274, 342, 410, 479, 547, 616, 684].map(inches);
        assert_eq!(edges, expected);
        assert_eq!(gaps.in_steps(step), [(inches(12), 6), (inches(13), 4)]);
    }

    #[test]
    fn no_place_is_no_share() {
        assert_eq!(Share::new(Length::mm(1), 0), None);
    }

    proptest! {
        #[test]
        fn marks_reach_the_total_and_differ_by_one_step(total in 0_i64..10_000, places in 1_u32..200) {
            let share = Share::new(Length::mm(total), places).expect("places");
            let step = Length::mm(1);
            let marks = share.marks(step);
            prop_assert_eq!(*marks.last().expect("one at least"), Length::mm(total));
            let mut before = Length::ZERO;
            let low = Length::mm(total / i64::from(places));
            for mark in marks {
                let gap = mark - before;
                prop_assert!(gap == low || gap == low + step, "{:?} of {:?}", gap, low);
                before = mark;
            }
            let [(small, few), (large, many)] = share.in_steps(step);
            prop_assert_eq!(small * i64::from(few) + large * i64::from(many), Length::mm(total));
        }

        #[test]
        fn first_never_passes_the_exact_sum(total in -1_000_000_i64..1_000_000, places in 1_u32..50, count in 0_u32..50) {
            let share = Share::new(Length::nm(total), places).expect("places");
            let sum = share.first(count).nanometres() as i128 * i128::from(places);
            let exact = i128::from(total) * i128::from(count);
            prop_assert!(sum <= exact && exact < sum + i128::from(places));
        }
    }
}
