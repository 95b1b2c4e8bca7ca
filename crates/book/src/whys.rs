//! Every number can be asked why.

use crate::words;
use advise::Settled;
use model::why::{Input, Quantity};

/// The why of the number of this name, in words: the number, its rule, what went into it and where the rule comes from;
/// followed one step further wherever an input is itself such a number.
///
/// # Errors
/// The names that can be asked, if there is none of this name.
pub fn why(settled: &Settled, name: &str) -> Result<String, String> {
    match settled.quantities().find(|quantity| quantity.name == name) {
        Some(quantity) => Ok(told(settled, quantity)),
        None => {
            let names: Vec<&str> = settled.quantities().map(|quantity| quantity.name.as_str()).collect();
            Err(format!("error: no number is called `{name}`\nhelp: these can be asked:\n  {}\n", names.join("\n  ")))
        }
    }
}

fn told(settled: &Settled, quantity: &Quantity) -> String {
    let rule = quantity.rule;
    let mut text = format!("{} = {}  ({})\n", quantity.name, words::value(settled, quantity.value), quantity.what);
    text += &format!("  {}\n  {}\n", rule.words, rule.formula);
    for (symbol, input) in symbols(quantity).zip(&quantity.inputs) {
        text += &format!("    {symbol}: {} = {}\n", input.what, words::value(settled, input.value));
    }
    text += &format!("  source: {} ({})\n", rule.source, rule.mark);
    let others = quantity.inputs.iter().filter(|input| is_quantity(settled, input));
    for input in others {
        text += &format!("  ask further: {}\n", input.what);
    }
    text
}

/// The rule's own names of the inputs; the last is repeated where a rule takes any number.
pub(crate) fn symbols(quantity: &Quantity) -> impl Iterator<Item = &'static str> {
    let names = quantity.rule.inputs;
    (0..quantity.inputs.len()).map(|at| names.get(at).or(names.last()).copied().unwrap_or_default())
}

/// True if an input is the number of another quantity.
pub(crate) fn is_quantity(settled: &Settled, input: &Input) -> bool {
    settled.quantities().any(|other| other.name == input.what)
}
