//! The list of parts as a sheet: what is on each, how many, of what, how large, how its ends are cut, what is drilled.

use crate::lettering::{LARGE, SMALL, wrap};
use crate::paper::{Paper, figures};
use crate::parts::in_short;
use crate::pen::{Hold, LEADING, Line, Path, Pen};
use crate::svg::Svg;
use crate::template::{letters, ranges};
use measure::{Tape, Unit};
use model::build::Build;
use model::joint::Joints;
use model::part::Part;
use model::stock::StockRef;
use std::collections::{BTreeMap, BTreeSet};

/// The heads of the columns.
const HEADS: [&str; 6] = ["id", "off", "part", "of", "length × width × thickness", "ends, marks"];
/// How wide they are, as shares of the paper: three sizes in inches with their fractions take more than in mm.
const SHARES: [f64; 6] = [0.10, 0.05, 0.20, 0.23, 0.22, 0.20];
const SHARES_IN_INCHES: [f64; 6] = [0.10, 0.05, 0.19, 0.19, 0.27, 0.20];

/// How wide each column is, in mm.
fn columns(tape: Tape, paper: Paper) -> [f64; 6] {
    let shares = if tape.unit() == Unit::Millimetre { SHARES } else { SHARES_IN_INCHES };
    shares.map(|share| share * paper.width())
}

/// The most lines of one field.
const MOST_LINES: usize = 8;
/// Left and right in a field, and above and below what stands in it, in mm.
const SIDE: f64 = 1.0;
const ABOVE: f64 = 1.2;

/// All parts, those that share their letters in one line, under heads that come again on each sheet: ids, how many, piece,
/// role and faces, the stock by its shop name as `label` says, length along the grain by width by thickness, how the ends
/// are cut, and how many holes are drilled from its faces (the templates say where). In as many drawings as it takes for each
/// to be no higher than the paper; none without parts.
pub fn parts_list_in_pages(
    build: &Build,
    joints: &Joints,
    label: &dyn Fn(StockRef) -> String,
    tape: Tape,
    paper: Paper,
) -> Vec<Svg> {
    let holes = holes(build, joints);
    let rows: Vec<Row> = kinds(build).iter().map(|kind| row(build, kind, &holes, label, tape, paper)).collect();
    let room = paper.height() - HEADING - head(tape, paper).height;
    let mut pages: Vec<(f64, Vec<Row>)> = Vec::new();
    for row in rows {
        match pages.last_mut().filter(|(used, _)| used + row.height <= room) {
            Some((used, rows)) => {
                *used += row.height;
                rows.push(row);
            }
            None => pages.push((row.height, vec![row])),
        }
    }
    pages.into_iter().map(|(_, rows)| page(rows, build, tape, paper)).collect()
}

/// What the heading above the table takes, in mm.
const HEADING: f64 = 12.0;

/// A line of the table: its fields, each in lines.
struct Row {
    fields: Vec<Vec<String>>,
    height: f64,
}

impl Row {
    fn of(texts: [String; 6], tape: Tape, paper: Paper) -> Row {
        let fields = texts.iter().zip(columns(tape, paper));
        let fields: Vec<Vec<String>> =
            fields.map(|(text, wide)| wrap(text, SMALL, wide - 2.0 * SIDE, MOST_LINES)).collect();
        // A field has a few lines.
        let lines = fields.iter().map(Vec::len).max().unwrap_or(1).max(1) as f64;
        Row { fields, height: (lines - 1.0) * SMALL * LEADING + SMALL + 2.0 * ABOVE + 0.6 }
    }
}

fn head(tape: Tape, paper: Paper) -> Row {
    Row::of(HEADS.map(str::to_owned), tape, paper)
}

/// The parts of each kind by their places in the build, in the order of their letters.
fn kinds(build: &Build) -> Vec<Vec<usize>> {
    let mut kinds: BTreeMap<(usize, &str), Vec<usize>> = BTreeMap::new();
    for (place, part) in build.parts.iter().enumerate() {
        let letters = letters(&part.id);
        kinds.entry((letters.len(), letters)).or_default().push(place);
    }
    kinds.into_values().collect()
}

/// How many holes are drilled through each part from its faces.
fn holes(build: &Build, joints: &Joints) -> Vec<usize> {
    let mut holes = vec![0; build.parts.len()];
    for joint in &joints.made {
        if let Some(count) = holes.get_mut(joint.held) {
            *count += joint.heads.len();
        }
    }
    holes
}

fn row(
    build: &Build,
    kind: &[usize],
    holes: &[usize],
    label: &dyn Fn(StockRef) -> String,
    tape: Tape,
    paper: Paper,
) -> Row {
    let parts: Vec<&Part> = kind.iter().map(|&place| &build.parts[place]).collect();
    let first = parts[0];
    let ids: Vec<&str> = parts.iter().map(|part| part.id.as_str()).collect();
    let mut faces: Vec<&str> = Vec::new();
    for part in &parts {
        if !faces.contains(&part.key.face.as_str()) {
            faces.push(&part.key.face);
        }
    }
    let size = [first.solid.length, first.solid.width, first.solid.thickness].map(|size| tape.show_exact(size));
    let ends = in_short(first, tape);
    let drilled: BTreeSet<usize> = kind.iter().map(|&place| holes[place]).collect();
    let marks = match (drilled.first(), drilled.last()) {
        (Some(1), Some(1)) => "; 1 hole".to_owned(),
        (Some(least), Some(most)) if least == most && *most > 0 => format!("; {most} holes"),
        (Some(least), Some(most)) if most > least => format!("; {least} to {most} holes"),
        _ => String::new(),
    };
    Row::of(
        [
            ranges(&ids),
            parts.len().to_string(),
            format!("{} {}: {}", first.key.piece, first.key.role, faces.join(", ")),
            label(first.stock),
            size.join(" × "),
            format!("{ends}{marks}"),
        ],
        tape,
        paper,
    )
}

fn page(rows: Vec<Row>, build: &Build, tape: Tape, paper: Paper) -> Svg {
    let mut pen = Pen::new();
    let title = "Parts list".to_owned();
    pen.text(&format!("{title}{}", figures(tape)), [0.0, LARGE + 0.5], LARGE, Hold::Start);
    let said = "Length lies along the grain, long point to long point; sizes are those of the box round a part";
    let said = wrap(said, SMALL, paper.width(), 2);
    pen.lines(&said, [0.0, LARGE + SMALL * LEADING + 1.0], SMALL);
    let (mut outer, mut inner) = (Path::default(), Path::default());
    let mut y = HEADING;
    outer.stroke([0.0, y], [paper.width(), y]);
    for (place, row) in [head(tape, paper)].iter().chain(&rows).enumerate() {
        let mut x = 0.0;
        for (lines, wide) in row.fields.iter().zip(columns(tape, paper)) {
            pen.lines(lines, [x + SIDE, y + ABOVE + SMALL], SMALL);
            x += wide;
        }
        y += row.height;
        let line = if place == 0 || place == rows.len() { &mut outer } else { &mut inner };
        line.stroke([0.0, y], [paper.width(), y]);
    }
    pen.draw(&inner, Line::Narrow);
    pen.draw(&outer, Line::Wide);
    let told = rows.iter().map(|row| row.fields.iter().map(|lines| lines.join(" ")).collect::<Vec<_>>().join(", "));
    let description = format!("{} parts. {}.", build.parts.len(), told.collect::<Vec<_>>().join(". "));
    pen.finish([paper.width(), y + 1.0], title, description)
}
