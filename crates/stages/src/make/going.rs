//! Which piece is made before which, where their parts do not tell it: what lies loose in walls, lines, fills or closes them,
//! and what is bought and fitted.
//!
//! Loose slats go into walls that stand, and before anything that would bar their way from above; a floor that something stands
//! on is made with the base, before the walls round it. A liner follows what it lies on and comes before what is filled in or
//! closes the top over it; a fill follows all that stands in it, and comes before what stands on it. Both follow what the walls
//! are screwed to, since the screws may go in from inside. What is bought and fitted
//! follows the piece that it belongs to and comes before what covers that.

use super::relations::{NO_STEP, Relations, Space};
use model::build::{Build, Going};
use std::collections::{BTreeMap, BTreeSet};

/// What follows from how pieces go with one another: pairs of a step and one that comes before it.
#[derive(Default)]
pub(super) struct Goings {
    /// What always holds.
    pub must: Vec<(usize, usize)>,
    /// What holds where nothing else forbids it.
    pub would: Vec<(usize, usize)>,
    /// By the step of what is laid loose: what it lies in, and the steps of that.
    pub laid_in: BTreeMap<usize, (String, Vec<usize>)>,
}

/// The steps of each piece.
type Steps<'b> = BTreeMap<&'b str, Vec<usize>>;

impl Goings {
    /// Reads them off the pieces of a build whose parts have been related.
    pub fn of(build: &Build, relations: &Relations, space: &Space) -> Goings {
        let mut steps: Steps<'_> = BTreeMap::new();
        for (number, step) in build.steps.iter().enumerate() {
            steps.entry(&step.piece).or_default().push(number);
        }
        let with = With { build, relations, steps };
        let mut goings = Goings::default();
        for one in &build.with {
            let (own, host) = (one.piece.as_str(), one.to.as_str());
            match one.going {
                Going::First => goings.must(with.steps(host), with.steps(own)),
                Going::Laid => with.lay(own, host, space, &mut goings),
                Going::Stands => with.stand(own, host, &mut goings),
                Going::Lines => with.line(own, host, &mut goings),
                Going::Fills => with.fill(own, host, &mut goings),
                Going::Closes => with.close(own, host, &mut goings),
                Going::Fitted => goings.must(with.steps(own), with.steps(host)),
            }
        }
        // What is fixed to another and goes in no other way, as a cladding does, follows it, screws or none.
        for one in build.fixed.iter().filter(|one| build.with.iter().all(|with| with.piece != one.piece)) {
            goings.would(with.steps(&one.piece), with.steps(&one.to));
        }
        with.fit(&mut goings);
        goings
    }

    fn must(&mut self, later: &[usize], earlier: &[usize]) {
        self.must.extend(pairs(later, earlier));
    }

    fn would(&mut self, later: &[usize], earlier: &[usize]) {
        self.would.extend(pairs(later, earlier));
    }
}

/// Each of the later steps with each of the earlier ones.
fn pairs(later: &[usize], earlier: &[usize]) -> Vec<(usize, usize)> {
    let each = |&later: &usize| earlier.iter().map(move |&earlier| (later, earlier));
    later.iter().flat_map(each).filter(|(later, earlier)| later != earlier).collect()
}

/// What the order is read from.
struct With<'b> {
    build: &'b Build,
    relations: &'b Relations,
    steps: Steps<'b>,
}

impl With<'_> {
    fn steps(&self, piece: &str) -> &[usize] {
        self.steps.get(piece).map_or(&[], Vec::as_slice)
    }

    /// The steps of all pieces that go so with a piece.
    fn going(&self, with: &str, going: Going) -> Vec<usize> {
        let there = self.build.with.iter().filter(|one| one.to == with && one.going == going);
        there.flat_map(|one| self.steps(&one.piece)).copied().collect()
    }

    fn lay(&self, own: &str, host: &str, space: &Space, goings: &mut Goings) {
        let (steps, of_host) = (self.steps(own), self.steps(host));
        if self.relations.carries(self.build, own) {
            return goings.would(of_host, steps);
        }
        goings.must(steps, of_host);
        let bars = self.bars(own, space);
        let of_host_too: BTreeSet<usize> = of_host.iter().copied().collect();
        let bars: Vec<usize> = bars.difference(&of_host_too).copied().collect();
        let stands: Vec<usize> =
            self.going(host, Going::Stands).into_iter().filter(|step| !bars.contains(step)).collect();
        goings.would(steps, &stands);
        goings.must(&bars, steps);
        for &step in steps {
            goings.laid_in.insert(step, (host.to_owned(), of_host.to_vec()));
        }
    }

    /// The steps of what lies over the parts of a piece that goes in from above.
    fn bars(&self, own: &str, space: &Space) -> BTreeSet<usize> {
        let parts = &self.build.parts;
        let laid: Vec<usize> = (0..parts.len()).filter(|&part| parts[part].key.piece == own).collect();
        let Some(top) = laid.iter().map(|&part| space.bounds[part].far[2]).max() else { return BTreeSet::new() };
        let bars = |part: &usize| {
            let above = space.bounds[*part];
            above.near[2] >= top && laid.iter().any(|&laid| above.is_over(&space.bounds[laid]))
        };
        let others = (0..parts.len()).filter(|&part| parts[part].key.piece != own).filter(bars);
        others.map(|part| self.relations.step_of[part]).filter(|&step| step != NO_STEP).collect()
    }

    /// What the walls are screwed to comes before them; all else that stands in them comes after.
    fn stand(&self, own: &str, host: &str, goings: &mut Goings) {
        let parts = &self.build.parts;
        let holds = |&(held, base): &(usize, usize)| parts[held].key.piece == host && parts[base].key.piece == own;
        if !self.relations.held.iter().any(holds) {
            goings.would(self.steps(own), self.steps(host));
        }
    }

    fn line(&self, own: &str, host: &str, goings: &mut Goings) {
        let steps = self.steps(own);
        goings.must(steps, self.steps(host));
        goings.must(steps, &self.going(host, Going::Laid));
        goings.would(steps, &self.going(host, Going::Stands));
        let closes: Vec<usize> = self.going(host, Going::Closes);
        let screwed = self.screwed_from(&[host]);
        let screwed: Vec<usize> = screwed.into_iter().filter(|step| !closes.contains(step)).collect();
        goings.must(steps, &screwed);
    }

    /// The steps of what the parts of some pieces are screwed to, from where these stand.
    fn screwed_from(&self, pieces: &[&str]) -> BTreeSet<usize> {
        let parts = &self.build.parts;
        let from = self.relations.held.iter().filter(|(held, _)| pieces.contains(&parts[*held].key.piece.as_str()));
        from.map(|&(_, base)| self.relations.step_of[base]).filter(|&step| step != NO_STEP).collect()
    }

    /// A fill follows all that stands in it, but for what stands on it.
    fn fill(&self, own: &str, host: &str, goings: &mut Goings) {
        let steps = self.steps(own);
        for before in [self.steps(host), &self.going(host, Going::Laid), &self.going(host, Going::Lines)] {
            goings.must(steps, before);
        }
        let stands: Vec<&model::build::With> =
            self.build.with.iter().filter(|one| one.to == host && one.going == Going::Stands).collect();
        let inside: Vec<&str> = stands.iter().map(|one| one.piece.as_str()).chain([host]).collect();
        let tiers: BTreeSet<usize> = stands.iter().flat_map(|one| self.steps(&one.piece)).copied().collect();
        goings.must(steps, &self.screwed_from(&inside).difference(&tiers).copied().collect::<Vec<_>>());
        for one in stands {
            let on = self.build.bedded.iter().find(|bedded| bedded.piece == one.piece && steps.contains(&bedded.on));
            let there = self.steps(&one.piece);
            let (below, round): (Vec<usize>, Vec<usize>) =
                steps.iter().partition(|&&step| on.is_some_and(|bedded| step <= bedded.on));
            goings.must(there, &below);
            goings.must(&round, there);
        }
    }

    /// What closes the top comes after what goes in through it.
    fn close(&self, own: &str, on: &str, goings: &mut Goings) {
        let steps = self.steps(own);
        for piece in self.fixed_to(on) {
            goings.must(steps, &self.going(piece, Going::Lines));
            let loose = |one: &&model::build::With| {
                one.to == piece && one.going == Going::Laid && !self.relations.carries(self.build, &one.piece)
            };
            for one in self.build.with.iter().filter(loose) {
                goings.must(steps, self.steps(&one.piece));
            }
        }
    }

    /// A piece, what it is fixed to, and so on.
    fn fixed_to<'p>(&'p self, piece: &'p str) -> Vec<&'p str> {
        let mut found = vec![piece];
        let mut looked_at = 0;
        while looked_at < found.len() {
            let own = self.build.fixed.iter().filter(|fixed| fixed.piece == found[looked_at]);
            let further: Vec<&str> = own.map(|fixed| fixed.to.as_str()).filter(|to| !found.contains(to)).collect();
            found.extend(further);
            looked_at += 1;
        }
        found
    }

    /// What is fitted to a piece comes before what follows the piece, unless a part of the piece waits for that.
    fn fit(&self, goings: &mut Goings) {
        let all: Vec<(usize, usize)> =
            self.relations.pairs().chain(goings.must.iter().copied()).chain(goings.would.iter().copied()).collect();
        let mut before: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        all.iter().for_each(|&(later, earlier)| before.entry(later).or_default().push(earlier));
        for one in self.build.with.iter().filter(|one| one.going == Going::Fitted) {
            let own: BTreeSet<usize> = self.steps(&one.to).iter().copied().collect();
            let awaited = awaited(&own, &before);
            let follows = all.iter().filter(|(later, earlier)| own.contains(earlier) && !own.contains(later));
            let follows: BTreeSet<usize> =
                follows.map(|&(later, _)| later).filter(|later| !awaited.contains(later)).collect();
            let fitted = self.build.with.iter().filter(|other| other.to == one.to && other.going == Going::Fitted);
            let fitted: BTreeSet<usize> = fitted.flat_map(|other| self.steps(&other.piece)).copied().collect();
            let later: Vec<usize> = follows.difference(&fitted).copied().collect();
            goings.would(&later, self.steps(&one.piece));
        }
    }
}

/// All that some steps wait for, directly or not.
fn awaited(steps: &BTreeSet<usize>, before: &BTreeMap<usize, Vec<usize>>) -> BTreeSet<usize> {
    let mut found = BTreeSet::new();
    let mut open: Vec<usize> = steps.iter().copied().collect();
    while let Some(step) = open.pop() {
        let earlier = before.get(&step).into_iter().flatten();
        open.extend(earlier.filter(|&&earlier| found.insert(earlier)));
    }
    found
}
