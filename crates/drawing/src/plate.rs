//! One face of a part with its holes: where they lie from one end and from one edge.

use crate::lettering::{SMALL, width};
use crate::lines::{View, outline};
use crate::paper::Scale;
use crate::pen::{Hold, Line, Path, Pen};
use crate::readings::{self, UPRIGHT, spread};
use crate::scene::clip;
use measure::{Length, Tape};
use model::joint::Joint;
use model::part::{Part, UNIT, from_mm};
use shape::vector::{Vector, cross, dot, minus, plus, times};

/// An axis whose upward part is more than this stands upright.
const UPRIGHT_AXIS: f64 = 0.9;

/// A hole in a face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Hole {
    /// Its middle from the left end and the lower edge as the face is drawn, in mm.
    pub at: [f64; 2],
    /// How wide it is.
    pub wide: Length,
    /// How long it is from the lower to the upper end: as long as wide if it is round.
    pub tall: Length,
}

/// A face of a part, as one stands before it.
#[derive(Clone, Debug)]
pub(crate) struct Plate {
    pub view: View,
    /// The corner at the left end and the lower edge.
    origin: Vector,
    /// From end to end and from edge to edge, before ends are trimmed.
    pub size: [f64; 2],
    /// Its outline, counter-clockwise from the lower left corner's frame.
    pub outline: Vec<[f64; 2]>,
    pub holes: Vec<Hole>,
    /// Whether the part stands upright: then its lower end lies to the left.
    pub upright: bool,
}

/// The way of a joint's screws.
pub(crate) fn direction(joint: &Joint) -> Vector {
    joint.direction.map(|part| part as f64 / UNIT as f64)
}

impl Plate {
    /// The face of a part that screws of this way go into; `None` if nothing is left of the part.
    pub(crate) fn of(part: &Part, screws: Vector) -> Option<Plate> {
        let shape = part.shape()?;
        let frame = part.at.frame.axes();
        let (along, across) = (part.at.along.index(), part.at.across.index());
        // Length, width, thickness.
        let order = [along, across, 3 - along - across];
        let normal = (0..3)
            .max_by(|&a, &b| dot(frame[order[a]], screws).abs().total_cmp(&dot(frame[order[b]], screws).abs()))?;
        let long = frame[order[if normal == 0 { 1 } else { 0 }]];
        let towards = times(frame[order[normal]], if dot(frame[order[normal]], screws) > 0.0 { -1.0 } else { 1.0 });
        let upright = long[2].abs() > UPRIGHT_AXIS;
        let right = times(long, if forwards(long, towards, upright) { 1.0 } else { -1.0 });
        let view = View { right, up: cross(towards, right) };
        let corner = part.at.corner.map(Length::as_mm);
        let extent = part.extent().map(Length::as_mm);
        let corners = (0..8).map(|number: usize| {
            (0..3)
                .filter(|axis| number >> axis & 1 == 1)
                .fold(corner, |at, axis| plus(at, times(frame[axis], extent[axis])))
        });
        let corners: Vec<Vector> = corners.collect();
        let low = |axis: Vector| corners.iter().map(|&at| dot(axis, at)).fold(f64::INFINITY, f64::min);
        let high = |axis: Vector| corners.iter().map(|&at| dot(axis, at)).fold(f64::NEG_INFINITY, f64::max);
        let start = [low(view.right), low(view.up)];
        let origin = plus(times(view.right, start[0]), times(view.up, start[1]));
        let size = [high(view.right) - start[0], high(view.up) - start[1]];
        let outline = outline(&shape, &view).into_iter().map(|[x, y]| [x - start[0], y - start[1]]).collect();
        Some(Plate { view, origin, size, outline, holes: Vec::new(), upright })
    }

    /// A point of the build as it is seen, from the left end and the lower edge.
    pub(crate) fn flat(&self, point: Vector) -> [f64; 2] {
        self.view.flat(minus(point, self.origin))
    }

    /// Adds the clearance holes of a joint.
    pub(crate) fn bore(&mut self, joint: &Joint) {
        // Slots run across the grain, and the grain is drawn from the left to the right.
        let tall = |head: usize| joint.slots.iter().find(|slot| slot.head == head).map(|slot| slot.length);
        let heads = joint.heads.iter().map(|head| self.flat(head.map(Length::as_mm))).enumerate();
        let wide = joint.clearance;
        let holes: Vec<Hole> = heads.map(|(head, at)| Hole { at, wide, tall: tall(head).unwrap_or(wide) }).collect();
        self.holes.extend(holes);
    }

    /// Where the heads lie, in words: `Heads: 24 along, 18 and 76 across, from the left end and the lower edge.`
    pub(crate) fn heads(&self, tape: Tape) -> String {
        let read = |mm: f64| tape.show(from_mm(mm));
        let mut holes: Vec<[f64; 2]> = self.holes.iter().map(|hole| hole.at).collect();
        holes.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
        let mut rows: Vec<(String, Vec<[f64; 2]>)> = Vec::new();
        for at in holes {
            let along = read(at[0]);
            match rows.iter_mut().find(|(same, _)| *same == along) {
                Some((_, row)) => row.push(at),
                None => rows.push((along, vec![at])),
            }
        }
        let rows: Vec<String> = rows
            .into_iter()
            .map(|(along, mut row)| {
                // Of heads that read the same along, the lower comes first, by however little it lies farther on.
                row.sort_by(|a, b| a[1].total_cmp(&b[1]));
                let across: Vec<String> = row.into_iter().map(|at| read(at[1])).collect();
                format!("{along} along, {} across", across.join(" and "))
            })
            .collect();
        let zero =
            if self.upright { "the lower end and the right-hand edge" } else { "the left end and the lower edge" };
        format!("Heads: {}, from {zero}.", rows.join("; "))
    }

    /// By what the faces of one part are told apart: the way each looks, in thousandths.
    pub(crate) fn side(&self) -> [i64; 3] {
        self.view.towards().map(|part| (part * 1e3).round() as i64)
    }

    /// Which way the face looks in the build.
    pub(crate) fn looks(&self) -> &'static str {
        let towards = self.view.towards();
        let ways = ["left", "right", "front", "back", "down", "up"];
        let along = |way: usize| towards[way / 2] * if way.is_multiple_of(2) { -1.0 } else { 1.0 };
        (0..6).max_by(|&a, &b| along(a).total_cmp(&along(b))).map_or("", |way| ways[way])
    }
}

/// Whether the drawn length runs the way of `long`: upwards for what stands, else so that the upper edge lies above as one
/// stands before it; flat faces from left to right or from the front to the back.
fn forwards(long: Vector, towards: Vector, upright: bool) -> bool {
    let up = cross(towards, long)[2];
    if upright {
        long[2] > 0.0
    } else if up.abs() > 1e-6 {
        up > 0.0
    } else {
        long[0] > 1e-6 || (long[0].abs() <= 1e-6 && long[1] > 0.0)
    }
}

/// The heights of a face on paper that are tried, in mm: the largest at which it fits.
const HEIGHTS: [f64; 4] = [36.0, 24.0, 15.0, 9.0];
/// The least that a long stretch without holes is drawn, in mm, once it is broken.
const LEAST_STRETCH: f64 = 12.0;
/// What a break takes out of a face, in mm.
pub(crate) const BREAK: f64 = 2.4;

/// A length along a face on paper, long stretches broken.
#[derive(Clone, Debug)]
pub(crate) struct Broken {
    pub scale: Scale,
    /// Points along the face with their places on paper, in order.
    stops: Vec<[f64; 2]>,
    /// The middles of breaks on paper.
    breaks: Vec<f64>,
}

impl Broken {
    /// The face within a width of paper, so large that its holes can be told apart.
    pub(crate) fn of(plate: &Plate, room: f64, tape: Tape) -> Broken {
        let mut stops: Vec<f64> = plate.holes.iter().map(|hole| hole.at[0]).collect();
        stops.extend(plate.outline.iter().map(|corner| corner[0]));
        stops.extend([0.0, plate.size[0]]);
        stops.sort_by(f64::total_cmp);
        stops.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        let [long, high] = plate.size.map(from_mm);
        let fits = HEIGHTS.into_iter().find_map(|height| {
            let scale = Scale::fitting(Length::ZERO, high, [room, height], tape);
            Broken::at(&stops, scale, room)
        });
        fits.unwrap_or_else(|| {
            let scale = Scale::fitting(long, high, [room, HEIGHTS[0]], tape);
            Broken { stops: stops.iter().map(|&at| [at, at * scale.factor]).collect(), scale, breaks: Vec::new() }
        })
    }

    /// At a scale, the longest stretches broken to one length so that all fits; `None` if it does not.
    fn at(stops: &[f64], scale: Scale, room: f64) -> Option<Broken> {
        let gaps: Vec<f64> = stops.windows(2).map(|pair| (pair[1] - pair[0]) * scale.factor).collect();
        let total = |cap: f64| gaps.iter().map(|gap| gap.min(cap)).sum::<f64>();
        let longest = gaps.iter().copied().fold(0.0, f64::max);
        let mut cap = longest;
        if total(longest) > room {
            if total(LEAST_STRETCH) > room {
                return None;
            }
            // Halving the range thirty times is finer than any pen.
            let (mut low, mut high) = (LEAST_STRETCH, longest);
            for _ in 0..30 {
                let middle = (low + high) / 2.0;
                if total(middle) > room { high = middle } else { low = middle }
            }
            cap = low;
        }
        let mut broken = Broken { scale, stops: vec![[stops[0], 0.0]], breaks: Vec::new() };
        let mut at = 0.0;
        for (gap, stop) in gaps.into_iter().zip(&stops[1..]) {
            if gap > cap {
                broken.breaks.push(at + cap / 2.0);
            }
            at += gap.min(cap);
            broken.stops.push([*stop, at]);
        }
        Some(broken)
    }

    /// Where a point along the face lies on paper.
    pub(crate) fn x(&self, at: f64) -> f64 {
        let place = self.stops.partition_point(|stop| stop[0] < at).clamp(1, self.stops.len() - 1);
        let [from, to] = [self.stops[place - 1], self.stops[place]];
        from[1] + (at - from[0]) * (to[1] - from[1]) / (to[0] - from[0]).max(f64::MIN_POSITIVE)
    }

    /// How long the face is on paper.
    pub(crate) fn long(&self) -> f64 {
        self.stops.last().map_or(0.0, |stop| stop[1])
    }
}

/// The width that readings from the lower edge take to the left of a face.
pub(crate) fn margin(plate: &Plate, tape: Tape) -> f64 {
    let widest = across(plate, tape).iter().map(|(_, text)| width(text, SMALL)).fold(0.0, f64::max);
    widest + LEADER + 2.0
}

/// The leaders of readings from the lower edge.
const LEADER: f64 = 7.0;

/// The scale at which a face is drawn within a width of paper, in words.
pub(crate) fn scale(plate: &Plate, room: f64, tape: Tape) -> String {
    let broken = Broken::of(plate, room - margin(plate, tape) - 2.0, tape);
    let cut = if broken.breaks.is_empty() { "" } else { ", broken" };
    format!("{}{cut}", broken.scale.name)
}

/// Readings along one way, each once: the end of the face too.
fn readings_of(plate: &Plate, way: usize, tape: Tape) -> Vec<(f64, String)> {
    let mut all: Vec<f64> = plate.holes.iter().map(|hole| hole.at[way]).chain([0.0, plate.size[way]]).collect();
    all.sort_by(f64::total_cmp);
    let mut texts: Vec<(f64, String)> = all.into_iter().map(|at| (at, tape.show(from_mm(at)))).collect();
    texts.dedup_by(|a, b| a.1 == b.1);
    texts
}

fn across(plate: &Plate, tape: Tape) -> Vec<(f64, String)> {
    readings_of(plate, 1, tape)
}

/// Draws a face with its holes below `top`, running dimensions above it and to its left; `behind` are outlines that lie
/// behind it, dashed. How far down it reaches.
pub(crate) fn draw(
    pen: &mut Pen,
    plate: &Plate,
    behind: &[Vec<[f64; 2]>],
    [left, top, room]: [f64; 3],
    tape: Tape,
) -> f64 {
    let margin = margin(plate, tape);
    let broken = Broken::of(plate, room - margin - 2.0, tape);
    let start = left + margin;
    let ups = across(plate, tape);
    let labels: Vec<(f64, String)> =
        readings_of(plate, 0, tape).into_iter().map(|(at, text)| (start + broken.x(at), text)).collect();
    let layout = readings::layout(&labels, [left, left + room]);
    let tall = plate.size[1] * broken.scale.factor;
    let lead = ((ups.len() as f64 * UPRIGHT - tall) / 2.0).max(1.0);
    let edge = top + layout.as_ref().map_or(0.0, readings::Layout::depth) + lead.max(3.0);
    let at = |[x, y]: [f64; 2]| [start + broken.x(x), edge + tall - y * broken.scale.factor];
    face(pen, plate, behind, &broken, &at);
    let mut leaders = Path::default();
    if let Some(layout) = &layout {
        // Witness lines lead from the readings down to the face.
        readings::write(pen, &labels, layout, edge - 1.0, true, &mut leaders);
    }
    let wanted: Vec<f64> = ups.iter().map(|(up, _)| at([0.0, *up])[1]).collect();
    let limits = [edge - lead, edge + tall + lead];
    let down: Vec<f64> = wanted.iter().rev().copied().collect();
    if let Some(middles) = spread(&down, &vec![UPRIGHT; down.len()], limits) {
        for ((_, text), (&y, &middle)) in ups.iter().rev().zip(down.iter().zip(&middles)) {
            leaders.stroke([start - 1.0, y], [start - 2.5, y]).stroke([start - 2.5, y], [start - LEADER, middle]);
            pen.text(text, [start - LEADER - 0.6, middle + SMALL / 2.0], SMALL, Hold::End);
        }
    }
    leaders.stroke([start, edge - 1.0], [start + broken.long(), edge - 1.0]);
    leaders.stroke([start - 1.0, edge], [start - 1.0, edge + tall]);
    pen.draw(&leaders, Line::Narrow);
    pen.circle([start, edge - 1.0], ORIGIN);
    pen.circle([start - 1.0, edge + tall], ORIGIN);
    limits[1].max(edge + tall) + 1.0
}

/// The circle at the origin of running dimensions (ISO 129-1, *from memory*), in mm.
pub(crate) const ORIGIN: f64 = 0.8;
/// The least radius at which a hole is drawn, and how far centre lines and crosses reach beyond it.
const LEAST_HOLE: f64 = 0.4;
const CROSS: f64 = 1.2;
/// The least by which a slot is drawn longer than its hole at either end, so that it is seen at small scales.
const LEAST_SLOT: f64 = 0.5;

/// The outline, what lies behind, breaks, and holes with crosses and centre lines.
fn face(pen: &mut Pen, plate: &Plate, behind: &[Vec<[f64; 2]>], broken: &Broken, at: &impl Fn([f64; 2]) -> [f64; 2]) {
    let (mut outline, mut hidden, mut centres, mut crosses, mut holes) =
        (Path::default(), Path::default(), Path::default(), Path::default(), Path::default());
    outline.polygon(&plate.outline.iter().map(|&corner| at(corner)).collect::<Vec<_>>());
    for ring in behind {
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            if let Some([from, to]) = clip(&plate.outline, *a, *b) {
                hidden.stroke(at(from), at(to));
            }
        }
    }
    for way in 0..2 {
        let mut lines: Vec<f64> = plate.holes.iter().map(|hole| hole.at[way]).collect();
        lines.sort_by(f64::total_cmp);
        lines.dedup_by(|a, b| (*a - *b).abs() < 0.01);
        for line in lines {
            let ends =
                if way == 0 { [[line, 0.0], [line, plate.size[1]]] } else { [[0.0, line], [plate.size[0], line]] };
            let [from, to] = ends.map(at);
            centres.stroke(from, to);
        }
    }
    for hole in &plate.holes {
        let [x, y] = at(hole.at);
        let radius = (hole.wide.as_mm() / 2.0 * broken.scale.factor).max(LEAST_HOLE);
        let mut more = 0.0;
        if hole.tall > hole.wide {
            more = ((hole.tall - hole.wide).as_mm() / 2.0 * broken.scale.factor).max(LEAST_SLOT);
            holes.slot([x, y], radius, more);
        } else {
            holes.stadium([x, y], radius, 0.0);
        }
        let (reach, up) = (radius + CROSS, radius + more + CROSS);
        crosses.stroke([x - reach, y], [x + reach, y]).stroke([x, y - up], [x, y + up]);
    }
    pen.draw(&outline, Line::Outline);
    pen.draw(&hidden, Line::Hidden);
    pen.draw(&centres, Line::Centre);
    let [top, foot] = [at([0.0, plate.size[1]])[1], at([0.0, 0.0])[1]];
    for middle in &broken.breaks {
        zigzag(pen, at([0.0, 0.0])[0] + middle, [top, foot]);
    }
    pen.draw(&holes, Line::FineOutline);
    pen.draw(&crosses, Line::Narrow);
}

/// A break: two narrow zigzag lines with nothing between them (ISO 128-2, *from memory*).
pub(crate) fn zigzag(pen: &mut Pen, x: f64, [top, foot]: [f64; 2]) {
    let (mut gap, mut lines) = (Path::default(), Path::default());
    gap.rectangle([x - BREAK / 2.0, top - 0.6], [BREAK, foot - top + 1.2]);
    pen.draw(&gap, Line::Cover);
    let middle = (top + foot) / 2.0;
    for side in [x - BREAK / 2.0, x + BREAK / 2.0] {
        let corners = [
            [side, top - 1.0],
            [side, middle - 1.2],
            [side - 0.9, middle - 0.4],
            [side + 0.9, middle + 0.4],
            [side, middle + 1.2],
            [side, foot + 1.0],
        ];
        for pair in corners.windows(2) {
            lines.stroke(pair[0], pair[1]);
        }
    }
    pen.draw(&lines, Line::Narrow);
}
