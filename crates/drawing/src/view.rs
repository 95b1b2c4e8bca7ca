//! Views of a build: from above, from the front, from the right; to scale, with its sizes.
//!
//! What lies behind is left out or painted over, nearest last; where parts turn or lean, or their ends are trimmed, the
//! lines that are seen are found one by one. What lies below the ground is dashed. Titles say in words from where one looks,
//! so that first and third angle (ISO 5456-2) cannot be taken for one another.

mod ids;
mod notes;
mod runs;
mod seen;
mod shapes;

use crate::dimension::{self, Dimension, in_levels};
use crate::earth::{self, Earth, Parted};
use crate::groups::titled;
use crate::hidden::visible;
use crate::lettering::{LARGE, SMALL, width, wrap};
use crate::paper::{Paper, Scale, figures};
use crate::pen::{Hold, LEADING, Line, Path, Pen};
use crate::readings::{UPRIGHT, spread};
use crate::scene;
use crate::svg::Svg;
use crate::symmetry::{self, Thing};
use measure::{Length, Tape};
use model::build::Build;
use model::part::from_mm;
use runs::Run;
use shapes::{Shape, shapes};
use std::collections::{BTreeMap, BTreeSet};

/// The rounding of a corner at an angle: sides that miss a level line by no more are level.
const ROUNDING: Length = Length::nm(20);

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
    view(build, "", Look::Above, tape, paper)
}

/// The build from the front, on the ground line: what lies below the ground is dashed.
pub fn front(build: &Build, tape: Tape, paper: Paper) -> Svg {
    view(build, "", Look::Front, tape, paper)
}

/// The build from the right, the front to the left.
pub fn side(build: &Build, tape: Tape, paper: Paper) -> Svg {
    view(build, "", Look::Right, tape, paper)
}

/// A rectangle in the build: from left to right and from below upwards as it is seen.
pub(crate) type Frame = [[Length; 2]; 2];

/// The room to the left of a view, for its ground line.
const LEFT: f64 = 6.0;

/// The most pieces, or outlines, of which each is dimensioned; and the most dimensions along one way.
const MOST_PIECES: usize = 8;
const MOST_SIZES: usize = 8;

/// Where a view stands on the paper.
pub(crate) struct Place {
    pub scale: Scale,
    pub frame: Frame,
    pub left: f64,
    pub top: f64,
}

impl Place {
    pub fn x(&self, across: Length) -> f64 {
        self.left + self.scale.of(across - self.frame[0][0])
    }

    pub fn y(&self, up: Length) -> f64 {
        self.top + self.scale.of(self.frame[1][1] - up)
    }

    /// The place across the view, in mm of the build, that lies at a place of the paper.
    pub fn across(&self, x: f64) -> f64 {
        self.frame[0][0].as_mm() + (x - self.left) / self.scale.factor
    }

    /// A point in mm of the build.
    pub fn point(&self, [across, up]: [f64; 2]) -> [f64; 2] {
        let [left, high] = [self.frame[0][0].as_mm(), self.frame[1][1].as_mm()];
        [self.left + (across - left) * self.scale.factor, self.top + (high - up) * self.scale.factor]
    }
}

/// A view, called by `of` if that is not empty.
pub(crate) fn view(build: &Build, of: &str, look: Look, tape: Tape, paper: Paper) -> Svg {
    let shapes = shapes(build, look);
    let name = match look {
        Look::Above => "From above",
        Look::Front => "From the front",
        Look::Right => "From the right",
    };
    let name = &titled(of, name);
    let Some(frame) = frame(build, look, &shapes) else {
        let mut pen = Pen::new();
        pen.text("Nothing to draw", [0.0, LARGE + 1.0], SMALL, Hold::Start);
        return pen.finish([paper.width(), 8.0], name.clone(), "No part has a size yet.".into());
    };
    draw(build, look, &shapes, frame, name, tape, paper)
}

fn draw(build: &Build, look: Look, shapes: &[Shape], frame: Frame, name: &str, tape: Tape, paper: Paper) -> Svg {
    let sizes =
        [0, 1].map(|way| if look == Look::Above { outline_sizes(build, shapes, frame, way) } else { Vec::new() });
    let order = visible(&shapes.iter().map(|shape| shape.seen).collect::<Vec<_>>());
    let pieces = pieces(shapes, &order);
    let sizes = if look == Look::Above { sizes } else { [widths(&pieces, frame), Vec::new()] };
    let heights = if look == Look::Above { Vec::new() } else { heights(&pieces, tape) };
    let [across, up] = frame.map(|[from, to]| to - from);
    let stack = |count: usize| count.min(paper.dimension_lines()) as f64 * dimension::PITCH + 3.0;
    let widest = heights.iter().map(|(_, text)| width(text, SMALL)).fold(0.0, f64::max);
    let right = if look == Look::Above { stack(sizes[1].len()) } else { widest + 11.0 };
    let room = [paper.width() - LEFT - right - 1.0, paper.height() - stack(sizes[0].len()) - 30.0];
    let scale = Scale::fitting(across, up, room, tape);
    let title = format!("{name}, {}{}", scale.name, figures(tape));
    let mut pen = Pen::new();
    let heading = wrap(&title, LARGE, paper.width(), 3);
    let top = pen.lines(&heading, [0.0, LARGE + 0.5], LARGE);
    // A low view still needs room for upright figures, which stand below it, or for its heights one above the other.
    let figures =
        sizes[1].iter().map(|size| (scale.of(size[1] - size[0]), width(&tape.show(size[1] - size[0]), SMALL)));
    let outside = figures.filter(|(size, text)| size < text).map(|(_, text)| text + 4.0).fold(0.0, f64::max);
    let lead = ((heights.len() as f64 * UPRIGHT + 0.5 - scale.of(up)) / 2.0).max(0.0);
    let high = scale.of(up) + outside + 2.0 * lead;
    let place = Place { scale, frame, left: LEFT, top: top + lead };
    let hatched = paint(&mut pen, build, look, (shapes, order), &place, tape);
    let foot = size_lines(&mut pen, &sizes, &place, [top, top + high], tape, paper);
    height_readings(&mut pen, &place, &heights, [top, top + high]);
    symmetry::draw(&mut pen, &place, middles(look, shapes));
    let mut y = foot + SMALL + 1.5;
    let told = notes::rows(build, look, tape);
    for note in told.iter().chain(&hatched) {
        y = pen.lines(&wrap(note, SMALL, paper.width(), 4), [0.0, y], SMALL);
    }
    let bottom = if told.is_empty() && hatched.is_empty() { foot + 1.0 } else { y - SMALL * (LEADING - 1.0) + 1.0 };
    pen.scale = Some(place.scale.name.clone());
    let [wide, tall] = [across, up].map(|size| tape.show_with_unit(size));
    let way = if look == Look::Above { "deep" } else { "high" };
    let description = format!("{} parts, {wide} wide and {tall} {way}. {}", build.parts.len(), told.join(". "));
    pen.finish([paper.width(), bottom], title, description.trim_end().to_owned())
}

/// The middles of what is seen, where it is symmetric: across, and from above also from front to back.
fn middles(look: Look, shapes: &[Shape]) -> [Option<f64>; 2] {
    let thing = |shape: &Shape| Thing {
        kind: (shape.part.stock, false),
        corners: shape.trimmed.clone().unwrap_or_else(|| symmetry::rectangle([shape.seen.across, shape.seen.up])),
        deep: shape.deep.map(Length::as_mm),
    };
    let things: Vec<Thing> = shapes.iter().map(thing).collect();
    let up = if look == Look::Above { symmetry::middle(&things, 1) } else { None };
    [symmetry::middle(&things, 0), up]
}

/// What the view reaches over; `None` if there is nothing in it.
fn frame(build: &Build, look: Look, shapes: &[Shape]) -> Option<Frame> {
    let mut frames: Vec<Frame> = shapes.iter().map(|shape| [shape.seen.across, shape.seen.up]).collect();
    if look == Look::Above {
        let corners = build.outlines.iter().flat_map(|drawn| &drawn.corners);
        frames.extend(corners.map(|corner| corner.map(|at| [at, at])));
    } else if let Some([across, _]) = around(frames.iter().copied()) {
        let ground = earth(build, look).map_or([0.0; 2], |earth| earth.reach(across.map(Length::as_mm)));
        frames.extend([[across, [Length::ZERO; 2]], [across, ground.map(from_mm)]]);
    }
    around(frames)
}

/// The ground in a view; none from above.
fn earth(build: &Build, look: Look) -> Option<Earth> {
    match look {
        Look::Above => None,
        Look::Front => Some(Earth::seen(build, 0)),
        Look::Right => Some(Earth::seen(build, 1)),
    }
}

/// The smallest frame around frames.
fn around(frames: impl IntoIterator<Item = Frame>) -> Option<Frame> {
    let wider = |a: [Length; 2], b: [Length; 2]| [a[0].min(b[0]), a[1].max(b[1])];
    frames.into_iter().reduce(|all, one| [wider(all[0], one[0]), wider(all[1], one[1])])
}

/// The stretches along one way that are dimensioned from above, each once: the whole, the sides of the outlines, the clear
/// opening of each.
fn outline_sizes(build: &Build, shapes: &[Shape], frame: Frame, way: usize) -> Vec<[Length; 2]> {
    let mut sizes = vec![frame[way]];
    for drawn in build.outlines.iter().take(MOST_PIECES) {
        let next = drawn.corners.iter().cycle().skip(1);
        let level = drawn.corners.iter().zip(next).filter(|(a, b)| (a[1 - way] - b[1 - way]).abs() <= ROUNDING);
        sizes.extend(level.map(|(a, b)| [a[way].min(b[way]), a[way].max(b[way])]));
        let inside = around(drawn.corners.iter().map(|corner| corner.map(|at| [at, at])));
        sizes.extend(inside.and_then(|inside| opening(shapes, inside, way)));
    }
    once(sizes)
}

/// The widths that are dimensioned from the front or the side: the whole, then each piece that is seen.
fn widths(pieces: &[Frame], frame: Frame) -> Vec<[Length; 2]> {
    once([frame[0]].into_iter().chain(pieces.iter().map(|[across, _]| *across)).collect())
}

/// The heights of the pieces that are seen, from the ground: lower and upper edges, each once, with the ground itself.
fn heights(pieces: &[Frame], tape: Tape) -> Vec<(Length, String)> {
    let edges: BTreeSet<Length> = pieces.iter().flat_map(|[_, up]| *up).chain([Length::ZERO]).collect();
    // A true minus, so that it is not taken for the stroke between inches and their fraction.
    let reading = |edge: Length| tape.show(edge).replacen('-', "\u{2212}", usize::from(edge < Length::ZERO));
    edges.into_iter().rev().map(|edge| (edge, reading(edge))).collect()
}

/// What each piece that is seen reaches over, in the order of their names.
fn pieces(shapes: &[Shape], order: &[usize]) -> Vec<Frame> {
    let mut pieces: BTreeMap<&str, Frame> = BTreeMap::new();
    for shape in order.iter().map(|&place| &shapes[place]) {
        let one = [shape.seen.across, shape.seen.up];
        let all = pieces.entry(&shape.part.key.piece).or_insert(one);
        *all = around([*all, one]).unwrap_or(one);
    }
    pieces.into_values().take(MOST_PIECES).collect()
}

/// Stretches that are longer than nothing, in order, each size once: those as long as one before them and beside it, as
/// the sides of two outlines around one another may be, are left out.
fn once(sizes: Vec<[Length; 2]>) -> Vec<[Length; 2]> {
    let mut kept: Vec<[Length; 2]> = Vec::new();
    for [from, to] in sizes {
        let again = |other: &[Length; 2]| {
            other[1] - other[0] == to - from && (other[0] - from).abs().as_mm() * 10.0 <= (to - from).as_mm()
        };
        if from < to && kept.len() < MOST_SIZES && !kept.iter().any(again) {
            kept.push([from, to]);
        }
    }
    kept
}

/// The clear opening on the middle line of an outline: the widest stretch within it without a part between parts, if it is
/// a quarter of the whole or more, so that it is no mere gap.
fn opening(shapes: &[Shape], inside: Frame, way: usize) -> Option<[Length; 2]> {
    let middle = inside[1 - way][0] + Length::nm((inside[1 - way][1] - inside[1 - way][0]).nanometres() / 2);
    let mut cut: Vec<[Length; 2]> = shapes.iter().filter_map(|shape| crossed(shape, middle, way)).collect();
    cut.sort();
    let mut widest: Option<[Length; 2]> = None;
    let mut reached = cut.first()?[1];
    for [from, to] in cut {
        let within = reached >= inside[way][0] && from <= inside[way][1];
        if within && from - reached > widest.map_or(Length::ZERO, |[from, to]| to - from) {
            widest = Some([reached, from]);
        }
        reached = reached.max(to);
    }
    widest.filter(|[from, to]| (*to - *from).as_mm() * 4.0 >= (inside[way][1] - inside[way][0]).as_mm())
}

/// From where to where a line along one way crosses a shape.
fn crossed(shape: &Shape, line: Length, way: usize) -> Option<[Length; 2]> {
    let span = [shape.seen.across, shape.seen.up];
    if !(span[1 - way][0] <= line && line < span[1 - way][1]) {
        return None;
    }
    let Some(polygon) = &shape.trimmed else { return Some(span[way]) };
    let at = line.as_mm();
    let sides = polygon.iter().zip(polygon.iter().cycle().skip(1));
    let meets = sides.filter(|(a, b)| (a[1 - way] <= at) != (b[1 - way] <= at)).map(|(a, b)| {
        let share = (at - a[1 - way]) / (b[1 - way] - a[1 - way]);
        from_mm(a[way] + share * (b[way] - a[way]))
    });
    let ends = meets.fold(None, |ends: Option<[Length; 2]>, at| {
        Some(ends.map_or([at; 2], |[low, high]| [low.min(at), high.max(at)]))
    });
    ends.filter(|[low, high]| low < high)
}

/// Draws the dimensions below and to the right; how far down they reach.
pub(crate) fn size_lines(
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
    let across = in_levels(across, [0.0, paper.width()], paper.dimension_lines());
    let up = in_levels(up, [high, low], paper.dimension_lines());
    let right = place.x(place.frame[0][1]);
    // The figures of the upright ones stay above those of the level ones.
    dimension::below(pen, &across, low + 1.0);
    dimension::beside(pen, &up, right + 1.0);
    low + 1.0 + dimension::depth(&across)
}

/// Running heights from the ground, to the right of the view: a line to each edge, its reading beside it, moved apart where
/// edges lie close; a circle at 0.
pub(crate) fn height_readings(pen: &mut Pen, place: &Place, heights: &[(Length, String)], limits: [f64; 2]) {
    let wanted: Vec<f64> = heights.iter().map(|(at, _)| place.y(*at)).collect();
    let Some(middles) = spread(&wanted, &vec![UPRIGHT; heights.len()], limits) else { return };
    let edge = place.x(place.frame[0][1]) + 2.0;
    let mut lines = Path::default();
    for (((_, text), &at), &middle) in heights.iter().zip(&wanted).zip(&middles) {
        lines.stroke([edge, at], [edge + 4.5, at]).stroke([edge + 4.5, at], [edge + 7.5, middle]);
        pen.text(text, [edge + 8.3, middle + SMALL / 2.0], SMALL, Hold::Start);
    }
    if let (Some(&first), Some(&last)) = (wanted.first(), wanted.last()) {
        lines.stroke([edge + 3.0, first], [edge + 3.0, last]);
    }
    pen.draw(&lines, Line::Narrow);
    if !heights.is_empty() {
        pen.circle([edge + 3.0, place.y(Length::ZERO)], 0.8);
    }
}

/// Draws the parts and what they stand on; the words for what is only hatched.
fn paint(
    pen: &mut Pen,
    build: &Build,
    look: Look,
    (shapes, order): (&[Shape], Vec<usize>),
    place: &Place,
    tape: Tape,
) -> Vec<String> {
    let (order, runs) = runs::gather(shapes, order, place.scale.factor);
    let (order, left_out) = runs::largest(shapes, order);
    pen.wide = line_width(build, shapes, &order, place);
    if look == Look::Above {
        let mut outlines = Path::default();
        for drawn in build.outlines.iter().filter(|drawn| drawn.corners.len() > 2) {
            let corners: Vec<[f64; 2]> = drawn.corners.iter().map(|[x, y]| [place.x(*x), place.y(*y)]).collect();
            outlines.polygon(&corners);
        }
        pen.draw(&outlines, Line::Centre);
    }
    let earth = self::earth(build, look);
    if let Some(earth) = &earth {
        earth.draw_far(pen, place);
    }
    let earth = earth.as_ref();
    let boxes = order.iter().all(|&at| shapes[at].trimmed.is_none());
    let order = if boxes { order } else { seen::uncovered(shapes, order) };
    let solids = if boxes { Vec::new() } else { seen::solids(look, shapes, &order, &runs) };
    if boxes {
        paint_shapes(pen, earth, shapes, &order, &runs, place);
    } else {
        seen::paint(pen, (look, earth), (shapes, &order, &runs), &solids, place);
    }
    match earth {
        Some(earth) if earth.near.is_level() => ground(pen, place),
        Some(earth) => earth.draw_near(pen, place, [5.0, 4.0], &[]),
        None => {}
    }
    if boxes {
        ids::write(pen, shapes, &order, place);
    } else if order.len() <= ids::MOST {
        ids::write_seen(pen, shapes, &order, &scene::Scene::new(&solids, shapes::direction(look)), place);
    }
    pen.wide = 0.5;
    let mut words = notes::runs(&runs, tape);
    if left_out > 0 {
        words.push(format!("{left_out} smaller parts are not drawn"));
    }
    words
}

/// The wide line: 0.5 mm where parts and gaps stand clear of it, else the next narrower pairs of ISO 128-2 (*from memory*).
fn line_width(build: &Build, shapes: &[Shape], order: &[usize], place: &Place) -> f64 {
    let thin = |shape: &Shape| {
        let [across, up] = [shape.seen.across, shape.seen.up].map(|[from, to]| place.scale.of(to - from));
        across.min(up)
    };
    let mut thin: Vec<f64> = order.iter().map(|&at| thin(&shapes[at])).collect();
    thin.sort_by(f64::total_cmp);
    let shares = build.rows.iter().filter_map(|row| row.gaps).filter(|gaps| gaps.total() > Length::ZERO);
    let gaps = shares.map(|gaps| place.scale.of(gaps.total()) / f64::from(gaps.places()));
    let gap = gaps.fold(f64::INFINITY, f64::min);
    match thin.get(thin.len() / 4).map_or(f64::INFINITY, |thin| thin.min(2.0 * gap)) {
        thin if thin < 0.8 => 0.18,
        thin if thin < 2.0 => 0.25,
        thin if thin < 4.0 => 0.35,
        _ => 0.5,
    }
}

/// Paints shapes and runs, the farthest first; what lies equally near goes into one path.
fn paint_shapes(pen: &mut Pen, earth: Option<&Earth>, shapes: &[Shape], order: &[usize], runs: &[Run], place: &Place) {
    let mut all: Vec<(Length, bool, usize)> = order.iter().map(|&at| (shapes[at].seen.near, false, at)).collect();
    all.extend(runs.iter().enumerate().map(|(at, run)| (run.near, true, at)));
    all.sort_by_key(|&(near, run, at)| (std::cmp::Reverse(near), run, at));
    let (mut path, mut grain, mut buried) = (Path::default(), Path::default(), Path::default());
    pen.begin(Line::Outline);
    for (count, &(near, run, at)) in all.iter().enumerate() {
        if run {
            hatch(&runs[at], place, &mut path, &mut grain);
        } else {
            outline(&shapes[at], earth, place, [&mut path, &mut grain, &mut buried]);
        }
        if all.get(count + 1).is_none_or(|next| next.0 != near) {
            pen.shape(&std::mem::take(&mut path));
            pen.draw(&std::mem::take(&mut grain), Line::Narrow);
        }
    }
    pen.end();
    pen.draw(&buried, Line::Hidden);
}

/// One shape: its outline, crossed diagonals on end grain that is large enough to show them, dashed below the ground.
fn outline(shape: &Shape, earth: Option<&Earth>, place: &Place, [path, grain, buried]: [&mut Path; 3]) {
    let [across, up] = [shape.seen.across, shape.seen.up].map(|span| span.map(Length::as_mm));
    let ground = earth.map(|earth| earth.before(shape.deep.map(Length::as_mm)));
    let parted = ground.map_or(Parted::Above, |ground| earth::parted(&ground, across, up));
    let rectangle = |path: &mut Path| {
        let corner = [place.x(shape.seen.across[0]), place.y(shape.seen.up[1])];
        let size = [shape.seen.across, shape.seen.up].map(|[from, to]| place.scale.of(to - from));
        path.rectangle(corner, size);
        (corner, size)
    };
    match parted {
        Parted::Above => {
            let ([x, y], [wide, tall]) = rectangle(path);
            if shape.end_grain && wide.min(tall) >= 3.0 {
                grain.stroke([x, y], [x + wide, y + tall]).stroke([x, y + tall], [x + wide, y]);
            }
        }
        Parted::Below => _ = rectangle(buried),
        Parted::Both { above, below } => {
            for (path, ring) in [(path, above), (buried, below)] {
                path.polygon(&ring.into_iter().map(|corner| place.point(corner)).collect::<Vec<_>>());
            }
        }
    }
}

/// A run as one rectangle with slanting strokes.
fn hatch(run: &Run, place: &Place, path: &mut Path, strokes: &mut Path) {
    let [across, up] = run.frame;
    let [x, y] = [place.x(across[0]), place.y(up[1])];
    let [wide, tall] = [across, up].map(|[from, to]| place.scale.of(to - from));
    path.rectangle([x, y], [wide, tall]);
    if wide.min(tall) < 1.2 {
        return;
    }
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
