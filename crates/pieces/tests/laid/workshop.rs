//! Pieces with a yard of their own each.

use crate::shop::{self, Told};
use measure::Length;
use model::build::Build;
use model::part::Part;

pub use crate::shop::parts;

/// What comes out, or what is told instead: by the reader, by the pieces, or the names of the limits that fit cannot keep.
pub fn build(pieces: &str, yard: &str) -> Result<Build, Vec<String>> {
    shop::build(pieces, yard).map_err(|told| match told {
        Told::Collides { limits, rows } => [rows, limits].concat(),
        Told::Problems(problems) => shop::messages(problems),
    })
}

pub fn built(pieces: &str, yard: &str) -> Build {
    let build = build(pieces, yard).unwrap_or_else(|told| panic!("{told:#?}"));
    is_sound(&build);
    build
}

/// That the parts of a build are apart, in steps, and its numbers right.
pub fn is_sound(build: &Build) {
    shop::is_sound(build, 1e-5);
}

/// What is told in place of a build.
pub fn told(pieces: &str, yard: &str) -> String {
    build(pieces, yard).expect_err("nothing comes out").join("; ")
}

/// The lengths of the parts of a role, in the order of the build.
pub fn lengths(build: &Build, piece: &str, role: &str) -> Vec<Length> {
    parts(build, piece, role).iter().map(|part| part.solid.length).collect()
}

/// The lower corners of the parts of a role along an axis.
pub fn places(build: &Build, piece: &str, role: &str, axis: usize) -> Vec<Length> {
    parts(build, piece, role).iter().map(|part| part.at.corner[axis]).collect()
}

pub fn mm<const N: usize>(lengths: [i64; N]) -> Vec<Length> {
    lengths.map(Length::mm).to_vec()
}

pub fn quantity(build: &Build, name: &str) -> i128 {
    let found = build.quantities.iter().find(|quantity| quantity.name == name);
    found.unwrap_or_else(|| panic!("no `{name}`")).value.value
}

/// How many parts of a role touch parts of another, pair by pair: where screws would go.
pub fn touching(build: &Build, held: [&str; 2], base: [&str; 2]) -> usize {
    let shape = |part: &&Part| part.shape().expect("a shape");
    let bases: Vec<_> = parts(build, base[0], base[1]).iter().map(shape).collect();
    let held: Vec<_> = parts(build, held[0], held[1]).iter().map(shape).collect();
    held.iter().flat_map(|held| bases.iter().filter(|base| held.contact(base, 1e-3).is_some())).count()
}

/// That what was told says this.
pub fn holds(told: &str, says: &str) {
    assert!(told.contains(says), "{told}\n{says}");
}
