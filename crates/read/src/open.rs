//! From a name to a sound tree of tables: asks the world for the bytes, and holds the limits before anything is parsed.

use crate::document::{self, Document, Form, Table};
use crate::limits::LIMITS;
use crate::sources::{Source, Sources};
use crate::suggest::quote;
use model::problem::{File, Place, Problem};

/// The outside world: the one way by which files come in.
pub trait World {
    /// The bytes of a file, by its name as the plan has it.
    ///
    /// # Errors
    /// [`Missing`] if there are none, with the reason in words.
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing>;

    /// The bytes of a file that need not be there: the day book. A world that keeps none has nothing else to say.
    ///
    /// # Errors
    /// [`Missing`] if it is there and cannot be had.
    fn file_if_there(&self, _name: &str) -> Result<Option<Vec<u8>>, Missing> {
        Ok(None)
    }
}

/// Why a file cannot be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// In words, without a full stop: `there is no such file`.
    pub reason: String,
}

/// Fetches and parses a file; `asked` is where the plan names it. What is wrong goes to `problems`, and `None` means that
/// the file has no tables worth reading.
pub(crate) fn open(
    (file, name, asked): (File, &str, Option<&Place>),
    world: &dyn World,
    sources: &mut Sources,
    problems: &mut Vec<Problem>,
) -> Option<Document> {
    let bytes = match world.file(name) {
        Ok(bytes) => bytes,
        Err(Missing { reason }) => {
            problems.push(cannot_be_read(file, name, asked, &reason));
            return None;
        }
    };
    if bytes.len() > LIMITS.file {
        sources.put(file, Source { name: name.to_owned(), text: String::new() });
        problems.push(too_long(name, bytes.len()));
        return None;
    }
    let text = match String::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            // The bytes before `at` are valid and stay as they are, so the mark for the bad byte stands at `at`.
            let text = String::from_utf8_lossy(error.as_bytes()).into_owned();
            problems.push(not_text(file, name, at, error.as_bytes()));
            sources.put(file, Source { name: name.to_owned(), text });
            return None;
        }
    };
    let (document, found) = document::parse(file, &text);
    sources.put(file, Source { name: name.to_owned(), text });
    if let Some(other) = document.as_ref().and_then(|document| other_file(file, &document.top)) {
        // What is wrong in the wrong file is of no use to anybody.
        problems.push(other);
        return None;
    }
    problems.extend(found);
    document
}

/// The keys by which each of the three files is known.
const MARKS: [(File, &[&str]); 3] = [
    (File::Plan, &["piece", "yard", "shed", "prefer"]),
    (File::Yard, &["currency", "board", "sheet", "unit"]),
    (File::Shed, &["saw", "reserve", "hands"]),
];

/// Says so if a file has nothing of its own kind, and something of another.
fn other_file(file: File, top: &Table) -> Option<Problem> {
    let mark = |of: File| {
        let (_, keys) = MARKS.iter().find(|(this, _)| *this == of)?;
        let texts = ["currency", "yard", "shed", "prefer"];
        top.entries.iter().find(|entry| {
            let fits = match entry.item.form {
                Form::Table(_) | Form::List(_) => !texts.contains(&entry.key.as_str()),
                _ => texts.contains(&entry.key.as_str()),
            };
            fits && keys.contains(&entry.key.as_str())
        })
    };
    if mark(file).is_some() {
        return None;
    }
    let (other, found) = MARKS.iter().find_map(|(other, _)| mark(*other).map(|found| (*other, found)))?;
    let place = Place { file, bytes: found.bytes.clone() };
    let (expected, hint) = match file {
        File::Plan => (
            "expected a plan, with tables `[piece.NAME]`",
            "name the plan: it has tables `[piece.NAME]`, and names its yard and its shed itself",
        ),
        File::Yard => (
            "expected a yard, with tables `[board.NAME]`, `[sheet.NAME]` or `[unit.NAME]`",
            "name a yard behind the key `yard` of the plan",
        ),
        File::Shed => ("expected a shed, with a table `[saw]`", "name a shed behind the key `shed` of the plan"),
    };
    let problem = Problem::new(format!("this looks like a {}, not a {}", file_word(other), file_word(file)));
    Some(problem.at(&place).expected(expected).hint(hint))
}

/// A file in a word.
pub(crate) fn file_word(file: File) -> &'static str {
    match file {
        File::Plan => "plan",
        File::Yard => "yard",
        File::Shed => "shed",
    }
}

fn cannot_be_read(file: File, name: &str, asked: Option<&Place>, reason: &str) -> Problem {
    let problem = Problem::new(format!("the {} `{}` cannot be read: {reason}", file_word(file), quote(name)));
    match asked {
        Some(place) => problem
            .at(place)
            .expected(format!("expected the name of a {} file", file_word(file)))
            .hint("names are looked for from the folder of the plan"),
        None => problem,
    }
}

fn too_long(name: &str, length: usize) -> Problem {
    Problem::new(format!("`{}` is {length} bytes long, and at most {} are read", quote(name), LIMITS.file))
        .hint("a plan, a yard or a shed is a few pages of text: is this the right file?")
}

fn not_text(file: File, name: &str, at: usize, bytes: &[u8]) -> Problem {
    let byte = bytes.get(at).copied().unwrap_or_default();
    let place = Place { file, bytes: at..at + '\u{fffd}'.len_utf8() };
    Problem::new(format!("`{}` is not UTF-8 text: byte {at} is 0x{byte:02x}", quote(name)))
        .at(&place)
        .expected("expected a character in UTF-8")
        .hint("save the file as UTF-8 in your editor")
}
