//! The cheapest plan, and the proof that none is cheaper.
//!
//! The relaxation says which patterns can stand in a cheaper plan at all; over those a depth-first search takes a pattern once more, or never again, under the integer bound of each node's own prices.

use std::collections::BTreeMap;

use crate::bound::{Ladder, Relaxation, column_of};
use crate::budget::Budget;
use crate::greedy::{self, settle};
use crate::job::{Cut, Shop, cost_of};
use crate::patterns::within_gap;
use crate::simplex::{Basis, Column, Program};

/// Most patterns over which the search runs.
const MOST_PATTERNS: usize = 20_000;
/// Share of the steps for each attempt that keeps most of the relaxation's whole boards.
const ATTEMPT: u64 = 20;
/// The first hunt is among patterns within this many halvings of the gap.
const NARROWEST: u32 = 4;
/// Past so many patterns a better plan ends the hunt, and a new one starts with fewer patterns.
const WORTH_LISTING_AGAIN: usize = 500;

/// Most distinct lengths of a job that is searched: each decision keeps a square of them.
const MOST_LENGTHS: usize = 160;
/// Largest cost up to which sums of costs are tabled.
const LARGEST_SUM: i64 = 500_000;
/// Most decisions on one path: the search calls itself for each.
const DEEPEST: u32 = 400;

/// What the search for the cheapest plan ended with.
pub(crate) struct Found {
    /// The best plan, if there is one.
    pub cuts: Option<Vec<Cut>>,
    /// True when the search ended: nothing is cheaper (or nothing is possible).
    pub closed: bool,
}

/// Looks for the cheapest plan; `known` may hold one already.
pub(crate) fn cheapest(
    shop: &Shop,
    relaxation: &Relaxation,
    ladder: &Ladder,
    known: Option<Vec<Cut>>,
    budget: &mut Budget,
) -> Found {
    let lower = ladder.up(relaxation.prices.bound);
    let mut best = known;
    let good = |best: &Option<Vec<Cut>>| best.as_ref().is_some_and(|cuts| cost_of(shop, cuts) <= lower);
    if !good(&best) {
        best = better(shop, best, greedy::round(shop, relaxation));
    }
    if !good(&best) {
        let third = budget.left() / 3;
        let dived = budget.capped(third, |budget| greedy::dive(shop, relaxation, budget));
        best = better(shop, best, dived);
    }
    if good(&best) {
        return Found { cuts: best, closed: true };
    }
    improve(shop, relaxation, ladder, best, budget)
}

fn better(shop: &Shop, a: Option<Vec<Cut>>, b: Option<Vec<Cut>>) -> Option<Vec<Cut>> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if cost_of(shop, &b) < cost_of(shop, &a) { b } else { a }),
        (a, b) => a.or(b),
    }
}

/// Hunts again and again: first among the few patterns that the relaxation likes best, then among all that can stand in a better plan. Each better plan leaves fewer of those.
fn improve(
    shop: &Shop,
    relaxation: &Relaxation,
    ladder: &Ladder,
    mut best: Option<Vec<Cut>>,
    budget: &mut Budget,
) -> Found {
    if shop.lengths.len() > MOST_LENGTHS {
        return Found { cuts: best, closed: false };
    }
    let lower = ladder.up(relaxation.prices.bound);
    let mut narrower = NARROWEST;
    loop {
        // No plan needs more boards than parts, so this is above every plan.
        let above_all = (shop.dearest() + 1).saturating_mul(shop.parts() as i64 + 1);
        let ceiling = ladder.below(best.as_ref().map_or(above_all, |cuts| cost_of(shop, cuts)));
        let gap = i128::from(ceiling) * i128::from(relaxation.prices.scale) - relaxation.prices.value;
        let share = if narrower > 0 { budget.left() / ATTEMPT } else { budget.left() };
        let round = budget.capped(share, |budget| {
            let pool = within_gap(shop, &relaxation.prices, gap >> narrower, false, MOST_PATTERNS, budget)?;
            Some(hunt_pool(shop, ladder, &pool, ceiling, lower, budget))
        });
        let Some((found, closed)) = round else {
            return Found { cuts: best, closed: false };
        };
        let improved = found.is_some();
        best = better(shop, best, found);
        let reached = best.as_ref().is_some_and(|cuts| cost_of(shop, cuts) <= lower);
        let closed = reached || (closed && narrower == 0);
        if closed || budget.out() || (narrower == 0 && !improved) {
            return Found { cuts: best, closed };
        }
        narrower = narrower.saturating_sub(2);
    }
}

/// The best plan at or below the ceiling from a pool of patterns, and whether there is no better one.
fn hunt_pool(
    shop: &Shop,
    ladder: &Ladder,
    pool: &[Cut],
    ceiling: i64,
    lower: i64,
    budget: &mut Budget,
) -> (Option<Vec<Cut>>, bool) {
    let (rows, asked) = Rows::new(shop, 0);
    let columns = pool.iter().map(|c| rows.column(shop.boards[c.board].cost, c)).collect();
    let below = |sum| ladder.below(sum);
    let goal = Goal { ceiling, enough: lower, first: pool.len() > WORTH_LISTING_AGAIN, below: &below };
    let costs = shop.boards.iter().map(|b| b.cost).collect();
    let outcome = hunt(columns, asked, Kinds { rows, of: boards_of(pool), costs: Some(costs) }, goal, budget);
    (outcome.takes.map(|takes| cuts_of(shop, pool, &takes)), outcome.closed)
}

/// The plan that a search's takes stand for.
pub(crate) fn cuts_of(shop: &Shop, pool: &[Cut], takes: &[(usize, u32)]) -> Vec<Cut> {
    settle(shop, takes.iter().map(|&(column, times)| Cut { times, ..pool[column].clone() }).collect())
}

/// The board of each pattern.
pub(crate) fn boards_of(pool: &[Cut]) -> Vec<usize> {
    pool.iter().map(|c| c.board).collect()
}

/// The rows of a hunt: parts of each length, at least so many boards of each kind, at most so many, and what a caller adds.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rows {
    lengths: usize,
    kinds: usize,
}

impl Rows {
    /// The rows with what is asked of them at first; `more` rows stand behind.
    pub fn new(shop: &Shop, more: usize) -> (Rows, Vec<i64>) {
        let mut asked: Vec<i64> = shop.demand.iter().map(|&d| i64::from(d)).collect();
        asked.extend(shop.boards.iter().map(|_| 0));
        // A plan never needs more boards than parts.
        asked.extend(shop.boards.iter().map(|b| -b.supply.map_or(shop.parts() as i64, i64::from)));
        asked.extend((0..more).map(|_| 0));
        (Rows { lengths: shop.lengths.len(), kinds: shop.boards.len() }, asked)
    }

    fn least(self, kind: usize) -> usize {
        self.lengths + kind
    }

    fn most(self, kind: usize) -> usize {
        self.lengths + self.kinds + kind
    }

    /// The first row behind these.
    pub fn end(self) -> usize {
        self.lengths + 2 * self.kinds
    }

    /// The column of a pattern.
    pub fn column(self, cost: i64, cut: &Cut) -> Column {
        let mut column = column_of(cost, &cut.counts, None);
        column.entries.push((self.least(cut.board), 1));
        column.entries.push((self.most(cut.board), -1));
        column
    }
}

/// Which kind of board each column is cut from.
pub(crate) struct Kinds {
    /// Where their rows stand.
    pub rows: Rows,
    /// Kind of each column.
    pub of: Vec<usize>,
    /// Cost of each kind, if all columns of a kind cost the same.
    pub costs: Option<Vec<i64>>,
}

/// What a hunt is for.
pub(crate) struct Goal<'a> {
    /// Plans above this are of no use.
    pub ceiling: i64,
    /// A plan at or below this ends the hunt.
    pub enough: i64,
    /// End with the first plan found.
    pub first: bool,
    /// The next useful value below a given one.
    pub below: &'a dyn Fn(i64) -> i64,
}

/// How a hunt ended.
pub(crate) struct Outcome {
    /// The best mix found: column and how often.
    pub takes: Option<Vec<(usize, u32)>>,
    /// True when nothing better is possible.
    pub closed: bool,
}

/// Finds the whole-number mix of columns of least cost that covers what is asked.
pub(crate) fn hunt(columns: Vec<Column>, asked: Vec<i64>, kinds: Kinds, goal: Goal, budget: &mut Budget) -> Outcome {
    let dearest = columns.iter().map(|c| c.cost).max().unwrap_or(0);
    let program = Program { rows: asked.len(), columns, dear: (dearest + 1).saturating_mul(64) };
    let mut root = Basis::start(&program, &asked);
    root.primal(&program, budget);
    let scale = scale_of(&program);
    let sums = Sums { tables: BTreeMap::new() };
    let mut hunter = Hunter { program: &program, kinds, goal, scale, sums, depth: 0, path: Vec::new(), best: None };
    // First near the relaxation, keeping its whole boards but a few; then everything.
    for spare in [0.0, 2.0] {
        let (kept, rest, spent) = keep_whole(&program, &root, &asked, spare);
        if kept.is_empty() {
            break;
        }
        hunter.path = kept;
        let mut basis = root.clone();
        basis.ask(&program, &rest);
        let share = budget.left() / ATTEMPT;
        budget.capped(share, |budget| hunter.node(basis, rest, spent, budget));
        if hunter.done() {
            return hunter.outcome(false);
        }
    }
    hunter.path.clear();
    let closed = hunter.node(root, asked, 0, budget) && !hunter.done();
    hunter.outcome(closed)
}

fn scale_of(program: &Program) -> i64 {
    let mut scale = 1i64 << 32;
    while scale > 1 && scale.saturating_mul(program.dear) > 1 << 46 {
        scale >>= 1;
    }
    scale
}

type Takes = Vec<(usize, u32)>;

/// The whole boards of the relaxation less `spare` each, what is then still asked, and their cost.
fn keep_whole(program: &Program, root: &Basis, asked: &[i64], spare: f64) -> (Takes, Vec<i64>, i64) {
    let mut rest = asked.to_vec();
    let mut kept = Vec::new();
    let mut spent = 0;
    for (column, amount) in root.amounts(program) {
        let times = (amount + 1e-6 - spare).floor();
        if times >= 1.0 {
            let times = times as u32;
            reduce(&program.columns[column], i64::from(times), &mut rest);
            spent += program.columns[column].cost * i64::from(times);
            kept.push((column, times));
        }
    }
    (kept, rest, spent)
}

/// What is left to ask after a column is taken; rows to cover do not fall below zero.
fn reduce(column: &Column, times: i64, asked: &mut [i64]) {
    for &(row, entry) in &column.entries {
        asked[row] = if entry > 0 { (asked[row] - entry * times).max(0) } else { asked[row] - entry * times };
    }
}

/// Sums of costs that some kinds of boards can make, up to a limit; for each number the next sum.
struct Sums {
    tables: BTreeMap<Vec<i64>, Vec<u32>>,
}

impl Sums {
    /// True if multiples of the costs may sum to something from `low` to `high`.
    fn reach(&mut self, costs: &[i64], low: i64, high: i64) -> bool {
        if high < low.max(0) {
            return false;
        }
        if low <= 0 || high > LARGEST_SUM {
            return true;
        }
        // A table for the largest sum ever asked serves all later questions: the ceiling only falls.
        let table = self.tables.entry(costs.to_vec()).or_default();
        if table.len() <= high as usize {
            *table = next_sums(costs, high as usize);
        }
        i64::from(table[low as usize]) <= high
    }
}

fn next_sums(costs: &[i64], high: usize) -> Vec<u32> {
    let mut reached = vec![false; high + 1];
    reached[0] = true;
    for sum in 1..=high {
        reached[sum] = costs.iter().any(|&c| c > 0 && c as usize <= sum && reached[sum - c as usize]);
    }
    let mut next = vec![u32::MAX; high + 1];
    let mut last = u32::MAX;
    for sum in (0..=high).rev() {
        if reached[sum] {
            last = sum as u32;
        }
        next[sum] = last;
    }
    next
}

struct Hunter<'a> {
    program: &'a Program,
    kinds: Kinds,
    sums: Sums,
    depth: u32,
    goal: Goal<'a>,
    scale: i64,
    path: Takes,
    best: Option<(i64, Takes)>,
}

impl Hunter<'_> {
    fn done(&self) -> bool {
        self.best.as_ref().is_some_and(|b| self.goal.first || b.0 <= self.goal.enough)
    }

    fn outcome(self, closed: bool) -> Outcome {
        Outcome { takes: self.best.map(|b| b.1), closed }
    }

    /// Searches below one node; false when the steps ran out first.
    fn node(&mut self, basis: Basis, asked: Vec<i64>, spent: i64, budget: &mut Budget) -> bool {
        if self.depth > DEEPEST {
            return false;
        }
        self.depth += 1;
        let closed = self.below(basis, asked, spent, budget);
        self.depth -= 1;
        closed
    }

    fn below(&mut self, mut basis: Basis, asked: Vec<i64>, spent: i64, budget: &mut Budget) -> bool {
        loop {
            basis.dual(self.program, budget);
            if budget.out() {
                return false;
            }
            if self.hopeless(&basis, &asked, spent) {
                return true;
            }
            let mut amounts = basis.amounts(self.program);
            amounts.retain(|a| !basis.barred[a.0]);
            self.try_whole(&basis, &amounts, &asked, spent);
            if self.done() || self.hopeless(&basis, &asked, spent) {
                return true;
            }
            if let Some((kind, boards)) = self.split_kind(&amounts, &asked) {
                return self.both_sides(&basis, kind, boards, &asked, spent, budget);
            }
            let Some(column) = self.branch(&basis, &amounts, &asked) else { return true };
            if !self.take(&basis, column, &asked, spent, budget) {
                return false;
            }
            if self.done() {
                return true;
            }
            basis.barred[column] = true;
        }
    }

    /// True when nothing at or below the ceiling can come of a node.
    fn hopeless(&mut self, basis: &Basis, asked: &[i64], spent: i64) -> bool {
        let ceiling = self.goal.ceiling;
        if spent > ceiling {
            return true;
        }
        let bound = self.bound(basis, asked).saturating_add(spent);
        bound > ceiling || !self.sum_between(bound, asked, spent)
    }

    /// True if the boards that are still allowed can make a cost from `bound` to the ceiling.
    fn sum_between(&mut self, bound: i64, asked: &[i64], spent: i64) -> bool {
        let Some(costs) = &self.kinds.costs else { return true };
        let rows = self.kinds.rows;
        let mut base = spent;
        let mut open = Vec::new();
        for (kind, &cost) in costs.iter().enumerate() {
            let (least, most) = (asked[rows.least(kind)], -asked[rows.most(kind)]);
            base += cost * least;
            if most > least && cost > 0 {
                open.push(cost);
            }
        }
        self.sums.reach(&open, bound - base, self.goal.ceiling - base)
    }

    /// The kind of board whose number is furthest from whole, with that number.
    fn split_kind(&self, amounts: &[(usize, f64)], asked: &[i64]) -> Option<(usize, f64)> {
        let mut boards = vec![0.0; self.kinds.rows.kinds];
        amounts.iter().for_each(|&(column, amount)| boards[self.kinds.of[column]] += amount);
        let off = |n: f64| (n - n.round()).abs();
        // Either side must ask for more than was asked before, or the search would not come to an end.
        let rows = self.kinds.rows;
        let open = |&(kind, n): &(usize, f64)| {
            let below = n.floor() as i64;
            asked[rows.least(kind)] <= below && below < -asked[rows.most(kind)]
        };
        let split = boards
            .into_iter()
            .enumerate()
            .filter(open)
            .max_by(|a, b| off(a.1).total_cmp(&off(b.1)).then(b.0.cmp(&a.0)))?;
        (off(split.1) > 1e-4).then_some(split)
    }

    /// Searches with more boards of a kind than a broken number, and with fewer; the nearer side first.
    fn both_sides(
        &mut self,
        basis: &Basis,
        kind: usize,
        boards: f64,
        asked: &[i64],
        spent: i64,
        budget: &mut Budget,
    ) -> bool {
        let below = boards.floor() as i64;
        let up_first = boards - boards.floor() >= 0.5;
        for up in [up_first, !up_first] {
            let mut rest = asked.to_vec();
            if up {
                rest[self.kinds.rows.least(kind)] = below + 1;
            } else {
                rest[self.kinds.rows.most(kind)] = -below;
            }
            let mut child = basis.clone();
            child.ask(self.program, &rest);
            if !self.node(child, rest, spent, budget) {
                return false;
            }
            if self.done() {
                return true;
            }
        }
        true
    }

    /// Searches where the column is taken once more.
    fn take(&mut self, basis: &Basis, column: usize, asked: &[i64], spent: i64, budget: &mut Budget) -> bool {
        let mut rest = asked.to_vec();
        reduce(&self.program.columns[column], 1, &mut rest);
        let exhausted = self.program.columns[column].entries.iter().any(|&(row, entry)| entry < 0 && rest[row] > 0);
        if exhausted {
            return true;
        }
        let mut child = basis.clone();
        child.ask(self.program, &rest);
        self.path.push((column, 1));
        let closed = self.node(child, rest, spent + self.program.columns[column].cost, budget);
        self.path.pop();
        closed
    }

    /// The column with the largest amount, else any that still covers something; `None` when some row cannot be covered or nothing is asked.
    fn branch(&self, basis: &Basis, amounts: &[(usize, f64)], asked: &[i64]) -> Option<usize> {
        let largest = amounts.iter().max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        if let Some(&(column, _)) = largest {
            return Some(column);
        }
        let row = asked.iter().position(|&a| a > 0)?;
        let covers = |c: &Column| c.entries.iter().any(|&(r, e)| r == row && e > 0);
        (0..self.program.columns.len()).find(|&c| !basis.barred[c] && covers(&self.program.columns[c]))
    }

    /// Keeps the amounts as a plan if they are whole numbers that cover everything.
    fn try_whole(&mut self, basis: &Basis, amounts: &[(usize, f64)], asked: &[i64], spent: i64) {
        if basis.uncovered(self.program) || amounts.iter().any(|a| (a.1 - a.1.round()).abs() > 1e-5) {
            return;
        }
        let mut rest = asked.to_vec();
        let mut takes = self.path.clone();
        let mut cost = spent;
        for &(column, amount) in amounts {
            let times = amount.round() as u32;
            reduce(&self.program.columns[column], i64::from(times), &mut rest);
            cost += self.program.columns[column].cost * i64::from(times);
            takes.push((column, times));
        }
        if rest.iter().all(|&r| r <= 0) && cost <= self.goal.ceiling {
            self.goal.ceiling = (self.goal.below)(cost);
            self.best = Some((cost, takes));
        }
    }

    /// A proven lower bound on the cost of covering what is asked with the columns that are not barred.
    fn bound(&self, basis: &Basis, asked: &[i64]) -> i64 {
        // Without prices, or past the range of the products, nothing is proven: zero.
        self.priced_bound(basis, asked).unwrap_or(0)
    }

    fn priced_bound(&self, basis: &Basis, asked: &[i64]) -> Option<i64> {
        let duals: Vec<i64> =
            basis.duals(self.program).iter().zip(asked).map(|(&y, &b)| self.whole_price(y, b < 0)).collect();
        let (mut worth, mut allowed) = (1i128, 1i128);
        for (column, _) in self.program.columns.iter().zip(&basis.barred).filter(|c| !c.1) {
            let (gain, limit) = self.weigh(column, &duals);
            if gain > limit && gain.checked_mul(allowed)? > limit.checked_mul(worth)? {
                (worth, allowed) = (gain, limit);
            }
        }
        let mut value = 0i128;
        for (&y, &b) in duals.iter().zip(asked) {
            let price = if b < 0 { i128::from(y) } else { i128::from(y).checked_mul(allowed)? / worth };
            value = value.checked_add(price.checked_mul(i128::from(b))?)?;
        }
        let scale = i128::from(self.scale);
        i64::try_from(value.checked_add(scale - 1)?.div_euclid(scale).max(0)).ok()
    }

    /// A float price in whole units: the price of a supply up, that of a part down past the float's error.
    fn whole_price(&self, price: f64, supply: bool) -> i64 {
        let scaled = price * self.scale as f64;
        if supply {
            scaled.max(0.0).ceil() as i64
        } else {
            (scaled - 1.0 - scaled.abs() * 1e-10).floor().max(0.0) as i64
        }
    }

    /// What a column is worth at the duals, and what it may be worth.
    fn weigh(&self, column: &Column, duals: &[i64]) -> (i128, i128) {
        let mut gain = 0;
        let mut limit = i128::from(column.cost) * i128::from(self.scale);
        for &(row, entry) in &column.entries {
            let term = i128::from(duals[row]) * i128::from(entry);
            if entry > 0 { gain += term } else { limit -= term }
        }
        (gain, limit)
    }
}
