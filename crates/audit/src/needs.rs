//! Rule `needs`: what is bought beside timber and units follows from the plan, and nothing of it is missing.
//!
//! The pieces say what they need ([`crate::asked::Form::needs`]); that is held against the record's needs one by one. What is
//! bought is then counted again: screws by the heads of the joints, bags by what is filled, metres by what is cut off a roll,
//! each in whole boxes, bags and metres at the yard's prices.

use crate::asked::{Asked, Fitting, Planned};
use crate::buying::{hold_packs, laid, takes, with_spare};
use crate::claims::{self, Material, Record};
use crate::geometry::Case;
use crate::laid::{Built, Number, Site};
use crate::ledger::Ledger;
use crate::texts::{Pack, Papers};
use crate::whys::formula;
use std::collections::BTreeMap;

const RULE: &str = "needs";

/// A metre in nanometres.
const METRE: i128 = 1_000_000_000;

/// What a piece needs beside parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Want {
    pub piece: String,
    pub what: String,
    pub of: Of,
}

/// How much of what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Of {
    /// Cubic millimetres of what comes in bags of this name.
    Bag(String, i128),
    /// Cubic millimetres of what comes in tins of this name.
    Finish(String, i128),
    /// Nanometres off a roll of this name.
    Roll(String, i128),
    /// So many of a fitting of this name.
    Fitting(String, i128),
    /// So many of what the plan itself names, and the price of one.
    Extra(i128, Option<i64>),
}

/// What all pieces need, with the numbers that have a why.
#[derive(Default)]
pub(crate) struct Wanted {
    pub needs: Vec<Want>,
    pub numbers: Vec<Number>,
    /// Layers that are laid with an objection to them: the piece, and what is laid.
    pub objections: Vec<(String, String)>,
}

impl Wanted {
    /// Expects a number whose inputs may lie a little off the referee's, each by its own slack, and gives its value: that of the
    /// record's inputs where all of them do lie within that, else that of the referee's own.
    pub fn near(
        &mut self,
        record: &Record,
        name: String,
        rule: &'static str,
        of: &'static str,
        inputs: Vec<(i128, i128)>,
    ) -> i128 {
        let claimed = record.quantities.iter().find(|quantity| quantity.name == name);
        let claimed: Vec<i128> =
            claimed.map_or_else(Vec::new, |of| of.inputs.iter().map(|input| input.value.into()).collect());
        let near = |(claimed, (own, slack)): (&i128, &(i128, i128))| (claimed - own).abs() <= *slack;
        let all = claimed.len() == inputs.len() && claimed.iter().zip(&inputs).all(near);
        let inputs = if all { claimed } else { inputs.into_iter().map(|input| input.0).collect() };
        let value = formula(rule, &inputs).unwrap_or(0);
        self.numbers.push(Number { name, rule, of, inputs });
        value
    }
}

/// Holds needs and materials, and adds the needs' numbers to those that must have a why.
pub(crate) fn hold(record: &Record, papers: &Papers, asked: &Asked, built: &mut Built<'_>, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let site = Site::of(asked, &record.ways[record.chosen].closing);
    let mut wanted = Wanted::default();
    let case = Case { record, site: &site };
    for piece in &asked.pieces {
        piece.form.needs(piece, &case, &mut wanted);
        want_fittings(piece, record, &mut wanted);
    }
    hold_needs(record, &wanted, ledger);
    for (piece, what) in &wanted.objections {
        let told = record.notes.iter().any(|note| note.piece == *piece && note.text.contains(what.as_str()));
        ledger.hold(told, || format!("`{what}` of {piece} is laid to drain, and nothing says why it does not"));
    }
    hold_materials(record, papers, &wanted, ledger);
    built.numbers.extend(wanted.numbers);
}

/// So many fittings for each part of a role that the record has: the parts themselves are held elsewhere.
fn want_fittings(piece: &Planned, record: &Record, wanted: &mut Wanted) {
    for Fitting { stock, role, each, bolts } in &piece.fittings {
        let parts = record.parts.iter().filter(|part| part.piece == piece.name && part.role == *role).count() as i128;
        if parts == 0 {
            continue;
        }
        if !bolts {
            let name = format!("{}.{role}.fittings", piece.name);
            wanted.numbers.push(Number { name, rule: "fittings", of: "count", inputs: vec![parts, *each] });
        }
        let (name, what) = (piece.name.clone(), (*role).to_string());
        wanted.needs.push(Want { piece: name, what, of: Of::Fitting(stock.clone(), parts * each) });
    }
}

fn hold_needs(record: &Record, wanted: &Wanted, ledger: &mut Ledger) {
    let mut open: Vec<&claims::Need> = record.needs.iter().collect();
    for want in &wanted.needs {
        let (kind, stock, cubic_mm, length) = match &want.of {
            Of::Bag(bag, volume) => ("bag", bag.as_str(), *volume, 0),
            Of::Finish(finish, volume) => ("finish", finish.as_str(), *volume, 0),
            Of::Roll(roll, length) => ("roll", roll.as_str(), 0, *length),
            Of::Fitting(fitting, _) => ("fitting", fitting.as_str(), 0, 0),
            Of::Extra(..) => ("extra", "", 0, 0),
        };
        let own = (want.piece.as_str(), want.what.as_str(), kind, stock, cubic_mm, length);
        let claimed = |need: &&claims::Need| {
            let of = (need.piece.as_str(), need.what.as_str(), need.kind.as_str(), need.stock.as_str());
            (of.0, of.1, of.2, of.3, i128::from(need.cubic_mm), i128::from(need.length)) == own
        };
        let found = open.iter().position(claimed);
        ledger.hold(found.is_some(), || {
            let same = record.needs.iter().filter(|need| (&need.piece, &need.what) == (&want.piece, &want.what));
            let said: Vec<_> = same.map(|need| (&need.kind, &need.stock, need.cubic_mm, need.length)).collect();
            format!("the plan needs {own:?}, and the record says {said:?}")
        });
        if let Some(found) = found {
            open.remove(found);
        }
    }
    for need in open {
        ledger.find(format!("`{}` of {} ({}) is nothing that the plan needs", need.what, need.piece, need.kind));
    }
}

/// A line that must be bought: kind, name and length; how much is used; the packs that it comes in.
struct Needed {
    key: (&'static str, String, i64),
    used: i128,
    packs: Vec<Pack>,
}

fn hold_materials(record: &Record, papers: &Papers, wanted: &Wanted, ledger: &mut Ledger) {
    let buying = &record.buying;
    let mut open: Vec<&Material> = buying.materials.iter().collect();
    let (mut total, mut unpriced) = (0, 0);
    let mut taken = Vec::new();
    for (name, laid) in laid(record) {
        let all = papers.unit(&name).map_or(0, |unit| with_spare(laid, unit.spare));
        taken.extend(takes(papers, ("unit", &name, 0), all).iter().map(|(left, _, taken)| (left.name.clone(), *taken)));
    }
    for needed in needed(record, papers, wanted) {
        let (kind, name, length) = (needed.key.0, needed.key.1.as_str(), needed.key.2);
        let is_it = |line: &&Material| (line.kind.as_str(), line.name.as_str(), line.length) == (kind, name, length);
        let shown = format!("{kind} `{name}`");
        let Some(found) = open.iter().position(is_it) else {
            ledger.find(format!("{} of {shown} are needed and not bought", needed.used));
            continue;
        };
        let line = open.remove(found);
        let given = takes(papers, (kind, name, length), needed.used);
        let rest = needed.used - given.iter().map(|(.., taken)| taken).sum::<i128>();
        taken.extend(given.iter().map(|(left, _, taken)| (left.name.clone(), *taken)));
        let sale = hold_packs(&line.packs, rest, &needed.packs, &shown, ledger);
        let count: i128 = line.packs.iter().map(|packs| i128::from(packs.count)).sum();
        let amount = sale.amount;
        ledger.same(&format!("how much of {shown} is used"), i128::from(line.used), needed.used);
        ledger.same(&format!("how many of {shown} to buy"), i128::from(line.count), count);
        ledger.same(&format!("the price of {shown}"), line.price, sale.price);
        ledger.same(&format!("what {shown} costs"), line.amount.map(i128::from), amount);
        total += amount.unwrap_or(0);
        unpriced += i64::from(amount.is_none());
    }
    for line in open {
        ledger.find(format!("{} `{}` is bought, and is not needed or is bought twice", line.kind, line.name));
    }
    ledger.same("what all materials cost", i128::from(buying.materials_total), total);
    ledger.same("how many materials have no price", buying.materials_unpriced, unpriced);
    let mut claimed: Vec<(String, i128)> =
        buying.taken.iter().map(|(name, taken)| (name.clone(), i128::from(*taken))).collect();
    claimed.sort();
    taken.sort();
    ledger.same("what is taken of what is left in the shed", claimed, taken);
}

/// A name as it stands in the names of numbers.
pub(crate) fn flat(name: &str) -> String {
    name.replace([' ', '.', ','], "-")
}

fn needed(record: &Record, papers: &Papers, wanted: &Wanted) -> Vec<Needed> {
    let mut used: BTreeMap<(&'static str, String, i64), i128> = BTreeMap::new();
    for joint in &record.joints {
        *used.entry(("screw", joint.screw.clone(), joint.length)).or_default() += joint.heads.len() as i128;
    }
    let mut lines: Vec<Needed> = Vec::new();
    // What the plan calls each of the lines.
    let mut extras: Vec<String> = Vec::new();
    for want in &wanted.needs {
        match &want.of {
            Of::Bag(bag, volume) => *used.entry(("bag", bag.clone(), 0)).or_default() += volume,
            Of::Finish(finish, volume) => *used.entry(("finish", finish.clone(), 0)).or_default() += volume,
            Of::Fitting(fitting, count) => *used.entry(("fitting", fitting.clone(), 0)).or_default() += count,
            Of::Roll(roll, length) => *used.entry(("roll", roll.clone(), 0)).or_default() += length,
            &Of::Extra(count, price) => {
                // Things that are called the same and cost the same are bought together; what costs something else is numbered.
                let packs = vec![Pack { holds: 1, price, stock: None }];
                let same = (0..lines.len()).find(|&at| extras[at] == want.what && lines[at].packs == packs);
                match same {
                    Some(at) => lines[at].used += count,
                    None => {
                        let taken = |name: &str| lines.iter().any(|line: &Needed| flat(&line.key.1) == flat(name));
                        let mut name = want.what.clone();
                        let mut number = 1;
                        while taken(&name) {
                            number += 1;
                            name = format!("{} ({number})", want.what);
                        }
                        extras.push(want.what.clone());
                        lines.push(Needed { key: ("extra", name, 0), used: count, packs });
                    }
                }
            }
        }
    }
    let sold = |(key, used): ((&'static str, String, i64), i128)| {
        let packs = packs_of(key.0, &key.1, key.2, papers).unwrap_or_default();
        Needed { key, used, packs }
    };
    lines.extend(used.into_iter().map(sold));
    lines
}

/// The packs that a thing comes in: boxes of a length of screw, bags, tins, metres off a roll, and other things singly.
pub(crate) fn packs_of(kind: &str, name: &str, length: i64, papers: &Papers) -> Option<Vec<Pack>> {
    match kind {
        "screw" => {
            let mut lengths = papers.screw(name)?.lengths.iter();
            lengths.find(|sold| sold.length == length).map(|sold| sold.boxes.clone())
        }
        "bag" => papers.bag(name).map(|bag| bag.sizes.clone()),
        "finish" => papers.finishes.iter().find(|finish| finish.name == name).map(|finish| finish.tins.clone()),
        "fitting" => papers.fittings.iter().find(|fitting| fitting.name == name).map(|fitting| fitting.packs.clone()),
        "roll" => papers.roll(name).map(|roll| vec![Pack { holds: METRE, price: roll.price, stock: None }]),
        _ => None,
    }
}
