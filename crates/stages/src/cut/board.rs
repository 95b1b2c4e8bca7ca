//! Boards by the exact engine.

use super::slanted::kerf_along;
use crate::rules;
use measure::{Length, Money};
use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::stock::{BoardLength, From, StockRef};
use model::why::{Input, Of, Quantity, Value};
use packing::{Item, Job, Limits, Reserve, Status, Stock};
use std::collections::BTreeMap;

/// The cutting plan of one kind of board.
#[derive(Clone, Debug)]
pub struct Section {
    /// Which board.
    pub stock: StockRef,
    /// The question that the engine was asked, for the referee.
    pub job: Job,
    /// What a cut takes of the board: the kerf, or more where ends are cut at a slant.
    pub kerf: Length,
    /// Whether the engine's costs are money; if a price is unknown they are lengths, and no total is known.
    pub priced: bool,
    /// One entry for each different way of cutting a board.
    pub cuts: Vec<BoardCut>,
    /// What all boards cost, if all prices are known.
    pub cost: Option<Money>,
    /// The engine's cost: equal to the proven bound, or above it.
    pub engine_cost: i64,
    /// Proven best, or how far from the proven bound.
    pub status: Status,
    /// Whether ties between plans of equal cost were settled exactly too.
    pub ties_exact: bool,
}

/// One way of cutting a board and the boards that are cut so.
#[derive(Clone, Debug)]
pub struct BoardCut {
    /// Which length, by its place among the kind's lengths.
    pub length: usize,
    /// How long the board is.
    pub stock_length: Length,
    /// The lengths of the parts, in the order in which they are cut: longest first.
    pub lengths: Vec<Length>,
    /// What is left.
    pub slack: Length,
    /// Whether it keeps the reserve.
    pub comfortable: bool,
    /// The boards cut so, each with its parts by their places in the list of parts, in the order of `lengths`.
    pub boards: Vec<Board>,
}

/// One board with its parts, by their places in the list of parts.
pub type Board = Vec<usize>;

pub(super) fn cut(
    stock: StockRef,
    parts: &[Part],
    places: &[usize],
    plan: &Plan,
    steps: u64,
    cancel: &dyn Fn() -> bool,
) -> Result<Section, Problem> {
    let mut waiting: BTreeMap<Length, Vec<usize>> = BTreeMap::new();
    for &place in places.iter().rev() {
        waiting.entry(parts[place].solid.length).or_default().push(place);
    }
    let lengths: Vec<Length> = waiting.keys().rev().copied().collect();
    let kerf = kerf_along(places.iter().map(|&place| &parts[place]), plan.shed.kerf);
    let (job, priced) = job(stock, &lengths, &waiting, kerf, plan);
    let cutting = packing::solve(&job, &Limits { steps }, cancel).map_err(|problem| {
        let first = lengths.first().and_then(|longest| waiting[longest].last()).map(|&place| &parts[place]);
        told(&problem, stock, &lengths, first, plan)
    })?;
    let cuts = cutting.patterns.iter().map(|pattern| hand_out(pattern, &job, &lengths, &mut waiting)).collect();
    let cost = priced.then(|| Money::hundredths(cutting.cost));
    let (engine_cost, status, ties_exact) = (cutting.cost, cutting.status, cutting.ties_exact);
    Ok(Section { stock, job, kerf, priced, cuts, cost, engine_cost, status, ties_exact })
}

/// The engine's question: lengths longest first, prices in hundredths, or lengths in their place if a price is unknown.
fn job(
    stock: StockRef,
    lengths: &[Length],
    waiting: &BTreeMap<Length, Vec<usize>>,
    kerf: Length,
    plan: &Plan,
) -> (Job, bool) {
    let board = &plan.yard.boards[stock.place];
    let priced = board.lengths.iter().all(|length| length.price.is_some());
    let item = |&length: &Length| Item { length: length.nanometres(), demand: waiting[&length].len() as u32 };
    let stocks = board.lengths.iter().map(|length| stock_of(length, priced));
    // What is at home and was not begun is better left whole; offcuts of the shed are begun.
    let is_whole = |length: &BoardLength| length.from == From::Yard && plan.standing.is_whole(stock, length.length);
    let whole = board.lengths.iter().enumerate().filter(|(_, length)| is_whole(length));
    let shed = &plan.shed;
    let reserve =
        Reserve { per_cut: shed.reserve_per_cut.nanometres(), per_board: shed.reserve_per_board.nanometres() };
    let job = Job {
        items: lengths.iter().map(item).collect(),
        stocks: stocks.collect(),
        kerf: kerf.nanometres(),
        trim: shed.trim.nanometres(),
        reserve,
        whole: whole.map(|(place, _)| place).collect(),
        ..Job::default()
    };
    (job, priced)
}

/// A length as the engine takes it. The one place where a board with bad stretches is left out: the engine does not cut round
/// them yet ([`BoardLength::is_there`]).
fn stock_of(length: &BoardLength, priced: bool) -> Stock {
    let cost = match (length.from, length.price) {
        (From::Shed, _) => 0,
        (From::Yard, Some(price)) if priced => price.value(),
        // In whole thousandths of a millimetre, so that the sums stay small.
        _ => length.length.nanometres() / 1000,
    };
    let supply = if length.is_there() { length.stock } else { Some(0) };
    Stock { length: length.length.nanometres(), cost, supply }
}

/// Gives the boards of a pattern their parts.
fn hand_out(
    pattern: &packing::Pattern,
    job: &Job,
    lengths: &[Length],
    waiting: &mut BTreeMap<Length, Vec<usize>>,
) -> BoardCut {
    let mut items: Vec<(usize, u32)> = pattern.parts.clone();
    items.sort_unstable();
    let each = || items.iter().flat_map(|&(item, count)| std::iter::repeat_n(lengths[item], count as usize));
    let mut next = |length: Length| waiting.get_mut(&length).and_then(Vec::pop);
    let boards = (0..pattern.times).map(|_| each().filter_map(&mut next).collect()).collect();
    BoardCut {
        length: pattern.stock,
        stock_length: Length::nm(job.stocks[pattern.stock].length),
        lengths: each().collect(),
        slack: Length::nm(pattern.slack),
        comfortable: pattern.comfortable,
        boards,
    }
}

/// The slack of each pattern, the kerf at which it breaks and the reserve it is held against, with their why.
pub(super) fn explain(section: &Section, plan: &Plan) -> Vec<Quantity> {
    let board = &plan.yard.boards[section.stock.place].name;
    let shed = &plan.shed;
    let mut quantities = Vec::new();
    for (place, cut) in section.cuts.iter().enumerate() {
        let name = |what: &str| format!("cut.{board}.{}.{what}", place + 1);
        let sum: Length = cut.lengths.iter().copied().sum();
        let cuts = Input::new("cuts between parts", Value::count(cut.lengths.len() as i128 - 1));
        let board = vec![
            Input::new("stock", Value::length(cut.stock_length)),
            Input::new("trim", Value::length(shed.trim)),
            Input::new("sum of parts", Value::length(sum)),
            cuts.clone(),
        ];
        let kerf = match section.kerf == shed.kerf {
            true => Input::new("kerf", Value::length(shed.kerf)),
            false => Input::new("kerf, at the slant of the ends", Value::length(section.kerf)),
        };
        let with_kerf = [board.clone(), vec![kerf]].concat();
        let reserve = vec![
            Input::new("reserve per cut", Value::length(shed.reserve_per_cut)),
            cuts,
            Input::new("reserve per board", Value::length(shed.reserve_per_board)),
        ];
        quantities.extend(Quantity::by(name("slack"), "what the board has left", Of::Length, &rules::SLACK, with_kerf));
        quantities.extend(Quantity::by(
            name("breaks-at"),
            "the kerf at which the pattern breaks",
            Of::Length,
            &rules::BREAKS,
            board,
        ));
        quantities.extend(Quantity::by(
            name("reserve"),
            "what a comfortable pattern keeps",
            Of::Length,
            &rules::RESERVE,
            reserve,
        ));
    }
    quantities
}

/// The engine's problem in the plan's names.
fn told(problem: &packing::Problem, stock: StockRef, lengths: &[Length], first: Option<&Part>, plan: &Plan) -> Problem {
    let board = &plan.yard.boards[stock.place];
    let show = |length: Length| plan.tape.show_with_unit(length);
    let told = match problem {
        packing::Problem::TooLong { item, longest } => {
            let part = first.map_or_else(String::new, |part| format!(" ({})", part.key));
            let longest = Length::nm(*longest);
            Problem::new(format!(
                "a part of {}{part} does not come out of any `{}`: the longest gives {}",
                show(lengths[*item]),
                board.name,
                show(longest)
            ))
            .hint("add a longer board to the yard, or ask for a shorter piece")
        }
        packing::Problem::SupplyShort { needed, available } => {
            let metres = |nanometres: &i128| format!("{:.2} m", *nanometres as f64 / 1e9);
            let (needs, has) = (metres(needed), metres(available));
            let short = format!(
                "the yard has too few `{}`: the parts with their kerfs take {needs}, its boards hold {has}",
                board.name
            );
            let divide = if available < needed { "" } else { ", in lengths among which the parts do not divide" };
            Problem::new(short + divide).hint("raise `stock`, or add another length")
        }
        other => Problem::new(format!("`{}` cannot be cut: {other}", board.name)),
    };
    told.at(&board.place)
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::{Tape, Unit};
    use model::part::{At, Axis, Frame, PartKey, Solid};
    use model::plan::Prefer;
    use model::problem::{File, Place};
    use model::schema::StockKind;
    use model::stock::{Board as Kind, Shed, Yard};

    const STOCK: StockRef = StockRef { kind: StockKind::Board, place: 0 };

    fn plan() -> Plan {
        let place = Place { file: File::Yard, bytes: 0..0 };
        let length = BoardLength::on_sale(Length::mm(3600), Some(Money::hundredths(1692)));
        let (name, label) = ("deal".to_owned(), "deal".to_owned());
        let (thickness, width) = (Length::mm(21), Length::mm(145));
        let board =
            Kind { name, label, thickness, width, thin_edge: None, density: None, lengths: vec![length], place };
        Plan {
            standing: model::standing::Standing::default(),
            title: String::new(),
            tape: Tape::usual(Unit::Millimetre),
            prefer: Prefer::Closest,
            pieces: Vec::new(),
            yard: Yard { currency: "EUR".into(), boards: vec![board], ..Yard::default() },
            shed: Shed {
                kerf: Length::mm(3),
                trim: Length::mm(10),
                reserve_per_cut: Length::nm(500_000),
                reserve_per_board: Length::mm(2),
                people: 1,
                ..Shed::default()
            },
        }
    }

    /// The caller's wish to stop reaches the engine, and whatever is found then is still every part once.
    #[test]
    fn a_search_that_is_stopped_still_hands_out_every_part() {
        let part = |index: u32| Part {
            key: PartKey { piece: "bed".into(), role: "post".into(), face: "front".into(), course: 0, index },
            id: format!("A{}", index + 1),
            stock: STOCK,
            solid: Solid::square(Length::mm(446 + 100 * i64::from(index % 3)), Length::mm(145), Length::mm(21)),
            at: At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along: Axis::X, across: Axis::Z },
        };
        let parts: Vec<Part> = (0..24).map(part).collect();
        let places: Vec<usize> = (0..parts.len()).collect();
        let asked = std::cell::Cell::new(0);
        let stop = || {
            asked.set(asked.get() + 1);
            true
        };
        let section = cut(STOCK, &parts, &places, &plan(), crate::cut::STEPS, &stop).expect("a plan without search");
        assert!(asked.get() > 0, "nobody asked whether to stop");
        let mut cut: Vec<usize> = section.cuts.iter().flat_map(|cut| cut.boards.concat()).collect();
        cut.sort_unstable();
        assert_eq!(cut, places);
    }
}
