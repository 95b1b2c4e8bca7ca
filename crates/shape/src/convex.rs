//! A convex solid by its corners and faces.

use crate::plane::HalfSpace;
use crate::vector::{Vector, cross, dot, plus, ring_area, times};
use std::collections::BTreeMap;

/// One flat face.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// The plane it lies on; the solid lies inside.
    pub plane: HalfSpace,
    /// Its corners by number, counter-clockwise as seen from outside.
    pub ring: Vec<usize>,
}

/// An edge between two faces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// The corners it runs between, by number, the smaller first.
    pub ends: [usize; 2],
    /// The faces it lies between, by number: first the one in whose ring it runs from its first end to its second.
    pub faces: [usize; 2],
}

/// A convex solid. Its surface is closed: each edge lies between two faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Convex {
    pub(crate) corners: Vec<Vector>,
    pub(crate) faces: Vec<Face>,
}

/// The faces of a cuboid by which of its corners they run through; bit 0 of a corner's number tells whether it lies at the
/// far end of the first axis, and so on. In pairs: at the near end of an axis, at its far end.
const CUBOID: [[usize; 4]; 6] = [[0, 4, 6, 2], [1, 3, 7, 5], [0, 1, 5, 4], [2, 6, 7, 3], [0, 2, 3, 1], [4, 5, 7, 6]];

impl Convex {
    /// A cuboid from one corner, its three axes of unit length, and its extents along them in millimetres.
    ///
    /// The axes may be left-handed and extents negative; a solid with an extent of 0 is flat and without volume.
    pub fn cuboid(origin: Vector, axes: [Vector; 3], extents: [f64; 3]) -> Convex {
        let legs = [0, 1, 2].map(|axis| times(axes[axis], extents[axis]));
        let corner = |number: usize| {
            let far = (0..3).filter(|axis| number >> axis & 1 == 1);
            far.fold(origin, |at, axis| plus(at, legs[axis]))
        };
        let corners: Vec<Vector> = (0..8).map(corner).collect();
        let turned = dot(cross(legs[0], legs[1]), legs[2]) < 0.0;
        let face = |(number, ring): (usize, &[usize; 4])| {
            let axis = axes[number / 2];
            let outwards = if (number % 2 == 1) == (extents[number / 2] >= 0.0) { 1.0 } else { -1.0 };
            let normal = times(axis, outwards);
            let mut ring = ring.to_vec();
            if turned {
                ring.reverse();
            }
            Face { plane: HalfSpace { normal, offset: dot(normal, corners[ring[0]]) }, ring }
        };
        let faces = CUBOID.iter().enumerate().map(face).collect();
        Convex { corners, faces }
    }

    /// A solid from its corners, in millimetres, and for each face the numbers of its corners, counter-clockwise as seen from
    /// outside; `None` if they do not close, or a face has no side. Whether it is convex is not looked into.
    pub fn of(corners: Vec<Vector>, rings: Vec<Vec<usize>>) -> Option<Convex> {
        let face = |ring: Vec<usize>| {
            let points = ring.iter().map(|&corner| corners.get(corner).copied()).collect::<Option<Vec<Vector>>>()?;
            let plane = HalfSpace::through(*points.first()?, ring_area(&points))?;
            plane.offset.is_finite().then_some(Face { plane, ring })
        };
        let faces = rings.into_iter().map(face).collect::<Option<Vec<Face>>>()?;
        let solid = Convex { corners, faces };
        let mut runs: Vec<[usize; 2]> = solid.faces.iter().flat_map(|face| sides(&face.ring)).collect();
        runs.sort_unstable();
        let once = runs.windows(2).all(|pair| pair[0] != pair[1]);
        let both = runs.iter().all(|[from, to]| from != to && runs.binary_search(&[*to, *from]).is_ok());
        (!runs.is_empty() && once && both).then_some(solid)
    }

    /// Its corners, in millimetres.
    pub fn corners(&self) -> &[Vector] {
        &self.corners
    }

    /// Its faces.
    pub fn faces(&self) -> &[Face] {
        &self.faces
    }

    /// The corners of a face, counter-clockwise as seen from outside.
    pub fn ring<'a>(&'a self, face: &'a Face) -> impl Iterator<Item = Vector> + 'a {
        face.ring.iter().map(|&corner| self.corners[corner])
    }

    /// Its edges, each once, in the order of the corners they run between.
    pub fn edges(&self) -> Vec<Edge> {
        let mut edges: BTreeMap<[usize; 2], [usize; 2]> = BTreeMap::new();
        for (number, face) in self.faces.iter().enumerate() {
            for [from, to] in sides(&face.ring) {
                let faces = edges.entry([from.min(to), from.max(to)]).or_insert([number; 2]);
                faces[usize::from(from > to)] = number;
            }
        }
        edges.into_iter().map(|(ends, faces)| Edge { ends, faces }).collect()
    }

    /// The same solid moved by so much.
    pub fn moved(&self, by: Vector) -> Convex {
        let mut moved = self.clone();
        for corner in &mut moved.corners {
            *corner = plus(*corner, by);
        }
        for face in &mut moved.faces {
            face.plane.offset += dot(face.plane.normal, by);
        }
        moved
    }
}

/// The sides of a ring, from each corner to the next.
pub(crate) fn sides(ring: &[usize]) -> impl Iterator<Item = [usize; 2]> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(&from, &to)| [from, to])
}
