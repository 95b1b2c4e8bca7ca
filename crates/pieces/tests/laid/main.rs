//! What is laid and set: decks, seats, frames, pads and screens, read from text, against figures that were worked out elsewhere.
//!
//! "Worked outside this project" are the results of our own scenarios, computed by a separate script in plain arithmetic that
//! shares nothing with this repository, and checked by hand.

#[path = "../workshop/mod.rs"]
mod shop;
mod workshop;
mod slats;
mod frame;
mod pad;
mod screen;
