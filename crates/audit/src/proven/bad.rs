//! Boards with bad stretches in a proof. Which of them are bought is gone through in every way; of each way their clear stretches are stock
//! that costs nothing more, and the rest is an ordinary job with a certificate of its own.

use super::cutsearch::{Job, Stock, search};
use super::duals::hold_certificate;
use crate::claims::Section;
use crate::ledger::{Ledger, Mm};
use crate::texts::Board;

/// More ways than this are not gone through: six boards that cost something make 64.
const MOST_WAYS: usize = 256;
/// Steps of the search for a cheaper plan, over all ways.
const STEPS: u64 = 200_000;

/// One way of buying boards with bad stretches.
pub(super) struct Way {
    /// What they cost.
    cost: i128,
    job: Job,
}

/// All ways of buying boards of a kind that are not sound, the last of them counting fastest; those that cost nothing are all taken.
/// `None` if there is no such board, or so many that nobody goes through them.
pub(super) fn ways(board: &Board, job: &Job) -> Option<Vec<Way>> {
    let parts: i128 = job.demand.iter().sum();
    let mut ways = vec![Way { cost: 0, job: copy(job) }];
    let mut any = false;
    for (sold, stock) in board.lengths.iter().zip(&job.stocks).filter(|(sold, _)| sold.supply() != Some(0)) {
        let Some(clear) = sold.clear(job.trim, job.kerf).filter(|clear| !clear.is_empty()) else { continue };
        any = true;
        let most = sold.supply().map_or(parts, |supply| parts.min(supply.into()));
        let least = if stock.cost == 0 { most } else { 0 };
        let mut more = Vec::new();
        for way in &ways {
            for number in least..=most {
                let mut job = copy(&way.job);
                for clear in clear.iter().filter(|_| number > 0) {
                    // As long as a board that gives as much once its trim is off.
                    let length = i64::try_from(clear.holds(job.kerf)).ok()?.checked_add(job.trim)?;
                    job.stocks.push(Stock { length, cost: 0, supply: Some(number) });
                }
                more.push(Way { cost: way.cost + number * stock.cost, job });
            }
            if more.len() > MOST_WAYS {
                return None;
            }
        }
        ways = more;
    }
    any.then_some(ways)
}

fn copy(job: &Job) -> Job {
    let stock = |of: &Stock| Stock { length: of.length, cost: of.cost, supply: of.supply };
    Job {
        lengths: job.lengths.clone(),
        demand: job.demand.clone(),
        stocks: job.stocks.iter().map(stock).collect(),
        kerf: job.kerf,
        trim: job.trim,
    }
}

/// The least that any way costs, as [`search`] says it; more than the referee looks at is `None`.
pub(super) fn least(ways: &[Way], steps: &mut u64) -> Option<Option<i128>> {
    let mut best: Option<i128> = None;
    for way in ways {
        let found = search(&way.job, None, steps)?.map(|cost| cost + way.cost);
        best = [best, found].into_iter().flatten().min();
    }
    Some(best)
}

/// Holds a certificate by cases, and what is said to be proven by it.
pub(super) fn hold_cases(section: &Section, ways: &[Way], name: &str, ledger: &mut Ledger) {
    let certificate = &section.certificate;
    let told = |lengths: &[i64]| lengths.iter().map(|&length| Mm::of(length)).collect::<Vec<Mm>>();
    if let Some(way) = ways.first() {
        ledger.same(&format!("the lengths of {name}"), told(&certificate.lengths), told(&way.job.lengths));
    }
    if !ledger.same(&format!("the cases of {name}"), certificate.cases.len(), ways.len()) {
        return;
    }
    let mut bound = i128::from(section.cost);
    for (number, (case, way)) in (1..).zip(certificate.cases.iter().zip(ways)) {
        let name = format!("{name}, case {number}");
        match case {
            Some(case) => {
                if hold_certificate(case, &way.job, &name, ledger) {
                    bound = bound.min(way.cost + i128::from(case.bound));
                }
            }
            None => {
                ledger.hold(is_too_little(&way.job), || format!("{name}: it is said to be too little, and is not"));
            }
        }
    }
    ledger.same(&format!("what the cases of {name} prove"), i128::from(certificate.bound), bound);
    match (section.status.as_str(), certificate.kind.as_str()) {
        ("proven", "boards" | "search") => {
            ledger.same(&format!("the bound of {name}"), section.bound, section.cost);
            let by_cases = certificate.kind == "boards";
            ledger.same(&format!("whether the cases prove {name}"), section.cost == certificate.bound, by_cases);
            if !by_cases {
                hold_search(section, ways, name, ledger);
            }
        }
        ("bound", "boards") => {
            ledger.same(&format!("the bound of {name}"), section.bound, certificate.bound);
            ledger.hold(section.cost > section.bound, || format!("{name} reaches its bound and is not called proven"));
            ledger.leave(format!("{name}: bound only, {} of {}", section.bound, section.cost));
        }
        (status, kind) => ledger.find(format!("{name} cannot be `{status}` by `{kind}` where there are cases")),
    }
}

/// That no way comes out for less.
fn hold_search(section: &Section, ways: &[Way], name: &str, ledger: &mut Ledger) {
    let mut steps = STEPS;
    for (way, case) in ways.iter().zip(&section.certificate.cases) {
        let Some(case) = case else { continue };
        let below = i128::from(section.cost) - way.cost;
        if i128::from(case.bound) >= below {
            continue;
        }
        match search(&way.job, Some((below, case)), &mut steps) {
            Some(None) => {}
            Some(Some(less)) => {
                let less = less + way.cost;
                return ledger.find(format!("{name} costs {}, and one of {less} exists", section.cost));
            }
            None => {
                return ledger.leave(format!("{name}: bound only, {} of {}", section.certificate.bound, section.cost));
            }
        }
    }
    ledger.hold(true, String::new);
}

/// Whether a part is longer than anything, or all parts are more than all that there is.
fn is_too_little(job: &Job) -> bool {
    let longest = job.lengths.first().map_or(0, |&length| i128::from(length) + i128::from(job.kerf));
    if job.usable().all(|stock| job.capacity(stock) < longest) {
        return true;
    }
    let wanted: i128 = job.demand.iter().enumerate().map(|(at, count)| count * job.weight(at)).sum();
    let there = job.usable().map(|stock| Some(job.capacity(stock) * stock.supply?));
    there.sum::<Option<i128>>().is_some_and(|there| there < wanted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::texts::{Material, Sold};

    /// By hand: parts of 400 from a sound board of 1000 at 9, of which there is no end, and one of 1000 at 5 that is bad from 480 to 500. Kerf
    /// 3, no trim: the bad one holds 477 and 497, so one part in each; two parts cost 5 with it and 9 without, three cost 14, and four
    /// 14 (two each) against 18.
    #[test]
    fn a_board_is_bought_or_not() {
        let sold = Sold { length: 1000, price: Some(9), ..Sold::default() };
        let bad =
            Sold { price: Some(5), stock: Some(1), name: Some("A".into()), bad: vec![[480, 500]], ..sold.clone() };
        let board = Board {
            name: "b".into(),
            thickness: 1,
            thin_edge: None,
            width: 1,
            material: Material::Unknown,
            treated: None,
            lengths: vec![sold, bad],
        };
        for (count, least_cost) in [(2, 5), (3, 14), (4, 14), (5, 23)] {
            let stocks = [(9, None), (5, Some(0))].map(|(cost, supply)| Stock { length: 1000, cost, supply }).into();
            let job = Job { lengths: vec![400], demand: vec![count], stocks, kerf: 3, trim: 0 };
            let ways = ways(&board, &job).expect("one board is bad");
            assert_eq!(ways.iter().map(|way| way.cost).collect::<Vec<i128>>(), [0, 5]);
            assert_eq!(least(&ways, &mut 10_000), Some(Some(least_cost)));
            assert!(!is_too_little(&ways[0].job));
        }
    }
}
