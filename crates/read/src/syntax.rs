//! What the TOML parser found, in the words of this house.

use crate::headers::Repeated;
use crate::limits::LIMITS;
use crate::suggest::quote;
use model::problem::{File, Place, Problem};
use std::ops::Range;

/// What the parser says of a key or a header that stands there twice.
const DUPLICATE: &str = "duplicate key";
/// What it says, once for each line that follows, after a list that was not closed.
const COMMA: &str = "missing comma";

/// Whether a text can be read on in spite of these errors: one of two values of the same name is as good as the other.
pub(crate) fn is_sound(errors: &[toml::de::Error]) -> bool {
    errors.iter().all(|error| error.message() == DUPLICATE)
}

/// Where a name is found that is written twice, in the order of the text.
pub(crate) fn twice(errors: &[toml::de::Error]) -> Vec<usize> {
    let found = errors.iter().filter(|error| error.message() == DUPLICATE);
    let mut found: Vec<usize> = found.filter_map(|error| error.span()).map(|bytes| bytes.start).collect();
    found.sort_unstable();
    found
}

/// The parser's errors in the order of the text, one for a line: what follows on the same line is mostly its echo. A table
/// that stands twice is one error, whatever stands twice in it. Of very many the first few are told.
pub(crate) fn problems(file: File, text: &str, errors: &[toml::de::Error], tables: &[Repeated]) -> Vec<Problem> {
    let mut found: Vec<(Range<usize>, &str)> = errors
        .iter()
        .map(|error| (on_characters(text, error.span().unwrap_or(text.len()..text.len())), error.message()))
        .collect();
    found.sort_by_key(|(bytes, _)| (bytes.start, bytes.end));
    let found = without_echoes(text, found);
    let mut told: Vec<(Range<usize>, &str, Option<&Repeated>)> = Vec::new();
    for (bytes, message) in found {
        let table = around(tables, bytes.start).filter(|_| message == DUPLICATE);
        if table.is_none_or(|table| table.header.contains(&bytes.start)) {
            told.push((bytes, message, table));
        }
    }
    let shown = if told.len() > LIMITS.slips { LIMITS.first } else { told.len() };
    let shown_problems = told[..shown].iter();
    let mut problems: Vec<Problem> =
        shown_problems.map(|(bytes, message, table)| problem(file, text, bytes, message, *table)).collect();
    if let Some((bytes, ..)) = told.get(shown) {
        let more = Problem::new(format!("and {} more lines with such errors", told.len() - shown))
            .expected("the next of them")
            .hint("one slip can spoil what follows it: mend the first, or is this the right file?");
        problems.push(more.at(&Place { file, bytes: bytes.clone() }));
    }
    problems
}

fn without_echoes<'e>(text: &str, found: Vec<(Range<usize>, &'e str)>) -> Vec<(Range<usize>, &'e str)> {
    let mut last: Option<(usize, &str)> = None;
    let mut told = Vec::new();
    for (bytes, message) in found {
        let echo = last.is_some_and(|(at, before)| {
            !text[at..bytes.start].contains('\n') || (message.starts_with(COMMA) && before == message)
        });
        last = Some((bytes.start, message));
        if !echo {
            told.push((bytes, message));
        }
    }
    told
}

/// The table that stands twice and holds this byte.
fn around(tables: &[Repeated], at: usize) -> Option<&Repeated> {
    let next = tables.partition_point(|table| table.whole.start <= at);
    next.checked_sub(1).map(|this| &tables[this]).filter(|table| table.whole.contains(&at))
}

/// A range that lies in the text and cuts no character.
pub(crate) fn on_characters(text: &str, bytes: Range<usize>) -> Range<usize> {
    let start = text.floor_char_boundary(bytes.start.min(text.len()));
    let end = text.ceil_char_boundary(bytes.end.min(text.len()).max(start));
    start..end
}

fn problem(file: File, text: &str, bytes: &Range<usize>, message: &str, table: Option<&Repeated>) -> Problem {
    let written = text[bytes.clone()].trim();
    let problem = match table {
        Some(table) => table_twice(table),
        None if message == DUPLICATE => Problem::new(format!("`{}` is written twice", quote(written)))
            .expected("the same name stands further up")
            .hint("keep one of the two, or give this one another name"),
        None if written.is_empty() && message.starts_with("string values") => in_our_words("missing value"),
        None => in_our_words(message),
    };
    problem.at(&Place { file, bytes: bytes.clone() })
}

fn table_twice(table: &Repeated) -> Problem {
    let expected = match table.first {
        Some(line) => format!("the first is on line {line}"),
        None => "the same name stands further up".to_owned(),
    };
    let named = table.path.contains('.');
    Problem::new(format!("`[{}]` is written twice", quote(&table.path))).expected(expected).hint(if named {
        "keep one of the two, or give this one another name; only the first is read here"
    } else {
        "keep one of the two, with all the keys; only the first is read here"
    })
}

fn in_our_words(message: &str) -> Problem {
    if let Some((_, what, expected, hint)) = PHRASES.iter().find(|(start, ..)| message.starts_with(start)) {
        return Problem::new(format!("this does not read as TOML: {what}")).expected(*expected).hint(*hint);
    }
    let (what, expected) = match message.split_once(", expected ") {
        Some((what, "nothing")) => (what, "this is too much".to_owned()),
        Some((what, expected)) => (what, format!("expected {expected}")),
        None => (message, "TOML is not written like this".to_owned()),
    };
    Problem::new(format!("this does not read as TOML: {what}")).expected(expected)
}

const CLOSE_TEXT: &str = "close the text with the quote it began with; an inch mark in it is written `\\\"`, or `in`";
const CLOSED: &str = "a text is not closed";
const QUOTE: &str = "expected a closing quote";
const ONE_LINE: &str = "write one `key = value` on a line; a number has a point for decimals and no mark for thousands, and an inch mark in a text is written `\\\"`, or `in`";

/// How the parser's message begins, and what we say: what is wrong, what was expected, what to do.
const PHRASES: &[(&str, &str, &str, &str)] = &[
    (
        "string values must be quoted",
        "this is no number, and a text stands in quotes",
        "expected a number, or a text in quotes",
        "write text, and lengths with a unit or a fraction, in quotes: `\"1200 mm\"`, `\"3-1/2 in\"`",
    ),
    ("invalid basic string", CLOSED, QUOTE, CLOSE_TEXT),
    ("invalid multi-line", CLOSED, QUOTE, CLOSE_TEXT),
    ("invalid literal string", CLOSED, QUOTE, CLOSE_TEXT),
    ("missing opening quote", "a quote closes a text that was not opened", "expected a quote in front", CLOSE_TEXT),
    ("unexpected key or value", "something stands where the line should end", "expected the end of the line", ONE_LINE),
    ("unexpected content", "something stands where the line should end", "expected the end of the line", ONE_LINE),
    ("extra `=`", "there is one `=` too many", "this is too much", "write one `key = value` on a line"),
    ("key with no value", "a key has no value", "expected `=`", "write `key = value`"),
    ("missing value", "there is no value behind the `=`", "expected a value", "write a value, or leave the line out"),
    ("unclosed array table", "a header is not closed", "expected `]]`", "close the header with `]]`"),
    ("unclosed array", "a list is not closed", "expected `]`", "close the list with `]`"),
    ("unclosed inline table", "a table is not closed", "expected `}`", "close the table with `}`"),
    ("unclosed table", "a header is not closed", "expected `]`", "close the header with `]`"),
    (
        "missing comma between array",
        "a list goes on without a comma",
        "expected `,` or `]`",
        "write a `,` between two entries, or close the list with `]` where it ends",
    ),
    (
        "missing comma between key",
        "a table goes on without a comma",
        "expected `,` or `}`",
        "write a `,` between two keys, or close the table with `}` where it ends",
    ),
    (
        "extra assignment",
        "a table goes on without a comma",
        "expected `,` or `}`",
        "write a `,` between two keys, or close the table with `}` where it ends",
    ),
    ("extra comma", "there is one `,` too many", "this is too much", "take it out"),
    ("unexpected leading zero", "a number begins with a zero", "this is too much", "leave out the zeros in front"),
    ("invalid mantissa", "a number has no digits before its point", "expected digits", "write `0.5` for `.5`"),
    ("invalid fraction", "a number has no digits behind its point", "expected digits", "write `5` for `5.`"),
    (
        "invalid date",
        "this begins like a date and is none",
        "expected a date",
        "a length with a fraction stands in quotes: `\"3-1/2 in\"`",
    ),
    (
        "invalid unquoted key",
        "a key has a character that it cannot have",
        "expected letters a to z, digits and `-`",
        "all keys and names are made of those",
    ),
    ("unquoted keys cannot be empty", "a key is missing", "expected a key", "write `key = value`"),
    (
        "missing escaped value",
        "a backslash stands before a character that it cannot stand before",
        "expected `\\\\` or `\\\"`",
        "write a backslash as `\\\\`, and a quote inside a text as `\\\"`",
    ),
    (
        "cannot extend value",
        "this name has a value already, and can hold no keys",
        "expected another name",
        "give one of the two another name",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn says(text: &str, expected: &[&str]) {
        let (_, errors) = toml::de::DeTable::parse_recoverable(text);
        let found = problems(File::Plan, text, &errors, &[]);
        assert_eq!(found.len(), expected.len(), "{text:?}: {found:?}");
        for (problem, expected) in found.iter().zip(expected) {
            assert!(problem.message.contains(expected), "{text:?}: {problem:?}");
            assert!(problem.hint.is_some(), "{text:?}: {problem:?}");
        }
    }

    /// What makers write by mistake, and that we have words for it: if a newer parser says it in other words, this fails.
    #[test]
    fn common_slips_have_our_words() {
        says("a = 1/2\n", &["a text stands in quotes"]);
        says("a = 18mm\n", &["a text stands in quotes"]);
        says("a = \n", &["no value behind"]);
        says("a\n", &["a key has no value"]);
        says("a = 1,200\n", &["where the line should end"]);
        says("a = .5\n", &["before its point"]);
        says("a = 5.\n", &["behind its point"]);
        says("a = 007\n", &["begins with a zero"]);
        says("a = \"x\n", &["not closed"]);
        says("a = 'x\n", &["not closed"]);
        says("a = \"\"\"x\n", &["not closed"]);
        says("a = 5' 6\"\n", &["not opened"]);
        says("a = \"C:\\q\"\n", &["backslash"]);
        says("a = [1,2\n", &["a list is not closed"]);
        says("a = [1,\nb = 2\n[c]\nd = 3\n", &["a text stands in quotes", "without a comma"]);
        says("a = {x=1\n", &["a table is not closed"]);
        says("a = {x=1 y=2}\n", &["a text stands in quotes"]);
        says("[a\n", &["a header is not closed"]);
        says("a = = 1\n", &["one `=` too many"]);
        says("a = 3-1/2\"\n", &["begins like a date"]);
        says("ä = 3\n", &["cannot have"]);
        says("= 3\n", &["a key is missing"]);
        says("a = 1\na.b = 2\n", &["has a value already"]);
        says("a = 1\na = 2\n", &["`a` is written twice"]);
    }
}
