//! Reads a length as a maker writes it.

use crate::{Length, Unit};
use std::fmt;

/// Why a text is not a length. Its `Display` is the message for the maker, without the text itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BadLength {
    /// Nothing was written.
    Empty,
    /// A character that has no place in a length, and which.
    Character(char),
    /// A comma, which some read as a decimal sign and some as a thousands mark.
    Comma,
    /// A number where a unit or the end was expected, a fraction after a decimal, a unit twice, and the like.
    Form,
    /// A unit that is not known, as written.
    Unit(String),
    /// A fraction with nothing below the line.
    ZeroDenominator,
    /// Finer than a nanometre: the value is not one that a tape in millimetres or 64ths of an inch can be set to.
    TooFine,
    /// Longer than [`Length::READ_LIMIT`], or more digits than a length has.
    TooLong,
}

impl fmt::Display for BadLength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BadLength::Empty => write!(f, "no length is written"),
            BadLength::Character(c) if is_visible(*c) => write!(f, "`{c}` has no place in a length"),
            BadLength::Character(c) => write!(f, "`{}` has no place in a length", c.escape_unicode()),
            BadLength::Comma => write!(f, "a comma can mean two things: write 1500 or 1.5"),
            BadLength::Form => {
                write!(f, "it does not read as a length: write 845, 84.5cm, 2.4 m, 3-1/2\" or 5' 6 3/8\"")
            }
            BadLength::Unit(unit) => write!(f, "unknown unit `{unit}`: mm, cm, m, in (\") and ft (') are known"),
            BadLength::ZeroDenominator => write!(f, "a fraction with 0 below the line"),
            BadLength::TooFine => write!(f, "it is finer than can be kept exactly: 1/64 in and whole nanometres can"),
            BadLength::TooLong => write!(f, "it is longer than 10 km"),
        }
    }
}

impl std::error::Error for BadLength {}

/// Whether a character prints as itself, with ink: no control or formatting character, no space, no mark that sits on its
/// neighbour. The fillers and the empty braille cell are letters and signs by their class, and empty all the same.
fn is_visible(c: char) -> bool {
    let quoted = matches!(c, '\'' | '"' | '\\');
    let empty = matches!(c, '\u{115f}' | '\u{1160}' | '\u{3164}' | '\u{ffa0}' | '\u{2800}');
    quoted || (!empty && c.escape_debug().eq([c]))
}

/// Reads a length; a bare number is in `default`.
///
/// `845`, `845 mm`, `84.5cm`, `2.4 m`, `1 1/2 in`, `1½ in`, `3-1/2"`, `5' 6 3/8"`, `6ft 2in`, `5'-6"`, `-3/4 in`; typographic
/// quotes and primes are taken as inch and foot marks. Feet may be followed by inches and by nothing else; a bare number
/// after feet is inches: `5' 6`, `5 ft 10½`.
///
/// # Errors
/// [`BadLength`] says what is wrong. Nothing is ever rounded: 1/128 in and 1/3 in are errors.
///
/// # Example
/// ```
/// use measure::{parse, Length, Unit};
/// assert_eq!(parse("5' 6 3/8\"", Unit::Millimetre), Ok(Length::inch_64ths((66 * 8 + 3) * 8)));
/// assert_eq!(parse("845", Unit::Millimetre), Ok(Length::mm(845)));
/// ```
pub fn parse(text: &str, default: Unit) -> Result<Length, BadLength> {
    let text = text.trim();
    let (negative, body) = match text.strip_prefix('-').or_else(|| text.strip_prefix('−')) {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    let tokens = tokens(body)?;
    let mut rest = tokens.as_slice();
    if rest.is_empty() {
        return Err(BadLength::Empty);
    }
    let mut total = Length::ZERO;
    let mut previous: Option<Mark> = None;
    while !rest.is_empty() {
        if previous.is_some() && rest[0] == Token::Dash {
            rest = &rest[1..];
        }
        let (amount, after) = amount(rest)?;
        let (mark, after) = match after.first() {
            Some(Token::Unit(mark)) => (*mark, &after[1..]),
            None if previous.is_none() => (Mark::of(default), after),
            // Five foot six: nobody says the inches.
            None if previous == Some(Mark::Foot) => (Mark::Inch, after),
            _ => return Err(BadLength::Form),
        };
        if previous.is_some_and(|before| (before, mark) != (Mark::Foot, Mark::Inch)) {
            return Err(BadLength::Form);
        }
        total = total.checked_add(amount.times(mark)?).ok_or(BadLength::TooLong)?;
        previous = Some(mark);
        rest = after;
    }
    if total > Length::READ_LIMIT {
        return Err(BadLength::TooLong);
    }
    Ok(if negative { -total } else { total })
}

/// A unit as it is written behind a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mark {
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Foot,
}

impl Mark {
    fn of(unit: Unit) -> Mark {
        match unit {
            Unit::Millimetre => Mark::Millimetre,
            Unit::Inch | Unit::FootInch => Mark::Inch,
        }
    }

    fn from_word(word: &str) -> Option<Mark> {
        Some(match word.to_ascii_lowercase().as_str() {
            "mm" => Mark::Millimetre,
            "cm" => Mark::Centimetre,
            "m" => Mark::Metre,
            "in" | "inch" | "inches" => Mark::Inch,
            "ft" | "foot" | "feet" => Mark::Foot,
            _ => return None,
        })
    }

    fn nanometres(self) -> i128 {
        match self {
            Mark::Millimetre => 1_000_000,
            Mark::Centimetre => 10_000_000,
            Mark::Metre => 1_000_000_000,
            Mark::Inch => 25_400_000,
            Mark::Foot => 304_800_000,
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Token {
    /// Digits, with the digits after the point if there was one.
    Number(u64, Option<(u64, u32)>),
    /// A fraction that is one character.
    Vulgar(u64, u64),
    Slash,
    Dash,
    Unit(Mark),
}

/// The text as numbers, slashes, dashes and units.
fn tokens(text: &str) -> Result<Vec<Token>, BadLength> {
    let mut tokens = Vec::new();
    let mut characters = text.char_indices().peekable();
    while let Some(&(start, c)) = characters.peek() {
        match c {
            _ if c.is_whitespace() => {
                characters.next();
            }
            '0'..='9' | '.' => {
                let end = end_of(&mut characters, text, |c| c.is_ascii_digit() || c == '.');
                tokens.push(number(&text[start..end])?);
            }
            'a'..='z' | 'A'..='Z' => {
                let end = end_of(&mut characters, text, |c| c.is_ascii_alphabetic());
                let word = &text[start..end];
                tokens.push(Token::Unit(Mark::from_word(word).ok_or_else(|| BadLength::Unit(word.to_owned()))?));
            }
            _ => {
                characters.next();
                tokens.push(sign(c)?);
            }
        }
        if tokens.len() > 16 {
            return Err(BadLength::Form);
        }
    }
    Ok(tokens)
}

/// The byte offset of the first character from here on that `belongs` refuses.
fn end_of(
    characters: &mut std::iter::Peekable<std::str::CharIndices<'_>>,
    text: &str,
    belongs: impl Fn(char) -> bool,
) -> usize {
    while characters.peek().is_some_and(|&(_, c)| belongs(c)) {
        characters.next();
    }
    characters.peek().map_or(text.len(), |&(at, _)| at)
}

fn sign(c: char) -> Result<Token, BadLength> {
    if let Some((_, top, below)) = VULGAR.iter().find(|(sign, ..)| *sign == c) {
        return Ok(Token::Vulgar(*top, *below));
    }
    Ok(match c {
        '/' | '⁄' => Token::Slash,
        '-' | '–' => Token::Dash,
        '"' | '″' | '”' => Token::Unit(Mark::Inch),
        '\'' | '′' | '’' => Token::Unit(Mark::Foot),
        ',' => return Err(BadLength::Comma),
        _ => return Err(BadLength::Character(c)),
    })
}

fn number(digits: &str) -> Result<Token, BadLength> {
    let (whole, decimals) = match digits.split_once('.') {
        Some((whole, decimals)) => (whole, Some(decimals)),
        None => (digits, None),
    };
    let value = |text: &str| text.parse::<u64>().map_err(|_| BadLength::TooLong);
    let whole_value = if whole.is_empty() { 0 } else { value(whole)? };
    let decimals = match decimals {
        None => None,
        Some("") if whole.is_empty() => return Err(BadLength::Form),
        Some("") => None,
        Some(text) if text.contains('.') => return Err(BadLength::Form),
        Some(text) => Some((value(text)?, u32::try_from(text.len()).map_err(|_| BadLength::TooLong)?)),
    };
    Ok(Token::Number(whole_value, decimals))
}

/// The fractions that have a character of their own: what is above and below the line.
///
/// # Source
/// The Unicode Standard, blocks Latin-1 Supplement and Number Forms: all its vulgar fractions with both numbers.
const VULGAR: [(char, u64, u64); 18] = [
    ('½', 1, 2),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('⅕', 1, 5),
    ('⅖', 2, 5),
    ('⅗', 3, 5),
    ('⅘', 4, 5),
    ('⅙', 1, 6),
    ('⅚', 5, 6),
    ('⅐', 1, 7),
    ('⅑', 1, 9),
    ('⅒', 1, 10),
];

/// A number as a fraction: `numerator / denominator`.
struct Amount {
    numerator: i128,
    denominator: i128,
}

impl Amount {
    fn times(&self, mark: Mark) -> Result<Length, BadLength> {
        let scaled = self.numerator.checked_mul(mark.nanometres()).ok_or(BadLength::TooLong)?;
        if scaled % self.denominator != 0 {
            return Err(BadLength::TooFine);
        }
        i64::try_from(scaled / self.denominator).map(Length::nm).map_err(|_| BadLength::TooLong)
    }
}

/// One number at the head of `tokens`: `3`, `0.5`, `1/2`, `3 1/2`, `3-1/2`, `½`, `3½` or `3-½`, and what follows it.
fn amount(tokens: &[Token]) -> Result<(Amount, &[Token]), BadLength> {
    use Token::{Dash, Number, Slash, Vulgar};
    match tokens {
        [Number(whole, None), Dash, Number(top, None), Slash, Number(below, None), rest @ ..]
        | [Number(whole, None), Number(top, None), Slash, Number(below, None), rest @ ..] => {
            Ok((fraction(*whole, *top, *below)?, rest))
        }
        [Number(whole, None), Dash, Vulgar(top, below), rest @ ..]
        | [Number(whole, None), Vulgar(top, below), rest @ ..] => Ok((fraction(*whole, *top, *below)?, rest)),
        [Vulgar(top, below), rest @ ..] => Ok((fraction(0, *top, *below)?, rest)),
        [Number(top, None), Slash, Number(below, None), rest @ ..] => Ok((fraction(0, *top, *below)?, rest)),
        [Number(whole, None), rest @ ..] => Ok((fraction(*whole, 0, 1)?, rest)),
        [Number(whole, Some((decimals, places))), rest @ ..] => {
            let denominator = 10_i128.checked_pow(*places).filter(|_| *places <= 18).ok_or(BadLength::TooFine)?;
            Ok((Amount { numerator: i128::from(*whole) * denominator + i128::from(*decimals), denominator }, rest))
        }
        _ => Err(BadLength::Form),
    }
}

fn fraction(whole: u64, top: u64, below: u64) -> Result<Amount, BadLength> {
    if below == 0 {
        return Err(BadLength::ZeroDenominator);
    }
    let (whole, top, denominator) = (i128::from(whole), i128::from(top), i128::from(below));
    Ok(Amount { numerator: whole * denominator + top, denominator })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn reads(text: &str, default: Unit, nanometres: i64) {
        assert_eq!(parse(text, default), Ok(Length::nm(nanometres)), "{text}");
    }

    #[track_caller]
    fn refuses(text: &str, why: BadLength) {
        assert_eq!(parse(text, Unit::Millimetre), Err(why), "{text}");
    }

    /// 1 in = 25.4 mm and 1 ft = 12 in: international yard and pound agreement, 1959.
    #[test]
    fn reads_what_makers_write() {
        let mm = Unit::Millimetre;
        reads("845", mm, 845_000_000);
        reads("845 mm", Unit::Inch, 845_000_000);
        reads("84.5cm", mm, 845_000_000);
        reads("2.4 m", mm, 2_400_000_000);
        reads("1 1/2 in", mm, 38_100_000);
        reads("3-1/2\"", mm, 88_900_000);
        reads("5' 6 3/8\"", mm, 1_685_925_000);
        reads("5'-6 3/8\"", mm, 1_685_925_000);
        reads("6ft 2in", mm, 1_879_600_000);
        reads("6'", mm, 1_828_800_000);
        reads("7/8", Unit::Inch, 22_225_000);
        reads("0.775 in", mm, 19_685_000);
        reads(".5\"", mm, 12_700_000);
        reads("-1-1/4\"", mm, -31_750_000);
        reads("5′ 6″", mm, 1_676_400_000);
        reads("  18  ", mm, 18_000_000);
        reads("1/64 in", mm, 396_875);
        reads("24.", mm, 24_000_000);
    }

    /// 1 in = 25.4 mm and 1 ft = 12 in: international yard and pound agreement, 1959. So 1/8 in = 3.175 mm.
    #[test]
    fn reads_fractions_that_are_one_character() {
        let (mm, inch) = (Unit::Millimetre, Unit::Inch);
        reads("1½ in", mm, 38_100_000);
        reads("½\"", mm, 12_700_000);
        reads("3¼", inch, 82_550_000);
        reads("3 ¾\"", mm, 95_250_000);
        reads("3-½\"", mm, 88_900_000);
        reads("⅛", inch, 3_175_000);
        reads("⅜ in", mm, 9_525_000);
        reads("2⅝″", mm, 66_675_000);
        reads("-⅞ in", mm, -22_225_000);
        reads("5' 6½\"", mm, 1_689_100_000);
        reads("2½ ft", mm, 762_000_000);
        reads("2½ m", inch, 2_500_000_000);
        reads("12½", mm, 12_500_000);
        reads("⅓ ft", mm, 101_600_000);
    }

    /// 5 ft 6 in = 66 x 25.4 mm = 1676.4 mm, 5 ft 10 in = 1778 mm: the agreement of 1959.
    #[test]
    fn a_bare_number_after_feet_is_inches() {
        for default in [Unit::Millimetre, Unit::Inch, Unit::FootInch] {
            reads("5' 6", default, 1_676_400_000);
            reads("5'6", default, 1_676_400_000);
            reads("5'-6", default, 1_676_400_000);
            reads("5 ft 10", default, 1_778_000_000);
            reads("5 feet 10", default, 1_778_000_000);
            reads("5 foot 10", default, 1_778_000_000);
            reads("5' 6 3/8", default, 1_685_925_000);
            reads("5' 6-3/8", default, 1_685_925_000);
            reads("5' 6⅜", default, 1_685_925_000);
            reads("5 ft ½", default, 1_536_700_000);
            reads("-5' 6.5", default, -1_689_100_000);
        }
    }

    #[test]
    fn a_character_is_shown_if_it_can_be_seen() {
        let shown = |c| BadLength::Character(c).to_string();
        for c in ['€', '%', '×', '\\', 'é', '寸'] {
            assert_eq!(shown(c), format!("`{c}` has no place in a length"));
        }
        for (c, code) in [
            ('\u{1b}', "1b"),
            ('\u{202e}', "202e"),
            ('\u{200b}', "200b"),
            ('\u{feff}', "feff"),
            ('\u{301}', "301"),
            ('\u{3164}', "3164"),
        ] {
            assert_eq!(shown(c), format!("`\\u{{{code}}}` has no place in a length"));
        }
    }

    #[test]
    fn refuses_what_is_not_a_length() {
        refuses("", BadLength::Empty);
        refuses("-", BadLength::Empty);
        refuses("1,500", BadLength::Comma);
        refuses("12 yards", BadLength::Unit("yards".into()));
        refuses("12 m 3 m", BadLength::Form);
        refuses("6 in 2 ft", BadLength::Form);
        refuses("1.5 1/2 in", BadLength::Form);
        refuses("1 2", BadLength::Form);
        refuses("mm", BadLength::Form);
        refuses("1/0 in", BadLength::ZeroDenominator);
        refuses("1/128 in", BadLength::TooFine);
        refuses("1/3 in", BadLength::TooFine);
        refuses("0.0000001 mm", BadLength::TooFine);
        refuses("10001 m", BadLength::TooLong);
        refuses("99999999999999999999", BadLength::TooLong);
        refuses("9999999999999999999 m", BadLength::TooLong);
        refuses("NaN", BadLength::Unit("NaN".into()));
        refuses("5€", BadLength::Character('€'));
        refuses("1.2.3", BadLength::Form);
        refuses("⅓ in", BadLength::TooFine);
        refuses("1⅔\"", BadLength::TooFine);
        refuses("1.5½ in", BadLength::Form);
        refuses("1/2½ in", BadLength::Form);
        refuses("½/4 in", BadLength::Form);
        refuses("½½ in", BadLength::Form);
        refuses("1 2½ in", BadLength::Form);
        refuses("6 in 2", BadLength::Form);
        refuses("2 m 5", BadLength::Form);
        refuses("5' 6 2", BadLength::Form);
        refuses("5' 6\" 2", BadLength::Form);
    }

    proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,40}") {
            let _ = parse(&text, Unit::Inch);
        }

        #[test]
        fn one_character_is_as_good_as_three(whole in 0_u64..5000, which in 0_usize..18, feet in prop::bool::ANY) {
            let (sign, top, below) = VULGAR[which];
            let unit = if feet { "ft" } else { "in" };
            let short = parse(&format!("{whole}{sign} {unit}"), Unit::Millimetre);
            prop_assert_eq!(short, parse(&format!("{whole} {top}/{below} {unit}"), Unit::Millimetre));
        }

        #[test]
        fn the_inches_after_feet_need_no_mark(feet in 0_i64..500, inches in 0_i64..12, top in 0_i64..64) {
            let expected = Ok(Length::inch_64ths((feet * 12 + inches) * 64 + top));
            prop_assert_eq!(parse(&format!("{feet}' {inches} {top}/64"), Unit::Millimetre), expected.clone());
            prop_assert_eq!(parse(&format!("{feet} ft {inches}-{top}/64"), Unit::Inch), expected);
        }

        #[test]
        fn mixed_numbers_are_whole_plus_fraction(whole in 0_i64..5000, top in 0_i64..64) {
            let text = format!("{whole} {top}/64 in");
            prop_assert_eq!(parse(&text, Unit::Millimetre), Ok(Length::inch_64ths(whole * 64 + top)));
        }
    }
}
