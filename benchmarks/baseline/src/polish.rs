//! A large plan made better piece by piece: a few of its patterns are taken apart and cut anew, exactly, by the table of small jobs.

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
    'again: loop {
        for piece in pieces(cuts.len()) {
            if budget.out() {
                return cuts;
            }
            let share = PIECE.min(budget.left());
            let Some(tried) = budget.capped(share, |budget| cut_anew(shop, &cuts, &piece, budget)) else { continue };
            let better = Score::of(shop, &tried);
            if better < score {
                (cuts, score) = (tried, better);
                continue 'again;
            }
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

/// The plan with the named patterns cut anew; `None` if they are too much for the table.
fn cut_anew(shop: &Shop, cuts: &[Cut], piece: &[usize], budget: &mut Budget) -> Option<Vec<Cut>> {
    let mut part = shop.clone();
    part.demand.iter_mut().for_each(|d| *d = 0);
    let mut plan = Vec::with_capacity(cuts.len());
    for (index, cut) in cuts.iter().enumerate() {
        if piece.contains(&index) {
            part.demand.iter_mut().zip(&cut.counts).for_each(|(d, n)| *d += n * cut.times);
        } else {
            plan.push(cut.clone());
            let supply = &mut part.boards[cut.board].supply;
            *supply = supply.map(|s| s.saturating_sub(cut.times));
        }
    }
    let parts = u32::try_from(part.parts()).ok()?;
    // A supply above the parts never runs short, but as a place of the table it would multiply the states.
    part.boards.iter_mut().for_each(|b| b.supply = b.supply.filter(|&s| s < parts));
    match small(&part, budget)? {
        Small::Best { cuts, .. } => plan.extend(cuts),
        Small::Short => return None,
    }
    Some(merge(plan))
}
