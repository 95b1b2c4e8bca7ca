//! What stands in walls, of a yard that all of these tests share.

use crate::shop::{self, Told};
use measure::Length;
use model::build::{Build, Needed};
use model::part::Part;
use model::why::Quantity;

pub use crate::shop::parts;

const YARD: &str = "\
[board.larch-145]\nthickness = 20\nwidth = 145\nlengths = [{ length = 3600 }]\n\
[board.pine-140]\nthickness = 32\nwidth = 140\nlengths = [{ length = 3600 }]\n\
[board.pine-90]\nthickness = 32\nwidth = 90\nlengths = [{ length = 3600 }]\n\
[board.post-47]\nthickness = 47\nwidth = 47\nlengths = [{ length = 2400 }]\n\
[board.post-70]\nthickness = 70\nwidth = 70\nlengths = [{ length = 3000 }]\n\
[board.flat-post]\nthickness = 45\nwidth = 95\nlengths = [{ length = 3000 }]\n\
[board.short-post]\nthickness = 45\nwidth = 45\nlengths = [{ length = 300 }]\n\
[board.rail-45]\nthickness = 20\nwidth = 45\nlengths = [{ length = 1800 }]\n\
[board.sleeper]\nthickness = 50\nwidth = 200\nlengths = [{ length = 2600 }]\n\
[sheet.ply]\nthickness = 18\nsizes = [{ length = 2440, width = 1220 }]\n\
[sheet.small]\nthickness = 12\nsizes = [{ length = 1200, width = 600 }, { length = 800, width = 800 }]\n\
[screw.deck]\ndiameter = 5\nlengths = [{ length = 60 }]\n\
[bag.soil-50]\nlitres = 50\nwet-density = 1500\n\
[bag.gravel]\nlitres = 20\n\
[roll.pond]\nwidth = 2000\n\
[roll.narrow]\nwidth = 1000\n\
[roll.tape]\nwidth = 200\n";

/// What comes out, or what is told instead: by the reader, by a piece, or the limits by which it collides in fit.
pub fn build(pieces: &str) -> Result<Build, Vec<String>> {
    shop::build(pieces, YARD).map_err(|told| match told {
        Told::Problems(problems) => shop::messages(problems),
        Told::Collides { limits, rows } if limits.is_empty() => rows,
        Told::Collides { limits, .. } => limits,
    })
}

pub fn built(pieces: &str) -> Build {
    let build = build(pieces).unwrap_or_else(|told| panic!("{told:#?}"));
    shop::is_sound(&build, 1e-3);
    build
}

/// The one thing that is told in place of a build.
pub fn told(pieces: &str) -> String {
    let told = build(pieces).expect_err("it cannot be built");
    assert_eq!(told.len(), 1, "{told:#?}");
    told.into_iter().next().unwrap_or_default()
}

/// The lengths of a piece's parts of a role, each with how many there are, longest first.
pub fn lengths(build: &Build, piece: &str, role: &str) -> Vec<(usize, Length)> {
    let mut lengths: Vec<Length> = parts(build, piece, role).iter().map(|part| part.solid.length).collect();
    lengths.sort_by(|a, b| b.cmp(a));
    lengths.chunk_by(|a, b| a == b).map(|alike| (alike.len(), alike[0])).collect()
}

/// Face, index and corner of each part of a role, in millimetres.
pub fn corners(build: &Build, piece: &str, role: &str) -> Vec<(String, u32, [f64; 3])> {
    let corner = |part: &&Part| (part.key.face.clone(), part.key.index, part.at.corner.map(Length::as_mm));
    parts(build, piece, role).iter().map(corner).collect()
}

pub fn quantity<'b>(build: &'b Build, name: &str) -> &'b Quantity {
    let found: Vec<&Quantity> = build.quantities.iter().filter(|quantity| quantity.name == name).collect();
    assert_eq!(found.len(), 1, "`{name}` is told once");
    found[0]
}

pub fn value(build: &Build, name: &str) -> i128 {
    quantity(build, name).value.value
}

/// What is needed for a piece.
pub fn needs(build: &Build, piece: &str) -> Vec<(String, Needed)> {
    let own = build.needs.iter().filter(|need| need.piece == piece);
    own.map(|need| (need.what.clone(), need.of.clone())).collect()
}

/// The notes of a piece in one text.
pub fn notes(build: &Build, piece: &str) -> String {
    let own = build.notes.iter().filter(|note| note.piece == piece);
    own.map(|note| note.text.as_str()).collect::<Vec<_>>().join("\n")
}

pub fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} is not {expected}");
}
