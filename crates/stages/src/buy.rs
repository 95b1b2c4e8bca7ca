//! Buying: boards and sheets as cutting asks for them, whole units with spares, each with its price.

use crate::cut::Cutting;
use crate::rules;
use measure::{Length, Money};
use model::part::Part;
use model::plan::Plan;
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

/// The list for what is cut and laid.
pub fn buy(parts: &[Part], cutting: &Cutting, plan: &Plan) -> Buying {
    let mut buying = Buying::default();
    for section in &cutting.sections {
        let mut counts: BTreeMap<usize, u64> = BTreeMap::new();
        for cut in &section.cuts {
            *counts.entry(cut.length).or_default() += cut.boards.len() as u64;
        }
        for (place, count) in counts {
            let length = plan.yard.boards[section.stock.place].lengths[place];
            buying.add(section.stock, vec![length.length], count, length.price, plan);
        }
    }
    for sheets in &cutting.sheets {
        let mut counts: BTreeMap<usize, u64> = BTreeMap::new();
        for sheet in &sheets.sheets {
            *counts.entry(sheet.size).or_default() += 1;
        }
        for (place, count) in counts {
            let size = plan.yard.sheets[sheets.stock.place].sizes[place];
            buying.add(sheets.stock, vec![size.length, size.width], count, size.price, plan);
        }
    }
    for (place, laid) in laid(parts) {
        buying.add_units(place, laid, plan);
    }
    buying.sum();
    buying
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
    fn add(&mut self, stock: StockRef, size: Vec<Length>, count: u64, price: Option<Money>, plan: &Plan) {
        let (name, _) = plan.yard.label(stock);
        let size_name: Vec<String> = size.iter().map(|length| plan.tape.show(*length).replace('"', "in")).collect();
        let name = [vec!["buy".to_owned(), name.to_owned()], size_name].concat().join(".");
        self.push(Line { stock, size, used: count, count, price, amount: None }, name);
    }

    fn add_units(&mut self, place: usize, laid: u64, plan: &Plan) {
        let unit = &plan.yard.units[place];
        let name = format!("buy.{}", unit.name);
        let inputs = vec![
            Input::new("laid", Value::count(laid)),
            Input::new("spare", Value { of: Of::Percent, value: unit.spare.value().into() }),
        ];
        let count = Quantity::by(format!("{name}.count"), "to buy, with spares", Of::Count, &rules::SPARES, inputs);
        let bought = count.as_ref().and_then(|count| u64::try_from(count.value.value).ok()).unwrap_or(laid);
        self.quantities.extend(count);
        let stock = StockRef { kind: StockKind::Unit, place };
        self.push(Line { stock, size: Vec::new(), used: laid, count: bought, price: unit.price, amount: None }, name);
    }

    fn push(&mut self, mut line: Line, name: String) {
        if let Some(price) = line.price {
            let inputs =
                vec![Input::new("to buy", Value::count(line.count)), Input::new("price of one", Value::money(price))];
            let amount = Quantity::by(format!("{name}.amount"), "what they cost", Of::Money, &rules::AMOUNT, inputs);
            line.amount =
                amount.as_ref().and_then(|amount| i64::try_from(amount.value.value).ok()).map(Money::hundredths);
            self.quantities.extend(amount);
        }
        self.lines.push(line);
    }

    fn sum(&mut self) {
        self.unpriced = self.lines.iter().filter(|line| line.amount.is_none()).count();
        let amounts = self.quantities.iter().filter(|quantity| quantity.value.of == Of::Money);
        let inputs = amounts.map(|quantity| Input::new(quantity.name.clone(), quantity.value)).collect();
        let total = Quantity::by("buy.total", "all that has a price", Of::Money, &rules::TOTAL, inputs);
        self.total = total
            .as_ref()
            .and_then(|total| i64::try_from(total.value.value).ok())
            .map_or(Money::default(), Money::hundredths);
        self.quantities.extend(total);
    }
}
