//! Which parts are alike: cut the same, however they lie. Turning a part end over end or round its length changes nothing;
//! a mirror image is another part.

use crate::claims::Part;

/// Lengths, widths and thicknesses of parts that share their letters differ by no more nanometres.
const NOISE: i64 = 1_000;
/// Within this, in the parts of a normal and in millimetres, planes of parts that share their letters lie alike: twice what
/// the rule says, since floats are compared.
const LOOSE: [f64; 2] = [2e-6, 2e-3];
/// Within this, half of what the rule says, planes are the same, and parts that have the same ones must share their letters.
const TIGHT: [f64; 2] = [5e-7, 5e-4];

/// Identity and the half turns about length, width and thickness.
const HALF_TURNS: [[f64; 3]; 4] = [[1.0, 1.0, 1.0], [1.0, -1.0, -1.0], [-1.0, 1.0, -1.0], [-1.0, -1.0, 1.0]];

/// The measures of a part in nanometres, and its planes along length, width and thickness, each with how far it lies from
/// the part's middle in millimetres.
pub(super) struct Form {
    measures: [i64; 3],
    planes: Vec<([f64; 3], f64)>,
}

impl Form {
    pub fn of(part: &Part) -> Form {
        let third = 3 - part.along - part.across;
        // Three directions that are left-handed in their order are a mirror: the third the other way is a turn again.
        let hand = if (part.along + 1) % 3 == part.across { 1.0 } else { -1.0 };
        let extent = part.extent();
        let own = |plane: &crate::claims::Plane| {
            let normal = plane.normal.map(|at| at as f64 / 1e12);
            let from_middle = [0, 1, 2].map(|axis| plane.through[axis] as f64 / 1e6 - extent[axis] as f64 / 2e6);
            let far: f64 = (0..3).map(|axis| normal[axis] * from_middle[axis]).sum();
            ([normal[part.along], normal[part.across], hand * normal[third]], far)
        };
        let measures = [part.length, part.width, part.thickness];
        Form { measures, planes: part.planes.iter().map(own).collect() }
    }

    /// Whether a turn lays one on the other, near enough to share letters.
    pub fn is_like(&self, other: &Form) -> bool {
        self.is_within(other, LOOSE)
    }

    /// Whether a turn lays one on the other, so near that they must share letters.
    pub fn is_same(&self, other: &Form) -> bool {
        self.is_within(other, TIGHT)
    }

    fn is_within(&self, other: &Form, [apart, far]: [f64; 2]) -> bool {
        let near = |(a, b): (&i64, &i64)| a.checked_sub(*b).is_some_and(|apart| (-NOISE..=NOISE).contains(&apart));
        self.measures.iter().zip(&other.measures).all(near)
            && self.planes.len() == other.planes.len()
            && HALF_TURNS.iter().any(|turn| self.lies_on(other, turn, apart, far))
    }

    fn lies_on(&self, other: &Form, turn: &[f64; 3], apart: f64, far: f64) -> bool {
        let mut open: Vec<&([f64; 3], f64)> = other.planes.iter().collect();
        self.planes.iter().all(|(normal, offset)| {
            let same = |(other, place): &&([f64; 3], f64)| {
                (0..3).all(|i| (turn[i] * normal[i] - other[i]).abs() <= apart) && (offset - place).abs() <= far
            };
            let found = open.iter().position(same);
            found.map(|at| open.remove(at)).is_some()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::claims::Plane;

    fn board(end: usize, slant: [i64; 3]) -> Part {
        let through = [if end == 0 { 0 } else { 500_000_000 }, 0, 0];
        let plane = Plane { end, normal: slant, through };
        Part { planes: vec![plane], ..Part::sized([500_000_000, 90_000_000, 20_000_000]) }
    }

    /// The rule counts a thousand nanometres in, and the next one out, in each of the three measures.
    #[test]
    fn measures_are_alike_within_a_micrometre() {
        let sized = |measures| Form::of(&Part::sized(measures));
        let one = [500_000_000, 90_000_000, 20_000_000];
        for way in 0..3 {
            let mut other = one;
            other[way] += 1_000;
            assert!(sized(one).is_same(&sized(other)) && sized(other).is_same(&sized(one)));
            other[way] += 1;
            assert!(!sized(one).is_like(&sized(other)) && !sized(other).is_like(&sized(one)));
        }
    }

    /// A board mitred at one end, turned end over end about its thickness, is the same board; its mirror image, with the long
    /// point on the other edge at the same end, is one only because a board can be turned about its length; a compound cut is
    /// not what its mirror is.
    #[test]
    fn turns_are_alike_and_mirrors_are_not() {
        let half = 707_106_781_187;
        let form = |end, slant| Form::of(&board(end, slant));
        let one = form(1, [half, half, 0]);
        let mut turned = board(0, [-half, -half, 0]);
        turned.planes[0].through = [0, 90_000_000, 0];
        assert!(one.is_like(&Form::of(&turned)));
        let compound = [600_000_000_000, 640_000_000_000, 480_000_000_000];
        let mirrored = [compound[0], compound[1], -compound[2]];
        let mut mirror = board(1, mirrored);
        mirror.planes[0].through = [500_000_000, 0, 20_000_000];
        assert!(!form(1, compound).is_like(&Form::of(&mirror)));
        assert!(form(1, compound).is_same(&form(1, compound)));
    }
}
