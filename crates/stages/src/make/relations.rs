//! What of a build carries, holds and covers what: read off its geometry.

use super::going::Goings;
use measure::Length;
use model::build::{Build, Early, Going};
use model::joint::{Joint, Joints};
use model::part::{Axis, Frame, Part, PartKey};
use std::collections::{BTreeMap, BTreeSet};

/// Parts that are nearer than this touch: corners at angles are rounded to the nanometre, and nothing is built to a
/// micrometre.
const TOUCH: Length = Length::nm(1000);

/// The step of a part that no step places.
pub(super) const NO_STEP: usize = usize::MAX;

/// What the order is made from.
pub(super) struct Relations {
    /// How many steps were given.
    pub steps: usize,
    /// The step of each part, or [`NO_STEP`].
    pub step_of: Vec<usize>,
    /// Which part rests on which: the upper, then the lower.
    pub rests: Vec<(usize, usize)>,
    /// Which part is screwed to which: the held one, then its base.
    pub held: Vec<(usize, usize)>,
    /// The parts with an end that lies on another part.
    pub ends_covered: BTreeSet<usize>,
    /// What is put loose into what stands: by its step, the host that is measured first and the last steps of that.
    pub laid_in: BTreeMap<usize, (String, Vec<usize>)>,
    /// Each step with those that it must come after.
    must: BTreeSet<(usize, usize)>,
    /// Each step with those that it comes after if nothing forbids it.
    would: BTreeSet<(usize, usize)>,
}

impl Relations {
    /// Reads them off.
    pub fn of(build: &Build, joints: &Joints) -> Relations {
        let step_of = steps_of(build);
        let space = Space::of(&build.parts);
        let rests = rests(&build.parts, &space);
        let unmade = joints.unmade.iter().map(|one| (one.held, one.base));
        let held: Vec<(usize, usize)> = joints.made.iter().map(|one| (one.held, one.base)).chain(unmade).collect();
        let ends_covered = (0..build.parts.len()).filter(|&part| has_covered_end(part, &build.parts, &space)).collect();
        let steps = build.steps.len();
        let (must, would, laid_in) = (BTreeSet::new(), BTreeSet::new(), BTreeMap::new());
        let mut relations = Relations { steps, step_of, rests, held, ends_covered, laid_in, must, would };
        relations.carry();
        relations.cover(&joints.made, &build.parts, &space);
        relations.hold(&build.parts, &space);
        relations.lie_below(&space);
        relations.keep(build);
        relations.go(build, &space);
        // What must be the other way round is not waited for.
        relations.would.retain(|&(step, before)| !relations.must.contains(&(before, step)));
        relations
    }

    /// All pairs of a step and one that comes after it, with whether it must.
    pub fn edges(&self) -> impl Iterator<Item = (usize, usize, bool)> + '_ {
        let must = self.must.iter().map(|&(step, before)| (before, step, true));
        let would = self.would.difference(&self.must).map(|&(step, before)| (before, step, false));
        must.chain(would)
    }

    /// The steps that a step comes after, if nothing forbids it.
    pub fn before(&self, step: usize) -> impl Iterator<Item = usize> + '_ {
        let range = (step, 0)..=(step, usize::MAX);
        let must = self.must.range(range.clone()).map(|&(_, before)| before);
        must.chain(self.would.range(range).map(|&(_, before)| before))
    }

    /// The pair of two parts' steps, if they are two.
    fn steps(&self, later: usize, earlier: usize) -> Option<(usize, usize)> {
        let (later, earlier) = (self.step_of[later], self.step_of[earlier]);
        (later != earlier && later != NO_STEP && earlier != NO_STEP).then_some((later, earlier))
    }

    /// What rests on something comes after it.
    fn carry(&mut self) {
        let pairs = self.rests.iter().filter_map(|&(upper, lower)| self.steps(upper, lower));
        self.must = pairs.collect();
    }

    /// What lies in front of the heads of a joint comes after its held part.
    fn cover(&mut self, joints: &[Joint], parts: &[Part], space: &Space) {
        for joint in joints {
            let there = joint.heads.iter().flat_map(|head| space.at(parts, head.map(Length::as_mm)));
            let covers: BTreeSet<usize> = there.filter(|&part| part != joint.held && part != joint.base).collect();
            let pairs = covers.into_iter().filter_map(|part| self.steps(part, joint.held));
            let pairs: Vec<(usize, usize)> = pairs.collect();
            self.must.extend(pairs);
        }
    }

    /// What is held comes after a base that stands by itself: one that rests on another part, on the ground, or as low as the
    /// piece that it holds. A ledger, held in the air by what is screwed to it, is none.
    fn hold(&mut self, parts: &[Part], space: &Space) {
        let resting: BTreeSet<usize> = self.rests.iter().map(|&(upper, _)| upper).collect();
        let mut lowest: BTreeMap<&str, Length> = BTreeMap::new();
        for (part, bounds) in parts.iter().zip(&space.bounds) {
            let low = lowest.entry(&part.key.piece).or_insert(bounds.near[2]);
            *low = bounds.near[2].min(*low);
        }
        let stands = |base: usize, held: usize| {
            let level = lowest[parts[held].key.piece.as_str()].max(Length::ZERO);
            resting.contains(&base) || space.bounds[base].near[2] <= level + TOUCH
        };
        let pairs = self.held.iter().filter(|&&(held, base)| stands(base, held));
        self.would = pairs.filter_map(|&(held, base)| self.steps(held, base)).collect();
    }

    /// What lies in the ground comes before what stands over it, also where feet keep the two apart.
    fn lie_below(&mut self, space: &Space) {
        let in_ground = |part: &usize| space.bounds[*part].far[2] <= TOUCH;
        let mut columns: BTreeMap<[i64; 2], Vec<usize>> = BTreeMap::new();
        for part in (0..space.bounds.len()).filter(in_ground) {
            for column in space.columns(part) {
                columns.entry(column).or_default().push(part);
            }
        }
        let mut found = BTreeSet::new();
        for upper in (0..space.bounds.len()).filter(|part| !in_ground(part)) {
            for lower in space.columns(upper).filter_map(|column| columns.get(&column)).flatten() {
                let pair = self.steps(upper, *lower).filter(|pair| !found.contains(pair));
                found.extend(pair.filter(|_| space.bounds[upper].is_over(&space.bounds[*lower])));
            }
        }
        self.would.extend(found);
    }

    /// How pieces go with others, beside what their parts tell.
    fn go(&mut self, build: &Build, space: &Space) {
        let goings = Goings::of(build, self, space);
        self.must.extend(goings.must);
        self.would.extend(goings.would);
        self.laid_in = goings.laid_in;
    }

    /// Whether parts of a piece other than its own rest on it.
    pub(super) fn carries(&self, build: &Build, piece: &str) -> bool {
        let of = |part: usize| build.parts[part].key.piece == piece;
        self.rests.iter().any(|&(upper, lower)| of(lower) && !of(upper))
    }

    /// What is said of a step in place of its own words if nothing stands yet of the piece that it goes into, after the steps
    /// that are done.
    pub fn early<'b>(&self, build: &'b Build, step: usize, done: &[usize]) -> Option<&'b Early> {
        let early = build.early.iter().find(|early| early.step == step)?;
        let stands = done.iter().any(|&before| build.steps[before].piece == early.to);
        (!stands).then_some(early)
    }

    /// All pairs of a step and one that it comes after, so far.
    pub(super) fn pairs(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.must.iter().chain(&self.would).copied()
    }

    /// The steps of one piece keep their order, and one that places nothing, such as filling, comes after all that was given
    /// before it; of extras and liners more is known.
    fn keep(&mut self, build: &Build) {
        let known = |piece: &str| build.with.iter().any(|one| one.piece == piece && one.going != Going::Fills);
        let mut last: BTreeMap<&str, usize> = BTreeMap::new();
        for (number, step) in build.steps.iter().enumerate() {
            if step.parts.is_empty() && !known(&step.piece) {
                self.would.extend(last.values().map(|&before| (number, before)));
            }
            self.would.extend(last.insert(&step.piece, number).map(|before| (number, before)));
        }
    }
}

fn steps_of(build: &Build) -> Vec<usize> {
    let mut steps: BTreeMap<&PartKey, usize> = BTreeMap::new();
    for (number, step) in build.steps.iter().enumerate() {
        for key in &step.parts {
            steps.entry(key).or_insert(number);
        }
    }
    build.parts.iter().map(|part| steps.get(&part.key).copied().unwrap_or(NO_STEP)).collect()
}

/// Whether the grain of a part stands upright.
pub(super) fn is_upright(part: &Part) -> bool {
    part.at.along == Axis::Z && part.at.frame.lean == Frame::BUILD.lean
}

/// What a part takes of the build.
#[derive(Clone, Copy)]
pub(super) struct Bounds {
    pub near: [Length; 3],
    pub far: [Length; 3],
}

/// The parts by where they are: cells of a grid with the parts that reach into them.
pub(super) struct Space {
    pub bounds: Vec<Bounds>,
    cells: BTreeMap<[i64; 3], Vec<usize>>,
    cell: i64,
}

/// Into how many cells the longest side of a build is divided: a panel as large as the build fills no more than their square,
/// and what lies in one cell of a usual build is no more than a few parts.
const CELLS: i64 = 32;

impl Space {
    fn of(parts: &[Part]) -> Space {
        let bounds = parts.iter().map(|part| part.reach()).map(|[near, far]| Bounds { near, far });
        let bounds: Vec<Bounds> = bounds.collect();
        let reach = |axis: usize| {
            let near = bounds.iter().map(|one| one.near[axis]).min().unwrap_or_default();
            let far = bounds.iter().map(|one| one.far[axis]).max().unwrap_or_default();
            (far - near).nanometres()
        };
        let longest = (0..3).map(reach).max().unwrap_or_default();
        let mut space = Space { bounds, cells: BTreeMap::new(), cell: (longest / CELLS).max(1) + 1 };
        for part in 0..parts.len() {
            let Bounds { near, far } = space.bounds[part];
            let [from, to] = [near.map(|at| space.cell_of(at - TOUCH)), far.map(|at| space.cell_of(at + TOUCH))];
            for x in from[0]..=to[0] {
                for y in from[1]..=to[1] {
                    for z in from[2]..=to[2] {
                        space.cells.entry([x, y, z]).or_default().push(part);
                    }
                }
            }
        }
        space
    }

    /// The columns of cells that a part reaches into, seen from above.
    fn columns(&self, part: usize) -> impl Iterator<Item = [i64; 2]> + use<> {
        let Bounds { near, far } = self.bounds[part];
        let [from, to] = [near, far].map(|corner| [corner[0], corner[1]].map(|at| self.cell_of(at)));
        (from[0]..=to[0]).flat_map(move |x| (from[1]..=to[1]).map(move |y| [x, y]))
    }

    fn cell_of(&self, at: Length) -> i64 {
        at.nanometres().div_euclid(self.cell)
    }

    /// The parts in or on which a point lies, in millimetres.
    fn at<'s>(&'s self, parts: &'s [Part], point: [f64; 3]) -> impl Iterator<Item = usize> + 's {
        let exact = point.map(model::part::from_mm);
        let near = self.cells.get(&exact.map(|at| self.cell_of(at))).into_iter().flatten().copied();
        near.filter(move |&part| {
            self.bounds[part].reach_to(exact) && (parts[part].is_box() || takes(&parts[part], point))
        })
    }
}

impl Bounds {
    fn reach_to(&self, point: [Length; 3]) -> bool {
        (0..3).all(|axis| self.near[axis] - TOUCH <= point[axis] && point[axis] <= self.far[axis] + TOUCH)
    }

    /// Whether they lie over one another, seen from above.
    pub fn is_over(&self, other: &Bounds) -> bool {
        (0..2).all(|axis| self.near[axis] < other.far[axis] && other.near[axis] < self.far[axis])
    }
}

/// Whether a point lies in or on a part, in millimetres.
fn takes(part: &Part, point: [f64; 3]) -> bool {
    part.shape().is_some_and(|shape| shape.faces().iter().all(|face| face.plane.height(point) <= TOUCH.as_mm()))
}

/// Which part rests on which.
fn rests(parts: &[Part], space: &Space) -> Vec<(usize, usize)> {
    let mut rests = Vec::new();
    // By height of the upper face, then from left to right.
    let mut tops: Vec<usize> = (0..parts.len()).collect();
    tops.sort_by_key(|&part| (space.bounds[part].far[2], space.bounds[part].near[0], part));
    let mut lows: Vec<usize> = (0..parts.len()).collect();
    lows.sort_by_key(|&part| (space.bounds[part].near[2], part));
    let (mut first, mut widest) = (0, Level::default());
    for upper in lows {
        let bottom = space.bounds[upper].near[2];
        first += tops[first..].partition_point(|&lower| space.bounds[lower].far[2] < bottom - TOUCH);
        let level = widest.at(&tops, first, bottom, space);
        for &lower in level.reached(&tops, &space.bounds[upper], space) {
            let over = lower != upper && space.bounds[upper].is_over(&space.bounds[lower]);
            if over && rests_on(&parts[upper], &parts[lower]) {
                rests.push((upper, lower));
            }
        }
    }
    rests.sort_unstable();
    rests
}

/// The parts whose upper faces lie at one height: where they end in the list, and how long the longest of them is along x.
#[derive(Clone, Copy, Default)]
struct Level {
    first: usize,
    end: usize,
    longest: Length,
    bottom: Option<Length>,
}

impl Level {
    /// The level at a height, kept from the last call if it was the same.
    fn at(&mut self, tops: &[usize], first: usize, bottom: Length, space: &Space) -> Level {
        if self.bottom != Some(bottom) {
            let rest = &tops[first..];
            let end = first + rest.partition_point(|&lower| space.bounds[lower].far[2] <= bottom + TOUCH);
            let long = tops[first..end].iter().map(|&lower| space.bounds[lower].far[0] - space.bounds[lower].near[0]);
            *self = Level { first, end, longest: long.max().unwrap_or_default(), bottom: Some(bottom) };
        }
        *self
    }

    /// Those that may reach below something. Heights within a level differ by less than a micrometre, so its parts need not
    /// run from left to right throughout; if they do not, all of them are given.
    fn reached<'t>(&self, tops: &'t [usize], upper: &Bounds, space: &Space) -> &'t [usize] {
        let level = &tops[self.first..self.end];
        let heights = [level.first(), level.last()].map(|part| part.map(|&part| space.bounds[part].far[2]));
        if heights[0] != heights[1] {
            return level;
        }
        let from = level.partition_point(|&lower| space.bounds[lower].near[0] + self.longest < upper.near[0]);
        let to = level.partition_point(|&lower| space.bounds[lower].near[0] <= upper.far[0]);
        &level[from.min(to)..to]
    }
}

/// Whether two parts that lie over one another at one height touch there; boxes do.
fn rests_on(upper: &Part, lower: &Part) -> bool {
    if upper.is_box() && lower.is_box() {
        return true;
    }
    let shapes = upper.shape().zip(lower.shape());
    let contact = shapes.and_then(|(upper, lower)| upper.contact(&lower, TOUCH.as_mm()));
    // The contact looks out of the upper part.
    contact.is_some_and(|contact| contact.normal[2] < -0.5)
}

/// Whether the middle of an end of a part lies on another part.
fn has_covered_end(part: usize, parts: &[Part], space: &Space) -> bool {
    let Some(ends) = ends(&parts[part]) else { return false };
    ends.iter().any(|&end| space.at(parts, end).any(|other| other != part))
}

/// The middles of the two ends of a part, in millimetres.
fn ends(part: &Part) -> Option<[[f64; 3]; 2]> {
    let grain = part.at.frame.axes()[part.at.along.index()];
    let shape = part.shape()?;
    let centre = shape.centre();
    let (enter, leave) = shape.ray(centre, grain)?;
    Some([enter, leave].map(|way| [0, 1, 2].map(|axis| centre[axis] + grain[axis] * way)))
}
