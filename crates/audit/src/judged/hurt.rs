//! *Can it hurt someone?* Gaps from the exported rows, heights and lips from the solids of the exported parts.

use super::{Number, Of, Pair};
use crate::claims::Part;
use crate::solid::Solid;

/// The question.
pub(crate) const ASKS: &str = "Can it hurt someone?";

const MM: i128 = 1_000_000;
/// A head that sticks (EN 1176-1, from memory), a lip that one trips over (ICPI), an edge that is seen as a step (common practice).
const HEAD: i128 = 89 * MM;
const LIP: i128 = 3 * MM;
const STEP: i128 = 100 * MM;
/// From here on a guard is wanted, by region: Approved Document K, IRC R312.1.1 (30 in), the code of Australia.
const GUARD: [(&str, i128); 3] = [("eu", 600 * MM), ("na", 762 * MM), ("anz", 1000 * MM)];
/// The ground is not in the record: it lies no deeper than this below z = 0.
const DEEPEST: i128 = 5_000 * MM;
/// Heights of parts at angles are rounded, told to the nanometre, and here in floats.
const SLACK: i128 = 2_000;

/// The answers that there must be.
pub(crate) fn own(of: &Of<'_>) -> Vec<Pair> {
    let mut pairs = if of.papers.children { gaps(of) } else { Vec::new() };
    for piece in &of.asked.pieces {
        let parts: Vec<&Part> = of.record.parts.iter().filter(|part| part.piece == piece.name).collect();
        pairs.extend(match piece.is {
            "slats" => fall(&piece.name, &parts, of),
            "edging" | "pad" => trip(&piece.name, &parts),
            _ => None,
        });
    }
    pairs
}

fn gaps(of: &Of<'_>) -> Vec<Pair> {
    let kind = |name: &str| of.asked.pieces.iter().find(|piece| piece.name == name).map_or("", |piece| piece.is);
    let open = |row: &&crate::claims::Row| {
        row.gaps > 0 && row.pattern != [0] && ["screen", "cladding", "slats"].contains(&kind(&row.piece))
    };
    let pair = |row: &crate::claims::Row| {
        let name = format!("{}.{}", row.piece, row.face.replace(' ', "-"));
        Pair {
            about: format!("the gaps of {name}"),
            value: Number::exact(format!("{name}.gap"), "", "nm", Vec::new()),
            limit: Number::exact("hurt.head", "by-the-book", "nm", vec![HEAD]),
        }
    };
    of.record.rows.iter().filter(open).map(pair).collect()
}

fn top(part: &Part) -> i128 {
    Solid::of(part).map_or(0, |solid| (solid.bounds()[1][2] * 1e6).round() as i128)
}

fn placed(name: String, value: i128) -> Number {
    Number { slack: SLACK, ..Number::exact(name, "as-placed", "nm", vec![value]) }
}

fn fall(piece: &str, parts: &[&Part], of: &Of<'_>) -> Option<Pair> {
    let text = of.papers.pieces.iter().find(|text| text.name == piece).filter(|text| !text.has("between"))?;
    let (_, guard) = GUARD.iter().find(|guard| guard.0 == of.papers.region)?;
    let top = parts.iter().map(|part| top(part)).max()?;
    let name = format!("hurt.{}.fall", text.name);
    let claimed = of.record.quantities.iter().find(|quantity| quantity.name == name).map(|known| known.value.into());
    let high = claimed.filter(|claimed| (top..=top + DEEPEST).contains(claimed)).unwrap_or(top);
    Some(Pair {
        about: format!("a fall from {piece}"),
        value: placed(name, high),
        limit: Number::exact("hurt.guard-from", "by-the-book", "nm", vec![*guard]),
    })
}

fn trip(piece: &str, parts: &[&Part]) -> Option<Pair> {
    let units = parts.iter().filter(|part| part.kind == "unit");
    let top = units.map(|part| top(part)).max()?.max(0);
    (top < STEP).then(|| Pair {
        about: format!("the edge of {piece}"),
        value: placed(format!("hurt.{piece}.lip"), top),
        limit: Number::exact("hurt.lip", "by-the-book", "nm", vec![LIP]),
    })
}
