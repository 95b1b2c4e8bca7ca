//! One line: read and written.

use crate::entry::{Entry, Holds, Shelf, What};
use crate::fields::{Fields, Wrong, shown};
use measure::{Length, Tape, Unit};
use std::fmt::Write;

/// Reads one line.
pub(crate) fn read(line: &str) -> Result<Entry, Wrong> {
    let mut fields = Fields::of(line)?;
    let number = fields.count("n", 1)?;
    let word = fields.text("what")?;
    let plan = fields.text("plan")?;
    if plan.len() != 16 || !plan.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f')) {
        return Err("`plan` is not the first 16 digits of a digest".to_owned().into());
    }
    let cut_off = if fields.has("cut-off") { fields.count("cut-off", 1)? } else { 0 };
    let what = what(&word, &mut fields)?;
    fields.end()?;
    Ok(Entry { number, plan, cut_off, what })
}

fn what(word: &str, fields: &mut Fields) -> Result<What, String> {
    Ok(match word {
        "only" => What::Only {
            board: fields.text("board")?,
            length: fields.length("length")?,
            left: fields.count("left", 0)?,
        },
        "bought" => What::Bought {
            board: fields.text("board")?,
            length: fields.length("length")?,
            count: fields.count("count", 1)?,
        },
        "width" => {
            What::Width { board: fields.text("board")?, over: fields.count("over", 1)?, reads: fields.length("reads")? }
        }
        "thickness" => {
            let shelf = if fields.has("sheet") { Shelf::Sheet } else { Shelf::Board };
            What::Thickness { shelf, name: fields.text(shelf.word())?, reads: fields.length("reads")? }
        }
        "true-length" => What::TrueLength {
            board: fields.text("board")?,
            length: fields.length("length")?,
            reads: fields.lengths("reads")?,
        },
        "kerf" => What::Kerf { reads: fields.length("reads")? },
        "units" => units(fields)?,
        "cut" => cut(fields)?,
        "wrong" => What::Wrong {
            part: fields.text("part")?,
            from: if fields.has("from") { Some(fields.count("from", 1)?) } else { None },
            length: fields.length("length")?,
            holds: fields.holds("holds")?,
        },
        "took" => What::Took {
            entry: fields.count("entry", 1)?,
            way: fields.way()?,
            parts: if fields.has("parts") { fields.texts("parts")? } else { Vec::new() },
            length: if fields.has("length") { Some(fields.length("length")?) } else { None },
            holds: if fields.has("holds") { fields.holds("holds")? } else { Holds::new() },
        },
        "undo" => What::Undo { entry: fields.count("entry", 1)? },
        other => return Err(format!("`{}` is no kind of entry that is known", shown(other))),
    })
}

fn units(fields: &mut Fields) -> Result<What, String> {
    let (unit, over, along) = (fields.text("unit")?, fields.count("over", 1)?, fields.along()?);
    let (joint, reads) = (fields.gap("joint")?, fields.length("reads")?);
    // At most 10^6 joints of 10 km are 10^19 nm, beyond an i64.
    let joints = i128::from(over - 1) * i128::from(joint.nanometres());
    if i128::from(reads.nanometres()) <= joints {
        return Err("`reads` is no more than its joints take".into());
    }
    Ok(What::Units { unit, over, joint, along, reads })
}

fn cut(fields: &mut Fields) -> Result<What, String> {
    let (parts, length, holds) = (fields.texts("parts")?, fields.length("length")?, fields.holds("holds")?);
    let from = if fields.has("from") { fields.counts("from")? } else { Vec::new() };
    if parts.is_empty() {
        return Err("`parts` lists none".into());
    }
    if !from.is_empty() && from.len() != parts.len() {
        return Err("`from` does not say a board for each part".into());
    }
    Ok(What::Cut { parts, from, length, holds })
}

/// Writes one line, without its line feed.
pub(crate) fn written(entry: &Entry, unit: Unit) -> String {
    let mut line = format!("{{\"n\":{},\"what\":\"{}\",\"plan\":\"{}\"", entry.number, entry.what.word(), entry.plan);
    if entry.cut_off > 0 {
        add(&mut line, "cut-off", &entry.cut_off.to_string());
    }
    for (key, value) in keys(&entry.what, unit) {
        add(&mut line, key, &value);
    }
    line + "}"
}

fn add(line: &mut String, key: &str, value: &str) {
    // Writing to a string cannot fail.
    let _ = write!(line, ",{}:{value}", quoted(key));
}

fn keys(what: &What, unit: Unit) -> Vec<(&'static str, String)> {
    let long = |length: &Length| quoted(&length_text(*length, unit));
    let some = |key, list: &[String]| (!list.is_empty()).then(|| (key, listed(list.iter().map(|text| quoted(text)))));
    match what {
        What::Only { board, length, left } => {
            vec![("board", quoted(board)), ("length", long(length)), ("left", left.to_string())]
        }
        What::Bought { board, length, count } => {
            vec![("board", quoted(board)), ("length", long(length)), ("count", count.to_string())]
        }
        What::Width { board, over, reads } => {
            vec![("board", quoted(board)), ("over", over.to_string()), ("reads", long(reads))]
        }
        What::Thickness { shelf, name, reads } => vec![(shelf.word(), quoted(name)), ("reads", long(reads))],
        What::TrueLength { board, length, reads } => {
            vec![("board", quoted(board)), ("length", long(length)), ("reads", listed(reads.iter().map(long)))]
        }
        What::Kerf { reads } => vec![("reads", long(reads))],
        What::Units { unit: name, over, joint, along, reads } => vec![
            ("unit", quoted(name)),
            ("over", over.to_string()),
            ("joint", long(joint)),
            ("along", quoted(along.word())),
            ("reads", long(reads)),
        ],
        What::Cut { parts, from, length, holds } => {
            let from = (!from.is_empty()).then(|| ("from", listed(from.iter().map(u32::to_string))));
            let parts = ("parts", listed(parts.iter().map(|part| quoted(part))));
            let last = [("length", long(length)), ("holds", held(holds, unit))];
            [parts].into_iter().chain(from).chain(last).collect()
        }
        What::Wrong { part, from, length, holds } => {
            let from = from.map(|from| ("from", from.to_string()));
            let last = [("length", long(length)), ("holds", held(holds, unit))];
            [("part", quoted(part))].into_iter().chain(from).chain(last).collect()
        }
        What::Took { entry, way, parts, length, holds } => {
            let first = [("entry", entry.to_string()), ("way", quoted(way.word()))];
            let length = length.as_ref().map(|length| ("length", long(length)));
            let holds = (!holds.is_empty()).then(|| ("holds", held(holds, unit)));
            first.into_iter().chain(some("parts", parts)).chain(length).chain(holds).collect()
        }
        What::Undo { entry } => vec![("entry", entry.to_string())],
    }
}

fn held(holds: &Holds, unit: Unit) -> String {
    let each = holds.iter().map(|(name, length)| format!("{}:{}", quoted(name), quoted(&length_text(*length, unit))));
    format!("{{{}}}", each.collect::<Vec<String>>().join(","))
}

fn listed(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<String>>().join(","))
}

/// A text as JSON.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// A length with its unit and nothing rounded away: inches where it stands on a 64th, else decimals of a millimetre.
pub(crate) fn length_text(length: Length, unit: Unit) -> String {
    if unit != Unit::Millimetre && length.is_on(Length::inch_64ths(1)) {
        let shown = Tape::usual(Unit::Inch).show_exact(length);
        return format!("{} in", shown.replace('-', " ").trim_end_matches('"'));
    }
    let nanometres = length.nanometres();
    let (whole, rest) = (nanometres / 1_000_000, nanometres % 1_000_000);
    if rest == 0 {
        return format!("{whole} mm");
    }
    format!("{whole}.{} mm", format!("{rest:06}").trim_end_matches('0'))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 in = 25.4 mm: 17 1/2 in are 444.5 mm.
    #[test]
    fn lengths_are_written_with_their_unit_and_whole() {
        let inches = Length::inch_64ths(17 * 64 + 32);
        for (length, unit, text) in [
            (Length::mm(444), Unit::Millimetre, "444 mm"),
            (Length::nm(200_400_000), Unit::Millimetre, "200.4 mm"),
            (Length::nm(1), Unit::Inch, "0.000001 mm"),
            (inches, Unit::Inch, "17 1/2 in"),
            (inches, Unit::Millimetre, "444.5 mm"),
            (Length::inch_64ths(96 * 64), Unit::FootInch, "96 in"),
            (Length::inch_64ths(1), Unit::Inch, "1/64 in"),
        ] {
            assert_eq!(length_text(length, unit), text);
            assert_eq!(measure::parse(text, Unit::Millimetre), Ok(length), "{text}");
        }
    }
}
