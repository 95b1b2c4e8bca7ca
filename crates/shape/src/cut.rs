//! The saw: what of a solid lies in a half-space.

use crate::TOUCH;
use crate::convex::{Convex, Face, sides};
use crate::plane::HalfSpace;
use crate::vector::{Vector, between};
use std::cmp::Ordering;

impl Convex {
    /// What is left of the solid inside the half-space; `None` if that is nothing.
    ///
    /// A corner closer to the plane than [`TOUCH`] counts as lying on it and stays where it is: a plane that touches a
    /// corner, an edge or a face takes nothing away, or everything, and leaves no sliver beside it.
    pub fn cut(&self, keep: &HalfSpace) -> Option<Convex> {
        let saw = Saw::new(self, keep);
        if !saw.sides.contains(&Ordering::Less) {
            return None;
        }
        Some(if saw.sides.contains(&Ordering::Greater) { saw.cut() } else { self.clone() })
    }

    /// The polygon in which a plane cuts the solid, counter-clockwise as seen from outside of the half-space; empty where
    /// the plane only touches the solid or misses it.
    pub fn section(&self, plane: &HalfSpace) -> Vec<Vector> {
        let saw = Saw::new(self, plane);
        if !saw.sides.contains(&Ordering::Less) || !saw.sides.contains(&Ordering::Greater) {
            return Vec::new();
        }
        let cut = saw.cut();
        cut.faces.last().map_or_else(Vec::new, |lid| cut.ring(lid).collect())
    }
}

/// A solid and the plane that cuts it.
struct Saw<'a> {
    solid: &'a Convex,
    plane: &'a HalfSpace,
    heights: Vec<f64>,
    /// Where each corner lies: less is inside, equal on the plane, greater outside.
    sides: Vec<Ordering>,
}

/// A corner of what is left: one of the solid's own, or where the plane crosses the edge between two of them.
type Kept = [usize; 2];

impl<'a> Saw<'a> {
    fn new(solid: &'a Convex, plane: &'a HalfSpace) -> Saw<'a> {
        let heights: Vec<f64> = solid.corners.iter().map(|&corner| plane.height(corner)).collect();
        let side = |&height: &f64| {
            if height < -TOUCH {
                Ordering::Less
            } else if height > TOUCH {
                Ordering::Greater
            } else {
                Ordering::Equal
            }
        };
        let sides = heights.iter().map(side).collect();
        Saw { solid, plane, heights, sides }
    }

    /// The faces trimmed, and lids where the surface is left open.
    fn cut(&self) -> Convex {
        let inside = |face: &&Face| face.ring.iter().any(|&corner| self.sides[corner] == Ordering::Less);
        let left = self.solid.faces.iter().filter(inside);
        let mut rings: Vec<(HalfSpace, Vec<Kept>)> = left.map(|face| (face.plane, self.trimmed(&face.ring))).collect();
        let open = lids(rings.iter().map(|(_, ring)| ring));
        rings.extend(open.into_iter().map(|lid| (*self.plane, lid)));
        self.numbered(rings)
    }

    /// The part of a ring that lies inside or on the plane.
    fn trimmed(&self, ring: &[usize]) -> Vec<Kept> {
        let mut trimmed = Vec::with_capacity(ring.len() + 1);
        for [from, to] in sides(ring) {
            if self.sides[from] != Ordering::Greater {
                trimmed.push([from, from]);
            }
            let crosses = self.sides[from] as i8 * self.sides[to] as i8 == -1;
            if crosses {
                trimmed.push([from.min(to), from.max(to)]);
            }
        }
        trimmed
    }

    /// The solid of these rings, its corners numbered in order.
    fn numbered(&self, rings: Vec<(HalfSpace, Vec<Kept>)>) -> Convex {
        let mut kept: Vec<Kept> = rings.iter().flat_map(|(_, ring)| ring).copied().collect();
        kept.sort_unstable();
        kept.dedup();
        let corners = kept.iter().map(|&kept| self.place(kept)).collect();
        let number = |corner: &Kept| kept.partition_point(|kept| kept < corner);
        let face = |(plane, ring): (HalfSpace, Vec<Kept>)| Face { plane, ring: ring.iter().map(number).collect() };
        Convex { corners, faces: rings.into_iter().map(face).collect() }
    }

    fn place(&self, [a, b]: Kept) -> Vector {
        let [from, to] = [self.solid.corners[a], self.solid.corners[b]];
        if a == b {
            return from;
        }
        between(from, to, self.heights[a] / (self.heights[a] - self.heights[b]))
    }
}

/// The rings that close a surface: its sides that no neighbour runs along, walked the other way round.
///
/// Each ring that comes in is closed, so as many open sides lead to a corner as lead away from it, and every walk ends
/// where it began.
fn lids<'a>(rings: impl Iterator<Item = &'a Vec<Kept>>) -> Vec<Vec<Kept>> {
    // A solid has few sides: looking through them is quicker than keeping them in order.
    let mut open: Vec<[Kept; 2]> = Vec::new();
    for ring in rings {
        for (&from, &to) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            match open.iter().position(|&side| side == [from, to]) {
                Some(neighbour) => {
                    open.swap_remove(neighbour);
                }
                None => open.push([to, from]),
            }
        }
    }
    let mut lids = Vec::new();
    while let Some(&[start, mut at]) = open.iter().min() {
        open.retain(|&side| side != [start, at]);
        let mut lid = vec![start];
        while at != start {
            lid.push(at);
            let Some(next) = open.iter().position(|side| side[0] == at) else { break };
            at = open.swap_remove(next)[1];
        }
        lids.push(lid);
    }
    lids
}
