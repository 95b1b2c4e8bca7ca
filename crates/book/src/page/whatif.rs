//! What a few millimetres do, and what to do if the yard has too few, as tables.

use super::html::{escape, table};
use crate::whatif;
use advise::Settled;
use advise::whatif::{Give, Left};
use measure::Length;

/// What a few millimetres of each size do, traps, and one spacer for several rows.
pub(super) fn gives(settled: &Settled) -> String {
    let all = &settled.what_ifs;
    let mut text = String::new();
    let said: Vec<String> = all.gives.iter().filter_map(|give| whatif::give(settled, give)).collect();
    text += &list(&said);
    if !all.gives.is_empty() {
        let rows: Vec<Vec<String>> = all.gives.iter().flat_map(|give| stretches(settled, give)).collect();
        let caption = format!(
            "Each size alone, up to {} steps of the tape either way, everything else following: what all boards, sheets and units then cost in {}",
            advise::whatif::STEPS_NEAR,
            settled.plan.yard.currency
        );
        text += &table(&caption, &["size", "from", "to", "costs", ""], &rows);
    }
    text += &list(&all.traps.iter().map(|trap| whatif::trap(settled, trap)).collect::<Vec<String>>());
    text + &list(&all.spacers.iter().map(|spacer| whatif::spacer(settled, spacer)).collect::<Vec<String>>())
}

fn list(said: &[String]) -> String {
    if said.is_empty() {
        return String::new();
    }
    let items: String = said.iter().map(|line| format!("<li>{}</li>\n", escape(line))).collect();
    format!("<ul>\n{items}</ul>\n")
}

fn stretches(settled: &Settled, give: &Give) -> Vec<Vec<String>> {
    let tape = settled.plan.tape;
    let show = |place: i64| escape(&tape.show(Length::nm(place)));
    let row = |(at, stretch): (usize, &advise::whatif::Stretch)| {
        let tight = match stretch.price.tight {
            0 => "comfortable".to_owned(),
            tight => format!("{tight} tight"),
        };
        let here = if at == give.stands_in { " <strong>← here</strong>" } else { "" };
        let step = settled.asked.problem.sizes[give.size].step;
        let every = match stretch.every {
            every if every > step => format!(", every {}", show(every)),
            _ => String::new(),
        };
        vec![
            escape(&whatif::size_name(settled, give.size)),
            show(stretch.from),
            show(stretch.to),
            stretch.price.total.to_string(),
            escape(&tight) + &every + here,
        ]
    };
    give.stretches.iter().enumerate().map(row).collect()
}

/// What to measure before paying.
pub(super) fn first(settled: &Settled) -> String {
    let said = whatif::measure_first(settled);
    if said.is_empty() {
        return String::new();
    }
    format!(
        "<h3>Measure before paying</h3>\n<p>The label is not the board: sizes are final only now.</p>\n{}",
        list(&said)
    )
}

/// What to do if the yard has none, or only a few, of each length on the list.
pub(super) fn fallbacks(settled: &Settled) -> String {
    let mut rows = Vec::new();
    for fallback in &settled.what_ifs.fallbacks {
        let kind = &settled.plan.yard.boards[fallback.stock.place];
        let what = format!("{} × {}", kind.label, settled.plan.tape.show(kind.lengths[fallback.length].length));
        let left = |left: &Left| {
            let only = if left.count == 0 { "none".to_owned() } else { format!("only {}", left.count) };
            vec![
                escape(&what),
                only,
                escape(&whatif::kept(settled, fallback, left)),
                escape(&whatif::moved(settled, left).unwrap_or_default()),
            ]
        };
        rows.extend(fallback.left.iter().map(left));
    }
    if rows.is_empty() {
        return String::new();
    }
    table("If the yard has none, or too few", &["of", "there are", "the same parts from", "or"], &rows)
}
