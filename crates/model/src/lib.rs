//! The types on the arrows: outline, layer, row, part, step, plan, ids and why.
//!
//! Nothing here decides anything, with one exception that has its only home here: [`corner`] is the law by which rows end
//! at the corners of an [`outline`]. The modules stand in the order of the flow: a text is read by a [`schema`] into a
//! [`plan`] with its [`stock`] (or into [`problem`]s); its sizes are [`affine`] until they are fitted; then they are
//! [`part`]s of a [`build`], held by [`joint`]s, each number of which can be asked [`why`].
#![forbid(unsafe_code)]

pub mod problem;
pub mod schema;
pub mod price;
pub mod standing;
pub mod stock;
pub mod clear;
pub mod plan;
pub mod affine;
pub mod outline;
pub mod corner;
// Whole rings at any angle, laid by the corner law for its property tests.
#[cfg(test)]
mod ring;
pub mod part;
pub mod joint;
pub mod build;
pub mod slant;
pub mod why;
