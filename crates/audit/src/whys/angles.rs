//! The referee's own formulas of mitres, walls that lean and shaped tops. Angles are in millionths of a degree.

use crate::asked::millionths;
use crate::ground::{nearest, sin_cos};

/// The rules that are known here.
pub(super) const KNOWN: &[&str] = &[
    "mitre",
    "lean",
    "compound-saw",
    "compound-tilt",
    "leaning-length",
    "plumb-height",
    "boards-in-a-course",
    "joined-length",
    "overlap",
    "shoulder",
    "top-run",
    "top-cut",
    "top-radius",
    "top-lost",
    "top-lost-round",
    "slant",
    "cover",
    "lap",
    "lapped-lean",
    "stand-off",
    "lapped-depth",
    "left",
    "starter",
    "screw-line",
];

/// Beyond this an input is no length and no angle, and floats would say nothing of it.
const MOST: i128 = 1 << 52;

/// The value of some inputs; `None` if they give none.
pub(super) fn formula(rule: &str, x: &[i128]) -> Option<i128> {
    if x.iter().any(|input| input.abs() > MOST) {
        return None;
    }
    match (rule, x) {
        ("mitre", [turn]) => Some(turn.div_euclid(2)),
        ("lean", [batter, height]) if batter.abs() < *height => {
            Some(millionths(libm::asin(*batter as f64 / *height as f64)).into())
        }
        ("compound-saw", [turn, lean]) => {
            let ((half, along), (sin, _)) = (halved(*turn)?, angle(*lean)?);
            Some(millionths(libm::atan(half / along * sin)).into())
        }
        ("compound-tilt", [turn, lean]) => {
            let ((half, _), (_, cos)) = (halved(*turn)?, angle(*lean)?);
            Some(millionths(libm::asin(half * cos)).into())
        }
        ("leaning-length", [side, turn, batter, height, edge]) if *height > 0 => {
            // tan(τ / 2) = sin τ / (1 + cos τ), exact at a right angle.
            let (sin, cos) = angle(*turn).filter(|(_, cos)| *cos > -1.0)?;
            let out = sin / (1.0 + cos) * *batter as f64 * (edge - height) as f64 / *height as f64;
            Some(side + 2 * libm::ceil(out) as i128)
        }
        ("plumb-height", [slope, batter, thickness]) if batter.abs() < *slope => {
            let (up, across) = (*slope as f64, *batter as f64);
            let rise = thickness.checked_mul(batter.abs())?.checked_add(slope - 1)?.div_euclid(*slope);
            Some(nearest(libm::sqrt(up * up - across * across)) + rise)
        }
        ("boards-in-a-course", [length, longest]) if *longest > 0 => Some((length + longest - 1).div_euclid(*longest)),
        ("joined-length", [length, boards]) if *boards > 0 => Some((length + boards - 1).div_euclid(*boards)),
        ("overlap", [board, gap]) => Some((board - gap).div_euclid(2)),
        ("shoulder", [length, rise]) => Some(length - rise),
        _ => top(rule, x).or_else(|| lapped(rule, x)),
    }
}

/// The formulas of shaped tops.
fn top(rule: &str, x: &[i128]) -> Option<i128> {
    match (rule, x) {
        ("top-run", [board, flat]) => Some((board - flat).div_euclid(2)),
        ("top-cut", [rise, run]) => Some(millionths(libm::atan2(*rise as f64, *run as f64)).into()),
        ("top-radius", [board, rise]) if *rise > 0 => {
            let (board, rise) = (*board as f64, *rise as f64);
            Some(nearest((board * board / 4.0 + rise * rise) / (2.0 * rise)))
        }
        ("top-lost", [rise, board, flat]) if *board > 0 => Some(rise.checked_mul(board - flat)?.div_euclid(2 * board)),
        ("top-lost-round", [rise, board]) if *rise > 0 && *board > 0 => {
            let (board, rise) = (*board as f64, *rise as f64);
            let radius = (board * board / 4.0 + rise * rise) / (2.0 * rise);
            let segment =
                radius * radius * libm::asin((board / (2.0 * radius)).min(1.0)) - board * (radius - rise) / 2.0;
            Some(nearest(rise - segment / board))
        }
        _ => None,
    }
}

/// The formulas of boards that lap.
fn lapped(rule: &str, x: &[i128]) -> Option<i128> {
    match (rule, x) {
        ("slant", [width, edge]) => {
            let square = width.checked_mul(*width)?.checked_add(edge.checked_mul(*edge)?)?;
            let root = square.isqrt();
            Some(if root * root < square { root + 1 } else { root })
        }
        ("cover", [height, slant, boards]) if *boards > 1 => Some((height - slant).div_euclid(boards - 1)),
        ("lap", [width, cover]) => Some(width - cover),
        ("lapped-lean", [width, thickness, edge, cover]) if *width > 0 && *cover > 0 => {
            // The outer face leans by the taper more, and the lower arris of the next board lies on it.
            let slope = (thickness - edge) as f64 / *width as f64;
            let across = *thickness as f64 / libm::sqrt(1.0 + slope * slope);
            let sine = across / *cover as f64;
            (sine.abs() <= 1.0).then(|| millionths(libm::asin(sine) - libm::atan(slope)).into())
        }
        ("stand-off", [width, lean]) => Some(nearest(*width as f64 * angle(*lean)?.0)),
        ("lapped-depth", [width, thickness, lean]) => {
            let (sin, cos) = angle(*lean)?;
            Some(nearest(*width as f64 * sin + *thickness as f64 * cos))
        }
        ("left", [slant, width, edge, lean]) => {
            let (sin, cos) = angle(*lean)?;
            Some(slant - nearest(*width as f64 * cos + *edge as f64 * sin))
        }
        ("starter", [width, strip, lean]) => {
            let (sin, cos) = angle(*lean).filter(|(sin, _)| *sin > 0.0)?;
            Some(libm::floor(*width as f64 * cos - *strip as f64 * cos / sin) as i128)
        }
        ("screw-line", [width, cover, lean, above]) => {
            let (_, cos) = angle(*lean)?;
            Some(libm::ceil(*width as f64 - *cover as f64 * cos) as i128 + above)
        }
        _ => None,
    }
}

fn angle(of: i128) -> Option<(f64, f64)> {
    i64::try_from(of).ok().map(sin_cos)
}

/// Sine and cosine of half an angle.
fn halved(turn: i128) -> Option<(f64, f64)> {
    angle(turn.div_euclid(2)).filter(|(_, cos)| *cos != 0.0)
}

#[cfg(test)]
mod tests {
    use super::formula;

    /// Worked by hand or from closed forms: a hexagon's mitre; sin 30° = 1/2; compound angles of a box that leans by 10°
    /// (tan 45° sin 10° and sin 45° cos 10°); a 3-4-5 slope; triangles of a pointed top; the half disc.
    #[test]
    fn formulas_give_what_was_worked_by_hand() {
        let mm = 1_000_000;
        assert_eq!(formula("mitre", &[60 * mm]), Some(30 * mm));
        assert_eq!(formula("lean", &[60 * mm, 120 * mm]), Some(30 * mm));
        assert_eq!(formula("compound-saw", &[90 * mm, 10 * mm]), Some(9_851_076));
        assert_eq!(formula("compound-tilt", &[90 * mm, 10 * mm]), Some(44_136_029));
        assert_eq!(formula("leaning-length", &[500 * mm, 90 * mm, 60 * mm, 300 * mm, 150 * mm]), Some(440 * mm));
        assert_eq!(formula("plumb-height", &[500 * mm, 300 * mm, 20 * mm]), Some(412 * mm));
        assert_eq!(formula("boards-in-a-course", &[5000, 2390]), Some(3));
        assert_eq!(formula("joined-length", &[5000, 3]), Some(1667));
        assert_eq!(formula("overlap", &[100, 40]), Some(30));
        assert_eq!(formula("top-run", &[95 * mm, 15 * mm]), Some(40 * mm));
        assert_eq!(formula("top-cut", &[40 * mm, 40 * mm]), Some(45 * mm));
        assert_eq!(formula("top-lost", &[25 * mm, 100 * mm, 20 * mm]), Some(10 * mm));
        assert_eq!(formula("top-radius", &[100 * mm, 50 * mm]), Some(50 * mm));
        // Of a square of 50 a half disc leaves 1 − π/4.
        let lost = 50e6 * (1.0 - std::f64::consts::FRAC_PI_4);
        assert_eq!(formula("top-lost-round", &[50 * mm, 100 * mm]), Some(lost.round() as i128));
        assert_eq!(formula("lean", &[2, 1]), None);
        assert_eq!(formula("top-radius", &[i128::MAX, 1]), None);
    }
}
