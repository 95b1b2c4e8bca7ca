//! The fullest board: the parts of greatest worth that one board holds, in whole numbers.
//!
//! Branch and bound over the lengths by falling worth per length. Where that grows long, a table says for each room what any parts could be
//! worth in it, as often as one likes and with lengths rounded down; where even that does not help and the lengths have a coarse common
//! measure, a table over the length of the board settles it.

use crate::budget::Budget;
use crate::job::gcd;

/// Largest table (lengths times places on the board) that is filled.
const TABLE: i64 = 4_000_000;
/// Nodes after which rooms are tabled.
const ALONE: u64 = 400;
/// Nodes after which the table of the whole board is tried.
const PATIENCE: u64 = 20_000;
/// Nodes after which a hasty search takes what it has.
const HASTE: u64 = 2_000;
/// Most rooms that are told apart by the table of rooms.
const ROOMS: i64 = 4_096;

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
/// With `hasty` the first filling above the floor that a short search finds is good enough; `upper` stays true.
/// Worths below one are never taken. The worth of a full board has to stay inside `i64`; the callers see to that.
/// Without such a filling `worth` is the floor and the counts are zero.
pub(crate) fn fullest_above(
    floor: i64,
    worths: &[i64],
    weights: &[i64],
    demand: &[u32],
    capacity: i64,
    hasty: bool,
    budget: &mut Budget,
) -> Filling {
    let order = by_density(worths, weights, demand, capacity);
    let mut search = Search::new(floor, &order, worths, weights, demand, capacity);
    let table = TableSize::of(&search.worths, &search.weights, capacity);
    let whole = if table.is_some() { PATIENCE } else { u64::MAX };
    let enough = |search: &Search| hasty && search.best > floor;
    let mut ended = search.go(0, capacity, 0, ALONE, budget);
    if !(ended || enough(&search) || budget.out()) {
        budget.spend(search.table_rooms(capacity));
    }
    for patience in [if hasty { HASTE } else { whole }, whole] {
        if ended || enough(&search) || budget.out() {
            break;
        }
        search.nodes = 0;
        ended = search.go(0, capacity, 0, patience, budget);
    }
    let mut upper = search.best;
    if !ended {
        upper = fractional(&search.worths, &search.weights, &|at| search.demand[at], capacity).max(search.best);
        if let (Some(size), false) = (table, enough(&search) || budget.out()) {
            budget.spend((size.places * search.weights.len() as i64 / 4) as u64);
            search.fill_table(size);
            upper = search.best;
        }
    }
    let mut counts = vec![0; worths.len()];
    order.iter().zip(&search.best_counts).for_each(|(&i, &n)| counts[i] = n);
    Filling { worth: search.best, counts, upper }
}

/// Greatest worth if a part could be cut short: an upper bound. The lengths stand by falling worth per length.
fn fractional(worths: &[i64], weights: &[i64], demand: &dyn Fn(usize) -> u32, capacity: i64) -> i64 {
    let mut room = capacity;
    let mut worth = 0;
    for at in 0..weights.len() {
        let whole = (room / weights[at]).min(i64::from(demand(at)));
        room -= whole * weights[at];
        worth += whole * worths[at];
        if whole < i64::from(demand(at)) {
            let rest = i128::from(room) * i128::from(worths[at]) / i128::from(weights[at]);
            return worth + rest as i64;
        }
    }
    worth
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
    /// The shortest length from each place on.
    shortest: Vec<i64>,
    /// True if no product of a length and a worth leaves `i64`.
    narrow: bool,
    /// No parts in a room are worth more than this; empty until it is needed.
    rooms: Vec<i64>,
    /// Rooms are told apart after a shift by so many bits.
    coarse: u32,
}

impl Search {
    fn new(floor: i64, order: &[usize], worths: &[i64], weights: &[i64], demand: &[u32], capacity: i64) -> Search {
        let worths: Vec<i64> = order.iter().map(|&i| worths[i]).collect();
        let weights: Vec<i64> = order.iter().map(|&i| weights[i]).collect();
        let mut shortest = weights.clone();
        (1..shortest.len()).rev().for_each(|at| shortest[at - 1] = shortest[at - 1].min(shortest[at]));
        let dearest = worths.iter().copied().max().unwrap_or(0);
        let reach = fractional(&worths, &weights, &|at| demand[order[at]], capacity).max(floor);
        let narrow = (dearest.checked_mul(capacity).is_some())
            && (reach.checked_mul(weights.iter().copied().max().unwrap_or(0)).is_some());
        Search {
            demand: order.iter().map(|&i| demand[i]).collect(),
            counts: vec![0; order.len()],
            best: floor,
            best_counts: vec![0; order.len()],
            nodes: 0,
            worths,
            weights,
            shortest,
            narrow,
            rooms: Vec::new(),
            coarse: 0,
        }
    }

    /// Tries every filling from a length on that may beat the best; false when the nodes or the steps ran out.
    fn go(&mut self, at: usize, room: i64, worth: i64, patience: u64, budget: &mut Budget) -> bool {
        if worth > self.best {
            self.best = worth;
            self.best_counts.copy_from_slice(&self.counts);
        }
        for next in at..self.weights.len() {
            // The lengths stand by falling worth per length: what this one cannot gain no later one does.
            if self.shortest[next] > room || self.hopeless(next, room, worth) {
                return true;
            }
            let weight = self.weights[next];
            if weight > room {
                continue;
            }
            self.nodes += 1;
            if self.nodes > patience || !budget.spend(1) {
                return false;
            }
            for n in (1..=(room / weight).min(i64::from(self.demand[next]))).rev() {
                self.counts[next] = n as u32;
                let ended = self.go(next + 1, room - n * weight, worth + n * self.worths[next], patience, budget);
                if !ended {
                    self.counts[next] = 0;
                    return false;
                }
            }
            self.counts[next] = 0;
        }
        true
    }

    /// True when the rest of the room at the best worth per length gains nothing.
    fn hopeless(&self, at: usize, room: i64, worth: i64) -> bool {
        let missing = self.best - worth;
        if self.rooms.get((room >> self.coarse) as usize).is_some_and(|&most| most <= missing) {
            return true;
        }
        if self.narrow {
            return room * self.worths[at] <= missing * self.weights[at];
        }
        i128::from(room) * i128::from(self.worths[at]) <= i128::from(missing) * i128::from(self.weights[at])
    }

    /// Tables what each room can hold; returns the steps it took.
    fn table_rooms(&mut self, capacity: i64) -> u64 {
        let mut coarse = 0;
        while capacity >> coarse > ROOMS {
            coarse += 1;
        }
        if self.shortest.first().is_none_or(|&shortest| shortest >> coarse == 0) {
            return 0;
        }
        let mut rooms = vec![0i64; (capacity >> coarse) as usize + 1];
        for (&weight, &worth) in self.weights.iter().zip(&self.worths) {
            let step = (weight >> coarse) as usize;
            for room in step..rooms.len() {
                rooms[room] = rooms[room].max(rooms[room - step] + worth);
            }
        }
        (self.rooms, self.coarse) = (rooms, coarse);
        self.rooms.len() as u64 * self.weights.len() as u64 / 8
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

#[cfg(test)]
mod tests {
    use super::*;

    fn brute(worths: &[i64], weights: &[i64], demand: &[u32], room: i64) -> i64 {
        let Some((&worth, rest)) = worths.split_first() else { return 0 };
        (0..=demand[0])
            .take_while(|&n| i64::from(n) * weights[0] <= room)
            .map(|n| i64::from(n) * worth + brute(rest, &weights[1..], &demand[1..], room - i64::from(n) * weights[0]))
            .max()
            .unwrap_or(0)
    }

    /// Source: brute force over all fillings, own generator of small cases.
    #[test]
    fn both_ways_equal_brute_force() {
        let mut seed = 7u64;
        let mut next = |n: u64| {
            seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (seed >> 33) % n
        };
        for _ in 0..500 {
            let m = 1 + next(5) as usize;
            let worths: Vec<i64> = (0..m).map(|_| next(40) as i64).collect();
            let weights: Vec<i64> = (0..m).map(|_| 1 + next(30) as i64).collect();
            let demand: Vec<u32> = (0..m).map(|_| next(5) as u32).collect();
            let room = next(100) as i64;
            let want = brute(&worths, &weights, &demand, room);
            let never = || false;
            let mut budget = Budget::new(u64::MAX, &never);
            let got = fullest_above(0, &worths, &weights, &demand, room, false, &mut budget);
            assert_eq!((got.worth, got.upper), (want, want));
            let sum: i64 = got.counts.iter().zip(&worths).map(|(&n, w)| i64::from(n) * w).sum();
            assert_eq!(sum, want);

            let mut order: Vec<usize> = (0..m).collect();
            order.sort_by_key(|&i| std::cmp::Reverse(worths[i] * 1_000_000 / weights[i]));
            let mut table = Search::new(0, &order, &worths, &weights, &demand, room);
            assert!(fractional(&table.worths, &table.weights, &|at| table.demand[at], room) >= want);
            table.fill_table(TableSize { measure: 1, places: room + 1 });
            assert_eq!(table.best, want);
            let sum: i64 = table.best_counts.iter().zip(&table.worths).map(|(&n, w)| i64::from(n) * w).sum();
            assert_eq!(sum, want);
            let length: i64 = table.best_counts.iter().zip(&table.weights).map(|(&n, w)| i64::from(n) * w).sum();
            assert!(length <= room);
        }
    }
}
