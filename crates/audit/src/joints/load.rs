//! How far screws keep off ends and edges: further off those towards which a load pushes the wood.

use super::touch::Touch;
use super::{Asks, CLADDING_FROM_END, FROM_EDGE, FROM_END};
use crate::asked::Load;
use crate::solid::{Vector, dot};

/// Diameters from a loaded end, and from a loaded edge of screws from [`THICK`] millimetres on and of thinner ones, in
/// pre-drilled wood.
///
/// # Source
/// LVL Handbook (Federation of the Finnish Woodworking Industries, 2025) Table 5.1, the pattern of EN 1995-1-1 Table 8.2:
/// a3,t = (7 + 5 cos a) d; a4,t = (3 + 2 sin a) d where d is below 5 mm, else (3 + 4 sin a) d.
pub(super) const FROM_LOADED_END: i64 = 12;
pub(super) const FROM_EDGE_LOADED_BY_THICK: i64 = 7;
pub(super) const FROM_EDGE_LOADED_BY_THIN: i64 = 5;
const THICK: i64 = 5_000_000;

/// Diameters from a loaded edge for a screw of a diameter in nanometres.
pub(super) fn from_loaded_edge(diameter: i64) -> i64 {
    if diameter < THICK { FROM_EDGE_LOADED_BY_THIN } else { FROM_EDGE_LOADED_BY_THICK }
}

/// Whether a load acts across the screws of a face.
pub(super) fn is_across(load: Load, touch: &Touch) -> bool {
    let down = load == Load::Down || load == Load::DownOnBase;
    down && !touch.points_up() && !touch.points_down()
}

/// One of the two parts of a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Held,
    Base,
}

impl Asks<'_> {
    /// Which way the screws push a part: 1 up, -1 down, 0 neither.
    fn push(&self, side: Side) -> f64 {
        let load = self.fixing.load;
        if !is_across(load, self.touch) {
            return 0.0;
        }
        // What is borne is pushed up, what bears is pushed down.
        let borne = if load == Load::Down { Side::Held } else { Side::Base };
        if side == borne { 1.0 } else { -1.0 }
    }

    /// How far screws keep off a face of a part, in millimetres: at both ends of their slots, where they have any.
    pub(super) fn keep(&self, side: Side, face: Vector, grain: Vector) -> f64 {
        let moved = match (&self.moves, side) {
            (Some(moves), Side::Held) => moves.most * dot(face, moves.across).abs(),
            _ => 0.0,
        };
        self.keep_still(side, face, grain) + moved
    }

    /// The same for a screw that cannot move.
    pub(super) fn keep_still(&self, side: Side, face: Vector, grain: Vector) -> f64 {
        let diameter = self.diameter();
        let loaded = (self.push(side) * face[2]).max(0.0);
        let of = |least: i64, most: i64| (least as f64 + (most - least) as f64 * loaded) * diameter;
        let edge = of(FROM_EDGE, from_loaded_edge(self.screw.diameter));
        let end = if side == Side::Held && self.fixing.load == Load::Own {
            (CLADDING_FROM_END as f64).max(FROM_EDGE as f64 * diameter)
        } else {
            of(FROM_END, FROM_LOADED_END)
        };
        edge.max(end * dot(face, grain).abs())
    }
}
