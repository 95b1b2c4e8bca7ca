//! The face in which two parts touch, as a drawing board: u along the grain of the held part, v across it.

use shape::vector::{cross, dot, minus, plus, times, unit};
use shape::{TOUCH, Vector};

/// A point of the face: along the grain of the held part, across it, in millimetres.
pub(crate) type Flat = [f64; 2];

/// A stretch of a line, from and to.
pub(crate) type Stretch = [f64; 2];

/// The face with its two directions.
#[derive(Clone, Debug)]
pub(crate) struct Plane {
    origin: Vector,
    /// Along the grain of the held part.
    pub u: Vector,
    /// Across it.
    pub v: Vector,
}

impl Plane {
    /// The face through a point; `None` if the grain runs out of it.
    pub fn new(origin: Vector, normal: Vector, grain: Vector) -> Option<Plane> {
        let u = unit(minus(grain, times(normal, dot(grain, normal))))?;
        Some(Plane { origin, u, v: cross(normal, u) })
    }

    /// A point of the build on the face.
    pub fn flat(&self, point: Vector) -> Flat {
        let from = minus(point, self.origin);
        [dot(from, self.u), dot(from, self.v)]
    }

    /// A point of the face in the build.
    pub fn solid(&self, [u, v]: Flat) -> Vector {
        plus(self.origin, plus(times(self.u, u), times(self.v, v)))
    }

    /// The limit that a half-space of the build leaves: `normal · x <= offset`.
    pub fn limit(&self, normal: Vector, offset: f64) -> Limit {
        Limit { a: dot(normal, self.u), b: dot(normal, self.v), c: offset - dot(normal, self.origin) }
    }
}

/// What lies inside: `a u + b v <= c`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limit {
    /// The share of u.
    pub a: f64,
    /// The share of v.
    pub b: f64,
    /// How far.
    pub c: f64,
}

impl Limit {
    fn beyond(&self, [u, v]: Flat) -> f64 {
        self.a * u + self.b * v - self.c
    }

    /// How far one may go from a point in a direction, as a stretch around 0.
    pub fn along(&self, point: Flat, direction: Flat) -> Stretch {
        let speed = self.a * direction[0] + self.b * direction[1];
        let room = -self.beyond(point);
        if speed > PARALLEL {
            [f64::NEG_INFINITY, room / speed]
        } else if speed < -PARALLEL {
            [room / speed, f64::INFINITY]
        } else if room >= -TOUCH {
            [f64::NEG_INFINITY, f64::INFINITY]
        } else {
            [f64::INFINITY, f64::NEG_INFINITY]
        }
    }
}

/// A line that closes in on a limit by less than this for each millimetre runs along it.
const PARALLEL: f64 = 1e-9;

/// The limits of a ring that runs counter-clockwise.
pub(crate) fn sides(ring: &[Flat]) -> Vec<Limit> {
    let corners = ring.iter().zip(ring.iter().cycle().skip(1));
    let side = |(&[u, v], &[next_u, next_v]): (&Flat, &Flat)| {
        let [a, b] = [next_v - v, u - next_u];
        let long = (a * a + b * b).sqrt();
        (long > TOUCH).then(|| Limit { a: a / long, b: b / long, c: (a * u + b * v) / long })
    };
    corners.filter_map(side).collect()
}

/// What a limit leaves of a ring; a corner within [`TOUCH`] of it stays.
pub(crate) fn clip(ring: Vec<Flat>, limit: &Limit) -> Vec<Flat> {
    if ring.iter().all(|&corner| limit.beyond(corner) <= TOUCH) {
        return ring;
    }
    let beyond: Vec<f64> = ring.iter().map(|&corner| limit.beyond(corner)).collect();
    let mut left = Vec::with_capacity(ring.len() + 1);
    for (at, &corner) in ring.iter().enumerate() {
        let next = (at + 1) % ring.len();
        let (here, there) = (beyond[at], beyond[next]);
        if here <= TOUCH {
            left.push(corner);
        }
        if (here > TOUCH && there < -TOUCH) || (here < -TOUCH && there > TOUCH) {
            let share = here / (here - there);
            left.push([0, 1].map(|axis| corner[axis] + (ring[next][axis] - corner[axis]) * share));
        }
    }
    left
}

/// The stretch along u that limits leave at a height v; `None` if nothing. Bounds that cross by no more than [`TOUCH`] on
/// either side leave the point between them.
pub(crate) fn stretch_at(limits: &[Limit], v: f64) -> Option<Stretch> {
    let start = [0.0, v];
    let stretches = limits.iter().map(|limit| limit.along(start, [1.0, 0.0]));
    narrowed(stretches.fold([f64::NEG_INFINITY, f64::INFINITY], both))
}

/// What two stretches share, which may be less than nothing.
pub(crate) fn both(one: Stretch, other: Stretch) -> Stretch {
    [one[0].max(other[0]), one[1].min(other[1])]
}

fn narrowed([from, to]: Stretch) -> Option<Stretch> {
    if from <= to {
        Some([from, to])
    } else if from - to <= 2.0 * TOUCH {
        Some([(from + to) / 2.0; 2])
    } else {
        None
    }
}

/// A stretch without others; what is left in order.
pub(crate) fn without(whole: Stretch, taken: &[Stretch]) -> Vec<Stretch> {
    let mut taken: Vec<Stretch> = taken.to_vec();
    taken.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut left = Vec::new();
    let mut from = whole[0];
    for [start, end] in taken {
        if start >= whole[1] {
            break;
        }
        if start >= from {
            left.push([from, start]);
        }
        from = from.max(end);
    }
    if from <= whole[1] {
        left.push([from, whole[1]]);
    }
    left
}

/// The marks of a tape that is laid along a direction of the face.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Marks {
    /// Where the tape begins.
    pub from: f64,
    /// From one mark to the next; more than nothing.
    pub step: f64,
}

impl Marks {
    /// The mark nearest to a place within a stretch; the place itself where the stretch has no mark.
    fn nearest(&self, place: f64, stretch: Stretch) -> f64 {
        let Some([first, last]) = self.inside(stretch) else { return place };
        (self.from + ((place - self.from) / self.step).round() * self.step).max(first).min(last)
    }

    /// The first and the last mark within a stretch; `None` if it has none.
    fn inside(&self, [from, to]: Stretch) -> Option<Stretch> {
        let first = self.from + ((from - TOUCH - self.from) / self.step).ceil() * self.step;
        let last = self.from + ((to + TOUCH - self.from) / self.step).floor() * self.step;
        (first <= last).then_some([first, last])
    }

    /// The least whole number of steps that is no less than a length.
    pub fn steps(&self, length: f64) -> f64 {
        ((length - TOUCH) / self.step).ceil() * self.step
    }
}

/// Puts places that are wanted, in rising order, on marks where there is room, no two nearer than `apart`: each at its place
/// or the nearest one that is free, else all evenly over the longest stretch that is. Where that leaves no room for marks
/// they stand between them. `None` if they do not fit there either.
pub(crate) fn settle(wanted: &[f64], free: &[Stretch], apart: f64, marks: Marks) -> Option<Vec<f64>> {
    let far_enough = |places: &Vec<f64>| places.windows(2).all(|pair| pair[1] - pair[0] >= apart - TOUCH);
    let nearest = |place: f64| {
        let within = free.iter().map(|&stretch| (place.max(stretch[0]).min(stretch[1]), stretch));
        within
            .min_by(|a, b| (a.0 - place).abs().total_cmp(&(b.0 - place).abs()))
            .map(|(place, stretch)| marks.nearest(place, stretch))
    };
    let settled: Vec<f64> = wanted.iter().map(|&place| nearest(place)).collect::<Option<_>>()?;
    let longest = free.iter().copied().max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    let spread = |[from, to]: Stretch| -> Vec<f64> {
        // More than one was wanted, or nothing would be too near.
        let pitch = (to - from) / (wanted.len() - 1) as f64;
        (0..wanted.len()).map(|place| from + pitch * place as f64).collect()
    };
    let on_marks = |stretch: Stretch| -> Vec<f64> {
        spread(stretch).into_iter().map(|place| marks.nearest(place, stretch)).collect()
    };
    Some(settled)
        .filter(far_enough)
        .or_else(|| marks.inside(longest).map(on_marks).filter(far_enough))
        .or_else(|| Some(spread(longest)).filter(far_enough))
}

/// Equal parts of a stretch, each with a place in its middle: for two the quarter points.
pub(crate) fn middles([from, to]: Stretch, count: u32) -> Vec<f64> {
    let part = (to - from) / f64::from(2 * count);
    (0..count).map(|place| from + part * f64::from(2 * place + 1)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_stand_at_the_quarter_points() {
        assert_eq!(middles([0.0, 145.0], 2), [36.25, 108.75]);
        assert_eq!(middles([10.0, 30.0], 1), [20.0]);
    }

    #[test]
    fn places_give_way_as_little_as_they_can() {
        let marks = Marks { from: 0.0, step: 1.0 };
        assert_eq!(settle(&[10.0, 30.0], &[[0.0, 40.0]], 15.0, marks), Some(vec![10.0, 30.0]));
        assert_eq!(settle(&[10.0, 30.0], &[[12.0, 28.0]], 15.0, marks), Some(vec![12.0, 28.0]));
        assert_eq!(settle(&[10.0, 30.0], &[[12.0, 26.0]], 15.0, marks), None);
        assert_eq!(settle(&[10.0, 12.0], &[[0.0, 40.0]], 15.0, marks), Some(vec![0.0, 40.0]));
        assert_eq!(settle(&[10.0], &[], 15.0, marks), None);
    }

    /// Between marks only where there is room for nothing else; worked by hand.
    #[test]
    fn places_lie_on_marks() {
        let marks = Marks { from: 0.25, step: 1.0 };
        assert_eq!(settle(&[36.25, 108.75], &[[15.0, 130.0]], 25.0, marks), Some(vec![36.25, 109.25]));
        assert_eq!(settle(&[10.0], &[[10.5, 11.0]], 25.0, marks), Some(vec![10.5]));
        assert_eq!(settle(&[10.0, 20.0], &[[10.4, 35.8]], 25.0, marks), Some(vec![10.4, 35.8]));
        assert_eq!(settle(&[10.0, 20.0], &[[10.1, 35.9]], 25.0, marks), Some(vec![10.25, 35.25]));
    }

    #[test]
    fn what_is_taken_is_left_out() {
        assert_eq!(without([0.0, 10.0], &[[4.0, 6.0], [-1.0, 1.0]]), [[1.0, 4.0], [6.0, 10.0]]);
        assert_eq!(without([0.0, 10.0], &[[-1.0, 11.0]]), Vec::<Stretch>::new());
        assert_eq!(without([5.0, 5.0], &[]), [[5.0, 5.0]]);
    }
}
