//! *Will it rot?* Each piece's timber against where it stands: in the ground or wet soil, near the ground or lying flat, or above it;
//! its screws against the wood they are in; and whether water drains off floors that are filled.

use super::judge::{Ask, BY_THE_BOOK, by_piece, judge, keys, one};
use super::{Answer, Answers, Case as Asked, Question, Verdict};
use handbook::durability::{self, Species, Zone, use_of};
use handbook::metals::{self, Demand};
use measure::Length;
use model::build::Going;
use model::part::Part;
use model::plan::Region;
use model::schema::StockKind;
use model::stock::{Material, Metal, StockRef, Treated};
use model::why::{Of, Quantity, Value};
use std::collections::BTreeMap;

#[cfg(test)]
mod tests;

const ASKS: &str = "Will it rot?";

/// The question.
pub(super) static QUESTION: Question = Question {
    asks: ASKS,
    looks_at: "Of each timber its class, by its species or its treatment, against the zone of its worst part; the metal of each screw against the woods that it joins; and the share of a filled floor of sheet that drains",
    formula: "class of the timber ≤ poorest class that is enough in its zone; metal asked for ≤ metal of the screw; share that is wanted ≤ share that drains",
    source: "durability: EN 350 and AS 5604; zones: EN 335, AWPA and hazard classes; what is enough in each: EN 460, from memory; fasteners: TRADA yearbook 2022, IBC 2304.9.5 and IRC R317.3",
    holds_for: "heartwood: sapwood of any species is not durable. Which zone a part is in is judgement: parts in the ground, and those that hold soil without a liner, are in use class 4; parts that begin less than 150 mm above the ground or lie flat in 3.2; the rest in 3.1. Treated wood counts as class 1 where it was treated for its zone and as class 5 where it was not. Sheets need their own tag. It says nothing of how a finish is kept up",
    rules: &[&BY_THE_BOOK],
    ask,
};

fn ask(case: &Asked<'_>, out: &mut Answers) {
    let pieces = by_piece(case.build);
    let mut zones: Vec<Zone> = vec![Zone::Above; case.build.parts.len()];
    for (piece, parts) in &pieces {
        let wet = holds_wet_soil(piece, case);
        for &part in parts {
            zones[part] = zone(&case.build.parts[part], wet, case);
        }
    }
    let mut stocks: BTreeMap<StockRef, Vec<usize>> = BTreeMap::new();
    for (place, part) in case.build.parts.iter().enumerate().filter(|(_, part)| part.stock.kind != StockKind::Unit) {
        stocks.entry(part.stock).or_default().push(place);
    }
    for (stock, parts) in stocks {
        timber(stock, &parts, &zones, case, out);
    }
    for (piece, parts) in &pieces {
        drains(piece, parts, case, out);
    }
    screws(&zones, case, out);
}

/// Whether a piece, or what it is fixed to, stands in or round soil that nothing keeps off it.
fn holds_wet_soil(piece: &str, case: &Asked<'_>) -> bool {
    let with = |to: &str, going: Going| case.build.with.iter().any(|with| with.to == to && with.going == going);
    // What is fixed inside, such as posts, stands in the soil of what it is fixed to.
    let goes =
        case.build.with.iter().filter(|with| with.piece == piece && matches!(with.going, Going::Stands | Going::Laid));
    let mut hosts = vec![piece];
    hosts.extend(goes.map(|with| with.to.as_str()));
    hosts.into_iter().any(|host| with(host, Going::Fills) && !with(host, Going::Lines))
}

/// Where a part stands.
fn zone(part: &Part, wet: bool, case: &Asked<'_>) -> Zone {
    let ground = case.build.ground.iter().find(|ground| ground.part == part.key).map_or(Length::ZERO, |at| at.height);
    let low = part.near_corner()[2];
    if wet || low < ground {
        return Zone::Soil;
    }
    let reach = part.reach();
    let flat = reach[1][2] - reach[0][2] <= part.solid.thickness;
    if flat || low < ground + durability::SPLASH { Zone::Near } else { Zone::Above }
}

/// The timber of one stock, against the zone of its worst part.
fn timber(stock: StockRef, parts: &[usize], zones: &[Zone], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let (name, _) = case.plan.yard.label(stock);
    let zone = parts.iter().map(|&part| zones[part]).max()?;
    let about = format!("the timber `{name}`");
    let worst = || keys(case.build, parts.iter().copied().filter(|&part| zones[part] == zone));
    let cuts = cuts(parts, stock);
    let class = match class(stock, zone, case) {
        Ok(class) => class,
        Err(needs) => {
            let mut answer = Answer::cannot_tell(ASKS, about, needs);
            answer.cautions.push(cuts);
            answer.at = worst();
            out.answers.push(answer);
            return None;
        }
    };
    let stands = use_of(zone);
    let at = (class.of, Value::count(class.class));
    let value = one(format!("rot.{name}.class"), "class of the timber, 1 durable to 5 not", &BY_THE_BOOK, at)?;
    let limit_name = format!("rot.{}", word(zone));
    let at = (format!("{} ({})", stands.from.0, stands.from.1), Value::count(stands.poorest));
    let limit = one(limit_name, "the poorest class that is enough there", &BY_THE_BOOK, at)?;
    let source = format!("{}{}", told(zone, case.plan.site.region), class.years);
    let answer = judge(Ask { question: ASKS, about, source }, &value, &limit, out)?;
    answer.change = (answer.verdict == Verdict::Fails).then(|| remedy(zone, case));
    answer.cautions.push(cuts);
    answer.at = worst();
    Some(())
}

/// What has to be sealed where it was cut.
fn cuts(parts: &[usize], stock: StockRef) -> String {
    match stock.kind {
        StockKind::Sheet => format!("seal all edges of its {}, also those of holes", counted(parts.len(), "panel")),
        _ => format!(
            "seal its {}: end grain drinks, and a cut goes through what treatment reached",
            counted(2 * parts.len(), "cut end")
        ),
    }
}

fn counted(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

fn word(zone: Zone) -> &'static str {
    match zone {
        Zone::Above => "above",
        Zone::Near => "near",
        Zone::Soil => "soil",
    }
}

/// A zone in the words of a region's standards.
fn told(zone: Zone, region: Region) -> String {
    let stands = use_of(zone);
    let place = match zone {
        Zone::Above => "off the ground, where water runs off",
        Zone::Near => "near the ground or lying flat, where it stays wet",
        Zone::Soil => "in the ground or against wet soil",
    };
    let class = match region {
        Region::Europe => format!("use class {} of EN 335", stands.en_335),
        Region::NorthAmerica => format!("{} of the AWPA", stands.awpa),
        Region::Australasia => format!("hazard class {}", stands.hazard),
    };
    format!("{place}: {class}; {} ({})", stands.from.0, stands.from.1)
}

/// The class of a timber in a zone, where that comes from, and how long it is said to last.
struct Class {
    class: i64,
    of: String,
    years: String,
}

/// # Errors
/// What has to be known, and is not.
fn class(stock: StockRef, zone: Zone, case: &Asked<'_>) -> Result<Class, String> {
    let (name, _) = case.plan.yard.label(stock);
    let treated = treated(stock, case);
    let enough = if zone == Zone::Soil { Treated::Ground } else { Treated::Outdoors };
    let plain = |class, of: &str| Class { class, of: of.to_owned(), years: String::new() };
    if let Some(treated) = treated.filter(|treated| *treated != Treated::Not) {
        return Ok(if treated >= enough {
            plain(1, "treated for its place")
        } else {
            plain(5, "treated for less than its place")
        });
    }
    let known = match case.plan.yard.density(stock) {
        Some(Material::Named(name)) => durability::of(name),
        _ => None,
    };
    match known {
        // Wood that is durable enough by itself need not be treated; of other wood one has to know.
        Some(species) if treated.is_some() || is_told(species, zone) => Ok(natural(species, zone, case)),
        _ => Err(format!("say of `{name}` in the yard what it is `treated` for, or `not`, and its `material`")),
    }
}

/// Whether a species needs no tag: it is durable enough, or not of those that are often sold treated.
fn is_told(species: &Species, zone: Zone) -> bool {
    worst(species, zone) <= use_of(zone).poorest || !durability::OFTEN_TREATED.contains(&species.name)
}

/// The class of a species in a zone: in soil the worst that the lists give it, elsewhere the best.
fn worst(species: &Species, zone: Zone) -> i64 {
    species.en_350[usize::from(zone == Zone::Soil)]
}

fn natural(species: &Species, zone: Zone, case: &Asked<'_>) -> Class {
    let (source, mark) = species.en_350_from;
    let years = species.as_5604.filter(|_| case.plan.site.region == Region::Australasia).and_then(|classes| {
        let class = classes[usize::from(zone != Zone::Soil)];
        let [from, to] = durability::years(class, zone)?;
        let to = if to == 0 { " and more".into() } else { format!(" to {to}") };
        Some(format!("; {from}{to} years by class {class} of {} ({})", species.as_5604_from.0, species.as_5604_from.1))
    });
    Class {
        class: worst(species, zone),
        of: format!("heartwood of {}: {source} ({mark})", species.name),
        years: years.unwrap_or_default(),
    }
}

fn treated(stock: StockRef, case: &Asked<'_>) -> Option<Treated> {
    match stock.kind {
        StockKind::Board => case.plan.yard.boards[stock.place].treated,
        StockKind::Sheet => case.plan.yard.sheets[stock.place].treated,
        _ => None,
    }
}

/// What would be enough: a treatment, or species of the handbook.
fn remedy(zone: Zone, case: &Asked<'_>) -> String {
    let stands = use_of(zone);
    let (tag, treated) = match case.plan.site.region {
        Region::Europe => (format!("use class {}", &stands.en_335[..1]), zone),
        Region::NorthAmerica => (stands.awpa.to_owned(), zone),
        Region::Australasia => (stands.hazard.to_owned(), zone),
    };
    let treated = if treated == Zone::Soil { Treated::Ground } else { Treated::Outdoors };
    let durable = |species: &&Species| worst(species, zone) < stands.poorest;
    let species: Vec<&str> = durability::SPECIES.iter().filter(durable).map(|species| species.name).take(3).collect();
    let line = if zone == Zone::Soil { "; a liner keeps soil off walls" } else { "" };
    format!(
        "timber treated for {tag} (`treated = \"{}\"`), or a wood such as {}{line}",
        treated.word(),
        species.join(" or ")
    )
}

/// What a joint asks of its screws: the most that any wood it joins asks for.
fn demands(parts: [usize; 2], zones: &[Zone], case: &Asked<'_>) -> &'static Demand {
    let mut most = &metals::OUTDOORS;
    for part in parts {
        let stock = case.build.parts[part].stock;
        let is_treated = treated(stock, case).is_some_and(|treated| treated != Treated::Not);
        let tannin = matches!(case.plan.yard.density(stock), Some(Material::Named(name)) if durability::of(name).is_some_and(|row| row.tannin));
        let asked = [
            (is_treated, &metals::TREATED),
            (tannin, &metals::TANNIN),
            (is_treated && zones[part] == Zone::Soil, &metals::IN_GROUND),
        ];
        for (_, demand) in asked.into_iter().filter(|(is, demand)| *is && demand.least > most.least) {
            most = demand;
        }
    }
    most
}

/// Each screw that is used, against the wood that asks most of it.
fn screws(zones: &[Zone], case: &Asked<'_>, out: &mut Answers) {
    let mut used: BTreeMap<usize, (&'static Demand, [usize; 2])> = BTreeMap::new();
    for joint in &case.joints.made {
        let parts = [joint.held, joint.base];
        let demand = demands(parts, zones, case);
        let known = used.entry(joint.screw).or_insert((demand, parts));
        if demand.least > known.0.least {
            *known = (demand, parts);
        }
    }
    for (screw, (demand, parts)) in used {
        of_screw(screw, demand, parts, case, out);
    }
}

fn rank(metal: Metal) -> i64 {
    metal as i64 + 1
}

fn of_screw(screw: usize, demand: &Demand, parts: [usize; 2], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let screw = case.plan.yard.screws.get(screw)?;
    let about = format!("the screws `{}`", screw.name);
    let Some(metal) = screw.metal else {
        let needs = format!(
            "say in the yard what `metal` the screw `{}` is of; {} asks for `{}` or better",
            screw.name,
            demand.what,
            demand.least.word()
        );
        let mut answer = Answer::cannot_tell(ASKS, about, needs);
        answer.at = keys(case.build, parts);
        out.answers.push(answer);
        return None;
    };
    let name = |end: &str| format!("rot.{}.{end}", screw.name);
    let asked = (format!("{}: {}", demand.what, demand.least.word()), Value::count(rank(demand.least)));
    let value = one(name("asked"), "metal asked for, 1 plated to 5 marine", &BY_THE_BOOK, asked)?;
    let limit = one(name("metal"), "metal of the screw", &BY_THE_BOOK, (metal.word(), Value::count(rank(metal))))?;
    let source = format!("{} ({})", demand.source, demand.mark);
    let answer = judge(Ask { question: ASKS, about, source }, &value, &limit, out)?;
    // A metal that is just what is asked for is enough.
    answer.change = (answer.verdict == Verdict::Fails)
        .then(|| format!("screws that are `{}` last in {}", demand.least.word(), demand.what));
    answer.cautions.push("use one metal for screws and fittings that touch; near salt water take `marine`".into());
    answer.at = keys(case.build, parts);
    Some(())
}

/// Whether a floor of sheet under soil drains.
fn drains(piece: &str, parts: &[usize], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let text = case.plan.pieces.iter().find(|text| text.name == piece).filter(|text| text.schema.name == "floor")?;
    let host = case.build.with.iter().find(|with| with.piece == text.name && with.going == Going::Laid)?;
    let filled = case.build.with.iter().any(|with| with.to == host.to && with.going == Going::Fills);
    let panels: Vec<usize> =
        parts.iter().copied().filter(|&part| case.build.parts[part].stock.kind == StockKind::Sheet).collect();
    // Panels in an L drain each by its own holes, and are told of in notes.
    let [panel] = panels.as_slice() else { return None };
    if !filled {
        return None;
    }
    let wanted = Value { of: Of::Percent, value: durability::DRAINS.into() };
    let wanted = one("rot.drains-least", "share that is wanted", &BY_THE_BOOK, ("common practice", wanted))?;
    let known = case.build.quantities.iter().find(|quantity| quantity.name == format!("{piece}.drain.share"));
    let none = || {
        one(
            format!("rot.{piece}.drains"),
            "share that drains",
            &BY_THE_BOOK,
            ("no holes", Value { of: Of::Percent, value: 0 }),
        )
    };
    let share: Quantity = known.cloned().or_else(none)?;
    let source = "a filled floor wants one hundredth of its area open (common practice)".to_owned();
    let mut answer = Answer::compared(ASKS, format!("the drain holes of {piece}"), &wanted, &share, source)?;
    super::judge::keep(wanted, out);
    if known.is_none() {
        super::judge::keep(share, out);
    }
    answer.change = (answer.verdict == Verdict::Fails).then(|| holes(&case.build.parts[*panel], case)).flatten();
    answer.at = keys(case.build, [*panel]);
    out.answers.push(answer);
    Some(())
}

/// Across a drain hole that is proposed.
const HOLE: Length = Length::mm(20);

/// The widest spacing, in steps of 10 mm, at which holes of 20 mm take a quarter more than a hundredth of a panel.
fn holes(panel: &Part, case: &Asked<'_>) -> Option<String> {
    let (long, wide) = (panel.solid.length, panel.solid.width);
    let spacing = (4..=60)
        .rev()
        .map(|tens| Length::mm(10 * tens))
        .find(|&spacing| open(long, wide, spacing) * 4 >= durability::DRAINS * 5)?;
    let show = |length| case.plan.tape.show_with_unit(length);
    Some(format!("`drain-hole` of {} with a `drain-spacing` of {} drains it", show(HOLE), show(spacing)))
}

/// What such holes take of a panel, in hundredths of a percent.
fn open(long: Length, wide: Length, spacing: Length) -> i64 {
    let along = |side: Length| (side.nanometres() + spacing.nanometres() - 1).div_euclid(spacing.nanometres());
    let area = i128::from(long.nanometres()) * i128::from(wide.nanometres());
    let hole = i128::from(HOLE.nanometres()) * i128::from(HOLE.nanometres()) * 785 / 1000;
    i64::try_from(hole * i128::from(along(long) * along(wide)) * 10_000 / area.max(1)).unwrap_or(0)
}
