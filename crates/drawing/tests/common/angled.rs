//! Builds of parts that turn, lean and have trimmed ends, made up for these tests, and joints of screws.

use super::{BOARD, Lies, UNIT, cladding, finished, part, walls};
use measure::{Angle, Length};
use model::build::{Build, Drawn};
use model::joint::{Joint, Joints};
use model::part::{At, Axis, Frame, Part, PartKey, Plane, Solid, UNIT as ONE, from_mm};

type Vector = [f64; 3];

fn plus(a: Vector, b: Vector, factor: f64) -> Vector {
    [0, 1, 2].map(|axis| a[axis] + b[axis] * factor)
}

/// Sine and cosine of degrees.
fn sin_cos(degrees: f64) -> (f64, f64) {
    Angle::degrees(degrees).expect("an angle").sin_cos()
}

fn lengths(point: Vector) -> [Length; 3] {
    point.map(from_mm)
}

fn plane(normal: Vector, through: Vector) -> Plane {
    let size = normal.iter().map(|part| part * part).sum::<f64>().sqrt();
    Plane { normal: normal.map(|part| (part / size * ONE as f64).round() as i64), through: lengths(through) }
}

/// A board beside a side that starts at `foot` with this heading and length: it reaches from `up` to `up + width` along
/// the slope, with the mitres that bisect corners turning by `turn`.
pub struct Course {
    pub heading: f64,
    pub lean: f64,
    pub foot: Vector,
    pub length: f64,
    pub turn: f64,
    pub up: f64,
    pub size: [f64; 2],
}

impl Course {
    pub fn part(&self, key: [&str; 3], [course, index]: [u32; 2]) -> Part {
        let angle = |degrees: f64| Angle::degrees(degrees).expect("an angle");
        let frame = Frame { heading: angle(self.heading), lean: angle(self.lean) };
        let axes = frame.axes();
        let [width, thickness] = self.size;
        let (sin, cos) = sin_cos(self.lean);
        // How much longer each end is for every millimetre up the slope: the outer faces move out by the sine.
        let (half_sin, half_cos) = sin_cos(self.turn / 2.0);
        let longer = sin * half_sin / half_cos;
        let grown = (longer * (self.up + width)).max(longer * self.up);
        let corner = plus(plus(self.foot, axes[0], -grown), axes[2], self.up);
        let end = |way: f64| [way * half_cos, half_sin * cos, -half_sin * sin];
        let [piece, face, role] = key.map(str::to_owned);
        let mut solid = Solid::square(from_mm(self.length + 2.0 * grown), from_mm(width), from_mm(thickness));
        solid.ends = [
            vec![plane(end(-1.0), [grown, 0.0, if self.lean == 0.0 { 0.0 } else { -self.up }])],
            vec![plane(end(1.0), [grown + self.length, 0.0, if self.lean == 0.0 { 0.0 } else { -self.up }])],
        ];
        Part {
            key: PartKey { piece, role, face, course, index },
            id: String::new(),
            stock: BOARD,
            solid,
            at: At { frame, corner: lengths(corner), along: Axis::X, across: Axis::Z },
        }
    }
}

/// The corners of a regular outline with sides of this length, the first side along x from the origin.
fn regular(count: u32, side: f64) -> Vec<(f64, Vector)> {
    let turn = 360.0 / f64::from(count);
    let mut at = [0.0; 3];
    (0..count)
        .map(|place| {
            let heading = f64::from(place) * turn;
            let start = at;
            let (sin, cos) = sin_cos(heading);
            at = plus(at, [cos, sin, 0.0], side);
            (heading, start)
        })
        .collect()
}

fn outline(piece: &str, corners: &[(f64, Vector)]) -> Drawn {
    Drawn { piece: piece.into(), corners: corners.iter().map(|(_, [x, y, _])| [from_mm(*x), from_mm(*y)]).collect() }
}

/// A planter on a regular outline: courses of mitred boards, a flat mitred cap, a post in each corner.
pub fn around_a_tree(count: u32, courses: u32) -> Build {
    let (side, board, t) = (400.0, 120.0, 20.0);
    let turn = 360.0 / f64::from(count);
    let mut build = Build::default();
    let corners = regular(count, side);
    for (place, &(heading, foot)) in corners.iter().enumerate() {
        let face = format!("side {place}");
        for course in 0..courses {
            let up = f64::from(course) * board;
            let size = [board, t];
            let board = Course { heading, lean: 0.0, foot, length: side, turn, up, size };
            build.parts.push(board.part(["planter", &face, "board"], [course, 0]));
        }
    }
    let rim = f64::from(courses) * board;
    for (place, &(heading, foot)) in corners.iter().enumerate() {
        let (oversail, wide, thick) = (20.0, 95.0, 28.0);
        let angle = Angle::degrees(heading).expect("an angle");
        let frame = Frame { heading: angle, lean: Angle::ZERO };
        let axes = frame.axes();
        let (sin, cos) = sin_cos(turn / 2.0);
        let more = oversail * sin / cos;
        let corner = plus(plus(plus(foot, axes[0], -more), axes[1], -oversail), axes[2], rim);
        let mut solid = Solid::square(from_mm(side + 2.0 * more), from_mm(wide), from_mm(thick));
        solid.ends =
            [vec![plane([-cos, sin, 0.0], [0.0; 3])], vec![plane([cos, sin, 0.0], [side + 2.0 * more, 0.0, 0.0])]];
        build.parts.push(Part {
            key: PartKey {
                piece: "cap".into(),
                role: "board".into(),
                face: format!("side {place}"),
                course: 0,
                index: 0,
            },
            id: String::new(),
            stock: BOARD,
            solid,
            at: At { frame, corner: lengths(corner), along: Axis::X, across: Axis::Y },
        });
    }
    build.outlines.push(outline("planter", &corners));
    finished(build)
}

/// A planter that is wider at the top: four leaning mitred walls of two courses, and a post buried beside it.
pub fn tapered() -> Build {
    let mut build = Build::default();
    let lean: f64 = 12.0;
    let [long, wide]: [f64; 2] = [500.0, 320.0];
    let corners =
        [(0.0, [0.0, 0.0, 0.0]), (90.0, [long, 0.0, 0.0]), (180.0, [long, wide, 0.0]), (270.0, [0.0, wide, 0.0])];
    for (face, &(heading, foot)) in ["front", "right", "back", "left"].into_iter().zip(&corners) {
        let length = if heading == 0.0 || heading == 180.0 { long } else { wide };
        for course in 0..2 {
            let board =
                Course { heading, lean, foot, length, turn: 90.0, up: 150.0 * f64::from(course), size: [150.0, 22.0] };
            build.parts.push(board.part(["tapered", face, "board"], [course, 0]));
        }
    }
    let lies = Lies {
        from: [700, 100, -250].map(Length::mm),
        size: [90, 90, 900].map(Length::mm),
        along: Axis::Z,
        across: Axis::X,
    };
    build.parts.push(part(["screen", "front", "post"], [0, 0], BOARD, lies));
    build.outlines.push(outline("tapered", &corners));
    finished(build)
}

/// A whole planter of boxes: walls of sheet, cladding, posts, a slatted floor on bearers, a cap and a pad of pavers.
pub fn whole_planter() -> Build {
    let mut build = Build::default();
    let [long, wide, high] = [1200, 500, 420].map(Length::mm);
    walls(&mut build, long, wide, high);
    cladding(&mut build, long, wide, Length::mm(380), 11, Length::mm(95));
    let mut lay = |key: [&str; 3], index: u32, from: [i64; 3], size: [i64; 3], [along, across]: [Axis; 2]| {
        let lies = Lies { from: from.map(Length::mm), size: size.map(Length::mm), along, across };
        let stock = if key[0] == "pad" { UNIT } else { BOARD };
        build.parts.push(part(key, [0, index], stock, lies));
    };
    for (index, x) in [18, 577, 1135].into_iter().enumerate() {
        lay(["posts", "front", "post"], index as u32, [x, 18, 0], [47, 47, 420], [Axis::Z, Axis::X]);
        lay(["posts", "back", "post"], index as u32, [x, 435, 0], [47, 47, 420], [Axis::Z, Axis::X]);
    }
    for index in 0..10 {
        lay(
            ["floor", "front", "slat"],
            index,
            [70 + 107 * i64::from(index), 70, 60],
            [95, 360, 20],
            [Axis::Y, Axis::X],
        );
    }
    for (index, y) in [80, 375].into_iter().enumerate() {
        lay(["floor", "front", "bearer"], index as u32, [70, y, 13], [1058, 45, 47], [Axis::X, Axis::Z]);
    }
    for (index, (y, face)) in [(-35, "front"), (400, "back")].into_iter().enumerate() {
        lay(["cap", face, "board"], index as u32, [-30, y, 420], [1260, 135, 28], [Axis::X, Axis::Y]);
    }
    for index in 0..12 {
        let (column, row) = (i64::from(index % 4), i64::from(index / 4));
        lay(
            ["pad", "front", "unit"],
            index,
            [-50 + 330 * column, -100 + 240 * row, -50],
            [320, 230, 50].map(i64::from),
            [Axis::X, Axis::Y],
        );
    }
    finished(build)
}

/// Screws through one part into another: points on the outer face of the held part.
fn joint(held: usize, base: usize, direction: [i64; 3], heads: &[[i64; 3]]) -> Joint {
    let mm = |value: f64| from_mm(value);
    Joint {
        held,
        base,
        screw: 0,
        length: Length::mm(60),
        pilot: mm(3.0),
        clearance: mm(5.5),
        direction: direction.map(|part| part * ONE),
        heads: heads.iter().map(|head| head.map(Length::mm)).collect(),
        slots: Vec::new(),
    }
}

/// The whole planter with walls and cladding screwed to its posts, every clad board alike.
pub fn screwed() -> (Build, Joints) {
    let build = whole_planter();
    let mut joints = Joints::default();
    let find = |piece: &str, face: &str, role: &str| -> Vec<usize> {
        let hit = |part: &Part| part.key.piece == piece && part.key.face == face && part.key.role == role;
        (0..build.parts.len()).filter(|&place| hit(&build.parts[place])).collect()
    };
    for (face, y, way) in [("front", 0, 1), ("back", 500, -1)] {
        for wall in find("trough", face, "panel") {
            for (post, x) in find("posts", face, "post").into_iter().zip([41, 600, 1158]) {
                let heads = [50, 150, 270, 370].map(|z| [x, y, z]);
                joints.made.push(joint(wall, post, [0, way, 0], &heads));
            }
            for board in find("cladding", face, "board") {
                let at = build.parts[board].at.corner;
                let x = at[0].nanometres() / 1_000_000;
                let outer = if face == "front" { -20 } else { 520 };
                let heads = [60, 210, 350].into_iter().flat_map(|z| [[x + 24, outer, z], [x + 71, outer, z]]);
                joints.made.push(joint(board, wall, [0, way, 0], &heads.collect::<Vec<_>>()));
            }
        }
    }
    (build, joints)
}

/// Seven to some sixty parts, turned, leaning and square.
pub fn angled_builds() -> Vec<(String, Build)> {
    let mut all = vec![("tapered planter".to_owned(), tapered()), ("whole planter".to_owned(), whole_planter())];
    for (count, courses) in [(3, 1), (5, 2), (6, 3), (8, 2), (12, 4)] {
        all.push((format!("round a tree, {count} sides, {courses} courses"), around_a_tree(count, courses)));
    }
    all
}
