//! Ids in circles beside a drawing, with leaders to their parts.

use crate::lettering::{SMALL, width};
use crate::pen::{Hold, Line, Path, Pen};
use crate::readings::spread;

/// From one circle to the next, in mm.
pub(crate) const PITCH: f64 = 7.4;
/// The radius of a circle round a short id; longer ones stand in a longer frame of the same height.
const RADIUS: f64 = 3.3;
/// The dot at the end of a leader (ISO 128-2 ends a leader within an outline in a dot, *from memory*).
const DOT: f64 = 0.5;
/// Between a circle and the edge of the paper.
const EDGE: f64 = 0.5;

/// An id, or a range of them, and points of the first and the last part, in mm of paper.
pub(crate) struct Balloon {
    pub(crate) text: String,
    pub(crate) points: Vec<[f64; 2]>,
}

impl Balloon {
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
    /// Where its leaders begin.
    edge: f64,
}

impl Placed {
    /// Its leaders.
    pub(crate) fn leaders(&self) -> impl Iterator<Item = [[f64; 2]; 2]> + '_ {
        self.balloon.points.iter().map(|&point| [[self.edge, self.middle[1]], point])
    }

    /// How far down it reaches.
    pub(crate) fn bottom(&self) -> f64 {
        self.middle[1] + RADIUS
    }
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
        Placed { balloon, middle: [x, y], half, edge: x + if right { -half } else { half } }
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
