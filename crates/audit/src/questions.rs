//! Rule `questions`: every question has its answers, and the verdict follows from value and limit.
//!
//! *fails* if the value is above the limit, *tight* above four fifths of it, else *holds*; *can't tell* only where what has to
//! be known is not. The questions that the referee knows stand in [`KNOWN`], each with what must be asked: to teach it another,
//! enter it there.

use crate::asked::Asked;
use crate::claims::{Quantity, Question, Record};
use crate::judged;
use crate::ledger::Ledger;
use crate::strength::{self, Pressed};
use crate::texts::Papers;
use crate::whys::{is_joined, is_weighed};
use std::collections::{BTreeMap, BTreeSet};

const RULE: &str = "questions";

/// A question that the referee knows.
struct Known {
    /// Its words.
    question: &'static str,
    /// The name of the number that is its limit, where that is one for all its answers; `demand` holds the others.
    limit: Option<&'static str>,
    /// Takes up every answer that there must be, and holds what it is about and which number it compares.
    demand: fn(&Case<'_>, &mut Answers<'_, '_>),
}

/// Every question that is asked.
const KNOWN: &[Known] = &[
    Known { question: "Will it bulge?", limit: None, demand: bulge },
    Known {
        question: judged::SCREWS,
        limit: None,
        demand: |case, answers| judged_again(judged::screws, case, answers),
    },
    Known { question: judged::MOVES, limit: None, demand: |case, answers| judged_again(judged::moves, case, answers) },
    Known { question: judged::ROT, limit: None, demand: rot },
    Known { question: "Will it sag?", limit: None, demand: sag },
    Known { question: "Can you carry it?", limit: Some("carry.limit"), demand: carry },
    Known { question: judged::HURT, limit: None, demand: |case, answers| judged_again(judged::hurt, case, answers) },
];

/// A question whose numbers the referee works out anew: it demands an answer for each pair of them.
fn judged_again(own: judged::Own, case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    for pair in own(&judged::Of { record: case.record, papers: case.papers, asked: case.plan }) {
        let Some(answer) = answers.about(&pair.about) else { continue };
        let names = [&answer.value, &answer.limit].map(|name| name.as_deref().unwrap_or("nothing"));
        answers.ledger.same(&format!("what is compared of {}", pair.about), names, pair.names());
    }
}

/// *Will it rot?* is asked of every timber and every screw that is used; what is said of them is held among the whys. A filled
/// floor of sheet is asked for its drain holes, which the referee takes as they come.
fn rot(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let of = judged::Of { record: case.record, papers: case.papers, asked: case.plan };
    for about in judged::rot(&of) {
        answers.about(&about);
    }
    let drains =
        |(question, about): &(String, String)| question == judged::ROT && about.starts_with("the drain holes of ");
    answers.open.retain(|key, _| !drains(key));
}

/// What the questions are asked of.
struct Case<'r> {
    record: &'r Record,
    papers: &'r Papers,
    plan: &'r Asked,
    quantities: BTreeMap<&'r str, &'r Quantity>,
}

/// The answers that have not been demanded yet, by question and by what they are about.
type Open<'r> = BTreeMap<(String, String), &'r Question>;

/// The answers to one question.
struct Answers<'r, 'l> {
    question: &'static str,
    open: &'l mut Open<'r>,
    ledger: &'l mut Ledger,
}

impl<'r> Answers<'r, '_> {
    /// The answer about something. One that is not there is a finding.
    fn about(&mut self, about: &str) -> Option<&'r Question> {
        let answer = self.open.remove(&(self.question.to_owned(), about.to_owned()));
        self.ledger.hold(answer.is_some(), || format!("nobody asks `{}` about {about}", self.question));
        answer
    }

    /// Holds that an answer about something is there and says that nobody can tell.
    fn cannot_tell(&mut self, about: &str) {
        let open = self.about(about).is_some_and(|answer| answer.value.is_none());
        self.ledger
            .hold(open, || format!("nobody can tell `{}` of {about}, and the record does not say so", self.question));
    }
}

impl Answers<'_, '_> {
    /// Holds that a number is compared with the limit of its name.
    fn compared(&mut self, about: &str, value: &str) {
        let answer = self.about(about);
        let names = answer.map(|answer| (answer.value.as_deref(), answer.limit.as_deref()));
        let limit = format!("{value}-limit");
        self.ledger.same(&format!("what is compared about {about}"), names, Some((Some(value), Some(limit.as_str()))));
    }
}

/// Holds the questions.
pub(crate) fn hold(record: &Record, papers: &Papers, plan: &Asked, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let quantities = record.quantities.iter().map(|quantity| (quantity.name.as_str(), quantity)).collect();
    let case = Case { record, papers, plan, quantities };
    let mut open = Open::new();
    for answer in &record.questions {
        let (question, about) = (answer.question.as_str(), answer.about.as_str());
        let alone = open.insert((question.to_owned(), about.to_owned()), answer).is_none();
        ledger.hold(alone, || format!("`{question}` is asked twice of {about}"));
        if let Some(known) = KNOWN.iter().find(|known| known.question == question) {
            hold_verdict(answer, known, &case, ledger);
        }
    }
    for known in KNOWN {
        (known.demand)(&case, &mut Answers { question: known.question, open: &mut open, ledger });
    }
    for (question, about) in open.keys() {
        ledger.find(format!("the referee knows no question `{question}` about {about}"));
    }
}

fn hold_verdict(answer: &Question, known: &Known, case: &Case<'_>, ledger: &mut Ledger) {
    let about = &answer.about;
    if known.limit.is_some() {
        ledger.same(&format!("the limit of {about}"), answer.limit.as_deref(), known.limit);
    }
    let find =
        |name: &Option<String>| name.as_deref().and_then(|name| case.quantities.get(name)).map(|q| (&q.of, q.value));
    let verdict = match (find(&answer.value), find(&answer.limit)) {
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
    ledger.same(&format!("the verdict on {about}"), answer.verdict.as_str(), verdict);
    let told = (verdict == "can't tell") == answer.needs.as_ref().is_some_and(|needs| !needs.is_empty());
    ledger.hold(told, || format!("what would have to be known about {about} is not said where nobody can tell"));
    for id in &answer.at {
        let there = case.record.parts.iter().any(|part| part.id == *id);
        ledger.hold(there, || format!("the answer about {about} points at {id}, which is no part"));
    }
    let sourced = verdict == "can't tell" || !answer.source.is_empty();
    ledger.hold(sourced, || format!("the limit of {about} has no source"));
}

/// *Can you carry it?* Each piece is asked for its heaviest part, and what is joined for the whole with all that is fixed to it.
fn carry(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let pieces: BTreeSet<&str> = case.record.parts.iter().map(|part| part.piece.as_str()).collect();
    for &piece in &pieces {
        carry_piece(piece, case, answers);
    }
    let of = judged::Of { record: case.record, papers: case.papers, asked: case.plan };
    for (about, number) in judged::whole(&of) {
        let value = answers.about(&about).and_then(|answer| answer.value.as_deref());
        answers.ledger.same(&format!("what is asked of {about}"), value, Some(number.as_str()));
    }
    // What has no parts, such as soil, is carried bag by bag.
    for joined in case.plan.lifted().iter().filter(|joined| pieces.contains(joined[0])) {
        carry_joined(joined, case, answers);
    }
}

fn carry_piece(piece: &str, case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let parts: Vec<_> = case.record.parts.iter().filter(|part| part.piece == piece).collect();
    if !parts.iter().all(|part| is_weighed(part, case.papers)) {
        answers.cannot_tell(piece);
        return;
    }
    let heaviest = format!("the heaviest part of {piece}");
    let masses = parts.iter().filter_map(|part| {
        let name = format!("mass.{}", part.letters());
        case.quantities.get(name.as_str()).map(|quantity| quantity.value)
    });
    let most = masses.max();
    let value = answers.about(&heaviest).and_then(|answer| answer.value.as_deref());
    let letters = value.and_then(|value| value.strip_prefix("mass."));
    let own = letters.is_some_and(|letters| parts.iter().any(|part| part.letters() == letters));
    let claimed = value.and_then(|value| case.quantities.get(value)).map(|quantity| quantity.value);
    answers.ledger.hold(own && claimed == most, || format!("{heaviest} is not {}", value.unwrap_or("there")));
}

/// A piece that is joined is lifted with all that is fixed to it. If one of them cannot be weighed nobody can tell; a piece to
/// which nothing is fixed has said so by itself.
fn carry_joined(joined: &[&str], case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let mut parts = case.record.parts.iter().filter(|part| joined.contains(&part.piece.as_str()));
    if !is_joined(case.record, joined[0]) {
        return;
    }
    let whole = format!("{}, put together", joined.join(" and "));
    if parts.all(|part| is_weighed(part, case.papers)) {
        let value = answers.about(&whole).and_then(|answer| answer.value.as_deref());
        let lifted = format!("{}.lifted", joined[0]);
        answers.ledger.same(&format!("what is asked of {whole}"), value, Some(lifted.as_str()));
    } else if joined.len() > 1 {
        answers.cannot_tell(&whole);
    }
}

/// *Will it bulge?* Each wall round a fill is asked how far its worst board bends, how hard it is bent, and how hard with people on
/// the soil; of walls without a fill, or of a wood that nobody knows, nobody can tell.
fn bulge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    for (name, pressed) in strength::walls(case.record, case.papers) {
        let Pressed::By(_) = pressed else {
            answers.cannot_tell(name);
            continue;
        };
        for (about, value) in [
            ("once the soil has pressed for years", "bulge"),
            ("how hard its boards are bent", "bending"),
            ("how hard with somebody on the soil at its edge", "bending-people"),
        ] {
            answers.compared(&format!("{name}, {about}"), &format!("{name}.{value}"));
        }
    }
}

/// *Will it sag?* Each seat and deck is asked for a board and for what carries it, how far they give and how hard they are bent.
fn sag(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    for sagging in strength::sag::all(case.record, case.papers) {
        let Some(names) = &sagging.names else {
            answers.cannot_tell(&sagging.about);
            continue;
        };
        for (name, how) in names.iter().zip(["how far it gives", "how hard it is bent"]) {
            answers.compared(&format!("{}, {how}", sagging.about), name);
        }
    }
}
