//! The fields of a piece, a yard or a shed, stated once: the reader, the reference page and later the app's forms all come
//! from these tables, and [`Values`] is what the reader makes of a text by them.

use crate::problem::Place;
use measure::{Density, Length, Mass, Money, Percent};
use std::collections::BTreeMap;

/// A table of a file: what it is for and which keys it has.
#[derive(Debug)]
pub struct Schema {
    /// Its name: for a piece, the word after `is =`.
    pub name: &'static str,
    /// What it is for, in a sentence or two.
    pub doc: &'static str,
    /// Its keys, in the order of the reference page.
    pub fields: &'static [Field],
}

/// One key of a table.
#[derive(Debug)]
pub struct Field {
    /// The key as it is written.
    pub key: &'static str,
    /// What it means, in a sentence.
    pub doc: &'static str,
    /// What may stand there.
    pub kind: Kind,
    /// What holds if it is left out.
    pub default: Default,
}

/// What holds if a key is left out.
#[derive(Debug)]
pub enum Default {
    /// It must be written.
    Required,
    /// It may be left out, which means what the doc says.
    Absent,
    /// This text is read in its place, as if it had been written (for a word, text or name without its quotes).
    Text(&'static str),
}

/// What may stand behind a key.
#[derive(Debug)]
pub enum Kind {
    /// A length, in the file's units if it is bare, between two bounds in millimetres.
    Length {
        /// The least, in mm.
        least: i64,
        /// The most, in mm.
        most: i64,
    },
    /// A wish: a length, or a table `{ want, from, to, rank }`, or `{ exactly }`. Without a range a size may move a tenth
    /// of what is wanted either way, and a gap not at all.
    Wish {
        /// What is wished.
        of: WishOf,
        /// The least, in mm.
        least: i64,
        /// The most, in mm.
        most: i64,
    },
    /// A whole number between two bounds.
    Count {
        /// The least.
        least: u32,
        /// The most.
        most: u32,
    },
    /// A share such as `"5 %"` or `5`, up to a most in whole percent. A bare number above 0 and up to 1 could mean two things and
    /// is asked about.
    Percent {
        /// The most, in whole percent.
        most: u32,
    },
    /// One of a few words, each with what it means.
    Word(&'static [(&'static str, &'static str)]),
    /// Free text, as far as a title goes (200 characters).
    Text,
    /// The name of something in the yard.
    Stock(StockKind),
    /// The name of another piece of the plan.
    Piece,
    /// A list of faces' names.
    Faces,
    /// A list of names of other pieces.
    Pieces,
    /// A list of names of things in the yard.
    Stocks(StockKind),
    /// A list of lengths, each between two bounds in millimetres.
    Lengths {
        /// The least, in mm.
        least: i64,
        /// The most, in mm.
        most: i64,
    },
    /// A number that is not negative, with at most three decimals: litres, square metres for a litre, metres.
    Decimal {
        /// The most, as a whole number.
        most: u32,
    },
    /// A price, in the currency of the file: a number with at most two decimals.
    Money,
    /// A mass: a bare number is kilograms; `"25 kg"`, `"55 lb"`, `"350 g"`.
    Mass,
    /// A density in kilograms per cubic metre: a bare number.
    Density,
    /// A list of tables with these keys.
    List(&'static Schema),
}

/// What kind of thing a wish is about; it decides the range that a bare length gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WishOf {
    /// A size of the piece: ±10 % unless the plan says otherwise; rank 1.
    Size,
    /// A gap or joint: exactly as written unless the plan says otherwise; rank 2.
    Gap,
}

/// The shelves of a yard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StockKind {
    /// Boards in lengths.
    Board,
    /// Sheets.
    Sheet,
    /// Setts, pavers, bricks, blocks.
    Unit,
    /// Screws, by thickness and length.
    Screw,
    /// What is filled in and sold in bags: soil, gravel, concrete.
    Bag,
    /// What is laid out and sold by the metre off a roll: liner, fabric.
    Roll,
    /// What is brushed on and sold in tins: oil, paint, stain.
    Finish,
    /// What holds parts and is bought as it is: brackets, hangers, bolts.
    Fitting,
}

impl StockKind {
    /// The word for one of it: `board`, `sheet`, `unit`, `screw`, `bag`, `roll`, `finish`, `fitting`.
    pub fn word(self) -> &'static str {
        match self {
            StockKind::Board => "board",
            StockKind::Sheet => "sheet",
            StockKind::Unit => "unit",
            StockKind::Screw => "screw",
            StockKind::Bag => "bag",
            StockKind::Roll => "roll",
            StockKind::Finish => "finish",
            StockKind::Fitting => "fitting",
        }
    }
}

/// A wish as it is written: what is wanted, the range, and the rank among all wishes (1 is kept before 2).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wish {
    /// What is wanted.
    pub want: Length,
    /// The least that will do.
    pub from: Length,
    /// The most that will do.
    pub to: Length,
    /// 1 for the wishes that are kept first.
    pub rank: u32,
}

/// What was read behind a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// See [`Kind::Length`].
    Length(Length),
    /// See [`Kind::Wish`].
    Wish(Wish),
    /// See [`Kind::Count`].
    Count(u32),
    /// See [`Kind::Percent`].
    Percent(Percent),
    /// See [`Kind::Word`]: the word as the table has it.
    Word(&'static str),
    /// See [`Kind::Text`], [`Kind::Stock`] and [`Kind::Piece`].
    Text(String),
    /// See [`Kind::Faces`], [`Kind::Pieces`] and [`Kind::Stocks`].
    Names(Vec<String>),
    /// See [`Kind::Lengths`].
    Lengths(Vec<Length>),
    /// See [`Kind::Decimal`]: thousandths.
    Decimal(u32),
    /// See [`Kind::Money`].
    Money(Money),
    /// See [`Kind::Mass`].
    Mass(Mass),
    /// See [`Kind::Density`].
    Density(Density),
    /// See [`Kind::List`].
    List(Vec<Values>),
}

/// The values of one table, by key. A key that was left out and has no default is not there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Values {
    /// Where the table stands: its header, or the whole inline table.
    pub place: Place,
    entries: BTreeMap<&'static str, (Value, Place)>,
}

macro_rules! getter {
    ($(#[$doc:meta])* $name:ident, $variant:ident, $type:ty) => {
        $(#[$doc])*
        pub fn $name(&self, key: &str) -> Option<$type> {
            match self.entries.get(key) {
                Some((Value::$variant(value), _)) => Some(value.clone()),
                _ => None,
            }
        }
    };
}

impl Values {
    /// An empty table at a place.
    pub fn new(place: Place) -> Values {
        Values { place, entries: BTreeMap::new() }
    }

    /// Puts a value behind a key.
    pub fn insert(&mut self, key: &'static str, value: Value, place: Place) {
        self.entries.insert(key, (value, place));
    }

    /// Where the value of a key stands, or the table itself if the key was left out.
    pub fn place_of(&self, key: &str) -> Place {
        self.entries.get(key).map_or_else(|| self.place.clone(), |(_, place)| place.clone())
    }

    /// Whether a value stands behind the key, written or by default.
    pub fn has(&self, key: &str) -> bool {
        self.entries.contains_key(key)
    }

    getter!(
        /// The length behind a key, if it is there.
        length, Length, Length);
    getter!(
        /// The wish behind a key, if it is there.
        wish, Wish, Wish);
    getter!(
        /// The count behind a key, if it is there.
        count, Count, u32);
    getter!(
        /// The percentage behind a key, if it is there.
        percent, Percent, Percent);
    getter!(
        /// The word behind a key, if it is there.
        word, Word, &'static str);
    getter!(
        /// The text or name behind a key, if it is there.
        text, Text, String);
    getter!(
        /// The names of faces, pieces or stock behind a key, if they are there.
        names, Names, Vec<String>);
    getter!(
        /// The lengths behind a key, if they are there.
        lengths, Lengths, Vec<Length>);
    getter!(
        /// The number behind a key, in thousandths, if it is there.
        decimal, Decimal, u32);
    getter!(
        /// The price behind a key, if it is there.
        money, Money, Money);
    getter!(
        /// The mass behind a key, if it is there.
        mass, Mass, Mass);
    getter!(
        /// The density behind a key, if it is there.
        density, Density, Density);
    getter!(
        /// The list behind a key, if it is there.
        list, List, Vec<Values>);
}
