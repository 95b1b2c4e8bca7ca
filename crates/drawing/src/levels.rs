//! How high the ground lies at each leg or post: the ground line true to scale, with a level mark at each foot.
//!
//! A level mark is an open arrow that stands on the level, its height beside it with its sign, ±0 being the height that all
//! others are measured from (ISO 129-1, ISO 4157-1; *from memory*).

use crate::boards::Block;
use crate::earth::strokes;
use crate::lettering::{LARGE, SMALL, wrap};
use crate::paper::{Paper, Scale};
use crate::pen::{LEADING, Line, Path, Pen};
use crate::readings;
use crate::template::ranges;
use measure::{Length, Tape};
use model::build::{Build, GroundAt};
use model::part::{Axis, Part};
use std::collections::BTreeMap;

/// Beside the ground line, and of the feet above the highest ground and below the ground at each, in mm.
const SIDE: f64 = 8.0;
const ABOVE: f64 = 5.0;
const BELOW: f64 = 4.0;
/// How high a level mark is; it is twice as wide.
const MARK: f64 = 1.8;
/// The most lines of what is said above.
const MOST_LINES: usize = 8;

/// One for each line of feet along the front, the back or a return that stands on ground that need not be level.
pub(crate) fn blocks(build: &Build, tape: Tape, paper: Paper) -> Vec<Block> {
    rows(build).iter().map(|row| block(row, tape, paper)).collect()
}

/// Feet in one line.
struct Row<'a> {
    face: &'a str,
    axis: Axis,
    /// The feet with the ground at each, along the axis.
    feet: Vec<(&'a Part, &'a GroundAt)>,
}

fn rows(build: &Build) -> Vec<Row<'_>> {
    let parts: BTreeMap<_, &Part> = build.parts.iter().map(|part| (&part.key, part)).collect();
    let feet: Vec<(&Part, &GroundAt)> =
        build.ground.iter().filter_map(|ground| Some((*parts.get(&ground.part)?, ground))).collect();
    let mut faces: Vec<(&str, &str)> = feet.iter().map(|(part, _)| (&*part.key.piece, &*part.key.face)).collect();
    faces.dedup();
    faces.iter().map(|&(piece, face)| row(&feet, piece, face)).collect()
}

/// The feet of a face, and those of the same piece that stand in line with them but belong to the next face.
fn row<'a>(feet: &[(&'a Part, &'a GroundAt)], piece: &str, face: &'a str) -> Row<'a> {
    let axis = if matches!(face, "right" | "left") { Axis::Y } else { Axis::X };
    let (along, other) = (axis.index(), 1 - axis.index());
    let own = |foot: &&(&Part, &GroundAt)| foot.0.key.piece == piece && foot.0.key.face == face;
    let line = feet.iter().find(own).map(|(_, ground)| ground.at[other]);
    let in_line = feet.iter().filter(|foot| foot.0.key.piece == piece && Some(foot.1.at[other]) == line);
    let mut feet: Vec<(&Part, &GroundAt)> = in_line.copied().collect();
    feet.sort_by_key(|(_, ground)| ground.at[along]);
    Row { face, axis, feet }
}

/// The height with its sign.
fn level(height: Length, tape: Tape) -> String {
    let sign = match height.cmp(&Length::ZERO) {
        std::cmp::Ordering::Less => "\u{2212}",
        std::cmp::Ordering::Equal => "±",
        std::cmp::Ordering::Greater => "+",
    };
    format!("{sign}{}", tape.show_exact(height.abs()))
}

fn block(row: &Row, tape: Tape, paper: Paper) -> Block {
    let (mut pen, wide, along) = (Pen::new(), paper.width(), row.axis.index());
    let key = &row.feet[0].0.key;
    // Feet stand in order, and a row has one at least.
    let [first, last] = [0, row.feet.len() - 1].map(|foot| row.feet[foot].1.at[along]);
    let heights = || row.feet.iter().map(|(_, ground)| ground.height);
    let [low, high] = heights().fold([Length::ZERO; 2], |[low, high], at| [low.min(at), high.max(at)]);
    let scale = Scale::fitting(last - first, high - low, [wide - 2.0 * SIDE, paper.height() / 3.0], tape);
    let heading = format!("{}, {}: the ground at each {}, {}", key.piece, row.face, key.role, scale.name);
    let ids: Vec<&str> = row.feet.iter().map(|(part, _)| part.id.as_str()).collect();
    let way = if row.axis == Axis::X { "seen from the front, left to right" } else { "from the front to the back" };
    let told: Vec<String> =
        row.feet.iter().map(|(part, ground)| format!("{} {}", part.id, level(ground.height, tape))).collect();
    let words = format!(
        "Levels in the middle of {}, {way}: +, above, or \u{2212}, below, ±0, from which all heights are measured.",
        ranges(&ids)
    );
    let y = pen.lines(&wrap(&heading, LARGE, wide, 2), [0.0, LARGE + 0.3], LARGE) - LARGE + SMALL - 0.6;
    let x = |at: Length| SIDE + scale.of(at - first);
    let labels: Vec<(f64, String)> =
        row.feet.iter().map(|(_, ground)| x(ground.at[along])).zip(told.iter().cloned()).collect();
    let layout = readings::layout(&labels, [0.0, wide]);
    let words = if layout.is_some() { words } else { format!("{words} {}.", told.join(", ")) };
    let y = pen.lines(&wrap(&words, SMALL, wide, MOST_LINES), [0.0, y], SMALL) - SMALL * (LEADING - 0.6);
    let edge = y + layout.as_ref().map_or(0.0, readings::Layout::depth) + 0.5;
    let mut leaders = Path::default();
    if let Some(layout) = &layout {
        readings::write(&mut pen, &labels, layout, edge, true, &mut leaders);
    }
    let up = |height: Length| edge + ABOVE + scale.of(high - height);
    draw(&mut pen, row, [first, last], (&x, &up), edge, leaders);
    Block { pen, height: up(low) + BELOW + 1.0, words: format!("{heading}. {words} {}.", told.join(", ")) }
}

/// Feet down to the ground, hidden below it, level marks, and the ground line.
fn draw(
    pen: &mut Pen,
    row: &Row,
    [first, last]: [Length; 2],
    (x, up): (&dyn Fn(Length) -> f64, &dyn Fn(Length) -> f64),
    edge: f64,
    mut leaders: Path,
) {
    let along = row.axis.index();
    let (mut feet, mut hidden, mut ground, mut earth) =
        (Path::default(), Path::default(), Path::default(), Path::default());
    let mut knots = Vec::new();
    for (part, foot) in &row.feet {
        let [left, right] = part.reach().map(|corner| x(corner[along]));
        let (at, level) = (x(foot.at[along]), up(foot.height));
        for side in [left, right] {
            feet.stroke([side, edge], [side, level]);
            hidden.stroke([side, level], [side, level + BELOW]);
        }
        leaders.stroke([at, edge], [at, level]);
        leaders.stroke([at - MARK, level - MARK], [at, level]).stroke([at, level], [at + MARK, level - MARK]);
        leaders.stroke([at - MARK, level - MARK], [at + MARK, level - MARK]);
        knots.push([at, level]);
    }
    let ends = [[x(first) - SIDE, knots[0][1]], [x(last) + SIDE, knots[knots.len() - 1][1]]];
    let line: Vec<[f64; 2]> = [ends[0]].into_iter().chain(knots).chain([ends[1]]).collect();
    line.windows(2).for_each(|pair| _ = ground.stroke(pair[0], pair[1]));
    strokes(&mut earth, &line);
    pen.draw(&hidden, Line::Hidden);
    pen.draw(&feet, Line::Narrow);
    pen.draw(&earth, Line::Narrow);
    pen.draw(&ground, Line::Wide);
    pen.draw(&leaders, Line::Narrow);
}
