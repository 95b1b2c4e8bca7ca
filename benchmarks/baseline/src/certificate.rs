//! The proof that comes with a plan, and its check in whole numbers.
//!
//! A certificate says: if each part were paid at its price, no board could hold parts worth more than the board costs. So the parts together cost at least the sum of their prices.

use crate::bound::{Ladder, Prices};
use crate::budget::Budget;
use crate::job::Shop;
use crate::knapsack::fullest_above;
use crate::{Certificate, CertificateKind, Job, Problem, Refuted};

/// Work that one check may take; past it the check says so and decides nothing.
const CHECK_STEPS: u64 = 400_000_000;

/// Checks a certificate again from nothing but the job: one integer knapsack for each stock.
///
/// Holds when all prices are at least zero; for each stock `s` no pattern that fits, with at most the demand of each item, has
/// `Σ duals·count > cost(s)·scale + supply_duals(s)`; and supply prices stand only where there is a supply. Then every plan costs
/// at least `ceil((Σ duals·demand − Σ supply_duals·supply) / scale)`, and at least the next sum of stock costs above it. That is returned.
///
/// # Errors
/// [`Refuted`] names what does not hold.
pub fn verify(job: &Job, certificate: &Certificate) -> Result<i64, Refuted> {
    let shop = Shop::new(job).map_err(Refuted::Job)?;
    check_shape(job, certificate)?;
    let never = || false;
    let mut budget = Budget::new(CHECK_STEPS, &never);
    let parts = merged_duals(&shop, certificate)?;
    if !worths_fit(&shop, &parts) {
        return Err(Refuted::Shape);
    }
    for board in &shop.boards {
        let cost = i128::from(board.cost) * i128::from(shop.unit) * i128::from(certificate.scale);
        let allowed = cost + i128::from(certificate.supply_duals[board.original]);
        // No pattern is worth more than `i64` holds, so a greater allowance allows all.
        let Ok(allowed) = i64::try_from(allowed) else { continue };
        let filling = fullest_above(allowed, &parts, &shop.weights, &shop.demand, board.capacity, &mut budget);
        if filling.worth > allowed {
            return Err(Refuted::Pattern { stock: board.original, worth: filling.worth });
        }
        if filling.upper > allowed {
            return Err(Refuted::TooLong);
        }
    }
    let bound = lifted(&shop, value(job, certificate), certificate.scale, &mut budget);
    if bound < certificate.bound {
        return Err(Refuted::Bound { holds: bound });
    }
    Ok(bound)
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
    Certificate { scale: prices.scale, duals, supply_duals, bound, kind }
}

/// The certificate of a job without parts.
pub(crate) fn empty(job: &Job) -> Certificate {
    Certificate {
        scale: 1,
        duals: vec![0; job.items.len()],
        supply_duals: vec![0; job.stocks.len()],
        bound: 0,
        kind: CertificateKind::Duals,
    }
}

fn check_shape(job: &Job, certificate: &Certificate) -> Result<(), Refuted> {
    let lengths = certificate.duals.len() == job.items.len() && certificate.supply_duals.len() == job.stocks.len();
    let signs = certificate.duals.iter().chain(&certificate.supply_duals).all(|&d| d >= 0) && certificate.scale > 0;
    let supplied = job.stocks.iter().zip(&certificate.supply_duals).all(|(s, &d)| d == 0 || s.supply.is_some());
    if lengths && signs && supplied { Ok(()) } else { Err(Refuted::Shape) }
}

/// True if the worth of every pattern stays inside `i64`, as the knapsack needs it.
///
/// A board of capacity `C` holds at most `C` times the greatest price per weight, and at most all parts at the greatest price.
fn worths_fit(shop: &Shop, prices: &[i64]) -> bool {
    let capacity = shop.boards.iter().map(|b| b.capacity).max().unwrap_or(0);
    let by_length = prices.iter().zip(&shop.weights).map(|(&p, &w)| i128::from(p) * i128::from(capacity / w + 1)).max();
    let by_number = prices.iter().map(|&p| i128::from(p) * i128::from(shop.parts())).max();
    by_length.min(by_number).unwrap_or(0) <= i128::from(i64::MAX)
}

/// The price of each distinct length; items of one length have to agree.
fn merged_duals(shop: &Shop, certificate: &Certificate) -> Result<Vec<i64>, Refuted> {
    shop.members
        .iter()
        .map(|members| {
            let price = certificate.duals[members[0].0];
            let agree = members.iter().all(|m| certificate.duals[m.0] == price);
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
