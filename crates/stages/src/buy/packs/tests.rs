//! Packs against every choice there is, and against packs as shops sell them.

use super::{Choice, MOST, choose};
use measure::Money;
use model::stock::Pack;

fn pack(holds: u64, price: i64) -> Pack {
    Pack { holds, price: Some(Money::hundredths(price)), stock: None }
}

/// A small generator (Knuth's constants).
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: u64, high: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (self.0 >> 33) % (high - low + 1)
    }
}

/// Every choice of up to so many of each, the best by the goals in their order.
fn brute(needed: u64, packs: &[Pack]) -> Option<(Vec<u64>, bool)> {
    let priced = packs.iter().all(|pack| pack.price.is_some());
    let mut large_first: Vec<usize> = (0..packs.len()).collect();
    large_first.sort_by_key(|&at| std::cmp::Reverse((packs[at].holds, at)));
    let mut best = None;
    let mut counts = vec![0_u64; packs.len()];
    loop {
        let holds: u64 = counts.iter().zip(packs).map(|(count, pack)| count * pack.holds).sum();
        if holds >= needed {
            let cost: i64 = counts.iter().zip(packs).map(|(c, p)| *c as i64 * p.price.map_or(0, Money::value)).sum();
            let large: Vec<i64> = large_first.iter().map(|&at| -(counts[at] as i64)).collect();
            let goals = (if priced { cost } else { 0 }, holds, counts.iter().sum::<u64>(), large);
            if best.as_ref().is_none_or(|(least, _)| goals < *least) {
                best = Some((goals, counts.clone()));
            }
        }
        let most = |at: usize| packs[at].stock.map_or(u64::MAX, u64::from).min(needed.div_ceil(packs[at].holds));
        let Some(next) = (0..packs.len()).find(|&at| counts[at] < most(at)) else { break };
        counts[..next].fill(0);
        counts[next] += 1;
    }
    best.map(|(_, counts)| (counts, priced))
}

#[test]
fn thousands_of_random_packs_equal_brute_force() {
    let mut dice = Dice(11);
    let (mut short, mut unpriced) = (0, 0);
    for round in 0..6_000 {
        let kinds = dice.between(1, 4);
        let mut packs: Vec<Pack> = Vec::new();
        while (packs.len() as u64) < kinds {
            let holds = dice.between(1, 9) * if round % 3 == 0 { 50 } else { 1 };
            let stock = (dice.between(0, 2) == 0).then(|| dice.between(0, 3) as u32);
            let price = (dice.between(0, 19) > 0).then(|| Money::hundredths(dice.between(0, 12) as i64));
            if packs.iter().all(|pack| pack.holds != holds) {
                packs.push(Pack { holds, price, stock });
            }
        }
        let needed = dice.between(0, 20) * if round % 3 == 0 { 37 } else { 1 };
        let own = choose(needed.into(), &packs);
        match brute(needed, &packs) {
            Some((counts, priced)) => {
                let own = own.unwrap_or_else(|| panic!("{needed} of {packs:?}"));
                assert_eq!(own.counts, counts, "{needed} of {packs:?}");
                assert!(own.exact && own.cost.is_some() == priced);
                unpriced += u32::from(!priced);
            }
            None => {
                assert_eq!(own, None, "{needed} of {packs:?}");
                short += 1;
            }
        }
    }
    assert!(short > 100 && unpriced > 100, "{short} {unpriced}");
}

/// Sizes as they are sold (boxes of 100, 200, 250 and 500; compost of 40, 50 and 60 L; tins of 1, 2.5 and 5 L; pavers singly
/// and in packs; *from memory*), prices of our own, worked by hand.
#[test]
fn packs_as_shops_sell_them() {
    let bought = |needed: i128, packs: &[Pack]| choose(needed, packs).map(|choice| (choice.counts, choice.cost));
    // 310 screws: 250 and 100 for 17.40 beat 500 for 21.50 and 200 + 200 for 19.80.
    let boxes = [pack(100, 590), pack(200, 990), pack(250, 1150), pack(500, 2150)];
    assert_eq!(bought(310, &boxes), Some((vec![1, 0, 1, 0], Some(1740))));
    // 307.5 L of compost: five bags of 40, one of 50 and one of 60 hold 310 for 35.65; eight of 40 for 36.00, seven of 50 for
    // 41.65 and 4 × 60 + 2 × 40 for 37.80 do not beat them.
    let litre = 1_000_000;
    let compost = [pack(40 * litre, 450), pack(50 * litre, 595), pack(60 * litre, 720)];
    assert_eq!(bought(307_500_000, &compost), Some((vec![5, 1, 1], Some(3565))));
    // 3.2 L of oil: 2.5 and 1 for 61 beat 5 for 79.
    let tins = [pack(litre, 2100), pack(5 * litre / 2, 4000), pack(5 * litre, 7900)];
    assert_eq!(bought(3_200_000, &tins), Some((vec![1, 1, 0], Some(6100))));
    // 45 setts at 1.35, packs of 20 at 22.00: two packs and five singly for 50.75.
    assert_eq!(bought(45, &[pack(1, 135), pack(20, 2200)]), Some((vec![5, 2], Some(5075))));
}

/// A tonne of gravel more than is looked at one by one: whole packs of the best price come off first, and it is said.
#[test]
fn very_much_is_told() {
    let packs = [pack(1, 10), pack(7, 60)];
    let Some(Choice { counts, holds, exact, .. }) = choose(10 * MOST, &packs) else { panic!("enough of both") };
    assert!(!exact && holds >= 10 * MOST && counts[1] > counts[0], "{counts:?}");
    assert!(choose(MOST, &packs).expect("enough").exact);
    assert_eq!(choose(1 << 90, &packs), None);
}

/// Where a few small packs are left and one large one does, the large one is bought, by itself or twice (by hand).
#[test]
fn one_large_pack_does() {
    let few = |stock: u32| Pack { stock: Some(stock), ..pack(1, 1) };
    let bought = |needed: i128, large: u64| choose(needed, &[few(5), pack(large, 900_000)]).map(|choice| choice.counts);
    assert_eq!(bought(600_000, 1_000_000), Some(vec![0, 1]));
    assert_eq!(bought(600_000, 350_000), Some(vec![0, 2]));
    assert_eq!(choose(600_000, &[few(5)]), None, "there are not enough");
}
