//! Where parts touch: the faces in which a held part lies on its base.

use crate::air::{self, Crossing};
use crate::body::{Body, by_role};
use measure::Length;
use model::build::{Build, Load, Roles};
use shape::vector::{cross, dot};
use shape::{TOUCH, Vector};
use std::collections::{BTreeMap, BTreeSet};

/// How a held part lies on its base.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// With its end against it: no screw goes through the whole length of a board.
    EndOn,
    /// On the base's end grain.
    OnEndGrain,
    /// Both grains run alike.
    Alongside,
    /// Across the base's grain.
    Across,
}

/// A face in which a held part lies on its base.
#[derive(Clone, Debug)]
pub(crate) struct Patch {
    /// Which fixing asks for a joint here, by its place in the build's list.
    pub fixing: usize,
    /// The held part, by its place.
    pub held: usize,
    /// The base, by its place.
    pub base: usize,
    /// Out of the held part, into the base; of unit length.
    pub normal: Vector,
    /// The polygon they share in millimetres, counter-clockwise about the normal.
    pub ring: Vec<Vector>,
    /// How they lie.
    pub way: Way,
    /// What lies along the screws, if the held part stands off its base.
    pub crossing: Option<Crossing>,
}

/// Two directions run alike if the cosine between them is more: half a right angle lies well below, and mitres never reach it.
const ALIKE: f64 = 0.9;

impl Patch {
    /// Whether the held part lies on top of its base.
    pub fn points_down(&self) -> bool {
        self.normal[2] < -ALIKE
    }

    /// Whether the base lies on top of what it is held by.
    pub fn points_up(&self) -> bool {
        self.normal[2] > ALIKE
    }

    /// Whether the held part only just touches its base: with less than half of what it reaches across its grain.
    pub fn is_just(&self, held: &Body<'_>) -> bool {
        let across = cross(self.normal, held.grain);
        let [low, high] = held.shape.reach(across);
        let places = self.ring.iter().map(|&corner| dot(corner, across));
        let [from, to] = places.fold([f64::INFINITY, f64::NEG_INFINITY], |[from, to], x| [from.min(x), to.max(x)]);
        self.way != Way::EndOn && 2.0 * (to - from) < high - low - TOUCH
    }

    /// Whether it looks the opposite way.
    pub fn is_opposite(&self, other: &Patch) -> bool {
        dot(self.normal, other.normal) < -ALIKE
    }
}

/// How far two faces that are not along the axes of the build may be apart or into one another and still touch: a
/// micrometre, far above the nanometre to which corners at angles are rounded and far below anything that is built.
pub(crate) const TOLERANCE: Length = Length::nm(1000);

/// All faces in which a held part of a fixing touches a base of it, in the order of the fixings, held parts and bases.
pub(crate) fn patches(build: &Build, bodies: &[Option<Body<'_>>]) -> Vec<Patch> {
    let roles = by_role(build);
    let mut joined = BTreeSet::new();
    let mut patches = Vec::new();
    for (number, fixing) in build.fixings.iter().enumerate() {
        let places = |of: &Roles| roles.get(&(of.piece.as_str(), of.role.as_str())).cloned().unwrap_or_default();
        let (held, base) = (places(&fixing.held), places(&fixing.base));
        let mut found: Vec<Patch> = Vec::new();
        near_pairs(&held, &base, bodies, |held, base| {
            let (Some(one), Some(other)) = (&bodies[held], &bodies[base]) else { return };
            let met = match &fixing.air {
                Some(air) => air::contact(one, other, air).map(|(normal, ring, at)| (normal, ring, Some(at))),
                None => contact(one, other).map(|(normal, ring)| (normal, ring, None)),
            };
            let Some((normal, ring, crossing)) = met else { return };
            let way = way(one.grain, other.grain, normal);
            found.push(Patch { fixing: number, held, base, normal, ring, way, crossing });
        });
        drop_chance_ends(&mut found);
        if fixing.load == Load::Own {
            drop_chance_edges(&mut found, bodies);
        }
        found.sort_by_key(|patch| (patch.held, patch.base));
        patches.extend(found.into_iter().filter(|patch| joined.insert((patch.held, patch.base))));
    }
    patches
}

/// Leaves out ends that only happen to touch a base: those whose base the fixing joins to another part, or whose part to
/// another base.
fn drop_chance_ends(found: &mut Vec<Patch>) {
    let whole = found.iter().filter(|patch| patch.way != Way::EndOn);
    let (held, base): (BTreeSet<usize>, BTreeSet<usize>) = whole.map(|patch| (patch.held, patch.base)).unzip();
    found.retain(|patch| patch.way != Way::EndOn || !(held.contains(&patch.held) || base.contains(&patch.base)));
}

/// Leaves out the edges of boards that only happen to touch a base: each board is screwed through as little of it as it touches
/// with anywhere.
fn drop_chance_edges(found: &mut Vec<Patch>, bodies: &[Option<Body<'_>>]) {
    let through = |patch: &Patch| {
        let reach = bodies[patch.held].as_ref().map(|held| held.shape.reach(patch.normal));
        reach.map_or(f64::INFINITY, |[low, high]| high - low)
    };
    let mut least: BTreeMap<usize, f64> = BTreeMap::new();
    for patch in found.iter() {
        let own = least.entry(patch.held).or_insert(f64::INFINITY);
        *own = own.min(through(patch));
    }
    found.retain(|patch| through(patch) <= least[&patch.held] + TOUCH);
}

fn way(held: Vector, base: Vector, normal: Vector) -> Way {
    let alike = |a, b| dot(a, b).abs() > ALIKE;
    if alike(held, normal) {
        Way::EndOn
    } else if alike(base, normal) {
        Way::OnEndGrain
    } else if alike(held, base) {
        Way::Alongside
    } else {
        Way::Across
    }
}

/// Calls with every held part and base whose surrounding boxes touch. Both are swept along the axis on which they lie least
/// over one another.
fn near_pairs(held: &[usize], base: &[usize], bodies: &[Option<Body<'_>>], mut found: impl FnMut(usize, usize)) {
    let there =
        |places: &[usize]| -> Vec<usize> { places.iter().copied().filter(|&at| bodies[at].is_some()).collect() };
    let (held, mut base) = (there(held), there(base));
    let body = |place: usize| bodies[place].as_ref().expect("only parts with a shape were kept");
    let axis = sweep_axis(held.iter().chain(&base).map(|&place| body(place)));
    base.sort_by_key(|&place| (body(place).near[axis], place));
    let longest = base.iter().map(|&place| body(place).far[axis] - body(place).near[axis]).max().unwrap_or_default();
    for place in held {
        let one = body(place);
        let first = base.partition_point(|&other| body(other).near[axis] + longest + TOLERANCE < one.near[axis]);
        let reached = base[first..].iter().take_while(|&&other| body(other).near[axis] <= one.far[axis] + TOLERANCE);
        for &other in reached.filter(|&&other| other != place && boxes_touch(one, body(other))) {
            found(place, other);
        }
    }
}

/// The axis on which the extents of all together are the least share of what they reach over.
fn sweep_axis<'b>(bodies: impl Iterator<Item = &'b Body<'b>>) -> usize {
    let mut extents = [0.0; 3];
    let (mut near, mut far) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for body in bodies {
        for axis in 0..3 {
            extents[axis] += (body.far[axis] - body.near[axis]).as_mm();
            near[axis] = near[axis].min(body.near[axis].as_mm());
            far[axis] = far[axis].max(body.far[axis].as_mm());
        }
    }
    let share =
        |axis: usize| if far[axis] > near[axis] { extents[axis] / (far[axis] - near[axis]) } else { f64::INFINITY };
    // The first of equals.
    if share(1) < share(0) {
        if share(2) < share(1) { 2 } else { 1 }
    } else if share(2) < share(0) {
        2
    } else {
        0
    }
}

fn boxes_touch(one: &Body<'_>, other: &Body<'_>) -> bool {
    (0..3).all(|axis| one.near[axis] <= other.far[axis] + TOLERANCE && other.near[axis] <= one.far[axis] + TOLERANCE)
}

/// The direction out of the first and the polygon that both share: by whole nanometres for boxes.
fn contact(held: &Body<'_>, base: &Body<'_>) -> Option<(Vector, Vec<Vector>)> {
    if held.part.is_box() && base.part.is_box() {
        return box_contact(held, base);
    }
    let contact = held.shape.contact(&base.shape, TOLERANCE.as_mm())?;
    Some((contact.normal, contact.ring))
}

fn box_contact(held: &Body<'_>, base: &Body<'_>) -> Option<(Vector, Vec<Vector>)> {
    let shared = |axis: usize| [held.near[axis].max(base.near[axis]), held.far[axis].min(base.far[axis])];
    let touches = |axis: &usize| shared(*axis)[0] == shared(*axis)[1];
    let axis = (0..3).find(touches)?;
    let [a, b] = [(axis + 1) % 3, (axis + 2) % 3];
    let ([a_near, a_far], [b_near, b_far]) = (shared(a), shared(b));
    if a_near >= a_far || b_near >= b_far {
        return None;
    }
    let outwards = if held.far[axis] == base.near[axis] { 1.0 } else { -1.0 };
    let mut normal = [0.0; 3];
    normal[axis] = outwards;
    let corner = |at_a: Length, at_b: Length| {
        let mut corner = [0.0; 3];
        corner[axis] = shared(axis)[0].as_mm();
        corner[a] = at_a.as_mm();
        corner[b] = at_b.as_mm();
        corner
    };
    let mut ring = vec![corner(a_near, b_near), corner(a_far, b_near), corner(a_far, b_far), corner(a_near, b_far)];
    if outwards < 0.0 {
        ring.reverse();
    }
    Some((normal, ring))
}
