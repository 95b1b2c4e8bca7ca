//! What holds of every job, whatever its numbers: random jobs of our own.

mod common;

use common::{Lcg, proven, referee};
use packing::{Cutting, Item, Job, Limits, Reserve, Stock};

/// A job of some lengths on boards of some lengths, prices and supplies.
fn random(lcg: &mut Lcg) -> Job {
    let items = (0..lcg.between(1, 7))
        .map(|_| Item { length: lcg.between(20, 140), demand: lcg.between(0, 9) as u32 })
        .collect();
    let mut stocks: Vec<Stock> = (0..lcg.between(1, 4))
        .map(|_| Stock {
            length: lcg.between(150, 400),
            cost: lcg.between(0, 60),
            supply: (lcg.below(3) == 0).then(|| lcg.below(4) as u32),
        })
        .collect();
    stocks.push(Stock { length: 300, cost: 40, supply: None });
    let reserve = Reserve { per_cut: lcg.between(0, 2), per_board: lcg.between(0, 5) };
    Job { items, stocks, kerf: lcg.between(0, 4), trim: lcg.between(0, 8), reserve }
}

fn cut(job: &Job) -> Cutting {
    let cutting = common::solve(job);
    assert!(proven(&cutting), "{job:?}");
    cutting
}

#[test]
fn more_stock_never_costs_more() {
    let mut lcg = Lcg(11);
    for _ in 0..200 {
        let job = random(&mut lcg);
        let before = cut(&job).cost;
        let mut more = job.clone();
        more.stocks.iter_mut().for_each(|stock| stock.supply = stock.supply.map(|supply| supply + 1));
        more.stocks.push(Stock { length: lcg.between(150, 400), cost: lcg.between(0, 60), supply: Some(2) });
        assert!(cut(&more).cost <= before, "{more:?}");
    }
}

/// The same job told in another order, with parts of one length apart, is the same plan.
#[test]
fn the_order_of_a_job_changes_nothing() {
    let mut lcg = Lcg(12);
    for _ in 0..200 {
        let job = random(&mut lcg);
        let mut other = job.clone();
        other.items = job.items.iter().rev().flat_map(|item| split(*item)).collect();
        other.stocks.reverse();
        let (first, second) = (cut(&job), cut(&other));
        assert_eq!((first.cost, first.boards), (second.cost, second.boards), "{job:?}");
        assert_eq!(slacks(&first), slacks(&second), "{job:?}");
    }
}

fn split(item: Item) -> [Item; 2] {
    let one = item.demand / 2;
    [Item { demand: one, ..item }, Item { demand: item.demand - one, ..item }]
}

fn slacks(cutting: &Cutting) -> Vec<i64> {
    let mut slacks: Vec<i64> = Vec::new();
    for pattern in &cutting.patterns {
        slacks.extend((0..pattern.times).map(|_| pattern.slack));
    }
    slacks.sort_unstable();
    slacks
}

/// A kerf is a part that grows by it on a board that grows by it: the textbook problem with other numbers.
#[test]
fn a_kerf_is_the_textbook_problem_with_longer_parts() {
    let mut lcg = Lcg(13);
    for _ in 0..200 {
        let job = random(&mut lcg);
        let mut plain = Job { kerf: 0, trim: 0, reserve: Reserve::default(), ..job.clone() };
        plain.items.iter_mut().for_each(|item| item.length += job.kerf);
        plain.stocks.iter_mut().for_each(|stock| stock.length += job.kerf - job.trim);
        assert_eq!(cut(&job).cost, cut(&plain).cost, "{job:?}");
    }
}

#[test]
fn the_cost_alone_is_the_cost_with_all_goals() {
    let mut lcg = Lcg(14);
    for _ in 0..300 {
        let job = random(&mut lcg);
        let alone = packing::cheapest(&job, &Limits::default(), &|| false).expect("one stock has no end");
        referee(&job, &alone);
        assert!(proven(&alone), "{job:?}");
        assert_eq!(alone.cost, cut(&job).cost, "{job:?}");
    }
}

#[test]
fn equal_jobs_give_equal_plans() {
    let mut lcg = Lcg(15);
    for _ in 0..50 {
        let job = random(&mut lcg);
        assert_eq!(
            packing::cheapest(&job, &Limits::default(), &|| false),
            packing::cheapest(&job, &Limits::default(), &|| false)
        );
        assert_eq!(cut(&job), cut(&job));
    }
}
