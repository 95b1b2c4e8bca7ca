//! Rule `buying`: what is cut and laid is bought, no more and no less, at the yard's prices.
//!
//! Boards and sheets as many as are cut; units as many as are laid and the yard's spare, rounded up to a whole one. A line
//! costs its count at the price of one; a line without a price counts as nothing and is told.

use crate::claims::{Line, Record};
use crate::ledger::Ledger;
use crate::texts::Papers;
use std::collections::BTreeMap;

const RULE: &str = "buying";

/// What must be bought: used, bought, and the price of one, by kind, name and size.
type Needed = BTreeMap<(&'static str, String, Vec<i64>), (i128, i128, Option<i64>)>;

/// Holds the buying list.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let mut needed = needed(record, papers);
    let (mut total, mut unpriced) = (0_i128, 0);
    for line in &record.buying.lines {
        let name = format!("{} `{}` {:?}", line.kind, line.name, line.size);
        let kind = ["board", "sheet", "unit"].into_iter().find(|kind| *kind == line.kind).unwrap_or_default();
        let Some((used, count, price)) = needed.remove(&(kind, line.name.clone(), line.size.clone())) else {
            ledger.find(format!("{name} is bought, and is not needed or is bought twice"));
            continue;
        };
        ledger.same(&format!("how many of {name} are used"), i128::from(line.used), used);
        ledger.same(&format!("how many of {name} to buy"), i128::from(line.count), count);
        ledger.same(&format!("the price of {name}"), line.price, price);
        let amount = price.map(|price| i128::from(price) * count);
        ledger.same(&format!("what {name} cost"), line.amount.map(i128::from), amount);
        total += amount.unwrap_or(0);
        unpriced += i64::from(amount.is_none());
    }
    for ((kind, name, size), (used, ..)) in &needed {
        ledger.find(format!("{used} of {kind} `{name}` {size:?} are needed and not bought"));
    }
    ledger.same("what everything costs", i128::from(record.buying.total), total);
    ledger.same("how many lines have no price", record.buying.unpriced, unpriced);
}

fn needed(record: &Record, papers: &Papers) -> Needed {
    let mut needed = Needed::new();
    for section in &record.cutting.boards {
        let sold = papers.board(&section.board).map(|board| board.lengths.as_slice()).unwrap_or_default();
        for cut in &section.cuts {
            let price = sold.iter().find(|sold| sold.length == cut.stock).and_then(|sold| sold.price);
            let key = ("board", section.board.clone(), vec![cut.stock]);
            let entry = needed.entry(key).or_insert((0, 0, price));
            entry.0 += cut.boards.len() as i128;
            entry.1 = entry.0;
        }
    }
    for sheets in &record.cutting.sheets {
        let sold = papers.sheet(&sheets.sheet).map(|sheet| sheet.sizes.as_slice()).unwrap_or_default();
        for sheet in &sheets.sheets {
            let size = sold.iter().find(|sold| (sold.length, sold.width) == (sheet.length, sheet.width));
            let key = ("sheet", sheets.sheet.clone(), vec![sheet.length, sheet.width]);
            let entry = needed.entry(key).or_insert((0, 0, size.and_then(|size| size.price)));
            entry.0 += 1;
            entry.1 = entry.0;
        }
    }
    for part in record.parts.iter().filter(|part| part.kind == "unit") {
        let entry = needed.entry(("unit", part.stock.clone(), Vec::new())).or_insert((0, 0, None));
        entry.0 += 1;
    }
    for (key, entry) in needed.iter_mut().filter(|(key, _)| key.0 == "unit") {
        if let Some(unit) = papers.unit(&key.1) {
            *entry = (entry.0, with_spare(entry.0, unit.spare), unit.price);
        }
    }
    needed
}

/// So many and a share of them, in hundredths of a percent, rounded up.
pub(crate) fn with_spare(laid: i128, spare: i64) -> i128 {
    (laid * (10_000 + i128::from(spare)) + 9_999).div_euclid(10_000)
}

/// The name under which a line's numbers stand among the quantities.
pub(crate) fn line_name(line: &Line, papers: &Papers) -> String {
    let sizes = line.size.iter().map(|&length| papers.tape.show(measure::Length::nm(length)).replace('"', "in"));
    ["buy".to_string(), line.name.clone()].into_iter().chain(sizes).collect::<Vec<String>>().join(".")
}

#[cfg(test)]
mod tests {
    /// 42 setts and 5 % are 44.1, so 45; 40 and 5 % are 42 (worked by hand).
    #[test]
    fn spares() {
        assert_eq!([super::with_spare(42, 500), super::with_spare(40, 500), super::with_spare(1, 0)], [45, 42, 1]);
    }
}
