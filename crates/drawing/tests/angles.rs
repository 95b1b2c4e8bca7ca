//! Parts that turn, lean and have trimmed ends, in all drawings: against rays, boxes worked by hand, and closed forms.

mod common;

use common::angled::{angled_builds, screwed, tapered, whole_planter};
use common::{builds, trough};
use drawing::{
    Cut, Paper, Svg, TitleBlock, View, Way, build_up, details, exploded, framed, front, plan, section, side, templates,
    visible_lines,
};
use measure::{Length, Tape, Unit};
use model::build::Build;
use model::joint::{Joints, Slot};
use model::part::{Axis, Part};
use shape::Convex;
use std::collections::BTreeSet;

type Draw = fn(&Build, Tape, Paper) -> Svg;

const VIEWS: [(Draw, View); 3] = [(plan, View::ABOVE), (front, View::FRONT), (side, View::RIGHT)];

fn mm() -> Tape {
    Tape::usual(Unit::Millimetre)
}

fn shapes(build: &Build) -> Vec<Convex> {
    build.parts.iter().filter_map(Part::shape).collect()
}

/// The scale as the drawing states it: `1:20` gives 20.
fn stated(svg: &Svg) -> f64 {
    svg.scale.as_ref().and_then(|scale| scale.strip_prefix("1:")?.parse().ok()).expect("a metric scale")
}

/// All subpaths of paths that `chosen` takes by fill, stroke width and dashes, as lists of points in mm of paper.
fn subpaths(svg: &Svg, chosen: impl Fn(&str, Option<&str>, bool) -> bool) -> Vec<Vec<[f64; 2]>> {
    let alone = svg.standalone();
    let document = roxmltree::Document::parse(&alone).expect("well-formed");
    let mut found = Vec::new();
    for path in document.descendants().filter(|node| node.has_tag_name("path")) {
        let inherited = |name: &str| path.ancestors().find_map(|node| node.attribute(name));
        // A centre line and the outline that a piece stands on are chain lines, and no lines of parts.
        if path.attribute("stroke-dasharray").is_some_and(|dashes| dashes.split(' ').count() == 4) {
            continue;
        }
        if !chosen(inherited("fill").unwrap_or(""), inherited("stroke-width"), path.has_attribute("stroke-dasharray")) {
            continue;
        }
        let pieces = path.attribute("d").unwrap_or_default().split('M').filter(|piece| !piece.is_empty());
        found.extend(pieces.filter(|piece| !piece.contains('a')).map(points));
    }
    found
}

/// The points of `x yLx yLx yz` or of the rectangle `x yhwvhh-wz`.
fn points(piece: &str) -> Vec<[f64; 2]> {
    let numbers = |text: &str| -> Vec<f64> {
        text.split(|sign: char| !(sign.is_ascii_digit() || sign == '.' || sign == '-')).flat_map(str::parse).collect()
    };
    let all = numbers(piece);
    if piece.contains('h') {
        let [x, y, wide, high] = [all[0], all[1], all[2], all[3]];
        return vec![[x, y], [x + wide, y], [x + wide, y + high], [x, y + high]];
    }
    all.chunks(2).map(|pair| [pair[0], pair[1]]).collect()
}

fn area(ring: &[[f64; 2]]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>().abs() / 2.0
}

fn inside(ring: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let next = ring.iter().cycle().skip(1);
    ring.iter()
        .zip(next)
        .filter(|(a, b)| (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) * (b[0] - a[0]) / (b[1] - a[1]))
        .count()
        % 2
        == 1
}

fn long(ring: &[[f64; 2]]) -> f64 {
    ring.windows(2).map(|pair| ((pair[1][0] - pair[0][0]).powi(2) + (pair[1][1] - pair[0][1]).powi(2)).sqrt()).sum()
}

/// What is painted is what rays hit: counted on a grid of points, above the ground.
#[test]
fn silhouettes_are_what_rays_hit() {
    for (name, build) in angled_builds().into_iter().filter(|(name, _)| name != "whole planter") {
        let shapes = shapes(&build);
        for (draw, view) in VIEWS {
            let svg = draw(&build, mm(), Paper::A4Portrait);
            let painted: Vec<Vec<[f64; 2]>> =
                subpaths(&svg, |fill, width, _| fill == "#fff" && width.is_none()).into_iter().collect();
            let ends = |way: usize| painted.iter().flatten().map(move |point| point[way]);
            let reach = |axis: [f64; 3]| {
                let all = shapes.iter().map(|shape| shape.reach(axis));
                all.fold([f64::INFINITY, f64::NEG_INFINITY], |all, one| [all[0].min(one[0]), all[1].max(one[1])])
            };
            let (across, up) = (reach(view.right), reach(view.up));
            let (left, top) = (ends(0).fold(f64::INFINITY, f64::min), ends(1).fold(f64::INFINITY, f64::min));
            let ground = if view == View::ABOVE { f64::NEG_INFINITY } else { 0.0 };
            let (mut hits, mut wrong) = (0, 0);
            for (column, row) in (0..100).flat_map(|column| (0..100).map(move |row| (column, row))) {
                let at = [(column, across), (row, up)]
                    .map(|(step, [low, high])| low + (high - low) * (f64::from(step) + 0.41) / 100.0);
                if at[1] < ground {
                    continue;
                }
                let from = [0, 1, 2].map(|axis| view.right[axis] * at[0] + view.up[axis] * at[1]);
                let hit = shapes.iter().any(|shape| shape.ray(from, view.towards()).is_some());
                let paper = [left + (at[0] - across[0]) / stated(&svg), top + (up[1] - at[1]) / stated(&svg)];
                hits += i32::from(hit);
                wrong += i32::from(hit != painted.iter().any(|ring| inside(ring, paper)));
            }
            assert!(hits > 500 && wrong * 200 <= hits, "{name}, {view:?}: {wrong} of {hits}");
        }
    }
}

/// The strokes of a view, wide above the ground and dashed below it, are together as long as the lines that are seen.
#[test]
fn strokes_are_the_lines_that_are_seen() {
    for (name, build) in angled_builds().into_iter().filter(|(name, _)| wide_enough(name)) {
        for (draw, view) in VIEWS {
            let svg = draw(&build, mm(), Paper::A4Portrait);
            // Dimension lines are narrow and not dashed, the ground line is one stroke beyond the build on both sides.
            let dashed = subpaths(&svg, |fill, _, dashed| fill == "none" && dashed);
            let wide = subpaths(&svg, |fill, width, dashed| {
                fill == "none" && !dashed && width != Some("0.25") && width != Some("0.125")
            });
            let expected: f64 =
                visible_lines(&shapes(&build), &view).iter().map(|stroke| long(&[stroke.from, stroke.to])).sum::<f64>()
                    / stated(&svg);
            let drawn: f64 = dashed.iter().map(|stroke| long(stroke)).sum();
            // Oblique strokes of dimensions are 2√2 long each, strokes of earth 1.2√2; the ground line is wide too.
            let slanting = |stroke: &&Vec<[f64; 2]>| {
                [2.0, 1.2].iter().any(|step| (long(stroke) - step * 2.0_f64.sqrt()).abs() < 1e-3)
            };
            let strokes = wide.iter().filter(|stroke| !slanting(stroke));
            let drawn = drawn + strokes.map(|stroke| long(stroke)).sum::<f64>();
            let ground = if view == View::ABOVE { 0.0 } else { ground_length(&svg, &wide) };
            assert!(
                (drawn - ground - expected).abs() < 0.01 * expected,
                "{name}, {view:?}: {drawn} {ground} {expected}"
            );
        }
    }
}

/// Of boxes alone, and of parts so fine that their wide line is as narrow as a dimension line, strokes are not told apart.
fn wide_enough(name: &str) -> bool {
    name != "whole planter" && !name.contains("12 sides")
}

/// The longest level wide stroke is the ground line.
fn ground_length(svg: &Svg, wide: &[Vec<[f64; 2]>]) -> f64 {
    assert!(svg.width_mm > 0.0);
    wide.iter()
        .filter(|stroke| stroke.len() == 2 && stroke[0][1] == stroke[1][1])
        .map(|stroke| long(stroke))
        .fold(0.0, f64::max)
}

/// Ids that a drawing tells, ranges written out.
fn told(svg: &Svg) -> Vec<String> {
    let mut ids = Vec::new();
    for text in &svg.texts {
        let Some((first, last)) =
            text.text.strip_prefix('[').and_then(|text| text.strip_suffix(']')?.split_once('\u{2013}'))
        else {
            ids.extend(text.text.split(", ").map(str::to_owned));
            continue;
        };
        let letters = first.trim_end_matches(|sign: char| sign.is_ascii_digit());
        let number = |id: &str| id[letters.len()..].parse::<u32>().expect("a number");
        ids.extend((number(first)..=number(last)).map(|number| format!("{letters}{number}")));
    }
    ids
}

/// Taken apart, no part is without its id and none is out of sight.
#[test]
fn all_ids_can_be_read() {
    for (name, build) in builds().into_iter().chain(angled_builds()).filter(|(_, build)| !build.parts.is_empty()) {
        let svg = exploded(&build, Paper::A4Portrait);
        let said =
            svg.texts.iter().any(|text| text.text.starts_with("Not seen") || text.text.starts_with("Without room"));
        assert!(!said, "{name}: {:?}", svg.texts.last());
        let told = told(&svg);
        for part in &build.parts {
            assert_eq!(told.iter().filter(|id| **id == part.id).count(), 1, "{name}: {}", part.id);
        }
    }
}

/// Cut across, a leaning board shows its own section whatever it leans: 150 × 22, four times (closed form).
#[test]
fn a_cut_shows_true_sections() {
    let cut = Cut { square_to: Axis::X, at: Length::mm(250), look: Way::Back };
    let svg = section(&tapered(), Some(cut), mm(), Paper::A4Portrait);
    let faces: Vec<f64> = subpaths(&svg, |fill, width, _| fill == "#fff" && width.is_none())
        .iter()
        .map(|ring| area(ring) * stated(&svg).powi(2))
        .collect();
    assert_eq!(faces.len(), 4);
    // Coordinates are written to a thousandth of a mm of paper.
    assert!(faces.iter().all(|face| (face - 3300.0).abs() < 5.0), "{faces:?}");
}

/// Boxes cut at x show what lies there: the sum over all that x is within, worked out box by box.
#[test]
fn a_cut_through_boxes() {
    for build in [whole_planter(), trough(14)] {
        for at in [40, 100, 600] {
            let cut = Cut { square_to: Axis::X, at: Length::mm(at), look: Way::Along };
            let svg = section(&build, Some(cut), mm(), Paper::A4Portrait);
            let faces = subpaths(&svg, |fill, width, _| fill == "#fff" && width.is_none());
            let drawn: f64 = faces.iter().map(|ring| area(ring)).sum::<f64>() * stated(&svg).powi(2);
            let within = |part: &&Part| part.at.corner[0] < Length::mm(at) && Length::mm(at) < part.far_corner()[0];
            let face = |part: &Part| part.extent()[1].as_mm() * part.extent()[2].as_mm();
            let expected: f64 = build.parts.iter().filter(within).map(face).sum();
            assert!((drawn / expected - 1.0).abs() < 2e-3, "at {at}: {drawn} {expected}");
        }
    }
}

/// The whole planter of our own, worked by hand: cladding from 15 to 395 with screws at 60, 210 and 350 above the ground,
/// so 45, 195 and 335 from the lower end; 24 and 71 from the left edge of 95, so 24 and 71 from the right one. Every part
/// that is held is on one template.
#[test]
fn templates_say_where_holes_are() {
    let (build, joints) = screwed();
    let svg = templates(&build, &joints, mm(), Paper::A4Portrait);
    for reading in ["45", "195", "335", "380", "24", "71", "95"] {
        assert!(svg.texts.iter().any(|text| text.text == reading), "{reading}");
    }
    let off = |text: &str| text.split_once(" off")?.0.rsplit(' ').next()?.parse::<usize>().ok();
    let drilled: usize = svg.texts.iter().filter_map(|text| off(&text.text)).sum();
    let held: BTreeSet<usize> = joints.made.iter().map(|joint| joint.held).collect();
    assert_eq!(drilled, held.len());
    assert!(svg.texts.iter().any(|text| text.text.contains("6 × Ø 5.5")), "{:?}", svg.texts);
}

/// Alike boards drilled otherwise are two templates of one kind.
#[test]
fn other_holes_make_a_variant() {
    let (build, mut joints) = screwed();
    let board = build.parts.iter().position(|part| part.id == "C3").expect("C3");
    joints.made.retain(|joint| joint.held == board || joint.held == board + 2);
    let count = |joints: &Joints| {
        templates(&build, joints, mm(), Paper::Page).texts.iter().filter(|text| text.text.contains(" off,")).count()
    };
    assert_eq!(count(&joints), 1);
    joints.made[0].heads.pop();
    assert_eq!(count(&joints), 2);
}

/// A board with two slots is drilled otherwise than its like, and both its template and the detail of its joint say so: each slot
/// as wide as the hole, 8 long, upright on the face, where across the grain is drawn.
#[test]
fn slots_are_drawn_and_told() {
    let (build, mut joints) = screwed();
    let board = build.parts.iter().position(|part| part.id == "C3").expect("C3");
    joints.made.retain(|joint| joint.held == board || joint.held == board + 2);
    let page = |joints: &Joints| templates(&build, joints, mm(), Paper::Page);
    let round = page(&joints);
    let direction = [1_000_000_000_000, 0, 0];
    joints.made[0].slots = [1, 3].map(|head| Slot { head, length: Length::mm(8), direction }).into();
    let said = |svg: &Svg| svg.texts.iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ");
    let slotted = page(&joints);
    for words in ["4 × Ø 5.5 and 2 × slot 5.5 × 8 across the board through", "in the middle of its slot", "6 × Ø 5.5"]
    {
        assert!(said(&slotted).contains(words), "{words}: {}", said(&slotted));
    }
    assert!(!said(&round).contains("slot"));
    // A slot is drawn with two straight sides, a round hole with none.
    let sides = |svg: &Svg| svg.inline().matches(" 0 0 1 -").count();
    assert_eq!((sides(&round), sides(&slotted)), (0, 2));
    let detail = said(&details(&build, &joints, &["deck screw".to_owned()], mm(), Paper::Phone));
    assert!(detail.contains("2 of them a slot 8 long"), "{detail}");
}

/// A board of 18 on a post of 47, held by a screw of 60: it grips 60 − 18 = 42 and ends 18 + 47 − 60 = 5 short. Cladding of 20
/// on a wall of 18 lets it out by 60 − 38 = 22.
#[test]
fn details_say_grip_and_tip() {
    let (build, joints) = screwed();
    let svg = details(&build, &joints, &["deck screw".to_owned()], mm(), Paper::A4Portrait);
    let all = svg.texts.iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ");
    for words in ["grip 42 in the base, tip 5 short", "tip 22 beyond", "4 screws, deck screw, 60 long", "Ø 5.5", "Ø 3"]
    {
        assert!(all.contains(words), "{words}: {all}");
    }
    for reading in ["0", "18", "60", "65", "38"] {
        assert!(svg.texts.iter().any(|text| text.text == reading), "{reading}");
    }
}

/// What a step adds is wide, what stood before narrow: the first step alone has no narrow line.
#[test]
fn steps_add_in_wide_lines() {
    let build = tapered();
    let strokes = |steps: &[Vec<usize>]| {
        let svg = build_up(&build, steps, &[], Paper::Page);
        let width =
            |wide: &str| subpaths(&svg, |fill, width, dashed| fill == "none" && !dashed && width == Some(wide)).len();
        [width("0.35"), width("0.175")]
    };
    let all: Vec<usize> = (0..build.parts.len()).collect();
    let [wide, narrow] = strokes(std::slice::from_ref(&all));
    assert!(wide > 20 && narrow == 0, "{wide} {narrow}");
    let [first, rest] = [all[..4].to_vec(), all[4..].to_vec()];
    let [_, narrow] = strokes(&[first, rest]);
    assert!(narrow > 0);
}

#[test]
fn title_blocks_tell_projection_and_scale() {
    let build = trough(9);
    for (unit, angle, scale) in [(Unit::Millimetre, "First angle", "1:"), (Unit::FootInch, "Third angle", " = 1'-0\"")]
    {
        let tape = Tape::usual(unit);
        let drawing = front(&build, tape, Paper::A4Portrait);
        let block = TitleBlock { project: "Trough", tape, sheet: 3, of: 7 };
        let svg = framed(&drawing, &block, Paper::A4Portrait);
        let says = |what: &str| svg.texts.iter().any(|text| text.text == what);
        assert!(says(angle) && says("3 of 7") && says("Trough") && says("From the front"), "{:?}", svg.texts);
        let own = drawing.scale.as_deref().expect("a scale");
        assert!(own.contains(scale) && says(own), "{own}");
        let tolerance = format!("worked to the nearest {}", tape.show_with_unit(tape.step()));
        assert!(says(&tolerance), "{tolerance}");
    }
}
