//! To scale: what is drawn, measured on the paper, is what the parts measure.

mod common;

use common::{Lies, UNIT, builds, finished, part, path, ring, trough};
use drawing::{Paper, Svg, front, plan, side};
use measure::{Length, Tape, Unit};
use model::build::Build;
use model::part::{Axis, Plane};

const MM: fn() -> Tape = || Tape::usual(Unit::Millimetre);

/// The rectangles of filled outlines, as left, top, width and height in mm of paper, read back from the SVG.
fn rectangles(svg: &Svg) -> Vec<[f64; 4]> {
    let alone = svg.standalone();
    let document = roxmltree::Document::parse(&alone).expect("well-formed");
    let mut found = Vec::new();
    for path in document.descendants().filter(|node| node.has_tag_name("path")) {
        if path.ancestors().find_map(|node| node.attribute("fill")) != Some("#fff") {
            continue;
        }
        for piece in path.attribute("d").unwrap_or_default().split('M').filter(|piece| piece.contains('h')) {
            let numbers: Vec<f64> =
                piece.split([' ', 'h', 'v', 'z']).filter_map(|number| number.parse().ok()).collect();
            found.push([numbers[0], numbers[1], numbers[2], numbers[3]]);
        }
    }
    found
}

/// The scale as the title states it: `1:20` gives 20.
fn stated(svg: &Svg) -> f64 {
    let after = svg.title.split("1:").nth(1).expect("a scale");
    after.split(',').next().and_then(|times| times.parse().ok()).expect("a number")
}

fn area(rectangles: &[[f64; 4]]) -> f64 {
    rectangles.iter().map(|[_, _, wide, high]| wide * high).sum()
}

/// Nothing lies over anything in a ring or a path: the drawn areas are the sum of the parts' own, to scale.
#[test]
fn areas_of_a_single_layer() {
    let mut ring_build = Build::default();
    ring(&mut ring_build, [16, 5], Length::mm(100), Length::mm(10));
    for build in [finished(ring_build), path(30, 20), path(60, 50)] {
        let svg = plan(&build, MM(), Paper::A4Portrait);
        let drawn = area(&rectangles(&svg)) * stated(&svg).powi(2);
        let parts: f64 = build
            .parts
            .iter()
            .map(|part| {
                let [long, wide, _] = part.extent();
                long.as_mm() * wide.as_mm()
            })
            .sum();
        // Coordinates are written to a thousandth of a mm of paper.
        assert!((drawn / parts - 1.0).abs() < 2e-3, "{drawn} {parts}");
        assert_eq!(rectangles(&svg).len(), build.parts.len());
    }
}

/// Whatever is drawn lies within the build: the frame of all rectangles, to scale, is the largest that its parts have.
#[test]
fn frames_of_all_builds() {
    for (name, build) in builds().into_iter().filter(|(_, build)| !build.parts.is_empty()) {
        for (svg, axes) in [(plan(&build, MM(), Paper::Page), [0, 1]), (side(&build, MM(), Paper::Page), [1, 2])] {
            let near = |axis: usize| build.parts.iter().map(|part| part.at.corner[axis]).min().expect("parts");
            let far = |axis: usize| build.parts.iter().map(|part| part.far_corner()[axis]).max().expect("parts");
            let drawn = rectangles(&svg);
            if drawn.is_empty() {
                assert!(far(2) <= Length::ZERO, "{name}: only what is buried is not drawn as outline");
                continue;
            }
            let left = drawn.iter().map(|one| one[0]).fold(f64::INFINITY, f64::min);
            let right = drawn.iter().map(|one| one[0] + one[2]).fold(0.0, f64::max);
            let real = (far(axes[0]) - near(axes[0])).as_mm();
            let paper = (right - left) * stated(&svg);
            let allowed = 0.002 * stated(&svg);
            assert!(paper <= real + allowed, "{name}: {paper} {real}");
            if axes == [0, 1] {
                assert!(paper >= real - allowed, "{name}: {paper} {real}");
            }
        }
    }
}

/// A board in front of others, worked by hand: what lies wholly behind is left out, what is partly seen is painted before.
#[test]
fn what_lies_behind_is_not_drawn() {
    let lies = |from: [i64; 3], size: [i64; 3]| Lies {
        from: from.map(Length::mm),
        size: size.map(Length::mm),
        along: Axis::X,
        across: Axis::Z,
    };
    let mut build = Build::default();
    let boxes = [lies([0, 100, 0], [100, 20, 50]), lies([20, 50, 10], [30, 20, 30]), lies([0, 0, 0], [60, 20, 50])];
    for (index, lies) in boxes.into_iter().enumerate() {
        build.parts.push(part(["p", "f", "r"], [0, index as u32], UNIT, lies));
    }
    let drawn = rectangles(&front(&build, MM(), Paper::Page));
    let widths: Vec<f64> = drawn.iter().map(|one| one[2]).collect();
    assert_eq!(widths, [100.0, 60.0], "the far one first, the middle one not at all, at 1:1");
}

/// A mitre at 45° seen from above takes its triangle off: area worked by hand.
#[test]
fn a_mitred_end_is_drawn_mitred() {
    let mut build = Build::default();
    let lies = Lies { from: [Length::ZERO; 3], size: [80, 20, 10].map(Length::mm), along: Axis::X, across: Axis::Y };
    let mut board = part(["p", "f", "r"], [0, 0], UNIT, lies);
    // Beyond the plane through the far lower corner, at 45 degrees, nothing is left.
    let through = [Length::mm(80), Length::ZERO, Length::ZERO];
    board.solid.ends[1].push(Plane { normal: [707_106_781_187, 707_106_781_187, 0], through });
    build.parts.push(board);
    let svg = plan(&build, MM(), Paper::Page);
    // The outlines of the parts are the first group of paths that is filled with paper.
    let filled = svg.body.split("<g fill=\"var(--paper").nth(1).expect("the outlines");
    let outline = filled.split("d=\"").find(|piece| piece.contains('L')).expect("a polygon");
    let points: Vec<[f64; 2]> = outline
        .split('z')
        .next()
        .into_iter()
        .flat_map(|text| text.split(['M', 'L']))
        .filter_map(|point| {
            let (x, y) = point.split_once(' ')?;
            Some([x.parse().ok()?, y.parse().ok()?])
        })
        .collect();
    let cross = |(a, b): (&[f64; 2], &[f64; 2])| a[0] * b[1] - b[0] * a[1];
    let next = points.iter().cycle().skip(1);
    let area: f64 = points.iter().zip(next).map(cross).sum::<f64>().abs() / 2.0;
    assert_eq!(stated(&svg), 1.0);
    assert!((area - (80.0 * 20.0 - 200.0)).abs() < 0.1, "{area}");
}

/// The sizes of a trough of our own in its ring of setts: outside 1510 × 520, walls 18 (so 1474 × 484 clear), the ring
/// 16 × 110 - 10 = 1750 by 7 × 110 - 10 = 760. Each is written once.
#[test]
fn sizes_are_written_once() {
    let svg = plan(&trough(14), MM(), Paper::A4Portrait);
    for size in ["1750", "1510", "1474", "760", "520", "484"] {
        assert_eq!(svg.texts.iter().filter(|text| text.text == size).count(), 1, "{size}");
    }
    let svg = front(&trough(14), MM(), Paper::A4Portrait);
    for height in ["465", "450", "15", "0", "\u{2212}100"] {
        assert_eq!(svg.texts.iter().filter(|text| text.text == height).count(), 1, "{height}");
    }
}

/// Whatever the paper and the tape, the outer width is written, and from the front every height of a piece and the ground.
#[test]
fn outer_sizes_and_heights_are_always_written() {
    let tapes = [MM(), Tape::usual(Unit::Inch), Tape::usual(Unit::FootInch)];
    for (name, build) in builds().into_iter().filter(|(_, build)| !build.parts.is_empty()) {
        let near = |axis: usize| build.parts.iter().map(|part| part.at.corner[axis]).min().expect("parts");
        let far = |axis: usize| build.parts.iter().map(|part| part.far_corner()[axis]).max().expect("parts");
        for (tape, paper) in tapes.into_iter().flat_map(|tape| [(tape, Paper::Page), (tape, Paper::Phone)]) {
            let wide = tape.show(far(0) - near(0));
            for svg in [plan(&build, tape, paper), front(&build, tape, paper)] {
                assert!(svg.texts.iter().any(|text| text.text == wide), "{name}: {wide} of {:?}", svg.title);
            }
            let svg = front(&build, tape, paper);
            for height in [tape.show(far(2)), tape.show(Length::ZERO)] {
                assert!(svg.texts.iter().any(|text| text.text == height), "{name}: {height} on {paper:?}");
            }
        }
    }
}

/// Growth is near linear: four times the parts take at most four times the bytes and a little, whichever way they lie.
#[test]
fn bytes_grow_no_faster_than_parts() {
    for draw in [plan, front, side] {
        let few = draw(&path(25, 20), MM(), Paper::Page).body.len();
        let many = draw(&path(50, 40), MM(), Paper::Page).body.len();
        assert!(many < 5 * few + 2000, "{few} {many}");
    }
}

/// A heap of boards of all sizes in no rows at all: what is too much is left out, and how many is said.
#[test]
fn a_heap_without_rows_stays_bounded() {
    let mut random = common::Lcg(5);
    let mut build = Build::default();
    for index in 0..12_000_u32 {
        let [x, size] = [random.below(20_000), 50 + random.below(200)];
        let lies = Lies {
            from: [Length::mm(x), Length::mm(400 * i64::from(index)), Length::mm(i64::from(index))],
            size: [size, size, 1].map(Length::mm),
            along: Axis::X,
            across: Axis::Y,
        };
        build.parts.push(part(["heap", "top", "bit"], [0, index], UNIT, lies));
    }
    let svg = front(&finished(build), MM(), Paper::Page);
    assert!(svg.body.len() < 600_000, "{}", svg.body.len());
    assert!(svg.texts.iter().any(|text| text.text == "2000 smaller parts are not drawn"), "{:?}", svg.texts);
}
