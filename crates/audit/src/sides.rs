//! Rule `side by side`: the ways to build a plan are those that it states, and each is told as its own record has it.
//!
//! A column is counted again from the record of its way: cuts and settings from the cards, boards and sheets from the cutting
//! plan, screws and units from the buying list, money from what is to pay, the heaviest thing from what one of each weighs.

use crate::claims::{Column, Record};
use crate::ledger::Ledger;
use crate::texts::Papers;

const RULE: &str = "side by side";

/// What a record says of the ways to build its plan, and what it is itself.
pub(crate) struct Told {
    /// The way that it is about, and its column as it follows from the record.
    way: String,
    own: Column,
    /// Each way by name and label, with the column that is claimed of it.
    claimed: Vec<(String, String, Option<Column>)>,
    /// The names and labels that the plan states.
    stated: Vec<(String, String)>,
    /// Whether the day book has begun: then only the way that is built is told.
    begun: bool,
}

/// What a record says of the ways; nothing where the plan states one only, and the record says so.
pub(crate) fn told(record: &Record, papers: &Papers) -> Option<Told> {
    if papers.ways.is_empty() && record.sides.is_empty() && record.way.is_none() {
        return None;
    }
    let claimed = record.sides.iter().map(|side| (side.name.clone(), side.label.clone(), side.column.clone()));
    Some(Told {
        way: record.way.clone().unwrap_or_default(),
        own: column(record, papers),
        claimed: claimed.collect(),
        stated: papers.ways.clone(),
        begun: papers.begun,
    })
}

/// Holds what a record says of its ways; `others` are the records of the others, as far as they are there.
pub(crate) fn hold(told: Told, others: Vec<Told>, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let names: Vec<(String, String)> = told.claimed.iter().map(|side| (side.0.clone(), side.1.clone())).collect();
    let all: Vec<(String, String)> =
        told.stated.iter().filter(|way| !told.begun || way.0 == told.way).cloned().collect();
    ledger.same("the ways to build it", names, all);
    ledger.hold(told.claimed.iter().any(|side| side.0 == told.way), || {
        format!("the record is about the way `{}`, which is not told", told.way)
    });
    for (name, _, claimed) in &told.claimed {
        let own = if *name == told.way {
            Some(&told.own)
        } else {
            others.iter().find(|one| one.way == *name).map(|one| &one.own)
        };
        match (own, claimed) {
            (Some(own), _) => {
                ledger.same(&format!("what the way `{name}` takes"), claimed.as_ref(), Some(own));
            }
            (None, Some(_)) => ledger.leave(format!("what the way `{name}` takes: its record is not here")),
            (None, None) => ledger.leave(format!("that the way `{name}` does not come out")),
        }
    }
}

/// What the way of a record takes.
fn column(record: &Record, papers: &Papers) -> Column {
    let buying = &record.buying;
    let [cuts, set_ups, _, screws, units] = counts(record);
    let patterns = || record.cutting.boards.iter().flat_map(|section| &section.cuts);
    let boards: usize = patterns().map(|cut| cut.boards.len()).sum();
    let tight_boards: usize = patterns().filter(|cut| !cut.comfortable).map(|cut| cut.boards.len()).sum();
    let sheets: usize = record.cutting.sheets.iter().map(|sheets| sheets.sheets.len()).sum();
    let all_sheets = record.cutting.sheets.iter().flat_map(|sheets| &sheets.sheets);
    let tight = tight_boards + all_sheets.filter(|sheet| !sheet.comfortable).count();
    let [boards, sheets, tight] = [boards, sheets, tight].map(|count| count as i64);
    let minutes = counts(record).iter().zip(papers.minutes).map(|(count, each)| count * each).sum();
    let (heaviest_is, heaviest) = heaviest(record, papers).unzip();
    Column {
        sizes: record.fit.sizes.iter().map(|size| size.wish.name.clone()).zip(chosen(record)).collect(),
        pay: buying.pay.total,
        unpriced: buying.unpriced + buying.materials_unpriced,
        tight,
        cuts,
        set_ups,
        boards,
        sheets,
        screws,
        units,
        minutes,
        heaviest,
        heaviest_is,
        unweighed: buying.load.unweighed,
    }
}

/// Cuts, settings of the saw, boards and sheets, screws, units.
fn counts(record: &Record) -> [i64; 5] {
    let cuts: usize = record.cards.iter().flat_map(|card| &card.lots).map(|lot| lot.cuts.len()).sum();
    let set_ups = record.cards.iter().map(|card| card.set_up).max().unwrap_or(0);
    let patterns = record.cutting.boards.iter().flat_map(|section| &section.cuts);
    let boards: usize = patterns.map(|cut| cut.boards.len()).sum();
    let sheets: usize = record.cutting.sheets.iter().map(|sheets| sheets.sheets.len()).sum();
    let screws = record.buying.materials.iter().filter(|line| line.kind == "screw").map(|line| line.used).sum();
    let units = record.buying.lines.iter().filter(|line| line.kind == "unit").map(|line| line.used).sum();
    [cuts as i64, set_ups, (boards + sheets) as i64, screws, units]
}

/// What the minutes of a plan come from: how often, and how long, in turn.
pub(crate) fn work(record: &Record, papers: &Papers) -> Vec<i128> {
    counts(record).iter().zip(papers.minutes).flat_map(|(&count, each)| [i128::from(count), each.into()]).collect()
}

fn chosen(record: &Record) -> Vec<i64> {
    record.ways.get(record.chosen).map(|way| way.closing.sizes.clone()).unwrap_or_default()
}

/// The heaviest of boards, sheets, units and bags, of equals the first, in the order of what is bought.
fn heaviest(record: &Record, papers: &Papers) -> Option<(String, i64)> {
    let masses = record.quantities.iter().filter(|number| number.name.starts_with("load.") && number.of == "mg");
    let things = masses.filter(|number| number.name != "load.mass").map(|number| (number.name.clone(), number.value));
    let mut all: Vec<(String, i64)> = things.collect();
    for line in record.buying.materials.iter().filter(|line| line.kind == "bag") {
        let Some(bag) = papers.bag(&line.name) else { continue };
        for packs in &line.packs {
            let size = bag.sizes.iter().position(|size| size.holds == i128::from(packs.holds));
            all.extend(size.and_then(|size| bag.masses[size]).map(|mass| (format!("a bag of {}", line.name), mass)));
        }
    }
    let most = all.iter().map(|(_, mass)| *mass).max()?;
    all.into_iter().find(|(_, mass)| *mass == most)
}
