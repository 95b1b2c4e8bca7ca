//! The referee on whole records: what it passes, what it finds, and that it never panics.

mod records;
mod passes;
mod falsehood;
mod named;
mod fittings;
mod joined;
mod decks;
mod order;
mod lapped;
mod lasting;
mod sawn;
mod home;
mod shop;
mod sides;
mod daybook;
mod every_number;
mod nonsense;
mod outlines;
