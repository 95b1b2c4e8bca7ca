//! Cutting: which part comes out of which board or sheet.
//!
//! Boards are cut by the exact engine of `packing`. A sheet is ripped into strips across its width, one width of strip for
//! each height of panel, and each strip is cut like a board. Which panels share a sheet, and of which size, is chosen for all
//! panels and sizes of a kind together, so that the whole costs as little as strips allow; it is called proven only if
//! the area, or a panel that needs a large sheet, says that nothing else could cost less.

mod board;
mod sheet;
mod slanted;

pub use board::{Board, BoardCut, Breaks, Section, Stretch};
pub use sheet::{SheetCut, Sheets, Strip};
pub use slanted::kerf_along;

use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::StockRef;
use model::why::Quantity;
use std::collections::{BTreeMap, BTreeSet};

/// Everything that is cut.
#[derive(Clone, Debug, Default)]
pub struct Cutting {
    /// Boards, one section for each kind, in the order of the yard.
    pub sections: Vec<Section>,
    /// Sheets, one entry for each kind, in the order of the yard.
    pub sheets: Vec<Sheets>,
    /// What each pattern leaves and where it breaks, with their why.
    pub quantities: Vec<Quantity>,
}

impl Cutting {
    /// How many boards and sheets have a pattern that is only possible if measured.
    pub fn tight(&self) -> u64 {
        let cuts = self.sections.iter().flat_map(|section| &section.cuts);
        let boards: usize = cuts.filter(|cut| !cut.comfortable).map(|cut| cut.boards.len()).sum();
        let sheets = self.sheets.iter().flat_map(|sheets| &sheets.sheets).filter(|sheet| !sheet.comfortable).count();
        (boards + sheets) as u64
    }

    /// True if no cutting plan of any section can cost less, in strips or not.
    pub fn is_proven(&self) -> bool {
        let boards = self.sections.iter().all(|section| matches!(section.status, packing::Status::Proven(_)));
        boards && self.sheets.iter().all(|sheets| sheets.proven)
    }
}

/// How much a search may do before it settles for a bound; counted in the engine's steps, about a second's worth.
pub const STEPS: u64 = 20_000_000;

/// How far a search goes on from the cheapest plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Goals {
    /// To the best of the cheapest: fewest boards that are only possible if measured, fewest boards, and so on.
    All,
    /// No further: what a plan costs is all that is wanted of it, and how many of its boards are tight says nothing.
    Cost,
}

/// Cuts the parts of a build from the boards and sheets of the yard. Each search ends after so many steps, or soon after
/// `cancel` says so, with the best that was found and what is proven of it.
///
/// # Errors
/// A part that no stock yields, or a yard that has too few; in the plan's names.
pub fn cut(parts: &[Part], plan: &Plan, steps: u64, cancel: &dyn Fn() -> bool) -> Result<Cutting, Vec<Problem>> {
    cut_rest(parts, &BTreeSet::new(), plan, steps, cancel)
}

/// The same, where some parts are cut already, by their places.
///
/// # Errors
/// As [`cut`].
pub fn cut_rest(
    parts: &[Part],
    done: &BTreeSet<usize>,
    plan: &Plan,
    steps: u64,
    cancel: &dyn Fn() -> bool,
) -> Result<Cutting, Vec<Problem>> {
    let mut cutting = Cutting::default();
    let mut problems = Vec::new();
    for (stock, places) in by_stock(parts, done) {
        match cut_one((stock, &places), parts, plan, Goals::All, steps, cancel) {
            Ok(one) => {
                cutting.sections.extend(one.sections);
                cutting.sheets.extend(one.sheets);
            }
            Err(problem) => problems.push(problem),
        }
    }
    cutting.quantities = cutting.sections.iter().flat_map(|section| board::explain(section, plan)).collect();
    if problems.is_empty() { Ok(cutting) } else { Err(problems) }
}

/// Cuts the parts of one stock, by their places in the list, and tells no whys of it: one section, or one kind of sheet, or
/// nothing of what is not cut.
///
/// # Errors
/// As [`cut`].
pub fn cut_one(
    (stock, places): (StockRef, &[usize]),
    parts: &[Part],
    plan: &Plan,
    goals: Goals,
    steps: u64,
    cancel: &dyn Fn() -> bool,
) -> Result<Cutting, Problem> {
    let mut cutting = Cutting::default();
    match stock.kind {
        StockKind::Board => cutting.sections.push(board::cut(stock, parts, places, plan, goals, steps, cancel)?),
        StockKind::Sheet => cutting.sheets.push(sheet::cut(stock, parts, places, plan, steps, cancel)?),
        // Units are laid whole, and nothing is cut from the others.
        StockKind::Unit
        | StockKind::Screw
        | StockKind::Bag
        | StockKind::Roll
        | StockKind::Finish
        | StockKind::Fitting => {}
    }
    Ok(cutting)
}

/// The places of the parts of each stock that are still to be cut, in the order of the list of parts.
fn by_stock(parts: &[Part], done: &BTreeSet<usize>) -> BTreeMap<StockRef, Vec<usize>> {
    let mut sorted: BTreeMap<StockRef, Vec<usize>> = BTreeMap::new();
    for (place, part) in parts.iter().enumerate().filter(|(place, _)| !done.contains(place)) {
        sorted.entry(part.stock).or_default().push(place);
    }
    sorted
}

/// What squares off the first end: half of what is taken off both.
pub(crate) fn squared_off(trim: measure::Length) -> measure::Length {
    measure::Length::nm(trim.nanometres().div_euclid(2))
}
