//! Lines through a solid.

use crate::convex::Convex;
use crate::vector::{Vector, dot};

impl Convex {
    /// Where the line `from + t · direction` enters the solid and where it leaves it, as values of `t`; negative ones lie
    /// behind `from`. `None` if it misses the solid, only touches a corner, or runs along a face or an edge.
    pub fn ray(&self, from: Vector, direction: Vector) -> Option<(f64, f64)> {
        let (mut enter, mut leave) = (f64::NEG_INFINITY, f64::INFINITY);
        for plane in self.faces.iter().map(|face| face.plane) {
            let (speed, height) = (dot(plane.normal, direction), plane.height(from));
            if speed > 0.0 {
                leave = leave.min(-height / speed);
            } else if speed < 0.0 {
                enter = enter.max(-height / speed);
            } else if height >= 0.0 {
                return None;
            }
        }
        (enter < leave).then_some((enter, leave))
    }
}
