//! *Can you carry it?* The mass of each part and of each piece against what the people at hand lift.
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
use model::part::Part;
use model::plan::Plan;
use model::schema::StockKind;
use model::stock::{Material, StockRef};
use model::why::{Input, Of, Quantity, Value};
use std::collections::BTreeMap;

const QUESTION: &str = "Can you carry it?";

/// Parts that are alike: the letter of their ids, one of them, and how many.
struct Alike<'p> {
    letters: String,
    one: &'p Part,
    count: u64,
}

pub(super) fn ask(parts: &[Part], plan: &Plan, out: &mut Answers) {
    let limit = limit(plan, out);
    let mut pieces: BTreeMap<&str, Vec<Alike<'_>>> = BTreeMap::new();
    for part in parts {
        let letters = part.id.trim_end_matches(|c: char| c.is_ascii_digit());
        let alike = pieces.entry(&part.key.piece).or_default();
        match alike.iter_mut().find(|alike| alike.letters == letters) {
            Some(alike) => alike.count += 1,
            None => alike.push(Alike { letters: letters.to_owned(), one: part, count: 1 }),
        }
    }
    for (piece, alike) in pieces {
        answer(piece, &alike, &limit, plan, out);
    }
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

fn answer(piece: &str, alike: &[Alike<'_>], limit: &(Mass, String), plan: &Plan, out: &mut Answers) {
    let mut inputs = Vec::new();
    let mut heaviest: Option<(Mass, String)> = None;
    for kind in alike {
        let Some(quantity) = mass_of_one(kind, plan) else {
            return out.answers.push(cannot_tell(piece, kind.one.stock, plan));
        };
        inputs.push(Input::new(format!("parts {}", kind.letters), Value::count(kind.count)));
        inputs.push(Input::new(quantity.name.clone(), quantity.value));
        if let Some(mass) = mass_of(&quantity).filter(|mass| heaviest.as_ref().is_none_or(|(most, _)| mass > most)) {
            heaviest = Some((mass, quantity.name.clone()));
        }
        out.quantities.push(quantity);
    }
    let whole =
        Quantity::by(format!("{piece}.mass"), "all its parts together", Of::Mass, &rules::SUM_OF_MASSES, inputs);
    let Some(((heaviest, name), whole)) = heaviest.zip(whole) else { return };
    out.answers.push(judge(
        format!("the heaviest part of {piece}"),
        heaviest,
        name,
        limit,
        plan,
        |people| match people {
            Some(people) => format!("have {people} people lift it, or buy it cut to length"),
            None => "buy it cut to length, or use a lighter section".into(),
        },
    ));
    // Units are carried one by one; only what is joined is ever lifted whole.
    if alike.iter().all(|kind| kind.one.stock.kind != StockKind::Unit) {
        let mass = mass_of(&whole).unwrap_or_default();
        out.answers.push(judge(format!("{piece}, put together"), mass, whole.name.clone(), limit, plan, |people| {
            let lift = people.map(|people| format!(", or have {people} people move it")).unwrap_or_default();
            format!("put it together where it will stand{lift}")
        }));
    }
    out.quantities.push(whole);
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

fn cannot_tell(piece: &str, stock: StockRef, plan: &Plan) -> Answer {
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
