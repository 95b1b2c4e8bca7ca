//! Every number can be asked why.

use crate::words;
use advise::Settled;
use measure::{Length, Share};
use model::why::{Input, Quantity};

/// The why of the number of this name, in words: the number, its rule, what went into it and where the rule comes from. A name
/// that stands for several (`ring`, `ring.front`) is answered with all of them that can be asked.
///
/// # Errors
/// What can be asked, if there is nothing of this name.
pub fn why(settled: &Settled, name: &str) -> Result<String, String> {
    if let Some(quantity) = settled.quantities().find(|quantity| quantity.name == name) {
        return Ok(told(settled, quantity));
    }
    let begins = |quantity: &&Quantity| quantity.name.starts_with(&format!("{name}."));
    let all: Vec<String> = settled.quantities().filter(begins).map(|quantity| told(settled, quantity)).collect();
    if !all.is_empty() {
        return Ok(all.join("\n"));
    }
    let of_gap = gaps_of(settled, name);
    if !of_gap.is_empty() {
        return Ok(of_gap.join("\n"));
    }
    let words: Vec<&str> = name.split('.').collect();
    let shared = |quantity: &&Quantity| quantity.name.split('.').any(|word| words.contains(&word));
    let near: Vec<&str> = settled.quantities().filter(shared).map(|quantity| quantity.name.as_str()).collect();
    let every: Vec<&str> = settled.quantities().map(|quantity| quantity.name.as_str()).collect();
    let names = if near.is_empty() { every } else { near };
    Err(format!("error: no number is called `{name}`\nhelp: these can be asked:\n  {}\n", names.join("\n  ")))
}

/// The whys of every row that has a gap of this name, such as `ring.joint`.
fn gaps_of(settled: &Settled, name: &str) -> Vec<String> {
    let Some((piece, _)) = name.split_once('.') else { return Vec::new() };
    if !settled.asked.problem.gaps.iter().any(|gap| gap.name == name) {
        return Vec::new();
    }
    let of_row =
        |quantity: &&Quantity| quantity.name.starts_with(&format!("{piece}.")) && quantity.name.ends_with(".gap");
    settled.quantities().filter(of_row).map(|quantity| told(settled, quantity)).collect()
}

fn told(settled: &Settled, quantity: &Quantity) -> String {
    let rule = quantity.rule;
    let mut text = format!("{} = {}  ({})\n", quantity.name, words::value(settled, quantity.value), quantity.what);
    text += &format!("  {}\n  {}\n", rule.words, rule.formula);
    for (symbol, input) in symbols(quantity).zip(&quantity.inputs) {
        text += &format!("    {symbol}: {} = {}\n", input.what, words::value(settled, input.value));
    }
    for row in rows_of(settled, &quantity.name) {
        text += &format!("  closes there: {row}\n");
    }
    text += &format!("  source: {} ({})\n", rule.source, rule.mark);
    let others = quantity.inputs.iter().filter(|input| is_quantity(settled, input));
    for input in others {
        text += &format!("  ask further: {}\n", input.what);
    }
    text
}

/// The rows that hang on a size, each as its sum: `ring.front: 14 × 100 + 15 × 10 = 1550`. Nothing for what is no size.
pub(crate) fn rows_of(settled: &Settled, size: &str) -> Vec<String> {
    let problem = &settled.asked.problem;
    let closing = &settled.ways[settled.chosen].closing;
    let Some(size) = problem.sizes.iter().position(|asked| asked.name == size) else { return Vec::new() };
    let tape = settled.plan.tape;
    let row = |(at, run): (usize, &fit::Run)| {
        let (count, gap) = (closing.counts[at]?, closing.gaps[at]?);
        run.face.terms.iter().find(|term| term.0 == size)?;
        let member = settled.asked.member(at);
        let members = format!("{count} × {}", tape.show_exact(member));
        let share = settled.asked.gaps(at, &gap);
        let length = member * count + share.map_or(Length::ZERO, Share::total);
        let gaps = share.map_or_else(String::new, |share| format!(" + {} × {}", share.places(), tape.show_gap(share)));
        Some(format!("{}: {members}{gaps} = {}", run.name, tape.show_exact(length)))
    };
    problem.runs.iter().enumerate().filter_map(row).collect()
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
