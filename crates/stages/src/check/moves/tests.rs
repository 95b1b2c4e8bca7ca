use super::*;

const MM: i128 = 1_000_000;
const INCH: i128 = 25_400_000;

fn moves(width: i128, c: i128, damp: i128, dry: i128) -> i128 {
    (MOVES.compute)(&[width, c, damp, dry]).expect("a length")
}

/// An example of a page about flooring (read): 5 in, C 0.00129, 6 to 9 %, 0.019 in. A class of Missouri S&T, CE 5260 problem 4.34
/// (read): 13.25 in at 0.2 % for each percent from 19 to 10 %, 0.2385 in. EN 1313-1:2010 clause 5 on a board of 195 from 20 to
/// 12 %: 3.9 mm (worked from the rule that was read). All to a micrometre, or as printed.
#[test]
fn movements_published_elsewhere() {
    assert!((moves(5 * INCH, 129, 900, 600) - 19 * INCH / 1000).abs() < INCH / 2000);
    assert!((moves(1325 * INCH / 100, 200, 1_900, 1_000) - 2_385 * INCH / 10_000).abs() < 1_000);
    assert!((moves(195 * MM, 250, 2_000, 1_200) - 39 * MM / 10).abs() < 1_000);
}

/// A bench of hardwood boards of 145, worked outside this project: 0.26 % for each percent, 12 % when laid, 16 % in the wet season and 9 %
/// in the dry one; 1.5 mm of swelling leave 4.5 of a gap of 6, and 1.1 of shrinking make it 7.1.
#[test]
fn a_bench_through_its_seasons() {
    let tenth = |length: i128| (length + MM / 20) / (MM / 10);
    let (swells, shrinks) = (moves(145 * MM, 260, 1_600, 1_200), moves(145 * MM, 260, 1_200, 900));
    assert_eq!((tenth(swells), tenth(6 * MM - swells)), (15, 45));
    assert_eq!((tenth(shrinks), (OPENS.compute)(&[6 * MM, shrinks]).map(tenth)), (11, Some(71)));
}

/// GTR-190 Table 4-2 (read) at 60 °F, 15.6 °C: 12.1 % at 65 % and 18.2 % at 85 %, within 0.1 %.
#[test]
fn moistures_are_the_table_s() {
    for (humidity, wanted) in [(65, 1_210_i128), (85, 1_820)] {
        let own = (AT_REST.compute)(&[156, humidity]).expect("within the table");
        assert!((own - wanted).abs() <= 10, "{own}");
    }
}

/// Wider boards, of livelier wood, in damper air never move less; and what is solved for a gap takes the movement.
#[test]
fn more_never_moves_less() {
    for width in (20..300).step_by(7) {
        for c in [158, 250, 396] {
            let own = moves(width * MM, c, 1_840, 1_200);
            let more = [
                moves((width + 1) * MM, c, 1_840, 1_200),
                moves(width * MM, c + 1, 1_840, 1_200),
                moves(width * MM, c, 1_841, 1_200),
            ];
            assert!(more.iter().all(|more| *more >= own));
            let gap = enough(own).expect("small").nanometres();
            let own = i64::try_from(own).expect("small");
            assert_eq!(Verdict::of(own, gap), Verdict::Holds);
            assert_eq!((Verdict::of(own, own), Verdict::of(own, own - 1)), (Verdict::Tight, Verdict::Fails));
        }
    }
}
