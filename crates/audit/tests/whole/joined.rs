//! Ways in which joints, fills and what is bought beside parts can be false, each with the rule that has to find it.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::{Example, at};
use serde_json::{Value, json};

fn add(record: &mut Value, path: &str, by: i64) {
    let value = at(record, path);
    *value = json!(value.as_i64().expect("a number") + by);
}

/// The first entry of a list that has a field of this value.
fn entry<'v>(list: &'v mut Value, field: &str, value: &str) -> &'v mut Value {
    let entries = list.as_array_mut().expect("a list");
    entries.iter_mut().find(|entry| entry[field] == value).expect("an entry of this kind")
}

fn joints(record: &mut Value) -> &mut Vec<Value> {
    record["joints"].as_array_mut().expect("joints")
}

/// Moves the first screw of the first joint along an axis.
fn move_screw(record: &mut Value, axis: &str, by: i64) {
    add(record, &format!("joints.0.heads.0.{axis}"), by);
}

/// The axis along which the screws of the first joint go, and one along which they do not.
fn axes(record: &Value) -> (usize, usize) {
    let direction = record["joints"][0]["direction"].as_array().expect("a direction");
    let along = direction.iter().position(|part| part != 0).expect("a way");
    (along, 1 - along)
}

/// The places of two joints that go into one base from two faces.
fn from_two_faces(record: &Value) -> (usize, usize) {
    let joints = record["joints"].as_array().expect("joints");
    let crosses = |a: &Value, b: &Value| {
        let turned = (0..3).all(|axis| a["direction"][axis] == 0 || b["direction"][axis] == 0);
        a["base"] == b["base"] && turned
    };
    let pairs = (0..joints.len()).flat_map(|a| (0..a).map(move |b| (a, b)));
    pairs.into_iter().find(|&(a, b)| crosses(&joints[a], &joints[b])).expect("joints from two faces")
}

/// The first joint with a slot.
fn slotted(record: &mut Value) -> &mut Value {
    let has_slot = |joint: &&mut Value| joint["slots"].as_array().is_some_and(|slots| !slots.is_empty());
    joints(record).iter_mut().find(has_slot).expect("a joint with a slot")
}

/// Puts the first head of the first joint into a ledger so far below its upper edge.
fn below_the_top_of_a_ledger(record: &mut Value, far: i64) {
    let ledger = entry(&mut record["parts"], "role", "ledger").clone();
    // A ledger of the seat lies along y, and is as wide as it is thick.
    let top = ledger["corner"][2].as_i64().expect("a height") + ledger["width"].as_i64().expect("a width");
    for joint in joints(record).iter_mut().filter(|joint| joint["direction"][2] == 0) {
        if joint["base"] == ledger["id"] {
            joint["heads"][0][2] = json!(top - far);
        }
    }
}

/// Sets what a bag is used for, as if all that follows from it followed.
fn order(record: &mut Value, what: &str, cubic_mm: i64) {
    entry(&mut record["needs"], "what", what)["cubic_mm"] = json!(cubic_mm);
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a screw is moved out of the timber",
        example: "posted-trough",
        does: |record| {
            let (_, across) = axes(record);
            move_screw(record, &across.to_string(), 200_000_000);
        },
        rule: "joints",
        says: "too near an end or edge",
    },
    Falsehood {
        name: "a head floats before the board",
        example: "posted-trough",
        does: |record| {
            let (along, _) = axes(record);
            move_screw(record, &along.to_string(), 10_000);
        },
        rule: "joints",
        says: "off the held part's face",
    },
    Falsehood {
        name: "a screw is set too near the end of the post",
        example: "tied-trough",
        does: |record| {
            // The ends of posts lie 10 above the ground and 20 below the top: no screw comes within 7 diameters of 4.5 mm.
            let lowest = joints(record)[0]["heads"].as_array_mut().expect("heads");
            lowest[0][2] = json!(10_000_000 + 31_000_000);
        },
        rule: "joints",
        says: "too near an end or edge",
    },
    Falsehood {
        name: "two screws meet in a post",
        example: "posted-trough",
        does: |record| {
            let (a, b) = from_two_faces(record);
            let height = record["joints"][b]["heads"][0][2].clone();
            let by =
                height.as_i64().expect("a height") - record["joints"][a]["heads"][0][2].as_i64().expect("a height");
            for head in joints(record)[a]["heads"].as_array_mut().expect("heads") {
                head[2] = json!(head[2].as_i64().expect("a height") + by);
            }
        },
        rule: "joints",
        says: "nearer to one another than two diameters",
    },
    Falsehood {
        name: "pilot and clearance are mixed up",
        example: "posted-trough",
        does: |record| {
            let joint = &mut joints(record)[0];
            (joint["pilot"], joint["clearance"]) = (joint["clearance"].clone(), joint["pilot"].clone());
        },
        rule: "joints",
        says: "do not grow",
    },
    Falsehood {
        name: "dense wood is bored as if it were light",
        example: "slats-along",
        does: |record| {
            let dense = joints(record).iter_mut().find(|joint| joint["pilot"] == 3_000_000).expect("dense wood");
            dense["pilot"] = json!(2_500_000);
        },
        rule: "joints",
        says: "the pilot hole of",
    },
    Falsehood {
        name: "a joint is missing",
        example: "posted-trough",
        does: |record| _ = joints(record).remove(3),
        rule: "joints",
        says: "nothing says so or why not",
    },
    Falsehood {
        name: "a joint is invented",
        example: "posted-trough",
        does: |record| {
            let base = joints(record)[0]["held"].clone();
            joints(record)[0]["base"] = base;
        },
        rule: "joints",
        says: "nothing in the plan asks to screw",
    },
    Falsehood {
        name: "a joint stands twice",
        example: "posted-trough",
        does: |record| {
            let again = joints(record)[0].clone();
            joints(record).push(again);
        },
        rule: "joints",
        says: "stands twice",
    },
    Falsehood {
        name: "one screw holds a wide board",
        example: "tied-trough",
        does: |record| _ = joints(record)[0]["heads"].as_array_mut().expect("heads").pop(),
        rule: "joints",
        says: "wants 2 or more",
    },
    Falsehood {
        name: "a slot is too short for what the board moves",
        example: "wide-boards",
        does: |record| add(slotted(record), "slots.0.length", -500_000),
        rule: "joints",
        says: "a slot of",
    },
    Falsehood {
        name: "a slot runs along the grain",
        example: "wide-boards",
        does: |record| {
            // The boards of the trough lie along x or y, and their slots stand upright.
            slotted(record)["slots"][0]["direction"] = json!([1_000_000_000_000_i64, 0, 0]);
        },
        rule: "joints",
        says: "and across the grain is",
    },
    Falsehood {
        name: "a wide board is held hard on both sides",
        example: "wide-boards",
        does: |record| slotted(record)["slots"] = json!([]),
        rule: "joints",
        says: "that stand in slots",
    },
    Falsehood {
        name: "nothing holds a wide board: its lowest row has slots too",
        example: "wide-boards",
        does: |record| {
            let mut again = slotted(record)["slots"][0].clone();
            let heads = [0, 1].map(Value::from);
            again["head"] = heads.into_iter().find(|head| *head != again["head"]).expect("another head");
            slotted(record)["slots"].as_array_mut().expect("slots").push(again);
        },
        rule: "joints",
        says: "that stand in slots",
    },
    Falsehood {
        name: "a slot reaches out of the board",
        example: "wide-boards",
        does: |record| add(slotted(record), "slots.0.length", 90_000_000),
        rule: "joints",
        says: "mm too near an end or edge of",
    },
    Falsehood {
        name: "a slot for a head that is not there",
        example: "wide-boards",
        does: |record| slotted(record)["slots"][0]["head"] = json!(7),
        rule: "joints",
        says: "that stand in slots",
    },
    Falsehood {
        name: "nobody is told of slots",
        example: "wide-boards",
        does: |record| {
            let notes = record["notes"].as_array_mut().expect("notes");
            notes.retain(|note| !note["text"].as_str().expect("a text").contains("slots"));
        },
        rule: "joints",
        says: "have slots, and no note tells of them",
    },
    Falsehood {
        name: "the why of a slot is forgotten",
        example: "wide-boards",
        does: |record| {
            let quantities = record["quantities"].as_array_mut().expect("quantities");
            quantities.retain(|quantity| !quantity["name"].as_str().expect("a name").ends_with(".slot"));
        },
        rule: "whys",
        says: ".slot` has no why",
    },
    Falsehood {
        name: "a screw comes near the edge towards which a seat presses it",
        example: "garden-seat",
        // 4 diameters: enough for an edge that is not loaded.
        does: |record| below_the_top_of_a_ledger(record, 20_000_000),
        rule: "joints",
        says: "too near an end or edge of",
    },
    Falsehood {
        name: "the why of a loaded edge is forgotten",
        example: "garden-seat",
        does: |record| {
            let quantities = record["quantities"].as_array_mut().expect("quantities");
            quantities.retain(|quantity| quantity["name"] != "screw.deck-5.from-loaded-edge");
        },
        rule: "whys",
        says: "`screw.deck-5.from-loaded-edge` has no why",
    },
    Falsehood {
        name: "a longer screw than is on sale",
        example: "posted-trough",
        does: |record| add(record, "joints.0.length", 1_000_000),
        rule: "joints",
        says: "is on sale",
    },
    Falsehood {
        name: "a longer screw than need be",
        example: "posted-trough",
        does: |record| add(record, "joints.0.length", 10_000_000),
        rule: "joints",
        says: "a shorter screw would do",
    },
    Falsehood {
        name: "a joint that can be made is called unmade",
        example: "tied-trough",
        does: |record| {
            let joint = joints(record).remove(0);
            let unmade = json!({
                "held": joint["held"], "base": joint["base"], "screw": joint["screw"],
                "why": "no room", "least": 0, "most": 0, "base_least": 0,
            });
            record["unmade"].as_array_mut().expect("a list").push(unmade);
        },
        rule: "joints",
        says: "and has some at",
    },
    Falsehood {
        name: "a joint is unmade for another reason",
        example: "upright-screen",
        does: |record| record["unmade"][0]["why"] = json!("too thin"),
        rule: "joints",
        says: "is said to be unmade for",
    },
    Falsehood {
        name: "nobody is told that one screw holds where two are asked for",
        example: "posted-trough",
        does: |record| {
            let notes = record["notes"].as_array_mut().expect("notes");
            notes.retain(|note| !note["text"].as_str().expect("a text").contains("instead of"));
        },
        rule: "joints",
        says: "and no note tells of it",
    },
    Falsehood {
        name: "a joint that can be made is said to meet others",
        example: "tied-trough",
        does: |record| {
            let joint = joints(record).remove(0);
            let unmade = json!({
                "held": joint["held"], "base": joint["base"], "screw": joint["screw"],
                "why": "would meet", "least": 0, "most": 0, "base_least": 0,
            });
            record["unmade"].as_array_mut().expect("a list").push(unmade);
        },
        rule: "joints",
        says: "and has some at",
    },
    Falsehood {
        name: "screws lie between the marks of the tape",
        example: "tied-trough",
        does: |record| {
            for head in joints(record)[0]["heads"].as_array_mut().expect("heads") {
                // Away from the screws of the panel beside it.
                head[2] = json!(head[2].as_i64().expect("a height") - 400_000);
            }
        },
        rule: "joints",
        says: "lie between marks of the tape",
    },
    Falsehood {
        name: "a contact by chance is left out though one screw alone holds the picket",
        example: "picket-box",
        does: |record| {
            for joint in joints(record) {
                joint["heads"].as_array_mut().expect("heads").truncate(1);
            }
        },
        rule: "joints",
        says: "nothing says so or why not",
    },
    Falsehood {
        name: "a joint that is made is left out like a contact by chance",
        example: "picket-box",
        does: |record| _ = joints(record).pop(),
        rule: "joints",
        says: "nothing says so or why not",
    },
    Falsehood {
        name: "parts that touch are said to touch nowhere",
        example: "posted-trough",
        does: |record| {
            let text = "No board of trough touches a post of posts: no screw is placed there, so see what holds it";
            record["notes"].as_array_mut().expect("notes").push(json!({ "piece": "trough", "text": text }));
        },
        rule: "joints",
        says: "touches nowhere",
    },
    Falsehood {
        name: "a number of a joint is forgotten",
        example: "posted-trough",
        does: |record| {
            let quantities = record["quantities"].as_array_mut().expect("quantities");
            quantities.retain(|quantity| quantity["name"] != "screw.steel.from-end");
        },
        rule: "whys",
        says: "`screw.steel.from-end` has no why",
    },
    Falsehood {
        name: "a bag too few",
        example: "posted-trough",
        does: |record| {
            let line = entry(&mut record["buying"]["materials"], "name", "soil");
            line["count"] = json!(line["count"].as_i64().expect("a count") - 1);
        },
        rule: "needs",
        says: "how many of bag `soil` to buy",
    },
    Falsehood {
        name: "a box of screws too few",
        example: "posted-trough",
        does: |record| {
            let line = entry(&mut record["buying"]["materials"], "kind", "screw");
            line["used"] = json!(line["used"].as_i64().expect("a count") - 20);
        },
        rule: "needs",
        says: "how much of screw `steel` is used",
    },
    Falsehood {
        name: "soil is sold for less",
        example: "posted-trough",
        does: |record| {
            let line = entry(&mut record["buying"]["materials"], "name", "soil");
            (line["price"], line["amount"]) = (json!(1), json!(5));
        },
        rule: "needs",
        says: "the price of bag `soil`",
    },
    Falsehood {
        name: "the posts are counted as soil",
        example: "tied-trough",
        // The room is 410 deep less 40 of mulch, 1964 or so long: what the record orders and eight posts of 47 · 47 · 360 more.
        does: |record| {
            let ordered = entry(&mut record["needs"], "what", "soil")["cubic_mm"].as_i64().expect("a volume");
            order(record, "soil", ordered + 8 * 47 * 47 * 360);
        },
        rule: "needs",
        says: "the plan needs",
    },
    Falsehood {
        name: "nothing is added for settling",
        example: "posted-trough",
        does: |record| {
            let ordered = entry(&mut record["needs"], "what", "planting soil")["cubic_mm"].as_i64().expect("a volume");
            order(record, "planting soil", ordered * 85 / 100);
        },
        rule: "needs",
        says: "the plan needs",
    },
    Falsehood {
        name: "the liner is cut shorter",
        example: "ell-on-feet",
        does: |record| {
            let need = entry(&mut record["needs"], "kind", "roll");
            need["length"] = json!(need["length"].as_i64().expect("a length") - 1);
        },
        rule: "needs",
        says: "the plan needs",
    },
    Falsehood {
        name: "an extra is forgotten",
        example: "posted-trough",
        does: |record| {
            let needs = record["needs"].as_array_mut().expect("needs");
            needs.retain(|need| need["kind"] != "extra");
        },
        rule: "needs",
        says: "the plan needs",
    },
    Falsehood {
        name: "something is bought that nothing needs",
        example: "tied-trough",
        does: |record| {
            let again = record["buying"]["materials"][0].clone();
            record["buying"]["materials"].as_array_mut().expect("materials").push(again);
        },
        rule: "needs",
        says: "is bought twice",
    },
    Falsehood {
        name: "gravel that should drain stands without the objection to it",
        example: "posted-trough",
        does: |record| {
            let notes = record["notes"].as_array_mut().expect("notes");
            notes.retain(|note| !note["text"].as_str().expect("a text").contains("gravel"));
        },
        rule: "needs",
        says: "nothing says why it does not",
    },
    Falsehood {
        name: "a screw at an angle leaves the plane of its face",
        example: "posted-hexagon",
        does: |record| {
            // The second joint goes into a side of the hexagon that lies askew: a hundredth of a millimetre along x.
            add(record, "joints.1.heads.0.0", 10_000);
        },
        rule: "joints",
        says: "off the held part's face",
    },
    Falsehood {
        name: "soil in a hexagon is ordered without what it settles",
        example: "posted-hexagon",
        does: |record| {
            let ordered = entry(&mut record["needs"], "what", "soil")["cubic_mm"].as_i64().expect("a volume");
            order(record, "soil", ordered * 8 / 10);
        },
        rule: "needs",
        says: "the plan needs",
    },
    Falsehood {
        name: "a post is turned about",
        example: "ell-on-feet",
        does: |record| {
            let post = entry(&mut record["parts"], "role", "post");
            (post["along"], post["across"]) = (post["across"].clone(), post["along"].clone());
        },
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "a panel lies level that should fall",
        example: "falling-floor",
        does: |record| entry(&mut record["parts"], "role", "panel")["lean"] = json!(0),
        rule: "geometry",
        says: "has heading and lean",
    },
];

#[test]
fn each_falsehood_is_found_by_its_rule() {
    all_are_found(FALSEHOODS);
}

/// The rules have looked at every joint and every need.
#[test]
fn joints_and_needs_are_looked_at() {
    for name in ["posted-trough", "ell-on-feet", "falling-floor", "slats-along", "tied-trough", "posted-hexagon"] {
        let example = Example::find(name);
        let verdict = example.judge(example.record);
        let joints = example.json()["joints"].as_array().expect("joints").len() as u64;
        let held = |rule: &str| verdict.checked.iter().find(|entry| entry.0 == rule).map_or(0, |entry| entry.1);
        assert!(joints > 0 && held("joints") > 10 * joints && held("needs") > 5, "{name}: {:?}", verdict.checked);
    }
}
