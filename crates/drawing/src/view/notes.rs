//! What a view says in words: how its rows are shared out, and what is only hatched.

use super::runs::Run;
use super::{Frame, Look, around};
use crate::paper::{exact, shared};
use measure::{Length, Tape};
use model::build::{Build, Row};
use std::collections::BTreeMap;

/// The most lines of each kind.
const MOST: usize = 8;

/// The rows that this view shows best, alike ones together: level rows from above, upright members and courses from the
/// side that they face.
pub(crate) fn rows(build: &Build, look: Look, tape: Tape) -> Vec<String> {
    let faces = faces(build);
    let mut told: Vec<(&Row, Vec<&str>)> = Vec::new();
    let mut known: BTreeMap<_, usize> = BTreeMap::new();
    for row in build.rows.iter().filter(|row| row.count > 0 && shows(&faces, row) == look) {
        let gaps = row.gaps.map(|gaps| (gaps.total(), gaps.places()));
        let place = *known.entry((&row.piece, row.length, &row.pattern, row.count, gaps)).or_insert(told.len());
        if place == told.len() {
            told.push((row, Vec::new()));
        }
        if !told[place].1.contains(&row.face.as_str()) {
            told[place].1.push(&row.face);
        }
    }
    let more = told.len().saturating_sub(MOST);
    let mut lines: Vec<String> = told.iter().take(MOST).map(|(row, faces)| sentence(row, faces, tape)).collect();
    if more > 0 {
        lines.push(format!("and {more} more rows"));
    }
    lines
}

/// Piece, face and role of parts, and how large each is if they are all alike.
type Alike = ([String; 3], Option<[Length; 2]>);

/// What hatched runs are.
pub(crate) fn runs(runs: &[Run], tape: Tape) -> Vec<String> {
    let mut alike: BTreeMap<Alike, (usize, usize)> = BTreeMap::new();
    for run in runs {
        let (rows, parts) = alike.entry((run.names.clone(), run.each)).or_default();
        (*rows, *parts) = (*rows + 1, *parts + run.count);
    }
    let more = alike.len().saturating_sub(MOST);
    let mut lines: Vec<String> = alike
        .iter()
        .take(MOST)
        .map(|(([piece, face, role], each), (rows, parts))| {
            let size = each.map_or(String::new(), |[a, b]| format!(", each {} × {}", tape.show(a), tape.show(b)));
            let rows = if *rows == 1 { String::new() } else { format!(" in {rows} rows") };
            format!("Hatched: {piece} {face}, {parts} × {role}{rows}{size}")
        })
        .collect();
    if more > 0 {
        lines.push(format!("and {more} more hatched runs"));
    }
    lines
}

/// What the parts of a face reach over: x and y, and whether they stand upright.
type Faces<'a> = BTreeMap<(&'a str, &'a str), (Frame, bool)>;

fn faces(build: &Build) -> Faces<'_> {
    let mut faces = Faces::new();
    for part in &build.parts {
        let [near, far] = part.reach();
        let frame = [0, 1].map(|axis| [near[axis], far[axis]]);
        let [wide, deep, high] = part.extent();
        let entry = faces.entry((&part.key.piece, &part.key.face)).or_insert((frame, high > wide.max(deep)));
        entry.0 = around([entry.0, frame]).unwrap_or(frame);
    }
    faces
}

/// The view that a row is told in. A row that no part names a face for is one of courses.
fn shows(faces: &Faces<'_>, row: &Row) -> Look {
    match faces.get(&(row.piece.as_str(), row.face.as_str())) {
        None => Look::Front,
        Some((_, false)) => Look::Above,
        Some(([x, y], true)) if x[1] - x[0] >= y[1] - y[0] => Look::Front,
        Some((_, true)) => Look::Right,
    }
}

fn sentence(row: &Row, faces: &[&str], tape: Tape) -> String {
    let gaps = match row.gaps {
        Some(gaps) if gaps.total() > Length::ZERO => format!(", {}", shared(tape, gaps)),
        _ => String::new(),
    };
    let faces = match faces {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    };
    if row.is_of_marks() {
        let whole = exact(tape, row.length);
        return format!("{}, {faces}: {} lower edges{gaps}, from the first to the last {whole}", row.piece, row.count);
    }
    let members: Vec<String> =
        row.kinds().iter().map(|(count, member)| format!("{count} × {}", exact(tape, *member))).collect();
    format!("{}, {faces}: {}{gaps}, together {}", row.piece, members.join(" + "), exact(tape, row.length))
}
