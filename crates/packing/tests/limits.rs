//! Jobs that make no sense, are too much, cannot be cut, or are very large.

mod common;

use std::cell::Cell;

use common::{Lcg, job, proven, referee, solve};
use packing::{Job, Limits, Problem, Reserve, Status, Stock, breaking_kerf, lower_bound, slack, verify};

/// The number that is at fault, and what spoils it.
type Fault = (&'static str, fn(&mut Job));

fn problem(job: &Job) -> Problem {
    packing::solve(job, &Limits::default(), &|| false).expect_err("the job has a fault")
}

fn plain() -> Job {
    job(&[(400, 3), (500, 2)], &[(1200, 100)], 3, 10, (0, 2))
}

#[test]
fn a_part_longer_than_any_stock_is_named() {
    let mut job = job(&[(400, 3), (2991, 0), (2991, 1)], &[(2400, 100), (3000, 120)], 3, 10, (0, 2));
    assert_eq!(problem(&job), Problem::TooLong { item: 2, longest: 2990 });
    job.items[2].length = 2990;
    assert_eq!(solve(&job).cost, 220);
    job.stocks.clear();
    assert_eq!(problem(&job), Problem::TooLong { item: 0, longest: 0 });
}

#[test]
fn short_supply_is_told() {
    let mut job = plain();
    job.stocks[0].supply = Some(1);
    assert_eq!(problem(&job), Problem::SupplyShort { needed: 3 * 403 + 2 * 503, available: 1193 });
    // Length enough in all, but three of 700 do not divide among two boards of 1200.
    let mut job = common::job(&[(700, 3)], &[(1200, 100)], 3, 10, (0, 2));
    job.stocks[0].supply = Some(2);
    assert_eq!(problem(&job), Problem::SupplyShort { needed: 3 * 703, available: 2 * 1193 });
}

#[test]
fn nonsense_is_named() {
    let faults: [Fault; 8] = [
        ("kerf", |j| j.kerf = -1),
        ("trim", |j| j.trim = -1),
        ("length of a part", |j| j.items[0].length = 0),
        ("length of a part", |j| j.items[1].length = i64::MIN),
        ("length of a stock", |j| j.stocks[0].length = 0),
        ("cost of a stock", |j| j.stocks[0].cost = -5),
        ("reserve per cut", |j| j.reserve.per_cut = -1),
        ("reserve per board", |j| j.reserve.per_board = i64::MIN),
    ];
    for (what, spoil) in faults {
        let mut job = plain();
        spoil(&mut job);
        assert!(matches!(problem(&job), Problem::Nonsense { what: w, .. } if w == what), "{what}");
    }
}

#[test]
fn what_is_too_much_is_refused_at_once() {
    let faults: [Fault; 9] = [
        ("kerf", |j| j.kerf = i64::MAX),
        ("trim", |j| j.trim = i64::MAX),
        ("length of a part", |j| j.items[0].length = i64::MAX),
        ("length of a stock", |j| j.stocks[0].length = i64::MAX),
        ("cost of a stock", |j| j.stocks[0].cost = i64::MAX),
        ("reserve per cut", |j| j.reserve.per_cut = i64::MAX),
        ("parts", |j| j.items[0].demand = 1_000_000_000),
        ("parts", |j| j.items.iter_mut().for_each(|i| i.demand = u32::MAX)),
        ("stock types", |j| j.stocks = vec![j.stocks[0]; 201]),
    ];
    for (what, spoil) in faults {
        let mut job = plain();
        spoil(&mut job);
        assert!(matches!(problem(&job), Problem::TooMuch { what: w, .. } if w == what), "{what}");
    }
}

#[test]
fn the_largest_numbers_taken_do_not_overflow() {
    let big = packing::LONGEST;
    let stocks = [(big, packing::DEAREST), (big - 1, packing::DEAREST - 1)];
    let job =
        job(&[(big / 3 - 5, 4), (big / 2, 3)], &stocks, 3, 4, (packing::LARGEST_RESERVE, packing::LARGEST_RESERVE));
    let cutting = solve(&job);
    assert!(proven(&cutting) && cutting.boards == 4, "{cutting:?}");
    let tiny = common::job(&[(1, 100_000)], &[(big, packing::DEAREST)], 0, 0, (0, 0));
    assert_eq!(solve(&tiny).boards, 1);
    let one_each = common::job(&[(big, 100_000)], &[(big, packing::DEAREST)], 0, 0, (0, 0));
    assert_eq!(solve(&one_each).cost, 100_000 * packing::DEAREST);
}

#[test]
fn nothing_wanted_costs_nothing() {
    let cutting = solve(&job(&[(400, 0)], &[(1200, 100)], 3, 10, (0, 2)));
    assert_eq!((cutting.cost, cutting.boards, cutting.patterns.len()), (0, 0, 0));
    assert!(proven(&solve(&Job::default())));
}

#[test]
fn offcuts_in_hand_cost_nothing_and_are_used_where_they_save() {
    // One offcut of 1300 takes two of 600; then one 2400 takes the other three instead of two boards for five.
    let mut job = job(&[(600, 5)], &[(2400, 800)], 3, 10, (0, 2));
    assert_eq!(solve(&job).cost, 1600);
    job.stocks.push(Stock { length: 1300, cost: 0, supply: Some(1) });
    let cutting = solve(&job);
    assert_eq!((cutting.cost, cutting.boards), (800, 2));
    job.stocks[1].supply = Some(3);
    assert_eq!(solve(&job).cost, 0);
    job.stocks[0].cost = 0;
    let cutting = solve(&job);
    assert_eq!((cutting.cost, cutting.boards), (0, 2));
}

#[test]
fn equal_lengths_of_two_items_are_handed_back_apart() {
    let job = job(&[(500, 3), (300, 2), (500, 4)], &[(1600, 10)], 3, 10, (0, 2));
    let cutting = solve(&job);
    assert_eq!(cutting.boards, 3);
}

#[test]
fn a_wish_to_stop_is_heard() {
    let asked = Cell::new(0u32);
    let stop = || {
        asked.set(asked.get() + 1);
        true
    };
    let job = job(&[(1510, 60), (480, 60), (733, 50)], &[(2400, 1128), (3000, 1410), (3600, 1692)], 3, 10, (0, 2));
    let cutting = packing::solve(&job, &Limits::default(), &stop).expect("a quick plan is there at once");
    referee(&job, &cutting);
    assert!(asked.get() > 0 && cutting.steps < 100_000);
}

/// Near-linear: the work for ten thousand parts is bounded, and the plan is within a fraction of a board of the proven bound.
#[test]
fn ten_thousand_parts_of_twenty_lengths() {
    let mut lcg = Lcg(30);
    for _ in 0..3 {
        let items: Vec<(i64, u32)> =
            (0..20).map(|i| ((150 + 120 * i + lcg.between(0, 110)) * 1_000_000, 500)).collect();
        let stocks = [(2400, 1128), (3000, 1410), (3600, 1692), (4800, 2300)].map(|(l, c)| (l * 1_000_000, c));
        let job = job(&items, &stocks, 3_200_000, 10_000_000, (500_000, 2_000_000));
        let cutting = solve(&job);
        assert!(cutting.steps < 2_000_000, "{}", cutting.steps);
        if let Status::Bound { lower, .. } = cutting.status {
            assert!(cutting.cost - lower < 1128, "{} {lower}", cutting.cost);
        }
    }
}

/// A thousand distinct lengths end in their steps and give a plan and a bound that hold.
#[test]
fn a_thousand_lengths_end_in_their_steps() {
    let items: Vec<(i64, u32)> = (0..1000).map(|i| ((200 + 2 * i) * 1_000_000, 3)).collect();
    let stocks = [(2400, 1128), (3600, 1692), (4800, 2300)].map(|(l, c)| (l * 1_000_000, c));
    let job = job(&items, &stocks, 3_000_000, 10_000_000, (500_000, 2_000_000));
    let cutting = packing::solve(&job, &Limits { steps: 1_000_000 }, &|| false).expect("a quick plan is there");
    referee(&job, &cutting);
    assert!(cutting.steps < 2_000_000, "{}", cutting.steps);
}

#[test]
fn a_false_certificate_is_refuted() {
    let job = plain();
    let (bound, certificate) = lower_bound(&job, &Limits::default(), &|| false).expect("the job is sound");
    assert_eq!(verify(&job, &certificate), Ok(bound));
    let mut dear = certificate.clone();
    dear.duals.iter_mut().for_each(|d| *d *= 2);
    assert!(verify(&job, &dear).is_err());
    let mut proud = certificate.clone();
    proud.bound += 100;
    assert!(verify(&job, &proud).is_err());
    let mut short = certificate.clone();
    short.duals.pop();
    assert!(verify(&job, &short).is_err());
    let mut supplied = certificate;
    supplied.supply_duals[0] = 1;
    assert!(verify(&job, &supplied).is_err());
}

/// Source: the formulas of the page of the crate, by hand: 3600 - 10 - 8 x 446 - 7 x 3 = 1; (3600 - 10 - 8 x 446) / 7 = 22 / 7.
#[test]
fn slack_and_breaking_kerf_by_hand() {
    let parts = || [(446, 8)].into_iter();
    assert_eq!(slack(3600, 10, 3, parts()), Some(1));
    assert_eq!(breaking_kerf(3600, 10, parts()), Some((22, 7)));
    assert_eq!(breaking_kerf(3600, 10, [(446, 1)].into_iter()), None);
    assert_eq!(slack(3600, 10, 3, [(3591, 1)].into_iter()), Some(-1));
    assert_eq!(slack(i64::MAX, i64::MIN, 0, parts()), None);
}

#[test]
fn reserve_default_is_none() {
    assert_eq!(Reserve::default(), Reserve { per_cut: 0, per_board: 0 });
}
