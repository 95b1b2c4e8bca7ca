//! A note as JSON: what `scantling note` takes, under the keys of the day book; and what it changes.

use crate::refused;
use crate::request::{Answer, Files, Not, Request};
use scantling::{Effort, Note, Unnoted, WayOut, daybook_name};
use serde_json::{Value, json};

/// The line that an entry appends to the day book, what it changes, and the ways out if it is a mishap.
pub(crate) fn noted(request: &Request<'_>) -> Answer {
    let (plan, files) = (request.text("plan")?, request.files()?);
    let entry = request.object("entry")?.map(|entry| Value::Object(entry.clone()));
    let entry = entry.ok_or_else(|| Not::Asked("the request lacks `entry`, an object".into()))?;
    let entry = read(&entry).map_err(Not::Asked)?;
    let effort = Effort::default();
    let noted = scantling::note(plan, &files, &entry, &effort, request.stop).map_err(|unnoted| match unnoted {
        Unnoted::Refused(refused) => Not::Out(refused::refused(&refused)),
        Unnoted::Said(text) => Not::Out(json!({ "text": text, "problems": [], "ways_out": [] })),
    })?;
    let book = daybook_name(plan);
    let mut with = files.0.clone();
    with.insert(book.clone(), (files.text(&book).unwrap_or_default().to_owned() + &noted.append).into());
    let with = Files(&with);
    let after = scantling::run(plan, &with, &effort, request.stop);
    let change = |change: &scantling::Change| json!({ "what": change.what, "was": change.was, "is": change.is, "why": noted.why() });
    let ways = scantling::read_plan(plan, &with)
        .and_then(|(read, _)| scantling::ways_out(plan, &with, noted.number, &read.shed.rates, &effort, request.stop));
    let mut answer = json!({
        "line": noted.append,
        "number": noted.number,
        "changes": noted.changes(&after).iter().map(change).collect::<Vec<Value>>(),
        "ways_out": ways.unwrap_or_default().iter().enumerate().map(way).collect::<Vec<Value>>(),
    });
    if let Err(why) = &after {
        // The tape does not lie: the entry is kept, and what it makes impossible is told.
        answer["refused"] = refused::refused(why);
    }
    Ok(answer)
}

/// A way out, with its number among all of them, by which it is taken.
fn way((at, way): (usize, &WayOut)) -> Value {
    json!({
        "words": way.does,
        "money": way.money.map(|money| money.to_string()),
        "minutes": way.minutes,
        "way": at + 1,
    })
}

/// Reads a note: `what` is the kind of entry, the other keys are those of its entry in the day book, with lengths as texts. The
/// parts of a cut are ids or slots; `way` of `took` is the number in the list of ways out.
///
/// # Errors
/// A key that is missing or is of another kind, or an entry that is not known.
pub fn read(note: &Value) -> Result<Note, String> {
    let entry = Entry(note);
    Ok(match entry.text("what")?.as_str() {
        "only" => Note::Only { board: entry.text("board")?, length: entry.text("length")?, left: entry.count("left")? },
        "bought" => {
            Note::Bought { board: entry.text("board")?, length: entry.text("length")?, count: entry.count("count")? }
        }
        "width" => Note::Width { board: entry.text("board")?, over: entry.count("over")?, reads: entry.text("reads")? },
        "thickness" => {
            let sheet = entry.has("sheet");
            let name = entry.text(if sheet { "sheet" } else { "board" })?;
            Note::Thickness { sheet, name, reads: entry.text("reads")? }
        }
        "true-length" => Note::TrueLength {
            board: entry.text("board")?,
            length: entry.text("length")?,
            reads: entry.list("reads", text)?,
        },
        "kerf" => Note::Kerf { reads: entry.text("reads")? },
        "units" => Note::Units {
            unit: entry.text("unit")?,
            over: entry.count("over")?,
            joint: entry.text("joint")?,
            widths: match entry.text("along")?.as_str() {
                "length" => false,
                "width" => true,
                _ => return Err("`along` is neither `length` nor `width`".into()),
            },
            reads: entry.text("reads")?,
        },
        "cut" => Note::Cut {
            parts: entry.list("parts", text)?,
            from: if entry.has("from") { entry.list("from", count)? } else { Vec::new() },
            length: if entry.has("length") { Some(entry.text("length")?) } else { None },
        },
        "wrong" => Note::Wrong {
            part: entry.text("part")?,
            from: if entry.has("from") { Some(entry.count("from")?) } else { None },
            length: entry.text("length")?,
        },
        "took" => Note::Took { entry: entry.count("entry")?, way: entry.count("way")? as usize },
        "undo" => Note::Undo { entry: entry.count("entry")? },
        other => return Err(format!("no entry is called `{}`", other.escape_debug())),
    })
}

/// The object that says a note.
struct Entry<'v>(&'v Value);

impl Entry<'_> {
    fn has(&self, key: &str) -> bool {
        self.0.get(key).is_some()
    }

    fn text(&self, key: &str) -> Result<String, String> {
        self.0.get(key).and_then(text).ok_or_else(|| format!("`{key}` of the note is no text"))
    }

    fn count(&self, key: &str) -> Result<u32, String> {
        self.0.get(key).and_then(count).ok_or_else(|| format!("`{key}` of the note is no count"))
    }

    fn list<T>(&self, key: &str, of: fn(&Value) -> Option<T>) -> Result<Vec<T>, String> {
        let items = self.0.get(key).and_then(Value::as_array);
        let read: Option<Vec<T>> = items.and_then(|items| items.iter().map(of).collect());
        read.ok_or_else(|| format!("`{key}` of the note is no list of such"))
    }
}

fn text(value: &Value) -> Option<String> {
    value.as_str().map(str::to_owned)
}

fn count(value: &Value) -> Option<u32> {
    value.as_u64().and_then(|count| u32::try_from(count).ok())
}
