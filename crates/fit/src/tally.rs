//! How many closings there are in all, and how much room each size has inside one.
//!
//! # Law
//! With the options fixed, sizes that no run and no relation ties together are independent: closings are counted for each tied group
//! on its own and the counts multiplied. The room of a size is the projection of the closing on it: the least and
//! greatest grid value that the rest can follow.

use crate::problem::{Found, Variable};
use crate::search::{End, Point, Work, best_count, first_point, with};
use crate::system::*;

/// Counts the closings up to `cap`.
pub(crate) fn count(system: &System, cap: u64, work: &mut Work) -> Found {
    let mut found = Found { count: 0, capped: false };
    let mut stack = vec![system.start.clone()];
    while let Some(mut node) = stack.pop() {
        if found.count >= cap || !work.step() {
            found.capped = true;
            break;
        }
        if system.settle(&mut node).is_err() {
            continue;
        }
        match options_of(&node) {
            Some(children) => stack.extend(children),
            None => {
                let (count, capped) = count_groups(system, &node, cap, work);
                found.count = found.count.saturating_add(count);
                found.capped |= capped;
            }
        }
    }
    if found.count > cap {
        found = Found { count: cap, capped: true };
    }
    found
}

fn count_groups(system: &System, node: &Ranges, cap: u64, work: &mut Work) -> (u64, bool) {
    match groups_come_out(system, node, work) {
        Ok(true) => {}
        other => return (0, other.is_err()),
    }
    let mut product = 1_u64;
    let mut capped = false;
    for group in groups(system, node) {
        // Every group is known to come out, so once the product is beyond the cap the rest need not be counted.
        let (count, more) = count_group(system, node, &group, cap / product, work);
        capped |= more;
        product = product.saturating_mul(count.max(1));
        if product > cap {
            return (product, true);
        }
    }
    (product, capped)
}

/// Closings of one group: its counts are cut until fixed, then one point is enough.
fn count_group(system: &System, node: &Ranges, group: &Group, cap: u64, work: &mut Work) -> (u64, bool) {
    let alone = restricted(system, group);
    let mut stack = vec![node.clone()];
    let mut count = 0;
    while let Some(mut node) = stack.pop() {
        // One more than the cap is counted, so that a count that just reaches it is not called capped.
        if count > cap || !work.step() {
            return (count, true);
        }
        if alone.settle(&mut node).is_err() {
            continue;
        }
        let open = group.runs.iter().copied().find(|&run| node.counts[run].0 < node.counts[run].1);
        match open {
            Some(run) => {
                let (low, high) = node.counts[run];
                let middle = low + (high - low) / 2;
                stack.push(with(&node, Variable::Count(run), (middle + 1, high)));
                stack.push(with(&node, Variable::Count(run), (low, middle)));
            }
            None => match first_point(&alone, &node, &group.sizes, false, work) {
                Ok(Some(_)) => count += 1,
                Ok(None) => {}
                Err(_) => return (count, true),
            },
        }
    }
    (count, false)
}

/// Whether every group comes out on its own, that is, whether everything does; the options are fixed.
pub(crate) fn groups_come_out(system: &System, node: &Ranges, work: &mut Work) -> Result<bool, End> {
    for group in groups(system, node) {
        let alone = restricted(system, &group);
        if first_point(&alone, node, &group.sizes, false, work)?.is_none() {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Whether anything comes out under any of the open options.
pub(crate) fn comes_out(system: &System, work: &mut Work) -> Result<bool, End> {
    let mut stack = vec![system.start.clone()];
    while let Some(mut node) = stack.pop() {
        if !work.step() {
            return Err(work.stopped.unwrap_or(End::Steps));
        }
        if system.settle(&mut node).is_err() {
            continue;
        }
        match options_of(&node) {
            Some(children) => stack.extend(children),
            None if groups_come_out(system, &node, work)? => return Ok(true),
            None => {}
        }
    }
    Ok(false)
}

/// One node per option of the first open choice, the first option last.
fn options_of(node: &Ranges) -> Option<Vec<Ranges>> {
    let choice = node.options.iter().position(|&(a, b)| a != b)?;
    let (first, last) = node.options[choice];
    let children = (first..=last).rev().map(|option| {
        let mut child = node.clone();
        child.options[choice] = (option, option);
        child
    });
    Some(children.collect())
}

/// The system with the limits of one group only.
pub(crate) fn restricted<'a>(system: &System<'a>, group: &Group) -> System<'a> {
    let mut alone = system.clone();
    for run in 0..alone.run_counts.len() {
        alone.run_counts[run] &= group.runs.contains(&run);
    }
    for relation in 0..alone.relation_counts.len() {
        alone.relation_counts[relation] &= group.relations.contains(&relation);
    }
    alone.leave_out();
    alone
}

/// Sizes, runs and relations that hang together.
#[derive(Debug, Default, Clone)]
pub(crate) struct Group {
    pub sizes: Vec<usize>,
    pub runs: Vec<usize>,
    pub relations: Vec<usize>,
}

/// Splits what exists under fixed options into groups that share no size. Sizes without any limit are left out.
pub(crate) fn groups(system: &System, ranges: &Ranges) -> Vec<Group> {
    let mut all: Vec<Group> = Vec::new();
    for run in system.live_runs(ranges) {
        let group = Group {
            sizes: system.faces[run].terms.iter().map(|&(s, _)| s).collect(),
            runs: vec![run],
            relations: Vec::new(),
        };
        merge(&mut all, group);
    }
    for (relation, value) in system.relations.iter().enumerate() {
        if system.relation_holds(ranges, relation) == Some(true) {
            let group = Group {
                sizes: value.terms.iter().map(|&(s, _)| s).collect(),
                runs: Vec::new(),
                relations: vec![relation],
            };
            merge(&mut all, group);
        }
    }
    all
}

fn merge(all: &mut Vec<Group>, mut group: Group) {
    let (tied, free): (Vec<Group>, Vec<Group>) =
        std::mem::take(all).into_iter().partition(|old| old.sizes.iter().any(|size| group.sizes.contains(size)));
    for old in tied {
        group.sizes.extend(old.sizes);
        group.runs.extend(old.runs);
        group.relations.extend(old.relations);
    }
    group.sizes.sort_unstable();
    group.sizes.dedup();
    group.runs.sort_unstable();
    *all = free;
    all.push(group);
}

/// Least and greatest value of every size within the closing of a point.
pub(crate) fn room(system: &System, point: &Point, work: &mut Work) -> Vec<(i128, i128)> {
    let mut node = system.start.clone();
    for (range, &option) in node.options.iter_mut().zip(&point.options) {
        *range = (option, option);
    }
    for (range, count) in node.counts.iter_mut().zip(&point.counts) {
        if let Some(n) = count {
            *range = (*n, *n);
        }
    }
    let groups = groups(system, &node);
    (0..point.sizes.len())
        .map(|size| {
            let tied = groups.iter().find(|group| group.sizes.contains(&size));
            let mut order = vec![size];
            let others = tied.map_or(&[][..], |group| &group.sizes[..]);
            order.extend(others.iter().copied().filter(|&other| other != size));
            let mut own = node.clone();
            for (other, range) in own.sizes.iter_mut().enumerate() {
                if !order.contains(&other) {
                    *range = (point.sizes[other], point.sizes[other]);
                }
            }
            let mut end = |high| end_of(system, &own, &order, high, work);
            let here = point.sizes[size];
            (end(false).unwrap_or(here), end(true).unwrap_or(here))
        })
        .collect()
}

/// Least (greatest) value of the first size of `order`; `None` if the step limit came first.
fn end_of(system: &System, ranges: &Ranges, order: &[usize], high: bool, work: &mut Work) -> Option<i128> {
    let found: Result<Option<Ranges>, End> = first_point(system, ranges, order, high, work);
    let size = *order.first()?;
    Some(found.ok()??.sizes[size].0)
}

/// Count of a run at one size, for the windows.
pub(crate) fn count_at(system: &System, ranges: &Ranges, run: usize, size: usize, x: i128) -> i128 {
    let mut here = ranges.clone();
    here.sizes[size] = (x, x);
    best_count(system, &here, run)
}
