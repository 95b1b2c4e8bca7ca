//! Ways to build the same wishes, side by side: each settled for itself, and told in a column.
//!
//! `docs/buying.md`, *Ways side by side*, says what each number means.

use crate::Settled;
use measure::{Length, Mass, Money};
use stages::work::{self, Work};

/// One way to build the wishes.
#[derive(Clone, Debug)]
pub struct Side {
    /// Its name in the plan.
    pub name: String,
    /// What it is called on the page.
    pub label: String,
    /// Whether everything else is about this one.
    pub built: bool,
    /// What it takes; or why it does not come out, in words.
    pub column: Result<Column, String>,
}

/// What a way takes.
#[derive(Clone, Debug)]
pub struct Column {
    /// Its sizes by their names, in the order in which they are asked.
    pub sizes: Vec<(String, Length)>,
    /// What to pay.
    pub pay: Money,
    /// How many lines of what is bought have no price.
    pub unpriced: usize,
    /// Boards that are only possible if measured.
    pub tight: u64,
    /// What there is to do.
    pub work: Work,
    /// The heaviest of what is lifted as it is bought, and what it is.
    pub heaviest: Option<(String, Mass)>,
    /// How many lines nobody can weigh.
    pub unweighed: usize,
}

/// What a settled way takes; `None` if it is more than can be counted.
pub fn column(settled: &Settled) -> Option<Column> {
    let buying = &settled.buying;
    let closing = &settled.ways[settled.chosen].closing;
    let names = settled.asked.problem.sizes.iter().map(|size| size.name.clone());
    Some(Column {
        sizes: names.zip(closing.sizes.iter().map(|&size| Length::nm(size))).collect(),
        pay: buying.pay.total,
        unpriced: buying.unpriced + buying.materials_unpriced,
        tight: settled.cutting.tight(),
        work: work::work(&settled.cutting, &settled.sawing, buying, &settled.plan)?,
        heaviest: buying.load.heaviest.clone(),
        unweighed: buying.load.unweighed.len(),
    })
}
