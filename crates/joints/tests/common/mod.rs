//! Builds of boxes by hand, and a judge of joints that shares nothing with the code: plain interval arithmetic in nanometres.
#![allow(dead_code, reason = "each test file uses its share")]

use measure::{Density, Length, Tape, Unit};
use model::build::{Build, Fixing, Load, Roles};
use model::joint::Joint;
use model::part::{At, Axis, Frame, Part, PartKey, Solid, UNIT};
use model::plan::{Plan, Prefer};
use model::problem::{File, Place};
use model::schema::StockKind;
use model::stock::{Board, Material, Screw, ScrewLength, Shed, StockRef, Yard};

/// A length in millimetres or parts of one.
pub fn mm(mm: f64) -> Length {
    model::part::from_mm(mm)
}

/// A box of these spans along x, y and z; its grain runs along the longest, its width lies along the second longest.
pub fn part(piece: &str, role: &str, face: &str, place: (u32, u32), spans: [[f64; 2]; 3]) -> Part {
    let axes = [Axis::X, Axis::Y, Axis::Z];
    let size = |axis: Axis| spans[axis.index()][1] - spans[axis.index()][0];
    let mut sorted = axes;
    sorted.sort_by(|&a, &b| size(b).total_cmp(&size(a)));
    let [along, across, thin] = sorted;
    Part {
        key: PartKey { piece: piece.into(), role: role.into(), face: face.into(), course: place.0, index: place.1 },
        id: String::new(),
        stock: StockRef { kind: StockKind::Board, place: 0 },
        solid: Solid::square(mm(size(along)), mm(size(across)), mm(size(thin))),
        at: At { frame: Frame::BUILD, corner: [0, 1, 2].map(|axis| mm(spans[axis][0])), along, across },
    }
}

pub fn fixing(held: (&str, &str), base: (&str, &str)) -> Fixing {
    let roles = |(piece, role): (&str, &str)| Roles { piece: piece.into(), role: role.into() };
    let screw = StockRef { kind: StockKind::Screw, place: 0 };
    Fixing { held: roles(held), base: roles(base), screw, each: None, load: Load::Outwards, air: None }
}

pub fn build(mut parts: Vec<Part>, fixings: Vec<Fixing>) -> Build {
    model::build::give_ids(&mut parts);
    Build { parts, fixings, ..Build::default() }
}

/// A plan whose yard has one screw of this diameter in these lengths, and a board that weighs so much.
pub fn plan(diameter: f64, lengths: &[f64], density: Option<u32>, unit: Unit) -> Plan {
    let place = || Place { file: File::Yard, bytes: 0..0 };
    let on_sale = |&length: &f64| ScrewLength { length: mm(length), boxes: Vec::new() };
    let screw = Screw {
        name: "csk".into(),
        label: "countersunk".into(),
        diameter: mm(diameter),
        metal: None,
        lengths: lengths.iter().map(on_sale).collect(),
        place: place(),
    };
    let board = Board {
        name: "deal".into(),
        label: "deal".into(),
        thickness: Length::mm(20),
        thin_edge: None,
        width: Length::mm(145),
        density: density.map(|density| Material::Stated(Density::kg_per_m3(density))),
        treated: None,
        lengths: Vec::new(),
        place: place(),
    };
    Plan {
        standing: model::standing::Standing::default(),
        title: String::new(),
        tape: Tape::usual(unit),
        prefer: Prefer::Closest,
        site: model::plan::Site::default(),
        pieces: Vec::new(),
        yard: Yard { currency: "EUR".into(), screws: vec![screw], boards: vec![board], ..Yard::default() },
        shed: Shed {
            kerf: Length::mm(3),
            trim: Length::mm(10),
            reserve_per_cut: Length::nm(500_000),
            reserve_per_board: Length::mm(2),
            people: 1,
            ..Shed::default()
        },
    }
}

/// The screws of some joints.
pub fn count(joints: &[Joint]) -> usize {
    joints.iter().map(|joint| joint.heads.len()).sum()
}

/// Asserts that each screw of boxes starts on the outer face of its held part, ends at least 5 mm short of the far face of
/// its base, keeps 3 d from edges and 7 d from ends (or `end` from those of the held part) in both, and that no two in one
/// part come nearer than 2 d.
pub fn judge(build: &Build, joints: &[Joint], diameter: f64, end: Option<f64>) {
    let mut screws: Vec<(usize, usize, [f64; 3], [f64; 3])> = Vec::new();
    for joint in joints {
        let axis = (0..3).find(|&axis| joint.direction[axis] != 0).expect("a direction");
        let sign = joint.direction[axis];
        assert_eq!(sign.abs(), UNIT, "along an axis");
        let (held, base) = (&build.parts[joint.held], &build.parts[joint.base]);
        for head in &joint.heads {
            let outer = if sign > 0 { held.near_corner()[axis] } else { held.far_corner()[axis] };
            assert_eq!(head[axis], outer, "the head lies on the outer face: {head:?} {joint:?}");
            let tip = if sign > 0 { head[axis] + joint.length } else { head[axis] - joint.length };
            let [near, far] = [base.near_corner()[axis], base.far_corner()[axis]];
            let short = if sign > 0 { far - tip } else { tip - near };
            assert!(short >= Length::mm(5), "the tip stays inside: {joint:?}");
            for (part, end) in [(held, end.unwrap_or(7.0 * diameter)), (base, 7.0 * diameter)] {
                for other in (0..3).filter(|&other| other != axis) {
                    let keep = mm(if part.at.along.index() == other { end } else { 3.0 * diameter });
                    let [from, to] = [head[other] - part.near_corner()[other], part.far_corner()[other] - head[other]];
                    assert!(from >= keep && to >= keep, "{} {from:?} {to:?} {keep:?}: {joint:?}", part.key);
                }
            }
            let mut end = *head;
            end[axis] = tip;
            screws.push((joint.held, joint.base, head.map(Length::as_mm), end.map(Length::as_mm)));
        }
    }
    for (place, one) in screws.iter().enumerate() {
        for other in &screws[..place] {
            let shares = [one.0, one.1].iter().any(|part| [other.0, other.1].contains(part));
            assert!(!shares || apart(one, other) >= 2.0 * diameter, "two screws meet: {one:?} {other:?}");
        }
    }
}

/// How far two screws along the axes are apart: the distance of the boxes around them, which are lines.
fn apart(one: &(usize, usize, [f64; 3], [f64; 3]), other: &(usize, usize, [f64; 3], [f64; 3])) -> f64 {
    let gap = |axis: usize| {
        let [a, b] = [one.2[axis].min(one.3[axis]), one.2[axis].max(one.3[axis])];
        let [c, d] = [other.2[axis].min(other.3[axis]), other.2[axis].max(other.3[axis])];
        (c - b).max(a - d).max(0.0)
    };
    (0..3).map(|axis| gap(axis).powi(2)).sum::<f64>().sqrt()
}
