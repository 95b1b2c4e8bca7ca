//! What a part hangs on, and which board at home it comes off: what an entry of the day book keeps of a cut.

use crate::Settled;
use fit::Closing;
use measure::Length;
use model::stock::From;
use std::collections::BTreeMap;

/// The sizes that some parts hang on, with their values: those which, moved by one step with all counts as they are, change the
/// length of one of them. Parts by their places.
pub fn hangs_on(settled: &Settled, places: &[usize]) -> BTreeMap<String, Length> {
    let closing = &settled.ways[settled.chosen].closing;
    let sizes = settled.asked.problem.sizes.iter().zip(&closing.sizes).enumerate();
    let held = sizes.filter(|(at, (size, _))| moves(settled, closing, *at, size.step, places));
    held.map(|(_, (size, &value))| (size.name.clone(), Length::nm(value))).collect()
}

/// Whether one of these parts changes its length when a size moves by one step: up, or down where it cannot be laid out so.
fn moves(settled: &Settled, closing: &Closing, size: usize, step: i64, places: &[usize]) -> bool {
    let moved = |by: i64| {
        let mut moved = closing.clone();
        moved.sizes[size] += by;
        pieces::parts(&settled.asked, &moved).ok()
    };
    let Some(other) = moved(step).or_else(|| moved(-step)) else { return false };
    let is_other = |&place: &usize| match (settled.build.parts.get(place), other.get(place)) {
        (Some(part), Some(moved)) => part.key != moved.key || part.solid.length != moved.solid.length,
        _ => true,
    };
    places.iter().any(is_other)
}

/// Which board at home each of some parts comes off by the cutting plan, by the boards' numbers; `None` for parts of a kind that
/// is not at home, or that are not to be cut. Boards that are alike are taken in the order in which they came.
pub fn comes_off(settled: &Settled, places: &[usize]) -> Vec<Option<u32>> {
    let home = &settled.plan.standing.home;
    let mut taken = vec![false; home.len()];
    let mut of: BTreeMap<usize, u32> = BTreeMap::new();
    for section in &settled.cutting.sections {
        for (cut, parts) in section.cuts.iter().flat_map(|cut| cut.boards.iter().map(move |parts| (cut, parts))) {
            let sold = &settled.plan.yard.boards[section.stock.place].lengths[cut.length];
            let like = |at: &usize| {
                let (board, single) = (&home[*at], home[*at].single.as_ref().map(|single| &single.0));
                !taken[*at]
                    && sold.from == From::Yard
                    && (board.stock, board.left, single) == (section.stock, cut.stock_length, sold.name.as_ref())
            };
            let Some(board) = (0..home.len()).find(like) else { continue };
            taken[board] = true;
            // At most some thousand boards are at home.
            of.extend(parts.iter().map(|&part| (part, board as u32 + 1)));
        }
    }
    places.iter().map(|place| of.get(place).copied()).collect()
}
