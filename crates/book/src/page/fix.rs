//! Fixings, what is bought beside parts, and what to know.

use super::html::{escape, number, table};
use crate::{fixings, words};
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
    let all: String = open.chain(settled.build.notes.iter().map(note)).collect();
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

/// Screws, bags, rolls and extras; empty if there are none.
pub(super) fn materials(settled: &Settled) -> String {
    let buying = &settled.buying;
    if buying.materials.is_empty() {
        return String::new();
    }
    let row = |line: &stages::buy::MaterialLine| {
        let name = stages::buy::quantity_name(line, &settled.plan);
        vec![
            number(&format!("{name}.count"), &line.count.to_string()),
            escape(&words::material(settled, line)),
            line.price.map_or_else(String::new, |price| price.to_string()),
            line.amount.map_or_else(
                || "no price".to_owned(),
                |amount| number(&format!("{name}.amount"), &escape(&amount.to_string())),
            ),
        ]
    };
    let mut rows: Vec<Vec<String>> = buying.materials.iter().map(row).collect();
    let missing = words::without(buying.materials_unpriced);
    let total = number("material.total", &buying.materials_total.to_string());
    rows.push(vec![String::new(), format!("<strong>in all</strong>{missing}"), String::new(), total]);
    let caption = format!("Screws, bags, rolls and extras, {}", settled.plan.yard.currency);
    table(&caption, &["off", "what", "each", "together"], &rows)
}
