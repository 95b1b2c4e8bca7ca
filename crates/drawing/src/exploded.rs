//! The build taken apart: all parts seen from the front right and above, each with its id, hidden lines removed.
//!
//! Isometric (ISO 5456-3, *from memory*): all three axes equally foreshortened. Faces move outwards, what lies flat moves up
//! or down, each along one axis, until no group of parts stands before another; courses part by a gap. An id stands on its
//! part, or in a circle at the end of a leader where it has no room there.

mod apart;
mod balloons;

use crate::lettering::{LARGE, SMALL, width, wrap};
use crate::lines::{View, visible_lines};
use crate::paper::{Paper, Scale};
use crate::pen::{Hold, LEADING, Line, Path, Pen};
use crate::scene::Scene;
use crate::svg::Svg;
use balloons::Balloon;
use measure::Tape;
use model::build::Build;
use model::part::from_mm;
use shape::Convex;

/// The viewer stands at the front, to the right and above, equally far along all three axes.
const FROM: [f64; 3] = [1.0, -1.0, 1.0];
/// With more parts than this, alike parts beside one another carry one range of ids.
const MOST_SINGLE: usize = 150;
/// What is kept clear round an id on its part, in mm.
const CLEAR: f64 = 0.6;
/// The most lines of ids that have no room in the drawing.
const MOST_LINES: usize = 12;

/// The build taken apart, with the ids of all parts.
pub fn exploded(build: &Build, tape: Tape, paper: Paper) -> Svg {
    let (parts, shapes) = solids(build);
    let Some(view) = View::from(FROM).filter(|_| !parts.is_empty()) else { return nothing(paper) };
    let groups = apart::groups(build, &parts, &shapes);
    let moved = apart::moved(build, &parts, &shapes, &groups, &view);
    let scene = Scene::new(&moved, view);
    let labels = labels(build, &parts, &groups);
    draw(&scene, &labels, &moved, tape, paper)
}

/// The parts that have a shape, by their places in the build, and their shapes.
pub(crate) fn solids(build: &Build) -> (Vec<usize>, Vec<Convex>) {
    let shaped = build.parts.iter().enumerate().filter(|(_, part)| part.extent().iter().all(|size| size.as_mm() > 0.0));
    shaped.filter_map(|(place, part)| Some((place, part.shape()?))).unzip()
}

/// A drawing that says that there is nothing to draw.
pub(crate) fn nothing(paper: Paper) -> Svg {
    let mut pen = Pen::new();
    pen.text("Nothing to draw", [0.0, LARGE + 1.0], SMALL, Hold::Start);
    pen.finish([paper.width(), 8.0], "Nothing to draw".into(), "No part has a size yet.".into())
}

/// A text and the solids that it may stand on or point to.
struct Label {
    text: String,
    solids: Vec<usize>,
}

/// One label to each part, or, where there are many, one to alike parts of a group with numbers that follow one another.
fn labels(build: &Build, parts: &[usize], groups: &[apart::Group]) -> Vec<Label> {
    let id = |solid: usize| build.parts[parts[solid]].id.as_str();
    if parts.len() <= MOST_SINGLE {
        return (0..parts.len()).map(|solid| Label { text: id(solid).to_owned(), solids: vec![solid] }).collect();
    }
    groups.iter().flat_map(|group| ranges(&group.solids, &id)).collect()
}

/// Solids whose ids have the same letters and numbers that follow one another, as one label each.
fn ranges<'a>(solids: &[usize], id: &impl Fn(usize) -> &'a str) -> Vec<Label> {
    let mut numbered: Vec<(&str, u32, usize)> = solids.iter().map(|&solid| parted(id(solid), solid)).collect();
    numbered.sort();
    let follows = |a: &(&str, u32, usize), b: &(&str, u32, usize)| a.0 == b.0 && b.1 <= a.1 + 1;
    let chunks = numbered.chunk_by(follows);
    let label = |run: &[(&str, u32, usize)]| {
        let text = match run {
            [one] => id(one.2).to_owned(),
            _ => format!("[{}\u{2013}{}]", id(run[0].2), id(run[run.len() - 1].2)),
        };
        Label { text, solids: run.iter().map(|one| one.2).collect() }
    };
    chunks.map(label).collect()
}

/// An id as its letters and its number.
fn parted(id: &str, solid: usize) -> (&str, u32, usize) {
    let letters = id.trim_end_matches(|sign: char| sign.is_ascii_digit());
    (letters, id[letters.len()..].parse().unwrap_or(0), solid)
}

fn draw(scene: &Scene, labels: &[Label], moved: &[Convex], tape: Tape, paper: Paper) -> Svg {
    let [across, up] = scene.whole();
    // Lengths along the axes are to scale: they are foreshortened by the root of two thirds, and drawn so much larger.
    let stretch = 1.5_f64.sqrt();
    let [wide, high] = [across, up].map(|[low, high]| from_mm((high - low) * stretch));
    let side = balloons::side(labels.iter().map(|label| label.text.as_str()));
    let room = [paper.width() - 2.0 * side, paper.height() - 20.0];
    let scale = Scale::fitting(wide, high, room, tape);
    let title = format!("Taken apart, isometric, {} along the axes", scale.name);
    let factor = scale.factor * stretch;
    let mut pen = Pen::new();
    let top = pen.lines(&wrap(&title, LARGE, paper.width(), 2), [0.0, LARGE + 0.5], LARGE) - SMALL;
    let left = (paper.width() - scale.of(wide)) / 2.0;
    let at = |[x, y]: [f64; 2]| [left + (x - across[0]) * factor, top + (up[1] - y) * factor];
    let tall = scale.of(high);
    strokes(&mut pen, moved, scale.factor, &at);
    let (balloons, unseen) = write(&mut pen, scene, labels, factor, &at);
    let (reached, left_out) = balloons::draw(&mut pen, balloons, paper.width(), [top, tall]);
    let mut bottom = reached + 1.0;
    for (what, texts) in [("Not seen from here", unseen), ("Without room for an id", left_out)] {
        if !texts.is_empty() {
            let lines = wrap(&format!("{what}: {}", texts.join(", ")), SMALL, paper.width(), MOST_LINES);
            bottom = pen.lines(&lines, [0.0, bottom + SMALL + 1.0], SMALL) - SMALL * (LEADING - 1.0);
        }
    }
    let all: Vec<&str> = labels.iter().map(|label| label.text.as_str()).collect();
    pen.finish([paper.width(), bottom + 1.0], title, format!("{} parts: {}.", moved.len(), all.join(", ")))
}

/// The lines that are seen: narrower where parts are fine.
fn strokes(pen: &mut Pen, moved: &[Convex], factor: f64, at: &impl Fn([f64; 2]) -> [f64; 2]) {
    let Some(view) = View::from(FROM) else { return };
    let mut path = Path::default();
    for stroke in visible_lines(moved, &view) {
        path.stroke(at(stroke.from), at(stroke.to));
    }
    pen.wide = isometric_width(moved, factor);
    pen.draw(&path, Line::Wide);
    pen.wide = 0.5;
}

/// The wide line for solids at a scale: the pairs of ISO 128-2 (*from memory*), narrower where parts are thin.
pub(crate) fn isometric_width(shapes: &[Convex], factor: f64) -> f64 {
    let thinnest = |shape: &Convex| {
        let [low, high] = shape.bounds();
        (0..3).map(|axis| high[axis] - low[axis]).fold(f64::INFINITY, f64::min) * factor
    };
    let mut thin: Vec<f64> = shapes.iter().map(thinnest).collect();
    thin.sort_by(f64::total_cmp);
    match thin.get(thin.len() / 2) {
        Some(thin) if *thin < 0.7 => 0.18,
        Some(thin) if *thin < 1.5 => 0.25,
        _ => 0.35,
    }
}

/// Writes ids on their parts; those without room as balloons, and those of parts that are not seen.
fn write(
    pen: &mut Pen,
    scene: &Scene,
    labels: &[Label],
    factor: f64,
    at: &impl Fn([f64; 2]) -> [f64; 2],
) -> (Vec<Balloon>, Vec<String>) {
    let (mut balloons, mut unseen) = (Vec::new(), Vec::new());
    for label in labels.iter().filter(|label| !label.text.is_empty()) {
        let half = [width(&label.text, SMALL) / 2.0 + CLEAR, SMALL / 2.0 + CLEAR].map(|paper| paper / factor);
        if let Some(middle) = label.solids.iter().find_map(|&solid| scene.room(solid, half)) {
            let [x, y] = at(middle);
            pen.text(&label.text, [x, y + SMALL / 2.0], SMALL, Hold::Middle);
        } else if let Some(point) = label.solids.iter().find_map(|&solid| scene.anchor(solid)) {
            balloons.push(Balloon { text: label.text.clone(), point: at(point) });
        } else {
            unseen.push(label.text.clone());
        }
    }
    (balloons, unseen)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn alike_parts_are_bracketed() {
        let ids = ["A1", "A2", "B7", "A3", "A5"];
        let texts: Vec<String> = ranges(&[0, 1, 2, 3, 4], &|solid| ids[solid]).into_iter().map(|one| one.text).collect();
        assert_eq!(texts, ["[A1\u{2013}A3]", "A5", "B7"]);
    }
}
