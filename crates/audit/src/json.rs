//! A small reader of JSON: whole numbers exactly, nesting as deep as a proof goes, and no recursion on a stranger's text.
//!
//! A covering tree nests three lists for each cut, deeper than general readers allow; so this one keeps its own stack.

use std::fmt;

/// How deep lists and objects may stand in one another.
const DEEPEST: usize = 1_500;

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Json {
    /// `null`.
    Null,
    /// `true` or `false`.
    Truth(bool),
    /// A whole number.
    Whole(i64),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Json>),
    /// Keys and values, in their order.
    Object(Vec<(String, Json)>),
}

/// What is wrong with a text that is no JSON, and at which byte.
#[derive(Debug, PartialEq)]
pub(crate) struct Wrong {
    what: &'static str,
    at: usize,
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} at byte {}", self.what, self.at)
    }
}

impl Json {
    /// Reads a whole text.
    pub fn read(text: &str) -> Result<Json, Wrong> {
        let mut reader = Reader { bytes: text.as_bytes(), text, at: 0, open: Vec::new() };
        reader.whole_text()
    }

    /// The value behind a key.
    pub fn get(&self, key: &str) -> Option<&Json> {
        match self {
            Json::Object(entries) => entries.iter().find(|entry| entry.0 == key).map(|entry| &entry.1),
            _ => None,
        }
    }
}

/// A text in quotes, as JSON has it.
pub(crate) fn quoted(text: &str) -> String {
    let mut quoted = String::from('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c < ' ' => quoted.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

/// A list or an object that is not closed yet.
enum Open {
    List(Vec<Json>),
    Object(Vec<(String, Json)>, Option<String>),
}

struct Reader<'t> {
    bytes: &'t [u8],
    text: &'t str,
    at: usize,
    open: Vec<Open>,
}

impl Reader<'_> {
    fn whole_text(&mut self) -> Result<Json, Wrong> {
        loop {
            if let Some(mut value) = self.value()? {
                loop {
                    match self.put(value)? {
                        Put::Whole(whole) => return self.nothing_more(whole),
                        Put::Closed(closed) => value = closed,
                        Put::Taken => break,
                    }
                }
            }
        }
    }

    fn nothing_more(&mut self, whole: Json) -> Result<Json, Wrong> {
        self.blanks();
        if self.at == self.bytes.len() { Ok(whole) } else { Err(self.wrong("something behind the end")) }
    }

    fn wrong(&self, what: &'static str) -> Wrong {
        Wrong { what, at: self.at }
    }

    fn blanks(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\n' | b'\r' | b'\t')) {
            self.at += 1;
        }
    }

    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    fn takes(&mut self, byte: u8) -> bool {
        self.blanks();
        let there = self.peek() == Some(byte);
        self.at += usize::from(there);
        there
    }

    /// The next value; `None` if it opens a list or an object that has something in it.
    fn value(&mut self) -> Result<Option<Json>, Wrong> {
        self.blanks();
        match self.peek() {
            Some(b'"') => self.string().map(|text| Some(Json::Text(text))),
            Some(b'-' | b'0'..=b'9') => self.number().map(Some),
            Some(b'[') => {
                self.at += 1;
                if self.takes(b']') { Ok(Some(Json::List(Vec::new()))) } else { self.opens(Open::List(Vec::new())) }
            }
            Some(b'{') => {
                self.at += 1;
                if self.takes(b'}') {
                    return Ok(Some(Json::Object(Vec::new())));
                }
                let key = self.key()?;
                self.opens(Open::Object(Vec::new(), Some(key)))
            }
            _ => self.literal().map(Some),
        }
    }

    fn opens(&mut self, open: Open) -> Result<Option<Json>, Wrong> {
        if self.open.len() >= DEEPEST {
            return Err(self.wrong("lists and objects too deep in one another"));
        }
        self.open.push(open);
        Ok(None)
    }

    fn key(&mut self) -> Result<String, Wrong> {
        self.blanks();
        if self.peek() != Some(b'"') {
            return Err(self.wrong("no key"));
        }
        let key = self.string()?;
        if self.takes(b':') { Ok(key) } else { Err(self.wrong("no `:` behind a key")) }
    }

    /// Puts a value where it belongs.
    fn put(&mut self, value: Json) -> Result<Put, Wrong> {
        match self.open.last_mut() {
            None => return Ok(Put::Whole(value)),
            Some(Open::List(items)) => items.push(value),
            Some(Open::Object(entries, key)) => {
                let key = key.take().unwrap_or_default();
                entries.push((key, value));
            }
        }
        if self.takes(b',') {
            if matches!(self.open.last(), Some(Open::Object(..))) {
                let next = self.key()?;
                if let Some(Open::Object(entries, key)) = self.open.last_mut() {
                    if entries.iter().any(|entry| entry.0 == next) {
                        return Err(self.wrong("a key twice"));
                    }
                    *key = Some(next);
                }
            }
            return Ok(Put::Taken);
        }
        let closing = if matches!(self.open.last(), Some(Open::List(_))) { b']' } else { b'}' };
        if !self.takes(closing) {
            return Err(self.wrong("neither `,` nor an end"));
        }
        Ok(Put::Closed(match self.open.pop() {
            Some(Open::List(items)) => Json::List(items),
            Some(Open::Object(entries, _)) => Json::Object(entries),
            None => Json::Null,
        }))
    }

    fn literal(&mut self) -> Result<Json, Wrong> {
        let known = [("null", Json::Null), ("true", Json::Truth(true)), ("false", Json::Truth(false))];
        for (word, value) in known {
            if self.bytes[self.at..].starts_with(word.as_bytes()) {
                self.at += word.len();
                return Ok(value);
            }
        }
        Err(self.wrong("no value"))
    }

    fn number(&mut self) -> Result<Json, Wrong> {
        let start = self.at;
        while matches!(self.peek(), Some(b'0'..=b'9' | b'-' | b'+' | b'.' | b'e' | b'E')) {
            self.at += 1;
        }
        let written = &self.text[start..self.at];
        match written.parse() {
            Ok(whole) if !written.starts_with('+') => Ok(Json::Whole(whole)),
            _ => Err(Wrong { what: "no whole number of at most 64 bits", at: start }),
        }
    }

    fn string(&mut self) -> Result<String, Wrong> {
        self.at += 1;
        let mut text = String::new();
        loop {
            let start = self.at;
            while !matches!(self.peek(), None | Some(b'"' | b'\\' | 0..=0x1f)) {
                self.at += 1;
            }
            // Both ends are ASCII bytes or the end of the text, so the slice cuts no character.
            text.push_str(&self.text[start..self.at]);
            match self.peek() {
                Some(b'"') => {
                    self.at += 1;
                    return Ok(text);
                }
                Some(b'\\') => {
                    self.at += 1;
                    text.push(self.escaped()?);
                }
                _ => return Err(self.wrong("a text without an end")),
            }
        }
    }

    fn escaped(&mut self) -> Result<char, Wrong> {
        let byte = self.peek();
        self.at += 1;
        Ok(match byte {
            Some(b'n') => '\n',
            Some(b't') => '\t',
            Some(b'r') => '\r',
            Some(b'b') => '\u{8}',
            Some(b'f') => '\u{c}',
            Some(b @ (b'"' | b'\\' | b'/')) => char::from(b),
            Some(b'u') => return self.code_point(),
            _ => return Err(self.wrong("an unknown escape")),
        })
    }

    fn code_point(&mut self) -> Result<char, Wrong> {
        let first = self.four_digits()?;
        let code = if (0xd800..0xdc00).contains(&first) && self.bytes[self.at..].starts_with(b"\\u") {
            self.at += 2;
            let second = self.four_digits()?;
            0x10000 + ((first - 0xd800) << 10) + (second & 0x3ff)
        } else {
            first
        };
        char::from_u32(code).ok_or_else(|| self.wrong("half a character"))
    }

    fn four_digits(&mut self) -> Result<u32, Wrong> {
        let digits = self.bytes.get(self.at..self.at + 4).and_then(|four| std::str::from_utf8(four).ok());
        let code = digits.and_then(|digits| u32::from_str_radix(digits, 16).ok());
        self.at += 4;
        code.ok_or(Wrong { what: "an unknown escape", at: self.at.min(self.bytes.len()) })
    }
}

/// Where a value went.
enum Put {
    /// It is the whole text.
    Whole(Json),
    /// It went into a list or object that closed behind it.
    Closed(Json),
    /// It went into a list or object that goes on.
    Taken,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_json_is() {
        let read = Json::read(" {\"a\": [1, -2, [], {}], \"b\\u00e4\\n\": null, \"c\": \"\\ud83d\\ude00\"} ");
        let list = Json::List(vec![Json::Whole(1), Json::Whole(-2), Json::List(vec![]), Json::Object(vec![])]);
        let text = Json::Text("\u{1f600}".into());
        let entries = vec![("a".into(), list), ("b\u{e4}\n".into(), Json::Null), ("c".into(), text)];
        assert_eq!(read, Ok(Json::Object(entries)));
    }

    #[test]
    fn refuses_what_it_is_not() {
        for text in [
            "",
            "[",
            "[1,]",
            "{\"a\"}",
            "{\"a\":1,}",
            "[1 2]",
            "1.5",
            "1e3",
            "nul",
            "\"",
            "\"\\x\"",
            "\"\\u12",
            "[]]",
            "{\"a\":1,\"a\":2}",
            "9223372036854775808",
            "{,}",
            "\"\\ud800\"",
            "+1",
            "--1",
            "\u{e4}",
            "[\"\\",
            "\"\\u\u{e4}12\"",
        ] {
            assert!(Json::read(text).is_err(), "{text}");
        }
    }

    /// serde_json is the general reader that this one is held against.
    #[test]
    fn reads_as_a_general_reader_does() {
        let text = r#"{"x":[{"y":[null,true,false,"q\"\\\/"]},-9223372036854775808],"z":{"k":[[[[0]]]]}}"#;
        let theirs: serde_json::Value = serde_json::from_str(text).expect("JSON");
        assert_eq!(as_theirs(&Json::read(text).expect("JSON")), theirs);
    }

    fn as_theirs(json: &Json) -> serde_json::Value {
        use serde_json::Value;
        match json {
            Json::Null => Value::Null,
            Json::Truth(truth) => Value::Bool(*truth),
            Json::Whole(whole) => Value::from(*whole),
            Json::Text(text) => Value::from(text.clone()),
            Json::List(items) => items.iter().map(as_theirs).collect(),
            Json::Object(entries) => entries.iter().map(|(k, v)| (k.clone(), as_theirs(v))).collect(),
        }
    }

    #[test]
    fn deep_nesting_is_an_error_and_no_overflow() {
        assert!(Json::read(&"[".repeat(1_000_000)).is_err());
        let deep = format!("{}1{}", "[".repeat(1_000), "]".repeat(1_000));
        assert!(Json::read(&deep).is_ok());
    }
}
