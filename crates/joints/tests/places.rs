//! Single joints: where screws stand, and what is said where none can.

mod common;

use common::{build, count, fixing, judge, mm, part, plan};
use joints::{Joined, join};
use measure::{Angle, Length, Unit};
use model::build::Fixing;
use model::joint::NoScrew;
use model::part::{Axis, Frame, Part, UNIT};
use model::schema::StockKind;

const ON_SALE: [f64; 6] = [30.0, 40.0, 50.0, 60.0, 80.0, 100.0];

fn one(parts: Vec<Part>, change: impl Fn(&mut Fixing)) -> Joined {
    let mut fixing = fixing(("a", "held"), ("b", "base"));
    change(&mut fixing);
    let build = build(parts, vec![fixing]);
    let joined = join(&build, &plan(5.0, &ON_SALE, None, Unit::Millimetre));
    if joined.joints.made.iter().all(|joint| joint.direction.iter().any(|part| part.abs() == UNIT)) {
        let itself = build.fixings[0].carries_itself.then_some(20.0);
        judge(&build, &joined.joints.made, 5.0, itself);
    }
    joined
}

fn held(spans: [[f64; 2]; 3]) -> Part {
    part("a", "held", "front", (0, 0), spans)
}

fn base(spans: [[f64; 2]; 3]) -> Part {
    part("b", "base", "front", (0, 0), spans)
}

fn heads(joined: &Joined) -> Vec<[Length; 3]> {
    joined.joints.made.iter().flat_map(|joint| joint.heads.clone()).collect()
}

fn at(points: &[[f64; 3]]) -> Vec<[Length; 3]> {
    points.iter().map(|point| point.map(mm)).collect()
}

/// A board of 145 × 20 before a post of 70: one above the other at the quarter points, on the post's centre line.
#[test]
fn two_stand_at_the_quarter_points_on_the_centre_line() {
    let joined = one(
        vec![held([[0.0, 600.0], [-20.0, 0.0], [100.0, 245.0]]), base([[200.0, 270.0], [0.0, 70.0], [0.0, 900.0]])],
        |_| (),
    );
    assert_eq!(heads(&joined), at(&[[235.0, -20.0, 136.25], [235.0, -20.0, 208.75]]));
    assert_eq!(joined.joints.made[0].direction, [0, UNIT, 0]);
}

/// TDCA in the TRADA yearbook 2022, p. 117: one fixing if a board is less than 100 wide, two otherwise; at least 20 from its end.
#[test]
fn cladding_has_one_screw_in_a_narrow_board_and_may_come_near_its_end() {
    for (width, screws) in [(99.0, 1), (100.0, 2)] {
        let board = held([[210.0, 600.0], [-20.0, 0.0], [100.0, 100.0 + width]]);
        let batten = base([[200.0, 250.0], [0.0, 50.0], [0.0, 900.0]]);
        let joined = one(vec![board.clone(), batten.clone()], |fixing| fixing.carries_itself = true);
        assert_eq!(count(&joined.joints.made), screws, "{width}");
        // The batten's middle would do but for the 20.
        assert!(heads(&joined).iter().all(|head| head[0] == mm(230.0)));
        // What carries more keeps 35 from its end, and then 15 from the batten's edge is not left.
        let loaded = one(vec![board, batten], |_| ());
        assert_eq!(loaded.joints.unmade.iter().map(|one| one.why).collect::<Vec<_>>(), [NoScrew::NoRoom]);
    }
}

/// Two screws want 3 + 5 + 3 diameters of width: 55 for a 5 screw (LVL Handbook 2025 Table 5.1); narrower ones get one.
#[test]
fn a_board_too_narrow_for_two_has_one() {
    for (width, screws) in [(54.0, 1), (55.0, 2)] {
        let joined = one(
            vec![
                held([[0.0, 600.0], [-20.0, 0.0], [100.0, 100.0 + width]]),
                base([[200.0, 270.0], [0.0, 70.0], [0.0, 900.0]]),
            ],
            |_| (),
        );
        assert_eq!(count(&joined.joints.made), screws, "{width}");
    }
}

#[test]
fn a_face_narrower_than_its_distances_has_no_room() {
    let joined = one(
        vec![held([[0.0, 600.0], [-20.0, 0.0], [100.0, 245.0]]), base([[200.0, 229.0], [0.0, 70.0], [0.0, 900.0]])],
        |_| (),
    );
    assert_eq!(joined.joints.unmade[0].why, NoScrew::NoRoom);
    let edge = joined.quantities.iter().find(|quantity| quantity.name == "screw.csk.from-edge").expect("its why");
    assert_eq!(edge.value.value, 15_000_000);
}

/// Alongside one another they are spread along the grain, no further apart than 300: four on 1000, at its eighths.
#[test]
fn boards_that_run_alike_are_screwed_along_their_length() {
    let parts = || {
        vec![held([[0.0, 1000.0], [-20.0, 0.0], [100.0, 245.0]]), base([[0.0, 1000.0], [0.0, 45.0], [120.0, 190.0]])]
    };
    let joined = one(parts(), |_| ());
    let x: Vec<Length> = heads(&joined).iter().map(|head| head[0]).collect();
    assert_eq!(x, [125.0, 375.0, 625.0, 875.0].map(mm));
    assert!(heads(&joined).iter().all(|head| head[2] == mm(155.0)), "in the middle of what they share");
    assert_eq!(count(&one(parts(), |fixing| fixing.each = Some(2)).joints.made), 2);
}

/// A panel keeps the same distance across: three on 900.
#[test]
fn a_wide_panel_has_as_many_as_it_needs() {
    let mut panel = held([[0.0, 1500.0], [-18.0, 0.0], [0.0, 900.0]]);
    panel.stock.kind = StockKind::Sheet;
    let joined = one(vec![panel, base([[700.0, 770.0], [0.0, 70.0], [0.0, 900.0]])], |_| ());
    assert_eq!(heads(&joined), at(&[[735.0, -18.0, 150.0], [735.0, -18.0, 450.0], [735.0, -18.0, 750.0]]));
}

/// 2.5 × 20 and 12 more are 62: the 80 is the shortest on sale.
#[test]
fn end_grain_takes_longer_screws() {
    let joined = one(
        vec![held([[0.0, 900.0], [-15.0, 80.0], [448.0, 468.0]]), base([[20.0, 67.0], [20.0, 67.0], [0.0, 448.0]])],
        |fixing| fixing.each = Some(2),
    );
    // 15 from each side of a post of 47 leaves 17, less than 4 d = 20 between two.
    assert_eq!(joined.joints.unmade[0].why, NoScrew::NoRoom);
    let joined = one(
        vec![held([[0.0, 900.0], [-15.0, 80.0], [448.0, 468.0]]), base([[20.0, 90.0], [0.0, 70.0], [0.0, 448.0]])],
        |fixing| fixing.each = Some(2),
    );
    assert_eq!((count(&joined.joints.made), joined.joints.made[0].length), (2, Length::mm(80)));
    let least = joined.quantities.iter().find(|quantity| quantity.name == "joint.A-B.least").expect("its why");
    assert_eq!(least.value.value, 62_000_000);
}

/// From below, through a rail of 45 into a cap of 20: at least half of it, 55, and at most 60.
#[test]
fn a_cap_is_held_from_below() {
    let rail = held([[67.0, 500.0], [20.0, 65.0], [403.0, 448.0]]);
    let joined = one(vec![rail, base([[-15.0, 900.0], [-15.0, 80.0], [448.0, 468.0]])], |_| ());
    let joint = &joined.joints.made[0];
    assert_eq!((joint.length, joint.direction, joint.heads.len()), (Length::mm(60), [0, 0, UNIT], 2));
    assert!(joint.heads.iter().all(|head| head[2] == mm(403.0)));
}

#[test]
fn an_end_against_a_face_is_told_and_not_made() {
    let parts =
        || vec![held([[70.0, 400.0], [0.0, 95.0], [100.0, 120.0]]), base([[0.0, 70.0], [0.0, 70.0], [0.0, 400.0]])];
    let joined = one(parts(), |_| ());
    assert_eq!(joined.joints.unmade[0].why, NoScrew::NoRoom);
    assert!(joined.notes[0].text.contains("bracket"), "{}", joined.notes[0].text);
    // Where the base is joined to another part by a face, an end that only happens to touch is let be.
    let mut parts = parts();
    parts.push(part("a", "held", "front", (0, 1), [[0.0, 600.0], [-20.0, 0.0], [100.0, 245.0]]));
    let joined = one(parts, |_| ());
    assert_eq!((joined.joints.unmade.len(), count(&joined.joints.made), joined.notes.len()), (0, 2, 0));
}

#[test]
fn a_wide_board_is_told_to_be_slotted() {
    let joined = one(
        vec![held([[0.0, 600.0], [-20.0, 0.0], [100.0, 300.0]]), base([[200.0, 270.0], [0.0, 70.0], [0.0, 900.0]])],
        |_| (),
    );
    assert!(joined.notes[0].text.contains("slot the holes"), "{}", joined.notes[0].text);
}

#[test]
fn parts_that_do_not_touch_or_touch_in_an_edge_are_not_joined() {
    for shift in [0.000_001, 5.0] {
        let joined = one(
            vec![
                held([[0.0, 600.0], [-20.0 - shift, -shift], [100.0, 245.0]]),
                base([[200.0, 270.0], [0.0, 70.0], [0.0, 900.0]]),
            ],
            |_| (),
        );
        assert_eq!((joined.joints.made.len(), joined.joints.unmade.len()), (0, 0), "{shift}");
    }
    let joined = one(
        vec![held([[0.0, 200.0], [-20.0, 0.0], [100.0, 245.0]]), base([[200.0, 270.0], [0.0, 70.0], [0.0, 900.0]])],
        |_| (),
    );
    assert_eq!((joined.joints.made.len(), joined.joints.unmade.len()), (0, 0));
}

/// The same joint in a frame that is turned and leans lies where turning its screws puts them, to the nanometres of rounding.
#[test]
fn a_turned_joint_is_the_same_joint_turned() {
    let parts =
        || vec![held([[0.0, 600.0], [-20.0, 0.0], [100.0, 245.0]]), base([[200.0, 270.0], [0.0, 70.0], [0.0, 900.0]])];
    let straight = heads(&one(parts(), |_| ()));
    for (heading, lean) in [(60.0, 0.0), (33.3, 0.0), (0.0, 8.0), (120.0, -5.0)] {
        let frame = Frame {
            heading: Angle::degrees(heading).expect("an angle"),
            lean: Angle::degrees(lean).expect("an angle"),
        };
        let axes = frame.axes();
        let turned = |point: [Length; 3]| {
            let own = point.map(Length::as_mm);
            [0, 1, 2].map(|at| mm((0..3).map(|axis| own[axis] * axes[axis][at]).sum::<f64>()))
        };
        let mut parts = parts();
        for part in &mut parts {
            part.at.corner = turned(part.at.corner);
            part.at.frame = frame;
        }
        let joined = one(parts, |_| ());
        let joint = &joined.joints.made[0];
        let wanted: Vec<[Length; 3]> = straight.iter().map(|&head| turned(head)).collect();
        for (head, wanted) in joint.heads.iter().zip(sorted(wanted)) {
            assert!(
                (0..3).all(|axis| (head[axis] - wanted[axis]).abs() <= Length::nm(5)),
                "{heading} {lean}: {head:?} {wanted:?}"
            );
        }
        let way = [0, 1, 2].map(|at| (axes[1][at] * UNIT as f64).round() as i64);
        assert!((0..3).all(|axis| (joint.direction[axis] - way[axis]).abs() < 1000), "{:?} {way:?}", joint.direction);
    }
}

fn sorted(mut points: Vec<[Length; 3]>) -> Vec<[Length; 3]> {
    points.sort_unstable();
    points
}

/// A board mitred at 45° on a post at its end: 7 d along the grain to the mitre on either face, and square to it no less than 3 d.
#[test]
fn a_mitre_is_kept_off_along_the_grain() {
    let mut board = held([[0.0, 600.0], [-20.0, 0.0], [100.0, 245.0]]);
    // Long point at the outer face (y = -20, x = 0), the inner face begins at x = 20.
    let half = (UNIT as f64 * std::f64::consts::FRAC_1_SQRT_2).round() as i64;
    let through = [Length::ZERO; 3];
    board.solid.ends[0] = vec![model::part::Plane { normal: [-half, half, 0], through }];
    assert_eq!(board.at.along, Axis::X);
    let joined = one(vec![board, base([[20.0, 90.0], [0.0, 70.0], [0.0, 900.0]])], |_| ());
    // At the inner face the board begins at 20: 35 on are 55, the middle of the post is 55 as well.
    let x: Vec<Length> = heads(&joined).iter().map(|head| head[0]).collect();
    assert_eq!(x, [mm(55.0); 2]);
    let mut board = held([[0.0, 600.0], [-20.0, 0.0], [100.0, 245.0]]);
    board.solid.ends[0] = vec![model::part::Plane { normal: [-half, half, 0], through }];
    let joined = one(vec![board, base([[20.0, 70.0], [0.0, 70.0], [0.0, 900.0]])], |_| ());
    // A post of 50 has its middle at 45, and its far edge allows 55.
    assert!(heads(&joined).iter().all(|head| (head[0] - mm(55.0)).abs() <= Length::nm(1)));
}

#[test]
fn the_first_fixing_of_two_parts_joins_them_and_an_unknown_screw_joins_nothing() {
    let parts =
        || vec![held([[0.0, 600.0], [-20.0, 0.0], [100.0, 245.0]]), base([[200.0, 270.0], [0.0, 70.0], [0.0, 900.0]])];
    let own = fixing(("a", "held"), ("b", "base"));
    let twice = build(parts(), vec![own.clone(), Fixing { each: Some(3), ..own.clone() }]);
    assert_eq!(count(&join(&twice, &plan(5.0, &ON_SALE, None, Unit::Millimetre)).joints.made), 2);
    let mut unknown = own;
    unknown.screw.place = 7;
    assert!(join(&build(parts(), vec![unknown]), &plan(5.0, &ON_SALE, None, Unit::Millimetre)).joints.made.is_empty());
}
