//! Short forms for problems, and random small ones.

use fit::*;

/// One millimetre in nanometres.
pub const MM: i64 = 1_000_000;

pub fn wish(want: i64, from: i64, to: i64, rank: u32) -> Wish {
    let wide = 3 * (to - from).max(1);
    Wish { want, from, to, rank, weight: 1, reach: (from - wide, to + wide) }
}

pub fn size(name: &str, step: i64, wish: Wish) -> Size {
    Size { name: name.into(), origin: 0, step, wish }
}

pub fn gap(name: &str, wish: Wish) -> Gap {
    Gap { name: name.into(), wish }
}

pub fn affine(terms: &[(usize, i64)], constant: i64) -> Affine {
    Affine { terms: terms.to_vec(), constant }
}

/// A run at right angles with one gap per member.
pub fn run(name: &str, face: Affine, member: i64, end_gaps: i64, gap: usize) -> Run {
    Run {
        name: name.into(),
        when: vec![],
        face,
        member,
        gaps_per_member: 1,
        end_gaps,
        gap_scale: 1,
        gap,
        count: (1, 10_000),
    }
}

pub fn fits(problem: &Problem, ranking: Ranking, limits: &Limits) -> Answer {
    match solve(problem, ranking, limits, &|| false) {
        Ok(Outcome::Fits(answer)) => answer,
        other => panic!("expected closings, got {other:?}"),
    }
}

/// A small generator of our own (64-bit linear congruence, multiplier and increment of Knuth's MMIX).
pub struct Lcg(pub u64);

impl Lcg {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }

    /// Whole number from `low` to `high`, ends included.
    pub fn pick(&mut self, low: i64, high: i64) -> i64 {
        low + (self.next() % (high - low + 1) as u64) as i64
    }

    pub fn one_in(&mut self, n: i64) -> bool {
        self.pick(1, n) == 1
    }
}

/// What a random problem may contain.
#[derive(Clone, Copy)]
pub struct Kind {
    pub sizes: i64,
    pub points: i64,
    pub runs: i64,
    pub choices: i64,
    pub relations: i64,
}

pub fn random(lcg: &mut Lcg, kind: Kind) -> Problem {
    let mut problem = Problem::default();
    for i in 0..lcg.pick(0, kind.choices) {
        let options = lcg.pick(1, 3);
        problem.choices.push(Choice {
            name: format!("choice {i}"),
            options: (0..options).map(|o| format!("option {o}")).collect(),
            pinned: lcg.one_in(4).then(|| lcg.pick(0, options - 1) as usize),
        });
    }
    for i in 0..lcg.pick(1, kind.sizes) {
        problem.sizes.push(random_size(lcg, i, kind.points));
    }
    for i in 0..lcg.pick(1, 2) {
        let from = lcg.pick(-1, 3);
        let to = from + lcg.pick(0, 6);
        problem.gaps.push(gap(
            &format!("gap {i}"),
            Wish {
                want: lcg.pick(from - 1, to + 1),
                from,
                to,
                rank: lcg.pick(0, 3) as u32,
                weight: lcg.pick(0, 3),
                reach: (from - lcg.pick(0, 2), to + lcg.pick(0, 3)),
            },
        ));
    }
    for i in 0..lcg.pick(1, kind.runs) {
        let made = random_run(lcg, &problem, i);
        problem.runs.push(made);
    }
    for i in 0..lcg.pick(0, kind.relations) {
        let value = random_affine(lcg, problem.sizes.len(), 0);
        let from = lcg.pick(-10, 60);
        problem.relations.push(Relation {
            name: format!("relation {i}"),
            when: random_when(lcg, &problem),
            value,
            from,
            to: from + lcg.pick(0, 60),
        });
    }
    problem
}

fn random_size(lcg: &mut Lcg, i: i64, points: i64) -> Size {
    let step = lcg.pick(1, 3);
    let from = lcg.pick(15, 50);
    let to = from + step * lcg.pick(0, points - 1);
    let want = if lcg.one_in(5) { lcg.pick(from - 5, to + 5) } else { lcg.pick(from, to) };
    Size {
        name: format!("size {i}"),
        origin: lcg.pick(-20, 20),
        step,
        wish: Wish {
            want,
            from,
            to,
            rank: lcg.pick(0, 3) as u32,
            weight: lcg.pick(0, 3),
            reach: (from - lcg.pick(0, 6), to + lcg.pick(0, 6)),
        },
    }
}

fn random_affine(lcg: &mut Lcg, sizes: usize, constant: i64) -> Affine {
    let count = if lcg.one_in(3) { 2 } else { 1 };
    let terms = (0..count)
        .map(|_| {
            let factor = [1, 1, 1, -1, 2][lcg.pick(0, 4) as usize];
            (lcg.pick(0, sizes as i64 - 1) as usize, factor)
        })
        .collect();
    Affine { terms, constant }
}

fn random_when(lcg: &mut Lcg, problem: &Problem) -> Vec<(usize, usize)> {
    let mut when = Vec::new();
    for (i, choice) in problem.choices.iter().enumerate() {
        if lcg.one_in(3) {
            let last = choice.options.len() as i64 - 1;
            when.push((i, lcg.pick(0, last) as usize));
        }
    }
    when
}

fn random_run(lcg: &mut Lcg, problem: &Problem, i: i64) -> Run {
    let constant = lcg.pick(-5, 40);
    let mut face = random_affine(lcg, problem.sizes.len(), constant);
    if face.terms.iter().map(|t| t.1).sum::<i64>() <= 0 {
        face.constant += 60;
    }
    let gap_scale = if lcg.one_in(5) { 3 } else { 1 };
    let low = lcg.pick(1, 3);
    Run {
        name: format!("run {i}"),
        when: random_when(lcg, problem),
        face,
        // Longer than the worst overlap, also when the gap is dropped to its reach.
        member: lcg.pick(7, 14),
        gaps_per_member: [1, 1, 1, 1, 2, 0][lcg.pick(0, 5) as usize],
        end_gaps: lcg.pick(-gap_scale, 2 * gap_scale),
        gap_scale,
        gap: lcg.pick(0, problem.gaps.len() as i64 - 1) as usize,
        count: (low - 1, low + lcg.pick(0, 12)),
    }
}
