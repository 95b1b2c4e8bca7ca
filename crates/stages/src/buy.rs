//! Buying: boards and sheets as cutting asks for them, whole units with spares, and beside them screws, bags, rolls and
//! extras, each with its price.

mod materials;

pub use materials::{MaterialKind, MaterialLine, cubic_millimetres, quantity_name};

use crate::cut::Cutting;
use crate::rules;
use measure::{Length, Money};
use model::build::Build;
use model::joint::Joints;
use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::StockRef;
use model::why::{Input, Of, Quantity, Value};
use std::collections::BTreeMap;

/// The buying list.
#[derive(Clone, Debug, Default)]
pub struct Buying {
    /// Its lines, in the order of the yard.
    pub lines: Vec<Line>,
    /// All lines that have a price.
    pub total: Money,
    /// How many lines have no price.
    pub unpriced: usize,
    /// What is bought beside what parts are made of.
    pub materials: Vec<MaterialLine>,
    /// All of these that have a price.
    pub materials_total: Money,
    /// How many of these have no price.
    pub materials_unpriced: usize,
    /// Its numbers with their why.
    pub quantities: Vec<Quantity>,
}

/// One line of the buying list.
#[derive(Clone, Debug)]
pub struct Line {
    /// What.
    pub stock: StockRef,
    /// Which size of it: length, and width for a sheet. Units have none.
    pub size: Vec<Length>,
    /// How many are built in; for boards and sheets as many as are bought.
    pub used: u64,
    /// How many to buy.
    pub count: u64,
    /// The price of one, if known.
    pub price: Option<Money>,
    /// What the line costs, if known.
    pub amount: Option<Money>,
}

/// The list for what is cut and laid, and for what holds, fills and lines it.
///
/// # Errors
/// A count or a sum that is too large to be written; counts and prices that are read within their limits never come near it.
pub fn buy_all(build: &Build, joints: &Joints, cutting: &Cutting, plan: &Plan) -> Result<Buying, Problem> {
    let mut buying = buy(&build.parts, cutting, plan)?;
    let (lines, quantities) = materials::lines(joints, &build.needs, plan)?;
    if lines.is_empty() {
        return Ok(buying);
    }
    let amounts = quantities.iter().filter(|quantity| quantity.value.of == Of::Money);
    let inputs = amounts.map(|quantity| Input::new(quantity.name.clone(), quantity.value)).collect();
    let total = Quantity::by("material.total", "all of it that has a price", Of::Money, &rules::TOTAL, inputs)
        .ok_or_else(|| too_large("material.total"))?;
    buying.materials_total = money_of(&total)?;
    buying.materials_unpriced = lines.iter().filter(|line| line.amount.is_none()).count();
    buying.materials = lines;
    buying.quantities.extend(quantities);
    buying.quantities.push(total);
    Ok(buying)
}

/// The list for what is cut and laid alone: what the ways are compared by.
///
/// # Errors
/// A count or a sum that is too large to be written; counts and prices that are read within their limits never come near it.
pub fn buy(parts: &[Part], cutting: &Cutting, plan: &Plan) -> Result<Buying, Problem> {
    let mut buying = Buying::default();
    for section in &cutting.sections {
        let mut counts: BTreeMap<usize, u64> = BTreeMap::new();
        for cut in &section.cuts {
            *counts.entry(cut.length).or_default() += cut.boards.len() as u64;
        }
        for (place, count) in counts {
            let length = plan.yard.boards[section.stock.place].lengths[place];
            buying.add(section.stock, vec![length.length], count, length.price, plan)?;
        }
    }
    for sheets in &cutting.sheets {
        let mut counts: BTreeMap<usize, u64> = BTreeMap::new();
        for sheet in &sheets.sheets {
            *counts.entry(sheet.size).or_default() += 1;
        }
        for (place, count) in counts {
            let size = plan.yard.sheets[sheets.stock.place].sizes[place];
            buying.add(sheets.stock, vec![size.length, size.width], count, size.price, plan)?;
        }
    }
    for (place, laid) in laid(parts) {
        buying.add_units(place, laid, plan)?;
    }
    buying.sum()?;
    Ok(buying)
}

/// How many of each unit are laid.
fn laid(parts: &[Part]) -> BTreeMap<usize, u64> {
    let mut laid: BTreeMap<usize, u64> = BTreeMap::new();
    for part in parts.iter().filter(|part| part.stock.kind == StockKind::Unit) {
        *laid.entry(part.stock.place).or_default() += 1;
    }
    laid
}

impl Buying {
    fn add(
        &mut self,
        stock: StockRef,
        size: Vec<Length>,
        count: u64,
        price: Option<Money>,
        plan: &Plan,
    ) -> Result<(), Problem> {
        let (name, _) = plan.yard.label(stock);
        let size_name: Vec<String> = size.iter().map(|length| plan.tape.show(*length).replace('"', "in")).collect();
        let name = [vec!["buy".to_owned(), name.to_owned()], size_name].concat().join(".");
        self.push(Line { stock, size, used: count, count, price, amount: None }, name)
    }

    fn add_units(&mut self, place: usize, laid: u64, plan: &Plan) -> Result<(), Problem> {
        let unit = &plan.yard.units[place];
        let name = format!("buy.{}", unit.name);
        let inputs = vec![
            Input::new("laid", Value::count(laid)),
            Input::new("spare", Value { of: Of::Percent, value: unit.spare.value().into() }),
        ];
        let count = Quantity::by(format!("{name}.count"), "to buy, with spares", Of::Count, &rules::SPARES, inputs)
            .ok_or_else(|| too_large(&name))?;
        let bought = u64::try_from(count.value.value).map_err(|_| too_large(&name))?;
        self.quantities.push(count);
        let stock = StockRef { kind: StockKind::Unit, place };
        self.push(Line { stock, size: Vec::new(), used: laid, count: bought, price: unit.price, amount: None }, name)
    }

    fn push(&mut self, mut line: Line, name: String) -> Result<(), Problem> {
        if let Some(price) = line.price {
            let inputs =
                vec![Input::new("to buy", Value::count(line.count)), Input::new("price of one", Value::money(price))];
            let amount = Quantity::by(format!("{name}.amount"), "what they cost", Of::Money, &rules::AMOUNT, inputs)
                .ok_or_else(|| too_large(&name))?;
            line.amount = Some(money_of(&amount)?);
            self.quantities.push(amount);
        }
        self.lines.push(line);
        Ok(())
    }

    fn sum(&mut self) -> Result<(), Problem> {
        self.unpriced = self.lines.iter().filter(|line| line.amount.is_none()).count();
        let amounts = self.quantities.iter().filter(|quantity| quantity.value.of == Of::Money);
        let inputs = amounts.map(|quantity| Input::new(quantity.name.clone(), quantity.value)).collect();
        let total = Quantity::by("buy.total", "all that has a price", Of::Money, &rules::TOTAL, inputs)
            .ok_or_else(|| too_large("buy.total"))?;
        self.total = money_of(&total)?;
        self.quantities.push(total);
        Ok(())
    }
}

fn money_of(quantity: &Quantity) -> Result<Money, Problem> {
    i64::try_from(quantity.value.value).map(Money::hundredths).map_err(|_| too_large(&quantity.name))
}

fn too_large(name: &str) -> Problem {
    Problem::new(format!("`{name}` is too large to be written")).hint("check the prices and spares of the yard")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(count: u64, price: i64) -> Line {
        let stock = StockRef { kind: StockKind::Unit, place: 0 };
        let price = Some(Money::hundredths(price));
        Line { stock, size: Vec::new(), used: count, count, price, amount: None }
    }

    /// Two boards at 16.92 and one at 14.10 are 47.94 (by hand).
    #[test]
    fn lines_are_summed() {
        let mut buying = Buying::default();
        buying.push(line(2, 1692), "buy.a".into()).expect("small");
        buying.push(line(1, 1410), "buy.b".into()).expect("small");
        buying.sum().expect("small");
        assert_eq!((buying.total, buying.unpriced), (Money::hundredths(4794), 0));
    }

    #[test]
    fn what_is_too_large_is_a_problem_and_no_other_number() {
        let mut buying = Buying::default();
        let problem = buying.push(line(2, i64::MAX), "buy.a".into()).expect_err("twice the most there is");
        assert!(problem.message.contains("buy.a.amount"), "{}", problem.message);
        buying.push(line(1, i64::MAX), "buy.b".into()).expect("the most there is");
        buying.push(line(1, 1), "buy.c".into()).expect("small");
        let problem = buying.sum().expect_err("one more than the most there is");
        assert!(problem.message.contains("buy.total"), "{}", problem.message);
    }
}
