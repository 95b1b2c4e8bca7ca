//! Boards and sheets that are longer than the car, parted by the yard: `docs/buying.md`, *The way home*.

use super::{Buying, too_large};
use crate::cut::Cutting;
use crate::parting::{self, Piece};
use measure::{Length, Money};
use model::plan::Plan;
use model::problem::Problem;
use model::stock::StockRef;
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
        let Some(cuts) = plan.yard.cuts else { return Ok(()) };
        let parted: Vec<Parted> = boards(cutting, plan).chain(sheets(cutting, plan)).collect();
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

fn boards<'a>(cutting: &'a Cutting, plan: &'a Plan) -> impl Iterator<Item = Parted> + 'a {
    let cuts = cutting.sections.iter().flat_map(|section| section.cuts.iter().map(move |cut| (section, cut)));
    cuts.filter_map(|(section, cut)| {
        let pieces = parting::board(section, cut, plan)?;
        Some(parted(section.stock, (cut.stock_length, cut.boards.len()), &pieces, (cut.slack, section.kerf), plan))
    })
}

fn sheets<'a>(cutting: &'a Cutting, plan: &'a Plan) -> impl Iterator<Item = Parted> + 'a {
    let all = cutting.sheets.iter().flat_map(|sheets| sheets.sheets.iter().map(move |sheet| (sheets, sheet)));
    all.filter_map(|(sheets, sheet)| {
        let pieces = parting::sheet(sheets, sheet, plan)?;
        Some(parted(sheets.stock, (sheet.measures[1], 1), &pieces, (sheet.slack, sheets.kerf), plan))
    })
}

fn parted(
    stock: StockRef,
    (stock_length, count): (Length, usize),
    pieces: &[Piece],
    (slack, kerf): (Length, Length),
    plan: &Plan,
) -> Parted {
    let pieces: Vec<Length> = pieces.iter().map(|piece| piece.length).collect();
    let mut parted = Parted { stock, stock_length, count: count as u64, pieces, left: slack };
    parted.left = slack - parting::taken(parted.cuts(), kerf, plan);
    parted
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
        format!("parted by the yard, {name}, {length}, does not keep its pattern: {short} are missing if every cut is off by as much as the yard says: have it brought")
    })
}
