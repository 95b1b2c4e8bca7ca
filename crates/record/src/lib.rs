//! Everything a settled plan says, as one versioned JSON.
//!
//! The record is what leaves the house: the referee reads it (and trusts none of it), and so may anybody's own tools. All
//! lengths are whole nanometres, money is in hundredths of the currency, masses in milligrams; names are those of the plan
//! and the yard. `docs/record.md` lists every field; a field may be added within a version, and none changes its meaning
//! without a new one.
#![forbid(unsafe_code)]

mod fit_part;
mod made;
mod sawing;
mod sides;
mod money;
mod told;
mod whatif;

use advise::Settled;
use serde::Serialize;

/// The version of the record that this crate writes.
pub const VERSION: u32 = 1;

/// The whole record.
#[derive(Debug, Serialize)]
pub struct Record {
    /// Always `scantling-record`.
    pub format: &'static str,
    /// The version of the format.
    pub version: u32,
    /// The plan's title.
    pub title: String,
    /// The unit of the plan's tape: `mm` or `in`.
    pub unit: &'static str,
    /// The step of the plan's tape.
    pub step: i64,
    /// The currency of all prices.
    pub currency: String,
    /// Which of the plan's ways this is about, by its name; left out where the plan states none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub way: Option<String>,
    /// The ways to build it, side by side; left out where the plan states none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sides: Vec<sides::SideRecord>,
    /// What was asked of fit, and what came out.
    pub fit: fit_part::FitRecord,
    /// The ways in which everything comes out.
    pub ways: Vec<money::WayRecord>,
    /// Which of the ways the rest of the record is about.
    pub chosen: usize,
    /// Whether the cheapest of the ways is proven to be the cheapest there is.
    pub cheapest_proven: bool,
    /// Where each size comes out under the choices of the chosen way.
    pub windows: Vec<money::WindowsRecord>,
    /// Every part in place.
    pub parts: Vec<made::PartRecord>,
    /// The rows they stand in.
    pub rows: Vec<made::RowRecord>,
    /// How parts are screwed to one another.
    pub joints: Vec<made::JointRecord>,
    /// Where no screw of the yard will do.
    pub unmade: Vec<made::UnmadeRecord>,
    /// What is filled in, laid out or bought beside parts.
    pub needs: Vec<made::NeedRecord>,
    /// What the maker should know.
    pub notes: Vec<made::NoteRecord>,
    /// How they are cut.
    pub cutting: made::CuttingRecord,
    /// At which settings of the saw, a card for each.
    pub cards: Vec<sawing::CardRecord>,
    /// What is bought.
    pub buying: money::BuyingRecord,
    /// What a few millimetres do, and what to do where the yard has too few.
    pub what_ifs: whatif::WhatIfsRecord,
    /// Questions and answers.
    pub questions: Vec<told::QuestionRecord>,
    /// What to do, in order.
    pub steps: Vec<told::StepRecord>,
    /// Every number that can be asked why.
    pub quantities: Vec<told::QuantityRecord>,
    /// The rules those numbers come from.
    pub rules: Vec<told::RuleRecord>,
}

/// The record of a settled plan.
pub fn record(settled: &Settled) -> Record {
    Record {
        format: "scantling-record",
        version: VERSION,
        title: settled.plan.title.clone(),
        unit: settled.plan.tape.unit_name(),
        step: settled.plan.tape.step().nanometres(),
        currency: settled.plan.yard.currency.clone(),
        way: settled.sides.iter().find(|side| side.built).map(|side| side.name.clone()),
        sides: sides::sides(settled),
        fit: fit_part::fit(settled),
        ways: settled.ways.iter().map(money::way).collect(),
        chosen: settled.chosen,
        cheapest_proven: settled.cheapest_proven,
        windows: money::windows(settled),
        parts: made::parts(settled),
        rows: made::rows(settled),
        joints: made::joints(settled),
        unmade: made::unmade(settled),
        needs: made::needs(settled),
        notes: made::notes(settled),
        cutting: made::cutting(settled),
        cards: sawing::cards(settled),
        buying: money::buying(settled),
        what_ifs: whatif::what_ifs(settled),
        questions: told::questions(settled),
        steps: told::steps(settled),
        quantities: told::quantities(settled),
        rules: told::rules(settled),
    }
}

/// The record as JSON, with a line end at the end. The same settled plan always gives the same bytes.
pub fn json(record: &Record) -> String {
    // A record holds no map with keys that are not text and no float, which are all that serde_json refuses.
    let mut text = serde_json::to_string_pretty(record).expect("a record is plain JSON");
    text.push('\n');
    text
}

/// A whole number that the record keeps in 64 bits. What the house computes from a plan within its limits stays far below.
fn small(value: i128) -> i64 {
    i64::try_from(value).unwrap_or(if value < 0 { i64::MIN } else { i64::MAX })
}
