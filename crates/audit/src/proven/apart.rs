//! A proof that falls apart: each part is proven for itself, and what is listed is put together from the parts.
//!
//! The parts share out the whole question and no row or limit lies in two. Each part's closings close, its tree shows them to be
//! its best, and the listed closings of the whole are the best that one of each can be put together to. A part that lists
//! fewer than the whole does has to list all it has: it may have no bound.

use super::has_bound;
use super::parts::{Part, put_together};
use super::replay::replay;
use crate::claims::{Apart, Fit, Lists};
use crate::closing::hold_list;
use crate::fitting::Ranking;
use crate::ledger::Ledger;

/// Holds the parts; tells how many closings there are in all if the parts list all they have.
pub(super) fn hold(fit: &Fit, apart: &[Apart], ledger: &mut Ledger) -> Option<i128> {
    let shared_out =
        ledger.hold(shared_out(fit, apart), || "the parts of the proof do not share out the question".into());
    if !shared_out {
        return None;
    }
    let mut parts = Vec::new();
    for (at, one) in apart.iter().enumerate() {
        let part = Part::of(fit, one.lists.clone(), one.closings.clone());
        ledger.hold(part.is_some(), || format!("something joins part {} of the proof to another", at + 1));
        parts.push(part?);
    }
    let mut sound = true;
    for (at, (part, one)) in parts.iter().zip(apart).enumerate() {
        sound &= hold_part(part, one, fit.closings.len(), &format!("part {} of the proof", at + 1), ledger);
    }
    if !sound {
        return None;
    }
    hold_together(fit, &parts, ledger);
    let complete = !apart.iter().any(|one| has_bound(&one.tree));
    complete.then(|| apart.iter().fold(1_i128, |all, one| all.saturating_mul(one.closings.len() as i128)))
}

/// Whether everything lies in one part and in one only, each list ascending, so that ties fall in a part as in the whole.
fn shared_out(fit: &Fit, apart: &[Apart]) -> bool {
    let each = |list: fn(&Lists) -> &Vec<usize>, count: usize| {
        let ascending = apart.iter().all(|one| list(&one.lists).is_sorted_by(|a, b| a < b));
        let mut all: Vec<usize> = apart.iter().flat_map(|one| list(&one.lists).iter().copied()).collect();
        all.sort_unstable();
        ascending && all.into_iter().eq(0..count)
    };
    each(|lists| &lists.choices, fit.choices.len())
        && each(|lists| &lists.sizes, fit.sizes.len())
        && each(|lists| &lists.gaps, fit.gaps.len())
        && each(|lists| &lists.runs, fit.runs.len())
        && each(|lists| &lists.relations, fit.relations.len())
}

fn hold_part(part: &Part, one: &Apart, listed: usize, name: &str, ledger: &mut Ledger) -> bool {
    let bounded = has_bound(&one.tree) && one.closings.len() < listed;
    let whole = ledger.hold(!bounded, || {
        format!("{name} lists {} closings of {listed} asked for, and has a bound", one.closings.len())
    });
    let closes = hold_list(&part.fit, &format!("{name}: closing"), ledger);
    let tree = replay(&part.fit, &one.tree);
    let proven = ledger.hold(tree.is_ok(), || {
        format!("{name} does not show that no better closing was left out: {}", tree.err().unwrap_or_default())
    });
    whole && closes && proven
}

/// What is listed is the best that can be put together, all of it.
fn hold_together(fit: &Fit, parts: &[Part], ledger: &mut Ledger) {
    let lists = parts.iter().map(|part| {
        let vectors = part.fit.closings.iter().map(|own| own.vector.iter().map(|&entry| entry.into()).collect());
        (part, vectors.collect())
    });
    let lists: Vec<(&Part, Vec<Vec<i128>>)> = lists.collect();
    let Some(best) = put_together(fit, Ranking::AsWished, &lists, fit.closings.len()) else {
        return ledger.leave("that the listed closings are the best that their parts can be put together to".into());
    };
    for (at, closing) in fit.closings.iter().enumerate() {
        let own: Vec<i128> = closing.vector.iter().map(|&entry| entry.into()).collect();
        ledger.hold(best.get(at) == Some(&own), || {
            format!("closing {} is not the next best that the parts of the proof can be put together to", at + 1)
        });
    }
}
