//! Hatching of cut materials.

use crate::pen::Path;
use crate::scene::{clip, within};
use model::schema::StockKind;

/// Timber of which the grain runs along the paper by more than this, of one, is cut along it.
const ALONG_GRAIN: f64 = 0.5;
/// Faces narrower than this on paper, in mm, are left white.
const LEAST: f64 = 0.8;
/// Between lines, in mm: the layers of a sheet, pairs of lines of stone, waves along the grain.
const SHEET: f64 = 0.9;
const STONE: f64 = 3.0;
const PAIR: f64 = 0.9;
const GRAIN: f64 = 1.8;
/// A wave along the grain, in mm: from crest to crest, its height, and the steps it is drawn in.
const WAVE: f64 = 9.0;
const CREST: f64 = 0.35;
const STEP: f64 = 1.5;

/// The strokes of a cut face in mm of paper. `grain` is the way of the grain on the paper; every second face slants the other
/// way.
pub(crate) fn hatch(ring: &[[f64; 2]], kind: StockKind, grain: [f64; 2], even: bool, path: &mut Path) {
    // On paper, where y runs down, the ring runs the other way round.
    let face: Vec<[f64; 2]> = ring.iter().rev().copied().collect();
    let [wide, high] = [0, 1].map(|way| {
        let values = face.iter().map(|corner| corner[way]);
        values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
    });
    if wide.min(high) < LEAST {
        return;
    }
    let slant = if even { [1.0, 1.0] } else { [1.0, -1.0] };
    match kind {
        StockKind::Board if grain[0].abs().max(grain[1].abs()) > ALONG_GRAIN => waves(&face, grain, path),
        StockKind::Board => crossed(&face, path),
        StockKind::Sheet => lines(&face, slant, SHEET, &[0.0], path),
        _ => lines(&face, slant, STONE, &[0.0, PAIR], path),
    }
}

/// End grain: from corner to corner.
fn crossed(face: &[[f64; 2]], path: &mut Path) {
    let half = face.len() / 2;
    for (from, to) in face.iter().zip(&face[half..]).take(2) {
        path.stroke(*from, *to);
    }
}

/// Straight lines that slant, each with others beside it.
fn lines(face: &[[f64; 2]], slant: [f64; 2], apart: f64, beside: &[f64], path: &mut Path) {
    rows(face, slant, apart, |from, to, across| {
        for more in beside {
            let [from, to] = [from, to].map(|point| [point[0] + more * across[0], point[1] + more * across[1]]);
            if let Some([from, to]) = clip(face, from, to) {
                path.stroke(from, to);
            }
        }
    });
}

/// Waves along the grain.
fn waves(face: &[[f64; 2]], grain: [f64; 2], path: &mut Path) {
    rows(face, grain, GRAIN, |from, to, across| {
        let [x, y] = [0, 1].map(|way| to[way] - from[way]);
        let long = (x * x + y * y).sqrt();
        let count = (long / STEP).ceil().max(1.0);
        let point = |step: f64| {
            let share = step / count;
            let off = CREST * wave(share * long / WAVE);
            [0, 1].map(|way| from[way] + share * (to[way] - from[way]) + off * across[way])
        };
        for step in 0..count as usize {
            let (a, b) = (point(step as f64), point(step as f64 + 1.0));
            if within(face, a) && within(face, b) {
                path.stroke(a, b);
            }
        }
    });
}

/// A smooth wave of height 1 and length 1, made of parabolas.
fn wave(at: f64) -> f64 {
    let phase = at - at.floor();
    if phase < 0.5 { 16.0 * phase * (0.5 - phase) } else { -16.0 * (phase - 0.5) * (1.0 - phase) }
}

/// Calls `draw` with the ends of lines along `way`, so far apart, that reach over a whole face, and with the unit across
/// them.
fn rows(face: &[[f64; 2]], way: [f64; 2], apart: f64, mut draw: impl FnMut([f64; 2], [f64; 2], [f64; 2])) {
    let size = (way[0] * way[0] + way[1] * way[1]).sqrt();
    let along = way.map(|part| part / size);
    let across = [-along[1], along[0]];
    let reach = |unit: [f64; 2]| {
        let values = face.iter().map(|corner| unit[0] * corner[0] + unit[1] * corner[1]);
        values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], value| [low.min(value), high.max(value)])
    };
    let ([start, end], [low, high]) = (reach(along), reach(across));
    let count = ((high - low) / apart).floor().max(1.0);
    let first = low + (high - low - (count - 1.0) * apart) / 2.0;
    for row in 0..count as usize {
        let off = first + row as f64 * apart;
        let point = |at: f64| [0, 1].map(|way| at * along[way] + off * across[way]);
        draw(point(start), point(end), across);
    }
}
