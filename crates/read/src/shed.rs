//! The shed: the saws, what a comfortable pattern keeps back, who is there to lift, what is left over, what brings it home.

use crate::document::{Document, Form, Item, Table};
use crate::files::{BITS, CAR, DOOR, HANDS, KEPT, LEFT, OFFCUT, OFFCUTS, RATES, RESERVE, SAW, SHED, SHEET_SAW};
use crate::limits::LIMITS;
use crate::plan::{is_known_format, named_tables};
use crate::suggest::quote;
use crate::values::{Reader, as_hint};
use model::problem::{File, Problem};
use model::schema::{Default, Schema, Values};
use model::stock::{KeptPlan, Rates, Saw, SawLimits, Shed};

/// What a shed's text says, as far as it could be read.
pub(crate) struct ShedText {
    /// The shed but for what it names of the yard, if nothing is missing from it.
    pub shed: Option<Shed>,
    /// Its offcuts and what is left of packs, which the yard must know.
    pub named: Vec<NamedThing>,
    /// What is wrong with it. More is found when what it names is looked up, by this reader.
    pub reader: Reader,
}

/// A table `[offcut.NAME]` or `[left.NAME]`.
pub(crate) struct NamedThing {
    /// Whether it is an offcut.
    pub offcut: bool,
    /// Its name.
    pub name: String,
    /// What it says.
    pub values: Values,
}

/// Reads a shed.
pub(crate) fn read(document: &Document) -> ShedText {
    let mut reader = Reader::new(File::Shed, &document.top);
    if !document.sound || !is_known_format(&mut reader, &document.top) {
        return ShedText { shed: None, named: Vec::new(), reader };
    }
    const TABLES: [&str; 12] =
        ["saw", "reserve", "hands", "sheet-saw", "offcuts", "offcut", "left", "kept", "bits", "car", "door", "rates"];
    let top = &document.top;
    reader.table(top, &SHED, &TABLES, "the shed");
    let needed = [&SAW, &RESERVE, &HANDS, &OFFCUTS, &CAR, &DOOR, &RATES].map(|schema| reader.single(top, schema));
    let (sheet_saw, bits) = (reader.maybe_single(top, &SHEET_SAW), reader.maybe_single(top, &BITS));
    let mut named = things(&mut reader, top, true);
    named.extend(things(&mut reader, top, false));
    let kept = kept(&mut reader, top);
    let shed = match &needed {
        [Some(saw), Some(reserve), Some(hands), Some(offcuts), Some(car), Some(door), Some(rates)] => {
            shed([saw, reserve, hands, offcuts, car, door]).map(|shed| Shed {
                sheet_saw: sheet_saw.as_ref().and_then(saw_of),
                bits: bits.as_ref().and_then(|bits| bits.lengths("sizes")),
                kept,
                rates: rates_of(rates),
                ..shed
            })
        }
        _ => None,
    };
    ShedText { shed, named, reader }
}

fn things(reader: &mut Reader, top: &Table, offcut: bool) -> Vec<NamedThing> {
    let (key, schema) = if offcut { ("offcut", &OFFCUT) } else { ("left", &LEFT) };
    let tables = named_tables(reader, top, key, LIMITS.offcuts);
    let mut things = Vec::new();
    for named in tables {
        let values = reader.table(named.table, schema, &[], &format!("`[{key}.{}]`", quote(named.name)));
        things.push(NamedThing { offcut, name: named.name.to_owned(), values });
    }
    things
}

/// The plans that are cut, as far as they could be read.
fn kept(reader: &mut Reader, top: &Table) -> Vec<KeptPlan> {
    let mut kept = Vec::new();
    for named in named_tables(reader, top, "kept", LIMITS.kept) {
        let values = reader.table(named.table, &KEPT, &[], &format!("`[kept.{}]`", quote(named.name)));
        if let (Some(plan), Some(digest)) = (values.text("plan"), values.text("digest")) {
            kept.push(KeptPlan { name: named.name.to_owned(), plan, digest });
        }
    }
    kept
}

fn saw_of(values: &Values) -> Option<Saw> {
    Some(Saw { kerf: values.length("kerf")?, trim: values.length("trim")? })
}

fn shed([saw, reserve, hands, offcuts, car, door]: [&Values; 6]) -> Option<Shed> {
    Some(Shed {
        kerf: saw.length("kerf")?,
        trim: saw.length("trim")?,
        limits: SawLimits {
            crosscut: saw.length("crosscut"),
            rip: saw.length("rip"),
            mitre: saw.count("mitre"),
            tilt: saw.count("tilt"),
        },
        reserve_per_cut: reserve.length("per-cut")?,
        reserve_per_board: reserve.length("per-board")?,
        lift: hands.mass("lift"),
        people: hands.count("people")?,
        keep: offcuts.length("keep")?,
        car_longest: car.length("longest"),
        car_load: car.mass("load"),
        door: door.length("width"),
        ..Shed::default()
    })
}

fn rates_of(values: &Values) -> Rates {
    let minutes = |key: &str| values.count(key).unwrap_or_default();
    Rates {
        minute: values.money("minute"),
        trip: values.money("trip"),
        trip_minutes: minutes("trip-minutes"),
        cut_minutes: minutes("cut-minutes"),
        stop_minutes: minutes("stop-minutes"),
        measure_minutes: minutes("measure-minutes"),
        screw_minutes: minutes("screw-minutes"),
        unit_minutes: minutes("unit-minutes"),
        strip_minutes: minutes("strip-minutes"),
        blade: values.money("blade"),
        blade_minutes: minutes("blade-minutes"),
        packers: values.money("packers"),
        packers_minutes: minutes("packers-minutes"),
    }
}

impl Reader {
    /// Reads a table that stands once; left out it has its defaults, if all its keys have.
    pub fn single(&mut self, top: &Table, schema: &'static Schema) -> Option<Values> {
        let called = format!("`[{}]`", schema.name);
        let Some(item) = top.get(schema.name) else {
            let needed = schema.fields.iter().find(|field| matches!(field.default, Default::Required));
            let Some(needed) = needed else {
                let empty = Table { bytes: 0..0, entries: Vec::new() };
                return Some(self.table(&empty, schema, &[], &called));
            };
            let problem = Problem::new(format!("the shed lacks the table {called}"))
                .expected(format!("expected a table {called} with `{}` in this file", needed.key))
                .hint(as_hint(needed));
            return self.wrong(&(0..0), problem);
        };
        self.once(item, schema)
    }

    /// Reads a table that stands once, or not at all.
    pub fn maybe_single(&mut self, top: &Table, schema: &'static Schema) -> Option<Values> {
        top.get(schema.name).and_then(|item| self.once(item, schema))
    }

    fn once(&mut self, item: &Item, schema: &'static Schema) -> Option<Values> {
        let called = format!("`[{}]`", schema.name);
        match &item.form {
            Form::Table(table) => Some(self.table(table, schema, &[], &called)),
            _ => {
                let problem = Problem::new(format!("`{}` is {}", schema.name, item.what()))
                    .expected(format!("expected a table {called}"));
                self.wrong(&item.bytes, problem)
            }
        }
    }
}
