//! Forces and what they do in wood: whole numbers with a unit in their type, so that none is taken for another.
//!
//! Formulas between them are worked out in floating point where they are declared, and rounded into these once.

use crate::Unit;
use std::ops::{Add, Mul, Sub};

/// Newtons of a pound-force: 0.453 592 37 kg at 9.806 65 m/s², both exact (international pound, 1959; standard gravity, CGPM
/// 1901).
const POUND: f64 = 4.448_221_615_260_5;
/// Metres of a foot, exact (1959).
const FOOT: f64 = 0.3048;
/// Pascals of a pound per square foot and per square inch, from the two.
const PSF: f64 = POUND / (FOOT * FOOT);
const PSI: f64 = PSF * 144.0;
/// From here on a pressure is told as a stress is: N/mm² and not kN/m², lb/in² and not lb/ft².
const STRESS_FROM: u64 = 100_000;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $new:ident, $what:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
        pub struct $name(i64);

        impl $name {
            #[doc = concat!("So many ", $what, ".")]
            pub const fn $new(value: i64) -> $name {
                $name(value)
            }

            #[doc = concat!("In ", $what, ".")]
            pub const fn value(self) -> i64 {
                self.0
            }

            #[doc = concat!("The nearest whole number of ", $what, "; `None` for what is not a number or does not fit.")]
            pub fn rounded(value: f64) -> Option<$name> {
                // Below 2⁶², which f64 holds with its sign.
                let rounded = (value.abs() + 0.5).floor();
                (rounded < 4.6e18).then(|| $name(rounded as i64 * if value < 0.0 { -1 } else { 1 }))
            }
        }

        /// Panics on overflow, which starts at 9 × 10¹⁸.
        impl Add for $name {
            type Output = $name;
            fn add(self, other: $name) -> $name {
                $name(self.0.checked_add(other.0).expect(concat!("a sum too large for ", stringify!($name))))
            }
        }
        /// Panics on overflow, which starts at 9 × 10¹⁸.
        impl Sub for $name {
            type Output = $name;
            fn sub(self, other: $name) -> $name {
                $name(self.0.checked_sub(other.0).expect(concat!("a difference too large for ", stringify!($name))))
            }
        }
        /// Panics on overflow, which starts at 9 × 10¹⁸.
        impl Mul<i64> for $name {
            type Output = $name;
            fn mul(self, times: i64) -> $name {
                $name(self.0.checked_mul(times).expect(concat!("a multiple too large for ", stringify!($name))))
            }
        }
    };
}

quantity!(
    /// A force in whole millinewtons.
    Force, millinewtons, "millinewtons");
quantity!(
    /// A pressure, a stress or a modulus of elasticity in whole pascals.
    Pressure, pascals, "pascals");
quantity!(
    /// A moment in whole newton-millimetres.
    Moment, newton_millimetres, "newton-millimetres");
quantity!(
    /// A force for each length of an edge or a beam, in whole newtons per metre.
    LineLoad, newtons_per_metre, "newtons per metre");
quantity!(
    /// What a cubic metre weighs as a force, in whole newtons per cubic metre.
    UnitWeight, newtons_per_m3, "newtons per cubic metre");
quantity!(
    /// A speed in whole millimetres per second: of wind.
    Speed, mm_per_s, "millimetres per second");
quantity!(
    /// A number without unit, in whole thousandths.
    Factor, thousandths, "thousandths");

impl Force {
    /// So many newtons.
    pub const fn newtons(value: i64) -> Force {
        Force(value * 1000)
    }

    /// In kN with two decimals, or in whole pounds as the tape's unit asks.
    pub fn show(self, unit: Unit) -> String {
        match unit {
            Unit::Millimetre => format!("{:.2} kN", self.0 as f64 / 1e6),
            Unit::Inch | Unit::FootInch => format!("{:.0} lb", self.0 as f64 / 1e3 / POUND),
        }
    }
}

impl Pressure {
    /// So many newtons per square millimetre.
    pub const fn n_per_mm2(value: i64) -> Pressure {
        Pressure(value * 1_000_000)
    }

    /// In kN/m² or lb/ft² below 100 kN/m², and in N/mm² or lb/in² from there on.
    pub fn show(self, unit: Unit) -> String {
        let stress = self.0.unsigned_abs() >= STRESS_FROM;
        let pascals = self.0 as f64;
        match (unit, stress) {
            (Unit::Millimetre, false) => format!("{:.2} kN/m²", pascals / 1e3),
            (Unit::Millimetre, true) => format!("{:.1} N/mm²", pascals / 1e6),
            (_, false) => format!("{:.0} lb/ft²", pascals / PSF),
            (_, true) => format!("{:.0} lb/in²", pascals / PSI),
        }
    }
}

impl Moment {
    /// In kNm with two decimals, or in whole foot-pounds.
    pub fn show(self, unit: Unit) -> String {
        match unit {
            Unit::Millimetre => format!("{:.2} kNm", self.0 as f64 / 1e6),
            Unit::Inch | Unit::FootInch => format!("{:.0} ft lb", self.0 as f64 / 1e3 / POUND / FOOT),
        }
    }
}

impl LineLoad {
    /// In kN/m with two decimals, or in whole pounds per foot.
    pub fn show(self, unit: Unit) -> String {
        match unit {
            Unit::Millimetre => format!("{:.2} kN/m", self.0 as f64 / 1e3),
            Unit::Inch | Unit::FootInch => format!("{:.0} lb/ft", self.0 as f64 / POUND * FOOT),
        }
    }
}

impl UnitWeight {
    /// In kN/m³ with one decimal, or in whole pounds per cubic foot.
    pub fn show(self, unit: Unit) -> String {
        match unit {
            Unit::Millimetre => format!("{:.1} kN/m³", self.0 as f64 / 1e3),
            Unit::Inch | Unit::FootInch => format!("{:.0} lb/ft³", self.0 as f64 / PSF * FOOT),
        }
    }
}

impl Speed {
    /// In m/s with one decimal, or in whole miles per hour (1 mph = 0.447 04 m/s exactly).
    pub fn show(self, unit: Unit) -> String {
        match unit {
            Unit::Millimetre => format!("{:.1} m/s", self.0 as f64 / 1e3),
            Unit::Inch | Unit::FootInch => format!("{:.0} mph", self.0 as f64 / 447.04),
        }
    }
}

impl Factor {
    /// With two decimals, three where the third is not nought.
    pub fn show(self) -> String {
        match self.0 % 10 {
            0 => format!("{:.2}", self.0 as f64 / 1e3),
            _ => format!("{:.3}", self.0 as f64 / 1e3),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 lbf = 4.448 222 N, 1 psf = 47.880 26 Pa, 1 psi = 6894.757 Pa, 1 pcf = 157.087 5 N/m³ (NIST SP 811 (2008) Appendix B.8,
    /// from memory; each follows from the exact foot, pound and standard gravity).
    #[test]
    fn shown_in_both_units() {
        let (mm, inch) = (Unit::Millimetre, Unit::Inch);
        assert_eq!(Force::newtons(1000).show(mm), "1.00 kN");
        assert_eq!(Force::millinewtons(4_448_222).show(inch), "1000 lb");
        assert_eq!(
            [Pressure::pascals(4500).show(mm), Pressure::pascals(4788).show(inch)],
            ["4.50 kN/m²", "100 lb/ft²"]
        );
        assert_eq!(Pressure::n_per_mm2(8).show(mm), "8.0 N/mm²");
        assert_eq!(Pressure::pascals(6_894_757).show(inch), "1000 lb/in²");
        assert_eq!(UnitWeight::newtons_per_m3(15_709).show(inch), "100 lb/ft³");
        assert_eq!(LineLoad::newtons_per_metre(14_594).show(inch), "1000 lb/ft");
        assert_eq!(
            [Moment::newton_millimetres(200_000).show(mm), Speed::mm_per_s(22_352).show(inch)],
            ["0.20 kNm", "50 mph"]
        );
        assert_eq!([Factor::thousandths(500).show(), Factor::thousandths(425).show()], ["0.50", "0.425"]);
    }

    #[test]
    fn rounded_once_and_only_numbers() {
        assert_eq!(Pressure::rounded(1.5), Some(Pressure::pascals(2)));
        assert_eq!(Pressure::rounded(-1.5), Some(Pressure::pascals(-2)));
        assert_eq!([Pressure::rounded(f64::NAN), Pressure::rounded(f64::INFINITY), Pressure::rounded(1e19)], [None; 3]);
    }
}
