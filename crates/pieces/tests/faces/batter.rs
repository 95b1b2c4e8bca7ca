//! Walls that lean: lengths, angles and heights by closed forms, and solid geometry: the parts meet in their planes.

use crate::workshop::{built, contact, is_sound, lengths, near, parts, quantity, told, volume};
use measure::Length;
use std::f64::consts::PI;

fn tub(outline: &str, side: i64, batter: i64) -> String {
    format!(
        "[piece.tub]\nis = \"walls\"\n{outline}length = {{ exactly = {side} }}\nheight = {{ exactly = 400 }}\nboard = \"slat\"\n\
         batter = {batter}\n"
    )
}

/// All parts of a leaning box touch their neighbours round the corner over the whole cut, to a micrometre, run into nothing, and
/// the ones above and below touch too.
///
/// The cut is as large as the section b × t over the cosine between the board's length and the plane's normal, which lies half-way
/// between the two headings: cos(π/n), whatever the lean.
#[test]
fn the_parts_of_a_leaning_box_meet_in_their_planes() {
    let outlines: [(&str, f64); 4] = [
        ("", 4.0),
        ("outline = \"triangle\"\n", 3.0),
        ("outline = \"hexagon\"\n", 6.0),
        ("outline = \"dodecagon\"\n", 12.0),
    ];
    for (outline, count) in outlines {
        for batter in [-150, -60, 60, 150] {
            let build = built(&tub(outline, 700, batter));
            is_sound(&build);
            let sides = count as usize;
            let boards = parts(&build, "tub", "board");
            assert_eq!(boards.len(), 4 * sides);
            let cut = 100.0 * 20.0 / (PI / count).cos();
            for course in 0..4 {
                for side in 0..sides {
                    let at = |side: usize| boards[course * sides + side % sides];
                    near(contact(at(side), at(side + 1)), cut, 0.05);
                    if course > 0 {
                        let below = boards[(course - 1) * sides + side];
                        assert!(contact(at(side), below) > 20.0 * 100.0, "courses lie on one another");
                    }
                }
            }
        }
    }
}

/// The angles at the saw: atan(tan(180°/N) · sin S) and asin(sin(180°/N) · cos S), S = asin(batter / slope) (*common practice*).
#[test]
fn compound_angles() {
    for (outline, count) in [("", 4.0_f64), ("outline = \"hexagon\"\n", 6.0), ("outline = \"octagon\"\n", 8.0)] {
        let build = built(&tub(outline, 700, 100));
        let lean = (100.0_f64 / 400.0).asin();
        let told = |name: &str| quantity(&build, &format!("tub.{name}")).value.value as f64 / 1e6;
        near(told("lean"), lean.to_degrees(), 1e-6);
        near(told("saw"), ((PI / count).tan() * lean.sin()).atan().to_degrees(), 2e-6);
        near(told("tilt"), ((PI / count).sin() * lean.cos()).asin().to_degrees(), 2e-6);
    }
}

/// The same angles from the solid: the cut's trace on the outer face, and its angle to that face.
#[test]
fn compound_angles_are_those_of_the_solid() {
    for batter in [-100, 100] {
        let build = built(&tub("outline = \"hexagon\"\n", 700, batter));
        let told = |name: &str| quantity(&build, &format!("tub.{name}")).value.value as f64 / 1e6;
        let board = parts(&build, "tub", "board")[0];
        let normal = board.solid.ends[1][0].normal.map(|part| part as f64 / 1e12);
        // Along the board x, inwards y, up the slope z: the saw turns by the trace's slant on the face, the blade by what is left.
        near((normal[2].abs() / normal[0]).atan().to_degrees(), told("saw"), 2e-6);
        near(normal[1].abs().asin().to_degrees(), told("tilt"), 2e-6);
    }
}

/// A square tub 500 wide at the top, on a slope of 400 with a batter of 80: each course is 2 · 80 · 100/400 = 40 narrower than the
/// one above, at its upper edge (similar triangles).
#[test]
fn courses_of_a_square_tub() {
    let wide_top = built(&tub("", 500, 80));
    assert_eq!(lengths(&wide_top, "tub", "board"), [500, 460, 420, 380].map(|long| (4, Length::mm(long))));
    let wide_foot = built(&tub("", 500, -80));
    assert_eq!(lengths(&wide_foot, "tub", "board"), [660, 620, 580, 540].map(|long| (4, Length::mm(long))));
    assert_eq!(quantity(&wide_foot, "tub.front.course-1.length").value.value, 660_000_000);
    assert_eq!(quantity(&wide_top, "tub.left.course-4.length").value.value, 500_000_000);
}

/// Slope 400, batter 80: √(400² − 80²) = 391.92 high, boards of 20 add 20 · 80/400 = 4. The lowest edge is on the ground, the
/// outer face at the top as wide as wished.
#[test]
fn heights_and_widths() {
    for batter in [-80, 80] {
        let build = built(&tub("", 500, batter));
        let boards = parts(&build, "tub", "board");
        let low = boards.iter().map(|part| part.near_corner()[2].as_mm()).fold(f64::INFINITY, f64::min);
        let high = boards.iter().map(|part| part.far_corner()[2].as_mm()).fold(0.0, f64::max);
        near(low, 0.0, 2e-5);
        near(high, (400.0_f64 * 400.0 - 80.0 * 80.0).sqrt() + 4.0, 2e-5);
        near(quantity(&build, "tub.plumb-height").value.value as f64 / 1e6, high, 2e-5);
        let corner = |axis: usize| boards.iter().map(|part| part.far_corner()[axis].as_mm()).fold(0.0, f64::max);
        let wide = if batter > 0 { 500.0 } else { 580.0 };
        near(corner(0), wide, 1e-4);
        near(corner(1), wide, 1e-4);
    }
}

/// The wood of a leaning hexagon is that of its six walls: each a layer t thick on a trapezium whose middle line lies half-way up the
/// slope and half-way through the board (mean of the sides of a prismatoid that is linear both ways), by closed form.
#[test]
fn the_wood_of_a_leaning_hexagon() {
    let (side, slope, t) = (700.0, 400.0, 20.0);
    for batter in [-120.0_f64, 120.0] {
        let build = built(&tub("outline = \"hexagon\"\n", 700, batter as i64));
        let sin = batter / slope;
        let cos = (1.0 - sin * sin).sqrt();
        let out = -batter / 2.0 - t / 2.0 * cos;
        let middle = side + 2.0 * out * (PI / 6.0).tan();
        near(volume(&build, "tub"), 6.0 * middle * slope * t, 6.0);
    }
}

#[test]
fn what_does_not_lean_is_told() {
    let cases = [
        (
            tub("outline = \"L\"\nwidth = 700\nfront-arm = 300\nleft-arm = 300\n", 700, 50),
            "only rectangles and outlines with equal sides can lean",
        ),
        (tub("corners = \"pinwheel\"\n", 500, 50), "walls that lean can only be mitred"),
        (tub("join = \"over ribs\"\nrib = \"rib\"\n", 500, 50), "only plumb courses of boards are joined over ribs"),
        (tub("", 500, 501), "`batter` is too large: 501 mm"),
        // Half the slope and more: a roof, not a wall.
        (tub("", 700, 200), "collides"),
        // Nothing is left at the foot.
        (tub("", 300, 120), "collides"),
        (tub("", 2800, -150), "collides"),
    ];
    for (text, expected) in cases {
        assert_eq!(told(&text), expected);
    }
}
