//! Random small problems against brute force: the whole ordered list, vectors, sizes, rooms, the count, windows and emptiness;
//! and every proof replayed by the referee.

use super::brute::{self, Domain};
use super::builders::*;
use super::referee::check_proof;
use fit::*;

const RANKINGS: [Ranking; 3] = [Ranking::AsWished, Ranking::SizesFirst, Ranking::FewestMembers];

fn check(seed: u64, problem: &Problem, keep: usize) -> bool {
    let ranking = RANKINGS[(seed % 3) as usize];
    let limits = Limits { steps: 300_000, keep, count_cap: 1_000_000 };
    let found = brute::all(problem, ranking, &Domain::asked(problem));
    let outcome = solve(problem, ranking, &limits, &|| false);
    let answer = match outcome {
        Ok(Outcome::Fits(answer)) => answer,
        Ok(Outcome::Collides(_)) => {
            assert!(found.is_empty(), "seed {seed}: brute force finds {}", found.len());
            assert_eq!(nearest(problem, ranking, &limits, &|| false), Ok(None), "seed {seed}");
            return false;
        }
        other => panic!("seed {seed}: {other:?}\n{problem:#?}"),
    };
    let mut expected: Vec<_> = found.iter().collect();
    expected.sort_by(|a, b| a.1.0.cmp(&b.1.0));
    assert_eq!(answer.status, Status::Proven, "seed {seed}");
    assert_eq!(answer.found.count, expected.len() as u64, "seed {seed} {problem:#?}");
    assert!(!answer.found.capped, "seed {seed}");
    assert_eq!(answer.closings.len(), expected.len().min(keep), "seed {seed}");
    assert_eq!(nearest(problem, ranking, &limits, &|| false).as_ref(), Ok(&answer.closings.first().cloned()));
    for (closing, (identity, (vector, sizes, room))) in answer.closings.iter().zip(expected) {
        assert_eq!(&closing.vector, vector, "seed {seed}\n{problem:#?}");
        assert_eq!(&(closing.choices.clone(), closing.counts.clone()), identity);
        assert_eq!(&closing.sizes, sizes, "seed {seed}");
        assert_eq!(&closing.room, room, "seed {seed} {problem:#?}");
        check_shares(problem, closing);
    }
    if let Err(why) = check_proof(problem, ranking, keep, &answer) {
        panic!("seed {seed}: {why}\n{:#?}\n{problem:#?}", answer.proof);
    }
    true
}

fn check_shares(problem: &Problem, closing: &Closing) {
    for ((run, n), share) in problem.runs.iter().zip(&closing.counts).zip(&closing.gaps) {
        let expected = n.map(|n| brute::share(run, &closing.sizes, n));
        let got = share.map(|s| (s.places, s.total * i128::from(s.scale)));
        assert_eq!(got, expected);
    }
}

fn series(from: u64, count: u64, kind: Kind, keep: usize, least: u64) {
    let mut fitting = 0;
    for seed in from..from + count {
        let problem = random(&mut Lcg(seed * 7_919 + 13), kind);
        fitting += u64::from(check(seed, &problem, keep));
    }
    // The generator is worth nothing if nearly all of its problems are empty, or none.
    assert!(fitting >= least && fitting < count, "{fitting} of {count} come out");
}

#[test]
fn one_and_two_sizes() {
    let kind = Kind { sizes: 2, points: 12, runs: 4, choices: 2, relations: 1 };
    series(1, 1500, kind, 12, 400);
}

#[test]
fn up_to_four_sizes_and_eight_runs() {
    let kind = Kind { sizes: 4, points: 7, runs: 8, choices: 1, relations: 1 };
    series(10_000, 1200, kind, 12, 150);
}

#[test]
fn only_the_best_few() {
    let kind = Kind { sizes: 3, points: 12, runs: 3, choices: 2, relations: 2 };
    series(50_000, 500, kind, 3, 100);
}

#[test]
fn a_wrong_list_is_refused_by_the_referee() {
    let kind = Kind { sizes: 3, points: 10, runs: 3, choices: 1, relations: 0 };
    let (mut refused, mut tried) = (0, 0);
    for seed in 0..150 {
        let problem = random(&mut Lcg(seed * 31 + 7), kind);
        let limits = Limits::default();
        let Ok(Outcome::Fits(answer)) = solve(&problem, Ranking::AsWished, &limits, &|| false) else {
            continue;
        };
        if answer.closings.len() < 2 {
            continue;
        }
        tried += 1;
        // The best closing withheld: the tree's references now point at the wrong closings or at none.
        let mut cheat = answer.clone();
        cheat.closings.remove(0);
        refused += u32::from(check_proof(&problem, Ranking::AsWished, 12, &cheat).is_err());
        // Shortcuts instead of the tree.
        let keep = answer.closings.len();
        for shortcut in [Proof::Bound, Proof::Empty, Proof::Listed(0)] {
            let cheat = Answer { proof: Some(shortcut), ..answer.clone() };
            assert!(check_proof(&problem, Ranking::AsWished, keep, &cheat).is_err());
        }
        // A worse size in a closing, with its true vector.
        let mut cheat = answer.clone();
        let room = cheat.closings[0].room[0];
        if room.0 < room.1 {
            let own = &mut cheat.closings[0];
            own.sizes[0] = if own.sizes[0] == room.0 { room.1 } else { room.0 };
            own.vector = brute::vector(&problem, Ranking::AsWished, &own.choices, &own.counts, &own.sizes);
            assert!(check_proof(&problem, Ranking::AsWished, 12, &cheat).is_err());
        }
    }
    assert!(tried > 20);
    assert_eq!(refused, tried);
}

#[test]
fn windows_are_the_open_grid_points() {
    let kind = Kind { sizes: 2, points: 12, runs: 5, choices: 2, relations: 1 };
    let mut seen = 0;
    for seed in 0..800 {
        let problem = random(&mut Lcg(seed * 17 + 3), kind);
        let lists: Vec<Vec<usize>> = (problem.choices.iter()).map(|c| (0..c.options.len()).collect()).collect();
        for choices in brute::product(&lists) {
            for size in 0..problem.sizes.len() {
                let over = (-10, 120);
                let got = windows(&problem, size, &choices, over).expect("a sound problem");
                seen += got.len();
                assert_eq!(got, expected_windows(&problem, size, &choices, over), "seed {seed}");
            }
        }
    }
    assert!(seen > 1000, "{seen}");
}

fn expected_windows(p: &Problem, size: usize, choices: &[usize], over: (i64, i64)) -> Vec<Window> {
    let axis = &p.sizes[size];
    let alone: Vec<usize> = (0..p.runs.len())
        .filter(|&i| {
            let mut factor = vec![0; p.sizes.len()];
            for &(s, f) in &p.runs[i].face.terms {
                factor[s] += f;
            }
            let others = (0..factor.len()).any(|s| s != size && factor[s] != 0);
            factor[size] != 0 && !others && brute::live(&p.runs[i].when, choices)
        })
        .collect();
    let counts_at = |i: usize, x: i64| -> Vec<i64> {
        let mut sizes = vec![0; p.sizes.len()];
        sizes[size] = x;
        let run = &p.runs[i];
        let gap = p.gaps[run.gap].wish;
        (run.count.0.max(1)..=run.count.1).filter(|&n| brute::closes(run, (gap.from, gap.to), &sizes, n)).collect()
    };
    let grid: Vec<i64> = (over.0..=over.1).filter(|x| (x - axis.origin).rem_euclid(axis.step) == 0).collect();
    let mut stretches: Vec<(i64, i64)> = Vec::new();
    for &x in &grid {
        if alone.iter().any(|&i| counts_at(i, x).is_empty()) {
            continue;
        }
        match stretches.last_mut() {
            Some(last) if last.1 == x - axis.step => last.1 = x,
            _ => stretches.push((x, x)),
        }
    }
    stretches
        .into_iter()
        .map(|(from, to)| {
            let inside = grid.iter().copied().filter(|&x| from <= x && x <= to);
            let best = inside.min_by_key(|x| ((x - axis.wish.want).abs(), *x)).unwrap();
            let nearest = |i: usize| {
                let run = &p.runs[i];
                let want = i128::from(p.gaps[run.gap].wish.want);
                let mut sizes = vec![0; p.sizes.len()];
                sizes[size] = best;
                let off = |n: &i64| {
                    let (places, total) = brute::share(run, &sizes, *n);
                    // Compared as fractions, exactly: scaled to a common multiple large enough for these sizes.
                    (total - places * want).abs() * 5_354_228_880 / places.max(1)
                };
                counts_at(i, best).into_iter().min_by_key(|n| (off(n), *n)).unwrap()
            };
            Window { from, to, best, counts: alone.iter().map(|&i| (i, nearest(i))).collect() }
        })
        .collect()
}
