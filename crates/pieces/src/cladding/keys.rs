//! The keys of claddings.

use crate::rows::BOARD_CORNERS;
use crate::shaped;
use model::schema::{Default, Field, Kind, Schema, StockKind, WishOf};

/// The keys of `cladding`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "cladding",
    doc: "Boards on the faces of another piece, upright or level with equal gaps, or lapped.",
    fields: &[
        Field { key: "on", doc: "The piece that is clad.", kind: Kind::Piece, default: Default::Required },
        Field {
            key: "board",
            doc: "The board. Either this or `pattern`.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Absent,
        },
        Field {
            key: "pattern",
            doc: "In place of `board`, for upright boards: boards of several widths and one thickness that come in turn, such as `[\"wide\", \"narrow\"]`.",
            kind: Kind::Stocks(StockKind::Board),
            default: Default::Absent,
        },
        Field {
            key: "pattern-ends",
            doc: "How a row of a `pattern` ends; `same` if left out.",
            kind: Kind::Word(&[
                ("same", "with the board that it begins with"),
                ("whole", "with the last board of the pattern"),
            ]),
            default: Default::Absent,
        },
        Field {
            key: "boards",
            doc: "Which way the boards run.",
            kind: Kind::Word(&[
                ("upright", "they stand, side by side"),
                ("level", "they lie, one above the other"),
                ("board on board", "they stand, and a second layer covers the gaps"),
                ("lapped", "they lie, each over the upper edge of the one below, and lean outwards at the foot"),
            ]),
            default: Default::Text("upright"),
        },
        Field {
            key: "gap",
            doc: "Between one board and the next, and where a row of upright boards meets the board round the corner. Every cladding needs it but a lapped one.",
            kind: Kind::Wish { of: WishOf::Gap, least: 0, most: 200 },
            default: Default::Absent,
        },
        Field {
            key: "cover",
            doc: "Of lapped boards: from the lower edge of one to that of the next, plumb: the board's width less the lap. At least half the width.",
            kind: Kind::Wish { of: WishOf::Gap, least: 5, most: 1_000 },
            default: Default::Absent,
        },
        Field {
            key: "starter",
            doc: "Of lapped boards: the strip behind the lowest one, which tips it as far as the others lean.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Absent,
        },
        Field {
            key: "faces",
            doc: "Which faces are clad, by name; all if left out.",
            kind: Kind::Faces,
            default: Default::Absent,
        },
        Field {
            key: "corners",
            doc: "Which face's boards cover the edges of the boards round the corner; `front through` if left out, and where corners are not right angles `open` for upright boards and `mitred` for level ones. Lapped boards are `mitred` everywhere.",
            kind: Kind::Word(BOARD_CORNERS),
            default: Default::Absent,
        },
        Field {
            key: "off-ground",
            doc: "How far the lower edge stays above the lower edge of what is clad. Ten millimetres or more let it dry (*common practice*).",
            kind: Kind::Length { least: 0, most: 5_000 },
            default: Default::Text("0"),
        },
        shaped::TOP,
        shaped::RISE,
        shaped::FLAT,
        Field {
            key: "screw",
            doc: "The screw that holds the boards to what is clad; covering boards are not screwed to it. Lapped boards are held through the air behind them.",
            kind: Kind::Stock(StockKind::Screw),
            default: Default::Absent,
        },
    ],
};
