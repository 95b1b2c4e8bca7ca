//! The plan as it stands: what the entries that count change in plan, yard and shed.

use crate::book::Book;
use crate::entry::{Along, Entry, Holds, Shelf, What};
use measure::{Length, Money};
use model::plan::Plan;
use model::problem::Problem;
use model::schema::StockKind;
use model::standing::{Held, HomeBoard, Object, Out, Reading};
use model::stock::{BoardLength, From, StockRef};
use std::collections::BTreeMap;

/// The widest slot that a saw leaves, as for the kerf of a shed.
const WIDEST_KERF: Length = Length::mm(10);
/// The most boards at home that are told apart.
const MOST_AT_HOME: usize = 2_000;
/// The most parts that are cut.
const MOST_OBJECTS: usize = 30_000;

/// Brings a plan to where the day book has it. `digest` is that of the plan's text. Of a plan with an empty book nothing
/// changes.
///
/// # Errors
/// Entries that speak of what plan, yard and shed have not, or of what cannot be.
pub fn stand(book: &Book, digest: &str, plan: &mut Plan) -> Result<(), Vec<Problem>> {
    let mut stand = Stand { plan, digest, cuts: Vec::new() };
    let mut problems = Vec::new();
    for entry in book.counting() {
        if let Err(wrong) = stand.enter(entry) {
            let (number, word) = (entry.number, entry.what.word());
            let problem = Problem::new(format!("entry {number} of the day book, `{word}`: {wrong}"));
            problems.push(problem.hint(format!("undo entry {number}, or change plan and yard back")));
        }
    }
    if problems.is_empty() {
        stand.bring_home().map_err(|problem| vec![problem])?;
        (plan.standing.entries, plan.standing.notice) = (book.entries().len(), book.notice());
        Ok(())
    } else {
        Err(problems)
    }
}

/// `total / over` to the nearest nanometre, halves up. Both are positive.
fn share(total: i128, over: u32) -> Length {
    let over = i128::from(over);
    // A share is no longer than what is shared, which was read as a length.
    Length::nm(((2 * total + over).div_euclid(2 * over)) as i64)
}

/// What a single board is called, and its bad stretches.
type Single = Option<(String, Vec<[Length; 2]>)>;

struct Stand<'p> {
    plan: &'p mut Plan,
    digest: &'p str,
    /// What was cut off boards at home: the board's place among all at home, and the length.
    cuts: Vec<(u32, usize, Length)>,
}

impl Stand<'_> {
    fn enter(&mut self, entry: &Entry) -> Result<(), String> {
        let number = entry.number;
        match &entry.what {
            What::Only { board, length, left } => self.only(number, board, *length, *left),
            What::Bought { board, length, count } => self.bought(number, board, *length, *count),
            What::Width { board, over, reads } => {
                let at = self.board(board)?;
                let is = share(reads.nanometres().into(), *over);
                self.read(number, format!("the width of {board}"), self.plan.yard.boards[at].width, is)?;
                self.plan.yard.boards[at].width = is;
                Ok(())
            }
            What::Thickness { shelf, name, reads } => self.thickness(number, *shelf, name, *reads),
            What::TrueLength { board, length, reads } => self.true_length(number, board, *length, reads),
            What::Kerf { reads } => self.kerf(number, *reads),
            What::Units { unit, over, joint, along, reads } => {
                let joints = i128::from(over - 1) * i128::from(joint.nanometres());
                self.unit(number, unit, *along, share(i128::from(reads.nanometres()) - joints, *over))
            }
            What::Cut { parts, from, length, holds } => {
                self.hold(number, holds);
                let mut from = from.iter();
                parts.iter().try_for_each(|part| self.cut(entry, part, from.next().copied(), *length, false))
            }
            What::Wrong { part, from, length, holds } => {
                self.hold(number, holds);
                self.cut(entry, part, *from, *length, true)
            }
            What::Took { entry: of, way, parts, length, holds } => {
                self.hold(number, holds);
                self.take(number, *of, *way, parts, *length)
            }
            // It counts by what no longer counts.
            What::Undo { .. } => Ok(()),
        }
    }

    fn board(&self, name: &str) -> Result<usize, String> {
        let found = self.plan.yard.find(StockKind::Board, name);
        found.map(|stock| stock.place).ok_or_else(|| format!("the yard has no board `{}`", name.escape_debug()))
    }

    fn only(&mut self, entry: u32, board: &str, length: Length, left: u32) -> Result<(), String> {
        let at = self.board(board)?;
        let tape = self.plan.tape;
        let shown = tape.show_with_unit(length);
        let none = || format!("the yard sells no {shown} of `{board}`");
        let sold = self.plan.yard.boards[at].lengths.iter_mut().find(|sold| sold.length == length).ok_or_else(none)?;
        let was = sold.stock.map_or("no end of them".to_owned(), |stock| stock.to_string());
        sold.stock = Some(left);
        self.tell(entry, format!("how many {shown} of {board} the yard has"), was, left.to_string());
        Ok(())
    }

    fn bought(&mut self, entry: u32, board: &str, length: Length, count: u32) -> Result<(), String> {
        let stock = StockRef { kind: StockKind::Board, place: self.board(board)? };
        if self.plan.standing.home.len() + count as usize > MOST_AT_HOME {
            return Err(format!("no more than {MOST_AT_HOME} boards are told apart"));
        }
        let sold = self.plan.yard.boards[stock.place].lengths.iter().find(|sold| sold.length == length);
        let price = sold.and_then(|sold| sold.price);
        let one = HomeBoard {
            stock,
            label: length,
            length,
            left: length,
            cut: 0,
            left_over: false,
            price,
            single: None,
            entry,
        };
        for _ in 0..count {
            let single = self.single(stock, length);
            if single.is_none() && self.is_in_singles(stock, length) {
                let shown = self.plan.tape.show_with_unit(length);
                return Err(format!(
                    "the yard has no more boards of `{board}` {shown} long: each of those with bad stretches is one board, and all are at home"
                ));
            }
            let (single, price) = single.unwrap_or((None, price));
            self.plan.standing.home.push(HomeBoard { single, price, ..one.clone() });
        }
        Ok(())
    }

    /// The first single board with bad stretches of this length that is not at home yet, with its price; `None` where the yard sells
    /// the length in numbers, or has no more such boards.
    fn single(&self, stock: StockRef, length: Length) -> Option<(Single, Option<Money>)> {
        let all = || self.plan.yard.boards[stock.place].lengths.iter().filter(|sold| sold.length == length);
        let came: Vec<&String> =
            self.plan.standing.home_of(stock).flat_map(|home| &home.single).map(|one| &one.0).collect();
        let mut singles = all().filter(|sold| sold.from == From::Yard && !sold.bad.is_empty());
        let next = singles.find(|sold| sold.name.as_ref().is_some_and(|name| !came.contains(&name)));
        let next = next.filter(|_| !all().any(BoardLength::is_on_sale))?;
        Some((Some((next.name.clone()?, next.bad.clone())), next.price))
    }

    /// Whether the yard has a length only as single boards with bad stretches.
    fn is_in_singles(&self, stock: StockRef, length: Length) -> bool {
        let all = || self.plan.yard.boards[stock.place].lengths.iter().filter(|sold| sold.length == length);
        let is_single = |sold: &BoardLength| sold.from == From::Yard && !sold.bad.is_empty();
        all().any(is_single) && !all().any(BoardLength::is_on_sale)
    }

    /// Holds a reading against what it takes the place of: one that is less than half or more than twice of it is a slip.
    fn read(&mut self, entry: u32, what: String, was: Length, is: Length) -> Result<(), String> {
        let tape = self.plan.tape;
        let (shown_was, shown_is) = (tape.show_exact(was), tape.show_exact(is));
        if is * 2 < was || is > was * 2 {
            return Err(format!("{what} would be {shown_is}, and the files say {shown_was}: that is no reading of it"));
        }
        self.tell(entry, what, shown_was, shown_is);
        Ok(())
    }

    fn tell(&mut self, entry: u32, what: String, was: String, is: String) {
        self.plan.standing.readings.push(Reading { entry, what, was, is });
    }

    fn thickness(&mut self, entry: u32, shelf: Shelf, name: &str, reads: Length) -> Result<(), String> {
        let what = format!("the thickness of {name}");
        match shelf {
            Shelf::Board => {
                let at = self.board(name)?;
                let board = &self.plan.yard.boards[at];
                if board.thin_edge.is_some_and(|thin| thin >= reads) {
                    return Err(format!("`{name}` tapers, and its thick edge would be no thicker than its thin one"));
                }
                self.read(entry, what, board.thickness, reads)?;
                self.plan.yard.boards[at].thickness = reads;
            }
            Shelf::Sheet => {
                let found = self.plan.yard.find(StockKind::Sheet, name);
                let at = found.ok_or_else(|| format!("the yard has no sheet `{}`", name.escape_debug()))?.place;
                self.read(entry, what, self.plan.yard.sheets[at].thickness, reads)?;
                self.plan.yard.sheets[at].thickness = reads;
            }
        }
        Ok(())
    }

    fn kerf(&mut self, entry: u32, reads: Length) -> Result<(), String> {
        if reads > WIDEST_KERF {
            return Err("no saw leaves a slot as wide as that".into());
        }
        let (was, is) = (self.plan.tape.show_exact(self.plan.shed.kerf), self.plan.tape.show_exact(reads));
        self.tell(entry, "the kerf".into(), was, is);
        self.plan.shed.kerf = reads;
        Ok(())
    }

    fn unit(&mut self, entry: u32, name: &str, along: Along, is: Length) -> Result<(), String> {
        let found = self.plan.yard.find(StockKind::Unit, name);
        let at = found.ok_or_else(|| format!("the yard has no unit `{}`", name.escape_debug()))?.place;
        let unit = &self.plan.yard.units[at];
        let was = match along {
            Along::Length => unit.length,
            Along::Width => unit.width,
        };
        self.read(entry, format!("the {} of {name}", along.word()), was, is)?;
        let unit = &mut self.plan.yard.units[at];
        match along {
            Along::Length => unit.length = is,
            Along::Width => unit.width = is,
        }
        Ok(())
    }

    fn true_length(&mut self, entry: u32, board: &str, label: Length, reads: &[Length]) -> Result<(), String> {
        let stock = StockRef { kind: StockKind::Board, place: self.board(board)? };
        let shown = self.plan.tape.show_with_unit(label);
        for &is in reads {
            let not_measured = |home: &HomeBoard| {
                home.stock == stock && home.label == label && home.length == label && !home.left_over
            };
            let place = self.plan.standing.home.iter().position(not_measured);
            let at = place.ok_or_else(|| format!("no more {shown} of `{board}` are at home that were not measured"))?;
            self.read(entry, format!("the length of one {shown} of {board}"), label, is)?;
            self.plan.standing.home[at].length = is;
        }
        Ok(())
    }

    fn hold(&mut self, entry: u32, holds: &Holds) {
        let held = holds.iter().map(|(name, &value)| (name.clone(), Held { value, entry }));
        self.plan.standing.held.extend(held);
    }

    fn cut(&mut self, by: &Entry, slot: &str, from: Option<u32>, length: Length, wrong: bool) -> Result<(), String> {
        let standing = &mut self.plan.standing;
        let objects = &mut standing.objects;
        if objects.len() >= MOST_OBJECTS {
            return Err(format!("no more than {MOST_OBJECTS} parts are cut"));
        }
        if !wrong && objects.iter().any(|object| object.slot == slot && !object.wrong) {
            return Err(format!("`{}` was cut before", slot.escape_debug()));
        }
        let (slot, older, from) = (slot.to_owned(), by.plan != self.digest, from.map(|from| from as usize));
        objects.push(Object { entry: by.number, slot, from, length, wrong, closed: false, older, left_over: None });
        self.cuts.extend(from.map(|from| (by.number, from, length)));
        Ok(())
    }

    fn take(&mut self, by: u32, of: u32, way: Out, parts: &[String], length: Option<Length>) -> Result<(), String> {
        let objects = &mut self.plan.standing.objects;
        match (way, parts, length) {
            (Out::Elsewhere | Out::Strip | Out::Pack, [slot], length) => {
                let object = objects.iter_mut().find(|object| object.entry == of && object.wrong);
                let object = object.ok_or_else(|| format!("entry {of} has cut nothing wrong"))?;
                object.slot.clone_from(slot);
                object.length = length.map_or(object.length, |length| length.min(object.length));
                object.closed = way != Out::Elsewhere;
            }
            (Out::Follow, slots, Some(length)) => {
                for object in objects.iter_mut().filter(|object| slots.contains(&object.slot)) {
                    object.length = length.min(object.length);
                }
            }
            (Out::AtHome | Out::Buy, [_], None) => self.leave_over(by, of)?,
            (_, [], None) => {}
            _ => return Err("it does not say the parts that such a way out changes".into()),
        }
        Ok(())
    }

    /// What was cut wrong comes home as a board of its own.
    fn leave_over(&mut self, by: u32, of: u32) -> Result<(), String> {
        let standing = &mut self.plan.standing;
        if standing.home.len() >= MOST_AT_HOME {
            return Err(format!("no more than {MOST_AT_HOME} boards are told apart"));
        }
        let is = |object: &&mut Object| object.entry == of && object.wrong && object.left_over.is_none();
        let object = standing.objects.iter_mut().find(is);
        let object = object.ok_or_else(|| format!("entry {of} has cut nothing wrong that could be left over"))?;
        let came = object.from.and_then(|from| standing.home.get(from.checked_sub(1)?));
        let stock = came.ok_or_else(|| format!("what entry {of} cut came off no board at home"))?.stock;
        let length = object.length;
        object.left_over = Some(standing.home.len() + 1);
        let board = HomeBoard {
            stock,
            label: length,
            length,
            left: length,
            cut: 0,
            left_over: true,
            price: None,
            single: None,
            entry: by,
        };
        standing.home.push(board);
        Ok(())
    }

    /// Takes what was cut off the boards at home, and makes what is left of them the only stock of their kinds.
    fn bring_home(&mut self) -> Result<(), Problem> {
        self.take_off()?;
        let mut kinds: BTreeMap<StockRef, BTreeMap<Length, u32>> = BTreeMap::new();
        for board in &self.plan.standing.home {
            let lots = kinds.entry(board.stock).or_default();
            // Where the rest of a board with bad stretches lies is not known.
            if board.left > self.plan.shed.trim && board.single.is_none() {
                *lots.entry(board.left).or_default() += 1;
            }
        }
        let home = &self.plan.standing.home;
        for (stock, lots) in kinds {
            let lengths = &mut self.plan.yard.boards[stock.place].lengths;
            let lot = |(length, count): (Length, u32)| BoardLength {
                stock: Some(count),
                ..BoardLength::on_sale(length, Some(Money::hundredths(0)))
            };
            // The shed's own offcuts are at home too.
            let offcuts = lengths.iter().filter(|sold| sold.from == From::Shed).cloned();
            let whole = home.iter().filter(|board| board.stock == stock && board.single.is_some() && board.cut == 0);
            let lots: Vec<BoardLength> =
                lots.into_iter().map(lot).chain(whole.map(HomeBoard::whole)).chain(offcuts).collect();
            self.plan.standing.on_sale.insert(stock, std::mem::replace(lengths, lots));
        }
        Ok(())
    }

    fn take_off(&mut self) -> Result<(), Problem> {
        let kerf = self.plan.shed.kerf;
        let home = &mut self.plan.standing.home;
        home.iter_mut().for_each(|board| board.left = board.length);
        for &(entry, from, length) in &self.cuts {
            let wrong = |says: String| {
                let problem = Problem::new(format!("entry {entry} of the day book: {says}"));
                problem.hint(format!("undo entry {entry}, and say the board that the part came off"))
            };
            let board = from.checked_sub(1).and_then(|at| home.get_mut(at));
            let board = board.ok_or_else(|| wrong(format!("there is no board {from} at home")))?;
            if length > board.left {
                return Err(wrong(format!("board {from} at home has not that much left")));
            }
            board.cut += 1;
            board.left = if board.left > length + kerf { board.left - length - kerf } else { Length::ZERO };
        }
        Ok(())
    }
}
