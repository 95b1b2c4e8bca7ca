//! The format of the three texts, and the values that stand in it, each as the referee takes it.

use measure::{Length, Mass, Money, Unit};
use toml::de::{DeTable, DeValue};

pub(super) fn unit_of(table: &Table) -> Result<Unit, String> {
    match table.get("units") {
        None => Ok(Unit::Millimetre),
        Some(Form::Text(word)) if word == "mm" => Ok(Unit::Millimetre),
        Some(Form::Text(word)) if word == "in" => Ok(Unit::Inch),
        Some(Form::Text(word)) if word == "ft-in" => Ok(Unit::FootInch),
        Some(_) => Err("unknown units".into()),
    }
}

pub(super) fn text(form: Option<&Form>) -> Result<String, String> {
    match form {
        Some(Form::Text(text)) => Ok(text.clone()),
        _ => Err("a text is missing".into()),
    }
}

pub(super) fn length_of(table: &Table, key: &str, unit: Unit) -> Result<i64, String> {
    length(table.get(key).ok_or_else(|| format!("`{key}` is missing"))?, unit)
}

/// A length in nanometres. The reader of `measure` stops at 10 km either way.
pub(super) fn length(form: &Form, unit: Unit) -> Result<i64, String> {
    let written = digits(form)?;
    let read = measure::parse(written.strip_prefix('+').unwrap_or(written), unit);
    read.map(Length::nanometres).map_err(|wrong| format!("no length, `{written}`: {wrong}"))
}

pub(super) fn digits(form: &Form) -> Result<&str, String> {
    match form {
        Form::Text(text) | Form::Number(text) => Ok(text.trim()),
        _ => Err("neither a number nor a text".into()),
    }
}

pub(super) fn whole(form: &Form) -> Result<i64, String> {
    let written = digits(form)?;
    let read = written.parse::<i64>().ok().filter(|value| value.abs() < 1 << 30);
    read.ok_or_else(|| format!("no whole number, `{written}`"))
}

pub(super) fn money(form: &Form) -> Result<i64, String> {
    let written = digits(form)?;
    Money::parse(written).map(Money::value).ok_or_else(|| format!("no price, `{written}`"))
}

pub(super) fn percent(form: &Form) -> Result<i64, String> {
    let written = digits(form)?;
    let number = written.strip_suffix('%').unwrap_or(written).trim();
    let hundredths = Money::parse(number).map(Money::value).filter(|&value| value <= 10_000);
    hundredths.ok_or_else(|| format!("no share, `{written}`"))
}

/// A mass in milligrams, to the nearest one: kilograms if it is bare.
///
/// # Source
/// 1 lb = 0.45359237 kg and 16 oz = 1 lb: international yard and pound agreement, 1959.
pub(super) fn mass(form: &Form) -> Result<i64, String> {
    let written = digits(form)?;
    let wrong = || format!("no mass, `{written}`");
    let split = written.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(written.len());
    let (number, unit) = (written[..split].trim(), written[split..].trim());
    // Hundredths of a milligram in a unit, times 16 so that an ounce is whole too.
    let in_unit: i128 = match unit {
        "" | "kg" => 1_600_000_000,
        "g" => 1_600_000,
        "lb" | "lbs" => 16 * 45_359_237,
        "oz" => 45_359_237,
        _ => return Err(wrong()),
    };
    let (whole, decimals) = number.split_once('.').unwrap_or((number, ""));
    let figures: String = [whole, decimals].concat();
    if whole.is_empty() || figures.len() > 20 || !figures.bytes().all(|b| b.is_ascii_digit()) {
        return Err(wrong());
    }
    let value: i128 = figures.parse().map_err(|_| wrong())?;
    // At most 20 figures stand here, so the power and both products stay below 10^31.
    let scale = 1600 * 10_i128.pow(decimals.len() as u32);
    let milligrams = (2 * value * in_unit + scale) / (2 * scale);
    i64::try_from(milligrams).map(|value| Mass::milligrams(value).value()).map_err(|_| wrong())
}

/// A table with its entries in the order of the text.
#[derive(Clone)]
pub(super) struct Table {
    pub entries: Vec<(String, Form)>,
}

/// A value of the format; numbers as they are written.
#[derive(Clone)]
pub(super) enum Form {
    Text(String),
    Number(String),
    List(Vec<Form>),
    Truth(bool),
    Table(Table),
    Other,
}

impl Table {
    pub fn get(&self, key: &str) -> Option<&Form> {
        self.entries.iter().find(|entry| entry.0 == key).map(|entry| &entry.1)
    }
}

impl Form {
    pub fn text(&self) -> Option<&str> {
        if let Form::Text(text) = self { Some(text) } else { None }
    }

    pub fn table(&self) -> Option<&Table> {
        if let Form::Table(table) = self { Some(table) } else { None }
    }
}

/// The longest text that is read, as the format's own limit says.
const LONGEST: usize = 1024 * 1024;
/// Brackets and dots on one line beyond which a text is not parsed: the parser calls itself for each.
const MOST_ON_A_LINE: usize = 250;

pub(super) fn parse(text: &str) -> Result<Table, String> {
    let nests = |byte: u8| matches!(byte, b'[' | b'{' | b'.');
    let mut open = 0;
    for line in text.lines() {
        let brackets = line.bytes().filter(|byte| matches!(byte, b'[' | b'{')).count();
        open = (open + brackets).saturating_sub(line.bytes().filter(|byte| matches!(byte, b']' | b'}')).count());
        if line.bytes().filter(|&byte| nests(byte)).count() > MOST_ON_A_LINE || open > MOST_ON_A_LINE {
            return Err("it is nested too deeply".into());
        }
    }
    if text.len() > LONGEST {
        return Err("it is too long".into());
    }
    let table = DeTable::parse(text).map_err(|wrong| wrong.message().to_string())?;
    Ok(own_table(table.get_ref(), text))
}

fn own_table(table: &DeTable<'_>, text: &str) -> Table {
    let mut entries: Vec<(usize, String, Form)> =
        table.iter().map(|(key, value)| (key.span().start, key.get_ref().to_string(), own(value, text))).collect();
    entries.sort_by_key(|entry| entry.0);
    Table { entries: entries.into_iter().map(|(_, key, form)| (key, form)).collect() }
}

fn own(value: &toml::Spanned<DeValue<'_>>, text: &str) -> Form {
    match value.get_ref() {
        DeValue::String(written) => Form::Text(written.to_string()),
        DeValue::Integer(_) | DeValue::Float(_) => {
            Form::Number(text.get(value.span()).unwrap_or_default().replace('_', ""))
        }
        DeValue::Boolean(truth) => Form::Truth(*truth),
        DeValue::Array(items) => Form::List(items.iter().map(|item| own(item, text)).collect()),
        DeValue::Table(table) => Form::Table(own_table(table, text)),
        _ => Form::Other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 55 lb = 24.94758035 kg and 1 oz = 28.349523125 g, by the agreement of 1959.
    #[test]
    fn masses() {
        let read = |text: &str| mass(&Form::Text(text.into())).ok();
        for (text, milligrams) in [("25", 25_000_000), ("3.6 kg", 3_600_000), ("55 lb", 24_947_580), ("1 oz", 28_350)] {
            assert_eq!(read(text), Some(milligrams), "{text}");
        }
        assert_eq!((read("kg"), read("1 stone"), read("1.2.3"), read("-1")), (None, None, None, None));
    }
}
