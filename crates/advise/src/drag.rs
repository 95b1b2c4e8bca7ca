//! The lane that answers while a finger moves: fit and detail, no prices.

use crate::{Effort, Unsettled, clash, fault};
use fit::{Closing, Outcome, Ranking};
use model::build::Build;
use model::plan::Plan;
use pieces::Asked;

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
