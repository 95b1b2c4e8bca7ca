//! The build as it grows: a small picture for each step, what stands already in narrow lines, what the step adds in wide
//! ones.
//!
//! Isometric (ISO 5456-3, *from memory*), all pictures of one size. What a step adds out of sight is dashed.

use crate::exploded::{isometric_width, nothing, solids};
use crate::lettering::{LARGE, SMALL, wrap};
use crate::lines::{LineKind, Stroke, View, lines};
use crate::paper::Paper;
use crate::pen::{LEADING, Line, Path, Pen};
use crate::scene::{Area, around};
use crate::svg::Svg;
use model::build::Build;
use shape::Convex;
use std::collections::BTreeMap;

/// The viewer stands at the front, to the right and above, equally far along all three axes.
const FROM: [f64; 3] = [1.0, -1.0, 1.0];
/// Between pictures, in mm.
const BETWEEN: f64 = 5.0;
/// The highest that a picture is, as a share of its width.
const HIGHEST: f64 = 1.1;
/// The most lines of a caption.
const MOST_LINES: usize = 4;
/// What a step adds is dashed where less than this share of its lines is seen.
const SEEN: f64 = 0.2;

/// All steps, in rows. `steps` are the parts that each step adds, by their places in the build; `captions` say which step
/// it is and what to do.
pub fn build_up(build: &Build, steps: &[Vec<usize>], captions: &[String], paper: Paper) -> Svg {
    match Sheet::of(build, steps, captions, paper) {
        Some(sheet) => sheet.page(0..steps.len()),
        None => nothing(paper),
    }
}

/// The same in as many drawings as it takes for each to be no higher than the paper, so far as a single row is not.
pub fn build_up_in_pages(build: &Build, steps: &[Vec<usize>], captions: &[String], paper: Paper) -> Vec<Svg> {
    let Some(sheet) = Sheet::of(build, steps, captions, paper) else { return Vec::new() };
    let per_page = sheet.rows_per_page() * sheet.columns;
    let starts = (0..steps.len()).step_by(per_page);
    starts.map(|start| sheet.page(start..(start + per_page).min(steps.len()))).collect()
}

/// The same, one picture as wide as the paper in each drawing.
pub fn build_up_one_by_one(build: &Build, steps: &[Vec<usize>], captions: &[String], paper: Paper) -> Vec<Svg> {
    let Some(sheet) = Sheet::in_columns(build, steps, captions, paper, 1) else { return Vec::new() };
    (0..steps.len()).map(|step| sheet.page(step..step + 1)).collect()
}

/// How many pictures stand beside one another.
fn columns(paper: Paper) -> usize {
    match paper {
        Paper::Phone => 2,
        Paper::A4Portrait | Paper::Page => 3,
        Paper::A4Landscape => 4,
    }
}

/// All pictures have one size and one scale.
struct Sheet<'a> {
    view: View,
    shapes: Vec<Convex>,
    /// The solid of each part, by its place in the build.
    solid: BTreeMap<usize, usize>,
    steps: &'a [Vec<usize>],
    captions: Vec<Vec<String>>,
    paper: Paper,
    columns: usize,
    wide: f64,
    tall: f64,
    area: Area,
    factor: f64,
}

impl<'a> Sheet<'a> {
    fn of(build: &Build, steps: &'a [Vec<usize>], captions: &[String], paper: Paper) -> Option<Sheet<'a>> {
        Sheet::in_columns(build, steps, captions, paper, columns(paper))
    }

    /// With no more than so many pictures beside one another.
    fn in_columns(
        build: &Build,
        steps: &'a [Vec<usize>],
        captions: &[String],
        paper: Paper,
        columns: usize,
    ) -> Option<Sheet<'a>> {
        let (parts, shapes) = solids(build);
        let view = View::from(FROM).filter(|_| !parts.is_empty() && !steps.is_empty())?;
        let solid: BTreeMap<usize, usize> = parts.iter().enumerate().map(|(solid, &part)| (part, solid)).collect();
        let columns = columns.min(steps.len());
        let wide = (paper.width() - BETWEEN * (columns as f64 - 1.0)) / columns as f64;
        let area =
            around(&shapes.iter().map(|shape| [shape.reach(view.right), shape.reach(view.up)]).collect::<Vec<_>>());
        let [across, up] = area.map(|[low, high]| high - low);
        let most = (wide * HIGHEST).min(paper.height() / 2.0);
        let factor = ((wide - 1.0) / across).min((most - 1.0) / up);
        let caption = |(place, _): (usize, &Vec<usize>)| {
            let words = captions.get(place).map_or("", String::as_str);
            wrap(words, SMALL, wide, MOST_LINES)
        };
        let captions = steps.iter().enumerate().map(caption).collect();
        let tall = up * factor + 1.0;
        Some(Sheet { view, shapes, solid, steps, captions, paper, columns, wide, tall, area, factor })
    }

    /// How high a row is, with captions of the most lines.
    fn row(&self) -> f64 {
        let lines = self.captions.iter().map(Vec::len).max().unwrap_or(0);
        self.tall + 1.5 + lines as f64 * SMALL * LEADING
    }

    fn rows_per_page(&self) -> usize {
        let room = self.paper.height() - HEADING;
        (((room + BETWEEN) / (self.row() + BETWEEN)) as usize).max(1)
    }

    fn page(&self, steps: std::ops::Range<usize>) -> Svg {
        let mut pen = Pen::new();
        let title = match (steps.start, steps.end) {
            (0, end) if end == self.steps.len() => "Build-up, step by step".to_owned(),
            (start, end) if end == start + 1 => format!("Build-up, step {end} of {}", self.steps.len()),
            (start, end) => format!("Build-up, steps {} to {end} of {}", start + 1, self.steps.len()),
        };
        pen.lines(&wrap(&title, LARGE, self.paper.width(), 1), [0.0, LARGE + 0.5], LARGE);
        let mut bottom = HEADING;
        for (count, step) in steps.clone().enumerate() {
            let x = (count % self.columns) as f64 * (self.wide + BETWEEN);
            let y = HEADING + (count / self.columns) as f64 * (self.row() + BETWEEN);
            self.picture(&mut pen, step, [x, y]);
            let foot = pen.lines(&self.captions[step], [x, y + self.tall + SMALL + 1.0], SMALL);
            bottom = f64::max(bottom, foot - SMALL * (LEADING - 1.0) + 1.0);
        }
        let words: Vec<String> = steps.map(|step| self.captions[step].join(" ")).collect();
        pen.scale = Some("not to scale".into());
        pen.finish([self.paper.width(), bottom], title, words.join("; "))
    }

    /// One step.
    fn picture(&self, pen: &mut Pen, step: usize, [left, top]: [f64; 2]) {
        let solids =
            |parts: &[usize]| parts.iter().filter_map(|part| self.solid.get(part).copied()).collect::<Vec<_>>();
        let before: Vec<usize> = self.steps[..step].iter().flat_map(|parts| solids(parts)).collect();
        let now = solids(&self.steps[step]);
        let shown: Vec<Convex> = before.iter().chain(&now).map(|&solid| self.shapes[solid].clone()).collect();
        let all = lines(&shown, &self.view);
        let middle = (self.wide - (self.area[0][1] - self.area[0][0]) * self.factor) / 2.0;
        let at = |[x, y]: [f64; 2]| {
            [left + middle + (x - self.area[0][0]) * self.factor, top + (self.area[1][1] - y) * self.factor]
        };
        let dashed = unseen(&all, shown.len());
        let (mut old, mut new, mut hidden) = (Path::default(), Path::default(), Path::default());
        for stroke in &all {
            let added = stroke.solid >= before.len();
            let path = match (stroke.kind, added) {
                (LineKind::Visible, true) => &mut new,
                (LineKind::Visible, false) => &mut old,
                (LineKind::Hidden, true) if dashed[stroke.solid] => &mut hidden,
                (LineKind::Hidden, _) => continue,
            };
            path.stroke(at(stroke.from), at(stroke.to));
        }
        pen.wide = isometric_width(&shown, self.factor);
        pen.draw(&hidden, Line::Hidden);
        pen.draw(&old, Line::Narrow);
        pen.draw(&new, Line::Wide);
        pen.wide = 0.5;
    }
}

/// What the heading takes, in mm.
const HEADING: f64 = 8.0;

/// Which solids are hardly seen.
fn unseen(all: &[Stroke], count: usize) -> Vec<bool> {
    let mut seen = vec![[0.0_f64; 2]; count];
    for stroke in all {
        let [x, y] = [0, 1].map(|way| stroke.to[way] - stroke.from[way]);
        seen[stroke.solid][usize::from(stroke.kind == LineKind::Hidden)] += (x * x + y * y).sqrt();
    }
    seen.into_iter().map(|[visible, hidden]| visible < SEEN * (visible + hidden)).collect()
}
