//! Random systems of coupled sizes that no piece can express, with our answers: one JSON object a line, for
//! `benchmarks/milp/compare.py`, which asks a general-purpose MILP solver the same.

use fit::{Affine, Gap, Limits, Outcome, Problem, Ranking, Run, Size, Status, Wish};
use std::time::Instant;

/// A small generator of the kind x' = a x + c modulo 2⁶⁴ (Knuth, MMIX), so that every run gives the same systems.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, below: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        // The upper 31 bits of the state, so the remainder is a small positive number.
        ((self.0 >> 33) as i64) % below
    }
}

/// Prints `count` systems with what `fit` makes of them.
pub fn run(count: u64) -> Result<(), String> {
    for number in 0..count {
        let problem = system(&mut Dice(number + 1));
        let start = Instant::now();
        let limits = Limits { steps: 1_000_000, keep: 1, count_cap: 0 };
        let outcome = fit::solve(&problem, Ranking::AsWished, &limits, &|| false).map_err(|fault| fault.to_string())?;
        let milliseconds = start.elapsed().as_secs_f64() * 1e3;
        let best = match outcome {
            Outcome::Fits(answer) if answer.status == Status::Proven => answer.closings[0].vector[0].to_string(),
            Outcome::Fits(_) => "\"unfinished\"".to_owned(),
            Outcome::Collides(_) => "null".to_owned(),
            Outcome::Unfinished { .. } => "\"unfinished\"".to_owned(),
        };
        println!("{{\"system\": {number}, \"ms\": {milliseconds:.3}, \"best\": {best}, {}}}", told(&problem));
    }
    Ok(())
}

/// One to four sizes, up to eight runs over sums of them; whole numbers, of which one is taken as a millimetre.
fn system(dice: &mut Dice) -> Problem {
    let size = |dice: &mut Dice, place: usize| {
        let want = 300 + dice.throw(900);
        let reach = 40 + dice.throw(120);
        let wish = Wish {
            want,
            from: want - reach,
            to: want + reach,
            rank: 1,
            weight: 1,
            reach: (want - reach, want + reach),
        };
        Size { name: format!("size {place}"), origin: 0, step: 1, wish }
    };
    let gap = |dice: &mut Dice, place: usize| {
        let from = 2 + dice.throw(6);
        let to = from + dice.throw(8);
        let wish = Wish { want: from, from, to, rank: 2, weight: 0, reach: (from, to) };
        Gap { name: format!("gap {place}"), wish }
    };
    let count = 1 + dice.throw(4);
    let sizes: Vec<Size> = (0..count).map(|place| size(dice, place as usize)).collect();
    let gaps: Vec<Gap> = (0..2).map(|place| gap(dice, place)).collect();
    let run = |dice: &mut Dice, place: usize| {
        let mut terms: Vec<(usize, i64)> = Vec::new();
        for at in 0..sizes.len() {
            let times = [0, 1, 1, -1][dice.throw(4) as usize];
            if times != 0 {
                terms.push((at, times));
            }
        }
        if terms.iter().all(|term| term.1 < 0) {
            terms = vec![(place % sizes.len(), 1)];
        }
        Run {
            name: format!("run {place}"),
            when: Vec::new(),
            face: Affine { terms, constant: dice.throw(60) - 30 },
            member: 40 + dice.throw(80),
            gaps_per_member: 1,
            end_gaps: dice.throw(3) - 1,
            gap_scale: 1,
            gap: dice.throw(2) as usize,
            count: (1, 60),
        }
    };
    let runs = 1 + dice.throw(8);
    let runs = (0..runs).map(|place| run(dice, place as usize)).collect();
    Problem { choices: Vec::new(), sizes, gaps, runs, relations: Vec::new() }
}

fn told(problem: &Problem) -> String {
    let size = |size: &Size| format!("[{}, {}, {}]", size.wish.want, size.wish.from, size.wish.to);
    let run = |run: &Run| {
        let wish = problem.gaps[run.gap].wish;
        let terms: Vec<String> = run.face.terms.iter().map(|(size, times)| format!("[{size}, {times}]")).collect();
        format!(
            "{{\"terms\": [{}], \"constant\": {}, \"member\": {}, \"end_gaps\": {}, \"gap\": [{}, {}], \"count\": [{}, {}]}}",
            terms.join(", "),
            run.face.constant,
            run.member,
            run.end_gaps,
            wish.from,
            wish.to,
            run.count.0,
            run.count.1
        )
    };
    let sizes: Vec<String> = problem.sizes.iter().map(size).collect();
    let runs: Vec<String> = problem.runs.iter().map(run).collect();
    format!("\"sizes\": [{}], \"runs\": [{}]", sizes.join(", "), runs.join(", "))
}
