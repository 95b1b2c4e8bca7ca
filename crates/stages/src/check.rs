//! Questions in the maker's words, each answered from what was detailed: one file per question.
//!
//! To add one, write its file beside `carry` and enter it in [`QUESTIONS`] and its rules in [`crate::rules::ALL`]; then teach
//! the referee, who passes no question and no rule that it does not know: `KNOWN` in `audit/src/questions.rs` and in
//! `audit/src/whys.rs`.

mod carry;

pub(crate) use carry::{density, with_fixed};

use model::build::Build;
use model::plan::Plan;
use model::why::Quantity;

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
    /// What to change, solved; or what is missing.
    pub change: Option<String>,
}

/// Answers and the numbers they rest on.
#[derive(Clone, Debug, Default)]
pub struct Answers {
    /// The answers, in the order of the questions.
    pub answers: Vec<Answer>,
    /// Their numbers with their why.
    pub quantities: Vec<Quantity>,
}

/// A question: from what a plan is made of to its answers.
type Question = fn(&Build, &Plan, &mut Answers);

/// Every question that is asked.
pub static QUESTIONS: &[Question] = &[carry::ask];

/// Asks every question.
pub fn check(build: &Build, plan: &Plan) -> Answers {
    let mut answers = Answers::default();
    for question in QUESTIONS {
        question(build, plan, &mut answers);
    }
    answers
}
