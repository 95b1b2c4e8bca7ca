//! Joints in words: what is screwed to what, with which screws and holes, those alike in one line.

use advise::Settled;
use measure::{Length, Tape};
use model::joint::{Joint, NoScrew, Unmade};
use std::collections::{BTreeMap, BTreeSet};

/// Joints that are alike: the same kinds of parts and the same screws.
pub(crate) struct Alike<'s> {
    /// One of them.
    pub one: &'s Joint,
    /// Letters of the held parts and of those they are screwed to.
    pub letters: [&'s str; 2],
    /// How many joints.
    pub joints: usize,
    /// How many screws in all.
    pub screws: usize,
}

/// Places alike at which no screw will do.
pub(crate) struct Open<'s> {
    /// One of them.
    pub one: &'s Unmade,
    /// Letters of the held parts and of those they should be screwed to.
    pub letters: [&'s str; 2],
    /// How many places.
    pub places: usize,
}

fn letters(settled: &Settled, place: usize) -> &str {
    settled.build.parts[place].id.trim_end_matches(|c: char| c.is_ascii_digit())
}

/// The joints, those alike together, in the order in which they first come.
pub(crate) fn alike(settled: &Settled) -> Vec<Alike<'_>> {
    let mut known: BTreeMap<_, usize> = BTreeMap::new();
    let mut all: Vec<Alike<'_>> = Vec::new();
    for joint in &settled.joints.made {
        let letters = [letters(settled, joint.held), letters(settled, joint.base)];
        let slots: Vec<Length> = joint.slots.iter().map(|slot| slot.length).collect();
        let kind = (letters, joint.screw, joint.length, joint.pilot, joint.clearance, joint.heads.len(), slots);
        let at = *known.entry(kind).or_insert(all.len());
        if at == all.len() {
            all.push(Alike { one: joint, letters, joints: 0, screws: 0 });
        }
        all[at].joints += 1;
        all[at].screws += joint.heads.len();
    }
    all
}

/// Where no screw will do, places alike together.
pub(crate) fn open(settled: &Settled) -> Vec<Open<'_>> {
    let mut all: Vec<Open<'_>> = Vec::new();
    for unmade in &settled.joints.unmade {
        let letters = [letters(settled, unmade.held), letters(settled, unmade.base)];
        let same = |open: &&mut Open<'_>| {
            // Reasons that differ by less than the tape shows are one.
            let said = |why| why_open(why, settled.plan.tape);
            (open.letters, open.one.screw) == (letters, unmade.screw) && said(open.one.why) == said(unmade.why)
        };
        match all.iter_mut().find(same) {
            Some(open) => open.places += 1,
            None => all.push(Open { one: unmade, letters, places: 1 }),
        }
    }
    all
}

/// The screw of a joint as the shop has it: `deck screw 5 × 60`.
pub(crate) fn screw(settled: &Settled, joint: &Joint) -> String {
    let (screw, tape) = (&settled.plan.yard.screws[joint.screw], settled.plan.tape);
    format!("{}, {} × {}", screw.label, tape.show_exact(screw.diameter), tape.show_exact(joint.length))
}

/// The holes of a joint: `pilot 3, clearance 5`, and slots if it has some: `slot 5 × 7.5`.
pub(crate) fn holes(settled: &Settled, joint: &Joint) -> String {
    let show = |across: Length| settled.plan.tape.show_exact(across);
    let lengths: BTreeSet<Length> = joint.slots.iter().map(|slot| slot.length).collect();
    let slots: String =
        lengths.into_iter().map(|length| format!(", slot {} × {}", show(joint.clearance), show(length))).collect();
    format!("pilot {}, clearance {}{slots}", show(joint.pilot), show(joint.clearance))
}

/// Why no screw will do, and what would.
pub(crate) fn why_open(why: NoScrew, tape: Tape) -> String {
    // What is needed at least is rounded up to the tape, what is possible at most is rounded down.
    let step = tape.step().nanometres();
    let up = |length: Length| tape.show_with_unit(Length::nm(-(-length.nanometres()).div_euclid(step) * step));
    let down = |length: Length| tape.show_with_unit(Length::nm(length.nanometres().div_euclid(step) * step));
    match why {
        NoScrew::TooThin { least, most, base } => format!(
            "no screw holds without poking through: it takes at least {} and at most {}; a base {} deep or deeper would do",
            up(least),
            down(most),
            up(base)
        ),
        NoScrew::NotOnSale { least, most } => {
            format!("the yard has no length from {} to {}: add one, or choose another screw", up(least), down(most))
        }
        NoScrew::NoRoom => {
            "there is no room for the screws with their distances from ends, edges and each other: use a wider or longer part, or a thinner screw".into()
        }
        NoScrew::Meets => {
            "a screw there would meet those of other joints, which have no room to give way: use a bracket, thinner screws or thicker parts".into()
        }
    }
}

/// Where no screw will do, in one sentence.
pub(crate) fn said_open(settled: &Settled, open: &Open<'_>) -> String {
    let name = &settled.plan.yard.screws[open.one.screw].name;
    let places = if open.places == 1 { "1 place".to_owned() } else { format!("{} places", open.places) };
    let [held, base] = open.letters;
    format!("{held} to {base} with `{name}`, {places}: {}", why_open(open.one.why, settled.plan.tape))
}
