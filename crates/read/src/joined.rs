//! What the shed names of the yard: offcuts go behind the sizes of their kind, and what is left of packs finds its shelf.

use crate::plan::is_known;
use crate::shed::{NamedThing, ShedText};
use crate::suggest::{list, nearest, quote};
use crate::values::Reader;
use crate::yard::{Shelves, bad, offcut, offcut_of_sheet};
use measure::Length;
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::{Left, Yard};

/// The shelves that an offcut can come from, and those that something can be left of.
const CUT: [StockKind; 2] = [StockKind::Board, StockKind::Sheet];
const PACKED: [StockKind; 6] =
    [StockKind::Unit, StockKind::Screw, StockKind::Bag, StockKind::Roll, StockKind::Finish, StockKind::Fitting];

/// Puts the offcuts into the yard and what is left into the shed. What is wrong goes to the shed's reader.
pub(crate) fn join(text: &mut ShedText, shelves: Option<&Shelves>, yard: &mut Option<Yard>) {
    let Some(shelves) = shelves else { return };
    let mut left = Vec::new();
    for thing in &text.named {
        let kinds: &[StockKind] = if thing.offcut { &CUT } else { &PACKED };
        let Some(kind) = kind_of(&mut text.reader, thing, kinds, shelves) else { continue };
        if thing.offcut {
            put_offcut(&mut text.reader, thing, kind, yard.as_mut());
        } else {
            left.extend(left_of(&mut text.reader, thing, kind, yard.as_ref()));
        }
    }
    if let Some(shed) = &mut text.shed {
        shed.left = left;
    }
}

/// The shelf on which the thing's `of` stands; the first of several.
fn kind_of(reader: &mut Reader, thing: &NamedThing, kinds: &[StockKind], shelves: &Shelves) -> Option<StockKind> {
    let of = thing.values.text("of")?;
    let has = |kind: &StockKind| shelves.get(kind).is_some_and(|names| is_known(&of, names));
    if let Some(kind) = kinds.iter().find(|kind| has(kind)) {
        return Some(*kind);
    }
    let words: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
    let any = words.iter().map(|word| format!("`{word}`")).collect::<Vec<String>>().join(", ");
    let names: Vec<&str> = kinds.iter().filter_map(|kind| shelves.get(kind)).flatten().map(String::as_str).collect();
    let elsewhere = shelves.iter().find(|(_, names)| is_known(&of, names)).map(|(kind, _)| kind.word());
    let hint = match (elsewhere, nearest(&of, &names)) {
        (Some(other), _) => format!("the yard has a {other} of that name, and one of {any} is wanted here"),
        (None, Some(near)) => format!("did you mean `{near}`?"),
        (None, None) if names.is_empty() => format!("the yard has none of {any}"),
        (None, None) => format!("the yard has {}", list(&names, "and")),
    };
    let problem = Problem::new(format!("nothing called `{}` in the yard is one of {any}", quote(&of)))
        .expected("expected what it was cut or taken from, by its name in the yard")
        .hint(hint);
    reader.problems.push(problem.at(&thing.values.place_of("of")));
    None
}

fn put_offcut(reader: &mut Reader, thing: &NamedThing, kind: StockKind, yard: Option<&mut Yard>) {
    let values = &thing.values;
    let wrong = match (kind, values.has("width"), values.has("bad")) {
        (StockKind::Sheet, false, _) => {
            Some(("lacks the key `width`", "`width` in here: a sheet has two sides", "length"))
        }
        (StockKind::Board, true, _) => Some(("has a `width`", "the width of its board", "width")),
        (StockKind::Sheet, _, true) => Some(("has `bad` stretches", "a sheet without", "bad")),
        _ => None,
    };
    if let Some((is, expected, key)) = wrong {
        let problem = Problem::new(format!("the offcut `{}` of a {} {is}", quote(&thing.name), kind.word()))
            .expected(format!("expected {expected}"))
            .hint("a board is as wide as all of its kind; a sheet is measured along and across the grain, to the sound part");
        reader.problems.push(problem.at(&values.place_of(key)));
        return;
    }
    let (Some(length), Some(count), Some(of)) = (values.length("length"), values.count("count"), values.text("of"))
    else {
        return;
    };
    let Some(bad) = bad(reader, values, length) else { return };
    let Some(yard) = yard else { return };
    if let (StockKind::Sheet, Some(width)) = (kind, values.length("width")) {
        let sheet = yard.sheets.iter_mut().find(|sheet| sheet.name == of);
        sheet.into_iter().for_each(|sheet| sheet.sizes.push(offcut_of_sheet(&thing.name, length, width, count)));
    } else {
        let board = yard.boards.iter_mut().find(|board| board.name == of);
        board.into_iter().for_each(|board| board.lengths.push(offcut(&thing.name, length, count, bad.clone())));
    }
}

/// Cubic millimetres in a thousandth of a litre; nanometres in a thousandth of a metre.
const MILLILITRE: i128 = 1_000;
const MILLIMETRE: i128 = 1_000_000;

fn left_of(reader: &mut Reader, thing: &NamedThing, kind: StockKind, yard: Option<&Yard>) -> Option<Left> {
    let values = &thing.values;
    let needed = match kind {
        StockKind::Bag | StockKind::Finish => "litres",
        StockKind::Roll => "metres",
        _ => "count",
    };
    let mut wrong = ["count", "litres", "metres"].into_iter().filter(|key| (*key == needed) != values.has(key));
    if let Some(key) = wrong.next() {
        let is = if key == needed { format!("lacks the key `{needed}`") } else { format!("has `{key}`") };
        let problem = Problem::new(format!("what is left of the {} `{}` {is}", kind.word(), quote(&thing.name)))
            .expected(format!("expected `{needed}`, and no other amount"))
            .hint("units, screws and fittings are counted, bags and tins go by litres, rolls by metres");
        reader.problems.push(problem.at(&values.place_of(key)));
        return None;
    }
    let amount = match kind {
        StockKind::Bag | StockKind::Finish => i128::from(values.decimal("litres")?) * MILLILITRE,
        StockKind::Roll => i128::from(values.decimal("metres")?) * MILLIMETRE,
        _ => values.count("count")?.into(),
    };
    let of = yard?.find(kind, &values.text("of")?)?;
    let length = values.length("length");
    if (kind == StockKind::Screw) != length.is_some() {
        let is = if length.is_some() { "has a `length`" } else { "lacks the key `length`" };
        let problem = Problem::new(format!("what is left of the {} `{}` {is}", kind.word(), quote(&thing.name)))
            .expected("expected a `length` for screws, and for nothing else")
            .hint("`length`: of screws: how long they are");
        reader.problems.push(problem.at(&values.place_of("length")));
        return None;
    }
    if let Some(length) = length {
        hold_length(
            reader,
            thing,
            length,
            &yard?.screws[of.place].lengths.iter().map(|sold| sold.length).collect::<Vec<_>>(),
        )?;
    }
    Some(Left { name: thing.name.clone(), of, length, amount })
}

/// Screws that are left have a length that the yard sells: otherwise none would ever be taken.
fn hold_length(reader: &mut Reader, thing: &NamedThing, length: Length, sold: &[Length]) -> Option<()> {
    if sold.contains(&length) {
        return Some(());
    }
    let all: Vec<String> = sold.iter().map(|length| reader.show(*length)).collect();
    let problem = Problem::new(format!("the yard has no such screws of {}", reader.show(length)))
        .expected("expected a length that the yard sells")
        .hint(format!("it has {}", all.join(", ")));
    reader.problems.push(problem.at(&thing.values.place_of("length")));
    None
}
