//! Builds of boxes by hand, and the order in which a maker would put them together (common practice).

use super::*;
use measure::{Length, Share, Tape, Unit};
use model::build::{Bedded, Fixed, Going, Row, With, give_ids};
use model::joint::Joint;
use model::part::{At, Axis, Frame, Part, PartKey, Solid, UNIT};
use model::plan::Prefer;
use model::problem::{File, Place};
use model::schema::StockKind;
use model::stock::{Screw, Shed, StockRef, Yard};

/// A box of these spans in millimetres; its grain runs along the longest.
fn part(piece: &str, role: &str, index: u32, spans: [[i64; 2]; 3]) -> Part {
    let size = |axis: Axis| spans[axis.index()][1] - spans[axis.index()][0];
    let mut axes = [Axis::X, Axis::Y, Axis::Z];
    axes.sort_by_key(|&axis| -size(axis));
    let [along, across, thin] = axes;
    Part {
        key: PartKey { piece: piece.into(), role: role.into(), face: "front".into(), course: 0, index },
        id: String::new(),
        stock: StockRef { kind: StockKind::Board, place: 0 },
        solid: Solid::square(Length::mm(size(along)), Length::mm(size(across)), Length::mm(size(thin))),
        at: At { frame: Frame::BUILD, corner: spans.map(|span| Length::mm(span[0])), along, across },
    }
}

/// A build with a step for each of these lists of parts, by place.
fn build(mut parts: Vec<Part>, steps: &[&[usize]]) -> Build {
    give_ids(&mut parts);
    let step = |(number, places): (usize, &&[usize])| Step {
        piece: parts[places[0]].key.piece.clone(),
        what: format!("step {number}"),
        caution: None,
        parts: places.iter().map(|&place| parts[place].key.clone()).collect(),
    };
    let steps = steps.iter().enumerate().map(step).collect();
    Build { parts, steps, ..Build::default() }
}

fn joint(held: usize, base: usize, direction: [i64; 3], head: [i64; 3]) -> Joint {
    Joint {
        held,
        base,
        screw: 0,
        length: Length::mm(50),
        pilot: Length::mm(3),
        clearance: Length::nm(5_500_000),
        direction: direction.map(|part| part * UNIT),
        heads: vec![head.map(Length::mm)],
        slots: Vec::new(),
    }
}

fn plan(unit: Unit) -> Plan {
    let place = Place { file: File::Yard, bytes: 0..0 };
    let screw = Screw {
        name: "csk".into(),
        label: "csk".into(),
        diameter: Length::mm(5),
        metal: None,
        lengths: Vec::new(),
        place,
    };
    Plan {
        standing: model::standing::Standing::default(),
        title: String::new(),
        tape: Tape::usual(unit),
        prefer: Prefer::Closest,
        site: model::plan::Site::default(),
        pieces: Vec::new(),
        yard: Yard { currency: "EUR".into(), screws: vec![screw], ..Yard::default() },
        shed: Shed {
            kerf: Length::mm(3),
            trim: Length::mm(10),
            reserve_per_cut: Length::nm(500_000),
            reserve_per_board: Length::mm(2),
            people: 1,
            ..Shed::default()
        },
    }
}

fn made(build: &Build, made: Vec<Joint>) -> Making {
    let making = make(build, &Joints { made, unmade: Vec::new() }, &plan(Unit::Millimetre));
    let placed: Vec<&PartKey> =
        making.steps.iter().filter(|step| step.work == Work::Place).flat_map(|step| &step.step.parts).collect();
    assert_eq!(
        placed.len(),
        build.steps.iter().map(|step| step.parts.len()).sum::<usize>(),
        "each part is placed once"
    );
    for (place, step) in making.steps.iter().enumerate() {
        assert!(step.after.iter().all(|&before| before < place), "each step comes after what it waits for");
    }
    making
}

/// The steps that place parts, as given, and what each waits for among those.
fn places(making: &Making) -> Vec<&str> {
    let place = making.steps.iter().filter(|step| step.work == Work::Place);
    place.map(|step| step.step.what.as_str()).collect()
}

fn told(making: &Making, work: Work) -> Vec<&str> {
    making.steps.iter().filter(|step| step.work == work).map(|step| step.step.what.as_str()).collect()
}

#[test]
fn what_needs_no_order_stays_as_it_was_given() {
    let apart = |index: u32| {
        part("p", "board", index, [[0, 100], [0, 20], [i64::from(index) * 100, i64::from(index) * 100 + 50]])
    };
    let build = build((0..3).map(apart).collect(), &[&[2], &[0], &[1]]);
    let making = made(&build, Vec::new());
    assert_eq!(places(&making), ["step 0", "step 1", "step 2"]);
    assert_eq!(making.steps[2].after, [1]);
    assert!(making.notes.is_empty());
}

/// Soil goes in after what it lies in, though that waits for posts that were given later than the boards.
#[test]
fn what_places_nothing_comes_after_all_that_was_given_before_it() {
    let parts = vec![
        part("box", "board", 0, [[0, 900], [-20, 0], [0, 145]]),
        part("posts", "post", 0, [[0, 47], [0, 47], [0, 298]]),
    ];
    let mut build = build(parts, &[&[0]]);
    let step = |what: &str, parts| Step { piece: "soil".into(), what: what.into(), caution: None, parts };
    build.steps.push(step("fill", Vec::new()));
    build.steps.push(Step { piece: "posts".into(), ..step("posts", vec![build.parts[1].key.clone()]) });
    let making = made(&build, vec![joint(0, 1, [0, 1, 0], [23, -20, 70])]);
    assert_eq!(places(&making), ["posts", "step 0", "fill"]);
}

/// A deck board on a joist on a leg, given from the top down.
#[test]
fn what_carries_comes_before_what_it_carries() {
    let parts = vec![
        part("deck", "board", 0, [[0, 900], [0, 145], [121, 142]]),
        part("frame", "joist", 0, [[0, 45], [0, 900], [26, 121]]),
        part("pad", "unit", 0, [[0, 200], [0, 200], [0, 26]]),
    ];
    let making = made(&build(parts, &[&[0], &[1], &[2]]), Vec::new());
    assert_eq!(places(&making), ["step 2", "step 1", "step 0"]);
    assert_eq!(making.steps[2].after, [1], "and not what that waits for");
}

/// Each on the one below, and the top one on all of them by its joints: it waits for the last alone.
#[test]
fn a_step_names_only_what_nothing_else_it_waits_for_waits_for() {
    let layer = |index: u32| {
        part("p", "board", index, [[0, 900], [0, 95], [i64::from(index) * 20, i64::from(index) * 20 + 20]])
    };
    let build = build((0..4).map(layer).collect(), &[&[0], &[1], &[2], &[3]]);
    let making = made(&build, vec![joint(3, 0, [0, 0, -1], [450, 47, 80])]);
    let after: Vec<&[usize]> =
        making.steps.iter().filter(|step| step.work == Work::Place).map(|step| &step.after[..]).collect();
    assert!(after.iter().all(|after| after.len() <= 1), "{after:?}");
}

/// Boards are screwed to posts that stand: the posts come first, the courses keep their order.
#[test]
fn what_is_held_comes_after_a_base_that_stands() {
    let parts = vec![
        part("box", "board", 0, [[0, 900], [-20, 0], [0, 145]]),
        part("box", "board", 1, [[0, 900], [-20, 0], [153, 298]]),
        part("posts", "post", 0, [[0, 47], [0, 47], [0, 298]]),
    ];
    let joints = vec![joint(0, 2, [0, 1, 0], [23, -20, 70]), joint(1, 2, [0, 1, 0], [23, -20, 220])];
    let making = made(&build(parts, &[&[0], &[1], &[2]]), joints);
    assert_eq!(places(&making), ["step 2", "step 0", "step 1"]);
    assert_eq!(making.steps[2].after, [1]);
}

/// A ledger in the air is screwed from inside to a wall that stands, and lies over the heads of the wall's own screws.
#[test]
fn what_covers_heads_comes_after_them_and_a_ledger_after_its_wall() {
    let parts = vec![
        part("seat", "ledger", 0, [[0, 900], [-70, 0], [200, 270]]),
        part("box", "board", 0, [[0, 900], [0, 32], [20, 300]]),
        part("posts", "post", 0, [[0, 70], [32, 102], [20, 300]]),
    ];
    let joints = vec![joint(1, 2, [0, 1, 0], [35, 0, 230]), joint(1, 0, [0, -1, 0], [450, 32, 230])];
    let making = made(&build(parts, &[&[0], &[1], &[2]]), joints);
    assert_eq!(places(&making), ["step 2", "step 1", "step 0"]);
    assert!(making.notes.is_empty());
}

/// A rail below a cap, screwed up into it: the rail first.
#[test]
fn a_cap_held_from_below_comes_after_its_rail() {
    let parts = vec![
        part("cap", "board", 0, [[0, 900], [0, 95], [448, 468]]),
        part("posts", "rail", 0, [[0, 900], [20, 65], [403, 448]]),
    ];
    let making = made(&build(parts, &[&[0], &[1]]), vec![joint(1, 0, [0, 0, 1], [450, 40, 403])]);
    assert_eq!(places(&making), ["step 1", "step 0"]);
}

/// Two steps of which each carries a part of the other: the given order, and it is told.
#[test]
fn a_ring_of_steps_stays_as_given_and_is_told() {
    let parts = vec![
        part("a", "board", 0, [[0, 900], [0, 95], [0, 20]]),
        part("b", "board", 0, [[0, 900], [0, 95], [20, 40]]),
        part("b", "board", 1, [[0, 900], [500, 595], [0, 20]]),
        part("a", "board", 1, [[0, 900], [500, 595], [20, 40]]),
    ];
    let making = made(&build(parts, &[&[0, 3], &[1, 2]]), Vec::new());
    assert_eq!(places(&making), ["step 0", "step 1"]);
    assert_eq!(making.notes.len(), 1);
    assert!(making.notes[0].piece == "a" && making.notes[0].text.contains("`step 0`"), "{}", making.notes[0].text);
}

/// Posts on a floor are measured once the floor is there, then cut and treated, then placed.
#[test]
fn posts_on_a_floor_are_measured_and_treated_before_they_stand() {
    let parts = vec![
        part("posts", "post", 0, [[32, 102], [32, 102], [52, 440]]),
        part("floor", "slat", 0, [[32, 445], [32, 122], [20, 52]]),
    ];
    let making = made(&build(parts, &[&[0], &[1]]), Vec::new());
    let works: Vec<Work> = making.steps.iter().map(|step| step.work).collect();
    assert_eq!(works, [Work::Place, Work::Measure, Work::Treat, Work::Place]);
    let after: Vec<&[usize]> = making.steps.iter().map(|step| &step.after[..]).collect();
    assert_eq!(after, [&[][..], &[0], &[1], &[2]]);
    assert!(
        told(&making, Work::Measure)[0]
            .starts_with("Before you cut parts A of posts, measure the slats of floor as built")
    );
    let treat = &making.steps[2].step;
    assert!(treat.what.contains("as its label says") && treat.caution.is_some() && treat.parts.len() == 1);
}

/// Posts in the ground, then slats: the ground is measured for the posts, the posts as they stand for the slats.
#[test]
fn slats_are_measured_on_posts_that_stand_in_the_ground() {
    let parts = vec![
        part("screen", "post", 0, [[0, 89], [0, 89], [-600, 1200]]),
        part("screen", "slat", 0, [[0, 2100], [-19, 0], [1100, 1189]]),
    ];
    let making = made(&build(parts, &[&[0], &[1]]), vec![joint(1, 0, [0, 1, 0], [45, -19, 1140])]);
    let measured = told(&making, Work::Measure);
    assert!(
        measured[0].starts_with("Before you cut parts A of screen, measure the ground where each of them stands"),
        "{measured:?}"
    );
    assert!(
        measured[1].starts_with("Before you cut parts B of screen, measure the posts of screen as built"),
        "{measured:?}"
    );
    let treated = told(&making, Work::Treat);
    assert_eq!(treated.len(), 1);
    assert!(treated[0].contains("parts A") && treated[0].ends_with("the end that was not cut goes into the ground"));
}

/// Boards that butt against others are treated once, before the first of them is placed.
#[test]
fn covered_ends_are_treated_before_the_first_of_them_is_placed() {
    let course = |low: i64, index: u32| {
        [
            part("box", "board", index, [[0, 900], [0, 20], [low, low + 145]]),
            part("box", "board", index + 1, [[0, 20], [20, 480], [low, low + 145]]),
        ]
    };
    let making = made(&build([course(0, 0), course(145, 2)].concat(), &[&[0, 1], &[2, 3]]), Vec::new());
    let works: Vec<Work> = making.steps.iter().map(|step| step.work).collect();
    assert_eq!(works, [Work::Treat, Work::Place, Work::Place]);
    assert_eq!(making.steps[0].step.parts.len(), 2, "those that stop against another, not those that run past");
    assert!(told(&making, Work::Treat)[0].contains("parts B before"));
}

#[test]
fn tools_follow_from_what_a_step_does() {
    let parts = vec![
        part("box", "board", 0, [[0, 900], [-20, 0], [0, 145]]),
        part("box", "board", 1, [[0, 900], [480, 500], [0, 145]]),
        part("box", "board", 2, [[-20, 0], [0, 480], [0, 145]]),
        part("posts", "post", 0, [[0, 47], [0, 47], [0, 298]]),
        part("ring", "unit", 0, [[2000, 2100], [0, 100], [-100, 0]]),
    ];
    let mut build = build(parts, &[&[0, 1, 2], &[3], &[4]]);
    build.parts[4].stock.kind = StockKind::Unit;
    build.rows.push(Row {
        piece: "box".into(),
        face: "courses".into(),
        length: Length::mm(298),
        pattern: vec![Length::mm(145)],
        count: 2,
        gaps: Share::new(Length::mm(8), 1),
        starts_with_gap: false,
        up: true,
    });
    let joints = || vec![joint(0, 3, [0, 1, 0], [23, -20, 70])];
    let making = made(&build, joints());
    let of = |making: &Making, what: &str| {
        let step = making.steps.iter().find(|step| step.step.what == what).expect("the step");
        step.tools.clone()
    };
    assert_eq!(
        of(&making, "step 0"),
        [
            "saw with a stop",
            "drill with bits 3 mm, 5.5 mm",
            "countersink 10 mm",
            "driver for csk 50 mm",
            "level",
            "square",
            "spacer 8 mm"
        ]
    );
    assert_eq!(of(&making, "step 1"), ["saw", "level"]);
    assert_eq!(of(&making, "step 2"), ["rubber mallet", "string line", "level"]);
    let inches = make(&build, &Joints { made: joints(), unmade: Vec::new() }, &plan(Unit::Inch));
    assert!(of(&inches, "step 0")[1].starts_with("drill with bits 0.1181"), "{:?}", of(&inches, "step 0"));
}

fn with(piece: &str, to: &str, going: Going) -> With {
    With { piece: piece.into(), to: to.into(), going }
}

/// A slat goes into walls that stand, is measured there, and passes before a tie lies over it.
#[test]
fn what_is_laid_loose_goes_in_before_its_way_is_barred() {
    let parts = vec![
        part("posts", "tie", 0, [[400, 445], [20, 480], [200, 220]]),
        part("floor", "slat", 0, [[25, 875], [100, 190], [20, 52]]),
        part("box", "board", 0, [[0, 900], [0, 20], [0, 298]]),
    ];
    let mut build = build(parts, &[&[0], &[1], &[2]]);
    build.with = vec![with("floor", "box", Going::Laid), with("posts", "box", Going::Stands)];
    let making = made(&build, Vec::new());
    assert_eq!(places(&making), ["step 2", "step 1", "step 0"]);
    assert!(told(&making, Work::Measure)[0].starts_with("Before you cut parts B of floor, measure the inside of box"));
}

/// A strip that no screw holds to a box, but which belongs to it, comes after all of the box, wherever its step is written.
#[test]
fn what_is_fixed_to_another_follows_it_without_a_screw() {
    let parts = vec![
        part("skin", "starter", 0, [[0, 900], [-18, 0], [0, 40]]),
        part("box", "board", 0, [[0, 900], [0, 20], [0, 145]]),
        part("box", "board", 1, [[0, 900], [0, 20], [145, 290]]),
    ];
    let mut build = build(parts, &[&[0], &[1], &[2]]);
    build.fixed = vec![Fixed { piece: "skin".into(), to: "box".into() }];
    assert_eq!(places(&made(&build, Vec::new())), ["step 1", "step 2", "step 0"]);
}

/// What is fitted to a box comes once it is together and before what covers it; what it is built on comes first of all.
#[test]
fn what_is_bought_is_fitted_in_its_place() {
    let parts = vec![
        part("box", "board", 0, [[0, 900], [0, 20], [0, 145]]),
        part("box", "board", 1, [[0, 900], [0, 20], [145, 290]]),
        part("cap", "board", 0, [[0, 900], [0, 95], [290, 310]]),
    ];
    let mut build = build(parts, &[&[0], &[1], &[2]]);
    let step = |piece: &str| Step { piece: piece.into(), what: piece.into(), caution: None, parts: Vec::new() };
    build.steps.extend(["feet", "plates", "soil"].map(step));
    build.with = vec![
        with("feet", "box", Going::First),
        with("plates", "box", Going::Fitted),
        with("soil", "box", Going::Fills),
        with("cap", "box", Going::Closes),
    ];
    let making = made(&build, Vec::new());
    assert_eq!(places(&making), ["feet", "step 0", "step 1", "plates", "step 2", "soil"]);
}

/// Soil up to a tier, the tier, soil round it.
#[test]
fn a_tier_comes_between_what_it_stands_on_and_what_goes_round_it() {
    let parts = vec![
        part("tier", "board", 0, [[200, 700], [200, 220], [200, 345]]),
        part("box", "board", 0, [[0, 900], [0, 20], [0, 290]]),
    ];
    let mut build = build(parts, &[&[0], &[1]]);
    let step = |what: &str| Step { piece: "soil".into(), what: what.into(), caution: None, parts: Vec::new() };
    build.steps.extend(["below", "round"].map(step));
    build.with = vec![with("tier", "box", Going::Stands), with("soil", "box", Going::Fills)];
    build.bedded = vec![Bedded { piece: "tier".into(), on: 2 }];
    assert_eq!(places(&made(&build, Vec::new())), ["step 1", "below", "step 0", "round"]);
}

/// Any steps in any order: each part once, no step before one that it waits for, the same twice.
#[test]
fn any_heap_of_boxes_gets_an_order() {
    // Knuth's multiplier of a linear congruence, for numbers that are the same everywhere.
    let mut seed = 1_u64;
    let mut next = |below: u64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from((seed >> 33) % below).expect("a small number")
    };
    for _ in 0..60 {
        let count = 2 + next(12);
        let parts: Vec<Part> = (0..count)
            .map(|index| {
                let [x, y, z] = [next(6), next(6), next(5)].map(|at| at * 100 - 200);
                let size = [next(3) + 1, next(3) + 1, next(2) + 1].map(|size| size * 100);
                let spans = [[x, x + size[0]], [y, y + size[1]], [z, z + size[2]]];
                part(if index % 3 == 0 { "a" } else { "b" }, "board", index as u32, spans)
            })
            .collect();
        let mut steps: Vec<Vec<usize>> = vec![Vec::new(); 4];
        (0..parts.len()).for_each(|part| steps[next(4) as usize].push(part));
        let steps: Vec<&[usize]> = steps.iter().map(Vec::as_slice).filter(|step| !step.is_empty()).collect();
        let joints = vec![joint(0, 1, [0, 1, 0], [next(400), next(400), next(400)])];
        let build = build(parts, &steps);
        let making = made(&build, joints.clone());
        assert_eq!(making, made(&build, joints));
        assert_eq!(places(&making).len(), build.steps.len());
    }
}
