//! Slots: where a wide board lies across its base all its screws but those of the lowest row stand in slots, so long that it can
//! move past them.

use super::body::{Body, plus};
use super::load::Side;
use super::touch::{Touch, Way};
use super::{Asks, MILLIMETRE, NEAR, UNIT, numbers};
use crate::claims::Joint;
use crate::ledger::{Ledger, Mm};
use crate::solid::{Vector, cross, dot, unit};
use crate::texts::{Material, Papers, Screw};
use crate::whys::formula;
use std::collections::BTreeSet;

/// Boards that are wider move so much that both sides must not be held, in millimetres (a trade guide to fixing cladding, weak).
const WIDE: f64 = 150.0;
/// Less than this, in millimetres, is no distance.
const NO_DISTANCE: f64 = 1e-3;
/// How much the moisture content of wood outdoors changes in a year, in percent: from 12 to 19 (*common practice*).
const CHANGE: i128 = 7;
/// Movement across the grain of flat-sawn boards for each percent, in hundred-thousandths of the width.
///
/// # Source
/// Douglas fir, merbau: Agriculture Handbook 72, as quoted on a page about flooring. Larch, western red cedar, ipe: the footnote
/// of USDA FPL-GTR-190 (2010) Table 13-5 with the tangential shrinkage of its Table 4-3 (larch and ipe from memory). Teak, jarrah,
/// southern pine: the same page about flooring; robinia: Table 13-5; redwood, radiata pine: the footnote, from memory.
const MOVEMENT: [(&str, i128); 11] = [
    ("larch", 323),
    ("western-red-cedar", 234),
    ("douglas-fir", 267),
    ("merbau", 158),
    ("ipe", 282),
    ("teak", 186),
    ("jarrah", 396),
    ("slash-pine", 265),
    ("robinia", 252),
    ("redwood", 205),
    ("radiata-pine", 234),
];
/// Other wood: EN 1313-1:2010 clause 5.
const IN_GENERAL: i128 = 250;

/// How the wood of a board moves for each percent, in hundred-thousandths of its width.
pub(crate) fn coefficient(board: &str, papers: &Papers) -> i128 {
    match papers.board(board).map(|board| &board.material) {
        Some(Material::Named(name)) => MOVEMENT.iter().find(|row| row.0 == name).map_or(IN_GENERAL, |row| row.1),
        _ => IN_GENERAL,
    }
}

/// How a wide board moves.
#[derive(Clone, Debug)]
pub(super) struct Moves {
    /// Across its grain in the face: the way that goes up, of level ones to the back, then to the right.
    pub across: Vector,
    /// The most that a screw could come to stand off the middle of a slot, in millimetres.
    pub most: f64,
    coefficient: i128,
    clearance: i128,
    bits: i128,
}

impl Moves {
    /// `None` of what is no wide board that lies across its base.
    pub fn of(touch: &Touch, held: &Body<'_>, screw: &Screw, papers: &Papers) -> Option<Moves> {
        if touch.air.is_some() || touch.way != Way::Across || held.part.kind != "board" {
            return None;
        }
        let way = unit(cross(touch.normal, held.grain));
        let leads = [2, 1, 0].into_iter().map(|axis| way[axis]).find(|part| part.abs() > 1e-6).unwrap_or(1.0);
        let across = way.map(|part| part * leads.signum());
        let reach = held.faces.iter().flat_map(|face| &face.ring).map(|corner| dot(*corner, across));
        let [low, high] = reach.fold([f64::MAX, f64::MIN], |[low, high], at| [low.min(at), high.max(at)]);
        if high - low <= WIDE + NO_DISTANCE {
            return None;
        }
        let bits = numbers::bits(papers);
        let clearance = numbers::clearance(screw.diameter.into(), bits);
        let coefficient = coefficient(&held.part.stock, papers);
        let mut moves = Moves { across, most: 0.0, coefficient, clearance, bits };
        let whole = moves.slot(moves.distance(high - low));
        moves.most = (whole - clearance) as f64 / MILLIMETRE / 2.0;
        Some(moves)
    }

    /// A distance in millimetres, up to whole bits.
    fn distance(&self, mm: f64) -> i128 {
        let step = self.bits as f64 / MILLIMETRE;
        self.bits * libm::ceil((mm - NO_DISTANCE) / step) as i128
    }

    fn slot(&self, distance: i128) -> i128 {
        formula("screw-slot", &self.inputs(distance)).unwrap_or(0)
    }

    /// What a slot so far from the lowest row is worked out from.
    pub fn inputs(&self, distance: i128) -> [i128; 5] {
        [self.clearance, distance, self.coefficient, CHANGE, self.bits]
    }

    pub fn coefficient(&self) -> i128 {
        self.coefficient
    }

    /// How far each head lies from the lowest row; 0 in it.
    fn distances(&self, joint: &Joint) -> Vec<i128> {
        let height = |head: &[i64; 3]| dot(head.map(|at| at as f64 / MILLIMETRE), self.across);
        let lowest = joint.heads.iter().map(height).fold(f64::INFINITY, f64::min);
        let far = joint.heads.iter().map(|head| height(head) - lowest);
        far.map(|far| if far > NO_DISTANCE { self.distance(far) } else { 0 }).collect()
    }

    /// How far the heads that stand in slots lie from the lowest row, each distance once.
    pub fn slotted(&self, joint: &Joint) -> BTreeSet<i128> {
        self.distances(joint).into_iter().filter(|&distance| distance > 0).collect()
    }
}

impl Asks<'_> {
    /// The right heads have slots, as long as they must be, across the grain, and at both ends of each the screw still keeps its
    /// distances.
    pub(super) fn hold_slots(&self, name: &str, joint: &Joint, ledger: &mut Ledger) {
        let distances = self.moves.as_ref().map_or_else(Vec::new, |moves| moves.distances(joint));
        let wanted: BTreeSet<usize> = (0..distances.len()).filter(|&head| distances[head] > 0).collect();
        let told: BTreeSet<usize> = joint.slots.iter().map(|slot| slot.head).collect();
        ledger.same(&format!("the heads of {name} that stand in slots"), &told, &wanted);
        ledger.hold(told.len() == joint.slots.len(), || format!("a head of {name} stands in two slots"));
        let Some(moves) = &self.moves else { return };
        for slot in joint.slots.iter().filter(|slot| wanted.contains(&slot.head)) {
            let length = moves.slot(distances[slot.head]);
            ledger.same(&format!("a slot of {name}"), Mm::of(slot.length), Mm(length));
            let way = slot.direction.map(|part| part as f64 / UNIT);
            let off = cross(way, moves.across);
            let straight = dot(off, off) < 1e-12 && (dot(way, way) - 1.0).abs() < 1e-6;
            ledger.hold(straight, || {
                format!("a slot of {name} runs {way:?}, and across the grain is {:?}", moves.across)
            });
            let far = (slot.length - joint.clearance) as f64 / MILLIMETRE / 2.0;
            let head = joint.heads[slot.head].map(|at| at as f64 / MILLIMETRE);
            for end in [-far, far] {
                self.hold_end(name, plus(head, way, end), joint, ledger);
            }
        }
    }

    /// Where a screw has come to stand at an end of its slot it keeps off the ends and edges of the held part.
    fn hold_end(&self, name: &str, head: Vector, joint: &Joint, ledger: &mut Ledger) {
        let direction = joint.direction.map(|part| part as f64 / UNIT);
        let through = self.touch.held as f64 / MILLIMETRE;
        let still = |face: Vector| self.keep_still(Side::Held, face, self.held.grain);
        let tight = self.nearest(self.held, head, direction, [0.0, through], still);
        ledger.hold(tight >= -NEAR, || {
            format!("a slot of {name} ends {} mm too near an end or edge of {}", -tight, self.held.part.slot())
        });
    }
}
