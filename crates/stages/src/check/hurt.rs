//! *Can it hurt someone?* Gaps that hold a child's head, floors that one falls from, and edges that one trips over.

use super::judge::{AS_PLACED, Ask, BY_THE_BOOK, by_piece, judge, keep, keys, one};
use super::{Answer, Answers, Case as Asked, Question, Verdict};
use handbook::guards::{self, Figure};
use measure::Length;
use model::build::Row;
use model::schema::StockKind;
use model::why::{Quantity, Value};

#[cfg(test)]
mod tests;

const ASKS: &str = "Can it hurt someone?";

/// The question.
pub(super) static QUESTION: Question = Question {
    asks: ASKS,
    looks_at: "Where children play, the gaps of screens, claddings, decks and seats against the head of a small child; of decks the height that one falls from against that from which a code wants a guard; of edgings and pads the edge that one trips over",
    formula: "gap ≤ 89 mm; top of a deck − ground ≤ height from which a guard is wanted; top of an edging − ground ≤ 3 mm, or from 100 mm on, where it is seen as a step",
    source: "gaps: EN 1176-1, from memory; guards: IRC R312.1, Approved Document K, the code of Australia; lips: ICPI, pedestrian paving",
    holds_for: "ground at z = 0, or where the plan says that it lies. It is a first look: local codes for guards, stairs, pools and fences come first. Fingers caught between 8 and 25 mm, corners that stand out and what a child can climb are not looked at; nor is a gust at which a screen goes",
    rules: &[&AS_PLACED, &BY_THE_BOOK],
    ask,
};

fn ask(case: &Asked<'_>, out: &mut Answers) {
    for row in case.build.rows.iter().filter(|_| case.plan.site.children) {
        gap(row, case, out);
    }
    for (piece, parts) in by_piece(case.build) {
        match kind(piece, case) {
            "slats" => fall(piece, &parts, case, out),
            "edging" | "pad" => trip(piece, &parts, case, out),
            _ => None,
        };
    }
}

/// What kind of piece it is.
fn kind(piece: &str, case: &Asked<'_>) -> &'static str {
    case.plan.pieces.iter().find(|text| text.name == piece).map_or("", |text| text.schema.name)
}

fn told(figure: &Figure) -> String {
    format!("{} ({})", figure.source, figure.mark)
}

fn book(name: &str, what: &str, source: &str, length: Length) -> Option<Quantity> {
    one(name, what, &BY_THE_BOOK, (source, Value::length(length)))
}

fn show(length: Length, case: &Asked<'_>) -> String {
    case.plan.tape.show_with_unit(length)
}

/// A gap that a head may stick in.
fn gap(row: &Row, case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    row.gaps?;
    if !["screen", "cladding", "slats"].contains(&kind(&row.piece, case)) {
        return None;
    }
    let name = format!("{}.{}", row.piece, row.face.replace(' ', "-"));
    let gap = case.build.quantities.iter().find(|quantity| quantity.name == format!("{name}.gap"))?;
    let head = &guards::HEAD_FROM;
    let most = book("hurt.head", "what a small body goes through, and its head does not", head.source, head.length)?;
    let mut answer = Answer::compared(ASKS, format!("the gaps of {name}"), gap, &most, told(head))?;
    keep(most, out);
    answer.change =
        (answer.verdict == Verdict::Fails).then(|| format!("gaps of {} at the most", show(head.length, case)));
    let parts = case.build.parts.iter().enumerate().filter(|(_, part)| part.key.piece == row.piece);
    answer.at = keys(case.build, parts.map(|(place, _)| place).take(1));
    out.answers.push(answer);
    Some(())
}

/// The height that one falls from a deck.
fn fall(piece: &str, parts: &[usize], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let text = case.plan.pieces.iter().find(|text| text.name == piece)?;
    if text.values.has("between") {
        return None;
    }
    let guard = guards::guards_of(case.plan.site.region.word())?;
    let top = parts.iter().map(|&part| case.build.parts[part].far_corner()[2]).max()?;
    let low = case.build.ground.iter().map(|ground| ground.height).min().unwrap_or(Length::ZERO).min(Length::ZERO);
    let at = ("its top above the lowest ground", Value::length(top - low));
    let high = one(format!("hurt.{piece}.fall"), "the height that one falls from", &AS_PLACED, at)?;
    let most = book("hurt.guard-from", "from here on a guard is wanted", guard.source, guard.from)?;
    let source = format!("{} ({})", guard.source, guard.mark);
    let answer = judge(Ask { question: ASKS, about: format!("a fall from {piece}"), source }, &high, &most, out)?;
    answer.change = (answer.verdict == Verdict::Fails).then(|| {
        format!(
            "a top no more than {} above the lowest ground, or a guard at least {} high with openings below {}",
            show(guard.from, case),
            show(guard.high, case),
            show(guard.opening, case)
        )
    });
    answer.cautions.push("ask locally from which height a guard is due, and whether a deck wants a permit".into());
    answer.at = keys(case.build, parts.iter().copied().take(1));
    Some(())
}

/// The edge of what is laid on the ground.
fn trip(piece: &str, parts: &[usize], case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let laid = parts.iter().copied().filter(|&part| case.build.parts[part].stock.kind == StockKind::Unit);
    let highest = laid.max_by_key(|&part| case.build.parts[part].far_corner()[2])?;
    let top = case.build.parts[highest].far_corner()[2].max(Length::ZERO);
    if top >= guards::STEP_FROM.length {
        return None;
    }
    let at = ("its top above the ground", Value::length(top));
    let lip = one(format!("hurt.{piece}.lip"), "what stands above the ground", &AS_PLACED, at)?;
    let most = book("hurt.lip", "a lip that one does not trip over", guards::LIP.source, guards::LIP.length)?;
    let ask = Ask { question: ASKS, about: format!("the edge of {piece}"), source: told(&guards::LIP) };
    let answer = judge(ask, &lip, &most, out)?;
    answer.change = (answer.verdict == Verdict::Fails).then(|| {
        format!(
            "its top flush with the ground, or at least {} above it, where it is seen",
            show(guards::STEP_FROM.length, case)
        )
    });
    answer.at = keys(case.build, [highest]);
    Some(())
}
