//! Among the cheapest plans the best: fewest tight boards, fewest that are better left whole, fewer boards, fewest patterns and settings, most reserve, longest offcuts.
//!
//! Small jobs: a table over everything that can be left to cut holds the best cost, tight boards and boards for the rest. With it the plans that are best in these three are walked one by one, without a single wrong turn, and the best of them by the later goals is kept.

use crate::bound::Ladder;
use crate::budget::Budget;
use crate::greedy::{merge, quick};
use crate::hunt::{Goal, Kinds, Rows, hunt};
use crate::job::{Cut, Shop, cost_of};
use crate::master::{Relaxation, Until, relax};
use crate::patterns;
use crate::polish::fewer_hold_less;
use crate::score::{Score, Tally, settings};
use crate::search::{boards_of, cheapest, cuts_of};
use crate::simplex::Column;

/// Most residual jobs in the table.
const MOST_STATES: u64 = 1_000_000;
/// Most patterns considered in the table.
const MOST_PATTERNS: usize = 20_000;
/// Most looks (residual job times pattern) that filling the table may take.
const MOST_LOOKS: u64 = 8_000_000;
/// Steps that the walk over equal plans may take.
const WALK: u64 = 2_000_000;
/// Steps that larger jobs may spend on fewer tight boards and fewer boards.
pub(crate) const IMPROVING: u64 = 1_200_000;
/// Most patterns over which larger jobs are improved.
const MOST_IMPROVING: usize = 10_000;
/// Marks a residual job that cannot be cut.
const NEVER: u64 = u64::MAX;

/// What the table made of a small job.
pub(crate) enum Small {
    /// The best plan, and whether all goals are exact.
    Best { cuts: Vec<Cut>, ties_exact: bool },
    /// The supply does not suffice.
    Short,
}

/// Solves a job by the table of residual jobs; `None` if the job is too large for it or the steps run out.
pub(crate) fn small(shop: &Shop, budget: &mut Budget) -> Option<Small> {
    let table = Table::fill(shop, budget)?;
    if table.best[table.best.len() - 1] == NEVER {
        return Some(Small::Short);
    }
    let mut walk = Walk::new(shop, &table);
    let share = WALK.min(budget.left() / 2);
    let ties_exact = budget.capped(share, |budget| walk.run(budget));
    let first = table.trace(shop);
    let cuts = match walk.best.take() {
        Some((_, cuts)) => cuts,
        None => first,
    };
    Some(Small::Best { cuts, ties_exact })
}

/// Fewer tight boards, then fewer boards, for a job too large for the table; never at a higher cost. True if no plan of that cost has
/// fewer.
pub(crate) fn improve(
    shop: &Shop,
    relaxation: &Relaxation,
    ladder: &Ladder,
    cuts: Vec<Cut>,
    budget: &mut Budget,
) -> (Vec<Cut>, bool) {
    let half = budget.left() / 2;
    let cuts = budget.capped(half, |budget| all_comfortable(shop, ladder, cuts, budget));
    fewer(shop, relaxation, cuts, budget)
}

/// The same job with the reserve as part of kerf and trim: a plan of the same cost for it is comfortable throughout.
fn all_comfortable(shop: &Shop, ladder: &Ladder, cuts: Vec<Cut>, budget: &mut Budget) -> Vec<Cut> {
    let score = Score::of(shop, &cuts);
    if score.tally.tight == 0 {
        return cuts;
    }
    let Some(roomy) = shop.with_reserve() else { return cuts };
    let mut relaxation = relax(&roomy, Until::Converged, budget);
    if relaxation.prices.bound > score.tally.cost {
        return cuts;
    }
    let found = cheapest(&roomy, &mut relaxation, ladder, quick(&roomy), budget);
    found.cuts.map(merge).filter(|f| Score::of(shop, f) < score).unwrap_or(cuts)
}

fn fewer(shop: &Shop, relaxation: &Relaxation, cuts: Vec<Cut>, budget: &mut Budget) -> (Vec<Cut>, bool) {
    let score = Score::of(shop, &cuts);
    let Tally { cost, tight, begun, boards, .. } = score.tally;
    let weight = shop.parts() as i64 + 1;
    // Without boards to be left whole their place is not needed.
    let place = if shop.has_whole() { weight } else { 1 };
    let value = |tight: u64, begun: u64, boards: u64| (tight as i64 * place + begun as i64) * weight + boards as i64;
    let least = tight == 0 && begun == 0;
    if least && fewer_hold_less(shop, boards as i64, cost, shop.weight(&shop.demand)) {
        return (cuts, true);
    }
    let prices = std::slice::from_ref(&relaxation.prices);
    let Some(pool) = patterns::within_gap(shop, prices, cost, true, MOST_IMPROVING, budget) else {
        return (cuts, false);
    };
    let (rows, mut asked) = Rows::new(shop, 1);
    let money = rows.end();
    asked[money] = -cost;
    let column = |c: &Cut| -> Column {
        let tight = u64::from(shop.margin(c.board, &c.counts) < 0);
        let begun = u64::from(shop.boards[c.board].whole);
        let mut column = rows.column(value(tight, begun, 1), c);
        let cost = shop.boards[c.board].cost;
        column.entries.extend((cost > 0).then_some((money, -cost)));
        column
    };
    let kinds = Kinds { rows, of: boards_of(&pool), costs: None };
    let below = |v: i64| v - 1;
    let goal = Goal { ceiling: value(tight, begun, boards) - 1, enough: 0, first: false, below: &below };
    let outcome = hunt(pool.iter().map(column).collect(), asked, kinds, goal, budget);
    let found = outcome.takes.map(|takes| cuts_of(shop, &pool, &takes));
    let cuts = found.filter(|f| cost_of(shop, f) <= cost && Score::of(shop, f) < score).unwrap_or(cuts);
    (cuts, outcome.closed)
}

/// One pattern as the table sees it.
struct Entry {
    cut: Cut,
    /// Places of the residual job that it lowers, and by how much.
    needs: Vec<(usize, u32)>,
    /// By how much it lowers the number of the residual job.
    offset: usize,
    /// Cost, tight boards, boards better left whole and boards, packed.
    value: u64,
    margin: i64,
    settings: usize,
}

/// The best way to cut every residual job. Its places are the lengths, then the boards of short supply.
struct Table {
    /// Full amounts of all places.
    full: Vec<u32>,
    lengths: usize,
    /// Patterns by the longest length they hold.
    entries: Vec<Vec<Entry>>,
    best: Vec<u64>,
}

impl Table {
    fn fill(shop: &Shop, budget: &mut Budget) -> Option<Table> {
        let mut full = shop.demand.clone();
        full.extend(shop.boards.iter().filter_map(|b| b.supply));
        let states = full.iter().try_fold(1u64, |n, &f| n.checked_mul(u64::from(f) + 1))?;
        if states > MOST_STATES {
            return None;
        }
        let pack = Pack::new(shop)?;
        // With many residual jobs a few patterns are too much work already; this saves listing them.
        let most = MOST_PATTERNS.min((64 * MOST_LOOKS / states).max(64) as usize);
        let cuts = patterns::all(shop, most, budget)?;
        let strides = strides(&full);
        let mut entries: Vec<Vec<Entry>> = (0..shop.lengths.len()).map(|_| Vec::new()).collect();
        for cut in cuts {
            let entry = entry(shop, &pack, &strides, cut);
            entries[entry.needs[0].0].push(entry);
        }
        let mut table = Table { full, lengths: shop.lengths.len(), entries, best: vec![NEVER; states as usize] };
        let cheap = table.cheap_entries(shop);
        let looks: u64 = (cheap.iter().enumerate()).map(|(f, list)| list.len() as u64 * table.states_from(f)).sum();
        let work = looks / 4 + states / 2;
        if looks > MOST_LOOKS || work > budget.left() || !budget.spend(work) {
            return None;
        }
        table.compute(&cheap);
        Some(table)
    }

    /// Residual jobs whose longest length is `first`.
    fn states_from(&self, first: usize) -> u64 {
        let others: u64 = self.full[first + 1..].iter().map(|&f| u64::from(f) + 1).product();
        others * u64::from(self.full[first])
    }

    /// For each parts list, on boards without end of supply, only the best; the first three goals need no other.
    fn cheap_entries(&self, shop: &Shop) -> Vec<Vec<usize>> {
        (self.entries.iter())
            .map(|list| {
                let mut best: std::collections::BTreeMap<(&[u32], usize), usize> = Default::default();
                for (index, entry) in list.iter().enumerate() {
                    let endless = shop.boards[entry.cut.board].supply.is_none();
                    let key = (entry.cut.counts.as_slice(), if endless { usize::MAX } else { entry.cut.board });
                    let kept = best.entry(key).or_insert(index);
                    if entry.value < list[*kept].value {
                        *kept = index;
                    }
                }
                best.into_values().collect()
            })
            .collect()
    }

    fn compute(&mut self, cheap: &[Vec<usize>]) {
        let mut left = vec![0u32; self.full.len()];
        for state in 0..self.best.len() {
            self.best[state] = match left[..self.lengths].iter().position(|&n| n > 0) {
                None => 0,
                Some(first) => (cheap[first].iter())
                    .map(|&index| &self.entries[first][index])
                    .filter(|e| e.needs.iter().all(|&(place, n)| left[place] >= n))
                    .map(|e| self.best[state - e.offset].saturating_add(e.value))
                    .min()
                    .unwrap_or(NEVER),
            };
            count_up(&mut left, &self.full);
        }
    }

    /// One plan that is best in the first three goals.
    fn trace(&self, shop: &Shop) -> Vec<Cut> {
        let mut left = self.full.clone();
        let mut state = self.best.len() - 1;
        let mut cuts = Vec::new();
        while let Some(first) = left[..self.lengths].iter().position(|&n| n > 0) {
            let fits = |e: &&Entry| {
                e.needs.iter().all(|&(place, n)| left[place] >= n)
                    && self.best[state - e.offset].saturating_add(e.value) == self.best[state]
            };
            // The table holds a finite value here, so one of its entries attains it.
            let Some(entry) = self.entries[first].iter().find(fits) else { break };
            entry.needs.iter().for_each(|&(place, n)| left[place] -= n);
            state -= entry.offset;
            cuts.push(entry.cut.clone());
        }
        debug_assert!(shop.lengths.len() == self.lengths);
        merge(cuts)
    }
}

/// How cost, tight boards, boards that are better left whole and boards share one number so that their order is its order.
struct Pack {
    bits: u32,
    /// Bits of the boards that are better left whole: none if there are no such.
    begun: u32,
}

impl Pack {
    /// `None` if the sums of a whole plan do not fit.
    fn new(shop: &Shop) -> Option<Pack> {
        let bits = 64 - (shop.parts() + 1).leading_zeros();
        let most = u64::try_from(shop.dearest()).ok()?.checked_mul(shop.parts() + 1)?;
        let begun = if shop.has_whole() { bits } else { 0 };
        let all = 2 * bits + begun;
        (all < 63 && most < 1 << (63 - all)).then_some(Pack { bits, begun })
    }

    fn value(&self, cost: i64, tight: bool, whole: bool) -> u64 {
        let (bits, tights) = (self.bits, self.bits + self.begun);
        ((cost as u64) << (tights + bits)) + (u64::from(tight) << tights) + (u64::from(whole) << bits) + 1
    }
}

/// Value of one unit of each place; the last place counts fastest.
fn strides(full: &[u32]) -> Vec<usize> {
    let mut strides = vec![1usize; full.len()];
    for place in (0..full.len().saturating_sub(1)).rev() {
        strides[place] = strides[place + 1] * (full[place + 1] as usize + 1);
    }
    strides
}

fn count_up(left: &mut [u32], full: &[u32]) {
    for (n, &most) in left.iter_mut().zip(full).rev() {
        if *n < most {
            *n += 1;
            return;
        }
        *n = 0;
    }
}

fn entry(shop: &Shop, pack: &Pack, strides: &[usize], cut: Cut) -> Entry {
    let mut needs: Vec<(usize, u32)> =
        cut.counts.iter().enumerate().filter(|(_, n)| **n > 0).map(|(i, &n)| (i, n)).collect();
    if shop.boards[cut.board].supply.is_some() {
        let earlier = shop.boards[..cut.board].iter().filter(|b| b.supply.is_some()).count();
        needs.push((shop.lengths.len() + earlier, 1));
    }
    let margin = shop.margin(cut.board, &cut.counts);
    Entry {
        offset: needs.iter().map(|&(place, n)| strides[place] * n as usize).sum(),
        value: pack.value(shop.boards[cut.board].cost, margin < 0, shop.boards[cut.board].whole),
        margin,
        settings: settings(&cut.counts),
        needs,
        cut,
    }
}

/// A walk over the plans that are best in the first three goals, with ever more distinct patterns.
///
/// Patterns are taken in the order of the table: the next one always holds the longest length left, and comes after the last.
struct Walk<'a> {
    shop: &'a Shop,
    table: &'a Table,
    taken: Vec<(usize, usize, u32)>,
    best: Option<(Score, Vec<Cut>)>,
}

/// Where a walk stands.
#[derive(Clone, Copy)]
struct Stand {
    state: usize,
    spent: u64,
    settings: usize,
    margin: i64,
}

impl<'a> Walk<'a> {
    fn new(shop: &'a Shop, table: &'a Table) -> Self {
        Walk { shop, table, taken: Vec::new(), best: None }
    }

    /// True when the walk saw every plan that could be the best.
    fn run(&mut self, budget: &mut Budget) -> bool {
        let start = Stand { state: self.table.best.len() - 1, spent: 0, settings: 0, margin: i64::MAX };
        for patterns in 1.. {
            let mut left = self.table.full.clone();
            if !self.step(start, &mut left, patterns, budget) {
                return false;
            }
            if self.best.is_some() {
                return true;
            }
        }
        true
    }

    fn step(&mut self, at: Stand, left: &mut [u32], patterns: u32, budget: &mut Budget) -> bool {
        let table = self.table;
        let Some(first) = left[..table.lengths].iter().position(|&n| n > 0) else {
            self.keep();
            return true;
        };
        if patterns == 0 || self.no_better(at, left) {
            return true;
        }
        let after = match self.taken.last() {
            Some(&(longest, index, _)) if longest == first => index + 1,
            _ => 0,
        };
        for (index, entry) in table.entries[first].iter().enumerate().skip(after) {
            if !budget.spend(1) {
                return false;
            }
            let most = entry.needs.iter().map(|&(place, n)| left[place] / n).min().unwrap_or(0);
            let least = if patterns == 1 { whole_rest(entry, left, table.lengths).max(1) } else { 1 };
            for times in (least..=most).rev() {
                let next = self.after(at, entry, times);
                if table.best[next.state].saturating_add(next.spent) != table.best[table.best.len() - 1] {
                    continue;
                }
                entry.needs.iter().for_each(|&(place, n)| left[place] -= n * times);
                self.taken.push((first, index, times));
                let on = self.step(next, left, patterns - 1, budget);
                self.taken.pop();
                entry.needs.iter().for_each(|&(place, n)| left[place] += n * times);
                if !on {
                    return false;
                }
            }
        }
        true
    }

    fn after(&self, at: Stand, entry: &Entry, times: u32) -> Stand {
        Stand {
            state: at.state - entry.offset * times as usize,
            spent: at.spent + entry.value * u64::from(times),
            settings: at.settings + entry.settings,
            margin: at.margin.min(entry.margin),
        }
    }

    /// True when every plan from here has more settings than the best, or as many and less reserve.
    fn no_better(&self, at: Stand, left: &[u32]) -> bool {
        let Some((best, _)) = &self.best else { return false };
        let settings = at.settings + settings(&left[..self.table.lengths]);
        settings > best.tally.settings || (settings == best.tally.settings && at.margin < best.tally.margin.0)
    }

    fn keep(&mut self) {
        let cuts = self
            .taken
            .iter()
            .map(|&(first, index, times)| Cut { times, ..self.table.entries[first][index].cut.clone() });
        let cuts = merge(cuts.collect());
        let score = Score::of(self.shop, &cuts);
        if self.best.as_ref().is_none_or(|(best, _)| score < *best) {
            self.best = Some((score, cuts));
        }
    }
}

/// How often a pattern has to be cut to leave nothing; `u32::MAX` if no number does it.
fn whole_rest(entry: &Entry, left: &[u32], lengths: usize) -> u32 {
    let (place, n) = entry.needs[0];
    let times = left[place] / n;
    let counts = &entry.cut.counts;
    let exact = (0..lengths).all(|i| counts[i] * times == left[i]);
    if exact { times } else { u32::MAX }
}
