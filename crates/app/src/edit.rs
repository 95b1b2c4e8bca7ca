//! One value of a text changed, put in or taken out; all else stays byte for byte.
//!
//! The text is parsed only to find where things stand; what is written is the text itself with a stretch of it replaced.

use crate::document::{Node, parse};
use crate::request::Step;
use std::ops::Range;
use toml_edit::{Item, Table, Value};

/// The text with the value at the end of `path` changed to another, which is TOML; put in if it is not there, taken out if it is to
/// be none. A key is put at the end of its table, and a table that is not there at the end of the text.
///
/// # Errors
/// In words, if the text or the value is no TOML, or if there is no room for it there.
pub(crate) fn edit(text: &str, path: &[Step], to: Option<&str>) -> Result<String, String> {
    let document = parse(text)?;
    let root = Node::Table(document.as_table());
    let to = to.map(value).transpose()?;
    let changed = match (root.at(path), to) {
        (Some(Node::Value(old)), Some(to)) => {
            let bytes = old.span().ok_or("the value stands nowhere")?;
            replaced(text, &[(bytes, to)])
        }
        (Some(Node::Table(_)), Some(_)) => return Err(format!("`{}` is a table: change its keys", shown(path))),
        (Some(_), None) => taken_out(text, root, path)?,
        (None, Some(to)) => put_in(text, root, path, to)?,
        (None, None) => text.to_owned(),
    };
    let after = parse(&changed).map_err(|_| format!("there is no room for `{}` there", shown(path)))?;
    match to.is_some() == Node::Table(after.as_table()).at(path).is_some() || matches!(path.last(), Some(Step::At(_))) {
        true => Ok(changed),
        false => Err(format!("`{}` cannot be changed by itself", shown(path))),
    }
}

/// A value as it is written, if it is one.
fn value(text: &str) -> Result<&str, String> {
    let text = text.trim();
    let one = text
        .parse::<Value>()
        .map_err(|error| format!("`{}` is no TOML value: {}", text.escape_debug(), error.message()))?;
    match one.as_datetime() {
        // Nothing in the files is a date, and `1979-05-27` is more likely a slip.
        Some(_) => Err(format!("`{}` is a date", text.escape_debug())),
        None => Ok(text),
    }
}

fn shown(path: &[Step]) -> String {
    let step = |step: &Step| match step {
        Step::Key(key) => key.escape_debug().to_string(),
        Step::At(at) => at.to_string(),
    };
    path.iter().map(step).collect::<Vec<String>>().join(".")
}

/// A text with some stretches of it replaced, which do not overlap and stand in their order.
fn replaced(text: &str, changes: &[(Range<usize>, &str)]) -> String {
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for (bytes, to) in changes {
        out.push_str(&text[at..bytes.start]);
        out.push_str(to);
        at = bytes.end;
    }
    out + &text[at..]
}

/// Where the line of a byte begins.
fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |at| at + 1)
}

/// Where the line of a byte ends, behind its line feed.
fn line_end(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |feed| at + feed + 1)
}

/// The values that stand in a table's own lines, with those of dotted keys.
fn own_values(table: &Table) -> Vec<Range<usize>> {
    let of = |(_, item): (&str, &Item)| match item {
        Item::Value(value) => value.span().into_iter().collect(),
        Item::Table(table) if table.is_dotted() => own_values(table),
        _ => Vec::new(),
    };
    table.iter().flat_map(of).collect()
}

fn key_text(key: &str) -> String {
    let bare = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_');
    // A text of JSON is one of TOML.
    if bare { key.to_owned() } else { serde_json::Value::from(key).to_string() }
}

fn put_in(text: &str, root: Node<'_>, path: &[Step], to: &str) -> Result<String, String> {
    let no_room = || format!("there is no room for `{}` there", shown(path));
    let (last, way) = path.split_last().ok_or_else(no_room)?;
    let at = |at: usize, written: &str| Ok(replaced(text, &[(at..at, written)]));
    match (root.at(way), last) {
        (Some(Node::Table(table)), Step::Key(key)) => {
            let feed = if text.contains("\r\n") { "\r\n" } else { "\n" };
            let line = format!("{}{} = {to}{feed}", dotted_before(text, table), key_text(key));
            let last = own_values(table).into_iter().map(|value| value.end).max();
            let end = match last.or(table.span().map(|header| header.end)) {
                Some(end) => line_end(text, end),
                None => 0,
            };
            let whole = end == 0 || text[..end].ends_with('\n');
            at(end, &if whole { line } else { format!("{feed}{line}") })
        }
        (Some(Node::Value(Value::InlineTable(table))), Step::Key(key)) => {
            let written = format!("{} = {to}", key_text(key));
            let end = table.iter().filter_map(|(_, value)| value.span()).map(|value| value.end).max();
            match (end, table.span()) {
                (Some(end), _) => at(end, &format!(", {written}")),
                (None, Some(table)) => Ok(replaced(text, &[(table, &format!("{{ {written} }}"))])),
                (None, None) => Err(no_room()),
            }
        }
        (Some(Node::Value(Value::Array(array))), Step::At(place)) if *place == array.len() => {
            match (array.iter().filter_map(Value::span).last(), array.span()) {
                (Some(last), _) => {
                    let before = &text[line_start(text, last.start)..last.start];
                    let alone = before.chars().all(char::is_whitespace) && text[..last.start].contains('\n');
                    at(last.end, &if alone { format!(",\n{before}{to}") } else { format!(", {to}") })
                }
                (None, Some(array)) => Ok(replaced(text, &[(array, &format!("[{to}]"))])),
                (None, None) => Err(no_room()),
            }
        }
        (None, Step::Key(key)) => {
            let names: Option<Vec<String>> = way
                .iter()
                .map(|step| match step {
                    Step::Key(key) => Some(key_text(key)),
                    Step::At(_) => None,
                })
                .collect();
            let header = names.ok_or_else(no_room)?.join(".");
            let feed = if text.is_empty() || text.ends_with('\n') { "" } else { "\n" };
            at(text.len(), &format!("{feed}\n[{header}]\n{} = {to}\n", key_text(key)))
        }
        _ => Err(no_room()),
    }
}

/// What stands before the keys of a table that dotted keys make: `length.`; nothing for others.
fn dotted_before<'t>(text: &'t str, table: &Table) -> &'t str {
    let first = table.iter().next().filter(|_| table.is_dotted());
    let key = first.and_then(|(name, _)| table.key(name)?.span());
    key.map_or("", |key| &text[line_start(text, key.start)..key.start])
}

fn taken_out(text: &str, root: Node<'_>, path: &[Step]) -> Result<String, String> {
    let nowhere = || format!("`{}` stands nowhere", shown(path));
    let (last, way) = path.split_last().ok_or_else(nowhere)?;
    let (Some(above), Some(node)) = (root.at(way), root.at(path)) else { return Err(nowhere()) };
    let mut out = match (above, node) {
        (Node::Table(_), Node::Value(value)) => vec![lines_of(text, &value.span().ok_or_else(nowhere)?)],
        (_, Node::Table(table)) => stretches(text, table),
        (Node::Value(_), _) => vec![of_list(text, above, last).ok_or_else(nowhere)?],
    };
    out.sort_by_key(|bytes| bytes.start);
    let changes: Vec<(Range<usize>, &str)> = out.into_iter().map(|bytes| (bytes, "")).collect();
    Ok(replaced(text, &changes))
}

/// The whole lines of a value.
fn lines_of(text: &str, value: &Range<usize>) -> Range<usize> {
    // The key stands in the line in which its value begins.
    line_start(text, value.start)..line_end(text, value.end)
}

/// Everything that a table says: its header with the remarks right above it, its lines, and the tables below it.
fn stretches(text: &str, table: &Table) -> Vec<Range<usize>> {
    let lines: Vec<Range<usize>> = own_values(table).iter().map(|value| lines_of(text, value)).collect();
    let mut all = match table.span().filter(|_| !table.is_dotted() && !table.is_implicit()) {
        None => lines,
        Some(header) => {
            let end = lines.iter().map(|line| line.end).max().unwrap_or(0).max(line_end(text, header.end));
            let whole = with_remarks(text, line_start(text, header.start))..end;
            vec![whole]
        }
    };
    for (_, item) in table.iter() {
        if let Item::Table(below) = item
            && !below.is_dotted()
        {
            all.extend(stretches(text, below));
        }
    }
    all
}

/// Where the remarks right above a line begin, with the empty line before them.
fn with_remarks(text: &str, line: usize) -> usize {
    let above = |at: usize| at.checked_sub(1).map(|end| (line_start(text, end), &text[line_start(text, end)..end]));
    let mut start = line;
    while let Some((at, _)) = above(start).filter(|(_, words)| words.starts_with('#')) {
        start = at;
    }
    above(start).filter(|(_, words)| words.trim().is_empty()).map_or(start, |(at, _)| at)
}

/// What one entry of an inline table or a list takes, with one comma.
fn of_list(text: &str, above: Node<'_>, last: &Step) -> Option<Range<usize>> {
    let entry = |(step, node): (Step, Node<'_>)| {
        let value = node.span()?;
        let key = match (above, &step) {
            (Node::Value(Value::InlineTable(table)), Step::Key(key)) => table.key(key)?.span()?.start,
            _ => value.start,
        };
        Some((step, key..value.end))
    };
    let entries: Vec<(Step, Range<usize>)> = above.below().into_iter().filter_map(entry).collect();
    let at = entries.iter().position(|(step, _)| step == last)?;
    let own = &entries[at].1;
    if let Some((_, next)) = entries.get(at + 1) {
        return Some(own.start..next.start);
    }
    if let Some((_, before)) = at.checked_sub(1).and_then(|at| entries.get(at)) {
        return Some(before.end..own.end);
    }
    let rest = &text[own.end..];
    let comma = rest.trim_start().starts_with(',').then(|| rest.find(',')).flatten();
    Some(own.start..own.end + comma.map_or(0, |comma| comma + 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# A box.\nformat = 1 # of the file\n\n[piece.box]\nis = \"walls\"\nlength = { want = 1500, from = 1400 } # long\nheight.want = 300\nfaces = [\"front\", # first\n    \"back\",\n]\n\n# Round it.\n[piece.ring]\nunit = 'sett'\n\n[piece.ring.joint]\nwant = 10\n\n# The end.\n[piece.soil]\nis = \"fill\"\n";

    fn path(way: &str) -> Vec<Step> {
        let step = |step: &str| step.parse().map_or_else(|_| Step::Key(step.to_owned()), Step::At);
        way.split('.').map(step).collect()
    }

    fn edited(way: &str, to: Option<&str>) -> String {
        edit(TEXT, &path(way), to).expect(way)
    }

    #[test]
    fn a_value_is_changed_and_nothing_else() {
        for (way, to, was, is) in [
            ("format", "2", "format = 1 #", "format = 2 #"),
            ("piece.box.length", "1510", "{ want = 1500, from = 1400 } #", "1510 #"),
            ("piece.box.length.want", "1510.5", "want = 1500", "want = 1510.5"),
            ("piece.box.height.want", "\"12 in\"", "height.want = 300", "height.want = \"12 in\""),
            ("piece.box.faces.1", "\"left\"", "\"back\"", "\"left\""),
            ("piece.ring.joint.want", "8", "want = 10", "want = 8"),
            ("piece.ring.unit", "\"brick\"", "'sett'", "\"brick\""),
        ] {
            assert_eq!(edited(way, Some(to)), TEXT.replacen(was, is, 1), "{way}");
        }
    }

    #[test]
    fn a_key_that_is_not_there_comes_at_the_end_of_its_table() {
        for (way, to, was, is) in [
            ("title", "\"Box\"", "of the file\n", "of the file\ntitle = \"Box\"\n"),
            ("piece.box.gap", "8", "    \"back\",\n]\n", "    \"back\",\n]\ngap = 8\n"),
            ("piece.box.length.to", "1600", "from = 1400 }", "from = 1400, to = 1600 }"),
            ("piece.ring.joint.to", "12", "want = 10\n", "want = 10\nto = 12\n"),
            ("piece.box.faces.2", "\"left\"", "    \"back\",", "    \"back\",\n    \"left\","),
        ] {
            assert_eq!(edited(way, Some(to)), TEXT.replacen(was, is, 1), "{way}");
        }
        assert_eq!(edited("piece.lid.is", Some("\"cap\"")), format!("{TEXT}\n[piece.lid]\nis = \"cap\"\n"));
        assert!(edited("piece.box.height.to", Some("400")).contains("height.to = 400\n"));
        assert_eq!(edit("", &path("saw.kerf"), Some("3")).as_deref(), Ok("\n[saw]\nkerf = 3\n"));
        assert_eq!(edit("a = {}", &path("a.b"), Some("1")).as_deref(), Ok("a = { b = 1 }"));
        assert_eq!(edit("a = 1", &path("b"), Some("2")).as_deref(), Ok("a = 1\nb = 2\n"));
        assert_eq!(edit("a = 1\r\nc = 3\r\n", &path("b"), Some("2")).as_deref(), Ok("a = 1\r\nc = 3\r\nb = 2\r\n"));
    }

    #[test]
    fn what_is_taken_out_is_gone_with_its_line() {
        for (way, was, is) in [
            ("format", "format = 1 # of the file\n", ""),
            ("piece.box.length", "length = { want = 1500, from = 1400 } # long\n", ""),
            ("piece.box.length.want", "want = 1500, from", "from"),
            ("piece.box.length.from", ", from = 1400 }", " }"),
            ("piece.box.faces.0", "\"front\", # first\n    \"back\"", "\"back\""),
            ("piece.box.height", "height.want = 300\n", ""),
            ("piece.ring.joint", "\n[piece.ring.joint]\nwant = 10\n", ""),
            ("piece.ring", "\n# Round it.\n[piece.ring]\nunit = 'sett'\n\n[piece.ring.joint]\nwant = 10\n", ""),
        ] {
            assert_eq!(edited(way, None), TEXT.replacen(was, is, 1), "{way}");
        }
        assert_eq!(edited("piece.nothing", None), TEXT);
        assert_eq!(edit("a = [ 1, ]", &path("a.0"), None).as_deref(), Ok("a = [  ]"));
    }

    #[test]
    fn what_is_no_value_or_has_no_room_is_refused() {
        for (way, to) in [
            ("format", ""),
            ("format", "1 2"),
            ("format", "1\nformat = 2"),
            ("format", "2026-12-01"),
            ("format", "\"open"),
            ("format.of", "1"),
            ("piece.box", "1"),
            ("piece.box.faces.5", "1"),
            ("piece.box.faces.front", "1"),
        ] {
            assert!(edit(TEXT, &path(way), Some(to)).is_err(), "{way} {to}");
        }
        assert!(edit("a = ", &path("a"), Some("1")).is_err());
    }
}
