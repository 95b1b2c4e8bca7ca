//! Turns bytes into a job, sizes at the limits of `i64` among them, and holds the engine to its word: a clear problem, or a plan that the
//! referee of the tests accepts with a certificate that verifies and a bound that is not above the cost.
#![no_main]

use libfuzzer_sys::fuzz_target;
use packing::{Bad, Item, Job, Limits, Reserve, Status, Stock, lower_bound, verify};

#[path = "../../crates/packing/tests/common/mod.rs"]
mod common;

/// Numbers at which sums go wrong.
const EDGES: [i64; 14] = [
    0,
    -1,
    i64::MAX,
    i64::MIN,
    i64::MAX - 1,
    1 << 48,
    (1 << 48) + 1,
    (1 << 48) - 1,
    1_000_000_000_000,
    1_000_000_000_001,
    1 << 44,
    1 << 32,
    100_000,
    -(1 << 40),
];

/// Reads numbers off the bytes; behind their end all are zero.
struct Bytes<'a>(&'a [u8]);

impl Bytes<'_> {
    fn byte(&mut self) -> u8 {
        let Some((&first, rest)) = self.0.split_first() else { return 0 };
        self.0 = rest;
        first
    }

    /// Mostly small, at times of any size or at an edge.
    fn number(&mut self) -> i64 {
        let kind = self.byte();
        match kind {
            0..=159 => i64::from(kind),
            160..=239 => i64::from(kind - 160) * 256 + i64::from(self.byte()),
            240..=253 => EDGES[usize::from(kind - 240)],
            _ => i64::from_le_bytes(std::array::from_fn(|_| self.byte())),
        }
    }

    fn demand(&mut self) -> u32 {
        match self.byte() {
            255 => u32::MAX,
            254 => 100_000,
            253 => 30_000,
            few => u32::from(few % 24),
        }
    }

    fn job(&mut self) -> Job {
        let shape = self.byte();
        let mut job = Job { kerf: self.number(), trim: self.number(), ..Job::default() };
        for _ in 0..self.byte() % 12 {
            job.items.push(Item { length: self.number(), demand: self.demand() });
        }
        for _ in 0..self.byte() % 6 {
            let exact = (shape & 1 == 1).then(|| job.items.first().map_or(0, |item| item.length));
            let length = exact.unwrap_or(0).saturating_add(self.number());
            let supply = (self.byte() % 3 == 0).then(|| self.demand());
            job.stocks.push(Stock { length, cost: self.number(), supply });
        }
        if shape & 2 == 2 {
            job.reserve = Reserve { per_cut: self.number(), per_board: self.number() };
            job.worth_keeping = self.number();
        }
        if shape & 12 == 12 {
            job.ends = job.items.iter().map(|_| [self.number(), self.number()]).collect();
        }
        for _ in 0..if shape & 48 == 48 { self.byte() % 3 } else { 0 } {
            job.bad.push(Bad { stock: usize::from(self.byte() % 6), from: self.number(), to: self.number() });
        }
        for _ in 0..if shape & 64 == 64 { self.byte() % 4 } else { 0 } {
            job.whole.push(usize::from(self.byte() % 6));
        }
        job
    }
}

fuzz_target!(|bytes: &[u8]| {
    let job = Bytes(bytes).job();
    let limits = Limits { steps: 20_000 };
    for ask in [packing::solve, packing::cheapest] {
        match ask(&job, &limits, &|| false) {
            Ok(cutting) => {
                let (Status::Proven(certificate) | Status::Bound { certificate, .. }) = &cutting.status;
                assert!(verify(&job, certificate).is_ok_and(|holds| holds <= cutting.cost));
                common::referee(&job, &cutting);
            }
            Err(problem) => assert!(!problem.to_string().is_empty()),
        }
    }
    if let Ok((bound, certificate)) = lower_bound(&job, &limits, &|| false) {
        assert!(verify(&job, &certificate).is_ok_and(|holds| holds >= bound));
    }
});
