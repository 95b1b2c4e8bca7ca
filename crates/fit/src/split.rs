//! A problem that falls apart: parts that hang on nothing in common are settled each for itself and put together.
//!
//! Two things hang together if a run or a relation joins them, or a choice that decides over one of those. Sums of wishes do not
//! join: the objective adds up over parts, so the best of the whole are made of the best of the parts, and the work grows with
//! the sum of the parts instead of their product.

use crate::answer;
use crate::problem::*;
use crate::system::System;
use std::collections::BTreeMap;

/// The best closings under a ranking, or why nothing comes out.
///
/// # Objective
/// The vector is compared from the front, less is better: for each rank in ascending order the sum of `weight * deviation` of
/// its wishes (a size: distance from the want; a gap: the worst `ceil(|total * scale - places * want| / places)` of its runs that
/// exist); the spread of the gaps (greatest less least `floor(total * scale / places)`, summed over gaps); the options; the
/// sizes; the counts (0 for a run that does not exist). It is a total order. [`Ranking::SizesFirst`] puts the ranks of all gaps
/// behind those of all sizes, [`Ranking::FewestMembers`] the sum of all counts in front.
///
/// # Limits
/// `keep` is taken as at least 1. Search, count, rooms and proof each may use `limits.steps`, for each part of a problem that falls
/// apart. With `count_cap` 0 nothing is counted beyond the list and no proof is built: that is for a hand that drags.
///
/// # Errors
/// A [`Fault`] for nonsense in the problem; never a panic.
pub fn solve(
    problem: &Problem,
    ranking: Ranking,
    limits: &Limits,
    cancel: &dyn Fn() -> bool,
) -> Result<Outcome, Fault> {
    // Nonsense is told in the numbering of the whole.
    System::new(problem, ranking)?;
    let parts = parts_of(problem);
    if parts.len() < 2 {
        return answer::solve(problem, ranking, limits, cancel);
    }
    let mut answers = Vec::new();
    let mut collisions = Vec::new();
    for (place, part) in parts.iter().enumerate() {
        match answer::solve(&part.cut_out(problem), ranking, limits, cancel)? {
            Outcome::Fits(answer) => answers.push(answer),
            Outcome::Collides(collision) => collisions.push((place, collision)),
            unfinished @ Outcome::Unfinished { .. } => return Ok(unfinished),
        }
    }
    if collisions.is_empty() {
        return Ok(Outcome::Fits(together(problem, ranking, &parts, answers, limits)));
    }
    let alone = collisions.len() == 1;
    let (place, collision) = collisions.swap_remove(0);
    let rest = alone.then(|| Rest { problem, ranking, parts: &parts, place, answers: &answers });
    Ok(Outcome::Collides(parts[place].told(collision, rest.as_ref())))
}

/// The best closing alone, or none where nothing comes out or the search ended before anything was found. Nothing is counted,
/// proven or explained: for whoever asks the same question many times over, a little changed.
///
/// # Errors
/// A [`Fault`] for nonsense in the problem; never a panic.
pub fn nearest(
    problem: &Problem,
    ranking: Ranking,
    limits: &Limits,
    cancel: &dyn Fn() -> bool,
) -> Result<Option<Closing>, Fault> {
    System::new(problem, ranking)?;
    let limits = Limits { keep: 1, count_cap: 0, ..*limits };
    let parts = parts_of(problem);
    let mut answers = Vec::new();
    for part in &parts {
        match answer::search(&part.cut_out(problem), ranking, &limits, cancel)? {
            Ok(answer) => answers.push(answer),
            Err(_) => return Ok(None),
        }
    }
    Ok(together(problem, ranking, &parts, answers, &limits).closings.into_iter().next())
}

/// What hangs together, by index into the whole.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Part {
    choices: Vec<usize>,
    sizes: Vec<usize>,
    gaps: Vec<usize>,
    runs: Vec<usize>,
    relations: Vec<usize>,
}

/// The parts of a problem, in the order of their first things: choices, then sizes, gaps, runs, relations.
fn parts_of(problem: &Problem) -> Vec<Part> {
    let counts =
        [problem.choices.len(), problem.sizes.len(), problem.gaps.len(), problem.runs.len(), problem.relations.len()];
    let start: Vec<usize> = counts.iter().scan(0, |sum, count| Some(std::mem::replace(sum, *sum + count))).collect();
    let mut roots: Vec<usize> = (0..counts.iter().sum()).collect();
    let mut join = |a: usize, b: usize| {
        let (a, b) = (root(&roots, a), root(&roots, b));
        roots[a.max(b)] = a.min(b);
    };
    for (run, item) in problem.runs.iter().enumerate() {
        item.when.iter().for_each(|&(choice, _)| join(start[3] + run, choice));
        item.face.terms.iter().for_each(|&(size, _)| join(start[3] + run, start[1] + size));
        join(start[3] + run, start[2] + item.gap);
    }
    for (relation, item) in problem.relations.iter().enumerate() {
        item.when.iter().for_each(|&(choice, _)| join(start[4] + relation, choice));
        item.value.terms.iter().for_each(|&(size, _)| join(start[4] + relation, start[1] + size));
    }
    let mut parts: BTreeMap<usize, Part> = BTreeMap::new();
    for thing in 0..roots.len() {
        let part = parts.entry(root(&roots, thing)).or_default();
        // The last kind whose first thing is not beyond this one; empty kinds start where the next one does.
        let kind = (0..5).rev().find(|&kind| start[kind] <= thing && counts[kind] > 0).unwrap_or(0);
        let lists = [&mut part.choices, &mut part.sizes, &mut part.gaps, &mut part.runs, &mut part.relations];
        lists.into_iter().nth(kind).into_iter().for_each(|list| list.push(thing - start[kind]));
    }
    parts.into_values().collect()
}

fn root(roots: &[usize], mut thing: usize) -> usize {
    while roots[thing] != thing {
        thing = roots[thing];
    }
    thing
}

/// The place of each entry in a list of indices. Whatever a part refers to lies in the part, or it would hang on it.
fn place_in(list: &[usize], index: usize) -> usize {
    list.binary_search(&index).unwrap_or(0)
}

impl Part {
    /// The part as a problem of its own.
    fn cut_out(&self, problem: &Problem) -> Problem {
        let when = |when: &[(usize, usize)]| {
            when.iter().map(|&(choice, option)| (place_in(&self.choices, choice), option)).collect()
        };
        let affine = |affine: &Affine| Affine {
            terms: affine.terms.iter().map(|&(size, factor)| (place_in(&self.sizes, size), factor)).collect(),
            constant: affine.constant,
        };
        let run = |&run: &usize| {
            let run = &problem.runs[run];
            Run { when: when(&run.when), face: affine(&run.face), gap: place_in(&self.gaps, run.gap), ..run.clone() }
        };
        let relation = |&relation: &usize| {
            let relation = &problem.relations[relation];
            Relation { when: when(&relation.when), value: affine(&relation.value), ..relation.clone() }
        };
        Problem {
            choices: self.choices.iter().map(|&choice| problem.choices[choice].clone()).collect(),
            sizes: self.sizes.iter().map(|&size| problem.sizes[size].clone()).collect(),
            gaps: self.gaps.iter().map(|&gap| problem.gaps[gap].clone()).collect(),
            runs: self.runs.iter().map(run).collect(),
            relations: self.relations.iter().map(relation).collect(),
        }
    }

    /// A collision of this part in the numbering of the whole. What comes out after a change is told with the best of the
    /// rest; if another part collides too, no single change frees everything and none is told.
    fn told(&self, collision: Collision, rest: Option<&Rest<'_>>) -> Collision {
        let wish = |wish: WishRef| match wish {
            WishRef::Size(at) => WishRef::Size(self.sizes[at]),
            WishRef::Gap(at) => WishRef::Gap(self.gaps[at]),
            WishRef::Count(at) => WishRef::Count(self.runs[at]),
            WishRef::Choice(at) => WishRef::Choice(self.choices[at]),
        };
        let limit = |limit: LimitRef| match limit {
            LimitRef::Run(at) => LimitRef::Run(self.runs[at]),
            LimitRef::Relation(at) => LimitRef::Relation(self.relations[at]),
        };
        let relaxation = |relaxation: Relaxation| {
            let closing = rest?.with(relaxation.closing);
            Some(Relaxation { wish: wish(relaxation.wish), closing, ..relaxation })
        };
        let pair = |pair: Pair| {
            let closing = rest?.with(pair.closing);
            Some(Pair { changes: pair.changes.map(|(of, range)| (wish(of), range)), closing, ..pair })
        };
        Collision {
            set: collision.set.into_iter().map(wish).collect(),
            limits: collision.limits.into_iter().map(limit).collect(),
            pairs: collision.pairs.into_iter().filter_map(pair).collect(),
            relaxations: collision.relaxations.into_iter().filter_map(relaxation).collect(),
            ..collision
        }
    }
}

/// The other parts of a problem of which one collides, with their answers in order.
struct Rest<'a> {
    problem: &'a Problem,
    ranking: Ranking,
    parts: &'a [Part],
    place: usize,
    answers: &'a [Answer],
}

impl Rest<'_> {
    /// A closing of the part that collides, with the best of the others.
    fn with(&self, closing: Closing) -> Closing {
        let mut closings: Vec<&Closing> = self.answers.iter().map(|answer| &answer.closings[0]).collect();
        closings.insert(self.place, &closing);
        let heads = Heads::of(self.problem, self.ranking);
        put_together(self.problem, &heads, self.parts, &closings)
    }
}

/// The best of the whole from the best of the parts.
fn together(problem: &Problem, ranking: Ranking, parts: &[Part], answers: Vec<Answer>, limits: &Limits) -> Answer {
    let heads = Heads::of(problem, ranking);
    let keep = limits.keep.max(1);
    // The best choices of one closing from each part so far, with the sum of their shares of the vector.
    let mut picked: Vec<(Vec<i128>, Vec<usize>)> = vec![(vec![0; heads.length(problem)], Vec::new())];
    for (part, answer) in parts.iter().zip(&answers) {
        let shares: Vec<Vec<i128>> =
            answer.closings.iter().map(|closing| heads.share(problem, part, closing)).collect();
        let mut longer = Vec::new();
        for (sum, picks) in &picked {
            for (pick, share) in shares.iter().enumerate() {
                let sum: Vec<i128> = sum.iter().zip(share).map(|(a, b)| a + b).collect();
                longer.push((sum, [picks.as_slice(), &[pick]].concat()));
            }
        }
        longer.sort();
        longer.truncate(keep);
        picked = longer;
    }
    let closings = picked.iter().map(|(_, picks)| {
        let closings: Vec<&Closing> =
            picks.iter().zip(&answers).map(|(&pick, answer)| &answer.closings[pick]).collect();
        put_together(problem, &heads, parts, &closings)
    });
    let closings = closings.collect();
    let found = answers.iter().map(|answer| answer.found).fold(Found { count: 1, capped: false }, |all, found| {
        let count = all.count.saturating_mul(found.count);
        let over = limits.count_cap > 0 && count > limits.count_cap;
        Found { count: if over { limits.count_cap } else { count }, capped: all.capped || found.capped || over }
    });
    let status = answers.iter().map(|answer| answer.status).find(|status| *status != Status::Proven);
    Answer {
        status: status.unwrap_or(Status::Proven),
        closings,
        found,
        steps: answers.iter().map(|answer| answer.steps).sum(),
        proof: apart(parts, answers),
    }
}

/// The proof of the whole, if every part has one.
fn apart(parts: &[Part], answers: Vec<Answer>) -> Option<Proof> {
    let proven = parts.iter().zip(answers).map(|(part, answer)| {
        Some(Apart {
            choices: part.choices.clone(),
            sizes: part.sizes.clone(),
            gaps: part.gaps.clone(),
            runs: part.runs.clone(),
            relations: part.relations.clone(),
            closings: answer.closings,
            proof: answer.proof?,
        })
    });
    proven.collect::<Option<Vec<Apart>>>().map(Proof::Apart)
}

/// One closing of each part, as a closing of the whole.
fn put_together(problem: &Problem, heads: &Heads, parts: &[Part], closings: &[&Closing]) -> Closing {
    let mut whole = Closing {
        choices: vec![0; problem.choices.len()],
        counts: vec![None; problem.runs.len()],
        sizes: vec![0; problem.sizes.len()],
        vector: vec![0; heads.length(problem)],
        gaps: vec![None; problem.runs.len()],
        room: vec![(0, 0); problem.sizes.len()],
    };
    for (part, closing) in parts.iter().zip(closings) {
        part.choices.iter().zip(&closing.choices).for_each(|(&at, &option)| whole.choices[at] = option);
        for (local, &at) in part.sizes.iter().enumerate() {
            (whole.sizes[at], whole.room[at]) = (closing.sizes[local], closing.room[local]);
        }
        for (local, &at) in part.runs.iter().enumerate() {
            (whole.counts[at], whole.gaps[at]) = (closing.counts[local], closing.gaps[local]);
        }
        let share = heads.share(problem, part, closing);
        whole.vector.iter_mut().zip(share).for_each(|(sum, share)| *sum += share);
    }
    whole
}

/// The ranks that stand at the head of a vector: whether the sum of counts comes first, then each rank, gaps behind sizes
/// where the ranking says so.
struct Heads {
    counted: bool,
    late_gaps: bool,
    ranks: Vec<(bool, u32)>,
}

impl Heads {
    fn of(problem: &Problem, ranking: Ranking) -> Heads {
        let late_gaps = ranking == Ranking::SizesFirst;
        let sizes = problem.sizes.iter().map(|size| (false, size.wish.rank));
        let mut ranks: Vec<(bool, u32)> =
            sizes.chain(problem.gaps.iter().map(|gap| (late_gaps, gap.wish.rank))).collect();
        ranks.sort_unstable();
        ranks.dedup();
        Heads { counted: ranking == Ranking::FewestMembers, late_gaps, ranks }
    }

    /// How many entries come before the options: counts, ranks, spread.
    fn count(&self) -> usize {
        usize::from(self.counted) + self.ranks.len() + 1
    }

    fn length(&self, problem: &Problem) -> usize {
        self.count() + problem.choices.len() + problem.sizes.len() + problem.runs.len()
    }

    /// What a closing of a part adds to the vector of the whole.
    fn share(&self, problem: &Problem, part: &Part, closing: &Closing) -> Vec<i128> {
        let mut share = vec![0; self.length(problem)];
        let own = self.within(problem, part);
        let entries = own.into_iter().zip(&closing.vector);
        entries.for_each(|(at, &entry)| share[at] = entry);
        share
    }

    /// Where each entry of a part's own vector stands in the vector of the whole.
    fn within(&self, problem: &Problem, part: &Part) -> Vec<usize> {
        let sizes = part.sizes.iter().map(|&size| (false, problem.sizes[size].wish.rank));
        let gaps = part.gaps.iter().map(|&gap| (self.late_gaps, problem.gaps[gap].wish.rank));
        let mut ranks: Vec<(bool, u32)> = sizes.chain(gaps).collect();
        ranks.sort_unstable();
        ranks.dedup();
        let first = usize::from(self.counted);
        let ranked = ranks.iter().map(|rank| first + self.ranks.binary_search(rank).unwrap_or(0));
        let mut places: Vec<usize> = (0..first).chain(ranked).collect();
        let heads = self.count();
        places.push(heads - 1);
        places.extend(part.choices.iter().map(|choice| heads + choice));
        places.extend(part.sizes.iter().map(|size| heads + problem.choices.len() + size));
        places.extend(part.runs.iter().map(|run| heads + problem.choices.len() + problem.sizes.len() + run));
        places
    }
}
