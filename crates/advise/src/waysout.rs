//! Ways out of a mishap, generated from cuts, stock, pins and rates, and ranked by what they cost: `docs/daybook.md`.

mod butts;
mod reading;
mod wrong;

use crate::{Effort, Settled};
use measure::{Length, Money};
use model::part::Part;
use model::plan::Plan;
use model::standing::Out;
pub use model::stock::Rates;
use std::collections::{BTreeMap, BTreeSet};

pub use reading::{Read, after_only, after_reading};
pub use wrong::after_wrong;

/// One way out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayOut {
    /// Which kind.
    pub out: Out,
    /// What one does, in words.
    pub does: String,
    /// What is paid for it; `None` if a price is not known.
    pub money: Option<Money>,
    /// How long it takes.
    pub minutes: u32,
    /// The slots of the objects that it changes.
    pub parts: Vec<String>,
    /// How long these are then, if they are cut again.
    pub length: Option<Length>,
    /// The sizes that it moves.
    pub holds: BTreeMap<String, Length>,
}

impl WayOut {
    fn new(out: Out, does: String, money: Option<Money>, minutes: u32) -> WayOut {
        WayOut { out, does, money, minutes, parts: Vec::new(), length: None, holds: BTreeMap::new() }
    }

    /// Money and time together, if both have a price.
    pub fn worth(&self, rates: &Rates) -> Option<Money> {
        let time = match (self.minutes, rates.minute) {
            (0, _) => 0,
            (minutes, minute) => minute?.value().checked_mul(minutes.into())?,
        };
        self.money?.value().checked_add(time).map(Money::hundredths)
    }
}

/// Puts ways in order: by money and time together, those that cannot be compared behind the others by time; of equals by their
/// kinds.
fn ranked(mut ways: Vec<WayOut>, rates: &Rates) -> Vec<WayOut> {
    ways.sort_by_key(|way| {
        let worth = way.worth(rates);
        (worth.is_none(), worth, way.money.is_none(), way.minutes, way.out)
    });
    ways
}

/// The mishap of one entry: the plan before it, and what the day book says with it.
pub struct Mishap<'m> {
    /// The plan as if the entry were undone.
    pub before: &'m Settled,
    /// The plan as the day book has it, not fitted.
    pub plan: &'m Plan,
    /// The entry's number.
    pub entry: u32,
    /// The rates of the shed.
    pub rates: Rates,
    /// How much work may be done.
    pub effort: Effort,
}

impl Mishap<'_> {
    fn parts(&self) -> &[Part] {
        &self.before.build.parts
    }

    /// Whether all parts of a board that are not cut come out of a plan's stock.
    fn comes_out(
        &self,
        board: model::stock::StockRef,
        done: &BTreeSet<usize>,
        plan: &Plan,
        cancel: &dyn Fn() -> bool,
    ) -> bool {
        let others = |(place, part): (usize, &Part)| (part.stock != board).then_some(place);
        let mut done = done.clone();
        done.extend(self.parts().iter().enumerate().filter_map(others));
        stages::cut::cut_rest(self.parts(), &done, plan, self.effort.cutting, cancel).is_ok()
    }
}
