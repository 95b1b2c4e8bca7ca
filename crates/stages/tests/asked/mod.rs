//! Plans from texts, down to their answers: what the tests of the questions share.

use joints::Joined;
use model::build::Build;
use model::plan::Plan;
use read::{Missing, Vocabulary, World};
use stages::check::{Answer, Answers, Case, check};
use std::collections::BTreeMap;
use std::path::Path;

/// The texts of a plan, by name.
#[derive(Clone)]
pub struct Texts {
    name: String,
    files: BTreeMap<String, String>,
}

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = self.files.get(name).map(|text| text.clone().into_bytes());
        text.ok_or_else(|| Missing { reason: format!("no {name}") })
    }
}

/// Everything up to the answers.
#[allow(dead_code)]
pub struct Asked {
    pub plan: Plan,
    pub build: Build,
    pub joined: Joined,
    pub answers: Answers,
}

#[allow(dead_code)]
impl Texts {
    /// The texts of a build of the house.
    pub fn of(name: &str) -> Texts {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../builds").join(name);
        let ends = ["plan", "yard", "shed"].map(|end| format!("{name}.{end}.toml"));
        let read = |file: String| {
            let text = std::fs::read_to_string(folder.join(&file)).expect("a file of the build");
            (file, text)
        };
        Texts { name: name.into(), files: ends.map(read).into() }
    }

    /// With something in one of them replaced; it must be there.
    pub fn with(mut self, end: &str, from: &str, to: &str) -> Texts {
        let text = self.files.get_mut(&format!("{}.{end}.toml", self.name)).expect("a text of this name");
        assert!(text.contains(from), "`{from}` is in the {end}");
        *text = text.replace(from, to);
        self
    }

    /// One of them.
    pub fn text(&self, end: &str) -> &str {
        &self.files[&format!("{}.{end}.toml", self.name)]
    }

    pub fn asked(&self) -> Asked {
        let schemas = pieces::schemas();
        let vocabulary = Vocabulary { pieces: &schemas, materials: &handbook::materials::names() };
        let plan = read::plan(&format!("{}.plan.toml", self.name), self, &vocabulary);
        let plan = plan.unwrap_or_else(|report| panic!("{:#?}", report.problems)).plan;
        let asked = pieces::ask(&plan).unwrap_or_else(|problems| panic!("{problems:#?}"));
        let outcome = fit::solve(&asked.problem, fit::Ranking::AsWished, &fit::Limits::default(), &|| false);
        let Ok(fit::Outcome::Fits(answer)) = outcome else { panic!("{outcome:?}") };
        let mut build = pieces::detail(&asked, &answer.closings[0]).unwrap_or_else(|problem| panic!("{problem:?}"));
        model::build::give_ids(&mut build.parts);
        let joined = joints::join(&build, &plan);
        let answers = check(&Case { build: &build, joints: &joined.joints, plan: &plan });
        Asked { plan, build, joined, answers }
    }
}

#[allow(dead_code)]
impl Asked {
    /// The answer to a question about something.
    pub fn about(&self, question: &str, about: &str) -> &Answer {
        let mut all = self.answers.answers.iter().filter(|answer| answer.question == question);
        all.clone().find(|answer| answer.about == about).unwrap_or_else(|| {
            let known: Vec<&str> = all.by_ref().map(|answer| answer.about.as_str()).collect();
            panic!("`{question}` is not asked about {about}, but about {known:?}")
        })
    }

    /// A number of the answers or of the build.
    pub fn number(&self, name: &str) -> i128 {
        let all = self.answers.quantities.iter().chain(&self.build.quantities);
        all.clone().find(|quantity| quantity.name == name).unwrap_or_else(|| panic!("no number {name}")).value.value
    }

    /// Every answer in a line, for looking at.
    pub fn told(&self) -> String {
        let number = |name: &Option<String>| name.as_deref().map_or(0, |name| self.number(name));
        let line = |answer: &Answer| {
            format!(
                "{} {}: {} {} / {} | {} | {} | {:?}\n",
                answer.question,
                answer.about,
                answer.verdict.word(),
                number(&answer.value),
                number(&answer.limit),
                answer.change.as_deref().unwrap_or(""),
                answer.needs.as_deref().unwrap_or(""),
                answer.cautions,
            )
        };
        self.answers.answers.iter().map(line).collect()
    }
}
