//! Hole templates: one for each kind of board, every hole from one end and from one edge.
//!
//! Running dimensions from one origin (ISO 129-1, *from memory*): no error adds up, and one hook of the tape reads all.
//! Parts with the same letters and their holes in the same places share a template.

use crate::boards::{Block, in_pages, stack};
use crate::lettering::{LARGE, SMALL, wrap};
use crate::paper::{Paper, exact, figures};
use crate::pen::{LEADING, Pen};
use crate::plate::{self, Hole, Plate, direction};
use crate::svg::Svg;
use measure::{Length, Tape};
use model::build::Build;
use model::joint::Joints;
use model::part::from_mm;
use std::collections::BTreeMap;

/// All templates, one below the other.
pub fn templates(build: &Build, joints: &Joints, tape: Tape, paper: Paper) -> Svg {
    page(blocks(build, joints, tape, paper), tape, paper)
}

/// The same in as many drawings as it takes for each to be no higher than the paper, so far as a single template is not.
pub fn templates_in_pages(build: &Build, joints: &Joints, tape: Tape, paper: Paper) -> Vec<Svg> {
    in_pages(blocks(build, joints, tape, paper), paper).into_iter().map(|blocks| page(blocks, tape, paper)).collect()
}

fn page(blocks: Vec<Block>, tape: Tape, paper: Paper) -> Svg {
    let heading = if blocks.is_empty() {
        "No part is drilled".to_owned()
    } else {
        format!("All readings from 0{}", figures(tape))
    };
    stack(blocks, &heading, "Hole templates", paper)
}

/// Parts that are drilled alike, by the letters of their ids.
struct Template {
    letters: String,
    plate: Plate,
    /// The parts by their places in the build, and which way the face of each looks.
    parts: Vec<(usize, &'static str)>,
}

/// What templates are told apart by: the letters, the size of the face and the holes as a tape reads them, and whether the
/// part stands.
pub(crate) type Key = (String, Vec<[String; 4]>, [String; 2], bool);

fn all(build: &Build, joints: &Joints, tape: Tape) -> Vec<Template> {
    // A part may be drilled from several sides: one plate for each.
    let mut plates: BTreeMap<(usize, [i64; 3]), Plate> = BTreeMap::new();
    for joint in &joints.made {
        let Some(fresh) = build.parts.get(joint.held).and_then(|part| Plate::of(part, direction(joint))) else {
            continue;
        };
        plates.entry((joint.held, fresh.side())).or_insert(fresh).bore(joint);
    }
    let mut known: BTreeMap<Key, usize> = BTreeMap::new();
    let mut templates: Vec<Template> = Vec::new();
    for ((part, _), plate) in plates {
        let letters = letters(&build.parts[part].id).to_owned();
        let place = *known.entry(key(&letters, &plate, tape)).or_insert(templates.len());
        if place == templates.len() {
            templates.push(Template { letters, plate: plate.clone(), parts: Vec::new() });
        }
        templates[place].parts.push((part, plate.looks()));
    }
    templates.sort_by(|a, b| (a.letters.len(), &a.letters).cmp(&(b.letters.len(), &b.letters)));
    templates
}

pub(crate) fn key(letters: &str, plate: &Plate, tape: Tape) -> Key {
    let read = |mm: f64| tape.show(from_mm(mm));
    let hole = |hole: &Hole| [read(hole.at[0]), read(hole.at[1]), exact(tape, hole.wide), exact(tape, hole.tall)];
    let mut holes: Vec<[String; 4]> = plate.holes.iter().map(hole).collect();
    holes.sort_unstable();
    (letters.to_owned(), holes, plate.size.map(read), plate.upright)
}

/// An id without its number.
pub(crate) fn letters(id: &str) -> &str {
    id.trim_end_matches(|sign: char| sign.is_ascii_digit())
}

fn blocks(build: &Build, joints: &Joints, tape: Tape, paper: Paper) -> Vec<Block> {
    let templates = all(build, joints, tape);
    let variants = |template: &Template| {
        let alike: Vec<&Template> = templates.iter().filter(|other| other.letters == template.letters).collect();
        let place = alike.iter().position(|other| std::ptr::eq(*other, template)).unwrap_or(0);
        if alike.len() > 1 { format!(", {} of {}", place + 1, alike.len()) } else { String::new() }
    };
    templates.iter().map(|template| block(build, template, &variants(template), tape, paper)).collect()
}

fn block(build: &Build, template: &Template, variant: &str, tape: Tape, paper: Paper) -> Block {
    let (mut pen, wide, plate) = (Pen::new(), paper.width(), &template.plate);
    let key = &build.parts[template.parts[0].0].key;
    let scale = plate::scale(plate, wide, tape);
    let (count, letters) = (template.parts.len(), &template.letters);
    let heading = format!("{letters}{variant}: {count} off, {} {}, {scale}", key.piece, key.role);
    let words = words(build, template, tape);
    let y = pen.lines(&wrap(&heading, LARGE, wide, 2), [0.0, LARGE + 0.3], LARGE) - LARGE + SMALL - 0.6;
    let y = pen.lines(&wrap(&words, SMALL, wide, usize::MAX), [0.0, y], SMALL) - SMALL * (LEADING - 0.6);
    let height = plate::draw(&mut pen, plate, &[], [0.0, y, wide], tape);
    Block { pen, height, words: format!("{heading}. {words}") }
}

/// Which parts, which face, from where, how wide.
fn words(build: &Build, template: &Template, tape: Tape) -> String {
    let mut sides: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (part, looks) in &template.parts {
        sides.entry(looks).or_default().push(&build.parts[*part].id);
    }
    let faces: Vec<String> =
        sides.iter().map(|(looks, ids)| format!("{} from the face that looks {}", ranges(ids), way(looks))).collect();
    let mut wide: BTreeMap<[Length; 2], usize> = BTreeMap::new();
    for hole in &template.plate.holes {
        *wide.entry([hole.wide, hole.tall]).or_default() += 1;
    }
    let holes: Vec<String> = wide
        .iter()
        .map(|(&[wide, tall], count)| match tall > wide {
            true => format!("{count} × slot {} × {} across the board", exact(tape, wide), exact(tape, tall)),
            false => format!("{count} × Ø {}", exact(tape, wide)),
        })
        .collect();
    let zero = if template.plate.upright {
        "0 is the lower end, to the left, and the right-hand edge as it stands, below"
    } else {
        "0 is the left end and the lower edge, as one looks at the face"
    };
    let slots = if wide.keys().any(|[wide, tall]| tall > wide) { SLOTS } else { "" };
    format!("{} through: {}. {zero}.{slots}", holes.join(" and "), faces.join("; "))
}

/// How the screw of a slot is set, as the trade says it.
pub(crate) const SLOTS: &str = " The screw stands in the middle of its slot, under a washer or a pan head and not drawn tight: its head must slide.";

/// Which way a face looks, in words.
fn way(looks: &str) -> String {
    match looks {
        "up" | "down" => looks.to_owned(),
        _ => format!("to the {looks}"),
    }
}

/// Ids as ranges: `C1–C4, C7`.
pub(crate) fn ranges(ids: &[&str]) -> String {
    let number = |id: &str| id[letters(id).len()..].parse::<u32>().unwrap_or(0);
    let mut sorted: Vec<&str> = ids.to_vec();
    sorted.sort_by_key(|id| (letters(id).to_owned(), number(id)));
    sorted.dedup();
    let runs = sorted.chunk_by(|a, b| letters(a) == letters(b) && number(a) + 1 == number(b));
    let texts = runs.map(|run| match run {
        [first, .., last] => format!("{first}\u{2013}{last}"),
        _ => run.concat(),
    });
    texts.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_that_follow_one_another_are_ranges() {
        assert_eq!(ranges(&["C1", "C2", "C3", "C7", "B1"]), "B1, C1\u{2013}C3, C7");
        assert_eq!(ranges(&["C9", "C10"]), "C9\u{2013}C10");
    }
}
