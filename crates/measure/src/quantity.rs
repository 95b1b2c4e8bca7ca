//! Areas, volumes, masses, money and time as types, so that none is taken for another.

use crate::Length;
use crate::length::divide_half_away;
use std::iter::Sum;
use std::ops::{Add, Mul, Sub};

macro_rules! adds {
    ($type:ident) => {
        impl Add for $type {
            type Output = $type;
            fn add(self, other: $type) -> $type {
                $type(self.0.checked_add(other.0).expect(concat!("a sum too large for ", stringify!($type))))
            }
        }
        impl Sub for $type {
            type Output = $type;
            fn sub(self, other: $type) -> $type {
                $type(self.0.checked_sub(other.0).expect(concat!("a difference too large for ", stringify!($type))))
            }
        }
        impl Sum for $type {
            fn sum<I: Iterator<Item = $type>>(items: I) -> $type {
                items.fold($type(0), Add::add)
            }
        }
        impl Mul<i64> for $type {
            type Output = $type;
            fn mul(self, times: i64) -> $type {
                $type(self.0.checked_mul(times.into()).expect(concat!("a multiple too large for ", stringify!($type))))
            }
        }
    };
}

/// An area in square nanometres. The operators panic on overflow, which starts at 10²⁰ m².
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Area(i128);
adds!(Area);

impl Area {
    /// The area of a rectangle.
    pub fn of(a: Length, b: Length) -> Area {
        Area(i128::from(a.nanometres()) * i128::from(b.nanometres()))
    }

    /// In square nanometres.
    pub fn square_nanometres(self) -> i128 {
        self.0
    }
}

/// A volume in cubic nanometres. The operators panic on overflow, which starts at 10¹¹ m³.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Volume(i128);
adds!(Volume);

impl Volume {
    /// The volume of a box; `None` where it would overflow.
    pub fn of(a: Length, b: Length, c: Length) -> Option<Volume> {
        Area::of(a, b).0.checked_mul(i128::from(c.nanometres())).map(Volume)
    }

    /// A volume of so many cubic nanometres.
    pub fn from_cubic_nanometres(cubic_nanometres: i128) -> Volume {
        Volume(cubic_nanometres)
    }

    /// A volume of so many litres.
    pub fn litres(litres: u32) -> Volume {
        // A litre is 10²⁴ nm³, so that any u32 of them fits.
        Volume(i128::from(litres) * 10_i128.pow(24))
    }

    /// In cubic nanometres.
    pub fn cubic_nanometres(self) -> i128 {
        self.0
    }

    /// The mass of this volume at a density, to the nearest milligram, halves away from zero; `None` where it would
    /// overflow.
    pub fn mass(self, density: Density) -> Option<Mass> {
        // 1 nm³ at 1 kg/m³ is 10⁻²⁷ kg, which is 10⁻²¹ mg.
        let scaled = self.0.checked_mul(i128::from(density.0))?;
        i64::try_from(divide_half_away(scaled, 10_i128.pow(21))).ok().map(Mass)
    }
}

/// A density in whole kilograms per cubic metre.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Density(u32);

impl Density {
    /// So many kilograms per cubic metre.
    pub const fn kg_per_m3(value: u32) -> Density {
        Density(value)
    }

    /// In kilograms per cubic metre.
    pub fn value(self) -> u32 {
        self.0
    }
}

/// A mass in whole milligrams.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mass(i64);
adds!(Mass);

impl Mass {
    /// So many milligrams.
    pub const fn milligrams(value: i64) -> Mass {
        Mass(value)
    }

    /// So many kilograms.
    pub const fn kg(value: i64) -> Mass {
        Mass(value * 1_000_000)
    }

    /// In milligrams.
    pub fn value(self) -> i64 {
        self.0
    }

    /// In kilograms with one decimal, or in pounds as the tape's unit asks: with one decimal below 100 lb and none from
    /// there on.
    ///
    /// # Source
    /// 1 lb = 0.453 592 37 kg exactly: international yard and pound agreement, 1959.
    pub fn show(self, unit: crate::Unit) -> String {
        let milligrams = i128::from(self.0).abs();
        let (tenths, unit) = match unit {
            crate::Unit::Millimetre => (divide_half_away(milligrams, 100_000), "kg"),
            crate::Unit::Inch | crate::Unit::FootInch => (divide_half_away(milligrams * 1000, 45_359_237), "lb"),
        };
        let sign = if self.0 < 0 && tenths > 0 { "-" } else { "" };
        if unit == "lb" && tenths >= 1000 {
            return format!("{sign}{} lb", divide_half_away(milligrams * 100, 45_359_237));
        }
        format!("{sign}{}.{} {unit}", tenths / 10, tenths % 10)
    }
}

/// Money in hundredths of the plan's currency, whatever it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Money(i64);
adds!(Money);

impl Money {
    /// So many hundredths.
    pub const fn hundredths(value: i64) -> Money {
        Money(value)
    }

    /// In hundredths.
    pub fn value(self) -> i64 {
        self.0
    }

    /// Reads `11.28`, `11.5` or `11`; `None` for anything else, for more than two decimals, and beyond 10¹² .
    pub fn parse(text: &str) -> Option<Money> {
        let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
        let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        if !digits(whole) || (text.contains('.') && !digits(decimals)) || whole.len() > 12 || decimals.len() > 2 {
            return None;
        }
        format!("{whole}{decimals:0<2}").parse().ok().map(Money)
    }
}

impl std::fmt::Display for Money {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        write!(f, "{sign}{}.{:02}", self.0.unsigned_abs() / 100, self.0.unsigned_abs() % 100)
    }
}

/// Working time in whole minutes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Minutes(i64);
adds!(Minutes);

impl Minutes {
    /// So many minutes.
    pub const fn new(value: i64) -> Minutes {
        Minutes(value)
    }

    /// In minutes.
    pub fn value(self) -> i64 {
        self.0
    }
}

/// A share of a whole in hundredths of a percent: 5 % is 500.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Percent(u32);

impl Percent {
    /// So many whole percent.
    pub const fn new(percent: u32) -> Percent {
        Percent(percent * 100)
    }

    /// So many hundredths of a percent.
    pub const fn hundredths(value: u32) -> Percent {
        Percent(value)
    }

    /// In hundredths of a percent.
    pub fn value(self) -> u32 {
        self.0
    }

    /// This share of a length, down to the nanometre below.
    pub fn of(self, length: Length) -> Length {
        // A share of a length is below a thousand times it at most, and lengths that are read stop at 10 km.
        Length::nm((i128::from(length.nanometres()) * i128::from(self.0)).div_euclid(10_000) as i64)
    }

    /// `count` and this share of it, rounded up to a whole one: 42 and 5 % are 45.
    pub fn more_than(self, count: u64) -> u64 {
        let scaled = u128::from(count) * (10_000 + u128::from(self.0));
        u64::try_from(scaled.div_ceil(10_000)).unwrap_or(u64::MAX)
    }
}

impl std::fmt::Display for Percent {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = format!("{}.{:02}", self.0 / 100, self.0 % 100);
        write!(f, "{} %", text.trim_end_matches('0').trim_end_matches('.'))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A deck board of our own: 2400 x 145 x 21 at 1000 kg/m³ is 7.308 kg, by hand.
    #[test]
    fn mass_of_a_board() {
        let volume = Volume::of(Length::mm(2400), Length::mm(145), Length::mm(21)).expect("small");
        let mass = volume.mass(Density::kg_per_m3(1000)).expect("small");
        assert_eq!(mass, Mass::milligrams(7_308_000));
        assert_eq!(mass.show(crate::Unit::Millimetre), "7.3 kg");
        assert_eq!(mass.show(crate::Unit::Inch), "16.1 lb", "7.308 / 0.45359237 = 16.111");
    }

    /// 1 lb = 453 592.37 mg: international yard and pound agreement, 1959. 4.5 lb = 2 041 165.7 mg, 99.94 lb =
    /// 45 332 021.5 mg, 99.95 lb = 45 336 557.4 mg, 100.5 lb = 45 586 033.2 mg.
    #[test]
    fn pounds_have_a_decimal_below_a_hundred() {
        for (milligrams, expected) in [
            (0, "0.0 lb"),
            (2_041_166, "4.5 lb"),
            (45_332_021, "99.9 lb"),
            (45_336_558, "100 lb"),
            (45_359_237, "100 lb"),
            (45_586_034, "101 lb"),
            (-2_041_166, "-4.5 lb"),
        ] {
            assert_eq!(Mass::milligrams(milligrams).show(crate::Unit::FootInch), expected, "{milligrams} mg");
        }
        assert_eq!(Mass::milligrams(-150_000).show(crate::Unit::Millimetre), "-0.2 kg");
        assert_eq!(Mass::milligrams(-1).show(crate::Unit::Millimetre), "0.0 kg");
        assert_eq!(Mass::kg(100).show(crate::Unit::Millimetre), "100.0 kg");
    }

    #[test]
    fn money_is_read_and_shown() {
        for (text, hundredths) in [("11.28", 1128), ("11.5", 1150), ("11", 1100), ("0.05", 5)] {
            assert_eq!(Money::parse(text), Some(Money::hundredths(hundredths)), "{text}");
        }
        for text in ["", ".", "1.", ".5", "1.234", "-1", "1e3", "NaN", "9999999999999"] {
            assert_eq!(Money::parse(text), None, "{text}");
        }
        assert_eq!(Money::hundredths(-1205).to_string(), "-12.05");
    }

    /// 42 setts with 5 % spare are 45 to buy (44.1 rounded up): a scenario of our own.
    #[test]
    fn spares_are_rounded_up() {
        assert_eq!(Percent::new(5).more_than(42), 45);
        assert_eq!(Percent::new(5).more_than(40), 42);
        assert_eq!(Percent::new(0).more_than(40), 40);
        assert_eq!(Percent::hundredths(250).to_string(), "2.5 %");
    }

    #[test]
    fn too_large_is_none() {
        let long = Length::nm(i64::MAX);
        assert_eq!(Volume::of(long, long, long), None);
        assert_eq!(
            Volume::of(long, Length::mm(1), Length::mm(1)).and_then(|v| v.mass(Density::kg_per_m3(u32::MAX))),
            None
        );
    }
}
