//! How each job of a maker stands in every goal, and how that compares with an earlier build: what is made faster must not end worse.
//!
//! `goals COUNT > before` writes the standing of each job; `goals COUNT before` holds a later build against it.

use crate::jobs;
use packing::{Cutting, Job, Limits, Pattern};
use std::cmp::{Ordering, Reverse};
use std::collections::{BTreeMap, BTreeSet};

/// A plan's standing, the lesser the better, in the order of the goals: cost, tight boards, boards, patterns, settings, least reserve
/// turned round, boards that leave something, and what they leave, turned round.
type Standing = Vec<i64>;

/// Writes the standing of `count` jobs, one line each; with the lines of an earlier run compares with them instead.
pub fn run(count: u64, earlier: Option<&str>) -> Result<(), String> {
    let mut standings = Vec::new();
    for number in 0..count {
        let job = jobs::job(&mut jobs::Dice(number + 1));
        let cutting = packing::solve(&job, &Limits::default(), &|| false).map_err(|problem| problem.to_string())?;
        standings.push(standing(&job, &cutting));
    }
    let Some(path) = earlier else {
        standings.iter().for_each(|one| println!("{}", line(one)));
        return Ok(());
    };
    let text = std::fs::read_to_string(path).map_err(|error| format!("{path}: {error}"))?;
    let before: Vec<Standing> = text.lines().map(numbers).collect();
    if before.len() != standings.len() {
        return Err(format!("{path} has {} lines for {count} jobs", before.len()));
    }
    compare(&before, &standings)
}

/// Counts better, equal and worse ones; each worse one is told on standard error.
fn compare(before: &[Standing], after: &[Standing]) -> Result<(), String> {
    let (mut better, mut equal, mut worse) = (0, 0, 0);
    for (number, (old, new)) in before.iter().zip(after).enumerate() {
        match new.cmp(old) {
            Ordering::Less => better += 1,
            Ordering::Equal => equal += 1,
            Ordering::Greater => {
                worse += 1;
                eprintln!("job {number} is worse\n  before {}\n  now    {}", line(old), line(new));
            }
        }
    }
    println!("{{\"jobs\": {}, \"better\": {better}, \"equal\": {equal}, \"worse\": {worse}}}", before.len());
    Ok(())
}

fn line(standing: &Standing) -> String {
    standing.iter().map(i64::to_string).collect::<Vec<String>>().join(" ")
}

fn numbers(line: &str) -> Standing {
    line.split_whitespace().filter_map(|word| word.parse().ok()).collect()
}

/// The goals of a plan, worked out anew from its patterns.
fn standing(job: &Job, cutting: &Cutting) -> Standing {
    let boards = |keep: &dyn Fn(&Pattern) -> bool| {
        cutting.patterns.iter().filter(|p| keep(p)).map(|p| i64::from(p.times)).sum::<i64>()
    };
    let distinct: BTreeSet<(usize, Vec<(i64, u32)>)> =
        cutting.patterns.iter().map(|p| (p.stock, by_length(job, p))).collect();
    let settings = distinct.iter().map(|(_, parts)| parts.len() as i64).sum();
    let margin = cutting.patterns.iter().map(|p| p.slack - reserve(job, p)).min().unwrap_or(0);
    let tight = boards(&|p| p.slack < reserve(job, p));
    let mut standing = vec![
        cutting.cost,
        tight,
        boards(&|_| true),
        distinct.len() as i64,
        settings,
        -margin,
        boards(&|p| p.slack > 0),
    ];
    let mut offcuts: BTreeMap<Reverse<i64>, i64> = BTreeMap::new();
    for pattern in cutting.patterns.iter().filter(|p| p.slack >= job.worth_keeping.max(1)) {
        *offcuts.entry(Reverse(pattern.slack)).or_default() += i64::from(pattern.times);
    }
    standing.extend(offcuts.into_iter().flat_map(|(Reverse(slack), times)| [-slack, -times]));
    standing
}

/// Parts of each length on one board.
fn by_length(job: &Job, pattern: &Pattern) -> Vec<(i64, u32)> {
    let mut lengths: BTreeMap<i64, u32> = BTreeMap::new();
    pattern.parts.iter().for_each(|&(item, count)| *lengths.entry(job.items[item].length).or_default() += count);
    lengths.into_iter().collect()
}

/// The wished reserve of a pattern.
fn reserve(job: &Job, pattern: &Pattern) -> i64 {
    let parts: i64 = pattern.parts.iter().map(|&(_, count)| i64::from(count)).sum();
    job.reserve.per_cut * (parts - 1) + job.reserve.per_board
}
