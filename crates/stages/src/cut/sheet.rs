//! Sheets by strips: ripped across the width, each strip cut like a board.

use measure::{Area, Length, Money};
use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::stock::{SheetSize, StockRef};
use packing::{Item, Job, Limits, Reserve, Stock};
use std::collections::BTreeMap;

/// The cutting plan of one kind of sheet.
#[derive(Clone, Debug)]
pub struct Sheets {
    /// Which sheet.
    pub stock: StockRef,
    /// Which size, by its place among the kind's sizes.
    pub size: usize,
    /// How long and wide a sheet is.
    pub measures: [Length; 2],
    /// The sheets, each with its strips.
    pub sheets: Vec<SheetCut>,
    /// What all sheets cost, if the price is known.
    pub cost: Option<Money>,
    /// The number of sheets of this size that the area alone asks for.
    pub least: usize,
    /// True if no fewer sheets of this size can do, and no other size is on sale.
    pub proven: bool,
}

/// One sheet: its strips from the first edge on.
#[derive(Clone, Debug)]
pub struct SheetCut {
    /// The strips.
    pub strips: Vec<Strip>,
    /// What is left of the width.
    pub slack: Length,
    /// Whether the rips and every strip's crosscuts keep the reserve.
    pub comfortable: bool,
}

/// One strip of a sheet.
#[derive(Clone, Debug)]
pub struct Strip {
    /// How wide it is: the panels' height.
    pub width: Length,
    /// Its panels, by their places in the list of parts, in the order in which they are cut.
    pub parts: Vec<usize>,
    /// What is left of the length.
    pub slack: Length,
    /// Whether its crosscuts keep the reserve.
    pub comfortable: bool,
}

pub(super) fn cut(
    stock: StockRef,
    parts: &[Part],
    places: &[usize],
    plan: &Plan,
    steps: u64,
) -> Result<Sheets, Problem> {
    let sheet = &plan.yard.sheets[stock.place];
    let one_of_many = sheet.sizes.len() > 1;
    let mut best: Option<Sheets> = None;
    let mut last = None;
    for (size, measures) in sheet.sizes.iter().enumerate() {
        match with_size(stock, size, measures, parts, places, plan, steps) {
            Ok(mut sheets) => {
                sheets.proven &= !one_of_many;
                if best.as_ref().is_none_or(|best| worth(&sheets) < worth(best)) {
                    best = Some(sheets);
                }
            }
            Err(problem) => last = Some(problem),
        }
    }
    best.ok_or_else(|| {
        let why = last.map_or_else(String::new, |problem| format!(": {problem}"));
        let none = Problem::new(format!("the panels do not come out of any size of `{}`{why}", sheet.name));
        none.at(&sheet.place).hint("add a larger sheet to the yard, or ask for a smaller piece")
    })
}

/// What makes one size better than another: money if it is known, then area.
fn worth(sheets: &Sheets) -> (i64, i128) {
    let area = Area::of(sheets.measures[0], sheets.measures[1]).square_nanometres() * sheets.sheets.len() as i128;
    (sheets.cost.map_or(0, Money::value), area)
}

fn with_size(
    stock: StockRef,
    size: usize,
    measures: &SheetSize,
    parts: &[Part],
    places: &[usize],
    plan: &Plan,
    steps: u64,
) -> Result<Sheets, packing::Problem> {
    let mut by_height: BTreeMap<Length, Vec<usize>> = BTreeMap::new();
    for &place in places {
        by_height.entry(parts[place].solid.width).or_default().push(place);
    }
    let mut strips: Vec<Strip> = Vec::new();
    for (height, places) in by_height.iter().rev() {
        strips.extend(strips_of(*height, measures.length, parts, places, plan, steps)?);
    }
    let sheets = strips_to_sheets(strips, measures.width, plan, steps)?;
    let area: i128 = places
        .iter()
        .map(|&place| Area::of(parts[place].solid.length, parts[place].solid.width).square_nanometres())
        .sum();
    let whole = Area::of(measures.length, measures.width).square_nanometres().max(1);
    // An area of parts over the area of a sheet is a small number.
    let least = ((area + whole - 1) / whole) as usize;
    let proven = sheets.len() == least;
    let cost = measures.price.map(|price| price * sheets.len() as i64);
    Ok(Sheets { stock, size, measures: [measures.length, measures.width], sheets, cost, least, proven })
}

/// The fewest strips of one height that yield these panels.
fn strips_of(
    height: Length,
    length: Length,
    parts: &[Part],
    places: &[usize],
    plan: &Plan,
    steps: u64,
) -> Result<Vec<Strip>, packing::Problem> {
    let mut waiting: BTreeMap<Length, Vec<usize>> = BTreeMap::new();
    for &place in places.iter().rev() {
        waiting.entry(parts[place].solid.length).or_default().push(place);
    }
    let lengths: Vec<Length> = waiting.keys().rev().copied().collect();
    let counts: Vec<u32> = lengths.iter().map(|length| waiting[length].len() as u32).collect();
    let cutting = fewest(&lengths, &counts, length, plan, steps)?;
    let mut strips = Vec::new();
    for pattern in &cutting.patterns {
        for _ in 0..pattern.times {
            let mut parts = Vec::new();
            for &(item, count) in &pattern.parts {
                let places = waiting.get_mut(&lengths[item]).into_iter().flat_map(|places| {
                    let keep = places.len().saturating_sub(count as usize);
                    places.drain(keep..).rev().collect::<Vec<usize>>()
                });
                parts.extend(places);
            }
            let (slack, comfortable) = (Length::nm(pattern.slack), pattern.comfortable);
            strips.push(Strip { width: height, parts, slack, comfortable });
        }
    }
    Ok(strips)
}

/// The fewest sheets that yield these strips.
fn strips_to_sheets(
    strips: Vec<Strip>,
    width: Length,
    plan: &Plan,
    steps: u64,
) -> Result<Vec<SheetCut>, packing::Problem> {
    let mut waiting: BTreeMap<Length, Vec<Strip>> = BTreeMap::new();
    for strip in strips.into_iter().rev() {
        waiting.entry(strip.width).or_default().push(strip);
    }
    let widths: Vec<Length> = waiting.keys().rev().copied().collect();
    let counts: Vec<u32> = widths.iter().map(|width| waiting[width].len() as u32).collect();
    let cutting = fewest(&widths, &counts, width, plan, steps)?;
    let mut sheets = Vec::new();
    for pattern in &cutting.patterns {
        for _ in 0..pattern.times {
            let mut strips: Vec<Strip> = Vec::new();
            for &(item, count) in &pattern.parts {
                let mut next = || waiting.get_mut(&widths[item]).and_then(Vec::pop);
                strips.extend((0..count).filter_map(|_| next()));
            }
            let comfortable = pattern.comfortable && strips.iter().all(|strip| strip.comfortable);
            sheets.push(SheetCut { strips, slack: Length::nm(pattern.slack), comfortable });
        }
    }
    Ok(sheets)
}

/// The fewest pieces of one stock length, by the exact engine.
fn fewest(
    lengths: &[Length],
    counts: &[u32],
    stock: Length,
    plan: &Plan,
    steps: u64,
) -> Result<packing::Cutting, packing::Problem> {
    let shed = &plan.shed;
    let items = lengths.iter().zip(counts).map(|(length, &demand)| Item { length: length.nanometres(), demand });
    let job = Job {
        items: items.collect(),
        stocks: vec![Stock { length: stock.nanometres(), cost: 1, supply: None }],
        kerf: shed.kerf.nanometres(),
        trim: shed.trim.nanometres(),
        reserve: Reserve { per_cut: shed.reserve_per_cut.nanometres(), per_board: shed.reserve_per_board.nanometres() },
    };
    packing::solve(&job, &Limits { steps }, &|| false)
}
