//! Convex solids in millimetres: what a board is once its ends are trimmed.
//!
//! A board is a cuboid, and each cut of the saw takes away what lies beyond a plane: [`Convex::cuboid`], then
//! [`Convex::cut`] for each plane. What comes out can be measured ([`Convex::volume`], [`Convex::area`],
//! [`Convex::bounds`]), held against another solid ([`Convex::overlap`], [`Convex::contact`]), looked through
//! ([`Convex::ray`], [`Convex::section`]) and handed on as triangles ([`Convex::mesh`]).
//!
//! ```
//! use shape::{Convex, HalfSpace};
//! let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
//! let board = Convex::cuboid([0.0; 3], axes, [600.0, 95.0, 20.0]);
//! // A mitre of 45° across the width takes a triangle off the end.
//! let mitre = HalfSpace::through([600.0, 0.0, 0.0], [1.0, 1.0, 0.0]).unwrap();
//! let mitred = board.cut(&mitre).unwrap();
//! assert!((board.volume() - mitred.volume() - 95.0 * 95.0 / 2.0 * 20.0).abs() < 1e-6);
//! ```
//!
//! Numbers are `f64`, and only the four operations and the square root are used, which every machine rounds alike: the same
//! input gives the same bytes everywhere. The crate knows nothing of lengths, parts or plans.
#![deny(missing_docs)]
#![forbid(unsafe_code)]

pub mod vector;
mod plane;
mod convex;
mod cut;
mod sizes;
mod pair;
mod through;

pub use convex::{Convex, Edge, Face};
pub use pair::Contact;
pub use plane::HalfSpace;
pub use vector::Vector;

/// Closer than this, in millimetres, a corner counts as lying on a plane. It is a nanometre, the step of the lengths that
/// come in, and far above the rounding of `f64` in anything that a person can carry.
pub const TOUCH: f64 = 1e-6;

#[cfg(test)]
mod tests;
