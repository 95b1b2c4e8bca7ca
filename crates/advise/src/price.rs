//! What a closing costs.

use crate::Effort;
use fit::Closing;
use measure::{Length, Money};
use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::StockRef;
use pieces::Asked;
use stages::cut::Goals;
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

/// What is not to be had at all is dearer than anything that is.
pub(crate) const BEYOND_ALL: Money = Money::hundredths(i64::MAX);

/// What all that is bought for a closing costs, by a search that ends with the cheapest plan: how many of its boards are tight is
/// not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cost {
    /// All that has a price.
    pub total: Money,
    /// Whether everything has one.
    pub complete: bool,
    /// Whether every cutting plan behind it is proven.
    pub proven: bool,
}

impl Cost {
    /// Whether it is proven that nothing costs less.
    pub(crate) fn is_least(&self) -> bool {
        self.complete && self.proven
    }
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
    known: Known<Result<Price, NoPrice>>,
    /// What all parts of one stock cost; `None` if they are not to be had. One size moves the parts of few stocks.
    each: BTreeMap<(Goals, Multiset), Option<Price>>,
}

/// What is known of multisets of lengths, by how far was asked.
type Known<T> = BTreeMap<(Far, Multiset), T>;

/// How far is asked.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Far {
    /// What it costs.
    Cost,
    /// That, and how many boards are tight; where the first cheapest plan that is found has none, no further.
    Tight,
    /// As the plan itself is cut.
    All,
}

impl<'p> Pricer<'p> {
    /// Prices closings of this plan, with as much work as `effort` allows and until `cancel` says that it is enough.
    pub fn new(plan: &'p Plan, asked: &'p Asked, effort: &Effort, cancel: &'p dyn Fn() -> bool) -> Pricer<'p> {
        let (steps, left) = (effort.cutting, effort.parts_priced);
        Pricer { plan, asked, steps, cancel, left, usual: 0, known: BTreeMap::new(), each: BTreeMap::new() }
    }

    /// A pricer of a plan that is like this one's but for one kind of board, with work of its own: what the parts of all others
    /// cost is known.
    pub(crate) fn but_for<'o>(&self, stock: StockRef, plan: &'o Plan, asked: &'o Asked, effort: &Effort) -> Pricer<'o>
    where
        'p: 'o,
    {
        let others = self.each.iter().filter(|((_, of), _)| of.first().is_none_or(|first| first.0 != stock));
        let each = others.map(|(of, price)| (of.clone(), *price)).collect();
        Pricer { each, ..Pricer::new(plan, asked, effort, self.cancel) }
    }

    /// As much work as at first, for what comes next; what is known stays.
    pub(crate) fn work_again(&mut self, effort: &Effort) {
        self.left = effort.parts_priced;
    }

    /// Whether this is the question whose closings it prices.
    pub(crate) fn asks(&self, problem: &fit::Problem) -> bool {
        self.asked.problem == *problem
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

    /// The cost of a closing.
    ///
    /// # Errors
    /// As [`Pricer::price`].
    pub(crate) fn cost(&mut self, closing: &Closing) -> Result<Cost, NoPrice> {
        let parts = self.uncut(closing)?;
        self.cost_of(&parts)
    }

    /// The parts of a closing that are not cut yet: what its price hangs on.
    ///
    /// # Errors
    /// [`NoPrice`] says why there are none.
    pub(crate) fn uncut(&mut self, closing: &Closing) -> Result<Vec<Part>, NoPrice> {
        let mut parts = self.parts(closing)?;
        if self.plan.standing.objects.is_empty() {
            return Ok(parts);
        }
        let done = self.plan.standing.assign(&parts, self.plan.tape.step()).done();
        let mut place = 0..;
        parts.retain(|_| place.next().is_none_or(|place| !done.contains(&place)));
        Ok(parts)
    }

    /// The parts of a closing, if there is work left for laying it out.
    fn parts(&mut self, closing: &Closing) -> Result<Vec<Part>, NoPrice> {
        if self.usual > self.left || (self.cancel)() {
            return Err(NoPrice::NotAsked);
        }
        let parts = pieces::parts(self.asked, closing).map_err(|_| NoPrice::NotToBeHad)?;
        self.usual = parts.len() as u64;
        self.left = self.left.saturating_sub(self.usual);
        Ok(parts)
    }

    /// The price of parts that are to be cut.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub(crate) fn price_of(&mut self, parts: &[Part]) -> Result<Price, NoPrice> {
        self.ask(parts, Far::All)
    }

    /// The same for a what-if: where no board of the first cheapest plan that is found is tight, no other is looked for.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub(crate) fn price_near(&mut self, parts: &[Part]) -> Result<Price, NoPrice> {
        self.ask(parts, Far::Tight)
    }

    /// The cost of parts that are to be cut.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub(crate) fn cost_of(&mut self, parts: &[Part]) -> Result<Cost, NoPrice> {
        let price = self.ask(parts, Far::Cost)?;
        Ok(Cost { total: price.total, complete: price.complete, proven: price.proven })
    }

    fn ask(&mut self, parts: &[Part], far: Far) -> Result<Price, NoPrice> {
        let (whole, stocks) = (multiset(parts), by_stock(parts));
        // What costs least is not looked for where prices are missing: of plans of one length the best is told.
        let complete = stocks.keys().all(|&stock| is_priced(stock, self.plan));
        let far = if complete { far } else { Far::All };
        let of = |far: Far| (far, whole.clone());
        let further = [Far::All, Far::Tight, Far::Cost].into_iter().filter(|known| *known >= far);
        if let Some(price) = further.filter_map(|far| self.known.get(&of(far))).next() {
            return *price;
        }
        let asked = [Far::Cost, Far::Tight].into_iter().any(|far| self.known.contains_key(&of(far)));
        let work = if asked { 0 } else { parts.len() as u64 };
        if work > self.left {
            return Err(NoPrice::NotAsked);
        }
        self.left -= work;
        let each: Option<Vec<Price>> =
            stocks.into_iter().map(|(stock, places)| self.of_stock((stock, &places), parts, far)).collect();
        let price = each.and_then(|each| together(&each)).ok_or(NoPrice::NotToBeHad);
        // A search that was stopped before it had a plan says nothing about the yard.
        if price.is_err() && (self.cancel)() {
            return Err(NoPrice::NotAsked);
        }
        self.known.insert(of(far), price);
        price
    }

    /// What all parts of one stock cost, by their places; `None` if they are not to be had.
    fn of_stock(&mut self, of: (StockRef, &[usize]), parts: &[Part], far: Far) -> Option<Price> {
        match far {
            Far::Cost => self.searched(of, parts, Goals::Cost),
            Far::All => self.searched(of, parts, Goals::All),
            Far::Tight => {
                let first = self.searched(of, parts, Goals::Cost)?;
                if first.proven && first.tight == 0 { Some(first) } else { self.searched(of, parts, Goals::All) }
            }
        }
    }

    fn searched(&mut self, (stock, places): (StockRef, &[usize]), parts: &[Part], goals: Goals) -> Option<Price> {
        let own = multiset(places.iter().map(|&place| &parts[place]));
        for goals in [Goals::All, goals] {
            if let Some(price) = self.each.get(&(goals, own.clone())) {
                return *price;
            }
        }
        let price = price((stock, places), parts, self.plan, (goals, self.steps, self.cancel)).ok();
        if price.is_some() || !(self.cancel)() {
            self.each.insert((goals, own), price);
        }
        price
    }

    /// A price that nothing inside this closing falls below: that of the shortest lengths that its parts can have, each for
    /// itself. Lengths hang on the sizes in straight proportion, so the shortest is found from the corner where all sizes
    /// are least and from the corners where one of them is largest. Where parts are cut already there is none: which of them
    /// are no longer cut hangs on the sizes.
    pub fn floor(&mut self, closing: &Closing) -> Option<Cost> {
        if !self.plan.standing.objects.is_empty() {
            return None;
        }
        let low: Vec<i64> = closing.room.iter().map(|room| room.0).collect();
        let with = |sizes: Vec<i64>| Closing { sizes, ..closing.clone() };
        let mut shortest = self.parts(&with(low.clone())).ok()?;
        let base: Vec<Length> = shortest.iter().map(|part| part.solid.length).collect();
        for (size, room) in closing.room.iter().enumerate().filter(|(_, room)| room.0 < room.1) {
            let mut sizes = low.clone();
            sizes[size] = room.1;
            let moved = self.parts(&with(sizes)).ok()?;
            for ((part, base), moved) in shortest.iter_mut().zip(&base).zip(moved) {
                if moved.solid.length < *base {
                    part.solid.length -= *base - moved.solid.length;
                }
            }
        }
        if shortest.iter().any(|part| part.solid.length <= Length::ZERO) {
            return None;
        }
        self.cost_of(&shortest).ok()
    }
}

/// Which stock, in which shape, how many: all that a price hangs on.
type Multiset = Vec<(StockRef, [Length; 3], usize)>;

fn multiset<'a>(parts: impl IntoIterator<Item = &'a Part, IntoIter: Clone>) -> Multiset {
    let parts = parts.into_iter();
    let mut counts: BTreeMap<(StockRef, [Length; 3]), usize> = BTreeMap::new();
    for part in parts.clone() {
        let shape = [part.solid.length, part.solid.width, part.solid.thickness];
        *counts.entry((part.stock, shape)).or_default() += 1;
    }
    let mut multiset: Multiset = counts.into_iter().map(|((stock, shape), count)| (stock, shape, count)).collect();
    // Slanted ends take more of the board, and how much hangs on the sizes where walls lean.
    multiset.extend(slanted(parts).into_iter().map(|(stock, kerf)| (stock, [kerf, Length::ZERO, Length::ZERO], 0)));
    multiset
}

/// What a cut of one millimetre takes of each stock that has slanted ends.
fn slanted<'a>(parts: impl Iterator<Item = &'a Part>) -> BTreeMap<StockRef, Length> {
    let mut of: BTreeMap<StockRef, Vec<&Part>> = BTreeMap::new();
    for part in parts.filter(|part| part.solid.ends.iter().any(|planes| !planes.is_empty())) {
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

/// The places of the parts of each stock.
fn by_stock(parts: &[Part]) -> BTreeMap<StockRef, Vec<usize>> {
    let mut sorted: BTreeMap<StockRef, Vec<usize>> = BTreeMap::new();
    for (place, part) in parts.iter().enumerate() {
        sorted.entry(part.stock).or_default().push(place);
    }
    sorted
}

fn price(
    (stock, places): (StockRef, &[usize]),
    parts: &[Part],
    plan: &Plan,
    (goals, steps, cancel): (Goals, u64, &dyn Fn() -> bool),
) -> Result<Price, Problem> {
    let cutting = cut::cut_one((stock, places), parts, plan, goals, steps, cancel)?;
    let bought = match stock.kind {
        StockKind::Board | StockKind::Sheet => buy::buy(&[], &cutting, plan)?,
        _ => buy::buy(&places.iter().map(|&place| parts[place].clone()).collect::<Vec<Part>>(), &cutting, plan)?,
    };
    let complete = is_priced(stock, plan);
    Ok(Price { total: bought.total, complete, tight: cutting.tight(), proven: cutting.is_proven() })
}

/// The price of all stocks together; `None` if it is too large to be written.
fn together(each: &[Price]) -> Option<Price> {
    let nothing = Price { total: Money::hundredths(0), complete: true, tight: 0, proven: true };
    each.iter().try_fold(nothing, |sum, price| {
        let total = Money::hundredths(sum.total.value().checked_add(price.total.value())?);
        let (complete, proven) = (sum.complete && price.complete, sum.proven && price.proven);
        Some(Price { total, complete, tight: sum.tight.checked_add(price.tight)?, proven })
    })
}
