//! The app asked whole: every example build, every value of its files.

mod builds;
mod common;
mod edits;
mod sentence;
