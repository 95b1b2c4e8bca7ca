//! Engine: chooses all counts and sizes at once so that everything comes out whole. Integers only; knows no timber.
#![deny(missing_docs)]
#![forbid(unsafe_code)]

pub mod problem;

pub use problem::*;

/// Best closings (being built).
pub fn solve(
    _problem: &Problem,
    _ranking: Ranking,
    _limits: &Limits,
    _cancel: &dyn Fn() -> bool,
) -> Result<Outcome, Fault> {
    Ok(Outcome::Unfinished { steps: 0 })
}
/// Windows of one size (being built).
pub fn windows(
    _problem: &Problem,
    _size: usize,
    _choices: &[usize],
    _over: (i64, i64),
) -> Result<Vec<Window>, Fault> {
    Ok(Vec::new())
}
/// Why nothing comes out (being built).
pub fn explain(
    _problem: &Problem,
    _limits: &Limits,
    _cancel: &dyn Fn() -> bool,
) -> Result<Collision, Fault> {
    Ok(Collision { set: Vec::new(), limits: Vec::new(), relaxations: Vec::new(), minimal: false, steps: 0 })
}
