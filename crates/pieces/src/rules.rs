//! The rules that the pieces' numbers come from, each declared once.

use measure::Length;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

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

/// How many bays there are between members that stand no further apart than a spacing.
pub static AS_NEEDED: Rule = Rule {
    id: "as-needed",
    words: "As few equal bays as keep the members no further apart than the spacing, from centre to centre, with one at each end",
    formula: "bays = ⌈reach / spacing⌉, at least 1; members = bays + 1",
    inputs: &["reach", "spacing"],
    source: "how joists and posts are spaced: n = ⌈(F - m) / s⌉ bays over F from end to end with members m wide",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [reach, spacing] if *spacing > 0 => Some((reach + spacing - 1).div_euclid(*spacing).max(1)),
        _ => None,
    },
    case: Case {
        given: &[1_423_000_000, 600_000_000],
        gives: 3,
        source: "posts of 47 in a trough 1470 long inside, at most 600 apart: three bays, worked outside this project",
    },
};

/// How far members that are spaced evenly stand from one another.
pub static PITCH: Rule = Rule {
    id: "pitch",
    words: "Members that are spaced evenly share the way from the first to the last",
    formula: "pitch = reach / bays",
    inputs: &["reach", "bays"],
    source: "how joists and posts are spaced",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [reach, bays] if *bays > 0 => Some(reach.div_euclid(*bays)),
        _ => None,
    },
    case: Case {
        given: &[1_423_000_000, 3],
        gives: 474_333_333,
        source: "1423 over three bays is 474.3, worked outside this project",
    },
};

/// The length of a part that stops short of both ends of what it lies along.
pub static BETWEEN_ENDS: Rule = Rule {
    id: "between-ends",
    words: "A part that keeps as much off both ends of what it lies along is as long as that, less both",
    formula: "length = from end to end - 2 × off each end",
    inputs: &["from end to end", "off each end"],
    source: "the plan",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [whole, off] => Some(whole - 2 * off),
        _ => None,
    },
    case: Case {
        given: &[1_202_000_000, 20_000_000],
        gives: 1_162_000_000,
        source: "a frame 20 in from both edges of a deck 1202 wide is 1162, worked outside this project",
    },
};

/// The length of a part that stops short of both ends, with its why.
pub(crate) fn between_ends(name: String, what: &str, whole: Length, off: Length) -> Option<Quantity> {
    let inputs = vec![
        Input::new("from end to end", Value::length(whole)),
        Input::new("what it keeps off each end", Value::length(off)),
    ];
    Quantity::by(name, what, Of::Length, &BETWEEN_ENDS, inputs)
}

/// The length of a leg.
pub static LEG: Rule = Rule {
    id: "leg",
    words: "A leg reaches from what lies under it on the ground up to where it ends",
    formula: "length = upper end - ground - what lies under it",
    inputs: &["upper end", "ground", "what lies under it"],
    source: "the plan and the levels of the ground",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [upper, ground, pad] => Some(upper - ground - pad),
        _ => None,
    },
    case: Case {
        given: &[284_000_000, -24_000_000, 50_000_000],
        gives: 258_000_000,
        source: "under a frame 284 up, on a pad of 50 where the ground is 24 lower: 258, worked outside this project",
    },
};

/// The length of a leg, with its why.
pub(crate) fn leg_length(name: String, upper: Length, ground: Length, pad: Length) -> Option<Quantity> {
    let inputs = vec![
        Input::new("upper end", Value::length(upper)),
        Input::new("the ground", Value::length(ground)),
        Input::new("what lies under it", Value::length(pad)),
    ];
    Quantity::by(name, "length of the leg", Of::Length, &LEG, inputs)
}

/// All rules of this crate, for the reference page and the tests.
pub static ALL: &[&Rule] = &[
    &crate::cladding::OVERLAP,
    &crate::cladding::whys::SLANT,
    &crate::cladding::whys::COVER,
    &crate::cladding::whys::LAP,
    &crate::cladding::whys::LAPPED_LEAN,
    &crate::cladding::whys::STAND_OFF,
    &crate::cladding::whys::LAPPED_DEPTH,
    &crate::cladding::whys::LEFT,
    &crate::cladding::whys::STARTER,
    &crate::cladding::whys::SCREW_LINE,
    &crate::shaped::marks::SHOULDER,
    &crate::shaped::marks::RUN,
    &crate::shaped::marks::CUT,
    &crate::shaped::marks::RADIUS,
    &crate::shaped::marks::LOST,
    &crate::shaped::marks::LOST_ROUND,
    &crate::angles::MITRE,
    &crate::angles::LEAN,
    &crate::angles::SAW,
    &crate::angles::TILT,
    &crate::walls::batter::PLUMB_HEIGHT,
    &crate::walls::batter::LEANING_LENGTH,
    &crate::walls::ribs::BOARDS,
    &crate::walls::ribs::JOINED_LENGTH,
    &FITTED,
    &GAP,
    &PATTERN_GAP,
    &ROW_LENGTH,
    &UPRIGHT,
    &AS_NEEDED,
    &PITCH,
    &BETWEEN_ENDS,
    &LEG,
    &crate::slats::CLEAR,
    &crate::frame::BOLTS,
    &crate::fittings::FITTINGS,
    &crate::pad::ALL_ROUND,
    &crate::pad::FIELD,
    &crate::screen::BURIED,
    &crate::screen::POST,
    &crate::screen::HOLE,
    &crate::screen::CONCRETE,
    &crate::screen::RAIL,
    &crate::posts::POST_LENGTH,
    &crate::posts::RAIL_LENGTH,
    &crate::posts::planed::BEVEL,
    &crate::floor::drain::HOLES,
    &crate::floor::drain::FIRST_HOLE,
    &crate::floor::drain::SHARE,
    &crate::floor::drain::HOLES_INSIDE,
    &crate::floor::drain::SHARE_OF_AREA,
    &crate::floor::slats::SLAT,
    &crate::reach::REACH,
    &crate::fill::FILL,
    &crate::fill::ORDER,
    &crate::fill::WET,
    &crate::fill::room::BOX,
    &crate::fill::room::PRISM,
    &crate::fill::room::PRISMOID,
    &crate::liner::LINER,
    &crate::liner::OFF_ROLL,
    &crate::finish::AREA,
    &crate::finish::LITRES,
];

#[cfg(test)]
mod tests {
    #[test]
    fn every_rule_gives_its_case() {
        super::ALL.iter().for_each(|rule| model::why::check_rule(rule));
    }
}
