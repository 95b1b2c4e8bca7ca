//! Claddings: patterns, two layers, shaped tops, mitred level boards, corners that are not right angles.

use crate::workshop::{MICROMETRE, built, contact, is_sound, lengths, near, parts, quantity, told, volume};
use measure::Length;
use model::build::Roles;
use std::f64::consts::PI;

fn mm(length: i64) -> Length {
    Length::mm(length)
}

fn wall(length: &str, width: &str, more: &str) -> String {
    format!(
        "[piece.box]\nis = \"walls\"\nlength = {length}\nwidth = {width}\nheight = {{ exactly = 400 }}\nboard = \"slat\"\n{more}\n"
    )
}

fn exact(length: i64, width: i64) -> String {
    wall(&format!("{{ exactly = {length} }}"), &format!("{{ exactly = {width} }}"), "")
}

fn skin(more: &str) -> String {
    format!("[piece.skin]\nis = \"cladding\"\non = \"box\"\n{more}\n")
}

/// The starts of a row along the front, from its left end, in millimetres.
fn front_starts(build: &model::build::Build, role: &str) -> Vec<f64> {
    let front = parts(build, "skin", role).into_iter().filter(|part| part.key.face == "front");
    front.map(|part| part.near_corner()[0].as_mm()).collect()
}

/// 100-40-100-…-100 on 1000 with the front running past 20 at both ends: F = 1040 = n (100 + 40) + 100 + 2 n g. With n = 6 the gap is
/// (1040 − 940) / 12 = 8.333 (worked by hand).
#[test]
fn a_pattern_begins_and_ends_alike() {
    let text = exact(1000, 600)
        + &skin(
            "pattern = [\"slat\", \"lath\"]\ngap = { want = 8, from = 5, to = 12 }\ncorners = \"front through\"\nfaces = [\"front\", \"right\", \"left\"]",
        );
    let build = built(&text);
    is_sound(&build);
    let row = build.rows.iter().find(|row| row.piece == "skin" && row.face == "front").expect("a row");
    assert_eq!(
        (row.count, row.length, row.gaps.map(|gaps| (gaps.total(), gaps.places()))),
        (13, mm(1040), Some((mm(100), 12)))
    );
    let front: Vec<_> = parts(&build, "skin", "board").into_iter().filter(|part| part.key.face == "front").collect();
    let widths: Vec<Length> = front.iter().map(|part| part.solid.width).collect();
    assert_eq!(widths, [100, 40, 100, 40, 100, 40, 100, 40, 100, 40, 100, 40, 100].map(mm));
    assert_eq!(front[0].near_corner()[0], mm(-20));
    assert_eq!(front[12].far_corner()[0], mm(1020));
    near(front[2].near_corner()[0].as_mm(), -20.0 + 140.0 + 2.0 * 100.0 / 12.0, 1e-6);
    assert_eq!(quantity(&build, "skin.front.gap").value.value, 8_333_333);
}

/// Whole repeats: F = 1040 = n (140) + (2 n − 1) g; n = 7 leaves 60 over 13.
#[test]
fn a_pattern_in_whole_repeats() {
    let text = exact(1000, 600)
        + &skin(
            "pattern = [\"slat\", \"lath\"]\npattern-ends = \"whole\"\ngap = { want = 5, from = 4, to = 6 }\nfaces = [\"front\", \"right\", \"left\"]",
        );
    let build = built(&text);
    is_sound(&build);
    let row = build.rows.iter().find(|row| row.piece == "skin" && row.face == "front").expect("a row");
    assert_eq!((row.count, row.gaps.map(|gaps| (gaps.total(), gaps.places()))), (14, Some((mm(60), 13))));
}

/// Board on board: the back row closes on 1080 (two layers of 20 round each corner): eight boards of 100 leave seven gaps of 40, each
/// covered by a board that lies 30 over both neighbours (b − 2 o = 100 − 60, the overlap rule of the trade, *common practice*).
#[test]
fn board_on_board() {
    let text = exact(1000, 600)
        + &skin("board = \"slat\"\nboards = \"board on board\"\ngap = { want = 40, from = 20, to = 60 }");
    let build = built(&text);
    is_sound(&build);
    assert_eq!(front_starts(&build, "board"), [-40.0, 100.0, 240.0, 380.0, 520.0, 660.0, 800.0, 940.0]);
    assert_eq!(front_starts(&build, "cover"), [30.0, 170.0, 310.0, 450.0, 590.0, 730.0, 870.0]);
    assert_eq!(quantity(&build, "skin.front.overlap").value.value, 30_000_000);
    let front =
        |role: &str| parts(&build, "skin", role).into_iter().find(|part| part.key.face == "front").expect("one");
    assert_eq!((front("board").near_corner()[1], front("cover").near_corner()[1]), (mm(-20), mm(-40)));
    near(contact(front("cover"), front("board")), 30.0 * 400.0, MICROMETRE);
    // The sides end hard behind the front: from 0 to 600, without a joint.
    let side: Vec<_> = parts(&build, "skin", "board").into_iter().filter(|part| part.key.face == "right").collect();
    assert_eq!((side[0].near_corner()[1], side[side.len() - 1].far_corner()[1]), (mm(0), mm(600)));
    let outline = build.outlines.iter().find(|outline| outline.piece == "skin").expect("an outline");
    assert_eq!(outline.corners[2], [mm(1040), mm(640)]);
}

#[test]
fn too_little_overlap_is_noted() {
    let text = |gap: i64| {
        exact(1000, 600)
            + &skin(&format!(
                "board = \"slat\"\nboards = \"board on board\"\ngap = {{ want = {gap}, from = 20, to = 95 }}"
            ))
    };
    let notes =
        |gap: i64| built(&text(gap)).notes.iter().filter(|note| note.text.contains("lie over one another")).count();
    assert_eq!((notes(40), notes(90)), (0, 4));
}

/// The wood of shaped tops: width × height × thickness less triangles, or with the arc's tangents in place of the arc.
#[test]
fn shaped_tops() {
    let (b, t, h) = (100.0, 20.0, 400.0);
    let arc = |rise: f64| {
        // The polygon of 8 tangents at equal angles between the tangents at the edges, cut off at the top: by the shoelace formula.
        let radius = (b * b / 4.0 + rise * rise) / (2.0 * rise);
        let half = (b / 2.0 / radius).asin();
        let step = 2.0 * half / 7.0;
        let point = |place: f64| {
            let angle = -half + (place + 0.5) * step;
            let far = radius / (step / 2.0).cos();
            (far * angle.sin(), far * angle.cos() - radius + rise)
        };
        let mut ring = vec![(-b / 2.0, 0.0)];
        ring.extend((0..7).map(|place| point(f64::from(place))));
        ring.push((b / 2.0, 0.0));
        let twice: f64 = ring.windows(2).map(|ends| ends[1].0 * ends[0].1 - ends[0].0 * ends[1].1).sum();
        // The corner that stands above the top is cut off at it.
        let (x, y) = point(2.0);
        let (peak_x, peak_y) = point(3.0);
        let over = (peak_y - rise).max(0.0);
        let run = (peak_x - x) / (peak_y - y) * over;
        twice / 2.0 - over * run
    };
    let cases: [(&str, f64); 5] = [
        ("top = \"sloped\"\nrise = 30", b * (h - 15.0)),
        ("top = \"pointed\"\nrise = 25", b * (h - 12.5)),
        ("top = \"pointed\"\nrise = 25\nflat = 20", b * h - 2.0 * 40.0 * 25.0 / 2.0),
        ("top = \"rounded\"\nrise = 20", b * (h - 20.0) + arc(20.0)),
        ("top = \"rounded\"\nrise = 50", b * (h - 50.0) + arc(50.0)),
    ];
    for (top, area) in cases {
        let text = exact(1000, 600)
            + &skin(&format!(
                "board = \"slat\"\ngap = {{ want = 8, from = 3, to = 20 }}\ncorners = \"pinwheel\"\n{top}"
            ));
        let build = built(&text);
        is_sound(&build);
        let boards = parts(&build, "skin", "board");
        near(volume(&build, "skin") / boards.len() as f64, area * t, 0.1);
        // Every face is shaped alike: all boards have one volume.
        for board in &boards {
            near(board.shape().expect("a board").volume(), area * t, 0.1);
        }
    }
}

/// A half circle on a board of 100: its tangents lie between the area of the circle and that of the rectangle around it.
#[test]
fn a_rounded_top_touches_its_arc() {
    let text = exact(1000, 600)
        + &skin("board = \"slat\"\ngap = { want = 8, from = 3, to = 20 }\ntop = \"rounded\"\nrise = 50");
    let build = built(&text);
    let board = parts(&build, "skin", "board").into_iter().find(|part| part.key.face == "front").expect("a board");
    let shape = board.shape().expect("a board");
    let middle = board.near_corner()[0].as_mm() + 50.0;
    for corner in shape.corners().iter().filter(|corner| corner[2] > 350.0) {
        let off = ((corner[0] - middle).powi(2) + (corner[2] - 350.0).powi(2)).sqrt() - 50.0;
        assert!((-MICROMETRE..50.0 / 38.0).contains(&off), "{off}");
    }
    assert_eq!(quantity(&build, "skin.top.radius").value.value, 50_000_000);
    assert_eq!(quantity(&build, "skin.top.lost").value.value, 10_730_092);
    assert_eq!(quantity(&build, "skin.top.shoulder").value.value, 350_000_000);
}

/// A sloped top is low at the left edge of every board as one stands before its face.
#[test]
fn sloped_tops_fall_to_the_left() {
    let text = exact(1000, 600)
        + &skin("board = \"slat\"\ngap = { want = 8, from = 3, to = 20 }\ntop = \"sloped\"\nrise = 30");
    let build = built(&text);
    let outwards = [("front", 0, -1.0), ("right", 1, -1.0), ("back", 0, 1.0), ("left", 1, 1.0)];
    for (face, axis, sense) in outwards {
        let board = parts(&build, "skin", "board").into_iter().find(|part| part.key.face == face).expect("a board");
        let shape = board.shape().expect("a board");
        // Left, as one faces it from outside: towards less x on the front, less y on the right, more x on the back, more y on the left.
        let left = shape.corners().iter().filter(|corner| corner[2] > 100.0);
        let left = left.max_by(|a, b| (a[axis] * sense).total_cmp(&(b[axis] * sense))).expect("a corner");
        near(left[2], 370.0, MICROMETRE);
    }
    near(quantity(&build, "skin.top.cut").value.value as f64 / 1e6, (30.0_f64 / 100.0).atan().to_degrees(), 1e-6);
    assert_eq!(quantity(&build, "skin.top.lost").value.value, 15_000_000);
}

/// Pointed tops of a pattern are marked for each width.
#[test]
fn tops_of_a_pattern() {
    let text = exact(1000, 600)
        + &skin(
            "pattern = [\"slat\", \"lath\"]\ngap = { want = 8, from = 3, to = 20 }\ntop = \"pointed\"\nrise = 25\nflat = 20",
        );
    let build = built(&text);
    is_sound(&build);
    assert_eq!(quantity(&build, "skin.top-1.run").value.value, 40_000_000);
    assert_eq!(quantity(&build, "skin.top-2.run").value.value, 10_000_000);
    // 40 wide: two triangles 10 by 25 off it are 250 mm², 6.25 over 40.
    assert_eq!(quantity(&build, "skin.top-2.lost").value.value, 6_250_000);
}

/// Level boards mitred round a box: 2 × (L + 2t), 2 × (W + 2t) to the long points, touching all over.
#[test]
fn level_boards_are_mitred() {
    let text = exact(1000, 600) + &skin("board = \"slat\"\nboards = \"level\"\ngap = 0\ncorners = \"mitred\"");
    let build = built(&text);
    is_sound(&build);
    assert_eq!(lengths(&build, "skin", "board"), [(8, mm(1040)), (8, mm(640))]);
    near(volume(&build, "skin"), (1040.0 * 640.0 - 1000.0 * 600.0) * 400.0, 1e-2);
    // A bare neighbour leaves a square end.
    let some = exact(1000, 600)
        + &skin("board = \"slat\"\nboards = \"level\"\ngap = 0\ncorners = \"mitred\"\nfaces = [\"front\", \"right\"]");
    let some = built(&some);
    is_sound(&some);
    assert_eq!(lengths(&some, "skin", "board"), [(4, mm(1020)), (4, mm(620))]);
}

/// Round a hexagon upright boards stop at the corners, level ones are mitred: side + 2 t tan 30°.
#[test]
fn a_hexagon_is_clad() {
    let hexagon = "[piece.box]\nis = \"walls\"\noutline = \"hexagon\"\nlength = { exactly = 900 }\nheight = { exactly = 400 }\nboard = \"slat\"\n";
    let upright = built(&(hexagon.to_owned() + &skin("board = \"slat\"\ngap = { want = 12.5, from = 5, to = 20 }")));
    is_sound(&upright);
    // Eight boards leave 100 for seven gaps.
    assert_eq!(lengths(&upright, "skin", "board"), [(48, mm(400))]);
    assert_eq!(quantity(&upright, "skin.side-4.gap").value.value, 14_285_714);
    let level = built(&(hexagon.to_owned() + &skin("board = \"slat\"\nboards = \"level\"\ngap = 0")));
    is_sound(&level);
    let found = lengths(&level, "skin", "board");
    assert_eq!(found.len(), 1);
    near(found[0].1.as_mm(), 900.0 + 40.0 * (PI / 6.0).tan(), 3e-6);
    let pointed = built(
        &(hexagon.to_owned()
            + &skin("board = \"slat\"\ngap = { want = 12.5, from = 5, to = 20 }\ntop = \"pointed\"\nrise = 30")),
    );
    is_sound(&pointed);
    near(volume(&pointed, "skin"), 48.0 * 100.0 * 20.0 * (400.0 - 15.0), 1.0);
    let wrong = |more: &str| told(&(hexagon.to_owned() + &skin(more)));
    assert_eq!(
        wrong("board = \"slat\"\ngap = 5\ncorners = \"pinwheel\""),
        "corners that are not right angles cannot be `pinwheel`"
    );
}

#[test]
fn boards_are_screwed_to_what_they_lie_on() {
    let text = exact(1000, 600) + &skin("board = \"slat\"\ngap = { want = 8, from = 3, to = 20 }\nscrew = \"deck\"");
    let build = built(&text);
    let roles = |piece: &str| Roles { piece: piece.into(), role: "board".into() };
    let fixing = build.fixings.iter().find(|fixing| fixing.held == roles("skin")).expect("the boards are screwed");
    assert!(fixing.base == roles("box") && fixing.load == model::build::Load::Own && fixing.each.is_none());
}

#[test]
fn what_nothing_holds_is_told_unless_an_extra_does() {
    let skin = skin("board = \"slat\"\ngap = { want = 8, from = 3, to = 20 }");
    let extra = |of: &str, does: &str| {
        format!("[piece.{of}-things]\nis = \"extra\"\nof = \"{of}\"\nwhat = \"brackets\"\n{does}")
    };
    let held = |more: &str| {
        let build = built(&(exact(1000, 600) + &skin + more));
        let unheld = build.notes.iter().filter(|note| note.text.starts_with("Nothing in this plan holds "));
        unheld.map(|note| note.piece.clone()).collect::<Vec<String>>()
    };
    let holds = "does = \"holds\"\n";
    assert_eq!(held(""), ["skin", "box"]);
    assert_eq!(held(&extra("skin", "")), ["skin", "box"]);
    assert_eq!(held(&extra("skin", "does = \"carries\"\n")), ["skin", "box"]);
    assert_eq!(held(&extra("skin", holds)), ["box"]);
    assert_eq!(held(&(extra("skin", holds) + &extra("box", holds))), [""; 0]);
}

#[test]
fn what_cannot_be_is_told() {
    let one = |more: &str| exact(1000, 600) + &skin(more);
    let leaning = wall("{ exactly = 1000 }", "{ exactly = 600 }", "batter = 50") + &skin("board = \"slat\"\ngap = 5");
    let cases: [(String, &str); 20] = [
        (one("gap = 5"), "`skin` needs `board`"),
        (
            one("board = \"slat\"\npattern = [\"slat\", \"lath\"]\ngap = 5"),
            "a cladding is of one `board` or of a `pattern`, not of both",
        ),
        (one("pattern = [\"slat\"]\ngap = 5"), "a pattern is of two boards or more"),
        (one("pattern = [\"slat\", \"thick\"]\ngap = 5"), "the boards of a pattern are not all of one thickness"),
        (one("pattern = [\"slat\", \"lath\"]\nboards = \"level\"\ngap = 5"), "only upright boards come in a pattern"),
        (one("pattern = [\"slat\", \"lat\"]\ngap = 5"), "no board called `lat` in the yard"),
        (one("board = \"slat\"\npattern-ends = \"whole\"\ngap = 5"), "boards that are all alike have no pattern"),
        (
            one("board = \"slat\"\nboards = \"board on board\"\ngap = 100"),
            "boards 100 mm wide do not cover gaps that may be 100 mm",
        ),
        (
            one("board = \"slat\"\nboards = \"board on board\"\ngap = 40\ncorners = \"pinwheel\""),
            "two layers of boards meet at the corners only where both run through or both stop",
        ),
        (one("board = \"slat\"\ngap = 5\ncorners = \"mitred\""), "upright boards are not mitred"),
        (
            one("board = \"slat\"\nboards = \"level\"\ngap = 0\ncorners = \"open\""),
            "level boards are not left open at the corners",
        ),
        (
            one("board = \"slat\"\nboards = \"level\"\ngap = 0\ntop = \"sloped\"\nrise = 5"),
            "level boards have no upper ends that could be shaped",
        ),
        (one("board = \"slat\"\ngap = 5\ntop = \"sloped\""), "`skin` needs `rise`"),
        (one("board = \"slat\"\ngap = 5\nrise = 20"), "a square top has no `rise`"),
        (one("board = \"slat\"\ngap = 5\ntop = \"sloped\"\nrise = 20\nflat = 5"), "only a pointed top has a `flat`"),
        (
            one("board = \"slat\"\ngap = 5\ntop = \"pointed\"\nrise = 20\nflat = 100"),
            "a flat of 100 mm leaves nothing of a board 100 mm wide to fall",
        ),
        (
            one("board = \"slat\"\ngap = 5\ntop = \"rounded\"\nrise = 51"),
            "a rise of 51 mm is more than half of a board 100 mm wide, so no arc goes through it",
        ),
        (one("board = \"slat\"\ngap = { want = 8, from = 3, to = 20 }\ntop = \"sloped\"\nrise = 380"), "collides"),
        (one("board = \"slat\"\ngap = 5\ntop = \"scalloped\"\nrise = 10"), "`top` cannot be `scalloped`"),
        (leaning, "the walls of `box` lean, and boards on them would not close"),
    ];
    for (text, expected) in cases {
        let told = told(&text);
        assert!(told.starts_with(expected), "{told}\ninstead of\n{expected}");
    }
}

/// In inches: 3-1/2 in boards on 46-1/4 in, eleven with ten gaps of 0.775 in (worked by hand).
#[test]
fn inches_are_exact() {
    let text = wall("{ exactly = \"46-1/4 in\" }", "{ exactly = \"24 in\" }", "")
        + &skin(
            "board = \"cedar\"\ngap = { want = \"3/4 in\", from = \"5/8 in\", to = \"7/8 in\" }\nfaces = [\"front\"]",
        );
    assert_eq!(quantity(&built(&text), "skin.front.gap").value.value, 19_685_000);
}
