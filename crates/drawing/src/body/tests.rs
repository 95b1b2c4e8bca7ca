//! Against what is seen of two boxes, worked by hand.

use super::*;
use serde_json::json;

const AXES: [[f64; 3]; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

/// A board 100 wide and 40 high in front of one 60 wide and 20 high that lies 30 behind, and starts 10 further right.
fn two() -> Body {
    let part =
        |id: &str, at, size| BodyPart { id: id.into(), of: "board".into(), solid: Convex::cuboid(at, AXES, size) };
    let parts = vec![part("A1", [0.0; 3], [100.0, 10.0, 40.0]), part("B1", [10.0, 40.0, 0.0], [60.0, 10.0, 20.0])];
    Body { parts, steps: vec![vec![1], vec![0]] }
}

/// How many strokes of each width a picture has: wide, then narrow.
fn strokes(svg: &Svg) -> [usize; 2] {
    let mut widths: Vec<(f64, usize)> = Vec::new();
    for path in svg.body.split("<path ").skip(1) {
        let after = |key: &str| path.split(key).nth(1).and_then(|rest| rest.split('"').next()).expect("a value");
        widths.push((after("stroke-width=\"").parse().expect("a width"), after("d=\"").matches('M').count()));
    }
    let wide = widths.iter().map(|one| one.0).fold(0.0, f64::max);
    [true, false].map(|is| widths.iter().filter(|one| (one.0 == wide) == is).map(|one| one.1).sum())
}

#[test]
fn what_lies_behind_is_not_drawn() {
    let body = two();
    // Level from the front the one behind is wholly hidden: four edges of a rectangle.
    assert_eq!(strokes(&body.turned(Side { around: 0, above: 0 }, None)), [4, 0]);
    // From behind the small one stands before the large one: its four edges, and of the large one's lower edge only what
    // shows on both sides of it.
    assert_eq!(strokes(&body.turned(Side { around: 12, above: 0 }, None)), [4 + 5, 0]);
    // From above both are rectangles.
    assert_eq!(strokes(&body.turned(Side { around: 0, above: 6 }, None)), [8, 0]);
    // From a corner a box shows nine edges of its twelve; that behind shows fewer than it has.
    let [seen, _] = strokes(&body.turned(Side { around: 3, above: 2 }, None));
    assert!((10..18).contains(&seen), "{seen}");
}

#[test]
fn parts_leave_in_the_order_in_which_they_came() {
    let body = two();
    let back = Side { around: 12, above: 0 };
    assert_eq!(strokes(&body.turned(back, Some(1))), [4, 0], "the first step alone");
    // The second adds the large one behind it, in wide lines.
    let svg = body.turned(back, Some(2));
    let wide = svg.body.matches("<path").count();
    assert_eq!(wide, 2);
    assert_eq!(svg.description, "Added: A1.");
    assert_eq!(body.turned(back, Some(99)), svg, "more steps than there are");
}

#[test]
fn it_stands_still_as_it_turns() {
    let body = two();
    let sizes: Vec<[f64; 2]> = (0..ROUND)
        .flat_map(|around| (-UPRIGHT..=UPRIGHT).map(move |above| Side { around, above }))
        .map(|side| body.turned(side, Some(1)))
        .map(|svg| [svg.width_mm, svg.height_mm])
        .collect();
    assert!(sizes.iter().all(|size| *size == sizes[0]));
    assert!(sizes[0][1] <= WIDE + 1e-9);
    // Nothing leaves the paper.
    for around in 0..ROUND {
        let svg = body.turned(Side { around, above: 2 }, None);
        let numbers =
            svg.body.split("d=\"").skip(1).flat_map(|path| path.split('"').next().unwrap_or("").split(['M', 'L']));
        for point in numbers.filter(|point| !point.is_empty()) {
            let at: Vec<f64> = point.split(' ').filter_map(|number| number.parse().ok()).collect();
            assert!((0.0..=svg.width_mm).contains(&at[0]) && (0.0..=svg.height_mm).contains(&at[1]), "{point}");
        }
    }
}

#[test]
fn a_side_in_words() {
    assert_eq!(Side { around: 3, above: 2 }.words(), "from the front right, 30° above");
    assert_eq!(Side { around: -6, above: 0 }.words(), "from the left, level");
    assert_eq!(Side { around: 23, above: -1 }.words(), "from the front, 15° below");
    assert_eq!(Side { around: 0, above: 6 }.words(), "straight from above, the front below");
}

#[test]
fn a_body_is_read_back_as_it_was_written_and_nothing_else_is() {
    let body = two();
    let written = body.written();
    assert_eq!(Body::read(&written), Some(body));
    for (at, bad) in [
        ("/parts/0/corners/0", json!([0.5, 0, 0])),
        ("/parts/0/corners/0", json!([9_000_000_000_000_000_i64, 0, 0])),
        ("/parts/0/faces/0", json!([0, 1])),
        ("/parts/0/faces/0", json!([0, 99, 1])),
        ("/parts/0/faces", json!([])),
        ("/parts/0/id", json!(7)),
        ("/steps/0", json!([0])),
        ("/steps/0", json!([5])),
        ("/steps", json!({})),
    ] {
        let mut other = written.clone();
        *other.pointer_mut(at).expect(at) = bad.clone();
        assert_eq!(Body::read(&other), None, "{at} {bad}");
    }
    assert_eq!(Body::read(&json!(null)), None);
}
