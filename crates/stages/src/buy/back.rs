//! Whole boards at home that no part needs: they can be taken back.

use crate::cut::Cutting;
use measure::{Length, Money};
use model::plan::Plan;
use model::stock::StockRef;
use std::collections::BTreeMap;

/// Boards of one kind and one label that can be taken back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TakeBack {
    /// Which board.
    pub stock: StockRef,
    /// Its length by the label.
    pub label: Length,
    /// How many.
    pub count: u64,
    /// What was paid for them at the yard's price, if it gives one.
    pub amount: Option<Money>,
}

/// What can be taken back, in the order of the yard, shorter labels first: of the boards that give equally much those that are
/// begun are cut first, then those that came first. Boards with bad stretches have no like that could stand for them, and stay.
pub(super) fn take_back(cutting: &Cutting, plan: &Plan) -> Vec<TakeBack> {
    let mut used: BTreeMap<(StockRef, Length), usize> = BTreeMap::new();
    for section in &cutting.sections {
        for cut in &section.cuts {
            // An offcut of the shed that is as long counts for itself.
            let sold = plan.yard.boards.get(section.stock.place).and_then(|board| board.lengths.get(cut.length));
            if sold.is_some_and(|sold| sold.name.is_none()) {
                *used.entry((section.stock, cut.stock_length)).or_default() += cut.boards.len();
            }
        }
    }
    let mut lots: BTreeMap<(StockRef, Length), Vec<&model::standing::HomeBoard>> = BTreeMap::new();
    for board in plan.standing.home.iter().filter(|board| board.single.is_none()) {
        lots.entry((board.stock, board.left)).or_default().push(board);
    }
    let mut back: BTreeMap<(StockRef, Length), (u64, Option<i64>)> = BTreeMap::new();
    for (lot, mut boards) in lots {
        boards.sort_by_key(|board| !board.is_begun());
        let spare = boards.into_iter().skip(used.get(&lot).copied().unwrap_or(0));
        for board in spare.filter(|board| !board.is_begun()) {
            let (count, amount) = back.entry((board.stock, board.label)).or_insert((0, Some(0)));
            *count += 1;
            // At most some thousand boards are at home, each at a price that was read.
            *amount = amount.zip(board.price).map(|(sum, price)| sum + price.value());
        }
    }
    let each = |((stock, label), (count, amount)): ((StockRef, Length), (u64, Option<i64>))| TakeBack {
        stock,
        label,
        count,
        amount: amount.map(Money::hundredths),
    };
    back.into_iter().map(each).collect()
}
