//! Whether cheaper boards than a bound keep every rule of a certificate.
//!
//! A rule pays each part at a price and says what a board of each stock holds at most. Boards that hold all parts hold, by
//! every rule, at least what all parts are worth. The numbers of boards are tried stock by stock; a branch ends where the
//! money that is left, spent on what holds most for it, is too little for one of the rules.

use super::cutsearch::{Job, Stock};
use crate::claims::BoardRule;

/// The least cost below `bound` of boards that keep all rules: `Some(None)` if there are none, `None` if the steps ran out.
pub(super) fn cheaper_boards(job: &Job, rules: &[BoardRule], bound: i128, steps: &mut u64) -> Option<Option<i128>> {
    let usable = |stock: &&Stock| stock.supply != Some(0) && job.usable().any(|one| std::ptr::eq(one, *stock));
    let mut places: Vec<usize> = (0..job.stocks.len()).filter(|&at| usable(&&job.stocks[at])).collect();
    // What is short first, and of the others the dear ones.
    places.sort_by_key(|&at| (job.stocks[at].supply.is_none(), -job.stocks[at].cost));
    let worth = |rule: &BoardRule| -> i128 {
        rule.duals.iter().zip(&job.demand).map(|(&dual, count)| i128::from(dual) * count).sum()
    };
    let missing: Vec<i128> = rules.iter().map(worth).collect();
    let mut till = Till { job, rules, places, best: bound, found: false, steps };
    till.buy(0, 0, &missing)?;
    Some(till.found.then_some(till.best))
}

struct Till<'t> {
    job: &'t Job,
    rules: &'t [BoardRule],
    places: Vec<usize>,
    /// Boards have to cost less than this.
    best: i128,
    found: bool,
    steps: &'t mut u64,
}

impl Till<'_> {
    fn buy(&mut self, at: usize, spent: i128, missing: &[i128]) -> Option<()> {
        *self.steps = self.steps.checked_sub(1)?;
        if spent >= self.best {
            return Some(());
        }
        if missing.iter().all(|&worth| worth <= 0) {
            (self.best, self.found) = (spent, true);
            return Some(());
        }
        let Some(&place) = self.places.get(at) else { return Some(()) };
        let money = self.best - 1 - spent;
        if missing.iter().enumerate().any(|(rule, &worth)| !self.buys(at, rule, money, worth)) {
            return Some(());
        }
        let stock = &self.job.stocks[place];
        let (mut left, mut cost) = (missing.to_vec(), spent);
        let most = stock.supply.unwrap_or(i128::MAX);
        let mut number = 0;
        loop {
            self.buy(at + 1, cost, &left)?;
            // One more is of use while something is missing that it helps with.
            let helps = left.iter().zip(self.rules).any(|(&worth, rule)| worth > 0 && rule.held[place] > 0);
            if number == most || !helps || cost + stock.cost >= self.best {
                return Some(());
            }
            number += 1;
            cost += stock.cost;
            left.iter_mut().zip(self.rules).for_each(|(worth, rule)| *worth -= i128::from(rule.held[place]));
        }
    }

    /// Whether money can buy a worth by one rule, if boards from a place on could be cut to any size and were never short.
    fn buys(&self, at: usize, rule: usize, money: i128, worth: i128) -> bool {
        worth <= 0
            || self.places[at..].iter().any(|&place| {
                let held = i128::from(self.rules[rule].held[place]);
                // `money / cost * held >= worth`, in whole numbers.
                money.saturating_mul(held) >= worth.saturating_mul(self.job.stocks[place].cost) && held > 0
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job(stocks: &[(i64, i128, Option<i128>)], lengths: &[i64], demand: &[i128]) -> Job {
        let stock = |&(length, cost, supply): &(i64, i128, Option<i128>)| Stock { length, cost, supply };
        Job {
            lengths: lengths.into(),
            demand: demand.into(),
            stocks: stocks.iter().map(stock).collect(),
            kerf: 0,
            trim: 0,
        }
    }

    /// By hand: 38 of length from boards of 10 at 100 and of 7 at 75. One long board and four short ones hold 38 for 400; three
    /// and one, at 375, hold 37. Without long ones it takes six short ones.
    #[test]
    fn boards_that_are_long_enough() {
        let rules = [BoardRule { duals: vec![2], held: vec![10, 7] }];
        let job = |supply| job(&[(10, 100, supply), (7, 75, None)], &[2], &[19]);
        assert_eq!(cheaper_boards(&job(None), &rules, 401, &mut 1000), Some(Some(400)));
        assert_eq!(cheaper_boards(&job(None), &rules, 400, &mut 1000), Some(None));
        assert_eq!(cheaper_boards(&job(Some(0)), &rules, 1000, &mut 1000), Some(Some(450)));
        assert_eq!(cheaper_boards(&job(None), &rules, 401, &mut 2), None);
    }

    /// The search against every number of boards, by a generator of our own.
    #[test]
    fn as_trying_all_numbers() {
        let mut state = 9_u64;
        let mut next = |below: i64| {
            state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (state >> 33) as i64 % below
        };
        let mut found = 0;
        for _ in 0..300 {
            // Below sixty there are never more than twenty of one.
            let mut stock = || (10, i128::from(3 + next(7)), (next(3) > 0).then(|| i128::from(next(6))));
            let stocks = [stock(), stock(), stock()];
            let job = job(&stocks, &[5, 3], &[1 + i128::from(next(9)), 1 + i128::from(next(9))]);
            let mut rule = || BoardRule { duals: vec![next(5), next(5)], held: vec![next(9), next(9), next(9)] };
            let rules = [rule(), rule()];
            let mut least: Option<i128> = None;
            for numbers in (0..20 * 20 * 20).map(|code: i128| [code % 20, code / 20 % 20, code / 400]) {
                let keeps = |rule: &BoardRule| {
                    let held: i128 =
                        rule.held.iter().zip(&numbers).map(|(&held, number)| i128::from(held) * number).sum();
                    held >= rule.duals.iter().zip(&job.demand).map(|(&dual, count)| i128::from(dual) * count).sum()
                };
                let there = job
                    .stocks
                    .iter()
                    .zip(&numbers)
                    .all(|(stock, number)| stock.supply.is_none_or(|most| *number <= most));
                let cost: i128 = job.stocks.iter().zip(&numbers).map(|(stock, number)| stock.cost * number).sum();
                if there && cost < 60 && rules.iter().all(keeps) && least.is_none_or(|least| cost < least) {
                    least = Some(cost);
                }
            }
            found += usize::from(least.is_some());
            let by_search = cheaper_boards(&job, &rules, 60, &mut 1_000_000);
            assert_eq!(by_search, Some(least), "{stocks:?}");
        }
        assert!(found > 100, "{found}");
    }
}
