//! Walls that lean: battered ones, wider at the top or narrower.
//!
//! The lower outer edges lie `batter` further in than the upper ones and the height is measured up the slope, so the lean S has
//! sin S = batter / height. What leans inwards stands on the inner edge of its foot.

use crate::asked::leaning::{Leaning, millionths};
use crate::ground::{Ground, Sum, Way, nearest, sin_cos};
use crate::laid::{ANGLE, Built, Laid, Site, Slot};
use crate::texts::Piece;

/// How walls lean.
pub(super) struct Lean {
    pub batter: i128,
    height: Sum,
}

impl Lean {
    /// Reads the batter, if there is one.
    pub fn read(piece: &Piece, height: &Sum) -> Result<Option<Lean>, String> {
        let batter = i128::from(piece.length("batter", 0)?);
        Ok((batter != 0).then(|| Lean { batter, height: height.clone() }))
    }

    /// The least height up the slope: more than twice the batter, so that the lean is less than 30°.
    pub fn least_height(&self) -> i128 {
        2 * self.batter.abs() + 1
    }

    /// How far outwards of the upper outer edges the walls' outer faces reach at most.
    pub fn furthest(&self) -> i128 {
        (-self.batter).max(0)
    }

    /// The lean in millionths of a degree.
    fn lean(&self, site: &Site<'_>) -> i64 {
        millionths(libm::asin(self.batter as f64 / site.value(&self.height) as f64))
    }

    /// How much lower or higher the inner edges lie than the outer ones, rounded up.
    fn across(&self, site: &Site<'_>, thickness: i128) -> i128 {
        let height = site.value(&self.height).max(1);
        (thickness * self.batter.abs() + height - 1).div_euclid(height)
    }

    /// How high the walls are, from their lower outer edges to the upper ones.
    fn plumb(&self, site: &Site<'_>) -> i128 {
        let (height, batter) = (site.value(&self.height) as f64, self.batter as f64);
        nearest(libm::sqrt(height * height - batter * batter))
    }

    /// The numbers that have a why: the lean and what follows from it, and the length of each course on each side.
    pub fn numbers(
        &self,
        piece: &str,
        ground: &Ground,
        site: &Site<'_>,
        thickness: i128,
        heights: &[[i128; 2]],
        built: &mut Built<'_>,
    ) {
        let (height, turn) = (site.value(&self.height), i128::from(ground.outline.turn(0)));
        let lean = i128::from(self.lean(site));
        built.number(piece, "lean", "lean", ANGLE, vec![self.batter, height]);
        // Whichever way it leans, the saw stands and is tilted alike.
        built.number(piece, "saw", "compound-saw", ANGLE, vec![turn, lean.abs()]);
        built.number(piece, "tilt", "compound-tilt", ANGLE, vec![turn, lean.abs()]);
        built.number(piece, "plumb-height", "plumb-height", "nm", vec![height, self.batter, thickness]);
        for (course, [from, to]) in heights.iter().enumerate() {
            for side in 0..ground.outline.count() {
                let name = format!("{}.course-{}.length", ground.outline.name(side).replace(' ', "-"), course + 1);
                let edge = if self.batter > 0 { *to } else { *from };
                let inputs = vec![ground.lengths[side], turn, self.batter, height, edge];
                built.number(piece, &name, "leaning-length", "nm", inputs);
            }
        }
    }

    /// How high above the bottom the highest edges lie.
    pub fn highest(&self, site: &Site<'_>, thickness: i128) -> i128 {
        self.plumb(site) + self.across(site, thickness)
    }

    /// The part of a side between two heights up the slope.
    #[allow(clippy::too_many_arguments)]
    pub fn part<'a>(
        &self,
        ground: &Ground,
        site: &Site<'_>,
        side: usize,
        thickness: i128,
        bottom: i128,
        [from, to]: [i128; 2],
        slot: Slot<'a>,
        stock: (&'a str, &'a str),
    ) -> Laid<'a> {
        let lean = self.lean(site);
        let (sin, cos) = sin_cos(lean);
        // What leans inwards stands on the inner edge of its foot.
        let raised = if self.batter < 0 { self.across(site, thickness) } else { 0 };
        let upper = bottom + self.plumb(site) + raised;
        // The frame is turned about the upper outer edge, which lies in the side.
        let below = (site.value(&self.height) - from) as f64;
        let (out, up) = (-below * sin, upper as f64 - below * cos);
        let leaning = Leaning { lean, out, up, inwards: thickness, upwards: to - from };
        leaning.part(ground, side, Way::Up, slot, stock)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::asked::Asked;
    use crate::ground::Outline;
    use crate::solid::Solid;

    const MM: i128 = 1_000_000;

    /// Lays one course as high as the walls round an outline, all sides alike.
    fn walls(outline: &Outline, batter: i128, height: i128, thickness: i128) -> Vec<Laid<'static>> {
        let lean = Lean { batter, height: Sum::fixed(height) };
        let asked = Asked::default();
        let site = Site::bare(&asked);
        let ground = outline.at(&[]);
        let part = |side| {
            let slot = ("box", "board", outline.name(side), 0, 0);
            lean.part(&ground, &site, side, thickness, 0, [0, height], slot, ("board", "b"))
        };
        (0..outline.count()).map(part).collect()
    }

    /// Compound angles of N equal sides that lean by S: the saw stands at atan(tan(180°/N) sin S) across the face and is
    /// tilted by asin(sin(180°/N) cos S) (*common practice*, hopper joints). In the part's frame, x along and z up its face,
    /// the trace of the plane on the face and its tilt out of it are those angles, within half a millionth of a degree.
    #[test]
    fn compound_angles_of_hoppers() {
        for count in [3, 4, 5, 6, 8, 12] {
            for batter in [150 * MM, -90 * MM] {
                let outline = if count == 4 {
                    Outline::rectangle(Sum::fixed(600 * MM), Sum::fixed(600 * MM))
                } else {
                    Outline::regular(count, Sum::fixed(600 * MM))
                };
                let height = 400 * MM;
                let slope = libm::asin(batter as f64 / height as f64);
                let half = std::f64::consts::PI / count as f64;
                let parts = walls(&outline, batter, height, 20 * MM);
                let normal = parts[0].planes[1].normal;
                let saw = libm::atan(libm::tan(half) * libm::sin(slope));
                let tilt = libm::asin(libm::sin(half) * libm::cos(slope));
                assert!((libm::atan(-normal[2] / normal[0]) - saw).abs() < 1e-8, "{count} sides");
                assert!((libm::asin(normal[1]) - tilt).abs() < 1e-8, "{count} sides");
            }
        }
    }

    /// Neighbours of a tapered box meet in one plane: corners of the one's end lie on the other's plane, to a micrometre; and
    /// none of them reach below the ground.
    #[test]
    fn ends_of_neighbours_meet() {
        for (outline, batter) in [
            (Outline::rectangle(Sum::fixed(900 * MM), Sum::fixed(500 * MM)), 80 * MM),
            (Outline::rectangle(Sum::fixed(900 * MM), Sum::fixed(500 * MM)), -80 * MM),
            (Outline::regular(6, Sum::fixed(400 * MM)), 60 * MM),
        ] {
            let parts = walls(&outline, batter, 450 * MM, 21 * MM);
            for (side, part) in parts.iter().enumerate() {
                let own = Solid::laid(part).expect("a solid");
                let next = Solid::laid(&parts[outline.after(side)]).expect("a solid");
                let lowest = own.points().iter().map(|point| point[2]).fold(f64::MAX, f64::min);
                assert!(lowest.abs() < 1e-3, "{lowest} mm above the ground");
                assert!(own.gap(&next).abs() < 1e-3, "{} mm between neighbours", own.gap(&next));
            }
        }
    }
}
