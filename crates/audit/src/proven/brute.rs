//! Where few enough combinations are left, every one of them.
//!
//! Part by part: choices by turn; of each size the points at which the rows and limits that hang on it alone hold; then every
//! combination. What comes out of the parts is put together by [`super::parts`].

use super::parts::{Part, closing_of, parts_of, put_together};
use crate::claims::{Closing, Fit, Record};
use crate::fitting::{About, Ranking, counts, exists, holds, places, ranks, sum, vector_by};
use crate::ledger::Ledger;
use std::collections::{BTreeMap, BTreeSet};

/// Combinations of sizes and choices that are looked at.
const MOST: usize = 200_000;
/// Points of all sizes' grids under all choices.
const MOST_POINTS: usize = 400_000;

/// Choices and counts.
type Identity = (Vec<usize>, Vec<Option<i64>>);

/// Everything that comes out, part by part.
pub(super) struct All {
    parts: Vec<Own>,
}

/// Everything that comes out of one part.
struct Own {
    part: Part,
    /// The best vector of each closing as wished.
    closings: BTreeMap<Identity, Vec<i128>>,
    /// The best closing of all.
    first: Option<(Vec<i128>, Closing)>,
    /// The other rankings by which a way is listed.
    best: Vec<Best>,
    /// The ranks as wished.
    ranks: Vec<Vec<About>>,
    /// Sizes and places at which one is wanted.
    wanted: BTreeSet<(usize, i64)>,
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
    pub fn held(&self, fit: &Fit, size: usize, at: i64) -> Option<Closing> {
        let each = self.parts.iter().map(|own| {
            let found = match own.part.lists.sizes.binary_search(&size) {
                Ok(size) => own.held.get(&(size, at)),
                Err(_) => own.first.as_ref(),
            };
            found.map(|found| (&own.part, &found.1))
        });
        let mut closing = closing_of(fit, &each.collect::<Option<Vec<_>>>()?);
        closing.gaps = shares(fit, &closing);
        Some(closing)
    }

    /// How many closings there are.
    fn number(&self) -> i128 {
        self.parts.iter().fold(1, |all, own| all.saturating_mul(own.closings.len() as i128))
    }

    /// The best vectors as wished, so many; `None` if that is too much to put together.
    fn best(&self, fit: &Fit, keep: usize) -> Option<Vec<Vec<i128>>> {
        let best = |own: &Own| {
            let mut best: Vec<Vec<i128>> = own.closings.values().cloned().collect();
            best.sort_unstable();
            best.truncate(keep);
            best
        };
        let each: Vec<_> = self.parts.iter().map(|own| (&own.part, best(own))).collect();
        put_together(fit, Ranking::AsWished, &each, keep)
    }

    /// The best vector by another ranking.
    fn best_by(&self, fit: &Fit, ranking: Ranking) -> Option<Vec<i128>> {
        let best = |own: &Own| own.best.iter().find(|best| best.ranking == ranking)?.vector.clone();
        let each = self.parts.iter().map(|own| Some((&own.part, vec![best(own)?])));
        put_together(fit, ranking, &each.collect::<Option<Vec<_>>>()?, 1)?.pop()
    }
}

const OTHERS: [(Ranking, &str); 2] = [(Ranking::SizesFirst, "sizes first"), (Ranking::FewestMembers, "fewest members")];

/// Every closing there is; `None` if there are too many combinations to look at.
pub(super) fn all(record: &Record) -> Option<All> {
    let mut work = Work::default();
    let parts = parts_of(&record.fit).into_iter().map(|part| Own::of(part, record, &mut work));
    parts.collect::<Option<Vec<Own>>>().map(|parts| All { parts })
}

/// What has been looked at so far.
#[derive(Default)]
struct Work {
    combinations: usize,
    points: usize,
}

impl Own {
    fn of(part: Part, record: &Record, work: &mut Work) -> Option<Own> {
        let fit = &part.fit;
        let domains = domains(fit, work)?;
        let place = |size: usize| part.lists.sizes.binary_search(&size).ok();
        let sizes = record.windows.iter().enumerate().filter_map(|(size, windows)| Some((place(size)?, windows)));
        let priced = sizes.flat_map(|(size, windows)| {
            let priced = windows.notches.iter().filter(|notch| notch.price.is_some());
            priced.map(move |notch| (size, notch.best))
        });
        let wanted = priced.collect();
        let listed = OTHERS.into_iter().filter(|other| record.ways.iter().any(|way| way.because == other.1));
        let best = listed.map(|(ranking, _)| Best { ranking, ranks: ranks(fit, ranking), vector: None }).collect();
        let ranks = ranks(fit, Ranking::AsWished);
        let (closings, held) = (BTreeMap::new(), BTreeMap::new());
        let mut own = Own { part, closings, first: None, best, ranks, wanted, held };
        for (choices, grids) in domains.into_iter().filter(|domain| domain.1.iter().all(|grid| !grid.is_empty())) {
            let mut places = vec![0; grids.len()];
            loop {
                own.look(&choices, places.iter().zip(&grids).map(|(&place, grid)| grid[place]).collect())?;
                if !advance(&mut places, &grids) {
                    break;
                }
            }
        }
        Some(own)
    }
}

/// Choices and the points of each size.
type Domain = (Vec<usize>, Vec<Vec<i64>>);

/// What to look at for each choice of options; `None` if it is too much.
fn domains(fit: &Fit, work: &mut Work) -> Option<Vec<Domain>> {
    let options: usize = fit.choices.iter().try_fold(1_usize, |all, choice| all.checked_mul(choice.1.len()))?;
    let mut domains = Vec::new();
    if options > MOST {
        return None;
    }
    for turn in 0..options {
        let choices = nth(fit, turn);
        let grids = (0..fit.sizes.len()).map(|size| grid(fit, &choices, size, &mut work.points));
        let grids: Option<Vec<Vec<i64>>> = grids.collect();
        let grids = grids?;
        let here = grids.iter().try_fold(1_usize, |all, grid| all.checked_mul(grid.len()))?;
        work.combinations = work.combinations.checked_add(here)?;
        if work.combinations > MOST {
            return None;
        }
        domains.push((choices, grids));
    }
    Some(domains)
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

impl Own {
    /// Looks at one combination; `None` if too many counts close there.
    fn look(&mut self, choices: &[usize], sizes: Vec<i64>) -> Option<()> {
        let fit = &self.part.fit;
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
        let mut all = Vec::new();
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
            all.push(counts.collect::<Vec<Option<i64>>>());
        }
        for counts in all {
            let gaps = vec![None; counts.len()];
            let vector = Vec::new();
            self.take(Closing { choices: choices.to_vec(), counts, sizes: sizes.clone(), gaps, vector });
        }
        Some(())
    }

    fn take(&mut self, closing: Closing) {
        let fit = &self.part.fit;
        for best in &mut self.best {
            let own = vector_by(fit, best.ranking, &best.ranks, &closing);
            if best.vector.as_ref().is_none_or(|best| own < *best) {
                best.vector = Some(own);
            }
        }
        let own = vector_by(fit, Ranking::AsWished, &self.ranks, &closing);
        for key in closing.sizes.iter().enumerate().map(|(size, &at)| (size, at)) {
            if self.wanted.contains(&key) && self.held.get(&key).is_none_or(|held| own < held.0) {
                self.held.insert(key, (own.clone(), closing.clone()));
            }
        }
        if self.first.as_ref().is_none_or(|first| own < first.0) {
            self.first = Some((own.clone(), closing.clone()));
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
    let (number, found) = (all.number(), i128::from(fit.found));
    let right = if fit.found_more { found <= number } else { found == number };
    ledger.hold(right, || format!("there are {number} closings, and {found} are said to have been found"));
    let best = all.best(fit, fit.closings.len()).unwrap_or_else(|| {
        ledger.leave("that the listed closings are the next best of all: too many are listed".into());
        Vec::new()
    });
    for (at, closing) in fit.closings.iter().enumerate().filter(|_| !best.is_empty() || number == 0) {
        let own: Vec<i128> = closing.vector.iter().map(|&entry| entry.into()).collect();
        let next = best.get(at) == Some(&own);
        ledger.hold(next || fit.status != "proven", || format!("closing {} is not the next best of all", at + 1));
    }
    for (ranking, because) in OTHERS {
        let best = all.best_by(fit, ranking);
        for way in record.ways.iter().filter(|way| way.because == because) {
            let own: Vec<i128> = way.closing.vector.iter().map(|&entry| entry.into()).collect();
            ledger.hold(best.as_ref() == Some(&own), || format!("the way with {because} is not the best by that"));
        }
    }
}
