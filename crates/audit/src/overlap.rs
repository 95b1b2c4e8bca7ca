//! Rule `overlap`: no two parts share space. Touching is fine.
//!
//! The parts are halved again and again at a plane across x, y or z, whichever divides them best; what crosses the plane is
//! looked at on both sides. In rows and courses few cross, so ten thousand parts take little longer than sorting them. Boxes
//! along the axes of the build are compared in whole numbers; where one is at an angle or trimmed, the directions are sought in
//! which the two lie apart, within a micrometre.

use crate::claims::{Part, Record};
use crate::ledger::Ledger;
use crate::solid::Solid;
use std::collections::BTreeSet;

const RULE: &str = "overlap";

/// Few enough parts to hold each against each.
const FEW: usize = 24;
/// Pairs after which no more are sought.
const MOST_MET: usize = 200;

/// How deep solids at angles may reach into one another, in millimetres: a micrometre. Corners are rounded to the nanometre
/// and normals to 10^-12, so what is deeper is no rounding.
const TOUCHING: f64 = 1e-3;

/// Holds that the solids are apart.
pub(crate) fn hold(record: &Record, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let mut bodies: Vec<Body> = Vec::with_capacity(record.parts.len());
    for part in &record.parts {
        let body = Body::of(part);
        ledger.hold(body.is_some(), || format!("the planes of {} leave nothing of it", part.slot()));
        bodies.push(body.unwrap_or_default());
    }
    let mut met = BTreeSet::new();
    halve(&bodies, (0..bodies.len()).collect(), &mut met);
    let second: BTreeSet<usize> = met.iter().map(|pair| pair.1).collect();
    for at in 0..bodies.len() {
        ledger.hold(!second.contains(&at), || {
            let others = met.iter().filter(|pair| pair.1 == at).map(|pair| record.parts[pair.0].slot());
            format!("{} overlaps {}", record.parts[at].slot(), others.collect::<Vec<String>>().join(" and "))
        });
    }
}

/// The box along the axes of the build that holds a part, and its solid if it is another one.
#[derive(Default)]
struct Body {
    from: [i64; 3],
    to: [i64; 3],
    solid: Option<Solid>,
}

impl Body {
    fn of(part: &Part) -> Option<Body> {
        if part.is_plain() {
            return Some(Body { from: part.corner, to: part.far(), solid: None });
        }
        let solid = Solid::of(part)?;
        let [from, to] = solid.bounds();
        // The record's lengths are limited to 2^44 nm, so these are far within an `i64`.
        let from = from.map(|at| libm::floor(at * 1e6) as i64);
        Some(Body { from, to: to.map(|at| libm::ceil(at * 1e6) as i64), solid: Some(solid) })
    }

    fn meets(&self, other: &Body) -> bool {
        let near = (0..3).all(|axis| self.from[axis] < other.to[axis] && other.from[axis] < self.to[axis]);
        near && match (&self.solid, &other.solid) {
            (None, None) => true,
            (own, others) => {
                let (a, b) = (self.solid_or_box(own), other.solid_or_box(others));
                a.gap(&b) < -TOUCHING
            }
        }
    }

    fn solid_or_box<'s>(&self, solid: &'s Option<Solid>) -> std::borrow::Cow<'s, Solid> {
        match solid {
            Some(solid) => std::borrow::Cow::Borrowed(solid),
            None => std::borrow::Cow::Owned(Solid::upright(self.from, self.to)),
        }
    }
}

fn halve(bodies: &[Body], of: Vec<usize>, met: &mut BTreeSet<(usize, usize)>) {
    if met.len() > MOST_MET {
        return;
    }
    let best = (0..3).map(|axis| divided(bodies, &of, axis)).min_by_key(|(low, high)| low.len().max(high.len()));
    match best {
        // Each half is a tenth smaller at least, so the depth is about twenty times the logarithm of the number.
        Some((low, high)) if of.len() > FEW && low.len().max(high.len()) * 10 <= of.len() * 9 => {
            halve(bodies, low, met);
            halve(bodies, high, met);
        }
        _ => each_against_each(bodies, &of, met),
    }
}

/// Those that begin before the middle and those that end behind it.
fn divided(bodies: &[Body], of: &[usize], axis: usize) -> (Vec<usize>, Vec<usize>) {
    let mut ends: Vec<i64> = of.iter().map(|&at| bodies[at].to[axis]).collect();
    let middle = ends.len() / 2;
    let Some(&plane) = (!ends.is_empty()).then(|| &*ends.select_nth_unstable(middle).1) else {
        return Default::default();
    };
    let low = of.iter().copied().filter(|&at| bodies[at].from[axis] < plane).collect();
    (low, of.iter().copied().filter(|&at| bodies[at].to[axis] > plane).collect())
}

fn each_against_each(bodies: &[Body], of: &[usize], met: &mut BTreeSet<(usize, usize)>) {
    for (place, &a) in of.iter().enumerate() {
        for &b in &of[place + 1..] {
            if bodies[a].meets(&bodies[b]) {
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
            let boxes: Vec<Body> = (0..200)
                .map(|_| {
                    let from = [next(spread), next(spread), next(spread)];
                    Body { from, to: from.map(|low| low + 1 + next(30)), solid: None }
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
        let plain = |from, to| Body { from, to, solid: None };
        let (a, b) = (plain([0; 3], [10; 3]), plain([10, 0, 0], [20, 10, 10]));
        assert!(!a.meets(&b) && a.meets(&plain([9, 9, 9], [10; 3])));
    }

    /// Three hundred boxes at angles in a grid of cells that hold them, and one that reaches into its neighbour by two
    /// micrometres: found, and no other; a tenth of a micrometre is touching.
    #[test]
    fn solids_at_angles() {
        let board = |at: [f64; 3], heading: f64| {
            let corner = at.map(|at| (at * 1e6) as i64);
            Part { heading: (heading * 1e6) as i64, corner, ..Part::sized([40_000_000, 20_000_000, 10_000_000]) }
        };
        let grid = (0..300).map(|i| (f64::from(i % 20) * 100.0, f64::from(i / 20) * 100.0, f64::from(i) * 7.3 % 90.0));
        let parts: Vec<Part> = grid.map(|(x, y, heading)| board([x + 30.0, y + 30.0, 0.0], heading)).collect();
        let mut bodies: Vec<Body> = parts.iter().filter_map(Body::of).collect();
        let count = |bodies: &[Body]| {
            let mut met = BTreeSet::new();
            halve(bodies, (0..bodies.len()).collect(), &mut met);
            met.len()
        };
        assert_eq!((bodies.len(), count(&bodies)), (300, 0));
        // One that stands end to end with the first, 40 mm ahead in its direction, less some depth.
        for (deep, found) in [(0.0001, 0), (0.002, 1)] {
            let (sin, cos) = crate::ground::sin_cos(parts[3].heading);
            let ahead = 40.0 - deep;
            let corner = parts[3].corner.map(|at| at as f64 / 1e6);
            let next =
                board([corner[0] + ahead * cos, corner[1] + ahead * sin, corner[2]], parts[3].heading as f64 / 1e6);
            bodies.truncate(300);
            bodies.push(Body::of(&next).expect("a body"));
            assert_eq!(count(&bodies), found, "{deep} mm deep");
        }
    }
}
