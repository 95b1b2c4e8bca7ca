//! What may stand in the three files, for whoever asks it table by table.

use model::schema::Schema;

/// One of the three files.
#[derive(Clone, Debug)]
pub struct FileForm {
    /// How such a file is usually named: `.plan.toml`.
    pub ending: &'static str,
    /// The keys at its top.
    pub top: &'static Schema,
    /// Its tables.
    pub tables: Vec<TableForm>,
}

/// A kind of table.
#[derive(Clone, Debug)]
pub struct TableForm {
    /// The first word in the brackets.
    pub key: &'static str,
    /// Whether it stands once, without a name.
    pub single: bool,
    /// Its keys, by what the table says behind `is`; without a word if all such tables have the same keys.
    pub kinds: Vec<(Option<&'static str>, &'static Schema)>,
}

/// The plan, the yard and the shed, from the tables that read them.
pub fn forms() -> Vec<FileForm> {
    let pieces = || pieces::schemas().into_iter().map(|schema| (Some(schema.name), schema)).collect();
    let table = |table: &read::files::NamedTable| TableForm {
        key: table.key,
        single: table.single,
        kinds: table.schema.map_or_else(pieces, |schema| vec![(None, schema)]),
    };
    let file = |file: &read::files::FileTables| FileForm {
        ending: file.ending,
        top: file.top,
        tables: file.tables.iter().map(table).collect(),
    };
    read::files::FILES.iter().map(file).collect()
}
