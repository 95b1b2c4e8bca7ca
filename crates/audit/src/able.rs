//! What the saw and the bits of the shed cannot do is told: `docs/buying.md`, *The shed*. For each set-up one note that begins
//! with `set-up N:` and says what the saw does not do, `turns`, `leans`, `across`, `fence`; for each size of hole whose bit is
//! not there one with `pilot holes` or `clearance holes`. No other note says so.

use crate::claims::{Card, Record};
use crate::ledger::Ledger;
use crate::texts::Papers;
use std::collections::{BTreeMap, BTreeSet};

/// What the shed can do, as far as it says.
#[derive(Default)]
pub(crate) struct Able {
    /// The widest board that is cut across, and the widest panel that is ripped.
    pub across: Option<i64>,
    pub fence: Option<i64>,
    /// How far the saw turns and leans, in degrees.
    pub turns: Option<i64>,
    pub leans: Option<i64>,
    /// Whether sheets are cut with another saw, of which nothing is known.
    pub other_for_sheets: bool,
    pub bits: Option<Vec<i64>>,
}

/// Holds the notes.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    let mut own: BTreeSet<(i64, &str)> = BTreeSet::new();
    let widths: BTreeMap<&str, i64> = record.parts.iter().map(|part| (part.id.as_str(), part.width)).collect();
    for card in &record.cards {
        own.extend(too_much(card, &widths, &papers.able).into_iter().map(|what| (card.set_up, what)));
    }
    let set_ups: BTreeSet<i64> = record.cards.iter().map(|card| card.set_up).collect();
    for set_up in set_ups {
        let begins = format!("set-up {set_up}:");
        for (what, word) in [
            ("turns", ": the saw turns "),
            ("leans", ": its blade leans "),
            ("across", " across at most"),
            ("fence", ": its fence goes "),
        ] {
            let told = record.buying.notes.iter().any(|note| note.starts_with(&begins) && note.contains(word));
            ledger.same(
                &format!("whether a note of set-up {set_up} says that the saw does not do it ({what})"),
                told,
                own.contains(&(set_up, what)),
            );
        }
    }
    let pilots: BTreeSet<i64> = record.joints.iter().map(|joint| joint.pilot).collect();
    let clearances: BTreeSet<i64> = record.joints.iter().map(|joint| joint.clearance).collect();
    for (holes, sizes) in [("pilot holes", pilots), ("clearance holes", clearances)] {
        let there = papers.able.bits.as_ref();
        let missing = sizes.iter().filter(|size| there.is_some_and(|bits| !bits.contains(size))).count();
        let told = record.buying.notes.iter().filter(|note| note.contains("no bit of") && note.contains(holes)).count();
        ledger.same(&format!("how many bits for {holes} are told as missing"), told, missing);
    }
}

/// What a card asks and the saw does not do.
fn too_much(card: &Card, widths: &BTreeMap<&str, i64>, able: &Able) -> Vec<&'static str> {
    if card.kind == "sheet" && able.other_for_sheets {
        return Vec::new();
    }
    let over = |asked: i64, limit: Option<i64>| limit.is_some_and(|limit| asked > limit);
    let cuts = || card.lots.iter().flat_map(|lot| &lot.cuts);
    if card.work == "rip" {
        let beside = cuts().map(|cut| cut.rest).max().unwrap_or(0);
        return if over(card.length.min(beside), able.fence) { vec!["fence"] } else { Vec::new() };
    }
    let mut all = Vec::new();
    let ten = |limit: Option<i64>| limit.and_then(|limit| limit.checked_mul(10));
    for [turn, lean] in card.ends {
        all.extend(over(turn.abs(), ten(able.turns)).then_some("turns"));
        all.extend(over(lean.abs(), ten(able.leans)).then_some("leans"));
    }
    let wide = cuts().filter_map(|cut| widths.get(cut.makes.as_str())).any(|width| over(*width, able.across));
    all.extend(wide.then_some("across"));
    all
}
