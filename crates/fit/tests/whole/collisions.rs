//! Why nothing comes out: sets, limits and least changes against brute force over all subsets and all points.

use super::brute::{self, Domain};
use super::builders::*;
use super::referee::check_closing;
use fit::*;

fn wishes(p: &Problem) -> Vec<WishRef> {
    let pinned = (0..p.choices.len()).filter(|&i| p.choices[i].pinned.is_some());
    (0..p.sizes.len())
        .map(WishRef::Size)
        .chain((0..p.gaps.len()).map(WishRef::Gap))
        .chain((0..p.runs.len()).map(WishRef::Count))
        .chain(pinned.map(WishRef::Choice))
        .collect()
}

fn held(p: &Problem, keep: &[WishRef]) -> Domain {
    let mut domain = Domain::asked(p);
    for wish in wishes(p) {
        if !keep.contains(&wish) {
            domain.drop_wish(p, wish);
        }
    }
    domain
}

/// Least distance outside the asked range with which something comes out, by going through all points.
fn least_change(p: &Problem, wish: WishRef) -> Option<i64> {
    let asked = Domain::asked(p);
    let mut domain = asked.clone();
    domain.drop_wish(p, wish);
    let mut least: Option<i64> = None;
    brute::points(p, &domain, &mut |_, sizes, open| {
        let away = |x: i64, (from, to): (i64, i64)| (from - x).max(x - to).max(0);
        let here = match wish {
            WishRef::Size(i) => away(sizes[i], asked.sizes[i]),
            WishRef::Count(i) => (open[i].iter().flatten()).map(|&n| away(n, asked.counts[i])).min().unwrap_or(0),
            WishRef::Gap(g) => gap_change(p, g, sizes, open),
            WishRef::Choice(_) => 1,
        };
        least = Some(least.map_or(here, |old| old.min(here)));
        true
    });
    least
}

/// Worst over the gap's runs of the best over their counts: counts are independent once the sizes are fixed.
fn gap_change(p: &Problem, gap: usize, sizes: &[i64], open: &[Option<Vec<i64>>]) -> i64 {
    let wish = p.gaps[gap].wish;
    let (from, to) = (i128::from(wish.from), i128::from(wish.to));
    let runs = p.runs.iter().zip(open).filter(|(run, _)| run.gap == gap);
    let worst = runs.filter_map(|(run, counts)| {
        let each = counts.as_ref()?.iter().map(|&n| {
            let (places, total) = brute::share(run, sizes, n);
            let short = (places * from - total).max(total - places * to).max(0);
            if places == 0 { 0 } else { brute::ceil(short, places) }
        });
        each.min()
    });
    worst.max().unwrap_or(0) as i64
}

/// The deletion filter in the documented order, asked of brute force.
fn expected_set(p: &Problem) -> Vec<WishRef> {
    let mut ranked: Vec<(u32, u8, usize, WishRef)> = Vec::new();
    for (i, s) in p.sizes.iter().enumerate() {
        ranked.push((s.wish.rank, 0, i, WishRef::Size(i)));
    }
    for (i, g) in p.gaps.iter().enumerate() {
        ranked.push((g.wish.rank, 1, i, WishRef::Gap(i)));
    }
    ranked.sort();
    let mut order: Vec<WishRef> = (0..p.choices.len()).map(WishRef::Choice).collect();
    order.extend(ranked.into_iter().map(|r| r.3));
    order.extend((0..p.runs.len()).map(WishRef::Count));
    order.retain(|w| wishes(p).contains(w));
    let mut kept = order.clone();
    for wish in order.into_iter().rev() {
        let without: Vec<WishRef> = kept.iter().copied().filter(|&w| w != wish).collect();
        if !brute::comes_out(p, &held(p, &without)) {
            kept = without;
        }
    }
    kept
}

fn check(seed: u64, p: &Problem) -> usize {
    let limits = Limits { steps: 200_000, ..Limits::default() };
    let collision = explain(p, &limits, &|| false).expect("a sound problem");
    assert!(collision.minimal, "seed {seed}");
    if brute::comes_out(p, &Domain::asked(p)) {
        assert!(collision.set.is_empty() && collision.relaxations.is_empty());
        return 0;
    }
    assert_eq!(collision.set, expected_set(p), "seed {seed}\n{p:#?}");
    let set = &collision.set;
    assert!(set.len() <= 8);
    for mask in 0_u32..1 << set.len() {
        let part: Vec<WishRef> = (0..set.len()).filter(|i| mask >> i & 1 == 1).map(|i| set[i]).collect();
        let whole = part.len() == set.len();
        assert_eq!(brute::comes_out(p, &held(p, &part)), !whole, "seed {seed} {part:?}");
    }
    check_limits(seed, p, &collision);
    for &wish in set {
        let told = collision.relaxations.iter().find(|r| r.wish == wish);
        assert_eq!(told.map(|r| r.by), least_change(p, wish), "seed {seed} {wish:?}\n{p:#?}");
    }
    for relaxation in &collision.relaxations {
        let changed = apply(p, relaxation);
        check_closing(&changed, Ranking::AsWished, &relaxation.closing)
            .unwrap_or_else(|why| panic!("seed {seed}: {why} {relaxation:?}\n{p:#?}"));
    }
    check_pairs(seed, p, &collision);
    set.len()
}

/// Whether a pair is of these two sizes, in either order.
fn is_of(pair: &Pair, two: [usize; 2]) -> bool {
    let own = pair.changes.map(|(wish, _)| wish);
    let [first, second] = two.map(WishRef::Size);
    own == [first, second] || own == [second, first]
}

/// Pairs of sizes are those that are together less than any single change, by going through all points.
fn check_pairs(seed: u64, p: &Problem, collision: &Collision) {
    let lengths = |wish: &WishRef| matches!(wish, WishRef::Size(_) | WishRef::Gap(_));
    let single = collision.relaxations.iter().filter(|r| lengths(&r.wish)).map(|r| r.by).min();
    let sizes: Vec<usize> =
        collision.set.iter().filter_map(|wish| if let WishRef::Size(i) = wish { Some(*i) } else { None }).collect();
    for (at, &first) in sizes.iter().enumerate() {
        for &second in &sizes[at + 1..] {
            let told = collision.pairs.iter().find(|pair| is_of(pair, [first, second]));
            let least = least_of_two(p, [first, second]).filter(|&least| single.is_none_or(|single| least < single));
            assert_eq!(told.map(|pair| pair.by), least, "seed {seed} {first} {second}\n{p:#?}");
        }
    }
    for pair in &collision.pairs {
        assert!(single.is_none_or(|single| pair.by < single), "seed {seed}: {pair:?}");
        let mut changed = p.clone();
        for (wish, (from, to)) in pair.changes {
            match wish {
                WishRef::Size(i) => (changed.sizes[i].wish.from, changed.sizes[i].wish.to) = (from, to),
                WishRef::Gap(i) => (changed.gaps[i].wish.from, changed.gaps[i].wish.to) = (from, to),
                other => panic!("seed {seed}: {other:?} is no length"),
            }
        }
        check_closing(&changed, Ranking::AsWished, &pair.closing)
            .unwrap_or_else(|why| panic!("seed {seed}: {why} {pair:?}\n{p:#?}"));
    }
}

/// The least sum of two sizes' distances from their ranges with which something comes out.
fn least_of_two(p: &Problem, pair: [usize; 2]) -> Option<i64> {
    let asked = Domain::asked(p);
    let mut domain = asked.clone();
    pair.iter().for_each(|&size| domain.drop_wish(p, WishRef::Size(size)));
    let mut least: Option<i64> = None;
    brute::points(p, &domain, &mut |_, sizes, _| {
        let away = |i: usize| (asked.sizes[i].0 - sizes[i]).max(sizes[i] - asked.sizes[i].1).max(0);
        let here = pair.iter().map(|&i| away(i)).sum::<i64>();
        least = Some(least.map_or(here, |old| old.min(here)));
        true
    });
    least
}

/// By hand: two sides of 100 that may grow by 10 at most, and 12 more are needed together: neither alone, both with 12.
#[test]
fn two_changes_free_what_none_frees_alone() {
    let held = |name: &str| size(name, 1, Wish { want: 100, from: 100, to: 100, rank: 1, weight: 1, reach: (90, 110) });
    let together =
        Relation { name: "together".into(), when: vec![], value: affine(&[(0, 1), (1, 1)], 0), from: 212, to: 1_000 };
    let p = Problem { sizes: vec![held("a"), held("b")], relations: vec![together], ..Problem::default() };
    let collision = explain(&p, &Limits::default(), &|| false).expect("a sound problem");
    assert!(collision.relaxations.is_empty() && collision.minimal);
    let [pair] = &collision.pairs[..] else { panic!("{:?}", collision.pairs) };
    assert_eq!((pair.by, pair.closing.sizes.iter().sum::<i64>()), (12, 212));
}

fn check_limits(seed: u64, p: &Problem, collision: &Collision) {
    let with = |limits: &[LimitRef]| {
        let mut domain = held(p, &collision.set);
        for (i, on) in domain.runs.iter_mut().enumerate() {
            *on = limits.contains(&LimitRef::Run(i));
        }
        for (i, on) in domain.relations.iter_mut().enumerate() {
            *on = limits.contains(&LimitRef::Relation(i));
        }
        brute::comes_out(p, &domain)
    };
    assert!(!with(&collision.limits), "seed {seed}");
    for i in 0..collision.limits.len() {
        let mut fewer = collision.limits.clone();
        fewer.remove(i);
        assert!(with(&fewer), "seed {seed}: {:?} is not needed", collision.limits[i]);
    }
}

/// The problem with the told range in place of the asked one.
fn apply(p: &Problem, relaxation: &Relaxation) -> Problem {
    let mut p = p.clone();
    let (from, to) = (relaxation.from, relaxation.to);
    match relaxation.wish {
        WishRef::Size(i) => (p.sizes[i].wish.from, p.sizes[i].wish.to) = (from, to),
        WishRef::Gap(i) => (p.gaps[i].wish.from, p.gaps[i].wish.to) = (from, to),
        WishRef::Count(i) => p.runs[i].count = (from, to),
        WishRef::Choice(i) => p.choices[i].pinned = Some(from as usize),
    }
    p
}

#[test]
fn sets_and_changes_are_those_of_brute_force() {
    let kind = Kind { sizes: 3, points: 3, runs: 3, choices: 1, relations: 1 };
    let (mut colliding, mut larger, mut none) = (0, 0, 0);
    for seed in 0..1200 {
        let p = random(&mut Lcg(seed * 101 + 29), kind);
        if wishes(&p).len() > 8 || brute::comes_out(&p, &Domain::asked(&p)) {
            continue;
        }
        let size = check(seed, &p);
        colliding += 1;
        larger += u32::from(size >= 2);
        none += u32::from(size == 0);
    }
    assert!(colliding > 150 && larger > 40 && none > 5, "{colliding} {larger} {none}");
}

#[test]
fn a_problem_that_comes_out_has_no_collision() {
    let kind = Kind { sizes: 2, points: 8, runs: 2, choices: 1, relations: 0 };
    for seed in 0..100 {
        let p = random(&mut Lcg(seed * 5 + 1), kind);
        if brute::comes_out(&p, &Domain::asked(&p)) {
            assert_eq!(check(seed, &p), 0);
        }
    }
}
