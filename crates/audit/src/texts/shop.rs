//! What shop and shed say of prices, packs and what is left, as the referee reads it.

use super::{Form, Papers, Sold, Table, density, length, length_of, mass, money, percent, text, whole};
use crate::able::Able;
use measure::Unit;

/// So many sold together; of what is poured, cubic millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pack {
    pub holds: i128,
    pub price: Option<i64>,
    pub stock: Option<i64>,
}

/// What is brushed on and comes in tins.
pub(crate) struct Finish {
    pub name: String,
    /// Its name in the shop.
    pub label: String,
    /// Thousandths of a square metre that a litre covers in the first coat, and in each after it.
    pub covers: [i64; 2],
    pub tins: Vec<Pack>,
}

/// The rest of a pack.
pub(crate) struct Left {
    pub name: String,
    /// The shelf and the name in the yard.
    pub kind: &'static str,
    pub of: String,
    /// How long screws are; 0 for all else.
    pub length: i64,
    pub amount: i128,
}

const METRE: i128 = 1_000_000_000;
const FOOT: i128 = 304_800_000;
const INCH: i128 = 25_400_000;

/// To the nearest whole number, halves up: a price times sides over the sides of its measure.
pub(crate) fn by_measure(x: &[i128]) -> Option<i128> {
    let (rate, sides) = x.split_first()?;
    let (mut above, mut below) = (*rate, 1_i128);
    for pair in sides.chunks(2) {
        let [side, of_measure] = pair else { return None };
        (above, below) = (above.checked_mul(*side)?, below.checked_mul(*of_measure)?);
    }
    let whole = below > 0 && above >= 0 && !sides.is_empty();
    whole.then(|| above.checked_add(below / 2).map(|sum| sum / below)).flatten()
}

fn coins(table: &Table, key: &str) -> Result<Option<i64>, String> {
    table.get(key).map(money).transpose()
}

fn list<'t>(table: &'t Table, key: &str) -> Result<Vec<&'t Table>, String> {
    match table.get(key) {
        None => Ok(Vec::new()),
        Some(Form::List(items)) => {
            let each = |item: &'t Form| item.table().ok_or_else(|| format!("an entry of `{key}` is no table"));
            items.iter().map(each).collect()
        }
        Some(_) => Err(format!("`{key}` is no list")),
    }
}

/// A price of its own, else by measure: `sides` gives what is multiplied for one length.
fn priced(table: &Table, sides: Option<Vec<i128>>) -> Result<(Option<i64>, Option<Vec<i128>>), String> {
    let own = coins(table, "price")?;
    let (None, Some(sides)) = (own, sides) else { return Ok((own, None)) };
    let price = by_measure(&sides).and_then(|price| i64::try_from(price).ok());
    Ok((price, Some(sides)))
}

/// Lengths on sale, then single boards.
pub(super) fn lengths(table: &Table, unit: Unit, real: [i64; 2]) -> Result<Vec<Sold>, String> {
    let side = |key: &str, real: i64| table.get(key).map_or(Ok(real), |form| length(form, unit)).map(i128::from);
    let (wide, thick) = (side("sold-width", real[0])?, side("sold-thickness", real[1])?);
    let rates = [
        coins(table, "per-metre")?,
        coins(table, "per-foot")?,
        coins(table, "per-board-foot")?,
        coins(table, "per-square-metre")?,
    ];
    let sides = |long: i64| {
        let long = i128::from(long);
        let of = |at: usize, sides: Vec<i128>| rates[at].map(|rate| [vec![i128::from(rate)], sides].concat());
        of(0, vec![long, METRE])
            .or(of(1, vec![long, FOOT]))
            .or(of(2, vec![long, FOOT, wide, FOOT, thick, INCH]))
            .or(of(3, vec![long, METRE, wide, METRE]))
    };
    let mut lengths = Vec::new();
    for (key, single) in [("lengths", false), ("each", true)] {
        for entry in list(table, key)? {
            let long = length_of(entry, "length", unit)?;
            let (price, by) = priced(entry, sides(long))?;
            let stock = if single { Some(1) } else { entry.get("stock").map(whole).transpose()? };
            let name = if single { Some(text(entry.get("name"))?) } else { None };
            let bad = bad(entry, unit)?;
            lengths.push(Sold { length: long, price, by, stock, name, bad, ..Sold::default() });
        }
    }
    if lengths.is_empty() { Err("no lengths on sale".into()) } else { Ok(lengths) }
}

/// Where each bad stretch of a board begins and ends.
fn bad(table: &Table, unit: Unit) -> Result<Vec<[i64; 2]>, String> {
    let stretch = |entry: &Table| Ok([length_of(entry, "from", unit)?, length_of(entry, "to", unit)?]);
    list(table, "bad")?.into_iter().map(stretch).collect()
}

/// Sizes of a sheet on sale.
pub(super) fn sizes(table: &Table, unit: Unit) -> Result<Vec<Sold>, String> {
    let rate = coins(table, "per-square-metre")?;
    let mut sizes = Vec::new();
    for entry in list(table, "sizes")? {
        let (long, wide) = (length_of(entry, "length", unit)?, length_of(entry, "width", unit)?);
        let sides = rate.map(|rate| vec![rate.into(), long.into(), METRE, wide.into(), METRE]);
        let (price, by) = priced(entry, sides)?;
        let stock = entry.get("stock").map(whole).transpose()?;
        sizes.push(Sold { length: long, width: wide, price, by, stock, ..Sold::default() });
    }
    if sizes.is_empty() { Err("no sizes on sale".into()) } else { Ok(sizes) }
}

fn pack(table: &Table, holds: i128) -> Result<Pack, String> {
    Ok(Pack { holds, price: coins(table, "price")?, stock: table.get("stock").map(whole).transpose()? })
}

fn counted(table: &Table, key: &str) -> Result<Vec<Pack>, String> {
    let each = |entry: &Table| pack(entry, whole(entry.get("count").ok_or("a pack without `count`")?)?.into());
    list(table, key)?.into_iter().map(each).collect()
}

/// A unit by itself, unless it is sold in packs only, and its packs.
pub(super) fn of_unit(table: &Table) -> Result<Vec<Pack>, String> {
    let mut packs = counted(table, "packs")?;
    let alone = pack(table, 1)?;
    if packs.is_empty() || alone.price.is_some() {
        packs.insert(0, alone);
    }
    Ok(packs)
}

/// The boxes of one length of screw: 100 in a box unless the yard says otherwise.
pub(super) fn boxes(table: &Table) -> Result<Vec<Pack>, String> {
    let boxes = counted(table, "boxes")?;
    if !boxes.is_empty() {
        return Ok(boxes);
    }
    let holds = table.get("box").map_or(Ok(100), whole)?.into();
    Ok(vec![Pack { holds, price: coins(table, "price")?, stock: None }])
}

/// A plain number of at most three decimals, in thousandths.
fn thousandths(form: &Form) -> Result<i128, String> {
    let Form::Number(written) = form else { return Err("no number".into()) };
    let (whole, decimals) = written.split_once('.').unwrap_or((written, ""));
    let figures = format!("{whole}{decimals:0<3}");
    let plain = decimals.len() <= 3 && whole.len() <= 9 && figures.bytes().all(|byte| byte.is_ascii_digit());
    figures.parse().ok().filter(|_| plain).ok_or_else(|| format!("no such number, `{written}`"))
}

/// A litre in cubic millimetres.
const LITRE: i128 = 1_000_000;

/// The bags of a kind, and what one of each weighs.
pub(super) fn bags(table: &Table) -> Result<(Vec<Pack>, Vec<Option<i64>>), String> {
    let weighs = |table: &Table| match (table.get("mass"), table.get("kilograms")) {
        (Some(form), _) | (None, Some(form)) => mass(form).map(Some),
        (None, None) => Ok(None),
    };
    if let Some(litres) = table.get("litres") {
        let one = Pack { holds: i128::from(whole(litres)?) * LITRE, price: coins(table, "price")?, stock: None };
        return Ok((vec![one], vec![weighs(table)?]));
    }
    let loose = table.get("loose-density").map(density).transpose()?;
    let (mut bags, mut masses) = (Vec::new(), Vec::new());
    for entry in list(table, "sizes")? {
        let holds = match (entry.get("litres").or(entry.get("yields")), entry.get("kilograms")) {
            (Some(form), None) => thousandths(form)? * LITRE / 1000,
            (None, Some(form)) => {
                // To the hundredth of a litre below, and no less than one.
                let loose = i128::from(loose.ok_or("a bag by weight without a density")?).max(1);
                let hundredths = i128::from(mass(form)?) * 1_000 / loose / (LITRE / 100);
                hundredths.max(1) * (LITRE / 100)
            }
            _ => return Err("a bag that does not say what it yields, or twice".into()),
        };
        bags.push(pack(entry, holds)?);
        masses.push(weighs(entry)?);
    }
    if bags.is_empty() { Err("`litres` is missing".into()) } else { Ok((bags, masses)) }
}

/// A bracket, hanger or bolt, by itself and in packs.
pub(crate) struct Fitting {
    pub name: String,
    pub packs: Vec<Pack>,
}

pub(super) fn fitting(name: &str, table: &Table) -> Result<Fitting, String> {
    Ok(Fitting { name: name.into(), packs: of_unit(table)? })
}

pub(super) fn finish(name: &str, table: &Table) -> Result<Finish, String> {
    let small = |form: &Form| thousandths(form).and_then(|value| i64::try_from(value).map_err(|_| "too much".into()));
    let first = small(table.get("first").ok_or("`first` is missing")?)?;
    let later = table.get("later").map_or(Ok(first), small)?;
    let mut tins = Vec::new();
    for entry in list(table, "tins")? {
        tins.push(pack(entry, thousandths(entry.get("litres").ok_or("a tin without litres")?)? * LITRE / 1000)?);
    }
    let label = table.get("label").map_or(Ok(name.to_string()), |form| text(Some(form)))?;
    Ok(Finish { name: name.into(), label, covers: [first, later], tins })
}

/// The tax that comes on top of the prices.
pub(super) fn tax(yard: &Table) -> Result<Option<i64>, String> {
    match yard.get("prices") {
        Some(Form::Text(word)) if word == "without tax" => {
            yard.get("tax").map(percent).transpose()?.ok_or_else(|| "prices without tax, and no tax".into()).map(Some)
        }
        _ => Ok(None),
    }
}

/// The price of a delivery, and from which sum of goods up it costs nothing.
pub(super) fn delivery(yard: &Table) -> Result<Option<(i64, Option<i64>)>, String> {
    let Some(table) = yard.get("delivery").and_then(Form::table) else { return Ok(None) };
    let price = coins(table, "price")?.ok_or("a delivery without a price")?;
    Ok(Some((price, coins(table, "free-from")?)))
}

/// What the yard cuts for: the price of a cut, how many are free, how far one may be off, and what its saw takes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct YardCuts {
    pub price: i64,
    pub free: i64,
    pub accuracy: i64,
    pub kerf: i64,
}

/// What the yard cuts for, if it does.
pub(super) fn cuts(yard: &Table, unit: Unit) -> Result<Option<YardCuts>, String> {
    let Some(table) = yard.get("cuts").and_then(Form::table) else { return Ok(None) };
    let price = coins(table, "price")?.ok_or("cuts without a price")?;
    let free = table.get("free").map_or(Ok(0), whole)?;
    let of = |key: &str, usual: i64| {
        let usual = measure::Length::mm(usual).nanometres();
        table.get(key).map_or(Ok(usual), |form| length(form, unit))
    };
    Ok(Some(YardCuts { price, free, accuracy: of("accuracy", 2)?, kerf: of("kerf", 4)? }))
}

/// How wide the door is.
pub(super) fn door(shed: &Table, unit: Unit) -> Result<Option<i64>, String> {
    let width = shed.get("door").and_then(Form::table).and_then(|table| table.get("width"));
    width.map(|form| length(form, unit)).transpose()
}

fn named<'t>(shed: &'t Table, key: &str) -> Result<Vec<(&'t str, &'t Table)>, String> {
    let Some(form) = shed.get(key) else { return Ok(Vec::new()) };
    let all = form.table().ok_or_else(|| format!("`{key}` is no table of the shed"))?;
    let each = |(name, form): &'t (String, Form)| {
        Ok((name.as_str(), form.table().ok_or_else(|| format!("`{name}` is no {key}"))?))
    };
    all.entries.iter().map(each).collect()
}

/// What saw and bits of the shed can do, as far as it says.
pub(super) fn able(shed: &Table, unit: Unit) -> Result<Able, String> {
    let key = |table: &str, key: &str| shed.get(table).and_then(Form::table).and_then(|table| table.get(key));
    let most = |name: &str| key("saw", name).map(|form| length(form, unit)).transpose();
    let degrees = |name: &str| key("saw", name).map(whole).transpose();
    let bits = match key("bits", "sizes") {
        None => None,
        Some(Form::List(sizes)) => Some(sizes.iter().map(|form| length(form, unit)).collect::<Result<_, _>>()?),
        Some(_) => return Err("the sizes of the bits are no list".into()),
    };
    Ok(Able {
        across: most("crosscut")?,
        fence: most("rip")?,
        turns: degrees("mitre")?,
        leans: degrees("tilt")?,
        other_for_sheets: shed.get("sheet-saw").is_some(),
        bits,
    })
}

/// Offcuts go behind the sizes of their kind, at no price; what is left of packs is kept in the order of the text.
pub(super) fn from_shed(papers: &mut Papers, shed: &Table, unit: Unit) -> Result<(), String> {
    for (name, table) in named(shed, "offcut")? {
        let of = text(table.get("of"))?;
        let wide = table.get("width").map_or(Ok(0), |form| length(form, unit))?;
        let offcut = Sold {
            length: length_of(table, "length", unit)?,
            width: wide,
            price: Some(0),
            stock: Some(table.get("count").map_or(Ok(1), whole)?),
            name: Some(name.into()),
            shed: true,
            bad: bad(table, unit)?,
            left_out: false,
            by: None,
        };
        if let Some(board) = papers.boards.iter_mut().find(|board| board.name == of) {
            board.lengths.push(offcut);
        } else if let Some(sheet) = papers.sheets.iter_mut().find(|sheet| sheet.name == of) {
            sheet.sizes.push(offcut);
        } else {
            return Err(format!("the offcut `{name}` is of `{of}`, which the yard has not"));
        }
    }
    for (name, table) in named(shed, "left")? {
        let of = text(table.get("of"))?;
        let kind = match () {
            _ if papers.unit(&of).is_some() => "unit",
            _ if papers.screw(&of).is_some() => "screw",
            _ if papers.bag(&of).is_some() => "bag",
            _ if papers.roll(&of).is_some() => "roll",
            _ if papers.finishes.iter().any(|finish| finish.name == of) => "finish",
            _ if papers.fittings.iter().any(|fitting| fitting.name == of) => "fitting",
            _ => return Err(format!("what is left of `{name}` is of `{of}`, which the yard has not")),
        };
        let amount = match (table.get("count"), table.get("litres"), table.get("metres")) {
            (Some(count), None, None) => whole(count)?.into(),
            (None, Some(litres), None) => thousandths(litres)? * LITRE / 1000,
            (None, None, Some(metres)) => thousandths(metres)? * METRE / 1000,
            _ => return Err(format!("what is left of `{name}` has no amount, or two")),
        };
        let length = table.get("length").map_or(Ok(0), |form| length(form, unit))?;
        papers.left.push(Left { name: name.into(), kind, of, length, amount });
    }
    Ok(())
}
