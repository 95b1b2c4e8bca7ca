//! No bytes as a plan make the whole flow panic, hang, or take more than 200 MB.
//!
//! `crates/read` throws random bytes at the reader alone; here plans that mostly still read go through everything: numbers are
//! changed wildly, words exchanged, lines doubled and dropped, in the plan, the yard and the shed.

use scantling::{Effort, Missing, World};
use std::collections::BTreeMap;
use std::path::Path;
use std::time::{Duration, Instant};

struct Texts(BTreeMap<String, String>);

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = self.0.get(name).map(|text| text.clone().into_bytes());
        text.ok_or_else(|| Missing { reason: "there is no such file".into() })
    }
}

/// A small generator, so that every run throws the same (Knuth, MMIX).
struct Dice(u64);

impl Dice {
    fn throw(&mut self, below: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % below
    }

    fn one_of<'a>(&mut self, from: &[&'a str]) -> &'a str {
        from[self.throw(from.len())]
    }
}

const NUMBERS: &[&str] = &[
    "0",
    "1",
    "2",
    "3",
    "7",
    "10",
    "50",
    "51",
    "99",
    "100",
    "101",
    "145",
    "500",
    "1000",
    "5000",
    "19999",
    "20000",
    "1e9",
    "-5",
    "0.5",
    "0.001",
    "1000000000",
    "9223372036854775807",
    "\"1/64 in\"",
    "\"1/128 in\"",
    "\"20 m\"",
    "nan",
    "inf",
    "\"5 %\"",
    "\"\"",
];
const WORDS: &[&str] = &[
    "\"any\"",
    "\"pinwheel\"",
    "\"square\"",
    "\"open\"",
    "\"front through\"",
    "\"sides through\"",
    "\"L\"",
    "\"rectangle\"",
    "\"level\"",
    "\"upright\"",
    "\"along\"",
    "\"across\"",
    "\"cheapest\"",
    "\"in\"",
    "\"mm\"",
    "\"ft-in\"",
    "\"walls\"",
    "\"cladding\"",
    "\"edging\"",
    "\"bed\"",
    "\"ring\"",
    "\"sett\"",
    "true",
    "[]",
    "{}",
    "[\"front\"]",
    "[\"left\", \"front\"]",
];

/// One line changed.
fn changed(text: &str, dice: &mut Dice) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let at = dice.throw(lines.len());
    match dice.throw(8) {
        0 => drop(lines.remove(at)),
        1 => lines.insert(at, lines[at].clone()),
        2 | 3 => {
            if let Some((key, _)) = lines[at].split_once('=') {
                lines[at] = format!("{key}= {}", dice.one_of(WORDS));
            }
        }
        _ => {
            let with = dice.one_of(NUMBERS);
            lines[at] = number_changed(&lines[at], with, dice);
        }
    }
    lines.join("\n") + "\n"
}

/// One of the numbers of a line exchanged.
fn number_changed(line: &str, with: &str, dice: &mut Dice) -> String {
    let digits = |c: char| c.is_ascii_digit() || c == '.';
    let starts: Vec<usize> =
        line.char_indices().filter(|&(at, c)| digits(c) && !line[..at].ends_with(digits)).map(|(at, _)| at).collect();
    if starts.is_empty() {
        return line.to_owned();
    }
    let start = starts[dice.throw(starts.len())];
    let end = line[start..].find(|c| !digits(c)).map_or(line.len(), |length| start + length);
    format!("{}{with}{}", &line[..start], &line[end..])
}

fn example(name: &str) -> BTreeMap<String, String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../builds").join(name);
    let kinds = ["plan", "yard", "shed"];
    let file = |kind: &&str| {
        let file = format!("{name}.{kind}.toml");
        let text = std::fs::read_to_string(folder.join(&file)).expect("an example");
        (file, text)
    };
    kinds.iter().map(file).collect()
}

/// The names of all builds, in their order.
fn examples() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../builds");
    let entries = std::fs::read_dir(folder).expect("the builds").map(|entry| entry.expect("an entry"));
    let folders = entries.filter(|entry| entry.path().is_dir());
    let mut names: Vec<String> = folders.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn nothing_a_stranger_writes_stops_the_house() {
    let cases: usize = std::env::var("CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(300);
    let (mut came_out, mut slowest) = (0, Duration::ZERO);
    let names = examples();
    for case in 0..cases {
        let name = &names[case % names.len()];
        let mut texts = example(name);
        let mut dice = Dice(case as u64 + 1);
        for _ in 0..=dice.throw(3) {
            let file = format!("{name}.{}.toml", ["plan", "plan", "plan", "yard", "shed"][dice.throw(5)]);
            let text = changed(&texts[&file], &mut dice);
            texts.insert(file, text);
        }
        let start = Instant::now();
        let done = scantling::run(&format!("{name}.plan.toml"), &Texts(texts.clone()), &Effort::default(), &|| false);
        match done {
            Ok(done) => {
                came_out += 1;
                assert!(
                    done.verdict.passed(),
                    "case {case}: {:?}\n{}",
                    done.verdict.findings,
                    texts[&format!("{name}.plan.toml")]
                );
                assert!(done.page().contains("</html>"));
            }
            Err(refused) => assert!(scantling::refused(&refused, false).starts_with("error: "), "case {case}"),
        }
        slowest = slowest.max(start.elapsed());
    }
    assert!(came_out * 25 > cases, "only {came_out} of {cases} came out: nothing was tried");
    assert!(slowest < Duration::from_secs(30), "one took {slowest:?}");
    if let Ok(status) = std::fs::read_to_string("/proc/self/status") {
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kilobytes: u64 =
            line.and_then(|line| line.trim().trim_end_matches("kB").trim().parse().ok()).expect("a number");
        assert!(kilobytes < 200 * 1024, "{kilobytes} kB were taken");
    }
}
