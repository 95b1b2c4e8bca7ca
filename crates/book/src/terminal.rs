//! The plan in words for a terminal: plain text, no colour, some eighty to a hundred columns.

use crate::asked;
use crate::{cards, fixings, sides, standing, whatif, words};
use advise::Settled;
use audit::Verdict;
use measure::Length;
use stages::cut::Sheets;
use std::collections::BTreeMap;

/// The whole plan in words.
pub fn text(settled: &Settled, verdict: &Verdict) -> String {
    let mut out = String::new();
    let mut section = |title: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            out += &format!("\n{title}\n");
            lines.iter().for_each(|line| out += &format!("  {line}\n"));
        }
    };
    section("Day book", daybook(settled));
    section("Comes out", comes_out(settled));
    section(&format!("Ways ({})", words::size_names(settled)), ways(settled));
    section("Ways to build it", side_by_side(settled));
    section("Parts", parts(settled));
    section("Fix", fix(settled));
    section("Cut", cuts(settled));
    section("Saw", cards::lines(settled));
    section("Buy", buying(settled));
    section("A little more, a little less", few(settled));
    section("If the yard has too few", too_few(settled));
    section("Know", know(settled));
    section("Questions", questions(settled));
    section("Steps", steps(settled));
    section("Referee", referee(verdict));
    format!("{}\n{}\n{out}", settled.plan.title, words::one_line(settled))
}

/// What the day book fixed, and what follows from it.
fn daybook(settled: &Settled) -> Vec<String> {
    let lines = standing::fixed(settled).into_iter().chain(standing::changed(settled));
    let told = |line: standing::Line| format!("{}: was {}, is {} ({})", line.what, line.was, line.is, line.why);
    settled.plan.standing.notice.iter().cloned().chain(lines.map(told)).collect()
}

fn comes_out(settled: &Settled) -> Vec<String> {
    let tape = settled.plan.tape;
    let closing = &settled.ways[settled.chosen].closing;
    let mut lines = Vec::new();
    for (size, &length) in settled.asked.problem.sizes.iter().zip(&closing.sizes) {
        let (want, length) = (Length::nm(size.wish.want), Length::nm(length));
        let wished = if want == length { "as wished".into() } else { format!("wished {}", tape.show_exact(want)) };
        lines.push(format!("{:<22}{:>9}  {wished}", size.name, tape.show_exact(length)));
    }
    for row in &settled.build.rows {
        let gap =
            row.gaps.map_or_else(|| "no gap".into(), |gaps| format!("{} of {}", gaps.places(), tape.show_gap(gaps)));
        let name = format!("{}.{}", row.piece, row.face.replace(' ', "-"));
        let what = format!("{} and gaps {gap}", words::members(row, tape));
        lines.push(format!("{name:<22}{:>9}  {what}", tape.show_exact(row.length)));
    }
    lines.extend(words::choices(settled, closing));
    lines.push(words::proven(settled));
    lines
}

fn ways(settled: &Settled) -> Vec<String> {
    let shown = |place: usize| words::sizes(settled, &settled.ways[place].closing.sizes);
    let widest = (0..settled.ways.len()).map(|place| shown(place).chars().count()).max().unwrap_or(0);
    let way = |place: usize| {
        let way = &settled.ways[place];
        let mark = if place == settled.chosen { "→" } else { " " };
        format!(
            "{:>2} {mark} {:<widest$}  {:>14}  {}",
            place + 1,
            shown(place),
            words::price(way),
            words::remark(settled, place)
        )
    };
    let mut lines: Vec<String> = (0..settled.ways.len()).map(way).collect();
    let cheapest = if settled.cheapest_proven {
        "the cheapest of these is proven to be the cheapest there is"
    } else {
        "whether something cheaper comes out is not proven"
    };
    lines.push(format!("     {cheapest}"));
    lines
}

/// The ways to build it, side by side.
fn side_by_side(settled: &Settled) -> Vec<String> {
    let lines = sides::lines(settled);
    if lines.is_empty() {
        return Vec::new();
    }
    let table = [vec![(String::new(), sides::heads(settled))], lines].concat();
    let first = table.iter().map(|(what, _)| what.chars().count()).max().unwrap_or(0);
    let width = |at: usize| table.iter().map(|(_, cells)| cells[at].chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..settled.sides.len()).map(width).collect();
    let line = |(what, cells): &(String, Vec<String>)| {
        let cells = cells.iter().zip(&widths).map(|(cell, &width)| format!("  {cell:>width$}"));
        format!("{what:<first$}{}", cells.collect::<String>())
    };
    table.iter().map(line).chain(sides::notes(settled)).collect()
}

/// What a few millimetres do, traps and spacers.
fn few(settled: &Settled) -> Vec<String> {
    let all = &settled.what_ifs;
    let gives = all.gives.iter().filter_map(|give| whatif::give(settled, give));
    let traps = all.traps.iter().map(|trap| whatif::trap(settled, trap));
    gives.chain(traps).chain(all.spacers.iter().map(|spacer| whatif::spacer(settled, spacer))).collect()
}

/// What to do where the yard has none of a length; where it has a few, the page says.
fn too_few(settled: &Settled) -> Vec<String> {
    let mut lines = Vec::new();
    for fallback in &settled.what_ifs.fallbacks {
        let kind = &settled.plan.yard.boards[fallback.stock.place];
        let Some(left) = fallback.left.first().filter(|left| left.count == 0) else { continue };
        let length = settled.plan.tape.show(kind.lengths[fallback.length].length);
        lines.push(format!("no {} × {length}: {}", kind.label, whatif::kept(settled, fallback, left)));
        lines.extend(whatif::moved(settled, left).map(|moved| format!("    or {moved}")));
    }
    lines
}

fn parts(settled: &Settled) -> Vec<String> {
    let tape = settled.plan.tape;
    let mut kinds: BTreeMap<String, (usize, u32)> = BTreeMap::new();
    for (place, part) in settled.build.parts.iter().enumerate() {
        let letters = part.id.trim_end_matches(|c: char| c.is_ascii_digit()).to_owned();
        kinds.entry(letters).or_insert((place, 0)).1 += 1;
    }
    let mut kinds: Vec<(String, (usize, u32))> = kinds.into_iter().collect();
    kinds.sort_by_key(|(_, (place, _))| *place);
    let line = |(letters, (place, count)): &(String, (usize, u32))| {
        let part = &settled.build.parts[*place];
        let size = [part.solid.length, part.solid.width, part.solid.thickness]
            .map(|length| tape.show_exact(length))
            .join(" × ");
        let (piece, role) = (&part.key.piece, &part.key.role);
        format!("{letters:<3}{count:>4} × {size:<30}{piece} {role}, {}", settled.plan.yard.label(part.stock).0)
    };
    kinds.iter().map(line).collect()
}

fn cuts(settled: &Settled) -> Vec<String> {
    let mut lines = Vec::new();
    for section in &settled.cutting.sections {
        let label = settled.plan.yard.label(section.stock).1;
        let best = words::cut_status(settled, section);
        lines.push(format!("{label}: {best}"));
        for cut in &section.cuts {
            let ids: Vec<String> = cut.boards.iter().map(|board| ids(settled, board)).collect();
            let called = words::called(settled, section, cut);
            let pattern = words::pattern(settled, cut);
            lines.push(format!("  {} × {pattern}{called}  [{}]", cut.boards.len(), shortened(&ids)));
        }
    }
    for sheets in &settled.cutting.sheets {
        lines.extend(sheet_lines(settled, sheets));
    }
    lines
}

fn sheet_lines(settled: &Settled, sheets: &Sheets) -> Vec<String> {
    let tape = settled.plan.tape;
    let label = settled.plan.yard.label(sheets.stock).1;
    let mut lines = vec![format!("{label}: {}", crate::sheets::said(sheets))];
    for alike in crate::sheets::alike(settled, sheets) {
        let sheet = alike[0];
        let [length, width] = sheet.measures.map(|side| tape.show(side));
        let left = format!("{} of the width left", tape.show_exact(sheet.slack));
        let measured = if sheet.comfortable { "" } else { "; possible, if measured" };
        lines.push(format!("  {} × {length} × {width}: {left}{measured}", alike.len()));
        for (place, strip) in sheet.strips.iter().enumerate() {
            let ids = |sheet: &&stages::cut::SheetCut| ids(settled, &sheet.strips[place].parts);
            let ids: Vec<String> = alike.iter().map(ids).collect();
            let left = tape.show_exact(strip.slack);
            lines.push(format!("    strip {} wide: {left} left  [{}]", tape.show_exact(strip.width), shortened(&ids)));
        }
    }
    lines
}

fn ids(settled: &Settled, places: &[usize]) -> String {
    places.iter().map(|&place| settled.build.parts[place].id.as_str()).collect::<Vec<&str>>().join(" ")
}

/// The first few of a long list.
fn shortened(items: &[String]) -> String {
    match items {
        [] => String::new(),
        few if few.len() <= 4 => few.join(" | "),
        [first, .., last] => format!("{first} | … | {last}"),
        [only] => only.clone(),
    }
}

fn buying(settled: &Settled) -> Vec<String> {
    let line = |line: &stages::buy::Line| {
        let amount = line.amount.map_or_else(|| "no price".into(), |amount| amount.to_string());
        format!("{:>4} × {:<52}{amount:>10}", line.count, words::bought(settled, line))
    };
    let mut lines: Vec<String> = settled.buying.lines.iter().map(line).collect();
    let missing = words::without(settled.buying.unpriced);
    let (total, currency) = (settled.buying.total.to_string(), &settled.plan.yard.currency);
    lines.push(format!("{:<59}{total:>10} {currency}{missing}", "in all"));
    lines.extend(materials(settled));
    lines.extend(words::from_shed(settled).into_iter().map(|line| format!("       {line}, from the shed")));
    lines.extend(words::to_pay(settled).into_iter().map(|(what, _, amount)| format!("{what}: {amount}")));
    lines.extend(words::parted(settled));
    lines.extend(settled.buying.notes.iter().cloned());
    lines
}

fn materials(settled: &Settled) -> Vec<String> {
    let buying = &settled.buying;
    let line = |line: &stages::buy::MaterialLine| {
        let amount = line.amount.map_or_else(|| "no price".into(), |amount| amount.to_string());
        format!("{:>4} × {:<52}{amount:>10}", line.count, words::material(settled, line))
    };
    let mut lines: Vec<String> = buying.materials.iter().map(line).collect();
    if !lines.is_empty() {
        let (total, missing) = (buying.materials_total.to_string(), words::without(buying.materials_unpriced));
        let currency = &settled.plan.yard.currency;
        lines.push(format!("{:<59}{total:>10} {currency}{missing}", "screws, bags and the rest"));
    }
    lines
}

fn fix(settled: &Settled) -> Vec<String> {
    let line = |alike: &fixings::Alike<'_>| {
        let ([held, base], one) = (alike.letters, alike.one);
        let (screw, holes) = (fixings::screw(settled, one), fixings::holes(settled, one));
        let places = if alike.joints == 1 { "place" } else { "places" };
        format!("{held} to {base}: {} in each of {} {places}, {screw}; {holes}", one.heads.len(), alike.joints)
    };
    fixings::alike(settled).iter().map(line).collect()
}

fn know(settled: &Settled) -> Vec<String> {
    let open = fixings::open(settled);
    let open = open.iter().map(|open| format!("NOT HELD: {}", fixings::said_open(settled, open)));
    let notes = settled.build.notes.iter().map(|note| format!("{}: {}", note.piece, note.text));
    open.chain(notes).collect()
}

fn questions(settled: &Settled) -> Vec<String> {
    let shown = |name: &Option<String>| {
        let quantity = settled.quantities().find(|quantity| Some(&quantity.name) == name.as_ref());
        quantity.map(|quantity| words::value(settled, quantity.value))
    };
    let line = |answer: &&stages::check::Answer| {
        let value = match (shown(&answer.value), shown(&answer.limit)) {
            (Some(value), Some(limit)) => format!(": {value}, limit {limit}"),
            _ => String::new(),
        };
        let more = answer.change.iter().chain(&answer.needs).map(|text| format!("; {text}")).collect::<String>();
        format!("{} {} {}{value}{more}", answer.question, answer.about, answer.verdict.word())
    };
    let (worst, rest) = asked::worst(settled);
    let mut lines: Vec<String> = worst.iter().map(line).collect();
    lines.extend(Some(asked::counted(&rest)).filter(|counted| !counted.is_empty()));
    lines
}

fn steps(settled: &Settled) -> Vec<String> {
    let step = |(place, ordered): (usize, &stages::make::Ordered)| {
        let step = &ordered.step;
        let caution = step.caution.as_ref().map_or_else(String::new, |caution| format!(". Care: {caution}"));
        format!("{:>2}. {}{caution}", place + 1, step.what)
    };
    settled.making.steps.iter().enumerate().map(step).collect()
}

fn referee(verdict: &Verdict) -> Vec<String> {
    if verdict.passed() {
        let checked: u64 = verdict.checked.iter().map(|(_, count)| count).sum();
        let mut lines = vec![format!("passed: {checked} claims checked")];
        lines.extend(verdict.unchecked.iter().map(|claim| format!("not verified: {claim}")));
        return lines;
    }
    let mut lines = vec!["FAILED: do not build from this plan".to_owned()];
    lines.extend(verdict.findings.iter().map(|finding| format!("{}: {}", finding.rule, finding.message)));
    lines
}
