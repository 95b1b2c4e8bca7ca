//! The tables of the shed.

use super::{BAD_STRETCH, FORMAT_FIELD, UNITS_FIELD, field, length};
use model::schema::{Default, Field, Kind, Schema};

const fn minutes(key: &'static str, usual: &'static str, doc: &'static str) -> Field {
    field(key, Kind::Count { least: 0, most: 10_000 }, Default::Text(usual), doc)
}

/// The keys at the top of a shed.
pub static SHED: Schema = Schema {
    name: "shed",
    doc: "What you have: the saws, what is left over, and what brings it home.",
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
        length("crosscut", 10, 5_000, Default::Absent, "The widest board that it cuts across; a wider one is told."),
        length(
            "rip",
            10,
            5_000,
            Default::Absent,
            "The widest that it rips from its fence; a panel wider than that off both edges is told.",
        ),
        field(
            "mitre",
            Kind::Count { least: 0, most: 90 },
            Default::Absent,
            "How far it turns, in whole degrees from square; an end that turns more is told.",
        ),
        field(
            "tilt",
            Kind::Count { least: 0, most: 90 },
            Default::Absent,
            "How far its blade leans, in whole degrees from upright; an end that leans more is told.",
        ),
    ],
};

/// The saw for sheets.
pub static SHEET_SAW: Schema = Schema {
    name: "sheet-saw",
    doc: "The saw that sheets are cut with, if it is not the one that boards are cut with.",
    fields: &[
        length("kerf", 0, 10, Default::Required, "What its blade turns to dust: measure a test slot."),
        length(
            "trim",
            0,
            500,
            Default::Text("10 mm"),
            "What is taken off a sheet to square it, both edges together, its own kerfs included (*common practice*).",
        ),
    ],
};

/// What is kept.
pub static OFFCUTS: Schema = Schema {
    name: "offcuts",
    doc: "What is left over and worth keeping.",
    fields: &[length(
        "keep",
        50,
        20_000,
        Default::Text("300 mm"),
        "From this length on what is left is kept (*our own choice*).",
    )],
};

/// An offcut that is there.
pub static OFFCUT: Schema = Schema {
    name: "offcut",
    doc: "What is left of a board or a sheet of the yard: stock that costs nothing. It stands behind everything of the yard.",
    fields: &[
        field("of", Kind::Text, Default::Required, "The board or the sheet of the yard that it was cut from."),
        length("length", 50, 20_000, Default::Required, "How long it is; of a sheet, along the grain."),
        length("width", 50, 10_000, Default::Absent, "Of a sheet: how wide it is across the grain."),
        field("count", Kind::Count { least: 1, most: 1_000 }, Default::Text("1"), "How many there are."),
        field(
            "bad",
            Kind::List(&BAD_STRETCH),
            Default::Absent,
            "Of a board: stretches that no part may contain, which are cut round; at most 8.",
        ),
    ],
};

/// The rest of a pack.
pub static LEFT: Schema = Schema {
    name: "left",
    doc: "What is left of a pack: it comes off the need before packs are chosen. One of `count`, `litres`, `metres`.",
    fields: &[
        field("of", Kind::Text, Default::Required, "The unit, screw, bag, roll or finish of the yard that it is."),
        length("length", 10, 400, Default::Absent, "Of screws: how long they are."),
        field("count", Kind::Count { least: 1, most: 100_000 }, Default::Absent, "How many units or screws."),
        field("litres", Kind::Decimal { most: 100_000 }, Default::Absent, "How much of a bag or a finish."),
        field("metres", Kind::Decimal { most: 10_000 }, Default::Absent, "How much of a roll."),
    ],
};

/// A plan that is cut, and whose rests are in the shed.
pub static KEPT: Schema = Schema {
    name: "kept",
    doc: "A plan whose rests `scantling keep` has put into the shed, written by it, so that the same plan is not kept twice.",
    fields: &[
        field("plan", Kind::Text, Default::Required, "The title of the plan."),
        field("digest", Kind::Text, Default::Required, "The digest of the plan and its yard as they were then."),
        field("times", Kind::Count { least: 1, most: 1_000 }, Default::Text("1"), "How often it was kept."),
    ],
};

/// The bits.
pub static BITS: Schema = Schema {
    name: "bits",
    doc: "The bits that you have; left out, no hole is asked. Pilot and clearance holes of other sizes are told, with the next one that is there.",
    fields: &[field("sizes", Kind::Lengths { least: 1, most: 60 }, Default::Required, "Across, each.")],
};

/// The car.
pub static CAR: Schema = Schema {
    name: "car",
    doc: "What the car takes.",
    fields: &[
        length("longest", 100, 20_000, Default::Absent, "The longest thing that goes in or on it."),
        field("load", Kind::Mass, Default::Absent, "The heaviest load that it takes, without the people."),
    ],
};

/// The door.
pub static DOOR: Schema = Schema {
    name: "door",
    doc: "The way out of the workshop; what does not pass it once it is put together is told.",
    fields: &[length("width", 100, 20_000, Default::Absent, "How wide it is.")],
};

/// What time and mishaps cost.
pub static RATES: Schema = Schema {
    name: "rates",
    doc: "What time and mishaps cost you: your own numbers. Ways out of a mistake are ranked by them, and ways to build are told with their minutes.",
    fields: &[
        field("minute", Kind::Money, Default::Absent, "What a minute of your own is worth."),
        field("trip", Kind::Money, Default::Absent, "What another trip to the yard costs."),
        minutes("trip-minutes", "40", "How long it takes."),
        minutes("cut-minutes", "2", "How long a cut takes."),
        minutes("stop-minutes", "5", "How long setting and checking a stop takes."),
        minutes("measure-minutes", "1", "How long measuring a board takes."),
        minutes("screw-minutes", "1", "How long a screw takes, with its holes."),
        minutes("unit-minutes", "3", "How long laying a unit takes (*our own choice*)."),
        minutes("strip-minutes", "10", "How long closing a gap with a strip takes."),
        field("blade", Kind::Money, Default::Absent, "What another blade costs."),
        minutes("blade-minutes", "10", "How long changing it takes."),
        field("packers", Kind::Money, Default::Absent, "What packers cost."),
        minutes("packers-minutes", "10", "How long packing out takes."),
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
