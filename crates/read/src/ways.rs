//! Ways to build the same wishes: the plan with some keys changed, each as a text of its own.

use crate::document::{Document, Entry, Form, Item, Table};
use crate::files::WAY;
use crate::limits::LIMITS;
use crate::plan::{Named, named_tables};
use crate::suggest::{list, nearest, quote};
use crate::values::Reader;
use model::problem::{File, Problem};

/// The name of the plan without any of its ways.
pub const AS_WRITTEN: &str = "as-written";

/// A way by its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayName {
    /// Its name in the plan.
    pub name: String,
    /// What it is called on the page.
    pub label: String,
}

/// The ways that a plan states.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WayNames {
    /// The plan as it is written, then its ways in the order of the file; nothing but the first if it states none.
    pub all: Vec<WayName>,
    /// Which of them was read.
    pub chosen: usize,
}

/// The plan as each way has it, the first as it is written, and what they are called.
pub(crate) fn versions(
    document: &Document,
    asked: Option<&str>,
    problems: &mut Vec<Problem>,
) -> (Vec<Document>, WayNames) {
    let mut reader = Reader::new(File::Plan, &document.top);
    let mut versions = vec![document.clone()];
    let mut all = vec![WayName { name: AS_WRITTEN.to_owned(), label: "as written".to_owned() }];
    for named in named_tables(&mut reader, &document.top, "way", LIMITS.ways) {
        if named.name == AS_WRITTEN {
            let problem = Problem::new(format!("no way can be called `{AS_WRITTEN}`"))
                .expected("that is the plan without any of its ways")
                .hint("write another name");
            reader.problems.push(problem.at(&named.place));
        }
        let values = reader.table(named.table, &WAY, &["piece"], &format!("the way `{}`", quote(named.name)));
        let label = values.text("label").unwrap_or_else(|| named.name.to_owned());
        all.push(WayName { name: named.name.to_owned(), label });
        versions.push(changed(&mut reader, document, &named));
    }
    let chosen = chosen(&mut reader, document, asked, &all);
    problems.append(&mut reader.problems);
    (versions, WayNames { all, chosen })
}

/// Which way is built.
fn chosen(reader: &mut Reader, document: &Document, asked: Option<&str>, all: &[WayName]) -> usize {
    let build = document.top.get("build");
    let written = build.and_then(|item| if let Form::Text(name) = &item.form { Some(name.as_str()) } else { None });
    let known = |name: &str| all.iter().position(|way| way.name == name);
    let names: Vec<&str> = all.iter().map(|way| way.name.as_str()).collect();
    let unknown = |name: &str| {
        let problem = Problem::new(format!("the plan has no way called `{}`", quote(name)))
            .expected(format!("expected {}", list(&names, "or")));
        match nearest(name, &names) {
            Some(near) => problem.hint(format!("did you mean `{near}`?")),
            None => problem.hint("a way begins with a line such as `[way.my-way]`"),
        }
    };
    if let (Some(name), Some(item)) = (written.filter(|name| known(name).is_none()), build) {
        reader.wrong::<()>(&item.bytes, unknown(name));
    }
    if let Some(name) = asked.filter(|name| known(name).is_none()) {
        reader.problems.push(unknown(name));
    }
    asked.or(written).and_then(known).unwrap_or(0)
}

/// The plan as one way has it.
fn changed(reader: &mut Reader, document: &Document, way: &Named<'_>) -> Document {
    let mut version = document.clone();
    let Some(pieces) = version.top.entries.iter_mut().find(|entry| entry.key == "piece") else { return version };
    let Form::Table(pieces) = &mut pieces.item.form else { return version };
    left_out(reader, way.table.get("without"), pieces, "the plan has no piece");
    let Some(item) = way.table.get("piece") else { return version };
    let Form::Table(changes) = &item.form else {
        let problem = Problem::new(format!("`piece` in the way `{}` is {}", quote(way.name), item.what()));
        let header = format!("expected tables `[way.{}.piece.PIECE]`", quote(way.name));
        reader.wrong::<()>(&item.bytes, problem.expected(header));
        return version;
    };
    for change in &changes.entries {
        let Form::Table(keys) = &change.item.form else {
            let problem = Problem::new(format!("`{}` in a way is {}", quote(&change.key), change.item.what()));
            reader.wrong::<()>(&change.item.bytes, problem.expected("expected a table with keys of that piece"));
            continue;
        };
        match pieces.entries.iter_mut().find(|piece| piece.key == change.key) {
            Some(Entry { item: Item { form: Form::Table(piece), .. }, .. }) => replace(reader, piece, keys),
            Some(_) => {}
            None => pieces.entries.push(change.clone()),
        }
    }
    version
}

/// Leaves keys out of a piece and puts others in their place or beside them.
fn replace(reader: &mut Reader, piece: &mut Table, keys: &Table) {
    left_out(reader, keys.get("without"), piece, "the piece does not write the key");
    for key in keys.entries.iter().filter(|key| key.key != "without") {
        match piece.entries.iter_mut().find(|own| own.key == key.key) {
            Some(own) => *own = key.clone(),
            None => piece.entries.push(key.clone()),
        }
    }
}

/// Takes the entries out of a table that a list names.
fn left_out(reader: &mut Reader, names: Option<&Item>, table: &mut Table, lacks: &str) {
    let Some(names) = names else { return };
    let Form::List(items) = &names.form else {
        let problem = Problem::new(format!("`without` is {}", names.what()));
        reader.wrong::<()>(&names.bytes, problem.expected("expected a list of names such as `[\"board\"]`"));
        return;
    };
    for item in items {
        let Form::Text(name) = &item.form else {
            let problem = Problem::new(format!("`without` holds {}", item.what()));
            reader.wrong::<()>(&item.bytes, problem.expected("expected a name in quotes"));
            continue;
        };
        let Some(at) = table.entries.iter().position(|entry| entry.key == *name) else {
            let there: Vec<&str> = table.entries.iter().map(|entry| entry.key.as_str()).collect();
            let problem = Problem::new(format!("{lacks} `{}`, so it cannot be left out", quote(name)));
            let problem = problem.expected("expected something that is written there");
            reader.wrong::<()>(&item.bytes, problem.hint(format!("there are {}", list(&there, "and"))));
            continue;
        };
        table.entries.remove(at);
    }
}
