//! Where few enough combinations are left, every one of them.
//!
//! Choices by turn; of each size the points at which the rows and limits that hang on it alone hold; then every combination.

use crate::claims::{Closing, Fit, Record};
use crate::fitting::{About, Ranking, counts, exists, holds, places, ranks, sum, vector_by};
use crate::ledger::Ledger;
use std::collections::BTreeMap;

/// Combinations of sizes and choices that are looked at.
const MOST: usize = 200_000;
/// Points of all sizes' grids under all choices.
const MOST_POINTS: usize = 400_000;

/// Choices and counts.
type Identity = (Vec<usize>, Vec<Option<i64>>);

/// Everything that comes out.
pub(super) struct All {
    /// The best vector of each closing as wished.
    closings: BTreeMap<Identity, Vec<i128>>,
    /// The other rankings by which a way is listed.
    best: Vec<Best>,
    /// The ranks as wished.
    ranks: Vec<Vec<About>>,
    /// The best closing with a size held at the best place of one of its notches.
    held: BTreeMap<(usize, i64), (Vec<i128>, Closing)>,
}

/// A ranking, its ranks, and the best vector by it.
struct Best {
    ranking: Ranking,
    ranks: Vec<Vec<About>>,
    vector: Option<Vec<i128>>,
}

impl All {
    /// The best closing with a size held at the best place of a notch.
    pub fn held(&self, size: usize, at: i64) -> Option<&Closing> {
        self.held.get(&(size, at)).map(|held| &held.1)
    }
}

const OTHERS: [(Ranking, &str); 2] = [(Ranking::SizesFirst, "sizes first"), (Ranking::FewestMembers, "fewest members")];

/// Every closing there is; `None` if there are too many combinations to look at.
pub(super) fn all(record: &Record) -> Option<All> {
    let fit = &record.fit;
    let options: usize = fit.choices.iter().try_fold(1_usize, |all, choice| all.checked_mul(choice.1.len()))?;
    let mut domains = Vec::new();
    let (mut combinations, mut points) = (0_usize, 0_usize);
    if options > MOST {
        return None;
    }
    for turn in 0..options {
        let choices = nth(fit, turn);
        let grids = (0..fit.sizes.len()).map(|size| grid(fit, &choices, size, &mut points));
        let grids: Option<Vec<Vec<i64>>> = grids.collect();
        let grids = grids?;
        let here = grids.iter().try_fold(1_usize, |all, grid| all.checked_mul(grid.len()))?;
        combinations = combinations.checked_add(here)?;
        if combinations > MOST {
            return None;
        }
        domains.push((choices, grids));
    }
    let mut wanted = BTreeMap::new();
    for (size, windows) in record.windows.iter().enumerate().take(fit.sizes.len()) {
        wanted
            .extend(windows.notches.iter().filter(|notch| notch.price.is_some()).map(|notch| ((size, notch.best), ())));
    }
    let listed = OTHERS.into_iter().filter(|other| record.ways.iter().any(|way| way.because == other.1));
    let best = listed.map(|(ranking, _)| Best { ranking, ranks: ranks(fit, ranking), vector: None }).collect();
    let ranks = ranks(fit, Ranking::AsWished);
    let mut all = All { closings: BTreeMap::new(), best, ranks, held: BTreeMap::new() };
    for (choices, grids) in domains.into_iter().filter(|domain| domain.1.iter().all(|grid| !grid.is_empty())) {
        let mut places = vec![0; grids.len()];
        loop {
            let sizes: Vec<i64> = places.iter().zip(&grids).map(|(&place, grid)| grid[place]).collect();
            all.look(fit, &choices, sizes, &wanted)?;
            if !advance(&mut places, &grids) {
                break;
            }
        }
    }
    Some(all)
}

/// One choice of options after the other.
fn nth(fit: &Fit, turn: usize) -> Vec<usize> {
    let mut rest = turn;
    let each = fit.choices.iter().map(|choice| {
        let option = rest % choice.1.len().max(1);
        rest /= choice.1.len().max(1);
        option
    });
    each.collect()
}

fn advance(places: &mut [usize], grids: &[Vec<i64>]) -> bool {
    for (place, grid) in places.iter_mut().zip(grids) {
        *place += 1;
        if *place < grid.len() {
            return true;
        }
        *place = 0;
    }
    false
}

/// The points of a size at which everything that hangs on it alone holds.
fn grid(fit: &Fit, choices: &[usize], size: usize, points: &mut usize) -> Option<Vec<i64>> {
    let asked = &fit.sizes[size];
    let first = asked.wish.from + (asked.origin - asked.wish.from).rem_euclid(asked.step);
    let alone = |terms: &[(usize, i64)]| terms.iter().all(|term| term.0 == size);
    let mut sizes = vec![0; fit.sizes.len()];
    let mut grid = Vec::new();
    let mut value = first;
    while value <= asked.wish.to {
        *points += 1;
        if *points > MOST_POINTS {
            return None;
        }
        sizes[size] = value;
        let runs = fit.runs.iter().filter(|run| alone(&run.terms) && exists(&run.when, choices));
        let closes = |run: &crate::claims::Run| {
            let (fewest, most) = counts(fit, run, sum(&run.terms, run.constant, &sizes));
            fewest <= most
        };
        let limits = fit.relations.iter().filter(|limit| alone(&limit.terms) && exists(&limit.when, choices));
        if runs.into_iter().all(closes) && limits.into_iter().all(|limit| holds(limit, &sizes)) {
            grid.push(value);
        }
        value += asked.step;
    }
    Some(grid)
}

impl All {
    /// Looks at one combination; `None` if too many counts close there.
    fn look(
        &mut self,
        fit: &Fit,
        choices: &[usize],
        sizes: Vec<i64>,
        wanted: &BTreeMap<(usize, i64), ()>,
    ) -> Option<()> {
        let mut ranges = Vec::with_capacity(fit.runs.len());
        for run in &fit.runs {
            let range = exists(&run.when, choices).then(|| counts(fit, run, sum(&run.terms, run.constant, &sizes)));
            if range.is_some_and(|(fewest, most)| fewest > most) {
                return Some(());
            }
            ranges.push(range);
        }
        if !fit.relations.iter().all(|limit| !exists(&limit.when, choices) || holds(limit, &sizes)) {
            return Some(());
        }
        let ways = ranges.iter().flatten().try_fold(1_i128, |all, range| all.checked_mul(range.1 - range.0 + 1))?;
        if ways > 64 || self.closings.len() > MOST {
            return None;
        }
        for turn in 0..ways {
            let mut rest = turn;
            let counts = ranges.iter().map(|range| {
                range.map(|(fewest, most)| {
                    let count = fewest + rest % (most - fewest + 1);
                    rest /= most - fewest + 1;
                    // Counts lie within the range that the row states.
                    count as i64
                })
            });
            let counts: Vec<Option<i64>> = counts.collect();
            let gaps = vec![None; counts.len()];
            self.take(
                fit,
                Closing { choices: choices.to_vec(), counts, sizes: sizes.clone(), gaps, vector: Vec::new() },
                wanted,
            );
        }
        Some(())
    }

    fn take(&mut self, fit: &Fit, mut closing: Closing, wanted: &BTreeMap<(usize, i64), ()>) {
        for best in &mut self.best {
            let own = vector_by(fit, best.ranking, &best.ranks, &closing);
            if best.vector.as_ref().is_none_or(|best| own < *best) {
                best.vector = Some(own);
            }
        }
        let own = vector_by(fit, Ranking::AsWished, &self.ranks, &closing);
        let held =
            closing.sizes.iter().enumerate().map(|(size, &at)| (size, at)).filter(|key| wanted.contains_key(key));
        let held: Vec<(usize, i64)> = held.filter(|key| self.held.get(key).is_none_or(|held| own < held.0)).collect();
        if !held.is_empty() {
            closing.gaps = shares(fit, &closing);
        }
        for key in held {
            self.held.insert(key, (own.clone(), closing.clone()));
        }
        let identity = (closing.choices, closing.counts);
        match self.closings.get_mut(&identity) {
            Some(best) if *best <= own => {}
            Some(best) => *best = own,
            None => {
                self.closings.insert(identity, own);
            }
        }
    }
}

/// All gaps together and how many, for each row that exists.
fn shares(fit: &Fit, closing: &Closing) -> Vec<Option<(i64, i64)>> {
    let share = |(run, count): (&crate::claims::Run, &Option<i64>)| {
        let count = i128::from((*count)?);
        let left = sum(&run.terms, run.constant, &closing.sizes) - count * i128::from(run.member);
        // A length that was read, less members that fit into it.
        Some((i64::try_from(left).ok()?, i64::try_from(places(run, count)).ok()?))
    };
    fit.runs.iter().zip(&closing.counts).map(share).collect()
}

/// Holds the list of closings, their number and the ways by other rankings against all there are.
pub(super) fn hold(record: &Record, all: &All, ledger: &mut Ledger) {
    let fit = &record.fit;
    let mut sorted: Vec<&Vec<i128>> = all.closings.values().collect();
    sorted.sort();
    let number = sorted.len() as i64;
    let right = if fit.found_more { fit.found <= number } else { fit.found == number };
    ledger.hold(right, || format!("there are {number} closings, and {} are said to have been found", fit.found));
    for (at, closing) in fit.closings.iter().enumerate() {
        let own: Vec<i128> = closing.vector.iter().map(|&entry| entry.into()).collect();
        let best = sorted.get(at).is_some_and(|best| **best == own);
        ledger.hold(best || fit.status != "proven", || format!("closing {} is not the next best of all", at + 1));
    }
    for (ranking, because) in OTHERS {
        let best = all.best.iter().find(|best| best.ranking == ranking).and_then(|best| best.vector.as_ref());
        for way in record.ways.iter().filter(|way| way.because == because) {
            let own: Vec<i128> = way.closing.vector.iter().map(|&entry| entry.into()).collect();
            ledger.hold(best == Some(&own), || format!("the way with {because} is not the best by that"));
        }
    }
}
