//! A box and its cladding, weighed by hand.

use super::*;
use measure::{Length, Tape, Unit};
use model::build::Fixed;
use model::part::{At, Axis, Frame, PartKey, Solid};
use model::plan::Prefer;
use model::problem::{File, Place};
use model::stock::{Board, Shed, Yard};

fn board(name: &str, density: Option<u32>) -> Board {
    Board {
        name: name.into(),
        label: name.into(),
        thickness: Length::mm(21),
        thin_edge: None,
        width: Length::mm(145),
        density: density.map(|density| Material::Stated(Density::kg_per_m3(density))),
        treated: None,
        lengths: Vec::new(),
        place: Place { file: File::Yard, bytes: 0..0 },
    }
}

fn plan(boards: [Board; 2], people: u32, lift: Option<Mass>) -> Plan {
    Plan {
        standing: model::standing::Standing::default(),
        title: String::new(),
        tape: Tape::usual(Unit::Millimetre),
        prefer: Prefer::Closest,
        site: model::plan::Site::default(),
        pieces: Vec::new(),
        yard: Yard { currency: "EUR".into(), boards: boards.into(), ..Yard::default() },
        shed: Shed {
            kerf: Length::mm(3),
            trim: Length::mm(10),
            reserve_per_cut: Length::nm(500_000),
            reserve_per_board: Length::mm(2),
            lift,
            people,
            ..Shed::default()
        },
    }
}

/// Four boards of 2400 × 145 × 21 in each of two pieces, the skin fixed to the bed, of the yard's two kinds of board.
fn build() -> Build {
    let part = |piece: &str, letters: &str, place: usize, index: u32| Part {
        key: PartKey { piece: piece.into(), role: "board".into(), face: "front".into(), course: 0, index },
        id: format!("{letters}{}", index + 1),
        stock: StockRef { kind: StockKind::Board, place },
        solid: Solid::square(Length::mm(2400), Length::mm(145), Length::mm(21)),
        at: At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along: Axis::X, across: Axis::Z },
    };
    let bed = (0..4).map(|index| part("bed", "A", 0, index));
    let skin = (0..4).map(|index| part("skin", "B", 1, index));
    let fixed = vec![Fixed { piece: "skin".into(), to: "bed".into() }];
    Build { parts: bed.chain(skin).collect(), fixed, ..Build::default() }
}

fn answers(boards: [Board; 2], people: u32, lift: Option<Mass>) -> Answers {
    let mut answers = Answers::default();
    ask(&build(), &plan(boards, people, lift), &mut answers);
    answers
}

fn told(answers: &Answers) -> Vec<(&str, Verdict, Option<&str>)> {
    answers
        .answers
        .iter()
        .map(|answer| (answer.about.as_str(), answer.verdict, answer.change.as_deref().or(answer.needs.as_deref())))
        .collect()
}

/// A board of 2400 × 145 × 21 at 1000 kg/m³ is 7.308 kg, eight are 58.464 kg: more than two people lift (33.3 kg) and more
/// than four (25 × 4 / 2 = 50), less than five (62.5); worked by hand.
#[test]
fn what_is_joined_is_lifted_together() {
    let answers = answers([board("deal", Some(1000)), board("slat", Some(1000))], 2, None);
    let fix = "put it together where it will stand, or have 5 people move it";
    assert_eq!(
        told(&answers),
        [
            ("the heaviest part of bed", Verdict::Holds, None),
            ("the heaviest part of skin", Verdict::Holds, None),
            ("bed and skin, put together", Verdict::Fails, Some(fix)),
        ]
    );
    let value =
        |name: &str| answers.quantities.iter().find(|quantity| quantity.name == name).map(|own| own.value.value);
    assert_eq!([value("bed.lifted"), value("carry.limit")], [Some(58_464_000), Some(33_300_000)]);
}

#[test]
fn what_nobody_can_weigh_is_not_dropped() {
    let missing = "give `slat` its `material` or `density` in the yard";
    assert_eq!(
        told(&answers([board("deal", Some(1000)), board("slat", None)], 2, None)),
        [
            ("the heaviest part of bed", Verdict::Holds, None),
            ("skin", Verdict::CannotTell, Some(missing)),
            ("bed and skin, put together", Verdict::CannotTell, Some(missing)),
        ]
    );
    let both = answers([board("deal", None), board("slat", None)], 2, None);
    let change = both.answers.last().and_then(|answer| answer.needs.as_deref());
    let first = "give `deal` its `material` or `density` in the yard";
    assert_eq!(change, Some(format!("{first}, and {missing}").as_str()));
}

#[test]
fn a_limit_too_large_to_be_written_is_no_limit() {
    let answers = answers([board("deal", Some(1000)), board("slat", Some(1000))], 20, Some(Mass::milligrams(i64::MAX)));
    assert!(answers.answers.iter().all(|answer| answer.verdict == Verdict::CannotTell), "{:?}", answers.answers);
    assert_eq!(answers.answers.len(), 3);
}
