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
    /// Where the ground lies under the feet of pieces that stand on ground that need not be level; for drawing only.
    pub ground: Vec<GroundAt>,
    /// Which piece is fixed to which, so that both are lifted together once they are.
    pub fixed: Vec<Fixed>,
    /// What is screwed to what: the screws themselves are placed where the parts touch.
    pub fixings: Vec<Fixing>,
    /// What is put into, round or under what, where that cannot be read off how their parts touch.
    pub with: Vec<With>,
    /// What stands on something that is filled in.
    pub bedded: Vec<Bedded>,
    /// What is filled in, laid out or bought beside parts.
    pub needs: Vec<Need>,
    /// What the maker should know before buying, piece by piece.
    pub notes: Vec<Note>,
    /// What to do, in order.
    pub steps: Vec<Step>,
    /// What to say of steps that are done before the piece that they go into stands.
    pub early: Vec<Early>,
    /// What has to harden or dry after a step before anything that needs it can be done.
    pub waits: Vec<Wait>,
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

/// How high the ground lies at a part that stands on it or in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GroundAt {
    /// The part.
    pub part: PartKey,
    /// Its middle as seen from above, in the build's own x and y, down to the nanometre below.
    pub at: Point,
    /// How high the ground lies there above z = 0; negative where it is lower.
    pub height: Length,
}

impl GroundAt {
    /// The ground at an upright part that stands over a rectangle: its corner with least x and y, and its extent from there.
    pub fn under(part: PartKey, corner: Point, extent: Point, height: Length) -> GroundAt {
        let middle = [0, 1].map(|axis| corner[axis] + Length::nm(extent[axis].nanometres().div_euclid(2)));
        GroundAt { part, at: middle, height }
    }
}

/// A piece that is fixed to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fixed {
    /// The piece.
    pub piece: String,
    /// What it is fixed to.
    pub to: String,
}

/// A piece that goes with another one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct With {
    /// The piece.
    pub piece: String,
    /// What it goes with.
    pub to: String,
    /// How.
    pub going: Going,
}

/// How a piece goes with another one: what decides which of them is made first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Going {
    /// It has to be at hand before the other is begun.
    First,
    /// It is fitted once the other is together, before that is covered or filled.
    Fitted,
    /// It lies loose in the other, and goes in from above once that stands, unless the other stands on it.
    Laid,
    /// It stands in the other.
    Stands,
    /// It lines the other.
    Lines,
    /// It fills the other.
    Fills,
    /// It closes the other at the top.
    Closes,
}

/// A piece that stands on something that is filled in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bedded {
    /// The piece.
    pub piece: String,
    /// The last step, by its place in [`Build::steps`], of filling what is below it.
    pub on: usize,
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
    /// What pulls at the held part.
    pub load: Load,
    /// Where the screws cross air on their way, if the held parts stand off their base.
    pub air: Option<Air>,
}

/// Where the screws stand in held parts that lean against their base with the upper arris of their back: one in each row, square
/// to that back.
///
/// A stretch is measured up the back from the lower edge. The frame of a held part has its y out of the back and its z up it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Air {
    /// The stretch in the parts of course 0.
    pub lowest: [Length; 2],
    /// The stretch in all others.
    pub others: [Length; 2],
}

impl Air {
    /// The stretch in the parts of a course.
    pub fn stretch(&self, course: u32) -> [Length; 2] {
        if course == 0 { self.lowest } else { self.others }
    }
}

/// What pulls at a held part, as its piece knows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Load {
    /// It carries only itself, so that the distances of cladding hold (*common practice*).
    Own,
    /// It is pushed off its base, along the screws, as soil pushes walls off their posts.
    Outwards,
    /// Its weight and what lies on it are borne by the base.
    Down,
    /// It bears the base with what lies on that.
    DownOnBase,
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
    /// So many brackets, hangers or bolts.
    Fitted {
        /// Which fitting of the yard.
        fitting: StockRef,
        /// How many.
        count: u32,
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

    /// Whether its members take nothing along it: then it is a row of marks, where the lower edges of boards that lap come.
    pub fn is_of_marks(&self) -> bool {
        self.pattern.iter().all(|&member| member == Length::ZERO)
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

/// Other words for a step that is done before the piece that its parts go into stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Early {
    /// The step, by its place among those of the build.
    pub step: usize,
    /// The piece that its parts go into.
    pub to: String,
    /// What to do, in one sentence, while that piece does not stand yet.
    pub what: String,
}

/// A time in which nothing can be done that needs a step: concrete hardens, a coat dries.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wait {
    /// The step, by its place among those of the build.
    pub step: usize,
    /// What is waited for and how one sees that it is over, in one sentence.
    pub what: String,
    /// The least time, in hours; `None` where only a label tells.
    pub hours: Option<u32>,
}

/// All parts of a role of a piece, in words: `the posts of corner`; `the posts` where the piece is called like the role.
pub fn the(role: &str, piece: &str) -> String {
    match piece == role || piece.strip_suffix('s') == Some(role) {
        true => format!("the {role}s"),
        false => format!("the {role}s of {piece}"),
    }
}

/// `A`, `A and B`, `A, B and C`.
pub fn and(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}

/// What parts share exactly that share a letter, and their length to the micrometre below: piece, stock, length.
type Alike = (String, StockRef, i64);

/// Gives every part its short id: a letter for parts that are alike (same piece and stock, and forms that agree within
/// [`Form::agrees`]), a number within it, in the order of the list. A part takes the letter of the first kind whose first
/// part it is like. After Z comes AA.
pub fn give_ids(parts: &mut [Part]) {
    let mut kinds: Vec<(String, u32)> = Vec::new();
    let mut known: BTreeMap<Alike, Vec<(usize, Form)>> = BTreeMap::new();
    for part in parts {
        let form = part.form();
        let cell = part.solid.length.nanometres().div_euclid(Form::NOISE.nanometres());
        // Lengths that agree lie in one cell or in two side by side.
        let near = (cell - 1..=cell + 1).filter_map(|cell| known.get(&(part.key.piece.clone(), part.stock, cell)));
        let like = near.flatten().filter(|(_, first)| first.agrees(&form)).map(|(kind, _)| *kind).min();
        let kind = like.unwrap_or_else(|| {
            kinds.push((letters(kinds.len()), 0));
            let of_length = known.entry((part.key.piece.clone(), part.stock, cell)).or_default();
            of_length.push((kinds.len() - 1, form));
            kinds.len() - 1
        });
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

    /// A rail between posts at a shared pitch is now and then a nanometre longer than its neighbour.
    #[test]
    fn a_letter_is_shared_within_a_micrometre_of_the_first() {
        use crate::part::{At, Axis, Frame, Solid};
        use crate::schema::StockKind;
        let rail = |nanometres: i64| {
            let width = Length::mm(70);
            Part {
                key: PartKey { piece: "p".into(), role: "rail".into(), face: "front".into(), course: 0, index: 0 },
                id: String::new(),
                stock: StockRef { kind: StockKind::Board, place: 0 },
                solid: Solid::square(Length::nm(nanometres), width, Length::mm(20)),
                at: At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along: Axis::X, across: Axis::Z },
            }
        };
        let longer = [0, 1, 1_000, 1_001, 2_000, 2_002, -1_000, -1_001];
        let mut rails: Vec<Part> = longer.iter().map(|more| rail(600_000_000 + more)).collect();
        give_ids(&mut rails);
        let ids: Vec<&str> = rails.iter().map(|rail| rail.id.as_str()).collect();
        assert_eq!(ids, ["A1", "A2", "A3", "B1", "B2", "C1", "A4", "D1"]);
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
