//! From the text of pieces and a yard to parts in place: what all tests of whole pieces share.

use model::build::Build;
use model::part::Part;
use model::problem::Problem;
use read::{Missing, Vocabulary, World};

struct Texts<'t> {
    pieces: &'t str,
    yard: &'t str,
}

impl World for Texts<'_> {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = match name {
            "plan" => format!("format = 1\ntitle = \"Pieces\"\nyard = \"yard\"\nshed = \"shed\"\n{}", self.pieces),
            "yard" => format!("format = 1\ncurrency = \"EUR\"\n{}", self.yard),
            "shed" => "format = 1\n[saw]\nkerf = 3\ntrim = 10\n".into(),
            _ => return Err(Missing { reason: "there is no such file".into() }),
        };
        Ok(text.into_bytes())
    }
}

/// What is told in place of a build.
pub enum Told {
    /// By the reader, or by a piece.
    Problems(Vec<Problem>),
    /// By fit: the limits and the rows that cannot be kept, in the words of who asked for them.
    Collides { limits: Vec<String>, rows: Vec<String> },
}

/// What comes out, or what is told instead.
pub fn build(pieces: &str, yard: &str) -> Result<Build, Told> {
    let schemas = pieces::schemas();
    let vocabulary = Vocabulary { pieces: &schemas, materials: &[] };
    let read = read::plan("plan", &Texts { pieces, yard }, &vocabulary);
    let plan = read.map_err(|report| Told::Problems(report.problems))?.plan;
    let asked = pieces::ask(&plan).map_err(Told::Problems)?;
    match fit::solve(&asked.problem, fit::Ranking::AsWished, &fit::Limits::default(), &|| false) {
        Ok(fit::Outcome::Fits(answer)) => {
            pieces::detail(&asked, &answer.closings[0]).map_err(|problem| Told::Problems(vec![problem]))
        }
        Ok(fit::Outcome::Collides(collision)) => Err(collides(&asked, &collision)),
        other => panic!("{other:?}"),
    }
}

fn collides(asked: &pieces::Asked, collision: &fit::Collision) -> Told {
    let (mut limits, mut rows) = (Vec::new(), Vec::new());
    for limit in &collision.limits {
        match *limit {
            fit::LimitRef::Relation(at) => limits.push(asked.problem.relations[at].name.clone()),
            fit::LimitRef::Run(at) => rows.push(asked.problem.runs[at].name.clone()),
        }
    }
    Told::Collides { limits, rows }
}

/// The messages of problems, each of which has a place, and a hint or what was expected.
pub fn messages(problems: Vec<Problem>) -> Vec<String> {
    let message = |problem: Problem| {
        assert!(problem.place.is_some(), "no place: {problem:?}");
        assert!(problem.hint.is_some() || problem.expected.is_some(), "no hint: {problem:?}");
        problem.message
    };
    problems.into_iter().map(message).collect()
}

/// No two parts run into one another by more than so many millimetres, every part is put in place by one step, and every number
/// is told once and follows from its inputs.
pub fn is_sound(build: &Build, within: f64) {
    let shapes: Vec<_> = build.parts.iter().map(|part| part.shape().expect("something is left")).collect();
    for (at, part) in build.parts.iter().enumerate() {
        for (other, shape) in shapes.iter().enumerate().skip(at + 1) {
            let deep = shapes[at].overlap(shape);
            assert!(deep < within, "{} and {} overlap by {deep}", part.key, build.parts[other].key);
        }
        let steps = build.steps.iter().flat_map(|step| &step.parts).filter(|&key| *key == part.key).count();
        assert_eq!(steps, 1, "{} is in {steps} steps", part.key);
    }
    for quantity in &build.quantities {
        let inputs: Vec<i128> = quantity.inputs.iter().map(|input| input.value.value).collect();
        assert_eq!((quantity.rule.compute)(&inputs), Some(quantity.value.value), "{}", quantity.name);
        assert_eq!(build.quantities.iter().filter(|other| other.name == quantity.name).count(), 1, "{}", quantity.name);
    }
}

/// The parts of a piece that have a role.
pub fn parts<'b>(build: &'b Build, piece: &str, role: &str) -> Vec<&'b Part> {
    build.parts.iter().filter(|part| part.key.piece == piece && part.key.role == role).collect()
}
