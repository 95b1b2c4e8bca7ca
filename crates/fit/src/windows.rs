//! Windows: the notches on the rod, where everything that hangs on one size alone comes out.
//!
//! # Law
//! Each run is open on a union of intervals, one per count: `[n * (member + per * g-) + ends * g-, n * (member + per * g+) + ends * g+]`. The
//! windows are the grid points in all unions, gathered into the longest stretches of neighbours; found in
//! one sweep that jumps from end to end.

use crate::problem::*;
use crate::system::*;
use crate::tally::count_at;

/// Windows that one call may return.
pub const MOST_WINDOWS: usize = 10_000;

/// Windows of one size over a stretch, under the given options.
///
/// Runs whose face hangs on other sizes too, relations and the size's own range are left aside; count and gap ranges hold.
///
/// # Errors
/// A [`Fault`] for nonsense in the problem, a wrong index or list, or more than [`MOST_WINDOWS`] windows.
pub fn windows(problem: &Problem, size: usize, choices: &[usize], over: (i64, i64)) -> Result<Vec<Window>, Fault> {
    let mut system = System::new(problem, Ranking::AsWished)?;
    check_call(problem, size, choices, over)?;
    let mut ranges = system.start.clone();
    for (range, &option) in ranges.options.iter_mut().zip(choices) {
        *range = (option, option);
    }
    for run in 0..system.run_counts.len() {
        system.run_counts[run] = system.alone[size].contains(&run);
    }
    let from = system.snap_up(size, i128::from(over.0));
    let to = system.snap_down(size, i128::from(over.1));
    if from > to {
        return Ok(Vec::new());
    }
    system.relation_counts.fill(false);
    ranges.sizes[size] = (from, to);
    for (other, range) in ranges.sizes.iter_mut().enumerate() {
        if other != size {
            *range = (0, 0);
        }
    }
    sweep(&system, &mut ranges, size)
}

fn check_call(problem: &Problem, size: usize, choices: &[usize], over: (i64, i64)) -> Result<(), Fault> {
    if size >= problem.sizes.len() {
        return Err(Fault::Index { at: "windows".into(), index: size, len: problem.sizes.len() });
    }
    if choices.len() != problem.choices.len() {
        return Err(Fault::Length { at: "choices", len: choices.len(), expected: problem.choices.len() });
    }
    for (choice, &option) in problem.choices.iter().zip(choices) {
        if option >= choice.options.len() {
            return Err(Fault::Index {
                at: format!("option of `{}`", choice.name),
                index: option,
                len: choice.options.len(),
            });
        }
    }
    // The stretch may reach beyond the size's own range, so the sums are checked once more for it.
    let mut stretched = problem.clone();
    let reach = &mut stretched.sizes[size].wish.reach;
    *reach = (reach.0.min(over.0).min(over.1), reach.1.max(over.0).max(over.1));
    check(&stretched)
}

fn sweep(system: &System, ranges: &mut Ranges, size: usize) -> Result<Vec<Window>, Fault> {
    let runs: Vec<usize> = system.live_runs(ranges).collect();
    let mut all = Vec::new();
    for &run in &runs {
        if !clip_count(system, ranges, run) {
            return Ok(all);
        }
    }
    let (low, high) = ranges.sizes[size];
    let mut x = low;
    while let Some(from) = next_open(system, ranges, &runs, x, high) {
        let to = last_open(system, ranges, &runs, size, from, high);
        if all.len() == MOST_WINDOWS {
            return Err(Fault::TooManyWindows { limit: MOST_WINDOWS });
        }
        all.push(window(system, ranges, &runs, size, (from, to)));
        x = to + system.step(size);
    }
    Ok(all)
}

/// Counts with places below none are no closing; `false` if none is left.
fn clip_count(system: &System, ranges: &mut Ranges, run: usize) -> bool {
    let pitch = system.limits_of(ranges, run);
    let count = &mut ranges.counts[run];
    if pitch.per > 0 {
        count.0 = count.0.max(ceil_div(-pitch.ends, pitch.per));
    }
    count.0 <= count.1 && (pitch.per > 0 || pitch.ends >= 0)
}

/// First point from `x` on at which all runs close.
fn next_open(system: &System, ranges: &Ranges, runs: &[usize], x: i128, high: i128) -> Option<i128> {
    let mut x = x;
    loop {
        let start = x;
        for &run in runs {
            if x > high {
                return None;
            }
            x = system.jump(ranges, run, x, true)?;
        }
        if x == start {
            return (x <= high).then_some(x);
        }
    }
}

/// Last point of the stretch of open neighbours that begins at `from`.
fn last_open(system: &System, ranges: &Ranges, runs: &[usize], size: usize, from: i128, high: i128) -> i128 {
    let mut last = from;
    loop {
        // Each run reaches to the top of the counts that close here; the nearest top is safe for all.
        let top = runs.iter().map(|&run| run_top(system, ranges, run, size, last)).fold(high, i128::min);
        let next = top + system.step(size);
        if next > high || next_open(system, ranges, runs, next, high) != Some(next) {
            return top;
        }
        last = next;
    }
}

/// Last grid point up to which a count that closes at `x` goes on closing; `x` itself if pitches are not positive.
fn run_top(system: &System, ranges: &Ranges, run: usize, size: usize, x: i128) -> i128 {
    let pitch = system.limits_of(ranges, run);
    let (least, greatest) = (pitch.at(pitch.low), pitch.at(pitch.high));
    if least <= 0 || greatest <= 0 {
        return x;
    }
    let face = &system.faces[run];
    let Some(&(_, factor)) = face.terms.first() else {
        return x;
    };
    let value = factor * x + face.constant;
    let (low, high) = ranges.counts[run];
    let edge = if factor > 0 {
        let n = floor_div(value - pitch.ends * pitch.low, least).min(high);
        pitch.takes(n, pitch.high) - face.constant
    } else {
        let n = ceil_div(value - pitch.ends * pitch.high, greatest).max(low);
        face.constant - pitch.takes(n, pitch.low)
    };
    system.snap_down(size, floor_div(edge, factor.abs())).max(x)
}

fn window(system: &System, ranges: &Ranges, runs: &[usize], size: usize, stretch: (i128, i128)) -> Window {
    let want = i128::from(system.problem.sizes[size].wish.want);
    let mut inside = ranges.clone();
    inside.sizes[size] = stretch;
    let best = system.nearest(&inside, size, (want, want), false);
    // All of these lie within the caller's `i64` stretch and count ranges.
    let short = |x: i128| i64::try_from(x).unwrap_or(i64::MAX);
    Window {
        from: short(stretch.0),
        to: short(stretch.1),
        best: short(best),
        counts: runs.iter().map(|&run| (run, short(count_at(system, ranges, run, size, best)))).collect(),
    }
}
