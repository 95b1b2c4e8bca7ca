//! The forms of plan, yard and shed, table by table, from the schemas and the texts.

use crate::document::{Node, parse};
use crate::request::{Answer, Files, Not, Request, Step};
use scantling::schema::{Default, Field, Kind, Schema, StockKind};
use scantling::{FileForm, TableForm};
use serde_json::{Value, json};

/// The forms of all files that are there and are TOML.
pub(crate) fn form(request: &Request<'_>) -> Answer {
    let (plan, files) = (request.text("plan")?, request.files()?);
    let text = files.text(plan).ok_or_else(|| Not::Asked(format!("there is no file `{}`", plan.escape_debug())))?;
    let document = parse(text).map_err(Not::Asked)?;
    let named = |key: &str| document.get(key).and_then(toml_edit::Item::as_str).unwrap_or_default();
    let names = [plan, named("yard"), named("shed")];
    let context = Context { plan: text, yard: files.text(names[1]).unwrap_or_default() };
    let forms = scantling::forms();
    let of = |(form, name): (&FileForm, &str)| file(form, name, &files, &context);
    Ok(json!({ "files": forms.iter().zip(names).filter_map(of).collect::<Vec<Value>>() }))
}

/// The texts that names in others refer to.
struct Context<'f> {
    plan: &'f str,
    yard: &'f str,
}

fn file(form: &FileForm, name: &str, files: &Files<'_>, context: &Context<'_>) -> Option<Value> {
    let text = files.text(name)?;
    let document = parse(text).ok()?;
    let root = Node::Table(document.as_table());
    let mut tables = vec![table(&[], root, (None, form.top), text, context)];
    for (step, node) in root.below() {
        let Step::Key(key) = &step else { continue };
        let Some(kind) = form.tables.iter().find(|table| table.key == key) else { continue };
        let of_kind = |path: &[Step], node| Some(table(path, node, schema_of(kind, node)?, text, context));
        if kind.single {
            tables.extend(of_kind(&[step], node));
        } else {
            let below = node.below().into_iter();
            tables.extend(below.filter_map(|(name, node)| of_kind(&[step.clone(), name], node)));
        }
    }
    Some(json!({ "name": name, "ending": form.ending, "tables": tables }))
}

/// By which word and schema a table is read; nothing if what it is is not known.
fn schema_of(table: &TableForm, node: Node<'_>) -> Option<(Option<&'static str>, &'static Schema)> {
    let word = match node.step(&Step::Key("is".into())) {
        Some(Node::Value(value)) => value.as_str(),
        _ => None,
    };
    table.kinds.iter().find(|(kind, _)| kind.is_none() || *kind == word).copied()
}

fn table(
    path: &[Step],
    node: Node<'_>,
    (_, schema): (Option<&str>, &Schema),
    text: &str,
    context: &Context<'_>,
) -> Value {
    let step = |step: &Step| match step {
        Step::Key(key) => Value::from(key.as_str()),
        Step::At(at) => Value::from(*at),
    };
    json!({
        "path": path.iter().map(step).collect::<Vec<Value>>(),
        "kind": schema.name,
        "doc": schema.doc,
        "fields": schema.fields.iter().map(|each| field(each, node, text, context)).collect::<Vec<Value>>(),
    })
}

fn field(field: &Field, table: Node<'_>, text: &str, context: &Context<'_>) -> Value {
    let written = table.step(&Step::Key(field.key.into())).and_then(|node| match node {
        Node::Value(value) => text.get(value.span()?).map(str::to_owned),
        Node::Table(table) => Some(inline(table)),
    });
    let default = match field.default {
        Default::Text(text) => Some(text),
        Default::Required | Default::Absent => None,
    };
    json!({
        "key": field.key,
        "doc": field.doc,
        "must": matches!(field.default, Default::Required),
        "kind": kind(&field.kind),
        "words": words(&field.kind, context),
        "text": written,
        "default": default,
    })
}

/// A table under its own header as an inline one.
fn inline(table: &toml_edit::Table) -> String {
    let mut inline = table.clone().into_inline_table();
    inline.fmt();
    inline.to_string().trim().to_owned()
}

/// What may stand there, in a word; behind it the shelf of the yard.
fn kind(kind: &Kind) -> String {
    let of = |word: &str, shelf: StockKind| format!("{word} {}", shelf.word());
    match kind {
        Kind::Length { .. } => "length".into(),
        Kind::Wish { .. } => "wish".into(),
        Kind::Count { .. } => "count".into(),
        Kind::Percent { .. } => "percent".into(),
        Kind::Word(_) => "word".into(),
        Kind::Text => "text".into(),
        Kind::Stock(shelf) => of("stock", *shelf),
        Kind::Piece => "piece".into(),
        Kind::Faces => "faces".into(),
        Kind::Pieces => "pieces".into(),
        Kind::Stocks(shelf) => of("stocks", *shelf),
        Kind::Lengths { .. } => "lengths".into(),
        Kind::Decimal { .. } => "decimal".into(),
        Kind::Money => "money".into(),
        Kind::Mass => "mass".into(),
        Kind::Density => "density".into(),
        Kind::List(_) => "list".into(),
    }
}

/// The words to choose from, each with what it means: those of the table, what the yard has, the pieces of the plan.
fn words(kind: &Kind, context: &Context<'_>) -> Option<Vec<[String; 2]>> {
    match kind {
        Kind::Word(words) => Some(words.iter().map(|(word, doc)| [word, doc].map(|text| (*text).to_owned())).collect()),
        Kind::Stock(shelf) => Some(named(context.yard, shelf.word())),
        Kind::Piece => Some(named(context.plan, "piece")),
        _ => None,
    }
}

/// The tables of a kind in a text by their names, each with its label.
fn named(text: &str, kind: &str) -> Vec<[String; 2]> {
    let Ok(document) = parse(text) else { return Vec::new() };
    let Some(tables) = Node::Table(document.as_table()).step(&Step::Key(kind.into())) else { return Vec::new() };
    let one = |(step, node): (Step, Node<'_>)| {
        let Step::Key(name) = step else { return None };
        let label = match node.step(&Step::Key("label".into())) {
            Some(Node::Value(label)) => label.as_str().unwrap_or_default().to_owned(),
            _ => String::new(),
        };
        Some([name, label])
    };
    tables.below().into_iter().filter_map(one).collect()
}
