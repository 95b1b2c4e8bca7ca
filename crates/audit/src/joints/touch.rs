//! Which parts touch that are to be screwed to one another, and in which face.
//!
//! A part that is named by several fixings with the same base is joined by the first of them. What meets its base with its end
//! alone is left out where the fixing joins it, or its base, to another part: no screw goes through the length of a board. So
//! is what lies along a base that bears it, while it is screwed down to two or more that it crosses.

use super::air::{self, Air};
use super::body::Body;
use super::{MILLIMETRE, NEAR};
use crate::asked::{Fixing, Load};
use crate::claims::Record;
use crate::ground::nearest;
use crate::solid::{Vector, cross, dot, minus};
use std::collections::{BTreeMap, BTreeSet};

/// How a held part lies on its base.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// With its end against it.
    EndOn,
    /// On the base's end grain.
    OnEndGrain,
    /// Both grains run alike.
    Alongside,
    /// Across the base's grain.
    Across,
}

/// A face that two parts share.
#[derive(Clone, Debug)]
pub(super) struct Touch {
    /// Which fixing asks for a joint there.
    pub fixing: usize,
    /// Out of the held part.
    pub normal: Vector,
    /// Its corners, counter-clockwise about the normal.
    pub ring: Vec<Vector>,
    pub way: Way,
    /// How thick the held part is there and how deep the base, in nanometres.
    pub held: i128,
    pub base: i128,
    /// Whether both are boxes along the axes of the build, so that all of this is exact.
    pub plain: bool,
    /// Whether they touch so little that it may be called touching or not.
    pub is_slight: bool,
    /// What the screws go by where the held part only leans against the base.
    pub air: Option<Air>,
}

/// By the places of the held part and the base.
pub(super) type Touches = BTreeMap<(usize, usize), Touch>;

/// Two directions run alike if the cosine between them is more.
const ALIKE: f64 = 0.9;
/// Ways through a part that differ by less are one, in nanometres.
const SLACK: i128 = 1000;
/// Two faces look at one another if the cosine between their normals is no more than this.
const OPPOSITE: f64 = -1.0 + 1e-8;
/// A face of fewer square millimetres is a slight one.
pub(super) const SLIGHT: f64 = 1.0;
/// How many crossings hold a board that also lies along something.
const CROSSINGS_THAT_HOLD: usize = 2;

impl Touch {
    /// How far the face reaches across the grain of the held part, in millimetres.
    pub fn across(&self, held: &Body<'_>) -> f64 {
        let across = cross(self.normal, held.grain);
        let reach = self.ring.iter().map(|corner| dot(*corner, across));
        let [low, high] = reach.fold([f64::MAX, f64::MIN], |[low, high], at| [low.min(at), high.max(at)]);
        high - low
    }

    /// Whether the held part only just touches: with less than half of what it reaches across its grain.
    pub fn is_just(&self, held: &Body<'_>) -> bool {
        let across = cross(self.normal, held.grain);
        let corners = held.faces.iter().flat_map(|face| &face.ring).map(|corner| dot(*corner, across));
        let [low, high] = corners.fold([f64::MAX, f64::MIN], |[low, high], at| [low.min(at), high.max(at)]);
        self.way != Way::EndOn && 2.0 * self.across(held) < high - low
    }

    pub fn points_up(&self) -> bool {
        self.normal[2] > ALIKE
    }

    pub fn points_down(&self) -> bool {
        self.normal[2] < -ALIKE
    }
}

/// All faces in which joints are asked for, and the fixings of which both sides have parts and no two of them touch.
pub(super) fn touches(
    record: &Record,
    fixings: &[&Fixing],
    bodies: &BTreeMap<usize, Body<'_>>,
) -> (Touches, Vec<usize>) {
    let mut by_role = ByRole::new();
    for &place in bodies.keys() {
        let part = &record.parts[place];
        by_role.entry((&part.piece, &part.role)).or_default().push(place);
    }
    let leans = fixings.iter().any(|fixing| fixing.leans);
    let courses = if leans { air::courses(record) } else { air::Courses::new() };
    let (mut touches, mut nowhere) = (Touches::new(), Vec::new());
    for (fixing, of) in fixings.iter().enumerate() {
        let (Some(held), Some(base)) = (places(&by_role, &of.held), places(&by_role, &of.base)) else { continue };
        let mut found = Touches::new();
        near_pairs(held, base, bodies, |held, base| {
            let bodies = [&bodies[&held], &bodies[&base]];
            let met = match of.leans {
                true => air::touch(bodies[0], bodies[1], fixing, &courses),
                false => touch(bodies[0], bodies[1], fixing),
            };
            if let Some(touch) = met {
                found.insert((held, base), touch);
            }
        });
        if found.is_empty() {
            nowhere.push(fixing);
        }
        drop_chance_ends(&mut found);
        if of.load == Load::Own {
            drop_chance_edges(&mut found);
        }
        for (pair, touch) in found {
            touches.entry(pair).or_insert(touch);
        }
    }
    drop_borne(&mut touches, fixings);
    (touches, nowhere)
}

/// The parts of each role.
type ByRole<'k> = BTreeMap<(&'k str, &'k str), Vec<usize>>;

fn places<'m, 'k>(by_role: &'m ByRole<'k>, (piece, role): &'k (String, String)) -> Option<&'m Vec<usize>> {
    by_role.get(&(piece.as_str(), role.as_str()))
}

fn drop_chance_ends(found: &mut Touches) {
    let whole = found.iter().filter(|(_, touch)| touch.way != Way::EndOn).map(|(pair, _)| *pair);
    let (held, base): (BTreeSet<usize>, BTreeSet<usize>) = whole.unzip();
    found.retain(|pair, touch| touch.way != Way::EndOn || !(held.contains(&pair.0) || base.contains(&pair.1)));
}

/// Of a board that is held for its own weight alone, only what it touches with its face: where the screws go through the least.
fn drop_chance_edges(found: &mut Touches) {
    let mut least: BTreeMap<usize, i128> = BTreeMap::new();
    for (pair, touch) in found.iter() {
        least.entry(pair.0).and_modify(|least| *least = touch.held.min(*least)).or_insert(touch.held);
    }
    found.retain(|pair, touch| touch.held <= least[&pair.0] + SLACK);
}

fn drop_borne(touches: &mut Touches, fixings: &[&Fixing]) {
    let mut crossings: BTreeMap<usize, usize> = BTreeMap::new();
    for (pair, touch) in touches.iter() {
        if touch.way == Way::Across && touch.points_down() {
            *crossings.entry(pair.0).or_default() += 1;
        }
    }
    touches.retain(|pair, touch| {
        let lies_along = touch.way == Way::Alongside && touch.points_down() && fixings[touch.fixing].each.is_none();
        !(lies_along && crossings.get(&pair.0).is_some_and(|&count| count >= CROSSINGS_THAT_HOLD))
    });
}

/// Calls with all pairs whose boxes touch: bases are sorted along the axis on which they are spread most for their size, and
/// for each held part those are looked at that begin before its end and, by the longest of them, may end behind its beginning.
fn near_pairs(held: &[usize], base: &[usize], bodies: &BTreeMap<usize, Body<'_>>, mut found: impl FnMut(usize, usize)) {
    let longest = |axis: usize| base.iter().map(|at| bodies[at].far[axis] - bodies[at].near[axis]).fold(NEAR, f64::max);
    let spread = |axis: usize| {
        let ends = base.iter().map(|at| [bodies[at].near[axis], bodies[at].far[axis]]);
        let [low, high] = ends.fold([f64::MAX, f64::MIN], |[low, high], end| [low.min(end[0]), high.max(end[1])]);
        (high - low) / longest(axis)
    };
    let axis = (0..3).max_by(|&a, &b| spread(a).total_cmp(&spread(b))).unwrap_or(0);
    let mut sorted = base.to_vec();
    sorted.sort_by(|a, b| bodies[a].near[axis].total_cmp(&bodies[b].near[axis]));
    let longest = longest(axis);
    for &held in held {
        let own = &bodies[&held];
        let first = sorted.partition_point(|at| bodies[at].near[axis] + longest + NEAR < own.near[axis]);
        for &base in sorted[first..].iter().take_while(|at| bodies[at].near[axis] <= own.far[axis] + NEAR) {
            let other = &bodies[&base];
            let near =
                |axis: usize| own.near[axis] <= other.far[axis] + NEAR && other.near[axis] <= own.far[axis] + NEAR;
            if held != base && (0..3).all(near) {
                found(held, base);
            }
        }
    }
}

/// The face that two parts share, if they touch.
pub(super) fn touch(held: &Body<'_>, base: &Body<'_>, fixing: usize) -> Option<Touch> {
    let plain = held.part.is_plain() && base.part.is_plain();
    let (normal, ring) = if plain { boxes_touch(held, base)? } else { faces_touch(held, base)? };
    let middle = [0, 1, 2].map(|axis| ring.iter().map(|corner| corner[axis]).sum::<f64>() / ring.len() as f64);
    let [thick, deep] = [-held.enters(middle, normal), base.leaves(middle, normal)].map(|mm| nearest(mm * MILLIMETRE));
    let is_slight = !plain && area(&ring, normal) < SLIGHT;
    let way = way(held, base, normal);
    Some(Touch { fixing, normal, ring, way, held: thick, base: deep, plain, is_slight, air: None })
}

/// How a held part lies on a base, with the way out of it.
pub(super) fn way(held: &Body<'_>, base: &Body<'_>, normal: Vector) -> Way {
    let alike = |a: Vector, b: Vector| dot(a, b).abs() > ALIKE;
    match () {
        () if alike(held.grain, normal) => Way::EndOn,
        () if alike(base.grain, normal) => Way::OnEndGrain,
        () if alike(held.grain, base.grain) => Way::Alongside,
        () => Way::Across,
    }
}

/// By whole nanometres.
fn boxes_touch(held: &Body<'_>, base: &Body<'_>) -> Option<(Vector, Vec<Vector>)> {
    let (near, far) = (held.part.corner, held.part.far());
    let (other_near, other_far) = (base.part.corner, base.part.far());
    let shared = [0, 1, 2].map(|axis| [near[axis].max(other_near[axis]), far[axis].min(other_far[axis])]);
    let axis = (0..3).find(|&axis| far[axis] == other_near[axis] || other_far[axis] == near[axis])?;
    let [a, b] = [(axis + 1) % 3, (axis + 2) % 3];
    if [a, b].iter().any(|&axis| shared[axis][0] >= shared[axis][1]) {
        return None;
    }
    let mut normal = [0.0; 3];
    normal[axis] = if far[axis] == other_near[axis] { 1.0 } else { -1.0 };
    let corner = |at_a: usize, at_b: usize| {
        let mut corner = [0.0; 3];
        for (axis, end) in [(axis, 0), (a, at_a), (b, at_b)] {
            corner[axis] = shared[axis][end] as f64 / MILLIMETRE;
        }
        corner
    };
    let mut ring = vec![corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)];
    if normal[axis] < 0.0 {
        ring.reverse();
    }
    Some((normal, ring))
}

/// Of all pairs of faces that look at one another and lie in one plane the one that shares most.
fn faces_touch(held: &Body<'_>, base: &Body<'_>) -> Option<(Vector, Vec<Vector>)> {
    let mut best: Option<(f64, Vector, Vec<Vector>)> = None;
    for face in &held.faces {
        for other in &base.faces {
            if dot(face.normal, other.normal) > OPPOSITE || (face.offset + other.offset).abs() > NEAR {
                continue;
            }
            let ring = shared(&face.ring, &other.ring, face.normal);
            let size = area(&ring, face.normal);
            if size > 1e-3 && best.as_ref().is_none_or(|best| best.0 < size) {
                best = Some((size, face.normal, ring));
            }
        }
    }
    best.map(|(_, normal, ring)| (normal, ring))
}

/// What two rings in one plane share: the first, counter-clockwise about the normal, clipped at each side of the other, which
/// is clockwise about it.
fn shared(ring: &[Vector], other: &[Vector], normal: Vector) -> Vec<Vector> {
    let mut left = ring.to_vec();
    for (at, corner) in other.iter().enumerate() {
        let next = other[(at + 1) % other.len()];
        // Out of the other ring, which is walked the other way round.
        let out = cross(minus(next, *corner), [-normal[0], -normal[1], -normal[2]]);
        left = clipped(&left, out, dot(out, *corner));
    }
    left
}

/// What of a ring lies where `way · x` is no more than a limit.
pub(super) fn clipped(ring: &[Vector], way: Vector, limit: f64) -> Vec<Vector> {
    let mut left = Vec::new();
    for (at, corner) in ring.iter().enumerate() {
        let next = ring[(at + 1) % ring.len()];
        let (here, there) = (dot(way, *corner) - limit, dot(way, next) - limit);
        if here <= 0.0 {
            left.push(*corner);
        }
        if (here < 0.0 && there > 0.0) || (here > 0.0 && there < 0.0) {
            let share = here / (here - there);
            left.push([0, 1, 2].map(|axis| corner[axis] + share * (next[axis] - corner[axis])));
        }
    }
    left
}

pub(super) fn area(ring: &[Vector], normal: Vector) -> f64 {
    let fan = |at: usize| dot(normal, cross(minus(ring[at - 1], ring[0]), minus(ring[at], ring[0])));
    (2..ring.len()).map(fan).sum::<f64>() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::claims::Part;

    const MM: i64 = 1_000_000;

    fn part(corner: [i64; 3], size: [i64; 3], along: usize) -> Part {
        let mut part = Part::sized([size[along], size[(along + 1) % 3], size[(along + 2) % 3]].map(|mm| mm * MM));
        (part.along, part.across) = (along, (along + 1) % 3);
        part.corner = corner.map(|mm| mm * MM);
        part
    }

    /// A board 1000 × 20 × 145 along x before a post of 47 × 47 × 400; worked by hand.
    #[test]
    fn boxes_and_how_they_lie() {
        let board = part([0, -20, 10], [1000, 20, 145], 0);
        let post = part([100, 0, 0], [47, 47, 400], 2);
        let [held, base] = [&board, &post].map(|part| Body::of(part).expect("a body"));
        let touch = touch(&held, &base, 0).expect("they touch");
        assert_eq!(
            (touch.normal, touch.way, touch.held, touch.base),
            ([0.0, 1.0, 0.0], Way::Across, 20 * MM as i128, 47 * MM as i128)
        );
        assert!((area(&touch.ring, touch.normal) - 47.0 * 145.0).abs() < 1e-9 && !touch.is_slight);
        assert!((touch.across(&held) - 145.0).abs() < 1e-9);
        // A nanometre away they do not touch, and an edge is no face.
        for corner in [[100 * MM, 1, 0], [-47 * MM, 0, 0]] {
            let away = Part { corner, ..post.clone() };
            assert!(super::touch(&held, &Body::of(&away).expect("a body"), 0).is_none());
        }
    }

    /// The same two turned by 30 degrees about the origin touch in the same face.
    #[test]
    fn at_an_angle() {
        let turned = |part: Part| {
            let (sin, cos) = crate::ground::sin_cos(30_000_000);
            let [x, y] = [part.corner[0] as f64, part.corner[1] as f64];
            let corner = [x * cos - y * sin, x * sin + y * cos].map(|at| libm::round(at) as i64);
            Part { corner: [corner[0], corner[1], part.corner[2]], heading: 30_000_000, ..part }
        };
        let board = turned(part([0, -20, 10], [1000, 20, 145], 0));
        let post = turned(part([100, 0, 0], [47, 47, 400], 2));
        let [held, base] = [&board, &post].map(|part| Body::of(part).expect("a body"));
        let touch = touch(&held, &base, 0).expect("they touch");
        assert!((area(&touch.ring, touch.normal) - 47.0 * 145.0).abs() < 1e-3);
        assert!((touch.held - 20 * MM as i128).abs() <= 4 && (touch.base - 47 * MM as i128).abs() <= 4);
        assert!((touch.normal[0] + 0.5).abs() < 1e-12 && touch.way == Way::Across);
        let away = Part { corner: [post.corner[0] - 5_000, post.corner[1] + 8_660, 0], ..post.clone() };
        assert!(super::touch(&held, &Body::of(&away).expect("a body"), 0).is_none());
    }

    /// Two squares of 10 that lie 4 over one another both ways share 36; one within the other all of it.
    #[test]
    fn rings_share() {
        let square =
            |x: f64, y: f64, a: f64| [[x, y, 0.0], [x + a, y, 0.0], [x + a, y + a, 0.0], [x, y + a, 0.0]].to_vec();
        let up = [0.0, 0.0, 1.0];
        let below = |x, y, a| square(x, y, a).into_iter().rev().collect::<Vec<Vector>>();
        assert_eq!(area(&shared(&square(0.0, 0.0, 10.0), &below(4.0, 4.0, 10.0), up), up), 36.0);
        assert_eq!(area(&shared(&square(0.0, 0.0, 10.0), &below(2.0, 3.0, 5.0), up), up), 25.0);
        assert_eq!(area(&shared(&square(0.0, 0.0, 10.0), &below(20.0, 0.0, 5.0), up), up), 0.0);
    }
}
