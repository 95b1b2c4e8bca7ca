//! Lower prices inside one closing: how far a size has to move for each.
//!
//! With the counts fixed a longer part never costs less, so the price is a step function of each size. For each size alone
//! the steps are found by bisection, and for each step the sizes nearest to the wishes that pay no more.

use crate::windows::best_of;
use crate::{Effort, Price, Pricer};
use fit::{Closing, Problem, Ranking};
use pieces::Asked;

/// A lower price inside a closing.
#[derive(Clone, Debug)]
pub struct Level {
    /// The closing with the sizes nearest to the wishes at this price.
    pub closing: Closing,
    /// What it costs.
    pub price: Price,
    /// The size that was held back for it, by its place in the question.
    pub size: usize,
}

/// The lower prices inside `closing`, which costs `price`: for each size that can move, the nearest place of each lower
/// step, dearest first; at most `effort.priced` in all.
pub fn inside(
    asked: &Asked,
    closing: &Closing,
    price: Price,
    pricer: &mut Pricer<'_>,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Vec<Level> {
    let held = hold(&asked.problem, closing);
    let mut levels: Vec<Level> = Vec::new();
    for (size, room) in closing.room.iter().enumerate().filter(|(_, room)| room.0 < room.1) {
        for longer in [false, true] {
            let mut current = price;
            while levels.len() < effort.priced && !cancel() {
                let Some(level) = next(&held, closing, size, *room, longer, current, pricer, effort, cancel) else {
                    break;
                };
                current = level.price;
                levels.push(level);
            }
        }
    }
    levels.sort_by(|a, b| (b.price.total, &a.closing.vector).cmp(&(a.price.total, &b.closing.vector)));
    levels.dedup_by(|later, earlier| {
        later.price.total == earlier.price.total && later.closing.sizes == earlier.closing.sizes
    });
    levels
}

/// The question with the closing's choices and counts held, its sizes free.
fn hold(problem: &Problem, closing: &Closing) -> Problem {
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

/// The nearest place of a size, going one way from where it stands, at which the price falls below `current`.
#[allow(clippy::too_many_arguments)]
fn next(
    held: &Problem,
    closing: &Closing,
    size: usize,
    room: (i64, i64),
    longer: bool,
    current: Price,
    pricer: &mut Pricer<'_>,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Option<Level> {
    let step = held.sizes[size].step;
    let start = closing.sizes[size];
    let reach = if longer { (room.1 - start) / step } else { (start - room.0) / step };
    // The sizes nearest to the wishes when this one is at least so many steps away, and their price if it is a lower one.
    let mut cheaper_at = |steps: i64| -> Option<Level> {
        let mut problem = held.clone();
        let wish = &mut problem.sizes[size].wish;
        let bound = if longer { start + steps * step } else { start - steps * step };
        if longer {
            wish.from = wish.from.max(bound)
        } else {
            wish.to = wish.to.min(bound)
        }
        let closing = best_of(&problem, Ranking::AsWished, effort, cancel)?;
        let price = pricer.price(&closing).ok()?;
        (price.total < current.total).then_some(Level { closing, price, size })
    };
    let mut found = cheaper_at(reach)?;
    let (mut dear, mut cheap) = (0, reach);
    while cheap - dear > 1 {
        let middle = dear + (cheap - dear) / 2;
        match cheaper_at(middle) {
            Some(level) => (found, cheap) = (level, middle),
            None => dear = middle,
        }
    }
    Some(found)
}
