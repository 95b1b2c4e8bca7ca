//! The way home: what the yard parts, for what fee, and what does not pass the door.

use crate::falsehood::{Falsehood, all_are_found};
use crate::records::{Example, at};
use serde_json::{Value, json};

fn without_note(record: &mut Value, begins: &str) {
    let notes = at(record, "buying.notes").as_array_mut().expect("a list");
    notes.retain(|note| !note.as_str().is_some_and(|note| note.starts_with(begins)));
}

#[test]
fn falsehoods_about_the_way_home_are_found() {
    let falsehood = |name, does, rule, says| Falsehood { name, example: "long-boards", does, rule, says };
    all_are_found(&[
        falsehood(
            "a piece longer than the car",
            |r| *at(r, "buying.home.parted.0.pieces") = json!([3_829_000_000_i64, 1_171_000_000]),
            "buying",
            "what the yard parts",
        ),
        falsehood(
            "more to spare",
            |r| *at(r, "buying.home.parted.0.left") = json!(461_000_000),
            "buying",
            "what the yard",
        ),
        falsehood("a lower fee", |r| *at(r, "buying.home.fee") = json!(0), "buying", "what the yard parts"),
        falsehood("fewer cuts", |r| *at(r, "buying.home.cuts") = json!(8), "buying", "what the yard parts"),
        falsehood(
            "the sheet is not parted",
            |r| drop(at(r, "buying.home.parted").as_array_mut().map(|parted| parted.pop())),
            "buying",
            "what the yard parts",
        ),
        falsehood(
            "nothing is parted",
            |r| drop(at(r, "buying").as_object_mut().map(|buying| buying.remove("home"))),
            "buying",
            "what the yard parts",
        ),
        falsehood("the door is not told", |r| without_note(r, "door:"), "whys", "do not pass the door"),
        falsehood(
            "a door for what passes",
            |r| {
                let notes = at(r, "buying.notes").as_array_mut().expect("a list");
                notes.push(json!("door: store, put together, is 600 mm at the least"));
            },
            "whys",
            "store do not pass the door",
        ),
        falsehood(
            "a pattern that is not parted",
            |r| {
                let notes = at(r, "buying.notes").as_array_mut().expect("a list");
                notes.push(json!("not parted: larch"));
            },
            "buying",
            "told as not parted",
        ),
    ]);
}

/// Worked by hand: 5 + 1563 + 3 = 1571, then 3 to square it, 1563 + 703 and 3 = 2272; the yard takes 4 twice, and 1149 are left; of
/// the slack of 461 two cuts take 3 + 4 + 3 each. The sheet: 5 + 3 + 2 · 403 = 814, and 2500 - 814 - 4 are left. 4 · 2 + 1 = 9 cuts, eight of them at 1.50.
#[test]
fn the_record_is_as_worked_by_hand() {
    let mut record = Example::find("long-boards").json();
    let mm = |lengths: &[i64]| json!(lengths.iter().map(|length| length * 1_000_000).collect::<Vec<i64>>());
    assert_eq!(*at(&mut record, "buying.home.parted.0.pieces"), mm(&[1571, 2272, 1149]));
    assert_eq!(*at(&mut record, "buying.home.parted.0.left"), json!(441_000_000));
    assert_eq!(*at(&mut record, "buying.home.parted.1.pieces"), mm(&[814, 1682]));
    assert_eq!(
        (at(&mut record, "buying.home.cuts").clone(), at(&mut record, "buying.home.fee").clone()),
        (json!(9), json!(1200))
    );
}
