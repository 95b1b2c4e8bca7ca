//! A plan as it was read: what the maker wants, piece by piece, before anything is decided.

use crate::problem::Place;
use crate::schema::{Schema, Values};
use crate::stock::{Shed, Yard};
use measure::Tape;

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
