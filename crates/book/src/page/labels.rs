//! A label for each part: its id in big type, to cut apart and stick on, as masking tape would carry it.

use super::html::escape;
use advise::Settled;
use model::part::Part;
use model::schema::StockKind;

/// How many labels a side of A4 has: four across, ten down.
const ON_A_SIDE: usize = 40;

/// The labels, behind a line that opens them; empty if nothing is sawn.
pub(super) fn labels(settled: &Settled) -> String {
    let is_sawn = |part: &&Part| matches!(part.stock.kind, StockKind::Board | StockKind::Sheet);
    let parts: Vec<&Part> = settled.build.parts.iter().filter(is_sawn).collect();
    if parts.is_empty() {
        return String::new();
    }
    let side = |parts: &[&Part]| {
        let labels: String = parts.iter().map(|part| label(settled, part)).collect();
        format!("<ul class=\"labels\">\n{labels}</ul>\n")
    };
    let sides: Vec<String> = parts.chunks(ON_A_SIDE).map(side).collect();
    format!(
        "<details class=\"label-sheets\"><summary>One for each of {} parts, to print on {} of A4 while this is open</summary>\n{}</details>",
        parts.len(),
        if sides.len() == 1 { "a side".to_owned() } else { format!("{} sides", sides.len()) },
        sides.concat()
    )
}

fn label(settled: &Settled, part: &Part) -> String {
    let (tape, key) = (settled.plan.tape, &part.key);
    format!(
        "<li><strong>{}</strong> {}<br><span>{}</span></li>\n",
        escape(&part.id),
        escape(&tape.show_with_unit(part.solid.length)),
        escape(&format!("{} {}, {}", key.piece, key.role, key.face)),
    )
}
