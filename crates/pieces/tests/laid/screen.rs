//! Screens on falling ground.

use crate::workshop::{built, holds, lengths, mm, parts, places, quantity, told, touching};
use measure::Length;
use model::build::Needed;
use model::part::Axis;

const YARD: &str = "[board.slat]\nthickness = \"3/4 in\"\nwidth = \"3-1/2 in\"\nlengths = [{ length = \"12 ft\" }]\n\
    [board.post]\nthickness = \"3-1/2 in\"\nwidth = \"3-1/2 in\"\nlengths = [{ length = \"8 ft\" }]\n\
    [board.pale]\nthickness = 20\nwidth = 90\nlengths = [{ length = 2400 }]\n\
    [board.rail]\nthickness = 40\nwidth = 70\nlengths = [{ length = 3000 }]\n\
    [board.stout]\nthickness = 100\nwidth = 100\nlengths = [{ length = 3000 }]\n\
    [bag.concrete]\nlitres = 17\n\
    [screw.steel]\ndiameter = 5\nlengths = [{ length = 50 }]\n";

fn inches(sixteenths: i64) -> Length {
    Length::inch_64ths(4 * sixteenths)
}

fn screen(keys: &str) -> String {
    format!(
        "units = \"in\"\n[piece.screen]\nis = \"screen\"\nlength = {{ exactly = 84 }}\nheight = {{ exactly = \"46-1/4\" }}\ntop = 48\nboard = \"slat\"\ngap = {{ want = 0.75, from = 0.5, to = 1 }}\npost = \"post\"\nspacing = 48\n{keys}\n"
    )
}

const CORNER: &str = "return = { exactly = 42 }\nground = [0, -1.25, -2.5, -3]\nbury-step = 1\nbury-least = 18\nhole = 10\ngravel = 4\nconcrete = \"concrete\"\nscrew = \"steel\"";

/// Eleven slats with a gap of 0.775 in, 84-3/4 long at the front and 42 at the return; posts of 72, 74-1/4, 76-1/2 and 77 in,
/// buried 24, 25, 26 and 26; holes 28, 29, 30 and 30 deep; 4.262 ft³ of concrete with 10 % waste; 55 crossings, so 110 screws.
/// Worked outside this project.
#[test]
fn a_screen_round_a_corner_on_falling_ground() {
    let build = built(&screen(CORNER), YARD);
    let slats = lengths(&build, "screen", "slat");
    assert_eq!(slats, [vec![inches(16 * 84 + 12); 11], vec![inches(16 * 42); 11]].concat());
    assert_eq!(quantity(&build, "screen.courses.gap"), 19_685_000);
    let courses: Vec<Length> =
        places(&build, "screen", "slat", 2)[..11].iter().map(|low| (*low - inches(28)).round_to(inches(1))).collect();
    assert_eq!(courses, [0, 68, 137, 205, 274, 342, 410, 479, 547, 616, 684].map(inches));
    assert_eq!(lengths(&build, "screen", "post"), [72 * 16, 74 * 16 + 4, 76 * 16 + 8, 77 * 16].map(inches));
    for (post, buried, hole) in
        [("front.post-1", 24, 28), ("front.post-2", 25, 29), ("front.post-3", 26, 30), ("right.post-1", 26, 30)]
    {
        let depth = |what: &str| quantity(&build, &format!("screen.{post}.{what}"));
        assert_eq!(
            [depth("buried"), depth("hole")],
            [buried, hole].map(|inch| i128::from(inches(16 * inch).nanometres()))
        );
    }
    assert_eq!(quantity(&build, "screen.front.post.bays"), 2);
    let Some(Needed::Filled { volume, .. }) = build.needs.first().map(|need| need.of.clone()) else {
        panic!("no concrete")
    };
    let cubic_feet = volume.cubic_nanometres() as f64 / 304_800_000_f64.powi(3);
    assert!((cubic_feet - 4.262).abs() < 0.0005, "{cubic_feet}");
    assert_eq!(touching(&build, ["screen", "slat"], ["screen", "post"]), 55);
}

/// The posts stand where the drawing has them: flush with the ends of the front, one midway, the last at the end of the return.
#[test]
fn posts_stand_behind_the_slats() {
    let build = built(&screen(CORNER), YARD);
    assert_eq!(places(&build, "screen", "post", 0), [0, 644, 1288, 1288].map(inches));
    assert_eq!(places(&build, "screen", "post", 1), [0, 0, 0, 616].map(inches));
    assert_eq!(places(&build, "screen", "post", 2), [-24 * 16, -26 * 16 - 4, -28 * 16 - 8, -29 * 16].map(inches));
    assert!(parts(&build, "screen", "post").iter().all(|post| post.far_corner()[2] == inches(48 * 16)));
    let slats = parts(&build, "screen", "slat");
    assert_eq!([slats[0].at.corner[1], slats[11].at.corner[0]], [inches(-12), inches(84 * 16)]);
}

/// Posts of 100 in 2000, at most 1000 apart: F - m = 1900 in two bays; 1000 shows and half of it is 500, less than the least of
/// 600 that holds if the plan says nothing. By hand.
#[test]
fn level_ground_and_rammed_earth() {
    let plan = "[piece.screen]\nis = \"screen\"\nlength = { exactly = 2000 }\nheight = { exactly = 900 }\ntop = 1000\nboard = \"pale\"\ngap = { want = 10, from = 0, to = 20 }\npost = \"stout\"\nspacing = 1000\n";
    let build = built(plan, YARD);
    assert_eq!(lengths(&build, "screen", "post"), mm([1600; 3]));
    assert_eq!(lengths(&build, "screen", "slat"), mm([2000; 9]));
    assert!(build.needs.is_empty());
}

const PALES: &str = "[piece.screen]\nis = \"screen\"\nlength = { exactly = 2000 }\nheight = { exactly = 900 }\ntop = 1000\nboard = \"pale\"\nboards = \"upright\"\ngap = { want = 10, from = 5, to = 15 }\npost = \"stout\"\nspacing = 1000\n";

/// Upright pales on rails between the posts: two bays of 950, so rails of 850; with a return of 1000 the front is 2020 to its
/// pales. By hand.
#[test]
fn pales_stand_on_rails() {
    let build = built(&format!("{PALES}rail = \"rail\"\nreturn = {{ exactly = 1000 }}\nscrew = \"steel\"\n"), YARD);
    assert_eq!(lengths(&build, "screen", "rail"), mm([850, 850, 800, 850, 850, 800]));
    assert_eq!(places(&build, "screen", "rail", 2), mm([250, 250, 250, 780, 780, 780]));
    assert_eq!(places(&build, "screen", "rail", 0)[..3], mm([100, 1050, 1960]));
    let pales = parts(&build, "screen", "slat");
    assert!(pales.iter().all(|pale| pale.solid.length == Length::mm(900) && pale.at.along == Axis::Z));
    // 20 · 90 + 19 g = 2020 has g = 11.58; ten of 90 and nine gaps of 11.1 are 1000.
    let front = pales.iter().filter(|pale| pale.key.face == "front").count();
    assert_eq!((front, pales.len()), (20, 30));
    assert_eq!(quantity(&build, "screen.front.gap"), 11_578_947);
    assert_eq!(build.fixings[0].base.role, "rail");
}

#[test]
fn what_is_no_screen_is_told() {
    let odd = CORNER.replace(", -3]", "]");
    assert_eq!(told(&screen(&odd), YARD), "`ground` has 3 heights, and at its wished sizes `screen` has 4 posts");
    let deep = CORNER.replace("-3]", "-30]");
    holds(
        &told(&screen(&deep), YARD),
        "post 4 of `screen` would show 78\" and be 117\" long; its stock gives 95-5/8\"",
    );
    let tight = CORNER.replace("hole = 10", "hole = 4");
    holds(&told(&screen(&tight), YARD), "the posts of `screen` do not go into holes 4\" wide");
    holds(&told(&screen("concrete = \"concrete\""), YARD), "nothing says how wide the holes of `screen` are");
    holds(&told(&screen("rail = \"rail\""), YARD), "lie on its posts, without rails");
    holds(&told(&screen("boards = \"upright\""), YARD), "nothing carries the upright slats of `screen`");
    holds(&told(PALES, YARD), "nothing carries the upright slats");
    let high = screen(&CORNER.replace("[0,", "[3,"));
    holds(&told(&high, YARD), "the height of screen, from its top down to the highest ground, must be at most 45\"");
    let long = screen("").replace("exactly = 84", "exactly = 150");
    holds(&told(&long, YARD), "the slats of screen must come out of the longest stock");
    let short = screen("").replace("exactly = 84", "exactly = 8");
    holds(&told(&short, YARD), "between the posts of screen must be at least");
    holds(&told(&screen("spacig = 40"), YARD), "spacig");
    holds(&told(&screen("").replace("spacing = 48", "spacing = 9"), YARD), "could stand less than");
    let thick = format!("{PALES}rail = \"stout\"\n").replace("post = \"stout\"", "post = \"rail\"");
    holds(&told(&thick, YARD), "the rails of `screen` are thicker than its posts");
    let pad = "[unit.paver]\nlength = 200\nwidth = 100\nthickness = 50\n";
    let under = format!(
        "{}[piece.pad]\nis = \"pad\"\nunder = [\"screen\"]\nunit = \"paver\"\njoint = 3\nshowing = 70\n",
        PALES.replace("boards = \"upright\"\n", "")
    );
    assert!(told(&under, &format!("{YARD}{pad}")).contains("the posts of `screen` stand in the ground"));
}

/// A length that leaves the number of posts open keeps to the posts that `ground` has heights for.
#[test]
fn the_sizes_keep_to_the_heights_of_the_ground() {
    let open = screen(CORNER).replace("exactly = 84", "want = 84, from = 40, to = 140, rank = 2");
    let build = built(&open, YARD);
    assert_eq!(parts(&build, "screen", "post").len(), 4);
}

/// Whatever the sizes, nothing stands in anything else, and posts are no further apart than asked.
#[test]
fn no_two_parts_of_a_screen_meet() {
    for long in (400..2300).step_by(173) {
        for back in [350, 777, 1500] {
            for spacing in [300, 512, 1900] {
                for upright in [true, false] {
                    let sizes = PALES.replace("exactly = 2000", &format!("exactly = {long}"));
                    let sizes = sizes.replace("spacing = 1000", &format!("spacing = {spacing}"));
                    let sizes = sizes.replace("from = 5, to = 15", "from = 0, to = 60");
                    let plan = match upright {
                        true => format!("{sizes}rail = \"rail\"\nreturn = {{ exactly = {back} }}\n"),
                        false => {
                            format!("{}return = {{ exactly = {back} }}\n", sizes.replace("boards = \"upright\"\n", ""))
                        }
                    };
                    let build = built(&plan, YARD);
                    let posts = parts(&build, "screen", "post");
                    let front: Vec<Length> =
                        posts.iter().filter(|post| post.key.face == "front").map(|post| post.at.corner[0]).collect();
                    assert!(front.windows(2).all(|pair| pair[1] - pair[0] <= Length::mm(spacing) + Length::nm(1)));
                    assert_eq!(posts.last().map(|last| last.far_corner()[1]), Some(Length::mm(back)));
                }
            }
        }
    }
}
