//! The lettering: one face, its widths, and how high a letter stands.

use crate::FONT;
use std::fmt::Write;
use std::sync::OnceLock;
use ttf_parser::Face;

/// The height of capitals in the small lettering of a drawing, in mm: the least that ISO 3098 has (*from memory*).
pub(crate) const SMALL: f64 = 2.5;
/// The height of capitals in a heading, the next size of ISO 3098 (*from memory*).
pub(crate) const LARGE: f64 = 3.5;

/// The font as a CSS `@font-face` rule with the file inside: family `Scantling`.
pub fn font_face_css() -> String {
    let data = base64(FONT);
    format!("@font-face{{font-family:\"Scantling\";src:url(data:font/ttf;base64,{data}) format(\"truetype\")}}")
}

/// How wide a text runs at a font size (the em, in mm), by the advance widths of the font. The font has no kerning and no
/// ligatures, so a renderer comes to the same width. A character that the font lacks counts as one em.
///
/// # Example
/// ```
/// // The figures are all of one width, so that columns stand in line.
/// assert_eq!(drawing::text_width("1111", 3.0), drawing::text_width("8888", 3.0));
/// ```
pub fn text_width(text: &str, size_mm: f64) -> f64 {
    let Some(face) = face() else { return text.chars().count() as f64 * size_mm };
    let units = f64::from(face.units_per_em());
    text.chars().map(|c| letter(face, c).wide).sum::<f64>() * size_mm / units
}

/// The font size (the em) at which capitals are `height` high.
pub(crate) fn em(height: f64) -> f64 {
    let capital = face().and_then(|face| Some(f64::from(face.capital_height()?) / f64::from(face.units_per_em())));
    height / capital.unwrap_or(0.7)
}

/// How wide a text runs in letters whose capitals are `height` high.
pub(crate) fn width(text: &str, height: f64) -> f64 {
    text_width(text, em(height))
}

/// How far the ink of a text reaches below and above its baseline, in letters `height` high; both positive.
pub(crate) fn ink(text: &str, height: f64) -> [f64; 2] {
    let Some(face) = face() else { return [0.0, height] };
    let scale = em(height) / f64::from(face.units_per_em());
    let reach = |[low, high]: [i16; 2], [below, above]: [i16; 2]| [low.min(below), high.max(above)];
    let [low, high] = text.chars().map(|c| letter(face, c).ink).fold([0, 0], reach);
    [-f64::from(low) * scale, f64::from(high) * scale]
}

/// The text, shortened with `…` until it is no wider than `room`; empty if not even that fits.
pub(crate) fn shorten(text: &str, height: f64, room: f64) -> String {
    if width(text, height) <= room {
        return text.to_owned();
    }
    let (mut kept, mut used) = (String::new(), width("…", height));
    for c in text.chars() {
        used += width(c.encode_utf8(&mut [0; 4]), height);
        if used > room {
            break;
        }
        kept.push(c);
    }
    let kept = kept.trim_end();
    if kept.is_empty() && width("…", height) > room { String::new() } else { format!("{kept}…") }
}

/// The text in lines no wider than `room`, broken at spaces; a word that is wider than a line is shortened. At most `most`
/// lines: the last one ends in `…` if there is more.
pub(crate) fn wrap(text: &str, height: f64, room: f64, most: usize) -> Vec<String> {
    let (mut lines, mut line, mut used) = (Vec::new(), String::new(), 0.0);
    let space = width(" ", height);
    for word in text.split_whitespace() {
        let word = shorten(word, height, room);
        let wide = width(&word, height);
        if !line.is_empty() && used + space + wide > room {
            if lines.len() + 1 == most {
                line = shorten(&format!("{line} …"), height, room);
                lines.push(line);
                return lines;
            }
            lines.push(std::mem::take(&mut line));
            used = 0.0;
        }
        if !line.is_empty() {
            line.push(' ');
            used += space;
        }
        line.push_str(&word);
        used += wide;
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// What a letter takes, in units of the font: how wide it runs, and how far its ink reaches from the baseline.
#[derive(Clone, Copy)]
struct Letter {
    wide: f64,
    ink: [i16; 2],
}

impl Letter {
    fn of(face: &Face<'_>, c: char) -> Letter {
        let glyph = face.glyph_index(c);
        let wide = glyph.and_then(|glyph| face.glyph_hor_advance(glyph)).unwrap_or(face.units_per_em());
        let bounds = glyph.and_then(|glyph| face.glyph_bounding_box(glyph));
        Letter { wide: f64::from(wide), ink: bounds.map_or([0; 2], |bounds| [bounds.y_min, bounds.y_max]) }
    }
}

/// So many of the first characters of Unicode are measured once: Latin letters, figures and their signs.
const MEASURED: u32 = 0x250;

/// What a character takes; the common ones are looked up.
fn letter(face: &Face<'_>, c: char) -> Letter {
    static LETTERS: OnceLock<Vec<Letter>> = OnceLock::new();
    let measure = || (0..MEASURED).map(|c| Letter::of(face, char::from_u32(c).unwrap_or(' '))).collect();
    let known = LETTERS.get_or_init(measure).get(u32::from(c) as usize);
    known.copied().unwrap_or_else(|| Letter::of(face, c))
}

/// The font that is built in; `None` never, for it is part of this crate and a test reads it.
fn face() -> Option<&'static Face<'static>> {
    static FACE: OnceLock<Option<Face<'static>>> = OnceLock::new();
    FACE.get_or_init(|| Face::parse(FONT, 0).ok()).as_ref()
}

/// Base 64 with padding (RFC 4648, section 4).
fn base64(bytes: &[u8]) -> String {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let group = chunk.iter().fold(0_u32, |group, byte| group << 8 | u32::from(*byte)) << (8 * (3 - chunk.len()));
        for place in 0..4 {
            if place <= chunk.len() {
                text.push(char::from(SIGNS[(group >> (18 - 6 * place) & 63) as usize]));
            } else {
                text.push('=');
            }
        }
    }
    text
}

/// A number of millimetres on paper as it stands in the file: to a thousandth, without trailing zeros, never `-0`.
pub(crate) fn number(value: f64) -> String {
    let mut text = String::new();
    push_number(&mut text, value);
    text
}

/// [`number`], onto the end of a text.
pub(crate) fn push_number(text: &mut String, value: f64) {
    // Drawings are at most some metres wide, so a thousandth of a millimetre fits an i64; a float as an integer saturates.
    let thousandths = (value * 1000.0 + if value < 0.0 { -0.5 } else { 0.5 }) as i64;
    if thousandths < 0 {
        text.push('-');
    }
    let (whole, rest) = (thousandths.unsigned_abs() / 1000, thousandths.unsigned_abs() % 1000);
    // Writing to a String cannot fail.
    let _ = match rest {
        0 => write!(text, "{whole}"),
        rest if rest % 100 == 0 => write!(text, "{whole}.{}", rest / 100),
        rest if rest % 10 == 0 => write!(text, "{whole}.{:02}", rest / 10),
        rest => write!(text, "{whole}.{rest:03}"),
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn base64_of_the_rfc() {
        for (plain, coded) in
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg=="), ("foobar", "Zm9vYmFy")]
        {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn numbers_are_short_and_never_minus_nothing() {
        for (value, text) in
            [(0.0, "0"), (-0.0001, "0"), (1.5, "1.5"), (-2.25, "-2.25"), (0.1 + 0.2, "0.3"), (3.0, "3")]
        {
            assert_eq!(number(value), text);
        }
        assert_eq!(number(12.0005), "12.001");
        assert_eq!(number(0.07), "0.07");
    }

    /// Advance widths read from the `hmtx` table with a general font library (fontTools 4.68), in units of which the
    /// em has 2048.
    #[test]
    fn widths_are_the_advances_of_the_font() {
        for figure in '0'..='9' {
            assert_eq!(text_width(&figure.to_string(), 2048.0), 1328.0, "{figure}");
        }
        assert_eq!(text_width("84-3/4\"", 2048.0), ADVANCES_OF_84_3_4.iter().sum::<f64>());
    }

    /// `8`, `4`, `-`, `3`, `/`, `4`, `"` as fontTools prints them.
    const ADVANCES_OF_84_3_4: [f64; 7] = [1328.0, 1328.0, 942.0, 1328.0, 738.0, 1328.0, 954.0];

    /// Every sign that drawings print is in the font, and capitals stand at the height they are set in.
    #[test]
    fn the_font_has_our_signs() {
        let face = face().expect("the font reads");
        for sign in "AZaz09ÄéžŁ×±°″′–—‘’“”…⁄½¼¾→↑←↓≤≥≈²³·•✓Ø€£\"'-/:;,.()+".chars()
        {
            assert!(face.glyph_index(sign).is_some(), "{sign}");
        }
        let [below, above] = ink("H", 2.5);
        assert!(below == 0.0 && (above - 2.5).abs() < 0.01, "{below} {above}");
        assert!(ink("g", 2.5)[0] > 0.4);
        assert!(FONT.len() < 70_000);
    }

    #[test]
    fn long_texts_are_broken_and_cut() {
        let lines = wrap("one two three four five six", 2.5, 20.0, 9);
        assert!(lines.len() > 1 && lines.iter().all(|line| width(line, 2.5) <= 20.0), "{lines:?}");
        assert_eq!(lines.join(" "), "one two three four five six");
        let cut = wrap("one two three four five six", 2.5, 20.0, 1);
        assert!(cut.len() == 1 && cut[0].ends_with('…'), "{cut:?}");
        assert_eq!(shorten("short", 2.5, 100.0), "short");
        assert!(width(&shorten("a very long name indeed", 2.5, 15.0), 2.5) <= 15.0);
        assert_eq!(shorten("abc", 2.5, 0.1), "");
    }
}
