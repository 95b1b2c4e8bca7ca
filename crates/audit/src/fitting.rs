//! What it means to close: rows, gaps, limits and the objective, written from the definitions.

use crate::claims::{Closing, Fit, Relation, Run};

/// In which order wishes count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ranking {
    AsWished,
    SizesFirst,
    FewestMembers,
}

/// A wish by what it is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum About {
    Size(usize),
    Gap(usize),
}

/// `a / b` downwards, `b` above zero.
pub(crate) fn down(a: i128, b: i128) -> i128 {
    a.div_euclid(b)
}

/// `a / b` upwards, `b` above zero.
pub(crate) fn up(a: i128, b: i128) -> i128 {
    -((-a).div_euclid(b))
}

/// Whether everything is chosen that something needs to exist.
pub(crate) fn exists(when: &[(usize, usize)], choices: &[usize]) -> bool {
    when.iter().all(|&(choice, option)| choices.get(choice) == Some(&option))
}

/// A straight sum for given sizes.
pub(crate) fn sum(terms: &[(usize, i64)], constant: i64, sizes: &[i64]) -> i128 {
    let products = terms.iter().map(|&(size, factor)| i128::from(factor) * i128::from(sizes[size]));
    products.sum::<i128>() + i128::from(constant)
}

/// How many gaps a row of so many has.
pub(crate) fn places(run: &Run, count: i128) -> i128 {
    count * i128::from(run.gaps_per_member) + i128::from(run.end_gaps)
}

/// The fewest and the most members with which a row fills a length, by its gap's range and its own; empty if none.
pub(crate) fn counts(fit: &Fit, run: &Run, length: i128) -> (i128, i128) {
    let gap = &fit.gaps[run.gap];
    let (per, ends) = (i128::from(run.gaps_per_member), i128::from(run.end_gaps));
    let (narrow, wide) = (i128::from(gap.from), i128::from(gap.to));
    let pitch = |gap: i128| i128::from(run.member) + per * gap;
    if pitch(narrow) <= 0 || pitch(wide) <= 0 {
        return (1, 0);
    }
    let mut fewest = up(length - ends * wide, pitch(wide)).max(i128::from(run.count.0)).max(1);
    let most = down(length - ends * narrow, pitch(narrow)).min(i128::from(run.count.1));
    if per > 0 {
        fewest = fewest.max(up(-ends, per));
    } else if ends < 0 {
        return (1, 0);
    }
    (fewest, most)
}

/// Whether a row fills its length with so many members.
pub(crate) fn closes(fit: &Fit, run: &Run, count: i128, length: i128) -> bool {
    let (fewest, most) = counts(fit, run, length);
    let left = length - count * i128::from(run.member);
    let gap = &fit.gaps[run.gap];
    let places = places(run, count);
    let shares = places * i128::from(gap.from) <= left && left <= places * i128::from(gap.to);
    fewest <= count && count <= most && places >= 0 && shares
}

/// Whether a limit holds.
pub(crate) fn holds(relation: &Relation, sizes: &[i64]) -> bool {
    let value = sum(&relation.terms, relation.constant, sizes);
    i128::from(relation.from) <= value && value <= i128::from(relation.to)
}

/// The wishes of each rank, in the order in which the ranks count.
pub(crate) fn ranks(fit: &Fit, ranking: Ranking) -> Vec<Vec<About>> {
    let sizes = fit.sizes.iter().enumerate().map(|(at, size)| ((false, size.wish.rank), About::Size(at)));
    let later = ranking == Ranking::SizesFirst;
    let gaps = fit.gaps.iter().enumerate().map(|(at, gap)| ((later, gap.rank), About::Gap(at)));
    let mut wishes: Vec<((bool, i64), About)> = sizes.chain(gaps).collect();
    wishes.sort();
    wishes.chunk_by(|a, b| a.0 == b.0).map(|rank| rank.iter().map(|wish| wish.1).collect()).collect()
}

/// How far a size or the worst of a gap's rows lies from what is wanted; a gap's in whole nanometres, upwards.
fn off(fit: &Fit, about: About, closing: &Closing) -> i128 {
    match about {
        About::Size(at) => (i128::from(closing.sizes[at]) - i128::from(fit.sizes[at].wish.want)).abs(),
        About::Gap(at) => {
            let want = i128::from(fit.gaps[at].want);
            let worst = rows_of(fit, at, closing).map(|(left, places)| up((left - places * want).abs(), places));
            worst.max().unwrap_or(0)
        }
    }
}

/// What each row of a gap leaves, and for how many places; rows without a place are left out.
fn rows_of<'a>(fit: &'a Fit, gap: usize, closing: &'a Closing) -> impl Iterator<Item = (i128, i128)> + 'a {
    let of_gap = fit.runs.iter().zip(&closing.counts).filter(move |(run, _)| run.gap == gap);
    of_gap.filter_map(|(run, count)| {
        let count = i128::from((*count)?);
        let left = sum(&run.terms, run.constant, &closing.sizes) - count * i128::from(run.member);
        let places = places(run, count);
        (places > 0).then_some((left, places))
    })
}

/// The objective of a closing, compared from the front, less is better: for each rank the sum of what its wishes are off; the
/// spread of the gaps; options; sizes; counts, 0 for a row that does not exist.
pub(crate) fn vector(fit: &Fit, ranking: Ranking, closing: &Closing) -> Vec<i128> {
    vector_by(fit, ranking, &ranks(fit, ranking), closing)
}

/// The same with the ranks at hand, for many closings.
pub(crate) fn vector_by(fit: &Fit, ranking: Ranking, ranks: &[Vec<About>], closing: &Closing) -> Vec<i128> {
    let mut vector: Vec<i128> = Vec::with_capacity(ranks.len() + 2 + closing.sizes.len() + closing.counts.len());
    let counts = || closing.counts.iter().map(|count| i128::from(count.unwrap_or(0)));
    if ranking == Ranking::FewestMembers {
        vector.push(counts().sum());
    }
    for rank in ranks {
        vector.push(rank.iter().map(|&about| off(fit, about, closing)).sum());
    }
    let spread = |gap: usize| {
        let each = || rows_of(fit, gap, closing).map(|(left, places)| down(left, places));
        each().max().zip(each().min()).map_or(0, |(most, least)| most - least)
    };
    vector.push((0..fit.gaps.len()).map(spread).sum());
    vector.extend(closing.choices.iter().map(|&option| option as i128));
    vector.extend(closing.sizes.iter().map(|&size| i128::from(size)));
    vector.extend(counts());
    vector
}

/// Whether a size lies on its grid and in its range.
pub(crate) fn on_grid(fit: &Fit, size: usize, value: i64) -> bool {
    let asked = &fit.sizes[size];
    let steps = i128::from(value) - i128::from(asked.origin);
    asked.wish.from <= value && value <= asked.wish.to && steps % i128::from(asked.step) == 0
}
