//! A general-purpose solver for mixed integer problems (microlp) as an outside opinion on the first component of the objective.

use super::builders::*;
use fit::*;
use microlp::{ComparisonOp, OptimizationDirection};

/// Least `sum of weight * |size - want|` of a problem without choices, with all sizes of one rank and all gaps of a later one.
fn general(p: &Problem) -> Option<f64> {
    let mut model = microlp::Problem::new(OptimizationDirection::Minimize);
    let mut index = Vec::new();
    for s in &p.sizes {
        let up = |x: i64| (x - s.origin).div_euclid(s.step);
        let low = up(s.wish.from + s.step - 1);
        let high = up(s.wish.to);
        if low > high {
            return None;
        }
        let k = model.add_integer_var(0.0, (low as i32, high as i32));
        let off = model.add_var(s.wish.weight as f64, (0.0, f64::INFINITY));
        let from_want = (s.origin - s.wish.want) as f64;
        let step = s.step as f64;
        model.add_constraint([(off, 1.0), (k, -step)], ComparisonOp::Ge, from_want);
        model.add_constraint([(off, 1.0), (k, step)], ComparisonOp::Ge, -from_want);
        index.push(k);
    }
    for r in &p.runs {
        let gap = p.gaps[r.gap].wish;
        let n = model.add_integer_var(0.0, (r.count.0.max(1) as i32, r.count.1 as i32));
        let per = (r.gaps_per_member * r.gap_scale) as f64;
        model.add_constraint([(n, per)], ComparisonOp::Ge, -r.end_gaps as f64);
        for (bound, op) in [(gap.from, ComparisonOp::Ge), (gap.to, ComparisonOp::Le)] {
            // scale * face - n * (scale * member + per * gap)  >= or <=  ends * gap
            let mut row = vec![(n, -((r.member * r.gap_scale) as f64 + per * bound as f64))];
            let mut constant = r.face.constant;
            let mut factors = vec![0; p.sizes.len()];
            for &(s, f) in &r.face.terms {
                factors[s] += f;
                constant += f * p.sizes[s].origin;
            }
            for (s, f) in factors.into_iter().enumerate() {
                row.push((index[s], (f * p.sizes[s].step * r.gap_scale) as f64));
            }
            let right = (r.end_gaps * bound - r.gap_scale * constant) as f64;
            model.add_constraint(&row, op, right);
        }
    }
    model.solve().ok().map(|solution| solution.objective())
}

#[test]
fn a_general_solver_finds_the_same_first_component() {
    let kind = Kind { sizes: 4, points: 40, runs: 3, choices: 0, relations: 0 };
    let limits = Limits { keep: 1, steps: 100_000, count_cap: 1 };
    let (mut out, mut empty) = (0, 0);
    for seed in 0..200 {
        let mut p = random(&mut Lcg(seed * 977 + 5), kind);
        p.sizes.iter_mut().for_each(|s| s.wish.rank = 0);
        p.gaps.iter_mut().for_each(|g| g.wish.rank = 1);
        match (solve(&p, Ranking::AsWished, &limits, &|| false), general(&p)) {
            (Ok(Outcome::Fits(answer)), Some(objective)) => {
                out += 1;
                let ours = answer.closings[0].vector[0] as f64;
                assert_eq!(answer.status, Status::Proven);
                assert!((ours - objective).abs() < 1e-4, "seed {seed}: {ours} against {objective}");
            }
            (Ok(Outcome::Collides(_)), None) => empty += 1,
            (ours, theirs) => panic!("seed {seed}: {ours:?} against {theirs:?}\n{p:#?}"),
        }
    }
    assert!(out > 60 && empty > 10, "{out} {empty}");
}
