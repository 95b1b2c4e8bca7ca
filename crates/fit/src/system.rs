//! The problem made ready for work: checked once, faces summed up, the objective put in order.
//!
//! After [`check`] no sum or product in this crate leaves `i128`: every quantity is shown to stay below 2^120.

use crate::bounds::bit;
use crate::problem::*;

/// Largest magnitude that any sum may reach; products with small factors still fit an `i128`.
pub(crate) const LARGEST: i128 = 1 << 120;

/// What is still open: options, sizes, gaps and counts, each a range with its ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Ranges {
    pub options: Vec<(usize, usize)>,
    pub sizes: Vec<(i128, i128)>,
    pub gaps: Vec<(i128, i128)>,
    pub counts: Vec<(i128, i128)>,
}

/// One wish inside one component of the objective: weight times the distance from `core`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Term {
    pub of: WishRef,
    pub weight: i128,
    pub core: (i128, i128),
}

/// One component of the objective, before the tail of spread, options, sizes and counts.
#[derive(Debug, Clone)]
pub(crate) enum Component {
    Wishes {
        terms: Vec<Term>,
        /// Every value that the component can take is a multiple of this.
        unit: i128,
    },
    Members,
}

/// Sum of factor times size, each size once, and a constant.
#[derive(Debug, Clone)]
pub(crate) struct Sum {
    pub terms: Vec<(usize, i128)>,
    pub constant: i128,
    /// Bits of its sizes, for the propagation.
    pub bits: u64,
}

/// A problem with its ranges, sums and objective laid out.
#[derive(Debug, Clone)]
pub(crate) struct System<'a> {
    pub problem: &'a Problem,
    /// Faces of the runs, times their `gap_scale`.
    pub faces: Vec<Sum>,
    pub relations: Vec<Sum>,
    /// What each run takes, over the whole range of its gap.
    pub pitches: Vec<Pitch>,
    /// For each size, the runs that hang on it alone.
    pub alone: Vec<Vec<usize>>,
    pub components: Vec<Component>,
    pub start: Ranges,
    pub run_counts: Vec<bool>,
    pub relation_counts: Vec<bool>,
    /// Runs that may exist; those left out do not count.
    pub runs: Vec<usize>,
    /// Relations that may hold; those left out do not count.
    pub held: Vec<usize>,
    /// All options are fixed, and what counts exists.
    pub settled: bool,
}

impl<'a> System<'a> {
    /// Checks the problem and lays it out.
    pub fn new(problem: &'a Problem, ranking: Ranking) -> Result<Self, Fault> {
        check(problem)?;
        let faces: Vec<Sum> = problem.runs.iter().map(|run| sum(&run.face, i128::from(run.gap_scale))).collect();
        let mut alone = vec![Vec::new(); problem.sizes.len()];
        for (run, face) in faces.iter().enumerate() {
            if let [(size, _)] = face.terms[..] {
                alone[size].push(run);
            }
        }
        Ok(Self {
            problem,
            relations: problem.relations.iter().map(|r| sum(&r.value, 1)).collect(),
            pitches: problem.runs.iter().map(|run| pitch(problem, run)).collect(),
            alone,
            components: components(problem, ranking),
            start: start(problem),
            run_counts: vec![true; problem.runs.len()],
            relation_counts: vec![true; problem.relations.len()],
            runs: (0..faces.len()).collect(),
            held: (0..problem.relations.len()).collect(),
            settled: false,
            faces,
        })
    }

    /// The system under fixed options: what does not exist does not count.
    pub fn under(&self, ranges: &Ranges) -> Self {
        let mut own = self.clone();
        own.settled = true;
        for run in 0..own.run_counts.len() {
            own.run_counts[run] = self.run_holds(ranges, run) == Some(true);
        }
        for relation in 0..own.relation_counts.len() {
            own.relation_counts[relation] = self.relation_holds(ranges, relation) == Some(true);
        }
        own.leave_out();
        own
    }

    /// Passes over what does not count from now on.
    pub fn leave_out(&mut self) {
        let (runs, relations) = (&self.run_counts, &self.relation_counts);
        self.runs.retain(|&run| runs[run]);
        self.held.retain(|&relation| relations[relation]);
        for own in &mut self.alone {
            own.retain(|&run| runs[run]);
        }
    }

    /// Leaves out the relations that hold all over the start ranges: they can narrow nothing.
    pub fn leave_out_idle(&mut self) {
        let start: Vec<(i128, i128)> = self.start.sizes.clone();
        for (relation, value) in self.relations.iter().enumerate() {
            let item = &self.problem.relations[relation];
            let ends = value.terms.iter().fold((value.constant, value.constant), |ends, &(size, factor)| {
                let (a, b) = (factor * start[size].0, factor * start[size].1);
                (ends.0 + a.min(b), ends.1 + a.max(b))
            });
            let idle = i128::from(item.from) <= ends.0 && ends.1 <= i128::from(item.to);
            self.relation_counts[relation] &= !idle;
        }
        self.leave_out();
    }

    /// Whether a run exists: `None` while a choice is open.
    #[inline]
    pub fn run_holds(&self, ranges: &Ranges, run: usize) -> Option<bool> {
        if self.settled || !self.run_counts[run] {
            return Some(self.run_counts[run]);
        }
        holds(&self.problem.runs[run].when, &ranges.options)
    }

    /// Whether a relation holds: `None` while a choice is open.
    pub fn relation_holds(&self, ranges: &Ranges, relation: usize) -> Option<bool> {
        if self.settled || !self.relation_counts[relation] {
            return Some(self.relation_counts[relation]);
        }
        holds(&self.problem.relations[relation].when, &ranges.options)
    }

    /// Runs that exist for certain.
    pub fn live_runs<'s>(&'s self, ranges: &'s Ranges) -> impl Iterator<Item = usize> + 's {
        self.runs.iter().copied().filter(|&run| self.run_holds(ranges, run) == Some(true))
    }

    /// First grid point at or above `x`.
    pub fn snap_up(&self, size: usize, x: i128) -> i128 {
        let axis = &self.problem.sizes[size];
        x + remainder(i128::from(axis.origin) - x, axis.step)
    }

    /// Last grid point at or below `x`.
    pub fn snap_down(&self, size: usize, x: i128) -> i128 {
        let axis = &self.problem.sizes[size];
        x - remainder(x - i128::from(axis.origin), axis.step)
    }

    /// Step of a size's grid.
    pub fn step(&self, size: usize) -> i128 {
        i128::from(self.problem.sizes[size].step)
    }

    /// Inequalities of a run for the gap range in `ranges`.
    pub fn limits_of(&self, ranges: &Ranges, run: usize) -> Pitch {
        let pitch = self.pitches[run];
        let (low, high) = ranges.gaps[pitch.gap];
        Pitch { low, high, ..pitch }
    }
}

/// What a run of `n` takes, in parts of `1 / gap_scale`: `n * (member + per * g) + ends * g` for `g` from `low` to `high`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pitch {
    pub gap: usize,
    pub per: i128,
    pub ends: i128,
    pub member: i128,
    pub low: i128,
    pub high: i128,
}

impl Pitch {
    /// Pitch at a gap.
    pub fn at(&self, gap: i128) -> i128 {
        self.member + self.per * gap
    }

    /// Length taken by `n` with a gap.
    pub fn takes(&self, n: i128, gap: i128) -> i128 {
        n * self.at(gap) + self.ends * gap
    }

    /// Places shared by the gap, in parts.
    pub fn places(&self, n: i128) -> i128 {
        n * self.per + self.ends
    }
}

fn pitch(problem: &Problem, run: &Run) -> Pitch {
    let scale = i128::from(run.gap_scale);
    let (low, high) = wide((problem.gaps[run.gap].wish.from, problem.gaps[run.gap].wish.to));
    Pitch {
        gap: run.gap,
        per: i128::from(run.gaps_per_member) * scale,
        ends: i128::from(run.end_gaps),
        member: i128::from(run.member) * scale,
        low,
        high,
    }
}

/// `ceil(a / b)` for positive `b`.
#[inline]
pub(crate) fn ceil_div(a: i128, b: i128) -> i128 {
    -floor_div(-a, b)
}

/// `a` modulo a positive step, by the short division where it is short.
#[inline]
fn remainder(a: i128, step: i64) -> i128 {
    match i64::try_from(a) {
        Ok(a) => i128::from(a.rem_euclid(step)),
        Err(_) => a.rem_euclid(i128::from(step)),
    }
}

/// `floor(a / b)` for positive `b`, by the short division where both are short.
#[inline]
pub(crate) fn floor_div(a: i128, b: i128) -> i128 {
    match (i64::try_from(a), i64::try_from(b)) {
        (Ok(a), Ok(b)) => i128::from(a.div_euclid(b)),
        _ => a.div_euclid(b),
    }
}

#[inline]
fn holds(when: &[(usize, usize)], options: &[(usize, usize)]) -> Option<bool> {
    let mut certain = true;
    for &(choice, option) in when {
        let (first, last) = options[choice];
        if option < first || option > last {
            return Some(false);
        }
        certain &= first == last;
    }
    certain.then_some(true)
}

fn sum(affine: &Affine, factor: i128) -> Sum {
    let mut terms: Vec<(usize, i128)> = Vec::new();
    for &(size, coefficient) in &affine.terms {
        let add = i128::from(coefficient) * factor;
        match terms.iter_mut().find(|(known, _)| *known == size) {
            Some((_, total)) => *total += add,
            None => terms.push((size, add)),
        }
    }
    terms.retain(|&(_, coefficient)| coefficient != 0);
    terms.sort_unstable();
    Sum {
        bits: terms.iter().fold(0, |bits, &(size, _)| bits | bit(size)),
        terms,
        constant: i128::from(affine.constant) * factor,
    }
}

fn wide(range: (i64, i64)) -> (i128, i128) {
    (i128::from(range.0), i128::from(range.1))
}

fn start(problem: &Problem) -> Ranges {
    Ranges {
        options: problem
            .choices
            .iter()
            .map(|choice| match choice.pinned {
                Some(option) => (option, option),
                None => (0, choice.options.len() - 1),
            })
            .collect(),
        sizes: problem.sizes.iter().map(|size| wide((size.wish.from, size.wish.to))).collect(),
        gaps: problem.gaps.iter().map(|gap| wide((gap.wish.from, gap.wish.to))).collect(),
        counts: problem.runs.iter().map(|run| (i128::from(run.count.0.max(1)), i128::from(run.count.1))).collect(),
    }
}

/// The wish as a term of the objective.
fn term(of: WishRef, wish: &Wish) -> Term {
    let want = i128::from(wish.want);
    Term { of, weight: i128::from(wish.weight), core: (want, want) }
}

/// Sizes stay on their grids, so their deviations do too; gaps are real and rounded up to 1.
pub(crate) fn unit(problem: &Problem, terms: &[Term]) -> i128 {
    let mut common = 0;
    for term in terms.iter().filter(|term| term.weight > 0) {
        let WishRef::Size(size) = term.of else {
            return 1;
        };
        let axis = &problem.sizes[size];
        let offset = i128::from(axis.origin) - i128::from(axis.wish.want);
        let own = gcd(offset.abs(), i128::from(axis.step));
        common = gcd(common, term.weight * own);
    }
    common.max(1)
}

fn gcd(a: i128, b: i128) -> i128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn components(problem: &Problem, ranking: Ranking) -> Vec<Component> {
    let sizes = problem.sizes.iter().enumerate();
    let gaps = problem.gaps.iter().enumerate();
    let late = u64::from(u32::MAX) + 1;
    let gaps_after = if ranking == Ranking::SizesFirst { late } else { 0 };
    let mut ranked: Vec<(u64, Term)> = sizes
        .map(|(i, size)| {
            let rank = u64::from(size.wish.rank);
            (rank, term(WishRef::Size(i), &size.wish))
        })
        .chain(gaps.map(|(i, gap)| {
            let rank = u64::from(gap.wish.rank) + gaps_after;
            (rank, term(WishRef::Gap(i), &gap.wish))
        }))
        .collect();
    ranked.sort_by_key(|&(rank, term)| (rank, term.of));
    let mut all = Vec::new();
    if ranking == Ranking::FewestMembers {
        all.push(Component::Members);
    }
    for group in ranked.chunk_by(|a, b| a.0 == b.0) {
        let terms: Vec<Term> = group.iter().map(|&(_, term)| term).collect();
        let unit = unit(problem, &terms);
        all.push(Component::Wishes { terms, unit });
    }
    all
}

/// Refuses nonsense: bad indices, empty ranges, steps below 1, and numbers whose exact sums could leave `i128`.
pub(crate) fn check(problem: &Problem) -> Result<(), Fault> {
    for (i, choice) in problem.choices.iter().enumerate() {
        let at = || format!("choice {i} `{}`", choice.name);
        demand(!choice.options.is_empty(), at, 0, "at least one option")?;
        if let Some(option) = choice.pinned {
            inside(at, option, choice.options.len())?;
        }
    }
    for (i, size) in problem.sizes.iter().enumerate() {
        let at = || format!("size {i} `{}`", size.name);
        demand(size.step >= 1, at, size.step, "a step of at least 1")?;
        check_wish(at, &size.wish)?;
    }
    for (i, gap) in problem.gaps.iter().enumerate() {
        check_wish(|| format!("gap {i} `{}`", gap.name), &gap.wish)?;
    }
    for (i, run) in problem.runs.iter().enumerate() {
        check_run(problem, i, run)?;
    }
    for (i, relation) in problem.relations.iter().enumerate() {
        let at = || format!("relation {i} `{}`", relation.name);
        check_when(problem, at, &relation.when)?;
        check_affine(problem, at, &relation.value)?;
        let ordered = relation.from <= relation.to;
        demand(ordered, at, relation.from, "not above `to`")?;
        magnitude(problem, &relation.value, 1).ok_or_else(|| Fault::Overflow { at: at() })?;
    }
    check_objective(problem)
}

fn demand(holds: bool, at: impl Fn() -> String, value: i64, expected: &'static str) -> Result<(), Fault> {
    if holds {
        return Ok(());
    }
    Err(Fault::Value { at: at(), value, expected })
}

fn inside(at: impl Fn() -> String, index: usize, len: usize) -> Result<(), Fault> {
    if index < len {
        return Ok(());
    }
    Err(Fault::Index { at: at(), index, len })
}

fn check_wish(at: impl Fn() -> String + Copy, wish: &Wish) -> Result<(), Fault> {
    demand(wish.from <= wish.to, at, wish.from, "`from` not above `to`")?;
    let reach = wish.reach;
    demand(reach.0 <= reach.1, at, reach.0, "a reach in ascending order")?;
    demand(wish.weight >= 0, at, wish.weight, "a weight not negative")
}

fn check_when(problem: &Problem, at: impl Fn() -> String + Copy, when: &[(usize, usize)]) -> Result<(), Fault> {
    for &(choice, option) in when {
        inside(at, choice, problem.choices.len())?;
        inside(at, option, problem.choices[choice].options.len())?;
    }
    Ok(())
}

fn check_affine(problem: &Problem, at: impl Fn() -> String + Copy, affine: &Affine) -> Result<(), Fault> {
    for &(size, _) in &affine.terms {
        inside(at, size, problem.sizes.len())?;
    }
    Ok(())
}

fn check_run(problem: &Problem, i: usize, run: &Run) -> Result<(), Fault> {
    let at = || format!("run {i} `{}`", run.name);
    check_when(problem, at, &run.when)?;
    check_affine(problem, at, &run.face)?;
    inside(at, run.gap, problem.gaps.len())?;
    demand(run.member >= 0, at, run.member, "a member not negative")?;
    let per = run.gaps_per_member;
    demand(per >= 0, at, per, "gaps per member not negative")?;
    let scale = run.gap_scale;
    demand(scale >= 1, at, scale, "a gap scale of at least 1")?;
    let least = i128::from(run.member) + i128::from(per) * i128::from(problem.gaps[run.gap].wish.from);
    demand(least > 0, at, run.member, "a repeat that is longer than nothing at its least gap")?;
    let ordered = run.count.0 <= run.count.1;
    demand(ordered, at, run.count.0, "a count range in ascending order")?;
    run_magnitude(problem, run).ok_or_else(|| Fault::Overflow { at: at() })?;
    Ok(())
}

/// Greatest magnitude of a wish's values.
fn extent(wish: &Wish) -> i128 {
    [wish.want, wish.from, wish.to, wish.reach.0, wish.reach.1]
        .into_iter()
        .map(|value| i128::from(value).abs())
        .max()
        .unwrap_or(0)
}

fn bounded(value: i128) -> Option<i128> {
    (value <= LARGEST).then_some(value)
}

/// Greatest magnitude of a sum times `factor`, if it is small enough.
fn magnitude(problem: &Problem, affine: &Affine, factor: i64) -> Option<i128> {
    let constant = i128::from(affine.constant).abs();
    let total = affine.terms.iter().try_fold(constant, |total, &(size, coefficient)| {
        let item = &problem.sizes[size];
        let value = extent(&item.wish) + i128::from(item.step);
        let product = i128::from(coefficient).abs().checked_mul(value)?;
        total.checked_add(product)
    })?;
    bounded(total.checked_mul(i128::from(factor))?)
}

fn run_magnitude(problem: &Problem, run: &Run) -> Option<i128> {
    let face = magnitude(problem, &run.face, run.gap_scale)?;
    let gap = extent(&problem.gaps[run.gap].wish).checked_mul(2)?;
    let scale = i128::from(run.gap_scale);
    let per = i128::from(run.gaps_per_member).checked_mul(scale)?;
    let member = i128::from(run.member).checked_mul(scale)?;
    let pitch = per.checked_mul(gap)?.checked_add(member)?;
    let count = i128::from(run.count.0).abs().max(i128::from(run.count.1).abs());
    let members = count.checked_mul(pitch)?;
    let ends = i128::from(run.end_gaps).abs().checked_mul(gap)?;
    let places = count.checked_mul(per)?;
    bounded(places)?;
    bounded(face.checked_add(members)?.checked_add(ends)?)
}

fn check_objective(problem: &Problem) -> Result<(), Fault> {
    let sizes = problem.sizes.iter().map(|size| (&size.name, &size.wish));
    let gaps = problem.gaps.iter().map(|gap| (&gap.name, &gap.wish));
    let mut total: i128 = 0;
    for (name, wish) in sizes.chain(gaps) {
        total = (extent(wish) * 2)
            .checked_mul(i128::from(wish.weight))
            .and_then(|product| total.checked_add(product))
            .and_then(bounded)
            .ok_or_else(|| Fault::Overflow { at: format!("weight of `{name}`") })?;
    }
    Ok(())
}
