//! Parts by where they lie, seen from above, so that a point or a part need not be held against all of them.

use crate::claims::Part;
use crate::solid::Solid;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// How long the side of a cell is at least, in nanometres: 250 mm, about what a short part takes.
const CELL: i64 = 250_000_000;
/// How many cells a part may take, of all parts together; cells grow where it would be more.
const MOST_CELLS: i128 = 64;
/// Parts nearer than this touch, in nanometres.
pub(super) const TOUCH: i64 = 1_000;

/// The box that holds a part, along the axes of the build.
#[derive(Clone, Copy)]
pub(super) struct Reach {
    pub from: [i64; 3],
    pub to: [i64; 3],
    /// Whether the part is this box.
    pub is_all: bool,
}

impl Reach {
    fn of(part: &Part) -> Option<Reach> {
        if part.is_plain() {
            return Some(Reach { from: part.corner, to: part.far(), is_all: true });
        }
        let [from, to] = Solid::of(part)?.bounds();
        // Lengths of a record are limited to 2^44 nm.
        let from = from.map(|at| libm::floor(at * 1e6) as i64);
        Some(Reach { from, to: to.map(|at| libm::ceil(at * 1e6) as i64), is_all: false })
    }

    pub fn holds(&self, point: [i64; 3]) -> bool {
        (0..3).all(|axis| self.from[axis] - TOUCH <= point[axis] && point[axis] <= self.to[axis] + TOUCH)
    }

    /// Whether they lie over one another, seen from above.
    pub fn is_over(&self, other: &Reach) -> bool {
        (0..2).all(|axis| self.from[axis] + TOUCH < other.to[axis] && other.from[axis] + TOUCH < self.to[axis])
    }
}

/// The parts of a record by where they are.
pub(super) struct Near {
    pub reaches: Vec<Option<Reach>>,
    /// How long the side of a cell is.
    side: i64,
    cells: BTreeMap<[i64; 2], Vec<usize>>,
}

impl Near {
    pub fn of(parts: &[Part]) -> Near {
        let reaches: Vec<Option<Reach>> = parts.iter().map(Reach::of).collect();
        let side = side_for(&reaches);
        let mut cells: BTreeMap<[i64; 2], Vec<usize>> = BTreeMap::new();
        for (at, reach) in reaches.iter().enumerate() {
            for cell in reach.iter().flat_map(|reach| cells_of(reach, side)) {
                cells.entry(cell).or_default().push(at);
            }
        }
        Near { reaches, side, cells }
    }

    /// The parts that are boxes and have a point in or on them.
    pub fn at(&self, point: [i64; 3]) -> impl Iterator<Item = usize> {
        let cell = [point[0].div_euclid(self.side), point[1].div_euclid(self.side)];
        let there = self.cells.get(&cell).into_iter().flatten().copied();
        there.filter(move |&at| self.reaches[at].is_some_and(|reach| reach.is_all && reach.holds(point)))
    }

    /// The parts that may lie over or under another; one that is large comes more than once.
    pub fn around(&self, part: usize) -> impl Iterator<Item = usize> {
        let cells = self.reaches[part].iter().flat_map(|reach| cells_of(reach, self.side)).collect::<Vec<_>>();
        cells.into_iter().filter_map(|cell| self.cells.get(&cell)).flatten().copied().filter(move |&at| at != part)
    }
}

/// Cells long enough that parts take few of them, however large a record says that they are.
fn side_for(reaches: &[Option<Reach>]) -> i64 {
    let along = |reach: &Reach, axis: usize, side: i64| {
        let span = span(reach, axis, side);
        i128::from(span.end() - span.start() + 1)
    };
    let taken = |side: i64| -> i128 {
        reaches.iter().flatten().map(|reach| along(reach, 0, side) * along(reach, 1, side)).sum()
    };
    let mut side = CELL;
    // Lengths of a record are limited to 2^44 nm, so this ends long before a side is out of measure.
    while taken(side) > MOST_CELLS * reaches.len() as i128 {
        side *= 2;
    }
    side
}

/// The cells that a part takes along an axis.
fn span(reach: &Reach, axis: usize, side: i64) -> RangeInclusive<i64> {
    (reach.from[axis] - TOUCH).div_euclid(side)..=(reach.to[axis] + TOUCH).div_euclid(side)
}

fn cells_of(reach: &Reach, side: i64) -> impl Iterator<Item = [i64; 2]> + use<> {
    let [x, y] = [0, 1].map(|axis| span(reach, axis, side));
    x.flat_map(move |x| y.clone().map(move |y| [x, y]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A part as large as a record may say takes few cells, and is found from what lies in it.
    #[test]
    fn a_part_of_miles_takes_few_cells() {
        let near = Near::of(&[Part::sized([1 << 44; 3]), Part::sized([100_000_000; 3])]);
        assert!(near.cells.values().map(Vec::len).sum::<usize>() <= 128);
        assert!(near.around(1).any(|part| part == 0));
    }
}
