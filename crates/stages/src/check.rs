//! Questions in the maker's words, each answered from what was detailed: one file per question.
//!
//! To add one, write its file beside `carry` with its [`Question`] and enter that in [`QUESTIONS`]; its page in
//! `docs/questions.md`, its rules in `docs/rules.md` and the test of both come from it. Then teach the referee, who passes no
//! question and no rule that it does not know: `KNOWN` in `audit/src/questions.rs` and in `audit/src/whys.rs`.

mod bend;
mod bulge;
mod carry;
mod hurt;
mod judge;
mod moves;
mod rot;
mod screws;
mod sag;

#[cfg(test)]
mod plans;

pub(crate) use carry::{density, with_fixed};

use model::build::Build;
use model::joint::Joints;
use model::part::PartKey;
use model::plan::Plan;
use model::why::{Quantity, Rule};

/// How a question is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Within the limit.
    Holds,
    /// Within the limit, but by less than a fifth of it.
    Tight,
    /// Beyond the limit.
    Fails,
    /// Something that would have to be known is not.
    CannotTell,
}

impl Verdict {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Holds => "holds",
            Verdict::Tight => "tight",
            Verdict::Fails => "fails",
            Verdict::CannotTell => "can't tell",
        }
    }

    /// The verdict on a value that must not pass a limit: tight above four fifths of it.
    pub fn of(value: i64, limit: i64) -> Verdict {
        // Five times an i64 is an i128.
        let (value, limit) = (i128::from(value), i128::from(limit));
        if value > limit {
            Verdict::Fails
        } else if value * 5 > limit * 4 {
            Verdict::Tight
        } else {
            Verdict::Holds
        }
    }
}

/// A question answered for one thing.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The question, in the maker's words.
    pub question: &'static str,
    /// What it is asked of.
    pub about: String,
    /// The verdict.
    pub verdict: Verdict,
    /// The name of the quantity that was compared, if one could be computed.
    pub value: Option<String>,
    /// The name of the quantity that is its limit.
    pub limit: Option<String>,
    /// Where the limit comes from.
    pub source: String,
    /// What to change, solved.
    pub change: Option<String>,
    /// What would have to be known, where nobody can tell.
    pub needs: Option<String>,
    /// What this answer does not look at, and where to ask.
    pub cautions: Vec<String>,
    /// The parts where it bites, for marks on the drawings.
    pub at: Vec<PartKey>,
}

impl Answer {
    /// An answer that compares two quantities by [`Verdict::of`]; `None` if their numbers are too large to be written.
    pub fn compared(
        question: &'static str,
        about: String,
        value: &Quantity,
        limit: &Quantity,
        source: String,
    ) -> Option<Answer> {
        let [own, most] = [value, limit].map(|quantity| i64::try_from(quantity.value.value).ok());
        let answer = Answer::cannot_tell(question, about, String::new());
        Some(Answer {
            verdict: Verdict::of(own?, most?),
            value: Some(value.name.clone()),
            limit: Some(limit.name.clone()),
            source,
            needs: None,
            ..answer
        })
    }

    /// An answer where something would have to be known.
    pub fn cannot_tell(question: &'static str, about: String, needs: String) -> Answer {
        Answer {
            question,
            about,
            verdict: Verdict::CannotTell,
            value: None,
            limit: None,
            source: String::new(),
            change: None,
            needs: Some(needs),
            cautions: Vec::new(),
            at: Vec::new(),
        }
    }
}

/// Answers and the numbers they rest on.
#[derive(Clone, Debug, Default)]
pub struct Answers {
    /// The answers, in the order of the questions.
    pub answers: Vec<Answer>,
    /// Their numbers with their why.
    pub quantities: Vec<Quantity>,
}

/// What the questions are asked of.
#[derive(Clone, Copy, Debug)]
pub struct Case<'c> {
    /// What is made.
    pub build: &'c Build,
    /// How its parts are screwed to one another.
    pub joints: &'c Joints,
    /// What was planned, with yard, shed and site.
    pub plan: &'c Plan,
}

/// A question, declared once: the answers, the page in `docs/` and the test of its rules come from this.
pub struct Question {
    /// The question, in the maker's words.
    pub asks: &'static str,
    /// What is looked at, and against what, in words.
    pub looks_at: &'static str,
    /// The formula in words and symbols.
    pub formula: &'static str,
    /// Where formula and limits come from.
    pub source: &'static str,
    /// What the answer holds for, and what it leaves out.
    pub holds_for: &'static str,
    /// The rules that its numbers come from.
    pub rules: &'static [&'static Rule],
    /// Gives its answers.
    pub ask: fn(&Case<'_>, &mut Answers),
}

/// Every question that is asked, in the order of the page.
pub static QUESTIONS: &[&Question] = &[
    &bulge::QUESTION,
    &screws::QUESTION,
    &moves::QUESTION,
    &rot::QUESTION,
    &sag::QUESTION,
    &carry::QUESTION,
    &hurt::QUESTION,
];

/// Asks every question.
pub fn check(case: &Case<'_>) -> Answers {
    let mut answers = Answers::default();
    for question in QUESTIONS {
        (question.ask)(case, &mut answers);
    }
    answers
}

#[cfg(test)]
mod tests {
    use super::QUESTIONS;

    #[test]
    fn every_question_is_told_whole_and_its_rules_give_their_cases() {
        for question in QUESTIONS {
            let told = [question.asks, question.looks_at, question.formula, question.source, question.holds_for];
            assert!(told.iter().all(|text| !text.is_empty()), "{}", question.asks);
            question.rules.iter().for_each(|rule| model::why::check_rule(rule));
            for rule in question.rules {
                assert!(crate::rules::all().any(|known| known.id == rule.id), "`{}` is in the list of rules", rule.id);
            }
        }
    }
}
