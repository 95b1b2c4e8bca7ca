//! A half-space: one side of a plane, such as a saw cut leaves.

use crate::vector::{Vector, dot, unit};

/// All points `x` with `normal · x <= offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfSpace {
    /// The direction out of it, of unit length.
    pub normal: Vector,
    /// How far the plane lies from the origin along the normal, in millimetres.
    pub offset: f64,
}

impl HalfSpace {
    /// The half-space that ends at a point and of which `outwards`, of any length, leads out; `None` if it has no direction.
    pub fn through(point: Vector, outwards: Vector) -> Option<HalfSpace> {
        let normal = unit(outwards)?;
        Some(HalfSpace { normal, offset: dot(normal, point) })
    }

    /// How far a point lies outside, in millimetres; negative inside.
    pub fn height(&self, point: Vector) -> f64 {
        dot(self.normal, point) - self.offset
    }

    /// The other side of the same plane.
    pub fn flipped(&self) -> HalfSpace {
        HalfSpace { normal: self.normal.map(|value| -value), offset: -self.offset }
    }
}
