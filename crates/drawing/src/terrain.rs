//! The ground that a build stands on, where it is not level: straight from one foot to the next, levelled out beyond them.
//!
//! Heights are known at feet ([`GroundAt`]). A line of the ground in an upright plane is found foot by foot: of the feet that
//! stand at one place along the plane, the height where the plane passes between them; then straight from place to place.

use measure::Length;
use model::build::{Build, GroundAt};
use std::collections::{BTreeMap, BTreeSet};

/// Nearer to the ground than this, in mm, is on it.
pub(crate) const TOUCHES: f64 = 1e-3;

/// Known heights, each with its place in x and y; none where the ground is level at 0.
#[derive(Clone, Debug, Default)]
pub(crate) struct Terrain {
    known: Vec<([Length; 2], Length)>,
}

impl Terrain {
    /// What the pieces on falling ground say of it, and the corners of pieces that stand beside them at 0.
    pub(crate) fn of(build: &Build) -> Terrain {
        let mut known: Vec<_> = build.ground.iter().map(|GroundAt { at, height, .. }| (*at, *height)).collect();
        if !known.is_empty() {
            known.extend(level(build).into_iter().flatten().map(|corner| (corner, Length::ZERO)));
        }
        Terrain { known }
    }

    /// Whether it is level at 0 all over.
    pub(crate) fn is_level(&self) -> bool {
        self.known.iter().all(|(_, height)| *height == Length::ZERO)
    }

    /// The places along an axis (0 or 1) at which heights are known.
    pub(crate) fn places(&self, axis: usize) -> BTreeSet<Length> {
        self.known.iter().map(|(at, _)| at[axis]).collect()
    }

    /// The line of the ground along an axis (0 or 1), in the upright plane at `at` on the other one, in mm.
    pub(crate) fn line(&self, axis: usize, at: f64) -> Line {
        if self.is_level() {
            return Line::default();
        }
        let mut columns: BTreeMap<Length, Vec<[f64; 2]>> = BTreeMap::new();
        for (place, height) in &self.known {
            columns.entry(place[axis]).or_default().push([place[1 - axis].as_mm(), height.as_mm()]);
        }
        let knot = |(across, mut knots): (Length, Vec<[f64; 2]>)| {
            knots.sort_by(|a, b| a[0].total_cmp(&b[0]));
            [across.as_mm(), Line(knots).height(at)]
        };
        Line(columns.into_iter().map(knot).collect())
    }
}

/// The corners of the pieces without known heights that reach down to 0 and stand clear of those with such heights, seen
/// from above.
fn level(build: &Build) -> Vec<[[Length; 2]; 4]> {
    let falling: BTreeSet<&str> = build.ground.iter().map(|ground| ground.part.piece.as_str()).collect();
    let mut pieces: BTreeMap<&str, [[Length; 3]; 2]> = BTreeMap::new();
    for part in &build.parts {
        let [near, far] = part.reach();
        let all = pieces.entry(&part.key.piece).or_insert([near, far]);
        for axis in 0..3 {
            all[0][axis] = all[0][axis].min(near[axis]);
            all[1][axis] = all[1][axis].max(far[axis]);
        }
    }
    let falls = |piece: &&str| falling.contains(*piece);
    let meets = |[near, far]: &[[Length; 3]; 2]| {
        let others = pieces.iter().filter(|(piece, _)| falls(piece)).map(|(_, reach)| reach);
        others.into_iter().any(|other| (0..2).all(|axis| near[axis] < other[1][axis] && other[0][axis] < far[axis]))
    };
    let stands =
        |(piece, reach): &(&&str, &[[Length; 3]; 2])| !falls(piece) && reach[0][2] <= Length::ZERO && !meets(reach);
    let corners = |(_, [near, far]): (&&str, &[[Length; 3]; 2])| {
        [[near[0], near[1]], [far[0], near[1]], [far[0], far[1]], [near[0], far[1]]]
    };
    pieces.iter().filter(stands).map(corners).collect()
}

/// A line of the ground as it is seen: knots from left to right, in mm, level beyond the first and the last; level at 0
/// without any.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Line(Vec<[f64; 2]>);

impl Line {
    pub(crate) fn is_level(&self) -> bool {
        self.0.is_empty()
    }

    /// The same seen from the other side: left is right.
    pub(crate) fn turned(self) -> Line {
        Line(self.0.into_iter().rev().map(|[across, height]| [-across, height]).collect())
    }

    /// How high the ground lies at a place.
    pub(crate) fn height(&self, across: f64) -> f64 {
        let after = self.0.partition_point(|knot| knot[0] < across);
        match (after.checked_sub(1).and_then(|before| self.0.get(before)), self.0.get(after)) {
            (Some(a), Some(b)) => a[1] + (across - a[0]) * (b[1] - a[1]) / (b[0] - a[0]),
            (Some(knot), None) | (None, Some(knot)) => knot[1],
            (None, None) => 0.0,
        }
    }

    /// The line from one place to another, with both ends.
    pub(crate) fn between(&self, from: f64, to: f64) -> Vec<[f64; 2]> {
        let inner = self.0.iter().filter(|knot| from < knot[0] && knot[0] < to).copied();
        let ends = [from, to].map(|at| [at, self.height(at)]);
        [ends[0]].into_iter().chain(inner).chain([ends[1]]).collect()
    }

    /// The higher of two lines at every place.
    pub(crate) fn higher(&self, other: &Line) -> Line {
        if self.is_level() && other.is_level() {
            return Line::default();
        }
        let mut places: Vec<f64> = self.0.iter().chain(&other.0).map(|knot| knot[0]).collect();
        places.sort_by(f64::total_cmp);
        let above = |at: f64| self.height(at) - other.height(at);
        let crossings: Vec<f64> = places
            .windows(2)
            .filter(|pair| above(pair[0]) * above(pair[1]) < 0.0)
            .map(|pair| pair[0] + (pair[1] - pair[0]) * above(pair[0]) / (above(pair[0]) - above(pair[1])))
            .collect();
        places.extend(crossings);
        places.sort_by(f64::total_cmp);
        places.dedup();
        Line(places.into_iter().map(|at| [at, self.height(at).max(other.height(at))]).collect())
    }

    /// A straight stroke in its stretches above the ground and below it, in this order.
    pub(crate) fn parted(&self, from: [f64; 2], to: [f64; 2]) -> [Vec<[[f64; 2]; 2]>; 2] {
        let [from, to] = if from[0] <= to[0] { [from, to] } else { [to, from] };
        let along = |share: f64| [0, 1].map(|way| from[way] + share * (to[way] - from[way]));
        let above = |share: f64| along(share)[1] - self.height(along(share)[0]);
        let wide = to[0] - from[0];
        let knots = self.0.iter().filter(|knot| from[0] < knot[0] && knot[0] < to[0]);
        let mut shares: Vec<f64> = [0.0, 1.0].into_iter().chain(knots.map(|knot| (knot[0] - from[0]) / wide)).collect();
        shares.sort_by(f64::total_cmp);
        let crossings: Vec<f64> = shares
            .windows(2)
            .filter(|pair| above(pair[0]) * above(pair[1]) < 0.0)
            .map(|pair| pair[0] + (pair[1] - pair[0]) * above(pair[0]) / (above(pair[0]) - above(pair[1])))
            .collect();
        shares.extend(crossings);
        shares.sort_by(f64::total_cmp);
        let mut parted: [Vec<[f64; 2]>; 2] = [Vec::new(), Vec::new()];
        for pair in shares.windows(2).filter(|pair| pair[1] > pair[0]) {
            let below = above((pair[0] + pair[1]) / 2.0) < -TOUCHES;
            match parted[usize::from(below)].last_mut() {
                Some(last) if last[1] == pair[0] => last[1] = pair[1],
                _ => parted[usize::from(below)].push([pair[0], pair[1]]),
            }
        }
        parted.map(|shares| shares.into_iter().map(|[a, b]| [along(a), along(b)]).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::part::{PartKey, from_mm};

    fn terrain(feet: &[[f64; 3]]) -> Terrain {
        let key = PartKey { piece: "p".into(), role: "post".into(), face: "front".into(), course: 0, index: 0 };
        let foot = |[x, y, height]: &[f64; 3]| GroundAt {
            part: key.clone(),
            at: [from_mm(*x), from_mm(*y)],
            height: from_mm(*height),
        };
        Terrain::of(&Build { ground: feet.iter().map(foot).collect(), ..Build::default() })
    }

    /// Two rows of two feet: along the front, along the back, half-way between, and beyond on all sides.
    #[test]
    fn the_ground_is_straight_between_feet_and_level_beyond() {
        let ground = terrain(&[[0.0, 0.0, 0.0], [100.0, 0.0, -40.0], [0.0, 50.0, 10.0], [100.0, 50.0, -20.0]]);
        let heights = |at: f64| [-30.0, 0.0, 25.0, 100.0, 130.0].map(|across| ground.line(0, at).height(across));
        assert_eq!(heights(0.0), [0.0, 0.0, -10.0, -40.0, -40.0]);
        assert_eq!(heights(-9.0), heights(0.0));
        assert_eq!(heights(50.0), [10.0, 10.0, 2.5, -20.0, -20.0]);
        assert_eq!(heights(25.0), [5.0, 5.0, -3.75, -30.0, -30.0]);
        assert_eq!(
            ground.line(1, 100.0).between(-10.0, 60.0),
            [[-10.0, -40.0], [0.0, -40.0], [50.0, -20.0], [60.0, -20.0]]
        );
        assert!(terrain(&[[0.0; 3], [9.0, 0.0, 0.0]]).is_level() && terrain(&[]).line(0, 3.0).is_level());
    }

    /// A rise crossed by a fall: the higher of the two bends where they meet.
    #[test]
    fn the_higher_line_bends_at_the_crossing() {
        let (rise, fall) = (Line(vec![[0.0, 0.0], [10.0, 10.0]]), Line(vec![[0.0, 10.0], [10.0, 0.0]]));
        assert_eq!(rise.higher(&fall), Line(vec![[0.0, 10.0], [5.0, 5.0], [10.0, 10.0]]));
    }

    /// An upright, a level and a slanting stroke against a ground that rises by half.
    #[test]
    fn strokes_part_where_they_enter_the_ground() {
        let ground = Line(vec![[0.0, 0.0], [10.0, 5.0]]);
        let upright = ground.parted([4.0, -3.0], [4.0, 6.0]);
        assert_eq!(upright, [vec![[[4.0, 2.0], [4.0, 6.0]]], vec![[[4.0, -3.0], [4.0, 2.0]]]]);
        let level = ground.parted([20.0, 1.0], [0.0, 1.0]);
        assert_eq!(level, [vec![[[0.0, 1.0], [2.0, 1.0]]], vec![[[2.0, 1.0], [20.0, 1.0]]]]);
        let above = ground.parted([0.0, 9.0], [10.0, 6.0]);
        assert_eq!(above, [vec![[[0.0, 9.0], [10.0, 6.0]]], vec![]]);
    }
}
