//! What can be measured on one solid.

use crate::convex::Convex;
use crate::vector::{Vector, cross, dot, length, minus, plus, ring_area, times};

impl Convex {
    /// How much it holds, in mm³.
    ///
    /// The divergence theorem: a sixth of the sum of `a · (b × c)` over the triangles of the surface, here from a corner of
    /// the solid, so that a solid far from the origin loses nothing.
    pub fn volume(&self) -> f64 {
        self.tetrahedra().map(|(volume, _)| volume).sum()
    }

    /// The centre of its volume, which is the centre of gravity where it is of one stuff. A solid without volume has the
    /// middle of its corners.
    pub fn centre(&self) -> Vector {
        let volume = self.volume();
        if volume <= 0.0 {
            let sum = self.corners.iter().copied().fold([0.0; 3], plus);
            return times(sum, 1.0 / self.corners.len() as f64);
        }
        let moment = self.tetrahedra().map(|(part, centre)| times(centre, part)).fold([0.0; 3], plus);
        plus(self.corners[0], times(moment, 1.0 / volume))
    }

    /// The area of its surface, in mm².
    pub fn area(&self) -> f64 {
        self.faces.iter().map(|face| length(ring_area(&self.ring(face).collect::<Vec<_>>()))).sum()
    }

    /// The smallest and the largest coordinates.
    pub fn bounds(&self) -> [Vector; 2] {
        let first = self.corners[0];
        self.corners.iter().fold([first; 2], |[low, high], corner| {
            [[0, 1, 2].map(|axis| low[axis].min(corner[axis])), [0, 1, 2].map(|axis| high[axis].max(corner[axis]))]
        })
    }

    /// From where to where it reaches along a direction of unit length.
    pub fn reach(&self, direction: Vector) -> [f64; 2] {
        let heights = self.corners.iter().map(|&corner| dot(direction, corner));
        heights.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], height| [low.min(height), high.max(height)])
    }

    /// Its corners, and triangles between them by number, counter-clockwise as seen from outside.
    pub fn mesh(&self) -> (Vec<Vector>, Vec<[usize; 3]>) {
        let fans = self.faces.iter().flat_map(|face| {
            let rest = face.ring[1..].windows(2);
            rest.map(|pair| [face.ring[0], pair[0], pair[1]])
        });
        (self.corners.clone(), fans.collect())
    }

    /// The tetrahedra from the first corner to the triangles of the surface: volume, and centre from that corner.
    fn tetrahedra(&self) -> impl Iterator<Item = (f64, Vector)> {
        let (corners, triangles) = self.mesh();
        triangles.into_iter().map(move |triangle| {
            let [a, b, c] = triangle.map(|corner| minus(corners[corner], corners[0]));
            (dot(a, cross(b, c)) / 6.0, times(plus(plus(a, b), c), 0.25))
        })
    }
}
