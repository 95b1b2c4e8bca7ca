//! A small linear program: least cost of a mix of columns that covers every row.
//!
//! Minimise `c x` with `A x >= b`, `x >= 0`. Floats live only here. Nothing that leaves this module is believed before whole numbers have checked it ([`crate::bound`], [`crate::search`]), so a poor pivot costs time and never truth.

use crate::budget::Budget;

/// A number closer to zero than this is zero. Entries are counts of parts, costs are in common units.
const TINY: f64 = 1e-9;
/// Pivots between two looks at the error of the inverse.
const LOOK: u32 = 40;
/// Pivots after which the inverse is made anew whatever its error.
const REFRESH: u32 = 400;
/// Error of a value past which the inverse is made anew.
const WRONG: f64 = 1e-8;
/// The place of a variable outside the basis.
const OUTSIDE: u32 = u32::MAX;

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
    /// The place of each variable, or `OUTSIDE`.
    places: Vec<u32>,
    /// Column after column.
    inverse: Vec<f64>,
    values: Vec<f64>,
    duals: Vec<f64>,
    since: u32,
}

impl Program {
    /// Variables: `0..rows` surplus, `rows..2 rows` filler, then the columns.
    fn cost(&self, variable: usize) -> f64 {
        if variable >= 2 * self.rows {
            self.columns[variable - 2 * self.rows].cost as f64
        } else if variable >= self.rows {
            self.dear as f64
        } else {
            0.0
        }
    }

    /// The product of a row vector with the column of a variable.
    fn product(&self, row: &[f64], variable: usize) -> f64 {
        if variable >= 2 * self.rows {
            self.columns[variable - 2 * self.rows].entries.iter().map(|&(i, a)| row[i] * a as f64).sum()
        } else if variable >= self.rows {
            row[variable - self.rows]
        } else {
            -row[variable]
        }
    }

    /// The entries of a variable's column.
    fn entries(&self, variable: usize) -> impl Iterator<Item = (usize, f64)> {
        let rows = self.rows;
        let single = (variable < 2 * rows).then(|| (variable % rows, if variable < rows { -1.0 } else { 1.0 }));
        let column = if variable < 2 * rows { &[][..] } else { &self.columns[variable - 2 * rows].entries[..] };
        single.into_iter().chain(column.iter().map(|&(row, entry)| (row, entry as f64)))
    }

    /// Work of one look at all columns, in steps.
    pub fn look(&self) -> u64 {
        (self.columns.len() / 4 + self.rows * self.rows / 32 + 1) as u64
    }
}

impl Basis {
    /// Starts with fillers and surpluses only.
    pub fn start(program: &Program, asked: &[i64]) -> Basis {
        let rows = program.rows;
        let mut basis = Basis {
            asked: asked.iter().map(|&b| b as f64).collect(),
            barred: vec![false; program.columns.len()],
            members: Vec::with_capacity(rows),
            places: vec![OUTSIDE; 2 * rows + program.columns.len()],
            inverse: vec![0.0; rows * rows],
            values: asked.iter().map(|&b| (b as f64).abs()).collect(),
            duals: vec![0.0; rows],
            since: 0,
        };
        for (i, &b) in asked.iter().enumerate() {
            let variable = if b < 0 { i } else { rows + i };
            basis.members.push(variable);
            basis.places[variable] = i as u32;
            basis.inverse[i * rows + i] = if b < 0 { -1.0 } else { 1.0 };
            basis.duals[i] = program.cost(variable);
        }
        basis
    }

    /// The worth of one unit of each row at this basis.
    pub fn duals(&self) -> &[f64] {
        &self.duals
    }

    /// What the mix of this basis costs.
    pub fn cost(&self, program: &Program) -> f64 {
        self.members.iter().zip(&self.values).map(|(&v, &x)| program.cost(v) * x).sum()
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

    /// Says whether a column may not be used.
    pub fn bar(&mut self, column: usize, barred: bool) {
        if column >= self.barred.len() {
            self.barred.resize(column + 1, false);
        }
        self.barred[column] = barred;
    }

    /// True if every row is covered, and by no barred column.
    pub fn clean(&self, program: &Program) -> bool {
        let used = |(&v, &x): (&usize, &f64)| {
            x > 1e-7 && (self.is_barred(program, v) || (v >= program.rows && v < 2 * program.rows))
        };
        !self.members.iter().zip(&self.values).any(used)
    }

    /// Asks something else of the rows.
    pub fn ask(&mut self, program: &Program, asked: &[i64]) {
        self.asked = asked.iter().map(|&b| b as f64).collect();
        self.revalue(program);
    }

    /// Primal simplex from a basis whose values are not negative; ends early when the steps run out.
    pub fn primal(&mut self, program: &Program, budget: &mut Budget) {
        self.grow(program);
        let most = 40 * program.rows + 300;
        for pivots in 0..most {
            if !budget.spend(program.look()) {
                return;
            }
            // Past half of the pivots the first candidate enters, which cannot cycle.
            let first = pivots > most / 2;
            let Some(enter) = self.cheapest(program, first) else { return };
            let direction = self.direction(program, enter);
            let Some(leave) = self.shortest(&direction, first) else { return };
            self.pivot(program, leave, enter, &direction);
        }
    }

    /// Dual simplex: brings values that fell below zero, or stand on a barred column, back. Ends early when the steps run out, or
    /// when the cost, which only rises, has passed `enough`.
    pub fn dual(&mut self, program: &Program, enough: f64, budget: &mut Budget) {
        self.grow(program);
        for _ in 0..20 * program.rows + 200 {
            if !budget.spend(program.look()) || self.cost(program) > enough {
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

    /// Takes notice of rows that the program has gained behind the others: each starts with its surplus in the basis.
    pub fn extend(&mut self, program: &Program, asked: &[i64]) {
        let (old, rows) = (self.members.len(), program.rows);
        let more = rows - old;
        let renumbered = |v: usize| {
            if v < old {
                v
            } else if v < 2 * old {
                v + more
            } else {
                v + 2 * more
            }
        };
        let members: Vec<usize> = self.members.iter().map(|&v| renumbered(v)).chain(old..rows).collect();
        let mut inverse = vec![0.0; rows * rows];
        for (column, from) in inverse.chunks_mut(rows).zip(self.inverse.chunks(old)) {
            column[..old].copy_from_slice(from);
            for (&variable, &value) in members[..old].iter().zip(from).filter(|(_, v)| **v != 0.0) {
                program.entries(variable).filter(|e| e.0 >= old).for_each(|(row, entry)| column[row] += entry * value);
            }
        }
        (old..rows).for_each(|row| inverse[row * rows + row] = -1.0);
        self.places = vec![OUTSIDE; 2 * rows + program.columns.len()];
        members.iter().enumerate().for_each(|(place, &v)| self.places[v] = place as u32);
        (self.members, self.inverse) = (members, inverse);
        self.asked = asked.iter().map(|&b| b as f64).collect();
        self.values = vec![0.0; rows];
        self.duals = vec![0.0; rows];
        self.revalue(program);
        self.reprice(program);
    }

    /// Takes notice of columns that the program has gained.
    fn grow(&mut self, program: &Program) {
        self.barred.resize(program.columns.len(), false);
        self.places.resize(2 * program.rows + program.columns.len(), OUTSIDE);
    }

    fn is_barred(&self, program: &Program, variable: usize) -> bool {
        variable >= 2 * program.rows && self.barred[variable - 2 * program.rows]
    }

    fn cheapest(&self, program: &Program, first: bool) -> Option<usize> {
        let mut best = (-1e-7, None);
        for variable in 0..2 * program.rows + program.columns.len() {
            if self.places[variable] != OUTSIDE || self.is_barred(program, variable) {
                continue;
            }
            let cost = program.cost(variable);
            let reduced = (cost - program.product(&self.duals, variable)) / (1.0 + cost);
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
        direction(&self.inverse, program, variable)
    }

    /// The place whose value falls to zero first; among equals the surest pivot, or by number where that could cycle.
    fn shortest(&self, direction: &[f64], by_number: bool) -> Option<usize> {
        let mut best: Option<(f64, usize)> = None;
        for (place, &d) in direction.iter().enumerate().filter(|(_, d)| **d > 1e-8) {
            let ratio = self.values[place].max(0.0) / d;
            let better = match best {
                None => true,
                Some((r, b)) => {
                    let surer = if by_number { self.members[place] < self.members[b] } else { d > direction[b] };
                    ratio < r - TINY || (ratio < r + TINY && surer)
                }
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
        let row: Vec<f64> = (0..rows).map(|column| self.inverse[column * rows + leave]).collect();
        let mut best: Option<(f64, f64, usize)> = None;
        for variable in 0..2 * rows + program.columns.len() {
            if self.places[variable] != OUTSIDE || self.is_barred(program, variable) {
                continue;
            }
            let slope = sign * program.product(&row, variable);
            if slope <= 1e-7 {
                continue;
            }
            let ratio = (program.cost(variable) - program.product(&self.duals, variable)).max(0.0) / slope;
            if best.is_none_or(|(r, s, _)| ratio < r - TINY || (ratio < r + TINY && slope > s)) {
                best = Some((ratio, slope, variable));
            }
        }
        best.map(|b| b.2)
    }

    fn pivot(&mut self, program: &Program, leave: usize, enter: usize, direction: &[f64]) {
        let step = self.values[leave] / direction[leave];
        let reduced = program.cost(enter) - program.product(&self.duals, enter);
        let row = eliminate(&mut self.inverse, program.rows, leave, direction);
        self.duals.iter_mut().zip(&row).for_each(|(y, r)| *y += reduced * r);
        self.values.iter_mut().zip(direction).for_each(|(x, d)| *x -= step * d);
        self.values[leave] = step;
        self.places[self.members[leave]] = OUTSIDE;
        self.places[enter] = leave as u32;
        self.members[leave] = enter;
        self.since += 1;
        if self.since >= REFRESH || (self.since.is_multiple_of(LOOK) && self.error(program) > WRONG) {
            self.refresh(program);
        }
    }

    /// By how much the values miss what is asked, and the duals the costs.
    fn error(&self, program: &Program) -> f64 {
        let mut missing = self.asked.clone();
        let mut worst = 0.0f64;
        for (&variable, &value) in self.members.iter().zip(&self.values) {
            program.entries(variable).for_each(|(row, entry)| missing[row] -= entry * value);
            let reduced = program.cost(variable) - program.product(&self.duals, variable);
            worst = worst.max(reduced.abs() / (1.0 + program.cost(variable)));
        }
        missing.iter().zip(&self.asked).fold(worst, |worst, (m, b)| worst.max(m.abs() / (1.0 + b.abs())))
    }

    /// Works the values out anew from what is asked.
    pub fn revalue(&mut self, program: &Program) {
        let rows = program.rows;
        self.values.iter_mut().for_each(|x| *x = 0.0);
        for (column, &b) in self.inverse.chunks(rows).zip(&self.asked).filter(|(_, b)| **b != 0.0) {
            self.values.iter_mut().zip(column).for_each(|(x, v)| *x += b * v);
        }
    }

    fn reprice(&mut self, program: &Program) {
        let rows = program.rows;
        let costs: Vec<f64> = self.members.iter().map(|&v| program.cost(v)).collect();
        for (y, column) in self.duals.iter_mut().zip(self.inverse.chunks(rows)) {
            *y = column.iter().zip(&costs).map(|(v, c)| v * c).sum();
        }
    }

    /// A fresh inverse by elimination; the old one is kept if the basis is singular.
    fn refresh(&mut self, program: &Program) {
        self.since = 0;
        if let Some((inverse, members)) = invert(program, &self.members) {
            (self.inverse, self.members) = (inverse, members);
            self.members.iter().enumerate().for_each(|(place, &v)| self.places[v] = place as u32);
            self.revalue(program);
            self.reprice(program);
        }
    }
}

/// The inverse times the column of a variable.
fn direction(inverse: &[f64], program: &Program, variable: usize) -> Vec<f64> {
    let rows = program.rows;
    let mut direction = vec![0.0; rows];
    for (row, entry) in program.entries(variable) {
        let column = &inverse[row * rows..(row + 1) * rows];
        direction.iter_mut().zip(column).for_each(|(d, v)| *d += entry * v);
    }
    direction
}

/// Brings a column with this direction into a place of the inverse; returns the new row of that place.
fn eliminate(inverse: &mut [f64], rows: usize, place: usize, direction: &[f64]) -> Vec<f64> {
    let scale = 1.0 / direction[place];
    let mut row = vec![0.0; rows];
    for (column, entry) in inverse.chunks_mut(rows).zip(&mut row) {
        if column[place] == 0.0 {
            continue;
        }
        *entry = column[place] * scale;
        column.iter_mut().zip(direction).for_each(|(v, d)| *v -= *entry * d);
        column[place] = *entry;
    }
    row
}

/// The inverse of a basis, and its members in the order of the places they then have; `None` if it is singular.
///
/// Short columns first: they leave the inverse nearly empty for the later ones.
fn invert(program: &Program, members: &[usize]) -> Option<(Vec<f64>, Vec<usize>)> {
    let rows = program.rows;
    let mut inverse = vec![0.0; rows * rows];
    (0..rows).for_each(|i| inverse[i * rows + i] = 1.0);
    let mut placed = vec![usize::MAX; rows];
    let mut order: Vec<usize> = members.to_vec();
    order.sort_by_key(|&v| (program.entries(v).count(), v));
    for variable in order {
        let direction = direction(&inverse, program, variable);
        let open = (0..rows).filter(|&place| placed[place] == usize::MAX);
        let place = open.max_by(|&a, &b| direction[a].abs().total_cmp(&direction[b].abs()).then(b.cmp(&a)))?;
        if direction[place].abs() < TINY {
            return None;
        }
        eliminate(&mut inverse, rows, place, &direction);
        placed[place] = variable;
    }
    Some((inverse, placed))
}
