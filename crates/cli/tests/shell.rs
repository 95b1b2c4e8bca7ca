//! What the command tells a shell, `man` and an editor about itself.

use std::process::{Command, Output};

fn scantling(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_scantling")).args(arguments).output().expect("the command runs")
}

fn said(arguments: &[&str]) -> String {
    let output = scantling(arguments);
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("the command prints UTF-8")
}

/// The commands as the help lists them.
fn commands() -> Vec<String> {
    let help = said(&["--help"]);
    let list = help.split_once("Commands:\n").and_then(|(_, rest)| rest.split_once("\n\n")).expect("a list").0;
    let names: Vec<String> =
        list.lines().filter_map(|line| line.split_whitespace().next()).map(str::to_owned).collect();
    assert!(names.len() > 10 && names.iter().any(|name| name == "fit"), "{names:?}");
    names
}

#[test]
fn each_shell_completes_every_command() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = said(&["completions", shell]);
        for command in commands() {
            assert!(script.contains(&command), "{shell}: {command}");
        }
    }
    assert_eq!(scantling(&["completions", "abacus"]).status.code(), Some(2));
}

#[cfg(unix)]
#[test]
fn bash_completes_what_is_begun() {
    let complete = |words: &str, at: usize| {
        let script = format!(
            "source /dev/stdin; COMP_WORDS=({words}); COMP_CWORD={at}; _scantling scantling \"${{COMP_WORDS[{at}]}}\" \"${{COMP_WORDS[{}]}}\"; echo \"${{COMPREPLY[@]}}\"",
            at - 1
        );
        let mut bash = Command::new("bash");
        let mut child = bash.args(["-c", &script]).stdin(std::process::Stdio::piped());
        child = child.stdout(std::process::Stdio::piped());
        let mut child = child.spawn().expect("bash runs");
        let given = said(&["completions", "bash"]);
        std::io::Write::write_all(&mut child.stdin.take().expect("piped"), given.as_bytes()).expect("it reads");
        String::from_utf8(child.wait_with_output().expect("it ends").stdout).expect("text").trim().to_owned()
    };
    assert_eq!(complete("scantling op", 1), "open");
    assert_eq!(complete("scantling schema ''", 2), "-h --help plan yard shed");
}

#[test]
fn the_manual_has_a_page_for_each_command() {
    let one = said(&["manual"]);
    assert!(one.contains(".TH scantling 1") && one.contains("Exit codes:"), "{one}");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("man1");
    said(&["manual", "-o", path.to_str().expect("a plain path")]);
    assert_eq!(std::fs::read_to_string(path.join("scantling.1")).expect("a page"), one);
    for command in commands() {
        let page = std::fs::read_to_string(path.join(format!("scantling-{command}.1"))).expect("a page");
        assert!(page.contains(&format!(".TH scantling-{command} 1")), "{page}");
    }
    assert_eq!(std::fs::read_dir(&path).expect("listed").count(), commands().len() + 1);
}

#[test]
fn the_schemas_have_every_key_of_the_reference() {
    let reference = said(&["reference", "files"]);
    let tables = reference.split_once("## Materials").expect("materials come last").0;
    let keys: Vec<&str> =
        tables.lines().filter_map(|line| Some(line.strip_prefix("| `")?.split_once("` | ")?.0)).collect();
    assert!(keys.len() > 300, "only {}", keys.len());
    let schemas = ["plan", "yard", "shed"].map(|file| said(&["schema", file])).concat();
    for key in keys {
        assert!(schemas.contains(&format!("\"{key}\": {{")), "{key}");
    }
    assert_eq!(scantling(&["schema", "saw"]).status.code(), Some(2));
}

#[test]
fn nothing_of_progress_is_said_where_nobody_sees_it() {
    let plan = concat!(env!("CARGO_MANIFEST_DIR"), "/../../builds/corner-bed/corner-bed.plan.toml");
    let output = scantling(&["fit", plan]);
    assert!(output.status.success());
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
}
