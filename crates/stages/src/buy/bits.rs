//! The bits that holes ask for and the shed does not have.

use crate::make::show;
use measure::{Length, Tape};
use model::joint::Joints;
use model::plan::Plan;
use std::collections::BTreeSet;

/// A note for each size of hole whose bit is not in the shed, pilot holes before clearance holes, small before large. Nothing
/// where the shed does not say what bits there are.
pub(super) fn missing(joints: &Joints, plan: &Plan) -> Vec<String> {
    let Some(bits) = &plan.shed.bits else { return Vec::new() };
    let asked = |of: fn(&model::joint::Joint) -> Length| -> BTreeSet<Length> {
        joints.made.iter().map(of).filter(|size| !bits.contains(size)).collect()
    };
    let pilots = asked(|joint| joint.pilot).into_iter().map(|size| pilot(size, bits, plan.tape));
    let clearances = asked(|joint| joint.clearance).into_iter().map(|size| clearance(size, bits, plan.tape));
    pilots.chain(clearances).collect()
}

/// The next bit to a pilot hole is the nearest; of two the smaller, in which the thread holds better.
fn pilot(size: Length, bits: &[Length], tape: Tape) -> String {
    let next = bits.iter().min_by_key(|bit| ((**bit - size).abs(), **bit));
    let next = next.map_or_else(String::new, |bit| format!("; the next one there is {}", show(tape, *bit)));
    format!("the shed has no bit of {} for pilot holes{next}", show(tape, size))
}

/// The next bit to a clearance hole is the next larger one: through a smaller one the screw does not slip.
fn clearance(size: Length, bits: &[Length], tape: Tape) -> String {
    let next = match bits.iter().filter(|bit| **bit > size).min() {
        Some(bit) => format!("the next one there is {}", show(tape, *bit)),
        None => "none there is larger".to_owned(),
    };
    format!("the shed has no bit of {} for clearance holes; {next}", show(tape, size))
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Unit;

    /// Worked by hand: 3.2 lies nearer to 3 than to 3.5; 3.25 lies between both, and the smaller is told.
    #[test]
    fn the_next_bit() {
        let tape = Tape::usual(Unit::Millimetre);
        let bits = [Length::mm(5), Length::nm(3_500_000), Length::mm(3)];
        assert!(
            pilot(Length::nm(3_200_000), &bits, tape)
                .ends_with("no bit of 3.2 mm for pilot holes; the next one there is 3 mm")
        );
        assert!(pilot(Length::nm(3_250_000), &bits, tape).ends_with("the next one there is 3 mm"));
        assert!(pilot(Length::nm(3_300_000), &bits, tape).ends_with("the next one there is 3.5 mm"));
        assert!(clearance(Length::mm(4), &bits, tape).ends_with("for clearance holes; the next one there is 5 mm"));
        assert!(clearance(Length::mm(6), &bits, tape).ends_with("none there is larger"));
    }
}
