//! The fullest board: the parts of greatest worth that one board holds, in whole numbers.
//!
//! Branch and bound over the lengths by falling worth per length; where that grows long and the lengths have a coarse common measure, a table over the length of the board.

use crate::budget::Budget;
use crate::job::gcd;

/// Largest table (lengths times places on the board) that is filled.
const TABLE: i64 = 4_000_000;
/// Nodes after which the table is tried.
const PATIENCE: u64 = 20_000;

/// What a board can hold.
#[derive(Debug, Clone)]
pub(crate) struct Filling {
    /// Worth of `counts`.
    pub worth: i64,
    /// Parts of each length.
    pub counts: Vec<u32>,
    /// No filling is worth more; equal to `worth` unless the steps ran out.
    pub upper: i64,
}

/// The filling of greatest worth above `floor`, with at most `demand` parts of each length.
///
/// Worths below one are never taken. The worth of a full board has to stay inside `i64`; the callers see to that.
/// Without such a filling `worth` is the floor and the counts are zero.
pub(crate) fn fullest_above(
    floor: i64,
    worths: &[i64],
    weights: &[i64],
    demand: &[u32],
    capacity: i64,
    budget: &mut Budget,
) -> Filling {
    let order = by_density(worths, weights, demand, capacity);
    let mut search = Search {
        worths: order.iter().map(|&i| worths[i]).collect(),
        weights: order.iter().map(|&i| weights[i]).collect(),
        demand: order.iter().map(|&i| demand[i]).collect(),
        counts: vec![0; order.len()],
        best: floor,
        best_counts: vec![0; order.len()],
        nodes: 0,
    };
    let table = TableSize::of(&search.worths, &search.weights, capacity);
    let patience = if table.is_some() { PATIENCE } else { u64::MAX };
    let ended = search.go(0, capacity, 0, patience, budget);
    let mut upper = search.best;
    if !ended {
        upper = search.fractional(capacity).max(search.best);
        if let (Some(size), false) = (table, budget.out()) {
            budget.spend((size.places * search.weights.len() as i64 / 4) as u64);
            search.fill_table(size);
            upper = search.best;
        }
    }
    let mut counts = vec![0; worths.len()];
    order.iter().zip(&search.best_counts).for_each(|(&i, &n)| counts[i] = n);
    Filling { worth: search.best, counts, upper }
}

fn by_density(worths: &[i64], weights: &[i64], demand: &[u32], capacity: i64) -> Vec<usize> {
    let mut order: Vec<usize> =
        (0..worths.len()).filter(|&i| worths[i] > 0 && demand[i] > 0 && weights[i] <= capacity).collect();
    let product = |a: usize, b: usize| i128::from(worths[a]) * i128::from(weights[b]);
    order.sort_by(|&a, &b| product(b, a).cmp(&product(a, b)).then(a.cmp(&b)));
    order
}

#[derive(Clone, Copy)]
struct TableSize {
    measure: i64,
    places: i64,
}

impl TableSize {
    /// `None` if the table would be too large, or a product in it would leave `i64`.
    fn of(worths: &[i64], weights: &[i64], capacity: i64) -> Option<TableSize> {
        let measure = weights.iter().fold(0, |g, &w| gcd(g, w));
        if measure == 0 {
            return None;
        }
        let places = capacity / measure + 1;
        let worth = worths.iter().max().copied().unwrap_or(0);
        worth.checked_mul(places)?.checked_mul(2)?;
        (places.saturating_mul(weights.len() as i64) <= TABLE).then_some(TableSize { measure, places })
    }
}

struct Search {
    worths: Vec<i64>,
    weights: Vec<i64>,
    demand: Vec<u32>,
    counts: Vec<u32>,
    best: i64,
    best_counts: Vec<u32>,
    nodes: u64,
}

impl Search {
    /// False when the nodes or the steps ran out.
    fn go(&mut self, at: usize, room: i64, worth: i64, patience: u64, budget: &mut Budget) -> bool {
        if worth > self.best {
            self.best = worth;
            self.best_counts.copy_from_slice(&self.counts);
        }
        if at == self.weights.len() || self.hopeless(at, room, worth) {
            return true;
        }
        self.nodes += 1;
        if self.nodes > patience || !budget.spend(1) {
            return false;
        }
        let most = (room / self.weights[at]).min(i64::from(self.demand[at]));
        for n in (0..=most).rev() {
            self.counts[at] = n as u32;
            let (room, worth) = (room - n * self.weights[at], worth + n * self.worths[at]);
            if n < most && (at + 1 == self.weights.len() || self.hopeless(at + 1, room, worth)) && worth <= self.best {
                break;
            }
            if !self.go(at + 1, room, worth, patience, budget) {
                self.counts[at] = 0;
                return false;
            }
        }
        self.counts[at] = 0;
        true
    }

    /// True when the rest of the room at the best worth per length gains nothing.
    fn hopeless(&self, at: usize, room: i64, worth: i64) -> bool {
        i128::from(room) * i128::from(self.worths[at]) <= i128::from(self.best - worth) * i128::from(self.weights[at])
    }

    /// Greatest worth if a part could be cut short: an upper bound.
    fn fractional(&self, capacity: i64) -> i64 {
        let mut room = capacity;
        let mut worth = 0;
        for at in 0..self.weights.len() {
            let whole = (room / self.weights[at]).min(i64::from(self.demand[at]));
            room -= whole * self.weights[at];
            worth += whole * self.worths[at];
            if whole < i64::from(self.demand[at]) {
                let rest = i128::from(room) * i128::from(self.worths[at]) / i128::from(self.weights[at]);
                return worth + rest as i64;
            }
        }
        worth
    }

    /// Exact by a table over the places on the board.
    fn fill_table(&mut self, size: TableSize) {
        let places = size.places as usize;
        let mut best = vec![0i64; places];
        let mut taken: Vec<Vec<u32>> = Vec::with_capacity(self.weights.len());
        for at in 0..self.weights.len() {
            let step = (self.weights[at] / size.measure) as usize;
            taken.push(add_length(&mut best, step, self.worths[at], self.demand[at]));
        }
        let mut place = places - 1;
        if best[place] <= self.best {
            return;
        }
        self.best = best[place];
        for at in (0..self.weights.len()).rev() {
            let n = taken[at][place];
            self.best_counts[at] = n;
            place -= n as usize * (self.weights[at] / size.measure) as usize;
        }
    }
}

/// Lets up to `demand` parts of one length into the table; returns how many each place takes.
///
/// A sliding maximum along each class of places, so that the demand does not multiply the work.
fn add_length(best: &mut [i64], step: usize, worth: i64, demand: u32) -> Vec<u32> {
    let mut taken = vec![0u32; best.len()];
    for first in 0..step.min(best.len()) {
        let mut window: std::collections::VecDeque<(i64, i64)> = Default::default();
        for (turn, place) in (first..best.len()).step_by(step).enumerate() {
            let turn = turn as i64;
            let level = best[place] - turn * worth;
            while window.back().is_some_and(|&(_, l)| l < level) {
                window.pop_back();
            }
            window.push_back((turn, level));
            while window.front().is_some_and(|&(t, _)| turn - t > i64::from(demand)) {
                window.pop_front();
            }
            if let Some(&(from, level)) = window.front() {
                best[place] = level + turn * worth;
                taken[place] = (turn - from) as u32;
            }
        }
    }
    taken
}
