//! The cheapest packs: exact, over all numbers of packs of each size.

use model::stock::Pack;
use model::why::{Case, Mark, Rule};
use std::cmp::Reverse;

/// So many of each pack, in the order in which they are on sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// How many of each.
    pub counts: Vec<u64>,
    /// What they hold together.
    pub holds: i128,
    /// What they cost together, in hundredths; `None` if one on sale has no price.
    pub cost: Option<i128>,
    /// Whether no other choice is better. If so much is needed that whole packs came off first, it is not said.
    pub exact: bool,
}

/// The most measures, common to all packs, that are looked at one by one.
pub const MOST: i128 = 50_000;

/// What the cheapest packs cost.
pub static PACKS: Rule = Rule {
    id: "packs",
    words: "The packs that hold what is needed, or more, and cost least together; of equals those that hold least, then fewest packs, then most of the largest",
    formula: "cost = least sum of number × price, with sum of number × holds ≥ needed, each number within what there is",
    inputs: &["needed", "holds, price, at most…"],
    source: "a knapsack that must be filled, by exact dynamic programming over what the packs have in common",
    mark: Mark::Arithmetic,
    compute: |x| {
        let [needed, offers @ ..] = x else { return None };
        let (offers, []) = offers.as_chunks::<3>() else { return None };
        let offer = |&[holds, price, most]: &[i128; 3]| Offer { holds, price: Some(price), most };
        cheapest(*needed, &offers.iter().map(offer).collect::<Vec<Offer>>())?.cost
    },
    case: Case {
        given: &[110, 100, 690, 2, 200, 1150, 1, 50, 400, 3],
        gives: 1_090,
        source: "110 screws from boxes of 100 at 6.90, of 200 at 11.50, of 50 at 4.00: one of 100 and one of 50, worked by hand",
    },
};

/// A pack as the search takes it.
#[derive(Clone, Copy, Debug)]
struct Offer {
    holds: i128,
    price: Option<i128>,
    most: i128,
}

/// How many of a pack there are, or can be of use.
pub fn at_most(needed: i128, pack: &Pack) -> i128 {
    let of_use = up(needed.max(0), i128::from(pack.holds).max(1));
    pack.stock.map_or(of_use, |stock| of_use.min(stock.into()))
}

/// The cheapest packs for what is needed; `None` if there are not enough of them.
pub fn choose(needed: i128, packs: &[Pack]) -> Option<Choice> {
    let offer = |pack: &Pack| Offer {
        holds: pack.holds.into(),
        price: pack.price.map(|price| price.value().into()),
        most: at_most(needed, pack),
    };
    cheapest(needed, &packs.iter().map(offer).collect::<Vec<Offer>>())
}

fn up(a: i128, b: i128) -> i128 {
    a.div_euclid(b) + i128::from(a.rem_euclid(b) > 0)
}

fn gcd(a: i128, b: i128) -> i128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// What a number of packs is judged by, the first first.
type Weight = (i128, u64);

fn cheapest(needed: i128, offers: &[Offer]) -> Option<Choice> {
    const LARGE: i128 = 1 << 80;
    let sane = |offer: &Offer| {
        (1..LARGE).contains(&offer.holds) && (0..1 << 40).contains(&offer.price.unwrap_or(0)) && offer.most >= 0
    };
    if needed >= LARGE || !offers.iter().all(sane) || offers.len() > 64 {
        return None;
    }
    let priced = offers.iter().all(|offer| offer.price.is_some());
    let measure = offers.iter().fold(0, |measure, offer| gcd(measure, offer.holds)).max(1);
    let price = |offer: &Offer| if priced { offer.price.unwrap_or(0) } else { 0 };
    let needed = up(needed.max(0), measure);
    let scaled = |offer: &Offer| Offer { holds: offer.holds / measure, price: Some(price(offer)), ..*offer };
    let mut scaled: Vec<Offer> = offers.iter().map(scaled).collect();
    scaled.iter_mut().for_each(|offer| offer.most = offer.most.min(up(needed, offer.holds)));
    let mut counts = off_first(needed, &mut scaled);
    let came_off: i128 = counts.iter().zip(&scaled).map(|(count, offer)| i128::from(*count) * offer.holds).sum();
    let rest = needed - came_off;
    let exact = came_off == 0;
    // With more than this left, every pack that there still is holds more than half of it.
    let filled = if rest > 2 * MOST { one_or_two(rest, &scaled) } else { fill(rest, &scaled) };
    for (count, more) in counts.iter_mut().zip(filled?) {
        *count += more;
    }
    if !exact {
        put_back(needed, &scaled, &mut counts);
    }
    let sum = |of: &dyn Fn(&Offer) -> i128| -> i128 {
        counts.iter().zip(offers).map(|(count, offer)| i128::from(*count) * of(offer)).sum()
    };
    let cost = priced.then(|| sum(&|offer| offer.price.unwrap_or(0)));
    Some(Choice { holds: sum(&|offer| offer.holds), cost, counts: counts.clone(), exact })
}

/// Where very much is needed, whole packs of the best price per measure come off first (of equals the largest), as many as
/// leave no less than [`MOST`] measures, within what there is; then those of the next best.
fn off_first(needed: i128, offers: &mut [Offer]) -> Vec<u64> {
    let mut counts = vec![0; offers.len()];
    let mut order: Vec<usize> = (0..offers.len()).collect();
    let price = |offer: &Offer| offer.price.unwrap_or(0);
    order.sort_by(|&a, &b| {
        let (a, b) = (&offers[a], &offers[b]);
        (price(a) * b.holds).cmp(&(price(b) * a.holds)).then(b.holds.cmp(&a.holds))
    });
    let mut rest = needed;
    for at in order {
        let many = ((rest - MOST).max(0) / offers[at].holds).min(offers[at].most);
        rest -= many * offers[at].holds;
        offers[at].most -= many;
        counts[at] = u64::try_from(many).unwrap_or(0);
    }
    counts
}

/// Puts back what came off first and is not needed after all, the dearest first.
fn put_back(needed: i128, offers: &[Offer], counts: &mut [u64]) {
    let held: i128 = counts.iter().zip(offers).map(|(count, offer)| i128::from(*count) * offer.holds).sum();
    let mut over = held - needed;
    let mut order: Vec<usize> = (0..offers.len()).collect();
    order.sort_by_key(|&at| (Reverse(offers[at].price), at));
    for at in order {
        let back = (over / offers[at].holds).min(counts[at].into()).max(0);
        over -= back * offers[at].holds;
        counts[at] -= u64::try_from(back).unwrap_or(0);
    }
}

/// The best one or two packs, each of which holds half of what is needed or more.
fn one_or_two(needed: i128, offers: &[Offer]) -> Option<Vec<u64>> {
    let there: Vec<usize> = (0..offers.len()).filter(|&at| offers[at].most > 0).collect();
    let alone = there.iter().map(|&at| vec![at]);
    let pairs = there.iter().flat_map(|&one| there.iter().map(move |&other| vec![one, other]));
    let does = |chosen: &Vec<usize>| {
        let twice = chosen.len() == 2 && chosen[0] == chosen[1];
        let holds: i128 = chosen.iter().map(|&at| offers[at].holds).sum();
        holds >= needed && (!twice || offers[chosen[0]].most > 1)
    };
    let weight = |chosen: &Vec<usize>| {
        let sum = |of: &dyn Fn(&Offer) -> i128| -> i128 { chosen.iter().map(|&at| of(&offers[at])).sum() };
        let largest = chosen.iter().map(|&at| offers[at].holds).max();
        (sum(&|offer| offer.price.unwrap_or(0)), sum(&|offer| offer.holds), chosen.len(), Reverse(largest))
    };
    let best = alone.chain(pairs).filter(does).min_by_key(weight)?;
    let mut counts = vec![0; offers.len()];
    best.into_iter().for_each(|at| counts[at] += 1);
    Some(counts)
}

/// The best numbers of packs that hold `needed` measures or more.
fn fill(needed: i128, offers: &[Offer]) -> Option<Vec<u64>> {
    let mut counts = vec![0; offers.len()];
    if needed <= 0 {
        return Some(counts);
    }
    // A pack that holds all of it is bought alone or not at all.
    let alone = |(at, offer): (usize, &Offer)| {
        (offer.holds >= needed && offer.most > 0).then_some((offer.price.unwrap_or(0), offer.holds, 1, at))
    };
    let alone = offers.iter().enumerate().filter_map(alone).min();
    let mut small: Vec<usize> =
        (0..offers.len()).filter(|&at| offers[at].holds < needed && offers[at].most > 0).collect();
    small.sort_by_key(|&at| (offers[at].holds, at));
    let tables = Tables::new(needed, &small, offers);
    match (tables.best(needed), alone) {
        (Some((cost, holds, packs)), alone) if alone.is_none_or(|one| (cost, holds, packs) < (one.0, one.1, one.2)) => {
            tables.count(holds, &small, offers, &mut counts);
        }
        (_, Some((.., at))) => counts[at] = 1,
        (_, None) => return None,
    }
    Some(counts)
}

/// What holds just so many measures, pack by pack in size.
struct Tables {
    /// The least weight of all packs together.
    last: Vec<Option<Weight>>,
    /// For each pack, how many of it are in the least weight of it and the smaller ones, the most where several are.
    counts: Vec<Vec<u32>>,
}

impl Tables {
    fn new(needed: i128, small: &[usize], offers: &[Offer]) -> Tables {
        let largest = small.last().map_or(0, |&at| offers[at].holds);
        // Both are below twice MOST: a choice that holds more could do without one of its packs.
        let mut table: Vec<Option<Weight>> = vec![None; (needed + largest) as usize];
        table[0] = Some((0, 0));
        let mut counts = Vec::with_capacity(small.len());
        for &at in small {
            let Offer { holds, price, most } = offers[at];
            // A pack holds one measure at least, so no more than the table is long are of use.
            let mut own = vec![0_u32; table.len()];
            let mut left = most;
            let mut packet = 1;
            // Numbers of one pack as sums of packets of 1, 2, 4 … and a rest.
            while left > 0 {
                let many = packet.min(left);
                let (step, cost) = ((many * holds) as usize, many * price.unwrap_or(0));
                for to in (step..table.len()).rev() {
                    let Some((before, packs)) = table[to - step] else { continue };
                    let (with, count) = ((before + cost, packs + many as u64), own[to - step] + many as u32);
                    if table[to].is_none_or(|known| (with, Reverse(count)) < (known, Reverse(own[to]))) {
                        (table[to], own[to]) = (Some(with), count);
                    }
                }
                left -= many;
                packet *= 2;
            }
            counts.push(own);
        }
        Tables { last: table, counts }
    }

    /// Cost, measures and packs of the best choice.
    fn best(&self, needed: i128) -> Option<(i128, i128, u64)> {
        let at = |(holds, weight): (usize, &Option<Weight>)| weight.map(|(cost, packs)| (cost, holds as i128, packs));
        self.last.iter().enumerate().skip(needed as usize).filter_map(at).min()
    }

    /// The numbers behind a sum of measures, most of the largest first.
    fn count(&self, holds: i128, small: &[usize], offers: &[Offer], counts: &mut [u64]) {
        let mut rest = holds as usize;
        for (own, &at) in self.counts.iter().zip(small).rev() {
            let many = own[rest];
            counts[at] = many.into();
            rest -= many as usize * offers[at].holds as usize;
        }
    }
}

#[cfg(test)]
mod tests;
