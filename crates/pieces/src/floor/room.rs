//! The room that a floor lies in: its inside less what it keeps clear, as sizes and once they are known.

use super::wrong;
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::place::{Ground, trim};
use crate::reach::Reach;
use measure::Length;
use model::affine::Affine;
use model::outline::{Outline, Point};
use model::part::Part;
use model::plan::PieceText;
use model::problem::Problem;

/// A room by its measures: in sizes of the plan, or known.
#[derive(Clone, Debug)]
pub(super) enum Room<T> {
    /// A rectangle or an L.
    Square {
        /// Its whole length along the front, and its whole width.
        size: [T; 2],
        /// Of an L: how wide its left arm is, and how deep its front one.
        arms: Option<[T; 2]>,
    },
    /// A regular outline.
    Regular {
        side: T,
        /// How far it reaches along the front, and from front to back.
        reach: [Reach; 2],
    },
}

impl Room<Affine> {
    pub fn of(outline: &Outline) -> Room<Affine> {
        let side = |at: usize| outline.sides()[at].length.clone();
        match (outline.is_right_angled(), outline.is_rectangle()) {
            (true, true) => Room::Square { size: [side(0), side(1)], arms: None },
            // An L: front, right, inner back, inner right, back, left.
            (true, false) => Room::Square { size: [side(0), side(5)], arms: Some([side(4), side(1)]) },
            _ => Room::Regular { side: side(0), reach: Reach::of(outline) },
        }
    }

    /// Length and width of a rectangle.
    pub fn rectangle(&self) -> Option<[Affine; 2]> {
        match self {
            Room::Square { size, arms: None } => Some(size.clone()),
            _ => None,
        }
    }

    pub fn at(&self, sizes: &[Length]) -> Room<Length> {
        let known = |two: &[Affine; 2]| [0, 1].map(|way| two[way].at(sizes));
        match self {
            Room::Square { size, arms } => Room::Square { size: known(size), arms: arms.as_ref().map(known) },
            Room::Regular { side, reach } => Room::Regular { side: side.at(sizes), reach: *reach },
        }
    }
}

/// Declares that a room of another outline than a rectangle is still one where its parts keep `play` off its sides.
pub(super) fn hold_sides(ask: &mut Ask<'_>, text: &PieceText, clear: &Outline, play: Length) {
    // What lies beside an unmoved side of a dodecagon takes play / sin 30° of it at either end.
    let times = if clear.is_right_angled() { 2 } else { 4 };
    for side in clear.sides() {
        let left = side.length.clone() + play * -times;
        ask.is_there(&format!("the {} of the room of {}, less its play,", side.name, text.name), Vec::new(), &left);
    }
}

/// A piece of floor that needs a rectangle is refused elsewhere.
pub(super) fn only_in_rectangles(text: &PieceText, key: &str, why: &str) -> Result<(), Problem> {
    match text.values.has(key) {
        false => Ok(()),
        true => {
            let other = format!("`{key}` is for a rectangle, and `{}` lies in none", text.name);
            Err(wrong(text, key, other, format!("leave `{key}` out: {why}")))
        }
    }
}

/// A convex outline in place.
pub(super) struct Polygon {
    corners: Vec<Point>,
    /// The direction of each side.
    ways: Vec<[f64; 2]>,
}

/// What of a polygon lies in a strip.
pub(super) struct InStrip {
    /// From where to where it reaches along the strip.
    pub reach: [Length; 2],
    /// The sides that bound it there and are not square to the strip.
    pub sides: Vec<usize>,
}

/// What lies along less than this of a strip does not trim it: a micrometre, in millimetres.
const TRACE: f64 = 1e-3;

impl Polygon {
    /// # Errors
    /// As [`Ground::of`].
    pub fn of(stand: &Stand, fitted: &Fitted<'_>) -> Result<Polygon, Problem> {
        let ground = Ground::of(stand, fitted)?;
        let corners = ground.corners().to_vec();
        Ok(Polygon { ways: (0..corners.len()).map(|side| ground.direction(side)).collect(), corners })
    }

    pub fn corners(&self) -> &[Point] {
        &self.corners
    }

    /// The least x and y of it.
    pub fn near(&self) -> [Length; 2] {
        [0, 1].map(|axis| self.corners.iter().map(|corner| corner[axis]).min().unwrap_or_default())
    }

    /// Twice its area, in square nanometres.
    pub fn twice_the_area(&self) -> i128 {
        let from_first = |corner: &Point, axis: usize| i128::from((corner[axis] - self.corners[0][axis]).nanometres());
        let sides = self.corners.iter().zip(self.corners.iter().cycle().skip(1));
        sides.map(|(a, b)| from_first(a, 0) * from_first(b, 1) - from_first(b, 0) * from_first(a, 1)).sum()
    }

    /// What of it lies between two places of an axis; `None` if that is nothing.
    pub fn in_strip(&self, axis: usize, strip: [Length; 2]) -> Option<InStrip> {
        let strip = strip.map(Length::as_mm);
        let (mut least, mut most, mut sides) = (f64::INFINITY, f64::NEG_INFINITY, Vec::new());
        for (side, from) in self.corners.iter().enumerate() {
            let to = &self.corners[(side + 1) % self.corners.len()];
            let (from, to) = (from.map(Length::as_mm), to.map(Length::as_mm));
            let [low, high] = [strip[0].max(from[axis].min(to[axis])), strip[1].min(from[axis].max(to[axis]))];
            if low > high {
                continue;
            }
            let ends = if from[axis] == to[axis] {
                [from[1 - axis], to[1 - axis]]
            } else {
                let slope = (to[1 - axis] - from[1 - axis]) / (to[axis] - from[axis]);
                [low, high].map(|at| from[1 - axis] + (at - from[axis]) * slope)
            };
            least = least.min(ends[0]).min(ends[1]);
            most = most.max(ends[0]).max(ends[1]);
            let square = self.ways[side][1 - axis] == 0.0;
            if high - low > TRACE && !square {
                sides.push(side);
            }
        }
        (least < most).then(|| InStrip { reach: [least, most].map(model::part::from_mm), sides })
    }

    /// Trims a part to the upright plane of a side, at the end at which the side looks along `axis`.
    pub fn trim(&self, part: &mut Part, side: usize, axis: usize) {
        let [x, y] = self.corners[side].map(Length::as_mm);
        // The right of a side is outside.
        let normal = [self.ways[side][1], -self.ways[side][0], 0.0];
        trim(part, usize::from(normal[axis] > 0.0), normal, [x, y, 0.0]);
    }

    /// The sides that lie along neither axis.
    pub fn slanted(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.ways.len()).filter(|&side| self.ways[side].iter().all(|&part| part != 0.0))
    }

    /// Whether a place lies inside by `off` or more, but for a micrometre; all in millimetres.
    pub fn holds(&self, place: [f64; 2], off: f64) -> bool {
        let inwards = |(corner, way): (&Point, &[f64; 2])| {
            let [x, y] = [0, 1].map(|axis| place[axis] - corner[axis].as_mm());
            y * way[0] - x * way[1]
        };
        self.corners.iter().zip(&self.ways).map(inwards).all(|inwards| inwards >= off - TRACE)
    }
}
