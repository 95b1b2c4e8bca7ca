//! The ways to cut one board: every pattern, or only those that are full and dear enough to matter.

use crate::bound::Prices;
use crate::budget::Budget;
use crate::job::{Counts, Cut, Shop};

/// What a pattern must satisfy to be listed.
pub(crate) struct Wanted<'a> {
    /// Price of a part of each length.
    pub prices: &'a [i64],
    /// The pattern must be worth at least this.
    pub worth: i64,
    /// True: no further part may fit.
    pub full: bool,
    /// True: the pattern keeps the reserve, and is full if no further part fits with the reserve kept.
    pub comfortable: bool,
}

/// Every pattern that is not empty, on every board that holds it; `None` when there are more than `most`.
pub(crate) fn all(shop: &Shop, most: usize, budget: &mut Budget) -> Option<Vec<Cut>> {
    let prices = vec![0; shop.lengths.len()];
    let mut cuts = Vec::new();
    for board in 0..shop.boards.len() {
        let wanted = Wanted { prices: &prices, worth: 0, full: false, comfortable: false };
        list(shop, board, &wanted, most, &mut cuts, budget)?;
    }
    Some(cuts)
}

/// The full patterns that may stand in a plan which costs at most `gap` scaled units more than the prices say.
///
/// In a plan of cost C, the sum over its boards of (cost + supply price - worth) is at most C less the value of the prices; so each single one is.
/// With `also_comfortable` the patterns that are full with the reserve kept are listed too.
pub(crate) fn within_gap(
    shop: &Shop,
    prices: &Prices,
    gap: i128,
    also_comfortable: bool,
    most: usize,
    budget: &mut Budget,
) -> Option<Vec<Cut>> {
    let mut cuts = Vec::new();
    for board in 0..shop.boards.len() {
        let allowed = i128::from(shop.boards[board].cost) * i128::from(prices.scale) + i128::from(prices.supply[board]);
        let worth = (allowed - gap).clamp(0, i128::from(i64::MAX)) as i64;
        for comfortable in [false, true] {
            if comfortable && !also_comfortable {
                continue;
            }
            let wanted = Wanted { prices: &prices.parts, worth, full: true, comfortable };
            list(shop, board, &wanted, most, &mut cuts, budget)?;
        }
    }
    cuts.sort_unstable_by(|a, b| (a.board, &b.counts).cmp(&(b.board, &a.counts)));
    cuts.dedup();
    Some(cuts)
}

/// Adds the wanted patterns of one board; `None` when the list grows past `most` or the steps run out.
fn list(
    shop: &Shop,
    board: usize,
    wanted: &Wanted,
    most: usize,
    cuts: &mut Vec<Cut>,
    budget: &mut Budget,
) -> Option<()> {
    let extra = if wanted.comfortable { shop.reserve.per_cut } else { 0 };
    let less = if wanted.comfortable { shop.reserve.per_board } else { 0 };
    let weights: Vec<i64> = shop.weights.iter().map(|w| w + extra).collect();
    let densest = densest_after(&weights, wanted.prices);
    let counts = vec![0; weights.len()];
    let mut lister = Lister { shop, board, wanted, weights, densest, most, counts, cuts, budget };
    lister.go(0, shop.boards[board].capacity + extra - less, 0)
}

/// For each place the length of the greatest price per length from there on.
fn densest_after(weights: &[i64], prices: &[i64]) -> Vec<usize> {
    let mut densest: Vec<usize> = (0..weights.len()).collect();
    for i in (0..weights.len().saturating_sub(1)).rev() {
        let next = densest[i + 1];
        let better =
            i128::from(prices[next]) * i128::from(weights[i]) > i128::from(prices[i]) * i128::from(weights[next]);
        if better {
            densest[i] = next;
        }
    }
    densest
}

struct Lister<'a, 'b> {
    shop: &'a Shop,
    board: usize,
    wanted: &'a Wanted<'a>,
    weights: Vec<i64>,
    densest: Vec<usize>,
    most: usize,
    counts: Counts,
    cuts: &'a mut Vec<Cut>,
    budget: &'a mut Budget<'b>,
}

impl Lister<'_, '_> {
    fn go(&mut self, at: usize, room: i64, worth: i64) -> Option<()> {
        if !self.budget.spend(1) {
            return None;
        }
        if at == self.weights.len() {
            return self.keep(room, worth);
        }
        if worth < self.wanted.worth {
            let best = self.densest[at];
            let reach = i128::from(room.max(0)) * i128::from(self.wanted.prices[best]);
            if reach < i128::from(self.wanted.worth - worth) * i128::from(self.weights[best]) {
                return Some(());
            }
        }
        let most = (room / self.weights[at]).clamp(0, i64::from(self.shop.demand[at]));
        for n in (0..=most).rev() {
            self.counts[at] = n as u32;
            self.go(at + 1, room - n * self.weights[at], worth + n * self.wanted.prices[at])?;
        }
        self.counts[at] = 0;
        Some(())
    }

    fn keep(&mut self, room: i64, worth: i64) -> Option<()> {
        let empty = self.counts.iter().all(|&n| n == 0);
        let open = |i: usize| self.counts[i] < self.shop.demand[i] && self.weights[i] <= room;
        let slack_enough = room >= 0 && worth >= self.wanted.worth;
        if empty || !slack_enough || (self.wanted.full && (0..self.weights.len()).any(open)) {
            return Some(());
        }
        if self.cuts.len() >= self.most {
            return None;
        }
        self.cuts.push(Cut { board: self.board, counts: self.counts.clone(), times: 1 });
        Some(())
    }
}
