//! The questions that the referee judges anew: for each answer the two numbers that must be compared, worked out from the texts
//! and the exported parts and joints, not from what the record says of them. Figures of books stand here a second time.

mod hurt;
mod moves;
mod rot;
mod screws;
mod whole;

use crate::asked::Asked;
use crate::claims::Record;
use crate::texts::Papers;
use crate::whys::Book;
pub(crate) use hurt::{ASKS as HURT, own as hurt};
pub(crate) use moves::{ASKS as MOVES, own as moves};
pub(crate) use rot::{ASKS as ROT, demanded as rot};
pub(crate) use screws::{ASKS as SCREWS, own as screws};
pub(crate) use whole::demanded as whole;

/// What a question is asked of.
#[derive(Clone, Copy)]
pub(crate) struct Of<'r> {
    pub record: &'r Record,
    pub papers: &'r Papers,
    pub asked: &'r Asked,
}

/// The answers that a question must have.
pub(crate) type Own = fn(&Of<'_>) -> Vec<Pair>;

/// What one answer compares.
pub(crate) struct Pair {
    pub about: String,
    pub value: Number,
    pub limit: Number,
}

impl Pair {
    /// The names of both numbers.
    pub fn names(&self) -> [&str; 2] {
        [&self.value.name, &self.limit.name]
    }
}

/// A number that must have a why.
pub(crate) struct Number {
    pub name: String,
    pub rule: &'static str,
    pub of: &'static str,
    /// What may have gone into it: one of these, where several are equally bad.
    pub choices: Vec<Vec<i128>>,
    /// How far each input may lie off, where it was rounded.
    pub slack: i128,
    /// Numbers that went into it and have no other place.
    pub from: Vec<Number>,
}

impl Number {
    /// A number of which there is one way to come to it.
    pub fn exact(name: impl Into<String>, rule: &'static str, of: &'static str, inputs: Vec<i128>) -> Number {
        Number { name: name.into(), rule, of, choices: vec![inputs], slack: 0, from: Vec::new() }
    }

    /// Takes it up in the book of whys.
    fn expect(&self, book: &mut Book<'_, '_>) {
        let claimed = book.claimed(&self.name).map(|known| known.1).unwrap_or_default();
        let near = |choice: &&Vec<i128>| {
            let pairs = choice.iter().zip(&claimed);
            choice.len() == claimed.len() && pairs.into_iter().all(|(own, claimed)| (own - claimed).abs() <= self.slack)
        };
        let first = self.choices.first();
        if let Some(inputs) = self.choices.iter().find(near).or(first) {
            book.expect_near(&self.name, self.rule, self.of, inputs, self.slack);
        }
    }
}

/// The numbers of all questions that are judged anew, each once.
pub(crate) fn expect(record: &Record, papers: &Papers, asked: &Asked, book: &mut Book<'_, '_>) {
    let of = Of { record, papers, asked };
    let mut known = std::collections::BTreeSet::new();
    for pair in [screws as Own, moves, hurt].into_iter().flat_map(|own| own(&of)) {
        for number in [pair.value, pair.limit] {
            // A gap stands among the numbers of the rows.
            if known.insert(number.name.clone()) && !number.rule.is_empty() {
                number.expect(book);
            }
            number.from.iter().for_each(|from| {
                if known.insert(from.name.clone()) {
                    from.expect(book);
                }
            });
        }
    }
    rot::expect(&of, book);
    whole::expect(&of, book);
}
