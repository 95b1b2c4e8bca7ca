//! One size held a few steps off its place, everything else following as near to the wishes as it comes.

use super::STEPS_NEAR;
use crate::levels::hold;
use crate::windows::best_of;
use crate::{Cost, Effort, NoPrice, Price, Pricer};
use fit::{Closing, Problem, Ranking, Relation, Wish};
use model::part::Part;

/// The neighbourhood of a closing: its choices and counts are held.
pub(crate) struct Near<'a> {
    held: Problem,
    closing: &'a Closing,
    effort: &'a Effort,
    cancel: &'a dyn Fn() -> bool,
}

impl<'a> Near<'a> {
    /// Of this closing, which answers this question.
    pub fn new(problem: &Problem, closing: &'a Closing, effort: &'a Effort, cancel: &'a dyn Fn() -> bool) -> Near<'a> {
        Near { held: hold(problem, closing), closing, effort, cancel }
    }

    /// The sizes that may move at all, by their place in the question.
    pub fn sizes(&self) -> impl Iterator<Item = usize> {
        let sizes = &self.held.sizes;
        (0..sizes.len()).filter(|&size| sizes[size].wish.from < sizes[size].wish.to)
    }

    /// The places of a size that are looked at, ascending, its own among them.
    pub fn places(&self, size: usize) -> impl Iterator<Item = i64> {
        let (stands, asked) = (self.closing.sizes[size], &self.held.sizes[size]);
        let (least, most, step) = (asked.wish.from, asked.wish.to, asked.step);
        (-STEPS_NEAR..=STEPS_NEAR)
            .map(move |steps| stands + steps * step)
            .filter(move |place| (least..=most).contains(place))
    }

    /// The closing with a size held at a place; where it stands, the closing itself.
    pub fn at(&self, size: usize, place: i64) -> Option<Closing> {
        if place == self.closing.sizes[size] {
            return Some(self.closing.clone());
        }
        let mut problem = self.held.clone();
        let wish = problem.sizes[size].wish;
        problem.sizes[size].wish = Wish { from: place, to: place, ..wish };
        best_of(&problem, Ranking::AsWished, self.effort, self.cancel)
    }

    /// All closings nearby that come out, laid out: size by size, its places ascending, as far as the pricer's work goes.
    pub fn laid_out(&self, pricer: &mut Pricer<'_>) -> Vec<Neighbour> {
        self.laid_out_like(pricer, &[])
    }

    /// The same, where closings are known that answer the same question or one that allows more: where such a one is allowed here, none
    /// is nearer.
    pub fn laid_out_like(&self, pricer: &mut Pricer<'_>, known: &[Neighbour]) -> Vec<Neighbour> {
        let mut laid_out = Vec::new();
        for (size, place) in self.sizes().flat_map(|size| self.places(size).map(move |place| (size, place))) {
            let here = known.iter().find(|near| (near.size, near.place) == (size, place));
            let here = here.filter(|near| self.allows(&near.closing)).map(|near| near.closing.clone());
            let Some(closing) = here.or_else(|| self.at(size, place)) else { continue };
            match pricer.uncut(&closing) {
                Ok(parts) => laid_out.push(Neighbour { size, place, closing, parts }),
                // No work is left for any other either.
                Err(NoPrice::NotAsked) => break,
                Err(NoPrice::NotToBeHad) => {}
            }
        }
        laid_out
    }
}

impl Near<'_> {
    /// Whether a closing keeps all hard limits.
    fn allows(&self, closing: &Closing) -> bool {
        let chosen = |&(choice, option): &(usize, usize)| closing.choices.get(choice) == Some(&option);
        self.held.relations.iter().filter(|limit| limit.when.iter().all(chosen)).all(|limit| {
            let value = limit.value.at(&closing.sizes);
            value.is_some_and(|value| (limit.from.into()..=limit.to.into()).contains(&value))
        })
    }
}

/// Whether a question is another one, or that one with narrower hard limits.
pub(crate) fn is_narrower(problem: &Problem, other: &Problem) -> bool {
    let within = |(own, wide): (&Relation, &Relation)| {
        (&own.value, &own.when) == (&wide.value, &wide.when) && own.from >= wide.from && own.to <= wide.to
    };
    (&problem.choices, &problem.sizes, &problem.gaps, &problem.runs)
        == (&other.choices, &other.sizes, &other.gaps, &other.runs)
        && problem.relations.len() == other.relations.len()
        && problem.relations.iter().zip(&other.relations).all(within)
}

/// A closing nearby.
pub(crate) struct Neighbour {
    /// The size that is held, by its place in the question.
    pub size: usize,
    /// Where it is held.
    pub place: i64,
    /// All choices, counts and sizes.
    pub closing: Closing,
    /// Its parts that are not cut yet.
    pub parts: Vec<Part>,
}

/// Of some neighbours that which does, ranks lowest by `rank`, then costs least, then is nearest to the wishes. No rank is below 0,
/// and what does with tight boards would do without any.
///
/// All are asked for their cost, in the order of which only those are priced that may still be the best: to count the tight boards is
/// by far the most work.
pub(crate) fn best<'n>(
    near: impl Iterator<Item = &'n Neighbour>,
    pricer: &mut Pricer<'_>,
    does: impl Fn(&Price) -> bool,
    rank: impl Fn(&Price) -> u64,
) -> Option<(&'n Neighbour, Price)> {
    let costs = near.filter_map(|near| Some((near, pricer.cost_of(&near.parts).ok()?)));
    let mut costs: Vec<(&Neighbour, Cost)> = costs.collect();
    costs.sort_by(|(one, cost), (other, than)| {
        (cost.total, &one.closing.vector).cmp(&(than.total, &other.closing.vector))
    });
    let mut best: Option<(&Neighbour, Price)> = None;
    for (near, cost) in costs {
        let at_best = Price { total: cost.total, complete: cost.complete, tight: 0, proven: cost.proven };
        let better = |then: &Price| {
            let of = |near: &'n Neighbour, price: &Price| (rank(price), price.total, &near.closing.vector);
            does(then) && best.as_ref().is_none_or(|(known, price)| of(near, then) < of(known, price))
        };
        if cost.is_least() && !better(&at_best) {
            continue;
        }
        if let Ok(then) = pricer.price_near(&near.parts)
            && better(&then)
        {
            best = Some((near, then));
        }
    }
    best
}
