//! Screws by the box, bags by their yield, rolls by the metre, and what the plan itself names.

use super::{money_of, too_large};
use crate::rules;
use measure::{Length, Money, Volume};
use model::build::{Need, Needed};
use model::joint::Joints;
use model::plan::Plan;
use model::problem::Problem;
use model::why::{Input, Of, Quantity, Rule, Value};
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
    /// How many boxes, bags, metres or things to buy.
    pub count: u64,
    /// The price of one, if known.
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
            MaterialKind::Extra => "extra",
        }
    }

    /// What one of it is: a box, a bag, a metre.
    pub fn one(self) -> &'static str {
        match self {
            MaterialKind::Screw => "box",
            MaterialKind::Bag => "bag",
            MaterialKind::Roll => "metre",
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
    /// How much one box, bag or metre gives.
    each: i128,
    /// What `used` and `each` count.
    of: Of,
}

/// The lines, and their numbers with their whys.
///
/// # Errors
/// A count or a sum that is too large to be written.
pub(super) fn lines(
    joints: &Joints,
    needs: &[Need],
    plan: &Plan,
) -> Result<(Vec<MaterialLine>, Vec<Quantity>), Problem> {
    let mut lines = Vec::new();
    let mut quantities = Vec::new();
    let uses = screws(joints, plan).into_iter().chain(filled(needs, plan)).chain(laid_out(needs, plan));
    for of in uses.chain(extras(needs)) {
        lines.push(bought(of, plan, &mut quantities)?);
    }
    Ok((lines, quantities))
}

fn screws(joints: &Joints, plan: &Plan) -> Vec<Use> {
    let mut used: BTreeMap<(usize, Length), i128> = BTreeMap::new();
    for joint in &joints.made {
        *used.entry((joint.screw, joint.length)).or_default() += joint.heads.len() as i128;
    }
    let of = |((screw, length), used): ((usize, Length), i128)| {
        let screw = &plan.yard.screws[screw];
        let sold = screw.lengths.iter().find(|sold| sold.length == length);
        let (price, each) = sold.map_or((None, 1), |sold| (sold.price, i128::from(sold.per_box)));
        let line = line(MaterialKind::Screw, &screw.name, &screw.label, used, price);
        Use { line: MaterialLine { length, ..line }, each, of: Of::Count }
    };
    used.into_iter().map(of).collect()
}

fn filled(needs: &[Need], plan: &Plan) -> Vec<Use> {
    let mut used: BTreeMap<usize, i128> = BTreeMap::new();
    for need in needs {
        if let Needed::Filled { bag, volume } = need.of {
            *used.entry(bag.place).or_default() += cubic_millimetres(volume);
        }
    }
    let of = |(bag, used): (usize, i128)| {
        let bag = &plan.yard.bags[bag];
        let line = line(MaterialKind::Bag, &bag.name, &bag.label, used, bag.price);
        Use { line, each: cubic_millimetres(bag.yields), of: Of::Volume }
    };
    used.into_iter().map(of).collect()
}

fn laid_out(needs: &[Need], plan: &Plan) -> Vec<Use> {
    let mut used: BTreeMap<usize, Length> = BTreeMap::new();
    for need in needs {
        if let Needed::LaidOut { roll, length } = need.of {
            *used.entry(roll.place).or_default() += length;
        }
    }
    let of = |(roll, used): (usize, Length)| {
        let roll = &plan.yard.rolls[roll];
        let line = line(MaterialKind::Roll, &roll.name, &roll.label, used.nanometres().into(), roll.price);
        Use { line, each: Length::mm(1000).nanometres().into(), of: Of::Length }
    };
    used.into_iter().map(of).collect()
}

/// Things that are called the same and cost the same are bought together.
fn extras(needs: &[Need]) -> Vec<Use> {
    let mut uses: Vec<Use> = Vec::new();
    for need in needs {
        let Needed::Extra { count, price, .. } = need.of else { continue };
        let same = |of: &&mut Use| of.line.name == need.what && of.line.price == price;
        match uses.iter_mut().find(same) {
            Some(of) => of.line.used += i128::from(count),
            None => {
                let line = line(MaterialKind::Extra, &need.what, &need.what, count.into(), price);
                uses.push(Use { line, each: 1, of: Of::Count });
            }
        }
    }
    uses
}

fn line(kind: MaterialKind, name: &str, label: &str, used: i128, price: Option<Money>) -> MaterialLine {
    let (name, label) = (name.to_owned(), label.to_owned());
    MaterialLine { kind, name, label, length: Length::ZERO, used, count: 0, price, amount: None }
}

/// The line with what is bought and what it costs.
fn bought(of: Use, plan: &Plan, quantities: &mut Vec<Quantity>) -> Result<MaterialLine, Problem> {
    let Use { mut line, each, of } = of;
    let name = quantity_name(&line, plan);
    let one = line.kind.one();
    let inputs = vec![
        Input::new("used", Value { of, value: line.used }),
        Input::new(format!("in one {one}"), Value { of, value: each }),
    ];
    let count = counted(format!("{name}.count"), "to buy", &rules::WHOLE_PACKS, inputs)?;
    line.count = u64::try_from(count.value.value).map_err(|_| too_large(&name))?;
    quantities.push(count);
    if let Some(price) = line.price {
        let inputs =
            vec![Input::new("to buy", Value::count(line.count)), Input::new("price of one", Value::money(price))];
        let amount = Quantity::by(format!("{name}.amount"), "what they cost", Of::Money, &rules::AMOUNT, inputs)
            .ok_or_else(|| too_large(&name))?;
        line.amount = Some(money_of(&amount)?);
        quantities.push(amount);
    }
    Ok(line)
}

fn counted(name: String, what: &str, rule: &'static Rule, inputs: Vec<Input>) -> Result<Quantity, Problem> {
    Quantity::by(name.clone(), what, Of::Count, rule, inputs).ok_or_else(|| too_large(&name))
}

/// The name that the numbers of a line begin with: `material.bag.soil`, `material.screw.deck-5.60`.
pub fn quantity_name(line: &MaterialLine, plan: &Plan) -> String {
    let (kind, name) = (line.kind.word(), line.name.replace([' ', '.', ','], "-"));
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
