//! Which boards are bought: sets of boards from the cheapest up, each refuted by a list of prices or cut for real.
//!
//! Take any list of prices of parts. A set of boards holds all parts only if what its boards can hold at most, each by itself, sums to the
//! worth of all parts: a *rule*. With lengths as prices it is said at once that the boards are long enough together. The cheapest set
//! that keeps all rules known so far is asked for a plan: its relaxation gives either a rule that this set breaks, or a mix, near which
//! a plan is looked for. Where one is found it is the cheapest, and the rules are the proof.
//!
//! (Benders' decomposition, with the numbers of boards as the master's variables and whole numbers throughout the proof.)

use crate::bound::{Ladder, Prices};
use crate::budget::Budget;
use crate::job::{Board, Cut, Shop, cost_of};
use crate::knapsack::{Effort, fullest_above};
use crate::master::{Relaxation, Until, relax};
use crate::search::{self, Found};

/// Steps for what one board holds at most by one list of prices.
const ONE_BOARD: u64 = 200_000;
/// Share of the dearest board by which the costs looked at grow.
const SIXTEENTH: i64 = 16;
/// Share of the steps that one set of boards may take.
const ONE_SET: u64 = 8;
/// Sets that were looked into in vain after which the boards are left to the wider search.
const MOST_OPEN: usize = 12;
/// Steps to find out whether a rule can be left out.
const ONE_RULE: u64 = 20_000;
/// Steps to find rules where they only add to a proof.
const FOR_RULES: u64 = 100_000;

/// What boards must hold together by one list of prices.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Rule {
    /// Price of one part of each distinct length.
    pub parts: Vec<i64>,
    /// What one board of each kind holds at most.
    pub held: Vec<i64>,
    /// What all parts are worth.
    pub needed: i128,
}

impl Rule {
    /// The rule of a list of prices. A board is not asked for less than its floor; above that for its fullest pattern, or for a bound of
    /// it. The worth of a board has to stay inside `i64`.
    pub fn new(shop: &Shop, parts: Vec<i64>, floors: &[i64], budget: &mut Budget) -> Rule {
        let ask = |(board, &floor): (&Board, &i64)| {
            let share = ONE_BOARD.min(budget.left());
            budget.capped(share, |budget| {
                fullest_above(floor, &parts, &shop.weights, &shop.demand, board.capacity, Effort::Best, budget).upper
            })
        };
        let held = shop.boards.iter().zip(floors).map(ask).collect();
        Rule::told(shop, parts, held)
    }

    /// A rule whose boards are known to hold at most so much.
    pub fn told(shop: &Shop, parts: Vec<i64>, held: Vec<i64>) -> Rule {
        let needed = shop.demand.iter().zip(&parts).map(|(&d, &p)| i128::from(d) * i128::from(p)).sum();
        Rule { parts, held, needed }
    }

    /// The boards have to be long enough together.
    fn of_lengths(shop: &Shop, budget: &mut Budget) -> Rule {
        let capacities: Vec<i64> = shop.boards.iter().map(|b| b.capacity).collect();
        Rule::new(shop, shop.weights.clone(), &capacities, budget)
    }

    /// The rule of prices that were found for a job with these numbers of boards.
    fn of_prices(shop: &Shop, prices: &Prices, supply: &[u32], budget: &mut Budget) -> Rule {
        // What a kind of which there are none there can hold is not known of these prices.
        let known = |(place, &number): (usize, &u32)| match number {
            0 => 0,
            _ => shop.boards[place].cost * prices.scale + prices.supply[place],
        };
        let floors: Vec<i64> = supply.iter().enumerate().map(known).collect();
        Rule::new(shop, prices.parts.clone(), &floors, budget)
    }

    /// True if a set of boards may hold all parts, as far as this rule tells.
    fn keeps(&self, boards: &[u32]) -> bool {
        let held: i128 = self.held.iter().zip(boards).map(|(&h, &n)| i128::from(h) * i128::from(n)).sum();
        held >= self.needed
    }
}

/// How many boards of each kind, and what they cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Boards {
    pub numbers: Vec<u32>,
    pub cost: i64,
}

/// Looks for the cheapest set of boards that keeps all rules.
pub(crate) struct Picker<'a> {
    shop: &'a Shop,
    rules: &'a [Rule],
    /// Sets that are known to hold no plan, or are not to be looked into again.
    refused: &'a [Vec<u32>],
    /// Kinds in the order in which they are decided: short supply first.
    order: Vec<usize>,
    /// For each place of the order and each rule the kind, from there on, that holds most for its cost.
    thriftiest: Vec<Vec<usize>>,
    numbers: Vec<u32>,
    best: Option<Boards>,
    /// Sets above this are of no use.
    ceiling: i64,
}

impl<'a> Picker<'a> {
    /// Over some rules.
    pub fn new(shop: &'a Shop, rules: &'a [Rule], refused: &'a [Vec<u32>]) -> Picker<'a> {
        let mut order: Vec<usize> = (0..shop.boards.len()).collect();
        let cost = |k: usize| shop.boards[k].cost;
        order.sort_by_key(|&k| (cost(k) > 0, shop.boards[k].supply.is_none(), std::cmp::Reverse(cost(k)), k));
        let better = |rule: &Rule, a: usize, b: usize| {
            let (of_a, of_b) = (i128::from(rule.held[a]), i128::from(rule.held[b]));
            // A board of no cost that holds nothing is not thrifty: of equals the one that holds more.
            (of_a * i128::from(cost(b)), of_a) > (of_b * i128::from(cost(a)), of_b)
        };
        let mut thriftiest = vec![Vec::new(); order.len()];
        for place in (0..order.len()).rev() {
            thriftiest[place] = (0..rules.len())
                .map(|at| match thriftiest.get(place + 1).map(|later: &Vec<usize>| later[at]) {
                    Some(later) if !better(&rules[at], order[place], later) => later,
                    _ => order[place],
                })
                .collect();
        }
        let numbers = vec![0; order.len()];
        Picker { shop, rules, refused, order, thriftiest, numbers, best: None, ceiling: -1 }
    }

    /// The cheapest set that costs at least `from` (cheaper ones are known to break a rule) and at most `to`. The outer `None`: the steps
    /// ran out.
    pub fn cheapest(&mut self, from: i64, to: i64, budget: &mut Budget) -> Option<Option<Boards>> {
        let mut reach = self.shop.dearest() / SIXTEENTH + 1;
        let mut high = from.saturating_sub(1);
        while high < to {
            high = to.min(high.saturating_add(reach));
            reach = reach.saturating_mul(2);
            self.ceiling = high;
            let mut left: Vec<i128> = self.rules.iter().map(|rule| rule.needed).collect();
            if !self.go(0, 0, &mut left, budget) {
                return None;
            }
            if self.best.is_some() {
                return Some(self.best.take());
            }
        }
        Some(None)
    }

    /// Decides the kinds from a place of the order on; false when the steps ran out.
    fn go(&mut self, place: usize, spent: i64, left: &mut [i128], budget: &mut Budget) -> bool {
        if !budget.spend(1) {
            return false;
        }
        if left.iter().all(|&l| l <= 0) {
            return self.keep(place, spent, left, budget);
        }
        let Some(&kind) = self.order.get(place) else { return true };
        let room = i128::from(self.ceiling - spent);
        let short = |(at, &l): (usize, &i128)| {
            let best = self.thriftiest[place][at];
            let held = i128::from(self.rules[at].held[best]);
            l > 0
                && (held == 0 || l.saturating_mul(i128::from(self.shop.boards[best].cost)) > room.saturating_mul(held))
        };
        if left.iter().enumerate().any(short) {
            return true;
        }
        let most = self.most(kind, spent, left);
        let last = place + 1 == self.order.len();
        let free = self.shop.boards[kind].cost == 0;
        let least = if free || last { self.enough(kind, left).min(most) } else { 0 };
        let first = if free { most } else { least };
        for number in first..=most {
            let ahead = spent + self.shop.boards[kind].cost * number;
            if ahead > self.ceiling {
                break;
            }
            self.numbers[kind] = number as u32;
            self.put(kind, number, left);
            let on = self.go(place + 1, ahead, left, budget);
            self.put(kind, -number, left);
            self.numbers[kind] = 0;
            if !on {
                return false;
            }
        }
        true
    }

    fn put(&self, kind: usize, number: i64, left: &mut [i128]) {
        left.iter_mut().zip(self.rules).for_each(|(l, r)| *l -= i128::from(number) * i128::from(r.held[kind]));
    }

    /// Most boards of a kind that can be of use.
    fn most(&self, kind: usize, spent: i64, left: &[i128]) -> i64 {
        let board = &self.shop.boards[kind];
        let supply = board.supply.map_or(self.shop.parts() as i64, i64::from);
        let paid = if board.cost > 0 { (self.ceiling - spent) / board.cost } else { i64::MAX };
        // Where sets are refused, a few boards more than the rules ask for may be what is missing.
        let spare = if self.refused.is_empty() { 0 } else { i64::MAX / 2 };
        supply.min(paid).min(self.enough(kind, left).saturating_add(spare))
    }

    /// Boards of one kind that alone keep all rules; without end where it holds nothing of one.
    fn enough(&self, kind: usize, left: &[i128]) -> i64 {
        let of = |(&l, rule): (&i128, &Rule)| match i128::from(rule.held[kind]) {
            _ if l <= 0 => 0,
            0 => i64::MAX / 2,
            held => i64::try_from((l + held - 1) / held).unwrap_or(i64::MAX / 2),
        };
        left.iter().zip(self.rules).map(of).max().unwrap_or(0)
    }

    /// All rules are kept: a set, unless it is refused; then perhaps one with more boards.
    fn keep(&mut self, place: usize, spent: i64, left: &mut [i128], budget: &mut Budget) -> bool {
        let refused = self.refused.iter().any(|refused| no_better(&self.numbers, refused));
        if !refused {
            self.best = Some(Boards { numbers: self.numbers.clone(), cost: spent });
            self.ceiling = spent - 1;
            return true;
        }
        let Some(&kind) = self.order.get(place) else { return true };
        for number in 0..=self.most(kind, spent, left) {
            let ahead = spent + self.shop.boards[kind].cost * number;
            if ahead > self.ceiling {
                break;
            }
            self.numbers[kind] = number as u32;
            self.put(kind, number, left);
            let on = budget.spend(1) && self.keep(place + 1, ahead, left, budget);
            self.put(kind, -number, left);
            self.numbers[kind] = 0;
            if !on {
                return false;
            }
        }
        true
    }
}

/// True if every board of one set has a board of another at least as long: kinds stand longest first.
fn no_better(boards: &[u32], than: &[u32]) -> bool {
    let mut ahead = 0i64;
    boards.iter().zip(than).all(|(&a, &b)| {
        ahead += i64::from(b) - i64::from(a);
        ahead >= 0
    })
}

/// What came of asking sets of boards.
pub(crate) struct Asked {
    /// The best plan known.
    pub cuts: Option<Vec<Cut>>,
    /// True if nothing is cheaper.
    pub closed: bool,
    /// No plan costs less.
    pub lower: i64,
    /// Rules that prove more than the relaxation does.
    pub ruled: Option<Ruled>,
}

/// A bound that rests on rules.
pub(crate) struct Ruled {
    /// As few as may be.
    pub rules: Vec<Rule>,
    /// No set of boards that costs less keeps them all.
    pub bound: i64,
}

impl Ruled {
    /// Leaves out the rules without which the bound holds as well; `None` if the relaxation alone proves as much.
    fn lean(shop: &Shop, mut rules: Vec<Rule>, bound: i64, lower: i64, budget: &mut Budget) -> Option<Ruled> {
        if bound <= lower {
            return None;
        }
        for at in (0..rules.len()).rev() {
            let mut fewer = rules.clone();
            fewer.remove(at);
            let enough =
                |budget: &mut Budget| Picker::new(shop, &fewer, &[]).cheapest(0, bound - 1, budget) == Some(None);
            let share = ONE_RULE.min(budget.left());
            if budget.capped(share, enough) {
                rules = fewer;
            }
        }
        Some(Ruled { rules, bound })
    }
}

/// What the lengths of the parts and the prices of the relaxation prove together of the boards that are bought.
pub(crate) fn by_lengths(shop: &Shop, prices: &Prices, ladder: &Ladder, budget: &mut Budget) -> Option<Ruled> {
    let share = FOR_RULES.min(budget.left());
    budget.capped(share, |budget| by_rules(shop, prices, ladder, None, budget))
}

/// The same with a rule for every set of boards cheaper than a plan, as far as its relaxation gives one.
pub(crate) fn below(shop: &Shop, prices: &Prices, ladder: &Ladder, cost: i64, budget: &mut Budget) -> Option<Ruled> {
    let share = FOR_RULES.min(budget.left());
    budget.capped(share, |budget| by_rules(shop, prices, ladder, Some(cost), budget))
}

fn by_rules(shop: &Shop, prices: &Prices, ladder: &Ladder, cost: Option<i64>, budget: &mut Budget) -> Option<Ruled> {
    let lower = ladder.up(prices.bound);
    if shop.boards.len() == 1 {
        return None;
    }
    let mut rules = vec![Rule::of_lengths(shop, budget), Rule::of_prices(shop, prices, &shop.supply(), budget)];
    let top = cost.unwrap_or(search::above_all(shop));
    let mut reached = lower;
    while reached < top {
        let Some(next) = Picker::new(shop, &rules, &[]).cheapest(reached, top - 1, budget) else { break };
        // Without a plan, that no boards keep the rules is left for the search to say.
        reached = next.as_ref().map_or(cost.unwrap_or(reached), |boards| boards.cost);
        let Some(boards) = next.filter(|_| cost.is_some()) else { break };
        let bought = buy(shop, &boards);
        match broken_rule(shop, &bought, &boards, budget).1 {
            Some(rule) if !rule.keeps(&boards.numbers) => rules.push(rule),
            _ => break,
        }
    }
    Ruled::lean(shop, rules, reached, lower, budget)
}

/// Asks sets of boards from the cheapest up.
pub(crate) fn ask(
    shop: &Shop,
    relaxation: &Relaxation,
    ladder: &Ladder,
    known: Option<Vec<Cut>>,
    budget: &mut Budget,
) -> Asked {
    let lower = ladder.up(relaxation.prices.bound);
    let mut rules =
        vec![Rule::of_lengths(shop, budget), Rule::of_prices(shop, &relaxation.prices, &shop.supply(), budget)];
    let mut asked = Asked { cuts: known, closed: false, lower, ruled: None };
    let mut ruled = lower;
    let mut refused = Vec::new();
    let mut open = 0;
    let mut from = lower;
    while open < MOST_OPEN && !budget.out() {
        let top = asked.cuts.as_ref().map_or(search::above_all(shop), |cuts| cost_of(shop, cuts));
        if top <= asked.lower {
            asked.closed = true;
            break;
        }
        let Some(next) = Picker::new(shop, &rules, &refused).cheapest(from, top - 1, budget) else { break };
        let reached = next.as_ref().map_or(top, |boards| boards.cost);
        from = reached;
        if open == 0 {
            asked.lower = reached;
            if refused.is_empty() {
                ruled = reached;
            }
        }
        let Some(boards) = next else {
            asked.closed = open == 0;
            break;
        };
        match look_into(shop, ladder, &boards, budget) {
            Look::Breaks(rule) => rules.push(rule),
            Look::Nothing => refused.push(boards.numbers),
            Look::Plan(cuts) => asked.cuts = Some(cuts),
            Look::Open => {
                open += 1;
                refused.push(boards.numbers);
            }
        }
    }
    asked.ruled = Ruled::lean(shop, rules, ruled, lower, budget);
    asked
}

/// What one set of boards is good for.
enum Look {
    /// It breaks this rule.
    Breaks(Rule),
    /// It holds no plan.
    Nothing,
    /// It holds this plan.
    Plan(Vec<Cut>),
    /// That did not come out.
    Open,
}

/// The job on these boards alone.
fn buy(shop: &Shop, boards: &Boards) -> Shop {
    let mut bought = shop.clone();
    bought.boards.iter_mut().zip(&boards.numbers).for_each(|(board, &number)| board.supply = Some(number));
    bought
}

/// The relaxation of the job on these boards, as far as it tells whether they can hold all parts; the rule that they break if they cannot.
fn broken_rule<'s>(
    shop: &Shop,
    bought: &'s Shop,
    boards: &Boards,
    budget: &mut Budget,
) -> (Relaxation<'s>, Option<Rule>) {
    let relaxation = relax(bought, Until::Bound(boards.cost + 1), budget);
    let breaks = relaxation.prices.bound > boards.cost;
    let rule = breaks.then(|| Rule::of_prices(shop, &relaxation.prices, &boards.numbers, budget));
    (relaxation, rule)
}

fn look_into(shop: &Shop, ladder: &Ladder, boards: &Boards, budget: &mut Budget) -> Look {
    let bought = buy(shop, boards);
    let (mut relaxation, rule) = broken_rule(shop, &bought, boards, budget);
    if let Some(rule) = rule {
        return if rule.keeps(&boards.numbers) { Look::Open } else { Look::Breaks(rule) };
    }
    let share = budget.left() / ONE_SET;
    let Found { cuts, closed, .. } =
        budget.capped(share, |budget| search::fulfil(&bought, &mut relaxation, ladder, boards.cost, budget));
    match cuts {
        Some(cuts) => Look::Plan(cuts),
        None if closed => Look::Nothing,
        None => Look::Open,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Item, Job, Stock};

    fn next(state: &mut u64, below: i64) -> i64 {
        *state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (*state >> 33) as i64 % below
    }

    /// The least cost of numbers of boards that keep all rules and are no worse than a refused set, by trying all numbers.
    fn brute(shop: &Shop, rules: &[Rule], refused: &[Vec<u32>], top: i64) -> Option<i64> {
        let kinds = shop.boards.len();
        let mut numbers = vec![0u32; kinds];
        let mut least = None;
        loop {
            let cost: i64 = shop.boards.iter().zip(&numbers).map(|(b, &n)| b.cost * i64::from(n)).sum();
            let open = !refused.iter().any(|refused| no_better(&numbers, refused));
            if cost <= top && open && rules.iter().all(|rule| rule.keeps(&numbers)) && least.is_none_or(|l| cost < l) {
                least = Some(cost);
            }
            let most = |kind: usize| shop.boards[kind].supply.unwrap_or(9);
            let Some(kind) = (0..kinds).find(|&kind| numbers[kind] < most(kind)) else { return least };
            numbers[kind] += 1;
            numbers[..kind].iter_mut().for_each(|n| *n = 0);
        }
    }

    /// Source: every number of boards up to nine of a kind; stock of no cost, held worths of nothing and refused sets among them.
    #[test]
    fn the_cheapest_set_is_that_of_brute_force() {
        let state = &mut 6;
        let (mut found, mut none) = (0, 0);
        for _ in 0..600 {
            let stocks = (0..1 + next(state, 4))
                .map(|_| {
                    let cost = [0, 1, 1, 1][next(state, 4) as usize] * (6 + next(state, 9));
                    let supply = (cost == 0 || next(state, 2) == 0).then(|| 1 + next(state, 3) as u32);
                    Stock { length: 10 + next(state, 20), cost, supply }
                })
                .collect();
            let item = |state: &mut u64| Item { length: 2 + next(state, 8), demand: 9 + next(state, 9) as u32 };
            let job = Job { items: vec![item(state), item(state)], stocks, ..Job::default() };
            let Ok(mut shop) = Shop::new(&job) else { continue };
            shop.boards.iter_mut().for_each(|b| b.cost *= shop.unit);
            let lengths = shop.lengths.len();
            let rules: Vec<Rule> = (0..1 + next(state, 3))
                .map(|_| {
                    let parts = (0..lengths).map(|_| next(state, 4)).collect();
                    let held = shop.boards.iter().map(|_| [0, 1][next(state, 2) as usize] * next(state, 30)).collect();
                    Rule::told(&shop, parts, held)
                })
                .collect();
            let refused: Vec<Vec<u32>> = (0..next(state, 3))
                .map(|_| shop.boards.iter().map(|b| (next(state, 5) as u32).min(b.supply.unwrap_or(9))).collect())
                .collect();
            let top = 50;
            let mut budget = Budget::new(u64::MAX, &|| false);
            let got = Picker::new(&shop, &rules, &refused).cheapest(0, top, &mut budget).expect("steps without end");
            let want = brute(&shop, &rules, &refused, top);
            assert_eq!(got.as_ref().map(|boards| boards.cost), want, "{shop:?} {rules:?} {refused:?}");
            if let Some(boards) = got {
                assert!(rules.iter().all(|rule| rule.keeps(&boards.numbers)));
                found += 1;
            } else {
                none += 1;
            }
        }
        assert!(found > 150 && none > 150, "{found} {none}");
    }
}
