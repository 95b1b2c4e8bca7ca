//! Bounds: what the limits leave of each range, and the least that the objective can still be.
//!
//! # Law of propagation
//! With `P = n * per + ends` a run that exists asks for three linear inequalities in whole numbers (all times its
//! `gap_scale`): `face - n * (member + per * g-) - ends * g- >= 0`, `n * (member + per * g+) + ends * g+ - face >= 0` and `P >= 0`.
//! A relation asks for two. Each inequality `sum(c * v) + k >= 0` moves an end of each variable's range to where the
//! others at their best still satisfy it; sizes are rounded inwards to their grids. This is repeated until nothing
//! moves (or [`ROUNDS`] times). No point that satisfies the limits is ever lost.
//!
//! # Law of the lower bound
//! The objective is taken component by component. The least of a component over the ranges is summed from
//! its wishes, each on its own, plus what single inequalities must cost beyond that: if with every
//! wish of the component at its best an inequality is still short by `d`, then at least the smallest `d * weight / |c|` among the sizes in it has
//! to be paid; inequalities that share no size of the component may be added up (taken by greatest gain). Before the next component is looked at, each wish of this one is held to what the
//! bound leaves it (`weight * distance <= bound - bounds of the others`) and the limits are propagated again: a point outside is
//! worse in this component already. A component with several wishes is bounded again within what is left, and held again, until the bounds of its
//! wishes no longer move (or [`HOLDS`] times); should their sum exceed the bound, or nothing be left, every point is worse than the components so far.
//!
//! For a referee who only has to show that nothing in the ranges is less than a given vector the same law is enough with that vector in hand: component
//! by component, holding it below the vector's value leaves nothing; then it is held to the value, and the next one is looked at.
//!
//! The search (`sharp`) adds three things that are not needed for truth, only for speed: holes between windows, raising a component until
//! the ranges are no longer empty (roughly: within a part of its value), and [`Floors`] of groups of sizes that nothing ties together.

use crate::problem::WishRef;
use crate::system::*;

/// Rounds of propagation after which the ranges are taken as they are; a slow crawl is left to the search.
const ROUNDS: usize = 20;

/// Times that the ends are moved to open points and the limits propagated again.
const SHAVES: usize = 5;

/// Times that the wishes of one component are held to what they leave each other.
const HOLDS: usize = 4;

/// A component is raised to within this part of its value: finer than that costs more than it cuts off.
const FINE: i128 = 3;

/// Jumps from hole to hole after which a point is taken as open; again only a weaker bound.
const JUMPS: usize = 200;

/// Nothing is left.
#[derive(Debug)]
pub(crate) struct Empty;

/// Which ranges moved: a bit per size (sizes 62 apart share one), and [`COUNT`] for a count.
type Moved = Result<u64, Empty>;

/// A count moved.
const COUNT: u64 = 1 << 63;

/// What has changed since the ranges were last settled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Dirty {
    /// Bits of sizes.
    sizes: u64,
    /// Bits of runs whose count or gap range changed (runs 64 apart share one).
    runs: u64,
}

impl Dirty {
    const ALL: Self = Self { sizes: !COUNT, runs: u64::MAX };

    /// What differs; everything, if an option or a gap does.
    fn between(ranges: &Ranges, whole: &Ranges) -> Self {
        if ranges.options != whole.options || ranges.gaps != whole.gaps {
            return Self::ALL;
        }
        let differ = |(own, old): (&(i128, i128), &(i128, i128))| own != old;
        let sizes = ranges.sizes.iter().zip(&whole.sizes).map(differ).enumerate();
        let counts = ranges.counts.iter().zip(&whole.counts).map(differ).enumerate();
        Self {
            sizes: sizes.fold(0, |bits, (size, differs)| if differs { bits | bit(size) } else { bits }),
            runs: counts.fold(0, |bits, (run, differs)| if differs { bits | run_bit(run) } else { bits }),
        }
    }
}

/// Bit of a run in [`Dirty`].
fn run_bit(run: usize) -> u64 {
    1 << (run % 64)
}

/// Bit of a size in [`Moved`].
pub(crate) fn bit(size: usize) -> u64 {
    1 << (size % 62)
}

/// What groups of sizes that nothing ties together must pay in the first component, each on its own, under fixed options.
///
/// A bound that only the search uses: with every group held to its own least, what one group leaves is not lent to another.
#[derive(Debug, Clone, Default)]
pub(crate) struct Floors {
    /// Group of each wish of the first component, if it has one.
    pub group_of: Vec<Option<usize>>,
    /// Least of each group.
    pub least: Vec<i128>,
}

/// How a bound is taken.
#[derive(Debug, Clone, Copy)]
enum How<'f> {
    /// By the plain law, for a referee.
    Plain,
    /// With holes.
    Sharp,
    /// With holes, for the first component, whose groups have these floors.
    Floored(&'f Floors),
}

impl How<'_> {
    fn sharp(self) -> bool {
        !matches!(self, How::Plain)
    }
}

impl System<'_> {
    /// Narrows the ranges by all limits until nothing moves.
    pub fn propagate(&self, ranges: &mut Ranges) -> Result<(), Empty> {
        self.propagate_from(ranges, Dirty::ALL).map(|_| ())
    }

    /// Narrows by the limits that are touched by what is dirty; returns that and what moved.
    fn propagate_from(&self, ranges: &mut Ranges, dirty: Dirty) -> Result<Dirty, Empty> {
        for size in 0..ranges.sizes.len() {
            let (low, high) = ranges.sizes[size];
            if bit(size) & dirty.sizes != 0 {
                ranges.sizes[size] = (self.snap_up(size, low), self.snap_down(size, high));
            }
            if ranges.sizes[size].0 > ranges.sizes[size].1 {
                return Err(Empty);
            }
        }
        let mut total = dirty;
        let mut sizes = dirty.sizes;
        for round in 0..ROUNDS {
            // A limit is looked at again only if one of its sizes has moved since.
            let mut moved = 0;
            for &run in &self.runs {
                let named = round == 0 && dirty.runs & run_bit(run) != 0;
                let touched = named || self.faces[run].bits & (sizes | moved) != 0;
                if touched && self.run_holds(ranges, run) == Some(true) {
                    let own = self.narrow_by_run(ranges, run)?;
                    total.runs |= if own & COUNT == 0 { 0 } else { run_bit(run) };
                    moved |= own & !COUNT;
                }
            }
            for &relation in &self.held {
                let named = round == 0 && dirty == Dirty::ALL;
                let touched = named || self.relations[relation].bits & (sizes | moved) != 0;
                if touched && self.relation_holds(ranges, relation) == Some(true) {
                    moved |= self.narrow_by_relation(ranges, relation)?;
                }
            }
            total.sizes |= moved;
            sizes = moved;
            if sizes == 0 {
                break;
            }
        }
        Ok(total)
    }

    /// [`System::propagate`], and both ends of every size moved to where the runs that hang on it alone close.
    pub fn settle(&self, ranges: &mut Ranges) -> Result<(), Empty> {
        self.settle_from(ranges, Dirty::ALL)
    }

    /// [`System::settle`] for ranges cut from others that are settled: only what differs is looked at.
    pub fn settle_within(&self, ranges: &mut Ranges, whole: &Ranges) -> Result<(), Empty> {
        self.settle_from(ranges, Dirty::between(ranges, whole))
    }

    /// [`System::propagate`] for ranges cut from others that were propagated: only what differs is looked at.
    pub fn propagate_within(&self, ranges: &mut Ranges, whole: &Ranges) -> Result<(), Empty> {
        self.propagate_from(ranges, Dirty::between(ranges, whole)).map(|_| ())
    }

    /// [`System::propagate`] for ranges that were propagated before one size was cut.
    pub fn propagate_size(&self, ranges: &mut Ranges, size: usize) -> Result<(), Empty> {
        self.propagate_from(ranges, Dirty { sizes: bit(size), runs: 0 }).map(|_| ())
    }

    fn settle_from(&self, ranges: &mut Ranges, dirty: Dirty) -> Result<(), Empty> {
        let mut dirty = dirty;
        for _ in 0..SHAVES {
            let total = self.propagate_from(ranges, dirty)?;
            let moved = self.shave(ranges, total)?;
            if moved == 0 {
                break;
            }
            dirty = Dirty { sizes: moved, runs: 0 };
        }
        Ok(())
    }

    /// Both inequalities of a run, again while they move its own count.
    fn narrow_by_run(&self, ranges: &mut Ranges, run: usize) -> Moved {
        let pitch = self.limits_of(ranges, run);
        let face = &self.faces[run];
        let count = ranges.counts[run];
        if count.0 > count.1 {
            return Err(Empty);
        }
        let mut all = self.narrow_by_places(ranges, run, &pitch)?;
        let low = -pitch.ends * pitch.low + face.constant;
        let high = pitch.ends * pitch.high - face.constant;
        for _ in 0..ROUNDS {
            let mut moved = self.require(ranges, face, 1, Some((run, -pitch.at(pitch.low))), low)?;
            moved |= self.require(ranges, face, -1, Some((run, pitch.at(pitch.high))), high)?;
            all |= moved;
            if moved == 0 {
                break;
            }
        }
        Ok(all)
    }

    /// `P >= 0`; and if no gap is allowed at all, `P <= 0`.
    fn narrow_by_places(&self, ranges: &mut Ranges, run: usize, pitch: &Pitch) -> Moved {
        let (low, high) = ranges.counts[run];
        let none_allowed = pitch.low > pitch.high;
        let (from, to) = if pitch.per == 0 {
            if pitch.ends < 0 || (none_allowed && pitch.ends > 0) {
                return Err(Empty);
            }
            (low, high)
        } else {
            let from = ceil_div(-pitch.ends, pitch.per).max(low);
            let to = floor_div(-pitch.ends, pitch.per).min(high);
            (from, if none_allowed { to } else { high })
        };
        ranges.counts[run] = (from, to);
        if from > to {
            return Err(Empty);
        }
        Ok(if (from, to) == (low, high) { 0 } else { COUNT })
    }

    fn narrow_by_relation(&self, ranges: &mut Ranges, relation: usize) -> Moved {
        let item = &self.problem.relations[relation];
        let value = &self.relations[relation];
        let low = value.constant - i128::from(item.from);
        let moved = self.require(ranges, value, 1, None, low)?;
        let high = i128::from(item.to) - value.constant;
        Ok(moved | self.require(ranges, value, -1, None, high)?)
    }

    /// Narrows by `sign * sum(terms) + factor * count + constant >= 0`.
    fn require(
        &self,
        ranges: &mut Ranges,
        sum: &Sum,
        sign: i128,
        count: Option<(usize, i128)>,
        constant: i128,
    ) -> Moved {
        let most = most(ranges, sum, sign, count, constant);
        if most < 0 {
            return Err(Empty);
        }
        let mut moved = 0;
        for &(size, factor) in &sum.terms {
            let old = ranges.sizes[size];
            if old.0 == old.1 {
                continue;
            }
            let new = narrowed(old, factor * sign, most);
            if new != old {
                let snapped = (self.snap_up(size, new.0), self.snap_down(size, new.1));
                if snapped.0 > snapped.1 {
                    return Err(Empty);
                }
                ranges.sizes[size] = snapped;
                moved |= if snapped == old { 0 } else { bit(size) };
            }
        }
        if let Some((run, factor)) = count {
            let old = ranges.counts[run];
            ranges.counts[run] = narrowed(old, factor, most);
            if ranges.counts[run] != old {
                moved |= COUNT;
            }
        }
        Ok(moved)
    }

    /// Moves both ends of every size that is dirty, or has a dirty run, to open points.
    fn shave(&self, ranges: &mut Ranges, dirty: Dirty) -> Moved {
        let mut moved = 0;
        for size in 0..ranges.sizes.len() {
            let own = &self.alone[size];
            let touched = bit(size) & dirty.sizes != 0 || own.iter().any(|&run| run_bit(run) & dirty.runs != 0);
            if own.is_empty() || !touched {
                continue;
            }
            let (low, high) = ranges.sizes[size];
            let from = self.next_open(ranges, size, low, true).ok_or(Empty)?;
            let to = self.next_open(ranges, size, high, false).ok_or(Empty)?;
            if from > to {
                return Err(Empty);
            }
            moved |= if (from, to) == (low, high) { 0 } else { bit(size) };
            ranges.sizes[size] = (from, to);
        }
        Ok(moved)
    }

    /// First grid point from `x` on, within the size's range, at which every run that hangs on it alone closes.
    pub fn next_open(&self, ranges: &Ranges, size: usize, x: i128, up: bool) -> Option<i128> {
        let (low, high) = ranges.sizes[size];
        let mut x = x;
        for _ in 0..JUMPS {
            let mut moved = false;
            for &run in &self.alone[size] {
                if x < low || x > high {
                    return None;
                }
                if self.run_holds(ranges, run) == Some(true) {
                    let next = self.jump(ranges, run, x, up)?;
                    moved |= next != x;
                    x = next;
                }
            }
            if !moved {
                break;
            }
        }
        (low <= x && x <= high).then_some(x)
    }

    /// `x` itself if the run closes there, else the next grid point in that direction at which it might.
    pub fn jump(&self, ranges: &Ranges, run: usize, x: i128, up: bool) -> Option<i128> {
        let pitch = self.limits_of(ranges, run);
        let (least, greatest) = (pitch.at(pitch.low), pitch.at(pitch.high));
        if least <= 0 || greatest <= 0 || pitch.low > pitch.high {
            return Some(x);
        }
        let face = &self.faces[run];
        let (size, factor) = *face.terms.first()?;
        let value = factor * x + face.constant;
        let (from, to) = ranges.counts[run];
        let edge = if (factor > 0) == up {
            let n = ceil_div(value - pitch.ends * pitch.high, greatest).max(from);
            (n <= to).then(|| pitch.takes(n, pitch.low).max(value))?
        } else {
            let n = floor_div(value - pitch.ends * pitch.low, least).min(to);
            (n >= from).then(|| pitch.takes(n, pitch.high).min(value))?
        };
        if edge == value {
            return Some(x);
        }
        let (distance, over) = ((edge - face.constant) * factor.signum(), factor.abs());
        Some(if up {
            self.snap_up(size, ceil_div(distance, over))
        } else {
            self.snap_down(size, floor_div(distance, over))
        })
    }

    /// Open grid point of the size's range that is nearest to `core`; of two, the smaller.
    pub fn nearest(&self, ranges: &Ranges, size: usize, core: (i128, i128), sharp: bool) -> i128 {
        let (low, high) = ranges.sizes[size];
        let aim = core.0.clamp(low, high);
        let below = self.snap_down(size, aim).max(low);
        let above = self.snap_up(size, aim).min(high);
        let (below, above) = if sharp {
            let below = self.next_open(ranges, size, below, false);
            (below, self.next_open(ranges, size, above, true))
        } else {
            (Some(below), Some(above))
        };
        match (below, above) {
            (Some(a), Some(b)) if outside((b, b), core) < outside((a, a), core) => b,
            (Some(a), _) => a,
            (None, Some(b)) => b,
            (None, None) => aim,
        }
    }

    /// Lower bound of the whole vector over the ranges, with the ranges that could still reach it.
    ///
    /// `floor` is a bound already known (the parent's), `ceiling` a vector beyond which nothing is of interest.
    /// `None`: nothing is left below the ceiling.
    pub fn bound(
        &self,
        ranges: &Ranges,
        floor: &[i128],
        ceiling: Option<&[i128]>,
        floors: Option<&Floors>,
    ) -> Option<(Vec<i128>, Ranges)> {
        let mut tight = ranges.clone();
        let mut key = Vec::with_capacity(self.vector_len());
        for (index, component) in self.components.iter().enumerate() {
            let how = floors.filter(|_| index == 0).map_or(How::Sharp, How::Floored);
            let parts = self.parts(component, &tight, how);
            let mut least = parts.total;
            if floor.len() > index && floor[..index] == key[..] {
                least = least.max(floor[index]);
            }
            least = ceil_div(least, unit(component)) * unit(component);
            let tied = ceiling.filter(|ceiling| ceiling[..index] == key[..]);
            let most = tied.map_or(i128::MAX, |ceiling| ceiling[index]);
            if least > most {
                return None;
            }
            match self.capped(component, &parts, &tight, least, how) {
                Ok(next) => tight = next,
                Err(Empty) => {
                    (least, tight) = self.raise(component, &parts, &tight, (least, most), how)?;
                }
            }
            key.push(least);
        }
        self.add_tail(&mut key, &tight);
        Some((key, tight))
    }

    /// Whether the law of the lower bound shows every point of the ranges to be no less than `target`: in each
    /// component in turn, holding it below the target leaves nothing, and it is then held to the target.
    pub fn at_least(&self, ranges: &Ranges, target: &[i128]) -> bool {
        let mut tight = ranges.clone();
        for (component, &value) in self.components.iter().zip(target) {
            let parts = self.parts(component, &tight, How::Plain);
            if parts.total > value {
                return true;
            }
            let below = || self.capped(component, &parts, &tight, value - 1, How::Plain);
            if parts.total < value && below().is_ok() {
                return false;
            }
            match self.capped(component, &parts, &tight, value, How::Plain) {
                Ok(next) => tight = next,
                Err(Empty) => return true,
            }
        }
        let mut tail = Vec::new();
        self.add_tail(&mut tail, &tight);
        tail[..] >= target[self.components.len()..]
    }

    /// Bounds of spread, options, sizes and counts.
    fn add_tail(&self, key: &mut Vec<i128>, tight: &Ranges) {
        key.push(self.spread(tight));
        key.extend(tight.options.iter().map(|&(first, _)| first as i128));
        key.extend(tight.sizes.iter().map(|&(low, _)| low));
        key.extend((0..self.faces.len()).map(|run| match self.run_holds(tight, run) {
            Some(true) => tight.counts[run].0,
            _ => 0,
        }));
    }

    /// The vector of ranges in which all is fixed.
    pub fn vector_at(&self, point: &Ranges) -> Vec<i128> {
        let each = self.components.iter();
        let mut key: Vec<i128> = each.map(|c| self.parts(c, point, How::Plain).alone).collect();
        self.add_tail(&mut key, point);
        key
    }

    /// Length of the objective vector.
    pub fn vector_len(&self) -> usize {
        let start = &self.start;
        self.components.len() + 1 + start.options.len() + start.sizes.len() + start.counts.len()
    }

    /// Smallest value of the component above the refuted one that leaves anything, with what it leaves; `None` if that is beyond the last.
    fn raise(
        &self,
        component: &Component,
        parts: &Parts,
        ranges: &Ranges,
        (refuted, last): (i128, i128),
        how: How,
    ) -> Option<(i128, Ranges)> {
        let worst = self.worst(component, ranges).min(last);
        if refuted >= worst {
            return None;
        }
        let unit = unit(component);
        let (mut low, mut high) = (floor_div(refuted, unit), floor_div(worst, unit));
        // What is left within a value is bounded again: often one point is left, and its own value is the answer. What is left
        // within a smaller value is part of it.
        let mut best = self.capped(component, parts, ranges, high * unit, how).ok()?;
        let mut within = self.parts(component, &best, how);
        low = low.max(ceil_div(within.total, unit).min(high) - 1);
        let mut stride = 1;
        while high - low > 1 && high - low > low / FINE {
            let middle = (low + stride).min(low + (high - low) / 2);
            match self.capped(component, &within, &best, middle * unit, how) {
                Ok(found) => {
                    within = self.parts(component, &found, how);
                    low = low.max(ceil_div(within.total, unit).min(middle) - 1);
                    (high, best, stride) = (middle, found, 1);
                }
                Err(Empty) => (low, stride) = (middle, stride * 8),
            }
        }
        Some(((low + 1) * unit, best))
    }

    /// The ranges with each wish of the component held to what `value` leaves it.
    fn capped(
        &self,
        component: &Component,
        parts: &Parts,
        ranges: &Ranges,
        value: i128,
        how: How,
    ) -> Result<Ranges, Empty> {
        let mut tight = ranges.clone();
        let dirty = self.hold_all(component, parts, &mut tight, value);
        if dirty == (Dirty { sizes: 0, runs: 0 }) {
            return Ok(tight);
        }
        self.narrow(&mut tight, dirty, how.sharp())?;
        if let Component::Wishes { terms, .. } = component {
            // With a single wish nothing is shared out, so once is enough.
            let mut known = if terms.len() > 1 { parts.each.clone() } else { return Ok(tight) };
            for _ in 0..HOLDS {
                let again = self.parts(component, &tight, how);
                if again.total > value {
                    return Err(Empty);
                }
                if again.each == known {
                    break;
                }
                let dirty = self.hold_all(component, &again, &mut tight, value);
                self.narrow(&mut tight, dirty, how.sharp())?;
                known = again.each;
            }
        }
        Ok(tight)
    }

    /// Holds each wish of the component to what `value` leaves it beside the bounds of the others; returns what changed.
    fn hold_all(&self, component: &Component, parts: &Parts, tight: &mut Ranges, value: i128) -> Dirty {
        let mut dirty = Dirty { sizes: 0, runs: 0 };
        match component {
            Component::Members => {
                for &run in &self.runs {
                    if self.run_holds(tight, run) == Some(true) {
                        let (low, high) = tight.counts[run];
                        tight.counts[run].1 = high.min(low + value - parts.alone);
                        dirty.runs |= if tight.counts[run].1 < high { run_bit(run) } else { 0 };
                    }
                }
            }
            Component::Wishes { terms, .. } => {
                for (index, (term, part)) in terms.iter().zip(&parts.each).enumerate() {
                    let left = value - (parts.alone - part) - parts.others.get(index).copied().unwrap_or(0);
                    if term.weight > 0 && hold(tight, term, floor_div(left, term.weight)) {
                        match term.of {
                            WishRef::Size(size) => dirty.sizes |= bit(size),
                            WishRef::Gap(gap) => dirty.runs |= self.runs_of(gap),
                            WishRef::Count(run) => dirty.runs |= run_bit(run),
                            WishRef::Choice(_) => {}
                        }
                    }
                }
            }
        }
        dirty
    }

    /// Bits of the runs that share a gap.
    fn runs_of(&self, gap: usize) -> u64 {
        let runs = self.runs.iter().filter(|&&run| self.pitches[run].gap == gap);
        runs.fold(0, |bits, &run| bits | run_bit(run))
    }

    /// Settles what is dirty, or, for a proof, propagates it by the plain law.
    fn narrow(&self, ranges: &mut Ranges, dirty: Dirty, sharp: bool) -> Result<(), Empty> {
        if ranges.sizes.iter().any(|&(low, high)| low > high) {
            return Err(Empty);
        }
        if sharp { self.settle_from(ranges, dirty) } else { self.propagate_from(ranges, dirty).map(|_| ()) }
    }

    /// An upper bound of the component over the ranges.
    fn worst(&self, component: &Component, ranges: &Ranges) -> i128 {
        match component {
            Component::Members => self.live_runs(ranges).map(|r| ranges.counts[r].1).sum(),
            Component::Wishes { terms, .. } => terms
                .iter()
                .map(|term| {
                    let (low, high) = match term.of {
                        WishRef::Size(i) => ranges.sizes[i],
                        WishRef::Gap(i) => ranges.gaps[i],
                        WishRef::Count(i) => ranges.counts[i],
                        WishRef::Choice(_) => term.core,
                    };
                    let far = (term.core.0 - low).max(high - term.core.1).max(0);
                    far * term.weight
                })
                .sum(),
        }
    }

    /// Lower bound of each wish of a component, and of all together.
    fn parts(&self, component: &Component, ranges: &Ranges, how: How) -> Parts {
        match component {
            Component::Members => {
                let alone = self.live_runs(ranges).map(|r| ranges.counts[r].0).sum();
                Parts { each: Vec::new(), others: Vec::new(), alone, total: alone }
            }
            Component::Wishes { terms, .. } => {
                let each: Vec<i128> =
                    terms.iter().map(|term| term.weight * self.distance(term, ranges, how.sharp())).collect();
                let alone: i128 = each.iter().sum();
                let total = alone + self.prices(terms, &each, ranges);
                let mut parts = Parts { each, others: Vec::new(), alone, total };
                if let How::Floored(floors) = how {
                    parts.add_floors(floors);
                }
                parts
            }
        }
    }

    /// Least distance of one wish from its core.
    fn distance(&self, term: &Term, ranges: &Ranges, sharp: bool) -> i128 {
        match term.of {
            WishRef::Size(size) => {
                let x = self.nearest(ranges, size, term.core, sharp);
                outside((x, x), term.core)
            }
            WishRef::Gap(gap) => self
                .live_runs(ranges)
                .filter(|&run| self.pitches[run].gap == gap)
                .map(|run| self.gap_distance(ranges, run, term.core))
                .max()
                .unwrap_or(0),
            WishRef::Count(run) => match self.run_holds(ranges, run) {
                Some(true) => outside(ranges.counts[run], term.core),
                _ => 0,
            },
            WishRef::Choice(_) => 0,
        }
    }

    /// Least distance of a run's gap from `core`, rounded up to whole units.
    fn gap_distance(&self, ranges: &Ranges, run: usize, core: (i128, i128)) -> i128 {
        let pitch = self.limits_of(ranges, run);
        let places = pitch.places(ranges.counts[run].1);
        if places <= 0 {
            return 0;
        }
        let above = -self.most_over(ranges, run, core.1, -1);
        let below = -self.most_over(ranges, run, core.0, 1);
        ceil_div(above.max(below).max(0), places)
    }

    /// Greatest of `sign * (face - what the counts take with this gap)`, negated distances from it being what a gap is off.
    fn most_over(&self, ranges: &Ranges, run: usize, gap: i128, sign: i128) -> i128 {
        let pitch = self.limits_of(ranges, run);
        let face = &self.faces[run];
        let count = Some((run, -sign * pitch.at(gap)));
        let constant = sign * (face.constant - pitch.ends * gap);
        most(ranges, face, sign, count, constant)
    }

    /// Bounds of `max - min` of the gaps, each taken down to a whole unit, summed over the gaps.
    fn spread(&self, ranges: &Ranges) -> i128 {
        let mut total = 0;
        for gap in 0..ranges.gaps.len() {
            let (mut highest_low, mut lowest_high) = (i128::MIN, i128::MAX);
            for run in self.live_runs(ranges) {
                if self.pitches[run].gap != gap {
                    continue;
                }
                if let Some((low, high)) = self.gap_interval(ranges, run) {
                    highest_low = highest_low.max(low);
                    lowest_high = lowest_high.min(high);
                }
            }
            if highest_low > lowest_high {
                total += highest_low - lowest_high;
            }
        }
        total
    }

    /// Interval of a run's gap in whole units (floor), `None` if it may have no gap at all.
    fn gap_interval(&self, ranges: &Ranges, run: usize) -> Option<(i128, i128)> {
        let pitch = self.limits_of(ranges, run);
        let (low, high) = ranges.counts[run];
        if pitch.places(low) <= 0 {
            return None;
        }
        if low != high {
            return Some((pitch.low, pitch.high));
        }
        let places = pitch.places(low);
        let least = -self.most_over(ranges, run, 0, -1);
        let greatest = self.most_over(ranges, run, 0, 1);
        let from = floor_div(least, places).max(pitch.low);
        Some((from, floor_div(greatest, places).min(pitch.high)))
    }

    /// What single inequalities cost beyond the wishes on their own.
    fn prices(&self, terms: &[Term], each: &[i128], ranges: &Ranges) -> i128 {
        let priced = |term: &Term| matches!(term.of, WishRef::Size(_)) && term.weight > 0;
        if !terms.iter().any(priced) {
            return 0;
        }
        let mut weight = vec![None; ranges.sizes.len()];
        for (term, &part) in terms.iter().zip(each) {
            if let (WishRef::Size(size), true) = (term.of, term.weight > 0) {
                let flat = term.weight * outside(ranges.sizes[size], term.core);
                weight[size] = Some((*term, part - flat));
            }
        }
        let mut gains: Vec<(i128, &Sum)> = Vec::new();
        for run in self.live_runs(ranges) {
            let pitch = self.limits_of(ranges, run);
            let face = &self.faces[run];
            let low = face.constant - pitch.ends * pitch.low;
            let high = pitch.ends * pitch.high - face.constant;
            let counts = (Some((run, -pitch.at(pitch.low))), Some((run, pitch.at(pitch.high))));
            gains.push((price(ranges, face, 1, counts.0, low, &weight), face));
            gains.push((price(ranges, face, -1, counts.1, high, &weight), face));
        }
        for &relation in &self.held {
            if self.relation_holds(ranges, relation) == Some(true) {
                let value = &self.relations[relation];
                let item = &self.problem.relations[relation];
                let low = value.constant - i128::from(item.from);
                let high = i128::from(item.to) - value.constant;
                gains.push((price(ranges, value, 1, None, low, &weight), value));
                gains.push((price(ranges, value, -1, None, high, &weight), value));
            }
        }
        gains.retain(|&(gain, _)| gain > 0);
        gains.sort_by_key(|&(gain, _)| -gain);
        let mut total = 0;
        for (gain, sum) in gains {
            let priced = |&&(size, _): &&(usize, i128)| weight[size].is_some();
            if sum.terms.iter().any(|&(size, _)| matches!(weight[size], Some((_, i128::MAX)))) {
                continue;
            }
            let taken: Vec<usize> = sum.terms.iter().filter(priced).map(|&(s, _)| s).collect();
            for size in taken {
                if let Some((_, spent)) = &mut weight[size] {
                    *spent = i128::MAX;
                }
            }
            total += gain;
        }
        total
    }
}

fn unit(component: &Component) -> i128 {
    match component {
        Component::Members => 1,
        Component::Wishes { unit, .. } => *unit,
    }
}

/// Lower bounds of one component.
struct Parts {
    /// Weighted bound of each wish.
    each: Vec<i128>,
    /// What the floors of the other groups add for each wish; empty without floors.
    others: Vec<i128>,
    /// Their sum.
    alone: i128,
    /// The sum with the prices of single inequalities.
    total: i128,
}

impl Parts {
    /// Lifts each group to its floor.
    fn add_floors(&mut self, floors: &Floors) {
        let mut lift = floors.least.clone();
        for (group, part) in floors.group_of.iter().zip(&self.each) {
            if let Some(group) = *group {
                lift[group] -= part;
            }
        }
        lift.iter_mut().for_each(|lift| *lift = (*lift).max(0));
        let all: i128 = lift.iter().sum();
        self.others = floors.group_of.iter().map(|group| all - group.map_or(0, |group| lift[group])).collect();
        self.total = self.total.max(self.alone + all);
    }
}

/// What an inequality costs beyond the wishes of the component at their best (`weight`: term and what holes have charged already).
fn price(
    ranges: &Ranges,
    sum: &Sum,
    sign: i128,
    count: Option<(usize, i128)>,
    constant: i128,
    weight: &[Option<(Term, i128)>],
) -> i128 {
    let mut most = constant + count.map_or(0, |(run, factor)| greatest(ranges.counts[run], factor));
    let mut charged = 0;
    for &(size, factor) in &sum.terms {
        let range = match weight[size] {
            Some((term, extra)) => {
                charged += extra;
                best_range(ranges.sizes[size], term.core)
            }
            None => ranges.sizes[size],
        };
        most += greatest(range, factor * sign);
    }
    if most >= 0 {
        return 0;
    }
    let cost = sum.terms.iter().filter_map(|&(size, factor)| {
        let (term, _) = weight[size]?;
        let paid = (-most).checked_mul(term.weight).unwrap_or(0);
        Some(ceil_div(paid, factor.abs()))
    });
    cost.min().map_or(0, |cost| cost - charged)
}

/// The part of `range` that is nearest to `core`.
fn best_range(range: (i128, i128), core: (i128, i128)) -> (i128, i128) {
    (core.0.clamp(range.0, range.1), core.1.clamp(range.0, range.1))
}

/// Distance between two ranges, 0 if they meet.
pub(crate) fn outside(range: (i128, i128), core: (i128, i128)) -> i128 {
    (core.0 - range.1).max(range.0 - core.1).max(0)
}

/// Holds a wish to a distance from its core; tells whether that changed anything.
fn hold(ranges: &mut Ranges, term: &Term, distance: i128) -> bool {
    let range = match term.of {
        WishRef::Size(i) => &mut ranges.sizes[i],
        WishRef::Gap(i) => &mut ranges.gaps[i],
        WishRef::Count(i) => &mut ranges.counts[i],
        WishRef::Choice(_) => return false,
    };
    let old = *range;
    *range = (old.0.max(term.core.0 - distance), old.1.min(term.core.1 + distance));
    *range != old
}

fn greatest(range: (i128, i128), factor: i128) -> i128 {
    factor * if factor > 0 { range.1 } else { range.0 }
}

/// Greatest value of `sign * sum + factor * count + constant` over the ranges.
fn most(ranges: &Ranges, sum: &Sum, sign: i128, count: Option<(usize, i128)>, constant: i128) -> i128 {
    let counted = count.map_or(0, |(run, factor)| greatest(ranges.counts[run], factor));
    sum.terms
        .iter()
        .map(|&(size, factor)| greatest(ranges.sizes[size], factor * sign))
        .fold(constant + counted, |total, part| total + part)
}

/// Range of a variable with this factor when the inequality has at most `most` to give.
fn narrowed(range: (i128, i128), factor: i128, most: i128) -> (i128, i128) {
    if range.0 == range.1 || factor.abs() * (range.1 - range.0) <= most {
        return range;
    }
    let room = floor_div(most, factor.abs());
    if factor > 0 { (range.1 - room, range.1) } else { (range.0, range.0 + room) }
}
