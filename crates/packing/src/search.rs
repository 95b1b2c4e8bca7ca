//! The cheapest plan, and the proof that none is cheaper.
//!
//! The relaxation says which patterns can stand in a cheaper plan at all; over those a depth-first search takes a pattern once more, or never again, under the integer bound of each node's own prices.

use std::collections::BTreeMap;

use crate::bound::{Ladder, column_of};
use crate::budget::Budget;
use crate::dive::{QUICK, THOROUGH, dive};
use crate::greedy::{self, settle};
use crate::job::{Cut, Shop, cost_of};
use crate::master::{Relaxation, Until};
use crate::patterns::within_gap;
use crate::simplex::{Basis, Column, Program};
use crate::triples;

/// Most patterns over which the search runs.
const MOST_PATTERNS: usize = 40_000;
/// Share of the steps for each attempt that keeps most of the relaxation's whole boards.
const ATTEMPT: u64 = 20;
/// Most steps for one such attempt.
const MOST_ATTEMPT: u64 = 300_000;
/// The first hunt is among patterns within this many halvings of the gap.
const NARROWEST: u32 = 4;
/// Patterns that are so few that they are searched at once.
const FEW: usize = 2_000;
/// Lists of prices by which patterns are left out.
const FILTERS: usize = 6;
/// Share of the dearest board by which a search looks higher.
const SIXTEENTH: i64 = 16;
/// Share of the steps for a thorough dive where a proof is out of reach.
const EIGHTH: u64 = 8;
/// How far past the ceiling a node's cost is worked out, a cost unit and a share of the cost: enough for whole prices to prove it.
const PAST: f64 = 1e-4;
/// Nodes of the first attempt at a hunt; each further one may take half as many more.
const FIRST_NODES: u64 = 60;
/// Most rows of three lengths in one hunt.
const MOST_TRIPLES: usize = 150;
/// Rounds of such rows in one node.
const TRIPLE_ROUNDS: u32 = 5;
/// Past so many patterns a better plan ends the hunt, and a new one starts with fewer patterns.
const WORTH_LISTING_AGAIN: usize = 500;

/// Most distinct lengths of a job that is searched: each decision keeps a square of them.
const MOST_LENGTHS: usize = 300;
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
    relaxation: &mut Relaxation,
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
        best = budget.capped(third, |budget| descend(relaxation, ladder, best, lower, &QUICK, budget));
    }
    if good(&best) {
        return Found { cuts: best, closed: true };
    }
    improve(shop, relaxation, ladder, best, budget)
}

/// Dives for the proven bound, then for ever more above it, until a plan is found or the best one is no dearer; then between the last
/// cost that was not reached and that plan.
fn descend(
    relaxation: &mut Relaxation,
    ladder: &Ladder,
    mut best: Option<Vec<Cut>>,
    lower: i64,
    attempts: &[u32],
    budget: &mut Budget,
) -> Option<Vec<Cut>> {
    let shop = relaxation.master.shop;
    let top = |best: &Option<Vec<Cut>>| best.as_ref().map_or(above_all(shop), |cuts| ladder.below(cost_of(shop, cuts)));
    let step = shop.dearest() / SIXTEENTH + 1;
    let (mut failed, mut reach, mut found_one) = (lower - 1, 0, false);
    while failed < top(&best) && !budget.out() {
        let highest = top(&best);
        if found_one && highest - failed <= step {
            break;
        }
        let target = if found_one { failed + (highest - failed) / 2 } else { highest.min(lower.saturating_add(reach)) };
        let found = dive(relaxation, target, attempts, budget);
        if found.is_none() {
            failed = target;
            reach = 2 * reach + step;
        }
        found_one |= found.is_some();
        best = better(shop, best, found);
    }
    best
}

/// A cost above every plan: none needs more boards than parts.
fn above_all(shop: &Shop) -> i64 {
    (shop.dearest() + 1).saturating_mul(shop.parts() as i64 + 1)
}

fn better(shop: &Shop, a: Option<Vec<Cut>>, b: Option<Vec<Cut>>) -> Option<Vec<Cut>> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if cost_of(shop, &b) < cost_of(shop, &a) { b } else { a }),
        (a, b) => a.or(b),
    }
}

/// Asks for plans at the proven bound, then step by step above it, each time among all patterns that can stand in such a plan: what is
/// not found is proven not to be. Where there are too many of those, among the few that the relaxation likes best, without a proof.
fn improve(
    shop: &Shop,
    relaxation: &mut Relaxation,
    ladder: &Ladder,
    mut best: Option<Vec<Cut>>,
    budget: &mut Budget,
) -> Found {
    if shop.lengths.len() > MOST_LENGTHS {
        return Found { cuts: best, closed: false };
    }
    relaxation.go_on(Until::Converged, budget);
    let filters = relaxation.filters(FILTERS, budget);
    let mut lower = ladder.up(relaxation.prices.bound);
    let mut reach = 0;
    let mut dived = false;
    loop {
        let known = best.as_ref().map_or(above_all(shop), |cuts| cost_of(shop, cuts));
        if known <= lower {
            return Found { cuts: best, closed: true };
        }
        let top = ladder.below(known);
        let ceiling = top.min(lower.saturating_add(reach));
        let Some(pool) = within_gap(shop, &filters, ceiling, false, MOST_PATTERNS, budget) else { break };
        if pool.len() > FEW && !dived {
            dived = true;
            let third = budget.left() / 3;
            let found = budget.capped(third, |budget| dive(relaxation, lower, &THOROUGH, budget));
            if found.is_some() {
                return Found { cuts: found, closed: true };
            }
        }
        let (found, closed) = hunt_pool(shop, ladder, &pool, ceiling, lower, budget);
        let found_one = found.is_some();
        best = better(shop, best, found);
        if budget.out() || !(closed || found_one) {
            break;
        }
        if closed && (found_one || ceiling == top) {
            return Found { cuts: best, closed: true };
        }
        if closed {
            lower = ladder.up(ceiling + 1);
            reach = 2 * reach + shop.dearest() / SIXTEENTH + 1;
        }
    }
    let share = budget.left() / EIGHTH;
    let best = budget.capped(share, |budget| descend(relaxation, ladder, best, lower, &THOROUGH, budget));
    let best = guess(shop, relaxation, ladder, best, budget);
    let closed = best.as_ref().is_some_and(|cuts| cost_of(shop, cuts) <= lower);
    Found { cuts: best, closed }
}

/// Hunts among the patterns that the relaxation likes best; proves nothing.
fn guess(
    shop: &Shop,
    relaxation: &Relaxation,
    ladder: &Ladder,
    mut best: Option<Vec<Cut>>,
    budget: &mut Budget,
) -> Option<Vec<Cut>> {
    let lower = ladder.up(relaxation.prices.bound);
    for narrower in [NARROWEST, NARROWEST / 2, 0] {
        let ceiling = ladder.below(best.as_ref().map_or(above_all(shop), |cuts| cost_of(shop, cuts)));
        if ceiling < lower || budget.out() {
            break;
        }
        let prices = &relaxation.prices;
        let gap = i128::from(ceiling) * i128::from(prices.scale) - prices.value;
        // Prices as if they were worth more leave fewer patterns.
        let mut liked = prices.clone();
        liked.value += gap - (gap >> narrower);
        let share = budget.left() / ATTEMPT;
        let found = budget.capped(share, |budget| {
            let pool = within_gap(shop, &[liked], ceiling, false, MOST_PATTERNS, budget)?;
            hunt_pool(shop, ladder, &pool, ceiling, lower, budget).0
        });
        best = better(shop, best, found);
    }
    best
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
    let few = program.columns.len() <= FEW;
    let mut hunter = Hunter {
        scale: scale_of(&program),
        sums: Sums { tables: BTreeMap::new() },
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::master::{Until, relax};
    use crate::score::Score;
    use crate::ties::{self, Small};
    use crate::{Item, Job, Reserve, Stock};

    struct Lcg(u64);

    impl Lcg {
        fn between(&mut self, low: i64, high: i64) -> i64 {
            self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            low + ((self.0 >> 33) % (high - low + 1) as u64) as i64
        }

        fn job(&mut self) -> Job {
            let items = (0..self.between(2, 5))
                .map(|_| Item { length: self.between(15, 90), demand: self.between(1, 6) as u32 })
                .collect();
            let stocks = (0..self.between(1, 4))
                .map(|_| Stock {
                    length: self.between(95, 200),
                    cost: self.between(0, 30),
                    supply: (self.between(0, 2) == 0).then_some(self.between(1, 4) as u32),
                })
                .collect();
            let reserve = Reserve { per_cut: self.between(0, 2), per_board: self.between(0, 3) };
            Job { items, stocks, kerf: self.between(0, 3), trim: self.between(0, 5), reserve }
        }
    }

    /// Source: the table of residual jobs, which is itself held against brute force in `tests/brute_force.rs`.
    #[test]
    fn the_search_for_large_jobs_agrees_with_the_table() {
        let mut lcg = Lcg(40);
        let never = || false;
        let (mut compared, mut short, mut best) = (0, 0, 0);
        for _ in 0..400 {
            let job = lcg.job();
            let Ok(shop) = Shop::new(&job) else { continue };
            let mut budget = Budget::new(30_000_000, &never);
            let Some(small) = ties::small(&shop, &mut budget) else { continue };
            let mut budget = Budget::new(30_000_000, &never);
            let mut relaxation = relax(&shop, Until::Converged, &mut budget);
            let ladder = Ladder::new(&shop, 1000, &mut budget);
            // Without the quick plan: the search has to find one itself.
            let found = cheapest(&shop, &mut relaxation, &ladder, None, &mut budget);
            assert!(found.closed, "{job:?}");
            match (small, found.cuts) {
                (Small::Best { cuts: expected, .. }, Some(cuts)) => {
                    assert_eq!(cost_of(&shop, &cuts), cost_of(&shop, &expected), "{job:?}");
                    let cuts = ties::improve(&shop, &relaxation, &ladder, cuts, &mut budget);
                    let (expected, got) = (Score::of(&shop, &expected), Score::of(&shop, &cuts));
                    assert!(got >= expected && got.cost == expected.cost);
                    compared += 1;
                    best += usize::from((got.tight, got.boards) == (expected.tight, expected.boards));
                }
                (Small::Short, None) => short += 1,
                (_, found) => panic!("{job:?} {found:?}"),
            }
        }
        assert!(compared > 250 && short > 10, "{compared} {short}");
        assert_eq!(best, compared, "fewest tight boards, then fewest boards");
    }
}
