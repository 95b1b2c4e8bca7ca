//! How long it takes to cut, screw and lay: what is counted of it, each times a rate of the shed. `docs/buying.md`, *Ways side
//! by side*, says what is in it.

use crate::buy::{Buying, MaterialKind};
use crate::cut::Cutting;
use crate::saw::Sawing;
use model::plan::Plan;
use model::schema::StockKind;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// How long it takes.
pub static MINUTES: Rule = Rule {
    id: "minutes",
    words: "What there is to do, each so often as it is done and so many minutes as it takes: cuts, settings of the saw, boards measured, screws driven, units laid; filling, brushing and clearing up are not in it",
    formula: "minutes = sum of how often × minutes",
    inputs: &["how often, minutes…"],
    source: "the rates of the shed, or common practice where it says nothing",
    mark: Mark::YourNumber,
    compute: |x| match x.len() % 2 {
        0 => x.chunks(2).try_fold(0_i128, |sum, pair| sum.checked_add(pair[0].checked_mul(pair[1])?)),
        _ => None,
    },
    case: Case {
        given: &[20, 2, 3, 5, 6, 1, 40, 1, 0, 3],
        gives: 101,
        source: "20 cuts of 2, 3 settings of 5, 6 boards and 40 screws of 1: 40 + 15 + 6 + 40, by hand",
    },
};

/// What there is to do.
#[derive(Clone, Debug)]
pub struct Work {
    /// Parts and strips that are cut.
    pub cuts: u64,
    /// Settings of the saw.
    pub set_ups: u64,
    /// Boards that are cut.
    pub boards: u64,
    /// Sheets that are cut.
    pub sheets: u64,
    /// Screws that are driven.
    pub screws: u64,
    /// Units that are laid.
    pub units: u64,
    /// How long all of that takes, in minutes, with its why.
    pub minutes: Quantity,
}

/// What there is to do for a plan; `None` if it is more than can be counted.
pub fn work(cutting: &Cutting, sawing: &Sawing, buying: &Buying, plan: &Plan) -> Option<Work> {
    let cuts = sawing.cards.iter().map(|card| card.lots.iter().map(|lot| lot.cuts.len() as u64).sum::<u64>()).sum();
    let set_ups = sawing.set_ups().into();
    let boards = cutting.sections.iter().flat_map(|section| &section.cuts).map(|cut| cut.boards.len() as u64).sum();
    let sheets = cutting.sheets.iter().map(|sheets| sheets.sheets.len() as u64).sum();
    let of_screws = buying.materials.iter().filter(|line| line.kind == MaterialKind::Screw);
    let screws = u64::try_from(of_screws.map(|line| line.used).sum::<i128>()).ok()?;
    let units = buying.lines.iter().filter(|line| line.stock.kind == StockKind::Unit).map(|line| line.used).sum();
    let rates = &plan.shed.rates;
    let pairs = [
        ("cuts", cuts, "a cut", rates.cut_minutes),
        ("settings of the saw", set_ups, "a setting", rates.stop_minutes),
        ("boards and sheets", boards + sheets, "measuring one", rates.measure_minutes),
        ("screws", screws, "a screw", rates.screw_minutes),
        ("units", units, "laying one", rates.unit_minutes),
    ];
    let inputs = pairs.iter().flat_map(|&(what, count, one, minutes)| {
        [Input::new(what, Value::count(count)), Input::new(format!("minutes for {one}"), Value::count(minutes))]
    });
    let minutes =
        Quantity::by("work.minutes", "minutes to cut, screw and lay it", Of::Count, &MINUTES, inputs.collect())?;
    Some(Work { cuts, set_ups, boards, sheets, screws, units, minutes })
}
