//! Boards that lap: counts and covers by the trade's arithmetic, and where they touch.

use crate::workshop::{MICROMETRE, built, contact, is_sound, near, parts, quantity, told};
use measure::Length;
use model::build::Build;
use model::part::Part;

fn walls(size: &str, height: i64) -> String {
    format!(
        "[piece.box]\nis = \"walls\"\n{size}\nheight = {{ exactly = {height} }}\nboard = \"slat\"\ncorners = \"mitred\"\n"
    )
}

const OBLONG: &str = "length = { exactly = 1000 }\nwidth = { exactly = 600 }";
const ELL: &str = "outline = \"L\"\nlength = { exactly = 1400 }\nwidth = { exactly = 1200 }\nfront-arm = { exactly = 600 }\nleft-arm = { exactly = 600 }";
const SIX: &str = "outline = \"hexagon\"\nlength = { exactly = 500 }";

fn skin(board: &str, cover: &str, more: &str) -> String {
    let starter = if board == "feather" { "strip-7" } else { "strip-18" };
    format!(
        "[piece.skin]\nis = \"cladding\"\non = \"box\"\nboard = \"{board}\"\nboards = \"lapped\"\ncover = {cover}\nstarter = \"{starter}\"\n{more}\n"
    )
}

const SQUARE_EDGED: &str = "{ want = 120, from = 105, to = 120 }";
const FEATHER_EDGED: &str = "{ want = 112, from = 105, to = 130 }";

/// From the strip up.
fn row<'b>(build: &'b Build, face: &str) -> Vec<&'b Part> {
    let of = |role| parts(build, "skin", role).into_iter().filter(|part| part.key.face == face);
    of("starter").chain(of("board")).collect()
}

fn value(build: &Build, name: &str) -> f64 {
    Length::nm(quantity(build, name).value.value as i64).as_mm()
}

/// The trade's rule (*common practice*): cover = b - lap, the least lap is 25, so boards of 145 cover 120 at most, and
/// n = ⌈(H - 25) / 120⌉ boards are the fewest, the top one showing its whole width; n = ⌈H / 120⌉ reckons it as covered too and
/// comes to the same or one more. The cover that closes then is (H - b) / (n - 1), but for what a board on the slant is higher.
#[test]
fn as_many_boards_as_the_trade_reckons() {
    for height in [500, 600, 700, 800, 900] {
        let build = built(&(walls(OBLONG, height) + &skin("larch-145", SQUARE_EDGED, "")));
        let boards = row(&build, "front").len() as i64 - 1;
        assert_eq!(boards, (height - 25 + 119) / 120, "{height} high");
        assert!([boards, boards + 1].contains(&((height + 119) / 120)), "{height} high");
        let (cover, lap) = (value(&build, "skin.cover"), value(&build, "skin.lap"));
        near(cover + lap, 145.0, 1e-9);
        near(cover, (height - 145) as f64 / (boards - 1) as f64, 0.5);
        assert!(lap >= 25.0);
    }
}

/// Square-edged boards, 600 high, five of 145 × 20, worked by hand: X = √(145² + 20²) = 146.372811; p = (600 - X) / 4 =
/// 113.406797; sin θ = 20 / p, θ = 10.156646°; off the face 145 sin θ = 25.568; lap along the face 145 - p cos θ = 33.370.
#[test]
fn numbers_worked_by_hand() {
    let build = built(&(walls(OBLONG, 600) + &skin("larch-145", SQUARE_EDGED, "")));
    let sine: f64 = 20.0 / 113.406797;
    near(value(&build, "skin.slant"), 146.372811, 1e-6);
    near(value(&build, "skin.cover"), 113.406797, 1e-6);
    near(quantity(&build, "skin.lean").value.value as f64 / 1e6, sine.asin().to_degrees(), 1e-5);
    near(value(&build, "skin.stand-off"), 145.0 * sine, 1e-4);
    near(value(&build, "skin.screw-line"), 145.0 - 113.406797 * (1.0 - sine * sine).sqrt() + 10.0, 1e-4);
    // What stays above the top board: 146.372811 - (145 cos θ + 20 sin θ).
    near(value(&build, "skin.left"), 146.372811 - 145.0 * (1.0 - sine * sine).sqrt() - 20.0 * sine, 1e-4);
}

/// Round rectangles, an L with its inside corner and a hexagon nothing overlaps; each board touches the one below and the wall
/// to a micrometre; the lowest lies at the bottom, the highest stops less than a millimetre below the top.
#[test]
fn boards_touch_and_never_overlap() {
    for (size, faces) in [(OBLONG, 4), (ELL, 6), (SIX, 6)] {
        for (board, cover) in [("larch-145", SQUARE_EDGED), ("feather", FEATHER_EDGED)] {
            let build = built(&(walls(size, 600) + &skin(board, cover, "off-ground = 10")));
            is_sound(&build);
            let outline = build.outlines.iter().find(|outline| outline.piece == "box").expect("walls");
            assert_eq!(outline.corners.len(), faces);
            let wall = parts(&build, "box", "board");
            let mut names: Vec<&str> = wall.iter().map(|part| part.key.face.as_str()).collect();
            names.sort_unstable();
            names.dedup();
            for face in names {
                let row = row(&build, face);
                let shape = |part: &Part| part.shape().expect("something is left");
                for pair in row.windows(2) {
                    near(shape(pair[1]).overlap(&shape(pair[0])), 0.0, MICROMETRE);
                }
                let before = wall.iter().filter(|part| part.key.face == face);
                for board in &row[1..] {
                    let deepest = before.clone().map(|wall| shape(board).overlap(&shape(wall))).fold(-1.0, f64::max);
                    near(deepest, 0.0, MICROMETRE);
                }
                let heights = row[1..].iter().map(|part| [part.near_corner()[2], part.far_corner()[2]]);
                let (low, high) = heights.fold((f64::MAX, f64::MIN), |(low, high), [near, far]| {
                    (low.min(near.as_mm()), high.max(far.as_mm()))
                });
                near(low, 10.0, MICROMETRE);
                assert!((599.0..=600.0 + MICROMETRE).contains(&high), "{high}");
            }
        }
    }
}

/// Square-edged boards lie on one another over the whole lap; feather-edged ones along a line, where no face touches.
#[test]
fn how_they_touch() {
    let only = "faces = [\"front\"]";
    let square = built(&(walls(OBLONG, 600) + &skin("larch-145", SQUARE_EDGED, only)));
    let front = row(&square, "front");
    near(contact(front[2], front[1]), 1000.0 * (value(&square, "skin.screw-line") - 10.0), 0.01);
    let feather = built(&(walls(OBLONG, 600) + &skin("feather", FEATHER_EDGED, only)));
    let front = row(&feather, "front");
    assert_eq!(contact(front[2], front[1]), 0.0);
    // A bare end is square, so a board is a wedge: 1000 long, 150 wide, 16 and 6 thick.
    let volume = front[1].shape().expect("something is left").volume();
    near(volume, 1000.0 * 150.0 * (16.0 + 6.0) / 2.0, 1.0);
}

/// Round a corner neighbours meet all over the height of a board: their mitres look at one another.
#[test]
fn mitres_meet() {
    let build = built(&(walls(OBLONG, 600) + &skin("feather", FEATHER_EDGED, "")));
    let (front, right) = (row(&build, "front"), row(&build, "right"));
    for (one, other) in front.iter().zip(&right).skip(1) {
        // The section of a wedge of 150 by 16 and 6, cut at a slant.
        assert!(contact(one, other) > 150.0 * 11.0, "{}", contact(one, other));
    }
}

#[test]
fn too_little_lap_is_noted() {
    let notes = |height: i64, cover: &str| {
        let build = built(&(walls(OBLONG, height) + &skin("larch-145", cover, "")));
        build.notes.iter().filter(|note| note.text.contains("less than 25 mm")).count()
    };
    assert_eq!((notes(600, SQUARE_EDGED), notes(900, "{ want = 125, from = 121, to = 127 }")), (0, 1));
}

/// The screws of the lowest boards stand clear of the strip, those of the others of the board below; both below half the width.
#[test]
fn screws_cross_the_air() {
    let build = built(&(walls(OBLONG, 600) + &skin("feather", FEATHER_EDGED, "screw = \"deck\"")));
    let [fixing] = &build.fixings[..] else { panic!("{:?}", build.fixings) };
    let air = fixing.air.expect("air behind the boards");
    let millimetres = |length: Length| length.nanometres() as f64 / 1e6;
    near(millimetres(air.others[0]), value(&build, "skin.screw-line"), 1e-9);
    near(millimetres(air.lowest[0]), value(&build, "skin.starter.screw-line"), 1e-9);
    let half = build
        .parts
        .iter()
        .find(|part| part.key.piece == "skin" && part.key.role == "board")
        .expect("a board")
        .solid
        .width
        .nanometres()
        / 2;
    assert!(air.lowest[0] >= air.others[0] && air.others[1] == (air.others[0] + Length::mm(10)).max(Length::nm(half)));
    let unheld = |more: &str| {
        let build = built(&(walls(OBLONG, 600) + &skin("feather", FEATHER_EDGED, more)));
        build.notes.iter().any(|note| note.text.contains("nothing is placed or counted"))
    };
    assert!(unheld("") && !unheld("screw = \"deck\""));
}

#[test]
fn what_is_refused() {
    let lapped = |board: &str, cover: &str, more: &str| told(&(walls(OBLONG, 600) + &skin(board, cover, more)));
    for (more, says) in [
        ("gap = 5", "have no gap"),
        ("top = \"sloped\"\nrise = 10", "no upper ends"),
        ("corners = \"front through\"", "are mitred"),
        ("pattern-ends = \"same\"", "in no pattern"),
    ] {
        let message = lapped("feather", FEATHER_EDGED, more);
        assert!(message.contains(says), "{message}");
    }
    for (board, cover, says) in [
        ("larch-145", "{ want = 120, from = 110, to = 145 }", "do not lap"),
        ("larch-145", "{ want = 100, from = 70, to = 120 }", "more than half"),
        ("larch-145", "{ want = 75, from = 73, to = 80 }", "does not tip"),
        ("post-90", "{ want = 60, from = 50, to = 60 }", "four times as wide"),
    ] {
        let message = lapped(board, cover, "");
        assert!(message.contains(says), "{message}");
    }
    let level = walls(OBLONG, 600)
        + "[piece.skin]\nis = \"cladding\"\non = \"box\"\nboard = \"slat\"\nboards = \"level\"\ngap = 0\ncover = 80\n";
    assert!(told(&level).contains("only lapped boards have a `cover`"));
    let tapered = walls(OBLONG, 600)
        + "[piece.skin]\nis = \"cladding\"\non = \"box\"\nboard = \"feather\"\nboards = \"level\"\ngap = 0\n";
    assert!(told(&tapered).contains("tapers to a thin edge"));
    let on_lapped = walls(OBLONG, 600)
        + &skin("feather", FEATHER_EDGED, "")
        + "[piece.more]\nis = \"cladding\"\non = \"skin\"\nboard = \"slat\"\ngap = { want = 5, from = 0, to = 40 }\n";
    assert!(told(&on_lapped).contains("no plain faces"));
}
