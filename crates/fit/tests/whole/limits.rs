//! Limits, stops and nonsense: never a panic, never a hang, never a wrong "proven".

use super::builders::*;
use super::referee::check_closing;
use fit::*;

fn ring() -> Problem {
    let faces = [affine(&[(0, 1)], 100), affine(&[(1, 1)], 100), affine(&[(0, 1), (1, -1)], 0)];
    Problem {
        sizes: vec![size("length", 1, wish(2200, 2050, 2350, 1)), size("width", 1, wish(1200, 1050, 1350, 1))],
        gaps: vec![gap("joint", wish(10, 4, 12, 0))],
        runs: faces.map(|face| run("row", face, 90, 0, 0)).to_vec(),
        ..Problem::default()
    }
}

#[test]
fn a_stop_lists_what_was_found() {
    let problem = ring();
    let mut stopped = 0;
    for steps in 0..400 {
        let limits = Limits { steps, ..Limits::default() };
        match solve(&problem, Ranking::AsWished, &limits, &|| false).expect("a sound problem") {
            Outcome::Fits(answer) => {
                stopped += u32::from(answer.status == Status::StepLimit);
                assert!(answer.steps <= steps);
                assert!(answer.status == Status::Proven || answer.proof.is_none());
                for closing in &answer.closings {
                    check_closing(&problem, Ranking::AsWished, closing).expect("valid");
                    for (x, room) in closing.sizes.iter().zip(&closing.room) {
                        assert!(room.0 <= *x && *x <= room.1);
                    }
                }
            }
            Outcome::Unfinished { steps: used } => assert!(used <= steps),
            Outcome::Collides(_) => panic!("it comes out"),
        }
    }
    assert!(stopped > 3, "{stopped}");
}

#[test]
fn the_caller_may_stop_it() {
    let asked = std::cell::Cell::new(0);
    let cancel = || {
        asked.set(asked.get() + 1);
        asked.get() > 2
    };
    let limits = Limits { keep: 10_000, ..Limits::default() };
    match solve(&ring(), Ranking::AsWished, &limits, &cancel).expect("a sound problem") {
        Outcome::Fits(answer) => assert_eq!(answer.status, Status::Cancelled),
        other => panic!("{other:?}"),
    }
    let at_once = solve(&ring(), Ranking::AsWished, &limits, &|| true);
    assert_eq!(at_once, Ok(Outcome::Unfinished { steps: 0 }));
}

#[test]
fn a_milliard_of_boards() {
    let mut problem = ring();
    for run in &mut problem.runs {
        run.count = (1, 1_000_000_000);
    }
    // A face of a hundred thousand kilometres in millimetres, and a range as wide.
    problem.sizes[0].wish = wish(100_000_000_000, 1, 200_000_000_000, 1);
    let answer = fits(&problem, Ranking::AsWished, &Limits::default());
    assert_eq!(answer.status, Status::Proven);
    assert!(answer.found.capped);
    let collides = Problem {
        runs: vec![Run { count: (1_000_000_000, 1_000_000_000), ..run("row", affine(&[(0, 1)], 0), 100 * MM, -1, 0) }],
        sizes: vec![size("length", MM, wish(1500 * MM, 1350 * MM, 1650 * MM, 0))],
        gaps: vec![gap("joint", wish(10 * MM, 8 * MM, 12 * MM, 1))],
        ..Problem::default()
    };
    match solve(&collides, Ranking::AsWished, &Limits::default(), &|| false) {
        Ok(Outcome::Collides(collision)) => {
            assert_eq!(collision.set, [WishRef::Count(0)]);
            // 1350 to 1650 hold 13 to 15 at 8 to 12; the nearest count is the greatest of them.
            assert_eq!(collision.relaxations[0].closing.counts, [Some(15)]);
            assert_eq!(collision.relaxations[0].by, 1_000_000_000 - 15);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn nonsense_is_a_fault() {
    type Spoil = fn(&mut Problem);
    let breaks: [(&str, Spoil); 13] = [
        ("step", |p| p.sizes[0].step = 0),
        ("step", |p| p.sizes[0].step = i64::MIN),
        ("size range", |p| p.sizes[0].wish.from = i64::MAX),
        ("weight", |p| p.sizes[1].wish.weight = -1),
        ("reach", |p| p.sizes[1].wish.reach = (1, 0)),
        ("face index", |p| p.runs[0].face.terms[0].0 = 9),
        ("gap index", |p| p.runs[0].gap = 1),
        ("choice index", |p| p.runs[0].when.push((0, 0))),
        ("member", |p| p.runs[0].member = -4),
        ("scale", |p| p.runs[0].gap_scale = 0),
        ("count range", |p| p.runs[0].count = (5, 4)),
        ("no pitch", |p| p.gaps[0].wish.from = -90),
        ("no options", |p| {
            p.choices.push(Choice { name: "corner".into(), options: vec![], pinned: None });
        }),
    ];
    for (name, spoil) in breaks {
        let mut problem = ring();
        spoil(&mut problem);
        let limits = Limits::default();
        let fault = solve(&problem, Ranking::AsWished, &limits, &|| false);
        assert!(fault.is_err(), "{name}");
        assert!(explain(&problem, &limits, &|| false).is_err(), "{name}");
        assert!(windows(&problem, 0, &[], (0, 10)).is_err(), "{name}");
        assert!(!fault.unwrap_err().to_string().is_empty());
    }
}

#[test]
fn the_largest_numbers_end_in_a_fault_or_an_answer() {
    let spoils: [fn(&mut Problem, i64); 9] = [
        |p, x| p.sizes[0].wish.to = x,
        |p, x| p.sizes[0].wish.from = x,
        |p, x| p.sizes[0].wish.want = x,
        |p, x| p.sizes[0].origin = x,
        |p, x| p.runs[0].member = x,
        |p, x| p.runs[0].face.constant = x,
        |p, x| p.runs[0].face.terms[0].1 = x,
        |p, x| p.runs[0].end_gaps = x,
        |p, x| p.gaps[0].wish.weight = x,
    ];
    let limits = Limits { steps: 2_000, ..Limits::default() };
    for first in spoils {
        for second in spoils {
            for x in [i64::MAX, i64::MIN, i64::MAX - 1] {
                let mut problem = ring();
                first(&mut problem, x);
                second(&mut problem, x);
                problem.runs[1].count.1 = i64::MAX;
                // No panic and no hang is what is asked; each answer that does come has to be sound.
                if let Ok(Outcome::Fits(answer)) = solve(&problem, Ranking::AsWished, &limits, &|| false) {
                    for closing in &answer.closings {
                        check_closing(&problem, Ranking::AsWished, closing).expect("valid");
                    }
                }
                let _ = windows(&problem, 0, &[], (i64::MIN, i64::MAX));
                let _ = explain(&problem, &limits, &|| false);
            }
        }
    }
}

#[test]
fn windows_have_a_limit_and_check_their_call() {
    let problem = ring();
    let far = windows(&problem, 0, &[], (0, 1 << 40));
    assert!(far.is_ok_and(|list| list.len() < 100), "wide gaps close everywhere from some length on");
    let mut narrow = problem.clone();
    narrow.gaps[0].wish = wish(10, 10, 10, 0);
    narrow.runs.iter_mut().for_each(|run| run.count.1 = 1_000_000);
    let limit = MOST_WINDOWS;
    let far = windows(&narrow, 0, &[], (0, 1 << 40));
    assert_eq!(far, Err(Fault::TooManyWindows { limit }));
    assert!(windows(&problem, 2, &[], (0, 1)).is_err());
    assert!(windows(&problem, 0, &[0], (0, 1)).is_err());
    assert_eq!(windows(&problem, 0, &[], (10, 0)), Ok(vec![]));
}

#[test]
fn an_empty_problem_comes_out() {
    let answer = fits(&Problem::default(), Ranking::AsWished, &Limits::default());
    assert_eq!((answer.closings.len(), answer.found.count), (1, 1));
}

#[test]
fn the_same_problem_gives_the_same_answer() {
    let limits = Limits::default();
    let first = fits(&ring(), Ranking::SizesFirst, &limits);
    assert_eq!(first, fits(&ring(), Ranking::SizesFirst, &limits));
}
