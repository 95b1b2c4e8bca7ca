//! What the boards must cost at least: a price for each part that no pattern can beat.
//!
//! Column generation solves the linear relaxation; its duals are rounded to integers and every stock is asked, by one exact integer knapsack, whether a pattern is worth more than it costs. What is left is a proof in whole numbers.

use crate::budget::Budget;
use crate::job::{Cut, Shop};
use crate::knapsack::fullest_above;
use crate::simplex::{Basis, Column, Program};

/// Largest table of achievable sums.
const LARGEST_TABLE: i64 = 2_000_000;
/// Rounds of column generation; far more than any job has needed.
const ROUNDS: u32 = 2_000;

/// Prices in whole numbers that every pattern respects.
#[derive(Debug, Clone)]
pub(crate) struct Prices {
    /// Units of price in one unit of cost.
    pub scale: i64,
    /// Price of one part of each distinct length.
    pub parts: Vec<i64>,
    /// Price of one board of short supply.
    pub supply: Vec<i64>,
    /// Scaled value: sum of price times demand less supply price times supply.
    pub value: i128,
    /// No plan costs less, in common units; not yet lifted.
    pub bound: i64,
}

/// The relaxation of a residual job: its prices and its mix of patterns.
#[derive(Debug, Clone)]
pub(crate) struct Relaxation {
    /// The proof.
    pub prices: Prices,
    /// The fractional plan.
    pub mix: Vec<(Cut, f64)>,
}

/// Which sums the costs of the boards can make.
#[derive(Debug, Clone)]
pub(crate) struct Ladder {
    /// For each sum whether it can be made; what lies beyond the table is taken as possible.
    reached: Vec<bool>,
}

impl Ladder {
    /// The sums up to the greater of `least_top` and one cheapest board above it, or to where every whole number is a sum.
    ///
    /// For coprime costs that is smallest times largest (Schur's bound on the Frobenius number).
    pub fn new(shop: &Shop, least_top: i64, budget: &mut Budget) -> Ladder {
        let mut costs: Vec<i64> = shop.boards.iter().map(|b| b.cost).filter(|&c| c > 0).collect();
        costs.sort_unstable();
        costs.dedup();
        let (Some(&least), Some(&most)) = (costs.first(), costs.last()) else {
            return Ladder { reached: vec![true] };
        };
        let size = least.saturating_mul(most).min(least_top.saturating_add(least));
        if size > LARGEST_TABLE {
            return Ladder { reached: Vec::new() };
        }
        let mut reached = vec![false; size as usize + 1];
        reached[0] = true;
        for sum in 1..reached.len() {
            reached[sum] = costs.iter().take_while(|&&c| c as usize <= sum).any(|&c| reached[sum - c as usize]);
        }
        budget.spend(size as u64 / 8);
        Ladder { reached }
    }

    /// The least achievable sum that is not below `sum`.
    pub fn up(&self, sum: i64) -> i64 {
        (sum.max(0)..self.reached.len() as i64).find(|&s| self.reached[s as usize]).unwrap_or(sum)
    }

    /// The greatest achievable sum below `sum`; below zero if there is none.
    pub fn below(&self, sum: i64) -> i64 {
        if sum > self.reached.len() as i64 {
            return sum - 1;
        }
        (0..sum).rev().find(|&s| self.reached[s as usize]).unwrap_or(-1)
    }
}

/// Price units per unit of cost: a power of two that keeps every product inside `i64`.
pub(crate) fn scale_for(shop: &Shop) -> i64 {
    let dear = dear(shop);
    let mut scale = 1i64 << 32;
    while scale > 1
        && (scale.saturating_mul(dear) > 1 << 46 || scale.saturating_mul(dear).saturating_mul(shop.unit) > 1 << 60)
    {
        scale >>= 1;
    }
    scale
}

/// Cost of a part without a board, in the relaxation: above any price that matters.
fn dear(shop: &Shop) -> i64 {
    let limited = shop.boards.iter().any(|b| b.supply.is_some());
    (shop.dearest() + 1) * if limited { 64 } else { 2 }
}

/// Solves the relaxation for `demand` parts and `supply` boards; `pool` are patterns worth starting from.
pub(crate) fn relax(shop: &Shop, demand: &[u32], supply: &[u32], pool: &[Cut], budget: &mut Budget) -> Relaxation {
    let mut generation = Generation::new(shop, demand, supply);
    generation.take_pool(pool);
    let prices = generation.run(budget);
    let mix = generation.basis.amounts(&generation.program);
    let mix = mix.into_iter().map(|(column, amount)| (generation.cuts[column].clone(), amount)).collect();
    Relaxation { prices, mix }
}

struct Generation<'a> {
    shop: &'a Shop,
    demand: &'a [u32],
    supply: &'a [u32],
    /// Row of each board of short supply.
    supply_row: Vec<Option<usize>>,
    program: Program,
    basis: Basis,
    cuts: Vec<Cut>,
}

impl<'a> Generation<'a> {
    fn new(shop: &'a Shop, demand: &'a [u32], supply: &'a [u32]) -> Self {
        let mut asked: Vec<i64> = demand.iter().map(|&d| i64::from(d)).collect();
        let supply_row = rows_of_supply(shop, supply, &mut asked);
        let program = Program { rows: asked.len(), columns: Vec::new(), dear: dear(shop) };
        let basis = Basis::start(&program, &asked);
        Generation { shop, demand, supply, supply_row, program, basis, cuts: Vec::new() }
    }

    fn take_pool(&mut self, pool: &[Cut]) {
        for cut in pool {
            let proper = cut.counts.iter().zip(self.demand).all(|(n, d)| n <= d);
            if proper && self.supply[cut.board] > 0 {
                self.add(cut.board, cut.counts.clone());
            }
        }
    }

    fn add(&mut self, board: usize, counts: Vec<u32>) {
        let column = column_of(self.shop.boards[board].cost, &counts, self.supply_row[board]);
        self.program.columns.push(column);
        self.cuts.push(Cut { board, counts, times: 1 });
    }

    fn run(&mut self, budget: &mut Budget) -> Prices {
        let mut best = area_prices(self.shop, self.demand);
        for round in 0..ROUNDS {
            self.basis.primal(&self.program, budget);
            let (prices, ratios, grew) = self.price(budget);
            // A scaled-down price list is a valid bound at every round; it is kept when the steps end early.
            if !grew || budget.out() || round % 8 == 7 {
                let safe = scale_down(self.shop, self.demand, self.supply, prices, &ratios);
                if safe.value > best.value {
                    best = safe;
                }
            }
            if !grew || budget.out() {
                break;
            }
        }
        best
    }

    /// Rounds the duals and asks each board for its fullest pattern. Returns the prices, the worth and allowance of the board, and whether a pattern was added.
    fn price(&mut self, budget: &mut Budget) -> (Prices, Vec<(i64, i64)>, bool) {
        let scale = scale_for(self.shop);
        let duals = self.basis.duals(&self.program);
        let parts: Vec<i64> = duals[..self.demand.len()].iter().map(|&y| round_down(y, scale)).collect();
        let supply: Vec<i64> = self
            .supply_row
            .iter()
            .map(|row| row.map_or(0, |r| (duals[r].max(0.0) * scale as f64).ceil() as i64))
            .collect();
        let mut ratios = Vec::with_capacity(supply.len());
        let mut grew = false;
        for (board, &extra) in supply.iter().enumerate() {
            let allowed = self.shop.boards[board].cost * scale + extra;
            if self.supply[board] == 0 {
                ratios.push((0, allowed));
                continue;
            }
            let filling = fullest_above(
                allowed,
                &parts,
                &self.shop.weights,
                self.demand,
                self.shop.boards[board].capacity,
                budget,
            );
            let tolerance = (scale / 1_000_000).max(1) + allowed / 10_000_000;
            if filling.worth > allowed + tolerance && !self.knows(board, &filling.counts) {
                self.add(board, filling.counts);
                grew = true;
            }
            ratios.push((filling.upper, allowed));
        }
        (Prices { scale, parts, supply, value: 0, bound: 0 }, ratios, grew)
    }

    fn knows(&self, board: usize, counts: &[u32]) -> bool {
        self.cuts.iter().any(|c| c.board == board && c.counts == counts)
    }
}

/// Adds a row `- boards used >= - supply` for each board of short supply.
pub(crate) fn rows_of_supply(shop: &Shop, supply: &[u32], asked: &mut Vec<i64>) -> Vec<Option<usize>> {
    let mut rows = Vec::with_capacity(supply.len());
    for (board, &pieces) in shop.boards.iter().zip(supply) {
        rows.push(board.supply.map(|_| {
            asked.push(-i64::from(pieces));
            asked.len() - 1
        }));
    }
    rows
}

/// The column of one pattern.
pub(crate) fn column_of(cost: i64, counts: &[u32], supply_row: Option<usize>) -> Column {
    let parts = counts.iter().enumerate().filter(|(_, n)| **n > 0).map(|(i, &n)| (i, i64::from(n)));
    Column { cost, entries: parts.chain(supply_row.map(|r| (r, -1))).collect() }
}

/// A float price as an integer that leaves room for the float's error.
fn round_down(price: f64, scale: i64) -> i64 {
    let scaled = price * scale as f64;
    (scaled - 1.0 - scaled.abs() * 1e-10).floor().max(0.0) as i64
}

/// The prices by length alone: each length costs what the board of the least cost per length asks. Always respected.
fn area_prices(shop: &Shop, demand: &[u32]) -> Prices {
    let scale = scale_for(shop);
    let price = |w: i64| {
        let usable = shop.boards.iter().filter(|b| b.capacity > 0);
        let shares = usable.map(|b| i128::from(b.cost) * i128::from(scale) * i128::from(w) / i128::from(b.capacity));
        shares.min().unwrap_or(0) as i64
    };
    let parts: Vec<i64> = shop.weights.iter().map(|&w| price(w)).collect();
    let supply = vec![0; shop.boards.len()];
    finish(Prices { scale, parts, supply, value: 0, bound: 0 }, demand, &[])
}

/// Lowers prices until no board's fullest pattern is worth more than the board costs.
fn scale_down(
    shop: &Shop,
    demand: &[u32],
    supply: &[u32],
    mut prices: Prices,
    worth_and_allowed: &[(i64, i64)],
) -> Prices {
    for (board, &(worth, allowed)) in worth_and_allowed.iter().enumerate() {
        if worth <= allowed {
            continue;
        }
        let capacity = shop.boards[board].capacity;
        for (price, _) in prices.parts.iter_mut().zip(&shop.weights).filter(|(_, w)| **w <= capacity) {
            *price = (i128::from(*price) * i128::from(allowed) / i128::from(worth)) as i64;
        }
    }
    finish(prices, demand, supply)
}

fn finish(mut prices: Prices, demand: &[u32], supply: &[u32]) -> Prices {
    let parts: i128 = prices.parts.iter().zip(demand).map(|(&p, &d)| i128::from(p) * i128::from(d)).sum();
    let boards: i128 = prices.supply.iter().zip(supply).map(|(&p, &s)| i128::from(p) * i128::from(s)).sum();
    prices.value = parts - boards;
    let scale = i128::from(prices.scale);
    prices.bound = ((prices.value + scale - 1).div_euclid(scale)).max(0) as i64;
    prices
}
