//! Telling the sentence word by word, and writing the plan that it means.

use crate::written;
use scantling::{Length, Tape, Unit};
use serde_json::{Map, Value, json};

/// A word that can stand somewhere: as it is sent, and as it is shown.
pub(super) type In = (&'static str, &'static str);

/// Something that is one thing in millimetres and another in inches.
#[derive(Clone, Copy)]
pub(super) struct Either<T> {
    /// In a plan in millimetres.
    pub mm: T,
    /// In a plan in inches.
    pub inch: T,
}

/// The two forms of something.
pub(super) const fn either<T: Copy>(mm: T, inch: T) -> Either<T> {
    Either { mm, inch }
}

/// The sentence as it grows.
pub(super) struct Tell<'w> {
    unit: Unit,
    words: Option<&'w Map<String, Value>>,
    parts: Vec<Value>,
}

impl<'w> Tell<'w> {
    pub fn new(unit: Unit, words: Option<&'w Map<String, Value>>) -> Tell<'w> {
        Tell { unit, words, parts: Vec::new() }
    }

    pub fn sentence(self) -> Vec<Value> {
        self.parts
    }

    /// The form for the unit of this plan.
    pub fn of<T>(&self, either: Either<T>) -> T {
        match self.unit {
            Unit::Millimetre => either.mm,
            Unit::Inch | Unit::FootInch => either.inch,
        }
    }

    /// Text between words; what follows text is joined to it.
    pub fn say(&mut self, text: &str) {
        match self.parts.last_mut() {
            Some(Value::String(last)) => last.push_str(text),
            _ => self.parts.push(text.into()),
        }
    }

    /// The word that was chosen, or the first.
    pub fn picked(&self, word: &str, choices: &'static [In]) -> &'static str {
        let said = self.words.and_then(|words| words.get(word)).and_then(Value::as_str);
        choices.iter().find(|(is, _)| Some(*is) == said).or(choices.first()).map_or("", |(is, _)| is)
    }

    /// Tells a word to choose, and which was chosen.
    pub fn choose(&mut self, word: &str, choices: &'static [In]) -> &'static str {
        let is = self.picked(word, choices);
        let shown = choices.iter().find(|(other, _)| *other == is).map_or(is, |(_, shown)| shown);
        let choices: Vec<Value> = choices.iter().map(|(is, shown)| json!({ "is": is, "shown": shown })).collect();
        self.parts.push(json!({ "word": word, "is": is, "shown": shown, "choices": choices }));
        is
    }

    /// Tells a length to type, between two others, all in whole units of the plan, and which it is. What cannot be read or lies outside is told
    /// as `wrong`, and the usual length stands.
    pub fn length(&mut self, word: &str, usual: Either<i64>, between: Either<(i64, i64)>) -> Length {
        let whole = |count: i64| match self.unit {
            Unit::Millimetre => Length::mm(count),
            Unit::Inch | Unit::FootInch => Length::inch_64ths(64 * count),
        };
        let tape = Tape::usual(self.unit);
        let (from, to) = self.of(between);
        let (from, to) = (whole(from), whole(to));
        let read = match self.words.and_then(|words| words.get(word)).and_then(Value::as_str) {
            None => Ok(whole(self.of(usual))),
            Some(text) => match scantling::parse_length(text, self.unit) {
                Ok(length) if from <= length && length <= to => Ok(length),
                Ok(_) => Err(format!("between {} and {}", tape.show_with_unit(from), tape.show_with_unit(to))),
                Err(wrong) => Err(wrong.to_string()),
            },
        };
        let length = *read.as_ref().unwrap_or(&whole(self.of(usual)));
        let is = written::toml(length, self.unit).replace('"', "");
        let mut part = json!({
            "word": word,
            "is": is,
            "shown": tape.show_exact(length),
            "length": { "from": from.nanometres(), "to": to.nanometres() },
        });
        if let Err(wrong) = read {
            part["wrong"] = wrong.into();
        }
        self.parts.push(part);
        length
    }

    /// A length as the files write it.
    pub fn toml(&self, length: Length) -> String {
        written::toml(length, self.unit)
    }
}

/// A plan as it is written, piece by piece.
#[derive(Default)]
pub(super) struct Plan {
    remarks: String,
    pieces: String,
}

impl Plan {
    /// A plan with a remark at its head.
    pub fn new(remark: &str) -> Plan {
        Plan { remarks: format!("# {remark}\n"), pieces: String::new() }
    }

    /// Adds a piece: its name and kind, and its keys with their values, which are TOML. A key whose value is empty is left out.
    pub fn piece(&mut self, name: &str, is: &str, keys: &[(&str, &str)]) {
        self.pieces += &format!("\n[piece.{name}]\nis = \"{is}\"\n");
        for (key, value) in keys.iter().filter(|(_, value)| !value.is_empty()) {
            self.pieces += &format!("{key} = {value}\n");
        }
    }

    /// Adds a remark before the next piece.
    pub fn remark(&mut self, remark: &str) {
        self.pieces += &format!("\n# {remark}");
    }

    /// The text of the plan. What is made is told by its name and by that of its files.
    pub fn text(&self, shown: &str, file: &str, unit: Unit) -> String {
        let mut letters = shown.chars();
        let title: String = letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
        let units = if unit == Unit::Millimetre { "" } else { "units = \"in\"\n" };
        format!(
            "{}format = 1\ntitle = \"{title}\"\n{units}yard = \"{file}.yard.toml\"\nshed = \"{file}.shed.toml\"\n{}",
            self.remarks, self.pieces
        )
    }
}

/// A text as TOML.
pub(super) fn quoted(text: &str) -> String {
    format!("\"{text}\"")
}
