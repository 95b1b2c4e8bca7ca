//! The ids of parts on their faces.

use super::Place;
use super::shapes::Shape;
use crate::lettering::{SMALL, width};
use crate::pen::{Hold, Pen};
use crate::scene::Scene;
use std::collections::BTreeSet;

/// Below this many shapes each gets its id where that fits.
pub(super) const MOST: usize = 150;
/// What is kept clear round an id, in mm.
const CLEAR: f64 = 0.6;

/// Writes the ids of parts, level or upright, where no nearer part covers them; only in a view of few parts, and on a face
/// only if all that are seen of it have room.
pub(super) fn write(pen: &mut Pen, shapes: &[Shape], order: &[usize], place: &Place) {
    if order.len() > MOST {
        return;
    }
    let inside = |at: usize| {
        let [across, up] = [shapes[at].seen.across, shapes[at].seen.up];
        [[place.x(across[0]), place.x(across[1])], [place.y(up[1]), place.y(up[0])]]
    };
    let face = |at: usize| (&shapes[at].part.key.piece, &shapes[at].part.key.face);
    let cramped: BTreeSet<_> =
        order.iter().filter(|&&at| id_box(&shapes[at].part.id, inside(at)).is_none()).map(|&at| face(at)).collect();
    for (count, &at) in order.iter().enumerate() {
        let id = &shapes[at].part.id;
        let Some((half, level)) = id_box(id, inside(at)).filter(|_| !cramped.contains(&face(at))) else { continue };
        let [x, y] = inside(at).map(|[from, to]| (from + to) / 2.0);
        let covered = order[count + 1..]
            .iter()
            .map(|&nearer| inside(nearer))
            .any(|[[l, r], [t, b]]| l < x + half[0] && x - half[0] < r && t < y + half[1] && y - half[1] < b);
        if !covered && level {
            pen.text(id, [x, y + SMALL / 2.0], SMALL, Hold::Middle);
        } else if !covered {
            pen.text_up(id, [x + SMALL / 2.0, y], SMALL, Hold::Middle);
        }
    }
}

/// The same where parts turn or lean: an id stands where its part is foremost.
pub(super) fn write_seen(pen: &mut Pen, shapes: &[Shape], order: &[usize], scene: &Scene, place: &Place) {
    for (solid, &at) in order.iter().enumerate() {
        let id = &shapes[at].part.id;
        let half = [width(id, SMALL) / 2.0 + CLEAR, SMALL / 2.0 + CLEAR].map(|paper| paper / place.scale.factor);
        if id.is_empty() {
            continue;
        }
        if let Some(middle) = scene.room(solid, half) {
            let [x, y] = place.point(middle);
            pen.text(id, [x, y + SMALL / 2.0], SMALL, Hold::Middle);
        } else if let Some(middle) = scene.room(solid, [half[1], half[0]]) {
            let [x, y] = place.point(middle);
            pen.text_up(id, [x + SMALL / 2.0, y], SMALL, Hold::Middle);
        }
    }
}

/// Half the room that an id takes in a shape, across and down, and whether it stands level; `None` if it has none.
fn id_box(id: &str, [[left, right], [top, bottom]]: [[f64; 2]; 2]) -> Option<([f64; 2], bool)> {
    let (long, high) = (width(id, SMALL) + 2.0 * CLEAR, SMALL + 2.0 * CLEAR);
    if id.is_empty() {
        None
    } else if right - left >= long && bottom - top >= high {
        Some(([long / 2.0, high / 2.0], true))
    } else if right - left >= high && bottom - top >= long {
        Some(([high / 2.0, long / 2.0], false))
    } else {
        None
    }
}
