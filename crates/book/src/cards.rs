//! Cards at the saw in words: what the terminal, the page and the lists share.

use advise::Settled;
use measure::{Length, Unit};
use model::schema::StockKind;
use stages::saw::{Card, Cut, End, Flip, Lot, Makes, Reads, Work};
use std::collections::BTreeMap;

/// A length as it is set and read: at the nearest mark of the tape.
pub(crate) fn set(settled: &Settled, length: Length) -> String {
    settled.plan.tape.show(length)
}

/// What to say behind a length that lies between two marks: that it is full or bare of the one it is set at (so the trade calls a
/// little more and a little less), and what it is exactly.
pub(crate) fn between_marks(settled: &Settled, length: Length) -> Option<String> {
    let tape = settled.plan.tape;
    let mark = length.round_to(tape.step());
    let word = if mark > length { "bare" } else { "full" };
    (mark != length).then(|| format!("{word} ({} exactly)", tape.show_exact(length)))
}

/// What each cut of the kind is reckoned with, where that is more than the saw's own kerf.
pub(crate) fn wider_kerf(settled: &Settled, card: &Card) -> Option<String> {
    let cutting = &settled.cutting;
    let board = cutting.sections.iter().find(|section| section.stock == card.stock).map(|section| section.kerf);
    let sheet = || cutting.sheets.iter().find(|sheets| sheets.stock == card.stock).map(|sheets| sheets.kerf);
    let shed = &settled.plan.shed;
    let own = if card.stock.kind == StockKind::Sheet { shed.saw_for_sheets().kerf } else { shed.kerf };
    let kerf = board.or_else(sheet).filter(|kerf| *kerf > own)?;
    Some(settled.plan.tape.show_fine(kerf))
}

/// The unit behind a bare number: `mm`, and nothing for inches, which carry their marks.
pub(crate) fn unit(settled: &Settled) -> &'static str {
    if settled.plan.tape.unit() == Unit::Millimetre { " mm" } else { "" }
}

/// The name of what a cut makes: a part's id, a strip's number.
pub(crate) fn makes(settled: &Settled, cut: &Cut) -> String {
    match cut.makes {
        Makes::Part(part) => settled.build.parts[part].id.clone(),
        Makes::Strip(strip) => strip.to_string(),
    }
}

/// How the blade stands at both ends: `both ends square`, `mitre 45° at both ends`.
pub(crate) fn ends(card: &Card) -> String {
    if card.work == Work::Rip {
        return "blade upright".into();
    }
    let degrees = |tenths: i32| match tenths.abs() % 10 {
        0 => format!("{}°", tenths.abs() / 10),
        part => format!("{}.{part}°", tenths.abs() / 10),
    };
    let end = |end: End| match (end.mitre, end.tilt) {
        (0, 0) => "square".to_owned(),
        (mitre, 0) => format!("saw turned {}", degrees(mitre)),
        (0, tilt) => format!("blade tilted {}", degrees(tilt)),
        (mitre, tilt) => format!("saw turned {}, blade tilted {}", degrees(mitre), degrees(tilt)),
    };
    let [first, last] = card.ends.0;
    let [one, other] = [end(first), end(last)];
    if one == other { format!("both ends {one}") } else { format!("one end {one}, the other {other}") }
}

/// What the saw of the shed does not do of it, in one sentence; empty if nothing.
pub(crate) fn beyond(settled: &Settled, cards: &[Card]) -> String {
    let all = stages::saw::beyond(cards, &settled.build, &settled.plan);
    let told: Vec<String> = all.into_iter().map(|beyond| beyond.told(settled.plan.tape)).collect();
    if told.is_empty() { String::new() } else { format!("Not with the saw in the shed: {}.", told.join("; ")) }
}

/// What is turned between two cuts; empty for square ends.
pub(crate) fn flip(card: &Card) -> &'static str {
    match card.flip {
        Flip::None => "",
        Flip::OneEnd => "Set the saw back to square for the other end; the stop meets the square one.",
        Flip::EverySecond => "Turn the board over about its length for every second cut; the saw stays.",
        Flip::Stays => "Both ends are parallel: turn neither the board nor the saw.",
        Flip::TurnTheSaw => "Set the saw anew for the other end of each part; keep left and right hands apart.",
    }
}

/// How the stop meets the part: `end to end`.
pub(crate) fn reads(card: &Card) -> &'static str {
    match (card.work, card.reads) {
        (Work::Rip, _) => "from fence to blade",
        (_, Reads::EndToEnd) => "from blade to stop, end to end",
        (_, Reads::LongToLong) => "from blade to stop, long point to long point",
        (_, Reads::LongToShort) => "from blade to stop, long point to short point",
    }
}

/// How the first one is checked: `1510 ± 0.5`.
pub(crate) fn check(settled: &Settled, card: &Card) -> String {
    let by = set(settled, card.check);
    format!("{} ± {by}{}", set(settled, card.stop), unit(settled))
}

/// What lies at the saw: `board`, `sheet` or `strip`, in plural if they are several. The clear stretches of a board are boards.
pub(crate) fn stock(card: &Card, several: bool) -> &'static str {
    let strip = card.stock.kind == StockKind::Sheet && card.lots.first().is_some_and(|lot| lot.from.strip.is_some());
    match (card.work, strip, several) {
        (Work::Rip, _, false) => "sheet",
        (Work::Rip, _, true) => "sheets",
        (_, true, false) => "strip",
        (_, true, true) => "strips",
        (_, false, false) => "board",
        (_, false, true) => "boards",
    }
}

/// Which boards: `board 4`, `boards 1–3`, `strips 1.1, 1.2`; long lists of strips by their first and last.
pub(crate) fn which(card: &Card, lots: &[Lot]) -> String {
    let word = stock(card, lots.len() > 1);
    let from = |lot: &Lot| lot.from.to_string();
    match lots {
        [] => String::new(),
        [one] => format!("{word} {}", from(one)),
        [first, .., last] if in_a_row(lots) => {
            format!("{word} {}–{}", from(first), from(last))
        }
        [first, second, .., last] if lots.len() > 6 => {
            format!("{word} {}, {}, … {}", from(first), from(second), from(last))
        }
        few => format!("{word} {}", few.iter().map(from).collect::<Vec<_>>().join(", ")),
    }
}

/// Whether boards follow one another by number.
fn in_a_row(lots: &[Lot]) -> bool {
    let whole = lots.iter().all(|lot| (lot.from.strip, lot.from.piece) == (None, None));
    whole && lots.windows(2).all(|two| two[0].from.number + 1 == two[1].from.number)
}

/// How boards with bad stretches are parted before anything is cut from them, a sentence for each clear stretch that is begun at the
/// card.
fn parted(settled: &Settled, card: &Card) -> Vec<String> {
    let tape = settled.plan.tape;
    let begun = card.lots.iter().filter(|lot| is_begun(lot));
    let told = |lot: &Lot| {
        let [from, to] = lot.span?.map(|at| tape.show_exact(at));
        let off = stages::saw::squared_off(card.stock.kind, &settled.plan);
        let reads = match lot.length == lot.start {
            true => format!("Readings are from its end at {from}."),
            false => format!("Square the marked end, taking {} off; readings are from there.", tape.show_exact(off)),
        };
        Some(format!(
            "Board {} has bad stretches: saw {} out of it, from {from} to {to} by the tape from its marked end, the blade on the bad side. {reads}",
            lot.from.number, lot.from
        ))
    };
    begun.filter_map(told).collect()
}

/// Whether nothing has come out of it before this card.
fn is_begun(lot: &Lot) -> bool {
    lot.cuts.first().is_some_and(|cut| cut.so_far.1 == 1)
}

/// How the pieces are squared that the yard has parted for the car, a sentence for each place in the board or sheet of which one is
/// begun at the card.
fn pieces(settled: &Settled, card: &Card) -> Vec<String> {
    let mut begun: BTreeMap<u32, &Lot> = BTreeMap::new();
    for lot in card.lots.iter().filter(|lot| is_begun(lot)) {
        lot.from.piece.iter().for_each(|&piece| {
            begun.entry(piece).or_insert(lot);
        });
    }
    let edge = if card.work == Work::Rip { "edge" } else { "end" };
    let told = |(piece, lot): (u32, &Lot)| {
        let off = format!("{}{}", set(settled, lot.off), unit(settled));
        let which = match piece {
            1 => format!("the {edge} as it was sold"),
            _ => format!("the {edge} at which the yard cut it off the piece before"),
        };
        let how = match card.work {
            Work::Rip => format!(
                "the other edge against the fence, take {off} off {which}, kerf included; then the edge that was sawn last against the fence"
            ),
            Work::Crosscut => format!("square {which}, taking {off} off with the kerf; readings are from there"),
        };
        format!(
            "Piece {piece} of what the yard parted ({}): {how}. What is over at the other {edge} is waste.",
            lot.from
        )
    };
    begun.into_iter().map(told).collect()
}

/// How it is held, in whole sentences.
pub(crate) fn hold(settled: &Settled, card: &Card) -> Vec<String> {
    let mut said = Vec::new();
    let is_new = |lot: &Lot| (lot.span, lot.from.piece) == (None, None) && is_begun(lot);
    if card.lots.iter().any(is_new) {
        said.push(squared(settled, card));
    }
    said.extend(parted(settled, card));
    said.extend(pieces(settled, card));
    if card.work == Work::Rip {
        said.push(
            "Guard and riving knife in place; feed past the blade with a push stick, never by hand; let a second person or a stand take the strip.".to_owned(),
        );
        return said;
    }
    let clamped: Vec<&str> = card.clamped().map(|part| settled.build.parts[part].id.as_str()).collect();
    if card.short && clamped.len() < card.cuts().count() {
        said.push("Short parts: cut them while they hang on the long rest, and hold that.".to_owned());
    }
    if !clamped.is_empty() {
        said.push(format!(
            "{}: part and rest are both short. Clamp, or hold with a longer piece behind, never with fingers near the blade; set the stop by a spacer and take that away before the cut.",
            clamped.join(" ")
        ));
    }
    said
}

/// How what is new on the saw is squared off: half the trim.
fn squared(settled: &Settled, card: &Card) -> String {
    let off = stages::saw::squared_off(card.stock.kind, &settled.plan);
    let takes = format!("{}{}", set(settled, off), unit(settled));
    match (card.work, off == Length::ZERO) {
        (Work::Rip, true) => "A new sheet: a factory edge against the fence, then the edge that was sawn last.".into(),
        (Work::Rip, false) => format!(
            "A new sheet: a factory edge against the fence, take {takes} off the other, kerf included; then the edge that was sawn last against the fence."
        ),
        (Work::Crosscut, true) => format!("A new {}: readings are from its end as it is.", stock(card, false)),
        (Work::Crosscut, false) => {
            format!(
                "A new {}: square one end, taking {takes} off with the kerf; readings are from there.",
                stock(card, false)
            )
        }
    }
}

/// What is done to parts after the cut; empty if nothing is.
pub(crate) fn after(settled: &Settled, card: &Card) -> String {
    if card.shaped.is_empty() && card.marks.is_empty() {
        return String::new();
    }
    let all = card.shaped.len() == card.parts().count();
    let ids: Vec<&str> = card.shaped.iter().map(|&part| settled.build.parts[part].id.as_str()).collect();
    let which = if all || ids.is_empty() { String::new() } else { format!(" ({})", ids.join(" ")) };
    if card.shaped.is_empty() {
        return "Marking sizes of the top".into();
    }
    format!("Shape{which} after the square cut, as drawn under Parts")
}

/// One line for each set-up, for the terminal.
pub(crate) fn lines(settled: &Settled) -> Vec<String> {
    let cards = settled.sawing.cards.as_slice();
    let line = |alike: &[Card]| {
        let card = &alike[0];
        let (name, label) = settled.plan.yard.label(card.stock);
        let count: usize = alike.iter().map(|card| card.cuts().count()).sum();
        let lots: Vec<Lot> = alike.iter().flat_map(|card| card.lots.iter().cloned()).collect();
        let stop = set(settled, card.stop);
        let label = if label.is_empty() { name } else { label };
        let what = match card.work {
            Work::Rip => format!("rip {count} × {stop} wide"),
            Work::Crosscut => format!("{count} × {stop}, {}", ends(card)),
        };
        let stays = if card.stop_stays { "; stop stays" } else { "" };
        let beyond =
            if beyond(settled, alike).is_empty() { "" } else { "; not with the saw in the shed (see the notes)" };
        format!("{:>3}  {label}: {what}, from {}{stays}{beyond}", card.set_up, which(card, &each_once(lots)))
    };
    cards.chunk_by(|one, next| one.set_up == next.set_up).map(line).collect()
}

/// A board that goes on on the next card is one board.
fn each_once(mut lots: Vec<Lot>) -> Vec<Lot> {
    lots.dedup_by_key(|lot| lot.from);
    lots
}
