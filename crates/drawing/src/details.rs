//! Details of joints: for each kind of joint the screws on the face they go into, and a cut along one of them.
//!
//! Joints are of one kind only if all that is drawn and read of them is the same: where the heads lie on the face of the held
//! part, where the base lies behind it, and the cut. A part whose screws are moved is thus drawn apart from its like, and each
//! drawing names the parts it is for.
//!
//! Running dimensions (ISO 129-1, *from memory*): on the face from one end and one edge of the held part, along the screw
//! from the outer face. The screw is drawn as its holes: clearance through the held part, pilot in the base.

use crate::boards::{Block, in_pages, stack};
use crate::lettering::{LARGE, SMALL, wrap};
use crate::paper::{Paper, Scale, exact, figures};
use crate::pen::{LEADING, Line, Path, Pen};
use crate::plate::{self, Plate, direction};
use crate::readings;
use crate::scene::clip;
use crate::section::hatch::hatch;
use crate::svg::Svg;
use crate::template::{self, SLOTS, letters, ranges};
use measure::{Length, Tape};
use model::build::Build;
use model::joint::{Joint, Joints};
use model::part::{Part, from_mm};
use shape::vector::{Vector, dot};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// How high the cut along a screw is drawn, and the most that it is long, in mm.
const CUT: f64 = 22.0;
const LONGEST: f64 = 90.0;
/// How wide the head is drawn, in clearance holes, and how deep; what the screw of the box measures is not drawn.
const HEAD: f64 = 2.0;
/// How long the tip is, in pilot holes.
const TIP: f64 = 2.0;

/// All kinds of joints, one below the other. `screws` are the names of the screws of the yard by their places on the shelf.
pub fn details(build: &Build, joints: &Joints, screws: &[String], tape: Tape, paper: Paper) -> Svg {
    page(blocks(build, joints, screws, tape, paper), tape, paper)
}

/// The same in as many drawings as it takes for each to be no higher than the paper, so far as a single detail is not.
pub fn details_in_pages(build: &Build, joints: &Joints, screws: &[String], tape: Tape, paper: Paper) -> Vec<Svg> {
    let blocks = blocks(build, joints, screws, tape, paper);
    in_pages(blocks, paper).into_iter().map(|blocks| page(blocks, tape, paper)).collect()
}

fn page(blocks: Vec<Block>, tape: Tape, paper: Paper) -> Svg {
    let heading = if blocks.is_empty() {
        "Nothing is screwed".to_owned()
    } else {
        format!("All readings from 0{}", figures(tape))
    };
    stack(blocks, &heading, "Details of joints", paper)
}

/// What the places of one part are told apart by, as it is printed: the letters of the base, screw and length, how many screws and
/// which slots at each place, the cut along a screw with its pilot hole.
type Place<'a> = (&'a str, usize, Length, usize, Vec<Length>, Vec<String>);

/// What parts are told apart by: their places, the face with its holes, and where the outlines of the bases cross that face.
type Key<'a> = (Place<'a>, template::Key, Vec<[String; 2]>);

/// All kinds of joints, by the letters of their parts and their screws; of those that have these in common, the first of the
/// build comes first.
fn kinds<'a>(build: &'a Build, joints: &'a Joints, screws: &'a [String], tape: Tape) -> Vec<Detail<'a>> {
    // First the places of each part on one drawing, then the parts of which the drawings are the same.
    let mut parts: BTreeMap<(usize, [i64; 3], Place), Detail> = BTreeMap::new();
    for joint in &joints.made {
        let Some(fresh) = Detail::of(build, joint, screws) else { continue };
        match parts.entry((joint.held, fresh.plate.side(), fresh.place(tape))) {
            Entry::Vacant(free) => drop(free.insert(fresh)),
            Entry::Occupied(known) => known.into_mut().add(fresh),
        }
    }
    let mut known: BTreeMap<Key, usize> = BTreeMap::new();
    let mut kinds: Vec<Detail> = Vec::new();
    for detail in parts.into_values() {
        let place = *known.entry(detail.key(tape)).or_insert(kinds.len());
        match kinds.get_mut(place) {
            Some(kind) => kind.alike.extend(detail.alike),
            None => kinds.push(detail),
        }
    }
    kinds.sort_by_key(|kind| kind.sort());
    kinds
}

fn blocks(build: &Build, joints: &Joints, screws: &[String], tape: Tape, paper: Paper) -> Vec<Block> {
    let kinds = kinds(build, joints, screws, tape);
    let mut blocks = Vec::new();
    for same in kinds.chunk_by(|a, b| a.letters() == b.letters()) {
        for (place, kind) in same.iter().enumerate() {
            let variant = if same.len() > 1 { format!(", {} of {}", place + 1, same.len()) } else { String::new() };
            blocks.push(kind.block(&variant, tape, paper));
        }
    }
    blocks
}

/// One kind of joint, all its places in one part on one face; what is said of a single place is said of the first.
struct Detail<'a> {
    build: &'a Build,
    /// The joints of this kind in all parts.
    alike: Vec<&'a Joint>,
    plate: Plate,
    /// The bases as they lie behind the face.
    behind: Vec<Vec<[f64; 2]>>,
    /// From the outer face along the screw to where the held part ends.
    through: f64,
    /// From there to where the base begins and ends; `None` where the screw misses it.
    base: Option<[f64; 2]>,
    screw: Option<&'a String>,
}

impl<'a> Detail<'a> {
    /// One joint; `None` where there is nothing to draw.
    fn of(build: &'a Build, joint: &'a Joint, screws: &'a [String]) -> Option<Detail<'a>> {
        let (held, base) = (build.parts.get(joint.held)?, build.parts.get(joint.base)?);
        let mut plate = Plate::of(held, direction(joint))?;
        plate.bore(joint);
        let (held, base) = (held.shape()?, base.shape()?);
        let head = joint.heads.first()?.map(Length::as_mm);
        let along = direction(joint);
        let (_, through) = held.ray(head, along)?;
        let hit = base.ray(head, along).map(<[f64; 2]>::from);
        let behind = crate::lines::outline(&base, &plate.view);
        let origin = plate.flat([0.0; 3]);
        let behind = behind.into_iter().map(|[x, y]| [x + origin[0], y + origin[1]]).collect();
        let screw = screws.get(joint.screw);
        Some(Detail { build, alike: vec![joint], plate, behind: vec![behind], through, base: hit, screw })
    }

    /// Another place of the same part.
    fn add(&mut self, other: Detail<'a>) {
        self.alike.extend(other.alike);
        self.plate.holes.extend(other.plate.holes);
        self.behind.extend(other.behind);
    }

    fn place(&self, tape: Tape) -> Place<'a> {
        let joint = self.alike[0];
        let mut slots: Vec<Length> = joint.slots.iter().map(|slot| slot.length).collect();
        slots.sort_unstable();
        let cut = std::iter::once(self.through).chain(self.base.into_iter().flatten()).map(|mm| tape.show(from_mm(mm)));
        let cut = cut.chain([exact(tape, joint.pilot)]).collect();
        (self.letters()[1], joint.screw, joint.length, joint.heads.len(), slots, cut)
    }

    fn key(&self, tape: Tape) -> Key<'a> {
        let sides = self.behind.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
        let seen = sides.filter_map(|(from, to)| clip(&self.plate.outline, *from, *to));
        let crossing = seen.filter(|ends| crosses(&self.plate.outline, *ends)).flatten();
        let mut crossing: Vec<[String; 2]> = crossing.map(|at| at.map(|mm| tape.show(from_mm(mm)))).collect();
        crossing.sort_unstable();
        crossing.dedup();
        (self.place(tape), template::key(self.letters()[0], &self.plate, tape), crossing)
    }

    /// The letters of the held part and of the base.
    fn letters(&self) -> [&'a str; 2] {
        [self.alike[0].held, self.alike[0].base].map(|place| letters(&self.part(place).id))
    }

    /// By what kinds are put in order.
    fn sort(&self) -> ([&'a str; 2], usize, Length, usize) {
        let joint = self.alike[0];
        (self.letters(), joint.screw, joint.length, joint.heads.len())
    }

    fn part(&self, place: usize) -> &'a Part {
        &self.build.parts[place]
    }

    fn block(&self, variant: &str, tape: Tape, paper: Paper) -> Block {
        let (mut pen, wide, joint) = (Pen::new(), paper.width(), self.alike[0]);
        let (held, base) = (self.part(joint.held), self.part(joint.base));
        let named = |part: &Part| format!("{} ({} {})", letters(&part.id), part.key.piece, part.key.role);
        let scale = plate::scale(&self.plate, wide, tape);
        let places = if self.alike.len() == 1 { "place" } else { "places" };
        let heading = format!("{} to {}{variant}: {} {places}, {scale}", named(held), named(base), self.alike.len());
        let words = self.words(tape);
        let y = pen.lines(&wrap(&heading, LARGE, wide, 2), [0.0, LARGE + 0.3], LARGE) - LARGE + SMALL - 0.6;
        let y = pen.lines(&wrap(&words, SMALL, wide, usize::MAX), [0.0, y], SMALL) - SMALL * (LEADING - 0.6);
        let y = plate::draw(&mut pen, &self.plate, &self.behind, [0.0, y, wide], tape);
        let height = self.cut(&mut pen, y + 4.0, tape, paper);
        Block { pen, height, words: format!("{heading}. {words}") }
    }

    /// The screw, its holes, its grip and where its tip ends.
    fn words(&self, tape: Tape) -> String {
        let joint = self.alike[0];
        let long = joint.length.as_mm();
        let read = |mm: f64| exact(tape, from_mm(mm).round_to(tape.step()));
        let screw = self.screw.map_or("screws".to_owned(), |name| format!("screws, {name},"));
        let ends = match self.base {
            None => "its axis misses the base".to_owned(),
            Some([start, end]) if long <= end => {
                format!("grip {} in the base, tip {} short of its far face", read(long - start), read(end - long))
            }
            Some([start, end]) => {
                format!("grip {} in the base, tip {} beyond its far face", read(end - start), read(long - end))
            }
        };
        format!(
            "{} {screw} {} long at each place; clearance hole Ø {} through {} ({} thick){}, pilot hole Ø {} in {}; {ends}. Held: {}. {}{}",
            joint.heads.len(),
            exact(tape, joint.length),
            hole(tape, joint.clearance),
            letters(&self.part(joint.held).id),
            read(self.through),
            slots(joint, tape),
            hole(tape, joint.pilot),
            letters(&self.part(joint.base).id),
            self.held(),
            self.plate.heads(tape),
            if joint.slots.is_empty() { "" } else { SLOTS }
        )
    }

    /// Which parts are held in which: `B1–B6 in C1, C4; B7 in C2`.
    fn held(&self) -> String {
        let mut by_base: BTreeMap<usize, Vec<&str>> = BTreeMap::new();
        for joint in &self.alike {
            by_base.entry(joint.base).or_default().push(&self.part(joint.held).id);
        }
        let mut told: Vec<(String, Vec<&str>)> = Vec::new();
        for (base, held) in by_base {
            let (held, base) = (ranges(&held), self.part(base).id.as_str());
            match told.iter_mut().find(|(same, _)| *same == held) {
                Some((_, bases)) => bases.push(base),
                None => told.push((held, vec![base])),
            }
        }
        let told: Vec<String> = told.iter().map(|(held, bases)| format!("{held} in {}", ranges(bases))).collect();
        told.join("; ")
    }

    /// The cut along one screw, below `y`, the outer face to the left; how far down it reaches.
    fn cut(&self, pen: &mut Pen, y: f64, tape: Tape, paper: Paper) -> f64 {
        let joint = self.alike[0];
        let (through, base) = (self.through, self.base.unwrap_or([self.through; 2]));
        let deep = base[1].max(joint.length.as_mm());
        let scale = Scale::fitting(from_mm(deep), Length::ZERO, [LONGEST.min(paper.width() - 20.0), 1.0], tape);
        let label = format!("Cut along a screw, {}", scale.name);
        pen.lines(&[label], [0.0, y + SMALL], SMALL);
        let (left, top) = (8.0, y + SMALL * LEADING + 1.0);
        let x = |mm: f64| left + mm * scale.factor;
        let middle = top + CUT / 2.0;
        let mut faces = Path::default();
        for (part, [from, to]) in [(joint.held, [0.0, through]), (joint.base, base)] {
            if to <= from {
                continue;
            }
            faces.rectangle([x(from), top], [x(to) - x(from), CUT]);
            self.hatched(pen, part, [[x(from), x(to)], [top, top + CUT]]);
        }
        pen.draw(&faces, Line::Wide);
        draw_screw(pen, joint, [through, scale.factor], [left, middle]);
        let mut labels: Vec<(f64, String)> = Vec::new();
        for at in [0.0, through, base[0], joint.length.as_mm(), base[1]] {
            let text = tape.show(from_mm(at));
            if labels.iter().all(|(_, known)| *known != text) {
                labels.push((x(at), text));
            }
        }
        labels.sort_by(|a, b| a.0.total_cmp(&b.0));
        let foot = top + CUT + 1.5;
        let mut lines = Path::default();
        let mut bottom = foot;
        if let Some(layout) = readings::layout(&labels, [0.0, paper.width()]) {
            readings::write(pen, &labels, &layout, foot, false, &mut lines);
            bottom += layout.depth();
        }
        lines.stroke([left, foot], [x(deep), foot]);
        pen.draw(&lines, Line::Narrow);
        pen.circle([left, foot], plate::ORIGIN);
        bottom + 1.0
    }

    /// The hatching of a part in the cut, beside its screw.
    fn hatched(&self, pen: &mut Pen, part: usize, [across, down]: [[f64; 2]; 2]) {
        let part = self.part(part);
        let grain: Vector = part.at.frame.axes()[part.at.along.index()];
        let way = [dot(direction(self.alike[0]), grain), dot(self.plate.view.right, grain)];
        let ring = [[across[0], down[0]], [across[0], down[1]], [across[1], down[1]], [across[1], down[0]]];
        let mut path = Path::default();
        hatch(&ring, part.stock.kind, way, true, &mut path);
        pen.draw(&path, Line::Narrow);
    }
}

/// How far from the outline of a face the outline of a base is told from it, in mm.
const APART: f64 = 0.1;

/// Whether a line within a convex outline that runs counter-clockwise leads across it, not along one of its sides.
fn crosses(outline: &[[f64; 2]], [from, to]: [[f64; 2]; 2]) -> bool {
    let middle = [(from[0] + to[0]) / 2.0, (from[1] + to[1]) / 2.0];
    outline.iter().zip(outline.iter().cycle().skip(1)).all(|(a, b)| {
        let side = [b[0] - a[0], b[1] - a[1]];
        let area = side[0] * (middle[1] - a[1]) - side[1] * (middle[0] - a[0]);
        area > APART * libm::hypot(side[0], side[1]) || side == [0.0; 2]
    })
}

/// The holes of a screw with its axis: head and clearance in the held part, pilot and tip in the base.
fn draw_screw(pen: &mut Pen, joint: &Joint, [through, factor]: [f64; 2], [left, middle]: [f64; 2]) {
    let [clearance, pilot, long] = [joint.clearance, joint.pilot, joint.length].map(|size| size.as_mm() * factor);
    let (end, tip) = (left + long, left + long - TIP * pilot);
    let shoulder = left + through * factor;
    let head = clearance * HEAD / 2.0;
    let mut body = vec![[left, middle - head], [left + head - clearance / 2.0, middle - clearance / 2.0]];
    if long > through * factor {
        body.extend([
            [shoulder, middle - clearance / 2.0],
            [shoulder, middle - pilot / 2.0],
            [tip, middle - pilot / 2.0],
        ]);
    }
    body.push([end, middle]);
    let mirrored: Vec<[f64; 2]> = body.iter().rev().skip(1).map(|[x, y]| [*x, 2.0 * middle - y]).collect();
    body.extend(mirrored);
    let (mut outline, mut axis) = (Path::default(), Path::default());
    outline.polygon(&body);
    axis.stroke([left - 4.0, middle], [end + 4.0, middle]);
    pen.wide = 0.35;
    pen.draw(&outline, Line::Outline);
    pen.wide = 0.5;
    pen.draw(&axis, Line::Centre);
}

/// How many of the clearance holes are slots, and how long.
fn slots(joint: &Joint, tape: Tape) -> String {
    let mut known: BTreeMap<Length, usize> = BTreeMap::new();
    for slot in &joint.slots {
        *known.entry(slot.length).or_default() += 1;
    }
    known.iter().map(|(length, count)| format!(", {count} of them a slot {} long", hole(tape, *length))).collect()
}

/// How wide a hole is: as the bit is called, in fractions where it is one.
fn hole(tape: Tape, across: Length) -> String {
    tape.show_exact(across)
}
