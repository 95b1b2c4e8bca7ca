//! From the text of pieces to parts in place. All stock is our own.

use measure::Length;
use model::build::Build;
use model::part::Part;
use model::plan::Plan;
use model::why::Quantity;
use read::{Missing, Vocabulary, World};

const YARD: &str = "format = 1\ncurrency = \"EUR\"\n\
[board.slat]\nthickness = 20\nwidth = 100\nlengths = [{ length = 3000 }]\n\
[board.lath]\nthickness = 20\nwidth = 40\nlengths = [{ length = 3000 }]\n\
[board.thick]\nthickness = 25\nwidth = 100\nlengths = [{ length = 3000 }]\n\
[board.larch-145]\nthickness = 20\nwidth = 145\nlengths = [{ length = 3600 }]\n\
[board.cap-95]\nthickness = 20\nwidth = 95\nlengths = [{ length = 3000 }]\n\
[board.pine-140]\nthickness = 32\nwidth = 140\nlengths = [{ length = 3600 }]\n\
[board.post-70]\nthickness = 70\nwidth = 70\nlengths = [{ length = 3000 }]\n\
[board.post-90]\nthickness = 45\nwidth = 90\nlengths = [{ length = 3000 }]\n\
[board.feather]\nthickness = 16\nthin-edge = 6\nwidth = 150\nlengths = [{ length = 3600 }]\n\
[board.strip-7]\nthickness = 7\nwidth = 25\nlengths = [{ length = 3000 }]\n\
[board.strip-18]\nthickness = 18\nwidth = 30\nlengths = [{ length = 3000 }]\n\
[board.rib]\nthickness = 30\nwidth = 60\nlengths = [{ length = 2400 }]\n\
[board.cedar]\nthickness = \"3/4 in\"\nwidth = \"3-1/2 in\"\nlengths = [{ length = \"8 ft\" }]\n\
[unit.sett]\nlength = 100\nwidth = 100\nthickness = 80\n\
[unit.brick]\nlength = 215\nwidth = 102.5\nthickness = 65\n\
[screw.deck]\ndiameter = 5\nlengths = [{ length = 60 }]\n\
[sheet.ply]\nthickness = 18\nsizes = [{ length = 2440, width = 1220 }]\n";

struct Texts(String);

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = match name {
            "plan" => format!("format = 1\ntitle = \"Faces\"\nyard = \"yard\"\nshed = \"shed\"\n{}", self.0),
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
    match read::plan("plan", &Texts(pieces.into()), &vocabulary) {
        Ok(read) => Ok(read.plan),
        Err(failed) => Err(failed.problems.into_iter().map(|problem| problem.message).collect()),
    }
}

/// What comes out, or what is told instead: by the reader, by a piece, or by fit.
pub fn build(pieces: &str) -> Result<Build, Vec<String>> {
    let plan = read_plan(pieces)?;
    let asked = pieces::ask(&plan)
        .map_err(|problems| problems.into_iter().map(|problem| problem.message).collect::<Vec<_>>())?;
    let solved = fit::solve(&asked.problem, fit::Ranking::AsWished, &fit::Limits::default(), &|| false);
    match solved.expect("the question makes sense") {
        fit::Outcome::Fits(answer) => {
            Ok(pieces::detail(&asked, &answer.closings[0]).expect("what was asked can be laid out"))
        }
        fit::Outcome::Collides(_) => Err(vec!["collides".into()]),
        fit::Outcome::Unfinished { .. } => Err(vec!["unfinished".into()]),
    }
}

pub fn built(pieces: &str) -> Build {
    build(pieces).unwrap_or_else(|told| panic!("{told:#?}"))
}

/// The one thing that is told in place of a build.
pub fn told(pieces: &str) -> String {
    let told = build(pieces).map(|_| ()).expect_err("it cannot be built");
    assert_eq!(told.len(), 1, "{told:#?}");
    told.into_iter().next().unwrap_or_default()
}

pub fn parts<'b>(build: &'b Build, piece: &str, role: &str) -> Vec<&'b Part> {
    build.parts.iter().filter(|part| part.key.piece == piece && part.key.role == role).collect()
}

/// The lengths of a piece's parts of a role, each with how many there are, longest first, in nanometres.
pub fn lengths(build: &Build, piece: &str, role: &str) -> Vec<(usize, Length)> {
    let mut lengths: Vec<Length> = parts(build, piece, role).iter().map(|part| part.solid.length).collect();
    lengths.sort_by(|a, b| b.cmp(a));
    lengths.chunk_by(|a, b| a == b).map(|alike| (alike.len(), alike[0])).collect()
}

pub fn quantity<'b>(build: &'b Build, name: &str) -> &'b Quantity {
    let found: Vec<&Quantity> = build.quantities.iter().filter(|quantity| quantity.name == name).collect();
    assert_eq!(found.len(), 1, "`{name}` is told once");
    found[0]
}

/// The volume of all parts of a piece by their shapes, in cubic millimetres.
pub fn volume(build: &Build, piece: &str) -> f64 {
    let own = build.parts.iter().filter(|part| part.key.piece == piece);
    own.map(|part| part.shape().expect("something is left").volume()).sum()
}

/// That no two parts of a build run into one another by more than a micrometre, and that every part is put in place by one step.
pub fn is_sound(build: &Build) {
    let shapes: Vec<_> = build.parts.iter().map(|part| part.shape().expect("something is left")).collect();
    for (at, part) in build.parts.iter().enumerate() {
        for other in at + 1..build.parts.len() {
            let deep = shapes[at].overlap(&shapes[other]);
            assert!(deep < MICROMETRE, "{} and {} overlap by {deep}", part.key, build.parts[other].key);
        }
        let steps = build.steps.iter().filter(|step| step.parts.contains(&part.key)).count();
        assert_eq!(steps, 1, "{} is in {steps} steps", part.key);
    }
}

/// How closely parts have to meet, in millimetres.
pub const MICROMETRE: f64 = 1e-3;

/// In how large an area two parts touch, in mm².
pub fn contact(one: &Part, other: &Part) -> f64 {
    let shape = |part: &Part| part.shape().expect("something is left");
    shape(one).contact(&shape(other), MICROMETRE).map_or(0.0, |contact| contact.area())
}

pub fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} is not {expected}");
}
