//! One entry for the day book: from the maker's words to the line that is appended, and what it changes.

use crate::{Change, Done, Effort, Refused, WayOut, World, daybook_name, read_files, read_plan, run, ways_out};
use advise::Settled;
use daybook::{Along, Book, Holds, Shelf, What};
use measure::{Length, Tape};
use model::standing::is_near;

/// An entry in the maker's words; lengths as they are written, a bare number in the units of the plan.
#[derive(Clone, Debug)]
pub enum Note {
    /// The yard has so many of a length.
    Only {
        /// Which board.
        board: String,
        /// How long.
        length: String,
        /// How many.
        left: u32,
    },
    /// So many of a length came home.
    Bought {
        /// Which board.
        board: String,
        /// How long.
        length: String,
        /// How many.
        count: u32,
    },
    /// Boards side by side.
    Width {
        /// Which board.
        board: String,
        /// How many.
        over: u32,
        /// What they read.
        reads: String,
    },
    /// How thick a board or a sheet is.
    Thickness {
        /// Whether it is a sheet.
        sheet: bool,
        /// Which.
        name: String,
        /// What it reads.
        reads: String,
    },
    /// Boards at home that are not as long as their label.
    TrueLength {
        /// Which board.
        board: String,
        /// By the label.
        length: String,
        /// What they read.
        reads: Vec<String>,
    },
    /// How wide a test slot is.
    Kerf {
        /// What it reads.
        reads: String,
    },
    /// Units laid dry.
    Units {
        /// Which unit.
        unit: String,
        /// How many.
        over: u32,
        /// The joint between each two.
        joint: String,
        /// Whether their widths lie along the row, and not their lengths.
        widths: bool,
        /// What they read.
        reads: String,
    },
    /// Parts that were cut.
    Cut {
        /// By their ids or slots.
        parts: Vec<String>,
        /// The boards at home that they came off; none to go by the cutting plan.
        from: Vec<u32>,
        /// How long; as they should be if it is left out.
        length: Option<String>,
    },
    /// A part that came out at another length.
    Wrong {
        /// By its id or slot.
        part: String,
        /// The board at home that it came off, if not that of the cutting plan.
        from: Option<u32>,
        /// How long it is.
        length: String,
    },
    /// A way out that is taken.
    Took {
        /// The entry that it is a way out of.
        entry: u32,
        /// Its place in the list of ways out, from 1.
        way: usize,
    },
    /// An entry that counts no longer.
    Undo {
        /// Its number.
        entry: u32,
    },
}

/// Why nothing is written.
pub enum Unnoted {
    /// The plan, the yard, the shed or the day book cannot be gone by.
    Refused(Refused),
    /// The entry itself cannot be; a message for the maker.
    Said(String),
}

/// An entry that can be written.
pub struct Noted {
    /// The text that is appended to the day book, in one piece.
    pub append: String,
    /// Its number.
    pub number: u32,
    word: &'static str,
    /// The plan before it, if it came out.
    before: Option<Done>,
}

/// What is noted of a plan next. `world` has the day book as it is: keep it locked until the text is appended.
///
/// # Errors
/// [`Unnoted`] says why nothing is written.
pub fn note(
    name: &str,
    world: &dyn World,
    note: &Note,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<Noted, Unnoted> {
    let (plan, sources) = read_files(name, world).map_err(Unnoted::Refused)?;
    let bytes = world.file_if_there(&daybook_name(name)).map_err(|missing| Unnoted::Said(missing.reason))?;
    let bytes = bytes.unwrap_or_default();
    let book = Book::read(&bytes).map_err(|bad| Unnoted::Said(bad.to_string()))?;
    let before = run(name, world, effort, cancel);
    let what = match *note {
        Note::Took { entry, way } => {
            let ways = ways_of(name, world, entry, effort, cancel).map_err(Unnoted::Refused)?;
            took(entry, way, ways).map_err(Unnoted::Said)?
        }
        _ => what(note, plan.tape, &before).map_err(Unnoted::Said)?,
    };
    let word = what.word();
    let digest = sources.plan.as_ref().map_or_else(String::new, |source| daybook::digest(&source.text));
    let (entry, append) = book.next(&digest, what, plan.tape.unit()).map_err(Unnoted::Said)?;
    let with = Book::read(&[&bytes, append.as_bytes()].concat()).map_err(|bad| Unnoted::Said(bad.to_string()))?;
    let mut stands = plan;
    // An undo is how a book that cannot be gone by is mended, and there may be more than one to undo.
    if !matches!(note, Note::Undo { .. }) {
        let refuse = |problems| Unnoted::Refused(Refused::Problems { problems, sources: Box::new(sources) });
        daybook::stand(&with, &digest, &mut stands).map_err(refuse)?;
    }
    Ok(Noted { append, number: entry.number, word, before: before.ok() })
}

fn what(note: &Note, tape: Tape, before: &Result<Done, Refused>) -> Result<What, String> {
    let long = |text: &String| measure::parse(text, tape.unit()).map_err(|wrong| format!("`{text}`: {wrong}"));
    Ok(match note.clone() {
        Note::Only { board, length, left } => What::Only { board, length: long(&length)?, left },
        Note::Bought { board, length, count } => What::Bought { board, length: long(&length)?, count },
        Note::Width { board, over, reads } => What::Width { board, over, reads: long(&reads)? },
        Note::Thickness { sheet, name, reads } => {
            let shelf = if sheet { Shelf::Sheet } else { Shelf::Board };
            What::Thickness { shelf, name, reads: long(&reads)? }
        }
        Note::TrueLength { board, length, reads } => {
            let reads = reads.iter().map(long).collect::<Result<_, String>>()?;
            What::TrueLength { board, length: long(&length)?, reads }
        }
        Note::Kerf { reads } => What::Kerf { reads: long(&reads)? },
        Note::Units { unit, over, joint, widths, reads } => {
            let along = if widths { Along::Width } else { Along::Length };
            What::Units { unit, over, joint: long(&joint)?, along, reads: long(&reads)? }
        }
        Note::Cut { parts, from, length } => {
            let length = length.as_ref().map(long).transpose()?;
            cut(&Sawn::of(before, &parts)?, from, length)?
        }
        Note::Wrong { part, from, length } => {
            let sawn = Sawn::of(before, &[part])?;
            let from = from.or_else(|| sawn.from.first().copied().flatten());
            let part = sawn.slots.first().cloned().ok_or("no part is named")?;
            What::Wrong { part, from, length: long(&length)?, holds: sawn.holds }
        }
        Note::Undo { entry } => What::Undo { entry },
        Note::Took { entry, way } => took(entry, way, Vec::new())?,
    })
}

/// The ways out of an entry, at the rates of the shed.
fn ways_of(
    name: &str,
    world: &dyn World,
    entry: u32,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<Vec<WayOut>, Refused> {
    let rates = read_plan(name, world)?.0.shed.rates;
    ways_out(name, world, entry, &rates, effort, cancel)
}

fn took(entry: u32, way: usize, ways: Vec<WayOut>) -> Result<What, String> {
    let (count, taken) = (ways.len(), way.checked_sub(1).and_then(|at| ways.into_iter().nth(at)));
    let taken = taken.ok_or_else(|| format!("entry {entry} has {count} ways out, and no way {way}"))?;
    let WayOut { out, parts, length, holds, .. } = taken;
    Ok(What::Took { entry, way: out, parts, length, holds })
}

/// Parts that were at the saw.
struct Sawn<'d> {
    settled: &'d Settled,
    places: Vec<usize>,
    slots: Vec<String>,
    /// The boards at home that they come off by the cutting plan.
    from: Vec<Option<u32>>,
    holds: Holds,
}

impl<'d> Sawn<'d> {
    fn of(before: &'d Result<Done, Refused>, names: &[String]) -> Result<Sawn<'d>, String> {
        let settled = match before {
            Ok(done) => &done.settled,
            Err(refused) => {
                return Err(format!(
                    "what is cut is told by the plan, and it does not come out:\n{}",
                    crate::refused(refused, false)
                ));
            }
        };
        let parts = &settled.build.parts;
        let place = |name: &String| {
            let found = parts.iter().position(|part| part.id == *name || part.key.slot() == *name);
            found.ok_or_else(|| format!("the plan has no part `{}`; `scantling fit` lists them", name.escape_debug()))
        };
        let places = names.iter().map(place).collect::<Result<Vec<usize>, String>>()?;
        if let Some(&done) = places.iter().find(|place| settled.assigned.filled.contains_key(place)) {
            let object = &settled.plan.standing.objects[settled.assigned.filled[&done]];
            return Err(format!(
                "{} is cut already, by entry {}; if that is wrong, undo it",
                parts[done].id, object.entry
            ));
        }
        let slots = places.iter().map(|&place| parts[place].key.slot()).collect();
        let (from, holds) = (advise::comes_off(settled, &places), advise::hangs_on(settled, &places));
        Ok(Sawn { settled, places, slots, from, holds })
    }
}

fn cut(sawn: &Sawn<'_>, from: Vec<u32>, length: Option<Length>) -> Result<What, String> {
    let tape = sawn.settled.plan.tape;
    let parts: Vec<_> = sawn.places.iter().map(|&place| &sawn.settled.build.parts[place]).collect();
    let first = parts.first().ok_or("no part is named")?;
    let length = length.unwrap_or(first.solid.length);
    if let Some(part) = parts.iter().find(|part| !is_near(part.solid.length, length, tape.step())) {
        let (id, should, is) = (&part.id, tape.show_exact(part.solid.length), tape.show_exact(length));
        return Err(format!(
            "{id} should be {should} long, and not {is}: note parts of one length together, and one that came out otherwise as `wrong`"
        ));
    }
    let planned: Option<Vec<u32>> = sawn.from.iter().copied().collect();
    let from = match (from.len(), planned) {
        (0, planned) => planned.unwrap_or_default(),
        // One board said once is that of all of them.
        (1, _) => vec![from[0]; parts.len()],
        _ => from,
    };
    Ok(What::Cut { parts: sawn.slots.clone(), from, length, holds: sawn.holds.clone() })
}

impl Noted {
    /// What the entry changes, if the plan comes out both before it and with it.
    pub fn changes(&self, after: &Result<Done, Refused>) -> Vec<Change> {
        let both = self.before.as_ref().zip(after.as_ref().ok());
        both.map_or_else(Vec::new, |(before, after)| advise::changes(&before.settled, &after.settled))
    }

    /// What the entry changes, once it is written: what is fixed, then what was, what is now, and why; and the ways out, if it is
    /// a mishap.
    pub fn told(
        &self,
        name: &str,
        world: &dyn World,
        after: &Result<Done, Refused>,
        effort: &Effort,
        cancel: &dyn Fn() -> bool,
    ) -> String {
        let ways = ways_of(name, world, self.number, effort, cancel).unwrap_or_default();
        self.changed(after) + &told_ways(self.number, &ways)
    }

    fn changed(&self, after: &Result<Done, Refused>) -> String {
        let why = format!("entry {}, {}", self.number, self.word);
        let mut text = format!("{why}: kept\n");
        let after = match after {
            Ok(after) => after,
            Err(refused) => {
                return text
                    + "Nothing comes out with it; the entry stays, and so does what was read and cut.\n"
                    + &crate::refused(refused, false);
            }
        };
        text += &format!("fixed: {}\n", fixed(&after.settled));
        for back in &after.settled.buying.take_back {
            text += &format!("{}: no part needs them\n", book::take_back(back, &after.settled));
        }
        let Some(before) = &self.before else { return text + "The plan comes out again.\n" };
        let changes = advise::changes(&before.settled, &after.settled);
        if changes.is_empty() {
            return text + "nothing else changes\n";
        }
        for change in changes {
            let said = |value: &str| if value.is_empty() { "–".to_owned() } else { value.to_owned() };
            text += &format!("  {}: was {}, is {} ({why})\n", change.what, said(&change.was), said(&change.is));
        }
        text
    }
}

/// The ways out, the cheapest first, and how one is taken.
fn told_ways(entry: u32, ways: &[WayOut]) -> String {
    if ways.is_empty() {
        return String::new();
    }
    let mut text = format!("ways out, taken by `scantling note PLAN took {entry} NUMBER`:\n");
    for (at, way) in ways.iter().enumerate() {
        let money = way.money.map_or_else(|| "money not known".into(), |money| money.to_string());
        text += &format!("  {}. {}: {money}, {} minutes\n", at + 1, way.does, way.minutes);
    }
    text
}

/// What is fixed by now, in one line.
fn fixed(settled: &Settled) -> String {
    let (standing, tape) = (&settled.plan.standing, settled.plan.tape);
    let mut fixed: Vec<String> = Vec::new();
    if !standing.home.is_empty() {
        fixed.push(format!("{} boards at home", standing.home.len()));
    }
    let cut = settled.assigned.filled.len();
    if cut > 0 {
        fixed.push(format!("{cut} parts cut"));
    }
    fixed.extend(standing.held.iter().map(|(name, held)| format!("{name} {}", tape.show_exact(held.value))));
    for &at in &settled.assigned.offcuts {
        fixed.push(format!("an offcut of {}", tape.show_exact(standing.objects[at].length)));
    }
    if fixed.is_empty() { "nothing yet".into() } else { fixed.join(", ") }
}
