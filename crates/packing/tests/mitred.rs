//! Parts with slanted ends against every way to lay them out.
//!
//! Source of the expected costs: here, by trying every row of every set of parts.

mod common;

use common::{Lcg, proven, referee};
use packing::{Item, Job, Limits, Stock};

/// Up to six parts of a few lengths and slants on boards without end.
fn random(lcg: &mut Lcg) -> Job {
    let mut job = Job { kerf: lcg.between(0, 3), trim: lcg.between(0, 4), ..Job::default() };
    for _ in 0..lcg.between(1, 3) {
        job.items.push(Item { length: lcg.between(30, 60), demand: lcg.between(1, 2) as u32 });
        let mut end = || if lcg.below(3) == 0 { 0 } else { 5 * lcg.between(1, 3) };
        job.ends.push([end(), end()]);
    }
    for _ in 0..lcg.between(1, 2) {
        job.stocks.push(Stock { length: lcg.between(80, 150), cost: lcg.between(3, 9), supply: None });
    }
    job
}

/// The shortest row of some parts.
fn shortest(job: &Job, parts: &[usize], used: &mut Vec<bool>, last: Option<i64>) -> Option<i64> {
    let mut least = None;
    for at in 0..parts.len() {
        if used[at] {
            continue;
        }
        used[at] = true;
        let ends = job.ends[parts[at]];
        for [first, second] in [ends, [ends[1], ends[0]]] {
            let joint = last.map_or(0, |last| job.kerf - if last == first { first } else { 0 });
            let rest = shortest(job, parts, used, Some(second)).unwrap_or(0);
            let own = joint + job.items[parts[at]].length + rest;
            least = Some(least.map_or(own, |least: i64| least.min(own)));
        }
        used[at] = false;
    }
    least
}

/// The least cost: for every set of parts the cheapest board, then every way to share all parts out.
fn least_cost(job: &Job) -> i64 {
    let parts: Vec<usize> =
        job.items.iter().enumerate().flat_map(|(at, item)| std::iter::repeat_n(at, item.demand as usize)).collect();
    let mut own = vec![i64::MAX / 4; 1 << parts.len()];
    for (set, own) in own.iter_mut().enumerate().skip(1) {
        let of: Vec<usize> = (0..parts.len()).filter(|at| set & (1 << at) != 0).map(|at| parts[at]).collect();
        let length = shortest(job, &of, &mut vec![false; of.len()], None).unwrap_or(0);
        let held = job.stocks.iter().filter(|stock| stock.length - job.trim >= length);
        *own = held.map(|stock| stock.cost).min().unwrap_or(i64::MAX / 4);
    }
    let mut least = vec![i64::MAX / 4; own.len()];
    least[0] = 0;
    for all in 1..own.len() {
        let mut set = all;
        while set > 0 {
            least[all] = least[all].min(least[all ^ set] + own[set]);
            set = (set - 1) & all;
        }
    }
    least[own.len() - 1]
}

#[test]
fn small_jobs_cost_what_brute_force_costs() {
    let mut lcg = Lcg(31);
    let mut saved = 0;
    for _ in 0..300 {
        let job = random(&mut lcg);
        let Ok(cutting) = packing::solve(&job, &Limits::default(), &|| false) else {
            assert!(least_cost(&job) >= i64::MAX / 4, "{job:?}");
            continue;
        };
        referee(&job, &cutting);
        assert!(proven(&cutting), "{job:?}");
        assert_eq!(cutting.cost, least_cost(&job), "{job:?}");
        let square = Job { ends: Vec::new(), ..job.clone() };
        let without = common::solve(&square);
        assert!(cutting.cost <= without.cost);
        saved += i64::from(cutting.cost < without.cost);
    }
    assert!(saved > 10, "{saved}");
}

/// Past the table a plan may miss a shared cut, and never counts one that is not there.
#[test]
fn large_jobs_are_never_better_than_true() {
    let mut lcg = Lcg(32);
    let mut saved = 0;
    for _ in 0..8 {
        let mut job = Job { kerf: 3, trim: 5, ..Job::default() };
        for _ in 0..9 {
            job.items.push(Item { length: lcg.between(200, 900), demand: lcg.between(4, 9) as u32 });
            let end = 30 * lcg.between(0, 2);
            job.ends.push([end, end]);
        }
        job.stocks =
            vec![Stock { length: 2400, cost: 10, supply: None }, Stock { length: 3000, cost: 13, supply: None }];
        let cutting = common::solve(&job);
        let without = common::solve(&Job { ends: Vec::new(), ..job.clone() });
        assert!(cutting.cost <= without.cost);
        saved += i64::from(cutting.cost < without.cost);
    }
    assert!(saved > 0);
}
