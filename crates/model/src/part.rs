//! Parts: one thing to be cut or laid, with shape, place and marks.

use crate::outline::Point;
use crate::stock::StockRef;
use measure::{Angle, Length, Volume};
use shape::{Convex, HalfSpace};
use std::fmt;

/// A slot: a part as planned, by a name that is stable over refits.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PartKey {
    /// The piece's name in the plan.
    pub piece: String,
    /// What it is there: `unit`, `board`, `panel`, `post`, `rail`, …
    pub role: String,
    /// The face it belongs to, by name.
    pub face: String,
    /// Its row or course from below, from 0.
    pub course: u32,
    /// Its place in the row, from 0.
    pub index: u32,
}

impl PartKey {
    /// The key as one word, `PIECE.ROLE.FACE.COURSE.INDEX`, with `-` for spaces: how the day book names a slot.
    pub fn slot(&self) -> String {
        let PartKey { piece, role, face, course, index } = self;
        format!("{piece}.{role}.{face}.{course}.{index}").replace(' ', "-")
    }
}

impl fmt::Display for PartKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {} {}", self.piece, self.face, self.role)?;
        write!(f, " {}.{}", self.course + 1, self.index + 1)
    }
}

/// One of the three directions of the build: x along the front to the right, y to the back, z up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    /// Along the front, to the right.
    X,
    /// To the back.
    Y,
    /// Up.
    Z,
}

impl Axis {
    /// 0, 1 or 2.
    pub fn index(self) -> usize {
        match self {
            Axis::X => 0,
            Axis::Y => 1,
            Axis::Z => 2,
        }
    }
}

/// What the components of a direction are multiplied by to be whole numbers.
pub const UNIT: i64 = 1_000_000_000_000;

/// A half-space that trims a prism: what lies beyond it is cut away. Square ends have none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Plane {
    /// The direction out of the part, of unit length, in [`UNIT`]s, along the axes of the part's own frame.
    pub normal: [i64; 3],
    /// A point on the plane, from the part's own corner, along the axes of its frame.
    pub through: [Length; 3],
}

/// A prism: a rectangular profile, drawn along its length and trimmed at both ends. What an end is, square, bevelled or
/// mitred, is a choice of planes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solid {
    /// Along the grain, long point to long point.
    pub length: Length,
    /// Across the grain: the wider face of a board.
    pub width: Length,
    /// The other way across.
    pub thickness: Length,
    /// The planes that trim each end, where its length begins and where it ends; none for a square one. A part that is planed
    /// along its whole length has that plane at its first end.
    pub ends: [Vec<Plane>; 2],
}

impl Solid {
    /// A prism with both ends square.
    pub fn square(length: Length, width: Length, thickness: Length) -> Solid {
        Solid { length, width, thickness, ends: [Vec::new(), Vec::new()] }
    }

    /// Its volume with square ends; `None` where that would overflow. Trimmed ends take less than this.
    pub fn volume(&self) -> Option<Volume> {
        Volume::of(self.length, self.width, self.thickness)
    }
}

/// The frame that a part lies in: the build's own axes, turned about z by `heading` (to the left, seen from above), then
/// leaning: turned about the frame's x axis so that its z axis leans towards -y by `lean`. Beside a face whose side runs along
/// the frame's x, -y is outwards: a wall that leans outwards has a positive lean.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Frame {
    /// Turned to the left by so much, seen from above.
    pub heading: Angle,
    /// Leaning outwards by so much.
    pub lean: Angle,
}

impl Frame {
    /// The build's own axes.
    pub const BUILD: Frame = Frame { heading: Angle::ZERO, lean: Angle::ZERO };

    /// The directions of its x, y and z axes in the build. Exact for right angles.
    pub fn axes(self) -> [[f64; 3]; 3] {
        let (sin, cos) = self.heading.sin_cos();
        let (sin_lean, cos_lean) = self.lean.sin_cos();
        let level = [-sin, cos, 0.0];
        let mix = |level_part: f64, up_part: f64| [level[0] * level_part, level[1] * level_part, up_part];
        [[cos, sin, 0.0], mix(cos_lean, sin_lean), mix(-sin_lean, cos_lean)]
    }
}

/// Where a prism stands: its frame, its corner, and which way length and width lie. Thickness takes the direction that is
/// left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct At {
    /// The frame whose axes the part lies along.
    pub frame: Frame,
    /// The corner with the smallest x, y and z of its frame, as it lies in the build.
    pub corner: [Length; 3],
    /// The direction of its length, in its frame.
    pub along: Axis,
    /// The direction of its width, in its frame.
    pub across: Axis,
}

/// One thing to be cut or laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// The slot.
    pub key: PartKey,
    /// The short name that fits on masking tape: `A1`. Parts that are alike share the letter.
    pub id: String,
    /// What it is made of.
    pub stock: StockRef,
    /// Its shape.
    pub solid: Solid,
    /// Where it stands.
    pub at: At,
}

/// The form of a part, however it lies: two parts have forms that agree if one can be turned so that it fills the place of
/// the other, to a micrometre. Left and right hands differ.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// Length, width and thickness.
    measures: [Length; 3],
    /// The planes that trim it: the normal along length, width and thickness, and how far from the middle, in mm.
    planes: Vec<([f64; 3], f64)>,
}

/// The identity and the half turns about length, width and thickness: what each does to the three directions.
const HALF_TURNS: [[f64; 3]; 4] = [[1.0, 1.0, 1.0], [1.0, -1.0, -1.0], [-1.0, 1.0, -1.0], [-1.0, -1.0, 1.0]];

impl Form {
    /// What measures, and planes from the middle, may differ by and still agree: a micrometre. Shared pitches are rounded to
    /// the nanometre, which is far below it; what a saw can do is far above it.
    pub const NOISE: Length = Length::nm(1_000);
    /// The same for each component of a normal of unit length.
    const TURNED: f64 = 1e-6;

    /// Whether all measures agree within [`Form::NOISE`] and, in one of four half turns, each plane with a plane of the other.
    pub fn agrees(&self, other: &Form) -> bool {
        let near = |axis: usize| (self.measures[axis] - other.measures[axis]).abs() <= Form::NOISE;
        (0..3).all(near)
            && self.planes.len() == other.planes.len()
            && HALF_TURNS.iter().any(|turn| self.lies_on(other, turn))
    }

    fn lies_on(&self, other: &Form, turn: &[f64; 3]) -> bool {
        let mut open: Vec<&([f64; 3], f64)> = other.planes.iter().collect();
        self.planes.iter().all(|(normal, offset)| {
            let same = |(its, far): &&([f64; 3], f64)| {
                (0..3).all(|axis| (turn[axis] * normal[axis] - its[axis]).abs() <= Form::TURNED)
                    && (offset - far).abs() <= Form::NOISE.as_mm()
            };
            open.iter().position(same).map(|place| open.swap_remove(place)).is_some()
        })
    }
}

impl Part {
    /// Its form, however it lies.
    pub fn form(&self) -> Form {
        let measures = [self.solid.length, self.solid.width, self.solid.thickness];
        let (along, across) = (self.at.along.index(), self.at.across.index());
        let order = [along, across, 3 - along - across];
        // A left-handed order of the directions is a mirror: turning the thickness round makes it a turn again.
        let hand = if (across + 3 - along) % 3 == 1 { 1 } else { -1 };
        let own = |plane: &Plane| {
            let mut own = order.map(|axis| plane.normal[axis] as f64 / UNIT as f64);
            own[2] *= hand as f64;
            let middle = order.map(|axis| plane.through[axis].as_mm() - self.extent()[axis].as_mm() / 2.0);
            // From the middle of the part, so that a half turn changes signs alone.
            let offset = own[0] * middle[0] + own[1] * middle[1] + own[2] * middle[2] * hand as f64;
            (own, offset)
        };
        Form { measures, planes: self.solid.ends.iter().flatten().map(own).collect() }
    }

    /// Its extent along the three axes of its frame: from the corner to here, before its ends are trimmed.
    pub fn extent(&self) -> [Length; 3] {
        let mut extent = [self.solid.thickness; 3];
        extent[self.at.along.index()] = self.solid.length;
        extent[self.at.across.index()] = self.solid.width;
        extent
    }

    /// Whether it is a box along the axes of the build: then its corners and its volume are exact.
    pub fn is_box(&self) -> bool {
        self.at.frame == Frame::BUILD && self.solid.ends.iter().all(Vec::is_empty)
    }

    /// The corners with the smallest and with the largest x, y and z of what the part takes of the build: exact for a box, and
    /// those of the box around its shape otherwise, rounded to the nanometre.
    pub fn reach(&self) -> [[Length; 3]; 2] {
        if self.is_box() {
            let extent = self.extent();
            return [self.at.corner, [0, 1, 2].map(|axis| self.at.corner[axis] + extent[axis])];
        }
        self.shape().map_or([self.at.corner; 2], |shape| reach_of(&shape))
    }

    /// The far one of [`Part::reach`].
    pub fn far_corner(&self) -> [Length; 3] {
        self.reach()[1]
    }

    /// The near one of [`Part::reach`].
    pub fn near_corner(&self) -> [Length; 3] {
        self.reach()[0]
    }

    /// Its shape in the build, in millimetres; `None` if its ends are trimmed so that nothing is left.
    pub fn shape(&self) -> Option<Convex> {
        let axes = self.at.frame.axes();
        let corner = self.at.corner.map(Length::as_mm);
        let whole = Convex::cuboid(corner, axes, self.extent().map(Length::as_mm));
        let planes = self.solid.ends.iter().flatten();
        planes.map(|plane| half_space(plane, corner, axes)).try_fold(whole, |left, plane| left.cut(&plane))
    }

    /// Its volume: exact for a box, and by its shape otherwise. `None` where it would overflow or nothing is left.
    pub fn volume(&self) -> Option<Volume> {
        if self.solid.ends.iter().all(Vec::is_empty) {
            return self.solid.volume();
        }
        let cubic_nanometres = self.shape()?.volume() * 1e18;
        Some(Volume::from_cubic_nanometres(libm::round(cubic_nanometres) as i128))
    }

    /// How much of it lies in a prism: over a convex polygon, counter-clockwise as seen from above, and between two heights.
    /// Exact for a box in a rectangle along the axes of the build, and by its shape otherwise.
    pub fn volume_within(&self, polygon: &[Point], up: [Length; 2]) -> Volume {
        let reach = |axis: usize| {
            let places = polygon.iter().map(|corner| corner[axis]);
            places.clone().min().zip(places.max()).map_or([Length::ZERO; 2], |(near, far)| [near, far])
        };
        let room = [reach(0), reach(1), up];
        let on_bounds = |corner: &Point| (0..2).all(|axis| room[axis].contains(&corner[axis]));
        if self.is_box() && polygon.len() == 4 && polygon.iter().all(on_bounds) {
            let (near, far) = (self.near_corner(), self.far_corner());
            let [a, b, c] = [0, 1, 2].map(|axis| far[axis].min(room[axis][1]) - near[axis].max(room[axis][0]));
            let there = [a, b, c].iter().all(|&extent| extent > Length::ZERO);
            return Volume::of(a, b, c).filter(|_| there).unwrap_or_default();
        }
        let left =
            self.shape().and_then(|shape| half_spaces(polygon, up).iter().try_fold(shape, |left, keep| left.cut(keep)));
        let cubic_nanometres = left.map_or(0.0, |left| left.volume()) * 1e18;
        Volume::from_cubic_nanometres(libm::round(cubic_nanometres) as i128)
    }
}

/// The corners of the box around a shape that is given in millimetres, to the nanometre.
pub fn reach_of(shape: &Convex) -> [[Length; 3]; 2] {
    shape.bounds().map(|corner| corner.map(from_mm))
}

/// The half-spaces whose common part is a prism over a convex polygon, between two heights.
fn half_spaces(polygon: &[Point], up: [Length; 2]) -> Vec<HalfSpace> {
    let mm = |corner: &Point, height: Length| [corner[0].as_mm(), corner[1].as_mm(), height.as_mm()];
    let sides = polygon.iter().zip(polygon.iter().cycle().skip(1)).filter_map(|(from, to)| {
        let (from, to) = (mm(from, up[0]), mm(to, up[0]));
        // The right of a side is outside.
        HalfSpace::through(from, [to[1] - from[1], from[0] - to[0], 0.0])
    });
    let [low, high] = up.map(|height| [0.0, 0.0, height.as_mm()]);
    let ends = [HalfSpace::through(low, [0.0, 0.0, -1.0]), HalfSpace::through(high, [0.0, 0.0, 1.0])];
    sides.chain(ends.into_iter().flatten()).collect()
}

/// A plane of a part, in the build.
fn half_space(plane: &Plane, corner: [f64; 3], axes: [[f64; 3]; 3]) -> HalfSpace {
    let turned = |own: [f64; 3]| [0, 1, 2].map(|i| (0..3).map(|axis| own[axis] * axes[axis][i]).sum::<f64>());
    let normal = turned(plane.normal.map(|part| part as f64 / UNIT as f64));
    let through = turned(plane.through.map(Length::as_mm));
    let offset = (0..3).map(|i| normal[i] * (corner[i] + through[i])).sum();
    HalfSpace { normal, offset }
}

/// Millimetres as a length, to the nearest nanometre.
pub fn from_mm(mm: f64) -> Length {
    // A build is far smaller than 2⁵³ nm, so nothing is lost but what lies below a nanometre.
    Length::nm(libm::round(mm * 1e6) as i64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::StockKind;

    /// A board of 500 × 100 × 20 that is mitred at both ends, lying along an axis; `outer` says on which side its long edge is.
    fn mitred(along: Axis, outer_low: bool) -> Part {
        let across = if along == Axis::X { Axis::Y } else { Axis::X };
        let half = (UNIT as f64 * libm::sqrt(0.5)) as i64;
        let (length, width) = (Length::mm(500), Length::mm(100));
        let plane = |end: usize| {
            let mut normal = [0; 3];
            normal[along.index()] = if end == 0 { -half } else { half };
            normal[across.index()] = if outer_low { half } else { -half };
            let mut through = [Length::ZERO; 3];
            through[along.index()] = if end == 0 { Length::ZERO } else { length };
            through[across.index()] = if outer_low { Length::ZERO } else { width };
            vec![Plane { normal, through }]
        };
        Part {
            key: PartKey { piece: "p".into(), role: "board".into(), face: "front".into(), course: 0, index: 0 },
            id: String::new(),
            stock: StockRef { kind: StockKind::Board, place: 0 },
            solid: Solid { length, width, thickness: Length::mm(20), ends: [plane(0), plane(1)] },
            at: At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along, across },
        }
    }

    /// A mitred frame of a square is four boards alike: front, right, back and left (turned, not mirrored).
    #[test]
    fn the_four_boards_of_a_mitred_square_are_alike() {
        let forms = [(Axis::X, true), (Axis::Y, false), (Axis::X, false), (Axis::Y, true)];
        let forms = forms.map(|(along, low)| mitred(along, low).form());
        assert!(forms.iter().all(|form| form.agrees(&forms[0])), "{forms:?}");
        let mut other = mitred(Axis::X, true);
        other.solid.ends[1].clear();
        assert!(!other.form().agrees(&forms[0]));
    }

    /// Mitres cut across the thickness at one end only: the left hand cannot be turned into the right one.
    #[test]
    fn hands_differ() {
        let one = |width_sign: i64, thickness_sign: i64| {
            let mut part = mitred(Axis::X, true);
            let third = UNIT / 3;
            let normal = [2 * third, width_sign * third, thickness_sign * 2 * third];
            part.solid.ends =
                [Vec::new(), vec![Plane { normal, through: [Length::mm(450), Length::ZERO, Length::ZERO] }]];
            part
        };
        assert!(!one(1, 1).form().agrees(&one(1, -1).form()));
    }

    /// Half the board's area is lost at neither end: a trapezium of 500 and 300 by 100, 20 thick.
    #[test]
    fn the_volume_of_a_mitred_board() {
        let volume = mitred(Axis::X, true).volume().expect("small").cubic_nanometres() as f64 / 1e18;
        assert!((volume - 400.0 * 100.0 * 20.0).abs() < 1.0, "{volume}");
    }
}
