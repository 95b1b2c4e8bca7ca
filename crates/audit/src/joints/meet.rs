//! No two screws meet: between the axes of any two of different joints lie at least two diameters, so that a diameter of wood
//! stays between them (*common practice*).

use super::{MILLIMETRE, NEAR};
use crate::ledger::Ledger;
use crate::solid::{Vector, dot, length, minus};
use std::collections::BTreeMap;

/// A screw in place, in millimetres.
pub(super) struct Fastener {
    /// Of which joint, by its place in the record.
    pub joint: usize,
    name: String,
    pub from: Vector,
    pub to: Vector,
    pub diameter: f64,
}

impl Fastener {
    pub fn new(joint: usize, name: String, from: Vector, direction: Vector, long: i64, diameter: i64) -> Fastener {
        let [long, diameter] = [long, diameter].map(|length| length as f64 / MILLIMETRE);
        Fastener { joint, name, from, to: super::plus(from, direction, long), diameter }
    }

    /// How far the axes of two are apart beyond what they must be.
    pub fn clear_of(&self, other: &Fastener) -> f64 {
        apart([self.from, self.to], [other.from, other.to]) - (self.diameter + other.diameter)
    }
}

/// Findings after which no more are sought.
const MOST_MET: usize = 100;

/// Holds each screw against those of its neighbourhood: cells as wide as the longest screw and the widest distance, so that
/// what could meet lies in the same cell or the next.
pub(super) fn hold(fasteners: &[Fastener], ledger: &mut Ledger) {
    let reach = |one: &Fastener| length(minus(one.to, one.from)) + 2.0 * one.diameter;
    let cell = fasteners.iter().map(reach).fold(1.0, f64::max);
    let place = |one: &Fastener| one.from.map(|at| libm::floor(at / cell) as i64);
    let mut cells: BTreeMap<[i64; 3], Vec<usize>> = BTreeMap::new();
    let mut met = 0;
    for (at, one) in fasteners.iter().enumerate() {
        let own = place(one);
        let around = (0..27).map(|of| [own[0] + of % 3 - 1, own[1] + of / 3 % 3 - 1, own[2] + of / 9 - 1]);
        let others = around.filter_map(|cell| cells.get(&cell)).flatten().map(|&other| &fasteners[other]);
        let near = others.filter(|other| other.joint != one.joint).find(|other| one.clear_of(other) < -NEAR);
        ledger.hold(near.is_none(), || {
            let (other, apart) = near.map_or(("", 0.0), |other| (other.name.as_str(), one.clear_of(other)));
            format!("screws of {} and of {other} are {} mm nearer to one another than two diameters", one.name, -apart)
        });
        met += usize::from(near.is_some());
        if met > MOST_MET {
            return;
        }
        cells.entry(own).or_default().push(at);
    }
}

/// The distance of two segments: of all points on them it is least where both are nearest, which is at an end of one of them or
/// where the lines cross.
pub(super) fn apart(a: [Vector; 2], b: [Vector; 2]) -> f64 {
    let ends = [to_segment(a[0], b), to_segment(a[1], b), to_segment(b[0], a), to_segment(b[1], a)];
    let least = ends.into_iter().fold(f64::INFINITY, f64::min);
    let (u, v, w) = (minus(a[1], a[0]), minus(b[1], b[0]), minus(a[0], b[0]));
    let (uu, uv, vv, uw, vw) = (dot(u, u), dot(u, v), dot(v, v), dot(u, w), dot(v, w));
    let scale = uu * vv - uv * uv;
    if scale <= 1e-12 * uu * vv {
        return least;
    }
    let (s, t) = ((uv * vw - vv * uw) / scale, (uu * vw - uv * uw) / scale);
    if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
        let between = [0, 1, 2].map(|axis| w[axis] + s * u[axis] - t * v[axis]);
        return least.min(length(between));
    }
    least
}

fn to_segment(point: Vector, [from, to]: [Vector; 2]) -> f64 {
    let (along, off) = (minus(to, from), minus(point, from));
    let whole = dot(along, along);
    let share = if whole > 0.0 { (dot(along, off) / whole).clamp(0.0, 1.0) } else { 0.0 };
    length([0, 1, 2].map(|axis| off[axis] - share * along[axis]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: crossing at a height of 3; end to end 4 and 3 apart; parallel and shifted; one crossing beyond the other's end.
    #[test]
    fn segments() {
        let along = [[0.0; 3], [10.0, 0.0, 0.0]];
        for (other, distance) in [
            ([[5.0, -5.0, 3.0], [5.0, 5.0, 3.0]], 3.0),
            ([[14.0, 3.0, 0.0], [20.0, 9.0, 0.0]], 5.0),
            ([[2.0, 7.0, 0.0], [30.0, 7.0, 0.0]], 7.0),
            ([[5.0, 2.0, 0.0], [5.0, 9.0, 0.0]], 2.0),
            ([[13.0, -5.0, 4.0], [13.0, 5.0, 4.0]], 5.0),
            ([[3.0, 0.0, 0.0], [3.0, 0.0, 0.0]], 0.0),
        ] {
            assert!((apart(along, other) - distance).abs() < 1e-12, "{other:?}");
            assert!((apart(other, along) - distance).abs() < 1e-12, "{other:?}");
        }
    }

    fn screw(joint: usize, from: Vector, direction: Vector) -> Fastener {
        Fastener::new(joint, joint.to_string(), from, direction, 80_000_000, 5_000_000)
    }

    fn found(fasteners: &[Fastener]) -> usize {
        let mut ledger = Ledger::default();
        ledger.turn_to("joints");
        hold(fasteners, &mut ledger);
        ledger.close().findings.len()
    }

    /// Screws of 5 from two faces of a post: 10 from axis to axis is enough, less is not; those of one joint are held elsewhere.
    #[test]
    fn screws_that_meet_are_found() {
        let x = |joint, height| screw(joint, [-20.0, 20.0, height], [1.0, 0.0, 0.0]);
        let y = |joint, height| screw(joint, [20.0, -20.0, height], [0.0, 1.0, 0.0]);
        assert_eq!(found(&[x(0, 50.0), y(1, 60.0)]), 0);
        assert_eq!(found(&[x(0, 50.0), y(1, 59.9)]), 1);
        assert_eq!(found(&[x(0, 50.0), y(0, 50.0)]), 0);
        // Held against each pair, on screws by a generator of our own.
        let mut seed = 5_u64;
        let mut next = || {
            seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (seed >> 33) as f64 % 900.0
        };
        for _ in 0..20 {
            let some: Vec<Fastener> = (0..40)
                .map(|joint| {
                    screw(
                        joint,
                        [next(), next(), next()],
                        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, -1.0]][joint % 3],
                    )
                })
                .collect();
            let later = |at: usize| some[..at].iter().any(|other| some[at].clear_of(other) < -NEAR);
            assert_eq!(found(&some).min(50), (0..some.len()).filter(|&at| later(at)).count().min(50));
        }
    }
}
