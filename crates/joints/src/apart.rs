//! Screws that would meet: where two faces of a post are screwed to it at the same heights, those of the second are moved
//! along the post.
//!
//! Joints take their places in turn. One whose screws would come too near those that stand already is moved along the grain
//! of its base, all its screws together, as little as it must; if that is not enough those that stand give way to it
//! likewise; then it is moved across its base, past the tips of the others; last both ways, and the others too. Where all
//! that fails the screws are drawn together, then fewer are tried. Screws that cannot be kept apart are not made.

use crate::body::Body;
use crate::lay::Laid;
use crate::plane::Stretch;
use measure::Length;
use shape::vector::{dot, minus, plus, times};
use shape::{TOUCH, Vector};
use std::collections::BTreeMap;

/// How far a drill held by hand may wander over the depth of a post, *common practice*.
pub(crate) const WANDER: Length = Length::mm(3);

/// Moves joints within their faces until no two screws come too near, in the given order; returns the places of those that
/// cannot be made, rising. Where there is room for it a joint is moved by whole steps of the tape.
pub(crate) fn move_apart(laid: &mut [Laid], order: &[usize], bodies: &[Option<Body<'_>>], step: Length) -> Vec<usize> {
    let screws = bodies.iter().map(|_| BTreeMap::new()).collect();
    let mut wood = Wood { bodies, screws, reach: vec![0.0; bodies.len()], step: step.as_mm() };
    let mut unmade: Vec<usize> = Vec::new();
    for &place in order {
        let stands = (0..laid[place].ways()).any(|way| {
            laid[place].take_way(way);
            find_room(&mut wood, laid, place)
        });
        if !stands {
            unmade.push(place);
        }
    }
    unmade.sort_unstable();
    unmade
}

/// The direction along the grain of the base.
const ALONG: usize = 0;
/// The direction across it.
const ACROSS: usize = 1;

fn find_room(wood: &mut Wood<'_, '_>, laid: &mut [Laid], place: usize) -> bool {
    let along: Vec<Vector> = wood.ends(&laid[place], ALONG, [0.0; 3]);
    wood.stand(laid, place, ALONG)
        || give_way(wood, laid, place, &along, Wood::stand_in_line)
        || wood.stand(laid, place, ACROSS)
        || wood.stand_anywhere(laid, place)
        || give_way(wood, laid, place, &wood.corners(&laid[place]), Wood::stand_in_line_or_anywhere)
}

/// How one that stood is made to stand again.
type Stands<'b, 'w> = fn(&mut Wood<'w, 'b>, &mut [Laid], usize) -> bool;

/// Moves a joint to one of some places, and those that stand in its way there as little as they must. Leaves all as it was if
/// none will do.
fn give_way<'w, 'b>(
    wood: &mut Wood<'w, 'b>,
    laid: &mut [Laid],
    place: usize,
    ways: &[Vector],
    stands: Stands<'b, 'w>,
) -> bool {
    for &way in ways {
        laid[place].moved = way;
        let met = wood.met(laid, place);
        let stood: Vec<Vector> = met.iter().map(|&other| laid[other].moved).collect();
        met.iter().for_each(|&other| wood.take(laid, other));
        wood.put(laid, place);
        let standing = met.iter().take_while(|&&other| stands(wood, laid, other)).count();
        if standing == met.len() {
            return true;
        }
        met[..standing].iter().for_each(|&other| wood.take(laid, other));
        wood.take(laid, place);
        for (&other, &stood) in met.iter().zip(&stood) {
            laid[other].moved = stood;
            wood.put(laid, other);
        }
    }
    laid[place].moved = [0.0; 3];
    false
}

/// A screw that stands in a part.
#[derive(Clone, Copy, Debug)]
struct Standing {
    head: Vector,
    tip: Vector,
    /// Half of how far it keeps others like it away.
    keeps: f64,
    joint: usize,
}

/// How far along the grain of a part the middle of a screw lies, in nanometres; its joint, and its number there.
type Filed = (i64, usize, usize);

/// The screws that stand in each part, by how far along the part's grain they stand.
struct Wood<'w, 'b> {
    bodies: &'w [Option<Body<'b>>],
    screws: Vec<BTreeMap<Filed, Standing>>,
    /// How far any of them reaches along the grain from its middle, with what it keeps free.
    reach: Vec<f64>,
    step: f64,
}

/// In how many parts the room across a base is divided where a joint is moved both ways.
const LINES: u32 = 24;

impl Wood<'_, '_> {
    /// Moves a joint in one of its directions so that its screws are free, and lets it stand there; false if there is no
    /// such way.
    fn stand(&mut self, laid: &mut [Laid], place: usize, along: usize) -> bool {
        self.stand_on_line(laid, place, along, [0.0; 3])
    }

    fn stand_in_line(&mut self, laid: &mut [Laid], place: usize) -> bool {
        self.stand(laid, place, ALONG) || self.stand(laid, place, ACROSS)
    }

    fn stand_in_line_or_anywhere(&mut self, laid: &mut [Laid], place: usize) -> bool {
        self.stand_in_line(laid, place) || self.stand_anywhere(laid, place)
    }

    /// The same on any of some lines along its base.
    fn stand_anywhere(&mut self, laid: &mut [Laid], place: usize) -> bool {
        let [_, across] = laid[place].directions();
        let Some((range, _)) = laid[place].slide(across, [0.0; 3]) else { return false };
        self.lines(range).into_iter().any(|far| self.stand_on_line(laid, place, ALONG, times(across, far)))
    }

    /// Lines across a range, the nearest first; in whole steps where there is room for them.
    fn lines(&self, [from, to]: Stretch) -> Vec<f64> {
        let part = |at: u32| from + (to - from) * f64::from(at) / f64::from(LINES);
        let mut lines: Vec<f64> = (0..=LINES).map(part).map(|far| self.stepped_in(far, [from, to])).collect();
        lines.sort_by(|a, b| a.abs().total_cmp(&b.abs()).then(b.total_cmp(a)));
        lines.dedup();
        lines
    }

    /// Moved back to a whole step towards 0 if that lies in the range, else as far as it was.
    fn stepped_in(&self, far: f64, [from, to]: Stretch) -> f64 {
        let stepped = (far / self.step).trunc() * self.step;
        if from <= stepped && stepped <= to { stepped } else { far }
    }

    fn stand_on_line(&mut self, laid: &mut [Laid], place: usize, along: usize, from: Vector) -> bool {
        let direction = laid[place].directions()[along];
        let Some((range, mut barred)) = laid[place].slide(direction, from) else { return false };
        barred.extend(self.barred(laid, place, direction, from, range).into_iter().map(|(stretch, _)| stretch));
        let Some(far) = least_move(range, &barred, self.step) else { return false };
        laid[place].moved = plus(from, times(direction, far));
        self.put(laid, place);
        true
    }

    /// The ends of the way of a joint in one of its directions, on whole steps and as they are, and where it is.
    fn ends(&self, one: &Laid, along: usize, from: Vector) -> Vec<Vector> {
        let direction = one.directions()[along];
        let Some((range, covered)) = one.slide(direction, from) else { return Vec::new() };
        let ends = [range[1], range[0]];
        let stepped = ends.map(|end| self.stepped_in(end, range));
        let mut ways: Vec<f64> = stepped.into_iter().chain([0.0]).chain(ends).collect();
        ways.retain(|way| {
            range[0] <= *way && *way <= range[1] && covered.iter().all(|stretch| !is_within(*way, stretch))
        });
        ways.into_iter().map(|far| plus(from, times(direction, far))).collect()
    }

    /// The corners of where a joint may be moved, and what lies half-way between them.
    fn corners(&self, one: &Laid) -> Vec<Vector> {
        let lines = self.ends(one, ACROSS, [0.0; 3]);
        lines.into_iter().flat_map(|from| self.ends(one, ALONG, from)).collect()
    }

    /// The joints that a joint meets where it is.
    fn met(&self, laid: &[Laid], place: usize) -> Vec<usize> {
        let [direction, _] = laid[place].directions();
        let barred = self.barred(laid, place, direction, laid[place].moved, [0.0; 2]);
        let mut met: Vec<usize> =
            barred.into_iter().filter(|(stretch, _)| is_within(0.0, stretch)).map(|(_, joint)| joint).collect();
        met.sort_unstable();
        met.dedup();
        met
    }

    /// The stretches of a way from a place at which a joint's screws come too near others, and whose.
    fn barred(
        &self,
        laid: &[Laid],
        place: usize,
        direction: Vector,
        from: Vector,
        range: Stretch,
    ) -> Vec<(Stretch, usize)> {
        let one = &laid[place];
        let mut barred = Vec::new();
        for part in [one.held, one.base] {
            let grain = self.grain(part);
            for own in one.moved_by(from).map(|point| self.standing(one, place, point)) {
                let ends = [own.head, own.tip].map(|end| dot(end, grain));
                let ways = range.map(|way| way * dot(direction, grain));
                let least = ends[0].min(ends[1]) + ways[0].min(ways[1]);
                let most = ends[0].max(ends[1]) + ways[0].max(ways[1]);
                let others = self.between(part, least, most, own.keeps).filter(|other| other.joint != place);
                barred.extend(others.filter_map(|other| Some((too_near(&own, other, direction)?, other.joint))));
            }
        }
        barred
    }

    /// The screws in a part that may come near a stretch of its grain.
    fn between(&self, part: usize, from: f64, to: f64, keeps: f64) -> impl Iterator<Item = &Standing> {
        // Others are filed by their middle, so what they reach from there is added on both sides.
        let more = self.reach[part] + keeps;
        let range = (filed(from - more), 0, 0)..=(filed(to + more), usize::MAX, usize::MAX);
        self.screws[part].range(range).map(|(_, standing)| standing)
    }

    fn put(&mut self, laid: &[Laid], place: usize) {
        for (part, key, reach, standing) in self.files(laid, place) {
            self.reach[part] = self.reach[part].max(reach + standing.keeps);
            self.screws[part].insert(key, standing);
        }
    }

    fn take(&mut self, laid: &[Laid], place: usize) {
        for (part, key, ..) in self.files(laid, place) {
            self.screws[part].remove(&key);
        }
    }

    /// Where the screws of a joint are filed: in which part, at which place, and how far they reach from there.
    fn files(&self, laid: &[Laid], place: usize) -> Vec<(usize, Filed, f64, Standing)> {
        let one = &laid[place];
        let in_part = |part: usize| {
            let grain = self.grain(part);
            let file = move |(number, point): (usize, Vector)| {
                let standing = self.standing(one, place, point);
                let [head, tip] = [standing.head, standing.tip].map(|end| dot(end, grain));
                (part, (filed((head + tip) / 2.0), place, number), (head - tip).abs() / 2.0, standing)
            };
            one.points().enumerate().map(file)
        };
        [one.held, one.base].into_iter().flat_map(in_part).collect()
    }

    fn standing(&self, one: &Laid, joint: usize, point: Vector) -> Standing {
        let head = minus(point, times(one.direction, one.room.held.as_mm()));
        let tip = plus(head, times(one.direction, one.length.as_mm()));
        Standing { head, tip, keeps: one.diameter.as_mm() + WANDER.as_mm() / 2.0, joint }
    }

    fn grain(&self, part: usize) -> Vector {
        self.bodies[part].as_ref().map_or([0.0, 0.0, 1.0], |body| body.grain)
    }
}

/// Millimetres in whole nanometres, for the order.
fn filed(mm: f64) -> i64 {
    model::part::from_mm(mm).nanometres()
}

/// The moves along a direction at which a screw comes too near another; `None` if none does.
fn too_near(own: &Standing, other: &Standing, direction: Vector) -> Option<Stretch> {
    let keeps = own.keeps + other.keeps;
    let flat = |point: Vector| minus(point, times(direction, dot(point, direction)));
    let apart = distance([flat(own.head), flat(own.tip)], [flat(other.head), flat(other.tip)]);
    if apart >= keeps - TOUCH {
        return None;
    }
    let reach = (keeps * keeps - apart * apart).sqrt();
    let along = |screw: &Standing| {
        let [a, b] = [dot(screw.head, direction), dot(screw.tip, direction)];
        [a.min(b), a.max(b)]
    };
    let ([from, to], [other_from, other_to]) = (along(own), along(other));
    Some([other_from - to - reach, other_to - from + reach])
}

fn is_within(way: f64, [from, to]: &Stretch) -> bool {
    from + TOUCH < way && way < to - TOUCH
}

/// The shortest way within a range at which nothing is barred, onwards rather than back; in whole steps if there is one.
fn least_move(range: Stretch, barred: &[Stretch], step: f64) -> Option<f64> {
    let stepped = |&[from, to]: &Stretch| [((from + TOUCH) / step).floor() * step, ((to - TOUCH) / step).ceil() * step];
    let free = |way: &f64| {
        range[0] - TOUCH <= *way && *way <= range[1] + TOUCH && barred.iter().all(|stretch| !is_within(*way, stretch))
    };
    let least = |ways: &mut dyn Iterator<Item = f64>| {
        ways.filter(free).min_by(|a, b| a.abs().total_cmp(&b.abs()).then(b.total_cmp(a)))
    };
    least(&mut std::iter::once(0.0).chain(barred.iter().flat_map(stepped)))
        .or_else(|| least(&mut barred.iter().flatten().copied()))
}

/// The distance between two straight lines from end to end.
///
/// # Source
/// Closest points of two segments by clamping the parameters of the closest points of their lines; *from memory*, a textbook
/// method of collision detection.
fn distance(one: [Vector; 2], other: [Vector; 2]) -> f64 {
    let (d1, d2) = (minus(one[1], one[0]), minus(other[1], other[0]));
    let r = minus(one[0], other[0]);
    let (a, e, f) = (dot(d1, d1), dot(d2, d2), dot(d2, r));
    let (b, c) = (dot(d1, d2), dot(d1, r));
    let clamp = |number: f64, below: f64| if below > 0.0 { (number / below).clamp(0.0, 1.0) } else { 0.0 };
    // Parallel lines are alike near at every place: the first's start will do, and is corrected below.
    let squares = a * e - b * b;
    let s = if squares > f64::EPSILON * a * e { clamp(b * f - c * e, squares) } else { 0.0 };
    let t = clamp(b * s + f, e);
    let s = clamp(b * t - c, a);
    let between = minus(plus(one[0], times(d1, s)), plus(other[0], times(d2, t)));
    dot(between, between).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms: crossing, skew, parallel and end to end.
    #[test]
    fn lines_are_as_far_apart_as_geometry_says() {
        let x = [[0.0, 0.0, 0.0], [10.0, 0.0, 0.0]];
        let cases = [
            ([[5.0, -5.0, 0.0], [5.0, 5.0, 0.0]], 0.0),
            ([[5.0, -5.0, 3.0], [5.0, 5.0, 3.0]], 3.0),
            ([[2.0, 4.0, 0.0], [30.0, 4.0, 0.0]], 4.0),
            ([[30.0, 4.0, 0.0], [13.0, 4.0, 0.0]], 5.0),
            ([[13.0, 4.0, 0.0], [13.0, 9.0, 0.0]], 5.0),
            ([[-3.0, 0.0, 4.0], [-3.0, 0.0, 4.0]], 5.0),
        ];
        for (other, wanted) in cases {
            assert!((distance(x, other) - wanted).abs() < 1e-9, "{other:?}");
            assert!((distance(other, x) - wanted).abs() < 1e-9, "{other:?}");
        }
    }

    #[test]
    fn one_gives_way_as_little_as_it_can() {
        assert_eq!(least_move([-20.0, 20.0], &[], 1.0), Some(0.0));
        assert_eq!(least_move([-20.0, 20.0], &[[-12.3, 12.3]], 1.0), Some(13.0));
        assert_eq!(least_move([-20.0, 12.5], &[[-12.3, 12.3]], 1.0), Some(-13.0));
        assert_eq!(least_move([-12.4, 12.4], &[[-12.3, 12.3]], 1.0), Some(12.3));
        assert_eq!(least_move([-20.0, 20.0], &[[-12.0, 12.0], [10.0, 15.0]], 1.0), Some(-12.0));
        assert_eq!(least_move([-10.0, 10.0], &[[-12.0, 12.0]], 1.0), None);
    }
}
