//! Parts as solids, for those that some fixing names.

use measure::Length;
use model::build::{Build, Roles};
use model::part::{Part, from_mm};
use shape::{Convex, Vector};
use std::collections::BTreeMap;

/// A part with its shape.
pub(crate) struct Body<'b> {
    /// The part.
    pub part: &'b Part,
    /// Its shape in the build, in millimetres.
    pub shape: Convex,
    /// The direction of its grain.
    pub grain: Vector,
    /// The corner with the least x, y and z of what it takes.
    pub near: [Length; 3],
    /// The corner with the largest.
    pub far: [Length; 3],
}

/// The places of the parts of each piece and role.
pub(crate) fn by_role(build: &Build) -> BTreeMap<(&str, &str), Vec<usize>> {
    let mut roles: BTreeMap<(&str, &str), Vec<usize>> = BTreeMap::new();
    for (place, part) in build.parts.iter().enumerate() {
        roles.entry((&part.key.piece, &part.key.role)).or_default().push(place);
    }
    roles
}

/// The parts that fixings name, each at its place in the build's list.
pub(crate) fn bodies(build: &Build) -> Vec<Option<Body<'_>>> {
    let roles = by_role(build);
    let mut bodies: Vec<Option<Body<'_>>> = build.parts.iter().map(|_| None).collect();
    for Roles { piece, role } in build.fixings.iter().flat_map(|fixing| [&fixing.held, &fixing.base]) {
        for &place in roles.get(&(piece.as_str(), role.as_str())).into_iter().flatten() {
            if bodies[place].is_none() {
                bodies[place] = body(&build.parts[place]);
            }
        }
    }
    bodies
}

fn body(part: &Part) -> Option<Body<'_>> {
    let shape = part.shape()?;
    let [near, far] = match part.is_box() {
        true => [part.near_corner(), part.far_corner()],
        false => shape.bounds().map(|corner| corner.map(from_mm)),
    };
    let grain = part.at.frame.axes()[part.at.along.index()];
    Some(Body { part, shape, grain, near, far })
}
