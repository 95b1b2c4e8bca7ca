//! Counts, shares, prices, masses and densities: by the digits as they are written, never by way of a float.

use crate::document::{Form, Item};
use crate::limits::LIMITS;
use crate::suggest::quote;
use crate::values::Reader;
use measure::{Density, Mass, Money, Percent};
use model::problem::Problem;
use model::schema::Kind;

impl Reader {
    /// Reads a whole number between two bounds.
    pub fn count(&mut self, key: &str, item: &Item, (least, most): (u32, u32)) -> Option<u32> {
        let kind = Kind::Count { least, most };
        let Form::Number(number) = &item.form else { return self.wrong_kind(key, item, &kind) };
        let unsigned = number.trim_start_matches(['+', '-']);
        if unsigned.is_empty() || !unsigned.bytes().all(|b| b.is_ascii_digit()) {
            return self.not_so(key, item, number, "is no whole number", &kind);
        }
        // A number with more digits than an i64 has is beyond every bound.
        let value = number.parse::<i64>().unwrap_or(if number.starts_with('-') { i64::MIN } else { i64::MAX });
        if value < i64::from(least) {
            return self.not_so(key, item, number, "is too small", &kind);
        }
        match u32::try_from(value) {
            Ok(value) if value <= most => Some(value),
            _ => self.not_so(key, item, number, "is too large", &kind),
        }
    }

    /// Reads a share such as `"5 %"` or `5`, with at most two decimals. A bare number above 0 and at most 1 can mean two
    /// things, and is asked back.
    pub fn percent(&mut self, key: &str, item: &Item, most: u32) -> Option<Percent> {
        let kind = Kind::Percent { most };
        let text = self.digits(key, item, &kind)?;
        let number = text.trim().strip_suffix('%').map(str::trim_end);
        match Money::parse(number.unwrap_or(text.trim())).map(|hundredths| hundredths.value()) {
            Some(value @ 1..=100) if number.is_none() => self.two_shares(key, item, value, most),
            Some(value) if value <= i64::from(most) * 100 => u32::try_from(value).ok().map(Percent::hundredths),
            Some(_) => self.not_so(key, item, &text, "is too large", &kind),
            None => self.not_so(key, item, &text, "is no share", &kind),
        }
    }

    /// Asks back which share is meant: 0.5 can be half a percent, and half.
    fn two_shares<T>(&mut self, key: &str, item: &Item, value: i64, most: u32) -> Option<T> {
        // The caller hands on 1 to 100 only.
        let value = value as u32;
        let (small, large) = (Percent::hundredths(value), Percent::hundredths(value * 100));
        let question = match value {
            50 => "half a percent or half of it?".to_owned(),
            100 => "one percent or all of it?".to_owned(),
            _ => format!("{small} or {large} of it?"),
        };
        let hint = if large <= Percent::new(most) {
            format!("write `\"{small}\"` or `\"{large}\"`")
        } else {
            format!("write `\"{small}\"` for a part of a hundred")
        };
        let written = match &item.form {
            Form::Text(text) => format!("\"{}\"", quote(text)),
            Form::Number(number) => quote(number),
            _ => item.what().to_owned(),
        };
        let expected = self.expected(&Kind::Percent { most });
        let problem = Problem::new(format!("`{key} = {written}`: {question}"));
        self.wrong(&item.bytes, problem.expected(format!("expected {expected}")).hint(hint))
    }

    /// Reads a number above nothing with at most three decimals, in thousandths.
    pub fn decimal(&mut self, key: &str, item: &Item, most: u32) -> Option<u32> {
        let kind = Kind::Decimal { most };
        let Form::Number(text) = &item.form else { return self.wrong_kind(key, item, &kind) };
        match thousandths(text) {
            None => self.not_so(key, item, text, "is no such number", &kind),
            Some(0) => self.not_so(key, item, text, "is too small", &kind),
            Some(value) => match u32::try_from(value) {
                Ok(small) if value <= u64::from(most) * 1000 => Some(small),
                _ => self.not_so(key, item, text, "is too large", &kind),
            },
        }
    }

    /// Reads a price.
    pub fn money(&mut self, key: &str, item: &Item) -> Option<Money> {
        let text = self.digits(key, item, &Kind::Money)?;
        match Money::parse(text.trim()) {
            Some(money) if money <= Money::hundredths(LIMITS.price * 100) => Some(money),
            Some(_) => {
                let problem = Problem::new(format!("`{key}` is too large: `{}`", quote(&text)));
                self.wrong(&item.bytes, problem.expected(format!("expected at most {}", LIMITS.price)))
            }
            None => {
                let problem = Problem::new(format!("`{key}` is no price: `{}`", quote(&text)))
                    .expected("expected a price such as 11.28")
                    .hint("write digits, a point and at most two decimals; leave the line out if the price is unknown");
                self.wrong(&item.bytes, problem)
            }
        }
    }

    /// Reads a mass: kilograms if it is bare.
    pub fn mass(&mut self, key: &str, item: &Item) -> Option<Mass> {
        let text = self.digits(key, item, &Kind::Mass)?;
        match milligrams(&text) {
            Some(mass) if mass <= 0 => self.not_so(key, item, &text, "weighs nothing", &Kind::Mass),
            Some(mass) if mass <= LIMITS.mass * 1_000_000 => Some(Mass::milligrams(mass)),
            Some(_) => {
                let problem = Problem::new(format!("`{key}` is too large: `{}`", quote(&text)));
                self.wrong(&item.bytes, problem.expected(format!("expected at most {} kg", LIMITS.mass)))
            }
            None => self.not_so(key, item, &text, "is no mass", &Kind::Mass),
        }
    }

    /// Reads a density in whole kilograms per cubic metre.
    pub fn density(&mut self, key: &str, item: &Item) -> Option<Density> {
        if !matches!(item.form, Form::Number(_)) {
            return self.wrong_kind(key, item, &Kind::Density);
        }
        self.count(key, item, (1, LIMITS.density)).map(Density::kg_per_m3)
    }

    /// What was written behind a key that takes a number or a text.
    fn digits(&mut self, key: &str, item: &Item, kind: &Kind) -> Option<String> {
        match &item.form {
            Form::Number(text) | Form::Text(text) => Some(text.clone()),
            _ => self.wrong_kind(key, item, kind),
        }
    }

    fn not_so<T>(&mut self, key: &str, item: &Item, text: &str, so: &str, kind: &Kind) -> Option<T> {
        let expected = self.expected(kind);
        let problem = Problem::new(format!("`{key}` {so}: `{}`", quote(text)));
        self.wrong(&item.bytes, problem.expected(format!("expected {expected}")))
    }
}

/// A plain number in thousandths; `None` for a sign, an exponent, more than three decimals, and beyond 10⁹.
fn thousandths(text: &str) -> Option<u64> {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(decimals) || whole.len() > 9 || decimals.len() > 3 {
        return None;
    }
    format!("{whole}{decimals:0<3}").parse().ok()
}

/// A mass in milligrams, to the nearest one; a bare number is kilograms. `None` if it does not read as a mass.
///
/// # Source
/// 1 lb = 0.453 592 37 kg exactly, 1 oz = 1/16 lb: international yard and pound agreement, 1959.
fn milligrams(text: &str) -> Option<i64> {
    let text = text.trim();
    let split = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
    let (number, unit) = text.split_at(split);
    // Milligrams in 1600 units, so that an ounce is a whole number too.
    let per_unit: i128 = match unit.trim() {
        "" | "kg" => 1_600_000_000,
        "g" => 1_600_000,
        "lb" | "lbs" => 725_747_792,
        "oz" => 45_359_237,
        _ => return None,
    };
    let (whole, decimals) = number.split_once('.').unwrap_or((number, "0"));
    if whole.is_empty() || decimals.is_empty() || whole.len() > 12 || decimals.len() > 9 || decimals.contains('.') {
        return None;
    }
    // At most 21 digits times 10 digits: far inside an i128.
    let digits: i128 = format!("{whole}{decimals:0<9}").parse().ok()?;
    let scale = 1600 * 1_000_000_000;
    i64::try_from((digits * per_unit + scale / 2) / scale).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals() {
        for (text, expected) in [
            ("2.5", Some(2500)),
            ("0.75", Some(750)),
            ("12", Some(12_000)),
            ("0.001", Some(1)),
            ("0.0001", None),
            ("-1", None),
            ("1e3", None),
            (".5", None),
            ("9999999999", None),
        ] {
            assert_eq!(thousandths(text), expected, "{text}");
        }
    }

    /// Pounds and ounces by the agreement of 1959: 55 lb = 24.94758035 kg, 1 oz = 28.349523125 g.
    #[test]
    fn masses() {
        for (text, expected) in [
            ("25", Some(25_000_000)),
            ("25 kg", Some(25_000_000)),
            ("3.6kg", Some(3_600_000)),
            ("350 g", Some(350_000)),
            ("55 lb", Some(24_947_580)),
            ("1 oz", Some(28_350)),
            ("0", Some(0)),
            ("-1 kg", None),
            ("kg", None),
            ("1. kg", None),
            ("1.2.3", None),
            ("1e3", None),
            ("25 stone", None),
            ("9999999999999", None),
        ] {
            assert_eq!(milligrams(text), expected, "{text}");
        }
    }
}
