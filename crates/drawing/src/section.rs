//! A cut through the build: what the saw would show, hatched by material, and behind it what is seen, in narrow lines.
//!
//! Cut parts have wide outlines; end grain is crossed, timber along the grain wavy, sheets close lines, stone pairs of lines,
//! earth groups of three below the ground line (habits of ISO 128-3 and national sets, *from memory*). Heights are running
//! dimensions from the ground. What is filled in is no part, and not drawn.

pub(crate) mod hatch;

use crate::balloons::{self, Balloon};
use crate::dimension;
use crate::earth::Earth;
use crate::exploded::{bracketed, nothing, ranges, solids};
use crate::groups::titled;
use crate::lettering::{LARGE, SMALL, width, wrap};
use crate::lines::{Stroke, View, outline, visible_lines};
use crate::paper::{Paper, Scale, figures};
use crate::pen::{Line, Path, Pen};
use crate::readings::UPRIGHT;
use crate::scene::{Area, area, around, clip};
use crate::svg::Svg;
use crate::symmetry::{self, Thing};
use crate::terrain::TOUCHES;
use crate::view::{Place, height_readings, size_lines};
use measure::{Length, Tape};
use model::build::Build;
use model::part::{Axis, from_mm};
use shape::vector::dot;
use shape::{Convex, HalfSpace};

/// Where a build is cut, and which way one looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// The axis that the cut is square to: x or y.
    pub square_to: Axis,
    /// Where along that axis.
    pub at: Length,
    /// Which way one looks along it.
    pub look: Way,
}

/// Which way along an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Towards its start: to the left end, or to the front.
    Back,
    /// The way it runs: to the right end, or to the back.
    Along,
}

/// The places of a cut across the middle, as shares of the whole length: the middle, then beside it, so that it does not run
/// through a joint where nothing is cut.
const PLACES: [f64; 5] = [0.5, 0.47, 0.53, 0.42, 0.58];
/// The middle is kept unless it cuts less than this share of what a place beside it does.
const ENOUGH: f64 = 0.75;
/// The most heights that are written.
const MOST_HEIGHTS: usize = 14;
/// The column of ids is as high as the section, or so high where that is low, in mm.
const LEAST_COLUMN: f64 = 60.0;
/// A stretch between cut parts that is narrower than this share of the whole is a gap, and no opening.
const OPENING: f64 = 0.25;
/// Ground that is drawn beyond the build, in mm of paper.
const GROUND: f64 = 8.0;

impl Cut {
    /// Across the middle, looking to the end where more of the build is seen.
    ///
    /// `None` if there is nothing to cut.
    pub fn across_the_middle(build: &Build) -> Option<Cut> {
        middle(&solids(build).1)
    }

    fn view(&self) -> View {
        match (self.square_to, self.look) {
            (Axis::Y, Way::Along) => View::FRONT,
            (Axis::Y, Way::Back) => View { right: [-1.0, 0.0, 0.0], up: [0.0, 0.0, 1.0] },
            (_, Way::Back) => View::RIGHT,
            (_, Way::Along) => View { right: [0.0, -1.0, 0.0], up: [0.0, 0.0, 1.0] },
        }
    }

    /// What stays: all that lies behind the cut.
    fn plane(&self) -> HalfSpace {
        let normal = self.view().towards();
        HalfSpace { normal, offset: self.at.as_mm() * normal[self.square_to.index()] }
    }

    /// Where it is, from where the build begins, and which way one looks.
    fn words(&self, start: f64, tape: Tape) -> String {
        let (from, to) = match (self.square_to, self.look) {
            (Axis::Y, Way::Along) => ("front", "to the back"),
            (Axis::Y, Way::Back) => ("front", "to the front"),
            (_, Way::Back) => ("left end", "left"),
            (_, Way::Along) => ("left end", "right"),
        };
        format!("Section {} from the {from}, looking {to}", tape.show_with_unit(self.at - from_mm(start)))
    }
}

fn middle(shapes: &[Convex]) -> Option<Cut> {
    let low = shapes.iter().map(|shape| shape.bounds()[0][0]).reduce(f64::min)?;
    let high = shapes.iter().map(|shape| shape.bounds()[1][0]).reduce(f64::max)?;
    let cut = |share: f64| Cut { square_to: Axis::X, at: from_mm(low + share * (high - low)), look: Way::Back };
    let cut_area = |share: f64| -> f64 { cut_faces(shapes, &cut(share)).iter().map(|(_, face)| area(face)).sum() };
    let areas = PLACES.map(cut_area);
    let most = areas.iter().copied().fold(0.0, f64::max);
    let share =
        PLACES.iter().zip(areas).find(|(_, area)| *area >= ENOUGH * most).map_or(PLACES[0], |(share, _)| *share);
    let back = cut(share);
    let volume =
        |plane: HalfSpace| shapes.iter().filter_map(|shape| shape.cut(&plane)).map(|left| left.volume()).sum::<f64>();
    let more_along = volume(back.plane().flipped()) > volume(back.plane()) * (1.0 + 1e-9);
    Some(if more_along { Cut { look: Way::Along, ..back } } else { back })
}

/// The solids that a cut goes through, each with its face there, counter-clockwise as it is seen.
fn cut_faces(shapes: &[Convex], cut: &Cut) -> Vec<(usize, Vec<[f64; 2]>)> {
    let (plane, view) = (cut.plane(), cut.view());
    let face = |(place, shape): (usize, &Convex)| {
        let mut ring: Vec<[f64; 2]> = shape.section(&plane).into_iter().map(|corner| view.flat(corner)).collect();
        if area(&ring) < 0.0 {
            ring.reverse();
        }
        (ring.len() > 2).then_some((place, ring))
    };
    shapes.iter().enumerate().filter_map(face).collect()
}

/// A cut through the build; across the middle if no other is given.
pub fn section(build: &Build, cut: Option<Cut>, tape: Tape, paper: Paper) -> Svg {
    section_of(build, "", cut, tape, paper)
}

/// The same, called by `of` if that is not empty.
pub(crate) fn section_of(build: &Build, of: &str, cut: Option<Cut>, tape: Tape, paper: Paper) -> Svg {
    let (parts, shapes) = solids(build);
    let Some(cut) = cut.or_else(|| middle(&shapes)) else { return nothing(paper) };
    let faces = cut_faces(&shapes, &cut);
    let left = |(shape, &part): (&Convex, &usize)| Some((part, shape.cut(&cut.plane())?));
    let (behind_of, behind): (Vec<usize>, Vec<Convex>) = shapes.iter().zip(&parts).filter_map(left).unzip();
    if behind.is_empty() {
        return nothing(paper);
    }
    let starts = shapes.iter().map(|shape| shape.bounds()[0][cut.square_to.index()]);
    let start = starts.fold(f64::INFINITY, f64::min);
    let drawing = Drawing { build, of, parts, faces, behind, behind_of, cut, start, tape, paper };
    drawing.draw()
}

struct Drawing<'a> {
    build: &'a Build,
    /// What it is called by, if anything.
    of: &'a str,
    parts: Vec<usize>,
    faces: Vec<(usize, Vec<[f64; 2]>)>,
    behind: Vec<Convex>,
    /// The part that each of these is left of.
    behind_of: Vec<usize>,
    cut: Cut,
    /// Where the build begins along the axis that the cut is square to.
    start: f64,
    tape: Tape,
    paper: Paper,
}

impl Drawing<'_> {
    fn draw(&self) -> Svg {
        let view = self.cut.view();
        let [across, up]: Area = around(
            &self.behind.iter().map(|shape| [shape.reach(view.right), shape.reach(view.up)]).collect::<Vec<_>>(),
        );
        let [low, high] = self.earth().reach(across);
        let frame = [across, [up[0].min(low).min(0.0), up[1].max(high).max(0.0)]].map(|span| span.map(from_mm));
        let heights = self.heights(up);
        let sizes = [self.widths(), Vec::new()];
        let mut labels = self.labels();
        let ids = labels.iter().map(|(id, _)| balloons::wide(id)).fold(0.0, f64::max);
        let left = ids + GROUND + 2.0;
        let right = heights.iter().map(|(_, text)| width(text, SMALL)).fold(0.0, f64::max) + 12.0 + GROUND;
        let below = sizes[0].len() as f64 * dimension::PITCH + 3.0;
        let room = [self.paper.width() - left - right, self.paper.height() - below - 30.0];
        let [wide, tall] = frame.map(|[from, to]| to - from);
        let scale = Scale::fitting(wide, tall, room, self.tape);
        let name = titled(self.of, &self.cut.words(self.start, self.tape));
        let title = format!("{name}, {}{}", scale.name, figures(self.tape));
        let mut pen = Pen::new();
        let top = pen.lines(&wrap(&title, LARGE, self.paper.width(), 4), [0.0, LARGE + 0.5], LARGE);
        labels.truncate(balloons::most(scale.of(tall).max(LEAST_COLUMN)));
        let columns = (heights.len() as f64 * UPRIGHT).max(labels.len() as f64 * balloons::PITCH) + 0.5;
        let lead = ((columns - scale.of(tall)) / 2.0).max(0.0);
        let high = scale.of(tall) + 2.0 * lead;
        let place = Place { scale, frame, left, top: top + lead };
        self.paint(&mut pen, &place);
        let labels = labels
            .into_iter()
            .map(|(text, points)| Balloon {
                text,
                points: points.into_iter().map(|point| place.point(point)).collect(),
            })
            .collect::<Vec<_>>();
        balloons::draw(&mut pen, &balloons::column(labels, self.paper.width(), false, [top, top + high]));
        let foot = size_lines(&mut pen, &sizes, &place, [top, top + high], self.tape, self.paper);
        let beyond = Place { left: place.left + GROUND, scale: place.scale.clone(), ..place };
        height_readings(&mut pen, &beyond, &heights, [top, top + high]);
        symmetry::draw(&mut pen, &place, [symmetry::middle(&self.things(), 0), None]);
        pen.scale = Some(beyond.scale.name.clone());
        let cut: Vec<&str> = self.faces.iter().map(|(solid, _)| self.id(*solid)).collect();
        let description = format!("{} parts are cut: {}.", cut.len(), cut.join(", "));
        pen.finish([self.paper.width(), foot.max(top + high) + 2.0], title, description)
    }

    /// All that is seen, and the faces that are cut.
    fn things(&self) -> Vec<Thing> {
        let view = self.cut.view();
        let part = |place: usize| self.build.parts[place].stock;
        let behind = self.behind.iter().zip(&self.behind_of).map(|(solid, &place)| Thing {
            kind: (part(place), false),
            corners: outline(solid, &view),
            deep: solid.reach(view.towards()),
        });
        let cut = self.faces.iter().map(|(solid, face)| Thing {
            kind: (part(self.parts[*solid]), true),
            corners: face.clone(),
            deep: [0.0; 2],
        });
        behind.chain(cut).collect()
    }

    fn id(&self, solid: usize) -> &str {
        &self.build.parts[self.parts[solid]].id
    }

    /// The ids of cut parts, the largest first, with points of them: alike parts of which the numbers follow one another
    /// together.
    fn labels(&self) -> Vec<(String, Vec<[f64; 2]>)> {
        let ids: Vec<&str> = self.faces.iter().map(|(solid, _)| self.id(*solid)).collect();
        let named: Vec<usize> = (0..ids.len()).filter(|&face| !ids[face].is_empty()).collect();
        let middle = |face: usize| {
            let ring = &self.faces[face].1;
            [0, 1].map(|way| ring.iter().map(|corner| corner[way]).sum::<f64>() / ring.len() as f64)
        };
        let mut runs = ranges(&named, &ids);
        let size = |run: &Vec<usize>| run.iter().map(|&face| area(&self.faces[face].1)).sum::<f64>();
        runs.sort_by(|a, b| size(b).total_cmp(&size(a)));
        let label = |run: &Vec<usize>| {
            let ends = [run.first(), run.last().filter(|_| run.len() > 1)];
            (bracketed(run, &ids), ends.into_iter().flatten().map(|&face| middle(face)).collect())
        };
        runs.iter().map(label).collect()
    }

    /// The heights of what is cut, of the ground and of the highest, each once, the highest first.
    fn heights(&self, [low, high]: [f64; 2]) -> Vec<(Length, String)> {
        let ends = |face: &Vec<[f64; 2]>| {
            let ups = face.iter().map(|corner| corner[1]);
            ups.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], up| [low.min(up), high.max(up)])
        };
        let outer = [0.0, high, low].into_iter().filter(|at| *at != low || low < 0.0);
        let cut = self.faces.iter().flat_map(|(_, face)| ends(face));
        let mut heights: Vec<(Length, String)> = Vec::new();
        for at in outer.chain(cut).map(from_mm) {
            // A true minus, so that it is not taken for the stroke between inches and their fraction.
            let text = self.tape.show(at).replacen('-', "\u{2212}", usize::from(at < Length::ZERO));
            if heights.len() < MOST_HEIGHTS && heights.iter().all(|(_, known)| *known != text) {
                heights.push((at, text));
            }
        }
        heights.sort_by_key(|(at, _)| std::cmp::Reverse(*at));
        heights
    }

    /// The widths of what is cut: the whole, and the clear opening between faces that stand upright.
    fn widths(&self) -> Vec<[Length; 2]> {
        let spans: Vec<Area> = self.faces.iter().map(|(_, face)| bounds(face)).collect();
        if spans.is_empty() {
            return Vec::new();
        }
        let [across, up] = around(&spans);
        let at = |share: f64| self.opening(up[0].max(0.0) * (1.0 - share) + up[1] * share);
        let same = |a: [f64; 2], b: [f64; 2]| (0..2).all(|end| (a[end] - b[end]).abs() < 0.1);
        let wide = |[from, to]: &[f64; 2]| to - from >= OPENING * (across[1] - across[0]);
        let clear = at(0.45).zip(at(0.55)).filter(|(low, high)| same(*low, *high)).map(|(low, _)| low).filter(wide);
        [Some(across), clear].into_iter().flatten().map(|span| span.map(from_mm)).collect()
    }

    /// The widest stretch between cut parts at a height.
    fn opening(&self, up: f64) -> Option<[f64; 2]> {
        let far = 1e9;
        let crossed = |face: &Vec<[f64; 2]>| clip(face, [-far, up], [far, up]).map(|[from, to]| [from[0], to[0]]);
        let mut cut: Vec<[f64; 2]> = self.faces.iter().filter_map(|(_, face)| crossed(face)).collect();
        cut.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let gaps = cut.windows(2).map(|pair| [pair[0][1], pair[1][0]]).filter(|gap| gap[1] > gap[0] + 1.0);
        gaps.max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))
    }

    fn paint(&self, pen: &mut Pen, place: &Place) {
        let (mut behind, mut buried) = (Path::default(), Path::default());
        let earth = self.earth();
        for Stroke { solid, from, to, .. } in visible_lines(&self.behind, &self.cut.view()) {
            let [above, below] = earth.before_solid(&self.behind[solid]).parted(from, to);
            for (parts, path) in [(above, &mut behind), (below, &mut buried)] {
                for [from, to] in parts {
                    path.stroke(place.point(from), place.point(to));
                }
            }
        }
        pen.draw(&behind, Line::Narrow);
        pen.draw(&buried, Line::Hidden);
        let (mut outlines, mut strokes) = (Path::default(), Path::default());
        for (count, (solid, face)) in self.faces.iter().enumerate() {
            let ring: Vec<[f64; 2]> = face.iter().map(|&corner| place.point(corner)).collect();
            outlines.polygon(&ring);
            let part = &self.build.parts[self.parts[*solid]];
            let grain = part.at.frame.axes()[part.at.along.index()];
            let view = self.cut.view();
            // The paper's y runs down.
            let way = [dot(view.right, grain), -dot(view.up, grain)];
            hatch::hatch(&ring, part.stock.kind, way, count % 2 == 0, &mut strokes);
        }
        pen.draw(&outlines, Line::Cover);
        pen.draw(&strokes, Line::Narrow);
        pen.draw(&outlines, Line::Wide);
        self.ground(pen, place, &earth);
    }

    /// The ground in the cut.
    fn earth(&self) -> Earth {
        let view = self.cut.view();
        let axis = 1 - self.cut.square_to.index().min(1);
        Earth::cut(self.build, axis, self.cut.at.as_mm(), view.right[axis] < 0.0)
    }

    /// The ground line where no part is cut in it, with groups of strokes below it.
    fn ground(&self, pen: &mut Pen, place: &Place, earth: &Earth) {
        let spans = self.faces.iter().map(|(_, face)| bounds(face));
        let stands_in = |[across, up]: &Area| {
            let ground = earth.near.height((across[0] + across[1]) / 2.0);
            up[0] < ground - TOUCHES && up[1] > ground - TOUCHES
        };
        let mut cut: Vec<[f64; 2]> =
            spans.filter(stands_in).map(|[across, _]| across.map(|at| place.x(from_mm(at)))).collect();
        cut.sort_by(|a, b| a[0].total_cmp(&b[0]));
        earth.draw_near(pen, place, [GROUND; 2], &cut);
    }
}

fn bounds(face: &[[f64; 2]]) -> Area {
    around(&face.iter().map(|corner| corner.map(|at| [at; 2])).collect::<Vec<_>>())
}
