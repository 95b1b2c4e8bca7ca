//! The cards at the saw.

use super::reader::Reader;
use crate::json::Json;

#[derive(Clone)]
pub(crate) struct Card {
    pub set_up: i64,
    pub work: String,
    pub kind: String,
    pub stock: String,
    pub stop: i64,
    pub length: i64,
    pub reads: String,
    /// Mitre and tilt of both ends, in tenths of a degree.
    pub ends: [[i64; 2]; 2],
    pub flip: String,
    pub stop_stays: bool,
    pub check: i64,
    pub short: bool,
    pub lots: Vec<Lot>,
    pub clamp: Vec<String>,
    pub shaped: Vec<String>,
    pub marks: Vec<String>,
}

#[derive(Clone)]
pub(crate) struct Lot {
    pub number: i64,
    pub strip: Option<i64>,
    /// The piece of what the yard parts.
    pub piece: Option<i64>,
    pub length: i64,
    /// From where to where a clear stretch is sawn out.
    pub span: Option<Vec<i64>>,
    pub start: i64,
    pub cuts: Vec<Made>,
}

#[derive(Clone)]
pub(crate) struct Made {
    pub makes: String,
    pub least: i64,
    pub rest: i64,
}

impl<'l> Reader<'l> {
    pub(super) fn card(&mut self, json: &Json, path: &str) -> Option<Card> {
        const KEYS: [&str; 16] = [
            "set_up",
            "work",
            "kind",
            "stock",
            "stop",
            "length",
            "reads",
            "ends",
            "flip",
            "stop_stays",
            "check",
            "short",
            "lots",
            "clamp",
            "shaped",
            "marks",
        ];
        let card = self.object(json, path, &KEYS)?;
        let ends: [[i64; 2]; 2] = match self.list(&card, "ends", Self::end)?.try_into() {
            Ok(ends) => ends,
            Err(_) => return self.wrong(path, "a part has two ends"),
        };
        Some(Card {
            set_up: self.field(&card, "set_up", Self::count)?,
            work: self.field(&card, "work", Self::text)?,
            kind: self.field(&card, "kind", Self::text)?,
            stock: self.field(&card, "stock", Self::text)?,
            stop: self.field(&card, "stop", Self::length)?,
            length: self.field(&card, "length", Self::length)?,
            reads: self.field(&card, "reads", Self::text)?,
            ends,
            flip: self.field(&card, "flip", Self::text)?,
            stop_stays: self.field(&card, "stop_stays", Self::truth)?,
            check: self.field(&card, "check", Self::length)?,
            short: self.field(&card, "short", Self::truth)?,
            lots: self.list(&card, "lots", Self::lot)?,
            clamp: self.list(&card, "clamp", Self::text)?,
            shaped: self.list(&card, "shaped", Self::text)?,
            marks: self.list(&card, "marks", Self::text)?,
        })
    }

    fn end(&mut self, json: &Json, path: &str) -> Option<[i64; 2]> {
        let end = self.object(json, path, &["mitre", "tilt"])?;
        Some([self.field(&end, "mitre", Self::small)?, self.field(&end, "tilt", Self::small)?])
    }

    fn lot(&mut self, json: &Json, path: &str) -> Option<Lot> {
        let lot = self.object_with(json, path, &["number", "strip", "length", "start", "cuts"], &["span", "piece"])?;
        let span = if lot.has("span") { Some(self.list(&lot, "span", Self::length)?) } else { None };
        Some(Lot {
            number: self.field(&lot, "number", Self::count)?,
            strip: self.maybe(&lot, "strip", Self::count)?,
            piece: if lot.has("piece") { Some(self.field(&lot, "piece", Self::count)?) } else { None },
            length: self.field(&lot, "length", Self::length)?,
            span,
            start: self.field(&lot, "start", Self::length)?,
            cuts: self.list(&lot, "cuts", Self::made)?,
        })
    }

    fn made(&mut self, json: &Json, path: &str) -> Option<Made> {
        let made = self.object(json, path, &["makes", "least", "rest"])?;
        Some(Made {
            makes: self.field(&made, "makes", Self::text)?,
            least: self.field(&made, "least", Self::length)?,
            rest: self.field(&made, "rest", Self::length)?,
        })
    }
}
