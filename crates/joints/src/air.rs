//! Parts that lean against their base with the upper arris of their back: behind the rest of it is air, which the screws cross.
//!
//! The face of such a joint lies on the back of the held part: what of its stretch has a face of the base behind it, as seen
//! square to the back. Everything is measured along that way. Thickness, air and depth change evenly over the face, so their
//! most and least lie at its corners, and the screws are as long as the worst of these asks for.

use crate::body::Body;
use crate::plane::{Flat, Plane, clip, sides};
use crate::touch::TOLERANCE;
use model::build::Air;
use shape::vector::{dot, length, minus, ring_area, times};
use shape::{Face, HalfSpace, Vector};

/// A face of the base looks at the back of the held part if the cosine between both is below this: no board leans by more than
/// thirty degrees.
const LOOKS_AT: f64 = -0.8;

/// What lies along the screws of a face, in millimetres.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Crossing {
    /// The least and the most thickness of the held part.
    pub held: [f64; 2],
    /// The least and the most air behind it.
    pub air: [f64; 2],
    /// From the outer face of the held part to the far face of the base, at the least.
    pub through: f64,
}

/// The way out of the back of a held part, the part of it that has the base behind it, and what lies along the screws.
pub(crate) fn contact(held: &Body<'_>, base: &Body<'_>, air: &Air) -> Option<(Vector, Vec<Vector>, Crossing)> {
    let [_, normal, up] = held.part.at.frame.axes();
    let back = facing(held, normal)?;
    let front = facing(held, times(normal, -1.0))?;
    let near = facing(base, times(normal, -1.0))?.plane;
    let far = facing(base, normal)?.plane;
    let corners: Vec<Vector> = held.shape.ring(back).collect();
    let arris = *corners.iter().max_by(|a, b| dot(**a, up).total_cmp(&dot(**b, up)))?;
    let leans = near.height(arris).abs() <= TOLERANCE.as_mm() && dot(near.normal, normal) < LOOKS_AT;
    let [low, _] = held.shape.reach(up);
    let [from, to] = air.stretch(held.part.key.course).map(|end| low + end.as_mm());
    let plane = leans.then(|| Plane::new(arris, normal, held.grain)).flatten()?;
    let mut ring: Vec<Flat> = corners.iter().map(|&corner| plane.flat(corner)).collect();
    let behind = facing(base, times(normal, -1.0)).map(|face| base.shape.ring(face))?;
    // Seen along the screws it runs the other way round.
    let mut behind: Vec<Flat> = behind.map(|corner| plane.flat(corner)).collect();
    behind.reverse();
    let stretch = [plane.limit(up, to), plane.limit(times(up, -1.0), -from)];
    for limit in sides(&behind).iter().chain(&stretch) {
        ring = clip(ring, limit);
    }
    let ring: Vec<Vector> = ring.into_iter().map(|corner| plane.solid(corner)).collect();
    let next = ring.iter().cycle().skip(1);
    let longest = ring.iter().zip(next).map(|(&a, &b)| length(minus(b, a))).fold(0.0, f64::max);
    let is_face = ring.len() > 2 && length(ring_area(&ring)) > TOLERANCE.as_mm() * longest;
    let crossing = crossing(&ring, normal, &front.plane, &near, &far);
    is_face.then_some((normal, ring, crossing))
}

/// The face of a part that looks a way most.
fn facing<'b>(body: &'b Body<'_>, way: Vector) -> Option<&'b Face> {
    let cosine = |face: &Face| dot(face.plane.normal, way);
    body.shape.faces().iter().max_by(|a, b| cosine(a).total_cmp(&cosine(b)))
}

fn crossing(ring: &[Vector], normal: Vector, front: &HalfSpace, near: &HalfSpace, far: &HalfSpace) -> Crossing {
    // How far along the screws a plane lies from a point.
    let to = |plane: &HalfSpace, from: Vector| -plane.height(from) / dot(plane.normal, normal);
    let mut crossing = Crossing { held: [f64::INFINITY, 0.0], air: [f64::INFINITY, 0.0], through: f64::INFINITY };
    for &corner in ring {
        let (held, air) = (-to(front, corner), to(near, corner).max(0.0));
        crossing.held = [crossing.held[0].min(held), crossing.held[1].max(held)];
        crossing.air = [crossing.air[0].min(air), crossing.air[1].max(air)];
        crossing.through = crossing.through.min(held + to(far, corner));
    }
    crossing
}

/// The place across the face that lies lowest on the held part.
pub(crate) fn lowest(plane: &Plane, up: Vector, [from, to]: [f64; 2]) -> f64 {
    if dot(plane.v, up) > 0.0 { from } else { to }
}
