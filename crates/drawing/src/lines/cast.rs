//! One solid as it is seen, and the shadow in which it hides what lies behind it.

use super::{Convex, TOUCHING, Vector, View, cross, dot, length, times};
use shape::Edge;
use std::collections::BTreeMap;

/// A face whose normal has less than this towards the viewer is seen edge on.
const EDGE_ON: f64 = 1e-9;
/// Two faces of which the normals differ by less than this sine are one face, and the edge between them is not drawn.
const ONE_FACE: f64 = 1e-6;

/// An edge of a solid, and whether a face beside it looks at the viewer.
pub(super) struct CastEdge {
    pub ends: [usize; 2],
    pub front: bool,
}

/// A plane of the shadow: what lies in it has `normal · x < offset` for all of them.
#[derive(Clone, Copy)]
struct Shade {
    normal: Vector,
    offset: f64,
}

impl Shade {
    fn height(&self, point: Vector) -> f64 {
        dot(self.normal, point) - self.offset
    }
}

/// A solid to the right, upwards, and towards the viewer.
pub(super) struct Cast {
    pub corners: Vec<Vector>,
    pub edges: Vec<CastEdge>,
    /// The sides of its outline, counter-clockwise, as corners.
    sides: Vec<[usize; 2]>,
    shadow: Vec<Shade>,
    pub low: Vector,
    pub high: Vector,
}

impl Cast {
    pub fn new(solid: &Convex, view: &View) -> Cast {
        let corners: Vec<Vector> = solid.corners().iter().map(|&corner| view.seen(corner)).collect();
        let normals: Vec<Vector> = solid.faces().iter().map(|face| view.seen(face.plane.normal)).collect();
        let front = |face: usize| normals[face][2] > EDGE_ON;
        let all = solid.edges();
        let sharp = |edge: &&Edge| {
            let [a, b] = edge.faces.map(|face| normals[face]);
            length(cross(a, b)) > ONE_FACE || dot(a, b) < 0.0
        };
        let edges = all.iter().filter(sharp);
        let edges = edges.map(|edge| CastEdge { ends: edge.ends, front: edge.faces.into_iter().any(front) }).collect();
        let sides: Vec<[usize; 2]> = all.iter().filter_map(|edge| side(edge, edge.faces.map(front))).collect();
        let faces = solid.faces().iter().zip(&normals).filter(|(_, normal)| normal[2] > EDGE_ON);
        let faces = faces.map(|(face, &normal)| Shade { normal, offset: face.plane.offset });
        let shadow = sides.iter().filter_map(|side| curtain(side.map(|corner| corners[corner]))).chain(faces).collect();
        let [low, high] = bounds(&corners);
        Cast { corners, edges, sides, shadow, low, high }
    }

    /// Which stretch of an edge lies behind this solid, as shares of its length.
    ///
    /// The planes cut the edge exactly where they lie; that it is hidden is believed only if its middle lies in the shadow
    /// by more than [`TOUCHING`]: an edge on the surface is not hidden by rounding.
    pub fn hides(&self, [from, to]: [Vector; 2]) -> Option<[f64; 2]> {
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for shade in &self.shadow {
            let (here, there) = (shade.height(from), shade.height(to));
            if here >= 0.0 && there >= 0.0 {
                return None;
            } else if here > 0.0 {
                enter = enter.max(here / (here - there));
            } else if there > 0.0 {
                leave = leave.min(here / (here - there));
            }
        }
        if enter >= leave {
            return None;
        }
        let middle = super::between(from, to, (enter + leave) / 2.0);
        self.shadow.iter().all(|shade| shade.height(middle) < -TOUCHING).then_some([enter, leave])
    }

    /// Whether it may hide something of another solid: no plane has the whole other on its outer side.
    pub fn may_hide(&self, other: &Cast) -> bool {
        let apart = (0..2).any(|way| self.low[way] >= other.high[way] || self.high[way] <= other.low[way]);
        let beyond = |shade: &Shade| other.corners.iter().all(|&corner| shade.height(corner) >= -TOUCHING);
        !apart && self.high[2] > other.low[2] && !self.shadow.iter().any(beyond)
    }

    pub fn outline(&self) -> Vec<[f64; 2]> {
        let next: BTreeMap<usize, usize> = self.sides.iter().map(|[from, to]| (*from, *to)).collect();
        let Some(&[start, _]) = self.sides.first() else { return Vec::new() };
        let walk = std::iter::successors(Some(start), |at| next.get(at).copied().filter(|&to| to != start));
        walk.take(next.len()).map(|corner| [self.corners[corner][0], self.corners[corner][1]]).collect()
    }
}

/// An edge between a face that looks at the viewer and one that does not, the way it runs in the ring of the former.
fn side(edge: &Edge, front: [bool; 2]) -> Option<[usize; 2]> {
    let [from, to] = edge.ends;
    match front {
        [true, false] => Some([from, to]),
        [false, true] => Some([to, from]),
        _ => None,
    }
}

/// The plane through a side of the outline and the viewer; `None` if the side is too short to have a direction.
fn curtain([from, to]: [Vector; 2]) -> Option<Shade> {
    let outwards = [to[1] - from[1], from[0] - to[0], 0.0];
    let long = length(outwards);
    let normal = times(outwards, 1.0 / long);
    (long > shape::TOUCH).then(|| Shade { normal, offset: dot(normal, from) })
}

fn bounds(corners: &[Vector]) -> [Vector; 2] {
    corners.iter().fold([[f64::INFINITY; 3], [f64::NEG_INFINITY; 3]], |[low, high], corner| {
        [[0, 1, 2].map(|way| low[way].min(corner[way])), [0, 1, 2].map(|way| high[way].max(corner[way]))]
    })
}
