//! A few patterns of a plan cut anew where nothing is to be gained in cost, tight boards or boards: as few patterns as before or fewer, on
//! as many boards of the same cost.
//!
//! With the boards and the times of each new pattern given, every length is shared among them in a few ways only: `t1 x1 + t2 x2 = d`. What
//! the boards keep beyond their reserves is the same however the lengths are shared; so a pattern may not keep more than all together have
//! above what each has to keep.

use crate::budget::Budget;
use crate::greedy::merge;
use crate::job::{Counts, Cut, Shop};
use crate::score::{Score, Tally};
use crate::shares::{Aim, Filling, MOST, Share, Ways};
use std::cmp::Ordering;

/// Most boards of a piece times types of boards; past it the choices are too many anyway.
const MOST_BOARDS: u64 = 4_000;

/// New patterns to be: the board of each and how often it is cut.
type Slots = Vec<(usize, u32)>;

/// Patterns taken out of a plan.
pub(crate) struct Piece<'a> {
    /// The job of the whole plan.
    pub shop: &'a Shop,
    /// The patterns that are cut anew, none twice.
    pub cuts: &'a [&'a Cut],
    /// The other patterns of the plan.
    pub rest: &'a [&'a Cut],
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
    let (score, found) = search.found?;
    if whole.is_some() {
        return Some((score, found));
    }
    let cuts = merge(piece.rest.iter().copied().cloned().chain(found).collect());
    Some((Score::of(piece.shop, &cuts), cuts))
}

struct Search<'a, 'b> {
    shop: &'a Shop,
    /// The patterns as they are.
    cuts: &'a [&'a Cut],
    /// The others, if the whole plan is in view.
    rest: &'a [&'a Cut],
    /// The standing of the whole plan as it is, if that is in view.
    whole: Option<&'a Score>,
    /// Parts of each length to be cut.
    demand: Counts,
    /// The lengths to be cut.
    asked: Vec<usize>,
    /// For each board, for each of the lengths to be cut, how many parts it holds.
    holds: Vec<u32>,
    /// Boards of each type there still are.
    supply: Vec<u32>,
    boards: u32,
    cost: i64,
    settled: bool,
    /// Length and kerf of all parts to be cut, and the reserve that their number asks for.
    weight: i64,
    kept: i64,
    /// What is counted of the rest.
    others: Tally,
    /// What is counted of the best plan up to now.
    best: Tally,
    found: Option<(Score, Vec<Cut>)>,
    /// How often a better plan was found.
    gains: u32,
    /// The lengths that are shared out already.
    chosen: Vec<(usize, Share)>,
    ways: Ways,
    budget: &'a mut Budget<'b>,
}

/// New patterns whose boards and times are given.
struct Frame<'a> {
    slots: &'a Slots,
    /// Patterns of the whole plan.
    patterns: usize,
    /// Boards of the whole plan that are better left whole.
    begun: u64,
    /// What all boards keep beyond their reserves once everything is cut.
    spare: i64,
}

/// What is left of one length.
struct Rest {
    /// Its place among the lengths to be cut.
    place: usize,
    /// The next slot.
    slot: usize,
    /// Parts that no slot holds yet.
    left: u32,
    /// How many of the slots may hold some of them.
    open: usize,
}

impl<'a, 'b> Search<'a, 'b> {
    fn new(piece: &Piece<'a>, whole: Option<&'a Score>, budget: &'a mut Budget<'b>) -> Search<'a, 'b> {
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
        let others = Tally::of(shop, rest.iter().copied());
        let best = whole.map_or_else(|| Tally::of(shop, cuts.iter().copied()), |whole| whole.tally);
        let asked: Vec<usize> = (0..demand.len()).filter(|&at| demand[at] > 0).collect();
        let boards = cuts.iter().map(|cut| cut.times).sum();
        let parts: i64 = demand.iter().map(|&d| i64::from(d)).sum();
        let hold = |room: i64| asked.iter().map(move |&at| (room / shop.weights[at]).min(i64::from(u32::MAX)) as u32);
        budget.spend(u64::from(boards) * shop.boards.len() as u64 / 4);
        Search {
            holds: shop.boards.iter().flat_map(|board| hold(board.capacity)).collect(),
            weight: shop.weight(&demand),
            kept: parts * shop.reserve.per_cut,
            demand,
            asked,
            supply,
            boards,
            cost: best.cost - others.cost,
            settled,
            others,
            best,
            found: None,
            gains: 0,
            chosen: Vec::new(),
            ways: Ways::default(),
            shop,
            cuts,
            rest,
            whole,
            budget,
        }
    }

    /// True if a piece with fewer tight boards than the best has, or fewer that are better left whole, may be found.
    fn loose(&self) -> bool {
        !self.settled && (self.best.tight > self.others.tight || self.best.begun > self.others.begun)
    }

    /// Goes through the boards and times that so many patterns may have; false when the steps ran out.
    fn choose(&mut self, patterns: usize, slots: &mut Slots, boards: u32, cost: i64) -> bool {
        if !self.budget.spend(1) {
            return false;
        }
        // Slots rise in board and times, so that no choice comes twice.
        let &(first, least) = slots.last().unwrap_or(&(0, 1));
        let last = slots.len() + 1 == patterns;
        for board in first..self.shop.boards.len() {
            let each = self.shop.boards[board].cost;
            let taken: u32 = slots.iter().filter(|slot| slot.0 == board).map(|slot| slot.1).sum();
            let from = if board == first { least } else { 1 };
            // The last takes all boards that are left, the others leave some.
            let (from, to) = if last { (from.max(boards), boards) } else { (from, boards - 1) };
            for times in from..=to.min(self.supply[board].saturating_sub(taken)) {
                let left = cost - each * i64::from(times);
                if left < 0 {
                    break;
                }
                slots.push((board, times));
                let on = match last {
                    true if left == 0 => self.share_out(slots),
                    true => true,
                    false => self.choose(patterns, slots, boards - times, left),
                };
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
        if !self.budget.spend(1) {
            return false;
        }
        let room: i64 = slots.iter().map(|&(board, times)| i64::from(times) * shop.boards[board].capacity).sum();
        if room < self.weight {
            return true;
        }
        let reserve = i64::from(self.boards) * (shop.reserve.per_cut - shop.reserve.per_board);
        let frame = Frame {
            slots,
            patterns: self.rest.len() + slots.len(),
            begun: self.begun(slots),
            spare: room - self.weight - self.kept + reserve,
        };
        let Some(least) = self.least_settings(&frame) else { return true };
        let mut ways = std::mem::take(&mut self.ways);
        ways.clear();
        let fewest = self.all_ways(&frame, least, &mut ways);
        let on = fewest.is_none_or(|fewest| {
            ways.order();
            self.fill(&frame, &ways, 0, fewest, Filling::new(shop, slots))
        });
        self.ways = ways;
        on && !self.budget.out()
    }

    /// Boards of the whole plan that are better left whole.
    fn begun(&self, slots: &Slots) -> u64 {
        let whole = slots.iter().filter(|slot| self.shop.boards[slot.0].whole);
        self.others.begun + whole.map(|slot| u64::from(slot.1)).sum::<u64>()
    }

    /// How many parts of a length a slot holds.
    fn holds(&self, (board, _): (usize, u32), place: usize) -> u32 {
        self.holds[board * self.asked.len() + place]
    }

    /// True if a slot can hold so many parts of a length on all its boards together.
    fn alone(&self, slot: (usize, u32), place: usize, parts: u32) -> bool {
        parts.is_multiple_of(slot.1) && parts / slot.1 <= self.holds(slot, place)
    }

    /// Settings that come of a length at least: one if a single pattern can hold all parts, else two.
    fn least_of(&self, slots: &Slots, place: usize) -> usize {
        let demand = self.demand[self.asked[place]];
        if slots.iter().any(|&slot| self.alone(slot, place, demand)) { 1 } else { 2 }
    }

    /// Settings that come of it at least; `None` if nothing with so many is of use.
    fn least_settings(&self, frame: &Frame) -> Option<usize> {
        let mut least = self.asked.len();
        let most = self.aim(frame, least)?.most;
        for place in 0..self.asked.len() {
            least += self.least_of(frame.slots, place) - 1;
            if least > most {
                return None;
            }
        }
        self.aim(frame, least).map(|_| least)
    }

    /// What a plan has to keep to that has so many settings at least and is of use; `None` if there is none.
    fn aim(&self, frame: &Frame, fewest: usize) -> Option<Aim> {
        let (best, others) = (&self.best, &self.others);
        let mut most = usize::MAX;
        if !self.loose() {
            match (frame.begun, frame.patterns).cmp(&(best.begun, best.patterns)) {
                Ordering::Less => {}
                Ordering::Equal => most = best.settings - others.settings,
                Ordering::Greater => return None,
            }
            if fewest > most {
                return None;
            }
        }
        if best.tight > others.tight {
            return Some(Aim { most, floor: i64::MIN, top: [i64::MAX; MOST] });
        }
        let floor = if fewest == most { best.margin.0.max(0) } else { 0 };
        let spare = frame.spare - floor * i64::from(self.boards);
        let top = |slot: usize| frame.slots.get(slot).map_or(i64::MAX, |slot| floor + spare / i64::from(slot.1));
        (spare >= 0).then(|| Aim { most, floor, top: std::array::from_fn(top) })
    }

    /// The ways to share each length among the slots, and the fewest settings that come of them, `least` as far as is known; `None` if one
    /// cannot be shared, if too many settings come of it, or if the steps ran out.
    fn all_ways(&mut self, frame: &Frame, least: usize, ways: &mut Ways) -> Option<usize> {
        let most = self.aim(frame, least)?.most;
        let mut fewest = least;
        for place in 0..self.asked.len() {
            let at = self.asked[place];
            let known = self.least_of(frame.slots, place);
            let open = (most - fewest).saturating_add(known);
            let rest = Rest { place, slot: 0, left: self.demand[at], open };
            self.share(frame.slots, rest, [0; MOST], ways);
            if self.budget.out() {
                return None;
            }
            fewest += ways.close(self.shop, at)? - known;
            if fewest > most {
                return None;
            }
        }
        Some(fewest)
    }

    /// Adds the ways to share what is left of one length among the slots from the next on, until the steps run out.
    fn share(&mut self, slots: &Slots, rest: Rest, mut share: Share, ways: &mut Ways) {
        let Rest { place, slot, left, open } = rest;
        if left == 0 {
            return ways.push(share);
        }
        if open == 1 || slot + 1 == slots.len() {
            for slot in (slot..slots.len()).filter(|&slot| self.alone(slots[slot], place, left)) {
                let mut share = share;
                share[slot] = left / slots[slot].1;
                ways.push(share);
            }
            return;
        }
        let times = slots[slot].1;
        let most = self.holds(slots[slot], place).min(left / times);
        self.budget.spend(1 + u64::from(most) / 4);
        for n in 0..=most {
            if self.budget.out() {
                return;
            }
            share[slot] = n;
            let open = open - usize::from(n > 0);
            self.share(slots, Rest { place, slot: slot + 1, left: left - n * times, open }, share, ways);
        }
    }

    /// Shares the lengths from `next` on; `fewest` settings come of it at least. False when the steps ran out.
    fn fill(&mut self, frame: &Frame, ways: &Ways, next: usize, fewest: usize, filling: Filling) -> bool {
        if !self.budget.spend(1) {
            return false;
        }
        let Some(length) = ways.lengths.get(next) else {
            self.keep(frame, &filling);
            return true;
        };
        let reach = ways.lengths.get(next + 1).map_or([0; MOST], |length| length.reach);
        let mut aimed: Option<((usize, u32), Aim)> = None;
        for (settings, share) in ways.of(length) {
            let fewest = fewest - length.fewest + settings;
            // The aim changes with the settings and with the best plan only.
            let now = (fewest, self.gains);
            if aimed.is_none_or(|(at, _)| at != now) {
                aimed = self.aim(frame, fewest).map(|aim| (now, aim));
            }
            let Some((_, aim)) = aimed else { break };
            if !filling.takes(length.weights, share, &aim, &reach) {
                continue;
            }
            let Some(filling) = filling.with(length.weights, share) else { continue };
            if aim.floor == i64::MIN && self.no_better(frame, fewest, &filling) {
                continue;
            }
            self.chosen.push((length.at, *share));
            let on = self.fill(frame, ways, next + 1, fewest, filling);
            self.chosen.pop();
            if !on {
                return false;
            }
        }
        true
    }

    /// True when nothing that comes of a filling beats the best plan, which has tight boards: reserves only fall from here, settings only
    /// rise.
    fn no_better(&self, frame: &Frame, fewest: usize, filling: &Filling) -> bool {
        let tight = (frame.slots.iter().zip(&filling.margin)).filter(|(_, margin)| **margin < 0);
        let tight = self.others.tight + tight.map(|(slot, _)| u64::from(slot.1)).sum::<u64>();
        let best = &self.best;
        if tight > best.tight || (!self.settled && tight < best.tight) {
            return tight > best.tight;
        }
        let margin = self.others.margin.max(filling.least());
        let new = (frame.begun, frame.patterns, self.others.settings + fewest, margin);
        new > (best.begun, best.patterns, best.settings, best.margin)
    }

    /// Keeps a plan that is better than the best.
    fn keep(&mut self, frame: &Frame, filling: &Filling) {
        let slots = frame.slots;
        let offcuts: u64 =
            slots.iter().zip(&filling.room).filter(|(_, room)| **room > 0).map(|(slot, _)| u64::from(slot.1)).sum();
        let held = |slot: usize| self.chosen.iter().filter(move |(_, share)| share[slot] > 0).count();
        let settings: usize = (0..slots.len()).map(held).sum();
        let same = !self.loose()
            && frame.patterns == self.best.patterns
            && settings + self.others.settings == self.best.settings
            && self.others.margin.max(filling.least()) == self.best.margin;
        let empty = (0..slots.len()).any(|slot| held(slot) == 0);
        if (same && self.others.offcuts + offcuts > self.best.offcuts) || empty || self.as_it_was(slots) {
            return;
        }
        let new = (0..slots.len()).map(|slot| self.pattern(slots, slot));
        let cuts = merge(self.rest.iter().copied().cloned().chain(new).collect());
        let score = Score::of(self.shop, &cuts);
        let better = match (&self.found, self.whole) {
            (Some((best, _)), _) => score < *best,
            (None, Some(whole)) => score < *whole,
            (None, None) => score < Score::of(self.shop, &merge(self.cuts.iter().copied().cloned().collect())),
        };
        if better {
            self.best = score.tally;
            self.found = Some((score, cuts));
            self.gains += 1;
        }
    }

    /// One of the new patterns.
    fn pattern(&self, slots: &Slots, slot: usize) -> Cut {
        let mut counts = vec![0; self.demand.len()];
        self.chosen.iter().for_each(|(at, share)| counts[*at] = share[slot]);
        let (board, times) = slots[slot];
        Cut { board, counts, times }
    }

    /// True if the new patterns are the old ones.
    fn as_it_was(&self, slots: &Slots) -> bool {
        let same = |cut: &Cut, slot: usize| {
            (cut.board, cut.times) == slots[slot]
                && self.chosen.iter().all(|(at, share)| cut.counts[*at] == share[slot])
        };
        let (cuts, all) = (self.cuts, 0..slots.len());
        slots.len() == cuts.len()
            && all.clone().all(|slot| cuts.iter().any(|cut| same(cut, slot)))
            && cuts.iter().all(|cut| all.clone().any(|slot| same(cut, slot)))
    }
}

#[cfg(test)]
mod tests;
