//! What-ifs in words: each is one difference, what was, what is, and why.

use advise::Settled;
use advise::whatif::{Fallback, Give, Left, Spacer, Stretch, Trap};
use measure::{Length, Money};
use model::schema::StockKind;
use model::stock::From;

/// A size by its name, as people say it.
pub(crate) fn size_name(settled: &Settled, size: usize) -> String {
    settled.asked.problem.sizes[size].name.replace('.', " ")
}

/// What a few millimetres save, or how far a size may go before it costs more: `left length: give 2 mm (478 from 480), keep
/// 10.08, comfortable`. `None` where neither is near.
pub(crate) fn give(settled: &Settled, give: &Give) -> Option<String> {
    let tape = settled.plan.tape;
    let name = size_name(settled, give.size);
    let stands = settled.ways[settled.chosen].closing.sizes[give.size];
    let here = &give.stretches[give.stands_in];
    let saves = |at: usize| {
        let there = &give.stretches[at];
        let (place, saved) = (there.nearest(stands), here.price.total - there.price.total);
        let by = tape.show_with_unit(Length::nm(place - stands).abs());
        let word = if place < stands { "less" } else { "more" };
        let comfort = match there.price.tight {
            0 => "comfortable".to_owned(),
            tight => format!("possible, if measured: {tight} tight"),
        };
        // What is searched for a few millimetres is short; a plan that is not proven may be dearer than need be.
        let proven = if there.price.proven { "" } else { ", not proven the least there" };
        format!(
            "give {by} ({} is {word} than {}), keep {saved}, {comfort}{proven}",
            show(settled, place),
            show(settled, stands)
        )
    };
    let mut said: Vec<String> = [give.cheaper_if_measured, give.cheaper].into_iter().flatten().map(saves).collect();
    let beyond = |at: Option<usize>, word: &str, edge: i64| {
        let there: &Stretch = give.stretches.get(at?)?;
        let more = there.price.total - here.price.total;
        let then = match (more > Money::hundredths(0), there.price.tight > here.price.tight) {
            (true, _) => format!("costs {more} more"),
            (false, true) => format!("leaves {} tight", there.price.tight),
            _ => return None,
        };
        Some(format!("{word} {} {then}", show(settled, edge)))
    };
    said.extend(beyond(Some(give.stands_in + 1), "more than", here.to));
    said.extend(beyond(give.stands_in.checked_sub(1), "less than", here.from));
    (!said.is_empty()).then(|| format!("{name}: {}", said.join("; ")))
}

fn show(settled: &Settled, place: i64) -> String {
    settled.plan.tape.show(Length::nm(place))
}

/// The same parts from what there is: `6 × 1800: 0.00 more; 6 tight`.
pub(crate) fn kept(settled: &Settled, fallback: &Fallback, left: &Left) -> String {
    let Some(kept) = &left.kept else { return "no way was found from what there is".into() };
    let kind = &settled.plan.yard.boards[fallback.stock.place];
    let tape = settled.plan.tape;
    let mut counts: Vec<(usize, u32)> = Vec::new();
    for board in &kept.boards {
        match counts.iter_mut().find(|(known, _)| *known == board.length) {
            Some((_, count)) => *count += board.times,
            None => counts.push((board.length, board.times)),
        }
    }
    let board = |&(length, count): &(usize, u32)| {
        let sold = &kind.lengths[length];
        let shown = format!("{count} × {}", tape.show(sold.length));
        match &sold.name {
            Some(name) if sold.from == From::Shed => format!("{shown} ({name}, from the shed)"),
            Some(name) => format!("{shown} ({name})"),
            None => shown,
        }
    };
    let boards: Vec<String> = counts.iter().map(board).collect();
    let section = settled.cutting.sections.iter().find(|section| section.stock == fallback.stock);
    let before = section.and_then(|section| section.cost);
    let more = match kept.cost.zip(before) {
        Some((cost, before)) if cost == before => ", the same money".to_owned(),
        Some((cost, before)) if cost < before => format!(", {} less", before - cost),
        Some((cost, before)) => format!(", {} more", cost - before),
        None => String::new(),
    };
    let comfort = match kept.tight {
        0 => ", comfortable".to_owned(),
        tight => format!(", {tight} possible only if measured"),
    };
    boards.join(", ") + &more + &comfort
}

/// The plan with a size off its place: `left length 476, right overall 2497: the same money, comfortable`.
pub(crate) fn moved(settled: &Settled, left: &Left) -> Option<String> {
    let moved = left.moved.as_ref()?;
    let way = &settled.ways[settled.chosen];
    let before = way.price.ok()?;
    let changed = moved.closing.sizes.iter().zip(&way.closing.sizes).enumerate().filter(|(_, (now, was))| now != was);
    let sizes: Vec<String> =
        changed.map(|(at, (now, _))| format!("{} {}", size_name(settled, at), show(settled, *now))).collect();
    let money = match moved.price.total - before.total {
        more if more == Money::hundredths(0) => "the same money".to_owned(),
        more if more > Money::hundredths(0) => format!("{more} more"),
        less => format!("{} less", Money::hundredths(0) - less),
    };
    let comfort =
        if moved.price.tight == 0 { ", comfortable".to_owned() } else { format!(", {} tight", moved.price.tight) };
    Some(format!("{}: {money}{comfort}", sizes.join(", ")))
}

/// `4 × 600 do not come out of a 2400, only 3: the saw takes its kerf. At 595 they would.`
pub(crate) fn trap(settled: &Settled, trap: &Trap) -> String {
    let kind = &settled.plan.yard.boards[trap.stock.place];
    let tape = settled.plan.tape;
    let stock = tape.show(kind.lengths[trap.length].length);
    format!(
        "{}: {} × {} look as if they came out of one {stock}, and only {} do, for the saw takes its kerf and the ends their trim. From {} down {} would.",
        kind.label,
        trap.on_paper,
        tape.show(trap.part),
        trap.at_saw,
        tape.show(trap.comes_at),
        trap.at_saw + 1
    )
}

/// `seat: one spacer of 7 for all rows leaves the last board of right 1 short.`
pub(crate) fn spacer(settled: &Settled, spacer: &Spacer) -> String {
    let tape = settled.plan.tape;
    let off = |row: &advise::whatif::SpacerRow| {
        let word = if row.off < Length::ZERO { "runs over" } else { "ends short" };
        format!("{} {word} by {}", row.face, tape.show_exact(row.off.abs()))
    };
    let rows: Vec<String> = spacer.rows.iter().filter(|row| row.off != Length::ZERO).map(off).collect();
    let shown = tape.show(spacer.spacer);
    if spacer.does {
        return format!("{}: one spacer of {shown} does for all its rows ({}).", spacer.piece, rows.join(", "));
    }
    format!(
        "{}: with a spacer of {shown} in every gap {}; lay it out by the marks instead.",
        spacer.piece,
        rows.join(", ")
    )
}

/// What to measure before paying, one sentence each.
pub(crate) fn measure_first(settled: &Settled) -> Vec<String> {
    let (tape, first) = (settled.plan.tape, &settled.what_ifs.first);
    let label = |stock| settled.plan.yard.label(stock).1.to_owned();
    let lengths = first.lengths.iter().map(|one| {
        format!(
            "{}: {} of {} are cut with nothing to spare. Each must really be {} long, and {} to be comfortable.",
            label(one.stock),
            one.boards,
            tape.show(one.label),
            tape.show_exact(one.least),
            tape.show_exact(one.comfortable)
        )
    });
    let tens = first.tens.iter().map(|ten| match ten.stock.kind {
        StockKind::Unit => format!(
            "{}: ten laid dry with joints of {} read {}.",
            label(ten.stock),
            tape.show_exact(ten.joint),
            tape.show_exact(ten.reads)
        ),
        _ => format!("{}: ten side by side read {}.", label(ten.stock), tape.show_exact(ten.reads)),
    });
    let sheets =
        first.sheets.iter().map(|&stock| format!("{}: the thickness of each sheet, at two corners.", label(stock)));
    lengths.chain(tens).chain(sheets).collect()
}
