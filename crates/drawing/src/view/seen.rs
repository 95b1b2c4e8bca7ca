//! A view of parts that turn, lean or have trimmed ends: the lines that are seen, found by the solids themselves.

use super::runs::Run;
use super::shapes::{Shape, axes, direction};
use super::{Look, Place, hatch, outline};
use crate::earth::Earth;
use crate::lines::{Stroke, visible_lines};
use crate::pen::{Line, Path, Pen};
use measure::Length;
use shape::Convex;
use std::collections::BTreeMap;

/// The shapes that are drawn, then the runs, as solids.
pub(super) fn solids(look: Look, shapes: &[Shape], order: &[usize], runs: &[Run]) -> Vec<Convex> {
    let parts = order.iter().filter_map(|&at| shapes[at].part.shape());
    parts.chain(runs.iter().map(|run| around(run, look))).collect()
}

/// Those of the shapes that do not lie right behind another with the same outline, as the courses of a wall do from above.
pub(super) fn uncovered(shapes: &[Shape], order: Vec<usize>) -> Vec<usize> {
    let micrometres = |corner: &[f64; 2]| corner.map(|at| (at * 1e3).round() as i64);
    let mut nearer: BTreeMap<Vec<[i64; 2]>, Length> = BTreeMap::new();
    let mut kept: Vec<usize> = order
        .into_iter()
        .rev()
        .filter(|&at| {
            let Some(corners) = &shapes[at].trimmed else { return true };
            let mut outline: Vec<[i64; 2]> = corners.iter().map(micrometres).collect();
            outline.sort_unstable();
            let deep = shapes[at].deep[1] - shapes[at].deep[0];
            let far = shapes[at].seen.near + deep;
            let known = nearer.get(&outline).copied();
            nearer.entry(outline).or_insert(far);
            known.is_none_or(|far| shapes[at].seen.near < far)
        })
        .collect();
    kept.reverse();
    kept
}

/// The box that a run fills.
fn around(run: &Run, look: Look) -> Convex {
    let spans = [run.frame[0], run.frame[1], run.deep];
    let (mut corner, mut extent) = ([0.0; 3], [0.0; 3]);
    for ([from, to], axis) in spans.into_iter().zip(axes(look).0) {
        corner[axis.index()] = from.as_mm();
        extent[axis.index()] = (to - from).as_mm();
    }
    Convex::cuboid(corner, [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], extent)
}

/// Paints hatching and grain, the farthest first and each shape's paper over what lies behind it, then the lines that are
/// seen: dashed below the ground.
pub(super) fn paint(
    pen: &mut Pen,
    (look, earth): (Look, Option<&Earth>),
    (shapes, order, runs): (&[Shape], &[usize], &[Run]),
    solids: &[Convex],
    place: &Place,
) {
    fill(pen, earth, (shapes, order, runs), place);
    let (mut lines, mut buried) = (Path::default(), Path::default());
    for Stroke { solid, from, to, .. } in visible_lines(solids, &direction(look)) {
        let ground = earth.map(|earth| earth.before_solid(&solids[solid]));
        let [above, below] = ground.map_or([vec![[from, to]], Vec::new()], |ground| ground.parted(from, to));
        for (parts, path) in [(above, &mut lines), (below, &mut buried)] {
            for [from, to] in parts {
                path.stroke(place.point(from), place.point(to));
            }
        }
    }
    pen.draw(&lines, Line::Wide);
    pen.draw(&buried, Line::Hidden);
}

/// Paper and what lies on it, without outlines.
fn fill(pen: &mut Pen, earth: Option<&Earth>, (shapes, order, runs): (&[Shape], &[usize], &[Run]), place: &Place) {
    let mut all: Vec<(Length, bool, usize)> = order.iter().map(|&at| (shapes[at].seen.near, false, at)).collect();
    all.extend(runs.iter().enumerate().map(|(at, run)| (run.near, true, at)));
    all.sort_by_key(|&(near, run, at)| (std::cmp::Reverse(near), run, at));
    pen.begin(Line::Cover);
    for (_, run, at) in all {
        let (mut path, mut grain, mut buried) = (Path::default(), Path::default(), Path::default());
        match (run, &shapes.get(at).and_then(|shape| shape.trimmed.as_ref())) {
            (true, _) => hatch(&runs[at], place, &mut path, &mut grain),
            (false, Some(corners)) => {
                path.polygon(&corners.iter().map(|&corner| place.point(corner)).collect::<Vec<_>>());
            }
            (false, None) => outline(&shapes[at], earth, place, [&mut path, &mut grain, &mut buried]),
        }
        pen.shape(&path);
        pen.draw(&grain, Line::Narrow);
    }
    pen.end();
}
