//! What the plan asks, derived from its text: sizes and gaps with their wishes, choices, rows that must close, limits; and
//! for each piece the [`Form`] that lays its parts once the sizes are known.
//!
//! The record states the question that was answered; [`crate::stock`] holds it against this one, so that no wish is narrowed
//! and no row left out. Each kind of piece is one file here and one line in [`KINDS`].

mod walls;
mod cladding;
mod edging;
mod cap;
mod leaning;
mod lines;
mod stand;
mod spaced;
mod posts;
mod floor;
mod fill;
mod liner;
mod reach;
mod extra;
mod finish;
mod slats;
mod frame;
mod pad;
mod screen;

pub(crate) use fill::ordered;
pub(crate) use leaning::millionths;
pub(crate) use liner::off_roll;
pub(crate) use lines::Line;
pub(crate) use stand::{Fitting, Fixing, Load, Planned, Stand, Standing};

use crate::claims::{Closing, Record};
use crate::geometry::Case;
use crate::ground::Sum;
use crate::laid::{Built, Site};
use crate::ledger::Ledger;
use crate::needs::Wanted;
use crate::texts::{Board, Papers, Piece, Wish};
use measure::Length;

/// The most members that a row is ever given, as the plan's format limits it.
const MOST_MEMBERS: i64 = 20_000;
/// No part, and no room inside a piece, is shorter than this: 50 mm.
pub(crate) const SHORTEST: i128 = 50_000_000;
/// From one piece that stands by itself to the next, along the front: 3 m.
pub(crate) const APART: i128 = 3_000_000_000;
/// Beyond any length that can be read.
pub(crate) const BEYOND: i128 = Length::READ_LIMIT.nanometres() as i128;

/// Choice and option, all of which must be chosen.
pub(crate) type When = Vec<(usize, usize)>;

/// Reads what a piece asks.
type Ask = fn(&mut Asked, &Piece, &Papers) -> Result<Planned, String>;

/// Every kind of piece that the referee knows.
const KINDS: &[(&str, Ask)] = &[
    ("walls", walls::ask),
    ("cladding", cladding::ask),
    ("edging", edging::ask),
    ("cap", cap::ask),
    ("posts", posts::ask),
    ("floor", floor::ask),
    ("fill", fill::ask),
    ("liner", liner::ask),
    ("extra", extra::ask),
    ("finish", finish::ask),
    ("slats", slats::ask),
    ("frame", frame::ask),
    ("pad", pad::ask),
    ("screen", screen::ask),
];

/// What a piece does once the sizes are known.
pub(crate) trait Form {
    /// Lays its parts and rows; `None` if a row of it has no count.
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()>;

    /// Where its upper edge really lies: for what leans that is known only once the sizes are.
    fn true_top(&self, own: &Planned, site: &Site<'_>) -> i128 {
        site.value(&own.stand.top)
    }

    /// Holds what can be seen of its parts as they are claimed, beside their places.
    fn hold(&self, _own: &Planned, _case: &Case<'_>, _ledger: &mut Ledger) {}

    /// Says what it needs beside parts.
    fn needs(&self, _own: &Planned, _case: &Case<'_>, _wanted: &mut Wanted) {}
}

/// The whole question.
#[derive(Default)]
pub(crate) struct Asked {
    pub sizes: Vec<(String, Wish)>,
    pub gaps: Vec<(String, Wish)>,
    pub choices: Vec<(String, Vec<String>)>,
    pub rows: Vec<Row>,
    pub limits: Vec<Limit>,
    pub pieces: Vec<Planned>,
    /// Where the record has what stands here.
    pub places: Places,
    /// Where the next piece that stands by itself begins, along the front.
    free: Sum,
}

/// A row that must close.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Row {
    pub when: When,
    pub length: Sum,
    /// One member, or all members of a pattern.
    pub member: i128,
    pub gaps_per_member: i64,
    /// Gaps more or less than that.
    pub end_gaps: i64,
    pub gap: usize,
    pub count: (i64, i64),
    /// How far its fixed part may lie from the referee's, where it was rounded at an angle.
    pub slack: i128,
}

impl Row {
    /// Whether another row asks the same.
    pub fn is_like(&self, other: &Row) -> bool {
        let apart = (self.length.constant - other.length.constant).abs();
        let alike = |row: &Row| Row { length: Sum { constant: 0, ..row.length.clone() }, slack: 0, ..row.clone() };
        apart <= self.slack.max(other.slack) && alike(self) == alike(other)
    }
}

/// A limit that must hold.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Limit {
    pub when: When,
    pub value: Sum,
    pub from: i128,
    pub to: i128,
    /// How far its fixed part may lie from the referee's, where it was rounded at an angle.
    pub slack: i128,
}

impl Limit {
    /// Whether another limit says the same.
    pub fn is_like(&self, other: &Limit) -> bool {
        let apart = (self.value.constant - other.value.constant).abs();
        let alike =
            |limit: &Limit| Limit { value: Sum { constant: 0, ..limit.value.clone() }, slack: 0, ..limit.clone() };
        let same = apart <= self.slack.max(other.slack) && alike(self) == alike(other);
        // What must be nothing can be taken off either way round.
        same || (self.from, self.to) == (0, 0)
            && *other == Limit { value: Sum::default().plus(&self.value, -1), ..self.clone() }
    }
}

/// For each size, gap and choice of the record its place here: the order in which they stand is the record's own.
#[derive(Clone, Debug, Default)]
pub(crate) struct Places {
    pub sizes: Vec<usize>,
    pub gaps: Vec<usize>,
    pub choices: Vec<usize>,
    /// For each run of the record its row.
    pub runs: Vec<usize>,
}

impl Places {
    /// The places of what the record names; `None` if names are missing, stand twice or are not known here.
    pub fn of(record: &Record, asked: &Asked) -> Option<Places> {
        let fit = &record.fit;
        let sizes = fit.sizes.iter().map(|size| size.wish.name.as_str());
        Some(Places {
            sizes: each_once(sizes, &asked.sizes)?,
            gaps: each_once(fit.gaps.iter().map(|gap| gap.name.as_str()), &asked.gaps)?,
            choices: each_once(fit.choices.iter().map(|choice| choice.0.as_str()), &asked.choices)?,
            runs: Vec::new(),
        })
    }

    /// The sizes of a closing in the order of [`Asked::sizes`].
    pub fn sizes_of(&self, closing: &Closing) -> Vec<i64> {
        in_own_order(&self.sizes, &closing.sizes)
    }

    /// The options of a closing in the order of [`Asked::choices`].
    pub fn choices_of(&self, closing: &Closing) -> Vec<usize> {
        in_own_order(&self.choices, &closing.choices)
    }
}

fn each_once<'n, T>(names: impl Iterator<Item = &'n str>, own: &[(String, T)]) -> Option<Vec<usize>> {
    let places: Option<Vec<usize>> = names.map(|name| own.iter().position(|own| own.0 == name)).collect();
    let places = places?;
    let mut sorted = places.clone();
    sorted.sort_unstable();
    sorted.iter().copied().eq(0..own.len()).then_some(places)
}

fn in_own_order<T: Copy + Default>(places: &[usize], theirs: &[T]) -> Vec<T> {
    let mut own = vec![T::default(); places.len()];
    for (&place, &value) in places.iter().zip(theirs) {
        own[place] = value;
    }
    own
}

/// Derives the question.
///
/// # Errors
/// What the referee cannot make sense of in the plan.
pub(crate) fn derive(papers: &Papers) -> Result<Asked, String> {
    let mut asked = Asked::default();
    for piece in in_order(&papers.pieces)? {
        let kind = KINDS.iter().find(|kind| kind.0 == piece.is);
        let kind = kind.ok_or_else(|| format!("the referee knows no piece that is `{}`", piece.is))?;
        let mut planned = (kind.1)(&mut asked, piece, papers)?;
        planned.held = papers.is_done(&piece.name, "holds");
        asked.pieces.push(planned);
    }
    Ok(asked)
}

/// The keys behind which a piece names others.
const REFERS: [&str; 10] = ["on", "around", "in", "like", "beside", "under", "between", "from", "of", "from-below"];

/// Each piece behind those that it refers to.
fn in_order(pieces: &[Piece]) -> Result<Vec<&Piece>, String> {
    let mut waiting: Vec<&Piece> = pieces.iter().collect();
    let mut ordered: Vec<&Piece> = Vec::new();
    while !waiting.is_empty() {
        let ready = |piece: &&Piece| {
            let named = REFERS.iter().flat_map(|key| piece.named(key));
            let mut open = named.filter(|name| waiting.iter().any(|other| other.name == *name));
            open.next().is_none()
        };
        let free = waiting.iter().position(ready);
        let free = free.ok_or_else(|| format!("`{}` refers to a piece that refers to it", waiting[0].name))?;
        ordered.push(waiting.remove(free));
    }
    Ok(ordered)
}

impl Asked {
    /// Asks for a size of a piece.
    pub fn size(&mut self, piece: &Piece, key: &str) -> Result<Sum, String> {
        self.sizes.push((format!("{}.{key}", piece.name), piece.size(key)?));
        Ok(Sum::size(self.sizes.len() - 1))
    }

    /// Asks for a gap of a piece, and tells its place; `usual` in nanometres if it may be left out.
    pub fn gap(&mut self, piece: &Piece, key: &str, usual: Option<i64>) -> Result<usize, String> {
        self.gaps.push((format!("{}.{key}", piece.name), piece.gap(key, usual)?));
        Ok(self.gaps.len() - 1)
    }

    /// Asks to choose among options, if there is more than one.
    pub fn choice(&mut self, name: String, options: Vec<String>) -> Option<usize> {
        (options.len() > 1).then(|| {
            self.choices.push((name, options));
            self.choices.len() - 1
        })
    }

    /// Asks for a row of single members and tells its place: `joints` more gaps than there are between members.
    pub fn row(&mut self, when: When, length: Sum, member: i128, joints: i64, gap: usize) -> usize {
        self.row_of(Row {
            when,
            length,
            member,
            gaps_per_member: 1,
            end_gaps: joints - 1,
            gap,
            count: (1, MOST_MEMBERS),
            slack: 0,
        })
    }

    /// Asks for a row and tells its place; a row that asks the same stands once.
    pub fn row_of(&mut self, row: Row) -> usize {
        self.rows.iter().position(|known| known.is_like(&row)).unwrap_or_else(|| {
            self.rows.push(row);
            self.rows.len() - 1
        })
    }

    /// A value must lie between two others.
    pub fn limit(&mut self, when: When, value: Sum, from: i128, to: i128) {
        self.limit_of(Limit { when, value, from, to, slack: 0 });
    }

    pub fn limit_of(&mut self, limit: Limit) {
        if !self.limits.iter().any(|known| known.is_like(&limit)) {
            self.limits.push(limit);
        }
    }

    /// A length must be there at all.
    pub fn is_there(&mut self, when: When, value: Sum) {
        self.limit(when, value, SHORTEST, BEYOND);
    }

    /// The same of a length that was rounded at an angle.
    pub fn is_there_within(&mut self, when: When, value: Sum, slack: i128) {
        self.limit_of(Limit { when, value, from: SHORTEST, to: BEYOND, slack });
    }

    /// A part must be there and come out of the longest stock.
    pub fn comes_out(&mut self, when: When, value: Sum, longest: i128) {
        self.comes_out_within(when, value, longest, 0);
    }

    /// The same of a length that was rounded at an angle.
    pub fn comes_out_within(&mut self, when: When, value: Sum, longest: i128, slack: i128) {
        let limit = Limit { when, value, from: SHORTEST, to: BEYOND, slack };
        self.limit_of(limit.clone());
        self.limit_of(Limit { from: -BEYOND, to: longest, ..limit });
    }

    /// Where a piece begins that stands by itself and is so long; the next one begins three metres behind it.
    pub fn stands_alone(&mut self, length: &Sum) -> Sum {
        let next = self.free.plus(length, 1).and(APART);
        std::mem::replace(&mut self.free, next)
    }

    /// The next piece that stands by itself begins three metres behind this place.
    pub fn goes_on_behind(&mut self, end: &Sum) {
        self.free = end.and(APART);
    }

    /// The place of the piece of a name.
    pub fn find(&self, name: &str) -> Result<usize, String> {
        let place = self.pieces.iter().position(|piece| piece.name == name);
        place.ok_or_else(|| format!("no piece is called `{name}`"))
    }

    /// What is lifted together: each piece that is fixed to no other, and all that is fixed to it or to that, nearest first.
    pub fn lifted(&self) -> Vec<Vec<&str>> {
        let mut all = Vec::new();
        for first in self.pieces.iter().enumerate().filter(|(_, piece)| !piece.fixed).map(|(at, _)| at) {
            let mut joined = vec![first];
            let mut looked_at = 0;
            while looked_at < joined.len() {
                let to = joined[looked_at];
                let own = self.pieces.iter().enumerate().filter(|(_, piece)| piece.is_fixed_to(to));
                joined.extend(own.map(|(at, _)| at));
                looked_at += 1;
            }
            all.push(joined.into_iter().map(|at| self.pieces[at].name.as_str()).collect());
        }
        all
    }
}

/// How long and how high a part can be that comes out of one size of a stock.
pub(crate) struct Reach {
    pub word: String,
    pub long: i128,
    pub high: i128,
}

/// Thickness, width (nothing for a sheet), and what its sizes give.
pub(crate) fn of_stock(stock: &(&str, String), papers: &Papers) -> Result<(i128, i128, Vec<Reach>), String> {
    let none = || format!("no {} is called `{}`", stock.0, stock.1);
    if stock.0 == "board" {
        let board = papers.board(&stock.1).ok_or_else(none)?;
        if board.thin_edge.is_some() {
            return Err(format!("`{}` has a thin edge and is used for what does not lap", stock.1));
        }
        let longest = longest(board, papers);
        let reach = Reach { word: stock.1.clone(), long: longest.into(), high: board.width.into() };
        return Ok((board.thickness.into(), board.width.into(), vec![reach]));
    }
    let sheet = papers.sheet(&stock.1).ok_or_else(none)?;
    let trim = papers.sheet_saw[1];
    let reach = |&(length, width): &(i64, i64)| {
        let show = |side: i64| papers.tape.show(Length::nm(side));
        let word = format!("{} × {}", show(length), show(width));
        Reach { word, long: (length - trim).into(), high: (width - trim).into() }
    };
    let sold: Vec<(i64, i64)> =
        sheet.sizes.iter().filter(|sold| sold.supply() != Some(0)).map(|sold| (sold.length, sold.width)).collect();
    Ok((sheet.thickness.into(), 0, largest(&sold).iter().map(reach).collect()))
}

/// A board's thickness, its width and the longest part that comes out of it.
pub(crate) fn of_board(name: &str, papers: &Papers) -> Result<[i128; 3], String> {
    let (thickness, width, reaches) = of_stock(&("board", name.into()), papers)?;
    Ok([thickness, width, reaches.first().map_or(0, |reach| reach.long)])
}

/// The thickness of a board that laps, that of its upper edge, its width, and the longest part that comes out of it.
pub(crate) fn of_lapping(name: &str, papers: &Papers) -> Result<[i128; 4], String> {
    let board = papers.board(name).ok_or_else(|| format!("no board is called `{name}`"))?;
    let edge = board.thin_edge.unwrap_or(board.thickness);
    Ok([board.thickness, edge, board.width, longest(board, papers)].map(i128::from))
}

/// The longest part that comes out of a board.
fn longest(board: &Board, papers: &Papers) -> i64 {
    if let Some(home) = papers.standing.longest_at_home(&board.name, papers.trim, papers.kerf) {
        return home;
    }
    let there = board.lengths.iter().filter(|sold| sold.supply() != Some(0));
    let longest = there.map(|sold| sold.gives(papers.trim, papers.kerf)).max();
    longest.map_or(-papers.trim, |longest| i64::try_from(longest).unwrap_or(i64::MAX))
}

/// Of some sizes of sheet those that are not, both ways, within another one; in their order.
fn largest(sold: &[(i64, i64)]) -> Vec<(i64, i64)> {
    let mut kept: Vec<(i64, i64)> = Vec::new();
    for &size in sold {
        let within = |small: (i64, i64), large: (i64, i64)| small.0 <= large.0 && small.1 <= large.1;
        if !kept.iter().any(|&other| within(size, other)) {
            kept.retain(|&other| !within(other, size));
            kept.push(size);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a size within another one gives nothing of its own; of two that are larger one way each both stay.
    #[test]
    fn sizes_within_another_are_left_out() {
        assert_eq!(largest(&[(2440, 1220), (1220, 610)]), [(2440, 1220)]);
        assert_eq!(largest(&[(1220, 610), (2440, 600), (1220, 1220)]), [(2440, 600), (1220, 1220)]);
        assert_eq!(largest(&[(2000, 600), (2000, 900), (2500, 900)]), [(2500, 900)]);
    }
}
