//! Checks of the whole engine against things outside it: published tables, worked builds, brute force, a general solver
//! and a referee that shares no code with the search.

mod brute;
mod brute_checks;
mod builders;
mod collisions;
mod effort;
mod full_scale;
mod limits;
mod milp;
mod referee;
mod scenarios;
mod tables;
