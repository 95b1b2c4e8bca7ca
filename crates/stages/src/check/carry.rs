//! *Can you carry it?* The mass of the heaviest part of each piece, and of each piece with all that is fixed to it, against what the people at hand lift.
//!
//! # Formula
//! Mass = volume × density; limit = what one person lifts × people × what a team manages of that sum.
//! # Source
//! Densities: `handbook::materials`, or the yard's own; lifting: `handbook::lifting`, or the shed's own.
//! # Holds for
//! Air-dry wood without fasteners and filling; a single lift close to the body. It is a filter, not a safe limit.

use super::{Answer, Answers, Verdict};
use crate::rules;
use handbook::{lifting, materials};
use measure::{Density, Mass};
use model::build::Build;
use model::part::Part;
use model::plan::Plan;
use model::schema::StockKind;
use model::stock::Material;
use model::why::{Input, Of, Quantity, Value};
use std::collections::BTreeMap;

const QUESTION: &str = "Can you carry it?";

/// Parts that are alike: the letter of their ids, one of them, and how many.
struct Alike<'p> {
    letters: String,
    one: &'p Part,
    count: u64,
}

pub(super) fn ask(build: &Build, plan: &Plan, out: &mut Answers) {
    let limit = limit(plan, out);
    let mut pieces: BTreeMap<&str, Vec<Alike<'_>>> = BTreeMap::new();
    for part in &build.parts {
        let letters = part.id.trim_end_matches(|c: char| c.is_ascii_digit());
        let alike = pieces.entry(&part.key.piece).or_default();
        match alike.iter_mut().find(|alike| alike.letters == letters) {
            Some(alike) => alike.count += 1,
            None => alike.push(Alike { letters: letters.to_owned(), one: part, count: 1 }),
        }
    }
    let mut masses: BTreeMap<&str, Quantity> = BTreeMap::new();
    for (piece, alike) in &pieces {
        match weigh(piece, alike, &limit, plan, out) {
            Some(mass) => _ = masses.insert(piece, mass),
            None => out.answers.push(cannot_tell(piece, alike, plan)),
        }
    }
    for (piece, alike) in &pieces {
        let fixed_to_another = build.fixed.iter().any(|fixed| fixed.piece == *piece);
        // Units are carried one by one; only what is joined is ever lifted whole.
        if !fixed_to_another && alike.iter().all(|kind| kind.one.stock.kind != StockKind::Unit) {
            lift_whole(piece, &masses, build, &limit, plan, out);
        }
    }
    out.quantities.extend(masses.into_values());
}

/// What the people at hand lift together, with its source.
fn limit(plan: &Plan, out: &mut Answers) -> (Mass, String) {
    let shed = &plan.shed;
    let (one, source) = match shed.lift {
        Some(lift) => (lift, "your number, from the shed".to_owned()),
        None => {
            let limit = &lifting::ONE_PERSON;
            (limit.mass, format!("{}: {} ({})", limit.source, limit.holds_for, limit.mark))
        }
    };
    let inputs = vec![
        Input::new("what one person lifts", Value::mass(one)),
        Input::new("people at hand", Value::count(shed.people)),
        Input::new("share of the team in thousandths", Value::count(lifting::team_share(shed.people))),
    ];
    let limit = Quantity::by("carry.limit", "what the people at hand lift", Of::Mass, &rules::TEAM_LIFT, inputs);
    let mass = limit.as_ref().and_then(mass_of).unwrap_or(one);
    out.quantities.extend(limit);
    (mass, source)
}

fn mass_of(quantity: &Quantity) -> Option<Mass> {
    i64::try_from(quantity.value.value).ok().map(Mass::milligrams)
}

/// Asks whether the heaviest part of a piece can be carried; returns the mass of the whole piece, or `None` if a density is
/// not known.
fn weigh(piece: &str, alike: &[Alike<'_>], limit: &(Mass, String), plan: &Plan, out: &mut Answers) -> Option<Quantity> {
    let mut inputs = Vec::new();
    let mut ones = Vec::new();
    for kind in alike {
        let one = mass_of_one(kind, plan)?;
        inputs.push(Input::new(format!("parts {}", kind.letters), Value::count(kind.count)));
        inputs.push(Input::new(one.name.clone(), one.value));
        ones.push(one);
    }
    let whole =
        Quantity::by(format!("{piece}.mass"), "all its parts together", Of::Mass, &rules::SUM_OF_MASSES, inputs)?;
    // The first of equals, so that the answer does not hang on the order of a search.
    let heaviest = ones.iter().rev().max_by_key(|one| one.value.value)?;
    let (mass, name) = (mass_of(heaviest)?, heaviest.name.clone());
    out.answers.push(judge(format!("the heaviest part of {piece}"), mass, name, limit, plan, |people| match people {
        Some(people) => format!("have {people} people lift it, or buy it cut to length"),
        None => "buy it cut to length, or use a lighter section".into(),
    }));
    out.quantities.extend(ones);
    Some(whole)
}

/// Asks whether a piece can be lifted with everything that is fixed to it.
fn lift_whole(
    piece: &str,
    masses: &BTreeMap<&str, Quantity>,
    build: &Build,
    limit: &(Mass, String),
    plan: &Plan,
    out: &mut Answers,
) {
    let joined = with_fixed(piece, build);
    let mut inputs = Vec::new();
    for name in &joined {
        let Some(mass) = masses.get(name) else { return };
        inputs.push(Input::new(*name, Value::count(1)));
        inputs.push(Input::new(mass.name.clone(), mass.value));
    }
    let name = format!("{piece}.lifted");
    let Some(whole) = Quantity::by(
        name.clone(),
        "put together, with all that is fixed to it",
        Of::Mass,
        &rules::SUM_OF_MASSES,
        inputs,
    ) else {
        return;
    };
    let mass = mass_of(&whole).unwrap_or_default();
    out.answers.push(judge(format!("{}, put together", joined.join(" and ")), mass, name, limit, plan, |people| {
        let lift = people.map(|people| format!(", or have {people} people move it")).unwrap_or_default();
        format!("put it together where it will stand{lift}")
    }));
    out.quantities.push(whole);
}

/// A piece and all that is fixed to it, or to what is fixed to it.
fn with_fixed<'b>(piece: &'b str, build: &'b Build) -> Vec<&'b str> {
    let mut joined = vec![piece];
    let mut looked_at = 0;
    while let Some(&to) = joined.get(looked_at) {
        let fixed = build.fixed.iter().filter(|fixed| fixed.to == to).map(|fixed| fixed.piece.as_str());
        let new: Vec<&str> = fixed.filter(|piece| !joined.contains(piece)).collect();
        joined.extend(new);
        looked_at += 1;
    }
    joined
}

/// The verdict on a mass, and what to change if it is too much: `fix` is given how many people would do, if up to six would.
fn judge(
    about: String,
    mass: Mass,
    value: String,
    limit: &(Mass, String),
    plan: &Plan,
    fix: impl Fn(Option<u32>) -> String,
) -> Answer {
    let verdict = Verdict::of(mass.value().into(), limit.0.value().into());
    let one = plan.shed.lift.unwrap_or(lifting::ONE_PERSON.mass).value();
    let enough =
        |people: &u32| one * i64::from(*people) * i64::from(lifting::team_share(*people)) / 1000 >= mass.value();
    let change = (verdict == Verdict::Fails).then(|| fix((2..=6).find(enough)));
    let source = limit.1.clone();
    Answer { question: QUESTION, about, verdict, value: Some(value), limit: Some("carry.limit".into()), source, change }
}

fn cannot_tell(piece: &str, alike: &[Alike<'_>], plan: &Plan) -> Answer {
    let unknown = alike.iter().find(|kind| mass_of_one(kind, plan).is_none());
    let stock = unknown.unwrap_or(&alike[0]).one.stock;
    let (name, _) = plan.yard.label(stock);
    let what =
        if stock.kind == StockKind::Unit { "`mass`, `material` or `density`" } else { "`material` or `density`" };
    Answer {
        question: QUESTION,
        about: piece.to_owned(),
        verdict: Verdict::CannotTell,
        value: None,
        limit: Some("carry.limit".into()),
        source: String::new(),
        change: Some(format!("give `{name}` its {what} in the yard")),
    }
}

/// The mass of one of some parts that are alike; `None` if nobody knows its density.
fn mass_of_one(kind: &Alike<'_>, plan: &Plan) -> Option<Quantity> {
    let (name, what) = (format!("mass.{}", kind.letters), format!("one part {}", kind.letters));
    let part = kind.one;
    if let Some(mass) = stated_mass(part, plan) {
        let inputs =
            vec![Input::new("one, by the yard", Value::count(1)), Input::new("mass by the yard", Value::mass(mass))];
        return Quantity::by(name, what, Of::Mass, &rules::SUM_OF_MASSES, inputs);
    }
    let (density, source) = density(plan.yard.density(part.stock)?)?;
    let inputs = vec![
        Input::new("length", Value::length(part.solid.length)),
        Input::new("width", Value::length(part.solid.width)),
        Input::new("thickness", Value::length(part.solid.thickness)),
        Input::new(format!("density ({source})"), Value { of: Of::Density, value: density.value().into() }),
    ];
    Quantity::by(name, what, Of::Mass, &rules::MASS, inputs)
}

fn stated_mass(part: &Part, plan: &Plan) -> Option<Mass> {
    if part.stock.kind == StockKind::Unit { plan.yard.units[part.stock.place].mass } else { None }
}

/// A density and where it is from.
fn density(material: &Material) -> Option<(Density, String)> {
    match material {
        Material::Stated(density) => Some((*density, "your number, from the yard".into())),
        Material::Named(name) => {
            let row = materials::find(name)?;
            Some((row.density, format!("{}: {}, {}", row.name, row.source, row.mark)))
        }
    }
}
