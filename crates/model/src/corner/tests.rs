//! The corner law against the tables of the trade, one row end at a time. Whole rings stand in the tests of
//! [`crate::ring`].

use super::*;

fn mm(value: i64) -> Length {
    Length::mm(value)
}

fn layer(near: i64, far: i64) -> Layer {
    Layer::new(mm(near), mm(far)).expect("a strip has depth")
}

/// The allowance of a row end: how much longer or shorter the row gets than the side, and how many joints it loses.
fn allowance(turn: Turn, own: Layer, neighbour: Option<Layer>, owner: Owner) -> (i64, f64) {
    let reach = row_end(turn, neighbour, owner).expect("a right angle").reach(turn, own, own.near());
    assert_eq!(reach.fixed.nanometres() % 1_000_000, 0, "right angles are exact");
    (reach.fixed.nanometres() / 1_000_000, reach.joints)
}

/// The turn at a corner of so many degrees inside.
fn turn_at(inside: i64) -> Turn {
    Turn::by(measure::Angle::degrees((180 - inside) as f64).expect("an angle")).expect("a turn")
}

/// *Ends of a run* (*common practice*): `E` is what an end takes off the length between its references, here as millimetres
/// and gaps, for boards t = 21 thick, a ring w = 100 deep, and the reference of each row of the table.
#[test]
fn ends_of_a_run() {
    let (boards_on, boards_flush, ring) = (layer(0, 21), layer(-21, 0), layer(0, 100));
    let taken = |turn, own, neighbour, owner| {
        let (longer, joints) = allowance(turn, own, neighbour, owner);
        (-longer, joints)
    };
    let rows = [
        ("flush, from the outer face", Turn::Outside, boards_flush, Some(boards_flush), Owner::Own, (0, 0.0)),
        ("flush with a bare corner", Turn::Outside, boards_on, None, Owner::Own, (0, 0.0)),
        ("a gap before a face", Turn::Inside, boards_on, None, Owner::Neighbour, (0, 1.0)),
        ("a gap before the row that owns the corner", Turn::Outside, ring, Some(ring), Owner::Neighbour, (0, 1.0)),
        ("a gap before a post, from the post", Turn::Outside, boards_on, Some(boards_on), Owner::Unit, (0, 1.0)),
        ("butts a face, hard", Turn::Outside, boards_on, Some(boards_on), Owner::Open, (0, 0.0)),
        (
            "behind a neighbour, from the corner",
            Turn::Outside,
            boards_flush,
            Some(boards_flush),
            Owner::Open,
            (21, 0.0),
        ),
        ("the same and a gap", Turn::Outside, boards_flush, Some(boards_flush), Owner::Neighbour, (21, 1.0)),
        (
            "past a neighbour's thickness, from the frame",
            Turn::Outside,
            boards_on,
            Some(boards_on),
            Owner::Own,
            (-21, 0.0),
        ),
        ("covers a neighbour's width", Turn::Outside, ring, Some(ring), Owner::Own, (-100, 0.0)),
    ];
    for (end, turn, own, neighbour, owner, expected) in rows {
        assert_eq!(taken(turn, own, neighbour, owner), expected, "{end}");
    }
}

/// *Cladding runs* (*common practice*): the face table, `n b + (n - 1 + e) g + m t = F`, with e ends that have a gap and m
/// ends where the neighbour's edge shows; so a run between its two ends takes `e g + m t` off the face. Each face closes by
/// the rule in the table: `n (b + g)` is F and so many g and t.
#[test]
fn cladding_faces() {
    let boards = layer(-21, 0);
    let own = allowance(Turn::Outside, boards, Some(boards), Owner::Own);
    let stops = allowance(Turn::Outside, boards, Some(boards), Owner::Neighbour);
    let flush = allowance(Turn::Outside, boards, None, Owner::Own);
    let post = allowance(Turn::Inside, boards, None, Owner::Neighbour);
    let inside = allowance(Turn::Inside, boards, Some(boards), Owner::Neighbour);
    let faces = [
        ("both ends flush", [flush, flush], (0, 0), (1, 0)),
        ("gap at both ends, between posts", [post, post], (2, 0), (-1, 0)),
        ("gap at one end", [flush, post], (1, 0), (0, 0)),
        ("box face, pinwheel", [own, stops], (1, 1), (0, -1)),
        ("box face, pinwheel the other way", [stops, own], (1, 1), (0, -1)),
        ("box face between two owned by the neighbours", [stops, stops], (2, 2), (-1, -2)),
        ("face that owns both corners", [own, own], (0, 0), (1, 0)),
        ("an end at an inside corner: one gap more than flush", [own, inside], (1, 0), (0, 0)),
        ("the same, the other end owned by the neighbour", [stops, inside], (2, 1), (-1, -1)),
    ];
    for (face, ends, (gaps, thicknesses), (closing_gaps, closing_thicknesses)) in faces {
        let (fixed, joints) = (ends[0].0 + ends[1].0, ends[0].1 + ends[1].1);
        assert_eq!((fixed, joints), (-21 * thicknesses, gaps as f64), "{face}");
        // n b + (n - 1) g = F + fixed - joints g, so n (b + g) = F + fixed + (1 - joints) g.
        assert_eq!((fixed, 1.0 - joints), (21 * closing_thicknesses, closing_gaps as f64), "{face}");
    }
}

/// A row that owns an inside corner runs behind the face of the other by its thickness, so that no gap is left behind: the
/// table of faces has no line for it; it follows from *through part + thicknesses = outside size*.
#[test]
fn owning_an_inside_corner_runs_behind() {
    let boards = layer(-21, 0);
    assert_eq!(allowance(Turn::Inside, boards, Some(boards), Owner::Own), (21, 0.0));
}

/// A neighbour of another depth is what the row meets: a panel 18 thick between posts of 70 that own the corners stops 70
/// short of the outside (`L - 2p`, *Box walls*, *common practice*).
#[test]
fn a_neighbour_of_another_depth() {
    assert_eq!(allowance(Turn::Outside, layer(-18, 0), Some(layer(-70, 0)), Owner::Unit), (-70, 1.0));
    assert_eq!(allowance(Turn::Outside, layer(-18, 0), Some(layer(-70, 0)), Owner::Neighbour), (-70, 1.0));
    assert_eq!(allowance(Turn::Outside, layer(-70, 0), Some(layer(-18, 0)), Owner::Own), (0, 0.0));
    assert_eq!(allowance(Turn::Inside, layer(0, 100), Some(layer(0, 50)), Owner::Neighbour), (-50, 1.0));
}

/// How much further a row reaches on its far line than on its near one, for each unit of its depth.
fn slant(inside: i64, owner: Owner) -> f64 {
    let (turn, strip) = (turn_at(inside), layer(0, 100));
    let end = row_end(turn, Some(strip), owner).expect("not in line");
    (end.reach(turn, strip, strip.far()).fixed - end.reach(turn, strip, strip.near()).fixed).as_mm() / 100.0
}

/// *Offset of an outline*: moving every face out by d changes a side at each end by `d / tan(theta / 2)`, theta being the
/// inside angle: 90 gives +d, 270 -d, 120 (the hexagon) +0.577 d. The mitre's angle from square is `90 - theta / 2`, and a
/// butting part needs its end bevelled by `|90 - theta|` (*common practice*).
#[test]
fn mitres_and_bevels() {
    for (inside, per_depth) in [(90, 1.0), (270, -1.0), (120, 0.577)] {
        assert!((slant(inside, Owner::Mitre) - per_depth).abs() < 5e-4, "{inside}");
    }
    for inside in [30, 45, 60, 75, 90, 108, 120, 135, 150, 179, 181, 210, 225, 240, 270, 300, 330] {
        let radians = |degrees: f64| degrees / 180.0 * std::f64::consts::PI;
        let mitre = slant(inside, Owner::Mitre);
        assert!((mitre - 1.0 / libm::tan(radians(inside as f64) / 2.0)).abs() < 1e-7, "{inside}");
        assert!((libm::atan(mitre) - radians(90.0 - inside as f64 / 2.0)).abs() < 1e-7, "{inside}");
        for owner in [Owner::Own, Owner::Neighbour, Owner::Open, Owner::Unit] {
            if inside <= 150 || inside >= 210 {
                let bevel = libm::atan(slant(inside, owner)).abs();
                let from_square = (90 - inside).abs().min((270 - inside).abs());
                assert!((bevel - radians(from_square as f64)).abs() < 1e-7, "{inside} {owner:?}");
            }
        }
    }
}

/// A bisector halves the angle: any point of it is as far outwards of one side as of the other.
#[test]
fn a_bisector_ends_between_the_lines() {
    let (turn, strip) = (turn_at(135), layer(0, 100));
    let end = row_end(turn, Some(strip), Owner::Mitre).expect("a mitre");
    let (sin, cos) = turn.angle().sin_cos();
    for at in [0, 17, 50, 99, 100] {
        let ahead = end.reach(turn, strip, mm(at)).fixed.as_mm();
        assert!((ahead * sin + at as f64 * cos - at as f64).abs() < 2e-6, "{at}");
    }
}

/// Strips of different depth are mitred through the crossings of their lines: 100 and 50 deep at a right angle, the row 100
/// deep ends 50 further out on its outer line than on its inner one, and half of that halfway.
#[test]
fn a_mitre_of_unequal_rows() {
    let end = row_end(Turn::Outside, Some(layer(0, 50)), Owner::Mitre).expect("a mitre");
    let reach = |at| end.reach(Turn::Outside, layer(0, 100), mm(at)).fixed;
    assert_eq!([reach(0), reach(50), reach(100)], [mm(0), mm(25), mm(50)]);
}

/// Lines that are all but in line cross out of all measure; the answer is bounded, so that sums of it do not overflow.
#[test]
fn lines_that_all_but_never_meet_are_bounded() {
    let turn = Turn::by(measure::Angle::from_millionths(1).expect("an angle")).expect("a turn");
    let (own, deep) = (layer(0, 10_000_000), layer(-10_000_000, 1));
    let end = row_end(turn, Some(deep), Owner::Mitre).expect("a mitre");
    let (near, far) = (end.reach(turn, own, own.near()).fixed, end.reach(turn, own, own.far()).fixed);
    assert!(near < -Length::READ_LIMIT && far < -Length::READ_LIMIT, "{near:?} {far:?}");
    assert!((near + far).abs() < mm(30_000_000_000));
}

/// `Any outline`, rows w deep outside it: own an outside corner +w, not own it -j; own an inside corner 0, not own it
/// -w - j (*common practice*, paving).
#[test]
fn rows_round_any_outline() {
    let ring = layer(0, 100);
    assert_eq!(allowance(Turn::Outside, ring, Some(ring), Owner::Own), (100, 0.0));
    assert_eq!(allowance(Turn::Outside, ring, Some(ring), Owner::Neighbour), (0, 1.0));
    assert_eq!(allowance(Turn::Inside, ring, Some(ring), Owner::Own), (0, 0.0));
    assert_eq!(allowance(Turn::Inside, ring, Some(ring), Owner::Neighbour), (-100, 1.0));
}

/// A joint at 120 degrees inside angle takes 11.55 of the row for 10 square to the line: 10 / sin 60°.
#[test]
fn a_joint_at_120_degrees() {
    let turn = turn_at(120);
    let end = row_end(turn, Some(layer(0, 100)), Owner::Neighbour).expect("not in line");
    let reach = end.reach(turn, layer(0, 100), Length::ZERO);
    assert!((reach.joints * 10.0 - 11.547).abs() < 0.001, "{reach:?}");
}

#[test]
fn nearly_in_line_only_a_mitre() {
    let turn = turn_at(151);
    assert_eq!(row_end(turn, Some(layer(0, 100)), Owner::Own), Err(OnlyMitre));
    assert!(row_end(turn, Some(layer(0, 100)), Owner::Mitre).is_ok());
}

/// *Open and unit corners* (*common practice*): with a ring from 15 to 115 outwards, the square in an outside corner begins where
/// the open row ends, 15 beyond the corner, and reaches to 115; in an inside corner it lies between 115 and 15 before it. Either
/// way the row before it ends a joint from its nearer edge.
#[test]
fn a_corner_unit_fills_the_crossing() {
    let ring = layer(15, 115);
    assert_eq!(crossing(Turn::Outside, ring), [mm(15), mm(115)]);
    assert_eq!(crossing(Turn::Inside, ring), [mm(-115), mm(-15)]);
    for turn in [Turn::Outside, Turn::Inside] {
        let (reach, joints) = allowance(turn, ring, Some(ring), Owner::Unit);
        assert_eq!((mm(reach), joints), (crossing(turn, ring)[0], 1.0));
    }
    // At 120 degrees inside a line at 30 is met 30 / sin 60 beyond the corner.
    let [near, far] = crossing(turn_at(120), layer(0, 30));
    assert!(near == Length::ZERO && (far.as_mm() - 34.641).abs() < 1e-3, "{far:?}");
}
