//! Floors and liners in other outlines than a rectangle.

use crate::workshop::{build, built, corners, lengths, near, notes, parts, told, value};
use measure::Length;
use model::build::Build;
use model::part::{Axis, Part};

const SLATS: &str = "board = \"pine-90\"\ngap = { want = 10, from = 2, to = 18 }\n";

/// An L of 20 mm boards, 2400 × 1800 inside, its front arm 600 deep and its left arm as wide as said.
fn ell(left_arm: u32, floor: &str) -> String {
    format!(
        "[piece.bed]\nis = \"walls\"\noutline = \"L\"\nlength = {{ exactly = 2440 }}\nwidth = {{ exactly = 1840 }}\nfront-arm = {{ exactly = 640 }}\n\
         left-arm = {{ exactly = {} }}\nheight = {{ exactly = 435 }}\nboard = \"larch-145\"\n[piece.floor]\nis = \"floor\"\nin = \"bed\"\n{floor}",
        left_arm + 40
    )
}

/// A regular outline of 20 mm boards.
fn regular(outline: &str, side: u32, floor: &str) -> String {
    format!(
        "[piece.bed]\nis = \"walls\"\noutline = \"{outline}\"\nlength = {{ exactly = {side} }}\nheight = {{ exactly = 435 }}\nboard = \"larch-145\"\n\
         [piece.floor]\nis = \"floor\"\nin = \"bed\"\n{floor}"
    )
}

/// 24 slats of 90 and 25 gaps of 9.6 in 2400. Seven end before 9.6 + 6 × 99.6 + 90 = 697.2 and so within the arm of 700: they are
/// 1800 long less 2 × 3, the others 600 less as much. All by hand.
#[test]
fn slats_in_an_ell() {
    let build = built(&ell(700, &format!("{SLATS}play = 3\n")));
    assert_eq!(lengths(&build, "floor", "slat"), [(7, Length::mm(1794)), (17, Length::mm(594))]);
    assert_eq!(value(&build, "floor.front.gap"), 9_600_000);
    let slats = corners(&build, "floor", "slat");
    assert_eq!((slats[6].2, slats[7].2), ([20.0 + 607.2, 23.0, 0.0], [20.0 + 706.8, 23.0, 0.0]));
    assert_eq!(value(&build, "floor.front.slat-7.length"), 1_794_000_000);
    assert_eq!(value(&build, "floor.front.slat-8.length"), 594_000_000);
    assert!(!notes(&build, "floor").contains("cut short"), "{}", notes(&build, "floor"));
}

/// In an arm of 760 the eighth slat, from 706.8 to 796.8, crosses the inside corner's line: from the seventh, which ends at 697.2,
/// to there 62.8 stay open behind it.
#[test]
fn a_slat_that_meets_the_inside_corner() {
    let build = built(&ell(760, SLATS));
    assert_eq!(lengths(&build, "floor", "slat"), [(7, Length::mm(1800)), (17, Length::mm(600))]);
    let notes = notes(&build, "floor");
    assert!(
        notes.contains("Slat 8 of floor meets the inside corner and is cut short: beyond it 63 mm stay open"),
        "{notes}"
    );
}

/// Along the front 18 slats fill 1800 (gaps 180 / 19): the first six end at 6 × 180 / 19 + 540 = 596.8, within the front arm of 600.
#[test]
fn slats_along_in_an_ell() {
    let build = built(&ell(700, &format!("{SLATS}boards = \"along\"\n")));
    assert_eq!(lengths(&build, "floor", "slat"), [(6, Length::mm(2400)), (12, Length::mm(700))]);
    assert!(parts(&build, "floor", "slat").iter().all(|slat| slat.at.along == Axis::X && slat.is_box()));
    // Boards that give 1790 do not give 2400.
    let short = ell(700, &SLATS.replace("pine-90", "rail-45")) + "boards = \"along\"\n";
    assert!(build_fails(&short, "the slats of floor must come out"));
}

fn build_fails(text: &str, limit: &str) -> bool {
    build(text).expect_err("too long").join("\n").contains(limit)
}

/// Two panels: 2400 × 600 along the front, and behind it 700 × 1200, each less the play at the walls.
#[test]
fn panels_in_an_ell() {
    let build = built(&ell(700, "sheet = \"ply\"\nplay = 2\n"));
    assert_eq!(lengths(&build, "floor", "panel"), [(1, Length::mm(2396)), (1, Length::mm(1200))]);
    let panels = corners(&build, "floor", "panel");
    assert_eq!((panels[0].2, panels[1].2), ([22.0, 22.0, 0.0], [22.0, 20.0 + 598.0, 0.0]));
    let [first, second] = [0, 1].map(|at| parts(&build, "floor", "panel")[at].clone());
    assert_eq!((first.solid.width, first.at.along), (Length::mm(596), Axis::X));
    assert_eq!((second.solid.width, second.at.along), (Length::mm(696), Axis::Y));
    assert_eq!(second.far_corner()[1], Length::mm(20 + 1800 - 2));
    assert_eq!(value(&build, "floor.front.panel-2.length"), 1_200_000_000);
    assert!(notes(&build, "floor").contains("butt 598 mm from the front"), "{}", notes(&build, "floor"));
    // Holes of 20 at most 300 apart: ⌈2396 / 300⌉ × ⌈596 / 300⌉ = 8 × 2, and 4 × 3 in the panel of 1200 × 696.
    let drilled = built(&ell(700, "sheet = \"ply\"\nplay = 2\ndrain-hole = 20\ndrain-spacing = 300\n"));
    assert_eq!((value(&drilled, "floor.drain-1.count"), value(&drilled, "floor.drain-2.count")), (16, 12));
    let step = drilled.steps.iter().find(|step| step.piece == "floor").expect("a step");
    assert!(step.what.contains("Drill 16 drain holes of 20 mm through the first panel"), "{}", step.what);
    assert!(step.what.contains("and 12 drain holes of 20 mm through the second one"), "{}", step.what);
}

/// Half of how far a regular polygon of this apothem reaches from front to back, front and back summed, at `x` from its middle:
/// by the distances of its sides from the middle, with the front at -90°.
fn reach_at(count: u32, apothem: f64, x: f64) -> f64 {
    let (mut up, mut down) = (f64::INFINITY, f64::INFINITY);
    for side in 0..count {
        let angle = (f64::from(side) / f64::from(count) * 360.0 - 90.0).to_radians();
        let (cos, sin) = (libm::cos(angle), libm::sin(angle));
        if sin.abs() <= 1e-9 {
            up = if x * cos > apothem { f64::NEG_INFINITY } else { up };
        } else if sin > 0.0 {
            up = up.min((apothem - x * cos) / sin);
        } else {
            down = down.min((apothem - x * cos) / -sin);
        }
    }
    (up + down).max(0.0)
}

fn area(part: &Part) -> f64 {
    part.volume().expect("a part").cubic_nanometres() as f64 / 1e18 / part.solid.thickness.as_mm()
}

/// Of every regular outline each slat covers the polygon over its own strip, and all of them the whole polygon but what lies over
/// the gaps: by the area n a² tan(180° / n) of a polygon of apothem a and a sum over narrow strips.
#[test]
fn slats_cover_a_regular_outline_but_for_the_gaps() {
    for (outline, count, side) in [
        ("triangle", 3, 1600),
        ("pentagon", 5, 800),
        ("hexagon", 6, 800),
        ("octagon", 8, 600),
        ("decagon", 10, 500),
        ("dodecagon", 12, 400),
    ] {
        let build = built(&regular(outline, side, SLATS));
        let tan = libm::tan(std::f64::consts::PI / f64::from(count));
        let apothem = f64::from(side) / 2.0 / tan - 20.0;
        let middle = first_corner(&build) + f64::from(side) / 2.0;
        let half = value(&build, "floor.front.reach") as f64 / 2e6;
        let slats = parts(&build, "floor", "slat");
        let over = |from: f64, to: f64| {
            let steps = 4_000;
            let wide = (to - from) / f64::from(steps);
            let at = |step: i32| reach_at(count, apothem, from + (f64::from(step) + 0.5) * wide - middle) * wide;
            (0..steps).map(at).sum::<f64>()
        };
        let (mut covered, mut open, mut end) = (0.0, 0.0, middle - half);
        for slat in &slats {
            let from = slat.near_corner()[0].as_mm();
            near(area(slat), over(from, from + 90.0), 0.5);
            covered += area(slat);
            open += over(end, from);
            end = from + 90.0;
        }
        open += over(end, middle + half);
        let whole = f64::from(count) * apothem * apothem * tan;
        assert!((covered + open - whole).abs() < 20.0, "{outline}: {covered} and {open} of {whole}");
        assert!(covered > 0.8 * whole, "{outline}: {covered} of {whole}");
    }
}

/// Where the front of the walls begins along x.
fn first_corner(build: &Build) -> f64 {
    let front = build.outlines.iter().find(|outline| outline.piece == "bed").expect("an outline");
    front.corners[0][0].as_mm()
}

/// A hexagon of 800 outside is 800 - 40 / √3 = 776.906 inside, and 1553.812 from corner to corner. 15 slats of 90 leave 203.812 for
/// 16 gaps of 12.738; the first slat ends 102.738 in, where the room is 2 √3 × 102.738 = 355.895 deep; those in the middle are √3 ×
/// 776.906 = 1345.641 long, with square ends.
#[test]
fn slats_in_a_hexagon_by_hand() {
    let build = built(&regular("hexagon", 800, SLATS));
    let slats = parts(&build, "floor", "slat");
    assert_eq!(slats.len(), 15);
    near(value(&build, "floor.front.reach") as f64 / 1e6, 1553.812, 1e-3);
    near(value(&build, "floor.front.gap") as f64 / 1e6, 12.738, 1e-3);
    near(slats[0].solid.length.as_mm(), 355.895, 1e-2);
    assert_eq!(slats[0].solid.ends.each_ref().map(Vec::len), [1, 1]);
    near(slats[7].solid.length.as_mm(), 1345.641, 1e-3);
    assert!(slats[7].is_box());
    // With play along the slats' ends every end is that much shorter, measured square to the wall: 2 × 3 / sin 30° at a slant.
    let play = built(&regular("hexagon", 800, &format!("{SLATS}play = 3\n")));
    let slats = parts(&play, "floor", "slat");
    near(slats[7].solid.length.as_mm(), 1339.641, 1e-3);
    near(slats[0].solid.length.as_mm(), 355.895 - 12.0, 1e-2);
    let step = build.steps.iter().find(|step| step.piece == "floor").expect("a step");
    assert_eq!(step.what, "Cut to the slant of the walls and lay the slats of floor in bed, by the marks of the rod");
}

/// An octagon of 420 outside, 400.000 ± inside: 420 - 40 (√2 - 1) = 403.431; less 2 of play 401.775 and so 969.97 across. Holes of 20
/// at most 200 apart are five each way, 193.99 apart; of those only the four in the corners lie beyond the slants, |x| + |y| ≤
/// √2 × (969.97 / 2 - 20) = 657.6: 387.99 + 387.99 does not, 387.99 + 193.99 does.
#[test]
fn a_panel_in_an_octagon() {
    let floor = "sheet = \"ply\"\nplay = 2\ndrain-hole = 20\ndrain-spacing = 200\n";
    let build = built(&regular("octagon", 420, floor));
    let panel = parts(&build, "floor", "panel")[0];
    near(panel.solid.length.as_mm(), 969.97, 1e-2);
    assert_eq!(panel.solid.length, panel.solid.width);
    assert_eq!(panel.solid.ends.each_ref().map(Vec::len), [2, 2]);
    let side = 401.775;
    near(area(panel), 2.0 * (1.0 + libm::sqrt(2.0)) * side * side, 20.0);
    assert_eq!(value(&build, "floor.drain.count"), 21);
    // 21 holes of 20 are 6597 mm² of 779 372.
    assert_eq!(value(&build, "floor.drain.share"), 84);
    assert!(notes(&build, "floor").contains("take 0.84 % of the base"));
    let step = build.steps.iter().find(|step| step.piece == "floor").expect("a step");
    assert!(step.what.starts_with("Mark on a blank 970 × 970 millimetres, along and up from its front left corner, the corners 284 / 0, 686 / 0, 970 / 284,"), "{}", step.what);
    assert!(step.what.contains("cut it, drill 21 drain holes of 20 mm"), "{}", step.what);
    // A sheet of 1220 gives no octagon of 1300.
    assert!(build_fails(&regular("octagon", 560, floor), "a side of the panel of floor, cut from 2440 × 1220"));
}

/// A hexagon 776.906 inside (see above) reaches 1553.812 and 1345.641: with 435 up both sides and 100 over, 2623.812 × 2415.641; two
/// strips of 2000 that lap by 150.
#[test]
fn a_liner_in_a_hexagon() {
    let text = regular("hexagon", 800, SLATS) + "[piece.liner]\nis = \"liner\"\nin = \"bed\"\nroll = \"pond\"\n";
    let build = built(&text);
    near(value(&build, "liner.inside.along") as f64 / 1e6, 1553.812, 1e-3);
    near(value(&build, "liner.length") as f64 / 1e6, 2623.812, 1e-3);
    near(value(&build, "liner.width") as f64 / 1e6, 2415.641, 1e-3);
    assert_eq!(value(&build, "liner.off-roll"), 2 * value(&build, "liner.length"));
}

#[test]
fn what_is_for_rectangles_is_told() {
    let hexagon = |floor: &str| told(&regular("hexagon", 800, floor));
    assert_eq!(hexagon("sheet = \"ply\"\nplay = 2\nfall = 8\n"), "`fall` is for a rectangle, and `floor` lies in none");
    assert_eq!(
        hexagon(&format!("{SLATS}bearer = \"rail-45\"\nheight = 30\n")),
        "`bearer` is for a rectangle, and `floor` lies in none"
    );
    assert_eq!(
        told(&ell(700, &format!("{SLATS}bearer = \"rail-45\"\nheight = 30\n"))),
        "`bearer` is for a rectangle, and `floor` lies in none"
    );
    // 45 wide in the tip of a triangle, with 20 of play at either end.
    let narrow = "board = \"rail-45\"\nboards = \"along\"\ngap = { want = 10, from = 2, to = 18 }\nplay = 20\n";
    let short = told(&regular("triangle", 1600, narrow));
    assert!(short.contains("of `floor` would be") && short.contains("50 mm is the least"), "{short}");
}
