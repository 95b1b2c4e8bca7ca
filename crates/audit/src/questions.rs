//! Rule `questions`: every question has its answer, and the verdict follows from value and limit.
//!
//! *fails* if the value is above the limit, *tight* above four fifths of it, else *holds*; *can't tell* only where a mass is
//! not known. Each piece is asked for its heaviest part, and what is joined for the whole with all that is fixed to it.

use crate::asked::Asked;
use crate::claims::{Quantity, Question, Record};
use crate::ledger::Ledger;
use crate::texts::Papers;
use crate::whys::{is_joined, is_weighed};
use std::collections::{BTreeMap, BTreeSet};

const RULE: &str = "questions";

/// Holds the questions.
pub(crate) fn hold(record: &Record, papers: &Papers, plan: &Asked, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let quantities: BTreeMap<&str, &Quantity> =
        record.quantities.iter().map(|quantity| (quantity.name.as_str(), quantity)).collect();
    let mut asked: BTreeMap<&str, &Question> = BTreeMap::new();
    for question in &record.questions {
        let alone = asked.insert(question.about.as_str(), question).is_none();
        ledger.hold(alone, || format!("{} is asked twice", question.about));
        hold_verdict(question, &quantities, ledger);
    }
    let pieces: BTreeSet<&str> = record.parts.iter().map(|part| part.piece.as_str()).collect();
    for piece in pieces {
        hold_piece(piece, record, papers, &quantities, &mut asked, ledger);
    }
    for joined in plan.lifted() {
        hold_lifted(&joined, record, papers, &mut asked, ledger);
    }
    for about in asked.keys() {
        ledger.find(format!("the referee knows no question about {about}"));
    }
}

fn hold_verdict(question: &Question, quantities: &BTreeMap<&str, &Quantity>, ledger: &mut Ledger) {
    let about = &question.about;
    ledger.same(&format!("what is asked of {about}"), question.question.as_str(), "Can you carry it?");
    ledger.same(&format!("the limit of {about}"), question.limit.as_deref(), Some("carry.limit"));
    let find = |name: &Option<String>| name.as_deref().and_then(|name| quantities.get(name)).map(|q| (&q.of, q.value));
    let verdict = match (find(&question.value), find(&question.limit)) {
        (Some(value), Some(limit)) => {
            ledger.hold(value.0 == limit.0, || format!("value and limit of {about} are of different kinds"));
            let (value, limit) = (i128::from(value.1), i128::from(limit.1));
            match () {
                () if value > limit => "fails",
                () if 5 * value > 4 * limit => "tight",
                () => "holds",
            }
        }
        _ => "can't tell",
    };
    ledger.same(&format!("the verdict on {about}"), question.verdict.as_str(), verdict);
    let sourced = verdict == "can't tell" || !question.source.is_empty();
    ledger.hold(sourced, || format!("the limit of {about} has no source"));
}

fn hold_piece<'r>(
    piece: &str,
    record: &'r Record,
    papers: &Papers,
    quantities: &BTreeMap<&str, &Quantity>,
    asked: &mut BTreeMap<&'r str, &'r Question>,
    ledger: &mut Ledger,
) {
    let parts: Vec<_> = record.parts.iter().filter(|part| part.piece == piece).collect();
    if !parts.iter().all(|part| is_weighed(part, papers)) {
        let question = asked.remove(piece);
        let open = question.is_some_and(|question| question.value.is_none());
        ledger.hold(open, || format!("nobody can tell what {piece} weighs, and the record does not say so"));
        return;
    }
    let heaviest = format!("the heaviest part of {piece}");
    let question = asked.remove(heaviest.as_str());
    ledger.hold(question.is_some(), || format!("nobody asks about {heaviest}"));
    let masses = parts.iter().filter_map(|part| {
        let name = format!("mass.{}", part.letters());
        quantities.get(name.as_str()).map(|quantity| quantity.value)
    });
    let most = masses.max();
    let value = question.and_then(|question| question.value.as_deref());
    let letters = value.and_then(|value| value.strip_prefix("mass."));
    let own = letters.is_some_and(|letters| parts.iter().any(|part| part.letters() == letters));
    let claimed = value.and_then(|value| quantities.get(value)).map(|quantity| quantity.value);
    ledger.hold(own && claimed == most, || format!("{heaviest} is not {}", value.unwrap_or("there")));
}

/// A piece that is joined is lifted with all that is fixed to it, if all of that has been weighed.
fn hold_lifted(
    joined: &[&str],
    record: &Record,
    papers: &Papers,
    asked: &mut BTreeMap<&str, &Question>,
    ledger: &mut Ledger,
) {
    let mut parts = record.parts.iter().filter(|part| joined.contains(&part.piece.as_str()));
    if !is_joined(record, joined[0]) || !parts.all(|part| is_weighed(part, papers)) {
        return;
    }
    let whole = format!("{}, put together", joined.join(" and "));
    let question = asked.remove(whole.as_str());
    let value = question.and_then(|question| question.value.as_deref());
    ledger.same(&format!("what is asked of {whole}"), value, Some(format!("{}.lifted", joined[0]).as_str()));
}
