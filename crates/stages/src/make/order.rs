//! An order in which each step comes after those it waits for.

use super::relations::Relations;
use std::collections::{BTreeMap, BTreeSet};

/// The steps in order.
#[derive(Debug)]
pub(super) struct Order {
    /// The given steps by number.
    pub order: Vec<usize>,
    /// For each place in the order the given steps, by number, that the step there waits for.
    pub after: Vec<Vec<usize>>,
    /// Those that had to be done before something that they must wait for.
    pub forced: Vec<usize>,
}

/// Always takes the first step, as given, that waits for nothing; if there is none the first that must wait for nothing; and
/// if each must wait for another, the first that is left.
pub(super) fn order(relations: &Relations) -> Order {
    let mut waits = Waits::of(relations);
    let mut order = Order { order: Vec::new(), after: Vec::new(), forced: Vec::new() };
    while let Some((step, is_forced)) = waits.next() {
        order.forced.extend(is_forced.then_some(step));
        let came_before = |&before: &usize| waits.is_done[before];
        order.after.push(relations.before(step).filter(came_before).collect());
        order.order.push(step);
        waits.done(step);
    }
    order
}

/// What is left to do, and how much each step still waits for.
struct Waits {
    is_done: Vec<bool>,
    /// For each step how many that it must wait for, and how many that it would, are left.
    left: Vec<[usize; 2]>,
    after: BTreeMap<usize, Vec<(usize, bool)>>,
    /// Not done, waiting for nothing.
    free: BTreeSet<usize>,
    /// Not done, waiting for nothing that they must wait for.
    possible: BTreeSet<usize>,
    /// Not done.
    all: BTreeSet<usize>,
}

impl Waits {
    fn of(relations: &Relations) -> Waits {
        let mut left = vec![[0; 2]; relations.steps];
        let mut after: BTreeMap<usize, Vec<(usize, bool)>> = BTreeMap::new();
        for (before, step, must) in relations.edges() {
            left[step][usize::from(!must)] += 1;
            after.entry(before).or_default().push((step, must));
        }
        let all: BTreeSet<usize> = (0..relations.steps).collect();
        let free = all.iter().copied().filter(|&step| left[step] == [0, 0]).collect();
        let possible = all.iter().copied().filter(|&step| left[step][0] == 0).collect();
        Waits { is_done: vec![false; relations.steps], left, after, free, possible, all }
    }

    /// The next step, and whether it must wait for one that is not done.
    fn next(&self) -> Option<(usize, bool)> {
        let next = self.free.first().or(self.possible.first());
        next.map(|&step| (step, false)).or_else(|| self.all.first().map(|&step| (step, true)))
    }

    fn done(&mut self, step: usize) {
        self.is_done[step] = true;
        for set in [&mut self.free, &mut self.possible, &mut self.all] {
            set.remove(&step);
        }
        for (later, must) in self.after.remove(&step).unwrap_or_default() {
            let left = &mut self.left[later];
            left[usize::from(!must)] -= 1;
            let (possible, free) = (left[0] == 0, *left == [0, 0]);
            if !self.is_done[later] && possible {
                self.possible.insert(later);
                if free {
                    self.free.insert(later);
                }
            }
        }
    }
}
