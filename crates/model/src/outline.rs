//! Closed outlines seen from above: named sides and the turns between them.

use crate::affine::Affine;
use crate::corner::meets;
use measure::{Angle, Length};
use std::fmt;

/// The turn from one side to the next, walking counter-clockwise: to the left at an outside corner, to the right at an
/// inside one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// A right angle to the left: the usual outside corner. Exact.
    Outside,
    /// A right angle to the right: an inside corner, as in an L. Exact.
    Inside,
    /// Any other turn between -180 and 180 degrees, left positive; not zero.
    Angle(Angle),
}

impl Turn {
    /// The turn by an angle, left positive; right angles become the exact ones. `None` for no turn at all and for half a
    /// turn or more.
    pub fn by(angle: Angle) -> Option<Turn> {
        match angle.quarters() {
            Some(1) => Some(Turn::Outside),
            Some(-1) => Some(Turn::Inside),
            Some(_) => None,
            None => (angle.as_degrees().abs() < 180.0).then_some(Turn::Angle(angle)),
        }
    }

    /// The turn as an angle, left positive.
    pub fn angle(self) -> Angle {
        match self {
            Turn::Outside => Angle::RIGHT,
            Turn::Inside => -Angle::RIGHT,
            Turn::Angle(angle) => angle,
        }
    }

    /// True at an outside corner.
    pub fn is_outside(self) -> bool {
        self.angle() > -self.angle()
    }
}

/// One side of an outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Side {
    /// The face's name in the plan: `front`, `right`, …
    pub name: String,
    /// How long it is, corner to corner.
    pub length: Affine,
    /// The turn at its far end, into the next side.
    pub turn: Turn,
}

/// A closed outline: sides in counter-clockwise order seen from above, each named, with the turn into the next.
///
/// Walking along a side the inside lies to the left; *outwards* is to the right. The first side starts at the origin and
/// runs along x.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outline {
    sides: Vec<Side>,
}

/// What is wrong with an outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BadOutline {
    /// Fewer than three sides.
    TooFewSides,
    /// The turns do not add up to one full turn to the left.
    NotOneTurn,
    /// Walking round does not end where it began: by how much, along x and y.
    Open(Length, Length),
    /// A side that is not longer than nothing, by its place.
    Short(usize),
    /// Two sides that cross or touch, by their places.
    Crosses(usize, usize),
}

impl fmt::Display for BadOutline {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BadOutline::TooFewSides => write!(f, "an outline has at least three sides"),
            BadOutline::NotOneTurn => write!(f, "the turns of an outline add up to 360 degrees to the left"),
            BadOutline::Open(x, y) => {
                write!(
                    f,
                    "the outline does not close: it ends {:.3} mm along and {:.3} mm across from its start",
                    x.as_mm(),
                    y.as_mm()
                )
            }
            BadOutline::Short(_) => write!(f, "a side of the outline is not longer than nothing"),
            BadOutline::Crosses(_, _) => write!(f, "the outline crosses itself"),
        }
    }
}

/// A point seen from above, in lengths from the outline's origin.
pub type Point = [Length; 2];

impl Outline {
    /// An outline of these sides.
    ///
    /// # Errors
    /// [`BadOutline`] if there are fewer than three, or the turns are not one full turn to the left. Whether it closes
    /// and is simple depends on the sizes: [`Outline::corners`] tells.
    pub fn new(sides: Vec<Side>) -> Result<Outline, BadOutline> {
        if sides.len() < 3 {
            return Err(BadOutline::TooFewSides);
        }
        let turned: i64 = sides.iter().map(|side| side.turn.angle().millionths()).sum();
        if turned != 4 * Angle::RIGHT.millionths() {
            return Err(BadOutline::NotOneTurn);
        }
        Ok(Outline { sides })
    }

    /// A rectangle: `front` and `back` of one length, `right` and `left` of the other.
    pub fn rectangle(length: Affine, width: Affine) -> Outline {
        let side =
            |name: &str, length: &Affine| Side { name: name.into(), length: length.clone(), turn: Turn::Outside };
        Outline {
            sides: vec![side("front", &length), side("right", &width), side("back", &length), side("left", &width)],
        }
    }

    /// An L: `length` along the front, `width` along the left; the arm along the front is `front_arm` deep and the arm
    /// along the left is `left_arm` wide. Its sides are `front`, `right`, `inner back`, `inner right`, `back`, `left`; the
    /// inside corner lies between the two inner ones.
    pub fn ell(length: Affine, width: Affine, front_arm: Affine, left_arm: Affine) -> Outline {
        let side = |name: &str, length: Affine, turn| Side { name: name.into(), length, turn };
        Outline {
            sides: vec![
                side("front", length.clone(), Turn::Outside),
                side("right", front_arm.clone(), Turn::Outside),
                side("inner back", length - left_arm.clone(), Turn::Inside),
                side("inner right", width.clone() - front_arm, Turn::Outside),
                side("back", left_arm, Turn::Outside),
                side("left", width, Turn::Outside),
            ],
        }
    }

    /// The sides in order.
    pub fn sides(&self) -> &[Side] {
        &self.sides
    }

    /// How many sides, and as many corners.
    pub fn count(&self) -> usize {
        self.sides.len()
    }

    /// The side before a side.
    pub fn before(&self, side: usize) -> usize {
        (side + self.count() - 1) % self.count()
    }

    /// The side after a side.
    pub fn after(&self, side: usize) -> usize {
        (side + 1) % self.count()
    }

    /// The place of the side of this name.
    pub fn find(&self, name: &str) -> Option<usize> {
        self.sides.iter().position(|side| side.name == name)
    }

    /// The turn at the corner where `side` ends.
    pub fn turn_after(&self, side: usize) -> Turn {
        self.sides[side].turn
    }

    /// The outline moved outwards, each side by its own distance: at an outside corner a side grows by what its neighbour
    /// moves, at an inside corner it shrinks by that; at other angles by where the moved lines meet, rounded to the nanometre
    /// (*Offset of an outline*, *common practice*).
    pub fn moved_out(&self, by: &[Length]) -> Outline {
        let mut sides = self.sides.clone();
        for (place, side) in sides.iter_mut().enumerate() {
            let (before, after) = (self.before(place), self.after(place));
            let at_start = meets(self.turn_after(before), by[before], by[place]);
            let at_end = meets(side.turn, by[after], by[place]);
            side.length = side.length.clone() + at_start + at_end;
        }
        Outline { sides }
    }

    /// How far the first corner moves along x and y when every side moves outwards by its own distance.
    pub fn origin_moved(&self, by: &[Length]) -> Point {
        let last = self.before(0);
        // The first side runs along x, with outwards towards -y.
        [-meets(self.turn_after(last), by[last], by[0]), -by[0]]
    }

    /// A regular outline of `count` equal sides. The first is called `front`, the others `side 2`, `side 3`, …
    ///
    /// # Errors
    /// [`BadOutline`] for fewer than three sides, and where the turn is no whole number of millionths of a degree.
    pub fn regular(count: u32, side: Affine) -> Result<Outline, BadOutline> {
        let full = 4 * Angle::RIGHT.millionths();
        let turn = Angle::from_millionths(full / i64::from(count.max(1))).ok().and_then(Turn::by);
        let name = |place: u32| if place == 0 { "front".to_owned() } else { format!("side {}", place + 1) };
        let turn = turn.ok_or(BadOutline::TooFewSides)?;
        Outline::new((0..count).map(|place| Side { name: name(place), length: side.clone(), turn }).collect())
    }

    /// Whether every corner is a right angle: then all sizes and places are exact.
    pub fn is_right_angled(&self) -> bool {
        self.sides.iter().all(|side| side.turn.angle().quarters().is_some())
    }

    /// Whether it is a rectangle: four outside corners.
    pub fn is_rectangle(&self) -> bool {
        self.count() == 4 && self.sides.iter().all(|side| side.turn == Turn::Outside)
    }

    /// The direction of each side as the angle from x, to the left, between 0 and 360 degrees.
    pub fn headings(&self) -> Vec<Angle> {
        let full = 4 * Angle::RIGHT.millionths();
        let mut heading = 0_i64;
        let mut headings = Vec::with_capacity(self.count());
        for side in &self.sides {
            headings.push(Angle::from_millionths(heading.rem_euclid(full)).unwrap_or(Angle::ZERO));
            heading += side.turn.angle().millionths();
        }
        headings
    }

    /// The unit direction of each side as cosine and sine, the first along x. Exact for right angles.
    pub fn directions(&self) -> Vec<[f64; 2]> {
        let direction = |heading: Angle| {
            let (sin, cos) = heading.sin_cos();
            [cos, sin]
        };
        self.headings().into_iter().map(direction).collect()
    }

    /// The corners for given sizes: corner `i` is where side `i` starts. Right angles are exact; other sides end on the
    /// nearest nanometre, which is rounded once for each.
    ///
    /// # Errors
    /// [`BadOutline`] if a side is not longer than nothing, if the walk does not close (to a nanometre a side), or if it
    /// crosses itself.
    pub fn corners(&self, sizes: &[Length]) -> Result<Vec<Point>, BadOutline> {
        let mut corners = Vec::with_capacity(self.count());
        let mut at = [Length::ZERO, Length::ZERO];
        for (place, (side, direction)) in self.sides.iter().zip(self.directions()).enumerate() {
            corners.push(at);
            let length = side.length.at(sizes);
            if length <= Length::ZERO {
                return Err(BadOutline::Short(place));
            }
            for axis in 0..2 {
                at[axis] += along(length, direction[axis]);
            }
        }
        let allowed = Length::nm(self.count() as i64);
        if at[0].abs() > allowed || at[1].abs() > allowed {
            return Err(BadOutline::Open(at[0], at[1]));
        }
        match crossing(&corners) {
            Some((a, b)) => Err(BadOutline::Crosses(a, b)),
            None => Ok(corners),
        }
    }
}

/// `length · factor`, to the nearest nanometre; exact for the factors 0, 1 and -1 of right angles.
pub(crate) fn along(length: Length, factor: f64) -> Length {
    if factor == 0.0 {
        Length::ZERO
    } else if factor == 1.0 {
        length
    } else if factor == -1.0 {
        -length
    } else {
        // Lengths stay below 2⁵³ nm (9,000 km), so the product is a whole number of nanometres to within rounding.
        Length::nm(libm::round(length.nanometres() as f64 * factor) as i64)
    }
}

/// The first two sides of a closed polygon that cross or touch without being neighbours, or that are neighbours and run
/// back over each other.
pub(crate) fn crossing(corners: &[Point]) -> Option<(usize, usize)> {
    let count = corners.len();
    for a in 0..count {
        for b in a + 1..count {
            let neighbours = b == a + 1 || (a == 0 && b == count - 1);
            let (p, q) = (corners[a], corners[(a + 1) % count]);
            let (r, s) = (corners[b], corners[(b + 1) % count]);
            if !neighbours && segments_meet(p, q, r, s) {
                return Some((a, b));
            }
        }
    }
    None
}

/// True if the two closed segments have a point in common. Exact.
pub(crate) fn segments_meet(p: Point, q: Point, r: Point, s: Point) -> bool {
    let (d1, d2, d3, d4) = (side_of(r, s, p), side_of(r, s, q), side_of(p, q, r), side_of(p, q, s));
    if d1 * d2 < 0 && d3 * d4 < 0 {
        return true;
    }
    (d1 == 0 && in_box(r, s, p))
        || (d2 == 0 && in_box(r, s, q))
        || (d3 == 0 && in_box(p, q, r))
        || (d4 == 0 && in_box(p, q, s))
}

/// On which side of the line `from`–`to` a point lies: 1 left, -1 right, 0 on it. Exact.
fn side_of(from: Point, to: Point, point: Point) -> i128 {
    let difference = |a: Point, axis: usize| i128::from(a[axis].nanometres()) - i128::from(from[axis].nanometres());
    (difference(to, 0) * difference(point, 1) - difference(to, 1) * difference(point, 0)).signum()
}

fn in_box(a: Point, b: Point, point: Point) -> bool {
    (0..2).all(|axis| a[axis].min(b[axis]) <= point[axis] && point[axis] <= a[axis].max(b[axis]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fixed(mm: i64) -> Affine {
        Length::mm(mm).into()
    }

    #[test]
    fn a_rectangle_and_an_ell_close() {
        let rectangle = Outline::rectangle(fixed(1510), fixed(520));
        let corners = rectangle.corners(&[]).expect("closes");
        assert_eq!(corners[2], [Length::mm(1510), Length::mm(520)]);
        let ell = Outline::ell(fixed(2400), fixed(1800), fixed(600), fixed(700));
        let corners = ell.corners(&[]).expect("closes");
        assert_eq!(corners[3], [Length::mm(700), Length::mm(600)]);
        assert!(Outline::new(ell.sides().to_vec()).is_ok());
    }

    /// Moving every face out by d: +d at an outside corner, -d at an inside one (*common practice*).
    #[test]
    fn moving_out_grows_outside_corners_and_shrinks_inside_ones() {
        let ell = Outline::ell(fixed(2400), fixed(1800), fixed(600), fixed(700));
        let moved = ell.moved_out(&[Length::mm(20); 6]);
        let lengths: Vec<Length> = moved.sides().iter().map(|side| side.length.at(&[])).collect();
        assert_eq!(lengths, [2440, 640, 1700, 1200, 740, 1840].map(Length::mm));
        assert!(moved.corners(&[]).is_ok());
    }

    #[test]
    fn what_is_no_outline_is_told() {
        let ell = |left_arm| Outline::ell(fixed(2400), fixed(1800), fixed(600), fixed(left_arm));
        assert_eq!(ell(2400).corners(&[]), Err(BadOutline::Short(2)));
        let side = |mm, turn| Side { name: String::new(), length: fixed(mm), turn };
        let bow = vec![
            side(100, Turn::Outside),
            side(100, Turn::Outside),
            side(60, Turn::Outside),
            side(160, Turn::Inside),
            side(40, Turn::Inside),
            side(60, Turn::Outside),
            side(80, Turn::Outside),
        ];
        assert!(matches!(Outline::new(bow), Err(BadOutline::NotOneTurn)));
        let open = Outline::new(vec![
            side(100, Turn::Outside),
            side(50, Turn::Outside),
            side(90, Turn::Outside),
            side(50, Turn::Outside),
        ]);
        assert_eq!(open.expect("one turn").corners(&[]), Err(BadOutline::Open(Length::mm(10), Length::ZERO)));
    }

    #[test]
    fn an_outline_that_crosses_itself_is_told() {
        let side = |mm, turn| Side { name: String::new(), length: fixed(mm), turn };
        // Worked by hand: (0,0) (300,0) (300,300) (200,300) (200,-100) (100,-100) (100,200) (0,200). The fourth side comes
        // down through the first at (200,0), the sixth goes up through it at (100,0).
        let crossed = Outline::new(vec![
            side(300, Turn::Outside),
            side(300, Turn::Outside),
            side(100, Turn::Outside),
            side(400, Turn::Inside),
            side(100, Turn::Inside),
            side(300, Turn::Outside),
            side(100, Turn::Outside),
            side(200, Turn::Outside),
        ]);
        assert_eq!(crossed.map(|outline| outline.corners(&[])), Ok(Err(BadOutline::Crosses(0, 3))));
    }

    /// A regular hexagon: six sides of 300, 60 degrees each; it closes to a nanometre a side.
    #[test]
    fn a_hexagon_closes_to_the_nanometre() {
        let turn = Turn::by(Angle::degrees(60.0).expect("an angle")).expect("a turn");
        let sides = (0..6).map(|i| Side { name: i.to_string(), length: fixed(300), turn }).collect();
        let corners = Outline::new(sides).expect("one turn").corners(&[]).expect("closes");
        assert!((corners[2][0] - Length::mm(450)).abs() <= Length::nm(1));
    }
}
