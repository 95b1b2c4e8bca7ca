//! Parts, cutting, buying, questions and steps as tables.

use super::html::{escape, number, table};
use super::pictures::figure;
use crate::asked;
use crate::sawn;
use crate::sheets;
use crate::words;
use advise::Settled;
use model::part::{Axis, Part};
use stages::cut::{BoardCut, Section, Sheets};
use std::collections::BTreeMap;

/// The list of parts, those that are alike in one line.
pub(super) fn parts(settled: &Settled) -> String {
    let mut kinds: BTreeMap<String, Vec<&Part>> = BTreeMap::new();
    for part in &settled.build.parts {
        let letters = part.id.trim_end_matches(|c: char| c.is_ascii_digit()).to_owned();
        kinds.entry(letters).or_default().push(part);
    }
    let mut kinds: Vec<(String, Vec<&Part>)> = kinds.into_iter().collect();
    kinds.sort_by_key(|(letters, _)| (letters.len(), letters.clone()));
    let tape = settled.plan.tape;
    let row = |(letters, alike): &(String, Vec<&Part>)| {
        let part = alike[0];
        let ids = if alike.len() == 1 { part.id.clone() } else { format!("{letters}1–{letters}{}", alike.len()) };
        let mut faces: Vec<&str> = alike.iter().map(|part| part.key.face.as_str()).collect();
        faces.dedup();
        faces.sort_unstable();
        faces.dedup();
        let shown = tape.show_exact(part.solid.length);
        let length = match length_names(part).into_iter().find(|name| gives_length(settled, name, part)) {
            Some(name) => number(&name, &escape(&shown)),
            None => escape(&shown),
        };
        vec![
            escape(&ids),
            alike.len().to_string(),
            escape(&format!("{} {}: {}", part.key.piece, part.key.role, faces.join(", "))),
            length,
            escape(&format!("{} × {}", tape.show_exact(part.solid.width), tape.show_exact(part.solid.thickness))),
            escape(settled.plan.yard.label(part.stock).1),
        ]
    };
    let rows: Vec<Vec<String>> = kinds.iter().map(row).collect();
    let caption = format!("Parts, lengths in {}; length lies along the grain", tape.unit_word());
    table(&caption, &["id", "off", "where", "length", "width × thickness", "of"], &rows)
}

/// The names that the quantity may have which gives a part its length, the most special first: by face, role and place, and
/// down to one for the upright parts of the whole piece.
fn length_names(part: &Part) -> [String; 4] {
    let (piece, role, face) = (&part.key.piece, &part.key.role, part.key.face.replace(' ', "-"));
    [
        format!("{piece}.{face}.{role}-{}.length", part.key.index + 1),
        format!("{piece}.{face}.{role}.length"),
        format!("{piece}.{role}.length"),
        match part.at.along {
            Axis::Z => format!("{piece}.length"),
            _ => format!("{piece}.{face}.length"),
        },
    ]
}

/// Whether there is a quantity of this name and it is this part's length: a size of the piece may be called the same.
fn gives_length(settled: &Settled, name: &str, part: &Part) -> bool {
    let length = i128::from(part.solid.length.nanometres());
    settled.quantities().any(|quantity| quantity.name == name && quantity.value.value == length)
}

fn is_known(settled: &Settled, name: &str) -> bool {
    settled.quantities().any(|quantity| quantity.name == name)
}

pub(super) fn number_if_known(settled: &Settled, name: &str, shown: &str) -> String {
    if is_known(settled, name) { number(name, &escape(shown)) } else { escape(shown) }
}

/// Boards and sheets as they lie at the saw.
pub(super) fn saw(settled: &Settled) -> String {
    let mut text = String::from(
        "<p class=\"care\">Square one end of each board first. Guard in place, work held, nobody in line with the blade; mask with treated wood. Hold a short last piece with a stop or a sled, not by hand.</p>\n",
    );
    for section in &settled.cutting.sections {
        text += &boards(settled, section);
    }
    for sheets in &settled.cutting.sheets {
        text += &sheet(settled, sheets);
    }
    text
}

fn boards(settled: &Settled, section: &Section) -> String {
    let tape = settled.plan.tape;
    let (name, label) = settled.plan.yard.label(section.stock);
    let status = words::cut_status(settled, section);
    let views = sawn::boards(settled, section);
    let row = |(at, cut): (usize, &BoardCut)| {
        let value = |what: &str| {
            let show = |quantity: String| {
                let found = settled.quantities().find(|found| found.name == quantity)?;
                Some(number(&found.name, &escape(&words::value(settled, found.value))))
            };
            if cut.stretches.is_empty() {
                let own = show(format!("cut.{name}.{}.{what}", at + 1));
                return own.unwrap_or_else(|| "no kerf inside".to_owned());
            }
            let each = (1..=cut.stretches.len()).filter_map(|stretch| {
                Some(format!("stretch {stretch}: {}", show(format!("cut.{name}.{}.{stretch}.{what}", at + 1))?))
            });
            each.collect::<Vec<String>>().join("; ")
        };
        let ids: Vec<String> = cut
            .boards
            .iter()
            .map(|board| {
                board.iter().map(|&place| settled.build.parts[place].id.as_str()).collect::<Vec<&str>>().join(" ")
            })
            .collect();
        let ids =
            if ids.len() > 12 { [&ids[..11], &[format!("and {} more boards", ids.len() - 11)]].concat() } else { ids };
        vec![
            cut.boards.len().to_string(),
            escape(&(tape.show(cut.stock_length) + &words::called(settled, section, cut))),
            escape(&ids.join("; ")),
            value("slack"),
            value("breaks-at"),
            escape(if cut.comfortable { "comfortable" } else { "possible, if measured" }),
        ]
    };
    let rows: Vec<Vec<String>> = section.cuts.iter().enumerate().map(row).collect();
    let caption = format!("{label}: {status}");
    format!("<h3>{}</h3>\n", escape(&caption))
        + &figure(|paper| drawing::boards(&views, tape, paper))
        + &table(&caption, &["boards", "each", "parts, board by board", "left", "breaks at kerf", ""], &rows)
}

fn sheet(settled: &Settled, sheets: &Sheets) -> String {
    let label = settled.plan.yard.label(sheets.stock).1;
    let views = sawn::sheets(settled, sheets);
    format!("<h3>{}</h3>\n", escape(&format!("{label}: {}", sheets::said(sheets))))
        + &figure(|paper| drawing::sheets(&views, settled.plan.tape, paper))
}

/// Questions and answers: the worst first, the others folded.
pub(super) fn questions(settled: &Settled) -> String {
    let list = |answers: &[&stages::check::Answer]| {
        let items: String = answers.iter().map(|answer| question(settled, answer)).collect();
        if items.is_empty() { items } else { format!("<ul>\n{items}</ul>\n") }
    };
    let (worst, rest) = asked::worst(settled);
    let folded = match asked::counted(&rest) {
        counted if counted.is_empty() => counted,
        counted => {
            format!("<details><summary>{}</summary>\n{}</details>\n", escape(&capital(&counted)), list(&rest))
        }
    };
    format!(
        "{}{folded}<p>{}.</p>\n<p>These answers are screening: sensible first looks, and no certified design. Your local code, and a licensed professional where one is due, have the last word.</p>",
        list(&worst),
        escape(&asked::site(settled)).replace('`', ""),
    )
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// One answer with its numbers, what to change or to know, its cautions and its source.
fn question(settled: &Settled, answer: &stages::check::Answer) -> String {
    let shown = |name: &Option<String>| {
        let found = settled.quantities().find(|quantity| Some(&quantity.name) == name.as_ref());
        found.map_or_else(String::new, |found| number(&found.name, &escape(&words::value(settled, found.value))))
    };
    let compared = match (shown(&answer.value), shown(&answer.limit)) {
        (value, limit) if !value.is_empty() => format!(": {value} against {limit}"),
        _ => String::new(),
    };
    let line = |what: &str, text: Option<&String>| {
        text.map_or_else(String::new, |text| format!("<br>{what}: {}.", escape(text)))
    };
    let cautions: String = answer.cautions.iter().map(|caution| line("Care", Some(caution))).collect();
    let source = if answer.source.is_empty() {
        String::new()
    } else {
        format!("<br><span class=\"source\">Limit: {}</span>", escape(&answer.source))
    };
    let (question, about, verdict) = (escape(answer.question), escape(&answer.about), answer.verdict.word());
    let (change, needs) =
        (line("What to change", answer.change.as_ref()), line("What is missing", answer.needs.as_ref()));
    format!("<li>{question} {about}: <strong>{verdict}</strong>{compared}{change}{needs}{cautions}{source}</li>\n")
}

/// What to do, in order.
pub(super) fn steps(settled: &Settled) -> String {
    let ids: BTreeMap<_, _> = settled.build.parts.iter().map(|part| (&part.key, part.id.as_str())).collect();
    let step = |ordered: &stages::make::Ordered| {
        let step = &ordered.step;
        let caution = step
            .caution
            .as_ref()
            .map_or_else(String::new, |caution| format!("<p class=\"care\">{}.</p>", escape(caution)));
        let parts: Vec<&str> = step.parts.iter().filter_map(|key| ids.get(key).copied()).collect();
        let parts = if parts.len() > 24 {
            format!("{} to {}, {} in all", parts[0], parts[parts.len() - 1], parts.len())
        } else {
            parts.join(" ")
        };
        let tools = match ordered.tools.as_slice() {
            [] => String::new(),
            tools => format!("<br><span class=\"what\">At hand: {}.</span>", escape(&tools.join(", "))),
        };
        format!("<li>{}. <span class=\"what\">{}</span>{tools}{caution}</li>\n", escape(&step.what), escape(&parts))
    };
    let steps: String = settled.making.steps.iter().map(step).collect();
    format!("<ol>\n{steps}</ol>")
}
