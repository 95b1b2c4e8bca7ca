//! Rule `stock`: what the record says of the plan, the yard and the shed stands there.
//!
//! Every part has the width and thickness that its board, sheet or unit has in the yard; saw and reserves are the shed's;
//! prices and lengths are held where they are used. The question that was answered is the one that the plan asks: the same
//! wishes, ranges and ranks (a size without a range may go a tenth either way on the marks of the tape, a gap not at all),
//! the same rows and limits, none narrowed and none left out.

use crate::asked::{Asked, Limit, Places, Row, When};
use crate::claims::{self, Record, Size};
use crate::ground::Sum;
use crate::ledger::{Ledger, Mm};
use crate::texts::{Papers, Wish};
use std::collections::BTreeSet;

const RULE: &str = "stock";

/// Holds parts, saw and names against the texts.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    ledger.same("the title", &record.title, &papers.title);
    ledger.same("the unit of the tape", record.unit.as_str(), papers.tape.unit_name());
    ledger.same("the step of the tape", Mm::of(record.step), Mm::of(papers.tape.step().nanometres()));
    ledger.same("the currency", &record.currency, &papers.currency);
    let cutting = &record.cutting;
    ledger.same("the kerf", Mm::of(cutting.kerf), Mm::of(papers.kerf));
    ledger.same("the trim", Mm::of(cutting.trim), Mm::of(papers.trim));
    ledger.same("the kerf of the saw for sheets", Mm::of(cutting.sheet_kerf), Mm::of(papers.sheet_saw[0]));
    ledger.same("the trim of sheets", Mm::of(cutting.sheet_trim), Mm::of(papers.sheet_saw[1]));
    ledger.same("the reserve for each cut", Mm::of(cutting.reserve_per_cut), Mm::of(papers.reserve_per_cut));
    ledger.same("the reserve for each board", Mm::of(cutting.reserve_per_board), Mm::of(papers.reserve_per_board));
    for part in &record.parts {
        hold_part(part, papers, ledger);
    }
}

fn hold_part(part: &claims::Part, papers: &Papers, ledger: &mut Ledger) {
    let whole = part.length > 0 && part.width > 0 && part.thickness > 0;
    ledger.hold(whole, || format!("{} has a side that is not longer than nothing", part.slot()));
    let measures = match part.kind.as_str() {
        "board" => papers.board(&part.stock).map(|board| [part.length, board.width, board.thickness]),
        "sheet" => papers.sheet(&part.stock).map(|sheet| [part.length, part.width, sheet.thickness]),
        "unit" => papers.unit(&part.stock).map(|unit| [unit.length, unit.width, unit.thickness]),
        _ => None,
    };
    let Some(measures) = measures else {
        return ledger.find(format!("{} is of {} `{}`, which the yard has not", part.slot(), part.kind, part.stock));
    };
    let own = [part.length, part.width, part.thickness];
    ledger.hold(own == measures, || {
        let [own, measures] = [own, measures].map(|measures| measures.map(Mm::of));
        format!("{} measures {own:?}, and its {} in the yard {measures:?}", part.slot(), part.kind)
    });
}

/// Holds the question that was answered against the one that the plan asks; `true` if they are the same. The order in which
/// sizes, gaps and choices stand is the record's own: it settles ties alone, and [`Asked::places`] keeps it.
pub(crate) fn hold_question(record: &Record, asked: &mut Asked, ledger: &mut Ledger) -> bool {
    ledger.turn_to(RULE);
    let fit = &record.fit;
    let choices = same_named("choice", fit.choices.clone(), &asked.choices, ledger);
    let step = record.step;
    let size = |size: &Size| (size.wish.name.clone(), (wish(&size.wish), size.origin, size.step));
    let origin = |wish: &Wish| if wish.from == wish.to { wish.want } else { 0 };
    let asked_sizes: Vec<_> =
        asked.sizes.iter().map(|(name, wish)| (name.clone(), (*wish, origin(wish), step))).collect();
    let sizes = same_named("size", fit.sizes.iter().map(size).collect(), &asked_sizes, ledger);
    let gap = |gap: &claims::Wish| (gap.name.clone(), wish(gap));
    let gaps = same_named("gap", fit.gaps.iter().map(gap).collect(), &asked.gaps, ledger);
    let Some(places) = Places::of(record, asked).filter(|_| choices && sizes && gaps) else { return false };
    asked.places = places;
    let places = &asked.places;
    let rows = fit.runs.iter().map(|run| (own_row(run, places), &run.name));
    let rows = same_set("row", rows, &asked.rows, Row::is_like, ledger);
    let limits = fit.relations.iter().map(|relation| (own_limit(relation, places), &relation.name));
    let limits = same_set("limit", limits, &asked.limits, Limit::is_like, ledger);
    asked.places.runs = rows.clone().unwrap_or_default();
    rows.is_some() && limits.is_some()
}

fn wish(wish: &claims::Wish) -> Wish {
    Wish { want: wish.want, from: wish.from, to: wish.to, rank: wish.rank }
}

/// Every name that the plan asks for is there once with what belongs to it, and no other.
fn same_named<T: PartialEq + std::fmt::Debug>(
    what: &str,
    claimed: Vec<(String, T)>,
    asked: &[(String, T)],
    ledger: &mut Ledger,
) -> bool {
    let mut same = ledger.same(&format!("the number of {what}s"), claimed.len(), asked.len());
    let mut seen = BTreeSet::new();
    for (name, claimed) in &claimed {
        let own = asked.iter().find(|asked| asked.0 == *name).map(|asked| &asked.1);
        let new = seen.insert(name);
        same &= ledger.hold(own.is_some() && new, || format!("the plan asks no such {what} as `{name}`, or once"));
        same &= own.is_none_or(|own| ledger.same(&format!("the {what} `{name}`"), claimed, own));
    }
    same
}

fn sum(terms: &[(usize, i64)], constant: i64, places: &Places) -> Sum {
    let mut sum = Sum::fixed(constant.into());
    for &(size, factor) in terms {
        sum = sum.plus(&Sum::size(places.sizes[size]), factor.into());
    }
    sum
}

fn conditions(when: &claims::When, places: &Places) -> When {
    let mut when: When = when.iter().map(|&(choice, option)| (places.choices[choice], option)).collect();
    when.sort_unstable();
    when
}

/// A row as the referee has it.
fn own_row(run: &claims::Run, places: &Places) -> Row {
    Row {
        when: conditions(&run.when, places),
        length: sum(&run.terms, run.constant, places),
        member: run.member.into(),
        gaps_per_member: run.gaps_per_member,
        end_gaps: run.end_gaps,
        gap: places.gaps[run.gap],
        count: run.count,
        slack: 0,
    }
}

fn own_limit(relation: &claims::Relation, places: &Places) -> Limit {
    Limit {
        when: conditions(&relation.when, places),
        value: sum(&relation.terms, relation.constant, places),
        from: relation.from.into(),
        to: relation.to.into(),
        slack: 0,
    }
}

/// Every one that the plan asks was asked, and no other: one too many would hide closings, one too few would invent some. The
/// place of each.
fn same_set<'r, T: std::fmt::Debug>(
    what: &str,
    claimed: impl Iterator<Item = (T, &'r String)>,
    asked: &[T],
    is_like: impl Fn(&T, &T) -> bool,
    ledger: &mut Ledger,
) -> Option<Vec<usize>> {
    let mut same = true;
    let (mut places, mut seen) = (Vec::new(), vec![false; asked.len()]);
    for (one, name) in claimed {
        let own = asked.iter().position(|asked| is_like(asked, &one));
        same &= ledger.hold(own.is_some(), || format!("the plan asks no such {what} as `{name}`: {one:?}"));
        if let Some(own) = own {
            places.push(own);
            same &=
                ledger.hold(!std::mem::replace(&mut seen[own], true), || format!("the {what} `{name}` is asked twice"));
        }
    }
    for (one, seen) in asked.iter().zip(seen) {
        same &= ledger.hold(seen, || format!("the plan asks a {what} that was left out: {one:?}"));
    }
    same.then_some(places)
}
