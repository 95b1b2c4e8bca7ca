//! How far regular outlines reach, along the front and from front to back, in sides: the fractions of `docs/pieces.md`.

/// So many times a side, divided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Reach {
    pub times: i128,
    pub over: i128,
}

/// Of an outline of so many equal sides; none where no such outline is known.
pub(crate) fn reaches(sides: usize) -> Option<[Reach; 2]> {
    let [along, back] = match sides {
        3 => [(1, 1), (2_521, 2_911)],
        5 => [(10_946, 6_765), (2_179, 1_416)],
        6 => [(2, 1), (13_775, 7_953)],
        8 => [(13_860, 5_741); 2],
        10 => [(17_711, 5_473), (2_179, 708)],
        12 => [(29_681, 7_953); 2],
        _ => return None,
    };
    Some([along, back].map(|(times, over)| Reach { times, over }))
}

impl Reach {
    /// For a side so long, to the nearest nanometre, halves up.
    pub fn of(self, side: i128) -> i128 {
        nearest(side * self.times, self.over)
    }

    /// The longest side that reaches no further.
    pub fn side_within(self, most: i128) -> i128 {
        (most * self.over).div_euclid(self.times)
    }
}

/// A fraction to the nearest whole number, halves up.
pub(crate) fn nearest(of: i128, over: i128) -> i128 {
    (2 * of + over).div_euclid(2 * over)
}

#[cfg(test)]
mod tests {
    use super::reaches;
    use crate::ground::{Outline, Sum};

    /// By walking round each outline of sides of a metre: the fractions lie within 4 parts in 10⁸ of how far its corners reach.
    #[test]
    fn the_corners_reach_as_far() {
        let side = 1_000_000_000;
        for count in [3, 5, 6, 8, 10, 12] {
            let ground = Outline::regular(count, Sum::size(0)).at(&[side]);
            for (axis, reach) in reaches(count).expect("known").into_iter().enumerate() {
                let places = ground.corners.iter().map(|corner| corner[axis]);
                let walked = places.clone().max().unwrap_or(0) - places.min().unwrap_or(0);
                let apart = (reach.of(side.into()) - walked).abs();
                assert!(apart <= 4 * walked / 100_000_000 + 8, "{count} sides, axis {axis}: {apart} nm");
            }
        }
        assert_eq!(reaches(7), None);
    }
}
