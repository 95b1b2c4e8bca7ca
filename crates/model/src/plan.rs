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
    /// Where it will stand.
    pub site: Site,
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

/// Where a build will stand: what its questions are judged by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Site {
    /// Whose tables and codes are used.
    pub region: Region,
    /// How the wind reaches it.
    pub wind: Wind,
    /// Whether children play near it.
    pub children: bool,
}

impl Default for Site {
    /// A site of which a plan in millimetres says nothing: in Europe, in open country, children near.
    fn default() -> Site {
        Site { region: Region::Europe, wind: Wind::Open, children: true }
    }
}

/// Whose tables and codes are used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Region {
    /// Europe with the United Kingdom: Eurocodes.
    Europe,
    /// The United States and Canada: NDS.
    NorthAmerica,
    /// Australia and New Zealand.
    Australasia,
}

impl Region {
    /// The word for it in a plan.
    pub fn word(self) -> &'static str {
        match self {
            Region::Europe => "eu",
            Region::NorthAmerica => "na",
            Region::Australasia => "anz",
        }
    }

    /// The region of this word.
    pub fn of_word(word: &str) -> Option<Region> {
        [Region::Europe, Region::NorthAmerica, Region::Australasia].into_iter().find(|region| region.word() == word)
    }

    /// The region of a plan that does not say: of those in inches North America, of others Europe.
    pub fn usual(unit: measure::Unit) -> Region {
        match unit {
            measure::Unit::Millimetre => Region::Europe,
            measure::Unit::Inch | measure::Unit::FootInch => Region::NorthAmerica,
        }
    }
}

/// How the wind reaches a build.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wind {
    /// Between houses, walls or trees.
    Sheltered,
    /// Open gardens and country.
    Open,
    /// Near the coast, on hills, roofs and high balconies.
    Exposed,
}

impl Wind {
    /// The word for it in a plan.
    pub fn word(self) -> &'static str {
        match self {
            Wind::Sheltered => "sheltered",
            Wind::Open => "open",
            Wind::Exposed => "exposed",
        }
    }

    /// The exposure of this word.
    pub fn of_word(word: &str) -> Option<Wind> {
        [Wind::Sheltered, Wind::Open, Wind::Exposed].into_iter().find(|wind| wind.word() == word)
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
