//! Writes the shed anew once a plan is cut: what is used up goes, what is worth keeping comes; all else stays as it is written.

use scantling::{Kept, Rest};
use toml_edit::{DocumentMut, Item, Table, value};

/// The shed's text after cutting, and a line for each change.
///
/// # Errors
/// What in the text is not as the plan says, though it was read so a moment ago.
pub fn rewritten(text: &str, kept: &Kept) -> Result<(String, Vec<String>), String> {
    let mut shed: DocumentMut = text.parse().map_err(|error| format!("the shed cannot be read: {error}"))?;
    let mut changes = Vec::new();
    for (name, used) in &kept.used {
        changes.push(take(&mut shed, name, *used)?);
    }
    for rest in &kept.rests {
        changes.push(add(&mut shed, rest)?);
    }
    if shed.get("offcut").and_then(Item::as_table_like).is_some_and(toml_edit::TableLike::is_empty) {
        shed.remove("offcut");
    }
    Ok((shed.to_string(), changes))
}

/// Takes so many off an offcut, and the offcut away if none is left.
fn take(shed: &mut DocumentMut, name: &str, used: u64) -> Result<String, String> {
    let gone = || format!("the shed has no offcut `{name}`");
    let offcuts = shed.get_mut("offcut").and_then(Item::as_table_like_mut).ok_or_else(gone)?;
    let offcut = offcuts.get_mut(name).and_then(Item::as_table_like_mut).ok_or_else(gone)?;
    let there = offcut.get("count").and_then(Item::as_integer).unwrap_or(1);
    let left = there - i64::try_from(used).unwrap_or(i64::MAX);
    if left > 0 {
        match offcut.get_mut("count").and_then(Item::as_value_mut) {
            Some(count) => {
                let decor = count.decor().clone();
                *count = left.into();
                *count.decor_mut() = decor;
            }
            None => return Err(format!("the offcut `{name}` is cut more often than it is there")),
        }
        return Ok(format!("offcut {name}: {left} left of {there}"));
    }
    if left < 0 {
        return Err(format!("the offcut `{name}` is cut more often than it is there"));
    }
    offcuts.remove(name);
    Ok(format!("offcut {name}: used up"))
}

/// Adds a rest under a short name that is free.
fn add(shed: &mut DocumentMut, rest: &Rest) -> Result<String, String> {
    let table = || {
        let mut table = Table::new();
        table.set_implicit(true);
        Item::Table(table)
    };
    let offcuts = shed.entry("offcut").or_insert_with(table);
    let offcuts = offcuts.as_table_like_mut().ok_or("`offcut` is no table of the shed")?;
    let free = |number: &u32| !offcuts.contains_key(&format!("rest-{number}"));
    let name = (1..).find(free).map(|number| format!("rest-{number}")).unwrap_or_default();
    let mut offcut = Table::new();
    offcut["of"] = value(&rest.of);
    for (key, side) in ["length", "width"].into_iter().zip(&rest.sides) {
        offcut[key] = value(side);
    }
    if rest.count > 1 {
        offcut["count"] = value(i64::try_from(rest.count).unwrap_or(i64::MAX));
    }
    offcuts.insert(&name, Item::Table(offcut));
    Ok(format!("offcut {name}: {} × {} of {}", rest.count, rest.sides.join(" × "), rest.of))
}

#[cfg(test)]
mod tests {
    use super::rewritten;
    use scantling::{Kept, Rest};

    const SHED: &str = "# My shed\nformat = 1\n\n[saw] # the old one\nkerf = 3\n\n# under the bench\n[offcut.a]\nof = \"larch\" # red\nlength = 1560\ncount = 3 # three of them\n\n[offcut.b]\nof = \"larch\"\nlength = 520\n\n[hands]\npeople = 2\n";

    fn rest(of: &str, sides: &[&str], count: u64) -> Rest {
        Rest { of: of.into(), sides: sides.iter().map(|side| (*side).to_owned()).collect(), count }
    }

    #[test]
    fn comments_and_order_stay() {
        let kept = Kept {
            used: vec![("a".into(), 2), ("b".into(), 1)],
            rests: vec![rest("larch", &["397 mm"], 1), rest("ply", &["820 mm", "12-3/8\""], 2)],
        };
        let (text, changes) = rewritten(SHED, &kept).expect("a shed");
        let own = "# My shed\nformat = 1\n\n[saw] # the old one\nkerf = 3\n\n# under the bench\n[offcut.a]\nof = \"larch\" # red\nlength = 1560\ncount = 1 # three of them\n";
        assert!(text.starts_with(own), "{text}");
        assert!(!text.contains("[offcut.b]") && text.contains("[hands]\npeople = 2\n"), "{text}");
        assert!(text.contains("[offcut.rest-1]\nof = \"larch\"\nlength = \"397 mm\"\n"), "{text}");
        assert!(text.contains("[offcut.rest-2]\nof = \"ply\"\nlength = \"820 mm\"\nwidth = "), "{text}");
        assert_eq!(changes[0], "offcut a: 1 left of 3");
        assert_eq!(changes[1], "offcut b: used up");
    }

    #[test]
    fn what_is_not_there_is_not_taken() {
        for used in [("z", 1), ("a", 4), ("b", 2)] {
            let kept = Kept { used: vec![(used.0.into(), used.1)], rests: Vec::new() };
            assert!(rewritten(SHED, &kept).is_err(), "{used:?}");
        }
        assert_eq!(rewritten(SHED, &Kept::default()), Ok((SHED.to_owned(), Vec::new())));
    }

    #[test]
    fn names_that_are_taken_stay() {
        let shed = "format = 1\n[saw]\nkerf = 3\n[offcut.rest-1]\nof = \"larch\"\nlength = 500\n";
        let kept = Kept { used: Vec::new(), rests: vec![rest("larch", &["600 mm"], 1)] };
        let (text, _) = rewritten(shed, &kept).expect("a shed");
        assert!(text.starts_with(shed) && text.contains("[offcut.rest-2]"), "{text}");
    }
}
