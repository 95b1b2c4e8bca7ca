//! Published numbers with their sources: the only place in the house where a reference number lives.
//!
//! Each row carries where it comes from and how it is known: *published* means that somebody read it in the source that is
//! named or in a named copy of it, *from memory* that it is recalled from that source and was not looked up. A figure that is
//! from memory may be a default and is shown with that mark; no test rests on it alone.
#![forbid(unsafe_code)]

pub mod durability;
pub mod fasteners;
pub mod floors;
pub mod guards;
pub mod lifting;
pub mod loads;
pub mod materials;
pub mod metals;
pub mod moisture;
pub mod movement;
pub mod sawing;
pub mod soil;
pub mod strength;
