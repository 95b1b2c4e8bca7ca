//! Which ends butt against another part, which parts stand, and which nobody sees.

use measure::{Angle, Length};
use model::part::{Axis, Part};

/// Whether one of a part's ends lies against the side of another part of the same frame.
pub(super) fn butts(parts: &[Part], place: usize) -> bool {
    let Some(part) = parts.get(place).filter(|part| part.solid.ends.iter().all(Vec::is_empty)) else { return false };
    let (low, high) = ends(part);
    let along = part.at.along.index();
    let against = |(at, other): (usize, &Part)| {
        let (other_low, other_high) = ends(other);
        let across = (0..3).filter(|&axis| axis != along);
        let mut meets = across.map(|axis| low[axis] < other_high[axis] && other_low[axis] < high[axis]);
        let at_end = other_low[along] == high[along] || other_high[along] == low[along];
        at != place && other.at.frame == part.at.frame && at_end && meets.all(|meets| meets)
    };
    parts.iter().enumerate().any(against)
}

/// Whether a part stands upright, with a square foot on the ground or on another part of the same frame.
pub(super) fn stands(parts: &[Part], place: usize) -> bool {
    let upright =
        |part: &&Part| part.at.along == Axis::Z && part.at.frame.lean == Angle::ZERO && part.solid.ends[0].is_empty();
    let Some(part) = parts.get(place).filter(upright) else { return false };
    let (low, high) = ends(part);
    let under = |(at, other): (usize, &Part)| {
        let (other_low, other_high) = ends(other);
        let meets = |axis: usize| low[axis] < other_high[axis] && other_low[axis] < high[axis];
        at != place && other.at.frame == part.at.frame && other_high[2] == low[2] && meets(0) && meets(1)
    };
    part.at.corner[2] == Length::ZERO || parts.iter().enumerate().any(under)
}

/// The corners with the least and the greatest coordinates, in nanometres of the part's frame.
fn ends(part: &Part) -> ([i64; 3], [i64; 3]) {
    let low = part.at.corner.map(|corner| corner.nanometres());
    let extent = |axis: Axis| match axis {
        axis if axis == part.at.along => part.solid.length,
        axis if axis == part.at.across => part.solid.width,
        _ => part.solid.thickness,
    };
    let extents = [Axis::X, Axis::Y, Axis::Z].map(|axis| extent(axis).nanometres());
    (low, [0, 1, 2].map(|axis| low[axis] + extents[axis]))
}

/// Whether a part is not seen from the front: the lowest course of the back.
pub(super) fn is_out_of_sight(part: &Part) -> bool {
    part.key.face == "back" && part.key.course == 0
}
