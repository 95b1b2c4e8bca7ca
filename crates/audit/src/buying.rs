//! Rule `buying`: what is cut and laid is bought, no more and no less, at the yard's prices.
//!
//! Boards and sheets as many as are cut, but for those that lie in the shed; units as many as are laid and the yard's spare,
//! rounded up to a whole one, less what is left in the shed, in the cheapest packs. A line without a price counts as nothing
//! and is told.

use crate::able;
use crate::claims::{FromShed, Line, Packs, Record};
use crate::home;
use crate::ledger::Ledger;
use crate::packs::{self, Bought};
use crate::texts::{Left, Pack, Papers, Sold};
use std::collections::BTreeMap;

const RULE: &str = "buying";

/// A line by kind, name, size and the name of a single board.
type Key = (&'static str, String, Vec<i64>, Option<String>);

/// Boards and sheets that must be bought, and the price of one; and those that come out of the shed.
#[derive(Default)]
struct Cut {
    bought: BTreeMap<Key, (i128, Option<i64>)>,
    from_shed: BTreeMap<Key, i64>,
}

/// Holds the buying list.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let mut cut = cut(record, papers);
    let mut units = laid(record);
    let (mut total, mut unpriced) = (0_i128, 0);
    for line in &record.buying.lines {
        let name = format!("{} `{}` {:?}", line.kind, line.name, line.size);
        let amount = if line.kind == "unit" {
            let Some(laid) = units.remove(&line.name) else {
                ledger.find(format!("{name} is bought, and is not needed or is bought twice"));
                continue;
            };
            hold_unit(line, laid, &name, papers, ledger)
        } else {
            let kind = ["board", "sheet"].into_iter().find(|kind| *kind == line.kind).unwrap_or_default();
            let key = (kind, line.name.clone(), line.size.clone(), line.board.clone());
            let Some((count, price)) = cut.bought.remove(&key) else {
                ledger.find(format!("{name} is bought, and is not needed or is bought twice"));
                continue;
            };
            ledger.same(&format!("how many of {name} are used"), i128::from(line.used), count);
            ledger.same(&format!("how many of {name} to buy"), i128::from(line.count), count);
            ledger.same(&format!("the price of {name}"), line.price, price);
            ledger.hold(line.packs.is_empty(), || format!("{name} is bought in packs"));
            price.map(|price| i128::from(price) * count)
        };
        ledger.same(&format!("what {name} cost"), line.amount.map(i128::from), amount);
        total += amount.unwrap_or(0);
        unpriced += i64::from(amount.is_none());
    }
    for ((kind, name, size, _), (used, _)) in &cut.bought {
        ledger.find(format!("{used} of {kind} `{name}` {size:?} are needed and not bought"));
    }
    for (name, used) in &units {
        ledger.find(format!("{used} of unit `{name}` are needed and not bought"));
    }
    ledger.same("what everything costs", i128::from(record.buying.total), total);
    ledger.same("how many lines have no price", record.buying.unpriced, unpriced);
    hold_from_shed(record, cut, ledger);
    hold_take_back(record, papers, ledger);
    hold_notes(record, papers, ledger);
    able::hold(record, papers, ledger);
    home::hold(record, papers, ledger);
}

/// What can be taken back is what lies whole at home and is not cut.
fn hold_take_back(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    let mut cut: BTreeMap<(String, i64), i64> = BTreeMap::new();
    for section in &record.cutting.boards {
        for pattern in section.cuts.iter().filter(|pattern| !pattern.shed && pattern.name.is_none()) {
            *cut.entry((section.board.clone(), pattern.stock)).or_default() += pattern.boards.len() as i64;
        }
    }
    let own = papers.standing.take_back(&cut);
    let mut claimed = record.buying.take_back.clone();
    claimed.sort();
    ledger.hold(claimed == own, || format!("what can be taken back is {own:?}, and the record says {claimed:?}"));
}

/// What comes out of the shed is what is cut of it.
fn hold_from_shed(record: &Record, cut: Cut, ledger: &mut Ledger) {
    let own = cut.from_shed.into_iter().map(|((kind, stock, size, name), count)| FromShed {
        kind: kind.into(),
        stock,
        name: name.unwrap_or_default(),
        size,
        count,
    });
    let mut own: Vec<FromShed> = own.collect();
    own.sort();
    let mut claimed = record.buying.from_shed.clone();
    claimed.sort();
    ledger.same("what comes out of the shed", claimed, own);
}

/// Boards that are left out are told.
fn hold_notes(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    let told = |what: &[&str]| record.buying.notes.iter().any(|note| what.iter().all(|word| note.contains(word)));
    for section in &record.cutting.boards {
        let all = papers.board(&section.board).map(|board| board.lengths.as_slice()).unwrap_or_default();
        for name in all.iter().filter(|sold| sold.left_out).filter_map(|sold| sold.name.as_deref()) {
            ledger.hold(told(&["left out", name]), || {
                format!("nothing says that the board `{name}` of `{}` is left out", section.board)
            });
        }
    }
}

fn cut(record: &Record, papers: &Papers) -> Cut {
    let mut cut = Cut::default();
    let mut add = |kind, stock: &String, size: Vec<i64>, sold: Option<&Sold>, count: i64| {
        let key = (kind, stock.clone(), size, sold.and_then(|sold| sold.name.clone()));
        if sold.is_some_and(|sold| sold.shed) {
            *cut.from_shed.entry(key).or_default() += count;
        } else {
            cut.bought.entry(key).or_insert((0, sold.and_then(|sold| sold.price))).0 += i128::from(count);
        }
    };
    for section in &record.cutting.boards {
        let sold = papers.board(&section.board).map(|board| board.lengths.as_slice()).unwrap_or_default();
        for cut in &section.cuts {
            let of = sold.iter().find(|sold| sold.is([cut.stock, 0], cut.name.as_deref(), cut.shed));
            add("board", &section.board, vec![cut.stock], of, cut.boards.len() as i64);
        }
    }
    for sheets in &record.cutting.sheets {
        let sold = papers.sheet(&sheets.sheet).map(|sheet| sheet.sizes.as_slice()).unwrap_or_default();
        for sheet in &sheets.sheets {
            let name = sheet.name.as_deref();
            let of = sold.iter().find(|sold| sold.is([sheet.length, sheet.width], name, name.is_some()));
            add("sheet", &sheets.sheet, vec![sheet.length, sheet.width], of, 1);
        }
    }
    cut
}

/// How many of each unit are laid.
pub(crate) fn laid(record: &Record) -> BTreeMap<String, i128> {
    let mut laid = BTreeMap::new();
    for part in record.parts.iter().filter(|part| part.kind == "unit") {
        *laid.entry(part.stock.clone()).or_default() += 1;
    }
    laid
}

/// Holds a line of units, and gives what it costs.
fn hold_unit(line: &Line, laid: i128, name: &str, papers: &Papers, ledger: &mut Ledger) -> Option<i128> {
    let unit = papers.unit(&line.name)?;
    let needed = with_spare(laid, unit.spare);
    let taken: i128 = takes(papers, ("unit", &line.name, 0), needed).iter().map(|(.., taken)| taken).sum();
    ledger.same(&format!("how many of {name} are used"), i128::from(line.used), laid);
    let sale = hold_packs(&line.packs, needed - taken, &unit.packs, name, ledger);
    let holds: i128 = line.packs.iter().map(|packs| i128::from(packs.holds) * i128::from(packs.count)).sum();
    ledger.same(&format!("how many of {name} to buy"), i128::from(line.count), holds);
    ledger.same(&format!("the price of {name}"), line.price, sale.price);
    sale.amount
}

/// What packs cost together, and the price of one where they come in one size.
pub(crate) struct Sale {
    pub amount: Option<i128>,
    pub price: Option<i64>,
}

/// Holds that the packs are on sale, are there, hold what is needed, and that no others are better.
pub(crate) fn hold_packs(claimed: &[Packs], needed: i128, sold: &[Pack], name: &str, ledger: &mut Ledger) -> Sale {
    let mut counts = vec![0; sold.len()];
    for packs in claimed {
        let is_it = |pack: &Pack| pack.holds == i128::from(packs.holds) && pack.price == packs.price;
        let found = sold.iter().position(is_it).filter(|&at| counts[at] == 0 && packs.count > 0);
        ledger
            .hold(found.is_some(), || format!("packs of {} of {name} are not on sale so, or stand twice", packs.holds));
        if let Some(found) = found {
            counts[found] = i128::from(packs.count);
        }
    }
    let there = |(pack, count): (&Pack, &i128)| pack.stock.is_none_or(|stock| *count <= i128::from(stock));
    ledger.hold(sold.iter().zip(&counts).all(there), || format!("more packs of {name} are bought than there are"));
    let holds: i128 = sold.iter().zip(&counts).map(|(pack, count)| pack.holds * count).sum();
    ledger.hold(holds >= needed, || format!("the packs of {name} hold {holds}, and {needed} are needed"));
    match packs::cheapest(needed, sold) {
        Bought::Packs(best) => {
            ledger.same(&format!("how many packs of {name} to buy"), &counts, &best);
        }
        Bought::TooFew => ledger.find(format!("there are too few packs of {name}")),
        Bought::Unknown => ledger.leave(format!("that no other packs of {name} are better")),
    }
    let price = if let [only] = sold { only.price } else { None };
    Sale { amount: packs::cost(&counts, sold), price }
}

/// What is left of one thing in the shed.
pub(crate) fn left_of<'p>(
    papers: &'p Papers,
    kind: &'p str,
    name: &'p str,
    length: i64,
) -> impl Iterator<Item = &'p Left> {
    papers.left.iter().filter(move |left| (left.kind, left.of.as_str(), left.length) == (kind, name, length))
}

/// What is taken of each rest: it, what is needed before, and what is taken.
pub(crate) fn takes<'p>(
    papers: &'p Papers,
    (kind, name, length): (&'p str, &'p str, i64),
    needed: i128,
) -> Vec<(&'p Left, i128, i128)> {
    let mut rest = needed;
    let take = |left: &'p Left| {
        let (before, taken) = (rest, left.amount.min(rest));
        rest -= taken;
        (left, before, taken)
    };
    left_of(papers, kind, name, length).map(take).collect()
}

/// So many and a share of them, in hundredths of a percent, rounded up.
pub(crate) fn with_spare(laid: i128, spare: i64) -> i128 {
    (laid * (10_000 + i128::from(spare)) + 9_999).div_euclid(10_000)
}

/// The name under which a line's numbers stand among the quantities.
pub(crate) fn line_name(line: &Line, papers: &Papers) -> String {
    let size = |&length: &i64| papers.tape.show(measure::Length::nm(length)).replace('"', "in");
    let sizes = match &line.board {
        Some(name) => vec!["each".to_string(), crate::needs::flat(name)],
        None => line.size.iter().map(size).collect(),
    };
    [vec!["buy".to_string(), line.name.clone()], sizes].concat().join(".")
}

#[cfg(test)]
mod tests {
    /// 42 setts and 5 % are 44.1, so 45; 40 and 5 % are 42 (worked by hand).
    #[test]
    fn spares() {
        assert_eq!([super::with_spare(42, 500), super::with_spare(40, 500), super::with_spare(1, 0)], [45, 42, 1]);
    }
}
