//! What several questions share: limits by a book, numbers kept once, and the comparison itself.

use super::{Answer, Answers};
use model::build::Build;
use model::part::PartKey;
use model::why::{Case, Input, Mark, Quantity, Rule, Value};

/// A limit that a book or a code gives.
pub(super) static BY_THE_BOOK: Rule = Rule {
    id: "by-the-book",
    words: "A figure of the handbook, as its source says",
    formula: "limit = the figure",
    inputs: &["the figure"],
    source: "named beside the figure",
    mark: Mark::Published,
    compute: same,
    case: Case { given: &[150_000_000], gives: 150_000_000, source: "150 mm stay 150 mm" },
};

/// A length as it lies in the build.
pub(super) static AS_PLACED: Rule = Rule {
    id: "as-placed",
    words: "As it lies in the build, read off its parts",
    formula: "value = as placed",
    inputs: &["as placed"],
    source: "the list of parts and joints",
    mark: Mark::Arithmetic,
    compute: same,
    case: Case { given: &[35_000_000], gives: 35_000_000, source: "a screw 35 mm from the end of a board" },
};

fn same(x: &[i128]) -> Option<i128> {
    match x {
        [value] => Some(*value),
        _ => None,
    }
}

/// A number by a rule with one input.
pub(super) fn one(
    name: impl Into<String>,
    what: impl Into<String>,
    rule: &'static Rule,
    (of, value): (impl Into<String>, Value),
) -> Option<Quantity> {
    Quantity::by(name, what, value.of, rule, vec![Input::new(of, value)])
}

/// Keeps a number, once.
pub(super) fn keep(quantity: Quantity, out: &mut Answers) {
    if out.quantities.iter().all(|known| known.name != quantity.name) {
        out.quantities.push(quantity);
    }
}

/// What is compared: the question, what it is asked of, and where the limit comes from.
pub(super) struct Ask {
    pub question: &'static str,
    pub about: String,
    pub source: String,
}

/// Compares two numbers, keeps both, and gives the answer to add to; nothing if they are too large to be written.
pub(super) fn judge<'o>(ask: Ask, value: &Quantity, limit: &Quantity, out: &'o mut Answers) -> Option<&'o mut Answer> {
    let answer = Answer::compared(ask.question, ask.about, value, limit, ask.source)?;
    keep(value.clone(), out);
    keep(limit.clone(), out);
    out.answers.push(answer);
    out.answers.last_mut()
}

/// The pieces in the order in which their parts come, each with the places of its parts.
pub(super) fn by_piece(build: &Build) -> Vec<(&str, Vec<usize>)> {
    let mut pieces: Vec<(&str, Vec<usize>)> = Vec::new();
    for (place, part) in build.parts.iter().enumerate() {
        let name = part.key.piece.as_str();
        // Parts of a piece come together.
        match pieces.iter_mut().rev().find(|piece| piece.0 == name) {
            Some(piece) => piece.1.push(place),
            None => pieces.push((name, vec![place])),
        }
    }
    pieces
}

/// The keys of parts, for marks on the drawings.
pub(super) fn keys(build: &Build, places: impl IntoIterator<Item = usize>) -> Vec<PartKey> {
    let mut keys: Vec<PartKey> = places.into_iter().map(|place| build.parts[place].key.clone()).collect();
    keys.sort_unstable();
    keys.dedup();
    keys
}
