//! Rows of parts too many or too fine to be drawn one by one: one rectangle for each, hatched, told in words.

use super::shapes::Shape;
use super::{Frame, around};
use measure::Length;
use std::collections::BTreeMap;

/// Above this many shapes in one view, long rows are hatched.
const MOST_SHAPES: usize = 3000;
/// Members narrower than this on paper, in mm, run together.
const FINEST: f64 = 0.7;
/// A row of fewer is always drawn.
const FEWEST: usize = 8;

/// A row that is drawn as one.
#[derive(Clone, Debug)]
pub(crate) struct Run {
    pub frame: Frame,
    pub near: Length,
    pub count: usize,
    /// What they are: piece, face, role.
    pub names: [String; 3],
    /// How large one is, across and up as it is seen; `None` if they differ.
    pub each: Option<[Length; 2]>,
}

/// Takes rows out of the shapes that are to be drawn: those too fine, and the largest if there are too many shapes. First
/// row by row, then piece by piece.
pub(crate) fn gather(shapes: &[Shape<'_>], order: Vec<usize>, factor: f64) -> (Vec<usize>, Vec<Run>) {
    let mut runs = Vec::new();
    let mut left = order;
    for by_course in [true, false] {
        let crowded = left.len() + runs.len() > MOST_SHAPES;
        if !by_course && !crowded {
            break;
        }
        left = gather_groups(shapes, left, &mut runs, |shapes, group| {
            crowded || finest(shapes, group) * factor < FINEST
        }, by_course);
    }
    (left, runs)
}

fn gather_groups(
    shapes: &[Shape<'_>],
    order: Vec<usize>,
    runs: &mut Vec<Run>,
    wanted: impl Fn(&[Shape<'_>], &[usize]) -> bool,
    by_course: bool,
) -> Vec<usize> {
    let mut groups: BTreeMap<(&str, &str, &str, u32, Length), Vec<usize>> = BTreeMap::new();
    for &at in &order {
        let key = &shapes[at].part.key;
        let course = if by_course { key.course } else { 0 };
        let name = (key.piece.as_str(), key.face.as_str(), key.role.as_str(), course, shapes[at].seen.near);
        groups.entry(name).or_default().push(at);
    }
    let mut taken = vec![false; shapes.len()];
    for group in groups.values().filter(|group| group.len() >= FEWEST && wanted(shapes, group)) {
        if let Some(run) = run(shapes, group) {
            group.iter().for_each(|&at| taken[at] = true);
            runs.push(run);
        }
    }
    order.into_iter().filter(|&at| !taken[at]).collect()
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
    let run = Run {
        frame,
        near: first.seen.near,
        count: group.len(),
        names: [key.piece.clone(), key.face.clone(), key.role.clone()],
        each: alike.then_some(each),
    };
    (2 * filled >= area(frame.map(|[from, to]| to - from))).then_some(run)
}

fn size(shape: &Shape<'_>) -> [Length; 2] {
    [shape.seen.across, shape.seen.up].map(|[from, to]| to - from)
}
