//! *Do the screws fit?* Whether every place that wants a screw has one, how deep it grips, how far its tip is from the far face once
//! its head is sunk, and how far it keeps from the ends of what it holds. The screws themselves are placed by `joints`; here what
//! came out is measured again.

use super::judge::{AS_PLACED, Ask, BY_THE_BOOK, by_piece, judge, keys, one};
use super::{Answer, Answers, Case as Asked, Question};
use handbook::fasteners;
use measure::{Length, Unit};
use model::joint::{Joint, NoScrew, Unmade};
use model::part::{Part, UNIT, from_mm};
use model::stock::Screw;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

#[cfg(test)]
mod tests;

const ASKS: &str = "Do the screws fit?";

/// The question.
pub(super) static QUESTION: Question = Question {
    asks: ASKS,
    looks_at: "Of each piece that is screwed to another: the places where no screw on sale will do; the least grip of a thread; the least wood between a tip and the far face once the head is sunk; the least distance of a screw from the end of what it holds",
    formula: "grip = length − what is before the base ≥ 6 d; left = the way to the far face − length − sunk; end ≥ 7 d, or 20 mm and 3 d where a board carries only itself, all pre-drilled",
    source: "grip: NDS (AWC, 2018) 12.1.5.6, as coded in an open library; ends: LVL Handbook (2025) Table 5.1, the pattern of EN 1995-1-1 Table 8.2; cladding: TRADA yearbook 2022; the sunk head is common practice",
    holds_for: "screws square to the faces they go through, in holes drilled first. What a screw carries is another question; screws from below, which only keep a board down, and those of boards that carry only themselves are not asked for six diameters (joints give them half the board above, or 1.5 times its thickness); mitred ends are not measured. Distances towards a loaded end or edge are kept where the screws are placed. Boxes are counted in the buying list",
    rules: &[&OPEN, &GRIP_LEAST, &GRIP, &LEFT, &END_LEAST, &AS_PLACED, &BY_THE_BOOK],
    ask,
};

/// Places without a screw.
static OPEN: Rule = Rule {
    id: "screw-open",
    words: "Places where a part should be screwed to another, less those that have their screws",
    formula: "open = places - made",
    inputs: &["places", "made"],
    source: "the list of joints",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [places, made] => places.checked_sub(*made),
        _ => None,
    },
    case: Case { given: &[36, 24], gives: 12, source: "of 36 places 24 have screws" },
};

/// The least grip.
static GRIP_LEAST: Rule = Rule {
    id: "screw-grip-least",
    words: "A wood screw that carries anything goes at least six diameters into the base",
    formula: "least grip = 6 × diameter",
    inputs: &["diameter", "diameters"],
    source: "NDS (AWC, 2018) 12.1.5.6, as coded in an open library",
    mark: Mark::Published,
    compute: |x| match x {
        [diameter, times] => diameter.checked_mul(*times),
        _ => None,
    },
    case: Case { given: &[5_000_000, 6], gives: 30_000_000, source: "six times 5 mm, worked by hand" },
};

/// The grip.
static GRIP: Rule = Rule {
    id: "screw-grip",
    words: "What of a screw is in the base",
    formula: "grip = length - what is before the base",
    inputs: &["length", "before the base"],
    source: "the joints as placed",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [length, before] => length.checked_sub(*before),
        _ => None,
    },
    case: Case { given: &[50_000_000, 20_000_000], gives: 30_000_000, source: "a 50 through a board of 20" },
};

/// What is left beyond a tip.
static LEFT: Rule = Rule {
    id: "screw-left",
    words: "The wood between the tip and the far face of the base, once the head is sunk below its own face",
    formula: "left = way to the far face - length - sunk",
    inputs: &["way to the far face", "length", "sunk"],
    source: "the stack of thicknesses",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [way, length, sunk] => way.checked_sub(*length)?.checked_sub(*sunk),
        _ => None,
    },
    case: Case {
        given: &[67_000_000, 60_000_000, 1_000_000],
        gives: 6_000_000,
        source: "a 60 through a board of 20 into a post of 47, sunk by 1: worked outside this project that 60 does not poke through",
    },
};

/// How far from an end.
static END_LEAST: Rule = Rule {
    id: "screw-end-least",
    words: "A screw keeps so many diameters from the end of what it holds, and no less than the rule of cladding where that carries only itself",
    formula: "least = the larger of diameters × diameter and the rule",
    inputs: &["diameter", "diameters", "rule of cladding, or nothing"],
    source: "LVL Handbook (2025) Table 5.1, a3,c and a4,c pre-drilled: 7 d and 3 d; cladding: TRADA yearbook 2022, p. 117",
    mark: Mark::Published,
    compute: |x| match x {
        [diameter, times, rule] => Some(*rule.max(&diameter.checked_mul(*times)?)),
        _ => None,
    },
    case: Case { given: &[5_000_000, 7, 0], gives: 35_000_000, source: "7 × 5 mm, worked outside this project" },
};

fn ask(case: &Asked<'_>, out: &mut Answers) {
    for (piece, parts) in by_piece(case.build) {
        let own = |held: usize| parts.binary_search(&held).is_ok();
        let made: Vec<&Joint> = case.joints.made.iter().filter(|joint| own(joint.held)).collect();
        let unmade: Vec<&Unmade> = case.joints.unmade.iter().filter(|unmade| own(unmade.held)).collect();
        if made.is_empty() && unmade.is_empty() {
            continue;
        }
        places(piece, &made, &unmade, case, out);
        grip(piece, &made, case, out);
        tips(piece, &made, case, out);
        ends(piece, &made, case, out);
    }
}

fn about(what: &str, piece: &str, source: &str) -> Ask {
    Ask { question: ASKS, about: format!("{what} of {piece}"), source: source.into() }
}

/// Whether every place has its screws.
fn places(piece: &str, made: &[&Joint], unmade: &[&Unmade], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let inputs = vec![
        Input::new("places", Value::count((made.len() + unmade.len()) as i128)),
        Input::new("with their screws", Value::count(made.len() as i128)),
    ];
    let open = Quantity::by(format!("fit.{piece}.open"), "places without a screw", Of::Count, &OPEN, inputs)?;
    let none = one("fit.none", "no place without a screw", &BY_THE_BOOK, ("none", Value::count(0)))?;
    let ask = about("the places for the screws", piece, "every place that is fixed wants its screws");
    let answer = judge(ask, &open, &none, out)?;
    answer.change = unmade.first().map(|_| changes(unmade, case));
    answer.at = keys(case.build, unmade.iter().flat_map(|one| [one.held, one.base]));
    Some(())
}

/// What to change for the screws that are missing, each kind once.
fn changes(unmade: &[&Unmade], case: &Asked<'_>) -> String {
    let mut said: Vec<String> = Vec::new();
    for one in unmade {
        let text = change(one, case);
        if !said.contains(&text) {
            said.push(text);
        }
    }
    said.join("; ")
}

fn change(unmade: &Unmade, case: &Asked<'_>) -> String {
    let show = |length: Length| case.plan.tape.show_with_unit(length);
    let screw = case.plan.yard.screws.get(unmade.screw).map_or("the screw", |screw| screw.name.as_str());
    let base = &case.build.parts[unmade.base].key.role;
    match unmade.why {
        NoScrew::TooThin { base: deep, .. } => format!("a {base} at least {} deep takes `{screw}`", show(deep)),
        NoScrew::NotOnSale { least, most } => match next_standard(case.plan.tape.unit(), least, most) {
            Some(length) => format!("a length of {} of `{screw}` fits: put it into the yard", show(length)),
            None => format!(
                "a `{screw}` from {} to {} long fits, and no usual length lies there: a {base} that is deeper takes one",
                show(least),
                show(most)
            ),
        },
        NoScrew::NoRoom => format!("a thinner screw than `{screw}`, or a wider or longer part, gives it room"),
        NoScrew::Meets => {
            format!("a thinner screw than `{screw}`, or a deeper {base}, keeps the screws of two faces apart")
        }
    }
}

/// The next length that screws are usually sold in.
fn next_standard(unit: Unit, least: Length, most: Length) -> Option<Length> {
    let lengths = match unit {
        Unit::Millimetre => fasteners::USUAL_LENGTHS_MM.map(Length::mm),
        Unit::Inch | Unit::FootInch => fasteners::USUAL_LENGTHS_EIGHTHS.map(|eighths| Length::inch_64ths(8 * eighths)),
    };
    lengths.into_iter().find(|&length| least <= length && length <= most)
}

/// A joint with its screw, where its base is entered and left, from the heads.
struct Way<'c> {
    joint: &'c Joint,
    screw: &'c Screw,
    enters: Length,
    leaves: Length,
}

/// The ways of the screws of a joint into its base: the first head's, since all heads of a joint lie on one face of its base.
fn way<'c>(joint: &'c Joint, case: &Asked<'c>) -> Option<Way<'c>> {
    let screw = case.plan.yard.screws.get(joint.screw)?;
    let direction = joint.direction.map(|part| part as f64 / UNIT as f64);
    let head = joint.heads.first()?.map(Length::as_mm);
    let (enters, leaves) = case.build.parts[joint.base].shape()?.ray(head, direction)?;
    Some(Way { joint, screw, enters: from_mm(enters), leaves: from_mm(leaves) })
}

/// The ways of the joints of a piece, one of each that are alike.
fn ways<'c>(made: &[&'c Joint], case: &Asked<'c>) -> Vec<Way<'c>> {
    let mut seen = std::collections::BTreeSet::new();
    let own = |place: usize, joint: &Joint| through(&case.build.parts[place], joint);
    let new =
        |joint: &&&'c Joint| seen.insert((own(joint.held, joint), own(joint.base, joint), joint.length, joint.screw));
    made.iter().filter(new).filter_map(|joint| way(joint, case)).collect()
}

/// The letters of a part and the way of a joint's screws along its own axes, in millionths: parts alike are crossed alike.
fn through<'c>(part: &'c Part, joint: &Joint) -> (&'c str, [i64; 3]) {
    let axes = part.at.frame.axes();
    let (along, across) = (part.at.along.index(), part.at.across.index());
    let way = [along, across, 3 - along - across].map(|axis| {
        let own = (0..3).map(|i| axes[axis][i] * joint.direction[i] as f64 / UNIT as f64).sum::<f64>();
        Length::nm((own * 1e6).round() as i64).abs().nanometres()
    });
    (part.id.trim_end_matches(|c: char| c.is_ascii_digit()), way)
}

/// Whether a joint only keeps its board from lifting.
fn is_from_below(joint: &Joint) -> bool {
    joint.direction[2] > UNIT / 2
}

fn length(what: impl Into<String>, length: Length) -> Input {
    Input::new(what, Value::length(length))
}

/// The least grip against six diameters.
fn grip(piece: &str, made: &[&Joint], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let carries = |joint: &&Joint| !is_from_below(joint) && !is_own(joint, case);
    let gripping = made.iter().copied().filter(carries).collect::<Vec<_>>();
    let ways = ways(&gripping, case);
    let spare = |way: &&Way<'_>| way.joint.length - way.enters - way.screw.diameter * fasteners::GRIP_LEAST.times;
    let way = ways.iter().min_by_key(spare)?;
    let inputs = vec![
        length("diameter", way.screw.diameter),
        Input::new("diameters", Value::count(fasteners::GRIP_LEAST.times)),
    ];
    let least =
        Quantity::by(format!("fit.{piece}.grip-least"), "the grip that is wanted", Of::Length, &GRIP_LEAST, inputs)?;
    let inputs = vec![length("length", way.joint.length), length("before the base", way.enters)];
    let grip = Quantity::by(format!("fit.{piece}.grip"), "the least grip of a screw", Of::Length, &GRIP, inputs)?;
    let answer = judge(about("the grip of the screws", piece, fasteners::GRIP_LEAST.source), &least, &grip, out)?;
    let long = way.enters + way.screw.diameter * fasteners::GRIP_LEAST.times;
    let most = way.leaves - fasteners::TIP_SHORT;
    answer.change = fails(answer).then(|| match next_standard(case.plan.tape.unit(), long, most) {
        Some(longer) => format!("a screw {} long grips enough", case.plan.tape.show_with_unit(longer)),
        None => format!(
            "a base at least {} deep takes one that grips enough",
            case.plan.tape.show_with_unit(long + fasteners::TIP_SHORT - way.enters)
        ),
    });
    answer.at = keys(case.build, [way.joint.held, way.joint.base]);
    Some(())
}

fn fails(answer: &Answer) -> bool {
    answer.verdict == super::Verdict::Fails
}

/// The wood beyond the tips, once the heads are sunk.
fn tips(piece: &str, made: &[&Joint], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let ways = ways(made, case);
    let way = ways.iter().min_by_key(|way| way.leaves - way.joint.length)?;
    let wanted = one(
        "fit.left-least",
        "the wood beyond a tip that is wanted",
        &BY_THE_BOOK,
        (fasteners::LEFT_BEYOND.source, Value::length(fasteners::LEFT_BEYOND.length)),
    )?;
    let inputs = vec![
        length("way to the far face", way.leaves),
        length("length", way.joint.length),
        length("sunk", fasteners::SUNK.length),
    ];
    let left = Quantity::by(format!("fit.{piece}.left"), "the wood beyond a tip", Of::Length, &LEFT, inputs)?;
    let answer = judge(about("the tips of the screws", piece, fasteners::LEFT_BEYOND.source), &wanted, &left, out)?;
    answer.change = fails(answer).then(|| {
        let deep = way.joint.length + fasteners::SUNK.length + fasteners::LEFT_BEYOND.length - way.enters;
        format!("a base at least {} deep hides the tips", case.plan.tape.show_with_unit(deep))
    });
    answer.at = keys(case.build, [way.joint.held, way.joint.base]);
    Some(())
}

/// How far a point of a part lies from the nearer of its ends, along its grain; nothing where an end is trimmed.
fn from_end(part: &Part, head: [Length; 3]) -> Option<Length> {
    if part.solid.ends.iter().any(|end| !end.is_empty()) {
        return None;
    }
    let axis = part.at.frame.axes()[part.at.along.index()];
    let along = (0..3).map(|i| axis[i] * (head[i] - part.at.corner[i]).as_mm()).sum::<f64>();
    let along = from_mm(along);
    Some(along.min(part.solid.length - along))
}

/// The nearest screw to an end of what is held, against what splits.
fn ends(piece: &str, made: &[&Joint], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let measured = made.iter().flat_map(|&joint| {
        let part = &case.build.parts[joint.held];
        joint.heads.iter().filter_map(move |&head| Some((joint, from_end(part, head)?)))
    });
    let screw = |joint: &Joint| case.plan.yard.screws.get(joint.screw);
    let of_timber = |joint: &Joint| case.build.parts[joint.held].stock.kind == model::schema::StockKind::Board;
    let wanted = measured.filter(|(joint, _)| of_timber(joint)).filter_map(|(joint, far)| {
        let (times, rule) = end_rule(is_own(joint, case));
        let diameter = screw(joint)?.diameter;
        Some((far - (diameter * times).max(rule), joint, far, diameter, times, rule))
    });
    let (_, joint, far, diameter, times, rule) = wanted.min_by_key(|one| one.0)?;
    let inputs = vec![
        length("diameter", diameter),
        Input::new("diameters, pre-drilled", Value::count(times)),
        length("rule of cladding, or nothing", rule),
    ];
    let least = Quantity::by(
        format!("fit.{piece}.end-least"),
        "the distance from an end that is wanted",
        Of::Length,
        &END_LEAST,
        inputs,
    )?;
    let at = ("from the end, as placed", Value::length(far));
    let end = one(format!("fit.{piece}.end"), "the screw nearest to an end", &AS_PLACED, at)?;
    let source = if rule > Length::ZERO { fasteners::CLADDING_FROM_END.source } else { fasteners::FROM_END.source };
    let answer = judge(about("the ends at the screws", piece, source), &least, &end, out)?;
    let undrilled = diameter * fasteners::FROM_END.not_drilled;
    if far < undrilled {
        let text = format!(
            "drill every hole at an end first: without, a screw would have to keep {} off it",
            case.plan.tape.show_with_unit(undrilled)
        );
        answer.cautions.push(text);
    }
    answer.at = keys(case.build, [joint.held]);
    Some(())
}

/// So many diameters, and the rule of cladding for a board that carries only itself.
fn end_rule(own: bool) -> (i64, Length) {
    match own {
        true => (fasteners::FROM_EDGE.drilled, fasteners::CLADDING_FROM_END.length),
        false => (fasteners::FROM_END.drilled, Length::ZERO),
    }
}

/// Whether a joint holds a board that carries only itself.
fn is_own(joint: &Joint, case: &Asked<'_>) -> bool {
    let [held, base] = [joint.held, joint.base].map(|place| &case.build.parts[place].key);
    let is =
        |roles: &model::build::Roles, key: &model::part::PartKey| roles.piece == key.piece && roles.role == key.role;
    let fixing = case.build.fixings.iter().find(|fixing| is(&fixing.held, held) && is(&fixing.base, base));
    fixing.is_some_and(|fixing| fixing.load == model::build::Load::Own)
}
