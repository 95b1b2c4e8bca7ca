//! What was decided, in the sentences that the terminal and the page share.

use advise::{Because, Drawn, NoPrice, Settled, Way};
use fit::Closing;
use measure::{
    Factor, Force, Length, LineLoad, Mass, Moment, Money, Percent, Pressure, Share, Speed, Tape, Unit, UnitWeight,
};
use model::plan::Prefer;
use model::schema::StockKind;
use model::stock::From;
use model::why::{Of, Value};
use packing::Status;
use pieces::Asked;
use stages::buy::{Line, MaterialKind, MaterialLine, Packs};
use stages::cut::{BoardCut, Breaks, Section, Stretch};
use std::collections::BTreeMap;

/// The members of a row: `11 × 145`, `4 × 90 + 3 × 45` for a pattern, or `5 lower edges` of boards that lap.
pub(crate) fn members(row: &model::build::Row, tape: Tape) -> String {
    if row.is_of_marks() {
        return format!("{} lower edges", row.count);
    }
    let kinds = row.kinds();
    let kinds: Vec<String> =
        kinds.iter().map(|(count, member)| format!("{count} × {}", tape.show_exact(*member))).collect();
    kinds.join(" + ")
}

/// The one line that says it all: sizes, units, gaps, money.
pub fn one_line(settled: &Settled) -> String {
    let closing = &settled.ways[settled.chosen].closing;
    let mut facts: Vec<String> = Vec::new();
    for line in settled.buying.lines.iter().filter(|line| line.stock.kind == StockKind::Unit) {
        facts.push(format!("{} × {}, none cut", line.used, settled.plan.yard.label(line.stock).1));
    }
    facts.extend(gaps(settled, closing));
    let sizes = sizes(settled, &closing.sizes);
    let facts = if facts.is_empty() { sizes } else { format!("{sizes}: {}", facts.join("; ")) };
    format!("{facts}. {}", money(settled))
}

/// The line of a plan that is drawn and not priced: its sizes and gaps.
pub fn drawn_line(drawn: &Drawn) -> String {
    let (sizes, gaps) = (sizes_of(&drawn.asked, &drawn.closing.sizes), gaps_of(&drawn.asked, &drawn.closing));
    if gaps.is_empty() { sizes } else { format!("{sizes}: {}", gaps.join("; ")) }
}

/// Why a way is listed, and its gaps.
pub fn remark(settled: &Settled, place: usize) -> String {
    let gaps = gaps(settled, &settled.ways[place].closing).join(", ");
    let because = because(settled, place);
    if gaps.is_empty() { because } else { format!("{because}; {gaps}") }
}

/// How good a cutting plan of boards is: proven cheapest, or how far from the proven bound.
pub fn cut_status(settled: &Settled, section: &Section) -> String {
    let Status::Bound { lower, .. } = &section.status else {
        let best =
            if section.priced { "proven cheapest" } else { "proven least length in all, since a price is missing" };
        return best.into();
    };
    let show = |cost: i64| match section.priced {
        true => format!("{} {}", Money::hundredths(cost), settled.plan.yard.currency),
        // Without prices the engine counts lengths in thousandths of a millimetre.
        false => settled.plan.tape.show_with_unit(Length::nm(cost.saturating_mul(1000))),
    };
    format!("{}, and none costs less than {}", show(section.engine_cost), show(*lower))
}

/// The sizes of a closing: piece by piece, `1510 × 520 × 451`.
pub fn sizes(settled: &Settled, sizes: &[i64]) -> String {
    sizes_of(&settled.asked, sizes)
}

fn sizes_of(asked: &Asked, sizes: &[i64]) -> String {
    let mut pieces: Vec<(&str, Vec<String>)> = Vec::new();
    for (size, &length) in asked.problem.sizes.iter().zip(sizes) {
        let piece = size.name.split('.').next().unwrap_or_default();
        let shown = asked.tape.show(Length::nm(length));
        match pieces.last_mut() {
            Some((last, shown_sizes)) if *last == piece => shown_sizes.push(shown),
            _ => pieces.push((piece, vec![shown])),
        }
    }
    let one = pieces.len() == 1;
    let piece = |(name, sizes): &(&str, Vec<String>)| {
        let sizes = sizes.join(" × ");
        if one { sizes } else { format!("{name} {sizes}") }
    };
    pieces.iter().map(piece).collect::<Vec<String>>().join(", ")
}

/// The names of the sizes in the order of [`sizes`]: `length × width × height`.
pub fn size_names(settled: &Settled) -> String {
    let name = |size: &fit::Size| size.name.split('.').nth(1).unwrap_or_default().replace('-', " ");
    settled.asked.problem.sizes.iter().map(name).collect::<Vec<String>>().join(" × ")
}

/// Each gap of a closing with its least and largest value: `ring joint 10`, `skin gap 7.1 to 8`. A gap that was asked to be
/// none is not spoken of.
pub fn gaps(settled: &Settled, closing: &Closing) -> Vec<String> {
    gaps_of(&settled.asked, closing)
}

fn gaps_of(asked: &Asked, closing: &Closing) -> Vec<String> {
    let mut of_gap: BTreeMap<usize, Vec<Share>> = BTreeMap::new();
    for (at, (run, gap)) in asked.problem.runs.iter().zip(&closing.gaps).enumerate() {
        let share = gap.as_ref().and_then(|gap| asked.gaps(at, gap));
        of_gap.entry(run.gap).or_default().extend(share);
    }
    let tape = asked.tape;
    let butted = |gap: usize| {
        let wish = asked.problem.gaps[gap].wish;
        (wish.from, wish.to) == (0, 0)
    };
    let said = of_gap.into_iter().filter(|(gap, _)| !butted(*gap)).filter_map(|(gap, mut shares)| {
        shares.sort_by_key(|share| share.first(1));
        let (least, most) = (tape.show_gap(*shares.first()?), tape.show_gap(*shares.last()?));
        let name = asked.problem.gaps[gap].name.replace('.', " ");
        Some(if least == most { format!("{name} {least}") } else { format!("{name} {least} to {most}") })
    });
    said.collect()
}

/// The ids of parts that lie at one place of several boards or sheets: all of a few, else the first two.
pub(crate) fn ids(settled: &Settled, places: impl Iterator<Item = usize>) -> String {
    let ids: Vec<&str> = places.map(|place| settled.build.parts[place].id.as_str()).collect();
    match ids.as_slice() {
        [first, second, _, _, ..] => format!("{first}, {second}, …"),
        few => few.join(", "),
    }
}

/// What is bought, shelf by shelf: `59.22 GBP of boards, 60.75 GBP of units`.
pub fn money(settled: &Settled) -> String {
    let mut shelves: BTreeMap<StockKind, Money> = BTreeMap::new();
    for line in &settled.buying.lines {
        let shelf = shelves.entry(line.stock.kind).or_default();
        *shelf = *shelf + line.amount.unwrap_or_default();
    }
    let currency = &settled.plan.yard.currency;
    let shelf = |(kind, sum): (&StockKind, &Money)| format!("{sum} {currency} of {}s", kind.word());
    if settled.buying.unpriced == settled.buying.lines.len() {
        return "No prices in the yard".into();
    }
    let mut text = shelves.iter().map(shelf).collect::<Vec<String>>().join(", ");
    if shelves.len() > 1 {
        text += &format!(": {} {currency} in all", settled.buying.total);
    }
    match settled.buying.unpriced {
        0 => text,
        1 => format!("{text}, and one line without a price"),
        some => format!("{text}, and {some} lines without a price"),
    }
}

/// Why a way is listed, in words. `place` counts from 0; ways are numbered from 1 where they are printed.
pub fn because(settled: &Settled, place: usize) -> String {
    let way = &settled.ways[place];
    match way.because {
        Because::Near(0) => "nearest to the wishes".into(),
        Because::Near(_) => differs(settled, way),
        Because::SizesFirst => "sizes kept, gaps and joints follow".into(),
        Because::FewestMembers => "fewest pieces to lay and fix".into(),
        Because::Cheaper { size } => give(settled, way, size),
        Because::Roomier { size } => roomier(settled, way, size),
    }
}

/// How the choices and counts of a way differ from those of the nearest: `ring front 13 for 14`.
fn differs(settled: &Settled, way: &Way) -> String {
    let (problem, nearest) = (&settled.asked.problem, &settled.ways[0].closing);
    let choices = problem.choices.iter().enumerate().filter(|(at, _)| way.closing.choices[*at] != nearest.choices[*at]);
    let mut said: Vec<String> = choices.map(|(at, choice)| choice.options[way.closing.choices[at]].clone()).collect();
    for (at, run) in problem.runs.iter().enumerate() {
        if let (Some(count), Some(before)) = (way.closing.counts[at], nearest.counts[at])
            && count != before
        {
            said.push(format!("{} {count} for {before}", run.name.replace('.', " ")));
        }
    }
    let more = said.len().saturating_sub(3);
    said.truncate(3);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    if said.is_empty() { "another closing".into() } else { format!("{}{more}", said.join(", ")) }
}

/// How far the sizes give from another way and what that keeps: `as 1, but trough length 17 mm less: keeps 2.82`.
fn give(settled: &Settled, way: &Way, size: usize) -> String {
    let tape = settled.plan.tape;
    let named = |size: usize| settled.asked.problem.sizes[size].name.replace('.', " ");
    let same = |other: &Way| {
        matches!(other.because, Because::Near(_))
            && (&other.closing.choices, &other.closing.counts) == (&way.closing.choices, &way.closing.counts)
    };
    let from = settled.ways.iter().position(same);
    let prices = from.and_then(|from| Some((from, settled.ways[from].price.ok()?, way.price.ok()?)));
    let Some((from, before, after)) = prices else { return format!("{} gives", named(size)) };
    let moved = |size: usize| {
        let by = Length::nm(way.closing.sizes[size] - settled.ways[from].closing.sizes[size]);
        let word = if by > Length::ZERO { "more" } else { "less" };
        (by != Length::ZERO).then(|| format!("{} {} {word}", named(size), tape.show_with_unit(by.abs())))
    };
    let moved: Vec<String> = (0..way.closing.sizes.len()).filter_map(moved).collect();
    format!("as {}, but {}: keeps {}", from + 1, moved.join(", "), before.total - after.total)
}

/// How the sizes give from a tight way: `as 2, but left length 0.5 mm less: comfortable`.
fn roomier(settled: &Settled, way: &Way, size: usize) -> String {
    let beside = |other: &&Way| {
        (&other.closing.choices, &other.closing.counts) == (&way.closing.choices, &way.closing.counts)
            && other
                .price
                .is_ok_and(|other| way.price.is_ok_and(|way| way.total <= other.total && way.tight < other.tight))
    };
    let from = settled.ways.iter().position(|other| beside(&other));
    let named = settled.asked.problem.sizes[size].name.replace('.', " ");
    let Some(from) = from else { return format!("{named} gives") };
    let by = Length::nm(way.closing.sizes[size] - settled.ways[from].closing.sizes[size]);
    let word = if by > Length::ZERO { "more" } else { "less" };
    let then = if way.price.is_ok_and(|price| price.tight == 0) { "comfortable to cut" } else { "fewer tight boards" };
    format!("as {}, but {named} {} {word}: {then}", from + 1, settled.plan.tape.show_with_unit(by.abs()))
}

/// What was chosen where the plan left it open: `skin corners: pinwheel`.
pub fn choices(settled: &Settled, closing: &Closing) -> Vec<String> {
    let chosen = settled.asked.problem.choices.iter().zip(&closing.choices);
    chosen.map(|(choice, &option)| format!("{}: {}", choice.name.replace('.', " "), choice.options[option])).collect()
}

/// The price of a way, or that it cannot be bought.
pub fn price(way: &Way) -> String {
    match way.price {
        Err(NoPrice::NotToBeHad) => "not to be had".into(),
        Err(NoPrice::NotAsked) => "not priced".into(),
        Ok(price) if !price.complete => "prices missing".into(),
        Ok(price) if price.tight > 0 => format!("{} ({} tight)", price.total, price.tight),
        Ok(price) => price.total.to_string(),
    }
}

/// Whether fit's choice is proven, with the domain it is proven for.
pub fn proven(settled: &Settled) -> String {
    let problem = &settled.asked.problem;
    let tape = settled.plan.tape;
    let show = |value: i64| tape.show_exact(Length::nm(value));
    // Inches carry their marks.
    let unit = if tape.unit() == Unit::Millimetre { " mm" } else { "" };
    let range = |wish: &fit::Wish| {
        if wish.from == wish.to { show(wish.want) } else { format!("{}–{}", show(wish.from), show(wish.to)) }
    };
    let named = |name: &str, wish: &fit::Wish| format!("{} {}", name.replace('.', " "), range(wish));
    let sizes = problem.sizes.iter().map(|size| named(&size.name, &size.wish));
    let gaps = problem.gaps.iter().map(|gap| named(&gap.name, &gap.wish));
    let domain = sizes.chain(gaps).collect::<Vec<String>>().join(", ");
    let step = tape.show_with_unit(tape.step());
    let found = settled.answer.found;
    let count = match (found.count, found.capped) {
        (1, false) => "the only closing there is".to_owned(),
        (count, false) => format!("the nearest of {count} closings"),
        (count, true) => format!("the nearest of {count} closings and more"),
    };
    let picked = match settled.plan.prefer {
        Prefer::Cheapest => "the cheapest",
        Prefer::Closest => "the nearest that can be had",
    };
    match settled.answer.status {
        fit::Status::Proven if settled.chosen != 0 => format!(
            "way {} of those listed, {picked}; way 1 is proven {count} within {domain}{unit}, sizes in steps of {step}",
            settled.chosen + 1
        ),
        fit::Status::Proven => format!("proven {count} within {domain}{unit}, sizes in steps of {step}"),
        _ => format!("the nearest found within {} steps of search, not proven", settled.answer.steps),
    }
}

/// Things by their ascending numbers, those that follow one another as a range: `board 3`, `boards 1–2`, `sheets 1, 3–5`.
pub(crate) fn numbered(what: &str, numbers: &[u32]) -> String {
    let rows = numbers.chunk_by(|one, next| one + 1 == *next);
    let told = rows.map(|row| match row {
        [first, .., last] => format!("{first}–{last}"),
        _ => row[0].to_string(),
    });
    let several = if numbers.len() == 1 { "" } else { "s" };
    format!("{what}{several} {}", told.collect::<Vec<String>>().join(", "))
}

/// Lengths that follow one another, equal ones together: `2 × 1510 + 1 × 480`.
fn grouped(settled: &Settled, lengths: &[Length]) -> String {
    let tape = settled.plan.tape;
    let groups = lengths.chunk_by(|one, next| one == next);
    groups.map(|alike| format!("{} × {}", alike.len(), tape.show(alike[0]))).collect::<Vec<String>>().join(" + ")
}

/// Where a clear stretch lies on its board, from the marked end: `0 to 900`.
pub(crate) fn span(settled: &Settled, [from, to]: [Length; 2]) -> String {
    let tape = settled.plan.tape;
    format!("{} to {}", tape.show_exact(from), tape.show_exact(to))
}

/// The clear stretches of a board with parts, each with its number: `stretch 1, clear from 0 to 900: 2 × 400; 87 left, breaks …`.
pub(crate) fn stretches(settled: &Settled, cut: &BoardCut) -> Vec<String> {
    let with_parts = (1..).zip(&cut.stretches).filter(|(_, stretch)| !stretch.parts.is_empty());
    let told = |(number, stretch): (u32, &Stretch)| {
        let clear = span(settled, [stretch.clear.from, stretch.clear.to]);
        let groups = grouped(settled, &cut.lengths[stretch.parts.clone()]);
        let breaks = stretch.breaks(&cut.lengths).map_or_else(String::new, |breaks| breaks_at(settled, breaks));
        let left = settled.plan.tape.show_exact(stretch.slack);
        format!(
            "stretch {number}, clear from {clear}: {groups}; {left} left, {breaks}, {}",
            comfort(stretch.comfortable)
        )
    };
    with_parts.map(told).collect()
}

/// One way of cutting a board: `3600: 2 × 1510 + 1 × 480; 84 left, breaks at kerf 45, comfortable`.
pub fn pattern(settled: &Settled, cut: &BoardCut) -> String {
    let stock = settled.plan.tape.show(cut.stock_length);
    if cut.stretches.is_empty() {
        return format!("{stock}: {}; {}", grouped(settled, &cut.lengths), left(settled, cut));
    }
    format!("{stock}: {}", stretches(settled, cut).join(" | "))
}

/// What a single board or an offcut is called, in brackets behind its length; empty for a length on sale.
pub fn called(settled: &Settled, section: &Section, cut: &BoardCut) -> String {
    let sold = &settled.plan.yard.boards[section.stock.place].lengths[cut.length];
    match (&sold.name, sold.from) {
        (None, _) => String::new(),
        (Some(name), From::Yard) => format!(" ({name})"),
        (Some(name), From::Shed) => format!(" (offcut {name})"),
    }
}

/// What a way of cutting leaves and where it breaks: `84 left, breaks at kerf 45, comfortable`.
pub fn left(settled: &Settled, cut: &BoardCut) -> String {
    format!("{} left, {}", settled.plan.tape.show_exact(cut.slack), holds(settled, cut))
}

/// Where a way of cutting breaks: `breaks at kerf 45, comfortable`.
pub fn holds(settled: &Settled, cut: &BoardCut) -> String {
    format!("{}, {}", breaks(settled, cut), comfort(cut.comfortable))
}

/// Whether a way of cutting keeps its reserve, in words.
fn comfort(comfortable: bool) -> &'static str {
    if comfortable { "comfortable" } else { "possible, if measured" }
}

/// Only that: `breaks at kerf 45`.
pub(crate) fn breaks(settled: &Settled, cut: &BoardCut) -> String {
    breaks_at(settled, cut.breaks(settled.plan.shed.trim))
}

fn breaks_at(settled: &Settled, breaks: Breaks) -> String {
    match Share::new(breaks.room, u32::try_from(breaks.kerfs).unwrap_or(u32::MAX)) {
        Some(room) => format!("breaks at kerf {}", settled.plan.tape.show_gap(room)),
        None => "no kerf inside".into(),
    }
}

/// A line of the buying list: `2 × larch board 20 × 145, 3600 long`.
pub fn bought(settled: &Settled, line: &Line) -> String {
    let tape = settled.plan.tape;
    let label = settled.plan.yard.label(line.stock).1;
    let what = match (line.stock.kind, line.size.as_slice(), &line.name) {
        (StockKind::Board, [length], None) => format!("{label}, {} long", tape.show(*length)),
        (StockKind::Board, [length], Some(name)) => {
            format!("{label}, {} long, the one called {name}", tape.show(*length))
        }
        (StockKind::Sheet, [length, width], _) => format!("{label}, {} × {}", tape.show(*length), tape.show(*width)),
        _ if line.count > line.used => format!("{label} ({} laid, {} spare)", line.used, line.count - line.used),
        _ if line.count < line.used => format!("{label} ({} laid, the rest from the shed)", line.used),
        _ => label.to_owned(),
    };
    let packed = line.packs.iter().any(|packs| packs.holds > 1);
    if packed { format!("{what}: {}", packs(&line.packs, "singly")) } else { what }
}

/// Packs of units: `2 packs of 20 and 5 singly`.
fn packs(packs: &[Packs], alone: &str) -> String {
    let one = |packs: &Packs| match packs.holds {
        1 => format!("{} {alone}", packs.count),
        holds => format!("{} × {holds}", packs.count),
    };
    packs.iter().map(one).collect::<Vec<String>>().join(" and ")
}

/// A line of what is bought beside parts: `boxes of deck screw 5 × 60, 100 in each (72 used)`.
pub fn material(settled: &Settled, line: &MaterialLine) -> String {
    let tape = settled.plan.tape;
    let label = &line.label;
    let volume = |value: i128| self::value(settled, Value { of: Of::Volume, value });
    let litres = |holds: u64| {
        let shown = format!("{}.{:03}", holds / 1_000_000, holds / 1_000 % 1_000);
        format!("{} L", shown.trim_end_matches('0').trim_end_matches('.'))
    };
    let sizes = |show: &dyn Fn(u64) -> String| {
        let one = |packs: &Packs| format!("{} × {}", packs.count, show(packs.holds));
        match line.packs.as_slice() {
            [] => "none, the shed has all".to_owned(),
            packs => packs.iter().map(one).collect::<Vec<String>>().join(" and "),
        }
    };
    match line.kind {
        MaterialKind::Screw => {
            let boxes = sizes(&|holds| holds.to_string());
            let screw = settled.plan.yard.screws.iter().find(|screw| screw.name == line.name);
            let across = screw.map_or_else(String::new, |screw| format!("{} × ", tape.show_exact(screw.diameter)));
            format!("box of {label}, {across}{} long: {boxes} ({} used)", tape.show_exact(line.length), line.used)
        }
        MaterialKind::Bag => {
            format!("bag of {label}: {} ({} to fill)", sizes(&litres), volume(line.used))
        }
        MaterialKind::Finish => {
            format!("tin of {label}: {} ({} used)", sizes(&litres), volume(line.used))
        }
        MaterialKind::Roll => {
            format!("metre of {label} ({})", value(settled, Value { of: Of::Length, value: line.used }))
        }
        MaterialKind::Fitting => {
            format!("{label}: {} ({} used)", sizes(&|holds| holds.to_string()), line.used)
        }
        MaterialKind::Extra => label.clone(),
    }
}

/// What comes out of the shed: offcuts and rests of packs, a line each.
pub fn from_shed(settled: &Settled) -> Vec<String> {
    let tape = settled.plan.tape;
    let yard = &settled.plan.yard;
    let offcut = |taken: &stages::buy::FromShed| {
        let size: Vec<String> = taken.size.iter().map(|length| tape.show(*length)).collect();
        format!("{} × offcut {} of {}, {}", taken.count, taken.name, yard.label(taken.stock).1, size.join(" × "))
    };
    let left = |taken: &stages::buy::Taken| {
        let left = settled.plan.shed.left.iter().find(|left| left.name == taken.name)?;
        let amount = match left.of.kind {
            StockKind::Bag | StockKind::Finish => value(settled, Value { of: Of::Volume, value: taken.taken }),
            StockKind::Roll => value(settled, Value { of: Of::Length, value: taken.taken }),
            _ => taken.taken.to_string(),
        };
        Some(format!("{amount} of what is left of {} ({})", yard.label(left.of).1, left.name))
    };
    let buying = &settled.buying;
    buying.from_shed.iter().map(offcut).chain(buying.taken.iter().filter_map(left)).collect()
}

/// What to pay and what to bring home: each with the quantity that it comes from.
pub fn to_pay(settled: &Settled) -> Vec<(&'static str, &'static str, String)> {
    let (pay, currency) = (&settled.buying.pay, &settled.plan.yard.currency);
    let sum = |money: Money| format!("{money} {currency}");
    let mut lines = Vec::new();
    if let Some(tax) = pay.tax {
        lines.push(("goods, without tax", "pay.goods", sum(pay.goods)));
        lines.push(("tax", "pay.tax", sum(tax)));
    }
    let missing = without(settled.buying.unpriced + settled.buying.materials_unpriced);
    lines.push(("to pay", "pay.total", sum(pay.total) + &missing));
    lines.extend(pay.delivery.map(|price| ("one delivery would cost", "pay.delivery", sum(price))));
    let load = &settled.buying.load;
    let tape = settled.plan.tape;
    lines.extend(load.longest.map(|longest| ("the longest thing", "load.longest", tape.show_with_unit(longest))));
    if let Some(mass) = load.mass {
        let mut names = load.unweighed.clone();
        names.dedup();
        let names = names.join("; ");
        let missing = match load.unweighed.len() {
            0 => String::new(),
            1 => format!(", without one line that nobody can weigh: {names}"),
            some => format!(", without {some} lines that nobody can weigh: {names}"),
        };
        lines.push(("all together weighs", "load.mass", format!("{}{missing}", mass.show(tape.unit()))));
    }
    if let Some(home) = settled.buying.home.as_ref().filter(|home| home.cuts > 0) {
        let cuts = if home.cuts == 1 { "one cut".to_owned() } else { format!("{} cuts", home.cuts) };
        lines.push(("cuts by the yard, to fit the car", "home.fee", format!("{cuts}, {}", sum(home.fee))));
    }
    lines.extend(load.trips.map(|trips| ("trips of the car", "load.trips", trips.to_string())));
    lines
}

/// What the yard cuts so that it goes into the car: where, on which boards.
pub fn parted(settled: &Settled) -> Vec<String> {
    let tape = settled.plan.tape;
    let line = |one: &stages::buy::Parted| {
        let (name, label) = settled.plan.yard.label(one.stock);
        let name = if label.is_empty() { name } else { label };
        let whole = tape.show(one.stock_length);
        let pieces: Vec<String> = one.pieces.iter().map(|&piece| tape.show(piece)).collect();
        let spare = tape.show(one.left);
        format!(
            "the yard parts {} × {name} × {whole} into {}, numbered in this order from the end at which it begins; {spare} to spare",
            one.count,
            pieces.join(" + ")
        )
    };
    let parted = settled.buying.home.iter().flat_map(|home| &home.parted);
    parted.filter(|one| !one.pieces.is_empty()).map(line).collect()
}

/// How many lines a total leaves out.
pub fn without(unpriced: usize) -> String {
    match unpriced {
        0 => String::new(),
        1 => ", without one line that has no price".into(),
        some => format!(", without {some} lines that have no price"),
    }
}

/// A value in the plan's own units.
pub fn value(settled: &Settled, value: Value) -> String {
    let small = i64::try_from(value.value).unwrap_or(i64::MAX);
    let tape = settled.plan.tape;
    match value.of {
        Of::Length => {
            let length = Length::nm(small);
            if length.is_on(tape.step()) {
                tape.show_with_unit(length)
            } else {
                format!("{} {}", tape.show_fine(length), tape.unit_name())
            }
        }
        Of::Count => value.value.to_string(),
        Of::Money => format!("{} {}", Money::hundredths(small), settled.plan.yard.currency),
        Of::Mass => Mass::milligrams(small).show(tape.unit()),
        Of::Density => format!("{small} kg/m³"),
        Of::Area => format!("{:.2} m²", value.value as f64 / 1e6),
        Of::Volume => format!("{:.1} L", value.value as f64 / 1e6),
        Of::Angle => format!("{:.2}°", value.value as f64 / 1e6),
        Of::Percent => Percent::hundredths(u32::try_from(small).unwrap_or(u32::MAX)).to_string(),
        Of::Force => Force::millinewtons(small).show(tape.unit()),
        Of::Pressure => Pressure::pascals(small).show(tape.unit()),
        Of::Moment => Moment::newton_millimetres(small).show(tape.unit()),
        Of::LineLoad => LineLoad::newtons_per_metre(small).show(tape.unit()),
        Of::UnitWeight => UnitWeight::newtons_per_m3(small).show(tape.unit()),
        Of::Speed => Speed::mm_per_s(small).show(tape.unit()),
        Of::Factor => Factor::thousandths(small).show(),
    }
}
