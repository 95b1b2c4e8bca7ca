//! What-ifs: what a few millimetres do, what to do where the yard has too few, traps, spacers.

use crate::fit_part::{ClosingRecord, closing};
use crate::money::{PriceRecord, price};
use advise::Settled;
use advise::whatif::{Fallback, Give, Left, Moved, Recut, RecutBoard, Spacer, SpacerRow, Ten, Trap, TrueLength};
use measure::Money;
use model::stock::From;
use serde::Serialize;

/// All of them.
#[derive(Debug, Serialize)]
pub struct WhatIfsRecord {
    /// What a few millimetres of one size do to the price.
    pub gives: Vec<GiveRecord>,
    /// What to do where the yard has too few of a length.
    pub fallbacks: Vec<FallbackRecord>,
    /// Lengths that come out of the stock on paper and not at the saw.
    pub traps: Vec<TrapRecord>,
    /// For each piece one spacer for all its rows.
    pub spacers: Vec<SpacerRecord>,
    /// Boards whose true length is to be measured before paying.
    pub true_lengths: Vec<TrueLengthRecord>,
    /// What ten of a kind read together.
    pub tens: Vec<TenRecord>,
    /// The sheets whose thickness is to be measured.
    pub sheets: Vec<String>,
}

/// How long boards of one length must really be.
#[derive(Debug, Serialize)]
pub struct TrueLengthRecord {
    /// The kind of board.
    pub board: String,
    /// The length by its label.
    pub label: i64,
    /// How many boards are cut so.
    pub boards: u32,
    /// What each must be for its parts to come out.
    pub least: i64,
    /// What each must be for them to come out in comfort.
    pub comfortable: i64,
}

/// What ten read together.
#[derive(Debug, Serialize)]
pub struct TenRecord {
    /// `board` or `unit`.
    pub kind: &'static str,
    /// Its name in the yard.
    pub name: String,
    /// What one takes in the row.
    pub one: i64,
    /// What lies between two of them.
    pub joint: i64,
    /// What ten read.
    pub reads: i64,
}

/// What one size does to the price near where it stands.
#[derive(Debug, Serialize)]
pub struct GiveRecord {
    /// The size's name.
    pub size: String,
    /// Stretches of one price, ascending.
    pub stretches: Vec<StretchRecord>,
    /// The one that the size stands in.
    pub stands_in: usize,
    /// The nearest one that costs less, with no more tight boards.
    pub cheaper: Option<usize>,
    /// The nearest one that costs less at all, if it is nearer than that.
    pub cheaper_if_measured: Option<usize>,
}

/// Neighbouring places of a size that cost the same, with as many tight boards.
#[derive(Debug, Serialize)]
pub struct StretchRecord {
    /// The first place.
    pub from: i64,
    /// The last place.
    pub to: i64,
    /// How far its places stand apart.
    pub every: i64,
    /// What the plan costs there.
    pub price: PriceRecord,
}

/// What to do where the yard has too few of one length of a kind of board.
#[derive(Debug, Serialize)]
pub struct FallbackRecord {
    /// The kind of board.
    pub board: String,
    /// The length that there are too few of.
    pub length: i64,
    /// How many of it the plan buys.
    pub bought: u32,
    /// For so many left, ascending.
    pub left: Vec<LeftRecord>,
}

/// What to do with so many left.
#[derive(Debug, Serialize)]
pub struct LeftRecord {
    /// How many there are.
    pub count: u32,
    /// The same parts from what there is; null if no way was found.
    pub kept: Option<RecutRecord>,
    /// A size a few millimetres off that does better.
    pub moved: Option<MovedRecord>,
}

/// The parts of one kind of board, cut anew.
#[derive(Debug, Serialize)]
pub struct RecutRecord {
    /// The boards, each way of cutting once.
    pub boards: Vec<RecutBoardRecord>,
    /// What they cost, if all prices are known.
    pub cost: Option<i64>,
    /// How many of them are only possible if measured.
    pub tight: u64,
}

/// One way of cutting a board.
#[derive(Debug, Serialize)]
pub struct RecutBoardRecord {
    /// How long the board is.
    pub stock: i64,
    /// What a single board of the yard or an offcut of the shed is called; null for a length on sale.
    pub name: Option<String>,
    /// Whether it lies in the shed.
    pub shed: bool,
    /// The lengths of its parts, longest first, on a board with bad stretches clear stretch by clear stretch.
    pub parts: Vec<i64>,
    /// How many of them lie in each numbered clear stretch; left out for a sound board.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stretches: Vec<usize>,
    /// How many boards are cut so.
    pub times: u32,
}

/// A plan with one size off its place.
#[derive(Debug, Serialize)]
pub struct MovedRecord {
    /// The size's name.
    pub size: String,
    /// All choices, counts and sizes then.
    pub closing: ClosingRecord,
    /// What the whole plan costs then.
    pub price: PriceRecord,
}

/// A length of which one more would come out of the stock if the saw took nothing.
#[derive(Debug, Serialize)]
pub struct TrapRecord {
    /// The kind of board.
    pub board: String,
    /// The length of the board.
    pub stock: i64,
    /// The part.
    pub part: i64,
    /// How many come out on paper.
    pub on_paper: i64,
    /// How many come out at the saw.
    pub at_saw: i64,
    /// From this length down one more comes out.
    pub comes_at: i64,
}

/// The spacer that comes nearest to the gaps of all rows of a piece.
#[derive(Debug, Serialize)]
pub struct SpacerRecord {
    /// The piece.
    pub piece: String,
    /// How thick it is.
    pub spacer: i64,
    /// Its rows.
    pub rows: Vec<SpacerRowRecord>,
    /// Whether it is right for all of them, within half a step of the tape.
    pub does: bool,
}

/// What a row lacks or has too much when it is set out with the spacer alone.
#[derive(Debug, Serialize)]
pub struct SpacerRowRecord {
    /// The face.
    pub face: String,
    /// How many gaps.
    pub places: u32,
    /// What is left at its end; below nothing, it runs over.
    pub off: i64,
}

pub(crate) fn what_ifs(settled: &Settled) -> WhatIfsRecord {
    let all = &settled.what_ifs;
    WhatIfsRecord {
        gives: all.gives.iter().map(|one| give(settled, one)).collect(),
        fallbacks: all.fallbacks.iter().map(|one| fallback(settled, one)).collect(),
        traps: all.traps.iter().map(|one| trap(settled, one)).collect(),
        spacers: all.spacers.iter().map(spacer).collect(),
        true_lengths: all.first.lengths.iter().map(|one| true_length(settled, one)).collect(),
        tens: all.first.tens.iter().map(|one| ten(settled, one)).collect(),
        sheets: all.first.sheets.iter().map(|stock| settled.plan.yard.label(*stock).0.to_owned()).collect(),
    }
}

fn true_length(settled: &Settled, one: &TrueLength) -> TrueLengthRecord {
    TrueLengthRecord {
        board: settled.plan.yard.label(one.stock).0.to_owned(),
        label: one.label.nanometres(),
        boards: one.boards,
        least: one.least.nanometres(),
        comfortable: one.comfortable.nanometres(),
    }
}

fn ten(settled: &Settled, ten: &Ten) -> TenRecord {
    TenRecord {
        kind: ten.stock.kind.word(),
        name: settled.plan.yard.label(ten.stock).0.to_owned(),
        one: ten.one.nanometres(),
        joint: ten.joint.nanometres(),
        reads: ten.reads.nanometres(),
    }
}

fn size_name(settled: &Settled, size: usize) -> String {
    settled.asked.problem.sizes[size].name.clone()
}

fn give(settled: &Settled, give: &Give) -> GiveRecord {
    let stretch = |stretch: &advise::whatif::Stretch| StretchRecord {
        from: stretch.from,
        to: stretch.to,
        every: stretch.every,
        price: price(&stretch.price),
    };
    GiveRecord {
        size: size_name(settled, give.size),
        stretches: give.stretches.iter().map(stretch).collect(),
        stands_in: give.stands_in,
        cheaper: give.cheaper,
        cheaper_if_measured: give.cheaper_if_measured,
    }
}

fn fallback(settled: &Settled, fallback: &Fallback) -> FallbackRecord {
    let kind = &settled.plan.yard.boards[fallback.stock.place];
    let board = |board: &RecutBoard| RecutBoardRecord {
        stock: kind.lengths[board.length].length.nanometres(),
        name: kind.lengths[board.length].name.clone(),
        shed: kind.lengths[board.length].from == From::Shed,
        parts: board.parts.iter().map(|part| part.nanometres()).collect(),
        stretches: board.stretches.clone(),
        times: board.times,
    };
    let recut = |recut: &Recut| RecutRecord {
        boards: recut.boards.iter().map(board).collect(),
        cost: recut.cost.map(Money::value),
        tight: recut.tight,
    };
    let moved = |moved: &Moved| MovedRecord {
        size: size_name(settled, moved.size),
        closing: closing(&moved.closing),
        price: price(&moved.price),
    };
    let left = |left: &Left| LeftRecord {
        count: left.count,
        kept: left.kept.as_ref().map(recut),
        moved: left.moved.as_ref().map(moved),
    };
    FallbackRecord {
        board: kind.name.clone(),
        length: kind.lengths[fallback.length].length.nanometres(),
        bought: fallback.bought,
        left: fallback.left.iter().map(left).collect(),
    }
}

fn trap(settled: &Settled, trap: &Trap) -> TrapRecord {
    let kind = &settled.plan.yard.boards[trap.stock.place];
    TrapRecord {
        board: kind.name.clone(),
        stock: kind.lengths[trap.length].length.nanometres(),
        part: trap.part.nanometres(),
        on_paper: trap.on_paper,
        at_saw: trap.at_saw,
        comes_at: trap.comes_at.nanometres(),
    }
}

fn spacer(spacer: &Spacer) -> SpacerRecord {
    let row =
        |row: &SpacerRow| SpacerRowRecord { face: row.face.clone(), places: row.places, off: row.off.nanometres() };
    SpacerRecord {
        piece: spacer.piece.clone(),
        spacer: spacer.spacer.nanometres(),
        rows: spacer.rows.iter().map(row).collect(),
        does: spacer.does,
    }
}
