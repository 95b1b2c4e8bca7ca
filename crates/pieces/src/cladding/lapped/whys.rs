//! The numbers of boards that lap, each by its rule.
//!
//! A board b wide, t thick at its lower edge and e at its upper one leans by θ, with its upper back arris on the face that is
//! clad and its lower back arris on the outer face of the board below, a cover p lower. With tan φ = (t - e) / b that outer face
//! leans by θ + φ, and the lower back arris lies t cos φ off it: p sin(θ + φ) = t cos φ.

use measure::{Angle, Length};
use model::why::{Case, Mark, Rule};
use std::f64::consts::PI;

/// How high a board is at most, however it leans.
pub static SLANT: Rule = Rule {
    id: "slant",
    words: "From its lower back arris to its upper front arris a board is never higher than this, however it leans",
    formula: "slant = ⌈√(width² + upper edge²)⌉",
    inputs: &["width", "upper edge"],
    source: "right-angled triangle",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [width, edge] => {
            let square = width.checked_mul(*width)?.checked_add(edge.checked_mul(*edge)?)?;
            let root = square.checked_isqrt()?;
            Some(root + i128::from(root * root < square))
        }
        _ => None,
    },
    case: Case {
        given: &[120_000_000, 35_000_000],
        gives: 125_000_000,
        source: "the right-angled triangle of 7 : 24 : 25",
    },
};

/// The gauge of lapped boards.
pub static COVER: Rule = Rule {
    id: "cover",
    words: "What the height is more than one board is shared evenly by the boards above the lowest",
    formula: "cover = (height - slant) / (boards - 1)",
    inputs: &["height", "slant", "boards"],
    source: "n = ⌈H / cover⌉ courses, then the cover that closes; the top board shows its whole width",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [height, slant, boards] if *boards > 1 => Some((height - slant).div_euclid(boards - 1)),
        _ => None,
    },
    case: Case {
        given: &[630_000_000, 150_000_000, 5],
        gives: 120_000_000,
        source: "five boards of 150 that lap by 30: 5 × 150 - 4 × 30 = 630, worked by hand",
    },
};

/// How far lapped boards lie over one another.
pub static LAP: Rule = Rule {
    id: "lap",
    words: "A board lies over the one below by what is left of its width",
    formula: "lap = width - cover",
    inputs: &["width", "cover"],
    source: "lapped level boards: cover = b - lap",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [width, cover] => Some(width - cover),
        _ => None,
    },
    case: Case { given: &[150_000_000, 120_000_000], gives: 30_000_000, source: "150 at a gauge of 120 laps by 30" },
};

/// How far lapped boards lean.
pub static LAPPED_LEAN: Rule = Rule {
    id: "lapped-lean",
    words: "A board that lies with its upper edge on the face and with its lower edge on the board below leans outwards at the foot",
    formula: "lean = asin(thickness · cos(taper) / cover) - taper, taper = atan((thickness - upper edge) / width)",
    inputs: &["width", "thickness", "upper edge", "cover"],
    source: "the lower back arris lies off the outer face of the board below by nothing: p sin(θ + φ) = t cos φ",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [width, thickness, edge, cover] if *width > 0 && *cover > 0 => {
            let taper = libm::atan((thickness - edge) as f64 / *width as f64);
            let sine = *thickness as f64 * libm::cos(taper) / *cover as f64;
            let lean = (sine.abs() <= 1.0).then(|| libm::asin(sine) - taper)?;
            Some(Angle::degrees(lean * (180.0 / PI)).ok()?.millionths().into())
        }
        _ => None,
    },
    case: Case {
        given: &[150_000_000, 30_000_000, 30_000_000, 60_000_000],
        gives: 30_000_000,
        source: "boards alike thick at a cover of twice their thickness: sin 30° = 1/2, Euclid, Elements IV 15",
    },
};

/// How far the lower edges stand off the face.
pub static STAND_OFF: Rule = Rule {
    id: "stand-off",
    words: "A board that leans stands off the face at its lower edge",
    formula: "stand-off = width · sin(lean)",
    inputs: &["width", "lean"],
    source: "right-angled triangle",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [width, lean] => Some(nearest(*width as f64 * angle(*lean)?.sin_cos().0)),
        _ => None,
    },
    case: Case { given: &[150_000_000, 30_000_000], gives: 75_000_000, source: "sin 30° = 1/2" },
};

/// How far out the lower front arrises lie.
pub static LAPPED_DEPTH: Rule = Rule {
    id: "lapped-depth",
    words: "Boards that lean reach outwards by what they stand off and by their thickness across the lean",
    formula: "depth = width · sin(lean) + thickness · cos(lean)",
    inputs: &["width", "thickness", "lean"],
    source: "right-angled triangles",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [width, thickness, lean] => {
            let (sin, cos) = angle(*lean)?.sin_cos();
            Some(nearest(*width as f64 * sin + *thickness as f64 * cos))
        }
        _ => None,
    },
    case: Case {
        given: &[150_000_000, 40_000_000, 30_000_000],
        gives: 109_641_016,
        source: "75 and 40 × √3/2 = 34.641016",
    },
};

/// What the top board stays below the top.
pub static LEFT: Rule = Rule {
    id: "left",
    words: "A board that leans is a little less high than its slant, and so much stays free above the top one",
    formula: "left = slant - (width · cos(lean) + upper edge · sin(lean))",
    inputs: &["slant", "width", "upper edge", "lean"],
    source: "right-angled triangles",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [slant, width, edge, lean] => {
            let (sin, cos) = angle(*lean)?.sin_cos();
            Some(slant - nearest(*width as f64 * cos + *edge as f64 * sin))
        }
        _ => None,
    },
    case: Case {
        given: &[125_000_000, 120_000_000, 35_000_000, 0],
        gives: 5_000_000,
        source: "a plumb board of 120 with a diagonal of 125",
    },
};

/// How high the strip behind the lowest board ends.
pub static STARTER: Rule = Rule {
    id: "starter",
    words: "The strip behind the lowest board ends where it is as thick as the board stands off the face",
    formula: "upper edge = ⌊width · cos(lean) - strip / tan(lean)⌋",
    inputs: &["width", "thickness of the strip", "lean"],
    source: "similar triangles",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [width, strip, lean] => {
            let (sin, cos) = angle(*lean)?.sin_cos();
            (sin > 0.0).then(|| libm::floor(*width as f64 * cos - *strip as f64 * cos / sin) as i128)
        }
        _ => None,
    },
    case: Case {
        given: &[150_000_000, 40_000_000, 45_000_000],
        gives: 66_066_017,
        source: "at 45° a board of 150 is 106.066017 high and a strip of 40 ends 40 below its upper edge",
    },
};

/// Where lapped boards are fixed.
pub static SCREW_LINE: Rule = Rule {
    id: "screw-line",
    words: "Screws go through the lower part of a board just above the upper edge of the board below, so that each board is held once and both can move",
    formula: "from the lower edge = ⌈width - cover · cos(lean)⌉ + above the edge of the board below",
    inputs: &["width", "cover", "lean", "above the edge of the board below"],
    source: "fixing of lapped boards: one row, never through two boards",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [width, cover, lean, above] => {
            let cos = angle(*lean)?.sin_cos().1;
            Some(libm::ceil(*width as f64 - *cover as f64 * cos) as i128 + above)
        }
        _ => None,
    },
    case: Case {
        given: &[150_000_000, 120_000_000, 0, 10_000_000],
        gives: 40_000_000,
        source: "a lap of 30 and 10 more, worked by hand",
    },
};

fn angle(millionths: i128) -> Option<Angle> {
    Angle::from_millionths(millionths.try_into().ok()?).ok()
}

fn nearest(length: f64) -> i128 {
    libm::round(length) as i128
}

/// The length that a rule gives, if it gives one.
pub(super) fn length(rule: &Rule, inputs: &[i128]) -> Option<Length> {
    (rule.compute)(inputs).and_then(|length| i64::try_from(length).ok()).map(Length::nm)
}
