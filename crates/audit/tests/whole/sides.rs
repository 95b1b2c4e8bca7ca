//! Ways side by side: a column that is not what the record of its way says is found.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::{Example, at};
use audit::{Texts, audit_beside};
use serde_json::json;

/// The column that is built, by a record that comes alone.
#[test]
fn falsehoods_about_the_way_that_is_built_are_found() {
    let falsehood = |name, does, rule, says| Falsehood { name, example: "bed-three-ways", does, rule, says };
    all_are_found(&[
        falsehood(
            "cheaper",
            |r| *at(r, "sides.0.column.pay") = json!(9_000),
            "side by side",
            "what the way `as-written`",
        ),
        falsehood("lighter", |r| *at(r, "sides.0.column.heaviest") = json!(1), "side by side", "what the way"),
        falsehood("a board less", |r| *at(r, "sides.0.column.boards") = json!(4), "side by side", "what the way"),
        falsehood("quicker", |r| *at(r, "sides.0.column.minutes") = json!(10), "side by side", "what the way"),
        falsehood("nothing weighs most", |r| *at(r, "sides.0.column.heaviest_is") = json!("x"), "side by side", "what"),
        falsehood(
            "a way is not told",
            |r| drop(at(r, "sides").as_array_mut().map(|sides| sides.remove(1))),
            "side by side",
            "the ways to build it",
        ),
        falsehood(
            "another name",
            |r| *at(r, "sides.1.label") = json!("planks"),
            "side by side",
            "the ways to build it",
        ),
        falsehood("another way", |r| *at(r, "way") = json!("box"), "stock", ""),
        falsehood("no such way", |r| *at(r, "way") = json!("planks"), "stock", "no way of the plan is called so"),
        falsehood(
            "minutes by other rates",
            |r| {
                let numbers = at(r, "quantities").as_array_mut().expect("a list");
                let minutes = numbers.iter_mut().find(|number| number["name"] == "work.minutes").expect("minutes");
                minutes["inputs"][1]["value"] = json!(2);
            },
            "whys",
            "work.minutes",
        ),
    ]);
}

/// The other columns, by the records of their ways.
#[test]
fn another_column_is_held_against_its_own_record() {
    let example = Example::find("bed-three-ways");
    let texts = Texts { plan: example.plan, yard: example.yard, shed: example.shed, daybook: example.daybook };
    let other = include_str!("../records/bed-three-ways/box.json");
    let sound = audit_beside(&texts, example.record, &[other.to_owned()]);
    assert!(sound.passed(), "{}", sound.text());
    assert!(!sound.unchecked.iter().any(|claim| claim.contains("`box`")), "{}", sound.text());
    assert!(example.judge(example.record).unchecked.iter().any(|claim| claim.contains("`box`")), "not by itself");
    let mut record = example.json();
    *at(&mut record, "sides.1.column.pay") = json!(10_000);
    let verdict = audit_beside(&texts, &record.to_string(), &[other.to_owned()]);
    assert!(
        verdict.findings.iter().any(|found| found.message.contains("what the way `box` takes")),
        "{}",
        verdict.text()
    );
    // And that record is audited too.
    let mut wrong: serde_json::Value = serde_json::from_str(other).expect("JSON");
    *at(&mut wrong, "buying.total") = json!(1);
    let verdict = audit_beside(&texts, example.record, &[wrong.to_string()]);
    assert!(verdict.findings.iter().any(|found| found.rule == "buying"), "{}", verdict.text());
}
