//! The whole question: best closings, how many there are, how much room each has, and the proof.

use crate::collide::explain;
use crate::problem::*;
use crate::proof::{Claim, prove};
use crate::search::{End, Listed, Point, Work, best};
use crate::system::*;
use crate::tally::{count, room};

/// The best closings of a problem that hangs together, or why nothing comes out; the law stands at [`solve`](crate::solve).
///
/// # Errors
/// A [`Fault`] for nonsense in the problem; never a panic.
pub(crate) fn solve(
    problem: &Problem,
    ranking: Ranking,
    limits: &Limits,
    cancel: &dyn Fn() -> bool,
) -> Result<Outcome, Fault> {
    let listed = match search(problem, ranking, limits, cancel)? {
        Ok(answer) => return Ok(Outcome::Fits(answer)),
        Err(listed) => listed,
    };
    if listed.end == End::Done {
        return explain(problem, limits, cancel).map(Outcome::Collides);
    }
    Ok(Outcome::Unfinished { steps: listed.steps })
}

/// The best closings of a problem that hangs together, or the search that found none.
///
/// # Errors
/// A [`Fault`] for nonsense in the problem.
pub(crate) fn search(
    problem: &Problem,
    ranking: Ranking,
    limits: &Limits,
    cancel: &dyn Fn() -> bool,
) -> Result<Result<Answer, Listed>, Fault> {
    let mut system = System::new(problem, ranking)?;
    system.leave_out_idle();
    let keep = limits.keep.max(1);
    let listed = best(&system, &system.start, keep, &mut Work::new(limits.steps, cancel));
    Ok(match listed.points.is_empty() {
        false => Ok(answer(&system, &listed, limits, cancel)),
        true => Err(listed),
    })
}

fn answer(system: &System, listed: &Listed, limits: &Limits, cancel: &dyn Fn() -> bool) -> Answer {
    let work = || Work::new(limits.steps, cancel);
    let claim = Claim { points: &listed.points, full: listed.points.len() >= limits.keep.max(1) };
    let settling = limits.count_cap > 0;
    let mut found = Found { count: 0, capped: true };
    if settling {
        found = count(system, limits.count_cap, &mut work());
    }
    found.count = found.count.max(listed.points.len() as u64);
    let mut rooms = work();
    Answer {
        status: match listed.end {
            End::Done => Status::Proven,
            End::Steps => Status::StepLimit,
            End::Cancelled => Status::Cancelled,
        },
        closings: listed.points.iter().map(|point| closing(system, point, &mut rooms)).collect(),
        found,
        steps: listed.steps,
        proof: match listed.end {
            End::Done if settling => prove(system, &claim, &mut work()),
            _ => None,
        },
    }
}

/// A point in the words of the answer.
pub(crate) fn closing(system: &System, point: &Point, work: &mut Work) -> Closing {
    // Sizes and counts lie within the `i64` ranges of the problem, or of a reach that was cut to fit.
    let short = |x: i128| i64::try_from(x).unwrap_or(if x > 0 { i64::MAX } else { i64::MIN });
    let shares = (0..point.counts.len()).map(|run| {
        let n = point.counts[run]?;
        Some(share(system, point, run, n))
    });
    Closing {
        choices: point.options.clone(),
        counts: point.counts.iter().map(|count| count.map(short)).collect(),
        sizes: point.sizes.iter().map(|&x| short(x)).collect(),
        vector: point.key.clone(),
        gaps: shares.collect(),
        room: room(system, point, work).into_iter().map(|(low, high)| (short(low), short(high))).collect(),
    }
}

fn share(system: &System, point: &Point, run: usize, n: i128) -> GapShare {
    let item = &system.problem.runs[run];
    let face = &system.faces[run];
    let scale = i128::from(item.gap_scale);
    let scaled = face.terms.iter().fold(face.constant, |sum, &(size, factor)| sum + factor * point.sizes[size]);
    let places = n * i128::from(item.gaps_per_member) * scale + i128::from(item.end_gaps);
    GapShare {
        // The face was multiplied by the scale, so this division is exact.
        total: scaled / scale - n * i128::from(item.member),
        places,
        scale: item.gap_scale,
    }
}
