//! Rule `closing`: every closing closes, its vector is right, the lists are in order and the right way was chosen.
//!
//! Sizes lie on their grids and in their ranges. Each row that exists has `n · member + gaps = length`, `n + ends` gaps, each
//! within its range; a row that does not exist has neither count nor gap. Limits hold. The vector is computed again, see
//! [`crate::fitting::vector`].

use crate::claims::{Closing, Fit, Price, Record, Way};
use crate::cutting::tight;
use crate::fitting::{Ranking, closes, exists, holds, on_grid, places, sum, vector};
use crate::ledger::{Ledger, Mm};
use crate::texts::Papers;
use std::collections::BTreeSet;

const RULE: &str = "closing";

/// Holds all closings and ways; `true` if the way that was chosen can be built on.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) -> bool {
    ledger.turn_to(RULE);
    let fit = &record.fit;
    ledger.hold(["proven", "step limit", "cancelled"].contains(&fit.status.as_str()), || {
        format!("no search ends as `{}`", fit.status)
    });
    hold_list(fit, "closing", ledger);
    let sound: Vec<bool> = (0..record.ways.len()).map(|at| hold_way(record, papers, at, ledger)).collect();
    hold_order(record, ledger);
    hold_choice(record, papers, ledger);
    sound[record.chosen]
}

/// Each closing of a list closes, its vector is right, and the next is worse and another one.
pub(crate) fn hold_list(fit: &Fit, called: &str, ledger: &mut Ledger) -> bool {
    let mut sound = true;
    for (at, closing) in fit.closings.iter().enumerate() {
        sound &= hold_closing(fit, closing, Ranking::AsWished, &format!("{called} {}", at + 1), ledger);
    }
    for (at, pair) in fit.closings.windows(2).enumerate() {
        sound &= ledger.hold(pair[0].vector < pair[1].vector, || {
            format!("{called} {} is listed before {called} {}, which is no worse", at + 1, at + 2)
        });
    }
    let mut seen = BTreeSet::new();
    for (at, closing) in fit.closings.iter().enumerate() {
        let new = seen.insert((&closing.choices, &closing.counts));
        sound &= ledger.hold(new, || format!("{called} {} is listed twice", at + 1));
    }
    sound
}

/// Whether a closing closes and its vector is right.
fn hold_closing(fit: &Fit, closing: &Closing, ranking: Ranking, name: &str, ledger: &mut Ledger) -> bool {
    let sound = hold_limits(fit, closing, name, ledger);
    let found = vector(fit, ranking, closing);
    let claimed: Vec<i128> = closing.vector.iter().map(|&entry| entry.into()).collect();
    ledger.same(&format!("the vector of {name}"), claimed, found) && sound
}

/// Holds a closing that is listed beside the ways, by the wishes.
pub(crate) fn hold_as_wished(fit: &Fit, closing: &Closing, name: &str, ledger: &mut Ledger) -> bool {
    hold_closing(fit, closing, Ranking::AsWished, name, ledger)
}

fn hold_limits(fit: &Fit, closing: &Closing, name: &str, ledger: &mut Ledger) -> bool {
    let mut sound = true;
    for (at, &size) in closing.sizes.iter().enumerate() {
        sound &= ledger.hold(on_grid(fit, at, size), || {
            let asked = &fit.sizes[at];
            let wish = &asked.wish;
            let [size, from, to] = [size, wish.from, wish.to].map(Mm::of);
            format!("{name}: {} is {size}, off its grid or beyond {from} to {to}", wish.name)
        });
    }
    for (at, run) in fit.runs.iter().enumerate() {
        let length = sum(&run.terms, run.constant, &closing.sizes);
        let fills = match (exists(&run.when, &closing.choices), closing.counts[at], closing.gaps[at]) {
            (false, None, None) => true,
            (true, Some(count), Some((total, gaps))) => {
                let shares = length == i128::from(count) * i128::from(run.member) + i128::from(total);
                let all = places(run, count.into()) == i128::from(gaps);
                shares && all && closes(fit, run, count.into(), length)
            }
            _ => false,
        };
        sound &= ledger.hold(fills, || {
            let gaps = closing.gaps[at].map(|(total, gaps)| (Mm::of(total), gaps));
            let (row, length, count) = (&run.name, Mm(length), closing.counts[at]);
            format!("{name}: the row {row} of {length} does not close with {count:?} members and gaps {gaps:?}")
        });
    }
    for relation in fit.relations.iter().filter(|relation| exists(&relation.when, &closing.choices)) {
        sound &=
            ledger.hold(holds(relation, &closing.sizes), || format!("{name}: it does not hold that {}", relation.name));
    }
    sound
}

/// Holds a way by what it is listed for.
fn hold_way(record: &Record, papers: &Papers, at: usize, ledger: &mut Ledger) -> bool {
    let (fit, way) = (&record.fit, &record.ways[at]);
    let name = format!("way {}", at + 1);
    let lone = ledger.hold(["cheaper", "roomier"].contains(&way.because.as_str()) == way.size.is_some(), || {
        format!("{name}: a size gives in a cheaper or roomier way and in no other")
    });
    let sound = match way.because.as_str() {
        "near" => hold_closing(fit, &way.closing, Ranking::AsWished, &name, ledger),
        "sizes first" => hold_closing(fit, &way.closing, Ranking::SizesFirst, &name, ledger),
        "fewest members" => hold_closing(fit, &way.closing, Ranking::FewestMembers, &name, ledger),
        "cheaper" => hold_cheaper(record, papers, way, &name, ledger),
        "roomier" => hold_roomier(record, way, &name, ledger),
        other => ledger.hold(false, || format!("{name}: no way is listed because `{other}`")),
    };
    sound && lone
}

/// A cheaper way stays inside a near one's choices and counts and costs less; its vector is as wished. Where boards are at home
/// the near one may not come out of them at all.
fn hold_cheaper(record: &Record, papers: &Papers, way: &Way, name: &str, ledger: &mut Ledger) -> bool {
    let fit = &record.fit;
    let sound = hold_closing(fit, &way.closing, Ranking::AsWished, name, ledger);
    let home = record.ways.iter().find(|near| {
        near.because == "near"
            && (&near.closing.choices, &near.closing.counts) == (&way.closing.choices, &way.closing.counts)
    });
    let gives = home.zip(way.size).is_some_and(|(home, size)| home.closing.sizes[size] != way.closing.sizes[size]);
    ledger.hold(gives, || format!("{name}: the size that is said to give does not"));
    let beyond = papers.standing.has_home() && home.is_some_and(|home| home.price.is_none());
    let less = home.and_then(|home| home.price).zip(way.price).is_some_and(|(home, way)| home.total > way.total);
    let dearer = less || beyond && way.price.is_some();
    ledger.hold(dearer, || format!("{name} is not cheaper than a near way of the same counts"));
    let complete = way.price.is_some_and(|price| price.complete);
    ledger.hold(complete, || format!("{name} is called cheaper, and not everything in it has a price"));
    sound
}

/// A roomier way has the choices and counts of another one, another size, costs no more and has fewer tight boards.
fn hold_roomier(record: &Record, way: &Way, name: &str, ledger: &mut Ledger) -> bool {
    let sound = hold_closing(&record.fit, &way.closing, Ranking::AsWished, name, ledger);
    let beside = |other: &Way| {
        let same = (&other.closing.choices, &other.closing.counts) == (&way.closing.choices, &way.closing.counts);
        let moved = way.size.is_some_and(|size| other.closing.sizes[size] != way.closing.sizes[size]);
        let easier = other.price.zip(way.price).is_some_and(|(other, way)| {
            other.complete && way.complete && way.total <= other.total && way.tight < other.tight
        });
        same && moved && easier
    };
    ledger.hold(record.ways.iter().any(beside), || {
        format!("{name} is no easier to cut, for no more money, than another way of the same counts")
    });
    sound
}

/// The near ways are the closings, in their order; no way stands twice.
fn hold_order(record: &Record, ledger: &mut Ledger) {
    let near = record.ways.iter().filter(|way| way.because == "near").map(|way| &way.closing);
    let same = near.eq(record.fit.closings.iter());
    ledger.hold(same, || "the near ways are not the closings".into());
    let key = |way: &Way| (way.closing.choices.clone(), way.closing.counts.clone(), way.closing.sizes.clone());
    let mut seen = BTreeSet::new();
    for (at, way) in record.ways.iter().enumerate() {
        ledger.hold(seen.insert(key(way)), || format!("way {} is listed twice", at + 1));
    }
}

/// The nearest way that can be bought, or the cheapest if the plan prefers that and everything has a price: of equals the one
/// with the fewest tight boards. A total that misses some is compared with none.
fn hold_choice(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    let priced = || record.ways.iter().enumerate().filter_map(|(at, way)| way.price.map(|price| (at, price)));
    let complete = priced().all(|(_, price)| price.complete);
    ledger.hold(complete || !record.cheapest_proven, || {
        "a way is said to be the cheapest there is, and not everything has a price".into()
    });
    let right = if papers.cheapest && complete {
        priced().min_by_key(|(at, price)| (price.total, price.tight, *at)).map(|found| found.0)
    } else {
        priced().map(|found| found.0).next()
    };
    ledger.same("the way that is chosen", record.chosen, right.unwrap_or(0));
}

/// The chosen way costs what is bought.
pub(crate) fn hold_price(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let Some(price) = record.ways[record.chosen].price else { return };
    let cutting = &record.cutting;
    let proven = cutting.boards.iter().all(|section| section.status == "proven");
    let found = Price {
        total: record.buying.total,
        complete: record.parts.iter().all(|part| papers.is_priced(&part.kind, &part.stock)),
        tight: tight(record),
        proven: proven && cutting.sheets.iter().all(|sheets| sheets.proven),
    };
    ledger.same("the price of the chosen way", price, found);
}
