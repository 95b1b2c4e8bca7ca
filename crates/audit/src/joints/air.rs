//! Boards that lean against what they are screwed to: the screws cross the air behind them.
//!
//! How low the screws may stand is not taken from the pieces' formula but from the record's parts: ten millimetres above the
//! upper edge of the board below, and of the lowest board above the strip behind it too, as seen square to its back.

use super::body::{Body, plus};
use super::touch::{Touch, Way, area, clipped, way};
use super::{MILLIMETRE, NEAR};
use crate::claims::{Part, Record};
use crate::ground::nearest;
use crate::solid::{Vector, cross, dot, frame, minus};
use std::collections::BTreeMap;

/// How far above what lies behind a board its screws stand, and how far they may go up at least, in millimetres.
const ABOVE: f64 = 10.0;
/// The base looks at the back of a board that leans against it if the cosine is below this.
const LOOKS_AT: f64 = -0.8;
/// What a micrometre is in nanometres and in millimetres.
const MICROMETRE: f64 = 1000.0;
const TOUCHING: f64 = 1e-3;

/// What screws through air go by, in millimetres.
#[derive(Clone, Debug)]
pub(super) struct Air {
    /// The most air along a screw, in nanometres.
    pub most: i128,
    /// The least thickness of the held part and the least air.
    pub least: [f64; 2],
    /// Up the back, and between which heights along it the screws leave the held part.
    up: Vector,
    stretch: [f64; 2],
}

impl Air {
    /// How far a point on the back lies outside the stretch.
    pub fn off(&self, point: Vector) -> f64 {
        let at = dot(point, self.up);
        (self.stretch[0] - at).max(at - self.stretch[1])
    }
}

/// The parts by piece, role, face and course.
pub(super) type Courses<'r> = BTreeMap<(&'r str, &'r str, &'r str, i64), &'r Part>;

pub(super) fn courses(record: &Record) -> Courses<'_> {
    let key = |part: &'_ Part| (part.course, part.index == 0);
    let first = record.parts.iter().filter(|part| key(part).1);
    first.map(|part| ((part.piece.as_str(), part.role.as_str(), part.face.as_str(), part.course), part)).collect()
}

/// How far a part reaches along a way.
fn reach(part: &Part, way: Vector) -> Option<[f64; 2]> {
    let body = Body::of(part)?;
    let corners = body.faces.iter().flat_map(|face| &face.ring).map(|corner| dot(*corner, way));
    Some(corners.fold([f64::MAX, f64::MIN], |[low, high], at| [low.min(at), high.max(at)]))
}

/// How far above the lower edge of a board its screws stand at least.
fn line(part: &Part, up: Vector, courses: &Courses<'_>) -> Option<f64> {
    let of = |role: &str, course: i64| {
        courses.get(&(part.piece.as_str(), role, part.face.as_str(), course)).and_then(|part| reach(part, up))
    };
    // Every board lies on the one below as the second does on the first.
    let course = part.course.max(1);
    let covered = of(&part.role, course - 1)?[1] - of(&part.role, course)?[0];
    let behind = if part.course == 0 { of("starter", 0)?[1] - reach(part, up)?[0] } else { covered };
    Some(covered.max(behind) + ABOVE)
}

/// The face that a leaning board has its base behind, if it leans against that.
pub(super) fn touch(held: &Body<'_>, base: &Body<'_>, fixing: usize, courses: &Courses<'_>) -> Option<Touch> {
    let [_, normal, up] = frame(held.part.heading, held.part.lean);
    let facing = |body: &'_ Body<'_>, sign: f64| {
        let cosine = |at: &usize| sign * dot(body.faces[*at].normal, normal);
        (0..body.faces.len()).max_by(|a, b| cosine(a).total_cmp(&cosine(b)))
    };
    let (back, front) = (&held.faces[facing(held, 1.0)?], &held.faces[facing(held, -1.0)?]);
    let (near, far) = (&base.faces[facing(base, -1.0)?], &base.faces[facing(base, 1.0)?]);
    let arris = back.ring.iter().max_by(|a, b| dot(**a, up).total_cmp(&dot(**b, up)))?;
    let off = dot(near.normal, *arris) - near.offset;
    if off.abs() > TOUCHING || dot(near.normal, normal) >= LOOKS_AT {
        return None;
    }
    let [low, high] = reach(held.part, up)?;
    let line = line(held.part, up, courses)?;
    let stretch = [low + line, low + ((high - low) / 2.0).max(line + ABOVE)];
    let mut ring = clipped(&back.ring, up, stretch[1]);
    ring = clipped(&ring, up.map(|part| -part), -stretch[0]);
    for (at, corner) in near.ring.iter().enumerate() {
        // Out of the base's face, and along the screws.
        let out = cross(minus(near.ring[(at + 1) % near.ring.len()], *corner), normal.map(|part| -part));
        ring = clipped(&ring, out, dot(out, *corner));
    }
    if ring.len() < 3 || area(&ring, normal) <= 1e-3 {
        return None;
    }
    let to = |face: &super::body::Face, from: Vector| (face.offset - dot(face.normal, from)) / dot(face.normal, normal);
    let each = |of: &dyn Fn(Vector) -> f64| {
        let values = ring.iter().map(|corner| of(*corner));
        values.fold([f64::MAX, f64::MIN], |[low, high], at| [low.min(at), high.max(at)])
    };
    let thick = each(&|corner| -to(front, corner));
    let open = each(&|corner| to(near, corner).max(0.0));
    let through = each(&|corner| to(far, corner) - to(front, corner))[0];
    let whole = |mm: f64| nearest(mm * MILLIMETRE / MICROMETRE) * MICROMETRE as i128;
    let [thickest, most, through] = [thick[1], open[1], through].map(whole);
    Some(Touch {
        fixing,
        normal,
        way: way(held, base, normal),
        held: thickest,
        base: through - thickest - most,
        plain: false,
        is_slight: area(&ring, normal) < super::touch::SLIGHT,
        air: Some(Air { most, least: [thick[0], open[0]], up, stretch }),
        ring,
    })
}

/// Whether a part comes nearer than a radius to a screw on its way from one depth to another.
pub(super) fn is_crossed(part: &Part, head: Vector, way: Vector, [from, to]: [f64; 2], radius: f64) -> bool {
    let Some(body) = Body::of(part) else { return false };
    let (start, end) = (plus(head, way, from + NEAR), plus(head, way, to - NEAR));
    let mut left = [0.0_f64, 1.0_f64];
    for face in &body.faces {
        let [here, there] = [start, end].map(|point| dot(face.normal, point) - face.offset - radius);
        if here > 0.0 && there > 0.0 {
            return false;
        }
        if here > 0.0 {
            left[0] = left[0].max(here / (here - there));
        } else if there > 0.0 {
            left[1] = left[1].min(here / (here - there));
        }
    }
    left[0] < left[1]
}

impl Touch {
    /// What a screw crosses before it enters the base, in nanometres.
    pub(super) fn before_base(&self) -> i128 {
        self.held + self.air.as_ref().map_or(0, |air| air.most)
    }

    /// How deep below the back screws of a length lie in the base, in millimetres.
    pub(super) fn depths(&self, long: f64) -> [f64; 2] {
        match &self.air {
            Some(air) => [air.least[1], long - air.least[0]],
            None => [0.0, long - self.held as f64 / MILLIMETRE],
        }
    }

    pub(super) fn is_along(&self) -> bool {
        self.way == Way::Alongside
    }
}
