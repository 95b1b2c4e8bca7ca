//! Whatever the texts and the record are, there is a verdict and no panic.

use crate::records::{Dice, EXAMPLES};
use audit::{Texts, audit};
use proptest::prelude::*;
use serde_json::{Value, json};

/// All places of a value, counted from the front.
fn count(value: &Value) -> usize {
    1 + match value {
        Value::Array(items) => items.iter().map(count).sum(),
        Value::Object(entries) => entries.values().map(count).sum(),
        _ => 0,
    }
}

/// The value at a place, counted as [`count`] does.
fn nth(value: &mut Value, place: usize) -> Option<&mut Value> {
    if place == 0 {
        return Some(value);
    }
    let mut left = place - 1;
    let below: Vec<&mut Value> = match value {
        Value::Array(items) => items.iter_mut().collect(),
        Value::Object(entries) => entries.values_mut().collect(),
        _ => Vec::new(),
    };
    for item in below {
        let own = count(item);
        if left < own {
            return nth(item, left);
        }
        left -= own;
    }
    None
}

fn spoil(value: &mut Value, dice: &mut Dice) {
    const NUMBERS: [i64; 9] = [0, -1, 1, 7, 1 << 30, 1 << 44, -(1 << 44), i64::MAX, i64::MIN];
    let number = json!(NUMBERS[dice.below(NUMBERS.len())]);
    match (dice.below(4), &mut *value) {
        (0, Value::Array(items)) if !items.is_empty() => _ = items.remove(dice.below(items.len())),
        (1, Value::Array(items)) if !items.is_empty() => {
            let copy = items[dice.below(items.len())].clone();
            items.push(copy);
        }
        (2, Value::Array(items)) if items.len() > 1 => items.swap(0, 1),
        (0..=2, Value::Number(_)) => *value = number,
        (0..=2, Value::String(text)) => *text = ["", "A1", "front", "board", "\u{e4}9", "mass.A"][dice.below(6)].into(),
        _ => *value = [Value::Null, json!([]), json!({}), json!(true), number, json!("x")][dice.below(6)].clone(),
    }
}

/// Records of the examples with one to four places spoilt.
#[test]
fn spoilt_records_are_judged() {
    let mut dice = Dice(2);
    for example in &EXAMPLES[..4] {
        let whole = example.json();
        let places = count(&whole);
        for _ in 0..250 {
            let mut record = whole.clone();
            for _ in 0..1 + dice.below(4) {
                let place = 1 + dice.below(places - 1);
                if let Some(value) = nth(&mut record, place) {
                    spoil(value, &mut dice);
                }
            }
            let _ = example.judge(&record.to_string());
        }
    }
}

/// The examples' texts and records with bytes cut out, doubled or changed.
#[test]
fn spoilt_texts_are_judged() {
    let mut dice = Dice(3);
    let mut spoilt = |text: &str| {
        let mut bytes = text.as_bytes().to_vec();
        for _ in 0..1 + dice.below(3) {
            let at = dice.below(bytes.len());
            match dice.below(4) {
                0 => bytes.truncate(at),
                1 => bytes[at] = b" \"{[0-9.=\n"[dice.below(10)],
                2 => drop(bytes.drain(at..(at + 1 + dice.below(20)).min(bytes.len()))),
                _ => bytes.insert(at, b"0919-.eE\"["[dice.below(10)]),
            }
            if bytes.is_empty() {
                break;
            }
        }
        String::from_utf8_lossy(&bytes).into_owned()
    };
    for example in EXAMPLES {
        for _ in 0..60 {
            let (plan, yard, shed) = (spoilt(example.plan), spoilt(example.yard), spoilt(example.shed));
            let _ = audit(&Texts { plan: &plan, yard: example.yard, shed: example.shed, daybook: "" }, example.record);
            let _ = audit(&Texts { plan: example.plan, yard: &yard, shed: example.shed, daybook: "" }, example.record);
            let _ = audit(&Texts { plan: example.plan, yard: example.yard, shed: &shed, daybook: "" }, example.record);
            let _ = example.judge(&spoilt(example.record));
        }
    }
}

/// Counts that are claimed beyond all measure are found, and nothing is laid out by them: that would be parts by the hundred million.
#[test]
fn counts_beyond_all_measure_are_found_before_anything_is_laid() {
    for name in ["bed-on-a-saturday", "deck-on-legs", "picket-box", "upright-screen"] {
        let example = crate::records::Example::find(name);
        for count in [20_000, 1 << 29] {
            let mut record = example.json();
            let chosen = record["chosen"].as_u64().expect("a way") as usize;
            let counts = record["ways"][chosen]["counts"].as_array_mut().expect("counts");
            counts.iter_mut().filter(|claimed| claimed.is_number()).for_each(|claimed| *claimed = json!(count));
            let found = example.judge(&record.to_string()).findings;
            let says = |finding: &audit::Finding| {
                ["does not close", "cannot be laid out"].iter().any(|says| finding.message.contains(says))
            };
            assert!(found.iter().any(says), "{name}, {count}: {found:#?}");
        }
    }
}

#[test]
fn what_is_nested_too_deeply_is_refused() {
    let example = &EXAMPLES[0];
    let deep = "[".repeat(200_000);
    let dots = format!("{}x = 1", "a.".repeat(200_000));
    for text in [&deep, &dots, &format!("a = {deep}"), &"[a]\n".repeat(100_000)] {
        assert!(!audit(&Texts { plan: text, yard: text, shed: text, daybook: "" }, text).passed());
        assert!(!example.judge(text).passed());
    }
    let mut tree = json!(["empty"]);
    for _ in 0..400 {
        tree = json!(["split", "size", 0, [[0, 1, tree]]]);
    }
    let mut record = example.json();
    record["fit"]["proof"] = tree;
    assert!(!example.judge(&record.to_string()).passed());
}

proptest! {
    #[test]
    fn anything_at_all_is_judged(record in "\\PC{0,200}", plan in "\\PC{0,100}") {
        let texts = Texts { plan: &plan, yard: &plan, shed: &plan, daybook: "" };
        prop_assert!(!audit(&texts, &record).passed());
    }
}
