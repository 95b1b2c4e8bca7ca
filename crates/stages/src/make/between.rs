//! Steps that no piece knows of: measuring what stands before anything is cut to it, and treating cut ends before they are
//! covered.

use super::Work;
use super::relations::{NO_STEP, Relations, is_upright};
use measure::Length;
use model::build::{Build, Going, Step, and, the};
use model::part::{Part, PartKey};
use model::schema::StockKind;
use std::collections::{BTreeMap, BTreeSet};

/// A step to be put before another.
#[derive(Debug)]
pub(super) struct Added {
    /// The step.
    pub step: Step,
    /// What it does.
    pub work: Work,
    /// The given steps that it waits for, by number.
    pub after: Vec<usize>,
    /// Whether it waits for the one added just before it.
    pub continues: bool,
}

impl Added {
    /// What is wanted at hand for it.
    pub fn tools(&self) -> Vec<String> {
        let tools: &[&str] = match self.work {
            Work::Place | Work::Wait => &[],
            Work::Treat => &["preservative", "brush", "gloves"],
            Work::Measure => &["tape", "level", "pencil"],
        };
        tools.iter().map(|&tool| tool.to_owned()).collect()
    }
}

/// The added steps, by the place in the order of the step they come before.
#[derive(Debug)]
pub(super) struct Between(BTreeMap<usize, Vec<Added>>);

impl Between {
    /// What is to be put between the steps in this order.
    pub fn of(build: &Build, relations: &Relations, order: &[usize]) -> Between {
        let mut places = vec![usize::MAX; relations.steps];
        order.iter().enumerate().for_each(|(place, &step)| places[step] = place);
        let mut added: BTreeMap<usize, Vec<Added>> = BTreeMap::new();
        let mut measured = measured(build, relations);
        to_come(build, relations, order, &mut measured);
        for (&step, what) in &measured {
            added.entry(places[step]).or_default().push(what.added(build, step));
        }
        let measured: BTreeSet<usize> = measured.values().flat_map(|what| what.parts.iter().copied()).collect();
        for (place, ends) in treated(build, relations, &places, &measured) {
            added.entry(place).or_default().push(ends);
        }
        Between(added)
    }

    /// What comes before a place in the order.
    pub fn before(&self, place: usize) -> &[Added] {
        self.0.get(&place).map_or(&[], Vec::as_slice)
    }
}

/// What is measured before a step's parts are cut.
#[derive(Debug, Default)]
struct Measured {
    parts: BTreeSet<usize>,
    /// What is measured, in words.
    stands: BTreeSet<String>,
    /// The steps that put them in place.
    after: BTreeSet<usize>,
    ground: bool,
    /// What is measured inside, as that came out.
    insides: BTreeSet<String>,
    /// What its size hangs on and does not stand yet.
    to_come: Option<String>,
}

impl Measured {
    fn added(&self, build: &Build, step: usize) -> Added {
        let mut what: Vec<&str> = self.stands.iter().map(String::as_str).collect();
        what.extend(self.insides.iter().map(String::as_str));
        what.extend(self.ground.then_some("the ground where each of them stands"));
        let piece = &build.steps[step].piece;
        let before = format!("Before you cut parts {} of {piece}", and(&letters(build, &self.parts)));
        let text = match &self.to_come {
            Some(host) => format!(
                "{before}, mind that {piece} goes into {host}, which is built round it afterwards: cut to the list, and check with one course of {host} laid dry"
            ),
            None => format!(
                "{before}, measure {} as built: the lengths in the list hold only if all came out as drawn",
                and(&what)
            ),
        };
        let parts = self.parts.iter().map(|&part| build.parts[part].key.clone()).collect();
        let step = Step { piece: piece.clone(), what: text, caution: None, parts };
        Added { step, work: Work::Measure, after: self.after.iter().copied().collect(), continues: false }
    }
}

/// The name of the parts that stand under something, as the pieces call them.
const LEG: &str = "leg";

/// What has to be measured, by step: the length of a part hangs on what stands if it stands upright on another piece, if it is
/// a leg or stands in the ground, if it is screwed to what stands in the ground, or if it is laid into walls that stand.
fn measured(build: &Build, relations: &Relations) -> BTreeMap<usize, Measured> {
    let mut found: BTreeMap<usize, Measured> = BTreeMap::new();
    let is_board = |part: usize| build.parts[part].stock.kind == StockKind::Board;
    let pairs = relations.rests.iter().filter(|&&(upper, _)| is_upright(&build.parts[upper]));
    let on_posts = relations.held.iter().filter(|&&(_, base)| stands_in_ground(&build.parts[base]));
    for &(part, on) in pairs.chain(on_posts) {
        let (step, other) = (relations.step_of[part], relations.step_of[on]);
        let other_step = step != other && step != NO_STEP && other != NO_STEP;
        if other_step && is_board(part) {
            let what = found.entry(step).or_default();
            what.parts.insert(part);
            let on = &build.parts[on].key;
            what.stands.insert(the(&on.role, &on.piece));
            what.after.insert(other);
        }
    }
    for (part, &step) in relations.step_of.iter().enumerate() {
        if let Some((host, steps)) = relations.laid_in.get(&step) {
            // What lies in several layers is measured once, before the first of them.
            let piece = &build.steps[step].piece;
            let first = relations.laid_in.keys().find(|&&other| build.steps[other].piece == *piece);
            let what = found.entry(*first.unwrap_or(&step)).or_default();
            what.parts.insert(part);
            what.insides.insert(format!("the inside of {host}"));
            what.after.extend(steps);
            continue;
        }
        let one = &build.parts[part];
        let on_ground = one.key.role == LEG || (is_upright(one) && stands_in_ground(one));
        if step != NO_STEP && is_board(part) && on_ground {
            let what = found.entry(step).or_default();
            what.parts.insert(part);
            what.ground = true;
        }
    }
    found
}

/// A floor that is laid before its walls, since something stands on it, cannot be cut to them as built.
fn to_come(build: &Build, relations: &Relations, order: &[usize], found: &mut BTreeMap<usize, Measured>) {
    for one in build.with.iter().filter(|one| one.going == Going::Laid) {
        let Some(first) = order.iter().position(|&step| build.steps[step].piece == one.piece) else { continue };
        if relations.early(build, order[first], &order[..first]).is_some() {
            let own = (0..build.parts.len()).filter(|&part| build.parts[part].key.piece == one.piece);
            let what = found.entry(order[first]).or_default();
            what.parts.extend(own);
            what.to_come = Some(one.to.clone());
        }
    }
}

/// A leg stands on a pad or on the ground, however deep that lies.
fn stands_in_ground(part: &Part) -> bool {
    part.near_corner()[2] < Length::ZERO && part.key.role != LEG
}

/// The steps that treat cut ends: one for all parts with an end that will be covered, before the first of them is placed; parts
/// that are measured first are treated once they are cut.
fn treated(build: &Build, relations: &Relations, places: &[usize], measured: &BTreeSet<usize>) -> Vec<(usize, Added)> {
    let mut groups: BTreeMap<usize, (BTreeSet<usize>, usize)> = BTreeMap::new();
    for (part, &step) in relations.step_of.iter().enumerate() {
        let one = &build.parts[part];
        let hidden = relations.ends_covered.contains(&part) || stands_in_ground(one);
        if step == NO_STEP || one.stock.kind != StockKind::Board || !hidden {
            continue;
        }
        let own = if measured.contains(&part) { step } else { NO_STEP };
        let (parts, place) = groups.entry(own).or_insert((BTreeSet::new(), usize::MAX));
        parts.insert(part);
        *place = places[step].min(*place);
    }
    let added = |(own, (parts, place))| (place, treat(build, &parts, own != NO_STEP));
    groups.into_iter().map(added).collect()
}

/// *Common practice*: two liberal coats on every cut face, cross-cuts only, and the factory end into the ground.
fn treat(build: &Build, parts: &BTreeSet<usize>, continues: bool) -> Added {
    let in_ground = parts.iter().any(|&part| stands_in_ground(&build.parts[part]));
    let which = and(&letters(build, parts));
    let mut what = format!(
        "Treat the cut ends of parts {which} before they are covered: two liberal coats of end-grain preservative, as its label says"
    );
    if in_ground {
        what += "; the end that was not cut goes into the ground";
    }
    let caution =
        "The label of the preservative goes before this: wear gloves, keep it off soil and plants, and let it dry"
            .to_owned();
    let keys: Vec<PartKey> = parts.iter().map(|&part| build.parts[part].key.clone()).collect();
    // The step is about parts of several pieces, and stands with the first of them.
    let piece = keys.first().map_or_else(String::new, |key| key.piece.clone());
    let step = Step { piece, what, caution: Some(caution), parts: keys };
    Added { step, work: Work::Treat, after: Vec::new(), continues }
}

/// The letters that the ids of some parts share, each once, in the order of the parts.
fn letters<'b>(build: &'b Build, parts: &BTreeSet<usize>) -> Vec<&'b str> {
    let mut letters: Vec<&str> = Vec::new();
    for &part in parts {
        let own = build.parts[part].id.trim_end_matches(|c: char| c.is_ascii_digit());
        if !letters.contains(&own) {
            letters.push(own);
        }
    }
    letters
}
