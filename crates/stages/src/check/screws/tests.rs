use super::*;
use crate::check::Verdict;

const MM: i128 = 1_000_000;

fn by(rule: &Rule, given: &[i128]) -> i128 {
    (rule.compute)(given).expect("a number")
}

fn verdict(value: i128, limit: i128) -> Verdict {
    Verdict::of(i64::try_from(value).expect("small"), i64::try_from(limit).expect("small"))
}

/// A trough's boards of 20 on posts of 47, worked outside this project: of screws of 40, 50, 60 and 70 the 50 and the 60 hold and do
/// not poke through. The 40 grips 20 of the 30 that NDS 12.1.5.6 asks of a 5 screw (6 D, as coded in an open library).
#[test]
fn of_four_lengths_two_fit_a_trough() {
    let fits = |length: i128| {
        let grip = by(&GRIP, &[length * MM, 20 * MM]);
        let left = by(&LEFT, &[67 * MM, length * MM, MM]);
        let least = by(&GRIP_LEAST, &[5 * MM, 6]);
        verdict(least, grip) != Verdict::Fails && verdict(2 * MM, left) != Verdict::Fails
    };
    assert_eq!([40, 50, 60, 70].map(fits), [false, true, true, false]);
}

/// Boards of 21 on joists 95 deep, worked outside this project: 55, 60 and 70 pass. All of them grip 6 D of a 5 screw.
#[test]
fn long_screws_fit_a_deep_joist() {
    for length in [55, 60, 70] {
        let left = by(&LEFT, &[(21 + 95) * MM, length * MM, MM]);
        assert!(by(&GRIP, &[length * MM, 21 * MM]) >= 30 * MM && left >= 2 * MM, "{length}");
    }
}

/// LVL Handbook (2025) Table 5.1, pre-drilled: a3,c 7 d, so 35 for a 5 screw; TRADA yearbook 2022: 20 mm from the end of cladding,
/// which 3 d of a screw from 6.7 mm on pass.
#[test]
fn ends_by_the_tables() {
    assert_eq!(by(&END_LEAST, &[5 * MM, 7, 0]), 35 * MM);
    assert_eq!(by(&END_LEAST, &[5 * MM, 3, 20 * MM]), 20 * MM);
    assert_eq!(by(&END_LEAST, &[8 * MM, 3, 20 * MM]), 24 * MM);
    assert_eq!((verdict(35 * MM, 35 * MM), verdict(35 * MM, 34 * MM)), (Verdict::Tight, Verdict::Fails));
}

/// A longer screw never grips less and never leaves more; a thicker one never asks for less.
#[test]
fn longer_grips_more_and_leaves_less() {
    for length in 20..200 {
        let [one, next] = [length, length + 1]
            .map(|length: i128| (by(&GRIP, &[length * MM, 20 * MM]), by(&LEFT, &[250 * MM, length * MM, MM])));
        assert!(one.0 < next.0 && one.1 > next.1);
    }
    for diameter in 20..120_i128 {
        let all =
            |diameter| (by(&GRIP_LEAST, &[diameter * MM / 10, 6]), by(&END_LEAST, &[diameter * MM / 10, 3, 20 * MM]));
        let ((a, b), (c, d)) = (all(diameter), all(diameter + 1));
        assert!(a < c && b <= d);
    }
}

#[test]
fn the_next_usual_length_lies_between() {
    let mm = |least, most| next_standard(Unit::Millimetre, Length::mm(least), Length::mm(most));
    assert_eq!((mm(48, 62), mm(51, 59), mm(60, 60)), (Some(Length::mm(50)), None, Some(Length::mm(60))));
    // 2-1/2 times 3/4 in are 1-7/8 in: a 2 in screw is the next (worked outside this project).
    let inch = next_standard(Unit::Inch, Length::inch_64ths(120), Length::inch_64ths(200));
    assert_eq!(inch, Some(Length::inch_64ths(128)));
}
