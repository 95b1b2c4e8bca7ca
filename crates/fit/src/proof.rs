//! The covering tree for a referee: why nothing better was left out.
//!
//! # How a referee replays it
//! The referee starts from the ranges of the problem and keeps its own, by its own propagation (the law stands in the module `bounds`; only
//! the linear inequalities are used, no holes). `V` is the vector of the last listed closing.
//! At a `Split` it goes into each part with the variable held to the part's range; what its own range of the variable has between, before and
//! after the parts, it holds to that and must find empty by propagation. `Empty`: propagation must empty the ranges.
//! `Bound`: nothing in the ranges may be less than `V`, shown with the law of the lower bound and `V` in hand; allowed only if as many closings are listed
//! as were asked for, which the list cannot show: otherwise the list is complete, and the proof has no `Bound`. `Listed(i)`: every option is fixed, the count of
//! every run that exists is fixed, they are those of `closings[i]`, and nothing is less than its vector, shown in the same way.
//! With the closings themselves checked one by one, that shows the list to be the best, in order.

use crate::bounds::Empty;
use crate::problem::{Proof, Variable};
use crate::search::{Point, Work, fixed, identity, pick, with};
use crate::system::*;

/// Depth at which a proof is given up rather than the stack.
const DEPTH: usize = 300;

/// What is listed, and whether that is as many as asked for.
pub(crate) struct Claim<'a> {
    pub points: &'a [Point],
    pub full: bool,
}

/// Builds the covering tree, or `None` if the work or the depth runs out.
pub(crate) fn prove(system: &System, claim: &Claim, work: &mut Work) -> Option<Proof> {
    let mut whole = system.start.clone();
    match system.propagate(&mut whole) {
        Ok(()) => cover(system, whole, claim, work, 0),
        Err(Empty) => Some(Proof::Empty),
    }
}

/// Covers ranges that are propagated.
fn cover(system: &System, node: Ranges, claim: &Claim, work: &mut Work, depth: usize) -> Option<Proof> {
    if depth > DEPTH || !work.step() {
        return None;
    }
    let beaten = |last: &Point| system.at_least(&node, &last.key);
    if claim.full && claim.points.last().is_some_and(beaten) {
        return Some(Proof::Bound);
    }
    let best = |&listed: &usize| system.at_least(&node, &claim.points[listed].key);
    if let Some(listed) = listed_as(system, &node, claim).filter(best) {
        return Some(Proof::Listed(listed));
    }
    // Only a guess where to cut, so the sharp bound may be used; what it shows to be empty is cut further all the same.
    let guess = if fixed(&node) { system.bound(&node, &[], None, None) } else { None };
    let tight = guess.map_or_else(|| node.clone(), |(_, tight)| tight);
    let (on, ranges) = parts(system, &node, &tight)?;
    let parts = ranges
        .into_iter()
        .map(|range| {
            let proof = cover_part(system, &node, on, range, claim, work, depth + 1)?;
            Some((short(range)?, proof))
        })
        .collect::<Option<Vec<_>>>()?;
    Some(Proof::Split { on, parts })
}

/// Covers one range of the variable that is cut.
fn cover_part(
    system: &System,
    node: &Ranges,
    on: Variable,
    range: (i128, i128),
    claim: &Claim,
    work: &mut Work,
    depth: usize,
) -> Option<Proof> {
    let mut child = with(node, on, range);
    if let Variable::Choice(choice) = on {
        let option = usize::try_from(range.0).ok()?;
        child.options[choice] = (option, option);
    }
    if system.propagate_within(&mut child, node).is_err() {
        return Some(Proof::Empty);
    }
    let under = (!system.settled && fixed(&child)).then(|| system.under(&child));
    cover(under.as_ref().unwrap_or(system), child, claim, work, depth)
}

fn short(range: (i128, i128)) -> Option<(i64, i64)> {
    Some((i64::try_from(range.0).ok()?, i64::try_from(range.1).ok()?))
}

fn listed_as(system: &System, node: &Ranges, claim: &Claim) -> Option<usize> {
    let (options, counts) = identity(system, node)?;
    claim.points.iter().position(|point| point.options == options && point.counts == counts)
}

/// Where to cut: choices, then a hole in which the wish of a size lies, then as the search does.
fn parts(system: &System, node: &Ranges, tight: &Ranges) -> Option<(Variable, Vec<(i128, i128)>)> {
    if let Some(choice) = node.options.iter().position(|&(a, b)| a != b) {
        let (first, last) = node.options[choice];
        let options = (first..=last).map(|option| (option as i128, option as i128));
        return Some((Variable::Choice(choice), options.collect()));
    }
    if let Some((size, hole)) = hole(system, node, tight) {
        let (low, high) = node.sizes[size];
        let ranges = [(low, hole.0 - 1), hole, (hole.1 + 1, high)];
        return Some((Variable::Size(size), ascending(&ranges)));
    }
    let (on, value) = pick(system, node, tight, None)?;
    let (low, high) = match on {
        Variable::Count(run) => node.counts[run],
        Variable::Size(size) => node.sizes[size],
        Variable::Choice(_) => return None,
    };
    let value = value.clamp(low, high);
    let ranges = [(low, value - 1), (value, value), (value + 1, high)];
    Some((on, ascending(&ranges)))
}

fn ascending(ranges: &[(i128, i128)]) -> Vec<(i128, i128)> {
    ranges.iter().copied().filter(|&(from, to)| from <= to).collect()
}

/// The hole between two counts of one run in which the best value of a size lies, smaller than the size's range.
fn hole(system: &System, node: &Ranges, tight: &Ranges) -> Option<(usize, (i128, i128))> {
    for size in 0..node.sizes.len() {
        let want = i128::from(system.problem.sizes[size].wish.want);
        let x = system.nearest(tight, size, (want, want), false);
        for &run in &system.alone[size] {
            if system.run_holds(node, run) != Some(true) {
                continue;
            }
            let up = system.jump(tight, run, x, true);
            if up == Some(x) {
                continue;
            }
            let (low, high) = node.sizes[size];
            let down = system.jump(tight, run, x, false);
            let from = down.map_or(low, |d| (d + 1).max(low));
            let to = up.map_or(high, |u| (u - 1).min(high));
            if from <= to && (from, to) != (low, high) {
                return Some((size, (from, to)));
            }
        }
    }
    None
}
