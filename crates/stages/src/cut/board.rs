//! Boards by the exact engine.

use super::Goals;
use super::slanted::kerf_along;
use crate::rules;
use measure::{Length, Money};
use model::clear::Clear;
use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::stock::{BoardLength, From, StockRef};
use model::why::{Input, Of, Quantity, Value};
use packing::{Bad, Item, Job, Limits, Reserve, Status, Stock};
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
    /// The lengths of the parts, in the order in which they are cut: longest first, on a board with bad stretches clear stretch by
    /// clear stretch.
    pub lengths: Vec<Length>,
    /// The clear stretches of a board with bad ones, from the marked end on; none of a sound board.
    pub stretches: Vec<Stretch>,
    /// What is left; of clear stretches all together.
    pub slack: Length,
    /// Whether it keeps the reserve, each clear stretch with parts by itself.
    pub comfortable: bool,
    /// The boards cut so, each with its parts by their places in the list of parts, in the order of `lengths`.
    pub boards: Vec<Board>,
}

/// One board with its parts, by their places in the list of parts.
pub type Board = Vec<usize>;

/// A clear stretch of a board with bad ones, and how much of it is cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// Where it lies.
    pub clear: Clear,
    /// The places of its parts among those of the board.
    pub parts: std::ops::Range<usize>,
    /// What is left of it.
    pub slack: Length,
    /// Whether it keeps the reserve.
    pub comfortable: bool,
}

/// What is left of a board or a clear stretch before any kerf is taken, and how many are: the one over the other is the kerf at
/// which it breaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Breaks {
    /// What is left before any kerf.
    pub room: Length,
    /// How many kerfs.
    pub kerfs: usize,
}

impl Stretch {
    /// Where it breaks; a stretch without parts does not.
    pub fn breaks(&self, lengths: &[Length]) -> Option<Breaks> {
        let sum: Length = lengths[self.parts.clone()].iter().copied().sum();
        let room = self.clear.to - self.clear.from - self.clear.off - sum;
        let kerfs = self.parts.len().checked_sub(1)? + self.clear.bad_ends as usize;
        Some(Breaks { room, kerfs })
    }
}

impl BoardCut {
    /// What it leaves; a board with bad stretches what that of its clear ones leaves which has least and has parts.
    pub fn least_slack(&self) -> Length {
        let cut = self.stretches.iter().filter(|stretch| !stretch.parts.is_empty());
        cut.map(|stretch| stretch.slack).min().unwrap_or(self.slack)
    }

    /// Where it breaks; a board with bad stretches where the first of its clear ones does.
    pub fn breaks(&self, trim: Length) -> Breaks {
        // A stretch of such a board has a bad end, and so a kerf. The first of equals is the least.
        let at = |breaks: &Breaks| breaks.room.nanometres() / (breaks.kerfs.max(1) as i64);
        let stretches = self.stretches.iter().filter_map(|stretch| stretch.breaks(&self.lengths));
        stretches.min_by_key(at).unwrap_or_else(|| {
            let sum: Length = self.lengths.iter().copied().sum();
            Breaks { room: self.stock_length - trim - sum, kerfs: self.lengths.len().saturating_sub(1) }
        })
    }
}

pub(super) fn cut(
    stock: StockRef,
    parts: &[Part],
    places: &[usize],
    plan: &Plan,
    goals: Goals,
    steps: u64,
    cancel: &dyn Fn() -> bool,
) -> Result<Section, Problem> {
    let mut waiting: BTreeMap<Length, Vec<usize>> = BTreeMap::new();
    for &place in places.iter().rev() {
        waiting.entry(parts[place].solid.length).or_default().push(place);
    }
    let lengths: Vec<Length> = waiting.keys().rev().copied().collect();
    let kerf = kerf_along(places.iter().map(|&place| &parts[place]), plan.shed.kerf);
    let (mut job, clear, priced) = job(stock, &lengths, &waiting, kerf, plan);
    if goals == Goals::Comfort && job.bad.is_empty() {
        // n parts with their reserve fill what they fill with wider kerfs and a longer trim.
        job.kerf += job.reserve.per_cut;
        job.trim += job.reserve.per_board;
        job.reserve = Reserve::default();
    }
    let solve = match goals {
        Goals::All => packing::solve,
        Goals::Cost | Goals::Comfort => packing::cheapest,
    };
    let cutting = solve(&job, &Limits { steps }, cancel).map_err(|problem| {
        let first = lengths.first().and_then(|longest| waiting[longest].last()).map(|&place| &parts[place]);
        told(&problem, stock, &lengths, first, plan)
    })?;
    let cuts =
        cutting.patterns.iter().map(|pattern| hand_out(pattern, &job, &clear, kerf, &lengths, &mut waiting)).collect();
    let cost = priced.then(|| Money::hundredths(cutting.cost));
    let (engine_cost, status, ties_exact) = (cutting.cost, cutting.status, cutting.ties_exact);
    Ok(Section { stock, job, kerf, priced, cuts, cost, engine_cost, status, ties_exact })
}

/// The engine's question: lengths longest first, prices in hundredths, or lengths in their place if a price is unknown; with the
/// clear stretches of each board, and whether all is priced.
fn job(
    stock: StockRef,
    lengths: &[Length],
    waiting: &BTreeMap<Length, Vec<usize>>,
    kerf: Length,
    plan: &Plan,
) -> (Job, Vec<Vec<Clear>>, bool) {
    let board = &plan.yard.boards[stock.place];
    let priced = board.is_priced();
    let item = |&length: &Length| Item { length: length.nanometres(), demand: waiting[&length].len() as u32 };
    // What is at home and was not begun is better left whole; offcuts of the shed are begun, and so are boards with names of their own.
    let is_whole = |length: &BoardLength| {
        length.from == From::Yard && length.name.is_none() && plan.standing.is_whole(stock, length.length)
    };
    let whole = board.lengths.iter().enumerate().filter(|(_, length)| is_whole(length));
    let shed = &plan.shed;
    let clear: Vec<Vec<Clear>> = board.lengths.iter().map(|length| length.clear(shed.trim, kerf)).collect();
    let mut stocks: Vec<Stock> = board.lengths.iter().map(|length| stock_of(length, priced)).collect();
    board.left_out().into_iter().for_each(|place| stocks[place].supply = Some(0));
    for (place, length) in board.lengths.iter().enumerate() {
        // Nothing comes out of what has no clear stretch, whatever it costs.
        if clear[place].is_empty() && !length.is_sound(shed.trim) {
            stocks[place].supply = Some(0);
        }
    }
    let bad = (0..stocks.len()).filter(|&place| stocks[place].supply != Some(0));
    let bad = bad.flat_map(|place| bad_for_engine(place, &board.lengths[place], kerf, shed.trim)).collect();
    let reserve =
        Reserve { per_cut: shed.reserve_per_cut.nanometres(), per_board: shed.reserve_per_board.nanometres() };
    let job = Job {
        items: lengths.iter().map(item).collect(),
        stocks,
        kerf: kerf.nanometres(),
        trim: shed.trim.nanometres(),
        reserve,
        // What is sawn off the last part has that length.
        worth_keeping: (shed.keep + kerf).nanometres(),
        bad,
        whole: whole.map(|(place, _)| place).collect(),
        ..Job::default()
    };
    (job, clear, priced)
}

/// A length as the engine takes it.
fn stock_of(length: &BoardLength, priced: bool) -> Stock {
    let cost = match (length.from, length.price) {
        (From::Shed, _) => 0,
        (From::Yard, Some(price)) if priced => price.value(),
        // In whole thousandths of a millimetre, so that the sums stay small.
        _ => length.length.nanometres() / 1000,
    };
    Stock { length: length.length.nanometres(), cost, supply: length.stock }
}

/// The bad stretches of a board as the engine takes them. It takes all the trim off at the marked end and leaves no kerf at a bad
/// one, so they lie half a trim further on and are a kerf wider at either end: what it finds clear is what [`Clear::holds`] says.
fn bad_for_engine(place: usize, length: &BoardLength, kerf: Length, trim: Length) -> Vec<Bad> {
    let further = trim - super::squared_off(trim);
    let wide = |[from, to]: [Length; 2]| Bad {
        stock: place,
        from: (from + further - kerf).max(Length::ZERO).nanometres(),
        to: (to + further + kerf).min(length.length).nanometres(),
    };
    length.bad_past(trim).map(wide).collect()
}

/// Gives the boards of a pattern their parts.
fn hand_out(
    pattern: &packing::Pattern,
    job: &Job,
    clear: &[Vec<Clear>],
    kerf: Length,
    lengths: &[Length],
    waiting: &mut BTreeMap<Length, Vec<usize>>,
) -> BoardCut {
    let groups = if pattern.stretches.is_empty() { vec![pattern.parts.clone()] } else { pattern.stretches.clone() };
    let mut each: Vec<Length> = Vec::new();
    let mut stretches = Vec::new();
    let mut clear = clear[pattern.stock].iter();
    for mut items in groups {
        items.sort_unstable();
        let start = each.len();
        each.extend(items.iter().flat_map(|&(item, count)| std::iter::repeat_n(lengths[item], count as usize)));
        let stretch = |clear: &Clear| stretch_of(*clear, start..each.len(), &each, kerf, &job.reserve);
        stretches.extend(clear.next().map(stretch));
    }
    let mut next = |length: &Length| waiting.get_mut(length).and_then(Vec::pop);
    let boards = (0..pattern.times).map(|_| each.iter().filter_map(&mut next).collect()).collect();
    BoardCut {
        length: pattern.stock,
        stock_length: Length::nm(job.stocks[pattern.stock].length),
        lengths: each,
        stretches,
        slack: Length::nm(pattern.slack),
        comfortable: pattern.comfortable,
        boards,
    }
}

/// A clear stretch with these of the board's parts.
fn stretch_of(
    clear: Clear,
    parts: std::ops::Range<usize>,
    lengths: &[Length],
    kerf: Length,
    reserve: &Reserve,
) -> Stretch {
    let sum: Length = lengths[parts.clone()].iter().copied().sum();
    // A board yields far fewer parts than an i64 counts.
    let cuts = parts.len().saturating_sub(1) as i64;
    let slack = clear.holds(kerf) - sum - kerf * cuts;
    let keeps = Length::nm(reserve.per_cut) * cuts + Length::nm(reserve.per_board);
    let comfortable = parts.is_empty() || slack >= keeps;
    Stretch { clear, parts, slack, comfortable }
}

/// The slack of each pattern, the kerf at which it breaks and the reserve it is held against, with their why; of a board with bad
/// stretches those of each clear one with parts.
pub(super) fn explain(section: &Section, plan: &Plan) -> Vec<Quantity> {
    let board = &plan.yard.boards[section.stock.place].name;
    let mut quantities = Vec::new();
    for (place, cut) in section.cuts.iter().enumerate() {
        let name = format!("cut.{board}.{}", place + 1);
        if cut.stretches.is_empty() {
            let stock = [("stock", cut.stock_length), ("trim", plan.shed.trim)];
            let cuts = ("cuts between parts", cut.lengths.len() as i128 - 1);
            quantities.extend(explain_one(&name, stock, &cut.lengths, cuts, section, plan));
        }
        for (number, stretch) in (1..).zip(&cut.stretches).filter(|(_, stretch)| !stretch.parts.is_empty()) {
            let clear = &stretch.clear;
            let stock = [("clear stretch", clear.to - clear.from), ("squared off", clear.off)];
            let kerfs = stretch.parts.len() as i128 - 1 + i128::from(clear.bad_ends);
            let lengths = &cut.lengths[stretch.parts.clone()];
            let cuts = ("kerfs between parts and at bad ends", kerfs);
            quantities.extend(explain_one(&format!("{name}.{number}"), stock, lengths, cuts, section, plan));
        }
    }
    quantities
}

/// The same of one board or clear stretch.
fn explain_one(
    name: &str,
    stock: [(&'static str, Length); 2],
    lengths: &[Length],
    (what, kerfs): (&'static str, i128),
    section: &Section,
    plan: &Plan,
) -> Vec<Quantity> {
    let shed = &plan.shed;
    let sum: Length = lengths.iter().copied().sum();
    let mut board: Vec<Input> = stock.map(|(what, length)| Input::new(what, Value::length(length))).into();
    board.push(Input::new("sum of parts", Value::length(sum)));
    board.push(Input::new(what, Value::count(kerfs)));
    let kerf = match section.kerf == shed.kerf {
        true => Input::new("kerf", Value::length(shed.kerf)),
        false => Input::new("kerf, at the slant of the ends", Value::length(section.kerf)),
    };
    let with_kerf = [board.clone(), vec![kerf]].concat();
    let reserve = vec![
        Input::new("reserve per cut", Value::length(shed.reserve_per_cut)),
        Input::new("cuts between parts", Value::count(lengths.len() as i128 - 1)),
        Input::new("reserve per board", Value::length(shed.reserve_per_board)),
    ];
    let name = |what: &str| format!("{name}.{what}");
    let slack = Quantity::by(name("slack"), "what the board has left", Of::Length, &rules::SLACK, with_kerf);
    let breaks = "the kerf at which the pattern breaks";
    let breaks = Quantity::by(name("breaks-at"), breaks, Of::Length, &rules::BREAKS, board);
    let reserve =
        Quantity::by(name("reserve"), "what a comfortable pattern keeps", Of::Length, &rules::RESERVE, reserve);
    [slack, breaks, reserve].into_iter().flatten().collect()
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
        let board = Kind {
            name,
            label,
            thickness,
            width,
            thin_edge: None,
            density: None,
            treated: None,
            lengths: vec![length],
            place,
        };
        Plan {
            standing: model::standing::Standing::default(),
            title: String::new(),
            tape: Tape::usual(Unit::Millimetre),
            prefer: Prefer::Closest,
            site: model::plan::Site::default(),
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
        let section =
            cut(STOCK, &parts, &places, &plan(), Goals::All, crate::cut::STEPS, &stop).expect("a plan without search");
        assert!(asked.get() > 0, "nobody asked whether to stop");
        let mut cut: Vec<usize> = section.cuts.iter().flat_map(|cut| cut.boards.concat()).collect();
        cut.sort_unstable();
        assert_eq!(cut, places);
    }

    /// Worked by hand, from `docs/buying.md`: a board of 2000 bad from 900 to 950, trim 10, kerf 3. Its clear stretches hold 900 − 5 − 3 and
    /// 1050 − 3 − 5, to the nanometre: two parts of 444.5 and two of 519.5 with a kerf between leave nothing.
    fn split(longer: i64) -> (Result<Section, Problem>, Vec<Part>, Plan) {
        let mut plan = plan();
        let bad = vec![[900, 950].map(Length::mm)];
        let price = Some(Money::hundredths(700));
        let single = BoardLength {
            stock: Some(1),
            name: Some("A".into()),
            bad,
            ..BoardLength::on_sale(Length::mm(2000), price)
        };
        plan.yard.boards[0].lengths = vec![single];
        let lengths = [444_500_000, 519_500_000 + longer, 444_500_000, 519_500_000];
        let part = |(index, length): (u32, i64)| Part {
            key: PartKey { piece: "bed".into(), role: "post".into(), face: "front".into(), course: 0, index },
            id: format!("A{}", index + 1),
            stock: STOCK,
            solid: Solid::square(Length::nm(length), Length::mm(145), Length::mm(21)),
            at: At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along: Axis::X, across: Axis::Z },
        };
        let parts: Vec<Part> = (0..).zip(lengths).map(part).collect();
        let section = cut(STOCK, &parts, &[0, 1, 2, 3], &plan, Goals::All, crate::cut::STEPS, &|| false);
        (section, parts, plan)
    }

    #[test]
    fn a_bad_stretch_is_cut_round_to_the_nanometre() {
        let (section, _, plan) = split(0);
        let section = section.expect("it comes out exactly");
        let [cut] = section.cuts.as_slice() else { panic!("one board: {:?}", section.cuts) };
        assert_eq!((cut.slack, cut.comfortable, &cut.boards), (Length::ZERO, false, &vec![vec![0, 2, 1, 3]]));
        let told: Vec<_> = cut.stretches.iter().map(|stretch| (stretch.parts.clone(), stretch.slack)).collect();
        assert_eq!(told, [(0..2, Length::ZERO), (2..4, Length::ZERO)]);
        // Two kerfs, one between the parts and one at the bad end.
        assert_eq!(cut.breaks(plan.shed.trim), Breaks { room: Length::mm(6), kerfs: 2 });
        let names: Vec<String> = explain(&section, &plan).into_iter().map(|quantity| quantity.name).collect();
        assert_eq!(names.len(), 6);
        assert!(names[0] == "cut.deal.1.1.slack" && names[5] == "cut.deal.1.2.reserve", "{names:?}");
        let (longer, _, _) = split(1);
        assert!(longer.is_err(), "a nanometre more does not come out");
    }

    /// The cards of that board: it is parted at 897 and 953 by the tape from its marked end, and its stretches are sawn like boards.
    #[test]
    fn a_parted_board_reads_from_where_it_was_sawn() {
        let (section, parts, plan) = split(0);
        let cutting = crate::cut::Cutting { sections: vec![section.expect("it comes out")], ..Default::default() };
        let build = model::build::Build { parts, ..Default::default() };
        let cards = crate::saw::saw(&build, &cutting, &plan).cards;
        let [long, short] = cards.as_slice() else { panic!("two settings: {cards:?}") };
        let told = |card: &crate::saw::Card| {
            let lot = &card.lots[0];
            let rests: Vec<i64> = lot.cuts.iter().map(|cut| cut.rest.nanometres()).collect();
            (lot.from.to_string(), lot.span, lot.length, lot.start, rests)
        };
        let mm = Length::mm;
        let half = |twice: i64| twice * 500_000;
        assert_eq!(
            told(long),
            ("1.2".into(), Some([mm(953), mm(2000)]), mm(1047), mm(1047), vec![half(1049), half(4)])
        );
        assert_eq!(told(short), ("1.1".into(), Some([mm(0), mm(897)]), mm(897), mm(892), vec![half(889), 0]));
        assert_eq!(long.lots[0].cuts[0].least, mm(1042));
    }

    /// A slack of `keep` and the kerf that saws the rest off is worth keeping, by `docs/buying.md`.
    #[test]
    fn what_is_worth_keeping_reaches_the_engine() {
        let (_, parts, mut plan) = split(0);
        for keep in [0, 300] {
            plan.shed.keep = Length::mm(keep);
            let waiting = BTreeMap::from([(parts[0].solid.length, vec![0])]);
            let (job, _, _) = job(STOCK, &[parts[0].solid.length], &waiting, Length::mm(3), &plan);
            assert_eq!(job.worth_keeping, Length::mm(keep + 3).nanometres());
        }
    }
}
