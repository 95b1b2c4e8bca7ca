//! Boards and sheets as they lie at the saw, ready to be drawn.

use crate::sheets;
use crate::words;
use advise::Settled;
use drawing::{BoardView, PanelView, SheetView, StretchView, StripView};
use measure::Length;
use stages::cut::{BoardCut, Section, SheetCut, Sheets, Stretch};

/// The ways in which the boards of a section are cut.
pub(crate) fn boards(settled: &Settled, section: &Section) -> Vec<BoardView> {
    let label = settled.plan.yard.label(section.stock).1;
    let kind = &settled.plan.yard.boards[section.stock.place];
    let mut before = 0;
    let mut called = |cut: &BoardCut| {
        let numbers: Vec<u32> = (before + 1..).take(cut.boards.len()).collect();
        before += numbers.len() as u32;
        words::numbered("board", &numbers) + &words::called(settled, section, cut)
    };
    let view = |cut: &BoardCut| BoardView {
        label: label.to_owned(),
        called: called(cut),
        stock: cut.stock_length,
        trim: settled.plan.shed.trim,
        kerf: kerf_between(settled, cut),
        parts: cut.lengths.iter().enumerate().map(|(at, length)| (ids_at(settled, cut, at), *length)).collect(),
        bad: kind.lengths[cut.length].bad_past(settled.plan.shed.trim).filter(|_| !cut.stretches.is_empty()).collect(),
        stretches: cut.stretches.iter().map(|stretch| stretch_view(stretch, section, settled)).collect(),
        times: u32::try_from(cut.boards.len()).unwrap_or(u32::MAX),
        left: cut.slack,
        tight: !cut.comfortable,
        // The drawing says itself where a board has to be measured first.
        note: if !cut.stretches.is_empty() {
            words::stretches(settled, cut).join("; ")
        } else if cut.comfortable {
            words::holds(settled, cut)
        } else {
            words::breaks(settled, cut)
        },
    };
    section.cuts.iter().map(view).collect()
}

/// Where the parts of a clear stretch begin on their board.
fn stretch_view(stretch: &Stretch, section: &Section, settled: &Settled) -> StretchView {
    let clear = &stretch.clear;
    let off = stages::saw::squared_off(section.stock.kind, &settled.plan);
    let begins = if clear.is_first() { off } else { clear.from + section.kerf };
    StretchView { begins, parts: stretch.parts.len() }
}

/// The ways in which sheets of a kind are cut.
pub(crate) fn sheets(settled: &Settled, sheets: &Sheets) -> Vec<SheetView> {
    let label = settled.plan.yard.label(sheets.stock).1;
    let trim = settled.plan.shed.saw_for_sheets().trim;
    let called = |alike: &[&SheetCut]| {
        let own = |sheet: &SheetCut| alike.iter().any(|other| std::ptr::eq(*other, sheet));
        let numbers: Vec<u32> =
            (1..).zip(&sheets.sheets).filter(|(_, sheet)| own(sheet)).map(|(number, _)| number).collect();
        words::numbered("sheet", &numbers)
    };
    let view = |alike: &Vec<&SheetCut>| SheetView {
        label: label.to_owned(),
        called: called(alike),
        length: alike[0].measures[0],
        width: alike[0].measures[1],
        trim: [trim, trim],
        kerf: sheets.kerf,
        strips: (0..alike[0].strips.len()).map(|place| strip_view(settled, alike, place)).collect(),
        times: u32::try_from(alike.len()).unwrap_or(u32::MAX),
        left: alike[0].slack,
        tight: !alike[0].comfortable,
        note: String::new(),
    };
    sheets::alike(settled, sheets).iter().map(view).collect()
}

/// What a cut takes between the parts of one board: square parts are marked by the saw's own kerf, also where others of the kind
/// are mitred and the board is reckoned with more.
fn kerf_between(settled: &Settled, cut: &BoardCut) -> Length {
    let places = cut.boards.iter().flatten();
    stages::cut::kerf_along(places.map(|&place| &settled.build.parts[place]), settled.plan.shed.kerf)
}

/// The ids of the parts at one place of a pattern over all boards that are cut so, one for each board: `A1`, or `A1, A3`.
fn ids_at(settled: &Settled, cut: &BoardCut, at: usize) -> String {
    let places = cut.boards.iter().filter_map(|board| board.get(at));
    words::ids(settled, places.copied())
}

/// One strip of sheets that are cut alike.
fn strip_view(settled: &Settled, alike: &[&SheetCut], place: usize) -> StripView {
    let strip = &alike[0].strips[place];
    let panel = |(at, part): (usize, &usize)| {
        let solid = &settled.build.parts[*part].solid;
        PanelView { id: sheets::ids_at(settled, alike, place, at), length: solid.length, width: solid.width }
    };
    StripView { width: strip.width, panels: strip.parts.iter().enumerate().map(panel).collect(), left: strip.slack }
}
