//! The ways to build a plan, side by side.

use advise::Settled;
use advise::sides::{Column, Side};
use serde::Serialize;

/// One way to build the wishes.
#[derive(Debug, Serialize)]
pub struct SideRecord {
    /// Its name in the plan; `as-written` for the plan without any of its ways.
    pub name: String,
    /// What it is called on the page.
    pub label: String,
    /// What it takes; null if it does not come out.
    pub column: Option<ColumnRecord>,
    /// Why it does not come out, in words; null if it does.
    pub none: Option<String>,
}

/// What a way takes.
#[derive(Debug, Serialize)]
pub struct ColumnRecord {
    /// Its sizes, each a name and a length.
    pub sizes: Vec<(String, i64)>,
    /// What to pay.
    pub pay: i64,
    /// How many lines of what is bought have no price.
    pub unpriced: usize,
    /// Boards that are only possible if measured.
    pub tight: u64,
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
    /// How long all of that takes.
    pub minutes: i64,
    /// The most that one thing weighs as it is bought; null if nobody knows of any.
    pub heaviest: Option<i64>,
    /// What that is, by the name of its mass; null if nobody knows.
    pub heaviest_is: Option<String>,
    /// How many lines nobody can weigh.
    pub unweighed: usize,
}

pub(crate) fn sides(settled: &Settled) -> Vec<SideRecord> {
    let side = |side: &Side| SideRecord {
        name: side.name.clone(),
        label: side.label.clone(),
        column: side.column.as_ref().ok().map(column),
        none: side.column.as_ref().err().cloned(),
    };
    settled.sides.iter().map(side).collect()
}

fn column(column: &Column) -> ColumnRecord {
    let work = &column.work;
    ColumnRecord {
        sizes: column.sizes.iter().map(|(name, size)| (name.clone(), size.nanometres())).collect(),
        pay: column.pay.value(),
        unpriced: column.unpriced,
        tight: column.tight,
        cuts: work.cuts,
        set_ups: work.set_ups,
        boards: work.boards,
        sheets: work.sheets,
        screws: work.screws,
        units: work.units,
        minutes: crate::small(work.minutes.value.value),
        heaviest: column.heaviest.as_ref().map(|(_, mass)| mass.value()),
        heaviest_is: column.heaviest.as_ref().map(|(name, _)| name.clone()),
        unweighed: column.unweighed,
    }
}
