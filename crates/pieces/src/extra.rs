//! `extra`: something that is bought and goes with a piece: feet, a tap, castors, a bag of screws.

use crate::Piece;
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use measure::{Mass, Money};
use model::build::{Build, Going, Need, Needed, Step, With};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema};

/// The keys of `extra`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "extra",
    doc: "Something that is bought as it is and goes with a piece: feet, castors, a tap.",
    fields: &[
        Field { key: "of", doc: "The piece that it goes with.", kind: Kind::Piece, default: Default::Required },
        Field { key: "what", doc: "What it is.", kind: Kind::Text, default: Default::Required },
        Field {
            key: "count",
            doc: "How many.",
            kind: Kind::Count { least: 1, most: 100_000 },
            default: Default::Text("1"),
        },
        Field {
            key: "price",
            doc: "For one; an unknown price stays blank and counts as nothing.",
            kind: Kind::Money,
            default: Default::Absent,
        },
        Field { key: "mass", doc: "What one weighs, if known.", kind: Kind::Mass, default: Default::Absent },
        Field {
            key: "fitted",
            doc: "When it is wanted.",
            kind: Kind::Word(&[
                ("after", "once the piece is together, before it is covered or filled"),
                ("before", "before the piece is begun, as gravel under it or feet that it is built on"),
            ]),
            default: Default::Text("after"),
        },
        Field {
            key: "does",
            doc: "What it does for the piece, so that nobody says that nothing does it.",
            kind: Kind::Word(&[
                ("holds", "holds it together or in its place, as brackets, screws or pegs do that you choose yourself"),
                ("carries", "carries it, as feet, blocks or battens do"),
            ]),
            default: Default::Absent,
        },
    ],
};

/// An extra as the plan states it.
struct Extra {
    text: PieceText,
    of: String,
    what: String,
    count: u32,
    price: Option<Money>,
    mass: Option<Mass>,
    first: bool,
}

/// The pieces for which an extra does something: `holds` or `carries`.
pub(crate) fn doing<'p>(plan: &'p Plan, what: &str) -> impl Iterator<Item = String> + 'p {
    let what = Some(what.to_owned());
    let extras = plan.pieces.iter().filter(|piece| std::ptr::eq(piece.schema, &SCHEMA));
    extras.filter(move |extra| extra.values.word("does") == what.as_deref()).filter_map(|extra| extra.values.text("of"))
}

/// Whether an extra holds a piece.
pub(crate) fn holds(plan: &Plan, piece: &str) -> bool {
    doing(plan, "holds").any(|of| of == piece)
}

pub(crate) fn make(text: &PieceText, _plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    Ok(Box::new(Extra {
        of: text.need_text("of")?,
        what: text.need_text("what")?,
        count: text.values.count("count").unwrap_or(1),
        price: text.values.money("price"),
        mass: text.values.mass("mass"),
        first: text.need_word("fitted")? == "before",
        text: text.clone(),
    }))
}

impl Piece for Extra {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let of = ask.stand(&self.of, &self.text.values.place_of("of"))?;
        Ok(Stand { has_faces: false, wall: None, ..of })
    }

    fn detail(&self, _fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let of = Needed::Extra { count: self.count, price: self.price, mass: self.mass };
        out.needs.push(Need { piece: self.text.name.clone(), what: self.what.clone(), of });
        let (count, what, of) = (self.count, &self.what, &self.of);
        let (going, what) = match self.first {
            true => (Going::First, format!("Have {count} × {what} ready before you begin {of}")),
            false => (Going::Fitted, format!("Fit {count} × {what} to {of}, now that it is together")),
        };
        out.with.push(With { piece: self.text.name.clone(), to: of.clone(), going });
        out.steps.push(Step { piece: self.text.name.clone(), what, caution: None, parts: Vec::new() });
        Ok(())
    }
}
