//! What the ways and the notches are said to cost, by the referee's own layout and cutting.

use super::brute::All;
use super::cutsearch::{Job, Stock, least_by_length, search};
use crate::asked::Asked;
use crate::buying::{left_of, with_spare};
use crate::claims::{Closing, Price, Record};
use crate::cutting::sheets_bound;
use crate::laid::{Shape, shapes};
use crate::ledger::{Ledger, Mm};
use crate::packs::{self, Bought};
use crate::texts::Papers;
use std::collections::{BTreeMap, BTreeSet};

/// How many of each shape.
type Shapes = BTreeMap<Shape, i128>;

/// What parts cost at least.
#[derive(Clone, Copy)]
struct Least {
    total: i128,
    /// Whether `total` is the least cost itself and not only a bound of it.
    exact: bool,
}

/// Holds the prices of the ways that were not chosen (the chosen one is held by what is bought) and of the notches.
pub(super) fn hold(record: &Record, papers: &Papers, asked: &Asked, all: Option<&All>, ledger: &mut Ledger) {
    if papers.standing.has_cut() {
        return ledger.leave("what the ways that were not chosen cost, where parts are cut already".into());
    }
    let sections = record.cutting.boards.iter();
    let slanted = sections.filter(|section| section.kerf.is_some_and(|kerf| kerf > papers.kerf));
    let slanted = slanted.map(|section| section.board.clone()).collect();
    let mut till =
        Till { papers, asked, slanted, known: BTreeMap::new(), same: BTreeMap::new(), steps: STEPS, open: 0 };
    let chosen = &record.ways[record.chosen];
    if let Some((price, parts)) = chosen.price.zip(shapes(asked, &chosen.closing)) {
        till.same.insert(parts, price);
    }
    for (at, way) in record.ways.iter().enumerate().filter(|(at, _)| *at != record.chosen) {
        match &way.price {
            Some(price) => till.hold(&way.closing, price, &format!("way {}", at + 1), ledger),
            None => ledger.leave("that the ways without a price do not come out of the yard".into()),
        }
    }
    for (size, windows) in record.windows.iter().enumerate() {
        for notch in &windows.notches {
            let Some(price) = &notch.price else { continue };
            let name = format!("the plan with {} at {}", windows.size, Mm::of(notch.best));
            match all.map(|all| all.held(&record.fit, size, notch.best)) {
                Some(Some(closing)) => till.hold(&closing, price, &name, ledger),
                Some(None) => ledger.find(format!("{name} is priced, and does not come out")),
                None => ledger.leave("the prices at the notches of the rod".into()),
            }
        }
    }
    if till.open > 0 {
        ledger.leave(format!("{} prices of ways that were not chosen, which are only not too low", till.open));
    }
    if !till.known.is_empty() {
        ledger.leave("how many boards of the ways that were not chosen are tight".into());
    }
    if record.cheapest_proven {
        ledger.leave("that no closing at all costs less than the cheapest way".into());
    }
}

/// Steps of all searches together, and of one.
const STEPS: u64 = 100_000;
const STEPS_OF_ONE: u64 = 20_000;

/// Prices that were looked at.
struct Till<'a> {
    papers: &'a Papers,
    asked: &'a Asked,
    /// The boards whose parts have slanted ends: cut as square ones they cost no more, which is a bound.
    slanted: BTreeSet<String>,
    known: BTreeMap<Shapes, Least>,
    /// What the same parts were said to cost before; the chosen way's price has been held by what is bought.
    same: BTreeMap<Shapes, Price>,
    steps: u64,
    /// Prices of which only a lower bound is known.
    open: usize,
}

impl Till<'_> {
    fn hold(&mut self, closing: &Closing, price: &Price, name: &str, ledger: &mut Ledger) {
        let Some(parts) = shapes(self.asked, closing) else { return };
        if let Some(before) = self.same.get(&parts) {
            ledger.same(&format!("the price of {name}, of the same parts as another way"), *price, *before);
            return;
        }
        self.same.insert(parts.clone(), *price);
        let complete = parts.keys().all(|shape| self.papers.is_priced(&shape.0, &shape.1));
        ledger.same(&format!("whether the price of {name} is complete"), price.complete, complete);
        let least = match self.known.get(&parts) {
            Some(least) => *least,
            None => {
                let least = cheapest(&parts, self.papers, &self.slanted, &mut self.steps);
                self.known.insert(parts, least);
                least
            }
        };
        let claimed = i128::from(price.total);
        let exact = least.exact && price.proven;
        ledger.hold(if exact { claimed == least.total } else { claimed >= least.total }, || {
            let bound = if least.exact { "" } else { " at least" };
            format!("{name} is said to cost {claimed}, and costs {}{bound}", least.total)
        });
        self.open += usize::from(!exact);
    }
}

/// What the parts of these shapes cost at least, sheets by area, boards by the referee's own search, units with their spares.
fn cheapest(parts: &Shapes, papers: &Papers, slanted: &BTreeSet<String>, steps: &mut u64) -> Least {
    let mut least = Least { total: 0, exact: true };
    let mut names: Vec<(&str, &str)> = parts.keys().map(|shape| (shape.0.as_str(), shape.1.as_str())).collect();
    names.dedup();
    for (kind, name) in names {
        let of = || parts.iter().filter(|(shape, _)| (shape.0.as_str(), shape.1.as_str()) == (kind, name));
        let own = match kind {
            "board" => {
                let least = boards(name, of(), papers, steps);
                Least { exact: least.exact && !slanted.contains(name), ..least }
            }
            "sheet" => sheets(name, of(), papers),
            _ => {
                let unit = papers.unit(name);
                let count = of().map(|(_, count)| *count).sum();
                let bought = |unit: &crate::texts::Brick| {
                    let all = with_spare(count, unit.spare);
                    let there: i128 = left_of(papers, "unit", name, 0).map(|left| left.amount).sum();
                    (packs::cheapest((all - there).max(0), &unit.packs), unit.packs.clone())
                };
                match unit.map(bought) {
                    Some((Bought::Packs(counts), sold)) => {
                        Least { total: packs::cost(&counts, &sold).unwrap_or(0), exact: true }
                    }
                    _ => Least { total: 0, exact: false },
                }
            }
        };
        least = Least { total: least.total + own.total, exact: least.exact && own.exact };
    }
    least
}

fn boards<'p>(
    name: &str,
    parts: impl Iterator<Item = (&'p Shape, &'p i128)>,
    papers: &Papers,
    steps: &mut u64,
) -> Least {
    // A line without a price counts as nothing, and which lines there are hangs on the plan.
    let open = Least { total: 0, exact: false };
    let Some(board) = papers.board(name) else { return open };
    if board.lengths.iter().any(|sold| sold.price.is_none()) {
        return open;
    }
    let mut demand: BTreeMap<i64, i128> = BTreeMap::new();
    for (shape, count) in parts {
        *demand.entry(i64::try_from(shape.2).unwrap_or(i64::MAX)).or_default() += count;
    }
    let stock = |sold: &crate::texts::Sold| Stock {
        length: sold.length,
        cost: sold.price.unwrap_or(0).into(),
        supply: sold.supply_if_sound(papers.trim).map(i128::from),
    };
    let job = Job {
        lengths: demand.keys().rev().copied().collect(),
        demand: demand.values().rev().copied().collect(),
        stocks: board.lengths.iter().map(stock).collect(),
        kerf: papers.kerf,
        trim: papers.trim,
    };
    let mut own = STEPS_OF_ONE.min(*steps);
    let before = own;
    let ways = super::bad::ways(board, &job);
    let found = match &ways {
        Some(ways) => super::bad::least(ways, &mut own),
        None => search(&job, None, &mut own),
    };
    *steps -= before - own;
    match found {
        Some(Some(total)) => Least { total, exact: true },
        // What boards with bad stretches hold is not asked by length.
        _ if ways.is_some() || board.lengths.iter().any(|sold| !sold.bad.is_empty()) => open,
        _ => Least { total: least_by_length(&job, &job.demand), exact: false },
    }
}

/// Sheets are bounded as the record bounds them.
fn sheets<'p>(name: &str, parts: impl Iterator<Item = (&'p Shape, &'p i128)>, papers: &Papers) -> Least {
    let Some(sheet) = papers.sheet(name) else {
        return Least { total: 0, exact: false };
    };
    let priced = sheet.sizes.iter().filter(|sold| sold.price.is_some()).count();
    if priced == sheet.sizes.len() {
        let panels: Vec<[i128; 3]> = parts.map(|(shape, count)| [shape.2, shape.3, *count]).collect();
        let total = sheets_bound(&panels, &sheet.sizes, true, papers.sheet_saw[1]);
        // Sheets are called proven if they cost their bound, and only a price that is called proven is held exactly.
        return Least { total, exact: true };
    }
    // A line without a price counts as nothing, and which lines there are hangs on the plan, but for a single size.
    let one = sheet.sizes.len() == 1;
    Least { total: 0, exact: one }
}
