//! Ways in which the answers about screws, movement, rot, lifting and harm can be false, each with the rule that has to find it.

use crate::falsehood::{Falsehood, all_are_found};
use serde_json::{Value, json};

/// Moves an input of a number, and the number with it, so that its own formula still holds.
fn shift(record: &mut Value, name: &str, input: usize, by: i64, value_by: i64) {
    let quantities = record["quantities"].as_array_mut().expect("numbers");
    let quantity = quantities.iter_mut().find(|quantity| quantity["name"] == name).expect("a number of this name");
    let add = |value: &mut Value, by: i64| *value = json!(value.as_i64().expect("a number") + by);
    add(&mut quantity["inputs"][input]["value"], by);
    add(&mut quantity["value"], value_by);
}

/// Leaves out an answer.
fn keep_back(record: &mut Value, question: &str, about: &str) {
    let questions = record["questions"].as_array_mut().expect("questions");
    questions.retain(|answer| answer["question"] != question || answer["about"] != about);
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a thread grips more than it does",
        example: "posted-trough",
        does: |record| shift(record, "fit.trough.grip", 1, -5_000_000, 5_000_000),
        rule: "whys",
        says: "the inputs of `fit.trough.grip`",
    },
    Falsehood {
        name: "a screw lies further from an end than it does",
        example: "posted-trough",
        does: |record| shift(record, "fit.trough.end", 0, 3_000_000, 3_000_000),
        rule: "whys",
        says: "the inputs of `fit.trough.end`",
    },
    Falsehood {
        name: "more wood is left beyond the tips than there is",
        example: "posted-trough",
        does: |record| shift(record, "fit.trough.left", 0, 4_000_000, 4_000_000),
        rule: "whys",
        says: "the inputs of `fit.trough.left`",
    },
    Falsehood {
        name: "a heel is thinner than it is",
        example: "low-decks",
        does: |record| shift(record, "move.heel", 0, 9_000_000, 9_000_000),
        rule: "whys",
        says: "the inputs of `move.heel`",
    },
    Falsehood {
        name: "nobody asks whether a timber rots",
        example: "kitchen-trough",
        does: |record| keep_back(record, "Will it rot?", "the timber `larch-145`"),
        rule: "questions",
        says: "nobody asks `Will it rot?` about the timber `larch-145`",
    },
    Falsehood {
        name: "a limit of durability is laxer than the standard",
        example: "kitchen-trough",
        does: |record| shift(record, "rot.near", 0, 2, 2),
        rule: "whys",
        says: "the inputs of `rot.near`",
    },
    Falsehood {
        name: "an edging is lower than it is laid",
        example: "kitchen-trough",
        does: |record| shift(record, "hurt.ring.lip", 0, 1_000_000, 1_000_000),
        rule: "whys",
        says: "the inputs of `hurt.ring.lip`",
    },
    Falsehood {
        name: "nobody asks who carries a whole sheet",
        example: "picket-box",
        does: |record| keep_back(record, "Can you carry it?", "a whole sheet of `ply-24`"),
        rule: "questions",
        says: "nobody asks `Can you carry it?` about a whole sheet of `ply-24`",
    },
    Falsehood {
        name: "a full box presses less than it does",
        example: "picket-box",
        does: |record| shift(record, "carry.box.on-floor", 1, 100_000, 0),
        rule: "whys",
        says: "`carry.box.on-floor`",
    },
];

/// Each change is found, by the rule that is named, in the words that are named.
#[test]
fn every_falsehood_about_lasting_is_found() {
    all_are_found(FALSEHOODS);
}
