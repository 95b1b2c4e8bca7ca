//! How large a size may be where nothing more is bought than a maker means to: out of the shed alone, or within a sum.

use crate::windows::best_of;
use crate::{Effort, Pricer, Unsettled};
use fit::{Ranking, Wish};
use measure::{Length, Money};
use model::plan::Plan;
use model::problem::{Place, Problem};
use model::stock::From;

/// What a maker means to spend.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aim {
    /// Boards and sheets come out of the shed, and none is bought.
    Shed,
    /// No more is paid than this.
    Within(Money),
}

impl Aim {
    /// Within a sum as it is written; `None` if it is none.
    pub fn within(sum: &str) -> Option<Aim> {
        Money::parse(sum).map(Aim::Within)
    }
}

/// Places of a size that may do, the largest first.
#[derive(Clone, Debug)]
pub struct Places {
    /// The size's name.
    pub size: String,
    /// Where its wish stands in the plan.
    pub at: Place,
    /// The places at which boards, sheets and units do, the largest first, with what these cost.
    pub places: Vec<(Length, Money)>,
    /// How many places were asked, from the largest down.
    pub asked: usize,
    /// How many there are.
    pub of: usize,
}

/// The most places that are asked, from the largest down.
pub const MOST_PLACES: usize = 400;

/// The places of a size, of the first if none is named, at which the boards, sheets and units of the plan do by the aim; each
/// with everything else as near to the wishes as it then comes.
///
/// # Errors
/// [`Unsettled::Problems`] if there is no such size, or no part comes out of the shed at all.
pub fn places(
    plan: &Plan,
    size: Option<&str>,
    aim: Aim,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<Places, Unsettled> {
    let plan = if aim == Aim::Shed { out_of_the_shed(plan) } else { plan.clone() };
    let asked = pieces::ask(&plan).map_err(Unsettled::Problems)?;
    let names = || asked.problem.sizes.iter().map(|size| size.name.as_str());
    let found = size.map_or(Some(0), |name| names().position(|own| own == name));
    let found = found.and_then(|at| Some((at, asked.problem.sizes.get(at)?)));
    let Some((at, of)) = found else {
        let problem = Problem::new(format!("the plan has no size called `{}`", size.unwrap_or_default()));
        let problem = problem.hint(format!("it has {}", names().collect::<Vec<&str>>().join(", ")));
        return Err(Unsettled::Problems(vec![problem]));
    };
    let Some(place) = asked.places.get(&of.name).cloned() else {
        let problem = Problem::new(format!("`{}` is wished nowhere in the plan", of.name));
        return Err(Unsettled::Problems(vec![problem]));
    };
    let effort = effort.for_what_ifs();
    let mut pricer = Pricer::new(&plan, &asked, &effort, cancel);
    // Marks of the size's own grid, of which the ends of its range need not be any.
    let top = of.wish.to - (of.wish.to - of.origin).rem_euclid(of.step);
    let count = usize::try_from((top - of.wish.from).div_euclid(of.step) + 1).unwrap_or(0);
    let mut places = Vec::new();
    let asking = count.min(MOST_PLACES);
    for step in (0..asking as i64).take_while(|_| !cancel()) {
        let stands = top - step * of.step;
        let mut problem = asked.problem.clone();
        let wish = problem.sizes[at].wish;
        problem.sizes[at].wish = Wish { from: stands, to: stands, ..wish };
        let closing = best_of(&problem, Ranking::AsWished, &effort, cancel);
        let price = closing.and_then(|closing| pricer.price(&closing).ok());
        let does = price.filter(|price| match aim {
            Aim::Shed => true,
            Aim::Within(sum) => price.complete && price.total <= sum,
        });
        places.extend(does.map(|price| (Length::nm(stands), price.total)));
    }
    Ok(Places { size: of.name.clone(), at: place, places, asked: asking, of: count })
}

/// The plan with a yard that has no boards and sheets.
fn out_of_the_shed(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    for length in plan.yard.boards.iter_mut().flat_map(|board| &mut board.lengths) {
        length.stock = if length.from == From::Yard { Some(0) } else { length.stock };
    }
    for size in plan.yard.sheets.iter_mut().flat_map(|sheet| &mut sheet.sizes) {
        size.stock = if size.from == From::Yard { Some(0) } else { size.stock };
    }
    plan
}
