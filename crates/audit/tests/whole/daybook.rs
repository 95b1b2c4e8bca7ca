//! Falsehoods about what the day book says: readings that are ignored, sizes that move, what is cut again.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::{Example, at};
use audit::{Texts, audit};
use serde_json::{Value, json};

const NAME: &str = "bed-on-a-saturday";

fn size<'v>(record: &'v mut Value, name: &str) -> &'v mut Value {
    let sizes = record["fit"]["sizes"].as_array_mut().expect("sizes");
    sizes.iter_mut().find(|size| size["name"] == name).expect("a size of this name")
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a size that is held is asked as the plan has it",
        example: NAME,
        does: |record| {
            let size = size(record, "bed.length");
            (size["from"], size["to"], size["origin"]) = (json!(800_000_000), json!(1_000_000_000), json!(0));
        },
        rule: "stock",
        says: "the size `bed.length`",
    },
    Falsehood {
        name: "a size that is held is moved by a millimetre",
        example: NAME,
        does: |record| {
            let size = size(record, "bed.width");
            for key in ["want", "from", "to", "origin"] {
                size[key] = json!(501_000_000);
            }
        },
        rule: "stock",
        says: "the size `bed.width`",
    },
    Falsehood {
        name: "the kerf is that of the shed",
        example: NAME,
        does: |record| *at(record, "cutting.kerf") = json!(3_000_000),
        rule: "stock",
        says: "the kerf",
    },
    Falsehood {
        name: "a part that is cut is cut again",
        example: NAME,
        does: |record| {
            let parts = record["parts"].as_array().expect("parts");
            let is = |part: &&Value| part["face"] == "front" && part["role"] == "board" && part["course"] == 0;
            let id = parts.iter().find(is).expect("a front board")["id"].clone();
            *at(record, "cutting.boards.0.cuts.0.boards.0.0") = id;
        },
        rule: "cutting",
        says: "was cut before",
    },
    Falsehood {
        name: "a board is bought of a kind that is at home",
        example: NAME,
        does: |record| *at(record, "buying.lines.0.price") = json!(1512),
        rule: "buying",
        says: "the price of board `wall`",
    },
    Falsehood {
        name: "a whole board is begun where a begun one does",
        example: NAME,
        does: |record| {
            let mut one = at(record, "cutting.boards.0.cuts.1").clone();
            (one["lengths"], one["boards"]) = (json!([468_000_000]), json!([["B6"]]));
            at(record, "cutting.boards.0.cuts").as_array_mut().expect("cuts").push(one);
        },
        rule: "cutting",
        says: "pattern 3 of `wall` begins a whole board, and comes out of 1331.8",
    },
    Falsehood {
        name: "nothing can be taken back",
        example: NAME,
        does: |record| {
            at(record, "buying").as_object_mut().expect("an object").remove("take_back");
        },
        rule: "buying",
        says: "what can be taken back",
    },
    Falsehood {
        name: "more can be taken back than lies whole at home",
        example: NAME,
        does: |record| *at(record, "buying.take_back.0.count") = json!(2),
        rule: "buying",
        says: "what can be taken back",
    },
    Falsehood {
        name: "a longer board is cut than came home",
        example: NAME,
        does: |record| *at(record, "cutting.boards.0.cuts.0.stock") = json!(3_600_000_000_i64),
        rule: "cutting",
        says: "which the yard does not sell",
    },
];

#[test]
fn falsehoods_about_the_day_book_are_found() {
    all_are_found(FALSEHOODS);
}

fn rules_with(daybook: &str) -> Vec<String> {
    let example = Example::find(NAME);
    let texts = Texts { plan: example.plan, yard: example.yard, shed: example.shed, daybook };
    audit(&texts, example.record).findings.iter().map(|finding| finding.message.clone()).collect()
}

/// The same record against another book does not pass: it would have ignored what that says.
#[test]
fn a_record_that_ignores_an_entry_is_found() {
    let book = Example::find(NAME).daybook;
    assert!(rules_with(book).is_empty());
    for (was, is, says) in [
        ("\"828 mm\"", "\"834 mm\"", "measures"),
        ("\"3.2 mm\"", "\"3.3 mm\"", "the kerf"),
        ("\"2031 mm\"", "\"2041 mm\"", "measures"),
        ("\"count\":7", "\"count\":3", "are cut, and the yard has"),
        ("\"length\":\"465 mm\"", "\"length\":\"468 mm\"", "was cut before"),
        ("\"bed.length\":\"900 mm\"", "\"bed.length\":\"899 mm\"", "the size `bed.length`"),
        ("\"bed.length\":\"900 mm\"", "\"bed.depth\":\"900 mm\"", "which the plan does not ask"),
        ("\"undo\",", "\"undone\",", "entry 5 of the day book"),
        ("\"from\":[1,1]", "\"from\":[1,9]", "not at home"),
        ("\"n\":3", "\"n\":4", "out of turn"),
    ] {
        assert!(book.contains(was), "{was}");
        let found = rules_with(&book.replace(was, is));
        assert!(found.iter().any(|found| found.contains(says)), "{was} to {is}: {found:#?}");
    }
    assert!(!rules_with("").is_empty());
}

/// An entry of another plan has to agree with this one, and a forged digest that says that it is of this one does not hide what
/// was cut otherwise. The digest of the plan is the head of its SHA-256, as `sha256sum` gives it.
#[test]
fn an_entry_of_another_plan_that_does_not_agree_is_found() {
    let book = Example::find(NAME).daybook;
    let older = book.replace("5baef2f525024c34", "0123456789abcdef");
    assert!(rules_with(&older).is_empty(), "what agrees with the plan passes whatever the digest");
    let found = |book: &str, says: &str| {
        let found = rules_with(book);
        assert!(found.iter().any(|found| found.contains(says)), "{found:#?}");
    };
    found(&older.replace("\"868 mm\"", "\"870 mm\""), "was cut 870 mm long, and 868 mm is wanted");
    found(&older.replace("bed.board.front.0.0", "bed.board.front.7.0"), "is no longer there");
    found(&book.replace("5baef2f525024c34", "5baef2f5"), "`plan` is no digest");
    found(&book.replace("\"plan\":", "\"plan-of\":"), "`plan` is no text");
}

/// No number of a day book makes the referee work without end.
#[test]
fn a_day_book_of_boards_without_end_is_refused() {
    let line = |n: usize| {
        format!(
            "{{\"n\":{n},\"what\":\"bought\",\"plan\":\"5baef2f525024c34\",\"board\":\"wall\",\"length\":\"1800 mm\",\"count\":1000}}\n"
        )
    };
    let book: String = (1..=10_000).map(line).collect();
    assert!(rules_with(&book).iter().any(|found| found.contains("no more than 2000 boards")));
}

/// A line that was cut off while it was written is left out, at the end or where the next line says so.
#[test]
fn a_line_that_was_cut_off_is_left_out() {
    let book = Example::find(NAME).daybook;
    assert!(rules_with(&format!("{book}{{\"n\":11,\"wha")).is_empty());
    let undone = |cut_off: &str| {
        format!(
            "{book}{{\"n\":11\n{{\"n\":11,\"what\":\"kerf\",\"reads\":\"3.2 mm\",\"plan\":\"0123456789abcdef\"{cut_off}}}\n"
        )
    };
    assert!(rules_with(&undone(",\"cut-off\":1")).is_empty());
    assert!(rules_with(&undone("")).iter().any(|found| found.contains("out of turn")));
}

/// No byte of it makes the referee panic.
#[test]
fn no_changed_byte_makes_the_referee_panic() {
    let book = Example::find(NAME).daybook;
    for at in (0..book.len()).step_by(23) {
        for byte in [b'"', b'9', b'-', b'\n', b'}'] {
            let mut changed = book.as_bytes().to_vec();
            changed[at] = byte;
            let _ = rules_with(&String::from_utf8_lossy(&changed));
        }
    }
}
