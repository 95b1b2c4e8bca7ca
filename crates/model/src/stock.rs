//! The yard and the shed: what can be bought, and what it is cut with.

use crate::problem::Place;
use crate::schema::StockKind;
use measure::{Density, Length, Mass, Money, Percent, Volume};

/// What can be bought.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Yard {
    /// Three letters: the currency of all prices, such as `GBP`.
    pub currency: String,
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
    /// The lengths on sale.
    pub lengths: Vec<BoardLength>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// One length of a kind of board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BoardLength {
    /// By the label.
    pub length: Length,
    /// Each; unknown prices stay blank and count as nothing.
    pub price: Option<Money>,
    /// How many the yard has, if limited.
    pub stock: Option<u32>,
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
    /// The sizes on sale.
    pub sizes: Vec<SheetSize>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// One size of a kind of sheet, its length along the grain of the face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetSize {
    /// Along the grain.
    pub length: Length,
    /// Across it.
    pub width: Length,
    /// Each; unknown prices stay blank and count as nothing.
    pub price: Option<Money>,
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
    /// Each; an unknown price stays blank and counts as nothing.
    pub price: Option<Money>,
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
    /// The lengths on sale, shortest first.
    pub lengths: Vec<ScrewLength>,
    /// Where it stands in the yard file.
    pub place: Place,
}

/// One length of a kind of screw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ScrewLength {
    /// From the head's outer face to the tip.
    pub length: Length,
    /// How many are in a box.
    pub per_box: u32,
    /// For a box; an unknown price stays blank and counts as nothing.
    pub price: Option<Money>,
}

/// What is filled in, sold in bags.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bag {
    /// Its name in the plan.
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// What a bag yields.
    pub yields: Volume,
    /// For a bag; an unknown price stays blank and counts as nothing.
    pub price: Option<Money>,
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

/// A density and where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Material {
    /// By the yard file itself.
    Stated(Density),
    /// By the name of a material, which the handbook looks up.
    Named(String),
}

/// What the maker has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shed {
    /// What the blade turns to dust.
    pub kerf: Length,
    /// What is taken off each stock piece to square it, both ends together, its own kerfs included.
    pub trim: Length,
    /// What a comfortable cutting pattern keeps for each cut.
    pub reserve_per_cut: Length,
    /// What a comfortable cutting pattern keeps for each board.
    pub reserve_per_board: Length,
    /// What one person lifts, if the shed says; the handbook has a figure otherwise.
    pub lift: Option<Mass>,
    /// How many people are at hand.
    pub people: u32,
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
        }
    }

    /// The longest part that a stock gives once `trim` is off the longest that is on sale; `None` if nothing is on sale.
    pub fn longest(&self, stock: StockRef, trim: Length) -> Option<Length> {
        let longest = match stock.kind {
            StockKind::Board => {
                let there = self.boards[stock.place].lengths.iter().filter(|length| length.stock != Some(0));
                there.map(|length| length.length).max()
            }
            StockKind::Sheet => self.sheets[stock.place].sizes.iter().map(|size| size.length).max(),
            StockKind::Unit => Some(self.units[stock.place].length + trim),
            // Nothing is cut from these.
            StockKind::Screw | StockKind::Bag | StockKind::Roll => None,
        };
        longest.map(|length| length - trim)
    }

    /// The density of a stock, as the yard gives it.
    pub fn density(&self, stock: StockRef) -> Option<&Material> {
        match stock.kind {
            StockKind::Board => self.boards[stock.place].density.as_ref(),
            StockKind::Sheet => self.sheets[stock.place].density.as_ref(),
            StockKind::Unit => self.units[stock.place].density.as_ref(),
            StockKind::Screw | StockKind::Bag | StockKind::Roll => None,
        }
    }
}
