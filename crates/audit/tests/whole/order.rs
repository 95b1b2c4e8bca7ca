//! Orders of making in which a build cannot be made, each with the rule that has to find it.

use crate::falsehood::{Falsehood, all_are_found};
use serde_json::{Value, json};

fn steps(record: &mut Value) -> &mut Vec<Value> {
    record["steps"].as_array_mut().expect("steps")
}

/// The place of a step of a piece that does some work: the first, or the last one.
fn find(record: &mut Value, work: &str, piece: &str, last: bool) -> usize {
    let is = |step: &Value| step["work"] == work && step["piece"] == piece;
    let steps = steps(record);
    let found = if last { steps.iter().rposition(is) } else { steps.iter().position(is) };
    found.expect("such a step")
}

/// Puts the step at one place before the one at another, and lets no step wait for another any more.
fn put(record: &mut Value, from: usize, to: usize) {
    let steps = steps(record);
    let step = steps.remove(from);
    steps.insert(to, step);
    steps.iter_mut().for_each(|step| step["after"] = json!([]));
}

/// Puts the last step of one piece before the first of another.
fn swap(record: &mut Value, [late, early]: [&str; 2]) {
    let (from, to) = (find(record, "place", late, true), find(record, "place", early, false));
    put(record, from, to);
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a floor whose bearers lie on air is not told",
        example: "hexagon-of-slats",
        does: |record| {
            let notes = record["notes"].as_array_mut().expect("notes");
            notes.retain(|note| !note["text"].as_str().is_some_and(|text| text.contains("carries floor")));
        },
        rule: "steps",
        says: "nothing carries floor",
    },
    Falsehood {
        name: "walls on the ground are said to hover",
        example: "posted-trough",
        does: |record| {
            let note = json!({ "piece": "trough", "text": "Nothing in this plan carries trough: it hovers." });
            record["notes"].as_array_mut().expect("notes").push(note);
        },
        rule: "steps",
        says: "`trough` is said to be carried by nothing",
    },
    Falsehood {
        name: "posts stand before the floor that they rest on",
        example: "posted-trough",
        does: |record| swap(record, ["posts", "floor"]),
        rule: "steps",
        says: "rests on",
    },
    Falsehood {
        name: "cladding hides screws that are not driven",
        example: "tier-on-soil",
        does: |record| swap(record, ["skin", "bed"]),
        rule: "steps",
        says: "covers the screws of",
    },
    Falsehood {
        name: "cut ends are not treated",
        example: "posted-trough",
        does: |record| {
            let at = find(record, "treat", "posts", false);
            steps(record).remove(at);
            steps(record).iter_mut().for_each(|step| step["after"] = json!([]));
        },
        rule: "steps",
        says: "no step treats it before",
    },
    Falsehood {
        name: "a loose floor lies before the walls round it stand",
        example: "slats-along",
        does: |record| swap(record, ["floor", "box"]),
        rule: "steps",
        says: "`floor` is begun before `box` is done",
    },
    Falsehood {
        name: "a floor is cut before its room is measured",
        example: "slats-along",
        does: |record| {
            let (from, to) = (find(record, "measure", "floor", false), find(record, "place", "box", false));
            put(record, from, to);
        },
        rule: "steps",
        says: "before the inside of `box` is measured",
    },
    Falsehood {
        name: "ties bar the way of slats",
        example: "slats-along",
        does: |record| swap(record, ["posts", "floor"]),
        rule: "steps",
        says: "lies over the way in of",
    },
    Falsehood {
        name: "a liner lies under the floor that it lies on",
        example: "posted-trough",
        does: |record| swap(record, ["lining", "floor"]),
        rule: "steps",
        says: "`lining` is begun before `floor` is done",
    },
    Falsehood {
        name: "soil is filled in before the liner lies",
        example: "posted-trough",
        does: |record| swap(record, ["soil", "lining"]),
        rule: "steps",
        says: "`soil` is begun before `lining` is done",
    },
    Falsehood {
        name: "rails are screwed on behind a liner",
        example: "ell-on-feet",
        does: |record| swap(record, ["lining", "posts"]),
        rule: "steps",
        says: "covers the inner faces of",
    },
    Falsehood {
        name: "something is fitted to what is not together",
        example: "posted-trough",
        does: |record| swap(record, ["hooks", "trough"]),
        rule: "steps",
        says: "`hooks` is begun before `trough` is done",
    },
    Falsehood {
        name: "what is wanted first comes last",
        example: "tier-on-soil",
        does: |record| {
            let (from, to) = (find(record, "place", "labels", false), find(record, "place", "top", false));
            put(record, from, to);
        },
        rule: "steps",
        says: "`tier` is begun before `labels` is done",
    },
    Falsehood {
        name: "concrete hardens in a day",
        example: "level-screen",
        does: |record| {
            let at = find(record, "wait", "screen", false);
            steps(record)[at]["hours"] = json!(24);
        },
        rule: "steps",
        says: "nothing waits 48 hours for the concrete",
    },
    Falsehood {
        name: "nothing waits for concrete",
        example: "level-screen",
        does: |record| {
            let at = find(record, "wait", "screen", false);
            steps(record).remove(at);
            steps(record).iter_mut().for_each(|step| step["after"] = json!([]));
        },
        rule: "steps",
        says: "nothing waits 48 hours for the concrete",
    },
    Falsehood {
        name: "slats hang on posts in wet concrete",
        example: "level-screen",
        does: |record| {
            let (from, to) = (find(record, "place", "screen", true), find(record, "wait", "screen", false));
            put(record, from, to);
        },
        rule: "steps",
        says: "before its concrete is hard",
    },
    Falsehood {
        name: "a wait for posts comes before they stand",
        example: "level-screen",
        does: |record| {
            let (from, to) = (find(record, "wait", "screen", false), find(record, "place", "screen", false));
            put(record, from, to);
        },
        rule: "steps",
        says: "which does not stand",
    },
    Falsehood {
        name: "slats hang on posts that do not stand",
        example: "level-screen",
        does: |record| swap(record, ["screen", "screen"]),
        rule: "steps",
        says: "before all of them stand",
    },
    Falsehood {
        name: "a tier stands before the soil under it is there",
        example: "tier-on-soil",
        does: |record| {
            let (from, to) = (find(record, "place", "tier", false), find(record, "place", "soil", false));
            put(record, from, to);
        },
        rule: "steps",
        says: "`tier` stands on `soil`",
    },
    Falsehood {
        name: "the inside of a tier is filled twice",
        example: "tier-on-soil",
        does: |record| {
            let quantities = record["quantities"].as_array_mut().expect("quantities");
            let volume = quantities.iter_mut().find(|one| one["name"] == "soil.layer-2.volume").expect("a volume");
            let enclosed = volume["inputs"].as_array_mut().expect("inputs").pop().expect("an input");
            let sum = volume["value"].as_i64().zip(enclosed["value"].as_i64());
            volume["value"] = json!(sum.map(|(volume, enclosed)| volume + enclosed).expect("numbers"));
        },
        rule: "whys",
        says: "soil.layer-2.volume",
    },
];

#[test]
fn orders_that_cannot_be_kept_are_found() {
    all_are_found(FALSEHOODS);
}
