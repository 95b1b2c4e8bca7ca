//! A large plan made better piece by piece: a few of its patterns are taken apart and cut anew, exactly.

use std::collections::{BTreeMap, BTreeSet};

use crate::budget::Budget;
use crate::greedy::merge;
use crate::job::{Cut, Shop};
use crate::recut::{Piece, recut};
use crate::score::Score;
use crate::ties::{Small, small};

/// Steps that one piece may take in the table of small jobs.
const TABLE: u64 = 100_000;
/// Steps that one piece may take where its boards are settled.
const PIECE: u64 = 6_000;
/// Steps that all fours together may take on their way to three, shared alike.
const WIDE: u64 = 60_000;
/// Steps that the table may take in all.
const TABLES: u64 = 100_000;
/// Most distinct patterns of a plan of which every three are tried; past it every two.
const FEW: usize = 16;
/// Most distinct patterns of a plan of which every four are tried.
const VERY_FEW: usize = 14;

/// Most patterns in a piece.
const WIDEST: usize = 4;

/// How pieces of a plan are judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Eye {
    /// The best piece in its own right, by the table; taken only where it leaves fewer tight boards or fewer boards.
    Boards,
    /// The best piece in its own right.
    Own,
    /// The piece that is best for the whole plan.
    Whole,
    /// Four patterns as three.
    Fewer,
}

/// Tries every two, every three and every four patterns of a plan until none gains anything or the steps run out. Never makes a plan
/// worse.
///
/// With `settled` no plan is cheaper, has fewer tight boards, begins fewer that are better left whole, or has fewer boards: then no piece does.
pub(crate) fn polish(shop: &Shop, cuts: Vec<Cut>, settled: bool, budget: &mut Budget) -> Vec<Cut> {
    let score = Score::of(shop, &cuts);
    let mut polisher = Polisher { shop, score, cuts, settled, names: Names::default() };
    let eyes = match () {
        () if shop.is_mitred() => &[Eye::Own][..],
        () if settled => &[Eye::Own, Eye::Whole, Eye::Fewer],
        () => &[Eye::Own, Eye::Whole, Eye::Fewer, Eye::Boards],
    };
    let mut at = 0;
    while let Some(&eye) = eyes.get(at) {
        let share = if eye == Eye::Boards { TABLES } else { u64::MAX }.min(budget.left());
        let gained = budget.capped(share, |budget| polisher.sweep(eye, budget));
        at = if gained && matches!(eye, Eye::Fewer | Eye::Boards) { 0 } else { at + 1 };
    }
    polisher.cuts
}

struct Polisher<'a> {
    shop: &'a Shop,
    score: Score,
    cuts: Vec<Cut>,
    settled: bool,
    names: Names,
}

impl Polisher<'_> {
    /// Tries pieces until none gains anything; true if one did.
    fn sweep(&mut self, eye: Eye, budget: &mut Budget) -> bool {
        // What gained nothing once gains nothing again, as long as the boards that are left to it are the same.
        let mut in_vain: BTreeSet<([u32; WIDEST], Vec<u32>)> = BTreeSet::new();
        let mut gained = false;
        while self.gain(eye, &mut in_vain, budget) {
            gained = true;
        }
        gained
    }

    /// Tries pieces until one gains something; false if none does or the steps ran out.
    fn gain(&mut self, eye: Eye, in_vain: &mut BTreeSet<([u32; WIDEST], Vec<u32>)>, budget: &mut Budget) -> bool {
        let named: Vec<u32> = self.cuts.iter().map(|cut| self.names.of(cut)).collect();
        for &size in sizes(self.cuts.len(), eye) {
            let mut piece: Vec<usize> = (0..size).collect();
            let mut more = size <= self.cuts.len();
            while more && !budget.out() {
                let mut names = [u32::MAX; WIDEST];
                names.iter_mut().zip(&piece).for_each(|(name, &at)| *name = named[at]);
                let key = (names, short_of(self.shop, &self.cuts, &piece));
                if !in_vain.contains(&key) {
                    if let Some(better) = self.better(&piece, eye, budget) {
                        (self.score, self.cuts) = better;
                        return true;
                    }
                    in_vain.insert(key);
                }
                more = step(&mut piece, self.cuts.len());
            }
        }
        false
    }

    /// A better plan that cuts one piece anew.
    fn better(&self, piece: &[usize], eye: Eye, budget: &mut Budget) -> Option<(Score, Vec<Cut>)> {
        let shop = self.shop;
        let (cuts, rest) = taken_apart(&self.cuts, piece);
        let ripe = self.settled || is_settled(shop, &cuts);
        let piece = Piece { shop, cuts: &cuts, rest: &rest, settled: ripe };
        let most = if eye == Eye::Fewer { WIDE / fours(self.cuts.len() as u64) } else { PIECE };
        let share = most.min(budget.left());
        let better = match eye {
            Eye::Boards if ripe => None,
            Eye::Boards => {
                let found = budget.capped(TABLE.min(budget.left()), |budget| cut_anew(shop, &cuts, &rest, budget))?;
                let boards = |Score { tally, .. }: &Score| (tally.cost, tally.tight, tally.begun, tally.boards);
                (boards(&found.0) < boards(&self.score)).then_some(found)
            }
            Eye::Own if shop.is_mitred() => {
                budget.capped(TABLE.min(budget.left()), |budget| cut_anew(shop, &cuts, &rest, budget))
            }
            Eye::Own => budget.capped(share, |budget| recut(&piece, None, budget)),
            Eye::Whole | Eye::Fewer => budget.capped(share, |budget| recut(&piece, Some(&self.score), budget)),
        };
        better.filter(|better| better.0 < self.score)
    }
}

/// A number for every pattern and its times that was ever seen.
#[derive(Default)]
struct Names(BTreeMap<Cut, u32>);

impl Names {
    fn of(&mut self, cut: &Cut) -> u32 {
        let next = self.0.len() as u32;
        *self.0.entry(cut.clone()).or_insert(next)
    }
}

/// Boards of each short type that the patterns outside a piece leave.
fn short_of(shop: &Shop, cuts: &[Cut], piece: &[usize]) -> Vec<u32> {
    let left = |(board, supply): (usize, u32)| {
        let others = cuts.iter().enumerate().filter(|(at, cut)| cut.board == board && !piece.contains(at));
        others.fold(supply, |left, (_, cut)| left.saturating_sub(cut.times))
    };
    shop.boards.iter().enumerate().filter_map(|(at, board)| Some(left((at, board.supply?)))).collect()
}

/// True if patterns without a tight board or one better left whole are on so few boards that fewer of no higher cost cannot hold their parts.
fn is_settled(shop: &Shop, cuts: &[&Cut]) -> bool {
    if cuts.iter().any(|c| shop.boards[c.board].whole || shop.margin(c.board, &c.counts) < 0) {
        return false;
    }
    let boards: i64 = cuts.iter().map(|c| i64::from(c.times)).sum();
    let weight: i64 = cuts.iter().map(|c| shop.weight(&c.counts) * i64::from(c.times)).sum();
    let cost = cuts.iter().map(|c| shop.boards[c.board].cost * i64::from(c.times)).sum();
    fewer_hold_less(shop, boards, cost, weight)
}

/// True if fewer than `boards` boards that cost at most `cost` together have less room than `weight`, by the best mix of two types.
pub(crate) fn fewer_hold_less(shop: &Shop, boards: i64, cost: i64, weight: i64) -> bool {
    let Some(fewer) = boards.checked_sub(1).map(i128::from) else { return false };
    let (cost, weight) = (i128::from(cost), i128::from(weight));
    let kind = |b: &crate::job::Board| (i128::from(b.cost), i128::from(b.capacity));
    shop.boards.iter().all(|a| {
        let (low, room) = kind(a);
        let alone = low * fewer > cost || room * fewer < weight;
        // As many of the dearer as the cost allows, in broken numbers.
        alone
            && shop.boards.iter().filter(|b| b.cost > a.cost).all(|b| {
                let (high, more) = kind(b);
                let spare = cost - low * fewer;
                let span = high - low;
                spare < 0 || spare >= span * fewer || room * fewer * span + (more - room) * spare < weight * span
            })
    })
}

/// How many patterns are taken at once: two, and three if the patterns are few; four if that is what is wanted.
fn sizes(patterns: usize, eye: Eye) -> &'static [usize] {
    match eye {
        Eye::Fewer if patterns <= VERY_FEW => &[WIDEST],
        Eye::Fewer => &[],
        _ if patterns <= FEW => &[2, 3],
        _ => &[2],
    }
}

/// The next choice of as many numbers below `end`, in order; false behind the last.
fn step(choice: &mut [usize], end: usize) -> bool {
    let size = choice.len();
    let Some(at) = (0..size).rev().find(|&at| choice[at] + size - at < end) else { return false };
    choice[at] += 1;
    (at + 1..size).for_each(|later| choice[later] = choice[later - 1] + 1);
    true
}

/// Ways to choose four of some patterns, at least one.
fn fours(of: u64) -> u64 {
    let falling = |by| of.saturating_sub(by);
    (of * falling(1) * falling(2) * falling(3) / 24).max(1)
}

/// The named patterns, and the others.
fn taken_apart<'a>(cuts: &'a [Cut], piece: &[usize]) -> (Vec<&'a Cut>, Vec<&'a Cut>) {
    let (mut taken, mut rest) = (Vec::with_capacity(piece.len()), Vec::with_capacity(cuts.len()));
    for (index, cut) in cuts.iter().enumerate() {
        if piece.contains(&index) { &mut taken } else { &mut rest }.push(cut);
    }
    (taken, rest)
}

/// The plan with a part of it cut anew, and its standing; `None` if that is too much for the table.
fn cut_anew(shop: &Shop, taken: &[&Cut], rest: &[&Cut], budget: &mut Budget) -> Option<(Score, Vec<Cut>)> {
    match small(&job_of(shop, taken, rest), budget)? {
        Small::Best { cuts, .. } => {
            let cuts = merge(rest.iter().copied().cloned().chain(cuts).collect());
            Some((Score::of(shop, &cuts), cuts))
        }
        Small::Short => None,
    }
}

/// The job that some patterns do, on the boards that the others leave.
fn job_of(shop: &Shop, taken: &[&Cut], rest: &[&Cut]) -> Shop {
    let mut part = shop.clone();
    part.demand.iter_mut().for_each(|d| *d = 0);
    for cut in taken {
        part.demand.iter_mut().zip(&cut.counts).for_each(|(d, n)| *d += n * cut.times);
    }
    for cut in rest {
        let supply = &mut part.boards[cut.board].supply;
        *supply = supply.map(|s| s.saturating_sub(cut.times));
    }
    // A supply above the parts never runs short, but as a place of the table it would multiply the states.
    let parts = part.parts();
    part.boards.iter_mut().for_each(|b| b.supply = b.supply.filter(|&s| u64::from(s) < parts));
    part
}

/// Puts each pattern on a board that need not be left whole where one that is not cut holds it and the plan is better for it. Never
/// makes a plan worse.
pub(crate) fn left_whole(shop: &Shop, mut cuts: Vec<Cut>) -> Vec<Cut> {
    let mut score = Score::of(shop, &cuts);
    while let Some(moved) = one_moved(shop, &cuts, &score) {
        (score, cuts) = (Score::of(shop, &moved), moved);
    }
    cuts
}

/// The plan with the boards of one pattern left whole, if that is better.
fn one_moved(shop: &Shop, cuts: &[Cut], score: &Score) -> Option<Vec<Cut>> {
    let used = |board: usize| cuts.iter().filter(|cut| cut.board == board).map(|cut| cut.times).sum::<u32>();
    let spare = |board: usize| shop.boards[board].supply.map_or(u32::MAX, |supply| supply.saturating_sub(used(board)));
    let begun: Vec<usize> =
        (0..shop.boards.len()).filter(|&board| !shop.boards[board].whole && spare(board) > 0).collect();
    for (at, cut) in cuts.iter().enumerate().filter(|(_, cut)| shop.boards[cut.board].whole) {
        for &board in begun.iter().filter(|&&board| shop.slack(board, &cut.counts) >= 0) {
            let times = cut.times.min(spare(board));
            let mut moved = cuts.to_vec();
            moved[at].times -= times;
            moved.push(Cut { board, times, ..cut.clone() });
            moved.retain(|cut| cut.times > 0);
            let moved = merge(moved);
            if Score::of(shop, &moved) < *score {
                return Some(moved);
            }
        }
    }
    None
}
