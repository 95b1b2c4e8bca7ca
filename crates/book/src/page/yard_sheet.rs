//! The yard sheet: everything to buy on one side of A4, with boxes for a biro, what to do if there is none of it, and what to
//! measure before paying.

use super::buy::AISLES;
use super::html::escape;
use crate::{whatif, words};
use advise::Settled;
use measure::Money;
use model::schema::StockKind;
use stages::buy::Line;

/// The sheet; on a screen a list to tick, on paper one page.
pub(super) fn sheet(settled: &Settled) -> String {
    let rows: Vec<String> =
        AISLES.iter().flat_map(|(_, stocks, materials)| aisle(settled, stocks, materials)).collect();
    if rows.is_empty() {
        return String::new();
    }
    let first = whatif::measure_first(settled);
    let sums: Vec<String> = words::to_pay(settled)
        .into_iter()
        .map(|(what, _, amount)| format!("{}: <strong>{}</strong>", escape(what), escape(&amount)))
        .collect();
    let parted = words::parted(settled);
    let size = size(rows.len() + first.len() + parted.len());
    let (title, currency) = (escape(&settled.plan.title), escape(&settled.plan.yard.currency));
    let first = match first.as_slice() {
        [] => String::new(),
        _ => {
            let items: String = first
                .iter()
                .map(|line| format!("<li><input type=\"checkbox\" aria-label=\"measured\"> {}</li>\n", escape(line)))
                .collect();
            format!("<p><strong>Measure before paying</strong></p>\n<ul class=\"first\">\n{items}</ul>\n")
        }
    };
    let parted: String = parted.iter().map(|line| format!("<p>{}</p>\n", escape(line))).collect();
    let first = first + &parted;
    format!(
        "<article class=\"yard-sheet {size}\">\n<p class=\"title\">{title}: to buy, in {currency}</p>\n<table>\n<thead><tr><th scope=\"col\"><span class=\"hidden\">bought</span></th><th scope=\"col\">off</th><th scope=\"col\">what</th><th scope=\"col\">together</th><th scope=\"col\">if there is none</th></tr></thead>\n<tbody>\n{}</tbody>\n</table>\n{first}<p>{}</p>\n</article>\n",
        rows.concat(),
        sums.join(" · "),
    )
}

/// How small the type must be for so many lines to stand on one side.
fn size(lines: usize) -> &'static str {
    match lines {
        0..=22 => "roomy",
        23..=40 => "close",
        _ => "dense",
    }
}

fn aisle(settled: &Settled, stocks: &[StockKind], materials: &[stages::buy::MaterialKind]) -> Vec<String> {
    let buying = &settled.buying;
    let lines = buying
        .lines
        .iter()
        .filter(|line| stocks.contains(&line.stock.kind))
        .map(|line| row(line.count, &words::bought(settled, line), line.amount, &fallback(settled, line)));
    let others = buying.materials.iter().filter(|line| materials.contains(&line.kind) && line.count > 0);
    lines.chain(others.map(|line| row(line.count, &words::material(settled, line), line.amount, ""))).collect()
}

fn row(count: u64, what: &str, amount: Option<Money>, fallback: &str) -> String {
    let amount = amount.map_or_else(String::new, |amount| amount.to_string());
    let what = escape(what);
    format!(
        "<tr><td><input type=\"checkbox\" aria-label=\"bought: {what}\"></td><td>{count}</td><td>{what}</td><td>{amount}</td><td>{}</td></tr>\n",
        escape(fallback)
    )
}

/// What to do if the yard has none of a length.
fn fallback(settled: &Settled, line: &Line) -> String {
    let asked = settled.what_ifs.fallbacks.iter().find(|fallback| {
        let kind = &settled.plan.yard.boards[fallback.stock.place];
        fallback.stock == line.stock
            && line.name.is_none()
            && line.size.first() == Some(&kind.lengths[fallback.length].length)
    });
    let Some((fallback, left)) = asked.and_then(|asked| Some((asked, asked.left.first()?))) else {
        return String::new();
    };
    let kept = whatif::kept(settled, fallback, left);
    match whatif::moved(settled, left) {
        Some(moved) => format!("{kept}; or {moved}"),
        None => kept,
    }
}
