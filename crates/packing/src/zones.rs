//! Boards with stretches that no part may contain: what is clear on one is a set of short boards that share its price.
//!
//! How many boards are bought of each such stock is tried in every way, the cheapest first; the clear stretches of what is bought then cost
//! nothing more, and the rest is an ordinary job ([`Case`]). No way is left out unless it cannot be cheaper.

use crate::certificate;
use crate::job::Shop;
use crate::{Case, Certificate, CertificateKind, Cutting, Item, Job, Limits, Pattern, Problem, Status, Stock};

/// Most ways of buying boards with bad stretches.
pub const MOST_WAYS: usize = 256;

/// What a job without bad stretches is cut by.
pub(crate) type Solve = fn(&Job, &Limits, &dyn Fn() -> bool) -> Result<Cutting, Problem>;

/// One way to buy the boards with bad stretches.
pub(crate) struct Way {
    /// Boards of each stock, zero for those without bad stretches.
    pub bought: Vec<u32>,
    /// What they cost.
    pub cost: i64,
    /// The rest: the other stocks as they are, then the clear stretches.
    pub job: Job,
    /// Stock and place of each clear stretch, in the order of the stocks past the caller's.
    stretches: Vec<(usize, usize)>,
}

/// Every way to buy the boards with bad stretches, each with the job that is left.
pub(crate) fn ways(job: &Job) -> Result<Vec<Way>, Problem> {
    // All else has to be sound first: no sum below leaves the range.
    Shop::new(&Job { bad: Vec::new(), ..job.clone() })?;
    check(job)?;
    let clear: Vec<Option<Vec<i64>>> = (0..job.stocks.len()).map(|stock| clear(job, stock)).collect();
    let parts: u32 = job.items.iter().fold(0, |sum, item| sum.saturating_add(item.demand));
    let mut all = vec![vec![0; job.stocks.len()]];
    for (at, stock) in job.stocks.iter().enumerate().filter(|(at, _)| clear[*at].is_some()) {
        let most = stock.supply.unwrap_or(parts).min(parts);
        // What costs nothing is all at hand.
        let least = if stock.cost == 0 { most } else { 0 };
        let count = all.len().saturating_mul((most - least) as usize + 1);
        if count > MOST_WAYS {
            let value = i64::try_from(count).unwrap_or(i64::MAX);
            return Err(Problem::TooMuch {
                what: "ways to buy boards with bad stretches",
                value,
                limit: MOST_WAYS as i64,
            });
        }
        let with = |bought: &Vec<u32>| {
            let bought = bought.clone();
            (least..=most).map(move |number| {
                let mut more = bought.clone();
                more[at] = number;
                more
            })
        };
        all = all.iter().flat_map(with).collect();
    }
    Ok(all.into_iter().map(|bought| way(job, &clear, bought)).collect())
}

fn way(job: &Job, clear: &[Option<Vec<i64>>], bought: Vec<u32>) -> Way {
    let cost = job.stocks.iter().zip(&bought).map(|(stock, &number)| stock.cost * i64::from(number)).sum();
    let mut rest = Job { bad: Vec::new(), ..job.clone() };
    let mut stretches = Vec::new();
    for (at, clear) in clear.iter().enumerate() {
        let Some(clear) = clear else { continue };
        rest.stocks[at].supply = Some(0);
        for (place, &length) in clear.iter().enumerate().filter(|_| bought[at] > 0) {
            rest.stocks.push(Stock { length: length + job.trim, cost: 0, supply: Some(bought[at]) });
            stretches.push((at, place));
        }
    }
    Way { bought, cost, job: rest, stretches }
}

fn check(job: &Job) -> Result<(), Problem> {
    for zone in &job.bad {
        let length = job.stocks.get(zone.stock).map(|stock| stock.length);
        if length.is_none_or(|length| zone.from < 0 || zone.to <= zone.from || zone.to > length) {
            return Err(Problem::Nonsense { what: "bad stretch of a board", value: zone.from });
        }
    }
    Ok(())
}

/// Lengths of the clear stretches of a stock from its squared end on; `None` if it has no bad ones.
fn clear(job: &Job, stock: usize) -> Option<Vec<i64>> {
    let mut bad: Vec<(i64, i64)> = job.bad.iter().filter(|z| z.stock == stock).map(|z| (z.from, z.to)).collect();
    if bad.is_empty() {
        return None;
    }
    bad.sort_unstable();
    let mut clear = Vec::new();
    let mut from = job.trim;
    for (start, end) in bad {
        if start > from {
            clear.push(start - from);
            // The cut between two stretches lies in what is bad between them.
            from = end.max(start + job.kerf);
        } else {
            from = from.max(end);
        }
    }
    clear.push(job.stocks[stock].length - from);
    clear.retain(|&length| length > 0);
    Some(clear)
}

/// Cuts a job with bad stretches: every way to buy such boards that could be the cheapest.
pub(crate) fn solve(job: &Job, limits: &Limits, cancel: &dyn Fn() -> bool, solve: Solve) -> Result<Cutting, Problem> {
    let ways = ways(job)?;
    let share = Limits { steps: limits.steps / (4 * ways.len() as u64) };
    let bounds: Vec<_> = ways.iter().map(|way| crate::lower_bound(&way.job, &share, cancel)).collect();
    let mut order: Vec<usize> = (0..ways.len()).filter(|&at| bounds[at].is_ok()).collect();
    let least = |at: usize| ways[at].cost.saturating_add(bounds[at].as_ref().map_or(0, |bound| bound.0));
    order.sort_by_key(|&at| (least(at), at));
    let mut cases = Cases {
        proven: vec![i64::MAX; ways.len()],
        told: bounds.iter().map(|b| b.clone().ok().map(|b| b.1)).collect(),
    };
    order.iter().for_each(|&at| cases.proven[at] = least(at));
    let mut best: Option<Cutting> = None;
    let mut left = limits.steps - limits.steps / 4;
    let mut problems: Vec<Problem> = bounds.iter().filter_map(|bound| bound.as_ref().err().cloned()).collect();
    for &at in &order {
        if best.as_ref().is_some_and(|best| least(at) >= best.cost) {
            continue;
        }
        match solve(&ways[at].job, &Limits { steps: left }, cancel) {
            Ok(cutting) => {
                left = left.saturating_sub(cutting.steps);
                cases.take(at, &ways[at], &cutting);
                let cutting = hand_back(job, &ways[at], cutting);
                if best.as_ref().is_none_or(|best| standing(job, &cutting) < standing(job, best)) {
                    best = Some(cutting);
                }
            }
            Err(problem) => {
                if matches!(problem, Problem::SupplyShort { .. }) {
                    cases.proven[at] = i64::MAX;
                }
                problems.push(problem);
            }
        }
    }
    let Some(mut best) = best else { return Err(gravest(problems)) };
    best.steps = limits.steps - limits.steps / 4 - left;
    best.status = cases.status(best.cost, job);
    Ok(best)
}

/// What to say where no way to buy boards comes out: of the ways that came nearest.
fn gravest(problems: Vec<Problem>) -> Problem {
    let near = |problem: &Problem| match problem {
        Problem::TooLong { longest, .. } => (0, i128::from(*longest)),
        Problem::SupplyShort { available, .. } => (1, *available),
        _ => (2, 0),
    };
    problems.into_iter().max_by_key(near).unwrap_or(Problem::OutOfSteps)
}

/// Cost, tight boards, boards that are better left whole, boards.
fn standing(job: &Job, cutting: &Cutting) -> (i64, u32, u32, u32) {
    let count = |of: &dyn Fn(&Pattern) -> bool| cutting.patterns.iter().filter(|p| of(p)).map(|p| p.times).sum();
    (cutting.cost, count(&|p| !p.comfortable), count(&|p| job.whole.contains(&p.stock)), cutting.boards)
}

/// What is proven of each way.
struct Cases {
    /// No plan of this way costs less.
    proven: Vec<i64>,
    /// Its certificate, if it is not plainly impossible.
    told: Vec<Option<Certificate>>,
}

impl Cases {
    fn take(&mut self, at: usize, way: &Way, cutting: &Cutting) {
        let (lower, certificate) = match &cutting.status {
            Status::Proven(certificate) => (cutting.cost, certificate),
            Status::Bound { lower, certificate } => (*lower, certificate),
        };
        self.proven[at] = way.cost.saturating_add(lower);
        self.told[at] = Some(certificate.clone());
    }

    fn status(self, cost: i64, job: &Job) -> Status {
        let lower = self.proven.iter().copied().min().unwrap_or(cost).min(cost);
        let costs: Vec<i64> = ways(job).map_or(Vec::new(), |ways| ways.iter().map(|way| way.cost).collect());
        let told = self.told.iter().zip(&costs).map(|(told, cost)| Some(cost.saturating_add(told.as_ref()?.bound)));
        let bound = told.flatten().min().unwrap_or(cost).min(cost);
        let mut certificate = certificate::empty(job);
        certificate.bound = bound;
        certificate.kind =
            if lower == cost && bound < cost { CertificateKind::Search } else { CertificateKind::Boards };
        certificate.cases = self.told.into_iter().map(|certificate| Case { certificate }).collect();
        if lower == cost { Status::Proven(certificate) } else { Status::Bound { lower: bound, certificate } }
    }
}

/// Puts the clear stretches of each board together again.
fn hand_back(job: &Job, way: &Way, cutting: Cutting) -> Cutting {
    let own = job.stocks.len();
    let mut patterns: Vec<Pattern> = cutting.patterns.iter().filter(|p| p.stock < own).cloned().collect();
    for (stock, &number) in way.bought.iter().enumerate().filter(|(_, number)| **number > 0) {
        let places: Vec<usize> = (0..way.stretches.len()).filter(|&at| way.stretches[at].0 == stock).collect();
        let mut boards: Vec<Vec<Option<&Pattern>>> = vec![vec![None; places.len()]; number as usize];
        for (place, &at) in places.iter().enumerate() {
            let cut = cutting.patterns.iter().filter(|p| p.stock == own + at);
            let each = cut.flat_map(|p| std::iter::repeat_n(p, p.times as usize));
            boards.iter_mut().zip(each).for_each(|(board, pattern)| board[place] = Some(pattern));
        }
        boards.retain(|board| board.iter().any(Option::is_some));
        for board in boards {
            let pattern = one_board(job, stock, &places, &board, way);
            match patterns.last_mut() {
                Some(last) if Pattern { times: 1, ..last.clone() } == pattern => last.times += 1,
                _ => patterns.push(pattern),
            }
        }
    }
    patterns.sort_by_key(|p| (std::cmp::Reverse(job.stocks[p.stock].length), p.stock));
    Cutting {
        cost: patterns.iter().map(|p| job.stocks[p.stock].cost * i64::from(p.times)).sum(),
        boards: patterns.iter().map(|p| p.times).sum(),
        patterns,
        ties_exact: false,
        ..cutting
    }
}

fn one_board(job: &Job, stock: usize, places: &[usize], board: &[Option<&Pattern>], way: &Way) -> Pattern {
    let own = job.stocks.len();
    let stretches: Vec<Vec<(usize, u32)>> =
        board.iter().map(|cut| cut.map_or(Vec::new(), |p| p.parts.clone())).collect();
    let empty = |place: usize| way.job.stocks[own + places[place]].length - job.trim;
    let slack = board.iter().enumerate().map(|(place, cut)| cut.map_or(empty(place), |p| p.slack)).sum();
    let mut counts: std::collections::BTreeMap<usize, u32> = Default::default();
    stretches.iter().flatten().for_each(|&(item, count)| *counts.entry(item).or_default() += count);
    let mut parts: Vec<(usize, u32)> = counts.into_iter().collect();
    let length = |item: &Item| std::cmp::Reverse(item.length);
    parts.sort_by_key(|&(item, _)| (length(&job.items[item]), item));
    let comfortable = board.iter().flatten().all(|p| p.comfortable);
    Pattern { stock, parts, stretches, times: 1, slack, comfortable }
}

/// The least that any way costs at least, with its proof.
pub(crate) fn lower_bound(
    job: &Job,
    limits: &Limits,
    cancel: &dyn Fn() -> bool,
) -> Result<(i64, Certificate), Problem> {
    let ways = ways(job)?;
    let share = Limits { steps: limits.steps / ways.len() as u64 };
    let bounds: Vec<_> = ways.iter().map(|way| crate::lower_bound(&way.job, &share, cancel)).collect();
    let sound =
        ways.iter().zip(&bounds).filter_map(|(way, bound)| Some(way.cost.saturating_add(bound.as_ref().ok()?.0)));
    let Some(least) = sound.min() else {
        return Err(gravest(bounds.into_iter().filter_map(Result::err).collect()));
    };
    let mut certificate = certificate::empty(job);
    (certificate.bound, certificate.kind) = (least, CertificateKind::Boards);
    certificate.cases = bounds.into_iter().map(|bound| Case { certificate: bound.ok().map(|bound| bound.1) }).collect();
    Ok((least, certificate))
}
