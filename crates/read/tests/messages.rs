//! What a maker reads when a file is wrong: each case in `messages/` is a plan, a yard or a shed with a fault, and the
//! message it gives. `UPDATE=1 cargo test -p read` writes the messages anew; read them before you keep them.

mod common;

use common::{Files, VOCABULARY, good};
use read::{plan, render};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/messages")
}

/// What is printed for a plan; it must have a fault. In colour it says the same.
fn message(files: &Files) -> String {
    let report = plan("plan.toml", files, &VOCABULARY).expect_err("a fault");
    let plain = render(&report.problems, &report.sources, false);
    let coloured = render(&report.problems, &report.sources, true);
    assert!(coloured.contains('\u{1b}') && !plain.contains('\u{1b}'));
    assert_eq!(without_colour(&coloured), plain);
    plain
}

fn without_colour(text: &str) -> String {
    let mut parts = text.split('\u{1b}');
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |text, part| text + part.split_once('m').map_or("", |(_, rest)| rest))
}

fn check(name: &str, files: &Files) {
    let path = folder().join(format!("{name}.expected"));
    let message = message(files);
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, &message).expect("the folder of the messages can be written");
    }
    let expected = fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(message, expected, "the message of {name}");
}

#[test]
fn every_case_gives_its_message() {
    let names: Vec<String> = fs::read_dir(folder())
        .expect("the folder of the messages")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    let cases: BTreeSet<&str> =
        names.iter().filter(|name| name.ends_with(".toml")).filter_map(|name| name.split('.').next()).collect();
    assert!(cases.len() > 30, "the cases are there");
    for case in cases {
        let mut files = good();
        for part in ["plan", "yard", "shed"] {
            if let Ok(bytes) = fs::read(folder().join(format!("{case}.{part}.toml"))) {
                files = files.with(&format!("{part}.toml"), bytes);
            }
        }
        check(case, &files);
    }
}

#[test]
fn an_over_long_file() {
    check("generated-over-long", &good().with("yard.toml", "#".repeat(1024 * 1024 + 1)));
}

#[test]
fn a_file_of_just_the_limit_is_read() {
    let mut text = String::from_utf8(good().0["yard.toml"].clone()).expect("text");
    text.push('#');
    text.push_str(&" ".repeat(1024 * 1024 - text.len()));
    assert!(plan("plan.toml", &good().with("yard.toml", text), &VOCABULARY).is_ok());
}

#[test]
fn bytes_that_are_not_utf8() {
    let mut bytes = b"format = 1\ntitle = \"K".to_vec();
    bytes.extend([0xfc, b'b', b'e', b'l', b'"', b'\n']);
    check("generated-not-utf8", &good().with("plan.toml", bytes));
}

#[test]
fn very_deep_nesting() {
    check("generated-deep", &good().with("shed.toml", format!("format = 1\nsaw = {}", "[".repeat(500_000))));
}

#[test]
fn deep_dotted_keys() {
    check("generated-deep-dotted", &good().with("shed.toml", format!("format = 1\n{}kerf = 3\n", "saw.".repeat(70))));
}

#[test]
fn very_many_keys() {
    let text: String = (0..20_000).map(|i| format!("key-{i} = {i}\n")).collect();
    check("generated-many-keys", &good().with("shed.toml", text));
}

#[test]
fn many_problems_are_counted() {
    let text: String = (0..60).map(|i| format!("key-{i} = {i}\n")).collect();
    let message = message(&good().with("shed.toml", format!("format = 1\n{text}[saw]\nkerf = 3\n")));
    assert_eq!(message.matches("error:").count(), 50);
    assert!(message.ends_with("\nand 10 more\n"), "{message}");
}

#[test]
fn too_many_of_anything() {
    let pieces: String = (0..201).map(|i| format!("[piece.p{i}]\nis = \"heap\"\n")).collect();
    let head = "format = 1\ntitle = \"t\"\nyard = \"yard.toml\"\nshed = \"shed.toml\"\n";
    let lengths = "{ length = 2400 }, ".repeat(51);
    let board = format!("[board.a]\nthickness = 20\nwidth = 100\nlengths = [{lengths}]\n");
    let files = good()
        .with("plan.toml", format!("{head}{pieces}"))
        .with("yard.toml", format!("format = 1\ncurrency = \"GBP\"\n{board}"));
    let message = message(&files);
    assert!(message.contains("there are 201 tables `[piece.NAME]`"), "{message}");
    assert!(message.contains("`lengths` has 51 entries"), "{message}");
}

#[test]
fn a_missing_plan_has_no_place() {
    check("generated-missing-plan", &Files::default());
}
