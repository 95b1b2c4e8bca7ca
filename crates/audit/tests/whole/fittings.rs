//! Falsehoods about brackets, hangers and bolts, and about what is told where nothing holds or a roll is too narrow.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::{Example, at};
use audit::{Texts, audit};
use serde_json::{Value, json};

fn line<'v>(record: &'v mut Value, name: &str) -> &'v mut Value {
    let lines = at(record, "buying.materials").as_array_mut().expect("materials");
    lines.iter_mut().find(|line| line["name"] == name).expect("a line of this name")
}

fn drop_notes(record: &mut Value, begins: &str) {
    let notes = record["notes"].as_array_mut().expect("notes");
    notes.retain(|note| !note["text"].as_str().is_some_and(|text| text.starts_with(begins)));
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a joist hangs at one end",
        example: "brackets-and-bolts",
        does: |record| line(record, "hanger")["used"] = json!(9),
        rule: "needs",
        says: "how much of fitting `hanger` is used",
    },
    Falsehood {
        name: "the bolts are bought in dearer packs",
        example: "brackets-and-bolts",
        does: |record| {
            let line = line(record, "coach");
            line["packs"] = json!([{ "holds": 10, "count": 1, "price": 1390 }]);
            line["count"] = json!(1);
            line["amount"] = json!(1390);
        },
        rule: "needs",
        says: "coach",
    },
    Falsehood {
        name: "nobody needs the brackets of the ties",
        example: "brackets-and-bolts",
        does: |record| {
            let needs = record["needs"].as_array_mut().expect("needs");
            needs.retain(|need| need["what"] != "tie");
        },
        rule: "needs",
        says: "the plan needs",
    },
    Falsehood {
        name: "nobody says that nothing holds a cladding",
        example: "tier-on-soil",
        does: |record| drop_notes(record, "Nothing in this plan holds skin: "),
        rule: "geometry",
        says: "a note says that nothing holds",
    },
    Falsehood {
        name: "nobody says that nothing holds walls together",
        example: "level-box",
        does: |record| drop_notes(record, "Nothing in this plan holds bed together"),
        rule: "geometry",
        says: "a note says that nothing holds bed",
    },
    Falsehood {
        name: "nobody says that nothing holds a cap",
        example: "mitred-ell",
        does: |record| drop_notes(record, "Nothing in this plan holds "),
        rule: "geometry",
        says: "a note says that nothing holds",
    },
    Falsehood {
        name: "a liner is said to be of more strips than it takes",
        example: "ell-on-feet",
        does: |record| {
            let notes = record["notes"].as_array_mut().expect("notes");
            let joined =
                notes.iter_mut().find(|note| note["text"].as_str().is_some_and(|text| text.contains(" strips, ")));
            joined.expect("a note")["text"] = json!("lay it in 3 strips, each 150 mm over the next");
        },
        rule: "geometry",
        says: "in 2 strips",
    },
    Falsehood {
        name: "a rail is held by one bracket",
        example: "brackets-and-bolts",
        does: |record| {
            let all = record["quantities"].as_array_mut().expect("numbers");
            let rails = all.iter_mut().find(|one| one["name"] == "screen.rail.fittings").expect("a number");
            rails["inputs"][1]["value"] = json!(1);
        },
        rule: "whys",
        says: "screen.rail.fittings",
    },
];

#[test]
fn every_falsehood_is_found() {
    all_are_found(FALSEHOODS);
}

/// A fitting that holds nothing here is refused by the referee as well.
#[test]
fn what_holds_nothing_is_no_plan() {
    let example = Example::find("brackets-and-bolts");
    for (from, to) in [
        ("legs = \"inside\"\n", ""),
        ("tie = \"pine-95\"\n", ""),
        ("bolt = \"coach\"\n", "bolt = \"coach\"\nbracket = \"angle\"\n"),
        ("boards = \"upright\"\n", ""),
    ] {
        let plan = example.plan.replacen(from, to, 1);
        assert_ne!(plan, example.plan, "{from}");
        let verdict =
            audit(&Texts { plan: &plan, yard: example.yard, shed: example.shed, daybook: "" }, example.record);
        assert!(!verdict.passed(), "{from} for {to}");
    }
}
