//! How the blade turns and leans at the two ends of a part, and where the stop meets it.

use measure::Length;
use model::part::{Part, Plane, Solid, UNIT};
use std::f64::consts::PI;

/// How the blade stands at an end, in tenths of a degree; both nothing for a square one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct End {
    /// The saw turned from square, in the board's face.
    pub mitre: i32,
    /// The blade leant from upright, the board lying flat.
    pub tilt: i32,
}

impl End {
    /// Whether it is cut square, as told.
    pub fn is_square(self) -> bool {
        self == End::default()
    }
}

/// The two ends of a part as they are told: of the four ways in which it can be turned half round, the first in order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ends(pub [End; 2]);

/// What is turned between two cuts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flip {
    /// Both ends are square.
    None,
    /// One end is square and one slanted: the saw goes back between the two.
    OneEnd,
    /// The board is turned over about its length for every second cut; the saw stays.
    EverySecond,
    /// The ends are parallel: neither board nor saw is turned.
    Stays,
    /// The saw is set anew for the other end.
    TurnTheSaw,
}

impl Flip {
    /// As the record tells it.
    pub fn word(self) -> &'static str {
        match self {
            Flip::None => "none",
            Flip::OneEnd => "one end",
            Flip::EverySecond => "every second",
            Flip::Stays => "stays",
            Flip::TurnTheSaw => "turn the saw",
        }
    }
}

/// How the stop meets a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reads {
    /// Both ends are square.
    EndToEnd,
    /// The longest edge is as long as the part.
    LongToLong,
    /// Parallel ends take the slant off every edge.
    LongToShort,
}

impl Reads {
    /// As the record tells it.
    pub fn word(self) -> &'static str {
        match self {
            Reads::EndToEnd => "end to end",
            Reads::LongToLong => "long point to long point",
            Reads::LongToShort => "long point to short point",
        }
    }
}

impl Ends {
    /// Of a part.
    pub fn of(part: &Part) -> Ends {
        let [along, across, third] = directions(part);
        // In a left-handed order of the directions the thickness points the other way.
        let hand = if (across + 3 - along) % 3 == 1 { 1.0 } else { -1.0 };
        let tenths = |radians: f64| libm::round(radians * (1800.0 / PI)) as i32;
        let end = |plane: Option<&Plane>| {
            let Some(plane) = plane else { return End::default() };
            let [a, w, t] = [along, across, third].map(|axis| plane.normal[axis] as f64 / UNIT as f64);
            let tilt = libm::asin((t * hand).clamp(-1.0, 1.0));
            End { mitre: tenths(libm::atan2(w, a.abs())), tilt: tenths(tilt) }
        };
        let [first, last] = low_and_high(part).map(end);
        let turned = |end: End, mitre: i32, tilt: i32| End { mitre: end.mitre * mitre, tilt: end.tilt * tilt };
        let ways = [
            [first, last],
            [turned(first, -1, -1), turned(last, -1, -1)],
            [turned(last, 1, -1), turned(first, 1, -1)],
            [turned(last, -1, 1), turned(first, -1, 1)],
        ];
        Ends(ways.into_iter().min().unwrap_or_default())
    }

    /// Whether both are square, as told.
    pub fn are_square(self) -> bool {
        self.0.iter().all(|end| end.is_square())
    }

    /// What is turned between two cuts.
    pub fn flip(self) -> Flip {
        let [first, last] = self.0;
        match (first.is_square(), last.is_square()) {
            (true, true) => Flip::None,
            (true, false) | (false, true) => Flip::OneEnd,
            _ if first == last => Flip::EverySecond,
            _ if (first.mitre, first.tilt) == (-last.mitre, -last.tilt) => Flip::Stays,
            _ => Flip::TurnTheSaw,
        }
    }
}

/// The directions of length, width and thickness in the part's frame.
fn directions(part: &Part) -> [usize; 3] {
    let (along, across) = (part.at.along.index(), part.at.across.index());
    [along, across, 3 - along - across]
}

/// Below this a plane runs along the part and is no crosscut, as where kerfs are reckoned.
const ALONG: i64 = UNIT / 10;
/// A plane as square as this is square.
const SQUARE: i64 = UNIT - UNIT / 1_000_000_000;

/// The plane at which an end is sawn; none for a square end and for one that is shaped after.
fn sawn<'p>(part: &Part, planes: &'p [Plane]) -> Option<&'p Plane> {
    let [plane] = planes else { return None };
    (ALONG..SQUARE).contains(&plane.normal[part.at.along.index()].abs()).then_some(plane)
}

/// The planes at which a part is sawn where its length begins and where it ends: parts of some faces have their first end
/// at the far one.
fn low_and_high(part: &Part) -> [Option<&Plane>; 2] {
    let along = part.at.along.index();
    let mut sides = [None, None];
    for plane in part.solid.ends.iter().filter_map(|planes| sawn(part, planes)) {
        sides[usize::from(plane.normal[along] > 0)] = Some(plane);
    }
    sides
}

/// Whether something is shaped after the part is cut: an end with several planes, or a plane along it.
pub(super) fn shaped_after(part: &Part) -> bool {
    let along = |planes: &Vec<Plane>| match planes.as_slice() {
        [] => false,
        [plane] => plane.normal[part.at.along.index()].abs() < ALONG,
        _ => true,
    };
    part.solid.ends.iter().any(along)
}

/// A longest edge within this of the part's length is as long as it: planes are rounded to the nanometre.
const NEAR: f64 = 1_000.0;

/// Where the stop stands: the longest of the part's four long edges between the planes of its ends.
pub(super) fn stop(part: &Part) -> (Length, Reads) {
    let Solid { length, width, thickness, .. } = &part.solid;
    let planes = low_and_high(part);
    if planes == [None, None] {
        return (*length, Reads::EndToEnd);
    }
    let whole = length.nanometres() as f64;
    let edge = |w: Length, t: Length| {
        let meets = |end: usize| match planes[end] {
            None => [0.0, whole][end],
            Some(plane) => crosses(part, plane, [w, t]).clamp(0.0, whole),
        };
        meets(1) - meets(0)
    };
    let across = [Length::ZERO, *width].into_iter();
    let edges = across.flat_map(|w| [edge(w, Length::ZERO), edge(w, *thickness)]);
    let longest = edges.fold(0.0, f64::max);
    match whole - longest <= NEAR {
        true => (*length, Reads::LongToLong),
        false => (Length::nm(libm::round(longest) as i64), Reads::LongToShort),
    }
}

/// Where along a part a plane crosses an edge, in nanometres from the part's corner.
fn crosses(part: &Part, plane: &Plane, [w, t]: [Length; 2]) -> f64 {
    let [along, across, third] = directions(part);
    let normal = |axis: usize| plane.normal[axis] as f64 / UNIT as f64;
    let from = |axis: usize, at: Length| (at - plane.through[axis]).nanometres() as f64;
    let off = normal(across) * from(across, w) + normal(third) * from(third, t);
    plane.through[along].nanometres() as f64 - off / normal(along)
}
