//! If the yard has none of a length, or only a few: the same parts from what there is, or a size a few millimetres off.

use super::near::{Near, Neighbour, best, is_narrower};
use crate::price::Pricer;
use crate::{Effort, Price, Settled};
use fit::Closing;
use measure::{Length, Money};
use model::part::Part;
use model::plan::Plan;
use model::stock::StockRef;
use stages::cut::{self, Section};
use std::collections::BTreeMap;

/// What to do where the yard has too few of one length of a kind of board.
#[derive(Clone, Debug)]
pub struct Fallback {
    /// The kind of board.
    pub stock: StockRef,
    /// The length, by its place among the kind's.
    pub length: usize,
    /// How many of it the plan buys.
    pub bought: u32,
    /// For so many left, ascending.
    pub left: Vec<Left>,
}

/// What to do with so many left.
#[derive(Clone, Debug)]
pub struct Left {
    /// How many there are.
    pub count: u32,
    /// The same parts from what there is; `None` if no way was found: it may be that the search ended before it found one.
    pub kept: Option<Recut>,
    /// A size a few millimetres off that does better, if one does.
    pub moved: Option<Moved>,
}

/// The parts of one kind of board, cut anew.
#[derive(Clone, Debug)]
pub struct Recut {
    /// The boards that are cut, each way of cutting once.
    pub boards: Vec<RecutBoard>,
    /// What they cost, if all prices are known.
    pub cost: Option<Money>,
    /// How many of them are only possible if measured.
    pub tight: u64,
}

/// One way of cutting a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecutBoard {
    /// Which length, by its place among the kind's.
    pub length: usize,
    /// The lengths of its parts, longest first, on a board with bad stretches clear stretch by clear stretch.
    pub parts: Vec<Length>,
    /// How many of them lie in each clear stretch; empty for a sound board.
    pub stretches: Vec<usize>,
    /// How many boards are cut so.
    pub times: u32,
}

/// A plan with one size off its place.
#[derive(Clone, Debug)]
pub struct Moved {
    /// The size, by its place in the question.
    pub size: usize,
    /// All choices, counts and sizes then.
    pub closing: Closing,
    /// What the whole plan costs then.
    pub price: Price,
}

/// How many counts are asked one by one.
const MOST_ASKED: u32 = 6;

pub(super) fn all(
    settled: &Settled,
    around: &[Neighbour],
    pricer: &Pricer<'_>,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Vec<Fallback> {
    let mut all = Vec::new();
    let standing = &settled.plan.standing;
    let done = settled.assigned.done();
    // What is at home does not run out in the yard.
    for section in settled.cutting.sections.iter().filter(|section| !standing.is_home(section.stock)) {
        let of_kind = |(place, part): &(usize, &Part)| part.stock == section.stock && !done.contains(place);
        let parts = settled.build.parts.iter().enumerate().filter(of_kind);
        let parts: Vec<Part> = parts.map(|(_, part)| part.clone()).collect();
        let sold = &settled.plan.yard.boards[section.stock.place].lengths;
        for (length, bought) in bought(section).into_iter().filter(|(length, _)| sold[*length].is_on_sale()) {
            let ask = Ask { settled, around, pricer, section, parts: &parts, length, effort, cancel };
            let left = counts(bought).into_iter().filter_map(|count| ask.with_left(count)).collect();
            all.push(Fallback { stock: section.stock, length, bought, left });
        }
    }
    all
}

/// How many boards of each length are bought, by the place of the length.
fn bought(section: &Section) -> BTreeMap<usize, u32> {
    let mut counts = BTreeMap::new();
    for cut in &section.cuts {
        // A plan has at most some ten thousand parts, and no board is cut into none.
        *counts.entry(cut.length).or_default() += cut.boards.len() as u32;
    }
    counts
}

fn counts(bought: u32) -> Vec<u32> {
    if bought <= MOST_ASKED {
        return (0..bought).collect();
    }
    let mut counts = vec![0, bought / 4, bought / 2, bought - 1];
    counts.dedup();
    counts
}

/// One length that the yard is short of.
struct Ask<'a> {
    settled: &'a Settled,
    /// What is near while the yard has enough.
    around: &'a [Neighbour],
    /// What knows the prices there.
    pricer: &'a Pricer<'a>,
    section: &'a Section,
    parts: &'a [Part],
    length: usize,
    effort: &'a Effort,
    cancel: &'a dyn Fn() -> bool,
}

impl Ask<'_> {
    /// `None` if the caller has asked to stop.
    fn with_left(&self, count: u32) -> Option<Left> {
        let mut plan = self.settled.plan.clone();
        plan.yard.boards[self.section.stock.place].lengths[self.length].stock = Some(count);
        let kept = self.recut(&plan);
        if (self.cancel)() {
            return None;
        }
        let here = (self.section.cost, tight(self.section));
        let good = kept.as_ref().is_some_and(|kept| kept.cost <= here.0 && kept.tight <= here.1);
        let moved = if count == 0 && !good { self.moved(&plan, kept.as_ref()) } else { None };
        Some(Left { count, kept, moved })
    }

    fn recut(&self, plan: &Plan) -> Option<Recut> {
        let cutting = cut::cut(self.parts, plan, self.effort.cutting, self.cancel).ok()?;
        let section = cutting.sections.first()?;
        let board = |cut: &cut::BoardCut| RecutBoard {
            length: cut.length,
            parts: cut.lengths.clone(),
            stretches: cut.stretches.iter().map(|stretch| stretch.parts.len()).collect(),
            times: cut.boards.len() as u32,
        };
        Some(Recut { boards: section.cuts.iter().map(board).collect(), cost: section.cost, tight: tight(section) })
    }

    /// The cheapest, then nearest plan with one size a few steps off that is no tighter than the plan and cheaper than what
    /// keeps the sizes, if that is no tighter either.
    fn moved(&self, plan: &Plan, kept: Option<&Recut>) -> Option<Moved> {
        let way = &self.settled.ways[self.settled.chosen];
        let price = way.price.ok().filter(|price| price.complete)?;
        let asked = pieces::ask(plan).ok()?;
        let tighter = kept.is_some_and(|kept| kept.tight > tight(self.section));
        let more = kept.and_then(|kept| Some(kept.cost? - self.section.cost?)).filter(|_| !tighter);
        let mut pricer = self.pricer.but_for(self.section.stock, plan, &asked, self.effort);
        // With a length less the pieces may ask for something else; else what is near is known.
        let other;
        let around = if self.pricer.asks(&asked.problem) {
            self.around
        } else {
            let known = if is_narrower(&asked.problem, &self.settled.asked.problem) { self.around } else { &[] };
            let near = Near::new(&asked.problem, &way.closing, self.effort, self.cancel);
            other = near.laid_out_like(&mut pricer, known);
            &other
        };
        let does = |then: &Price| {
            then.complete && then.tight <= price.tight && more.is_none_or(|more| then.total - price.total < more)
        };
        let others = around.iter().filter(|near| near.place != way.closing.sizes[near.size]);
        let (near, price) = best(others, &mut pricer, does, |_| 0)?;
        Some(Moved { size: near.size, closing: near.closing.clone(), price })
    }
}

fn tight(section: &Section) -> u64 {
    section.cuts.iter().filter(|cut| !cut.comfortable).map(|cut| cut.boards.len() as u64).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_counts_are_asked_one_by_one_and_many_by_some() {
        assert_eq!(counts(3), [0, 1, 2]);
        assert_eq!(counts(20), [0, 5, 10, 19]);
        assert!(counts(0).is_empty());
    }
}
