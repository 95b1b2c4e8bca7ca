//! A world in memory, and a small vocabulary of our own with every kind of key.
#![allow(dead_code, reason = "each test file uses its own part of this")]

use model::schema::{Default, Field, Kind, Schema, StockKind, WishOf};
use read::{Missing, Vocabulary, World};
use std::collections::BTreeMap;

/// Files by name.
#[derive(Clone, Default)]
pub struct Files(pub BTreeMap<String, Vec<u8>>);

impl Files {
    pub fn with(mut self, name: &str, bytes: impl Into<Vec<u8>>) -> Files {
        self.0.insert(name.to_owned(), bytes.into());
        self
    }
}

impl World for Files {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        self.0.get(name).cloned().ok_or_else(|| Missing { reason: "there is no such file".to_owned() })
    }
}

/// The sound plan, yard and shed of these tests.
pub fn good() -> Files {
    Files::default()
        .with("plan.toml", include_str!("../good/plan.toml"))
        .with("yard.toml", include_str!("../good/yard.toml"))
        .with("shed.toml", include_str!("../good/shed.toml"))
}

pub const VOCABULARY: Vocabulary<'static> =
    Vocabulary { pieces: &[&TROUGH, &RING, &HEAP], materials: &["larch", "oak", "granite", "birch ply"] };

const fn field(key: &'static str, kind: Kind, default: Default) -> Field {
    Field { key, doc: "A key of the tests.", kind, default }
}

/// Has wishes, stock, words, faces.
pub static TROUGH: Schema = Schema {
    name: "trough",
    doc: "A box for the tests.",
    fields: &[
        Field {
            key: "length",
            doc: "How long it is outside.",
            kind: Kind::Wish { of: WishOf::Size, least: 100, most: 6000 },
            default: Default::Required,
        },
        field("width", Kind::Wish { of: WishOf::Size, least: 100, most: 3000 }, Default::Text("400 mm")),
        field(
            "gap",
            Kind::Wish { of: WishOf::Gap, least: 0, most: 50 },
            Default::Text("{ want = \"6 mm\", to = \"8 mm\" }"),
        ),
        Field {
            key: "boards",
            doc: "The boards of its sides.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Required,
        },
        field("floor", Kind::Stock(StockKind::Sheet), Default::Absent),
        field(
            "corners",
            Kind::Word(&[
                ("butted", "two sides through"),
                ("mitred", "cut at half the angle"),
                ("pinwheel", "each past one"),
            ]),
            Default::Text("butted"),
        ),
        field("open", Kind::Faces, Default::Absent),
        field("on", Kind::Piece, Default::Absent),
        field("clear", Kind::Length { least: 0, most: 500 }, Default::Text("20 mm")),
        field("courses", Kind::Count { least: 1, most: 20 }, Default::Text("3")),
    ],
};

/// Has units, references and lists.
pub static RING: Schema = Schema {
    name: "ring",
    doc: "A ring of units round a piece, for the tests.",
    fields: &[
        field("around", Kind::Piece, Default::Required),
        field("units", Kind::Stock(StockKind::Unit), Default::Required),
        field("joint", Kind::Wish { of: WishOf::Gap, least: 0, most: 30 }, Default::Text("5 mm")),
        field("corners", Kind::List(&CORNER), Default::Absent),
    ],
};

static CORNER: Schema = Schema {
    name: "corner",
    doc: "One corner of a ring.",
    fields: &[
        field("turn", Kind::Count { least: 1, most: 4 }, Default::Required),
        field("unit", Kind::Stock(StockKind::Unit), Default::Absent),
    ],
};

/// Has quantities.
pub static HEAP: Schema = Schema {
    name: "heap",
    doc: "A heap of something, for the tests.",
    fields: &[
        field("note", Kind::Text, Default::Absent),
        field("price", Kind::Money, Default::Absent),
        field("mass", Kind::Mass, Default::Absent),
        field("density", Kind::Density, Default::Absent),
        field("settles", Kind::Percent { most: 50 }, Default::Text("15 %")),
    ],
};
