//! What stands in the way when nothing comes out, in the plan's names, and the smallest change of one wish that frees it.

use fit::{Collision, LimitRef, WishRef};
use measure::{Length, Tape};
use model::problem::Place;
use pieces::Asked;

/// Wishes that cannot all be kept.
#[derive(Clone, Debug)]
pub struct Clash {
    /// The wishes that collide; none of them could be left out and the rest still collide, if `minimal`.
    pub wishes: Vec<Wished>,
    /// What they collide over: rows that must close and limits that hold.
    pub over: Vec<String>,
    /// Single changes that free everything, the least first.
    pub ways_out: Vec<WayOut>,
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

/// A change of one wish after which something comes out.
#[derive(Clone, Debug)]
pub struct WayOut {
    /// In words: `let trough.width go to 520 mm`.
    pub words: String,
    /// The sizes that come out then, as the tape shows them.
    pub sizes: Vec<String>,
}

/// A collision in the plan's names.
pub(crate) fn told(asked: &Asked, collision: &Collision) -> Clash {
    let problem = &asked.problem;
    let over = collision.limits.iter().filter_map(|limit| match *limit {
        LimitRef::Run(run) => problem.runs.get(run).map(|run| format!("the row {} must close", run.name)),
        LimitRef::Relation(relation) => problem.relations.get(relation).map(|relation| relation.name.clone()),
    });
    let ways_out = collision.relaxations.iter().filter_map(|relaxation| {
        let words = relaxed(asked, relaxation)?;
        let sizes = relaxation.closing.sizes.iter().map(|&size| asked.tape.show(Length::nm(size))).collect();
        Some(WayOut { words, sizes })
    });
    let mut over: Vec<String> = over.collect();
    over.dedup();
    Clash {
        wishes: collision.set.iter().filter_map(|wish| wished(asked, *wish)).collect(),
        over,
        ways_out: ways_out.collect(),
        minimal: collision.minimal,
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
    let show = |value: i64| tape.show_fine(Length::nm(value));
    let unit = tape.unit_name();
    if wish.from == wish.to {
        format!("exactly {} {unit}", show(wish.want))
    } else {
        format!("between {} and {} {unit}", show(wish.from), show(wish.to))
    }
}

fn relaxed(asked: &Asked, relaxation: &fit::Relaxation) -> Option<String> {
    let problem = &asked.problem;
    let unit = asked.tape.unit_name();
    let moved = |name: &str, wish: &fit::Wish| {
        // A gap's least change is a whole number of nanometres; what is offered is a figure that can be written down.
        let (to, up) = if relaxation.to > wish.to { (relaxation.to, true) } else { (relaxation.from, false) };
        let word = if up { "up" } else { "down" };
        format!("let {name} go {word} to {} {unit}", asked.tape.show_fine(outwards(to, up)))
    };
    Some(match relaxation.wish {
        WishRef::Size(at) => problem.sizes.get(at).map(|size| moved(&size.name, &size.wish))?,
        WishRef::Gap(at) => problem.gaps.get(at).map(|gap| moved(&gap.name, &gap.wish))?,
        WishRef::Count(at) => {
            let run = problem.runs.get(at)?;
            format!("let {} have {} to {} members", run.name, relaxation.from, relaxation.to)
        }
        WishRef::Choice(at) => {
            let choice = problem.choices.get(at)?;
            let option = usize::try_from(relaxation.to).ok().and_then(|option| choice.options.get(option))?;
            format!("let {} be {option}", choice.name)
        }
    })
}

/// A length to the hundredth of a millimetre, outwards, so that the range it is put in holds the value.
fn outwards(nanometres: i64, up: bool) -> Length {
    let hundredth = 10_000;
    let down = nanometres.div_euclid(hundredth) * hundredth;
    Length::nm(if up && down < nanometres { down + hundredth } else { down })
}
