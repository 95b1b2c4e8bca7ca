//! Give: how the price moves as one size moves a few millimetres.

use super::near::Neighbour;
use crate::{Price, Pricer, Settled};

/// What one size does to the price near where it stands.
#[derive(Clone, Debug)]
pub struct Give {
    /// The size, by its place in the question.
    pub size: usize,
    /// Stretches of one price, ascending; two at least.
    pub stretches: Vec<Stretch>,
    /// The one that the size stands in, by its place among them.
    pub stands_in: usize,
    /// The nearest one that costs less, with no more tight boards.
    pub cheaper: Option<usize>,
    /// The nearest one that costs less at all, if it is nearer than that.
    pub cheaper_if_measured: Option<usize>,
}

/// Neighbouring places of a size that cost the same, with as many tight boards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// The first place.
    pub from: i64,
    /// The last place.
    pub to: i64,
    /// How far its places stand apart: a step of the tape, or more where others have to move by a step with it.
    pub every: i64,
    /// What the plan costs there.
    pub price: Price,
}

impl Stretch {
    /// Whether it goes on to the next place that comes out: it costs the same, and lies as far on as its others do.
    fn goes_on(&self, place: i64, price: Price) -> bool {
        let alike = (self.price.total, self.price.tight) == (price.total, price.tight);
        alike && (self.from == self.to || self.to + self.every == place)
    }

    /// How far it is from a place outside it.
    fn away(&self, place: i64) -> i64 {
        (self.from - place).max(place - self.to).max(0)
    }

    /// Its end that is nearest to a place outside it.
    pub fn nearest(&self, place: i64) -> i64 {
        place.clamp(self.from, self.to)
    }
}

pub(super) fn all(settled: &Settled, around: &[Neighbour], pricer: &mut Pricer<'_>) -> Vec<Give> {
    let stands = &settled.ways[settled.chosen].closing.sizes;
    let of = |of_size: &[Neighbour]| {
        let size = of_size.first()?.size;
        let priced = of_size.iter().filter_map(|near| {
            let price = pricer.price_near(&near.parts).ok()?;
            price.complete.then_some((near.place, price))
        });
        give(size, stands[size], stretches(priced, settled.asked.problem.sizes[size].step))
    };
    around.chunk_by(|one, next| one.size == next.size).filter_map(of).collect()
}

fn stretches(priced: impl Iterator<Item = (i64, Price)>, step: i64) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for (place, price) in priced {
        match stretches.last_mut() {
            Some(last) if last.goes_on(place, price) => {
                last.every = place - last.to;
                last.to = place;
                last.price.proven &= price.proven;
            }
            _ => stretches.push(Stretch { from: place, to: place, every: step, price }),
        }
    }
    stretches
}

fn give(size: usize, stands: i64, stretches: Vec<Stretch>) -> Option<Give> {
    let stands_in = stretches.iter().position(|stretch| stretch.away(stands) == 0)?;
    let here = stretches[stands_in].price;
    let nearest = |tight: u64| {
        let saves = |at: &usize| stretches[*at].price.total < here.total && stretches[*at].price.tight <= tight;
        (0..stretches.len()).filter(saves).min_by_key(|&at| (stretches[at].away(stands), stretches[at].price.total))
    };
    let (cheaper, any) = (nearest(here.tight), nearest(u64::MAX));
    let nearer = |any: &usize| cheaper.is_none_or(|at| stretches[*any].away(stands) < stretches[at].away(stands));
    let cheaper_if_measured = any.filter(nearer);
    (stretches.len() > 1).then_some(Give { size, stretches, stands_in, cheaper, cheaper_if_measured })
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Money;

    fn price(total: i64, tight: u64) -> Price {
        Price { total: Money::hundredths(total), complete: true, tight, proven: true }
    }

    /// A size at 480 of the seat between planters (worked by hand): 477 is comfortable and 10.08 less, 478 is 10.08 less if
    /// measured, 479 and 480 cost the same.
    #[test]
    fn the_nearest_cheaper_place_keeps_the_reserve_and_a_nearer_one_is_told_beside_it() {
        let ruler =
            [(476, 13776, 0), (477, 13776, 0), (478, 13776, 3), (479, 14784, 0), (480, 14784, 0), (481, 14784, 0)];
        let priced = ruler.into_iter().map(|(place, total, tight)| (place, price(total, tight)));
        let give = give(0, 480, stretches(priced, 1)).expect("three stretches");
        let told: Vec<(i64, i64)> = give.stretches.iter().map(|stretch| (stretch.from, stretch.to)).collect();
        assert_eq!(told, [(476, 477), (478, 478), (479, 481)]);
        assert_eq!((give.stands_in, give.cheaper, give.cheaper_if_measured), (2, Some(0), Some(1)));
        assert_eq!(give.stretches[0].nearest(480), 477);
    }

    /// Two sizes that move together come out at every second step; a place that is missing beyond that parts two stretches.
    #[test]
    fn places_of_one_price_lie_equally_far_apart() {
        let at = |places: &[i64]| {
            let told = stretches(places.iter().map(|&place| (place, price(5, 0))), 1);
            told.iter().map(|stretch| (stretch.from, stretch.to, stretch.every)).collect::<Vec<_>>()
        };
        assert_eq!(at(&[1, 3, 5]), [(1, 5, 2)]);
        assert_eq!(at(&[1, 2, 4]), [(1, 2, 1), (4, 4, 1)]);
    }

    #[test]
    fn a_size_that_changes_nothing_is_left_out() {
        assert!(give(0, 2, stretches([(1, price(5, 0)), (2, price(5, 0))].into_iter(), 1)).is_none());
    }
}
