//! The numbers of the cards at the saw: how many each makes, what its first board reads at the end, what lies on the saw.

use super::Book;
use crate::claims::{Card, Lot, Record};
use crate::texts::{Material, Papers};
use std::collections::BTreeMap;

/// What has come out of each board, sheet or strip: the sum of the lengths, and how many.
type SoFar<'r> = BTreeMap<(&'r str, &'r str, [i64; 3]), (i128, i128)>;

/// Expects the numbers of every card.
pub(super) fn expect(record: &Record, papers: &Papers, book: &mut Book<'_, '_>) {
    let mut so_far = SoFar::new();
    for (number, card) in (1..).zip(&record.cards) {
        let name = |what: &str| format!("card.{number}.{what}");
        let counts: Vec<i128> = card.lots.iter().map(|lot| lot.cuts.len() as i128).collect();
        book.expect(&name("count"), "tally", "count", counts);
        for lot in &card.lots {
            let key = (card.work.as_str(), card.stock.as_str(), named(lot));
            let (sum, cuts) = so_far.entry(key).or_default();
            *sum += i128::from(card.length) * lot.cuts.len() as i128;
            *cuts += lot.cuts.len() as i128;
        }
        if let Some(lot) = card.lots.first() {
            let key = (card.work.as_str(), card.stock.as_str(), named(lot));
            let (sum, cuts) = so_far.get(&key).copied().unwrap_or_default();
            let trim = if card.kind == "sheet" { record.cutting.sheet_trim } else { record.cutting.trim };
            // What parted a board at its bad stretches has squared all ends but the marked one.
            let is_squared = lot.span.as_ref().is_some_and(|span| span.first() != Some(&0));
            // Where the yard cut, a kerf squares the end.
            let off = match lot.piece {
                _ if is_squared => 0,
                Some(2..) => kerf(card, record).into(),
                _ => i128::from(trim.div_euclid(2)),
            };
            book.expect(
                &name("rest"),
                "rest",
                "nm",
                vec![lot.length.into(), off, sum, cuts, kerf(card, record).into()],
            );
            if card.work == "rip" {
                mass(&name("mass"), card, lot, record, papers, book);
            }
        }
    }
}

/// Which board, strip or piece.
fn named(lot: &Lot) -> [i64; 3] {
    [lot.number, lot.strip.unwrap_or(0), lot.piece.unwrap_or(0)]
}

fn kerf(card: &Card, record: &Record) -> i64 {
    let of = &record.cutting;
    let (own, saw) = match card.kind.as_str() {
        "board" => {
            (of.boards.iter().find(|section| section.board == card.stock).and_then(|section| section.kerf), of.kerf)
        }
        _ => (of.sheets.iter().find(|sheets| sheets.sheet == card.stock).and_then(|sheets| sheets.kerf), of.sheet_kerf),
    };
    own.unwrap_or(saw)
}

/// What lies on the saw before the first rip, if anybody knows what the sheet weighs.
fn mass(name: &str, card: &Card, lot: &Lot, record: &Record, papers: &Papers, book: &mut Book<'_, '_>) {
    let Some(sheet) = papers.sheet(&card.stock) else { return };
    let claimed = |name: &str| {
        let quantity = record.quantities.iter().find(|quantity| quantity.name == name)?;
        quantity.inputs.last().map(|input| i128::from(input.value))
    };
    let density = match &sheet.material {
        Material::Stated(density) => Some(i128::from(*density)),
        // The handbook's figure travels with the record: it is the one that the parts are weighed with.
        Material::Named(_) => {
            let part = record.parts.iter().find(|part| part.kind == "sheet" && part.stock == card.stock);
            part.and_then(|part| claimed(&format!("mass.{}", part.letters()))).or_else(|| claimed(name))
        }
        Material::Unknown => None,
    };
    let cut = record.cutting.sheets.iter().find(|sheets| sheets.sheet == card.stock);
    let place = usize::try_from(lot.number - 1).unwrap_or(usize::MAX);
    let length = cut.and_then(|sheets| sheets.sheets.get(place)).map(|sheet| sheet.length);
    if let (Some(density), Some(length)) = (density, length) {
        let inputs = vec![length.into(), lot.start.into(), sheet.thickness.into(), density];
        book.expect(name, "mass", "mg", inputs);
    }
}
