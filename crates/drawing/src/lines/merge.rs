//! Strokes that lie on one another are drawn once: the one that is seen before the hidden one, the nearer before the farther.

use super::{LineKind, SHORTEST, Stretch, Stroke, TOUCHING};
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// How far apart the slopes of strokes on one line may be, and how far the distances of their lines from the middle of the
/// drawing, in millimetres, for them to be compared at all. A short stroke far out may lie beyond these for its rounding,
/// and is then drawn beside the other.
const SLOPE: f64 = 1e-5;
const DISTANCE: f64 = 2e-2;
/// Lines are looked up by slope and distance in boxes of this size.
const BOX: [f64; 2] = [1e-2, 1.0];

/// A line on the paper with all that lies on it.
struct Line {
    through: [f64; 2],
    /// Of unit length.
    along: [f64; 2],
    spans: Vec<Span>,
}

/// A stretch on a line: from where to where, and how near its ends are.
#[derive(Clone, Copy)]
struct Span {
    solid: usize,
    kind: LineKind,
    at: [f64; 2],
    near: [f64; 2],
}

/// Every stretch of every line once.
pub(super) fn merged(mut raw: Vec<Stretch>) -> Vec<Stroke> {
    raw.retain(|stretch| long(stretch) >= SHORTEST);
    // The longest tells best how its line runs.
    raw.sort_by(|a, b| long(b).total_cmp(&long(a)));
    let mut strokes: Vec<Stroke> = gathered(&raw).into_iter().flat_map(resolved).collect();
    let ends = |stroke: &Stroke| [stroke.from, stroke.to].concat();
    strokes.sort_by(|a, b| {
        let places = ends(a).into_iter().zip(ends(b)).map(|(a, b)| a.total_cmp(&b));
        (a.solid, a.kind).cmp(&(b.solid, b.kind)).then(places.fold(Ordering::Equal, Ordering::then))
    });
    strokes
}

/// How long a stretch is on the paper.
fn long(stretch: &Stretch) -> f64 {
    let [from, to] = stretch.ends;
    let [x, y] = [to[0] - from[0], to[1] - from[1]];
    (x * x + y * y).sqrt()
}

fn gathered(raw: &[Stretch]) -> Vec<Line> {
    let count = raw.len().max(1) as f64 * 2.0;
    let ends = || raw.iter().flat_map(|stretch| stretch.ends);
    let middle = [0, 1].map(|way| ends().map(|end| end[way]).sum::<f64>() / count);
    let mut lines: Vec<Line> = Vec::new();
    let mut boxes: BTreeMap<[i64; 2], Vec<usize>> = BTreeMap::new();
    for stretch in raw {
        let fresh = Line::of(stretch);
        let place = fresh.place(middle);
        let near = nearby(place).filter_map(|key| boxes.get(&key)).flatten();
        let known = near.copied().find(|&line| lines[line].carries(stretch));
        let line = known.unwrap_or_else(|| {
            boxes.entry(key(place)).or_default().push(lines.len());
            lines.push(fresh);
            lines.len() - 1
        });
        let span = lines[line].span(stretch);
        lines[line].spans.push(span);
    }
    lines
}

fn key(place: [f64; 2]) -> [i64; 2] {
    [0, 1].map(|way| (place[way] / BOX[way]).floor() as i64)
}

/// The boxes that a line at this place may share with others of its kind: mostly its own alone.
fn nearby([slope, distance]: [f64; 2]) -> impl Iterator<Item = [i64; 2]> {
    let low = key([slope - SLOPE, distance - DISTANCE]);
    let high = key([slope + SLOPE, distance + DISTANCE]);
    (low[0]..=high[0]).flat_map(move |slope| (low[1]..=high[1]).map(move |distance| [slope, distance]))
}

impl Line {
    fn of(stretch: &Stretch) -> Line {
        let [from, to] = stretch.ends;
        let long = long(stretch);
        let along = [(to[0] - from[0]) / long, (to[1] - from[1]) / long];
        // One direction for both ways of running; what is level but for rounding runs to the right.
        let back = if along[1].abs() < SLOPE { along[0] < 0.0 } else { along[1] < 0.0 };
        let along = if back { along.map(|part| -part) } else { along };
        Line { through: [from[0], from[1]], along, spans: Vec::new() }
    }

    /// Its slope as a number that grows with the angle, from 0 to 2, and its distance from a point.
    fn place(&self, from: [f64; 2]) -> [f64; 2] {
        let [x, y] = self.along;
        [1.0 - x / (x.abs() + y.abs()), self.off(from)]
    }

    /// How far a point lies off the line, to its left.
    fn off(&self, [x, y]: [f64; 2]) -> f64 {
        self.along[0] * (y - self.through[1]) - self.along[1] * (x - self.through[0])
    }

    fn carries(&self, stretch: &Stretch) -> bool {
        stretch.ends.iter().all(|end| self.off([end[0], end[1]]).abs() < TOUCHING)
    }

    fn span(&self, stretch: &Stretch) -> Span {
        let at = stretch
            .ends
            .map(|end| self.along[0] * (end[0] - self.through[0]) + self.along[1] * (end[1] - self.through[1]));
        let near = stretch.ends.map(|end| end[2]);
        let (at, near) = if at[0] <= at[1] { (at, near) } else { ([at[1], at[0]], [near[1], near[0]]) };
        Span { solid: stretch.solid, kind: stretch.kind, at, near }
    }

    fn point(&self, at: f64) -> [f64; 2] {
        [0, 1].map(|way| self.through[way] + at * self.along[way])
    }
}

impl Span {
    /// How near it is at a place on its line.
    fn near(&self, at: f64) -> f64 {
        self.near[0] + (self.near[1] - self.near[0]) * (at - self.at[0]) / (self.at[1] - self.at[0])
    }

    /// Whether it is drawn rather than another where both lie.
    fn before(&self, other: &Span, at: f64) -> bool {
        let nearer = self.near(at) - other.near(at);
        let even = if nearer.abs() < TOUCHING { Ordering::Equal } else { 0.0_f64.total_cmp(&nearer) };
        self.kind.cmp(&other.kind).then(even).then(self.solid.cmp(&other.solid)) == Ordering::Less
    }
}

/// What is drawn on a line: from each end of a stretch to the next, the foremost that lies there.
fn resolved(mut line: Line) -> Vec<Stroke> {
    let mut spans = std::mem::take(&mut line.spans);
    spans.sort_by(|a, b| a.at[0].total_cmp(&b.at[0]));
    let mut ends: Vec<f64> = spans.iter().flat_map(|span| span.at).collect();
    ends.sort_by(f64::total_cmp);
    let mut coming = spans.into_iter().peekable();
    let mut here: Vec<Span> = Vec::new();
    let mut drawn: Vec<Span> = Vec::new();
    for pair in ends.windows(2).filter(|pair| pair[0] < pair[1]) {
        here.retain(|span| span.at[1] > pair[0]);
        while let Some(span) = coming.next_if(|span| span.at[0] <= pair[0]) {
            here.push(span);
        }
        let middle = (pair[0] + pair[1]) / 2.0;
        let foremost = here.iter().copied().reduce(|best, span| if span.before(&best, middle) { span } else { best });
        if let Some(span) = foremost {
            extend(&mut drawn, Span { at: [pair[0], pair[1]], ..span });
        }
    }
    drawn.retain(|span| span.at[1] - span.at[0] >= SHORTEST);
    let stroke = |span: Span| {
        let [from, to] = span.at.map(|at| line.point(at));
        Stroke { solid: span.solid, kind: span.kind, from, to }
    };
    drawn.into_iter().map(stroke).collect()
}

/// Adds a stretch to those drawn; it lengthens the last one if it is of the same solid and kind, or too short to be drawn.
fn extend(drawn: &mut Vec<Span>, span: Span) {
    let short = span.at[1] - span.at[0] < SHORTEST;
    match drawn.last_mut() {
        Some(last)
            if span.at[0] - last.at[1] < SHORTEST && (short || (last.solid, last.kind) == (span.solid, span.kind)) =>
        {
            last.at[1] = span.at[1];
        }
        _ => drawn.push(span),
    }
}
