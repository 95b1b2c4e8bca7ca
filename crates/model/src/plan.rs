//! A plan as it was read: what the maker wants, piece by piece, before anything is decided.

use crate::problem::{Place, Problem};
use crate::schema::{Schema, Values, Wish};
use crate::standing::Standing;
use crate::stock::{Shed, StockRef, Yard};
use measure::{Length, Percent, Tape};

/// A plan with the yard and the shed it refers to.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What it is called.
    pub title: String,
    /// The tape that it is read and printed in.
    pub tape: Tape,
    /// How the chosen closing is picked.
    pub prefer: Prefer,
    /// Its pieces, in the order of the file.
    pub pieces: Vec<PieceText>,
    /// What can be bought.
    pub yard: Yard,
    /// What it is cut with.
    pub shed: Shed,
    /// What the day book has fixed.
    pub standing: Standing,
}

impl Plan {
    /// The longest part that a stock gives: of a kind that is at home, the longest board that came; else the longest on sale.
    pub fn longest(&self, stock: StockRef) -> Option<Length> {
        let (trim, kerf) = (self.shed.trim, self.shed.kerf);
        let home = self.standing.home_of(stock).map(|board| board.gives(trim, kerf)).max();
        home.or_else(|| self.yard.longest(stock, trim, kerf))
    }
}

/// Which of the closings the plan goes on with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Prefer {
    /// The one nearest to the wishes.
    Closest,
    /// The one that costs least; among equals the nearest to the wishes.
    Cheapest,
}

/// One piece as it was read: which kind, and its values by the kind's schema.
#[derive(Clone, Debug)]
pub struct PieceText {
    /// Its name in the plan.
    pub name: String,
    /// Where its name stands.
    pub place: Place,
    /// The schema it was read by.
    pub schema: &'static Schema,
    /// What was read.
    pub values: Values,
}

macro_rules! needed {
    ($(#[$doc:meta])* $name:ident, $getter:ident, $type:ty) => {
        $(#[$doc])*
        ///
        /// # Errors
        /// If the key was left out and the schema has no default for it.
        pub fn $name(&self, key: &str) -> Result<$type, Problem> {
            self.values.$getter(key).ok_or_else(|| self.misses(key))
        }
    };
}

impl PieceText {
    /// The name of something of this piece, such as `bed.inner-back` for its face `inner back`.
    pub fn called(&self, what: &str) -> String {
        format!("{}.{}", self.name, what.replace(' ', "-"))
    }

    needed!(
        /// The text or name behind a key.
        need_text, text, String);
    needed!(
        /// The wish behind a key.
        need_wish, wish, Wish);
    needed!(
        /// The word behind a key.
        need_word, word, &'static str);
    needed!(
        /// The length behind a key.
        need_length, length, Length);
    needed!(
        /// The percentage behind a key.
        need_percent, percent, Percent);

    fn misses(&self, key: &str) -> Problem {
        Problem::new(format!("`{}` needs `{key}`", self.name)).at(&self.values.place).hint(format!("add `{key} = …`"))
    }
}
