//! Rule `sawing`: the cards at the saw follow from the cutting plan. Every part of board or sheet, and every strip, is on
//! exactly one card; settings come in order, each once; stop and ends are those of the parts' own planes; what a tape reads
//! before and after each cut, and the least that must be there, are reckoned again.

mod blade;

use crate::claims::{Card, Lot, Part, Record};
use crate::clear::{Clear, shared};
use crate::home;
use crate::ledger::{Ledger, Mm};
use crate::texts::Papers;
use blade::{Blade, SQUARE, flip, longest_edge, shaped_after};
use std::cmp::Reverse;
use std::collections::BTreeMap;

const RULE: &str = "sawing";

/// What a card has room for.
const ROOM: usize = 24;
const ROWS: usize = 4;
/// A part is short below this (common practice), and a first part is held no closer than half a millimetre.
const SHORT: i64 = 250_000_000;
const CLOSEST: i64 = 500_000;

/// How a piece is cut: long before short, of equal length square before slanted, then by its ends.
type Setting = (Reverse<i64>, bool, Blade);

fn setting(length: i64, ends: Blade) -> Setting {
    (Reverse(length), ends != SQUARE, ends)
}

/// A board, a sheet to be ripped or a strip, and what it has still to give, the next first.
struct Bar {
    length: i64,
    /// Where it is sawn out, if it is a clear stretch of a board with bad ones.
    span: Option<[i64; 2]>,
    /// What squares off its first end.
    off: i64,
    reads: i128,
    left: Vec<Piece>,
}

struct Piece {
    name: String,
    setting: Setting,
}

/// Where a bar comes among those of its kind: of boards that the yard parts all first pieces come before all second ones, so by the
/// first board that is cut alike and the piece; then by number and strip. Nought where there is none.
type Place = [i64; 4];

/// The bars of one kind of stock and one kind of work.
struct Heap<'r> {
    work: &'static str,
    kind: &'static str,
    stock: &'r str,
    kerf: i64,
    bars: BTreeMap<Place, Bar>,
}

impl Bar {
    fn new(length: i64, squared_off: i64, mut pieces: Vec<Piece>) -> Bar {
        // Stable, so that equal settings stay in the order of the pattern.
        pieces.sort_by_key(|piece| piece.setting);
        Bar { length, span: None, off: squared_off, reads: i128::from(length) - i128::from(squared_off), left: pieces }
    }

    /// What everything that is still to come out of it takes.
    fn takes(&self, kerf: i64) -> i128 {
        let sum: i128 = self.left.iter().map(|piece| i128::from(piece.setting.0.0)).sum();
        sum + i128::from(kerf) * (self.left.len() as i128 - 1)
    }
}

/// Holds all cards.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let parts: BTreeMap<&str, &Part> = record.parts.iter().map(|part| (part.id.as_str(), part)).collect();
    let mut heaps = heaps(record, papers, &parts);
    let mut at = 0;
    let mut before: Option<&Card> = None;
    for (number, card) in (1..).zip(&record.cards) {
        let is = |heap: &Heap<'_>| (heap.work, heap.kind, heap.stock) == (&card.work, &card.kind, &card.stock);
        let Some(found) = heaps.iter().skip(at).position(is) else {
            ledger.find(format!("card {number} is a {} of {} `{}` out of its turn", card.work, card.kind, card.stock));
            continue;
        };
        // What is left of the heaps that are passed over is found at the end.
        at += found;
        hold_order(number, card, before, &heaps[at], ledger);
        hold_card(number, card, before, record, &parts, ledger);
        hold_cuts(number, card, &mut heaps[at], ledger);
        before = Some(card);
    }
    for heap in &heaps {
        for piece in heap.bars.values().flat_map(|bar| &bar.left) {
            ledger.find(format!("`{}` of {} `{}` is on no card ({})", piece.name, heap.kind, heap.stock, heap.work));
        }
    }
}

/// What there is to be cut, in the order of the yard: boards, then of each sheet the rips and the crosscuts.
fn heaps<'r>(record: &'r Record, papers: &Papers, parts: &BTreeMap<&str, &Part>) -> Vec<Heap<'r>> {
    let [squared_off, sheet_squared_off] =
        [record.cutting.trim, record.cutting.sheet_trim].map(|trim| trim.div_euclid(2));
    let piece = |id: &String| {
        let part = parts.get(id.as_str())?;
        Some(Piece { name: id.clone(), setting: setting(part.length, blade::of(part)) })
    };
    let pieces = |ids: &[String]| ids.iter().filter_map(piece).collect();
    let mut heaps = Vec::new();
    for sold in &papers.boards {
        for section in record.cutting.boards.iter().filter(|section| section.board == sold.name) {
            let kerf = section.kerf.unwrap_or(record.cutting.kerf);
            let boards = section.cuts.iter().flat_map(|cut| cut.boards.iter().map(move |ids| (cut, ids)));
            let firsts = section.cuts.iter().scan(1, |next, cut| {
                let first = *next;
                *next += cut.boards.len() as i64;
                Some(cut.boards.iter().map(move |_| first))
            });
            let mut bars = BTreeMap::new();
            for ((number, (cut, ids)), first) in (1..).zip(boards).zip(firsts.flatten()) {
                let parted = home::of_board(record, papers, section, cut).unwrap_or_default();
                if cut.stretches.is_empty() && parted.is_empty() {
                    bars.insert([number, 0, number, 0], Bar::new(cut.stock, squared_off, pieces(ids)));
                }
                let mut ids_left = ids.as_slice();
                for (at, piece) in (1..).zip(&parted) {
                    let (own, rest) = ids_left.split_at(piece.holds.min(ids_left.len()));
                    ids_left = rest;
                    bars.insert([first, at, number, 0], Bar::new(piece.length, piece.off, pieces(own)));
                }
                let counts: Vec<i64> = cut.stretches.iter().map(|stretch| stretch.parts).collect();
                // Ids that are not those of the parts have been found at the cutting.
                let rows = shared(ids, &counts).unwrap_or_default();
                for (at, (stretch, ids)) in (1..).zip(cut.stretches.iter().zip(rows)) {
                    let clear = Clear::of([stretch.from, stretch.to], cut.stock, record.cutting.trim);
                    let span = clear.sawn(kerf);
                    let bar = Bar::new(span[1] - span[0], clear.squared_off(), pieces(ids));
                    bars.insert([number, 0, number, at], Bar { span: Some(span), ..bar });
                }
            }
            heaps.push(Heap { work: "crosscut", kind: "board", stock: &section.board, kerf, bars });
        }
    }
    for sold in &papers.sheets {
        for sheets in record.cutting.sheets.iter().filter(|sheets| sheets.sheet == sold.name) {
            let kerf = sheets.kerf.unwrap_or(record.cutting.sheet_kerf);
            let (mut rips, mut strips) = (BTreeMap::new(), BTreeMap::new());
            for (number, sheet) in (1..).zip(&sheets.sheets) {
                let mut widths = Vec::new();
                for (strip, of) in (1..).zip(&sheet.strips) {
                    widths.push(Piece { name: format!("{number}.{strip}"), setting: setting(of.width, SQUARE) });
                    strips.insert(
                        [number, 0, number, strip],
                        Bar::new(sheet.length, sheet_squared_off, pieces(&of.parts)),
                    );
                }
                let parted = home::of_sheet(record, papers, sheets, sheet).unwrap_or_default();
                if parted.is_empty() {
                    rips.insert([number, 0, number, 0], Bar::new(sheet.width, sheet_squared_off, widths));
                    continue;
                }
                let mut widths = widths.into_iter();
                for (at, piece) in (1..).zip(&parted) {
                    let own = widths.by_ref().take(piece.holds).collect();
                    rips.insert([number, at, number, 0], Bar::new(piece.length, piece.off, own));
                }
            }
            let stock = sheets.sheet.as_str();
            heaps.push(Heap { work: "rip", kind: "sheet", stock, kerf, bars: rips });
            heaps.push(Heap { work: "crosscut", kind: "sheet", stock, kerf, bars: strips });
        }
    }
    heaps
}

/// Set-ups are numbered, come in order, and a card goes on with the one before only if that had no more room.
fn hold_order(number: usize, card: &Card, before: Option<&Card>, heap: &Heap<'_>, ledger: &mut Ledger) {
    let name = format!("card {number}");
    let goes_on = before.filter(|before| before.set_up == card.set_up);
    let next = before.map_or(1, |before| before.set_up + 1);
    ledger.same(&format!("the set-up of {name}"), card.set_up, if goes_on.is_some() { next - 1 } else { next });
    let own = setting(card.length, card.ends);
    let same_heap = |other: &&Card| (heap.work, heap.kind, heap.stock) == (&other.work, &other.kind, &other.stock);
    if let Some(before) = before.filter(same_heap) {
        let other = setting(before.length, before.ends);
        let ordered = if goes_on.is_some() { other == own } else { other < own };
        ledger.hold(ordered, || format!("{name} does not come after the one before it: settings come once, in order"));
    } else {
        ledger.hold(goes_on.is_none(), || format!("{name} goes on with a set-up of another stock"));
    }
    ledger.hold(made(card) <= ROOM && rows(&card.lots) <= ROWS, || format!("{name} has no room for all that is on it"));
    if let (Some(before), Some(lot)) = (goes_on, card.lots.first()) {
        // So much of the next board as there was room for.
        let mut taken = lot.clone();
        taken.cuts.truncate(ROOM.saturating_sub(made(before)));
        let fifth = rows(&before.lots) == ROWS && before.lots.last().is_none_or(|last| !alike(last, &taken));
        ledger
            .hold(made(before) == ROOM || fifth, || format!("there was room for what is on {name} on the card before"));
    }
}

fn made(card: &Card) -> usize {
    card.lots.iter().map(|lot| lot.cuts.len()).sum()
}

/// Boards that follow one another with the same readings make one row.
fn rows(lots: &[Lot]) -> usize {
    lots.len() - lots.windows(2).filter(|two| alike(&two[0], &two[1])).count()
}

fn alike(one: &Lot, other: &Lot) -> bool {
    let readings = |lot: &Lot| lot.cuts.iter().map(|cut| [cut.least, cut.rest]).collect::<Vec<_>>();
    (one.length, one.start) == (other.length, other.start) && readings(one) == readings(other)
}

/// What is told of the parts of a card.
fn hold_card(
    number: usize,
    card: &Card,
    before: Option<&Card>,
    record: &Record,
    parts: &BTreeMap<&str, &Part>,
    ledger: &mut Ledger,
) {
    let name = format!("card {number}");
    let cuts = || card.lots.iter().flat_map(|lot| &lot.cuts);
    let own: Vec<&Part> = match card.work.as_str() {
        "rip" => Vec::new(),
        _ => cuts().filter_map(|cut| parts.get(cut.makes.as_str()).copied()).collect(),
    };
    let (stop, reads) = match own.first() {
        Some(part) => longest_edge(part),
        None => (card.length as f64, "end to end"),
    };
    // An edge between two slanted planes is told to the nearest nanometre; all else is the part's own length.
    let slack = if reads == "long point to short point" { 1.0 } else { 0.0 };
    let near = (card.stop as f64 - stop).abs() <= slack;
    ledger
        .hold(near, || format!("the stop of {name} is said to be {}, and is {:.6} mm", Mm::of(card.stop), stop / 1e6));
    ledger.same(&format!("how the stop of {name} is read"), card.reads.as_str(), reads);
    ledger.same(&format!("the flip of {name}"), card.flip.as_str(), flip(card.ends));
    ledger.same(&format!("the check of {name}"), Mm::of(card.check), Mm::of(CLOSEST.max(record.step / 2)));
    let short = card.work == "crosscut" && card.length < SHORT;
    ledger.same(&format!("whether {name} makes short parts"), card.short, short);
    let clamp: Vec<&str> = cuts().filter(|cut| short && cut.rest < SHORT).map(|cut| cut.makes.as_str()).collect();
    let told: Vec<&str> = card.clamp.iter().map(String::as_str).collect();
    ledger.same(&format!("what is clamped at {name}"), told, clamp);
    let shaped: Vec<&str> = own.iter().filter(|part| shaped_after(part)).map(|part| part.id.as_str()).collect();
    let told: Vec<&str> = card.shaped.iter().map(String::as_str).collect();
    ledger.same(&format!("what is shaped after {name}"), told, shaped);
    let told: Vec<&str> = card.marks.iter().map(String::as_str).collect();
    ledger.same(&format!("the marking sizes of {name}"), told, marks(&own, record));
    let stays = before.is_some_and(|before| {
        let square = [before, card].iter().all(|card| card.work == "crosscut" && card.ends == SQUARE);
        before.set_up == card.set_up || (square && before.stop == card.stop)
    });
    ledger.same(&format!("whether the stop of {name} stays"), card.stop_stays, stays);
}

/// The marking sizes of shaped tops: of each piece and width its shoulder, and all numbers of the group that has this width.
fn marks<'r>(own: &[&Part], record: &'r Record) -> Vec<&'r str> {
    let mut kinds: Vec<(&str, i64)> = Vec::new();
    for part in own.iter().filter(|part| !part.planes.is_empty()) {
        if !kinds.contains(&(part.piece.as_str(), part.width)) {
            kinds.push((&part.piece, part.width));
        }
    }
    let mut names = Vec::new();
    for (piece, width) in kinds {
        let group = |name: &'r str| name.rsplit_once('.').map_or("", |(group, _)| group);
        let begins = format!("{piece}.top");
        let own = || record.quantities.iter().filter(|quantity| quantity.name.starts_with(&begins));
        let is_width = |input: &crate::claims::Input| input.what == "board" && input.of == "nm" && input.value == width;
        let of_width: Vec<&str> = own()
            .filter(|quantity| quantity.inputs.iter().any(is_width))
            .map(|quantity| group(&quantity.name))
            .collect();
        let told = own().map(|quantity| quantity.name.as_str()).filter(|name| {
            name.ends_with(".top.shoulder") || (!name.ends_with(".lost") && of_width.contains(&group(name)))
        });
        names.extend(told);
    }
    names
}

/// Every cut takes the next piece of its bar, which is made at this setting; readings are reckoned again.
fn hold_cuts(number: usize, card: &Card, heap: &mut Heap<'_>, ledger: &mut Ledger) {
    let name = format!("card {number}");
    let kerf = heap.kerf;
    let mut before = None;
    for lot in &card.lots {
        let from = match (lot.strip, lot.piece) {
            (Some(strip), _) => format!("{name}, {}.{strip}", lot.number),
            (_, Some(piece)) => format!("{name}, {}/{piece}", lot.number),
            _ => format!("{name}, {}", lot.number),
        };
        let named = [lot.piece.unwrap_or(0), lot.number, lot.strip.unwrap_or(0)];
        let place = heap.bars.keys().find(|place| place[1..] == named).copied();
        let place = place.filter(|_| lot.strip != Some(0) && lot.piece != Some(0));
        let Some((place, bar)) = place.and_then(|place| Some((place, heap.bars.get_mut(&place)?))) else {
            ledger.find(format!("{from}: there is no such board, sheet, piece or strip"));
            continue;
        };
        ledger.hold(before < Some(place), || format!("the boards of {name} are out of their order"));
        before = Some(place);
        ledger.same(&format!("{from}: its length"), Mm::of(lot.length), Mm::of(bar.length));
        let span = bar.span.map(|span| span.map(Mm::of).to_vec());
        let told = lot.span.as_ref().map(|span| span.iter().map(|&at| Mm::of(at)).collect::<Vec<Mm>>());
        if told.is_some() || span.is_some() {
            ledger.same(&format!("{from}: where it is sawn out"), told, span);
        }
        ledger.same(&format!("{from}: what it reads at first"), Mm::of(lot.start), Mm(bar.reads.max(0)));
        for cut in &lot.cuts {
            let next = bar.left.first().filter(|piece| piece.name == cut.makes);
            if !ledger.hold(next.is_some(), || format!("{from}: `{}` is not what comes next", cut.makes)) {
                continue;
            }
            ledger.same(&format!("{from}: the least before {}", cut.makes), Mm::of(cut.least), Mm(bar.takes(kerf)));
            let piece = bar.left.remove(0);
            let own = (piece.setting.0.0, piece.setting.2);
            ledger.same(&format!("{from}: length and ends of {}", cut.makes), (card.length, card.ends), own);
            bar.reads -= i128::from(piece.setting.0.0) + i128::from(kerf);
            ledger.same(&format!("{from}: the rest after {}", cut.makes), Mm::of(cut.rest), Mm(bar.reads.max(0)));
            let room = bar.length - bar.off;
            ledger.hold(bar.reads + i128::from(kerf) >= 0, || {
                format!("{from}: {} does not come out of {:?}", cut.makes, Mm::of(room))
            });
        }
    }
}
