//! The rules that the pieces' numbers come from, each declared once.

use model::why::{Case, Mark, Rule};

/// A size that fit has decided.
pub static FITTED: Rule = Rule {
    id: "fitted",
    words: "Among all sizes in the stated ranges at which every row closes, the nearest to the wishes in the order of their ranks; the search and its proof stand in the record",
    formula: "size = wish + move",
    inputs: &["wish", "move"],
    source: "the plan's wishes and the engine's proof",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [wish, moved] => Some(wish + moved),
        _ => None,
    },
    case: Case { given: &[1_500_000_000, 10_000_000], gives: 1_510_000_000, source: "1500 wished, 1510 comes out" },
};

/// The gap of a row: what the members leave, shared evenly.
pub static GAP: Rule = Rule {
    id: "gap",
    words: "What the members leave of the row is shared evenly over its gaps",
    formula: "gap = (row - members × member) / gaps",
    inputs: &["row", "members", "member", "gaps"],
    source: "n b + (n - 1 + e) g = F, the closing rule of runs",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [row, members, member, gaps] if *gaps > 0 => Some((row - members * member).div_euclid(*gaps)),
        _ => None,
    },
    case: Case {
        given: &[1_174_750_000, 11, 88_900_000, 10],
        gives: 19_685_000,
        source: "46-1/4 in, eleven slats of 3-1/2 in: gap 0.775 in, worked by hand",
    },
};

/// The gap of a row whose members come in a pattern.
pub static PATTERN_GAP: Rule = Rule {
    id: "pattern-gap",
    words: "What the members of all widths leave of the row is shared evenly over its gaps",
    formula: "gap = (row - members together) / gaps",
    inputs: &["row", "members together", "gaps"],
    source: "n (U + p g) + e g = F for a pattern of p members, U wide in all",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [row, members, gaps] if *gaps > 0 => Some((row - members).div_euclid(*gaps)),
        _ => None,
    },
    case: Case {
        given: &[1_000_000_000, 940_000_000, 12],
        gives: 5_000_000,
        source: "in 1000 mm seven boards of 100 and six of 40 leave 60 for twelve gaps: 5 each, worked by hand",
    },
};

/// The length of a part that runs along a side.
pub static ROW_LENGTH: Rule = Rule {
    id: "row-length",
    words: "A part along a side is as long as the side and what it reaches beyond its two corners: the neighbour's thickness where it runs past, less that thickness where it stops behind",
    formula: "length = side + reach at start + reach at end",
    inputs: &["side", "reach at start", "reach at end"],
    source: "the corner law; box walls: through L, between L - 2t, pinwheel L - t",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [side, start, end] => Some(side + start + end),
        _ => None,
    },
    case: Case {
        given: &[520_000_000, -20_000_000, -20_000_000],
        gives: 480_000_000,
        source: "an end board between long sides of 20 on a trough 520 wide is 480, worked by hand",
    },
};

/// The height of an upright part.
pub static UPRIGHT: Rule = Rule {
    id: "upright",
    words: "An upright board reaches from its lower edge to the upper edge of what it clads",
    formula: "length = top - bottom - off the ground",
    inputs: &["top", "bottom", "off the ground"],
    source: "the plan",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [top, bottom, raised] => Some(top - bottom - raised),
        _ => None,
    },
    case: Case { given: &[450_000_000, 0, 10_000_000], gives: 440_000_000, source: "450 high, 10 off the ground" },
};

/// All rules of this crate, for the reference page and the tests.
pub static ALL: [&Rule; 5] = [&FITTED, &GAP, &PATTERN_GAP, &ROW_LENGTH, &UPRIGHT];

#[cfg(test)]
mod tests {
    #[test]
    fn every_rule_gives_its_case() {
        super::ALL.into_iter().for_each(model::why::check_rule);
    }
}
