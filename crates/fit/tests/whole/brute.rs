//! Brute force: every option, every grid point, every count, straight from the words of the documentation.

use fit::*;
use std::collections::BTreeMap;

pub type Identity = (Vec<usize>, Vec<Option<i64>>);

/// Best vector, its sizes, and the ranges met.
pub type Found = BTreeMap<Identity, (Vec<i128>, Vec<i64>, Vec<(i64, i64)>)>;

/// Ranges in force: as asked, or fallen back to the reach.
#[derive(Clone)]
pub struct Domain {
    pub options: Vec<Vec<usize>>,
    pub sizes: Vec<(i64, i64)>,
    pub gaps: Vec<(i64, i64)>,
    pub counts: Vec<(i64, i64)>,
    pub runs: Vec<bool>,
    pub relations: Vec<bool>,
}

impl Domain {
    pub fn asked(p: &Problem) -> Self {
        let option_list = |c: &Choice| match c.pinned {
            Some(o) => vec![o],
            None => (0..c.options.len()).collect(),
        };
        Self {
            options: p.choices.iter().map(option_list).collect(),
            sizes: p.sizes.iter().map(|s| (s.wish.from, s.wish.to)).collect(),
            gaps: p.gaps.iter().map(|g| (g.wish.from, g.wish.to)).collect(),
            counts: p.runs.iter().map(|r| r.count).collect(),
            runs: vec![true; p.runs.len()],
            relations: vec![true; p.relations.len()],
        }
    }

    pub fn drop_wish(&mut self, p: &Problem, wish: WishRef) {
        let hull = |w: &Wish| (w.from.min(w.reach.0), w.to.max(w.reach.1));
        match wish {
            WishRef::Size(i) => self.sizes[i] = hull(&p.sizes[i].wish),
            WishRef::Gap(i) => self.gaps[i] = hull(&p.gaps[i].wish),
            // More than any face of these small problems can take.
            WishRef::Count(i) => self.counts[i] = (1, 400),
            WishRef::Choice(i) => self.options[i] = (0..p.choices[i].options.len()).collect(),
        }
    }
}

pub fn live(when: &[(usize, usize)], choices: &[usize]) -> bool {
    when.iter().all(|&(c, o)| choices[c] == o)
}

/// Places and total of a run, in parts of its scale.
pub fn share(r: &Run, sizes: &[i64], n: i64) -> (i128, i128) {
    let scale = i128::from(r.gap_scale);
    let n = i128::from(n);
    let places = n * i128::from(r.gaps_per_member) * scale + i128::from(r.end_gaps);
    let total = r.face.at(sizes).unwrap() - n * i128::from(r.member);
    (places, total * scale)
}

/// Whether a run closes with `n`: some gap in the range fills what the members leave.
pub fn closes(r: &Run, gap: (i64, i64), sizes: &[i64], n: i64) -> bool {
    let (places, total) = share(r, sizes, n);
    match places {
        ..0 => false,
        0 => total == 0,
        _ => places * i128::from(gap.0) <= total && total <= places * i128::from(gap.1),
    }
}

pub fn ceil(a: i128, b: i128) -> i128 {
    a.div_euclid(b) + i128::from(a.rem_euclid(b) != 0)
}

/// The vector of the documentation.
pub fn vector(p: &Problem, ranking: Ranking, choices: &[usize], counts: &[Option<i64>], sizes: &[i64]) -> Vec<i128> {
    let gap_off = |g: usize| {
        let want = i128::from(p.gaps[g].wish.want);
        let offs = p.runs.iter().zip(counts).filter(|(r, n)| r.gap == g && n.is_some());
        offs.map(|(r, n)| match share(r, sizes, n.unwrap()) {
            (0, _) => 0,
            (places, total) => ceil((total - places * want).abs(), places),
        })
        .max()
        .unwrap_or(0)
    };
    let mut by_rank: BTreeMap<(u32, u32), i128> = BTreeMap::new();
    for (s, x) in p.sizes.iter().zip(sizes) {
        let off = (i128::from(*x) - i128::from(s.wish.want)).abs() * i128::from(s.wish.weight);
        *by_rank.entry((0, s.wish.rank)).or_default() += off;
    }
    let late = u32::from(ranking == Ranking::SizesFirst);
    for (g, item) in p.gaps.iter().enumerate() {
        let off = gap_off(g) * i128::from(item.wish.weight);
        *by_rank.entry((late, item.wish.rank)).or_default() += off;
    }
    let mut out = Vec::new();
    if ranking == Ranking::FewestMembers {
        out.push(counts.iter().flatten().map(|&n| i128::from(n)).sum());
    }
    out.extend(by_rank.into_values());
    let mut spread = 0;
    for g in 0..p.gaps.len() {
        let shares: Vec<i128> = (p.runs.iter().zip(counts))
            .filter(|(r, n)| r.gap == g && n.is_some())
            .map(|(r, n)| share(r, sizes, n.unwrap()))
            .filter(|&(places, _)| places > 0)
            .map(|(places, total)| total.div_euclid(places))
            .collect();
        if let (Some(a), Some(b)) = (shares.iter().max(), shares.iter().min()) {
            spread += a - b;
        }
    }
    out.push(spread);
    out.extend(choices.iter().map(|&c| c as i128));
    out.extend(sizes.iter().map(|&x| i128::from(x)));
    out.extend(counts.iter().map(|n| i128::from(n.unwrap_or(0))));
    out
}

/// What is done at a point: options, sizes and, per run that exists, the counts that close; false stops.
pub type Visit<'a> = dyn FnMut(&[usize], &[i64], &[Option<Vec<i64>>]) -> bool + 'a;

/// Calls `each` at every point that satisfies all limits.
pub fn points(p: &Problem, domain: &Domain, each: &mut Visit) {
    let grids: Vec<Vec<i64>> = (p.sizes.iter().zip(&domain.sizes))
        .map(|(s, &(from, to))| {
            let on_grid = |x: &i64| (x - s.origin).rem_euclid(s.step) == 0;
            (from..=to).filter(on_grid).collect()
        })
        .collect();
    for choices in product(&domain.options) {
        for sizes in product(&grids) {
            let held = |(i, r): (usize, &Relation)| {
                let value = r.value.at(&sizes).unwrap();
                !domain.relations[i]
                    || !live(&r.when, &choices)
                    || (i128::from(r.from) <= value && value <= i128::from(r.to))
            };
            if !p.relations.iter().enumerate().all(held) {
                continue;
            }
            let open: Vec<Option<Vec<i64>>> = (p.runs.iter().enumerate())
                .map(|(i, r)| {
                    (domain.runs[i] && live(&r.when, &choices)).then(|| {
                        let (low, high) = domain.counts[i];
                        (low.max(1)..=high).filter(|&n| closes(r, domain.gaps[r.gap], &sizes, n)).collect()
                    })
                })
                .collect();
            if open.iter().flatten().all(|counts| !counts.is_empty()) && !each(&choices, &sizes, &open) {
                return;
            }
        }
    }
}

pub fn all(p: &Problem, ranking: Ranking, domain: &Domain) -> Found {
    let mut found = Found::new();
    points(p, domain, &mut |choices, sizes, open| {
        let lists: Vec<Vec<Option<i64>>> = open
            .iter()
            .map(|counts| match counts {
                Some(list) => list.iter().map(|&n| Some(n)).collect(),
                None => vec![None],
            })
            .collect();
        for counts in product(&lists) {
            let vector = vector(p, ranking, choices, &counts, sizes);
            let here: Vec<(i64, i64)> = sizes.iter().map(|&x| (x, x)).collect();
            let entry =
                found.entry((choices.to_vec(), counts)).or_insert_with(|| (vector.clone(), sizes.to_vec(), here));
            if vector < entry.0 {
                entry.0 = vector;
                entry.1 = sizes.to_vec();
            }
            for (range, &x) in entry.2.iter_mut().zip(sizes) {
                *range = (range.0.min(x), range.1.max(x));
            }
        }
        true
    });
    found
}

pub fn comes_out(p: &Problem, domain: &Domain) -> bool {
    let mut any = false;
    points(p, domain, &mut |_, _, _| {
        any = true;
        false
    });
    any
}

/// All combinations, the last list running fastest.
pub fn product<T: Clone>(lists: &[Vec<T>]) -> Vec<Vec<T>> {
    lists.iter().fold(vec![vec![]], |done, list| {
        done.iter()
            .flat_map(|head| {
                list.iter().map(move |item| {
                    let mut row = head.clone();
                    row.push(item.clone());
                    row
                })
            })
            .collect()
    })
}
