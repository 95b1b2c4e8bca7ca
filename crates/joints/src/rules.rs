//! The rules that the joints' numbers come from, each declared once.

use handbook::movement;
use model::why::{Case, Mark, Rule};

/// The least length of a screw.
pub static LEAST: Rule = Rule {
    id: "screw-least",
    words: "A screw holds if at least 1.5 times the thickness of the held part of it grips the base, and 12 mm more where it runs into end grain, where it counts for little; air that it crosses on its way comes on top",
    formula: "least = held + ⌈held × grip / 10⌉ + more in end grain or through air",
    inputs: &["held", "grip in tenths of it", "more in end grain or through air"],
    source: "total 2.5 to 3 times the held board; the longer of two habits is taken",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [held, tenths, more] => {
            let grip = held.checked_mul(*tenths)?.checked_add(9)?.div_euclid(10);
            held.checked_add(grip)?.checked_add(*more)
        }
        _ => None,
    },
    case: Case {
        given: &[32_000_000, 15, 0],
        gives: 80_000_000,
        source: "a board of 32 wants a screw of 80, worked by hand outside this project",
    },
};

/// The least length of a screw from below.
pub static LEAST_FROM_BELOW: Rule = Rule {
    id: "screw-least-from-below",
    words: "A screw that comes from below, through what bears a board, reaches at least half into that board: it keeps it from lifting and sliding and carries nothing",
    formula: "least = held + ⌈base / 2⌉",
    inputs: &["held", "base"],
    source: "how tops and caps are held from their rails",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [held, base] => held.checked_add(base.checked_add(1)?.div_euclid(2)),
        _ => None,
    },
    case: Case {
        given: &[45_000_000, 20_000_000],
        gives: 55_000_000,
        source: "through a rail of 45 into a cap of 20: 45 + 10, worked by hand",
    },
};

/// The greatest length of a screw.
pub static MOST: Rule = Rule {
    id: "screw-most",
    words: "The tip ends short of the far face of the base",
    formula: "most = held + base - short",
    inputs: &["held", "base", "short"],
    source: "5 mm short, so that a tip neither shows nor is met",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [held, base, short] => held.checked_add(*base)?.checked_sub(*short),
        _ => None,
    },
    case: Case {
        given: &[32_000_000, 45_000_000, 5_000_000],
        gives: 72_000_000,
        source: "a board of 32 in a post of 45: 72 at most, worked by hand outside this project",
    },
};

/// The hole for the thread.
pub static PILOT: Rule = Rule {
    id: "screw-pilot",
    words: "7/8 of the root of the thread in wood up to 600 kg/m³ and the whole root in denser wood, the root being about 2/3 of the diameter, to the nearest drill bit",
    formula: "pilot = diameter × share, to the nearest bit",
    inputs: &["diameter", "share above", "share below", "step of bits"],
    source: "lead holes for side load, NDS (AWC, 2018) 12.1.5.2, as quoted on a page about wood screws; root: USDA Wood Handbook, FPL-GTR-190, p. 8-10",
    mark: Mark::Published,
    compute: |x| match x {
        [diameter, above, below, bits] if *below > 0 && *bits > 0 => {
            let root = diameter.checked_mul(*above)?.checked_mul(2)?;
            let step = below.checked_mul(*bits)?;
            root.checked_add(step)?.div_euclid(step.checked_mul(2)?).checked_mul(*bits)
        }
        _ => None,
    },
    case: Case {
        given: &[5_000_000, 14, 24, 500_000],
        gives: 3_000_000,
        source: "a 5 screw: root 3.33, 7/8 of it 2.92, bit 3.0, worked by hand; the usual table of bits has 3.0",
    },
};

/// The hole through the held part.
pub static CLEARANCE: Rule = Rule {
    id: "screw-clearance",
    words: "The held part is bored to the next drill bit above the diameter, so that the screw turns freely and draws the parts together",
    formula: "clearance = (⌊diameter / step⌋ + 1) × step",
    inputs: &["diameter", "step of bits"],
    source: "the usual table of bits: 4.5 for 4, 5.5 for 5, 6.5 for 6",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [diameter, bits] if *bits > 0 => diameter.div_euclid(*bits).checked_add(1)?.checked_mul(*bits),
        _ => None,
    },
    case: Case { given: &[5_000_000, 500_000], gives: 5_500_000, source: "the usual table of bits: 5.5 for 5" },
};

/// The countersink.
pub static COUNTERSINK: Rule = Rule {
    id: "screw-countersink",
    words: "Countersunk heads are about twice as wide as the thread",
    formula: "countersink = times × diameter",
    inputs: &["diameter", "times"],
    source: "the usual table of bits: 10 to 11 for 5, 12 to 13 for 6",
    mark: Mark::CommonPractice,
    compute: times,
    case: Case { given: &[5_000_000, 2], gives: 10_000_000, source: "the usual table of bits: 10 to 11 for 5" },
};

/// A distance in diameters.
pub static DISTANCE: Rule = Rule {
    id: "screw-distance",
    words: "In pre-drilled wood a screw stays so many diameters from ends, edges and other screws that the wood does not split; it keeps further off an end or edge towards which its load pushes the wood",
    formula: "distance = diameters × diameter",
    inputs: &["diameter", "diameters"],
    source: "LVL Handbook (Federation of the Finnish Woodworking Industries, 2025) Table 5.1, the pattern of EN 1995-1-1 Table 8.2: end 7, loaded 12; edge 3, loaded 7, or 5 for screws thinner than 5 mm; along the grain 5, across 4",
    mark: Mark::Published,
    compute: times,
    case: Case {
        given: &[5_000_000, 7],
        gives: 35_000_000,
        source: "pre-drilled 7 d from the end: 35 for a 5 screw, worked by hand outside this project",
    },
};

/// How far a screw stays from the end of a board that carries only itself.
pub static CLADDING_END: Rule = Rule {
    id: "screw-cladding-end",
    words: "Boards that carry only themselves may be screwed nearer to their ends, but no nearer than to an edge",
    formula: "end = the larger of the cladding rule and the distance from an edge",
    inputs: &["cladding rule", "distance from an edge"],
    source: "at least 20 mm: Timber Decking and Cladding Association, in the TRADA yearbook 2022, p. 117",
    mark: Mark::Published,
    compute: |x| match x {
        [cladding, edge] => Some(*cladding.max(edge)),
        _ => None,
    },
    case: Case { given: &[20_000_000, 15_000_000], gives: 20_000_000, source: "the cladding rule for a 5 screw" },
};

/// How far apart screws of two faces cross.
pub static APART: Rule = Rule {
    id: "screw-apart",
    words: "Screws of two faces that cross in one post keep two diameters from axis to axis, and what a drill held by hand may wander",
    formula: "apart = 2 × diameter + wander",
    inputs: &["diameter", "wander"],
    source: "a diameter of wood stays between them; 3 mm of wander over the depth of a post",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [diameter, wander] => diameter.checked_mul(2)?.checked_add(*wander),
        _ => None,
    },
    case: Case { given: &[5_000_000, 3_000_000], gives: 13_000_000, source: "2 × 5 + 3, worked by hand" },
};

/// How long a slot is.
pub static SLOT: Rule = Rule {
    id: "screw-slot",
    words: "Where a wide board lies across its base its lowest row of screws holds it, and the others stand in slots across the grain, so much longer than the hole is wide as the wood between moves in a year outdoors",
    formula: "slot = ⌈(clearance + distance × C × change) / step⌉ × step, C in hundred-thousandths",
    inputs: &[
        "clearance",
        "distance from the round row",
        "C for each percent",
        "change of moisture in percent",
        "step of bits",
    ],
    source: "change = width × C × change of moisture content: USDA FPL-GTR-190 (2010) Eq. 13-2, p. 13-18; C of wood in general EN 1313-1:2010 clause 5; 12 to 19 % outdoors is common practice",
    mark: Mark::Published,
    compute: |x| match x {
        [clearance, distance, coefficient, change, bits] if *bits > 0 => {
            let moved = distance.checked_mul(*coefficient)?.checked_mul(*change)?;
            let parts = i128::from(movement::PARTS);
            let whole = clearance.checked_mul(parts)?.checked_add(moved)?;
            let step = parts.checked_mul(*bits)?;
            whole.checked_add(step.checked_sub(1)?)?.div_euclid(step).checked_mul(*bits)
        }
        _ => None,
    },
    case: Case {
        given: &[5_500_000, 100_000_000, 323, 7, 500_000],
        gives: 8_000_000,
        source: "a larch board, screws of 5 at 100 from one another: 5.5 + 100 × 0.00323 × 7 = 7.76, worked by hand outside this project",
    },
};

/// How many screws hold a piece.
pub static COUNT: Rule = Rule {
    id: "screws",
    words: "The screws of all joints together",
    formula: "screws = sum of places × screws at each",
    inputs: &["places and screws at each…"],
    source: "counted",
    mark: Mark::Arithmetic,
    compute: |x| {
        let pairs = x.chunks_exact(2);
        let whole = pairs.remainder().is_empty().then_some(0_i128)?;
        pairs.into_iter().try_fold(whole, |sum, pair| sum.checked_add(pair[0].checked_mul(pair[1])?))
    },
    case: Case {
        given: &[24, 2, 12, 2],
        gives: 72,
        source: "24 places on the long sides and 12 on the ends of a trough, two at each, worked by hand outside this project",
    },
};

fn times(x: &[i128]) -> Option<i128> {
    match x {
        [diameter, times] => diameter.checked_mul(*times),
        _ => None,
    }
}

/// Every rule of the joints, in the order of the reference page.
pub static ALL: &[&Rule] = &[
    &LEAST,
    &LEAST_FROM_BELOW,
    &MOST,
    &PILOT,
    &CLEARANCE,
    &COUNTERSINK,
    &DISTANCE,
    &CLADDING_END,
    &APART,
    &SLOT,
    &COUNT,
];

#[cfg(test)]
mod tests {
    use super::*;
    use model::why::check_rule;

    #[test]
    fn every_rule_gives_its_worked_case() {
        ALL.iter().for_each(|rule| check_rule(rule));
    }

    #[test]
    fn names_are_different() {
        let mut ids: Vec<&str> = ALL.iter().map(|rule| rule.id).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), ALL.len());
    }

    #[test]
    fn no_rule_panics_on_huge_numbers() {
        let huge = [i128::MAX, i128::MIN, 1, 0];
        for rule in ALL {
            for count in 0..=5_u32 {
                for turn in 0..huge.len().pow(count) {
                    let digit = |place: u32| huge[turn / huge.len().pow(place) % huge.len()];
                    let given: Vec<i128> = (0..count).map(digit).collect();
                    (rule.compute)(&given);
                }
            }
        }
    }

    /// An example of a page about flooring: a board of 5 in, C 0.00129, from 6 to 9 %, moves 0.019 in. With a clearance of 0 and a
    /// step of 0.001 in the slot is that, rounded up.
    #[test]
    fn a_slot_holds_the_published_movement() {
        const INCH: i128 = 25_400_000;
        let slot = |distance| (SLOT.compute)(&[0, distance, 129, 3, INCH / 1000]).expect("a slot");
        assert_eq!(slot(5 * INCH), 20 * INCH / 1000);
        assert!((5.0 * 0.00129 * 3.0 - 0.019_f64).abs() < 0.0005);
    }

    /// Further from the round row, of wood that moves more, or through a wider hole no slot is shorter.
    #[test]
    fn a_slot_never_gets_shorter() {
        let slot = |given: [i128; 5]| (SLOT.compute)(&given).expect("a slot");
        for bits in [500_000, 396_875] {
            for distance in (0..400_000_000_i128).step_by(7_300_001) {
                for coefficient in [158, 250, 323] {
                    let given = [5_500_000, distance, coefficient, 7, bits];
                    let own = slot(given);
                    assert!(own >= 5_500_000 && own % bits == 0);
                    for (place, more) in [(0, 1), (1, 999_999), (2, 10), (3, 1)] {
                        let mut larger = given;
                        larger[place] += more;
                        assert!(slot(larger) >= own, "{given:?}");
                    }
                }
            }
        }
    }

    /// The usual table of bits (common practice): pilots in softwood 2.0, 2.5, 2.5 to 3.0, 3.0, 4.0 and in dense hardwood
    /// 2.5, 3.0, 3.5, 3.5 to 4.0, 4.5 for screws of 3.5, 4, 4.5, 5, 6. The rule lies within half a millimetre of it.
    #[test]
    fn pilots_lie_near_the_usual_table() {
        let table = [(35, 20, 25), (40, 25, 30), (45, 25, 35), (50, 30, 35), (60, 40, 45)];
        for (tenths, soft, dense) in table {
            for (share, wanted) in [([14, 24], soft), ([2, 3], dense)] {
                let pilot = (PILOT.compute)(&[tenths * 100_000, share[0], share[1], 500_000]).expect("a pilot");
                assert!((pilot - wanted * 100_000).abs() <= 500_000, "{tenths}: {pilot} for {wanted}");
            }
        }
    }
}
