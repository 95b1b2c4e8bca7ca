//! Boxes with right angles: how large, where, beside and in one another, and the ends of their boards.

use crate::workshop::{MICROMETRE, build, built, contact, is_sound, lengths, near, parts, quantity, told, volume};
use measure::Length;
use model::part::Part;

fn mm(length: i64) -> Length {
    Length::mm(length)
}

fn exactly(name: &str, length: i64, width: i64, more: &str) -> String {
    format!(
        "[piece.{name}]\nis = \"walls\"\nlength = {{ exactly = {length} }}\nwidth = {{ exactly = {width} }}\n{more}\n"
    )
}

/// Two planters 477 square, 2498 overall, boards of 140 × 32 in three courses, each running past one neighbour: 24 boards of 445,
/// 413 inside, 1544 clear between them, turned in every second course (worked outside this project).
#[test]
fn two_planters_of_turned_boards() {
    let text = "[piece.left]\nis = \"walls\"\nlength = { exactly = 477 }\nheight = { exactly = 420 }\n\
                off-ground = 20\nboard = \"pine-140\"\ncorners = \"pinwheel, turned\"\n\
                [piece.right]\nis = \"walls\"\nlike = \"left\"\nbeside = \"left\"\noverall = { exactly = 2498 }\n\
                off-ground = 20\nboard = \"pine-140\"\ncorners = \"pinwheel, turned\"\n";
    let build = built(text);
    is_sound(&build);
    assert_eq!(lengths(&build, "left", "board"), [(12, mm(445))]);
    assert_eq!(lengths(&build, "right", "board"), [(12, mm(445))]);
    let (left, right) = (parts(&build, "left", "board"), parts(&build, "right", "board"));
    let far = |parts: &[&Part], axis: usize| parts.iter().map(|part| part.far_corner()[axis]).max();
    let near = |parts: &[&Part], axis: usize| parts.iter().map(|part| part.near_corner()[axis]).min();
    assert_eq!((near(&left, 0), far(&left, 0)), (Some(mm(0)), Some(mm(477))));
    assert_eq!((near(&right, 0), far(&right, 0)), (Some(mm(477 + 1544)), Some(mm(2498))));
    assert_eq!((near(&left, 2), far(&left, 2)), (Some(mm(20)), Some(mm(440))));
    // Above every end that runs past lies one that butts.
    let front = |course: u32| {
        let board = left.iter().find(|part| part.key.face == "front" && part.key.course == course).expect("a board");
        [board.near_corner()[0], board.far_corner()[0]]
    };
    assert_eq!([front(0), front(1), front(2)], [[32, 477], [0, 445], [32, 477]].map(|ends| ends.map(mm)));
}

/// The rows of the trade's table of box corners: through L and W − 2t, pinwheel L − t and W − t, mitre L and W to the long point
/// with L − 2t inside (*common practice*).
#[test]
fn the_table_of_corners() {
    let table: [(&str, [i64; 4]); 4] = [
        ("front through", [900, 560, 900, 560]),
        ("sides through", [860, 600, 860, 600]),
        ("pinwheel", [880, 580, 880, 580]),
        ("mitred", [900, 600, 900, 600]),
    ];
    for (corners, expected) in table {
        let more = format!("height = {{ exactly = 200 }}\nboard = \"slat\"\ncorners = \"{corners}\"");
        let build = built(&exactly("box", 900, 600, &more));
        is_sound(&build);
        let found: Vec<Length> = parts(&build, "box", "board").iter().take(4).map(|part| part.solid.length).collect();
        assert_eq!(found, expected.map(mm), "{corners}");
        // Whatever the corners, the wood of the walls is the frame between outline and inside, two courses high.
        near(volume(&build, "box"), (900.0 * 600.0 - 860.0 * 560.0) * 200.0, 1e-3);
    }
}

/// Neighbours of a mitred frame touch over the whole mitre: t √2 wide, as high as the board.
#[test]
fn mitres_touch_all_over() {
    let build = built(&exactly("box", 900, 600, "height = { exactly = 200 }\nboard = \"slat\"\ncorners = \"mitred\""));
    let boards = parts(&build, "box", "board");
    for side in 0..4 {
        near(contact(boards[side], boards[(side + 1) % 4]), 20.0 * 2_f64.sqrt() * 100.0, 1e-2);
    }
    assert_eq!(quantity(&build, "box.mitre").value.value, 45_000_000);
    assert_eq!(quantity(&build, "box.front.length").value.value, 900_000_000);
}

/// An L mitred all round: at the inside corner the long points lie on the inner faces. By areas: the L less the L moved in.
#[test]
fn an_ell_is_mitred_at_its_inside_corner_too() {
    let more = "outline = \"L\"\nfront-arm = { exactly = 700 }\nleft-arm = { exactly = 600 }\n\
                height = { exactly = 100 }\nboard = \"slat\"\ncorners = \"mitred\"";
    let build = built(&exactly("bed", 2000, 1500, more));
    is_sound(&build);
    let area = |grown: f64| {
        let [l, w, f, a] = [2000.0, 1500.0, 700.0, 600.0].map(|size: f64| size + 2.0 * grown);
        l * f + a * (w - f)
    };
    near(volume(&build, "bed"), (area(0.0) - area(-20.0)) * 100.0, 1e-2);
    let boards = parts(&build, "bed", "board");
    let lengths: Vec<Length> = boards.iter().map(|part| part.solid.length).collect();
    assert_eq!(lengths, [2000, 700, 1420, 820, 600, 1500].map(mm));
    for side in 0..6 {
        near(contact(boards[side], boards[(side + 1) % 6]), 20.0 * 2_f64.sqrt() * 100.0, 1e-2);
    }
}

#[test]
fn a_mitred_panel_is_one_part() {
    let build = built(&exactly("box", 900, 600, "height = { exactly = 500 }\nsheet = \"ply\"\ncorners = \"mitred\""));
    is_sound(&build);
    assert_eq!(lengths(&build, "box", "panel"), [(2, mm(900)), (2, mm(600))]);
    near(volume(&build, "box"), (900.0 * 600.0 - 864.0 * 564.0) * 500.0, 1e-3);
}

#[test]
fn walls_without_a_width_are_square() {
    let build = built(
        "[piece.box]\nis = \"walls\"\nlength = { want = 470, from = 450, to = 490 }\nheight = 200\nboard = \"slat\"\n",
    );
    assert_eq!(lengths(&build, "box", "board"), [(4, mm(470)), (4, mm(430))]);
}

/// `apart` is clear; and what stands by itself comes 3 m behind the last of those that stand beside one another.
#[test]
fn walls_beside_walls() {
    let more = "height = { exactly = 200 }\nboard = \"slat\"";
    let text = exactly("a", 600, 400, more)
        + &exactly("b", 500, 400, &format!("beside = \"a\"\napart = {{ exactly = 900 }}\n{more}"))
        + &exactly("c", 700, 300, more);
    let build = built(&text);
    is_sound(&build);
    let start = |piece: &str| parts(&build, piece, "board").iter().map(|part| part.near_corner()[0]).min();
    assert_eq!([start("a"), start("b"), start("c")], [0, 1500, 5000].map(|x| Some(mm(x))));
}

#[test]
fn what_is_set_out_in_between_is_told() {
    let more = "height = { exactly = 200 }\nboard = \"slat\"";
    let beside = format!("beside = \"a\"\napart = {{ exactly = 900 }}\n{more}");
    let text = exactly("a", 600, 400, more) + &exactly("c", 700, 300, more) + &exactly("b", 500, 400, &beside);
    assert_eq!(told(&text), "another piece was set out where `b` would stand");
}

/// A tier of 900 − 2 · 20 − 2 · 150 by 600 − 2 · 20 − 2 · 150, its foot 380 up.
#[test]
fn a_tier_stands_in_walls() {
    let text = exactly("bed", 900, 600, "height = { exactly = 400 }\noff-ground = 10\nboard = \"slat\"")
        + "[piece.tier]\nis = \"walls\"\nin = \"bed\"\nsetback = { exactly = 150 }\nheight = { exactly = 200 }\n\
           off-ground = 370\nboard = \"slat\"\ncorners = \"pinwheel\"\n";
    let build = built(&text);
    is_sound(&build);
    assert_eq!(lengths(&build, "tier", "board"), [(4, mm(540)), (4, mm(240))]);
    let boards = parts(&build, "tier", "board");
    let low = [0, 1, 2].map(|axis| boards.iter().map(|part| part.near_corner()[axis]).min());
    let high = [0, 1, 2].map(|axis| boards.iter().map(|part| part.far_corner()[axis]).max());
    assert_eq!(low, [170, 170, 380].map(|at| Some(mm(at))));
    assert_eq!(high, [730, 430, 580].map(|at| Some(mm(at))));
}

/// An L of arms 700 and 600 moved in by 20 and 100: each arm loses 240, the sides at the inside corner keep their length.
#[test]
fn a_tier_in_an_ell_is_an_ell() {
    let more = "outline = \"L\"\nfront-arm = { exactly = 700 }\nleft-arm = { exactly = 600 }\nheight = { exactly = 400 }\nboard = \"slat\"";
    let text = exactly("bed", 2000, 1500, more)
        + "[piece.tier]\nis = \"walls\"\nin = \"bed\"\nsetback = { exactly = 100 }\nheight = { exactly = 100 }\n\
           board = \"slat\"\ncorners = \"mitred\"\n";
    let build = built(&text);
    is_sound(&build);
    let found: Vec<i128> = ["front", "right", "inner-back", "inner-right", "back", "left"]
        .map(|face| quantity(&build, &format!("tier.{face}.length")).inputs[0].value.value / 1_000_000)
        .into();
    assert_eq!(found, [1760, 460, 1400, 800, 360, 1260]);
}

/// Post outside the panels: they end at the posts, L − 2p (*common practice*), here posts of 90 along the front and 45 along the
/// sides.
#[test]
fn corners_on_posts() {
    let more = "height = { exactly = 300 }\nboard = \"slat\"\ncorners = \"on posts\"\npost = \"post-90\"";
    let build = built(&exactly("box", 900, 600, more));
    is_sound(&build);
    assert_eq!(lengths(&build, "box", "board"), [(6, mm(720)), (6, mm(510))]);
    assert_eq!(lengths(&build, "box", "post"), [(4, mm(300))]);
    let corners: Vec<_> =
        parts(&build, "box", "post").iter().map(|post| (post.key.to_string(), post.at.corner)).collect();
    let expected = [
        ("box front post 1.1", [0, 0, 0]),
        ("box front post 1.2", [810, 0, 0]),
        ("box back post 1.1", [810, 555, 0]),
        ("box back post 1.2", [0, 555, 0]),
    ];
    assert_eq!(corners, expected.map(|(key, corner)| (key.to_owned(), corner.map(mm))));
    // Each board stands with both ends hard against a post.
    let board = parts(&build, "box", "board")[0];
    let touched = parts(&build, "box", "post").iter().filter(|post| contact(board, post) > 0.0).count();
    assert_eq!(touched, 2);
}

/// 7000 out of boards that give 2990: three of 2333.3 in the even courses, their joints staggered by half a board in the odd ones,
/// a rib behind each joint.
#[test]
fn courses_longer_than_the_stock() {
    let more = "height = { exactly = 300 }\nboard = \"slat\"\njoin = \"over ribs\"\nrib = \"rib\"";
    let build = built(&exactly("bed", 7000, 1000, more));
    is_sound(&build);
    let front = |course: u32| -> Vec<i64> {
        let boards = parts(&build, "bed", "board");
        let own = boards.iter().filter(|part| part.key.face == "front" && part.key.course == course);
        own.map(|part| part.solid.length.nanometres()).collect()
    };
    let (part, half) = (2_333_333_334, 1_166_666_667);
    assert_eq!(front(0), [part, part, 7_000_000_000 - 2 * part]);
    assert_eq!(front(1), [half, part, part, 7_000_000_000 - half - 2 * part]);
    assert_eq!(front(2), front(0));
    let ribs = parts(&build, "bed", "rib");
    assert_eq!(ribs.iter().filter(|rib| rib.key.face == "front").count(), 5);
    assert_eq!(ribs.iter().filter(|rib| rib.key.face == "right").count(), 0);
    let first = ribs[0];
    assert_eq!(first.at.corner, [Length::nm(half - 30_000_000), mm(20), mm(0)]);
    assert_eq!(first.extent(), [mm(60), mm(30), mm(300)]);
    // Both boards at a joint lie on the rib by half its width.
    let boards = parts(&build, "bed", "board");
    let odd: Vec<&&Part> = boards.iter().filter(|part| part.key.face == "front" && part.key.course == 1).collect();
    for board in &odd[..2] {
        near(contact(board, first), 30.0 * 100.0, MICROMETRE);
    }
    assert_eq!(quantity(&build, "bed.front.boards").value.value, 3);
    assert_eq!(quantity(&build, "bed.front.board").value.value, i128::from(part));
    near(volume(&build, "bed") - 10.0 * 60.0 * 30.0 * 300.0, (7000.0 * 1000.0 - 6960.0 * 960.0) * 300.0, 1e-2);
}

#[test]
fn joined_courses_can_be_mitred_and_turned() {
    for corners in ["mitred", "pinwheel, turned"] {
        let more = format!(
            "height = {{ exactly = 300 }}\nboard = \"slat\"\njoin = \"over ribs\"\nrib = \"rib\"\ncorners = \"{corners}\""
        );
        let build = built(&exactly("bed", 4000, 1000, &more));
        is_sound(&build);
        let ribs: f64 = parts(&build, "bed", "rib").iter().map(|rib| rib.shape().expect("a rib").volume()).sum();
        near(volume(&build, "bed") - ribs, (4000.0 * 1000.0 - 3960.0 * 960.0) * 300.0, 1e-2);
    }
}

/// Inches: a box of boards 3/4 by 3-1/2, to a sixty-fourth.
#[test]
fn inches_are_exact() {
    let build = built(
        "[piece.box]\nis = \"walls\"\nlength = { exactly = \"24-1/64 in\" }\nheight = { exactly = \"7 in\" }\n\
         board = \"cedar\"\ncorners = \"pinwheel\"\n",
    );
    let inch = 25_400_000;
    assert_eq!(lengths(&build, "box", "board"), [(8, Length::nm(24 * inch + inch / 64 - inch * 3 / 4))]);
}

#[test]
fn what_cannot_be_is_told() {
    let high = "height = { exactly = 200 }\nboard = \"slat\"";
    let a = exactly("a", 600, 400, high);
    let b = |more: &str| format!("{a}[piece.b]\nis = \"walls\"\nboard = \"slat\"\n{more}\n");
    let one = |more: &str| exactly("a", 600, 400, &format!("{high}\n{more}"));
    let cases: [(String, &str); 20] = [
        (
            b("like = \"a\"\nlength = 500"),
            "the outline of `b` is that of the walls that these are `like`, so it has no `length`",
        ),
        (b("like = \"a\"\nheight = 500"), "the height is that of the walls that these are `like`"),
        (b("like = \"a\"\nbeside = \"a\""), "`b` stands beside `a`, and one of two must say how far away"),
        (
            b("like = \"a\"\nbeside = \"a\"\napart = 500\noverall = 3000"),
            "`b` stands beside `a`, and one of two must say how far away",
        ),
        (b("like = \"a\"\napart = 500"), "only walls `beside` others stand `apart` from them"),
        (
            b("in = \"a\"\nheight = 100\nlength = 100"),
            "the outline of `b` is that of the piece that they stand `in`, so it has no `length`",
        ),
        (b("in = \"a\"\nheight = 100"), "`b` needs `setback`"),
        (b("length = 500\nheight = 100\nsetback = 20"), "only walls that stand `in` a piece have a `setback`"),
        (b("length = 500"), "`b` needs `height`"),
        (b("height = 500"), "`b` needs `length`"),
        (one("corners = \"on posts\""), "walls on posts need posts"),
        (one("post = \"post-70\""), "only walls with `corners = \"on posts\"` have posts of their own"),
        (
            one("corners = \"on posts\"\npost = \"lath\"").replace("slat", "pine-140"),
            "a post of 20 mm does not cover the ends of walls 32 mm thick",
        ),
        (one("join = \"over ribs\""), "joints need ribs behind them"),
        (one("rib = \"rib\""), "without joints there are no ribs"),
        (one("front-arm = 100"), "a rectangle has no `front-arm`"),
        (
            one("corners = \"pinwheel, turned\"").replace("board = \"slat\"", "sheet = \"ply\""),
            "panels of sheet have no second course that could turn the other way",
        ),
        (one("corners = \"mitred\"").replace("600", "\"6 inch\"").replace("400", "80"), "collides"),
        (one("corners = \"mitre\""), "`corners` cannot be `mitre`"),
        (one("outline = \"heptagon\""), "`outline` cannot be `heptagon`"),
    ];
    for (text, expected) in cases {
        let told = told(&text);
        assert!(told.starts_with(expected), "{told}\ninstead of\n{expected}");
    }
}

/// What stands in walls keeps clear of a tier in them: by its setback, which is 100 at least, or below its foot.
#[test]
fn a_tier_and_what_else_stands_in_its_walls() {
    let tier = |name: &str, more: &str| {
        format!(
            "[piece.{name}]\nis = \"walls\"\nin = \"bed\"\nsetback = {{ want = 150, from = 100, to = 160 }}\nheight = {{ exactly = 200 }}\nboard = \"slat\"\n{more}\n"
        )
    };
    let bed = exactly("bed", 900, 600, "height = { exactly = 400 }\nboard = \"slat\"");
    let posts = |board: &str| format!("[piece.frame]\nis = \"posts\"\nin = \"bed\"\nboard = \"{board}\"\n");
    let floor = "[piece.base]\nis = \"floor\"\nin = \"bed\"\nsheet = \"ply\"\nheight = 20\nplay = 2\nclear = 110\n";
    let close = tier("tier", "").replace("from = 100", "from = 60");
    assert_eq!(told(&(bed.clone() + &close + &posts("post-70"))), "`frame` and `tier` would overlap in `bed`");
    assert_eq!(told(&(bed.clone() + &tier("tier", "") + floor)), "`base` and `tier` would overlap in `bed`");
    let second = tier("other", "off-ground = 100");
    assert_eq!(told(&(bed.clone() + &tier("tier", "") + &second)), "`other` and `tier` would overlap in `bed`");
    is_sound(&built(&(bed.clone() + &tier("tier", "") + &posts("post-70"))));
    is_sound(&built(&(bed + floor + &tier("tier", "off-ground = 38"))));
}

/// Too small for its own thickness, longer than any board, higher than its posts.
#[test]
fn sizes_that_cannot_be_collide() {
    let high = "height = { exactly = 200 }\nboard = \"slat\"";
    for text in [
        exactly("a", 80, 400, &format!("{high}\ncorners = \"mitred\"")),
        exactly("a", 4000, 400, &format!("{high}\ncorners = \"mitred\"")),
        exactly("a", 190, 400, &format!("{high}\ncorners = \"on posts\"\npost = \"post-90\"")),
        exactly("a", 4000, 400, "height = { exactly = 2500 }\nboard = \"slat\"\njoin = \"over ribs\"\nrib = \"rib\""),
    ] {
        assert_eq!(build(&text).err(), Some(vec!["collides".to_owned()]), "{text}");
    }
}
