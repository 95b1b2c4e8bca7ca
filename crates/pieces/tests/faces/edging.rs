//! Rings of units: on edge, and round corners that are not right angles.

use crate::workshop::{built, is_sound, near, parts, quantity, told};
use measure::Length;
use std::f64::consts::PI;

fn mm(length: i64) -> Length {
    Length::mm(length)
}

fn ring(more: &str) -> String {
    format!("[piece.ring]\nis = \"edging\"\naround = \"box\"\nunit = \"brick\"\n{more}\n")
}

/// Bricks of 215 × 102.5 × 65 on edge: 215 along the row, 65 deep, 102.5 high. A pinwheel closes at n (u + j) = A + w: with A = 1060 and
/// w = 65 five bricks of 215 and a joint of 10 (the ring rules of the trade, *common practice*).
#[test]
fn bricks_on_edge() {
    let text =
        "[piece.box]\nis = \"walls\"\nlength = { exactly = 1060 }\nheight = { exactly = 400 }\nboard = \"slat\"\n"
            .to_owned()
            + &ring("laid = \"on edge\"\njoint = { want = 10, from = 8, to = 12 }\nsunk = \"60 %\"");
    let build = built(&text);
    is_sound(&build);
    let units = parts(&build, "ring", "unit");
    assert_eq!(units.len(), 20);
    assert_eq!(quantity(&build, "ring.front.gap").value.value, 10_000_000);
    let first = units[0];
    assert_eq!(
        [first.solid.length, first.solid.width, first.solid.thickness],
        [mm(215), Length::nm(102_500_000), mm(65)]
    );
    assert_eq!(first.extent(), [mm(215), mm(65), Length::nm(102_500_000)]);
    // Sunk is a share of its height as it stands: 61.5 of 102.5.
    assert_eq!(first.at.corner, [mm(10), mm(-65), Length::nm(-61_500_000)]);
}

/// An open ring round a hexagon: each row is the side of the outline moved out by the clearance, A + 2 c tan 30°, and the next ring
/// could stand 65 further out.
#[test]
fn a_hexagon_in_an_open_ring() {
    let text = "[piece.box]\nis = \"walls\"\noutline = \"hexagon\"\nlength = { want = 900, from = 850, to = 950 }\nheight = { exactly = 400 }\nboard = \"slat\"\n".to_owned()
        + &ring("laid = \"on edge\"\njoint = { want = 10, from = 9, to = 11 }\nclearance = 20");
    let build = built(&text);
    is_sound(&build);
    let side = quantity(&build, "box.length").value.value as f64 / 1e6;
    for face in ["front", "side 2", "side 3", "side 4", "side 5", "side 6"] {
        let row = build.rows.iter().find(|row| row.piece == "ring" && row.face == face).expect("a row");
        near(row.length.as_mm(), side + 40.0 * (PI / 6.0).tan(), 2e-6);
        assert_eq!(row.count, 4);
    }
    assert_eq!(parts(&build, "ring", "unit").len(), 24);
    let outline = build.outlines.iter().find(|outline| outline.piece == "box").expect("an outline");
    assert_eq!(outline.corners.len(), 6);
}

/// Round a tub that is wider at its foot the ring goes round the foot, 100 further out on all sides; round one that is wider at the
/// top round the top.
#[test]
fn a_ring_keeps_clear_of_leaning_walls() {
    for (batter, opening) in [(-100, 700), (100, 500)] {
        let text = format!(
            "[piece.box]\nis = \"walls\"\nlength = {{ exactly = 500 }}\nheight = {{ exactly = 400 }}\nboard = \"slat\"\nbatter = {batter}\n"
        ) + &ring("corners = \"open\"\njoint = { want = 10, from = 0, to = 80 }");
        let build = built(&text);
        is_sound(&build);
        let row = build.rows.iter().find(|row| row.piece == "ring" && row.face == "front").expect("a row");
        assert_eq!(row.length, mm(opening));
    }
}

#[test]
fn what_cannot_be_is_told() {
    let hexagon = "[piece.box]\nis = \"walls\"\noutline = \"hexagon\"\nlength = 900\nheight = { exactly = 400 }\nboard = \"slat\"\n";
    for corners in ["pinwheel", "front through", "sides through"] {
        let text = hexagon.to_owned() + &ring(&format!("joint = 10\ncorners = \"{corners}\""));
        assert_eq!(told(&text), format!("corners that are not right angles cannot be `{corners}`"));
    }
    let laid = told(&(hexagon.to_owned() + &ring("joint = 10\nlaid = \"upright\"")));
    assert!(laid.starts_with("`laid` cannot be `upright`"), "{laid}");
    // 900 give or take 10 % is too short for a fifth brick and too long for four with joints of 1.
    let tight = hexagon.replace("900", "{ exactly = 900 }") + &ring("joint = 1");
    assert_eq!(told(&tight), "collides");
    let posts = "[piece.frame]\nis = \"posts\"\nin = \"box\"\nboard = \"post-70\"\n";
    let inner = hexagon.to_owned() + posts + &ring("joint = 10").replace("around = \"box\"", "around = \"frame\"");
    assert_eq!(told(&inner), "`frame` stands in `box`, and `ring` would lie under its walls");
}
