//! Builds, rods and boards of our own, made up for these tests.
#![allow(dead_code)]

pub mod angled;

use drawing::{BoardView, Notch, PanelView, SheetView, StripView};
use measure::{Length, Share};
use model::build::{Build, Drawn, Row, give_ids};
use model::part::{At, Axis, Frame, Part, PartKey, Solid};
use model::schema::StockKind;
use model::stock::StockRef;

pub const BOARD: StockRef = StockRef { kind: StockKind::Board, place: 0 };
pub const SHEET: StockRef = StockRef { kind: StockKind::Sheet, place: 0 };
pub const UNIT: StockRef = StockRef { kind: StockKind::Unit, place: 0 };

/// A box from one corner to the other, in mm, length and width along the two axes given.
#[derive(Clone, Copy)]
pub struct Lies {
    pub from: [Length; 3],
    pub size: [Length; 3],
    pub along: Axis,
    pub across: Axis,
}

pub fn part(key: [&str; 3], [course, index]: [u32; 2], stock: StockRef, lies: Lies) -> Part {
    let third = [Axis::X, Axis::Y, Axis::Z].into_iter().find(|axis| ![lies.along, lies.across].contains(axis));
    let size = |axis: Axis| lies.size[axis.index()];
    let [piece, face, role] = key.map(str::to_owned);
    Part {
        key: PartKey { piece, role, face, course, index },
        id: String::new(),
        stock,
        solid: Solid::square(size(lies.along), size(lies.across), size(third.expect("a third axis"))),
        at: At { frame: Frame::BUILD, corner: lies.from, along: lies.along, across: lies.across },
    }
}

fn outline(piece: &str, corners: &[[Length; 2]]) -> Drawn {
    Drawn { piece: piece.into(), corners: corners.to_vec() }
}

/// Four walls of sheet, outside `long` × `wide` and `high`, thickness 18.
pub fn walls(build: &mut Build, long: Length, wide: Length, high: Length) {
    let (t, zero) = (Length::mm(18), Length::ZERO);
    let along = |face: &str, y: Length| {
        let lies = Lies { from: [zero, y, zero], size: [long, t, high], along: Axis::X, across: Axis::Z };
        part(["trough", face, "panel"], [0, 0], SHEET, lies)
    };
    let across = |face: &str, x: Length| {
        let lies = Lies { from: [x, t, zero], size: [t, wide - t - t, high], along: Axis::Y, across: Axis::Z };
        part(["trough", face, "panel"], [0, 0], SHEET, lies)
    };
    build.parts.extend([
        along("front", zero),
        across("right", long - t),
        along("back", wide - t),
        across("left", zero),
    ]);
    build.outlines.push(outline("trough", &[[zero, zero], [long, zero], [long, wide], [zero, wide]]));
}

/// An L of sheet walls: a front arm 600 deep and a left arm 700 wide at 2400 × 1800, times `tenths`/10.
pub fn ell(build: &mut Build, tenths: i64) {
    let mm = |value: i64| Length::nm(value * tenths * 100_000);
    let corners = [[0, 0], [2400, 0], [2400, 600], [700, 600], [700, 1800], [0, 1800]].map(|at| at.map(mm));
    let (t, high) = (mm(20), mm(450));
    for (side, from) in corners.iter().enumerate() {
        let to = corners[(side + 1) % 6];
        let [dx, dy] = [to[0] - from[0], to[1] - from[1]];
        // The strip lies to the left, inwards; each begins clear of the side before it.
        let (x, y) = (from[0].min(to[0]), from[1].min(to[1]));
        let (corner, size, axis) = if dy == Length::ZERO {
            let y = if dx > Length::ZERO { y } else { y - t };
            ([x, y, Length::ZERO], [dx.abs(), t, high], Axis::X)
        } else {
            let x = if dy > Length::ZERO { x - t } else { x };
            ([x, y + t, Length::ZERO], [t, dy.abs() - t - t, high], Axis::Y)
        };
        let lies = Lies { from: corner, size, along: axis, across: Axis::Z };
        build.parts.push(part(["bed", &format!("side {side}"), "panel"], [0, 0], SHEET, lies));
    }
    build.outlines.push(outline("bed", &corners));
}

/// Upright boards on the front and the back, `count` of `member` in `long`, before walls at y = 0 and `wide`.
pub fn cladding(build: &mut Build, long: Length, wide: Length, high: Length, count: u32, member: Length) {
    let t = Length::mm(20);
    let gaps = Share::new(long - member * i64::from(count), count - 1);
    for (face, y) in [("front", -t), ("back", wide)] {
        let row = Row {
            piece: "cladding".into(),
            face: face.into(),
            length: long,
            pattern: vec![member],
            count,
            gaps,
            starts_with_gap: false,
            up: false,
        };
        for (index, start) in row.starts().enumerate() {
            let lies =
                Lies { from: [start, y, Length::mm(15)], size: [member, t, high], along: Axis::Z, across: Axis::X };
            build.parts.push(part(["cladding", face, "board"], [0, index as u32], BOARD, lies));
        }
        build.rows.push(row);
    }
}

/// A butted ring of units round `long` × `wide`, `along` and `across` of them, unit and joint in mm; flush with the ground.
pub fn ring(build: &mut Build, [along, across]: [u32; 2], unit: Length, joint: Length) {
    let step = unit + joint;
    let (near, far) = (-step, step * i64::from(across));
    let mut lay = |face: &str, index: u32, x: Length, y: Length| {
        let lies = Lies { from: [x, y, -unit], size: [unit, unit, unit], along: Axis::X, across: Axis::Y };
        build.parts.push(part(["ring", face, "sett"], [0, index], UNIT, lies));
    };
    for index in 0..along {
        let x = step * (i64::from(index) - 1);
        lay("front", index, x, near);
        lay("back", index, x, far);
    }
    for index in 0..across {
        let y = step * i64::from(index);
        lay("left", index, -step, y);
        lay("right", index, step * (i64::from(along) - 2), y);
    }
    for (face, count) in [("front", along), ("back", along), ("left", across), ("right", across)] {
        build.rows.push(Row {
            piece: "ring".into(),
            face: face.into(),
            length: unit * i64::from(count) + joint * i64::from(count.saturating_sub(1)),
            pattern: vec![unit],
            count,
            gaps: Share::new(joint * i64::from(count.saturating_sub(1)), count.saturating_sub(1)),
            starts_with_gap: false,
            up: false,
        });
    }
}

/// A path of `columns` × `rows` pavers, 100 apart, in one course each.
pub fn path(columns: u32, rows: u32) -> Build {
    let mut build = Build::default();
    for row in 0..rows {
        for column in 0..columns {
            let at = |count: u32| Length::mm(100 * i64::from(count));
            let lies = Lies {
                from: [at(column), at(row), Length::ZERO],
                size: [97, 97, 50].map(Length::mm),
                along: Axis::X,
                across: Axis::Y,
            };
            build.parts.push(part(["path", "top", "paver"], [row, column], UNIT, lies));
        }
    }
    finished(build)
}

pub fn finished(mut build: Build) -> Build {
    give_ids(&mut build.parts);
    build
}

/// A trough with cladding in a ring of setts.
pub fn trough(boards: u32) -> Build {
    let mut build = Build::default();
    let (long, wide, high) = (Length::mm(1510), Length::mm(520), Length::mm(450));
    walls(&mut build, long, wide, high);
    let member = Length::nm(1510 * 900_000 / i64::from(boards));
    cladding(&mut build, long, wide, high, boards, member);
    ring(&mut build, [16, 5], Length::mm(100), Length::mm(10));
    finished(build)
}

/// All sorts of builds with a name each.
pub fn builds() -> Vec<(String, Build)> {
    let mut builds = vec![("nothing".to_owned(), Build::default())];
    for boards in [5, 6, 9, 14, 20, 31, 40] {
        builds.push((format!("trough with {boards} boards"), trough(boards)));
    }
    for tenths in [1, 5, 10, 13, 50, 400] {
        let mut build = Build::default();
        ell(&mut build, tenths);
        builds.push((format!("L of {tenths} tenths"), finished(build)));
    }
    for (along, across) in [(4, 2), (11, 5), (40, 21), (75, 75), (120, 30), (149, 2)] {
        let mut build = Build::default();
        ring(&mut build, [along, across], Length::mm(100), Length::nm(6_363_636));
        builds.push((format!("ring of {along} and {across}"), finished(build)));
    }
    for size in [[1, 1, 1], [9, 400, 3], [4000, 40, 36], [38, 38, 2400], [90_000, 20_000, 500], [20_000, 90_000, 9]] {
        let mut build = Build::default();
        let lies = Lies { from: [Length::ZERO; 3], size: size.map(Length::mm), along: Axis::X, across: Axis::Y };
        build.parts.push(part(["block", "top", "block"], [0, 0], BOARD, lies));
        builds.push((format!("one of {size:?}"), finished(build)));
    }
    for size in [[200, 200, 100], [20_000, 9_000, 800], [600, 2500, 40]] {
        let mut build = Build::default();
        let [long, wide, high] = size.map(Length::mm);
        walls(&mut build, long, wide, high);
        builds.push((format!("walls of {size:?}"), finished(build)));
    }
    builds
}

/// A generator of numbers below a bound: a linear congruential one with the constants of Knuth's MMIX (*from memory*).
pub struct Lcg(pub u64);

impl Lcg {
    pub fn below(&mut self, bound: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % bound.unsigned_abs()) as i64
    }
}

/// So many notches between two sizes, every third a point, the `chosen`th chosen.
pub fn notches(count: usize, from: i64, to: i64, seed: u64) -> Vec<Notch> {
    let mut random = Lcg(seed);
    let chosen = count / 2;
    let notch = |place: usize| {
        let start = Length::mm(from + random.below((to - from).max(1)));
        let wide = if place.is_multiple_of(3) { 0 } else { random.below(1 + (to - from) / 20) };
        let price = (!place.is_multiple_of(5)).then(|| format!("{}.{:02}", 10 + random.below(400), random.below(100)));
        let end = start + Length::mm(wide);
        Notch { from: start, to: end, best: start + Length::mm(wide / 2), price, chosen: place == chosen }
    };
    (0..count).map(notch).collect()
}

/// A board cut into these lengths in mm, 3 of kerf.
pub fn board(label: &str, stock: i64, times: u32, parts: &[(&str, i64)]) -> BoardView {
    let used: i64 = parts.iter().map(|(_, length)| length + 3).sum::<i64>() - 3;
    let left = stock - 10 - used;
    BoardView {
        called: "board 1".into(),
        bad: Vec::new(),
        stretches: Vec::new(),
        label: label.into(),
        stock: Length::mm(stock),
        trim: Length::mm(10),
        kerf: Length::mm(3),
        parts: parts.iter().map(|(id, length)| ((*id).to_owned(), Length::mm(*length))).collect(),
        times,
        left: Length::mm(left.max(0)),
        tight: left < 4,
        note: String::new(),
    }
}

/// Boards with 1 to 40 parts, some of them very short.
pub fn all_boards() -> Vec<BoardView> {
    let mut random = Lcg(11);
    let mut boards = Vec::new();
    for count in [1, 2, 3, 4, 5, 7, 9, 12, 16, 20, 25, 30, 40] {
        for short in [false, true] {
            let most = if short { 60 } else { 4700 / count };
            let parts: Vec<(String, i64)> = (0..count)
                .map(|place| {
                    let length = (1 + random.below(most)).min(4700 / count);
                    let id =
                        if random.below(6) == 0 { format!("AB{place} AB{}", place + 40) } else { format!("C{place}") };
                    (id, length)
                })
                .collect();
            let parts: Vec<(&str, i64)> = parts.iter().map(|(id, length)| (id.as_str(), *length)).collect();
            boards.push(board(&format!("larch 20 × 145, {count} parts"), 4800, 1 + count as u32 % 3, &parts));
        }
    }
    let many: Vec<String> = (0..30).map(|id| format!("D{id}")).collect();
    boards.push(board("ids that are long", 2400, 30, &[(&many.join(" "), 20), (&many.join(" "), 900)]));
    boards.push(board("short board", 300, 1, &[("E1", 290)]));
    boards
}

pub fn sheet(strips: &[(i64, &[(&str, i64)])]) -> SheetView {
    let strip = |(width, panels): &(i64, &[(&str, i64)])| StripView {
        width: Length::mm(*width),
        panels: panels
            .iter()
            .map(|(id, length)| PanelView { id: (*id).into(), length: Length::mm(*length), width: Length::mm(*width) })
            .collect(),
        left: Length::mm(2440 - panels.iter().map(|(_, length)| length + 3).sum::<i64>()),
    };
    SheetView {
        called: "sheets 1, 3".into(),
        label: "exterior ply 18, 2440 × 1220".into(),
        length: Length::mm(2440),
        width: Length::mm(1220),
        trim: [Length::mm(10), Length::mm(6)],
        kerf: Length::mm(3),
        strips: strips.iter().map(strip).collect(),
        times: 2,
        left: Length::mm(1214 - strips.iter().map(|(width, _)| width + 3).sum::<i64>()),
        tight: true,
        note: String::new(),
    }
}
