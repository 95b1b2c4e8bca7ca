//! Sheets in words: how good the cutting is, and which sheets are cut alike.

use crate::words;
use advise::Settled;
use measure::{Length, Money};
use stages::cut::{SheetCut, Sheets};

/// How good the cutting of a kind of sheet is.
pub(crate) fn said(sheets: &Sheets) -> String {
    let count = sheets.sheets.len();
    let sheet = if count == 1 { "1 sheet".to_owned() } else { format!("{count} sheets") };
    let least = if sheets.priced { "cheapest" } else { "least area, as a price is unknown," };
    let bound = match Money::hundredths(sheets.bound) {
        bound if sheets.priced => format!("; no cutting at all costs less than {bound}"),
        _ => String::new(),
    };
    match (sheets.proven, sheets.exact, sheets.priced) {
        (true, _, true) => format!("{sheet}, proven cheapest"),
        (true, _, false) => format!("{sheet}, proven least area, as a price is unknown"),
        (_, true, _) => format!("{sheet}, {least} in strips{bound}"),
        _ => format!("{sheet} in strips, size by size; whether that is {least} is not known{bound}"),
    }
}

/// Sheets that are cut alike, together: of one size, in strips of the same widths with panels of the same lengths.
pub(crate) fn alike<'s>(settled: &Settled, sheets: &'s Sheets) -> Vec<Vec<&'s SheetCut>> {
    let lengths = |parts: &[usize]| parts.iter().map(|&place| settled.build.parts[place].solid.length).collect();
    let shape = |sheet: &SheetCut| {
        let strips = sheet.strips.iter().map(|strip| (strip.width, lengths(&strip.parts)));
        (sheet.size, strips.collect::<Vec<(Length, Vec<Length>)>>())
    };
    let mut groups: Vec<Vec<&SheetCut>> = Vec::new();
    for sheet in &sheets.sheets {
        match groups.iter_mut().find(|group| shape(group[0]) == shape(sheet)) {
            Some(group) => group.push(sheet),
            None => groups.push(vec![sheet]),
        }
    }
    groups
}

/// The ids of the panels at one place over all sheets that are cut alike: all of a few, else the first two.
pub(crate) fn ids_at(settled: &Settled, alike: &[&SheetCut], strip: usize, at: usize) -> String {
    let places = alike.iter().filter_map(|sheet| sheet.strips.get(strip)?.parts.get(at));
    words::ids(settled, places.copied())
}
