//! Finds the whole-number mix of patterns of least cost: a depth-first search takes a pattern once more, or never again, under the integer
//! bound of each node's own prices.

use std::collections::BTreeMap;

use crate::bound::column_of;
use crate::budget::Budget;
use crate::job::{Cut, Shop};
use crate::simplex::{Basis, Column, Program};
use crate::sums::Sums;
use crate::triples;

/// Columns that are so few that they are searched at once.
pub(crate) const FEW: usize = 2_000;
/// Share of the steps for each attempt that keeps most of the relaxation's whole boards.
const ATTEMPT: u64 = 20;
/// Most steps for one such attempt.
const MOST_ATTEMPT: u64 = 300_000;
/// How far past the ceiling a node's cost is worked out, a cost unit and a share of the cost: enough for whole prices to prove it.
const PAST: f64 = 1e-4;
/// Nodes of the first attempt at a hunt; each further one may take half as many more.
const FIRST_NODES: u64 = 60;
/// Most rows of three lengths in one hunt.
const MOST_TRIPLES: usize = 150;
/// Rounds of such rows in one node.
const TRIPLE_ROUNDS: u32 = 5;
/// Most decisions on one path: the search calls itself for each.
const DEEPEST: u32 = 400;

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
    let few = program.columns.len() <= FEW;
    let mut hunter = Hunter {
        scale: scale_of(&program),
        sums: Sums::default(),
        most_rows: program.rows + if few { MOST_TRIPLES } else { 0 },
        whole: asked.clone(),
        program,
        kinds,
        goal,
        depth: 0,
        path: Vec::new(),
        best: None,
        nodes: u64::MAX,
        failed: vec![1; asked.len()],
    };
    // Among many first near the relaxation, keeping its whole boards but a few; then everything.
    for spare in [0.0, 2.0] {
        let (kept, rest, spent) = keep_whole(&hunter.program, &root, &asked, spare);
        if few || kept.is_empty() {
            break;
        }
        hunter.path = kept;
        let mut basis = root.clone();
        basis.ask(&hunter.program, &rest);
        let share = (budget.left() / ATTEMPT).min(MOST_ATTEMPT);
        budget.capped(share, |budget| hunter.node(basis, rest, spent, budget));
        if hunter.done() {
            return hunter.outcome(false);
        }
    }
    hunter.path.clear();
    let closed = hunter.again_and_again(root, asked, budget) && !hunter.done();
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

struct Hunter<'a> {
    program: Program,
    /// What is asked of the rows before anything is taken.
    whole: Vec<i64>,
    /// Rows past which none are added.
    most_rows: usize,
    kinds: Kinds,
    sums: Sums,
    depth: u32,
    goal: Goal<'a>,
    scale: i64,
    path: Takes,
    best: Option<(i64, Takes)>,
    /// Nodes that are left of this attempt.
    nodes: u64,
    /// How often each row was tried in vain.
    failed: Vec<u64>,
}

impl Hunter<'_> {
    fn done(&self) -> bool {
        self.best.as_ref().is_some_and(|b| self.goal.first || b.0 <= self.goal.enough)
    }

    fn outcome(self, closed: bool) -> Outcome {
        Outcome { takes: self.best.map(|b| b.1), closed }
    }

    /// Searches everything, in ever longer attempts: each begins with the rows at which the earlier ones failed most.
    fn again_and_again(&mut self, root: Basis, asked: Vec<i64>, budget: &mut Budget) -> bool {
        let mut attempt = FIRST_NODES;
        loop {
            self.nodes = attempt;
            let closed = self.node(root.clone(), asked.clone(), 0, budget);
            if closed || self.done() || self.nodes > 0 || budget.out() {
                return closed;
            }
            attempt += attempt / 2;
        }
    }

    /// Searches below one node; false when the steps ran out first.
    fn node(&mut self, basis: Basis, asked: Vec<i64>, spent: i64, budget: &mut Budget) -> bool {
        if self.depth > DEEPEST || self.nodes == 0 {
            return false;
        }
        self.depth += 1;
        self.nodes -= 1;
        let closed = self.below(basis, asked, spent, budget);
        self.depth -= 1;
        closed
    }

    fn below(&mut self, mut basis: Basis, mut asked: Vec<i64>, spent: i64, budget: &mut Budget) -> bool {
        let mut row = None;
        let mut rounds = 0;
        loop {
            self.catch_up(&mut basis, &mut asked);
            let enough = (self.goal.ceiling - spent) as f64 * (1.0 + PAST / 100.0) + PAST;
            basis.dual(&self.program, enough, budget);
            if budget.out() {
                return false;
            }
            if self.hopeless(&mut basis, &asked, spent) {
                self.fail(row);
                return true;
            }
            let mut amounts = basis.amounts(&self.program);
            amounts.retain(|a| !basis.barred[a.0]);
            let ceiling = self.goal.ceiling;
            self.try_whole(&basis, &amounts, &asked, spent);
            if self.done() || (self.goal.ceiling < ceiling && self.hopeless(&mut basis, &asked, spent)) {
                return true;
            }
            if rounds < TRIPLE_ROUNDS && self.tighten(&amounts) {
                rounds += 1;
                continue;
            }
            if let Some((kind, boards)) = self.split_kind(&amounts, &asked) {
                return self.both_sides(basis, kind, boards, asked, spent, budget);
            }
            let Some(at) = row.or_else(|| self.scarcest(&basis, &asked)) else { return true };
            row = Some(at);
            let Some(column) = self.branch(&basis, &amounts, at) else {
                self.fail(row);
                return true;
            };
            if !self.take(&basis, column, &asked, spent, budget) {
                return false;
            }
            if self.done() {
                return true;
            }
            basis.barred[column] = true;
        }
    }

    /// Adds rows of three lengths that a mix breaks together with what is taken; false if there is none.
    fn tighten(&mut self, amounts: &[(usize, f64)]) -> bool {
        let room = self.most_rows.saturating_sub(self.program.rows);
        if room == 0 {
            return false;
        }
        let mut mix: BTreeMap<usize, f64> = amounts.iter().copied().collect();
        self.path.iter().for_each(|&(column, times)| *mix.entry(column).or_default() += f64::from(times));
        let mix: Vec<(usize, f64)> = mix.into_iter().collect();
        let triples = triples::broken(&self.program, &mix, &self.whole, self.kinds.rows.lengths, room);
        triples::add(&mut self.program, &mut self.whole, &triples);
        !triples.is_empty()
    }

    /// Tells a node of the rows that were added since.
    fn catch_up(&self, basis: &mut Basis, asked: &mut Vec<i64>) {
        if asked.len() == self.program.rows {
            return;
        }
        let first = asked.len();
        asked.extend_from_slice(&self.whole[first..]);
        for &(column, times) in &self.path {
            let entries = self.program.columns[column].entries.iter().filter(|e| e.0 >= first);
            entries.for_each(|&(row, entry)| asked[row] = (asked[row] - entry * i64::from(times)).max(0));
        }
        basis.extend(&self.program, asked);
    }

    /// True when nothing at or below the ceiling can come of a node. Bars the columns that are too dear to be in such a plan.
    fn hopeless(&mut self, basis: &mut Basis, asked: &[i64], spent: i64) -> bool {
        let ceiling = self.goal.ceiling;
        if spent > ceiling {
            return true;
        }
        // Without prices, or past the range of the products, nothing is proven: zero.
        let bound = bound(&self.program, self.scale, basis, asked, ceiling - spent).unwrap_or(0).saturating_add(spent);
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
        // With boards of one kind their number is the cost, which the ceiling sees to.
        if self.kinds.rows.kinds == 1 && self.kinds.costs.is_some() {
            return None;
        }
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
        mut basis: Basis,
        kind: usize,
        boards: f64,
        mut asked: Vec<i64>,
        spent: i64,
        budget: &mut Budget,
    ) -> bool {
        let below = boards.floor() as i64;
        let up_first = boards - boards.floor() >= 0.5;
        for up in [up_first, !up_first] {
            self.catch_up(&mut basis, &mut asked);
            let mut rest = asked.clone();
            if up {
                rest[self.kinds.rows.least(kind)] = below + 1;
            } else {
                rest[self.kinds.rows.most(kind)] = -below;
            }
            let mut child = basis.clone();
            child.ask(&self.program, &rest);
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
        child.ask(&self.program, &rest);
        self.path.push((column, 1));
        let closed = self.node(child, rest, spent + self.program.columns[column].cost, budget);
        self.path.pop();
        closed
    }

    fn fail(&mut self, row: Option<usize>) {
        if let Some(count) = row.and_then(|row| self.failed.get_mut(row)) {
            *count += 1;
        }
    }

    /// The row still asked for that the fewest columns cover, for how often it failed: there the choices are few, and soon all tried.
    fn scarcest(&self, basis: &Basis, asked: &[i64]) -> Option<usize> {
        let mut covers = vec![0u64; asked.len()];
        for (column, _) in self.program.columns.iter().zip(&basis.barred).filter(|c| !c.1) {
            column.entries.iter().filter(|e| e.1 > 0).for_each(|e| covers[e.0] += 1);
        }
        let rows = (0..self.failed.len()).filter(|&row| asked[row] > 0);
        rows.min_by(|&a, &b| (covers[a] * self.failed[b]).cmp(&(covers[b] * self.failed[a])).then(a.cmp(&b)))
    }

    /// The column with the largest amount that covers a row, else any that covers it; `None` when the row cannot be covered.
    fn branch(&self, basis: &Basis, amounts: &[(usize, f64)], row: usize) -> Option<usize> {
        let covers = |c: usize| self.program.columns[c].entries.iter().any(|&(r, e)| r == row && e > 0);
        let largest = amounts.iter().filter(|a| covers(a.0)).max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        if let Some(&(column, _)) = largest {
            return Some(column);
        }
        (0..self.program.columns.len()).find(|&c| !basis.barred[c] && covers(c))
    }

    /// Keeps the amounts as a plan if they are whole numbers that cover everything.
    fn try_whole(&mut self, basis: &Basis, amounts: &[(usize, f64)], asked: &[i64], spent: i64) {
        if basis.uncovered(&self.program) || amounts.iter().any(|a| (a.1 - a.1.round()).abs() > 1e-5) {
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
}

/// A proven lower bound on the cost of covering what is asked with the columns that are not barred; bars those that would
/// cost more than `room` themselves. `None` when the numbers grow too large to tell.
fn bound(program: &Program, scale: i64, basis: &mut Basis, asked: &[i64], room: i64) -> Option<i64> {
    let mut duals: Vec<i64> = basis.duals().iter().zip(asked).map(|(&y, &b)| whole_price(y, b < 0, scale)).collect();
    let (mut worth, mut allowed) = (1i128, 1i128);
    for (column, _) in program.columns.iter().zip(&basis.barred).filter(|c| !c.1) {
        let (gain, limit) = weigh(column, &duals, scale);
        if gain > limit && gain.checked_mul(allowed)? > limit.checked_mul(worth)? {
            (worth, allowed) = (gain, limit);
        }
    }
    if worth > allowed {
        let parts = duals.iter_mut().zip(asked).filter(|(_, b)| **b >= 0);
        parts.for_each(|(y, _)| *y = (i128::from(*y) * allowed.max(0) / worth) as i64);
    }
    let mut value = 0i128;
    for (&y, &b) in duals.iter().zip(asked) {
        value = value.checked_add(i128::from(y).checked_mul(i128::from(b))?)?;
    }
    let scale_of_one = i128::from(scale);
    let least = i64::try_from(value.checked_add(scale_of_one - 1)?.div_euclid(scale_of_one).max(0)).ok()?;
    let room = i128::from(room) * scale_of_one - value;
    for (column, barred) in program.columns.iter().zip(&mut basis.barred).filter(|c| !*c.1) {
        let (gain, limit) = weigh(column, &duals, scale);
        *barred = limit - gain > room;
    }
    Some(least)
}

/// A float price in whole units: the price of a supply up, that of a part down past the float's error.
fn whole_price(price: f64, supply: bool, scale: i64) -> i64 {
    let scaled = price * scale as f64;
    if supply { scaled.max(0.0).ceil() as i64 } else { (scaled - 1.0 - scaled.abs() * 1e-10).floor().max(0.0) as i64 }
}

/// What a column is worth at the duals, and what it may be worth.
fn weigh(column: &Column, duals: &[i64], scale: i64) -> (i128, i128) {
    let mut gain = 0;
    let mut limit = i128::from(column.cost) * i128::from(scale);
    for &(row, entry) in &column.entries {
        let term = i128::from(duals[row]) * i128::from(entry);
        if entry > 0 { gain += term } else { limit -= term }
    }
    (gain, limit)
}
