//! A length that is not fixed yet: whole multiples of the plan's sizes, and something that is.

use measure::Length;
use std::collections::BTreeMap;
use std::ops::{Add, Mul, Sub};

/// A size of the plan, by its place in the list that fit decides on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SizeId(pub usize);

/// `Σ aᵢ·sizeᵢ + b`: what a face, a row or a stretch measures before the sizes are known. Once they are, [`Affine::at`]
/// makes a plain length of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Affine {
    terms: BTreeMap<SizeId, i64>,
    constant: Length,
}

impl Affine {
    /// A size itself.
    pub fn size(id: SizeId) -> Affine {
        Affine { terms: BTreeMap::from([(id, 1)]), constant: Length::ZERO }
    }

    /// The sizes that it hangs on, each with how often it counts; none counts zero times.
    pub fn terms(&self) -> impl Iterator<Item = (SizeId, i64)> + '_ {
        self.terms.iter().map(|(&id, &times)| (id, times))
    }

    /// The part that is fixed.
    pub fn constant(&self) -> Length {
        self.constant
    }

    /// Its value for given sizes, by [`SizeId`]. A size beyond the list counts as zero; pieces only ever hold ids that
    /// the plan's own list gave them.
    pub fn at(&self, sizes: &[Length]) -> Length {
        let value = |id: SizeId| sizes.get(id.0).copied().unwrap_or(Length::ZERO);
        self.terms().fold(self.constant, |sum, (id, times)| sum + value(id) * times)
    }
}

impl From<Length> for Affine {
    fn from(constant: Length) -> Affine {
        Affine { terms: BTreeMap::new(), constant }
    }
}

impl Add for Affine {
    type Output = Affine;
    fn add(mut self, other: Affine) -> Affine {
        for (id, times) in other.terms {
            let sum = self.terms.get(&id).copied().unwrap_or(0) + times;
            if sum == 0 {
                self.terms.remove(&id)
            } else {
                self.terms.insert(id, sum)
            };
        }
        self.constant += other.constant;
        self
    }
}

impl Add<Length> for Affine {
    type Output = Affine;
    fn add(mut self, other: Length) -> Affine {
        self.constant += other;
        self
    }
}

impl Mul<i64> for Affine {
    type Output = Affine;
    fn mul(self, by: i64) -> Affine {
        let terms =
            self.terms.into_iter().map(|(id, times)| (id, times * by)).filter(|(_, times)| *times != 0).collect();
        Affine { terms, constant: self.constant * by }
    }
}

impl Sub for Affine {
    type Output = Affine;
    fn sub(self, other: Affine) -> Affine {
        self + other * -1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_and_differences_cancel() {
        let (a, b) = (Affine::size(SizeId(0)), Affine::size(SizeId(1)));
        let face = a.clone() * 2 + b.clone() - a.clone() + Length::mm(20);
        assert_eq!(face.at(&[Length::mm(100), Length::mm(7)]), Length::mm(127));
        assert_eq!((face - a - b).terms().count(), 0);
    }
}
