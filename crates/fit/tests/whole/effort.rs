//! Whole plans of the usual kinds: how many steps they take. Steps are the same on every machine, so they can be asserted.

use super::builders::*;
use super::referee::check_proof;
use fit::*;

/// A box with cladding on both faces, a ring of setts and courses in the height.
pub fn rectangle() -> Problem {
    Problem {
        sizes: vec![
            size("length", MM, wish(1200 * MM, 1050 * MM, 1350 * MM, 1)),
            size("width", MM, wish(450 * MM, 300 * MM, 600 * MM, 2)),
            size("height", MM, wish(450 * MM, 300 * MM, 600 * MM, 3)),
        ],
        gaps: vec![
            gap("joint", wish(10 * MM, 8 * MM, 12 * MM, 4)),
            gap("board gap", wish(8 * MM, 4 * MM, 12 * MM, 5)),
            gap("course gap", wish(5 * MM, 2 * MM, 8 * MM, 6)),
        ],
        runs: vec![
            run("ring, long", affine(&[(0, 1)], 240 * MM), 100 * MM, -1, 0),
            run("ring, short", affine(&[(1, 1)], 240 * MM), 100 * MM, -1, 0),
            run("cladding, long", affine(&[(0, 1)], -20 * MM), 95 * MM, 0, 1),
            run("cladding, short", affine(&[(1, 1)], -20 * MM), 95 * MM, 0, 1),
            run("courses", affine(&[(2, 1)], 0), 145 * MM, -1, 2),
        ],
        ..Problem::default()
    }
}

/// An L: four coupled sizes, six faces, wide gaps.
pub fn ell(gap_rank: u32) -> Problem {
    let side =
        |name: &str, want: i64, rank| size(name, MM, wish(want * MM, (want - 150) * MM, (want + 150) * MM, rank));
    let clad = |name: &str, face, member: i64, ends| run(name, face, member * MM, ends, 0);
    let ring = |name: &str, face, ends| run(name, face, 100 * MM, ends, 1);
    let legs = [
        affine(&[(0, 1)], 0),
        affine(&[(1, 1)], 0),
        affine(&[(2, 1)], 0),
        affine(&[(3, 1)], 0),
        affine(&[(0, 1), (2, -1)], 0),
        affine(&[(1, 1), (3, -1)], 0),
    ];
    let mut runs = Vec::new();
    for (i, face) in legs.iter().enumerate() {
        runs.push(clad("cladding", face.clone(), [95, 60, 110][i % 3], 0));
    }
    for (i, face) in legs.iter().enumerate().take(2) {
        let out = affine(&face.terms, 40 * MM + 100 * MM);
        runs.push(ring(["ring, long", "ring, short"][i], out, 0));
    }
    Problem {
        sizes: vec![side("length", 2200, 1), side("width", 1600, 1), side("leg", 700, 2), side("other leg", 650, 2)],
        gaps: vec![
            gap("board gap", wish(8 * MM, 4 * MM, 12 * MM, gap_rank)),
            gap("joint", wish(8 * MM, 4 * MM, 12 * MM, gap_rank)),
        ],
        runs,
        ..Problem::default()
    }
}

/// Eight sizes that nothing ties together, three runs each.
pub fn separable(gap_rank: u32) -> Problem {
    let mut problem = Problem {
        gaps: vec![
            gap("joint", wish(10 * MM, 8 * MM, 12 * MM, gap_rank)),
            gap("board gap", wish(8 * MM, 5 * MM, 11 * MM, gap_rank)),
            gap("slat gap", wish(12 * MM, 9 * MM, 15 * MM, gap_rank)),
        ],
        ..Problem::default()
    };
    for i in 0..8_i64 {
        let want = 4000 + 377 * i;
        let name = format!("size {i}");
        problem.sizes.push(size(&name, MM, wish(want * MM, 3000 * MM, 8000 * MM, 1)));
        for (gap, member) in [(0, 100), (1, 95), (2, 45)] {
            let face = affine(&[(i as usize, 1)], 20 * MM * i);
            problem.runs.push(run("row", face, member * MM, -1, gap));
        }
    }
    problem
}

fn nodes(proof: &Proof) -> usize {
    match proof {
        Proof::Split { parts, .. } => 1 + parts.iter().map(|part| nodes(&part.1)).sum::<usize>(),
        Proof::Apart(parts) => parts.iter().map(|part| nodes(&part.proof)).sum(),
        _ => 1,
    }
}

fn check(name: &str, problem: &Problem, ranking: Ranking, most_steps: u64, most_nodes: usize) {
    let limits = Limits::default();
    let answer = fits(problem, ranking, &limits);
    assert_eq!(answer.status, Status::Proven, "{name}");
    assert_eq!(answer.closings.len(), limits.keep, "{name}");
    assert!(answer.steps <= most_steps, "{name} {ranking:?}: {} steps", answer.steps);
    check_proof(problem, ranking, limits.keep, &answer).expect("a sound proof");
    let size = answer.proof.as_ref().map_or(0, nodes);
    assert!(size <= most_nodes, "{name} {ranking:?}: {size} nodes");
    // A hand that drags gets the same list, without count and proof.
    let dragging = Limits { count_cap: 0, ..limits };
    let same = fits(problem, ranking, &dragging);
    assert_eq!(same.closings, answer.closings);
    assert_eq!(same.proof, None);
}

#[test]
fn a_rectangle() {
    for ranking in [Ranking::AsWished, Ranking::SizesFirst, Ranking::FewestMembers] {
        check("rectangle", &rectangle(), ranking, 60, 30);
    }
}

#[test]
fn an_ell() {
    for gap_rank in [0, 1, 3] {
        for ranking in [Ranking::AsWished, Ranking::SizesFirst, Ranking::FewestMembers] {
            check(&format!("ell, gaps at {gap_rank}"), &ell(gap_rank), ranking, 1_000, 600);
        }
    }
}

#[test]
fn sizes_that_nothing_ties() {
    for gap_rank in [0, 1, 3] {
        for ranking in [Ranking::AsWished, Ranking::SizesFirst] {
            check(&format!("separable, gaps at {gap_rank}"), &separable(gap_rank), ranking, 1_000, 1_000);
        }
    }
}
