//! How large a size may be, or how near to its wish, where nothing more is bought than a maker means to: out of the shed alone, or
//! within a sum.

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

/// Which of the places that do is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The largest.
    Largest,
    /// The nearest to the wish; of two, the larger.
    Closest,
}

impl Aim {
    /// Within a sum as it is written; `None` if it is none.
    pub fn within(sum: &str) -> Option<Aim> {
        Money::parse(sum).map(Aim::Within)
    }
}

/// Places of a size that may do, the best first.
#[derive(Clone, Debug)]
pub struct Places {
    /// The size's name.
    pub size: String,
    /// Where its wish stands in the plan.
    pub at: Place,
    /// The places at which boards, sheets and units do, the best first, with what these cost.
    pub places: Vec<(Length, Money)>,
    /// How many places were asked, the best first.
    pub asked: usize,
    /// How many there are.
    pub of: usize,
}

/// The most places that are asked, the best first.
pub const MOST_PLACES: usize = 400;

/// The places of a size, of the first if none is named, at which the boards, sheets and units of the plan do by the aim; each
/// with everything else as near to the wishes as it then comes.
///
/// # Errors
/// [`Unsettled::Problems`] if there is no such size, or no part comes out of the shed at all.
pub fn places(
    plan: &Plan,
    size: Option<&str>,
    (aim, which): (Aim, Which),
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
    let marks = marks(of, which);
    let asking = marks.len().min(MOST_PLACES);
    let mut places = Vec::new();
    for &stands in marks[..asking].iter().take_while(|_| !cancel()) {
        let mut problem = asked.problem.clone();
        let wish = problem.sizes[at].wish;
        problem.sizes[at].wish = Wish { from: stands, to: stands, ..wish };
        let closing = best_of(&problem, Ranking::AsWished, &effort, cancel);
        let cost = closing.and_then(|closing| pricer.cost(&closing).ok());
        let does = cost.filter(|cost| match aim {
            Aim::Shed => true,
            Aim::Within(sum) => cost.complete && cost.total <= sum,
        });
        places.extend(does.map(|cost| (Length::nm(stands), cost.total)));
    }
    Ok(Places { size: of.name.clone(), at: place, places, asked: asking, of: marks.len() })
}

/// The marks of a size's own grid inside its range, of which the ends need not be any; the best first.
fn marks(size: &fit::Size, which: Which) -> Vec<i64> {
    let (wish, step) = (size.wish, size.step);
    let top = wish.to - (wish.to - size.origin).rem_euclid(step);
    let count = (top - wish.from).div_euclid(step) + 1;
    let mut marks: Vec<i64> = (0..count).map(|down| top - down * step).collect();
    if which == Which::Closest {
        // A stable sort: of two that are equally far the larger comes first.
        marks.sort_by_key(|mark| (mark - wish.want).abs());
    }
    marks
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A grid of fives from 2, from 10 to 30: 12, 17, 22 and 27; from 20 they are 8, 3, 2 and 7 away.
    #[test]
    fn marks_come_the_best_first() {
        let of = |want: i64, which: Which| {
            let wish = Wish { want, from: 10, to: 30, rank: 0, weight: 1, reach: (10, 30) };
            marks(&fit::Size { name: "s".into(), origin: 2, step: 5, wish }, which)
        };
        assert_eq!(of(20, Which::Largest), [27, 22, 17, 12]);
        assert_eq!(of(20, Which::Closest), [22, 17, 27, 12]);
        assert_eq!(of(17, Which::Closest), [17, 22, 12, 27], "of two the larger");
    }
}
