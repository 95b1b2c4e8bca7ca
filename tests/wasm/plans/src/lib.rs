//! Fingerprints of cutting plans of jobs by a generator of our own. The same function runs natively and in wasm.

use packing::{Bad, Item, Job, Limits, Reserve, Stock};

/// A linear congruential generator (Knuth's MMIX constants).
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: i64, high: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        // The upper 31 bits of the state, so the remainder is a small positive number.
        low + ((self.0 >> 33) as i64) % (high - low + 1)
    }
}

/// A job of up to sixty parts; every third with bad stretches, every third with slanted ends.
fn job(number: u32) -> Job {
    let dice = &mut Dice(u64::from(number) + 77);
    let mut job = Job {
        kerf: dice.between(0, 4),
        trim: dice.between(0, 12),
        reserve: Reserve { per_cut: dice.between(0, 1), per_board: dice.between(0, 3) },
        worth_keeping: dice.between(0, 300),
        ..Job::default()
    };
    for _ in 0..dice.between(1, 12) {
        job.items.push(Item { length: dice.between(150, 1500), demand: dice.between(1, 5) as u32 });
        if number % 3 == 1 {
            job.ends.push([15 * dice.between(0, 2), 15 * dice.between(0, 2)]);
        }
    }
    for _ in 0..dice.between(1, 4) {
        let supply = (dice.between(0, 3) == 0).then(|| dice.between(0, 6) as u32);
        job.stocks.push(Stock { length: dice.between(1600, 4800), cost: dice.between(300, 2500), supply });
    }
    if number % 3 == 2 {
        let stock = job.stocks.len();
        job.stocks.push(Stock { length: 2000, cost: dice.between(0, 500), supply: Some(1) });
        job.bad.push(Bad { stock, from: 700, to: 700 + dice.between(1, 200) });
    }
    job
}

/// The plan of a job with everything that it says, in words.
pub fn plan(number: u32) -> String {
    format!("{:?}", packing::solve(&job(number), &Limits { steps: 2_000_000 }, &|| false))
}

/// A fingerprint (FNV-1a, 64 bits) of what [`plan`] says.
#[unsafe(no_mangle)]
pub extern "C" fn fingerprint(number: u32) -> u64 {
    plan(number)
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}
