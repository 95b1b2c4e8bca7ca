//! Whole plans for the tests of the questions.

use super::{Answer, Answers, Case, check};
use read::{Missing, Vocabulary, World};

/// The three texts.
struct Texts([String; 3]);

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let place = ["plan", "yard", "shed"].iter().position(|known| *known == name);
        place.map(|place| self.0[place].clone().into_bytes()).ok_or_else(|| Missing { reason: "there is none".into() })
    }
}

/// What the questions are answered for a plan of some pieces and a yard; `head` stands above its pieces.
pub(super) fn asked(head: &str, pieces: &str, yard: &str) -> Answers {
    let plan = format!("format = 1\ntitle = \"T\"\nyard = \"yard\"\nshed = \"shed\"\n{head}\n{pieces}");
    let yard = format!("format = 1\ncurrency = \"EUR\"\n{yard}");
    let shed = "format = 1\n[saw]\nkerf = 3\ntrim = 10\n".to_owned();
    let schemas = pieces::schemas();
    let vocabulary = Vocabulary { pieces: &schemas, materials: &handbook::materials::names() };
    let read = read::plan("plan", &Texts([plan, yard, shed]), &vocabulary);
    let plan = read.unwrap_or_else(|report| panic!("{:#?}", report.problems)).plan;
    let asked = pieces::ask(&plan).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let outcome = fit::solve(&asked.problem, fit::Ranking::AsWished, &fit::Limits::default(), &|| false);
    let Ok(fit::Outcome::Fits(answer)) = outcome else { panic!("{outcome:?}") };
    let build = pieces::detail(&asked, &answer.closings[0]).unwrap_or_else(|problem| panic!("{problem:?}"));
    let joints = joints::join(&build, &plan).joints;
    check(&Case { build: &build, joints: &joints, plan: &plan })
}

/// The answers to a question.
pub(super) fn to<'a>(answers: &'a Answers, question: &'a str) -> impl Iterator<Item = &'a Answer> {
    answers.answers.iter().filter(move |answer| answer.question == question)
}

/// A number by its name.
pub(super) fn number(answers: &Answers, name: &str) -> i128 {
    let found = answers.quantities.iter().find(|quantity| quantity.name == name);
    found.unwrap_or_else(|| panic!("no `{name}`")).value.value
}
