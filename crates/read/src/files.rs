//! The tables of the three files themselves, stated once: the reader and the reference page both come from them.

use model::schema::{Default, Field, Kind, Schema};

/// The newest format of the three files that is read.
pub const FORMAT: u32 = 1;

/// One of the three files: its own keys and the tables that may stand in it.
#[derive(Debug)]
pub struct FileTables {
    /// The keys at the top of the file.
    pub top: &'static Schema,
    /// How such a file is usually named.
    pub ending: &'static str,
    /// The tables below.
    pub tables: &'static [NamedTable],
}

/// A table of a file: `[saw]` once, or `[board.NAME]` as often as there are boards.
#[derive(Debug)]
pub struct NamedTable {
    /// The word in the brackets.
    pub key: &'static str,
    /// Its keys; a piece has those of its kind.
    pub schema: Option<&'static Schema>,
    /// Whether it stands once, without a name.
    pub single: bool,
}

/// The three files, in the order in which a maker meets them.
pub static FILES: [FileTables; 3] = [
    FileTables {
        top: &PLAN,
        ending: ".plan.toml",
        tables: &[NamedTable { key: "piece", schema: None, single: false }],
    },
    FileTables {
        top: &YARD,
        ending: ".yard.toml",
        tables: &[
            NamedTable { key: "board", schema: Some(&BOARD), single: false },
            NamedTable { key: "sheet", schema: Some(&SHEET), single: false },
            NamedTable { key: "unit", schema: Some(&UNIT), single: false },
            NamedTable { key: "screw", schema: Some(&SCREW), single: false },
            NamedTable { key: "bag", schema: Some(&BAG), single: false },
            NamedTable { key: "roll", schema: Some(&ROLL), single: false },
        ],
    },
    FileTables {
        top: &SHED,
        ending: ".shed.toml",
        tables: &[
            NamedTable { key: "saw", schema: Some(&SAW), single: true },
            NamedTable { key: "reserve", schema: Some(&RESERVE), single: true },
            NamedTable { key: "hands", schema: Some(&HANDS), single: true },
        ],
    },
];

const fn field(key: &'static str, kind: Kind, default: Default, doc: &'static str) -> Field {
    Field { key, doc, kind, default }
}

const fn length(key: &'static str, least: i64, most: i64, default: Default, doc: &'static str) -> Field {
    field(key, Kind::Length { least, most }, default, doc)
}

const FORMAT_FIELD: Field = field(
    "format",
    Kind::Count { least: 1, most: FORMAT },
    Default::Required,
    "The format of this file, so that a later edition can still read it.",
);

const UNITS_FIELD: Field = field(
    "units",
    Kind::Word(&[
        ("mm", "a bare number is millimetres"),
        ("in", "a bare number is inches; lengths are printed in inches and fractions"),
        ("ft-in", "a bare number is inches; lengths are printed in feet, inches and fractions"),
    ]),
    Default::Text("mm"),
    "What a bare number means in this file. A length in quotes may carry any unit: `\"84.5 cm\"`, `\"3-1/2\\\"\"`, `\"5' 6 3/8\\\"\"`.",
);

const LABEL_FIELD: Field =
    field("label", Kind::Text, Default::Absent, "Its name in the shop; otherwise its name here.");
const MATERIAL_FIELD: Field = field(
    "material",
    Kind::Text,
    Default::Absent,
    "What it is made of, by its name in the handbook, which knows its density: see *Materials* below. Not together with `density`.",
);
const DENSITY_FIELD: Field =
    field("density", Kind::Density, Default::Absent, "What a cubic metre of it weighs, where it was weighed.");
const PRICE_FIELD: Field =
    field("price", Kind::Money, Default::Absent, "For one; an unknown price stays blank and counts as nothing.");

/// The keys at the top of a plan.
pub static PLAN: Schema = Schema {
    name: "plan",
    doc: "What you want to make: pieces with wishes. Below these keys stands one table for each piece, `[piece.NAME]`.",
    fields: &[
        FORMAT_FIELD,
        field("title", Kind::Text, Default::Required, "What it is called on the page."),
        UNITS_FIELD,
        length(
            "step",
            0,
            2,
            Default::Absent,
            "How far the marks of your tape stand apart: `\"1 mm\"` or `\"0.5 mm\"`, `\"1/16 in\"` or `\"1/32 in\"`. Otherwise 1 mm, or 1/16 in.",
        ),
        field(
            "prefer",
            Kind::Word(&[
                ("closest", "the sizes nearest to the wishes"),
                (
                    "cheapest",
                    "the sizes that cost least; among equals those with the fewest tight boards, then the nearest to the wishes",
                ),
            ]),
            Default::Text("closest"),
            "Which of the closings the plan goes on with.",
        ),
        field("yard", Kind::Text, Default::Required, "The file with what can be bought, beside or below the plan."),
        field("shed", Kind::Text, Default::Required, "The file with what you have, beside or below the plan."),
    ],
};

/// The keys at the top of a yard.
pub static YARD: Schema = Schema {
    name: "yard",
    doc: "What can be bought: boards, sheets and units, with the sizes they really have and what they cost; screws, bags and rolls.",
    fields: &[
        FORMAT_FIELD,
        UNITS_FIELD,
        field("currency", Kind::Text, Default::Required, "The currency of all prices: three capitals such as `GBP`."),
    ],
};

/// A kind of board in the yard.
pub static BOARD: Schema = Schema {
    name: "board",
    doc: "A kind of board, sold in lengths.",
    fields: &[
        LABEL_FIELD,
        length("thickness", 3, 300, Default::Required, "How thick it really is, not what it is called."),
        length(
            "thin-edge",
            1,
            300,
            Default::Absent,
            "Of a feather-edge board: how thick its thin edge is; `thickness` is that of the thick one. Such boards are used for `lapped` claddings only.",
        ),
        length("width", 10, 1000, Default::Required, "How wide it really is, not what it is called."),
        MATERIAL_FIELD,
        DENSITY_FIELD,
        field(
            "really",
            Kind::Word(&[("true", "it was measured so"), ("false", "ask if it looks like a name")]),
            Default::Text("false"),
            "Says that thickness and width were measured, where they equal a name such as 2 × 4 in.",
        ),
        field("lengths", Kind::List(&BOARD_LENGTH), Default::Required, "The lengths on sale."),
    ],
};

/// One length of a kind of board.
pub static BOARD_LENGTH: Schema = Schema {
    name: "board length",
    doc: "One length of a kind of board.",
    fields: &[
        length("length", 100, 20_000, Default::Required, "How long it is by its label."),
        PRICE_FIELD,
        field("stock", Kind::Count { least: 0, most: 100_000 }, Default::Absent, "How many the yard has, if limited."),
    ],
};

/// A kind of sheet in the yard.
pub static SHEET: Schema = Schema {
    name: "sheet",
    doc: "A kind of sheet: plywood, boards made of chips or fibres, plastic.",
    fields: &[
        LABEL_FIELD,
        length("thickness", 1, 150, Default::Required, "How thick it really is, not what it is called."),
        MATERIAL_FIELD,
        DENSITY_FIELD,
        field("sizes", Kind::List(&SHEET_SIZE), Default::Required, "The sizes on sale."),
    ],
};

/// One size of a kind of sheet.
pub static SHEET_SIZE: Schema = Schema {
    name: "sheet size",
    doc: "One size of a kind of sheet.",
    fields: &[
        length("length", 50, 10_000, Default::Required, "Along the grain of its face."),
        length("width", 50, 10_000, Default::Required, "Across the grain of its face."),
        PRICE_FIELD,
    ],
};

/// A kind of unit in the yard.
pub static UNIT: Schema = Schema {
    name: "unit",
    doc: "A kind of unit that is laid whole: sett, paver, brick, block.",
    fields: &[
        LABEL_FIELD,
        length("length", 20, 3000, Default::Required, "The longer side seen from above."),
        length("width", 20, 3000, Default::Required, "The shorter side seen from above."),
        length("thickness", 5, 1000, Default::Required, "How thick it is as it lies."),
        PRICE_FIELD,
        field("mass", Kind::Mass, Default::Absent, "What one weighs, if known."),
        MATERIAL_FIELD,
        DENSITY_FIELD,
        field(
            "spare",
            Kind::Percent { most: 100 },
            Default::Text("5 %"),
            "How many more to buy than are laid, for breakage and shades (5 % to 10 % is *common practice*).",
        ),
    ],
};

/// A kind of screw in the yard.
pub static SCREW: Schema = Schema {
    name: "screw",
    doc: "A kind of wood screw, sold in boxes.",
    fields: &[
        LABEL_FIELD,
        length("diameter", 2, 12, Default::Required, "Across the thread, as the box says: `5`, or `\"3/16 in\"`."),
        field("lengths", Kind::List(&SCREW_LENGTH), Default::Required, "The lengths on sale."),
    ],
};

/// One length of a kind of screw.
pub static SCREW_LENGTH: Schema = Schema {
    name: "screw length",
    doc: "One length of a kind of screw.",
    fields: &[
        length("length", 10, 400, Default::Required, "From the outer face of the head to the tip."),
        field("box", Kind::Count { least: 1, most: 10_000 }, Default::Text("100"), "How many are in a box."),
        field("price", Kind::Money, Default::Absent, "For a box; an unknown price stays blank and counts as nothing."),
    ],
};

/// What is filled in and sold in bags.
pub static BAG: Schema = Schema {
    name: "bag",
    doc: "What is filled in and sold in bags: soil, compost, gravel, bark, concrete.",
    fields: &[
        LABEL_FIELD,
        field(
            "litres",
            Kind::Count { least: 1, most: 5_000 },
            Default::Required,
            "What a bag yields, as printed on it.",
        ),
        field("price", Kind::Money, Default::Absent, "For a bag; an unknown price stays blank and counts as nothing."),
        field(
            "wet-density",
            Kind::Density,
            Default::Absent,
            "What a cubic metre of it weighs once it is in place and wet, if known.",
        ),
    ],
};

/// What is laid out and sold off a roll.
pub static ROLL: Schema = Schema {
    name: "roll",
    doc: "What is laid out and sold by the metre off a roll: liner, fabric.",
    fields: &[
        LABEL_FIELD,
        length("width", 100, 10_000, Default::Required, "How wide the roll is."),
        field(
            "price",
            Kind::Money,
            Default::Absent,
            "For a metre off the roll; an unknown price stays blank and counts as nothing.",
        ),
    ],
};

/// The keys at the top of a shed.
pub static SHED: Schema = Schema {
    name: "shed",
    doc: "What you have: the saw, and the people at hand.",
    fields: &[FORMAT_FIELD, UNITS_FIELD],
};

/// The saw.
pub static SAW: Schema = Schema {
    name: "saw",
    doc: "The saw that the boards and sheets are cut with.",
    fields: &[
        length("kerf", 0, 10, Default::Required, "What the blade turns to dust: measure a test slot."),
        length(
            "trim",
            0,
            500,
            Default::Text("10 mm"),
            "What is taken off one stock piece to square it, both ends together, its own kerfs included (*common practice*).",
        ),
    ],
};

/// What a comfortable cutting pattern keeps back.
pub static RESERVE: Schema = Schema {
    name: "reserve",
    doc: "What a comfortable cutting pattern keeps back; a tighter one is possible, if measured (*our own choice*).",
    fields: &[
        length("per-cut", 0, 10, Default::Text("0.5 mm"), "Kept for each cut."),
        length("per-board", 0, 100, Default::Text("2 mm"), "Kept for each board."),
    ],
};

/// Who is there.
pub static HANDS: Schema = Schema {
    name: "hands",
    doc: "Who is there to lift.",
    fields: &[
        field("people", Kind::Count { least: 1, most: 20 }, Default::Text("1"), "How many people are at hand."),
        field("lift", Kind::Mass, Default::Absent, "What one person lifts; otherwise the handbook's figure."),
    ],
};
