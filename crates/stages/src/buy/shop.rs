//! What is bought in packs, once the shed has given what it has: units, and by [`super::materials`] all the rest.

use super::packs::{PACKS, at_most, choose};
use super::{Buying, Line, Packs, Taken, money_of, too_large};
use crate::rules;
use measure::{Length, Money};
use model::plan::Plan;
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::{Pack, StockRef};
use model::why::{Input, Of, Quantity, Value};

impl Buying {
    pub(super) fn add_units(&mut self, place: usize, laid: u64, plan: &Plan) -> Result<(), Problem> {
        let unit = &plan.yard.units[place];
        let name = format!("buy.{}", unit.name);
        let inputs = vec![
            Input::new("laid", Value::count(laid)),
            Input::new("spare", Value { of: Of::Percent, value: unit.spare.value().into() }),
        ];
        let wanted = Quantity::by(format!("{name}.count"), "needed, with spares", Of::Count, &rules::SPARES, inputs)
            .ok_or_else(|| too_large(&name))?;
        let all = wanted.value.value;
        self.quantities.push(wanted);
        let stock = StockRef { kind: StockKind::Unit, place };
        let (needed, input) = self.less_left(&name, stock, None, Of::Count, all, plan)?;
        let bought = self
            .packs_for(&name, &unit.packs, needed, input, Of::Count)
            .map_err(|problem| problem.unwrap_or_else(|| too_few(&unit.label).at(&unit.place)))?;
        let count = bought.packs.iter().map(|packs| packs.count * packs.holds).sum();
        let line = Line {
            stock,
            size: Vec::new(),
            name: None,
            used: laid,
            count,
            price: bought.price,
            amount: bought.amount,
            packs: bought.packs,
        };
        self.lines.push(line);
        Ok(())
    }

    /// What is still needed once the shed has given what it has, and the input that says it.
    pub(super) fn less_left(
        &mut self,
        name: &str,
        stock: StockRef,
        length: Option<Length>,
        of: Of,
        needed: i128,
        plan: &Plan,
    ) -> Result<(i128, Input), Problem> {
        let what = if stock.kind == StockKind::Unit { format!("{name}.count") } else { "used".to_owned() };
        let mut inputs = vec![Input::new(what, Value { of, value: needed })];
        let mut rest = needed;
        for left in plan.shed.left.iter().filter(|left| left.of == stock && left.length == length) {
            let given = vec![
                Input::new("needed", Value { of, value: rest }),
                Input::new("left", Value { of, value: left.amount }),
            ];
            let taken = format!("left.{}.taken", left.name);
            let quantity = Quantity::by(taken.clone(), "comes out of the shed", of, &rules::TAKEN, given)
                .ok_or_else(|| too_large(&taken))?;
            rest -= quantity.value.value;
            self.taken.push(Taken { name: left.name.clone(), taken: quantity.value.value });
            inputs.push(Input::new(taken, quantity.value));
            self.quantities.push(quantity);
        }
        if inputs.len() == 1 {
            return Ok((needed, inputs.remove(0)));
        }
        let name = format!("{name}.need");
        let need = Quantity::by(name.clone(), "still needed", of, &rules::LESS_LEFT, inputs)
            .ok_or_else(|| too_large(&name))?;
        let input = Input::new(name, need.value);
        self.quantities.push(need);
        Ok((rest, input))
    }

    /// The cheapest packs of what is needed. One kind of pack without end is bought in whole ones; else the choice has a why of
    /// its own, if all prices are known. `Err(None)` if there are not enough packs.
    pub(super) fn packs_for(
        &mut self,
        name: &str,
        packs: &[Pack],
        needed: i128,
        input: Input,
        of: Of,
    ) -> Result<Bought, Option<Problem>> {
        let choice = choose(needed, packs).ok_or(None)?;
        if !choice.exact {
            self.notes.push(format!(
                "{name}: so much is needed that whole packs of the best price came off first; the cheapest packs are not proven"
            ));
        }
        let each = packs.iter().zip(&choice.counts).filter(|(_, count)| **count > 0);
        let packs_bought =
            each.map(|(pack, &count)| Packs { holds: pack.holds, count, price: pack.price }).collect::<Vec<Packs>>();
        let mut bought = Bought { packs: packs_bought, price: None, amount: None };
        let amount = match packs {
            [only] => {
                bought.price = only.price;
                let Some(price) = only.price else { return Ok(bought) };
                let count = i128::from(choice.counts[0]);
                let inputs =
                    vec![Input::new("to buy", Value::count(count)), Input::new("price of one", Value::money(price))];
                Quantity::by(format!("{name}.amount"), "what they cost", Of::Money, &rules::AMOUNT, inputs)
            }
            _ if choice.cost.is_none() => return Ok(bought),
            _ => {
                let mut inputs = vec![input];
                for pack in packs {
                    let price = Value::money(pack.price.unwrap_or_default());
                    inputs.push(Input::new("a pack holds", Value { of, value: pack.holds.into() }));
                    inputs.push(Input::new("price of the pack", price));
                    inputs.push(Input::new("at most", Value::count(at_most(needed, pack))));
                }
                Quantity::by(format!("{name}.amount"), "what the cheapest packs cost", Of::Money, &PACKS, inputs)
            }
        };
        let amount = amount.ok_or_else(|| Some(too_large(name)))?;
        bought.amount = Some(money_of(&amount)?);
        self.quantities.push(amount);
        Ok(bought)
    }
}

/// What was chosen of packs.
pub(super) struct Bought {
    pub packs: Vec<Packs>,
    /// The price of one, if it is sold in one size only.
    pub price: Option<Money>,
    pub amount: Option<Money>,
}

pub(super) fn too_few(label: &str) -> Problem {
    Problem::new(format!("the yard has too few of `{label}`, in packs and singly"))
        .hint("raise `stock`, or add another pack")
}
