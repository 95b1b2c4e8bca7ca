//! What the day book has fixed: sizes that are held, boards that are at home, parts that are cut.

use crate::part::Part;
use crate::stock::{BoardLength, StockRef};
use measure::{Length, Money};
use std::collections::{BTreeMap, BTreeSet};

/// What stands of a plan; nothing of a plan without a day book.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// How many entries the day book has, the undone ones too.
    pub entries: usize,
    /// What the day book says of lines that were cut off while they were written.
    pub notice: Option<String>,
    /// Sizes that parts hang on which are cut, by name.
    pub held: BTreeMap<String, Held>,
    /// The boards at home, in the order in which they came: the first is number 1.
    pub home: Vec<HomeBoard>,
    /// What was cut, in the order in which it was.
    pub objects: Vec<Object>,
    /// What readings changed, in the order of their entries.
    pub readings: Vec<Reading>,
    /// What the yard sells of the kinds that are at home.
    pub on_sale: BTreeMap<StockRef, Vec<BoardLength>>,
}

/// A size that is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Held {
    /// Its value.
    pub value: Length,
    /// The entry that holds it: the last that does.
    pub entry: u32,
}

/// A board at home.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HomeBoard {
    /// Its kind.
    pub stock: StockRef,
    /// Its length by the label.
    pub label: Length,
    /// How long it is: by the label unless it was measured.
    pub length: Length,
    /// How long a board would be that gives as much as is left of it: its length less what was cut off it, each part with a kerf.
    /// The trim is still to come off, so a rest whose first end is square reads that much less.
    pub left: Length,
    /// How many parts were cut off it.
    pub cut: u32,
    /// Whether it is what was cut wrong and is left over.
    pub left_over: bool,
    /// What was paid for it, if the yard says.
    pub price: Option<Money>,
    /// What it is called and its bad stretches, if it is a single board that has some.
    pub single: Option<(String, Vec<[Length; 2]>)>,
    /// The entry by which it came.
    pub entry: u32,
}

impl HomeBoard {
    /// The longest part that it gave when it came.
    pub fn gives(&self, trim: Length, kerf: Length) -> Length {
        self.whole().gives(trim, kerf)
    }

    /// It as a stock that costs nothing, before anything was cut off it.
    pub fn whole(&self) -> BoardLength {
        let (name, bad) = self.single.clone().map_or((None, Vec::new()), |(name, bad)| (Some(name), bad));
        // What was marked past its true end is not there.
        let inside = |[from, to]: [Length; 2]| (from < self.length).then(|| [from, to.min(self.length)]);
        let bad = bad.into_iter().filter_map(inside).collect();
        let free = Some(Money::hundredths(0));
        BoardLength { name, bad, stock: Some(1), ..BoardLength::on_sale(self.length, free) }
    }

    /// Whether something was cut off it, or it is itself what is left over of something.
    pub fn is_begun(&self) -> bool {
        self.cut > 0 || self.left_over
    }
}

/// Something that was cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Object {
    /// The entry that says so.
    pub entry: u32,
    /// The slot it was meant for.
    pub slot: String,
    /// The board at home that it came off, by its number, if the book says it.
    pub from: Option<usize>,
    /// How long it is.
    pub length: Length,
    /// Whether it came out at another length than it should have.
    pub wrong: bool,
    /// Whether it takes its slot as long as it is, and the gap is closed.
    pub closed: bool,
    /// Whether its entry was written against another text of the plan.
    pub older: bool,
    /// The number of the board at home that it is, if it is left over: then it fills no slot.
    pub left_over: Option<usize>,
}

/// What a reading changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The entry.
    pub entry: u32,
    /// Of what, in words: `the width of wall`.
    pub what: String,
    /// What the files say.
    pub was: String,
    /// What holds now.
    pub is: String,
}

/// Which objects fill which slots.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Assigned {
    /// The object of each slot that has one, by the places of part and object.
    pub filled: BTreeMap<usize, usize>,
    /// Objects that no slot wants and that are not left over as boards at home, by their places.
    pub offcuts: Vec<usize>,
}

impl Assigned {
    /// The places of the parts that are not cut again.
    pub fn done(&self) -> BTreeSet<usize> {
        self.filled.keys().copied().collect()
    }
}

impl Standing {
    /// Whether boards of a kind are at home: then nothing else of it is bought.
    pub fn is_home(&self, stock: StockRef) -> bool {
        self.home.iter().any(|board| board.stock == stock)
    }

    /// Whether all boards at home of a kind that are so long are whole: nothing was cut off one of them yet.
    pub fn is_whole(&self, stock: StockRef, length: Length) -> bool {
        let mut alike = self.home_of(stock).filter(|board| board.left == length && board.single.is_none()).peekable();
        alike.peek().is_some() && alike.all(|board| !board.is_begun())
    }

    /// The boards of a kind that are at home, in the order in which they came.
    pub fn home_of(&self, stock: StockRef) -> impl Iterator<Item = &HomeBoard> {
        self.home.iter().filter(move |board| board.stock == stock)
    }

    /// Gives each object a slot: first its own to each that takes it as long as it is, its gap closed; then its own to each that has
    /// its length within half a step of the tape; and, once
    /// all own slots are given out, the first of the same stock and the same ends that wants its length. What is left over fills none.
    pub fn assign(&self, parts: &[Part], step: Length) -> Assigned {
        let mut assigned = Assigned::default();
        if self.objects.is_empty() {
            return assigned;
        }
        let own: BTreeMap<String, usize> = parts.iter().enumerate().map(|(at, part)| (part.key.slot(), at)).collect();
        let fits = |object: &Object, part: &Part| is_near(object.length, part.solid.length, step);
        let mut left = Vec::new();
        let all = || self.objects.iter().enumerate().filter(|(_, object)| object.left_over.is_none());
        for (at, object) in all().filter(|(_, object)| object.closed).chain(all().filter(|(_, object)| !object.closed))
        {
            let slot = own.get(&object.slot).copied();
            let slot = slot.filter(|&slot| object.closed || fits(object, &parts[slot]));
            match slot.filter(|slot| !assigned.filled.contains_key(slot)) {
                Some(slot) => {
                    assigned.filled.insert(slot, at);
                }
                None => left.push(at),
            }
        }
        left.sort_unstable();
        for at in left {
            let object = &self.objects[at];
            let like = own.get(&object.slot).map(|&slot| &parts[slot]);
            let wants = |(place, part): &(usize, &Part)| {
                let alike = like.is_some_and(|like| like.stock == part.stock && like.solid.ends == part.solid.ends);
                alike && fits(object, part) && !assigned.filled.contains_key(place)
            };
            match parts.iter().enumerate().find(wants) {
                Some((slot, _)) => {
                    assigned.filled.insert(slot, at);
                }
                None => assigned.offcuts.push(at),
            }
        }
        assigned
    }
}

/// The kinds of ways out, in the order in which they are listed where they are worth the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Out {
    /// Everything comes out as it is.
    CarryOn,
    /// The part again, out of what is at home.
    AtHome,
    /// The object in another slot.
    Elsewhere,
    /// The object where it is, or in a slot that is not seen, and the gap closed with a strip.
    Strip,
    /// The object in its slot, which is packed up.
    Pack,
    /// The sizes move until the object is right.
    Follow,
    /// A board more.
    Buy,
    /// The same sizes out of other lengths.
    Lengths,
    /// A size a little off.
    Size,
    /// Another yard.
    Yard,
    /// Measure the boards that are tight.
    Measure,
    /// A thinner blade.
    Blade,
    /// The boards go back to the yard.
    TakeBack,
}

impl Out {
    /// All of them, in order.
    pub const ALL: [Out; 13] = [
        Out::CarryOn,
        Out::AtHome,
        Out::Elsewhere,
        Out::Strip,
        Out::Pack,
        Out::Follow,
        Out::Buy,
        Out::Lengths,
        Out::Size,
        Out::Yard,
        Out::Measure,
        Out::Blade,
        Out::TakeBack,
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Out::CarryOn => "carry-on",
            Out::AtHome => "at-home",
            Out::Elsewhere => "elsewhere",
            Out::Strip => "strip",
            Out::Pack => "pack",
            Out::Follow => "follow",
            Out::Buy => "buy",
            Out::Lengths => "lengths",
            Out::Size => "size",
            Out::Yard => "yard",
            Out::Measure => "measure",
            Out::Blade => "blade",
            Out::TakeBack => "take-back",
        }
    }
}

/// Whether two lengths are the same on a tape: within half a step.
pub fn is_near(one: Length, other: Length, step: Length) -> bool {
    (one - other).abs() * 2 <= step
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::part::{At, Axis, Frame, PartKey, Solid};
    use crate::schema::StockKind;

    fn part(index: u32, length: i64) -> Part {
        Part {
            key: PartKey { piece: "bed".into(), role: "board".into(), face: "inner back".into(), course: 0, index },
            id: format!("A{index}"),
            stock: StockRef { kind: StockKind::Board, place: 0 },
            solid: Solid::square(Length::mm(length), Length::mm(100), Length::mm(20)),
            at: At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along: Axis::X, across: Axis::Z },
        }
    }

    fn object(index: u32, length: Length, closed: bool) -> Object {
        let slot = format!("bed.board.inner-back.0.{index}");
        Object { entry: 1, slot, from: None, length, wrong: false, closed, older: false, left_over: None }
    }

    /// Half a millimetre off is still the same on a tape of whole millimetres; by hand.
    #[test]
    fn each_object_gets_its_own_slot_first_and_then_the_first_that_wants_it() {
        let parts = [part(0, 400), part(1, 444), part(2, 444), part(3, 450)];
        let mm = Length::mm;
        let objects = vec![
            object(0, mm(444), false),
            object(1, Length::nm(443_500_000), false),
            object(3, mm(439), true),
            object(2, mm(439), false),
            object(9, mm(444), false),
        ];
        let standing = Standing { objects, ..Standing::default() };
        let assigned = standing.assign(&parts, mm(1));
        assert_eq!(assigned.filled, BTreeMap::from([(1, 1), (2, 0), (3, 2)]));
        assert_eq!(assigned.offcuts, [3, 4]);
        assert!(!is_near(mm(444), Length::nm(443_499_999), mm(1)));
    }
}
