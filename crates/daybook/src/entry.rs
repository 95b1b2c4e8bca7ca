//! Entries: one thing that was read, done or decided.

use measure::Length;
use model::standing::Out;
use std::collections::BTreeMap;

/// The sizes that a part hangs on, by name, with the values they had when it was cut.
pub type Holds = BTreeMap<String, Length>;

/// One line of the day book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its number, from 1.
    pub number: u32,
    /// The [`digest`](crate::digest) of the plan's text when it was written.
    pub plan: String,
    /// How many cut-off lines stand directly before it.
    pub cut_off: u32,
    /// What it says.
    pub what: What,
}

/// What an entry says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// The yard has so many boards of this length.
    Only {
        /// The board's name in the yard file.
        board: String,
        /// Its length by the label.
        length: Length,
        /// How many there are.
        left: u32,
    },
    /// So many boards of this length came home.
    Bought {
        /// The board's name in the yard file.
        board: String,
        /// Its length by the label.
        length: Length,
        /// How many.
        count: u32,
    },
    /// Boards side by side.
    Width {
        /// The board's name in the yard file.
        board: String,
        /// How many lie side by side.
        over: u32,
        /// What they read together.
        reads: Length,
    },
    /// How thick a board or sheet is.
    Thickness {
        /// Which of the two.
        shelf: Shelf,
        /// Its name in the yard file.
        name: String,
        /// What one reads.
        reads: Length,
    },
    /// Boards at home that are longer or shorter than their label.
    TrueLength {
        /// The board's name in the yard file.
        board: String,
        /// Their length by the label.
        length: Length,
        /// What each of them reads.
        reads: Vec<Length>,
    },
    /// How wide a test slot is.
    Kerf {
        /// What it reads.
        reads: Length,
    },
    /// Units laid dry in a row.
    Units {
        /// The unit's name in the yard file.
        unit: String,
        /// How many lie in the row.
        over: u32,
        /// The joint between each two.
        joint: Length,
        /// Which side of them lies along the row.
        along: Along,
        /// What they read together.
        reads: Length,
    },
    /// Parts that were cut.
    Cut {
        /// Their slots.
        parts: Vec<String>,
        /// Which board at home each came off, counted from 1 as they came home; empty if the book does not know them.
        from: Vec<u32>,
        /// How long they are.
        length: Length,
        /// The sizes that they hang on.
        holds: Holds,
    },
    /// A part that was cut and came out at another length.
    Wrong {
        /// The slot it was meant for.
        part: String,
        /// Which board at home it came off, if the book knows it.
        from: Option<u32>,
        /// How long it is.
        length: Length,
        /// The sizes that the slot hangs on.
        holds: Holds,
    },
    /// A way out that was taken.
    Took {
        /// The entry that it is a way out of.
        entry: u32,
        /// Which.
        way: Out,
        /// The slots of the objects that it changes.
        parts: Vec<String>,
        /// How long these are then, if they are cut again.
        length: Option<Length>,
        /// The sizes that it moves, with their new values.
        holds: Holds,
    },
    /// An entry that counts no longer.
    Undo {
        /// Its number.
        entry: u32,
    },
}

impl What {
    /// The word for it in the file.
    pub fn word(&self) -> &'static str {
        match self {
            What::Only { .. } => "only",
            What::Bought { .. } => "bought",
            What::Width { .. } => "width",
            What::Thickness { .. } => "thickness",
            What::TrueLength { .. } => "true-length",
            What::Kerf { .. } => "kerf",
            What::Units { .. } => "units",
            What::Cut { .. } => "cut",
            What::Wrong { .. } => "wrong",
            What::Took { .. } => "took",
            What::Undo { .. } => "undo",
        }
    }

    /// The slots that it names.
    pub fn slots(&self) -> &[String] {
        match self {
            What::Cut { parts, .. } | What::Took { parts, .. } => parts,
            What::Wrong { part, .. } => std::slice::from_ref(part),
            _ => &[],
        }
    }

    /// The sizes that it holds.
    pub fn holds(&self) -> Option<&Holds> {
        match self {
            What::Cut { holds, .. } | What::Wrong { holds, .. } | What::Took { holds, .. } => Some(holds),
            _ => None,
        }
    }
}

/// Boards or sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shelf {
    /// A board.
    Board,
    /// A sheet.
    Sheet,
}

impl Shelf {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Shelf::Board => "board",
            Shelf::Sheet => "sheet",
        }
    }
}

/// A side of a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// The longer side seen from above.
    Length,
    /// The shorter one.
    Width,
}

impl Along {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Along::Length => "length",
            Along::Width => "width",
        }
    }
}
