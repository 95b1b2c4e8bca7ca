//! Ways in which what is bought, taken from the shed, paid and brought home can be false, each with the rule that has to find it.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::at;
use serde_json::{Value, json};

fn add(record: &mut Value, path: &str, by: i64) {
    let value = at(record, path);
    *value = json!(value.as_i64().expect("a number") + by);
}

/// The place of a line of the buying list, or of the materials, that has a field of this value.
fn line(record: &Value, list: &str, field: &str, value: &str) -> usize {
    let lines = record["buying"][list].as_array().expect("a list");
    lines.iter().position(|line| line[field] == value).expect("a line of this kind")
}

/// The place of the first number of this rule.
fn quantity(record: &Value, rule: &str) -> usize {
    let all = record["quantities"].as_array().expect("a list");
    all.iter().position(|quantity| quantity["rule"] == rule).expect("a number by this rule")
}

/// Takes the notes away that say this; there must be one.
fn forget(record: &mut Value, what: &str) {
    let notes = record["buying"]["notes"].as_array_mut().expect("notes");
    let before = notes.len();
    notes.retain(|note| !note.as_str().expect("a text").contains(what));
    assert!(notes.len() < before, "a note says {what}");
}

const SHOP: &str = "shop-and-shed";

/// Boards that are cut round bad stretches; the first pattern of joists is board A with parts in three of them.
const SPLIT: &str = "split-boards";

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a price by measure is wrong throughout",
        example: "board-feet",
        does: |record| {
            let at_line = line(record, "lines", "name", "pine-6");
            add(record, &format!("buying.lines.{at_line}.price"), 1);
        },
        rule: "buying",
        says: "the price of",
    },
    Falsehood {
        name: "a board foot is taken by what it really measures",
        example: "board-feet",
        does: |record| {
            let at_price = quantity(record, "price-by-measure");
            add(record, &format!("quantities.{at_price}.inputs.3.value"), -12_700_000);
        },
        rule: "whys",
        says: "price.pine-6",
    },
    Falsehood {
        name: "an offcut is cut more often than it is there",
        example: SHOP,
        does: |record| {
            let cuts = record["cutting"]["boards"][0]["cuts"].as_array_mut().expect("cuts");
            let sold = cuts.iter().position(|cut| cut["shed"] == false).expect("a bought board");
            let offcut = cuts.iter().position(|cut| cut["shed"] == true).expect("an offcut");
            let boards = cuts[sold]["boards"].clone();
            let own = cuts[offcut]["boards"].as_array_mut().expect("boards");
            own.extend(boards.as_array().expect("boards").iter().cloned());
            own.extend(boards.as_array().expect("boards").iter().cloned());
            own.extend(boards.as_array().expect("boards").iter().cloned());
        },
        rule: "cutting",
        says: "and the shed has Some",
    },
    Falsehood {
        name: "an offcut is bought",
        example: SHOP,
        does: |record| _ = record["buying"]["from_shed"].as_array_mut().expect("a list").pop(),
        rule: "buying",
        says: "what comes out of the shed",
    },
    Falsehood {
        name: "a board with bad stretches is left out and not told",
        example: SPLIT,
        does: |record| record["buying"]["notes"] = json!([]),
        rule: "buying",
        says: "is left out",
    },
    Falsehood {
        name: "a part lies across a bad stretch",
        example: SPLIT,
        does: |record| {
            add(record, "cutting.boards.0.cuts.0.stretches.0.parts", 1);
            add(record, "cutting.boards.0.cuts.0.stretches.1.parts", -1);
        },
        rule: "cutting",
        says: "and that is bad",
    },
    Falsehood {
        name: "a bad stretch is said to be shorter than the yard says",
        example: SPLIT,
        does: |record| add(record, "cutting.boards.0.cuts.0.stretches.0.to", 10_000_000),
        rule: "cutting",
        says: "the clear stretches of pattern 1",
    },
    Falsehood {
        name: "a board with bad stretches is cut as if it had none",
        example: SPLIT,
        does: |record| {
            let cut = at(record, "cutting.boards.0.cuts.0").as_object_mut().expect("a cut");
            cut.remove("stretches").expect("it has clear stretches");
        },
        rule: "cutting",
        says: "the clear stretches of pattern 1",
    },
    Falsehood {
        name: "a board at home is cut as if it had no bad stretches",
        example: "split-at-home",
        does: |record| {
            let cut = at(record, "cutting.boards.0.cuts.0").as_object_mut().expect("a cut");
            cut.remove("stretches").expect("it has clear stretches");
        },
        rule: "cutting",
        says: "the clear stretches of pattern 1",
    },
    Falsehood {
        name: "a board at home with bad stretches is begun and cut on",
        example: "split-at-home",
        does: |record| {
            let cut = at(record, "cutting.boards.0.cuts.0");
            (cut["stock"], cut["name"]) = (json!(3_890_000_000_i64), json!("A"));
        },
        rule: "cutting",
        says: "which the yard does not sell",
    },
    Falsehood {
        name: "a clear stretch leaves more than it does",
        example: SPLIT,
        does: |record| add(record, "cutting.boards.0.cuts.0.stretches.1.slack", 3_000_000),
        rule: "cutting",
        says: "what stretch 2 of pattern 1",
    },
    Falsehood {
        name: "the kerf at a bad end is forgotten",
        example: SPLIT,
        does: |record| add(record, "cutting.boards.0.cuts.0.cuts", -1),
        rule: "cutting",
        says: "the cuts of pattern 1",
    },
    Falsehood {
        name: "a clear stretch is sawn out a kerf too far on",
        example: SPLIT,
        does: |record| {
            let cards = record["cards"].as_array_mut().expect("cards");
            let lots = cards.iter_mut().flat_map(|card| card["lots"].as_array_mut().expect("boards"));
            let lot = lots.into_iter().find(|lot| lot.get("span").is_some()).expect("a clear stretch");
            add(lot, "span.1", 3_000_000);
        },
        rule: "sawing",
        says: "where it is sawn out",
    },
    Falsehood {
        name: "a way of buying boards with bad stretches is left out of the proof",
        example: SPLIT,
        does: |record| _ = at(record, "cutting.boards.0.certificate.cases").as_array_mut().expect("cases").pop(),
        rule: "proven",
        says: "the cases of the cutting plan of `joist`",
    },
    Falsehood {
        name: "a way of buying boards is called too little, and is not",
        example: SPLIT,
        does: |record| {
            let cases = at(record, "cutting.boards.0.certificate.cases").as_array_mut().expect("cases");
            cases.last_mut().expect("a case")["certificate"] = Value::Null;
        },
        rule: "proven",
        says: "it is said to be too little",
    },
    Falsehood {
        name: "a case proves more than its prices do",
        example: SPLIT,
        does: |record| add(record, "cutting.boards.0.certificate.cases.0.certificate.bound", 10),
        rule: "proven",
        says: "case 1",
    },
    Falsehood {
        name: "a board is too wide for the saw and nobody says so",
        example: SHOP,
        does: |record| forget(record, "across at most"),
        rule: "buying",
        says: "(across)",
    },
    Falsehood {
        name: "a bit is not in the shed and nobody says so",
        example: SHOP,
        does: |record| forget(record, "pilot holes"),
        rule: "buying",
        says: "how many bits for pilot holes",
    },
    Falsehood {
        name: "a bit that is there is said to be missing",
        example: SHOP,
        does: |record| {
            let notes = record["buying"]["notes"].as_array_mut().expect("notes");
            notes.push(json!("the shed has no bit of 5 mm for clearance holes; none there is larger"));
        },
        rule: "buying",
        says: "how many bits for clearance holes",
    },
    Falsehood {
        name: "the saw does not turn so far and nobody says so",
        example: "leaning-octagon",
        does: |record| forget(record, "the saw turns"),
        rule: "buying",
        says: "(turns)",
    },
    Falsehood {
        name: "the blade does not lean so far and nobody says so",
        example: "leaning-octagon",
        does: |record| forget(record, "its blade leans"),
        rule: "buying",
        says: "(leans)",
    },
    Falsehood {
        name: "the fence does not go so far and nobody says so",
        example: "sheet-box",
        does: |record| forget(record, "its fence goes"),
        rule: "buying",
        says: "(fence)",
    },
    Falsehood {
        name: "what is brought home is told by the rule of what is lifted",
        example: SHOP,
        does: |record| {
            let at_load = quantity(record, "load");
            record["quantities"][at_load]["rule"] = json!("sum-of-masses");
        },
        rule: "whys",
        says: "load.mass",
    },
    Falsehood {
        name: "a part is cut from a board that is left out",
        example: SPLIT,
        does: |record| {
            let cut = at(record, "cutting.boards.0.cuts.0");
            (cut["stock"], cut["name"], cut["shed"]) = (json!(2_600_000_000_i64), json!("G"), json!(false));
        },
        rule: "cutting",
        says: "and the yard has Some(0)",
    },
    Falsehood {
        name: "other packs of units",
        example: SHOP,
        does: |record| {
            let at_line = line(record, "lines", "kind", "unit");
            let packs = at(record, &format!("buying.lines.{at_line}.packs"));
            let last = packs.as_array().expect("packs").len() - 1;
            add(record, &format!("buying.lines.{at_line}.packs.{last}.count"), 1);
        },
        rule: "buying",
        says: "how many packs of",
    },
    Falsehood {
        name: "packs that hold too little",
        example: SHOP,
        does: |record| {
            let at_line = line(record, "materials", "kind", "screw");
            _ = at(record, &format!("buying.materials.{at_line}.packs")).as_array_mut().expect("packs").pop();
        },
        rule: "needs",
        says: "are needed",
    },
    Falsehood {
        name: "a pack that is not on sale",
        example: SHOP,
        does: |record| {
            let at_line = line(record, "materials", "name", "soil");
            add(record, &format!("buying.materials.{at_line}.packs.0.holds"), 1_000_000);
        },
        rule: "needs",
        says: "are not on sale so",
    },
    Falsehood {
        name: "the cheapest packs are said to cost less",
        example: SHOP,
        does: |record| {
            let at_packs = quantity(record, "packs");
            add(record, &format!("quantities.{at_packs}.value"), -1);
        },
        rule: "whys",
        says: "by the rule `packs`",
    },
    Falsehood {
        name: "more is taken from the shed than is there",
        example: SHOP,
        does: |record| add(record, "buying.taken.0.taken", 1),
        rule: "needs",
        says: "what is taken",
    },
    Falsehood {
        name: "what is left is larger than the shed says",
        example: SHOP,
        does: |record| {
            let at_taken = quantity(record, "taken");
            add(record, &format!("quantities.{at_taken}.inputs.1.value"), 1);
        },
        rule: "whys",
        says: "left.",
    },
    Falsehood {
        name: "the tax is rounded down",
        example: "board-feet",
        does: |record| {
            add(record, "buying.pay.tax", -1);
            add(record, "buying.pay.total", -1);
        },
        rule: "whys",
        says: "what to pay",
    },
    Falsehood {
        name: "the delivery is free",
        example: SHOP,
        does: |record| record["buying"]["pay"]["delivery"] = json!(0),
        rule: "whys",
        says: "what to pay",
    },
    Falsehood {
        name: "a face is not brushed",
        example: SHOP,
        does: |record| {
            let at_area = quantity(record, "surface");
            add(record, &format!("quantities.{at_area}.inputs.0.value"), -29_000);
            add(record, &format!("quantities.{at_area}.value"), -29_000);
        },
        rule: "whys",
        says: "oil.area",
    },
    Falsehood {
        name: "less is needed of a finish",
        example: SHOP,
        does: |record| {
            let needs = record["needs"].as_array_mut().expect("needs");
            let finish = needs.iter_mut().find(|need| need["kind"] == "finish").expect("a finish");
            finish["cubic_mm"] = json!(1);
        },
        rule: "needs",
        says: "the plan needs",
    },
    Falsehood {
        name: "a trip less",
        example: SHOP,
        does: |record| add(record, "buying.load.trips", -1),
        rule: "whys",
        says: "what to bring home",
    },
    Falsehood {
        name: "a line that nobody can weigh is forgotten",
        example: SHOP,
        does: |record| add(record, "buying.load.unweighed", 1),
        rule: "whys",
        says: "what to bring home",
    },
    Falsehood {
        name: "sheets are cut with the saw for boards",
        example: SHOP,
        does: |record| add(record, "cutting.sheet_kerf", 800_000),
        rule: "stock",
        says: "the saw for sheets",
    },
    Falsehood {
        name: "an offcut of a sheet by another name",
        example: SHOP,
        does: |record| {
            let sheets = record["cutting"]["sheets"][0]["sheets"].as_array_mut().expect("sheets");
            let offcut = sheets.iter_mut().find(|sheet| !sheet["name"].is_null()).expect("an offcut");
            offcut["name"] = json!("z");
        },
        rule: "cutting",
        says: "does not sell",
    },
];

#[test]
fn every_falsehood_about_buying_is_found() {
    all_are_found(FALSEHOODS);
}
