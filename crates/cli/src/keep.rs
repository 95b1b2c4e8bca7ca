//! Writes the shed anew once a plan is cut: what is used up goes, what is worth keeping comes; all else stays as it is written.

use scantling::{Before, Kept, Mark, Opened, Poured, Rest};
use toml_edit::{DocumentMut, Item, Table, TableLike, Value, value};

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
    for poured in &kept.taken {
        changes.push(pour(&mut shed, poured)?);
    }
    for opened in &kept.opened {
        changes.push(open(&mut shed, opened)?);
    }
    for shelf in ["offcut", "left"] {
        if shed.get(shelf).and_then(Item::as_table_like).is_some_and(TableLike::is_empty) {
            shed.remove(shelf);
        }
    }
    if !changes.is_empty() {
        changes.push(mark(&mut shed, &kept.mark, kept.before.as_ref())?);
    }
    Ok((shed.to_string(), changes))
}

/// Why a plan is not kept once more, and what to do if that is meant.
pub fn refused(before: &Before, shed: &str) -> String {
    let (name, was) = (&before.name, if before.same { "this plan" } else { "a plan of this title" });
    let then = if before.same { "" } else { ", when plan or yard said something else" };
    format!(
        "error: {was} was kept before: `[kept.{name}]` in `{shed}`{then}\nhelp: what is left of its boards and packs is in the shed already, and nothing is written; if it is really built again from what is bought anew, say `scantling keep --again`\n"
    )
}

/// Marks the plan as kept: one time more, or under a name that is free.
fn mark(shed: &mut DocumentMut, mark: &Mark, before: Option<&Before>) -> Result<String, String> {
    let kept = shelf(shed, "kept")?;
    if let Some(before) = before.filter(|before| before.same) {
        let gone = || format!("the shed has no `[kept.{}]`", before.name);
        let table = kept.get_mut(&before.name).and_then(Item::as_table_like_mut).ok_or_else(gone)?;
        let times = table.get("times").and_then(Item::as_integer).unwrap_or(1) + 1;
        table.insert("times", value(times));
        return Ok(format!("kept {}: {}, {times} times by now", before.name, mark.plan));
    }
    let name = free(kept, "plan");
    let mut table = Table::new();
    table["plan"] = value(&mark.plan);
    table["digest"] = value(&mark.digest);
    kept.insert(&name, Item::Table(table));
    Ok(format!("kept {name}: {}", mark.plan))
}

/// Takes what is used off the rest of a pack, and the rest away if nothing of it is left.
fn pour(shed: &mut DocumentMut, poured: &Poured) -> Result<String, String> {
    let name = &poured.name;
    let gone = || format!("the shed has no `[left.{name}]` with `{}`", poured.key);
    let all = shed.get_mut("left").and_then(Item::as_table_like_mut).ok_or_else(gone)?;
    let Some(left) = &poured.left else {
        return all.remove(name).map(|_| format!("left {name}: used up")).ok_or_else(gone);
    };
    let rest = all.get_mut(name).and_then(Item::as_table_like_mut).ok_or_else(gone)?;
    let there = rest.get_mut(poured.key).and_then(Item::as_value_mut).ok_or_else(gone)?;
    let decor = there.decor().clone();
    *there = number(left)?;
    *there.decor_mut() = decor;
    Ok(format!("left {name}: {} {left} left", poured.key))
}

/// Adds what is left of packs under a short name that is free.
fn open(shed: &mut DocumentMut, opened: &Opened) -> Result<String, String> {
    let all = shelf(shed, "left")?;
    let name = free(all, "rest");
    let mut rest = Table::new();
    rest["of"] = value(&opened.of);
    if let Some(length) = &opened.length {
        rest["length"] = value(length);
    }
    rest[opened.key] = Item::Value(number(&opened.amount)?);
    all.insert(&name, Item::Table(rest));
    let long = opened.length.as_ref().map_or_else(String::new, |length| format!(", {length}"));
    Ok(format!("left {name}: {} {} of {}{long}", opened.key, opened.amount, opened.of))
}

fn number(text: &str) -> Result<Value, String> {
    text.parse().map_err(|error| format!("`{text}` is no number: {error}"))
}

/// A table of named tables, which is made if it is not there.
fn shelf<'s>(shed: &'s mut DocumentMut, key: &str) -> Result<&'s mut dyn TableLike, String> {
    let table = || {
        let mut table = Table::new();
        table.set_implicit(true);
        Item::Table(table)
    };
    let shelf = shed.entry(key).or_insert_with(table);
    shelf.as_table_like_mut().ok_or_else(|| format!("`{key}` is no table of the shed"))
}

/// The first name that is free: `rest-1`, `rest-2` …
fn free(shelf: &dyn TableLike, word: &str) -> String {
    let free = |number: &u32| !shelf.contains_key(&format!("{word}-{number}"));
    (1..).find(free).map(|number| format!("{word}-{number}")).unwrap_or_default()
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
    let offcuts = shelf(shed, "offcut")?;
    let name = free(offcuts, "rest");
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
    use scantling::{Before, Kept, Mark, Opened, Poured, Rest};

    const SHED: &str = "# My shed\nformat = 1\n\n[saw] # the old one\nkerf = 3\n\n# under the bench\n[offcut.a]\nof = \"larch\" # red\nlength = 1560\ncount = 3 # three of them\n\n[offcut.b]\nof = \"larch\"\nlength = 520\n\n[hands]\npeople = 2\n";

    fn rest(of: &str, sides: &[&str], count: u64) -> Rest {
        Rest { of: of.into(), sides: sides.iter().map(|side| (*side).to_owned()).collect(), count }
    }

    #[test]
    fn comments_and_order_stay() {
        let kept = Kept {
            used: vec![("a".into(), 2), ("b".into(), 1)],
            rests: vec![rest("larch", &["397 mm"], 1), rest("ply", &["820 mm", "12-3/8\""], 2)],
            ..Kept::default()
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
            let kept = Kept { used: vec![(used.0.into(), used.1)], ..Kept::default() };
            assert!(rewritten(SHED, &kept).is_err(), "{used:?}");
        }
        assert_eq!(rewritten(SHED, &Kept::default()), Ok((SHED.to_owned(), Vec::new())));
    }

    #[test]
    fn names_that_are_taken_stay() {
        let shed = "format = 1\n[saw]\nkerf = 3\n[offcut.rest-1]\nof = \"larch\"\nlength = 500\n";
        let kept = Kept { rests: vec![rest("larch", &["600 mm"], 1)], ..Kept::default() };
        let (text, _) = rewritten(shed, &kept).expect("a shed");
        assert!(text.starts_with(shed) && text.contains("[offcut.rest-2]"), "{text}");
    }

    /// What is poured out of a pack comes off its number where that stands, an empty one goes, an opened one comes.
    #[test]
    fn rests_of_packs() {
        let shed = "format = 1\n[saw]\nkerf = 3\n[left.box]\nof = \"steel\"\nlength = 50\ncount = 13 # in the tin\n[left.soil]\nof = \"soil\"\nlitres = 22.5\n";
        let poured =
            |name: &str, key, left: Option<&str>| Poured { name: name.into(), key, left: left.map(str::to_owned) };
        let opened = Opened { of: "oil".into(), length: None, key: "litres", amount: "0.125".into() };
        let kept = Kept {
            taken: vec![poured("box", "count", Some("4")), poured("soil", "litres", None)],
            opened: vec![opened],
            ..Kept::default()
        };
        let (text, changes) = rewritten(shed, &kept).expect("a shed");
        assert!(text.contains("count = 4 # in the tin\n") && !text.contains("[left.soil]"), "{text}");
        assert!(text.contains("[left.rest-1]\nof = \"oil\"\nlitres = 0.125\n"), "{text}");
        assert_eq!(changes[..3], ["left box: count 4 left", "left soil: used up", "left rest-1: litres 0.125 of oil"]);
        let wrong = Kept { taken: vec![poured("box", "metres", Some("4"))], ..Kept::default() };
        assert!(rewritten(shed, &wrong).is_err());
    }

    /// A plan that is kept is marked; kept again it is counted in its own mark, and another of its title gets a mark of its own.
    #[test]
    fn a_plan_is_marked() {
        let mark = |digest: &str| Mark { plan: "Trough".into(), digest: digest.into() };
        let kept = |digest, before| Kept {
            rests: vec![rest("larch", &["600 mm"], 1)],
            mark: mark(digest),
            before,
            ..Kept::default()
        };
        let (once, _) = rewritten(SHED, &kept("aa", None)).expect("a shed");
        assert!(once.contains("[kept.plan-1]\nplan = \"Trough\"\ndigest = \"aa\"\n"), "{once}");
        let before = |same| Some(Before { name: "plan-1".into(), same });
        let (twice, _) = rewritten(&once, &kept("aa", before(true))).expect("a shed");
        assert!(twice.contains("digest = \"aa\"\ntimes = 2\n") && !twice.contains("plan-2"), "{twice}");
        let (other, _) = rewritten(&once, &kept("bb", before(false))).expect("a shed");
        assert!(other.contains("[kept.plan-2]\nplan = \"Trough\"\ndigest = \"bb\"\n"), "{other}");
    }
}
