//! *Can you carry it?* The mass of the heaviest part of each piece, of each piece with all that is fixed to it, and of whole sheets and bags, against what the people at hand lift; beside it, who carries it, and what a filled piece weighs wet and presses on a floor.
//!
//! # Formula
//! Mass = volume × density; limit = what one person lifts × people × what a team manages of that sum.
//! # Source
//! Densities: `handbook::materials`, or the yard's own; lifting: `handbook::lifting`, or the shed's own.
//! # Holds for
//! Air-dry wood without fasteners and filling; a single lift close to the body. It is a filter, not a safe limit.

use super::{Answer, Answers, Question, Verdict};
use crate::rules;
use handbook::{lifting, materials};
use measure::{Density, Mass};
use model::build::Build;
use model::part::Part;
use model::plan::Plan;
use model::schema::StockKind;
use model::stock::{Material, StockRef};
use model::why::{Input, Of, Quantity, Value};
use std::collections::BTreeMap;

mod whole;
#[cfg(test)]
mod tests;

const ASKS: &str = "Can you carry it?";

/// The question.
pub(super) static QUESTION: Question = Question {
    asks: ASKS,
    looks_at: "The mass of the heaviest part of each piece, of each piece with all that is fixed to it, and of whole sheets and bags, against what the people at hand lift; beside it, who carries it, and what a filled piece weighs wet and presses on a floor",
    formula: "mass = volume × density; limit = what one person lifts × people × what a team manages of that sum",
    source: "densities by the handbook or the yard; lifting by the UK Health and Safety Executive, L23 (the share of a team from memory), or the shed's own; the lifting equation by NIOSH, DHHS 94-110; floors from memory of EN 1991-1-1 and the IRC",
    holds_for: "air-dry wood without fasteners; a single lift close to the body. It is a filter, not a safe limit",
    rules: &[
        &rules::MASS,
        &rules::MASS_OF_VOLUME,
        &rules::STATED_MASS,
        &rules::SUM_OF_MASSES,
        &rules::TEAM_LIFT,
        &whole::LIFTING,
        &whole::ON_FLOOR,
    ],
    ask: |case, out| {
        let limit = ask(case.build, case.plan, out);
        whole::ask(case, limit.as_ref(), out);
    },
};

/// Parts that are alike: the letter of their ids, one of them, and how many.
struct Alike<'p> {
    letters: String,
    one: &'p Part,
    count: u64,
}

/// What the people at hand lift.
struct Limit {
    mass: Mass,
    source: String,
}

/// The masses of the pieces; of a piece that nobody can weigh, what is missing.
type Masses<'b> = BTreeMap<&'b str, Result<Quantity, String>>;

/// Asks of the parts and of the pieces; returns what the people at hand lift.
fn ask(build: &Build, plan: &Plan, out: &mut Answers) -> Option<Limit> {
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
    let mut masses = Masses::new();
    for (piece, alike) in &pieces {
        let mass = weigh(piece, alike, limit.as_ref(), plan, out);
        if let Err(missing) = &mass {
            out.answers.push(cannot_tell((*piece).to_owned(), missing.clone()));
        }
        masses.insert(piece, mass);
    }
    for (piece, alike) in &pieces {
        let fixed_to_another = build.fixed.iter().any(|fixed| fixed.piece == *piece);
        // Units are carried one by one; only what is joined is ever lifted whole.
        if !fixed_to_another && alike.iter().all(|kind| kind.one.stock.kind != StockKind::Unit) {
            lift_whole(&with_fixed(piece, build), &masses, limit.as_ref(), plan, out);
        }
    }
    out.quantities.extend(masses.into_values().flatten());
    limit
}

/// What the people at hand lift, with its source; `None` if it is too large to be written.
fn limit(plan: &Plan, out: &mut Answers) -> Option<Limit> {
    let shed = &plan.shed;
    let (one, source) = match shed.lift {
        Some(lift) => (lift, "your number, from the shed".to_owned()),
        None => {
            let limit = &lifting::ONE_PERSON;
            (limit.mass, format!("{}: {} ({})", limit.source, limit.holds_for, limit.mark))
        }
    };
    let [one, people, share] = team(one, shed.people);
    let inputs = vec![
        Input::new("what one person lifts", one),
        Input::new("people at hand", people),
        Input::new("share of the team in thousandths", share),
    ];
    let limit = Quantity::by("carry.limit", "what the people at hand lift", Of::Mass, &rules::TEAM_LIFT, inputs)?;
    let mass = mass_of(&limit)?;
    out.quantities.push(limit);
    Some(Limit { mass, source })
}

/// What the rule of the team is given.
fn team(one: Mass, people: u32) -> [Value; 3] {
    [Value::mass(one), Value::count(people), Value::count(lifting::team_share(people))]
}

fn mass_of(quantity: &Quantity) -> Option<Mass> {
    i64::try_from(quantity.value.value).ok().map(Mass::milligrams)
}

/// Asks whether the heaviest part of a piece can be carried; returns the mass of the whole piece.
///
/// # Errors
/// What has to be known to weigh it, and is not.
fn weigh(
    piece: &str,
    alike: &[Alike<'_>],
    limit: Option<&Limit>,
    plan: &Plan,
    out: &mut Answers,
) -> Result<Quantity, String> {
    let mut inputs = Vec::new();
    let mut ones = Vec::new();
    for kind in alike {
        let one = mass_of_one(kind, plan)?;
        inputs.push(Input::new(format!("parts {}", kind.letters), Value::count(kind.count)));
        inputs.push(Input::new(one.name.clone(), one.value));
        ones.push(one);
    }
    let whole =
        Quantity::by(format!("{piece}.mass"), "all its parts together", Of::Mass, &rules::SUM_OF_MASSES, inputs)
            .ok_or_else(|| too_heavy(piece))?;
    // The first of equals, so that the answer does not hang on the order of a search.
    if let Some(heaviest) = ones.iter().rev().max_by_key(|one| one.value.value) {
        let about = format!("the heaviest part of {piece}");
        out.answers.push(judge(about, heaviest, limit, plan, |people| match people {
            Some(people) => format!("have {people} people lift it, or buy it cut to length"),
            None => "buy it cut to length, or use a lighter section".into(),
        }));
    }
    out.quantities.extend(ones);
    Ok(whole)
}

/// Asks whether a piece can be lifted with everything that is fixed to it.
fn lift_whole(joined: &[&str], masses: &Masses<'_>, limit: Option<&Limit>, plan: &Plan, out: &mut Answers) {
    let about = format!("{}, put together", joined.join(" and "));
    match together(joined, masses) {
        Ok(whole) => {
            out.answers.push(judge(about, &whole, limit, plan, |people| {
                let lift = people.map(|people| format!(", or have {people} people move it")).unwrap_or_default();
                format!("put it together where it will stand{lift}")
            }));
            out.quantities.push(whole);
        }
        // A piece to which nothing is fixed has said so by itself.
        Err(missing) if joined.len() > 1 => out.answers.push(cannot_tell(about, missing)),
        Err(_) => {}
    }
}

/// The mass of pieces that are joined, the first being what the others are fixed to.
///
/// # Errors
/// Everything that has to be known to weigh them, and is not.
fn together(joined: &[&str], masses: &Masses<'_>) -> Result<Quantity, String> {
    let (mut inputs, mut missing) = (Vec::new(), Vec::new());
    // A piece without parts weighs nothing.
    for (name, mass) in joined.iter().filter_map(|name| Some((name, masses.get(name)?))) {
        match mass {
            Ok(mass) => {
                inputs.push(Input::new(*name, Value::count(1)));
                inputs.push(Input::new(mass.name.clone(), mass.value));
            }
            Err(open) if missing.contains(open) => {}
            Err(open) => missing.push(open.clone()),
        }
    }
    if !missing.is_empty() {
        return Err(missing.join(", and "));
    }
    let name = format!("{}.lifted", joined[0]);
    Quantity::by(name, "put together, with all that is fixed to it", Of::Mass, &rules::SUM_OF_MASSES, inputs)
        .ok_or_else(|| too_heavy(joined[0]))
}

/// A piece and all that is fixed to it, or to what is fixed to it.
pub(crate) fn with_fixed<'b>(piece: &'b str, build: &'b Build) -> Vec<&'b str> {
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
    whole: &Quantity,
    limit: Option<&Limit>,
    plan: &Plan,
    fix: impl Fn(Option<u32>) -> String,
) -> Answer {
    let Some(mass) = mass_of(whole) else { return cannot_tell(about.clone(), too_heavy(&about)) };
    let Some(limit) = limit else {
        return cannot_tell(about, "give the shed a smaller `lift` or fewer `people`".into());
    };
    let verdict = Verdict::of(mass.value(), limit.mass.value());
    let one = plan.shed.lift.unwrap_or(lifting::ONE_PERSON.mass);
    let enough = |people: &u32| {
        let lifted = (rules::TEAM_LIFT.compute)(&team(one, *people).map(|input| input.value));
        lifted.is_some_and(|lifted| lifted >= mass.value().into())
    };
    let change = (verdict == Verdict::Fails).then(|| fix((2..=6).find(enough)));
    Answer {
        verdict,
        value: Some(whole.name.clone()),
        source: limit.source.clone(),
        change,
        needs: None,
        ..cannot_tell(about, String::new())
    }
}

fn cannot_tell(about: String, missing: String) -> Answer {
    Answer { limit: Some("carry.limit".into()), ..Answer::cannot_tell(ASKS, about, missing) }
}

/// The mass of one of some parts that are alike.
///
/// # Errors
/// What has to be known to weigh it, and is not.
fn mass_of_one(kind: &Alike<'_>, plan: &Plan) -> Result<Quantity, String> {
    let (name, what) = (format!("mass.{}", kind.letters), format!("one part {}", kind.letters));
    let part = kind.one;
    if let Some(mass) = stated_mass(part, plan) {
        let inputs = vec![Input::new("mass by the yard", Value::mass(mass))];
        return Quantity::by(name, what, Of::Mass, &rules::STATED_MASS, inputs).ok_or_else(|| too_heavy(&part.id));
    }
    let known = plan.yard.density(part.stock).and_then(density);
    let (density, source) = known.ok_or_else(|| missing_in_yard(part.stock, plan))?;
    let of_density =
        Input::new(format!("density ({source})"), Value { of: Of::Density, value: density.value().into() });
    if part.solid.ends.iter().any(|planes| !planes.is_empty()) {
        let volume = part.volume().ok_or_else(|| too_heavy(&part.id))?;
        let cubic_millimetres = crate::buy::cubic_millimetres(volume);
        let volume = Input::new("volume, its ends trimmed", Value { of: Of::Volume, value: cubic_millimetres });
        let inputs = vec![volume, of_density];
        return Quantity::by(name, what, Of::Mass, &rules::MASS_OF_VOLUME, inputs).ok_or_else(|| too_heavy(&part.id));
    }
    let inputs = vec![
        Input::new("length", Value::length(part.solid.length)),
        Input::new("width", Value::length(part.solid.width)),
        Input::new("thickness", Value::length(part.solid.thickness)),
        of_density,
    ];
    Quantity::by(name, what, Of::Mass, &rules::MASS, inputs).ok_or_else(|| too_heavy(&part.id))
}

/// What the yard must say of a stock for its parts to be weighed.
fn missing_in_yard(stock: StockRef, plan: &Plan) -> String {
    let (name, _) = plan.yard.label(stock);
    let what =
        if stock.kind == StockKind::Unit { "`mass`, `material` or `density`" } else { "`material` or `density`" };
    format!("give `{name}` its {what} in the yard")
}

/// Sizes and densities that are read within their limits never come near it.
fn too_heavy(what: &str) -> String {
    format!("{what} weighs more than can be reckoned with: check its sizes and densities")
}

fn stated_mass(part: &Part, plan: &Plan) -> Option<Mass> {
    if part.stock.kind == StockKind::Unit { plan.yard.units[part.stock.place].mass } else { None }
}

/// A density and where it is from.
pub(crate) fn density(material: &Material) -> Option<(Density, String)> {
    match material {
        Material::Stated(density) => Some((*density, "your number, from the yard".into())),
        Material::Named(name) => {
            let row = materials::find(name)?;
            Some((row.density, format!("{}: {}, {}", row.name, row.source, row.mark)))
        }
    }
}
