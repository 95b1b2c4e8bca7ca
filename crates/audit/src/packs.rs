//! The cheapest packs by the referee's own search: pack after pack from the largest, every number that can be of use.

use crate::fitting::up;
use crate::texts::Pack;

/// What a search came to.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Bought {
    /// So many of each.
    Packs(Vec<i128>),
    /// There are not enough.
    TooFew,
    /// More choices than are tried, or so much that the cheapest are not claimed.
    Unknown,
}

/// Steps of one search.
const STEPS: u32 = 300_000;
/// The most kinds of pack that are tried: one calls the next.
const KINDS: usize = 64;
/// The most measures, common to all packs, up to which the cheapest packs are claimed.
const MOST: i128 = 50_000;

/// The packs that hold so much and cost least (if one has no price: hold least), then hold least, then are fewest, then have most
/// of the largest.
pub(crate) fn cheapest(needed: i128, packs: &[Pack]) -> Bought {
    let measure = packs.iter().fold(0, |measure, pack| crate::proven::gcd(measure, pack.holds)).max(1);
    if packs.len() > KINDS || packs.iter().any(|pack| pack.holds <= 0) || up(needed, measure) > MOST {
        return Bought::Unknown;
    }
    let mut order: Vec<usize> = (0..packs.len()).collect();
    order.sort_by_key(|&at| std::cmp::Reverse((packs[at].holds, at)));
    let priced = packs.iter().all(|pack| pack.price.is_some());
    let mut search = Search { packs, order, priced, best: None, steps: STEPS };
    search.go(0, needed.max(0), [0; 3], &mut Vec::new());
    match search.best {
        _ if search.steps == 0 => Bought::Unknown,
        None => Bought::TooFew,
        Some((_, counts)) => {
            let mut all = vec![0; packs.len()];
            search.order.iter().zip(counts).for_each(|(&at, count)| all[at] = -count);
            Bought::Packs(all)
        }
    }
}

/// What some packs cost; `None` if one that is on sale has no price.
pub(crate) fn cost(counts: &[i128], packs: &[Pack]) -> Option<i128> {
    packs.iter().zip(counts).map(|(pack, count)| pack.price.map(|price| count * i128::from(price))).sum()
}

/// How many of a pack there are, or can be of use.
pub(crate) fn at_most(needed: i128, pack: &Pack) -> i128 {
    let of_use = up(needed.max(0), pack.holds.max(1));
    pack.stock.map_or(of_use, |stock| of_use.min(stock.into()))
}

struct Search<'p> {
    packs: &'p [Pack],
    /// The largest first.
    order: Vec<usize>,
    priced: bool,
    /// Cost, measures and number of packs, then the numbers of each below nothing, so that less is better throughout.
    best: Option<([i128; 3], Vec<i128>)>,
    steps: u32,
}

impl Search<'_> {
    fn go(&mut self, at: usize, left: i128, spent: [i128; 3], counts: &mut Vec<i128>) {
        self.steps = self.steps.saturating_sub(1);
        if self.steps == 0 || self.best.as_ref().is_some_and(|best| spent[0] > best.0[0]) {
            return;
        }
        let Some(&pack) = self.order.get(at) else {
            let found = (spent, counts.clone());
            if left <= 0 && self.best.as_ref().is_none_or(|best| found < *best) {
                self.best = Some(found);
            }
            return;
        };
        let of = self.packs[pack];
        let most = at_most(left, &of);
        // Of the last kind just as many as are still missing.
        let least = if at + 1 == self.order.len() { most } else { 0 };
        for count in (least..=most).rev() {
            let price = if self.priced { of.price.unwrap_or(0).into() } else { 0 };
            counts.push(-count);
            let next = [spent[0] + count * price, spent[1] + count * of.holds, spent[2] + count];
            self.go(at + 1, left - count * of.holds, next, counts);
            counts.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Bought, cheapest, cost};
    use crate::texts::Pack;

    fn packs(of: &[(i128, i64)]) -> Vec<Pack> {
        of.iter().map(|&(holds, price)| Pack { holds, price: Some(price), stock: None }).collect()
    }

    /// Worked by hand: 110 screws from boxes of 100 at 6.90, 200 at 11.50 and 50 at 4.00 are one of 100 and one of 50 for 10.90;
    /// with two of 50 only and none of 100, three of 50 would do, and so the 200 is taken. Of 3.2 litres 2.5 and 1 for 61.00
    /// beat 5 for 79.00. Without a price what holds least is taken.
    #[test]
    fn packs_worked_by_hand() {
        let mut boxes = packs(&[(100, 690), (200, 1150), (50, 400)]);
        assert_eq!(cheapest(110, &boxes), Bought::Packs(vec![1, 0, 1]));
        assert_eq!(cost(&[1, 0, 1], &boxes), Some(1090));
        (boxes[0].stock, boxes[2].stock) = (Some(0), Some(2));
        assert_eq!(cheapest(110, &boxes), Bought::Packs(vec![0, 1, 0]));
        boxes[1].stock = Some(0);
        assert_eq!(cheapest(110, &boxes), Bought::TooFew);
        let tins = packs(&[(1_000_000, 2100), (2_500_000, 4000), (5_000_000, 7900)]);
        assert_eq!(cheapest(3_200_000, &tins), Bought::Packs(vec![1, 1, 0]));
        let mut unpriced = packs(&[(7, 1), (5, 1)]);
        unpriced[0].price = None;
        assert_eq!(cheapest(10, &unpriced), Bought::Packs(vec![0, 2]));
        assert_eq!(cheapest(1 << 60, &packs(&[(1, 1)])), Bought::Unknown);
        assert_eq!(cheapest(0, &tins), Bought::Packs(vec![0, 0, 0]));
        // One kind calls the next, and a record may name as many as it likes.
        assert_eq!(cheapest(1, &packs(&[(1, 1); 65])), Bought::Unknown);
    }
}
