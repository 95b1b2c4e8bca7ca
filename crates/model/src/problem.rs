//! What is wrong with a text, where, and what to do about it.

use std::ops::Range;

/// Which of the texts a place lies in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum File {
    /// The plan.
    Plan,
    /// The yard.
    Yard,
    /// The shed.
    Shed,
}

/// A stretch of one of the texts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Which text.
    pub file: File,
    /// The bytes of it, on character boundaries.
    pub bytes: Range<usize>,
}

/// One thing wrong: what, where, and a hint. Rendered with the text underlined by `read::render`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What is wrong, with the values, without a full stop.
    pub message: String,
    /// Where, if it lies somewhere.
    pub place: Option<Place>,
    /// What was expected at that place, written beneath the underline.
    pub expected: Option<String>,
    /// What to do.
    pub hint: Option<String>,
}

impl Problem {
    /// A problem with this message, so far without a place.
    pub fn new(message: impl Into<String>) -> Problem {
        Problem { message: message.into(), place: None, expected: None, hint: None }
    }

    /// The same, at a place.
    pub fn at(mut self, place: &Place) -> Problem {
        self.place = Some(place.clone());
        self
    }

    /// The same, with what was expected there.
    pub fn expected(mut self, expected: impl Into<String>) -> Problem {
        self.expected = Some(expected.into());
        self
    }

    /// The same, with a hint.
    pub fn hint(mut self, hint: impl Into<String>) -> Problem {
        self.hint = Some(hint.into());
        self
    }
}
