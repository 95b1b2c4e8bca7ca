//! A rule laid at a slant: how a width is divided into equal parts that are not on the marks of the tape.
//!
//! Parallels cut two lines in the same ratio (Euclid, *Elements* VI 2; VI 10 divides a line so), so ticks at every whole step of
//! a rule that lies across two parallel edges divide the width between them into equal parts. *Common practice* at every bench.

use crate::build::Row;
use measure::{Angle, Length, Share, Tape, Unit};
use std::f64::consts::PI;

/// How the rule lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlantedRule {
    /// Into how many parts the width is divided.
    pub parts: u32,
    /// A tick at every so much on the rule.
    pub every: Length,
    /// What the rule reads at the second edge, its 0 being on the first.
    pub reads: Length,
    /// How far the rule lies from square across the edges.
    pub slant: Angle,
    /// How long the edges must be for it, rounded up to the tape.
    pub along: Length,
}

/// Beyond this a rule lies so flat that its ticks are hard to carry over.
const MOST_SLANT: f64 = 60.0;
/// The longest edges that there are at a bench.
const MOST_ALONG: Length = Length::mm(1000);

impl SlantedRule {
    /// The rule that divides a width into equal parts: its tick is the least whole step (10 mm, 1/2 in) with which it is longer
    /// than the width. `None` if there is one part or none, or if it would lie too flat or need too much room.
    pub fn over(width: Share, parts: u32, tape: Tape) -> Option<SlantedRule> {
        let step = match tape.unit() {
            Unit::Millimetre => Length::mm(10),
            Unit::Inch | Unit::FootInch => Length::inch_64ths(32),
        };
        let total = i128::from(width.total().nanometres());
        let per_step = i128::from(width.places()) * i128::from(parts) * i128::from(step.nanometres());
        if parts < 2 || total <= 0 {
            return None;
        }
        let every = step.checked_mul(i64::try_from(total / per_step + 1).ok()?)?;
        let reads = every.checked_mul(parts.into())?;
        let across = total as f64 / f64::from(width.places());
        let cosine = across / reads.nanometres() as f64;
        let slant = libm::acos(cosine.clamp(-1.0, 1.0)) * (180.0 / PI);
        let along = reads.nanometres() as f64 * libm::sqrt(1.0 - cosine * cosine);
        let tape_steps = libm::ceil(along / tape.step().nanometres() as f64) as i64;
        let along = tape.step().checked_mul(tape_steps)?;
        let slant = Angle::degrees(slant).ok().filter(|_| slant <= MOST_SLANT && along <= MOST_ALONG)?;
        Some(SlantedRule { parts, every, reads, slant, along })
    }

    /// The rule for where the members of a row begin, from the first to the last: where all are alike and their pitch is not on
    /// the marks of the tape.
    pub fn of_row(row: &Row, tape: Tape) -> Option<SlantedRule> {
        let [member] = row.pattern.as_slice() else { return None };
        let gaps = row.gaps?;
        let parts = row.count.checked_sub(1)?;
        // (count - 1) pitches, each a member and the share of a gap.
        let pitch = member.checked_mul(gaps.places().into())?.checked_add(gaps.total())?;
        let pitch_on_tape = pitch.is_on(tape.step().checked_mul(gaps.places().into())?);
        let width = Share::new(pitch.checked_mul(parts.into())?, gaps.places())?;
        if pitch_on_tape { None } else { SlantedRule::over(width, parts, tape) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: Unit = Unit::Millimetre;

    fn share(mm: i64, places: u32) -> Share {
        Share::new(Length::mm(mm), places).expect("some places")
    }

    /// 145 into seven: a rule of 210 with a tick at every 30 (20.7 each); it leans by acos(145 / 210) = 46.33 degrees and takes
    /// √(210² - 145²) = 151.9 along the edges. Worked by hand.
    #[test]
    fn a_board_in_seven() {
        let rule = SlantedRule::over(share(145, 1), 7, Tape::usual(MM)).expect("a rule");
        assert_eq!((rule.every, rule.reads, rule.along), (Length::mm(30), Length::mm(210), Length::mm(152)));
        assert!((rule.slant.as_degrees() - 46.33).abs() < 0.01, "{:?}", rule.slant);
        let inch =
            SlantedRule::over(Share::new(Length::inch_64ths(64 * 5), 1).expect("one"), 3, Tape::usual(Unit::Inch));
        assert_eq!(inch.map(|rule| rule.every), Some(Length::inch_64ths(128)));
    }

    /// The ticks, carried over by parallels to the edges, cut the width into equal parts: each tick's distance from the first
    /// edge is its reading times the cosine of the slant (Euclid VI 2).
    #[test]
    fn parallels_cut_equal_parts() {
        for (mm, places, parts) in [(145, 1, 7), (2018, 13, 5), (997, 3, 11), (61, 2, 3), (10, 1, 2), (5_000, 7, 40)] {
            let Some(rule) = SlantedRule::over(share(mm, places), parts, Tape::usual(MM)) else { continue };
            let width = mm as f64 / f64::from(places);
            let (_, cos) = rule.slant.sin_cos();
            for tick in 0..=parts {
                let across = rule.every.as_mm() * f64::from(tick) * cos;
                let own = width * f64::from(tick) / f64::from(parts);
                // The angle is told to a millionth of a degree.
                assert!((across - own).abs() < 1e-3, "{mm}/{places} in {parts}: tick {tick} at {across}, not {own}");
            }
            assert!(rule.reads.as_mm() > width && rule.every.is_on(Length::mm(10)));
        }
    }

    #[test]
    fn too_flat_or_nothing_to_divide() {
        let tape = Tape::usual(MM);
        assert_eq!(SlantedRule::over(share(145, 1), 1, tape), None);
        assert_eq!(SlantedRule::over(share(0, 1), 3, tape), None);
        // Parts of 4 on a rule of 10: acos(0.4) = 66 degrees.
        assert_eq!(SlantedRule::over(share(12, 1), 3, tape), None);
        // 40 parts of 131 on a rule of 140 take 1.9 m of edge.
        assert_eq!(SlantedRule::over(share(5_240, 1), 40, tape), None);
    }

    /// A row of five slats of 90 in 477 (gaps 27 over 4): pitch 96.75, four of them 387, a rule of 400.
    #[test]
    fn a_row_off_the_tape() {
        let row = |count: u32, gaps: Option<Share>| Row {
            piece: "seat".into(),
            face: "front".into(),
            length: Length::mm(477),
            pattern: vec![Length::mm(90)],
            count,
            gaps,
            starts_with_gap: false,
            up: false,
        };
        let rule = SlantedRule::of_row(&row(5, Share::new(Length::mm(27), 4)), Tape::usual(MM)).expect("a rule");
        assert_eq!((rule.parts, rule.every, rule.reads), (4, Length::mm(100), Length::mm(400)));
        assert_eq!(SlantedRule::of_row(&row(5, Share::new(Length::mm(28), 4)), Tape::usual(MM)), None);
        assert_eq!(SlantedRule::of_row(&row(5, None), Tape::usual(MM)), None);
    }
}
