//! What is wanted at hand for a step.

use super::relations::{NO_STEP, Relations, is_upright};
use handbook::fasteners;
use measure::{Length, Tape, Unit};
use model::build::{Build, Row, Step};
use model::joint::{Joint, Joints};
use model::part::{Axis, Part, PartKey};
use model::plan::Plan;
use model::schema::StockKind;
use std::collections::{BTreeMap, BTreeSet};

/// The joints that are made in each given step, by its number: in the later of the steps of their parts.
pub(super) type Made<'j> = BTreeMap<usize, Vec<&'j Joint>>;

/// Which joints are made in which step.
pub(super) fn joints_by_step<'j>(joints: &'j Joints, relations: &Relations, order: &[usize]) -> Made<'j> {
    let mut places = vec![0; relations.steps];
    order.iter().enumerate().for_each(|(place, &step)| places[step] = place);
    let mut made = Made::new();
    for joint in &joints.made {
        let steps = [joint.held, joint.base].map(|part| relations.step_of[part]);
        let steps = steps.into_iter().filter(|&step| step != NO_STEP);
        if let Some(step) = steps.max_by_key(|&step| places[step]) {
            made.entry(step).or_default().push(joint);
        }
    }
    made
}

/// What is done about the slots of the joints of a step; empty if they have none.
pub(super) fn slots(made: &[&Joint], tape: Tape) -> String {
    let lengths: BTreeSet<Length> = made.iter().flat_map(|joint| &joint.slots).map(|slot| slot.length).collect();
    if lengths.is_empty() {
        return String::new();
    }
    let lengths: Vec<String> = lengths.into_iter().map(|length| show(tape, length)).collect();
    format!(
        "; slot for all rows of screws but the lowest (of level boards the front one), {} long across the board: screw in the middle of it, washer or pan head, not drawn tight, as the head must slide",
        lengths.join(" or ")
    )
}

/// The tools of each given step, by its number.
pub(super) fn by_step(build: &Build, made: &Made<'_>, plan: &Plan) -> Vec<Vec<String>> {
    let mut lowest: BTreeMap<&str, Length> = BTreeMap::new();
    for part in &build.parts {
        let low = lowest.entry(&part.key.piece).or_insert(part.near_corner()[2]);
        *low = part.near_corner()[2].min(*low);
    }
    let parts: BTreeMap<&PartKey, &Part> = build.parts.iter().map(|part| (&part.key, part)).collect();
    let tools = |(number, step): (usize, &Step)| {
        let placed: Vec<&Part> = step.parts.iter().filter_map(|key| parts.get(key).copied()).collect();
        let mut tools = cutting(&placed);
        tools.extend(drilling(made.get(&number).map_or(&[], Vec::as_slice), plan));
        let low = lowest.get(step.piece.as_str()).copied();
        tools.extend(setting(&placed, step, low, build, plan.tape));
        tools
    };
    build.steps.iter().enumerate().map(tools).collect()
}

/// What cuts the parts: with a stop if several are of one length.
fn cutting(placed: &[&Part]) -> Vec<String> {
    let of = |kind: StockKind| placed.iter().filter(move |part| part.stock.kind == kind);
    let lengths: BTreeSet<(usize, Length)> =
        of(StockKind::Board).map(|part| (part.stock.place, part.solid.length)).collect();
    let mut tools: Vec<String> = Vec::new();
    match of(StockKind::Board).count() {
        0 => {}
        count if count > lengths.len() => tools.push("saw with a stop".into()),
        _ => tools.push("saw".into()),
    }
    if of(StockKind::Sheet).next().is_some() {
        tools.push("saw with a guide".into());
    }
    if of(StockKind::Unit).next().is_some() {
        tools.extend(["rubber mallet".into(), "string line".into()]);
    }
    tools
}

/// The bits of the joints that are made, and what drives the screws.
fn drilling(made: &[&Joint], plan: &Plan) -> Vec<String> {
    let mut bits: BTreeSet<Length> = BTreeSet::new();
    let mut sinks: BTreeSet<Length> = BTreeSet::new();
    let mut screws: BTreeSet<(usize, Length)> = BTreeSet::new();
    for joint in made {
        bits.extend([joint.pilot, joint.clearance]);
        screws.insert((joint.screw, joint.length));
        let screw = plan.yard.screws.get(joint.screw);
        sinks.extend(screw.map(|screw| screw.diameter * fasteners::COUNTERSINK_DIAMETERS));
    }
    if made.is_empty() {
        return Vec::new();
    }
    let sizes = |sizes: BTreeSet<Length>| {
        let sizes: Vec<String> = sizes.into_iter().map(|size| show(plan.tape, size)).collect();
        sizes.join(", ")
    };
    let name = |place: usize| plan.yard.screws.get(place).map_or("screws", |screw| screw.name.as_str());
    let driver = screws.into_iter().map(|(place, length)| format!("{} {}", name(place), show(plan.tape, length)));
    let mut tools = vec![
        format!("drill with bits {}", sizes(bits)),
        format!("countersink {}", sizes(sinks)),
        format!("driver for {}", driver.collect::<Vec<_>>().join(", ")),
    ];
    if made.iter().any(|joint| !joint.slots.is_empty()) {
        tools.extend(["file for slots".into(), "washers for slots".into()]);
    }
    tools
}

/// What sets the parts true: a level for upright ones and those as low as the piece is, a square where parts run two ways, and
/// what keeps the gaps.
fn setting(placed: &[&Part], step: &Step, lowest: Option<Length>, build: &Build, tape: Tape) -> Vec<String> {
    let mut tools = Vec::new();
    if placed.iter().any(|part| Some(part.near_corner()[2]) == lowest || is_upright(part)) {
        tools.push("level".into());
    }
    let ways: BTreeSet<(Axis, i64)> =
        placed.iter().map(|part| (part.at.along, part.at.frame.heading.millionths())).collect();
    if ways.len() > 1 {
        tools.push("square".into());
    }
    let rows = build.rows.iter().filter(|row| row.piece == step.piece && row.count > 1);
    let gaps: BTreeSet<String> = rows.filter_map(|row| spacer(row, tape)).collect();
    if placed.len() > 1 || step.parts.first().is_some_and(|key| key.course > 0) {
        tools.extend(gaps);
    }
    tools
}

/// What keeps the gaps of a row: a spacer where all gaps are one reading of the tape, else the marks of a rod.
fn spacer(row: &Row, tape: Tape) -> Option<String> {
    let gaps = row.gaps.filter(|gaps| gaps.total() > Length::ZERO)?;
    let gap = gaps.first(1);
    let alike = gap * i64::from(gaps.places()) == gaps.total() && gap.is_on(tape.step());
    Some(if alike { format!("spacer {}", show(tape, gap)) } else { "rod with the marks of the row".into() })
}

/// A length as it is set or drilled, with its unit, exactly where the tape can.
pub(crate) fn show(tape: Tape, length: Length) -> String {
    match tape.unit() {
        Unit::Millimetre => format!("{} mm", tape.show_exact(length)),
        Unit::Inch | Unit::FootInch => tape.show_exact(length),
    }
}
