//! Rule `geometry`: parts lie where the plan's wishes and the chosen sizes put them, and nothing is missing.
//!
//! The referee lays the plan out once more from its own outlines (see [`crate::ground`] and [`crate::laid`]) and holds every
//! part, row and tape mark against that: to the nanometre at right angles, within [`crate::laid::ROUNDED`] at others. Beside
//! it each kind of piece holds what can be seen of its parts as they are claimed alone: walls fill their outline course by
//! course and reach from end to end of the piece's sizes, cladding lies flush on the wall, a ring keeps its clearance, each gap
//! between neighbours is its row's share and within its wish.

mod alike;

use crate::asked::{APART, Asked, Line, Planned, Standing};
use crate::claims::{Part, Plane, Record};
use crate::ground::{Outline, QUARTER};
use crate::laid::{Built, Cut, Laid, ROUNDED, Site, Slot, lay_out};
use crate::ledger::{Ledger, Mm};
use crate::texts::Papers;
use alike::Form;
use std::collections::BTreeMap;

const RULE: &str = "geometry";

/// What a normal is multiplied by in the record.
const UNIT: f64 = 1e12;
/// How far a normal may lie from the referee's: on a part of ten metres that is a hundredth of a nanometre.
const NORMAL_SLACK: f64 = 1e-9;

/// What a kind of piece holds its parts against.
pub(crate) struct Case<'c> {
    pub record: &'c Record,
    pub site: &'c Site<'c>,
}

/// Holds parts and rows; gives the plan as the referee laid it out, if it can be.
pub(crate) fn hold<'a>(record: &Record, papers: &Papers, asked: &'a Asked, ledger: &mut Ledger) -> Option<Built<'a>> {
    ledger.turn_to(RULE);
    hold_ids(record, ledger);
    let closing = &record.ways[record.chosen].closing;
    let site = Site::of(asked, closing);
    let Some(built) = lay_out(asked, closing) else {
        ledger.find("the chosen way cannot be laid out".into());
        return None;
    };
    hold_parts(record, &built, ledger);
    hold_beside(record, &site, ledger);
    hold_rows(record, &built, papers, ledger);
    let case = Case { record, site: &site };
    for piece in &asked.pieces {
        piece.form.hold(piece, &case, ledger);
    }
    Some(built)
}

/// What parts that are alike share exactly.
type Stuff<'r> = (&'r str, &'r str, &'r str);

/// Parts that share their letters: the letters, the form of the first, and the numbers of all.
struct Letters<'r> {
    letters: &'r str,
    form: Form,
    numbers: Vec<i64>,
}

/// Ids are different; a part has the letters of the first kind whose first part it is like, and no others; numbers run
/// from 1.
fn hold_ids(record: &Record, ledger: &mut Ledger) {
    let mut kinds: BTreeMap<Stuff<'_>, Vec<Letters<'_>>> = BTreeMap::new();
    let mut stuffs: BTreeMap<&str, Stuff<'_>> = BTreeMap::new();
    for part in &record.parts {
        let letters = part.letters();
        let stuff = (&*part.piece, &*part.kind, &*part.stock);
        let number = part.id[letters.len()..].parse().unwrap_or(0);
        let sound = !letters.is_empty() && letters.bytes().all(|b| b.is_ascii_uppercase());
        ledger.hold(sound && part.id == format!("{letters}{number}"), || format!("`{}` is no id", part.id));
        let own = *stuffs.entry(letters).or_insert(stuff);
        ledger.hold(own == stuff, || format!("{} is not like the other parts {letters}", part.slot()));
        let (form, known) = (Form::of(part), kinds.entry(stuff).or_default());
        // Kinds that began later than its own may be as near as they like.
        let before = known.iter().take_while(|kind| kind.letters != letters);
        let other = before.into_iter().find(|kind| kind.form.is_same(&form));
        ledger.hold(other.is_none(), || {
            format!("{} is like the parts {}", part.slot(), other.map_or("", |other| other.letters))
        });
        match known.iter_mut().find(|other| other.letters == letters) {
            Some(other) => {
                let like = other.form.is_like(&form);
                ledger.hold(like, || format!("{} is not like the other parts {letters}", part.slot()));
                other.numbers.push(number);
            }
            None => known.push(Letters { letters, form, numbers: vec![number] }),
        }
    }
    for Letters { letters, numbers, .. } in kinds.values_mut().flatten() {
        numbers.sort_unstable();
        let running = numbers.iter().zip(1..).all(|(&number, place)| number == place);
        ledger.hold(running, || format!("the parts {letters} are not numbered 1 to {}", numbers.len()));
    }
}

fn hold_parts(record: &Record, built: &Built<'_>, ledger: &mut Ledger) {
    let mut claimed: BTreeMap<Slot<'_>, &Part> = BTreeMap::new();
    for part in &record.parts {
        let slot = (part.piece.as_str(), part.role.as_str(), part.face.as_str(), part.course, part.index);
        let alone = claimed.insert(slot, part).is_none();
        ledger.hold(alone, || format!("{} fills a slot that is filled", part.slot()));
    }
    for laid in &built.parts {
        match claimed.remove(&laid.slot) {
            Some(part) => hold_part(part, laid, ledger),
            None => ledger.find(format!("nothing fills the slot {:?}", laid.slot)),
        }
    }
    for part in claimed.values() {
        ledger.find(format!("{} fills a slot that the plan does not have", part.slot()));
    }
}

fn hold_part(part: &Part, laid: &Laid<'_>, ledger: &mut Ledger) {
    ledger.hold((part.kind.as_str(), part.stock.as_str()) == laid.stock, || {
        format!("{} is of {} `{}`, and the plan says {:?}", part.slot(), part.kind, part.stock, laid.stock)
    });
    let spot = &laid.spot;
    let (frame, own) = ([part.heading, part.lean], [spot.heading, spot.lean]);
    ledger.hold(frame == own, || {
        format!("{} has heading and lean {frame:?}, and belongs at {own:?}, in millionths of a degree", part.slot())
    });
    let (from, extent) = (part.corner.map(i128::from), part.extent().map(i128::from));
    let near = |a: [i128; 3], b: [i128; 3]| (0..3).all(|axis| (a[axis] - b[axis]).abs() <= laid.slack);
    ledger.hold(near(from, spot.corner) && near(extent, spot.extent), || {
        let far = |from: [i128; 3], extent: [i128; 3]| [0, 1, 2].map(|axis| Mm(from[axis] + extent[axis]));
        let ([own_from, from_told], own_to) = ([spot.corner, from].map(|at| at.map(Mm)), far(spot.corner, spot.extent));
        let to = far(from, extent);
        format!("{} reaches from {from_told:?} to {to:?}, and belongs from {own_from:?} to {own_to:?}", part.slot())
    });
    ledger.hold((part.along, part.across) == (laid.along, laid.across), || format!("{} lies another way", part.slot()));
    hold_planes(part, laid, ledger);
}

/// Every plane that trims a part is one of the referee's, and each of those is there.
fn hold_planes(part: &Part, laid: &Laid<'_>, ledger: &mut Ledger) {
    let mut open: Vec<&Cut> = laid.planes.iter().collect();
    for plane in &part.planes {
        let found = open.iter().position(|cut| is_at(plane, cut));
        ledger.hold(found.is_some(), || {
            let (normal, through) = (plane.normal, plane.through.map(Mm::of));
            format!("{} is trimmed by a plane {normal:?} through {through:?} that the plan has not", part.slot())
        });
        if let Some(found) = found {
            open.remove(found);
        }
    }
    for cut in open {
        ledger.find(format!("{} is not trimmed at its end {} by {:?}", part.slot(), cut.end, cut.normal));
    }
}

fn is_at(plane: &Plane, cut: &Cut) -> bool {
    let alike = (0..3).all(|axis| (plane.normal[axis] as f64 / UNIT - cut.normal[axis]).abs() <= NORMAL_SLACK);
    let apart: f64 = (0..3).map(|axis| cut.normal[axis] * (plane.through[axis] as f64 - cut.through[axis])).sum();
    plane.end == cut.end && alike && apart.abs() <= ROUNDED as f64
}

fn hold_rows(record: &Record, built: &Built<'_>, papers: &Papers, ledger: &mut Ledger) {
    let mut claimed: BTreeMap<(&str, &str), _> = BTreeMap::new();
    for row in &record.rows {
        let alone = claimed.insert((row.piece.as_str(), row.face.as_str()), row).is_none();
        ledger.hold(alone, || format!("the row {} of {} stands twice", row.face, row.piece));
    }
    let step = papers.tape.step().nanometres();
    for laid in &built.rows {
        let name = format!("the row {} of {}", laid.face, laid.piece);
        let Some(row) = claimed.remove(&(laid.piece.as_str(), laid.face.as_str())) else {
            ledger.find(format!("{name} is missing"));
            continue;
        };
        let near = (i128::from(row.length) - laid.length).abs() <= laid.slack;
        ledger.hold(near, || {
            format!("the length of {name} is said to be {}, and is {}", Mm::of(row.length), Mm(laid.length))
        });
        let [own, pattern]: [Vec<Mm>; 2] = [
            row.pattern.iter().map(|&member| Mm::of(member)).collect(),
            laid.pattern.iter().map(|&member| Mm(member)).collect(),
        ];
        ledger.same(&format!("the members of {name}"), own, pattern);
        ledger.same(&format!("the count of {name}"), i128::from(row.count), laid.count);
        ledger.same(&format!("the gaps of {name}"), i128::from(row.gaps), laid.gaps);
        ledger.same(&format!("all gaps of {name} together"), Mm::of(row.gaps_total), Mm(laid.total));
        ledger.same(&format!("whether {name} starts with a gap"), row.starts_with_gap, laid.starts_with_gap);
        ledger.same(&format!("whether {name} is counted from the bottom up"), row.up, laid.up);
        let marks: Vec<Mm> = (0..laid.count).map(|i| Mm(laid.mark(i, step.into()))).collect();
        let own: Vec<Mm> = row.marks.iter().map(|&mark| Mm::of(mark)).collect();
        ledger.hold(own == marks, || format!("the marks of {name} are {own:?}, and belong at {marks:?}"));
    }
    for (piece, face) in claimed.keys() {
        ledger.find(format!("the plan has no row {face} of {piece}"));
    }
}

pub(crate) fn parts_of<'r>(record: &'r Record, piece: &str) -> Vec<&'r Part> {
    record.parts.iter().filter(|part| part.piece == piece).collect()
}

/// Whether two parts along the axes of the build lie side by side along one of them.
pub(crate) fn meet(a: &Part, b: &Part, axis: usize) -> bool {
    a.corner[axis] < b.far()[axis] && b.corner[axis] < a.far()[axis]
}

/// Pieces that stand by themselves do so along the front, the first where the build begins, each of the others three metres
/// behind the end of the one before. Walls of right angles tell where they begin and end; others where their outline does.
fn hold_beside(record: &Record, site: &Site<'_>, ledger: &mut Ledger) {
    let mut begins = 0;
    for piece in site.asked.pieces.iter().filter(|piece| piece.standing != Standing::By) {
        let parts = parts_of(record, &piece.name);
        let ground = site.ground(&piece.stand.outline);
        let mut ends = ground.corners[0][0] + (1 + piece.kept_free()) * ground.lengths[0];
        if piece.is == "walls" && piece.stand.outline.is_square() && piece.stand.batter == 0 {
            let least = parts.iter().map(|part| i128::from(part.corner[0])).min().unwrap_or(0);
            if piece.standing == Standing::Alone {
                ledger.same(&format!("where {} begins along the front", piece.name), Mm(least), Mm(begins));
            }
            ends = parts.iter().map(|part| i128::from(part.far()[0])).max().unwrap_or(0);
        }
        begins = ends + APART;
    }
}

/// Between neighbours of a row lies its share, to the nanometre, and within what is wished.
pub(crate) fn hold_gaps(own: &Planned, base: &Outline, lines: &[Line], case: &Case<'_>, ledger: &mut Ledger) {
    let mut rows: BTreeMap<&str, Vec<&Part>> = BTreeMap::new();
    let in_rows = |part: &&Part| part.piece == own.name && !["corner", "cover"].contains(&part.role.as_str());
    for part in case.record.parts.iter().filter(in_rows) {
        rows.entry(part.face.as_str()).or_default().push(part);
    }
    let asked = case.site.asked;
    for line in lines {
        let Some(wish) = line.row.map(|row| &asked.gaps[asked.rows[row].gap].1) else { continue };
        let Some(row) = rows.get_mut(base.name(line.side)) else { continue };
        let slack = if base.is_square() { 0 } else { ROUNDED as i64 };
        row.sort_by_key(|part| along(part, base, line.side)[0]);
        let place = |part: &Part| along(part, base, line.side);
        let mut gaps = row.windows(2).map(|pair| place(pair[1])[0] - place(pair[0])[1]).peekable();
        let first = gaps.peek().copied().unwrap_or(0);
        for (gap, pair) in gaps.zip(row.windows(2)) {
            ledger.hold((wish.from - 1 - slack..=wish.to + 1 + slack).contains(&gap), || {
                format!("between {} and {} is a gap of {}", pair[0].slot(), pair[1].slot(), Mm::of(gap))
            });
            ledger.hold((gap - first).abs() <= 2 + slack, || {
                let (gap, first) = (Mm::of(gap), Mm::of(first));
                format!("between {} and {} is {gap}, elsewhere in the row {first}", pair[0].slot(), pair[1].slot())
            });
        }
    }
}

/// From where to where a part lies in the direction of a side.
fn along(part: &Part, base: &Outline, side: usize) -> [i64; 2] {
    let heading = base.heading(side);
    if base.is_square() {
        let axis = (heading / QUARTER % 2) as usize;
        return [part.corner[axis], part.far()[axis]];
    }
    let (sin, cos) = crate::ground::sin_cos(heading);
    let at = libm::round(part.corner[0] as f64 * cos + part.corner[1] as f64 * sin) as i64;
    [at, at + part.extent()[0]]
}
