//! What follows from a detailed plan: [`check`], [`cut`], [`buy`], [`make`], [`saw`]. Each is a pure function of what stands above it and calls
//! none of the others' work again: buy reads what cut came to, check reads the parts,
//! saw reads what is cut from what.
#![forbid(unsafe_code)]

pub mod rules;
pub mod cut;
pub mod buy;
pub mod check;
pub mod make;
pub mod saw;
mod parting;
pub mod work;
