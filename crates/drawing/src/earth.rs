//! The ground line on paper, and what is hidden below it.

use crate::pen::{Line as Pencil, Path, Pen};
use crate::terrain::{Line, TOUCHES, Terrain};
use crate::view::Place;
use measure::Length;
use model::build::Build;
use shape::Convex;

/// From one group of strokes of earth to the next, in mm of paper.
const EARTH: f64 = 12.0;
/// Ground farther off is drawn where it rises above the near one by so much, in mm.
const RISES: f64 = 1.0;

/// The ground as it is seen along an upright plane.
pub(crate) struct Earth {
    terrain: Terrain,
    /// The axis of the build that runs across the view, 0 or 1, and whether it runs to the left there.
    axis: usize,
    turned: bool,
    /// Where one looks from along the other axis: the place of the nearest ground line.
    pub near: Line,
    /// The highest of what lies behind it.
    far: Line,
}

impl Earth {
    /// The ground from the front (axis 0) or from the right (axis 1): the near line is that of the nearest feet.
    pub(crate) fn seen(build: &Build, axis: usize) -> Earth {
        let terrain = Terrain::of(build);
        let places = terrain.places(1 - axis);
        // From the front y grows away from the viewer, from the right x towards him.
        let nearest = if axis == 0 { places.first() } else { places.last() };
        let at = nearest.map_or(0.0, |place| place.as_mm());
        let near = terrain.line(axis, at);
        let far = places.iter().map(|place| terrain.line(axis, place.as_mm()));
        let far = far.fold(near.clone(), |high, line| high.higher(&line));
        Earth { terrain, axis, turned: false, near, far }
    }

    /// The ground in a cut at a place, seen with the axis of the build to the right or, turned, to the left.
    pub(crate) fn cut(build: &Build, axis: usize, at: f64, turned: bool) -> Earth {
        let terrain = Terrain::of(build);
        let line = terrain.line(axis, at);
        let near = if turned { line.turned() } else { line };
        Earth { terrain, axis, turned, far: near.clone(), near }
    }

    /// What hides a part that reaches over this along the way one looks: the ground round it, and the near one before it.
    pub(crate) fn before(&self, deep: [f64; 2]) -> Line {
        if self.near.is_level() {
            return Line::default();
        }
        let own = self.terrain.line(self.axis, (deep[0] + deep[1]) / 2.0);
        let own = if self.turned { own.turned() } else { own };
        own.higher(&self.near)
    }

    /// The same for a solid.
    pub(crate) fn before_solid(&self, solid: &Convex) -> Line {
        let [low, high] = solid.bounds();
        let way = 1 - self.axis;
        self.before([low[way], high[way]])
    }

    /// The lowest and the highest ground between two places.
    pub(crate) fn reach(&self, [from, to]: [f64; 2]) -> [f64; 2] {
        let heights = self.near.between(from, to).into_iter().chain(self.far.between(from, to)).map(|knot| knot[1]);
        heights.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at), high.max(at)])
    }

    /// Draws the ground that rises behind the near line: before the parts, which hide it.
    pub(crate) fn draw_far(&self, pen: &mut Pen, place: &Place) {
        let [from, to] = place.frame[0].map(Length::as_mm);
        let mut path = Path::default();
        for pair in self.far.between(from, to).windows(2) {
            let middle = [0, 1].map(|way| (pair[0][way] + pair[1][way]) / 2.0);
            if middle[1] > self.near.height(middle[0]) + RISES {
                path.stroke(place.point(pair[0]), place.point(pair[1]));
            }
        }
        pen.draw(&path, Pencil::Narrow);
    }

    /// Draws the near line with groups of strokes below it, so far beyond the view on both sides, but where something is cut
    /// in it: stretches of the paper, in order.
    pub(crate) fn draw_near(&self, pen: &mut Pen, place: &Place, beyond: [f64; 2], cut: &[[f64; 2]]) {
        let right = place.x(place.frame[0][1]) + beyond[1];
        let (mut line, mut earth) = (Path::default(), Path::default());
        let mut from = place.left - beyond[0];
        for [start, end] in cut.iter().copied().chain([[right, right]]) {
            if start > from {
                let knots = self.near.between(place.across(from), place.across(start));
                let knots: Vec<[f64; 2]> = knots.into_iter().map(|knot| place.point(knot)).collect();
                knots.windows(2).for_each(|pair| _ = line.stroke(pair[0], pair[1]));
                strokes(&mut earth, &knots);
            }
            from = from.max(end);
        }
        pen.draw(&line, Pencil::Wide);
        pen.draw(&earth, Pencil::Narrow);
    }
}

/// The outline of a box in its stretches above the ground and below it, each a polygon in mm; `None` for one that lies
/// wholly on one side.
pub(crate) fn parted(ground: &Line, [left, right]: [f64; 2], [low, high]: [f64; 2]) -> Parted {
    let line = ground.between(left, right);
    let heights = || line.iter().map(|knot| knot[1]);
    if heights().all(|at| at <= low + TOUCHES) {
        return Parted::Above;
    }
    if heights().all(|at| at >= high - TOUCHES) {
        return Parted::Below;
    }
    let mut knots = vec![line[0]];
    for pair in line.windows(2) {
        let rise = pair[1][1] - pair[0][1];
        let mut shares: Vec<f64> = [low, high].iter().map(|at| (at - pair[0][1]) / rise).collect();
        shares.retain(|share| 0.0 < *share && *share < 1.0);
        shares.sort_by(f64::total_cmp);
        knots.extend(
            shares.iter().map(|share| [pair[0][0] + share * (pair[1][0] - pair[0][0]), pair[0][1] + share * rise]),
        );
        knots.push(pair[1]);
    }
    let knots: Vec<[f64; 2]> = knots.into_iter().map(|[across, up]| [across, up.clamp(low, high)]).collect();
    let ring = |corners: [[f64; 2]; 2]| corners.into_iter().chain(knots.iter().copied()).collect();
    Parted::Both { above: ring([[right, high], [left, high]]), below: ring([[right, low], [left, low]]) }
}

/// Where a box lies.
pub(crate) enum Parted {
    Above,
    Below,
    Both { above: Vec<[f64; 2]>, below: Vec<[f64; 2]> },
}

/// Groups of three slanting strokes below a stretch of ground, on paper.
pub(crate) fn strokes(path: &mut Path, ground: &[[f64; 2]]) {
    let (Some(first), Some(last)) = (ground.first(), ground.last()) else { return };
    let (from, to) = (first[0], last[0]);
    let height = |x: f64| {
        let after = ground.partition_point(|knot| knot[0] < x).clamp(1, ground.len() - 1);
        let [a, b] = [ground[after - 1], ground[after]];
        a[1] + (x - a[0]) * (b[1] - a[1]) / (b[0] - a[0]).max(f64::MIN_POSITIVE)
    };
    let count = ((to - from) / EARTH).max(1.0) as usize;
    let apart = (to - from) / count as f64;
    for group in 0..count {
        let start = from + (group as f64 + 0.5) * apart;
        for stroke in [-1.2, 0.0, 1.2] {
            if (from..=to - 0.2).contains(&(start + stroke)) {
                let y = height(start + stroke);
                path.stroke([start + stroke, y + 0.3], [start + stroke - 1.6, y + 1.9]);
            }
        }
    }
}
