//! What a closing costs.

use crate::Effort;
use fit::Closing;
use measure::{Length, Money};
use model::build::Build;
use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::StockRef;
use pieces::Asked;
use stages::{buy, cut};
use std::collections::BTreeMap;

/// What all that is bought for a closing costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Price {
    /// All that has a price.
    pub total: Money,
    /// Whether every size on sale of everything that is bought has a price. A total that misses some is compared with none:
    /// what looks cheaper might only be what has no price.
    pub complete: bool,
    /// Boards whose pattern is only possible if measured.
    pub tight: u64,
    /// Whether every cutting plan behind it is proven.
    pub proven: bool,
}

impl Price {
    /// What is not to be had at all is dearer than anything that is.
    pub(crate) const BEYOND_ALL: Price =
        Price { total: Money::hundredths(i64::MAX), complete: true, tight: u64::MAX, proven: true };
}

/// Why something has no price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoPrice {
    /// A part does not come out of the yard, or the sizes make no outline.
    NotToBeHad,
    /// The plan is so large that only its nearest ways are priced, or the caller has asked to stop.
    NotAsked,
}

/// Prices closings of one plan and remembers each multiset of lengths it has cut.
pub struct Pricer<'p> {
    plan: &'p Plan,
    asked: &'p Asked,
    steps: u64,
    cancel: &'p dyn Fn() -> bool,
    /// How many parts may still be laid out or priced.
    left: u64,
    /// How many parts the last closing had: what the next one is taken to ask for before it is laid out.
    usual: u64,
    known: BTreeMap<Multiset, Result<Price, NoPrice>>,
}

impl<'p> Pricer<'p> {
    /// Prices closings of this plan, with as much work as `effort` allows and until `cancel` says that it is enough.
    pub fn new(plan: &'p Plan, asked: &'p Asked, effort: &Effort, cancel: &'p dyn Fn() -> bool) -> Pricer<'p> {
        let (steps, left) = (effort.cutting, effort.parts_priced);
        Pricer { plan, asked, steps, cancel, left, usual: 0, known: BTreeMap::new() }
    }

    /// Whether boards are at home, which may not do.
    pub(crate) fn has_home(&self) -> bool {
        !self.plan.standing.home.is_empty()
    }

    /// The price of a closing.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub fn price(&mut self, closing: &Closing) -> Result<Price, NoPrice> {
        let parts = self.uncut(closing)?;
        self.price_of(&parts)
    }

    /// The parts of a closing that are not cut yet: what its price hangs on.
    ///
    /// # Errors
    /// [`NoPrice`] says why there are none.
    pub(crate) fn uncut(&mut self, closing: &Closing) -> Result<Vec<Part>, NoPrice> {
        let mut build = self.build(closing)?;
        let done = self.plan.standing.assign(&build.parts, self.plan.tape.step()).done();
        let mut place = 0..;
        build.parts.retain(|_| place.next().is_none_or(|place| !done.contains(&place)));
        Ok(build.parts)
    }

    /// The closing laid out, if there is work left for that.
    fn build(&mut self, closing: &Closing) -> Result<Build, NoPrice> {
        if self.usual > self.left || (self.cancel)() {
            return Err(NoPrice::NotAsked);
        }
        let build = pieces::detail(self.asked, closing).map_err(|_| NoPrice::NotToBeHad)?;
        self.usual = build.parts.len() as u64;
        self.left = self.left.saturating_sub(self.usual);
        Ok(build)
    }

    /// The price of parts that are to be cut.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub(crate) fn price_of(&mut self, parts: &[Part]) -> Result<Price, NoPrice> {
        let key = multiset(parts);
        if let Some(price) = self.known.get(&key) {
            return *price;
        }
        let work = parts.len() as u64;
        if work > self.left {
            return Err(NoPrice::NotAsked);
        }
        self.left -= work;
        let price = price(parts, self.plan, self.steps, self.cancel).map_err(|_| NoPrice::NotToBeHad);
        // A search that was stopped before it had a plan says nothing about the yard.
        if price.is_err() && (self.cancel)() {
            return Err(NoPrice::NotAsked);
        }
        self.known.insert(key, price);
        price
    }

    /// A price that nothing inside this closing falls below: that of the shortest lengths that its parts can have, each for
    /// itself. Lengths hang on the sizes in straight proportion, so the shortest is found from the corner where all sizes
    /// are least and from the corners where one of them is largest. Where parts are cut already there is none: which of them
    /// are no longer cut hangs on the sizes.
    pub fn floor(&mut self, closing: &Closing) -> Option<Price> {
        if !self.plan.standing.objects.is_empty() {
            return None;
        }
        let low: Vec<i64> = closing.room.iter().map(|room| room.0).collect();
        let with = |sizes: Vec<i64>| Closing { sizes, ..closing.clone() };
        let mut shortest = self.build(&with(low.clone())).ok()?;
        let base: Vec<Length> = shortest.parts.iter().map(|part| part.solid.length).collect();
        for (size, room) in closing.room.iter().enumerate().filter(|(_, room)| room.0 < room.1) {
            let mut sizes = low.clone();
            sizes[size] = room.1;
            let moved = self.build(&with(sizes)).ok()?;
            for ((part, base), moved) in shortest.parts.iter_mut().zip(&base).zip(moved.parts) {
                if moved.solid.length < *base {
                    part.solid.length -= *base - moved.solid.length;
                }
            }
        }
        if shortest.parts.iter().any(|part| part.solid.length <= Length::ZERO) {
            return None;
        }
        self.price_of(&shortest.parts).ok()
    }
}

/// Which stock, in which shape, how many: all that a price hangs on.
type Multiset = Vec<(StockRef, [Length; 3], usize)>;

fn multiset(parts: &[Part]) -> Multiset {
    let mut counts: BTreeMap<(StockRef, [Length; 3]), usize> = BTreeMap::new();
    for part in parts {
        let shape = [part.solid.length, part.solid.width, part.solid.thickness];
        *counts.entry((part.stock, shape)).or_default() += 1;
    }
    let mut multiset: Multiset = counts.into_iter().map(|((stock, shape), count)| (stock, shape, count)).collect();
    // Slanted ends take more of the board, and how much hangs on the sizes where walls lean.
    multiset.extend(slanted(parts).into_iter().map(|(stock, kerf)| (stock, [kerf, Length::ZERO, Length::ZERO], 0)));
    multiset
}

/// What a cut of one millimetre takes of each stock that has slanted ends.
fn slanted(parts: &[Part]) -> BTreeMap<StockRef, Length> {
    let mut of: BTreeMap<StockRef, Vec<&Part>> = BTreeMap::new();
    for part in parts.iter().filter(|part| part.solid.ends.iter().any(|planes| !planes.is_empty())) {
        of.entry(part.stock).or_default().push(part);
    }
    of.into_iter().map(|(stock, parts)| (stock, cut::kerf_along(parts.into_iter(), Length::mm(1)))).collect()
}

/// Whether every size on sale of a stock has a price.
fn is_priced(stock: StockRef, plan: &Plan) -> bool {
    match stock.kind {
        StockKind::Board => plan.yard.boards[stock.place].lengths.iter().all(|length| length.price.is_some()),
        StockKind::Sheet => plan.yard.sheets[stock.place].sizes.iter().all(|size| size.price.is_some()),
        StockKind::Unit => plan.yard.units[stock.place].packs.iter().all(|pack| pack.price.is_some()),
        // No part is of these.
        StockKind::Screw | StockKind::Bag | StockKind::Roll | StockKind::Finish | StockKind::Fitting => true,
    }
}

fn price(parts: &[Part], plan: &Plan, steps: u64, cancel: &dyn Fn() -> bool) -> Result<Price, Vec<Problem>> {
    let cutting = cut::cut(parts, plan, steps, cancel)?;
    let bought = buy::buy(parts, &cutting, plan).map_err(|problem| vec![problem])?;
    let complete = parts.iter().all(|part| is_priced(part.stock, plan));
    Ok(Price { total: bought.total, complete, tight: cutting.tight(), proven: cutting.is_proven() })
}
