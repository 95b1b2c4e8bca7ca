//! What one plan has and another has not: was, and is.

use crate::Settled;
use measure::Length;
use std::collections::BTreeMap;

/// One thing that is no longer what it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// What, in words.
    pub what: String,
    /// What it was; empty if it was not there.
    pub was: String,
    /// What it is now; empty if it is no longer there.
    pub is: String,
}

/// What is told of a plan, by name, in the order in which it is told.
type Told = Vec<(String, String)>;

/// What differs between a plan as it was and as it is: sizes, gaps, lengths of parts, what is bought, cost, tight boards,
/// questions.
pub fn changes(was: &Settled, is: &Settled) -> Vec<Change> {
    let subjects: [fn(&Settled) -> Told; 6] = [sizes, gaps, parts, bought, sums, questions];
    subjects.iter().flat_map(|tell| between(tell(was), tell(is))).collect()
}

fn between(was: Told, is: Told) -> Vec<Change> {
    let before: BTreeMap<&String, &String> = was.iter().map(|(name, value)| (name, value)).collect();
    let after: BTreeMap<&String, &String> = is.iter().map(|(name, value)| (name, value)).collect();
    let text = |of: &BTreeMap<&String, &String>, name: &String| {
        of.get(name).map_or_else(String::new, |value| (*value).clone())
    };
    let gone = was.iter().filter(|(name, _)| !after.contains_key(name));
    let all = is.iter().chain(gone).map(|(name, _)| name);
    let change = |name: &String| Change { what: name.clone(), was: text(&before, name), is: text(&after, name) };
    all.map(change).filter(|change| change.was != change.is).collect()
}

fn sizes(settled: &Settled) -> Told {
    let tape = settled.plan.tape;
    let closing = &settled.ways[settled.chosen].closing;
    let sizes = settled.asked.problem.sizes.iter().zip(&closing.sizes);
    sizes.map(|(size, &value)| (size.name.clone(), tape.show_exact(Length::nm(value)))).collect()
}

fn gaps(settled: &Settled) -> Told {
    let tape = settled.plan.tape;
    let row = |row: &model::build::Row| {
        let name = format!("gap of {}.{}", row.piece, row.face.replace(' ', "-"));
        row.gaps.map(|gaps| (name, format!("{} of {}", gaps.places(), tape.show_gap(gaps))))
    };
    settled.build.rows.iter().filter_map(row).collect()
}

/// The parts by piece and role, those that are cut already apart from the others.
fn parts(settled: &Settled) -> Told {
    let tape = settled.plan.tape;
    let mut kinds: Vec<((String, String), BTreeMap<Length, usize>)> = Vec::new();
    for (place, part) in settled.build.parts.iter().enumerate() {
        let done = settled.assigned.filled.contains_key(&place);
        let word = if done { "cut: " } else { "" };
        let of =
            (format!("{word}{} {}", part.key.piece, part.key.role), settled.plan.yard.label(part.stock).0.to_owned());
        let known = kinds.iter().position(|(kind, _)| *kind == of);
        let at = known.unwrap_or_else(|| {
            kinds.push((of, BTreeMap::new()));
            kinds.len() - 1
        });
        *kinds[at].1.entry(part.solid.length).or_default() += 1;
    }
    let told = |((name, stock), lengths): ((String, String), BTreeMap<Length, usize>)| {
        let each = lengths.iter().rev().map(|(&length, count)| format!("{count} × {}", tape.show_exact(length)));
        (format!("{name}, {stock}"), each.collect::<Vec<String>>().join(" + "))
    };
    kinds.into_iter().map(told).collect()
}

fn bought(settled: &Settled) -> Told {
    let tape = settled.plan.tape;
    let standing = &settled.plan.standing;
    let line = |line: &stages::buy::Line| {
        let size: Vec<String> = line.size.iter().map(|&length| tape.show_exact(length)).collect();
        let word = if standing.is_home(line.stock) { "from home" } else { "buy" };
        let name = settled.plan.yard.label(line.stock).0;
        (
            format!("{word}: {}", [vec![name.to_owned()], vec![size.join(" × ")]].concat().join(" ").trim_end()),
            line.count.to_string(),
        )
    };
    settled.buying.lines.iter().map(line).collect()
}

fn sums(settled: &Settled) -> Told {
    let currency = &settled.plan.yard.currency;
    let total = settled.buying.total + settled.buying.materials_total;
    let cost = ("what is still to pay".to_owned(), format!("{total} {currency}"));
    let tight = ("boards that are only possible if measured".to_owned(), settled.cutting.tight().to_string());
    let left = |section: &stages::cut::Section| {
        let board = &settled.plan.yard.boards[section.stock.place].name;
        let least = section.cuts.iter().map(stages::cut::BoardCut::least_slack).min()?;
        Some((format!("least left on a board of {board}"), settled.plan.tape.show_exact(least)))
    };
    [cost, tight].into_iter().chain(settled.cutting.sections.iter().filter_map(left)).collect()
}

fn questions(settled: &Settled) -> Told {
    let each = settled.answers.answers.iter();
    each.map(|answer| (format!("{} ({})", answer.question, answer.about), answer.verdict.word().to_owned())).collect()
}
