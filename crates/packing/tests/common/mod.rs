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
        ..Job::default()
    }
}

pub fn solve(job: &Job) -> Cutting {
    let cutting = packing::solve(job, &Limits::default(), &|| false).expect("the job can be cut");
    referee(job, &cutting);
    cutting
}

/// What parts leave of a room, and whether they keep the reserve; they have to fit.
fn left(job: &Job, room: i64, parts: &[(usize, u32)]) -> (i64, bool) {
    let row: Vec<usize> = parts.iter().flat_map(|&(item, n)| std::iter::repeat_n(item, n as usize)).collect();
    if row.is_empty() {
        return (room, true);
    }
    let cuts = row.len() as i64 - 1;
    let sum: i64 = row.iter().map(|&item| job.items[item].length).sum();
    let slack = room - sum - cuts * job.kerf + if job.ends.is_empty() { 0 } else { shared(job, &row) };
    assert!(slack >= 0, "{parts:?} do not fit {room}");
    (slack, slack >= job.reserve.per_cut * cuts + job.reserve.per_board)
}

/// What neighbours with slanted ends share in the row that the crate lays, counted again along that row.
fn shared(job: &Job, parts: &[usize]) -> i64 {
    let square = |ends: [i64; 2], item: usize| ends[0] + ends[1] > job.items[item].length;
    let ends: Vec<[i64; 2]> = (parts.iter())
        .map(|&item| job.ends.get(item).copied().filter(|&ends| !square(ends, item)).unwrap_or_default())
        .collect();
    let (row, _) = packing::nested(&ends);
    let mut seen: Vec<usize> = row.iter().map(|placed| placed.part).collect();
    seen.sort_unstable();
    assert!(seen.into_iter().eq(0..parts.len()));
    let mut shared = 0;
    for two in row.windows(2) {
        let right = ends[two[0].part][usize::from(!two[0].turned)];
        let left = ends[two[1].part][usize::from(two[1].turned)];
        shared += if left == right { left } else { 0 };
    }
    shared
}

/// Clear stretches of a stock from its squared end, written again from the words at `packing::Bad`; `None` without bad ones.
pub fn clear(job: &Job, stock: usize) -> Option<Vec<i64>> {
    let bad: Vec<(i64, i64)> = job.bad.iter().filter(|bad| bad.stock == stock).map(|bad| (bad.from, bad.to)).collect();
    let length = job.stocks[stock].length;
    let past = |at: i64| bad.iter().filter(|&&(from, to)| from <= at && at < to).map(|bad| bad.1).max();
    let mut stretches = Vec::new();
    let mut at = job.trim;
    while at < length {
        if let Some(end) = past(at) {
            at = end;
            continue;
        }
        let end = bad.iter().map(|bad| bad.0).filter(|&from| from > at).min().unwrap_or(length);
        stretches.push(end - at);
        // A saw that leaves a stretch lands past what it cuts away.
        at = end + job.kerf;
    }
    (!bad.is_empty()).then_some(stretches)
}

/// Checks a plan against the rule of fit, the demand, the supply and its own words, and its certificate anew.
pub fn referee(job: &Job, cutting: &Cutting) {
    let mut made = vec![0u32; job.items.len()];
    let mut used = vec![0u32; job.stocks.len()];
    for pattern in &cutting.patterns {
        let whole = job.stocks[pattern.stock].length - job.trim;
        let (slack, comfortable) = match clear(job, pattern.stock) {
            None => {
                assert!(pattern.stretches.is_empty());
                left(job, whole, &pattern.parts)
            }
            Some(stretches) => {
                let mut together: BTreeMap<usize, u32> = BTreeMap::new();
                pattern.stretches.iter().flatten().for_each(|p| *together.entry(p.0).or_default() += p.1);
                assert_eq!(together, pattern.parts.iter().copied().collect());
                assert_eq!(stretches.len(), pattern.stretches.len());
                let each = stretches.iter().zip(&pattern.stretches).map(|(&room, parts)| left(job, room, parts));
                each.fold((0, true), |sum, one| (sum.0 + one.0, sum.1 && one.1))
            }
        };
        assert!(!pattern.parts.is_empty() && pattern.times > 0);
        assert_eq!((slack, comfortable), (pattern.slack, pattern.comfortable), "{pattern:?}");
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
pub type Goals = (i64, u32, u32, u32, usize, usize, i64, u32, Vec<i64>);

type Plan = Vec<(usize, Vec<u32>)>;

/// Goals of a plan, written again from the description in the crate's page. The lesser is the better.
pub fn goals(job: &Job, plan: &Plan) -> Goals {
    let mut distinct: BTreeSet<&(usize, Vec<u32>)> = BTreeSet::new();
    let (mut cost, mut tight, mut begun, mut offcuts) = (0, 0, 0, Vec::new());
    let mut least = i64::MAX;
    for board in plan {
        let n: i64 = board.1.iter().map(|&k| i64::from(k)).sum();
        let sum: i64 = board.1.iter().zip(&job.items).map(|(&k, i)| i64::from(k) * i.length).sum();
        let slack = job.stocks[board.0].length - job.trim - sum - (n - 1) * job.kerf;
        let margin = slack - job.reserve.per_cut * (n - 1) - job.reserve.per_board;
        cost += job.stocks[board.0].cost;
        tight += u32::from(margin < 0);
        begun += u32::from(job.whole.contains(&board.0));
        least = least.min(margin);
        if slack > 0 {
            offcuts.push(-slack);
        }
        distinct.insert(board);
    }
    offcuts.sort_unstable();
    let settings = distinct.iter().map(|b| b.1.iter().filter(|k| **k > 0).count()).sum();
    let count = offcuts.len() as u32;
    offcuts.retain(|offcut| -offcut >= job.worth_keeping);
    (cost, tight, begun, plan.len() as u32, distinct.len(), settings, -least, count, offcuts)
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
