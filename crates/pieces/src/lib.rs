//! One file per piece: its schema, what it asks of fit, its detail.
//!
//! No piece divides, rounds or loops over counts to find one that fits. A piece states relations: these are my sizes, this
//! row of these members and gaps fills that face. The engine answers for all pieces at once, and each piece then lays out
//! what came of it. To add a piece, write its file and enter it in [`CATALOGUE`]; nothing else changes.
#![forbid(unsafe_code)]

mod abreast;
mod angles;
mod ask;
mod bays;
mod borne;
mod fitted;
mod fittings;
mod named;
mod place;
mod reach;
pub mod rows;
pub mod rules;
mod shaped;
mod spaced;
mod timber;
mod within;

mod walls;
mod cladding;
mod edging;
mod cap;
mod posts;
mod floor;
mod fill;
mod liner;
mod extra;
mod finish;
mod slats;
mod frame;
mod pad;
mod screen;

pub use ask::{APART, Ask, Asked, MOST_MEMBERS, MOST_PARTS, SHORTEST, Stand};
pub use fitted::{Fitted, RowFit};

use model::build::{Build, give_ids};
use model::part::Part;
use model::plan::{PieceText, Plan};
use model::problem::{Place, Problem};
use model::schema::{Kind as FieldKind, Schema};
use model::standing::Held;
use std::collections::BTreeSet;

/// One thing in a plan that knows how to be sized and built.
pub trait Piece {
    /// Declares the piece's sizes, gaps, choices, rows and limits, and says where it stands: the outline that other pieces
    /// refer to. Pieces that this one refers to have been asked before.
    ///
    /// # Errors
    /// What the plan asks of this piece and cannot be, with its place.
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem>;

    /// Lays the piece out for sizes that came out: parts in place, rows, steps, numbers with their why.
    ///
    /// # Errors
    /// If the sizes leave something open or make no outline; sizes that answer what was asked never do.
    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem>;

    /// Whether it closes the top of what it lies on: then it is laid out last, so that what is laid in, such as a liner, comes
    /// before it in the order of making.
    fn closes(&self) -> bool {
        false
    }

    /// Adds what depends on the parts of other pieces, once all of them are laid out: a fill goes round what stands in it. It adds
    /// no parts, so that [`parts`] may do without.
    ///
    /// # Errors
    /// As [`Piece::detail`].
    fn after(&self, _fitted: &Fitted<'_>, _out: &mut Build) -> Result<(), Problem> {
        Ok(())
    }
}

/// A kind of piece.
pub struct Kind {
    /// Its keys.
    pub schema: &'static Schema,
    make: Make,
}

/// Makes a piece of its values: checks what the schema alone cannot.
type Make = fn(&PieceText, &Plan) -> Result<Box<dyn Piece>, Problem>;

/// Every kind of piece there is.
pub static CATALOGUE: &[Kind] = &[
    Kind { schema: &walls::SCHEMA, make: walls::make },
    Kind { schema: &cladding::SCHEMA, make: cladding::make },
    Kind { schema: &edging::SCHEMA, make: edging::make },
    Kind { schema: &cap::SCHEMA, make: cap::make },
    Kind { schema: &posts::SCHEMA, make: posts::make },
    Kind { schema: &floor::SCHEMA, make: floor::make },
    Kind { schema: &fill::SCHEMA, make: fill::make },
    Kind { schema: &liner::SCHEMA, make: liner::make },
    Kind { schema: &extra::SCHEMA, make: extra::make },
    Kind { schema: &finish::SCHEMA, make: finish::make },
    Kind { schema: &slats::SCHEMA, make: slats::make },
    Kind { schema: &frame::SCHEMA, make: frame::make },
    Kind { schema: &pad::SCHEMA, make: pad::make },
    Kind { schema: &screen::SCHEMA, make: screen::make },
];

/// The schemas of all pieces, for the reader and the reference page.
pub fn schemas() -> Vec<&'static Schema> {
    CATALOGUE.iter().map(|kind| kind.schema).collect()
}

/// Asks every piece of a plan what has to come out.
///
/// # Errors
/// All problems of all pieces, each with its place. A piece that refers to one with a problem is not asked: it would tell
/// the same problem again in its own name.
pub fn ask(plan: &Plan) -> Result<Asked, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut ask = Ask::new(plan);
    let mut pieces = Vec::new();
    let mut failed = BTreeSet::new();
    for text in in_order(&plan.pieces) {
        if references(text).iter().any(|name| failed.contains(name)) {
            failed.insert(text.name.clone());
            continue;
        }
        let asked = make(text, plan).and_then(|piece| {
            let stand = piece.ask(&mut ask)?;
            ask.stands.insert(text.name.clone(), stand);
            Ok(piece)
        });
        match asked {
            Ok(piece) => pieces.push((text.place.clone(), piece)),
            Err(problem) => {
                failed.insert(text.name.clone());
                problems.push(problem);
            }
        }
    }
    if problems.is_empty() {
        problems.extend(plan.standing.held.iter().filter(|(name, _)| !ask.asks(name)).map(held_by_none));
    }
    if problems.is_empty() { Ok(ask.finish(pieces)) } else { Err(problems) }
}

/// A size that the day book holds and that no piece asks.
fn held_by_none((name, held): (&String, &Held)) -> Problem {
    let (entry, name) = (held.entry, name.escape_debug());
    Problem::new(format!("entry {entry} of the day book holds the size `{name}`, which the plan does not ask"))
        .hint(format!("undo entry {entry}, or change the plan back"))
}

/// Lays out every piece for sizes that came out, and gives the parts their ids.
///
/// # Errors
/// If the closing does not answer what was asked, so that a piece cannot be laid out by it; if all pieces together have more than
/// [`MOST_PARTS`].
pub fn detail(asked: &Asked, closing: &fit::Closing) -> Result<Build, Problem> {
    let fitted = Fitted::new(asked, closing);
    let mut build = Build::default();
    fitted.explain_sizes(&mut build);
    lay_out(asked, &fitted, &mut build)?;
    for (_, piece) in &asked.pieces {
        piece.after(&fitted, &mut build)?;
    }
    give_ids(&mut build.parts);
    Ok(build)
}

/// The parts that [`detail`] lays out, in the same order and without ids: all that a price hangs on, for less than half the work.
///
/// # Errors
/// As [`detail`], but for what depends on the parts of other pieces.
pub fn parts(asked: &Asked, closing: &fit::Closing) -> Result<Vec<Part>, Problem> {
    let mut build = Build::default();
    lay_out(asked, &Fitted::new(asked, closing), &mut build)?;
    Ok(build.parts)
}

fn lay_out(asked: &Asked, fitted: &Fitted<'_>, build: &mut Build) -> Result<(), Problem> {
    for closing_ones in [false, true] {
        for (place, piece) in asked.pieces.iter().filter(|(_, piece)| piece.closes() == closing_ones) {
            piece.detail(fitted, build)?;
            hold_parts(build.parts.len(), place)?;
        }
    }
    Ok(())
}

fn hold_parts(count: usize, place: &Place) -> Result<(), Problem> {
    if count <= MOST_PARTS {
        return Ok(());
    }
    let many = format!("with this piece the plan has {count} parts, and no more than {MOST_PARTS} are laid out");
    Err(Problem::new(many).at(place).hint("take wider boards or larger units, or make plans of fewer pieces"))
}

fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    match CATALOGUE.iter().find(|kind| std::ptr::eq(kind.schema, text.schema)) {
        Some(kind) => (kind.make)(text, plan),
        None => Err(Problem::new(format!("no kind of piece is called `{}`", text.schema.name)).at(&text.place)),
    }
}

/// The pieces in an order in which each comes after those it refers to, otherwise as in the plan. The reader has refused
/// circles; whatever were left of one would keep its place.
fn in_order(pieces: &[PieceText]) -> Vec<&PieceText> {
    let mut waiting: Vec<&PieceText> = pieces.iter().collect();
    let mut ordered: Vec<&PieceText> = Vec::new();
    while !waiting.is_empty() {
        let free =
            |piece: &&PieceText| references(piece).iter().all(|name| ordered.iter().any(|done| done.name == *name));
        let next = waiting.iter().position(free).unwrap_or(0);
        ordered.push(waiting.remove(next));
    }
    ordered
}

/// The names of the pieces that a piece refers to.
fn references(piece: &PieceText) -> Vec<String> {
    let mut names = Vec::new();
    for field in piece.schema.fields {
        match field.kind {
            FieldKind::Piece => names.extend(piece.values.text(field.key)),
            FieldKind::Pieces => names.extend(piece.values.names(field.key).into_iter().flatten()),
            _ => {}
        }
    }
    names
}
