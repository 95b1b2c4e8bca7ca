//! The cheapest plan, and the proof that none is cheaper.
//!
//! The relaxation says which patterns can stand in a cheaper plan at all; over those [`crate::hunt`] searches.

use crate::bound::Ladder;
use crate::budget::Budget;
use crate::buying::{self, Ruled};
use crate::dive::{QUICK, THOROUGH, dive};
use crate::greedy::{self, settle};
use crate::hunt::{FEW, Goal, Kinds, Rows, hunt};
use crate::job::{Cut, Shop, cost_of};
use crate::master::{Relaxation, Until};
use crate::patterns::within_gap;

/// Most patterns over which the search runs.
const MOST_PATTERNS: usize = 40_000;
/// Share of the steps for each attempt that keeps most of the relaxation's whole boards.
const ATTEMPT: u64 = 20;
/// The first hunt is among patterns within this many halvings of the gap.
const NARROWEST: u32 = 4;
/// Lists of prices by which patterns are left out.
const FILTERS: usize = 6;
/// Share of the dearest board by which a search looks higher.
const SIXTEENTH: i64 = 16;
/// Share of the steps for a thorough dive where a proof is out of reach.
const EIGHTH: u64 = 8;
/// Past so many patterns a better plan ends the hunt, and a new one starts with fewer patterns.
const WORTH_LISTING_AGAIN: usize = 500;

/// Most distinct lengths of a job that is searched: each decision keeps a square of them.
const MOST_LENGTHS: usize = 300;

/// What the search for the cheapest plan ended with.
pub(crate) struct Found {
    /// The best plan, if there is one.
    pub cuts: Option<Vec<Cut>>,
    /// True when the search ended: nothing is cheaper (or nothing is possible).
    pub closed: bool,
    /// Rules that prove more than the relaxation does.
    pub ruled: Option<Ruled>,
}

impl Found {
    fn new(cuts: Option<Vec<Cut>>, closed: bool) -> Found {
        Found { cuts, closed, ruled: None }
    }
}

/// Looks for the cheapest plan; `known` may hold one already.
pub(crate) fn cheapest(
    shop: &Shop,
    relaxation: &mut Relaxation,
    ladder: &Ladder,
    known: Option<Vec<Cut>>,
    budget: &mut Budget,
) -> Found {
    if shop.boards.len() == 1 {
        return among(shop, relaxation, ladder, known, budget);
    }
    let lower = ladder.up(relaxation.prices.bound);
    let mut best = known;
    if best.as_ref().is_none_or(|cuts| cost_of(shop, cuts) > lower) {
        best = better(shop, best, greedy::round(shop, relaxation));
    }
    if best.as_ref().is_some_and(|cuts| cost_of(shop, cuts) <= lower) {
        return Found::new(best, true);
    }
    relaxation.go_on(Until::Converged, budget);
    let half = budget.left() / 2;
    let asked = budget.capped(half, |budget| buying::ask(shop, relaxation, ladder, best, budget));
    if asked.closed {
        return Found { cuts: asked.cuts, closed: true, ruled: asked.ruled };
    }
    let lower = asked.lower;
    let found = among(shop, relaxation, ladder, asked.cuts, budget);
    let closed = found.closed || found.cuts.as_ref().is_some_and(|cuts| cost_of(shop, cuts) <= lower);
    Found { closed, ruled: asked.ruled, ..found }
}

/// A plan from boards that are bought already: they cost `cost` together, and every plan from fewer of them is known not to exist.
pub(crate) fn fulfil(
    shop: &Shop,
    relaxation: &mut Relaxation,
    ladder: &Ladder,
    cost: i64,
    budget: &mut Budget,
) -> Found {
    if let Some(cuts) = greedy::quick(shop) {
        return Found::new(Some(cuts), true);
    }
    let found = dive(relaxation, cost, &QUICK, budget);
    if found.is_some() || budget.out() {
        return {
            let closed = found.is_some();
            Found::new(found, closed)
        };
    }
    relaxation.go_on(Until::Converged, budget);
    let filters = relaxation.filters(FILTERS, budget);
    let pool = within_gap(shop, &filters, cost, false, MOST_PATTERNS, budget);
    if pool.as_ref().is_none_or(|pool| pool.len() > FEW) {
        let half = budget.left() / 2;
        let found = budget.capped(half, |budget| dive(relaxation, cost, &THOROUGH, budget));
        if found.is_some() {
            return Found::new(found, true);
        }
    }
    let Some(pool) = pool else { return Found::new(None, false) };
    let (cuts, closed) = hunt_pool(shop, ladder, &pool, cost, cost, budget);
    Found::new(cuts, closed)
}

/// The same without asking first which boards are bought.
pub(crate) fn among(
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
        return Found::new(best, true);
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
pub(crate) fn above_all(shop: &Shop) -> i64 {
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
        return Found::new(best, false);
    }
    relaxation.go_on(Until::Converged, budget);
    let filters = relaxation.filters(FILTERS, budget);
    let mut lower = ladder.up(relaxation.prices.bound);
    let mut reach = 0;
    let mut dived = false;
    loop {
        let known = best.as_ref().map_or(above_all(shop), |cuts| cost_of(shop, cuts));
        if known <= lower {
            return Found::new(best, true);
        }
        let top = ladder.below(known);
        let ceiling = top.min(lower.saturating_add(reach));
        let Some(pool) = within_gap(shop, &filters, ceiling, false, MOST_PATTERNS, budget) else { break };
        if pool.len() > FEW && !dived {
            dived = true;
            let third = budget.left() / 3;
            let found = budget.capped(third, |budget| dive(relaxation, lower, &THOROUGH, budget));
            if found.is_some() {
                return Found::new(found, true);
            }
        }
        let (found, closed) = hunt_pool(shop, ladder, &pool, ceiling, lower, budget);
        let found_one = found.is_some();
        best = better(shop, best, found);
        if budget.out() || !(closed || found_one) {
            break;
        }
        if closed && (found_one || ceiling == top) {
            return Found::new(best, true);
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
    Found::new(best, closed)
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::master::{Until, relax};
    use crate::recut::{self, Piece};
    use crate::score::Score;
    use crate::shares::MOST;
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
            Job { items, stocks, kerf: self.between(0, 3), trim: self.between(0, 5), reserve, ..Job::default() }
        }
    }

    /// Source: the table of residual jobs, which is itself held against brute force in `tests/brute_force.rs`.
    #[test]
    fn the_search_for_large_jobs_agrees_with_the_table() {
        let mut lcg = Lcg(40);
        let never = || false;
        let (mut compared, mut short, mut best, mut anew) = (0, 0, 0, 0);
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
                (Small::Best { cuts: expected, ties_exact }, Some(cuts)) => {
                    assert_eq!(cost_of(&shop, &cuts), cost_of(&shop, &expected), "{job:?}");
                    let (cuts, settled) = ties::improve(&shop, &relaxation, &ladder, cuts, &mut budget);
                    let (expected, got) = (Score::of(&shop, &expected), Score::of(&shop, &cuts));
                    assert!(got >= expected && got.tally.cost == expected.tally.cost);
                    if ties_exact && cuts.len() <= MOST {
                        // A whole plan of few patterns as one piece: the best in every goal.
                        let whole: Vec<&Cut> = cuts.iter().collect();
                        let piece = Piece { shop: &shop, cuts: &whole, rest: &[], settled: true };
                        let found = recut::recut(&piece, None, &mut budget);
                        let again = recut::recut(&piece, Some(&got), &mut budget);
                        assert_eq!(found.as_ref().map_or(&got, |found| &found.0), &expected, "{job:?}");
                        assert_eq!(found, again);
                        anew += usize::from(found.is_some());
                    }
                    compared += 1;
                    assert!(settled, "{job:?}");
                    let (got, expected) = (got.tally, expected.tally);
                    best += usize::from((got.tight, got.boards) == (expected.tight, expected.boards));
                }
                (Small::Short, None) => short += 1,
                (_, found) => panic!("{job:?} {found:?}"),
            }
        }
        assert!(compared > 250 && short > 10, "{compared} {short}");
        assert!(anew > 50, "{anew}");
        assert_eq!(best, compared, "fewest tight boards, then fewest boards");
    }
}
