//! Falsehoods in builds whose boards lap.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::{Example, at};
use audit::{Texts, audit};
use serde_json::{Value, json};

/// A part of the cladding by its role, face and course.
fn part<'v>(record: &'v mut Value, role: &str, face: &str, course: i64) -> &'v mut Value {
    let parts = record["parts"].as_array_mut().expect("parts");
    let is = |part: &&mut Value| {
        part["piece"] == "skin" && part["role"] == role && part["face"] == face && part["course"] == course
    };
    parts.iter_mut().find(is).expect("a part")
}

fn quantity<'v>(record: &'v mut Value, name: &str) -> &'v mut Value {
    let all = record["quantities"].as_array_mut().expect("numbers");
    all.iter_mut().find(|quantity| quantity["name"] == name).expect("a number of this name")
}

fn add(value: &mut Value, path: &str, by: i64) {
    let value = at(value, path);
    *value = json!(value.as_i64().expect("a number") + by);
}

/// Moves the first head of the first joint of a part of the cladding's front along the axes, in nanometres.
fn move_head(record: &mut Value, course: i64, by: [i64; 3]) {
    let id = part(record, "board", "front", course)["id"].clone();
    let joints = record["joints"].as_array_mut().expect("joints");
    let joint = joints.iter_mut().find(|joint| joint["held"] == id).expect("a joint of the board");
    for (axis, by) in by.into_iter().enumerate() {
        add(joint, &format!("heads.0.{axis}"), by);
    }
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a screw of a lapped board is driven straight into the wall",
        example: "lapped-on-posts",
        does: |record| {
            let id = part(record, "board", "front", 1)["id"].clone();
            let joints = record["joints"].as_array_mut().expect("joints");
            let joint = joints.iter_mut().find(|joint| joint["held"] == id).expect("a joint of the board");
            joint["direction"] = json!([0, 1_000_000_000_000_i64, 0]);
        },
        rule: "joints",
        says: "its face looks",
    },
    Falsehood {
        name: "a screw of a lapped board pins the board below",
        example: "lapped-on-posts",
        // Down its outer face, so that the head still lies on it.
        does: |record| move_head(record, 1, [0, -4_200_000, -30_000_000]),
        rule: "joints",
        says: "off the part of the board that it may",
    },
    Falsehood {
        name: "a screw of a lapped board goes through what lies behind it",
        example: "lapped-on-posts",
        does: |record| {
            let high = |part: &Value| part["corner"][2].as_i64().expect("a height");
            let up = high(part(record, "board", "front", 1)) - high(part(record, "board", "front", 0));
            let strip = part(record, "starter", "front", 0);
            add(strip, "corner.2", up);
        },
        rule: "joints",
        says: "on its way",
    },
    Falsehood {
        name: "the air behind a lapped board is forgotten",
        example: "lapped-on-posts",
        does: |record| {
            let all = record["quantities"].as_array_mut().expect("numbers");
            let is = |quantity: &&mut Value| {
                quantity["name"].as_str().is_some_and(|name| name.starts_with("joint.") && name.ends_with(".least"))
            };
            let least = all.iter_mut().find(is).expect("a least length");
            *at(least, "inputs.2.value") = json!(0);
        },
        rule: "whys",
        says: "least",
    },
    Falsehood {
        name: "walls too thin for the screws are said to take them",
        example: "lapped-on-posts",
        does: |record| {
            record["unmade"].as_array_mut().expect("what is unmade").pop();
        },
        rule: "joints",
        says: "nothing says so or why not",
    },
    Falsehood {
        name: "a board is hung two micrometres off the one below",
        example: "lapped-box",
        does: |record| add(part(record, "board", "front", 2), "corner.1", -2_000),
        rule: "geometry",
        says: "does not lie on",
    },
    Falsehood {
        name: "a square-edged board is pressed into the one below",
        example: "lapped-ell",
        does: |record| add(part(record, "board", "front", 1), "corner.1", 4_000),
        rule: "overlap",
        says: "overlaps",
    },
    Falsehood {
        name: "a board lies a millimetre off its mark",
        example: "lapped-ell",
        does: |record| add(part(record, "board", "left", 2), "corner.2", 1_000_000),
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "a board is said to lean less",
        example: "lapped-box",
        does: |record| add(part(record, "board", "right", 0), "lean", 1_000),
        rule: "geometry",
        says: "heading and lean",
    },
    Falsehood {
        name: "a feather edge is left thick",
        example: "lapped-box",
        does: |record| {
            let planes = part(record, "board", "back", 1)["planes"].as_array_mut().expect("planes");
            let lengthwise = planes.iter().position(|plane| plane["normal"][0] == 0).expect("the feather edge");
            planes.remove(lengthwise);
        },
        rule: "geometry",
        says: "is not trimmed",
    },
    Falsehood {
        name: "a mitre is cut square",
        example: "lapped-ell",
        does: |record| {
            let planes = part(record, "board", "inner right", 0)["planes"].as_array_mut().expect("planes");
            planes.pop();
        },
        rule: "geometry",
        says: "is not trimmed",
    },
    Falsehood {
        name: "the starter is set lower, so that the lowest board is not held",
        example: "lapped-ell",
        does: |record| add(part(record, "starter", "front", 0), "corner.2", -1_000_000),
        rule: "geometry",
        says: "does not lie on",
    },
    Falsehood {
        name: "a starter is dropped",
        example: "lapped-box",
        does: |record| {
            let parts = record["parts"].as_array_mut().expect("parts");
            let starter = parts.iter().position(|part| part["role"] == "starter").expect("a starter");
            parts.remove(starter);
        },
        rule: "geometry",
        says: "nothing fills the slot",
    },
    Falsehood {
        name: "the lap is said to be more than it is",
        example: "lapped-box",
        does: |record| add(quantity(record, "skin.lap"), "value", 1_000_000),
        rule: "whys",
        says: "`skin.lap`",
    },
    Falsehood {
        name: "the lean is reckoned from a thicker upper edge",
        example: "lapped-box",
        does: |record| add(quantity(record, "skin.lean"), "inputs.2.value", 1_000_000),
        rule: "whys",
        says: "`skin.lean`",
    },
    Falsehood {
        name: "the screws are set nearer to the edge than the rule has them",
        example: "lapped-ell",
        does: |record| add(quantity(record, "skin.screw-line"), "inputs.3.value", -5_000_000),
        rule: "whys",
        says: "`skin.screw-line`",
    },
    Falsehood {
        name: "the cover has no why",
        example: "lapped-box",
        does: |record| {
            let all = record["quantities"].as_array_mut().expect("numbers");
            all.retain(|quantity| quantity["name"] != "skin.cover");
        },
        rule: "whys",
        says: "`skin.cover` has no why",
    },
    Falsehood {
        name: "the range of the cover is widened",
        example: "lapped-box",
        does: |record| {
            let gaps = record["fit"]["gaps"].as_array_mut().expect("gaps");
            let cover = gaps.iter_mut().find(|gap| gap["name"] == "skin.cover").expect("a cover");
            add(cover, "to", 1_000_000);
        },
        rule: "stock",
        says: "skin.cover",
    },
    Falsehood {
        name: "the marks are said to be boards side by side",
        example: "lapped-box",
        does: |record| {
            let rows = record["rows"].as_array_mut().expect("rows");
            let row = rows.iter_mut().find(|row| row["piece"] == "skin").expect("a row");
            row["pattern"] = json!([150_000_000]);
        },
        rule: "geometry",
        says: "the members of",
    },
];

#[test]
fn every_falsehood_is_found() {
    all_are_found(FALSEHOODS);
}

/// The same record does not pass where the yard's boards have another thin edge, none, or one where nothing laps.
#[test]
fn the_thin_edge_is_the_yards() {
    let example = Example::find("lapped-box");
    for (from, to) in
        [("thin-edge = 6", "thin-edge = 7"), ("thin-edge = 6\n", ""), ("width = 120", "thin-edge = 9\nwidth = 120")]
    {
        let yard = example.yard.replacen(from, to, 1);
        assert_ne!(yard, example.yard);
        let verdict =
            audit(&Texts { plan: example.plan, yard: &yard, shed: example.shed, daybook: "" }, example.record);
        assert!(!verdict.passed(), "{from} for {to}");
    }
}

/// What is refused is refused by the referee as well, and nothing panics.
#[test]
fn nonsense_is_no_plan() {
    let example = Example::find("lapped-ell");
    for (from, to) in [
        ("from = 4, to = \"4-1/2\"", "from = 1, to = 4"),
        ("from = 4, to = \"4-1/2\"", "from = 4, to = 6"),
        ("starter = \"strip\"", "starter = \"one-by-six\""),
        ("boards = \"lapped\"", "boards = \"lapped\"\ncorners = \"front through\""),
        ("boards = \"lapped\"", "boards = \"lapped\"\ngap = 0"),
    ] {
        let plan = example.plan.replacen(from, to, 1);
        assert_ne!(plan, example.plan, "{from}");
        let verdict =
            audit(&Texts { plan: &plan, yard: example.yard, shed: example.shed, daybook: "" }, example.record);
        assert!(!verdict.passed(), "{from} for {to}");
    }
}
