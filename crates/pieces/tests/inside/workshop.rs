//! From the text of pieces to parts in place. All stock is our own.

use measure::Length;
use model::build::{Build, Needed};
use model::part::Part;
use model::plan::Plan;
use model::why::Quantity;
use read::{Missing, Vocabulary, World};

const YARD: &str = "format = 1\ncurrency = \"EUR\"\n\
[board.larch-145]\nthickness = 20\nwidth = 145\nlengths = [{ length = 3600 }]\n\
[board.pine-140]\nthickness = 32\nwidth = 140\nlengths = [{ length = 3600 }]\n\
[board.pine-90]\nthickness = 32\nwidth = 90\nlengths = [{ length = 3600 }]\n\
[board.post-47]\nthickness = 47\nwidth = 47\nlengths = [{ length = 2400 }]\n\
[board.post-70]\nthickness = 70\nwidth = 70\nlengths = [{ length = 3000 }]\n\
[board.flat-post]\nthickness = 45\nwidth = 95\nlengths = [{ length = 3000 }]\n\
[board.short-post]\nthickness = 45\nwidth = 45\nlengths = [{ length = 300 }]\n\
[board.rail-45]\nthickness = 20\nwidth = 45\nlengths = [{ length = 1800 }]\n\
[board.sleeper]\nthickness = 50\nwidth = 200\nlengths = [{ length = 2600 }]\n\
[sheet.ply]\nthickness = 18\nsizes = [{ length = 2440, width = 1220 }]\n\
[sheet.small]\nthickness = 12\nsizes = [{ length = 1200, width = 600 }, { length = 800, width = 800 }]\n\
[screw.deck]\ndiameter = 5\nlengths = [{ length = 60 }]\n\
[bag.soil-50]\nlitres = 50\nwet-density = 1500\n\
[bag.gravel]\nlitres = 20\n\
[roll.pond]\nwidth = 2000\n\
[roll.narrow]\nwidth = 1000\n\
[roll.tape]\nwidth = 200\n";

struct Texts(String);

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = match name {
            "plan" => format!("format = 1\ntitle = \"Inside\"\nyard = \"yard\"\nshed = \"shed\"\n{}", self.0),
            "yard" => YARD.into(),
            "shed" => "format = 1\n[saw]\nkerf = 3\ntrim = 10\n".into(),
            _ => return Err(Missing { reason: "there is no such file".into() }),
        };
        Ok(text.into_bytes())
    }
}

fn read_plan(pieces: &str) -> Result<Plan, Vec<String>> {
    let schemas = pieces::schemas();
    let vocabulary = Vocabulary { pieces: &schemas, materials: &[] };
    let read = read::plan("plan", &Texts(pieces.into()), &vocabulary);
    read.map(|read| read.plan).map_err(|failed| messages(failed.problems))
}

/// The messages of problems, each of which has a hint or says what was expected, and a place.
fn messages(problems: Vec<model::problem::Problem>) -> Vec<String> {
    let message = |problem: model::problem::Problem| {
        assert!(problem.place.is_some(), "no place: {problem:?}");
        assert!(problem.hint.is_some() || problem.expected.is_some(), "no hint: {problem:?}");
        problem.message
    };
    problems.into_iter().map(message).collect()
}

/// What comes out, or what is told instead: by the reader, by a piece before or after fit, or the limits by which it collides there.
pub fn build(pieces: &str) -> Result<Build, Vec<String>> {
    let plan = read_plan(pieces)?;
    let asked = pieces::ask(&plan).map_err(messages)?;
    let solved = fit::solve(&asked.problem, fit::Ranking::AsWished, &fit::Limits::default(), &|| false);
    match solved.expect("the question makes sense") {
        fit::Outcome::Fits(answer) => {
            pieces::detail(&asked, &answer.closings[0]).map_err(|refused| messages(vec![refused]))
        }
        fit::Outcome::Collides(collision) => {
            let name = |limit: &fit::LimitRef| match limit {
                fit::LimitRef::Relation(at) => Some(asked.problem.relations[*at].name.clone()),
                fit::LimitRef::Run(_) => None,
            };
            Err(collision.limits.iter().filter_map(name).collect())
        }
        fit::Outcome::Unfinished { .. } => panic!("the search was given up"),
    }
}

pub fn built(pieces: &str) -> Build {
    let build = build(pieces).unwrap_or_else(|told| panic!("{told:#?}"));
    is_sound(&build);
    build
}

/// The one thing that is told in place of a build.
pub fn told(pieces: &str) -> String {
    let told = build(pieces).expect_err("it cannot be built");
    assert_eq!(told.len(), 1, "{told:#?}");
    told.into_iter().next().unwrap_or_default()
}

pub fn parts<'b>(build: &'b Build, piece: &str, role: &str) -> Vec<&'b Part> {
    build.parts.iter().filter(|part| part.key.piece == piece && part.key.role == role).collect()
}

/// The lengths of a piece's parts of a role, each with how many there are, longest first.
pub fn lengths(build: &Build, piece: &str, role: &str) -> Vec<(usize, Length)> {
    let mut lengths: Vec<Length> = parts(build, piece, role).iter().map(|part| part.solid.length).collect();
    lengths.sort_by(|a, b| b.cmp(a));
    lengths.chunk_by(|a, b| a == b).map(|alike| (alike.len(), alike[0])).collect()
}

/// Face, index and corner of each part of a role, in millimetres.
pub fn corners(build: &Build, piece: &str, role: &str) -> Vec<(String, u32, [f64; 3])> {
    let corner = |part: &&Part| (part.key.face.clone(), part.key.index, part.at.corner.map(Length::as_mm));
    parts(build, piece, role).iter().map(corner).collect()
}

pub fn quantity<'b>(build: &'b Build, name: &str) -> &'b Quantity {
    let found: Vec<&Quantity> = build.quantities.iter().filter(|quantity| quantity.name == name).collect();
    assert_eq!(found.len(), 1, "`{name}` is told once");
    found[0]
}

pub fn value(build: &Build, name: &str) -> i128 {
    quantity(build, name).value.value
}

/// What is needed for a piece.
pub fn needs(build: &Build, piece: &str) -> Vec<(String, Needed)> {
    let own = build.needs.iter().filter(|need| need.piece == piece);
    own.map(|need| (need.what.clone(), need.of.clone())).collect()
}

/// The notes of a piece in one text.
pub fn notes(build: &Build, piece: &str) -> String {
    let own = build.notes.iter().filter(|note| note.piece == piece);
    own.map(|note| note.text.as_str()).collect::<Vec<_>>().join("\n")
}

/// No two parts run into one another by more than a micrometre, every part is put in place by one step, and every quantity comes
/// out again by its rule.
fn is_sound(build: &Build) {
    let shapes: Vec<_> = build.parts.iter().map(|part| part.shape().expect("something is left")).collect();
    for (at, part) in build.parts.iter().enumerate() {
        for other in at + 1..build.parts.len() {
            let deep = shapes[at].overlap(&shapes[other]);
            assert!(deep < 1e-3, "{} and {} overlap by {deep}", part.key, build.parts[other].key);
        }
        let steps = build.steps.iter().filter(|step| step.parts.contains(&part.key)).count();
        assert_eq!(steps, 1, "{} is in {steps} steps", part.key);
    }
    for quantity in &build.quantities {
        let inputs: Vec<i128> = quantity.inputs.iter().map(|input| input.value.value).collect();
        assert_eq!((quantity.rule.compute)(&inputs), Some(quantity.value.value), "{}", quantity.name);
        let names: Vec<&str> = build.quantities.iter().map(|other| other.name.as_str()).collect();
        assert_eq!(names.iter().filter(|name| **name == quantity.name).count(), 1, "{} twice", quantity.name);
    }
}

pub fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} is not {expected}");
}
