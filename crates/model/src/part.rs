//! Parts: one thing to be cut or laid, with shape, place and marks.

use crate::stock::StockRef;
use measure::{Length, Volume};
use std::fmt;

/// A slot: a part as planned, by a name that is stable over refits.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PartKey {
    /// The piece's name in the plan.
    pub piece: String,
    /// What it is there: `unit`, `corner`, `board` or `panel`
    pub role: String,
    /// The face it belongs to, by name.
    pub face: String,
    /// Its row or course from below, from 0.
    pub course: u32,
    /// Its place in the row, from 0.
    pub index: u32,
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

/// A half-space that trims the end of a prism: what lies beyond it is cut away. Square ends have none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plane {
    /// The direction out of the part, in millionths; need not be of unit length.
    pub normal: [i64; 3],
    /// A point on the plane, from the part's own origin.
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
    /// The planes that trim each end; none for a square one.
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

/// Where a prism stands: its lowest corner in all three directions, and which way length and width lie. Thickness takes
/// the direction that is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct At {
    /// The corner with the smallest x, y and z.
    pub corner: [Length; 3],
    /// The direction of its length.
    pub along: Axis,
    /// The direction of its width.
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

impl Part {
    /// Its extent along the three axes: from the corner to here.
    pub fn extent(&self) -> [Length; 3] {
        let mut extent = [self.solid.thickness; 3];
        extent[self.at.along.index()] = self.solid.length;
        extent[self.at.across.index()] = self.solid.width;
        extent
    }

    /// The corner with the largest x, y and z.
    pub fn far_corner(&self) -> [Length; 3] {
        let extent = self.extent();
        [0, 1, 2].map(|axis| self.at.corner[axis] + extent[axis])
    }
}
