//! Rule `cutting`: every part of board or sheet is cut exactly once, from stock that holds it.
//!
//! On a board `sum(parts) + (n - 1) · kerf ≤ stock - trim` (the kerf rule, common practice); what is left is the slack, and
//! the pattern is comfortable if the slack is `(n - 1) · reserve per cut + reserve per board` at least. A sheet is ripped into
//! strips by the same rule across its width, and each strip is cut by it along its length; what all sheets of a kind cost is
//! held against the area of their panels where area is cheapest, and against the panel that needs the dearest sheet.

use crate::claims::{Cut, Part, Record, Section, Sheet, Sheets};
use crate::clear::{Clear, Row, shared};
use crate::ledger::{Ledger, Mm};
use crate::strips::{self, Found};
use crate::texts::{Board, Papers, Sold};
use std::collections::BTreeMap;

const RULE: &str = "cutting";

/// Boards and sheets of patterns that are only possible if measured. Sheets are held to what they say of themselves.
pub(crate) fn tight(record: &Record) -> i64 {
    let tight = |section: &Section| {
        let kerf = section.kerf.unwrap_or(record.cutting.kerf);
        let cuts = section.cuts.iter().filter(|cut| !is_roomy(cut, kerf, record));
        cuts.map(|cut| cut.boards.len() as i64).sum::<i64>()
    };
    let boards: i64 = record.cutting.boards.iter().map(tight).sum();
    let sheets = record.cutting.sheets.iter().flat_map(|sheets| &sheets.sheets);
    boards + sheets.filter(|sheet| !sheet.comfortable).count() as i64
}

/// Whether all of a board keeps its reserve, each of its clear stretches by itself. That they are the yard's own is held elsewhere.
fn is_roomy(cut: &Cut, kerf: i64, record: &Record) -> bool {
    let trim = record.cutting.trim;
    if cut.stretches.is_empty() {
        return roomy(cut.stock, &cut.lengths, [kerf, trim], record);
    }
    let counts: Vec<i64> = cut.stretches.iter().map(|stretch| stretch.parts).collect();
    let clear = cut.stretches.iter().map(|stretch| Clear::of([stretch.from, stretch.to], cut.stock, trim));
    let rows = shared(&cut.lengths, &counts).unwrap_or_default();
    clear.zip(rows).all(|(clear, row)| row.is_empty() || keeps(&clear.row(row, kerf), record))
}

/// Whether a row of parts in a clear stretch keeps the reserve of a board.
pub(crate) fn keeps(row: &Row, record: &Record) -> bool {
    let of = &record.cutting;
    row.slack >= (row.parts - 1) * i128::from(of.reserve_per_cut) + i128::from(of.reserve_per_board)
}

/// What a cut takes along what is cut from a stock: the saw's kerf where ends are square, and that over the cosine of the slant
/// for the most slanted end that is sawn in one cut, up to the next tenth of a millimetre. An end with several planes is shaped
/// after a square cut, and a plane that runs nearly along the part is no crosscut.
pub(crate) fn kerf_along(record: &Record, kind: &str, stock: &str, kerf: i64) -> i64 {
    const UNIT: i128 = 1_000_000_000_000;
    const TENTH: i128 = 100_000;
    let mut least = UNIT;
    for part in record.parts.iter().filter(|part| part.kind == kind && part.stock == stock && !part.done) {
        for end in [0, 1] {
            let mut planes = part.planes.iter().filter(|plane| plane.end == end);
            let (Some(only), None) = (planes.next(), planes.next()) else { continue };
            let cosine = i128::from(only.normal[part.along]).abs();
            // Six degrees from along the part; a billionth from square.
            if (UNIT / 10..UNIT - UNIT / 1_000_000_000).contains(&cosine) {
                least = least.min(cosine);
            }
        }
    }
    if least == UNIT {
        return kerf;
    }
    let tenths = -(-i128::from(kerf) * UNIT).div_euclid(least * TENTH);
    i64::try_from(tenths * TENTH).unwrap_or(i64::MAX)
}

/// Holds what a cut is said to take of a stock, and tells it.
fn hold_kerf(claimed: Option<i64>, kind: &str, stock: &str, record: &Record, ledger: &mut Ledger) -> i64 {
    let saw = if kind == "sheet" { record.cutting.sheet_kerf } else { record.cutting.kerf };
    let own = kerf_along(record, kind, stock, saw);
    let claimed = claimed.unwrap_or(saw);
    ledger.same(&format!("what a cut takes of {kind} `{stock}`"), Mm::of(claimed), Mm::of(own));
    own
}

fn left(stock: i64, lengths: &[i64], [kerf, trim]: [i64; 2]) -> i128 {
    let sum: i128 = lengths.iter().map(|&length| i128::from(length)).sum();
    let cuts = lengths.len().saturating_sub(1) as i128;
    i128::from(stock) - i128::from(trim) - sum - cuts * i128::from(kerf)
}

/// Whether what is left keeps the reserve.
fn roomy(stock: i64, lengths: &[i64], saw: [i64; 2], record: &Record) -> bool {
    let cuts = lengths.len().saturating_sub(1) as i128;
    let reserve = cuts * i128::from(record.cutting.reserve_per_cut) + i128::from(record.cutting.reserve_per_board);
    left(stock, lengths, saw) >= reserve
}

/// What is left of a board, and whether that keeps the reserve.
pub(crate) fn roomy_with(stock: i64, lengths: &[i64], kerf: i64, record: &Record) -> (i128, bool) {
    let saw = [kerf, record.cutting.trim];
    (left(stock, lengths, saw), roomy(stock, lengths, saw, record))
}

/// Parts that are still to be cut, by their ids.
struct Waiting<'r> {
    parts: BTreeMap<&'r str, &'r Part>,
}

impl<'r> Waiting<'r> {
    /// Takes a part of this stock off the list.
    fn take(&mut self, id: &str, kind: &str, stock: &str, ledger: &mut Ledger) -> Option<&'r Part> {
        let part = self.parts.remove(id);
        ledger.hold(part.is_some(), || format!("`{id}` is cut and is no part, or is cut twice, or was cut before"));
        let part = part?;
        ledger
            .hold(part.kind == kind && part.stock == stock, || format!("{} is cut from {kind} `{stock}`", part.slot()));
        Some(part)
    }
}

/// Holds all cutting.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let cut = record.parts.iter().filter(|part| part.kind != "unit" && !part.done);
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
    let priced = board.is_priced();
    ledger.same(&format!("whether `{}` is priced", section.board), section.priced, priced);
    let kerf = hold_kerf(section.kerf, "board", &section.board, record, ledger);
    let mut cost: i128 = 0;
    let mut used: BTreeMap<usize, i64> = BTreeMap::new();
    for (at, cut) in section.cuts.iter().enumerate() {
        let name = format!("pattern {} of `{}`", at + 1, section.board);
        let is_it = |sold: &Sold| sold.is([cut.stock, 0], cut.name.as_deref(), cut.shed);
        let sold = board.lengths.iter().position(is_it);
        ledger.hold(sold.is_some(), || {
            format!("{name} takes a board of {}, which the yard does not sell", Mm::of(cut.stock))
        });
        if let Some(sold) = sold {
            *used.entry(sold).or_default() += cut.boards.len() as i64;
            cost += i128::from(board_cost(&board.lengths[sold], priced)) * cut.boards.len() as i128;
        }
        let clear = sold.and_then(|sold| board.lengths[sold].clear(record.cutting.trim, kerf));
        match (sold, clear) {
            (Some(sold), Some(clear)) => hold_stretches(cut, &clear, &board.lengths[sold], &name, kerf, record, ledger),
            _ => {
                if !cut.stretches.is_empty() {
                    ledger.find(format!("{name} has clear stretches, and its board no bad ones"));
                }
                hold_cut(cut, &name, kerf, record, ledger);
            }
        }
        for ids in &cut.boards {
            let lengths: Vec<i64> = ids
                .iter()
                .filter_map(|id| waiting.take(id, "board", &section.board, ledger))
                .map(|p| p.length)
                .collect();
            let told = |lengths: &[i64]| lengths.iter().map(|&length| Mm::of(length)).collect::<Vec<Mm>>();
            ledger.same(&format!("the lengths on a board of {name}"), told(&cut.lengths), told(&lengths));
        }
        ledger.hold(!cut.boards.is_empty(), || format!("{name} is cut from no board"));
    }
    begun_first(section, board, &used, [kerf, record.cutting.trim], record, papers, ledger);
    for (sold, count) in used {
        let sold = &board.lengths[sold];
        ledger.hold(sold.supply().is_none_or(|supply| count <= supply), || {
            let (length, supply, of) = (Mm::of(sold.length), sold.supply(), holder(sold));
            format!("{count} boards `{}` of {length} are cut, and the {of} has {supply:?}", section.board)
        });
    }
    ledger.same(&format!("the cost of `{}`", section.board), i128::from(section.cost), cost);
}

/// Holds a kind that is at home to: no whole board is begun whose parts come out of one that is begun and lies there uncut, as
/// comfortably (`docs/daybook.md`, *Begun boards first*).
fn begun_first(
    section: &Section,
    board: &Board,
    used: &BTreeMap<usize, i64>,
    saw: [i64; 2],
    record: &Record,
    papers: &Papers,
    ledger: &mut Ledger,
) {
    let is_whole =
        |sold: &Sold| !sold.shed && sold.name.is_none() && papers.standing.is_whole(&board.name, sold.length);
    if !papers.standing.is_home(&board.name) {
        return;
    }
    let lies = |at: usize| board.lengths[at].supply().is_none_or(|supply| used.get(&at).is_none_or(|&n| n < supply));
    let begun: Vec<&Sold> = (0..board.lengths.len())
        .filter(|&at| lies(at) && !is_whole(&board.lengths[at]) && board.lengths[at].supply() != Some(0))
        .map(|at| &board.lengths[at])
        .collect();
    for (at, cut) in section.cuts.iter().enumerate() {
        let it = board.lengths.iter().find(|sold| sold.is([cut.stock, 0], cut.name.as_deref(), cut.shed));
        if !it.is_some_and(is_whole) {
            continue;
        }
        let tight = !roomy(cut.stock, &cut.lengths, saw, record);
        let fits = |clear: &Clear| {
            let row = clear.row(&cut.lengths, saw[0]);
            row.slack >= 0 && (tight || keeps(&row, record))
        };
        let does = |sold: &&&Sold| match sold.clear(saw[1], saw[0]) {
            None => {
                left(sold.length, &cut.lengths, saw) >= 0 && (tight || roomy(sold.length, &cut.lengths, saw, record))
            }
            Some(clear) => clear.iter().any(fits),
        };
        let other = begun.iter().find(does).map(|sold| Mm::of(sold.length));
        ledger.hold(other.is_none(), || {
            let length = other.map_or_else(String::new, |length| length.to_string());
            let (number, name) = (at + 1, &section.board);
            format!("pattern {number} of `{name}` begins a whole board, and comes out of {length} that is begun and lies there")
        });
    }
}

/// Who has it.
fn holder(sold: &Sold) -> &'static str {
    if sold.shed { "shed" } else { "yard" }
}

/// What a board costs: nothing in the shed, its price, or its length in thousandths of a millimetre where a price is unknown.
pub(crate) fn board_cost(sold: &Sold, priced: bool) -> i64 {
    match sold.price {
        _ if sold.shed => 0,
        Some(price) if priced => price,
        _ => sold.length / 1000,
    }
}

fn hold_cut(cut: &Cut, name: &str, kerf: i64, record: &Record, ledger: &mut Ledger) {
    let saw = [kerf, record.cutting.trim];
    let slack = left(cut.stock, &cut.lengths, saw);
    let cuts = cut.lengths.len().saturating_sub(1) as i64;
    ledger.hold(!cut.lengths.is_empty(), || format!("{name} cuts nothing"));
    ledger.hold(slack >= 0, || format!("{name} does not come out of its board: {} is left", Mm(slack)));
    ledger.same(&format!("what {name} leaves"), Mm::of(cut.slack), Mm(slack));
    let room = slack + i128::from(cuts) * i128::from(kerf);
    ledger.same(&format!("what {name} leaves before any kerf"), Mm::of(cut.kerf_room), Mm(room));
    ledger.same(&format!("the cuts of {name}"), cut.cuts, cuts);
    ledger.same(
        &format!("whether {name} is comfortable"),
        cut.comfortable,
        roomy(cut.stock, &cut.lengths, saw, record),
    );
}

/// A board with bad stretches: its clear ones are those of the yard, no part lies in a bad one, and each leaves what it is said to.
fn hold_stretches(
    cut: &Cut,
    clear: &[Clear],
    sold: &Sold,
    name: &str,
    kerf: i64,
    record: &Record,
    ledger: &mut Ledger,
) {
    ledger.hold(!cut.lengths.is_empty(), || format!("{name} cuts nothing"));
    let claimed: Vec<[i64; 2]> = cut.stretches.iter().map(|stretch| [stretch.from, stretch.to]).collect();
    let own: Vec<[i64; 2]> = clear.iter().map(|clear| [clear.from, clear.to]).collect();
    let told = |all: &[[i64; 2]]| all.iter().map(|ends| ends.map(Mm::of)).collect::<Vec<[Mm; 2]>>();
    if !ledger.same(&format!("the clear stretches of {name}"), told(&claimed), told(&own)) {
        return;
    }
    let counts: Vec<i64> = cut.stretches.iter().map(|stretch| stretch.parts).collect();
    let Some(rows) = shared(&cut.lengths, &counts) else {
        return ledger.find(format!("the clear stretches of {name} have other parts than its board"));
    };
    let (mut slack, mut comfortable) = (0, true);
    let mut breaks: Option<(i128, i128)> = None;
    for (number, ((clear, lengths), claimed)) in (1..).zip(clear.iter().zip(rows).zip(&cut.stretches)) {
        let row = clear.row(lengths, kerf);
        let what = format!("stretch {number} of {name}");
        ledger.hold(row.slack >= 0, || format!("the parts of {what} do not come out of it: {} is left", Mm(row.slack)));
        ledger.same(&format!("what {what} leaves"), Mm::of(claimed.slack), Mm(row.slack));
        for part in clear.lie(lengths, kerf) {
            let over = sold.bad.iter().find(|bad| part[0] < i128::from(bad[1]) && i128::from(bad[0]) < part[1]);
            ledger.hold(over.is_none(), || {
                format!("a part of {what} lies from {} to {}, and that is bad", Mm(part[0]), Mm(part[1]))
            });
        }
        slack += row.slack;
        if !lengths.is_empty() {
            comfortable &= keeps(&row, record);
            // Which breaks first: the lesser kerf, in whole nanometres.
            if breaks.is_none_or(|(room, kerfs)| row.room / row.kerfs < room / kerfs) {
                breaks = Some((row.room, row.kerfs));
            }
        }
    }
    let (room, kerfs) = breaks.unwrap_or((0, 0));
    ledger.same(&format!("what {name} leaves"), Mm::of(cut.slack), Mm(slack));
    ledger.same(&format!("what {name} leaves before any kerf"), Mm::of(cut.kerf_room), Mm(room));
    ledger.same(&format!("the cuts of {name}"), i128::from(cut.cuts), kerfs);
    ledger.same(&format!("whether {name} is comfortable"), cut.comfortable, comfortable);
}

fn hold_sheets(sheets: &Sheets, record: &Record, papers: &Papers, waiting: &mut Waiting<'_>, ledger: &mut Ledger) {
    let name = format!("sheet `{}`", sheets.sheet);
    let Some(of) = papers.sheet(&sheets.sheet) else { return ledger.find(format!("the yard has no {name}")) };
    let priced = of.sizes.iter().all(|sold| sold.price.is_some());
    ledger.same(&format!("whether {name} is priced"), sheets.priced, priced);
    let kerf = hold_kerf(sheets.kerf, "sheet", &sheets.sheet, record, ledger);
    let mut cost: i128 = 0;
    let mut last = 0;
    let mut panels: Vec<&Part> = Vec::new();
    let mut used = vec![0; of.sizes.len()];
    for (at, sheet) in sheets.sheets.iter().enumerate() {
        let name = format!("sheet {} of `{}`", at + 1, sheets.sheet);
        let is_it = |sold: &Sold| sold.is([sheet.length, sheet.width], sheet.name.as_deref(), sheet.name.is_some());
        let size = of.sizes.iter().position(is_it);
        let sold = format!("{name} is {} by {}", Mm::of(sheet.length), Mm::of(sheet.width));
        ledger.hold(size.is_some(), || format!("{sold}, which the yard does not sell"));
        if let Some(size) = size {
            ledger.hold(size >= last, || format!("{sold} and comes after a size that the yard lists later"));
            last = size;
            used[size] += 1;
            cost += sheet_cost(&of.sizes[size], priced);
        }
        panels.extend(hold_sheet(sheet, (&sheets.sheet, kerf), &name, record, waiting, ledger));
    }
    for (sold, count) in of.sizes.iter().zip(used) {
        ledger.hold(sold.supply().is_none_or(|supply| count <= supply), || {
            let [length, width] = [sold.length, sold.width].map(Mm::of);
            let (supply, of) = (sold.supply(), holder(sold));
            format!("{count} of {name} of {length} by {width} are cut, and the {of} has {supply:?}")
        });
    }
    ledger.same(&format!("the cost of {name}"), i128::from(sheets.cost), cost);
    let shapes: Vec<[i128; 3]> = panels.iter().map(|part| [part.length.into(), part.width.into(), 1]).collect();
    let bound = sheets_bound(&shapes, &of.sizes, priced, record.cutting.sheet_trim);
    ledger.same(&format!("the bound of {name}"), i128::from(sheets.bound), bound);
    ledger.same(&format!("whether {name} is proven"), sheets.proven, cost == bound);
    ledger.hold(sheets.exact || !sheets.proven, || format!("{name} is proven, and not cheapest in strips"));
    if !sheets.exact {
        ledger.leave(format!("how cheap {name} can be: it costs {cost}, and no less than {bound} is possible"));
    } else if cost != bound {
        let panels: Vec<[i128; 2]> = shapes.iter().map(|[length, width, _]| [*length, *width]).collect();
        let saw = [kerf, record.cutting.sheet_trim];
        let found = strips::cheaper(&panels, &of.sizes, |sold| sheet_cost(sold, priced), saw, cost);
        hold_exact(&name, found, cost, ledger);
    }
}

/// That nothing in strips costs less, as far as the referee's own search goes.
fn hold_exact(name: &str, found: Found, cost: i128, ledger: &mut Ledger) {
    let less = if let Found::Cheaper(less) = found { less } else { cost };
    ledger.hold(less == cost, || format!("{name} costs {cost} and is not cheapest in strips: {less} is possible"));
    if found == Found::OutOfSteps {
        ledger.leave(format!("that no cutting of {name} in strips costs less than {cost}"));
    }
}

/// Holds one sheet and hands out its panels.
fn hold_sheet<'r>(
    sheet: &Sheet,
    (stock, kerf): (&str, i64),
    name: &str,
    record: &Record,
    waiting: &mut Waiting<'r>,
    ledger: &mut Ledger,
) -> Vec<&'r Part> {
    ledger.hold(!sheet.strips.is_empty(), || format!("{name} has no strips"));
    let saw = [kerf, record.cutting.sheet_trim];
    let widths: Vec<i64> = sheet.strips.iter().map(|strip| strip.width).collect();
    hold_left(sheet.slack, left(sheet.width, &widths, saw), &format!("the strips of {name}"), ledger);
    let mut comfortable = roomy(sheet.width, &widths, saw, record);
    let mut all = Vec::new();
    for strip in &sheet.strips {
        ledger.hold(!strip.parts.is_empty(), || format!("{name} has an empty strip"));
        let panels: Vec<&Part> = strip.parts.iter().filter_map(|id| waiting.take(id, "sheet", stock, ledger)).collect();
        let lengths: Vec<i64> = panels.iter().map(|part| part.length).collect();
        for part in &panels {
            ledger.same(&format!("the strip that yields {}", part.slot()), strip.width, part.width);
        }
        comfortable &= roomy(sheet.length, &lengths, saw, record);
        let what = format!("the panels of a strip of {name}");
        hold_left(strip.slack, left(sheet.length, &lengths, saw), &what, ledger);
        all.extend(panels);
    }
    ledger.same(&format!("whether {name} is comfortable"), sheet.comfortable, comfortable);
    all
}

/// Its price if all prices of its kind are known, and otherwise its area in whole square millimetres.
fn sheet_cost(sold: &Sold, priced: bool) -> i128 {
    if sold.shed {
        return 0;
    }
    let area = i128::from(sold.length) * i128::from(sold.width);
    sold.price.filter(|_| priced).map_or(area.div_euclid(1_000_000_000_000), i128::from)
}

/// What panels, each by length, width and how many, cost at least: their area where area costs least, in whole sheets if
/// there is one size; and no less than the cheapest sheet that holds any one of them.
pub(crate) fn sheets_bound(panels: &[[i128; 3]], sizes: &[Sold], priced: bool, trim: i64) -> i128 {
    let up = |a: i128, b: i128| (a + b.max(1) - 1).div_euclid(b.max(1));
    let sizes: Vec<&Sold> = sizes.iter().filter(|sold| sold.supply() != Some(0)).collect();
    let area: i128 = panels.iter().map(|[length, width, count]| length * width * count).sum();
    let by_area = sizes.iter().map(|sold| {
        let (cost, whole) = (sheet_cost(sold, priced), i128::from(sold.length) * i128::from(sold.width));
        if sizes.len() == 1 {
            up(area, whole) * cost
        } else {
            area.checked_mul(cost).map_or(0, |worth| up(worth, whole))
        }
    });
    let of_one = |&[length, width, _]: &[i128; 3]| {
        let holds = |sold: &&&Sold| {
            length <= i128::from(sold.length) - i128::from(trim) && width <= i128::from(sold.width) - i128::from(trim)
        };
        sizes.iter().filter(holds).map(|sold| sheet_cost(sold, priced)).min()
    };
    let by_panel = panels.iter().filter_map(of_one).max();
    by_area.min().unwrap_or(0).max(by_panel.unwrap_or(0))
}

fn hold_left(claimed: i64, slack: i128, name: &str, ledger: &mut Ledger) {
    ledger.hold(slack >= 0, || format!("{name} do not come out: {slack} is left"));
    ledger.same(&format!("what {name} leave"), i128::from(claimed), slack);
}
