//! Boards and sheets: their sizes, single boards with bad stretches, and prices by measure.

use super::{hold_distinct, label, material};
use crate::nominal;
use crate::plan::Named;
use crate::suggest::quote;
use crate::values::Reader;
use measure::{Length, Money};
use model::price::{Measure, Measured};
use model::problem::Problem;
use model::schema::Values;
use model::stock::{Board, BoardLength, From, Sheet, SheetSize, Treated};

/// The most bad stretches on one board.
const MOST_BAD: usize = 8;

/// The keys of prices by measure, and what each is for.
const BY_MEASURE: [(&str, Measure); 4] = [
    ("per-metre", Measure::Metre),
    ("per-foot", Measure::Foot),
    ("per-board-foot", Measure::BoardFoot),
    ("per-square-metre", Measure::SquareMetre),
];

pub(super) fn board(reader: &mut Reader, named: &Named<'_>, values: &Values) -> Option<Board> {
    let (thickness, width) = (values.length("thickness")?, values.length("width")?);
    if values.word("really") != Some("true") {
        reader.problems.extend(nominal::question(named, values, thickness, width));
    }
    let thin_edge = values.length("thin-edge");
    if thin_edge.is_some_and(|edge| edge >= thickness) {
        let thick = Problem::new(format!("the thin edge of `{}` is as thick as the board", quote(named.name)));
        let hint = "`thickness` is that of the thick edge; leave `thin-edge` out if both edges are alike";
        reader.problems.push(thick.at(&values.place_of("thin-edge")).hint(hint));
    }
    let rate = rate(reader, named, values);
    let sold = [values.length("sold-width").unwrap_or(width), values.length("sold-thickness").unwrap_or(thickness)];
    let priced = |entry: &Values, length: Length| price(entry, rate, [length, sold[0], sold[1]]);
    let (on_sale, each) = (values.list("lengths").unwrap_or_default(), values.list("each").unwrap_or_default());
    if on_sale.is_empty() && each.is_empty() {
        // A list that is there and could not be read has been reported.
        if !values.has("lengths") && !values.has("each") && reader.problems.is_empty() {
            let problem = Problem::new(format!("the board `{}` lacks the key `lengths`", quote(named.name)))
                .expected("expected `lengths` or `each` in here: a list of tables with `length`")
                .hint("`lengths`: the lengths on sale; `each`: single boards");
            reader.problems.push(problem.at(&values.place));
        }
        return None;
    }
    hold_distinct(reader, &on_sale, "lengths", |entry| entry.length("length").map(|length| (length, Length::ZERO)));
    let mut lengths = Vec::new();
    for entry in &on_sale {
        let length = entry.length("length")?;
        let (price, by) = priced(entry, length);
        lengths.push(BoardLength { by, stock: entry.count("stock"), ..BoardLength::on_sale(length, price) });
    }
    hold_names(reader, &each);
    for entry in &each {
        let length = entry.length("length")?;
        let (price, by) = priced(entry, length);
        let bad = bad(reader, entry, length)?;
        let name = Some(entry.text("name")?);
        lengths.push(BoardLength { by, stock: Some(1), name, bad, ..BoardLength::on_sale(length, price) });
    }
    Some(Board {
        name: named.name.to_owned(),
        label: label(named, values),
        thickness,
        thin_edge,
        width,
        density: material(values),
        treated: values.word("treated").and_then(Treated::of_word),
        lengths,
        place: named.place.clone(),
    })
}

pub(super) fn sheet(reader: &mut Reader, named: &Named<'_>, values: &Values) -> Option<Sheet> {
    let on_sale = values.list("sizes")?;
    let size = |entry: &Values| Some((entry.length("length")?, entry.length("width")?));
    hold_distinct(reader, &on_sale, "sizes", size);
    let thickness = values.length("thickness")?;
    let rate = values.money("per-square-metre").map(|rate| (Measure::SquareMetre, rate));
    let mut sizes = Vec::new();
    for entry in &on_sale {
        let (length, width) = size(entry)?;
        let (price, by) = price(entry, rate, [length, width, thickness]);
        sizes.push(SheetSize { by, stock: entry.count("stock"), ..SheetSize::on_sale(length, width, price) });
    }
    Some(Sheet {
        name: named.name.to_owned(),
        label: label(named, values),
        thickness,
        density: material(values),
        treated: values.word("treated").and_then(Treated::of_word),
        sizes,
        place: named.place.clone(),
    })
}

/// The price by measure, of which there may be one.
fn rate(reader: &mut Reader, named: &Named<'_>, values: &Values) -> Option<(Measure, Money)> {
    let mut there = BY_MEASURE.iter().filter(|(key, _)| values.has(key));
    let first = there.next()?;
    if let Some(second) = there.next() {
        let problem =
            Problem::new(format!("the board `{}` has both `{}` and `{}`", quote(named.name), first.0, second.0))
                .expected("expected one price by measure")
                .hint("keep the one that the shop goes by");
        reader.problems.push(problem.at(&values.place_of(second.0)));
    }
    values.money(first.0).map(|rate| (first.1, rate))
}

/// A price of its own, or by measure, or none; and where it comes from if it is by measure.
fn price(entry: &Values, rate: Option<(Measure, Money)>, sides: [Length; 3]) -> (Option<Money>, Option<Measured>) {
    match (entry.money("price"), rate) {
        (None, Some((measure, rate))) => {
            let by = Measured { measure, rate, sides };
            (by.price(), Some(by))
        }
        (price, _) => (price, None),
    }
}

/// Reports each name that two single boards of a kind have. Their numbers are called by it with hyphens for spaces, points and
/// commas, so names that differ in these alone are the same.
fn hold_names(reader: &mut Reader, each: &[Values]) {
    let flat = |entry: &Values| Some(model::why::flat(&entry.text("name")?));
    for (at, entry) in each.iter().enumerate() {
        let Some(name) = entry.text("name") else { continue };
        if each[..at].iter().any(|earlier| flat(earlier) == flat(entry)) {
            let problem = Problem::new(format!("`each` has two boards called `{}`", quote(&name)))
                .expected("expected each name once")
                .hint("write on each board what it is called, and here the same");
            reader.problems.push(problem.at(&entry.place_of("name")));
        }
    }
}

/// The bad stretches of a board so long: inside it, in order, apart from one another.
pub(crate) fn bad(reader: &mut Reader, entry: &Values, length: Length) -> Option<Vec<[Length; 2]>> {
    let list = match entry.list("bad") {
        Some(list) => list,
        // Left out, or reported already.
        None if entry.has("bad") => return None,
        None => return Some(Vec::new()),
    };
    if list.len() > MOST_BAD {
        let problem = Problem::new(format!("`bad` has {} entries", list.len()))
            .expected(format!("expected at most {MOST_BAD}"))
            .hint("join stretches that lie close to one another");
        reader.problems.push(problem.at(&entry.place_of("bad")));
        return None;
    }
    let mut bad: Vec<[Length; 2]> = Vec::new();
    for stretch in &list {
        let (from, to) = (stretch.length("from")?, stretch.length("to")?);
        let least = bad.last().map_or(Length::ZERO, |last| last[1]);
        let (message, expected) = if from >= to {
            (
                format!("a bad stretch from {} to {} is none", reader.show(from), reader.show(to)),
                "`from` below `to`".into(),
            )
        } else if from < least {
            (
                format!("a bad stretch begins at {}, before the one before it ends", reader.show(from)),
                format!("at least {}", reader.show(least)),
            )
        } else if to > length {
            (
                format!("a bad stretch ends at {}, and the board is {} long", reader.show(to), reader.show(length)),
                format!("at most {}", reader.show(length)),
            )
        } else {
            bad.push([from, to]);
            continue;
        };
        let problem = Problem::new(message)
            .expected(format!("expected {expected}"))
            .hint("measure all stretches from the one end that is marked, and write them in that order");
        reader.problems.push(problem.at(&stretch.place));
        return None;
    }
    Some(bad)
}

/// An offcut of a board that lies in the shed.
pub(crate) fn offcut(name: &str, length: Length, count: u32, bad: Vec<[Length; 2]>) -> BoardLength {
    let nothing = Some(Money::hundredths(0));
    let name = Some(name.to_owned());
    BoardLength { stock: Some(count), name, bad, from: From::Shed, ..BoardLength::on_sale(length, nothing) }
}

/// An offcut of a sheet that lies in the shed.
pub(crate) fn offcut_of_sheet(name: &str, length: Length, width: Length, count: u32) -> SheetSize {
    let nothing = Some(Money::hundredths(0));
    let name = Some(name.to_owned());
    SheetSize { stock: Some(count), name, from: From::Shed, ..SheetSize::on_sale(length, width, nothing) }
}
