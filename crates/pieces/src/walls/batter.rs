//! Walls that lean: a box that is wider or narrower at the top, mitred at compound angles.
//!
//! The outline is that of the upper outer edges; the lower ones lie `batter` further in. Heights are measured up the slope of the
//! outer face, along which the courses follow one another.

use super::Walls;
use crate::angles::{self, explain_compound, half_tan, times_up};
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::place::{Ground, Slope, Spans, Way};
use measure::{Angle, Length};
use model::affine::Affine;
use model::build::Build;
use model::outline::Outline;
use model::part::{Part, PartKey};
use model::problem::Problem;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// How high leaning walls are.
pub static PLUMB_HEIGHT: Rule = Rule {
    id: "plumb-height",
    words: "Walls that lean are lower than they are long up the slope; the square edge of their boards adds its own rise",
    formula: "height = √(slope² - batter²) + thickness × batter / slope, the batter without its sign",
    inputs: &["height along the slope", "batter", "thickness"],
    source: "right-angled triangle",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [slope, batter, thickness] if *slope > 0 => Some(rise(*slope, *batter)? + lift(*slope, *batter, *thickness)),
        _ => None,
    },
    case: Case {
        given: &[500_000_000, 300_000_000, 20_000_000],
        gives: 412_000_000,
        source: "a slope of 500 that goes 300 in is 400 high (3 : 4 : 5), boards of 20 add 20 × 3/5 = 12",
    },
};

/// How long a board of a leaning wall is.
pub static LEANING_LENGTH: Rule = Rule {
    id: "leaning-length",
    words: "A board of a leaning wall is as long as the wall's outer face is at the board's longer edge",
    formula: "length = side + 2 ⌈tan(turn / 2) · batter · (edge - height) / height⌉",
    inputs: &["side at the top", "turn", "batter", "height along the slope", "longer edge above the lowest"],
    source: "similar triangles; offset of an outline by d: d / tan(θ/2) at each end",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [side, turn, batter, height, edge] if *height > 0 => {
            let turn = Angle::from_millionths(i64::try_from(*turn).ok()?).ok()?;
            let out = (batter * (edge - height)) as f64 / *height as f64;
            Some(side + 2 * libm::ceil(half_tan(turn) * out) as i128)
        }
        _ => None,
    },
    case: Case {
        given: &[500_000_000, 90_000_000, 60_000_000, 300_000_000, 150_000_000],
        gives: 440_000_000,
        source: "a square box 500 wide at the top and 380 at the foot is 440 wide half-way up",
    },
};

/// `√(slope² − batter²)` to the nearest whole number.
fn rise(slope: i128, batter: i128) -> Option<i128> {
    let square = slope.checked_mul(slope)? - batter.checked_mul(batter)?;
    let root = square.checked_isqrt()?;
    // (root + 1/2)² = root² + root + 1/4.
    Some(root + i128::from(square - root * root > root))
}

/// How much a square edge rises over its thickness, rounded up.
fn lift(slope: i128, batter: i128, thickness: i128) -> i128 {
    (thickness * batter.abs() + slope - 1).div_euclid(slope)
}

/// A lean for sizes that came out.
pub(super) struct Lean {
    batter: Length,
    /// Up the slope of the outer face.
    height: Length,
    lean: Angle,
    /// The height of the upper outer edges above the ground.
    edge: Length,
}

/// How much walls may lean: they must be twice as long up the slope as their batter, so 30 degrees. Beyond that it is a roof.
const STEEPEST: i64 = 2;

impl Lean {
    /// The lean of walls that stand so; `None` for plumb ones.
    ///
    /// # Errors
    /// If they lean further than they are high, which sizes that came out never do.
    pub(super) fn of(stand: &Stand, fitted: &Fitted<'_>) -> Result<Option<Lean>, Problem> {
        if stand.batter == Length::ZERO {
            return Ok(None);
        }
        let sizes = fitted.sizes();
        let height = (stand.top.clone() - stand.bottom.clone()).at(sizes);
        let [batter, slope] = [stand.batter, height].map(|length| i128::from(length.nanometres()));
        let lean = (angles::LEAN.compute)(&[batter, slope]).and_then(|lean| i64::try_from(lean).ok());
        let lean = lean.and_then(|lean| Angle::from_millionths(lean).ok()).ok_or_else(too_low)?;
        // The outer edge is the highest of walls that are narrower at the top; of others the inner edge stands higher.
        let thickness = stand.wall.map_or(0, |wall| i128::from(wall.nanometres()));
        let lower = if stand.batter > Length::ZERO { lift(slope, batter, thickness) } else { 0 };
        let edge = true_top(stand, fitted)? - Length::nm(i64::try_from(lower).map_err(|_| too_low())?);
        Ok(Some(Lean { batter: stand.batter, height, lean, edge }))
    }

    /// How far beyond the corners of its side at the top a course from `low` to `high` up the slope reaches at each end.
    fn reach(&self, turn: Angle, low: Length, high: Length) -> Length {
        let edge = i128::from(self.longer_edge(low, high).nanometres());
        let numbers =
            [0, turn.millionths().into(), self.batter.nanometres().into(), self.height.nanometres().into(), edge];
        let both = (LEANING_LENGTH.compute)(&numbers).and_then(|both| i64::try_from(both).ok());
        // Sizes that came out have a height.
        Length::nm(both.unwrap_or(0) / 2)
    }

    fn longer_edge(&self, low: Length, high: Length) -> Length {
        if self.batter > Length::ZERO { high } else { low }
    }

    /// Lays one part of a course that reaches from `low` to `high` up the slope.
    pub(super) fn part(
        &self,
        walls: &Walls,
        ground: &Ground,
        side: (usize, Length, Angle),
        up: [Length; 2],
        key: PartKey,
    ) -> Part {
        let (side, length, turn) = side;
        let reach = self.reach(turn, up[0], up[1]);
        let slope = Slope { lean: self.lean, base: self.edge };
        let spans = Spans {
            along: [-reach, length + reach],
            out: [-walls.made.thickness, Length::ZERO],
            up: up.map(|height| height - self.height),
        };
        let mut part = ground.leaning(side, slope, spans, [Way::Along, Way::Up], key, walls.made.stock);
        (0..2).for_each(|end| ground.halve(&mut part, end, side));
        part
    }

    /// Puts lean, angles and height into the build, each with its why.
    pub(super) fn explain(&self, walls: &Walls, outline: &Outline, out: &mut Build) {
        let text = &walls.text;
        let slope = Input::new("height along the slope", Value::length(self.height));
        let batter = Input::new("batter", Value::length(self.batter));
        let lean = text.called("lean");
        let inputs = vec![batter.clone(), slope.clone()];
        out.quantities.extend(Quantity::by(&lean, "lean from plumb", Of::Angle, &angles::LEAN, inputs));
        explain_compound(&text.name, outline, (&lean, self.lean), out);
        let inputs = vec![slope, batter, Input::new("thickness", Value::length(walls.made.thickness))];
        let name = text.called("plumb-height");
        out.quantities.extend(Quantity::by(
            name,
            "height from the lowest edge to the highest",
            Of::Length,
            &PLUMB_HEIGHT,
            inputs,
        ));
    }

    /// Puts the length of the boards of a course along a side into the build, with its why.
    pub(super) fn explain_length(
        &self,
        walls: &Walls,
        side: (&str, Length, Angle),
        course: usize,
        up: [Length; 2],
        out: &mut Build,
    ) {
        let (face, length, turn) = side;
        let name = walls.text.called(&format!("{face}.course-{}.length", course + 1));
        let inputs = vec![
            Input::new(format!("the {face} at the top"), Value::length(length)),
            Input::new("what the corner turns", Value::angle(turn)),
            Input::new("batter", Value::length(self.batter)),
            Input::new("height along the slope", Value::length(self.height)),
            Input::new("longer edge above the lowest", Value::length(self.longer_edge(up[0], up[1]))),
        ];
        let what = format!("length of course {} along the {face}", course + 1);
        out.quantities.extend(Quantity::by(name, what, Of::Length, &LEANING_LENGTH, inputs));
    }
}

/// The height of the highest edges of walls above the ground, for the sizes that came out: of walls that lean, the upper edge of a
/// square-edged board is not level, and one of its arrises is the highest.
///
/// # Errors
/// If walls lean further than they are high, which sizes that came out never do.
pub(crate) fn true_top(stand: &Stand, fitted: &Fitted<'_>) -> Result<Length, Problem> {
    let sizes = fitted.sizes();
    if stand.batter == Length::ZERO {
        return Ok(stand.top.at(sizes));
    }
    let slope = (stand.top.clone() - stand.bottom.clone()).at(sizes);
    let thickness = stand.wall.unwrap_or(Length::ZERO);
    let numbers = [slope, stand.batter, thickness].map(|length| i128::from(length.nanometres()));
    let height = (PLUMB_HEIGHT.compute)(&numbers).and_then(|height| i64::try_from(height).ok());
    Ok(stand.bottom.at(sizes) + Length::nm(height.ok_or_else(too_low)?))
}

fn too_low() -> Problem {
    Problem::new("walls lean further than they are high")
}

impl Walls {
    /// Declares what leaning walls have to leave: a height for their batter, boards from the stock, an inside at the foot.
    pub(super) fn ask_lean(&self, ask: &mut Ask<'_>, outline: &Outline, height: &Affine) {
        let name = &self.text.name;
        let batter = self.batter.abs();
        let what = format!("the height of {name} up its slope, twice its batter for a lean of 30 degrees");
        ask.is_more(&what, Vec::new(), height, batter * STEEPEST);
        let wider = if self.batter < Length::ZERO { batter } else { Length::ZERO };
        let narrower = if self.batter > Length::ZERO { batter } else { Length::ZERO };
        for side in outline.sides() {
            let by = |length: Length| side.length.clone() + times_up(length, half_tan(side.turn.angle())) * 2;
            let longest = format!("the longest course along the {} of {name}", side.name);
            ask.comes_from_stock(&longest, Vec::new(), &by(wider), self.made.longest());
            let inside = format!("the inside of the {} of {name} where it is narrowest", side.name);
            ask.is_there(&inside, Vec::new(), &by(-narrower - self.made.thickness));
        }
    }
}
