//! Ways in which a finished plan can be false, each with the rule that has to find it.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::at;
use serde_json::{Value, json};

fn add(record: &mut Value, path: &str, by: i64) {
    let value = at(record, path);
    *value = json!(value.as_i64().expect("a number") + by);
}

/// The place of the first entry of a list that has a field of this value.
fn place(record: &Value, list: &str, field: &str, value: &str) -> usize {
    let entries = record[list].as_array().expect("a list");
    entries.iter().position(|entry| entry[field] == value).expect("an entry of this kind")
}

/// Replaces the first leaf of the covering tree that `is` finds, in the first part that has one; tells whether there was one.
fn replace_leaf(tree: &mut Value, is: &dyn Fn(&Value) -> bool, by: &Value) -> bool {
    if tree[0] == "apart" {
        let parts = tree[1].as_array_mut().expect("parts");
        return parts.iter_mut().any(|part| replace_leaf(&mut part["proof"], is, by));
    }
    if is(&tree[0]) {
        *tree = by.clone();
        return true;
    }
    let branches = tree.get_mut(3).and_then(Value::as_array_mut);
    branches.is_some_and(|branches| branches.iter_mut().any(|branch| replace_leaf(&mut branch[2], is, by)))
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a part is shortened",
        example: "kitchen-trough",
        does: |record| add(record, "parts.0.length", -1_000_000),
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "a part is shifted",
        example: "kitchen-trough",
        does: |record| add(record, "parts.20.corner.0", 1_000_000),
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "two ids are swapped",
        example: "kitchen-trough",
        does: |record| {
            let (first, last) = (record["parts"][0]["id"].clone(), record["parts"][1]["id"].clone());
            assert_ne!(first.as_str().map(|id| &id[..1]), last.as_str().map(|id| &id[..1]));
            (record["parts"][0]["id"], record["parts"][1]["id"]) = (last, first);
        },
        rule: "geometry",
        says: "is not like the other parts",
    },
    Falsehood {
        name: "a rail that is a nanometre longer than its neighbours gets letters of its own",
        example: "shared-pitch",
        does: |record| {
            let parts = record["parts"].as_array().expect("parts");
            let rails = || parts.iter().filter(|part| part["role"] == "rail");
            let length = |part: &Value| part["length"].as_i64().expect("a length");
            let long = rails().max_by_key(|part| length(part)).expect("rails");
            assert!(rails().any(|part| length(part) + 1 == length(long)), "no shared pitch");
            // Wherever it is named.
            let renamed = record.to_string().replace(&long["id"].to_string(), "\"Z1\"");
            *record = serde_json::from_str(&renamed).expect("JSON");
        },
        rule: "geometry",
        says: "is like the parts",
    },
    Falsehood {
        name: "a part is dropped",
        example: "kitchen-trough",
        does: |record| _ = record["parts"].as_array_mut().expect("parts").pop(),
        rule: "geometry",
        says: "nothing fills the slot",
    },
    Falsehood {
        name: "the kerf is raised",
        example: "kitchen-trough",
        does: |record| add(record, "cutting.kerf", 1_000_000),
        rule: "stock",
        says: "the kerf",
    },
    Falsehood {
        name: "a price is lowered",
        example: "kitchen-trough",
        does: |record| add(record, "buying.lines.0.price", -100),
        rule: "buying",
        says: "the price of",
    },
    Falsehood {
        name: "too few are bought",
        example: "kitchen-trough",
        does: |record| {
            let line =
                record["buying"]["lines"].as_array().expect("lines").iter().position(|line| line["kind"] == "unit");
            add(record, &format!("buying.lines.{}.count", line.expect("a unit")), -1);
        },
        rule: "buying",
        says: "to buy",
    },
    Falsehood {
        name: "a tight pattern is called comfortable",
        example: "kitchen-trough",
        does: |record| {
            // The shed keeps so much that no pattern is comfortable, and one says that it is.
            let cuts = record["cutting"]["boards"][0]["cuts"].as_array_mut().expect("cuts");
            let own = cuts[0]["comfortable"].as_bool().expect("a word on comfort");
            cuts[0]["comfortable"] = json!(!own);
        },
        rule: "cutting",
        says: "comfortable",
    },
    Falsehood {
        name: "two parts overlap",
        example: "kitchen-trough",
        does: |record| {
            let unit = place(record, "parts", "kind", "unit");
            record["parts"][unit + 1]["corner"] = record["parts"][unit]["corner"].clone();
        },
        rule: "overlap",
        says: "overlaps",
    },
    Falsehood {
        name: "a size is wrong, and still in its range",
        example: "kitchen-trough",
        does: |record| add(record, "ways.0.sizes.0", 1_000_000),
        rule: "closing",
        says: "does not close",
    },
    Falsehood {
        name: "a bound is too high",
        example: "kitchen-trough",
        does: |record| add(record, "cutting.boards.0.certificate.bound", 282),
        rule: "proven",
        says: "its prices prove",
    },
    Falsehood {
        name: "duals that a board can beat",
        example: "kitchen-trough",
        does: |record| {
            let dual = at(record, "cutting.boards.0.certificate.duals.0");
            *dual = json!(dual.as_i64().expect("a dual") * 2);
        },
        rule: "proven",
        says: "worth more than it costs",
    },
    Falsehood {
        name: "a rule that says too little of a board",
        example: "low-decks",
        does: |record| {
            let certificate = at(record, "cutting.boards.0.certificate");
            let lengths = certificate["lengths"].clone();
            certificate["rules"] = json!([{ "duals": lengths, "held": [1, 1] }]);
        },
        rule: "proven",
        says: "holds parts worth more than its rule says",
    },
    Falsehood {
        name: "a bound by rules that cheaper boards keep",
        example: "low-decks",
        does: |record| {
            let certificate = at(record, "cutting.boards.0.certificate");
            certificate["rules"] = json!([{ "duals": [1, 0], "held": [1000, 1000] }]);
        },
        rule: "proven",
        says: "keep all its rules",
    },
    Falsehood {
        name: "a certificate that is said to rest on rules and has none",
        example: "low-decks",
        does: |record| *at(record, "cutting.boards.0.certificate.kind") = json!("boards"),
        rule: "proven",
        says: "said to rest on rules",
    },
    Falsehood {
        name: "a leaf of the proof is false",
        example: "kitchen-trough",
        does: |record| {
            let proof = &mut record["fit"]["proof"];
            assert!(replace_leaf(proof, &|word| word == "listed", &json!(["empty"])));
        },
        rule: "proven",
        says: "said to be empty",
    },
    Falsehood {
        name: "a bound in the proof that bounds nothing",
        example: "corner-bed",
        does: |record| {
            let proof = &mut record["fit"]["proof"];
            assert!(replace_leaf(proof, &|word| word == "listed", &json!(["bound"])));
        },
        rule: "proven",
        says: "could hold a better closing",
    },
    Falsehood {
        name: "a branch of the proof is left out",
        example: "corner-bed",
        does: |record| {
            let proof = at(record, "fit.proof.1.0.proof");
            assert_eq!(proof[0], "split");
            proof[3].as_array_mut().expect("branches").pop();
        },
        rule: "proven",
        says: "left out",
    },
    Falsehood {
        name: "a better closing is kept back",
        example: "sheet-box",
        does: |record| {
            // The chosen way is renumbered, so that the list looks whole but for what it keeps back.
            record["fit"]["closings"].as_array_mut().expect("closings").remove(1);
            record["ways"].as_array_mut().expect("ways").remove(1);
            let chosen = record["chosen"].as_i64().expect("a number");
            assert_ne!(chosen, 1);
            record["chosen"] = json!(chosen - i64::from(chosen > 1));
        },
        rule: "proven",
        says: "next best",
    },
    Falsehood {
        name: "closings out of order",
        example: "kitchen-trough",
        does: |record| record["fit"]["closings"].as_array_mut().expect("closings").swap(1, 2),
        rule: "closing",
        says: "which is no worse",
    },
    Falsehood {
        name: "what nobody can tell of pieces that are joined is kept back",
        example: "level-box",
        does: |record| {
            let questions = record["questions"].as_array_mut().expect("questions");
            questions.retain(|question| question["about"] != "bed and skin, put together");
        },
        rule: "questions",
        says: "nobody asks `Can you carry it?` about bed and skin, put together",
    },
    Falsehood {
        name: "another question about the same thing, which the referee does not know",
        example: "sheet-box",
        does: |record| {
            let mut other = record["questions"][0].clone();
            other["question"] = json!("Will it float?");
            record["questions"].as_array_mut().expect("questions").push(other);
        },
        rule: "questions",
        says: "the referee knows no question `Will it float?` about",
    },
    Falsehood {
        name: "a question is asked twice",
        example: "sheet-box",
        does: |record| {
            let same = record["questions"][0].clone();
            record["questions"].as_array_mut().expect("questions").push(same);
        },
        rule: "questions",
        says: "is asked twice of",
    },
    Falsehood {
        name: "a wrong verdict",
        example: "sheet-box",
        does: |record| {
            let own = record["questions"][0]["verdict"].as_str().expect("a verdict").to_owned();
            record["questions"][0]["verdict"] = json!(if own == "holds" { "tight" } else { "holds" });
        },
        rule: "questions",
        says: "the verdict on",
    },
    Falsehood {
        name: "a notch that is too wide",
        example: "kitchen-trough",
        does: |record| add(record, "windows.0.notches.0.to", 1_000_000),
        rule: "proven",
        says: "the notches of",
    },
    Falsehood {
        name: "a way that is said to be cheaper than it is",
        example: "kitchen-trough",
        does: |record| add(record, "ways.2.price.total", -1),
        rule: "proven",
        says: "is said to cost",
    },
    Falsehood {
        name: "a wish is narrowed",
        example: "kitchen-trough",
        does: |record| add(record, "fit.sizes.0.from", 10_000_000),
        rule: "stock",
        says: "the size `",
    },
    Falsehood {
        name: "a row is not asked",
        example: "brick-rings",
        does: |record| _ = record["fit"]["runs"].as_array_mut().expect("runs").pop(),
        rule: "form",
        says: "points nowhere",
    },
    Falsehood {
        name: "sheets of another size than the yard sells",
        example: "mixed-sheets",
        does: |record| add(record, "cutting.sheets.0.sheets.1.width", 1_000_000),
        rule: "cutting",
        says: "which the yard does not sell",
    },
    Falsehood {
        name: "dearer sheets said to be cheapest in strips",
        example: "mixed-sheets",
        does: |record| {
            // Both panels of the small sheets from a large one, which is sound but for the claim.
            let sheets = record["cutting"]["sheets"][0]["sheets"].as_array_mut().expect("sheets");
            sheets.truncate(1);
            let mut second = sheets[0].clone();
            let longer = second["strips"][0]["slack"].as_i64().expect("a number") + 1_820_000_000 - 847_000_000;
            for (strip, id) in second["strips"].as_array_mut().expect("strips").iter_mut().zip(["B1", "B2"]) {
                strip["parts"] = json!([id]);
                strip["slack"] = json!(longer);
            }
            sheets.push(second);
            record["cutting"]["sheets"][0]["cost"] = json!(19_700);
        },
        rule: "cutting",
        says: "costs 19700 and is not cheapest in strips: 16230 is possible",
    },
    Falsehood {
        name: "a bound of sheets that is too high",
        example: "mixed-sheets",
        does: |record| add(record, "cutting.sheets.0.bound", 1),
        rule: "cutting",
        says: "the bound of",
    },
    Falsehood {
        name: "a part is cut twice",
        example: "sheet-box",
        does: |record| {
            let boards = at(record, "cutting.boards.0.cuts.0.boards.0");
            boards[0] = boards[1].clone();
        },
        rule: "cutting",
        says: "is not cut",
    },
    Falsehood {
        name: "more boards than the yard has",
        example: "sheet-box",
        does: |record| {
            for section in record["cutting"]["boards"].as_array_mut().expect("boards") {
                for cut in section["cuts"].as_array_mut().expect("cuts") {
                    cut["stock"] = json!(3_000_000_000_i64);
                }
            }
        },
        rule: "cutting",
        says: "the yard has",
    },
    Falsehood {
        name: "a part is placed twice",
        example: "level-box",
        does: |record| {
            let id = record["steps"][0]["parts"][0].clone();
            record["steps"][1]["parts"].as_array_mut().expect("parts").push(id);
        },
        rule: "steps",
        says: "stands already",
    },
    Falsehood {
        name: "an unknown rule",
        example: "level-box",
        does: |record| record["quantities"][0]["rule"] = json!("rule of thumb"),
        rule: "whys",
        says: "unknown rule",
    },
    Falsehood {
        name: "a number without a why",
        example: "level-box",
        does: |record| _ = record["quantities"].as_array_mut().expect("quantities").remove(0),
        rule: "whys",
        says: "has no why",
    },
    Falsehood {
        name: "the second best is chosen",
        example: "kitchen-trough",
        does: |record| record["chosen"] = json!(1),
        rule: "closing",
        says: "the way that is chosen",
    },
    Falsehood {
        name: "a field is missing",
        example: "level-box",
        does: |record| _ = record["buying"].as_object_mut().expect("buying").remove("total"),
        rule: "form",
        says: "is missing",
    },
    Falsehood {
        name: "a field that nobody knows",
        example: "level-box",
        does: |record| record["parts"][0]["colour"] = json!("green"),
        rule: "form",
        says: "unknown field",
    },
    Falsehood {
        name: "a part of the proof is left out",
        example: "two-planters",
        does: |record| _ = at(record, "fit.proof.1").as_array_mut().expect("parts").pop(),
        rule: "proven",
        says: "do not share out the question",
    },
    Falsehood {
        name: "a limit lies in two parts of the proof",
        example: "two-planters",
        does: |record| {
            let limit = at(record, "fit.proof.1.0.relations.0").clone();
            at(record, "fit.proof.1.2.relations").as_array_mut().expect("limits").insert(0, limit);
        },
        rule: "proven",
        says: "do not share out the question",
    },
    Falsehood {
        name: "a gap lies in another part than its row",
        example: "kitchen-trough",
        does: |record| {
            let gaps = [0, 1].map(|part| at(record, &format!("fit.proof.1.{part}.gaps")).take());
            assert!(gaps.iter().all(|gaps| gaps.as_array().is_some_and(|gaps| gaps.len() == 1)));
            let [first, second] = gaps;
            *at(record, "fit.proof.1.0.gaps") = second;
            *at(record, "fit.proof.1.1.gaps") = first;
        },
        rule: "proven",
        says: "something joins part 1 of the proof",
    },
    Falsehood {
        name: "a closing of a part has another vector",
        example: "two-planters",
        does: |record| add(record, "fit.proof.1.3.closings.1.vector.0", 1),
        rule: "proven",
        says: "the vector of part 4 of the proof: closing 2",
    },
    Falsehood {
        name: "a closing of a part does not close",
        example: "two-planters",
        does: |record| add(record, "fit.proof.1.3.closings.0.counts.0", 1),
        rule: "proven",
        says: "does not close",
    },
    Falsehood {
        name: "a part keeps a closing back",
        example: "two-planters",
        does: |record| {
            _ = at(record, "fit.proof.1.3.closings").as_array_mut().expect("closings").pop();
            assert!(replace_leaf(at(record, "fit.proof.1.3.proof"), &|word| word == "listed", &json!(["empty"])));
        },
        rule: "proven",
        says: "said to be empty",
    },
    Falsehood {
        name: "a part lists a closing twice",
        example: "two-planters",
        does: |record| {
            let closings = at(record, "fit.proof.1.2.closings").as_array_mut().expect("closings");
            closings.push(closings[0].clone());
        },
        rule: "proven",
        says: "part 3 of the proof: closing 3 is listed twice",
    },
    Falsehood {
        name: "a part that lists too few has a bound",
        example: "two-planters",
        does: |record| {
            // Behind the best two nothing better comes, but there is more, and the whole would need it.
            let closings = at(record, "fit.proof.1.3.closings").as_array_mut().expect("closings");
            closings.truncate(2);
            let late = |leaf: &Value| leaf[0] == "listed" && leaf[1].as_i64() > Some(1);
            fn bound(tree: &mut Value, late: &dyn Fn(&Value) -> bool) -> usize {
                if late(tree) {
                    *tree = json!(["bound"]);
                    return 1;
                }
                let branches = tree.get_mut(3).and_then(Value::as_array_mut);
                branches.into_iter().flatten().map(|branch| bound(&mut branch[2], late)).sum()
            }
            assert_eq!(bound(at(record, "fit.proof.1.3.proof"), &late), 2);
        },
        rule: "proven",
        says: "part 4 of the proof lists 2 closings of 12 asked for, and has a bound",
    },
    Falsehood {
        name: "a better one could be put together",
        example: "two-planters",
        does: |record| {
            record["fit"]["closings"].as_array_mut().expect("closings").remove(3);
            record["ways"].as_array_mut().expect("ways").remove(3);
        },
        rule: "proven",
        says: "not the next best that the parts of the proof can be put together to",
    },
    Falsehood {
        name: "more closings than the parts have",
        example: "two-planters",
        does: |record| add(record, "fit.found", 1),
        rule: "proven",
        says: "the parts of the proof have 16 closings together, not 17",
    },
    Falsehood {
        name: "a board that the yard has none of",
        example: "none-left",
        does: |record| {
            for cut in at(record, "cutting.boards.0.cuts").as_array_mut().expect("cuts") {
                cut["stock"] = json!(4_000_000_000_i64);
            }
        },
        rule: "cutting",
        says: "boards `rough` of 4000 mm are cut, and the yard has Some(0)",
    },
    Falsehood {
        name: "a planter and its ring stand nearer to the other",
        example: "two-planters",
        does: |record| {
            for part in record["parts"].as_array_mut().expect("parts") {
                if part["piece"] != "first" {
                    let corner = part["corner"][0].as_i64().expect("a number");
                    part["corner"][0] = json!(corner - 500_000_000);
                }
            }
        },
        rule: "geometry",
        says: "where second begins along the front is said to be 3300 mm, and is 3800 mm",
    },
    Falsehood {
        name: "a row of courses that is said to start at the left",
        example: "none-left",
        does: |record| {
            let row = place(record, "rows", "face", "courses");
            assert_eq!(record["rows"][row]["up"], true);
            record["rows"][row]["up"] = json!(false);
        },
        rule: "geometry",
        says: "is counted from the bottom up",
    },
    Falsehood {
        name: "a cheaper way that is said to be less off",
        example: "kitchen-trough",
        does: |record| {
            let way = place(record, "ways", "because", "cheaper");
            add(record, &format!("ways.{way}.vector.1"), -1);
        },
        rule: "closing",
        says: "the vector of way 8",
    },
    Falsehood {
        name: "the long sheet is taken to be as wide as the other",
        example: "long-or-high",
        does: |record| {
            assert_eq!(record["fit"]["relations"][1]["to"], 590_000_000);
            record["fit"]["relations"][1]["to"] = json!(1_210_000_000);
        },
        rule: "stock",
        says: "the plan asks no such limit",
    },
    Falsehood {
        name: "a choice of a sheet that is not on sale",
        example: "long-or-high",
        does: |record| record["fit"]["choices"][0]["options"][1] = json!("1250 × 1250"),
        rule: "stock",
        says: "choice",
    },
    Falsehood {
        name: "parts may be shorter than anybody cuts them",
        example: "none-left",
        does: |record| {
            assert_eq!(record["fit"]["relations"][0]["from"], 50_000_000);
            record["fit"]["relations"][0]["from"] = json!(1_000_000);
        },
        rule: "stock",
        says: "the plan asks no such limit",
    },
    Falsehood {
        name: "a newer version",
        example: "level-box",
        does: |record| record["version"] = json!(2),
        rule: "form",
        says: "the version",
    },
];

#[test]
fn every_falsehood_is_found_by_its_rule() {
    all_are_found(FALSEHOODS);
}
