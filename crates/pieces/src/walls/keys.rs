//! The keys of walls.

use crate::rows::WALL_CORNERS;
use model::schema::{Default, Field, Kind, Schema, StockKind, WishOf};

/// The keys of `walls`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "walls",
    doc: "A box without top or bottom, of sheet or of boards in courses, standing on the ground, beside others or in another.",
    fields: &[
        Field {
            key: "outline",
            doc: "The shape seen from above; `rectangle` if left out.",
            kind: Kind::Word(&[
                ("rectangle", "four faces: front, right, back, left"),
                ("L", "six faces: front, right, inner back, inner right, back, left"),
                ("triangle", "three equal faces: front, side 2, side 3"),
                ("pentagon", "five equal faces: front, side 2, … side 5"),
                ("hexagon", "six equal faces: front, side 2, … side 6"),
                ("octagon", "eight equal faces: front, side 2, … side 8"),
                ("decagon", "ten equal faces: front, side 2, … side 10"),
                ("dodecagon", "twelve equal faces: front, side 2, … side 12"),
            ]),
            default: Default::Absent,
        },
        Field {
            key: "length",
            doc: "Outside, along the front; for equal faces, of each. Needed unless `like` or `in` gives it.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "width",
            doc: "Outside, from front to back. A rectangle without it is square.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "height",
            doc: "From the lower edge to the top edge; of walls that lean, up the slope. Needed unless `like` gives it.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "front-arm",
            doc: "For an L: how deep the arm along the front is, outside.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "left-arm",
            doc: "For an L: how wide the arm along the left is, outside.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "like",
            doc: "Other walls whose outline, sizes and height these have too, so that both come out alike.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "beside",
            doc: "Other walls to the right of which these stand, both rectangles; `apart` or `overall` says how far away.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "apart",
            doc: "For walls beside others: the clear distance between the two.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "overall",
            doc: "For walls beside others: from the left end of those to the right end of these.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "in",
            doc: "Walls that these stand in as a tier, all round the same `setback` inside them.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "setback",
            doc: "For a tier: from the inner faces of the walls round it to its outer ones.",
            kind: Kind::Wish { of: WishOf::Size, least: 10, most: 20_000 },
            default: Default::Absent,
        },
        Field {
            key: "off-ground",
            doc: "How far the lower edge lies above the ground; of a tier, above the lower edge of what it stands in.",
            kind: Kind::Length { least: 0, most: 5_000 },
            default: Default::Text("0"),
        },
        Field {
            key: "board",
            doc: "The board that the courses are of. Either this or `sheet`.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Absent,
        },
        Field {
            key: "sheet",
            doc: "The sheet that the walls are of, one panel for each face. Either this or `board`.",
            kind: Kind::Stock(StockKind::Sheet),
            default: Default::Absent,
        },
        Field {
            key: "gap",
            doc: "Between one course of boards and the next.",
            kind: Kind::Wish { of: WishOf::Gap, least: 0, most: 100 },
            default: Default::Text("0"),
        },
        Field {
            key: "corners",
            doc: "Which walls run through at the corners; `front through` if left out, and `mitred` where corners are not right angles.",
            kind: Kind::Word(WALL_CORNERS),
            default: Default::Absent,
        },
        Field {
            key: "post",
            doc: "The board of the posts in the corners, for `corners = \"on posts\"`; it stands with its width along the front.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Absent,
        },
        Field {
            key: "batter",
            doc: "For mitred walls that lean: how far the lower outer edges lie inside the upper ones; less than nothing for walls that are narrower at the top. The sizes are those at the top, and the lean is less than 30 degrees.",
            kind: Kind::Length { least: -500, most: 500 },
            default: Default::Text("0"),
        },
        Field {
            key: "join",
            doc: "How courses are made that are longer than the stock.",
            kind: Kind::Word(&[(
                "over ribs",
                "equal boards meet on a rib behind the wall, staggered in every second course",
            )]),
            default: Default::Absent,
        },
        Field {
            key: "rib",
            doc: "The board of the ribs behind the joints, for `join = \"over ribs\"`; it lies flat against the wall.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Absent,
        },
    ],
};

const SIZE: Kind = Kind::Wish { of: WishOf::Size, least: 50, most: 20_000 };
