//! Which lines of a stack of boards are seen, from any side.
//!
//! In: convex solids in millimetres and the way one looks at them, along parallel lines. Out: the edges as strokes on paper
//! at full size, each with the solid it belongs to, and whether it is seen or lies behind something.
//!
//! The points from which the way to the viewer leads through a convex solid are a convex body, its *shadow*: so of any edge
//! a solid hides one stretch, found by cutting the edge at the shadow's planes. What no shadow takes is seen. Solids may
//! touch; where they run into one another, each is drawn as if the other were not in it, and no line is found where their
//! surfaces cross.

mod cast;
mod grid;
mod merge;

use cast::Cast;
use grid::Grid;
use shape::Convex;
use shape::vector::{Vector, between, cross, dot, length, minus, times, unit};

/// Solids nearer to one another than this, in millimetres, touch: neither lies before the other by so little, and lines so
/// close are one line. It is far below any line that is drawn, and far above what placing a leaning board to the nanometre
/// and turning it costs.
const TOUCHING: f64 = 1e-3;
/// Stretches shorter than this, in millimetres, are joined to what is beside them: no pen draws them.
const SHORTEST: f64 = 1e-2;

/// From where one looks: along parallel lines (an orthographic projection).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The direction that is drawn to the right; of unit length.
    pub right: Vector,
    /// The direction that is drawn upwards; of unit length and square to the other.
    pub up: Vector,
}

impl View {
    /// From the front: x to the right, z upwards.
    pub const FRONT: View = View { right: [1.0, 0.0, 0.0], up: [0.0, 0.0, 1.0] };
    /// From above: x to the right, y upwards.
    pub const ABOVE: View = View { right: [1.0, 0.0, 0.0], up: [0.0, 1.0, 0.0] };
    /// From the right: the front to the left, z upwards.
    pub const RIGHT: View = View { right: [0.0, 1.0, 0.0], up: [0.0, 0.0, 1.0] };

    /// The view from a viewer who stands in this direction, z upwards; `None` for straight up, straight down or nowhere.
    ///
    /// `[1.0, -1.0, 1.0]` is the isometric view of ISO 5456-3 from the front right (*from memory*): all three axes equally
    /// foreshortened.
    pub fn from(direction: Vector) -> Option<View> {
        let towards = unit(direction)?;
        let right = unit(cross([0.0, 0.0, 1.0], towards))?;
        Some(View { right, up: cross(towards, right) })
    }

    /// The direction to the viewer.
    pub fn towards(&self) -> Vector {
        cross(self.right, self.up)
    }

    /// Where a point is drawn: to the right and upwards, in millimetres at full size.
    pub fn flat(&self, point: Vector) -> [f64; 2] {
        [dot(self.right, point), dot(self.up, point)]
    }

    /// To the right, upwards, and towards the viewer.
    fn seen(&self, point: Vector) -> Vector {
        [dot(self.right, point), dot(self.up, point), dot(self.towards(), point)]
    }
}

/// Whether a stroke is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Nothing lies before it.
    Visible,
    /// It lies behind its own solid or another.
    Hidden,
}

/// One straight stroke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// The solid whose edge it is, by its place among those given; the nearest, if several have an edge there.
    pub solid: usize,
    /// Whether it is seen.
    pub kind: LineKind,
    /// Where it begins: to the right and upwards, in millimetres at full size.
    pub from: [f64; 2],
    /// Where it ends.
    pub to: [f64; 2],
}

/// The edges of solids that can be seen, in the order of the solids. Where edges lie on one another, each stretch is drawn
/// once.
pub fn visible_lines(solids: &[Convex], view: &View) -> Vec<Stroke> {
    merge::merged(strokes(solids, view, false))
}

/// The edges of solids, those seen and those hidden. A hidden edge that lies behind one that is seen, line on line, is left
/// out.
pub fn lines(solids: &[Convex], view: &View) -> Vec<Stroke> {
    merge::merged(strokes(solids, view, true))
}

/// The outline of a solid as it is seen, counter-clockwise, in millimetres at full size.
pub fn outline(solid: &Convex, view: &View) -> Vec<[f64; 2]> {
    Cast::new(solid, view).outline()
}

/// A stretch of an edge: to the right, upwards, and towards the viewer.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    solid: usize,
    kind: LineKind,
    ends: [Vector; 2],
}

/// All edges, cut where they pass behind something; what is hidden only if it is asked for.
fn strokes(solids: &[Convex], view: &View, with_hidden: bool) -> Vec<Stretch> {
    let casts: Vec<Cast> = solids.iter().map(|solid| Cast::new(solid, view)).collect();
    let mut grid = Grid::over(&casts);
    let mut found = Vec::new();
    for (solid, cast) in casts.iter().enumerate() {
        let before = grid.before(&casts, solid);
        for edge in cast.edges.iter().filter(|edge| edge.front || with_hidden) {
            let ends = edge.ends.map(|corner| cast.corners[corner]);
            if edge.front {
                let hidden = joined(before.iter().filter_map(|&other| casts[other].hides(ends)).collect(), ends);
                let drawn = parts(&hidden).filter(|(kind, _)| with_hidden || *kind == LineKind::Visible);
                found.extend(drawn.map(|(kind, part)| stretch(solid, kind, ends, part)));
            } else {
                found.push(Stretch { solid, kind: LineKind::Hidden, ends });
            }
        }
    }
    found
}

fn stretch(solid: usize, kind: LineKind, [from, to]: [Vector; 2], part: [f64; 2]) -> Stretch {
    Stretch { solid, kind, ends: part.map(|share| between(from, to, share)) }
}

/// Hidden stretches of an edge in order, as shares of its length, joined where less than [`SHORTEST`] of the edge shows
/// between them; those shorter than that are left out.
fn joined(mut hidden: Vec<[f64; 2]>, [from, to]: [Vector; 2]) -> Vec<[f64; 2]> {
    let shortest = SHORTEST / length(minus(to, from)).max(SHORTEST);
    hidden.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut joined: Vec<[f64; 2]> = Vec::new();
    for [from, to] in hidden {
        // So close to an end of the edge, it reaches the end.
        let from = if from < shortest { 0.0 } else { from };
        let to = if to > 1.0 - shortest { 1.0 } else { to };
        match joined.last_mut() {
            Some(last) if from - last[1] < shortest => last[1] = last[1].max(to),
            _ => joined.push([from, to]),
        }
    }
    joined.retain(|[from, to]| to - from >= shortest);
    joined
}

/// The hidden stretches and those between them.
fn parts(hidden: &[[f64; 2]]) -> impl Iterator<Item = (LineKind, [f64; 2])> + '_ {
    let ends = hidden.iter().map(|[from, _]| *from).chain([1.0]);
    let starts = [0.0].into_iter().chain(hidden.iter().map(|[_, to]| *to));
    let free = starts.zip(ends).filter(|(from, to)| from < to).map(|(from, to)| (LineKind::Visible, [from, to]));
    free.chain(hidden.iter().map(|part| (LineKind::Hidden, *part)))
}

#[cfg(test)]
mod tests;
