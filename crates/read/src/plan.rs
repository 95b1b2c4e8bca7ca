//! The plan, and through it the yard and the shed: everything read, everything checked, everything wrong said at once.

use crate::check;
use crate::document::{Document, Entry, Form, Table};
use crate::files::{FORMAT, PLAN};
use crate::joined;
use crate::limits::LIMITS;
use crate::open::{World, open};
use crate::shed;
use crate::sources::Sources;
use crate::suggest::{list, nearest, quote};
use crate::values::{Reader, unit};
use crate::ways::{self, WayNames};
use crate::yard;
use measure::Tape;
use model::plan::{PieceText, Plan, Prefer, Region, Site, Wind};
use model::problem::{File, Place, Problem};
use model::schema::{Schema, Values};
use model::standing::Standing;

/// The words that a plan may use and that other crates know.
#[derive(Clone, Copy, Debug)]
pub struct Vocabulary<'a> {
    /// The schema of each kind of piece; its name is the word after `is =`.
    pub pieces: &'a [&'static Schema],
    /// The names of the materials whose density the handbook has.
    pub materials: &'a [&'a str],
}

/// A plan that was read without a fault.
#[derive(Clone, Debug)]
pub struct Read {
    /// The plan with its yard and shed.
    pub plan: Plan,
    /// The texts, to show later problems in.
    pub sources: Sources,
    /// The ways that it states, and which of them this is.
    pub ways: WayNames,
}

/// Everything that is wrong with a plan, its yard and its shed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Report {
    /// In the order plan, yard, shed, and there in the order of the text; at least one.
    pub problems: Vec<Problem>,
    /// The texts, to show the problems in.
    pub sources: Sources,
}

/// Reads a plan with the yard and the shed that it names.
///
/// # Errors
/// A [`Report`] with every problem of all three files. A file that cannot be parsed is reported with all its syntax
/// errors and not read further; what hangs on it in the other files is then not held against it.
#[expect(clippy::result_large_err, reason = "read once for a whole plan, and the caller wants the texts")]
pub fn plan(name: &str, world: &dyn World, vocabulary: &Vocabulary<'_>) -> Result<Read, Report> {
    plan_by(name, None, world, vocabulary)
}

/// Reads a plan as one of its ways has it; without a name that is the one that its key `build` names.
///
/// # Errors
/// As [`plan()`]; and if no way is called so.
#[expect(clippy::result_large_err, reason = "read once for a whole plan, and the caller wants the texts")]
pub fn plan_by(name: &str, way: Option<&str>, world: &dyn World, vocabulary: &Vocabulary<'_>) -> Result<Read, Report> {
    let mut sources = Sources::default();
    let mut problems = Vec::new();
    let document = open((File::Plan, name, None), world, &mut sources, &mut problems);
    let (versions, names) = match &document {
        Some(document) => ways::versions(document, way, &mut problems),
        None => (Vec::new(), WayNames::default()),
    };
    let (yard_name, shed_name) = match &document {
        Some(document) => (companion(document, "yard"), companion(document, "shed")),
        None => (None, None),
    };
    let yard_document = yard_name
        .as_ref()
        .and_then(|(name, place)| open((File::Yard, name, Some(place)), world, &mut sources, &mut problems));
    let shed_document = shed_name
        .as_ref()
        .and_then(|(name, place)| open((File::Shed, name, Some(place)), world, &mut sources, &mut problems));
    let mut yard = yard_document.as_ref().map(|document| yard::read(document, vocabulary.materials));
    let mut shed = shed_document.as_ref().map(shed::read);
    if let (Some(yard), Some(shed)) = (&mut yard, &mut shed) {
        joined::join(shed, yard.shelves.as_ref(), &mut yard.yard);
    }

    let mut parts = (None, None, None);
    for (at, version) in versions.iter().enumerate() {
        let mut top = read_top(version, vocabulary);
        let mut found = Vec::new();
        check::references(&mut top, yard.as_ref().and_then(|yard| yard.shelves.as_ref()), &mut found);
        found.append(&mut top.problems);
        // What is wrong in the plan is wrong in each of its ways, and told once.
        problems.extend(found.into_iter().filter(|one| !problems.contains(one)).collect::<Vec<Problem>>());
        if at == names.chosen {
            parts.0 = top.finished();
        }
    }
    if let Some(mut yard) = yard {
        problems.append(&mut yard.problems);
        parts.1 = yard.yard;
    }
    if let Some(mut shed) = shed {
        problems.append(&mut shed.reader.problems);
        parts.2 = shed.shed;
    }
    match parts {
        (Some(head), Some(yard), Some(shed)) if problems.is_empty() => {
            let Head { title, tape, prefer, site, pieces } = head;
            let plan = Plan { title, tape, prefer, site, pieces, yard, shed, standing: Standing::default() };
            Ok(Read { plan, sources, ways: names })
        }
        _ => Err(Report { problems: in_order(problems, name), sources }),
    }
}

/// What the plan's own text says, as far as it could be read.
pub(crate) struct PlanText {
    title: Option<String>,
    tape: Option<Tape>,
    prefer: Option<Prefer>,
    site: Site,
    /// The pieces that could be read, each with where its name stands.
    pub pieces: Vec<PieceText>,
    /// The names of all pieces, also of those that could not be read.
    pub names: Vec<String>,
    /// What is wrong with it.
    pub problems: Vec<Problem>,
}

struct Head {
    title: String,
    tape: Tape,
    prefer: Prefer,
    site: Site,
    pieces: Vec<PieceText>,
}

impl PlanText {
    fn finished(self) -> Option<Head> {
        let (title, tape, prefer) = (self.title?, self.tape?, self.prefer?);
        Some(Head { title, tape, prefer, site: self.site, pieces: self.pieces })
    }
}

fn read_top(document: &Document, vocabulary: &Vocabulary<'_>) -> PlanText {
    let mut reader = Reader::new(File::Plan, &document.top);
    let mut text = PlanText {
        title: None,
        tape: None,
        prefer: None,
        site: Site::default(),
        pieces: Vec::new(),
        names: Vec::new(),
        problems: Vec::new(),
    };
    if document.sound && is_known_format(&mut reader, &document.top) {
        let values = reader.table(&document.top, &PLAN, &["piece", "way"], "the plan");
        text.title = values.text("title");
        text.tape = tape(&mut reader, &values);
        text.prefer = values.word("prefer").map(|word| match word {
            "cheapest" => Prefer::Cheapest,
            _ => Prefer::Closest,
        });
        text.site = site(&values, text.tape);
        for (key, place) in ["yard", "shed"].map(|key| (key, values.place_of(key))) {
            if let Some(problem) = values.text(key).and_then(|name| not_beside(key, &name)) {
                reader.problems.push(problem.at(&place));
            }
        }
        reader.step = text.tape.map_or(reader.step, Tape::step);
        read_pieces(&mut reader, &document.top, vocabulary, &mut text);
    }
    text.problems = reader.problems;
    text
}

/// Whether the file's format is one that is read; a newer one is reported, and nothing else in it is.
pub(crate) fn is_known_format(reader: &mut Reader, top: &Table) -> bool {
    let Some(item) = top.get("format") else { return true };
    let newer = match &item.form {
        Form::Number(number) => number.parse::<u64>().is_ok_and(|format| format > u64::from(FORMAT)),
        _ => false,
    };
    if let (true, Form::Number(number)) = (newer, &item.form) {
        let problem = Problem::new(format!("this file is of format {number}; this scantling reads up to {FORMAT}"))
            .expected(format!("expected {FORMAT}"))
            .hint("get a newer scantling for this file");
        reader.wrong::<()>(&item.bytes, problem);
    }
    !newer
}

/// What the plan says of where it will stand; the region is the usual one of its tape if it is not said.
fn site(values: &Values, tape: Option<Tape>) -> Site {
    let usual = Site::default();
    let region = values.word("region").and_then(Region::of_word);
    Site {
        region: region.or_else(|| tape.map(|tape| Region::usual(tape.unit()))).unwrap_or(usual.region),
        wind: values.word("wind").and_then(Wind::of_word).unwrap_or(usual.wind),
        children: values.word("children") != Some("none"),
    }
}

fn tape(reader: &mut Reader, values: &Values) -> Option<Tape> {
    let unit = values.word("units").and_then(unit)?;
    let Some(step) = values.length("step") else { return Some(Tape::usual(unit)) };
    let tape = Tape::new(unit, step);
    if tape.is_none() {
        let steps = if unit == measure::Unit::Millimetre {
            "`\"1 mm\"` or `\"0.5 mm\"`"
        } else {
            "`\"1/16 in\"` or `\"1/32 in\"`"
        };
        let problem = Problem::new(format!("no tape of these units has marks every {}", reader.show(step)))
            .expected(format!("expected {steps}"))
            .hint("a tape has marks in its own units: see the key `units`");
        reader.problems.push(problem.at(&values.place_of("step")));
    }
    tape
}

/// The name of the yard or the shed and where it stands, if it can be read and may be asked for.
fn companion(document: &Document, key: &str) -> Option<(String, Place)> {
    let item = document.top.get(key)?;
    let Form::Text(name) = &item.form else { return None };
    let fits = !name.trim().is_empty() && name.chars().count() <= LIMITS.text;
    (fits && not_beside(key, name).is_none())
        .then(|| (name.clone(), Place { file: File::Plan, bytes: item.bytes.clone() }))
}

/// What is wrong with a name that does not stay beside or below the plan.
fn not_beside(key: &str, name: &str) -> Option<Problem> {
    let plain = |part: &str| !part.is_empty() && part != "." && part != "..";
    let beside = name.split('/').all(plain) && !name.contains(['\\', ':', '\0']);
    (!beside).then(|| {
        Problem::new(format!("`{key}` does not name a file beside or below the plan: `{}`", quote(name)))
            .expected(format!("expected a name such as `\"home.{key}.toml\"`"))
            .hint(
                "put the file into the folder of the plan, and write its name without `..` and without a drive or root",
            )
    })
}

fn read_pieces(reader: &mut Reader, top: &Table, vocabulary: &Vocabulary<'_>, text: &mut PlanText) {
    let tables = named_tables(reader, top, "piece", LIMITS.pieces);
    let misspelt = top.entries.iter().any(|entry| nearest(&entry.key, &["piece"]).is_some());
    if tables.is_empty() && !misspelt {
        let problem = Problem::new("the plan has no piece")
            .expected("expected a table `[piece.NAME]` in this file")
            .hint(format!("`is` in that table says what it is: {}", list(&kinds(vocabulary), "or")));
        reader.wrong::<()>(&(0..0), problem);
    }
    for named in tables {
        text.names.push(named.name.to_owned());
        let Some(schema) = kind_of(reader, &named, vocabulary) else { continue };
        let values =
            reader.table(named.table, schema, &["is"], &format!("the {} `{}`", schema.name, quote(named.name)));
        text.pieces.push(PieceText { name: named.name.to_owned(), place: named.place, schema, values });
    }
}

fn kinds(vocabulary: &Vocabulary<'_>) -> Vec<&'static str> {
    vocabulary.pieces.iter().map(|schema| schema.name).collect()
}

fn kind_of(reader: &mut Reader, named: &Named<'_>, vocabulary: &Vocabulary<'_>) -> Option<&'static Schema> {
    let kinds = kinds(vocabulary);
    let Some(item) = named.table.get("is") else {
        let problem = Problem::new(format!("the piece `{}` does not say what it is", quote(named.name)))
            .expected("expected the key `is` in here")
            .hint(format!("`is` can be {}", list(&kinds, "or")));
        return reader.wrong(&named.table.bytes, problem);
    };
    let Form::Text(word) = &item.form else {
        let problem = Problem::new(format!("`is` is {}", item.what()));
        return reader.wrong(&item.bytes, problem.expected(format!("expected {}", list(&kinds, "or"))));
    };
    if let Some(schema) = vocabulary.pieces.iter().find(|schema| schema.name == word) {
        return Some(schema);
    }
    let problem =
        Problem::new(format!("no piece is a `{}`", quote(word))).expected(format!("expected {}", list(&kinds, "or")));
    let problem = match nearest(word, &kinds) {
        Some(near) => problem.hint(format!("did you mean `{near}`?")),
        None => problem,
    };
    reader.wrong(&item.bytes, problem)
}

/// A table `[key.NAME]`.
pub(crate) struct Named<'t> {
    /// Its name.
    pub name: &'t str,
    /// Where the name stands.
    pub place: Place,
    /// What stands in it.
    pub table: &'t Table,
}

/// The tables `[key.NAME]` of a file, in the order of the text.
pub(crate) fn named_tables<'t>(reader: &mut Reader, top: &'t Table, key: &str, most: usize) -> Vec<Named<'t>> {
    let Some(item) = top.get(key) else { return Vec::new() };
    let Form::Table(tables) = &item.form else {
        return reader.wrong(&item.bytes, not_named(key, item.what())).unwrap_or_default();
    };
    if tables.entries.len() > most {
        let problem = Problem::new(format!("there are {} tables `[{key}.NAME]`", tables.entries.len()))
            .expected(format!("expected at most {most}"));
        reader.wrong::<()>(&tables.entries[most].bytes, problem);
    }
    let mut named = Vec::new();
    for entry in tables.entries.iter().take(most) {
        let Form::Table(table) = &entry.item.form else {
            reader.wrong::<()>(&entry.bytes, not_named(key, &format!("{} in it", entry.item.what())));
            continue;
        };
        hold_name(reader, key, tables, entry);
        named.push(Named { name: &entry.key, place: reader.place(&entry.bytes), table });
    }
    named
}

fn not_named(key: &str, what: &str) -> Problem {
    Problem::new(format!("`{key}` has {what}, where a table with a name belongs"))
        .expected(format!("expected a table `[{key}.NAME]`"))
        .hint(format!("begin each {key} with a line such as `[{key}.my-{key}]`"))
}

fn hold_name(reader: &mut Reader, key: &str, tables: &Table, entry: &Entry) {
    let name = entry.key.as_str();
    if is_name(name) {
        return;
    }
    let problem = Problem::new(format!("`{}` cannot be the name of a {key}", quote(name)))
        .expected(format!("expected at most {} letters a to z, digits and `-`, a letter or digit first", LIMITS.name));
    let problem = match better_name(name) {
        Some(better) if tables.get(&better).is_some() => problem.hint(format!("`{better}` is taken: write another")),
        Some(better) => problem.hint(format!("write `{better}`")),
        None => problem,
    };
    reader.wrong::<()>(&entry.bytes, problem);
}

fn is_letter(c: char) -> bool {
    c.is_ascii_lowercase() || c.is_ascii_digit()
}

fn is_name(name: &str) -> bool {
    name.chars().count() <= LIMITS.name && name.starts_with(is_letter) && name.chars().all(|c| is_letter(c) || c == '-')
}

/// The name that was probably meant by one that cannot be; one in another script would lose its letters.
fn better_name(name: &str) -> Option<String> {
    let better: String =
        name.to_lowercase().chars().map(|c| if is_letter(c) { c } else { '-' }).take(LIMITS.name).collect();
    let better = better.trim_matches('-');
    (!better.is_empty() && name.is_ascii()).then(|| better.to_owned())
}

/// Whether a name that is used stands for one of these. One that was refused stands for itself in any case of its
/// letters, and for what it should be.
pub(crate) fn is_known(used: &str, names: &[String]) -> bool {
    names.iter().any(|name| {
        let meant = || name.to_lowercase() == used.to_lowercase() || better_name(name).as_deref() == Some(used);
        name == used || (!is_name(name) && meant())
    })
}

/// In the order plan, yard, shed and of their texts. No problem at all cannot be: then there would be a plan.
fn in_order(mut problems: Vec<Problem>, name: &str) -> Vec<Problem> {
    if problems.is_empty() {
        problems
            .push(Problem::new(format!("`{}` cannot be read, and the reason is a fault of this program", quote(name))));
    }
    problems.sort_by_key(|problem| problem.place.as_ref().map(|place| (place.file, place.bytes.start)));
    problems
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Length;

    #[test]
    fn names_stay_beside_the_plan() {
        for name in ["a.toml", "yards/home.toml", "..a", "ä b.toml"] {
            assert_eq!(not_beside("yard", name), None, "{name}");
        }
        for name in ["/etc/passwd", "../a", "a/../b", "C:\\a", "c:a", "a//b", "./a", "a/", "a\\b"] {
            assert!(not_beside("yard", name).is_some(), "{name}");
        }
    }

    #[test]
    fn refused_names_are_known() {
        let names = ["Box", "low bed", "frame"].map(str::to_owned);
        for used in ["Box", "box", "BOX", "low bed", "low-bed", "Low Bed", "frame"] {
            assert!(is_known(used, &names), "{used}");
        }
        for used in ["Frame", "boxes", "bed", ""] {
            assert!(!is_known(used, &names), "{used}");
        }
    }

    #[test]
    fn steps_of_a_tape_lie_in_the_bounds_of_the_table() {
        // The bounds of `step` in the table are whole millimetres around all steps that a tape has.
        for step in [Length::mm(1), Length::nm(500_000), Length::inch_64ths(4), Length::inch_64ths(2)] {
            assert!(step > Length::ZERO && step < Length::mm(2));
        }
    }
}
