//! A layer laid round an outline: every row of it as a polygon seen from above.
//!
//! A wall, a cladding or a ring of units is laid along all sides of an outline or along some. Where a row ends is the law
//! of [`crate::corner`], which is its only home: here each end is asked of [`row_end`], and the strip along the side is cut
//! off at the two answers. Laid without joints, the rows (with the units that own corners, and the corners left open)
//! cover what lies between the inner and the outer line of the ring, once and without overlap, so long as
//!
//! - both lines close without a side that vanishes and without crossing or touching themselves, and
//! - every row is longer than nothing on its shorter line.
//!
//! Both are sufficient: the tests find no exception among random rings. The first is a little stricter than need be where a
//! strip is about as deep as its side is long; rows that would just clear each other there are refused.
//!
//! Where that fails the ring cannot be laid, and [`BadRing`] says why. A step of 30 in an outline under rows 100 deep is
//! the usual case: the row along the step may have to end before it begins, and whether it does hangs on who owns its
//! corners.

use crate::corner::{Layer, Owner, Reach, RowEnd, meets, row_end};
use crate::outline::{BadOutline, Outline, Point, along, crossing};
use measure::Length;
use std::fmt;

/// Who has the corner at which a side ends and the next begins, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CornerOwner {
    /// The row of the side that ends there runs through.
    Before,
    /// The row of the side that begins there runs through.
    After,
    /// Both end on the bisector.
    Mitre,
    /// Nobody: the corner stays open.
    Open,
    /// A unit or post that fills the crossing of the two strips.
    Unit,
}

impl CornerOwner {
    /// The corner as the row that ends there sees it.
    pub fn at_end(self) -> Owner {
        match self {
            CornerOwner::Before => Owner::Own,
            CornerOwner::After => Owner::Neighbour,
            CornerOwner::Mitre => Owner::Mitre,
            CornerOwner::Open => Owner::Open,
            CornerOwner::Unit => Owner::Unit,
        }
    }

    /// The corner as the row that begins there sees it.
    pub fn at_start(self) -> Owner {
        match self {
            CornerOwner::Before => Owner::Neighbour,
            CornerOwner::After => Owner::Own,
            CornerOwner::Mitre | CornerOwner::Open | CornerOwner::Unit => self.at_end(),
        }
    }
}

/// One row seen from above.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strip {
    /// The side that it runs along, by its place.
    pub side: usize,
    /// Its corners counter-clockwise: along the outer line from start to end, then back along the inner line.
    ///
    /// Exact where all turns are right angles. At other angles the distance along the side is rounded to a nanometre and
    /// so is the point, which leaves each corner within 2 nm of its lines.
    pub corners: [Point; 4],
}

/// One of the two lines between which a ring lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RingLine {
    /// The near lines of the layers; a side without a layer counts as its own line.
    Inner,
    /// The far lines of the layers; a side without a layer counts as its own line.
    Outer,
}

/// Why a ring cannot be laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BadRing {
    /// There must be one layer (or none) for each side, and one owner for each corner.
    Lists {
        /// How many sides, and corners, the outline has.
        sides: usize,
        /// How many layers were given.
        layers: usize,
        /// How many owners were given.
        owners: usize,
    },
    /// The outline is none.
    Outline(BadOutline),
    /// At the corner where this side ends the sides are nearly in line, and only a mitre is sensible.
    OnlyMitre(usize),
    /// A side of the inner or outer line is not longer than nothing.
    Vanishes(RingLine, usize),
    /// Two sides of the inner or outer line cross or touch.
    Crosses(RingLine, usize, usize),
    /// The row along this side is not longer than nothing on its shorter line.
    Short(usize),
}

impl fmt::Display for RingLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            RingLine::Inner => "inner",
            RingLine::Outer => "outer",
        })
    }
}

impl fmt::Display for BadRing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BadRing::Lists { sides, layers, owners } => {
                write!(f, "{sides} sides need as many layers and owners, not {layers} and {owners}")
            }
            BadRing::Outline(bad) => bad.fmt(f),
            BadRing::OnlyMitre(_) => {
                write!(f, "two sides are nearly in line (150 to 210 degrees): only a mitre is possible there")
            }
            BadRing::Vanishes(line, _) => {
                write!(
                    f,
                    "nothing is left of a side on the {line} line of the ring: the side is too short for its depth"
                )
            }
            BadRing::Crosses(line, _, _) => {
                write!(f, "the {line} line of the ring runs into itself: two sides lie too close for its depth")
            }
            BadRing::Short(_) => write!(f, "a row would end before it begins: its side is too short for its corners"),
        }
    }
}

impl std::error::Error for BadRing {}

/// The rows of a layer round an outline, in the order of the sides.
///
/// `layers` has the strip of each side, `None` for a side that stays bare. `owners[i]` has the corner where side `i` ends;
/// beside a bare side it counts for nothing. `joint` is the gap between a row that stops and what it stops before, measured
/// square to the line.
///
/// # Errors
/// [`BadRing`]: the first thing found that keeps the ring from being laid, in the order of its cases.
///
/// # Source
/// The law at the head of [`crate::corner`].
pub fn lay(
    outline: &Outline,
    sizes: &[Length],
    layers: &[Option<Layer>],
    owners: &[CornerOwner],
    joint: Length,
) -> Result<Vec<Strip>, BadRing> {
    let sides = outline.count();
    if layers.len() != sides || owners.len() != sides {
        return Err(BadRing::Lists { sides, layers: layers.len(), owners: owners.len() });
    }
    let ground = Ground {
        outline,
        lengths: outline.sides().iter().map(|side| side.length.at(sizes)).collect(),
        corners: outline.corners(sizes).map_err(BadRing::Outline)?,
        directions: outline.directions(),
    };
    let ends = row_ends(outline, layers, owners)?;
    for line in [RingLine::Inner, RingLine::Outer] {
        ground.check_line(line, layers)?;
    }
    let laid = ends.iter().zip(layers).enumerate().filter_map(|(side, (ends, layer))| {
        let row = Row { side, layer: (*layer)?, ends: (*ends)?, joint };
        Some(ground.strip(&row))
    });
    laid.collect()
}

/// The two ends of the row along each side that has one: at its start and at its end.
fn row_ends(
    outline: &Outline,
    layers: &[Option<Layer>],
    owners: &[CornerOwner],
) -> Result<Vec<Option<[RowEnd; 2]>>, BadRing> {
    let of_side = |side: usize| {
        let (before, after) = (outline.before(side), outline.after(side));
        let start = row_end(outline.turn_after(before), layers[before], owners[before].at_start());
        let end = row_end(outline.turn_after(side), layers[after], owners[side].at_end());
        Ok([start.map_err(|_| BadRing::OnlyMitre(before))?, end.map_err(|_| BadRing::OnlyMitre(side))?])
    };
    (0..outline.count()).map(|side| layers[side].map(|_| of_side(side)).transpose()).collect()
}

/// A row still to be cut off at its ends.
struct Row {
    side: usize,
    layer: Layer,
    ends: [RowEnd; 2],
    joint: Length,
}

/// The outline at given sizes: what rows are measured from.
struct Ground<'a> {
    outline: &'a Outline,
    lengths: Vec<Length>,
    corners: Vec<Point>,
    directions: Vec<[f64; 2]>,
}

impl Ground<'_> {
    /// The row between its two ends.
    fn strip(&self, row: &Row) -> Result<Strip, BadRing> {
        let outer = self.stretch(row, row.layer.far())?;
        let inner = self.stretch(row, row.layer.near())?;
        Ok(Strip { side: row.side, corners: [outer[0], outer[1], inner[1], inner[0]] })
    }

    /// The start and the end of a row on the line that lies `at` outwards of its side.
    fn stretch(&self, row: &Row, at: Length) -> Result<[Point; 2], BadRing> {
        let short = BadRing::Short(row.side);
        let beyond = |end: RowEnd, corner: usize| {
            less_joints(end.reach(self.outline.turn_after(corner), row.layer, at), row.joint)
        };
        let start = beyond(row.ends[0], self.outline.before(row.side)).ok_or(short.clone())?;
        let end = beyond(row.ends[1], row.side).ok_or(short.clone())?;
        if self.lengths[row.side] + start + end <= Length::ZERO {
            return Err(short);
        }
        Ok([
            self.point(row.side, self.corners[row.side], -start, at),
            self.point(row.side, self.corners[self.outline.after(row.side)], end, at),
        ])
    }

    /// The point `ahead` of a corner along a side and `out` outwards of it.
    fn point(&self, side: usize, corner: Point, ahead: Length, out: Length) -> Point {
        let [cos, sin] = self.directions[side];
        let (ahead, out) = (ahead.nanometres() as f64, out.nanometres() as f64);
        // Outwards is to the right of the direction (cos, sin): (sin, -cos).
        [
            corner[0] + Length::nm(libm::round(ahead * cos + out * sin) as i64),
            corner[1] + Length::nm(libm::round(ahead * sin - out * cos) as i64),
        ]
    }

    /// That one of the two lines of the ring goes round once and keeps clear of itself.
    fn check_line(&self, line: RingLine, layers: &[Option<Layer>]) -> Result<(), BadRing> {
        let offset = |layer: &Option<Layer>| match (layer, line) {
            (None, _) => Length::ZERO,
            (Some(layer), RingLine::Inner) => layer.near(),
            (Some(layer), RingLine::Outer) => layer.far(),
        };
        let offsets: Vec<Length> = layers.iter().map(offset).collect();
        let mut corners = Vec::with_capacity(offsets.len());
        for (side, &at) in offsets.iter().enumerate() {
            let (before, after) = (self.outline.before(side), self.outline.after(side));
            let start = meets(self.outline.turn_after(before), offsets[before], at);
            let end = meets(self.outline.turn_after(side), offsets[after], at);
            if self.lengths[side] + start + end <= Length::ZERO {
                return Err(BadRing::Vanishes(line, side));
            }
            corners.push(self.point(side, self.corners[side], -start, at));
        }
        crossing(&corners).map_or(Ok(()), |(a, b)| Err(BadRing::Crosses(line, a, b)))
    }
}

/// How far a row reaches beyond a corner once its joints are left; `None` where that lies out of all measure, which a row
/// only reaches for beside a bare side that is all but in line with its own.
fn less_joints(reach: Reach, joint: Length) -> Option<Length> {
    let measure = -Length::READ_LIMIT..=Length::READ_LIMIT;
    let left = along(joint, reach.joints);
    (measure.contains(&left) && measure.contains(&reach.fixed)).then(|| reach.fixed - left)
}

#[cfg(test)]
mod tests;
