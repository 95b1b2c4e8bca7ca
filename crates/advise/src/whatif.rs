//! What a few millimetres do, and what if the yard has none: each what-if is one difference to a settled plan.
//!
//! Asked after a plan is settled, off the drag lane. `docs/buying.md` says what each of them means, exactly.

mod fallback;
mod first;
mod give;
pub(crate) mod near;
mod spacer;
mod traps;

pub use fallback::{Fallback, Left, Moved, Recut, RecutBoard};
pub use first::{MeasureFirst, Ten, TrueLength};
pub use give::{Give, Stretch};
pub use spacer::{Spacer, SpacerRow};
pub use traps::Trap;

use crate::{Effort, Pricer, Settled};
use near::{Near, Neighbour};

/// How many steps of the tape either way of where a size stands are looked at.
pub const STEPS_NEAR: i64 = 15;

/// Everything that is asked of a settled plan.
#[derive(Clone, Debug, Default)]
pub struct WhatIfs {
    /// What a few millimetres of one size do to the price.
    pub gives: Vec<Give>,
    /// What to do where the yard has too few of a length.
    pub fallbacks: Vec<Fallback>,
    /// Lengths that come out of the stock on paper and not at the saw.
    pub traps: Vec<Trap>,
    /// For each piece one spacer for all its rows.
    pub spacers: Vec<Spacer>,
    /// What to measure before paying.
    pub first: MeasureFirst,
}

/// Asks everything of a settled plan. Each search ends with `effort`, or soon after `cancel` says so; what was not asked by
/// then is left out.
pub fn what_ifs(settled: &Settled, effort: &Effort, cancel: &dyn Fn() -> bool) -> WhatIfs {
    let effort = effort.for_what_ifs();
    let mut pricer = Pricer::new(&settled.plan, &settled.asked, &effort, cancel);
    let around = around(settled, &mut pricer, &effort, cancel);
    pricer.work_again(&effort);
    WhatIfs {
        gives: give::all(settled, &around, &mut pricer),
        fallbacks: fallback::all(settled, &around, &pricer, &effort, cancel),
        traps: traps::all(settled),
        spacers: spacer::all(settled),
        first: first::all(settled),
    }
}

/// What is near the chosen way; nothing where its price is not known, so that there is nothing to compare with.
fn around(settled: &Settled, pricer: &mut Pricer<'_>, effort: &Effort, cancel: &dyn Fn() -> bool) -> Vec<Neighbour> {
    let way = &settled.ways[settled.chosen];
    if !way.price.is_ok_and(|price| price.complete) {
        return Vec::new();
    }
    Near::new(&settled.asked.problem, &way.closing, effort, cancel).laid_out(pricer)
}
