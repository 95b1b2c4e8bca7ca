//! The drawings of joints of all worked builds, read back: each says where the heads lie in exactly the parts it names.

use drawing::{Paper, Svg, details_in_pages};
use measure::{Length, Tape};
use model::joint::Joint;
use model::part::{Part, UNIT};
use scantling::{Done, Effort, Missing, World};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The files of a folder.
struct Folder(PathBuf);

impl World for Folder {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        std::fs::read(self.0.join(name)).map_err(|problem| Missing { reason: problem.to_string() })
    }
}

/// The worked builds by their names.
fn builds() -> Vec<(String, Done)> {
    let all = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../builds");
    let entries = std::fs::read_dir(all).expect("the builds").map(|entry| entry.expect("an entry").path());
    let mut folders: Vec<PathBuf> = entries.filter(|path| path.is_dir()).collect();
    folders.sort();
    folders.into_iter().map(|folder| build(&folder)).collect()
}

fn build(folder: &Path) -> (String, Done) {
    let name = folder.file_name().expect("a name").to_string_lossy().into_owned();
    let plan = format!("{name}.plan.toml");
    match scantling::run(&plan, &Folder(folder.to_owned()), &Effort::default(), &|| false) {
        Ok(done) => (name, done),
        Err(refused) => panic!("{name}: {}", scantling::refused(&refused, false)),
    }
}

/// One detail as it is printed: which part is held in which, and where the heads lie, along and across.
#[derive(Debug)]
struct Printed {
    pairs: BTreeSet<[String; 2]>,
    heads: Vec<[String; 2]>,
}

/// `C1–C3, C7` as single ids.
fn ids(ranges: &str) -> Vec<String> {
    let one = |range: &str| match range.split_once('\u{2013}') {
        None => vec![range.to_owned()],
        Some((first, last)) => {
            let letters = first.trim_end_matches(|sign: char| sign.is_ascii_digit());
            let number = |id: &str| id[letters.len()..].parse::<u32>().expect("a number");
            (number(first)..=number(last)).map(|number| format!("{letters}{number}")).collect()
        }
    };
    ranges.split(", ").flat_map(one).collect()
}

/// `24 along, 18 and 76 across; 60 along, 40 across` as single heads.
fn heads(rows: &str) -> Vec<[String; 2]> {
    let mut heads = Vec::new();
    for row in rows.split("; ") {
        let (along, across) = row.split_once(" along, ").expect("along");
        let across = across.strip_suffix(" across").expect("across");
        heads.extend(across.split(" and ").map(|across| [along.to_owned(), across.to_owned()]));
    }
    heads.sort();
    heads
}

/// The details on a page; what is said of them must stand on the paper in full, each reading on the face too.
fn printed(page: &Svg) -> Vec<Printed> {
    let texts = || page.texts.iter().map(|text| text.text.as_str());
    let paper = texts().collect::<Vec<_>>().join(" ");
    let mut all = Vec::new();
    for said in page.description.split("Held: ").skip(1) {
        let (parts, rest) = said.split_once(". Heads: ").expect("heads");
        let (rows, _) = rest.split_once(", from the ").expect("from where");
        assert!(paper.contains(&format!("Held: {parts}. Heads: {rows}, from the ")), "{parts}: {paper}");
        let mut pairs = BTreeSet::new();
        for told in parts.split("; ") {
            let (held, bases) = told.split_once(" in ").expect("held in");
            let bases = ids(bases);
            pairs.extend(ids(held).iter().flat_map(|held| bases.iter().map(|base| [held.clone(), base.clone()])));
        }
        let heads = heads(rows);
        for reading in heads.iter().flatten() {
            assert!(texts().any(|text| text == reading), "{parts}: {reading} is not on the face");
        }
        all.push(Printed { pairs, heads });
    }
    all
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Where the heads of a joint lie from the left end and the lower edge of the face, as one stands before it; of an upright part
/// from its lower end and its right-hand edge.
fn on_face(part: &Part, joint: &Joint, tape: Tape) -> Vec<[String; 2]> {
    let screws = joint.direction.map(|share| share as f64 / UNIT as f64);
    let axes = part.at.frame.axes();
    let size = part.extent().map(Length::as_mm);
    // The face is square to the axis that the screws run along most; its length is the part's, of its ends the part's width.
    let normal =
        (0..3).max_by(|&a, &b| dot(axes[a], screws).abs().total_cmp(&dot(axes[b], screws).abs())).expect("one");
    let [along, across] = [part.at.along.index(), part.at.across.index()];
    let long = if normal == along { across } else { along };
    let high = 3 - normal - long;
    let face = axes[normal].map(|share| if dot(axes[normal], screws) > 0.0 { -share } else { share });
    // Left to right as one stands before it, and upwards: `right × up` looks at the one who stands there.
    let turned = |right: [f64; 3], up: [f64; 3]| {
        let cross = |a: usize, b: usize| right[a] * up[b] - right[b] * up[a];
        dot([cross(1, 2), cross(2, 0), cross(0, 1)], face) > 0.0
    };
    let way = |axis: usize, forth: bool| axes[axis].map(|share| if forth { share } else { -share });
    let choices = [[true, true], [true, false], [false, true], [false, false]];
    let (right, up) = choices
        .into_iter()
        .map(|[right, up]| (way(long, right), way(high, up)))
        .filter(|(right, up)| turned(*right, *up))
        .find(|(right, up)| match () {
            () if right[2].abs() > 0.9 => right[2] > 0.0,
            () if up[2].abs() > 1e-6 => up[2] > 0.0,
            () => right[0] > 1e-6 || (right[0].abs() <= 1e-6 && right[1] > 0.0),
        })
        .expect("one of four");
    let corner = part.at.corner.map(Length::as_mm);
    let read = |head: [f64; 3], way: [f64; 3], axis: usize| {
        let from = [0, 1, 2].map(|place| head[place] - corner[place]);
        // From the corner of the part, or from the one that lies opposite if the way runs against the axis.
        let against = dot(way, axes[axis]) < 0.0;
        tape.show(model::part::from_mm(dot(from, way) + if against { size[axis] } else { 0.0 }))
    };
    let heads = joint.heads.iter().map(|head| head.map(Length::as_mm));
    heads.map(|head| [read(head, right, long), read(head, up, high)]).collect()
}

/// In every worked build each joint stands in one detail, and the heads that a detail prints are those of each part that it
/// names, no more and no fewer. So no part whose screws are moved is listed under the positions of its like; in some builds
/// there are such parts.
#[test]
fn details_print_the_heads_of_the_parts_they_name() {
    let mut moved = BTreeSet::new();
    for (name, done) in builds() {
        let (build, tape) = (&done.settled.build, done.settled.plan.tape);
        let id = |part: usize| build.parts[part].id.clone();
        for paper in [Paper::A4Portrait, Paper::Phone] {
            let pages = details_in_pages(build, &done.settled.joints, &[], tape, paper);
            let details: Vec<Printed> = pages.iter().flat_map(printed).collect();
            for joint in &done.settled.joints.made {
                let pair = [id(joint.held), id(joint.base)];
                let told = details.iter().filter(|detail| detail.pairs.contains(&pair)).count();
                assert_eq!(told, 1, "{name}: {pair:?}");
            }
            for detail in &details {
                let parts: BTreeSet<&String> = detail.pairs.iter().map(|[held, _]| held).collect();
                for part in parts {
                    let mut heads = Vec::new();
                    for joint in &done.settled.joints.made {
                        if id(joint.held) == *part && detail.pairs.contains(&[id(joint.held), id(joint.base)]) {
                            heads.extend(on_face(&build.parts[joint.held], joint, tape));
                        }
                    }
                    heads.sort();
                    assert_eq!(detail.heads, heads, "{name}: {part} in {detail:?}");
                }
            }
        }
        if build.notes.iter().any(|note| note.text.contains("are moved from where they would stand")) {
            moved.insert(name);
        }
    }
    assert!(["halfway-seat", "picket-box"].iter().all(|name| moved.contains(*name)), "{moved:?}");
}
