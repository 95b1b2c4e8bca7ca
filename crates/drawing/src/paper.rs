//! Paper and scales.

use measure::{Length, Share, Tape, Unit};

/// What a drawing is for: how wide it may be and how high its views may grow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// A sheet of A4 standing, inside its margins: 170 × 247 mm.
    A4Portrait,
    /// A sheet of A4 lying, inside its margins: 257 × 160 mm.
    A4Landscape,
    /// A page on a screen: 170 mm wide.
    Page,
    /// A page on a phone: 90 mm wide.
    Phone,
}

impl Paper {
    /// How wide a drawing on it is, in mm.
    pub fn width(self) -> f64 {
        match self {
            Paper::A4Portrait | Paper::Page => 170.0,
            Paper::A4Landscape => 257.0,
            Paper::Phone => 90.0,
        }
    }

    /// The most dimension lines that are stacked beside a view: on a phone they would leave no room for it.
    pub(crate) fn dimension_lines(self) -> usize {
        match self {
            Paper::Phone => 3,
            Paper::A4Portrait | Paper::A4Landscape | Paper::Page => 6,
        }
    }

    /// How high a view on it may be, or a page of boards, in mm.
    pub fn height(self) -> f64 {
        match self {
            Paper::A4Portrait => 247.0,
            Paper::A4Landscape => 160.0,
            Paper::Page => 200.0,
            Paper::Phone => 150.0,
        }
    }
}

/// A scale: how many mm of paper a mm of the thing takes, and how that is written.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Scale {
    pub factor: f64,
    pub name: String,
}

/// The scales of the inch trades, by how many times smaller the drawing is (ISO 5455 has none; *common practice*).
const INCH_SCALES: [(f64, &str); 9] = [
    (1.0, "full size"),
    (4.0, "3\" = 1'-0\""),
    (8.0, "1-1/2\" = 1'-0\""),
    (16.0, "3/4\" = 1'-0\""),
    (24.0, "1/2\" = 1'-0\""),
    (48.0, "1/4\" = 1'-0\""),
    (96.0, "1/8\" = 1'-0\""),
    (192.0, "1/16\" = 1'-0\""),
    (384.0, "1/32\" = 1'-0\""),
];

impl Scale {
    /// The largest scale of the trade at which `width` × `height` fit into `room` (mm of paper): 1:1, 1:2, 1:5, 1:10 and so
    /// on (ISO 5455), or the inch scales by the tape. A thing beyond the smallest inch scale gets a metric one.
    pub(crate) fn fitting(width: Length, height: Length, room: [f64; 2], tape: Tape) -> Scale {
        let least = (width.as_mm() / room[0].max(1.0)).max(height.as_mm() / room[1].max(1.0));
        if tape.unit() != Unit::Millimetre
            && let Some((times, name)) = INCH_SCALES.iter().find(|(times, _)| *times >= least)
        {
            return Scale { factor: 1.0 / times, name: (*name).into() };
        }
        let mut decade = 1_u64;
        loop {
            for step in [1, 2, 5] {
                // An i64 of nanometres is below 10^13 mm, so the decade stays far below the limit of a u64.
                let times = decade * step;
                if times as f64 >= least {
                    return Scale { factor: 1.0 / times as f64, name: format!("1:{times}") };
                }
            }
            decade *= 10;
        }
    }

    /// The smallest scale of the trade at which a mm takes at least `factor` of paper; full size where none does.
    pub(crate) fn at_least(factor: f64, tape: Tape) -> Scale {
        if tape.unit() != Unit::Millimetre
            && let Some((times, name)) = INCH_SCALES.iter().rev().find(|(times, _)| 1.0 / times >= factor)
            && *times < 384.0
        {
            return Scale { factor: 1.0 / times, name: (*name).into() };
        }
        let mut best = 1_u64;
        for decade in (0..10).map(|power| 10_u64.pow(power)) {
            for times in [decade, 2 * decade, 5 * decade] {
                if 1.0 / times as f64 >= factor {
                    best = times;
                }
            }
        }
        Scale { factor: 1.0 / best as f64, name: format!("1:{best}") }
    }

    /// A length in mm of paper.
    pub(crate) fn of(&self, length: Length) -> f64 {
        length.as_mm() * self.factor
    }
}

/// A length as the tape reads it if it stands on a mark, else in decimals.
pub(crate) fn exact(tape: Tape, length: Length) -> String {
    if length.is_on(tape.step()) { tape.show(length) } else { decimals(tape, tape.show_fine(length)) }
}

/// Gaps that share a length: how many and how wide; in decimals unless they come out on a mark.
pub(crate) fn shared(tape: Tape, gaps: Share) -> String {
    let words = if gaps.places() == 1 { "gap" } else { "gaps" };
    let each = match tape.show_gap(gaps) {
        reading if reading.contains('.') => decimals(tape, tape.show_share(gaps)),
        reading => reading,
    };
    format!("{} {words} of {each}", gaps.places())
}

/// Decimals of an inch carry their unit, so that they are not taken for a reading; mm stand without.
fn decimals(tape: Tape, figures: String) -> String {
    match tape.unit() {
        Unit::Millimetre => figures,
        Unit::Inch | Unit::FootInch => format!("{figures} in"),
    }
}

/// What is written beside the scale about the figures: mm stand without a unit, inches carry their marks.
pub(crate) fn figures(tape: Tape) -> &'static str {
    match tape.unit() {
        Unit::Millimetre => ", figures in mm",
        Unit::Inch | Unit::FootInch => "",
    }
}

/// The step of graduations: the smallest step of such a tape that stands at least `apart` mm on paper.
pub(crate) fn graduation(tape: Tape, factor: f64, apart: f64) -> Length {
    let fits = |step: &Length| step.as_mm() * factor >= apart;
    match tape.unit() {
        Unit::Millimetre => {
            let decades = (0..10).flat_map(|power| [1, 5].map(|times| Length::mm(times * 10_i64.pow(power))));
            decades.into_iter().find(|step| fits(step)).unwrap_or(Length::mm(10_i64.pow(10)))
        }
        Unit::Inch | Unit::FootInch => {
            let fine = [4, 8, 16, 32, 64, 128, 192, 384, 768].map(Length::inch_64ths);
            let feet =
                (0..9).flat_map(|power| [2, 5, 10].map(|feet| Length::inch_64ths(768 * feet * 10_i64.pow(power))));
            let last = Length::inch_64ths(7_680_000_000);
            fine.into_iter().chain(feet).find(|step| fits(step)).unwrap_or(last)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(unit: Unit, mm: i64, name: &str) {
        let scale = Scale::fitting(Length::mm(mm), Length::ZERO, [150.0, 100.0], Tape::usual(unit));
        assert_eq!(scale.name, name, "{mm} mm");
    }

    /// Worked by hand: 150 mm of paper take 150 · scale.
    #[test]
    fn the_largest_scale_that_fits() {
        for (mm, name) in [(0, "1:1"), (150, "1:1"), (151, "1:2"), (1500, "1:10"), (1501, "1:20"), (15001, "1:200")] {
            check(Unit::Millimetre, mm, name);
        }
        for (mm, name) in [(150, "full size"), (600, "3\" = 1'-0\""), (2400, "3/4\" = 1'-0\""), (60_000, "1:500")] {
            check(Unit::Inch, mm, name);
        }
    }

    #[test]
    fn graduations_are_those_of_the_tape() {
        let mm = Tape::usual(Unit::Millimetre);
        assert_eq!(graduation(mm, 0.1, 1.0), Length::mm(10));
        assert_eq!(graduation(mm, 0.1, 2.0), Length::mm(50));
        assert_eq!(graduation(Tape::usual(Unit::Inch), 1.0 / 16.0, 1.0), Length::inch_64ths(64));
    }
}
