//! Rule `steps`: every part is put in place exactly once, in a step of its own piece; a step waits only for earlier ones, and
//! one that is about parts before they are placed comes before the step that places them, one that waits for them after it. Then the order itself is held: see
//! [`order`]. What stands in the air has to be told: see [`borne`].

mod borne;
mod near;
mod order;

use crate::claims::Record;
use crate::ledger::Ledger;
use crate::texts::Papers;
use order::Order;
use std::collections::{BTreeMap, BTreeSet};

const RULE: &str = "steps";

/// Holds the steps.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let mut waiting: BTreeMap<&str, &str> =
        record.parts.iter().map(|part| (part.id.as_str(), part.piece.as_str())).collect();
    let mut stand: BTreeSet<&str> = BTreeSet::new();
    for (at, step) in record.steps.iter().enumerate() {
        ledger.hold(step.after.iter().all(|&before| before < at), || {
            format!("step {} waits for one that does not come before it", at + 1)
        });
        for id in step.parts.iter().filter(|_| !step.places()) {
            let is_to_come = waiting.contains_key(id.as_str());
            match step.work.as_str() {
                "wait" => ledger.hold(stand.contains(id.as_str()), || {
                    format!("step {} waits for `{id}`, which does not stand, or is no part", at + 1)
                }),
                _ => ledger
                    .hold(is_to_come, || format!("step {} comes after `{id}` was placed, or it is no part", at + 1)),
            };
        }
        for id in step.parts.iter().filter(|_| step.places()) {
            let piece = waiting.remove(id.as_str());
            stand.insert(id.as_str());
            ledger
                .hold(piece.is_some(), || format!("step {} places `{id}`, which is no part or stands already", at + 1));
            let own = piece.is_none_or(|piece| piece == step.piece);
            ledger.hold(own, || format!("step {} of {} places `{id}`, which is of another piece", at + 1, step.piece));
        }
    }
    for (id, piece) in waiting {
        ledger.find(format!("no step places {id} of {piece}"));
    }
    Order::of(record, papers).hold(ledger);
}
