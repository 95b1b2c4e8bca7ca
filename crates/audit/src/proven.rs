//! Rule `proven`: what is called proven is proven again.
//!
//! - [`duals`]: a cutting plan's bound from its certificate, one exact knapsack for each stock; what the prices alone do not
//!   close, by a search of the referee's own ([`cutsearch`]); rules for the boards that are bought, by trying numbers ([`buys`]).
//! - [`replay`]: the covering tree of the search for closings, by the referee's own interval propagation.
//! - [`apart`]: a proof that falls apart, each part by its own tree, and what is put together of them.
//! - [`brute`]: where few enough combinations are left, every one of them, part by part ([`parts`]).
//! - [`rod`]: the windows of each size, point by point.
//! - [`prices`]: what the ways and the notches cost, by the referee's own cutting.
//!
//! What is beyond the referee's work limits is not passed over but told as unchecked.

mod apart;
mod bad;
mod brute;
mod buys;
mod cutsearch;
mod duals;

pub(crate) use duals::gcd;
mod parts;
mod prices;
mod replay;
mod rod;

use crate::asked::Asked;
use crate::claims::{Proof, Record, Tree};
use crate::ledger::Ledger;
use crate::texts::Papers;

const RULE: &str = "proven";

/// Proves everything again.
pub(crate) fn hold(record: &Record, papers: &Papers, asked: &Asked, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    for section in &record.cutting.boards {
        duals::hold(section, record, papers, ledger);
    }
    rod::hold(record, ledger);
    let all = brute::all(record);
    hold_closings(record, all.as_ref(), ledger);
    prices::hold(record, papers, asked, all.as_ref(), ledger);
}

fn hold_closings(record: &Record, all: Option<&brute::All>, ledger: &mut Ledger) {
    let fit = &record.fit;
    let proven = fit.status == "proven";
    ledger.hold(proven || fit.proof.is_none(), || format!("a search that ended as `{}` has a proof", fit.status));
    if !proven {
        ledger.leave(format!("that no better closings were left out: the search ended as `{}`", fit.status));
    }
    let listed = fit.closings.len() as i64;
    ledger.hold(fit.found >= listed, || format!("{listed} closings are listed, and {} were found", fit.found));
    let mut counted = false;
    match &fit.proof {
        Some(Proof::Whole(tree)) => {
            let replayed = replay::replay(fit, tree);
            let holds = ledger.hold(replayed.is_ok(), || {
                let wrong = replayed.err().unwrap_or_default();
                format!("the proof that no better closing was left out does not hold: {wrong}")
            });
            // Without a bound the tree has no closing but those listed.
            if holds && !has_bound(tree) {
                counted = true;
                ledger.same("how many closings there are", (fit.found, fit.found_more), (listed, false));
            }
        }
        Some(Proof::Apart(parts)) => {
            if let Some(number) = apart::hold(fit, parts, ledger) {
                counted = true;
                let found = i128::from(fit.found);
                let right = if fit.found_more { found < number } else { found == number };
                ledger.hold(right, || format!("the parts of the proof have {number} closings together, not {found}"));
            }
        }
        None => {}
    }
    if let Some(all) = all {
        counted |= !fit.found_more;
        brute::hold(record, all, ledger);
    } else if proven && fit.proof.is_none() {
        ledger.leave("that no better closings were left out: the proof is not in the record".into());
    }
    if !counted {
        ledger.leave(format!(
            "how many closings there are (said to be {}{})",
            fit.found,
            if fit.found_more { " or more" } else { "" }
        ));
    }
    let others = record.ways.iter().any(|way| way.because == "sizes first" || way.because == "fewest members");
    if others && all.is_none() {
        ledger.leave("that the ways by other rankings are the best by them".into());
    }
}

fn has_bound(tree: &Tree) -> bool {
    match tree {
        Tree::Bound => true,
        Tree::Split { parts, .. } => parts.iter().any(|part| has_bound(&part.2)),
        Tree::Empty | Tree::Listed(_) => false,
    }
}
