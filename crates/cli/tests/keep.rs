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
    // Of what was left of packs what is used is gone: all 13 screws, 3 setts and 0.75 m of fleece.
    assert!(!kept.contains("[left.old-box]") && !kept.contains("[left.setts]"), "{kept}");
    assert!(kept.contains("[kept.plan-1]\nplan = \"Trough from shop and shed\"\ndigest = \""), "{kept}");
    // Once more would invent wood.
    let twice = scantling(&["keep"], &plan);
    let message = String::from_utf8_lossy(&twice.stderr).into_owned();
    assert_eq!((twice.status.code(), shed()), (Some(2), kept.clone()), "{message}");
    assert!(message.contains("`[kept.plan-1]`") && message.contains("keep --again"), "{message}");
    let text = std::fs::read_to_string(&plan).expect("the plan");
    std::fs::write(&plan, text.clone() + "# another word\n").expect("a plan");
    let other = scantling(&["keep"], &plan);
    let message = String::from_utf8_lossy(&other.stderr).into_owned();
    assert_eq!((other.status.code(), shed()), (Some(2), kept.clone()), "{message}");
    assert!(message.contains("a plan of this title was kept before"), "{message}");
    std::fs::write(&plan, text).expect("a plan");
    // Read back it is the same plan: the same parts, and without what was used up.
    let after = record(&plan);
    assert_eq!(before["parts"], after["parts"]);
    let used = after["buying"]["from_shed"].as_array().expect("a list");
    assert!(used.iter().all(|taken| taken["name"] != "a" && taken["name"] != "c"), "{used:?}");
    let again = scantling(&["keep", "--again"], &plan);
    assert_eq!(again.status.code(), Some(0), "{}", String::from_utf8_lossy(&again.stderr));
    assert!(shed().contains("times = 2\n") && !shed().contains("[kept.plan-2]"), "{}", shed());
    let parts: Vec<_> = std::fs::read_dir(folder.path()).expect("the folder").collect();
    assert_eq!(parts.len(), 3, "no file is left beside them");
}

/// Rests shorter than an offcut may be are not asked to be kept: the shed that asks for it is refused, and stays as it is.
#[test]
fn rests_shorter_than_an_offcut_are_not_kept() {
    let folder = tempfile::tempdir().expect("a folder");
    let plan = copied(folder.path());
    let path = folder.path().join("shed.toml");
    let text = std::fs::read_to_string(&path).expect("the shed").replace("keep = 250", "keep = 10");
    std::fs::write(&path, &text).expect("a shed");
    let output = scantling(&["keep"], &plan);
    let message = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(3), "{message}");
    assert!(message.contains("`keep` is too small") && message.contains("50 to 20000 mm"), "{message}");
    assert_eq!(std::fs::read_to_string(&path).expect("the shed"), text);
}
