//! *Do the screws fit?* Grips, tips and ends measured on the faces of the exported parts.

use super::{Number, Of, Pair};
use crate::asked::Load;
use crate::claims::{Joint, Part};
use crate::joints::body::Body;
use crate::solid::{dot, frame, minus};
use std::collections::BTreeMap;

/// The question.
pub(crate) const ASKS: &str = "Do the screws fit?";

const MM: i64 = 1_000_000;
/// A wood screw that carries goes in by six diameters (NDS 12.1.5.6).
const GRIP: i64 = 6;
/// Left beyond a tip, and how far a head is sunk (common practice).
const LEFT: i64 = 2 * MM;
const SUNK: i64 = MM;
/// From an end 7 diameters; of cladding 20 mm and 3 diameters (LVL Handbook 2025 Table 5.1; TRADA yearbook 2022).
const END: i64 = 7;
const CLADDING: [i64; 2] = [3, 20 * MM];
/// Places are rounded to the nanometre, on faces that may lie at an angle.
const SLACK: i128 = 2_000;
/// What a direction is multiplied by in the record.
const UNIT: f64 = 1e12;

/// A joint with its parts.
struct Known<'r> {
    joint: &'r Joint,
    held: &'r Part,
    diameter: i64,
    load: Option<Load>,
    /// Where its base is entered and left, from the heads.
    way: [i64; 2],
}

/// The answers that there must be.
pub(crate) fn own(of: &Of<'_>) -> Vec<Pair> {
    let parts: BTreeMap<&str, &Part> = of.record.parts.iter().map(|part| (part.id.as_str(), part)).collect();
    let mut pieces: Vec<&str> = Vec::new();
    for part in &of.record.parts {
        if !pieces.contains(&part.piece.as_str()) {
            pieces.push(&part.piece);
        }
    }
    let mut bodies = BTreeMap::new();
    let joints: Vec<Known<'_>> =
        of.record.joints.iter().filter_map(|joint| known(joint, &parts, &mut bodies, of)).collect();
    pieces.into_iter().flat_map(|piece| of_piece(piece, &parts, &joints, of)).collect()
}

fn known<'r>(
    joint: &'r Joint,
    parts: &BTreeMap<&str, &'r Part>,
    bodies: &mut BTreeMap<&'r str, Option<Body<'r>>>,
    of: &Of<'_>,
) -> Option<Known<'r>> {
    let (held, base) = (*parts.get(joint.held.as_str())?, *parts.get(joint.base.as_str())?);
    let role = |part: &Part| (part.piece.clone(), part.role.clone());
    let mut fixings = of.asked.pieces.iter().flat_map(|piece| &piece.fixings);
    let fixing = fixings.find(|fixing| fixing.held == role(held) && fixing.base == role(base));
    let body = bodies.entry(base.id.as_str()).or_insert_with(|| Body::of(base)).as_ref()?;
    let way = joint.direction.map(|part| part as f64 / UNIT);
    let head = joint.heads.first()?.map(|place| place as f64 / 1e6);
    let nm = |mm: f64| (mm * 1e6).round() as i64;
    Some(Known {
        joint,
        held,
        diameter: of.papers.screw(&joint.screw)?.diameter,
        load: fixing.map(|fixing| fixing.load),
        way: [nm(body.enters(head, way)), nm(body.leaves(head, way))],
    })
}

fn of_piece(piece: &str, parts: &BTreeMap<&str, &Part>, joints: &[Known<'_>], of: &Of<'_>) -> Vec<Pair> {
    let own: Vec<&Known<'_>> = joints.iter().filter(|known| known.held.piece == piece).collect();
    let is_own = |held: &str| parts.get(held).is_some_and(|part| part.piece == piece);
    let unmade = of.record.unmade.iter().filter(|unmade| is_own(&unmade.held)).count();
    let made = of.record.joints.iter().filter(|joint| is_own(&joint.held)).count();
    if made + unmade == 0 {
        return Vec::new();
    }
    let counts = vec![(made + unmade) as i128, made as i128];
    let places = Pair {
        about: format!("the places for the screws of {piece}"),
        value: Number::exact(format!("fit.{piece}.open"), "screw-open", "count", counts),
        limit: Number::exact("fit.none", "by-the-book", "count", vec![0]),
    };
    [Some(places), grip(piece, &own), tips(piece, &own), ends(piece, &own)].into_iter().flatten().collect()
}

/// Those that are within rounding of the least.
fn least<T>(all: &[T], spare: impl Fn(&T) -> i64) -> Vec<&T> {
    let least = all.iter().map(&spare).min();
    all.iter().filter(|one| least.is_some_and(|least| i128::from(spare(one) - least) <= SLACK)).collect()
}

fn number(name: String, rule: &'static str, choices: Vec<Vec<i64>>) -> Number {
    let choices = choices.into_iter().map(|choice| choice.into_iter().map(i128::from).collect()).collect();
    Number { name, rule, of: "nm", choices, slack: SLACK, from: Vec::new() }
}

fn grip(piece: &str, own: &[&Known<'_>]) -> Option<Pair> {
    let carries =
        |known: &&&Known<'_>| known.load != Some(Load::Own) && (known.joint.direction[2] as f64) <= UNIT / 2.0;
    let own: Vec<&Known<'_>> = own.iter().filter(carries).copied().collect();
    let worst = least(&own, |known| known.joint.length - known.way[0] - GRIP * known.diameter);
    worst.first()?;
    let wanted = worst.iter().map(|known| vec![known.diameter, GRIP]).collect();
    let there = worst.iter().map(|known| vec![known.joint.length, known.way[0]]).collect();
    Some(Pair {
        about: format!("the grip of the screws of {piece}"),
        value: Number { slack: 0, ..number(format!("fit.{piece}.grip-least"), "screw-grip-least", wanted) },
        limit: number(format!("fit.{piece}.grip"), "screw-grip", there),
    })
}

fn tips(piece: &str, own: &[&Known<'_>]) -> Option<Pair> {
    let worst = least(own, |known| known.way[1] - known.joint.length);
    worst.first()?;
    let left = worst.iter().map(|known| vec![known.way[1], known.joint.length, SUNK]).collect();
    Some(Pair {
        about: format!("the tips of the screws of {piece}"),
        value: Number::exact("fit.left-least", "by-the-book", "nm", vec![LEFT.into()]),
        limit: number(format!("fit.{piece}.left"), "screw-left", left),
    })
}

fn ends(piece: &str, own: &[&Known<'_>]) -> Option<Pair> {
    let mut all = Vec::new();
    for known in own.iter().filter(|known| known.held.kind == "board" && known.held.planes.is_empty()) {
        let (times, rule) = if known.load == Some(Load::Own) { (CLADDING[0], CLADDING[1]) } else { (END, 0) };
        let least = (times * known.diameter).max(rule);
        all.extend(
            known
                .joint
                .heads
                .iter()
                .map(|&head| (vec![known.diameter, times, rule], least, from_end(known.held, head))),
        );
    }
    let worst = least(&all, |(_, least, far)| far - least);
    worst.first()?;
    Some(Pair {
        about: format!("the ends at the screws of {piece}"),
        value: Number {
            slack: 0,
            ..number(
                format!("fit.{piece}.end-least"),
                "screw-end-least",
                worst.iter().map(|one| one.0.clone()).collect(),
            )
        },
        limit: number(format!("fit.{piece}.end"), "as-placed", worst.iter().map(|one| vec![one.2]).collect()),
    })
}

/// How far a point lies from the nearer end, along the grain.
fn from_end(part: &Part, head: [i64; 3]) -> i64 {
    let mm = |place: [i64; 3]| place.map(|place| place as f64);
    let along = dot(frame(part.heading, part.lean)[part.along], minus(mm(head), mm(part.corner))).round() as i64;
    along.min(part.length - along)
}

#[cfg(test)]
mod tests {
    use super::least;

    #[test]
    fn all_that_are_as_bad_are_kept() {
        assert_eq!(least(&[5_000, 3_000, 4_900, 9_000], |one| *one), [&5_000, &3_000, &4_900]);
        assert!(least(&[0_i64; 0], |one| *one).is_empty());
    }
}
