//! What-ifs: what a few millimetres do, too few in the yard, traps, spacers.

use super::fit::Closing;
use super::money::Price;
use super::reader::Reader;
use crate::json::Json;

pub(crate) struct WhatIfs {
    pub gives: Vec<Give>,
    pub fallbacks: Vec<Fallback>,
    pub traps: Vec<Trap>,
    pub spacers: Vec<Spacer>,
    pub true_lengths: Vec<TrueLength>,
    pub tens: Vec<Ten>,
    pub sheets: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TrueLength {
    pub board: String,
    pub label: i64,
    pub boards: i64,
    pub least: i64,
    pub comfortable: i64,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Ten {
    pub kind: String,
    pub name: String,
    pub one: i64,
    pub joint: i64,
    pub reads: i64,
}

pub(crate) struct Give {
    pub size: String,
    pub stretches: Vec<Stretch>,
    pub stands_in: usize,
    pub cheaper: Option<usize>,
    pub cheaper_if_measured: Option<usize>,
}

pub(crate) struct Stretch {
    pub from: i64,
    pub to: i64,
    pub every: i64,
    pub price: Price,
}

pub(crate) struct Fallback {
    pub board: String,
    pub length: i64,
    pub bought: i64,
    pub left: Vec<Left>,
}

pub(crate) struct Left {
    pub count: i64,
    pub kept: Option<Recut>,
    pub moved: Option<Moved>,
}

pub(crate) struct Recut {
    pub boards: Vec<RecutBoard>,
    pub cost: Option<i64>,
    pub tight: i64,
}

pub(crate) struct RecutBoard {
    pub stock: i64,
    pub name: Option<String>,
    pub shed: bool,
    pub parts: Vec<i64>,
    pub stretches: Vec<i64>,
    pub times: i64,
}

pub(crate) struct Moved {
    pub size: String,
    pub closing: Closing,
    pub price: Price,
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Trap {
    pub board: String,
    pub stock: i64,
    pub part: i64,
    pub on_paper: i64,
    pub at_saw: i64,
    pub comes_at: i64,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Spacer {
    pub piece: String,
    pub spacer: i64,
    pub rows: Vec<SpacerRow>,
    pub does: bool,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct SpacerRow {
    pub face: String,
    pub places: i64,
    pub off: i64,
}

impl Reader<'_> {
    pub(super) fn what_ifs(&mut self, json: &Json, path: &str) -> Option<WhatIfs> {
        let all =
            self.object(json, path, &["gives", "fallbacks", "traps", "spacers", "true_lengths", "tens", "sheets"])?;
        Some(WhatIfs {
            gives: self.list(&all, "gives", Self::give)?,
            fallbacks: self.list(&all, "fallbacks", Self::fallback)?,
            traps: self.list(&all, "traps", Self::trap)?,
            spacers: self.list(&all, "spacers", Self::spacer)?,
            true_lengths: self.list(&all, "true_lengths", Self::true_length)?,
            tens: self.list(&all, "tens", Self::ten)?,
            sheets: self.list(&all, "sheets", Self::text)?,
        })
    }

    fn true_length(&mut self, json: &Json, path: &str) -> Option<TrueLength> {
        let one = self.object(json, path, &["board", "label", "boards", "least", "comfortable"])?;
        Some(TrueLength {
            board: self.field(&one, "board", Self::text)?,
            label: self.field(&one, "label", Self::length)?,
            boards: self.field(&one, "boards", Self::count)?,
            least: self.field(&one, "least", Self::length)?,
            comfortable: self.field(&one, "comfortable", Self::length)?,
        })
    }

    fn ten(&mut self, json: &Json, path: &str) -> Option<Ten> {
        let ten = self.object(json, path, &["kind", "name", "one", "joint", "reads"])?;
        Some(Ten {
            kind: self.field(&ten, "kind", Self::text)?,
            name: self.field(&ten, "name", Self::text)?,
            one: self.field(&ten, "one", Self::length)?,
            joint: self.field(&ten, "joint", Self::length)?,
            reads: self.field(&ten, "reads", Self::length)?,
        })
    }

    fn give(&mut self, json: &Json, path: &str) -> Option<Give> {
        let keys = ["size", "stretches", "stands_in", "cheaper", "cheaper_if_measured"];
        let give = self.object(json, path, &keys)?;
        Some(Give {
            size: self.field(&give, "size", Self::text)?,
            stretches: self.list(&give, "stretches", Self::stretch)?,
            stands_in: self.field(&give, "stands_in", Self::index)?,
            cheaper: self.maybe(&give, "cheaper", Self::index)?,
            cheaper_if_measured: self.maybe(&give, "cheaper_if_measured", Self::index)?,
        })
    }

    fn stretch(&mut self, json: &Json, path: &str) -> Option<Stretch> {
        let stretch = self.object(json, path, &["from", "to", "every", "price"])?;
        Some(Stretch {
            from: self.field(&stretch, "from", Self::length)?,
            to: self.field(&stretch, "to", Self::length)?,
            every: self.field(&stretch, "every", Self::length)?,
            price: self.field(&stretch, "price", Self::price)?,
        })
    }

    fn fallback(&mut self, json: &Json, path: &str) -> Option<Fallback> {
        let fallback = self.object(json, path, &["board", "length", "bought", "left"])?;
        Some(Fallback {
            board: self.field(&fallback, "board", Self::text)?,
            length: self.field(&fallback, "length", Self::length)?,
            bought: self.field(&fallback, "bought", Self::count)?,
            left: self.list(&fallback, "left", Self::left)?,
        })
    }

    fn left(&mut self, json: &Json, path: &str) -> Option<Left> {
        let left = self.object(json, path, &["count", "kept", "moved"])?;
        Some(Left {
            count: self.field(&left, "count", Self::count)?,
            kept: self.maybe(&left, "kept", Self::recut)?,
            moved: self.maybe(&left, "moved", Self::moved)?,
        })
    }

    fn recut(&mut self, json: &Json, path: &str) -> Option<Recut> {
        let recut = self.object(json, path, &["boards", "cost", "tight"])?;
        Some(Recut {
            boards: self.list(&recut, "boards", Self::recut_board)?,
            cost: self.maybe(&recut, "cost", Self::money)?,
            tight: self.field(&recut, "tight", Self::count)?,
        })
    }

    fn recut_board(&mut self, json: &Json, path: &str) -> Option<RecutBoard> {
        let board = self.object_with(json, path, &["stock", "name", "shed", "parts", "times"], &["stretches"])?;
        let has_stretches = board.has("stretches");
        Some(RecutBoard {
            stock: self.field(&board, "stock", Self::length)?,
            name: self.maybe(&board, "name", Self::text)?,
            shed: self.field(&board, "shed", Self::truth)?,
            parts: self.list(&board, "parts", Self::length)?,
            stretches: if has_stretches { self.list(&board, "stretches", Self::count)? } else { Vec::new() },
            times: self.field(&board, "times", Self::count)?,
        })
    }

    fn moved(&mut self, json: &Json, path: &str) -> Option<Moved> {
        let moved = self.object(json, path, &["size", "closing", "price"])?;
        Some(Moved {
            size: self.field(&moved, "size", Self::text)?,
            closing: self.field(&moved, "closing", |reader, json, path| {
                let closing = reader.object(json, path, &["choices", "counts", "sizes", "gaps", "vector"])?;
                reader.closing(&closing)
            })?,
            price: self.field(&moved, "price", Self::price)?,
        })
    }

    fn trap(&mut self, json: &Json, path: &str) -> Option<Trap> {
        let trap = self.object(json, path, &["board", "stock", "part", "on_paper", "at_saw", "comes_at"])?;
        Some(Trap {
            board: self.field(&trap, "board", Self::text)?,
            stock: self.field(&trap, "stock", Self::length)?,
            part: self.field(&trap, "part", Self::length)?,
            on_paper: self.field(&trap, "on_paper", Self::count)?,
            at_saw: self.field(&trap, "at_saw", Self::count)?,
            comes_at: self.field(&trap, "comes_at", Self::length)?,
        })
    }

    fn spacer(&mut self, json: &Json, path: &str) -> Option<Spacer> {
        let spacer = self.object(json, path, &["piece", "spacer", "rows", "does"])?;
        Some(Spacer {
            piece: self.field(&spacer, "piece", Self::text)?,
            spacer: self.field(&spacer, "spacer", Self::length)?,
            rows: self.list(&spacer, "rows", Self::spacer_row)?,
            does: self.field(&spacer, "does", Self::truth)?,
        })
    }

    fn spacer_row(&mut self, json: &Json, path: &str) -> Option<SpacerRow> {
        let row = self.object(json, path, &["face", "places", "off"])?;
        Some(SpacerRow {
            face: self.field(&row, "face", Self::text)?,
            places: self.field(&row, "places", Self::count)?,
            off: self.field(&row, "off", Self::length)?,
        })
    }
}
