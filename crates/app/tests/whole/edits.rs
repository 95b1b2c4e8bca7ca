//! Edits of every value of every file of the builds.

use crate::common::{ask, builds};
use proptest::prelude::*;
use serde_json::{Value, json};
use toml_edit::{Document, Item};

/// The ways to all values of a text, each with the value as it is written.
fn values(text: &str) -> Vec<(Vec<Value>, String)> {
    fn below(item: &Item, way: &[Value], text: &str, all: &mut Vec<(Vec<Value>, String)>) {
        let mut go = |step: Value, item: &Item| below(item, &[way, &[step]].concat(), text, all);
        if let Some(table) = item.as_table_like() {
            table.iter().for_each(|(key, item)| go(key.into(), item));
        } else if let Some(array) = item.as_array() {
            array.iter().enumerate().for_each(|(at, value)| go(at.into(), &Item::Value(value.clone())));
        }
        if let (Item::Value(_), Some(bytes)) = (item, item.span()) {
            all.push((way.to_vec(), text[bytes].to_owned()));
        }
    }
    let document = Document::parse(text).expect("the builds are TOML");
    let mut all = Vec::new();
    below(document.as_item(), &[], text, &mut all);
    all
}

fn edit(text: &str, path: &[Value], to: Option<&str>) -> Result<String, String> {
    let answer = ask(&json!({ "ask": "edit", "text": text, "path": path, "to": to }));
    answer["ok"]["text"].as_str().map(str::to_owned).ok_or_else(|| answer.to_string())
}

fn texts() -> Vec<String> {
    let text = |text: Value| text.as_str().expect("a text").to_owned();
    builds().into_iter().flat_map(|build| build.files.into_iter().map(|(_, file)| file)).map(text).collect()
}

/// An edit to what stands there already changes no byte; one to something else and back gives the first text.
#[test]
fn there_and_back() {
    let mut edited = 0;
    for text in texts() {
        for (path, is) in values(&text) {
            assert_eq!(edit(&text, &path, Some(&is)).as_deref(), Ok(text.as_str()), "{path:?}");
            let other = edit(&text, &path, Some("\"another\"")).unwrap_or_else(|error| panic!("{path:?}: {error}"));
            assert_ne!(other, text);
            assert_eq!(edit(&other, &path, Some(&is)).as_deref(), Ok(text.as_str()), "{path:?}");
            edited += 1;
        }
    }
    assert!(edited > 500, "{edited}");
}

/// A key that is put in and taken out again leaves the text as it was; one that is taken out is gone, and all others stay.
#[test]
fn in_and_out() {
    for text in texts() {
        let all = values(&text);
        for (path, _) in all.iter().filter(|(path, _)| path.last().is_some_and(Value::is_string)) {
            let beside = [&path[..path.len() - 1], &[Value::from("newcomer")]].concat();
            let with = edit(&text, &beside, Some("1")).unwrap_or_else(|error| panic!("{beside:?}: {error}"));
            assert_eq!(values(&with).len(), all.len() + 1, "{beside:?}");
            assert_eq!(edit(&with, &beside, None).as_deref(), Ok(text.as_str()), "{beside:?}");
            let without = edit(&text, path, None).unwrap_or_else(|error| panic!("{path:?}: {error}"));
            let left: Vec<_> = values(&without).into_iter().map(|(path, _)| path).collect();
            let should = all.iter().map(|(other, _)| other).filter(|other| !other.starts_with(path));
            assert!(should.eq(left.iter()), "{path:?} of\n{text}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// Whatever is asked of whatever text: an answer, and one that is TOML again if it is a text.
    #[test]
    fn never_a_panic(text in "([a-c]|\\[|\\]|\\{|\\}|=|,|\"|'|#|\\.|1|\n| |é){0,40}", key in "[a-c]", at in 0_u8..3, to in "(1|\\{\\}|\\[1\\]|\"é\"|#|\n){0,3}") {
        for path in [vec![json!(key)], vec![json!("a"), json!(key)], vec![json!("a"), json!(at)]] {
            for to in [Some(to.as_str()), None] {
                if let Ok(after) = edit(&text, &path, to) {
                    prop_assert!(Document::parse(after.as_str()).is_ok());
                }
            }
        }
    }
}
