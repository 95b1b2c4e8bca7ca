//! Falling ground, centre lines and groups, against builds made by hand: what is drawn is found again in the paths of the SVG.

mod common;

use common::{BOARD, Lies, finished, part, trough, walls};
use drawing::{Paper, Svg, front, groups, parts_list_in_pages, plan, section, set_out_in_pages, side};
use measure::{Length, Tape, Unit};
use model::build::{Build, GroundAt};
use model::joint::Joints;
use model::part::{Axis, from_mm};

fn mm() -> Tape {
    Tape::usual(Unit::Millimetre)
}

/// A part by its corner and its size in mm; the ground under it, if it is given.
fn put(build: &mut Build, key: [&str; 3], index: u32, [from, size]: [[f64; 3]; 2], ground: Option<f64>) {
    let lies = Lies { from: from.map(from_mm), size: size.map(from_mm), along: Axis::Z, across: Axis::X };
    let part = part(key, [0, index], BOARD, lies);
    if let Some(ground) = ground {
        let [corner, extent] = [lies.from, lies.size].map(|[x, y, _]| [x, y]);
        build.ground.push(GroundAt::under(part.key.clone(), corner, extent, from_mm(ground)));
    }
    build.parts.push(part);
}

/// Three posts 100 square, 900 apart in the front, on ground at 0, -150 and -90, 400 deep in it and 1000 high.
const FEET: [[f64; 2]; 3] = [[0.0, 0.0], [900.0, -150.0], [1800.0, -90.0]];

fn fence() -> Build {
    let mut build = Build::default();
    for (index, [x, ground]) in (0..).zip(FEET) {
        let low = ground - 400.0;
        put(&mut build, ["fence", "front", "post"], index, [[x, 0.0, low], [100.0, 100.0, 1000.0 - low]], Some(ground));
    }
    finished(build)
}

/// The subpaths of all paths that are drawn so, each as its points.
fn paths(svg: &Svg, style: &str) -> Vec<Vec<[f64; 2]>> {
    let page = svg.inline();
    let document = roxmltree::Document::parse(&page).expect("XML");
    let mut found = Vec::new();
    for node in document.descendants().filter(|node| node.has_tag_name("path")) {
        let attribute = |name: &str| {
            node.attribute(name).or_else(|| node.parent().and_then(|group| group.attribute(name))).unwrap_or_default()
        };
        let dashes = attribute("stroke-dasharray");
        let wide = attribute("stroke-width").parse::<f64>().unwrap_or(0.0);
        let is = match style {
            "centre" => dashes.starts_with("6 "),
            "hidden" => dashes.starts_with("2 "),
            _ => dashes.is_empty() && wide > 0.0 && attribute("fill") == "none",
        };
        if is {
            found.extend(subpaths(node.attribute("d").unwrap_or_default()));
        }
    }
    found
}

/// `M x yL x y…` and rectangles as points.
fn subpaths(d: &str) -> Vec<Vec<[f64; 2]>> {
    let figures = |text: &str| -> Vec<f64> {
        text.trim_end_matches('z').split([' ', 'L', 'h', 'v']).filter_map(|figure| figure.parse().ok()).collect()
    };
    let one = |sub: &str| match (sub.contains('h'), figures(sub)) {
        (true, at) => vec![[at[0], at[1]], [at[0] + at[2], at[1] + at[3]]],
        (false, at) => at.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect(),
    };
    d.split('M').filter(|sub| !sub.is_empty()).map(one).collect()
}

fn near(a: [f64; 2], b: [f64; 2]) -> bool {
    (a[0] - b[0]).abs() < 0.02 && (a[1] - b[1]).abs() < 0.02
}

/// Where the upper left corner of the fence lies in a view, and its scale: its posts are the tallest boxes.
fn on_paper(svg: &Svg) -> impl Fn(f64, f64) -> [f64; 2] {
    let scale: f64 = svg.scale.as_ref().and_then(|name| name.strip_prefix("1:")?.parse().ok()).expect("a scale");
    let hidden = paths(svg, "hidden");
    let points = || hidden.iter().flatten();
    let left = points().map(|point| point[0]).fold(f64::INFINITY, f64::min);
    let low = points().map(|point| point[1]).fold(f64::NEG_INFINITY, f64::max);
    // The lowest foot stands 550 below 0, the first post at the left edge.
    move |x: f64, up: f64| [left + x / scale, low - (up + 550.0) / scale]
}

#[test]
fn the_ground_line_passes_through_the_heights_at_the_posts() {
    let svg = front(&fence(), mm(), Paper::A4Portrait);
    let at = on_paper(&svg);
    let lines = paths(&svg, "wide");
    let corners: Vec<[f64; 2]> = FEET.iter().map(|[x, ground]| at(x + 50.0, *ground)).collect();
    for pair in corners.windows(2) {
        let drawn = lines.iter().any(|line| line.len() == 2 && near(line[0], pair[0]) && near(line[1], pair[1]));
        assert!(drawn, "no ground line from {:?} to {:?} in {lines:?}", pair[0], pair[1]);
    }
    // Level beyond the first and the last.
    let [first, last] = [corners[0], corners[2]];
    let beyond = |end: [f64; 2], way: f64| {
        lines.iter().flat_map(|line| line.windows(2)).any(|pair| {
            let [a, b] = if way < 0.0 { [pair[1], pair[0]] } else { [pair[0], pair[1]] };
            near(a, end) && (b[1] - end[1]).abs() < 0.01 && (b[0] - end[0]) * way > 3.0
        })
    };
    assert!(beyond(first, -1.0) && beyond(last, 1.0), "{lines:?}");
}

#[test]
fn posts_are_hidden_below_their_own_ground() {
    let svg = front(&fence(), mm(), Paper::A4Portrait);
    let at = on_paper(&svg);
    for [x, ground] in FEET {
        // Half the post to either side of its middle the ground lies between its neighbours'.
        let [left, right] = [at(x, ground)[0], at(x + 100.0, ground)[0]];
        let foot = at(x, ground - 400.0)[1];
        let own = paths(&svg, "hidden")
            .into_iter()
            .find(|ring| ring.iter().all(|point| point[0] > left - 0.02 && point[0] < right + 0.02));
        let own = own.expect("a hidden foot");
        let low = own.iter().map(|point| point[1]).fold(f64::NEG_INFINITY, f64::max);
        assert!((low - foot).abs() < 0.02, "{low} for {foot}");
        let middle = at(x + 50.0, ground);
        assert!(own.iter().any(|&point| near(point, middle)), "{own:?} does not reach {middle:?}");
    }
}

/// From the right all posts stand one behind the other: the nearest stands at -90, the ground behind it rises to 0.
#[test]
fn from_the_side_the_nearest_ground_is_drawn() {
    let svg = side(&fence(), mm(), Paper::A4Portrait);
    let scale: f64 = svg.scale.as_ref().and_then(|name| name.strip_prefix("1:")?.parse().ok()).expect("a scale");
    let level: Vec<f64> = paths(&svg, "wide")
        .iter()
        .flat_map(|line| line.windows(2).map(|pair| [pair[0], pair[1]]).collect::<Vec<_>>())
        .filter(|[a, b]| (a[1] - b[1]).abs() < 1e-6 && (b[0] - a[0]).abs() > 40.0 / scale)
        .map(|[a, _]| a[1])
        .collect();
    let apart = |a: &f64| level.iter().any(|b| (b - a - 90.0 / scale).abs() < 0.02);
    assert!(level.iter().any(apart), "{level:?}");
}

/// A cut at 450 past the first post's middle lies half-way down to the second: at -75.
#[test]
fn a_section_shows_the_ground_where_it_cuts() {
    let mut build = fence();
    put(&mut build, ["fence", "front", "slat"], 0, [[0.0, -20.0, 500.0], [1900.0, 20.0, 100.0]], None);
    let build = finished(build);
    let cut = drawing::Cut { square_to: Axis::X, at: Length::mm(500), look: drawing::Way::Back };
    let svg = section(&build, Some(cut), mm(), Paper::A4Portrait);
    let scale: f64 = svg.scale.as_ref().and_then(|name| name.strip_prefix("1:")?.parse().ok()).expect("a scale");
    let lines = paths(&svg, "wide");
    // Of the slat, which is cut from 500 to 600, and of the ground, below it.
    let ys = || lines.iter().flatten().map(|point| point[1]);
    let slat = lines.iter().find(|ring| ring.len() == 4 && (ring[0][1] - ring[2][1]).abs() < 101.0 / scale);
    let foot = slat.expect("a slat").iter().map(|point| point[1]).fold(f64::NEG_INFINITY, f64::max);
    assert!(ys().any(|y| (y - foot - 575.0 / scale).abs() < 0.02), "{foot}: {lines:?}");
}

#[test]
fn every_post_has_a_level_mark() {
    let pages = set_out_in_pages(&fence(), mm(), Paper::A4Portrait);
    let texts: Vec<&str> = pages.iter().flat_map(|svg| &svg.texts).map(|text| text.text.as_str()).collect();
    for level in ["A1 ±0", "B1 \u{2212}150", "C1 \u{2212}90"] {
        assert!(texts.contains(&level), "no {level} in {texts:?}");
    }
    let mut level = fence();
    level.ground.clear();
    let pages = set_out_in_pages(&level, mm(), Paper::A4Portrait);
    assert!(!pages.iter().flat_map(|svg| &svg.texts).any(|text| text.text.contains('±')));
}

/// The middles of all upright and of all level centre lines.
fn centres(svg: &Svg) -> [Vec<f64>; 2] {
    let lines = paths(svg, "centre");
    [0, 1].map(|way| {
        let along = |line: &&Vec<[f64; 2]>| line.len() == 2 && line[0][way] == line[1][way];
        lines.iter().filter(along).map(|line| line[0][way]).collect()
    })
}

/// A trough of 1510: its drawing reaches from the left edge of its outermost lines to the right one.
#[test]
fn a_centre_line_lies_at_half_the_extent_of_a_symmetric_build() {
    let mut build = Build::default();
    walls(&mut build, Length::mm(1500), Length::mm(500), Length::mm(450));
    build.outlines.clear();
    let build = finished(build);
    for (svg, ways) in [
        (plan(&build, mm(), Paper::A4Portrait), 2),
        (front(&build, mm(), Paper::A4Portrait), 1),
        (section(&build, None, mm(), Paper::A4Portrait), 1),
    ] {
        let scale: f64 = svg.scale.as_ref().and_then(|name| name.strip_prefix("1:")?.parse().ok()).expect("a scale");
        let page = svg.inline();
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        // The widest box or the outermost of those that are cut: all outlines in the wide line.
        let document = roxmltree::Document::parse(&page).expect("XML");
        for node in document.descendants().filter(|node| node.has_tag_name("path")) {
            let style = |name: &str| node.attribute(name).or_else(|| node.parent()?.attribute(name));
            // Cut faces are laid on paper without a line of their own, unlike the balloons beside them.
            let drawn = style("stroke").is_none() || !svg.title.starts_with("Section");
            if drawn && style("fill").is_some_and(|fill| fill.contains("paper")) {
                for point in subpaths(node.attribute("d").unwrap_or_default()).into_iter().flatten() {
                    for way in 0..2 {
                        low[way] = low[way].min(point[way]);
                        high[way] = high[way].max(point[way]);
                    }
                }
            }
        }
        let wide = if svg.title.starts_with("Section") { 500.0 } else { 1500.0 };
        assert!((high[0] - low[0] - wide / scale).abs() < 0.02, "{}: {low:?} to {high:?}", svg.title);
        let found = centres(&svg);
        for way in 0..ways {
            let middle = (low[way] + high[way]) / 2.0;
            assert!(!found[way].is_empty(), "{}: no centre line", svg.title);
            assert!(found[way].iter().all(|at| (at - middle).abs() < 0.02), "{}: {found:?} for {middle}", svg.title);
        }
        assert!(ways == 2 || found[1].is_empty(), "{}: {found:?}", svg.title);
    }
}

/// One post more at one end, as thin as a pencil line is wide, and nothing is symmetric any more.
#[test]
fn an_unsymmetric_build_has_no_centre_line() {
    let mut build = Build::default();
    walls(&mut build, Length::mm(1500), Length::mm(500), Length::mm(450));
    build.outlines.clear();
    put(&mut build, ["posts", "front", "post"], 0, [[18.0, 18.0, 0.0], [1.0, 1.0, 450.0]], None);
    let build = finished(build);
    for svg in [plan(&build, mm(), Paper::A4Portrait), front(&build, mm(), Paper::A4Portrait)] {
        assert!(centres(&svg).iter().all(Vec::is_empty), "{}: {:?}", svg.title, centres(&svg));
    }
}

/// Two blocks stand a metre apart, a third a millimetre more from the second.
#[test]
fn pieces_more_than_a_metre_apart_are_drawn_apart() {
    let mut build = Build::default();
    for (piece, x) in [("left", 0.0), ("middle", 1100.0), ("right", 2201.0)] {
        put(&mut build, [piece, "top", "block"], 0, [[x, 0.0, 0.0], [100.0, 100.0, 100.0]], None);
    }
    let found = groups(&finished(build));
    let names: Vec<(&str, &str, usize)> =
        found.iter().map(|group| (&*group.piece, &*group.title, group.build.parts.len())).collect();
    assert_eq!(names, [("left", "left and middle", 2), ("right", "right", 1)]);
    let svg = found[1].plan(mm(), Paper::A4Portrait);
    assert!(svg.title.starts_with("right, from above, 1:1,"), "{}", svg.title);
    assert!(found[1].section(mm(), Paper::A4Portrait).title.starts_with("right, section 50 mm from the left end"));
    let whole = groups(&trough(9));
    assert_eq!((whole.len(), &*whole[0].title), (1, ""));
    assert_eq!(groups(&Build::default()).len(), 1);
}

/// Every id, every count and every size of a build stands in its list, on as many sheets as it takes.
#[test]
fn the_parts_list_tells_every_kind() {
    let mut build = fence();
    for index in 0..60 {
        let size = [30.0, 20.0, 400.0 + f64::from(index)];
        put(&mut build, ["fence", "front", "slat"], index, [[f64::from(index) * 31.0, -20.0, 0.0], size], None);
    }
    let build = finished(build);
    let label = |_| "larch".to_owned();
    let pages = parts_list_in_pages(&build, &Joints::default(), &label, mm(), Paper::A4Portrait);
    assert!(pages.len() > 1 && pages.iter().all(|page| page.height_mm <= Paper::A4Portrait.height() + 1.0));
    let texts: Vec<&str> = pages.iter().flat_map(|svg| &svg.texts).map(|text| text.text.as_str()).collect();
    for part in &build.parts {
        let [long, wide, thick] =
            [part.solid.length, part.solid.width, part.solid.thickness].map(|size| mm().show(size));
        assert!(texts.contains(&part.id.as_str()), "no {}", part.id);
        let size = format!("{long} × {wide} × {thick}");
        assert!(texts.contains(&size.as_str()), "no {size}");
    }
    assert_eq!(texts.iter().filter(|text| **text == "square").count(), 63);
    assert!(parts_list_in_pages(&Build::default(), &Joints::default(), &label, mm(), Paper::A4Portrait).is_empty());
    for page in &pages {
        for (place, text) in page.texts.iter().enumerate() {
            let over = page.texts[place + 1..].iter().find(|other| text.overlaps(other));
            assert!(over.is_none(), "{text:?} lies over {over:?}");
        }
    }
}
