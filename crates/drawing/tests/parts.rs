//! Drawings of parts that are not square, against closed forms of the trade.

mod common;

use common::angled::{around_a_tree, tapered, whole_planter};
use drawing::{Paper, Svg, parts, parts_in_pages};
use measure::{Length, Tape, Unit};
use model::build::Build;
use model::part::{At, Axis, Frame, Part, PartKey, Plane, Solid, UNIT, from_mm};

fn mm() -> Tape {
    Tape::usual(Unit::Millimetre)
}

/// A plane by its normal and a point, along the axes of the frame.
fn plane(normal: [f64; 3], through: [f64; 3]) -> Plane {
    let size = normal.iter().map(|part| part * part).sum::<f64>().sqrt();
    Plane { normal: normal.map(|part| (part / size * UNIT as f64).round() as i64), through: through.map(from_mm) }
}

/// A board along an axis, its width along another, with planes at its ends.
fn board(axes: [Axis; 2], size: [f64; 3], ends: [Vec<Plane>; 2]) -> Part {
    let [length, width, thickness] = size.map(from_mm);
    Part {
        key: PartKey { piece: "rim".into(), role: "board".into(), face: "front".into(), course: 0, index: 0 },
        id: String::new(),
        stock: common::BOARD,
        solid: Solid { length, width, thickness, ends },
        at: At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along: axes[0], across: axes[1] },
    }
}

fn build(parts: Vec<Part>) -> Build {
    common::finished(Build { parts, ..Build::default() })
}

/// A lying board, mitred at both ends, its long edge in front.
fn mitred(long: f64, wide: f64, degrees: f64) -> Part {
    let (sin, cos) = libm::sincos(degrees.to_radians());
    let ends = [vec![plane([-cos, sin, 0.0], [0.0; 3])], vec![plane([cos, sin, 0.0], [long, 0.0, 0.0])]];
    board([Axis::X, Axis::Y], [long, wide, 28.0], ends)
}

/// An upright board with its top shaped by planes.
fn upright(planes: Vec<Plane>) -> Build {
    build(vec![board([Axis::Z, Axis::X], [900.0, 90.0, 20.0], [Vec::new(), planes])])
}

fn says(svg: &Svg, words: &str) -> bool {
    let all = svg.texts.iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ");
    all.contains(words)
}

#[track_caller]
fn check_words(svg: &Svg, words: &[&str]) {
    for words in words {
        assert!(says(svg, words), "{words}: {:?}", svg.texts.iter().map(|text| &text.text).collect::<Vec<_>>());
    }
}

/// How often a reading stands on the drawing by itself.
fn readings(svg: &Svg, reading: &str) -> usize {
    svg.texts.iter().filter(|text| text.text == reading).count()
}

/// A frame mitred at 45°: its short point is its long one less two widths (*common practice*): 800 − 2 · 95 = 610, so the
/// inner edge runs from 95 to 705.
#[test]
fn square_mitres() {
    let svg = parts(&build(vec![mitred(800.0, 95.0, 45.0)]), mm(), Paper::A4Portrait);
    check_words(&svg, &["Both ends mitred 45.0° on the face", "A: 1 off", "800 along the grain", "95 wide, 28 thick"]);
    // 95 is the start of the inner edge and the width.
    assert_eq!((readings(&svg, "95"), readings(&svg, "705"), readings(&svg, "800")), (2, 1, 1));
    assert_eq!(readings(&svg, "45.0°"), 2);
    assert!(!says(&svg, "Edge, seen"));
}

/// A hexagon is mitred at 180° / 6 = 30°; each end loses w · tan 30°: 95 · 0.57735 = 54.85. Walls that stand plumb are
/// bevelled at 30° instead; 20 · tan 30° = 11.547 of 400 is lost behind.
#[test]
fn hexagons() {
    let svg = parts(&build(vec![mitred(500.0, 95.0, 30.0)]), mm(), Paper::A4Portrait);
    check_words(&svg, &["mitred 30.0° on the face"]);
    assert_eq!((readings(&svg, "55"), readings(&svg, "445")), (1, 1));
    let svg = parts(&around_a_tree(6, 1), mm(), Paper::A4Portrait);
    check_words(
        &svg,
        &["Both ends bevelled: saw square across, blade tilted 30.0°, this face the longer", "A: 6 off", "B: 6 off"],
    );
    assert_eq!((readings(&svg, "12"), readings(&svg, "388"), readings(&svg, "30.0°")), (1, 1, 4));
}

/// Compound angles for N equal sides leaning S: saw atan(tan(180°/N) · sin S), tilt asin(sin(180°/N) · cos S) (*common
/// practice*). N = 4, S = 12°: 11.75° and 43.77°.
#[test]
fn compound_cuts() {
    let (lean, half) = (12.0_f64.to_radians(), 45.0_f64.to_radians());
    let saw = libm::atan(libm::tan(half) * libm::sin(lean)).to_degrees();
    let tilt = libm::asin(libm::sin(half) * libm::cos(lean)).to_degrees();
    let svg = parts(&tapered(), mm(), Paper::A4Portrait);
    check_words(&svg, &[&format!("saw {saw:.1}° on the face, blade tilted {tilt:.1}°")]);
    assert_eq!((format!("{saw:.1}"), format!("{tilt:.1}")), ("11.7".to_owned(), "43.8".to_owned()));
    // The lower course is 2 · 150 · sin 12° · tan 45° = 62.4 longer above than below: 500 and 562.4; each end 31.2.
    assert!(readings(&svg, "31") >= 1 && readings(&svg, "562") >= 1 && readings(&svg, "531") >= 1);
}

/// A top 90 wide with a flat of 10 that falls 40 to each edge: 45° from square on both sides, shoulders at 900 − 40.
#[test]
fn pointed_tops() {
    let planes = vec![plane([-1.0, 0.0, 1.0], [40.0, 0.0, 900.0]), plane([1.0, 0.0, 1.0], [50.0, 0.0, 900.0])];
    let svg = parts(&upright(planes), mm(), Paper::A4Portrait);
    check_words(&svg, &["pointed, flat 10, rise 40, each side 45.0° from square", "Lower end (left) square"]);
    for reading in ["860", "900", "40", "50", "90"] {
        assert!(readings(&svg, reading) >= 1, "{reading}");
    }
}

/// A sloped top is a mitre: 30 over 90 is atan(1/3) = 18.4°.
#[test]
fn sloped_tops() {
    let svg = parts(&upright(vec![plane([-30.0, 0.0, 90.0], [90.0, 0.0, 900.0])]), mm(), Paper::A4Portrait);
    check_words(&svg, &["Upper end (right) mitred 18.4° on the face"]);
    assert!(readings(&svg, "870") == 1 && readings(&svg, "900") == 1);
}

/// A top rounded by planes that touch its arc: 90 wide, rise 30: r = (45² + 30²) / (2 · 30) = 48.75, its centre 48.75
/// below the top.
#[test]
fn rounded_tops() {
    let radius: f64 = (45.0 * 45.0 + 900.0) / 60.0;
    let reach = libm::asin(45.0 / radius);
    let touch = |i: i32| {
        let angle = reach * (2.0 * f64::from(i) / 7.0 - 1.0);
        let (sin, cos) = libm::sincos(angle);
        plane([sin, 0.0, cos], [45.0 + radius * sin, 0.0, 900.0 - radius + radius * cos])
    };
    let svg = parts(&upright((0..8).map(touch).collect()), mm(), Paper::A4Portrait);
    check_words(&svg, &["rounded, radius 49, rise 30"]);
    // The shoulders stand on both edges.
    for (reading, times) in [("870", 2), ("851", 1), ("900", 1), ("45", 1)] {
        assert_eq!(readings(&svg, reading), times, "{reading}");
    }
}

/// A post of 90 × 70 with one edge planed 30° off square is 90 on one face and 90 − 70 · tan 30° = 49.6 on the other.
#[test]
fn planed_posts() {
    let (sin, cos) = libm::sincos(30.0_f64.to_radians());
    let post = board([Axis::Z, Axis::X], [600.0, 90.0, 70.0], [vec![plane([-cos, sin, 0.0], [0.0; 3])], Vec::new()]);
    let svg = parts(&build(vec![post]), mm(), Paper::A4Portrait);
    check_words(
        &svg,
        &[
            "planed or ripped along its length, 30.0° off square",
            "90 here, 50 on the other face",
            "Both ends square",
            "End, seen",
        ],
    );
}

/// Two boards that a mirror makes of one another are told apart; the four of a frame are alike and have no hand.
#[test]
fn left_and_right_hands() {
    let handed = |thick: f64| {
        let ends = [Vec::new(), vec![plane([1.0, thick, 0.5], [450.0, 10.0, 50.0])]];
        board([Axis::X, Axis::Z], [500.0, 100.0, 20.0], ends)
    };
    let svg = parts(&build(vec![handed(0.4), handed(-0.4), mitred(800.0, 95.0, 45.0)]), mm(), Paper::A4Portrait);
    check_words(&svg, &["The mirror image of A:", "The mirror image of B:"]);
    assert!(!says(&svg, "The mirror image of C"));
}

#[test]
fn square_parts_have_no_drawing() {
    assert!(parts_in_pages(&whole_planter(), mm(), Paper::A4Portrait).is_empty());
    assert!(says(&parts(&whole_planter(), mm(), Paper::A4Portrait), "All parts are square"));
}
