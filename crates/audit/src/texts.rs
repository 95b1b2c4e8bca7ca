//! The referee's own reader of plan, yard and shed: only what it needs, and no word about how to mend them.

mod form;
mod shop;
pub(crate) use shop::YardCuts;
mod ways;

pub(crate) use shop::{Finish, Fitting, Left, Pack, by_measure};

use crate::Texts;
use crate::able::Able;
use crate::daybook::{self, Standing};
use form::{Form, Table, length, length_of, mass, money, parse, percent, text, unit_of, whole};
use measure::{Density, Length, Percent, Tape, Unit};

/// What the three texts say.
pub(crate) struct Papers {
    pub title: String,
    pub tape: Tape,
    /// Whether its region is North America, by its key or by its units.
    pub in_america: bool,
    /// Whether the cheapest way is asked for and not the nearest.
    pub cheapest: bool,
    /// Whose tables the questions go by: `eu`, `na` or `anz`; of a plan that does not say, by its tape.
    pub region: String,
    /// Whether children play near it.
    pub children: bool,
    /// In the order of the text, as the way that is asked for has them.
    pub pieces: Vec<Piece>,
    /// Name and label of the ways to build the plan, the plan as it is written first; nothing if it states none.
    pub ways: Vec<(String, String)>,
    /// Minutes for a cut, a setting of the saw, measuring a board, a screw, a unit.
    pub minutes: [i64; 5],
    /// Whether the day book has begun.
    pub begun: bool,
    pub currency: String,
    /// The tax that comes on top, in hundredths of a percent.
    pub tax: Option<i64>,
    /// The price of a delivery, and the sum of goods from which up it costs nothing.
    pub delivery: Option<(i64, Option<i64>)>,
    pub finishes: Vec<Finish>,
    pub fittings: Vec<Fitting>,
    /// What is left of packs, in the order of the text.
    pub left: Vec<Left>,
    /// Kerf and trim of what sheets are cut with.
    pub sheet_saw: [i64; 2],
    /// The longest thing and the heaviest load that the car takes, if the shed says.
    pub car: (Option<i64>, Option<i64>),
    /// What the yard cuts for, if it does.
    pub cuts: Option<YardCuts>,
    /// How wide the door is, if the shed says.
    pub door: Option<i64>,
    /// What saw and bits can do.
    pub able: Able,
    /// In the order of the text, as are sheets and units.
    pub boards: Vec<Board>,
    pub sheets: Vec<Sheet>,
    pub units: Vec<Brick>,
    pub screws: Vec<Screw>,
    pub bags: Vec<Bag>,
    pub rolls: Vec<Roll>,
    pub kerf: i64,
    pub trim: i64,
    pub reserve_per_cut: i64,
    pub reserve_per_board: i64,
    pub people: i64,
    /// What one person lifts, in milligrams, if the shed says.
    pub lift: Option<i64>,
    /// What the day book says.
    pub standing: Standing,
}

impl Papers {
    /// Whether an extra is said to do something for a piece: `holds` or `carries`.
    pub fn is_done(&self, piece: &str, what: &str) -> bool {
        let mut extras = self.pieces.iter().filter(|extra| extra.is == "extra" && extra.named("does") == [what]);
        extras.any(|extra| extra.named("of").contains(&piece))
    }

    pub fn board(&self, name: &str) -> Option<&Board> {
        self.boards.iter().find(|board| board.name == name)
    }

    pub fn sheet(&self, name: &str) -> Option<&Sheet> {
        self.sheets.iter().find(|sheet| sheet.name == name)
    }

    pub fn unit(&self, name: &str) -> Option<&Brick> {
        self.units.iter().find(|unit| unit.name == name)
    }

    pub fn screw(&self, name: &str) -> Option<&Screw> {
        self.screws.iter().find(|screw| screw.name == name)
    }

    pub fn bag(&self, name: &str) -> Option<&Bag> {
        self.bags.iter().find(|bag| bag.name == name)
    }

    pub fn roll(&self, name: &str) -> Option<&Roll> {
        self.rolls.iter().find(|roll| roll.name == name)
    }

    /// Whether a stock has a price in every size on sale: only then can a total of it be compared with others.
    pub fn is_priced(&self, kind: &str, name: &str) -> bool {
        match kind {
            "board" => self.board(name).is_some_and(|board| board.lengths.iter().all(|sold| sold.price.is_some())),
            "sheet" => self.sheet(name).is_some_and(|sheet| sheet.sizes.iter().all(|sold| sold.price.is_some())),
            _ => self.unit(name).is_some_and(|unit| unit.packs.iter().all(|pack| pack.price.is_some())),
        }
    }
}

/// A board in its lengths.
pub(crate) struct Board {
    pub name: String,
    pub thickness: i64,
    /// How thick its thin edge is, if it tapers.
    pub thin_edge: Option<i64>,
    pub width: i64,
    pub material: Material,
    /// What it was treated for: 0 nothing, 1 outdoors, 2 the ground, 3 heavy use in the ground.
    pub treated: Option<i64>,
    pub lengths: Vec<Sold>,
}

impl Board {
    /// Takes what is at home, so many of each length and then single boards, in the place of what is on sale.
    pub fn at_home(&mut self, lots: std::collections::BTreeMap<i64, i64>, singles: Vec<Sold>) {
        let lot = |(length, count)| Sold { length, price: Some(0), stock: Some(count), ..Sold::default() };
        let offcuts: Vec<Sold> = self.lengths.iter().filter(|sold| sold.shed).cloned().collect();
        self.lengths = lots.into_iter().map(lot).chain(singles).chain(offcuts).collect();
        self.leave_out();
    }

    /// Whether the prices of all its lengths are known.
    pub fn is_priced(&self) -> bool {
        self.lengths.iter().all(|sold| sold.price.is_some())
    }

    /// Leaves out boards with bad stretches that cost something, past the sixth.
    pub fn leave_out(&mut self) {
        let priced = self.is_priced();
        let is_free = |sold: &Sold| sold.shed || (priced && sold.price == Some(0));
        let costs = |sold: &&mut Sold| !sold.bad.is_empty() && !is_free(sold);
        self.lengths.iter_mut().filter(costs).enumerate().for_each(|(at, sold)| sold.left_out = at >= 6);
    }
}

/// A sheet in its sizes.
pub(crate) struct Sheet {
    pub name: String,
    pub thickness: i64,
    pub material: Material,
    /// What it was treated for, as of a board.
    pub treated: Option<i64>,
    pub sizes: Vec<Sold>,
}

/// One size on sale, a single board, or an offcut of the shed: length, and width for a sheet.
#[derive(Clone, Default)]
pub(crate) struct Sold {
    pub length: i64,
    pub width: i64,
    pub price: Option<i64>,
    /// The price of a measure and each side with the measure's own, where the price comes from them.
    pub by: Option<Vec<i128>>,
    pub stock: Option<i64>,
    /// What a single board or an offcut is called.
    pub name: Option<String>,
    /// Whether it lies in the shed.
    pub shed: bool,
    /// Stretches that no part may contain, from the marked end.
    pub bad: Vec<[i64; 2]>,
    /// Whether it is one of too many boards with bad stretches.
    pub left_out: bool,
}

impl Sold {
    /// How many can be cut, if that is limited.
    pub fn supply(&self) -> Option<i64> {
        if self.left_out { Some(0) } else { self.stock }
    }

    /// Whether this is the one of such measures and such a name.
    pub fn is(&self, measures: [i64; 2], name: Option<&str>, shed: bool) -> bool {
        [self.length, self.width] == measures && self.name.as_deref() == name && self.shed == shed
    }
}

/// A unit that is laid whole.
pub(crate) struct Brick {
    pub name: String,
    pub length: i64,
    pub width: i64,
    pub thickness: i64,
    /// One by itself if it is sold so, then the packs.
    pub packs: Vec<Pack>,
    pub mass: Option<i64>,
    pub material: Material,
    /// In hundredths of a percent.
    pub spare: i64,
}

/// A kind of screw in its lengths.
pub(crate) struct Screw {
    pub name: String,
    pub diameter: i64,
    /// How well it stands up to water: 1 plated, 2 coated, 3 hot-dip, 4 stainless, 5 marine.
    pub metal: Option<i64>,
    pub lengths: Vec<Boxed>,
}

/// One length of a screw, by the box.
pub(crate) struct Boxed {
    pub length: i64,
    pub boxes: Vec<Pack>,
}

/// What is filled in and comes in bags.
pub(crate) struct Bag {
    pub name: String,
    /// The bags that it comes in, by cubic millimetres.
    pub sizes: Vec<Pack>,
    /// What a bag of each size weighs, in milligrams.
    pub masses: Vec<Option<i64>>,
    /// What a cubic metre of it weighs in place and wet, in kilograms, if the yard says.
    pub wet_density: Option<i64>,
}

/// What is laid out and comes off a roll.
pub(crate) struct Roll {
    pub name: String,
    pub width: i64,
    /// For a metre.
    pub price: Option<i64>,
}

/// How heavy something is said to be for its size.
#[derive(Clone, PartialEq, Debug)]
pub(crate) enum Material {
    Unknown,
    Named(String),
    Stated(i64),
}

/// A piece of the plan.
pub(crate) struct Piece {
    pub name: String,
    pub is: String,
    values: Table,
    unit: Unit,
    step: Length,
}

/// A wish.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Wish {
    pub want: i64,
    pub from: i64,
    pub to: i64,
    pub rank: i64,
}

impl Piece {
    /// Whether a key is written.
    pub fn has(&self, key: &str) -> bool {
        self.values.get(key).is_some()
    }

    /// The texts behind a key, of one or of a list of them; none where it is something else.
    pub fn named(&self, key: &str) -> Vec<&str> {
        match self.values.get(key) {
            Some(Form::Text(name)) => vec![name],
            Some(Form::List(items)) => items.iter().filter_map(Form::text).collect(),
            _ => Vec::new(),
        }
    }

    /// A text, or what holds if it is left out.
    pub fn word(&self, key: &str, usual: &str) -> Result<String, String> {
        match self.values.get(key) {
            None => Ok(usual.into()),
            Some(Form::Text(text)) => Ok(text.clone()),
            Some(_) => Err(format!("`{}.{key}` is no text", self.name)),
        }
    }

    /// A length in nanometres, or what holds if it is left out, in millimetres.
    pub fn length(&self, key: &str, usual: i64) -> Result<i64, String> {
        self.values.get(key).map_or(Ok(Length::mm(usual).nanometres()), |form| length(form, self.unit))
    }

    /// A share of a whole in hundredths of a percent, or what holds if it is left out.
    pub fn percent(&self, key: &str, usual: i64) -> Result<i64, String> {
        self.values.get(key).map_or(Ok(usual), percent)
    }

    /// A whole number, or what holds if it is left out.
    pub fn whole(&self, key: &str, usual: i64) -> Result<i64, String> {
        self.values.get(key).map_or(Ok(usual), whole)
    }

    /// Yes or no, or what holds if it is left out.
    pub fn truth(&self, key: &str, usual: bool) -> Result<bool, String> {
        match self.values.get(key) {
            None => Ok(usual),
            Some(Form::Truth(truth)) => Ok(*truth),
            Some(_) => Err(format!("`{}.{key}` is neither true nor false", self.name)),
        }
    }

    /// A price in hundredths, if it is written.
    pub fn money(&self, key: &str) -> Result<Option<i64>, String> {
        self.values.get(key).map(money).transpose()
    }

    /// The lengths behind a key; none if it is left out.
    pub fn lengths(&self, key: &str) -> Result<Vec<i64>, String> {
        match self.values.get(key) {
            None => Ok(Vec::new()),
            Some(Form::List(items)) => items.iter().map(|item| length(item, self.unit)).collect(),
            Some(_) => Err(format!("`{}.{key}` is no list", self.name)),
        }
    }

    /// The tables behind a key, each read as if it were a piece; none if it is left out.
    pub fn tables(&self, key: &str) -> Result<Vec<Piece>, String> {
        let Some(form) = self.values.get(key) else { return Ok(Vec::new()) };
        let Form::List(items) = form else { return Err(format!("`{}.{key}` is no list", self.name)) };
        let table = |item: &Form| match item {
            Form::Table(values) => Ok(Piece {
                name: format!("{}.{key}", self.name),
                is: String::new(),
                values: values.clone(),
                unit: self.unit,
                step: self.step,
            }),
            _ => Err(format!("`{}.{key}` is no list of tables", self.name)),
        };
        items.iter().map(table).collect()
    }

    /// The names behind a key; none if it is left out.
    pub fn names(&self, key: &str) -> Result<Vec<String>, String> {
        Ok(self.faces(key)?.unwrap_or_default())
    }

    /// The faces behind a key, if they are written.
    pub fn faces(&self, key: &str) -> Result<Option<Vec<String>>, String> {
        let Some(form) = self.values.get(key) else { return Ok(None) };
        let Form::List(items) = form else { return Err(format!("`{}.{key}` is no list", self.name)) };
        let name = |item: &Form| if let Form::Text(text) = item { Some(text.clone()) } else { None };
        let names: Option<Vec<String>> = items.iter().map(name).collect();
        names.map(Some).ok_or_else(|| format!("`{}.{key}` is no list of names", self.name))
    }

    /// The wish for a size: without a range it may go a tenth either way on the marks of the tape, between 50 mm and 20 m;
    /// its rank is 1 unless the plan says otherwise.
    pub fn size(&self, key: &str) -> Result<Wish, String> {
        self.wish(key, None, |want| {
            let tenth = Length::nm(Percent::new(10).of(want).nanometres());
            let (least, most) = (Length::mm(50), Length::mm(20_000));
            let from = (want - tenth).round_to(self.step).max(least).min(want);
            (from, (want + tenth).round_to(self.step).min(most).max(want), 1)
        })
    }

    /// The wish for a gap or joint: without a range it is exact; its rank is 2 unless the plan says otherwise.
    pub fn gap(&self, key: &str, usual: Option<i64>) -> Result<Wish, String> {
        self.wish(key, usual, |want| (want, want, 2))
    }

    fn wish(
        &self,
        key: &str,
        left_out: Option<i64>,
        usual: impl Fn(Length) -> (Length, Length, i64),
    ) -> Result<Wish, String> {
        let missing = || format!("`{}` says nothing of `{key}`", self.name);
        let table = match (self.values.get(key), left_out) {
            (Some(Form::Table(table)), _) => table,
            (form, left_out) => {
                let want = match (form, left_out) {
                    (Some(form), _) => length(form, self.unit)?,
                    (None, Some(want)) => want,
                    (None, None) => return Err(missing()),
                };
                let (from, to, rank) = usual(Length::nm(want));
                return Ok(Wish { want, from: from.nanometres(), to: to.nanometres(), rank });
            }
        };
        if let Some(exactly) = table.get("exactly") {
            let want = length(exactly, self.unit)?;
            let (_, _, rank) = usual(Length::nm(want));
            return Ok(Wish { want, from: want, to: want, rank });
        }
        let want = length(table.get("want").ok_or_else(missing)?, self.unit)?;
        let (from, to, rank) = usual(Length::nm(want));
        let end =
            |key: &str, usual: Length| table.get(key).map_or(Ok(usual.nanometres()), |form| length(form, self.unit));
        let rank = table.get("rank").map_or(Ok(rank), whole)?;
        Ok(Wish { want, from: end("from", from)?, to: end("to", to)?, rank })
    }
}

/// Reads the texts, the plan as a way has it; without one, as it is written.
///
/// # Errors
/// The first thing that the referee cannot read.
pub(crate) fn read_by(texts: &Texts<'_>, way: Option<&str>) -> Result<Papers, String> {
    let plan = parse(texts.plan).map_err(|wrong| format!("the plan cannot be read: {wrong}"))?;
    let (plan, ways) = ways::built(plan, way)?;
    let yard = parse(texts.yard).map_err(|wrong| format!("the yard cannot be read: {wrong}"))?;
    let shed = parse(texts.shed).map_err(|wrong| format!("the shed cannot be read: {wrong}"))?;
    let tape = tape(&plan)?;
    let yard_unit = unit_of(&yard)?;
    let shed_unit = unit_of(&shed)?;
    let from_saw = |table: &str, key: &str, usual: i64| {
        let form = shed.get(table).and_then(Form::table).and_then(|table| table.get(key));
        form.map_or(Ok(usual), |form| length(form, shed_unit))
    };
    let hands = shed.get("hands").and_then(Form::table);
    let hand = |key: &str| hands.and_then(|table| table.get(key));
    let kerf = shed.get("saw").and_then(Form::table).and_then(|saw| saw.get("kerf"));
    let kerf = length(kerf.ok_or("the shed does not say what the saw's kerf is")?, shed_unit)?;
    let trim = from_saw("saw", "trim", Length::mm(10).nanometres())?;
    let sheet_trim = if shed.get("sheet-saw").is_some() { Length::mm(10).nanometres() } else { trim };
    let sheet_saw = [from_saw("sheet-saw", "kerf", kerf)?, from_saw("sheet-saw", "trim", sheet_trim)?];
    let car = shed.get("car").and_then(Form::table);
    let car = |key: &str| car.and_then(|table| table.get(key));
    let mut papers = Papers {
        title: text(plan.get("title"))?,
        tape,
        in_america: match plan.get("region").and_then(Form::text) {
            Some(region) => region == "na",
            None => tape.unit() != Unit::Millimetre,
        },
        cheapest: matches!(plan.get("prefer"), Some(Form::Text(word)) if word == "cheapest"),
        region: match plan.get("region") {
            Some(form) => text(Some(form))?,
            None if tape.unit() == Unit::Millimetre => "eu".into(),
            None => "na".into(),
        },
        children: !matches!(plan.get("children"), Some(Form::Text(word)) if word == "none"),
        pieces: pieces(&plan, tape)?,
        ways,
        minutes: ways::minutes(&shed)?,
        begun: !texts.daybook.trim().is_empty(),
        currency: text(yard.get("currency"))?,
        boards: shelf(&yard, "board", |name, table| board(name, table, yard_unit))?,
        sheets: shelf(&yard, "sheet", |name, table| sheet(name, table, yard_unit))?,
        units: shelf(&yard, "unit", |name, table| brick(name, table, yard_unit))?,
        screws: shelf(&yard, "screw", |name, table| screw(name, table, yard_unit))?,
        bags: shelf(&yard, "bag", bag)?,
        rolls: shelf(&yard, "roll", |name, table| roll(name, table, yard_unit))?,
        tax: shop::tax(&yard)?,
        delivery: shop::delivery(&yard)?,
        finishes: shelf(&yard, "finish", shop::finish)?,
        fittings: shelf(&yard, "fitting", shop::fitting)?,
        left: Vec::new(),
        sheet_saw,
        car: (car("longest").map(|form| length(form, shed_unit)).transpose()?, car("load").map(mass).transpose()?),
        cuts: shop::cuts(&yard, yard_unit)?,
        door: shop::door(&shed, shed_unit)?,
        able: shop::able(&shed, shed_unit)?,
        kerf,
        trim,
        reserve_per_cut: from_saw("reserve", "per-cut", Length::nm(500_000).nanometres())?,
        reserve_per_board: from_saw("reserve", "per-board", Length::mm(2).nanometres())?,
        people: hand("people").map_or(Ok(1), whole)?,
        lift: hand("lift").map(mass).transpose()?,
        standing: Standing::default(),
    };
    shop::from_shed(&mut papers, &shed, shed_unit)?;
    papers.boards.iter_mut().for_each(Board::leave_out);
    daybook::stand(texts.daybook, texts.plan, &mut papers)?;
    if shed.get("sheet-saw").is_none() {
        // Then a test slot is that of the one saw there is.
        papers.sheet_saw = [papers.kerf, papers.trim];
    }
    Ok(papers)
}

/// Reads the texts of a plan that states one way only.
#[cfg(test)]
pub(crate) fn read(texts: &Texts<'_>) -> Result<Papers, String> {
    read_by(texts, None)
}

fn tape(plan: &Table) -> Result<Tape, String> {
    let unit = unit_of(plan)?;
    match plan.get("step") {
        None => Ok(Tape::usual(unit)),
        Some(form) => {
            let step = Length::nm(length(form, unit)?);
            Tape::new(unit, step).ok_or_else(|| "no tape has the marks that the plan's step says".into())
        }
    }
}

fn pieces(plan: &Table, tape: Tape) -> Result<Vec<Piece>, String> {
    let Some(Form::Table(named)) = plan.get("piece") else { return Err("the plan has no piece".into()) };
    let piece = |(name, form): &(String, Form)| {
        let Form::Table(values) = form else { return Err(format!("`{name}` is no piece")) };
        let is = text(values.get("is"))?;
        Ok(Piece { name: name.clone(), is, values: values.clone(), unit: tape.unit(), step: tape.step() })
    };
    named.entries.iter().map(piece).collect()
}

fn shelf<T>(yard: &Table, key: &str, read: impl Fn(&str, &Table) -> Result<T, String>) -> Result<Vec<T>, String> {
    let Some(form) = yard.get(key) else { return Ok(Vec::new()) };
    let Form::Table(named) = form else { return Err(format!("`{key}` is no table of the yard")) };
    let each = |(name, form): &(String, Form)| {
        let table = form.table().ok_or_else(|| format!("`{name}` is no {key}"))?;
        read(name, table).map_err(|wrong| format!("the {key} `{name}`: {wrong}"))
    };
    named.entries.iter().map(each).collect()
}

fn board(name: &str, table: &Table, unit: Unit) -> Result<Board, String> {
    let (thickness, width) = (length_of(table, "thickness", unit)?, length_of(table, "width", unit)?);
    Ok(Board {
        name: name.into(),
        thickness,
        thin_edge: table.get("thin-edge").map(|_| length_of(table, "thin-edge", unit)).transpose()?,
        width,
        material: material(table)?,
        treated: ranked(table, "treated", &["not", "outdoors", "ground", "heavy"])?,
        lengths: shop::lengths(table, unit, [width, thickness])?,
    })
}

fn sheet(name: &str, table: &Table, unit: Unit) -> Result<Sheet, String> {
    Ok(Sheet {
        name: name.into(),
        thickness: length_of(table, "thickness", unit)?,
        material: material(table)?,
        treated: ranked(table, "treated", &["not", "outdoors", "ground", "heavy"])?,
        sizes: shop::sizes(table, unit)?,
    })
}

fn brick(name: &str, table: &Table, unit: Unit) -> Result<Brick, String> {
    Ok(Brick {
        name: name.into(),
        length: length_of(table, "length", unit)?,
        width: length_of(table, "width", unit)?,
        thickness: length_of(table, "thickness", unit)?,
        packs: shop::of_unit(table)?,
        mass: table.get("mass").map(mass).transpose()?,
        material: material(table)?,
        spare: table.get("spare").map_or(Ok(500), percent)?,
    })
}

fn screw(name: &str, table: &Table, unit: Unit) -> Result<Screw, String> {
    let Some(Form::List(items)) = table.get("lengths") else { return Err("no lengths on sale".into()) };
    let each = |item: &Form| {
        let table = item.table().ok_or("a length that is no table")?;
        Ok(Boxed { length: length_of(table, "length", unit)?, boxes: shop::boxes(table)? })
    };
    let lengths = items.iter().map(each).collect::<Result<Vec<Boxed>, String>>()?;
    let metals = ["plated", "coated", "hot-dip", "stainless", "marine"];
    let metal = ranked(table, "metal", &metals)?.map(|rank| rank + 1);
    Ok(Screw { name: name.into(), diameter: length_of(table, "diameter", unit)?, metal, lengths })
}

fn bag(name: &str, table: &Table) -> Result<Bag, String> {
    let (sizes, masses) = shop::bags(table)?;
    let wet_density = table.get("wet-density").map(density).transpose()?;
    Ok(Bag { name: name.into(), sizes, masses, wet_density })
}

fn roll(name: &str, table: &Table, unit: Unit) -> Result<Roll, String> {
    let (width, price) = (length_of(table, "width", unit)?, table.get("price").map(money).transpose()?);
    Ok(Roll { name: name.into(), width, price })
}

fn density(form: &Form) -> Result<i64, String> {
    let value = u32::try_from(whole(form)?).map_err(|_| "a density out of all measure".to_string())?;
    Ok(Density::kg_per_m3(value).value().into())
}

/// The place of a word among those that a key may have.
fn ranked(table: &Table, key: &str, words: &[&str]) -> Result<Option<i64>, String> {
    let Some(form) = table.get(key) else { return Ok(None) };
    let place = words.iter().position(|word| matches!(form, Form::Text(text) if text == word));
    let place = place.ok_or_else(|| format!("a `{key}` that is none"))?;
    i64::try_from(place).map(Some).map_err(|_| "too many words".into())
}

fn material(table: &Table) -> Result<Material, String> {
    Ok(match (table.get("density"), table.get("material")) {
        (Some(form), _) => Material::Stated(density(form)?),
        (None, Some(Form::Text(name))) => Material::Named(name.clone()),
        (None, Some(_)) => return Err("a material that is no name".into()),
        (None, None) => Material::Unknown,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wishes_and_their_usual_ranges() {
        let text = "title=\"t\"\n[piece.b]\nis=\"walls\"\nlength=1500\nwidth={want=500,from=450,rank=2}\nheight={exactly=400.5}";
        let plan = parse(text).expect("TOML");
        let pieces = pieces(&plan, Tape::usual(Unit::Millimetre)).expect("a piece");
        let mm = 1_000_000;
        let wish = |want, from, to, rank| Ok(Wish { want, from, to, rank });
        assert_eq!(pieces[0].size("length"), wish(1500 * mm, 1350 * mm, 1650 * mm, 1));
        assert_eq!(pieces[0].size("width"), wish(500 * mm, 450 * mm, 550 * mm, 2));
        assert_eq!(pieces[0].size("height"), wish(400_500_000, 400_500_000, 400_500_000, 1));
        assert_eq!(pieces[0].gap("joint", Some(0)), wish(0, 0, 0, 2));
        assert!(pieces[0].gap("joint", None).is_err());
    }
}
