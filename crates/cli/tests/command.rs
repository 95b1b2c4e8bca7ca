//! The command as people run it: exit codes, standard output and error, files written.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().expect("the repository")
}

fn scantling(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_scantling"))
        .args(arguments)
        .current_dir(root())
        .output()
        .expect("the command runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("the command prints UTF-8")
}

const TROUGH: &str = "builds/kitchen-trough/kitchen-trough.plan.toml";
const SEAT: &str = "builds/halfway-seat/halfway-seat.plan.toml";
const BALCONY_BOX: &str = "builds/balcony-box/balcony-box.plan.toml";
const CORNER_BED: &str = "builds/corner-bed/corner-bed.plan.toml";

/// What a run prints, against a file that is kept. `UPDATE=1` writes it anew.
#[track_caller]
fn golden(name: &str, fresh: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name);
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, fresh).expect("the golden file can be written");
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == fresh,
        "{name} has changed; if that is right: UPDATE=1 cargo test -p scantling-cli\n--- kept\n{kept}\n--- fresh\n{fresh}"
    );
}

#[test]
fn the_examples_come_out() {
    for (plan, name) in
        [(TROUGH, "kitchen-trough.txt"), (CORNER_BED, "corner-bed.txt"), (BALCONY_BOX, "balcony-box.txt")]
    {
        let output = scantling(&["fit", plan]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        assert_eq!(text(&output.stderr), "");
        golden(name, &text(&output.stdout));
    }
}

#[test]
fn the_record_is_json_and_the_same_each_time() {
    let output = scantling(&["fit", TROUGH, "--json"]);
    let record: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(record["format"], "scantling-record");
    assert_eq!(record["version"], 1);
    assert_eq!(output.stdout, scantling(&["fit", TROUGH, "--json"]).stdout);
}

/// What the README shows is what the command prints.
#[test]
fn the_readme_shows_what_is_printed() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("the README");
    let shown = readme.split("```text\n").nth(1).and_then(|rest| rest.split("```").next()).expect("a text block");
    let printed = text(&scantling(&["fit", TROUGH]).stdout);
    for line in shown.lines().filter(|line| !line.trim().is_empty()) {
        let parts: Vec<&str> = line.split('…').map(str::trim).collect();
        let stands = |printed: &str| parts.iter().all(|part| printed.contains(part));
        assert!(printed.lines().any(stands), "the README shows a line that is not printed: {line}");
    }
}

#[test]
fn a_number_is_asked_why() {
    let output = scantling(&["why", TROUGH, "ring.front.gap"]);
    assert_eq!(output.status.code(), Some(0));
    golden("why.txt", &text(&output.stdout));
    let wish = scantling(&["why", TROUGH, "ring.joint"]);
    assert_eq!(wish.status.code(), Some(0));
    assert!(text(&wish.stdout).contains("ring.front.gap") && text(&wish.stdout).contains("ring.left.gap"));
    let size = text(&scantling(&["why", TROUGH, "trough.length"]).stdout);
    assert!(size.contains("closes there: ring.front: 14 × 100 + 15 × 10 = 1550"), "{size}");
    let unknown = scantling(&["why", TROUGH, "ring.jiont"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(text(&unknown.stderr).contains("ring.front.gap"));
    let names = scantling(&["why", TROUGH]);
    assert!(text(&names.stdout).lines().any(|line| line == "buy.total"));
}

#[test]
fn the_referee_passes_the_examples_and_not_a_changed_record() {
    for plan in [TROUGH, CORNER_BED, BALCONY_BOX] {
        let output = scantling(&["audit", plan]);
        assert_eq!(output.status.code(), Some(0), "{}{}", text(&output.stdout), text(&output.stderr));
    }
    let folder = tempfile::tempdir().expect("a folder");
    let record = folder.path().join("record.json");
    let honest = text(&scantling(&["fit", TROUGH, "--json"]).stdout);
    let changed = honest.replacen("\"total\": 12687", "\"total\": 12686", 1);
    assert_ne!(honest, changed, "the record has a total to change");
    std::fs::write(&record, changed).expect("the record can be written");
    let output = scantling(&["audit", TROUGH, "--record", record.to_str().expect("a path")]);
    assert_eq!(output.status.code(), Some(5), "{}", text(&output.stdout));
    assert!(text(&output.stderr).contains("wrong with this record"));
}

#[test]
fn the_page_is_one_file_and_is_written_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("page.html");
    let output = scantling(&["page", TROUGH, "-o", page.to_str().expect("a path")]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert_eq!(text(&output.stdout), "");
    let html = std::fs::read_to_string(&page).expect("the page");
    assert!(html.starts_with("<!doctype html>") && html.trim_end().ends_with("</html>"));
    for outside in ["src=\"http", "href=\"http", "@import", "<script", "url(http"] {
        assert!(!html.contains(outside), "the page names `{outside}`");
    }
    assert_eq!(std::fs::read_dir(folder.path()).expect("the folder").count(), 1, "a temporary file was left");
}

/// The old file stays whole if the new one cannot be written: here a folder stands in its place, and here there is no folder.
#[test]
fn a_page_that_cannot_be_written_leaves_everything_as_it_was() {
    let folder = tempfile::tempdir().expect("a folder");
    let taken = folder.path().join("taken");
    std::fs::create_dir(&taken).expect("a folder");
    std::fs::write(taken.join("inside"), "old").expect("a file");
    for path in [taken.clone(), folder.path().join("missing/page.html")] {
        let output = scantling(&["page", TROUGH, "-o", path.to_str().expect("a path")]);
        assert_eq!(output.status.code(), Some(1));
        let message = text(&output.stderr).replace(folder.path().to_str().expect("a path"), "FOLDER");
        golden(if path == taken { "page-over-folder.err" } else { "page-nowhere.err" }, &message);
    }
    assert_eq!(std::fs::read_to_string(taken.join("inside")).expect("the old file"), "old");
    assert_eq!(std::fs::read_dir(folder.path()).expect("the folder").count(), 1, "a temporary file was left");
}

/// A file of 50 MB is refused by its length, before it is read.
#[test]
fn a_file_of_fifty_megabytes_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let plan = folder.path().join("huge.plan.toml");
    std::fs::File::create(&plan).and_then(|file| file.set_len(50 << 20)).expect("a sparse file");
    let output = scantling(&["fit", plan.to_str().expect("a path")]);
    assert_eq!(output.status.code(), Some(3));
    golden("huge.err", &text(&output.stderr));
}

/// A page never takes the place of what the maker wrote.
#[test]
fn a_page_does_not_write_over_the_plan() {
    let folder = tempfile::tempdir().expect("a folder");
    for kind in ["plan", "yard", "shed"] {
        let name = format!("kitchen-trough.{kind}.toml");
        std::fs::copy(root().join("builds/kitchen-trough").join(&name), folder.path().join(&name)).expect("a copy");
    }
    let plan = folder.path().join("kitchen-trough.plan.toml");
    for kind in ["plan", "yard", "shed"] {
        let own = folder.path().join(format!("kitchen-trough.{kind}.toml"));
        let output = scantling(&["page", plan.to_str().expect("a path"), "-o", own.to_str().expect("a path")]);
        assert_eq!(output.status.code(), Some(2), "{kind}");
        assert!(std::fs::read_to_string(&own).expect("the file").contains("format = 1"), "{kind} was written over");
    }
}

/// Every list is written, with CR LF and the unit in its heads; the cards of the seat are the golden file.
#[test]
fn the_lists_are_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let lists = folder.path().join("lists");
    let output = scantling(&["lists", SEAT, "-o", lists.to_str().expect("a path")]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let mut names: Vec<String> = std::fs::read_dir(&lists)
        .expect("the folder")
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into())
        .collect();
    names.sort();
    let own =
        ["buying", "cards", "cutting", "fixings", "materials", "parts", "steps"].map(|name| format!("{name}.csv"));
    assert_eq!(names, own);
    let read = |name: &str| std::fs::read_to_string(lists.join(name)).expect("a list");
    assert!(
        read("parts.csv")
            .starts_with("id,piece,role,face,course,place,stock,label,length [mm],width [mm],thickness [mm]\r\n")
    );
    golden("halfway-seat-cards.csv", &read("cards.csv"));
}

#[test]
fn the_command_line_helps() {
    let help = scantling(&["--help"]);
    assert_eq!(help.status.code(), Some(0));
    assert!(text(&help.stdout).contains("Exit codes"));
    for wrong in [&["fti", TROUGH][..], &["fit"], &["page", TROUGH], &[]] {
        assert_eq!(scantling(wrong).status.code(), Some(2), "{wrong:?}");
    }
    let missing = scantling(&["fit", "builds/nothing.plan.toml"]);
    assert_eq!(missing.status.code(), Some(3));
    assert!(text(&missing.stderr).contains("there is no such file"));
}

#[test]
fn no_colour_where_nobody_sees_it() {
    let output = scantling(&["fit", "crates/cli/tests/bad/too-narrow.plan.toml"]);
    assert!(!output.stderr.contains(&0x1b));
}

/// Plans that read well and do not come out, each with its message. The wording of what is wrong in a file is held by the
/// golden files of `crates/read`.
#[test]
fn what_does_not_come_out_is_told() {
    let cases = [
        ("too-narrow", 4),
        ("longer-than-any-board", 4),
        ("crosses-itself", 4),
        ("pinned-together", 4),
        ("corner-unit-too-small", 3),
        ("missing-face", 3),
        ("yard-too-small", 3),
        ("claddings-meet", 3),
        ("ring-meets-cladding", 3),
    ];
    for (name, code) in cases {
        let output = scantling(&["fit", &format!("crates/cli/tests/bad/{name}.plan.toml")]);
        assert_eq!(output.status.code(), Some(code), "{name}: {}{}", text(&output.stdout), text(&output.stderr));
        assert_eq!(text(&output.stdout), "", "{name}");
        golden(&format!("{name}.err"), &text(&output.stderr));
    }
}
