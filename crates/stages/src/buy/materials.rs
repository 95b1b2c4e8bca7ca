//! Screws by the box, bags by their yield, rolls by the metre, fittings, and what the plan itself names.

use super::shop::too_few;
use super::{Buying, Packs, too_large};
use crate::rules;
use measure::{Length, Money, Volume};
use model::build::{Need, Needed};
use model::joint::Joints;
use model::plan::Plan;
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::{Pack, StockRef};
use model::why::{Input, Of, Quantity, Value, flat};
use std::collections::BTreeMap;

/// A line of what is bought beside boards, sheets and units.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MaterialLine {
    /// What kind of thing.
    pub kind: MaterialKind,
    /// Its name in the yard; for an extra what the plan calls it.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// For screws how long they are; zero otherwise.
    pub length: Length,
    /// How much is used: screws, cubic millimetres, nanometres off the roll, or things.
    pub used: i128,
    /// How many boxes, bags, tins, metres or things to buy.
    pub count: u64,
    /// Which of them: at least one, unless the shed has all that is needed.
    pub packs: Vec<Packs>,
    /// The price of one, if known and of one size.
    pub price: Option<Money>,
    /// What the line costs, if known.
    pub amount: Option<Money>,
}

/// What kind of thing a line is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MaterialKind {
    /// Boxes of screws.
    Screw,
    /// Bags.
    Bag,
    /// Metres off a roll.
    Roll,
    /// Tins.
    Finish,
    /// Brackets, hangers, bolts.
    Fitting,
    /// Things that the plan names.
    Extra,
}

impl MaterialKind {
    /// The word for it in the record.
    pub fn word(self) -> &'static str {
        match self {
            MaterialKind::Screw => "screw",
            MaterialKind::Bag => "bag",
            MaterialKind::Roll => "roll",
            MaterialKind::Finish => "finish",
            MaterialKind::Fitting => "fitting",
            MaterialKind::Extra => "extra",
        }
    }

    /// What one of it is: a box, a bag, a tin, a metre.
    pub fn one(self) -> &'static str {
        match self {
            MaterialKind::Screw => "box",
            MaterialKind::Bag => "bag",
            MaterialKind::Roll => "metre",
            MaterialKind::Finish => "tin",
            MaterialKind::Fitting => "pack",
            MaterialKind::Extra => "piece",
        }
    }
}

/// A volume in whole cubic millimetres, rounded up: what is ordered is never less than what is needed.
pub fn cubic_millimetres(volume: Volume) -> i128 {
    const CUBIC_MILLIMETRE: i128 = 1_000_000_000_000_000_000;
    -(-volume.cubic_nanometres()).div_euclid(CUBIC_MILLIMETRE)
}

/// What is used of one thing, and how it is sold.
struct Use {
    line: MaterialLine,
    /// Where it stands in the yard; an extra stands nowhere.
    stock: Option<StockRef>,
    /// The packs that it comes in.
    packs: Vec<Pack>,
    /// What `used` and the packs count.
    of: Of,
}

/// The lines; their numbers, what the shed gives and what there is to know go to the list.
///
/// # Errors
/// A count or a sum that is too large to be written, or packs of which there are not enough.
pub(super) fn lines(
    joints: &Joints,
    needs: &[Need],
    plan: &Plan,
    buying: &mut Buying,
) -> Result<Vec<MaterialLine>, Problem> {
    let uses = screws(joints, plan)
        .into_iter()
        .chain(filled(needs, plan))
        .chain(laid_out(needs, plan))
        .chain(brushed(needs, plan))
        .chain(fitted(needs, plan));
    uses.chain(extras(needs)).map(|of| bought(of, plan, buying)).collect()
}

fn screws(joints: &Joints, plan: &Plan) -> Vec<Use> {
    let mut used: BTreeMap<(usize, Length), i128> = BTreeMap::new();
    for joint in &joints.made {
        *used.entry((joint.screw, joint.length)).or_default() += joint.heads.len() as i128;
    }
    let of = |((place, length), used): ((usize, Length), i128)| {
        let screw = &plan.yard.screws[place];
        let sold = screw.lengths.iter().find(|sold| sold.length == length);
        let line = line(MaterialKind::Screw, &screw.name, &screw.label, used);
        Use {
            line: MaterialLine { length, ..line },
            stock: Some(StockRef { kind: StockKind::Screw, place }),
            packs: sold.map_or_else(Vec::new, |sold| sold.boxes.clone()),
            of: Of::Count,
        }
    };
    used.into_iter().map(of).collect()
}

fn filled(needs: &[Need], plan: &Plan) -> Vec<Use> {
    let mut used: BTreeMap<StockRef, i128> = BTreeMap::new();
    for need in needs {
        if let Needed::Filled { bag, volume } = need.of {
            *used.entry(bag).or_default() += cubic_millimetres(volume);
        }
    }
    let of = |(stock, used): (StockRef, i128)| {
        let bag = &plan.yard.bags[stock.place];
        let line = line(MaterialKind::Bag, &bag.name, &bag.label, used);
        Use { line, stock: Some(stock), packs: bag.sizes.clone(), of: Of::Volume }
    };
    used.into_iter().map(of).collect()
}

/// A metre off a roll.
const METRE: u64 = 1_000_000_000;

fn laid_out(needs: &[Need], plan: &Plan) -> Vec<Use> {
    let mut used: BTreeMap<StockRef, Length> = BTreeMap::new();
    for need in needs {
        if let Needed::LaidOut { roll, length } = need.of {
            *used.entry(roll).or_default() += length;
        }
    }
    let of = |(stock, used): (StockRef, Length)| {
        let roll = &plan.yard.rolls[stock.place];
        let line = line(MaterialKind::Roll, &roll.name, &roll.label, used.nanometres().into());
        let packs = vec![Pack { holds: METRE, price: roll.price, stock: None }];
        Use { line, stock: Some(stock), packs, of: Of::Length }
    };
    used.into_iter().map(of).collect()
}

fn brushed(needs: &[Need], plan: &Plan) -> Vec<Use> {
    let mut used: BTreeMap<StockRef, i128> = BTreeMap::new();
    for need in needs {
        if let Needed::Brushed { finish, volume } = need.of {
            *used.entry(finish).or_default() += cubic_millimetres(volume);
        }
    }
    let of = |(stock, used): (StockRef, i128)| {
        let finish = &plan.yard.finishes[stock.place];
        let line = line(MaterialKind::Finish, &finish.name, &finish.label, used);
        Use { line, stock: Some(stock), packs: finish.tins.clone(), of: Of::Volume }
    };
    used.into_iter().map(of).collect()
}

fn fitted(needs: &[Need], plan: &Plan) -> Vec<Use> {
    let mut used: BTreeMap<StockRef, i128> = BTreeMap::new();
    for need in needs {
        if let Needed::Fitted { fitting, count } = need.of {
            *used.entry(fitting).or_default() += i128::from(count);
        }
    }
    let of = |(stock, used): (StockRef, i128)| {
        let fitting = &plan.yard.fittings[stock.place];
        let line = line(MaterialKind::Fitting, &fitting.name, &fitting.label, used);
        Use { line, stock: Some(stock), packs: fitting.packs.clone(), of: Of::Count }
    };
    used.into_iter().map(of).collect()
}

/// Things that are called the same and cost the same are bought together.
fn extras(needs: &[Need]) -> Vec<Use> {
    let mut uses: Vec<Use> = Vec::new();
    for need in needs {
        let Needed::Extra { count, price, .. } = need.of else { continue };
        let pack = Pack { holds: 1, price, stock: None };
        let same = |of: &&mut Use| of.line.label == need.what && of.packs == [pack];
        match uses.iter_mut().find(same) {
            Some(of) => of.line.used += i128::from(count),
            None => {
                let free = |name: &String| uses.iter().all(|of| flat(&of.line.name) != flat(name));
                let name = names(&need.what).find(free).unwrap_or_default();
                let line = line(MaterialKind::Extra, &name, &need.what, count.into());
                uses.push(Use { line, stock: None, packs: vec![pack], of: Of::Count });
            }
        }
    }
    uses
}

/// What an extra may be called where others are called the same and cost something else: `foot`, `foot (2)`, `foot (3)` …
fn names(what: &str) -> impl Iterator<Item = String> {
    let again = (2..).map(move |number: u32| format!("{what} ({number})"));
    std::iter::once(what.to_owned()).chain(again)
}

fn line(kind: MaterialKind, name: &str, label: &str, used: i128) -> MaterialLine {
    let (name, label) = (name.to_owned(), label.to_owned());
    let (length, packs) = (Length::ZERO, Vec::new());
    MaterialLine { kind, name, label, length, used, count: 0, packs, price: None, amount: None }
}

/// The line with what is bought and what it costs.
fn bought(of: Use, plan: &Plan, buying: &mut Buying) -> Result<MaterialLine, Problem> {
    let Use { mut line, stock, packs, of } = of;
    let name = quantity_name(&line, plan);
    let mut needed = (line.used, Input::new("used", Value { of, value: line.used }));
    if let Some(stock) = stock {
        let length = (line.length != Length::ZERO).then_some(line.length);
        needed = buying.less_left(&name, stock, length, of, line.used, plan)?;
    }
    let (needed, input) = needed;
    if let [only] = packs.as_slice() {
        let each = Value { of, value: only.holds.into() };
        let inputs = vec![input.clone(), Input::new(format!("in one {}", line.kind.one()), each)];
        let count = Quantity::by(format!("{name}.count"), "to buy", Of::Count, &rules::WHOLE_PACKS, inputs);
        buying.quantities.push(count.ok_or_else(|| too_large(&name))?);
    }
    let bought = buying
        .packs_for(&name, &packs, needed, input, of)
        .map_err(|problem| problem.unwrap_or_else(|| too_few(&line.label)))?;
    line.count = bought.packs.iter().map(|packs| packs.count).sum();
    (line.packs, line.price, line.amount) = (bought.packs, bought.price, bought.amount);
    Ok(line)
}

/// The name that the numbers of a line begin with: `material.bag.soil`, `material.screw.deck-5.60`.
pub fn quantity_name(line: &MaterialLine, plan: &Plan) -> String {
    let (kind, name) = (line.kind.word(), flat(&line.name));
    match line.length {
        Length::ZERO => format!("material.{kind}.{name}"),
        length => format!("material.{kind}.{name}.{}", plan.tape.show(length).replace('"', "in").replace(' ', "-")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 307.5 L in bags of 50 are seven bags; 109 screws in boxes of 100 are two boxes (by hand).
    #[test]
    fn whole_packs_are_bought() {
        let packs = |used, each| (rules::WHOLE_PACKS.compute)(&[used, each]);
        assert_eq!(packs(307_500_000, 50_000_000), Some(7));
        assert_eq!(packs(109, 100), Some(2));
        assert_eq!(packs(100, 100), Some(1));
        assert_eq!(packs(1, 0), None);
    }

    #[test]
    fn a_volume_is_rounded_up() {
        assert_eq!(cubic_millimetres(Volume::from_cubic_nanometres(1)), 1);
        assert_eq!(cubic_millimetres(Volume::litres(2)), 2_000_000);
    }
}
