//! The plans of one folder with the files that they name, and nothing beside them.

use crate::files;
use scantling::daybook_name;
use sha2::{Digest, Sha256};
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// The most that is taken of one file.
pub const MOST_BYTES: usize = 1 << 20;

/// The most plans of a folder that are known: the first by their names.
const MOST_PLANS: usize = 200;

/// The ending by which a plan is known in a folder.
const PLAN: &str = ".plan.toml";

/// The stamp of what is not there.
const NONE: &str = "none";

/// A folder with plans.
pub struct Bench {
    folder: PathBuf,
    /// The plan to begin with, whatever it is called.
    first: Option<String>,
    /// One writes at a time, so that what was looked at is what is written over.
    writing: Mutex<()>,
}

/// A file as it is on the disk.
#[derive(Debug, PartialEq, Eq)]
pub struct Filed {
    /// What it says; `None` if there is no such file.
    pub text: Option<String>,
    /// What changes when it does.
    pub stamp: String,
}

/// Why a file was not written.
#[derive(Debug, PartialEq, Eq)]
pub enum Unwritten {
    /// No plan names such a file, or it lies elsewhere.
    Strange,
    /// It says something else by now.
    Changed(Filed),
    /// What was sent is not what such a file is made of.
    Unfit(&'static str),
    /// The disk says no.
    Failed(String),
}

impl Bench {
    /// The folder of this plan, which must be there; without one the folder that the command was called in.
    ///
    /// # Errors
    /// A message.
    pub fn of(plan: Option<&Path>) -> Result<Bench, String> {
        let Some(plan) = plan else { return Bench::at(Path::new("."), None) };
        let name = plan.file_name().and_then(|name| name.to_str());
        let name = name.ok_or_else(|| format!("`{}` is not the name of a plan", plan.display()))?.to_owned();
        fs::metadata(plan).map_err(|error| unread(plan, &error))?;
        let parent = plan.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let bench = Bench::at(parent, Some(name.clone()))?;
        match bench.path(&name) {
            Some(_) => Ok(bench),
            None => Err(format!("`{}` is no file of this folder whose name ends in `.toml`", plan.display())),
        }
    }

    fn at(folder: &Path, first: Option<String>) -> Result<Bench, String> {
        let folder = folder.canonicalize().map_err(|error| unread(folder, &error))?;
        Ok(Bench { folder, first, writing: Mutex::new(()) })
    }

    /// The plan to begin with.
    pub fn first(&self) -> Option<&str> {
        self.first.as_deref()
    }

    /// The plans: the one to begin with, then those in the folder by their names.
    pub fn plans(&self) -> Vec<String> {
        let mut others = self.taken();
        others.retain(|name| name.ends_with(PLAN) && Some(name.as_str()) != self.first() && self.path(name).is_some());
        others.truncate(MOST_PLANS);
        self.first.iter().cloned().chain(others).collect()
    }

    /// The names that are taken in the folder, sorted.
    pub fn taken(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let mut names: Vec<String> = entries.filter_map(|entry| entry.file_name().into_string().ok()).collect();
        names.sort();
        names
    }

    /// The title of a plan, if its text has one.
    pub fn title(&self, plan: &str) -> Option<String> {
        let text = self.file(plan).ok()?.text?;
        text.parse::<toml_edit::DocumentMut>().ok()?.get("title")?.as_str().map(str::to_owned)
    }

    /// The names of all files of a plan: its own, the yard and the shed that it names, and its day book, whether they are there or
    /// not; none if there is no such plan here.
    pub fn names(&self, plan: &str) -> Vec<String> {
        if !self.is_plan(plan) {
            return Vec::new();
        }
        let text = self.file(plan).ok().and_then(|file| file.text).unwrap_or_default();
        let [yard, shed] = ["yard", "shed"].map(|key| named(&text, key));
        let all = [Some(plan.to_owned()), yard, shed, Some(daybook_name(plan))];
        let mut names: Vec<String> = all.into_iter().flatten().filter(|name| self.path(name).is_some()).collect();
        names.dedup();
        names
    }

    fn is_plan(&self, name: &str) -> bool {
        Some(name) == self.first() || (name.ends_with(PLAN) && !name.starts_with('.') && !name.contains('/'))
    }

    /// Where a file of this name lies, if that is in the folder: no way up, no root, no link that leads elsewhere.
    fn path(&self, name: &str) -> Option<PathBuf> {
        let plain = Path::new(name).components().all(|part| matches!(part, Component::Normal(_)));
        let known = name.ends_with(".toml") || name.ends_with(".daybook.jsonl");
        if !plain || !known || name.contains(['\\', '\0', ':']) {
            return None;
        }
        let path = self.folder.join(name);
        // What is there is looked at as it is; what is not there yet by its folder.
        let real = match fs::symlink_metadata(&path) {
            Ok(there) => path.canonicalize().ok().filter(|_| there.is_file())?,
            Err(_) => path.parent()?.canonicalize().ok()?.join(path.file_name()?),
        };
        (real == path).then_some(path)
    }

    /// A file of a plan.
    ///
    /// # Errors
    /// A message, if it cannot be read as text.
    pub fn file(&self, name: &str) -> Result<Filed, String> {
        let Some(path) = self.path(name).filter(|path| path.exists()) else { return Ok(filed(None)) };
        let told = |why: String| format!("`{name}` cannot be read: {why}");
        let file = fs::File::open(path).map_err(|error| told(files::reason(&error)))?;
        let bytes = files::read_open(&file, files::MOST_OF_A_BOOK, "file of a plan").map_err(told)?;
        String::from_utf8(bytes).map(|text| filed(Some(text))).map_err(|_| told("it is no text in UTF-8".into()))
    }

    /// Writes a file whole, if it still says what the stamp stands for. A day book is never written over.
    ///
    /// # Errors
    /// [`Unwritten`] says why not.
    pub fn write(&self, name: &str, stamp: &str, text: String) -> Result<String, Unwritten> {
        let own = !is_book(name) && (self.is_plan(name) || self.is_named(name));
        let path = self.path(name).filter(|_| own).ok_or(Unwritten::Strange)?;
        let _writing = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let there = self.file(name).map_err(Unwritten::Failed)?;
        if there.stamp != stamp {
            return Err(Unwritten::Changed(there));
        }
        files::write(&path, text.as_bytes()).map_err(Unwritten::Failed)?;
        Ok(filed(Some(text)).stamp)
    }

    /// Appends a line to the day book of a plan, if it still says what the stamp stands for.
    ///
    /// # Errors
    /// [`Unwritten`] says why not.
    pub fn append(&self, name: &str, stamp: &str, line: &str) -> Result<String, Unwritten> {
        let path = self.path(name).filter(|_| is_book(name) && self.is_named(name)).ok_or(Unwritten::Strange)?;
        let line = line.trim_end();
        let is_entry = serde_json::from_str::<serde_json::Map<String, serde_json::Value>>(line).is_ok();
        if !is_entry || line.contains(['\n', '\r']) {
            return Err(Unwritten::Unfit("a day book is made of lines, each an object of JSON"));
        }
        let _writing = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let failed = |error: std::io::Error| Unwritten::Failed(files::reason(&error));
        let mut file = OpenOptions::new().read(true).append(true).create(true).open(path).map_err(failed)?;
        file.lock().map_err(failed)?;
        let there = self.file(name).map_err(Unwritten::Failed)?;
        let had = there.text.clone().unwrap_or_default();
        // An empty book says no more than none.
        if there.stamp != stamp && !(had.is_empty() && stamp == NONE) {
            return Err(Unwritten::Changed(there));
        }
        let begin = if had.is_empty() || had.ends_with('\n') { "" } else { "\n" };
        let grown = format!("{begin}{line}\n");
        file.write_all(grown.as_bytes()).and_then(|()| file.sync_all()).map_err(failed)?;
        Ok(filed(Some(had + &grown)).stamp)
    }

    /// Whether a plan of the folder names this file.
    fn is_named(&self, name: &str) -> bool {
        self.plans().iter().any(|plan| self.names(plan).iter().any(|named| named == name))
    }
}

fn unread(path: &Path, error: &std::io::Error) -> String {
    format!("`{}` cannot be read: {}", path.display(), files::reason(error))
}

fn is_book(name: &str) -> bool {
    name.ends_with(".daybook.jsonl")
}

/// The file that a plan names by a key. A text that is no TOML for the moment is looked through line by line, so that its files do
/// not go and come while it is typed.
fn named(text: &str, key: &str) -> Option<String> {
    if let Ok(document) = text.parse::<toml_edit::DocumentMut>() {
        return document.get(key)?.as_str().map(str::to_owned);
    }
    let value =
        |line: &str| line.trim().strip_prefix(key)?.trim_start().strip_prefix('=').map(str::trim).map(str::to_owned);
    let value = text.lines().find_map(value)?;
    value.parse::<toml_edit::Value>().ok()?.as_str().map(str::to_owned)
}

fn filed(text: Option<String>) -> Filed {
    let stamp = text.as_ref().map_or(NONE.to_owned(), |text| {
        Sha256::digest(text.as_bytes())[..16].iter().map(|byte| format!("{byte:02x}")).collect()
    });
    Filed { text, stamp }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAN: &str = "format = 1\nyard = \"a.yard.toml\"\nshed = \"sub/b.shed.toml\"\n";

    fn bench(plan: &str) -> (tempfile::TempDir, Bench) {
        let folder = tempfile::tempdir().expect("a folder");
        fs::write(folder.path().join("x.plan.toml"), plan).expect("written");
        fs::create_dir(folder.path().join("sub")).expect("made");
        let bench = Bench::of(Some(&folder.path().join("x.plan.toml"))).expect("a plan");
        (folder, bench)
    }

    #[test]
    fn it_knows_the_files_that_the_plan_names() {
        let (_folder, bench) = bench(PLAN);
        assert_eq!(bench.names("x.plan.toml"), ["x.plan.toml", "a.yard.toml", "sub/b.shed.toml", "x.daybook.jsonl"]);
    }

    #[test]
    fn a_plan_cannot_name_a_file_elsewhere() {
        for strange in ["../a.yard.toml", "/etc/passwd", "/var/a.toml", "sub/../../a.toml", "a.yard.toml/..", "passwd"]
        {
            let (_folder, bench) = bench(&format!("yard = \"{strange}\"\n"));
            assert_eq!(bench.names("x.plan.toml"), ["x.plan.toml", "x.daybook.jsonl"], "{strange}");
            assert_eq!(bench.write(strange, "none", "x".into()), Err(Unwritten::Strange), "{strange}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_link_leads_nowhere() {
        let elsewhere = tempfile::tempdir().expect("a folder");
        let secret = elsewhere.path().join("secret.toml");
        fs::write(&secret, "secret").expect("written");
        let (folder, bench) = bench("yard = \"a.yard.toml\"\nshed = \"out/b.shed.toml\"\n");
        std::os::unix::fs::symlink(&secret, folder.path().join("a.yard.toml")).expect("linked");
        std::os::unix::fs::symlink(elsewhere.path(), folder.path().join("out")).expect("linked");
        assert_eq!(bench.names("x.plan.toml"), ["x.plan.toml", "x.daybook.jsonl"]);
        assert_eq!(bench.file("a.yard.toml").expect("text").text, None);
        assert_eq!(bench.write("a.yard.toml", "none", "x".into()), Err(Unwritten::Strange));
        assert_eq!(bench.write("out/b.shed.toml", "none", "x".into()), Err(Unwritten::Strange));
        assert_eq!(fs::read_to_string(&secret).expect("there"), "secret");
    }

    #[test]
    fn what_changed_meanwhile_is_not_written_over() {
        let (folder, bench) = bench(PLAN);
        let first = bench.write("a.yard.toml", "none", "one".into()).expect("new");
        assert_eq!(first, bench.file("a.yard.toml").expect("text").stamp);
        fs::write(folder.path().join("a.yard.toml"), "another hand").expect("written");
        let there = bench.file("a.yard.toml").expect("text");
        assert_eq!(bench.write("a.yard.toml", &first, "two".into()), Err(Unwritten::Changed(there)));
        assert_eq!(bench.file("a.yard.toml").expect("text").text.as_deref(), Some("another hand"));
        let stamp = bench.file("a.yard.toml").expect("text").stamp;
        assert!(bench.write("a.yard.toml", &stamp, "two".into()).is_ok());
        assert_eq!(bench.file("a.yard.toml").expect("text").text.as_deref(), Some("two"));
    }

    #[test]
    fn a_day_book_only_grows() {
        let (_folder, bench) = bench(PLAN);
        let one = bench.append("x.daybook.jsonl", "none", "{\"n\":1}").expect("begun");
        assert!(matches!(bench.append("x.daybook.jsonl", "none", "{\"n\":1}\n"), Err(Unwritten::Changed(_))));
        bench.append("x.daybook.jsonl", &one, "{\"n\":2}\n").expect("grown");
        assert_eq!(bench.file("x.daybook.jsonl").expect("text").text.as_deref(), Some("{\"n\":1}\n{\"n\":2}\n"));
        let stamp = bench.file("x.daybook.jsonl").expect("text").stamp;
        for unfit in ["{\"n\":3", "", "3", "{\"n\":3}\n{\"n\":4}"] {
            assert!(matches!(bench.append("x.daybook.jsonl", &stamp, unfit), Err(Unwritten::Unfit(_))), "{unfit}");
        }
        assert_eq!(bench.append("a.yard.toml", "none", "x\n"), Err(Unwritten::Strange));
        assert_eq!(bench.write("x.daybook.jsonl", &stamp, "".into()), Err(Unwritten::Strange));
    }
    #[test]
    fn a_line_that_was_cut_off_stays_alone() {
        let (folder, bench) = bench(PLAN);
        fs::write(folder.path().join("x.daybook.jsonl"), "{\"n\":1}\n{\"n\"").expect("written");
        let stamp = bench.file("x.daybook.jsonl").expect("text").stamp;
        bench.append("x.daybook.jsonl", &stamp, "{\"n\":2}").expect("grown");
        let text = bench.file("x.daybook.jsonl").expect("text").text;
        assert_eq!(text.as_deref(), Some("{\"n\":1}\n{\"n\"\n{\"n\":2}\n"));
    }

    #[test]
    fn a_text_that_is_half_typed_still_names_its_files() {
        let (_folder, bench) = bench(&format!("{PLAN}[piece.trough\nlength = "));
        assert_eq!(bench.names("x.plan.toml"), ["x.plan.toml", "a.yard.toml", "sub/b.shed.toml", "x.daybook.jsonl"]);
    }

    #[test]
    fn what_is_no_text_is_told_and_left_alone() {
        let (folder, bench) = bench(PLAN);
        fs::write(folder.path().join("a.yard.toml"), [0xff, 0xfe]).expect("written");
        assert!(bench.file("a.yard.toml").is_err_and(|why| why.contains("UTF-8")));
        assert!(matches!(bench.write("a.yard.toml", "none", "x".into()), Err(Unwritten::Failed(_))));
        assert_eq!(fs::read(folder.path().join("a.yard.toml")).expect("there"), [0xff, 0xfe]);
    }

    #[test]
    fn new_plans_come_into_the_folder_and_bring_their_files() {
        let (_folder, bench) = bench(PLAN);
        assert_eq!(bench.write("y.yard.toml", "none", "".into()), Err(Unwritten::Strange));
        bench.write("y.plan.toml", "none", "yard = \"y.yard.toml\"".into()).expect("new");
        bench.write("y.yard.toml", "none", "".into()).expect("named by now");
        assert_eq!(bench.plans(), ["x.plan.toml", "y.plan.toml"]);
        assert!(matches!(bench.write("y.plan.toml", "none", "".into()), Err(Unwritten::Changed(_))));
        assert_eq!(bench.write("sub/z.plan.toml", "none", "".into()), Err(Unwritten::Strange));
    }
}
