//! Cards at the saw.

use advise::Settled;
use measure::Length;
use serde::Serialize;
use stages::saw::{Card, Cut, End, Lot, Makes};

/// One setting of the saw, or what a card has room for of one.
#[derive(Debug, Serialize)]
pub struct CardRecord {
    /// The set-up, from 1; further cards of one have the same number.
    pub set_up: u32,
    /// `crosscut` or `rip`.
    pub work: &'static str,
    /// `board` or `sheet`.
    pub kind: &'static str,
    /// The stock's name in the yard.
    pub stock: String,
    /// Where stop or fence stands.
    pub stop: i64,
    /// The parts' length, long point to long point, or the strips' width.
    pub length: i64,
    /// `end to end`, `long point to long point` or `long point to short point`: how the stop meets the part.
    pub reads: &'static str,
    /// How the blade stands at both ends.
    pub ends: [EndRecord; 2],
    /// `none`, `one end`, `every second`, `stays` or `turn the saw`: what is turned between two cuts.
    pub flip: &'static str,
    /// Whether the stop is left where it stands from the card before.
    pub stop_stays: bool,
    /// How far off the first part may be, either way.
    pub check: i64,
    /// Whether its parts are too short for hands beside the blade.
    pub short: bool,
    /// The boards, sheets or strips, in order.
    pub lots: Vec<LotRecord>,
    /// The ids of short parts whose rest is short too: to be clamped.
    pub clamp: Vec<String>,
    /// The ids of parts that are shaped after the cut, or planed along their length.
    pub shaped: Vec<String>,
    /// The names of the marking sizes of shaped tops.
    pub marks: Vec<String>,
}

/// How the blade stands at an end, in tenths of a degree.
#[derive(Debug, Serialize)]
pub struct EndRecord {
    /// The saw turned from square, in the board's face.
    pub mitre: i32,
    /// The blade leant from upright, the board lying flat.
    pub tilt: i32,
}

/// What one board, sheet or strip gives at a card.
#[derive(Debug, Serialize)]
pub struct LotRecord {
    /// The number of the board or sheet within its kind, from 1, in the order of the patterns.
    pub number: u32,
    /// The number of the strip within its sheet, or of the clear stretch on a board with bad ones, from 1; nothing for a sound board or a
    /// whole sheet.
    pub strip: Option<u32>,
    /// The number of the piece, from 1, of a board or sheet that the yard parts for the car; left out for all else.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece: Option<u32>,
    /// How long it is by its label; of a clear stretch, how long it is sawn out; of a piece, how long the yard leaves it; of a sheet that is ripped, how wide.
    pub length: i64,
    /// From where to where a clear stretch is sawn out, by the tape from the marked end of its board; left out for all else.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub span: Option<[i64; 2]>,
    /// What it reads before the first cut of this card.
    pub start: i64,
    /// The cuts, in order.
    pub cuts: Vec<CutRecord>,
}

/// One cut.
#[derive(Debug, Serialize)]
pub struct CutRecord {
    /// The id of the part, or of a strip its sheet and number: `2.1`.
    pub makes: String,
    /// The least that must be there before it for this and all that follows to come out.
    pub least: i64,
    /// What the rest reads after it.
    pub rest: i64,
}

pub(crate) fn cards(settled: &Settled) -> Vec<CardRecord> {
    settled.sawing.cards.iter().map(|of| card(of, settled)).collect()
}

fn card(card: &Card, settled: &Settled) -> CardRecord {
    let id = |part: usize| settled.build.parts[part].id.clone();
    let end = |end: End| EndRecord { mitre: end.mitre, tilt: end.tilt };
    CardRecord {
        set_up: card.set_up,
        work: card.work.word(),
        kind: card.stock.kind.word(),
        stock: settled.plan.yard.label(card.stock).0.to_owned(),
        stop: card.stop.nanometres(),
        length: card.length.nanometres(),
        reads: card.reads.word(),
        ends: card.ends.0.map(end),
        flip: card.flip.word(),
        stop_stays: card.stop_stays,
        check: card.check.nanometres(),
        short: card.short,
        lots: card.lots.iter().map(|of| lot(of, settled)).collect(),
        clamp: card.clamped().map(id).collect(),
        shaped: card.shaped.iter().map(|&part| id(part)).collect(),
        marks: card.marks.clone(),
    }
}

fn lot(lot: &Lot, settled: &Settled) -> LotRecord {
    let cut = |cut: &Cut| CutRecord {
        makes: match cut.makes {
            Makes::Part(part) => settled.build.parts[part].id.clone(),
            Makes::Strip(strip) => strip.to_string(),
        },
        least: cut.least.nanometres(),
        rest: cut.rest.nanometres(),
    };
    LotRecord {
        number: lot.from.number,
        strip: lot.from.strip,
        piece: lot.from.piece,
        length: lot.length.nanometres(),
        span: lot.span.map(|span| span.map(Length::nanometres)),
        start: lot.start.nanometres(),
        cuts: lot.cuts.iter().map(cut).collect(),
    }
}
