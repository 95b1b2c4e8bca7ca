//! *Will gaps close, will boards split?* Movement worked out from the exported rows and parts, the climates from the page of rules.

use super::{Number, Of, Pair};
use crate::claims::{Joint, Part, Row};
use crate::joints::slots::coefficient;
use crate::solid::{dot, frame};
use std::collections::BTreeMap;

/// The question.
pub(crate) const ASKS: &str = "Will gaps close, will boards split?";

/// Boards wider than 150 mm split (a trade guide, weak); a heel goes into more than 1/2 in (ADA 302.3, from memory).
const WIDE: i128 = 150_000_000;
const HEEL: i128 = 12_700_000;
/// Tenths of a degree and percent in a dry spell and a damp one, by region (common practice).
const CLIMATES: [(&str, [[i128; 2]; 2]); 3] =
    [("eu", [[200, 65], [50, 85]]), ("na", [[250, 55], [50, 85]]), ("anz", [[280, 50], [120, 80]])];

/// The answers that there must be.
pub(crate) fn own(of: &Of<'_>) -> Vec<Pair> {
    let Some((_, spells)) = CLIMATES.iter().find(|climate| climate.0 == of.papers.region) else { return Vec::new() };
    let rows = of.record.rows.iter().flat_map(|row| of_row(row, spells, of));
    let mut pieces: Vec<&str> = Vec::new();
    for part in &of.record.parts {
        if !pieces.contains(&part.piece.as_str()) {
            pieces.push(&part.piece);
        }
    }
    rows.chain(pieces.into_iter().filter_map(|piece| held_hard(piece, of))).collect()
}

fn at_rest(spell: [i128; 2]) -> Option<i128> {
    crate::whys::formula("moisture-at-rest", &spell)
}

fn of_row(row: &Row, [dry, damp]: &[[i128; 2]; 2], of: &Of<'_>) -> Vec<Pair> {
    let Some(&widest) = row.pattern.iter().max() else { return Vec::new() };
    // Rows of decks, seats and floors are called by the way they run, and their parts are not.
    let by_face = !row.up && of.record.parts.iter().any(|part| part.piece == row.piece && part.face == row.face);
    let across = |part: &&Part| {
        part.piece == row.piece
            && part.kind == "board"
            && [part.width, part.thickness].contains(&widest)
            && (!by_face || part.face == row.face)
    };
    let part = of.record.parts.iter().find(across).filter(|_| row.gaps > 0 && !(row.up && row.gaps_total == 0));
    let (Some(part), Some(wet), Some(arid)) = (part, at_rest(*damp), at_rest(*dry)) else { return Vec::new() };
    let name = format!("{}.{}", row.piece, row.face.replace(' ', "-"));
    let inputs = vec![i128::from(widest), coefficient(&part.stock, of.papers), wet, arid];
    let moves = crate::whys::formula("moves", &inputs).unwrap_or_default();
    let spell = |name: &str, inputs: [i128; 2]| {
        Number::exact(name, "moisture-at-rest", "hundredths of a percent", inputs.into())
    };
    let value = Number {
        from: vec![spell("move.dry", *dry), spell("move.damp", *damp)],
        ..Number::exact(format!("move.{name}.swells"), "moves", "nm", inputs)
    };
    let gap = Number::exact(format!("{name}.gap"), "", "nm", Vec::new());
    let mut pairs = vec![Pair { about: format!("the gaps of {name}"), value, limit: gap }];
    let is_walked = of.asked.pieces.iter().any(|piece| piece.name == row.piece && piece.is == "slats");
    if is_walked {
        let each = i128::from(row.gaps_total.div_euclid(row.gaps));
        pairs.push(Pair {
            about: format!("the gaps of {name} in a dry spell"),
            value: Number::exact(format!("move.{name}.opens"), "opens", "nm", vec![each, moves]),
            limit: Number::exact("move.heel", "by-the-book", "nm", vec![HEEL]),
        });
    }
    pairs
}

fn held_hard(piece: &str, of: &Of<'_>) -> Option<Pair> {
    let parts: BTreeMap<&str, &Part> = of.record.parts.iter().map(|part| (part.id.as_str(), part)).collect();
    let hard = of.record.joints.iter().filter_map(|joint| {
        let part = parts.get(joint.held.as_str()).filter(|part| part.piece == piece && part.kind == "board")?;
        (joint.slots.is_empty() && is_spread(joint, part)).then_some(part.width)
    });
    Some(Pair {
        about: format!("the boards of {piece} at their screws"),
        value: Number::exact(format!("move.{piece}.width"), "as-placed", "nm", vec![hard.max()?.into()]),
        limit: Number::exact("move.wide", "by-the-book", "nm", vec![WIDE]),
    })
}

/// Whether the heads of a joint lie more than a millimetre apart across the grain of what is held.
fn is_spread(joint: &Joint, part: &Part) -> bool {
    let across = frame(part.heading, part.lean)[part.across];
    let places = joint.heads.iter().map(|head| dot(across, head.map(|place| place as f64 / 1e6)));
    let [least, most] = places.fold([f64::MAX, f64::MIN], |[least, most], at| [least.min(at), most.max(at)]);
    most - least > 1.0
}
