//! What a fitted plan is made of: parts in place, the rows they stand in, and the steps that put them there.

use crate::outline::Point;
use crate::part::{Part, PartKey};
use crate::why::Quantity;
use measure::{Length, Share};

/// Everything that detail makes of a fitted plan.
#[derive(Clone, Debug, Default)]
pub struct Build {
    /// The parts, ids given.
    pub parts: Vec<Part>,
    /// The rows they stand in.
    pub rows: Vec<Row>,
    /// The outlines that pieces stand on or go round, for the plan view and the set-out.
    pub outlines: Vec<Drawn>,
    /// Which piece is fixed to which, so that both are lifted together once they are.
    pub fixed: Vec<Fixed>,
    /// What to do, in order.
    pub steps: Vec<Step>,
    /// Numbers with their why.
    pub quantities: Vec<Quantity>,
}

/// An outline in place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawn {
    /// The piece it belongs to.
    pub piece: String,
    /// Its corners, counter-clockwise seen from above, in the build's own x and y.
    pub corners: Vec<Point>,
}

/// A piece that is fixed to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fixed {
    /// The piece.
    pub piece: String,
    /// What it is fixed to.
    pub to: String,
}

/// A row of equal members with equal gaps, laid out along one face: what marks are read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The piece.
    pub piece: String,
    /// The face, by name, or `courses` for courses.
    pub face: String,
    /// What the row fills, first end to last end, end gaps included.
    pub length: Length,
    /// One member along the row.
    pub member: Length,
    /// How many members.
    pub count: u32,
    /// All gaps together and how many they are; `None` if there is none.
    pub gaps: Option<Share>,
    /// Whether a gap comes before the first member.
    pub starts_with_gap: bool,
    /// True for courses, which are counted and marked from the bottom up. Other rows start at the left end of their face, as
    /// one stands outside and faces it.
    pub up: bool,
}

impl Row {
    /// Where each member starts, from the start of the row, down to the nanometre below: for solids.
    pub fn starts(&self) -> impl Iterator<Item = Length> + '_ {
        (0..self.count).map(|i| {
            self.member * i64::from(i) + self.gaps.map_or(Length::ZERO, |gaps| gaps.first(self.gaps_before(i)))
        })
    }

    /// Where each member starts, from the start of the row, on the marks of a tape: for the rod.
    pub fn marks(&self, step: Length) -> Vec<Length> {
        let mark = |i: u32| match self.gaps {
            Some(gaps) => gaps.mark(self.member * i64::from(i), self.gaps_before(i), step),
            None => (self.member * i64::from(i)).round_to(step),
        };
        (0..self.count).map(mark).collect()
    }

    fn gaps_before(&self, member: u32) -> u32 {
        member + u32::from(self.starts_with_gap)
    }
}

/// One thing to do, with the parts it puts in place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The piece.
    pub piece: String,
    /// What to do, in one sentence.
    pub what: String,
    /// What can hurt at it and how to avoid that, if anything.
    pub caution: Option<String>,
    /// The parts it puts in place.
    pub parts: Vec<PartKey>,
}

/// Gives every part its short id: a letter for parts that are alike (same piece, stock and shape), a number within it, in
/// the order of the list. After Z comes AA.
pub fn give_ids(parts: &mut [Part]) {
    let mut kinds: Vec<(String, u32)> = Vec::new();
    let mut known: std::collections::BTreeMap<(String, crate::stock::StockRef, [Length; 3]), usize> =
        Default::default();
    for part in parts {
        let shape = [part.solid.length, part.solid.width, part.solid.thickness];
        let next = known.len();
        let kind = *known.entry((part.key.piece.clone(), part.stock, shape)).or_insert(next);
        if kind == kinds.len() {
            kinds.push((letters(kind), 0));
        }
        kinds[kind].1 += 1;
        part.id = format!("{}{}", kinds[kind].0, kinds[kind].1);
    }
}

/// 0 is A, 25 is Z, 26 is AA.
fn letters(mut number: usize) -> String {
    let mut letters = Vec::new();
    loop {
        // A remainder below 26 is a letter.
        letters.push(char::from(b'A' + (number % 26) as u8));
        if number < 26 {
            break;
        }
        number = number / 26 - 1;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!([0, 25, 26, 701, 702].map(letters), ["A", "Z", "AA", "ZZ", "AAA"]);
    }

    #[test]
    fn a_row_starts_with_its_gap() {
        let row = Row {
            piece: "p".into(),
            face: "front".into(),
            length: Length::mm(100),
            member: Length::mm(20),
            count: 4,
            gaps: Share::new(Length::mm(20), 5),
            starts_with_gap: true,
            up: false,
        };
        assert_eq!(row.starts().collect::<Vec<_>>(), [4, 28, 52, 76].map(Length::mm));
        assert_eq!(row.marks(Length::mm(1)), [4, 28, 52, 76].map(Length::mm));
    }
}
