//! The ways to build a plan: the plan with the keys changed that a way states.

use super::form::{Form, Table, text, whole};

/// The plan as the way has it, and name and label of all ways.
pub(super) fn built(mut plan: Table, way: Option<&str>) -> Result<(Table, Vec<(String, String)>), String> {
    let Some(form) = plan.get("way") else {
        return if way.is_none() { Ok((plan, Vec::new())) } else { Err("the plan states no ways to build it".into()) };
    };
    let stated = form.table().ok_or("the ways of the plan are no tables")?.clone();
    let mut names = vec![("as-written".to_string(), "as written".to_string())];
    for (name, form) in &stated.entries {
        let label = form.table().and_then(|table| table.get("label")).and_then(Form::text).unwrap_or(name);
        names.push((name.clone(), label.to_string()));
    }
    match way {
        Some("as-written") => return Ok((plan, names)),
        None => return Err("the record does not say which way to build the plan it is about".into()),
        Some(_) => {}
    }
    let way = way.and_then(|way| stated.get(way)).and_then(Form::table).ok_or("no way of the plan is called so")?;
    let Some((_, Form::Table(pieces))) = plan.entries.iter_mut().find(|entry| entry.0 == "piece") else {
        return Err("the plan has no piece".into());
    };
    leave_out(pieces, way)?;
    for (name, form) in way.get("piece").and_then(Form::table).map_or(&[][..], |table| &table.entries) {
        let keys = form.table().ok_or("a piece of a way that is no table")?;
        let Some((_, Form::Table(piece))) = pieces.entries.iter_mut().find(|piece| piece.0 == *name) else {
            pieces.entries.push((name.clone(), form.clone()));
            continue;
        };
        leave_out(piece, keys)?;
        for (key, value) in keys.entries.iter().filter(|entry| entry.0 != "without") {
            piece.entries.retain(|own| own.0 != *key);
            piece.entries.push((key.clone(), value.clone()));
        }
    }
    Ok((plan, names))
}

/// Takes out of a table what the list `without` of another names.
fn leave_out(table: &mut Table, by: &Table) -> Result<(), String> {
    let Some(form) = by.get("without") else { return Ok(()) };
    let Form::List(items) = form else { return Err("`without` is no list".into()) };
    for item in items {
        let name = text(Some(item))?;
        table.entries.retain(|entry| entry.0 != name);
    }
    Ok(())
}

/// Minutes for a cut, a setting of the saw, measuring a board, a screw, a unit.
pub(super) fn minutes(shed: &Table) -> Result<[i64; 5], String> {
    let rates = shed.get("rates").and_then(Form::table);
    let of = |key: &str, usual: i64| rates.and_then(|table| table.get(key)).map_or(Ok(usual), whole);
    Ok([
        of("cut-minutes", 2)?,
        of("stop-minutes", 5)?,
        of("measure-minutes", 1)?,
        of("screw-minutes", 1)?,
        of("unit-minutes", 3)?,
    ])
}
