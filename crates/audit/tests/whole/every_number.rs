//! Each number of a record changed by one, up and down, and each yes or no turned round: found, or free for a reason that
//! stands here.

use crate::records::{Example, at};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Numbers, and words of yes and no, that may be another without the record becoming false, with the reason. `*` stands for one step
/// of the path, `**` for all that follow; what stands before a colon is the only example that it is for.
const FREE: &[(&str, &str)] = &[
    ("fit.proof.1.*.proof.**", "ranges that are cut elsewhere can prove as much"),
    (
        "long-or-high:fit.proof.3.**",
        "branches may overlap or reach to options that there are not: they still cover all that there are",
    ),
    ("cutting.boards.*.certificate.duals.*", "other prices can prove the same bound"),
    ("cutting.boards.*.certificate.supply_duals.*", "as for the duals"),
    (
        "cutting.boards.*.certificate.cases.*.certificate.duals.*",
        "as for the duals, for each way to buy boards with bad stretches",
    ),
    ("cutting.boards.*.certificate.cases.*.certificate.supply_duals.*", "as for the duals"),
    ("cutting.boards.*.certificate.scale", "the same prices in a finer or coarser measure can prove the same bound"),
    (
        "split-boards:cutting.boards.*.certificate.cases.*.certificate.**",
        "other prices and rules can prove as much of a case; what all of them prove together is held",
    ),
    (
        "ways.*.price.tight",
        "which of equally cheap cutting plans a way that was not chosen would take is not in the record",
    ),
    ("windows.*.notches.*.price.tight", "as for the ways"),
    (
        "ways.*.price.proven",
        "less than is proven may be said; more is held by a search of the referee's own where it ends",
    ),
    ("windows.*.notches.*.price.proven", "as for the ways"),
    (
        "corner-bed:windows.*.notches.*.price.total",
        "with one size held there are too many combinations to look at: told as unchecked",
    ),
    ("corner-bed:windows.*.notches.*.price.complete", "as for its total"),
    (
        "corner-bed:ways.*.price.total",
        "the referee's own cutting does not end on the larger boards: told as only not too low",
    ),
    (
        "corner-bed:fit.found",
        "there are more closings than are listed, in parts with bounds: the count is told as unchecked",
    ),
    ("corner-bed:fit.found_more", "as for the count"),
    ("cheapest_proven", "told as unchecked wherever it is said"),
    ("cutting.boards.*.ties_exact", "told as unchecked wherever it is said"),
    ("cutting.sheets.*.exact", "less than is known may be said; more is held by a search of the referee's own"),
    ("joints.*.heads.*.*", "a screw that has no room on the next mark may stand a nanometre beside its own"),
    (
        "steps.*.after.*",
        "which of the earlier steps one waits for is held as far as order and parts go; what carries what is not derived",
    ),
    (
        "what_ifs.gives.*.stretches.*.price.*",
        "what the plan costs a few millimetres off is told as unchecked; where it stands it is held",
    ),
    (
        "what_ifs.fallbacks.*.left.*.moved.price.*",
        "what a moved plan costs is told as unchecked; that it does better is held",
    ),
    (
        "long-or-high:ways.2.price.total",
        "a comfortable way beside a tight one is held to cost no more, and its price as far as the referee's search ends",
    ),
    ("ways.8.size", "as for the seventh"),
    ("ways.7.size", "where two sizes of a cheaper way move together, either can be said to give"),
];

/// The paths of all numbers and of every yes or no.
fn numbers(value: &Value, path: &str, found: &mut Vec<String>) {
    let below = |step: &str| if path.is_empty() { step.to_owned() } else { format!("{path}.{step}") };
    match value {
        Value::Number(_) | Value::Bool(_) => found.push(path.to_owned()),
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(at, item)| numbers(item, &below(&at.to_string()), found))
        }
        Value::Object(entries) => entries.iter().for_each(|(key, item)| numbers(item, &below(key), found)),
        _ => {}
    }
}

fn matches(pattern: &str, path: &str) -> bool {
    let (mut pattern, mut path): (Vec<&str>, Vec<&str>) = (pattern.split('.').collect(), path.split('.').collect());
    if pattern.last() == Some(&"**") {
        pattern.pop();
        path.truncate(pattern.len());
    }
    pattern.len() == path.len() && pattern.iter().zip(&path).all(|(pattern, step)| *pattern == "*" || pattern == step)
}

/// What came of all changes to the numbers of one example.
#[derive(Default)]
struct Tally {
    numbers: usize,
    truths: usize,
    changes: usize,
    found: usize,
    /// By the rule that found it first.
    by_rule: BTreeMap<&'static str, usize>,
    /// By the pattern that frees it.
    free: BTreeMap<&'static str, usize>,
    missed: Vec<String>,
}

/// Changes every `stride`-th number.
fn change_each(name: &str, stride: usize) -> Tally {
    let mut tally = Tally::default();
    let example = Example::find(name);
    let mut record = example.json();
    let mut paths = Vec::new();
    numbers(&record, "", &mut paths);
    for path in paths.iter().step_by(stride) {
        let own = at(&mut record, path).clone();
        let changes: &[i64] = if own.is_boolean() { &[1] } else { &[1, -1] };
        *(if own.is_boolean() { &mut tally.truths } else { &mut tally.numbers }) += 1;
        for by in changes {
            *at(&mut record, path) = match &own {
                Value::Bool(truth) => json!(!truth),
                number => json!(number.as_i64().expect("a whole number") + by),
            };
            let verdict = example.judge(&record.to_string());
            *at(&mut record, path) = own.clone();
            tally.changes += 1;
            let own = |pattern: &&(&str, &str)| match pattern.0.split_once(':') {
                Some((example, pattern)) => example == name && matches(pattern, path),
                None => matches(pattern.0, path),
            };
            let free = FREE.iter().find(own);
            match (verdict.findings.first(), free) {
                (Some(finding), _) => {
                    tally.found += 1;
                    *tally.by_rule.entry(finding.rule).or_default() += 1;
                }
                (None, Some((pattern, _))) => *tally.free.entry(pattern).or_default() += 1,
                (None, None) => tally.missed.push(format!("{name}: {path} {by:+}")),
            }
        }
    }
    tally
}

impl Tally {
    fn add(&mut self, other: Tally) {
        self.numbers += other.numbers;
        self.truths += other.truths;
        self.changes += other.changes;
        self.found += other.found;
        other.by_rule.into_iter().for_each(|(rule, count)| *self.by_rule.entry(rule).or_default() += count);
        other.free.into_iter().for_each(|(pattern, count)| *self.free.entry(pattern).or_default() += count);
        self.missed.extend(other.missed);
    }
}

#[test]
fn every_number_is_found_or_free() {
    // The large ones by samples, since an audit of one takes as long as fifty of the others; `EVERY=1` changes all their
    // numbers too, which takes some minutes.
    let sampled = |stride: usize| if std::env::var_os("EVERY").is_some() { 1 } else { stride };
    let examples = [
        ("corner-bed", sampled(131)),
        ("kitchen-trough", 1),
        ("sheet-box", 1),
        ("mixed-sheets", 1),
        ("level-box", 1),
        ("brick-rings", 1),
        ("two-planters", sampled(7)),
        ("none-left", 1),
        ("long-or-high", 1),
        ("posted-trough", sampled(7)),
        ("ell-on-feet", sampled(11)),
        ("falling-floor", sampled(5)),
        ("slats-along", sampled(5)),
        ("tied-trough", sampled(3)),
        ("deck-on-legs", sampled(11)),
        ("low-decks", sampled(5)),
        ("garden-seat", sampled(11)),
        ("level-screen", sampled(5)),
        ("upright-screen", sampled(7)),
        ("shop-and-shed", sampled(7)),
        ("board-feet", sampled(3)),
        ("split-boards", sampled(5)),
    ];
    let mut tally = Tally::default();
    std::thread::scope(|scope| {
        let each = examples.map(|(name, stride)| scope.spawn(move || change_each(name, stride)));
        each.into_iter().for_each(|one| tally.add(one.join().expect("no panic")));
    });
    let Tally { numbers, truths, changes, found, .. } = tally;
    println!("{numbers} numbers, {truths} times yes or no, {changes} changes, {found} found");
    println!("found first by {:?}", tally.by_rule);
    println!("free by {:#?}", tally.free);
    assert!(tally.missed.is_empty(), "{} not found:\n{}", tally.missed.len(), tally.missed.join("\n"));
    let whole = std::env::var_os("EVERY").is_some();
    // What is free in the large example alone is met for certain only if all its numbers are changed.
    for (pattern, reason) in FREE.iter().filter(|(pattern, _)| whole || !pattern.starts_with("corner-bed:")) {
        assert!(tally.free.contains_key(pattern), "nothing is freed by `{pattern}` ({reason})");
    }
}
