//! How the blade stands at the ends of a part, from the part's own planes.

use crate::claims::{Part, Plane};
use std::f64::consts::PI;

/// Mitre and tilt of both ends, in tenths of a degree.
pub(super) type Blade = [[i64; 2]; 2];

/// Both ends square.
pub(super) const SQUARE: Blade = [[0; 2]; 2];

const UNIT: f64 = 1e12;

/// The directions of a part's length, width and thickness.
fn directions(part: &Part) -> [usize; 3] {
    [part.along, part.across, 3 - part.along - part.across]
}

fn of_end(part: &Part, end: usize) -> Vec<&Plane> {
    part.planes.iter().filter(|plane| plane.end == end).collect()
}

/// Whether a plane runs nearly along the part: within some six degrees.
fn along(part: &Part, plane: &Plane) -> bool {
    i128::from(plane.normal[part.along]).abs() < 100_000_000_000
}

/// The one plane that an end is sawn at.
fn sawn(part: &Part, end: usize) -> Option<&Plane> {
    let [only] = of_end(part, end)[..] else { return None };
    let square = i128::from(only.normal[part.along]).abs() >= 999_999_999_000;
    (!square && !along(part, only)).then_some(only)
}

/// Whether something is left to do once the part is cut: several planes at one end, or one along it.
pub(super) fn shaped_after(part: &Part) -> bool {
    let rest = |end: usize| match of_end(part, end)[..] {
        [] => false,
        [only] => along(part, only),
        _ => true,
    };
    rest(0) || rest(1)
}

/// Mitre and tilt of both ends as they are told: of the part as it lies and of its three half turns, the first in order.
pub(super) fn of(part: &Part) -> Blade {
    let [length, width, thickness] = directions(part);
    // Along × across points the way of the thickness, or against it.
    let sense = if [(0, 1), (1, 2), (2, 0)].contains(&(length, width)) { 1.0 } else { -1.0 };
    let tenths = |radians: f64| libm::round(radians * 1800.0 / PI) as i64;
    let end = |looks: i64| {
        let facing = (0..2).filter_map(|end| sawn(part, end)).find(|plane| plane.normal[length].signum() == looks);
        let Some(plane) = facing else { return [0, 0] };
        let normal = |axis: usize| plane.normal[axis] as f64 / UNIT;
        let mitre = libm::atan(normal(width) / normal(length).abs());
        [tenths(mitre), tenths(libm::asin((normal(thickness) * sense).clamp(-1.0, 1.0)))]
    };
    let [first, last] = [end(-1), end(1)];
    let with = |[mitre, tilt]: [i64; 2], signs: [i64; 2]| [mitre * signs[0], tilt * signs[1]];
    let about_length = [with(first, [-1, -1]), with(last, [-1, -1])];
    let about_width = [with(last, [1, -1]), with(first, [1, -1])];
    let about_thickness = [with(last, [-1, 1]), with(first, [-1, 1])];
    [about_length, about_width, about_thickness].into_iter().fold([first, last], Blade::min)
}

/// What is turned between two cuts.
pub(super) fn flip(ends: Blade) -> &'static str {
    let [first, last] = ends;
    let slanted = ends.iter().filter(|end| **end != [0, 0]).count();
    match slanted {
        0 => "none",
        1 => "one end",
        _ if first == last => "every second",
        _ if first[0] + last[0] == 0 && first[1] + last[1] == 0 => "stays",
        _ => "turn the saw",
    }
}

/// The longest of the four long edges of a part, in nanometres, and how a stop reads it.
pub(super) fn longest_edge(part: &Part) -> (f64, &'static str) {
    let planes = [sawn(part, 0), sawn(part, 1)];
    let whole = part.length as f64;
    if planes.iter().all(Option::is_none) {
        return (whole, "end to end");
    }
    let [length, width, thickness] = directions(part);
    // What the planes leave of the edge at (w, t): normal · (place - through) is nowhere above nought.
    let left = |w: f64, t: f64| {
        let (mut from, mut to) = (0.0, whole);
        for plane in planes.into_iter().flatten() {
            let normal = |axis: usize| plane.normal[axis] as f64 / UNIT;
            let beside = normal(width) * (w - plane.through[width] as f64)
                + normal(thickness) * (t - plane.through[thickness] as f64);
            let crossed = plane.through[length] as f64 - beside / normal(length);
            if normal(length) < 0.0 {
                from = crossed.clamp(from, whole);
            } else {
                to = crossed.clamp(0.0, to);
            }
        }
        to - from
    };
    let corners = [[0, 0], [0, part.thickness], [part.width, 0], [part.width, part.thickness]];
    let longest = corners.into_iter().map(|[w, t]| left(w as f64, t as f64)).fold(f64::NEG_INFINITY, f64::max);
    // Within a micrometre: planes are told to the nanometre.
    if whole - longest <= 1_000.0 {
        (whole, "long point to long point")
    } else {
        (longest, "long point to short point")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn board(normals: [Option<[i64; 3]>; 2]) -> Part {
        let mm = 1_000_000;
        let mut part = Part::sized([500 * mm, 100 * mm, 20 * mm]);
        for (end, normal) in normals.into_iter().enumerate() {
            let along = if end == 0 { 0 } else { 500 * mm };
            // Through the corner that a slanted end leaves its long point at.
            let low = normal.is_none_or(|normal| normal[1] > 0);
            let through = [along, if low { 0 } else { 100 * mm }, 0];
            part.planes.extend(normal.map(|normal| Plane { end, normal, through }));
        }
        part
    }

    /// The same board with its first end at the far one, as parts of some faces lie: the stop is where it was.
    #[test]
    fn a_part_that_begins_at_its_far_end_is_as_long() {
        let half = 707_106_781_187;
        for normals in [
            [[-half, half, 0], [half, half, 0]],
            [[-half, half, 0], [half, -half, 0]],
            [[-half, 0, half], [half, half, 0]],
        ] {
            let one = board(normals.map(Some));
            let mut other = board(normals.map(Some));
            other.planes.iter_mut().for_each(|plane| plane.end = 1 - plane.end);
            assert_eq!((of(&one), longest_edge(&one)), (of(&other), longest_edge(&other)), "{normals:?}");
            assert!(longest_edge(&other).0 >= 380e6, "{normals:?}");
        }
    }

    /// A trapezium of 500 over its long edge, and a parallelogram whose edges are 500 less the width of 100 at 45 degrees.
    #[test]
    fn what_a_stop_meets() {
        let half = 707_106_781_187;
        let trapezium = board([Some([-half, half, 0]), Some([half, half, 0])]);
        assert_eq!((of(&trapezium), flip(of(&trapezium))), ([[-450, 0], [-450, 0]], "every second"));
        assert_eq!(longest_edge(&trapezium).1, "long point to long point");
        let parallel = board([Some([-half, half, 0]), Some([half, -half, 0])]);
        assert_eq!((of(&parallel), flip(of(&parallel))), ([[-450, 0], [450, 0]], "stays"));
        let (edge, reads) = longest_edge(&parallel);
        assert!((edge - 400e6).abs() < 1.0 && reads == "long point to short point", "{edge}");
        let one = board([None, Some([half, half, 0])]);
        assert_eq!((of(&one), flip(of(&one))), ([[-450, 0], [0, 0]], "one end"));
    }
}
