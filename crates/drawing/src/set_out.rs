//! Where posts, rails, joists and their like go: a strip for each group, seen along it, to mark from with one hook of the tape.
//!
//! Running dimensions from one origin with a circle at 0 (ISO 129-1, *from memory*), so that no error adds up. Groups that
//! read alike, such as the front and the back, share a strip. Where legs or posts stand on ground that need not be level, its
//! height at each follows. Parts that turn or lean have none: their places along a side
//! are no lengths along the build.

use crate::boards::{Block, in_pages, stack};
use crate::lettering::{LARGE, SMALL, wrap};
use crate::levels;
use crate::paper::{Paper, Scale, exact, figures};
use crate::pen::{LEADING, Line, Path, Pen};
use crate::readings::{self, Layout};
use crate::svg::Svg;
use crate::template::ranges;
use measure::{Length, Tape};
use model::build::Build;
use model::part::{Axis, Part};
use std::collections::{BTreeMap, BTreeSet};

/// What is set out by its place in a group, and not by a row of its own.
const ROLES: [&str; 8] = ["post", "rail", "joist", "bearer", "ledger", "leg", "rib", "tie"];
/// Posts are found from one another, for they often stand inside walls; everything else from the end of its piece.
const POST: &str = "post";
/// The fewest and the most parts that a strip shows: one has nothing to be measured from, and more are rows.
const FEWEST: usize = 2;
const MOST: usize = 40;
/// How high the parts of a strip are drawn.
const STRIP: f64 = 6.0;
/// Left and right of a strip.
const LEFT: f64 = 3.0;
/// Below each line of a strip.
const BELOW: f64 = 2.5;
/// The most lines of what is said above a strip.
const MOST_LINES: usize = 8;

/// A strip for every group of parts of one piece, face and role (posts, rails, joists, bearers, ledgers, legs, ribs, ties)
/// that are boxes along the build: the parts in proportion on a line, with running readings of where each begins, in as many
/// drawings as it takes for each to be no higher than the paper, so far as a single strip is not; after them, for each line of
/// legs or posts on ground that need not be level, the ground with its height at each. None where nothing stands in such a
/// group.
pub fn set_out_in_pages(build: &Build, tape: Tape, paper: Paper) -> Vec<Svg> {
    let strips = strips(build).into_iter().filter_map(|strip| block(&strip, tape, paper));
    let blocks = strips.chain(levels::blocks(build, tape, paper)).collect();
    let heading = format!("All readings from 0{}", figures(tape));
    in_pages(blocks, paper).into_iter().map(|blocks| stack(blocks, &heading, "Setting out", paper)).collect()
}

/// Which way a strip is read.
#[derive(Clone, Copy)]
struct Way {
    axis: Axis,
    /// Whether readings grow against the axis.
    backwards: bool,
    words: &'static str,
}

impl Way {
    /// Along a face as one stands outside and looks at it; else by the directions of the build. Upright ones are read from
    /// the top, since feet may be buried.
    fn of(face: &str, axis: Axis) -> Way {
        let outside = "seen from outside, left to right";
        let (backwards, words) = match (axis, face) {
            (Axis::X, "front") | (Axis::Y, "right") => (false, outside),
            (Axis::X, "back") | (Axis::Y, "left") => (true, outside),
            (Axis::X, _) => (false, "seen from the front, left to right"),
            (Axis::Y, _) => (false, "from the front to the back"),
            (Axis::Z, _) => (true, "from the top down"),
        };
        Way { axis, backwards, words }
    }

    /// Where a part begins and ends on the way, from the origin of the build.
    fn span(self, part: &Part) -> [Length; 2] {
        let [near, far] = reach(part, self.axis);
        if self.backwards { [-far, -near] } else { [near, far] }
    }
}

fn reach(part: &Part, axis: Axis) -> [Length; 2] {
    part.reach().map(|corner| corner[axis.index()])
}

/// Parts on one line.
struct Strip<'a> {
    piece: &'a str,
    role: &'a str,
    faces: Vec<&'a str>,
    way: Way,
    /// Where each part begins and ends, from 0, in order.
    spans: Vec<[Length; 2]>,
    /// Where the line ends.
    end: Length,
    ids: Vec<&'a str>,
}

impl Strip<'_> {
    fn reads_as(&self, other: &Strip) -> bool {
        (self.piece, self.role, self.way.words) == (other.piece, other.role, other.way.words)
            && (self.end, &self.spans) == (other.end, &other.spans)
    }
}

/// All strips in the order of the build, those that read alike once.
fn strips(build: &Build) -> Vec<Strip<'_>> {
    let mut strips: Vec<Strip> = Vec::new();
    for group in groups(build) {
        for strip in [Axis::X, Axis::Y, Axis::Z].into_iter().flat_map(|axis| along(build, &group, axis)) {
            match strips.iter_mut().find(|known| known.reads_as(&strip)) {
                Some(known) => {
                    known.ids.extend(strip.ids);
                    known
                        .faces
                        .extend(strip.faces.iter().filter(|face| !known.faces.contains(face)).collect::<Vec<_>>());
                }
                None => strips.push(strip),
            }
        }
    }
    strips
}

/// The boxes of each piece, role and face, in the order of the build.
fn groups(build: &Build) -> Vec<Vec<&Part>> {
    let mut places: BTreeMap<[&str; 3], usize> = BTreeMap::new();
    let mut groups: Vec<Vec<&Part>> = Vec::new();
    for part in build.parts.iter().filter(|part| ROLES.contains(&part.key.role.as_str()) && part.is_box()) {
        let place = *places.entry([&part.key.piece, &part.key.role, &part.key.face]).or_insert(groups.len());
        if place == groups.len() {
            groups.push(Vec::new());
        }
        groups[place].push(part);
    }
    groups
}

/// What the parts of one line have in common: their course, if it is level, and what they reach over across it.
type Common = (Option<u32>, Vec<[Length; 2]>);

/// The lines of a group along an axis.
fn along<'a>(build: &'a Build, group: &[&'a Part], axis: Axis) -> Vec<Strip<'a>> {
    let mut lines: BTreeMap<Common, Vec<&Part>> = BTreeMap::new();
    for &part in group {
        let common = match axis {
            // Feet may stand on ground that falls, so heights do not part a level line.
            Axis::X => (Some(part.key.course), vec![reach(part, Axis::Y)]),
            Axis::Y => (Some(part.key.course), vec![reach(part, Axis::X)]),
            Axis::Z => (None, vec![reach(part, Axis::X), reach(part, Axis::Y)]),
        };
        lines.entry(common).or_default().push(part);
    }
    lines.into_iter().filter_map(|((_, across), parts)| strip(build, parts, axis, &across)).collect()
}

/// The strip of one line; `None` for one part alone, or for too many.
fn strip<'a>(build: &'a Build, mut parts: Vec<&'a Part>, axis: Axis, across: &[[Length; 2]]) -> Option<Strip<'a>> {
    let key = &parts[0].key;
    let way = Way::of(&key.face, axis);
    let own: BTreeSet<[Length; 2]> = parts.iter().map(|part| way.span(part)).collect();
    let posts = key.role == POST && axis != Axis::Z;
    if own.len() < FEWEST {
        return None;
    }
    if posts {
        parts.extend(in_line(build, &parts, axis, across));
    }
    let spans: BTreeSet<[Length; 2]> = parts.iter().map(|part| way.span(part)).collect();
    let whole = build.parts.iter().filter(|part| part.key.piece == key.piece && !posts).map(|part| way.span(part));
    let all = whole.chain(spans.iter().copied()).reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])?;
    let spans: Vec<[Length; 2]> = spans.into_iter().map(|span| span.map(|at| at - all[0])).collect();
    let ids = parts.iter().map(|part| part.id.as_str()).collect();
    let (faces, end) = (vec![key.face.as_str()], all[1] - all[0]);
    (spans.len() <= MOST).then_some(Strip { piece: &key.piece, role: &key.role, faces, way, spans, end, ids })
}

/// The posts of the piece that stand in the same line but belong to the next face: those in the corners.
fn in_line<'a>(build: &'a Build, parts: &[&'a Part], axis: Axis, across: &[[Length; 2]]) -> Vec<&'a Part> {
    let (key, other) = (&parts[0].key, if axis == Axis::X { Axis::Y } else { Axis::X });
    let beside = |part: &&Part| {
        let [near, far] = reach(part, other);
        across.iter().all(|room| near < room[1] && far > room[0])
    };
    let alike = |part: &&Part| part.key.piece == key.piece && part.key.role == key.role && part.key.face != key.face;
    build.parts.iter().filter(|part| part.is_box()).filter(alike).filter(beside).collect()
}

fn block(strip: &Strip, tape: Tape, paper: Paper) -> Option<Block> {
    let (mut pen, wide) = (Pen::new(), paper.width());
    let sheet = Sheet::of(strip, tape, wide)?;
    let heading = format!("{}, {}s, {}: {}", strip.piece, strip.role, listed(&strip.faces), sheet.scale.name);
    let words = words(strip, tape);
    let y = pen.lines(&wrap(&heading, LARGE, wide, 2), [0.0, LARGE + 0.3], LARGE) - LARGE + SMALL - 0.6;
    let mut y = pen.lines(&wrap(&words, SMALL, wide, MOST_LINES), [0.0, y], SMALL) - SMALL * (LEADING - 0.6);
    for line in &sheet.lines {
        y = sheet.draw(&mut pen, line, y);
    }
    Some(Block { pen, height: y, words: format!("{heading}. {words}") })
}

/// How many, how wide, which, and what 0 is.
fn words(strip: &Strip, tape: Tape) -> String {
    let (piece, role, way) = (strip.piece, strip.role, strip.way.words);
    let wide: BTreeSet<Length> = strip.spans.iter().map(|[from, to]| *to - *from).collect();
    // Those that differ by rounding read alike.
    let mut wide: Vec<String> = wide.into_iter().map(|wide| exact(tape, wide)).collect();
    wide.dedup();
    let zero = match role == POST && strip.way.axis != Axis::Z {
        true => "the outer edge of the first post".to_owned(),
        false => format!("the outer end of the whole of {piece}"),
    };
    format!(
        "{} {role}s, {} along the strip: {}. 0 is {zero}, {way}; each reading is where a {role} begins.",
        strip.spans.len(),
        listed(&wide.iter().map(String::as_str).collect::<Vec<_>>()),
        ranges(&strip.ids),
    )
}

/// Names or sizes one after the other: `front, left and back`.
fn listed(all: &[&str]) -> String {
    match all {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => all.concat(),
    }
}

/// One line of a strip on the paper: its parts, the stretch that it shows, and where its readings stand.
struct Piece {
    spans: Vec<[Length; 2]>,
    from: Length,
    to: Length,
    labels: Vec<(f64, String)>,
    layout: Layout,
}

/// A strip, broken into lines where its readings do not fit on one.
struct Sheet {
    scale: Scale,
    lines: Vec<Piece>,
}

impl Sheet {
    /// The fewest lines on which all readings fit: with one part on each they always do, for there are two at the most.
    fn of(strip: &Strip, tape: Tape, wide: f64) -> Option<Sheet> {
        (1..=strip.spans.len()).find_map(|count| Sheet::broken(strip, count, tape, wide))
    }

    /// The strip on so many lines; `None` if its readings do not fit there.
    fn broken(strip: &Strip, count: usize, tape: Tape, wide: f64) -> Option<Sheet> {
        let chunks: Vec<&[[Length; 2]]> = strip.spans.chunks(strip.spans.len().div_ceil(count)).collect();
        let stretch = |(place, spans): (usize, &&[[Length; 2]])| {
            let from = if place == 0 { Length::ZERO } else { spans[0][0] };
            let reached = spans.iter().map(|span| span[1]).fold(from, Length::max);
            (from, if place + 1 == chunks.len() { strip.end.max(reached) } else { reached })
        };
        let stretches: Vec<(Length, Length)> = chunks.iter().enumerate().map(stretch).collect();
        let longest = stretches.iter().map(|(from, to)| *to - *from).fold(Length::mm(1), Length::max);
        let scale = Scale::fitting(longest, Length::ZERO, [wide - 2.0 * LEFT, 1.0], tape);
        let line = |(spans, (from, to)): (&&[[Length; 2]], (Length, Length))| {
            let starts: BTreeSet<Length> = spans.iter().map(|span| span[0]).collect();
            let zero = (from == Length::ZERO).then_some(Length::ZERO);
            let readings: BTreeSet<Length> = starts.into_iter().chain(zero).collect();
            let label = |at: Length| (LEFT + scale.of(at - from), tape.show(at));
            let labels: Vec<(f64, String)> = readings.into_iter().map(label).collect();
            let layout = readings::layout(&labels, [0.0, wide])?;
            Some(Piece { spans: spans.to_vec(), from, to, labels, layout })
        };
        let lines: Option<Vec<Piece>> = chunks.iter().zip(stretches).map(line).collect();
        lines.map(|lines| Sheet { scale, lines })
    }

    /// Draws a line below `y`; where it ends.
    fn draw(&self, pen: &mut Pen, line: &Piece, y: f64) -> f64 {
        let top = y + line.layout.depth() + 1.5;
        let x = |at: Length| LEFT + self.scale.of(at - line.from);
        let (mut leaders, mut strokes) = (Path::default(), Path::default());
        readings::write(pen, &line.labels, &line.layout, top, true, &mut leaders);
        strokes.stroke([x(line.from), top + STRIP], [x(line.to), top + STRIP]);
        for &[from, to] in &line.spans {
            strokes.rectangle([x(from), top], [self.scale.of(to - from), STRIP]);
        }
        if line.from == Length::ZERO {
            strokes.stroke([x(line.from), top], [x(line.from), top + STRIP]);
        }
        pen.draw(&strokes, Line::Narrow);
        pen.draw(&leaders, Line::Narrow);
        if line.from == Length::ZERO {
            pen.circle([x(line.from), top], 0.9);
        }
        top + STRIP + BELOW
    }
}
