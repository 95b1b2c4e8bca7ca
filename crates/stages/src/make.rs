//! Making: the order in which a build is put together, from its geometry.
//!
//! The pieces give their steps in the order in which they were written; here they are put into one in which they can be
//! done. What carries comes before what it carries, and the heads of screws are driven before anything is put in front
//! of them: those two always hold. What is screwed to something that stands comes after it, and the steps of one piece keep
//! their order, wherever the first two allow it. Otherwise everything stays as it was given.
//! What lies loose in walls, lines, fills or closes them, and what is bought and fitted, has its place by how the pieces go with
//! one another (`make/going.rs`).
//!
//! Between the steps stand two kinds that no piece knows of: cut ends are treated before they are covered, and what
//! stands is measured before anything is cut to it. Where a piece says that something has to harden or dry, the wait stands
//! before the first step that needs it, so that what does not can be done meanwhile; at once, if nothing does. A step that
//! is done before the piece that it goes into stands says where that is to stand. Each step says which steps it waits for and which tools it wants.

mod order;
mod relations;
mod going;
mod between;
mod tools;
#[cfg(test)]
mod tests;

pub(crate) use tools::show;

use between::Between;
use model::build::{Build, Note, Step};
use model::joint::Joints;
use model::plan::Plan;
use relations::Relations;
use std::collections::BTreeSet;

/// What a step does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Work {
    /// Puts its parts in place.
    Place,
    /// Treats the cut ends of its parts.
    Treat,
    /// Measures what its parts will be cut to.
    Measure,
    /// Lets something harden or dry.
    Wait,
}

impl Work {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Work::Place => "place",
            Work::Treat => "treat",
            Work::Measure => "measure",
            Work::Wait => "wait",
        }
    }
}

/// A step in its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ordered {
    /// The step; of one that does not place parts, its parts are those that it is about.
    pub step: Step,
    /// What it does.
    pub work: Work,
    /// The places in the order of the steps that it waits for, rising; a step is left out if another of them waits for it.
    pub after: Vec<usize>,
    /// What is wanted at hand for it.
    pub tools: Vec<String>,
    /// Of a wait the least time in hours, where more is known than a label tells.
    pub hours: Option<u32>,
}

/// How a build is made.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Making {
    /// The steps, each after all that it waits for.
    pub steps: Vec<Ordered>,
    /// Where no such order exists, what was done instead.
    pub notes: Vec<Note>,
}

/// Puts the steps of a build in order and adds those between them.
pub fn make(build: &Build, joints: &Joints, plan: &Plan) -> Making {
    let relations = Relations::of(build, joints);
    let ordered = order::order(&relations);
    let notes = ordered.forced.iter().map(|&step| forced(&build.steps[step])).collect();
    let between = Between::of(build, &relations, &ordered.order);
    let joined = tools::joints_by_step(joints, &relations, &ordered.order);
    let tools = tools::by_step(build, &joined, plan);
    let mut made = Sequence::default();
    let needed: BTreeSet<usize> = ordered.after.iter().flatten().copied().collect();
    // Where each step that a piece gave stands in the end.
    let mut places = vec![usize::MAX; build.steps.len()];
    for (place, (&given, before)) in ordered.order.iter().zip(&ordered.after).enumerate() {
        for &step in before {
            places[step] = made.waited(build, step, places[step]);
        }
        let mut after: Vec<usize> = before.iter().map(|&step| places[step]).collect();
        for added in between.before(place) {
            let waits = added.after.iter().map(|&step| places[step]).filter(|&step| step != usize::MAX);
            let mut waits: Vec<usize> = waits.collect();
            waits.extend(added.continues.then(|| made.steps.len() - 1));
            after.push(made.steps.len());
            made.push(added.step.clone(), added.work, waits, added.tools());
        }
        places[given] = made.steps.len();
        let mut step = build.steps[given].clone();
        if let Some(early) = relations.early(build, given, &ordered.order[..place]) {
            step.what.clone_from(&early.what);
        }
        step.what.push_str(&tools::slots(joined.get(&given).map_or(&[], Vec::as_slice), plan.tape));
        made.push(step, Work::Place, after, tools[given].clone());
        if !needed.contains(&given) {
            made.waited(build, given, places[given]);
        }
    }
    Making { steps: made.steps, notes }
}

/// The steps as they are put one after another, and for each all that it waits for, directly or not, as bits.
#[derive(Default)]
struct Sequence {
    steps: Vec<Ordered>,
    waits: Vec<Vec<u64>>,
}

impl Sequence {
    /// The place of what has to be over before anything can be done that needs a given step, which stands at a place or was
    /// waited for there: that of its wait, which is added if it is not there, else its own.
    fn waited(&mut self, build: &Build, given: usize, place: usize) -> usize {
        let wait = build.waits.iter().find(|wait| wait.step == given);
        let Some(wait) = wait.filter(|_| self.steps[place].work != Work::Wait) else { return place };
        let of = &build.steps[given];
        let step = Step { piece: of.piece.clone(), what: wait.what.clone(), caution: None, parts: of.parts.clone() };
        self.push(step, Work::Wait, vec![place], Vec::new());
        let last = self.steps.len() - 1;
        self.steps[last].hours = wait.hours;
        last
    }

    /// Adds a step, with what it waits for but for what that waits for itself.
    fn push(&mut self, step: Step, work: Work, mut after: Vec<usize>, tools: Vec<String>) {
        after.sort_unstable();
        after.dedup();
        let mut implied = vec![0_u64; self.steps.len().div_ceil(BITS)];
        for &before in &after {
            for (own, theirs) in implied.iter_mut().zip(&self.waits[before]) {
                *own |= theirs;
            }
        }
        after.retain(|&before| implied[before / BITS] >> (before % BITS) & 1 == 0);
        after.iter().for_each(|&before| implied[before / BITS] |= 1 << (before % BITS));
        self.waits.push(implied);
        self.steps.push(Ordered { step, work, after, tools, hours: None });
    }
}

/// How many steps one number has bits for.
const BITS: usize = 64;

fn forced(step: &Step) -> Note {
    let text = format!(
        "No order of steps lets everything stand on what carries it: `{}` is left where the plan has it; look at what it rests on and what covers its screws before you begin",
        step.what
    );
    Note { piece: step.piece.clone(), text }
}
