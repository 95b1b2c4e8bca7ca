//! Parts as screws meet them: their faces, and the way of their grain.

use crate::asked::Fixing;
use crate::claims::{Part, Record};
use crate::solid::{Solid, Vector, dot, frame, normal, unit};
use std::collections::{BTreeMap, BTreeSet};

/// A part that is held or holds.
pub(crate) struct Body<'r> {
    pub part: &'r Part,
    pub faces: Vec<Face>,
    pub grain: Vector,
    /// The box along the axes of the build that holds it, in millimetres.
    pub near: Vector,
    pub far: Vector,
}

/// A face: out of the part, how far, and its corners counter-clockwise as seen from outside.
pub(crate) struct Face {
    pub normal: Vector,
    pub offset: f64,
    pub ring: Vec<Vector>,
}

/// A face whose normal is nearer to square to a way than this is not met on it.
const SQUARE_TO_IT: f64 = 1e-9;

impl<'r> Body<'r> {
    /// A part; `None` if its planes leave nothing of it.
    pub fn of(part: &'r Part) -> Option<Body<'r>> {
        let solid = Solid::of(part)?;
        let face = |ring: &Vec<Vector>| {
            let normal = unit(normal(ring));
            let offset = ring.iter().map(|corner| dot(normal, *corner)).sum::<f64>() / ring.len() as f64;
            Face { normal, offset, ring: ring.clone() }
        };
        let [near, far] = solid.bounds();
        let grain = frame(part.heading, part.lean)[part.along];
        Some(Body { part, faces: solid.faces().iter().map(face).collect(), grain, near, far })
    }

    /// How far along a way the part is entered, less than nothing from within, where it is met at all.
    pub fn enters(&self, from: Vector, way: Vector) -> f64 {
        self.met(from, way).filter(|(facing, _)| *facing < 0.0).map(|met| met.1).fold(f64::NEG_INFINITY, f64::max)
    }

    /// How far along a way the part is left.
    pub fn leaves(&self, from: Vector, way: Vector) -> f64 {
        self.met(from, way).filter(|(facing, _)| *facing > 0.0).map(|met| met.1).fold(f64::INFINITY, f64::min)
    }

    fn met(&self, from: Vector, way: Vector) -> impl Iterator<Item = (f64, f64)> + '_ {
        let met = move |face: &Face| {
            let facing = dot(face.normal, way);
            (facing.abs() > SQUARE_TO_IT).then(|| (facing, (face.offset - dot(face.normal, from)) / facing))
        };
        self.faces.iter().filter_map(met)
    }
}

/// Every part that some fixing names.
pub(super) fn bodies<'r>(record: &'r Record, fixings: &[&Fixing]) -> BTreeMap<usize, Body<'r>> {
    let roles: BTreeSet<(&str, &str)> = fixings
        .iter()
        .flat_map(|fixing| [&fixing.held, &fixing.base])
        .map(|(piece, role)| (piece.as_str(), role.as_str()))
        .collect();
    let named = record.parts.iter().enumerate().filter(|(_, part)| roles.contains(&(&part.piece, &part.role)));
    named.filter_map(|(place, part)| Some((place, Body::of(part)?))).collect()
}

/// A point so far along a way.
pub(crate) fn plus(from: Vector, way: Vector, far: f64) -> Vector {
    [0, 1, 2].map(|axis| from[axis] + way[axis] * far)
}
