//! Caps: lengths to the long point, the opening inside, volumes, falls, and what holds them.

use crate::workshop::{MICROMETRE, built, contact, is_sound, lengths, near, parts, quantity, told, volume};
use measure::Length;
use model::build::Roles;
use std::f64::consts::PI;

fn mm(length: i64) -> Length {
    Length::mm(length)
}

fn walls(more: &str) -> String {
    format!("[piece.box]\nis = \"walls\"\nheight = {{ exactly = 451 }}\nboard = \"larch-145\"\ngap = 8\n{more}\n")
}

fn trough() -> String {
    walls("length = { exactly = 1510 }\nwidth = { exactly = 520 }")
}

fn cap(more: &str) -> String {
    format!("[piece.rim]\nis = \"cap\"\non = \"box\"\nboard = \"cap-95\"\noversail = 15\n{more}\n")
}

/// A trough 1510 × 520 with a cap of 95 oversailing 15, mitred: 2 × 1540, 2 × 550, an opening of 1350 × 360 (worked outside this
/// project).
#[test]
fn the_cap_of_a_trough() {
    let build = built(&(trough() + &cap("")));
    is_sound(&build);
    assert_eq!(lengths(&build, "rim", "board"), [(2, mm(1540)), (2, mm(550))]);
    let boards = parts(&build, "rim", "board");
    let front = boards.iter().find(|part| part.key.face == "front").expect("a front");
    assert_eq!(front.at.corner, [mm(-15), mm(-15), mm(451)]);
    // The frame: area times thickness.
    near(volume(&build, "rim"), (1540.0 * 550.0 - 1350.0 * 360.0) * 20.0, 1e-2);
    // It bears on the walls along their whole front, 20 deep, but for a mitre at each end.
    let wall = parts(&build, "box", "board").into_iter().rfind(|part| part.key.face == "front").expect("a wall");
    near(contact(front, wall), 1510.0 * 20.0 - 20.0 * 20.0, 1.0);
    assert_eq!(quantity(&build, "rim.front.length").value.value, 1_540_000_000);
    assert_eq!(quantity(&build, "rim.mitre").value.value, 45_000_000);
}

/// The table of box corners, for a frame 1540 × 550 of boards 95 wide: through L and W − 2b, pinwheel L − b and W − b.
#[test]
fn butted_caps() {
    let table = [("front through", [1540, 360]), ("sides through", [1350, 550]), ("pinwheel", [1445, 455])];
    for (corners, [long, short]) in table {
        let build = built(&(trough() + &cap(&format!("corners = \"{corners}\""))));
        is_sound(&build);
        assert_eq!(lengths(&build, "rim", "board"), [(2, mm(long)), (2, mm(short))], "{corners}");
        near(volume(&build, "rim"), (1540.0 * 550.0 - 1350.0 * 360.0) * 20.0, 1e-3);
    }
}

/// On an L the cap's inside corner is mitred too. By areas: the L moved out by 15, less the L moved in by 80.
#[test]
fn a_cap_on_an_ell() {
    let ell = walls(
        "outline = \"L\"\nlength = { exactly = 2000 }\nwidth = { exactly = 1500 }\nfront-arm = { exactly = 700 }\nleft-arm = { exactly = 600 }",
    );
    let area = |grown: f64| {
        let [l, w, f, a] = [2000.0, 1500.0, 700.0, 600.0].map(|size: f64| size + 2.0 * grown);
        l * f + a * (w - f)
    };
    let build = built(&(ell.clone() + &cap("")));
    is_sound(&build);
    near(volume(&build, "rim"), (area(15.0) - area(-80.0)) * 20.0, 1e-2);
    let falling = built(&(ell + &cap("slope = 10")));
    is_sound(&falling);
    let boards = parts(&falling, "rim", "board");
    for side in 0..6 {
        near(contact(boards[side], boards[(side + 1) % 6]), 95.0 * 20.0 * 2_f64.sqrt(), 1e-1);
    }
}

/// On a hexagon of side 900 each board is 2 · 15 tan 30° longer than the side.
#[test]
fn a_cap_on_a_hexagon() {
    let build = built(&(walls("outline = \"hexagon\"\nlength = { exactly = 900 }") + &cap("")));
    is_sound(&build);
    let tan = (PI / 6.0).tan();
    let found = lengths(&build, "rim", "board");
    assert_eq!(found.len(), 1);
    near(found[0].1.as_mm(), 900.0 + 2.0 * 15.0 * tan, 3e-6);
    let area = |side: f64| 6.0 * side * side / (4.0 * tan);
    let frame = area(900.0 + 30.0 * tan) - area(900.0 - 160.0 * tan);
    near(volume(&build, "rim"), frame * 20.0, 1.0);
    assert_eq!(
        told(&(walls("outline = \"hexagon\"\nlength = 900") + &cap("corners = \"pinwheel\""))),
        "corners that are not right angles cannot be `pinwheel`"
    );
}

/// A cap that falls by 10°: its boards meet in their planes, stand out by cos 10° of the oversail, touch the walls' outer arris, and
/// are cut at the angles of a board that leans by 80°.
#[test]
fn a_cap_that_falls() {
    for (outline, count) in
        [("length = { exactly = 900 }", 4.0_f64), ("outline = \"octagon\"\nlength = { exactly = 900 }", 8.0)]
    {
        let build = built(&(walls(outline) + &cap("slope = 10")));
        is_sound(&build);
        let (boards, sides) = (parts(&build, "rim", "board"), count as usize);
        let (sin, cos) = (10.0_f64.to_radians().sin(), 10.0_f64.to_radians().cos());
        let low = boards[0].near_corner();
        near(low[2].as_mm(), 451.0 - 15.0 * sin, MICROMETRE);
        near(low[1].as_mm(), -(15.0 * cos + 20.0 * sin), MICROMETRE);
        for side in 0..sides {
            near(contact(boards[side], boards[(side + 1) % sides]), 95.0 * 20.0 / (PI / count).cos(), 0.05);
        }
        let told = |name: &str| quantity(&build, &format!("rim.{name}")).value.value as f64 / 1e6;
        near(told("saw"), ((PI / count).tan() * cos).atan().to_degrees(), 2e-6);
        near(told("tilt"), ((PI / count).sin() * sin).asin().to_degrees(), 2e-6);
        let long = 900.0 + 2.0 * (15.0 * cos + 20.0 * sin) * (PI / count).tan();
        near(quantity(&build, "rim.front.length").value.value as f64 / 1e6, long, 3e-6);
    }
}

/// On walls that lean the cap lies on the highest arris all round.
#[test]
fn a_cap_on_a_tapered_tub() {
    for batter in [-60, 60] {
        let text = format!(
            "[piece.box]\nis = \"walls\"\nlength = {{ exactly = 520 }}\nheight = {{ exactly = 435 }}\nboard = \"larch-145\"\nbatter = {batter}\n"
        );
        let build = built(&(text + &cap("")));
        is_sound(&build);
        assert_eq!(lengths(&build, "rim", "board"), [(4, mm(550))]);
        let highest = parts(&build, "box", "board").iter().map(|part| part.far_corner()[2].as_mm()).fold(0.0, f64::max);
        near(parts(&build, "rim", "board")[0].near_corner()[2].as_mm(), highest, 2e-5);
    }
}

#[test]
fn from_below_the_rails_are_held() {
    let posts = "[piece.frame]\nis = \"posts\"\nin = \"box\"\nboard = \"post-70\"\nrail = \"lath\"\n";
    let below = built(&(trough() + posts + &cap("screw = \"deck\"\nfrom-below = \"frame\"")));
    let roles = |piece: &str, role: &str| Roles { piece: piece.into(), role: role.into() };
    let fixing = below.fixings.iter().find(|fixing| fixing.base.piece == "rim").expect("the cap is screwed");
    assert_eq!((&fixing.held, &fixing.base), (&roles("frame", "rail"), &roles("rim", "board")));
    let above = built(&(trough() + posts + &cap("screw = \"deck\"\ninto-end-grain = \"frame\"")));
    let fixing = above.fixings.iter().find(|fixing| fixing.held.piece == "rim").expect("the cap is screwed");
    assert_eq!(fixing.base, roles("frame", "post"));
    assert!(above.notes.iter().any(|note| note.text.contains("end")), "the maker is told");
}

#[test]
fn what_cannot_be_is_told() {
    let one = |more: &str| trough() + &cap(more);
    let bare = "[piece.frame]\nis = \"posts\"\nin = \"box\"\nboard = \"post-70\"\n";
    let other =
        trough().replace("piece.box", "piece.shed") + &bare.replace("\"box\"", "\"shed\"") + "rail = \"lath\"\n";
    let ring =
        "[piece.ring]\nis = \"edging\"\naround = \"box\"\nunit = \"sett\"\njoint = { want = 8, from = 0, to = 30 }\n";
    let pickets = |top: &str| {
        let skin = "[piece.skin]\nis = \"cladding\"\non = \"box\"\nboard = \"slat\"\nboards = \"upright\"\nrise = 20\n";
        trough()
            + skin
            + &format!("gap = {{ want = 8, from = 2, to = 20 }}\ntop = \"{top}\"\n")
            + &cap("").replace("on = \"box\"", "on = \"skin\"")
    };
    let cases: [(String, &str); 16] = [
        (pickets("pointed"), "`rim` would lie on the pointed tops of `skin`"),
        (pickets("sloped"), "`rim` would lie on the sloped tops of `skin`"),
        (
            one("").replace("oversail = 15", "oversail = 95"),
            "a board 95 mm wide that oversails by 95 mm does not lie on the walls",
        ),
        (one("").replace("oversail = 15", "oversail = 501"), "`oversail` is too large: 501 mm"),
        (one("slope = 16"), "`slope` is too large: `16`"),
        (one("slope = 5\ncorners = \"pinwheel\""), "only a mitred cap can fall outwards on all sides"),
        (one("corners = \"miterd\""), "`corners` cannot be `miterd`"),
        (
            one("drip = true").replace("oversail = 15", "oversail = 10"),
            "an oversail of 10 mm has no room for a drip groove, which takes 15 mm",
        ),
        (one("screw = \"deck\""), "one of two must say where the screws of `rim` go"),
        (one("from-below = \"box\""), "`from-below` says where screws go, and there is no `screw`"),
        (one("screw = \"deck\"\nfrom-below = \"box\""), "`box` has no rails that `rim` could be screwed to"),
        (
            trough() + bare + &cap("screw = \"deck\"\nfrom-below = \"frame\""),
            "`frame` has no rails that `rim` could be screwed to",
        ),
        (
            trough() + &other + &cap("screw = \"deck\"\nfrom-below = \"frame\""),
            "`frame` holds `shed`, and `rim` lies on `box`",
        ),
        (
            trough() + bare + &cap("slope = 8\nscrew = \"deck\"\ninto-end-grain = \"frame\""),
            "`rim` touches `box` along an arris only, where no screw holds",
        ),
        (one("") + &cap("").replace("rim", "lid"), "`lid` and `rim` both lie on top of `box`, so they would overlap"),
        (
            trough() + ring + &cap("").replace("on = \"box\"", "on = \"ring\""),
            "`ring` has no walls that a cap could lie on",
        ),
    ];
    for (text, expected) in cases {
        let told = told(&text);
        assert!(told.starts_with(expected), "{told}\ninstead of\n{expected}");
    }
}

/// 180 outside leaves no opening between boards of 95; 3000 does not come out of boards of 3000 with 15 over both ends.
#[test]
fn too_small_and_too_large_collide() {
    for sizes in ["length = { exactly = 180 }", "length = { exactly = 2980 }\nwidth = { exactly = 500 }"] {
        assert_eq!(told(&(walls(sizes) + &cap(""))), "collides");
    }
}

/// In inches: 24 in and twice 1/2 in.
#[test]
fn inches_are_exact() {
    let text = walls("length = { exactly = \"24 in\" }") + &cap("").replace("oversail = 15", "oversail = \"1/2 in\"");
    assert_eq!(lengths(&built(&text), "rim", "board"), [(4, Length::nm(25 * 25_400_000))]);
}
