//! Parts by where they lie, seen from above, so that a point or a part need not be held against all of them.

use crate::claims::Part;
use crate::solid::Solid;
use std::collections::BTreeMap;

/// How long the side of a cell is, in nanometres: 250 mm, about what a short part takes.
const CELL: i64 = 250_000_000;
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
    cells: BTreeMap<[i64; 2], Vec<usize>>,
}

impl Near {
    pub fn of(parts: &[Part]) -> Near {
        let reaches: Vec<Option<Reach>> = parts.iter().map(Reach::of).collect();
        let mut cells: BTreeMap<[i64; 2], Vec<usize>> = BTreeMap::new();
        for (at, reach) in reaches.iter().enumerate() {
            for cell in reach.iter().flat_map(cells_of) {
                cells.entry(cell).or_default().push(at);
            }
        }
        Near { reaches, cells }
    }

    /// The parts that are boxes and have a point in or on them.
    pub fn at(&self, point: [i64; 3]) -> impl Iterator<Item = usize> {
        let cell = [point[0].div_euclid(CELL), point[1].div_euclid(CELL)];
        let there = self.cells.get(&cell).into_iter().flatten().copied();
        there.filter(move |&at| self.reaches[at].is_some_and(|reach| reach.is_all && reach.holds(point)))
    }

    /// The parts that may lie over or under another; one that is large comes more than once.
    pub fn around(&self, part: usize) -> impl Iterator<Item = usize> {
        let cells = self.reaches[part].iter().flat_map(cells_of).collect::<Vec<_>>();
        cells.into_iter().filter_map(|cell| self.cells.get(&cell)).flatten().copied().filter(move |&at| at != part)
    }
}

fn cells_of(reach: &Reach) -> impl Iterator<Item = [i64; 2]> + use<> {
    let cell = |at: i64| at.div_euclid(CELL);
    let [x, y] = [0, 1].map(|axis| cell(reach.from[axis] - TOUCH)..=cell(reach.to[axis] + TOUCH));
    x.flat_map(move |x| y.clone().map(move |y| [x, y]))
}
