//! What cutting leaves in the shed: the offcuts and rests of packs that are used up, and the rests that are worth keeping.

use crate::Done;
use measure::{Length, Tape};
use model::schema::StockKind;
use model::stock::{Left, StockRef};
use stages::buy::{MaterialKind, Packs};
use std::collections::BTreeMap;

/// How the shed changes once everything is cut.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// Offcuts that are cut, by their names in the shed, and how many of each.
    pub used: Vec<(String, u64)>,
    /// What is left and worth keeping.
    pub rests: Vec<Rest>,
    /// Rests of packs that are used, and what is left of each.
    pub taken: Vec<Poured>,
    /// What is left of packs that are bought, by the plan's numbers: of units what is neither laid nor spare.
    pub opened: Vec<Opened>,
    /// What tells the plan.
    pub mark: Mark,
    /// Whether the shed says that it was kept before.
    pub before: Option<Before>,
}

/// What tells a plan in the shed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Mark {
    /// Its title.
    pub plan: String,
    /// The digest of its text and its yard's.
    pub digest: String,
}

/// A plan that was kept before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Before {
    /// The name of its table in the shed.
    pub name: String,
    /// Whether plan and yard are to the letter what they were then; otherwise only the title is.
    pub same: bool,
}

/// The rest of a pack that is used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Poured {
    /// What it is called in the shed.
    pub name: String,
    /// The key that says how much: `count`, `litres`, `metres`.
    pub key: &'static str,
    /// How much is left as the shed would say it, rounded down to a thousandth; `None` if nothing.
    pub left: Option<String>,
}

/// What is left of packs that are bought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opened {
    /// The thing of the yard.
    pub of: String,
    /// How long the screws are, with the unit.
    pub length: Option<String>,
    /// The key that says how much.
    pub key: &'static str,
    /// How much, as the shed would say it, rounded down to a thousandth.
    pub amount: String,
}

/// Rests that are alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rest {
    /// The board or sheet of the yard.
    pub of: String,
    /// Its length, and the width of a sheet, as the plan's tape reads them, with their unit: `397 mm`, `12-3/8"`.
    pub sides: Vec<String>,
    /// How many.
    pub count: u64,
}

/// How the shed changes once everything is cut. A rest is what the pattern leaves less one more kerf, which parts it from the
/// last part, down to a mark of the tape; of a sheet the strip beside the last one and the rest of each strip. It is kept
/// if no side is shorter than the shed's `keep`.
pub fn kept(done: &Done) -> Kept {
    let (plan, cutting) = (&done.settled.plan, &done.settled.cutting);
    let mut rests = Rests { keep: plan.shed.keep, tape: plan.tape, found: BTreeMap::new() };
    for section in &cutting.sections {
        let of = plan.yard.label(section.stock).0;
        for cut in &section.cuts {
            let count = cut.boards.len() as u64;
            if cut.stretches.is_empty() {
                rests.add(of, &[cut.slack - section.kerf], count);
            }
            for stretch in &cut.stretches {
                // Nothing parts a stretch without parts from a last one.
                let last = if stretch.parts.is_empty() { Length::ZERO } else { section.kerf };
                rests.add(of, &[stretch.slack - last], count);
            }
        }
    }
    for sheets in &cutting.sheets {
        let of = plan.yard.label(sheets.stock).0;
        let trim = plan.shed.saw_for_sheets().trim;
        for sheet in &sheets.sheets {
            rests.add(of, &[sheet.measures[0] - trim, sheet.slack - sheets.kerf], 1);
            for strip in &sheet.strips {
                rests.add(of, &[strip.slack - sheets.kerf, strip.width], 1);
            }
        }
    }
    let used = &done.settled.buying.from_shed;
    let mark = mark(done);
    Kept {
        used: used.iter().map(|taken| (taken.name.clone(), taken.count)).collect(),
        rests: rests.all(),
        taken: taken(done),
        opened: opened(done),
        before: before(&mark, done),
        mark,
    }
}

fn mark(done: &Done) -> Mark {
    let text = |source: &Option<read::Source>| source.as_ref().map_or_else(String::new, |source| source.text.clone());
    let (plan, yard) = (text(&done.sources.plan), text(&done.sources.yard));
    // The length in front keeps what is moved from one to the other from being the same.
    let digest = daybook::digest(&format!("{} {plan}{yard}", plan.len()));
    Mark { plan: done.settled.plan.title.clone(), digest }
}

fn before(mark: &Mark, done: &Done) -> Option<Before> {
    let kept = &done.settled.plan.shed.kept;
    let same = kept.iter().find(|kept| kept.digest == mark.digest);
    let titled = || kept.iter().find(|kept| kept.plan == mark.plan);
    let before = |same: bool| move |kept: &model::stock::KeptPlan| Before { name: kept.name.clone(), same };
    same.map(before(true)).or_else(|| titled().map(before(false)))
}

fn taken(done: &Done) -> Vec<Poured> {
    let shed = &done.settled.plan.shed;
    let poured = |taken: &stages::buy::Taken| {
        let left = shed.left.iter().find(|left| left.name == taken.name)?;
        let (key, left) = written(left.of.kind, left.amount - taken.taken);
        (taken.taken > 0).then(|| Poured { name: taken.name.clone(), key, left })
    };
    done.settled.buying.taken.iter().filter_map(poured).collect()
}

/// The key and the number of an amount of something in the shed, down to a thousandth; no number if that is nothing.
fn written(kind: StockKind, amount: i128) -> (&'static str, Option<String>) {
    let decimals = |thousandth: i128| {
        let all = amount.div_euclid(thousandth);
        let text = format!("{}.{:03}", all / 1000, all % 1000);
        (all > 0).then(|| text.trim_end_matches('0').trim_end_matches('.').to_owned())
    };
    match kind {
        StockKind::Bag | StockKind::Finish => ("litres", decimals(1_000)),
        StockKind::Roll => ("metres", decimals(1_000_000)),
        _ => ("count", (amount > 0).then(|| amount.to_string())),
    }
}

fn opened(done: &Done) -> Vec<Opened> {
    let (plan, buying) = (&done.settled.plan, &done.settled.buying);
    let mut opened = Vec::new();
    let mut add = |stock: StockRef, length: Option<Length>, packs: &[Packs], needed: i128| {
        let is = |left: &&Left| left.of == stock && left.length == length;
        let named = |taken: &&stages::buy::Taken| plan.shed.left.iter().filter(is).any(|left| left.name == taken.name);
        let taken: i128 = buying.taken.iter().filter(named).map(|taken| taken.taken).sum();
        let bought: i128 = packs.iter().map(|packs| i128::from(packs.holds) * i128::from(packs.count)).sum();
        let (key, amount) = written(stock.kind, bought + taken - needed);
        opened.extend(amount.filter(|_| bought > 0).map(|amount| Opened {
            of: plan.yard.label(stock).0.to_owned(),
            length: length.map(|length| plan.tape.show_with_unit(length)),
            key,
            amount,
        }));
    };
    for line in buying.lines.iter().filter(|line| line.stock.kind == StockKind::Unit) {
        let name = format!("buy.{}.count", plan.yard.label(line.stock).0);
        let needed = buying.quantities.iter().find(|quantity| quantity.name == name);
        needed.into_iter().for_each(|needed| add(line.stock, None, &line.packs, needed.value.value));
    }
    for line in &buying.materials {
        let kind = match line.kind {
            MaterialKind::Screw => StockKind::Screw,
            MaterialKind::Bag => StockKind::Bag,
            MaterialKind::Roll => StockKind::Roll,
            MaterialKind::Finish => StockKind::Finish,
            MaterialKind::Fitting => StockKind::Fitting,
            MaterialKind::Extra => continue,
        };
        let length = (line.length != Length::ZERO).then_some(line.length);
        plan.yard.find(kind, &line.name).into_iter().for_each(|stock| add(stock, length, &line.packs, line.used));
    }
    opened
}

/// Rests by what they are of and their sides.
struct Rests {
    keep: Length,
    tape: Tape,
    found: BTreeMap<(String, Vec<Length>), u64>,
}

impl Rests {
    fn add(&mut self, of: &str, sides: &[Length], count: u64) {
        let step = self.tape.step().nanometres();
        let down = |side: &Length| Length::nm(side.nanometres().div_euclid(step) * step);
        let sides: Vec<Length> = sides.iter().map(down).collect();
        if sides.iter().all(|side| *side >= self.keep) {
            *self.found.entry((of.to_owned(), sides)).or_default() += count;
        }
    }

    fn all(self) -> Vec<Rest> {
        let tape = self.tape;
        let rest = |((of, sides), count): ((String, Vec<Length>), u64)| Rest {
            of,
            sides: sides.into_iter().map(|side| tape.show_with_unit(side)).collect(),
            count,
        };
        self.found.into_iter().map(rest).collect()
    }
}
