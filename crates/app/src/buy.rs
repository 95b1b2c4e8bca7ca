//! What is to be bought, line by line, for who stands in the shop.

use scantling::{Done, words};
use serde_json::{Value, json};

/// Each line: how many, what, what it costs, and where it stands in the yard: its shelf, its name there, and which size of it.
pub(crate) fn lines(done: &Done) -> Vec<Value> {
    let settled = &done.settled;
    let stock = settled.buying.lines.iter().map(|line| {
        let (name, _) = settled.plan.yard.label(line.stock);
        json!({
            "count": line.count,
            "words": words::bought(settled, line),
            "amount": line.amount.map(|amount| amount.to_string()),
            "shelf": line.stock.kind.word(),
            "name": name,
            "size": line.size.iter().map(|size| size.nanometres()).collect::<Vec<i64>>(),
            "each": line.name,
        })
    });
    let materials = settled.buying.materials.iter().filter(|line| line.count > 0).map(|line| {
        json!({
            "count": line.count,
            "words": words::material(settled, line),
            "amount": line.amount.map(|amount| amount.to_string()),
            "shelf": line.kind.word(),
            "name": line.name,
            "size": [],
            "each": null,
        })
    });
    stock.chain(materials).collect()
}
