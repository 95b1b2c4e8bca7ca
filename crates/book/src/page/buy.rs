//! The buying list by aisle, what comes out of the shed, what to pay and what to bring home.

use super::html::{escape, number, table};
use super::parts::number_if_known;
use crate::words;
use advise::Settled;
use measure::Money;
use model::schema::StockKind;
use stages::buy::{Line, MaterialKind, MaterialLine, line_name, quantity_name};

/// The aisles in which things stand, in the order in which one walks.
pub(super) const AISLES: [(&str, &[StockKind], &[MaterialKind]); 7] = [
    ("Timber", &[StockKind::Board], &[]),
    ("Sheet", &[StockKind::Sheet], &[]),
    ("Stone and paving", &[StockKind::Unit], &[]),
    ("Fixings", &[], &[MaterialKind::Screw, MaterialKind::Fitting]),
    ("Finish", &[], &[MaterialKind::Finish]),
    ("Bags and rolls", &[], &[MaterialKind::Bag, MaterialKind::Roll]),
    ("Other", &[], &[MaterialKind::Extra]),
];

/// The buying list.
pub(super) fn buying(settled: &Settled) -> String {
    let buying = &settled.buying;
    let aisle = |(name, stocks, materials): &(&str, &[StockKind], &[MaterialKind])| {
        let lines = buying.lines.iter().filter(|line| stocks.contains(&line.stock.kind));
        let others = buying.materials.iter().filter(|line| materials.contains(&line.kind));
        let rows = lines.map(|of| line(settled, of)).chain(others.map(|of| material(settled, of)));
        let rows: Vec<Vec<String>> = rows.collect();
        if rows.is_empty() {
            return String::new();
        }
        let caption = format!("{name}, {}", settled.plan.yard.currency);
        table(&caption, &["off", "what", "each", "together"], &rows)
    };
    let aisles: String = AISLES.iter().map(aisle).collect();
    format!("{aisles}{}{}", from_shed(settled), sums(settled))
}

fn line(settled: &Settled, line: &Line) -> Vec<String> {
    let name = line_name(line, &settled.plan);
    let need = [".need", ".count"].map(|what| format!("{name}{what}"));
    let count = need.iter().find(|name| settled.quantities().any(|quantity| quantity.name == **name));
    let shown = line.count.to_string();
    row(
        settled,
        count.map_or_else(|| escape(&shown), |name| number(name, &shown)),
        &words::bought(settled, line),
        line.price,
        line.amount,
        &name,
    )
}

fn material(settled: &Settled, line: &MaterialLine) -> Vec<String> {
    let name = quantity_name(line, &settled.plan);
    let count = number_if_known(settled, &format!("{name}.count"), &line.count.to_string());
    row(settled, count, &words::material(settled, line), line.price, line.amount, &name)
}

fn row(
    settled: &Settled,
    count: String,
    what: &str,
    price: Option<Money>,
    amount: Option<Money>,
    name: &str,
) -> Vec<String> {
    let amount = match amount {
        Some(amount) => number_if_known(settled, &format!("{name}.amount"), &amount.to_string()),
        None => "no price".into(),
    };
    vec![count, escape(what), price.map_or_else(String::new, |price| price.to_string()), amount]
}

/// What need not be bought; empty if that is nothing.
fn from_shed(settled: &Settled) -> String {
    let lines = words::from_shed(settled);
    if lines.is_empty() {
        return String::new();
    }
    let line = |line: &String| format!("<li>{}</li>\n", escape(line));
    format!("<p>From the shed:</p>\n<ul>\n{}</ul>\n", lines.iter().map(line).collect::<String>())
}

fn sums(settled: &Settled) -> String {
    let buying = &settled.buying;
    let mut rows = vec![vec![
        format!("boards, sheets and units{}", words::without(buying.unpriced)),
        number("buy.total", &buying.total.to_string()),
    ]];
    if !buying.materials.is_empty() {
        rows.push(vec![
            format!("all the rest{}", words::without(buying.materials_unpriced)),
            number("material.total", &buying.materials_total.to_string()),
        ]);
    }
    for (what, name, amount) in words::to_pay(settled) {
        rows.push(vec![format!("<strong>{what}</strong>"), number_if_known(settled, name, &amount)]);
    }
    table("What to pay, and what to bring home", &["", ""], &rows)
}
