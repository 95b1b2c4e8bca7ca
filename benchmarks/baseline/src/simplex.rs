//! A small linear program: least cost of a mix of columns that covers every row.
//!
//! Minimise `c x` with `A x >= b`, `x >= 0`. Floats live only here. Nothing that leaves this module is believed before whole numbers have checked it ([`crate::bound`], [`crate::search`]), so a poor pivot costs time and never truth.

use crate::budget::Budget;

/// A number closer to zero than this is zero. Entries are counts of parts, costs are in common units.
const TINY: f64 = 1e-9;
/// Pivots between two fresh inverses.
const REFRESH: u32 = 60;

/// One column: what it costs and what it adds to each row.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    /// Cost of one unit.
    pub cost: i64,
    /// Entries that are not zero, by row.
    pub entries: Vec<(usize, i64)>,
}

/// The columns of a program. Behind them stand, unseen, a surplus and a dear filler for each row.
#[derive(Debug, Clone)]
pub(crate) struct Program {
    /// Rows in all.
    pub rows: usize,
    /// Columns by which the rows are covered.
    pub columns: Vec<Column>,
    /// Cost of one unit of a row that no column covers.
    pub dear: i64,
}

/// A basis, its inverse and its values.
#[derive(Debug, Clone)]
pub(crate) struct Basis {
    /// What is asked of each row.
    pub asked: Vec<f64>,
    /// Columns that may not be used.
    pub barred: Vec<bool>,
    /// Which variable stands in each place, numbered as `Program` does: surplus, filler, then columns.
    members: Vec<usize>,
    inverse: Vec<f64>,
    values: Vec<f64>,
    since: u32,
}

impl Program {
    /// Variables: `0..rows` surplus, `rows..2 rows` filler, then the columns.
    fn cost(&self, variable: usize) -> f64 {
        match variable / self.rows {
            0 => 0.0,
            1 => self.dear as f64,
            _ => self.columns[variable - 2 * self.rows].cost as f64,
        }
    }

    /// The product of a row vector with the column of a variable.
    fn product(&self, row: &[f64], variable: usize) -> f64 {
        match variable / self.rows {
            0 => -row[variable],
            1 => row[variable - self.rows],
            _ => self.columns[variable - 2 * self.rows].entries.iter().map(|&(i, a)| row[i] * a as f64).sum(),
        }
    }

    fn dense(&self, variable: usize) -> Vec<f64> {
        let mut column = vec![0.0; self.rows];
        match variable / self.rows {
            0 => column[variable] = -1.0,
            1 => column[variable - self.rows] = 1.0,
            _ => self.columns[variable - 2 * self.rows].entries.iter().for_each(|&(i, a)| column[i] = a as f64),
        }
        column
    }

    /// Work of one look at all columns, in steps.
    pub fn look(&self) -> u64 {
        (self.columns.len() / 4 + self.rows * self.rows / 16 + 1) as u64
    }
}

impl Basis {
    /// Starts with fillers and surpluses only.
    pub fn start(program: &Program, asked: &[i64]) -> Basis {
        let rows = program.rows;
        let mut inverse = vec![0.0; rows * rows];
        let mut members = Vec::with_capacity(rows);
        for (i, &b) in asked.iter().enumerate() {
            members.push(if b < 0 { i } else { rows + i });
            inverse[i * rows + i] = if b < 0 { -1.0 } else { 1.0 };
        }
        let values = asked.iter().map(|&b| (b as f64).abs()).collect();
        let barred = vec![false; program.columns.len()];
        Basis { asked: asked.iter().map(|&b| b as f64).collect(), barred, members, inverse, values, since: 0 }
    }

    /// The worth of one unit of each row at this basis.
    pub fn duals(&self, program: &Program) -> Vec<f64> {
        let rows = program.rows;
        let mut duals = vec![0.0; rows];
        for (place, &variable) in self.members.iter().enumerate() {
            let cost = program.cost(variable);
            if cost != 0.0 {
                (duals.iter_mut().zip(&self.inverse[place * rows..(place + 1) * rows]))
                    .for_each(|(d, v)| *d += cost * v);
            }
        }
        duals
    }

    /// Columns in use with their amounts.
    pub fn amounts(&self, program: &Program) -> Vec<(usize, f64)> {
        (self.members.iter().zip(&self.values))
            .filter(|&(&v, &x)| v >= 2 * program.rows && x > 1e-7)
            .map(|(&v, &x)| (v - 2 * program.rows, x))
            .collect()
    }

    /// True when a row stands uncovered.
    pub fn uncovered(&self, program: &Program) -> bool {
        let filler = program.rows..2 * program.rows;
        self.members.iter().zip(&self.values).any(|(v, &x)| filler.contains(v) && x > 1e-7)
    }

    /// Asks something else of the rows.
    pub fn ask(&mut self, program: &Program, asked: &[i64]) {
        self.asked = asked.iter().map(|&b| b as f64).collect();
        self.revalue(program);
    }

    /// Primal simplex from a basis whose values are not negative; ends early when the steps run out.
    pub fn primal(&mut self, program: &Program, budget: &mut Budget) {
        self.barred.resize(program.columns.len(), false);
        let most = 40 * program.rows + 300;
        for pivots in 0..most {
            if !budget.spend(program.look()) {
                return;
            }
            let duals = self.duals(program);
            // Past half of the pivots the first candidate enters, which cannot cycle.
            let Some(enter) = self.cheapest(program, &duals, pivots > most / 2) else { return };
            let direction = self.direction(program, enter);
            let Some(leave) = self.shortest(&direction) else { return };
            self.pivot(program, leave, enter, &direction);
        }
    }

    /// Dual simplex: brings values that fell below zero, or stand on a barred column, back; ends early when the steps run out.
    pub fn dual(&mut self, program: &Program, budget: &mut Budget) {
        for _ in 0..20 * program.rows + 200 {
            if !budget.spend(program.look()) {
                return;
            }
            let Some((leave, sign)) = self.worst(program) else { return };
            let Some(enter) = self.steepest(program, leave, sign) else { return };
            let direction = self.direction(program, enter);
            if direction[leave].abs() < TINY {
                return;
            }
            self.pivot(program, leave, enter, &direction);
        }
    }

    fn is_barred(&self, program: &Program, variable: usize) -> bool {
        variable >= 2 * program.rows && self.barred[variable - 2 * program.rows]
    }

    fn cheapest(&self, program: &Program, duals: &[f64], first: bool) -> Option<usize> {
        let mut best = (-1e-7, None);
        for variable in 0..2 * program.rows + program.columns.len() {
            if self.is_barred(program, variable) {
                continue;
            }
            let cost = program.cost(variable);
            let reduced = (cost - program.product(duals, variable)) / (1.0 + cost);
            if reduced < best.0 {
                best = (reduced, Some(variable));
                if first {
                    break;
                }
            }
        }
        best.1
    }

    fn direction(&self, program: &Program, variable: usize) -> Vec<f64> {
        let column = program.dense(variable);
        let rows = program.rows;
        (0..rows)
            .map(|r| self.inverse[r * rows..(r + 1) * rows].iter().zip(&column).map(|(a, b)| a * b).sum())
            .collect()
    }

    fn shortest(&self, direction: &[f64]) -> Option<usize> {
        let mut best: Option<(f64, usize)> = None;
        for (place, &d) in direction.iter().enumerate().filter(|(_, d)| **d > 1e-8) {
            let ratio = self.values[place].max(0.0) / d;
            let better = match best {
                None => true,
                Some((r, b)) => ratio < r - TINY || (ratio < r + TINY && self.members[place] < self.members[b]),
            };
            if better {
                best = Some((ratio, place));
            }
        }
        best.map(|b| b.1)
    }

    fn worst(&self, program: &Program) -> Option<(usize, f64)> {
        let mut best = (1e-7, None);
        for (place, &value) in self.values.iter().enumerate() {
            if -value > best.0 {
                best = (-value, Some((place, -1.0)));
            }
            if value > best.0 && self.is_barred(program, self.members[place]) {
                best = (value, Some((place, 1.0)));
            }
        }
        best.1
    }

    fn steepest(&self, program: &Program, leave: usize, sign: f64) -> Option<usize> {
        let rows = program.rows;
        let row = &self.inverse[leave * rows..(leave + 1) * rows];
        let duals = self.duals(program);
        let mut best: Option<(f64, f64, usize)> = None;
        for variable in 0..2 * rows + program.columns.len() {
            if self.is_barred(program, variable) {
                continue;
            }
            let slope = sign * program.product(row, variable);
            if slope <= 1e-7 || self.members.contains(&variable) {
                continue;
            }
            let ratio = (program.cost(variable) - program.product(&duals, variable)).max(0.0) / slope;
            if best.is_none_or(|(r, s, _)| ratio < r - TINY || (ratio < r + TINY && slope > s)) {
                best = Some((ratio, slope, variable));
            }
        }
        best.map(|b| b.2)
    }

    fn pivot(&mut self, program: &Program, leave: usize, enter: usize, direction: &[f64]) {
        let rows = program.rows;
        self.members[leave] = enter;
        self.since += 1;
        if self.since >= REFRESH && self.refresh(program) {
            self.revalue(program);
            return;
        }
        let scale = 1.0 / direction[leave];
        let pivot_row: Vec<f64> = self.inverse[leave * rows..(leave + 1) * rows].iter().map(|v| v * scale).collect();
        for (place, &d) in direction.iter().enumerate() {
            if place != leave && d != 0.0 {
                (self.inverse[place * rows..(place + 1) * rows].iter_mut().zip(&pivot_row))
                    .for_each(|(v, p)| *v -= d * p);
            }
        }
        self.inverse[leave * rows..(leave + 1) * rows].copy_from_slice(&pivot_row);
        self.revalue(program);
    }

    fn revalue(&mut self, program: &Program) {
        let rows = program.rows;
        for place in 0..rows {
            let row = &self.inverse[place * rows..(place + 1) * rows];
            self.values[place] = row.iter().zip(&self.asked).map(|(a, b)| a * b).sum();
        }
    }

    /// A fresh inverse by elimination; false (and unchanged) if the basis is singular.
    fn refresh(&mut self, program: &Program) -> bool {
        self.since = 0;
        let rows = program.rows;
        let mut matrix = vec![0.0; rows * rows];
        for (place, &variable) in self.members.iter().enumerate() {
            program.dense(variable).iter().enumerate().for_each(|(i, &v)| matrix[i * rows + place] = v);
        }
        match invert(matrix, rows) {
            Some(inverse) => self.inverse = inverse,
            None => return false,
        }
        true
    }
}

fn invert(mut matrix: Vec<f64>, rows: usize) -> Option<Vec<f64>> {
    let mut inverse = vec![0.0; rows * rows];
    (0..rows).for_each(|i| inverse[i * rows + i] = 1.0);
    for step in 0..rows {
        let largest = (step..rows)
            .max_by(|&a, &b| matrix[a * rows + step].abs().total_cmp(&matrix[b * rows + step].abs()).then(b.cmp(&a)))?;
        if matrix[largest * rows + step].abs() < TINY {
            return None;
        }
        for k in 0..rows {
            matrix.swap(step * rows + k, largest * rows + k);
            inverse.swap(step * rows + k, largest * rows + k);
        }
        let scale = 1.0 / matrix[step * rows + step];
        for k in 0..rows {
            matrix[step * rows + k] *= scale;
            inverse[step * rows + k] *= scale;
        }
        for other in (0..rows).filter(|&r| r != step) {
            let factor = matrix[other * rows + step];
            if factor == 0.0 {
                continue;
            }
            for k in 0..rows {
                matrix[other * rows + k] -= factor * matrix[step * rows + k];
                inverse[other * rows + k] -= factor * inverse[step * rows + k];
            }
        }
    }
    Some(inverse)
}
