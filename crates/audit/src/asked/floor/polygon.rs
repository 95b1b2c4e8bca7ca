//! A regular room on the ground: what of it lies in a strip, and the planes of its sides.

use crate::ground::Ground;
use crate::laid::Cut;
use crate::solid::{Plane, Solid};

/// What a side lies along less than this of a strip trims nothing there: a micrometre.
const TRACE: i128 = 1_000;

/// The direction out of a side, exact where it lies along an axis.
fn outwards(ground: &Ground, side: usize) -> [f64; 2] {
    let (sin, cos) = crate::ground::sin_cos(ground.outline.heading(side));
    [sin, -cos]
}

/// How far a convex outline reaches along the other axis in a strip across `axis`, in nanometres; none where nothing of it lies
/// there. By cutting a slab of the strip with the planes of all sides.
pub(super) fn reach_in(ground: &Ground, axis: usize, strip: [i128; 2]) -> Option<[f64; 2]> {
    let other = 1 - axis;
    let beyond = |corner: &[i128; 2]| corner[other];
    let far =
        [ground.corners.iter().map(beyond).min()? - 1_000_000, ground.corners.iter().map(beyond).max()? + 1_000_000];
    let (mut from, mut to) = ([0; 3], [0, 0, 1_000_000]);
    for (axis, reach) in [(axis, strip), (other, far)] {
        (from[axis], to[axis]) = (i64::try_from(reach[0]).ok()?, i64::try_from(reach[1]).ok()?);
    }
    let planes: Vec<Plane> = (0..ground.corners.len())
        .map(|side| {
            let [x, y] = outwards(ground, side);
            let [a, b] = ground.corners[side].map(|at| at as f64 / 1e6);
            ([x, y, 0.0], [a, b, 0.0])
        })
        .collect();
    let [low, high] = Solid::upright(from, to).behind(&planes)?.bounds();
    Some([low[other] * 1e6, high[other] * 1e6])
}

/// The sides that trim what lies in a strip across `axis`: all that lie along more than a trace of it, but for those that are
/// square to it.
pub(super) fn trims(ground: &Ground, axis: usize, strip: [i128; 2]) -> Vec<usize> {
    let count = ground.corners.len();
    let trims = |side: &usize| {
        let [a, b] = [ground.corners[*side][axis], ground.corners[(side + 1) % count][axis]];
        let along = b.max(a).min(strip[1]) - a.min(b).max(strip[0]);
        along > TRACE && outwards(ground, *side)[axis] != 0.0
    };
    (0..count).filter(trims).collect()
}

/// The plane of a side, of a part that begins at `corner`: at its second end if the side looks up the axis that the part's length
/// lies along.
pub(super) fn plane(ground: &Ground, side: usize, length: usize, corner: [i128; 3]) -> Cut {
    let [x, y] = outwards(ground, side);
    let through = [0, 1].map(|axis| (ground.corners[side][axis] - corner[axis]) as f64);
    Cut { end: usize::from([x, y][length] > 0.0), normal: [x, y, 0.0], through: [through[0], through[1], 0.0] }
}

/// Whether a side lies along neither x nor y.
pub(super) fn is_slanted(ground: &Ground, side: usize) -> bool {
    outwards(ground, side).iter().all(|&part| part != 0.0)
}

/// How far inwards of the nearest side a place lies, in nanometres.
pub(super) fn inwards(ground: &Ground, place: [f64; 2]) -> f64 {
    let of = |side: usize| {
        let out = outwards(ground, side);
        (0..2).map(|axis| out[axis] * (ground.corners[side][axis] as f64 - place[axis])).sum::<f64>()
    };
    (0..ground.corners.len()).map(of).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ground::{Outline, Sum};

    const MM: i128 = 1_000_000;

    /// A hexagon of side 1000 with its front from 0 to 1000: from -400 to -300 the strip lies between its corner at -500 and the
    /// front's at 0; at -300, which is 200 from that corner, the room is 2 √3 · 200 = 692.82 deep about √3 · 500 = 866.03. By hand.
    #[test]
    fn a_strip_of_a_hexagon() {
        let ground = Outline::regular(6, Sum::size(0)).at(&[1_000_000_000]);
        let [low, high] = reach_in(&ground, 0, [-400 * MM, -300 * MM]).expect("something");
        assert!((low / 1e6 - (866.025_404 - 346.410_162)).abs() < 1e-4, "{low}");
        assert!((high / 1e6 - (866.025_404 + 346.410_162)).abs() < 1e-4, "{high}");
        assert_eq!(trims(&ground, 0, [-400 * MM, -300 * MM]), [4, 5]);
        // Across the corner of the front two sides trim the lower end, and the front itself none.
        assert_eq!(trims(&ground, 0, [-50 * MM, 50 * MM]), [4, 5]);
        assert_eq!(reach_in(&ground, 0, [-700 * MM, -600 * MM]).map(|_| ()), None);
        assert!((inwards(&ground, [500e6, 866_025_404.0]) / 1e6 - 866.025_404).abs() < 1e-4);
    }
}
