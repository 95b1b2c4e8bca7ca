//! What a closing costs.

use fit::Closing;
use measure::{Length, Money};
use model::build::Build;
use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::stock::StockRef;
use pieces::Asked;
use stages::{buy, cut};
use std::collections::BTreeMap;

/// What all that is bought for a closing costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Price {
    /// All that has a price.
    pub total: Money,
    /// Lines without a price; a total is only compared with another that misses as many.
    pub unpriced: usize,
    /// Boards whose pattern is only possible if measured.
    pub tight: u64,
    /// Whether every cutting plan behind it is proven.
    pub proven: bool,
}

/// Prices closings of one plan and remembers each multiset of lengths it has cut.
pub struct Pricer<'p> {
    plan: &'p Plan,
    asked: &'p Asked,
    steps: u64,
    known: BTreeMap<Vec<(StockRef, [Length; 3], usize)>, Option<Price>>,
}

impl<'p> Pricer<'p> {
    /// Prices closings of this plan, with so many steps for each cutting plan.
    pub fn new(plan: &'p Plan, asked: &'p Asked, steps: u64) -> Pricer<'p> {
        Pricer { plan, asked, steps, known: BTreeMap::new() }
    }

    /// The price of a closing; `None` if one of its parts does not come out of the yard.
    pub fn price(&mut self, closing: &Closing) -> Option<Price> {
        let build = pieces::detail(self.asked, closing);
        self.price_of(&build.parts)
    }

    /// The price of a list of parts; `None` if one of them does not come out of the yard.
    pub fn price_of(&mut self, parts: &[Part]) -> Option<Price> {
        let key = multiset(parts);
        if let Some(price) = self.known.get(&key) {
            return *price;
        }
        let price = price(parts, self.plan, self.steps).ok();
        self.known.insert(key, price);
        price
    }

    /// A price that nothing inside this closing falls below: that of the shortest lengths that its parts can have, each for
    /// itself. Lengths hang on the sizes in straight proportion, so the shortest is found from the corner where all sizes
    /// are least and from the corners where one of them is largest.
    pub fn floor(&mut self, closing: &Closing) -> Option<Price> {
        let low: Vec<i64> = closing.room.iter().map(|room| room.0).collect();
        let build_at = |sizes: Vec<i64>| pieces::detail(self.asked, &Closing { sizes, ..closing.clone() });
        let mut shortest: Build = build_at(low.clone());
        let base: Vec<Length> = shortest.parts.iter().map(|part| part.solid.length).collect();
        for (size, room) in closing.room.iter().enumerate().filter(|(_, room)| room.0 < room.1) {
            let mut sizes = low.clone();
            sizes[size] = room.1;
            for ((part, base), moved) in shortest.parts.iter_mut().zip(&base).zip(build_at(sizes).parts) {
                if moved.solid.length < *base {
                    part.solid.length -= *base - moved.solid.length;
                }
            }
        }
        if shortest.parts.iter().any(|part| part.solid.length <= Length::ZERO) {
            return None;
        }
        self.price_of(&shortest.parts)
    }
}

/// Which stock, in which shape, how many: all that a price hangs on.
fn multiset(parts: &[Part]) -> Vec<(StockRef, [Length; 3], usize)> {
    let mut counts: BTreeMap<(StockRef, [Length; 3]), usize> = BTreeMap::new();
    for part in parts {
        let shape = [part.solid.length, part.solid.width, part.solid.thickness];
        *counts.entry((part.stock, shape)).or_default() += 1;
    }
    counts.into_iter().map(|((stock, shape), count)| (stock, shape, count)).collect()
}

fn price(parts: &[Part], plan: &Plan, steps: u64) -> Result<Price, Vec<Problem>> {
    let cutting = cut::cut(parts, plan, steps)?;
    let bought = buy::buy(parts, &cutting, plan);
    Ok(Price { total: bought.total, unpriced: bought.unpriced, tight: cutting.tight(), proven: cutting.is_proven() })
}
