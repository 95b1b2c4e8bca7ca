//! Which of two plans is better: the whole order, goal by goal.

use std::cmp::Reverse;

use crate::job::{Cut, Shop};

/// What is counted of some patterns; the lesser is the better. The fields stand in the order of the goals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Tally {
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
}

impl Tally {
    /// The tally of patterns of which none comes twice.
    pub fn of<'a>(shop: &Shop, cuts: impl IntoIterator<Item = &'a Cut>) -> Tally {
        let margin = Reverse(i64::MAX);
        let mut tally = Tally { cost: 0, tight: 0, begun: 0, boards: 0, patterns: 0, settings: 0, margin, offcuts: 0 };
        for cut in cuts {
            let times = u64::from(cut.times);
            let (slack, margin) = shop.slack_and_margin(cut.board, &cut.counts);
            tally.cost += shop.boards[cut.board].cost * i64::from(cut.times);
            tally.tight += if margin < 0 { times } else { 0 };
            tally.begun += if shop.boards[cut.board].whole { times } else { 0 };
            tally.boards += times;
            tally.patterns += 1;
            tally.settings += settings(&cut.counts);
            tally.margin = tally.margin.max(Reverse(margin));
            tally.offcuts += if slack > 0 { times } else { 0 };
        }
        tally
    }
}

/// A plan's standing; the lesser is the better. The fields stand in the order of the goals.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Score {
    /// All goals up to the number of offcuts.
    pub tally: Tally,
    /// What is left that is worth keeping, longest first, and how often.
    pub longest: Vec<(Reverse<i64>, Reverse<u64>)>,
    /// The plan itself, in its own order: with it no two plans are equal.
    pub listed: Vec<(usize, Reverse<Vec<u32>>, u32)>,
}

impl Score {
    /// The standing of a plan whose equal cuts are merged.
    pub fn of(shop: &Shop, cuts: &[Cut]) -> Score {
        let slack = |c: &Cut| shop.slack(c.board, &c.counts);
        let mut listed: Vec<_> = cuts.iter().map(|c| (c.board, Reverse(c.counts.clone()), c.times)).collect();
        listed.sort();
        Score {
            tally: Tally::of(shop, cuts),
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
