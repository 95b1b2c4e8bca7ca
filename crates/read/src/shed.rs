//! The shed: the saw, what a comfortable pattern keeps back, and who is there to lift.

use crate::document::{Document, Form, Table};
use crate::files::{HANDS, RESERVE, SAW, SHED};
use crate::plan::is_known_format;
use crate::values::{Reader, as_hint};
use model::problem::{File, Problem};
use model::schema::{Default, Schema, Values};
use model::stock::Shed;

/// Reads a shed: what there is, and what is wrong with it.
pub(crate) fn read(document: &Document) -> (Option<Shed>, Vec<Problem>) {
    let mut reader = Reader::new(File::Shed, &document.top);
    if !document.sound || !is_known_format(&mut reader, &document.top) {
        return (None, reader.problems);
    }
    reader.table(&document.top, &SHED, &["saw", "reserve", "hands"], "the shed");
    let saw = single(&mut reader, &document.top, &SAW);
    let reserve = single(&mut reader, &document.top, &RESERVE);
    let hands = single(&mut reader, &document.top, &HANDS);
    let shed = match (saw, reserve, hands) {
        (Some(saw), Some(reserve), Some(hands)) => shed(&saw, &reserve, &hands),
        _ => None,
    };
    (shed, reader.problems)
}

fn shed(saw: &Values, reserve: &Values, hands: &Values) -> Option<Shed> {
    Some(Shed {
        kerf: saw.length("kerf")?,
        trim: saw.length("trim")?,
        reserve_per_cut: reserve.length("per-cut")?,
        reserve_per_board: reserve.length("per-board")?,
        lift: hands.mass("lift"),
        people: hands.count("people")?,
    })
}

/// Reads a table that stands once; left out it has its defaults, if all its keys have.
fn single(reader: &mut Reader, top: &Table, schema: &'static Schema) -> Option<Values> {
    let called = format!("`[{}]`", schema.name);
    let Some(item) = top.get(schema.name) else {
        let needed = schema.fields.iter().find(|field| matches!(field.default, Default::Required));
        let Some(needed) = needed else {
            let empty = Table { bytes: 0..0, entries: Vec::new() };
            return Some(reader.table(&empty, schema, &[], &called));
        };
        let problem = Problem::new(format!("the shed lacks the table {called}"))
            .expected(format!("expected a table {called} with `{}` in this file", needed.key))
            .hint(as_hint(needed));
        return reader.wrong(&(0..0), problem);
    };
    match &item.form {
        Form::Table(table) => Some(reader.table(table, schema, &[], &called)),
        _ => {
            let problem = Problem::new(format!("`{}` is {}", schema.name, item.what()))
                .expected(format!("expected a table {called}"));
            reader.wrong(&item.bytes, problem)
        }
    }
}
