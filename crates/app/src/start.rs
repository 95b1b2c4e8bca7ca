//! The sentence with which a plan begins: words to tap, and the files that they make.

mod boxes;
mod decks;
mod screens;
mod tell;

use crate::request::{Answer, Not, Request};
use scantling::Unit;
use serde_json::json;
use tell::{In, Tell};

/// What can be made.
const MAKE: &[In] = &[
    ("planter", "planter"),
    ("bed", "raised bed"),
    ("screen", "screen"),
    ("platform", "low platform"),
    ("bench", "bench"),
];

/// The sentence as far as it was said, each word that was left open standing as is usual; and the files that it makes.
pub(crate) fn start(request: &Request<'_>) -> Answer {
    let unit = match request.text("units")? {
        "mm" => Unit::Millimetre,
        "in" => Unit::Inch,
        other => {
            return Err(Not::Asked(format!("the sentence is told in `mm` or `in`, not `{}`", other.escape_debug())));
        }
    };
    let mut tell = Tell::new(unit, request.object("words")?);
    tell.say("A ");
    let make = tell.choose("make", MAKE);
    let plan = match make {
        "screen" => screens::screen(&mut tell),
        "platform" => decks::platform(&mut tell),
        "bench" => decks::bench(&mut tell),
        bed => boxes::planter(&mut tell, bed),
    };
    tell.say(".");
    let shown = MAKE.iter().find(|(is, _)| *is == make).map_or(make, |(_, shown)| shown);
    let plan = plan.text(shown, make, unit);
    let (yard, shed) = match unit {
        Unit::Millimetre => (include_str!("start/yard.mm.toml"), MM_SHED),
        Unit::Inch | Unit::FootInch => (include_str!("start/yard.in.toml"), INCH_SHED),
    };
    let name = |what: &str| format!("{make}.{what}.toml");
    let mut files = serde_json::Map::new();
    files.extend([(name("plan"), plan.into()), (name("yard"), yard.into()), (name("shed"), shed.into())]);
    Ok(json!({ "sentence": tell.sentence(), "plan": name("plan"), "files": files }))
}

const MM_SHED: &str = "# What you have. Measure the kerf in a test slot.\nformat = 1\n\n[saw]\nkerf = 3\ntrim = 10\n";
const INCH_SHED: &str = "# What you have. Measure the kerf in a test slot.\nformat = 1\nunits = \"in\"\n\n[saw]\nkerf = \"1/8\"\ntrim = \"1/2\"\n";
