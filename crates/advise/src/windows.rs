//! The rod: for each size the places where it comes out, with what the plan costs there.

use crate::{Effort, Price, Pricer};
use fit::{Closing, Ranking, Wish};
use pieces::Asked;

/// One size and its places.
#[derive(Clone, Debug)]
pub struct SizeWindows {
    /// The size, by its place in the question.
    pub size: usize,
    /// Its places in ascending order.
    pub notches: Vec<Notch>,
}

/// One stretch of a size in which everything that hangs on it alone comes out.
#[derive(Clone, Debug)]
pub struct Notch {
    /// From here.
    pub from: i64,
    /// To here.
    pub to: i64,
    /// The place in it that is nearest to the wish.
    pub best: i64,
    /// What the whole plan costs with the size at `best` and all others as near to their wishes as they then come; `None` if
    /// nothing comes out there because of sizes that hang together, or the notch is too far from the wish to be priced.
    pub price: Option<Price>,
}

/// The windows of every size under the choices of a closing, the nearest `effort.priced` of each with their price.
///
/// # Errors
/// What the engine refuses: more windows than a ruler can show.
pub fn of_all(
    asked: &Asked,
    closing: &Closing,
    pricer: &mut Pricer<'_>,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<Vec<SizeWindows>, fit::Fault> {
    let mut all = Vec::new();
    for (size, asked_size) in asked.problem.sizes.iter().enumerate() {
        let wish = asked_size.wish;
        let windows = fit::windows(&asked.problem, size, &closing.choices, (wish.from, wish.to))?;
        let mut nearest: Vec<usize> = (0..windows.len()).collect();
        nearest.sort_by_key(|&at| ((windows[at].best - wish.want).abs(), at));
        nearest.truncate(effort.priced);
        let mut notches = Vec::new();
        for (at, window) in windows.iter().enumerate() {
            let near = nearest.contains(&at) && !cancel();
            let closing = if near { with_size(asked, size, window.best, effort, cancel) } else { None };
            let price = closing.and_then(|closing| pricer.price(&closing).ok()).filter(|price| price.complete);
            notches.push(Notch { from: window.from, to: window.to, best: window.best, price });
        }
        all.push(SizeWindows { size, notches });
    }
    Ok(all)
}

/// The best closing with one size held at a place.
fn with_size(asked: &Asked, size: usize, at: i64, effort: &Effort, cancel: &dyn Fn() -> bool) -> Option<Closing> {
    let mut problem = asked.problem.clone();
    let wish = problem.sizes[size].wish;
    problem.sizes[size].wish = Wish { from: at, to: at, ..wish };
    best_of(&problem, Ranking::AsWished, effort, cancel)
}

/// The best closing of a question by a ranking, if there is one.
pub(crate) fn best_of(
    problem: &fit::Problem,
    ranking: Ranking,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Option<Closing> {
    fit::nearest(problem, ranking, &effort.fit, cancel).ok().flatten()
}
