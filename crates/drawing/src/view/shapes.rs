//! Parts as they are seen from one side.

use super::Look;
use crate::hidden::Seen;
use crate::lines::{View, outline};
use measure::Length;
use model::build::Build;
use model::part::{Axis, Part, reach_of};
use model::schema::StockKind;

/// A part as it is seen.
#[derive(Clone, Debug)]
pub(crate) struct Shape<'a> {
    pub part: &'a Part,
    pub seen: Seen,
    /// From where to where it reaches along the way one looks.
    pub deep: [Length; 2],
    /// Its outline in mm of the build, across and up, if it is no box along the axes of the build.
    pub trimmed: Option<Vec<[f64; 2]>>,
    /// Whether the grain runs towards the one who looks.
    pub end_grain: bool,
}

/// The axes of a view: across, up, and towards the one who looks, with the sign of that.
pub(crate) fn axes(look: Look) -> ([Axis; 3], bool) {
    match look {
        Look::Above => ([Axis::X, Axis::Y, Axis::Z], true),
        Look::Front => ([Axis::X, Axis::Z, Axis::Y], false),
        Look::Right => ([Axis::Y, Axis::Z, Axis::X], true),
    }
}

/// The same as directions.
pub(crate) fn direction(look: Look) -> View {
    match look {
        Look::Above => View::ABOVE,
        Look::Front => View::FRONT,
        Look::Right => View::RIGHT,
    }
}

/// All parts that have a size, as they are seen.
pub(crate) fn shapes(build: &Build, look: Look) -> Vec<Shape<'_>> {
    let parts = build.parts.iter().filter(|part| part.extent().iter().all(|size| *size > Length::ZERO));
    parts.filter_map(|part| shape(part, look)).collect()
}

/// One part; `None` if its ends are trimmed so that nothing is left.
fn shape(part: &Part, look: Look) -> Option<Shape<'_>> {
    let ([across, up, towards], far_is_near) = axes(look);
    let solid = if part.is_box() { None } else { Some(part.shape()?) };
    let trimmed = solid.as_ref().map(|solid| outline(solid, &direction(look)));
    let [near, far] = solid.as_ref().map_or_else(|| part.reach(), reach_of);
    let span = |axis: Axis| [near[axis.index()], far[axis.index()]];
    let deep = span(towards);
    let near = if far_is_near { -deep[1] } else { deep[0] };
    // What leans may lie behind a box at one end and before it at the other: only boxes are trusted to hide all behind them.
    let seen = Seen { across: span(across), up: span(up), near, whole: trimmed.is_none() };
    let end_grain = trimmed.is_none() && part.at.along == towards && part.stock.kind == StockKind::Board;
    Some(Shape { part, seen, deep, trimmed, end_grain })
}
