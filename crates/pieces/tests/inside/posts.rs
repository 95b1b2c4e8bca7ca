//! Posts: counts, lengths and places at right angles, and planed ones in other corners.

use crate::workshop::{build, built, corners, lengths, near, notes, parts, told, value};
use measure::Length;
use model::build::Build;

/// A trough of three courses of 145 with gaps of 8, so 451 high, 1470 × 480 inside; and posts in it.
fn trough(posts: &str) -> String {
    format!(
        "[piece.trough]\nis = \"walls\"\nlength = {{ exactly = 1510 }}\nwidth = {{ exactly = 520 }}\nheight = {{ exactly = 451 }}\n\
         board = \"larch-145\"\ngap = 8\n[piece.posts]\nis = \"posts\"\nin = \"trough\"\n{posts}"
    )
}

/// Eight posts of 47, 3 below the top, at most 600 apart along the long sides: centres 1423 from corner to corner, three bays of
/// 474.3, all 448 long; worked outside this project.
#[test]
fn eight_posts_in_a_trough() {
    let build = built(&trough("board = \"post-47\"\nspacing = 600\nbelow-top = 3\n"));
    assert_eq!(lengths(&build, "posts", "post"), [(8, Length::mm(448))]);
    assert_eq!(value(&build, "posts.length"), 448_000_000);
    assert_eq!(value(&build, "posts.front.bays"), 3);
    assert_eq!(value(&build, "posts.right.bays"), 1);
    let front = corners(&build, "posts", "post").into_iter().filter(|(face, ..)| face == "front");
    let along: Vec<f64> = front.map(|(_, _, [x, ..])| x + 23.5 - 43.5).collect();
    let expected = [0.0, 474.333_333, 948.666_666];
    assert_eq!(along.len(), 3);
    along.iter().zip(expected).for_each(|(&found, expected)| near(found, expected, 1e-6));
    // The far corner's post is the right face's first one, 1423 from the first, centre to centre.
    let right = corners(&build, "posts", "post").into_iter().find(|(face, ..)| face == "right").expect("a post");
    assert_eq!(right, ("right".into(), 0, [1443.0, 20.0, 0.0]));
}

/// In each corner of a box of 413 inside, standing on a floor 52 up, up to a rim at 440: four of 388; worked outside this project.
#[test]
fn posts_stand_on_a_floor() {
    let build = built(
        "[piece.box]\nis = \"walls\"\nlength = { exactly = 477 }\nwidth = { exactly = 477 }\nheight = { exactly = 420 }\noff-ground = 20\n\
         board = \"pine-140\"\ncorners = \"pinwheel\"\n[piece.floor]\nis = \"floor\"\nin = \"box\"\nboard = \"pine-90\"\n\
         gap = { want = 10, from = 5, to = 15 }\n[piece.posts]\nis = \"posts\"\nin = \"box\"\nboard = \"post-70\"\nfrom = \"floor\"\nscrew = \"deck\"\n",
    );
    assert_eq!(lengths(&build, "posts", "post"), [(4, Length::mm(388))]);
    let expected =
        [("front", [32.0, 32.0]), ("right", [375.0, 32.0]), ("back", [375.0, 375.0]), ("left", [32.0, 375.0])];
    let expected = expected.map(|(face, [x, y])| (face.to_owned(), 0, [x, y, 52.0]));
    assert_eq!(corners(&build, "posts", "post"), expected);
    let fixing = &build.fixings[0];
    let (held, base) = (&fixing.held, &fixing.base);
    assert_eq!(
        (held.piece.as_str(), held.role.as_str(), base.piece.as_str(), base.role.as_str()),
        ("box", "board", "posts", "post")
    );
    assert_eq!((build.fixings.len(), fixing.each, fixing.load), (1, None, model::build::Load::Outwards));
}

/// Posts that are wider than deep: 95 along the face, 45 away from it. In 1470 × 480, worked by hand: along the front the last
/// post begins 1470 - 45 = 1425 in, so bays of 475; along the right face 480 - 45 = 435, one bay.
#[test]
fn posts_that_are_not_square() {
    let build = built(&trough("board = \"flat-post\"\nspacing = 500\n"));
    assert_eq!(lengths(&build, "posts", "post"), [(8, Length::mm(451))]);
    assert_eq!(value(&build, "posts.front.pitch"), 475_000_000);
    let found = corners(&build, "posts", "post");
    let at = |face: &str, index: u32| found.iter().find(|post| post.0 == face && post.1 == index).expect("a post").2;
    assert_eq!(
        [at("front", 0), at("front", 1), at("front", 2)],
        [[20.0, 20.0, 0.0], [495.0, 20.0, 0.0], [970.0, 20.0, 0.0]]
    );
    assert_eq!(
        [at("right", 0), at("back", 0), at("left", 0)],
        [[1445.0, 20.0, 0.0], [1395.0, 455.0, 0.0], [20.0, 405.0, 0.0]]
    );
}

/// Rails of 45 × 20 between the posts: 474.3 less 47 along the long sides, 480 less two posts along the short ones. Ties from the
/// back of one middle post to that of the other: 480 - 2 × 47 = 386, both by hand.
#[test]
fn rails_and_ties() {
    let keys = "board = \"post-47\"\nspacing = 600\nabove-bottom = 10\nrail = \"rail-45\"\ntie = \"rail-45\"\nscrew = \"deck\"\n";
    let build = built(&trough(keys));
    let rails = lengths(&build, "posts", "rail");
    assert_eq!(rails, [(6, Length::nm(427_333_333)), (2, Length::mm(386))]);
    assert_eq!(value(&build, "posts.front.length"), 427_333_333);
    let top = |role: &str| parts(&build, "posts", role).iter().map(|part| part.far_corner()[2]).collect::<Vec<_>>();
    assert_eq!(top("rail"), [Length::mm(451); 8]);
    assert_eq!(lengths(&build, "posts", "tie"), [(2, Length::mm(386))]);
    assert_eq!(top("tie"), [Length::mm(451); 2]);
    let ties = corners(&build, "posts", "tie");
    near(ties[0].2[0], 20.0 + 474.333_333 + 1.0, 1e-6);
    assert_eq!(ties[0].2[1..], [67.0, 431.0]);
    // A tie lies against both posts.
    for (tie, index) in parts(&build, "posts", "tie").iter().zip([1, 2]) {
        for (face, index) in [("front", index), ("back", 3 - index)] {
            let post = |part: &&&model::part::Part| part.key.face == face && part.key.index == index;
            let all = parts(&build, "posts", "post");
            let post = all.iter().find(post).expect("a middle post");
            let contact = tie.shape().expect("wood").contact(&post.shape().expect("wood"), 1e-3).expect("they touch");
            near(contact.area(), 45.0 * 20.0, 1e-3);
        }
    }
    assert!(notes(&build, "posts").contains("bracket"));
    assert_eq!(build.fixings.iter().map(|fixing| fixing.base.role.as_str()).collect::<Vec<_>>(), ["post", "rail"]);
    let posts = lengths(&build, "posts", "post");
    assert_eq!(posts, [(8, Length::mm(441))]);
}

/// Only the long faces have middle posts if the plan says so; and a face named twice or not at all is told.
#[test]
fn middle_posts_along_some_faces() {
    let count = |keys: &str| parts(&built(&trough(keys)), "posts", "post").len();
    assert_eq!(count("board = \"post-47\"\n"), 4);
    assert_eq!(count("board = \"post-47\"\nspacing = 250\n"), 4 + 5 + 5 + 1 + 1);
    assert_eq!(count("board = \"post-47\"\nspacing = 250\nalong = [\"back\"]\n"), 4 + 5);
    let along = |face: &str| told(&trough(&format!("board = \"post-47\"\nspacing = 250\nalong = [\"{face}\"]\n")));
    assert_eq!(along("bak"), "`posts` has no posts along a face called `bak`");
    assert_eq!(
        told(&trough("board = \"post-47\"\nalong = [\"back\"]\n")),
        "nothing says how far apart the middle posts of `posts` may stand"
    );
}

/// Against the front and the back from outside: flush with the ends of a trough of 1510, 47 out.
#[test]
fn posts_outside() {
    let build =
        built(&trough("board = \"post-47\"\nstand = \"outside\"\nspacing = 800\nfoot = 110\nrail = \"rail-45\"\n"));
    let x = [0.0, 731.5, 1463.0];
    let front = (0..3).map(|at| ("front".to_owned(), at as u32, [x[at], -47.0, -110.0]));
    let back = (0..3).map(|at| ("back".to_owned(), at as u32, [x[2 - at], 520.0, -110.0]));
    assert_eq!(corners(&build, "posts", "post"), front.chain(back).collect::<Vec<_>>());
    assert_eq!(lengths(&build, "posts", "post"), [(6, Length::mm(561))]);
    assert_eq!(lengths(&build, "posts", "rail"), [(4, Length::nm(684_500_000))]);
    let out = parts(&build, "posts", "rail").iter().map(|rail| rail.at.corner[1]).collect::<Vec<_>>();
    assert_eq!(out, [-20, -20, 520, 520].map(Length::mm));
}

fn ell(posts: &str) -> Build {
    built(&format!(
        "[piece.bed]\nis = \"walls\"\noutline = \"L\"\nlength = {{ exactly = 2440 }}\nwidth = {{ exactly = 1840 }}\nfront-arm = {{ exactly = 640 }}\n\
         left-arm = {{ exactly = 740 }}\nheight = {{ exactly = 435 }}\nboard = \"larch-145\"\n[piece.posts]\nis = \"posts\"\nin = \"bed\"\n{posts}"
    ))
}

/// An L has five outside corners with a post each and an inside corner with two: one at the end of the side before it, one at the
/// start of the side after it. Inside lines by hand: inner back 2400 - 700 = 1700, inner right 1800 - 600 = 1200.
#[test]
fn posts_in_an_ell() {
    let build = ell("board = \"post-47\"\nspacing = 900\nrail = \"rail-45\"\n");
    let found = corners(&build, "posts", "post");
    let of = |face: &str| found.iter().filter(|post| post.0 == face).map(|post| (post.1, post.2)).collect::<Vec<_>>();
    // From the right end of the inner back to the inside corner: starts 0, 826.5, 1653.
    assert_eq!(of("inner back"), [(0, [2373.0, 573.0, 0.0]), (1, [1546.5, 573.0, 0.0]), (2, [720.0, 573.0, 0.0])]);
    assert_eq!(of("inner right"), [(0, [673.0, 620.0, 0.0]), (1, [673.0, 1196.5, 0.0])]);
    assert_eq!(found.len(), 3 + 1 + 3 + 2 + 1 + 2);
    assert_eq!(value(&build, "posts.inner-back.pitch"), 826_500_000);
    assert_eq!(parts(&build, "posts", "rail").len(), 3 + 1 + 2 + 2 + 1 + 2);
    assert_eq!(parts(&ell("board = \"flat-post\"\nspacing = 900\n"), "posts", "post").len(), 12);
}

/// In a hexagon (turns of 60°) a post 70 deep is planed by 70 / tan 60° = 40.41 at its back; in a pentagon (72°) by 22.74, in a triangle
/// (120°) the other way by 40.41. What is left is a rectangle less a triangle of that width: elementary.
#[test]
fn planed_posts() {
    for (outline, turn) in [("hexagon", 60.0_f64), ("pentagon", 72.0), ("triangle", 120.0), ("octagon", 45.0)] {
        let wide = if outline == "octagon" { "sleeper" } else { "post-70" };
        let build = built(&format!(
            "[piece.bed]\nis = \"walls\"\noutline = \"{outline}\"\nlength = {{ exactly = 900 }}\nheight = {{ exactly = 400 }}\nboard = \"sleeper\"\n\
             corners = \"mitred\"\n[piece.posts]\nis = \"posts\"\nin = \"bed\"\nboard = \"{wide}\"\n"
        ));
        let posts = parts(&build, "posts", "post");
        let (w, t) = if outline == "octagon" { (200.0, 50.0) } else { (70.0, 70.0) };
        assert_eq!(posts.len(), (360.0 / turn).round() as usize);
        near(value(&build, "posts.bevel") as f64 / 1e6, (90.0 - turn).abs(), 1e-6);
        let radians = turn.to_radians();
        for post in posts {
            assert_eq!(post.solid.width, Length::nm((w * 1e6) as i64), "its section is its stock's");
            let shape = post.shape().expect("something is left");
            near(shape.volume(), (w * t - t * t / libm::tan(radians).abs() / 2.0) * 400.0, 0.1);
            // It lies against two walls: along its own face and, over t / sin τ, along the other.
            let walls = parts(&build, "bed", "board");
            let walls = walls.iter().map(|wall| wall.shape().expect("wood"));
            let touched: Vec<f64> =
                walls.filter_map(|wall| shape.contact(&wall, 1e-3)).map(|contact| contact.area()).collect();
            assert_eq!(touched.len(), 4, "two courses of two walls");
            let own = if turn < 90.0 { w - t / libm::tan(radians) } else { w };
            near(touched.iter().sum::<f64>(), 400.0 * (own + t / libm::sin(radians)), 1.0);
        }
    }
}

#[test]
fn what_no_post_can_do_is_told() {
    let cases = [
        (
            "board = \"post-47\"\nfoot = 20\nabove-bottom = 10\n",
            "`posts` begins at two heights: by `above-bottom` and by `foot`",
        ),
        ("board = \"post-47\"\nfrom = \"trough\"\n", "`trough` is no floor"),
        ("board = \"post-47\"\ntie = \"rail-45\"\n", "`posts` has no middle posts inside that ties could lie between"),
        (
            "board = \"flat-post\"\nspacing = 600\ntie = \"rail-45\"\n",
            "only square posts stand opposite one another, so that a tie lies straight",
        ),
        (
            "board = \"post-47\"\nspacing = 200\ntie = \"sleeper\"\n",
            "ties of `posts` would touch one another or the posts of the sides",
        ),
        (
            "board = \"post-47\"\nspacing = 600\nalong = [\"front\"]\ntie = \"rail-45\"\n",
            "ties lie from the front to the back, and `posts` has middle posts on one of them",
        ),
        ("board = \"post-47\"\nrail = \"sleeper\"\n", "a rail 50 mm thick stands out of posts that are 47 mm deep"),
        (
            "board = \"post-47\"\nspacing = 2000\nrail = \"rail-45\"\n",
            "rails between posts 2000 mm apart are longer than any board for them",
        ),
        (
            "board = \"post-47\"\nspacing = 150\n",
            "members of 47 mm at most 150 mm apart could stand less than 50 mm clear",
        ),
        ("board = \"post-47\"\nspacing = 50\n", "`spacing` is too small: 50 mm"),
        (
            "board = \"pots-47\"\n",
            "no board called `pots-47` in the yard: it has `larch-145`, `pine-140`, `pine-90`, `post-47`, `post-70`, `flat-post`, `short-post`, `rail-45` and `sleeper`",
        ),
        ("board = \"post-47\"\nspacig = 600\n", "unknown key `spacig`"),
        (
            "board = \"post-47\"\nstand = \"outside\"\nfrom = \"trough\"\n",
            "`posts` stands outside, and `trough` lies inside",
        ),
    ];
    for (keys, message) in cases {
        assert_eq!(told(&trough(keys)), message, "{keys}");
    }
    let hexagon = |keys: &str| {
        told(&format!(
            "[piece.bed]\nis = \"walls\"\noutline = \"hexagon\"\nlength = {{ exactly = 900 }}\nheight = {{ exactly = 400 }}\nboard = \"sleeper\"\n\
             corners = \"mitred\"\n[piece.posts]\nis = \"posts\"\nin = \"bed\"\n{keys}"
        ))
    };
    let square = "the corners of `bed` are not right angles: `posts` has one post in each";
    assert_eq!(hexagon("board = \"post-70\"\nspacing = 400\n"), square);
    assert_eq!(hexagon("board = \"post-70\"\nrail = \"rail-45\"\n"), square);
    assert_eq!(
        hexagon("board = \"post-70\"\nstand = \"outside\"\n"),
        "posts stand outside a rectangle only, and `bed` is none"
    );
    let leans = "[piece.tub]\nis = \"walls\"\nlength = { exactly = 600 }\nheight = { exactly = 400 }\nboard = \"sleeper\"\ncorners = \"mitred\"\nbatter = 60\n\
                 [piece.posts]\nis = \"posts\"\nin = \"tub\"\nboard = \"post-47\"\n";
    assert_eq!(told(leans), "the walls of `tub` lean, and `posts` stands plumb");
    let twice =
        trough("board = \"post-47\"\n") + "[piece.more]\nis = \"posts\"\nin = \"trough\"\nboard = \"post-70\"\n";
    assert_eq!(told(&twice), "`more` and `posts` would overlap in `trough`");
    let on_posts = "[piece.box]\nis = \"walls\"\nlength = { exactly = 900 }\nwidth = { exactly = 600 }\nheight = { exactly = 420 }\nboard = \"pine-140\"\n\
                    corners = \"on posts\"\npost = \"post-70\"\n[piece.posts]\nis = \"posts\"\nin = \"box\"\nboard = \"post-47\"\n";
    assert_eq!(told(on_posts), "the walls of `box` have posts in their corners already");
}

/// What hangs on sizes is a limit of fit, told by its name.
#[test]
fn too_long_and_too_narrow() {
    let told = |keys: &str| build(&trough(keys)).expect_err("it collides").join("\n");
    assert!(told("board = \"short-post\"\n").contains("the length of the posts must come out of the longest stock"));
    assert!(
        told("board = \"post-47\"\nabove-bottom = 410\n").contains("the length of the posts must be at least 50 mm")
    );
    let narrow =
        build(&trough("board = \"sleeper\"\n").replace("exactly = 520", "exactly = 330")).expect_err("it collides");
    assert!(narrow.join("\n").contains("the room between the corner posts of posts along the"), "{narrow:?}");
}

/// A trough in inches: posts of 47 mm at most 24 in apart in 60 in outside.
#[test]
fn posts_in_inches() {
    let build = built(
        "units = \"in\"\n[piece.trough]\nis = \"walls\"\nlength = { exactly = 60 }\nwidth = { exactly = 20 }\nheight = { exactly = \"145 mm\" }\n\
         board = \"larch-145\"\n[piece.posts]\nis = \"posts\"\nin = \"trough\"\nboard = \"post-47\"\nspacing = 24\n",
    );
    // 60 in less two walls of 20 and a post of 47 are 1437 mm, 24 in are 609.6.
    assert_eq!(value(&build, "posts.front.pitch"), 479_000_000);
}
