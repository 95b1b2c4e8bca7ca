//! Random problems in nanometres on grids of a millimetre, too large for brute force: the referee replays every proof, so
//! each list is shown to be the best by something that shares no code with the search.

use super::builders::*;
use super::referee::{check_closing, check_proof};
use fit::*;

/// The small problem in millimetres, written in nanometres, with members and gaps a little off their round values.
fn enlarge(p: &mut Problem, lcg: &mut Lcg) {
    let wish = |w: &mut Wish| {
        for x in [&mut w.want, &mut w.from, &mut w.to, &mut w.reach.0, &mut w.reach.1] {
            *x *= MM;
        }
    };
    for s in &mut p.sizes {
        wish(&mut s.wish);
        s.origin *= MM;
        s.step *= MM;
        s.wish.to += lcg.pick(0, 40) * s.step;
    }
    for g in &mut p.gaps {
        wish(&mut g.wish);
        g.wish.to += lcg.pick(0, MM);
        g.wish.want += lcg.pick(-MM / 2, MM / 2);
    }
    for r in &mut p.runs {
        r.member = r.member * MM + lcg.pick(0, MM);
        r.face.constant = r.face.constant * MM + lcg.pick(0, MM);
        r.count.1 += 20;
    }
    for r in &mut p.relations {
        (r.value.constant, r.from, r.to) = (r.value.constant * MM, r.from * MM, r.to * MM);
    }
}

#[test]
fn lists_in_nanometres_are_proven() {
    let kind = Kind { sizes: 4, points: 30, runs: 6, choices: 1, relations: 1 };
    let limits = Limits { steps: 20_000, keep: 12, count_cap: 100 };
    let (mut lists, mut proofs) = (0, 0);
    for seed in 0..400 {
        let mut lcg = Lcg(seed * 4_231 + 17);
        let mut p = random(&mut lcg, kind);
        enlarge(&mut p, &mut lcg);
        let ranking = [Ranking::AsWished, Ranking::SizesFirst, Ranking::FewestMembers][(seed % 3) as usize];
        let Ok(Outcome::Fits(answer)) = solve(&p, ranking, &limits, &|| false) else { continue };
        lists += 1;
        for closing in &answer.closings {
            check_closing(&p, ranking, closing).expect("a sound closing");
        }
        if answer.proof.is_some() {
            proofs += 1;
            check_proof(&p, ranking, limits.keep, &answer).unwrap_or_else(|why| panic!("seed {seed}: {why}"));
        } else {
            eprintln!("no proof: seed {seed} {ranking:?} {:?} steps {}", answer.status, answer.steps);
        }
    }
    assert!(lists >= 100, "{lists}");
    assert!(proofs * 20 >= lists * 19, "{proofs} of {lists}");
}
