//! Ways, windows and the buying list: what carries a price.

use crate::fit_part::{ClosingRecord, closing};
use advise::{Because, Price, Settled, Way};
use measure::Money;
use serde::Serialize;
use stages::buy::{Home, Parted};

/// One way in which everything comes out.
#[derive(Debug, Serialize)]
pub struct WayRecord {
    /// Choices, counts and sizes.
    #[serde(flatten)]
    pub closing: ClosingRecord,
    /// What it costs; null if a part does not come out of the yard, or the plan is so large that only its nearest ways are
    /// priced.
    pub price: Option<PriceRecord>,
    /// `near`, `sizes first`, `fewest members`, `cheaper` or `roomier`.
    pub because: &'static str,
    /// For `cheaper` and `roomier`: the size that gives.
    pub size: Option<usize>,
}

/// A price.
#[derive(Debug, Serialize)]
pub struct PriceRecord {
    /// All that has a price.
    pub total: i64,
    /// Whether every size on sale of everything that is bought has a price; if not, the total is compared with none.
    pub complete: bool,
    /// Boards whose pattern is only possible if measured.
    pub tight: u64,
    /// Whether every cutting plan behind it is proven.
    pub proven: bool,
}

/// Where one size comes out.
#[derive(Debug, Serialize)]
pub struct WindowsRecord {
    /// The size's name.
    pub size: String,
    /// Its places.
    pub notches: Vec<NotchRecord>,
}

/// One stretch of a size.
#[derive(Debug, Serialize)]
pub struct NotchRecord {
    /// From here.
    pub from: i64,
    /// To here.
    pub to: i64,
    /// The place nearest to the wish.
    pub best: i64,
    /// What the plan costs there; null if it was not asked or does not come out because of other sizes.
    pub price: Option<PriceRecord>,
}

/// The buying list.
#[derive(Debug, Serialize)]
pub struct BuyingRecord {
    /// What parts are made of.
    pub lines: Vec<LineRecord>,
    /// All of these lines that have a price: what the ways are compared by.
    pub total: i64,
    /// Lines that have none.
    pub unpriced: usize,
    /// Screws, bags, rolls and extras.
    pub materials: Vec<MaterialRecord>,
    /// All of these that have a price.
    pub materials_total: i64,
    /// Those that have none.
    pub materials_unpriced: usize,
    /// Boards and sheets that come out of the shed.
    pub from_shed: Vec<FromShedRecord>,
    /// What is taken of the rests of packs in the shed.
    pub taken: Vec<TakenRecord>,
    /// Whole boards at home that no part needs and that can be taken back; left out where there are none. No sum counts them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub take_back: Vec<TakeBackRecord>,
    /// What to pay.
    pub pay: PayRecord,
    /// What to bring home.
    pub load: LoadRecord,
    /// What the yard cuts so that it goes into the car; left out where nothing is too long, or the yard does not cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub home: Option<HomeRecord>,
    /// What to know about what is bought.
    pub notes: Vec<String>,
}

/// Packs of one size.
#[derive(Debug, Serialize)]
pub struct PacksRecord {
    /// How many are in one; of bags and tins cubic millimetres; of a roll nanometres.
    pub holds: u64,
    /// How many of them to buy.
    pub count: u64,
    /// The price of one.
    pub price: Option<i64>,
}

/// Offcuts of one name that are cut.
#[derive(Debug, Serialize)]
pub struct FromShedRecord {
    /// `board` or `sheet`.
    pub kind: &'static str,
    /// Its name in the yard.
    pub stock: String,
    /// Its name in the shed.
    pub name: String,
    /// Length, and width for a sheet.
    pub size: Vec<i64>,
    /// How many.
    pub count: u64,
}

/// What is taken of the rest of a pack.
#[derive(Debug, Serialize)]
pub struct TakenRecord {
    /// Its name in the shed.
    pub name: String,
    /// How much: things, cubic millimetres or nanometres.
    pub taken: i64,
}

/// Whole boards at home of one kind and one label that can be taken back.
#[derive(Debug, Serialize)]
pub struct TakeBackRecord {
    /// Its name in the yard.
    pub board: String,
    /// Its length by the label.
    pub length: i64,
    /// How many.
    pub count: u64,
    /// What was paid for them; null if the yard gives no price.
    pub amount: Option<i64>,
}

/// What to pay.
#[derive(Debug, Serialize)]
pub struct PayRecord {
    /// All that has a price, as priced.
    pub goods: i64,
    /// The tax on it; null if the prices include it.
    pub tax: Option<i64>,
    /// Both together.
    pub total: i64,
    /// What one delivery would cost; it is not in the total.
    pub delivery: Option<i64>,
}

/// What to bring home.
#[derive(Debug, Serialize)]
pub struct LoadRecord {
    /// The longest thing that is bought.
    pub longest: Option<i64>,
    /// What all weighs of which that is known.
    pub mass: Option<i64>,
    /// Lines that nobody can weigh.
    pub unweighed: usize,
    /// How often the car goes, if the shed says what it takes.
    pub trips: Option<u64>,
}

/// What the yard cuts so that it goes into the car.
#[derive(Debug, Serialize)]
pub struct HomeRecord {
    /// How many cuts in all.
    pub cuts: u64,
    /// What the yard takes for them; it is not in what to pay.
    pub fee: i64,
    /// One entry for each way of cutting whose boards or sheets are too long.
    pub parted: Vec<PartedRecord>,
}

/// Boards or sheets of one pattern, parted.
#[derive(Debug, Serialize)]
pub struct PartedRecord {
    /// `board` or `sheet`.
    pub kind: &'static str,
    /// Its name in the yard.
    pub name: String,
    /// How long, along what is parted.
    pub stock: i64,
    /// How many are cut so.
    pub count: u64,
    /// The pieces from the start; none if it cannot be parted so.
    pub pieces: Vec<i64>,
    /// What is left of its slack; less than nothing where the pattern does not keep it.
    pub left: i64,
}

/// A line of what is bought beside boards, sheets and units.
#[derive(Debug, Serialize)]
pub struct MaterialRecord {
    /// `screw`, `bag`, `roll`, `finish` or `extra`.
    pub kind: &'static str,
    /// Its name in the yard; for an extra what the plan calls it.
    pub name: String,
    /// For screws how long they are; 0 otherwise.
    pub length: i64,
    /// How much is used: screws, cubic millimetres, nanometres off the roll, or things.
    pub used: i64,
    /// How many boxes, bags, tins, metres or things to buy.
    pub count: u64,
    /// Which of them.
    pub packs: Vec<PacksRecord>,
    /// The price of one, where it is sold in one size.
    pub price: Option<i64>,
    /// What the line costs.
    pub amount: Option<i64>,
}

/// One line.
#[derive(Debug, Serialize)]
pub struct LineRecord {
    /// `board`, `sheet` or `unit`.
    pub kind: &'static str,
    /// Its name in the yard.
    pub name: String,
    /// Length, and width for a sheet.
    pub size: Vec<i64>,
    /// What a single board is called; null for others.
    pub board: Option<String>,
    /// How many are built in.
    pub used: u64,
    /// How many to buy; of units all that the packs hold.
    pub count: u64,
    /// Of units the packs that are bought; empty for others.
    pub packs: Vec<PacksRecord>,
    /// The price of one, where it is sold in one size.
    pub price: Option<i64>,
    /// What the line costs.
    pub amount: Option<i64>,
}

pub(crate) fn price(price: &Price) -> PriceRecord {
    PriceRecord { total: price.total.value(), complete: price.complete, tight: price.tight, proven: price.proven }
}

pub(crate) fn way(way: &Way) -> WayRecord {
    let (because, size) = match way.because {
        Because::Near(_) => ("near", None),
        Because::SizesFirst => ("sizes first", None),
        Because::FewestMembers => ("fewest members", None),
        Because::Cheaper { size } => ("cheaper", Some(size)),
        Because::Roomier { size } => ("roomier", Some(size)),
    };
    WayRecord { closing: closing(&way.closing), price: way.price.as_ref().ok().map(price), because, size }
}

pub(crate) fn windows(settled: &Settled) -> Vec<WindowsRecord> {
    let notch = |notch: &advise::windows::Notch| NotchRecord {
        from: notch.from,
        to: notch.to,
        best: notch.best,
        price: notch.price.as_ref().map(price),
    };
    let of = |windows: &advise::windows::SizeWindows| WindowsRecord {
        size: settled.asked.problem.sizes[windows.size].name.clone(),
        notches: windows.notches.iter().map(notch).collect(),
    };
    settled.windows.iter().map(of).collect()
}

fn packs(packs: &[stages::buy::Packs]) -> Vec<PacksRecord> {
    let one = |packs: &stages::buy::Packs| PacksRecord {
        holds: packs.holds,
        count: packs.count,
        price: packs.price.map(Money::value),
    };
    packs.iter().map(one).collect()
}

pub(crate) fn buying(settled: &Settled) -> BuyingRecord {
    let buying = &settled.buying;
    let from_shed = |taken: &stages::buy::FromShed| FromShedRecord {
        kind: taken.stock.kind.word(),
        stock: settled.plan.yard.label(taken.stock).0.to_owned(),
        name: taken.name.clone(),
        size: taken.size.iter().map(|length| length.nanometres()).collect(),
        count: taken.count,
    };
    let taken = |taken: &stages::buy::Taken| TakenRecord { name: taken.name.clone(), taken: crate::small(taken.taken) };
    let line = |line: &stages::buy::Line| LineRecord {
        kind: line.stock.kind.word(),
        name: settled.plan.yard.label(line.stock).0.to_owned(),
        size: line.size.iter().map(|length| length.nanometres()).collect(),
        board: line.name.clone(),
        used: line.used,
        count: line.count,
        packs: packs(&line.packs),
        price: line.price.map(Money::value),
        amount: line.amount.map(Money::value),
    };
    let material = |line: &stages::buy::MaterialLine| MaterialRecord {
        kind: line.kind.word(),
        name: line.name.clone(),
        length: line.length.nanometres(),
        used: crate::small(line.used),
        count: line.count,
        packs: packs(&line.packs),
        price: line.price.map(Money::value),
        amount: line.amount.map(Money::value),
    };
    let take_back = |back: &stages::buy::TakeBack| TakeBackRecord {
        board: settled.plan.yard.label(back.stock).0.to_owned(),
        length: back.label.nanometres(),
        count: back.count,
        amount: back.amount.map(Money::value),
    };
    BuyingRecord {
        take_back: buying.take_back.iter().map(take_back).collect(),
        materials: settled.buying.materials.iter().map(material).collect(),
        materials_total: settled.buying.materials_total.value(),
        materials_unpriced: settled.buying.materials_unpriced,
        lines: settled.buying.lines.iter().map(line).collect(),
        total: settled.buying.total.value(),
        unpriced: settled.buying.unpriced,
        from_shed: buying.from_shed.iter().map(from_shed).collect(),
        taken: buying.taken.iter().map(taken).collect(),
        pay: PayRecord {
            goods: buying.pay.goods.value(),
            tax: buying.pay.tax.map(Money::value),
            total: buying.pay.total.value(),
            delivery: buying.pay.delivery.map(Money::value),
        },
        load: LoadRecord {
            longest: buying.load.longest.map(measure::Length::nanometres),
            mass: buying.load.mass.map(measure::Mass::value),
            unweighed: buying.load.unweighed.len(),
            trips: buying.load.trips,
        },
        home: buying.home.as_ref().map(|home| self::home(settled, home)),
        notes: buying.notes.clone(),
    }
}

fn home(settled: &Settled, home: &Home) -> HomeRecord {
    let parted = |one: &Parted| PartedRecord {
        kind: one.stock.kind.word(),
        name: settled.plan.yard.label(one.stock).0.to_owned(),
        stock: one.stock_length.nanometres(),
        count: one.count,
        pieces: one.pieces.iter().map(|piece| piece.nanometres()).collect(),
        left: one.left.nanometres(),
    };
    HomeRecord { cuts: home.cuts, fee: home.fee.value(), parted: home.parted.iter().map(parted).collect() }
}
