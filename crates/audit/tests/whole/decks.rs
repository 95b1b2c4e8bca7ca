//! Decks, seats, pads and screens: what was worked outside this project, and ways in which their records can be false.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::Example;
use serde_json::{Value, json};

const MM: i64 = 1_000_000;
const INCH: i64 = 25_400_000;

fn whole(value: &Value) -> i64 {
    value.as_i64().expect("a whole number")
}

fn add(value: &mut Value, by: i64) {
    *value = json!(whole(value) + by);
}

fn list<'v>(record: &'v mut Value, name: &str) -> &'v mut Vec<Value> {
    record[name].as_array_mut().expect("a list")
}

/// The part of a role on a face with an index.
fn part<'v>(record: &'v mut Value, role: &str, face: &str, index: i64) -> &'v mut Value {
    let own = |part: &&mut Value| {
        (&part["role"], &part["face"], &part["index"]) == (&json!(role), &json!(face), &json!(index))
    };
    list(record, "parts").iter_mut().find(own).expect("such a part")
}

fn quantity<'v>(record: &'v mut Value, name: &str) -> &'v mut Value {
    list(record, "quantities").iter_mut().find(|quantity| quantity["name"] == name).expect("such a number")
}

/// The limit whose name has these words.
fn limit<'v>(record: &'v mut Value, words: &str) -> &'v mut Value {
    let has = |limit: &&mut Value| limit["name"].as_str().expect("a name").contains(words);
    record["fit"]["relations"].as_array_mut().expect("limits").iter_mut().find(has).expect("such a limit")
}

/// Moves all parts of a role along an axis.
fn move_all(record: &mut Value, role: &str, axis: usize, by: i64) {
    list(record, "parts")
        .iter_mut()
        .filter(|part| part["role"] == role)
        .for_each(|part| add(&mut part["corner"][axis], by));
}

const FALSEHOODS: &[Falsehood] = &[
    Falsehood {
        name: "a leg is too short, and stands on air",
        example: "deck-on-legs",
        does: |record| {
            let leg = part(record, "leg", "front", 1);
            add(&mut leg["length"], -MM);
            add(&mut leg["corner"][2], MM);
        },
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "two legs change places",
        example: "deck-on-legs",
        does: |record| {
            let (left, right) = (
                part(record, "leg", "front", 0)["corner"][0].clone(),
                part(record, "leg", "front", 2)["corner"][0].clone(),
            );
            part(record, "leg", "front", 0)["corner"][0] = right;
            part(record, "leg", "front", 2)["corner"][0] = left;
        },
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "a leg is as long as if the pad under it were forgotten",
        example: "deck-on-legs",
        does: |record| {
            let leg = quantity(record, "frame.back.leg-3.length");
            (leg["inputs"][2]["value"], leg["value"]) = (json!(0), json!(340 * MM));
        },
        rule: "whys",
        says: "the inputs of `frame.back.leg-3.length`",
    },
    Falsehood {
        name: "a joist is left out",
        example: "deck-on-legs",
        does: |record| {
            list(record, "parts").retain(|part| (&part["role"], &part["index"]) != (&json!("joist"), &json!(3)))
        },
        rule: "geometry",
        says: "nothing fills the slot",
    },
    Falsehood {
        name: "joists stand further apart than their spacing",
        example: "deck-on-legs",
        does: |record| {
            let bays = quantity(record, "frame.joist.bays");
            (bays["inputs"][1]["value"], bays["value"]) = (json!(500 * MM), json!(5));
        },
        rule: "whys",
        says: "the inputs of `frame.joist.bays`",
    },
    Falsehood {
        name: "the deck reaches further over its frame in front than behind",
        example: "deck-on-legs",
        does: |record| ["rim", "joist", "leg"].iter().for_each(|role| move_all(record, role, 1, 2 * MM)),
        rule: "geometry",
        says: "how far deck reaches over frame",
    },
    Falsehood {
        name: "the ground may hold more legs than it has heights for",
        example: "deck-on-legs",
        does: |record| limit(record, "at most 2400 mm")["to"] = json!(3_600 * MM),
        rule: "stock",
        says: "the plan asks no such limit",
    },
    Falsehood {
        name: "a deck is lifted without its frame",
        example: "deck-on-legs",
        does: |record| {
            let lifted = quantity(record, "deck.lifted");
            lifted["inputs"].as_array_mut().expect("inputs").truncate(2);
            lifted["value"] = lifted["inputs"][1]["value"].clone();
        },
        rule: "whys",
        says: "the inputs of `deck.lifted`",
    },
    Falsehood {
        name: "legs inside the frame without bolts",
        example: "low-decks",
        does: |record| list(record, "quantities").retain(|quantity| quantity["name"] != "frame.bolts"),
        rule: "whys",
        says: "`frame.bolts` has no why",
    },
    Falsehood {
        name: "a leg inside stands on the other side of its joist",
        example: "low-decks",
        does: |record| add(&mut part(record, "leg", "front", 1)["corner"][0], -(70 + 45) * MM),
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "the boards of a walk lie the other way",
        example: "low-decks",
        does: |record| {
            let walk = list(record, "parts").iter_mut().find(|part| part["piece"] == "walk").expect("a walk");
            (walk["along"], walk["across"]) = (walk["across"].clone(), walk["along"].clone());
        },
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "a bearer is shifted",
        example: "garden-seat",
        does: |record| {
            add(&mut part(record, "bearer", "front", 0)["corner"][0], 10 * MM);
            ["front", "back"].iter().for_each(|face| add(&mut part(record, "leg", face, 0)["corner"][0], 10 * MM));
        },
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "a ledger hangs lower than the boards",
        example: "garden-seat",
        does: |record| add(&mut part(record, "ledger", "right", 0)["corner"][2], -MM),
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "bearers may stand in the ground",
        example: "garden-seat",
        does: |record| limit(record, "the bearers of seat must be at least 20 mm")["from"] = json!(-100 * MM),
        rule: "stock",
        says: "the plan asks no such limit",
    },
    Falsehood {
        name: "a span is longer than it may be",
        example: "garden-seat",
        does: |record| {
            let bays = quantity(record, "seat.bearer.bays");
            (bays["inputs"][1]["value"], bays["value"]) = (json!(900 * MM), json!(1));
        },
        rule: "whys",
        says: "the inputs of `seat.bearer.bays`",
    },
    Falsehood {
        name: "one planter is lifted without the seat",
        example: "garden-seat",
        does: |record| {
            let lifted = quantity(record, "right.lifted");
            lifted["inputs"].as_array_mut().expect("inputs").truncate(2);
            lifted["value"] = lifted["inputs"][1]["value"].clone();
        },
        rule: "whys",
        says: "the inputs of `right.lifted`",
    },
    Falsehood {
        name: "a row of pavers is missing",
        example: "garden-seat",
        does: |record| {
            list(record, "parts").retain(|part| (&part["role"], &part["course"]) != (&json!("unit"), &json!(2)))
        },
        rule: "geometry",
        says: "nothing fills the slot",
    },
    Falsehood {
        name: "more of the pad shows on one side than on the other",
        example: "garden-seat",
        does: |record| {
            let in_front = list(record, "parts")
                .iter_mut()
                .filter(|part| (&part["role"], &part["course"]) == (&json!("unit"), &json!(0)));
            in_front.for_each(|part| add(&mut part["corner"][1], -3 * MM));
        },
        rule: "geometry",
        says: "what shows of pad",
    },
    Falsehood {
        name: "pavers stand out of the ground",
        example: "garden-seat",
        does: |record| move_all(record, "unit", 2, MM),
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "a post is not deep enough",
        example: "level-screen",
        does: |record| {
            let post = part(record, "post", "front", 2);
            add(&mut post["length"], -INCH);
            add(&mut post["corner"][2], INCH);
        },
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "posts are said to need no more than a foot in the ground",
        example: "level-screen",
        does: |record| {
            let buried = quantity(record, "screen.front.post-1.buried");
            (buried["inputs"][1]["value"], buried["inputs"][3]["value"]) = (json!(2500), json!(12 * INCH));
            buried["value"] = json!(12 * INCH);
        },
        rule: "whys",
        says: "the inputs of `screen.front.post-1.buried`",
    },
    Falsehood {
        name: "a hole without room for gravel",
        example: "level-screen",
        does: |record| {
            let hole = quantity(record, "screen.right.post-1.hole");
            (hole["inputs"][1]["value"], hole["value"]) = (json!(0), hole["inputs"][0]["value"].clone());
        },
        rule: "whys",
        says: "the inputs of `screen.right.post-1.hole`",
    },
    Falsehood {
        name: "concrete without waste",
        example: "level-screen",
        does: |record| list(record, "needs").iter_mut().for_each(|need| need["cubic_mm"] = json!(109_715_853)),
        rule: "needs",
        says: "the plan needs",
    },
    Falsehood {
        name: "the slats of the return run past those of the front",
        example: "level-screen",
        does: |record| {
            let slat = part(record, "slat", "right", 0);
            add(&mut slat["length"], 3 * INCH / 4);
            add(&mut slat["corner"][1], -3 * INCH / 4);
        },
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "slats may reach into the ground",
        example: "level-screen",
        does: |record| limit(record, "down to the highest ground")["to"] = json!(60 * INCH),
        rule: "stock",
        says: "the plan asks no such limit",
    },
    Falsehood {
        name: "a rail sits too low",
        example: "upright-screen",
        does: |record| add(&mut part(record, "rail", "right", 0)["corner"][2], -5 * MM),
        rule: "geometry",
        says: "belongs from",
    },
    Falsehood {
        name: "rails pass before the slats",
        example: "upright-screen",
        does: |record| move_all(record, "rail", 1, -19 * MM),
        rule: "overlap",
        says: "overlaps",
    },
    Falsehood {
        name: "a slat of the return is missing",
        example: "upright-screen",
        does: |record| {
            list(record, "parts").retain(|part| {
                (&part["role"], &part["face"], &part["index"]) != (&json!("slat"), &json!("right"), &json!(2))
            })
        },
        rule: "geometry",
        says: "nothing fills the slot",
    },
];

#[test]
fn every_falsehood_is_found_by_its_rule() {
    all_are_found(FALSEHOODS);
}

/// The values of some numbers of an example.
fn values(example: &str, names: &[&str]) -> Vec<i64> {
    let mut record = Example::find(example).json();
    names.iter().map(|name| whole(&quantity(&mut record, name)["value"])).collect()
}

/// Worked outside this project (a platform bench): eight boards of 145 with 6 between them are 1202 wide; the frame is 2360 by
/// 1162 with seven joists of 1072, 385.8 from centre to centre; on ground that lies 0, 24, 47, 8, 31 and 56 below the first leg
/// the legs are 234, 258, 281, 242, 265 and 290 long; 112 screws at two to a crossing are three packs of 50; the boards weigh 58 kg
/// and the whole bench 95.
#[test]
fn a_platform_on_six_legs() {
    let names = ["deck.width", "frame.rim.length", "frame.width", "frame.joist.length", "frame.joist.bays"];
    assert_eq!(values("deck-on-legs", &names), [1_202 * MM, 2_360 * MM, 1_162 * MM, 1_072 * MM, 6]);
    let pitch = values("deck-on-legs", &["frame.joist.pitch"])[0];
    assert_eq!((pitch + 50_000) / 100_000, 3_858);
    let legs = ["front.leg-1", "front.leg-2", "front.leg-3", "back.leg-1", "back.leg-2", "back.leg-3"];
    let legs = legs.map(|leg| format!("frame.{leg}.length"));
    let lengths = values("deck-on-legs", &legs.each_ref().map(String::as_str));
    assert_eq!(lengths, [234, 258, 281, 242, 265, 290].map(|leg| leg * MM));
    assert_eq!(values("deck-on-legs", &["deck.screws", "material.screw.deck-5.55.count"]), [112, 3]);
    let kilograms = values("deck-on-legs", &["deck.mass", "deck.lifted"]).into_iter().map(|mass| (mass + MM / 2) / MM);
    assert_eq!(kilograms.collect::<Vec<_>>(), [58, 95]);
}

/// Worked outside this project (a slatted bin screen): posts under a top 48 above the ground of 0, -1-1/4, -2-1/2 and -3 inches
/// are buried by 24, 25, 26 and 26 and 72, 74-1/4, 76-1/2 and 77 long, in holes of 28 to 30 with 4 of gravel; slats of 84-3/4 and
/// of 42; concrete with a tenth of waste is 4.262 ft³, or eight bags of 0.60 ft³ (17 litres to the whole litre).
#[test]
fn a_screen_on_falling_ground() {
    let posts = ["front.post-1", "front.post-2", "front.post-3", "right.post-1"];
    let of = |what: &str| {
        let names = posts.map(|post| format!("screen.{post}.{what}"));
        values("level-screen", &names.each_ref().map(String::as_str))
    };
    assert_eq!(of("buried"), [24, 25, 26, 26].map(|inches| inches * INCH));
    assert_eq!(of("length"), [288, 297, 306, 308].map(|quarters| quarters * INCH / 4));
    assert_eq!(of("hole"), [28, 29, 30, 30].map(|inches| inches * INCH));
    let slats = values("level-screen", &["screen.front.slat.length", "screen.right.slat.length"]);
    assert_eq!(slats, [339 * INCH / 4, 42 * INCH]);
    let concrete = values("level-screen", &["screen.concrete", "material.bag.concrete-80.count"]);
    // A cubic foot is 28 316 846.592 mm³ (international yard and pound agreement, 1959).
    assert_eq!((concrete[0] as f64 / 28_316.846_592).round(), 4_262.0);
    assert_eq!(concrete[1], 8);
}

/// By hand: two planters of 480 and 800 between them leave a bearer of 32 at ⌊(2 · 800 - 2 · 32) / 4⌋ = 384 from the left one; boards
/// with 3 of play are 794 long; legs on feet of 20 under a seat whose rim lies at 300 and whose boards are 32 thick are 248.
#[test]
fn a_seat_on_one_bearer() {
    let names = ["seat.clear", "seat.board.length", "seat.ledger.length", "seat.bearer.bays", "seat.leg.length"];
    let apart = values("garden-seat", &["right.apart"])[0];
    assert_eq!(values("garden-seat", &names), [apart, apart - 6 * MM, 440 * MM, 2, 248 * MM]);
    let mut record = Example::find("garden-seat").json();
    let bearer = whole(&part(&mut record, "bearer", "front", 0)["corner"][0]);
    assert_eq!(bearer, 480 * MM + (apart - 32 * MM) / 2);
}
