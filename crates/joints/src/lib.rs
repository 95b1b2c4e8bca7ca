//! Joints: the pieces say what is screwed to what, and here it is found where the parts touch and what holds them there.
//!
//! For each [`Fixing`] of a build: `touch` finds the faces on which a held part lies on its base, `air` those behind which there is air; `screw` picks the
//! length and the holes; `slot` lets wide boards move; `lay` puts the screws where ends and edges leave room; `apart` moves those of a second
//! face along a post where they would meet those of the first. `tell` explains the numbers, by [`rules`].
//!
//! In goes a [`Build`], out come its [`Joints`], the notes that a maker wants with them, and their quantities. What a joint
//! carries is not asked here.
#![forbid(unsafe_code)]

pub mod rules;
mod air;
mod body;
mod touch;
mod screw;
mod slot;
mod plane;
mod lay;
mod apart;
mod tell;

use body::Body;
use lay::{Ask, Laid};
use model::build::{Build, Note};
use model::joint::{Joint, Joints, NoScrew, Unmade};
use model::part::{UNIT, from_mm};
use model::plan::Plan;
use model::why::Quantity;
use shape::vector::{plus, times};
use std::collections::{BTreeMap, BTreeSet};
use touch::{Patch, Way};

#[cfg(doc)]
use model::build::Fixing;

/// Everything that is known of the joints of a build.
#[derive(Clone, Debug, Default)]
pub struct Joined {
    /// The joints, by held part and then by base.
    pub joints: Joints,
    /// What the maker should know of them, piece by piece.
    pub notes: Vec<Note>,
    /// Lengths, holes, distances and counts with their why.
    pub quantities: Vec<Quantity>,
}

/// Places the screws of every fixing of a build, wherever a held part touches a base in a face.
///
/// Two parts that are named by several fixings are joined by the first of them. Boxes along the axes of the build touch if
/// they do so exactly; others if they lie within a micrometre of one another.
pub fn join(build: &Build, plan: &Plan) -> Joined {
    let bodies = body::bodies(build);
    let patches = touch::patches(build, &bodies);
    let by_held = group(&patches);
    let (mut laid, mut unmade) = (Vec::new(), Vec::new());
    for patch in patches.iter().filter(|patch| !is_borne(patch, build, &patches, &by_held)) {
        let Some(ask) = ask(patch, build, plan, &bodies, &patches, &by_held) else { continue };
        match lay::lay(&ask) {
            Ok(one) => laid.push(one),
            Err(why) => unmade.push(Unmade { held: patch.held, base: patch.base, screw: ask.place, why }),
        }
    }
    let order = faces_in_turn(build, &laid);
    for meets in apart::move_apart(&mut laid, &order, &bodies, plan.tape.step()).into_iter().rev() {
        let one = laid.remove(meets);
        unmade.push(Unmade { held: one.held, base: one.base, screw: one.screw, why: NoScrew::Meets });
    }
    let chances = drop_chances(&mut unmade, &laid, &patches, build, &bodies);
    laid.sort_by_key(|one| (one.held, one.base));
    unmade.sort_by_key(|one| (one.held, one.base));
    let made = laid.iter().filter_map(|one| joint(one, plan, &bodies)).collect();
    let notes = tell::notes(build, plan.tape, &laid, &patches, &chances);
    let quantities = tell::quantities(build, plan, &laid, &unmade, &patches);
    Joined { joints: Joints { made, unmade }, notes, quantities }
}

/// The places of the patches of each held part.
fn group(patches: &[Patch]) -> BTreeMap<usize, Vec<usize>> {
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (place, patch) in patches.iter().enumerate() {
        groups.entry(patch.held).or_default().push(place);
    }
    groups
}

/// How many crossings hold a board that lies on something: then it is not also screwed down along what runs with it.
const CROSSINGS_THAT_HOLD: usize = 2;

/// Whether a held part only lies along a base that bears it, while it is screwed to others that it crosses.
fn is_borne(patch: &Patch, build: &Build, patches: &[Patch], by_held: &BTreeMap<usize, Vec<usize>>) -> bool {
    let stated = build.fixings[patch.fixing].each.is_some();
    if stated || patch.way != Way::Alongside || !patch.points_down() {
        return false;
    }
    let all = by_held.get(&patch.held).into_iter().flatten().map(|&place| &patches[place]);
    all.filter(|other| other.way == Way::Across && other.points_down()).count() >= CROSSINGS_THAT_HOLD
}

/// How many screws in other parts of the same piece make a contact that takes none one of chance.
const SCREWS_THAT_HOLD: usize = 2;

/// Leaves out where no screw will do but by chance: where a held part only just touches a base that has other screws in it, and
/// has its own in other parts of the base's piece. Returns the held part and the base of each.
fn drop_chances(
    unmade: &mut Vec<Unmade>,
    laid: &[Laid],
    patches: &[Patch],
    build: &Build,
    bodies: &[Option<Body<'_>>],
) -> Vec<(usize, usize)> {
    let piece = |part: usize| build.parts[part].key.piece.as_str();
    let mut screws: BTreeMap<(usize, &str), usize> = BTreeMap::new();
    laid.iter().for_each(|one| *screws.entry((one.held, piece(one.base))).or_default() += one.points().count());
    let just = patches.iter().filter(|patch| bodies[patch.held].as_ref().is_some_and(|held| patch.is_just(held)));
    let just: BTreeSet<(usize, usize)> = just.map(|patch| (patch.held, patch.base)).collect();
    // A base without a screw in it, such as a rail too thin for any, would be held by nothing.
    let bases: BTreeSet<usize> = laid.iter().map(|one| one.base).collect();
    let is_chance = |one: &Unmade| {
        just.contains(&(one.held, one.base))
            && screws.get(&(one.held, piece(one.base))).is_some_and(|&count| count >= SCREWS_THAT_HOLD)
            && bases.contains(&one.base)
    };
    let chances = unmade.iter().filter(|one| is_chance(one)).map(|one| (one.held, one.base)).collect();
    unmade.retain(|one| !is_chance(one));
    chances
}

/// What is asked where two parts touch; `None` if the fixing names a screw that the yard has not got.
fn ask<'a>(
    patch: &'a Patch,
    build: &'a Build,
    plan: &'a Plan,
    bodies: &'a [Option<Body<'a>>],
    patches: &'a [Patch],
    by_held: &BTreeMap<usize, Vec<usize>>,
) -> Option<Ask<'a>> {
    let fixing = &build.fixings[patch.fixing];
    let place = fixing.screw.place;
    let own = by_held.get(&patch.held).into_iter().flatten().map(|&place| &patches[place]);
    // What an earlier fixing puts behind the held part is in the way of the heads of a later one.
    let behind = own.filter(|other| other.fixing < patch.fixing && other.is_opposite(patch)).collect();
    Some(Ask {
        patch,
        fixing,
        held: bodies[patch.held].as_ref()?,
        base: bodies[patch.base].as_ref()?,
        place,
        screw: plan.yard.screws.get(place)?,
        yard: &plan.yard,
        bits: screw::bits(plan.tape.unit()),
        behind,
        step: plan.tape.step().as_mm(),
    })
}

/// The order in which joints take their places: the first, third, … face of each piece before the second, fourth, …, so
/// that a board is drilled alike at both its ends, and within them by held part and base.
fn faces_in_turn(build: &Build, laid: &[Laid]) -> Vec<usize> {
    let mut faces: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for part in &build.parts {
        faces.entry((&part.key.piece, &part.key.face)).or_insert_with(|| {
            let count = seen.entry(&part.key.piece).or_default();
            *count += 1;
            *count - 1
        });
    }
    let turn = |one: &Laid| {
        let key = &build.parts[one.held].key;
        faces.get(&(key.piece.as_str(), key.face.as_str())).map_or(0, |face| face % 2)
    };
    let mut order: Vec<usize> = (0..laid.len()).collect();
    order.sort_by_key(|&place| (turn(&laid[place]), laid[place].held, laid[place].base));
    order
}

/// The joint that was laid, its heads on the outer face of the held part.
fn joint(one: &Laid, plan: &Plan, bodies: &[Option<Body<'_>>]) -> Option<Joint> {
    let held = bodies[one.held].as_ref()?;
    let base = bodies[one.base].as_ref()?;
    let head = |point: shape::Vector| {
        let (enter, _) = held.shape.ray(point, one.direction)?;
        Some(plus(point, times(one.direction, enter)).map(from_mm))
    };
    let bits = screw::bits(plan.tape.unit());
    let mut heads = one.points().map(head).collect::<Option<Vec<_>>>()?;
    heads.sort_unstable();
    let slots = one.moves.map(|moves| moves.slots(&heads)).unwrap_or_default();
    Some(Joint {
        held: one.held,
        base: one.base,
        screw: one.screw,
        length: one.length,
        pilot: screw::pilot(one.diameter, screw::is_dense(base.part, plan), bits)?,
        clearance: screw::clearance(one.diameter, bits)?,
        // A component of a unit vector is at most 1.
        direction: one.direction.map(|part| (part * UNIT as f64).round() as i64),
        heads,
        slots,
    })
}
