//! The fullest board: the parts of greatest worth that one board holds, in whole numbers.
//!
//! Branch and bound over the lengths by falling worth per length. Where that grows long, a table says for each length and each room what the
//! lengths from there on could be worth in it, with lengths rounded down to the grid of the table.

use crate::budget::Budget;
use crate::job::gcd;

/// Nodes after which rooms are tabled.
const ALONE: u64 = 400;
/// Nodes after which a hasty search takes what it has.
const HASTE: u64 = 300;
/// Most rooms that the table tells apart.
const ROOMS: i64 = 4_096;
/// Most places of the table: rooms times lengths.
const PLACES: i64 = 2_000_000;

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

/// How thoroughly a board is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Effort {
    /// Until no filling is worth more.
    Best,
    /// Until a filling above the floor is found after a short search, or there is none.
    Some,
    /// A short search, whatever it finds.
    Glance,
}

/// The filling of greatest worth above `floor`, with at most `demand` parts of each length; `upper` is true whatever the effort.
///
/// Worths below one are never taken. The worth of a full board has to stay inside `i64`; the callers see to that.
/// Without such a filling `worth` is the floor and the counts are zero.
pub(crate) fn fullest_above(
    floor: i64,
    worths: &[i64],
    weights: &[i64],
    demand: &[u32],
    capacity: i64,
    effort: Effort,
    budget: &mut Budget,
) -> Filling {
    let order = by_density(worths, weights, demand, capacity);
    let parts = order.iter().map(|&i| (worths[i], weights[i], i64::from(demand[i])));
    if fractional(parts, capacity) <= floor {
        return Filling { worth: floor, counts: vec![0; worths.len()], upper: floor };
    }
    let mut search = Search::new(floor, &order, worths, weights, demand, capacity);
    let capacity = search.capacity;
    let mut ended = search.go(0, capacity, 0, if effort == Effort::Glance { HASTE } else { ALONE }, budget);
    let enough = |search: &Search| match effort {
        Effort::Best => false,
        Effort::Some => search.best > floor,
        Effort::Glance => true,
    };
    if !(ended || enough(&search) || budget.out()) {
        budget.spend(search.table_rooms(capacity));
    }
    for patience in [if effort == Effort::Some { HASTE } else { u64::MAX }, u64::MAX] {
        if ended || enough(&search) || budget.out() {
            break;
        }
        search.nodes = 0;
        ended = search.go(0, capacity, 0, patience, budget);
    }
    let mut upper = search.best;
    if !ended {
        upper = fractional(search.parts(), capacity);
        upper = upper.min(search.most(0, capacity)).max(search.best);
    }
    let mut counts = vec![0; worths.len()];
    order.iter().zip(&search.best_counts).for_each(|(&i, &n)| counts[i] = n);
    Filling { worth: search.best, counts, upper }
}

/// Greatest worth if a part could be cut short: an upper bound. Worth, weight and number of each length, by falling worth per length.
fn fractional(parts: impl Iterator<Item = (i64, i64, i64)>, capacity: i64) -> i64 {
    let mut room = capacity;
    let mut worth = 0;
    for (own, weight, number) in parts {
        let whole = (room / weight).min(number);
        room -= whole * weight;
        worth += whole * own;
        if whole < number {
            let rest = i128::from(room) * i128::from(own) / i128::from(weight);
            return worth + rest as i64;
        }
    }
    worth
}

fn each(kinds: &[Kind]) -> impl Iterator<Item = (i64, i64, i64)> {
    kinds.iter().map(|kind| (kind.worth, kind.weight, i64::from(kind.demand)))
}

fn by_density(worths: &[i64], weights: &[i64], demand: &[u32], capacity: i64) -> Vec<usize> {
    let mut order: Vec<usize> =
        (0..worths.len()).filter(|&i| worths[i] > 0 && demand[i] > 0 && weights[i] <= capacity).collect();
    let product = |a: usize, b: usize| i128::from(worths[a]) * i128::from(weights[b]);
    order.sort_by(|&a, &b| product(b, a).cmp(&product(a, b)).then(a.cmp(&b)));
    order
}

/// One length; the lengths stand by falling worth per length.
#[derive(Clone, Copy)]
struct Kind {
    worth: i64,
    weight: i64,
    demand: u32,
    /// The shortest length from here on.
    shortest: i64,
}

struct Search {
    /// In the common measure of the lengths, as they are.
    capacity: i64,
    kinds: Vec<Kind>,
    counts: Vec<u32>,
    best: i64,
    best_counts: Vec<u32>,
    nodes: u64,
    /// True if no product of a length and a worth leaves `i64`.
    narrow: bool,
    /// For each length, what the lengths from it on can be worth in each room; empty until it is needed.
    rooms: Vec<i64>,
    /// Rooms that are told apart.
    places: usize,
    /// Rooms are told apart after a shift by so many bits.
    coarse: u32,
}

impl Search {
    fn new(floor: i64, order: &[usize], worths: &[i64], weights: &[i64], demand: &[u32], capacity: i64) -> Search {
        let measure = order.iter().fold(0, |measure, &i| gcd(measure, weights[i])).max(1);
        let capacity = capacity / measure;
        let kind = |&i: &usize| {
            let weight = weights[i] / measure;
            Kind { worth: worths[i], weight, demand: demand[i], shortest: weight }
        };
        let mut kinds: Vec<Kind> = order.iter().map(kind).collect();
        for at in (1..kinds.len()).rev() {
            kinds[at - 1].shortest = kinds[at - 1].shortest.min(kinds[at].shortest);
        }
        let dearest = kinds.iter().map(|kind| kind.worth).max().unwrap_or(0);
        let longest = kinds.iter().map(|kind| kind.weight).max().unwrap_or(0);
        let reach = fractional(each(&kinds), capacity).max(floor);
        let narrow = dearest.checked_mul(capacity).is_some() && reach.checked_mul(longest).is_some();
        Search {
            capacity,
            kinds,
            counts: vec![0; order.len()],
            best: floor,
            best_counts: vec![0; order.len()],
            nodes: 0,
            narrow,
            rooms: Vec::new(),
            places: 0,
            coarse: 0,
        }
    }

    /// Worth, weight and number of each length.
    fn parts(&self) -> impl Iterator<Item = (i64, i64, i64)> {
        each(&self.kinds)
    }

    /// Tries every filling from a length on that may beat the best; false when the nodes or the steps ran out.
    fn go(&mut self, at: usize, room: i64, worth: i64, patience: u64, budget: &mut Budget) -> bool {
        if worth > self.best {
            self.best = worth;
            self.best_counts.copy_from_slice(&self.counts);
        }
        for next in at..self.kinds.len() {
            // What this one cannot gain no later one does.
            if self.hopeless(next, room, worth) {
                return true;
            }
            let Kind { worth: own, weight, demand, .. } = self.kinds[next];
            if weight > room {
                continue;
            }
            self.nodes += 1;
            if self.nodes > patience || !budget.spend(1) {
                return false;
            }
            for n in (1..=(room / weight).min(i64::from(demand))).rev() {
                let (room, worth) = (room - n * weight, worth + n * own);
                if worth <= self.best && self.hopeless(next + 1, room, worth) {
                    continue;
                }
                self.counts[next] = n as u32;
                if !self.go(next + 1, room, worth, patience, budget) {
                    self.counts[next] = 0;
                    return false;
                }
            }
            self.counts[next] = 0;
        }
        true
    }

    /// True when nothing from a length on fits, or when the rest of the room at the best worth per length gains nothing.
    fn hopeless(&self, at: usize, room: i64, worth: i64) -> bool {
        let Some(kind) = self.kinds.get(at) else { return true };
        let missing = self.best - worth;
        if kind.shortest > room || self.most(at, room) <= missing {
            return true;
        }
        if self.narrow {
            return room * kind.worth <= missing * kind.weight;
        }
        i128::from(room) * i128::from(kind.worth) <= i128::from(missing) * i128::from(kind.weight)
    }

    /// What the lengths from a place on can be worth in a room, as far as the table knows.
    fn most(&self, at: usize, room: i64) -> i64 {
        self.rooms.get(at * self.places + (room >> self.coarse) as usize).copied().unwrap_or(i64::MAX)
    }

    /// Tables what each room can hold; returns the steps it took.
    fn table_rooms(&mut self, capacity: i64) -> u64 {
        let lengths = self.kinds.len();
        let most = ROOMS.min(PLACES / (lengths as i64 + 1));
        let mut coarse = 0;
        while capacity >> coarse > most {
            coarse += 1;
        }
        let places = (capacity >> coarse) as usize + 1;
        let mut rooms = vec![0i64; places * (lengths + 1)];
        let mut passes = 0;
        for at in (0..lengths).rev() {
            let (own, later) = rooms[at * places..(at + 2) * places].split_at_mut(places);
            own.copy_from_slice(later);
            let Kind { worth, weight, demand, .. } = self.kinds[at];
            let mut left = (capacity / weight).min(i64::from(demand));
            let mut packet = 1;
            while left > 0 {
                let take = packet.min(left);
                let step = (weight * take) >> coarse;
                add_packet(own, step as usize, worth * take);
                left -= take;
                packet *= 2;
                passes += 1;
            }
        }
        (self.rooms, self.places, self.coarse) = (rooms, places, coarse);
        places as u64 * passes / 8
    }
}

/// Lets a packet of equal parts into a table of rooms, once.
fn add_packet(rooms: &mut [i64], step: usize, worth: i64) {
    for room in (step..rooms.len()).rev() {
        rooms[room] = rooms[room].max(rooms[room - step] + worth);
    }
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
            let got = fullest_above(0, &worths, &weights, &demand, room, Effort::Best, &mut budget);
            assert_eq!((got.worth, got.upper), (want, want));
            let sum: i64 = got.counts.iter().zip(&worths).map(|(&n, w)| i64::from(n) * w).sum();
            assert_eq!(sum, want);

            let order = by_density(&worths, &weights, &demand, room);
            let mut table = Search::new(0, &order, &worths, &weights, &demand, room);
            assert!(fractional(table.parts(), table.capacity) >= want);
            table.table_rooms(table.capacity);
            assert_eq!(table.most(0, table.capacity), want);
        }
    }
}
