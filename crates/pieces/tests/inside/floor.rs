//! Floors: slats and panels, their gaps, bearers, fall and drain holes.

use crate::workshop::{build, built, corners, lengths, near, notes, parts, told, value};
use measure::Length;
use model::build::Build;
use model::part::Axis;

fn planter(floor: &str) -> String {
    format!(
        "[piece.box]\nis = \"walls\"\nlength = {{ exactly = 477 }}\nwidth = {{ exactly = 477 }}\nheight = {{ exactly = 420 }}\noff-ground = 20\n\
         board = \"pine-140\"\ncorners = \"pinwheel\"\n[piece.floor]\nis = \"floor\"\nin = \"box\"\n{floor}"
    )
}

const SLATS: &str = "board = \"pine-90\"\ngap = { want = 10, from = 5, to = 15 }\n";

/// Four slats of 90 in 413 inside: gaps of 10.6, both ends too, the top of the floor 52 up; worked outside this project.
#[test]
fn four_slats() {
    let build = built(&planter(SLATS));
    assert_eq!(lengths(&build, "floor", "slat"), [(4, Length::mm(413))]);
    assert_eq!(value(&build, "floor.front.gap"), 10_600_000);
    let x: Vec<f64> = corners(&build, "floor", "slat").into_iter().map(|(_, _, corner)| corner[0]).collect();
    assert_eq!(x, [42.6, 143.2, 243.8, 344.4]);
    for slat in parts(&build, "floor", "slat") {
        assert_eq!((slat.at.along, slat.at.across), (Axis::Y, Axis::X));
        assert_eq!((slat.near_corner()[2], slat.far_corner()[2]), (Length::mm(20), Length::mm(52)));
    }
    assert!(
        notes(&build, "floor").contains("`play`")
            && notes(&build, "floor").contains("Nothing in this plan carries floor")
    );
}

/// Along the front, with play and off posts: in 413 less 2 × 70 are 273, two slats of 90 and three gaps of 31; long 273 - 2 × 3 = 267.
#[test]
fn slats_along_and_clear() {
    let keys = "board = \"pine-90\"\nboards = \"along\"\nclear = 70\nplay = 3\nheight = 40\ngap = { want = 30, from = 20, to = 40 }\n\
                bearer = \"rail-45\"\n[piece.posts]\nis = \"posts\"\nin = \"box\"\nboard = \"post-70\"\n";
    let build = built(&planter(keys));
    assert_eq!(lengths(&build, "floor", "slat"), [(2, Length::mm(267))]);
    assert_eq!(value(&build, "floor.right.gap"), 31_000_000);
    let slats = corners(&build, "floor", "slat");
    assert_eq!(slats, [("front".into(), 0, [105.0, 133.0, 60.0]), ("front".into(), 1, [105.0, 254.0, 60.0])]);
    // Two bearers under them, from front to back, flush with the clear inside: 102 and 375 - 45 = 330 along.
    let bearers = corners(&build, "floor", "bearer");
    assert_eq!(bearers, [("front".into(), 0, [102.0, 102.0, 40.0]), ("front".into(), 1, [330.0, 102.0, 40.0])]);
    assert_eq!(lengths(&build, "floor", "bearer"), [(2, Length::mm(273))]);
    assert_eq!(parts(&build, "floor", "bearer")[0].solid.thickness, Length::mm(20));
    // 40 up, off the walls and off the posts, the bearers lie on air.
    let told = notes(&build, "floor");
    assert!(
        told.starts_with("Nothing in this plan carries floor: its bearers rest on nothing.") && !told.contains('\n')
    );
}

/// Bearers on the ground, or on a stake or another part under each, carry; where one of them has nothing under it, that is told.
#[test]
fn bearers_that_rest_carry() {
    let on_ground = built(&planter(&format!("{SLATS}play = 3\nbearer = \"rail-45\"\n")));
    assert_eq!(parts(&on_ground, "floor", "bearer")[0].near_corner()[2], Length::ZERO);
    assert_eq!(notes(&on_ground, "floor"), "");
    let raised = built(&planter(&format!("{SLATS}play = 3\nheight = 1\nbearer = \"rail-45\"\n")));
    assert!(notes(&raised, "floor").contains("carries floor: its bearers"));
    // Slats that lie on the ground themselves.
    let low = built(&planter(&format!("{SLATS}play = 3\n")).replace("off-ground = 20", "off-ground = 0"));
    assert_eq!(notes(&low, "floor"), "");
}

const POSTS: &str = "[piece.posts]\nis = \"posts\"\nin = \"box\"\nboard = \"post-70\"\n";

/// Posts on a floor that hovers as their walls do: one note, which names all three. Feet of the posts, an `extra` that may be
/// feet, or walls on the ground: none.
#[test]
fn what_hovers_is_told_once() {
    let hovers = |build: &Build| notes(build, "box").contains("hovers");
    let keys = format!("{SLATS}play = 3\nheight = 20\nbearer = \"rail-45\"\n{POSTS}from = \"floor\"\n");
    let build = built(&planter(&keys));
    assert!(
        notes(&build, "box")
            .contains("Nothing in this plan carries box, posts and floor: all of it hovers 20 mm above the ground.")
    );
    assert_eq!((notes(&build, "floor"), notes(&build, "posts")), (String::new(), String::new()));
    let alone = built(&planter(&format!("{SLATS}play = 3\n")));
    assert!(notes(&alone, "box").contains("carries box: it hovers 20 mm above the ground."));
    let clear = format!("{SLATS}play = 3\nclear = 70\nheight = 40\nbearer = \"rail-45\"\n{POSTS}foot = 20\n");
    let clear = built(&planter(&clear.replace("want = 10, from = 5, to = 15", "want = 30, from = 10, to = 60")));
    assert!(!hovers(&clear) && notes(&clear, "floor").contains("carries floor: its bearers rest on nothing"));
    let feet = "[piece.feet]\nis = \"extra\"\nof = \"posts\"\ndoes = \"carries\"\nwhat = \"rubber foot\"\ncount = 4\n";
    assert!(!hovers(&built(&planter(&format!("{keys}{feet}")))));
    // What rests on nothing is told of the floor itself where the walls do stand.
    let low =
        built(&planter(&keys).replace("off-ground = 20", "off-ground = 0").replace("height = 20\n", "height = 40\n"));
    assert!(!hovers(&low) && notes(&low, "floor").contains("carries floor"));
}

/// Soil on a floor that ends 12 short of the walls falls through, beside one that ends 10 short it does not, and where nothing
/// is filled in nothing falls.
#[test]
fn soil_falls_through_beside_a_floor() {
    let fill = "[piece.soil]\nis = \"fill\"\nin = \"box\"\non = \"floor\"\nlayers = [{ what = \"soil\", bag = \"soil-50\", rest = true }]\n";
    let told =
        |clear: u32, more: &str| notes(&built(&planter(&format!("{SLATS}clear = {clear}\nplay = 2\n{more}"))), "floor");
    let wide = told(10, fill);
    assert!(
        wide.contains("floor ends 12 mm short of the faces of box") && wide.contains("turned up at the walls"),
        "{wide}"
    );
    assert!(!told(8, fill).contains("turned up") && !told(10, "").contains("turned up"));
    let liner = "[piece.lining]\nis = \"liner\"\nin = \"box\"\non = \"floor\"\nroll = \"pond\"\n";
    let lined = told(10, &format!("{liner}{fill}"));
    assert!(lined.contains("soil presses lining into that gap") && lined.contains("turned up at the walls"), "{lined}");
}

/// Bearers under slats that run across lie along the front, as many as needed: 413 - 45 = 368 over at most 200 are two bays.
#[test]
fn bearers_as_needed() {
    let build = built(&planter(&format!("{SLATS}height = 20\nbearer = \"rail-45\"\nspacing = 200\n")));
    let y: Vec<f64> = corners(&build, "floor", "bearer").into_iter().map(|(_, _, corner)| corner[1]).collect();
    assert_eq!(y, [32.0, 216.0, 400.0]);
    assert!(parts(&build, "floor", "bearer").iter().all(|bearer| bearer.at.along == Axis::X));
    assert_eq!(value(&build, "floor.bearer.bays"), 2);
}

/// A panel of 413 less 2 × 2 of play, holes of 20 at most 110 apart: ⌈409 / 110⌉ = 4 each way, first 51.125 in; sixteen holes are
/// 16 π 100 / 409² = 3.00 % of the base. All by hand.
#[test]
fn a_panel_with_drain_holes() {
    let build = built(&planter("sheet = \"ply\"\nplay = 2\ndrain-hole = 20\ndrain-spacing = 110\n"));
    assert_eq!(lengths(&build, "floor", "panel"), [(1, Length::mm(409))]);
    assert_eq!(corners(&build, "floor", "panel"), [("front".into(), 0, [34.0, 34.0, 20.0])]);
    assert_eq!(value(&build, "floor.drain.count"), 16);
    assert_eq!(value(&build, "floor.drain.along.first"), 51_125_000);
    assert_eq!(value(&build, "floor.drain.back.pitch"), 102_250_000);
    assert_eq!(value(&build, "floor.drain.share"), 300);
    let step = build.steps.iter().find(|step| step.piece == "floor").expect("a step");
    assert!(step.what.starts_with("Drill 16 drain holes of 20 mm"), "{}", step.what);
    assert!(!notes(&build, "floor").contains("common practice"));
    let few = built(&planter("sheet = \"ply\"\nplay = 2\ndrain-hole = 10\ndrain-spacing = 150\n"));
    // Nine holes of 10: 9 π 25 / 409² = 0.42 %.
    assert_eq!(value(&few, "floor.drain.share"), 42);
    assert!(notes(&few, "floor").contains("take 0.42 % of the base"));
    assert!(notes(&built(&planter("sheet = \"ply\"\n")), "floor").contains("no drain holes"));
}

/// A panel 409 wide that rises by 8: its lower face from 20 at the front to 28 at the back, its upper edges inside the room.
#[test]
fn a_panel_with_a_fall() {
    let build = built(&planter("sheet = \"ply\"\nplay = 2\nfall = 8\ndrain-hole = 20\ndrain-spacing = 110\n"));
    let panel = parts(&build, "floor", "panel")[0];
    let shape = panel.shape().expect("a panel");
    let lean = libm::asin(8.0 / 409.0);
    near(panel.at.frame.lean.as_degrees(), lean.to_degrees(), 1e-6);
    let [low, high] = shape.bounds();
    near(low[2], 20.0, 1e-5);
    near(high[2], 28.0 + 18.0 * libm::cos(lean), 1e-4);
    near(low[1], 34.0 - 18.0 * libm::sin(lean), 1e-4);
    near(high[1], 34.0 + 409.0 * libm::cos(lean), 1e-4);
    near(shape.volume(), 409.0 * 409.0 * 18.0, 1e-3);
}

/// Of two sizes of sheet, neither larger both ways, the one that gives the panel: 1090 × 490 comes out of 1200 × 600 less a trim of 10
/// and 590 × 590 also out of 800 × 800; 700 × 700 only out of that.
#[test]
fn sizes_of_sheet() {
    let floor = |length: u32, width: u32| {
        build(&format!(
            "[piece.box]\nis = \"walls\"\nlength = {{ exactly = {length} }}\nwidth = {{ exactly = {width} }}\nheight = {{ exactly = 290 }}\nboard = \"larch-145\"\n\
             [piece.floor]\nis = \"floor\"\nin = \"box\"\nsheet = \"small\"\n"
        ))
    };
    assert_eq!(lengths(&floor(1130, 530).expect("fits"), "floor", "panel"), [(1, Length::mm(1090))]);
    assert_eq!(lengths(&floor(740, 740).expect("fits"), "floor", "panel"), [(1, Length::mm(700))]);
    let large = floor(1000, 740).expect_err("no size gives 960 × 700");
    assert!(large.iter().any(|limit| limit.contains("panel of floor must come out of the longest stock")), "{large:?}");
}

#[test]
fn what_no_floor_can_be_is_told() {
    let cases = [
        ("", "nothing says what `floor` is made of"),
        ("board = \"pine-90\"\nsheet = \"ply\"\ngap = 5\n", "`floor` is of boards or of sheet, not of both"),
        ("board = \"pine-90\"\n", "nothing says how far apart the slats of `floor` lie"),
        ("sheet = \"ply\"\ngap = 5\n", "`floor` is one panel, so there is no gap"),
        ("board = \"pine-90\"\ngap = 10\nfall = 8\n", "`floor` is of slats, and `fall` is for a panel"),
        ("sheet = \"ply\"\ndrain-hole = 20\n", "`drain-hole` says nothing without `drain-spacing`"),
        ("sheet = \"ply\"\ndrain-spacing = 100\n", "`drain-spacing` says nothing without `drain-hole`"),
        (
            "sheet = \"ply\"\ndrain-hole = 60\ndrain-spacing = 100\n",
            "holes of 60 mm would leave little of the panel of `floor`",
        ),
        (
            "sheet = \"ply\"\nfall = 8\n",
            "the front edge of `floor` would stand in the wall, since the panel leans back",
        ),
        ("sheet = \"ply\"\nplay = 2\nfall = 8\nbearer = \"rail-45\"\n", "bearers lie level, and `floor` has a fall"),
        ("board = \"pine-90\"\ngap = 10\nspacing = 300\n", "`floor` names no bearers that could be spaced"),
        (
            "board = \"pine-90\"\ngap = { want = 10, from = 5, to = 15 }\nbearer = \"post-47\"\n",
            "bearers 47 mm thick do not go under `floor`, whose lower face lies 20 mm up",
        ),
        ("board = \"pine-90\"\ngap = 10\nclear = 1001\n", "`clear` is too large: 1001 mm"),
        ("board = \"pine-90\"\ngap = 10\nhieght = 5\n", "unknown key `hieght`"),
    ];
    for (keys, message) in cases {
        assert_eq!(told(&planter(keys)), message, "{keys}");
    }
    let on_posts = |clear: &str| {
        format!(
            "[piece.box]\nis = \"walls\"\nlength = {{ exactly = 900 }}\nwidth = {{ exactly = 600 }}\nheight = {{ exactly = 420 }}\nboard = \"pine-140\"\n\
             corners = \"on posts\"\npost = \"post-70\"\n[piece.floor]\nis = \"floor\"\nin = \"box\"\nsheet = \"ply\"\n{clear}"
        )
    };
    assert_eq!(told(&on_posts("clear = 37\n")), "the posts or ribs of `box` stand 38 mm into the room of `floor`");
    assert_eq!(lengths(&built(&on_posts("clear = 38\n")), "floor", "panel"), [(1, Length::mm(900 - 64 - 76))]);
    let hits = planter(SLATS) + "[piece.posts]\nis = \"posts\"\nin = \"box\"\nboard = \"post-70\"\n";
    assert_eq!(told(&hits), "`posts` and `floor` would overlap in `box`");
    let falls = planter("sheet = \"ply\"\nplay = 2\nfall = 8\n")
        + "[piece.posts]\nis = \"posts\"\nin = \"box\"\nboard = \"post-70\"\nfrom = \"floor\"\n";
    assert_eq!(told(&falls), "posts do not stand square on `floor`, which falls to the front");
    let none = "[piece.sit]\nis = \"slats\"\nlength = { exactly = 900 }\nwidth = { exactly = 370 }\ntop = 400\nboard = \"pine-90\"\ngap = { want = 3, from = 2, to = 5 }\n\
                [piece.floor]\nis = \"floor\"\nin = \"sit\"\nboard = \"pine-90\"\ngap = 10\n";
    assert_eq!(told(none), "`sit` has no inside");
}

/// Too high for the walls, too tight for a slat: limits of fit.
#[test]
fn what_collides() {
    let high = build(&planter(&format!("{SLATS}height = 360\n"))).expect_err("no room is left");
    assert!(high.join("\n").contains("the room over floor, up to the top of box, must be at least 50 mm"), "{high:?}");
    assert!(build(&planter(&format!("{SLATS}clear = 190\n"))).is_err(), "33 mm are left for slats of 90");
}

#[test]
fn a_floor_in_inches() {
    let text = "units = \"in\"\n".to_owned()
        + &planter("board = \"pine-90\"\ngap = { want = \"3/8\", from = \"1/4\", to = \"5/8\" }\nplay = \"1/8\"\n")
            .replace("exactly = 477", "exactly = \"18-3/4\"")
            .replace("exactly = 420", "exactly = \"420 mm\"")
            .replace("off-ground = 20", "off-ground = \"3/4\"");
    let build = built(&text);
    // 18-3/4 in less two walls of 32 and 2 × 1/8 in: 476.25 - 64 - 6.35.
    assert_eq!(lengths(&build, "floor", "slat"), [(4, Length::nm(405_900_000))]);
}
