//! What it costs: ways, windows, the buying list, and what is bought beside timber and units.

use super::fit::Closing;
use super::reader::Reader;
use crate::json::Json;

pub(crate) struct Way {
    pub closing: Closing,
    pub price: Option<Price>,
    pub because: String,
    pub size: Option<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Price {
    pub total: i64,
    pub complete: bool,
    pub tight: i64,
    pub proven: bool,
}

pub(crate) struct Windows {
    pub size: String,
    pub notches: Vec<Notch>,
}

pub(crate) struct Notch {
    pub from: i64,
    pub to: i64,
    pub best: i64,
    pub price: Option<Price>,
}

pub(crate) struct Buying {
    pub lines: Vec<Line>,
    pub total: i64,
    pub unpriced: i64,
    pub materials: Vec<Material>,
    pub materials_total: i64,
    pub materials_unpriced: i64,
    pub from_shed: Vec<FromShed>,
    pub taken: Vec<(String, i64)>,
    /// Whole boards at home that no part needs: name, label, count and what was paid.
    pub take_back: Vec<(String, i64, i64, Option<i64>)>,
    pub pay: Pay,
    pub load: Load,
    pub home: Option<Home>,
    pub notes: Vec<String>,
}

/// What the yard cuts so that it goes into the car.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Home {
    pub cuts: i64,
    pub fee: i64,
    pub parted: Vec<Parted>,
}

/// Boards or sheets of one pattern, parted.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Parted {
    pub kind: String,
    pub name: String,
    pub stock: i64,
    pub count: i64,
    pub pieces: Vec<i64>,
    pub left: i64,
}

/// So many packs of one size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Packs {
    pub holds: i64,
    pub count: i64,
    pub price: Option<i64>,
}

/// Offcuts of one name that are cut.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct FromShed {
    pub kind: String,
    pub stock: String,
    pub name: String,
    pub size: Vec<i64>,
    pub count: i64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pay {
    pub goods: i64,
    pub tax: Option<i64>,
    pub total: i64,
    pub delivery: Option<i64>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Load {
    pub longest: Option<i64>,
    pub mass: Option<i64>,
    pub unweighed: i64,
    pub trips: Option<i64>,
}

pub(crate) struct Line {
    pub kind: String,
    pub name: String,
    pub size: Vec<i64>,
    /// What a single board is called.
    pub board: Option<String>,
    pub used: i64,
    pub count: i64,
    /// Of units the packs that are bought.
    pub packs: Vec<Packs>,
    pub price: Option<i64>,
    pub amount: Option<i64>,
}

/// What is bought beside timber and units: bags, rolls, extras.
pub(crate) struct Need {
    pub piece: String,
    pub what: String,
    /// `bag`, `roll`, `finish` or `extra`.
    pub kind: String,
    /// Its name in the yard; empty for an extra.
    pub stock: String,
    /// What is ordered of what comes in bags, in cubic millimetres.
    pub cubic_mm: i64,
    /// How much of a roll.
    pub length: i64,
}

/// What is bought beside parts: screws by the box, bags, rolls by the metre, extras.
pub(crate) struct Material {
    /// `screw`, `bag`, `roll` or `extra`.
    pub kind: String,
    pub name: String,
    /// For screws how long they are; 0 otherwise.
    pub length: i64,
    /// Screws, cubic millimetres, nanometres off the roll, or things.
    pub used: i64,
    pub count: i64,
    pub packs: Vec<Packs>,
    pub price: Option<i64>,
    pub amount: Option<i64>,
}

impl<'l> Reader<'l> {
    pub(super) fn way(&mut self, json: &Json, path: &str) -> Option<Way> {
        let keys = ["choices", "counts", "sizes", "gaps", "vector", "price", "because", "size"];
        let way = self.object(json, path, &keys)?;
        Some(Way {
            closing: self.closing(&way)?,
            price: self.maybe(&way, "price", Self::price)?,
            because: self.field(&way, "because", Self::text)?,
            size: self.maybe(&way, "size", Self::index)?,
        })
    }

    pub(super) fn price(&mut self, json: &Json, path: &str) -> Option<Price> {
        let price = self.object(json, path, &["total", "complete", "tight", "proven"])?;
        Some(Price {
            total: self.field(&price, "total", Self::money)?,
            complete: self.field(&price, "complete", Self::truth)?,
            tight: self.field(&price, "tight", Self::count)?,
            proven: self.field(&price, "proven", Self::truth)?,
        })
    }

    pub(super) fn windows(&mut self, json: &Json, path: &str) -> Option<Windows> {
        let windows = self.object(json, path, &["size", "notches"])?;
        Some(Windows {
            size: self.field(&windows, "size", Self::text)?,
            notches: self.list(&windows, "notches", Self::notch)?,
        })
    }

    pub(super) fn notch(&mut self, json: &Json, path: &str) -> Option<Notch> {
        let notch = self.object(json, path, &["from", "to", "best", "price"])?;
        Some(Notch {
            from: self.field(&notch, "from", Self::length)?,
            to: self.field(&notch, "to", Self::length)?,
            best: self.field(&notch, "best", Self::length)?,
            price: self.maybe(&notch, "price", Self::price)?,
        })
    }

    pub(super) fn buying(&mut self, json: &Json, path: &str) -> Option<Buying> {
        const KEYS: [&str; 11] = [
            "lines",
            "total",
            "unpriced",
            "materials",
            "materials_total",
            "materials_unpriced",
            "from_shed",
            "taken",
            "pay",
            "load",
            "notes",
        ];
        let buying = self.object_with(json, path, &KEYS, &["home", "take_back"])?;
        Some(Buying {
            lines: self.list(&buying, "lines", Self::line)?,
            total: self.field(&buying, "total", Self::money)?,
            unpriced: self.field(&buying, "unpriced", Self::count)?,
            materials: self.list(&buying, "materials", Self::material)?,
            materials_total: self.field(&buying, "materials_total", Self::money)?,
            materials_unpriced: self.field(&buying, "materials_unpriced", Self::count)?,
            from_shed: self.list(&buying, "from_shed", Self::offcuts)?,
            taken: self.list(&buying, "taken", Self::taken)?,
            take_back: match buying.has("take_back") {
                true => self.list(&buying, "take_back", Self::take_back)?,
                false => Vec::new(),
            },
            pay: self.field(&buying, "pay", Self::pay)?,
            load: self.field(&buying, "load", Self::load)?,
            home: if buying.has("home") { self.maybe(&buying, "home", Self::home)? } else { None },
            notes: self.list(&buying, "notes", Self::text)?,
        })
    }

    fn take_back(&mut self, json: &Json, path: &str) -> Option<(String, i64, i64, Option<i64>)> {
        let back = self.object(json, path, &["board", "length", "count", "amount"])?;
        Some((
            self.field(&back, "board", Self::text)?,
            self.field(&back, "length", Self::length)?,
            self.field(&back, "count", Self::count)?,
            self.maybe(&back, "amount", Self::money)?,
        ))
    }

    fn home(&mut self, json: &Json, path: &str) -> Option<Home> {
        let home = self.object(json, path, &["cuts", "fee", "parted"])?;
        Some(Home {
            cuts: self.field(&home, "cuts", Self::count)?,
            fee: self.field(&home, "fee", Self::money)?,
            parted: self.list(&home, "parted", Self::parted)?,
        })
    }

    fn parted(&mut self, json: &Json, path: &str) -> Option<Parted> {
        let parted = self.object(json, path, &["kind", "name", "stock", "count", "pieces", "left"])?;
        Some(Parted {
            kind: self.field(&parted, "kind", Self::text)?,
            name: self.field(&parted, "name", Self::text)?,
            stock: self.field(&parted, "stock", Self::length)?,
            count: self.field(&parted, "count", Self::count)?,
            pieces: self.list(&parted, "pieces", Self::length)?,
            left: self.field(&parted, "left", Self::length)?,
        })
    }

    fn packs(&mut self, json: &Json, path: &str) -> Option<Packs> {
        let packs = self.object(json, path, &["holds", "count", "price"])?;
        Some(Packs {
            holds: self.field(&packs, "holds", Self::money)?,
            count: self.field(&packs, "count", Self::count)?,
            price: self.maybe(&packs, "price", Self::money)?,
        })
    }

    fn offcuts(&mut self, json: &Json, path: &str) -> Option<FromShed> {
        let taken = self.object(json, path, &["kind", "stock", "name", "size", "count"])?;
        Some(FromShed {
            kind: self.field(&taken, "kind", Self::text)?,
            stock: self.field(&taken, "stock", Self::text)?,
            name: self.field(&taken, "name", Self::text)?,
            size: self.list(&taken, "size", Self::length)?,
            count: self.field(&taken, "count", Self::count)?,
        })
    }

    fn taken(&mut self, json: &Json, path: &str) -> Option<(String, i64)> {
        let taken = self.object(json, path, &["name", "taken"])?;
        Some((self.field(&taken, "name", Self::text)?, self.field(&taken, "taken", Self::money)?))
    }

    fn pay(&mut self, json: &Json, path: &str) -> Option<Pay> {
        let pay = self.object(json, path, &["goods", "tax", "total", "delivery"])?;
        Some(Pay {
            goods: self.field(&pay, "goods", Self::money)?,
            tax: self.maybe(&pay, "tax", Self::money)?,
            total: self.field(&pay, "total", Self::money)?,
            delivery: self.maybe(&pay, "delivery", Self::money)?,
        })
    }

    fn load(&mut self, json: &Json, path: &str) -> Option<Load> {
        let load = self.object(json, path, &["longest", "mass", "unweighed", "trips"])?;
        Some(Load {
            longest: self.maybe(&load, "longest", Self::length)?,
            mass: self.maybe(&load, "mass", Self::money)?,
            unweighed: self.field(&load, "unweighed", Self::count)?,
            trips: self.maybe(&load, "trips", Self::count)?,
        })
    }

    pub(super) fn line(&mut self, json: &Json, path: &str) -> Option<Line> {
        let line =
            self.object(json, path, &["kind", "name", "size", "board", "used", "count", "packs", "price", "amount"])?;
        Some(Line {
            kind: self.field(&line, "kind", Self::text)?,
            name: self.field(&line, "name", Self::text)?,
            size: self.list(&line, "size", Self::length)?,
            board: self.maybe(&line, "board", Self::text)?,
            used: self.field(&line, "used", Self::count)?,
            count: self.field(&line, "count", Self::count)?,
            packs: self.list(&line, "packs", Self::packs)?,
            price: self.maybe(&line, "price", Self::money)?,
            amount: self.maybe(&line, "amount", Self::money)?,
        })
    }

    pub(super) fn need(&mut self, json: &Json, path: &str) -> Option<Need> {
        let need = self.object(json, path, &["piece", "what", "kind", "stock", "cubic_mm", "length"])?;
        Some(Need {
            piece: self.field(&need, "piece", Self::text)?,
            what: self.field(&need, "what", Self::text)?,
            kind: self.field(&need, "kind", Self::text)?,
            stock: self.field(&need, "stock", Self::text)?,
            cubic_mm: self.field(&need, "cubic_mm", Self::money)?,
            length: self.field(&need, "length", Self::length)?,
        })
    }

    pub(super) fn material(&mut self, json: &Json, path: &str) -> Option<Material> {
        let material =
            self.object(json, path, &["kind", "name", "length", "used", "count", "packs", "price", "amount"])?;
        Some(Material {
            kind: self.field(&material, "kind", Self::text)?,
            name: self.field(&material, "name", Self::text)?,
            length: self.field(&material, "length", Self::length)?,
            used: self.field(&material, "used", Self::money)?,
            count: self.field(&material, "count", Self::count)?,
            packs: self.list(&material, "packs", Self::packs)?,
            price: self.maybe(&material, "price", Self::money)?,
            amount: self.maybe(&material, "amount", Self::money)?,
        })
    }
}
