//! Ids in circles beside a drawing, with leaders to their parts.

use crate::exploded::passes;
use crate::lettering::{SMALL, width};
use crate::pen::{Hold, Line, Path, Pen};
use crate::readings::spread;
use crate::scene::Area;

/// From one circle to the next, in mm.
pub(crate) const PITCH: f64 = 7.4;
/// The radius of a circle round a short id; longer ones stand in a longer frame of the same height.
const RADIUS: f64 = 3.3;
/// The dot at the end of a leader (ISO 128-2 ends a leader within an outline in a dot, *from memory*).
const DOT: f64 = 0.5;
/// Between a circle and the edge of the paper.
const EDGE: f64 = 0.5;

/// An id, or a range of them, and points of its parts, in mm of paper.
#[derive(Clone)]
pub(crate) struct Balloon {
    pub(crate) text: String,
    pub(crate) points: Vec<[f64; 2]>,
}

impl Balloon {
    /// With a leader to the first of its points alone.
    pub(crate) fn with_one_leader(mut self) -> Balloon {
        self.points.truncate(1);
        self
    }

    /// The middle of its points.
    fn point(&self) -> [f64; 2] {
        let count = self.points.len().max(1) as f64;
        [0, 1].map(|way| self.points.iter().map(|point| point[way]).sum::<f64>() / count)
    }
}

/// A balloon in its place.
pub(crate) struct Placed {
    balloon: Balloon,
    middle: [f64; 2],
    half: f64,
}

impl Placed {
    /// Its leaders: from its frame, where that is nearest, to its points.
    pub(crate) fn leaders(&self) -> impl Iterator<Item = [[f64; 2]; 2]> + '_ {
        self.balloon.points.iter().map(|&point| leader(self.middle, self.half, point))
    }

    /// How far down it reaches.
    pub(crate) fn bottom(&self) -> f64 {
        self.middle[1] + RADIUS
    }

    /// Half the size of the box round it, with a little room.
    fn room(&self) -> [f64; 2] {
        room(self.half)
    }
}

/// Half the size of the box that is kept clear for a frame.
fn room(half: f64) -> [f64; 2] {
    [half + CLEAR, RADIUS + CLEAR]
}

/// From the frame about a middle to a point.
fn leader(middle: [f64; 2], half: f64, point: [f64; 2]) -> [[f64; 2]; 2] {
    let straight = half - RADIUS;
    let from = [middle[0] + (point[0] - middle[0]).clamp(-straight, straight), middle[1]];
    let away = [point[0] - from[0], point[1] - from[1]];
    let far = (away[0] * away[0] + away[1] * away[1]).sqrt().max(f64::MIN_POSITIVE);
    [[from[0] + away[0] / far * RADIUS, from[1] + away[1] / far * RADIUS], point]
}

/// What is kept clear round a frame that stands beside its part, in mm.
const CLEAR: f64 = 0.7;
/// How far from its part a frame is tried, in mm, the nearest first.
const DISTANCES: [f64; 10] = [7.0, 9.0, 12.0, 15.0, 19.0, 24.0, 30.0, 38.0, 48.0, 60.0];
/// In which directions it is tried: whole numbers, so that no machine rounds them otherwise.
const DIRECTIONS: [[f64; 2]; 16] = [
    [1.0, 0.0],
    [-1.0, 0.0],
    [0.0, -1.0],
    [0.0, 1.0],
    [1.0, -1.0],
    [-1.0, -1.0],
    [1.0, 1.0],
    [-1.0, 1.0],
    [2.0, -1.0],
    [-2.0, -1.0],
    [2.0, 1.0],
    [-2.0, 1.0],
    [1.0, -2.0],
    [-1.0, -2.0],
    [1.0, 2.0],
    [-1.0, 2.0],
];
/// What is drawn already: outlines of parts, counter-clockwise as they are seen on paper or not, with the boxes round them.
pub(crate) struct Drawn {
    outlines: Vec<(Vec<[f64; 2]>, Area)>,
}

impl Drawn {
    pub(crate) fn new(outlines: Vec<Vec<[f64; 2]>>) -> Drawn {
        let bounds = |ring: &Vec<[f64; 2]>| {
            [0, 1].map(|way| {
                let places = ring.iter().map(|corner| corner[way]);
                places.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at), high.max(at)])
            })
        };
        Drawn {
            outlines: outlines.into_iter().map(|ring| (bounds(&ring), ring)).map(|(area, ring)| (ring, area)).collect(),
        }
    }

    /// Whether a rectangle lies clear of all parts.
    fn clear(&self, middle: [f64; 2], half: [f64; 2]) -> bool {
        let beside = |area: &Area| {
            (0..2).any(|way| area[way][0] > middle[way] + half[way] || area[way][1] < middle[way] - half[way])
        };
        !self.outlines.iter().any(|(ring, area)| !beside(area) && meets(ring, middle, half))
    }

    /// How many parts a line passes over, in the boxes round them.
    fn passed(&self, line: &[[f64; 2]; 2]) -> usize {
        let passed = |area: &Area| {
            let middle = area.map(|[low, high]| (low + high) / 2.0);
            passes(line, middle, area.map(|[low, high]| (high - low) / 2.0))
        };
        self.outlines.iter().filter(|(_, area)| passed(area)).count()
    }
}

/// Whether a convex ring and a rectangle have a point in common.
fn meets(ring: &[[f64; 2]], middle: [f64; 2], half: [f64; 2]) -> bool {
    let sides = || ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| [*a, *b]);
    let turns: Vec<f64> =
        sides().map(|[a, b]| (b[0] - a[0]) * (middle[1] - a[1]) - (b[1] - a[1]) * (middle[0] - a[0])).collect();
    let inside = turns.iter().all(|turn| *turn >= 0.0) || turns.iter().all(|turn| *turn <= 0.0);
    inside || sides().any(|side| passes(&side, middle, half))
}

/// Places balloons beside their parts, each with one leader to the nearest of its points, so that nothing meets anything; and
/// those for which there is no such place. `limits` is what they stay within.
pub(crate) fn near(balloons: Vec<Balloon>, drawn: &Drawn, limits: Area) -> (Vec<Placed>, Vec<Balloon>) {
    let middle = limits.map(|[low, high]| (low + high) / 2.0);
    let out = |balloon: &Balloon| {
        let point = balloon.point();
        (0..2).map(|way| (point[way] - middle[way]) * (point[way] - middle[way])).sum::<f64>()
    };
    let mut sorted = balloons;
    sorted.sort_by(|a, b| out(b).total_cmp(&out(a)));
    let outer_first = in_turn(&sorted, drawn, limits);
    if outer_first.1.is_empty() {
        return outer_first;
    }
    // Those in the middle have the fewest places: they choose first where room is short.
    sorted.reverse();
    let inner_first = in_turn(&sorted, drawn, limits);
    if inner_first.1.len() < outer_first.1.len() { inner_first } else { outer_first }
}

/// Places balloons one after the other.
fn in_turn(balloons: &[Balloon], drawn: &Drawn, limits: Area) -> (Vec<Placed>, Vec<Balloon>) {
    let (mut placed, mut rest): (Vec<Placed>, Vec<Balloon>) = (Vec::new(), Vec::new());
    for balloon in balloons {
        match beside(balloon, drawn, &placed, limits) {
            Some((middle, point)) => {
                let half = wide(&balloon.text) / 2.0;
                let balloon = Balloon { text: balloon.text.clone(), points: vec![point] };
                placed.push(Placed { balloon, middle, half });
            }
            None => rest.push(balloon.clone()),
        }
    }
    (placed, rest)
}

/// A place beside one of its parts, and the point its leader goes to.
fn beside(balloon: &Balloon, drawn: &Drawn, placed: &[Placed], limits: Area) -> Option<([f64; 2], [f64; 2])> {
    let half = wide(&balloon.text) / 2.0;
    let size = room(half);
    let fits = |middle: [f64; 2], line: &[[f64; 2]; 2]| {
        let within =
            (0..2).all(|way| limits[way][0] <= middle[way] - size[way] && middle[way] + size[way] <= limits[way][1]);
        within
            && placed.iter().all(|other| {
                let room = other.room();
                let apart = (0..2).any(|way| (middle[way] - other.middle[way]).abs() >= size[way] + room[way]);
                apart
                    && !passes(line, other.middle, room)
                    && other.leaders().all(|theirs| !passes(&theirs, middle, size) && !cross(line, &theirs))
            })
            && drawn.clear(middle, size)
    };
    DISTANCES.into_iter().find_map(|distance| {
        let mut best: Option<(f64, [f64; 2], [f64; 2])> = None;
        for &point in &balloon.points {
            for direction in DIRECTIONS {
                let far = (direction[0] * direction[0] + direction[1] * direction[1]).sqrt();
                let sideways = (half - RADIUS) * direction[0] / far;
                let middle =
                    [point[0] + direction[0] / far * distance + sideways, point[1] + direction[1] / far * distance];
                let line = leader(middle, half, point);
                if !fits(middle, &line) {
                    continue;
                }
                let cost = drawn.passed(&line) as f64;
                if best.is_none_or(|(least, _, _)| cost < least) {
                    best = Some((cost, middle, point));
                }
            }
        }
        best.map(|(_, middle, point)| (middle, point))
    })
}

/// Whether two lines cross.
fn cross(a: &[[f64; 2]; 2], b: &[[f64; 2]; 2]) -> bool {
    let side = |line: &[[f64; 2]; 2], point: [f64; 2]| {
        (line[1][0] - line[0][0]) * (point[1] - line[0][1]) - (line[1][1] - line[0][1]) * (point[0] - line[0][0])
    };
    let parted = |line: &[[f64; 2]; 2], other: &[[f64; 2]; 2]| side(line, other[0]) * side(line, other[1]) > 0.0;
    !parted(a, b) && !parted(b, a)
}

/// The whole width of the frame round a text.
pub(crate) fn wide(text: &str) -> f64 {
    (width(text, SMALL) + 2.4).max(2.0 * RADIUS)
}

/// How many circles stand in one column of this height.
pub(crate) fn most(height: f64) -> usize {
    // A float as an integer saturates.
    ((height / PITCH) as usize).max(1)
}

/// Places the balloons in two columns, to the left and the right of a drawing, in the order of their points, so that leaders
/// cross little; and the texts that had no room.
pub(crate) fn place(balloons: Vec<Balloon>, paper: f64, [top, tall]: [f64; 2]) -> (Vec<Placed>, Vec<String>) {
    let most = most(tall);
    let mut sorted = balloons;
    sorted.sort_by(|a, b| a.point()[0].total_cmp(&b.point()[0]).then(a.point()[1].total_cmp(&b.point()[1])));
    // Each column takes its own side, so far as the other has no room to spare.
    let left = sorted.iter().filter(|one| one.point()[0] < paper / 2.0).count();
    let least = sorted.len().saturating_sub(most).min(most);
    let mut rest = sorted.split_off(left.clamp(least, most).min(sorted.len()));
    let left_out = rest.split_off(rest.len().min(most)).into_iter().map(|balloon| balloon.text).collect();
    let limits = [top, top + tall];
    let columns = [(false, sorted), (true, rest)];
    (columns.into_iter().flat_map(|(right, balloons)| column(balloons, paper, right, limits)).collect(), left_out)
}

/// Places one column of no more balloons than have room there.
pub(crate) fn column(mut balloons: Vec<Balloon>, paper: f64, right: bool, limits: [f64; 2]) -> Vec<Placed> {
    balloons.sort_by(|a, b| a.point()[1].total_cmp(&b.point()[1]));
    let wanted: Vec<f64> = balloons.iter().map(|balloon| balloon.point()[1]).collect();
    // There are no more than fit, so there is room for all.
    let middles = spread(&wanted, &vec![PITCH; wanted.len()], limits).unwrap_or(wanted);
    let placed = |(balloon, y): (Balloon, f64)| {
        let half = wide(&balloon.text) / 2.0;
        let x = if right { paper - half - EDGE } else { half + EDGE };
        Placed { balloon, middle: [x, y], half }
    };
    balloons.into_iter().zip(middles).map(placed).collect()
}

/// Draws balloons with their leaders.
pub(crate) fn draw(pen: &mut Pen, placed: &[Placed]) {
    let (mut leaders, mut dots, mut frames) = (Path::default(), Path::default(), Path::default());
    for one in placed {
        for [from, to] in one.leaders() {
            leaders.stroke(to, from);
            dots.stadium(to, DOT, 0.0);
        }
        let [x, y] = one.middle;
        frames.stadium([x, y], RADIUS, one.half - RADIUS);
        pen.text(&one.balloon.text, [x, y + SMALL / 2.0], SMALL, Hold::Middle);
    }
    pen.draw(&leaders, Line::Narrow);
    pen.draw(&dots, Line::Solid);
    pen.draw(&frames, Line::FineOutline);
}
