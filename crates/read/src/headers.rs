//! Where the tables of a text begin, and which of them stand twice.

use std::collections::BTreeMap;
use std::ops::Range;

/// The header of a table, in single or double brackets, on a line of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Header {
    /// The line from its beginning to its end.
    pub line: Range<usize>,
    /// What stands in the brackets, without quotes and spaces.
    pub path: String,
    /// Its line, counted from 1.
    pub number: usize,
}

/// A table that stands further up already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Repeated {
    /// What stands in the brackets of its header.
    pub path: String,
    /// Its header's line.
    pub header: Range<usize>,
    /// All of it, with the tables below it.
    pub whole: Range<usize>,
    /// The line of the first one, counted from 1, if that has a header too.
    pub first: Option<usize>,
}

/// The headers of a text in their order. A bracket at the beginning of a line opens a header if no other is open.
pub(crate) fn headers(text: &str) -> Vec<Header> {
    let mut found = Vec::new();
    let mut line = (0, 1);
    let (mut seen, mut open) = (0, None);
    for (at, depth) in brackets(text) {
        let since = &text[seen..at];
        line = (since.rfind('\n').map_or(line.0, |last| seen + last + 1), line.1 + since.matches('\n').count());
        seen = at;
        match (text.as_bytes()[at], depth) {
            (b'[', 1) if text[line.0..at].trim().is_empty() => open = Some(line),
            (_, 0) => {
                let Some((start, number)) = open.take() else { continue };
                let end = text[at..].find('\n').map_or(text.len(), |length| at + length);
                found.push(Header { line: start..end, path: path(&text[start..at]), number });
            }
            _ => {}
        }
    }
    found
}

fn path(header: &str) -> String {
    header.chars().filter(|c| !c.is_whitespace() && !"[]\"'".contains(*c)).collect()
}

/// Each bracket outside strings and comments with the depth after it.
pub(crate) fn brackets(text: &str) -> impl Iterator<Item = (usize, usize)> {
    let bytes = text.as_bytes();
    let (mut at, mut depth) = (0, 0_usize);
    std::iter::from_fn(move || {
        loop {
            let here = at;
            let byte = *bytes.get(here)?;
            at = match byte {
                b'#' => end_of_line(bytes, here),
                b'"' | b'\'' => end_of_string(bytes, here, byte),
                _ => here,
            } + 1;
            match byte {
                b'[' | b'{' => depth += 1,
                b']' | b'}' => depth = depth.saturating_sub(1),
                _ => continue,
            }
            return Some((here, depth));
        }
    })
}

/// The last byte of the string that opens at `start`; the end of the line or of the text if nothing closes it.
fn end_of_string(bytes: &[u8], start: usize, quote: u8) -> usize {
    let triple = [quote; 3];
    let long = bytes[start..].starts_with(&triple);
    let mut at = start + if long { 3 } else { 1 };
    while let Some(&byte) = bytes.get(at) {
        match byte {
            b'\\' if quote == b'"' => at += 1,
            b'\n' if !long => return at,
            _ if long && bytes[at..].starts_with(&triple) => return at + 2,
            _ if !long && byte == quote => return at,
            _ => {}
        }
        at += 1;
    }
    bytes.len()
}

fn end_of_line(bytes: &[u8], from: usize) -> usize {
    bytes[from..].iter().position(|byte| *byte == b'\n').map_or(bytes.len(), |at| from + at)
}

/// The tables that stand twice: those in whose header a name is found twice at one of these bytes, which are in the order
/// of the text. One that lies in another goes with it.
pub(crate) fn repeated(headers: &[Header], twice: &[usize]) -> Vec<Repeated> {
    let mut first: BTreeMap<&str, usize> = BTreeMap::new();
    for header in headers {
        first.entry(&header.path).or_insert(header.number);
    }
    let mut found: Vec<Repeated> = Vec::new();
    for at in twice {
        let next = headers.partition_point(|header| header.line.start <= *at);
        let Some(header) = next.checked_sub(1).map(|this| &headers[this]) else { continue };
        if !header.line.contains(at) || found.last().is_some_and(|before| before.whole.contains(at)) {
            continue;
        }
        let below = format!("{}.", header.path);
        let after = headers[next..].iter().find(|later| !later.path.starts_with(&below));
        found.push(Repeated {
            path: header.path.clone(),
            header: header.line.clone(),
            whole: header.line.start..after.map_or(usize::MAX, |after| after.line.start),
            first: first.get(header.path.as_str()).copied().filter(|number| *number < header.number),
        });
    }
    found
}

/// The text with blanks for these tables, every other byte where it was.
pub(crate) fn without(text: &str, tables: &[Repeated]) -> String {
    let mut left = String::with_capacity(text.len());
    let mut at = 0;
    for table in tables {
        let end = table.whole.end.min(text.len());
        left.push_str(&text[at..table.whole.start]);
        left.extend(text[table.whole.start..end].bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }));
        at = end;
    }
    left.push_str(&text[at..]);
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paths(text: &str) -> Vec<(String, usize)> {
        headers(text).into_iter().map(|header| (header.path, header.number)).collect()
    }

    #[test]
    fn headers_are_told_from_lists() {
        let text =
            "# [no]\nx = [\n[1],\n[2]\n]\n[a]\ny = \"\"\"\n[no]\n\"\"\"\n  [b . \"c\"] # why\n[[d]]\nz = {}\n[e]";
        let expected = [("a", 6), ("b.c", 10), ("d", 11), ("e", 13)].map(|(path, number)| (path.to_owned(), number));
        assert_eq!(paths(text), expected);
        assert_eq!(paths(""), []);
        assert_eq!(paths("]["), []);
    }

    #[test]
    fn a_table_that_stands_twice_is_blanked_with_all_below_it() {
        let text = "[p.a]\nx=1\n[p.a]\nä=2\n[p.a.s]\nq=1\n[p.ab]\nx=1\n";
        let at = text.match_indices("[p.a]").nth(1).expect("the second").0 + 3;
        let found = repeated(&headers(text), &[at]);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].first, Some(1));
        let left = without(text, &found);
        assert_eq!(left.len(), text.len());
        assert_eq!(left.split_whitespace().collect::<Vec<_>>(), ["[p.a]", "x=1", "[p.ab]", "x=1"]);
        assert_eq!(repeated(&headers(text), &[7]), [], "not in a header");
    }
}
