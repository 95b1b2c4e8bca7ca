//! Walls, claddings, edgings and caps read from text, fitted and laid out whole: counts, lengths, places, volumes.
//!
//! What they are held against stands at each check: numbers worked outside this project, the tables of the trade (*common
//! practice*), closed forms, and solid geometry.
#![expect(clippy::disallowed_methods, reason = "closed forms are worked out by other functions than the house uses")]

#[path = "../workshop/mod.rs"]
mod shop;
mod workshop;

mod walls;
mod regular;
mod batter;
mod cap;
mod cladding;
mod lapped;
mod edging;
