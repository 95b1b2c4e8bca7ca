//! What plans ask of fit, read from text: pieces that lie against one another, and sheets in several sizes.

use model::plan::Plan;
use pieces::Asked;
use read::{Missing, Vocabulary, World};

/// A plan of these pieces, a yard of one board, one sett and one sheet in these sizes, and a saw. All our own.
struct Texts {
    pieces: String,
    sizes: &'static str,
}

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = match name {
            "plan" => format!("format = 1\ntitle = \"Asked\"\nyard = \"yard\"\nshed = \"shed\"\n{}", self.pieces),
            "yard" => format!(
                "format = 1\ncurrency = \"EUR\"\n\
                 [board.slat]\nthickness = 20\nwidth = 100\nlengths = [{{ length = 3000 }}]\n\
                 [unit.sett]\nlength = 100\nwidth = 100\nthickness = 80\n\
                 [sheet.ply]\nthickness = 18\nsizes = [{}]\n",
                self.sizes
            ),
            "shed" => "format = 1\n[saw]\nkerf = 3\ntrim = 10\n".into(),
            _ => return Err(Missing { reason: "there is no such file".into() }),
        };
        Ok(text.into_bytes())
    }
}

const ONE_SIZE: &str = "{ length = 2440, width = 1220 }";

fn plan(pieces: &str, sizes: &'static str) -> Plan {
    let schemas = pieces::schemas();
    let vocabulary = Vocabulary { pieces: &schemas, materials: &[] };
    let texts = Texts { pieces: pieces.into(), sizes };
    read::plan("plan", &texts, &vocabulary).expect("the plan is read").plan
}

/// What is asked, or what is told instead.
fn asked(pieces: &str, sizes: &'static str) -> Result<Asked, Vec<String>> {
    pieces::ask(&plan(pieces, sizes)).map_err(|problems| problems.into_iter().map(|problem| problem.message).collect())
}

/// An L with claddings: each by its name, what it lies on and its face.
fn clad(skins: &[(&str, &str, &str)], more: &str) -> Result<Asked, Vec<String>> {
    let mut text = String::from(
        "[piece.bed]\nis = \"walls\"\noutline = \"L\"\nlength = 2200\nwidth = 1800\nfront-arm = 700\nleft-arm = 700\n\
         height = 400\nboard = \"slat\"\n",
    );
    for (name, on, face) in skins {
        text += &format!(
            "[piece.{name}]\nis = \"cladding\"\non = \"{on}\"\nboard = \"slat\"\ngap = 5\nfaces = [\"{face}\"]\n"
        );
    }
    asked(&(text + more), ONE_SIZE)
}

fn ring(around: &str) -> String {
    format!("[piece.ring]\nis = \"edging\"\naround = \"{around}\"\nunit = \"sett\"\njoint = 8\n")
}

fn told(asked: Result<Asked, Vec<String>>) -> Vec<String> {
    asked.err().unwrap_or_default()
}

#[test]
fn claddings_that_know_nothing_of_each_other_do_not_meet_in_an_inside_corner() {
    let overlap = "`b` on the inner right and `a` on the inner back of `bed` would overlap in the inside corner";
    assert_eq!(told(clad(&[("a", "bed", "inner back"), ("b", "bed", "inner right")], "")), [overlap]);
    let overlap = "`b` on the inner back and `a` on the inner right of `bed` would overlap in the inside corner";
    assert_eq!(told(clad(&[("a", "bed", "inner right"), ("b", "bed", "inner back")], "")), [overlap]);
    // The second lies on what the first left, so that its row stops before it.
    assert!(clad(&[("a", "bed", "inner back"), ("b", "a", "inner right")], "").is_ok());
    // At an outside corner both end flush with it.
    assert!(clad(&[("a", "bed", "front"), ("b", "bed", "right")], "").is_ok());
}

#[test]
fn a_face_that_a_piece_left_bare_is_that_of_what_it_lies_on() {
    let both = |a, b, on| [format!("`{a}` and `{b}` both lie against `{on}`, so they would overlap")];
    assert_eq!(told(clad(&[("a", "bed", "front"), ("b", "bed", "back")], &ring("a"))), both("ring", "b", "bed"));
    assert_eq!(
        told(clad(&[("a", "bed", "front"), ("b", "a", "back"), ("c", "bed", "back")], "")),
        both("c", "b", "bed")
    );
    // Two down: `c` leaves the back bare, and so does `a`.
    let deep = [("a", "bed", "front"), ("b", "bed", "back"), ("c", "a", "left")];
    assert_eq!(told(clad(&deep, &ring("c"))), both("ring", "b", "bed"));
    assert!(clad(&[("a", "bed", "front"), ("b", "a", "back")], &ring("b")).is_ok());
    assert!(clad(&[("a", "bed", "front"), ("b", "a", "front")], &ring("b")).is_ok());
}

/// A problem is told once, in the name of the piece that has it, and the others are looked at all the same.
#[test]
fn each_problem_is_told_once() {
    let skins = [("a", "bed", "frnt"), ("b", "a", "back"), ("c", "b", "left"), ("d", "bed", "rear")];
    let messages = told(clad(&skins, ""));
    assert_eq!(messages, ["`bed` has no face called `frnt`", "`bed` has no face called `rear`"]);
}

fn limits(asked: &Asked) -> Vec<(&str, &[(usize, usize)])> {
    let limits = asked.problem.relations.iter().map(|limit| (limit.name.as_str(), limit.when.as_slice()));
    limits.filter(|(name, _)| !name.contains("must be at least")).collect()
}

const BOX: &str =
    "[piece.box]\nis = \"walls\"\nlength = 1400\nwidth = 800\nheight = 580\nsheet = \"ply\"\ncorners = \"any\"\n";

/// Of sizes none of which is the larger both ways one is chosen, and all panels come from it: by hand, 2440 × 600 and
/// 1220 × 1220 less a trim of 10 give 2430 × 590 and 1210 × 1210; 1200 × 600 gives nothing of its own.
#[test]
fn sizes_of_sheet_are_chosen_among() {
    let sizes = "{ length = 1200, width = 600 }, { length = 2440, width = 600 }, { length = 1220, width = 1220 }";
    let asked = asked(BOX, sizes).expect("can be asked");
    let choices: Vec<&str> = asked.problem.choices.iter().map(|choice| choice.name.as_str()).collect();
    assert_eq!(choices, ["box.sheet", "box.corners"]);
    assert_eq!(asked.problem.choices[0].options, ["2440 × 600", "1220 × 1220"]);
    let limits = limits(&asked);
    let comes = |what: &str, gives: &str| {
        format!("the {what} of box must come out of the longest stock, which gives {gives} mm")
    };
    let holds = |name: &str, when: &[(usize, usize)]| {
        assert!(limits.iter().any(|limit| limit == &(name, when)), "{name} {when:?}\n{limits:#?}");
    };
    holds(&comes("height of the panels", "590"), &[(0, 0)]);
    holds(&comes("height of the panels", "1210"), &[(0, 1)]);
    holds(&comes("front", "2430"), &[(0, 0), (1, 0)]);
    holds(&comes("front", "1210"), &[(0, 1), (1, 2)]);
    let higher = "the height of the panels of box, which come from 1220 × 1220 only if not from 2440 × 600, must be more than 590 mm";
    holds(higher, &[(0, 1)]);
}

#[test]
fn a_sheet_with_one_largest_size_leaves_nothing_to_choose() {
    for sizes in [ONE_SIZE, "{ length = 1220, width = 610 }, { length = 2440, width = 1220 }"] {
        let asked = asked(BOX, sizes).expect("can be asked");
        assert_eq!(asked.problem.choices.len(), 1, "only the corners");
        assert!(limits(&asked).iter().all(|(_, when)| when.len() < 2));
        assert!(limits(&asked).iter().any(|(name, _)| name.ends_with("which gives 1210 mm")));
    }
}
