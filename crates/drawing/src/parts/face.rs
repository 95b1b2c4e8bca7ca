//! The face of a part, its edge and its end, with running dimensions of their corners.

use super::cuts::Cuts;
use crate::lettering::{SMALL, width};
use crate::lines::{LineKind, View, lines};
use crate::paper::Scale;
use crate::pen::{Hold, LEADING, Line, Path, Pen};
use crate::plate::{self, ORIGIN, Plate, zigzag};
use crate::readings::{self, UPRIGHT, spread};
use crate::scene::area;
use measure::{Length, Tape};
use model::part::{Part, from_mm};
use shape::Convex;
use shape::vector::{Vector, dot, times};

/// Corners so near to a face, in mm, lie on it.
const ON: f64 = 1e-3;
/// Faces differ if the area of one is larger by this share.
const LARGER: f64 = 1e-6;
/// The heights of a face on paper that are tried, in mm: the largest at which it fits.
const HEIGHTS: [f64; 4] = [36.0, 24.0, 15.0, 9.0];
/// The least that the middle of a part is drawn, in mm, once it is broken.
const LEAST_MIDDLE: f64 = 14.0;
/// The leaders of readings across, in mm.
const LEADER: f64 = 7.0;
/// How long the arrow of the grain is, its heads, and the least height of a face that it is drawn on.
const ARROW: f64 = 10.0;
const HEAD: [f64; 2] = [1.8, 0.6];
const LEAST_FACE: f64 = 4.0;
/// Strokes of a drawn arc.
const ARC: u32 = 32;

/// A part as one stands before its face.
pub(super) struct Face {
    plate: Plate,
    shape: Convex,
    /// Whether views are arranged as in third angle.
    third: bool,
    pub(super) upright: bool,
    /// Corners on the face and on the one behind it, from the lower left corner.
    near: Vec<[f64; 2]>,
    far: Vec<[f64; 2]>,
}

impl Face {
    /// The larger of the two wide faces, on which the long points lie; `None` if nothing is left of the part.
    pub(super) fn of(part: &Part, third: bool) -> Option<Face> {
        let shape = part.shape()?;
        let thick = 3 - part.at.along.index() - part.at.across.index();
        let axis = part.at.frame.axes()[thick];
        // Where both are alike: the outer one of what stands, the upper one of what lies.
        let lies = axis[2].abs() > 0.5;
        let outwards = times(axis, if lies { 1.0 } else { -1.0 });
        let looking = |way: Vector| Face::towards(part, shape.clone(), way, third);
        let (one, other) = (looking(times(outwards, -1.0))?, looking(outwards)?);
        Some(if other.area() > one.area() * (1.0 + LARGER) { other } else { one })
    }

    /// The face that one sees who looks this way.
    fn towards(part: &Part, shape: Convex, way: Vector, third: bool) -> Option<Face> {
        let plate = Plate::of(part, way)?;
        let towards = plate.view.towards();
        let [low, high] = shape.reach(towards);
        let on = |level: f64| -> Vec<[f64; 2]> {
            let corners = shape.corners().iter().filter(|corner| (dot(towards, **corner) - level).abs() < ON);
            corners.map(|&corner| plate.flat(corner)).collect()
        };
        let (near, far) = (on(high), on(low));
        let upright = plate.upright;
        Some(Face { plate, shape, third, upright, near, far })
    }

    /// Twice the area of the face.
    fn area(&self) -> f64 {
        let towards = self.plate.view.towards();
        let looks = self.shape.faces().iter().filter(|face| dot(face.plane.normal, towards) > 1.0 - ON);
        let ring = |face| self.shape.ring(face).map(|corner| self.plate.flat(corner)).collect::<Vec<_>>();
        looks.map(|face| area(&ring(face))).sum()
    }

    /// A point of the build to the right, upwards and towards the viewer, from the lower left corner of the face.
    pub(super) fn seen(&self, point: Vector) -> Vector {
        let [x, y] = self.plate.flat(point);
        [x, y, dot(self.plate.view.towards(), point)]
    }

    /// A direction of the build likewise.
    pub(super) fn turned(&self, way: Vector) -> Vector {
        let view = &self.plate.view;
        [dot(view.right, way), dot(view.up, way), dot(view.towards(), way)]
    }

    /// Where the corners of an end lie along the grain, from the first to the last.
    fn span(&self, end: usize) -> [f64; 2] {
        let middle = self.plate.size[0] / 2.0;
        let own = self.near.iter().chain(&self.far).map(|corner| corner[0]).filter(|x| (*x > middle) == (end == 1));
        let span = own.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], x| [low.min(x), high.max(x)]);
        if span[0] <= span[1] { span } else { [[0.0; 2], [self.plate.size[0]; 2]][end] }
    }

    /// How far an end rises from its shoulders to its tip.
    pub(super) fn rise(&self, end: usize) -> f64 {
        let [from, to] = self.span(end);
        to - from
    }

    /// How wide an end is at its tip.
    pub(super) fn flat_top(&self, end: usize) -> f64 {
        let tip = self.span(end)[end];
        let ups = self.near.iter().filter(|corner| (corner[0] - tip).abs() < ON).map(|corner| corner[1]);
        extent(ups)
    }

    /// How wide the face is, and the one behind it.
    pub(super) fn widths(&self) -> [f64; 2] {
        [&self.near, &self.far].map(|corners| extent(corners.iter().map(|corner| corner[1])))
    }

    /// Which face is drawn, and how.
    pub(super) fn words(&self, id: &str) -> String {
        let looks = match self.plate.looks() {
            way @ ("up" | "down") => way.to_owned(),
            way => format!("to the {way}"),
        };
        let lies = if self.upright { "its lower end to the left" } else { "its upper edge above" };
        format!("Drawn: the face of {id} that looks {looks} in the build, {lies}")
    }
}

fn extent(values: impl Iterator<Item = f64>) -> f64 {
    let [low, high] = values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at), high.max(at)]);
    (high - low).max(0.0)
}

/// Places along the grain on paper, the middle broken where it has no room.
#[derive(Clone, Copy)]
struct Along {
    factor: f64,
    /// Where the middle begins and ends.
    middle: [f64; 2],
    /// How long the middle is drawn.
    drawn: f64,
}

impl Along {
    fn x(&self, at: f64) -> f64 {
        let [from, to] = self.middle;
        let whole = to - from;
        if at <= from || whole <= 0.0 {
            at * self.factor
        } else if at >= to {
            from * self.factor + self.drawn + (at - to) * self.factor
        } else {
            from * self.factor + (at - from) / whole * self.drawn
        }
    }

    /// The middle of the break, if there is one.
    fn broken(&self) -> Option<f64> {
        let [from, to] = self.middle;
        (self.drawn < (to - from) * self.factor - 1e-6).then(|| from * self.factor + self.drawn / 2.0)
    }
}

/// One view: strokes, corners above and below it, readings across, and angles beside it.
struct Look {
    label: &'static str,
    strokes: Vec<(LineKind, [[f64; 2]; 2])>,
    size: [f64; 2],
    above: Vec<f64>,
    below: Vec<f64>,
    across: Vec<f64>,
    angles: [String; 2],
    /// Crosses at the centres of circles.
    centres: Vec<[f64; 2]>,
}

/// The views of a part on paper.
pub(super) struct Sheet {
    looks: Vec<Look>,
    scale: Scale,
    along: Along,
    /// From the edge of the paper to the part, and the paper's width.
    left: f64,
    wide: f64,
    tape: Tape,
}

impl Sheet {
    pub(super) fn of(face: &Face, cuts: &Cuts, wide: f64, tape: Tape) -> Sheet {
        let mut looks = vec![face_view(face, cuts)];
        if cuts.show_edge() {
            looks.push(edge_view(face, cuts));
        }
        if cuts.show_end() {
            looks.push(end_view(face, cuts));
        }
        let text = |at: &f64| width(&tape.show(from_mm(*at)), SMALL);
        let readings = looks.iter().flat_map(|look| &look.across).map(text).fold(0.0, f64::max);
        let angles = [0, 1].map(|end| looks.iter().map(|look| width(&look.angles[end], SMALL)).fold(0.0, f64::max));
        let left = angles[0] + readings + LEADER + 3.0;
        let room = wide - left - angles[1] - 3.0;
        let (scale, along) = fitting(face, room, tape);
        Sheet { looks, scale, along, left, wide, tape }
    }

    /// The scale in words.
    pub(super) fn scale(&self) -> String {
        let cut = if self.along.broken().is_some() { ", broken" } else { "" };
        format!("{}{cut}", self.scale.name)
    }

    /// Draws the views one below the other; how far down they reach.
    pub(super) fn draw(&self, pen: &mut Pen, top: f64) -> f64 {
        let mut y = top;
        for (place, look) in self.looks.iter().enumerate() {
            y = self.view(pen, look, place, y) + if place + 1 < self.looks.len() { 2.5 } else { 0.0 };
        }
        y
    }

    /// The place along the drawn length; the end is drawn unbroken.
    fn x(&self, place: usize, at: f64) -> f64 {
        let lengthwise = self.looks[place].label != END;
        self.left + if lengthwise { self.along.x(at) } else { at * self.scale.factor }
    }

    fn view(&self, pen: &mut Pen, look: &Look, place: usize, top: f64) -> f64 {
        pen.text(look.label, [0.0, top + SMALL], SMALL, Hold::Start);
        let top = top + SMALL * LEADING;
        let labels = |places: &[f64]| self.labels(places, place);
        let (above, below) = (labels(&look.above), labels(&look.below));
        let layouts = [&above, &below].map(|all| readings::layout(all, [0.0, self.wide]).filter(|_| !all.is_empty()));
        let depths = layouts.each_ref().map(|layout| layout.as_ref().map_or(0.0, readings::Layout::depth));
        let tall = look.size[1] * self.scale.factor;
        let across = self.across(look);
        let lead = ((across.len() as f64 * UPRIGHT - tall) / 2.0).max(1.0);
        let edge = top + depths[0] + if depths[0] > 0.0 { 2.0 } else { lead };
        let foot = edge + tall;
        let at = |[x, y]: [f64; 2]| [self.x(place, x), foot - y * self.scale.factor];
        self.strokes(pen, look, &at);
        if place == 0 {
            self.grain(pen, (edge + foot) / 2.0, tall);
        }
        if let Some(broken) = self.along.broken().filter(|_| look.label != END) {
            zigzag(pen, self.left + broken, [edge, foot]);
        }
        let mut leaders = Path::default();
        let ends = [self.x(place, 0.0), self.x(place, look.size[0])];
        for ((layout, labels), (line, up)) in
            layouts.iter().zip([&above, &below]).zip([(edge - 1.0, true), (foot + 1.0, false)])
        {
            if let Some(layout) = layout {
                readings::write(pen, labels, layout, line, up, &mut leaders);
                leaders.stroke([ends[0], line], [ends[1], line]);
            }
        }
        self.write_across(pen, &across, [edge, foot, lead], &mut leaders);
        pen.draw(&leaders, Line::Narrow);
        for (line, _) in [(edge - 1.0, depths[0]), (foot + 1.0, depths[1])].into_iter().filter(|one| one.1 > 0.0) {
            pen.circle([self.left, line], ORIGIN);
        }
        pen.circle([self.left - 1.0, foot], ORIGIN);
        self.angles(pen, look, [ends[1], (edge + foot + SMALL) / 2.0]);
        (foot + if depths[1] > 0.0 { depths[1] + 1.5 } else { 1.0 }).max(foot + lead + 1.0)
    }

    /// Readings along a line, each once, in order.
    fn labels(&self, places: &[f64], view: usize) -> Vec<(f64, String)> {
        let mut sorted = places.to_vec();
        sorted.sort_by(f64::total_cmp);
        let show = |at: f64| (self.x(view, at), self.tape.show(from_mm(at)));
        let mut labels: Vec<(f64, String)> = sorted.into_iter().map(show).collect();
        labels.dedup_by(|a, b| a.1 == b.1);
        labels
    }

    /// Readings across, from below, each once.
    fn across(&self, look: &Look) -> Vec<(f64, String)> {
        let mut sorted = look.across.clone();
        sorted.sort_by(f64::total_cmp);
        let mut texts: Vec<(f64, String)> = sorted.into_iter().map(|at| (at, self.tape.show(from_mm(at)))).collect();
        texts.dedup_by(|a, b| a.1 == b.1);
        texts
    }

    fn write_across(&self, pen: &mut Pen, across: &[(f64, String)], [edge, foot, lead]: [f64; 3], leaders: &mut Path) {
        let start = self.left;
        let down: Vec<f64> = across.iter().rev().map(|(at, _)| foot - at * self.scale.factor).collect();
        let limits = [edge - lead, foot + lead];
        let Some(middles) = spread(&down, &vec![UPRIGHT; down.len()], limits) else { return };
        for ((_, text), (&y, &middle)) in across.iter().rev().zip(down.iter().zip(&middles)) {
            leaders.stroke([start - 1.0, y], [start - 2.5, y]).stroke([start - 2.5, y], [start - LEADER, middle]);
            pen.text(text, [start - LEADER - 0.6, middle + SMALL / 2.0], SMALL, Hold::End);
        }
        leaders.stroke([start - 1.0, edge], [start - 1.0, foot]);
    }

    fn strokes(&self, pen: &mut Pen, look: &Look, at: &impl Fn([f64; 2]) -> [f64; 2]) {
        let (mut seen, mut hidden, mut centres) = (Path::default(), Path::default(), Path::default());
        for (kind, [from, to]) in &look.strokes {
            let path = if *kind == LineKind::Visible { &mut seen } else { &mut hidden };
            path.stroke(at(*from), at(*to));
        }
        for &centre in &look.centres {
            let [x, y] = at(centre);
            centres.stroke([x - 2.0, y], [x + 2.0, y]).stroke([x, y - 2.0], [x, y + 2.0]);
        }
        pen.draw(&hidden, Line::Hidden);
        pen.draw(&seen, Line::Wide);
        pen.draw(&centres, Line::Narrow);
    }

    /// The arrow of the grain, where there is room for it.
    fn grain(&self, pen: &mut Pen, y: f64, tall: f64) {
        let [from, to] = self.along.middle.map(|at| self.left + self.along.x(at));
        let to = self.along.broken().map_or(to, |broken| self.left + broken - plate::BREAK);
        if to - from < ARROW + 2.0 || tall < LEAST_FACE {
            return;
        }
        let middle = (from + to) / 2.0;
        let ends = [middle - ARROW / 2.0, middle + ARROW / 2.0];
        let mut arrow = Path::default();
        arrow.stroke([ends[0], y], [ends[1], y]);
        for (end, way) in ends.into_iter().zip([1.0, -1.0]) {
            for side in [HEAD[1], -HEAD[1]] {
                arrow.stroke([end, y], [end + way * HEAD[0], y + side]);
            }
        }
        pen.draw(&arrow, Line::Narrow);
    }

    fn angles(&self, pen: &mut Pen, look: &Look, [right, y]: [f64; 2]) {
        let [first, last] = &look.angles;
        if !first.is_empty() {
            pen.text(first, [0.0, y], SMALL, Hold::Start);
        }
        if !last.is_empty() {
            pen.text(last, [right + 1.5, y], SMALL, Hold::Start);
        }
    }
}

const FACE: &str = "Face; the arrow is the grain";
const FROM_ABOVE: &str = "Edge, seen from above";
const FROM_BELOW: &str = "Edge, seen from below";
const END: &str = "End, seen from the left";

/// The largest scale at which the ends fit into the room, with what is left of the middle.
fn fitting(face: &Face, room: f64, tape: Tape) -> (Scale, Along) {
    let [long, high] = face.plate.size;
    let (from, to) = (face.span(0)[1], face.span(1)[0]);
    let middle = if from < to { [from, to] } else { [long, long] };
    let broken = |scale: &Scale| {
        let ends = (long - middle[1] + middle[0]) * scale.factor;
        let whole = (middle[1] - middle[0]) * scale.factor;
        let drawn = whole.min(room - ends);
        (drawn >= LEAST_MIDDLE.min(whole)).then_some(Along { factor: scale.factor, middle, drawn })
    };
    let fits = HEIGHTS.into_iter().find_map(|height| {
        let scale = Scale::fitting(Length::ZERO, from_mm(high), [room, height], tape);
        broken(&scale).map(|along| (scale, along))
    });
    fits.unwrap_or_else(|| {
        let scale = Scale::fitting(from_mm(long), from_mm(high), [room, HEIGHTS[0]], tape);
        let drawn = (middle[1] - middle[0]) * scale.factor;
        (scale.clone(), Along { factor: scale.factor, middle, drawn })
    })
}

/// Strokes of the part in a view, from a corner.
fn strokes(shape: &Convex, view: &View, start: [f64; 2]) -> Vec<(LineKind, [[f64; 2]; 2])> {
    let from = |[x, y]: [f64; 2]| [x - start[0], y - start[1]];
    let all = lines(std::slice::from_ref(shape), view);
    all.into_iter().map(|stroke| (stroke.kind, [from(stroke.from), from(stroke.to)])).collect()
}

fn face_view(face: &Face, cuts: &Cuts) -> Look {
    let size = face.plate.size;
    let origin = face.plate.flat([0.0; 3]);
    let mut look = Look {
        label: FACE,
        strokes: strokes(&face.shape, &face.plate.view, origin.map(|at| -at)),
        size,
        above: vec![0.0],
        below: vec![0.0],
        across: vec![0.0, size[1]],
        angles: [0, 1].map(|end| cuts.on_face(end)),
        centres: Vec::new(),
    };
    for &[x, y] in &face.near {
        let end = usize::from(x > size[0] / 2.0);
        let shoulder = y < ON || y > size[1] - ON;
        if cuts.rounds[end].is_some() && !shoulder {
            continue;
        }
        if y < size[1] / 2.0 - ON {
            look.below.push(x)
        } else {
            look.above.push(x)
        }
        look.across.push(y);
    }
    for end in 0..2 {
        round(face, cuts, end, &mut look);
    }
    look
}

/// Draws the arc of a rounded end in place of the planes that touch it.
fn round(face: &Face, cuts: &Cuts, end: usize, look: &mut Look) {
    let Some(round) = cuts.rounds[end] else { return };
    let size = face.plate.size;
    let [from, to] = face.span(end);
    let within = |at: [f64; 2]| at[0] > from - ON && at[0] < to + ON;
    look.strokes.retain(|(_, [a, b])| !(within(*a) && within(*b)));
    let sign = if end == 0 { -1.0 } else { 1.0 };
    let [low, high] = [0.0, size[1]].map(|y| libm::asin(((y - round.centre[1]) / round.radius).clamp(-1.0, 1.0)));
    let point = |step: u32| {
        let angle = low + (high - low) * f64::from(step) / f64::from(ARC);
        let (sin, cos) = libm::sincos(angle);
        [round.centre[0] + sign * round.radius * cos, round.centre[1] + round.radius * sin]
    };
    look.strokes.extend((0..ARC).map(|step| (LineKind::Visible, [point(step), point(step + 1)])));
    look.across.push(round.centre[1]);
    look.above.push(face.span(end)[end]);
    if round.centre[0] > 0.0 && round.centre[0] < size[0] {
        look.centres.push(round.centre);
        look.above.push(round.centre[0]);
    }
}

fn edge_view(face: &Face, cuts: &Cuts) -> Look {
    let view = &face.plate.view;
    let towards = view.towards();
    let up = if face.third { towards } else { times(towards, -1.0) };
    let edge = View { right: view.right, up };
    let start = [-face.plate.flat([0.0; 3])[0], face.shape.reach(up)[0]];
    let thick = extent(face.shape.reach(up).into_iter());
    let size = face.plate.size;
    let on_edge = |corner: &&[f64; 2]| if face.third { corner[1] < ON } else { corner[1] > size[1] - ON };
    let corners: Vec<f64> = face.far.iter().filter(on_edge).map(|corner| corner[0]).chain([0.0]).collect();
    let (above, below) = if face.third { (Vec::new(), corners) } else { (corners, Vec::new()) };
    Look {
        label: if face.third { FROM_BELOW } else { FROM_ABOVE },
        strokes: strokes(&face.shape, &edge, start),
        size: [size[0], thick],
        above,
        below,
        across: vec![0.0, thick],
        angles: [0, 1].map(|end| cuts.on_edge(end)),
        centres: Vec::new(),
    }
}

fn end_view(face: &Face, cuts: &Cuts) -> Look {
    let view = &face.plate.view;
    let up = times(view.towards(), -1.0);
    let end = View { right: view.up, up };
    let start = [-face.plate.flat([0.0; 3])[1], face.shape.reach(up)[0]];
    let thick = extent(face.shape.reach(up).into_iter());
    let places = |corners: &[[f64; 2]]| corners.iter().map(|corner| corner[1]).chain([0.0]).collect::<Vec<f64>>();
    Look {
        label: END,
        strokes: strokes(&face.shape, &end, start),
        size: [face.plate.size[1], thick],
        above: places(&face.far),
        below: places(&face.near),
        across: vec![0.0, thick],
        angles: cuts.on_end(),
        centres: Vec::new(),
    }
}
