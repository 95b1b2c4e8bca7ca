//! Rule `joints`: every screw stays in the timber that it goes through and into, meets no other and keeps off ends and edges;
//! its holes are bored right; and whatever the plan asks to be screwed is, or cannot be.
//!
//! Which parts are to be joined follows from the pieces' fixings ([`crate::asked::Fixing`]) and from where parts touch, which
//! is sought here by the referee's own faces. For each joint the whole of each screw is followed: its head lies on the outer
//! face of the held part, it passes through that into the base, and its tip ends at least [`TIP`] short of the far face.
//! Distances are those of the published table for pre-drilled wood. What is called unmade is tried: its limits are worked out
//! again, and where room is said to be missing a place is sought.

mod air;
pub(crate) mod body;
mod touch;
mod lengths;
mod load;
pub(crate) mod slots;
mod meet;
mod room;
mod numbers;

use crate::asked::{Asked, Fixing, Load};
use crate::claims::{Joint, Record, Unmade};
use crate::laid::Built;
use crate::ledger::{Ledger, Mm};
use crate::solid::{Vector, dot, length, minus};
use crate::texts::{Papers, Screw};
use body::{Body, plus};
use lengths::Lengths;
use load::Side;
use meet::Fastener;
use slots::Moves;
use std::collections::{BTreeMap, BTreeSet};
use touch::{Touch, Touches, Way};

const RULE: &str = "joints";

/// How far short of the far face a tip ends, in millimetres (*common practice*).
const TIP: f64 = 5.0;
/// Diameters from the end of the wood along its grain, and from an edge, in pre-drilled wood.
///
/// # Source
/// LVL Handbook (Federation of the Finnish Woodworking Industries, 2025) Table 5.1, the pattern of EN 1995-1-1 Table 8.2:
/// a3,c = 7 d, a4,c = 3 d.
const FROM_END: i64 = 7;
const FROM_EDGE: i64 = 3;
/// Diameters from screw to screw along the grain and across it: a1 = (4 + |cos a|) d, a2 = (3 + |sin a|) d at their most, the
/// same table.
const ALONG: i64 = 5;
const ACROSS: i64 = 4;
/// From the end of a board that carries only itself, in millimetres, and the width from which such a board has two screws at a
/// support.
///
/// # Source
/// Timber Decking and Cladding Association, in the TRADA yearbook 2022, p. 117.
const CLADDING_FROM_END: i64 = 20;
const TWO_SCREWS_FROM: f64 = 100.0;
/// How far a place may lie off, in millimetres: heads are rounded to the nanometre, and so are corners at angles.
const NEAR: f64 = 2e-3;
/// A face lies beside a screw if the cosine between its normal and the screw is less: bevels up to 60 degrees.
const BESIDE: f64 = 0.866;
/// What a direction is multiplied by in the record.
const UNIT: f64 = 1e12;
/// Nanometres in a millimetre.
const MILLIMETRE: f64 = 1e6;

/// Holds joints and what is unmade, and adds their numbers to those that must have a why.
pub(crate) fn hold(record: &Record, papers: &Papers, asked: &Asked, built: &mut Built<'_>, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let fixings: Vec<&Fixing> = asked.pieces.iter().flat_map(|piece| &piece.fixings).collect();
    let bodies = body::bodies(record, &fixings);
    let (touches, nowhere) = touch::touches(record, &fixings, &bodies);
    hold_nowhere(record, &fixings, &nowhere, ledger);
    let places = record.parts.iter().enumerate().map(|(place, part)| (part.id.as_str(), place)).collect();
    let mut book = Book { record, papers, fixings, bodies, touches, places, told: BTreeMap::new() };
    let mut fasteners = Vec::new();
    for (at, joint) in record.joints.iter().enumerate() {
        book.joint(at, joint, &mut fasteners, ledger);
    }
    // Screws that leave the timber may lie anywhere, and very many of them near one another without meeting.
    if ledger.clean() || fasteners.len() <= FEW {
        meet::hold(&fasteners, ledger);
    }
    for (at, joint) in record.joints.iter().enumerate() {
        book.hold_best(at, joint, &fasteners, ledger);
    }
    for unmade in &record.unmade {
        book.unmade(unmade, &fasteners, ledger);
    }
    book.hold_whole(&fasteners, ledger);
    built.numbers.extend(numbers::of(&book));
}

/// What is known of the joints while they are held.
struct Book<'r> {
    record: &'r Record,
    papers: &'r Papers,
    fixings: Vec<&'r Fixing>,
    bodies: BTreeMap<usize, Body<'r>>,
    touches: Touches,
    /// The place of each part by its id.
    places: BTreeMap<&'r str, usize>,
    /// Which pairs the record has told of.
    told: BTreeMap<(usize, usize), bool>,
}

/// A joint with all that it hangs on.
struct Asks<'b> {
    touch: &'b Touch,
    fixing: &'b Fixing,
    held: &'b Body<'b>,
    base: &'b Body<'b>,
    screw: &'b Screw,
    lengths: Lengths,
    moves: Option<Moves>,
}

impl<'r> Book<'r> {
    /// What a joint of these parts hangs on, if the plan asks for one with this screw and nothing was told of it yet.
    fn asks(&mut self, held: &str, base: &str, screw: &str, made: bool, ledger: &mut Ledger) -> Option<Asks<'_>> {
        let name = format!("{held} to {base}");
        let pair = (*self.places.get(held)?, *self.places.get(base)?);
        let touch = self.touches.get(&pair);
        if !ledger.hold(touch.is_some(), || format!("nothing in the plan asks to screw {name}, or they do not touch")) {
            return None;
        }
        let touch = touch?;
        let fixing = self.fixings[touch.fixing];
        ledger.hold(self.told.insert(pair, made).is_none(), || format!("the joint of {name} stands twice"));
        ledger.same(&format!("the screw of {name}"), screw, fixing.screw.as_str());
        let screw = self.papers.screw(&fixing.screw)?;
        Some(Asks::of(touch, fixing, [&self.bodies[&pair.0], &self.bodies[&pair.1]], screw, self.papers))
    }

    fn joint(&mut self, at: usize, joint: &Joint, fasteners: &mut Vec<Fastener>, ledger: &mut Ledger) {
        let name = format!("{} to {}", joint.held, joint.base);
        let known = self.places.contains_key(joint.held.as_str()) && self.places.contains_key(joint.base.as_str());
        if !ledger.hold(known, || format!("{name}: no such parts")) {
            return;
        }
        let papers = self.papers;
        let record = self.record;
        let Some(asks) = self.asks(&joint.held, &joint.base, &joint.screw, true, ledger) else { return };
        asks.hold_length(&name, joint, ledger);
        hold_holes(&name, joint, asks.screw, numbers::density(record, papers, asks.base.part), papers, ledger);
        asks.hold_heads(&name, joint, ledger);
        asks.hold_exact(&name, joint, ledger);
        asks.hold_slots(&name, joint, ledger);
        if !joint.slots.is_empty() {
            hold_slots_told(&asks.held.part.piece, record, ledger);
        }
        let direction = joint.direction.map(|part| part as f64 / UNIT);
        asks.hold_air_free(&name, joint, record, ledger);
        for head in &joint.heads {
            let from = head.map(|at| at as f64 / MILLIMETRE);
            asks.hold_screw(&name, from, direction, joint.length as f64 / MILLIMETRE, ledger);
            fasteners.push(Fastener::new(at, name.clone(), from, direction, joint.length, asks.screw.diameter));
        }
    }

    fn unmade(&mut self, unmade: &Unmade, fasteners: &[Fastener], ledger: &mut Ledger) {
        let name = format!("{} to {}", unmade.held, unmade.base);
        let known = self.places.contains_key(unmade.held.as_str()) && self.places.contains_key(unmade.base.as_str());
        if !ledger.hold(known, || format!("{name}: no such parts")) {
            return;
        }
        let record = self.record;
        let Some(asks) = self.asks(&unmade.held, &unmade.base, &unmade.screw, false, ledger) else { return };
        let claimed = (unmade.why.as_str(), [unmade.least, unmade.most, unmade.base_least].map(i128::from));
        let possible = asks.lengths.reasons(asks.touch);
        let fits = possible
            .iter()
            .any(|(why, own, slack)| claimed.0 == *why && (0..3).all(|at| (claimed.1[at] - own[at]).abs() <= *slack));
        ledger.hold(fits, || format!("{name} is said to be unmade for {claimed:?}, and it is {possible:?}"));
        // Where room is said to be missing nothing else may be in the way; what would meet is held against all that stands.
        let others: Vec<&Fastener> = if unmade.why == "would meet" { fasteners.iter().collect() } else { Vec::new() };
        let of_room = fits && ["no room", "would meet"].contains(&unmade.why.as_str());
        if let (true, Some(length)) = (of_room, asks.lengths.chosen()) {
            let place = room::find(&asks, length, 1, &others, record);
            ledger
                .hold(place.is_none(), || format!("{name} is said to have no room, and has some at {place:?}, in mm"));
        }
    }

    /// What a joint hangs on that was held before.
    fn known(&self, pair: (usize, usize)) -> Option<Asks<'_>> {
        let touch = self.touches.get(&pair)?;
        let fixing = self.fixings[touch.fixing];
        let screw = self.papers.screw(&fixing.screw)?;
        Some(Asks::of(touch, fixing, [&self.bodies[&pair.0], &self.bodies[&pair.1]], screw, self.papers))
    }

    /// Fewer screws than are asked for only where more have no room, and that is told; heads between the marks of the tape
    /// only where they have no room on them.
    fn hold_best(&self, at: usize, joint: &Joint, fasteners: &[Fastener], ledger: &mut Ledger) {
        let pair = self.places.get(joint.held.as_str()).copied().zip(self.places.get(joint.base.as_str()).copied());
        let Some(asks) = pair.and_then(|pair| self.known(pair)) else { return };
        let others = || fasteners.iter().filter(|other| other.joint != at).collect::<Vec<&Fastener>>();
        let (name, count) = (format!("{} to {}", joint.held, joint.base), joint.heads.len());
        let wanted = asks.wanted();
        if count < wanted {
            let place = room::find(&asks, joint.length.into(), count + 1, &others(), self.record);
            ledger.hold(place.is_none(), || {
                format!("{name} has {count} screws, and wants {wanted} or more: there is room at {place:?}, in mm")
            });
            let [held, base] = [asks.held, asks.base].map(|body| body.part.letters());
            let said = format!("instead of {wanted} in ");
            let kind = format!(", {held} to {base}: ");
            let told = self.record.notes.iter().any(|note| {
                note.piece == asks.held.part.piece
                    && note.text.starts_with(&format!("{count} screw"))
                    && note.text.contains(&said)
                    && note.text.contains(&kind)
            });
            ledger.hold(told, || format!("{name} has {count} screws in place of {wanted}, and no note tells of it"));
        }
        asks.hold_marks(&name, joint, i128::from(self.papers.tape.step().nanometres()), others, self.record, ledger);
    }

    /// Each pair that should be joined was told of, or touches by chance.
    fn hold_whole(&self, fasteners: &[Fastener], ledger: &mut Ledger) {
        for (pair, touch) in &self.touches {
            let [held, base] = [pair.0, pair.1].map(|place| &self.record.parts[place]);
            let told = touch.is_slight || self.told.contains_key(pair) || self.is_chance(*pair, fasteners);
            ledger.hold(told, || {
                format!("{} is to be screwed to {}, and nothing says so or why not", held.slot(), base.slot())
            });
        }
    }
}

/// How many screws in other parts of a piece hold a part where it only just touches one more.
const SCREWS_THAT_HOLD: usize = 2;

impl Book<'_> {
    /// Whether a part only just touches a base, has its screws in other parts of the base's piece, and no room for any here.
    fn is_chance(&self, pair: (usize, usize), fasteners: &[Fastener]) -> bool {
        let Some(asks) = self.known(pair) else { return false };
        let (held, base) = (asks.held.part, asks.base.part);
        let is_beside = |joint: &&Joint| {
            let to = self.places.get(joint.base.as_str()).map(|&place| &self.record.parts[place]);
            joint.held == held.id && to.is_some_and(|to| to.piece == base.piece && to.id != base.id)
        };
        let screws: usize = self.record.joints.iter().filter(is_beside).map(|joint| joint.heads.len()).sum();
        // A base without any screw in it would be held by nothing.
        if !self.record.joints.iter().any(|joint| joint.base == base.id) {
            return false;
        }
        if !asks.touch.is_just(asks.held) || screws < SCREWS_THAT_HOLD {
            return false;
        }
        let others: Vec<&Fastener> = fasteners.iter().collect();
        let place = |length| room::find(&asks, length, 1, &others, self.record);
        asks.lengths.chosen().and_then(place).is_none()
    }
}

/// What is asked to be screwed and touches nowhere is told, and nothing else is said to be so.
fn hold_nowhere(record: &Record, fixings: &[&Fixing], nowhere: &[usize], ledger: &mut Ledger) {
    const SAID: &str = ": no screw is placed there, so see what holds it";
    let wanted = |&at: &usize| {
        let Fixing { held, base, .. } = fixings[at];
        (held.0.clone(), format!("No {} of {} touches a {} of {}{SAID}", held.1, held.0, base.1, base.0))
    };
    let wanted: BTreeSet<(String, String)> = nowhere.iter().map(wanted).collect();
    let told = record.notes.iter().filter(|note| note.text.ends_with(SAID));
    let told: BTreeSet<(String, String)> = told.map(|note| (note.piece.clone(), note.text.clone())).collect();
    ledger.same("what is asked to be screwed and touches nowhere", &told, &wanted);
}

/// A note of the piece says that its boards stand in slots.
fn hold_slots_told(piece: &str, record: &Record, ledger: &mut Ledger) {
    const SAID: &str = "in the middle of slots across the board";
    let told = record.notes.iter().any(|note| note.piece == piece && note.text.contains(SAID));
    ledger.hold(told, || format!("boards of {piece} have slots, and no note tells of them"));
}

/// Pilot and clearance by their rules, and the thread has wood to grip.
fn hold_holes(
    name: &str,
    joint: &Joint,
    screw: &Screw,
    density: Option<Option<i128>>,
    papers: &Papers,
    ledger: &mut Ledger,
) {
    let bits = numbers::bits(papers);
    ledger.hold(joint.pilot < screw.diameter && screw.diameter < joint.clearance, || {
        let holes = [joint.pilot, screw.diameter, joint.clearance].map(Mm::of);
        format!("pilot, screw and clearance of {name} do not grow: {holes:?}")
    });
    ledger.same(
        &format!("the clearance hole of {name}"),
        Mm::of(joint.clearance),
        Mm(numbers::clearance(screw.diameter.into(), bits)),
    );
    let both = [false, true].map(|dense| numbers::pilot(screw.diameter.into(), dense, bits));
    let pilot = i128::from(joint.pilot);
    let right = match density {
        Some(density) => pilot == both[usize::from(numbers::is_dense(density))],
        // The record does not say how dense this wood is.
        None => both.contains(&pilot),
    };
    ledger.hold(right, || {
        format!(
            "the pilot hole of {name} is said to be {}, and in light and dense wood is {:?}",
            Mm(pilot),
            both.map(Mm)
        )
    });
}

impl<'b> Asks<'b> {
    fn of(
        touch: &'b Touch,
        fixing: &'b Fixing,
        [held, base]: [&'b Body<'b>; 2],
        screw: &'b Screw,
        papers: &Papers,
    ) -> Asks<'b> {
        let (lengths, moves) = (Lengths::of(touch, screw), Moves::of(touch, held, screw, papers));
        Asks { touch, fixing, held, base, screw, lengths, moves }
    }
}

impl Asks<'_> {
    fn diameter(&self) -> f64 {
        self.screw.diameter as f64 / MILLIMETRE
    }

    /// The length is on sale, holds, stays inside, and none that is shorter would do.
    fn hold_length(&self, name: &str, joint: &Joint, ledger: &mut Ledger) {
        let on_sale = self.screw.lengths.iter().any(|sold| sold.length == joint.length);
        ledger
            .hold(on_sale, || format!("no screw `{}` of {} is on sale for {name}", joint.screw, Mm::of(joint.length)));
        let (length, lengths) = (i128::from(joint.length), &self.lengths);
        ledger.hold(lengths.least - lengths.slack <= length, || {
            format!("the screws of {name} are {}, and only hold from {}", Mm(length), Mm(lengths.least))
        });
        ledger.hold(length <= lengths.most + lengths.slack, || {
            format!("the screws of {name} are {}, and only stay inside to {}", Mm(length), Mm(lengths.most))
        });
        ledger.hold(lengths.shortest(length), || format!("a shorter screw would do for {name}"));
    }

    /// Some heads, no more than are asked for, no two of them too near one another.
    fn hold_heads(&self, name: &str, joint: &Joint, ledger: &mut Ledger) {
        let count = joint.heads.len() as i64;
        let most = self.fixing.each.unwrap_or(i64::MAX);
        ledger.hold((1..=most).contains(&count), || format!("{count} screws hold {name}, and {most} are asked for"));
        let mm = |head: &[i64; 3]| head.map(|at| at as f64 / MILLIMETRE);
        for (at, one) in joint.heads.iter().enumerate() {
            // Heads are sorted or not; a joint has few.
            let near = joint.heads[..at].iter().take(MOST_HEADS).find(|other| {
                let between = minus(mm(one), mm(other));
                length(between) < self.apart(between) - NEAR
            });
            ledger.hold(near.is_none(), || format!("two screws of {name} stand too near one another, at {one:?}"));
        }
    }

    /// Along the axes of the build the screws go straight along one of them, and their heads lie on the face to the nanometre.
    fn hold_exact(&self, name: &str, joint: &Joint, ledger: &mut Ledger) {
        if !self.touch.plain {
            return;
        }
        let straight = self.touch.normal.map(|part| (part * UNIT) as i64);
        ledger.same(&format!("the way of the screws of {name}"), joint.direction, straight);
        let axis = straight.iter().position(|part| *part != 0).unwrap_or(0);
        let part = self.held.part;
        let face = if straight[axis] > 0 { part.corner[axis] } else { part.far()[axis] };
        let off = joint.heads.iter().find(|head| head[axis] != face);
        ledger.hold(off.is_none(), || {
            format!("a head of {name} lies off the held part's face at {}: {off:?}", Mm::of(face))
        });
    }

    /// How many are asked for at least.
    fn wanted(&self) -> usize {
        usize::try_from(self.fixing.each.unwrap_or_else(|| self.least_count())).unwrap_or(1)
    }

    /// In boxes heads lie on whole steps of the tape, along and across the held part from its end and edge, unless all heads
    /// together have no room on the step before or after.
    fn hold_marks<'f>(
        &self,
        name: &str,
        joint: &Joint,
        step: i128,
        others: impl Fn() -> Vec<&'f Fastener>,
        record: &Record,
        ledger: &mut Ledger,
    ) {
        if !self.touch.plain || step <= 0 {
            return;
        }
        let heads: Vec<Vector> = joint.heads.iter().map(|head| head.map(|at| at as f64 / MILLIMETRE)).collect();
        for axis in (0..3).filter(|&axis| joint.direction[axis] == 0) {
            let off =
                |head: &[i64; 3]| (i128::from(head[axis]) - i128::from(self.held.part.corner[axis])).rem_euclid(step);
            let Some(off) = joint.heads.iter().map(off).find(|&off| off != 0) else { continue };
            for by in [-off, step - off] {
                let mut way = [0.0; 3];
                way[axis] = by as f64 / MILLIMETRE;
                let free = room::has_room(self, &heads, way, joint.length as f64 / MILLIMETRE, &others(), record);
                ledger.hold(!free, || {
                    format!("the heads of {name} lie between marks of the tape, and have room on them")
                });
            }
        }
    }

    /// Two where there is room for them and the board is wide enough to turn or cup on one.
    fn least_count(&self) -> i64 {
        let two = 2.0 * FROM_EDGE as f64 * self.diameter() + ALONG as f64 * self.diameter();
        let width = self.touch.across(self.held).min(self.held.part.width as f64 / MILLIMETRE);
        if self.touch.air.is_some() {
            return if self.touch.is_along() { 2 } else { 1 };
        }
        let wide = if self.fixing.load == Load::Own { width >= TWO_SCREWS_FROM } else { width >= two };
        if wide || self.touch.way == Way::Alongside { 2 } else { 1 }
    }

    /// How far screws must stand apart in a direction: more where it runs along the grain of either part.
    fn apart(&self, direction: Vector) -> f64 {
        let long = length(direction).max(NEAR);
        let along = |grain: Vector| dot(grain, direction).abs() / long > std::f64::consts::FRAC_1_SQRT_2;
        let times = if along(self.held.grain) || along(self.base.grain) { ALONG } else { ACROSS };
        times as f64 * self.diameter()
    }

    /// One screw from its head to its tip.
    fn hold_screw(&self, name: &str, head: Vector, direction: Vector, long: f64, ledger: &mut Ledger) {
        let shown = || format!("the screw of {name} at {head:?} mm");
        let straight = length(minus(direction, self.touch.normal)) <= 1e-6;
        ledger.hold(straight, || format!("{} goes {direction:?}, and its face looks {:?}", shown(), self.touch.normal));
        let (enters, leaves) = (self.held.enters(head, direction), self.held.leaves(head, direction));
        ledger.hold(enters.abs() <= NEAR, || {
            format!("the head of {} lies {enters} mm off the held part's face", shown())
        });
        let (begins, ends) = (self.base.enters(head, direction), self.base.leaves(head, direction));
        let air = self.touch.air.as_ref();
        let open = air.map_or(0.0, |air| air.most as f64 / MILLIMETRE);
        if let Some(air) = air {
            let off = air.off(plus(head, direction, leaves));
            ledger.hold(off <= NEAR, || format!("{} stands {off} mm off the part of the board that it may", shown()));
        }
        let crosses = (-2.0 * NEAR..=open + 2.0 * NEAR).contains(&(begins - leaves));
        ledger.hold(crosses, || {
            format!("{} leaves the held part after {leaves} mm and enters the base after {begins} mm", shown())
        });
        ledger.hold(leaves < long && long <= ends - TIP + NEAR, || {
            format!("the tip of {} is {long} mm in, and must lie between {leaves} and {} mm", shown(), ends - TIP)
        });
        for (side, body, depths) in [
            (Side::Held, self.held, [0.0, leaves.clamp(0.0, long)]),
            (Side::Base, self.base, [begins.max(leaves).clamp(0.0, long), long]),
        ] {
            let tight = self.nearest(body, head, direction, depths, |face| self.keep(side, face, body.grain));
            ledger.hold(tight >= -NEAR, || {
                format!("{} comes {} mm too near an end or edge of {}", shown(), -tight, body.part.slot())
            });
        }
    }

    /// Nothing but air lies between a leaning part and its base where the screws go.
    fn hold_air_free(&self, name: &str, joint: &Joint, record: &Record, ledger: &mut Ledger) {
        if self.touch.air.is_none() {
            return;
        }
        let direction = joint.direction.map(|part| part as f64 / UNIT);
        let near = room::covering(self, record);
        for head in &joint.heads {
            let head = head.map(|at| at as f64 / MILLIMETRE);
            let depths = [self.held.leaves(head, direction), self.base.enters(head, direction)];
            let crossed =
                near.iter().find(|part| air::is_crossed(part, head, direction, depths, self.diameter() / 2.0));
            ledger.hold(crossed.is_none(), || {
                let part = crossed.map(|part| part.slot());
                format!("the screw of {name} at {head:?} mm goes through {part:?} on its way")
            });
        }
    }

    /// How much further than it must a screw keeps off the ends and edges of a part that it lies in between two depths.
    fn nearest(
        &self,
        body: &Body<'_>,
        head: Vector,
        direction: Vector,
        depths: [f64; 2],
        keep: impl Fn(Vector) -> f64,
    ) -> f64 {
        let beside = body.faces.iter().filter(|face| dot(face.normal, direction).abs() < BESIDE);
        let over = |face: &body::Face| {
            let off = depths.map(|depth| face.offset - dot(face.normal, plus(head, direction, depth)));
            off[0].min(off[1]) - keep(face.normal)
        };
        beside.map(over).fold(f64::INFINITY, f64::min)
    }
}

/// Screws that are held against one another even if something else is wrong.
const FEW: usize = 5_000;
/// Heads of one joint that are compared with one another: no joint has so many.
const MOST_HEADS: usize = 500;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::claims::{Part, Slot};
    use crate::texts::Boxed;

    const MM: i64 = 1_000_000;

    /// A board 1000 × 20 × 145 along x before a post of 47 × 47 × 400 at 100.
    fn parts() -> [Part; 2] {
        let board = Part {
            along: 0,
            across: 2,
            corner: [0, -20 * MM, 10 * MM],
            ..Part::sized([1000, 145, 20].map(|mm| mm * MM))
        };
        let post =
            Part { along: 2, across: 0, corner: [100 * MM, 0, 0], ..Part::sized([400, 47, 47].map(|mm| mm * MM)) };
        [board, post]
    }

    fn screw() -> Screw {
        let sold = |mm: i64| Boxed { length: mm * MM, boxes: Vec::new() };
        Screw { name: "s".into(), diameter: 5 * MM, metal: None, lengths: [40, 50, 60, 80].map(sold).into() }
    }

    fn fixing(each: Option<i64>, load: Load) -> Fixing {
        let [held, base] = ["held", "base"].map(|role| ("p".to_string(), role.to_string()));
        Fixing { held, base, screw: "s".into(), each, load, leans: false }
    }

    fn papers() -> Papers {
        let texts = crate::Texts {
            plan: "title = \"t\"\nyard = \"y\"\nshed = \"s\"\n[piece.a]\nis = \"walls\"",
            yard: "currency = \"EUR\"",
            shed: "[saw]\nkerf = 3",
            daybook: "",
        };
        crate::texts::read(&texts).expect("texts")
    }

    /// Screws of 50 through the middle of the post, 36 mm from either edge of the board.
    fn joint() -> Joint {
        let [held, base, screw] = ["A1", "B1", "s"].map(String::from);
        let (pilot, clearance) = (3 * MM, 5_500_000);
        let heads = [46_250_000, 118_750_000].map(|z| [123_500_000, -20 * MM, z]).into();
        Joint {
            held,
            base,
            screw,
            length: 50 * MM,
            pilot,
            clearance,
            direction: [0, UNIT as i64, 0],
            heads,
            slots: Vec::new(),
        }
    }

    /// What is found of a joint of these parts.
    fn found_on(parts: &[Part; 2], joint: &Joint, each: Option<i64>) -> Vec<String> {
        found_under(Load::Outwards, parts, joint, each)
    }

    /// The same under another load.
    fn found_under(load: Load, [held, base]: &[Part; 2], joint: &Joint, each: Option<i64>) -> Vec<String> {
        let (held, base) = (Body::of(held).expect("a body"), Body::of(base).expect("a body"));
        let touch = touch::touch(&held, &base, 0).expect("they touch");
        let (screw, fixing) = (screw(), fixing(each, load));
        let papers = papers();
        let asks = Asks::of(&touch, &fixing, [&held, &base], &screw, &papers);
        let mut ledger = Ledger::default();
        ledger.turn_to(RULE);
        asks.hold_length("it", joint, &mut ledger);
        asks.hold_heads("it", joint, &mut ledger);
        asks.hold_slots("it", joint, &mut ledger);
        for head in &joint.heads {
            let from = head.map(|at| at as f64 / MILLIMETRE);
            let direction = joint.direction.map(|part| part as f64 / UNIT);
            asks.hold_screw("it", from, direction, joint.length as f64 / MILLIMETRE, &mut ledger);
        }
        ledger.close().findings.into_iter().map(|finding| finding.message).collect()
    }

    fn found(change: impl Fn(&mut Joint)) -> Vec<String> {
        let mut joint = joint();
        change(&mut joint);
        found_on(&parts(), &joint, None)
    }

    fn says(found: &[String], words: &str) -> bool {
        found.iter().any(|message| message.contains(words))
    }

    #[test]
    fn a_good_joint_passes() {
        assert_eq!(found(|_| ()), Vec::<String>::new());
        // 7 · 5 from the end of the post's wood, 3 · 5 from the edges of both: as near as it may be, and a micrometre nearer.
        let at = |z: i64| found(|joint| joint.heads[0] = [123_500_000, -20 * MM, z]);
        assert_eq!(at(35 * MM), Vec::<String>::new());
        assert!(says(&at(35 * MM - 3_000), "too near an end or edge"));
        let beside = |x: i64| found(|joint| joint.heads.iter_mut().for_each(|head| head[0] = x));
        assert_eq!(beside(115 * MM), Vec::<String>::new());
        assert!(says(&beside(115 * MM - 3_000), "too near an end or edge"));
    }

    #[test]
    fn a_screw_that_leaves_the_timber_is_found() {
        assert!(says(&found(|joint| joint.heads[0][1] -= MM), "off the held part's face"));
        assert!(says(&found(|joint| joint.heads[0][0] = 160 * MM), "too near an end or edge"));
        assert!(says(&found(|joint| joint.length = 80 * MM), "only stay inside to 62 mm"));
        assert!(says(&found(|joint| joint.length = 80 * MM), "the tip of"));
        assert!(says(&found(|joint| joint.direction = [0, -(UNIT as i64), 0]), "its face looks"));
    }

    /// A board of 200 whose upper row lies 100 above the lower: 5.5 + 100 · 0.0025 · 7 = 7.25, so a slot of 7.5 (GTR-190 Eq. 13-2,
    /// EN 1313-1:2010 clause 5; worked by hand).
    #[test]
    fn slots_are_held() {
        let [mut board, post] = parts();
        (board.width, board.kind) = (200 * MM, "board".into());
        let wide = [board, post];
        let found = |change: fn(&mut Joint)| {
            let slot = Slot { head: 1, length: 7_500_000, direction: [0, 0, UNIT as i64] };
            let heads = [60, 160].map(|z| [123_500_000, -20 * MM, z * MM]).into();
            let mut joint = Joint { heads, slots: vec![slot], ..joint() };
            change(&mut joint);
            found_on(&wide, &joint, None)
        };
        assert_eq!(found(|_| ()), Vec::<String>::new());
        assert_eq!(found(|joint| joint.slots[0].direction[2] *= -1), Vec::<String>::new());
        assert!(says(&found(|joint| joint.slots[0].length = 7_000_000), "a slot of it"));
        assert!(says(&found(|joint| joint.slots[0].direction = [UNIT as i64, 0, 0]), "across the grain is"));
        assert!(says(&found(|joint| joint.slots.clear()), "that stand in slots"));
        assert!(says(&found(|joint| joint.slots[0].head = 0), "that stand in slots"));
        // 3 · 5 from the edge at 210 and (9.5 - 5.5) / 2 for 5.5 + 200 · 0.0175 = 9.0 and no more: 1.75 from 195.
        let high = |z: i64| {
            let mut joint = joint();
            joint.heads = [60 * MM, z].map(|z| [123_500_000, -20 * MM, z]).into();
            says(&found_on(&wide, &joint, None), "too near an end or edge")
        };
        assert!(!high(193_250_000) && high(193_260_000));
        // A board of 145 has none.
        assert!(says(
            &super::tests::found(|joint| {
                joint.slots.push(Slot { head: 1, length: 7_500_000, direction: [0, 0, UNIT as i64] });
            }),
            "that stand in slots"
        ));
    }

    /// 7 · 5 from the upper edge of a board that is borne, from the lower of one that bears; 12 · 5 from the foot of a post that
    /// bears (LVL Handbook 2025 Table 5.1: a4,t, a3,t).
    #[test]
    fn loaded_edges_and_ends_are_held() {
        let near = |load: Load, heights: [i64; 2], foot: i64| {
            let [board, mut post] = parts();
            (post.corner[2], post.length) = (foot * MM, (400 - foot) * MM);
            let mut joint = joint();
            joint.heads = heights.map(|z| [123_500_000, -20 * MM, z * MM]).into();
            says(&found_under(load, &[board, post], &joint, None), "too near an end or edge")
        };
        // The board lies from 10 to 155.
        assert!(!near(Load::Down, [60, 120], 0) && near(Load::Down, [60, 121], 0));
        assert!(!near(Load::DownOnBase, [45, 140], 0) && near(Load::DownOnBase, [44, 140], 0));
        assert!(!near(Load::Outwards, [35, 140], 0));
        assert!(!near(Load::Down, [80, 120], 20) && near(Load::Down, [80, 120], 21));
        assert!(!near(Load::DownOnBase, [80, 120], 45) && near(Load::DownOnBase, [80, 120], 46));
    }

    #[test]
    fn lengths_and_counts_are_held() {
        // 20 held: at least 20 + 30; 60 does too, but 50 is shorter.
        assert!(says(&found(|joint| joint.length = 40 * MM), "only hold from 50 mm"));
        assert!(says(&found(|joint| joint.length = 60 * MM), "a shorter screw would do"));
        assert!(says(&found(|joint| joint.length = 55 * MM), "on sale"));
        assert_eq!(found_on(&parts(), &joint(), Some(2)), Vec::<String>::new());
        assert!(says(&found_on(&parts(), &joint(), Some(1)), "2 screws hold it, and 1 are asked for"));
        assert!(says(&found(|joint| joint.heads.clear()), "0 screws hold it"));
        // Along the post's grain 5 · 5 apart.
        assert!(says(&found(|joint| joint.heads[0][2] = 94 * MM), "too near one another"));
        assert!(!says(&found(|joint| joint.heads[0][2] = 93_750_000), "too near one another"));
    }

    /// In wood of 45 under a board of 32 a screw of 80 holds and 72 stays inside: too thin, and a base of 53 would do. In wood
    /// of 50 it would be between 50 and 65 through a board of 20: with 60 on sale there is room, so it is none of these.
    #[test]
    fn why_a_joint_is_unmade() {
        let [mut board, mut post] = parts();
        (board.thickness, board.corner[1], post.width, post.thickness) = (32 * MM, -32 * MM, 47 * MM, 45 * MM);
        let reasons = |parts: [&Part; 2], lengths: &[i64]| {
            let [held, base] = parts.map(|part| Body::of(part).expect("a body"));
            let touch = touch::touch(&held, &base, 0).expect("they touch");
            let sold = |mm: &i64| Boxed { length: mm * MM, boxes: Vec::new() };
            let screw = Screw { lengths: lengths.iter().map(sold).collect(), ..screw() };
            Lengths::of(&touch, &screw).reasons(&touch)
        };
        let mm = |mm: [i128; 3]| mm.map(|mm| mm * i128::from(MM));
        assert_eq!(reasons([&board, &post], &[60]), [("too thin", mm([80, 72, 53]), 0)]);
        let [board, _] = parts();
        assert_eq!(reasons([&board, &post], &[40, 80]), [("not on sale", mm([50, 60, 0]), 0)]);
        assert_eq!(reasons([&board, &post], &[55]), [("no room", [0; 3], 0), ("would meet", [0; 3], 0)]);
    }

    #[test]
    fn holes_are_held() {
        let held = |change: fn(&mut Joint), density: Option<Option<i128>>| {
            let mut joint = joint();
            change(&mut joint);
            let papers = papers();
            let mut ledger = Ledger::default();
            ledger.turn_to(RULE);
            hold_holes("it", &joint, &screw(), density, &papers, &mut ledger);
            ledger.close().findings.len()
        };
        assert_eq!(held(|_| (), Some(None)), 0);
        assert_eq!(held(|_| (), None), 0);
        assert_eq!(held(|_| (), Some(Some(970))), 1);
        assert_eq!(held(|joint| joint.pilot = 3_500_000, Some(Some(970))), 0);
        assert_eq!(held(|joint| (joint.pilot, joint.clearance) = (joint.clearance, joint.pilot), Some(None)), 3);
    }
}
