//! *Will gaps close, will boards split?* How far wood moves across its grain between a dry spell and a damp one, against the gaps
//! between boards, what a heel goes into, and how wide a board may be that is held hard at both edges.

use super::judge::{AS_PLACED, Ask, BY_THE_BOOK, by_piece, judge, keys, one};
use super::{Answer, Answers, Case as Asked, Question, Verdict};
use handbook::{fasteners, guards, moisture, movement};
use measure::Length;
use model::build::Row;
use model::joint::Joint;
use model::part::Part;
use model::schema::StockKind;
use model::stock::Material;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

#[cfg(test)]
mod tests;

const ASKS: &str = "Will gaps close, will boards split?";

/// The question.
pub(super) static QUESTION: Question = Question {
    asks: ASKS,
    looks_at: "Each row of boards with gaps: what one board swells from a dry spell to a damp one, against its gap, since boards may be fixed on the driest day; on decks and seats how far a gap opens, if they are fixed on the dampest one; and the widest board that is held hard at two places across its grain",
    formula: "moves = width × C × (damp − dry); gap ≥ moves; gap + moves ≤ what a heel goes into; width ≤ 150 mm without slots",
    source: "USDA FPL-GTR-190 (2010) Eq. 13-2 and 4-5; coefficients by the handbook; climates of the region are common practice; wide boards: a trade guide to fixing cladding; heels from memory",
    holds_for: "flat-sawn boards, which move most, up to some 20 % of moisture; boards that lie in the sun move more, and those fresh from treatment shrink more as they first dry. Courses that lie on one another without a gap only grow in height. Sheets, stone and movement along the grain are left out, and so are the laps of boards that cover one another",
    rules: &[&AT_REST, &MOVES, &OPENS, &AS_PLACED, &BY_THE_BOOK],
    ask,
};

/// The moisture at which wood comes to rest.
static AT_REST: Rule = Rule {
    id: "moisture-at-rest",
    words: "The moisture at which wood comes to rest in air of a temperature and a humidity",
    formula: "1800/W × (K h / (1 − K h) + (K₁ K h + 2 K₁ K₂ K² h²) / (1 + K₁ K h + K₁ K₂ K² h²)), W, K, K₁, K₂ by the temperature",
    inputs: &["tenths of a degree Celsius", "relative humidity in percent"],
    source: "USDA FPL-GTR-190 (2010) Eq. 4-5, after Simpson, FPL-RN-0268 (1998), as coded in an open library",
    mark: Mark::Published,
    compute: |x| match x {
        [tenths, humidity] => {
            moisture::equilibrium(i64::try_from(*tenths).ok()?, i64::try_from(*humidity).ok()?).map(i128::from)
        }
        _ => None,
    },
    case: Case {
        given: &[200, 65],
        gives: 1200,
        source: "GTR-190 Table 4-2 has 12.0 % at 70 °F and 12.1 % at 60 °F, 65 %",
    },
};

/// What a board moves.
static MOVES: Rule = Rule {
    id: "moves",
    words: "A board swells across its grain by its width, times a coefficient of its wood, times the change of moisture, rounded up to a nanometre",
    formula: "moves = width × C × (damp − dry)",
    inputs: &["width", "C in hundred-thousandths for each percent", "damp", "dry"],
    source: "USDA FPL-GTR-190 (2010) Eq. 13-2, p. 13-18",
    mark: Mark::Published,
    compute: |x| match x {
        [width, c, damp, dry] => {
            let change = damp.checked_sub(*dry)?;
            let whole = width.checked_mul(*c)?.checked_mul(change)?;
            Some(whole.checked_add(9_999_999)?.div_euclid(10_000_000))
        }
        _ => None,
    },
    case: Case {
        given: &[120_000_000, 234, 1_800, 1_200],
        gives: 1_684_800,
        source: "a cedar deck board of 120 from 12 to 18 % moves 1.68 mm, worked by hand outside this project",
    },
};

/// How far a gap opens.
static OPENS: Rule = Rule {
    id: "opens",
    words: "A gap and what a board beside it shrinks",
    formula: "opens = gap + moves",
    inputs: &["gap", "moves"],
    source: "boards shrink about their fixings, so that each gap takes up one board's movement",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [gap, moves] => gap.checked_add(*moves),
        _ => None,
    },
    case: Case {
        given: &[6_000_000, 1_100_000],
        gives: 7_100_000,
        source: "a gap of 6 and 1.1 mm: 7.1, worked outside this project",
    },
};

/// The moistures of the site.
struct Climate {
    dry: Quantity,
    damp: Quantity,
    source: String,
}

fn climate(case: &Asked<'_>) -> Option<Climate> {
    let row = moisture::climate_of(case.plan.site.region.word())?;
    let number = |name: &str, what: &str, [tenths, humidity]: [i64; 2]| {
        let inputs = vec![
            Input::new("tenths of a degree Celsius", Value::count(tenths)),
            Input::new("relative humidity in percent", Value::count(humidity)),
        ];
        Quantity::by(name, what, Of::Percent, &AT_REST, inputs)
    };
    Some(Climate {
        dry: number("move.dry", "moisture of wood in a dry spell", row.dry)?,
        damp: number("move.damp", "moisture of wood in a damp one", row.damp)?,
        source: format!("{} ({})", row.source, row.mark),
    })
}

fn ask(case: &Asked<'_>, out: &mut Answers) {
    let Some(climate) = climate(case) else { return };
    for row in &case.build.rows {
        swells(row, &climate, case, out);
    }
    for (piece, parts) in by_piece(case.build) {
        let own = |joint: &&Joint| parts.binary_search(&joint.held).is_ok();
        let made: Vec<&Joint> = case.joints.made.iter().filter(own).collect();
        held_hard(piece, &made, case, out);
    }
}

/// The first board that lies across a row of gaps, by its place; nothing where the row is not of boards.
fn across<'c>(row: &Row, case: &Asked<'c>) -> Option<(usize, &'c Part)> {
    let widest = row.pattern.iter().copied().max()?;
    // Rows of decks, seats and floors are called by the way they run, and their parts are not.
    let own = |part: &Part| part.key.piece == row.piece;
    let by_face = !row.up && case.build.parts.iter().any(|part| own(part) && part.key.face == row.face);
    case.build.parts.iter().enumerate().find(|(_, part)| {
        own(part)
            && part.stock.kind == StockKind::Board
            && [part.solid.width, part.solid.thickness].contains(&widest)
            && (!by_face || part.key.face == row.face)
    })
}

/// How wood of a part moves, in hundred-thousandths for each percent, and where that is from.
fn coefficient(part: &Part, case: &Asked<'_>) -> (i64, String) {
    let row = match case.plan.yard.density(part.stock) {
        Some(Material::Named(name)) => movement::of(name),
        _ => &movement::IN_GENERAL,
    };
    (row.coefficient, format!("{} ({})", row.source, row.mark))
}

fn swells(row: &Row, climate: &Climate, case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let gaps = row.gaps?;
    // Courses that lie on one another lift one another, and push at nothing.
    if row.up && gaps.total() == Length::ZERO {
        return None;
    }
    let (place, part) = across(row, case)?;
    let face = row.face.replace(' ', "-");
    let name = format!("{}.{face}", row.piece);
    let gap = case.build.quantities.iter().find(|quantity| quantity.name == format!("{name}.gap"))?;
    let (c, source) = coefficient(part, case);
    let inputs = vec![
        Input::new("width of a board", Value::length(row.pattern.iter().copied().max()?)),
        Input::new(format!("C for each percent: {source}"), Value::count(c)),
        Input::new("move.damp", climate.damp.value),
        Input::new("move.dry", climate.dry.value),
    ];
    let moves = Quantity::by(format!("move.{name}.swells"), "what one board swells", Of::Length, &MOVES, inputs)?;
    for quantity in [&climate.dry, &climate.damp] {
        super::judge::keep(quantity.clone(), out);
    }
    super::judge::keep(moves.clone(), out);
    // The gap itself stands among the numbers of the build.
    let mut answer = Answer::compared(ASKS, format!("the gaps of {name}"), &moves, gap, climate.source.clone())?;
    answer.at = keys(case.build, [place]);
    let wide = enough(moves.value.value)?;
    answer.change = (answer.verdict == Verdict::Fails)
        .then(|| format!("a gap of {} stays open", case.plan.tape.show_with_unit(up(wide, case.plan.tape.step()))));
    out.answers.push(answer);
    opens(&name, row, gap, &moves, case, out)
}

/// Down and up to whole steps of the tape.
fn down(length: Length, step: Length) -> Length {
    length - Length::nm(length.nanometres().rem_euclid(step.nanometres()))
}

fn up(length: Length, step: Length) -> Length {
    down(length + step - Length::nm(1), step)
}

/// A gap of which a movement takes four fifths at most.
fn enough(moves: i128) -> Option<Length> {
    i64::try_from(moves.checked_mul(5)?.checked_add(3)?.div_euclid(4)).ok().map(Length::nm)
}

/// On what people walk and sit on: how far the gaps open.
fn opens(name: &str, row: &Row, gap: &Quantity, moves: &Quantity, case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let kind = case.plan.pieces.iter().find(|piece| piece.name == row.piece)?.schema.name;
    if kind != "slats" {
        return None;
    }
    let inputs = vec![Input::new(gap.name.clone(), gap.value), Input::new(moves.name.clone(), moves.value)];
    let opens = Quantity::by(format!("move.{name}.opens"), "how far a gap opens", Of::Length, &OPENS, inputs)?;
    let heel = &guards::HEEL;
    let most = one("move.heel", "what a heel goes into", &BY_THE_BOOK, (heel.source, Value::length(heel.length)))?;
    let about = format!("the gaps of {name} in a dry spell");
    let source = format!("{} ({})", heel.source, heel.mark);
    let answer = judge(Ask { question: ASKS, about, source }, &opens, &most, out)?;
    let narrow = i64::try_from(most.value.value - moves.value.value).ok().map(Length::nm)?;
    answer.change = (answer.verdict == Verdict::Fails).then(|| {
        format!(
            "a gap of {} at the most stays narrow enough",
            case.plan.tape.show_with_unit(down(narrow, case.plan.tape.step()))
        )
    });
    Some(())
}

/// The widest board that is held hard at two places across its grain.
fn held_hard(piece: &str, made: &[&Joint], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let is_hard = |joint: &&&Joint| joint.slots.is_empty() && is_spread(joint, case);
    let width = |joint: &&Joint| case.build.parts[joint.held].solid.width;
    let hard: Vec<&Joint> = made.iter().filter(is_hard).copied().collect();
    let widest = hard.iter().rev().max_by_key(|joint| width(joint))?;
    let at = ("its width", Value::length(width(widest)));
    let value = one(format!("move.{piece}.width"), "the widest board that is held hard", &AS_PLACED, at)?;
    let wide = &fasteners::WIDE_BOARD;
    let limit = one("move.wide", "from here on boards split", &BY_THE_BOOK, (wide.source, Value::length(wide.length)))?;
    let source = format!("{} ({})", wide.source, wide.mark);
    let answer = judge(
        Ask { question: ASKS, about: format!("the boards of {piece} at their screws"), source },
        &value,
        &limit,
        out,
    )?;
    answer.change = (answer.verdict == Verdict::Fails).then(|| {
        format!("boards no wider than {}, or one screw at each support", case.plan.tape.show_with_unit(wide.length))
    });
    answer.at = keys(case.build, [widest.held]);
    Some(())
}

/// Whether a board has screws at more than one place across its grain in one joint.
fn is_spread(joint: &Joint, case: &Asked<'_>) -> bool {
    let part = &case.build.parts[joint.held];
    if part.stock.kind != StockKind::Board {
        return false;
    }
    let across = part.at.frame.axes()[part.at.across.index()];
    let places = joint.heads.iter().map(|head| (0..3).map(|i| across[i] * head[i].as_mm()).sum::<f64>());
    let (least, most) = places.fold((f64::MAX, f64::MIN), |(least, most), place| (least.min(place), most.max(place)));
    most - least > 1.0
}
