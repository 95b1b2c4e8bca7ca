//! Why nothing comes out: a smallest set of wishes that cannot hold together, and the least change that frees it.
//!
//! # Law
//! Wishes are dropped one after the other, and stay dropped as long as still nothing comes out; what has to be kept is the set, and no part of it
//! collides. The order in which they are dropped decides which set is told: count ranges first (the maker seldom names them), then by
//! rank from the last to the first, gaps before sizes and later ones before earlier ones, pinned choices at the very end. So
//! the set is told in terms of what matters most. A dropped wish falls back to its reach, never to anything: a size or gap to the hull of range and reach,
//! a count to 1 and what the face can take, a choice to any option.
//! The limits that take part are found in the same way, with the set held.
//!
//! The least change of one wish is found by the search itself, with the distance from the wish's range as its first component and all other wishes
//! kept. So it is exact.

use crate::answer::closing;
use crate::problem::*;
use crate::search::{Work, best};
use crate::system::*;
use crate::tally::comes_out;

/// Why nothing comes out. If something does, set, limits and relaxations are empty and `minimal` is true.
///
/// # Errors
/// A [`Fault`] for nonsense in the problem.
pub fn explain(problem: &Problem, limits: &Limits, cancel: &dyn Fn() -> bool) -> Result<Collision, Fault> {
    let system = System::new(problem, Ranking::AsWished)?;
    let mut work = Work::new(limits.steps, cancel);
    let mut collision = Collision {
        set: Vec::new(),
        limits: Vec::new(),
        relaxations: Vec::new(),
        pairs: Vec::new(),
        minimal: true,
        steps: 0,
    };
    match comes_out(&system, &mut work) {
        Ok(false) => {}
        other => {
            collision.minimal = other.is_ok();
            collision.steps = work.used;
            return Ok(collision);
        }
    }
    let mut dropped = system.clone();
    collision.set = kept_wishes(&system, &mut dropped, &mut work, &mut collision.minimal);
    collision.limits = kept_limits(&mut dropped, &mut work, &mut collision.minimal);
    let mut relaxing = Work::new(limits.steps, cancel);
    for &wish in &collision.set {
        let relaxed = relax(&system, wish, &mut relaxing, &mut collision.minimal);
        collision.relaxations.extend(relaxed);
    }
    collision.relaxations.sort_by_key(|relaxed| (kind(relaxed.wish), relaxed.by, relaxed.wish));
    collision.pairs = pairs(&system, &collision, limits, cancel);
    collision.steps = work.used + relaxing.used;
    Ok(collision)
}

/// Sizes and gaps are compared with each other, counts and choices stand behind them.
fn kind(wish: WishRef) -> u8 {
    match wish {
        WishRef::Size(_) | WishRef::Gap(_) => 0,
        WishRef::Count(_) => 1,
        WishRef::Choice(_) => 2,
    }
}

/// Drops wishes in `dropped` while nothing comes out; returns those that had to stay, most important first.
fn kept_wishes(system: &System, dropped: &mut System, work: &mut Work, minimal: &mut bool) -> Vec<WishRef> {
    let mut kept = Vec::new();
    for wish in dropping_order(system.problem) {
        let held = dropped.start.clone();
        drop_wish(dropped, wish);
        if dropped.start == held {
            continue;
        }
        let out = comes_out(dropped, work);
        if out != Ok(false) {
            *minimal &= out.is_ok();
            dropped.start = held;
            kept.push(wish);
        }
    }
    kept.reverse();
    kept
}

fn kept_limits(dropped: &mut System, work: &mut Work, minimal: &mut bool) -> Vec<LimitRef> {
    let relations = (0..dropped.relations.len()).map(LimitRef::Relation);
    let runs = (0..dropped.faces.len()).map(LimitRef::Run);
    let all: Vec<LimitRef> = runs.chain(relations).collect();
    let mut kept = Vec::new();
    for &limit in all.iter().rev() {
        set_limit(dropped, limit, false);
        let out = comes_out(dropped, work);
        if out != Ok(false) {
            *minimal &= out.is_ok();
            set_limit(dropped, limit, true);
            kept.push(limit);
        }
    }
    kept.reverse();
    kept
}

fn set_limit(system: &mut System, limit: LimitRef, counts: bool) {
    match limit {
        LimitRef::Run(run) => system.run_counts[run] = counts,
        LimitRef::Relation(relation) => system.relation_counts[relation] = counts,
    }
}

/// All wishes in the order in which they are given up.
fn dropping_order(problem: &Problem) -> Vec<WishRef> {
    let mut ranked: Vec<(u32, bool, usize)> = Vec::new();
    ranked.extend(problem.sizes.iter().enumerate().map(|(i, s)| (s.wish.rank, false, i)));
    ranked.extend(problem.gaps.iter().enumerate().map(|(i, g)| (g.wish.rank, true, i)));
    ranked.sort_unstable();
    let counts = (0..problem.runs.len()).rev().map(WishRef::Count);
    let wishes = ranked.into_iter().rev().map(|(_, is_gap, i)| match is_gap {
        true => WishRef::Gap(i),
        false => WishRef::Size(i),
    });
    let pinned = |&choice: &usize| problem.choices[choice].pinned.is_some();
    let choices = (0..problem.choices.len()).rev().filter(pinned);
    counts.chain(wishes).chain(choices.map(WishRef::Choice)).collect()
}

/// Lets a wish fall back to its reach.
fn drop_wish(system: &mut System, wish: WishRef) {
    let problem = system.problem;
    match wish {
        WishRef::Size(size) => system.start.sizes[size] = hull(&problem.sizes[size].wish),
        WishRef::Gap(gap) => system.start.gaps[gap] = hull(&problem.gaps[gap].wish),
        WishRef::Count(run) => system.start.counts[run] = count_reach(system, run),
        WishRef::Choice(choice) => {
            system.start.options[choice] = (0, problem.choices[choice].options.len() - 1);
        }
    }
}

fn hull(wish: &Wish) -> (i128, i128) {
    (i128::from(wish.from.min(wish.reach.0)), i128::from(wish.to.max(wish.reach.1)))
}

/// From 1 to what the longest face in reach takes at the least pitch in reach, and never less than the range asked for.
fn count_reach(system: &System, run: usize) -> (i128, i128) {
    let problem = system.problem;
    let mut far = system.start.clone();
    for (range, size) in far.sizes.iter_mut().zip(&problem.sizes) {
        *range = hull(&size.wish);
    }
    let gap = problem.runs[run].gap;
    far.gaps[gap] = hull(&problem.gaps[gap].wish);
    let pitch = system.limits_of(&far, run);
    let (low, high) = (pitch.at(pitch.low), pitch.at(pitch.high));
    let asked = system.start.counts[run];
    if low <= 0 {
        return (1, asked.1);
    }
    let face = &system.faces[run];
    let longest = face.terms.iter().fold(face.constant, |sum, &(size, factor)| {
        let (from, to) = far.sizes[size];
        sum + (factor * from).max(factor * to)
    });
    let most = floor_div(longest - pitch.ends * pitch.low, low);
    // The last term keeps every product of a count and a pitch inside an `i128`.
    (1, most.min(LARGEST / (high.abs() + 1)).max(asked.1))
}

/// The least change of one wish with which something comes out, all others kept.
fn relax(system: &System, wish: WishRef, work: &mut Work, minimal: &mut bool) -> Option<Relaxation> {
    let mut relaxed = system.clone();
    let asked = asked_range(system, wish);
    drop_wish(&mut relaxed, wish);
    if !matches!(wish, WishRef::Choice(_)) {
        let change = Term { of: wish, weight: 1, core: asked };
        let first = Component::Wishes { terms: vec![change], unit: 1 };
        relaxed.components.insert(0, first);
    }
    let found = best(&relaxed, &relaxed.start, 1, work);
    *minimal &= work.stopped.is_none();
    let mut point = found.points.into_iter().next()?;
    let by = match wish {
        WishRef::Choice(_) => 1,
        _ => i64::try_from(point.key.remove(0)).ok()?,
    };
    let reached = closing(&relaxed, &point, work);
    let (from, to) = match wish {
        WishRef::Gap(gap) => widened_gap(system, &reached, gap, asked)?,
        _ => widened(&reached, wish, asked)?,
    };
    Some(Relaxation { wish, from, to, by, closing: reached })
}

/// The sizes and gaps that some limits hang on.
fn hang_on(problem: &Problem, limits: &[LimitRef]) -> Vec<WishRef> {
    let mut wishes = Vec::new();
    for limit in limits {
        let value = match *limit {
            LimitRef::Run(run) => {
                wishes.push(WishRef::Gap(problem.runs[run].gap));
                &problem.runs[run].face
            }
            LimitRef::Relation(relation) => &problem.relations[relation].value,
        };
        wishes.extend(value.terms.iter().map(|&(size, _)| WishRef::Size(size)));
    }
    wishes.sort_unstable();
    wishes.dedup();
    wishes
}

/// The least changes of two sizes or gaps, one of the set and one of the set or behind its limits, each less than any single change: they have a limit of steps of their own,
/// and one that was not searched to the end is left out.
fn pairs(system: &System, collision: &Collision, limits: &Limits, cancel: &dyn Fn() -> bool) -> Vec<Pair> {
    let single = collision.relaxations.iter().filter(|single| kind(single.wish) == 0).map(|single| single.by).min();
    let in_set = |wish: &WishRef| collision.set.contains(wish);
    let mut lengths: Vec<WishRef> = collision.set.iter().copied().filter(|wish| kind(*wish) == 0).collect();
    let behind = hang_on(system.problem, &collision.limits);
    lengths.extend(behind.into_iter().filter(|wish| !in_set(wish)));
    let mut work = Work::new(limits.steps, cancel);
    let mut found: Vec<Pair> = Vec::new();
    for (at, &first) in lengths.iter().enumerate() {
        for &second in lengths[at + 1..].iter().filter(|second| in_set(&first) || in_set(second)) {
            found.extend(pair(system, [first, second], &mut work));
        }
    }
    found.retain(|pair| single.is_none_or(|single| pair.by < single));
    found.sort_by_key(|pair| (pair.by, pair.changes.map(|(wish, _)| wish)));
    found
}

/// The least change of two wishes together with which something comes out, if it takes both.
fn pair(system: &System, wishes: [WishRef; 2], work: &mut Work) -> Option<Pair> {
    let mut relaxed = system.clone();
    let asked = wishes.map(|wish| asked_range(system, wish));
    wishes.iter().for_each(|&wish| drop_wish(&mut relaxed, wish));
    let terms = [0, 1].map(|at| Term { of: wishes[at], weight: 1, core: asked[at] });
    relaxed.components.insert(0, Component::Wishes { terms: terms.to_vec(), unit: 1 });
    let found = best(&relaxed, &relaxed.start, 1, work);
    if work.stopped.is_some() {
        return None;
    }
    let mut point = found.points.into_iter().next()?;
    let by = i64::try_from(point.key.remove(0)).ok()?;
    let reached = closing(&relaxed, &point, work);
    let range = |at: usize| match wishes[at] {
        WishRef::Gap(gap) => widened_gap(system, &reached, gap, asked[at]),
        wish => widened(&reached, wish, asked[at]),
    };
    let ranges = [range(0)?, range(1)?];
    let moved = |at: usize| (i128::from(ranges[at].0), i128::from(ranges[at].1)) != asked[at];
    let changes = [(wishes[0], ranges[0]), (wishes[1], ranges[1])];
    (moved(0) && moved(1)).then_some(Pair { changes, by, closing: reached })
}

fn asked_range(system: &System, wish: WishRef) -> (i128, i128) {
    match wish {
        WishRef::Size(size) => system.start.sizes[size],
        WishRef::Gap(gap) => system.start.gaps[gap],
        WishRef::Count(run) => system.start.counts[run],
        WishRef::Choice(_) => (0, 0),
    }
}

/// The asked range widened to what the closing needs; a gap outwards to whole units.
fn widened(closing: &Closing, wish: WishRef, asked: (i128, i128)) -> Option<(i64, i64)> {
    let (low, high) = match wish {
        WishRef::Size(size) => {
            let x = i128::from(closing.sizes[size]);
            (x, x)
        }
        WishRef::Count(run) => {
            let n = i128::from(closing.counts[run]?);
            (n, n)
        }
        WishRef::Choice(choice) => {
            let option = i64::try_from(closing.choices[choice]).ok()?;
            return Some((option, option));
        }
        WishRef::Gap(_) => return None,
    };
    Some((i64::try_from(asked.0.min(low)).ok()?, i64::try_from(asked.1.max(high)).ok()?))
}

/// The asked range widened outwards to whole units, so that the gap of every run lies inside.
fn widened_gap(system: &System, closing: &Closing, gap: usize, asked: (i128, i128)) -> Option<(i64, i64)> {
    let (mut low, mut high) = asked;
    for (run, share) in system.problem.runs.iter().zip(&closing.gaps) {
        if let Some(share) = share.filter(|share| run.gap == gap && share.places > 0) {
            let scaled = share.total * i128::from(share.scale);
            low = low.min(floor_div(scaled, share.places));
            high = high.max(ceil_div(scaled, share.places));
        }
    }
    Some((i64::try_from(low).ok()?, i64::try_from(high).ok()?))
}
