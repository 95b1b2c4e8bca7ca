//! The walls of the house: which crate may know which, and what the core may not touch. ARCHITECTURE.md says why.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

/// What each crate may depend on inside the house. A new edge is a decision: it is made here and argued in ARCHITECTURE.md.
const EDGES: &[(&str, &[&str])] = &[
    ("measure", &[]),
    ("model", &["measure", "shape"]),
    ("handbook", &["measure", "model"]),
    ("read", &["measure", "model"]),
    ("daybook", &["measure", "model"]),
    ("fit", &[]),
    ("packing", &[]),
    ("shape", &[]),
    ("pieces", &["fit", "measure", "model"]),
    ("joints", &["handbook", "measure", "model", "shape"]),
    ("stages", &["handbook", "measure", "model", "packing"]),
    ("advise", &["fit", "joints", "measure", "model", "packing", "pieces", "stages"]),
    ("record", &["advise", "fit", "measure", "model", "packing", "pieces", "stages"]),
    ("audit", &["measure"]),
    ("drawing", &["measure", "model", "shape"]),
    ("book", &["advise", "audit", "drawing", "fit", "measure", "model", "packing", "pieces", "stages"]),
    (
        "scantling",
        &[
            "advise", "audit", "book", "daybook", "fit", "handbook", "joints", "measure", "model", "pieces", "read",
            "record", "stages",
        ],
    ),
    ("scantling-app", &["scantling"]),
    ("scantling-cli", &["scantling", "scantling-app"]),
    ("scantling-wasm", &["scantling", "scantling-app"]),
    ("benchmarks", &["advise", "baseline", "drawing", "fit", "measure", "model", "packing", "pieces", "scantling"]),
    ("baseline", &[]),
    ("packing-plans", &["packing"]),
    ("xtask", &[]),
];

/// Crates that may do I/O.
const RIMS: &[&str] = &["scantling-cli", "benchmarks", "packing-plans", "xtask"];

/// What the sources of the core may not name: the outside world in all its forms, and threads.
const OUTSIDE: &[&str] = &[
    "std::fs",
    "std::net",
    "std::env",
    "std::process",
    "std::io",
    "std::thread",
    "std::time",
    "println!",
    "eprintln!",
    "use std::{",
    "print!(",
    "eprint!(",
    "dbg!",
    "include!(concat!(env!",
    "rand::",
    "todo!",
    "unimplemented!",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().expect("the repository")
}

/// The packages of the workspace as cargo tells them.
fn packages() -> Vec<serde_json::Value> {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(["metadata", "--no-deps", "--format-version", "1", "--offline"]).current_dir(root());
    let output = cargo.output().expect("cargo runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: serde_json::Value = serde_json::from_slice(&output.stdout).expect("cargo prints JSON");
    metadata["packages"].as_array().expect("a list of packages").clone()
}

fn name(package: &serde_json::Value) -> &str {
    package["name"].as_str().expect("a package has a name")
}

/// The normal dependencies of each package that lie in the house.
fn edges() -> BTreeMap<String, Vec<String>> {
    let packages = packages();
    let inside: Vec<&str> = packages.iter().map(name).collect();
    let edges = packages.iter().map(|package| {
        let all = package["dependencies"].as_array().expect("a list of dependencies").iter();
        let normal = all.filter(|dependency| dependency["kind"].is_null()).map(name);
        let mut own: Vec<String> = normal.filter(|name| inside.contains(name)).map(str::to_owned).collect();
        own.sort();
        own.dedup();
        (name(package).to_owned(), own)
    });
    edges.collect()
}

#[test]
fn each_crate_knows_only_what_stands_above_it() {
    let allowed: BTreeMap<&str, &[&str]> = EDGES.iter().copied().collect();
    for (package, known) in edges() {
        let may = allowed.get(package.as_str()).unwrap_or_else(|| panic!("`{package}` has no line in EDGES"));
        for other in &known {
            assert!(may.contains(&other.as_str()), "`{package}` may not know `{other}`");
        }
        for other in *may {
            assert!(known.iter().any(|known| known == other), "`{package}` need not be allowed to know `{other}`");
        }
    }
}

#[test]
fn the_referee_knows_only_how_lengths_are_read() {
    assert_eq!(edges()["audit"], ["measure"]);
}

#[test]
fn the_engines_know_nothing_of_the_house() {
    assert!(edges()["fit"].is_empty() && edges()["packing"].is_empty());
}

#[test]
fn no_stage_calls_back_into_advise() {
    let may = ["record", "book", "scantling", "benchmarks"];
    for (package, known) in edges() {
        assert!(!known.contains(&"advise".to_owned()) || may.contains(&package.as_str()), "`{package}` knows `advise`");
    }
}

#[test]
fn the_core_does_no_io_and_reads_no_clock() {
    let mut looked_at = 0;
    for package in packages() {
        if RIMS.contains(&name(&package)) {
            continue;
        }
        let manifest = Path::new(package["manifest_path"].as_str().expect("a manifest")).to_owned();
        for file in sources(&manifest.parent().expect("a folder").join("src")) {
            let text = std::fs::read_to_string(&file).expect("a source file");
            // Tests below a source may read golden files; what runs in the core stands above them.
            let core = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
            if file.file_name().is_some_and(|file| file == "tests.rs") {
                continue;
            }
            for (number, line) in core.lines().enumerate() {
                let code = line.split("//").next().unwrap_or_default();
                for outside in OUTSIDE {
                    assert!(!code.contains(outside), "{}:{}: the core names `{outside}`", file.display(), number + 1);
                }
            }
            looked_at += 1;
        }
    }
    assert!(looked_at > 60, "only {looked_at} sources were looked at");
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).expect("a source folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// Pages in `docs/` that are made from the code. `UPDATE=1 cargo test -p scantling-cli --test house` writes them anew.
#[test]
fn generated_pages_are_fresh() {
    let pages = [
        ("docs/plan-files.md", scantling::plan_files_reference()),
        ("docs/rules.md", scantling::rules_reference()),
        ("docs/questions.md", scantling::questions_reference()),
        ("docs/record.md", record_reference()),
    ];
    for (path, fresh) in pages {
        let path = root().join(path);
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(&path, &fresh).expect("docs can be written");
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            kept == fresh,
            "{} is not fresh: run `UPDATE=1 cargo test -p scantling-cli --test house`",
            path.display()
        );
    }
}

/// The reference page of the record, from the doc comments of its types.
fn record_reference() -> String {
    let mut text = String::from(
        "# The record\n\n`scantling fit PLAN --json` prints everything that a settled plan says. All lengths are whole nanometres, money is in\nhundredths of the currency, masses are in milligrams; names are those of the plan and the yard. Within a version fields may be\nadded and none changes its meaning. This page is made from the doc comments of `crates/record`.\n",
    );
    let mut files = sources(&root().join("crates/record/src"));
    files.sort_by_key(|file| (file.file_name().is_none_or(|name| name != "lib.rs"), file.clone()));
    for file in files {
        let source = std::fs::read_to_string(&file).expect("a source file");
        let mut doc: Vec<&str> = Vec::new();
        for line in source.lines().map(str::trim) {
            if let Some(sentence) = line.strip_prefix("/// ") {
                doc.push(sentence);
            } else if let Some(name) = line.strip_prefix("pub enum ") {
                let name = name.split(' ').next().unwrap_or_default();
                text += &format!("\n## {name}\n\n{}\n\n| form | | |\n| --- | --- | --- |\n", doc.join(" "));
                doc.clear();
            } else if let Some((form, _)) =
                line.split_once('(').filter(|(form, _)| form.chars().all(char::is_alphabetic) && !doc.is_empty())
            {
                text += &format!("| {form} | | {} |\n", doc.join(" ").replace('|', "\\|"));
                doc.clear();
            } else if let Some(name) = line.strip_prefix("pub struct ") {
                let name = name.split(' ').next().unwrap_or_default();
                text +=
                    &format!("\n## {name}\n\n{}\n\n| field | type | meaning |\n| --- | --- | --- |\n", doc.join(" "));
                doc.clear();
            } else if let Some((field, kind)) = line.strip_prefix("pub ").and_then(|line| line.split_once(": ")) {
                let kind = kind.trim_end_matches(',').replace("&'static str", "text").replace("String", "text");
                let kind = kind.rsplit("::").next().map_or(kind.clone(), |last| {
                    if kind.starts_with("Vec<") {
                        format!("Vec<{}", last.trim_start_matches("Vec<"))
                    } else {
                        last.to_owned()
                    }
                });
                text +=
                    &format!("| `{field}` | {} | {} |\n", kind.replace('|', "\\|"), doc.join(" ").replace('|', "\\|"));
                doc.clear();
            } else if !line.starts_with('#') {
                doc.clear();
            }
        }
    }
    text
}
