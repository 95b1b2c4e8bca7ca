//! Texts of all drawings: none over another, all inside the drawing, none smaller than 2.5 mm, all XML well-formed, and the
//! same bytes every time.

mod common;

use common::angled::{angled_builds, screwed};
use common::{all_boards, board, builds, notches, path, sheet, trough};
use drawing::{
    Cut, Paper, RodView, Svg, TitleBlock, Way, boards, boards_in_pages, build_up, build_up_in_pages, details,
    details_in_pages, exploded, font_face_css, framed, front, marks, marks_on, parts, parts_in_pages, plan, rod,
    section, sheets, sheets_in_pages, side, templates, templates_in_pages, text_width,
};
use measure::{Length, Share, Tape, Unit};
use model::build::{Build, Row};
use model::joint::Joints;
use model::part::Axis;

const PAPERS: [Paper; 4] = [Paper::A4Portrait, Paper::A4Landscape, Paper::Page, Paper::Phone];

fn tapes() -> [Tape; 4] {
    let half = Tape::new(Unit::Millimetre, Length::nm(500_000)).expect("a tape in half millimetres");
    [Tape::usual(Unit::Millimetre), half, Tape::usual(Unit::Inch), Tape::usual(Unit::FootInch)]
}

#[track_caller]
fn check(name: &str, svg: &Svg) {
    for text in &svg.texts {
        // ISO 3098 has no lettering below 1.8 mm; drawings for the bench take 2.5 (*from memory*).
        assert!(text.letters >= 2.5, "{name}: `{}` is {} mm high", text.text, text.letters);
        let inside = text.x >= -1e-9
            && text.y >= -1e-9
            && text.x + text.width <= svg.width_mm + 1e-9
            && text.y + text.height <= svg.height_mm + 1e-9;
        assert!(inside, "{name}: {text:?} leaves {} × {}", svg.width_mm, svg.height_mm);
    }
    let mut texts: Vec<_> = svg.texts.iter().collect();
    texts.sort_by(|a, b| a.x.total_cmp(&b.x));
    for (place, a) in texts.iter().enumerate() {
        let right = a.x + a.width;
        for b in texts[place + 1..].iter().take_while(|b| b.x < right) {
            assert!(!a.overlaps(b), "{name}: {a:?} lies over {b:?}");
        }
    }
    well_formed(name, svg);
}

/// Read back by a general XML reader: well-formed, with the millimetres that it claims, and every text that is listed.
#[track_caller]
fn well_formed(name: &str, svg: &Svg) {
    let alone = svg.standalone();
    let document = roxmltree::Document::parse(&alone).unwrap_or_else(|error| panic!("{name}: {error}"));
    let root = document.root_element();
    assert_eq!(root.tag_name().namespace(), Some("http://www.w3.org/2000/svg"));
    let written: Vec<&str> =
        document.descendants().filter(|node| node.has_tag_name("text")).filter_map(|node| node.text()).collect();
    assert_eq!(written.len(), svg.texts.len(), "{name}");
    let view: Vec<f64> =
        root.attribute("viewBox").into_iter().flat_map(str::split_whitespace).flat_map(str::parse).collect();
    let size = |name: &str| root.attribute(name).and_then(|text| text.strip_suffix("mm")?.parse::<f64>().ok());
    assert_eq!((Some(view[2]), Some(view[3])), (size("width"), size("height")), "{name}");
    assert!(alone.contains(&font_face_css()) && !alone.contains("var("), "{name}");
    let page = svg.inline();
    let inline = roxmltree::Document::parse(&page).unwrap_or_else(|error| panic!("{name}: {error}"));
    let named = inline.root_element().attribute("aria-labelledby").expect("a name");
    for id in named.split(' ') {
        assert!(inline.descendants().any(|node| node.attribute("id") == Some(id)), "{name}: {id}");
    }
    assert!(!page.contains("NaN") && !page.contains("inf"), "{name}");
}

#[test]
fn views() {
    for (name, build) in builds().into_iter().chain(angled_builds()) {
        for tape in tapes() {
            for paper in PAPERS {
                for (look, draw) in
                    [("above", plan as fn(&Build, Tape, Paper) -> Svg), ("front", front), ("side", side)]
                {
                    check(&format!("{name} from {look}, {tape:?}, {paper:?}"), &draw(&build, tape, paper));
                }
            }
        }
    }
}

#[test]
fn builds_taken_apart() {
    for (name, build) in builds().into_iter().chain(angled_builds()) {
        for paper in PAPERS {
            let svg = exploded(&build, paper);
            check(&format!("{name}, {paper:?}"), &svg);
            let allowed = paper.height() + 60.0;
            assert!(svg.height_mm <= allowed, "{name}, {paper:?}: {} high", svg.height_mm);
        }
    }
}

#[test]
fn sections() {
    for (name, build) in builds().into_iter().chain(angled_builds()) {
        for tape in tapes() {
            for paper in [Paper::A4Portrait, Paper::Phone] {
                check(&format!("{name}, {tape:?}, {paper:?}"), &section(&build, None, tape, paper));
            }
        }
        for (square_to, at) in [(Axis::X, 100), (Axis::Y, 100), (Axis::Y, -5000)] {
            for look in [Way::Back, Way::Along] {
                let cut = Cut { square_to, at: Length::mm(at), look };
                check(&format!("{name}, {cut:?}"), &section(&build, Some(cut), tapes()[0], Paper::Page));
            }
        }
    }
}

#[test]
fn templates_and_details() {
    let (build, joints) = screwed();
    for tape in tapes() {
        for paper in PAPERS {
            let names = ["deck screw, 5 across, stainless".to_owned()];
            check(&format!("templates, {tape:?}, {paper:?}"), &templates(&build, &joints, tape, paper));
            check(&format!("details, {tape:?}, {paper:?}"), &details(&build, &joints, &names, tape, paper));
            let pages = templates_in_pages(&build, &joints, tape, paper);
            for page in pages.iter().chain(&details_in_pages(&build, &joints, &[], tape, paper)) {
                check(&format!("a page, {tape:?}, {paper:?}"), page);
            }
        }
    }
    let none = Joints::default();
    check("no templates", &templates(&build, &none, tapes()[0], Paper::Page));
    check("no details", &details(&build, &none, &[], tapes()[0], Paper::Page));
    assert!(templates_in_pages(&build, &none, tapes()[0], Paper::Page).is_empty());
}

#[test]
fn parts_that_are_not_square() {
    for (name, build) in angled_builds() {
        for tape in tapes() {
            for paper in PAPERS {
                check(&format!("{name}, {tape:?}, {paper:?}"), &parts(&build, tape, paper));
                for page in parts_in_pages(&build, tape, paper) {
                    check(&format!("a page of {name}, {tape:?}, {paper:?}"), &page);
                }
            }
        }
    }
}

/// Every build in steps of so many parts, with captions short, long and missing.
#[test]
fn builds_in_steps() {
    for (name, build) in builds().into_iter().chain(angled_builds()).filter(|(_, build)| build.parts.len() < 200) {
        let places: Vec<usize> = (0..build.parts.len()).collect();
        let steps: Vec<Vec<usize>> = places.chunks(7).map(<[usize]>::to_vec).collect();
        let captions =
            ["Lay them", "Set all of these on the ground, level them both ways, and tap each down until it lies firm"];
        let captions: Vec<String> = captions.map(str::to_owned).to_vec();
        for paper in PAPERS {
            check(&format!("{name}, {paper:?}"), &build_up(&build, &steps, &captions, paper));
            for page in build_up_in_pages(&build, &steps, &captions, paper) {
                check(&format!("a page of {name}, {paper:?}"), &page);
                assert!(page.height_mm <= paper.height() + 1.0, "{name}, {paper:?}: {}", page.height_mm);
            }
        }
    }
    assert!(build_up_in_pages(&Build::default(), &[], &[], Paper::Page).is_empty());
}

#[test]
fn drawings_in_frames() {
    let (build, joints) = screwed();
    let long =
        "A planter with a name so long that no title block in the world has room for it, whatever paper it is on";
    for tape in tapes() {
        for paper in PAPERS {
            for (project, sheet, of) in [("Planter", 1, 9), (long, 12, 144)] {
                let block = TitleBlock { project, tape, sheet, of };
                let drawings = [
                    plan(&build, tape, paper),
                    section(&build, None, tape, paper),
                    exploded(&build, paper),
                    templates(&build, &joints, tape, paper),
                ];
                for drawing in drawings {
                    let svg = framed(&drawing, &block, paper);
                    check(&format!("{} in a frame, {tape:?}, {paper:?}", drawing.title), &svg);
                    assert_eq!(svg.texts.len() - drawing.texts.len(), 13);
                }
            }
        }
    }
}

#[test]
fn rods() {
    for tape in tapes() {
        for paper in PAPERS {
            for count in (0..=60).step_by(3) {
                for (from, to) in [(1350, 1650), (40, 48), (500, 6000)] {
                    let notches = notches(count, from, to, count as u64 + 5);
                    let wish = Length::mm((from + to) / 2);
                    let chosen = notches.iter().find(|notch| notch.chosen).map_or(wish, |notch| notch.best);
                    let [from, to] = [from, to].map(Length::mm);
                    let view =
                        RodView { title: "trough, length", tape, from, to, wish, chosen, notches: &notches, paper };
                    check(&format!("{count} notches, {tape:?}, {paper:?}"), &rod(&view));
                }
            }
        }
    }
}

/// A rod without length, wishes beyond its ends, notches beyond them too.
#[test]
fn odd_rods() {
    for (from, to, wish, chosen) in [(500, 500, 500, 500), (500, 400, 450, 450), (500, 600, 9000, 1), (0, 0, -5, 0)] {
        let notches = notches(12, 300, 700, 1);
        let [from, to, wish, chosen] = [from, to, wish, chosen].map(Length::mm);
        for tape in tapes() {
            let view = RodView {
                title: "a < b & \"c\"",
                tape,
                from,
                to,
                wish,
                chosen,
                notches: &notches,
                paper: Paper::Phone,
            };
            check("an odd rod", &rod(&view));
        }
    }
}

/// Every notch either has its reading written or is counted as left out.
#[test]
fn no_notch_is_lost() {
    for count in 1..=60 {
        let notches = notches(count, 1350, 1650, 3 * count as u64);
        let chosen = notches[count / 2].best;
        let [from, to, wish] = [1350, 1670, 1500].map(Length::mm);
        let tape = Tape::usual(Unit::Millimetre);
        let view = RodView { title: "length", tape, from, to, wish, chosen, notches: &notches, paper: Paper::Page };
        let svg = rod(&view);
        let left_out = svg.texts.iter().find_map(|text| text.text.strip_prefix('+')?.split(' ').next()?.parse().ok());
        let prices = notches.iter().filter(|notch| notch.price.is_some()).count();
        let written = svg.texts.iter().filter(|text| text.text.contains('.')).count();
        assert!(written + left_out.unwrap_or(0) >= prices, "{count}: {written} written, {left_out:?} left out");
        assert!(count > 40 || left_out.is_none(), "{count}: {left_out:?}");
    }
}

#[test]
fn rows() {
    for (member, gap, count) in
        [(100, 10, 1), (100, 6, 2), (145, 5, 10), (20, 1, 60), (3, 1, 200), (100, 6, 300), (100, 0, 3000)]
    {
        for starts_with_gap in [false, true] {
            let places = if starts_with_gap { count + 1 } else { count - 1 };
            let gaps = Share::new(Length::nm(gap * 1_000_000 * i64::from(places) + 123_456), places);
            let total = gaps.map_or(Length::ZERO, Share::total);
            let length = Length::mm(member) * i64::from(count) + total;
            let row = Row {
                piece: "screen".into(),
                face: "front".into(),
                length,
                pattern: vec![Length::mm(member)],
                count,
                gaps,
                starts_with_gap,
                up: starts_with_gap,
            };
            for tape in tapes() {
                check("on a phone", &marks_on(&row, tape, Paper::Phone));
                let svg = marks(&row, tape);
                check(&format!("{count} of {member}"), &svg);
                assert!(svg.height_mm < 2000.0, "{count} of {member}: {}", svg.height_mm);
            }
        }
    }
}

/// Every mark of a row of some boards is written as the row itself gives it.
#[test]
fn a_row_shows_all_its_marks() {
    let build = trough(31);
    let tape = Tape::usual(Unit::Millimetre);
    let row = &build.rows[0];
    let svg = marks(row, tape);
    let written: Vec<&str> = svg.texts.iter().map(|text| text.text.as_str()).collect();
    for mark in row.marks(tape.step()) {
        assert!(written.contains(&tape.show(mark).as_str()), "{mark:?}");
    }
}

#[test]
fn boards_at_the_saw() {
    let all = all_boards();
    for tape in tapes() {
        for paper in PAPERS {
            check(&format!("{tape:?} {paper:?}"), &boards(&all, tape, paper));
            for (place, page) in boards_in_pages(&all, tape, paper).iter().enumerate() {
                check(&format!("page {place}, {tape:?} {paper:?}"), page);
            }
        }
    }
    check("no boards", &boards(&[], tapes()[0], Paper::Page));
    assert!(boards_in_pages(&[], tapes()[0], Paper::Page).is_empty());
}

/// Scenario of our own: eight posts of 445 out of 3600 with trim 10 and kerf 3. The running readings of the cuts are
/// 445 i + 3 (i - 1), worked by hand, and 3590 - 3581 = 9 is left.
#[test]
fn running_readings_take_the_kerf_along() {
    let posts: Vec<String> = (1..=8).map(|post| format!("D{post}")).collect();
    let posts: Vec<(&str, i64)> = posts.iter().map(|post| (post.as_str(), 445)).collect();
    let mut view = board("treated 47 × 47", 3600, 1, &posts);
    view.tight = true;
    let svg = boards(&[view], Tape::usual(Unit::Millimetre), Paper::A4Portrait);
    for reading in ["445", "893", "1341", "1789", "2237", "2685", "3133", "3581", "D1", "D8"] {
        assert!(svg.texts.iter().any(|text| text.text == reading), "{reading}");
    }
    assert!(svg.texts.iter().any(|text| text.text.contains("possible, if measured")));
    assert!(svg.texts.iter().any(|text| text.text.contains("left 9")), "{:?}", svg.texts);
}

/// What has no room on a board is told above it or below it: no id is lost.
#[test]
fn no_id_is_lost() {
    for paper in PAPERS {
        let all = all_boards();
        for view in &all {
            let svg = boards(std::slice::from_ref(view), Tape::usual(Unit::Millimetre), paper);
            let written = svg.texts.iter().map(|text| text.text.replace(',', "")).collect::<Vec<_>>().join(" ");
            for id in view.parts.iter().flat_map(|(id, _)| id.split(' ')) {
                assert!(written.split(' ').any(|word| word == id), "{id} of {} on {paper:?}", view.label);
            }
        }
    }
}

#[test]
fn sheets_at_the_saw() {
    let views = [
        sheet(&[
            (450, &[("A1", 1510), ("A2", 484), ("A3", 300)]),
            (450, &[("A4", 1510), ("A5", 484)]),
            (100, &[("B1", 300), ("B2", 60), ("B3", 20)]),
        ]),
        sheet(&[]),
        sheet(&[(20, [("A1", 20), ("A2", 20)].as_slice()); 40]),
        sheet(&[(1200, &[("C1 C2 C3 C4 C5 C6 C7 C8 C9", 100)])]),
    ];
    for tape in tapes() {
        for paper in PAPERS {
            check(&format!("{tape:?} {paper:?}"), &sheets(&views, tape, paper));
            assert!(sheets_in_pages(&views, tape, paper).iter().all(|page| page.width_mm == paper.width()));
        }
    }
}

#[test]
fn the_same_bytes_every_time() {
    let draw = || {
        let build = trough(14);
        let mm = Tape::usual(Unit::Millimetre);
        [plan(&build, mm, Paper::Page), front(&build, mm, Paper::Page), boards(&all_boards(), mm, Paper::Phone)]
            .map(|svg| svg.inline())
    };
    assert_eq!(draw(), draw());
}

/// Ten thousand pavers: the drawing stays small and says what it hatches.
#[test]
fn ten_thousand_parts_stay_small() {
    let mm = Tape::usual(Unit::Millimetre);
    let build = path(200, 50);
    for (name, svg) in [("above", plan(&build, mm, Paper::Page)), ("front", front(&build, mm, Paper::Page))] {
        check(name, &svg);
        assert!(svg.body.len() < 200_000, "{name}: {}", svg.body.len());
        assert!(svg.texts.iter().any(|text| text.text.contains("× paver")), "{name}: {:?}", svg.texts);
    }
    let patio = plan(&path(60, 50), mm, Paper::Page);
    assert!(patio.body.len() < 200_000, "{}", patio.body.len());
}

/// A text's box is as wide as the advances of its letters.
#[test]
fn boxes_are_as_wide_as_the_font_says() {
    let svg = plan(&trough(9), Tape::usual(Unit::Millimetre), Paper::Page);
    for text in &svg.texts {
        // Capitals of the font stand 1490 of 2048 units high (read with fontTools 4.68).
        let size = text.letters * 2048.0 / 1490.0;
        let length = text.width.max(text.height);
        assert!((text_width(&text.text, size) - length).abs() < 1e-6, "{text:?}");
    }
}
