//! Angles, with right angles exact.

use std::fmt;
use std::ops::{Add, Neg};

/// An angle as a whole number of millionths of a degree, so that right angles, half right angles and what a protractor
/// reads are exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Angle(i64);

/// An angle that is beyond two full turns or not a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BadAngle;

impl fmt::Display for BadAngle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "an angle lies between -720 and 720 degrees")
    }
}

impl std::error::Error for BadAngle {}

const MILLIONTHS: i64 = 1_000_000;

impl Angle {
    /// No turn.
    pub const ZERO: Angle = Angle(0);
    /// A quarter turn.
    pub const RIGHT: Angle = Angle(90 * MILLIONTHS);

    /// An angle of so many millionths of a degree.
    ///
    /// # Errors
    /// [`BadAngle`] beyond two full turns.
    pub fn from_millionths(millionths: i64) -> Result<Angle, BadAngle> {
        if millionths.abs() <= 720 * MILLIONTHS { Ok(Angle(millionths)) } else { Err(BadAngle) }
    }

    /// An angle in degrees, to the nearest millionth.
    ///
    /// # Errors
    /// [`BadAngle`] beyond two full turns and for what is not a number.
    pub fn degrees(degrees: f64) -> Result<Angle, BadAngle> {
        if !(-720.0..=720.0).contains(&degrees) {
            return Err(BadAngle);
        }
        Angle::from_millionths(libm::round(degrees * MILLIONTHS as f64) as i64)
    }

    /// In degrees, for printing.
    pub fn as_degrees(self) -> f64 {
        self.0 as f64 / MILLIONTHS as f64
    }

    /// How many millionths of a degree.
    pub fn millionths(self) -> i64 {
        self.0
    }

    /// How many quarter turns, if it is a whole number of them.
    pub fn quarters(self) -> Option<i64> {
        (self.0 % Angle::RIGHT.0 == 0).then_some(self.0 / Angle::RIGHT.0)
    }

    /// Sine and cosine: exact for whole quarter turns, from `libm` (the same bits on every machine) otherwise.
    /// This is the one place where an angle becomes a float.
    pub fn sin_cos(self) -> (f64, f64) {
        match self.quarters().map(|quarters| quarters.rem_euclid(4)) {
            Some(0) => (0.0, 1.0),
            Some(1) => (1.0, 0.0),
            Some(2) => (0.0, -1.0),
            Some(_) => (-1.0, 0.0),
            None => {
                let radians = self.as_degrees() * (std::f64::consts::PI / 180.0);
                (libm::sin(radians), libm::cos(radians))
            }
        }
    }
}

impl Add for Angle {
    type Output = Angle;
    fn add(self, other: Angle) -> Angle {
        Angle(self.0.checked_add(other.0).expect("a sum of angles beyond 25 billion turns"))
    }
}

impl Neg for Angle {
    type Output = Angle;
    fn neg(self) -> Angle {
        Angle(-self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quarter_turns_are_exact() {
        for (degrees, expected) in [(0.0, (0.0, 1.0)), (90.0, (1.0, 0.0)), (-90.0, (-1.0, 0.0)), (180.0, (0.0, -1.0))] {
            assert_eq!(Angle::degrees(degrees).expect("an angle").sin_cos(), expected, "{degrees}");
        }
    }

    /// sin 30° = 1/2 and cos 60° = 1/2: Euclid, Elements IV 15 (the side of the hexagon equals the radius).
    #[test]
    fn the_hexagon() {
        let (sin, _) = Angle::degrees(30.0).expect("an angle").sin_cos();
        let (_, cos) = Angle::degrees(60.0).expect("an angle").sin_cos();
        assert!((sin - 0.5).abs() < 1e-15 && (cos - 0.5).abs() < 1e-15);
    }

    #[test]
    fn nonsense_is_refused() {
        assert_eq!(Angle::degrees(f64::NAN), Err(BadAngle));
        assert_eq!(Angle::degrees(f64::INFINITY), Err(BadAngle));
        assert_eq!(Angle::from_millionths(i64::MIN + 1), Err(BadAngle));
    }
}
