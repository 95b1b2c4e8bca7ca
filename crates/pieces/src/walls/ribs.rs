//! Courses longer than the stock: boards joined over ribs behind the wall, the joints of every second course staggered.

use super::Walls;
use crate::place::{Ground, Spans, Way};
use crate::rows::RowLine;
use measure::Length;
use model::build::Build;
use model::part::PartKey;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};
use std::collections::BTreeSet;

/// How many boards a course is cut into.
pub static BOARDS: Rule = Rule {
    id: "boards-in-a-course",
    words: "A course longer than the stock gives is made of as few equal boards as come out of it",
    formula: "boards = ⌈length / longest⌉",
    inputs: &["length", "longest"],
    source: "boards joined over a rib",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [length, longest] if *longest > 0 => Some((length + longest - 1).div_euclid(*longest)),
        _ => None,
    },
    case: Case { given: &[5_000_000_000, 2_390_000_000], gives: 3, source: "5000 out of 2390: three, worked by hand" },
};

/// How long the boards of a course are.
pub static JOINED_LENGTH: Rule = Rule {
    id: "joined-length",
    words: "The boards of a course share its length; the last takes what rounding to a nanometre leaves",
    formula: "length of a board = ⌈length / boards⌉",
    inputs: &["length", "boards"],
    source: "boards joined over a rib",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [length, boards] if *boards > 0 => Some((length + boards - 1).div_euclid(*boards)),
        _ => None,
    },
    case: Case { given: &[5_000_000_000, 3], gives: 1_666_666_667, source: "5000 in three: 1666.7, worked by hand" },
};

/// Where the boards of a course meet, from the start of the course: in an even course (counted from 0) at the ends of equal
/// boards, in an odd one half a board earlier.
pub(super) fn joints(length: Length, longest: Length, course: usize) -> Vec<Length> {
    let (boards, part) = shares(length, longest);
    let Some(more) = boards.checked_sub(1).filter(|&more| more > 0) else { return Vec::new() };
    match course % 2 {
        0 => (1..=more).map(|joint| part * joint).collect(),
        _ => {
            let first = Length::nm((part.nanometres() + 1) / 2);
            (0..=more).map(|joint| first + part * joint).collect()
        }
    }
}

/// How many boards make a course, and how long they are.
fn shares(length: Length, longest: Length) -> (i64, Length) {
    let [whole, most] = [length, longest].map(|length| i128::from(length.nanometres()));
    let boards = (BOARDS.compute)(&[whole, most]).unwrap_or(1);
    let part = (JOINED_LENGTH.compute)(&[whole, boards]).unwrap_or(whole);
    // A part of a length is a length, and there are fewer boards than nanometres.
    (boards as i64, Length::nm(part as i64))
}

impl Walls {
    /// Puts how many boards make the courses along a side, and how long they are, into the build.
    pub(super) fn explain_joints(&self, face: &str, length: Length, out: &mut Build) {
        let (boards, _) = shares(length, self.made.longest());
        if self.rib.is_none() || boards < 2 {
            return;
        }
        let whole = Input::new(self.text.called(&format!("{face}.length")), Value::length(length));
        let longest = Input::new("the longest that the stock gives", Value::length(self.made.longest()));
        let count = self.text.called(&format!("{face}.boards"));
        let inputs = vec![whole.clone(), longest];
        let what = format!("boards in a course along the {face}");
        out.quantities.extend(Quantity::by(&count, what, Of::Count, &BOARDS, inputs));
        let name = self.text.called(&format!("{face}.board"));
        let inputs = vec![whole, Input::new(count, Value::count(boards))];
        let what = format!("length of a board along the {face}");
        out.quantities.extend(Quantity::by(name, what, Of::Length, &JOINED_LENGTH, inputs));
    }

    /// Lays the ribs behind the joints of a side. `lines` are its rows in even and odd courses, as far as there are any.
    pub(super) fn lay_ribs(
        &self,
        ground: &Ground,
        lines: &[&RowLine],
        side: (usize, Length),
        up: [Length; 2],
        out: &mut Build,
    ) -> Vec<PartKey> {
        let Some(rib) = self.rib else { return Vec::new() };
        let (place, length) = side;
        let joints_of = |(course, line): (usize, &&RowLine)| {
            let course_length = length + line.reach[0] + line.reach[1];
            let start = -line.reach[0];
            joints(course_length, self.made.longest(), course).into_iter().map(move |joint| start + joint)
        };
        let joints: BTreeSet<Length> = lines.iter().enumerate().flat_map(joints_of).collect();
        let inner = -self.made.thickness;
        let lay = |(index, joint): (u32, Length)| {
            let from = joint - Length::nm(rib.width.nanometres() / 2);
            let spans = Spans { along: [from, from + rib.width], out: [inner - rib.thickness, inner], up };
            ground.part(place, spans, [Way::Up, Way::Along], self.key("rib", ground.name(place), 0, index), rib.stock)
        };
        let ribs: Vec<_> = (0..).zip(joints).map(lay).collect();
        let keys = ribs.iter().map(|part| part.key.clone()).collect();
        out.parts.extend(ribs);
        keys
    }
}
