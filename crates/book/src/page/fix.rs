//! Fixings, what is bought beside parts, and what to know.

use super::html::{escape, table};
use crate::fixings;
use advise::Settled;

/// What to know before buying; empty if there is nothing.
pub(super) fn notes(settled: &Settled) -> String {
    let note = |note: &model::build::Note| {
        format!("<li><strong>{}</strong>: {}</li>\n", escape(&note.piece), escape(&note.text))
    };
    let open = fixings::open(settled);
    let open = open.iter().map(|open| {
        format!("<li class=\"care\"><strong>Not held</strong>: {}.</li>\n", escape(&fixings::said_open(settled, open)))
    });
    let bought =
        settled.buying.notes.iter().map(|note| format!("<li><strong>to buy</strong>: {}</li>\n", escape(note)));
    let all: String = open.chain(settled.build.notes.iter().map(note)).chain(bought).collect();
    if all.is_empty() { all } else { format!("<ul>\n{all}</ul>") }
}

/// What is screwed to what; empty if the plan names no screws.
pub(super) fn fixings(settled: &Settled) -> String {
    let row = |alike: &fixings::Alike<'_>| {
        let [held, base] = alike.letters;
        vec![
            escape(&format!("{held} to {base}")),
            alike.joints.to_string(),
            alike.one.heads.len().to_string(),
            escape(&fixings::screw(settled, alike.one)),
            escape(&fixings::holes(settled, alike.one)),
            alike.screws.to_string(),
        ]
    };
    let rows: Vec<Vec<String>> = fixings::alike(settled).iter().map(row).collect();
    if rows.is_empty() {
        return String::new();
    }
    let caption = format!("Fixings, holes in {}; each screw's place is in the record", settled.plan.tape.unit_word());
    table(&caption, &["parts", "places", "screws at each", "screw", "holes", "screws"], &rows)
}
