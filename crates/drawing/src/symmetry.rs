//! Whether what is seen has a middle line, and the centre line that says so.
//!
//! A narrow long-dash dot line over the whole and a little beyond (ISO 128-2 type 04.1, *from memory*), broken where letters
//! stand.

use crate::pen::{Line, Path, Pen};
use crate::view::Place;
use measure::Length;
use model::stock::StockRef;
use std::collections::BTreeMap;

/// So near to its mirror image, in mm, a thing is symmetric: shares are rounded to the nanometre, angles a little more.
const NEAR: f64 = 0.01;
/// How far a centre line reaches beyond what it halves, and what it keeps clear of letters, in mm of paper.
const BEYOND: f64 = 3.0;
const CLEAR: f64 = 0.6;

/// A thing as it is seen, in mm of the build.
#[derive(Clone, Debug)]
pub(crate) struct Thing {
    /// What it is made of, and whether it is cut.
    pub kind: (StockRef, bool),
    /// Its outline: across and up.
    pub corners: Vec<[f64; 2]>,
    /// From where to where it reaches along the way one looks.
    pub deep: [f64; 2],
}

impl Thing {
    fn reach(&self, way: usize) -> [f64; 2] {
        let places = self.corners.iter().map(|corner| corner[way]);
        places.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at), high.max(at)])
    }

    /// The cell of a grid that its lower left corner lies in.
    fn cell(&self) -> [i64; 2] {
        [0, 1].map(|way| self.reach(way)[0].floor() as i64)
    }

    fn mirrored(&self, way: usize, middle: f64) -> Thing {
        let mut image = self.clone();
        image.corners.iter_mut().for_each(|corner| corner[way] = 2.0 * middle - corner[way]);
        image
    }

    fn fills(&self, other: &Thing) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= NEAR;
        let within = |a: &Thing, b: &Thing| {
            a.corners.iter().all(|one| b.corners.iter().any(|other| near(one[0], other[0]) && near(one[1], other[1])))
        };
        self.kind == other.kind
            && (0..2).all(|end| near(self.deep[end], other.deep[end]))
            && within(self, other)
            && within(other, self)
    }
}

/// The middle of all things along a way (0 across, 1 up), if they are symmetric about it.
pub(crate) fn middle(things: &[Thing], way: usize) -> Option<f64> {
    let reaches = things.iter().map(|thing| thing.reach(way));
    let [low, high] = reaches.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])?;
    let middle = (low + high) / 2.0;
    let mut open: BTreeMap<[i64; 2], Vec<&Thing>> = BTreeMap::new();
    for thing in things {
        open.entry(thing.cell()).or_default().push(thing);
    }
    let symmetric = things.iter().all(|thing| {
        let image = thing.mirrored(way, middle);
        let [across, up] = image.cell();
        let cells = (-1..=1).flat_map(|right| (-1..=1).map(move |above| [across + right, up + above]));
        let mut cells = cells.filter_map(|cell| {
            let place = open.get(&cell)?.iter().position(|other| image.fills(other))?;
            Some((cell, place))
        });
        let Some((cell, place)) = cells.next() else { return false };
        drop(cells);
        open.get_mut(&cell).map(|things| things.swap_remove(place)).is_some()
    });
    symmetric.then_some(middle)
}

/// Draws the centre lines at `middles` (across, and up), over the frame of a view.
pub(crate) fn draw(pen: &mut Pen, place: &Place, middles: [Option<f64>; 2]) {
    let [left, low] = [0, 1].map(|way| place.frame[way][0].as_mm());
    let [right, high] = [0, 1].map(|way| place.frame[way][1].as_mm());
    let mut path = Path::default();
    for (way, middle) in middles.into_iter().enumerate() {
        let Some(at) = middle else { continue };
        let ends = if way == 0 { [[at, high], [at, low]] } else { [[left, at], [right, at]] };
        let [from, to] = ends.map(|end| place.point(end));
        let along = 1 - way;
        let line = [from[along] - BEYOND, to[along] + BEYOND];
        for [start, end] in clear(pen, way, from[way], line) {
            let point = |along_it: f64| if way == 0 { [from[0], along_it] } else { [along_it, from[1]] };
            path.stroke(point(start), point(end));
        }
    }
    pen.draw(&path, Line::Centre);
}

/// The stretches of a line at a place that are clear of all texts.
fn clear(pen: &Pen, way: usize, at: f64, line: [f64; 2]) -> Vec<[f64; 2]> {
    let boxes = pen.texts.iter().map(|text| [[text.x, text.x + text.width], [text.y, text.y + text.height]]);
    let crossed = boxes.filter(|text| text[way][0] - CLEAR < at && at < text[way][1] + CLEAR);
    let mut crossed: Vec<[f64; 2]> = crossed.map(|text| [text[1 - way][0] - CLEAR, text[1 - way][1] + CLEAR]).collect();
    crossed.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (mut from, mut stretches) = (line[0], Vec::new());
    for [start, end] in crossed.into_iter().chain([[line[1]; 2]]) {
        let stop = start.min(line[1]);
        if stop > from {
            stretches.push([from, stop]);
        }
        from = from.max(end);
    }
    stretches
}

/// The four corners of a rectangle.
pub(crate) fn rectangle([across, up]: [[Length; 2]; 2]) -> Vec<[f64; 2]> {
    let [[left, right], [low, high]] = [across, up].map(|span| span.map(Length::as_mm));
    vec![[left, low], [right, low], [right, high], [left, high]]
}
