//! Outlines with equal sides: lengths, places and volumes by closed forms.

use crate::workshop::{built, contact, is_sound, lengths, near, parts, quantity, told, volume};
use measure::Length;
use std::f64::consts::PI;

const WORDS: [(&str, f64); 6] =
    [("triangle", 3.0), ("pentagon", 5.0), ("hexagon", 6.0), ("octagon", 8.0), ("decagon", 10.0), ("dodecagon", 12.0)];

fn walls(word: &str, side: i64, more: &str) -> String {
    format!(
        "[piece.tree]\nis = \"walls\"\noutline = \"{word}\"\nlength = {{ exactly = {side} }}\nheight = {{ exactly = 200 }}\n\
         board = \"slat\"\n{more}\n"
    )
}

/// The area of a regular n-gon by its side: n s² / (4 tan(π/n)).
fn area(count: f64, side: f64) -> f64 {
    count * side * side / (4.0 * (PI / count).tan())
}

/// Each board is as long as a side, to its long points; mitres of 180° / n; the wood is what lies between the outline and the
/// outline moved in by the thickness, whose sides are shorter by 2 t tan(π/n) (closed forms).
#[test]
fn every_regular_outline_is_mitred() {
    for (word, count) in WORDS {
        let build = built(&walls(word, 900, ""));
        is_sound(&build);
        let sides = count as usize;
        assert_eq!(lengths(&build, "tree", "board"), [(2 * sides, Length::mm(900))], "{word}");
        assert_eq!(quantity(&build, "tree.mitre").value.value, (180.0 / count * 1e6) as i128, "{word}");
        let inner = 900.0 - 2.0 * 20.0 * (PI / count).tan();
        near(volume(&build, "tree"), (area(count, 900.0) - area(count, inner)) * 200.0, 1.0);
        // The mitre is t / cos(π/n) wide.
        let boards = parts(&build, "tree", "board");
        for side in 0..sides {
            let touching = contact(boards[side], boards[(side + 1) % sides]);
            near(touching, 20.0 / (PI / count).cos() * 100.0, 1e-2);
        }
    }
}

/// A hexagon is twice its side wide and √3 sides deep, and stands clear of its neighbours to the left and right.
#[test]
fn a_hexagon_stands_where_it_has_room() {
    let box_text =
        "[piece.NAME]\nis = \"walls\"\nlength = { exactly = 500 }\nheight = { exactly = 200 }\nboard = \"slat\"\n";
    let text = box_text.replace("NAME", "before") + &walls("hexagon", 900, "") + &box_text.replace("NAME", "after");
    let build = built(&text);
    is_sound(&build);
    let reach = |piece: &str, axis: usize| {
        let own = parts(&build, piece, "board");
        let low = own.iter().map(|part| part.near_corner()[axis]).min().expect("a board");
        let high = own.iter().map(|part| part.far_corner()[axis]).max().expect("a board");
        [low.as_mm(), high.as_mm()]
    };
    let [left, right] = reach("tree", 0);
    near(right - left, 1800.0, 1e-5);
    // Kept free: one side to the left and one to the right of the front.
    near(left, 3500.0 + 450.0, 1e-5);
    near(reach("after", 0)[0], 3500.0 + 2700.0 + 3000.0, 1e-9);
    let [front, back] = reach("tree", 1);
    near(back - front, 3_f64.sqrt() * 900.0, 1e-5);
    near(front, 0.0, 1e-9);
}

#[test]
fn turned_corners_are_only_mitred() {
    let told_of = |corners: &str| told(&walls("hexagon", 900, &format!("corners = \"{corners}\"")));
    for corners in ["front through", "sides through", "pinwheel", "pinwheel, turned"] {
        assert_eq!(told_of(corners), format!("corners that are not right angles cannot be `{corners}`"));
    }
    assert_eq!(
        told(&walls("hexagon", 900, "corners = \"on posts\"\npost = \"post-70\"")),
        "only the corners of a rectangle can be `on posts`"
    );
    assert_eq!(told(&walls("hexagon", 900, "width = 400")), "a hexagon has no `width`");
    let any = built(&walls("hexagon", 900, "corners = \"any\""));
    assert_eq!(lengths(&any, "tree", "board"), [(12, Length::mm(900))]);
}

/// A triangle of 100 is 28.9 from its middle to its sides, so boards of 20 leave an inside 30.7 long: too small. Seven metres are
/// longer than the boards.
#[test]
fn too_small_and_too_large_collide() {
    for text in [walls("triangle", 100, ""), walls("dodecagon", 7000, "")] {
        assert_eq!(told(&text), "collides");
    }
    let build = built(&walls("hexagon", 7000, "join = \"over ribs\"\nrib = \"rib\""));
    is_sound(&build);
    assert_eq!(parts(&build, "tree", "rib").len(), 6 * 5);
}
