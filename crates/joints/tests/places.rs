//! Single joints: where screws stand, and what is said where none can.

mod common;

use common::{build, count, fixing, judge, mm, part, plan};
use joints::{Joined, join};
use measure::{Angle, Length, Unit};
use model::build::{Air, Fixing, Load};
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
        let itself = (build.fixings[0].load == Load::Own).then_some(20.0);
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

/// A board of 145 × 20 before a post of 70: one above the other at the marks of the tape nearest to the quarter points, 36.25 and
/// 108.75 from its edge, on the post's centre line.
#[test]
fn two_stand_at_the_quarter_points_on_the_centre_line() {
    let joined = one(
        vec![held([[0.0, 600.0], [-20.0, 0.0], [100.0, 245.0]]), base([[200.0, 270.0], [0.0, 70.0], [0.0, 900.0]])],
        |_| (),
    );
    assert_eq!(heads(&joined), at(&[[235.0, -20.0, 136.0], [235.0, -20.0, 209.0]]));
    assert_eq!(joined.joints.made[0].direction, [0, UNIT, 0]);
}

/// TDCA in the TRADA yearbook 2022, p. 117: one fixing if a board is less than 100 wide, two otherwise; at least 20 from its end.
#[test]
fn cladding_has_one_screw_in_a_narrow_board_and_may_come_near_its_end() {
    for (width, screws) in [(99.0, 1), (100.0, 2)] {
        let board = held([[210.0, 600.0], [-20.0, 0.0], [100.0, 100.0 + width]]);
        let batten = base([[200.0, 250.0], [0.0, 50.0], [0.0, 900.0]]);
        let joined = one(vec![board.clone(), batten.clone()], |fixing| fixing.load = Load::Own);
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
    // 15 from each side of a post of 47 leaves 17, less than 4 d = 20 between two: one.
    assert_eq!(count(&joined.joints.made), 1);
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

/// A board of 150 × 15 leans by 5° before a post of 45 with the upper arris of its back against it; its screw stands 50 up the back
/// in a stretch from 50 to 75, 100 below that arris: it crosses 100 · tan 5° = 8.749 of air. least = 15 + 22.5 + 8.749 = 46.249; most is
/// worked at the upper end of the stretch, 75 below the arris, where there is 6.562 of air: 15 + 6.562 + 45 / cos 5° - 5 = 61.734.
/// In a wall of 19 it would be 35.6: too thin.
#[test]
fn a_screw_crosses_the_air_behind_a_board_that_leans() {
    let frame = Frame { heading: Angle::ZERO, lean: Angle::degrees(-5.0).expect("an angle") };
    let [_, cos, down] = frame.axes()[1];
    let sin = -down;
    let leaning = |deep: f64| {
        let mut board = held([[0.0, 600.0], [0.0, 15.0], [0.0, 150.0]]);
        board.at.frame = frame;
        // From the upper back arris at z = 400 on the post down the back, and a thickness out.
        board.at.corner = [0.0, -150.0 * sin - 15.0 * cos, 400.0 - 150.0 * cos + 15.0 * sin].map(mm);
        let stretch = [50.0, 75.0].map(mm);
        one(vec![board, base([[200.0, 245.0], [0.0, deep], [0.0, 900.0]])], |fixing| {
            fixing.load = Load::Own;
            fixing.air = Some(Air { lowest: stretch, others: stretch });
        })
    };
    let joined = leaning(45.0);
    let [joint] = &joined.joints.made[..] else { panic!("{:?}", joined.joints) };
    assert_eq!(joint.length, mm(50.0));
    let number = |end: &str| {
        let found = joined.quantities.iter().find(|quantity| quantity.name.ends_with(end)).expect("a number");
        found.value.value as f64 / 1e6
    };
    assert!((number(".least") - 46.249).abs() < 2e-3 && (number(".most") - 61.734).abs() < 2e-3);
    let way = [0.0, cos, -sin];
    assert!((0..3).all(|axis| (joint.direction[axis] as f64 / UNIT as f64 - way[axis]).abs() < 1e-9));
    // Up from the lower edge on the outer face, and in the middle of the post on a mark of the tape.
    let head = joint.heads[0].map(Length::as_mm);
    let up = [head[1] + 150.0 * sin + 15.0 * cos, head[2] - 400.0 + 150.0 * cos - 15.0 * sin];
    assert!((up[0] * sin + up[1] * cos - 50.0).abs() < 1e-5 && (up[0] * cos - up[1] * sin).abs() < 1e-5, "{head:?}");
    assert!((head[0] - 222.5).abs() <= 0.5 + 1e-6);
    let [unmade] = &leaning(19.0).joints.unmade[..] else { panic!("a screw in a wall of 19") };
    assert!(matches!(unmade.why, NoScrew::TooThin { .. }), "{unmade:?}");
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

/// A slat of 90 that lies on 70 of a ledger of 55: 35 from the ledger's end and 15 from the slat's edge leave 20, and two
/// screws of 5 want 25; a ledger of 75 takes two. Worked by hand from the LVL Handbook 2025 Table 5.1.
#[test]
fn one_screw_is_placed_where_two_have_no_room_and_that_is_told() {
    for (short, screws, notes) in [(20.0, 1, 1), (15.0, 2, 0)] {
        let slat = held([[0.0, 1000.0], [0.0, 90.0], [400.0, 420.0]]);
        let ledger = base([[10.0, 65.0], [short, 600.0], [300.0, 400.0]]);
        let joined = one(vec![slat, ledger], |_| ());
        assert_eq!((count(&joined.joints.made), joined.joints.unmade.len()), (screws, 0), "{short}");
        assert_eq!(joined.notes.len(), notes, "{short}");
        assert!(joined.notes.iter().all(|note| {
            note.text == "1 screw instead of 2 in 1 place, A to B: no room for 2; a wider or longer part or a thinner screw takes them"
        }), "{:?}", joined.notes);
    }
}

/// A stated number likewise: of four only two have room on 60, 15 from either edge and 25 apart.
#[test]
fn as_many_of_a_stated_number_as_have_room() {
    let board = held([[0.0, 600.0], [-20.0, 0.0], [100.0, 160.0]]);
    let joined = one(vec![board, base([[200.0, 240.0], [0.0, 70.0], [0.0, 900.0]])], |fixing| fixing.each = Some(4));
    assert_eq!(count(&joined.joints.made), 2);
    assert!(joined.notes[0].text.starts_with("2 screws instead of 4 in 1 place, A to B: no room for 4"));
}

/// In an inside corner the last picket of a row lies with its face on one wall and with its edge against the next: it is
/// screwed through its face, and nothing is said of its edge, for which no screw would be long enough. A part that is pushed
/// is held by its edge too.
#[test]
fn a_picket_is_screwed_through_its_face_and_not_through_its_edge() {
    let picket = held([[905.0, 1000.0], [-20.0, 0.0], [0.0, 600.0]]);
    let back = base([[0.0, 1000.0], [0.0, 58.0], [0.0, 600.0]]);
    let beside = base([[1000.0, 1058.0], [-800.0, 58.0], [0.0, 600.0]]);
    let joined = one(vec![picket.clone(), back.clone(), beside.clone()], |fixing| fixing.load = Load::Own);
    assert_eq!((joined.joints.made.len(), joined.joints.unmade.len(), joined.notes.len()), (1, 0, 0));
    assert_eq!((joined.joints.made[0].base, joined.joints.made[0].direction), (1, [0, UNIT, 0]));
    let joined = one(vec![picket, back, beside], |_| ());
    assert_eq!(joined.joints.made.len() + joined.joints.unmade.len(), 2);
}

/// A picket before the courses of two walls: 83 of its 95 on the one, where it has one screw in each course, and 12 on the
/// other, where none keeps its distances. The two screws of the first hold it, though they stand in two boards.
#[test]
fn screws_in_several_boards_of_a_piece_hold_together() {
    let picket = held([[-12.0, 83.0], [-20.0, 0.0], [0.0, 290.0]]);
    let course = |x: [f64; 2], up: f64| base([x, [0.0, 40.0], [up, up + 145.0]]);
    let walls = |left: f64| {
        let front = [0.0, 145.0].map(|up| course([0.0, 1000.0], up));
        let side = [0.0, 145.0].map(|up| course([left, 0.0], up));
        [vec![picket.clone()], front.to_vec(), side.to_vec()].concat()
    };
    let joined = one(walls(-40.0), |fixing| fixing.load = Load::Own);
    let to: Vec<usize> = joined.joints.made.iter().map(|joint| joint.base).collect();
    assert_eq!((to, joined.joints.unmade.len()), (vec![1, 2], 2));
    let other = held([[-900.0, -805.0], [-20.0, 0.0], [0.0, 290.0]]);
    let joined = one([walls(-1000.0), vec![other]].concat(), |fixing| fixing.load = Load::Own);
    assert_eq!(joined.joints.unmade, []);
    assert!(joined.notes.iter().any(|note| note.text.contains("only just touches")), "{:?}", joined.notes);
}

/// A picket of 95 lies before a panel with 77 and reaches 18 over the end of the panel beside it, which is of the same walls:
/// no screw keeps its distances there, and the picket hangs on the first. Without the first it would be told, and so it is where
/// nothing else is screwed to the panel beside it.
#[test]
fn a_contact_by_chance_is_left_out_only_where_the_part_is_held_by_the_same_piece() {
    let picket = held([[-18.0, 77.0], [-20.0, 0.0], [0.0, 600.0]]);
    let front = base([[0.0, 1000.0], [0.0, 58.0], [0.0, 600.0]]);
    let mut side = base([[-58.0, 0.0], [0.0, 800.0], [0.0, 600.0]]);
    side.key.face = "left".into();
    let joined = one(vec![picket.clone(), front.clone(), side.clone()], |_| ());
    assert_eq!((joined.joints.made.len(), joined.joints.unmade.len()), (1, 1));
    let mut other = held([[-78.0, -58.0], [100.0, 195.0], [0.0, 600.0]]);
    other.key.face = "left".into();
    let joined = one(vec![picket.clone(), front.clone(), side.clone(), other], |_| ());
    assert_eq!((joined.joints.made.len(), joined.joints.unmade.len()), (2, 0));
    assert_eq!(joined.notes[0].text, "A only just touches C in 1 place: no screw there, its others hold it");
    let joined = one(vec![picket.clone(), side.clone()], |_| ());
    assert_eq!((joined.joints.made.len(), joined.joints.unmade.len()), (0, 1));
    // More than half of the picket is no chance.
    let wide = held([[-18.0, 15.0], [-20.0, 0.0], [0.0, 600.0]]);
    let joined = one(vec![wide, front, side], |_| ());
    assert!(!joined.joints.unmade.is_empty());
}

/// 47 at 100 from the board's end: its middle is at 123.5, and the mark nearest to it at 124 or 123; on a tape of sixteenths the
/// heads lie on those. A base that leaves no mark has the screw in its middle.
#[test]
fn heads_lie_on_marks_from_the_ends_and_edges_of_the_held_part() {
    let board = || held([[0.3, 600.0], [-20.0, 0.0], [100.7, 245.7]]);
    let on = |post: [f64; 2]| one(vec![board(), base([post, [0.0, 47.0], [0.0, 900.0]])], |_| ());
    for head in heads(&on([100.0, 147.0])) {
        let [x, z] = [head[0] - mm(0.3), head[2] - mm(100.7)];
        assert_eq!([x, z].map(|at| at.round_to(Length::mm(1))), [x, z]);
        assert!((head[0] - mm(123.5)).abs() <= mm(0.5));
    }
    // 15 from either edge of a post of 30.6 leaves 115.5 to 116.1, and marks lie at 115.3 and 116.3.
    assert!(heads(&on([100.5, 131.1])).iter().all(|head| mm(115.5) <= head[0] && head[0] <= mm(116.1)));
}
