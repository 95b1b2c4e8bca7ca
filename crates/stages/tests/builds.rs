//! The order of making of every build of the house: what a maker would say against it is looked for, step by step
//! (*common practice*). The relations are read off the boxes here anew; the stage has its own way of finding them.

use joints::Joined;
use measure::Length;
use model::build::{Build, Going};
use model::part::{Part, PartKey};
use read::{Missing, Vocabulary, World};
use stages::make::{Making, Work, make};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

struct Folder(PathBuf);

impl World for Folder {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        std::fs::read(self.0.join(name)).map_err(|error| Missing { reason: error.to_string() })
    }
}

struct Made {
    name: String,
    build: Build,
    joined: Joined,
    making: Making,
    /// The step that places each part.
    stands: BTreeMap<PartKey, usize>,
}

impl Made {
    fn of(folder: &Path) -> Made {
        let name = folder.file_name().and_then(|name| name.to_str()).expect("a name").to_owned();
        let schemas = pieces::schemas();
        let vocabulary = Vocabulary { pieces: &schemas, materials: &handbook::materials::names() };
        let read = read::plan(&format!("{name}.plan.toml"), &Folder(folder.to_owned()), &vocabulary);
        let plan = read.expect("the plan is read").plan;
        let asked = pieces::ask(&plan).unwrap_or_else(|problems| panic!("{problems:#?}"));
        let outcome = fit::solve(&asked.problem, fit::Ranking::AsWished, &fit::Limits::default(), &|| false);
        let Ok(fit::Outcome::Fits(answer)) = outcome else { panic!("{outcome:?}") };
        let build = pieces::detail(&asked, &answer.closings[0]).unwrap_or_else(|problem| panic!("{problem:?}"));
        let joined = joints::join(&build, &plan);
        let making = make(&build, &joined.joints, &plan);
        let places = making.steps.iter().enumerate().filter(|(_, step)| step.work == Work::Place);
        let stands = places.flat_map(|(at, step)| step.step.parts.iter().map(move |key| (key.clone(), at))).collect();
        Made { name, build, joined, making, stands }
    }

    fn stands(&self, part: &Part) -> usize {
        self.stands[&part.key]
    }

    /// The steps that put something of a piece in place.
    fn steps(&self, piece: &str) -> Vec<usize> {
        let own = self.making.steps.iter().enumerate();
        own.filter(|(_, step)| step.work == Work::Place && step.step.piece == piece).map(|(at, _)| at).collect()
    }

    fn before(&self, piece: &str, other: &str) {
        let (last, first) = (self.steps(piece).into_iter().max(), self.steps(other).into_iter().min());
        let order: Vec<&str> = self.making.steps.iter().map(|step| step.step.what.as_str()).collect();
        assert!(
            last.zip(first).is_none_or(|(last, first)| last < first),
            "{}: {piece} before {other}: {order:#?}",
            self.name
        );
    }
}

/// Every build, in the order of their names.
fn builds() -> Vec<Made> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../builds");
    let mut folders: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the builds")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.is_dir())
        .collect();
    folders.sort();
    assert!(folders.len() >= 8);
    folders.iter().map(|folder| Made::of(folder)).collect()
}

fn is_over(upper: &Part, lower: &Part) -> bool {
    let ([a, b], [c, d]) = (ends(upper), ends(lower));
    (0..2).all(|axis| a[axis] < d[axis] && c[axis] < b[axis])
}

fn ends(part: &Part) -> [[Length; 3]; 2] {
    [part.near_corner(), part.far_corner()]
}

fn boxes(build: &Build) -> Vec<&Part> {
    build.parts.iter().filter(|part| part.is_box()).collect()
}

#[test]
fn every_build_is_made_in_an_order_in_which_it_can_be_made() {
    for made in builds() {
        is_whole(&made);
        carries_before(&made);
        covers_after(&made);
        treats_and_measures_before(&made);
        screws_what_is_there(&made);
        goes_with(&made);
    }
}

/// Each part is placed once, each step waits for earlier ones, and no order had to be forced; what works on something has
/// tools at hand.
fn is_whole(made: &Made) {
    assert_eq!(made.stands.len(), made.build.parts.len(), "{}", made.name);
    assert!(made.making.notes.is_empty(), "{}: {:?}", made.name, made.making.notes);
    for (at, step) in made.making.steps.iter().enumerate() {
        assert!(step.after.iter().all(|&before| before < at), "{}", made.name);
        let idle = step.step.parts.is_empty() || step.work == Work::Wait;
        assert!(idle || !step.tools.is_empty(), "{}: {}", made.name, step.step.what);
    }
}

fn carries_before(made: &Made) {
    let boxes = boxes(&made.build);
    let mut tops: BTreeMap<Length, Vec<&Part>> = BTreeMap::new();
    boxes.iter().for_each(|part| tops.entry(ends(part)[1][2]).or_default().push(part));
    for upper in &boxes {
        for lower in tops.get(&ends(upper)[0][2]).into_iter().flatten().filter(|lower| is_over(upper, lower)) {
            assert!(made.stands(lower) <= made.stands(upper), "{}: {} on {}", made.name, upper.key, lower.key);
        }
    }
}

fn covers_after(made: &Made) {
    let boxes = boxes(&made.build);
    for joint in &made.joined.joints.made {
        let held = &made.build.parts[joint.held];
        let own = [joint.held, joint.base].map(|part| &made.build.parts[part].key);
        for head in &joint.heads {
            let there = |part: &&&Part| {
                let [near, far] = ends(part);
                (0..3).all(|axis| near[axis] <= head[axis] && head[axis] <= far[axis])
            };
            for cover in boxes.iter().filter(there).filter(|part| !own.contains(&&part.key)) {
                assert!(made.stands(held) <= made.stands(cover), "{}: {} over {}", made.name, cover.key, held.key);
            }
        }
    }
}

fn treats_and_measures_before(made: &Made) {
    let about = made.making.steps.iter().enumerate().filter(|(_, step)| !matches!(step.work, Work::Place | Work::Wait));
    for (at, step) in about {
        assert!(step.step.parts.iter().all(|key| at < made.stands[key]), "{}: {}", made.name, step.step.what);
    }
}

/// The step in which the later of two parts is placed has what drives the screws between them.
fn screws_what_is_there(made: &Made) {
    for joint in &made.joined.joints.made {
        let at = [joint.held, joint.base].map(|part| made.stands(&made.build.parts[part])).into_iter().max();
        let tools = &made.making.steps[at.expect("two steps")].tools;
        assert!(tools.iter().any(|tool| tool.starts_with("driver for ")), "{}: {tools:?}", made.name);
    }
}

fn goes_with(made: &Made) {
    let carries = |piece: &str| {
        let boxes = boxes(&made.build);
        let own = boxes.iter().filter(|part| part.key.piece == piece);
        let others = || boxes.iter().filter(|part| part.key.piece != piece);
        own.into_iter().any(|own| others().any(|over| ends(over)[0][2] == ends(own)[1][2] && is_over(over, own)))
    };
    for one in &made.build.with {
        let all = |going: Going| made.build.with.iter().filter(move |other| other.to == one.to && other.going == going);
        match one.going {
            Going::First => made.before(&one.piece, &one.to),
            Going::Fitted => made.before(&one.to, &one.piece),
            Going::Laid if carries(&one.piece) => made.before(&one.piece, &one.to),
            Going::Laid => made.before(&one.to, &one.piece),
            Going::Lines => {
                made.before(&one.to, &one.piece);
                all(Going::Laid).for_each(|floor| made.before(&floor.piece, &one.piece));
                all(Going::Fitted).for_each(|fitted| made.before(&fitted.piece, &one.piece));
            }
            Going::Fills => {
                made.before(&one.to, &one.piece);
                let inside = [Going::Laid, Going::Lines, Going::Fitted, Going::Stands, Going::Closes];
                inside.into_iter().flat_map(all).for_each(|other| made.before(&other.piece, &one.piece));
            }
            Going::Stands | Going::Closes => {}
        }
    }
}

/// The seat between two planters: its ledgers are screwed on from inside before a liner covers the screws' way, its feet are at
/// hand before its legs stand; the planters' feet are on before anything is filled in.
#[test]
fn ledgers_come_before_liners() {
    let made = builds().into_iter().find(|made| made.name == "halfway-seat").expect("the seat");
    for side in ["left", "right"] {
        made.before("seat", &format!("{side}-liner"));
        made.before(&format!("{side}-feet"), &format!("{side}-soil"));
        made.before(&format!("{side}-floor"), &format!("{side}-posts"));
        made.before(&format!("{side}-posts"), side);
    }
    made.before("seat-feet", "seat");
}

/// Posts in concrete stand before slats hang on them; gravel is there before the holes are filled.
#[test]
fn a_screen_hangs_on_posts_that_stand() {
    let made = builds().into_iter().find(|made| made.name == "bin-screen").expect("the screen");
    made.before("gravel", "screen");
    let of = |role: &'static str| made.build.parts.iter().filter(move |part| part.key.role == role);
    let stood = of("post").map(|post| made.stands(post)).max();
    assert!(stood < of("slat").map(|slat| made.stands(slat)).min());
    let stood = stood.expect("posts");
    let wait = made.making.steps.iter().position(|step| step.work == Work::Wait).expect("a wait");
    let step = &made.making.steps[wait];
    assert_eq!((step.hours, step.step.piece.as_str(), step.after.contains(&stood)), (Some(48), "screen", true));
    assert!(step.step.what.contains("harden"), "{}", step.step.what);
    for slat in of("slat") {
        let placed = made.stands(slat);
        assert!(wait < placed, "a slat is fixed before the concrete is hard");
    }
}
