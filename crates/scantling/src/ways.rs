//! The ways out of an entry of the day book.

use crate::{Effort, Missing, Refused, World, daybook_name, read_plan};
use advise::waysout::{Mishap, Rates, Read, WayOut, after_only, after_reading, after_wrong};
use advise::{Settled, Unsettled};
use daybook::{Book, Shelf, What};

/// A world in which the day book says something else.
struct With<'w> {
    world: &'w dyn World,
    name: String,
    book: Vec<u8>,
}

impl World for With<'_> {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        self.world.file(name)
    }

    fn file_if_there(&self, name: &str) -> Result<Option<Vec<u8>>, Missing> {
        if name == self.name { Ok(Some(self.book.clone())) } else { self.world.file_if_there(name) }
    }
}

/// The ways out of an entry, the cheapest first: what would have been without it against what is. None of an entry that is no
/// mishap, or that counts no longer.
///
/// # Errors
/// If the plan does not come out without the entry, or, for a reading, with it.
pub fn ways_out(
    name: &str,
    world: &dyn World,
    entry: u32,
    rates: &Rates,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<Vec<WayOut>, Refused> {
    let (plan, sources) = read_plan(name, world)?;
    let refuse = |unsettled: Unsettled| crate::unsettled(unsettled, sources.clone());
    let book = world.file_if_there(&daybook_name(name)).ok().flatten().unwrap_or_default();
    let read = Book::read(&book).unwrap_or_default();
    let Some(noted) = read.counting().find(|noted| noted.number == entry) else { return Ok(Vec::new()) };
    let Ok((_, undo)) = read.next(&noted.plan, What::Undo { entry }, plan.tape.unit()) else { return Ok(Vec::new()) };
    let without = With { world, name: daybook_name(name), book: [book.clone(), undo.into_bytes()].concat() };
    let before: Settled = advise::settle(read_plan(name, &without)?.0, effort, cancel).map_err(refuse)?;
    let mishap = Mishap { before: &before, plan: &plan, entry, rates: *rates, effort: *effort };
    match &noted.what {
        What::Wrong { .. } => Ok(after_wrong(&mishap, cancel)),
        What::Only { .. } => Ok(after_only(&mishap, cancel)),
        What::Kerf { .. } => after_reading(&mishap, Read::Kerf, cancel).map_err(refuse),
        What::Width { board, .. } | What::Thickness { shelf: Shelf::Board, name: board, .. } => {
            after_reading(&mishap, Read::Section(board), cancel).map_err(refuse)
        }
        What::Thickness { .. } | What::TrueLength { .. } | What::Units { .. } => {
            after_reading(&mishap, Read::Other, cancel).map_err(refuse)
        }
        What::Bought { .. } | What::Cut { .. } | What::Took { .. } | What::Undo { .. } => Ok(Vec::new()),
    }
}
