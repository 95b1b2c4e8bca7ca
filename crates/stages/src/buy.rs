//! Buying: boards and sheets as cutting asks for them, whole units with spares, and beside them screws, bags, rolls and
//! extras, each with its price.

mod back;
mod bits;
mod door;
mod home;
mod load;
mod materials;
mod packs;
mod pay;
mod shop;

pub use back::TakeBack;
pub use home::{Home, Parted, YARD_CUTS, YARD_FEE};
pub use load::Load;
pub use materials::{MaterialKind, MaterialLine, cubic_millimetres, quantity_name};
pub use packs::{Choice, PACKS, at_most, choose};
pub use pay::Pay;

use crate::cut::Cutting;
use crate::rules;
use measure::{Length, Money};
use model::build::Build;
use model::joint::Joints;
use model::part::Part;
use model::plan::Plan;
use model::price::Measured;
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::{From, StockRef};
use model::why::{Input, Of, Quantity, Value, flat};
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
    /// Boards and sheets that come out of the shed.
    pub from_shed: Vec<FromShed>,
    /// What is taken of the rests of packs, in the order of the shed.
    pub taken: Vec<Taken>,
    /// Whole boards at home that no part needs; no sum counts them.
    pub take_back: Vec<TakeBack>,
    /// What to pay.
    pub pay: Pay,
    /// What to bring home.
    pub load: Load,
    /// What the yard cuts so that it goes into the car; `None` if nothing is too long, or the yard does not cut.
    pub home: Option<Home>,
    /// What to know about what is bought.
    pub notes: Vec<String>,
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
    /// What a single board is called.
    pub name: Option<String>,
    /// How many are built in; for boards and sheets as many as are bought.
    pub used: u64,
    /// How many to buy; of units all that the packs hold.
    pub count: u64,
    /// Of units the packs that are bought.
    pub packs: Vec<Packs>,
    /// The price of one, if known and if it is sold by itself and in no packs.
    pub price: Option<Money>,
    /// What the line costs, if known.
    pub amount: Option<Money>,
}

/// So many packs of one size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Packs {
    /// How many are in one; of what is poured, cubic millimetres; of a roll, nanometres.
    pub holds: u64,
    /// How many of them to buy.
    pub count: u64,
    /// The price of one, if known.
    pub price: Option<Money>,
}

/// Boards or sheets that lie in the shed and are cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FromShed {
    /// What.
    pub stock: StockRef,
    /// What the offcut is called in the shed.
    pub name: String,
    /// Length, and width for a sheet.
    pub size: Vec<Length>,
    /// How many.
    pub count: u64,
}

/// What is taken of the rest of a pack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// What it is called in the shed.
    pub name: String,
    /// How much: things, cubic millimetres, nanometres.
    pub taken: i128,
}

/// The list for what is cut and laid, and for what holds, fills and lines it.
///
/// # Errors
/// A count or a sum that is too large to be written; counts and prices that are read within their limits never come near it.
pub fn buy_all(build: &Build, joints: &Joints, cutting: &Cutting, plan: &Plan) -> Result<Buying, Problem> {
    let mut buying = buy(&build.parts, cutting, plan)?;
    buying.notes.extend(bad_boards(cutting, plan));
    buying.notes.extend(bits::missing(joints, plan));
    let lines = materials::lines(joints, &build.needs, plan, &mut buying)?;
    if !lines.is_empty() {
        let inputs = lines.iter().filter_map(|line| {
            line.amount.map(|amount| Input::new(format!("{}.amount", quantity_name(line, plan)), Value::money(amount)))
        });
        let inputs = inputs.collect();
        let total = Quantity::by("material.total", "all of it that has a price", Of::Money, &rules::TOTAL, inputs)
            .ok_or_else(|| too_large("material.total"))?;
        buying.materials_total = money_of(&total)?;
        buying.materials_unpriced = lines.iter().filter(|line| line.amount.is_none()).count();
        buying.materials = lines;
        buying.quantities.push(total);
    }
    buying.take_back = back::take_back(cutting, plan);
    buying.pay(plan)?;
    buying.load(plan)?;
    buying.part(cutting, plan)?;
    buying.notes.extend(load::too_long(&buying, plan));
    buying.notes.extend(door::notes(build, plan));
    Ok(buying)
}

/// What to know of boards that are left out.
fn bad_boards(cutting: &Cutting, plan: &Plan) -> Vec<String> {
    let mut notes = Vec::new();
    for section in &cutting.sections {
        let board = &plan.yard.boards[section.stock.place];
        let left_out = board.left_out();
        let names: Vec<&str> = left_out.iter().filter_map(|&place| board.lengths[place].name.as_deref()).collect();
        if !names.is_empty() {
            let (label, names) = (&board.label, names.join(", "));
            notes.push(format!(
                "{label}: only six boards with bad stretches are cut round, so these are left out: {names}"
            ));
        }
    }
    notes
}

/// The list for what is cut and laid alone: what the ways are compared by.
///
/// # Errors
/// A count or a sum that is too large to be written, or packs of which there are not enough.
pub fn buy(parts: &[Part], cutting: &Cutting, plan: &Plan) -> Result<Buying, Problem> {
    let mut buying = Buying::default();
    for section in &cutting.sections {
        let mut counts: BTreeMap<usize, u64> = BTreeMap::new();
        for cut in &section.cuts {
            *counts.entry(cut.length).or_default() += cut.boards.len() as u64;
        }
        for (place, count) in counts {
            let length = &plan.yard.boards[section.stock.place].lengths[place];
            let of = One { from: length.from, name: length.name.clone(), price: length.price, by: length.by };
            buying.add(section.stock, vec![length.length], of, count, plan)?;
        }
    }
    for sheets in &cutting.sheets {
        let mut counts: BTreeMap<usize, u64> = BTreeMap::new();
        for sheet in &sheets.sheets {
            *counts.entry(sheet.size).or_default() += 1;
        }
        for (place, count) in counts {
            let size = &plan.yard.sheets[sheets.stock.place].sizes[place];
            let of = One { from: size.from, name: size.name.clone(), price: size.price, by: size.by };
            buying.add(sheets.stock, vec![size.length, size.width], of, count, plan)?;
        }
    }
    for (place, laid) in laid(parts) {
        buying.add_units(place, laid, plan)?;
    }
    buying.sum(plan)?;
    Ok(buying)
}

/// One board or sheet of a size: where it lies, what it is called, and what it costs.
struct One {
    from: From,
    name: Option<String>,
    price: Option<Money>,
    by: Option<Measured>,
}

/// The name that the numbers of a line begin with: `buy.larch.3600`, `buy.larch.each.b`, `buy.sett`.
pub fn line_name(line: &Line, plan: &Plan) -> String {
    let (name, _) = plan.yard.label(line.stock);
    sold_name("buy", name, &line.size, line.name.as_deref(), plan)
}

fn sold_name(first: &str, stock: &str, size: &[Length], name: Option<&str>, plan: &Plan) -> String {
    let size = match name {
        Some(name) => vec!["each".to_owned(), flat(name)],
        None => size.iter().map(|length| plan.tape.show(*length).replace('"', "in")).collect(),
    };
    [vec![first.to_owned(), stock.to_owned()], size].concat().join(".")
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
    fn add(&mut self, stock: StockRef, size: Vec<Length>, of: One, count: u64, plan: &Plan) -> Result<(), Problem> {
        if of.from == From::Shed {
            let name = of.name.unwrap_or_default();
            self.from_shed.push(FromShed { stock, name, size, count });
            return Ok(());
        }
        let line =
            Line { stock, size, name: of.name, used: count, count, packs: Vec::new(), price: of.price, amount: None };
        let (stock, _) = plan.yard.label(line.stock);
        let priced = sold_name("price", stock, &line.size, line.name.as_deref(), plan);
        self.quantities.extend(of.by.and_then(|by| by.quantity(&priced)));
        let of_one = if of.by.is_some() { priced.as_str() } else { "price of one" };
        let name = line_name(&line, plan);
        self.push(line, &name, of_one)
    }

    fn push(&mut self, mut line: Line, name: &str, of_one: &str) -> Result<(), Problem> {
        if let Some(price) = line.price {
            let inputs = vec![Input::new("to buy", Value::count(line.count)), Input::new(of_one, Value::money(price))];
            let amount = Quantity::by(format!("{name}.amount"), "what they cost", Of::Money, &rules::AMOUNT, inputs)
                .ok_or_else(|| too_large(name))?;
            line.amount = Some(money_of(&amount)?);
            self.quantities.push(amount);
        }
        self.lines.push(line);
        Ok(())
    }

    fn sum(&mut self, plan: &Plan) -> Result<(), Problem> {
        self.unpriced = self.lines.iter().filter(|line| line.amount.is_none()).count();
        let amount = |line: &Line| {
            line.amount.map(|amount| Input::new(format!("{}.amount", line_name(line, plan)), Value::money(amount)))
        };
        let inputs = self.lines.iter().filter_map(amount).collect();
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

    fn plan() -> Plan {
        Plan {
            standing: model::standing::Standing::default(),
            title: String::new(),
            tape: measure::Tape::usual(measure::Unit::Millimetre),
            prefer: model::plan::Prefer::Closest,
            site: model::plan::Site::default(),
            pieces: Vec::new(),
            yard: model::stock::Yard { units: vec![unit("a"), unit("b"), unit("c")], ..Default::default() },
            shed: model::stock::Shed::default(),
        }
    }

    fn unit(name: &str) -> model::stock::Unit {
        let side = Length::mm(100);
        model::stock::Unit {
            name: name.into(),
            label: name.into(),
            length: side,
            width: side,
            thickness: side,
            packs: Vec::new(),
            mass: None,
            density: None,
            spare: measure::Percent::new(0),
            place: model::problem::Place { file: model::problem::File::Yard, bytes: 0..0 },
        }
    }

    fn line(place: usize, count: u64, price: i64) -> Line {
        let stock = StockRef { kind: StockKind::Unit, place };
        let price = Some(Money::hundredths(price));
        Line { stock, size: Vec::new(), name: None, used: count, count, packs: Vec::new(), price, amount: None }
    }

    /// Two boards at 16.92 and one at 14.10 are 47.94 (by hand).
    #[test]
    fn lines_are_summed() {
        let mut buying = Buying::default();
        buying.push(line(0, 2, 1692), "buy.a", "price of one").expect("small");
        buying.push(line(1, 1, 1410), "buy.b", "price of one").expect("small");
        buying.sum(&plan()).expect("small");
        assert_eq!((buying.total, buying.unpriced), (Money::hundredths(4794), 0));
    }

    #[test]
    fn what_is_too_large_is_a_problem_and_no_other_number() {
        let mut buying = Buying::default();
        let problem = buying.push(line(0, 2, i64::MAX), "buy.a", "price of one").expect_err("twice the most there is");
        assert!(problem.message.contains("buy.a.amount"), "{}", problem.message);
        buying.push(line(1, 1, i64::MAX), "buy.b", "price of one").expect("the most there is");
        buying.push(line(2, 1, 1), "buy.c", "price of one").expect("small");
        let problem = buying.sum(&plan()).expect_err("one more than the most there is");
        assert!(problem.message.contains("buy.total"), "{}", problem.message);
    }
}
