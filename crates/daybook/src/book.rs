//! The whole file: lines that count, lines that were cut off, and what comes next.

use crate::entry::{Entry, What};
use crate::fields::Wrong;
use crate::lines;
use measure::Unit;
use std::collections::BTreeSet;
use std::fmt;

/// The longest day book that is read, in bytes.
pub const MOST_BYTES: usize = 4 << 20;
/// The most lines that a day book has.
pub const MOST_LINES: usize = 10_000;

/// A day book as it was read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Book {
    entries: Vec<Entry>,
    /// How many cut-off lines stand at its end.
    cut_off: u32,
    /// Whether its last line has no line feed yet.
    open: bool,
    lines: usize,
}

/// Why a day book is refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadBook {
    /// The line, from 1, if it lies in one.
    pub line: Option<usize>,
    /// What is wrong, without a full stop.
    pub message: String,
}

impl fmt::Display for BadBook {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line} of the day book cannot be read: {}", self.message),
            None => write!(f, "the day book cannot be read: {}", self.message),
        }
    }
}

impl Book {
    /// Reads a day book, whatever the bytes are.
    ///
    /// # Errors
    /// A broken line with whole lines behind it, numbers out of turn, an undo of what is not there, too many lines.
    pub fn read(bytes: &[u8]) -> Result<Book, BadBook> {
        let whole = |message: String| BadBook { line: None, message };
        if bytes.len() > MOST_BYTES {
            return Err(whole(format!("it is longer than {} MiB", MOST_BYTES >> 20)));
        }
        let open = bytes.last().is_some_and(|&byte| byte != b'\n');
        let text = bytes.strip_suffix(b"\n").unwrap_or(bytes);
        let mut book = Book { open, ..Book::default() };
        if bytes.is_empty() {
            return Ok(book);
        }
        let mut broken: Option<BadBook> = None;
        for (at, line) in text.split(|&byte| byte == b'\n').enumerate() {
            if at >= MOST_LINES {
                return Err(whole(format!("it has more than {MOST_LINES} lines")));
            }
            book.lines = at + 1;
            match line_of(line) {
                // Half a line is what a writer leaves that was stopped.
                Err(Wrong { message, half: true }) => {
                    broken.get_or_insert(BadBook { line: Some(at + 1), message });
                    book.cut_off += 1;
                }
                // A whole line that means nothing is no half one, and no line before it was the last.
                Err(Wrong { message, half: false }) => {
                    return Err(broken.unwrap_or(BadBook { line: Some(at + 1), message }));
                }
                Ok(entry) if entry.cut_off == book.cut_off => {
                    book.take(entry).map_err(|message| BadBook { line: Some(at + 1), message })?;
                    (broken, book.cut_off) = (None, 0);
                }
                // Nothing says that the broken lines before this one were cut off.
                Ok(entry) => return Err(broken.unwrap_or_else(|| miscounted(at + 1, &entry, book.cut_off))),
            }
        }
        Ok(book)
    }

    fn take(&mut self, entry: Entry) -> Result<(), String> {
        let next = self.entries.len() + 1;
        if usize::try_from(entry.number) != Ok(next) {
            return Err(format!("it has the number {}, and {next} comes next", entry.number));
        }
        match entry.what {
            What::Undo { entry: undone } => self.can_undo(undone)?,
            What::Took { entry: of, .. } if self.entry(of).is_none() => {
                return Err(format!("there is no entry {of} before it to take a way out of"));
            }
            _ => {}
        }
        self.entries.push(entry);
        Ok(())
    }

    /// Whether an entry can be undone.
    ///
    /// # Errors
    /// If there is none of this number, if it is an undo itself, or if it was undone before.
    pub fn can_undo(&self, number: u32) -> Result<(), String> {
        match self.entry(number).map(|entry| &entry.what) {
            None => Err(format!("there is no entry {number} to undo")),
            Some(What::Undo { .. }) => Err(format!("entry {number} is an undo; write what it undid again")),
            Some(_) if self.undone().contains(&number) => Err(format!("entry {number} was undone before")),
            Some(_) => Ok(()),
        }
    }

    /// All entries, in order.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The entry of a number.
    pub fn entry(&self, number: u32) -> Option<&Entry> {
        let at = usize::try_from(number).ok()?.checked_sub(1)?;
        self.entries.get(at)
    }

    fn undone(&self) -> BTreeSet<u32> {
        let undone = |entry: &Entry| if let What::Undo { entry } = entry.what { Some(entry) } else { None };
        self.entries.iter().filter_map(undone).collect()
    }

    /// The entries that count: no undo, nothing that was undone, and no way out of what was undone.
    pub fn counting(&self) -> impl Iterator<Item = &Entry> {
        let undone = self.undone();
        self.entries.iter().filter(move |entry| {
            let of_undone = matches!(entry.what, What::Took { entry, .. } if undone.contains(&entry));
            !matches!(entry.what, What::Undo { .. }) && !of_undone && !undone.contains(&entry.number)
        })
    }

    /// What to say of lines at the end that were cut off while they were written.
    pub fn notice(&self) -> Option<String> {
        let last = self.lines;
        match self.cut_off {
            0 => None,
            1 => Some(format!("line {last} of the day book was cut off while it was written, and is left out")),
            many => {
                let first = last + 1 - many as usize;
                Some(format!(
                    "lines {first} to {last} of the day book were cut off while they were written, and are left out"
                ))
            }
        }
    }

    /// The next entry and the text that appends it to the file as it was read; lengths in the unit of the plan.
    ///
    /// # Errors
    /// If the book is full, or the entry could not be read back: an undo of what is not there, a name that is too long.
    pub fn next(&self, plan: &str, what: What, unit: Unit) -> Result<(Entry, String), String> {
        let number = u32::try_from(self.entries.len() + 1).map_err(|_| "the day book is full".to_owned())?;
        if self.lines >= MOST_LINES {
            return Err(format!("the day book is full: it has {MOST_LINES} lines"));
        }
        let entry = Entry { number, plan: plan.to_owned(), cut_off: self.cut_off, what };
        let line = lines::written(&entry, unit);
        let read = lines::read(&line).map_err(|wrong| wrong.message)?;
        self.clone().take(read)?;
        let begin = if self.open { "\n" } else { "" };
        Ok((entry, format!("{begin}{line}\n")))
    }
}

fn line_of(line: &[u8]) -> Result<Entry, Wrong> {
    let text = std::str::from_utf8(line).map_err(|_| Wrong { message: "it is not UTF-8".into(), half: true })?;
    lines::read(text)
}

fn miscounted(line: usize, entry: &Entry, there: u32) -> BadBook {
    let message = format!("it says that {} lines before it were cut off, and {there} were", entry.cut_off);
    BadBook { line: Some(line), message }
}
