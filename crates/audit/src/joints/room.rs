//! Whether there is room for the screws of a joint after all: places are sought on a grid over the face.

use super::body::plus;
use super::load::Side;
use super::meet::{Fastener, apart};
use super::touch::{Way, area, clipped};
use super::{Asks, BESIDE, MILLIMETRE, NEAR};
use crate::claims::{Part, Record};
use crate::solid::{Vector, cross, dot, length, minus};

/// Steps of the grid over the face, either way.
const STEPS: i32 = 12;
/// How much more than it must a place keeps off, in millimetres: nobody sets out nearer than the marks of a tape.
const SPARE: f64 = 1.0;
/// How far heads that may be moved must be able to go on beyond where they are moved to, in millimetres.
const BEYOND: f64 = 0.25;
/// Less room than this, in square millimetres, is none.
const NONE: f64 = 1.0;

/// Places for so many screws of a length; `None` if none are found. They stand in one line: across the held part, or along it
/// where both grains run alike.
pub(super) fn find(
    asks: &Asks<'_>,
    long: i128,
    wanted: usize,
    fasteners: &[&Fastener],
    record: &Record,
) -> Option<Vec<Vector>> {
    let long = long as f64 / MILLIMETRE;
    let free = left(asks, long, SPARE);
    if area(&free, asks.touch.normal) < NONE {
        return None;
    }
    let (u, v) = (asks.held.grain, cross(asks.touch.normal, asks.held.grain));
    let (line, other) = if asks.touch.way == Way::Alongside { (u, v) } else { (v, u) };
    let reach = |way: Vector| {
        let places = free.iter().map(|corner| dot(minus(*corner, free[0]), way));
        places.fold([f64::MAX, f64::MIN], |[low, high], at| [low.min(at), high.max(at)])
    };
    let (lines, others) = (reach(line), reach(other));
    let covers = covering(asks, record);
    for at in 0..=STEPS {
        let beside = plus(free[0], other, place(others, at));
        let points = (0..=STEPS).map(|at| plus(beside, line, place(lines, at)));
        let good = points.filter(|&point| is_free(asks, point, long, &free, fasteners, &covers, SPARE));
        let mut taken: Vec<Vector> = Vec::new();
        for point in good {
            let far = |other: &Vector| length(minus(point, *other)) >= asks.apart(line) + SPARE;
            if taken.last().is_none_or(far) {
                taken.push(point);
            }
        }
        if taken.len() >= wanted {
            return Some(taken);
        }
    }
    None
}

fn place([low, high]: [f64; 2], at: i32) -> f64 {
    low + (high - low) * f64::from(at) / f64::from(STEPS)
}

/// What ends and edges of both parts leave of the face.
fn left(asks: &Asks<'_>, long: f64, spare: f64) -> Vec<Vector> {
    let touch = asks.touch;
    let through = touch.held as f64 / MILLIMETRE;
    let mut ring = touch.ring.clone();
    for (side, body, depths) in [(Side::Held, asks.held, [-through, 0.0]), (Side::Base, asks.base, touch.depths(long))]
    {
        for face in body.faces.iter().filter(|face| dot(face.normal, touch.normal).abs() < BESIDE) {
            let lean = depths.map(|depth| depth * dot(face.normal, touch.normal));
            let keep = asks.keep(side, face.normal, body.grain) + spare;
            ring = clipped(&ring, face.normal, face.offset - keep - lean[0].max(lean[1]));
        }
    }
    ring
}

/// Whether heads that all are moved by so much have room there, and a little further on either way.
pub(super) fn has_room(
    asks: &Asks<'_>,
    heads: &[Vector],
    way: Vector,
    long: f64,
    fasteners: &[&Fastener],
    record: &Record,
) -> bool {
    let (normal, through) = (asks.touch.normal, asks.touch.held as f64 / MILLIMETRE);
    let free = left(asks, long, -NEAR);
    let covers = covering(asks, record);
    let share = BEYOND / length(way);
    // A polygon has three corners at least.
    free.len() > 2
        && [1.0, 1.0 - share, 1.0 + share].into_iter().all(|far| {
            heads.iter().all(|head| {
                let point = plus(plus(*head, normal, through), way, far);
                is_free(asks, point, long, &free, fasteners, &covers, -NEAR)
            })
        })
}

/// Parts that may cover heads: what lies on the outer face of the held part.
pub(super) fn covering<'r>(asks: &Asks<'_>, record: &'r Record) -> Vec<&'r Part> {
    let far = 2.0 * asks.diameter();
    let [near, beyond] = [&asks.held.near, &asks.held.far];
    let is_near = |part: &&Part| {
        let extent = part.extent().into_iter().max().unwrap_or(0);
        let margin = if part.is_plain() { 0 } else { 2 * extent };
        (0..3).all(|axis| {
            let [from, to] = [part.corner[axis] - margin, part.corner[axis] + part.extent()[axis] + margin]
                .map(|at| at as f64 / MILLIMETRE);
            from <= beyond[axis] + far && near[axis] <= to + far
        })
    };
    let own = [&asks.held.part.id, &asks.base.part.id];
    record.parts.iter().filter(|part| !own.contains(&&part.id)).filter(is_near).collect()
}

fn is_free(
    asks: &Asks<'_>,
    point: Vector,
    long: f64,
    free: &[Vector],
    fasteners: &[&Fastener],
    covers: &[&Part],
    spare: f64,
) -> bool {
    let normal = asks.touch.normal;
    let inside = free.iter().enumerate().all(|(at, corner)| {
        let next = free[(at + 1) % free.len()];
        dot(cross(minus(next, *corner), minus(point, *corner)), normal) >= -1e-9
    });
    let head = plus(point, normal, -(asks.touch.held as f64 / MILLIMETRE));
    let tip = plus(head, normal, long);
    // A diameter of wood, a diameter of screw, and what a drill held by hand wanders: 3 mm (common practice).
    let met = fasteners
        .iter()
        .any(|other| apart([head, tip], [other.from, other.to]) < asks.diameter() + other.diameter + 3.0 + spare);
    inside && !met && !covers.iter().any(|part| is_under(part, head, normal, asks.diameter() + spare))
}

/// Whether a head lies under a part: a little outside of it is that part, or within its radius beside it.
fn is_under(part: &Part, head: Vector, normal: Vector, radius: f64) -> bool {
    let Some(body) = super::body::Body::of(part) else { return false };
    let outside = plus(head, normal, -0.1);
    body.faces.iter().all(|face| dot(face.normal, outside) <= face.offset + radius)
}
