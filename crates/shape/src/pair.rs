//! Two solids: do they run into one another, and where do they touch.

use crate::TOUCH;
use crate::convex::{Convex, Face};
use crate::plane::HalfSpace;
use crate::vector::{Vector, between, cross, dot, length, minus, ring_area, unit};

/// Where a face of one solid lies on a face of another.
#[derive(Clone, Debug, PartialEq)]
pub struct Contact {
    /// Out of the first solid, into the second; of unit length.
    pub normal: Vector,
    /// The polygon they share, counter-clockwise about the normal.
    pub ring: Vec<Vector>,
}

impl Contact {
    /// How large it is, in mm².
    pub fn area(&self) -> f64 {
        length(ring_area(&self.ring))
    }
}

/// Two faces lie on one another only if their normals are opposite to within this sine, a hundredth of a degree; how close
/// they really are is then measured at the corners.
const OPPOSITE: f64 = 2e-4;
/// Two edges run alike if the sine between them is less: their outer product would have no direction worth asking.
const PARALLEL: f64 = 1e-9;

impl Convex {
    /// How deep two solids run into one another, in millimetres: the shortest way on which one can leave the other.
    /// Zero where they touch; where they are apart, less than zero and no more than their distance away from it.
    ///
    /// By separating axes: the normals of all faces and the outer products of all edges.
    pub fn overlap(&self, other: &Convex) -> f64 {
        let normals = self.faces.iter().chain(&other.faces).map(|face| face.plane.normal);
        let (own, others) = (self.directions(), other.directions());
        let crossed = own.iter().flat_map(|&a| others.iter().map(move |&b| cross(a, b)));
        let crossed = crossed.filter(|&axis| length(axis) > PARALLEL).filter_map(unit);
        let depth = |axis: Vector| {
            let ([a, b], [c, d]) = (self.reach(axis), other.reach(axis));
            (b - c).min(d - a)
        };
        normals.chain(crossed).map(depth).fold(f64::INFINITY, f64::min)
    }

    /// The polygon in which a face of this solid lies on a face of the other; the largest, if there are several.
    ///
    /// The faces may be `tolerance` millimetres apart or into one another, and the polygon must be wider than that.
    pub fn contact(&self, other: &Convex, tolerance: f64) -> Option<Contact> {
        let pairs = self.faces.iter().flat_map(|own| other.faces.iter().map(move |face| (own, face)));
        let opposite = pairs.filter(|(own, face)| dot(own.plane.normal, face.plane.normal) < 0.0);
        let found = opposite.filter_map(|(own, face)| self.shared(own, other, face, tolerance));
        found.max_by(|a, b| a.area().total_cmp(&b.area()))
    }

    fn shared(&self, own: &Face, other: &Convex, face: &Face, tolerance: f64) -> Option<Contact> {
        if length(cross(own.plane.normal, face.plane.normal)) > OPPOSITE {
            return None;
        }
        let theirs: Vec<Vector> = other.ring(face).collect();
        let mut ring: Vec<Vector> = self.ring(own).collect();
        for (&from, &to) in theirs.iter().zip(theirs.iter().cycle().skip(1)) {
            let Some(side) = HalfSpace::through(from, cross(minus(to, from), face.plane.normal)) else { continue };
            ring = trimmed(&ring, &side);
        }
        let far = ring.iter().any(|&corner| face.plane.height(corner).abs() > tolerance);
        let longest =
            ring.iter().zip(ring.iter().cycle().skip(1)).map(|(&a, &b)| length(minus(b, a))).fold(0.0, f64::max);
        let contact = Contact { normal: own.plane.normal, ring };
        (!far && contact.area() > tolerance.max(TOUCH) * longest).then_some(contact)
    }

    /// The directions of its edges, those alike once.
    fn directions(&self) -> Vec<Vector> {
        let mut directions: Vec<Vector> = Vec::new();
        for [from, to] in self.edges().iter().map(|edge| edge.ends) {
            let Some(direction) = unit(minus(self.corners[to], self.corners[from])) else { continue };
            if directions.iter().all(|&known| length(cross(known, direction)) > PARALLEL) {
                directions.push(direction);
            }
        }
        directions
    }
}

/// The part of a convex ring inside a half-space. A corner within [`TOUCH`] of the plane counts as inside.
fn trimmed(ring: &[Vector], keep: &HalfSpace) -> Vec<Vector> {
    let heights: Vec<f64> = ring.iter().map(|&corner| keep.height(corner)).collect();
    let mut trimmed = Vec::with_capacity(ring.len() + 1);
    for (at, &corner) in ring.iter().enumerate() {
        let next = (at + 1) % ring.len();
        let (here, there) = (heights[at], heights[next]);
        if here <= TOUCH {
            trimmed.push(corner);
        }
        if (here > TOUCH && there < -TOUCH) || (here < -TOUCH && there > TOUCH) {
            trimmed.push(between(corner, ring[next], here / (here - there)));
        }
    }
    trimmed
}
