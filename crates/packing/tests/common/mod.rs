//! Helpers that the tests of this crate share: a small generator, a referee for plans, a brute force over all plans.
#![allow(dead_code)] // Each test file uses its own part of them.

use std::collections::{BTreeMap, BTreeSet};

use packing::{Cutting, Item, Job, Limits, Reserve, Status, Stock, verify};

/// A linear congruential generator (Knuth's MMIX constants), for repeatable random jobs.
pub struct Lcg(pub u64);

impl Lcg {
    pub fn below(&mut self, n: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 33) % n
    }
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        low + self.below((high - low + 1) as u64) as i64
    }
}

pub fn job(items: &[(i64, u32)], stocks: &[(i64, i64)], kerf: i64, trim: i64, reserve: (i64, i64)) -> Job {
    Job {
        items: items.iter().map(|&(length, demand)| Item { length, demand }).collect(),
        stocks: stocks.iter().map(|&(length, cost)| Stock { length, cost, supply: None }).collect(),
        kerf,
        trim,
        reserve: Reserve { per_cut: reserve.0, per_board: reserve.1 },
    }
}

pub fn solve(job: &Job) -> Cutting {
    let cutting = packing::solve(job, &Limits::default(), &|| false).expect("the job can be cut");
    referee(job, &cutting);
    cutting
}

/// Checks a plan against the rule of fit, the demand, the supply and its own words, and its certificate anew.
pub fn referee(job: &Job, cutting: &Cutting) {
    let mut made = vec![0u32; job.items.len()];
    let mut used = vec![0u32; job.stocks.len()];
    for pattern in &cutting.patterns {
        let stock = job.stocks[pattern.stock];
        let n: i64 = pattern.parts.iter().map(|p| i64::from(p.1)).sum();
        let sum: i64 = pattern.parts.iter().map(|p| job.items[p.0].length * i64::from(p.1)).sum();
        let slack = stock.length - job.trim - sum - (n - 1) * job.kerf;
        assert!(slack >= 0 && n > 0 && pattern.times > 0);
        assert_eq!(slack, pattern.slack);
        let comfortable = slack >= job.reserve.per_cut * (n - 1) + job.reserve.per_board;
        assert_eq!(comfortable, pattern.comfortable);
        pattern.parts.iter().for_each(|p| made[p.0] += p.1 * pattern.times);
        used[pattern.stock] += pattern.times;
    }
    let demand: Vec<u32> = job.items.iter().map(|i| i.demand).collect();
    assert_eq!(made, demand, "every part exactly once");
    job.stocks.iter().zip(&used).for_each(|(s, &n)| assert!(s.supply.is_none_or(|most| n <= most)));
    assert_eq!(used.iter().sum::<u32>(), cutting.boards);
    assert_eq!(job.stocks.iter().zip(&used).map(|(s, &n)| s.cost * i64::from(n)).sum::<i64>(), cutting.cost);
    match &cutting.status {
        Status::Proven(certificate) => assert!(verify(job, certificate).expect("the proof holds") <= cutting.cost),
        Status::Bound { lower, certificate } => {
            assert_eq!(*lower, certificate.bound);
            assert!(*lower < cutting.cost && verify(job, certificate).expect("the bound holds") >= *lower);
        }
    }
}

pub fn proven(cutting: &Cutting) -> bool {
    matches!(cutting.status, Status::Proven(_))
}

/// The goals of the crate in their order, for a plan given as boards: (stock, parts of each distinct length).
pub type Goals = (i64, u32, u32, usize, usize, i64, u32, Vec<i64>);

type Plan = Vec<(usize, Vec<u32>)>;

/// Goals of a plan, written again from the description in the crate's page. The lesser is the better.
pub fn goals(job: &Job, plan: &Plan) -> Goals {
    let mut distinct: BTreeSet<&(usize, Vec<u32>)> = BTreeSet::new();
    let (mut cost, mut tight, mut offcuts) = (0, 0, Vec::new());
    let mut least = i64::MAX;
    for board in plan {
        let n: i64 = board.1.iter().map(|&k| i64::from(k)).sum();
        let sum: i64 = board.1.iter().zip(&job.items).map(|(&k, i)| i64::from(k) * i.length).sum();
        let slack = job.stocks[board.0].length - job.trim - sum - (n - 1) * job.kerf;
        let margin = slack - job.reserve.per_cut * (n - 1) - job.reserve.per_board;
        cost += job.stocks[board.0].cost;
        tight += u32::from(margin < 0);
        least = least.min(margin);
        if slack > 0 {
            offcuts.push(-slack);
        }
        distinct.insert(board);
    }
    offcuts.sort_unstable();
    let settings = distinct.iter().map(|b| b.1.iter().filter(|k| **k > 0).count()).sum();
    (cost, tight, plan.len() as u32, distinct.len(), settings, -least, offcuts.len() as u32, offcuts)
}

/// The boards of a plan of the crate one by one (for jobs without two items of one length).
pub fn boards(job: &Job, cutting: &Cutting) -> Plan {
    let mut plan = Vec::new();
    for pattern in &cutting.patterns {
        let mut counts = vec![0; job.items.len()];
        pattern.parts.iter().for_each(|p| counts[p.0] += p.1);
        (0..pattern.times).for_each(|_| plan.push((pattern.stock, counts.clone())));
    }
    plan
}

/// The best goals over all plans, each cutting exactly the demand, by trying them all; `None` if there is no plan.
pub fn brute(job: &Job) -> Option<Goals> {
    let mut patterns = Vec::new();
    for stock in 0..job.stocks.len() {
        list(job, stock, &mut vec![0; job.items.len()], 0, &mut patterns);
    }
    patterns.sort();
    let left: Vec<u32> = job.items.iter().map(|i| i.demand).collect();
    let supply: BTreeMap<usize, u32> =
        job.stocks.iter().enumerate().map(|(i, s)| (i, s.supply.unwrap_or(u32::MAX))).collect();
    let mut best = None;
    try_all(job, &patterns, 0, left, supply, &mut Vec::new(), &mut best);
    best
}

fn list(job: &Job, stock: usize, counts: &mut Vec<u32>, at: usize, patterns: &mut Plan) {
    if at == counts.len() {
        let n: i64 = counts.iter().map(|&k| i64::from(k)).sum();
        let sum: i64 = counts.iter().zip(&job.items).map(|(&k, i)| i64::from(k) * i.length).sum();
        if n > 0 && sum + (n - 1) * job.kerf <= job.stocks[stock].length - job.trim {
            patterns.push((stock, counts.clone()));
        }
        return;
    }
    for k in 0..=job.items[at].demand {
        counts[at] = k;
        list(job, stock, counts, at + 1, patterns);
    }
    counts[at] = 0;
}

fn try_all(
    job: &Job,
    patterns: &Plan,
    from: usize,
    left: Vec<u32>,
    supply: BTreeMap<usize, u32>,
    plan: &mut Plan,
    best: &mut Option<Goals>,
) {
    if left.iter().all(|&k| k == 0) {
        let goals = goals(job, plan);
        if best.as_ref().is_none_or(|b| goals < *b) {
            *best = Some(goals);
        }
        return;
    }
    for (index, pattern) in patterns.iter().enumerate().skip(from) {
        if supply[&pattern.0] == 0 || pattern.1.iter().zip(&left).any(|(k, l)| k > l) {
            continue;
        }
        let rest = left.iter().zip(&pattern.1).map(|(l, k)| l - k).collect();
        let mut supply = supply.clone();
        supply.entry(pattern.0).and_modify(|n| *n -= 1);
        plan.push(pattern.clone());
        try_all(job, patterns, index, rest, supply, plan, best);
        plan.pop();
    }
}
