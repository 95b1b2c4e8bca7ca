//! `scantling keep`: the shed after cutting, on a folder of its own.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn scantling(arguments: &[&str], plan: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_scantling")).args(arguments).arg(plan).output().expect("the command runs")
}

/// A plan whose shed has offcuts, copied to where it may be changed.
fn copied(to: &Path) -> PathBuf {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("../audit/tests/records/shop-and-shed");
    for name in ["plan.toml", "yard.toml", "shed.toml"] {
        std::fs::copy(from.join(name), to.join(name)).expect("a copy");
    }
    to.join("plan.toml")
}

fn record(plan: &Path) -> serde_json::Value {
    let output = scantling(&["fit", "--json"], plan);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

#[test]
fn the_shed_after_cutting() {
    let folder = tempfile::tempdir().expect("a folder");
    let plan = copied(folder.path());
    let shed = || std::fs::read_to_string(folder.path().join("shed.toml")).expect("the shed");
    let (before, text) = (record(&plan), shed());
    let dry = scantling(&["keep", "--dry-run"], &plan);
    assert_eq!((dry.status.code(), shed()), (Some(0), text.clone()), "nothing is written");
    let said = String::from_utf8_lossy(&dry.stdout).into_owned();
    assert!(said.contains("offcut a: used up") && said.contains("nothing is written"), "{said}");
    let output = scantling(&["keep"], &plan);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let kept = shed();
    assert!(!kept.contains("[offcut.a]") && kept.contains("[offcut.b]"), "{kept}");
    // The post's 2400 leaves 617, less the kerf that parts it: 614 (by hand); what is shorter than 250 is not kept.
    assert!(kept.contains("of = \"post\"\nlength = \"614 mm\"\n"), "{kept}");
    assert!(kept.contains("[car]\nlongest = 2500\nload = 160\n"), "all else stays:\n{kept}");
    // Read back it is the same plan: the same parts, and without what was used up.
    let after = record(&plan);
    assert_eq!(before["parts"], after["parts"]);
    let used = after["buying"]["from_shed"].as_array().expect("a list");
    assert!(used.iter().all(|taken| taken["name"] != "a" && taken["name"] != "c"), "{used:?}");
    let parts: Vec<_> = std::fs::read_dir(folder.path()).expect("the folder").collect();
    assert_eq!(parts.len(), 3, "no file is left beside them");
}
