//! At the saw: set-ups, and a card for each. One set-up is one place of the stop or the fence and the two ends that are cut
//! there; a card says how many come out of which boards, what the tape reads on the rest, and how a short one is held.
//!
//! `docs/buying.md`, *Set-ups and cards at the saw*, says what each number means.

mod bars;
mod deal;
mod ends;
mod limits;
#[cfg(test)]
mod tests;

pub use ends::{End, Ends, Flip, Reads};
pub use limits::{Beyond, beyond, notes};

use crate::cut::Cutting;
use crate::rules;
use deal::Bench;
use handbook::sawing;
use measure::Length;
use model::build::Build;
use model::plan::Plan;
use model::schema::StockKind;
use model::stock::StockRef;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// What the tape reads on the rest.
pub static REST: Rule = Rule {
    id: "rest",
    words: "What is left on the board after a cut: its length less the first end squared off, all parts so far and a kerf after each, or nothing where that is less",
    formula: "rest = max(stock - squared off - sum of parts - parts × kerf, 0)",
    inputs: &["stock", "squared off", "sum of parts", "parts", "kerf"],
    source: "the kerf rule, a cut after each part",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [stock, off, sum, parts, kerf] => {
            let left = stock.checked_sub(*off)?.checked_sub(*sum)?.checked_sub(parts.checked_mul(*kerf)?)?;
            Some(left.max(0))
        }
        _ => None,
    },
    case: Case {
        given: &[3_600_000_000, 5_000_000, 1_780_000_000, 4, 3_000_000],
        gives: 1_803_000_000,
        source: "four of 445 off a 3600 that is squared by 5, kerf 3: 1803, worked by hand",
    },
};

/// How many come out at a card.
pub static TALLY: Rule = Rule {
    id: "tally",
    words: "What each board of the card gives, together",
    formula: "count = sum of what each board gives",
    inputs: &["from each board…"],
    source: "the cutting plan",
    mark: Mark::Arithmetic,
    compute: |x| x.iter().try_fold(0_i128, |sum, count| sum.checked_add(*count)),
    case: Case { given: &[8, 8, 8], gives: 24, source: "three boards of eight" },
};

/// All cards, in the order in which they are cut.
#[derive(Clone, Debug, Default)]
pub struct Sawing {
    /// The cards: card N is at place N - 1.
    pub cards: Vec<Card>,
    /// How many each makes, what its first board reads at the end, what lies on the saw, with their why.
    pub quantities: Vec<Quantity>,
}

impl Sawing {
    /// How many different settings of the saw there are.
    pub fn set_ups(&self) -> u32 {
        self.cards.last().map_or(0, |card| card.set_up)
    }
}

/// What is done at a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Work {
    /// Strips are ripped off a sheet along the fence.
    Rip,
    /// Parts are cut off a board or strip at the stop.
    Crosscut,
}

impl Work {
    /// `rip` or `crosscut`.
    pub fn word(self) -> &'static str {
        match self {
            Work::Rip => "rip",
            Work::Crosscut => "crosscut",
        }
    }
}

/// One set-up of the saw, or what there is room for of one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// The set-up, from 1; further cards of one have the same number.
    pub set_up: u32,
    /// Rip or crosscut.
    pub work: Work,
    /// What it is cut from.
    pub stock: StockRef,
    /// Where stop or fence stands.
    pub stop: Length,
    /// The parts' length, long point to long point, or the strips' width.
    pub length: Length,
    /// How the stop meets the part.
    pub reads: Reads,
    /// How the blade turns and leans at both ends.
    pub ends: Ends,
    /// What is turned between two cuts.
    pub flip: Flip,
    /// Whether the stop is left where it stands from the card before.
    pub stop_stays: bool,
    /// How far off the first part may be, either way.
    pub check: Length,
    /// Whether its parts are too short for hands beside the blade.
    pub short: bool,
    /// The boards, strips or sheets, in order.
    pub lots: Vec<Lot>,
    /// The parts that are shaped after the cut, or planed along their length, by their places in the list of parts.
    pub shaped: Vec<usize>,
    /// The names of the marking sizes of shaped tops.
    pub marks: Vec<String>,
}

/// What one board, strip or sheet gives at a card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lot {
    /// Which one.
    pub from: Which,
    /// How long it is by its label; of a clear stretch, how long it is sawn out; of a piece, how long the yard leaves it; of a sheet
    /// that is ripped, how wide.
    pub length: Length,
    /// From where to where a clear stretch is sawn out, by the tape from the marked end of its board.
    pub span: Option<[Length; 2]>,
    /// What squares off its first end: nothing where that was sawn when the board was parted at its bad stretches.
    pub off: Length,
    /// What it reads before the first cut of this card.
    pub start: Length,
    /// The cuts, in order.
    pub cuts: Vec<Cut>,
}

/// Which board or strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Which {
    /// The number of the board or sheet within its kind, from 1.
    pub number: u32,
    /// The number of the strip within its sheet, or of the clear stretch on its board, from 1; none for a sound board and for a
    /// whole sheet.
    pub strip: Option<u32>,
    /// The number of the piece, from 1, of a board or sheet that the yard parts for the car.
    pub piece: Option<u32>,
}

impl Which {
    /// A board or sheet that is whole.
    pub(crate) fn whole(number: u32) -> Which {
        Which { number, strip: None, piece: None }
    }

    /// A strip of a sheet, or a clear stretch of a board.
    pub(crate) fn strip(number: u32, strip: u32) -> Which {
        Which { strip: Some(strip), ..Which::whole(number) }
    }

    /// A piece of what the yard parts.
    pub(crate) fn piece(number: u32, piece: u32) -> Which {
        Which { piece: Some(piece), ..Which::whole(number) }
    }
}

impl std::fmt::Display for Which {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (self.strip, self.piece) {
            (Some(strip), _) => write!(f, "{}.{strip}", self.number),
            (_, Some(piece)) => write!(f, "{}/{piece}", self.number),
            _ => write!(f, "{}", self.number),
        }
    }
}

/// One cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cut {
    /// What it makes.
    pub makes: Makes,
    /// The least that must be there before it for this and all that follows on the board to come out.
    pub least: Length,
    /// What the rest reads after it.
    pub rest: Length,
    /// All lengths that have come out of the board by then, and how many.
    pub so_far: (Length, u32),
}

/// What a cut makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Makes {
    /// A part, by its place in the list of parts.
    Part(usize),
    /// A strip.
    Strip(Which),
}

impl Card {
    /// All cuts in order.
    pub fn cuts(&self) -> impl Iterator<Item = &Cut> {
        self.lots.iter().flat_map(|lot| &lot.cuts)
    }

    /// The parts it makes, by their places in the list of parts; none for a rip.
    pub fn parts(&self) -> impl Iterator<Item = usize> {
        self.cuts().filter_map(|cut| match cut.makes {
            Makes::Part(part) => Some(part),
            Makes::Strip(_) => None,
        })
    }

    /// The parts to clamp or to hold with a longer piece: short ones whose rest is short too.
    pub fn clamped(&self) -> impl Iterator<Item = usize> {
        let short = self.short;
        let both = move |cut: &&Cut| short && cut.rest < sawing::SHORT.length;
        self.cuts().filter(both).filter_map(|cut| match cut.makes {
            Makes::Part(part) => Some(part),
            Makes::Strip(_) => None,
        })
    }

    /// Boards that follow one another and are cut alike, in one row each: what lies on a line of the card.
    pub fn rows(&self) -> Vec<&[Lot]> {
        self.lots.chunk_by(Lot::is_like).collect()
    }
}

impl Lot {
    /// Whether another has the same length and readings, so that both stand in one row of a card.
    pub fn is_like(&self, other: &Lot) -> bool {
        let readings = |lot: &Lot| lot.cuts.iter().map(|cut| (cut.least, cut.rest)).collect::<Vec<_>>();
        (self.length, self.start) == (other.length, other.start) && readings(self) == readings(other)
    }
}

/// The set-ups of everything that is cut, with a card for each.
pub fn saw(build: &Build, cutting: &Cutting, plan: &Plan) -> Sawing {
    let mut cards = Vec::new();
    for section in &cutting.sections {
        let bench = Bench { work: Work::Crosscut, stock: section.stock, build, plan };
        bench.deal(&bars::boards(section, &build.parts, plan), &mut cards);
    }
    for sheets in &cutting.sheets {
        let bench = |work: Work| Bench { work, stock: sheets.stock, build, plan };
        bench(Work::Rip).deal(&bars::rips(sheets, plan), &mut cards);
        bench(Work::Crosscut).deal(&bars::strips(sheets, &build.parts, plan), &mut cards);
    }
    let kerf = |card: &Card| {
        let board = cutting.sections.iter().find(|section| section.stock == card.stock).map(|section| section.kerf);
        let sheet = || cutting.sheets.iter().find(|sheets| sheets.stock == card.stock).map(|sheets| sheets.kerf);
        board.or_else(sheet).unwrap_or(plan.shed.kerf)
    };
    let quantities = cards.iter().enumerate().flat_map(|(at, card)| explain(at + 1, card, kerf(card), cutting, plan));
    let quantities = quantities.collect();
    Sawing { cards, quantities }
}

/// What squares off the first end of a board, or the first edge of a sheet: half the trim of the saw that cuts it.
pub fn squared_off(kind: StockKind, plan: &Plan) -> Length {
    let trim = if kind == StockKind::Sheet { plan.shed.saw_for_sheets().trim } else { plan.shed.trim };
    crate::cut::squared_off(trim)
}

/// The numbers of a card.
fn explain(number: usize, card: &Card, kerf: Length, cutting: &Cutting, plan: &Plan) -> Vec<Quantity> {
    let name = |what: &str| format!("card.{number}.{what}");
    let what = if card.work == Work::Rip { "sheet" } else { "board or strip" };
    let each = |lot: &Lot| Input::new(format!("{what} {}", lot.from), Value::count(lot.cuts.len() as i128));
    let inputs = card.lots.iter().map(each).collect();
    let count = Quantity::by(name("count"), "how many the card makes", Of::Count, &TALLY, inputs);
    let rest = card.lots.first().and_then(|lot| {
        let (sum, parts) = lot.cuts.last()?.so_far;
        let inputs = vec![
            Input::new("its length", Value::length(lot.length)),
            Input::new("squared off", Value::length(lot.off)),
            Input::new("all that has come out of it", Value::length(sum)),
            Input::new("how many", Value::count(parts)),
            Input::new("kerf", Value::length(kerf)),
        ];
        let what = format!("what {what} {} reads after its last part here", lot.from);
        Quantity::by(name("rest"), what, Of::Length, &REST, inputs)
    });
    [count, rest, mass(&name("mass"), card, cutting, plan)].into_iter().flatten().collect()
}

/// What lies on the saw before the first rip of a card, if the sheet's density is known.
fn mass(name: &str, card: &Card, cutting: &Cutting, plan: &Plan) -> Option<Quantity> {
    let lot = card.lots.first().filter(|_| card.work == Work::Rip)?;
    let (density, source) = crate::check::density(plan.yard.density(card.stock)?)?;
    let sheets = cutting.sheets.iter().find(|sheets| sheets.stock == card.stock)?;
    let length = sheets.sheets.get(lot.from.number as usize - 1)?.measures[0];
    let inputs = vec![
        Input::new("length of the sheet", Value::length(length)),
        Input::new("what is left of its width", Value::length(lot.start)),
        Input::new("thickness", Value::length(plan.yard.sheets[card.stock.place].thickness)),
        Input::new(format!("density ({source})"), Value { of: Of::Density, value: density.value().into() }),
    ];
    Quantity::by(name, "what lies on the saw before the first rip", Of::Mass, &rules::MASS, inputs)
}
