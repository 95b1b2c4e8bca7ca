//! The numbers of joints that must have a why: least and greatest lengths, holes, distances, counts.

use super::lengths::{END_GRAIN_MORE, GRIP_TENTHS, TIP_SHORT, slack};
use super::load::{FROM_LOADED_END, from_loaded_edge, is_across};
use super::touch::{Touch, Way};
use super::{ACROSS, ALONG, Book, CLADDING_FROM_END, FROM_EDGE, FROM_END};
use crate::asked::Load;
use crate::claims::{Part, Record};
use crate::laid::Number;
use crate::texts::{Material, Papers};
use crate::whys::formula;
use measure::Unit;
use std::collections::{BTreeMap, BTreeSet};

/// The step that drill bits come in: half a millimetre, or 1/64 in.
const BITS: i128 = 500_000;
const INCH_BITS: i128 = 396_875;
/// How wide a countersink is, in diameters (*common practice*).
const COUNTERSINK: i128 = 2;
/// How far a drill held by hand may wander over the depth of a post: 3 mm (*common practice*).
const WANDER: i128 = 3_000_000;
/// The pilot's share of the diameter: 7/8 of the root in wood up to 600 kg/m³, the whole root in denser wood, the root being
/// 2/3 of the diameter.
///
/// # Source
/// NDS (AWC, 2018) 12.1.5.2, lead holes for side load, as quoted on a page about wood screws; USDA Wood Handbook, FPL-GTR-190,
/// p. 8-10.
const LIGHT: [i128; 2] = [14, 24];
const DENSE: [i128; 2] = [2, 3];
const DENSE_ABOVE: i128 = 600;

pub(super) fn bits(papers: &Papers) -> i128 {
    match papers.tape.unit() {
        Unit::Millimetre => BITS,
        Unit::Inch | Unit::FootInch => INCH_BITS,
    }
}

pub(super) fn pilot(diameter: i128, dense: bool, bits: i128) -> i128 {
    let [above, below] = if dense { DENSE } else { LIGHT };
    formula("screw-pilot", &[diameter, above, below, bits]).unwrap_or(0)
}

pub(super) fn clearance(diameter: i128, bits: i128) -> i128 {
    formula("screw-clearance", &[diameter, bits]).unwrap_or(0)
}

/// Wood of unknown density counts as light, so that its pilot is the smaller one.
pub(super) fn is_dense(density: Option<i128>) -> bool {
    density.is_some_and(|density| density > DENSE_ABOVE)
}

/// How dense a part is, in kilograms for a cubic metre: nothing inside if nobody knows, nothing at all if the yard names a
/// material whose figure does not stand in the record.
pub(super) fn density(record: &Record, papers: &Papers, part: &Part) -> Option<Option<i128>> {
    let material = match part.kind.as_str() {
        "board" => papers.board(&part.stock).map(|board| &board.material),
        "sheet" => papers.sheet(&part.stock).map(|sheet| &sheet.material),
        _ => papers.unit(&part.stock).map(|unit| &unit.material),
    };
    match material {
        Some(Material::Stated(density)) => Some(Some((*density).into())),
        Some(Material::Named(name)) => {
            // Any part of that material will do: its mass goes by the handbook's figure.
            let is_same = |other: &&Part| {
                let of = match other.kind.as_str() {
                    "board" => papers.board(&other.stock).map(|board| &board.material),
                    "sheet" => papers.sheet(&other.stock).map(|sheet| &sheet.material),
                    _ => None,
                };
                matches!(of, Some(Material::Named(of)) if of == name)
            };
            let letters: BTreeSet<&str> = record.parts.iter().filter(is_same).map(Part::letters).collect();
            let weighed = record
                .quantities
                .iter()
                .find(|quantity| quantity.name.strip_prefix("mass.").is_some_and(|of| letters.contains(of)));
            weighed.and_then(|mass| mass.inputs.last()).map(|density| Some(density.value.into()))
        }
        _ => Some(None),
    }
}

/// What a screw goes through and into: held, base, into end grain, from below; and how far these may lie off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Room {
    held: i128,
    base: i128,
    end_grain: bool,
    from_below: bool,
    air: i128,
    slack: i128,
}

impl Room {
    fn of(touch: &Touch) -> Room {
        Room {
            held: touch.held,
            base: touch.base,
            end_grain: touch.way == Way::OnEndGrain,
            from_below: touch.points_up(),
            air: touch.before_base() - touch.held,
            slack: slack(touch),
        }
    }

    fn is_near(&self, other: [i128; 3]) -> bool {
        let own = [self.held, self.base, self.air];
        (0..3).all(|at| (own[at] - other[at]).abs() <= self.slack)
    }

    fn least(&self) -> (&'static str, Vec<i128>) {
        if self.from_below {
            return ("screw-least-from-below", vec![self.held, self.base]);
        }
        ("screw-least", vec![self.held, GRIP_TENTHS, self.air + if self.end_grain { END_GRAIN_MORE } else { 0 }])
    }
}

/// All of them.
pub(super) fn of(book: &Book<'_>) -> Vec<Number> {
    let mut numbers = Vec::new();
    lengths(book, &mut numbers);
    slots(book, &mut numbers);
    holes(book, &mut numbers);
    counts(book, &mut numbers);
    numbers
}

fn number(name: String, rule: &'static str, inputs: Vec<i128>) -> Number {
    Number { name, rule, of: "nm", inputs }
}

fn lengths(book: &Book<'_>, numbers: &mut Vec<Number>) {
    let mut kinds: BTreeMap<(&str, &str), BTreeSet<Room>> = BTreeMap::new();
    for (pair, _) in book.told.iter().filter(|(_, made)| **made) {
        let letters = [pair.0, pair.1].map(|place| book.record.parts[place].letters());
        kinds.entry((letters[0], letters[1])).or_default().insert(Room::of(&book.touches[pair]));
    }
    for ((held, base), rooms) in kinds {
        let name = |at: usize, end: &str| {
            let more = if at == 0 { String::new() } else { format!(".{}", at + 1) };
            format!("joint.{held}-{base}{more}.{end}")
        };
        let mut open: Vec<Room> = rooms.iter().copied().collect();
        for at in 0.. {
            // The record's own room of this number, if one of the referee's lies near it: those at angles differ by nanometres.
            let claimed = claimed(book.record, &name(at, "least"), &name(at, "most"));
            let near = |room: &&Room| claimed.is_some_and(|own| room.is_near(own));
            let covered = rooms.iter().find(near).copied().filter(|room| room.slack > 0 || open.contains(room));
            let Some(mut room) = covered.or_else(|| open.first().copied()) else { break };
            if let (Some([held, base, air]), Some(_)) = (claimed, covered) {
                (room.held, room.base, room.air) = (held, base, air);
            }
            open.retain(|other| !other.is_near([room.held, room.base, room.air]));
            let (rule, inputs) = room.least();
            numbers.push(number(name(at, "least"), rule, inputs));
            numbers.push(number(name(at, "most"), "screw-most", vec![room.held + room.air, room.base, TIP_SHORT]));
        }
    }
}

/// The inputs of slots, by their distance, coefficient and clearance.
type Slots = BTreeMap<(i128, i128, i128), [i128; 5]>;

/// The slots of each kind of held part on each kind of base, by distance and material.
fn slots(book: &Book<'_>, numbers: &mut Vec<Number>) {
    let mut kinds: BTreeMap<(&str, &str), Slots> = BTreeMap::new();
    for joint in &book.record.joints {
        let pair = book.places.get(joint.held.as_str()).copied().zip(book.places.get(joint.base.as_str()).copied());
        let Some((pair, asks)) = pair.and_then(|pair| Some((pair, book.known(pair)?))) else { continue };
        let Some(moves) = &asks.moves else { continue };
        let letters = [pair.0, pair.1].map(|place| book.record.parts[place].letters());
        for distance in moves.slotted(joint) {
            let kind = kinds.entry((letters[0], letters[1])).or_default();
            let inputs = moves.inputs(distance);
            kind.insert((distance, moves.coefficient(), inputs[0]), inputs);
        }
    }
    for ((held, base), slots) in kinds {
        for (at, inputs) in slots.into_values().enumerate() {
            let more = if at == 0 { String::new() } else { format!("-{}", at + 1) };
            numbers.push(number(format!("joint.{held}-{base}.slot{more}"), "screw-slot", inputs.into()));
        }
    }
}

/// How thick the record has the held part, how deep the base, and how much air between them.
fn claimed(record: &Record, least: &str, most: &str) -> Option<[i128; 3]> {
    let first = |name: &str| record.quantities.iter().find(|quantity| quantity.name == name)?.inputs.first();
    let base = record.quantities.iter().find(|quantity| quantity.name == most)?.inputs.get(1)?;
    let [held, through] = [first(least)?, first(most)?].map(|input| i128::from(input.value));
    Some([held, base.value.into(), through - held])
}

/// What a screw is used for.
#[derive(Clone, Copy, Default)]
struct Uses {
    light: bool,
    dense: bool,
    itself: bool,
    loaded: bool,
}

fn holes(book: &Book<'_>, numbers: &mut Vec<Number>) {
    let (record, papers) = (book.record, book.papers);
    let mut screws: BTreeMap<&str, Uses> = BTreeMap::new();
    for joint in &record.joints {
        let pair = book.places.get(joint.held.as_str()).copied().zip(book.places.get(joint.base.as_str()).copied());
        let Some((pair, touch)) = pair.and_then(|pair| Some((pair, book.touches.get(&pair)?))) else { continue };
        let uses = screws.entry(&joint.screw).or_default();
        let dense = match density(record, papers, &record.parts[pair.1]) {
            Some(density) => is_dense(density),
            // Nothing says how dense it is: the hole itself does.
            None => papers
                .screw(&joint.screw)
                .is_some_and(|screw| i128::from(joint.pilot) == pilot(screw.diameter.into(), true, bits(papers))),
        };
        uses.dense |= dense;
        uses.light |= !dense;
        let load = book.fixings[touch.fixing].load;
        uses.itself |= load == Load::Own;
        uses.loaded |= is_across(load, touch);
    }
    for unmade in record.unmade.iter().filter(|unmade| ["no room", "would meet"].contains(&unmade.why.as_str())) {
        let uses = screws.entry(&unmade.screw).or_default();
        let pair = book.places.get(unmade.held.as_str()).copied().zip(book.places.get(unmade.base.as_str()).copied());
        let touch = pair.and_then(|pair| book.touches.get(&pair));
        uses.loaded |= touch.is_some_and(|touch| is_across(book.fixings[touch.fixing].load, touch));
    }
    for (name, uses) in screws {
        if let Some(screw) = papers.screw(name) {
            holes_of(name, screw.diameter, uses, bits(papers), numbers);
        }
    }
}

fn holes_of(screw: &str, diameter: i64, uses: Uses, bits: i128, numbers: &mut Vec<Number>) {
    let (loaded_edge, diameter) = (from_loaded_edge(diameter), i128::from(diameter));
    let mut add = |what: &str, rule, inputs| numbers.push(number(format!("screw.{screw}.{what}"), rule, inputs));
    if uses.light {
        add("pilot", "screw-pilot", vec![diameter, LIGHT[0], LIGHT[1], bits]);
    }
    if uses.dense {
        add("pilot-in-dense-wood", "screw-pilot", vec![diameter, DENSE[0], DENSE[1], bits]);
    }
    add("clearance", "screw-clearance", vec![diameter, bits]);
    add("countersink", "screw-countersink", vec![diameter, COUNTERSINK]);
    for (what, times) in [("from-end", FROM_END), ("from-edge", FROM_EDGE), ("along", ALONG), ("across", ACROSS)] {
        add(what, "screw-distance", vec![diameter, times.into()]);
    }
    if uses.loaded {
        add("from-loaded-end", "screw-distance", vec![diameter, FROM_LOADED_END.into()]);
        add("from-loaded-edge", "screw-distance", vec![diameter, loaded_edge.into()]);
    }
    if uses.itself {
        let edge = i128::from(FROM_EDGE) * diameter;
        add("from-end-of-cladding", "screw-cladding-end", vec![i128::from(CLADDING_FROM_END) * 1_000_000, edge]);
    }
    add("apart", "screw-apart", vec![diameter, WANDER]);
}

/// How many screws have their heads in each piece.
fn counts(book: &Book<'_>, numbers: &mut Vec<Number>) {
    let mut pieces: BTreeMap<&str, BTreeMap<i128, i128>> = BTreeMap::new();
    for joint in &book.record.joints {
        if let Some(&held) = book.places.get(joint.held.as_str()) {
            let each = joint.heads.len() as i128;
            *pieces.entry(&book.record.parts[held].piece).or_default().entry(each).or_default() += 1;
        }
    }
    for (piece, places) in pieces {
        let inputs = places.into_iter().flat_map(|(each, places)| [places, each]).collect();
        numbers.push(Number { name: format!("{piece}.screws"), rule: "screws", of: "count", inputs });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The usual table of bits (common practice): 3.0 and 5.5 for a screw of 5; a clearance of 4.5 for 4 and 6.5 for 6; in dense
    /// wood the whole root, 3.33, so a bit of 3.5.
    #[test]
    fn holes_of_the_usual_table() {
        let mm = |tenths: i128| tenths * 100_000;
        assert_eq!([pilot(mm(50), false, BITS), pilot(mm(50), true, BITS)], [mm(30), mm(35)]);
        assert_eq!([4, 5, 6].map(|d| clearance(mm(10 * d), BITS)), [45, 55, 65].map(mm));
        // 5 mm is 12.6 of 1/64 in: 13 of them are the next.
        assert_eq!(clearance(mm(50), INCH_BITS), 13 * INCH_BITS);
        assert_eq!([Some(600), Some(601), None].map(is_dense), [false, true, false]);
    }
}
