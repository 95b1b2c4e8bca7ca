//! Replays the covering tree of the search for closings, from the definitions of what it claims.
//!
//! The referee keeps its own ranges, narrowed by the linear limits alone. A row that exists asks of its face `F`, its count
//! `n` and its gap `g⁻` to `g⁺`: `F - n (member + per g⁻) - ends g⁻ ≥ 0`, `n (member + per g⁺) + ends g⁺ - F ≥ 0` and
//! `n per + ends ≥ 0`; a limit asks two more. Each moves the ends of the ranges to where the others at their best still
//! satisfy it, until nothing moves.
//!
//! A leaf is *empty* if nothing is left; *listed* if options and counts are those of a closing in the list and nothing in it
//! can be better than that; *bound* if nothing in it can be better than the last that is listed. A cut must leave nothing out:
//! what its branches do not cover has to be empty.

use crate::claims::{Closing, Fit, Kind, Tree};
use crate::fitting::{About, Ranking, down, ranks, up};

/// Rounds of narrowing and of holding; more than any plan has needed, and fewer are only a weaker bound.
const ROUNDS: usize = 400;
const HOLDS: usize = 20;

/// Replays a tree.
///
/// # Errors
/// What does not hold.
pub(super) fn replay(fit: &Fit, tree: &Tree) -> Result<(), String> {
    let referee = Referee::new(fit);
    referee.walk(referee.start(), tree)
}

type Range = (i128, i128);

/// What is still open.
#[derive(Clone, PartialEq)]
struct Open {
    options: Vec<(usize, usize)>,
    sizes: Vec<Range>,
    counts: Vec<Range>,
    gaps: Vec<Range>,
}

/// A straight sum of sizes, each once.
struct Sum {
    terms: Vec<(usize, i128)>,
    constant: i128,
}

/// An inequality: a sum of sizes, the same `times` over, and a count `factor` times over, and a constant are not below nothing.
struct Asks<'r> {
    sum: &'r Sum,
    times: i128,
    count: Option<(usize, i128)>,
    constant: i128,
}

struct Referee<'f> {
    fit: &'f Fit,
    faces: Vec<Sum>,
    limits: Vec<Sum>,
    ranks: Vec<Vec<About>>,
}

/// Nothing is left.
struct Nothing;

fn straight(terms: &[(usize, i64)], constant: i64) -> Sum {
    let mut sum = Sum { terms: Vec::new(), constant: constant.into() };
    for &(size, factor) in terms {
        match sum.terms.iter_mut().find(|term| term.0 == size) {
            Some(term) => term.1 += i128::from(factor),
            None => sum.terms.push((size, factor.into())),
        }
    }
    sum.terms.retain(|term| term.1 != 0);
    sum.terms.sort_unstable();
    sum
}

/// The most that a range gives, so many times over.
fn best(range: Range, factor: i128) -> i128 {
    factor * if factor > 0 { range.1 } else { range.0 }
}

/// The part of a range in which the others at their best still satisfy an inequality that has `most` to give.
fn narrowed(range: Range, factor: i128, most: i128) -> Range {
    match factor.signum() {
        1 => (range.0.max(range.1 - down(most, factor)), range.1),
        -1 => (range.0, range.1.min(range.0 + down(most, -factor))),
        _ => range,
    }
}

/// How far a range lies from a point.
fn away(range: Range, point: i128) -> i128 {
    (range.0 - point).max(point - range.1).max(0)
}

impl<'f> Referee<'f> {
    fn new(fit: &'f Fit) -> Referee<'f> {
        Referee {
            fit,
            faces: fit.runs.iter().map(|run| straight(&run.terms, run.constant)).collect(),
            limits: fit.relations.iter().map(|limit| straight(&limit.terms, limit.constant)).collect(),
            ranks: ranks(fit, Ranking::AsWished),
        }
    }

    fn start(&self) -> Open {
        let fit = self.fit;
        let whole = |from: i64, to: i64| (i128::from(from), i128::from(to));
        Open {
            options: fit.choices.iter().map(|choice| (0, choice.1.len().saturating_sub(1))).collect(),
            sizes: fit.sizes.iter().map(|size| whole(size.wish.from, size.wish.to)).collect(),
            counts: fit.runs.iter().map(|run| whole(run.count.0.max(1), run.count.1)).collect(),
            gaps: fit.gaps.iter().map(|gap| whole(gap.from, gap.to)).collect(),
        }
    }

    fn walk(&self, mut open: Open, tree: &Tree) -> Result<(), String> {
        if self.narrow(&mut open).is_err() {
            return Ok(());
        }
        match tree {
            Tree::Empty => Err("a branch is said to be empty and is not".into()),
            Tree::Bound => {
                let last = self.fit.closings.last().ok_or("a branch is bounded by an empty list")?;
                self.no_better(&open, last).then_some(()).ok_or_else(|| "a branch could hold a better closing".into())
            }
            Tree::Listed(at) => {
                let closing = self.fit.closings.get(*at).ok_or("a branch ends on a closing that is not listed")?;
                let same = self.is_closing(&open, closing) && self.no_better(&open, closing);
                same.then_some(()).ok_or_else(|| {
                    format!("a branch that ends on closing {} could hold another or a better one", at + 1)
                })
            }
            Tree::Split { kind: Kind::Choice, index, parts } => self.choose(&open, *index, parts),
            Tree::Split { kind, index, parts } => self.divide(&open, *kind, *index, parts),
        }
    }

    fn choose(&self, open: &Open, index: usize, parts: &[(i64, i64, Tree)]) -> Result<(), String> {
        let &(first, last) = open.options.get(index).ok_or("a cut at a choice that is not there")?;
        for option in first..=last {
            let covers = |part: &&(i64, i64, Tree)| (part.0..=part.1).contains(&(option as i64));
            let part =
                parts.iter().find(covers).ok_or_else(|| format!("option {option} of choice {index} is left out"))?;
            let mut within = open.clone();
            within.options[index] = (option, option);
            self.walk(within, &part.2)?;
        }
        Ok(())
    }

    fn divide(&self, open: &Open, kind: Kind, index: usize, parts: &[(i64, i64, Tree)]) -> Result<(), String> {
        let ranges = if kind == Kind::Size { &open.sizes } else { &open.counts };
        let &(low, high) = ranges.get(index).ok_or("a cut at a size or a row that is not there")?;
        let held = |range: Range| {
            let mut within = open.clone();
            let ranges = if kind == Kind::Size { &mut within.sizes } else { &mut within.counts };
            ranges[index] = range;
            within
        };
        let empty = |range: Range| range.0 > range.1 || self.narrow(&mut held(range)).is_err();
        let mut next = low;
        for (from, to, below) in parts {
            let (from, to) = (i128::from(*from), i128::from(*to));
            if !empty((next, (from - 1).min(high))) {
                return Err(format!("a cut leaves out {next} to {}", from - 1));
            }
            let range = (from.max(low), to.min(high));
            if range.0 <= range.1 {
                self.walk(held(range), below)?;
            }
            next = next.max(to + 1);
        }
        if empty((next, high)) { Ok(()) } else { Err(format!("a cut leaves out {next} to {high}")) }
    }

    /// Whether everything that something needs is chosen.
    fn certain(open: &Open, when: &[(usize, usize)]) -> bool {
        when.iter().all(|&(choice, option)| open.options[choice] == (option, option))
    }

    fn rows<'o>(&'o self, open: &'o Open) -> impl Iterator<Item = usize> + 'o {
        (0..self.faces.len()).filter(|&run| Self::certain(open, &self.fit.runs[run].when))
    }

    fn is_closing(&self, open: &Open, closing: &Closing) -> bool {
        let options = open.options.iter().zip(&closing.choices).all(|(open, &option)| *open == (option, option));
        let counts = closing.counts.iter().enumerate().all(|(run, count)| {
            let certain = Self::certain(open, &self.fit.runs[run].when);
            match count {
                Some(count) => certain && open.counts[run] == (i128::from(*count), i128::from(*count)),
                None => !certain,
            }
        });
        options && counts
    }

    fn snap(&self, size: usize, range: Range) -> Range {
        let asked = &self.fit.sizes[size];
        let (origin, step) = (i128::from(asked.origin), i128::from(asked.step));
        (range.0 + (origin - range.0).rem_euclid(step), range.1 - (range.1 - origin).rem_euclid(step))
    }

    /// What a row takes of its length for each member, and for its ends, with a gap.
    fn takes(&self, run: usize, gap: i128) -> Range {
        let run = &self.fit.runs[run];
        (i128::from(run.member) + i128::from(run.gaps_per_member) * gap, i128::from(run.end_gaps) * gap)
    }

    /// The inequalities of what exists for certain, rows first.
    fn asks<'o>(&'o self, open: &'o Open) -> impl Iterator<Item = Asks<'o>> + 'o {
        let rows = self.rows(open).flat_map(move |run| {
            let (narrow, wide) = open.gaps[self.fit.runs[run].gap];
            let sum = &self.faces[run];
            let (least, most) = (self.takes(run, narrow), self.takes(run, wide));
            [
                Asks { sum, times: 1, count: Some((run, -least.0)), constant: sum.constant - least.1 },
                Asks { sum, times: -1, count: Some((run, most.0)), constant: most.1 - sum.constant },
            ]
        });
        let limits = self.limits.iter().zip(&self.fit.relations).filter(|(_, limit)| Self::certain(open, &limit.when));
        rows.chain(limits.flat_map(|(sum, limit)| {
            let (from, to) = (i128::from(limit.from), i128::from(limit.to));
            [
                Asks { sum, times: 1, count: None, constant: sum.constant - from },
                Asks { sum, times: -1, count: None, constant: to - sum.constant },
            ]
        }))
    }

    /// Narrows all ranges until nothing moves.
    fn narrow(&self, open: &mut Open) -> Result<(), Nothing> {
        for _ in 0..ROUNDS {
            let before = (open.sizes.clone(), open.counts.clone());
            for size in 0..open.sizes.len() {
                open.sizes[size] = self.snap(size, open.sizes[size]);
            }
            let asked =
                Open { options: open.options.clone(), gaps: open.gaps.clone(), sizes: Vec::new(), counts: Vec::new() };
            for run in self.rows(&asked) {
                self.narrow_places(open, run);
            }
            for asks in self.asks(&asked) {
                asks.narrow(open)?;
            }
            let counts = self.rows(&asked).all(|run| open.counts[run].0 <= open.counts[run].1);
            if !counts || open.sizes.iter().any(|range| range.0 > range.1) {
                return Err(Nothing);
            }
            if before == (open.sizes.clone(), open.counts.clone()) {
                break;
            }
        }
        Ok(())
    }

    /// A row has no fewer gaps than none, and none at all where no gap is allowed.
    fn narrow_places(&self, open: &mut Open, run: usize) {
        let asked = &self.fit.runs[run];
        let (per, ends) = (i128::from(asked.gaps_per_member), i128::from(asked.end_gaps));
        let none = open.gaps[asked.gap].0 > open.gaps[asked.gap].1;
        let count = &mut open.counts[run];
        if per > 0 {
            count.0 = count.0.max(up(-ends, per));
            if none {
                count.1 = count.1.min(down(-ends, per));
            }
        } else if ends < 0 || (none && ends > 0) {
            *count = (1, 0);
        }
    }

    /// Whether nothing in the ranges can have a lesser vector than a closing: rank by rank, holding it below the closing's
    /// value leaves nothing, and it is then held to that value.
    fn no_better(&self, open: &Open, closing: &Closing) -> bool {
        let own: Vec<i128> = closing.vector.iter().map(|&entry| entry.into()).collect();
        let mut tight = open.clone();
        for (rank, &value) in self.ranks.iter().zip(&own) {
            if self.hold(&mut tight.clone(), rank, value - 1).is_ok() {
                return false;
            }
            if self.hold(&mut tight, rank, value).is_err() {
                return true;
            }
        }
        self.tail(&tight).into_iter().cmp(own.into_iter().skip(self.ranks.len())).is_ge()
    }

    /// The least of what follows the ranks in a vector: spread, options, sizes, counts.
    fn tail(&self, tight: &Open) -> Vec<i128> {
        let mut least = Vec::new();
        least.push((0..tight.gaps.len()).map(|gap| self.spread(tight, gap)).sum());
        least.extend(tight.options.iter().map(|option| option.0 as i128));
        least.extend(tight.sizes.iter().map(|range| range.0));
        let counts = (0..self.faces.len())
            .map(|run| if Self::certain(tight, &self.fit.runs[run].when) { tight.counts[run].0 } else { 0 });
        least.extend(counts);
        least
    }

    /// Holds the wishes of a rank, summed, to a value: each to what the least of the others leaves it, until nothing moves.
    fn hold(&self, tight: &mut Open, rank: &[About], value: i128) -> Result<(), Nothing> {
        let mut known = Vec::new();
        for _ in 0..HOLDS {
            let each: Vec<i128> = rank.iter().map(|&about| self.off(tight, about)).collect();
            let alone: i128 = each.iter().sum();
            if alone + self.beyond(tight, rank, &each) > value {
                return Err(Nothing);
            }
            if each == known {
                break;
            }
            for (&about, off) in rank.iter().zip(&each) {
                self.hold_to(tight, about, value - (alone - off));
            }
            self.narrow(tight)?;
            known = each;
        }
        Ok(())
    }

    fn want(&self, about: About) -> i128 {
        match about {
            About::Size(at) => self.fit.sizes[at].wish.want.into(),
            About::Gap(at) => self.fit.gaps[at].want.into(),
        }
    }

    fn hold_to(&self, tight: &mut Open, about: About, distance: i128) {
        let want = self.want(about);
        let range = match about {
            About::Size(at) => &mut tight.sizes[at],
            About::Gap(at) => &mut tight.gaps[at],
        };
        *range = (range.0.max(want - distance), range.1.min(want + distance));
    }

    /// How far a wish lies off at least.
    fn off(&self, open: &Open, about: About) -> i128 {
        let want = self.want(about);
        match about {
            About::Size(at) => {
                let (low, high) = open.sizes[at];
                let aim = want.clamp(low, high);
                let (above, below) = self.snap(at, (aim, aim));
                (above.min(high) - want).abs().min((below.max(low) - want).abs())
            }
            About::Gap(gap) => {
                let rows = self.rows(open).filter(|&run| self.fit.runs[run].gap == gap);
                rows.map(|run| self.gap_off(open, run, want)).max().unwrap_or(0)
            }
        }
    }

    fn places(&self, open: &Open, run: usize) -> Range {
        let count = open.counts[run];
        let asked = &self.fit.runs[run];
        (crate::fitting::places(asked, count.0), crate::fitting::places(asked, count.1))
    }

    /// What a row's length exceeds its members and gaps by, with a gap: least and most.
    fn excess(&self, open: &Open, run: usize, gap: i128) -> Range {
        let (each, ends) = self.takes(run, gap);
        let sum = &self.faces[run];
        let least = |sign: i128| {
            let sizes = sum.terms.iter().map(|&(size, factor)| best(open.sizes[size], factor * sign));
            sizes.sum::<i128>() + best(open.counts[run], -each * sign) + (sum.constant - ends) * sign
        };
        (-least(-1), least(1))
    }

    fn gap_off(&self, open: &Open, run: usize, want: i128) -> i128 {
        let most = self.places(open, run).1;
        if most <= 0 {
            return 0;
        }
        let (low, high) = self.excess(open, run, want);
        up(low.max(-high).max(0), most)
    }

    /// How far the gaps of one kind lie apart at least, each taken down to the nanometre.
    fn spread(&self, open: &Open, gap: usize) -> i128 {
        let (mut least, mut most) = (i128::MIN, i128::MAX);
        for run in self.rows(open).filter(|&run| self.fit.runs[run].gap == gap) {
            let places = self.places(open, run);
            if places.0 <= 0 {
                continue;
            }
            let (mut low, mut high) = open.gaps[gap];
            if places.0 == places.1 {
                let (from, to) = self.excess(open, run, 0);
                (low, high) = (low.max(down(from, places.0)), high.min(down(to, places.0)));
            }
            (least, most) = (least.max(low), most.min(high));
        }
        if least > most { least - most } else { 0 }
    }

    /// What single inequalities cost beyond each wish on its own. An inequality that is still short with every wish of the
    /// rank at its best costs the least that any one of its sizes can make up for; those that share no size add up.
    fn beyond(&self, open: &Open, rank: &[About], each: &[i128]) -> i128 {
        let charged: Vec<Option<i128>> = (0..open.sizes.len())
            .map(|size| rank.iter().position(|&about| about == About::Size(size)).map(|at| each[at]))
            .collect();
        let mut gains: Vec<(i128, &Sum)> = Vec::new();
        for asks in self.asks(open) {
            let gain = self.gain(open, &asks, &charged);
            if gain > 0 {
                gains.push((gain, asks.sum));
            }
        }
        gains.sort_by_key(|gain| -gain.0);
        let mut used = vec![false; open.sizes.len()];
        let mut total = 0;
        for (gain, sum) in gains {
            let own = || sum.terms.iter().map(|term| term.0).filter(|&size| charged[size].is_some());
            if own().all(|size| !used[size]) {
                own().collect::<Vec<usize>>().into_iter().for_each(|size| used[size] = true);
                total += gain;
            }
        }
        total
    }

    fn gain(&self, open: &Open, asks: &Asks<'_>, charged: &[Option<i128>]) -> i128 {
        let mut most = asks.constant + asks.count.map_or(0, |(run, factor)| best(open.counts[run], factor));
        let mut already = 0;
        let mut largest: Option<i128> = None;
        for &(size, factor) in &asks.sum.terms {
            let range = open.sizes[size];
            match charged[size] {
                None => most += best(range, factor * asks.times),
                Some(off) => {
                    let want = self.want(About::Size(size));
                    most += want.clamp(range.0, range.1) * factor * asks.times;
                    already += off - away(range, want);
                    largest = Some(largest.map_or(factor.abs(), |largest| largest.max(factor.abs())));
                }
            }
        }
        match largest {
            Some(largest) if most < 0 => up(-most, largest) - already,
            _ => 0,
        }
    }
}

impl Asks<'_> {
    fn narrow(&self, open: &mut Open) -> Result<(), Nothing> {
        let counted = self.count.map_or(0, |(run, factor)| best(open.counts[run], factor));
        let sizes = self.sum.terms.iter().map(|&(size, factor)| best(open.sizes[size], factor * self.times));
        let most = sizes.sum::<i128>() + counted + self.constant;
        if most < 0 {
            return Err(Nothing);
        }
        for &(size, factor) in &self.sum.terms {
            open.sizes[size] = narrowed(open.sizes[size], factor * self.times, most);
        }
        if let Some((run, factor)) = self.count {
            open.counts[run] = narrowed(open.counts[run], factor, most);
        }
        Ok(())
    }
}
