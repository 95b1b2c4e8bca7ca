//! Instances of the published sets of the one-dimensional bin packing problem; every one has to be proven at its published optimum.
//!
//! `published/instances.txt` holds one instance a line: name, class, capacity, number of parts, optimum, then sizes with their numbers.
//! No kerf, no trim, every board costs 1. The sets and their first publication:
//!
//! - `falkenauer_u`, `falkenauer_t`: E. Falkenauer, A hybrid grouping genetic algorithm for bin packing, Journal of Heuristics 2 (1996), as in
//!   the OR-Library (the triplets' sizes times ten).
//! - `scholl_1` to `scholl_3`: A. Scholl, R. Klein, C. Juergens, BISON: a fast hybrid procedure for exactly solving the one-dimensional bin
//!   packing problem, Computers & Operations Research 24 (1997).
//! - `schwerin_1`, `schwerin_2`: P. Schwerin, G. Waescher, The bin-packing problem: a problem generator and some numerical experiments with
//!   FFD packing and MTP, International Transactions in Operational Research 4 (1997).
//! - `waescher`: G. Waescher, T. Gau, Heuristics for the integer one-dimensional cutting stock problem, OR Spektrum 18 (1996).
//! - `hard28`: J. E. Schoenfield, Fast, exact solution of open bin packing problems without linear programming, US Army Space and Missile
//!   Defense Command (2002), as distributed with G. Belov, G. Scheithauer, EJOR 171 (2006).
//!
//! Data and optima as collected in BPPLIB (M. Delorme, M. Iori, S. Martello, Optimization Letters 12, 2018), where every one of these is closed.

mod common;

use common::{job, proven, referee};
use packing::{Job, Limits};

/// Steps for one instance; the hardest here takes under a tenth of it.
const STEPS: u64 = 1_000_000_000;

struct Instance {
    name: &'static str,
    class: &'static str,
    job: Job,
    optimum: i64,
}

fn instances() -> impl Iterator<Item = Instance> {
    include_str!("published/instances.txt").lines().map(|line| {
        let mut words = line.split(' ');
        let mut next = || words.next().expect("five words stand before the sizes");
        let (name, class) = (next(), next());
        let mut number = || next().parse::<i64>().expect("a whole number");
        let (capacity, parts, optimum) = (number(), number(), number());
        let items: Vec<(i64, u32)> = words
            .map(|word| {
                let (size, count) = word.split_once('x').expect("size x number");
                (size.parse().expect("a size"), count.parse().expect("a number"))
            })
            .collect();
        assert_eq!(items.iter().map(|item| i64::from(item.1)).sum::<i64>(), parts, "{name}");
        Instance { name, class, job: job(&items, &[(capacity, 1)], 0, 0, (0, 0)), optimum }
    })
}

fn check(class: &str) {
    let mut count = 0;
    for instance in instances().filter(|instance| instance.class == class) {
        let cutting = packing::cheapest(&instance.job, &Limits { steps: STEPS }, &|| false).expect("it can be cut");
        referee(&instance.job, &cutting);
        assert!(proven(&cutting), "{}: {} is not proven", instance.name, cutting.cost);
        assert_eq!(cutting.cost, instance.optimum, "{}", instance.name);
        count += 1;
    }
    assert!(count > 0, "no instance of {class}");
}

#[test]
fn falkenauer_uniform() {
    check("falkenauer_u");
}

#[test]
fn falkenauer_triplets() {
    check("falkenauer_t");
}

#[test]
fn scholl() {
    check("scholl_1");
    check("scholl_2");
    check("scholl_3");
}

#[test]
fn schwerin() {
    check("schwerin_1");
    check("schwerin_2");
}

#[test]
fn waescher() {
    check("waescher");
}

#[test]
fn hard28() {
    check("hard28");
}

/// With all later goals, within the limits of every day, the cost is the same.
#[test]
fn all_goals_cost_no_more() {
    for instance in instances().filter(|instance| instance.job.items.len() < 60) {
        let cutting = common::solve(&instance.job);
        assert_eq!(cutting.cost, instance.optimum, "{}", instance.name);
    }
}
