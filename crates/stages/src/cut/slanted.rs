//! What the blade takes of a board's length where ends are cut at a slant.

use measure::Length;
use model::part::{Part, Plane, UNIT};

/// The kerf is rounded up to a tenth of a millimetre where it is not that of a square cut: far finer than any blade is known.
const STEP: i64 = 100_000;

/// What a cut takes along the boards of these parts: the kerf for square ends, and the kerf over the cosine of the slant for
/// the most slanted end among them (*common practice*: a blade that stands at an angle to the board passes through more of its
/// length). Neighbours that could share a slanted cut are not reckoned to.
///
/// An end with one plane is sawn at that plane. One with several, such as a pointed top, is cut square first and shaped then,
/// and a plane along the part is planed or ripped.
pub fn kerf_along<'p>(parts: impl Iterator<Item = &'p Part>, kerf: Length) -> Length {
    let slants = parts.flat_map(|part| part.solid.ends.iter().filter_map(|planes| slant(part, planes)));
    match slants.min() {
        None => kerf,
        Some(across) => {
            let along = i128::from(kerf.nanometres()) * i128::from(UNIT);
            let steps = (along + i128::from(across) * i128::from(STEP) - 1) / (i128::from(across) * i128::from(STEP));
            // A kerf is a few millimetres, and no slant that is sawn makes a thousand times that of it.
            Length::nm(steps as i64 * STEP)
        }
    }
}

/// Below this the plane runs along the part and is no crosscut: the sine of some six degrees.
const ALONG: i64 = UNIT / 10;
/// A plane as square as this is square.
const SQUARE: i64 = UNIT - UNIT / 1_000_000_000;

/// How square the one plane of an end is to the part's length, in [`UNIT`]s; `None` for a square end.
fn slant(part: &Part, planes: &[Plane]) -> Option<i64> {
    let [plane] = planes else { return None };
    let square = plane.normal[part.at.along.index()].abs();
    (ALONG..SQUARE).contains(&square).then_some(square)
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::part::{At, Axis, Frame, PartKey, Solid};
    use model::schema::StockKind;
    use model::stock::StockRef;

    fn part(ends: [Vec<[f64; 3]>; 2]) -> Part {
        let plane = |normal: [f64; 3]| Plane {
            normal: normal.map(|part| (part * UNIT as f64) as i64),
            through: [Length::ZERO; 3],
        };
        let mut solid = Solid::square(Length::mm(500), Length::mm(95), Length::mm(20));
        solid.ends = ends.map(|normals| normals.into_iter().map(plane).collect());
        Part {
            key: PartKey { piece: "p".into(), role: "board".into(), face: "front".into(), course: 0, index: 0 },
            id: "A1".into(),
            stock: StockRef { kind: StockKind::Board, place: 0 },
            solid,
            at: At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along: Axis::X, across: Axis::Y },
        }
    }

    /// 3 mm at 45 degrees take 4.243 along the board, and at 30 degrees 3.464 (by hand).
    #[test]
    fn a_slanted_cut_takes_more_of_the_board() {
        let half = std::f64::consts::FRAC_1_SQRT_2;
        let mitred = part([vec![[-half, half, 0.0]], Vec::new()]);
        let hexagon = part([vec![[-0.866_025_403_784, 0.5, 0.0]], Vec::new()]);
        let of = |parts: &[&Part]| kerf_along(parts.iter().copied(), Length::mm(3)).as_mm();
        assert_eq!(of(&[&mitred]), 4.3);
        assert_eq!(of(&[&hexagon]), 3.5);
        assert_eq!(of(&[&hexagon, &mitred]), 4.3);
    }

    /// A pointed top is cut square and shaped then; a planed edge is no crosscut; a square end is square.
    #[test]
    fn what_is_shaped_afterwards_is_cut_square() {
        let pointed = part([Vec::new(), vec![[0.8, 0.6, 0.0], [0.8, -0.6, 0.0]]]);
        let planed = part([vec![[0.0, 0.6, 0.8]], vec![[1.0, 0.0, 0.0]]]);
        assert_eq!(kerf_along([&pointed, &planed].into_iter(), Length::mm(3)), Length::mm(3));
    }
}
