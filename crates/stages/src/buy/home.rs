//! Boards and sheets that are longer than the car, parted by the yard: `docs/buying.md`, *The way home*.

use super::{Buying, too_large};
use crate::cut::Cutting;
use measure::{Length, Money};
use model::plan::Plan;
use model::problem::Problem;
use model::stock::{From, StockRef, YardCuts};
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// How many cuts the yard makes.
pub static YARD_CUTS: Rule = Rule {
    id: "yard-cuts",
    words: "What is longer than the car is parted between parts of its own pattern: so many boards or sheets, so many cuts each",
    formula: "cuts = sum of boards × cuts each",
    inputs: &["boards, cuts each…"],
    source: "the cutting plan and the car of the shed",
    mark: Mark::Arithmetic,
    compute: |x| match x.len() % 2 {
        0 => x.chunks(2).try_fold(0_i128, |sum, pair| sum.checked_add(pair[0].checked_mul(pair[1])?)),
        _ => None,
    },
    case: Case { given: &[3, 1, 1, 2], gives: 5, source: "three boards parted once and one twice, by hand" },
};

/// What they cost.
pub static YARD_FEE: Rule = Rule {
    id: "yard-fee",
    words: "What the yard takes for its cuts: those beyond the free ones, each at its price",
    formula: "fee = max(cuts - free, 0) × price",
    inputs: &["cuts", "free", "price of one"],
    source: "the yard",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [cuts, free, price] => cuts.checked_sub(*free)?.max(0).checked_mul(*price),
        _ => None,
    },
    case: Case { given: &[5, 2, 150], gives: 450, source: "three of five at 1.50, by hand" },
};

/// What the yard cuts so that it goes into the car.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Home {
    /// One entry for each way of cutting whose boards or sheets are too long.
    pub parted: Vec<Parted>,
    /// How many cuts in all.
    pub cuts: u64,
    /// What the yard takes for them.
    pub fee: Money,
}

/// Boards or sheets of one pattern, parted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parted {
    /// What they are.
    pub stock: StockRef,
    /// How long, along what is parted.
    pub stock_length: Length,
    /// How many are cut so.
    pub count: u64,
    /// The pieces from the start, each no longer than the car; nothing if it cannot be parted so.
    pub pieces: Vec<Length>,
    /// What is left of its slack; less than nothing where the pattern does not keep it.
    pub left: Length,
}

impl Parted {
    /// How many cuts each takes.
    pub fn cuts(&self) -> u64 {
        (self.pieces.len() as u64).saturating_sub(1)
    }
}

impl Buying {
    /// Parts what is longer than the car, if the yard cuts.
    pub(super) fn part(&mut self, cutting: &Cutting, plan: &Plan) -> Result<(), Problem> {
        let (Some(longest), Some(cuts)) = (plan.shed.car_longest, plan.yard.cuts) else { return Ok(()) };
        let parted: Vec<Parted> =
            boards(cutting, plan, longest, &cuts).chain(sheets(cutting, plan, longest, &cuts)).collect();
        if parted.is_empty() {
            return Ok(());
        }
        let inputs = parted.iter().flat_map(|one| {
            [Input::new("how many", Value::count(one.count)), Input::new("cuts each", Value::count(one.cuts()))]
        });
        let number = Quantity::by("home.cuts", "cuts by the yard", Of::Count, &YARD_CUTS, inputs.collect())
            .ok_or_else(|| too_large("home.cuts"))?;
        let inputs = vec![
            Input::new("home.cuts", number.value),
            Input::new("free of charge", Value::count(cuts.free)),
            Input::new("price of a cut", Value::money(cuts.price)),
        ];
        let fee = Quantity::by("home.fee", "what the yard takes for cutting", Of::Money, &YARD_FEE, inputs)
            .ok_or_else(|| too_large("home.fee"))?;
        let money = i64::try_from(fee.value.value).map_err(|_| too_large("home.fee"))?;
        let count = u64::try_from(number.value.value).map_err(|_| too_large("home.cuts"))?;
        self.quantities.extend([number, fee]);
        self.notes.extend(parted.iter().filter_map(|one| told(one, plan)));
        self.home = Some(Home { parted, cuts: count, fee: Money::hundredths(money) });
        Ok(())
    }
}

fn boards<'a>(
    cutting: &'a Cutting,
    plan: &'a Plan,
    longest: Length,
    by: &'a YardCuts,
) -> impl Iterator<Item = Parted> + 'a {
    let sections = cutting.sections.iter().filter(|section| !plan.standing.is_home(section.stock));
    sections.flat_map(move |section| {
        let sold = &plan.yard.boards[section.stock.place].lengths;
        let bought =
            section.cuts.iter().filter(move |cut| cut.stock_length > longest && sold[cut.length].from == From::Yard);
        bought.map(move |cut| {
            let saw = Losses { kerf: section.kerf, trim: plan.shed.trim, accuracy: by.accuracy };
            // Where a board is split nobody cuts for a car.
            let parts = if cut.stretches.is_empty() { cut.lengths.as_slice() } else { &[] };
            parted(section.stock, (cut.stock_length, cut.boards.len()), parts, cut.slack, longest, &saw)
        })
    })
}

fn sheets<'a>(
    cutting: &'a Cutting,
    plan: &'a Plan,
    longest: Length,
    by: &'a YardCuts,
) -> impl Iterator<Item = Parted> + 'a {
    cutting.sheets.iter().flat_map(move |sheets| {
        let sold = &plan.yard.sheets[sheets.stock.place].sizes;
        let wide = sheets.sheets.iter().filter(move |sheet| {
            let [length, width] = sheet.measures;
            width > longest && length <= longest && sold[sheet.size].from == From::Yard
        });
        wide.map(move |sheet| {
            let strips: Vec<Length> = sheet.strips.iter().map(|strip| strip.width).collect();
            let saw = Losses { kerf: sheets.kerf, trim: plan.shed.saw_for_sheets().trim, accuracy: by.accuracy };
            parted(sheets.stock, (sheet.measures[1], 1), &strips, sheet.slack, longest, &saw)
        })
    })
}

/// What saw and yard take.
struct Losses {
    kerf: Length,
    trim: Length,
    accuracy: Length,
}

fn parted(
    stock: StockRef,
    (stock_length, count): (Length, usize),
    parts: &[Length],
    slack: Length,
    longest: Length,
    saw: &Losses,
) -> Parted {
    let pieces = pieces(stock_length, parts, longest, saw).unwrap_or_default();
    let cuts = (pieces.len() as i64 - 1).max(0);
    Parted { stock, stock_length, count: count as u64, left: slack - saw.accuracy * cuts, pieces }
}

/// The pieces from the start; `None` if one would be longer than the car all the same.
fn pieces(stock: Length, parts: &[Length], longest: Length, saw: &Losses) -> Option<Vec<Length>> {
    let first = Length::nm(saw.trim.nanometres().div_euclid(2));
    let (mut pieces, mut begin, mut left, mut head) = (Vec::new(), 0, stock, first);
    while left > longest {
        let mut piece = head + saw.accuracy;
        let mut end = begin;
        while end < parts.len() && piece + parts[end] + saw.kerf <= longest {
            piece = piece + parts[end] + saw.kerf;
            end += 1;
        }
        if end == begin || piece >= left {
            return None;
        }
        pieces.push(piece);
        (begin, left, head) = (end, left - piece, Length::ZERO);
    }
    pieces.push(left);
    Some(pieces)
}

/// What to know of a pattern that is not parted, or does not keep its slack.
fn told(one: &Parted, plan: &Plan) -> Option<String> {
    let name = plan.yard.label(one.stock);
    let name = if name.1.is_empty() { name.0 } else { name.1 };
    let length = plan.tape.show_with_unit(one.stock_length);
    if one.pieces.is_empty() {
        return Some(format!(
            "not parted: {name}, {length}, has a piece longer than the car between its cuts: have it brought"
        ));
    }
    (one.left < Length::ZERO).then(|| {
        let short = plan.tape.show_with_unit(Length::ZERO - one.left);
        format!("parted by the yard, {name}, {length}, does not keep its pattern: {short} are missing if every cut is off by as much as the yard says")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 3600 with three of 1100, trim 10, kerf 3, a cut off by 2, and a car of 2500: 5 + 2 · 1103 + 2 = 2213, and 1387
    /// are left.
    #[test]
    fn a_board_is_parted_as_far_from_its_start_as_it_goes() {
        let saw = Losses { kerf: Length::mm(3), trim: Length::mm(10), accuracy: Length::mm(2) };
        let own = |stock: i64, parts: &[i64], car: i64| {
            let parts: Vec<Length> = parts.iter().map(|&part| Length::mm(part)).collect();
            pieces(Length::mm(stock), &parts, Length::mm(car), &saw)
        };
        let mm = |lengths: &[i64]| Some(lengths.iter().map(|&length| Length::mm(length)).collect::<Vec<Length>>());
        assert_eq!(own(3600, &[1100, 1100, 1100], 2500), mm(&[2213, 1387]));
        assert_eq!(own(2400, &[1100, 1100], 2500), mm(&[2400]), "it goes in as it is");
        // The rest makes it too long: a cut behind the last part.
        assert_eq!(own(3600, &[1000], 2500), None, "2590 are left of it");
        assert_eq!(own(3600, &[2000], 2500), mm(&[2010, 1590]));
        assert_eq!(own(3600, &[2600], 2500), None, "one part is longer than the car");
    }
}
