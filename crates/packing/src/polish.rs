//! A large plan made better piece by piece: a few of its patterns are taken apart and cut anew, exactly, by the table of small jobs.

use std::collections::BTreeSet;

use crate::budget::Budget;
use crate::greedy::merge;
use crate::job::{Cut, Shop};
use crate::score::Score;
use crate::ties::{Small, small};

/// Steps that one piece may take.
const PIECE: u64 = 100_000;
/// Most distinct patterns of a plan of which every three are tried; past it every two.
const FEW: usize = 14;

/// Tries every two and every three patterns of a plan until none gains anything or the steps run out. Never makes a plan worse.
pub(crate) fn polish(shop: &Shop, mut cuts: Vec<Cut>, budget: &mut Budget) -> Vec<Cut> {
    let mut score = Score::of(shop, &cuts);
    // What gained nothing once gains nothing again, as long as the boards that are left to it are the same.
    let mut in_vain: BTreeSet<(Vec<Cut>, Vec<Option<u32>>)> = BTreeSet::new();
    'again: loop {
        for piece in pieces(cuts.len()) {
            if budget.out() {
                return cuts;
            }
            let (part, rest) = taken_apart(shop, &cuts, &piece);
            let key =
                (piece.iter().map(|&at| cuts[at].clone()).collect(), part.boards.iter().map(|b| b.supply).collect());
            if in_vain.contains(&key) {
                continue;
            }
            let share = PIECE.min(budget.left());
            let tried = budget.capped(share, |budget| cut_anew(&part, rest, budget));
            if let Some(tried) = tried {
                let better = Score::of(shop, &tried);
                if better < score {
                    (cuts, score) = (tried, better);
                    continue 'again;
                }
            }
            in_vain.insert(key);
        }
        return cuts;
    }
}

/// All pairs, then all triples if the patterns are few.
fn pieces(patterns: usize) -> Vec<Vec<usize>> {
    let mut pieces = Vec::new();
    for a in 0..patterns {
        pieces.extend((a + 1..patterns).map(|b| vec![a, b]));
    }
    if patterns <= FEW {
        for a in 0..patterns {
            for b in a + 1..patterns {
                pieces.extend((b + 1..patterns).map(|c| vec![a, b, c]));
            }
        }
    }
    pieces
}

/// The job that the named patterns do, on the boards that the others leave, and those others.
fn taken_apart(shop: &Shop, cuts: &[Cut], piece: &[usize]) -> (Shop, Vec<Cut>) {
    let mut part = shop.clone();
    part.demand.iter_mut().for_each(|d| *d = 0);
    let mut rest = Vec::with_capacity(cuts.len());
    for (index, cut) in cuts.iter().enumerate() {
        if piece.contains(&index) {
            part.demand.iter_mut().zip(&cut.counts).for_each(|(d, n)| *d += n * cut.times);
        } else {
            rest.push(cut.clone());
            let supply = &mut part.boards[cut.board].supply;
            *supply = supply.map(|s| s.saturating_sub(cut.times));
        }
    }
    // A supply above the parts never runs short, but as a place of the table it would multiply the states.
    let parts = part.parts();
    part.boards.iter_mut().for_each(|b| b.supply = b.supply.filter(|&s| u64::from(s) < parts));
    (part, rest)
}

/// The plan with a part of it cut anew; `None` if that is too much for the table.
fn cut_anew(part: &Shop, mut rest: Vec<Cut>, budget: &mut Budget) -> Option<Vec<Cut>> {
    match small(part, budget)? {
        Small::Best { cuts, .. } => rest.extend(cuts),
        Small::Short => return None,
    }
    Some(merge(rest))
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
