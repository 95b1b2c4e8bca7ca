//! `slats`: boards that lie flat, side by side with equal gaps: a deck of its own, or a seat between two pieces.

mod deck;
mod seat;

use crate::Piece;
use crate::fitted::RowFit;
use crate::timber::Timber;
use measure::Length;
use model::build::Row;
use model::part::PartKey;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, WishOf};

pub(crate) use seat::CLEAR;

/// The keys of `slats`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "slats",
    doc: "Boards that lie flat, side by side with equal gaps: a deck that stands by itself, or a seat between two pieces.",
    fields: &[
        Field {
            key: "between",
            doc: "For a seat: the two pieces that it lies between, the left one first. They are rectangles of one width, their fronts in one line. A deck if left out.",
            kind: Kind::Pieces,
            default: Default::Absent,
        },
        Field { key: "board", doc: "The board, lying flat.", kind: BOARD, default: Default::Required },
        Field {
            key: "gap",
            doc: "Between one board and the next; the first and the last one are flush with the edges.",
            kind: Kind::Wish { of: WishOf::Gap, least: 0, most: 200 },
            default: Default::Required,
        },
        Field {
            key: "boards",
            doc: "Which way the boards of a deck run; those of a seat run along the front.",
            kind: Kind::Word(&[("along", "along the front"), ("across", "from front to back")]),
            default: Default::Text("along"),
        },
        Field {
            key: "bears",
            doc: "What it carries, for the question whether it sags.",
            kind: Kind::Word(&[
                ("people", "people sit or stand on it"),
                ("things", "pots, bags and tools, and nobody"),
            ]),
            default: Default::Text("people"),
        },
        Field { key: "length", doc: "For a deck: along the front.", kind: SIZE, default: Default::Absent },
        Field { key: "width", doc: "For a deck: from front to back.", kind: SIZE, default: Default::Absent },
        Field {
            key: "top",
            doc: "The height of the upper face above the ground. A seat is level with the first of its two pieces if this is left out.",
            kind: Kind::Length { least: 20, most: 3_000 },
            default: Default::Absent,
        },
        Field {
            key: "play",
            doc: "For a seat: what its boards keep off the pieces at each end; nothing if left out.",
            kind: Kind::Length { least: 0, most: 50 },
            default: Default::Absent,
        },
        Field {
            key: "ledger",
            doc: "For a seat: the board, on edge, that carries it at each of the two pieces.",
            kind: BOARD,
            default: Default::Absent,
        },
        Field {
            key: "bearer",
            doc: "For a seat: the board, on edge, that carries it on its way. Together with `span` and `leg`.",
            kind: BOARD,
            default: Default::Absent,
        },
        Field {
            key: "span",
            doc: "For a seat: the most from one support to the next, from middle to middle of the bearers.",
            kind: Kind::Length { least: 100, most: 5_000 },
            default: Default::Absent,
        },
        Field {
            key: "leg",
            doc: "For a seat: the board of the legs, two to each bearer, its wider face towards the front.",
            kind: BOARD,
            default: Default::Absent,
        },
        Field {
            key: "short",
            doc: "For a seat: what ledgers and bearers stop short of front and back; 20 mm if left out (*common practice*).",
            kind: Kind::Length { least: 0, most: 1_000 },
            default: Default::Absent,
        },
        Field {
            key: "foot",
            doc: "For a seat: what lies under each leg; nothing if left out.",
            kind: Kind::Length { least: 0, most: 500 },
            default: Default::Absent,
        },
        Field {
            key: "screw",
            doc: "For a seat: the screw that it is put together with. Those of a deck are named by its `frame`.",
            kind: Kind::Stock(StockKind::Screw),
            default: Default::Absent,
        },
        Field {
            key: "ledger-screws",
            doc: "For a seat: how many screws go from the inside of a piece into a ledger, for each board that it touches; 4 if left out.",
            kind: Kind::Count { least: 1, most: 20 },
            default: Default::Absent,
        },
    ],
};

const SIZE: Kind = Kind::Wish { of: WishOf::Size, least: 50, most: 20_000 };
const BOARD: Kind = Kind::Stock(StockKind::Board);

/// What only a seat has.
const OF_A_SEAT: [&str; 9] = ["play", "ledger", "bearer", "span", "leg", "short", "foot", "screw", "ledger-screws"];

/// What only a deck has.
const OF_A_DECK: [&str; 2] = ["length", "width"];

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let is_seat = text.values.has("between");
    let (what, other, idle): (_, _, &[&str]) = match is_seat {
        true => ("a seat", "a deck", &OF_A_DECK),
        false => ("a deck", "a seat", &OF_A_SEAT),
    };
    if let Some(key) = idle.iter().find(|key| text.values.has(key)) {
        let hint = match is_seat {
            true => format!("leave `{key}` out, or `between`"),
            false => format!("leave `{key}` out, or name the two pieces that the seat lies `between`"),
        };
        let problem = Problem::new(format!("`{}` is {what}, and `{key}` is of {other}", text.name));
        return Err(problem.at(&text.values.place_of(key)).hint(hint));
    }
    if is_seat { seat::make(text, plan) } else { deck::make(text, plan) }
}

/// The row of the boards as it closes: `length` is what they fill.
fn row_of_boards(text: &PieceText, board: &Timber, face: &str, length: Length, fit: RowFit) -> Row {
    Row {
        piece: text.name.clone(),
        face: face.into(),
        length,
        pattern: vec![board.width],
        count: fit.count,
        gaps: fit.gaps,
        starts_with_gap: false,
        up: false,
    }
}

fn key(text: &PieceText, role: &str, face: &str, index: u32) -> PartKey {
    PartKey { piece: text.name.clone(), role: role.into(), face: face.into(), course: 0, index }
}
