//! The numbers of what is bought: cheapest packs, what the shed gives, what they cost; what to pay.

use super::Book;
use super::formulas::formula;
use crate::buying::{line_name, takes, with_spare};
use crate::claims::{Line, Material, Packs, Pay, Record};
use crate::needs::packs_of;
use crate::packs::at_most;
use crate::texts::{Pack, Papers, Sold};
use measure::Length;

/// Expects the numbers of every line of materials.
pub(super) fn expect(record: &Record, papers: &Papers, book: &mut Book<'_, '_>) {
    let mut amounts = Vec::new();
    for material in &record.buying.materials {
        let name = name(material, papers);
        let alone = || vec![Pack { holds: 1, price: material.price, stock: None }];
        let sold = packs_of(&material.kind, &material.name, material.length, papers).unwrap_or_else(alone);
        let of = match material.kind.as_str() {
            "bag" | "finish" => "mm3",
            "roll" => "nm",
            _ => "count",
        };
        let key = (material.kind.as_str(), material.name.as_str(), material.length);
        let need = needed(&name, key, i128::from(material.used), of, papers, book);
        if let [only] = sold.as_slice() {
            book.expect(&format!("{name}.count"), "whole-packs", "count", vec![need, only.holds]);
        }
        packs_cost(&name, &material.packs, need, &sold, material.amount.is_some(), book);
        amounts.extend(material.amount.map(i128::from));
    }
    if !record.buying.materials.is_empty() {
        book.expect("material.total", "total", "hundredths", amounts);
    }
}

/// The numbers of what the shed gives, and what is needed then.
fn needed(name: &str, key: (&str, &str, i64), used: i128, of: &str, papers: &Papers, book: &mut Book<'_, '_>) -> i128 {
    let takes = takes(papers, key, used);
    let mut inputs = vec![used];
    for (left, before, taken) in &takes {
        book.expect(&format!("left.{}.taken", left.name), "taken", of, vec![*before, left.amount]);
        inputs.push(*taken);
    }
    let need = used - inputs[1..].iter().sum::<i128>();
    if !takes.is_empty() {
        book.expect(&format!("{name}.need"), "less-left", of, inputs);
    }
    need
}

/// The number of what packs cost: those of one kind by how many, others by the search for the cheapest.
fn packs_cost(name: &str, bought: &[Packs], need: i128, sold: &[Pack], priced: bool, book: &mut Book<'_, '_>) {
    if !priced {
        return;
    }
    let name = format!("{name}.amount");
    if let [only] = sold {
        let count = bought.iter().map(|packs| i128::from(packs.count)).sum();
        book.expect(&name, "amount", "hundredths", vec![count, only.price.unwrap_or(0).into()]);
        return;
    }
    let offer = |pack: &Pack| [pack.holds, pack.price.unwrap_or(0).into(), at_most(need, pack)];
    let inputs = std::iter::once(need).chain(sold.iter().flat_map(offer)).collect();
    book.expect(&name, "packs", "hundredths", inputs);
}

/// The numbers of boards, sheets and units, and their sum.
pub(super) fn lines(record: &Record, papers: &Papers, book: &mut Book<'_, '_>) {
    let mut amounts = Vec::new();
    for line in &record.buying.lines {
        let name = line_name(line, papers);
        amounts.extend(line.amount.map(i128::from));
        if let Some(unit) = papers.unit(&line.name).filter(|_| line.kind == "unit") {
            let inputs = vec![line.used.into(), unit.spare.into()];
            book.expect(&format!("{name}.count"), "spares", "count", inputs);
            let all = with_spare(line.used.into(), unit.spare);
            let need = needed(&name, ("unit", &line.name, 0), all, "count", papers, book);
            packs_cost(&name, &line.packs, need, &unit.packs, line.amount.is_some(), book);
            continue;
        }
        if let Some(by) = sold(line, papers).and_then(|sold| sold.by.clone()) {
            book.expect(&name.replacen("buy.", "price.", 1), "price-by-measure", "hundredths", by);
        }
        if let (Some(price), Some(_)) = (line.price, line.amount) {
            book.expect(&format!("{name}.amount"), "amount", "hundredths", vec![line.count.into(), price.into()]);
        }
    }
    book.expect("buy.total", "total", "hundredths", amounts);
}

/// What a line of boards or sheets is in the yard.
fn sold<'p>(line: &Line, papers: &'p Papers) -> Option<&'p Sold> {
    let all = match line.kind.as_str() {
        "board" => &papers.board(&line.name)?.lengths,
        _ => &papers.sheet(&line.name)?.sizes,
    };
    let measures = [line.size.first().copied()?, line.size.get(1).copied().unwrap_or(0)];
    all.iter().find(|sold| sold.is(measures, line.board.as_deref(), false))
}

/// What to pay: all that has a price, the tax on it, and beside it one delivery.
pub(super) fn pay(record: &Record, papers: &Papers, book: &mut Book<'_, '_>) {
    let buying = &record.buying;
    let mut sums = vec![i128::from(buying.total)];
    if !buying.materials.is_empty() {
        sums.push(buying.materials_total.into());
    }
    let goods: i128 = sums.iter().sum();
    book.expect("pay.goods", "total", "hundredths", sums);
    let mut total = vec![goods];
    let tax = papers.tax.map(|share| {
        let inputs = vec![goods, i128::from(share)];
        let tax = formula("tax", &inputs).unwrap_or(0);
        book.expect("pay.tax", "tax", "hundredths", inputs);
        total.push(tax);
        tax
    });
    let all: i128 = total.iter().sum();
    book.expect("pay.total", "total", "hundredths", total);
    let delivery = papers.delivery.map(|(price, free)| {
        let inputs: Vec<i128> = [goods, price.into()].into_iter().chain(free.map(i128::from)).collect();
        let delivery = formula("delivery", &inputs).unwrap_or(0);
        book.expect("pay.delivery", "delivery", "hundredths", inputs);
        delivery
    });
    let small = |value: i128| i64::try_from(value).unwrap_or(i64::MAX);
    let own = Pay { goods: small(goods), tax: tax.map(small), total: small(all), delivery: delivery.map(small) };
    book.ledger.same("what to pay", buying.pay, own);
}

fn name(material: &Material, papers: &Papers) -> String {
    let name = format!("material.{}.{}", material.kind, crate::needs::flat(&material.name));
    if material.length == 0 {
        return name;
    }
    format!("{name}.{}", papers.tape.show(Length::nm(material.length)).replace('"', "in").replace(' ', "-"))
}
