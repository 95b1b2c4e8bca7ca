//! Best-first search for the closings with the least vectors.
//!
//! # Law
//! A node is a set of ranges with the lower bound of its vector; the node with the least bound is opened first, so the first point taken
//! whose vector equals the bound of its node is the best that is left. It is listed as a closing, and everything
//! else with the same options and counts is passed over. Nodes are cut at a choice (one child per option), then at a count, then at a size, each into the value
//! that looks best, what lies below and what lies above: a range of a milliard is never listed.
//! Points met on the way bound the queue: nothing worse than the last of `keep` known closings is kept.
//!
//! Sizes that nothing ties together cannot help each other out in the first component: when the options are fixed, a small search of the same
//! kind finds the least that each group of tied sizes has to pay there, and every bound under these options counts at least that.

use crate::bounds::{Empty, Floors};
use crate::problem::{Variable, WishRef};
use crate::system::*;
use crate::tally::{Group, groups, groups_come_out, restricted};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};
use std::rc::Rc;

/// Steps after which a floor is taken as it is known.
const FLOOR_STEPS: u64 = 300;

/// One point: everything chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Point {
    pub options: Vec<usize>,
    /// Counts of the runs that exist.
    pub counts: Vec<Option<i128>>,
    pub sizes: Vec<i128>,
    pub key: Vec<i128>,
}

/// Options and counts of a point: its closing.
type Identity = (Vec<usize>, Vec<Option<i128>>);

/// How a search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum End {
    /// Nothing is left, or as many as asked for are listed: the list is proven.
    Done,
    Steps,
    Cancelled,
}

/// What a search found.
#[derive(Debug)]
pub(crate) struct Listed {
    pub points: Vec<Point>,
    pub end: End,
    pub steps: u64,
}

/// Work allowed: steps, and the caller's wish to stop.
pub(crate) struct Work<'a> {
    pub left: u64,
    pub used: u64,
    pub cancel: &'a dyn Fn() -> bool,
    pub stopped: Option<End>,
}

impl<'a> Work<'a> {
    pub fn new(left: u64, cancel: &'a dyn Fn() -> bool) -> Self {
        Self { left, used: 0, cancel, stopped: None }
    }

    /// Takes one step, or tells that there is none left. The caller is asked every 16 steps.
    pub fn step(&mut self) -> bool {
        if self.stopped.is_some() {
            return false;
        }
        if self.left == 0 {
            self.stopped = Some(End::Steps);
        } else if self.used.is_multiple_of(16) && (self.cancel)() {
            self.stopped = Some(End::Cancelled);
        } else {
            self.left -= 1;
            self.used += 1;
        }
        self.stopped.is_none()
    }
}

/// Bound, serial number (so that equal bounds are opened in a fixed order), place in the store.
type Entry = Reverse<(Vec<i128>, u64)>;

/// What is asked once under fixed options.
struct Asked<'a> {
    system: System<'a>,
    floors: Option<Floors>,
}

struct Queue<'a> {
    heap: BinaryHeap<Entry>,
    store: BTreeMap<u64, (Ranges, Ranges)>,
    serial: u64,
    /// Options under which the groups have been asked.
    asked: BTreeMap<Vec<(usize, usize)>, Rc<Asked<'a>>>,
    /// The best points met so far, one per closing.
    known: BTreeMap<Identity, Point>,
    /// Closings asked for.
    keep: usize,
}

impl Queue<'_> {
    fn new(keep: usize) -> Self {
        Self {
            heap: BinaryHeap::new(),
            store: BTreeMap::new(),
            serial: 0,
            asked: BTreeMap::new(),
            known: BTreeMap::new(),
            keep,
        }
    }
}

/// The `keep` best closings of the system within `ranges`.
pub(crate) fn best(system: &System, ranges: &Ranges, keep: usize, work: &mut Work) -> Listed {
    let mut queue = Queue::new(keep);
    let mut points: Vec<Point> = Vec::new();
    let first = work.used;
    push(system, &mut queue, ranges.clone(), None, work);
    while points.len() < keep && work.stopped.is_none() {
        let Some(Reverse((key, serial))) = queue.heap.pop() else {
            break;
        };
        let Some((node, tight)) = queue.store.remove(&serial) else {
            continue;
        };
        let asked = queue.asked.get(&node.options).cloned();
        let system = asked.as_ref().map_or(system, |asked| &asked.system);
        if identity(system, &node).is_some_and(|own| points.iter().any(|point| same(point, &own))) {
            continue;
        }
        let found = complete(system, &node, &tight);
        if let Some(point) = &found {
            remember(&mut queue.known, point, keep);
        }
        let children = match &found {
            Some(point) if point.key == key => {
                let fresh = !points.iter().any(|p| same(p, &(point.options.clone(), point.counts.clone())));
                if fresh {
                    points.push(point.clone());
                }
                around(system, &node, point)
            }
            _ => cut(system, &node, &tight, found.as_ref()),
        };
        for child in children {
            push(system, &mut queue, child, Some((&node, &key)), work);
        }
    }
    let end = if points.len() >= keep { End::Done } else { work.stopped.unwrap_or(End::Done) };
    if end != End::Done {
        add_known(&mut points, queue.known, keep);
    }
    Listed { points, end, steps: work.used - first }
}

/// Whether all options are fixed.
pub(crate) fn fixed(ranges: &Ranges) -> bool {
    ranges.options.iter().all(|&(first, last)| first == last)
}

fn same(point: &Point, identity: &Identity) -> bool {
    point.options == identity.0 && point.counts == identity.1
}

/// Bounds a child and puts it into the queue unless it is empty or worse than enough known closings.
fn push<'a>(
    system: &System<'a>,
    queue: &mut Queue<'a>,
    mut child: Ranges,
    parent: Option<(&Ranges, &[i128])>,
    work: &mut Work,
) {
    if !work.step() {
        return;
    }
    let settled = match parent {
        Some((whole, _)) => system.settle_within(&mut child, whole),
        None => system.settle(&mut child),
    };
    if settled.is_err() {
        return;
    }
    // When the last choice is made, each group of sizes is asked once whether it comes out at all: a dead group would
    // otherwise be found again under every closing of the others.
    if fixed(&child) && !queue.asked.contains_key(&child.options) {
        let own = system.under(&child);
        let dead = groups_come_out(&own, &child, work) == Ok(false);
        let floors = if dead { None } else { floors(&own, &child, work) };
        queue.asked.insert(child.options.clone(), Rc::new(Asked { system: own, floors }));
        if dead {
            return;
        }
    }
    let asked = queue.asked.get(&child.options);
    let (system, floors) = asked.map_or((system, None), |asked| (&asked.system, asked.floors.as_ref()));
    let worst = queue.known.values().map(|point| &point.key[..]).max();
    let ceiling = worst.filter(|_| queue.known.len() >= queue.keep);
    let floor = parent.map_or(&[][..], |(_, key)| key);
    let Some((key, tight)) = system.bound(&child, floor, ceiling, floors) else {
        return;
    };
    if ceiling.is_some_and(|ceiling| ceiling < &key[..]) {
        return;
    }
    queue.serial += 1;
    queue.heap.push(Reverse((key, queue.serial)));
    queue.store.insert(queue.serial, (child, tight));
}

/// What each group of sizes has to pay in the first component, if several groups pay there.
fn floors(system: &System, node: &Ranges, work: &mut Work) -> Option<Floors> {
    let Component::Wishes { terms, .. } = system.components.first()? else {
        return None;
    };
    let groups = groups(system, node);
    let group_of: Vec<Option<usize>> = terms
        .iter()
        .map(|term| match term.of {
            WishRef::Size(size) if term.weight > 0 => groups.iter().position(|group| group.sizes.contains(&size)),
            _ => None,
        })
        .collect();
    let pays = |index| group_of.contains(&Some(index));
    let paying = (0..groups.len()).filter(|&index| pays(index)).count();
    // Where every group pays with one size, its own distance is as good.
    if paying < 2 || group_of.iter().flatten().count() == paying {
        return None;
    }
    let mut least = vec![0; groups.len()];
    for (index, group) in groups.iter().enumerate().filter(|&(index, _)| pays(index)) {
        least[index] = least_of(system, node, group, work)?;
    }
    Some(Floors { group_of, least })
}

/// The least that one group has to pay in the first component, whatever comes after it.
fn least_of(system: &System, node: &Ranges, group: &Group, work: &mut Work) -> Option<i128> {
    let mut alone = restricted(system, group);
    alone.components = vec![paid_by(system, group)];
    let mut own = node.clone();
    let others = own.sizes.iter_mut().enumerate().filter(|(size, _)| !group.sizes.contains(size));
    for (_, range) in others {
        // No limit of this group asks for the size.
        range.1 = range.0;
    }
    cheapest(alone, own, work)
}

/// The part of the first component that one group pays; its other sizes are named, but cost nothing.
fn paid_by(system: &System, group: &Group) -> Component {
    let mut all: Vec<Term> = Vec::new();
    for (index, component) in system.components.iter().enumerate() {
        let Component::Wishes { terms, .. } = component else { continue };
        let own = |term: &&Term| matches!(term.of, WishRef::Size(size) if group.sizes.contains(&size));
        all.extend(
            terms.iter().filter(own).map(|term| Term { weight: if index == 0 { term.weight } else { 0 }, ..*term }),
        );
    }
    let unit = unit(system.problem, &all);
    Component::Wishes { terms: all, unit }
}

/// The least of the first component, or what is known of it after [`FLOOR_STEPS`]; `None` if all work is used up.
fn cheapest(system: System, node: Ranges, work: &mut Work) -> Option<i128> {
    let asked = Rc::new(Asked { system, floors: None });
    let system = &asked.system;
    let mut queue = Queue::new(1);
    queue.asked.insert(node.options.clone(), Rc::clone(&asked));
    let first = work.used;
    push(system, &mut queue, node, None, work);
    while let Some(Reverse((key, serial))) = queue.heap.pop() {
        if work.stopped.is_some() {
            return None;
        }
        let (node, tight) = queue.store.remove(&serial)?;
        let found = complete(system, &node, &tight);
        if let Some(point) = &found {
            remember(&mut queue.known, point, 1);
        }
        // Nothing in the queue has less than this.
        let met = queue.known.values().map(|point| point.key[0]).find(|&value| value <= key[0]);
        if met.is_some() || work.used - first > FLOOR_STEPS {
            return met.or(Some(key[0]));
        }
        for child in cut(system, &node, &tight, found.as_ref()) {
            push(system, &mut queue, child, Some((&node, &key)), work);
        }
    }
    queue.known.values().next().map(|point| point.key[0]).filter(|_| work.stopped.is_none())
}

/// Keeps the best point of each of the `keep` best closings met.
fn remember(known: &mut BTreeMap<Identity, Point>, point: &Point, keep: usize) {
    let identity = (point.options.clone(), point.counts.clone());
    match known.get_mut(&identity) {
        Some(old) if old.key <= point.key => return,
        Some(old) => *old = point.clone(),
        None => {
            known.insert(identity, point.clone());
        }
    }
    if known.len() > keep {
        let worst = known.iter().max_by(|a, b| a.1.key.cmp(&b.1.key));
        if let Some(identity) = worst.map(|(identity, _)| identity.clone()) {
            known.remove(&identity);
        }
    }
}

fn add_known(points: &mut Vec<Point>, known: BTreeMap<Identity, Point>, keep: usize) {
    for (identity, point) in known {
        if !points.iter().any(|p| same(p, &identity)) {
            points.push(point);
        }
    }
    points.sort_by(|a, b| a.key.cmp(&b.key));
    points.truncate(keep);
}

/// Options and counts, if they are all fixed.
pub(crate) fn identity(system: &System, ranges: &Ranges) -> Option<Identity> {
    let options: Option<Vec<usize>> =
        ranges.options.iter().map(|&(first, last)| (first == last).then_some(first)).collect();
    let counts: Option<Vec<Option<i128>>> = (0..ranges.counts.len())
        .map(|run| {
            let (low, high) = ranges.counts[run];
            if system.run_holds(ranges, run) != Some(true) {
                return Some(None);
            }
            (low == high).then_some(Some(low))
        })
        .collect();
    Some((options?, counts?))
}

/// A point of the node near the wishes, with its vector.
fn complete(system: &System, node: &Ranges, tight: &Ranges) -> Option<Point> {
    if !fixed(node) {
        return None;
    }
    let mut point = tight.clone();
    for size in wished_order(system) {
        if point.sizes[size].0 == point.sizes[size].1 {
            continue;
        }
        let x = system.nearest(&point, size, core_of(system, size), true);
        point.sizes[size] = (x, x);
        system.propagate_size(&mut point, size).ok()?;
    }
    for run in system.live_runs(node) {
        let n = best_count(system, &point, run);
        point.counts[run] = (n, n);
    }
    // The tightened gap ranges belong to the bound; the point itself is judged by the node's.
    point.gaps.clone_from(&node.gaps);
    evaluate(system, &mut point)
}

/// The point of ranges in which all is fixed, if it satisfies every limit.
pub(crate) fn evaluate(system: &System, ranges: &mut Ranges) -> Option<Point> {
    system.propagate(ranges).ok()?;
    let (options, counts) = identity(system, ranges)?;
    if ranges.sizes.iter().any(|&(low, high)| low != high) {
        return None;
    }
    let key = system.vector_at(ranges);
    Some(Point { options, counts, sizes: ranges.sizes.iter().map(|&(x, _)| x).collect(), key })
}

/// Count of a run whose gap is nearest to its want, with the sizes at their least.
pub(crate) fn best_count(system: &System, ranges: &Ranges, run: usize) -> i128 {
    let (low, high) = ranges.counts[run];
    if low >= high {
        return low;
    }
    let pitch = system.limits_of(ranges, run);
    let want = i128::from(system.problem.gaps[system.problem.runs[run].gap].wish.want);
    let face = &system.faces[run];
    let value = face.terms.iter().fold(face.constant, |sum, &(size, factor)| sum + factor * ranges.sizes[size].0);
    let step = pitch.at(want);
    if step <= 0 {
        return low;
    }
    let (least, greatest) = (pitch.at(pitch.low), pitch.at(pitch.high));
    let (mut from, mut to) = (low, high);
    if least > 0 && greatest > 0 {
        from = ceil_div(value - pitch.ends * pitch.high, greatest).clamp(low, high);
        to = floor_div(value - pitch.ends * pitch.low, least).clamp(from, high);
    }
    // The gap falls as the count grows, so the want lies between these two neighbours.
    let below = floor_div(value - pitch.ends * want, step).clamp(from, to);
    let above = (below + 1).min(to);
    let off = |n| ((value - pitch.takes(n, want)).abs(), pitch.places(n).max(1));
    if nearer(off(above), off(below)) { above } else { below }
}

/// Whether the fraction `a` is less than `b`; the denominators are positive.
fn nearer(a: (i128, i128), b: (i128, i128)) -> bool {
    match (a.0.checked_mul(b.1), b.0.checked_mul(a.1)) {
        (Some(left), Some(right)) => left < right,
        // Far beyond any real face; whole units decide, the search only needs a good guess.
        _ => a.0 / a.1 < b.0 / b.1,
    }
}

fn core_of(system: &System, size: usize) -> (i128, i128) {
    let want = i128::from(system.problem.sizes[size].wish.want);
    (want, want)
}

/// Sizes in the order in which the objective asks for them.
fn wished_order(system: &System) -> Vec<usize> {
    let mut order = Vec::with_capacity(system.start.sizes.len());
    for component in &system.components {
        let Component::Wishes { terms, .. } = component else { continue };
        for term in terms {
            match term.of {
                WishRef::Size(size) if !order.contains(&size) => order.push(size),
                _ => {}
            }
        }
    }
    order
}

/// All of the node but the closing of `point`: for each open count in turn what lies below and above.
fn around(system: &System, node: &Ranges, point: &Point) -> Vec<Ranges> {
    let mut rest = node.clone();
    let mut children = Vec::new();
    for (run, &count) in point.counts.iter().enumerate() {
        let Some(n) = count else { continue };
        let (low, high) = rest.counts[run];
        if low == high || system.run_holds(node, run) != Some(true) {
            continue;
        }
        children.extend(sides(&rest, Variable::Count(run), n));
        rest.counts[run] = (n, n);
    }
    children
}

/// Cuts a node at the variable that decides most.
fn cut(system: &System, node: &Ranges, tight: &Ranges, found: Option<&Point>) -> Vec<Ranges> {
    if let Some(choice) = node.options.iter().position(|&(a, b)| a != b) {
        let (first, last) = node.options[choice];
        return (first..=last)
            .map(|option| {
                let mut child = node.clone();
                child.options[choice] = (option, option);
                child
            })
            .collect();
    }
    let Some((on, value)) = pick(system, node, tight, found) else {
        return Vec::new();
    };
    let mut children = vec![with(node, on, (value, value))];
    children.extend(sides(node, on, value));
    children
}

/// The variable to cut and the value that looks best: counts first, the one with fewest values left, then sizes by rank.
pub(crate) fn pick(system: &System, node: &Ranges, tight: &Ranges, found: Option<&Point>) -> Option<(Variable, i128)> {
    let open_run = system.live_runs(node).filter(|&run| node.counts[run].0 < node.counts[run].1).min_by_key(|&run| {
        let width = tight.counts[run].1 - tight.counts[run].0;
        (width == 0, width, run)
    });
    if let Some(run) = open_run {
        let (low, high) = tight.counts[run];
        let seen = found.and_then(|point| point.counts[run]);
        let mut middle = tight.clone();
        settle_middle(system, &mut middle);
        let n = seen.unwrap_or_else(|| best_count(system, &middle, run));
        return Some((Variable::Count(run), n.clamp(low, high.max(low))));
    }
    let open_size = wished_order(system)
        .into_iter()
        .filter(|&size| node.sizes[size].0 < node.sizes[size].1)
        .min_by_key(|&size| tight.sizes[size].0 == tight.sizes[size].1)?;
    let x = system.nearest(tight, open_size, core_of(system, open_size), true);
    Some((Variable::Size(open_size), x))
}

/// Sets every size to its nearest to the want, so that a count can be judged.
fn settle_middle(system: &System, ranges: &mut Ranges) {
    for size in 0..ranges.sizes.len() {
        let x = system.nearest(ranges, size, core_of(system, size), true);
        ranges.sizes[size] = (x, x);
    }
}

/// The ranges with one variable held to a range.
pub(crate) fn with(ranges: &Ranges, on: Variable, range: (i128, i128)) -> Ranges {
    let mut child = ranges.clone();
    match on {
        Variable::Count(run) => child.counts[run] = range,
        Variable::Size(size) => child.sizes[size] = range,
        // Options are cut one by one where they are listed.
        Variable::Choice(_) => {}
    }
    child
}

/// What lies below and above a value, where there is anything.
fn sides(ranges: &Ranges, on: Variable, value: i128) -> Vec<Ranges> {
    let (low, high) = match on {
        Variable::Count(run) => ranges.counts[run],
        Variable::Size(size) => ranges.sizes[size],
        Variable::Choice(_) => return Vec::new(),
    };
    let below = (low < value).then(|| with(ranges, on, (low, value - 1)));
    let above = (value < high).then(|| with(ranges, on, (value + 1, high)));
    below.into_iter().chain(above).collect()
}

/// The first point in which all counts and the listed sizes are fixed, or `None` if there is none.
///
/// If the counts are fixed already, the first size is taken in ascending (with `high_first` descending) order, so that
/// its value is the least (greatest) possible.
pub(crate) fn first_point(
    system: &System,
    ranges: &Ranges,
    sizes: &[usize],
    high_first: bool,
    work: &mut Work,
) -> Result<Option<Ranges>, End> {
    let mut stack = vec![ranges.clone()];
    while let Some(mut node) = stack.pop() {
        if !work.step() {
            return Err(work.stopped.unwrap_or(End::Steps));
        }
        if matches!(system.settle(&mut node), Err(Empty)) {
            continue;
        }
        let open_run = system.live_runs(&node).find(|&run| node.counts[run].0 < node.counts[run].1);
        if let Some(run) = open_run {
            let n = best_count(system, &node, run);
            stack.extend(sides(&node, Variable::Count(run), n));
            stack.push(with(&node, Variable::Count(run), (n, n)));
            continue;
        }
        let open_size = sizes.iter().copied().find(|&size| node.sizes[size].0 < node.sizes[size].1);
        match open_size {
            Some(size) => {
                let down = high_first && sizes.first() == Some(&size);
                stack.extend(halves(&node, size, down));
            }
            None => return Ok(Some(node)),
        }
    }
    Ok(None)
}

/// The end value, the near half and the far half of a size's range, the one to be looked at first last.
fn halves(node: &Ranges, size: usize, down: bool) -> Vec<Ranges> {
    let (low, high) = node.sizes[size];
    let middle = low + (high - low) / 2;
    let on = Variable::Size(size);
    let mut parts = if down {
        vec![(low, middle - 1), (middle, high - 1), (high, high)]
    } else {
        vec![(middle + 1, high), (low + 1, middle), (low, low)]
    };
    parts.retain(|&(from, to)| from <= to);
    parts.into_iter().map(|range| with(node, on, range)).collect()
}
