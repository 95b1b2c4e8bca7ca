//! The relaxation: the cheapest mix of patterns if boards could be shared, solved by adding patterns as they are worth it.
//!
//! Prices of the parts swing wildly while patterns are few; each round therefore asks at prices halfway to the best proven so far.

use std::collections::BTreeSet;

use crate::bound::{Prices, area_prices, column_of, dear, rows_of_supply, scale_down, scale_for};
use crate::budget::Budget;
use crate::job::{Counts, Cut, Shop};
use crate::knapsack::{Effort, fullest_above};
use crate::simplex::{Basis, Program};

/// Rounds of column generation; far more than any job has needed.
const ROUNDS: u32 = 5_000;
/// Patterns that one round takes in beside the fullest.
const MORE: usize = 10;
/// Weight of the best proven prices in those that are asked.
const CALM: f64 = 0.4;
/// By which share the parts asked for are changed to get at other prices.
const WOBBLE: f64 = 0.001;
/// Reduced cost, as a share of a cost unit, below which a pattern is worth taking in.
const WORTHWHILE: f64 = 1e-7;

/// The relaxation of a job: its prices, its mix of patterns, and the program they come from.
pub(crate) struct Relaxation<'a> {
    /// The proof.
    pub prices: Prices,
    /// The fractional plan.
    pub mix: Vec<(Cut, f64)>,
    /// The program, to go on from.
    pub master: Master<'a>,
    /// Its basis.
    pub basis: Basis,
    /// True if no pattern is left that would gain anything.
    pub converged: bool,
}

/// How far the relaxation is solved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Until {
    /// Until no pattern gains anything.
    Converged,
    /// Until the bound, rounded up to whole cost units, can rise no further, or is at least this.
    Bound(i64),
}

/// Solves the relaxation.
pub(crate) fn relax<'a>(shop: &'a Shop, until: Until, budget: &mut Budget) -> Relaxation<'a> {
    let (master, basis) = Master::new(shop);
    let prices = area_prices(shop, &shop.demand);
    let mut relaxation = Relaxation { prices, mix: Vec::new(), master, basis, converged: false };
    relaxation.go_on(until, budget);
    relaxation
}

impl Relaxation<'_> {
    /// Goes on as far as asked, or until the steps run out.
    pub fn go_on(&mut self, until: Until, budget: &mut Budget) {
        let shop = self.master.shop;
        let supply = shop.supply();
        let scale = self.prices.scale as f64;
        let mut center: Vec<f64> = self.prices.parts.iter().map(|&p| p as f64 / scale).collect();
        center.resize(self.master.program.rows, 0.0);
        let mut calm = CALM;
        for _ in 0..ROUNDS {
            self.basis.primal(&self.master.program, budget);
            if budget.out() || self.reached(until) {
                break;
            }
            let duals = self.basis.duals();
            let asked: Vec<f64> = center.iter().zip(duals).map(|(c, y)| calm * c + (1.0 - calm) * y).collect();
            let (prices, ratios, patterns) = self.master.price(&asked, &shop.demand, &supply, Effort::Best, budget);
            let safe = scale_down(shop, &shop.demand, &supply, prices, &ratios);
            if safe.value > self.prices.value {
                (self.prices, center) = (safe, asked);
            }
            let gains = patterns.into_iter().filter(|p| self.master.take(&self.basis, p)).count();
            if gains == 0 && calm <= 0.0 {
                self.converged = !budget.out();
                break;
            }
            // Where calm prices find nothing, wilder ones are asked.
            calm = if gains > 0 { CALM } else { (1.0 - 2.0 * (1.0 - calm)).max(0.0) };
        }
        let mix = self.basis.amounts(&self.master.program);
        self.mix = mix.into_iter().map(|(column, amount)| (self.master.cuts[column].clone(), amount)).collect();
    }
}

impl Relaxation<'_> {
    fn reached(&self, until: Until) -> bool {
        let Until::Bound(enough) = until else { return false };
        let most = (self.basis.cost(&self.master.program) - WORTHWHILE).ceil();
        self.prices.bound >= enough || self.prices.bound as f64 >= most
    }

    /// The prices of the relaxation, and others nearly as good: where many prices are best, each forbids other patterns.
    ///
    /// The others are those of jobs with slightly more or less of each length, and the mean of them all.
    pub fn filters(&mut self, count: usize, budget: &mut Budget) -> Vec<Prices> {
        let shop = self.master.shop;
        let supply = shop.supply();
        let mut filters = vec![self.prices.clone()];
        let mut mean = vec![0.0; self.master.program.rows];
        let mut dice = Dice::new();
        for _ in 0..count {
            let mut basis = self.basis.clone();
            basis.asked.iter_mut().for_each(|b| *b *= 1.0 + WOBBLE * dice.share());
            basis.revalue(&self.master.program);
            while !budget.out() {
                basis.dual(&self.master.program, f64::INFINITY, budget);
                basis.primal(&self.master.program, budget);
                let duals = basis.duals().to_vec();
                let (prices, ratios, patterns) = self.master.price(&duals, &shop.demand, &supply, Effort::Best, budget);
                let gains = patterns.into_iter().filter(|p| self.master.take(&basis, p)).count();
                if gains == 0 {
                    filters.push(scale_down(shop, &shop.demand, &supply, prices, &ratios));
                    mean.iter_mut().zip(&duals).for_each(|(m, y)| *m += y / count as f64);
                    break;
                }
            }
        }
        if !budget.out() {
            let (prices, ratios, _) = self.master.price(&mean, &shop.demand, &supply, Effort::Best, budget);
            filters.push(scale_down(shop, &shop.demand, &supply, prices, &ratios));
        }
        self.basis.primal(&self.master.program, budget);
        filters
    }
}

/// A small generator of the kind x' = a x + c modulo 2⁶⁴ (Knuth, MMIX), always the same.
pub(crate) struct Dice(u64);

impl Dice {
    /// A fresh one.
    pub fn new() -> Dice {
        Dice(1)
    }

    /// The next number below `many`.
    pub fn below(&mut self, many: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        // The upper half of the state: the lower bits repeat soon.
        (self.0 >> 32) % many
    }

    /// The next number from -1 to 1.
    pub fn share(&mut self) -> f64 {
        self.below(1 << 20) as f64 / f64::from(1 << 19) - 1.0
    }
}

/// The program of the patterns known so far.
pub(crate) struct Master<'a> {
    /// The job.
    pub shop: &'a Shop,
    /// Rows: a cover for each length, then a limit for each board of short supply.
    pub program: Program,
    /// The pattern of each column.
    pub cuts: Vec<Cut>,
    known: BTreeSet<(usize, Counts)>,
    /// Row of each board of short supply.
    pub supply_row: Vec<Option<usize>>,
}

/// What a pricing found: rounded prices, worth and allowance of the fullest pattern of each board, and patterns worth more.
type Priced = (Prices, Vec<(i64, i64)>, Vec<(usize, Counts)>);

impl<'a> Master<'a> {
    fn new(shop: &'a Shop) -> (Self, Basis) {
        let mut asked: Vec<i64> = shop.demand.iter().map(|&d| i64::from(d)).collect();
        let supply_row = rows_of_supply(shop, &shop.supply(), &mut asked);
        let program = Program { rows: asked.len(), columns: Vec::new(), dear: dear(shop) };
        let basis = Basis::start(&program, &asked);
        (Master { shop, program, cuts: Vec::new(), known: BTreeSet::new(), supply_row }, basis)
    }

    /// What is asked of the rows when so much is left.
    pub fn asked(&self, demand: &[u32], supply: &[u32]) -> Vec<i64> {
        let mut asked: Vec<i64> = demand.iter().map(|&d| i64::from(d)).collect();
        rows_of_supply(self.shop, supply, &mut asked);
        asked
    }

    /// Takes a pattern in; false if it was known.
    pub fn add(&mut self, board: usize, counts: &[u32]) -> bool {
        if !self.known.insert((board, counts.to_vec())) {
            return false;
        }
        self.program.columns.push(column_of(self.shop.boards[board].cost, counts, self.supply_row[board]));
        self.cuts.push(Cut { board, counts: counts.to_vec(), times: 1 });
        true
    }

    /// Takes a pattern in if it gains something at the prices of the basis.
    pub fn take(&mut self, basis: &Basis, (board, counts): &(usize, Counts)) -> bool {
        let cost = self.shop.boards[*board].cost as f64;
        let column = column_of(self.shop.boards[*board].cost, counts, self.supply_row[*board]);
        let worth: f64 = column.entries.iter().map(|&(row, entry)| basis.duals()[row] * entry as f64).sum();
        cost - worth < -WORTHWHILE * (1.0 + cost) && self.add(*board, counts)
    }

    /// Rounds the duals and asks each board for its fullest pattern.
    pub fn price(&self, duals: &[f64], demand: &[u32], supply: &[u32], effort: Effort, budget: &mut Budget) -> Priced {
        let scale = scale_for(self.shop);
        let parts: Vec<i64> = duals[..demand.len()].iter().map(|&y| round_down(y, scale)).collect();
        let dear = |row: &Option<usize>| row.map_or(0, |r| (duals[r].max(0.0) * scale as f64).ceil() as i64);
        let short: Vec<i64> = self.supply_row.iter().map(dear).collect();
        let mut ratios = Vec::with_capacity(supply.len());
        let mut patterns = Vec::new();
        for (place, board) in self.shop.boards.iter().enumerate() {
            let allowed = board.cost * scale + short[place];
            if supply[place] == 0 {
                ratios.push((0, allowed));
                continue;
            }
            let filling = fullest_above(allowed, &parts, &self.shop.weights, demand, board.capacity, effort, budget);
            ratios.push((filling.upper, allowed));
            if filling.worth > allowed {
                let more = self.more(place, allowed, &parts, demand, &filling.counts, budget);
                patterns.push((place, filling.counts));
                patterns.extend(more.into_iter().map(|counts| (place, counts)));
            }
        }
        (Prices { scale, parts, supply: short, value: 0, bound: 0 }, ratios, patterns)
    }

    /// Further patterns worth more than a board costs, from the parts that the first ones leave.
    fn more(
        &self,
        place: usize,
        allowed: i64,
        parts: &[i64],
        demand: &[u32],
        first: &[u32],
        budget: &mut Budget,
    ) -> Vec<Counts> {
        let capacity = self.shop.boards[place].capacity;
        let mut left = demand.to_vec();
        let mut last = first.to_vec();
        let mut found = Vec::new();
        while found.len() < MORE && !budget.out() {
            left.iter_mut().zip(&last).for_each(|(l, n)| *l -= n);
            let filling = fullest_above(allowed, parts, &self.shop.weights, &left, capacity, Effort::Glance, budget);
            if filling.worth <= allowed {
                break;
            }
            last.clone_from(&filling.counts);
            found.push(filling.counts);
        }
        found
    }
}

/// A float price as an integer that leaves room for the float's error.
fn round_down(price: f64, scale: i64) -> i64 {
    let scaled = price * scale as f64;
    (scaled - 1.0 - scaled.abs() * 1e-10).floor().max(0.0) as i64
}
