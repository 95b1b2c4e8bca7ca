//! Walls and what lies against them, of a yard that all of these tests share.

use crate::shop::{self, Told};
use measure::Length;
use model::build::Build;
use model::part::Part;
use model::why::Quantity;

pub use crate::shop::parts;

const YARD: &str = "\
[board.slat]\nthickness = 20\nwidth = 100\nlengths = [{ length = 3000 }]\n\
[board.lath]\nthickness = 20\nwidth = 40\nlengths = [{ length = 3000 }]\n\
[board.thick]\nthickness = 25\nwidth = 100\nlengths = [{ length = 3000 }]\n\
[board.larch-145]\nthickness = 20\nwidth = 145\nlengths = [{ length = 3600 }]\n\
[board.cap-95]\nthickness = 20\nwidth = 95\nlengths = [{ length = 3000 }]\n\
[board.pine-140]\nthickness = 32\nwidth = 140\nlengths = [{ length = 3600 }]\n\
[board.post-70]\nthickness = 70\nwidth = 70\nlengths = [{ length = 3000 }]\n\
[board.post-90]\nthickness = 45\nwidth = 90\nlengths = [{ length = 3000 }]\n\
[board.feather]\nthickness = 16\nthin-edge = 6\nwidth = 150\nlengths = [{ length = 3600 }]\n\
[board.strip-7]\nthickness = 7\nwidth = 25\nlengths = [{ length = 3000 }]\n\
[board.strip-18]\nthickness = 18\nwidth = 30\nlengths = [{ length = 3000 }]\n\
[board.rib]\nthickness = 30\nwidth = 60\nlengths = [{ length = 2400 }]\n\
[board.cedar]\nthickness = \"3/4 in\"\nwidth = \"3-1/2 in\"\nlengths = [{ length = \"8 ft\" }]\n\
[unit.sett]\nlength = 100\nwidth = 100\nthickness = 80\n\
[unit.brick]\nlength = 215\nwidth = 102.5\nthickness = 65\n\
[screw.deck]\ndiameter = 5\nlengths = [{ length = 60 }]\n\
[sheet.ply]\nthickness = 18\nsizes = [{ length = 2440, width = 1220 }]\n";

/// What comes out, or what is told instead: by the reader, by a piece, or by fit.
pub fn build(pieces: &str) -> Result<Build, Vec<String>> {
    shop::build(pieces, YARD).map_err(|told| match told {
        Told::Problems(problems) => shop::messages(problems),
        Told::Collides { limits, rows } => {
            assert!(limits.len() + rows.len() > 0, "it collides over nothing");
            vec!["collides".into()]
        }
    })
}

pub fn built(pieces: &str) -> Build {
    build(pieces).unwrap_or_else(|told| panic!("{told:#?}"))
}

/// The one thing that is told in place of a build.
pub fn told(pieces: &str) -> String {
    let told = build(pieces).map(|_| ()).expect_err("it cannot be built");
    assert_eq!(told.len(), 1, "{told:#?}");
    told.into_iter().next().unwrap_or_default()
}

/// The lengths of a piece's parts of a role, each with how many there are, longest first, in nanometres.
pub fn lengths(build: &Build, piece: &str, role: &str) -> Vec<(usize, Length)> {
    let mut lengths: Vec<Length> = parts(build, piece, role).iter().map(|part| part.solid.length).collect();
    lengths.sort_by(|a, b| b.cmp(a));
    lengths.chunk_by(|a, b| a == b).map(|alike| (alike.len(), alike[0])).collect()
}

pub fn quantity<'b>(build: &'b Build, name: &str) -> &'b Quantity {
    let found: Vec<&Quantity> = build.quantities.iter().filter(|quantity| quantity.name == name).collect();
    assert_eq!(found.len(), 1, "`{name}` is told once");
    found[0]
}

/// The volume of all parts of a piece by their shapes, in cubic millimetres.
pub fn volume(build: &Build, piece: &str) -> f64 {
    let own = build.parts.iter().filter(|part| part.key.piece == piece);
    own.map(|part| part.shape().expect("something is left").volume()).sum()
}

/// That the parts of a build are apart, in steps, and its numbers right.
pub fn is_sound(build: &Build) {
    shop::is_sound(build, MICROMETRE);
}

/// How closely parts have to meet, in millimetres.
pub const MICROMETRE: f64 = 1e-3;

/// In how large an area two parts touch, in mm².
pub fn contact(one: &Part, other: &Part) -> f64 {
    let shape = |part: &Part| part.shape().expect("something is left");
    shape(one).contact(&shape(other), MICROMETRE).map_or(0.0, |contact| contact.area())
}

pub fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} is not {expected}");
}
