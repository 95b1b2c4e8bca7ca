//! Which solids may lie before one another: a grid on the paper, so that only neighbours are asked.

use super::cast::Cast;

/// The most cells each way. With more solids than cells each cell holds more of them, which costs time and nothing else.
const MOST_CELLS: usize = 256;

pub(super) struct Grid {
    low: [f64; 2],
    /// The size of a cell.
    cell: [f64; 2],
    count: [usize; 2],
    /// The solids that reach into each cell, row by row.
    cells: Vec<Vec<usize>>,
    /// For each solid, the last one for which it was met.
    met: Vec<usize>,
}

impl Grid {
    /// A grid over all solids, its cells about as large as a solid is on the paper.
    pub fn over(casts: &[Cast]) -> Grid {
        let low = [0, 1].map(|way| casts.iter().map(|cast| cast.low[way]).fold(f64::INFINITY, f64::min));
        let high = [0, 1].map(|way| casts.iter().map(|cast| cast.high[way]).fold(f64::NEG_INFINITY, f64::max));
        let mean = [0, 1].map(|way| {
            casts.iter().map(|cast| cast.high[way] - cast.low[way]).sum::<f64>() / casts.len().max(1) as f64
        });
        let count = [0, 1].map(|way| (((high[way] - low[way]) / mean[way]) as usize).clamp(1, MOST_CELLS));
        let cell = [0, 1].map(|way| (high[way] - low[way]) / count[way] as f64);
        let mut grid =
            Grid { low, cell, count, cells: vec![Vec::new(); count[0] * count[1]], met: vec![usize::MAX; casts.len()] };
        for (solid, cast) in casts.iter().enumerate() {
            for place in grid.places(cast) {
                grid.cells[place].push(solid);
            }
        }
        grid
    }

    /// The solids that may hide something of this one.
    pub fn before(&mut self, casts: &[Cast], solid: usize) -> Vec<usize> {
        let own = &casts[solid];
        let mut before = Vec::new();
        for place in self.places(own) {
            for &other in &self.cells[place] {
                if other != solid && std::mem::replace(&mut self.met[other], solid) != solid {
                    before.push(other);
                }
            }
        }
        before.retain(|&other| casts[other].may_hide(own));
        before
    }

    /// The cells that a solid reaches into.
    fn places(&self, cast: &Cast) -> impl Iterator<Item = usize> + use<> {
        let along = |way: usize, at: f64| (((at - self.low[way]) / self.cell[way]) as usize).min(self.count[way] - 1);
        let [columns, rows] = [0, 1].map(|way| along(way, cast.low[way])..=along(way, cast.high[way]));
        let wide = self.count[0];
        rows.flat_map(move |row| columns.clone().map(move |column| row * wide + column))
    }
}
