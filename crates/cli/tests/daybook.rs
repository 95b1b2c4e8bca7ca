//! The day book as people keep it: entries noted by the command, by two at once, on a full disk.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const PLAN: &str = "format = 1\ntitle = \"A bed\"\nyard = \"y.toml\"\nshed = \"s.toml\"\n[piece.bed]\nis = \"walls\"\nlength = { want = 900, from = 800, to = 1000 }\nwidth = { want = 500, from = 400, to = 600 }\nheight = { want = 420, from = 390, to = 450 }\nboard = \"wall\"\ncorners = \"pinwheel\"\n";
const YARD: &str = "format = 1\ncurrency = \"NZD\"\n[board.wall]\nthickness = 32\nwidth = 140\nlengths = [{ length = 1800, price = 15.12 }, { length = 3600, price = 30.24 }]\n";

/// A folder with the plan of a bed in it.
struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    fn new() -> Bench {
        let bench = Bench { folder: tempfile::tempdir().expect("a folder") };
        bench.write("bed.plan.toml", PLAN);
        bench.write("y.toml", YARD);
        bench.write("s.toml", "format = 1\n[saw]\nkerf = 3\ntrim = 10\n");
        bench
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).expect("a file");
    }

    fn book(&self) -> String {
        std::fs::read_to_string(self.path("bed.daybook.jsonl")).unwrap_or_default()
    }

    fn run(&self, arguments: &str) -> Output {
        self.command(arguments).output().expect("the command runs")
    }

    fn command(&self, arguments: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_scantling"));
        command.args(arguments.split_whitespace()).current_dir(self.folder.path());
        command
    }

    /// Notes an entry, which is kept; what is said of it.
    #[track_caller]
    fn notes(&self, what: &str) -> String {
        let output = self.run(&format!("note bed.plan.toml {what}"));
        assert_eq!(output.status.code(), Some(0), "{what}: {}", text(&output.stderr));
        text(&output.stdout)
    }

    /// An entry that is refused: nothing is written.
    #[track_caller]
    fn refuses(&self, what: &str, code: i32, says: &str) {
        let before = self.book();
        let output = self.run(&format!("note bed.plan.toml {what}"));
        let told = text(&output.stderr);
        assert_eq!(output.status.code(), Some(code), "{what}: {told}");
        assert!(told.contains(says), "{what}: {told}");
        assert_eq!(self.book(), before, "{what}");
    }
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("the command prints UTF-8")
}

#[test]
fn an_entry_says_what_was_what_is_and_why() {
    let bench = Bench::new();
    let told = bench.notes("width --board wall --over 6 --reads 828");
    assert!(told.starts_with("entry 1, width: kept\nfixed: nothing yet\n"), "{told}");
    // Three courses of 138 are 414, by hand.
    assert!(told.contains("  bed.height: was 420, is 414 (entry 1, width)\n"), "{told}");
    let fit = bench.run("fit bed.plan.toml");
    assert_eq!(text(&fit.stderr), "note: this goes by the day book of the plan, 1 entries\n");
    assert!(text(&fit.stdout).contains("900 × 500 × 414"));
    assert!(text(&bench.run("why bed.plan.toml bed.height").stdout).contains("414"));
    let told = text(&fit.stdout);
    assert!(told.contains("  the width of wall: was 140, is 138 (entry 1)\n  bed.height: was 420, is 414"), "{told}");
    let page = bench.run("page bed.plan.toml -o bed.html");
    assert_eq!(page.status.code(), Some(0), "{}", text(&page.stderr));
    let page = std::fs::read_to_string(bench.path("bed.html")).expect("the page");
    let daybook = page.split("id=\"daybook\"").nth(1).expect("a section of the day book");
    for cell in ["the width of wall", "entry 1", "bed.height"] {
        assert!(daybook.contains(&format!(">{cell}</t")), "{cell}");
    }
    let told = bench.notes("undo 1");
    assert!(told.contains("  bed.height: was 414, is 420 (entry 2, undo)\n"), "{told}");
    bench.refuses("undo 1", 3, "entry 1 was undone before");
}

#[test]
fn what_is_bought_and_cut_is_at_home_and_stays() {
    let bench = Bench::new();
    let told = bench.notes("bought --board wall --length 1800 --count 6");
    assert!(told.contains("what is still to pay: was 75.60 NZD, is 0.00 NZD"), "{told}");
    let told = bench.notes("cut A1 A2");
    assert!(told.contains("fixed: 6 boards at home, 2 parts cut, bed.length 900\n"), "{told}");
    let told = bench.notes("cut B1");
    assert!(told.contains("fixed: 6 boards at home, 3 parts cut, bed.length 900, bed.width 500\n"), "{told}");
    assert!(bench.book().contains("\"holds\":{\"bed.length\":\"900 mm\"}"));
    bench.refuses("cut A1", 3, "A1 is cut already, by entry 2");
    bench.refuses("cut A3 --length 860", 3, "A3 should be 868 long, and not 860");
    bench.refuses("cut Z9", 3, "the plan has no part `Z9`");
    bench.refuses("width --board roof --over 6 --reads 828", 3, "the yard has no board `roof`");
    bench.refuses("kerf --reads 3,2", 3, "a comma can mean two things");
    let told = bench.notes("wrong A3 --length 860");
    assert!(told.contains("an offcut of 860"), "{told}");
    let fit = text(&bench.run("fit bed.plan.toml").stdout);
    assert!(fit.contains("6 × wall 1800 at home, numbers 1 to 6, paid 15.12 NZD each"), "{fit}");
    assert!(fit.contains("  A1 A2: was to be cut, is cut, 868 (entry 2)\n"), "{fit}");
    assert!(fit.contains("  bed.length: was free, is 900 (held by entry 4)\n"), "{fit}");
    assert!(fit.contains("is an offcut of 860 (entry 4)"), "{fit}");
    let lines = bench.book().lines().count();
    assert_eq!(lines, 4, "what is refused is not written");
}

/// The plan and yard are as they were: nothing but the day book is written.
#[test]
fn no_day_book_is_begun_for_an_entry_that_is_refused() {
    let bench = Bench::new();
    bench.refuses("kerf --reads 30", 3, "no saw leaves a slot as wide");
    assert!(!bench.path("bed.daybook.jsonl").exists());
    assert_eq!(std::fs::read_to_string(bench.path("bed.plan.toml")).expect("the plan"), PLAN);
}

/// A width with which nothing comes out is kept all the same: the tape does not lie. The exit code is that of the plan.
#[test]
fn an_entry_with_which_nothing_comes_out_is_kept() {
    let bench = Bench::new();
    bench.write("bed.plan.toml", &PLAN.replace("{ want = 420, from = 390, to = 450 }", "{ exactly = 420 }"));
    let output = bench.run("note bed.plan.toml width --board wall --over 6 --reads 828");
    assert_eq!(output.status.code(), Some(4));
    let told = text(&output.stdout);
    assert!(told.contains("Nothing comes out with it; the entry stays") && told.contains("414 mm"), "{told}");
    assert_eq!(bench.book().lines().count(), 1);
    assert!(bench.notes("undo 1").contains("The plan comes out again."));
}

#[test]
fn a_book_that_cannot_be_gone_by_is_refused_and_mended_by_an_undo() {
    let bench = Bench::new();
    bench.notes("width --board wall --over 6 --reads 828");
    bench.write("y.toml", &YARD.replace("wall", "plank"));
    bench.write("bed.plan.toml", &PLAN.replace("\"wall\"", "\"plank\""));
    let fit = bench.run("fit bed.plan.toml");
    assert_eq!(fit.status.code(), Some(3));
    assert!(text(&fit.stderr).contains("undo entry 1"), "{}", text(&fit.stderr));
    bench.notes("undo 1");
    assert_eq!(bench.run("fit bed.plan.toml").status.code(), Some(0));
    bench.write("bed.daybook.jsonl", "{\"n\":1\n{\"n\":2}\n");
    assert_eq!(bench.run("fit bed.plan.toml").status.code(), Some(3));
}

/// Two who write at once, many times: every entry is there, whole and in turn.
#[test]
fn lines_of_two_writers_never_mix() {
    const EACH: usize = 8;
    let bench = Bench::new();
    for round in 0..EACH {
        let note = |over: usize| {
            let reads = format!("note bed.plan.toml width --board wall --over {over} --reads {}", over * 138);
            bench.command(&reads).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().expect("a writer")
        };
        let writers = [note(6 + round), note(40 + round)];
        for writer in writers {
            let output = writer.wait_with_output().expect("it ends");
            assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        }
    }
    let numbers: Vec<u64> = bench.book().lines().map(entry).collect();
    assert_eq!(numbers, (1..=2 * EACH as u64).collect::<Vec<u64>>());
}

fn entry(line: &str) -> u64 {
    let entry: serde_json::Value = serde_json::from_str(line).expect("a whole line");
    entry["n"].as_u64().expect("a number")
}

/// No room for the whole line: it is not said to be kept, what was kept stays, and the next entry goes on from there.
#[cfg(unix)]
#[test]
fn a_full_disk_keeps_the_old_lines() {
    let bench = Bench::new();
    let limited = |path: &Path| {
        // What the process may write to a file ends after a block or two, as a full disk does.
        let script = "trap '' XFSZ; ulimit -f 1; exec \"$0\" note bed.plan.toml kerf --reads 3.1";
        let mut shell = Command::new("sh");
        shell.args(["-c", script, env!("CARGO_BIN_EXE_scantling")]).current_dir(path).output().expect("a shell")
    };
    let mut kept = 0;
    let full = loop {
        let output = limited(bench.folder.path());
        if output.status.code() != Some(0) {
            break output;
        }
        kept += 1;
        assert_eq!(bench.book().lines().count(), kept);
        assert!(kept < 100, "the limit is never reached");
    };
    assert_eq!(full.status.code(), Some(1), "{}", text(&full.stderr));
    assert!(text(&full.stderr).contains("the entry was not kept"), "{}", text(&full.stderr));
    assert!(!text(&full.stdout).contains("kept"));
    let book = bench.book();
    assert!(kept > 2 && !book.ends_with('\n'), "{book}");
    assert_eq!(book.lines().take(kept).map(entry).collect::<Vec<u64>>(), (1..=kept as u64).collect::<Vec<u64>>());
    let fit = bench.run("fit bed.plan.toml");
    assert!(text(&fit.stderr).contains("was cut off while it was written"), "{}", text(&fit.stderr));
    bench.notes("kerf --reads 3.2");
    assert!(bench.book().starts_with(&book), "append-only");
    let fit = bench.run("fit bed.plan.toml");
    assert!(!text(&fit.stderr).contains("cut off"), "{}", text(&fit.stderr));
    assert!(text(&fit.stderr).contains(&format!("{} entries", kept + 1)));
}

/// A board with a bad stretch is one board: it comes home once.
#[test]
fn a_single_board_comes_home_once() {
    let bench = Bench::new();
    let each = "each = [{ name = \"knotty\", length = 2710, price = 8.2, bad = [{ from = 1196, to = 1300 }] }]\n";
    bench.write("y.toml", &format!("{YARD}{each}"));
    bench.refuses("bought --board wall --length 2710 --count 2", 3, "all are at home");
    // Too few boards for the bed so far: told, and the entry stays.
    let one = bench.run("note bed.plan.toml bought --board wall --length 2710 --count 1");
    assert!(text(&one.stdout).contains("entry 1, bought: kept"), "{}", text(&one.stderr));
    bench.refuses("bought --board wall --length 2710 --count 1", 3, "no more boards of `wall` 2710 mm long");
}
