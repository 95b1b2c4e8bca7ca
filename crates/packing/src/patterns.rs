//! The ways to cut one board: every pattern, or only those that are full and dear enough to matter.

use crate::bound::Prices;
use crate::budget::Budget;
use crate::job::{Counts, Cut, Shop};

/// What a pattern must satisfy to be listed.
pub(crate) struct Wanted<'a> {
    /// Price of a part of each length, and what a pattern must be worth at least at these prices.
    pub filters: Vec<(&'a [i64], i64)>,
    /// True: no further part may fit.
    pub full: bool,
    /// True: the pattern keeps the reserve, and is full if no further part fits with the reserve kept.
    pub comfortable: bool,
}

/// Every pattern that is not empty, on every board that holds it; `None` when there are more than `most`.
pub(crate) fn all(shop: &Shop, most: usize, budget: &mut Budget) -> Option<Vec<Cut>> {
    let mut cuts = Vec::new();
    for board in 0..shop.boards.len() {
        let wanted = Wanted { filters: Vec::new(), full: false, comfortable: false };
        list(shop, board, &wanted, most, &mut cuts, budget)?;
    }
    Some(cuts)
}

/// The full patterns that may stand in a plan that costs at most `ceiling`, by every one of some lists of prices.
///
/// In a plan of cost C, the sum over its boards of (cost + supply price - worth) is at most C less the value of the prices; so each single one is.
/// With `also_comfortable` the patterns that are full with the reserve kept are listed too.
pub(crate) fn within_gap(
    shop: &Shop,
    filters: &[Prices],
    ceiling: i64,
    also_comfortable: bool,
    most: usize,
    budget: &mut Budget,
) -> Option<Vec<Cut>> {
    let mut cuts = Vec::new();
    for (board, kind) in shop.boards.iter().enumerate() {
        let wanted = |prices: &Prices| {
            let gap = i128::from(ceiling) * i128::from(prices.scale) - prices.value;
            let allowed = i128::from(kind.cost) * i128::from(prices.scale) + i128::from(prices.supply[board]);
            (allowed - gap).clamp(0, i128::from(i64::MAX)) as i64
        };
        for comfortable in [false, true] {
            if comfortable && !also_comfortable {
                continue;
            }
            let filters = filters.iter().map(|prices| (&prices.parts[..], wanted(prices))).collect();
            list(shop, board, &Wanted { filters, full: true, comfortable }, most, &mut cuts, budget)?;
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
    // Where everything is listed, whatever fits with slanted ends in each other; elsewhere the plan is one without.
    let base = if wanted.filters.is_empty() && !wanted.full { shop.least_weights() } else { shop.weights.clone() };
    let weights: Vec<i64> = base.iter().map(|w| w + extra).collect();
    let filters = wanted.filters.iter().map(|&(prices, worth)| Filter::new(prices, worth, &weights)).collect();
    let counts = vec![0; weights.len()];
    let mut lister = Lister { shop, board, wanted, weights, filters, most, counts, cuts, budget };
    lister.go(0, shop.boards[board].capacity + extra - less)
}

/// One list of prices during the listing.
struct Filter<'a> {
    prices: &'a [i64],
    /// What is still missing of the worth wanted.
    missing: i64,
    /// For each place the length of the greatest price per length from there on.
    densest: Vec<usize>,
}

impl<'a> Filter<'a> {
    fn new(prices: &'a [i64], worth: i64, weights: &[i64]) -> Filter<'a> {
        let mut densest: Vec<usize> = (0..weights.len()).collect();
        for i in (0..weights.len().saturating_sub(1)).rev() {
            let next = densest[i + 1];
            let better =
                i128::from(prices[next]) * i128::from(weights[i]) > i128::from(prices[i]) * i128::from(weights[next]);
            if better {
                densest[i] = next;
            }
        }
        Filter { prices, missing: worth, densest }
    }

    /// True if the parts from a place on cannot be worth what is missing.
    fn hopeless(&self, at: usize, room: i64, weights: &[i64]) -> bool {
        if self.missing <= 0 {
            return false;
        }
        let Some(&best) = self.densest.get(at) else { return true };
        i128::from(room.max(0)) * i128::from(self.prices[best]) < i128::from(self.missing) * i128::from(weights[best])
    }
}

struct Lister<'a, 'b> {
    shop: &'a Shop,
    board: usize,
    wanted: &'a Wanted<'a>,
    weights: Vec<i64>,
    filters: Vec<Filter<'a>>,
    most: usize,
    counts: Counts,
    cuts: &'a mut Vec<Cut>,
    budget: &'a mut Budget<'b>,
}

impl Lister<'_, '_> {
    fn go(&mut self, at: usize, room: i64) -> Option<()> {
        if !self.budget.spend(1) {
            return None;
        }
        if self.filters.iter().any(|filter| filter.hopeless(at, room, &self.weights)) {
            return Some(());
        }
        if at == self.weights.len() {
            return self.keep(room);
        }
        let most = (room / self.weights[at]).clamp(0, i64::from(self.shop.demand[at]));
        self.put(at, most);
        for n in (0..=most).rev() {
            self.counts[at] = n as u32;
            self.go(at + 1, room - n * self.weights[at])?;
            self.put(at, if n > 0 { -1 } else { 0 });
        }
        Some(())
    }

    fn put(&mut self, at: usize, number: i64) {
        self.filters.iter_mut().for_each(|filter| filter.missing -= number * filter.prices[at]);
    }

    fn keep(&mut self, room: i64) -> Option<()> {
        let empty = self.counts.iter().all(|&n| n == 0);
        let open = |i: usize| self.counts[i] < self.shop.demand[i] && self.weights[i] <= room;
        if empty || room < 0 || (self.wanted.full && (0..self.weights.len()).any(open)) {
            return Some(());
        }
        if self.shop.is_mitred() && self.shop.slack(self.board, &self.counts) < 0 {
            return Some(());
        }
        if self.cuts.len() >= self.most {
            return None;
        }
        self.cuts.push(Cut { board: self.board, counts: self.counts.clone(), times: 1 });
        Some(())
    }
}
