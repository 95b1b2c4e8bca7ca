//! Rule `what ifs`: what a few millimetres do, what there is to do if the yard has too few, traps and spacers.
//!
//! Traps and spacers are derived whole. Of a fallback the boards are held like any cutting plan: the same parts, stock that
//! the yard has, kerf and trim, what it costs; that none costs less is not claimed. Of a plan that was moved the closing is held
//! like that of a way. It is looked at only where rows, sizes and cutting are sound. What stretches away from the plan's own cost is held only to be in order: it is told as not verified.

use crate::claims::{
    Fallback, Give, Left, Moved, Price, Record, Recut, RecutBoard, Section, Spacer, SpacerRow, Stretch, Ten, Trap,
    TrueLength,
};
use crate::clear::{Clear, Row, shared};
use crate::closing::hold_as_wished;
use crate::cutting::{keeps, kerf_along, roomy_with};
use crate::ledger::{Ledger, Mm};
use crate::texts::{Papers, Sold};
use std::collections::{BTreeMap, BTreeSet};

const RULE: &str = "what ifs";
/// How many steps of the tape either way are looked at.
const STEPS_NEAR: i64 = 15;
/// How many counts of a length that the yard is short of are asked one by one.
const MOST_ASKED: i64 = 6;

pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let gives = &record.what_ifs.gives;
    gives.iter().for_each(|give| hold_give(record, give, ledger));
    if gives.iter().map(|give| &give.size).collect::<BTreeSet<_>>().len() < gives.len() {
        ledger.find("what a few millimetres of a size do stands twice".into());
    }
    let mut asked: BTreeMap<(&str, i64), &Fallback> =
        record.what_ifs.fallbacks.iter().map(|one| ((one.board.as_str(), one.length), one)).collect();
    ledger.same("how many lengths are asked about", record.what_ifs.fallbacks.len(), asked.len());
    // What is at home does not run out in the yard.
    for section in record.cutting.boards.iter().filter(|section| !papers.standing.is_home(&section.board)) {
        let sold = papers.board(&section.board).map(|board| board.lengths.as_slice()).unwrap_or_default();
        for (length, bought) in bought(section) {
            let name = format!("{} of {}", section.board, Mm::of(length));
            let Some(fallback) = asked.remove(&(section.board.as_str(), length)) else {
                ledger.find(format!("what to do without {name} is not said"));
                continue;
            };
            ledger.same(&format!("how many {name} are bought"), fallback.bought, bought);
            let counts: Vec<i64> = fallback.left.iter().map(|left| left.count).collect();
            ledger.same(&format!("how few {name} are asked about"), counts, counts_of(bought));
            for left in &fallback.left {
                Held { record, section, sold, length, name: format!("{name}, {} left", left.count) }.left(left, ledger);
            }
        }
    }
    ledger.hold(asked.is_empty(), || format!("asked about, and not bought: {:?}", asked.keys()));
    let claimed: Vec<&Trap> = record.what_ifs.traps.iter().collect();
    let found = traps(record);
    ledger.same("the traps", claimed, found.iter().collect());
    let claimed: Vec<&Spacer> = record.what_ifs.spacers.iter().collect();
    let found = spacers(record);
    ledger.same("the spacers", claimed, found.iter().collect());
    hold_first(record, papers, ledger);
}

/// Where a reading of ten stands in its list: by kind, place on the shelf, what one takes and the joint.
type TenPlace = (String, Option<usize>, i64, i64);

/// What is to be measured before paying.
fn hold_first(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    let cutting = &record.cutting;
    let mut lengths = Vec::new();
    for section in &cutting.boards {
        for cut in section.cuts.iter().filter(|cut| !cut.comfortable) {
            let mut tell = |label: i64, slack: i64, parts: i64| {
                let least = label - slack;
                let reserve = cutting.reserve_per_cut * (parts - 1) + cutting.reserve_per_board;
                let (board, boards) = (section.board.clone(), cut.boards.len() as i64);
                lengths.push(TrueLength { board, label, boards, least, comfortable: least + reserve });
            };
            if cut.stretches.is_empty() {
                tell(cut.stock, cut.slack, cut.lengths.len() as i64);
            }
            for stretch in cut.stretches.iter().filter(|stretch| stretch.parts > 0) {
                let keeps = cutting.reserve_per_cut * (stretch.parts - 1) + cutting.reserve_per_board;
                if stretch.slack < keeps {
                    tell(stretch.to - stretch.from, stretch.slack, stretch.parts);
                }
            }
        }
    }
    ledger.same("the true lengths to measure", &record.what_ifs.true_lengths, &lengths);
    let shelf = |kind: &str, name: &str| match kind {
        "board" => papers.boards.iter().position(|board| board.name == name),
        _ => papers.units.iter().position(|unit| unit.name == name),
    };
    let mut tens: Vec<(TenPlace, Ten)> = Vec::new();
    for row in &record.rows {
        let [one] = row.pattern[..] else { continue };
        let of = |part: &&crate::claims::Part| match part.kind.as_str() {
            "board" => part.width == one,
            "unit" => [part.length, part.width, part.thickness].contains(&one),
            _ => false,
        };
        let Some(part) = record.parts.iter().filter(|part| part.piece == row.piece).find(of) else { continue };
        let joint = if part.kind == "unit" && row.gaps > 0 { row.gaps_total.div_euclid(row.gaps) } else { 0 };
        let (kind, name) = (part.kind.clone(), part.stock.clone());
        let place = (kind.clone(), shelf(&kind, &name), one, joint);
        tens.push((place, Ten { kind, name, one, joint, reads: 10 * one + 9 * joint }));
    }
    tens.sort_by(|a, b| a.0.cmp(&b.0));
    tens.dedup_by(|a, b| a.0 == b.0);
    let tens: Vec<Ten> = tens.into_iter().map(|(_, ten)| ten).collect();
    ledger.same("what ten read together", &record.what_ifs.tens, &tens);
    let sheets: Vec<&String> = cutting.sheets.iter().map(|sheets| &sheets.sheet).collect();
    ledger.same("the sheets to measure", record.what_ifs.sheets.iter().collect(), sheets);
}

fn bought(section: &Section) -> BTreeMap<i64, i64> {
    let mut bought = BTreeMap::new();
    for cut in section.cuts.iter().filter(|cut| cut.name.is_none() && !cut.shed) {
        *bought.entry(cut.stock).or_default() += cut.boards.len() as i64;
    }
    bought
}

fn counts_of(bought: i64) -> Vec<i64> {
    let some = [0, bought / 4, bought / 2, bought - 1];
    let all: BTreeSet<i64> = if bought <= MOST_ASKED { (0..bought).collect() } else { some.into_iter().collect() };
    all.into_iter().collect()
}

fn hold_give(record: &Record, give: &Give, ledger: &mut Ledger) {
    let name = format!("what a few millimetres of {} do", give.size);
    let Some(at) = record.fit.sizes.iter().position(|size| size.wish.name == give.size) else {
        return ledger.find(format!("{name}: there is no such size"));
    };
    let (way, size) = (&record.ways[record.chosen], &record.fit.sizes[at]);
    let stands = way.closing.sizes[at];
    let reach = STEPS_NEAR * size.step;
    let within = |stretch: &Stretch| {
        let grid = (stretch.from - stands) % size.step == 0 && (stretch.to - stands) % size.step == 0;
        let near = stands - reach <= stretch.from && stretch.to <= stands + reach;
        let asked = size.wish.from <= stretch.from && stretch.to <= size.wish.to;
        let spaced = if stretch.from == stretch.to {
            stretch.every == size.step
        } else {
            stretch.every >= size.step && (stretch.to - stretch.from) % stretch.every == 0
        };
        grid && near && asked && spaced && stretch.from <= stretch.to && stretch.price.complete
    };
    let all = give.stretches.len() > 1 && give.stretches.iter().all(within);
    let apart = |pair: &[Stretch]| {
        let gap = pair[1].from - pair[0].to;
        let goes_on = pair[0].from == pair[0].to || gap == pair[0].every;
        gap >= size.step && !(goes_on && key(pair[0].price) == key(pair[1].price))
    };
    let in_order = all && give.stretches.windows(2).all(apart);
    if !ledger.hold(in_order, || format!("{name}: its stretches are not in order, near and on the tape")) {
        return;
    }
    let away = |at: usize| (give.stretches[at].from - stands).max(stands - give.stretches[at].to).max(0);
    let stands_in = (0..give.stretches.len()).find(|&at| away(at) == 0);
    ledger.same(&format!("{name}: where it stands"), Some(give.stands_in), stands_in);
    let Some(here) = stands_in.map(|at| give.stretches[at].price) else { return };
    ledger.same(&format!("{name}: the price where it stands"), Some(key(here)), way.price.map(key));
    let nearest = |tight: i64| {
        let saves = |at: &usize| {
            let price = give.stretches[*at].price;
            price.total < here.total && price.tight <= tight
        };
        (0..give.stretches.len()).filter(saves).min_by_key(|&at| (away(at), give.stretches[at].price.total))
    };
    let cheaper = nearest(here.tight);
    let nearer = nearest(i64::MAX).filter(|&any| cheaper.is_none_or(|at| away(any) < away(at)));
    ledger.same(&format!("{name}: the nearest that costs less"), give.cheaper, cheaper);
    ledger.same(&format!("{name}: the nearest that costs less if measured"), give.cheaper_if_measured, nearer);
    ledger.leave("what the plan costs a few millimetres off where it stands".into());
}

fn key(price: Price) -> (i64, i64) {
    (price.total, price.tight)
}

/// One length that the yard is short of, and how few it has.
struct Held<'r> {
    record: &'r Record,
    section: &'r Section,
    sold: &'r [Sold],
    length: i64,
    name: String,
}

impl Held<'_> {
    fn left(&self, left: &Left, ledger: &mut Ledger) {
        if let Some(kept) = &left.kept {
            self.kept(kept, left.count, ledger);
        }
        if let Some(moved) = &left.moved {
            let none =
                ledger.hold(left.count == 0, || format!("{}: only for none left something else is asked", self.name));
            if none {
                self.moved(moved, left.kept.as_ref(), ledger);
            }
        }
    }

    fn kept(&self, kept: &Recut, left: i64, ledger: &mut Ledger) {
        let name = &self.name;
        let kerf = kerf_along(self.record, "board", &self.section.board, self.record.cutting.kerf);
        let (mut cost, mut tight) = (Some(0_i128), 0);
        let mut used: BTreeMap<usize, i64> = BTreeMap::new();
        let mut parts: BTreeMap<i64, i64> = BTreeMap::new();
        for board in &kept.boards {
            let named = |sold: &Sold| sold.length == board.stock && sold.name == board.name && sold.shed == board.shed;
            let place = self.sold.iter().position(named);
            let sold = place.map(|place| &self.sold[place]);
            ledger.hold(sold.is_some(), || format!("{name}: nobody sells {}", Mm::of(board.stock)));
            if let Some(place) = place {
                *used.entry(place).or_default() += board.times;
            }
            for &part in &board.parts {
                *parts.entry(part).or_default() += board.times;
            }
            let clear = sold.and_then(|sold| sold.clear(self.record.cutting.trim, kerf));
            let (slack, roomy) = match &clear {
                Some(clear) => self.in_stretches(clear, board, kerf, ledger),
                None => roomy_with(board.stock, &board.parts, kerf, self.record),
            };
            let (told, own) = (board.stretches.len(), clear.map_or(0, |clear| clear.len()));
            if told > 0 || own > 0 {
                ledger.same(&format!("{name}: the clear stretches"), told, own);
            }
            ledger.hold(slack >= 0 && !board.parts.is_empty(), || {
                format!("{name}: {:?} do not come out of {}", board.parts, Mm::of(board.stock))
            });
            tight += if roomy { 0 } else { board.times };
            let price = sold.and_then(|sold| if sold.shed { Some(0) } else { sold.price });
            cost = cost.zip(price).map(|(cost, price)| cost + i128::from(price) * i128::from(board.times));
        }
        for (&place, &used) in &used {
            let sold = &self.sold[place];
            let short = sold.length == self.length && sold.name.is_none() && !sold.shed;
            let there = if short { Some(left) } else { sold.supply() };
            ledger.hold(there.is_none_or(|there| used <= there), || {
                format!("{name}: {used} of {} are cut, and there are not so many", Mm::of(sold.length))
            });
        }
        let mut wanted: BTreeMap<i64, i64> = BTreeMap::new();
        for cut in &self.section.cuts {
            for &length in &cut.lengths {
                *wanted.entry(length).or_default() += cut.boards.len() as i64;
            }
        }
        ledger.same(&format!("{name}: the parts that are cut"), parts, wanted);
        let cost = cost.filter(|_| self.section.priced);
        ledger.same(&format!("{name}: what the boards cost"), kept.cost.map(i128::from), cost);
        ledger.same(&format!("{name}: the tight boards"), kept.tight, tight);
        let proven = self.section.status == "proven";
        let dearer = cost.is_none_or(|cost| !proven || cost >= i128::from(self.section.cost));
        ledger.hold(dearer, || format!("{name}: it costs less than what is proven the cheapest"));
    }

    /// The least that a clear stretch with parts leaves, and whether all of them keep the reserve.
    fn in_stretches(&self, clear: &[Clear], board: &RecutBoard, kerf: i64, ledger: &mut Ledger) -> (i128, bool) {
        let Some(rows) = shared(&board.parts, &board.stretches).filter(|rows| rows.len() == clear.len()) else {
            ledger.find(format!("{}: the clear stretches have other parts than their board", self.name));
            return (0, true);
        };
        let rows = clear.iter().zip(rows).filter(|(_, row)| !row.is_empty());
        let rows: Vec<Row> = rows.map(|(clear, row)| clear.row(row, kerf)).collect();
        let least = rows.iter().map(|row| row.slack).min().unwrap_or(0);
        (least, rows.iter().all(|row| keeps(row, self.record)))
    }

    fn moved(&self, moved: &Moved, kept: Option<&Recut>, ledger: &mut Ledger) {
        let (record, name) = (self.record, &self.name);
        let way = &record.ways[record.chosen];
        let Some(at) = record.fit.sizes.iter().position(|size| size.wish.name == moved.size) else {
            return ledger.find(format!("{name}: there is no size `{}`", moved.size));
        };
        hold_as_wished(&record.fit, &moved.closing, name, ledger);
        let same = (&moved.closing.choices, &moved.closing.counts) == (&way.closing.choices, &way.closing.counts);
        ledger.hold(same, || format!("{name}: what is moved has other choices or counts"));
        let by = (moved.closing.sizes[at] - way.closing.sizes[at]).abs();
        ledger.hold(0 < by && by <= STEPS_NEAR * record.fit.sizes[at].step, || {
            format!("{name}: {} moves by {}", moved.size, Mm::of(by))
        });
        let Some(price) = way.price else { return ledger.find(format!("{name}: moved, and the plan has no price")) };
        let own: i64 = self.section.cuts.iter().filter(|cut| !cut.comfortable).map(|cut| cut.boards.len() as i64).sum();
        let more = kept.filter(|kept| kept.tight <= own).and_then(|kept| Some(kept.cost? - self.section.cost));
        let does = moved.price.complete
            && moved.price.tight <= price.tight
            && more.is_none_or(|more| moved.price.total - price.total < more);
        ledger
            .hold(does, || format!("{name}: what is moved is tighter than the plan, or dearer than to keep the sizes"));
        ledger.leave("what the plan costs with a size moved because the yard has none of a length".into());
    }
}

fn traps(record: &Record) -> Vec<Trap> {
    let mut traps = Vec::new();
    let (step, trim) = (record.step, record.cutting.trim);
    for section in &record.cutting.boards {
        let kerf = kerf_along(record, "board", &section.board, record.cutting.kerf);
        let parts: BTreeSet<i64> = section.cuts.iter().flat_map(|cut| cut.lengths.iter().copied()).collect();
        let mut of: Vec<Trap> = Vec::new();
        for &stock in bought(section).keys() {
            for &part in parts.iter().filter(|&&part| part > 0) {
                let (on_paper, at_saw) = (stock / part, (stock - trim + kerf) / (part + kerf));
                let one_more = (stock - trim - at_saw * kerf) / (at_saw + 1);
                let comes_at = one_more - one_more.rem_euclid(step);
                if at_saw < on_paper && comes_at > 0 && part - comes_at <= STEPS_NEAR * step {
                    of.push(Trap { board: section.board.clone(), stock, part, on_paper, at_saw, comes_at });
                }
            }
        }
        traps.append(&mut of);
    }
    traps
}

fn spacers(record: &Record) -> Vec<Spacer> {
    let mut pieces: Vec<&str> = Vec::new();
    for row in &record.rows {
        if !pieces.contains(&row.piece.as_str()) {
            pieces.push(&row.piece);
        }
    }
    pieces.into_iter().filter_map(|piece| spacer(piece, record)).collect()
}

fn spacer(piece: &str, record: &Record) -> Option<Spacer> {
    let rows: Vec<_> = record
        .rows
        .iter()
        .filter(|row| {
            row.piece == piece && row.gaps > 0 && row.gaps_total > 0 && row.pattern.iter().any(|&member| member > 0)
        })
        .collect();
    let step = record.step;
    let worst = |spacer: i64| rows.iter().map(|row| (row.gaps_total - row.gaps * spacer).abs()).max();
    let least = rows.iter().map(|row| row.gaps_total / row.gaps).min()? / step;
    let most = rows.iter().map(|row| row.gaps_total / row.gaps).max()? / step + 1;
    let spacer = (least.max(1)..=most).map(|steps| steps * step).min_by_key(|&spacer| (worst(spacer), spacer))?;
    let off = worst(spacer)?;
    if off == 0 {
        return None;
    }
    let row = |row: &&crate::claims::Row| SpacerRow {
        face: row.face.clone(),
        places: row.gaps,
        off: row.gaps_total - row.gaps * spacer,
    };
    Some(Spacer { piece: piece.into(), spacer, rows: rows.iter().map(row).collect(), does: 2 * off <= step })
}
