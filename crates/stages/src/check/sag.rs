//! *Will it sag?* Boards under one person, joists, rims and bearers under people who stand close: how far they bend and how hard.
//!
//! # Formula
//! A load in the middle of one board between two supports; an even load on a joist as wide as its share of the deck.
//! # Source
//! `handbook::loads`, `handbook::strength`; EN 1995-1-1 or NDS by the plan's region.
//! # Holds for
//! One span between each two supports. Ends that hang over are told and not judged.

use super::bend::{self, Wood, metres, most_bend, real, whole};
use super::{Answer, Answers, Case, Question, Verdict};
use handbook::loads;
use handbook::strength::{self, Duration, Known};
use measure::Length;
use model::part::{Axis, Part};
use model::plan::Region;
use model::why::{self, Input, Mark, Of, Quantity, Rule, Value};

#[cfg(test)]
mod tests;

const ASKS: &str = "Will it sag?";

/// The question.
pub(super) static QUESTION: Question = Question {
    asks: ASKS,
    looks_at: "The board of each seat or deck that spans furthest, under one person in its middle; the joist, rim or bearer below it that is bent most, under people who stand close",
    formula: "w = P L^3 / (48 E I) and σ = (P L / 4) / W of a board; w = 5 q s L^4 / (384 E I) and σ = (q s L^2 / 8) / W of a joist",
    source: "beams by AWC Design Aid 6; people by EN 1991-1-1 or the IRC, strength by EN 338 and EN 1995-1-1 or the NDS; no figures of Australia and New Zealand are known here, and those of Europe are used",
    holds_for: "each span by itself between the middles of its supports; level boards at right angles. Ends that hang over, screws and hangers, legs that buckle and people who jump are left out",
    rules: &[
        &POINT_SAG,
        &POINT_STRESS,
        &JOIST_SAG,
        &JOIST_STRESS,
        &bend::MOST_BEND,
        &bend::SIZE,
        &bend::BEARS_EUROPE,
        &bend::BEARS_NDS,
    ],
    ask: |case, out| ask(case, out),
};

/// The roles of what carries boards.
const CARRIERS: [&str; 3] = ["joist", "rim", "bearer"];

fn ask(case: &Case<'_>, out: &mut Answers) {
    for piece in &case.plan.pieces {
        let own: Vec<&Part> =
            case.build.parts.iter().filter(|part| part.key.piece == piece.name && is_level(part)).collect();
        let given = match piece.schema.name {
            "slats" if piece.values.word("bears") != Some("things") => board(&piece.name, &own, case, out),
            _ => Some(()),
        };
        let carried = match piece.schema.name {
            "slats" if piece.values.word("bears") == Some("things") => Some(()),
            "slats" | "frame" => carrier(&piece.name, &own, case, out),
            _ => Some(()),
        };
        if given.is_none() || carried.is_none() {
            let needs = "check the sizes: its numbers are too large to be reckoned with".to_owned();
            out.answers.push(Answer::cannot_tell(ASKS, piece.name.clone(), needs));
        }
    }
}

/// Whether a part lies level along the axes of the build.
fn is_level(part: &Part) -> bool {
    part.is_box() && part.at.along != Axis::Z
}

/// What is bent: which part, how far it spans, and of what.
struct Bent<'c> {
    piece: &'c str,
    part: &'c Part,
    span: Length,
    wood: Wood,
}

/// Asks about the boards of a seat or deck.
fn board(piece: &str, own: &[&Part], case: &Case<'_>, out: &mut Answers) -> Option<()> {
    let boards = own.iter().copied().filter(|part| part.key.role == "board");
    let spans = boards.map(|part| (bay(&below(part, case)), part));
    let Some((span, part)) = spans.max_by_key(|(span, _)| *span) else { return Some(()) };
    let about = format!("{piece}, a board under one person");
    let Some(span) = span else {
        let needs = format!("say what carries {piece}: its boards rest on fewer than two things of this plan");
        out.answers.push(Answer::cannot_tell(ASKS, about, needs));
        return Some(());
    };
    let wood = match Wood::of(part.stock, case.plan) {
        Ok(wood) => wood,
        Err(needs) => {
            out.answers.push(Answer::cannot_tell(ASKS, about, needs));
            return Some(());
        }
    };
    let bent = Bent { piece, part, span, wood };
    let load = || {
        Input::new(
            format!("one person ({}, {})", loads::PERSON.source, loads::PERSON.mark),
            Value::force(loads::PERSON.load),
        )
    };
    let size = || {
        [
            Input::new("span", Value::length(span)),
            Input::new("width", Value::length(part.solid.width)),
            Input::new("thickness", Value::length(part.solid.thickness)),
        ]
    };
    let sag: Vec<Input> = [load()].into_iter().chain(size()).chain([bent.stiffness()]).collect();
    let stress: Vec<Input> = [load()].into_iter().chain(size()).collect();
    let sag = Quantity::by(bent.called("sag"), "how far a board gives under one person", Of::Length, &POINT_SAG, sag)?;
    let stress = Quantity::by(
        bent.called("stress"),
        "how hard a board is bent under one person",
        Of::Pressure,
        &POINT_STRESS,
        stress,
    )?;
    bent.answer(
        ["sag", "stress"],
        "a board under one person",
        [sag, stress],
        (&strength::SLAT_SAG, part.solid.thickness),
        case,
        out,
    )
}

/// Asks about what carries the boards.
fn carrier(piece: &str, own: &[&Part], case: &Case<'_>, out: &mut Answers) -> Option<()> {
    let carriers: Vec<&Part> = own.iter().copied().filter(|part| CARRIERS.contains(&part.key.role.as_str())).collect();
    let bends = |(part, span, share): &(&Part, Length, Length)| {
        let [span, share, depth] = [*span, *share, part.solid.width].map(Length::as_mm);
        share * span * span / (depth * depth * part.solid.thickness.as_mm())
    };
    let spans = carriers.iter().filter_map(|part| Some((*part, carried(part, case)?, share(part, &carriers))));
    let Some((part, span, share)) = spans.max_by(|a, b| bends(a).total_cmp(&bends(b))) else { return Some(()) };
    let about = format!("{piece}, a {} under people", part.key.role);
    let wood = match Wood::of(part.stock, case.plan) {
        Ok(wood) => wood,
        Err(needs) => {
            out.answers.push(Answer::cannot_tell(ASKS, about, needs));
            return Some(());
        }
    };
    let crowd = if case.plan.site.region == Region::NorthAmerica { &loads::CROWD_NA } else { &loads::CROWD };
    let bent = Bent { piece, part, span, wood };
    let load = || {
        [
            Input::new(format!("people ({}, {})", crowd.source, crowd.mark), Value::pressure(crowd.load)),
            Input::new("its share of the deck", Value::length(share)),
            Input::new("span", Value::length(span)),
            Input::new("thickness", Value::length(part.solid.thickness)),
            Input::new("depth", Value::length(part.solid.width)),
        ]
    };
    let sag: Vec<Input> = load().into_iter().chain([bent.stiffness()]).collect();
    let sag = Quantity::by(
        bent.called("joist-sag"),
        "how far what carries it gives under people",
        Of::Length,
        &JOIST_SAG,
        sag,
    )?;
    let stress = Quantity::by(
        bent.called("joist-stress"),
        "how hard what carries it is bent under people",
        Of::Pressure,
        &JOIST_STRESS,
        load().into(),
    )?;
    let what = format!("a {} under people", part.key.role);
    bent.answer(
        ["joist-sag", "joist-stress"],
        &what,
        [sag, stress],
        (&strength::JOIST_SAG, part.solid.width),
        case,
        out,
    )
}

impl Bent<'_> {
    fn called(&self, what: &str) -> String {
        format!("{}.{what}", why::flat(self.piece))
    }

    fn stiffness(&self) -> Input {
        Input::new(format!("modulus of elasticity ({})", self.wood.source), Value::pressure(self.wood.stiffness))
    }

    /// Answers how far and how hard; `most` is the share of the span that it may sag, and the depth that is bent.
    fn answer(
        &self,
        names: [&str; 2],
        what: &str,
        values: [Quantity; 2],
        (most, depth): (&'static Known, Length),
        case: &Case<'_>,
        out: &mut Answers,
    ) -> Option<()> {
        let limits = [
            most_bend(self.called(&format!("{}-limit", names[0])), self.span, most)?,
            self.wood.limit(self.called(&format!("{}-limit", names[1])), Duration::Short, depth)?,
        ];
        let sources = [format!("{}: {}", most.source, most.mark), self.wood.source.clone()];
        let how = ["how far it gives", "how hard it is bent"];
        let shortest = self.shorter(&values, most, depth);
        let mut answers = Vec::new();
        for (((value, limit), source), how) in values.iter().zip(&limits).zip(sources).zip(how) {
            let mut answer = Answer::compared(ASKS, format!("{}, {what}, {how}", self.piece), value, limit, source)?;
            if answer.verdict == Verdict::Fails {
                let shown = |length| case.plan.tape.show_with_unit(length);
                answer.change = shortest.map(|span| {
                    format!(
                        "a support at least every {} holds where it is {} now",
                        shown(span),
                        case.plan.tape.show_fine(self.span)
                    )
                });
                answer.at = vec![self.part.key.clone()];
            }
            answer.cautions = vec!["This is screening and no certified design".into()];
            answers.push(answer);
        }
        out.answers.extend(answers);
        out.quantities.extend(values.into_iter().chain(limits));
        Some(())
    }

    /// The longest span in whole centimetres that holds: the rules are asked again with it in the place of the span.
    fn shorter(&self, values: &[Quantity; 2], most: &'static Known, depth: Length) -> Option<Length> {
        let holds = |span: &Length| {
            let again = |quantity: &Quantity| {
                let with =
                    |input: &Input| if input.what == "span" { span.nanometres().into() } else { input.value.value };
                (quantity.rule.compute)(&quantity.inputs.iter().map(with).collect::<Vec<i128>>())
            };
            let sag = most_bend(String::new(), *span, most).map(|limit| limit.value.value);
            let stress = self.wood.limit(String::new(), Duration::Short, depth).map(|limit| limit.value.value);
            again(&values[0]).zip(sag).is_some_and(|(value, limit)| value <= limit)
                && again(&values[1]).zip(stress).is_some_and(|(value, limit)| value <= limit)
        };
        let most = self.span.nanometres().div_euclid(10_000_000);
        (1..=most).rev().map(|centimetres| Length::mm(centimetres * 10)).find(holds)
    }
}

/// The stretches along a board, from its start, over which something lies right below it.
fn below(board: &Part, case: &Case<'_>) -> Vec<[Length; 2]> {
    let axis = board.at.along.index();
    let (low, high) = (board.near_corner(), board.far_corner());
    let carries = |part: &&Part| {
        let (near, far) = (part.near_corner(), part.far_corner());
        far[2] == low[2] && (0..2).all(|axis| near[axis] < high[axis] && low[axis] < far[axis])
    };
    let boxes = case.build.parts.iter().filter(|part| part.is_box()).filter(carries);
    boxes.map(|part| [part.near_corner()[axis].max(low[axis]), part.far_corner()[axis].min(high[axis])]).collect()
}

/// The widest stretch between the middles of neighbouring supports; `None` if there are fewer than two places of support.
fn bay(supports: &[[Length; 2]]) -> Option<Length> {
    let mut middles: Vec<Length> =
        supports.iter().map(|[from, to]| Length::nm((*from + *to).nanometres().div_euclid(2))).collect();
    middles.sort_unstable();
    middles.windows(2).map(|pair| pair[1] - pair[0]).max().filter(|widest| *widest > Length::ZERO)
}

/// How far a joist, rim or bearer spans: a joist from end to end between its rims, others between the legs that they touch;
/// `None` for what lies on the ground.
fn carried(part: &Part, case: &Case<'_>) -> Option<Length> {
    if part.key.role == "joist" {
        return Some(part.solid.length);
    }
    let axis = part.at.along.index();
    let legs =
        case.build.parts.iter().filter(|leg| leg.key.piece == part.key.piece && leg.key.role == "leg" && leg.is_box());
    let touched = legs.filter(|leg| touch(leg, part));
    let stretches: Vec<[Length; 2]> = touched.map(|leg| [leg.near_corner()[axis], leg.far_corner()[axis]]).collect();
    bay(&stretches)
}

/// Whether two boxes touch or overlap.
fn touch(a: &Part, b: &Part) -> bool {
    let ([a_low, a_high], [b_low, b_high]) = (a.reach(), b.reach());
    (0..3).all(|axis| a_low[axis] <= b_high[axis] && b_low[axis] <= a_high[axis])
}

/// How wide a strip of the deck a carrier bears: half of the way to its neighbours that run the same way; all of what it is from the
/// end if it is alone.
fn share(part: &Part, carriers: &[&Part]) -> Length {
    let across = 1 - part.at.along.index();
    let middle =
        |part: &Part| Length::nm((part.near_corner()[across] + part.far_corner()[across]).nanometres().div_euclid(2));
    let own = middle(part);
    let others: Vec<Length> =
        carriers.iter().filter(|other| other.at.along == part.at.along).map(|other| middle(other)).collect();
    let before = others.iter().filter(|place| **place < own).max();
    let after = others.iter().filter(|place| **place > own).min();
    let gaps: Length = [before.map(|place| own - *place), after.map(|place| *place - own)].into_iter().flatten().sum();
    Length::nm(gaps.nanometres().div_euclid(2)).max(part.solid.thickness)
}

/// How far a board gives under a load in its middle.
pub(super) static POINT_SAG: Rule = Rule {
    id: "point-sag",
    words: "How far a board that lies flat gives under a load in the middle between two supports",
    formula: "w = P L^3 / (48 E b t^3 / 12)",
    inputs: &["P", "L", "b", "t", "E"],
    source: "AWC Design Aid 6, simple span, load at mid-span",
    mark: Mark::FromMemory,
    compute: |x| match x {
        [load, span, width, thickness, stiffness] if *width > 0 && *thickness > 0 && *stiffness > 0 => {
            let (l, t) = (metres(span), metres(thickness));
            whole(real(load) / 1e3 * l * l * l / (4.0 * real(stiffness) * metres(width) * t * t * t) * 1e9)
        }
        _ => None,
    },
    case: why::Case {
        given: &[1_000_000, 772_000_000, 90_000_000, 32_000_000, 8_000_000_000],
        gives: 4_875_391,
        source: "1 kN on a 90 × 32 slat over 772, E 8000 N/mm²: 4.9 mm, worked outside this project",
    },
};

/// How hard that board is bent.
pub(super) static POINT_STRESS: Rule = Rule {
    id: "point-stress",
    words: "How hard the same board is bent under the load",
    formula: "σ = (P L / 4) / (b t^2 / 6)",
    inputs: &["P", "L", "b", "t"],
    source: "AWC Design Aid 6, simple span, load at mid-span",
    mark: Mark::FromMemory,
    compute: |x| match x {
        [load, span, width, thickness] if *width > 0 && *thickness > 0 => {
            whole(1.5 * real(load) / 1e3 * metres(span) / (metres(width) * metres(thickness) * metres(thickness)))
        }
        _ => None,
    },
    case: why::Case {
        given: &[1_000_000, 600_000_000, 100_000_000, 30_000_000],
        gives: 10_000_000,
        source: "1 kN over 600 on 100 × 30: 150 Nm over 15 000 mm³ is 10 N/mm², by hand",
    },
};

/// How far a joist gives.
pub(super) static JOIST_SAG: Rule = Rule {
    id: "joist-sag",
    words: "How far a joist on edge gives under an even load on its share of the deck",
    formula: "w = 5 q s L^4 / (384 E b h^3 / 12)",
    inputs: &["q", "s", "L", "b", "h", "E"],
    source: "AWC Design Aid 6 case 1, as used in the tests of an open engineering library",
    mark: Mark::Published,
    compute: |x| match x {
        [load, share, span, width, depth, stiffness] if *width > 0 && *depth > 0 && *stiffness > 0 => {
            let (l, h) = (metres(span), metres(depth));
            let line = real(load) * metres(share);
            whole(60.0 * line * l * l * l * l / (384.0 * real(stiffness) * metres(width) * h * h * h) * 1e9)
        }
        _ => None,
    },
    case: why::Case {
        given: &[4_000, 450_000_000, 2_000_000_000, 45_000_000, 145_000_000, 8_000_000_000],
        gives: 4_100_209,
        source: "4 kN/m² on 450 of deck over 2000, 45 × 145: 4.1 mm, by hand",
    },
};

/// How hard that joist is bent.
pub(super) static JOIST_STRESS: Rule = Rule {
    id: "joist-stress",
    words: "How hard the same joist is bent",
    formula: "σ = (q s L^2 / 8) / (b h^2 / 6)",
    inputs: &["q", "s", "L", "b", "h"],
    source: "AWC Design Aid 6 case 1, as used in the tests of an open engineering library",
    mark: Mark::Published,
    compute: |x| match x {
        [load, share, span, width, depth] if *width > 0 && *depth > 0 => {
            let slender = metres(span) / metres(depth);
            whole(0.75 * real(load) * metres(share) * slender * slender / metres(width))
        }
        _ => None,
    },
    case: why::Case {
        given: &[2_925, 500_000_000, 4_500_000_000, 75_000_000, 200_000_000],
        gives: 7_403_906,
        source: "1.4625 kN/m on 75 × 200 over 4.5 m: 7.404 N/mm², Benoit, Legrand, Tastet, Calcul de structures en bois, Example 2.3.1",
    },
};
