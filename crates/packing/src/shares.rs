//! How the parts of each length are shared among a few new patterns, and what room that leaves in them.

use std::cmp::Reverse;

use crate::job::Shop;

/// Most patterns that are cut anew at once.
pub(crate) const MOST: usize = 3;

/// Parts of one length in each of the new patterns; none in those past the last.
pub(crate) type Share = [u32; MOST];

/// The ways to share the lengths of a piece among the new patterns.
#[derive(Default)]
pub(crate) struct Ways {
    /// The lengths, those with the fewest ways first.
    pub lengths: Vec<Length>,
    /// All ways, those of one length together.
    shares: Vec<(usize, Share)>,
}

/// One length in [`Ways`].
pub(crate) struct Length {
    /// Index into the lengths of the shop.
    pub at: usize,
    /// What a part takes of a board, without and with its reserve.
    pub weights: (i64, i64),
    /// The fewest patterns that hold it.
    pub fewest: usize,
    /// Where its ways stand.
    from: usize,
    to: usize,
    /// The most that this length and those behind it can take of the reserve of each pattern.
    pub reach: [i64; MOST],
}

impl Ways {
    /// Forgets all lengths.
    pub fn clear(&mut self) {
        self.lengths.clear();
        self.shares.clear();
    }

    /// The ways of one length: the new patterns that hold it and the parts in each, fewest patterns first.
    pub fn of(&self, length: &Length) -> &[(usize, Share)] {
        &self.shares[length.from..length.to]
    }

    /// Adds a way for the length that is closed next.
    pub fn push(&mut self, share: Share) {
        self.shares.push((share.iter().filter(|n| **n > 0).count(), share));
    }

    /// Closes a length whose ways were pushed; the fewest patterns that hold it, or `None` if there is no way.
    pub fn close(&mut self, shop: &Shop, at: usize) -> Option<usize> {
        let from = self.lengths.last().map_or(0, |length| length.to);
        let to = self.shares.len();
        self.shares[from..].sort_unstable();
        let fewest = self.shares.get(from)?.0;
        let weights = (shop.weights[at], shop.weights[at] + shop.reserve.per_cut);
        self.lengths.push(Length { at, weights, fewest, from, to, reach: [0; MOST] });
        Some(fewest)
    }

    /// Puts the lengths in order once all are closed.
    pub fn order(&mut self) {
        self.lengths.sort_by_key(|length| length.to - length.from);
        let mut reach = [0; MOST];
        for length in self.lengths.iter_mut().rev() {
            for (slot, reach) in reach.iter_mut().enumerate() {
                let most = self.shares[length.from..length.to].iter().map(|(_, share)| share[slot]).max();
                *reach += i64::from(most.unwrap_or(0)) * length.weights.1;
            }
            length.reach = reach;
        }
    }
}

/// What new patterns have to keep to so that they are of use.
#[derive(Clone, Copy)]
pub(crate) struct Aim {
    /// The most settings of all of them.
    pub most: usize,
    /// The least reserve of each.
    pub floor: i64,
    /// The most that each may keep beyond its reserve, or others have to keep too little.
    pub top: [i64; MOST],
}

/// What the new patterns still have room for.
#[derive(Clone, Copy)]
pub(crate) struct Filling {
    /// What is left of each board.
    pub room: [i64; MOST],
    /// What is left beyond the reserve, if nothing is added; without end past the last pattern.
    pub margin: [i64; MOST],
    /// True for a pattern that is up to now the same as the one before it: of two that change places one is enough.
    tied: [bool; MOST],
}

impl Filling {
    /// Empty patterns, each on a board and cut so often.
    pub fn new(shop: &Shop, slots: &[(usize, u32)]) -> Filling {
        let mut filling = Filling { room: [0; MOST], margin: [i64::MAX; MOST], tied: [false; MOST] };
        for (slot, &(board, _)) in slots.iter().enumerate() {
            filling.room[slot] = shop.boards[board].capacity;
            filling.margin[slot] = filling.room[slot] + shop.reserve.per_cut - shop.reserve.per_board;
            filling.tied[slot] = slot > 0 && slots[slot - 1] == slots[slot];
        }
        filling
    }

    /// True if each board has room for its part of a share of one length, and each pattern can meet the aim with what is added within `reach`.
    pub fn takes(&self, (weight, full): (i64, i64), share: &Share, aim: &Aim, reach: &[i64; MOST]) -> bool {
        (0..MOST).all(|slot| {
            let number = i64::from(share[slot]);
            let margin = self.margin[slot] - number * full;
            margin >= aim.floor && margin - reach[slot] <= aim.top[slot] && self.room[slot] >= number * weight
        })
    }

    /// With a share of one length that it takes; `None` if that comes in another order too.
    pub fn with(&self, (weight, full): (i64, i64), share: &Share) -> Option<Filling> {
        let mut with = *self;
        for slot in 1..MOST {
            if with.tied[slot] && share[slot] > share[slot - 1] {
                return None;
            }
            with.tied[slot] &= share[slot] == share[slot - 1];
        }
        for (slot, &number) in share.iter().enumerate() {
            with.room[slot] -= i64::from(number) * weight;
            with.margin[slot] -= i64::from(number) * full;
        }
        Some(with)
    }

    /// The least reserve of a pattern.
    pub fn least(&self) -> Reverse<i64> {
        Reverse(self.margin.into_iter().fold(i64::MAX, i64::min))
    }
}
