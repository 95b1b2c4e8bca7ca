//! What stands in the way when nothing comes out, in the plan's names, and the smallest change of one wish that frees it.
//!
//! The engine names one minimal set of wishes that collide. There may be others, so that no single change frees the whole plan;
//! each is found by letting go the wishes of those found before, and each is told with the changes that free it alone.

mod priced;

pub use priced::Priced;

use crate::Effort;
use fit::{Closing, Collision, LimitRef, Outcome, Problem, Ranking, WishRef};
use measure::{Length, Tape, Unit};
use model::plan::Plan;
use model::problem::Place;
use pieces::Asked;

/// Everything that stands in the way.
#[derive(Clone, Debug)]
pub struct Clash {
    /// Sets of wishes that collide, each for itself; all of them have to be freed.
    pub sets: Vec<Colliding>,
    /// The names of the sizes, in the order of [`WayOut::sizes`].
    pub size_names: Vec<String>,
}

/// Wishes that cannot all be kept.
#[derive(Clone, Debug)]
pub struct Colliding {
    /// The wishes that collide; none of them could be left out and the rest still collide, if `minimal`.
    pub wishes: Vec<Wished>,
    /// What they collide over: rows that must close and limits that hold.
    pub over: Vec<String>,
    /// What the plan fixes of the pieces whose rows and limits these are, in words: `bench.top 420 mm`.
    pub fixed: Vec<String>,
    /// Single changes that free this set, the least first.
    pub ways_out: Vec<WayOut>,
    /// Changes of two wishes that are together less than any single one, the least first.
    pub pairs: Vec<WayOut>,
    /// Cuts and rips that close the rows where no whole member does.
    pub priced: Vec<Priced>,
    /// True if they collide even when every wish is let go as far as it may: then these are the wishes that the rows and
    /// limits hang on.
    pub at_any_size: bool,
    /// Whether the set is known to be minimal; if not, the search ended at its step limit.
    pub minimal: bool,
}

/// One of the wishes.
#[derive(Clone, Debug)]
pub struct Wished {
    /// In words: `trough.length between 1400 mm and 1450 mm`.
    pub words: String,
    /// Where it stands in the plan.
    pub place: Option<Place>,
}

/// A change of one wish after which this set no longer collides.
#[derive(Clone, Debug)]
pub struct WayOut {
    /// In words: `let trough.width go to 520 mm`.
    pub words: String,
    /// The sizes that come out then, if nothing else stands in the way, as the tape shows them.
    pub sizes: Vec<String>,
}

/// The most sets that are looked for.
const MOST_SETS: usize = 6;

/// The most pairs that are told of a set.
const MOST_PAIRS: usize = 2;

/// Everything that stands in the way of a plan, given the first collision that was found.
pub(crate) fn all(plan: &Plan, asked: &Asked, first: Collision, effort: &Effort, cancel: &dyn Fn() -> bool) -> Clash {
    let mut found = vec![first];
    while found.len() < MOST_SETS && found.iter().all(|collision| !collision.set.is_empty()) {
        let sets: Vec<&Collision> = found.iter().collect();
        match collides(&let_go(&asked.problem, &sets), effort, cancel) {
            Some(other) if !found.iter().any(|known| known.set == other.set) => found.push(other),
            _ => break,
        }
    }
    let alone = |place: usize| {
        let others: Vec<&Collision> =
            found.iter().enumerate().filter(|(at, _)| *at != place).map(|(_, other)| other).collect();
        let again = if others.is_empty() { None } else { collides(&let_go(&asked.problem, &others), effort, cancel) };
        again.filter(|again| again.set == found[place].set)
    };
    let set = |place: usize| {
        let again = alone(place);
        let own = again.as_ref().unwrap_or(&found[place]);
        let others: Vec<&Collision> =
            found.iter().enumerate().filter(|(at, _)| *at != place).map(|(_, other)| other).collect();
        let priced = priced::all((plan, asked), own, &let_go(&asked.problem, &others), effort, cancel);
        Colliding { priced, ..told(asked, own) }
    };
    let sets = (0..found.len()).map(set);
    let size_names = asked.problem.sizes.iter().map(|size| size.name.replace('.', " ")).collect();
    Clash { sets: sets.collect(), size_names }
}

fn collides(problem: &Problem, effort: &Effort, cancel: &dyn Fn() -> bool) -> Option<Collision> {
    let limits = fit::Limits { keep: 1, count_cap: 0, ..effort.fit };
    match fit::solve(problem, Ranking::AsWished, &limits, cancel) {
        Ok(Outcome::Collides(collision)) => Some(collision),
        _ => None,
    }
}

/// The question with the wishes of some collisions let go as far as they may go.
fn let_go(problem: &Problem, collisions: &[&Collision]) -> Problem {
    let mut free = problem.clone();
    let widened = |wish: &mut fit::Wish| {
        wish.from = wish.from.min(wish.reach.0);
        wish.to = wish.to.max(wish.reach.1);
    };
    for wish in collisions.iter().flat_map(|collision| &collision.set) {
        match *wish {
            WishRef::Size(at) => widened(&mut free.sizes[at].wish),
            WishRef::Gap(at) => widened(&mut free.gaps[at].wish),
            WishRef::Count(at) => free.runs[at].count = (1, i64::from(pieces::MOST_MEMBERS)),
            WishRef::Choice(at) => free.choices[at].pinned = None,
        }
    }
    free
}

/// A collision in the plan's names.
fn told(asked: &Asked, collision: &Collision) -> Colliding {
    let at_any_size = collision.set.is_empty();
    let hangs_on = hangs_on(asked, &collision.limits);
    let set = if at_any_size { &hangs_on } else { &collision.set };
    let ways_out = collision.relaxations.iter().filter_map(|relaxation| {
        let words = relaxed(asked, relaxation.wish, (relaxation.from, relaxation.to))?;
        Some(WayOut { words: format!("let {words}"), sizes: sizes(asked, &relaxation.closing) })
    });
    let pairs = collision.pairs.iter().take(MOST_PAIRS).filter_map(|pair| {
        let [first, second] = pair.changes.map(|(wish, range)| relaxed(asked, wish, range));
        let words = format!("let {}, and {}", first?, second?);
        Some(WayOut { words, sizes: sizes(asked, &pair.closing) })
    });
    let mut over: Vec<String> = collision.limits.iter().filter_map(|limit| limited(asked, *limit)).collect();
    over.dedup();
    let fixed = fixed(asked, set, &collision.limits, &over);
    Colliding {
        wishes: set.iter().filter_map(|wish| wished(asked, *wish)).collect(),
        over,
        fixed,
        ways_out: ways_out.collect(),
        pairs: pairs.collect(),
        priced: Vec::new(),
        at_any_size,
        minimal: collision.minimal,
    }
}

/// The sizes of a closing, as the tape shows them.
fn sizes(asked: &Asked, closing: &Closing) -> Vec<String> {
    closing.sizes.iter().map(|&size| asked.tape.show(Length::nm(size))).collect()
}

/// The sizes and gaps that some rows and limits hang on.
fn hangs_on(asked: &Asked, limits: &[LimitRef]) -> Vec<WishRef> {
    let problem = &asked.problem;
    let mut wishes = Vec::new();
    for limit in limits {
        let (value, gap) = match *limit {
            LimitRef::Run(at) => (problem.runs.get(at).map(|run| &run.face), problem.runs.get(at).map(|run| run.gap)),
            LimitRef::Relation(at) => (problem.relations.get(at).map(|relation| &relation.value), None),
        };
        wishes.extend(value.iter().flat_map(|value| &value.terms).map(|&(size, _)| WishRef::Size(size)));
        wishes.extend(gap.map(WishRef::Gap));
    }
    wishes.sort_unstable();
    wishes.dedup();
    wishes
}

/// What is fixed behind some limits and is none of the wishes that are told: sizes and gaps that the limits hang on and that
/// are wished exactly, and the lengths that the plan writes down of the pieces they speak of.
fn fixed(asked: &Asked, told: &[WishRef], limits: &[LimitRef], over: &[String]) -> Vec<String> {
    let exact = |wish: &WishRef| match *wish {
        WishRef::Size(at) => asked.problem.sizes.get(at).is_some_and(|size| size.wish.from == size.wish.to),
        WishRef::Gap(at) => asked.problem.gaps.get(at).is_some_and(|gap| gap.wish.from == gap.wish.to),
        WishRef::Count(_) | WishRef::Choice(_) => false,
    };
    let behind = hangs_on(asked, limits);
    let others = behind.iter().filter(|wish| !told.contains(wish) && exact(wish));
    let others = others.filter_map(|wish| wished(asked, *wish)).map(|wish| wish.words);
    let names = behind.iter().chain(told).filter_map(|wish| wished(asked, *wish)).map(|wish| wish.words);
    let words: Vec<String> = names.chain(over.iter().cloned()).collect();
    let unit = asked.tape.unit_name();
    let written = asked.fixed.iter().filter(|(name, _)| {
        let piece = name.split('.').next().unwrap_or_default();
        words.iter().flat_map(|words| words.split([' ', '.', ','])).any(|word| word == piece)
    });
    let written = written.map(|(name, length)| format!("{name} {} {unit}", asked.tape.show_fine(*length)));
    others.chain(written).collect()
}

fn limited(asked: &Asked, limit: LimitRef) -> Option<String> {
    let problem = &asked.problem;
    let fine = |value: i64| asked.tape.show_exact(Length::nm(value));
    match limit {
        LimitRef::Run(at) => {
            let run = problem.runs.get(at)?;
            let gap = range(&problem.gaps.get(run.gap)?.wish, asked.tape);
            // Marks of boards that lap take nothing themselves.
            Some(match asked.member(at).nanometres() {
                0 => format!("the row {} must close with covers {gap}", run.name),
                member => format!("the row {} must close with members of {} and gaps {gap}", run.name, fine(member)),
            })
        }
        LimitRef::Relation(at) => problem.relations.get(at).map(|relation| relation.name.clone()),
    }
}

fn wished(asked: &Asked, wish: WishRef) -> Option<Wished> {
    let problem = &asked.problem;
    let (name, words) = match wish {
        WishRef::Size(at) => problem.sizes.get(at).map(|size| (&size.name, range(&size.wish, asked.tape)))?,
        WishRef::Gap(at) => problem.gaps.get(at).map(|gap| (&gap.name, range(&gap.wish, asked.tape)))?,
        WishRef::Count(at) => {
            let run = problem.runs.get(at)?;
            (&run.name, format!("of {} to {} members", run.count.0, run.count.1))
        }
        WishRef::Choice(at) => {
            let choice = problem.choices.get(at)?;
            (&choice.name, format!("as {}", choice.options.get(choice.pinned?)?))
        }
    };
    Some(Wished { words: format!("{name} {words}"), place: asked.places.get(name).cloned() })
}

fn range(wish: &fit::Wish, tape: Tape) -> String {
    let show = |value: i64| tape.show_exact(Length::nm(value));
    let unit = unit(tape);
    if wish.from == wish.to {
        format!("exactly {}{unit}", show(wish.from))
    } else {
        format!("between {} and {}{unit}", show(wish.from), show(wish.to))
    }
}

/// What follows a figure: inches carry their marks.
fn unit(tape: Tape) -> &'static str {
    if tape.unit() == Unit::Millimetre { " mm" } else { "" }
}

/// A wish in a new range, in words: `trough.width go up to 520 mm`.
fn relaxed(asked: &Asked, wish: WishRef, range: (i64, i64)) -> Option<String> {
    let problem = &asked.problem;
    let unit = unit(asked.tape);
    let moved = |name: &str, wish: &fit::Wish| {
        // A gap's least change is a whole number of nanometres; what is offered is a figure that can be written down.
        let (from, to) = (outwards(range.0, false), outwards(range.1, true));
        let show = |length: Length| asked.tape.show_exact(length);
        match (range.0 < wish.from, range.1 > wish.to) {
            (true, true) => format!("{name} go from {} to {}{unit}", show(from), show(to)),
            (false, _) => format!("{name} go up to {}{unit}", show(to)),
            (true, false) => format!("{name} go down to {}{unit}", show(from)),
        }
    };
    Some(match wish {
        WishRef::Size(at) => problem.sizes.get(at).map(|size| moved(&size.name, &size.wish))?,
        WishRef::Gap(at) => problem.gaps.get(at).map(|gap| moved(&gap.name, &gap.wish))?,
        WishRef::Count(at) => {
            let run = problem.runs.get(at)?;
            format!("{} have {} to {} members", run.name, range.0, range.1)
        }
        WishRef::Choice(at) => {
            let choice = problem.choices.get(at)?;
            let option = usize::try_from(range.1).ok().and_then(|option| choice.options.get(option))?;
            format!("{} be {option}", choice.name)
        }
    })
}

/// A length to the hundredth of a millimetre, outwards, so that the range it is put in holds the value. What stands on the
/// tape stays as it is.
fn outwards(nanometres: i64, up: bool) -> Length {
    let length = Length::nm(nanometres);
    let hundredth = 10_000;
    let down = nanometres.div_euclid(hundredth) * hundredth;
    if length.is_on(Length::inch_64ths(1)) || down == nanometres {
        length
    } else {
        Length::nm(if up { down + hundredth } else { down })
    }
}
