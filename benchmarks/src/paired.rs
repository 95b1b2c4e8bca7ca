//! The cutting engine beside the solver that it replaced ([`baseline`]), on easy jobs: the same costs, and how the times compare.

use crate::jobs::Dice;
use std::time::Instant;

/// Runs of each job with each engine; the fastest counts.
const RUNS: usize = 3;

/// Cuts `count` easy jobs with both, in turn; one JSON object.
pub fn run(count: u64) -> Result<(), String> {
    let (mut ours, mut theirs, mut logs, mut different) = (0.0, 0.0, 0.0, 0);
    for number in 0..count {
        let job = easy(&mut Dice(5_000 + number));
        let old = old(&job);
        let (mut best, mut best_old) = (f64::INFINITY, f64::INFINITY);
        let mut costs = (0, 0);
        for _ in 0..RUNS {
            let start = Instant::now();
            let cutting = packing::solve(&job, &packing::Limits::default(), &|| false).map_err(|e| e.to_string())?;
            best = best.min(start.elapsed().as_secs_f64());
            let start = Instant::now();
            let before = baseline::solve(&old, &baseline::Limits::default(), &|| false).map_err(|e| e.to_string())?;
            best_old = best_old.min(start.elapsed().as_secs_f64());
            costs = (cutting.cost, before.cost);
        }
        different += u32::from(costs.0 != costs.1);
        ours += best;
        theirs += best_old;
        logs += (best / best_old).ln();
    }
    println!(
        "{{\"jobs\": {count}, \"different_costs\": {different}, \"ratio_of_sums\": {:.3}, \"geometric_mean_ratio\": {:.3}}}",
        ours / theirs,
        (logs / count as f64).exp()
    );
    Ok(())
}

/// At most six lengths, at most four parts of each, up to four stocks.
fn easy(dice: &mut Dice) -> packing::Job {
    let millimetres = |mm: i64| mm * 1_000_000;
    let items = (0..dice.between(1, 6))
        .map(|_| packing::Item { length: millimetres(dice.between(200, 1700)), demand: dice.between(1, 4) as u32 })
        .collect();
    let stocks = [2400, 3000, 3600, 4200].into_iter().take(dice.between(1, 4) as usize);
    let stock = |mm: i64| packing::Stock { length: millimetres(mm), cost: mm * 47 / 100, supply: None };
    packing::Job {
        items,
        stocks: stocks.map(stock).collect(),
        kerf: 3_200_000,
        trim: 10_000_000,
        reserve: packing::Reserve { per_cut: 500_000, per_board: 2_000_000 },
        ..packing::Job::default()
    }
}

fn old(job: &packing::Job) -> baseline::Job {
    let item = |item: &packing::Item| baseline::Item { length: item.length, demand: item.demand };
    let stock =
        |stock: &packing::Stock| baseline::Stock { length: stock.length, cost: stock.cost, supply: stock.supply };
    baseline::Job {
        items: job.items.iter().map(item).collect(),
        stocks: job.stocks.iter().map(stock).collect(),
        kerf: job.kerf,
        trim: job.trim,
        reserve: baseline::Reserve { per_cut: job.reserve.per_cut, per_board: job.reserve.per_board },
    }
}
