//! Jobs as a maker has them: 5 to 200 parts, one to five stock lengths with prices, lengths on millimetre and inch grids; the same with
//! 200 parts and five stock lengths each, for which the time is promised; and large ones of ten thousand parts.

use packing::{Cutting, Item, Job, Limits, Reserve, Status, Stock};
use std::time::Instant;

/// Nanometres in a millimetre and in a sixteenth of an inch.
const GRIDS: [i64; 2] = [1_000_000, 1_587_500];
/// Boards as they are sold, in millimetres and in feet.
const METRIC: [i64; 6] = [1800, 2400, 3000, 3600, 4200, 4800];
const FEET: [i64; 5] = [6, 8, 10, 12, 16];
/// Nanometres in a foot.
const FOOT: i64 = 304_800_000;

/// A small generator of the kind x' = a x + c modulo 2⁶⁴ (Knuth, MMIX), so that every run gives the same jobs.
pub struct Dice(pub u64);

impl Dice {
    /// A whole number of a range, both ends in it.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        // The upper 31 bits of the state, so the remainder is a small positive number.
        low + ((self.0 >> 33) as i64) % (high - low + 1)
    }
}

/// What one way to ask makes of a job.
type Ask = fn(&Job, &Limits, &dyn Fn() -> bool) -> Result<Cutting, packing::Problem>;

/// How a job is thrown.
type Throw = fn(&mut Dice) -> Job;

/// What a job of 200 parts and five stock lengths may take, in milliseconds.
const PROMISED: f64 = 50.0;

/// Cuts `count` jobs of a maker, for their cost alone and for every goal, as many of 200 parts each, and three large ones; five JSON objects.
pub fn run(count: u64) -> Result<(), String> {
    for (parts, throw) in [("5 to 200", job as Throw), ("200, of five stock lengths", job_of_200)] {
        small(parts, throw, ("the cost and its proof", packing::cheapest), count)?;
        small(parts, throw, ("every goal", packing::solve), count)?;
    }
    large()
}

fn small(parts: &str, throw: Throw, (what, ask): (&str, Ask), count: u64) -> Result<(), String> {
    let mut times = Vec::new();
    let (mut proven, mut exact, mut steps) = (0, 0, Vec::new());
    for number in 0..count {
        let job = throw(&mut Dice(number + 1));
        let (cutting, milliseconds) = timed(ask, &job)?;
        proven += u32::from(matches!(cutting.status, Status::Proven(_)));
        exact += u32::from(cutting.ties_exact);
        steps.push(cutting.steps as f64);
        times.push(milliseconds);
    }
    let at = |values: &[f64], share: f64| values[((values.len() - 1) as f64 * share).round() as usize];
    let below = times.iter().filter(|&&time| time < PROMISED).count();
    times.sort_by(f64::total_cmp);
    steps.sort_by(f64::total_cmp);
    println!(
        "{{\"parts\": \"{parts}\", \"asked\": \"{what}\", \"jobs\": {count}, \"proven\": {proven}, \"all_goals_exact\": {exact}, \
         \"below_{PROMISED}_ms\": {below}, \"median_ms\": {:.3}, \
         \"p95_ms\": {:.3}, \"p99_ms\": {:.3}, \"max_ms\": {:.3}, \"median_steps\": {}, \"p99_steps\": {}}}",
        at(&times, 0.5),
        at(&times, 0.95),
        at(&times, 0.99),
        at(&times, 1.0),
        at(&steps, 0.5),
        at(&steps, 0.99),
    );
    Ok(())
}

/// Ten thousand parts of fifty lengths.
fn large() -> Result<(), String> {
    let (mut slowest, mut widest) = (0.0_f64, 0.0_f64);
    for number in 0..3 {
        let dice = &mut Dice(1_000_000 + number);
        let items = (0..50).map(|_| Item { length: dice.between(150, 2300) * GRIDS[0], demand: 200 }).collect();
        let stocks = [(2400, 1128), (3000, 1410), (3600, 1692), (4800, 2300)];
        let stocks = stocks.map(|(length, cost)| Stock { length: length * GRIDS[0], cost, supply: None });
        let job = Job { items, stocks: stocks.into(), kerf: 3_200_000, trim: 10_000_000, ..Job::default() };
        let (cutting, milliseconds) = timed(packing::solve, &job)?;
        let lower = match cutting.status {
            Status::Proven(_) => cutting.cost,
            Status::Bound { lower, .. } => lower,
        };
        slowest = slowest.max(milliseconds);
        widest = widest.max((cutting.cost - lower) as f64 * 100.0 / lower as f64);
    }
    println!(
        "{{\"parts\": 10000, \"kinds\": 50, \"jobs\": 3, \"max_ms\": {slowest:.1}, \"max_gap_percent\": {widest:.4}}}"
    );
    Ok(())
}

fn timed(ask: Ask, job: &Job) -> Result<(Cutting, f64), String> {
    let start = Instant::now();
    let cutting = ask(job, &Limits::default(), &|| false).map_err(|problem| problem.to_string())?;
    Ok((cutting, start.elapsed().as_secs_f64() * 1e3))
}

/// One job: a few kinds of parts, some of them many, boards of one yard.
pub fn job(dice: &mut Dice) -> Job {
    let imperial = dice.between(0, 2) == 0;
    let kinds = dice.between(2, 20);
    let parts = dice.between(kinds.max(5), 200);
    let items = items(dice, imperial, kinds, parts);
    let lengths = lengths(imperial);
    let first = dice.between(0, lengths.len() as i64 - 1) as usize;
    let last = dice.between(first as i64, (first as i64 + 4).min(lengths.len() as i64 - 1)) as usize;
    job_from(dice, items, &lengths[first..=last])
}

/// The same with 200 parts and five lengths of board.
fn job_of_200(dice: &mut Dice) -> Job {
    let imperial = dice.between(0, 2) == 0;
    let kinds = dice.between(2, 20);
    let items = items(dice, imperial, kinds, 200);
    let lengths = lengths(imperial);
    let first = dice.between(0, lengths.len() as i64 - 5) as usize;
    job_from(dice, items, &lengths[first..first + 5])
}

/// So many parts of so many kinds.
fn items(dice: &mut Dice, imperial: bool, kinds: i64, parts: i64) -> Vec<Item> {
    let mut items: Vec<Item> = (0..kinds)
        .map(|_| {
            // A plan in inches now and then takes a part in millimetres from a drawing, and the other way round.
            let grid = GRIDS[usize::from(imperial != (dice.between(0, 9) == 0))];
            Item { length: dice.between(200_000_000 / grid, 1_700_000_000 / grid) * grid, demand: 1 }
        })
        .collect();
    for _ in kinds..parts {
        items[dice.between(0, kinds - 1) as usize].demand += 1;
    }
    items
}

/// The lengths that a yard sells.
fn lengths(imperial: bool) -> Vec<i64> {
    if imperial { FEET.map(|feet| feet * FOOT).into() } else { METRIC.map(|mm| mm * GRIDS[0]).into() }
}

fn job_from(dice: &mut Dice, mut items: Vec<Item>, lengths: &[i64]) -> Job {
    let per_metre = dice.between(150, 900);
    let stocks = lengths.iter().map(|&length| {
        // Long boards cost a little more or less by the metre.
        let cost = length / 1_000_000 * per_metre / 1000 * dice.between(95, 108) / 100;
        let supply = (dice.between(0, 5) == 0).then(|| dice.between(0, 8) as u32);
        Stock { length, cost, supply }
    });
    let mut stocks: Vec<Stock> = stocks.collect();
    // The longest is never short, so that every part can be cut.
    if let Some(longest) = stocks.last_mut() {
        longest.supply = None;
        items.retain(|item| item.length + 20_000_000 <= longest.length);
    }
    Job {
        items,
        stocks,
        kerf: 3_200_000,
        trim: 10_000_000,
        reserve: Reserve { per_cut: 500_000, per_board: 2_000_000 },
        ..Job::default()
    }
}
