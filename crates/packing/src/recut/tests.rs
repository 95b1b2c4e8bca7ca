//! Patterns cut anew against all plans there are.

use super::*;
use crate::Job;
use crate::common::{Goals, Lcg, goals, job};

/// Boards one by one: stock and parts of each item.
type Plan = Vec<(usize, Vec<u32>)>;

/// Two or three lengths, stocks of few costs so that many sets of boards cost the same, at least one of them better left whole.
fn random(lcg: &mut Lcg) -> Job {
    let mut items: Vec<(i64, u32)> = Vec::new();
    for _ in 0..lcg.between(2, 3) {
        items.push((lcg.between(10, 55), lcg.between(1, 3) as u32));
    }
    items.sort_unstable();
    items.dedup_by_key(|item| item.0);
    let stocks: Vec<(i64, i64)> =
        (0..lcg.between(2, 3)).map(|_| (lcg.between(60, 110), 5 * lcg.between(0, 1))).collect();
    let reserve = (lcg.between(0, 2), lcg.between(0, 4));
    let mut job = job(&items, &stocks, lcg.between(0, 3), lcg.between(0, 4), reserve);
    job.stocks.iter_mut().for_each(|stock| stock.supply = (lcg.below(3) == 0).then(|| lcg.between(1, 3) as u32));
    job.whole = (0..job.stocks.len()).filter(|&stock| stock == 0 || lcg.below(2) == 0).collect();
    job
}

/// Every way to cut one board.
fn patterns(job: &Job) -> Plan {
    let mut all = Vec::new();
    for (stock, board) in job.stocks.iter().enumerate() {
        let mut counts = vec![0; job.items.len()];
        while let Some(at) = (0..counts.len()).find(|&at| counts[at] < job.items[at].demand) {
            counts[at] += 1;
            counts[..at].fill(0);
            let parts: i64 = counts.iter().map(|&n| i64::from(n)).sum();
            let sum: i64 = counts.iter().zip(&job.items).map(|(&n, item)| i64::from(n) * item.length).sum();
            if sum + (parts - 1) * job.kerf <= board.length - job.trim {
                all.push((stock, counts.clone()));
            }
        }
    }
    all
}

/// Tells of every plan that cuts what is left from the patterns on.
fn plans(job: &Job, patterns: &[(usize, Vec<u32>)], left: &[u32], plan: &mut Plan, tell: &mut dyn FnMut(&Plan)) {
    if left.iter().all(|&n| n == 0) {
        return tell(plan);
    }
    for (at, pattern) in patterns.iter().enumerate() {
        let used = plan.iter().filter(|board| board.0 == pattern.0).count() as u32;
        let there = job.stocks[pattern.0].supply.is_none_or(|supply| used < supply);
        if there && pattern.1.iter().zip(left).all(|(n, left)| n <= left) {
            let rest: Vec<u32> = left.iter().zip(&pattern.1).map(|(left, n)| left - n).collect();
            plan.push(pattern.clone());
            plans(job, &patterns[at..], &rest, plan, tell);
            plan.pop();
        }
    }
}

fn cuts(shop: &Shop, plan: &Plan) -> Vec<Cut> {
    let cut = |(stock, parts): &(usize, Vec<u32>)| Cut {
        board: shop.boards.iter().position(|board| board.original == *stock).expect("it holds a part"),
        counts: shop.members.iter().map(|items| parts[items[0].0]).collect(),
        times: 1,
    };
    merge(plan.iter().map(cut).collect())
}

fn boards(shop: &Shop, cuts: &[Cut]) -> Plan {
    let mut plan = Vec::new();
    for cut in cuts {
        let mut parts = vec![0; cut.counts.len()];
        shop.members.iter().zip(&cut.counts).for_each(|(items, &n)| parts[items[0].0] = n);
        (0..cut.times).for_each(|_| plan.push((shop.boards[cut.board].original, parts.clone())));
    }
    plan
}

/// A plan of at most three patterns, whichever it is, cut anew as one piece: the best in every goal of all plans of that cost, as many
/// boards and at most three patterns. Source: all of them, listed and judged by the brute force of the tests, which shares no code with
/// the crate.
#[test]
fn a_plan_cut_anew_is_the_best_of_all_with_boards_left_whole_among_the_goals() {
    let mut lcg = Lcg(61);
    let never = || false;
    let (mut compared, mut fewer_begun, mut fewer_tight) = (0, 0, 0);
    for _ in 0..400 {
        let job = random(&mut lcg);
        let Ok(shop) = Shop::new(&job) else { continue };
        let demand: Vec<u32> = job.items.iter().map(|item| item.demand).collect();
        let mut all: Vec<(Goals, Plan)> = Vec::new();
        plans(&job, &patterns(&job), &demand, &mut Vec::new(), &mut |plan| {
            let goals = goals(&job, plan);
            all.extend((goals.4 <= MOST).then(|| (goals, plan.clone())));
        });
        if all.is_empty() {
            continue;
        }
        let (was, plan) = all[lcg.below(all.len() as u64) as usize].clone();
        let same = all.iter().filter(|(goals, _)| (goals.0, goals.3) == (was.0, was.3));
        let best = same.map(|(goals, _)| goals.clone()).min().expect("the plan itself");
        let cuts = cuts(&shop, &plan);
        let whole: Vec<&Cut> = cuts.iter().collect();
        let piece = Piece { shop: &shop, cuts: &whole, rest: &[], settled: false };
        let score = Score::of(&shop, &cuts);
        for view in [None, Some(&score)] {
            let found = recut(&piece, view, &mut Budget::new(10_000_000, &never));
            let got = found.map_or(was.clone(), |found| goals(&job, &boards(&shop, &found.1)));
            assert_eq!(got, best, "{job:?} {plan:?}");
        }
        compared += 1;
        fewer_begun += usize::from(best.1 == was.1 && best.2 < was.2);
        fewer_tight += usize::from(best.1 < was.1);
    }
    assert!(compared > 200 && fewer_begun > 50 && fewer_tight > 20, "{compared} {fewer_begun} {fewer_tight}");
}
