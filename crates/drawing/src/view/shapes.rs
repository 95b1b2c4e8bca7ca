//! Parts as they are seen from one side.

use super::Look;
use crate::hidden::Seen;
use measure::Length;
use model::build::Build;
use model::part::{Axis, Part, Plane};
use model::schema::StockKind;

/// A part as it is seen.
#[derive(Clone, Debug)]
pub(crate) struct Shape<'a> {
    pub part: &'a Part,
    pub seen: Seen,
    /// The corners in mm of the build, across and up, if its ends are trimmed so that this view shows it.
    pub trimmed: Option<Vec<[f64; 2]>>,
    /// Whether the grain runs towards the one who looks.
    pub end_grain: bool,
}

/// The axes of a view: across, up, and towards the one who looks, with the sign of that.
fn axes(look: Look) -> ([Axis; 3], bool) {
    match look {
        Look::Above => ([Axis::X, Axis::Y, Axis::Z], true),
        Look::Front => ([Axis::X, Axis::Z, Axis::Y], false),
        Look::Right => ([Axis::Y, Axis::Z, Axis::X], true),
    }
}

/// All parts that have a size, as they are seen.
pub(crate) fn shapes(build: &Build, look: Look) -> Vec<Shape<'_>> {
    let ([across, up, towards], far_is_near) = axes(look);
    let shape = |part: &'_ Part| {
        let (near, far) = (part.at.corner, part.far_corner());
        let span = |axis: Axis| [near[axis.index()], far[axis.index()]];
        let depth = span(towards);
        let trimmed = trim(part, across, up, towards);
        let near = if far_is_near { -depth[1] } else { depth[0] };
        Seen { across: span(across), up: span(up), near, whole: trimmed.is_none() }
    };
    let has_size = |part: &&Part| part.extent().iter().all(|size| *size > Length::ZERO);
    let parts = build.parts.iter().filter(has_size);
    parts
        .map(|part| Shape {
            part,
            seen: shape(part),
            trimmed: trim(part, across, up, towards),
            end_grain: part.at.along == towards && part.stock.kind == StockKind::Board,
        })
        .collect()
}

/// The outline of a part whose ends are trimmed by planes that stand along the line of sight; `None` if there is none.
/// Other planes leave the outline as it is: the long points are seen. A plane's normal and point are taken in the
/// directions of the build, from the part's corner.
fn trim(part: &Part, across: Axis, up: Axis, towards: Axis) -> Option<Vec<[f64; 2]>> {
    let stands = |plane: &&Plane| plane.normal[towards.index()] == 0;
    let planes: Vec<&Plane> = part.solid.ends.iter().flatten().filter(stands).collect();
    if planes.is_empty() {
        return None;
    }
    let corner = part.at.corner.map(Length::as_mm);
    let far = part.far_corner().map(Length::as_mm);
    let [left, low] = [across, up].map(|axis| corner[axis.index()]);
    let [right, high] = [across, up].map(|axis| far[axis.index()]);
    let mut polygon = vec![[left, low], [right, low], [right, high], [left, high]];
    for plane in planes {
        let normal = [across, up].map(|axis| plane.normal[axis.index()] as f64);
        let through = [across, up].map(|axis| corner[axis.index()] + plane.through[axis.index()].as_mm());
        polygon = cut(&polygon, |point| normal[0] * (point[0] - through[0]) + normal[1] * (point[1] - through[1]));
    }
    Some(polygon)
}

/// What is left of a polygon where `beyond` is positive (Sutherland and Hodgman, Reentrant polygon clipping, 1974).
fn cut(polygon: &[[f64; 2]], beyond: impl Fn([f64; 2]) -> f64) -> Vec<[f64; 2]> {
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    for (place, &from) in polygon.iter().enumerate() {
        let to = polygon[(place + 1) % polygon.len()];
        let (a, b) = (beyond(from), beyond(to));
        if a <= 0.0 {
            kept.push(from);
        }
        if (a < 0.0 && b > 0.0) || (a > 0.0 && b < 0.0) {
            let part = a / (a - b);
            kept.push([from[0] + part * (to[0] - from[0]), from[1] + part * (to[1] - from[1])]);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square of 2 cut along its diagonal is a triangle of area 2.
    #[test]
    fn a_mitre_leaves_a_triangle() {
        let square = [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]];
        let left = cut(&square, |[x, y]| x - y);
        assert_eq!(left, [[0.0, 0.0], [2.0, 2.0], [0.0, 2.0]]);
    }
}
