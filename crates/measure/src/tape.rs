//! Prints a length as it stands on the maker's tape.

use crate::length::divide_half_away;
use crate::{Length, Share};

/// The unit that a maker's tape is read in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres: `845`.
    Millimetre,
    /// Inches and fractions: `84-3/4"`.
    Inch,
    /// Feet, inches and fractions: `7'-0 3/4"`.
    FootInch,
}

/// A tape: the unit it is read in and the step that its marks stand apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tape {
    unit: Unit,
    step: Length,
}

impl Tape {
    /// A tape in `unit` with marks at every `step`; `None` unless the step is one that such a tape has: 1 mm or 0.5 mm,
    /// 1/16 in or 1/32 in.
    pub fn new(unit: Unit, step: Length) -> Option<Tape> {
        let steps = match unit {
            Unit::Millimetre => [Length::mm(1), Length::nm(500_000)],
            Unit::Inch | Unit::FootInch => [Length::inch_64ths(4), Length::inch_64ths(2)],
        };
        steps.contains(&step).then_some(Tape { unit, step })
    }

    /// The usual tape of a unit: whole millimetres, or sixteenths of an inch.
    pub fn usual(unit: Unit) -> Tape {
        let step = match unit {
            Unit::Millimetre => Length::mm(1),
            Unit::Inch | Unit::FootInch => Length::inch_64ths(4),
        };
        Tape { unit, step }
    }

    /// The unit it is read in.
    pub fn unit(self) -> Unit {
        self.unit
    }

    /// How far its marks stand apart.
    pub fn step(self) -> Length {
        self.step
    }

    /// The unit as it is named beside a column of figures: `mm` or `in`.
    pub fn unit_name(self) -> &'static str {
        match self.unit {
            Unit::Millimetre => "mm",
            Unit::Inch | Unit::FootInch => "in",
        }
    }

    /// The unit in full, for a running text: `millimetres` or `inches`.
    pub fn unit_word(self) -> &'static str {
        match self.unit {
            Unit::Millimetre => "millimetres",
            Unit::Inch | Unit::FootInch => "inches",
        }
    }

    /// The reading nearest to `length`, in the way that tape is read; a length between two marks takes the nearer one,
    /// halves away from zero. Millimetres carry no unit, inches carry their marks. The length itself is not changed.
    ///
    /// # Example
    /// ```
    /// use measure::{Length, Tape, Unit};
    /// assert_eq!(Tape::usual(Unit::Inch).show(Length::inch_64ths(84 * 64 + 48)), "84-3/4\"");
    /// assert_eq!(Tape::usual(Unit::Millimetre).show(Length::nm(845_400_000)), "845");
    /// ```
    pub fn show(self, length: Length) -> String {
        let sign = if length.round_to(self.step) < Length::ZERO { "-" } else { "" };
        let steps = divide_half_away(i128::from(length.abs().nanometres()), i128::from(self.step.nanometres()));
        match self.unit {
            Unit::Millimetre if self.step == Length::mm(1) => format!("{sign}{steps}"),
            Unit::Millimetre => format!("{sign}{}{}", steps / 2, if steps % 2 == 1 { ".5" } else { "" }),
            Unit::Inch | Unit::FootInch => format!("{sign}{}", self.show_inches(steps)),
        }
    }

    /// The reading with its unit, for a running text: `845 mm`, `84-3/4"`.
    pub fn show_with_unit(self, length: Length) -> String {
        match self.unit {
            Unit::Millimetre => format!("{} mm", self.show(length)),
            Unit::Inch | Unit::FootInch => self.show(length),
        }
    }

    /// The length without rounding anything away: the reading if it stands on a mark, else a finer fraction of an inch if it is
    /// a whole number of 64ths, else decimals. For what is cut and set.
    ///
    /// # Example
    /// ```
    /// use measure::{Length, Tape, Unit};
    /// assert_eq!(Tape::usual(Unit::Inch).show_exact(Length::inch_64ths(60 * 64 + 46)), "60-23/32\"");
    /// assert_eq!(Tape::usual(Unit::Millimetre).show_exact(Length::nm(292_600_000)), "292.6");
    /// ```
    pub fn show_exact(self, length: Length) -> String {
        let fine = Tape { step: Length::inch_64ths(1), ..self };
        match self.unit {
            _ if length.is_on(self.step) => self.show(length),
            Unit::Inch | Unit::FootInch if length.is_on(fine.step) => fine.show(length),
            Unit::Inch | Unit::FootInch => format!("{}\"", self.show_fine(length)),
            Unit::Millimetre => self.show_fine(length),
        }
    }

    /// The length in decimals of the unit, without trailing zeros, finer than the marks: to 1/1000 mm or 1/10,000 in.
    /// For gaps, slacks and kerfs, which a tape does not read.
    pub fn show_fine(self, length: Length) -> String {
        self.fine(i128::from(length.nanometres()), 1)
    }

    /// The share of one place in decimals: two of a millimetre, four of an inch.
    ///
    /// # Example
    /// ```
    /// use measure::{Length, Share, Tape, Unit};
    /// let gaps = Share::new(Length::mm(140), 15).unwrap();
    /// assert_eq!(Tape::usual(Unit::Millimetre).show_share(gaps), "9.33");
    /// ```
    pub fn show_share(self, share: Share) -> String {
        self.fine(i128::from(share.total().nanometres()), i128::from(share.places()))
    }

    /// The share of one place as a gap is told: the reading where it comes out on a mark of the tape, else decimals. Inches
    /// carry their mark either way.
    ///
    /// # Example
    /// ```
    /// use measure::{Length, Share, Tape, Unit};
    /// let gaps = |sixteenths: i64| Share::new(Length::inch_64ths(4 * sixteenths), 8).unwrap();
    /// let tape = Tape::usual(Unit::Inch);
    /// assert_eq!((tape.show_gap(gaps(48)), tape.show_gap(gaps(49))), ("3/8\"".into(), "0.3828\"".into()));
    /// ```
    pub fn show_gap(self, share: Share) -> String {
        let [total, places] = [i128::from(share.total().nanometres()), i128::from(share.places())];
        let on_a_mark = total % (places * i128::from(self.step.nanometres())) == 0;
        match (self.unit, i64::try_from(total / places)) {
            (Unit::Inch | Unit::FootInch, Ok(each)) if on_a_mark => self.show(Length::nm(each)),
            (Unit::Inch | Unit::FootInch, _) => format!("{}\"", self.show_share(share)),
            (Unit::Millimetre, _) => self.show_share(share),
        }
    }

    fn fine(self, numerator: i128, denominator: i128) -> String {
        let (unit, decimals) = match self.unit {
            Unit::Millimetre if denominator == 1 => (1_000_000, 3),
            Unit::Millimetre => (1_000_000, 2),
            Unit::Inch | Unit::FootInch => (25_400_000, 4),
        };
        let scale = 10_i128.pow(decimals);
        let scaled = divide_half_away(numerator.abs() * scale, unit * denominator);
        let sign = if numerator < 0 && scaled != 0 { "-" } else { "" };
        let text = format!("{}.{:0width$}", scaled / scale, scaled % scale, width = decimals as usize);
        format!("{sign}{}", text.trim_end_matches('0').trim_end_matches('.'))
    }

    /// So many steps of 1/16 or 1/32 in as inches, or feet and inches, with the fraction in its lowest terms.
    fn show_inches(self, steps: i128) -> String {
        let per_inch = i128::from(25_400_000 / self.step.nanometres());
        let (feet, whole) = match self.unit {
            Unit::FootInch => (steps / (12 * per_inch), steps / per_inch % 12),
            _ => (0, steps / per_inch),
        };
        let mut top = steps % per_inch;
        let mut below = per_inch;
        while top != 0 && top % 2 == 0 {
            (top, below) = (top / 2, below / 2);
        }
        let feet_text = if feet > 0 { format!("{feet}'-") } else { String::new() };
        let join = if feet > 0 { " " } else { "-" };
        match (whole, top) {
            (whole, 0) => format!("{feet_text}{whole}\""),
            (0, top) if feet == 0 => format!("{top}/{below}\""),
            (whole, top) => format!("{feet_text}{whole}{join}{top}/{below}\""),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse;
    use proptest::prelude::*;

    fn tape(unit: Unit, step: Length) -> Tape {
        Tape::new(unit, step).expect("a step that such a tape has")
    }

    #[track_caller]
    fn shows(tape: Tape, text: &str, expected: &str) {
        assert_eq!(tape.show(parse(text, Unit::Millimetre).expect("a length")), expected, "{text}");
    }

    /// The inch figures are those of the marks of a tape in sixteenths; drawings write 7'-0 3/4" (*common practice*).
    #[test]
    fn shows_the_reading_of_the_tape() {
        let mm = tape(Unit::Millimetre, Length::mm(1));
        shows(mm, "845.4", "845");
        shows(mm, "-0.4", "0");
        shows(mm, "-0.6", "-1");
        let half = tape(Unit::Millimetre, Length::nm(500_000));
        shows(half, "845.3", "845.5");
        shows(half, "845", "845");
        let inch = tape(Unit::Inch, Length::inch_64ths(4));
        shows(inch, "84 3/4 in", "84-3/4\"");
        shows(inch, "96 in", "96\"");
        shows(inch, "3/16 in", "3/16\"");
        shows(inch, "0", "0\"");
        shows(inch, "17.1 in", "17-1/8\"");
        shows(tape(Unit::Inch, Length::inch_64ths(2)), "1 1/32 in", "1-1/32\"");
        let feet = tape(Unit::FootInch, Length::inch_64ths(4));
        shows(feet, "7' 3/4\"", "7'-0 3/4\"");
        shows(feet, "6'", "6'-0\"");
        shows(feet, "11 1/2 in", "11-1/2\"");
    }

    #[test]
    fn a_tape_has_only_its_own_steps() {
        assert_eq!(Tape::new(Unit::Millimetre, Length::inch_64ths(4)), None);
        assert_eq!(Tape::new(Unit::Inch, Length::mm(1)), None);
    }

    #[test]
    fn units_are_named_short_and_in_full() {
        for (unit, name, word) in
            [(Unit::Millimetre, "mm", "millimetres"), (Unit::Inch, "in", "inches"), (Unit::FootInch, "in", "inches")]
        {
            let tape = Tape::usual(unit);
            assert_eq!((tape.unit_name(), tape.unit_word()), (name, word));
        }
    }

    #[test]
    fn fine_readings_drop_trailing_zeros() {
        let mm = Tape::usual(Unit::Millimetre);
        assert_eq!(mm.show_fine(Length::nm(3_142_857)), "3.143");
        assert_eq!(mm.show_fine(Length::mm(9)), "9");
        assert_eq!(mm.show_fine(Length::nm(-1_500_000)), "-1.5");
        assert_eq!(mm.show_fine(Length::nm(-1)), "0");
        assert_eq!(Tape::usual(Unit::Inch).show_fine(Length::nm(19_685_000)), "0.775");
    }

    /// Gaps that are whole marks, by hand: 20 gaps of 3/8 in are 7-1/2 in, 3 of 1-1/16 in are 3-3/16 in; a 32nd is a mark of
    /// the finer tape alone, and no mark of either is a third.
    #[test]
    fn gaps_on_a_mark_are_fractions() {
        let (usual, fine) = (Tape::usual(Unit::Inch), tape(Unit::Inch, Length::inch_64ths(2)));
        let share = |sixty_fourths, places| Share::new(Length::inch_64ths(sixty_fourths), places).expect("gaps");
        for (sixty_fourths, places, on_usual, on_fine) in [
            (480, 20, "3/8\"", "3/8\""),
            (204, 3, "1-1/16\"", "1-1/16\""),
            (14, 7, "0.0313\"", "1/32\""),
            (64, 3, "0.3333\"", "0.3333\""),
            (0, 2, "0\"", "0\""),
        ] {
            let share = share(sixty_fourths, places);
            assert_eq!((usual.show_gap(share), fine.show_gap(share)), (on_usual.into(), on_fine.into()), "{share:?}");
        }
        let mm = Share::new(Length::mm(140), 15).expect("gaps");
        assert_eq!(Tape::usual(Unit::Millimetre).show_gap(mm), "9.33");
    }

    proptest! {
        /// What the tape shows is read back to within half a step, and exactly if it stood on a mark.
        #[test]
        fn a_reading_is_read_back(nanometres in -5_000_000_000_i64..5_000_000_000, which in 0_usize..5) {
            let tapes = [
                tape(Unit::Millimetre, Length::mm(1)), tape(Unit::Millimetre, Length::nm(500_000)),
                tape(Unit::Inch, Length::inch_64ths(4)), tape(Unit::Inch, Length::inch_64ths(2)),
                tape(Unit::FootInch, Length::inch_64ths(4)),
            ];
            let tape = tapes[which];
            let length = Length::nm(nanometres);
            let back = parse(&tape.show(length), tape.unit()).expect("what we print we read");
            prop_assert_eq!(back, length.round_to(tape.step()));
        }
    }
}
