//! What lies at the saw: boards, sheets that are ripped, and the strips that come of them, each with all that is cut from it in
//! the order of the set-ups.

use super::{Cut, End, Ends, Makes, Which, ends, squared_off};
use crate::cut::{BoardCut, Section, SheetCut, Sheets, Stretch};
use crate::parting::{self, Piece};
use measure::Length;
use model::part::Part;
use model::plan::Plan;
use std::cmp::Reverse;

/// A setting: longest first, of equal length square before slanted, then the ends in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Setting {
    pub length: Reverse<Length>,
    slanted: bool,
    pub ends: Ends,
}

impl Setting {
    fn of(part: &Part) -> Setting {
        let ends = Ends::of(part);
        Setting { length: Reverse(part.solid.length), slanted: !ends.are_square(), ends }
    }

    fn square(length: Length) -> Setting {
        Setting { length: Reverse(length), slanted: false, ends: Ends([End::default(); 2]) }
    }
}

/// One thing that is cut up, with its cuts in the order of the settings.
pub(super) struct Bar {
    pub from: Which,
    pub length: Length,
    /// Where a clear stretch lies on its board.
    pub span: Option<[Length; 2]>,
    /// What squares off its first end.
    pub off: Length,
    /// What it reads once its first end is squared off.
    pub squared: Length,
    pub cuts: Vec<(Setting, Cut)>,
}

impl Bar {
    fn new(from: Which, length: Length, kerf: Length, mut pieces: Vec<(Setting, Makes)>, off: Length) -> Bar {
        pieces.sort_by_key(|piece| piece.0);
        let squared = length - off;
        let all: Length = pieces.iter().map(|(setting, _)| setting.length.0).sum();
        let mut so_far = (Length::ZERO, 0);
        let cuts = pieces.iter().map(|&(setting, makes)| {
            // A board yields far fewer parts than an i64 counts.
            let after = (pieces.len() - so_far.1 as usize - 1) as i64;
            let least = all - so_far.0 + kerf * after;
            so_far = (so_far.0 + setting.length.0, so_far.1 + 1);
            let rest = (squared - so_far.0 - kerf * i64::from(so_far.1)).max(Length::ZERO);
            (setting, Cut { makes, least, rest, so_far })
        });
        Bar { from, length, span: None, off, squared, cuts: cuts.collect() }
    }
}

/// The boards of a kind, numbered in the order of the patterns; those with bad stretches clear stretch by clear stretch.
pub(super) fn boards(section: &Section, parts: &[Part], plan: &Plan) -> Vec<Bar> {
    let off = squared_off(section.stock.kind, plan);
    let pieces = |board: &[usize]| -> Vec<(Setting, Makes)> {
        board.iter().map(|&part| (Setting::of(&parts[part]), Makes::Part(part))).collect()
    };
    let whole = |cut: &BoardCut, (number, board): (u32, &Vec<usize>)| -> Vec<Bar> {
        if cut.stretches.is_empty() {
            return vec![Bar::new(Which::whole(number), cut.stock_length, section.kerf, pieces(board), off)];
        }
        let stretch = |(at, stretch): (u32, &Stretch)| {
            let [begins, ends] = stretch.clear.sawn(section.kerf, cut.stock_length);
            let off = if stretch.clear.is_first() { off } else { Length::ZERO };
            let from = Which::strip(number, at);
            let bar = Bar::new(from, ends - begins, section.kerf, pieces(&board[stretch.parts.clone()]), off);
            Bar { span: Some([begins, ends]), ..bar }
        };
        (1..).zip(&cut.stretches).map(stretch).collect()
    };
    let mut bars = Vec::new();
    let mut first = 1;
    for cut in &section.cuts {
        let boards = || (first..).zip(&cut.boards);
        match parting::board(section, cut, plan).filter(|parted| !parted.is_empty()) {
            // All first pieces, then all second ones: those are cut alike.
            Some(parted) => bars.extend(
                (1..)
                    .zip(&parted)
                    .flat_map(|(at, piece): (u32, &Piece)| {
                        boards()
                            .map(move |(number, board)| (Which::piece(number, at), piece, &board[piece.parts.clone()]))
                    })
                    .map(|(from, piece, board)| Bar::new(from, piece.length, section.kerf, pieces(board), piece.off)),
            ),
            None => bars.extend(boards().flat_map(|board| whole(cut, board))),
        }
        // A cutting plan has far fewer boards than a u32 counts.
        first += cut.boards.len() as u32;
    }
    bars
}

/// The sheets of a kind as they are ripped.
pub(super) fn rips(sheets: &Sheets, plan: &Plan) -> Vec<Bar> {
    let bars = |(number, sheet): (u32, &SheetCut)| -> Vec<Bar> {
        let strip = |(strip, width): (u32, Length)| (Setting::square(width), Makes::Strip(Which::strip(number, strip)));
        let strips: Vec<(Setting, Makes)> =
            (1..).zip(sheet.strips.iter().map(|strip| strip.width)).map(strip).collect();
        if let Some(parted) = parting::sheet(sheets, sheet, plan).filter(|parted| !parted.is_empty()) {
            let piece = |(at, piece): (u32, &Piece)| {
                let strips = strips[piece.parts.clone()].to_vec();
                Bar::new(Which::piece(number, at), piece.length, sheets.kerf, strips, piece.off)
            };
            return (1..).zip(&parted).map(piece).collect();
        }
        let off = squared_off(sheets.stock.kind, plan);
        vec![Bar::new(Which::whole(number), sheet.measures[1], sheets.kerf, strips, off)]
    };
    (1..).zip(&sheets.sheets).flat_map(bars).collect()
}

/// The strips of the sheets of a kind as they are crosscut.
pub(super) fn strips(sheets: &Sheets, parts: &[Part], plan: &Plan) -> Vec<Bar> {
    let of_sheet = |(number, sheet): (u32, &SheetCut)| {
        let length = sheet.measures[0];
        let bar = |(at, strip): (u32, &crate::cut::Strip)| {
            let pieces = strip.parts.iter().map(|&part| (Setting::of(&parts[part]), Makes::Part(part))).collect();
            let off = squared_off(sheets.stock.kind, plan);
            Bar::new(Which::strip(number, at), length, sheets.kerf, pieces, off)
        };
        (1..).zip(&sheet.strips).map(bar).collect::<Vec<Bar>>()
    };
    (1..).zip(&sheets.sheets).flat_map(of_sheet).collect()
}

/// The stop of a cut and how it meets the part; a strip lies between fence and blade.
pub(super) fn stop(makes: Makes, length: Length, parts: &[Part]) -> (Length, super::Reads) {
    match makes {
        Makes::Part(part) => ends::stop(&parts[part]),
        Makes::Strip(_) => (length, super::Reads::EndToEnd),
    }
}
