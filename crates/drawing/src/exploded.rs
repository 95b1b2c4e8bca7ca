//! The build taken apart: all parts seen from the front right and above, each with its id, hidden lines removed.
//!
//! Isometric (ISO 5456-3, *from memory*): all three axes equally foreshortened. Faces move outwards, what lies flat moves up
//! or down, each along one axis, until no group of parts stands before another; courses part by a gap. An id stands on its
//! part, or in a circle at the end of a leader where it has no room there.

mod apart;

use crate::balloons::{self, Balloon};
use crate::groups::titled;
use crate::lettering::{LARGE, SMALL, width, wrap};
use crate::lines::{View, outline, visible_lines};
use crate::paper::Paper;
use crate::pen::{Hold, LEADING, Line, Path, Pen};
use crate::scene::{Area, Scene};
use crate::svg::Svg;
use model::build::Build;
use shape::Convex;
use shape::vector::{plus, times};

/// The viewer stands at the front, to the right and above, equally far along all three axes.
const FROM: [f64; 3] = [1.0, -1.0, 1.0];
/// What is kept clear round an id on its part, in mm.
const CLEAR: f64 = 0.6;
/// What the heading takes, in mm.
const HEADING: f64 = 8.0;
/// So many ids of alike parts of one place that do not follow one another are told in one list.
const MOST_LISTED: usize = 4;
/// What is tried until all circles have room: beside their parts, the picture as large as this share of what the paper allows;
/// then also in columns that are this share of the paper high.
const TRIES: [(f64, Option<f64>); 6] =
    [(1.0, None), (0.85, None), (0.7, None), (0.55, None), (1.0, Some(0.5)), (1.0, Some(0.9))];
/// Above and below a picture with circles beside its parts, in mm.
const ROUND: f64 = 8.0;
/// How far below the picture circles may stand, in mm.
const BELOW: f64 = 24.0;
/// The most parts of a run to which a leader is tried.
const MOST_POINTS: usize = 5;
/// Of more parts than this, long runs of alike ones are drawn as one: no picture on paper could show them.
const MOST_DRAWN: usize = 2000;
/// A shorter run is always drawn, and one that fills less than this of the box around it.
const FEWEST: usize = 8;
const FILLED: f64 = 0.5;
/// Between the picture and the circles beside it.
const SIDE: f64 = 3.0;
/// The most lines of ids that have no room in the drawing.
const MOST_LINES: usize = 12;

/// The build taken apart, with the ids of all parts: not to scale, as large as the paper allows. An id stands on its part
/// where it has room, else in a circle beside it. Parts of one place that are alike share a circle and a leader: a range in
/// brackets, or a short list.
pub fn exploded(build: &Build, paper: Paper) -> Svg {
    exploded_of(build, "", paper)
}

/// The same, called by `of` if that is not empty.
pub(crate) fn exploded_of(build: &Build, of: &str, paper: Paper) -> Svg {
    let (parts, shapes) = solids(build);
    let Some(view) = View::from(FROM).filter(|_| !parts.is_empty()) else { return nothing(paper) };
    let groups = apart::groups(build, &parts, &shapes);
    let moved = apart::moved(build, &parts, &shapes, &groups, &view);
    let ids: Vec<&str> = parts.iter().map(|&part| build.parts[part].id.as_str()).collect();
    let runs: Vec<Vec<usize>> = groups.iter().flat_map(|group| listed(&group.solids, &ids)).collect();
    let all = Items { ids: ids.into_iter().map(str::to_owned).collect(), solids: moved, runs };
    let items = if all.solids.len() > MOST_DRAWN { all.gathered(build, &parts) } else { all };
    let scene = Scene::new(&items.solids, view);
    let outlines: Vec<Vec<[f64; 2]>> = items.solids.iter().map(|solid| outline(solid, &view)).collect();
    let attempt = |(share, column): (f64, Option<f64>)| {
        let labels = Labels::of(&scene, &items, paper, (share, column));
        let set = labels.set(&outlines, paper);
        (labels, set)
    };
    let mut found = attempt(TRIES[0]);
    for other in &TRIES[1..] {
        if found.1.left_out.is_empty() {
            break;
        }
        found = attempt(*other);
    }
    let (labels, set) = found;
    draw(&scene, &items, (&labels, set), (parts.len(), of, paper))
}

/// Runs of alike parts; those whose numbers do not follow one another as one if they are few.
fn listed(solids: &[usize], ids: &[&str]) -> Vec<Vec<usize>> {
    let runs = ranges(solids, ids);
    let alike = |a: &Vec<usize>, b: &Vec<usize>| parted(ids[a[0]], 0).0 == parted(ids[b[0]], 0).0;
    let few = |runs: &[Vec<usize>]| runs.len() <= MOST_LISTED && runs.iter().all(|run| run.len() == 1);
    let joined = runs.chunk_by(alike).map(|runs| if few(runs) { vec![runs.concat()] } else { runs.to_vec() });
    joined.flatten().collect()
}

/// What is drawn: solids in their places with their ids, and runs of alike ones.
struct Items {
    solids: Vec<Convex>,
    ids: Vec<String>,
    runs: Vec<Vec<usize>>,
}

impl Items {
    /// Long runs of alike parts, each as the one box that it fills.
    fn gathered(&self, build: &Build, parts: &[usize]) -> Items {
        let mut items = Items { solids: Vec::new(), ids: Vec::new(), runs: Vec::new() };
        for run in &self.runs {
            let first = items.solids.len();
            if let Some(box_around) = self.filled(run, build, parts) {
                items.solids.push(box_around);
                items.ids.push(bracketed(run, &self.ids));
            } else {
                items.solids.extend(run.iter().map(|&solid| self.solids[solid].clone()));
                items.ids.extend(run.iter().map(|&solid| self.ids[solid].clone()));
            }
            items.runs.push((first..items.solids.len()).collect());
        }
        items
    }

    /// The box round a run in its frame; `None` for a short run, and where it is mostly empty.
    fn filled(&self, run: &[usize], build: &Build, parts: &[usize]) -> Option<Convex> {
        let frame = build.parts[parts[*run.first()?]].at.frame;
        if run.len() < FEWEST || run.iter().any(|&solid| build.parts[parts[solid]].at.frame != frame) {
            return None;
        }
        let axes = frame.axes();
        let spans = axes.map(|axis| {
            let reaches = run.iter().map(|&solid| self.solids[solid].reach(axis));
            reaches.fold([f64::INFINITY, f64::NEG_INFINITY], |all, one| [all[0].min(one[0]), all[1].max(one[1])])
        });
        let corner = (0..3).fold([0.0; 3], |at, axis| plus(at, times(axes[axis], spans[axis][0])));
        let around = Convex::cuboid(corner, axes, spans.map(|[low, high]| high - low));
        let taken: f64 = run.iter().map(|&solid| self.solids[solid].volume()).sum();
        (taken >= FILLED * around.volume()).then_some(around)
    }
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

/// Where the picture stands on the paper.
#[derive(Clone, Default)]
struct Place {
    /// Millimetres of paper for one of the view.
    factor: f64,
    area: Area,
    left: f64,
    top: f64,
    tall: f64,
    /// How high the columns of circles may grow, where there are any: beside the picture, and a little further where it is low.
    column: Option<f64>,
}

impl Place {
    /// As large a share of what the paper allows, with so much left free on either side.
    fn of(scene: &Scene, side: f64, paper: Paper, (share, column): (f64, Option<f64>)) -> Place {
        let area = scene.whole();
        let [wide, high] = area.map(|[low, high]| high - low);
        let round = if column.is_some() { 0.0 } else { ROUND * (2.0 - share) };
        let room = [paper.width() - 2.0 * side, paper.height() - HEADING - 2.0 * round];
        let factor = share * (room[0] / wide).min(room[1] / high);
        let (left, tall) = ((paper.width() - wide * factor) / 2.0, high * factor);
        let column = column.map(|share| tall.max(paper.height() * share));
        Place { factor, area, left, top: HEADING + round, tall, column }
    }

    fn at(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [self.left + (x - self.area[0][0]) * self.factor, self.top + (self.area[1][1] - y) * self.factor]
    }
}

/// Solids whose ids have the same letters and numbers that follow one another, as one list each.
pub(crate) fn ranges(solids: &[usize], ids: &[&str]) -> Vec<Vec<usize>> {
    let mut numbered: Vec<(&str, u32, usize)> = solids.iter().map(|&solid| parted(ids[solid], solid)).collect();
    numbered.sort();
    let follows = |a: &(&str, u32, usize), b: &(&str, u32, usize)| a.0 == b.0 && b.1 <= a.1 + 1;
    numbered.chunk_by(follows).map(|run| run.iter().map(|one| one.2).collect()).collect()
}

/// An id as its letters and its number.
fn parted(id: &str, solid: usize) -> (&str, u32, usize) {
    let letters = id.trim_end_matches(|sign: char| sign.is_ascii_digit());
    (letters, id[letters.len()..].parse().unwrap_or(0), solid)
}

fn draw(scene: &Scene, items: &Items, (labels, set): (&Labels, Set), (count, of, paper): (usize, &str, Paper)) -> Svg {
    let title = titled(of, "Taken apart, isometric, not to scale");
    let (wide, place) = (paper.width(), &labels.place);
    let mut pen = Pen::new();
    // The heading has one line.
    let letters = if width(&title, LARGE) <= wide { LARGE } else { SMALL };
    pen.lines(&wrap(&title, letters, wide, 1), [0.0, LARGE + 0.5], letters);
    strokes(&mut pen, &items.solids, place);
    let leaders: Vec<[[f64; 2]; 2]> = set.placed.iter().flat_map(balloons::Placed::leaders).collect();
    for &solid in &labels.written {
        write(&mut pen, scene, place, &items.ids[solid], solid, &leaders);
    }
    balloons::draw(&mut pen, &set.placed);
    let mut bottom = set.placed.iter().map(balloons::Placed::bottom).fold(place.top + place.tall, f64::max) + 1.0;
    for (what, texts) in [("Not seen from here", &labels.unseen), ("Without room for an id", &set.left_out)] {
        if !texts.is_empty() {
            let lines = wrap(&format!("{what}: {}", texts.join(", ")), SMALL, wide, MOST_LINES);
            bottom = pen.lines(&lines, [0.0, bottom + SMALL + 1.0], SMALL) - SMALL * (LEADING - 1.0);
        }
    }
    pen.scale = Some("not to scale".into());
    let description = format!("{count} parts: {}.", items.ids.join(", "));
    pen.finish([wide, bottom + 1.0], title, description)
}

/// Circles in their places.
struct Set {
    placed: Vec<balloons::Placed>,
    left_out: Vec<String>,
}

/// The lines that are seen: narrower where parts are fine.
fn strokes(pen: &mut Pen, moved: &[Convex], place: &Place) {
    let Some(view) = View::from(FROM) else { return };
    let mut path = Path::default();
    for stroke in visible_lines(moved, &view) {
        path.stroke(place.at(stroke.from), place.at(stroke.to));
    }
    pen.wide = isometric_width(moved, place.factor);
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

/// All texts of the drawing.
#[derive(Default)]
struct Labels {
    place: Place,
    /// The solids that carry their ids themselves.
    written: Vec<usize>,
    balloons: Vec<Balloon>,
    unseen: Vec<String>,
}

impl Labels {
    /// The ids of runs of alike parts. What has room stands on its part, the rest in a balloon for the whole run.
    fn of(scene: &Scene, items: &Items, paper: Paper, (share, column): (f64, Option<f64>)) -> Labels {
        let Items { ids, runs, .. } = items;
        let widest = runs.iter().map(|run| balloons::wide(&bracketed(run, ids))).fold(0.0, f64::max);
        let side = if column.is_some() { widest + SIDE } else { ROUND };
        let mut labels = Labels { place: Place::of(scene, side, paper, (share, column)), ..Labels::default() };
        for run in runs.iter().filter(|run| run.iter().any(|&solid| !ids[solid].is_empty())) {
            labels.add(scene, ids, run);
        }
        labels
    }

    fn add(&mut self, scene: &Scene, ids: &[String], run: &[usize]) {
        let place = &self.place;
        if run.iter().all(|&solid| room(scene, place, &ids[solid], solid, |_, _| true).is_some()) {
            self.written.extend(run);
            return;
        }
        let every = run.len().div_ceil(MOST_POINTS).max(1);
        let anchors = run.iter().step_by(every).chain(run.last()).filter_map(|&solid| scene.anchor(solid));
        let points: Vec<[f64; 2]> = anchors.map(|anchor| place.at(anchor)).collect();
        let text = bracketed(run, ids);
        if points.is_empty() {
            self.unseen.push(text);
        } else {
            self.balloons.push(Balloon { text, points });
        }
    }

    /// Sets the circles beside their parts; those without room there in columns at the sides, if there are any.
    fn set(&self, outlines: &[Vec<[f64; 2]>], paper: Paper) -> Set {
        let place = &self.place;
        let on_paper = |ring: &Vec<[f64; 2]>| ring.iter().map(|&point| place.at(point)).collect();
        let drawn = balloons::Drawn::new(outlines.iter().map(on_paper).collect());
        let foot = place.top + place.tall + BELOW;
        let side = if place.column.is_some() { place.left } else { 0.0 };
        let limits = [[side, paper.width() - side], [HEADING, foot]];
        let (mut placed, rest) = balloons::near(self.balloons.clone(), &drawn, limits);
        let Some(column) = place.column else {
            return Set { placed, left_out: rest.into_iter().map(|balloon| balloon.text).collect() };
        };
        let rest = rest.into_iter().map(Balloon::with_one_leader).collect();
        let (columns, left_out) = balloons::place(rest, paper.width(), [HEADING, column]);
        placed.extend(columns);
        Set { placed, left_out }
    }
}

/// The id of one part, or those of a run in brackets.
pub(crate) fn bracketed(run: &[usize], ids: &[impl AsRef<str>]) -> String {
    let number = |solid: usize| parted(ids[solid].as_ref(), solid).1;
    let follow = run.windows(2).all(|pair| number(pair[1]) <= number(pair[0]) + 1);
    match run {
        [first, .., last] if follow => format!("[{}\u{2013}{}]", ids[*first].as_ref(), ids[*last].as_ref()),
        _ => run.iter().map(|&solid| ids[solid].as_ref()).collect::<Vec<&str>>().join(", "),
    }
}

/// Where an id has room on its part, level or upright, in the view; `will_do` takes a place and half the size of the text.
fn room(
    scene: &Scene,
    place: &Place,
    id: &str,
    solid: usize,
    will_do: impl Fn([f64; 2], [f64; 2]) -> bool,
) -> Option<([f64; 2], bool)> {
    let [long, high] = [width(id, SMALL) / 2.0 + CLEAR, SMALL / 2.0 + CLEAR].map(|paper| paper / place.factor);
    let level = scene.room_where(solid, [long, high], |middle| will_do(middle, [long, high]));
    let upright = || scene.room_where(solid, [high, long], |middle| will_do(middle, [high, long]));
    level.map(|middle| (middle, true)).or_else(|| Some((upright()?, false)))
}

/// Writes an id on its part, off the leaders if there is such a place.
fn write(pen: &mut Pen, scene: &Scene, place: &Place, id: &str, solid: usize, leaders: &[[[f64; 2]; 2]]) {
    let clear = |middle: [f64; 2], half: [f64; 2]| {
        let (middle, half) = (place.at(middle), half.map(|size| size * place.factor));
        !leaders.iter().any(|leader| passes(leader, middle, half))
    };
    let found = room(scene, place, id, solid, clear).or_else(|| room(scene, place, id, solid, |_, _| true));
    let Some((middle, level)) = found else { return };
    let [x, y] = place.at(middle);
    if level {
        pen.text(id, [x, y + SMALL / 2.0], SMALL, Hold::Middle);
    } else {
        pen.text_up(id, [x + SMALL / 2.0, y], SMALL, Hold::Middle);
    }
}

/// Whether a line passes through a rectangle (Liang and Barsky, 1984: clipping by parameters; *from memory*).
pub(crate) fn passes([from, to]: &[[f64; 2]; 2], middle: [f64; 2], half: [f64; 2]) -> bool {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for way in 0..2 {
        let (step, start) = (to[way] - from[way], from[way] - middle[way]);
        if step.abs() < f64::EPSILON {
            if start.abs() > half[way] {
                return false;
            }
            continue;
        }
        let ends = [(-half[way] - start) / step, (half[way] - start) / step];
        enter = enter.max(ends[0].min(ends[1]));
        leave = leave.min(ends[0].max(ends[1]));
    }
    enter < leave
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line up the middle of the paper, and rectangles beside it and on it.
    #[test]
    fn leaders_pass_through_what_they_cross() {
        let leader = [[5.0, 0.0], [5.0, 10.0]];
        assert!(passes(&leader, [4.0, 5.0], [2.0, 1.0]));
        assert!(!passes(&leader, [2.0, 5.0], [2.0, 1.0]));
        assert!(!passes(&leader, [5.0, 15.0], [2.0, 1.0]));
        assert!(passes(&[[0.0, 0.0], [10.0, 10.0]], [6.0, 5.0], [2.0, 2.0]));
    }

    #[test]
    fn alike_parts_are_bracketed() {
        let ids = ["A1", "A2", "B7", "A3", "A5"];
        assert_eq!(ranges(&[0, 1, 2, 3, 4], &ids), [vec![0, 1, 3], vec![4], vec![2]]);
    }
}
