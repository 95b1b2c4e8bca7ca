//! Reads a table by its schema: unknown keys, missing keys, and each value by its kind.

use crate::document::{self, Form, Item, Table};
use crate::limits::LIMITS;
use crate::suggest::{is_plain, list, nearest, quote};
use measure::{BadLength, Length, Tape, Unit};
use model::problem::{File, Place, Problem};
use model::schema::{Default, Field, Kind, Schema, Value, Values};
use std::ops::Range;

/// Reads one file's tables, and collects what is wrong with them.
pub(crate) struct Reader {
    /// Which file.
    pub file: File,
    /// What a bare number means in it.
    pub unit: Unit,
    /// False if the file names a unit that nobody knows: then bare numbers cannot be held against bounds.
    pub unit_known: bool,
    /// The grid that the default range of a wish is rounded to.
    pub step: Length,
    /// What is wrong so far.
    pub problems: Vec<Problem>,
}

impl Reader {
    /// A reader for a file in these units, with the usual tape.
    pub fn new(file: File, top: &Table) -> Reader {
        let unit = unit_of(top);
        let step = Tape::usual(unit.unwrap_or(Unit::Millimetre)).step();
        Reader { file, unit: unit.unwrap_or(Unit::Millimetre), unit_known: unit.is_some(), step, problems: Vec::new() }
    }

    /// A place in this file.
    pub fn place(&self, bytes: &Range<usize>) -> Place {
        Place { file: self.file, bytes: bytes.clone() }
    }

    /// Notes a problem at a place; the result is what the value is then.
    pub fn wrong<T>(&mut self, bytes: &Range<usize>, problem: Problem) -> Option<T> {
        let place = self.place(bytes);
        self.problems.push(problem.at(&place));
        None
    }

    /// Reads a table by its schema. Keys in `also` are read elsewhere; `called` is what a message calls the table.
    pub fn table(&mut self, table: &Table, schema: &'static Schema, also: &[&str], called: &str) -> Values {
        let known: Vec<&str> = also.iter().copied().chain(schema.fields.iter().map(|field| field.key)).collect();
        let meant = self.unknown_keys(table, &known, called);
        let mut values = Values::new(self.place(&table.bytes));
        for field in schema.fields {
            if also.contains(&field.key) {
                continue;
            }
            match table.get(field.key) {
                Some(item) => {
                    if let Some(value) = self.value(field, item) {
                        values.insert(field.key, value, self.place(&item.bytes));
                    }
                }
                // A key that was misspelt is not missing as well.
                None if meant.contains(&field.key) => {}
                None => self.left_out(table, field, called, &mut values),
            }
        }
        values
    }

    /// Reports each key of a table that is not among the known ones. The result is what was probably meant by them.
    pub fn unknown_keys<'k>(&mut self, table: &Table, known: &[&'k str], called: &str) -> Vec<&'k str> {
        let mut meant = Vec::new();
        for entry in table.entries.iter().filter(|entry| !known.contains(&entry.key.as_str())) {
            let header = matches!(&entry.item.form, Form::Table(inner) if self.is_header(inner));
            let (what, open, close) = if header { ("table", "[", "]") } else { ("key", "", "") };
            let near = nearest(&entry.key, known);
            meant.extend(near);
            let hint = match near {
                Some(near) => format!("did you mean `{open}{near}{close}`?"),
                None => format!("{called} knows {}", list(known, "and")),
            };
            let problem = Problem::new(format!("unknown {what} `{open}{}{close}`", quote(&entry.key)))
                .expected(format!("not a {what} of {called}"))
                .hint(hint);
            self.wrong::<()>(&entry.bytes, problem);
        }
        meant
    }

    /// A table under a header lies around its key; one in braces lies behind it, and cannot be told by its length alone.
    fn is_header(&self, table: &Table) -> bool {
        table.entries.first().is_none_or(|first| first.bytes.start >= table.bytes.end)
    }

    fn left_out(&mut self, table: &Table, field: &Field, called: &str, values: &mut Values) {
        match field.default {
            Default::Absent => {}
            Default::Required => {
                let expected = self.expected(&field.kind);
                let problem = Problem::new(format!("{called} lacks the key `{}`", field.key))
                    .expected(format!("expected `{}` in here: {expected}", field.key))
                    .hint(as_hint(field));
                self.wrong::<()>(&table.bytes, problem);
            }
            Default::Text(text) => {
                let mut item = default_item(&field.kind, text);
                item.bytes = table.bytes.clone();
                let before = self.problems.len();
                if let Some(value) = self.value(field, &item) {
                    values.insert(field.key, value, self.place(&table.bytes));
                }
                for problem in &mut self.problems[before..] {
                    problem.message = format!("in the default `{text}` of `{}`: {}", field.key, problem.message);
                }
            }
        }
    }

    /// Reads one value by its kind.
    pub fn value(&mut self, field: &Field, item: &Item) -> Option<Value> {
        let key = field.key;
        match field.kind {
            Kind::Length { least, most } => self.length(key, item, (least, most)).map(Value::Length),
            Kind::Wish { of, least, most } => self.wish(key, item, of, (least, most)).map(Value::Wish),
            Kind::Count { least, most } => self.count(key, item, (least, most)).map(Value::Count),
            Kind::Percent { most } => self.percent(key, item, most).map(Value::Percent),
            Kind::Word(words) => self.word(key, item, words).map(Value::Word),
            Kind::Text | Kind::Stock(_) | Kind::Piece => self.text(key, item, &field.kind).map(Value::Text),
            Kind::Faces | Kind::Pieces | Kind::Stocks(_) => self.names(key, item, &field.kind).map(Value::Names),
            Kind::Lengths { least, most } => self.lengths(key, item, (least, most)).map(Value::Lengths),
            Kind::Decimal { most } => self.decimal(key, item, most).map(Value::Decimal),
            Kind::Money => self.money(key, item).map(Value::Money),
            Kind::Mass => self.mass(key, item).map(Value::Mass),
            Kind::Density => self.density(key, item).map(Value::Density),
            Kind::List(schema) => self.tables(key, item, schema).map(Value::List),
        }
    }

    /// Reports that a value is of the wrong kind.
    pub fn wrong_kind<T>(&mut self, key: &str, item: &Item, kind: &Kind) -> Option<T> {
        let expected = self.expected(kind);
        let problem = Problem::new(format!("`{key}` is {}", item.what())).expected(format!("expected {expected}"));
        let problem = match (kind, &item.form) {
            (Kind::Count { .. } | Kind::Density, Form::Text(text)) if text.trim().parse::<u32>().is_ok() => {
                problem.hint(format!("write {} without quotes", text.trim()))
            }
            (Kind::Text | Kind::Word(_) | Kind::Stock(_) | Kind::Piece, Form::Number(_) | Form::Truth(_)) => {
                problem.hint("write it in double quotes")
            }
            (Kind::Faces | Kind::Pieces | Kind::Stocks(_), Form::Text(text)) => {
                problem.hint(format!("write `[\"{}\"]`", quote(text)))
            }
            (Kind::List(_), Form::Table(_)) => problem.hint("put the table into square brackets: `[{ ... }]`"),
            _ => problem,
        };
        self.wrong(&item.bytes, problem)
    }

    /// What is expected behind a key, in words.
    pub fn expected(&self, kind: &Kind) -> String {
        match kind {
            Kind::Length { least, most } => format!("a length from {}", self.bounds((*least, *most))),
            Kind::Wish { least, most, .. } => {
                format!("a length from {}, or a table with `want`, `from`, `to`", self.bounds((*least, *most)))
            }
            Kind::Count { least, most } if least == most => format!("`{least}`"),
            Kind::Count { least, most } => format!("a whole number from {least} to {most}"),
            Kind::Percent { most } => format!("a share from 0 % to {most} %, such as `\"5 %\"`"),
            Kind::Word(words) => list(&words.iter().map(|(word, _)| *word).collect::<Vec<_>>(), "or"),
            Kind::Text => "a text in quotes".to_owned(),
            Kind::Stock(kind) => format!("the name of a {} in the yard", kind.word()),
            Kind::Piece => "the name of another piece".to_owned(),
            Kind::Faces => "a list of faces such as `[\"front\", \"back\"]`".to_owned(),
            Kind::Pieces => "a list of other pieces such as `[\"left\", \"right\"]`".to_owned(),
            Kind::Stocks(kind) => format!("a list of {}s in the yard such as `[\"wide\", \"narrow\"]`", kind.word()),
            Kind::Lengths { least, most } => format!("a list of lengths, each from {}", self.bounds((*least, *most))),
            Kind::Decimal { most } => format!("a number from 0.001 to {most} with at most three decimals"),
            Kind::Money => "a price such as 11.28".to_owned(),
            Kind::Mass => "a mass such as `\"25 kg\"`, `\"55 lb\"` or `\"350 g\"`".to_owned(),
            Kind::Density => format!("a whole number of kg/m³ from 1 to {}", LIMITS.density),
            Kind::List(schema) => {
                let keys: Vec<&str> = schema.fields.iter().map(|field| field.key).collect();
                format!("a list of tables with {}", list(&keys, "and"))
            }
        }
    }

    /// Reads a length between two bounds in millimetres.
    pub fn length(&mut self, key: &str, item: &Item, bounds: (i64, i64)) -> Option<Length> {
        let kind = Kind::Length { least: bounds.0, most: bounds.1 };
        let (text, bare) = match &item.form {
            Form::Number(number) => (number.strip_prefix('+').unwrap_or(number), true),
            Form::Text(text) => (text.as_str(), text.trim().bytes().all(|b| !b.is_ascii_alphabetic())),
            _ => return self.wrong_kind(key, item, &kind),
        };
        let plain =
            matches!(item.form, Form::Text(_)) || text.bytes().all(|b| b.is_ascii_digit() || b"-.".contains(&b));
        let read = if plain { measure::parse(text, self.unit) } else { Err(BadLength::Form) };
        let length = match read {
            Ok(length) => length,
            Err(why) => return self.bad_length(key, item, text, why),
        };
        if bare && !self.unit_known {
            return Some(length);
        }
        let side = if length < Length::mm(bounds.0) {
            "small"
        } else if length > Length::mm(bounds.1) {
            "large"
        } else {
            return Some(length);
        };
        let problem = Problem::new(format!("`{key}` is too {side}: {}", self.show(length)));
        self.wrong(&item.bytes, problem.expected(format!("expected {}", self.expected(&kind))))
    }

    fn bad_length<T>(&mut self, key: &str, item: &Item, text: &str, why: BadLength) -> Option<T> {
        let is_name = text.split(['x', 'X', '×']).count() == 2 && text.bytes().any(|b| b.is_ascii_digit());
        let expected = match why {
            BadLength::Form => {
                "expected a length such as 845, `\"84.5 cm\"`, `\"3-1/2 in\"` or `\"5 ft 6 in\"`".to_owned()
            }
            _ => why.to_string(),
        };
        let problem = Problem::new(format!("`{key}` is no length: `{}`", quote(text)));
        let problem = match why {
            _ if is_name && !text.starts_with("0x") => problem.expected("expected one length").hint(
                "two numbers with an `x` are a name in the shop: measure, and write each size behind its own key",
            ),
            BadLength::Form if matches!(item.form, Form::Number(_)) => {
                problem.expected(expected).hint("write it in plain digits, with a point for decimals")
            }
            _ => problem.expected(expected),
        };
        self.wrong(&item.bytes, problem)
    }

    fn word(&mut self, key: &str, item: &Item, words: &'static [(&'static str, &'static str)]) -> Option<&'static str> {
        let written = match &item.form {
            Form::Text(text) => text.as_str(),
            // A schema that wants a yes or a no has `true` and `false` for its words.
            Form::Truth(truth) if words.iter().any(|(word, _)| *word == "true") => {
                ["false", "true"][usize::from(*truth)]
            }
            _ => return self.wrong_kind(key, item, &Kind::Word(words)),
        };
        if let Some((word, _)) = words.iter().find(|(word, _)| *word == written) {
            return Some(word);
        }
        let names: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        self.unknown_word(key, item, written, &names)
    }

    /// Reports a word that is not one of a few.
    pub fn unknown_word<T>(&mut self, key: &str, item: &Item, written: &str, words: &[&str]) -> Option<T> {
        let problem = Problem::new(format!("`{key}` cannot be `{}`", quote(written)))
            .expected(format!("expected {}", list(words, "or")));
        let problem = match nearest(written, words) {
            Some(near) => problem.hint(format!("did you mean `{near}`?")),
            None => problem,
        };
        self.wrong(&item.bytes, problem)
    }

    fn text(&mut self, key: &str, item: &Item, kind: &Kind) -> Option<String> {
        let Form::Text(text) = &item.form else { return self.wrong_kind(key, item, kind) };
        let problem = if text.trim().is_empty() {
            Problem::new(format!("`{key}` is empty")).expected(format!("expected {}", self.expected(kind)))
        } else if text.chars().count() > LIMITS.text {
            Problem::new(format!("`{key}` is {} characters long", text.chars().count()))
                .expected(format!("expected at most {} characters", LIMITS.text))
        } else if let Some(c) = text.chars().find(|c| !is_plain(*c)) {
            Problem::new(format!("`{key}` holds a character that does not print: `{}`", c.escape_default()))
                .expected("expected one line of letters, digits and signs")
        } else {
            return Some(text.clone());
        };
        self.wrong(&item.bytes, problem)
    }

    /// Reads a list of names, each of which stands once: faces and pieces; what lies in a pattern may come again.
    fn names(&mut self, key: &str, item: &Item, kind: &Kind) -> Option<Vec<String>> {
        let Form::List(items) = &item.form else { return self.wrong_kind(key, item, kind) };
        self.list_length(key, item, items)?;
        let of = match kind {
            Kind::Pieces => "piece",
            Kind::Stocks(kind) => kind.word(),
            _ => "face",
        };
        let mut names: Vec<String> = Vec::new();
        let mut whole = true;
        for item in items {
            let name = match &item.form {
                Form::Text(text) if !text.trim().is_empty() => self.text(key, item, &Kind::Text),
                form => {
                    let what = if matches!(form, Form::Text(_)) { "an empty name" } else { item.what() };
                    let problem = Problem::new(format!("`{key}` has {what} in it"));
                    self.wrong(&item.bytes, problem.expected(format!("expected the name of a {of} in quotes")))
                }
            };
            match name {
                Some(name) if names.contains(&name) && !matches!(kind, Kind::Stocks(_)) => {
                    let problem = Problem::new(format!("`{key}` names the {of} `{}` twice", quote(&name)));
                    self.wrong::<()>(&item.bytes, problem.expected(format!("expected each {of} once")));
                }
                Some(name) => names.push(name),
                None => whole = false,
            }
        }
        whole.then_some(names)
    }

    fn lengths(&mut self, key: &str, item: &Item, bounds: (i64, i64)) -> Option<Vec<Length>> {
        let kind = Kind::Lengths { least: bounds.0, most: bounds.1 };
        let Form::List(items) = &item.form else { return self.wrong_kind(key, item, &kind) };
        self.list_length(key, item, items)?;
        let read: Vec<Option<Length>> = items.iter().map(|item| self.length(key, item, bounds)).collect();
        read.into_iter().collect()
    }

    fn tables(&mut self, key: &str, item: &Item, schema: &'static Schema) -> Option<Vec<Values>> {
        let Form::List(items) = &item.form else { return self.wrong_kind(key, item, &Kind::List(schema)) };
        self.list_length(key, item, items)?;
        let mut read = Vec::new();
        for item in items {
            match &item.form {
                Form::Table(table) => read.push(self.table(table, schema, &[], &format!("an entry of `{key}`"))),
                _ => {
                    let expected = self.expected(&Kind::List(schema));
                    let problem = Problem::new(format!("an entry of `{key}` is {}", item.what()));
                    self.wrong::<()>(&item.bytes, problem.expected(format!("expected {expected}")));
                }
            }
        }
        (read.len() == items.len()).then_some(read)
    }

    fn list_length(&mut self, key: &str, item: &Item, items: &[Item]) -> Option<()> {
        let most = LIMITS.list;
        let problem = match items.len() {
            0 => Problem::new(format!("`{key}` is an empty list")).expected(format!("expected 1 to {most} entries")),
            length if length > most => {
                Problem::new(format!("`{key}` has {length} entries")).expected(format!("expected 1 to {most} entries"))
            }
            _ => return Some(()),
        };
        self.wrong(&item.bytes, problem)
    }

    /// Two bounds in millimetres, as the file's unit has them. In inches they are rounded inwards, so that what is printed
    /// is always accepted: from 10 in on to a whole inch, below to a sixteenth.
    pub fn bounds(&self, (least, most): (i64, i64)) -> String {
        let (least, most) = (Length::mm(least), Length::mm(most));
        if self.unit != Unit::Millimetre {
            let tape = Tape::usual(self.unit);
            for coarse in [INCH, tape.step()] {
                let (inner_least, inner_most) = (-inwards(-least, coarse), inwards(most, coarse));
                if inner_least <= inner_most {
                    return format!("{} to {}", tape.show(inner_least), tape.show(inner_most));
                }
            }
        }
        format!("{} to {} mm", least.as_mm(), most.as_mm())
    }

    /// A length as the file's unit has it: exactly, if the unit can.
    pub fn show(&self, length: Length) -> String {
        match Tape::new(self.unit, Length::inch_64ths(2)) {
            Some(tape) if length.is_on(tape.step()) => tape.show(length),
            Some(tape) => format!("{} in", tape.show_fine(length)),
            None => format!("{} mm", Tape::usual(self.unit).show_fine(length)),
        }
    }
}

const INCH: Length = Length::inch_64ths(64);

/// An upper bound on the marks below it: `coarse` ones from 10 in on, and sixteenths of an inch before.
fn inwards(most: Length, coarse: Length) -> Length {
    let step = if most.abs() >= INCH * 10 { coarse } else { Length::inch_64ths(4) };
    step * most.nanometres().div_euclid(step.nanometres())
}

/// What a key means, as a hint: the first sentence of its doc, without capital and full stop.
pub(crate) fn as_hint(field: &Field) -> String {
    let sentence = field.doc.split_once(". ").map_or(field.doc, |(first, _)| first).trim_end_matches('.');
    let mut letters = sentence.chars();
    let first: String = letters.next().iter().flat_map(|letter| letter.to_lowercase()).collect();
    format!("`{}`: {first}{}", field.key, letters.as_str())
}

/// The unit that a file names, without a word about it if it is wrong: reading the key does that. `None` if it is wrong.
fn unit_of(top: &Table) -> Option<Unit> {
    match top.get("units").map(|item| &item.form) {
        None => Some(Unit::Millimetre),
        Some(Form::Text(text)) => unit(text),
        Some(_) => None,
    }
}

/// The unit of a word of the key `units`.
pub(crate) fn unit(word: &str) -> Option<Unit> {
    match word {
        "mm" => Some(Unit::Millimetre),
        "in" => Some(Unit::Inch),
        "ft-in" => Some(Unit::FootInch),
        _ => None,
    }
}

/// A default as if it had been written: what would be a value of the format is one, and all else is text.
fn default_item(kind: &Kind, text: &str) -> Item {
    let as_text = Item { bytes: 0..0, form: Form::Text(text.to_owned()) };
    if matches!(kind, Kind::Word(_) | Kind::Text | Kind::Stock(_) | Kind::Piece) {
        return as_text;
    }
    let (document, problems) = document::parse(File::Plan, &format!("x = {text}"));
    match document {
        Some(mut document) if problems.is_empty() && document.top.entries.len() == 1 => {
            document.top.entries.remove(0).item
        }
        _ => as_text,
    }
}

/// What is wrong with a schema itself: keys written twice, and defaults that cannot be read, in each of the units. Empty
/// for a sound schema. For the tests of those who write schemas.
pub fn flaws(schema: &'static Schema) -> Vec<String> {
    let mut found = Vec::new();
    for (at, field) in schema.fields.iter().enumerate() {
        if schema.fields[..at].iter().any(|earlier| earlier.key == field.key) {
            found.push(format!("`{}` has the key `{}` twice", schema.name, field.key));
        }
        if let Kind::List(inner) = field.kind {
            found.extend(flaws(inner));
        }
    }
    for unit in [Unit::Millimetre, Unit::Inch] {
        let mut reader =
            Reader { file: File::Plan, unit, unit_known: true, step: Tape::usual(unit).step(), problems: Vec::new() };
        reader.table(&Table { bytes: 0..0, entries: Vec::new() }, schema, &[], schema.name);
        let bad = reader.problems.iter().map(|problem| &problem.message).filter(|m| m.starts_with("in the default"));
        found.extend(bad.map(|message| format!("`{}`: {message}", schema.name)));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::FILES;
    use proptest::prelude::*;

    #[test]
    fn our_own_tables_have_no_flaws() {
        for file in &FILES {
            assert_eq!(flaws(file.top), Vec::<String>::new());
            for schema in file.tables.iter().filter_map(|table| table.schema) {
                assert_eq!(flaws(schema), Vec::<String>::new());
            }
        }
    }

    #[test]
    fn flaws_are_found() {
        static BAD: Schema = Schema {
            name: "bad",
            doc: "",
            fields: &[
                Field { key: "a", doc: "", kind: Kind::Count { least: 1, most: 2 }, default: Default::Text("3") },
                Field { key: "a", doc: "", kind: Kind::Text, default: Default::Absent },
            ],
        };
        assert_eq!(flaws(&BAD).len(), 3, "{:?}", flaws(&BAD));
    }

    #[test]
    fn bounds_in_inches_are_rounded_inwards() {
        let top = document::parse(File::Plan, "units = \"in\"").0.expect("sound").top;
        let reader = Reader::new(File::Plan, &top);
        // 100 mm is 3.937 in and 6000 mm is 236.22 in, at 25.4 mm the inch.
        for (bounds, expected) in [
            ((100, 6000), "3-15/16\" to 236\""),
            ((50, 20_000), "2\" to 787\""),
            ((0, 2), "0\" to 1/16\""),
            ((254, 300), "10\" to 11\""),
            ((-300, -100), "-11\" to -3-15/16\""),
            // Between 10 in and 11 in there is no whole inch, and between 10 mm and 11 mm no sixteenth.
            ((255, 279), "10-1/16\" to 10-15/16\""),
            ((10, 11), "10 to 11 mm"),
        ] {
            assert_eq!(reader.bounds(bounds), expected);
        }
    }

    proptest! {
        /// What is printed as a bound is read as a length within the bounds, in each of the units.
        #[test]
        fn printed_bounds_are_accepted(least in 0_i64..30_000, more in 0_i64..30_000, unit in 0_usize..3) {
            let unit = [Unit::Millimetre, Unit::Inch, Unit::FootInch][unit];
            let top = document::parse(File::Plan, "").0.expect("sound").top;
            let mut reader = Reader::new(File::Plan, &top);
            reader.unit = unit;
            let most = least + more;
            let printed = reader.bounds((least, most));
            let (low, high) = printed.split_once(" to ").expect("two bounds");
            let low = if high.ends_with("mm") { format!("{low} mm") } else { low.to_owned() };
            for text in [low.as_str(), high] {
                let length = measure::parse(text, unit).expect("a length");
                prop_assert!(Length::mm(least) <= length && length <= Length::mm(most), "{}", printed);
            }
        }
    }
}
