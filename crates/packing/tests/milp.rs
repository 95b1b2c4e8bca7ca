//! The least cost of random small jobs against a general-purpose solver.
//!
//! Source: `microlp`, a solver for mixed-integer linear programs, asked for the cheapest whole-number mix of all patterns: a covering row for
//! each length, a row for each supply. `JOBS=10000 cargo test --release -p packing --test milp` asks ten thousand; the ordinary test fewer.

mod common;

use common::{Lcg, clear, proven, referee};
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use packing::{Bad, Item, Job, Limits, Stock};

/// Jobs of the ordinary test.
const JOBS: u64 = 300;

fn random(lcg: &mut Lcg) -> Job {
    let items = (0..lcg.between(1, 4))
        .map(|_| Item { length: lcg.between(40, 180), demand: lcg.between(1, 5) as u32 })
        .collect();
    let stocks: Vec<Stock> = (0..lcg.between(1, 3))
        .map(|_| Stock {
            length: lcg.between(160, 400),
            cost: lcg.between(5, 60),
            supply: (lcg.below(2) == 0).then(|| lcg.below(5) as u32),
        })
        .collect();
    let mut job = Job { items, stocks, kerf: lcg.between(0, 5), trim: lcg.between(0, 9), ..Job::default() };
    // Every third job has an individual board or two with bad stretches, now and then one that costs nothing.
    for _ in 0..if lcg.below(3) == 0 { lcg.between(1, 2) } else { 0 } {
        let length = lcg.between(160, 400);
        let stock = job.stocks.len();
        job.stocks.push(Stock { length, cost: lcg.between(0, 30), supply: Some(lcg.between(1, 2) as u32) });
        for _ in 0..lcg.between(1, 2) {
            let from = lcg.between(0, length - 1);
            job.bad.push(Bad { stock, from, to: lcg.between(from + 1, length.min(from + 60)) });
        }
    }
    job
}

/// Every way to fill a board until no further part fits, with at most the demand of each length; of a board with bad stretches every way.
fn patterns(job: &Job, stock: usize) -> Vec<Vec<u32>> {
    let mut found = Vec::new();
    match clear(job, stock) {
        None => list(job, job.stocks[stock].length - job.trim + job.kerf, &mut Vec::new(), &mut found),
        Some(rooms) => fill(job, &rooms, 0, &vec![0; job.items.len()], &mut found),
    }
    found
}

/// Fills one clear stretch after the other in every way.
fn fill(job: &Job, rooms: &[i64], at: usize, held: &[u32], found: &mut Vec<Vec<u32>>) {
    let Some((room, rest)) = rooms.split_first() else {
        found.push(held.to_vec());
        found.sort();
        found.dedup();
        return;
    };
    if at == job.items.len() {
        return fill(job, rest, 0, held, found);
    }
    let item = &job.items[at];
    let room = if at == 0 { room + job.kerf } else { *room };
    for count in 0..=item.demand - held[at] {
        let left = room - i64::from(count) * (item.length + job.kerf);
        if left >= 0 {
            let mut more = held.to_vec();
            more[at] += count;
            let rooms: Vec<i64> = std::iter::once(left).chain(rest.iter().copied()).collect();
            fill(job, &rooms, at + 1, &more, found);
        }
    }
}

fn list(job: &Job, room: i64, counts: &mut Vec<u32>, found: &mut Vec<Vec<u32>>) {
    let Some(item) = job.items.get(counts.len()) else {
        let open = |(item, count): (&Item, &u32)| *count < item.demand && item.length + job.kerf <= room;
        if !job.items.iter().zip(&*counts).any(open) {
            found.push(counts.clone());
        }
        return;
    };
    for count in 0..=item.demand {
        let left = room - i64::from(count) * (item.length + job.kerf);
        if left >= 0 {
            counts.push(count);
            list(job, left, counts, found);
            counts.pop();
        }
    }
}

/// The least cost, or `None` if the supply does not suffice.
fn by_general_solver(job: &Job) -> Option<i64> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut columns: Vec<(usize, Vec<u32>, Variable)> = Vec::new();
    for (at, stock) in job.stocks.iter().enumerate().filter(|(_, stock)| stock.supply != Some(0)) {
        for counts in patterns(job, at) {
            let most = stock.supply.unwrap_or(40).min(40) as i32;
            columns.push((at, counts, problem.add_integer_var(stock.cost as f64, (0, most))));
        }
    }
    for (row, item) in job.items.iter().enumerate() {
        let terms = columns.iter().filter(|c| c.1[row] > 0).map(|c| (c.2, f64::from(c.1[row])));
        problem.add_constraint(terms, ComparisonOp::Ge, f64::from(item.demand));
    }
    for (at, stock) in job.stocks.iter().enumerate() {
        if let Some(supply) = stock.supply {
            let terms = columns.iter().filter(|c| c.0 == at).map(|c| (c.2, 1.0));
            problem.add_constraint(terms, ComparisonOp::Le, f64::from(supply));
        }
    }
    problem.solve().ok().map(|solution| solution.objective().round() as i64)
}

#[test]
fn the_least_cost_is_that_of_a_general_solver() {
    let jobs = std::env::var("JOBS").ok().and_then(|jobs| jobs.parse().ok()).unwrap_or(JOBS);
    let (mut cut, mut short) = (0, 0);
    for number in 0..jobs {
        let job = random(&mut Lcg(1_000 + number));
        match packing::cheapest(&job, &Limits::default(), &|| false) {
            Ok(cutting) => {
                referee(&job, &cutting);
                assert!(proven(&cutting), "{job:?}");
                assert_eq!(by_general_solver(&job), Some(cutting.cost), "{job:?}");
                cut += 1;
            }
            Err(packing::Problem::SupplyShort { .. } | packing::Problem::TooLong { .. }) => {
                assert_eq!(by_general_solver(&job), None, "{job:?}");
                short += 1;
            }
            Err(problem) => panic!("{job:?}: {problem}"),
        }
    }
    assert!(cut > jobs / 3 && short > jobs / 50, "{cut} cut, {short} short");
}
