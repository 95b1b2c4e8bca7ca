//! Parts from stock with kerf, proven cheapest. Integers only; knows lengths, costs and counts, whatever the stock is made of.
//!
//! In: parts by length and number, stock by length, cost and supply, kerf, trim, a wished reserve ([`Job`]). Out: which board is cut
//! into which parts ([`Cutting`]), the cost, and a proof in whole numbers that none is cheaper ([`Certificate`]). It leaves to others
//! what a length means, who pays, and what is done with an offcut.
//!
//! # Rule of fit
//! n parts fit a board when `sum(parts) + (n - 1) kerf <= length - trim`; the last part may end on the end of the board.
//!
//! Boards may have stretches that no part may contain ([`Bad`]); parts may have slanted ends, of which neighbours share one cut
//! ([`Job::ends`]). The first is exact in cost; the second where the table of residual jobs serves, else a plan may miss a shared cut, and
//! says what is proven.
//!
//! # Objective
//! One goal after the other; a later one never worsens an earlier one:
//!
//! 1. least cost;
//! 2. fewest *tight* boards: those that fit with less than the wished [`Reserve`];
//! 3. fewest boards that are better left whole ([`Job::whole`]), then fewest boards;
//! 4. fewest distinct patterns (board type and number of each length), then fewest settings: the distinct lengths of a pattern, summed
//!    over the distinct patterns, since a stop is set once for each;
//! 5. the largest least reserve: the smallest of `slack - wished reserve` over the boards, as large as it can be;
//! 6. fewest offcuts (boards with slack above zero), then the longest offcut as long as it can be, then the next, and so on, of those that
//!    are worth keeping ([`Job::worth_keeping`]);
//! 7. so that equal jobs give equal answers: the plan that comes first when its patterns are listed by board (longest, then cheaper,
//!    then earlier in [`Job::stocks`]), then by most of the longest parts, then by fewest times.
//!
//! Cost is exact whenever [`Status::Proven`] is returned. Goals 2 to 7 are exact when [`Cutting::ties_exact`] says so: when a table of all
//! residual jobs is small (at most 1,000,000 residual jobs, 20,000 patterns and 8,000,000 looks of a residual job at a pattern: a dozen
//! parts of any lengths, or a hundred of three or four) and the walk over the plans that are equal in goals 1 to 3 ends within its steps. Otherwise
//! fewer tight boards and fewer boards are searched for, and then every two, three or four patterns of the plan (of many patterns only every
//! two) are cut anew, as long as that gains something: two and three in the exact way, four as three within a few steps.
//!
//! [`cheapest`] stops after the first goal; [`lower_bound`] before it.
//!
//! # Work
//! Counted in steps, so that every machine ends at the same place; a step is about the work of trying one length on one board. Past 1,000
//! parts the search for the cheapest plan takes at most 400,000 steps whatever the limit, so that it stays fast; the plan may then lie a
//! fraction of a board above its bound, and says so.
#![deny(missing_docs)]
#![forbid(unsafe_code)]

mod problem;
mod answer;
mod job;
mod budget;
mod buying;
mod bound;
mod master;
mod dive;
mod knapsack;
mod simplex;
mod certificate;
mod greedy;
mod patterns;
mod triples;
mod sums;
mod hunt;
mod search;
mod score;
mod ties;
mod shares;
mod recut;
mod polish;
mod mitre;
mod zones;

/// The example of the README, compiled and run as a test.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;

/// What the tests in the crate take from those beside it.
#[cfg(test)]
#[path = "../tests/common/mod.rs"]
mod common;
// The tests beside the crate know it by its name.
#[cfg(test)]
extern crate self as packing;

pub use answer::{Case, Certificate, CertificateKind, Cutting, Pattern, Rule, Status};
pub use certificate::verify;
pub use job::{DEAREST, LARGEST_RESERVE, LONGEST, MOST_LENGTHS, MOST_PARTS, MOST_STOCKS};
pub use mitre::{Placed, nested};
pub use problem::{Problem, Refuted};
pub use zones::MOST_WAYS;

use bound::{Ladder, Prices};
use budget::Budget;
use buying::Ruled;
use job::{Cut, Shop, cost_of};
use master::{Relaxation, Until, relax};

/// What is to be cut from what.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Job {
    /// The parts. Items of one length are cut as one and handed back apart.
    pub items: Vec<Item>,
    /// The stock on offer.
    pub stocks: Vec<Stock>,
    /// Width of the saw cut between two parts, in the unit of the lengths.
    pub kerf: i64,
    /// What squaring takes off each board in all, its own kerf included.
    pub trim: i64,
    /// What a pattern should keep to be comfortable.
    pub reserve: Reserve,
    /// The shortest offcut that is worth keeping; zero if every one is.
    pub worth_keeping: i64,
    /// Stretches of boards that no part may contain.
    pub bad: Vec<Bad>,
    /// Overhangs of slanted ends, two for each item in the order of [`Job::items`]; empty if all ends are square.
    ///
    /// An end whose cut runs at a slant across the plane of the board makes the part longer on one edge, by this much; the length of an
    /// item is from long point to long point. Parts may be turned over and round, and neighbours whose ends have the same overhang share
    /// one cut: see [`nested`]. Overhangs that are together longer than their part are taken as square ends.
    pub ends: Vec<[i64; 2]>,
    /// Stocks that are better left whole, by their places in [`Job::stocks`]: of plans of equal cost and equally few tight boards, one that
    /// begins fewer of them is better. Empty if that is all the same.
    pub whole: Vec<usize>,
}

/// A stretch that no part may contain. Measured from the end that is squared, before it is: the trim is taken off there.
///
/// Boards of this stock are a row of clear stretches that share one price. The cut between two stretches lies in what is bad between
/// them; a bad stretch narrower than the kerf counts as wide as it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bad {
    /// Index into [`Job::stocks`]; an individual board is a stock of its own with a supply of one.
    pub stock: usize,
    /// Where it begins, at least zero.
    pub from: i64,
    /// Where it ends, at most at the end of the board.
    pub to: i64,
}

/// Parts of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// Finished length, above zero; any whole unit, the same for all lengths of a job.
    pub length: i64,
    /// Parts wanted; zero is allowed.
    pub demand: u32,
}

/// One type of stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stock {
    /// Length of the whole board.
    pub length: i64,
    /// Cost of one board in minor units of money or any whole number; zero for an offcut in hand.
    pub cost: i64,
    /// Boards there are; `None` if as many as one likes.
    pub supply: Option<u32>,
}

/// The slack that makes a pattern of n parts comfortable: `per_cut (n - 1) + per_board`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Reserve {
    /// For each cut between two parts.
    pub per_cut: i64,
    /// For each board.
    pub per_board: i64,
}

/// How long to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Steps of work.
    pub steps: u64,
}

impl Default for Limits {
    /// Enough for nearly every job of two hundred parts; about a second at worst.
    fn default() -> Limits {
        Limits { steps: 20_000_000 }
    }
}

/// Cuts a job at least cost.
///
/// `cancel` is asked now and then; when it says yes the search ends as if its steps had run out.
///
/// # Errors
/// [`Problem`]: a job that is not sound or cannot be cut, or [`Problem::OutOfSteps`] if the search ended without a plan.
/// # Example
/// Eight posts of 446 from one board of 3600: they fit with 1 left, which is tight.
/// ```
/// use packing::{Item, Job, Limits, Reserve, Stock, solve};
/// let tenths = 10;
/// let job = Job {
///     items: vec![Item { length: 446 * tenths, demand: 8 }],
///     stocks: vec![
///         Stock { length: 2400 * tenths, cost: 430, supply: None },
///         Stock { length: 3600 * tenths, cost: 645, supply: None },
///     ],
///     kerf: 3 * tenths,
///     trim: 10 * tenths,
///     reserve: Reserve { per_cut: 5, per_board: 20 },
///     ..Job::default()
/// };
/// let cutting = solve(&job, &Limits::default(), &|| false)?;
/// assert_eq!((cutting.cost, cutting.boards), (645, 1));
/// assert_eq!((cutting.patterns[0].slack, cutting.patterns[0].comfortable), (10, false));
/// # Ok::<(), packing::Problem>(())
/// ```
pub fn solve(job: &Job, limits: &Limits, cancel: &dyn Fn() -> bool) -> Result<Cutting, Problem> {
    if !job.bad.is_empty() {
        return zones::solve(job, limits, cancel, solve);
    }
    let shop = Shop::new(job)?;
    if shop.lengths.is_empty() {
        return Ok(nothing_to_cut(job));
    }
    check_supply(&shop)?;
    if shop.is_mitred() {
        return solve_mitred(job, &shop, limits, cancel);
    }
    let mut budget = Budget::new(limits.steps, cancel);
    let quick = greedy::quick(&shop);
    let mut relaxation = relax(&shop, Until::Converged, &mut budget);
    let top = quick.as_ref().map_or(0, |cuts| cost_of(&shop, cuts)).max(relaxation.prices.bound);
    let ladder = Ladder::new(&shop, top, &mut budget);
    let plan = plan(&shop, &mut relaxation, &ladder, quick, &mut budget)?;
    Ok(report(job, &shop, &relaxation.prices, &ladder, plan, budget.spent()))
}

/// Cuts a job at least cost and looks at no later goal: for callers that want nothing but the cost and its proof.
///
/// # Errors
/// [`Problem`] as for [`solve`].
pub fn cheapest(job: &Job, limits: &Limits, cancel: &dyn Fn() -> bool) -> Result<Cutting, Problem> {
    if !job.bad.is_empty() {
        return zones::solve(job, limits, cancel, cheapest);
    }
    let shop = Shop::new(job)?;
    if shop.lengths.is_empty() {
        return Ok(nothing_to_cut(job));
    }
    check_supply(&shop)?;
    if shop.is_mitred() {
        return solve_mitred(job, &shop, limits, cancel);
    }
    let mut budget = Budget::new(limits.steps, cancel);
    let quick = greedy::quick(&shop);
    let enough = quick.as_ref().map_or(i64::MAX, |cuts| cost_of(&shop, cuts));
    let mut relaxation = relax(&shop, Until::Bound(enough), &mut budget);
    let top = quick.as_ref().map_or(0, |cuts| cost_of(&shop, cuts)).max(relaxation.prices.bound);
    let ladder = Ladder::new(&shop, top, &mut budget);
    let found = search::cheapest(&shop, &mut relaxation, &ladder, quick, &mut budget);
    let Some(cuts) = found.cuts else {
        return Err(if found.closed { supply_short(&shop) } else { Problem::OutOfSteps });
    };
    let plan = Plan { cuts, proven: found.closed, ruled: found.ruled, ties_exact: false };
    Ok(report(job, &shop, &relaxation.prices, &ladder, plan, budget.spent()))
}

/// A proven lower bound on the cost of a job, without a plan: for callers that leave out what cannot be cheap enough.
///
/// # Errors
/// [`Problem`] as for [`solve`]; a job whose short supply does not divide is not noticed here.
pub fn lower_bound(job: &Job, limits: &Limits, cancel: &dyn Fn() -> bool) -> Result<(i64, Certificate), Problem> {
    if !job.bad.is_empty() {
        return zones::lower_bound(job, limits, cancel);
    }
    let shop = Shop::new(job)?.nested_throughout();
    if shop.lengths.is_empty() {
        return Ok((0, certificate::empty(job)));
    }
    check_supply(&shop)?;
    let mut budget = Budget::new(limits.steps, cancel);
    let relaxation = relax(&shop, Until::Converged, &mut budget);
    let ladder = Ladder::new(&shop, relaxation.prices.bound, &mut budget);
    let mut certificate = certificate::write(job, &shop, &relaxation.prices, &ladder, CertificateKind::Duals);
    if let Some(ruled) = buying::by_lengths(&shop, &relaxation.prices, &ladder, &mut budget) {
        certificate::add_rules(&mut certificate, job, &shop, &ruled);
    }
    Ok((certificate.bound, certificate))
}

/// What a board leaves: `stock - trim - sum(parts) - (n - 1) kerf`, in the unit of the lengths.
///
/// `parts` are lengths with their numbers. `None` when a sum leaves the range of `i64`. Below zero the parts do not fit.
pub fn slack(stock: i64, trim: i64, kerf: i64, parts: impl Iterator<Item = (i64, u32)>) -> Option<i64> {
    let (bare, cuts) = bare_and_cuts(stock, trim, parts)?;
    i64::try_from(bare - i128::from(kerf) * i128::from(cuts)).ok()
}

/// The kerf at which a pattern breaks, as a quotient: what the parts leave without any kerf, and the cuts that share it.
///
/// `(stock - trim - sum(parts)) / (n - 1)`. `None` when a single part has no kerf inside, or a sum leaves the range of `i64`.
pub fn breaking_kerf(stock: i64, trim: i64, parts: impl Iterator<Item = (i64, u32)>) -> Option<(i64, u32)> {
    let (bare, cuts) = bare_and_cuts(stock, trim, parts)?;
    let cuts = u32::try_from(cuts).ok().filter(|&cuts| cuts > 0)?;
    Some((i64::try_from(bare).ok()?, cuts))
}

fn bare_and_cuts(stock: i64, trim: i64, parts: impl Iterator<Item = (i64, u32)>) -> Option<(i128, u64)> {
    let mut bare = i128::from(stock) - i128::from(trim);
    let mut count = 0u64;
    for (length, number) in parts {
        bare = bare.checked_sub(i128::from(length) * i128::from(number))?;
        count = count.checked_add(u64::from(number))?;
    }
    Some((bare, count.saturating_sub(1)))
}

/// Parts past which a job is large: it is to be cut fast rather than proven.
const MANY: u64 = 1_000;
/// Parts up to which a plan that the table proves goes without rules.
const FEW_PARTS: u64 = 24;
/// Steps that the search for the cheapest plan of a large job may take.
const MANY_STEPS: u64 = 400_000;

/// A plan on its way out.
struct Plan {
    cuts: Vec<Cut>,
    proven: bool,
    ruled: Option<Ruled>,
    ties_exact: bool,
}

fn plan(
    shop: &Shop,
    relaxation: &mut Relaxation,
    ladder: &Ladder,
    quick: Option<Vec<Cut>>,
    budget: &mut Budget,
) -> Result<Plan, Problem> {
    match ties::small(shop, budget) {
        Some(ties::Small::Best { cuts, ties_exact }) => {
            // Fewer parts a referee searches through sooner than rules for them are found.
            let many = shop.parts() > FEW_PARTS;
            let rules = |budget| buying::below(shop, &relaxation.prices, ladder, cost_of(shop, &cuts), budget);
            let ruled = many.then(|| rules(budget)).flatten();
            return Ok(Plan { cuts, proven: true, ruled, ties_exact });
        }
        Some(ties::Small::Short) => return Err(supply_short(shop)),
        None => {}
    }
    // The rest is for fewer tight boards.
    let share = if shop.parts() > MANY { MANY_STEPS } else { budget.left() / 8 * 7 };
    let found = budget.capped(share, |budget| search::cheapest(shop, relaxation, ladder, quick, budget));
    let Some(cuts) = found.cuts else {
        return Err(if found.closed { supply_short(shop) } else { Problem::OutOfSteps });
    };
    let most = if shop.parts() > MANY { MANY_STEPS / 2 } else { ties::IMPROVING };
    let share = (budget.left() / 4).min(most);
    let (cuts, settled) = budget.capped(share, |budget| ties::improve(shop, relaxation, ladder, cuts, budget));
    let share = budget.left().min(most / 3);
    let cuts = budget.capped(share, |budget| polish::polish(shop, cuts, settled && found.closed, budget));
    let cuts = polish::left_whole(shop, cuts);
    Ok(Plan { cuts, proven: found.closed, ruled: found.ruled, ties_exact: false })
}

/// A job with slanted ends: exactly where the table of residual jobs serves. Else as if no cut were shared, and then every few patterns
/// anew by the table.
fn solve_mitred(job: &Job, shop: &Shop, limits: &Limits, cancel: &dyn Fn() -> bool) -> Result<Cutting, Problem> {
    let mut budget = Budget::new(limits.steps, cancel);
    let hopeful = shop.clone().nested_throughout();
    let proof = relax(&hopeful, Until::Converged, &mut budget);
    let ladder = Ladder::new(shop, proof.prices.bound, &mut budget);
    let plan = match ties::small(shop, &mut budget) {
        Some(ties::Small::Best { cuts, ties_exact }) => Plan { cuts, proven: true, ruled: None, ties_exact },
        Some(ties::Small::Short) => return Err(supply_short(&hopeful)),
        None => {
            let mut relaxation = relax(shop, Until::Converged, &mut budget);
            let half = budget.left() / 2;
            let quick = greedy::quick(shop);
            let find = |budget: &mut Budget| search::cheapest(shop, &mut relaxation, &ladder, quick, budget);
            // That nothing is possible without a shared cut proves nothing.
            let cuts = budget.capped(half, find).cuts.ok_or(Problem::OutOfSteps)?;
            let cuts = polish::left_whole(shop, polish::polish(shop, cuts, false, &mut budget));
            Plan { cuts, proven: false, ruled: None, ties_exact: false }
        }
    };
    Ok(report(job, shop, &proof.prices, &ladder, plan, budget.spent()))
}

fn supply_short(shop: &Shop) -> Problem {
    let (needed, available) = shop.needed_and_available();
    Problem::SupplyShort { needed, available: available.unwrap_or(i128::MAX) }
}

pub(crate) fn check_supply(shop: &Shop) -> Result<(), Problem> {
    let (needed, available) = shop.needed_and_available();
    if available.is_some_and(|available| available < needed) { Err(supply_short(shop)) } else { Ok(()) }
}

fn nothing_to_cut(job: &Job) -> Cutting {
    let status = Status::Proven(certificate::empty(job));
    Cutting { patterns: Vec::new(), cost: 0, boards: 0, status, ties_exact: true, steps: 0 }
}

fn report(job: &Job, shop: &Shop, prices: &Prices, ladder: &Ladder, plan: Plan, steps: u64) -> Cutting {
    let cost = cost_of(shop, &plan.cuts) * shop.unit;
    let mut certificate = certificate::write(job, shop, prices, ladder, CertificateKind::Duals);
    if let Some(ruled) = &plan.ruled {
        certificate::add_rules(&mut certificate, job, shop, ruled);
    }
    let lower = certificate.bound;
    let status = if lower >= cost {
        Status::Proven(certificate)
    } else if plan.proven {
        certificate.kind = CertificateKind::Search;
        Status::Proven(certificate)
    } else {
        Status::Bound { lower, certificate }
    };
    Cutting {
        boards: plan.cuts.iter().map(|c| c.times).sum(),
        patterns: hand_back(shop, &plan.cuts),
        cost,
        status,
        ties_exact: plan.ties_exact,
        steps,
    }
}

/// Writes cuts of distinct lengths as patterns of the caller's items.
fn hand_back(shop: &Shop, cuts: &[Cut]) -> Vec<Pattern> {
    let mut open: Vec<Vec<(usize, u32)>> = shop.members.clone();
    let mut patterns: Vec<Pattern> = Vec::with_capacity(cuts.len());
    for cut in cuts {
        let mut left = cut.times;
        while left > 0 {
            let (parts, times) = deal(cut, left, &mut open);
            left -= times;
            patterns.push(Pattern {
                stock: shop.boards[cut.board].original,
                parts,
                stretches: Vec::new(),
                times,
                slack: shop.slack(cut.board, &cut.counts),
                comfortable: shop.margin(cut.board, &cut.counts) >= 0,
            });
        }
    }
    patterns
}

/// Deals the items of one board from those still open; returns them and how many boards in a row get the same.
fn deal(cut: &Cut, most: u32, open: &mut [Vec<(usize, u32)>]) -> (Vec<(usize, u32)>, u32) {
    let mut parts = Vec::new();
    let mut times = most;
    for (length, &count) in cut.counts.iter().enumerate() {
        let mut wanted = count;
        for &(item, left) in open[length].iter().filter(|m| m.1 > 0) {
            let n = wanted.min(left);
            if n == 0 {
                break;
            }
            times = times.min(left / n);
            parts.push((item, n));
            wanted -= n;
        }
    }
    for &(item, n) in &parts {
        for members in open.iter_mut() {
            members.iter_mut().filter(|m| m.0 == item).for_each(|m| m.1 -= n * times);
        }
    }
    (parts, times)
}
