//! The sentence: every combination of its words makes files that are read without a fault, and that come out or say what would
//! let them.

use crate::common::{Build, ask};
use serde_json::{Map, Value, json};

fn start(units: &str, words: &Map<String, Value>) -> Value {
    let answer = ask(&json!({ "ask": "start", "units": units, "words": words }));
    assert!(answer["ok"].is_object(), "{answer}");
    answer["ok"].clone()
}

fn build(said: &Value) -> Build {
    Build {
        plan: said["plan"].as_str().expect("a plan").to_owned(),
        files: said["files"].as_object().expect("files").clone(),
    }
}

/// Calls `each` with every combination of words that can be tapped.
fn every(units: &str, words: &Map<String, Value>, each: &mut dyn FnMut(&Map<String, Value>, &Value)) {
    let said = start(units, words);
    let parts = said["sentence"].as_array().expect("a sentence");
    let open = parts
        .iter()
        .find(|part| part["choices"].is_array() && !words.contains_key(part["word"].as_str().unwrap_or_default()));
    let Some(word) = open else { return each(words, &said) };
    for choice in word["choices"].as_array().expect("choices") {
        let mut more = words.clone();
        more.insert(word["word"].as_str().expect("a word").to_owned(), choice["is"].clone());
        every(units, &more, each);
    }
}

/// The sentence as it is read.
fn spoken(said: &Value) -> String {
    let parts = said["sentence"].as_array().expect("a sentence").iter();
    parts.map(|part| part.as_str().or(part["shown"].as_str()).expect("text or a word")).collect()
}

/// Every combination in both units: it is read, and comes out or clashes with ways out; some are settled and refereed.
#[test]
fn every_combination_comes_out_or_says_what_would() {
    let (mut looked_at, mut all, mut clashes, mut settled, mut loose) = (0, 0, Vec::new(), 0, Vec::new());
    for units in ["mm", "in"] {
        every(units, &Map::new(), &mut |words, said| {
            all += 1;
            // Beds are planters of another size, and inches millimetres of another kind: a part of them does.
            let first = units == "mm" && words["make"] != "bed";
            if !first && all % 5 != 0 {
                return;
            }
            looked_at += 1;
            let build = build(said);
            let drawn = build.ask("drag", json!({}));
            if drawn["ok"].is_null() {
                let ways = drawn["refused"]["ways_out"].as_array();
                assert!(
                    ways.is_some_and(|ways| !ways.is_empty()),
                    "{words:?}: {}\n{:?}",
                    drawn["refused"]["text"].as_str().unwrap_or_default(),
                    build.files
                );
                clashes.push(spoken(said));
            } else if all % 15 == 0 || !words.contains_key("corners") {
                let answer = build.ask("settle", json!({}));
                assert_eq!(
                    answer["ok"]["passed"], true,
                    "{words:?}: {} {}",
                    answer["ok"]["findings"], answer["refused"]["text"]
                );
                if answer["ok"]["open"] != 0 {
                    loose.push(spoken(said));
                }
                settled += 1;
            }
        });
    }
    println!(
        "{all} sentences, {settled} settled; {} clash:\n{}\n{} not held:\n{}",
        clashes.len(),
        clashes.join("\n"),
        loose.len(),
        loose.join("\n")
    );
    assert!(all > 400 && looked_at > 300 && settled > 20, "{all} {looked_at} {settled}");
    assert!(clashes.len() * 8 < looked_at, "{} of {looked_at} clash:\n{}", clashes.len(), clashes.join("\n"));
}

/// A length that can be said there and that nobody would.
fn odd(part: &Value) -> String {
    (part["length"]["from"].as_i64().expect("a length") / 1_000_000 + 3).to_string()
}

/// Each word that is changed changes the files, and what is typed is wished.
#[test]
fn other_words_make_other_files() {
    for make in ["planter", "bed", "screen", "platform", "bench"] {
        let words = Map::from_iter([("make".to_owned(), json!(make))]);
        let said = start("mm", &words);
        for part in said["sentence"].as_array().expect("a sentence").iter().filter(|part| part.is_object()) {
            let word = part["word"].as_str().expect("a word");
            let others: Vec<Value> = match part["choices"].as_array() {
                Some(choices) => {
                    choices.iter().map(|choice| choice["is"].clone()).filter(|is| *is != part["is"]).collect()
                }
                None => vec![json!(odd(part))],
            };
            for other in others {
                let mut words = words.clone();
                words.insert(word.to_owned(), other.clone());
                let changed = start("mm", &words);
                assert_ne!(changed["files"], said["files"], "{make}: {word} {other}");
                if part["choices"].is_null() {
                    let plan = build(&changed);
                    assert!(plan.text(&plan.plan).contains(&odd(part)), "{make}: {word}");
                }
            }
        }
    }
}

/// A length that cannot be read, or is out of reach, is told, and the usual one stands.
#[test]
fn what_is_typed_wrong_is_told() {
    let usual = start("in", &Map::new());
    assert!(spoken(&usual).starts_with(
        "A planter about 48\" × 16\" × 18\", sides of 1×6 boards in level courses, corners on inside posts"
    ));
    for typed in ["", "long", "5000", "-1"] {
        let said = start("in", &Map::from_iter([("length".to_owned(), json!(typed))]));
        let length = said["sentence"]
            .as_array()
            .expect("a sentence")
            .iter()
            .find(|part| part["word"] == "length")
            .expect("a length");
        assert!(length["wrong"].is_string(), "{typed}");
        assert_eq!(said["files"], usual["files"]);
    }
    assert!(ask(&json!({ "ask": "start", "units": "ell" }))["error"].is_string());
}
