//! The record as it was claimed: its form is held here, and nothing else. Its parts by subject stand in files of their own.
//!
//! Every number is read into a range in which sums and products of the checks stay far inside an `i128`: lengths to 17 km,
//! counts to a thousand million.

mod reader;
mod fit;
mod made;
mod sawing;
mod joints;
mod money;
mod told;
mod whatif;
mod sides;

pub(crate) use fit::{Apart, Closing, Fit, Kind, Lists, Proof, Relation, Run, Size, Tree, When, Wish};
#[cfg(test)]
pub(crate) use joints::Slot;
pub(crate) use joints::{Joint, Unmade};
pub(crate) use made::{BoardRule, Certificate, Cut, Cutting, Part, Plane, Row, Section, Sheet, Sheets};
pub(crate) use money::{
    Buying, FromShed, Home, Line, Load, Material, Need, Notch, Packs, Parted, Pay, Price, Way, Windows,
};
pub(crate) use sawing::{Card, Lot};
pub(crate) use sides::{Column, Side};
pub(crate) use told::{Input, Note, Quantity, Question, Step};
pub(crate) use whatif::{
    Fallback, Give, Left, Moved, Recut, RecutBoard, Spacer, SpacerRow, Stretch, Ten, Trap, TrueLength, WhatIfs,
};

use crate::json::Json;
use crate::ledger::Ledger;
use reader::Reader;

/// The version of the record that is read.
const VERSION: i64 = 1;

pub(crate) struct Record {
    pub title: String,
    /// Which way to build the plan this is about, and all of them, where the plan states several.
    pub way: Option<String>,
    pub sides: Vec<Side>,
    pub unit: String,
    pub step: i64,
    pub currency: String,
    pub fit: Fit,
    pub ways: Vec<Way>,
    pub chosen: usize,
    pub cheapest_proven: bool,
    pub windows: Vec<Windows>,
    pub parts: Vec<Part>,
    pub rows: Vec<Row>,
    pub cutting: Cutting,
    pub cards: Vec<Card>,
    pub buying: Buying,
    pub what_ifs: WhatIfs,
    pub questions: Vec<Question>,
    pub steps: Vec<Step>,
    pub quantities: Vec<Quantity>,
    pub rules: Vec<String>,
    pub joints: Vec<Joint>,
    pub unmade: Vec<Unmade>,
    pub needs: Vec<Need>,
    pub notes: Vec<Note>,
}

/// Reads a record; `None` if its form is broken, with findings.
pub(crate) fn read(text: &str, ledger: &mut Ledger) -> Option<Record> {
    let json = match Json::read(text) {
        Ok(json) => json,
        Err(wrong) => {
            ledger.find(format!("the record is no JSON: {wrong}"));
            return None;
        }
    };
    let mut reader = Reader { ledger };
    let record = reader.record(&json);
    if record.is_none() {
        reader.ledger.hold(!reader.ledger.clean(), || "the record cannot be read".into());
    }
    record
}

impl<'l> Reader<'l> {
    fn record(&mut self, json: &Json) -> Option<Record> {
        const KEYS: [&str; 25] = [
            "format",
            "version",
            "title",
            "unit",
            "step",
            "currency",
            "fit",
            "ways",
            "chosen",
            "cheapest_proven",
            "windows",
            "parts",
            "rows",
            "cutting",
            "cards",
            "buying",
            "what_ifs",
            "questions",
            "steps",
            "quantities",
            "rules",
            "joints",
            "unmade",
            "needs",
            "notes",
        ];
        let top = self.object_with(json, "record", &KEYS, &["way", "sides"])?;
        let format = self.field(&top, "format", Self::text)?;
        let version = self.field(&top, "version", Self::any)?;
        self.ledger.same("the format", format.as_str(), "scantling-record");
        if !self.ledger.same("the version", version, VERSION) {
            return None;
        }
        let record = Record {
            title: self.field(&top, "title", Self::text)?,
            way: if top.has("way") { self.maybe(&top, "way", Self::text)? } else { None },
            sides: if top.has("sides") { self.list(&top, "sides", Self::side)? } else { Vec::new() },
            unit: self.field(&top, "unit", Self::text)?,
            step: self.field(&top, "step", Self::length)?,
            currency: self.field(&top, "currency", Self::text)?,
            fit: self.field(&top, "fit", Self::fit)?,
            ways: self.list(&top, "ways", Self::way)?,
            chosen: self.field(&top, "chosen", Self::index)?,
            cheapest_proven: self.field(&top, "cheapest_proven", Self::truth)?,
            windows: self.list(&top, "windows", Self::windows)?,
            parts: self.list(&top, "parts", Self::part)?,
            rows: self.list(&top, "rows", Self::row)?,
            cutting: self.field(&top, "cutting", Self::cutting)?,
            cards: self.list(&top, "cards", Self::card)?,
            buying: self.field(&top, "buying", Self::buying)?,
            what_ifs: self.field(&top, "what_ifs", Self::what_ifs)?,
            questions: self.list(&top, "questions", Self::question)?,
            steps: self.list(&top, "steps", Self::step)?,
            quantities: self.list(&top, "quantities", Self::quantity)?,
            rules: self.list(&top, "rules", Self::rule)?,
            joints: self.list(&top, "joints", Self::joint)?,
            unmade: self.list(&top, "unmade", Self::unmade)?,
            needs: self.list(&top, "needs", Self::need)?,
            notes: self.list(&top, "notes", Self::note)?,
        };
        self.hold_indices(&record).then_some(record)
    }

    /// Every index points at something, and every list that belongs to another is as long.
    fn hold_indices(&mut self, record: &Record) -> bool {
        let fit = &record.fit;
        let (sizes, gaps, runs) = (fit.sizes.len(), fit.gaps.len(), fit.runs.len());
        let choice = |&(choice, option): &(usize, usize)| fit.choices.get(choice).is_some_and(|of| option < of.1.len());
        let mut sound = true;
        let mut hold =
            |holds: bool, what: &str| sound &= self.ledger.hold(holds, || format!("record.{what} points nowhere"));
        for (at, run) in fit.runs.iter().enumerate() {
            let terms = run.terms.iter().all(|term| term.0 < sizes);
            let gap = run.gap < gaps && run.gaps_per_member >= 0 && run.member >= 0;
            hold(terms && gap && run.when.iter().all(choice), &format!("fit.runs.{at}"));
        }
        for (at, relation) in fit.relations.iter().enumerate() {
            let terms = relation.terms.iter().all(|term| term.0 < sizes);
            hold(terms && relation.when.iter().all(choice), &format!("fit.relations.{at}"));
        }
        let all = |count: usize| (0..count).collect();
        let (choices, relations) = (all(fit.choices.len()), all(fit.relations.len()));
        let whole = Lists { choices, sizes: all(sizes), gaps: all(gaps), runs: all(runs), relations };
        let shaped = |closing: &Closing| closing.belongs_to(&whole, fit);
        if let Some(Proof::Apart(parts)) = &fit.proof {
            for (at, part) in parts.iter().enumerate() {
                let own = part.closings.iter().all(|closing| closing.belongs_to(&part.lists, fit));
                hold(part.lists.lie_in(fit) && own, &format!("fit.proof.1.{at}"));
            }
        }
        for (at, closing) in fit.closings.iter().enumerate() {
            hold(shaped(closing), &format!("fit.closings.{at}"));
        }
        for (at, way) in record.ways.iter().enumerate() {
            let size = way.size.is_none_or(|size| size < sizes);
            hold(size && shaped(&way.closing), &format!("ways.{at}"));
        }
        hold(record.chosen < record.ways.len(), "chosen");
        for (at, fallback) in record.what_ifs.fallbacks.iter().enumerate() {
            let moved = fallback.left.iter().filter_map(|left| left.moved.as_ref());
            hold(moved.into_iter().all(|moved| shaped(&moved.closing)), &format!("what_ifs.fallbacks.{at}"));
        }
        sound
    }
}
