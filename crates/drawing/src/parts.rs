//! Parts that are not square: one drawing for each kind, from which it can be marked out and cut.
//!
//! The face with its corners as running dimensions from one end (ISO 129-1, *from memory*), on both edges, so that long and
//! short points are read off; where a plane is not square to the face, the edge too; where one runs along the grain, the
//! end. Angles are what a saw is set to (*common practice*): the mitre on the face from square across, the tilt of the blade from upright.

mod cuts;
mod face;

use crate::boards::{Block, in_pages, stack};
use crate::lettering::{LARGE, SMALL, wrap};
use crate::paper::{Paper, exact, figures};
use crate::pen::{LEADING, Pen};
use crate::svg::Svg;
use crate::template::{letters, ranges};
use cuts::Cuts;
use face::Face;
use measure::{Length, Tape, Unit};
use model::build::Build;
use model::part::{Form, Part};
use std::collections::BTreeMap;

/// All kinds of parts with ends trimmed or edges planed, one below the other. Square parts have none: the list has their
/// sizes.
pub fn parts(build: &Build, tape: Tape, paper: Paper) -> Svg {
    page(blocks(build, tape, paper), tape, paper)
}

/// The same in as many drawings as it takes for each to be no higher than the paper, so far as a single part is not; none
/// where all parts are square.
pub fn parts_in_pages(build: &Build, tape: Tape, paper: Paper) -> Vec<Svg> {
    in_pages(blocks(build, tape, paper), paper).into_iter().map(|blocks| page(blocks, tape, paper)).collect()
}

fn page(blocks: Vec<Block>, tape: Tape, paper: Paper) -> Svg {
    let heading = if blocks.is_empty() {
        "All parts are square".to_owned()
    } else {
        format!("All readings from 0{}; mitres from square, tilts from upright", figures(tape))
    };
    stack(blocks, &heading, "Parts that are not square", paper)
}

/// Parts of one kind.
struct Kind<'a> {
    letters: &'a str,
    parts: Vec<&'a Part>,
    form: Form,
    /// The form of its mirror image.
    mirrored: Form,
}

fn kinds(build: &Build) -> Vec<Kind<'_>> {
    let mut all: BTreeMap<(usize, &str), Vec<&Part>> = BTreeMap::new();
    let trimmed = |part: &&Part| part.solid.ends.iter().any(|planes| !planes.is_empty());
    for part in build.parts.iter().filter(trimmed) {
        let letters = letters(&part.id);
        all.entry((letters.len(), letters)).or_default().push(part);
    }
    let kind = |((_, letters), parts)| Kind::of(letters, parts);
    all.into_iter().map(kind).collect()
}

impl<'a> Kind<'a> {
    /// Parts that share their letters are alike.
    fn of(letters: &'a str, parts: Vec<&'a Part>) -> Kind<'a> {
        let (form, mirrored) = (parts[0].form(), mirror(parts[0]).form());
        Kind { letters, parts, form, mirrored }
    }

    /// Whether the other is its mirror image, of the same piece and stock: its other hand.
    fn is_other_hand(&self, other: &Kind) -> bool {
        let (own, its) = (self.parts[0], other.parts[0]);
        !self.form.agrees(&self.mirrored)
            && other.form.agrees(&self.mirrored)
            && own.stock == its.stock
            && own.key.piece == its.key.piece
    }
}

/// The part as a mirror shows it: its thickness turned round.
fn mirror(part: &Part) -> Part {
    let mut mirrored = part.clone();
    let thick = 3 - part.at.along.index() - part.at.across.index();
    for plane in mirrored.solid.ends.iter_mut().flatten() {
        plane.normal[thick] = -plane.normal[thick];
        plane.through[thick] = part.solid.thickness - plane.through[thick];
    }
    mirrored
}

fn blocks(build: &Build, tape: Tape, paper: Paper) -> Vec<Block> {
    let kinds = kinds(build);
    let hand = |kind: &Kind| {
        let other = kinds.iter().find(|other| kind.is_other_hand(other))?;
        Some(format!("The mirror image of {}: one is the left hand, the other the right hand", other.letters))
    };
    kinds.iter().filter_map(|kind| block(kind, hand(kind), tape, paper)).collect()
}

fn block(kind: &Kind, hand: Option<String>, tape: Tape, paper: Paper) -> Option<Block> {
    let part = kind.parts[0];
    let third = tape.unit() != Unit::Millimetre;
    let face = Face::of(part, third)?;
    let cuts = Cuts::of(part, &face);
    let wide = paper.width();
    let sheet = face::Sheet::of(&face, &cuts, wide, tape);
    let (count, key) = (kind.parts.len(), &part.key);
    let heading = format!("{}: {count} off, {} {}, {}", kind.letters, key.piece, key.role, sheet.scale());
    let words = words(kind, &face, &cuts, hand, tape);
    let mut pen = Pen::new();
    let y = pen.lines(&wrap(&heading, LARGE, wide, 2), [0.0, LARGE + 0.3], LARGE) - LARGE + SMALL - 0.6;
    let y = pen.lines(&wrap(&words, SMALL, wide, MOST_LINES), [0.0, y], SMALL) - SMALL * (LEADING - 0.6);
    let height = sheet.draw(&mut pen, y);
    Some(Block { pen, height, words: format!("{heading}. {words}") })
}

/// How the ends and edges of a part are cut, in a few words.
pub(crate) fn in_short(part: &Part, tape: Tape) -> String {
    let face = Face::of(part, tape.unit() != Unit::Millimetre);
    face.map_or_else(|| "square".to_owned(), |face| Cuts::of(part, &face).in_short())
}

/// The most lines of what is said above a part.
const MOST_LINES: usize = 12;

fn words(kind: &Kind, face: &Face, cuts: &Cuts, hand: Option<String>, tape: Tape) -> String {
    let part = kind.parts[0];
    let size = |length: Length| exact(tape, length.round_to(tape.step()));
    let [long, wide, thick] = [part.solid.length, part.solid.width, part.solid.thickness].map(size);
    let ids: Vec<&str> = kind.parts.iter().map(|part| part.id.as_str()).collect();
    let mut said =
        vec![format!("{}. {long} along the grain, long point to long point, {wide} wide, {thick} thick", ranges(&ids))];
    said.extend(cuts.words(face, tape));
    said.extend(hand);
    said.push(face.words(&part.id));
    format!("{}.", said.join(". "))
}
