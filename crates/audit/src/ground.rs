//! Outlines as lines on the ground, and where rows end on them.
//!
//! A right-angled outline is kept as the line of each side: a side along x has a y, a side along y has an x, both straight
//! sums of the plan's sizes. A row ends on a line beside its neighbour's side, so its ends are places on the ground and its
//! length is their difference: no table of corner cases is needed.

use std::collections::BTreeMap;

/// A straight sum of sizes and a constant, in nanometres.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Sum {
    pub terms: BTreeMap<usize, i128>,
    pub constant: i128,
}

impl Sum {
    pub fn size(size: usize) -> Sum {
        Sum { terms: BTreeMap::from([(size, 1)]), constant: 0 }
    }

    pub fn fixed(constant: i128) -> Sum {
        Sum { terms: BTreeMap::new(), constant }
    }

    /// This and another one `times` over.
    pub fn plus(&self, other: &Sum, times: i128) -> Sum {
        let mut sum = self.clone();
        for (&size, factor) in &other.terms {
            *sum.terms.entry(size).or_default() += factor * times;
        }
        sum.terms.retain(|_, factor| *factor != 0);
        sum.constant += other.constant * times;
        sum
    }

    pub fn and(&self, constant: i128) -> Sum {
        Sum { constant: self.constant + constant, ..self.clone() }
    }

    /// Its value for given sizes.
    pub fn at(&self, sizes: &[i64]) -> i128 {
        let value = |(&size, factor): (&usize, &i128)| sizes.get(size).map_or(0, |&size| i128::from(size) * factor);
        self.terms.iter().map(value).sum::<i128>() + self.constant
    }
}

/// A closed outline of right angles, walked counter-clockwise as seen from above.
#[derive(Clone, Debug)]
pub(crate) struct Outline {
    pub sides: Vec<Side>,
}

/// One side.
#[derive(Clone, Debug)]
pub(crate) struct Side {
    pub name: &'static str,
    /// The way it is walked: one of the two is 1 or -1, the other 0.
    pub heading: [i128; 2],
    /// Where its line lies, on the axis that it does not run along.
    pub line: Sum,
}

/// Who has a corner, as the row in question sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Has {
    This,
    Other,
    Nobody,
    Unit,
}

/// Where a row ends.
#[derive(Clone, Debug)]
pub(crate) struct End {
    /// On the axis along the row.
    pub at: Sum,
    /// Whether it stops a joint before that.
    pub joint: bool,
}

impl Outline {
    /// A rectangle of `length` along the front and `width` from front to back.
    pub fn rectangle(length: Sum, width: Sum) -> Outline {
        Outline {
            sides: vec![
                side("front", [1, 0], Sum::default()),
                side("right", [0, 1], length),
                side("back", [-1, 0], width),
                side("left", [0, -1], Sum::default()),
            ],
        }
    }

    /// An L: the arm along the front is `front` deep, the arm along the left is `left` wide.
    pub fn ell(length: Sum, width: Sum, front: Sum, left: Sum) -> Outline {
        Outline {
            sides: vec![
                side("front", [1, 0], Sum::default()),
                side("right", [0, 1], length),
                side("inner back", [-1, 0], front),
                side("inner right", [0, 1], left),
                side("back", [-1, 0], width),
                side("left", [0, -1], Sum::default()),
            ],
        }
    }

    pub fn count(&self) -> usize {
        self.sides.len()
    }

    pub fn before(&self, side: usize) -> usize {
        (side + self.count() - 1) % self.count()
    }

    pub fn after(&self, side: usize) -> usize {
        (side + 1) % self.count()
    }

    /// Whether a side runs along x.
    pub fn is_level(&self, side: usize) -> bool {
        self.sides[side].heading[0] != 0
    }

    /// The way out of a side on the axis across it: out lies to the right of the walk.
    pub fn outwards(&self, side: usize) -> i128 {
        let [x, y] = self.sides[side].heading;
        if x != 0 { -x } else { y }
    }

    /// The line that lies `out` outwards of a side.
    pub fn line(&self, side: usize, out: i128) -> Sum {
        self.sides[side].line.and(self.outwards(side) * out)
    }

    /// The outline with each side moved outwards by so much.
    pub fn moved(&self, by: &[i128]) -> Outline {
        let mut moved = self.clone();
        for (at, side) in moved.sides.iter_mut().enumerate() {
            side.line = self.line(at, by[at]);
        }
        moved
    }

    /// The outline begun so far along the front.
    pub fn from(mut self, start: &Sum) -> Outline {
        for side in self.sides.iter_mut().filter(|side| side.heading[0] == 0) {
            side.line = side.line.plus(start, 1);
        }
        self
    }

    /// The length of a side from corner to corner.
    #[cfg(test)]
    fn side_length(&self, side: usize) -> Sum {
        let (from, to) = (&self.sides[self.before(side)].line, &self.sides[self.after(side)].line);
        self.length_between(side, from, to)
    }

    /// How far it is along a side from one place to another.
    pub fn length_between(&self, side: usize, from: &Sum, to: &Sum) -> Sum {
        Sum::default().plus(to, self.along(side)).plus(from, -self.along(side))
    }

    /// 1 if the walk along a side goes up its axis, -1 if down.
    pub fn along(&self, side: usize) -> i128 {
        let [x, y] = self.sides[side].heading;
        x + y
    }

    /// Whether the corner where a side ends is an outside one: the walk turns to the left there.
    fn is_outside(&self, side: usize) -> bool {
        let ([a, b], [c, d]) = (self.sides[side].heading, self.sides[self.after(side)].heading);
        a * d - b * c > 0
    }

    /// Where the row of a side ends: at its start (`finish` false) or its finish. `strip` is how far outwards of the
    /// neighbour the neighbour's own row reaches, from and to, if it has one.
    ///
    /// A row that has the corner runs to the second line of the neighbour's strip that it meets, one that has not stops a
    /// joint before the first, and an open one stops at the first. Going outside, the first that is met is the inner line.
    pub fn end(&self, side: usize, finish: bool, strip: Option<(i128, i128)>, has: Has) -> End {
        let (neighbour, corner) =
            if finish { (self.after(side), side) } else { (self.before(side), self.before(side)) };
        let outside = self.is_outside(corner);
        let Some((inner, outer)) = strip else { return End { at: self.line(neighbour, 0), joint: !outside } };
        let (first, second) = if outside { (inner, outer) } else { (outer, inner) };
        match has {
            Has::This => End { at: self.line(neighbour, second), joint: false },
            Has::Other | Has::Unit => End { at: self.line(neighbour, first), joint: true },
            Has::Nobody => End { at: self.line(neighbour, first), joint: false },
        }
    }

    /// The corner points for given sizes: point `i` is where side `i` starts.
    pub fn corners(&self, sizes: &[i64]) -> Vec<[i128; 2]> {
        let point = |side: usize| {
            let (own, before) = (self.sides[side].line.at(sizes), self.sides[self.before(side)].line.at(sizes));
            if self.is_level(side) { [before, own] } else { [own, before] }
        };
        (0..self.count()).map(point).collect()
    }

    /// The area inside for given sizes, by the sum of cross products, doubled so that it stays whole.
    pub fn double_area(&self, sizes: &[i64]) -> i128 {
        let corners = self.corners(sizes);
        let next = corners.iter().cycle().skip(1);
        corners.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum()
    }
}

fn side(name: &'static str, heading: [i128; 2], line: Sum) -> Side {
    Side { name, heading, line }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ell() -> Outline {
        Outline::ell(Sum::size(0), Sum::size(1), Sum::size(2), Sum::size(3))
    }

    const SIZES: [i64; 4] = [2000, 1500, 600, 700];

    #[test]
    fn sides_of_an_ell() {
        let ell = ell();
        let lengths: Vec<i128> = (0..6).map(|side| ell.side_length(side).at(&SIZES)).collect();
        assert_eq!(lengths, [2000, 600, 1300, 900, 700, 1500]);
        assert_eq!(ell.double_area(&SIZES), 2 * (2000 * 600 + 700 * 900));
    }

    /// Moved along the front by two lengths and 3, every corner moves as far, and no length or area changes.
    #[test]
    fn begun_further_along_the_front() {
        let start = Sum::size(0).plus(&Sum::size(0), 1).and(3);
        let (ell, moved) = (ell(), ell().from(&start));
        let shifted: Vec<[i128; 2]> = ell.corners(&SIZES).iter().map(|corner| [corner[0] + 4003, corner[1]]).collect();
        assert_eq!(moved.corners(&SIZES), shifted);
        assert_eq!(moved.double_area(&SIZES), ell.double_area(&SIZES));
        assert!((0..6).all(|side| moved.side_length(side) == ell.side_length(side)));
    }

    /// The table *Any outline* of trade arithmetic (common practice): outside and own + w, outside and other - j, inside and
    /// own 0, inside and other - w - j, for rows of depth w outside the outline.
    #[test]
    fn ends_follow_the_table_of_allowances() {
        let ell = ell();
        let strip = Some((0, 100));
        let allowance = |side: usize, finish: bool, has: Has| {
            let end = ell.end(side, finish, strip, has);
            let corner = ell.sides[if finish { ell.after(side) } else { ell.before(side) }].line.clone();
            let out = if finish { 1 } else { -1 };
            let reach = ell.length_between(side, &corner, &end.at).at(&SIZES) * out;
            (reach, end.joint)
        };
        for finish in [false, true] {
            assert_eq!(allowance(0, finish, Has::This), (100, false));
            assert_eq!(allowance(0, finish, Has::Other), (0, true));
            assert_eq!(allowance(0, finish, Has::Nobody), (0, false));
        }
        assert_eq!(allowance(2, true, Has::This), (0, false));
        assert_eq!(allowance(2, true, Has::Other), (-100, true));
        assert_eq!(allowance(3, false, Has::This), (0, false));
        assert_eq!(allowance(3, false, Has::Unit), (-100, true));
    }
}
