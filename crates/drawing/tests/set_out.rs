//! Where posts, rails and joists go, against builds made by hand: each reading is a difference of the places they were given.

mod common;

use common::{BOARD, Lies, finished, part};
use drawing::{Paper, Svg, set_out_in_pages};
use measure::{Length, Tape, Unit};
use model::build::Build;
use model::part::{Axis, from_mm};

const PAPERS: [Paper; 4] = [Paper::A4Portrait, Paper::A4Landscape, Paper::Page, Paper::Phone];

fn mm() -> Tape {
    Tape::usual(Unit::Millimetre)
}

/// A part upright or lying, by its corner and its size in mm.
fn put(build: &mut Build, key: [&str; 3], index: u32, from: [f64; 3], size: [f64; 3]) {
    let lies = Lies { from: from.map(from_mm), size: size.map(from_mm), along: Axis::Z, across: Axis::X };
    build.parts.push(part(key, [0, index], BOARD, lies));
}

/// Posts 45 wide along the front and the back, where they begin in mm from the inner face of a wall 20 thick; the back is
/// counted from its own left, seen from outside.
fn posts(starts: &[f64], long: f64) -> Build {
    let mut build = Build::default();
    for (index, &start) in (0..).zip(starts) {
        put(&mut build, ["posts", "front", "post"], index, [20.0 + start, 20.0, 0.0], [45.0, 45.0, 400.0]);
        let back = 20.0 + long - start - 45.0;
        put(&mut build, ["posts", "back", "post"], index, [back, 620.0, 0.0], [45.0, 45.0, 400.0]);
    }
    finished(build)
}

/// The texts that stand alone as readings, in the order in which they are written.
fn readings(svg: &Svg) -> Vec<&str> {
    let alone = |text: &&str| text.starts_with(|sign: char| sign.is_ascii_digit()) && !text.contains(' ');
    svg.texts.iter().map(|text| text.text.as_str()).filter(alone).collect()
}

fn said(pages: &[Svg]) -> String {
    pages.iter().flat_map(|svg| &svg.texts).map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// Every text at least 2.5 mm high, inside the drawing, and clear of every other.
#[track_caller]
fn check(name: &str, svg: &Svg) {
    for (place, text) in svg.texts.iter().enumerate() {
        assert!(text.letters >= 2.5, "{name}: {text:?}");
        assert!(text.x >= -1e-9 && text.x + text.width <= svg.width_mm + 1e-9, "{name}: {text:?}");
        assert!(text.y >= -1e-9 && text.y + text.height <= svg.height_mm + 1e-9, "{name}: {text:?}");
        for other in &svg.texts[place + 1..] {
            assert!(!text.overlaps(other), "{name}: {text:?} lies over {other:?}");
        }
    }
}

/// Four posts at 0, 474.3, 948.7 and 1423 of 1468: the tape reads 0, 474, 949, 1423, halves as they round. The back, read
/// from its own left, is the same strip.
#[test]
fn posts_inside_walls() {
    let build = posts(&[0.0, 474.3, 948.7, 1423.0], 1468.0);
    let pages = set_out_in_pages(&build, mm(), Paper::A4Portrait);
    assert_eq!(pages.len(), 1);
    assert_eq!(readings(&pages[0]), ["0", "474", "949", "1423"]);
    let said = said(&pages);
    assert!(said.contains("posts, posts, front and back: 1:10"), "{said}");
    assert!(said.contains("0 is the outer edge of the first post, seen from outside, left to right"), "{said}");
    assert!(said.contains("4 posts, 45 along the strip"), "{said}");
}

/// Without symmetry the back is another strip: 1468 less 45 and less each start of the front, read from the other end.
#[test]
fn faces_that_read_differently_have_strips_of_their_own() {
    let mut build = Build::default();
    for (index, start) in [(0, 0.0), (1, 300.0), (2, 1423.0)] {
        for (face, y) in [("front", 0.0), ("back", 600.0)] {
            put(&mut build, ["posts", face, "post"], index, [start, y, 0.0], [45.0, 45.0, 400.0]);
        }
    }
    let pages = set_out_in_pages(&finished(build), mm(), Paper::A4Portrait);
    assert_eq!(readings(&pages[0]), ["0", "300", "1423", "0", "1123", "1423"]);
}

/// Joists between rims that reach 100 beyond the first of them: 0 is the end of the rims.
#[test]
fn joists_are_read_from_the_end_of_their_piece() {
    let mut build = Build::default();
    put(&mut build, ["deck", "front", "rim"], 0, [500.0, 0.0, 0.0], [1900.0, 45.0, 145.0]);
    for (index, start) in [(0, 600.0), (1, 1060.5), (2, 2300.0)] {
        put(&mut build, ["deck", "front", "joist"], index, [start, 45.0, 0.0], [45.0, 900.0, 145.0]);
    }
    let pages = set_out_in_pages(&finished(build), mm(), Paper::Page);
    assert_eq!(readings(&pages[0]), ["0", "100", "561", "1800"]);
    assert!(said(&pages).contains("0 is the outer end of the whole of deck"), "{}", said(&pages));
}

/// The last post of the front stands in the corner and belongs to the right: it is in the strip of the front all the same.
#[test]
fn corner_posts_of_the_next_face_are_in_line() {
    let mut build = Build::default();
    for (index, start) in [(0, 0.0), (1, 500.0)] {
        put(&mut build, ["posts", "front", "post"], index, [start, 0.0, 0.0], [70.0, 45.0, 400.0]);
    }
    put(&mut build, ["posts", "right", "post"], 0, [1025.0, 0.0, 0.0], [45.0, 70.0, 400.0]);
    let pages = set_out_in_pages(&finished(build), mm(), Paper::Page);
    assert_eq!(readings(&pages[0]), ["0", "500", "1025"]);
}

/// Rails of a screen, read from the top of its posts, whose feet are buried: the rails end at 1180, 700 and 250, the posts at 1200.
#[test]
fn rails_above_one_another_are_read_from_the_top() {
    let mut build = Build::default();
    put(&mut build, ["screen", "front", "post"], 0, [0.0, 0.0, -600.0], [90.0, 90.0, 1800.0]);
    for (index, low) in [(0, 160.0), (1, 610.0), (2, 1090.0)] {
        put(&mut build, ["screen", "front", "rail"], index, [0.0, -45.0, low], [1800.0, 45.0, 90.0]);
    }
    let pages = set_out_in_pages(&finished(build), mm(), Paper::Page);
    assert_eq!(readings(&pages[0]), ["0", "20", "500", "950"]);
    assert!(said(&pages).contains("from the top down"), "{}", said(&pages));
}

#[test]
fn one_part_alone_and_more_than_forty_have_no_strip() {
    for (count, pages) in [(0, 0), (1, 0), (2, 1), (40, 1), (41, 0)] {
        let starts: Vec<f64> = (0..count).map(|place| f64::from(place) * 60.0).collect();
        let mut build = Build::default();
        for (index, &start) in (0..).zip(&starts) {
            put(&mut build, ["posts", "front", "post"], index, [start, 0.0, 0.0], [45.0, 45.0, 400.0]);
        }
        assert_eq!(set_out_in_pages(&finished(build), mm(), Paper::A4Portrait).len(), pages, "{count}");
    }
}

/// Few and many, even, and crowded at one end, on all papers and tapes: no text over another, and no reading lost.
#[test]
fn no_text_lies_over_another() {
    let tapes = [
        mm(),
        Tape::new(Unit::Millimetre, Length::nm(500_000)).expect("a tape in half millimetres"),
        Tape::usual(Unit::Inch),
        Tape::usual(Unit::FootInch),
    ];
    for count in [2, 3, 5, 9, 17, 28, 40] {
        let even: Vec<f64> = (0..count).map(|place| f64::from(place) * 474.3).collect();
        let crowded: Vec<f64> =
            (0..count).map(|place| if place == 0 { 0.0 } else { 9e3 + f64::from(place) * 46.7 }).collect();
        for starts in [even, crowded] {
            let build = posts(&starts, starts[starts.len() - 1] + 45.0);
            for tape in tapes {
                for paper in PAPERS {
                    let pages = set_out_in_pages(&build, tape, paper);
                    pages.iter().for_each(|page| check(&format!("{count}, {tape:?}, {paper:?}"), page));
                    let said = said(&pages);
                    let lost =
                        starts.iter().find(|start| !said.split(' ').any(|word| word == tape.show(from_mm(**start))));
                    // A reading in inches may have a space before its fraction, so it is looked for as a whole.
                    let lost = lost.filter(|start| !said.contains(&tape.show(from_mm(**start))));
                    assert_eq!(lost, None, "{count}, {tape:?}, {paper:?}");
                }
            }
        }
    }
}
