//! Rule `stock`: what the record says of the plan, the yard and the shed stands there.
//!
//! Every part has the width and thickness that its board, sheet or unit has in the yard; saw and reserves are the shed's;
//! prices and lengths are held where they are used. The question that was answered is the one that the plan asks: the same
//! wishes, ranges and ranks (a size without a range may go a tenth either way on the marks of the tape, a gap not at all),
//! the same rows and limits, none narrowed and none left out.

use crate::asked::{Asked, Limit, Row};
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

/// Holds the question that was answered against the one that the plan asks; `true` if they are the same and stand in the
/// same order, so that sizes, gaps and choices can be read by their places in either.
pub(crate) fn hold_question(record: &Record, asked: &Asked, ledger: &mut Ledger) -> bool {
    ledger.turn_to(RULE);
    let fit = &record.fit;
    let choices = ledger.same("the choices", &fit.choices, &asked.choices);
    let step = record.step;
    let size = |size: &Size| (size.wish.name.clone(), wish(&size.wish), size.origin, size.step);
    let origin = |wish: &Wish| if wish.from == wish.to { wish.want } else { 0 };
    let asked_sizes = asked.sizes.iter().map(|(name, wish)| (name.clone(), *wish, origin(wish), step));
    let sizes = same_list("the sizes", fit.sizes.iter().map(size).collect(), asked_sizes.collect(), ledger);
    let gap = |gap: &claims::Wish| (gap.name.clone(), wish(gap));
    let gaps = same_list("the gaps", fit.gaps.iter().map(gap).collect(), asked.gaps.clone(), ledger);
    if !(choices && sizes && gaps) {
        return false;
    }
    let rows = same_set("row", fit.runs.iter().map(|run| (own_row(run), &run.name)), &asked.rows, ledger);
    let limits = fit.relations.iter().map(|relation| (own_limit(relation), &relation.name));
    rows & same_set("limit", limits, &asked.limits, ledger)
}

fn wish(wish: &claims::Wish) -> Wish {
    Wish { want: wish.want, from: wish.from, to: wish.to, rank: wish.rank }
}

fn same_list<T: PartialEq + std::fmt::Debug>(what: &str, claimed: Vec<T>, found: Vec<T>, ledger: &mut Ledger) -> bool {
    let mut same = ledger.same(&format!("the number of {what}"), claimed.len(), found.len());
    for (claimed, found) in claimed.into_iter().zip(found) {
        same &= ledger.same(what, claimed, found);
    }
    same
}

fn sum(terms: &[(usize, i64)], constant: i64) -> Sum {
    let mut sum = Sum::fixed(constant.into());
    for &(size, factor) in terms {
        sum = sum.plus(&Sum::size(size), factor.into());
    }
    sum
}

/// A row as the referee has it; one with other gaps than one for each member is none that a plan can ask.
pub(crate) fn own_row(run: &claims::Run) -> Row {
    let mut when = run.when.clone();
    when.sort_unstable();
    Row {
        when,
        length: sum(&run.terms, run.constant),
        member: run.member.into(),
        end_gaps: if run.gaps_per_member == 1 { run.end_gaps } else { i64::MIN },
        gap: run.gap,
        count: run.count,
    }
}

fn own_limit(relation: &claims::Relation) -> Limit {
    let mut when = relation.when.clone();
    when.sort_unstable();
    let value = sum(&relation.terms, relation.constant);
    Limit { when, value, from: relation.from.into(), to: relation.to.into() }
}

/// Every one that the plan asks was asked, and no other: one too many would hide closings, one too few would invent some.
fn same_set<'r, T: Ord + std::fmt::Debug>(
    what: &str,
    claimed: impl Iterator<Item = (T, &'r String)>,
    asked: &[T],
    ledger: &mut Ledger,
) -> bool {
    let asked: BTreeSet<&T> = asked.iter().collect();
    let claimed: Vec<(T, &String)> = claimed.collect();
    let mut same = true;
    let mut seen: BTreeSet<&T> = BTreeSet::new();
    for (one, name) in &claimed {
        same &= ledger.hold(asked.contains(one), || format!("the plan asks no such {what} as `{name}`: {one:?}"));
        same &= ledger.hold(seen.insert(one), || format!("the {what} `{name}` is asked twice"));
    }
    for one in asked {
        same &= ledger.hold(seen.contains(one), || format!("the plan asks a {what} that was left out: {one:?}"));
    }
    same
}
