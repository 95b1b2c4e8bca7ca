//! JSON Schemas of the three files (draft 7) for editors that complete and check what is typed, made from the tables that the reader
//! itself goes by. A schema lets in all that the reader lets in; what needs another file, a unit or a sum is left to the reader.

use crate::files::{FILES, FileTables, NamedTable};
use crate::limits::LIMITS;
use crate::reference::kind as words_for;
use model::schema::{Default, Field, Kind, Schema, StockKind};
use serde_json::{Map, Value, json};

/// The schema of the file whose table at the top has this name (`plan`, `yard`, `shed`), with the kinds of piece that there are.
/// `None` if there is no such file.
pub fn json_schema(file: &str, pieces: &[&'static Schema]) -> Option<Value> {
    let file = FILES.iter().find(|known| known.top.name == file)?;
    let mut top = object(file.top);
    let properties = top["properties"].as_object_mut()?;
    for table in file.tables {
        properties.insert(table.key.into(), named(table, pieces));
    }
    let head = json!({
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": format!("Scantling: {} ({})", file.top.name, ending(file)),
        "definitions": { "length": length(), "wish": wish() },
    });
    merge(&mut top, head);
    Some(top)
}

fn ending(file: &FileTables) -> String {
    format!("*{}", file.ending)
}

/// A table that stands once, or the tables by their names.
fn named(table: &NamedTable, pieces: &[&'static Schema]) -> Value {
    let one = match table.schema {
        Some(schema) if table.key == "way" => way(schema),
        Some(schema) => object(schema),
        None => json!({ "oneOf": pieces.iter().map(|schema| piece(schema)).collect::<Vec<Value>>() }),
    };
    if table.single {
        return one;
    }
    let name = format!("^[a-z0-9][a-z0-9-]{{0,{}}}$", LIMITS.name - 1);
    json!({ "type": "object", "patternProperties": { name: one }, "additionalProperties": false })
}

/// A piece says what it is; the other keys are those of its kind.
fn piece(schema: &Schema) -> Value {
    let mut piece = object(schema);
    piece["properties"]["is"] = json!({ "const": schema.name, "description": schema.doc });
    let required = piece["required"].as_array_mut().expect("an object lists what it needs");
    required.insert(0, "is".into());
    piece
}

/// A way changes some keys of some pieces, leaves some out, or adds pieces: what comes of it is read as a whole plan.
fn way(schema: &Schema) -> Value {
    let without = json!({ "type": "array", "items": { "type": "string" } });
    let keys = json!({ "type": "object", "properties": { "without": without } });
    let mut way = object(schema);
    way["properties"]["piece"] = json!({ "type": "object", "additionalProperties": keys });
    way
}

fn object(schema: &Schema) -> Value {
    let properties: Map<String, Value> =
        schema.fields.iter().map(|field| (field.key.to_owned(), property(field))).collect();
    let is_needed = |field: &&Field| matches!(field.default, Default::Required);
    let required: Vec<&str> = schema.fields.iter().filter(is_needed).map(|field| field.key).collect();
    json!({
        "type": "object",
        "description": schema.doc,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn property(field: &Field) -> Value {
    let mut property = value(&field.kind);
    let words = if matches!(field.kind, Kind::Word(_)) { String::new() } else { format!(" ({})", words_for(field)) };
    property["description"] = format!("{}{words}", field.doc).into();
    if let Default::Text(text) = field.default {
        property["default"] = written(&field.kind, text);
    }
    property
}

/// The default as it would be written: without quotes where the reader wants a number or a truth.
fn written(kind: &Kind, text: &str) -> Value {
    let bare = match kind {
        Kind::Text | Kind::Stock(_) | Kind::Piece => None,
        Kind::Word(words) if !is_truth(words) => None,
        _ => serde_json::from_str(text).ok(),
    };
    bare.unwrap_or_else(|| text.into())
}

fn is_truth(words: &[(&str, &str)]) -> bool {
    words.iter().any(|(word, _)| *word == "true")
}

fn value(kind: &Kind) -> Value {
    let text = json!({ "type": "string", "maxLength": LIMITS.text });
    let list = |items: Value| json!({ "type": "array", "items": items, "maxItems": LIMITS.list });
    let number_or_text = json!({ "type": ["number", "string"] });
    match kind {
        Kind::Length { .. } => json!({ "allOf": [{ "$ref": "#/definitions/length" }] }),
        Kind::Wish { .. } => json!({ "allOf": [{ "$ref": "#/definitions/wish" }] }),
        Kind::Count { least, most } => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Kind::Percent { .. } | Kind::Money | Kind::Mass => number_or_text,
        Kind::Word(words) => {
            json!({ "anyOf": words.iter().map(|word| one_word(word, is_truth(words))).collect::<Vec<Value>>() })
        }
        Kind::Text | Kind::Piece => text,
        Kind::Stock(of) => named_stock(text, *of),
        Kind::Faces | Kind::Pieces => list(text),
        Kind::Stocks(of) => list(named_stock(text, *of)),
        Kind::Lengths { .. } => list(json!({ "$ref": "#/definitions/length" })),
        Kind::Decimal { most } => json!({ "type": "number", "exclusiveMinimum": 0, "maximum": most }),
        Kind::Density => json!({ "type": "integer", "minimum": 1, "maximum": LIMITS.density }),
        Kind::List(schema) => list(object(schema)),
    }
}

/// A word with what it means. A truth may stand bare or in quotes.
fn one_word((word, meaning): &(&str, &str), bare: bool) -> Value {
    let known = if bare { json!([word == &"true", word]) } else { json!([word]) };
    json!({ "enum": known, "description": meaning })
}

fn named_stock(mut text: Value, of: StockKind) -> Value {
    text["description"] = format!("the name of a {} in the yard", of.word()).into();
    text
}

fn length() -> Value {
    json!({
        "description": "A bare number in the units of this file, or a text with a unit: \"84.5 cm\", \"3-1/2 in\", \"5 ft 6 in\"",
        "type": ["number", "string"],
    })
}

fn wish() -> Value {
    let length = json!({ "$ref": "#/definitions/length" });
    let range = json!({
        "type": "object",
        "properties": { "want": length, "from": length, "to": length, "rank": { "type": "integer", "minimum": 1, "maximum": 9 } },
        "required": ["want"],
        "additionalProperties": false,
    });
    let exact = json!({
        "type": "object",
        "properties": { "exactly": length },
        "required": ["exactly"],
        "additionalProperties": false,
    });
    json!({ "anyOf": [length, range, exact] })
}

fn merge(into: &mut Value, other: Value) {
    if let (Some(into), Value::Object(other)) = (into.as_object_mut(), other) {
        into.extend(other);
    }
}
