//! A text as a tree of tables in the order of the text, each key and value with its place; all syntax errors at once.

use crate::headers::{brackets, headers, repeated, without};
use crate::limits::LIMITS;
use crate::open::file_word;
use crate::syntax::{self, on_characters};
use model::problem::{File, Place, Problem};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A parsed text.
#[derive(Clone)]
pub(crate) struct Document {
    /// The keys and tables at its top.
    pub top: Table,
    /// False if it has syntax errors: then what is missing may be what could not be parsed.
    pub sound: bool,
}

/// A table, its entries in the order of the text.
#[derive(Clone)]
pub(crate) struct Table {
    /// Its header, the whole inline table, or the key that implies it.
    pub bytes: Range<usize>,
    /// What stands in it.
    pub entries: Vec<Entry>,
}

/// A key and what stands behind it.
#[derive(Clone)]
pub(crate) struct Entry {
    /// The key without quotes.
    pub key: String,
    /// Where the key stands.
    pub bytes: Range<usize>,
    /// What stands behind it.
    pub item: Item,
}

/// A value and its place.
#[derive(Clone)]
pub(crate) struct Item {
    /// Where it stands: for a table, its header.
    pub bytes: Range<usize>,
    /// What it is.
    pub form: Form,
}

/// What a value is.
#[derive(Clone)]
pub(crate) enum Form {
    /// In quotes.
    Text(String),
    /// As it is written, without underscores: never by way of a float.
    Number(String),
    /// `true` or `false`.
    Truth(bool),
    /// A date or a time.
    Date,
    /// In square brackets, or tables in double brackets.
    List(Vec<Item>),
    /// In braces, or under a header.
    Table(Table),
}

impl Table {
    /// What stands behind a key.
    pub fn get(&self, key: &str) -> Option<&Item> {
        self.entries.iter().find(|entry| entry.key == key).map(|entry| &entry.item)
    }
}

impl Item {
    /// What it is, in a word or two, for "`width` is ...".
    pub fn what(&self) -> &'static str {
        match self.form {
            Form::Text(_) => "a text",
            Form::Number(_) => "a number",
            Form::Truth(true) => "`true`",
            Form::Truth(false) => "`false`",
            Form::Date => "a date",
            Form::List(_) => "a list",
            Form::Table(_) => "a table",
        }
    }
}

/// Parses a text, with all its syntax errors. `None` if a limit is passed, so that nothing in it should be read.
pub(crate) fn parse(file: File, text: &str) -> (Option<Document>, Vec<Problem>) {
    let unread = json(text).map(|bytes| (bytes, is_json(file)));
    if let Some((bytes, problem)) = unread.or_else(|| too_deep(text).map(|bytes| (bytes, nesting()))) {
        return (None, vec![problem.at(&Place { file, bytes })]);
    }
    let (mut table, errors) = DeTable::parse_recoverable(text);
    let sound = syntax::is_sound(&errors);
    let twice = syntax::twice(&errors);
    let tables = if twice.is_empty() { Vec::new() } else { repeated(&headers(text), &twice) };
    let mut problems = syntax::problems(file, text, &errors, &tables);
    // The parser would mix the keys of two tables of one name.
    let once = without(text, &tables);
    if !tables.is_empty() {
        (table, _) = DeTable::parse_recoverable(&once);
    }
    let mut tree = Tree { file, text, keys: 0, problem: None };
    let top = tree.table(table.get_ref(), 0..0, 1);
    if let Some(problem) = tree.problem {
        problems.push(problem);
        return (None, problems);
    }
    (Some(Document { top, sound }), problems)
}

fn nesting() -> Problem {
    Problem::new(format!("lists and tables stand more than {} deep in one another", LIMITS.nesting))
        .expected("expected to be closed long before this")
        .hint("nothing in a plan, a yard or a shed stands deeper than a table in a list in a table")
}

/// The bracket that opens one level too many. A parser that calls itself for each bracket would run out of stack on a
/// file of brackets, so this looks at the bytes first; strings and comments are passed over.
fn too_deep(text: &str) -> Option<Range<usize>> {
    brackets(text).find(|(_, depth)| *depth > LIMITS.nesting).map(|(at, _)| at..at + 1)
}

/// The brace that a text in JSON begins with; no line of TOML begins so.
fn json(text: &str) -> Option<Range<usize>> {
    let begin = text.trim_start_matches('\u{feff}').trim_start();
    begin.starts_with('{').then(|| text.len() - begin.len()..text.len() - begin.len() + 1)
}

fn is_json(file: File) -> Problem {
    let word = file_word(file);
    Problem::new(format!("this is JSON, not a {word}"))
        .expected("expected a line such as `format = 1`")
        .hint(format!("a {word} is text in TOML, one `key = value` on a line: name the `.{word}.toml` itself"))
}

/// Makes our tree of the parser's, and counts.
struct Tree<'t> {
    file: File,
    text: &'t str,
    keys: usize,
    /// The first limit that was passed.
    problem: Option<Problem>,
}

impl Tree<'_> {
    fn table(&mut self, table: &DeTable<'_>, bytes: Range<usize>, depth: usize) -> Table {
        let mut entries = Vec::new();
        for (key, value) in table {
            let key_bytes = on_characters(self.text, key.span());
            self.keys += 1;
            if self.keys > LIMITS.keys {
                // Which key is one too many depends on the order in which they are counted: the file is what is too long.
                let problem = Problem::new(format!("there are more than {} keys in this file", LIMITS.keys));
                self.fail(problem.expected(format!("expected at most {} keys from here on", LIMITS.keys)), &(0..0));
            }
            if self.problem.is_some() {
                break;
            }
            let item = self.item(value, depth + 1);
            entries.push(Entry { key: key.get_ref().to_string(), bytes: key_bytes, item });
        }
        entries.sort_by_key(|entry| entry.bytes.start);
        Table { bytes, entries }
    }

    fn item(&mut self, value: &Spanned<DeValue<'_>>, depth: usize) -> Item {
        let bytes = on_characters(self.text, value.span());
        if depth > LIMITS.nesting + 1 {
            self.fail(nesting(), &bytes);
            return Item { bytes, form: Form::Date };
        }
        let form = match value.get_ref() {
            DeValue::String(text) => Form::Text(text.to_string()),
            DeValue::Integer(_) | DeValue::Float(_) => Form::Number(self.text[bytes.clone()].replace('_', "")),
            DeValue::Boolean(truth) => Form::Truth(*truth),
            DeValue::Datetime(_) => Form::Date,
            DeValue::Array(items) => Form::List(items.iter().map(|item| self.item(item, depth + 1)).collect()),
            DeValue::Table(table) => Form::Table(self.table(table, bytes.clone(), depth)),
        };
        Item { bytes, form }
    }

    fn fail(&mut self, problem: Problem, bytes: &Range<usize>) {
        let place = Place { file: self.file, bytes: bytes.clone() };
        self.problem.get_or_insert(problem.at(&place));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brackets_in_strings_and_comments_do_not_count() {
        let many = "[".repeat(100);
        for text in [
            format!("# {many}\n"),
            format!("a = \"{many}\""),
            format!("a = '{many}'"),
            format!("a = \"\"\"\n{many}\n\"\"\""),
            format!("a = \"\\\"{many}\""),
            "[a]\n".repeat(100),
            String::new(),
        ] {
            assert_eq!(too_deep(&text), None, "{text}");
        }
    }

    #[test]
    fn the_seventeenth_bracket_is_too_many() {
        assert_eq!(too_deep(&format!("a = {}", "[".repeat(17))), Some(20..21));
        assert_eq!(too_deep(&format!("a = {}", "[".repeat(16))), None);
        assert_eq!(too_deep(&format!("a = '''x''' # y\nb = {}", "{".repeat(17))), Some(36..37));
    }

    #[test]
    fn tables_stand_in_the_order_of_the_text() {
        let (document, problems) = parse(File::Plan, "z = 1\n[piece.b]\nx = 2\n[piece.a]\n");
        assert_eq!(problems, []);
        let document = document.expect("a sound text");
        let Some(Item { form: Form::Table(pieces), .. }) = document.top.get("piece") else { panic!("a table") };
        let names: Vec<&str> = pieces.entries.iter().map(|entry| entry.key.as_str()).collect();
        assert_eq!(names, ["b", "a"]);
    }

    #[test]
    fn of_two_tables_of_one_name_the_first_is_read() {
        let text = "[piece.a]\nx = 1\n[piece.a]\nx = 2\ny = 3\n[piece.a.z]\nq = 1\n[piece.b]\ny = 4\n";
        let (document, problems) = parse(File::Plan, text);
        let messages: Vec<&str> = problems.iter().map(|problem| problem.message.as_str()).collect();
        assert_eq!(messages, ["`[piece.a]` is written twice"]);
        let document = document.expect("a sound text");
        let Some(Item { form: Form::Table(pieces), .. }) = document.top.get("piece") else { panic!("a table") };
        let Some(Item { form: Form::Table(first), bytes }) = pieces.get("a") else { panic!("a table") };
        assert_eq!(*bytes, 0..9);
        let keys: Vec<&str> = first.entries.iter().map(|entry| entry.key.as_str()).collect();
        assert_eq!(keys, ["x"]);
        assert!(pieces.get("b").is_some());
    }

    #[test]
    fn json_begins_with_a_brace() {
        for (text, at) in [("{\"a\": 1}", 0), ("\n  {}", 3), ("\u{feff}{", 3)] {
            assert_eq!(json(text), Some(at..at + 1), "{text}");
        }
        for text in ["", "a = {}", "[a]\n", "# {\n"] {
            assert_eq!(json(text), None, "{text}");
        }
    }

    #[test]
    fn dotted_keys_and_keys_are_limited() {
        let deep = format!("{}x = 1", "a.".repeat(40));
        let (document, problems) = parse(File::Plan, &deep);
        assert!(document.is_none() && problems[0].message.contains("16 deep"));
        let many: String = (0..10_001).map(|i| format!("k{i} = 1\n")).collect();
        let (document, problems) = parse(File::Plan, &many);
        assert!(document.is_none() && problems[0].message.contains("10000 keys"));
    }
}
