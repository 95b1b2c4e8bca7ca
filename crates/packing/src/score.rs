//! Which of two plans is better: the whole order, goal by goal.

use std::cmp::Reverse;

use crate::job::{Cut, Shop};

/// A plan's standing; the lesser is the better. The fields stand in the order of the goals.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Score {
    /// Cost in common units.
    pub cost: i64,
    /// Boards that do not keep the reserve.
    pub tight: u64,
    /// Boards that are better left whole.
    pub begun: u64,
    /// Boards.
    pub boards: u64,
    /// Distinct patterns.
    pub patterns: usize,
    /// Distinct lengths, summed over the distinct patterns.
    pub settings: usize,
    /// Least slack beyond the reserve.
    pub margin: Reverse<i64>,
    /// Boards that leave something.
    pub offcuts: u64,
    /// What they leave that is worth keeping, longest first, and how often.
    pub longest: Vec<(Reverse<i64>, Reverse<u64>)>,
    /// The plan itself, in its own order: with it no two plans are equal.
    pub listed: Vec<(usize, Reverse<Vec<u32>>, u32)>,
}

impl Score {
    /// The standing of a plan whose equal cuts are merged.
    pub fn of(shop: &Shop, cuts: &[Cut]) -> Score {
        let count = |keep: &dyn Fn(&Cut) -> bool| cuts.iter().filter(|c| keep(c)).map(|c| u64::from(c.times)).sum();
        let margin = |c: &Cut| shop.margin(c.board, &c.counts);
        let slack = |c: &Cut| shop.slack(c.board, &c.counts);
        let mut listed: Vec<_> = cuts.iter().map(|c| (c.board, Reverse(c.counts.clone()), c.times)).collect();
        listed.sort();
        Score {
            cost: crate::job::cost_of(shop, cuts),
            tight: count(&|c| margin(c) < 0),
            begun: count(&|c| shop.boards[c.board].whole),
            boards: count(&|_| true),
            patterns: cuts.len(),
            settings: cuts.iter().map(|c| settings(&c.counts)).sum(),
            margin: Reverse(cuts.iter().map(margin).min().unwrap_or(i64::MAX)),
            offcuts: count(&|c| slack(c) > 0),
            longest: offcuts(shop.worth_keeping, cuts.iter().map(|c| (slack(c), u64::from(c.times)))),
            listed,
        }
    }
}

/// Distinct lengths in one pattern: how often a stop is set for it.
pub(crate) fn settings(counts: &[u32]) -> usize {
    counts.iter().filter(|n| **n > 0).count()
}

fn offcuts(worth_keeping: i64, slacks: impl Iterator<Item = (i64, u64)>) -> Vec<(Reverse<i64>, Reverse<u64>)> {
    let mut by_length = std::collections::BTreeMap::new();
    for (slack, times) in slacks.filter(|s| s.0 >= worth_keeping.max(1)) {
        *by_length.entry(Reverse(slack)).or_insert(0u64) += times;
    }
    by_length.into_iter().map(|(slack, times)| (slack, Reverse(times))).collect()
}
