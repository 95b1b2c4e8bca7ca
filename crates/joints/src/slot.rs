//! Slots: where a wide board lies across its base it shrinks and swells there, and the base does not.
//!
//! Its lowest row of screws is bored round and holds it; every other screw stands in the middle of a slot across the grain, so
//! long that the board can move past it. Ends and edges keep their distances from where the screw comes to stand.

use crate::lay::Ask;
use crate::rules;
use crate::screw;
use crate::touch::{TOLERANCE, Way};
use handbook::fasteners;
use handbook::movement::{self, Movement};
use measure::Length;
use model::joint::Slot;
use model::part::UNIT;
use model::schema::StockKind;
use model::stock::Material;
use shape::Vector;
use shape::vector::{cross, dot, times, unit};

/// How a wide held part moves across its base.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Moves {
    /// Across its grain in the face, upwards; of unit length.
    pub across: Vector,
    /// How much, by its material.
    wood: &'static Movement,
    /// The hole of which the slot is made.
    clearance: Length,
    bits: Length,
    /// How far off the middle of a slot a screw could come to stand if it were as far from the round row as the part is wide.
    pub most: f64,
}

/// What a slot is made by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Given {
    /// From the round row, in whole bits.
    pub distance: Length,
    /// For each percent, in hundred-thousandths.
    pub coefficient: i64,
    /// The hole of which it is made.
    pub clearance: Length,
    /// The step of bits.
    pub bits: Length,
}

impl Given {
    /// What goes into the rule.
    pub fn inputs(&self) -> [i128; 5] {
        let [clearance, distance, bits] = [self.clearance, self.distance, self.bits].map(|at| at.nanometres().into());
        [clearance, distance, self.coefficient.into(), movement::OUTDOORS.percent.into(), bits]
    }

    /// The slot from end to end.
    pub fn length(&self) -> Option<Length> {
        screw::by(&rules::SLOT, &self.inputs())
    }
}

impl Moves {
    /// How the held part moves; `None` if it is no wide board that lies across its base.
    pub fn of(ask: &Ask<'_>) -> Option<Moves> {
        let patch = ask.patch;
        if patch.crossing.is_some() || patch.way != Way::Across || ask.held.part.stock.kind != StockKind::Board {
            return None;
        }
        let across = upwards(unit(cross(patch.normal, ask.held.grain))?);
        let [low, high] = ask.held.shape.reach(across);
        if high - low <= (fasteners::WIDE_BOARD.length + TOLERANCE).as_mm() {
            return None;
        }
        let wood = match ask.yard.density(ask.held.part.stock) {
            Some(Material::Named(name)) => movement::of(name),
            _ => &movement::IN_GENERAL,
        };
        let clearance = screw::clearance(ask.screw.diameter, ask.bits)?;
        let mut moves = Moves { across, wood, clearance, bits: ask.bits, most: 0.0 };
        moves.most = (moves.given(high - low).length()? - clearance).as_mm() / 2.0;
        Some(moves)
    }

    /// What makes a slot so far from the round row, in millimetres.
    fn given(&self, distance: f64) -> Given {
        let bits = ((distance - TOLERANCE.as_mm()) / self.bits.as_mm()).ceil();
        // A part is no wider than 17 km.
        let distance = self.bits * bits as i64;
        Given { distance, coefficient: self.wood.coefficient, clearance: self.clearance, bits: self.bits }
    }

    /// What makes the slot of each head; `None` for those of the round row.
    pub fn by_head<'h>(&'h self, heads: &'h [[Length; 3]]) -> impl Iterator<Item = Option<Given>> + 'h {
        let height = |head: &[Length; 3]| dot(head.map(Length::as_mm), self.across);
        let lowest = heads.iter().map(height).fold(f64::INFINITY, f64::min);
        heads.iter().map(move |head| {
            let distance = height(head) - lowest;
            (distance > TOLERANCE.as_mm()).then(|| self.given(distance))
        })
    }

    /// The slots of a joint's heads.
    pub fn slots(&self, heads: &[[Length; 3]]) -> Vec<Slot> {
        // A component of a unit vector is at most 1.
        let direction = self.across.map(|part| (part * UNIT as f64).round() as i64);
        let slot = |(head, given): (usize, Option<Given>)| Some(Slot { head, length: given?.length()?, direction });
        self.by_head(heads).enumerate().filter_map(slot).collect()
    }
}

/// Less of a unit vector than this is none.
const LEVEL: f64 = 1e-6;

/// A direction or its opposite: the one that goes up; of level ones that to the back, then to the right.
fn upwards(way: Vector) -> Vector {
    let first = [2, 1, 0].into_iter().map(|axis| way[axis]).find(|part| part.abs() > LEVEL);
    times(way, if first.is_some_and(|part| part < 0.0) { -1.0 } else { 1.0 })
}
