//! What the day book says and what it changed, line by line: what, was, is, why.

use advise::Settled;
use measure::Length;
use std::collections::BTreeMap;

/// One line.
pub(crate) struct Line {
    pub what: String,
    pub was: String,
    pub is: String,
    pub why: String,
}

/// What was read, what is held, what is at home and what is cut, each with its entry; nothing of a plan without a day book.
pub(crate) fn fixed(settled: &Settled) -> Vec<Line> {
    let (standing, tape) = (&settled.plan.standing, settled.plan.tape);
    let why = |entry: u32| format!("entry {entry}");
    let reading = |reading: &model::standing::Reading| Line {
        what: reading.what.clone(),
        was: reading.was.clone(),
        is: reading.is.clone(),
        why: why(reading.entry),
    };
    let held = standing.held.iter().map(|(name, held)| Line {
        what: name.clone(),
        was: "free".into(),
        is: tape.show_exact(held.value),
        why: format!("held by {}", why(held.entry)),
    });
    standing
        .readings
        .iter()
        .map(reading)
        .chain(home(settled))
        .chain(back(settled))
        .chain(cut(settled))
        .chain(held)
        .collect()
}

/// The boards at home by the entry they came with.
fn home(settled: &Settled) -> Vec<Line> {
    let tape = settled.plan.tape;
    let mut lots: BTreeMap<u32, Vec<(usize, &model::standing::HomeBoard)>> = BTreeMap::new();
    for (at, board) in settled.plan.standing.home.iter().enumerate() {
        lots.entry(board.entry).or_default().push((at + 1, board));
    }
    let line = |(entry, boards): (u32, Vec<(usize, &model::standing::HomeBoard)>)| {
        let (first, board) = boards[0];
        let name = settled.plan.yard.label(board.stock).0;
        let begun: Vec<String> = boards
            .iter()
            .filter(|(_, board)| board.cut > 0)
            .map(|(number, board)| match board.single {
                // What it gives depends on where its bad stretches lie: the cutting plan tells.
                Some(_) => format!(
                    "number {number} is begun, and {} of it are left, bad stretches and all",
                    tape.show_exact(board.left)
                ),
                None => format!("number {number} gives {} more", tape.show_exact(rest(board.left, settled))),
            })
            .collect();
        let paid =
            board.price.map_or_else(String::new, |price| format!(", paid {price} {} each", settled.plan.yard.currency));
        let numbers = match boards.len() {
            1 => format!("number {first}"),
            some => format!("numbers {first} to {}", first + some - 1),
        };
        Line {
            what: format!("{} × {name} {} at home, {numbers}{paid}", boards.len(), tape.show_exact(board.label)),
            was: if board.left_over { "cut wrong".into() } else { "whole".into() },
            is: match (begun.is_empty(), board.left_over) {
                (true, true) => "left over".into(),
                (true, false) => "whole".into(),
                (false, _) => begun.join(", "),
            },
            why: format!("entry {entry}"),
        }
    };
    lots.into_iter().map(line).collect()
}

/// Whole boards that no part needs.
fn back(settled: &Settled) -> impl Iterator<Item = Line> {
    let line = |back: &stages::buy::TakeBack| Line {
        what: take_back(back, settled),
        was: "at home".into(),
        is: "can go back".into(),
        why: "no part needs them".into(),
    };
    settled.buying.take_back.iter().map(line).collect::<Vec<Line>>().into_iter()
}

/// What a board that was begun still gives.
fn rest(left: Length, settled: &Settled) -> Length {
    (left - settled.plan.shed.trim).max(Length::ZERO)
}

/// What was cut, by the ids of the slots that it fills now.
fn cut(settled: &Settled) -> Vec<Line> {
    let tape = settled.plan.tape;
    let objects = &settled.plan.standing.objects;
    let mut by_entry: BTreeMap<(u32, String), Vec<String>> = BTreeMap::new();
    for (&place, &at) in &settled.assigned.filled {
        let closed = if objects[at].closed { ", its gap closed" } else { "" };
        let is = format!("{}{closed}", tape.show_exact(objects[at].length));
        by_entry.entry((objects[at].entry, is)).or_default().push(settled.build.parts[place].id.clone());
    }
    let filled = by_entry.into_iter().map(|((entry, is), ids)| Line {
        what: ids.join(" "),
        was: "to be cut".into(),
        is: format!("cut, {is}"),
        why: format!("entry {entry}"),
    });
    let offcut = |&at: &usize| Line {
        what: objects[at].slot.clone(),
        was: "meant for it".into(),
        is: format!("an offcut of {}", tape.show_exact(objects[at].length)),
        why: format!("entry {}", objects[at].entry),
    };
    filled.chain(settled.assigned.offcuts.iter().map(offcut)).collect()
}

/// What differs from the plan as it would be without the day book.
pub(crate) fn changed(settled: &Settled) -> Vec<Line> {
    let said = |value: &str| if value.is_empty() { "–".to_owned() } else { value.to_owned() };
    let line = |change: &advise::Change| Line {
        what: change.what.clone(),
        was: said(&change.was),
        is: said(&change.is),
        why: "the entries above".into(),
    };
    settled.changes.iter().map(line).collect()
}

/// What is taken back, with its money at the yard's price: `take back 2 × wall 1800 (30.24 NZD)`.
pub fn take_back(back: &stages::buy::TakeBack, settled: &Settled) -> String {
    let (name, currency) = (settled.plan.yard.label(back.stock).0, &settled.plan.yard.currency);
    let paid = back.amount.map_or_else(|| "price not known".to_owned(), |amount| format!("{amount} {currency}"));
    format!("take back {} × {name} {} ({paid})", back.count, settled.plan.tape.show_exact(back.label))
}
