//! What a fitted plan is made of: parts in place, the rows they stand in, and the steps that put them there.

use crate::outline::Point;
use crate::part::{Form, Part, PartKey};
use crate::stock::StockRef;
use crate::why::Quantity;
use measure::{Length, Mass, Money, Share, Volume};
use std::collections::BTreeMap;

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
    /// What is screwed to what: the screws themselves are placed where the parts touch.
    pub fixings: Vec<Fixing>,
    /// What is filled in, laid out or bought beside parts.
    pub needs: Vec<Need>,
    /// What the maker should know before buying, piece by piece.
    pub notes: Vec<Note>,
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

/// All parts of a piece that have a role.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Roles {
    /// The piece.
    pub piece: String,
    /// The role, as in the parts' keys.
    pub role: String,
}

/// Parts that are screwed to others wherever they touch them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fixing {
    /// What the heads lie in.
    pub held: Roles,
    /// What the threads grip.
    pub base: Roles,
    /// Which screw of the yard.
    pub screw: StockRef,
    /// How many at each place where a held part touches a base; none is by the width of the held part.
    pub each: Option<u32>,
    /// Whether the held part carries only itself, so that the distances of cladding hold (*common practice*).
    pub carries_itself: bool,
}

/// What is filled in, laid out or bought beside parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// The piece it belongs to.
    pub piece: String,
    /// What it is, in a few words.
    pub what: String,
    /// How much of what.
    pub of: Needed,
}

/// How much of what is needed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Needed {
    /// So much out of bags, settling included.
    Filled {
        /// Which bag of the yard.
        bag: StockRef,
        /// What is to be ordered.
        volume: Volume,
    },
    /// So many metres off a roll.
    LaidOut {
        /// Which roll of the yard.
        roll: StockRef,
        /// How much off it.
        length: Length,
    },
    /// So much out of tins.
    Brushed {
        /// Which finish of the yard.
        finish: StockRef,
        /// How much of it.
        volume: Volume,
    },
    /// Something that the plan itself names, with its price and mass.
    Extra {
        /// How many.
        count: u32,
        /// For one, if known.
        price: Option<Money>,
        /// Of one, if known.
        mass: Option<Mass>,
    },
}

/// What the maker should know about a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// The piece.
    pub piece: String,
    /// What, in whole sentences.
    pub text: String,
}

/// A row of members with equal gaps, laid out along one face: what marks are read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The piece.
    pub piece: String,
    /// The face, by name, or `courses` for courses.
    pub face: String,
    /// What the row fills, first end to last end, end gaps included.
    pub length: Length,
    /// Its members along the row, as they come again and again: one for members that are all alike.
    pub pattern: Vec<Length>,
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
    /// One member along the row.
    pub fn member(&self, index: u32) -> Length {
        let place = index as usize % self.pattern.len().max(1);
        self.pattern.get(place).copied().unwrap_or(Length::ZERO)
    }

    /// Its different members, each with how many there are of it, in the order in which they first come.
    pub fn kinds(&self) -> Vec<(u32, Length)> {
        let mut kinds: Vec<(u32, Length)> = Vec::new();
        let length = self.pattern.len().max(1) as u32;
        for (place, &member) in (0..).zip(&self.pattern) {
            let count = self.count / length + u32::from(place < self.count % length);
            match kinds.iter_mut().find(|(_, known)| *known == member) {
                Some((known, _)) => *known += count,
                None => kinds.push((count, member)),
            }
        }
        kinds
    }

    /// All members together.
    pub fn members(&self) -> Length {
        self.members_before(self.count)
    }

    /// All members before one of them together.
    fn members_before(&self, index: u32) -> Length {
        // A pattern has few members, so its length is a u32.
        let repeats = index / (self.pattern.len().max(1) as u32);
        let rest = index as usize % self.pattern.len().max(1);
        self.pattern.iter().copied().sum::<Length>() * i64::from(repeats)
            + self.pattern.iter().take(rest).copied().sum::<Length>()
    }

    /// Where each member starts, from the start of the row, down to the nanometre below: for solids.
    pub fn starts(&self) -> impl Iterator<Item = Length> + '_ {
        let gap = |i: u32| self.gaps.map_or(Length::ZERO, |gaps| gaps.first(self.gaps_before(i)));
        (0..self.count).map(move |i| self.members_before(i) + gap(i))
    }

    /// Where each member starts, from the start of the row, on the marks of a tape: for the rod.
    pub fn marks(&self, step: Length) -> Vec<Length> {
        let mark = |i: u32| match self.gaps {
            Some(gaps) => gaps.mark(self.members_before(i), self.gaps_before(i), step),
            None => self.members_before(i).round_to(step),
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

/// What parts share that share a letter: piece, stock, and form.
type Alike = (String, StockRef, Form);

/// Gives every part its short id: a letter for parts that are alike (same piece, stock and form), a number
/// within it, in the order of the list. After Z comes AA.
pub fn give_ids(parts: &mut [Part]) {
    let mut kinds: Vec<(String, u32)> = Vec::new();
    let mut known: BTreeMap<Alike, usize> = BTreeMap::new();
    for part in parts {
        let next = known.len();
        let alike = (part.key.piece.clone(), part.stock, part.form());
        let kind = *known.entry(alike).or_insert(next);
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
            pattern: vec![Length::mm(20)],
            count: 4,
            gaps: Share::new(Length::mm(20), 5),
            starts_with_gap: true,
            up: false,
        };
        assert_eq!(row.starts().collect::<Vec<_>>(), [4, 28, 52, 76].map(Length::mm));
        assert_eq!(row.marks(Length::mm(1)), [4, 28, 52, 76].map(Length::mm));
    }
}
