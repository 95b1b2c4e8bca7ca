//! The proof that comes with a plan, and its check in whole numbers.
//!
//! A certificate says: if each part were paid at its price, no board could hold parts worth more than the board costs. So the parts together cost at least the sum of their prices.

use crate::bound::{Ladder, Prices};
use crate::budget::Budget;
use crate::buying::{self, Picker, Ruled};
use crate::job::{Board, Shop};
use crate::knapsack::{Effort, fullest_above};
use crate::{Certificate, CertificateKind, Job, Problem, Refuted, Rule, check_supply, zones};

/// Work that one check may take; past it the check says so and decides nothing.
const CHECK_STEPS: u64 = 400_000_000;

/// Checks a certificate again from nothing but the job: one integer knapsack for each stock.
///
/// Holds when all prices are at least zero; for each stock `s` no pattern that fits, with at most the demand of each item, has
/// `Σ duals·count > cost(s)·scale + supply_duals(s)`; and supply prices stand only where there is a supply. Then every plan costs
/// at least `ceil((Σ duals·demand − Σ supply_duals·supply) / scale)`, and at least the next sum of stock costs above it. That is returned.
///
/// With rules: for each rule and stock `s` no pattern that fits has `Σ duals·count > held(s)`, so the boards of a plan hold `Σ held` together,
/// which is at least `Σ duals·demand`; and no numbers of boards that keep all rules and the supplies cost less than the bound.
///
/// With cases: every way of buying boards with bad stretches costs, with what the rest is proven to cost, at least the bound. What is bought
/// for nothing is held in every way.
///
/// # Errors
/// [`Refuted`] names what does not hold.
pub fn verify(job: &Job, certificate: &Certificate) -> Result<i64, Refuted> {
    if !job.bad.is_empty() {
        return verify_cases(job, certificate);
    }
    if !certificate.cases.is_empty() {
        return Err(Refuted::Shape);
    }
    // Slanted ends all in each other take least.
    let shop = Shop::new(job).map_err(Refuted::Job)?.nested_throughout();
    check_shape(job, certificate)?;
    let never = || false;
    let mut budget = Budget::new(CHECK_STEPS, &never);
    let allowed = |board: &Board| {
        let cost = i128::from(board.cost) * i128::from(shop.unit) * i128::from(certificate.scale);
        cost + i128::from(certificate.supply_duals[board.original])
    };
    check_worths(&shop, &certificate.duals, allowed, &mut budget)?;
    let bound = lifted(&shop, value(job, certificate), certificate.scale, &mut budget);
    if bound >= certificate.bound {
        return Ok(bound);
    }
    if certificate.rules.is_empty() || certificate.bound % shop.unit != 0 {
        return Err(Refuted::Bound { holds: bound });
    }
    let rules =
        certificate.rules.iter().map(|rule| check_rule(&shop, rule, &mut budget)).collect::<Result<Vec<_>, _>>()?;
    match Picker::new(&shop, &rules, &[]).cheapest(0, certificate.bound / shop.unit - 1, &mut budget) {
        Some(None) => Ok(certificate.bound),
        Some(Some(boards)) => Err(Refuted::Bound { holds: bound.max(boards.cost.saturating_mul(shop.unit)) }),
        None => Err(Refuted::TooLong),
    }
}

/// Every way of buying boards with bad stretches costs at least the bound.
fn verify_cases(job: &Job, certificate: &Certificate) -> Result<i64, Refuted> {
    let ways = zones::ways(job)?;
    if ways.len() != certificate.cases.len() {
        return Err(Refuted::Shape);
    }
    for (way, case) in ways.iter().zip(&certificate.cases) {
        if way.cost >= certificate.bound {
            continue;
        }
        let holds = match &case.certificate {
            Some(own) => way.cost.saturating_add(verify(&way.job, own)?),
            None => match Shop::new(&way.job) {
                Err(Problem::TooLong { .. }) => continue,
                Err(problem) => return Err(Refuted::Job(problem)),
                Ok(shop) => match check_supply(&shop.nested_throughout()) {
                    Err(_) => continue,
                    Ok(()) => way.cost,
                },
            },
        };
        if holds < certificate.bound {
            return Err(Refuted::Bound { holds });
        }
    }
    Ok(certificate.bound)
}

/// No board holds parts worth more than it may; then the prices of the distinct lengths.
fn check_worths(
    shop: &Shop,
    duals: &[i64],
    allowed: impl Fn(&Board) -> i128,
    budget: &mut Budget,
) -> Result<Vec<i64>, Refuted> {
    let parts = merged_duals(shop, duals)?;
    if !worths_fit(shop, &parts) {
        return Err(Refuted::Shape);
    }
    for board in &shop.boards {
        // No pattern is worth more than `i64` holds, so a greater allowance allows all.
        let Ok(allowed) = i64::try_from(allowed(board)) else { continue };
        let filling = fullest_above(allowed, &parts, &shop.weights, &shop.demand, board.capacity, Effort::Best, budget);
        if filling.worth > allowed {
            return Err(Refuted::Pattern { stock: board.original, worth: filling.worth });
        }
        if filling.upper > allowed {
            return Err(Refuted::TooLong);
        }
    }
    Ok(parts)
}

fn check_rule(shop: &Shop, rule: &Rule, budget: &mut Budget) -> Result<buying::Rule, Refuted> {
    let parts = check_worths(shop, &rule.duals, |board| i128::from(rule.held[board.original]), budget)?;
    let held = shop.boards.iter().map(|board| rule.held[board.original]).collect();
    Ok(buying::Rule::told(shop, parts, held))
}

/// Writes prices as a certificate for the caller's items and stocks.
pub(crate) fn write(job: &Job, shop: &Shop, prices: &Prices, ladder: &Ladder, kind: CertificateKind) -> Certificate {
    let mut duals = vec![0; job.items.len()];
    for (members, price) in shop.members.iter().zip(&prices.parts) {
        members.iter().for_each(|&(item, _)| duals[item] = price * shop.unit);
    }
    let mut supply_duals = vec![0; job.stocks.len()];
    for (board, price) in shop.boards.iter().zip(&prices.supply) {
        supply_duals[board.original] = price * shop.unit;
    }
    // With a supply that does not suffice the prices may climb without end.
    let bound = ladder.up(prices.bound).saturating_mul(shop.unit);
    Certificate { scale: prices.scale, duals, supply_duals, rules: Vec::new(), bound, cases: Vec::new(), kind }
}

/// Adds the rules and the bound that they prove, if that is higher.
pub(crate) fn add_rules(certificate: &mut Certificate, job: &Job, shop: &Shop, ruled: &Ruled) {
    let bound = ruled.bound.saturating_mul(shop.unit);
    if bound <= certificate.bound {
        return;
    }
    certificate.bound = bound;
    certificate.kind = CertificateKind::Boards;
    certificate.rules = (ruled.rules.iter())
        .map(|rule| {
            let mut told = Rule { duals: vec![0; job.items.len()], held: vec![0; job.stocks.len()] };
            for (members, &price) in shop.members.iter().zip(&rule.parts) {
                members.iter().for_each(|&(item, _)| told.duals[item] = price);
            }
            shop.boards.iter().zip(&rule.held).for_each(|(board, &held)| told.held[board.original] = held);
            told
        })
        .collect();
}

/// The certificate of a job without parts.
pub(crate) fn empty(job: &Job) -> Certificate {
    Certificate {
        scale: 1,
        duals: vec![0; job.items.len()],
        supply_duals: vec![0; job.stocks.len()],
        rules: Vec::new(),
        bound: 0,
        cases: Vec::new(),
        kind: CertificateKind::Duals,
    }
}

fn check_shape(job: &Job, certificate: &Certificate) -> Result<(), Refuted> {
    let lengths = certificate.duals.len() == job.items.len() && certificate.supply_duals.len() == job.stocks.len();
    let signs = certificate.duals.iter().chain(&certificate.supply_duals).all(|&d| d >= 0) && certificate.scale > 0;
    let supplied = job.stocks.iter().zip(&certificate.supply_duals).all(|(s, &d)| d == 0 || s.supply.is_some());
    let rules = certificate.rules.iter().all(|rule| {
        let lengths = rule.duals.len() == job.items.len() && rule.held.len() == job.stocks.len();
        lengths && rule.duals.iter().chain(&rule.held).all(|&d| d >= 0)
    });
    if lengths && signs && supplied && rules { Ok(()) } else { Err(Refuted::Shape) }
}

/// True if the worth of every pattern stays inside `i64`, as the knapsack needs it.
///
/// A board of capacity `C` holds at most `C` times the greatest price per weight, at most all parts at the greatest price, and of each
/// length at most what is asked for and what fits.
fn worths_fit(shop: &Shop, prices: &[i64]) -> bool {
    let capacity = shop.boards.iter().map(|b| b.capacity).max().unwrap_or(0);
    let by_length = prices.iter().zip(&shop.weights).map(|(&p, &w)| i128::from(p) * i128::from(capacity / w + 1)).max();
    let by_number = prices.iter().map(|&p| i128::from(p) * i128::from(shop.parts())).max();
    let held = |w: i64, d: u32| i128::from((capacity / w).min(i64::from(d)));
    let each = prices.iter().zip(&shop.weights).zip(&shop.demand);
    let one_by_one: i128 = each.map(|((&p, &w), &d)| i128::from(p) * held(w, d)).sum();
    by_length.min(by_number).unwrap_or(0).min(one_by_one) <= i128::from(i64::MAX)
}

/// The price of each distinct length; items of one length have to agree.
fn merged_duals(shop: &Shop, duals: &[i64]) -> Result<Vec<i64>, Refuted> {
    shop.members
        .iter()
        .map(|members| {
            let price = duals[members[0].0];
            let agree = members.iter().all(|m| duals[m.0] == price);
            agree.then_some(price).ok_or(Refuted::Shape)
        })
        .collect()
}

fn value(job: &Job, certificate: &Certificate) -> i128 {
    let parts: i128 =
        job.items.iter().zip(&certificate.duals).map(|(i, &d)| i128::from(i.demand) * i128::from(d)).sum();
    let boards: i128 = (job.stocks.iter().zip(&certificate.supply_duals))
        .map(|(s, &d)| i128::from(s.supply.unwrap_or(0)) * i128::from(d))
        .sum();
    parts - boards
}

fn lifted(shop: &Shop, value: i128, scale: i64, budget: &mut Budget) -> i64 {
    let unit = i128::from(scale) * i128::from(shop.unit);
    let whole = (value + unit - 1).div_euclid(unit).max(0);
    Ladder::new(shop, whole as i64, budget).up(whole as i64).saturating_mul(shop.unit)
}

impl From<Problem> for Refuted {
    fn from(problem: Problem) -> Refuted {
        Refuted::Job(problem)
    }
}
