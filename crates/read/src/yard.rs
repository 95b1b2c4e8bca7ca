//! The yard: boards, sheets and units with their sizes and prices.

mod board;
mod packs;

use crate::document::{Document, Table};
use crate::files::{BAG, BOARD, DELIVERY, FINISH, FITTING, ROLL, SCREW, SHEET, UNIT, YARD, YARD_CUTS};
use crate::limits::LIMITS;
use crate::plan::{Named, is_known_format, named_tables};
use crate::suggest::{by_nearness, list_up_to, nearest, quote};
use crate::values::Reader;
pub(crate) use board::{bad, offcut, offcut_of_sheet};
use board::{board, sheet};
use measure::{Length, Percent};
use model::problem::{File, Problem};
use model::schema::{Schema, StockKind, Values};
use model::stock::{Bag, Board, Delivery, Finish, Fitting, Material, Roll, Screw, Sheet, Unit, Yard, YardCuts};
use packs::{bag, finish, fitting, screw, unit_packs};
use std::collections::BTreeMap;

/// What a yard's text says, as far as it could be read.
pub(crate) struct YardText {
    /// The yard, if nothing is missing from it.
    pub yard: Option<Yard>,
    /// The names on each shelf, also of what could not be read; `None` if the text could not be parsed.
    pub shelves: Option<Shelves>,
    /// What is wrong with it.
    pub problems: Vec<Problem>,
}

/// The names on each shelf, in the order of the text.
pub(crate) type Shelves = BTreeMap<StockKind, Vec<String>>;

/// Reads a yard; `materials` are the names whose density the handbook has.
pub(crate) fn read(document: &Document, materials: &[&str]) -> YardText {
    let mut reader = Reader::new(File::Yard, &document.top);
    if !document.sound || !is_known_format(&mut reader, &document.top) {
        return YardText { yard: None, shelves: None, problems: reader.problems };
    }
    const TABLES: [&str; 10] =
        ["board", "sheet", "unit", "screw", "bag", "roll", "finish", "fitting", "delivery", "cuts"];
    let top = reader.table(&document.top, &YARD, &TABLES, "the yard");
    let currency = currency(&mut reader, &top);
    let tax = tax(&mut reader, &document.top, &top);
    let delivery = reader.maybe_single(&document.top, &DELIVERY);
    let cuts = reader.maybe_single(&document.top, &YARD_CUTS);
    let mut shelves = Shelves::new();
    let mut shelf = |reader: &mut Reader, kind: StockKind, schema| {
        let read = shelf(reader, document, kind, schema, materials);
        shelves.insert(kind, read.iter().map(|(named, _)| named.name.to_owned()).collect());
        read
    };
    let boards = shelf(&mut reader, StockKind::Board, &BOARD);
    let sheets = shelf(&mut reader, StockKind::Sheet, &SHEET);
    let units = shelf(&mut reader, StockKind::Unit, &UNIT);
    let screws = shelf(&mut reader, StockKind::Screw, &SCREW);
    let bags = shelf(&mut reader, StockKind::Bag, &BAG);
    let rolls = shelf(&mut reader, StockKind::Roll, &ROLL);
    let finishes = shelf(&mut reader, StockKind::Finish, &FINISH);
    let fittings = shelf(&mut reader, StockKind::Fitting, &FITTING);
    let boards: Option<Vec<Board>> = boards.iter().map(|(named, values)| board(&mut reader, named, values)).collect();
    let sheets: Option<Vec<Sheet>> = sheets.iter().map(|(named, values)| sheet(&mut reader, named, values)).collect();
    let units: Option<Vec<Unit>> = units.iter().map(|(named, values)| unit(&mut reader, named, values)).collect();
    let screws: Option<Vec<Screw>> = screws.iter().map(|(named, values)| screw(&mut reader, named, values)).collect();
    let bags: Option<Vec<Bag>> = bags.iter().map(|(named, values)| bag(&mut reader, named, values)).collect();
    let rolls: Option<Vec<Roll>> = rolls.iter().map(|(named, values)| roll(named, values)).collect();
    let finishes: Option<Vec<Finish>> =
        finishes.iter().map(|(named, values)| finish(&mut reader, named, values)).collect();
    let fittings: Option<Vec<Fitting>> =
        fittings.iter().map(|(named, values)| fitting(&mut reader, named, values)).collect();
    let whole = || {
        let (boards, sheets, units) = (boards?, sheets?, units?);
        let (screws, bags, rolls, finishes, fittings) = (screws?, bags?, rolls?, finishes?, fittings?);
        let (delivery, cuts) = (delivery.as_ref().and_then(delivered), cuts.as_ref().and_then(yard_cuts));
        Some(Yard {
            currency: currency?,
            tax,
            delivery,
            cuts,
            boards,
            sheets,
            units,
            screws,
            bags,
            rolls,
            finishes,
            fittings,
        })
    };
    let yard = whole();
    YardText { yard, shelves: Some(shelves), problems: reader.problems }
}

fn shelf<'t>(
    reader: &mut Reader,
    document: &'t Document,
    kind: StockKind,
    schema: &'static Schema,
    materials: &[&str],
) -> Vec<(Named<'t>, Values)> {
    let tables = named_tables(reader, &document.top, kind.word(), LIMITS.shelf);
    let mut read = Vec::new();
    for named in tables {
        let called = format!("the {} `{}`", kind.word(), quote(named.name));
        let values = reader.table(named.table, schema, &[], &called);
        hold_material(reader, &called, &values, materials);
        read.push((named, values));
    }
    read
}

fn currency(reader: &mut Reader, top: &Values) -> Option<String> {
    let written = top.text("currency")?;
    if written.len() == 3 && written.bytes().all(|b| b.is_ascii_uppercase()) {
        return Some(written);
    }
    let problem = Problem::new(format!("`currency` cannot be `{}`", quote(&written)))
        .expected("expected three capitals")
        .hint("write the code of the currency, such as `GBP`, `EUR` or `USD` (ISO 4217)");
    reader.problems.push(problem.at(&top.place_of("currency")));
    None
}

/// What is added to the prices; the two keys must agree. Where one of them could not be read, that has been said, and what the
/// other lacks is not known.
fn tax(reader: &mut Reader, text: &Table, top: &Values) -> Option<Percent> {
    let unread = |key: &str| text.get(key).is_some() && !top.has(key);
    if unread("prices") || unread("tax") {
        return None;
    }
    let (added, tax) = (top.word("prices") == Some("without tax"), top.percent("tax"));
    let problem = match (added, tax.is_some()) {
        (true, false) => Problem::new("the prices are without tax, and `tax` is missing")
            .expected("expected `tax` in this file: a share such as `\"20 %\"`")
            .hint("`tax`: the tax on prices without it; or write `prices = \"with tax\"`"),
        (false, true) => Problem::new("`tax` is there, and the prices are with tax")
            .expected("expected one of the two")
            .hint("write `prices = \"without tax\"` if it comes on top, and leave `tax` out otherwise"),
        _ => return tax,
    };
    reader.problems.push(problem.at(&top.place_of(if added { "prices" } else { "tax" })));
    None
}

fn delivered(values: &Values) -> Option<Delivery> {
    Some(Delivery { price: values.money("price")?, free_from: values.money("free-from") })
}

fn yard_cuts(values: &Values) -> Option<YardCuts> {
    Some(YardCuts {
        price: values.money("price")?,
        free: values.count("free")?,
        accuracy: values.length("accuracy")?,
        kerf: values.length("kerf")?,
    })
}

fn hold_material(reader: &mut Reader, called: &str, values: &Values, materials: &[&str]) {
    let Some(name) = values.text("material") else { return };
    let place = values.place_of("material");
    if values.has("density") {
        let problem = Problem::new(format!("{called} has both `material` and `density`"))
            .expected("expected one of the two")
            .hint("keep `density` if it was weighed, and `material` otherwise");
        reader.problems.push(problem.at(&place));
    }
    if !materials.contains(&name.as_str()) {
        reader.problems.push(unknown_material(&name, materials).at(&place));
    }
}

fn unknown_material(name: &str, materials: &[&str]) -> Problem {
    const SHOWN: usize = 30;
    let meant = nearest(name, materials).map_or(String::new(), |near| format!("did you mean `{near}`? — "));
    let known = list_up_to(SHOWN, &by_nearness(name, materials), "and");
    Problem::new(format!("unknown material `{}`", quote(name)))
        .expected("expected a material of the handbook")
        .hint(format!(
            "{meant}the handbook has, nearest first: {known}; for another write `density` in kg/m³ instead, or leave the \
             line out if the weight does not matter"
        ))
}

fn material(values: &Values) -> Option<Material> {
    let stated = values.density("density").map(Material::Stated);
    stated.or_else(|| values.text("material").map(Material::Named))
}

fn label(named: &Named<'_>, values: &Values) -> String {
    values.text("label").unwrap_or_else(|| named.name.to_owned())
}

fn unit(reader: &mut Reader, named: &Named<'_>, values: &Values) -> Option<Unit> {
    let (length, width) = (values.length("length")?, values.length("width")?);
    if width > length {
        let problem = Problem::new(format!(
            "the unit `{}` is wider than long: {} by {}",
            quote(named.name),
            reader.show(width),
            reader.show(length)
        ))
        .expected(format!("expected at most the length, {}", reader.show(length)))
        .hint("`length` is the longer side seen from above: swap the two");
        reader.problems.push(problem.at(&values.place_of("width")));
    }
    Some(Unit {
        name: named.name.to_owned(),
        label: label(named, values),
        length,
        width,
        thickness: values.length("thickness")?,
        packs: unit_packs(reader, values)?,
        mass: values.mass("mass"),
        density: material(values),
        spare: values.percent("spare")?,
        place: named.place.clone(),
    })
}

fn roll(named: &Named<'_>, values: &Values) -> Option<Roll> {
    Some(Roll {
        name: named.name.to_owned(),
        label: label(named, values),
        width: values.length("width")?,
        price: values.money("price"),
        place: named.place.clone(),
    })
}

/// Reports each size that stands twice in a list: two prices for one thing.
fn hold_distinct(reader: &mut Reader, list: &[Values], key: &str, size: impl Fn(&Values) -> Option<(Length, Length)>) {
    for (at, entry) in list.iter().enumerate() {
        let Some(this) = size(entry) else { continue };
        if list[..at].iter().any(|earlier| size(earlier) == Some(this)) {
            let shown = match this {
                (length, Length::ZERO) => reader.show(length),
                (length, width) => format!("{} by {}", reader.show(length), reader.show(width)),
            };
            let problem = Problem::new(format!("`{key}` has {shown} twice"))
                .expected("expected each size once")
                .hint("keep the entry with the right price");
            reader.problems.push(problem.at(&entry.place));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thirty_materials_are_listed_and_the_rest_is_counted() {
        let names: Vec<String> = (10..50).map(|number| format!("timber-{number}")).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let hint = |known: &[&str]| unknown_material("timber-4x", known).hint.expect("a hint");
        let all = hint(&names[..30]);
        assert!(names[..30].iter().all(|name| all.contains(&format!("`{name}`"))) && !all.contains("more"), "{all}");
        let first = hint(&names);
        assert!(first.contains("nearest first: `timber-40`") && first.contains(" and 10 more;"), "{first}");
    }
}
