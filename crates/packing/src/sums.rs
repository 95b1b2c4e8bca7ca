//! Sums that the costs of some kinds of boards can make.

use std::collections::BTreeMap;

/// Largest cost up to which sums of costs are tabled.
const LARGEST_SUM: i64 = 500_000;

/// Sums of costs that some kinds of boards can make, up to a limit; for each number the next sum.
#[derive(Default)]
pub(crate) struct Sums {
    tables: BTreeMap<Vec<i64>, Vec<u32>>,
}

impl Sums {
    /// True if multiples of the costs may sum to something from `low` to `high`.
    pub fn reach(&mut self, costs: &[i64], low: i64, high: i64) -> bool {
        if high < low.max(0) {
            return false;
        }
        if low <= 0 || high > LARGEST_SUM {
            return true;
        }
        // A table for the largest sum ever asked serves all later questions: the ceiling only falls.
        let table = self.tables.entry(costs.to_vec()).or_default();
        if table.len() <= high as usize {
            *table = next_sums(costs, high as usize);
        }
        i64::from(table[low as usize]) <= high
    }
}

fn next_sums(costs: &[i64], high: usize) -> Vec<u32> {
    let mut reached = vec![false; high + 1];
    reached[0] = true;
    for sum in 1..=high {
        reached[sum] = costs.iter().any(|&c| c > 0 && c as usize <= sum && reached[sum - c as usize]);
    }
    let mut next = vec![u32::MAX; high + 1];
    let mut last = u32::MAX;
    for sum in (0..=high).rev() {
        if reached[sum] {
            last = sum as u32;
        }
        next[sum] = last;
    }
    next
}
