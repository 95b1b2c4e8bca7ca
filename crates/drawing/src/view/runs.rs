//! Rows of parts too many or too fine to be drawn one by one: one rectangle for each, hatched, told in words.

use super::shapes::Shape;
use super::{Frame, around};
use measure::Length;
use std::collections::BTreeMap;

/// Above this many shapes in one view, long rows are hatched.
const MOST_SHAPES: usize = 3000;
/// No more shapes than this are drawn one by one, whatever they are.
const MOST_DRAWN: usize = 10_000;
/// Members narrower than this on paper, in mm, run together.
const FINEST: f64 = 0.7;
/// Rows thinner than this on paper, in mm, run together.
const THINNEST: f64 = 2.5;
/// A row of fewer is always drawn.
const FEWEST: usize = 8;

/// A row that is drawn as one.
#[derive(Clone, Debug)]
pub(crate) struct Run {
    pub frame: Frame,
    pub near: Length,
    /// From where to where it reaches along the way one looks.
    pub deep: [Length; 2],
    pub count: usize,
    /// What they are: piece, face, role.
    pub names: [String; 3],
    /// How large one is, across and up as it is seen; `None` if they differ.
    pub each: Option<[Length; 2]>,
}

/// Takes rows out of the shapes that are to be drawn: those too fine, and long ones if there are too many shapes. Rows that
/// are themselves too thin to be told apart are taken together first, face by face.
pub(crate) fn gather(shapes: &[Shape<'_>], order: Vec<usize>, factor: f64) -> (Vec<usize>, Vec<Run>) {
    let mut runs = Vec::new();
    let mut left = order;
    for (by_course, thinnest) in [(true, THINNEST), (false, 0.0), (true, 0.0)] {
        let crowded = left.len() + runs.len() > MOST_SHAPES;
        let mut taken = vec![false; shapes.len()];
        for group in groups(shapes, &left, by_course) {
            if group.len() < FEWEST || !(crowded || finest(shapes, &group) * factor < FINEST) {
                continue;
            }
            let thin = |run: &Run| run.frame.iter().any(|[from, to]| (*to - *from).as_mm() * factor < thinnest);
            if let Some(run) = run(shapes, &group).filter(|run| !thin(run)) {
                group.iter().for_each(|&at| taken[at] = true);
                runs.push(run);
            }
        }
        left.retain(|&at| !taken[at]);
    }
    (left, runs)
}

/// The largest [`MOST_DRAWN`] shapes, in the order given, and how many are left out.
pub(crate) fn largest(shapes: &[Shape<'_>], mut order: Vec<usize>) -> (Vec<usize>, usize) {
    if order.len() <= MOST_DRAWN {
        return (order, 0);
    }
    let area = |at: usize| {
        let [across, up] = size(&shapes[at]);
        i128::from(across.nanometres()) * i128::from(up.nanometres())
    };
    let mut by_area = order.clone();
    by_area.sort_by_key(|&at| (std::cmp::Reverse(area(at)), at));
    let mut kept = vec![false; shapes.len()];
    by_area[..MOST_DRAWN].iter().for_each(|&at| kept[at] = true);
    let left_out = order.len() - MOST_DRAWN;
    order.retain(|&at| kept[at]);
    (order, left_out)
}

/// The shapes of each face, or of each course of it, that lie equally near.
fn groups(shapes: &[Shape<'_>], order: &[usize], by_course: bool) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<(&str, &str, &str, u32, Length), Vec<usize>> = BTreeMap::new();
    for &at in order {
        let key = &shapes[at].part.key;
        let course = if by_course { key.course } else { 0 };
        let name = (key.piece.as_str(), key.face.as_str(), key.role.as_str(), course, shapes[at].seen.near);
        groups.entry(name).or_default().push(at);
    }
    groups.into_values().collect()
}

/// The shorter side of the members, in mm: their middle value.
fn finest(shapes: &[Shape<'_>], group: &[usize]) -> f64 {
    let mut sides: Vec<Length> = group.iter().map(|&at| size(&shapes[at])).map(|[a, b]| a.min(b)).collect();
    sides.sort();
    sides[sides.len() / 2].as_mm()
}

/// The group as one rectangle; `None` if it fills less than half of that, and so is no row.
fn run(shapes: &[Shape<'_>], group: &[usize]) -> Option<Run> {
    let first = &shapes[*group.first()?];
    let frame = around(group.iter().map(|&at| [shapes[at].seen.across, shapes[at].seen.up]))?;
    let area = |[a, b]: [Length; 2]| i128::from(a.nanometres()) * i128::from(b.nanometres());
    let filled: i128 = group.iter().map(|&at| area(size(&shapes[at]))).sum();
    let each = size(first);
    let alike = group.iter().all(|&at| size(&shapes[at]) == each && shapes[at].trimmed.is_none());
    let key = &first.part.key;
    let wider = |[low, high]: [Length; 2], &at: &usize| [low.min(shapes[at].deep[0]), high.max(shapes[at].deep[1])];
    let run = Run {
        frame,
        near: first.seen.near,
        deep: group.iter().fold(first.deep, wider),
        count: group.len(),
        names: [key.piece.clone(), key.face.clone(), key.role.clone()],
        each: alike.then_some(each),
    };
    (2 * filled >= area(frame.map(|[from, to]| to - from))).then_some(run)
}

fn size(shape: &Shape<'_>) -> [Length; 2] {
    [shape.seen.across, shape.seen.up].map(|[from, to]| to - from)
}
