//! What the plan asks, derived from its text: sizes and gaps with their wishes, choices, rows that must close, limits.
//!
//! The record states the question that was answered; [`crate::stock`] holds it against this one, so that no wish is narrowed
//! and no row left out.

use crate::ground::{End, Has, Outline, Sum};
use crate::texts::{Papers, Piece, Wish};
use measure::{Length, Percent};
use std::collections::BTreeMap;

/// The most members that a row is ever given, as the plan's format limits it.
const MOST_MEMBERS: i64 = 20_000;
/// No part, and no room inside a piece, is shorter than this: 50 mm.
const SHORTEST: i128 = 50_000_000;
/// From one piece that stands by itself to the next, along the front: 3 m.
pub(crate) const APART: i128 = 3_000_000_000;
/// Beyond any length that can be read.
const BEYOND: i128 = Length::READ_LIMIT.nanometres() as i128;

/// Choice and option, all of which must be chosen.
pub(crate) type When = Vec<(usize, usize)>;

/// The whole question.
#[derive(Default)]
pub(crate) struct Asked {
    pub sizes: Vec<(String, Wish)>,
    pub gaps: Vec<(String, Wish)>,
    pub choices: Vec<(String, Vec<String>)>,
    pub rows: Vec<Row>,
    pub limits: Vec<Limit>,
    pub pieces: Vec<Planned>,
    /// Where the next piece that stands by itself begins, along the front.
    free: Sum,
}

/// A row that must close.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Row {
    pub when: When,
    pub length: Sum,
    pub member: i128,
    /// Gaps more or less than members.
    pub end_gaps: i64,
    pub gap: usize,
    pub count: (i64, i64),
}

/// A limit that must hold.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Limit {
    pub when: When,
    pub value: Sum,
    pub from: i128,
    pub to: i128,
}

/// A piece as it is planned.
pub(crate) struct Planned {
    pub name: String,
    pub kind: Kind,
    /// `board`, `sheet` or `unit`, and its name.
    pub stock: (&'static str, String),
    /// The piece that it stands on or goes round, by its place.
    pub around: Option<usize>,
    /// The outline that its rows lie beside.
    pub base: Outline,
    /// Its own outermost outline, which others refer to.
    pub outside: Outline,
    pub bottom: Sum,
    pub top: Sum,
    /// How thick the wall or the cladding is.
    pub thickness: i128,
    /// The courses of boards, by the row's place.
    pub courses: Option<usize>,
    /// The board's width; nothing for a sheet.
    pub width: i128,
    /// Which choice decides among the options, if there is one.
    pub choice: Option<usize>,
    pub options: Vec<Lay>,
    /// The length from its lower edge to that of what it clads.
    pub raised: i128,
    /// The unit in the corners of a ring: name and thickness.
    pub corner: Option<(String, i128)>,
    /// For a ring, between it and what it goes round.
    pub clearance: i128,
}

/// What kind of piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Walls,
    Upright,
    Level,
    Ring,
}

/// One way of laying a piece.
pub(crate) struct Lay {
    pub lines: Vec<Line>,
    /// One member along its row.
    pub member: i128,
    /// For a ring: whether units lie with their longer side along the row.
    pub lengthwise: bool,
    /// For a ring: whether a unit fills each corner.
    pub square: bool,
}

/// The row or part along one side.
pub(crate) struct Line {
    pub side: usize,
    pub start: End,
    pub finish: End,
    /// How far outwards of the side it lies, from and to.
    pub strip: (i128, i128),
    /// Its row, by its place, if it is one.
    pub row: Option<usize>,
}

impl Planned {
    /// The face's name as quantities have it.
    pub fn called(&self, face: &str) -> String {
        format!("{}.{}", self.name, face.replace(' ', "-"))
    }

    /// The lay that a closing chose.
    pub fn lay(&self, choices: &[usize]) -> Option<&Lay> {
        let option = self.choice.map_or(Some(0), |choice| choices.get(choice).copied())?;
        self.options.get(option)
    }
}

/// Derives the question.
///
/// # Errors
/// What the referee cannot make sense of in the plan.
pub(crate) fn derive(papers: &Papers) -> Result<Asked, String> {
    let mut asked = Asked::default();
    for piece in in_order(&papers.pieces)? {
        let planned = match piece.is.as_str() {
            "walls" => asked.walls(piece, papers)?,
            "cladding" => asked.cladding(piece, papers)?,
            "edging" => asked.edging(piece, papers)?,
            other => return Err(format!("the referee knows no piece that is `{other}`")),
        };
        asked.pieces.push(planned);
    }
    Ok(asked)
}

/// Each piece behind the one it refers to.
fn in_order(pieces: &[Piece]) -> Result<Vec<&Piece>, String> {
    let mut waiting: Vec<&Piece> = pieces.iter().collect();
    let mut ordered: Vec<&Piece> = Vec::new();
    while !waiting.is_empty() {
        let mut free = None;
        for (at, piece) in waiting.iter().enumerate() {
            let refers = [piece.word("on", "")?, piece.word("around", "")?].concat();
            if refers.is_empty() || ordered.iter().any(|done| done.name == refers) {
                free = Some(at);
                break;
            }
        }
        let free = free.ok_or_else(|| format!("`{}` refers to a piece that is not there", waiting[0].name))?;
        ordered.push(waiting.remove(free));
    }
    Ok(ordered)
}

const BOARD_CORNERS: [&str; 3] = ["front through", "sides through", "pinwheel"];
const UNIT_CORNERS: [&str; 5] = ["pinwheel", "front through", "sides through", "square", "open"];

fn corner_words(word: &str, all: &[&'static str]) -> Result<Vec<&'static str>, String> {
    if word == "any" {
        return Ok(all.to_vec());
    }
    let known = all.iter().find(|known| **known == word);
    known.map(|word| vec![*word]).ok_or_else(|| format!("unknown corners `{word}`"))
}

/// Who has the corner at one end of a side.
fn has(word: &str, side: usize, finish: bool) -> Has {
    let through = match word {
        "open" => return Has::Nobody,
        "square" => return Has::Unit,
        "front through" => side.is_multiple_of(2),
        "sides through" => !side.is_multiple_of(2),
        _ => finish,
    };
    if through { Has::This } else { Has::Other }
}

/// The line of each side that has a strip, its row not yet asked.
fn lines(base: &Outline, strips: &[Option<(i128, i128)>], word: &str) -> Vec<Line> {
    let line = |side: usize| {
        Some(Line {
            side,
            start: base.end(side, false, strips[base.before(side)], has(word, side, false)),
            finish: base.end(side, true, strips[base.after(side)], has(word, side, true)),
            strip: strips[side]?,
            row: None,
        })
    };
    (0..base.count()).filter_map(line).collect()
}

impl Asked {
    fn size(&mut self, piece: &Piece, key: &str) -> Result<Sum, String> {
        self.sizes.push((format!("{}.{key}", piece.name), piece.size(key)?));
        Ok(Sum::size(self.sizes.len() - 1))
    }

    fn gap(&mut self, piece: &Piece, key: &str, usual: Option<i64>) -> Result<usize, String> {
        self.gaps.push((format!("{}.{key}", piece.name), piece.gap(key, usual)?));
        Ok(self.gaps.len() - 1)
    }

    fn choice(&mut self, name: String, options: Vec<String>) -> Option<usize> {
        (options.len() > 1).then(|| {
            self.choices.push((name, options));
            self.choices.len() - 1
        })
    }

    /// Asks for a row and tells its place; a row that asks the same stands once.
    fn row(&mut self, when: When, length: Sum, member: i128, joints: i64, gap: usize) -> usize {
        let row = Row { when, length, member, end_gaps: joints - 1, gap, count: (1, MOST_MEMBERS) };
        self.rows.iter().position(|known| *known == row).unwrap_or_else(|| {
            self.rows.push(row);
            self.rows.len() - 1
        })
    }

    fn limit(&mut self, when: When, value: Sum, from: i128, to: i128) {
        let limit = Limit { when, value, from, to };
        if !self.limits.contains(&limit) {
            self.limits.push(limit);
        }
    }

    /// A length must be there at all.
    fn is_there(&mut self, when: When, value: Sum) {
        self.limit(when, value, SHORTEST, BEYOND);
    }

    /// A part must be there and come out of the longest stock.
    fn comes_out(&mut self, when: When, value: Sum, longest: i128) {
        self.is_there(when.clone(), value.clone());
        self.limit(when, value, -BEYOND, longest);
    }

    /// Each line of each lay as a row.
    fn ask_lines(&mut self, base: &Outline, options: &mut [Lay], choice: Option<usize>, gap: usize) {
        for (option, lay) in options.iter_mut().enumerate() {
            let when: When = choice.map(|choice| (choice, option)).into_iter().collect();
            for line in &mut lay.lines {
                let length = base.length_between(line.side, &line.start.at, &line.finish.at);
                let joints = i64::from(line.start.joint) + i64::from(line.finish.joint);
                line.row = Some(self.row(when.clone(), length, lay.member, joints, gap));
            }
        }
    }

    /// Each line of each lay as one part that comes out of the longest stock, under a condition.
    fn limit_lines(&mut self, base: &Outline, options: &[Lay], choice: Option<usize>, condition: &When, longest: i128) {
        for (option, lay) in options.iter().enumerate() {
            let when: When = condition.iter().copied().chain(choice.map(|choice| (choice, option))).collect();
            for line in &lay.lines {
                let length = base.length_between(line.side, &line.start.at, &line.finish.at);
                self.comes_out(when.clone(), length, longest);
            }
        }
    }

    fn walls(&mut self, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
        let stock = match (piece.has("board"), piece.has("sheet")) {
            (true, false) => ("board", piece.word("board", "")?),
            (false, true) => ("sheet", piece.word("sheet", "")?),
            _ => return Err(format!("`{}` is of boards or of sheet", piece.name)),
        };
        let (thickness, width, reaches) = of_stock(&stock, papers)?;
        let (base, along_front) = self.outline(piece, thickness)?;
        let next = self.free.plus(&along_front, 1).and(APART);
        let start = std::mem::replace(&mut self.free, next);
        let base = base.from(&start);
        let height = self.size(piece, "height")?;
        let sizes = reaches.iter().map(|reach| reach.word.clone()).collect();
        let size = self.choice(format!("{}.sheet", piece.name), sizes);
        let reaches: Vec<(When, &Reach)> = reaches
            .iter()
            .enumerate()
            .map(|(option, reach)| (size.map(|size| (size, option)).into_iter().collect(), reach))
            .collect();
        let courses = if stock.0 == "board" {
            let gap = self.gap(piece, "gap", Some(0))?;
            Some(self.row(Vec::new(), height.clone(), width, 0, gap))
        } else {
            for (when, reach) in &reaches {
                self.comes_out(when.clone(), height.clone(), reach.high);
                // A size is only taken for what is too high for every narrower one.
                let narrower = reaches.iter().map(|(_, other)| other.high).filter(|&high| high < reach.high).max();
                if let Some(high) = narrower {
                    self.limit(when.clone(), height.clone(), high + 1, BEYOND);
                }
            }
            None
        };
        let words = corner_words(&piece.word("corners", "front through")?, &BOARD_CORNERS)?;
        let choice = self.choice(format!("{}.corners", piece.name), owned(&words));
        let strips = vec![Some((-thickness, 0)); base.count()];
        let lay = |word: &&str| Lay { lines: lines(&base, &strips, word), member: 0, lengthwise: true, square: false };
        let options: Vec<Lay> = words.iter().map(lay).collect();
        for (when, reach) in &reaches {
            self.limit_lines(&base, &options, choice, when, reach.long);
        }
        let outside = base.clone();
        let (bottom, top) = (Sum::default(), height);
        let planned = Planned { thickness, width, courses, choice, options, ..bare(piece, stock, base, outside) };
        Ok(Planned { kind: Kind::Walls, bottom, top, ..planned })
    }

    /// The outline of walls as if nothing stood beside them, and how far it reaches along the front.
    fn outline(&mut self, piece: &Piece, thickness: i128) -> Result<(Outline, Sum), String> {
        let (length, width) = (self.size(piece, "length")?, self.size(piece, "width")?);
        let along_front = length.clone();
        let outline = match piece.word("outline", "rectangle")?.as_str() {
            "rectangle" => Outline::rectangle(length, width),
            "L" => {
                let (front, left) = (self.size(piece, "front-arm")?, self.size(piece, "left-arm")?);
                for arm in [&front, &left] {
                    self.is_there(Vec::new(), arm.and(-2 * thickness));
                }
                Outline::ell(length, width, front, left)
            }
            other => return Err(format!("unknown outline `{other}`")),
        };
        Ok((outline, along_front))
    }

    /// What is lifted together: each piece that is fixed to no other, and all that is fixed to it or to that, nearest first.
    pub fn lifted(&self) -> Vec<Vec<&str>> {
        let fixed = |piece: &Planned| matches!(piece.kind, Kind::Upright | Kind::Level);
        let mut all = Vec::new();
        for first in self.pieces.iter().enumerate().filter(|(_, piece)| !fixed(piece)).map(|(at, _)| at) {
            let mut joined = vec![first];
            let mut looked_at = 0;
            while looked_at < joined.len() {
                let to = joined[looked_at];
                let own = self.pieces.iter().enumerate().filter(|(_, piece)| fixed(piece) && piece.around == Some(to));
                joined.extend(own.map(|(at, _)| at));
                looked_at += 1;
            }
            all.push(joined.into_iter().map(|at| self.pieces[at].name.as_str()).collect());
        }
        all
    }

    fn find(&self, name: &str) -> Result<usize, String> {
        let place = self.pieces.iter().position(|piece| piece.name == name);
        place.ok_or_else(|| format!("no piece is called `{name}`"))
    }

    fn cladding(&mut self, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
        let around = self.find(&piece.word("on", "")?)?;
        let stock = ("board", piece.word("board", "")?);
        let (thickness, width, reaches) = of_stock(&stock, papers)?;
        let longest = reaches.iter().map(|reach| reach.long).max().ok_or("nothing of the board is on sale")?;
        let on = &self.pieces[around];
        let (base, below, top) = (on.outside.clone(), on.bottom.clone(), on.top.clone());
        let clad = clad_faces(piece, &base)?;
        let raised = i128::from(piece.length("off-ground", 0)?);
        let bottom = below.and(raised);
        let height = top.plus(&bottom, -1);
        let gap = self.gap(piece, "gap", None)?;
        let words = corner_words(&piece.word("corners", "front through")?, &BOARD_CORNERS)?;
        let upright = piece.word("boards", "upright")? == "upright";
        let strips: Vec<_> = clad.iter().map(|&clad| clad.then_some((0, thickness))).collect();
        let lay =
            |word: &&str| Lay { lines: lines(&base, &strips, word), member: width, lengthwise: true, square: false };
        let mut options: Vec<Lay> = words.iter().map(lay).collect();
        let choice = self.choice(format!("{}.corners", piece.name), owned(&words));
        let mut courses = None;
        if upright {
            self.comes_out(Vec::new(), height, longest);
            self.ask_lines(&base, &mut options, choice, gap);
        } else {
            courses = Some(self.row(Vec::new(), height, width, 0, gap));
            self.limit_lines(&base, &options, choice, &Vec::new(), longest);
        }
        let by: Vec<i128> = clad.iter().map(|&clad| if clad { thickness } else { 0 }).collect();
        let outside = base.moved(&by);
        let planned = Planned { thickness, width, courses, choice, options, ..bare(piece, stock, base, outside) };
        let kind = if upright { Kind::Upright } else { Kind::Level };
        Ok(Planned { kind, around: Some(around), bottom, top, raised, ..planned })
    }

    fn edging(&mut self, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
        let around = self.find(&piece.word("around", "")?)?;
        let name = piece.word("unit", "")?;
        let unit = papers.unit(&name).ok_or_else(|| format!("no unit is called `{name}`"))?;
        let corner_name = piece.word("corner-unit", &name)?;
        let corner = papers.unit(&corner_name).ok_or_else(|| format!("no unit is called `{corner_name}`"))?;
        let clearance = i128::from(piece.length("clearance", 0)?);
        let base = self.pieces[around].outside.clone();
        let laid = piece.word("laid", "along")?;
        let lengthwise: &[bool] = match laid.as_str() {
            "across" => &[false],
            "any" if unit.length != unit.width => &[true, false],
            _ => &[true],
        };
        let corners = corner_words(&piece.word("corners", "pinwheel")?, &UNIT_CORNERS)?;
        let (mut options, mut words, mut deepest) = (Vec::new(), Vec::new(), 0);
        for &lengthwise in lengthwise {
            let (member, depth) = if lengthwise { (unit.length, unit.width) } else { (unit.width, unit.length) };
            for word in &corners {
                let square = *word == "square";
                if square && (corner.length, corner.width) != (depth, depth) {
                    continue;
                }
                let strip = (clearance, clearance + i128::from(depth));
                deepest = strip.1.max(deepest);
                let lines = lines(&base, &vec![Some(strip); base.count()], word);
                options.push(Lay { lines, member: member.into(), lengthwise, square });
                words.push(format!("{}, {word}", if lengthwise { "along" } else { "across" }));
            }
        }
        if options.is_empty() {
            return Err(format!("`{}` cannot be laid in any way", piece.name));
        }
        let gap = self.gap(piece, "joint", None)?;
        let choice = self.choice(format!("{}.laid", piece.name), words);
        self.ask_lines(&base, &mut options, choice, gap);
        let thick = Length::nm(unit.thickness);
        let sunk = u32::try_from(piece.percent("sunk", 10_000)?).map_err(|_| "sunk by less than nothing")?;
        let top = i128::from((thick - Percent::hundredths(sunk).of(thick)).nanometres());
        let outside = base.moved(&vec![deepest; base.count()]);
        let planned = Planned { choice, options, clearance, ..bare(piece, ("unit", name), base, outside) };
        let (bottom, top) = (Sum::fixed(top - i128::from(unit.thickness)), Sum::fixed(top));
        let corner = Some((corner_name, corner.thickness.into()));
        Ok(Planned { kind: Kind::Ring, around: Some(around), bottom, top, corner, ..planned })
    }
}

fn bare(piece: &Piece, stock: (&'static str, String), base: Outline, outside: Outline) -> Planned {
    Planned {
        name: piece.name.clone(),
        kind: Kind::Walls,
        stock,
        around: None,
        base,
        outside,
        bottom: Sum::default(),
        top: Sum::default(),
        thickness: 0,
        courses: None,
        width: 0,
        choice: None,
        options: Vec::new(),
        raised: 0,
        corner: None,
        clearance: 0,
    }
}

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_string()).collect()
}

/// How long and how high a part can be that comes out of one size of a stock.
struct Reach {
    word: String,
    long: i128,
    high: i128,
}

/// Thickness, width (nothing for a sheet), and what its sizes give.
fn of_stock(stock: &(&str, String), papers: &Papers) -> Result<(i128, i128, Vec<Reach>), String> {
    let none = || format!("no {} is called `{}`", stock.0, stock.1);
    let trim = papers.trim;
    if stock.0 == "board" {
        let board = papers.board(&stock.1).ok_or_else(none)?;
        let there = board.lengths.iter().filter(|sold| sold.stock != Some(0));
        let longest = there.map(|sold| sold.length).max().unwrap_or(0) - trim;
        let reach = Reach { word: stock.1.clone(), long: longest.into(), high: board.width.into() };
        return Ok((board.thickness.into(), board.width.into(), vec![reach]));
    }
    let sheet = papers.sheet(&stock.1).ok_or_else(none)?;
    let reach = |&(length, width): &(i64, i64)| {
        let show = |side: i64| papers.tape.show(Length::nm(side));
        let word = format!("{} × {}", show(length), show(width));
        Reach { word, long: (length - trim).into(), high: (width - trim).into() }
    };
    let sold: Vec<(i64, i64)> = sheet.sizes.iter().map(|sold| (sold.length, sold.width)).collect();
    Ok((sheet.thickness.into(), 0, largest(&sold).iter().map(reach).collect()))
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

fn clad_faces(piece: &Piece, base: &Outline) -> Result<Vec<bool>, String> {
    let Some(names) = piece.faces("faces")? else { return Ok(vec![true; base.count()]) };
    let known: BTreeMap<&str, usize> = base.sides.iter().enumerate().map(|(at, side)| (side.name, at)).collect();
    let mut clad = vec![false; base.count()];
    for name in names {
        let side = known.get(name.as_str()).ok_or_else(|| format!("no face is called `{name}`"))?;
        clad[*side] = true;
    }
    Ok(clad)
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
