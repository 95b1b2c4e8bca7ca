//! The lane that answers while a finger moves.

use crate::{Effort, Refused, World, read_plan, unsettled};
use book::Paper;
use measure::Length;
use std::collections::BTreeMap;

/// A plan with some of its sizes drawn elsewhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dragged {
    /// Each size by its name: where it comes out, and how the tape reads that.
    pub sizes: Vec<(String, Length, String)>,
    /// The drawing from the front, as SVG.
    pub front: String,
    /// The drawing from above, as SVG.
    pub above: String,
    /// Sizes and gaps in one line.
    pub line: String,
}

/// Reads a plan, wishes these sizes before anything else, each within its range, and lays out the nearest closing: no prices, no
/// proof, two drawings for this paper. A size that the plan does not ask is passed over.
///
/// # Errors
/// [`Refused`] says why nothing comes out.
pub fn drag(
    name: &str,
    world: &dyn World,
    wants: &BTreeMap<String, Length>,
    paper: Paper,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<Dragged, Refused> {
    let (plan, sources) = read_plan(name, world)?;
    let lengths = wants.iter().map(|(name, length)| (name.clone(), length.nanometres())).collect();
    let drawn = advise::draw(&plan, &lengths, effort, cancel).map_err(|why| unsettled(why, sources))?;
    let piece = wants.keys().next().and_then(|name| name.split('.').next());
    let [front, above] = book::drawn_views(&drawn, piece, paper);
    let size = |(size, &at): (&fit::Size, &i64)| {
        (size.name.clone(), Length::nm(at), drawn.asked.tape.show_exact(Length::nm(at)))
    };
    let sizes = drawn.asked.problem.sizes.iter().zip(&drawn.closing.sizes).map(size).collect();
    Ok(Dragged { sizes, front, above, line: book::words::drawn_line(&drawn) })
}
