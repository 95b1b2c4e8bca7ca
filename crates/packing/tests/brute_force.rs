//! Small random jobs against every plan there is.
//!
//! Source of all expected values here: the brute force in `common`, which shares no code with the crate.

mod common;

use common::{Lcg, boards, brute, goals, job, proven, referee, solve};
use packing::{Job, Limits, Problem, Status};

fn random_job(lcg: &mut Lcg, most_parts: i64) -> Job {
    let mut items: Vec<(i64, u32)> = Vec::new();
    let mut parts = lcg.between(1, most_parts);
    while parts > 0 {
        let demand = lcg.between(1, parts.min(4));
        let length = lcg.between(8, 60);
        if items.iter().all(|i| i.0 != length) {
            items.push((length, demand as u32));
            parts -= demand;
        }
    }
    let stocks: Vec<(i64, i64)> = (0..lcg.between(1, 3)).map(|_| (lcg.between(60, 120), lcg.between(0, 9))).collect();
    let reserve = (lcg.between(0, 2), lcg.between(0, 4));
    let mut job = job(&items, &stocks, lcg.between(0, 3), lcg.between(0, 4), reserve);
    job.worth_keeping = job.stocks[0].length % 13;
    for stock in job.stocks.iter_mut() {
        if lcg.below(3) == 0 {
            stock.supply = Some(lcg.between(0, 3) as u32);
        }
    }
    if lcg.below(2) == 0 {
        job.whole = (0..job.stocks.len()).filter(|_| lcg.below(2) == 0).collect();
    }
    job
}

#[test]
fn all_goals_equal_brute_force() {
    let mut lcg = Lcg(20);
    let (mut solved, mut short) = (0, 0);
    for round in 0..700 {
        let job = random_job(&mut lcg, if round % 10 == 0 { 8 } else { 6 });
        let longest = job.stocks.iter().filter(|s| s.supply != Some(0)).map(|s| s.length - job.trim).max();
        if job.items.iter().any(|i| longest.is_none_or(|l| i.length > l)) {
            let problem = packing::solve(&job, &Limits::default(), &|| false);
            assert!(matches!(problem, Err(Problem::TooLong { .. })), "{job:?}");
            continue;
        }
        match (brute(&job), packing::solve(&job, &Limits::default(), &|| false)) {
            (Some(best), Ok(cutting)) => {
                referee(&job, &cutting);
                assert!(proven(&cutting) && cutting.ties_exact, "{job:?}");
                assert_eq!(goals(&job, &boards(&job, &cutting)), best, "{job:?}");
                solved += 1;
            }
            (None, Err(Problem::SupplyShort { .. })) => short += 1,
            (expected, got) => panic!("{job:?}\nexpected {expected:?}\ngot {got:?}"),
        }
    }
    assert!(solved > 400 && short > 20, "{solved} {short}");
}

/// With few steps nothing may be called proven that is not the least cost, and no bound may lie above it.
#[test]
fn short_searches_never_lie() {
    let mut lcg = Lcg(21);
    for _ in 0..150 {
        let job = random_job(&mut lcg, 6);
        let Some(best) = (match packing::solve(&job, &Limits::default(), &|| false) {
            Ok(cutting) => Some(cutting.cost),
            Err(_) => None,
        }) else {
            continue;
        };
        for steps in [0, 1, 10, 50, 100, 200, 500, 1000, 3000] {
            match packing::solve(&job, &Limits { steps }, &|| false) {
                Ok(cutting) => {
                    referee(&job, &cutting);
                    match cutting.status {
                        Status::Proven(_) => assert_eq!(cutting.cost, best),
                        Status::Bound { lower, .. } => assert!(lower <= best && best <= cutting.cost),
                    }
                }
                Err(problem) => assert_eq!(problem, Problem::OutOfSteps),
            }
        }
    }
}

/// In the exact optimum longer parts never cost less: any plan for the longer parts also cuts the shorter ones.
#[test]
fn a_longer_part_never_costs_less() {
    let mut lcg = Lcg(22);
    for _ in 0..300 {
        let job = random_job(&mut lcg, 12);
        let Ok(before) = packing::solve(&job, &Limits::default(), &|| false) else { continue };
        let mut longer = job.clone();
        let which = lcg.below(job.items.len() as u64) as usize;
        longer.items[which].length += lcg.between(1, 8);
        if let Ok(after) = packing::solve(&longer, &Limits::default(), &|| false) {
            assert!(after.cost >= before.cost, "{job:?} {longer:?}");
        }
    }
}

/// A plan for half of the parts, cut twice, is a plan for all: the whole never costs more than two halves. Jobs that are too large for the
/// table, and so take the search over patterns.
#[test]
fn larger_jobs_add_up_to_their_halves_at_most() {
    let mut lcg = Lcg(23);
    for _ in 0..25 {
        let lengths: Vec<i64> = (0..9).map(|i| 300 + 190 * i + lcg.between(0, 90)).collect();
        let stocks = [(2400, 1128), (3000, 1410), (3600, 1692), (4800, 2300)];
        let part = |demand: u32| lengths.iter().map(|&l| (l, demand)).collect::<Vec<_>>();
        let whole = solve(&job(&part(6), &stocks, 3, 10, (0, 2)));
        let half = solve(&job(&part(3), &stocks, 3, 10, (0, 2)));
        assert!(proven(&whole), "{lengths:?}");
        assert!(whole.cost <= 2 * half.cost, "{lengths:?}");
    }
}

#[test]
fn the_same_job_gives_the_same_plan() {
    let mut lcg = Lcg(24);
    for _ in 0..50 {
        let job = random_job(&mut lcg, 8);
        let limits = Limits::default();
        assert_eq!(packing::solve(&job, &limits, &|| false), packing::solve(&job, &limits, &|| false));
    }
}
