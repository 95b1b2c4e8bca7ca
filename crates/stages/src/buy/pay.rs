//! What to pay: goods, tax, and beside it what bringing them costs.

use super::{Buying, money_of, too_large};
use crate::rules;
use measure::Money;
use model::plan::Plan;
use model::problem::Problem;
use model::why::{Input, Of, Quantity, Rule, Value};

/// What to pay.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pay {
    /// All that has a price, as priced.
    pub goods: Money,
    /// The tax on it, if the prices are without.
    pub tax: Option<Money>,
    /// Both together.
    pub total: Money,
    /// What one delivery would cost; it is not in the total.
    pub delivery: Option<Money>,
}

impl Buying {
    /// Adds up what to pay.
    pub(super) fn pay(&mut self, plan: &Plan) -> Result<(), Problem> {
        let mut sums = vec![Input::new("buy.total", Value::money(self.total))];
        if !self.materials.is_empty() {
            sums.push(Input::new("material.total", Value::money(self.materials_total)));
        }
        let goods = self.sum_of("pay.goods", "all that has a price, as priced", &rules::TOTAL, sums)?;
        let mut total = vec![Input::new("pay.goods", Value::money(goods))];
        let mut tax = None;
        if let Some(share) = plan.yard.tax {
            let share = Value { of: Of::Percent, value: share.value().into() };
            let inputs = vec![Input::new("pay.goods", Value::money(goods)), Input::new("tax", share)];
            let added = self.sum_of("pay.tax", "the tax on it", &rules::TAX, inputs)?;
            total.push(Input::new("pay.tax", Value::money(added)));
            tax = Some(added);
        }
        let total = self.sum_of("pay.total", "what to pay", &rules::TOTAL, total)?;
        let mut delivery = None;
        if let Some(brought) = plan.yard.delivery {
            let mut inputs =
                vec![Input::new("pay.goods", Value::money(goods)), Input::new("price", Value::money(brought.price))];
            inputs.extend(brought.free_from.map(|sum| Input::new("free from", Value::money(sum))));
            delivery = Some(self.sum_of("pay.delivery", "what bringing it costs", &rules::DELIVERY, inputs)?);
        }
        self.pay = Pay { goods, tax, total, delivery };
        Ok(())
    }

    fn sum_of(&mut self, name: &str, what: &str, rule: &'static Rule, inputs: Vec<Input>) -> Result<Money, Problem> {
        let sum = Quantity::by(name, what, Of::Money, rule, inputs).ok_or_else(|| too_large(name))?;
        let money = money_of(&sum)?;
        self.quantities.push(sum);
        Ok(money)
    }
}
