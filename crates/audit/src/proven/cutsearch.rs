//! The referee's own search for a cheaper cutting plan: one board after the other, each with the longest part that is left.
//!
//! It is exhaustive: every plan can be sorted so that each board in turn holds the longest part that is left, and filled so
//! that no part that is left would still fit; both change no cost. What has been left before for as little is not looked at
//! again.

use crate::claims::Certificate;
use std::collections::BTreeMap;

/// What is to be cut from what.
pub(super) struct Job {
    /// Distinct lengths, longest first.
    pub lengths: Vec<i64>,
    pub demand: Vec<i128>,
    /// In the yard's order.
    pub stocks: Vec<Stock>,
    pub kerf: i64,
    pub trim: i64,
}

pub(super) struct Stock {
    pub length: i64,
    pub cost: i128,
    pub supply: Option<i128>,
}

impl Job {
    /// A part and one kerf: so many fit as their weights fill the capacity.
    pub fn weight(&self, at: usize) -> i128 {
        i128::from(self.lengths[at]) + i128::from(self.kerf)
    }

    /// The stock without its trim, and one kerf, since the last part needs none.
    pub fn capacity(&self, stock: &Stock) -> i128 {
        i128::from(stock.length) - i128::from(self.trim) + i128::from(self.kerf)
    }

    /// The stocks that are there and hold a part.
    pub fn usable(&self) -> impl Iterator<Item = &Stock> {
        let shortest = self.lengths.last().copied().unwrap_or(0);
        self.stocks.iter().filter(move |stock| stock.supply != Some(0) && stock.length - self.trim >= shortest)
    }
}

impl Job {
    /// The usable stocks without those that another, of which there is no end, does as well for no more money.
    fn worth_taking(&self) -> Vec<&Stock> {
        let all: Vec<&Stock> = self.usable().collect();
        let better = |at: usize, other: usize| {
            let (own, of) = (all[at], all[other]);
            let same = (own.length, own.cost) == (of.length, of.cost) && own.supply.is_none();
            of.supply.is_none() && of.length >= own.length && of.cost <= own.cost && (!same || other < at)
        };
        let kept = (0..all.len()).filter(|&at| (0..all.len()).all(|other| other == at || !better(at, other)));
        kept.map(|at| all[at]).collect()
    }
}

/// The least cost of a plan, or with a certificate and a cost the least below that: `Some(None)` if there is no plan (or none
/// below), `None` if the steps ran out.
pub(super) fn search(job: &Job, below: Option<(i128, &Certificate)>, steps: &mut u64) -> Option<Option<i128>> {
    let stocks = job.worth_taking();
    let mut search = Search {
        job,
        cover: Cover::of(job, &stocks),
        stocks,
        certificate: below.map(|below| below.1),
        best: below.map(|below| below.0),
        found: false,
        seen: BTreeMap::new(),
        steps: *steps,
        boards: 0,
    };
    if job.lengths.iter().any(|&length| length <= 0) {
        return None;
    }
    let supply = search.stocks.iter().map(|stock| stock.supply.unwrap_or(i128::MAX)).collect();
    let ended = search.go(&mut job.demand.clone(), supply, 0);
    *steps = search.steps;
    ended?;
    Some(search.best.filter(|_| search.found))
}

/// What no plan costs less than, from the length of the parts alone.
pub(super) fn least_by_length(job: &Job, left: &[i128]) -> i128 {
    let length: i128 = left.iter().enumerate().map(|(at, count)| count * job.weight(at)).sum();
    let shares = job.usable().map(|stock| super::super::fitting::up(length * stock.cost, job.capacity(stock).max(1)));
    shares.min().unwrap_or(0)
}

/// How much of whole boards each sum of money buys at most.
struct Cover {
    /// The common measure of all costs.
    unit: i128,
    /// For each number of units, the greatest capacity of boards that cost no more together.
    most: Vec<i128>,
}

/// The largest such table.
const MOST_SUMS: i128 = 50_000;

impl Cover {
    fn of(job: &Job, stocks: &[&Stock]) -> Cover {
        let unit = stocks.iter().fold(0, |unit, stock| super::duals::gcd(unit, stock.cost)).max(1);
        let dearest = stocks.iter().map(|stock| stock.cost).max().unwrap_or(0);
        let top = ((least_by_length(job, &job.demand) + 4 * dearest) / unit).min(MOST_SUMS);
        if stocks.iter().any(|stock| stock.cost <= 0) {
            return Cover { unit, most: Vec::new() };
        }
        let mut most = vec![0_i128; top as usize + 1];
        for sum in 1..most.len() {
            let with = |stock: &&&Stock| {
                let before = (sum as i128).checked_sub(stock.cost / unit).filter(|before| *before >= 0)?;
                Some(most[before as usize] + job.capacity(stock))
            };
            most[sum] = stocks.iter().filter_map(|stock| with(&stock)).max().unwrap_or(0).max(most[sum - 1]);
        }
        Cover { unit, most }
    }

    /// The least money that buys boards of this capacity, as far as the table goes.
    fn least(&self, capacity: i128) -> i128 {
        self.most.partition_point(|most| *most < capacity) as i128 * self.unit
    }
}

struct Search<'j> {
    job: &'j Job,
    cover: Cover,
    stocks: Vec<&'j Stock>,
    certificate: Option<&'j Certificate>,
    /// The cost that has to be beaten.
    best: Option<i128>,
    found: bool,
    seen: BTreeMap<(Vec<i128>, Vec<i128>), i128>,
    steps: u64,
    boards: u64,
}

/// How deep the search may call itself: once for each board and each distinct length on it.
const DEEPEST: u64 = 2_000;

impl Search<'_> {
    fn go(&mut self, left: &mut Vec<i128>, supply: Vec<i128>, spent: i128) -> Option<()> {
        let Some(longest) = left.iter().position(|&count| count > 0) else {
            if self.best.is_none_or(|best| spent < best) {
                (self.best, self.found) = (Some(spent), true);
            }
            return Some(());
        };
        if self.best.is_some_and(|best| spent + self.at_least(left) >= best) {
            return Some(());
        }
        let limited = self.stocks.iter().any(|stock| stock.supply.is_some());
        let key = (left.clone(), if limited { supply.clone() } else { Vec::new() });
        if self.seen.get(&key).is_some_and(|&before| before <= spent) {
            return Some(());
        }
        self.seen.insert(key, spent);
        self.boards += 1;
        if self.boards * (left.len() as u64 + 2) > DEEPEST {
            return None;
        }
        for (at, stock) in self.stocks.clone().into_iter().enumerate() {
            let room = self.job.capacity(stock) - self.job.weight(longest);
            if supply[at] == 0 || room < 0 {
                continue;
            }
            let mut rest = supply.clone();
            rest[at] = rest[at].saturating_sub(1);
            left[longest] -= 1;
            let done = self.fill(left, longest, room, &rest, spent + stock.cost);
            left[longest] += 1;
            done?;
        }
        self.boards -= 1;
        Some(())
    }

    /// Fills the room of a board with parts from `at` on in every way that leaves no room for another.
    fn fill(&mut self, left: &mut Vec<i128>, at: usize, room: i128, supply: &[i128], spent: i128) -> Option<()> {
        self.steps = self.steps.checked_sub(1)?;
        let fits = |at: usize| left[at] > 0 && self.job.weight(at) <= room;
        let Some(next) = (at..left.len()).find(|&at| fits(at)) else {
            // Nothing shorter fits; what is longer and was left out before must not fit either.
            let full = (0..at).all(|before| !fits(before));
            return if full { self.go(left, supply.to_vec(), spent) } else { Some(()) };
        };
        let weight = self.job.weight(next);
        let most = left[next].min(room / weight);
        for count in (0..=most).rev() {
            left[next] -= count;
            let done = self.fill(left, next + 1, room - count * weight, supply, spent);
            left[next] += count;
            done?;
        }
        Some(())
    }

    /// What the parts that are left cost at least.
    fn at_least(&self, left: &[i128]) -> i128 {
        let weight: i128 = left.iter().enumerate().map(|(at, count)| count * self.job.weight(at)).sum();
        let by_length = least_by_length(self.job, left).max(self.cover.least(weight));
        let Some(certificate) = self.certificate else { return by_length };
        let parts: i128 = left.iter().zip(&certificate.duals).map(|(count, &dual)| count * i128::from(dual)).sum();
        let supply = self.job.stocks.iter().zip(&certificate.supply_duals);
        let boards: i128 = supply.map(|(stock, &dual)| stock.supply.unwrap_or(0) * i128::from(dual)).sum();
        by_length.max(super::super::fitting::up(parts - boards, i128::from(certificate.scale.max(1))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job(lengths: &[i64], demand: &[i128], stocks: &[(i64, i128, Option<i128>)]) -> Job {
        let stock = |&(length, cost, supply): &(i64, i128, Option<i128>)| Stock { length, cost, supply };
        let stocks = stocks.iter().map(stock).collect();
        Job { lengths: lengths.into(), demand: demand.into(), stocks, kerf: 3, trim: 10 }
    }

    /// A trough of our own: six boards of 1510 and six of 480 from larch in three lengths, worked by hand: 59.22.
    #[test]
    fn boards_of_a_trough() {
        let larch = [(2400, 1128, None), (3000, 1410, None), (3600, 1692, None)];
        assert_eq!(search(&job(&[1510, 480], &[6, 6], &larch), None, &mut 10_000), Some(Some(5922)));
        // With a single long board that one saves nothing: six short ones, each with one of both, are cheapest.
        let short = [(2400, 1128, None), (3600, 1692, Some(1))];
        assert_eq!(search(&job(&[1510, 480], &[6, 6], &short), None, &mut 10_000), Some(Some(6 * 1128)));
        assert_eq!(search(&job(&[1510], &[3], &[(2400, 1128, Some(2))]), None, &mut 10_000), Some(None));
    }
}
