//! The yard and the shed: what can be bought, and what it is cut with.

use crate::price::Measured;
use crate::problem::Place;
use crate::schema::StockKind;
use measure::{Density, Length, Mass, Money, Percent};

/// What can be bought.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Yard {
    /// Three letters: the currency of all prices, such as `GBP`.
    pub currency: String,
    /// What is added to all prices when one pays; `None` if they include it.
    pub tax: Option<Percent>,
    /// What bringing it costs, if the yard brings it.
    pub delivery: Option<Delivery>,
    /// What the yard cuts, and for how much.
    pub cuts: Option<YardCuts>,
    /// Boards by name, in the order of the file.
    pub boards: Vec<Board>,
    /// Sheets by name.
    pub sheets: Vec<Sheet>,
    /// Setts, pavers, bricks and blocks by name.
    pub units: Vec<Unit>,
    /// Screws by name.
    pub screws: Vec<Screw>,
    /// Soil, gravel and the like by name.
    pub bags: Vec<Bag>,
    /// Liner, fabric and the like by name.
    pub rolls: Vec<Roll>,
    /// Oil, paint and the like by name.
    pub finishes: Vec<Finish>,
    /// Brackets, hangers, bolts.
    pub fittings: Vec<Fitting>,
}

/// What it costs to have it brought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Delivery {
    /// For one delivery.
    pub price: Money,
    /// From this sum of goods up it costs nothing.
    pub free_from: Option<Money>,
}

/// Cuts that the yard makes for a fee.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct YardCuts {
    /// For one cut.
    pub price: Money,
    /// So many cost nothing.
    pub free: u32,
    /// How far a cut may be off.
    pub accuracy: Length,
    /// What its saw takes.
    pub kerf: Length,
}

/// A kind of board, sold in lengths.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Board {
    /// Its name in the plan.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// As it really is; of a board that tapers, that of its thick edge.
    pub thickness: Length,
    /// The thickness of the thin edge of a feather-edge board; `None` if its edges are alike.
    pub thin_edge: Option<Length>,
    /// As it really is.
    pub width: Length,
    /// What it weighs, if known.
    pub density: Option<Material>,
    /// What it was treated for, if the yard says.
    pub treated: Option<Treated>,
    /// The lengths on sale, then the single boards, then the offcuts of the shed.
    pub lengths: Vec<BoardLength>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// One length of a kind of board, or one single board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoardLength {
    /// By the label.
    pub length: Length,
    /// Each; unknown prices stay blank and count as nothing. What lies in the shed costs nothing.
    pub price: Option<Money>,
    /// Where the price comes from, if it is by the metre, the foot, the board foot or the square metre.
    pub by: Option<Measured>,
    /// How many there are, if limited.
    pub stock: Option<u32>,
    /// What a single board of the yard or an offcut of the shed is called.
    pub name: Option<String>,
    /// Stretches that no part may contain, from the end that is marked; in order, apart from one another.
    pub bad: Vec<[Length; 2]>,
    /// Where it lies.
    pub from: From,
}

impl BoardLength {
    /// Whether it is a length that the yard sells, and neither a single board nor an offcut.
    pub fn is_on_sale(&self) -> bool {
        self.from == From::Yard && self.name.is_none()
    }

    /// A length on sale that is sound and of which there is no end.
    pub fn on_sale(length: Length, price: Option<Money>) -> BoardLength {
        BoardLength { length, price, by: None, stock: None, name: None, bad: Vec::new(), from: From::Yard }
    }
}

/// Where a stock lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum From {
    /// In the yard: it is bought.
    #[default]
    Yard,
    /// In the shed: it is there, and costs nothing.
    Shed,
}

/// A kind of sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// Its name in the plan.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// As it really is.
    pub thickness: Length,
    /// What it weighs, if known.
    pub density: Option<Material>,
    /// What it was treated for, if the yard says.
    pub treated: Option<Treated>,
    /// The sizes on sale, then the offcuts of the shed.
    pub sizes: Vec<SheetSize>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// One size of a kind of sheet, its length along the grain of the face.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetSize {
    /// Along the grain.
    pub length: Length,
    /// Across it.
    pub width: Length,
    /// Each; unknown prices stay blank and count as nothing. What lies in the shed costs nothing.
    pub price: Option<Money>,
    /// Where the price comes from, if it is by the square metre.
    pub by: Option<Measured>,
    /// How many there are, if limited.
    pub stock: Option<u32>,
    /// What an offcut of the shed is called.
    pub name: Option<String>,
    /// Where it lies.
    pub from: From,
}

impl SheetSize {
    /// A size on sale of which there is no end.
    pub fn on_sale(length: Length, width: Length, price: Option<Money>) -> SheetSize {
        SheetSize { length, width, price, by: None, stock: None, name: None, from: From::Yard }
    }
}

/// So many of a thing sold together, or so much of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pack {
    /// How many are in it; of what is poured, cubic millimetres.
    pub holds: u64,
    /// For the pack; an unknown price stays blank.
    pub price: Option<Money>,
    /// How many packs the yard has, if limited.
    pub stock: Option<u32>,
}

/// A kind of unit that is laid whole: sett, paver, brick, block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unit {
    /// Its name in the plan.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// The longer side seen from above.
    pub length: Length,
    /// The shorter side seen from above.
    pub width: Length,
    /// How thick it is as it lies.
    pub thickness: Length,
    /// How it is sold: one by itself first, if it is, then the packs. At least one entry.
    pub packs: Vec<Pack>,
    /// What one weighs, if the yard says.
    pub mass: Option<Mass>,
    /// What it weighs for its size, if known.
    pub density: Option<Material>,
    /// How many more to buy than are laid.
    pub spare: Percent,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// A kind of screw, sold in boxes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Screw {
    /// Its name in the plan.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// Across its thread, as the box says.
    pub diameter: Length,
    /// What it is made of or coated with, if the yard says.
    pub metal: Option<Metal>,
    /// The lengths on sale, shortest first.
    pub lengths: Vec<ScrewLength>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// One length of a kind of screw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScrewLength {
    /// From the head's outer face to the tip.
    pub length: Length,
    /// The boxes that it comes in. At least one.
    pub boxes: Vec<Pack>,
}

/// What is filled in, sold in bags.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bag {
    /// Its name in the plan.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// The bags that it comes in, by what they yield in cubic millimetres. At least one.
    pub sizes: Vec<Pack>,
    /// What a bag of each size weighs, in the order of `sizes`, where it is sold by mass.
    pub masses: Vec<Option<Mass>>,
    /// What it weighs once it is in place and wet, if known.
    pub wet: Option<Density>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// What is laid out, sold by the metre.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Roll {
    /// Its name in the plan.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// How wide the roll is.
    pub width: Length,
    /// For a metre off the roll; an unknown price stays blank and counts as nothing.
    pub price: Option<Money>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// What is brushed on, sold in tins.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finish {
    /// Its name in the plan.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// Thousandths of a square metre that a litre covers in the first coat.
    pub first: u32,
    /// The same in each coat after it.
    pub later: u32,
    /// The tins, by what they hold in cubic millimetres.
    pub tins: Vec<Pack>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// What holds parts and is bought as it is, singly or in packs: brackets, hangers, bolts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fitting {
    /// Its name in the plan.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// One by itself, if it is sold so, and the packs.
    pub packs: Vec<Pack>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// A density and where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Material {
    /// By the yard file itself.
    Stated(Density),
    /// By the name of a material, which the handbook looks up.
    Named(String),
}

/// What timber was treated for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Treated {
    /// Not treated at all: the yard says so.
    Not,
    /// Use outdoors, off the ground.
    Outdoors,
    /// Contact with the ground.
    Ground,
    /// Heavy use in the ground: posts that carry, walls that hold soil.
    Heavy,
}

impl Treated {
    /// All of them, from the least up.
    pub const ALL: [Treated; 4] = [Treated::Not, Treated::Outdoors, Treated::Ground, Treated::Heavy];

    /// The word for it in a yard.
    pub fn word(self) -> &'static str {
        match self {
            Treated::Not => "not",
            Treated::Outdoors => "outdoors",
            Treated::Ground => "ground",
            Treated::Heavy => "heavy",
        }
    }

    /// The treatment of this word.
    pub fn of_word(word: &str) -> Option<Treated> {
        Treated::ALL.into_iter().find(|treated| treated.word() == word)
    }
}

/// What a screw is made of or coated with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Metal {
    /// Bright steel, or a thin coat of zinc.
    Plated,
    /// A maker's coating for outdoors.
    Coated,
    /// Hot-dip galvanised.
    HotDip,
    /// Stainless steel, A2 or 304.
    Stainless,
    /// Stainless steel for the coast, A4 or 316.
    Marine,
}

impl Metal {
    /// All of them, from the one that rusts first.
    pub const ALL: [Metal; 5] = [Metal::Plated, Metal::Coated, Metal::HotDip, Metal::Stainless, Metal::Marine];

    /// The word for it in a yard.
    pub fn word(self) -> &'static str {
        match self {
            Metal::Plated => "plated",
            Metal::Coated => "coated",
            Metal::HotDip => "hot-dip",
            Metal::Stainless => "stainless",
            Metal::Marine => "marine",
        }
    }

    /// The metal of this word.
    pub fn of_word(word: &str) -> Option<Metal> {
        Metal::ALL.into_iter().find(|metal| metal.word() == word)
    }
}

/// What the maker has.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shed {
    /// What the blade turns to dust.
    pub kerf: Length,
    /// What is taken off each stock piece to square it, both ends together, its own kerfs included.
    pub trim: Length,
    /// What the saw can do, as far as the shed says.
    pub limits: SawLimits,
    /// The saw for sheets, if it is another.
    pub sheet_saw: Option<Saw>,
    /// What a comfortable cutting pattern keeps for each cut.
    pub reserve_per_cut: Length,
    /// What a comfortable cutting pattern keeps for each board.
    pub reserve_per_board: Length,
    /// What one person lifts, if the shed says; the handbook has a figure otherwise.
    pub lift: Option<Mass>,
    /// How many people are at hand.
    pub people: u32,
    /// From which length on what is left over is worth keeping.
    pub keep: Length,
    /// What is left of packs, in the order of the file.
    pub left: Vec<Left>,
    /// The plans whose rests are in the shed already, in the order of the file.
    pub kept: Vec<KeptPlan>,
    /// The bits that are there, if the shed says.
    pub bits: Option<Vec<Length>>,
    /// The longest thing that the car takes, if the shed says.
    pub car_longest: Option<Length>,
    /// The heaviest load of the car, if the shed says.
    pub car_load: Option<Mass>,
    /// How wide the door is, if the shed says.
    pub door: Option<Length>,
    /// What time and mishaps cost.
    pub rates: Rates,
}

/// What a saw loses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Saw {
    /// What the blade turns to dust.
    pub kerf: Length,
    /// What is taken off each stock piece to square it.
    pub trim: Length,
}

/// What a saw can do; what the shed does not say is not asked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SawLimits {
    /// The widest board that it cuts across.
    pub crosscut: Option<Length>,
    /// The widest that it rips from its fence.
    pub rip: Option<Length>,
    /// How far it turns, in whole degrees.
    pub mitre: Option<u32>,
    /// How far its blade leans, in whole degrees.
    pub tilt: Option<u32>,
}

/// The rest of a pack that lies in the shed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Left {
    /// Its name in the shed.
    pub name: String,
    /// What it is.
    pub of: StockRef,
    /// How long the screws are.
    pub length: Option<Length>,
    /// How much there is: things, cubic millimetres or nanometres.
    pub amount: i128,
}

/// A plan that is cut, and whose rests are in the shed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptPlan {
    /// Its name in the shed.
    pub name: String,
    /// The title of the plan.
    pub plan: String,
    /// The digest of the plan and its yard as they were then.
    pub digest: String,
}

/// What time and mishaps cost: the maker's own numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rates {
    /// A minute of one's own.
    pub minute: Option<Money>,
    /// A trip to the yard.
    pub trip: Option<Money>,
    /// How long it takes.
    pub trip_minutes: u32,
    /// A cut.
    pub cut_minutes: u32,
    /// Setting and checking a stop.
    pub stop_minutes: u32,
    /// Measuring a board.
    pub measure_minutes: u32,
    /// Driving a screw, with its holes.
    pub screw_minutes: u32,
    /// Laying a unit.
    pub unit_minutes: u32,
    /// Closing a gap with a strip.
    pub strip_minutes: u32,
    /// A blade.
    pub blade: Option<Money>,
    /// Fetching and changing it.
    pub blade_minutes: u32,
    /// A set of packers.
    pub packers: Option<Money>,
    /// Fitting them.
    pub packers_minutes: u32,
}

impl Default for Rates {
    /// The minutes of a shed that says nothing (`docs/buying.md`, *common practice*), and no money.
    fn default() -> Rates {
        Rates {
            minute: None,
            trip: None,
            trip_minutes: 40,
            cut_minutes: 2,
            stop_minutes: 5,
            measure_minutes: 1,
            screw_minutes: 1,
            unit_minutes: 3,
            strip_minutes: 10,
            blade: None,
            blade_minutes: 10,
            packers: None,
            packers_minutes: 10,
        }
    }
}

impl Shed {
    /// What sheets are cut with.
    pub fn saw_for_sheets(&self) -> Saw {
        self.sheet_saw.unwrap_or(Saw { kerf: self.kerf, trim: self.trim })
    }
}

/// A reference to one thing on a shelf of the yard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct StockRef {
    /// Which shelf.
    pub kind: StockKind,
    /// The place on that shelf.
    pub place: usize,
}

impl Yard {
    /// The thing of this name on a shelf.
    pub fn find(&self, kind: StockKind, name: &str) -> Option<StockRef> {
        let place = self.names(kind).iter().position(|known| *known == name);
        place.map(|place| StockRef { kind, place })
    }

    /// The names on a shelf, in the order of the file.
    pub fn names(&self, kind: StockKind) -> Vec<&str> {
        match kind {
            StockKind::Board => self.boards.iter().map(|board| board.name.as_str()).collect(),
            StockKind::Sheet => self.sheets.iter().map(|sheet| sheet.name.as_str()).collect(),
            StockKind::Unit => self.units.iter().map(|unit| unit.name.as_str()).collect(),
            StockKind::Screw => self.screws.iter().map(|screw| screw.name.as_str()).collect(),
            StockKind::Bag => self.bags.iter().map(|bag| bag.name.as_str()).collect(),
            StockKind::Roll => self.rolls.iter().map(|roll| roll.name.as_str()).collect(),
            StockKind::Finish => self.finishes.iter().map(|finish| finish.name.as_str()).collect(),
            StockKind::Fitting => self.fittings.iter().map(|fitting| fitting.name.as_str()).collect(),
        }
    }

    /// Name and shop label of a stock.
    pub fn label(&self, stock: StockRef) -> (&str, &str) {
        match stock.kind {
            StockKind::Board => (&self.boards[stock.place].name, &self.boards[stock.place].label),
            StockKind::Sheet => (&self.sheets[stock.place].name, &self.sheets[stock.place].label),
            StockKind::Unit => (&self.units[stock.place].name, &self.units[stock.place].label),
            StockKind::Screw => (&self.screws[stock.place].name, &self.screws[stock.place].label),
            StockKind::Bag => (&self.bags[stock.place].name, &self.bags[stock.place].label),
            StockKind::Roll => (&self.rolls[stock.place].name, &self.rolls[stock.place].label),
            StockKind::Finish => (&self.finishes[stock.place].name, &self.finishes[stock.place].label),
            StockKind::Fitting => (&self.fittings[stock.place].name, &self.fittings[stock.place].label),
        }
    }

    /// The longest part that a stock gives once `trim` is off the longest that is on sale, on a board with bad stretches also a
    /// `kerf` at each bad end; `None` if nothing is on sale.
    pub fn longest(&self, stock: StockRef, trim: Length, kerf: Length) -> Option<Length> {
        let longest = match stock.kind {
            StockKind::Board => return self.boards[stock.place].there().map(|length| length.gives(trim, kerf)).max(),
            StockKind::Sheet => {
                let there = self.sheets[stock.place].sizes.iter().filter(|size| size.stock != Some(0));
                there.map(|size| size.length).max()
            }
            StockKind::Unit => Some(self.units[stock.place].length + trim),
            // Nothing is cut from these.
            StockKind::Screw | StockKind::Bag | StockKind::Roll | StockKind::Finish | StockKind::Fitting => None,
        };
        longest.map(|length| length - trim)
    }

    /// The density of a stock, as the yard gives it.
    pub fn density(&self, stock: StockRef) -> Option<&Material> {
        match stock.kind {
            StockKind::Board => self.boards[stock.place].density.as_ref(),
            StockKind::Sheet => self.sheets[stock.place].density.as_ref(),
            StockKind::Unit => self.units[stock.place].density.as_ref(),
            StockKind::Screw | StockKind::Bag | StockKind::Roll | StockKind::Finish | StockKind::Fitting => None,
        }
    }
}
