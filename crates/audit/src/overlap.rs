//! Rule `overlap`: no two parts share space. Touching is fine.
//!
//! The parts are halved again and again at a plane across x, y or z, whichever divides them best; what crosses the plane is
//! looked at on both sides. In rows and courses few cross, so ten thousand parts take little longer than sorting them. All
//! comparisons are of whole numbers.

use crate::claims::{Part, Record};
use crate::ledger::Ledger;
use std::collections::BTreeSet;

const RULE: &str = "overlap";

/// Few enough parts to hold each against each.
const FEW: usize = 24;
/// Pairs after which no more are sought.
const MOST_MET: usize = 200;

/// Holds that the solids are apart.
pub(crate) fn hold(record: &Record, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let boxes: Vec<Solid> = record.parts.iter().map(Solid::of).collect();
    let mut met = BTreeSet::new();
    halve(&boxes, (0..boxes.len()).collect(), &mut met);
    let second: BTreeSet<usize> = met.iter().map(|pair| pair.1).collect();
    for at in 0..boxes.len() {
        ledger.hold(!second.contains(&at), || {
            let others = met.iter().filter(|pair| pair.1 == at).map(|pair| record.parts[pair.0].slot());
            format!("{} overlaps {}", record.parts[at].slot(), others.collect::<Vec<String>>().join(" and "))
        });
    }
}

/// A box from one corner to the other.
struct Solid {
    from: [i64; 3],
    to: [i64; 3],
}

impl Solid {
    fn of(part: &Part) -> Solid {
        Solid { from: part.corner, to: part.far() }
    }

    fn meets(&self, other: &Solid) -> bool {
        (0..3).all(|axis| self.from[axis] < other.to[axis] && other.from[axis] < self.to[axis])
    }
}

fn halve(boxes: &[Solid], of: Vec<usize>, met: &mut BTreeSet<(usize, usize)>) {
    if met.len() > MOST_MET {
        return;
    }
    let best = (0..3).map(|axis| divided(boxes, &of, axis)).min_by_key(|(low, high)| low.len().max(high.len()));
    match best {
        // Each half is a tenth smaller at least, so the depth is about twenty times the logarithm of the number.
        Some((low, high)) if of.len() > FEW && low.len().max(high.len()) * 10 <= of.len() * 9 => {
            halve(boxes, low, met);
            halve(boxes, high, met);
        }
        _ => each_against_each(boxes, &of, met),
    }
}

/// Those that begin before the middle and those that end behind it.
fn divided(boxes: &[Solid], of: &[usize], axis: usize) -> (Vec<usize>, Vec<usize>) {
    let mut ends: Vec<i64> = of.iter().map(|&at| boxes[at].to[axis]).collect();
    let middle = ends.len() / 2;
    let Some(&plane) = (!ends.is_empty()).then(|| &*ends.select_nth_unstable(middle).1) else {
        return Default::default();
    };
    let low = of.iter().copied().filter(|&at| boxes[at].from[axis] < plane).collect();
    (low, of.iter().copied().filter(|&at| boxes[at].to[axis] > plane).collect())
}

fn each_against_each(boxes: &[Solid], of: &[usize], met: &mut BTreeSet<(usize, usize)>) {
    for (place, &a) in of.iter().enumerate() {
        for &b in &of[place + 1..] {
            if boxes[a].meets(&boxes[b]) {
                met.insert((a.min(b), a.max(b)));
            }
        }
        if met.len() > MOST_MET {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Held against every pair, on boxes by a generator of our own.
    #[test]
    fn finds_what_every_pair_finds() {
        let mut seed = 11_u64;
        let mut next = |below: i64| {
            seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (seed >> 33) as i64 % below
        };
        for round in 0..40 {
            let spread = if round % 2 == 0 { 60 } else { 1_000 };
            let boxes: Vec<Solid> = (0..200)
                .map(|_| {
                    let from = [next(spread), next(spread), next(spread)];
                    Solid { from, to: from.map(|low| low + 1 + next(30)) }
                })
                .collect();
            let mut found = BTreeSet::new();
            halve(&boxes, (0..boxes.len()).collect(), &mut found);
            let mut all = BTreeSet::new();
            for a in 0..boxes.len() {
                all.extend((a + 1..boxes.len()).filter(|&b| boxes[a].meets(&boxes[b])).map(|b| (a, b)));
            }
            assert!(found == all || (found.len() > MOST_MET && found.is_subset(&all)));
        }
    }

    #[test]
    fn touching_is_no_overlap() {
        let a = Solid { from: [0; 3], to: [10; 3] };
        let b = Solid { from: [10, 0, 0], to: [20, 10, 10] };
        assert!(!a.meets(&b) && a.meets(&Solid { from: [9, 9, 9], to: [10; 3] }));
    }
}
