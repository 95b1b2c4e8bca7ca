//! Rule `cutting`: every part of board or sheet is cut exactly once, from stock that holds it.
//!
//! On a board `sum(parts) + (n - 1) · kerf ≤ stock - trim` (the kerf rule, common practice); what is left is the slack, and
//! the pattern is comfortable if the slack is `(n - 1) · reserve per cut + reserve per board` at least. A sheet is ripped into
//! strips by the same rule across its width, and each strip is cut by it along its length.

use crate::claims::{Cut, Part, Record, Section, Sheets};
use crate::ledger::Ledger;
use crate::texts::Papers;
use std::collections::BTreeMap;

const RULE: &str = "cutting";

/// Boards and sheets of patterns that are only possible if measured. Sheets are held to what they say of themselves.
pub(crate) fn tight(record: &Record) -> i64 {
    let cuts = record.cutting.boards.iter().flat_map(|section| &section.cuts);
    let boards: i64 =
        cuts.filter(|cut| !roomy(cut.stock, &cut.lengths, record)).map(|cut| cut.boards.len() as i64).sum();
    let sheets = record.cutting.sheets.iter().flat_map(|sheets| &sheets.sheets);
    boards + sheets.filter(|sheet| !sheet.comfortable).count() as i64
}

fn left(stock: i64, lengths: &[i64], record: &Record) -> i128 {
    let sum: i128 = lengths.iter().map(|&length| i128::from(length)).sum();
    let cuts = lengths.len().saturating_sub(1) as i128;
    i128::from(stock) - i128::from(record.cutting.trim) - sum - cuts * i128::from(record.cutting.kerf)
}

/// Whether what is left keeps the reserve.
fn roomy(stock: i64, lengths: &[i64], record: &Record) -> bool {
    let cuts = lengths.len().saturating_sub(1) as i128;
    let reserve = cuts * i128::from(record.cutting.reserve_per_cut) + i128::from(record.cutting.reserve_per_board);
    left(stock, lengths, record) >= reserve
}

/// Parts that are still to be cut, by their ids.
struct Waiting<'r> {
    parts: BTreeMap<&'r str, &'r Part>,
}

impl<'r> Waiting<'r> {
    /// Takes a part of this stock off the list.
    fn take(&mut self, id: &str, kind: &str, stock: &str, ledger: &mut Ledger) -> Option<&'r Part> {
        let part = self.parts.remove(id);
        ledger.hold(part.is_some(), || format!("`{id}` is cut and is no part, or is cut twice"));
        let part = part?;
        ledger
            .hold(part.kind == kind && part.stock == stock, || format!("{} is cut from {kind} `{stock}`", part.slot()));
        Some(part)
    }
}

/// Holds all cutting.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let cut = record.parts.iter().filter(|part| part.kind != "unit");
    let mut waiting = Waiting { parts: cut.map(|part| (part.id.as_str(), part)).collect() };
    let mut names: Vec<&String> = Vec::new();
    for section in &record.cutting.boards {
        ledger
            .hold(!names.contains(&&section.board), || format!("the board `{}` has two cutting plans", section.board));
        names.push(&section.board);
        hold_section(section, record, papers, &mut waiting, ledger);
    }
    names.clear();
    for sheets in &record.cutting.sheets {
        ledger.hold(!names.contains(&&sheets.sheet), || format!("the sheet `{}` has two cutting plans", sheets.sheet));
        names.push(&sheets.sheet);
        hold_sheets(sheets, record, papers, &mut waiting, ledger);
    }
    for part in waiting.parts.values() {
        ledger.find(format!("{} is not cut", part.slot()));
    }
}

fn hold_section(section: &Section, record: &Record, papers: &Papers, waiting: &mut Waiting<'_>, ledger: &mut Ledger) {
    let Some(board) = papers.board(&section.board) else {
        return ledger.find(format!("the yard has no board `{}`", section.board));
    };
    let priced = board.lengths.iter().all(|sold| sold.price.is_some());
    ledger.same(&format!("whether `{}` is priced", section.board), section.priced, priced);
    let mut cost: i128 = 0;
    let mut used: BTreeMap<i64, i64> = BTreeMap::new();
    for (at, cut) in section.cuts.iter().enumerate() {
        let name = format!("pattern {} of `{}`", at + 1, section.board);
        *used.entry(cut.stock).or_default() += cut.boards.len() as i64;
        let sold = board.lengths.iter().find(|sold| sold.length == cut.stock);
        ledger.hold(sold.is_some(), || format!("{name} takes a board of {}, which the yard does not sell", cut.stock));
        let price = sold.map(|sold| if priced { sold.price.unwrap_or(0) } else { sold.length / 1000 });
        cost += i128::from(price.unwrap_or(0)) * cut.boards.len() as i128;
        hold_cut(cut, &name, record, ledger);
        for ids in &cut.boards {
            let lengths: Vec<i64> = ids
                .iter()
                .filter_map(|id| waiting.take(id, "board", &section.board, ledger))
                .map(|p| p.length)
                .collect();
            ledger.same(&format!("the lengths on a board of {name}"), &cut.lengths, &lengths);
        }
        ledger.hold(!cut.boards.is_empty(), || format!("{name} is cut from no board"));
    }
    for (length, count) in used {
        let supply = board.lengths.iter().find(|sold| sold.length == length).and_then(|sold| sold.stock);
        ledger.hold(supply.is_none_or(|supply| count <= supply), || {
            format!("{count} boards `{}` of {length} are cut, and the yard has {supply:?}", section.board)
        });
    }
    ledger.same(&format!("the cost of `{}`", section.board), i128::from(section.cost), cost);
}

fn hold_cut(cut: &Cut, name: &str, record: &Record, ledger: &mut Ledger) {
    let slack = left(cut.stock, &cut.lengths, record);
    let cuts = cut.lengths.len().saturating_sub(1) as i64;
    ledger.hold(!cut.lengths.is_empty(), || format!("{name} cuts nothing"));
    ledger.hold(slack >= 0, || format!("{name} does not come out of its board: {slack} is left"));
    ledger.same(&format!("what {name} leaves"), i128::from(cut.slack), slack);
    let room = slack + i128::from(cuts) * i128::from(record.cutting.kerf);
    ledger.same(&format!("what {name} leaves before any kerf"), i128::from(cut.kerf_room), room);
    ledger.same(&format!("the cuts of {name}"), cut.cuts, cuts);
    ledger.same(&format!("whether {name} is comfortable"), cut.comfortable, roomy(cut.stock, &cut.lengths, record));
}

fn hold_sheets(sheets: &Sheets, record: &Record, papers: &Papers, waiting: &mut Waiting<'_>, ledger: &mut Ledger) {
    let name = format!("sheet `{}`", sheets.sheet);
    let Some(of) = papers.sheet(&sheets.sheet) else { return ledger.find(format!("the yard has no {name}")) };
    let sold = of.sizes.iter().any(|sold| (sold.length, sold.width) == (sheets.length, sheets.width));
    ledger.hold(sold, || format!("the yard sells no {name} of {} by {}", sheets.length, sheets.width));
    let mut area: i128 = 0;
    for (at, sheet) in sheets.sheets.iter().enumerate() {
        let name = format!("sheet {} of `{}`", at + 1, sheets.sheet);
        ledger.hold(!sheet.strips.is_empty(), || format!("{name} has no strips"));
        let widths: Vec<i64> = sheet.strips.iter().map(|strip| strip.width).collect();
        hold_left(sheet.slack, left(sheets.width, &widths, record), &format!("the strips of {name}"), ledger);
        let mut comfortable = roomy(sheets.width, &widths, record);
        for strip in &sheet.strips {
            ledger.hold(!strip.parts.is_empty(), || format!("{name} has an empty strip"));
            let ids = strip.parts.iter().filter_map(|id| waiting.take(id, "sheet", &sheets.sheet, ledger));
            let panels: Vec<&Part> = ids.collect();
            let lengths: Vec<i64> = panels.iter().map(|part| part.length).collect();
            for part in &panels {
                area += i128::from(part.length) * i128::from(part.width);
                ledger.same(&format!("the strip that yields {}", part.slot()), strip.width, part.width);
            }
            comfortable &= roomy(sheets.length, &lengths, record);
            hold_left(
                strip.slack,
                left(sheets.length, &lengths, record),
                &format!("the panels of a strip of {name}"),
                ledger,
            );
        }
        ledger.same(&format!("whether {name} is comfortable"), sheet.comfortable, comfortable);
    }
    let whole = (i128::from(sheets.length) * i128::from(sheets.width)).max(1);
    let least = (area + whole - 1).div_euclid(whole);
    ledger.same(&format!("how many of {name} the area asks for"), i128::from(sheets.least), least);
    let proven = sheets.sheets.len() as i128 == least && of.sizes.len() == 1;
    ledger.hold(!sheets.proven || proven, || format!("that fewer of {name} cannot do is not proven by their area"));
    if !sheets.proven {
        ledger.leave(format!("how few of {name} would do: {} are used, {least} have the area", sheets.sheets.len()));
    }
}

fn hold_left(claimed: i64, slack: i128, name: &str, ledger: &mut Ledger) {
    ledger.hold(slack >= 0, || format!("{name} do not come out: {slack} is left"));
    ledger.same(&format!("what {name} leave"), i128::from(claimed), slack);
}
