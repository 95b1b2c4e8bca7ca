//! Jobs made of bytes, sizes at the limits of `i64` among them: no panic, no overflow, a clear problem or a plan that holds.
//!
//! The bytes come from a small generator, so that a failure comes again; `INPUTS=1000000` asks for more of them.

mod common;

use common::{Lcg, referee};
use packing::{Bad, Cutting, Item, Job, Limits, Reserve, Status, Stock, lower_bound, verify};

/// Inputs of the ordinary test.
const INPUTS: u64 = 3_000;

/// A number that is often one where sums go wrong.
fn number(lcg: &mut Lcg) -> i64 {
    const EDGES: [i64; 14] = [
        0,
        1,
        -1,
        2,
        i64::MAX,
        i64::MIN,
        i64::MAX - 1,
        1 << 48,
        (1 << 48) + 1,
        (1 << 48) - 1,
        1_000_000_000_000,
        1 << 44,
        1 << 32,
        -(1 << 40),
    ];
    match lcg.below(12) {
        0 => EDGES[lcg.below(EDGES.len() as u64) as usize],
        1 => lcg.between(1, 1 << 40),
        2..=5 => lcg.between(1, 12),
        _ => lcg.between(1, 4000),
    }
}

fn demand(lcg: &mut Lcg) -> u32 {
    match lcg.below(40) {
        0 => u32::MAX,
        1 => 100_000,
        2 => 30_000,
        3..=6 => 0,
        _ => lcg.between(1, 20) as u32,
    }
}

fn random(lcg: &mut Lcg) -> Job {
    let items: Vec<Item> = (0..lcg.below(9)).map(|_| Item { length: number(lcg), demand: demand(lcg) }).collect();
    let mut stocks: Vec<Stock> = (0..lcg.below(5))
        .map(|_| Stock { length: number(lcg), cost: number(lcg), supply: (lcg.below(3) == 0).then(|| demand(lcg)) })
        .collect();
    let small = |lcg: &mut Lcg| if lcg.below(20) == 0 { number(lcg) } else { lcg.between(0, 9) };
    let (kerf, trim) = (small(lcg), small(lcg));
    if let (1.., Some(item)) = (lcg.below(4), items.first()) {
        // A board that is exactly a part, with its trim, or with room for a second one but for the kerf.
        let length = item.length.saturating_add(trim).saturating_add(if lcg.below(2) == 0 { 0 } else { item.length });
        stocks.push(Stock { length, cost: number(lcg), supply: None });
    }
    let reserve = Reserve { per_cut: small(lcg), per_board: small(lcg) };
    let mut job = Job { items, stocks, kerf, trim, reserve, worth_keeping: small(lcg), ..Job::default() };
    if lcg.below(4) == 0 {
        job.ends = job.items.iter().map(|_| [small(lcg), small(lcg)]).collect();
    }
    for _ in 0..if lcg.below(4) == 0 { lcg.below(3) } else { 0 } {
        let stock = lcg.below(job.stocks.len() as u64 + 1) as usize;
        let from = small(lcg);
        let to = if lcg.below(2) == 0 { number(lcg) } else { from.saturating_add(lcg.between(1, 9)) };
        job.bad.push(Bad { stock, from, to });
    }
    job
}

fn hold(job: &Job, cutting: &Cutting) {
    let (Status::Proven(certificate) | Status::Bound { certificate, .. }) = &cutting.status;
    assert!(verify(job, certificate).is_ok(), "{job:?} {certificate:?}");
    referee(job, cutting);
}

#[test]
fn any_bytes_are_a_problem_or_a_plan() {
    let inputs = std::env::var("INPUTS").ok().and_then(|inputs| inputs.parse().ok()).unwrap_or(INPUTS);
    let (mut plans, mut problems) = (0u64, 0u64);
    for input in 0..inputs {
        let job = random(&mut Lcg(77 + input));
        let limits = Limits { steps: 20_000 };
        match packing::solve(&job, &limits, &|| false) {
            Ok(cutting) => {
                hold(&job, &cutting);
                plans += 1;
            }
            Err(problem) => {
                assert!(!problem.to_string().is_empty());
                problems += 1;
            }
        }
        if let Ok(cutting) = packing::cheapest(&job, &limits, &|| false) {
            hold(&job, &cutting);
        }
        if let Ok((bound, certificate)) = lower_bound(&job, &limits, &|| false) {
            assert!(verify(&job, &certificate).is_ok_and(|holds| holds >= bound), "{job:?}");
        }
    }
    assert!(plans > inputs / 10 && problems > inputs / 10, "{plans} plans, {problems} problems");
}
