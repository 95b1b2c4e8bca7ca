//! What can be seen of boxes that stand along the axes: painter's order, and those left out that lie wholly behind others.

use measure::Length;
use std::collections::BTreeSet;

/// The most lines of the grid in each direction; more distinct edges than that are thinned out, which leaves more to be
/// drawn and nothing out that can be seen.
const MOST_LINES: usize = 512;

/// A box as it is seen: from left to right, from below upwards, and how near its nearest face is (less is nearer).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Seen {
    pub across: [Length; 2],
    pub up: [Length; 2],
    pub near: Length,
    /// True if it hides all that lies behind its rectangle: not so where its ends are trimmed.
    pub whole: bool,
}

/// Which boxes are to be drawn, the farthest first. Left out are those that lie wholly behind nearer ones, so far as the
/// grid tells; exactly those where there are no more than [`MOST_LINES`] distinct edges each way.
///
/// The boxes do not run into one another, so where two overlap on paper one lies wholly before the other, and the order of
/// their nearest faces is the order to paint in.
pub(crate) fn visible(boxes: &[Seen]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by_key(|&place| (boxes[place].near, place));
    let mut cover = Cover::over(boxes);
    let mut drawn: BTreeSet<[Length; 4]> = BTreeSet::new();
    let mut seen = Vec::new();
    for place in order {
        let shape = &boxes[place];
        let edges = [shape.across[0], shape.across[1], shape.up[0], shape.up[1]];
        if drawn.contains(&edges) || cover.hides(shape) {
            continue;
        }
        if shape.whole {
            drawn.insert(edges);
            cover.add(shape);
        }
        seen.push(place);
    }
    seen.reverse();
    seen
}

/// A grid of cells, covered or not.
struct Cover {
    columns: Vec<Length>,
    rows: Vec<Length>,
    /// For each row of cells and each column, a column at or after it on the way to the first that is not covered.
    next: Vec<Vec<usize>>,
}

impl Cover {
    fn over(boxes: &[Seen]) -> Cover {
        let columns = lines(boxes.iter().flat_map(|shape| shape.across));
        let rows = lines(boxes.iter().flat_map(|shape| shape.up));
        let next = vec![(0..columns.len()).collect(); rows.len().saturating_sub(1)];
        Cover { columns, rows, next }
    }

    /// True if all cells that the shape touches are covered.
    fn hides(&mut self, shape: &Seen) -> bool {
        let [left, right] = touched(&self.columns, shape.across);
        let [low, high] = touched(&self.rows, shape.up);
        (low..high).all(|row| first_free(&mut self.next[row], left) >= right)
    }

    /// Covers the cells that lie wholly within the shape.
    fn add(&mut self, shape: &Seen) {
        let [left, right] = within(&self.columns, shape.across);
        let [low, high] = within(&self.rows, shape.up);
        for row in low..high {
            let next = &mut self.next[row];
            let mut column = first_free(next, left);
            while column < right {
                next[column] = column + 1;
                column = first_free(next, column);
            }
        }
    }
}

/// The first column at or after this one that is not covered; shortens the way for the next who asks.
fn first_free(next: &mut [usize], from: usize) -> usize {
    let mut free = from;
    while next[free] != free {
        free = next[free];
    }
    let mut column = from;
    while next[column] != free && column != free {
        column = std::mem::replace(&mut next[column], free);
    }
    free
}

/// The distinct values in order, thinned out to [`MOST_LINES`] and the last.
fn lines(values: impl Iterator<Item = Length>) -> Vec<Length> {
    let distinct: Vec<Length> = values.collect::<BTreeSet<Length>>().into_iter().collect();
    let every = distinct.len().div_ceil(MOST_LINES).max(1);
    let last = distinct.last().copied();
    let mut kept: Vec<Length> = distinct.into_iter().step_by(every).collect();
    if kept.last().copied() != last {
        kept.extend(last);
    }
    kept
}

/// The cells that a stretch touches: from the last line at or before it to the first at or after it. All stretches lie
/// between the first line and the last.
fn touched(lines: &[Length], [from, to]: [Length; 2]) -> [usize; 2] {
    [lines.partition_point(|line| *line <= from).saturating_sub(1), lines.partition_point(|line| *line < to)]
}

/// The cells that lie within a stretch.
fn within(lines: &[Length], [from, to]: [Length; 2]) -> [usize; 2] {
    [lines.partition_point(|line| *line < from), lines.partition_point(|line| *line <= to).saturating_sub(1)]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(across: [i64; 2], up: [i64; 2], near: i64) -> Seen {
        Seen { across: across.map(Length::mm), up: up.map(Length::mm), near: Length::mm(near), whole: true }
    }

    #[test]
    fn behind_two_that_touch_nothing_is_seen() {
        let boxes = [seen([0, 10], [0, 10], 9), seen([0, 5], [0, 10], 1), seen([5, 12], [0, 10], 2)];
        assert_eq!(visible(&boxes), [2, 1]);
        let gap = [seen([0, 10], [0, 10], 9), seen([0, 5], [0, 10], 1), seen([6, 12], [0, 10], 2)];
        assert_eq!(visible(&gap), [0, 2, 1]);
    }

    /// Against brute force over unit cells: a box is drawn exactly if a cell of it has no nearer box.
    #[test]
    fn random_boxes_agree_with_brute_force() {
        let mut state = 7_u64;
        // Numerical Recipes' 64-bit LCG constants (Knuth's MMIX, from memory); the tests need no better.
        let mut draw = |below: u64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            ((state >> 33) % below) as i64
        };
        for _ in 0..300 {
            let boxes: Vec<Seen> = (0..12)
                .map(|near| {
                    let (x, y) = (draw(10), draw(10));
                    seen([x, x + 1 + draw(6)], [y, y + 1 + draw(6)], near)
                })
                .collect();
            let covers = |shape: &Seen, x: i64, y: i64| {
                let inside = |[from, to]: [Length; 2], at: i64| from <= Length::mm(at) && Length::mm(at + 1) <= to;
                inside(shape.across, x) && inside(shape.up, y)
            };
            let cells = || (0..20).flat_map(|x| (0..20).map(move |y| (x, y)));
            let free = |place: usize, x, y| !boxes[..place].iter().any(|nearer| covers(nearer, x, y));
            let expected: Vec<usize> = (0..boxes.len())
                .rev()
                .filter(|&place| cells().any(|(x, y)| covers(&boxes[place], x, y) && free(place, x, y)))
                .collect();
            assert_eq!(visible(&boxes), expected);
        }
    }

    /// Many more edges than the grid has lines: nothing that can be seen is left out, and what lies behind a wall is.
    #[test]
    fn a_thinned_grid_leaves_nothing_out_that_can_be_seen() {
        let row: Vec<Seen> = (0..5000).map(|i| seen([i * 7, i * 7 + 6], [i % 3, 50 + i % 5], 5)).collect();
        assert_eq!(visible(&row).len(), 5000);
        let mut walled = row.clone();
        walled.push(seen([0, 35_000], [0, 60], 1));
        assert_eq!(visible(&walled), [5000]);
    }
}
