//! Every list as CSV (RFC 4180), for a spreadsheet: lengths in the tape's unit in plain decimals, the unit in the head.

use crate::{cards, fixings};
use advise::Settled;
use measure::{Length, Money, Unit};
use stages::buy::{MaterialKind, MaterialLine};

/// A list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct List {
    /// What it lists: `parts`, `cutting`, `buying`, `materials`, `fixings`, `cards`, `steps`.
    pub name: &'static str,
    /// Its text: one head line, then a line for each entry, each ended by CR LF.
    pub csv: String,
}

/// All lists of a settled plan. A list without entries is its head line.
pub fn lists(settled: &Settled) -> Vec<List> {
    let list = |name: &'static str, table: Table| List { name, csv: table.text };
    vec![
        list("parts", parts(settled)),
        list("cutting", cutting(settled)),
        list("buying", buying(settled)),
        list("materials", materials(settled)),
        list("fixings", fixed(settled)),
        list("cards", sawn(settled)),
        list("steps", steps(settled)),
    ]
}

/// A table as it grows.
struct Table {
    text: String,
}

impl Table {
    /// Heads, with the unit behind those that are lengths or money: `length [mm]`.
    fn new(settled: &Settled, heads: &[&str]) -> Table {
        let mut table = Table { text: String::new() };
        let (unit, currency) = (settled.plan.tape.unit_name(), &settled.plan.yard.currency);
        let head = |head: &&str| head.replace("[]", &format!("[{unit}]")).replace("[money]", &format!("[{currency}]"));
        table.line(heads.iter().map(head).collect());
        table
    }

    fn line(&mut self, fields: Vec<String>) {
        let fields: Vec<String> = fields.iter().map(|field| quoted(&harmless(field))).collect();
        self.text.push_str(&fields.join(","));
        self.text.push_str("\r\n");
    }
}

/// A field as it stands in a line: in quotes if it holds a comma, a quote or a line end.
fn quoted(field: &str) -> String {
    match field.contains([',', '"', '\r', '\n']) {
        true => format!("\"{}\"", field.replace('"', "\"\"")),
        false => field.to_owned(),
    }
}

/// A text that no spreadsheet takes for a formula: an apostrophe before what begins like one, unless it is a number.
fn harmless(field: &str) -> String {
    let begins = field.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
    if begins && !is_number(field) { format!("'{field}") } else { field.to_owned() }
}

/// Whether it is a plain decimal number.
fn is_number(field: &str) -> bool {
    let digits = field.strip_prefix('-').unwrap_or(field);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, "0"));
    let all = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    all(whole) && all(part)
}

/// A length in the tape's unit: millimetres exactly, inches to a millionth.
fn decimal(settled: &Settled, length: Length) -> String {
    let nanometres = i128::from(length.nanometres());
    let millionths = match settled.plan.tape.unit() {
        Unit::Millimetre => nanometres,
        // Half away from nothing; 1/64 in is 0.015625.
        Unit::Inch | Unit::FootInch => {
            let doubled = nanometres.abs() * 2_000_000 / 25_400_000;
            nanometres.signum() * (doubled + 1).div_euclid(2)
        }
    };
    let (sign, size) = (if millionths < 0 { "-" } else { "" }, millionths.unsigned_abs());
    let text = format!("{sign}{}.{:06}", size / 1_000_000, size % 1_000_000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn money(amount: Option<Money>) -> String {
    amount.map_or_else(String::new, |amount| amount.to_string())
}

fn parts(settled: &Settled) -> Table {
    let heads =
        ["id", "piece", "role", "face", "course", "place", "stock", "label", "length []", "width []", "thickness []"];
    let mut table = Table::new(settled, &heads);
    for part in &settled.build.parts {
        let (name, label) = settled.plan.yard.label(part.stock);
        let [course, place] = [part.key.course, part.key.index].map(|number| (u64::from(number) + 1).to_string());
        let own = [&part.id, &part.key.piece, &part.key.role, &part.key.face].map(String::clone);
        let solid = &part.solid;
        let sizes = [solid.length, solid.width, solid.thickness].map(|length| decimal(settled, length));
        let stock = [course, place, name.to_owned(), label.to_owned()];
        table.line(own.into_iter().chain(stock).chain(sizes).collect());
    }
    table
}

fn cutting(settled: &Settled) -> Table {
    let heads = [
        "kind",
        "stock",
        "label",
        "number",
        "name",
        "strip",
        "stock length []",
        "stock width []",
        "order",
        "part",
        "length []",
        "left []",
    ];
    let mut table = Table::new(settled, &heads);
    let mut add = |stock: model::stock::StockRef,
                   from: [String; 3],
                   sizes: [String; 2],
                   parts: &[usize],
                   left: Length,
                   first: u32| {
        let (name, label) = settled.plan.yard.label(stock);
        for (order, part) in (first..).zip(parts.iter().map(|&part| &settled.build.parts[part])) {
            let of = [stock.kind.word().to_owned(), name.to_owned(), label.to_owned()];
            let own = [order.to_string(), part.id.clone(), decimal(settled, part.solid.length), decimal(settled, left)];
            table.line(of.into_iter().chain(from.clone()).chain(sizes.clone()).chain(own).collect());
        }
    };
    for section in &settled.cutting.sections {
        let kind = &settled.plan.yard.boards[section.stock.place];
        let boards = section.cuts.iter().flat_map(|cut| cut.boards.iter().map(move |board| (cut, board)));
        for (number, (cut, board)) in (1..).zip(boards) {
            let sizes = [cut.stock_length, kind.width].map(|length| decimal(settled, length));
            let name = kind.lengths[cut.length].name.clone().unwrap_or_default();
            let from = |stretch: String| [number.to_string(), name.clone(), stretch];
            if cut.stretches.is_empty() {
                add(section.stock, from(String::new()), sizes.clone(), board, cut.slack, 1);
            }
            for (place, stretch) in (1..).zip(&cut.stretches) {
                // A board yields far fewer parts than a u32 counts.
                let first = stretch.parts.start as u32 + 1;
                let parts = &board[stretch.parts.clone()];
                add(section.stock, from(u32::to_string(&place)), sizes.clone(), parts, stretch.slack, first);
            }
        }
    }
    for sheets in &settled.cutting.sheets {
        for (number, sheet) in (1..).zip(&sheets.sheets) {
            let sizes = sheet.measures.map(|length| decimal(settled, length));
            let sold = &settled.plan.yard.sheets[sheets.stock.place].sizes[sheet.size];
            for (place, strip) in (1..).zip(&sheet.strips) {
                let name = sold.name.clone().unwrap_or_default();
                let from = [u32::to_string(&number), name, u32::to_string(&place)];
                add(sheets.stock, from, sizes.clone(), &strip.parts, strip.slack, 1);
            }
        }
    }
    table
}

fn buying(settled: &Settled) -> Table {
    let heads = [
        "kind",
        "stock",
        "label",
        "name",
        "length []",
        "width []",
        "used",
        "buy",
        "packs",
        "price [money]",
        "amount [money]",
    ];
    let mut table = Table::new(settled, &heads);
    for line in &settled.buying.lines {
        let (name, label) = settled.plan.yard.label(line.stock);
        let size = |place: usize| line.size.get(place).map_or_else(String::new, |length| decimal(settled, *length));
        table.line(vec![
            line.stock.kind.word().to_owned(),
            name.to_owned(),
            label.to_owned(),
            line.name.clone().unwrap_or_default(),
            size(0),
            size(1),
            line.used.to_string(),
            line.count.to_string(),
            packs(&line.packs, 1),
            money(line.price),
            money(line.amount),
        ]);
    }
    table
}

/// Which packs: `2 x 100; 1 x 25`, each by what it holds in the unit of what is used.
fn packs(packs: &[stages::buy::Packs], one: u64) -> String {
    let said = |packs: &stages::buy::Packs| {
        let holds =
            format!("{}.{:09}", packs.holds / one, u128::from(packs.holds % one) * 1_000_000_000 / u128::from(one));
        format!("{} x {}", packs.count, holds.trim_end_matches('0').trim_end_matches('.'))
    };
    packs.iter().map(said).collect::<Vec<String>>().join("; ")
}

/// How much of what is counted makes one of the unit that [`used`] tells.
fn one(kind: MaterialKind) -> u64 {
    match kind {
        MaterialKind::Screw | MaterialKind::Fitting | MaterialKind::Extra => 1,
        MaterialKind::Bag | MaterialKind::Finish => 1_000_000,
        MaterialKind::Roll => 1_000_000_000,
    }
}

/// How much is used, and in what: screws, fittings and extras by the piece, fillings in litres, rolls in metres.
fn used(line: &MaterialLine) -> [String; 2] {
    let decimals = |value: i128, unit: i128| {
        let text = format!("{}.{:09}", value / unit, value % unit * (1_000_000_000 / unit));
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    };
    match line.kind {
        MaterialKind::Screw | MaterialKind::Fitting | MaterialKind::Extra => [line.used.to_string(), "pieces".into()],
        MaterialKind::Bag | MaterialKind::Finish => [decimals(line.used, 1_000_000), "L".into()],
        MaterialKind::Roll => [decimals(line.used, 1_000_000_000), "m".into()],
    }
}

fn materials(settled: &Settled) -> Table {
    let heads =
        ["kind", "stock", "label", "length []", "used", "used in", "buy", "packs", "price [money]", "amount [money]"];
    let mut table = Table::new(settled, &heads);
    for line in &settled.buying.materials {
        let length = if line.kind == MaterialKind::Screw { decimal(settled, line.length) } else { String::new() };
        let [amount, unit] = used(line);
        table.line(vec![
            line.kind.word().to_owned(),
            line.name.clone(),
            line.label.clone(),
            length,
            amount,
            unit,
            line.count.to_string(),
            packs(&line.packs, one(line.kind)),
            money(line.price),
            money(line.amount),
        ]);
    }
    table
}

fn fixed(settled: &Settled) -> Table {
    let heads = [
        "held",
        "base",
        "screw",
        "label",
        "diameter []",
        "length []",
        "pilot []",
        "clearance []",
        "places",
        "at each",
        "screws",
    ];
    let mut table = Table::new(settled, &heads);
    for alike in fixings::alike(settled) {
        let (screw, one) = (&settled.plan.yard.screws[alike.one.screw], alike.one);
        let words = [alike.letters[0], alike.letters[1], &screw.name, &screw.label].map(str::to_owned);
        let holes = [screw.diameter, one.length, one.pilot, one.clearance].map(|length| decimal(settled, length));
        let counts = [alike.joints, one.heads.len(), alike.screws].map(|count| count.to_string());
        table.line(words.into_iter().chain(holes).chain(counts).collect());
    }
    table
}

fn sawn(settled: &Settled) -> Table {
    let heads = [
        "card",
        "set-up",
        "work",
        "stock",
        "label",
        "stop []",
        "read",
        "mitre [°]",
        "tilt [°]",
        "other mitre [°]",
        "other tilt [°]",
        "flip",
        "stop stays",
        "from",
        "from length []",
        "order",
        "makes",
        "before []",
        "least before []",
        "rest []",
    ];
    let mut table = Table::new(settled, &heads);
    let degrees = |tenths: i32| {
        let sign = if tenths < 0 { "-" } else { "" };
        format!("{sign}{}.{}", tenths.abs() / 10, tenths.abs() % 10)
    };
    for (number, card) in (1..).zip(&settled.sawing.cards) {
        let (name, label) = settled.plan.yard.label(card.stock);
        let [one, other] = card.ends.0;
        let head = [number.to_string(), card.set_up.to_string(), card.work.word().into(), name.into(), label.into()];
        let blade = [one.mitre, one.tilt, other.mitre, other.tilt].map(degrees);
        let stays = if card.stop_stays { "yes" } else { "no" };
        let setting = [decimal(settled, card.stop), card.reads.word().into()];
        let turned = [card.flip.word().into(), stays.into()];
        for lot in &card.lots {
            let mut before = lot.start;
            for (order, cut) in (1..).zip(&lot.cuts) {
                let from = [format!("{} {}", cards::stock(card, false), lot.from), decimal(settled, lot.length)];
                let made = [order.to_string(), cards::makes(settled, cut)];
                let readings = [before, cut.least, cut.rest].map(|length| decimal(settled, length));
                before = cut.rest;
                let all = head.iter().chain(&setting).chain(&blade).chain(&turned).chain(&from).chain(&made);
                table.line(all.chain(&readings).cloned().collect());
            }
        }
    }
    table
}

fn steps(settled: &Settled) -> Table {
    let mut table = Table::new(settled, &["step", "piece", "work", "what", "parts", "at hand", "care", "after"]);
    let ids: std::collections::BTreeMap<_, _> =
        settled.build.parts.iter().map(|part| (&part.key, part.id.as_str())).collect();
    for (number, ordered) in (1..).zip(&settled.making.steps) {
        let step = &ordered.step;
        let work = ordered.work.word();
        let parts: Vec<&str> = step.parts.iter().filter_map(|key| ids.get(key).copied()).collect();
        let after: Vec<String> = ordered.after.iter().map(|before| (before + 1).to_string()).collect();
        let number: u64 = number;
        table.line(vec![
            number.to_string(),
            step.piece.clone(),
            work.to_owned(),
            step.what.clone(),
            parts.join(" "),
            ordered.tools.join("; "),
            step.caution.clone().unwrap_or_default(),
            after.join(" "),
        ]);
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4180, section 2, rules 5 to 7: commas, quotes and line ends stand in quotes, a quote twice.
    #[test]
    fn fields_are_quoted() {
        let cases =
            [("a", "a"), ("a,b", "\"a,b\""), ("2\" x 4\"", "\"2\"\" x 4\"\"\""), ("a\nb", "\"a\nb\""), ("", "")];
        for (field, written) in cases {
            assert_eq!(quoted(field), written);
        }
    }

    #[test]
    fn nothing_is_taken_for_a_formula() {
        for bad in ["=1+1", "+1", "-x", "@sum", "\t=1", "-1-1", "-", "--1", "\r=1", "-1e5", "\n=1"] {
            assert_eq!(harmless(bad), format!("'{bad}"));
        }
        for good in ["-1.5", "-12", "0", "7.25", "deck = 3", ""] {
            assert_eq!(harmless(good), good);
        }
    }
}
