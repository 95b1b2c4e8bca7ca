//! Plans found quickly: longest parts first, the relaxation rounded, the relaxation followed down.

use crate::bound::{Relaxation, relax};
use crate::budget::Budget;
use crate::job::{Counts, Cut, Shop, cost_of};

/// How the next board is chosen when boards are filled with the longest parts first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Choice {
    /// The least cost for the length that is used.
    Cheapest,
    /// The longest board.
    Longest,
    /// The shortest board that takes the longest part left.
    Shortest,
    /// The board that is used best.
    Fullest,
}

/// The cheapest plan among the quick choices; `None` when short supply defeats them all.
pub(crate) fn quick(shop: &Shop) -> Option<Vec<Cut>> {
    [Choice::Cheapest, Choice::Longest, Choice::Shortest, Choice::Fullest]
        .into_iter()
        .filter_map(|choice| fill(shop, &shop.demand, &shop.supply(), choice))
        .map(|cuts| settle(shop, cuts))
        .min_by_key(|cuts| cost_of(shop, cuts))
}

/// Fills board after board with the longest parts first.
pub(crate) fn fill(shop: &Shop, demand: &[u32], supply: &[u32], choice: Choice) -> Option<Vec<Cut>> {
    let (mut demand, mut supply) = (demand.to_vec(), supply.to_vec());
    let mut cuts = Vec::new();
    while let Some(longest) = demand.iter().position(|&d| d > 0) {
        let filled = (0..shop.boards.len())
            .filter(|&b| supply[b] > 0 && shop.boards[b].capacity >= shop.weights[longest])
            .map(|board| longest_first(shop, board, &demand));
        let mut cut = filled.min_by(|a, b| compare(shop, a, b, choice))?;
        cut.times = repeats(&cut, &demand, &supply);
        take(&cut, &mut demand, &mut supply);
        cuts.push(cut);
    }
    Some(cuts)
}

/// The relaxation's whole boards, and the rest filled quickly.
pub(crate) fn round(shop: &Shop, relaxation: &Relaxation) -> Option<Vec<Cut>> {
    let (mut demand, mut supply) = (shop.demand.clone(), shop.supply());
    let mut cuts = Vec::new();
    for (cut, amount) in &relaxation.mix {
        let mut cut = cut.clone();
        cut.times = (amount + 1e-6).floor() as u32;
        cut.times = cut.times.min(repeats(&cut, &demand, &supply));
        if cut.times > 0 {
            take(&cut, &mut demand, &mut supply);
            cuts.push(cut);
        }
    }
    let choices = [Choice::Cheapest, Choice::Fullest, Choice::Longest];
    let rest = choices.into_iter().filter_map(|choice| fill(shop, &demand, &supply, choice));
    cuts.extend(rest.min_by_key(|rest| cost_of(shop, rest))?);
    Some(settle(shop, cuts))
}

/// Follows the relaxation down: fixes its whole boards, else its largest share, and solves again for what is left.
pub(crate) fn dive(shop: &Shop, first: &Relaxation, budget: &mut Budget) -> Option<Vec<Cut>> {
    let (mut demand, mut supply) = (shop.demand.clone(), shop.supply());
    let mut pool: Vec<Cut> = first.mix.iter().map(|(cut, _)| cut.clone()).collect();
    let mut mix = first.mix.clone();
    let mut cuts = Vec::new();
    while demand.iter().any(|&d| d > 0) {
        if budget.out() {
            return None;
        }
        let fixed = fix(&mix, &mut demand, &mut supply);
        if fixed.is_empty() {
            cuts.extend(fill(shop, &demand, &supply, Choice::Cheapest)?);
            break;
        }
        cuts.extend(fixed);
        let next = relax(shop, &demand, &supply, &pool, budget);
        pool.extend(next.mix.iter().map(|(cut, _)| cut.clone()));
        pool.sort_unstable();
        pool.dedup();
        mix = next.mix;
    }
    Some(settle(shop, cuts))
}

fn fix(mix: &[(Cut, f64)], demand: &mut [u32], supply: &mut [u32]) -> Vec<Cut> {
    let mut fixed = Vec::new();
    for (cut, amount) in mix {
        let whole = (amount + 1e-6).floor() as u32;
        fix_one(cut, whole, demand, supply, &mut fixed);
    }
    if fixed.is_empty() {
        let largest = mix.iter().max_by(|a, b| a.1.total_cmp(&b.1).then_with(|| b.0.cmp(&a.0)));
        if let Some((cut, _)) = largest {
            fix_one(cut, 1, demand, supply, &mut fixed);
        }
    }
    fixed
}

fn fix_one(cut: &Cut, most: u32, demand: &mut [u32], supply: &mut [u32], fixed: &mut Vec<Cut>) {
    let times = most.min(repeats(cut, demand, supply));
    if times > 0 {
        let cut = Cut { times, ..cut.clone() };
        take(&cut, demand, supply);
        fixed.push(cut);
    }
}

fn longest_first(shop: &Shop, board: usize, demand: &[u32]) -> Cut {
    let mut room = shop.boards[board].capacity;
    let counts: Counts = (demand.iter().zip(&shop.weights))
        .map(|(&d, &w)| {
            let n = (room / w).min(i64::from(d));
            room -= n * w;
            n as u32
        })
        .collect();
    Cut { board, counts, times: 1 }
}

fn compare(shop: &Shop, a: &Cut, b: &Cut, choice: Choice) -> std::cmp::Ordering {
    let used = |c: &Cut| i128::from(shop.weight(&c.counts));
    let cost = |c: &Cut| i128::from(shop.boards[c.board].cost);
    let capacity = |c: &Cut| i128::from(shop.boards[c.board].capacity);
    let first = match choice {
        Choice::Cheapest => (cost(a) * used(b)).cmp(&(cost(b) * used(a))),
        Choice::Longest => capacity(b).cmp(&capacity(a)),
        Choice::Shortest => capacity(a).cmp(&capacity(b)),
        Choice::Fullest => (used(b) * capacity(a)).cmp(&(used(a) * capacity(b))),
    };
    first.then_with(|| used(b).cmp(&used(a))).then(cost(a).cmp(&cost(b))).then(a.board.cmp(&b.board))
}

/// How often a cut can be taken from what is left.
fn repeats(cut: &Cut, demand: &[u32], supply: &[u32]) -> u32 {
    let parts = cut.counts.iter().zip(demand).filter(|(n, _)| **n > 0).map(|(n, d)| d / n);
    parts.min().unwrap_or(0).min(supply[cut.board])
}

fn take(cut: &Cut, demand: &mut [u32], supply: &mut [u32]) {
    demand.iter_mut().zip(&cut.counts).for_each(|(d, n)| *d -= n * cut.times);
    if supply[cut.board] != u32::MAX {
        supply[cut.board] -= cut.times;
    }
}

/// Makes a plan that cuts at least the demand cut exactly it, on the cheapest boards that hold each pattern.
pub(crate) fn settle(shop: &Shop, mut cuts: Vec<Cut>) -> Vec<Cut> {
    // Tight patterns lose their surplus parts first: that can only make them comfortable.
    cuts.sort_by_key(|c| shop.margin(c.board, &c.counts));
    for length in 0..shop.lengths.len() {
        let made: u64 = cuts.iter().map(|c| u64::from(c.counts[length]) * u64::from(c.times)).sum();
        remove(&mut cuts, length, made.saturating_sub(u64::from(shop.demand[length])));
    }
    cuts.retain(|c| c.times > 0 && c.counts.iter().any(|&n| n > 0));
    merge(cheapest_boards(shop, cuts))
}

/// Takes `surplus` parts of one length out of the plan.
fn remove(cuts: &mut Vec<Cut>, length: usize, mut surplus: u64) {
    let mut split = Vec::new();
    for cut in cuts.iter_mut().filter(|c| c.counts[length] > 0) {
        let layers = (surplus / u64::from(cut.times)).min(u64::from(cut.counts[length])) as u32;
        cut.counts[length] -= layers;
        surplus -= u64::from(layers) * u64::from(cut.times);
        if surplus > 0 && surplus < u64::from(cut.times) && cut.counts[length] > 0 {
            let mut other = cut.clone();
            other.times = surplus as u32;
            other.counts[length] -= 1;
            cut.times -= other.times;
            surplus = 0;
            split.push(other);
        }
        if surplus == 0 {
            break;
        }
    }
    cuts.extend(split);
}

/// Moves patterns to cheaper boards that hold them while there are any.
fn cheapest_boards(shop: &Shop, cuts: Vec<Cut>) -> Vec<Cut> {
    let mut supply = shop.supply();
    for cut in &cuts {
        if supply[cut.board] != u32::MAX {
            supply[cut.board] = supply[cut.board].saturating_sub(cut.times);
        }
    }
    let mut settled = Vec::with_capacity(cuts.len());
    for mut cut in cuts {
        let weight = shop.weight(&cut.counts);
        let mut cheaper: Vec<usize> = (0..shop.boards.len())
            .filter(|&b| shop.boards[b].capacity >= weight && shop.boards[b].cost < shop.boards[cut.board].cost)
            .collect();
        cheaper.sort_by_key(|&b| (shop.boards[b].cost, b));
        for board in cheaper {
            let times = cut.times.min(supply[board]);
            if times > 0 {
                swap(&mut supply, cut.board, board, times);
                settled.push(Cut { board, counts: cut.counts.clone(), times });
                cut.times -= times;
            }
        }
        if cut.times > 0 {
            settled.push(cut);
        }
    }
    settled
}

fn swap(supply: &mut [u32], from: usize, to: usize, times: u32) {
    if supply[to] != u32::MAX {
        supply[to] -= times;
    }
    if supply[from] != u32::MAX {
        supply[from] += times;
    }
}

/// Puts equal cuts together, longest board first, then most of the longest parts.
pub(crate) fn merge(mut cuts: Vec<Cut>) -> Vec<Cut> {
    cuts.sort_by(|a, b| a.board.cmp(&b.board).then_with(|| b.counts.cmp(&a.counts)));
    let mut merged: Vec<Cut> = Vec::with_capacity(cuts.len());
    for cut in cuts {
        match merged.last_mut() {
            Some(last) if last.board == cut.board && last.counts == cut.counts => last.times += cut.times,
            _ => merged.push(cut),
        }
    }
    merged
}
