//! Angles at the saw: mitres, and the compound angles of boards that meet round a corner and lean as well.
//!
//! A board stands on edge and leans by `S` from plumb; the corner turns by `τ`. Both neighbours end on the vertical plane that
//! halves the corner. Lying flat at the saw, the board is cut with the saw turned by `atan(tan(τ/2) · sin S)` and the blade
//! tilted by `asin(sin(τ/2) · cos S)`; with N equal sides `τ/2 = 180° / N`. Plumb boards are the case `S = 0`, flat ones `S = 90°`.

use measure::{Angle, Length};
use model::build::Build;
use model::outline::Outline;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};
use std::f64::consts::PI;

/// The mitre of a plumb wall or a flat cap.
pub static MITRE: Rule = Rule {
    id: "mitre",
    words: "A mitre is half of what the corner turns",
    formula: "mitre = turn / 2",
    inputs: &["turn"],
    source: "mitre from square = 90° - θ/2, θ being the angle inside the corner",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [turn] => Some(turn / 2),
        _ => None,
    },
    case: Case { given: &[60_000_000], gives: 30_000_000, source: "a hexagon turns by 60°: mitres of 30°" },
};

/// How far leaning walls lean from plumb.
pub static LEAN: Rule = Rule {
    id: "lean",
    words: "The sine of the lean is the batter over the height along the slope",
    formula: "lean = asin(batter / height)",
    inputs: &["batter", "height along the slope"],
    source: "right-angled triangle",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [batter, height] if *height > 0 => asin(*batter as f64 / *height as f64),
        _ => None,
    },
    case: Case {
        given: &[60_000_000, 120_000_000],
        gives: 30_000_000,
        source: "sin 30° = 1/2, Euclid, Elements IV 15",
    },
};

/// What the saw is turned to for boards that lean.
pub static SAW: Rule = Rule {
    id: "compound-saw",
    words: "With the board flat, the saw is turned so that its cut follows the corner up the slope",
    formula: "saw = atan(tan(turn / 2) · sin(lean))",
    inputs: &["turn", "lean"],
    source: "compound mitres of N equal sides: atan(tan(180° / N) · sin S)",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [turn, lean] => millionths(libm::atan(half_tan(angle(*turn)?) * angle(*lean)?.sin_cos().0)),
        _ => None,
    },
    case: Case {
        given: &[90_000_000, 10_000_000],
        gives: 9_851_076,
        source: "four sides leaning 10°: 9.85°, worked outside this project",
    },
};

/// What the blade is tilted to for boards that lean.
pub static TILT: Rule = Rule {
    id: "compound-tilt",
    words: "With the board flat, the blade is tilted so that the ends of neighbours meet all over",
    formula: "tilt = asin(sin(turn / 2) · cos(lean))",
    inputs: &["turn", "lean"],
    source: "compound mitres of N equal sides: asin(sin(180° / N) · cos S)",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [turn, lean] => asin(angle(turn / 2)?.sin_cos().0 * angle(*lean)?.sin_cos().1),
        _ => None,
    },
    case: Case {
        given: &[90_000_000, 10_000_000],
        gives: 44_136_029,
        source: "four sides leaning 10°: 44.14°, worked outside this project",
    },
};

fn angle(millionths: impl TryInto<i64>) -> Option<Angle> {
    Angle::from_millionths(millionths.try_into().ok()?).ok()
}

fn millionths(radians: f64) -> Option<i128> {
    let angle = Angle::degrees(radians * (180.0 / PI)).ok()?;
    Some(angle.millionths().into())
}

fn asin(sine: f64) -> Option<i128> {
    (sine.abs() <= 1.0).then(|| millionths(libm::asin(sine))).flatten()
}

/// The tangent of half a turn: exact for right angles.
pub(crate) fn half_tan(turn: Angle) -> f64 {
    let (sin, cos) = turn.sin_cos();
    sin / (1.0 + cos)
}

/// A length times a factor, rounded up to the nanometre.
pub(crate) fn times_up(length: Length, factor: f64) -> Length {
    // Lengths stay below 2⁵³ nm, so the product is right to a nanometre.
    Length::nm(libm::ceil(length.nanometres() as f64 * factor) as i64)
}

/// How much the sharpest corner of an outline turns, without its sense.
pub(crate) fn sharpest(outline: &Outline) -> Angle {
    let turn = |side: usize| outline.turn_after(side).angle();
    (0..outline.count()).map(turn).map(|turn| turn.max(-turn)).max().unwrap_or(Angle::ZERO)
}

/// Puts the mitre of a piece with plumb or flat boards into the build, as `PIECE.mitre`.
pub(crate) fn explain_mitre(piece: &str, outline: &Outline, out: &mut Build) {
    let name = format!("{piece}.mitre");
    let turn = vec![Input::new("what the corners turn", Value::angle(sharpest(outline)))];
    out.quantities.extend(Quantity::by(name, "mitre from square", Of::Angle, &MITRE, turn));
}

/// Puts the two angles at the saw of a piece whose boards lean into the build, as `PIECE.saw` and `PIECE.tilt`. `lean` is the
/// quantity or words it comes from, and how much it is from plumb.
pub(crate) fn explain_compound(piece: &str, outline: &Outline, lean: (&str, Angle), out: &mut Build) {
    let turn = Input::new("what the corners turn", Value::angle(sharpest(outline)));
    let inwards = lean.1 < Angle::ZERO;
    let name = if inwards { "how far the walls lean inwards" } else { lean.0 };
    let lean = Input::new(name, Value::angle(if inwards { -lean.1 } else { lean.1 }));
    let inputs = vec![turn, lean];
    let saw = format!("{piece}.saw");
    out.quantities.extend(Quantity::by(saw, "saw turned from square", Of::Angle, &SAW, inputs.clone()));
    let tilt = format!("{piece}.tilt");
    out.quantities.extend(Quantity::by(tilt, "blade tilted from upright", Of::Angle, &TILT, inputs));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plumb boards are tilted by half the turn and cut square, flat ones turned by it and cut upright (limits of the formulas).
    #[test]
    fn the_two_ends_of_the_lean() {
        let turn = 45_000_000;
        assert_eq!(((SAW.compute)(&[turn, 0]), (TILT.compute)(&[turn, 0])), (Some(0), Some(22_500_000)));
        let flat = 90_000_000;
        assert_eq!(((SAW.compute)(&[turn, flat]), (TILT.compute)(&[turn, flat])), (Some(22_500_000), Some(0)));
    }

    #[test]
    fn what_leans_further_than_it_is_long_has_no_lean() {
        assert_eq!((LEAN.compute)(&[2, 1]), None);
        assert_eq!((LEAN.compute)(&[1, 0]), None);
    }

    /// tan 45° = 1, tan 30° = 1/√3, tan 60° = √3.
    #[test]
    fn half_turns() {
        let tan = |degrees: i64| half_tan(Angle::from_millionths(degrees * 1_000_000).expect("an angle"));
        assert_eq!((tan(90), tan(-90)), (1.0, -1.0));
        assert!((tan(60) * 3_f64.sqrt() - 1.0).abs() < 1e-15 && (tan(120) - 3_f64.sqrt()).abs() < 1e-15);
    }
}
