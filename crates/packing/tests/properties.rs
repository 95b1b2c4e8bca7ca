//! What holds of every job, whatever its numbers: random jobs of our own.

mod common;

use common::{Lcg, proven, referee};
use packing::{Bad, CertificateKind, Cutting, Item, Job, Limits, Refuted, Reserve, Status, Stock, verify};

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
    Job { items, stocks, kerf: lcg.between(0, 4), trim: lcg.between(0, 8), reserve, ..Job::default() }
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

/// A knot costs something or nothing, and what is proven with it holds.
#[test]
fn a_bad_stretch_never_saves() {
    let mut lcg = Lcg(16);
    let mut dearer = 0;
    for _ in 0..150 {
        let mut job = random(&mut lcg);
        let (length, stock) = (lcg.between(150, 400), job.stocks.len());
        job.stocks.push(Stock { length, cost: lcg.between(0, 40), supply: Some(1) });
        let from = lcg.between(0, length - 1);
        let clear = cut(&job).cost;
        job.bad.push(Bad { stock, from, to: lcg.between(from + 1, length) });
        let knotty = cut(&job).cost;
        assert!(knotty >= clear, "{job:?}");
        dearer += u32::from(knotty > clear);
    }
    assert!(dearer > 10, "{dearer}");
}

/// Boards whose prices nearly follow their length: there the relaxation is far below, and rules prove the cost.
fn nearly_proportional(lcg: &mut Lcg) -> Job {
    let items = (0..lcg.between(4, 9))
        .map(|_| Item { length: lcg.between(200, 1700), demand: lcg.between(2, 6) as u32 })
        .collect();
    let stock = |length: i64, percent: i64| Stock { length, cost: length * percent / 200, supply: None };
    let stocks = [2400, 3000, 3600, 4200].map(|length| stock(length, lcg.between(95, 108)));
    Job { items, stocks: stocks.into(), kerf: 3, trim: 10, ..Job::default() }
}

#[test]
fn a_rule_is_held_against_every_board_and_the_bound_against_all_rules() {
    let mut lcg = Lcg(17);
    let mut ruled = 0;
    for _ in 0..40 {
        let job = nearly_proportional(&mut lcg);
        let cutting = packing::cheapest(&job, &Limits::default(), &|| false).expect("stock without end");
        referee(&job, &cutting);
        let Status::Proven(certificate) = &cutting.status else { panic!("{job:?}") };
        if certificate.kind != CertificateKind::Boards {
            continue;
        }
        ruled += 1;
        assert_eq!(certificate.bound, cutting.cost);
        let mut higher = certificate.clone();
        higher.bound += 1;
        assert!(matches!(verify(&job, &higher), Err(Refuted::Bound { .. })), "{job:?}");
        for rule in 0..certificate.rules.len() {
            let pattern = &cutting.patterns[0];
            let worth = |part: &(usize, u32)| certificate.rules[rule].duals[part.0] * i64::from(part.1);
            let worth: i64 = pattern.parts.iter().map(worth).sum();
            let mut less = certificate.clone();
            less.rules[rule].held[pattern.stock] = worth - 1;
            assert!(worth > 0 && matches!(verify(&job, &less), Err(Refuted::Pattern { .. })), "{job:?}");
        }
        let mut without = certificate.clone();
        without.rules.clear();
        assert!(matches!(verify(&job, &without), Err(Refuted::Bound { .. })), "{job:?}");
    }
    assert!(ruled > 10, "{ruled}");
}

/// Where everything is at home already and costs nothing: no pattern lies on a board that is better left whole while another board,
/// which need not be, lies uncut and holds it as comfortably. Larger jobs than the table takes are among them.
#[test]
fn no_whole_board_is_begun_where_a_begun_one_does_as_well() {
    let mut lcg = Lcg(23);
    let mut begun = 0;
    for round in 0..120 {
        let mut job = random(&mut lcg);
        if round % 24 == 0 {
            job.items =
                (0..24).map(|_| Item { length: lcg.between(20, 140), demand: lcg.between(1, 4) as u32 }).collect();
        }
        job.stocks = (0..6)
            .map(|_| Stock { length: lcg.between(150, 400), cost: 0, supply: Some(lcg.between(1, 3) as u32) })
            .collect();
        job.stocks.push(Stock { length: 400, cost: 0, supply: Some(200) });
        job.whole = (0..job.stocks.len()).filter(|place| place % 2 == 0).collect();
        let cutting = common::solve(&job);
        let used = |stock: usize| cutting.patterns.iter().filter(|p| p.stock == stock).map(|p| p.times).sum::<u32>();
        for pattern in cutting.patterns.iter().filter(|p| job.whole.contains(&p.stock)) {
            begun += 1;
            for other in (0..job.stocks.len()).filter(|stock| !job.whole.contains(stock)) {
                let spare = job.stocks[other].supply.is_some_and(|supply| supply > used(other));
                let slack = pattern.slack - job.stocks[pattern.stock].length + job.stocks[other].length;
                let cuts = pattern.parts.iter().map(|p| i64::from(p.1)).sum::<i64>() - 1;
                let comfortable = slack >= cuts * job.reserve.per_cut + job.reserve.per_board;
                let as_good = slack >= 0 && (comfortable || !pattern.comfortable);
                assert!(!(spare && as_good), "{job:?}\n{pattern:?} fits stock {other}");
            }
        }
    }
    assert!(begun > 100, "{begun}");
}
