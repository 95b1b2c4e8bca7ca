//! Exact lengths and the other quantities of the trade: read, counted, printed.
//!
//! A [`Length`] is a whole number of nanometres, so that 1 mm and 1/64 in are both exact and a sum never drifts.
//! [`parse()`] reads what a maker writes (`845`, `84.5cm`, `3-1/2"`, `5' 6 3/8"`), [`Tape`] prints it at the step of the
//! maker's tape, and [`Share`] keeps a length that is divided over several places as *total over n*, undivided, until it
//! is marked on a rod.
//!
//! This crate knows no timber, no plan and no file; everything else in the house stands on it.
#![forbid(unsafe_code)]

mod angle;
mod length;
mod parse;
mod physics;
mod quantity;
mod share;
mod tape;

pub use angle::{Angle, BadAngle};
pub use length::Length;
pub use parse::{BadLength, parse};
pub use physics::{Factor, Force, LineLoad, Moment, Pressure, Speed, UnitWeight};
pub use quantity::{Area, Density, Mass, Minutes, Money, Percent, Volume};
pub use share::Share;
pub use tape::{Tape, Unit};
