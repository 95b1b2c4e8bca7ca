//! The cheapest packs: exact, over all numbers of packs of each size.

use model::stock::Pack;
use model::why::{Case, Mark, Rule};

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
    if rest > 2 * MOST {
        return None;
    }
    let exact = came_off == 0;
    for (count, more) in counts.iter_mut().zip(fill(rest, &scaled)?) {
        *count += more;
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

/// For the first none, one, two … packs in size: the least weight that holds just so many measures.
struct Tables(Vec<Vec<Option<Weight>>>);

impl Tables {
    fn new(needed: i128, small: &[usize], offers: &[Offer]) -> Tables {
        let largest = small.last().map_or(0, |&at| offers[at].holds);
        // Both are below twice MOST: a choice that holds more could do without one of its packs.
        let mut table: Vec<Option<Weight>> = vec![None; (needed + largest) as usize];
        table[0] = Some((0, 0));
        let mut tables = vec![table.clone()];
        for &at in small {
            let Offer { holds, price, most } = offers[at];
            let mut left = most;
            let mut packet = 1;
            // Numbers of one pack as sums of packets of 1, 2, 4 … and a rest.
            while left > 0 {
                let many = packet.min(left);
                let (step, cost) = ((many * holds) as usize, many * price.unwrap_or(0));
                for to in (step..table.len()).rev() {
                    let with = table[to - step].map(|before| (before.0 + cost, before.1 + many as u64));
                    if with.is_some_and(|with| table[to].is_none_or(|own| with < own)) {
                        table[to] = with;
                    }
                }
                left -= many;
                packet *= 2;
            }
            tables.push(table.clone());
        }
        Tables(tables)
    }

    /// Cost, measures and packs of the best choice.
    fn best(&self, needed: i128) -> Option<(i128, i128, u64)> {
        let last = self.0.last()?;
        let at = |(holds, weight): (usize, &Option<Weight>)| weight.map(|(cost, packs)| (cost, holds as i128, packs));
        last.iter().enumerate().skip(needed as usize).filter_map(at).min()
    }

    /// The numbers behind a sum of measures, most of the largest first.
    fn count(&self, holds: i128, small: &[usize], offers: &[Offer], counts: &mut [u64]) {
        let mut rest = holds as usize;
        for (place, &at) in small.iter().enumerate().rev() {
            let offer = &offers[at];
            let Some((cost, packs)) = self.0[place + 1][rest] else { return };
            let step = offer.holds as usize;
            let most = (rest / step).min(usize::try_from(offer.most).unwrap_or(usize::MAX));
            let is_it = |many: &usize| {
                let own = (offer.price.unwrap_or(0) * *many as i128, *many as u64);
                self.0[place][rest - many * step].is_some_and(|left| (left.0 + own.0, left.1 + own.1) == (cost, packs))
            };
            let many = (0..=most).rev().find(is_it).unwrap_or(0);
            counts[at] = many as u64;
            rest -= many * step;
        }
    }
}

#[cfg(test)]
mod tests;
