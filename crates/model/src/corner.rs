//! The corner law: where a row ends. This is its only home.
//!
//! A *layer* (a wall, a cladding, a ring of units) is the strip between two lines that run alongside the sides of an
//! outline, and a *row* is the part of that strip along one side.
//!
//! > At a corner the owner's row runs to the second line of its neighbour's strip that it meets; the other stops a joint,
//! > measured square to the line, before the first. A mitre ends on the bisector; at an open corner both stop at the first
//! > line; where another piece owns the corner both stop a joint before that piece.
//!
//! Every closing rule of the trade for rows and boxes follows from that sentence: the tests hold it against the tables.

use crate::outline::{Turn, along};
use measure::Length;

/// The strip of one side: between two lines alongside it, given by how far outwards of the side they lie. A wall that
/// stands inside its outline has its near line at minus its thickness and its far line at zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layer {
    near: Length,
    far: Length,
}

impl Layer {
    /// The strip from `near` to `far`, outwards positive; `None` unless `near` lies inwards of `far`.
    pub fn new(near: Length, far: Length) -> Option<Layer> {
        (near < far).then_some(Layer { near, far })
    }

    /// Its inner line.
    pub fn near(self) -> Length {
        self.near
    }

    /// Its outer line.
    pub fn far(self) -> Length {
        self.far
    }

    /// How deep the strip is.
    pub fn depth(self) -> Length {
        self.far - self.near
    }
}

/// Who has the corner, as the row in question sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Owner {
    /// This row runs through.
    Own,
    /// The neighbour's row runs through; this one stops a joint before it.
    Neighbour,
    /// Both end on the bisector.
    Mitre,
    /// Nobody: both stop at the first line and the corner stays open.
    Open,
    /// A unit or post that fills the crossing of the two strips: both stop a joint before it.
    Unit,
}

/// The line on which a row ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowEnd {
    /// A line alongside the neighbour's side, this far outwards of it, less a joint measured square to it if `joint`.
    Line {
        /// How far outwards of the neighbour's side.
        offset: Length,
        /// Whether the row stops a joint short of that line.
        joint: bool,
    },
    /// The line through the two crossings of the strips' inner and of their outer lines.
    Bisector {
        /// The neighbour's strip, through whose crossings the line runs.
        neighbour: Layer,
    },
}

/// A corner at which only a mitre is sensible, because the sides are nearly in line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OnlyMitre;

/// Where a row ends at a corner: the law at the head of this file.
///
/// `turn` is the turn from this side into the neighbour's (or, at the start of a side, from the neighbour's into this: the
/// law is the same read backwards). `neighbour` is the neighbour's strip; a neighbour without one counts as a strip of no
/// depth on its side, so that a row ends flush with the bare side at an outside corner and stops a joint before the bare
/// side at an inside one.
///
/// # Errors
/// [`OnlyMitre`] where the inside angle lies between 150 and 210 degrees and the owner is not [`Owner::Mitre`].
pub fn row_end(turn: Turn, neighbour: Option<Layer>, owner: Owner) -> Result<RowEnd, OnlyMitre> {
    if owner != Owner::Mitre && turn.angle().as_degrees().abs() < 30.0 {
        return Err(OnlyMitre);
    }
    let outside = turn.is_outside();
    let strip = match neighbour {
        Some(strip) => strip,
        None => {
            return Ok(RowEnd::Line { offset: Length::ZERO, joint: !outside });
        }
    };
    let (first, second) = if outside { (strip.near, strip.far) } else { (strip.far, strip.near) };
    Ok(match owner {
        Owner::Own => RowEnd::Line { offset: second, joint: false },
        Owner::Neighbour | Owner::Unit => RowEnd::Line { offset: first, joint: true },
        Owner::Open => RowEnd::Line { offset: first, joint: false },
        Owner::Mitre => RowEnd::Bisector { neighbour: strip },
    })
}

/// How far a row reaches beyond the corner along its side: a fixed length, less some joints.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Beyond the corner, negative where the row stops short of it.
    pub fixed: Length,
    /// How many joint widths it stops short of that, measured along the row: 0 or 1 at a right angle, 1 / sin(turn) at
    /// others (at 120 degrees a joint of 10 takes 11.55).
    pub joints: f64,
}

impl RowEnd {
    /// How far the row reaches beyond the corner along its side, on the line that lies `at` outwards of its own side.
    ///
    /// A point `s` beyond the corner and `d` outwards of this side lies `s sin τ + d cos τ` outwards of the neighbour's
    /// side, `τ` being the turn; so the line at `q` is met at `s = (q - d cos τ) / sin τ`. Exact at right angles; rounded
    /// to the nanometre once at others.
    pub fn reach(self, turn: Turn, own: Layer, at: Length) -> Reach {
        match self {
            RowEnd::Line { offset, joint } => {
                let (sin, _) = turn.angle().sin_cos();
                Reach { fixed: meets(turn, offset, at), joints: if joint { 1.0 / sin.abs() } else { 0.0 } }
            }
            RowEnd::Bisector { neighbour } => {
                let (inner, outer) = (meets(turn, neighbour.near, own.near), meets(turn, neighbour.far, own.far));
                let part = (at - own.near).as_mm() / own.depth().as_mm();
                Reach { fixed: inner + along(outer - inner, part), joints: 0.0 }
            }
        }
    }
}

/// From where to where beyond the corner, along the line of its own side, a row would cross the neighbour's strip: what a
/// unit or post that fills the corner ([`Owner::Unit`]) takes. Negative before the corner.
pub fn crossing(turn: Turn, neighbour: Layer) -> [Length; 2] {
    let [near, far] = [neighbour.near, neighbour.far].map(|offset| meets(turn, offset, Length::ZERO));
    [near.min(far), near.max(far)]
}

/// How far beyond the corner the line `offset` outwards of the neighbour's side crosses the line `at` outwards of this.
pub(crate) fn meets(turn: Turn, offset: Length, at: Length) -> Length {
    match turn {
        Turn::Outside => offset,
        Turn::Inside => -offset,
        Turn::Angle(angle) => {
            let (sin, cos) = angle.sin_cos();
            let ahead = (offset.nanometres() as f64 - at.nanometres() as f64 * cos) / sin;
            // Lines that are all but in line meet out of all measure; a thousand times the longest length that is read
            // says so, and sums of such lengths stay within an `i64`.
            let limit = 1e3 * Length::READ_LIMIT.nanometres() as f64;
            Length::nm(libm::round(ahead.clamp(-limit, limit)) as i64)
        }
    }
}

#[cfg(test)]
mod tests;
