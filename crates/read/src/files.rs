//! The tables of the three files themselves, stated once: the reader and the reference page both come from them.

mod shed;

pub use shed::{BITS, CAR, DOOR, HANDS, KEPT, LEFT, OFFCUT, OFFCUTS, RATES, RESERVE, SAW, SHED, SHEET_SAW};

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
        tables: &[
            NamedTable { key: "piece", schema: None, single: false },
            NamedTable { key: "way", schema: Some(&WAY), single: false },
        ],
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
            NamedTable { key: "finish", schema: Some(&FINISH), single: false },
            NamedTable { key: "fitting", schema: Some(&FITTING), single: false },
            NamedTable { key: "delivery", schema: Some(&DELIVERY), single: true },
            NamedTable { key: "cuts", schema: Some(&YARD_CUTS), single: true },
        ],
    },
    FileTables {
        top: &SHED,
        ending: ".shed.toml",
        tables: &[
            NamedTable { key: "saw", schema: Some(&SAW), single: true },
            NamedTable { key: "reserve", schema: Some(&RESERVE), single: true },
            NamedTable { key: "hands", schema: Some(&HANDS), single: true },
            NamedTable { key: "sheet-saw", schema: Some(&SHEET_SAW), single: true },
            NamedTable { key: "offcuts", schema: Some(&OFFCUTS), single: true },
            NamedTable { key: "offcut", schema: Some(&OFFCUT), single: false },
            NamedTable { key: "left", schema: Some(&LEFT), single: false },
            NamedTable { key: "kept", schema: Some(&KEPT), single: false },
            NamedTable { key: "bits", schema: Some(&BITS), single: true },
            NamedTable { key: "car", schema: Some(&CAR), single: true },
            NamedTable { key: "door", schema: Some(&DOOR), single: true },
            NamedTable { key: "rates", schema: Some(&RATES), single: true },
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
const TREATED_FIELD: Field = field(
    "treated",
    Kind::Word(&[
        ("not", "it is not treated"),
        ("outdoors", "off the ground: EN 335 use class 3, AWPA UC3B, hazard class H3"),
        ("ground", "in the ground: use class 4, UC4A, H4"),
        (
            "heavy",
            "in the ground, for posts that carry and walls that hold soil: use class 4 for long service, UC4B, H5",
        ),
    ]),
    Default::Absent,
    "What it was treated for, by its tag; the questions about rot go by it.",
);
const PRICE_FIELD: Field =
    field("price", Kind::Money, Default::Absent, "For one; an unknown price stays blank and counts as nothing.");
const STOCK_FIELD: Field = field(
    "stock",
    Kind::Count { least: 0, most: 100_000 },
    Default::Absent,
    "How many the yard has, if limited; no more are planned.",
);
const PER_SQUARE_METRE_FIELD: Field = field(
    "per-square-metre",
    Kind::Money,
    Default::Absent,
    "The price of a square metre, for those that have no `price` of their own.",
);

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
        field(
            "region",
            Kind::Word(&[
                ("eu", "Europe with the United Kingdom: Eurocodes"),
                ("na", "the United States and Canada: NDS"),
                ("anz", "Australia and New Zealand"),
            ]),
            Default::Absent,
            "Whose tables the questions go by: `eu` for a plan in millimetres and `na` for one in inches, if left out.",
        ),
        field(
            "wind",
            Kind::Word(&[
                ("sheltered", "between houses, walls or trees"),
                ("open", "open gardens and country"),
                ("exposed", "near the coast, on hills, roofs and high balconies"),
            ]),
            Default::Text("open"),
            "How the wind reaches it.",
        ),
        field(
            "children",
            Kind::Word(&[("near", "children play near it, and climb it"), ("none", "only grown people come near it")]),
            Default::Text("near"),
            "Whether children play near it.",
        ),
        field("yard", Kind::Text, Default::Required, "The file with what can be bought, beside or below the plan."),
        field("shed", Kind::Text, Default::Required, "The file with what you have, beside or below the plan."),
        field(
            "build",
            Kind::Text,
            Default::Absent,
            "Which `[way.NAME]` is built; `as-written`, the plan without any of them, if left out.",
        ),
    ],
};

/// A way to build the same wishes.
pub static WAY: Schema = Schema {
    name: "way",
    doc: "Another way to build the same wishes: the plan with some keys changed. At most 8. Below it stand tables `[way.NAME.piece.PIECE]` with the keys that take the place of that piece's own or come beside them; `without = [\"board\"]` in there names keys that are left out first, and a piece that the plan does not have is added with all its keys.",
    fields: &[
        field("label", Kind::Text, Default::Absent, "What the way is called on the page; otherwise its name here."),
        field("without", Kind::Pieces, Default::Absent, "Pieces that are left out."),
    ],
};

/// The keys at the top of a yard.
pub static YARD: Schema = Schema {
    name: "yard",
    doc: "What can be bought: boards, sheets and units, with the sizes they really have and what they cost; screws, bags, rolls, finishes and fittings.",
    fields: &[
        FORMAT_FIELD,
        UNITS_FIELD,
        field("currency", Kind::Text, Default::Required, "The currency of all prices: three capitals such as `GBP`."),
        field(
            "prices",
            Kind::Word(&[
                ("with tax", "what is written is what is paid"),
                ("without tax", "`tax` comes on top when one pays"),
            ]),
            Default::Text("with tax"),
            "Whether the prices include the tax.",
        ),
        field("tax", Kind::Percent { most: 100 }, Default::Absent, "The tax on prices without it, such as `\"20 %\"`."),
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
        TREATED_FIELD,
        field(
            "really",
            Kind::Word(&[("true", "it was measured so"), ("false", "ask if it looks like a name")]),
            Default::Text("false"),
            "Says that thickness and width were measured, where they equal a name such as 2 × 4 in.",
        ),
        field(
            "lengths",
            Kind::List(&BOARD_LENGTH),
            Default::Absent,
            "The lengths on sale. Left out only beside `each`.",
        ),
        field(
            "each",
            Kind::List(&SINGLE_BOARD),
            Default::Absent,
            "Boards of random length or reclaimed, one of each, by name. They stand behind the `lengths`.",
        ),
        field(
            "per-metre",
            Kind::Money,
            Default::Absent,
            "The price of a metre, for those that have no `price` of their own. Only one of the prices by measure stands here.",
        ),
        field("per-foot", Kind::Money, Default::Absent, "The price of a foot of length, likewise."),
        field(
            "per-board-foot",
            Kind::Money,
            Default::Absent,
            "The price of a board foot, 144 cubic inches of the size by which it is sold, likewise.",
        ),
        PER_SQUARE_METRE_FIELD,
        length(
            "sold-thickness",
            3,
            300,
            Default::Absent,
            "The thickness that a board foot is reckoned by, such as `\"1 in\"`; otherwise as it really is.",
        ),
        length(
            "sold-width",
            10,
            1000,
            Default::Absent,
            "The width that a board foot or a square metre is reckoned by; otherwise as it really is.",
        ),
    ],
};

/// A single board of a kind.
pub static SINGLE_BOARD: Schema = Schema {
    name: "single board",
    doc: "One board of which there is no other: of random length, or reclaimed.",
    fields: &[
        field(
            "name",
            Kind::Text,
            Default::Required,
            "What it is called, so that one finds it again: a letter on its end.",
        ),
        length("length", 100, 20_000, Default::Required, "How long it is."),
        PRICE_FIELD,
        field(
            "bad",
            Kind::List(&BAD_STRETCH),
            Default::Absent,
            "Stretches that no part may contain; at most 8. They are cut round, on the first six boards of a kind that cost something; more are left out, and a note says so.",
        ),
    ],
};

/// A stretch of a board that no part may contain.
pub static BAD_STRETCH: Schema = Schema {
    name: "bad stretch",
    doc: "A stretch that is cut round: a split, a knot, a bolt hole. Measured from the end that is marked.",
    fields: &[
        length("from", 0, 20_000, Default::Required, "Where it begins."),
        length("to", 0, 20_000, Default::Required, "Where it ends."),
    ],
};

/// One length of a kind of board.
pub static BOARD_LENGTH: Schema = Schema {
    name: "board length",
    doc: "One length of a kind of board.",
    fields: &[
        length("length", 100, 20_000, Default::Required, "How long it is by its label."),
        PRICE_FIELD,
        STOCK_FIELD,
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
        TREATED_FIELD,
        field("sizes", Kind::List(&SHEET_SIZE), Default::Required, "The sizes on sale."),
        PER_SQUARE_METRE_FIELD,
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
        STOCK_FIELD,
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
        field(
            "price",
            Kind::Money,
            Default::Absent,
            "For one by itself; an unknown price stays blank and counts as nothing. Left out beside `packs`: not sold by itself.",
        ),
        STOCK_FIELD,
        field(
            "packs",
            Kind::List(&PACK),
            Default::Absent,
            "The packs that it is sold in; the cheapest of all are bought.",
        ),
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

/// A pack of units, or a box of screws.
pub static PACK: Schema = Schema {
    name: "pack",
    doc: "So many that are sold together.",
    fields: &[
        field("count", Kind::Count { least: 1, most: 100_000 }, Default::Required, "How many are in it."),
        field(
            "price",
            Kind::Money,
            Default::Absent,
            "For the pack; an unknown price stays blank and counts as nothing.",
        ),
        STOCK_FIELD,
    ],
};

/// A kind of screw in the yard.
pub static SCREW: Schema = Schema {
    name: "screw",
    doc: "A kind of wood screw, sold in boxes.",
    fields: &[
        LABEL_FIELD,
        length("diameter", 2, 12, Default::Required, "Across the thread, as the box says: `5`, or `\"3/16 in\"`."),
        field(
            "metal",
            Kind::Word(&[
                ("plated", "bright, or a thin coat of zinc"),
                ("coated", "a maker's coating for outdoors"),
                ("hot-dip", "hot-dip galvanised"),
                ("stainless", "stainless, A2 or 304"),
                ("marine", "stainless for the coast, A4 or 316"),
            ]),
            Default::Absent,
            "What it is made of or coated with; the question about rot asks whether it lasts in its wood.",
        ),
        field("lengths", Kind::List(&SCREW_LENGTH), Default::Required, "The lengths on sale."),
    ],
};

/// One length of a kind of screw.
pub static SCREW_LENGTH: Schema = Schema {
    name: "screw length",
    doc: "One length of a kind of screw.",
    fields: &[
        length("length", 10, 400, Default::Required, "From the outer face of the head to the tip."),
        field(
            "box",
            Kind::Count { least: 1, most: 10_000 },
            Default::Absent,
            "How many are in a box; 100 if left out.",
        ),
        field("price", Kind::Money, Default::Absent, "For a box; an unknown price stays blank and counts as nothing."),
        field("boxes", Kind::List(&PACK), Default::Absent, "Boxes of several sizes, in place of `box` and `price`."),
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
            Default::Absent,
            "What a bag yields, as printed on it. Left out only beside `sizes`.",
        ),
        field("price", Kind::Money, Default::Absent, "For a bag; an unknown price stays blank and counts as nothing."),
        field(
            "wet-density",
            Kind::Density,
            Default::Absent,
            "What a cubic metre of it weighs once it is in place and wet, if known.",
        ),
        field("mass", Kind::Mass, Default::Absent, "What a bag weighs as one carries it home, if known."),
        field(
            "sizes",
            Kind::List(&BAG_SIZE),
            Default::Absent,
            "Bags of several sizes, in place of `litres` and `price`.",
        ),
        field(
            "loose-density",
            Kind::Density,
            Default::Absent,
            "What a cubic metre of it weighs as it comes out of the bag; needed for sizes in `kilograms`.",
        ),
    ],
};

/// One size of bag.
pub static BAG_SIZE: Schema = Schema {
    name: "size of bag",
    doc: "A bag of one size: what it yields by one of `litres`, `yields` and `kilograms`.",
    fields: &[
        field("litres", Kind::Decimal { most: 5_000 }, Default::Absent, "What is in it, as printed on it."),
        field(
            "yields",
            Kind::Decimal { most: 5_000 },
            Default::Absent,
            "Litres that come of it once it is mixed, as concrete.",
        ),
        field(
            "kilograms",
            Kind::Mass,
            Default::Absent,
            "What is in it by weight: a volume by the bag's `loose-density`.",
        ),
        field(
            "price",
            Kind::Money,
            Default::Absent,
            "For the bag; an unknown price stays blank and counts as nothing.",
        ),
        STOCK_FIELD,
        field("mass", Kind::Mass, Default::Absent, "What it weighs, if known; `kilograms` say it too."),
    ],
};

/// What is brushed on and sold in tins.
pub static FINISH: Schema = Schema {
    name: "finish",
    doc: "What is brushed on and sold in tins: oil, paint, stain.",
    fields: &[
        LABEL_FIELD,
        field(
            "first",
            Kind::Decimal { most: 100 },
            Default::Required,
            "Square metres that a litre covers in the first coat; rough sawn timber takes about twice as much as planed.",
        ),
        field(
            "later",
            Kind::Decimal { most: 100 },
            Default::Absent,
            "Square metres that a litre covers in each coat after it; as in the first if left out.",
        ),
        field("tins", Kind::List(&TIN), Default::Required, "The tins on sale; the cheapest of all are bought."),
    ],
};

/// A tin of a finish.
pub static TIN: Schema = Schema {
    name: "tin",
    doc: "A tin of one size.",
    fields: &[
        field("litres", Kind::Decimal { most: 1_000 }, Default::Required, "What is in it."),
        field(
            "price",
            Kind::Money,
            Default::Absent,
            "For the tin; an unknown price stays blank and counts as nothing.",
        ),
        STOCK_FIELD,
    ],
};

/// A fitting.
pub static FITTING: Schema = Schema {
    name: "fitting",
    doc: "What holds parts and is bought as it is: post anchors, angle brackets, joist hangers, coach bolts.",
    fields: &[
        LABEL_FIELD,
        field(
            "price",
            Kind::Money,
            Default::Absent,
            "For one by itself; an unknown price stays blank and counts as nothing. Left out beside `packs`: not sold by itself.",
        ),
        STOCK_FIELD,
        field(
            "packs",
            Kind::List(&PACK),
            Default::Absent,
            "The packs that it is sold in; the cheapest of all are bought.",
        ),
    ],
};

/// What it costs to have it brought.
pub static DELIVERY: Schema = Schema {
    name: "delivery",
    doc: "What it costs if the yard brings it. Told beside the trips of the car, never added.",
    fields: &[
        field("price", Kind::Money, Default::Required, "For one delivery."),
        field("free-from", Kind::Money, Default::Absent, "From this sum of goods up it costs nothing."),
    ],
};

/// Cuts that the yard makes.
pub static YARD_CUTS: Schema = Schema {
    name: "cuts",
    doc: "Cuts that the yard makes for a fee, so that long boards go into the car.",
    fields: &[
        field("price", Kind::Money, Default::Required, "For one cut."),
        field("free", Kind::Count { least: 0, most: 1_000 }, Default::Text("0"), "So many cuts cost nothing."),
        length("accuracy", 0, 50, Default::Text("2 mm"), "How far a cut may be off (*common practice*)."),
        length("kerf", 0, 20, Default::Text("4 mm"), "What the yard's saw takes (*common practice*)."),
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
