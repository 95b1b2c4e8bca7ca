//! Outlines as lines on the ground, and where rows end on them.
//!
//! A right-angled outline is kept as the line of each side: a side along x has a y, a side along y has an x, both straight
//! sums of the plan's sizes. A regular one is kept as the length of a side and how far each side's line is moved outwards.
//! Either way a row ends where the line of its own side is met by a line beside its neighbour's, told as a place along the
//! side from its first corner: no table of corner cases is needed.

use crate::laid::Cut;
use std::collections::BTreeMap;

/// A whole turn in millionths of a degree.
pub(crate) const WHOLE_TURN: i64 = 360_000_000;
/// A right angle in millionths of a degree.
pub(crate) const QUARTER: i64 = WHOLE_TURN / 4;

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

/// Sine and cosine of an angle in millionths of a degree; exact at right angles.
pub(crate) fn sin_cos(angle: i64) -> (f64, f64) {
    const RIGHT: [(f64, f64); 4] = [(0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0)];
    let turned = angle.rem_euclid(WHOLE_TURN);
    if turned % QUARTER == 0 {
        // A whole turn has four quarters.
        return RIGHT[(turned / QUARTER) as usize];
    }
    let radians = turned as f64 * (std::f64::consts::PI / (WHOLE_TURN / 2) as f64);
    (libm::sin(radians), libm::cos(radians))
}

/// To the nearest nanometre.
pub(crate) fn nearest(length: f64) -> i128 {
    libm::round(length) as i128
}

/// A closed outline, walked counter-clockwise as seen from above, the first side along x.
#[derive(Clone, Debug)]
pub(crate) struct Outline {
    names: &'static [&'static str],
    form: Form,
}

#[derive(Clone, Debug)]
enum Form {
    /// Of right angles.
    Square(Vec<Line>),
    /// All sides and turns alike, before the line of each side was moved outwards by its own measure.
    Regular { side: Sum, start: Sum, by: Vec<i128> },
}

/// A side of a right-angled outline.
#[derive(Clone, Debug)]
struct Line {
    /// The way it is walked: one of the two is 1 or -1, the other 0.
    heading: [i128; 2],
    /// Where its line lies, on the axis that it does not run along.
    line: Sum,
}

/// Who has a corner, as the row in question sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Has {
    This,
    Other,
    Nobody,
    Unit,
    /// Both end on the plane through the crossings of their strips' inner and outer lines.
    Both,
}

/// How far outwards of a side something lies, from and to.
pub(crate) type Strip = (i128, i128);

/// Where a row ends.
#[derive(Clone, Debug)]
pub(crate) struct End {
    /// Along the side, from its first corner.
    pub at: Sum,
    /// Whether it stops a joint before that.
    pub joint: bool,
    /// For a mitre: where it ends on the inner line of its own strip, and where on the outer one; `at` is the further.
    pub mitre: Option<[Sum; 2]>,
}

/// The names of the sides of regular outlines, the longest list; the shorter ones begin like it.
const SIDES: [&str; 12] = [
    "front", "side 2", "side 3", "side 4", "side 5", "side 6", "side 7", "side 8", "side 9", "side 10", "side 11",
    "side 12",
];

impl Outline {
    /// A rectangle of `length` along the front and `width` from front to back.
    pub fn rectangle(length: Sum, width: Sum) -> Outline {
        let sides = vec![
            line([1, 0], Sum::default()),
            line([0, 1], length),
            line([-1, 0], width),
            line([0, -1], Sum::default()),
        ];
        Outline { names: &["front", "right", "back", "left"], form: Form::Square(sides) }
    }

    /// A rectangle by where the lines of its sides lie: y of the front, x of the right, y of the back, x of the left.
    pub fn of_lines([front, right, back, left]: [Sum; 4]) -> Outline {
        let sides = vec![line([1, 0], front), line([0, 1], right), line([-1, 0], back), line([0, -1], left)];
        Outline { names: &["front", "right", "back", "left"], form: Form::Square(sides) }
    }

    /// Where the lines of a rectangle's sides lie, as [`Outline::of_lines`] takes them.
    pub fn lines(&self) -> Option<[Sum; 4]> {
        let Form::Square(sides) = &self.form else { return None };
        <[Sum; 4]>::try_from(sides.iter().map(|side| side.line.clone()).collect::<Vec<Sum>>()).ok()
    }

    /// An L: the arm along the front is `front` deep, the arm along the left is `left` wide.
    pub fn ell(length: Sum, width: Sum, front: Sum, left: Sum) -> Outline {
        let sides = vec![
            line([1, 0], Sum::default()),
            line([0, 1], length),
            line([-1, 0], front),
            line([0, 1], left),
            line([-1, 0], width),
            line([0, -1], Sum::default()),
        ];
        Outline { names: &["front", "right", "inner back", "inner right", "back", "left"], form: Form::Square(sides) }
    }

    /// So many equal sides; as many as a dodecagon has, and three at least.
    pub fn regular(count: usize, side: Sum) -> Outline {
        let count = count.clamp(3, SIDES.len());
        let form = Form::Regular { side, start: Sum::default(), by: vec![0; count] };
        Outline { names: &SIDES[..count], form }
    }

    pub fn count(&self) -> usize {
        self.names.len()
    }

    pub fn name(&self, side: usize) -> &'static str {
        self.names[side]
    }

    /// The place of the side of this name.
    pub fn side(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|own| *own == name)
    }

    pub fn before(&self, side: usize) -> usize {
        (side + self.count() - 1) % self.count()
    }

    pub fn after(&self, side: usize) -> usize {
        (side + 1) % self.count()
    }

    /// Whether all its corners are right angles.
    pub fn is_square(&self) -> bool {
        matches!(self.form, Form::Square(_))
    }

    pub fn is_rectangle(&self) -> bool {
        self.is_square() && self.count() == 4
    }

    /// The turn at the end of a side in millionths of a degree, left positive.
    pub fn turn(&self, side: usize) -> i64 {
        match &self.form {
            Form::Square(sides) => {
                let ([a, b], [c, d]) = (sides[side].heading, sides[self.after(side)].heading);
                if a * d - b * c > 0 { QUARTER } else { -QUARTER }
            }
            Form::Regular { by, .. } => WHOLE_TURN / by.len() as i64,
        }
    }

    /// The direction of a side in millionths of a degree from the front's.
    pub fn heading(&self, side: usize) -> i64 {
        (0..side).map(|before| self.turn(before)).sum::<i64>().rem_euclid(WHOLE_TURN)
    }

    /// The outline with each side moved outwards by so much.
    pub fn moved(&self, out: &[i128]) -> Outline {
        let mut moved = self.clone();
        match &mut moved.form {
            Form::Square(sides) => {
                for (side, out) in sides.iter_mut().zip(out) {
                    side.line = side.beside(*out);
                }
            }
            Form::Regular { by, .. } => by.iter_mut().zip(out).for_each(|(by, out)| *by += out),
        }
        moved
    }

    /// The outline with all sides moved outwards by so much.
    pub fn grown(&self, out: i128) -> Outline {
        self.moved(&vec![out; self.count()])
    }

    /// A right-angled outline with all sides moved inwards by a sum of sizes; none where a turn is no right angle.
    pub fn shrunk(&self, by: &Sum) -> Option<Outline> {
        let mut moved = self.clone();
        let Form::Square(sides) = &mut moved.form else { return None };
        for side in sides.iter_mut() {
            let outwards = side.beside(1).constant - side.line.constant;
            side.line = side.line.plus(by, -outwards);
        }
        Some(moved)
    }

    /// Where the outline begins along the front: its first corner.
    pub fn begins(&self) -> Sum {
        match &self.form {
            Form::Square(sides) => sides[sides.len() - 1].line.clone(),
            Form::Regular { start, by, .. } => {
                let ahead = -meets(WHOLE_TURN / by.len() as i64, by[by.len() - 1], by[0]);
                start.and(nearest(ahead))
            }
        }
    }

    /// The outline begun so far along the front.
    pub fn from(mut self, begun: &Sum) -> Outline {
        match &mut self.form {
            Form::Square(sides) => {
                for side in sides.iter_mut().filter(|side| side.heading[0] == 0) {
                    side.line = side.line.plus(begun, 1);
                }
            }
            Form::Regular { start, .. } => *start = start.plus(begun, 1),
        }
        self
    }

    /// The length of a side from corner to corner; at angles that are not right its constant is rounded.
    pub fn length(&self, side: usize) -> Sum {
        match &self.form {
            Form::Square(sides) => {
                let (from, to) = (&sides[self.before(side)].line, &sides[self.after(side)].line);
                let way = sides[side].way();
                Sum::default().plus(to, way).plus(from, -way)
            }
            Form::Regular { side: length, by, .. } => {
                let reach = |other: usize| nearest(meets(self.turn(0), by[other], by[side]));
                length.and(reach(self.before(side)) + reach(self.after(side)))
            }
        }
    }

    /// How far beyond its corner a line `own` outwards of a side runs until it is met by the line `other` outwards of the
    /// neighbour's: at its finish, or else at its start. Exact at right angles.
    pub fn reach(&self, side: usize, finish: bool, own: i128, other: i128) -> i128 {
        let turn = self.turn(if finish { side } else { self.before(side) });
        if self.is_square() { other * i128::from(turn / QUARTER) } else { nearest(meets(turn, other, own)) }
    }

    /// Where the row of a side ends: at its start (`finish` false) or its finish. `own` is how far outwards of the side the
    /// row lies, `strip` how far outwards of the neighbour the neighbour's own row does, if it has one.
    ///
    /// A row that has the corner runs to the second line of the neighbour's strip that it meets, one that has not stops a
    /// joint before the first, and an open one stops at the first. Going outside, the first that is met is the inner line.
    /// What stops on a line does so along the inner line of its own strip.
    pub fn end(&self, side: usize, finish: bool, own: Strip, strip: Option<Strip>, has: Has) -> End {
        let outside = self.turn(if finish { side } else { self.before(side) }) > 0;
        let reach = |own: i128, other: i128| self.reach(side, finish, own, other);
        let stop = |reach: i128, joint| End { at: self.beyond(side, finish, reach), joint, mitre: None };
        let Some((inner, outer)) = strip else { return stop(reach(own.0, 0), !outside) };
        let (first, second) = if outside { (inner, outer) } else { (outer, inner) };
        match has {
            Has::This => stop(reach(own.0, second), false),
            Has::Other | Has::Unit => stop(reach(own.0, first), true),
            Has::Nobody => stop(reach(own.0, first), false),
            Has::Both => {
                let [near, far] = [reach(own.0, inner), reach(own.1, outer)];
                let mitre = [near, far].map(|reach| self.beyond(side, finish, reach));
                End { mitre: Some(mitre), ..stop(near.max(far), false) }
            }
        }
    }

    /// A place along a side that lies so far beyond its last corner, or its first one.
    fn beyond(&self, side: usize, finish: bool, reach: i128) -> Sum {
        if finish { self.length(side).and(reach) } else { Sum::fixed(-reach) }
    }

    /// The outline on the ground for given sizes.
    pub fn at(&self, sizes: &[i64]) -> Ground {
        let corners = match &self.form {
            Form::Square(sides) => {
                let point = |side: usize| {
                    let (own, before) = (sides[side].line.at(sizes), sides[self.before(side)].line.at(sizes));
                    if sides[side].heading[0] != 0 { [before, own] } else { [own, before] }
                };
                (0..self.count()).map(point).collect()
            }
            Form::Regular { side, start, by } => {
                let (mut corner, mut corners) = ([start.at(sizes), 0], Vec::new());
                for at in 0..self.count() {
                    let ahead = -meets(self.turn(0), by[self.before(at)], by[at]);
                    corners.push(self.step(corner, at, ahead, by[at] as f64));
                    corner = self.step(corner, at, side.at(sizes) as f64, 0.0);
                }
                corners
            }
        };
        Ground {
            outline: self.clone(),
            corners,
            lengths: (0..self.count()).map(|side| self.length(side).at(sizes)).collect(),
        }
    }

    /// A point so far ahead along a side and so far out of it from another one, to the nanometre.
    fn step(&self, from: [i128; 2], side: usize, ahead: f64, out: f64) -> [i128; 2] {
        let (sin, cos) = sin_cos(self.heading(side));
        [from[0] + nearest(ahead * cos + out * sin), from[1] + nearest(ahead * sin - out * cos)]
    }
}

impl Line {
    /// 1 if the walk goes up its axis, -1 if down.
    fn way(&self) -> i128 {
        self.heading[0] + self.heading[1]
    }

    /// The line that lies `out` outwards: out lies to the right of the walk.
    fn beside(&self, out: i128) -> Sum {
        let [x, y] = self.heading;
        self.line.and(if x != 0 { -x * out } else { y * out })
    }
}

fn line(heading: [i128; 2], line: Sum) -> Line {
    Line { heading, line }
}

/// How far beyond a corner the line `own` outwards of a side is met by the line `other` outwards of its neighbour, with the
/// turn τ between them: a point s beyond and d outwards lies s sin τ + d cos τ outwards of the neighbour's side.
pub(crate) fn meets(turn: i64, other: i128, own: i128) -> f64 {
    let (sin, cos) = sin_cos(turn);
    (other as f64 - own as f64 * cos) / sin
}

/// An outline for given sizes: what parts are laid beside.
#[derive(Clone, Debug)]
pub(crate) struct Ground {
    pub outline: Outline,
    /// Point `i` is where side `i` starts.
    pub corners: Vec<[i128; 2]>,
    /// The sides' lengths.
    pub lengths: Vec<i128>,
}

/// The directions beside a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    Along,
    Out,
    Up,
}

/// A box in its frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Spot {
    pub heading: i64,
    pub lean: i64,
    /// The corner with the least x, y and z of the frame, in the build.
    pub corner: [i128; 3],
    /// How far it reaches along the frame's axes.
    pub extent: [i128; 3],
    /// The frame's axes along the side, out of it and up.
    axes: [usize; 3],
    /// Whether the walk along the side goes down the frame's axis.
    pub backwards: bool,
    /// Whether it was put where it lies by rounding.
    pub rounded: bool,
}

impl Spot {
    /// A box along the axes of the build, from one corner to the other, as if beside a front.
    pub fn of(from: [i128; 3], to: [i128; 3]) -> Spot {
        let extent = [0, 1, 2].map(|axis| to[axis] - from[axis]);
        Spot { heading: 0, lean: 0, corner: from, extent, axes: [0, 1, 2], backwards: false, rounded: false }
    }

    /// The same box with its frame's axes as the directions along, out and up: for what leans.
    pub fn in_frame(self) -> Spot {
        Spot { axes: [0, 1, 2], backwards: false, ..self }
    }

    /// A length of the box along one of its frame's axes, so far from its corner.
    pub fn ahead(&self, axis: usize, from: i128, length: i128) -> Spot {
        let mut spot = self.clone();
        spot.extent[axis] = length;
        let (sin, cos) = sin_cos(self.heading);
        let [ahead, side] = [from as f64 * cos, from as f64 * sin].map(nearest);
        match axis {
            0 => (spot.corner[0], spot.corner[1]) = (self.corner[0] + ahead, self.corner[1] + side),
            1 => (spot.corner[0], spot.corner[1]) = (self.corner[0] - side, self.corner[1] + ahead),
            _ => spot.corner[2] += from,
        }
        spot
    }

    pub fn axis(&self, way: Way) -> usize {
        self.axes[way as usize]
    }
}

impl Ground {
    /// The box beside a side: from and to along it from its first corner, outwards of it, and above the ground.
    pub fn beside(&self, side: usize, along: [i128; 2], out: [i128; 2], up: [i128; 2]) -> Spot {
        if self.outline.is_square() {
            return self.square(side, along, out, up);
        }
        let [x, y] = self.outline.step(self.corners[side], side, along[0] as f64, out[1] as f64);
        Spot {
            heading: self.outline.heading(side),
            lean: 0,
            corner: [x, y, up[0]],
            extent: [along[1] - along[0], out[1] - out[0], up[1] - up[0]],
            axes: [0, 1, 2],
            backwards: false,
            rounded: true,
        }
    }

    fn square(&self, side: usize, along: [i128; 2], out: [i128; 2], up: [i128; 2]) -> Spot {
        let quarters = self.outline.heading(side) / QUARTER;
        let (axis, way) = ((quarters % 2) as usize, if quarters < 2 { 1 } else { -1 });
        // Out lies to the right of the walk: down y beside the front, up x beside the right.
        let outwards = if axis == 0 { -way } else { way };
        let corner = self.corners[side];
        let (mut from, mut to) = ([0; 3], [0; 3]);
        let runs = [
            (axis, along.map(|along| corner[axis] + way * along)),
            (1 - axis, out.map(|out| corner[1 - axis] + outwards * out)),
            (2, up),
        ];
        for (axis, [a, b]) in runs {
            (from[axis], to[axis]) = (a.min(b), a.max(b));
        }
        Spot { axes: [axis, 1 - axis, 2], backwards: way < 0, ..Spot::of(from, to) }
    }

    /// The vertical plane that ends a part beside a side, through a point on the inner line of its strip and one on the outer
    /// line, each told along the side and outwards of it. Its normal goes out of the part: on along the walk at the finish, back
    /// at the start.
    pub fn mitre(&self, side: usize, spot: &Spot, finish: bool, inner: [i128; 2], outer: [i128; 2]) -> Cut {
        let [ahead, out] = [0, 1].map(|at| (outer[at] - inner[at]) as f64);
        let long = libm::sqrt(ahead * ahead + out * out);
        let unit = if finish { 1.0 / long } else { -1.0 / long };
        let own = [unit * out, -unit * ahead];
        if !self.outline.is_square() {
            // Frame y goes inwards from the part's outer face, frame x along the side from its start.
            let [x, y, _] = self.beside(side, [inner[0]; 2], [inner[1]; 2], [0; 2]).corner;
            let (sin, cos) = sin_cos(spot.heading);
            let [dx, dy] = [(x - spot.corner[0]) as f64, (y - spot.corner[1]) as f64];
            let through = [dx * cos + dy * sin, dy * cos - dx * sin, 0.0];
            return Cut { end: usize::from(finish), normal: [own[0], -own[1], 0.0], through };
        }
        let at = self.square(side, [inner[0]; 2], [inner[1]; 2], [0; 2]).corner;
        let (along, across) = (spot.axis(Way::Along), spot.axis(Way::Out));
        let way = if spot.backwards { -1.0 } else { 1.0 };
        let outwards = if along == 0 { -way } else { way };
        let mut normal = [0.0; 3];
        (normal[along], normal[across]) = (way * own[0], outwards * own[1]);
        let through = [0, 1].map(|axis| (at[axis] - spot.corner[axis]) as f64);
        Cut { end: usize::from(finish), normal, through: [through[0], through[1], 0.0] }
    }

    /// The area inside by the sum of cross products, doubled so that it stays whole.
    pub fn double_area(&self) -> i128 {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum()
    }
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
        let lengths: Vec<i128> = (0..6).map(|side| ell.length(side).at(&SIZES)).collect();
        assert_eq!(lengths, [2000, 600, 1300, 900, 700, 1500]);
        assert_eq!(ell.at(&SIZES).double_area(), 2 * (2000 * 600 + 700 * 900));
        assert_eq!(ell.at(&SIZES).lengths, lengths);
    }

    /// Moved along the front by two lengths and 3, every corner moves as far, and no length or area changes.
    #[test]
    fn begun_further_along_the_front() {
        let start = Sum::size(0).plus(&Sum::size(0), 1).and(3);
        let (ell, moved) = (ell(), ell().from(&start));
        let shifted: Vec<[i128; 2]> =
            ell.at(&SIZES).corners.iter().map(|corner| [corner[0] + 4003, corner[1]]).collect();
        assert_eq!(moved.at(&SIZES).corners, shifted);
        assert_eq!(moved.at(&SIZES).double_area(), ell.at(&SIZES).double_area());
        assert!((0..6).all(|side| moved.length(side) == ell.length(side)));
    }

    /// The table *Any outline* of trade arithmetic (common practice): outside and own + w, outside and other - j, inside and
    /// own 0, inside and other - w - j, for rows of depth w outside the outline.
    #[test]
    fn ends_follow_the_table_of_allowances() {
        let ell = ell();
        let strip = (0, 100);
        let allowance = |side: usize, finish: bool, has: Has| {
            let end = ell.end(side, finish, strip, Some(strip), has);
            let reach = if finish { end.at.plus(&ell.length(side), -1) } else { Sum::default().plus(&end.at, -1) };
            (reach.at(&SIZES), end.joint)
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

    /// A regular polygon of side s has the area n s² / (4 tan(180° / n)), and moved outwards by d each side grows by
    /// 2 d tan(180° / n): closed forms.
    #[test]
    fn regular_outlines_have_their_areas() {
        let side = 1_000_000_000_i64;
        for count in [3, 5, 6, 8, 10, 12] {
            let outline = Outline::regular(count, Sum::size(0));
            for out in [0, 20_000_000, -20_000_000] {
                let grown = outline.grown(out);
                let half = libm::tan(std::f64::consts::PI / count as f64);
                let length = side as f64 + 2.0 * out as f64 * half;
                assert!((grown.length(0).at(&[side]) as f64 - length).abs() <= 1.5);
                let area = count as f64 * length * length / (4.0 * half);
                let found = grown.at(&[side]).double_area() as f64 / 2.0;
                assert!((found / area - 1.0).abs() < 1e-7, "{count} sides moved by {out}: {found} and {area}");
            }
        }
    }

    /// Beside the back of a rectangle 100 by 50: the walk goes down x, out is up y.
    #[test]
    fn beside_a_back() {
        let ground = Outline::rectangle(Sum::fixed(100), Sum::fixed(50)).at(&[]);
        let spot = ground.beside(2, [10, 30], [-5, 2], [0, 7]);
        assert_eq!((spot.corner, spot.extent), ([70, 45, 0], [20, 7, 7]));
        assert!(spot.backwards && spot.axis(Way::Along) == 0 && spot.axis(Way::Out) == 1);
    }
}
