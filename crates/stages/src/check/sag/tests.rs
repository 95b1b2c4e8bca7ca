//! Seats and decks under people: against worked examples, on both sides of the limit, and changed one way at a time.

use super::super::plans::{asked, number, to};
use super::*;

/// A deck of boards so thick on joists at most so far apart, on legs.
fn deck(thickness: i64, spacing: i64, more: &str) -> Answers {
    let pieces = format!(
        "[piece.deck]\nis = \"slats\"\nboard = \"board\"\ngap = 6\nboards = \"along\"\nlength = {{ exactly = 2000 }}\nwidth = {{ want = 1200, from = 1000, to = 1400 }}\ntop = 450\n{more}\
         [piece.frame]\nis = \"frame\"\nunder = \"deck\"\nboard = \"joist\"\nspacing = {spacing}\nleg = \"leg\"\nscrew = \"long\"\n"
    );
    let yard = format!(
        "[board.board]\nthickness = {thickness}\nwidth = 120\nmaterial = \"larch\"\nlengths = [{{ length = 6000 }}]\n\
         [board.joist]\nthickness = 45\nwidth = 145\nmaterial = \"softwood-c24\"\nlengths = [{{ length = 6000 }}]\n\
         [board.leg]\nthickness = 90\nwidth = 90\nmaterial = \"softwood-c24\"\nlengths = [{{ length = 6000 }}]\n\
         [screw.long]\ndiameter = 5\nlengths = [{{ length = 60, boxes = [{{ count = 100 }}] }}, {{ length = 80, boxes = [{{ count = 100 }}] }}, {{ length = 100, boxes = [{{ count = 100 }}] }}]\n"
    );
    asked("", &pieces, &yard)
}

fn verdicts(answers: &Answers) -> Vec<Verdict> {
    to(answers, ASKS).map(|answer| answer.verdict).collect()
}

/// Slats 90 × 32 under 1 kN, E 8000 N/mm²: without a bearer over 1544 they sag 39.0 against 7.7, with one 4.9 against 3.9, with two 1.4
/// against 2.6; worked outside this project, to its tenth.
#[test]
fn slats_sag_as_worked() {
    for (span, sag, most) in [(1_544_000_000, 39.0, 7.7), (772_000_000, 4.9, 3.9), (514_666_667, 1.4, 2.6)] {
        let own = (POINT_SAG.compute)(&[1_000_000, span, 90_000_000, 32_000_000, 8_000_000_000]).expect("a sag");
        let limit = (bend::MOST_BEND.compute)(&[span, 200_000]).expect("a limit");
        assert!((own as f64 / 1e6 - sag).abs() < 0.05, "{own}");
        assert!((limit as f64 / 1e6 - most).abs() < 0.051, "{limit}");
    }
}

/// HUD Residential Structural Design Guide (2017) Example 5.1: 2 × 8 joists (1.5 × 7.25 in) at 16 in, 10 + 30 lb/ft², Fb' 1345 lb/in²
/// allow 14.87 ft in bending; 30 lb/ft² with E 1.5 × 10⁶ lb/in² allow 13.8 ft at L/360. Within half a percent, and 0.05 ft in the cube.
#[test]
fn joists_span_as_in_the_guide() {
    let (inch, psf, psi) = (25_400_000.0, 47.880_26, 6_894.757);
    let nm = |inches: f64| (inches * inch) as i128;
    let stress = (JOIST_STRESS.compute)(&[(40.0 * psf) as i128, nm(16.0), nm(14.87 * 12.0), nm(1.5), nm(7.25)]);
    let stress = stress.expect("a stress") as f64 / psi;
    assert!((stress / 1345.0 - 1.0).abs() < 0.005, "{stress}");
    let sag = |feet: f64| {
        let x = [(30.0 * psf) as i128, nm(16.0), nm(feet * 12.0), nm(1.5), nm(7.25), (1.5e6 * psi) as i128];
        (JOIST_SAG.compute)(&x).expect("a sag") as f64 / (feet * 12.0 * inch / 360.0)
    };
    assert!(sag(13.75) < 1.0 && sag(13.86) > 1.0, "{} {}", sag(13.75), sag(13.86));
}

/// A Southern Pine 2 × 10 (38.1 × 234.95) over 16 ft (4.8768 m) under 77.3 lb/ft (1128.1 N/m), E 9.7 GPa: 20.80 mm, the test of an open
/// engineering library; within half a percent.
#[test]
fn a_joist_of_southern_pine_sags_as_published() {
    let sag = (JOIST_SAG.compute)(&[1_128, 1_000_000_000, 4_876_800_000, 38_100_000, 234_950_000, 9_700_000_000]);
    let sag = sag.expect("a sag") as f64 / 1e6;
    assert!((sag / 20.80 - 1.0).abs() < 0.005, "{sag}");
}

#[test]
fn a_deck_is_asked_for_its_boards_and_its_joists() {
    let answers = deck(28, 400, "");
    assert_eq!(to(&answers, ASKS).count(), 4, "{:?}", to(&answers, ASKS).map(|a| a.about.clone()).collect::<Vec<_>>());
    assert!(!verdicts(&answers).contains(&Verdict::Fails), "{answers:?}");
    assert_eq!(
        to(&deck(28, 400, "bears = \"things\"\n"), ASKS).filter(|answer| answer.about.starts_with("deck")).count(),
        0
    );
}

/// Joists far apart under thin boards: they fail, and the spacing that is said to hold does.
#[test]
fn the_solved_spacing_holds() {
    let answers = deck(21, 1000, "");
    let change = to(&answers, ASKS).find_map(|answer| answer.change.clone()).expect("a change");
    let apart: i64 = change
        .split("at least every ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next())
        .and_then(|mm| mm.parse().ok())
        .expect("a span");
    let boards = |spacing: i64| {
        to(&deck(21, spacing, ""), ASKS)
            .filter(|answer| answer.about.starts_with("deck"))
            .map(|answer| answer.verdict)
            .collect::<Vec<_>>()
    };
    assert!(boards(1000).contains(&Verdict::Fails));
    assert!(!boards(apart).contains(&Verdict::Fails), "{change}");
}

#[test]
fn thicker_and_closer_are_never_worse() {
    let of = |thickness: i64, spacing: i64| {
        ["deck.sag", "deck.stress"].map(|name| number(&deck(thickness, spacing, ""), name))
    };
    for (thickness, spacing) in [(21, 500), (28, 700), (35, 900)] {
        let (own, thicker, closer) = (of(thickness, spacing), of(thickness + 4, spacing), of(thickness, spacing / 2));
        assert!(own.iter().zip(&thicker).all(|(own, thicker)| thicker < own), "{thickness}");
        assert!(own.iter().zip(&closer).all(|(own, closer)| closer <= own), "{spacing}");
    }
}
