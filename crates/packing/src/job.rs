//! The job on the bench: checked, equal lengths together, parts and boards from long to short.
//!
//! Every later stage works on this form and never asks again whether a number is sane.

use crate::mitre;
use crate::{Item, Job, Problem, Reserve, Stock};

/// Longest length, kerf or trim that is taken: with it every sum over one board stays inside `i64`.
pub const LONGEST: i64 = 1 << 48;
/// Largest reserve per cut or per board; times [`MOST_PARTS`] it stays inside `i64`.
pub const LARGEST_RESERVE: i64 = 1 << 44;
/// Dearest stock that is taken; times [`MOST_PARTS`] it stays inside `i64`.
pub const DEAREST: i64 = 1_000_000_000_000;
/// Most parts in one job.
pub const MOST_PARTS: u64 = 100_000;
/// Most distinct lengths in one job: the linear program keeps a square of them.
pub const MOST_LENGTHS: usize = 1_000;
/// Most stock types in one job.
pub const MOST_STOCKS: usize = 200;

/// A checked job. Lengths are distinct and fall; boards fall in length, then rise in cost.
#[derive(Debug, Clone)]
pub(crate) struct Shop {
    /// Distinct lengths, longest first.
    pub lengths: Vec<i64>,
    /// Length and one kerf: n parts fit when their weights sum to at most a capacity.
    pub weights: Vec<i64>,
    /// Parts wanted of each length, each above zero.
    pub demand: Vec<u32>,
    /// The stock types that hold at least one part and are not out of supply.
    pub boards: Vec<Board>,
    /// What all costs were divided by.
    pub unit: i64,
    /// What makes a pattern comfortable.
    pub reserve: Reserve,
    /// For each distinct length the items that asked for it, with their demand.
    pub members: Vec<Vec<(usize, u32)>>,
    /// Shortest offcut that is worth keeping.
    pub worth_keeping: i64,
    /// Overhangs of each distinct length, the lesser first; lengths with other ends count as distinct. Empty if all ends are square.
    pub ends: Vec<[i64; 2]>,
}

/// One usable stock type.
#[derive(Debug, Clone)]
pub(crate) struct Board {
    /// Its place in the caller's list.
    pub original: usize,
    /// Length less trim plus one kerf.
    pub capacity: i64,
    /// Cost divided by the common unit.
    pub cost: i64,
    /// Pieces there are, if fewer than the parts of the job.
    pub supply: Option<u32>,
    /// Whether it is better left whole.
    pub whole: bool,
}

/// Parts of each distinct length cut from one board.
pub(crate) type Counts = Vec<u32>;

/// One way to cut a board, and how often.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Cut {
    /// Index into [`Shop::boards`].
    pub board: usize,
    /// Parts of each distinct length.
    pub counts: Counts,
    /// Boards cut so.
    pub times: u32,
}

impl Shop {
    /// Checks a job and brings it into order.
    pub fn new(job: &Job) -> Result<Shop, Problem> {
        check_saw(job)?;
        check_items(&job.items)?;
        check_stocks(&job.stocks)?;
        let (lengths, ends, members) = merge(job);
        if lengths.len() > MOST_LENGTHS {
            return Err(too_much("distinct lengths", lengths.len() as i64, MOST_LENGTHS as i64));
        }
        let demand: Vec<u32> = members.iter().map(|group| group.iter().map(|m| m.1).sum()).collect();
        let parts: u64 = demand.iter().map(|&d| u64::from(d)).sum();
        if let Some(shortest) = lengths.last() {
            check_longest(job, lengths[0])?;
            let boards = usable_boards(job, *shortest, parts);
            return Ok(Shop::build(job, (lengths, ends), members, demand, boards));
        }
        Ok(Shop::build(job, (lengths, ends), members, demand, Vec::new()))
    }

    fn build(
        job: &Job,
        (lengths, ends): (Vec<i64>, Vec<[i64; 2]>),
        members: Vec<Vec<(usize, u32)>>,
        demand: Vec<u32>,
        mut boards: Vec<Board>,
    ) -> Shop {
        let unit = boards.iter().fold(0, |g, b| gcd(g, b.cost)).max(1);
        boards.iter_mut().for_each(|b| b.cost /= unit);
        let weights = lengths.iter().map(|l| l + job.kerf).collect();
        Shop {
            lengths,
            weights,
            demand,
            boards,
            unit,
            reserve: job.reserve,
            members,
            worth_keeping: job.worth_keeping,
            ends,
        }
    }

    /// Parts in all.
    pub fn parts(&self) -> u64 {
        self.demand.iter().map(|&d| u64::from(d)).sum()
    }

    /// True if some boards are better left whole.
    pub fn has_whole(&self) -> bool {
        self.boards.iter().any(|board| board.whole)
    }

    /// Pieces there are of each board; `u32::MAX` where there is no end of them.
    pub fn supply(&self) -> Vec<u32> {
        self.boards.iter().map(|b| b.supply.unwrap_or(u32::MAX)).collect()
    }

    /// What a pattern leaves of the board; below zero when it does not fit.
    pub fn slack(&self, board: usize, counts: &[u32]) -> i64 {
        self.boards[board].capacity - self.weight(counts)
    }

    /// Length and kerf of all parts of a pattern, less what neighbours share.
    pub fn weight(&self, counts: &[u32]) -> i64 {
        let sum: i64 = counts.iter().zip(&self.weights).map(|(&n, w)| i64::from(n) * w).sum();
        if self.is_mitred() { sum - mitre::saved(&self.ends, counts) } else { sum }
    }

    /// True if an end is slanted.
    pub fn is_mitred(&self) -> bool {
        !self.ends.is_empty()
    }

    /// What a part of each length takes at least: as if each slanted end met another.
    pub fn least_weights(&self) -> Vec<i64> {
        let half = |at: usize| self.ends.get(at).map_or(0, |ends| (ends[0] + ends[1] + 1) / 2);
        self.weights.iter().enumerate().map(|(at, w)| (w - half(at)).max(1)).collect()
    }

    /// The job as if every slanted end met another: no plan of the job itself is cheaper. Without slanted ends the job itself.
    pub fn nested_throughout(mut self) -> Shop {
        if self.is_mitred() {
            self.weights = self.least_weights();
            self.ends.clear();
        }
        self
    }

    /// Slack beyond the wanted reserve; below zero for a tight pattern.
    pub fn margin(&self, board: usize, counts: &[u32]) -> i64 {
        self.slack_and_margin(board, counts).1
    }

    /// What a pattern leaves, and that less the wanted reserve.
    pub fn slack_and_margin(&self, board: usize, counts: &[u32]) -> (i64, i64) {
        let parts: i64 = counts.iter().map(|&n| i64::from(n)).sum();
        let slack = self.slack(board, counts);
        (slack, slack - self.reserve.per_cut * (parts - 1) - self.reserve.per_board)
    }

    /// The job with the reserve taken into kerf and trim; `None` if its longest part then fits no board.
    pub fn with_reserve(&self) -> Option<Shop> {
        let mut roomy = self.clone();
        roomy.weights.iter_mut().for_each(|w| *w += self.reserve.per_cut);
        roomy.boards.iter_mut().for_each(|b| b.capacity += self.reserve.per_cut - self.reserve.per_board);
        roomy.reserve = Reserve::default();
        (roomy.boards.iter().any(|b| b.capacity >= roomy.weights[0])).then_some(roomy)
    }

    /// Dearest board in common units.
    pub fn dearest(&self) -> i64 {
        self.boards.iter().map(|b| b.cost).max().unwrap_or(0)
    }

    /// Length and kerf of all parts, and of all boards there are (`None` without end).
    pub fn needed_and_available(&self) -> (i128, Option<i128>) {
        let needed = (self.demand.iter().zip(&self.weights)).map(|(&d, &w)| i128::from(d) * i128::from(w)).sum();
        let available = self.boards.iter().map(|b| b.supply.map(|s| i128::from(s) * i128::from(b.capacity))).sum();
        (needed, available)
    }
}

/// Cost of a list of cuts in common units.
pub(crate) fn cost_of(shop: &Shop, cuts: &[Cut]) -> i64 {
    cuts.iter().map(|c| shop.boards[c.board].cost * i64::from(c.times)).sum()
}

/// Greatest common divisor of two numbers that are not negative.
pub(crate) fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn too_much(what: &'static str, value: i64, limit: i64) -> Problem {
    Problem::TooMuch { what, value, limit }
}

fn in_range(what: &'static str, value: i64, least: i64, limit: i64) -> Result<(), Problem> {
    if value < least {
        return Err(Problem::Nonsense { what, value });
    }
    if value > limit {
        return Err(too_much(what, value, limit));
    }
    Ok(())
}

fn check_saw(job: &Job) -> Result<(), Problem> {
    in_range("kerf", job.kerf, 0, LONGEST)?;
    in_range("trim", job.trim, 0, LONGEST)?;
    in_range("reserve per cut", job.reserve.per_cut, 0, LARGEST_RESERVE)?;
    in_range("reserve per board", job.reserve.per_board, 0, LARGEST_RESERVE)?;
    in_range("shortest offcut worth keeping", job.worth_keeping, 0, i64::MAX)?;
    if let Some(&stock) = job.whole.iter().find(|&&stock| stock >= job.stocks.len()) {
        return Err(Problem::Nonsense { what: "stock to be left whole", value: stock as i64 });
    }
    if !(job.ends.is_empty() || job.ends.len() == job.items.len()) {
        return Err(Problem::Nonsense { what: "number of slanted ends", value: job.ends.len() as i64 });
    }
    job.ends.iter().flatten().try_for_each(|&overhang| in_range("overhang of an end", overhang, 0, LONGEST))
}

fn check_items(items: &[Item]) -> Result<(), Problem> {
    let mut parts = 0u64;
    for item in items {
        in_range("length of a part", item.length, 1, LONGEST)?;
        parts = parts.saturating_add(u64::from(item.demand));
    }
    if parts > MOST_PARTS {
        return Err(too_much("parts", i64::try_from(parts).unwrap_or(i64::MAX), MOST_PARTS as i64));
    }
    Ok(())
}

fn check_stocks(stocks: &[Stock]) -> Result<(), Problem> {
    if stocks.len() > MOST_STOCKS {
        return Err(too_much("stock types", stocks.len() as i64, MOST_STOCKS as i64));
    }
    for stock in stocks {
        in_range("length of a stock", stock.length, 1, LONGEST)?;
        in_range("cost of a stock", stock.cost, 0, DEAREST)?;
    }
    Ok(())
}

/// Names the first item that no stock in supply can hold.
fn check_longest(job: &Job, longest_part: i64) -> Result<(), Problem> {
    let in_supply = job.stocks.iter().filter(|s| s.supply != Some(0));
    let longest = in_supply.map(|s| s.length - job.trim).max().unwrap_or(0).max(0);
    if longest_part <= longest {
        return Ok(());
    }
    let item = job.items.iter().position(|i| i.demand > 0 && i.length > longest);
    // A length above `longest` came from an item with a demand, so there is such an item.
    Err(Problem::TooLong { item: item.unwrap_or(0), longest })
}

/// Items with their demand.
type Members = Vec<(usize, u32)>;

fn merge(job: &Job) -> (Vec<i64>, Vec<[i64; 2]>, Vec<Members>) {
    let mut groups: std::collections::BTreeMap<(std::cmp::Reverse<i64>, [i64; 2]), Members> = Default::default();
    for (index, item) in job.items.iter().enumerate().filter(|(_, i)| i.demand > 0) {
        let mut ends = job.ends.get(index).copied().unwrap_or_default();
        ends.sort_unstable();
        if ends[0] + ends[1] > item.length {
            ends = [0, 0];
        }
        groups.entry((std::cmp::Reverse(item.length), ends)).or_default().push((index, item.demand));
    }
    let lengths = groups.keys().map(|key| key.0.0).collect();
    let slanted = groups.keys().any(|key| key.1 != [0, 0]);
    let ends = groups.keys().filter(|_| slanted).map(|key| key.1).collect();
    (lengths, ends, groups.into_values().collect())
}

fn usable_boards(job: &Job, shortest: i64, parts: u64) -> Vec<Board> {
    let mut boards: Vec<Board> = (job.stocks.iter().enumerate())
        .filter(|(_, s)| s.supply != Some(0) && s.length - job.trim >= shortest)
        .map(|(original, s)| Board {
            original,
            capacity: s.length - job.trim + job.kerf,
            cost: s.cost,
            supply: s.supply.filter(|&n| u64::from(n) < parts),
            whole: job.whole.contains(&original),
        })
        .collect();
    boards.sort_by_key(|b| (std::cmp::Reverse(b.capacity), b.cost, b.original));
    boards
}
