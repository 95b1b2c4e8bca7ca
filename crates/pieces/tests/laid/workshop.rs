//! From the text of pieces and a yard to parts in place. All stock is our own.

use measure::Length;
use model::build::Build;
use model::part::Part;
use model::plan::Plan;
use read::{Missing, Vocabulary, World};

struct Texts<'t> {
    pieces: &'t str,
    yard: &'t str,
}

impl World for Texts<'_> {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = match name {
            "plan" => format!("format = 1\ntitle = \"Laid\"\nyard = \"yard\"\nshed = \"shed\"\n{}", self.pieces),
            "yard" => format!("format = 1\ncurrency = \"EUR\"\n{}", self.yard),
            "shed" => "format = 1\n[saw]\nkerf = 3\ntrim = 10\n".into(),
            _ => return Err(Missing { reason: "there is no such file".into() }),
        };
        Ok(text.into_bytes())
    }
}

/// The plan of these pieces, or what is told instead.
fn plan(pieces: &str, yard: &str) -> Result<Plan, Vec<String>> {
    let schemas = pieces::schemas();
    let vocabulary = Vocabulary { pieces: &schemas, materials: &[] };
    let read = read::plan("plan", &Texts { pieces, yard }, &vocabulary);
    read.map(|read| read.plan).map_err(|report| report.problems.into_iter().map(|problem| problem.message).collect())
}

/// What comes out, or what is told instead: by the reader, by the pieces, or the names of the limits that fit cannot keep.
pub fn build(pieces: &str, yard: &str) -> Result<Build, Vec<String>> {
    let plan = plan(pieces, yard)?;
    let told = |problems: Vec<model::problem::Problem>| {
        problems.into_iter().map(|problem| {
            assert!(problem.place.is_some() && problem.hint.is_some(), "{problem:?}");
            problem.message
        })
    };
    let asked = pieces::ask(&plan).map_err(|problems| told(problems).collect::<Vec<_>>())?;
    match fit::solve(&asked.problem, fit::Ranking::AsWished, &fit::Limits::default(), &|| false) {
        Ok(fit::Outcome::Fits(answer)) => {
            let detail = pieces::detail(&asked, &answer.closings[0]);
            detail.map_err(|problem| told(vec![problem]).collect())
        }
        Ok(fit::Outcome::Collides(collision)) => {
            Err(collision.limits.iter().map(|limit| named(&asked, *limit)).collect())
        }
        other => panic!("{other:?}"),
    }
}

/// A limit or row in the words of who asked for it.
fn named(asked: &pieces::Asked, limit: fit::LimitRef) -> String {
    match limit {
        fit::LimitRef::Relation(at) => asked.problem.relations[at].name.clone(),
        fit::LimitRef::Run(at) => asked.problem.runs[at].name.clone(),
    }
}

pub fn built(pieces: &str, yard: &str) -> Build {
    let build = build(pieces, yard).unwrap_or_else(|told| panic!("{told:#?}"));
    is_sound(&build);
    build
}

/// What is told in place of a build.
pub fn told(pieces: &str, yard: &str) -> String {
    build(pieces, yard).expect_err("nothing comes out").join("; ")
}

/// No two parts lie in one another, every part is put in place by one step, and every number follows from its inputs.
pub fn is_sound(build: &Build) {
    let shapes: Vec<_> = build.parts.iter().map(|part| part.shape().expect("a shape")).collect();
    for (at, part) in build.parts.iter().enumerate() {
        for (other, shape) in shapes.iter().enumerate().skip(at + 1) {
            let deep = shapes[at].overlap(shape);
            assert!(deep < 1e-5, "{} and {} overlap by {deep} mm", part.key, build.parts[other].key);
        }
        let steps = build.steps.iter().flat_map(|step| &step.parts).filter(|&key| *key == part.key).count();
        assert_eq!(steps, 1, "{}", part.key);
    }
    for quantity in &build.quantities {
        let inputs: Vec<i128> = quantity.inputs.iter().map(|input| input.value.value).collect();
        assert_eq!((quantity.rule.compute)(&inputs), Some(quantity.value.value), "{}", quantity.name);
        assert_eq!(build.quantities.iter().filter(|other| other.name == quantity.name).count(), 1, "{}", quantity.name);
    }
}

pub fn parts<'b>(build: &'b Build, piece: &str, role: &str) -> Vec<&'b Part> {
    build.parts.iter().filter(|part| part.key.piece == piece && part.key.role == role).collect()
}

/// The lengths of the parts of a role, in the order of the build.
pub fn lengths(build: &Build, piece: &str, role: &str) -> Vec<Length> {
    parts(build, piece, role).iter().map(|part| part.solid.length).collect()
}

/// The lower corners of the parts of a role along an axis.
pub fn places(build: &Build, piece: &str, role: &str, axis: usize) -> Vec<Length> {
    parts(build, piece, role).iter().map(|part| part.at.corner[axis]).collect()
}

pub fn mm<const N: usize>(lengths: [i64; N]) -> Vec<Length> {
    lengths.map(Length::mm).to_vec()
}

pub fn quantity(build: &Build, name: &str) -> i128 {
    let found = build.quantities.iter().find(|quantity| quantity.name == name);
    found.unwrap_or_else(|| panic!("no `{name}`")).value.value
}

/// How many parts of a role touch parts of another, pair by pair: where screws would go.
pub fn touching(build: &Build, held: [&str; 2], base: [&str; 2]) -> usize {
    let shape = |part: &&Part| part.shape().expect("a shape");
    let bases: Vec<_> = parts(build, base[0], base[1]).iter().map(shape).collect();
    let held: Vec<_> = parts(build, held[0], held[1]).iter().map(shape).collect();
    held.iter().flat_map(|held| bases.iter().filter(|base| held.contact(base, 1e-3).is_some())).count()
}

/// That what was told says this.
pub fn holds(told: &str, says: &str) {
    assert!(told.contains(says), "{told}\n{says}");
}
