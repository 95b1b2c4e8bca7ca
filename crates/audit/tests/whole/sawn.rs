//! Ways in which the cards at the saw can be false, each with what finds it.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::at;
use serde_json::{Value, json};

fn add(record: &mut Value, path: &str, by: i64) {
    let value = at(record, path);
    *value = json!(value.as_i64().expect("a number") + by);
}

fn cards(record: &mut Value) -> &mut Vec<Value> {
    record["cards"].as_array_mut().expect("cards")
}

/// The first card of which something holds.
fn card(record: &mut Value, is: impl Fn(&Value) -> bool) -> &mut Value {
    cards(record).iter_mut().find(|card| is(card)).expect("a card of this kind")
}

fn quantity<'r>(record: &'r mut Value, name: &str) -> &'r mut Value {
    let all = record["quantities"].as_array_mut().expect("quantities").iter_mut();
    all.into_iter().find(|quantity| quantity["name"] == name).expect("a quantity of this name")
}

fn turn(value: &mut Value) {
    *value = json!(!value.as_bool().expect("true or false"));
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a part is on no card",
        example: "kitchen-trough",
        does: |record| {
            let lots = cards(record)[0]["lots"].as_array_mut().expect("lots");
            lots.pop();
        },
        rule: "sawing",
        says: "is on no card",
    },
    Falsehood {
        name: "a part is on a card twice",
        example: "kitchen-trough",
        does: |record| {
            let cuts = cards(record)[0]["lots"][0]["cuts"].as_array_mut().expect("cuts");
            cuts.push(cuts[0].clone());
        },
        rule: "sawing",
        says: "is not what comes next",
    },
    Falsehood {
        name: "two parts of other lengths change cards",
        example: "kitchen-trough",
        does: |record| {
            let one = cards(record)[0]["lots"][0]["cuts"][0]["makes"].clone();
            let other = cards(record)[1]["lots"][0]["cuts"][0]["makes"].clone();
            cards(record)[0]["lots"][0]["cuts"][0]["makes"] = other;
            cards(record)[1]["lots"][0]["cuts"][0]["makes"] = one;
        },
        rule: "sawing",
        says: "is not what comes next",
    },
    Falsehood {
        name: "short before long",
        example: "kitchen-trough",
        does: |record| {
            cards(record).swap(0, 1);
            for (at, card) in cards(record).iter_mut().enumerate() {
                card["set_up"] = json!(at + 1);
            }
        },
        rule: "sawing",
        says: "settings come once, in order",
    },
    Falsehood {
        name: "a setting that is left and taken up again",
        example: "kitchen-trough",
        does: |record| {
            let mut rest = cards(record)[0].clone();
            let lots = cards(record)[0]["lots"].as_array_mut().expect("lots");
            rest["lots"] = json!(lots.split_off(1));
            rest["set_up"] = json!(cards(record).len() + 1);
            cards(record).push(rest);
        },
        rule: "sawing",
        says: "settings come once, in order",
    },
    Falsehood {
        name: "a card that is cut short",
        example: "kitchen-trough",
        does: |record| {
            let mut rest = cards(record)[0].clone();
            let lots = cards(record)[0]["lots"].as_array_mut().expect("lots");
            rest["lots"] = json!(lots.split_off(1));
            cards(record).insert(1, rest);
        },
        rule: "sawing",
        says: "there was room",
    },
    Falsehood {
        name: "a set-up is miscounted",
        example: "kitchen-trough",
        does: |record| add(record, "cards.1.set_up", 1),
        rule: "sawing",
        says: "the set-up of card 2",
    },
    Falsehood {
        name: "a card of a board that is not cut",
        example: "kitchen-trough",
        does: |record| cards(record)[0]["stock"] = json!("oak"),
        rule: "sawing",
        says: "out of its turn",
    },
    Falsehood {
        name: "a stop is moved",
        example: "kitchen-trough",
        does: |record| add(record, "cards.0.stop", 1_000_000),
        rule: "sawing",
        says: "the stop of card 1",
    },
    Falsehood {
        name: "a length is moved",
        example: "kitchen-trough",
        does: |record| add(record, "cards.0.length", 1_000_000),
        rule: "sawing",
        says: "length and ends of",
    },
    Falsehood {
        name: "a rest reads more",
        example: "kitchen-trough",
        does: |record| add(record, "cards.0.lots.0.cuts.0.rest", 3_000_000),
        rule: "sawing",
        says: "the rest after",
    },
    Falsehood {
        name: "less is enough",
        example: "kitchen-trough",
        does: |record| add(record, "cards.0.lots.0.cuts.0.least", -3_000_000),
        rule: "sawing",
        says: "the least before",
    },
    Falsehood {
        name: "the trim is forgotten",
        example: "kitchen-trough",
        does: |record| add(record, "cards.0.lots.0.start", 5_000_000),
        rule: "sawing",
        says: "what it reads at first",
    },
    Falsehood {
        name: "another board",
        example: "kitchen-trough",
        does: |record| add(record, "cards.0.lots.0.length", 600_000_000),
        rule: "sawing",
        says: "its length",
    },
    Falsehood {
        name: "a board of no number",
        example: "kitchen-trough",
        does: |record| add(record, "cards.0.lots.0.number", 99),
        rule: "sawing",
        says: "no such board",
    },
    Falsehood {
        name: "boards out of order",
        example: "kitchen-trough",
        does: |record| cards(record)[0]["lots"].as_array_mut().expect("lots").swap(0, 1),
        rule: "sawing",
        says: "out of their order",
    },
    Falsehood {
        name: "a loose check",
        example: "level-box",
        does: |record| add(record, "cards.0.check", 1_000_000),
        rule: "sawing",
        says: "the check of",
    },
    Falsehood {
        name: "a long part is called short",
        example: "kitchen-trough",
        does: |record| turn(&mut cards(record)[0]["short"]),
        rule: "sawing",
        says: "makes short parts",
    },
    Falsehood {
        name: "the stop is said to stay",
        example: "kitchen-trough",
        does: |record| turn(&mut cards(record)[1]["stop_stays"]),
        rule: "sawing",
        says: "whether the stop",
    },
    Falsehood {
        name: "a short last part is held by hand",
        example: "short-parts",
        does: |record| {
            let card = card(record, |card| !card["clamp"].as_array().expect("ids").is_empty());
            card["clamp"].as_array_mut().expect("ids").pop();
        },
        rule: "sawing",
        says: "what is clamped",
    },
    Falsehood {
        name: "a slanted end is called square",
        example: "mitred-ell",
        does: |record| {
            let card = card(record, |card| card["flip"] == "every second");
            card["ends"][0] = json!({ "mitre": 0, "tilt": 0 });
        },
        rule: "sawing",
        says: "length and ends of",
    },
    Falsehood {
        name: "a trapezium is not flipped",
        example: "mitred-ell",
        does: |record| card(record, |card| card["flip"] == "every second")["flip"] = json!("stays"),
        rule: "sawing",
        says: "the flip of",
    },
    Falsehood {
        name: "a parallelogram is read long to long",
        example: "mitred-ell",
        does: |record| {
            let card = card(record, |card| card["flip"] == "stays");
            assert_eq!(card["reads"], "long point to short point");
            card["reads"] = json!("long point to long point");
        },
        rule: "sawing",
        says: "is read",
    },
    Falsehood {
        name: "a stop at the long point of a parallelogram",
        example: "mitred-ell",
        does: |record| {
            let card = card(record, |card| card["flip"] == "stays");
            assert!(card["stop"].as_i64() < card["length"].as_i64());
            card["stop"] = card["length"].clone();
        },
        rule: "sawing",
        says: "the stop of",
    },
    Falsehood {
        name: "a top that nobody shapes",
        example: "picket-box",
        does: |record| {
            let card = card(record, |card| !card["shaped"].as_array().expect("ids").is_empty());
            card["shaped"].as_array_mut().expect("ids").pop();
        },
        rule: "sawing",
        says: "what is shaped after",
    },
    Falsehood {
        name: "a marking size is left out",
        example: "picket-box",
        does: |record| {
            let card = card(record, |card| !card["marks"].as_array().expect("names").is_empty());
            card["marks"].as_array_mut().expect("names").pop();
        },
        rule: "sawing",
        says: "the marking sizes",
    },
    Falsehood {
        name: "strips are ripped narrow first",
        example: "picket-box",
        does: |record| {
            let rips = cards(record).iter().filter(|card| card["work"] == "rip").count();
            assert!(rips > 1, "one rip only");
            let at = cards(record).iter().position(|card| card["work"] == "rip").expect("a rip");
            cards(record).swap(at, at + 1);
            let first = cards(record)[at]["set_up"].clone();
            cards(record)[at]["set_up"] = cards(record)[at + 1]["set_up"].clone();
            cards(record)[at + 1]["set_up"] = first;
        },
        rule: "sawing",
        says: "card",
    },
    Falsehood {
        name: "a fence is moved",
        example: "mixed-sheets",
        does: |record| {
            let card = card(record, |card| card["work"] == "rip");
            let stop = card["stop"].as_i64().expect("a number");
            card["stop"] = json!(stop + 1_000_000);
        },
        rule: "sawing",
        says: "the stop of",
    },
    Falsehood {
        name: "a strip is never ripped",
        example: "mixed-sheets",
        does: |record| {
            let card = card(record, |card| card["work"] == "rip");
            card["lots"].as_array_mut().expect("lots").pop();
        },
        rule: "sawing",
        says: "is on no card (rip)",
    },
    Falsehood {
        name: "panels are cut before strips",
        example: "mixed-sheets",
        does: |record| {
            cards(record).reverse();
            for (at, card) in cards(record).iter_mut().enumerate() {
                card["set_up"] = json!(at + 1);
            }
        },
        rule: "sawing",
        says: "out of its turn",
    },
    Falsehood {
        name: "a card makes more than its boards give",
        example: "kitchen-trough",
        does: |record| {
            let count = quantity(record, "card.1.count");
            let value = count["inputs"][0]["value"].as_i64().expect("a number");
            count["inputs"][0]["value"] = json!(value + 1);
            let all = count["value"].as_i64().expect("a number");
            count["value"] = json!(all + 1);
        },
        rule: "whys",
        says: "card.1.count",
    },
    Falsehood {
        name: "a rest of its own",
        example: "kitchen-trough",
        does: |record| {
            let rest = quantity(record, "card.1.rest");
            let value = rest["value"].as_i64().expect("a number");
            rest["value"] = json!(value + 1_000_000);
        },
        rule: "whys",
        says: "card.1.rest",
    },
    Falsehood {
        name: "a sheet is lighter on the saw than it is",
        example: "picket-box",
        does: |record| {
            let mass = quantity(record, "card.6.mass");
            let rest = mass["inputs"][1]["value"].as_i64().expect("a number");
            let whole = mass["value"].as_i64().expect("a number");
            mass["inputs"][1]["value"] = json!(rest / 2);
            mass["value"] = json!((whole + 1) / 2);
        },
        rule: "whys",
        says: "the inputs of `card.6.mass`",
    },
];

#[test]
fn each_false_card_is_found() {
    all_are_found(FALSEHOODS);
}
