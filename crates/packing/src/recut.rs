//! A few patterns of a plan cut anew where nothing is to be gained in cost, tight boards or boards: as few patterns as before or fewer, on
//! as many boards of the same cost.
//!
//! With the boards and the times of each new pattern given, every length is shared among them in a few ways only: `t1 x1 + t2 x2 = d`.

use std::cmp::Ordering;

use crate::budget::Budget;
use crate::greedy::merge;
use crate::job::{Counts, Cut, Shop};
use crate::score::Score;

/// Most patterns that are cut anew at once.
pub(crate) const MOST: usize = 3;

/// Most boards of a piece times types of boards; past it the choices are too many anyway.
const MOST_BOARDS: u64 = 4_000;

/// Lengths that are looked at together.
const MASKED: usize = 128;

/// New patterns to be: the board of each and how often it is cut.
type Slots = Vec<(usize, u32)>;

/// Parts of one length in each of the new patterns.
type Share = [u32; MOST];

/// The ways to share one length among the new patterns.
struct Length {
    /// Index into the lengths of the shop.
    at: usize,
    /// The new patterns that hold it and the parts in each, fewest patterns first.
    shares: Vec<(usize, Share)>,
}

/// Patterns taken out of a plan.
pub(crate) struct Piece<'a> {
    /// The job of the whole plan.
    pub shop: &'a Shop,
    /// The patterns that are cut anew, none twice.
    pub cuts: &'a [Cut],
    /// The other patterns of the plan.
    pub rest: &'a [Cut],
    /// True if none of it can do with fewer tight boards or fewer that are better left whole.
    pub settled: bool,
}

/// The plan that keeps the rest and beats `whole`, the standing of the plan as it is, by most; or, without it, the plan with the piece
/// that beats the piece as it is by most. It is not dearer and has no more tight boards and boards. `None` if there is none or the steps
/// ran out before one was found.
pub(crate) fn recut(piece: &Piece, whole: Option<&Score>, budget: &mut Budget) -> Option<(Score, Vec<Cut>)> {
    let boards: u64 = piece.cuts.iter().map(|cut| u64::from(cut.times)).sum();
    if boards * piece.shop.boards.len() as u64 > MOST_BOARDS {
        return None;
    }
    let mut search = Search::new(piece, whole, budget);
    let before = search.best.patterns;
    // For fewer tight boards more patterns are welcome.
    let most = if search.loose() { MOST } else { piece.cuts.len().min(MOST) };
    for patterns in 1..=most {
        search.choose(patterns, &mut Vec::with_capacity(patterns), search.boards, search.cost);
        if search.best.patterns < before && !search.loose() {
            break;
        }
    }
    let (best, found) = (search.best, search.found?);
    if whole.is_some() {
        return Some((best, found));
    }
    let cuts = merge(piece.rest.iter().cloned().chain(found).collect());
    Some((Score::of(piece.shop, &cuts), cuts))
}

struct Search<'a, 'b> {
    shop: &'a Shop,
    rest: &'a [Cut],
    /// Parts of each length to be cut.
    demand: Counts,
    /// The lengths to be cut.
    asked: Vec<usize>,
    /// For each board and number of times the lengths, by their place in the list of those to be cut, of which one pattern can hold all
    /// parts.
    alone: Vec<Vec<u128>>,
    /// Boards of each type there still are.
    supply: Vec<u32>,
    boards: u32,
    cost: i64,
    /// Tight boards of the rest.
    tight: u64,
    /// Boards of the rest that are better left whole.
    begun: u64,
    settled: bool,
    weight: i64,
    /// Settings of the rest.
    settings: usize,
    /// Least reserve of the rest.
    margin: i64,
    /// Boards of the rest that leave something.
    offcuts: u64,
    best: Score,
    found: Option<Vec<Cut>>,
    /// The lengths that are shared out already.
    chosen: Vec<(usize, Share)>,
    budget: &'a mut Budget<'b>,
}

impl<'a, 'b> Search<'a, 'b> {
    fn new(piece: &Piece<'a>, whole: Option<&Score>, budget: &'a mut Budget<'b>) -> Search<'a, 'b> {
        let Piece { shop, cuts, rest, settled } = *piece;
        let mut demand = vec![0; shop.lengths.len()];
        for cut in cuts {
            demand.iter_mut().zip(&cut.counts).for_each(|(d, n)| *d += n * cut.times);
        }
        let mut supply = shop.supply();
        for cut in rest.iter().filter(|cut| shop.boards[cut.board].supply.is_some()) {
            supply[cut.board] = supply[cut.board].saturating_sub(cut.times);
        }
        // Without the whole plan in view the piece stands alone.
        let rest = if whole.is_some() { rest } else { &[] };
        let others = Score::of(shop, rest);
        let score = whole.cloned().unwrap_or_else(|| Score::of(shop, cuts));
        let asked: Vec<usize> = (0..demand.len()).filter(|&at| demand[at] > 0).collect();
        let boards = cuts.iter().map(|cut| cut.times).sum();
        budget.spend(u64::from(boards) * shop.boards.len() as u64 / 4);
        let alone = (0..shop.boards.len()).map(|board| alone(shop, board, boards, &demand, &asked)).collect();
        Search {
            weight: shop.weight(&demand),
            demand,
            asked,
            alone,
            supply,
            boards,
            cost: score.cost - others.cost,
            tight: others.tight,
            begun: others.begun,
            settled,
            settings: others.settings,
            margin: others.margin.0,
            offcuts: others.offcuts,
            best: score,
            found: None,
            chosen: Vec::new(),
            shop,
            rest,
            budget,
        }
    }

    /// True if a piece with fewer tight boards than the best has, or fewer that are better left whole, may be found.
    fn loose(&self) -> bool {
        !self.settled && (self.best.tight > self.tight || self.best.begun > self.begun)
    }

    /// Boards that are better left whole, with those of the rest.
    fn begun(&self, slots: &Slots) -> u64 {
        let whole = slots.iter().filter(|slot| self.shop.boards[slot.0].whole);
        self.begun + whole.map(|slot| u64::from(slot.1)).sum::<u64>()
    }

    /// Goes through the boards and times that so many patterns may have; false when the steps ran out.
    fn choose(&mut self, patterns: usize, slots: &mut Slots, boards: u32, cost: i64) -> bool {
        if !self.budget.spend(1) {
            return false;
        }
        let open = patterns - slots.len();
        if open == 0 {
            return self.share_out(slots);
        }
        // Slots rise in board and times, so that no choice comes twice.
        let &(first, least) = slots.last().unwrap_or(&(0, 1));
        for board in first..self.shop.boards.len() {
            let each = self.shop.boards[board].cost;
            let taken: u32 = slots.iter().filter(|slot| slot.0 == board).map(|slot| slot.1).sum();
            let most = boards.min(self.supply[board].saturating_sub(taken));
            let from = if board == first { least } else { 1 };
            let from = if open == 1 { from.max(boards) } else { from };
            for times in from..=most {
                let left = cost - each * i64::from(times);
                if left < 0 {
                    break;
                }
                let done = times == boards;
                if done != (open == 1) || (done && left != 0) {
                    continue;
                }
                slots.push((board, times));
                let on = self.choose(patterns, slots, boards - times, left);
                slots.pop();
                if !on {
                    return false;
                }
            }
        }
        true
    }

    /// Shares all lengths among the slots in every way that could beat the best plan.
    fn share_out(&mut self, slots: &Slots) -> bool {
        let shop = self.shop;
        let room = |&(board, times): &(usize, u32)| i64::from(times) * shop.boards[board].capacity;
        if slots.iter().map(room).sum::<i64>() < self.weight {
            return true;
        }
        let Some(most) = self.most_settings(slots.len()) else { return true };
        if self.least_settings(slots) > most {
            return true;
        }
        let mut lengths = Vec::new();
        let mut fewest = 0;
        for place in 0..self.asked.len() {
            let at = self.asked[place];
            let length = self.ways(slots, at);
            if self.budget.out() {
                return false;
            }
            // No way to share it, or too many settings already.
            let Some(way) = length.shares.first() else { return true };
            fewest += way.0;
            if fewest > most {
                return true;
            }
            lengths.push(length);
        }
        lengths.sort_by_key(|length| length.shares.len());
        self.fill(slots, &lengths, fewest, Filling::new(shop, slots))
    }

    /// Most settings of so many new patterns that are of use; `None` if so many patterns are too many.
    fn most_settings(&self, slots: usize) -> Option<usize> {
        match (self.rest.len() + slots).cmp(&self.best.patterns) {
            _ if self.loose() => Some(usize::MAX),
            Ordering::Less => Some(usize::MAX),
            Ordering::Equal => Some(self.best.settings - self.settings),
            Ordering::Greater => None,
        }
    }

    /// Settings that come of it at least: one for a length of which a single pattern can hold all parts, else two.
    fn least_settings(&self, slots: &Slots) -> usize {
        let alone = slots.iter().fold(0, |all, &(board, times)| all | self.alone[board][times as usize]);
        2 * self.asked.len() - alone.count_ones() as usize - self.asked.len().saturating_sub(MASKED)
    }

    /// The ways to share one length among the slots.
    fn ways(&mut self, slots: &Slots, at: usize) -> Length {
        let mut shares = Vec::new();
        self.share(slots, at, 0, self.demand[at], [0; MOST], &mut shares);
        shares.sort_unstable();
        Length { at, shares }
    }

    /// Adds the ways to share what is left of one length among the slots from `slot` on, until the steps run out.
    fn share(
        &mut self,
        slots: &Slots,
        at: usize,
        slot: usize,
        left: u32,
        mut share: Share,
        shares: &mut Vec<(usize, Share)>,
    ) {
        let (board, times) = slots[slot];
        let most = (self.shop.boards[board].capacity / self.shop.weights[at]).min(i64::from(left / times)) as u32;
        if slot + 1 == slots.len() {
            if left.is_multiple_of(times) && left / times <= most {
                share[slot] = left / times;
                shares.push((share.iter().filter(|n| **n > 0).count(), share));
            }
            return;
        }
        self.budget.spend(1 + u64::from(most) / 4);
        for n in 0..=most {
            if self.budget.out() {
                return;
            }
            share[slot] = n;
            self.share(slots, at, slot + 1, left - n * times, share, shares);
        }
    }

    /// Shares the lengths that are left; `fewest` settings come of it at least. False when the steps ran out.
    fn fill(&mut self, slots: &Slots, lengths: &[Length], fewest: usize, filling: Filling) -> bool {
        if !self.budget.spend(1) {
            return false;
        }
        let Some((length, others)) = lengths.split_first() else {
            self.keep(slots, &filling);
            return true;
        };
        for &(settings, share) in &length.shares {
            let fewest = fewest - length.shares[0].0 + settings;
            if self.most_settings(slots.len()).is_none_or(|most| fewest > most) {
                break;
            }
            let Some(next) = filling.with(self.shop, slots.len(), length.at, &share) else { continue };
            if self.no_better(slots, fewest, &next) {
                continue;
            }
            self.chosen.push((length.at, share));
            let on = self.fill(slots, others, fewest, next);
            self.chosen.pop();
            if !on {
                return false;
            }
        }
        true
    }

    /// True when nothing that comes of a filling beats the best plan: reserves only fall from here, settings only rise.
    fn no_better(&self, slots: &Slots, fewest: usize, filling: &Filling) -> bool {
        let tight = (slots.iter().zip(&filling.margin)).filter(|(_, margin)| **margin < 0);
        let tight = self.tight + tight.map(|(slot, _)| u64::from(slot.1)).sum::<u64>();
        let patterns = self.rest.len() + slots.len();
        if tight > self.best.tight || (!self.settled && tight < self.best.tight) {
            return tight > self.best.tight;
        }
        let begun = self.begun(slots);
        if begun != self.best.begun {
            return begun > self.best.begun;
        }
        if patterns != self.best.patterns {
            return patterns > self.best.patterns;
        }
        let settings = self.settings + fewest;
        let margin = filling.margin[..slots.len()].iter().fold(self.margin, |least, &margin| least.min(margin));
        settings > self.best.settings || (settings == self.best.settings && margin < self.best.margin.0)
    }

    /// Keeps a plan that is better than the best.
    fn keep(&mut self, slots: &Slots, filling: &Filling) {
        let kept = || slots.iter().zip(&filling.room);
        let offcuts: u64 = kept().filter(|(_, room)| **room > 0).map(|(slot, _)| u64::from(slot.1)).sum();
        let margin = filling.margin[..slots.len()].iter().fold(self.margin, |least, &margin| least.min(margin));
        let held = |slot: usize| self.chosen.iter().filter(move |(_, share)| share[slot] > 0).count();
        let settings: usize = (0..slots.len()).map(held).sum();
        let same = !self.loose()
            && self.rest.len() + slots.len() == self.best.patterns
            && settings + self.settings == self.best.settings
            && margin == self.best.margin.0;
        let empty = (0..slots.len()).any(|slot| held(slot) == 0);
        if (same && self.offcuts + offcuts > self.best.offcuts) || empty {
            return;
        }
        let new = slots.iter().enumerate().map(|(slot, &(board, times))| {
            let mut counts = vec![0; self.demand.len()];
            self.chosen.iter().for_each(|(at, share)| counts[*at] = share[slot]);
            Cut { board, counts, times }
        });
        let cuts = merge(self.rest.iter().cloned().chain(new).collect());
        let score = Score::of(self.shop, &cuts);
        if score < self.best {
            (self.best, self.found) = (score, Some(cuts));
        }
    }
}

/// For each number of times up to `most` the lengths of which a pattern of a board, cut so often, can hold all parts.
fn alone(shop: &Shop, board: usize, most: u32, demand: &[u32], asked: &[usize]) -> Vec<u128> {
    let holds = |times: u32, at: usize| {
        times > 0
            && demand[at].is_multiple_of(times)
            && i64::from(demand[at] / times) * shop.weights[at] <= shop.boards[board].capacity
    };
    let bit = |times, place: usize, at| u128::from(holds(times, at)) << place;
    (0..=most)
        .map(|times| asked.iter().take(MASKED).enumerate().map(|(place, &at)| bit(times, place, at)).sum())
        .collect()
}

/// What the new patterns still have room for.
#[derive(Clone, Copy)]
struct Filling {
    /// What is left of each board.
    room: [i64; MOST],
    /// What is left beyond the reserve, if nothing is added.
    margin: [i64; MOST],
    /// True for a pattern that is up to now the same as the one before it: of two that change places one is enough.
    tied: [bool; MOST],
}

impl Filling {
    fn new(shop: &Shop, slots: &Slots) -> Filling {
        let mut filling = Filling { room: [0; MOST], margin: [0; MOST], tied: [false; MOST] };
        for (slot, &(board, _)) in slots.iter().enumerate() {
            filling.room[slot] = shop.boards[board].capacity;
            filling.margin[slot] = filling.room[slot] + shop.reserve.per_cut - shop.reserve.per_board;
            filling.tied[slot] = slot > 0 && slots[slot - 1] == slots[slot];
        }
        filling
    }

    /// With a share of one length; `None` if a board has no room for it.
    fn with(mut self, shop: &Shop, slots: usize, at: usize, share: &Share) -> Option<Filling> {
        let weight = shop.weights[at];
        for slot in 0..slots {
            let number = i64::from(share[slot]);
            self.room[slot] -= number * weight;
            self.margin[slot] -= number * (weight + shop.reserve.per_cut);
            if self.room[slot] < 0 || (self.tied[slot] && share[slot] > share[slot - 1]) {
                return None;
            }
            self.tied[slot] &= share[slot] == share[slot.saturating_sub(1)];
        }
        Some(self)
    }
}
