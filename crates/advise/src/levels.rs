//! Lower prices inside one closing: how far a size has to move for each.
//!
//! With the counts fixed a longer part never costs less, so the price is a step function of each size. For each size alone
//! the steps are found by bisection, and for each step the sizes nearest to the wishes that pay no more.

use crate::whatif::near::{Near, best};
use crate::windows::best_of;
use crate::{Effort, Price, Pricer};
use fit::{Closing, Problem, Ranking};
use measure::Money;
use pieces::Asked;

/// A lower price inside a closing.
#[derive(Clone, Debug)]
pub struct Level {
    /// The closing with the sizes nearest to the wishes at this price.
    pub closing: Closing,
    /// What it costs.
    pub cost: Money,
    /// The size that was held back for it, by its place in the question.
    pub size: usize,
}

/// The lower prices inside `closing`, which costs `cost`: for each size that can move, the nearest place of each lower
/// step, dearest first; at most `effort.priced` in all.
pub fn inside(
    asked: &Asked,
    closing: &Closing,
    cost: Money,
    pricer: &mut Pricer<'_>,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Vec<Level> {
    let held = hold(&asked.problem, closing);
    let mut search = Search { held: &held, closing, pricer, effort, cancel };
    let mut levels: Vec<Level> = Vec::new();
    for (size, _) in closing.room.iter().enumerate().filter(|(_, room)| room.0 < room.1) {
        for longer in [false, true] {
            let mut current = cost;
            while levels.len() < effort.priced && !cancel() {
                let Some(level) = search.next(size, longer, current) else { break };
                current = level.cost;
                levels.push(level);
            }
        }
    }
    levels.sort_by(|a, b| (b.cost, &a.closing.vector).cmp(&(a.cost, &b.closing.vector)));
    levels.dedup_by(|later, earlier| (later.cost, &later.closing.sizes) == (earlier.cost, &earlier.closing.sizes));
    levels
}

/// The place nearby that is easiest to cut for no more than `price`: one size a few steps off, fewest boards that are only possible if
/// measured, then least cost, then nearest to the wishes. `None` where none has fewer of them than `price` has.
pub fn roomier(
    asked: &Asked,
    closing: &Closing,
    price: Price,
    pricer: &mut Pricer<'_>,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Option<Level> {
    let near = Near::new(&asked.problem, closing, effort, cancel).laid_out(pricer);
    let others = near.iter().filter(|near| near.place != closing.sizes[near.size]);
    let does = |then: &Price| then.complete && then.total <= price.total && then.tight < price.tight;
    let (found, then) = best(others, pricer, does, |then| then.tight)?;
    Some(Level { closing: found.closing.clone(), cost: then.total, size: found.size })
}

/// The question with the closing's choices and counts held, its sizes free.
pub(crate) fn hold(problem: &Problem, closing: &Closing) -> Problem {
    let mut held = problem.clone();
    for (choice, &option) in held.choices.iter_mut().zip(&closing.choices) {
        choice.pinned = Some(option);
    }
    for (run, count) in held.runs.iter_mut().zip(&closing.counts) {
        if let Some(count) = count {
            run.count = (*count, *count);
        }
    }
    held
}

/// The search inside one closing.
struct Search<'s, 'p> {
    /// The question with the closing's choices and counts held.
    held: &'s Problem,
    closing: &'s Closing,
    pricer: &'s mut Pricer<'p>,
    effort: &'s Effort,
    cancel: &'s dyn Fn() -> bool,
}

impl Search<'_, '_> {
    /// The nearest place of a size, going one way from where it stands, at which the price falls below `current`.
    fn next(&mut self, size: usize, longer: bool, current: Money) -> Option<Level> {
        let (room, start) = (self.closing.room[size], self.closing.sizes[size]);
        let reach = if longer { room.1 - start } else { start - room.0 } / self.held.sizes[size].step;
        let mut found = self.cheaper_at(size, longer, reach, current)?;
        let (mut dear, mut cheap) = (0, reach);
        while cheap - dear > 1 {
            let middle = dear + (cheap - dear) / 2;
            match self.cheaper_at(size, longer, middle, current) {
                Some(level) => (found, cheap) = (level, middle),
                None => dear = middle,
            }
        }
        Some(found)
    }

    /// The sizes nearest to the wishes when this one is at least so many steps away, if they cost less than `current`.
    fn cheaper_at(&mut self, size: usize, longer: bool, steps: i64, current: Money) -> Option<Level> {
        let mut problem = self.held.clone();
        let away = steps * problem.sizes[size].step;
        let wish = &mut problem.sizes[size].wish;
        match longer {
            true => wish.from = wish.from.max(self.closing.sizes[size] + away),
            false => wish.to = wish.to.min(self.closing.sizes[size] - away),
        }
        let closing = best_of(&problem, Ranking::AsWished, self.effort, self.cancel)?;
        let cost = self.pricer.cost(&closing).ok()?.total;
        (cost < current).then_some(Level { closing, cost, size })
    }
}
