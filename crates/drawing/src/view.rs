//! Views of a build: from above, from the front, from the right; to scale, with its sizes.
//!
//! What lies behind is left out or painted over, nearest last. What lies below the ground is dashed. Titles say in words
//! from where one looks, so that first and third angle (ISO 5456-2) cannot be taken for one another.

mod notes;
mod runs;
mod shapes;

use crate::dimension::{self, Dimension, in_levels};
use crate::lettering::{LARGE, SMALL, width, wrap};
use crate::paper::{Paper, Scale, figures};
use crate::pen::{Hold, LEADING, Line, Path, Pen};
use crate::svg::Svg;
use measure::{Length, Tape};
use model::build::Build;
use runs::Run;
use shapes::{Shape, shapes};
use std::collections::BTreeSet;

/// From where one looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Look {
    Above,
    Front,
    Right,
}

/// The build from above: every part that can be seen in its true size, the outlines that pieces stand on as long-dash dot
/// lines where no part covers them, outer sizes, sizes of the outlines, the clear opening, and in words how each level row
/// is shared out.
pub fn plan(build: &Build, tape: Tape, paper: Paper) -> Svg {
    view(build, Look::Above, tape, paper)
}

/// The build from the front, on the ground line: what lies below the ground is dashed.
pub fn front(build: &Build, tape: Tape, paper: Paper) -> Svg {
    view(build, Look::Front, tape, paper)
}

/// The build from the right, the front to the left.
pub fn side(build: &Build, tape: Tape, paper: Paper) -> Svg {
    view(build, Look::Right, tape, paper)
}

/// A rectangle in the build: from left to right and from below upwards as it is seen.
pub(crate) type Frame = [[Length; 2]; 2];

/// The room to the left of a view, for its ground line.
const LEFT: f64 = 6.0;
/// Below this many shapes each gets its id where that fits.
const MOST_IDS: usize = 150;

/// Where a view stands on the paper.
struct Place {
    scale: Scale,
    frame: Frame,
    left: f64,
    top: f64,
}

impl Place {
    fn x(&self, across: Length) -> f64 {
        self.left + self.scale.of(across - self.frame[0][0])
    }

    fn y(&self, up: Length) -> f64 {
        self.top + self.scale.of(self.frame[1][1] - up)
    }
}

fn view(build: &Build, look: Look, tape: Tape, paper: Paper) -> Svg {
    let shapes = shapes(build, look);
    let name = match look {
        Look::Above => "From above",
        Look::Front => "From the front",
        Look::Right => "From the right",
    };
    let Some(frame) = frame(build, look, &shapes) else {
        let mut pen = Pen::new();
        pen.text("Nothing to draw", [0.0, LARGE + 1.0], SMALL, Hold::Start);
        return pen.finish([paper.width(), 8.0], name.into(), "No part has a size yet.".into());
    };
    draw(build, look, &shapes, frame, name, tape, paper)
}

fn draw(build: &Build, look: Look, shapes: &[Shape], frame: Frame, name: &str, tape: Tape, paper: Paper) -> Svg {
    let sizes = [0, 1].map(|way| sizes(build, look, shapes, frame, way));
    let [across, up] = frame.map(|[from, to]| to - from);
    let stack = |count: usize| count.min(dimension::MOST_LEVELS) as f64 * dimension::PITCH + 3.0;
    let room = [paper.width() - LEFT - stack(sizes[1].len()) - 1.0, paper.height() - stack(sizes[0].len()) - 30.0];
    let scale = Scale::fitting(across, up, room, tape);
    let title = format!("{name}, {}{}", scale.name, figures(tape));
    let mut pen = Pen::new();
    let heading = wrap(&title, LARGE, paper.width(), 2);
    let top = pen.lines(&heading, [0.0, LARGE + 0.5], LARGE);
    let texts = sizes[1].iter().map(|size| width(&tape.show(size[1] - size[0]), SMALL));
    // A low view still needs the height of its upright figures.
    let high = scale.of(up).max(texts.fold(0.0, f64::max) + 2.0);
    let top = top + (high - scale.of(up)) / 2.0;
    let place = Place { scale, frame, left: LEFT, top };
    let hatched = paint(&mut pen, build, look, shapes, &place, tape);
    let foot = top + (high + place.scale.of(up)) / 2.0;
    let foot = size_lines(&mut pen, &sizes, &place, [foot - high, foot], tape, paper);
    let mut y = foot + SMALL + 1.5;
    let told = notes::rows(build, look, tape);
    for note in told.iter().chain(&hatched) {
        y = pen.lines(&wrap(note, SMALL, paper.width(), 4), [0.0, y], SMALL);
    }
    let bottom = if told.is_empty() && hatched.is_empty() { foot + 1.0 } else { y - SMALL * (LEADING - 1.0) + 1.0 };
    let [wide, tall] = [across, up].map(|size| tape.show_with_unit(size));
    let way = if look == Look::Above { "deep" } else { "high" };
    let description = format!("{} parts, {wide} wide and {tall} {way}. {}", build.parts.len(), told.join(". "));
    pen.finish([paper.width(), bottom], title, description.trim_end().to_owned())
}

/// What the view reaches over; `None` if there is nothing in it.
fn frame(build: &Build, look: Look, shapes: &[Shape]) -> Option<Frame> {
    let mut frames: Vec<Frame> = shapes.iter().map(|shape| [shape.seen.across, shape.seen.up]).collect();
    if look == Look::Above {
        let corners = build.outlines.iter().flat_map(|drawn| &drawn.corners);
        frames.extend(corners.map(|corner| corner.map(|at| [at, at])));
    } else if !frames.is_empty() {
        let [across, _] = frames[0];
        frames.push([across, [Length::ZERO; 2]]);
    }
    around(frames)
}

/// The smallest frame around frames.
fn around(frames: impl IntoIterator<Item = Frame>) -> Option<Frame> {
    let wider = |a: [Length; 2], b: [Length; 2]| [a[0].min(b[0]), a[1].max(b[1])];
    frames.into_iter().reduce(|all, one| [wider(all[0], one[0]), wider(all[1], one[1])])
}

/// The stretches that are dimensioned along one way, each once: the whole, then what it is made of.
fn sizes(build: &Build, look: Look, shapes: &[Shape], frame: Frame, way: usize) -> Vec<[Length; 2]> {
    let mut sizes = vec![frame[way]];
    if look == Look::Above {
        let outlines = build.outlines.iter().flat_map(|drawn| {
            let next = drawn.corners.iter().cycle().skip(1);
            drawn.corners.iter().zip(next).map(move |(a, b)| (a, b))
        });
        let level = outlines.filter(|(a, b)| a[1 - way] == b[1 - way]);
        sizes.extend(level.map(|(a, b)| [a[way].min(b[way]), a[way].max(b[way])]));
        sizes.extend(opening(shapes, frame, way));
    } else {
        let mut pieces: Vec<(&str, [Length; 2])> = Vec::new();
        let seen = crate::hidden::visible(&shapes.iter().map(|shape| shape.seen).collect::<Vec<_>>());
        for shape in seen.into_iter().map(|place| &shapes[place]) {
            let span = if way == 0 { shape.seen.across } else { shape.seen.up };
            match pieces.iter_mut().find(|(piece, _)| *piece == shape.part.key.piece) {
                Some((_, all)) => *all = [all[0].min(span[0]), all[1].max(span[1])],
                None => pieces.push((&shape.part.key.piece, span)),
            }
        }
        pieces.sort();
        for (_, span) in pieces {
            sizes.push(span);
            if way == 1 && span[0] > Length::ZERO {
                sizes.push([Length::ZERO, span[0]]);
            }
        }
    }
    let mut once = BTreeSet::new();
    sizes.retain(|size| size[0] < size[1] && once.insert(*size));
    sizes.truncate(8);
    sizes
}

/// The clear opening on the middle line of the view: the widest stretch without a part between parts, if it is a quarter
/// of the whole or more, so that it is no mere gap.
fn opening(shapes: &[Shape], frame: Frame, way: usize) -> Option<[Length; 2]> {
    let middle = frame[1 - way][0] + Length::nm((frame[1 - way][1] - frame[1 - way][0]).nanometres() / 2);
    let spans = |shape: &Shape| [shape.seen.across, shape.seen.up];
    let mut cut: Vec<[Length; 2]> = shapes
        .iter()
        .map(spans)
        .filter(|span| span[1 - way][0] <= middle && middle < span[1 - way][1])
        .map(|span| span[way])
        .collect();
    cut.sort();
    let mut widest: Option<[Length; 2]> = None;
    let mut reached = cut.first()?[1];
    for [from, to] in cut {
        if from - reached > widest.map_or(Length::ZERO, |[from, to]| to - from) {
            widest = Some([reached, from]);
        }
        reached = reached.max(to);
    }
    widest.filter(|[from, to]| (*to - *from).as_mm() * 4.0 >= (frame[way][1] - frame[way][0]).as_mm())
}

/// Draws the dimensions below and to the right; how far down they reach.
fn size_lines(
    pen: &mut Pen,
    sizes: &[Vec<[Length; 2]>; 2],
    place: &Place,
    [high, low]: [f64; 2],
    tape: Tape,
    paper: Paper,
) -> f64 {
    let text = |size: &[Length; 2]| tape.show(size[1] - size[0]);
    let across = sizes[0].iter();
    let across =
        across.map(|size| Dimension { from: place.x(size[0]), to: place.x(size[1]), text: text(size) }).collect();
    let up = sizes[1].iter();
    let up = up.map(|size| Dimension { from: place.y(size[1]), to: place.y(size[0]), text: text(size) }).collect();
    let across = in_levels(across, [0.0, paper.width()]);
    let up = in_levels(up, [high, low]);
    let right = place.x(place.frame[0][1]);
    // The figures of the upright ones stay above those of the level ones.
    dimension::below(pen, &across, low + 1.0);
    dimension::beside(pen, &up, right + 1.0);
    low + 1.0 + dimension::depth(&across)
}

/// Draws the parts and what they stand on; the words for what is only hatched.
fn paint(pen: &mut Pen, build: &Build, look: Look, shapes: &[Shape], place: &Place, tape: Tape) -> Vec<String> {
    let seen: Vec<crate::hidden::Seen> = shapes.iter().map(|shape| shape.seen).collect();
    let order = crate::hidden::visible(&seen);
    let (order, runs) = runs::gather(shapes, order, place.scale.factor);
    pen.wide = line_width(shapes, &order, place);
    if look == Look::Above {
        let mut outlines = Path::default();
        for drawn in build.outlines.iter().filter(|drawn| drawn.corners.len() > 2) {
            let corners: Vec<[f64; 2]> = drawn.corners.iter().map(|[x, y]| [place.x(*x), place.y(*y)]).collect();
            outlines.polygon(&corners);
        }
        pen.draw(&outlines, Line::Centre);
    }
    paint_shapes(pen, look, shapes, &order, &runs, place);
    if look != Look::Above {
        ground(pen, place);
    }
    write_ids(pen, shapes, &order, place);
    pen.wide = 0.5;
    notes::runs(&runs, tape)
}

/// The wide line: 0.5 mm where the parts stand clear of it, else the next narrower pairs of ISO 128-2 (*from memory*).
fn line_width(shapes: &[Shape], order: &[usize], place: &Place) -> f64 {
    let thin = |shape: &Shape| {
        let [across, up] = [shape.seen.across, shape.seen.up].map(|[from, to]| place.scale.of(to - from));
        across.min(up)
    };
    let mut thin: Vec<f64> = order.iter().map(|&at| thin(&shapes[at])).collect();
    thin.sort_by(f64::total_cmp);
    match thin.get(thin.len() / 4) {
        Some(thin) if *thin < 0.7 => 0.18,
        Some(thin) if *thin < 1.5 => 0.25,
        Some(thin) if *thin < 3.0 => 0.35,
        _ => 0.5,
    }
}

/// Paints shapes and runs, the farthest first; what lies equally near goes into one path.
fn paint_shapes(pen: &mut Pen, look: Look, shapes: &[Shape], order: &[usize], runs: &[Run], place: &Place) {
    let mut all: Vec<(Length, bool, usize)> = order.iter().map(|&at| (shapes[at].seen.near, false, at)).collect();
    all.extend(runs.iter().enumerate().map(|(at, run)| (run.near, true, at)));
    all.sort_by_key(|&(near, run, at)| (std::cmp::Reverse(near), run, at));
    let (mut path, mut grain, mut buried) = (Path::default(), Path::default(), Path::default());
    for (count, &(near, run, at)) in all.iter().enumerate() {
        if run {
            hatch(&runs[at], place, &mut path, &mut grain);
        } else {
            outline(&shapes[at], look, place, [&mut path, &mut grain, &mut buried]);
        }
        if all.get(count + 1).is_none_or(|next| next.0 != near) {
            pen.draw(&std::mem::take(&mut path), Line::Outline);
            pen.draw(&std::mem::take(&mut grain), Line::Narrow);
        }
    }
    pen.draw(&buried, Line::Hidden);
}

/// One shape: its outline, crossed diagonals on end grain that is large enough to show them, dashed below the ground.
fn outline(shape: &Shape, look: Look, place: &Place, [path, grain, buried]: [&mut Path; 3]) {
    if let Some(corners) = &shape.trimmed {
        let corners: Vec<[f64; 2]> = corners
            .iter()
            .map(|[across, up]| {
                let [left, high] = [place.frame[0][0].as_mm(), place.frame[1][1].as_mm()];
                [place.left + (across - left) * place.scale.factor, place.top + (high - up) * place.scale.factor]
            })
            .collect();
        path.polygon(&corners);
        return;
    }
    let [low, high] = shape.seen.up;
    let ground = if look == Look::Above { low } else { Length::ZERO };
    let rectangle = |path: &mut Path, low: Length, high: Length| {
        let corner = [place.x(shape.seen.across[0]), place.y(high)];
        let size = [place.scale.of(shape.seen.across[1] - shape.seen.across[0]), place.scale.of(high - low)];
        path.rectangle(corner, size);
        (corner, size)
    };
    if low < ground {
        rectangle(buried, low, high.min(ground));
    }
    if high > ground.max(low) {
        let ([x, y], [wide, tall]) = rectangle(path, low.max(ground), high);
        if shape.end_grain && wide.min(tall) >= 3.0 {
            grain.stroke([x, y], [x + wide, y + tall]).stroke([x, y + tall], [x + wide, y]);
        }
    }
}

/// A run as one rectangle with slanting strokes.
fn hatch(run: &Run, place: &Place, path: &mut Path, strokes: &mut Path) {
    let [across, up] = run.frame;
    let [x, y] = [place.x(across[0]), place.y(up[1])];
    let [wide, tall] = [across, up].map(|[from, to]| place.scale.of(to - from));
    path.rectangle([x, y], [wide, tall]);
    let apart = (wide + tall) / ((wide + tall) / 3.0).clamp(2.0, 200.0);
    let mut along = apart;
    while along < wide + tall {
        let from = [x + along.min(wide), y + (along - wide).max(0.0)];
        let to = [x + (along - tall).max(0.0), y + along.min(tall)];
        strokes.stroke(from, to);
        along += apart;
    }
}

/// The ground line, beyond the view on both sides, with strokes below its ends.
fn ground(pen: &mut Pen, place: &Place) {
    let (left, right, y) = (place.left - 5.0, place.x(place.frame[0][1]) + 4.0, place.y(Length::ZERO));
    let (mut line, mut earth) = (Path::default(), Path::default());
    line.stroke([left, y], [right, y]);
    for place in 0..3 {
        let x = left + f64::from(place) * 1.2;
        earth.stroke([x + 1.2, y], [x, y + 1.2]);
    }
    pen.draw(&line, Line::Wide);
    pen.draw(&earth, Line::Narrow);
}

/// Writes the ids of parts where they fit and no nearer part covers them, level or upright; only in a view of few parts.
fn write_ids(pen: &mut Pen, shapes: &[Shape], order: &[usize], place: &Place) {
    if order.len() > MOST_IDS {
        return;
    }
    let inside = |shape: &Shape| {
        let [across, up] = [shape.seen.across, shape.seen.up];
        [[place.x(across[0]), place.x(across[1])], [place.y(up[1]), place.y(up[0])]]
    };
    for (count, &at) in order.iter().enumerate() {
        let shape = &shapes[at];
        let [[left, right], [top, bottom]] = inside(shape);
        let (long, high) = (width(&shape.part.id, SMALL) + 1.2, SMALL + 1.2);
        let level = right - left >= long && bottom - top >= high;
        if shape.part.id.is_empty() || (!level && (bottom - top < long || right - left < high)) {
            continue;
        }
        let (half_wide, half_high) = if level { (long / 2.0, high / 2.0) } else { (high / 2.0, long / 2.0) };
        let [x, y] = [(left + right) / 2.0, (top + bottom) / 2.0];
        let covered = order[count + 1..].iter().map(|&nearer| inside(&shapes[nearer])).any(|[[l, r], [t, b]]| {
            l < x + half_wide && x - half_wide < r && t < y + half_high && y - half_high < b
        });
        if !covered && level {
            pen.text(&shape.part.id, [x, y + SMALL / 2.0], SMALL, Hold::Middle);
        } else if !covered {
            pen.text_up(&shape.part.id, [x + SMALL / 2.0, y], SMALL, Hold::Middle);
        }
    }
}
