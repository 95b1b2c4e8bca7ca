//! Sheets by strips: ripped across the width, each strip cut like a board; sizes of one kind are mixed as it costs least.

mod cover;
#[cfg(test)]
mod tests;

use super::slanted::kerf_along;
use cover::{Panel, Saw, Size};
use measure::{Length, Money};
use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::stock::{From, SheetSize, StockRef};
use packing::{Item, Job, Limits, Reserve, Status, Stock};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// The cutting plan of one kind of sheet.
#[derive(Clone, Debug)]
pub struct Sheets {
    /// Which sheet.
    pub stock: StockRef,
    /// The sheets in the order of the yard's sizes, each with its strips.
    pub sheets: Vec<SheetCut>,
    /// What a cut takes: the kerf, or more where panels' ends are cut at a slant.
    pub kerf: Length,
    /// Whether costs are money. If the price of one of the sizes is unknown they are areas in whole square millimetres, each
    /// sheet's rounded down, so that the least area is looked for.
    pub priced: bool,
    /// The sum of the costs of all sheets.
    pub cost: i64,
    /// Whether no cutting in strips, each as wide as its panels are high, costs less; sizes mixed as one likes.
    pub exact: bool,
    /// No cutting costs less, in strips or not: not less than the panels' area where area is cheapest (in whole sheets if
    /// there is one size), and not less than the cheapest sheet that holds the panel for which that costs most.
    pub bound: i64,
    /// True if `cost` is equal to `bound`.
    pub proven: bool,
}

/// One sheet: its strips from the first edge on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetCut {
    /// Which size, by its place among the kind's sizes.
    pub size: usize,
    /// How long and wide the sheet is.
    pub measures: [Length; 2],
    /// The strips.
    pub strips: Vec<Strip>,
    /// What is left of the width.
    pub slack: Length,
    /// Whether the rips and every strip's crosscuts keep the reserve.
    pub comfortable: bool,
}

/// One strip of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
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
    cancel: &dyn Fn() -> bool,
) -> Result<Sheets, Problem> {
    let kerf = kerf_along(places.iter().map(|&place| &parts[place]), plan.shed.saw_for_sheets().kerf);
    let bench = Bench::new(stock, plan, kerf, steps, cancel);
    bench.each_has_a_size(parts, places)?;
    let panels = panels(parts, places);
    let (layouts, exact) = match bench.mixed(&panels) {
        Some(layouts) => (layouts, true),
        None => bench.one_size(&panels).map_err(|problem| match problem {
            packing::Problem::SupplyShort { .. } => {
                let few =
                    format!("there are too few sheets of `{}` for all panels, as far as was looked", bench.name());
                bench.told(&few).hint("raise `stock`, or add another size")
            }
            _ => bench.told(&format!("the panels do not come out of `{}`: {problem}", bench.name())),
        })?,
    };
    let bound = cover::bound(&panels, &bench.sizes, bench.saw);
    Ok(bench.hand_out(&layouts, exact, bound, parts, places))
}

/// The distinct panels: high before low, long before short.
fn panels(parts: &[Part], places: &[usize]) -> Vec<Panel> {
    let mut counts: BTreeMap<Reverse<(Length, Length)>, u32> = BTreeMap::new();
    for &place in places {
        let solid = &parts[place].solid;
        *counts.entry(Reverse((solid.width, solid.length))).or_default() += 1;
    }
    let panel = |(Reverse((height, length)), demand): (Reverse<(Length, Length)>, u32)| Panel {
        height: height.nanometres(),
        length: length.nanometres(),
        demand,
    };
    counts.into_iter().map(panel).collect()
}

/// How one sheet is cut: which size, and for each strip the height of its panels and their lengths.
struct Layout {
    size: usize,
    strips: Vec<(i64, Vec<i64>)>,
}

/// The lengths on each of the pieces that something is cut from.
type Filled = Vec<Vec<i64>>;

/// One kind of sheet and the saw that it comes to.
struct Bench<'p> {
    stock: StockRef,
    plan: &'p Plan,
    on_sale: &'p [SheetSize],
    priced: bool,
    sizes: Vec<Size>,
    saw: Saw,
    /// The saw and the reserve of a comfortable pattern.
    roomy: Saw,
    steps: u64,
    cancel: &'p dyn Fn() -> bool,
}

impl<'p> Bench<'p> {
    fn new(stock: StockRef, plan: &'p Plan, kerf: Length, steps: u64, cancel: &'p dyn Fn() -> bool) -> Bench<'p> {
        let on_sale = plan.yard.sheets[stock.place].sizes.as_slice();
        let priced = on_sale.iter().all(|size| size.price.is_some());
        let size = |size: &SheetSize| {
            let [length, width] = [size.length, size.width].map(Length::nanometres);
            let own = Size { length, width, cost: 0, supply: size.stock };
            // In whole square millimetres, so that it is a small number for all sheets there are.
            let area = i64::try_from(own.area() / 1_000_000_000_000).unwrap_or(i64::MAX);
            let cost = match size.from {
                From::Shed => 0,
                From::Yard => size.price.filter(|_| priced).map_or(area, Money::value),
            };
            Size { cost, ..own }
        };
        let (shed, trim) = (&plan.shed, plan.shed.saw_for_sheets().trim);
        let saw = Saw { kerf: kerf.nanometres(), trim: trim.nanometres() };
        let roomy = Saw {
            kerf: (kerf + shed.reserve_per_cut).nanometres(),
            trim: (trim + shed.reserve_per_board).nanometres(),
        };
        Bench { stock, plan, on_sale, priced, sizes: on_sale.iter().map(size).collect(), saw, roomy, steps, cancel }
    }

    fn name(&self) -> &str {
        &self.plan.yard.sheets[self.stock.place].name
    }

    fn told(&self, message: &str) -> Problem {
        Problem::new(message)
            .at(&self.plan.yard.sheets[self.stock.place].place)
            .hint("add a larger sheet to the yard, or ask for a smaller piece")
    }

    fn holds(&self, size: Size, height: i64, length: i64) -> bool {
        self.saw.left(size.length, [length]) >= 0 && self.saw.left(size.width, [height]) >= 0
    }

    /// The sizes of which there is one.
    fn there(&self) -> impl Iterator<Item = &Size> {
        self.sizes.iter().filter(|size| size.supply != Some(0))
    }

    /// Names the first panel that comes out of no size.
    fn each_has_a_size(&self, parts: &[Part], places: &[usize]) -> Result<(), Problem> {
        let has_none = |part: &&Part| {
            let [height, length] = [part.solid.width, part.solid.length].map(Length::nanometres);
            !self.there().any(|size| self.holds(*size, height, length))
        };
        let Some(part) = places.iter().map(|&place| &parts[place]).find(has_none) else { return Ok(()) };
        let [length, height] = [part.solid.length, part.solid.width].map(|side| self.plan.tape.show_with_unit(side));
        Err(self.told(&format!(
            "a panel of {length} along the grain by {height} ({}) does not come out of any size of `{}`",
            part.key,
            self.name()
        )))
    }

    /// The cheapest sheets of all sizes together; `None` if there are too many panels to be sure.
    fn mixed(&self, panels: &[Panel]) -> Option<Vec<Layout>> {
        let loads = cover::cheapest(panels, &self.sizes, [self.saw, self.roomy])?;
        loads.iter().map(|load| self.lay_out(load, panels)).collect()
    }

    /// The strips of one sheet; `None` if the engine did not find the fewest in its steps.
    fn lay_out(&self, load: &cover::Load, panels: &[Panel]) -> Option<Layout> {
        let size = self.sizes[load.size];
        let saw = if load.comfortable { self.roomy } else { self.saw };
        let own: Vec<Panel> =
            panels.iter().zip(&load.counts).map(|(panel, &demand)| Panel { demand, ..*panel }).collect();
        let mut strips = Vec::new();
        for alike in own.chunk_by(|a, b| a.height == b.height) {
            let (filled, _) = self.fewest(lengths(alike), size.length, saw).ok()?;
            strips.extend(filled.into_iter().map(|lengths| (alike[0].height, lengths)));
        }
        let fits = saw.left(size.width, strips.iter().map(|strip| strip.0)) >= 0;
        fits.then_some(Layout { size: load.size, strips })
    }

    /// All that comes out of one size from sheets of that size, what does not from the next; the size to begin with that
    /// costs least. With one size on sale that is exact, because as few strips as possible also need the fewest sheets.
    fn one_size(&self, panels: &[Panel]) -> Result<(Vec<Layout>, bool), packing::Problem> {
        let worth = |layouts: &[Layout]| {
            let sizes = || layouts.iter().map(|layout| self.sizes[layout.size]);
            let cost: i128 = sizes().map(|size| i128::from(size.cost)).sum();
            (cost, layouts.len(), sizes().map(Size::area).sum::<i128>())
        };
        let mut best: Option<(Vec<Layout>, bool)> = None;
        let mut short = packing::Problem::OutOfSteps;
        for first in 0..self.sizes.len() {
            let found = match self.beginning_with(first, panels) {
                Ok(found) => found,
                Err(problem @ packing::Problem::SupplyShort { .. }) => {
                    short = problem;
                    continue;
                }
                Err(problem) => return Err(problem),
            };
            if best.as_ref().is_none_or(|best| worth(&found.0) < worth(&best.0)) {
                best = Some(found);
            }
        }
        best.ok_or(short)
    }

    fn beginning_with(&self, first: usize, panels: &[Panel]) -> Result<(Vec<Layout>, bool), packing::Problem> {
        let mut waiting = panels.to_vec();
        let (mut layouts, mut exact) = (Vec::new(), self.sizes.len() == 1);
        let others = (0..self.sizes.len()).filter(|size| *size != first);
        for size in std::iter::once(first).chain(others) {
            let holds = |panel: &Panel| self.holds(self.sizes[size], panel.height, panel.length);
            let (now, later): (Vec<Panel>, Vec<Panel>) = waiting.into_iter().partition(holds);
            waiting = later;
            let (mut sheets, proven) = self.with_size(size, &now)?;
            let supply = self.sizes[size].supply.map_or(usize::MAX, |supply| supply as usize);
            let beyond = sheets.split_off(supply.min(sheets.len()));
            exact &= proven && beyond.is_empty();
            waiting = with_these(&waiting, &beyond);
            layouts.extend(sheets);
        }
        if !waiting.is_empty() {
            let area = |panels: &[Panel]| {
                let own =
                    |panel: &Panel| i128::from(panel.height) * i128::from(panel.length) * i128::from(panel.demand);
                panels.iter().map(own).sum::<i128>()
            };
            let (needed, available) = (area(panels), area(panels) - area(&waiting));
            return Err(packing::Problem::SupplyShort { needed, available });
        }
        layouts.sort_by_key(|layout| layout.size);
        Ok((layouts, exact))
    }

    /// The fewest sheets of one size, and whether that is proven.
    fn with_size(&self, size: usize, panels: &[Panel]) -> Result<(Vec<Layout>, bool), packing::Problem> {
        let mut strips: BTreeMap<i64, Filled> = BTreeMap::new();
        let mut proven = true;
        for alike in panels.chunk_by(|a, b| a.height == b.height) {
            let (mut filled, sure) = self.fewest(lengths(alike), self.sizes[size].length, self.saw)?;
            filled.reverse();
            strips.insert(alike[0].height, filled);
            proven &= sure;
        }
        let heights = strips.iter().rev().map(|(height, filled)| (*height, filled.len() as u32)).collect();
        let (sheets, sure) = self.fewest(heights, self.sizes[size].width, self.saw)?;
        let mut next = |height: i64| Some((height, strips.get_mut(&height)?.pop()?));
        let layout = |heights: Vec<i64>| Layout { size, strips: heights.into_iter().filter_map(&mut next).collect() };
        Ok((sheets.into_iter().map(layout).collect(), proven && sure))
    }

    /// The fewest pieces of one length that yield these, by the exact engine, and whether fewer are proven impossible.
    fn fewest(&self, lengths: Vec<(i64, u32)>, stock: i64, saw: Saw) -> Result<(Filled, bool), packing::Problem> {
        let shed = &self.plan.shed;
        let reserve =
            Reserve { per_cut: shed.reserve_per_cut.nanometres(), per_board: shed.reserve_per_board.nanometres() };
        let job = Job {
            items: lengths.iter().map(|&(length, demand)| Item { length, demand }).collect(),
            stocks: vec![Stock { length: stock, cost: 1, supply: None }],
            kerf: saw.kerf,
            trim: saw.trim,
            reserve: if saw == self.saw { reserve } else { Reserve::default() },
            ..Job::default()
        };
        let cutting = packing::solve(&job, &Limits { steps: self.steps }, self.cancel)?;
        let mut filled = Vec::new();
        for pattern in &cutting.patterns {
            let each = pattern.parts.iter();
            let own = each.flat_map(|&(item, count)| std::iter::repeat_n(lengths[item].0, count as usize)).collect();
            filled.extend(std::iter::repeat_n::<Vec<i64>>(own, pattern.times as usize));
        }
        Ok((filled, matches!(cutting.status, Status::Proven(_))))
    }

    /// Gives the layouts their panels, in the order of the list of parts.
    fn hand_out(&self, layouts: &[Layout], exact: bool, bound: i128, parts: &[Part], places: &[usize]) -> Sheets {
        let mut waiting: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
        for &place in places.iter().rev() {
            let [height, length] = [parts[place].solid.width, parts[place].solid.length].map(Length::nanometres);
            waiting.entry((height, length)).or_default().push(place);
        }
        let mut next = |height: i64, length: i64| waiting.get_mut(&(height, length)).and_then(Vec::pop);
        let mut sheets = Vec::new();
        for layout in layouts {
            let size = self.sizes[layout.size];
            let strip = |(height, lengths): &(i64, Vec<i64>)| Strip {
                width: Length::nm(*height),
                parts: lengths.iter().filter_map(|length| next(*height, *length)).collect(),
                slack: self.left(size.length, lengths),
                comfortable: self.is_roomy(size.length, lengths),
            };
            let strips: Vec<Strip> = layout.strips.iter().map(strip).collect();
            let widths: Vec<i64> = layout.strips.iter().map(|strip| strip.0).collect();
            let comfortable = self.is_roomy(size.width, &widths) && strips.iter().all(|strip| strip.comfortable);
            let measures = [self.on_sale[layout.size].length, self.on_sale[layout.size].width];
            sheets.push(SheetCut {
                size: layout.size,
                measures,
                strips,
                slack: self.left(size.width, &widths),
                comfortable,
            });
        }
        let cost: i128 = layouts.iter().map(|layout| i128::from(self.sizes[layout.size].cost)).sum();
        let proven = cost == bound;
        // Prices stay below a million; only areas of sheets by the square kilometre reach beyond.
        let [cost, bound] = [cost, bound].map(|sum| i64::try_from(sum).unwrap_or(i64::MAX));
        let kerf = Length::nm(self.saw.kerf);
        Sheets { stock: self.stock, kerf, sheets, priced: self.priced, cost, exact: exact || proven, bound, proven }
    }

    fn left(&self, stock: i64, lengths: &[i64]) -> Length {
        // What is left of a stock that is a length is one itself.
        Length::nm(i64::try_from(self.saw.left(stock, lengths.iter().copied())).unwrap_or_default())
    }

    fn is_roomy(&self, stock: i64, lengths: &[i64]) -> bool {
        self.roomy.left(stock, lengths.iter().copied()) >= 0
    }
}

/// Panels and those of some layouts.
fn with_these(panels: &[Panel], layouts: &[Layout]) -> Vec<Panel> {
    let mut counts: BTreeMap<Reverse<(i64, i64)>, u32> = BTreeMap::new();
    for panel in panels {
        *counts.entry(Reverse((panel.height, panel.length))).or_default() += panel.demand;
    }
    for (height, lengths) in layouts.iter().flat_map(|layout| &layout.strips) {
        lengths.iter().for_each(|length| *counts.entry(Reverse((*height, *length))).or_default() += 1);
    }
    counts.into_iter().map(|(Reverse((height, length)), demand)| Panel { height, length, demand }).collect()
}

/// The lengths of panels and how many of each, of those that there are.
fn lengths(panels: &[Panel]) -> Vec<(i64, u32)> {
    panels.iter().filter(|panel| panel.demand > 0).map(|panel| (panel.length, panel.demand)).collect()
}
