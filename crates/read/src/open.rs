//! From a name to a sound tree of tables: asks the world for the bytes, and holds the limits before anything is parsed.

use crate::document::{self, Document};
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
    problems.extend(found);
    sources.put(file, Source { name: name.to_owned(), text });
    document
}

fn word(file: File) -> &'static str {
    match file {
        File::Plan => "plan",
        File::Yard => "yard",
        File::Shed => "shed",
    }
}

fn cannot_be_read(file: File, name: &str, asked: Option<&Place>, reason: &str) -> Problem {
    let problem = Problem::new(format!("the {} `{}` cannot be read: {reason}", word(file), quote(name)));
    match asked {
        Some(place) => problem
            .at(place)
            .expected(format!("expected the name of a {} file", word(file)))
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
