//! Cards are dealt: one for each setting, more where a setting makes more than a card has room for.

use super::bars::{Bar, Setting, stop};
use super::ends::shaped_after;
use super::{Card, Cut, Lot, Work};
use handbook::sawing;
use measure::Length;
use model::build::Build;
use model::plan::Plan;
use model::stock::StockRef;
use model::why::{Of, Quantity};
use std::collections::{BTreeMap, BTreeSet};

/// So many parts can be ticked off on a card of A5.
const MOST_PARTS: usize = 24;
/// So many rows of readings have room on it.
const MOST_ROWS: usize = 4;

/// One kind of stock on the saw.
pub(super) struct Bench<'b> {
    pub work: Work,
    pub stock: StockRef,
    pub build: &'b Build,
    pub plan: &'b Plan,
}

impl Bench<'_> {
    /// Adds the cards of what lies there.
    pub(super) fn deal(&self, bars: &[Bar], cards: &mut Vec<Card>) {
        let mut settings: BTreeMap<Setting, Vec<Lot>> = BTreeMap::new();
        for bar in bars {
            let mut start = bar.squared;
            for alike in bar.cuts.chunk_by(|one, next| one.0 == next.0) {
                let cuts: Vec<Cut> = alike.iter().map(|cut| cut.1.clone()).collect();
                let after = cuts.last().map_or(start, |cut| cut.rest);
                let lot = Lot { from: bar.from, length: bar.length, span: bar.span, off: bar.off, start, cuts };
                settings.entry(alike[0].0).or_default().push(lot);
                start = after;
            }
        }
        let before = cards.last().map_or(0, |card| card.set_up);
        for (set_up, (setting, lots)) in (before + 1..).zip(settings) {
            for lots in rooms(lots) {
                let card = self.card(set_up, setting, lots, cards.last());
                cards.extend(card);
            }
        }
    }

    fn card(&self, set_up: u32, setting: Setting, lots: Vec<Lot>, before: Option<&Card>) -> Option<Card> {
        let parts = &self.build.parts;
        let (work, length, ends) = (self.work, setting.length.0, setting.ends);
        let (stop, reads) = stop(lots.first()?.cuts.first()?.makes, length, parts);
        let left = |before: &Card| {
            let both = [work, before.work] == [Work::Crosscut; 2] && ends.are_square() && before.ends.are_square();
            before.set_up == set_up || (both && before.stop == stop)
        };
        let half = Length::nm(self.plan.tape.step().nanometres() / 2);
        let mut card = Card {
            set_up,
            work,
            stock: self.stock,
            stop,
            length,
            reads,
            ends,
            flip: ends.flip(),
            stop_stays: before.is_some_and(left),
            check: half.max(sawing::FIRST_OFF.length),
            short: work == Work::Crosscut && length < sawing::SHORT.length,
            lots,
            shaped: Vec::new(),
            marks: Vec::new(),
        };
        card.shaped = card.parts().filter(|&part| shaped_after(&parts[part])).collect();
        card.marks = marks(&card, self.build);
        Some(card)
    }
}

/// Shares the lots of a setting out over cards, in order: each takes as much as it has room for.
fn rooms(lots: Vec<Lot>) -> Vec<Vec<Lot>> {
    let mut cards: Vec<Vec<Lot>> = vec![Vec::new()];
    for lot in lots {
        let mut rest = Some(lot);
        while let Some(lot) = rest.take() {
            let Some(card) = cards.last_mut() else { break };
            let free = MOST_PARTS - card.iter().map(|lot| lot.cuts.len()).sum::<usize>();
            let rows = card.chunk_by(Lot::is_like).count();
            let fits = |lot: &Lot| rows < MOST_ROWS || card.last().is_some_and(|last| last.is_like(lot));
            let (now, later) = halved(lot, free);
            match now {
                Some(now) if fits(&now) => {
                    card.push(now);
                    rest = later;
                }
                now => {
                    rest = joined(now, later);
                    cards.push(Vec::new());
                }
            }
        }
    }
    cards
}

/// The first cuts of a lot, so many as there is room for, and the others.
fn halved(mut lot: Lot, free: usize) -> (Option<Lot>, Option<Lot>) {
    if free == 0 {
        return (None, Some(lot));
    }
    let later = lot.cuts.split_off(free.min(lot.cuts.len()));
    let start = lot.cuts.last().map_or(lot.start, |cut| cut.rest);
    let later = (!later.is_empty()).then(|| Lot { start, cuts: later, ..lot.clone() });
    (Some(lot), later)
}

/// The two halves of a lot as they were.
fn joined(now: Option<Lot>, later: Option<Lot>) -> Option<Lot> {
    let Some(mut now) = now else { return later };
    now.cuts.extend(later.into_iter().flat_map(|later| later.cuts));
    Some(now)
}

/// The names of the marking sizes of the tops of these parts.
fn marks(card: &Card, build: &Build) -> Vec<String> {
    let mut known: BTreeSet<(&str, Length)> = BTreeSet::new();
    let parts = card.parts().map(|part| &build.parts[part]);
    let topped = parts.filter(|part| part.solid.ends.iter().any(|planes| !planes.is_empty()));
    let kinds = topped.map(|part| (part.key.piece.as_str(), part.solid.width)).filter(|kind| known.insert(*kind));
    // All parts of a card are of one kind of stock, so a piece has one width of board on it.
    kinds.flat_map(|(piece, width)| tops(piece, width, build)).collect()
}

/// The marking sizes of a piece's tops for boards of a width: its shoulder, and what is named with that width.
fn tops<'b>(piece: &'b str, width: Length, build: &'b Build) -> impl Iterator<Item = String> + 'b {
    let prefix = format!("{piece}.top");
    let own = move |quantity: &&Quantity| quantity.name.starts_with(&prefix);
    let all: Vec<&Quantity> = build.quantities.iter().filter(own).collect();
    let group = |quantity: &Quantity| quantity.name.rsplit_once('.').map(|(group, _)| group.to_owned());
    let of_width = |quantity: &&&Quantity| {
        let is = |input: &model::why::Input| {
            input.what == "board" && input.value.of == Of::Length && input.value.value == width.nanometres().into()
        };
        quantity.inputs.iter().any(is)
    };
    let groups: Vec<String> = all.iter().filter(of_width).filter_map(|quantity| group(quantity)).collect();
    let told = move |quantity: &&Quantity| {
        let shoulder = quantity.name.ends_with(".top.shoulder");
        let lost = quantity.name.ends_with(".lost");
        shoulder || (!lost && group(quantity).is_some_and(|group| groups.contains(&group)))
    };
    all.into_iter().filter(told).map(|quantity| quantity.name.clone())
}
