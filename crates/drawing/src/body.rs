//! The build as a body to turn: its solids, the steps in which it grows, and its picture from any side.
//!
//! A body can be written as JSON and read back, so that who turns it need not settle the plan for each picture. Corners are
//! whole nanometres. What is read back may come from a stranger: it is taken only within limits.

mod written;

use crate::exploded::isometric_width;
use crate::lines::{LineKind, View, lines};
use crate::pen::{Line, Path, Pen};
use crate::svg::Svg;
use shape::Convex;
use shape::vector::minus;

/// One part of a body.
#[derive(Clone, Debug, PartialEq)]
pub struct BodyPart {
    /// Its short id.
    pub id: String,
    /// What it is made of, as the yard calls its shelf: `board`, `sheet`, `unit`.
    pub of: String,
    /// Its shape where it stands, in millimetres.
    pub solid: Convex,
}

/// A build as a body.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Body {
    /// Its parts.
    pub parts: Vec<BodyPart>,
    /// The parts that each step adds, by their places among the parts.
    pub steps: Vec<Vec<usize>>,
}

/// From where one looks, in steps of [`STEP`] degrees.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Side {
    /// Round the build, from its front towards its right.
    pub around: i32,
    /// Above the level, at most [`UPRIGHT`]; below it if less than nothing, at least minus that.
    pub above: i32,
}

/// Degrees to a step.
pub const STEP: i32 = 15;
/// Steps from level to straight from above.
pub const UPRIGHT: i32 = 90 / STEP;
/// Steps once round.
pub const ROUND: i32 = 360 / STEP;
/// How wide a picture is, in mm.
const WIDE: f64 = 120.0;
/// Round the picture, so that no line is cut off, in mm.
const RIM: f64 = 0.5;

impl Side {
    /// The view from here.
    fn view(self) -> View {
        let turn = |steps: i32| f64::from(steps * STEP).to_radians();
        let (around, above) = (turn(self.around.rem_euclid(ROUND)), turn(self.above.clamp(-UPRIGHT, UPRIGHT)));
        let (sine, cosine) = (libm::sin(around), libm::cos(around));
        // The viewer's own level direction, then raised: straight from above the front stays below.
        let right = [cosine, sine, 0.0];
        let (level, upright) = (libm::cos(above), libm::sin(above));
        View { right, up: [-sine * upright, cosine * upright, level] }
    }

    /// In words: "from the front right, 30° above".
    pub fn words(self) -> String {
        const WAYS: [&str; 8] =
            ["front", "front right", "right", "back right", "back", "back left", "left", "front left"];
        let around = self.around.rem_euclid(ROUND);
        let above = self.above.clamp(-UPRIGHT, UPRIGHT);
        let way = WAYS[(((around * 8 + ROUND / 2) / ROUND) % 8) as usize];
        let degrees = (above * STEP).abs();
        match above.signum() {
            _ if degrees == 90 => {
                format!(
                    "straight from {}, the {way} {}",
                    ["above", "below"][usize::from(above < 0)],
                    ["below", "above"][usize::from(above < 0)]
                )
            }
            0 => format!("from the {way}, level"),
            1 => format!("from the {way}, {degrees}° above"),
            _ => format!("from the {way}, {degrees}° below"),
        }
    }
}

impl Body {
    /// The picture from a side, of so many steps: what the last of them adds in wide lines, what stood before in narrow ones.
    /// The whole build, all in wide lines, if no steps are asked for. Pictures of one body have one size and one scale, so
    /// that it stands still as it turns. Lines that are not seen are left out.
    pub fn turned(&self, side: Side, steps: Option<usize>) -> Svg {
        let view = side.view();
        let (old, new) = self.shown(steps);
        let solids: Vec<Convex> = old.iter().chain(&new).map(|&part| self.parts[part].solid.clone()).collect();
        let room = self.room();
        let middle = view.flat(room.middle);
        let [wide, high] = room.size();
        let at =
            |[x, y]: [f64; 2]| [wide / 2.0 + (x - middle[0]) * room.factor, high / 2.0 - (y - middle[1]) * room.factor];
        let (mut before, mut now) = (Path::default(), Path::default());
        for stroke in lines(&solids, &view).iter().filter(|stroke| stroke.kind == LineKind::Visible) {
            let path = if stroke.solid < old.len() { &mut before } else { &mut now };
            path.stroke(at(stroke.from), at(stroke.to));
        }
        let mut pen = Pen::new();
        pen.wide = isometric_width(&solids, room.factor);
        pen.draw(&before, Line::Narrow);
        pen.draw(&now, Line::Wide);
        pen.scale = Some("not to scale".into());
        let title = format!("The build {}", side.words());
        let ids: Vec<&str> = new.iter().map(|&part| self.parts[part].id.as_str()).filter(|id| !id.is_empty()).collect();
        let told = if old.is_empty() { format!("{} parts.", new.len()) } else { format!("Added: {}.", ids.join(", ")) };
        pen.finish([wide, high], title, told)
    }

    /// What stood before the last of so many steps, and what it adds.
    fn shown(&self, steps: Option<usize>) -> (Vec<usize>, Vec<usize>) {
        match steps.map(|steps| &self.steps[..steps.min(self.steps.len())]) {
            None | Some([]) => (Vec::new(), (0..self.parts.len()).collect()),
            Some([before @ .., last]) => (before.concat(), last.clone()),
        }
    }

    /// The room that the whole body takes, however it is turned.
    fn room(&self) -> Room {
        let all = self.parts.iter().map(|part| part.solid.bounds());
        let around = |[a, b]: [[f64; 3]; 2], [low, high]: [[f64; 3]; 2]| {
            [[0, 1, 2].map(|axis| a[axis].min(low[axis])), [0, 1, 2].map(|axis| b[axis].max(high[axis]))]
        };
        let [low, high] = all.reduce(around).unwrap_or([[0.0; 3]; 2]);
        let middle = [0, 1, 2].map(|axis| (low[axis] + high[axis]) / 2.0);
        let corners = self.parts.iter().flat_map(|part| part.solid.corners());
        let out = corners.map(|&corner| minus(corner, middle)).map(|[x, y, _]| libm::hypot(x, y)).fold(0.0, f64::max);
        let (across, upright) = (2.0 * out, high[2] - low[2]);
        let long = libm::hypot(across, upright).max(f64::MIN_POSITIVE);
        Room { middle, across, long, factor: (WIDE - 2.0 * RIM) / long }
    }
}

/// What a body takes on the paper.
struct Room {
    middle: [f64; 3],
    /// The most that it is wide and that it is long, from any side, in mm of the build.
    across: f64,
    long: f64,
    /// Millimetres of paper for one of the build.
    factor: f64,
}

impl Room {
    fn size(&self) -> [f64; 2] {
        [self.across, self.long].map(|size| size * self.factor + 2.0 * RIM)
    }
}

#[cfg(test)]
mod tests;
