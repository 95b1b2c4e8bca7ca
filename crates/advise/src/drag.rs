//! The lane that answers while a finger moves: fit and detail, no prices.

use crate::{Effort, Unsettled, clash, fault};
use fit::{Closing, Outcome, Ranking};
use model::build::Build;
use model::plan::Plan;
use pieces::Asked;
use std::collections::BTreeMap;

/// A plan that comes out, laid out but not priced.
pub struct Dragged {
    /// What the pieces asked.
    pub asked: Asked,
    /// What came out, best first.
    pub answer: fit::Answer,
    /// The best of it in parts.
    pub build: Build,
}

/// Fits and details a plan.
///
/// # Errors
/// [`Unsettled`] says why nothing comes out.
pub fn drag(plan: &Plan, effort: &Effort, cancel: &dyn Fn() -> bool) -> Result<Dragged, Unsettled> {
    let asked = pieces::ask(plan).map_err(Unsettled::Problems)?;
    let answer = fitted(plan, &asked, effort, cancel)?;
    let best = best(&answer)?;
    let build = pieces::detail(&asked, best).map_err(|problem| Unsettled::Problems(vec![problem]))?;
    Ok(Dragged { asked, answer, build })
}

/// A plan with some of its sizes drawn elsewhere: the nearest closing alone, laid out.
pub struct Drawn {
    /// What the pieces asked, with the wishes of the sizes that were drawn.
    pub asked: Asked,
    /// The closing that is nearest to them.
    pub closing: Closing,
    /// Its parts.
    pub build: Build,
}

/// Fits and details a plan with these sizes wished before anything else, each within its range; a size that the plan does not
/// ask is passed over. Nothing is counted, proven or priced.
///
/// # Errors
/// [`Unsettled`] says why nothing comes out.
pub fn draw(
    plan: &Plan,
    wants: &BTreeMap<String, i64>,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<Drawn, Unsettled> {
    let mut asked = pieces::ask(plan).map_err(Unsettled::Problems)?;
    for size in &mut asked.problem.sizes {
        if let Some(&want) = wants.get(&size.name) {
            size.wish.want = want.clamp(size.wish.from, size.wish.to);
            size.wish.rank = 0;
        }
    }
    let nearest = fit::nearest(&asked.problem, Ranking::AsWished, &effort.fit, cancel);
    let closing = match nearest.map_err(|nonsense| fault(&nonsense))? {
        Some(closing) => closing,
        None => best(&fitted(plan, &asked, effort, cancel)?)?.clone(),
    };
    let build = pieces::detail(&asked, &closing).map_err(|problem| Unsettled::Problems(vec![problem]))?;
    Ok(Drawn { asked, closing, build })
}

fn best(answer: &fit::Answer) -> Result<&Closing, Unsettled> {
    answer.closings.first().ok_or(Unsettled::Unfinished { steps: answer.steps })
}

/// The closings of a plan nearest to its wishes.
pub(crate) fn fitted(
    plan: &Plan,
    asked: &Asked,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<fit::Answer, Unsettled> {
    match fit::solve(&asked.problem, Ranking::AsWished, &effort.fit, cancel).map_err(|nonsense| fault(&nonsense))? {
        Outcome::Fits(answer) => Ok(answer),
        Outcome::Collides(collision) => Err(Unsettled::Clash(clash::all(plan, asked, collision, effort, cancel))),
        Outcome::Unfinished { steps } => Err(Unsettled::Unfinished { steps }),
    }
}
