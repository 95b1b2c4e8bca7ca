//! Parts of a question that nothing joins: a row joins its sizes, its gap and the choices it hangs on, a limit likewise.
//!
//! What wishes are off adds up over parts, and so does every other entry of a vector. A vector is compared from the front, which
//! adding the same to both sides does not change: the best of the whole are put together from the best of the parts.

use crate::claims::{Closing, Fit, Lists, Relation, Run, When};
use crate::fitting::{About, Ranking, ranks};
use std::collections::BTreeMap;

/// A part of a question, as a question of its own.
pub(super) struct Part {
    /// What it consists of, by places in the whole.
    pub lists: Lists,
    /// The same, numbered by the places in the lists.
    pub fit: Fit,
}

/// The parts of a question; one if everything hangs together.
pub(super) fn parts_of(fit: &Fit) -> Vec<Part> {
    let (sizes, gaps) = (fit.choices.len(), fit.choices.len() + fit.sizes.len());
    let limits = gaps + fit.gaps.len();
    let mut groups = Groups { leaders: (0..limits + fit.relations.len()).collect() };
    for run in &fit.runs {
        run.when.iter().for_each(|on| groups.join(on.0, gaps + run.gap));
        run.terms.iter().for_each(|term| groups.join(sizes + term.0, gaps + run.gap));
    }
    for (at, relation) in fit.relations.iter().enumerate() {
        relation.when.iter().for_each(|on| groups.join(on.0, limits + at));
        relation.terms.iter().for_each(|term| groups.join(sizes + term.0, limits + at));
    }
    let mut all: BTreeMap<usize, Lists> = BTreeMap::new();
    (0..fit.choices.len()).for_each(|at| all.entry(groups.leader(at)).or_default().choices.push(at));
    (0..fit.sizes.len()).for_each(|at| all.entry(groups.leader(sizes + at)).or_default().sizes.push(at));
    (0..fit.gaps.len()).for_each(|at| all.entry(groups.leader(gaps + at)).or_default().gaps.push(at));
    (0..fit.relations.len()).for_each(|at| all.entry(groups.leader(limits + at)).or_default().relations.push(at));
    for (at, run) in fit.runs.iter().enumerate() {
        all.entry(groups.leader(gaps + run.gap)).or_default().runs.push(at);
    }
    all.into_values().filter_map(|lists| Part::of(fit, lists, Vec::new())).collect()
}

/// Things that hang together have one leader.
struct Groups {
    leaders: Vec<usize>,
}

impl Groups {
    fn leader(&mut self, thing: usize) -> usize {
        let mut at = thing;
        while self.leaders[at] != at {
            self.leaders[at] = self.leaders[self.leaders[at]];
            at = self.leaders[at];
        }
        at
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.leader(a), self.leader(b));
        self.leaders[a.max(b)] = a.min(b);
    }
}

/// Where something of the whole stands in an ascending list.
fn place(list: &[usize], at: usize) -> Option<usize> {
    list.binary_search(&at).ok()
}

impl Part {
    /// The part of a question that lists make up; `None` if a row or a limit in it refers to something that is not in it.
    /// The lists ascend.
    pub fn of(fit: &Fit, lists: Lists, closings: Vec<Closing>) -> Option<Part> {
        let when = |when: &When| -> Option<When> {
            when.iter().map(|&(choice, option)| Some((place(&lists.choices, choice)?, option))).collect()
        };
        let terms = |terms: &[(usize, i64)]| -> Option<Vec<(usize, i64)>> {
            terms.iter().map(|&(size, factor)| Some((place(&lists.sizes, size)?, factor))).collect()
        };
        let run = |&at: &usize| {
            let run = fit.runs.get(at)?;
            let (when, terms, gap) = (when(&run.when)?, terms(&run.terms)?, place(&lists.gaps, run.gap)?);
            Some(Run { when, terms, gap, ..run.clone() })
        };
        let relation = |&at: &usize| {
            let relation = fit.relations.get(at)?;
            Some(Relation { when: when(&relation.when)?, terms: terms(&relation.terms)?, ..relation.clone() })
        };
        let own = Fit {
            choices: lists.choices.iter().map(|&at| fit.choices.get(at).cloned()).collect::<Option<_>>()?,
            sizes: lists.sizes.iter().map(|&at| fit.sizes.get(at).cloned()).collect::<Option<_>>()?,
            gaps: lists.gaps.iter().map(|&at| fit.gaps.get(at).cloned()).collect::<Option<_>>()?,
            runs: lists.runs.iter().map(run).collect::<Option<_>>()?,
            relations: lists.relations.iter().map(relation).collect::<Option<_>>()?,
            status: fit.status.clone(),
            found: 0,
            found_more: false,
            proof: None,
            closings,
        };
        Some(Part { lists, fit: own })
    }

    /// Where each entry of a vector of this part stands in one of the whole.
    fn entries(&self, whole: &Whole, ranking: Ranking) -> Vec<usize> {
        let rank_of = |rank: &Vec<About>| {
            // A rank has a wish, or it would not stand there.
            let about = match rank[0] {
                About::Size(at) => About::Size(self.lists.sizes[at]),
                About::Gap(at) => About::Gap(self.lists.gaps[at]),
            };
            whole.ranks.iter().position(|rank| rank.contains(&about)).unwrap_or(0)
        };
        let (counted, fit) = (usize::from(ranking == Ranking::FewestMembers), whole.fit);
        let mut places: Vec<usize> = (0..counted).collect();
        places.extend(ranks(&self.fit, ranking).iter().map(|rank| counted + rank_of(rank)));
        let spread = counted + whole.ranks.len();
        let (options, sizes) = (spread + 1, spread + 1 + fit.choices.len());
        places.push(spread);
        places.extend(self.lists.choices.iter().map(|at| options + at));
        places.extend(self.lists.sizes.iter().map(|at| sizes + at));
        places.extend(self.lists.runs.iter().map(|at| sizes + fit.sizes.len() + at));
        places
    }
}

/// A whole and its ranks.
struct Whole<'f> {
    fit: &'f Fit,
    ranks: Vec<Vec<About>>,
}

impl Whole<'_> {
    /// A vector of a part as one of the whole, nothing in the entries of other parts.
    fn share(&self, ranking: Ranking, entries: &[usize], own: &[i128]) -> Vec<i128> {
        let heads = usize::from(ranking == Ranking::FewestMembers) + self.ranks.len() + 1;
        let mut share = vec![0; heads + self.fit.choices.len() + self.fit.sizes.len() + self.fit.runs.len()];
        entries.iter().zip(own).for_each(|(&at, &entry)| share[at] = entry);
        share
    }
}

/// Pairs of closings that are put together, all parts and entries counted; more are too many.
const MOST_ENTRIES: usize = 50_000_000;

/// The best vectors that can be put together from one of each part, best first, as many as `keep`; `None` if that is too
/// much work.
pub(super) fn put_together(
    fit: &Fit,
    ranking: Ranking,
    parts: &[(&Part, Vec<Vec<i128>>)],
    keep: usize,
) -> Option<Vec<Vec<i128>>> {
    let whole = Whole { fit, ranks: ranks(fit, ranking) };
    let mut best: Option<Vec<Vec<i128>>> = None;
    let mut work = 0_usize;
    for (part, own) in parts {
        let entries = part.entries(&whole, ranking);
        let some = best.as_ref().map_or(1, Vec::len);
        let length = whole.share(ranking, &[], &[]).len();
        work = work.saturating_add(some.saturating_mul(own.len().min(keep)).saturating_mul(length));
        if work > MOST_ENTRIES {
            return None;
        }
        let mut shares: Vec<Vec<i128>> = own.iter().map(|own| whole.share(ranking, &entries, own)).collect();
        shares.sort_unstable();
        shares.truncate(keep);
        best = Some(match best {
            None => shares,
            Some(best) => pairs(&best, &shares, keep),
        });
    }
    Some(best.unwrap_or_default())
}

fn pairs(some: &[Vec<i128>], others: &[Vec<i128>], keep: usize) -> Vec<Vec<i128>> {
    let sum = |a: &Vec<i128>, b: &Vec<i128>| a.iter().zip(b).map(|(a, b)| a + b).collect::<Vec<i128>>();
    let mut all: Vec<Vec<i128>> = some.iter().flat_map(|a| others.iter().map(move |b| sum(a, b))).collect();
    all.sort_unstable();
    all.truncate(keep);
    all
}

/// A closing of each part as one of the whole; gaps and vector stay open.
pub(super) fn closing_of(fit: &Fit, parts: &[(&Part, &Closing)]) -> Closing {
    let mut whole = Closing {
        choices: vec![0; fit.choices.len()],
        counts: vec![None; fit.runs.len()],
        sizes: vec![0; fit.sizes.len()],
        gaps: vec![None; fit.runs.len()],
        vector: Vec::new(),
    };
    for (Part { lists, .. }, own) in parts {
        lists.choices.iter().zip(&own.choices).for_each(|(&at, &option)| whole.choices[at] = option);
        lists.sizes.iter().zip(&own.sizes).for_each(|(&at, &size)| whole.sizes[at] = size);
        lists.runs.iter().zip(&own.counts).for_each(|(&at, &count)| whole.counts[at] = count);
    }
    whole
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::claims::{Size, Wish};
    use crate::fitting::vector;

    fn wish(name: &str, rank: i64) -> Wish {
        Wish { name: name.into(), want: 0, from: -9, to: 9, rank }
    }

    /// Two sizes with a row each, by one gap each; a choice on which the second row hangs; a limit on the third size.
    fn three_parts() -> Fit {
        let size = |name, rank| Size { origin: 0, step: 1, wish: wish(name, rank) };
        let run = |size, gap, when: When| Run {
            name: String::new(),
            when,
            terms: vec![(size, 1)],
            constant: 20,
            member: 3,
            gaps_per_member: 1,
            end_gaps: 0,
            gap,
            count: (1, 9),
        };
        let limit =
            Relation { name: String::new(), when: Vec::new(), terms: vec![(2, 1)], constant: 0, from: -5, to: 5 };
        Fit {
            choices: vec![("c".into(), vec!["x".into(), "y".into()])],
            sizes: vec![size("a", 3), size("b", 1), size("d", 2)],
            gaps: vec![wish("g", 2), wish("h", 1)],
            runs: vec![run(1, 0, vec![(0, 1)]), run(0, 1, Vec::new())],
            relations: vec![limit],
            status: "proven".into(),
            closings: Vec::new(),
            found: 0,
            found_more: false,
            proof: None,
        }
    }

    #[test]
    fn what_hangs_together_is_one_part() {
        let parts: Vec<Lists> = parts_of(&three_parts()).into_iter().map(|part| part.lists).collect();
        let lists = |choices: &[usize], sizes: &[usize], gaps: &[usize], runs: &[usize], relations: &[usize]| Lists {
            choices: choices.into(),
            sizes: sizes.into(),
            gaps: gaps.into(),
            runs: runs.into(),
            relations: relations.into(),
        };
        let own =
            [lists(&[0], &[1], &[0], &[0], &[]), lists(&[], &[0], &[1], &[1], &[]), lists(&[], &[2], &[], &[], &[0])];
        assert_eq!(parts, own);
        let mut joined = three_parts();
        joined.relations[0].terms.push((0, -1));
        assert_eq!(parts_of(&joined).len(), 2);
        let cut = lists(&[0], &[1], &[1], &[0], &[]);
        assert!(Part::of(&joined, cut, Vec::new()).is_none(), "the first row has another gap");
    }

    /// By every ranking, the vectors of the parts put together are those of the whole, on closings by a generator of our own.
    #[test]
    fn vectors_add_up_over_parts() {
        let fit = three_parts();
        let parts = parts_of(&fit);
        let mut seed = 3_u64;
        let mut next = |below: i64| {
            seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (seed >> 33) as i64 % below
        };
        for _ in 0..200 {
            let option = next(2) as usize;
            let mut closing = |part: &Part| Closing {
                choices: part.lists.choices.iter().map(|_| option).collect(),
                sizes: part.lists.sizes.iter().map(|_| next(19) - 9).collect(),
                counts: part
                    .fit
                    .runs
                    .iter()
                    .map(|run| (run.when.is_empty() || option == 1).then(|| 1 + next(5)))
                    .collect(),
                gaps: Vec::new(),
                vector: Vec::new(),
            };
            let own: Vec<Closing> = parts.iter().map(&mut closing).collect();
            let each: Vec<(&Part, &Closing)> = parts.iter().zip(&own).collect();
            let whole = closing_of(&fit, &each);
            for ranking in [Ranking::AsWished, Ranking::SizesFirst, Ranking::FewestMembers] {
                let vectors = each.iter().map(|(part, own)| (*part, vec![vector(&part.fit, ranking, own)]));
                let put = put_together(&fit, ranking, &vectors.collect::<Vec<_>>(), 1);
                assert_eq!(put, Some(vec![vector(&fit, ranking, &whole)]));
            }
        }
    }
}
