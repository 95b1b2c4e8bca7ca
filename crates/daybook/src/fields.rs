//! The keys of one line, taken out one by one so that what is left over is found.

use crate::entry::{Along, Holds};
use measure::{Length, Unit};
use model::standing::Out;
use serde_json::{Map, Value};

/// The most entries in one list of a line.
const MOST_LISTED: usize = 2_000;
/// The longest name, in characters.
const LONGEST_NAME: usize = 200;
/// The highest count, as for the counts of a plan.
const MOST_COUNTED: u32 = 1_000_000;

/// What is left of a line.
pub(crate) struct Fields(Map<String, Value>);

/// What is wrong with a line.
pub(crate) struct Wrong {
    pub message: String,
    /// Whether it can be the beginning of a line whose writer was stopped.
    pub half: bool,
}

impl From<String> for Wrong {
    fn from(message: String) -> Wrong {
        Wrong { message, half: false }
    }
}

impl Fields {
    /// The keys of a line.
    pub fn of(line: &str) -> Result<Fields, Wrong> {
        match serde_json::from_str(line) {
            Ok(Value::Object(map)) => Ok(Fields(map)),
            Ok(_) => Err("it is no object".to_owned().into()),
            Err(_) => Err(Wrong { message: "it is no whole JSON".into(), half: true }),
        }
    }

    /// Holds that no key is left.
    pub fn end(self) -> Result<(), String> {
        self.0.keys().next().map_or(Ok(()), |key| Err(format!("it has a key `{}`, which its kind has not", shown(key))))
    }

    pub fn has(&self, key: &str) -> bool {
        self.0.contains_key(key)
    }

    fn take(&mut self, key: &str) -> Result<Value, String> {
        self.0.remove(key).ok_or_else(|| format!("it lacks `{key}`"))
    }

    pub fn text(&mut self, key: &str) -> Result<String, String> {
        name(&self.take(key)?).ok_or_else(|| format!("`{key}` is no name"))
    }

    /// A whole number from `least` up.
    pub fn count(&mut self, key: &str, least: u32) -> Result<u32, String> {
        count(&self.take(key)?, least).ok_or_else(|| format!("`{key}` is no whole number from {least} up"))
    }

    /// A length of something that is there.
    pub fn length(&mut self, key: &str) -> Result<Length, String> {
        let length = self.take(key).and_then(|value| length(key, &value))?;
        if length > Length::ZERO { Ok(length) } else { Err(format!("`{key}` is not longer than nothing")) }
    }

    /// A length that may be nothing.
    pub fn gap(&mut self, key: &str) -> Result<Length, String> {
        let length = self.take(key).and_then(|value| length(key, &value))?;
        if length >= Length::ZERO { Ok(length) } else { Err(format!("`{key}` is shorter than nothing")) }
    }

    fn list<T>(&mut self, key: &str, read: impl Fn(&Value) -> Result<T, String>) -> Result<Vec<T>, String> {
        match self.take(key)? {
            Value::Array(items) if items.len() <= MOST_LISTED => items.iter().map(read).collect(),
            Value::Array(_) => Err(format!("`{key}` lists more than {MOST_LISTED}")),
            _ => Err(format!("`{key}` is no list")),
        }
    }

    /// Lengths, at least one.
    pub fn lengths(&mut self, key: &str) -> Result<Vec<Length>, String> {
        let lengths = self.list(key, |value| length(key, value))?;
        let sound = !lengths.is_empty() && lengths.iter().all(|&length| length > Length::ZERO);
        if sound { Ok(lengths) } else { Err(format!("`{key}` lists no length that is longer than nothing")) }
    }

    pub fn texts(&mut self, key: &str) -> Result<Vec<String>, String> {
        self.list(key, |value| name(value).ok_or_else(|| format!("`{key}` lists what is no name")))
    }

    pub fn counts(&mut self, key: &str) -> Result<Vec<u32>, String> {
        self.list(key, |value| count(value, 1).ok_or_else(|| format!("`{key}` lists what is no number from 1 up")))
    }

    pub fn holds(&mut self, key: &str) -> Result<Holds, String> {
        match self.take(key)? {
            Value::Object(map) if map.len() <= MOST_LISTED => {
                map.iter().map(|(name, value)| Ok((name.clone(), length(name, value)?))).collect()
            }
            _ => Err(format!("`{key}` does not say sizes with their lengths")),
        }
    }

    pub fn along(&mut self) -> Result<Along, String> {
        let word = self.text("along")?;
        let known = [Along::Length, Along::Width].into_iter().find(|along| along.word() == word);
        known.ok_or_else(|| "`along` is neither `length` nor `width`".into())
    }

    pub fn way(&mut self) -> Result<Out, String> {
        let word = self.text("way")?;
        let known = Out::ALL.into_iter().find(|kind| kind.word() == word);
        known.ok_or_else(|| format!("`{}` is no way out that is known", shown(&word)))
    }
}

fn name(value: &Value) -> Option<String> {
    let text = value.as_str()?;
    let fits = !text.is_empty() && text.chars().count() <= LONGEST_NAME;
    fits.then(|| text.to_owned())
}

fn count(value: &Value, least: u32) -> Option<u32> {
    let count = u32::try_from(value.as_u64()?).ok()?;
    (least..=MOST_COUNTED).contains(&count).then_some(count)
}

/// A length is written with its unit: a bare number would mean something else in another plan.
fn length(key: &str, value: &Value) -> Result<Length, String> {
    let text = value.as_str().ok_or_else(|| format!("`{key}` is no length with its unit, such as \"444 mm\""))?;
    let marked = text.contains(|c: char| c.is_alphabetic() || matches!(c, '"' | '\'' | '″' | '′'));
    if !marked {
        return Err(format!("`{key}` has no unit"));
    }
    measure::parse(text, Unit::Millimetre).map_err(|wrong| format!("`{key}`: {wrong}"))
}

/// A stranger's word, short and without what cannot be seen.
pub(crate) fn shown(text: &str) -> String {
    text.chars().take(40).flat_map(char::escape_debug).collect()
}
