//! Whatever stands in the three files, reading and printing never panic and never take long.
#![allow(clippy::disallowed_types, reason = "the clock stands outside the reader and only holds it to its time")]

mod common;

use common::{Files, VOCABULARY, good};
use proptest::prelude::*;
use read::{plan, render};
use std::time::{Duration, Instant};

/// Reads and prints; every place must lie in its text, and every file that is wrong must say so with a line.
fn survive(files: &Files) {
    let started = Instant::now();
    if let Err(report) = plan("plan.toml", files, &VOCABULARY) {
        assert!(!report.problems.is_empty());
        for problem in &report.problems {
            let Some(place) = &problem.place else { continue };
            let source = report.sources.get(place.file).expect("the text of a place");
            assert!(source.text.get(place.bytes.clone()).is_some(), "{place:?} cuts a character");
        }
        // Each looks through the text once, so not for all of a hundred thousand.
        let shown = report.problems.iter().take(50).filter_map(|problem| problem.place.as_ref());
        assert!(shown.map(|place| report.sources.line_and_column(place)).all(|at| at.is_some()));
        let text = render(&report.problems, &report.sources, false);
        assert!(text.starts_with("error: "), "{text}");
        assert!(!text.contains('\u{1b}') && !text.contains('\u{202e}'), "{text:?}");
        render(&report.problems, &report.sources, true);
    }
    // Far above what any case takes, so that a busy machine does not fail it; a quadratic reader would.
    assert!(started.elapsed() < Duration::from_secs(5), "too slow");
}

const NAMES: [&str; 3] = ["plan.toml", "yard.toml", "shed.toml"];

/// Deletes, doubles, moves or replaces stretches of a sound file.
fn mutated(mut bytes: Vec<u8>, changes: &[(u8, usize, usize, Vec<u8>)]) -> Vec<u8> {
    for (what, from, length, with) in changes {
        let from = from % (bytes.len() + 1);
        let to = (from + length).min(bytes.len());
        let chunk = bytes[from..to].to_vec();
        match what {
            0 => drop(bytes.drain(from..to)),
            1 => drop(bytes.splice(to..to, chunk)),
            2 => drop(bytes.splice(from..to, with.iter().copied())),
            _ => bytes.extend(chunk),
        }
    }
    bytes
}

/// Bytes that mean something in such a file.
fn telling_bytes() -> impl Strategy<Value = Vec<u8>> {
    let words = prop::sample::select(vec![
        "[",
        "]",
        "{",
        "}",
        "\"",
        "'",
        "=",
        ",",
        ".",
        "\n",
        "#",
        "\\",
        "-",
        "1e999",
        "nan",
        "-inf",
        "0x1F",
        "9999999999999999999999",
        "[piece.",
        "[[board]]",
        "is = ",
        "\"trough\"",
        "true",
        "1979-05-27",
        "\u{feff}",
        "é",
        "\u{202e}",
        "\0",
        "\r",
        "\t",
        "want",
        "exactly",
        "\"1/0 in\"",
        "-0.0",
        "+5",
        "1_0",
        "\"\"\"",
        "'''",
        "\\u0000",
    ]);
    prop::collection::vec(words, 0..8).prop_map(|words| words.concat().into_bytes())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 800, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes(which in 0_usize..3, bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        survive(&good().with(NAMES[which], bytes));
    }

    #[test]
    fn any_text(which in 0_usize..3, text in "\\PC{0,200}") {
        survive(&good().with(NAMES[which], text));
    }

    #[test]
    fn telling_text(which in 0_usize..3, parts in prop::collection::vec(telling_bytes(), 0..20)) {
        survive(&good().with(NAMES[which], parts.concat()));
    }

    #[test]
    fn mutations_of_sound_files(
        which in 0_usize..3,
        changes in prop::collection::vec((0_u8..4, any::<usize>(), 0_usize..80, telling_bytes()), 1..6),
    ) {
        let files = good();
        let bytes = mutated(files.0[NAMES[which]].clone(), &changes);
        survive(&files.with(NAMES[which], bytes));
    }

    /// Whatever stands behind a key, alone.
    #[test]
    fn any_value(line in 0_usize..40, value in telling_bytes()) {
        let files = good();
        let text = String::from_utf8(files.0["plan.toml"].clone()).expect("text");
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let at = line % lines.len();
        let key = lines[at].split('=').next().unwrap_or_default().to_owned();
        lines[at] = format!("{key}= {}", String::from_utf8_lossy(&value));
        survive(&files.with("plan.toml", lines.join("\n")));
    }
}

/// A megabyte of each thing that a parser might take a long walk through.
#[test]
fn a_megabyte_of_anything() {
    let many = |text: &str| text.repeat(1024 * 1024 / text.len());
    for text in [
        many("a"),
        many("\n"),
        many("\""),
        many("'"),
        many("a=1\n"),
        many("=\n"),
        many("[a]\n"),
        many("[[a]]\n"),
        many("a.b.c.d=1\n"),
        many("]}"),
        many("é"),
        many("\u{202e}"),
        many("# x\n"),
        many("[a]\n[a.b]\n"),
        format!("a = 1\na = 1\nb = {}", many("[]")),
        format!("[a]\n[a]\n{}", many("[a.b]\n")),
        format!("[a]\n[a]\n[{}]", &many("b.")[20..]),
        format!("[a]\n[a]\n{}", many("k = \"é\"\n").chars().skip(40).collect::<String>()),
        format!("{{{}", &many("\"a\": 1,")[20..]),
        format!("a = [{}]", many("1,")),
        format!("a = [{}", many("[],")),
        format!("title = \"{}\"", &many("x")[20..]),
        format!("{} = 1", &many("x")[20..]),
        format!("[piece.{}]", &many("y")[20..]),
        format!("x = {}", &many("9")[20..]),
        format!("saw.kerf = {}", &many("9")[20..]),
    ] {
        for name in NAMES {
            survive(&good().with(name, text.clone()));
        }
    }
}
