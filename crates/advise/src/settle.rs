//! The lane behind the drag: closings priced, one chosen, cut, bought, checked.

use crate::drag::fitted;
use crate::levels;
use crate::price::BEYOND_ALL;
use crate::sides::Side;
use crate::windows::{self, SizeWindows, best_of};
use crate::{Change, Cost, Effort, NoPrice, Price, Pricer, Unsettled, WhatIfs, fault, standing};
use fit::{Closing, Ranking};
use measure::Money;
use model::build::Build;
use model::joint::Joints;
use model::plan::{Plan, Prefer};
use model::standing::Assigned;
use model::why::Quantity;
use pieces::Asked;
use stages::buy::{self, Buying};
use stages::check::{self, Answers};
use stages::cut::{self, Cutting};
use stages::make::{self, Making};
use stages::saw::{self, Sawing};
use stages::work::Work;

/// A plan that is decided: one way in which everything comes out, with all that follows from it and the ways beside it.
pub struct Settled {
    /// The plan as it was read.
    pub plan: Plan,
    /// What the pieces asked.
    pub asked: Asked,
    /// What fit answered: the best closings by the wishes, and the proof.
    pub answer: fit::Answer,
    /// The ways in which everything comes out, priced: the best first, then those that are listed for another reason.
    pub ways: Vec<Way>,
    /// Which of the ways this plan goes on with.
    pub chosen: usize,
    /// Whether no closing at all can cost less than the cheapest way: all were looked at or bounded, with proven bounds.
    pub cheapest_proven: bool,
    /// Where each size comes out, under the choices of the chosen way.
    pub windows: Vec<SizeWindows>,
    /// Its parts, rows and steps.
    pub build: Build,
    /// How they are screwed to one another.
    pub joints: Joints,
    /// In which order it is all put together.
    pub making: Making,
    /// Which of them are cut already.
    pub assigned: Assigned,
    /// How the others are cut.
    pub cutting: Cutting,
    /// At which settings of the saw.
    pub sawing: Sawing,
    /// What is bought.
    pub buying: Buying,
    /// What was asked and answered.
    pub answers: Answers,
    /// What the day book changed, against the plan without it: nothing until the two were compared.
    pub changes: Vec<Change>,
    /// What a few millimetres do, and what to do where the yard has too few: nothing until [`crate::what_ifs`] was asked.
    pub what_ifs: WhatIfs,
    /// The ways to build it, side by side: nothing where the plan states one only.
    pub sides: Vec<Side>,
    /// What there is to do, where ways to build it are told beside one another.
    pub work: Option<Work>,
}

impl Settled {
    /// Every number that can be asked why, in the order of the flow.
    pub fn quantities(&self) -> impl Iterator<Item = &Quantity> {
        let stages = [
            &self.build.quantities,
            &self.cutting.quantities,
            &self.sawing.quantities,
            &self.buying.quantities,
            &self.answers.quantities,
        ];
        stages.into_iter().flatten().chain(self.work.iter().map(|work| &work.minutes))
    }
}

/// One way in which everything comes out.
#[derive(Clone, Debug)]
pub struct Way {
    /// Choices, counts and sizes.
    pub closing: Closing,
    /// What it costs, or why that is not known.
    pub price: Result<Price, NoPrice>,
    /// Why it is listed.
    pub because: Because,
}

/// Why a way is listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// Its place among the closings nearest to the wishes, from 0.
    Near(usize),
    /// It keeps the sizes as near as they go and lets gaps and joints follow.
    SizesFirst,
    /// It has the fewest members.
    FewestMembers,
    /// A few millimetres of one size, by its place, save money inside the closing of the way before it.
    Cheaper {
        /// The size that gives.
        size: usize,
    },
    /// A few millimetres of one size, by its place, make it comfortable to cut for no more money than a way of the same
    /// choices and counts.
    Roomier {
        /// The size that gives.
        size: usize,
    },
}

/// How many of the tight ways are looked at for a comfortable one beside them.
const MOST_TIGHT: usize = 3;

/// Settles a plan.
///
/// # Errors
/// [`Unsettled`] says why nothing comes out.
pub fn settle(plan: Plan, effort: &Effort, cancel: &dyn Fn() -> bool) -> Result<Settled, Unsettled> {
    let asked = pieces::ask(&plan).map_err(Unsettled::Problems)?;
    let answer = fitted(&plan, &asked, effort, cancel)?;
    let mut pricer = Pricer::new(&plan, &asked, effort, cancel);
    let (ways, cheapest_proven) = ways(&asked, &answer, &mut pricer, effort, cancel);
    let chosen = choose(&ways, plan.prefer);
    let closing = ways.get(chosen).map(|way| &way.closing).ok_or(Unsettled::Unfinished { steps: answer.steps })?;
    let windows = windows::of_all(&asked, closing, &mut pricer, effort, cancel).map_err(|nonsense| fault(&nonsense))?;
    let mut build = pieces::detail(&asked, closing).map_err(|problem| Unsettled::Problems(vec![problem]))?;
    let joined = joints::join(&build, &plan);
    build.notes.extend(joined.notes);
    build.quantities.extend(joined.quantities);
    let joints = joined.joints;
    let making = make::make(&build, &joints, &plan);
    build.notes.extend(making.notes.iter().cloned());
    let assigned = standing::assign(&plan, &build.parts).map_err(Unsettled::Problems)?;
    let cutting = cut::cut_rest(&build.parts, &assigned.done(), &plan, effort.cutting, cancel);
    let cutting = cutting.map_err(|problems| match cancel() {
        // A search that was stopped before it had a plan says nothing about the yard.
        true => Unsettled::Unfinished { steps: answer.steps },
        false => Unsettled::Problems(problems),
    })?;
    let sawing = saw::saw(&build, &cutting, &plan);
    let mut buying =
        buy::buy_all(&build, &joints, &cutting, &plan).map_err(|problem| Unsettled::Problems(vec![problem]))?;
    buying.notes.extend(saw::notes(&sawing, &build, &plan));
    let answers = check::check(&check::Case { build: &build, joints: &joints, plan: &plan });
    drop(pricer);
    Ok(Settled {
        plan,
        asked,
        answer,
        ways,
        chosen,
        cheapest_proven,
        windows,
        build,
        joints,
        making,
        assigned,
        cutting,
        sawing,
        buying,
        answers,
        changes: Vec::new(),
        what_ifs: WhatIfs::default(),
        sides: Vec::new(),
        work: None,
    })
}

/// The ways worth listing, priced, and whether the cheapest of them is proven to be the cheapest there is.
fn ways(
    asked: &Asked,
    answer: &fit::Answer,
    pricer: &mut Pricer<'_>,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> (Vec<Way>, bool) {
    let mut ways: Vec<Way> = Vec::new();
    for (place, closing) in answer.closings.iter().enumerate() {
        push(&mut ways, closing.clone(), Because::Near(place), pricer);
    }
    for (ranking, because) in
        [(Ranking::SizesFirst, Because::SizesFirst), (Ranking::FewestMembers, Because::FewestMembers)]
    {
        if let Some(closing) = best_of(&asked.problem, ranking, effort, cancel) {
            push(&mut ways, closing, because, pricer);
        }
    }
    let floors: Vec<Option<Cost>> = answer.closings.iter().map(|closing| pricer.floor(closing)).collect();
    for (place, (closing, floor)) in answer.closings.iter().zip(&floors).enumerate() {
        let Some(price) = pricer.price(closing).ok().filter(|price| price.complete) else { continue };
        // Inside a closing that cannot go below the cheapest way there is nothing to find, except for the best one, whose own
        // lower prices are always of interest.
        let below = |dear: Money| floor.is_none_or(|floor| floor.total < dear);
        if below(price.total) && (place == 0 || below(cheapest(&ways).unwrap_or(price.total))) {
            for level in levels::inside(asked, closing, price.total, pricer, effort, cancel) {
                push(&mut ways, level.closing, Because::Cheaper { size: level.size }, pricer);
            }
        }
    }
    // What is at home may not do for a closing, and yet for one of a few millimetres less.
    if pricer.has_home() && ways.iter().all(|way| way.price.is_err()) {
        for closing in &answer.closings {
            for level in levels::inside(asked, closing, BEYOND_ALL, pricer, effort, cancel) {
                push(&mut ways, level.closing, Because::Cheaper { size: level.size }, pricer);
            }
        }
    }
    let tight = |way: &&Way| {
        let whole = way.price.is_ok_and(|price| price.complete && price.tight > 0);
        whole && matches!(way.because, Because::Near(0) | Because::Cheaper { .. })
    };
    for way in ways.iter().filter(tight).take(MOST_TIGHT).cloned().collect::<Vec<Way>>() {
        let Ok(price) = way.price else { continue };
        if let Some(level) = levels::roomier(asked, &way.closing, price, pricer, effort, cancel) {
            push(&mut ways, level.closing, Because::Roomier { size: level.size }, pricer);
        }
    }
    let priced =
        ways.iter().all(|way| way.price.map_or_else(|none| none == NoPrice::NotToBeHad, |price| price.complete));
    let all_listed = !answer.found.capped && answer.found.count == answer.closings.len() as u64;
    let nothing_below = |floor: &Option<Cost>| {
        floor.zip(cheapest(&ways)).is_some_and(|(floor, cheapest)| floor.proven && floor.total >= cheapest)
    };
    let proven = priced && all_listed && floors.iter().all(nothing_below);
    (ways, proven)
}

/// What the cheapest of some ways costs.
fn cheapest(ways: &[Way]) -> Option<Money> {
    ways.iter().filter_map(|way| way.price.ok()).map(|price| price.total).min()
}

/// Lists a way unless one with the same choices, counts and sizes is listed.
fn push(ways: &mut Vec<Way>, closing: Closing, because: Because, pricer: &mut Pricer<'_>) {
    let same = |way: &Way| {
        (&way.closing.choices, &way.closing.counts, &way.closing.sizes)
            == (&closing.choices, &closing.counts, &closing.sizes)
    };
    if !ways.iter().any(same) {
        let price = pricer.price(&closing);
        ways.push(Way { closing, price, because });
    }
}

/// The way that a plan goes on with: the nearest that can be bought, or the cheapest; among equals the one with the
/// fewest tight boards, then the earlier.
fn choose(ways: &[Way], prefer: Prefer) -> usize {
    let buyable = || ways.iter().enumerate().filter_map(|(place, way)| way.price.ok().map(|price| (place, price)));
    let nearest = buyable().map(|(place, _)| place).next().unwrap_or(0);
    // Without all prices nobody knows what is cheapest.
    if prefer == Prefer::Closest || buyable().any(|(_, price)| !price.complete) {
        return nearest;
    }
    buyable().min_by_key(|(place, price)| (price.total, price.tight, *place)).map_or(0, |(place, _)| place)
}
