//! A card for each setting of the saw: a list on a screen, a page of A5 each on paper.

use super::html::{escape, number};
use crate::{cards, words};
use advise::Settled;
use drawing::{CardView, Setting};
use measure::Length;
use model::why::Quantity;
use stages::saw::{Card, Lot, Work};

/// All cards; empty if nothing is cut.
pub(super) fn cards(settled: &Settled) -> String {
    let sawing = &settled.sawing;
    if sawing.cards.is_empty() {
        return String::new();
    }
    let (count, set_ups) = (sawing.cards.len(), sawing.set_ups());
    let text = format!(
        "<p>{} of the saw, {}: longest first, so that the stop moves as seldom as can be. Square one end of each board first, then cut in this order. Behind each reading stands the least that the rest must read there: below it the last part does not come out. Printed, each card is a page of A5.</p>\n",
        many(set_ups as usize, "setting"),
        many(count, "card")
    );
    text + &one_by_one(settled).concat()
}

/// Each card by itself.
pub(super) fn one_by_one(settled: &Settled) -> Vec<String> {
    settled.sawing.cards.iter().enumerate().map(|(place, card)| one(settled, place + 1, card)).collect()
}

fn many(count: usize, what: &str) -> String {
    if count == 1 { format!("One {what}") } else { format!("{count} {what}s") }
}

fn one(settled: &Settled, at: usize, card: &Card) -> String {
    let of = settled.sawing.cards.len();
    let label = escape(&shortened(settled.plan.yard.label(card.stock).1));
    let stays = if card.stop_stays { " <span class=\"stays\">stop stays</span>" } else { "" };
    let what = if card.work == Work::Rip { "Fence at" } else { "Stop at" };
    let (stop, unit) = (escape(&cards::set(settled, card.stop)), cards::unit(settled));
    let exactly =
        cards::between_marks(settled, card.stop).map_or_else(String::new, |said| format!(" {}", escape(&said)));
    let drawn = drawn(settled, at, card);
    let rows: String = card.rows().into_iter().map(|row| self::row(settled, at, card, row)).collect();
    let said: Vec<String> = said(settled, at, card).into_iter().map(|line| format!("<p>{line}</p>\n")).collect();
    let ticks: String = card.cuts().map(|cut| tick(&cards::makes(settled, cut))).collect();
    let count = number(&format!("card.{at}.count"), &card.cuts().count().to_string());
    let made = if card.work == Work::Rip { "strips" } else { "parts" };
    format!(
        "<article class=\"card\" aria-labelledby=\"h-card-{at}\">\n<h3 id=\"h-card-{at}\">Card {at} of {of}: {label}</h3>\n<p class=\"stop\">{what} <strong>{stop}</strong>{unit}{exactly}{stays}</p>\n<p class=\"ends\">{}; {}. {}</p>\n{drawn}<p class=\"count\">{count} {made}:</p>\n{rows}{}<ul class=\"tally\">{ticks}</ul>\n</article>\n",
        escape(cards::reads(card)),
        escape(&cards::ends(card)),
        cards::flip(card),
        said.concat(),
    )
}

/// A label that has room on a card.
fn shortened(label: &str) -> String {
    const MOST: usize = 60;
    if label.chars().count() <= MOST { label.to_owned() } else { label.chars().take(MOST - 1).chain(['…']).collect() }
}

fn drawn(settled: &Settled, at: usize, card: &Card) -> String {
    let Some(first) = card.cuts().next() else { return String::new() };
    let way = match card.work {
        Work::Rip => Setting::Rip,
        Work::Crosscut => Setting::Crosscut(card.ends.0.map(|end| [end.mitre, end.tilt])),
    };
    let part = cards::makes(settled, first);
    let view = CardView { number: at, part, stop: card.stop, rest: first.rest, way };
    format!("<figure>\n{}\n</figure>\n", drawing::card(&view, settled.plan.tape).inline())
}

/// Boards that are cut alike: what they give, and what the tape reads after each cut with the least that must be there.
fn row(settled: &Settled, at: usize, card: &Card, lots: &[Lot]) -> String {
    let Some(lot) = lots.first() else { return String::new() };
    let show = |length: Length| escape(&cards::set(settled, length));
    let least = |place: usize| match lot.cuts.get(place) {
        Some(cut) => format!(" <span class=\"least\">≥ {}</span>", show(cut.least)),
        None => String::new(),
    };
    let first_lot = card.lots.first().is_some_and(|first| first.from == lot.from);
    let rest = |place: usize| {
        let shown = show(lot.cuts[place].rest);
        let last = first_lot && place + 1 == lot.cuts.len();
        if last { number(&format!("card.{at}.rest"), &shown) } else { shown }
    };
    let after = |place: usize| format!("<li><span>{}:</span> {}{}</li>", place + 1, rest(place), least(place + 1));
    let readings: String = (0..lot.cuts.len()).map(after).collect();
    let each = if lots.len() > 1 { " from each" } else { "" };
    let way = if card.work == Work::Rip { "wide" } else { "long" };
    format!(
        "<p class=\"lot\"><strong>{}</strong>, {} {way}: {}{each}. Rest reads</p>\n<ul class=\"readings\"><li><span>first:</span> {}{}</li>{readings}</ul>\n",
        escape(&cards::which(card, lots)),
        show(lot.length),
        lot.cuts.len(),
        show(lot.start),
        least(0)
    )
}

/// The check, how to hold, what is done after the cut; already safe.
fn said(settled: &Settled, at: usize, card: &Card) -> Vec<String> {
    let made = if card.work == Work::Rip { "strip" } else { "part" };
    let check = escape(&cards::check(settled, card));
    let mut said =
        vec![format!("<strong>First off</strong>: measure the first {made} before the second is cut: {check}.")];
    let beyond = cards::beyond(settled, std::slice::from_ref(card));
    if !beyond.is_empty() {
        said.insert(0, format!("<strong class=\"care\">{}</strong>", escape(&beyond)));
    }
    said.extend(cards::hold(settled, card).iter().map(|line| escape(line)));
    if let Some(kerf) = cards::wider_kerf(settled, card) {
        said.push(format!("Rests are reckoned with {} for each cut, as slanted ends of this kind take it: square cuts leave a little more.", escape(&kerf)));
    }
    let mass = format!("card.{at}.mass");
    if let Some(mass) = settled.sawing.quantities.iter().find(|quantity| quantity.name == mass) {
        let shown = number(&mass.name, &escape(&words::value(settled, mass.value)));
        said.push(format!("On the saw at the start: {shown}; it grows lighter with each strip."));
    }
    let after = cards::after(settled, card);
    if !after.is_empty() {
        let mark = |name: &String| {
            let quantity: Option<&Quantity> = settled.build.quantities.iter().find(|quantity| quantity.name == *name);
            quantity.map(|quantity| {
                let shown = number(&quantity.name, &escape(&words::value(settled, quantity.value)));
                format!("{} {shown}", escape(&quantity.what))
            })
        };
        let marks: Vec<String> = card.marks.iter().filter_map(mark).collect();
        let marks = if marks.is_empty() { String::new() } else { format!(": {}", marks.join("; ")) };
        said.push(format!("<strong>{}</strong>{marks}.", escape(&after)));
    }
    said
}

fn tick(made: &str) -> String {
    format!("<li><label><input type=\"checkbox\"> {}</label></li>", escape(made))
}
