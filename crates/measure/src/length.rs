//! Lengths as exact integers.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

/// A length, positive or negative, as a whole number of nanometres.
///
/// 1 mm is 1,000,000 nm and 1/64 in is 396,875 nm, so both tapes are exact; 1/128 in is not a whole number of nanometres
/// and is refused where it is read, never rounded. An `i64` reaches nine million kilometres.
///
/// # Panics
/// The operators are checked: they panic on overflow instead of wrapping. What a stranger can write is limited long before
/// (a plan's lengths to [`Length::READ_LIMIT`], its counts to some 10⁵), so no plan reaches that; the `checked_` forms are
/// for callers that multiply by a number nobody has limited.
///
/// # Example
/// ```
/// use measure::Length;
/// assert_eq!(Length::mm(18) + Length::inch_64ths(1), Length::nm(18_396_875));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0);
    /// The longest length that is read from text: 10 km, either way.
    pub const READ_LIMIT: Length = Length(10_000_000_000_000);

    /// A length of so many nanometres.
    pub const fn nm(nanometres: i64) -> Length {
        Length(nanometres)
    }

    /// A length of so many whole millimetres. Panics beyond nine million kilometres.
    pub const fn mm(millimetres: i64) -> Length {
        match millimetres.checked_mul(1_000_000) {
            Some(nanometres) => Length(nanometres),
            None => panic!("a length beyond nine million kilometres"),
        }
    }

    /// A length of so many 64ths of an inch (25.4 mm by definition, international yard and pound agreement of 1959).
    /// Panics beyond nine million kilometres.
    pub const fn inch_64ths(count: i64) -> Length {
        match count.checked_mul(396_875) {
            Some(nanometres) => Length(nanometres),
            None => panic!("a length beyond nine million kilometres"),
        }
    }

    /// The whole number of nanometres.
    pub const fn nanometres(self) -> i64 {
        self.0
    }

    /// In millimetres, for drawing and physics only: a float is not exact.
    pub fn as_mm(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// The sum, or `None` where it would overflow.
    pub fn checked_add(self, other: Length) -> Option<Length> {
        self.0.checked_add(other.0).map(Length)
    }

    /// So many times the length, or `None` where it would overflow.
    pub fn checked_mul(self, times: i64) -> Option<Length> {
        self.0.checked_mul(times).map(Length)
    }

    /// Without its sign.
    pub fn abs(self) -> Length {
        if self.0 < 0 { -self } else { self }
    }

    /// The nearest whole multiple of `step`, halves away from zero; the length itself if `step` is not positive.
    pub fn round_to(self, step: Length) -> Length {
        if step.0 <= 0 {
            return self;
        }
        Length(divide_half_away(i128::from(self.0), i128::from(step.0)) as i64 * step.0)
    }

    /// True if the length is a whole multiple of `step`.
    pub fn is_on(self, step: Length) -> bool {
        step.0 > 0 && self.0 % step.0 == 0
    }
}

/// `numerator / denominator` to the nearest whole number, halves away from zero. The denominator is positive.
pub(crate) fn divide_half_away(numerator: i128, denominator: i128) -> i128 {
    let sign = if numerator < 0 { -1 } else { 1 };
    sign * ((2 * numerator.abs() + denominator) / (2 * denominator))
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0.checked_add(other.0).expect("a sum of lengths beyond nine million kilometres"))
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0.checked_sub(other.0).expect("a difference of lengths beyond nine million kilometres"))
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, times: i64) -> Length {
        Length(self.0.checked_mul(times).expect("a multiple of a length beyond nine million kilometres"))
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(self.0.checked_neg().expect("a length beyond nine million kilometres"))
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        *self = *self - other;
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(lengths: I) -> Length {
        lengths.fold(Length::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_goes_to_the_nearest_step_halves_away() {
        let step = Length::mm(1);
        for (nm, mm) in [(1_499_999, 1), (1_500_000, 2), (-1_500_000, -2), (-1_499_999, -1), (0, 0)] {
            assert_eq!(Length::nm(nm).round_to(step), Length::mm(mm), "{nm} nm");
        }
        assert_eq!(Length::nm(7).round_to(Length::ZERO), Length::nm(7));
    }

    #[test]
    #[should_panic(expected = "nine million")]
    fn overflow_stops_and_does_not_wrap() {
        let _ = Length::nm(i64::MAX) + Length::nm(1);
    }

    #[test]
    fn checked_forms_return_none() {
        assert_eq!(Length::nm(i64::MAX).checked_add(Length::nm(1)), None);
        assert_eq!(Length::nm(i64::MAX).checked_mul(2), None);
    }
}
