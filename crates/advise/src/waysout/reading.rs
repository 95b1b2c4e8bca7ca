//! Ways out of an empty shelf, and of readings with which something does not come out or is tighter than it was.

use super::{Mishap, WayOut, ranked};
use crate::{Settled, Unsettled, settle};
use measure::{Length, Money};
use model::plan::Plan;
use model::schema::StockKind;
use model::standing::Out;
use stages::{buy, cut};
use std::collections::BTreeMap;

/// What the parts of a plan that is laid out cost, and how many of its boards are tight.
fn priced(settled: &Settled, plan: &Plan, steps: u64, cancel: &dyn Fn() -> bool) -> Option<(Money, u32)> {
    let cutting = cut::cut_rest(&settled.build.parts, &settled.assigned.done(), plan, steps, cancel).ok()?;
    let bought = buy::buy(&settled.build.parts, &cutting, plan).ok()?;
    (bought.unpriced == 0).then_some((bought.total, u32::try_from(cutting.tight()).ok()?))
}

/// A plan in which every pattern that comes out keeps its reserve: the reserve is taken off with kerf and trim.
fn comfortable(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    plan.shed.kerf += plan.shed.reserve_per_cut;
    plan.shed.trim += plan.shed.reserve_per_board;
    plan
}

/// The ways out of an entry `only`, the cheapest first: the same sizes out of other lengths, measured where that is tight, or
/// comfortable; the sizes that come out best now; another yard. Money is more than it was before.
pub fn after_only(mishap: &Mishap<'_>, cancel: &dyn Fn() -> bool) -> Vec<WayOut> {
    let (before, rates) = (mishap.before, &mishap.rates);
    let was = before.buying.total;
    let more = |total: Money| Some(Money::hundredths(total.value() - was.value()));
    let steps = mishap.effort.cutting;
    let mut ways = Vec::new();
    let kept = priced(before, mishap.plan, steps, cancel);
    match kept {
        Some((total, 0)) => ways.push(WayOut::new(
            Out::Lengths,
            "the same sizes from the lengths that are there".into(),
            more(total),
            0,
        )),
        Some((total, tight)) => {
            let does =
                format!("the same sizes from the lengths that are there, {tight} boards measured before they are paid");
            ways.push(WayOut::new(Out::Lengths, does, more(total), tight * rates.measure_minutes));
            if let Some((total, _)) = priced(before, &comfortable(mishap.plan), steps, cancel) {
                let does = "the same sizes from other lengths, all of them comfortable".into();
                ways.push(WayOut::new(Out::Lengths, does, more(total), 0));
            }
        }
        None => {}
    }
    for way in &mut ways {
        way.holds = all_sizes(before);
    }
    if let Ok(after) = settle(mishap.plan.clone(), &mishap.effort, cancel) {
        let sizes = |settled: &Settled| settled.ways[settled.chosen].closing.sizes.clone();
        if sizes(&after) != sizes(before) {
            let changed = crate::changes(before, &after);
            let names = after.asked.problem.sizes.iter().map(|size| &size.name);
            let told = names.filter_map(|name| changed.iter().find(|change| change.what == *name));
            let told: Vec<String> =
                told.map(|change| format!("{} {} and not {}", change.what, change.is, change.was)).collect();
            let minutes =
                u32::try_from(after.cutting.tight()).unwrap_or(u32::MAX).saturating_mul(rates.measure_minutes);
            ways.push(WayOut::new(Out::Size, told.join(", "), more(after.buying.total), minutes));
        }
    }
    let does = "another yard that has them: nothing changes".into();
    ways.push(WayOut::new(Out::Yard, does, rates.trip, rates.trip_minutes));
    ranked(ways, rates)
}

/// What was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Read<'r> {
    /// A test slot.
    Kerf,
    /// How wide or thick a kind of board is, by its name in the yard.
    Section(&'r str),
    /// Anything else.
    Other,
}

/// The deepest that a piece is packed up.
const MOST_PACKED: Length = Length::mm(10);

/// The ways out of a reading: carry on where no board is tighter than before; else measure the tight ones, or, for a kerf, take a
/// thinner blade. Where boards are not as wide or thick as they should be, packers for what became lower, and the way back to
/// the yard.
///
/// # Errors
/// Why nothing comes out with it.
pub fn after_reading(mishap: &Mishap<'_>, read: Read<'_>, cancel: &dyn Fn() -> bool) -> Result<Vec<WayOut>, Unsettled> {
    let after = settle(mishap.plan.clone(), &mishap.effort, cancel)?;
    let rates = &mishap.rates;
    let tight = u32::try_from(after.cutting.tight()).unwrap_or(u32::MAX);
    let nothing = Some(Money::hundredths(0));
    if u64::from(tight) <= mishap.before.cutting.tight() {
        let does = "carry on: everything comes out, and no board is tighter than it was".into();
        let mut ways = vec![WayOut::new(Out::CarryOn, does, nothing, 0)];
        ways.extend(of_section(mishap, &after, read));
        return Ok(ranked(ways, rates));
    }
    let does = format!("measure the {tight} boards that are tight: sawn boards are often longer than their label");
    let mut ways = vec![WayOut::new(Out::Measure, does, nothing, tight.saturating_mul(rates.measure_minutes))];
    ways.extend(of_section(mishap, &after, read));
    if read == Read::Kerf {
        ways.push(WayOut::new(Out::Blade, "a thinner blade".into(), rates.blade, rates.blade_minutes));
    }
    Ok(ranked(ways, rates))
}

/// What can be done about boards that are not as wide or thick as they should be.
fn of_section(mishap: &Mishap<'_>, after: &Settled, read: Read<'_>) -> Vec<WayOut> {
    let Read::Section(board) = read else { return Vec::new() };
    let (rates, plan) = (&mishap.rates, mishap.plan);
    let mut ways = Vec::new();
    let lower = lower(mishap.before, after);
    if !lower.is_empty() && lower.iter().all(|&(_, by)| by <= MOST_PACKED) {
        let told: Vec<String> =
            lower.iter().map(|(piece, by)| format!("{piece} by {}", plan.tape.show_exact(*by))).collect();
        let does = format!("pack up what became lower, under every foot: {}", told.join(", "));
        ways.push(WayOut::new(Out::Pack, does, rates.packers, rates.packers_minutes));
    }
    let stock = plan.yard.find(StockKind::Board, board);
    let whole = stock.is_some_and(|stock| plan.standing.home_of(stock).any(|board| !board.is_begun()));
    if whole && all_sizes(mishap.before) != all_sizes(after) {
        let does = format!("take the {board} back, if the yard has others");
        ways.push(WayOut::new(Out::TakeBack, does, rates.trip, rates.trip_minutes));
    }
    ways
}

/// The pieces whose height came out lower than it was, and by how much.
fn lower(before: &Settled, after: &Settled) -> Vec<(String, Length)> {
    let is = all_sizes(after);
    let by = |(name, was): (String, Length)| {
        let piece = name.strip_suffix(".height")?.to_owned();
        let by = was - *is.get(&name)?;
        (by > Length::ZERO).then_some((piece, by))
    };
    all_sizes(before).into_iter().filter_map(by).collect()
}

/// All sizes of a plan as they came out.
fn all_sizes(settled: &Settled) -> BTreeMap<String, Length> {
    let sizes = settled.asked.problem.sizes.iter().zip(&settled.ways[settled.chosen].closing.sizes);
    sizes.map(|(size, &value)| (size.name.clone(), Length::nm(value))).collect()
}
