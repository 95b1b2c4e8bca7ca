//! The numbers of what is bought beside parts: whole boxes, bags and metres, and what they cost.

use super::Book;
use crate::claims::{Material, Record};
use crate::texts::Papers;
use measure::Length;

/// A litre in cubic millimetres, and a metre in nanometres.
const LITRE: i128 = 1_000_000;
const METRE: i128 = 1_000_000_000;

/// Expects the numbers of every line of materials.
pub(super) fn expect(record: &Record, papers: &Papers, book: &mut Book<'_, '_>) {
    let mut amounts = Vec::new();
    for material in &record.buying.materials {
        let name = name(material, papers);
        if let Some(each) = each(material, papers) {
            book.expect(&format!("{name}.count"), "whole-packs", "count", vec![material.used.into(), each]);
        }
        if let (Some(price), Some(amount)) = (material.price, material.amount) {
            let inputs = vec![material.count.into(), price.into()];
            book.expect(&format!("{name}.amount"), "amount", "hundredths", inputs);
            amounts.push(i128::from(amount));
        }
    }
    if !record.buying.materials.is_empty() {
        book.expect("material.total", "total", "hundredths", amounts);
    }
}

fn name(material: &Material, papers: &Papers) -> String {
    let name = format!("material.{}.{}", material.kind, material.name.replace([' ', '.', ','], "-"));
    if material.length == 0 {
        return name;
    }
    format!("{name}.{}", papers.tape.show(Length::nm(material.length)).replace('"', "in").replace(' ', "-"))
}

/// What one box, bag or metre gives; nothing if the yard has no such thing.
fn each(material: &Material, papers: &Papers) -> Option<i128> {
    match material.kind.as_str() {
        "screw" => {
            let sold = &papers.screw(&material.name)?.lengths;
            sold.iter().find(|sold| sold.length == material.length).map(|sold| sold.per_box.into())
        }
        "bag" => papers.bag(&material.name).map(|bag| i128::from(bag.litres) * LITRE),
        "roll" => Some(METRE),
        _ => Some(1),
    }
}
