//! Ids in circles beside a drawing, with leaders to their parts.

use crate::lettering::{SMALL, width};
use crate::pen::{Hold, Line, Path, Pen};
use crate::readings::spread;

/// From one circle to the next, in mm.
const PITCH: f64 = 7.4;
/// The radius of a circle round a short id; longer ones stand in a longer frame of the same height.
const RADIUS: f64 = 3.3;
/// The dot at the end of a leader (ISO 128-2 ends a leader within an outline in a dot, *from memory*).
const DOT: f64 = 0.5;

/// An id and the point of its part, in mm of paper.
pub(super) struct Balloon {
    pub text: String,
    pub point: [f64; 2],
}

/// How wide the strip beside a drawing is that holds these texts.
pub(super) fn side<'a>(texts: impl Iterator<Item = &'a str>) -> f64 {
    texts.map(wide).fold(0.0, f64::max) + 3.0
}

/// The whole width of a frame round a text.
fn wide(text: &str) -> f64 {
    (width(text, SMALL) + 2.4).max(2.0 * RADIUS)
}

/// Draws the balloons in two columns, to the left and the right of a drawing, in the order of their points, so that leaders
/// cross little. How far down all reaches, and the texts that had no room.
pub(super) fn draw(pen: &mut Pen, balloons: Vec<Balloon>, paper: f64, [top, tall]: [f64; 2]) -> (f64, Vec<String>) {
    let mut columns: [Vec<Balloon>; 2] = [Vec::new(), Vec::new()];
    let mut sorted = balloons;
    sorted.sort_by(|a, b| a.point[0].total_cmp(&b.point[0]).then(a.point[1].total_cmp(&b.point[1])));
    let half = sorted.len().div_ceil(2);
    // Each column takes its own side, but no more than half of all if one side is crowded.
    let left = sorted.iter().filter(|one| one.point[0] < paper / 2.0).count();
    let most = ((tall / PITCH) as usize).max(1);
    let split = if left > most || sorted.len() - left > most { half } else { left };
    for (place, balloon) in sorted.into_iter().enumerate() {
        columns[usize::from(place >= split)].push(balloon);
    }
    let need = columns.iter().map(|column| column.len().min(MOST)).max().unwrap_or(0) as f64 * PITCH;
    let limits = [top, top + tall.max(need)];
    let mut left_out = Vec::new();
    for (right, mut column) in [false, true].into_iter().zip(columns) {
        left_out.extend(column.split_off(column.len().min(MOST)).into_iter().map(|balloon| balloon.text));
        self::column(pen, &mut column, paper, right, limits);
    }
    (limits[1], left_out)
}

/// The most circles in one column: more would make a drawing higher than any paper.
const MOST: usize = 30;

fn column(pen: &mut Pen, balloons: &mut [Balloon], paper: f64, right: bool, limits: [f64; 2]) {
    balloons.sort_by(|a, b| a.point[1].total_cmp(&b.point[1]));
    let wanted: Vec<f64> = balloons.iter().map(|balloon| balloon.point[1]).collect();
    let Some(middles) = spread(&wanted, &vec![PITCH; wanted.len()], limits) else { return };
    let (mut leaders, mut dots, mut frames) = (Path::default(), Path::default(), Path::default());
    for (balloon, &y) in balloons.iter().zip(&middles) {
        let half = wide(&balloon.text) / 2.0;
        let x = if right { paper - half - 0.5 } else { half + 0.5 };
        leaders.stroke(balloon.point, [x + if right { -half } else { half }, y]);
        dots.stadium(balloon.point, DOT, 0.0);
        frames.stadium([x, y], RADIUS, half - RADIUS);
        pen.text(&balloon.text, [x, y + SMALL / 2.0], SMALL, Hold::Middle);
    }
    pen.draw(&leaders, Line::Narrow);
    pen.draw(&dots, Line::Solid);
    pen.draw(&frames, Line::FineOutline);
}
