//! Ways in which floors and liners in other outlines than a rectangle can be false, each with the rule that has to find it.

use crate::falsehood::{Falsehood, all_are_found};
use serde_json::{Value, json};

/// The part of a piece in a role of this index.
fn part<'v>(record: &'v mut Value, piece: &str, role: &str, index: i64) -> &'v mut Value {
    let parts = record["parts"].as_array_mut().expect("parts");
    let is_it = |part: &&mut Value| part["piece"] == piece && part["role"] == role && part["index"] == index;
    parts.iter_mut().find(is_it).expect("a part")
}

fn quantity<'v>(record: &'v mut Value, name: &str) -> &'v mut Value {
    let quantities = record["quantities"].as_array_mut().expect("quantities");
    quantities.iter_mut().find(|quantity| quantity["name"] == name).expect("a quantity")
}

fn add(value: &mut Value, by: i64) {
    *value = json!(value.as_i64().expect("a number") + by);
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a slat runs on through the inside corner of an L",
        example: "ell-of-slats",
        does: |record| {
            let long = part(record, "floor", "slat", 0)["length"].clone();
            part(record, "floor", "slat", 8)["length"] = long;
        },
        rule: "geometry",
        says: "floor front slat",
    },
    Falsehood {
        name: "a slat of the front arm is no longer than the left arm is wide",
        example: "ell-of-slats",
        does: |record| {
            let short = part(record, "floor", "slat", 8)["length"].clone();
            part(record, "floor", "slat", 2)["length"] = short;
        },
        rule: "geometry",
        says: "floor front slat",
    },
    Falsehood {
        name: "the why of a slat's length is another slat's",
        example: "ell-of-slats",
        does: |record| {
            let short = quantity(record, "floor.front.slat-9.length").clone();
            let own = quantity(record, "floor.front.slat-1.length");
            (own["inputs"], own["value"]) = (short["inputs"].clone(), short["value"].clone());
        },
        rule: "whys",
        says: "the inputs of `floor.front.slat-1.length`",
    },
    Falsehood {
        name: "a slat of a hexagon is cut square",
        example: "hexagon-of-slats",
        does: |record| part(record, "floor", "slat", 0)["planes"] = json!([]),
        rule: "geometry",
        says: "is not trimmed at its end",
    },
    Falsehood {
        name: "the slant of a slat lies a tenth of a millimetre off",
        example: "hexagon-of-slats",
        does: |record| add(&mut part(record, "floor", "slat", 0)["planes"][0]["through"][1], 100_000),
        rule: "geometry",
        says: "that the plan has not",
    },
    Falsehood {
        name: "a slat of a hexagon is two micrometres long",
        example: "hexagon-of-slats",
        does: |record| add(&mut part(record, "floor", "slat", 0)["length"], 2_000),
        rule: "geometry",
        says: "and belongs from",
    },
    Falsehood {
        name: "the slats fill another reach than the hexagon's",
        example: "hexagon-of-slats",
        does: |record| {
            let runs = record["fit"]["runs"].as_array_mut().expect("runs");
            let run = runs.iter_mut().find(|run| run["name"] == "floor.front").expect("the row of the floor");
            add(&mut run["terms"][0][1], 1);
        },
        rule: "stock",
        says: "the plan asks no such row as `floor.front`",
    },
    Falsehood {
        name: "a reach is told by another fraction",
        example: "hexagon-of-slats",
        does: |record| {
            let reach = quantity(record, "lining.inside.back");
            reach["inputs"][1]["value"] = json!(2 * reach["inputs"][2]["value"].as_i64().expect("a count"));
            let side = reach["inputs"][0]["value"].as_i64().expect("a side");
            reach["value"] = json!(2 * side);
        },
        rule: "whys",
        says: "the inputs of `lining.inside.back`",
    },
    Falsehood {
        name: "a liner is bought that ends below the walls",
        example: "hexagon-of-slats",
        does: |record| {
            let needs = record["needs"].as_array_mut().expect("needs");
            let liner = needs.iter_mut().find(|need| need["piece"] == "lining").expect("a liner");
            add(&mut liner["length"], -200_000_000);
        },
        rule: "needs",
        says: "liner of bed",
    },
    Falsehood {
        name: "a corner of a panel is left on",
        example: "octagon-of-sheet",
        does: |record| {
            part(record, "base", "panel", 0)["planes"].as_array_mut().expect("planes").pop();
        },
        rule: "geometry",
        says: "is not trimmed at its end",
    },
    Falsehood {
        name: "holes are drilled beyond the edge of a panel",
        example: "octagon-of-sheet",
        does: |record| {
            let count = quantity(record, "base.drain.count");
            add(&mut count["inputs"][2]["value"], -4);
            add(&mut count["value"], 4);
        },
        rule: "whys",
        says: "the inputs of `base.drain.count`",
    },
    Falsehood {
        name: "the base is said to be smaller than the panel",
        example: "octagon-of-sheet",
        does: |record| add(&mut quantity(record, "base.drain.share")["inputs"][2]["value"], -1_000),
        rule: "whys",
        says: "the inputs of `base.drain.share`",
    },
    Falsehood {
        name: "the second panel of an L lies on the first",
        example: "octagon-of-sheet",
        does: |record| add(&mut part(record, "sheets", "panel", 1)["corner"][1], -10_000_000),
        rule: "overlap",
        says: "overlaps",
    },
    Falsehood {
        name: "the second panel of an L begins where there is no floor before it",
        example: "octagon-of-sheet",
        does: |record| {
            let panel = part(record, "sheets", "panel", 1);
            add(&mut panel["corner"][1], 100_000_000);
            add(&mut panel["length"], -100_000_000);
        },
        rule: "geometry",
        says: "and belongs from",
    },
];

#[test]
fn what_is_false_of_an_outline_is_found() {
    all_are_found(FALSEHOODS);
}
