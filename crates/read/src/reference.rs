//! The reference page of the three files, made from the tables that the reader itself goes by.

use crate::files::{FILES, FORMAT};
use crate::limits::LIMITS;
use crate::wish::REACH;
use model::schema::{Default, Field, Kind, Schema, WishOf};
use std::fmt::Write;

/// A material that a yard can name, as it stands on the reference page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MaterialLine {
    /// The name that a yard uses.
    pub name: &'static str,
    /// Other names for it, if any.
    pub also: &'static str,
    /// Its density in kg/m³.
    pub density: String,
    /// Where the density is from, and how it is known.
    pub source: String,
}

/// The reference page in Markdown: each file, each table, each key with what may stand there, its default and its doc; then
/// the materials that a yard can name.
pub fn reference(pieces: &[&'static Schema], materials: &[MaterialLine]) -> String {
    let mut page = opening();
    for file in &FILES {
        section(&mut page, 2, &format!("The {}: `*{}`", file.top.name, file.ending), file.top);
        for table in file.tables {
            match (table.schema, table.single) {
                (None, _) => pieces_section(&mut page, pieces),
                (Some(schema), true) => section(&mut page, 3, &format!("`[{}]`", table.key), schema),
                (Some(schema), false) => section(&mut page, 3, &format!("`[{}.NAME]`", table.key), schema),
            }
        }
    }
    materials_section(&mut page, materials);
    page
}

fn materials_section(page: &mut String, materials: &[MaterialLine]) {
    if materials.is_empty() {
        return;
    }
    page.push_str(
        "\n## Materials\n\nThe names that `material` takes in a yard, and what a cubic metre of each weighs. For another \
         write its `density`.\n\n| name | also | kg/m³ | source |\n|---|---|---|---|\n",
    );
    for line in materials {
        let also = if line.also.is_empty() { "—" } else { line.also };
        let cells = [also, &line.density, &line.source].map(|cell| cell.replace('|', "\\|"));
        page.push_str(&format!("| `{}` | {} |\n", line.name, cells.join(" | ")));
    }
}

fn opening() -> String {
    format!(
        "# Plan files\n\n\
         Made from the tables that the reader goes by; do not edit it by hand.\n\n\
         A plan names a yard and a shed. All three are [TOML](https://toml.io), format {FORMAT}, in UTF-8.\n\n\
         **A length** is a bare number in the units of its file, or a text with a unit: `845`, `84.5`, `\"84.5 cm\"`, \
         `\"2.4 m\"`, `\"3-1/2 in\"`, `\"3½ in\"`, `\"5' 6 3/8\\\"\"`, `\"5 ft 6-3/8 in\"` or `\"5' 6\"`. Nothing is rounded: what cannot be kept exactly \
         is an error.\n\n\
         **A wish** is a length, or a table: `{{ want = 1200, from = 1100, to = 1300, rank = 1 }}`, of which `want` must be \
         there, or `{{ exactly = 1200 }}`. A size without a range may move {REACH} either way, rounded to the step of the \
         tape; a gap without a range stays as it is. Wishes of rank 1 are kept before those of rank 2, up to 9; sizes have \
         rank 1 and gaps rank 2 unless the plan says otherwise.\n\n\
         **A share** is a number of percent, best in quotes with its sign: `\"5 %\"`, with at most two decimals. A bare 0 and \
         a bare number above 1 are percent too: `12.5` is 12.5 %. A bare number above 0 and at most 1 is an error that asks: \
         `0.5` could be half a percent or half of it, so write `\"0.5 %\"` or `\"50 %\"`.\n\n\
         **A name** is at most {name} letters `a` to `z`, digits and `-`, and begins with a letter or a digit.\n\n\
         **Limits**: {file} bytes in a file, {keys} keys in a file, {nesting} levels of nesting, {pieces} pieces, {shelf} \
         things on a shelf of the yard, {offcuts} offcuts, {list} entries in a list, {text} characters in a text.\n",
        name = LIMITS.name,
        file = LIMITS.file,
        keys = LIMITS.keys,
        nesting = LIMITS.nesting,
        pieces = LIMITS.pieces,
        shelf = LIMITS.shelf,
        offcuts = LIMITS.offcuts,
        list = LIMITS.list,
        text = LIMITS.text,
    )
}

fn pieces_section(page: &mut String, pieces: &[&'static Schema]) {
    let names: Vec<String> = pieces.iter().map(|schema| format!("`\"{}\"`", schema.name)).collect();
    page.push_str("\n### `[piece.NAME]`\n\nOne table for each piece. ");
    page.push_str(&format!(
        "Its key `is` says which kind it is: {}. The other keys are those of its kind.\n",
        names.join(", ")
    ));
    for schema in pieces {
        section(page, 4, &format!("`is = \"{}\"`", schema.name), schema);
    }
}

fn section(page: &mut String, level: usize, title: &str, schema: &Schema) {
    page.push_str(&format!("\n{} {title}\n\n{}\n", "#".repeat(level), schema.doc));
    table(page, schema);
    entries(page, schema);
}

/// The tables of the lists in a table, and of the lists in these.
fn entries(page: &mut String, schema: &Schema) {
    for field in schema.fields {
        if let Kind::List(inner) = field.kind {
            page.push_str(&format!(
                "\nEach entry of `{}` (a {}) has these keys. {}\n",
                field.key, inner.name, inner.doc
            ));
            table(page, inner);
            entries(page, inner);
        }
    }
}

fn table(page: &mut String, schema: &Schema) {
    if schema.fields.is_empty() {
        return;
    }
    page.push_str("\n| key | what may stand there | if left out | |\n|---|---|---|---|\n");
    for field in schema.fields {
        let mut doc = field.doc.to_owned();
        if let Kind::Word(words) = field.kind {
            for (word, meaning) in words {
                // Writing to a String cannot fail.
                let _ = write!(doc, "<br>`{word}`: {meaning}");
            }
        }
        let cells = [kind(field), left_out(field), doc].map(|cell| cell.replace('|', "\\|"));
        page.push_str(&format!("| `{}` | {} |\n", field.key, cells.join(" | ")));
    }
}

fn left_out(field: &Field) -> String {
    match field.default {
        Default::Required => "**must be there**".to_owned(),
        Default::Absent => "—".to_owned(),
        Default::Text(text) => format!("`{text}`"),
    }
}

/// What may stand behind a key, in words.
pub(crate) fn kind(field: &Field) -> String {
    match &field.kind {
        Kind::Length { least, most } => format!("length, {least} to {most} mm"),
        Kind::Wish { of: WishOf::Size, least, most } => format!("wish for a size, {least} to {most} mm"),
        Kind::Wish { of: WishOf::Gap, least, most } => format!("wish for a gap, {least} to {most} mm"),
        Kind::Count { least, most } if least == most => format!("`{least}`"),
        Kind::Count { least, most } => format!("whole number, {least} to {most}"),
        Kind::Percent { most } => format!("share, `\"0 %\"` to `\"{most} %\"`"),
        Kind::Word(words) if words.iter().any(|(word, _)| *word == "true") => "`true` or `false`".to_owned(),
        Kind::Word(_) => "one of the words".to_owned(),
        Kind::Text => "text".to_owned(),
        Kind::Stock(kind) => format!("name of a {} in the yard", kind.word()),
        Kind::Piece => "name of another piece".to_owned(),
        Kind::Faces => "list of faces".to_owned(),
        Kind::Pieces => "list of names of other pieces".to_owned(),
        Kind::Stocks(kind) => format!("list of names of {}s in the yard", kind.word()),
        Kind::Lengths { least, most } => format!("list of lengths, {least} to {most} mm each"),
        Kind::Decimal { most } => format!("number with at most three decimals, above 0, up to {most}"),
        Kind::Money => format!("price with at most two decimals, up to {}", LIMITS.price),
        Kind::Mass => format!("mass: kilograms, or a text with `kg`, `g`, `lb` or `oz`; up to {} kg", LIMITS.mass),
        Kind::Density => format!("density in kg/m³, 1 to {}", LIMITS.density),
        Kind::List(_) => "list of tables, see below".to_owned(),
    }
}
