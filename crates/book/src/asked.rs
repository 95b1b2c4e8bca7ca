//! Which answers are shown first, and how the others are counted.

use advise::Settled;
use stages::check::{Answer, Verdict};

/// So many answers are told whole; the others are folded.
const WORST: usize = 3;

/// The verdicts, the worst first: what fails, what nobody can tell, what is tight, what holds.
const ORDER: [Verdict; 4] = [Verdict::Fails, Verdict::CannotTell, Verdict::Tight, Verdict::Holds];

/// The answers, the worst first; of equals in the order in which they were asked.
fn in_order(settled: &Settled) -> Vec<&Answer> {
    let of = |verdict: Verdict| settled.answers.answers.iter().filter(move |answer| answer.verdict == verdict);
    ORDER.into_iter().flat_map(of).collect()
}

/// The worst answers, three of them at most and none that holds, and all others.
pub(crate) fn worst(settled: &Settled) -> (Vec<&Answer>, Vec<&Answer>) {
    let mut worst = in_order(settled);
    let open = worst.iter().filter(|answer| answer.verdict != Verdict::Holds).count();
    let rest = worst.split_off(open.min(WORST));
    (worst, rest)
}

/// What the folded answers come to: `looked at, and fails: 1; holds: 10`; empty if there are none.
pub(crate) fn counted(answers: &[&Answer]) -> String {
    let count = |verdict: Verdict| answers.iter().filter(|answer| answer.verdict == verdict).count();
    let of = |verdict: Verdict| Some((count(verdict), verdict.word())).filter(|(count, _)| *count > 0);
    let counts: Vec<String> =
        ORDER.into_iter().filter_map(of).map(|(count, word)| format!("{word}: {count}")).collect();
    if counts.is_empty() { String::new() } else { format!("looked at, and {}", counts.join("; ")) }
}

/// By which tables and for what site the questions were judged, so that what was taken is told.
pub(crate) fn site(settled: &Settled) -> String {
    let site = settled.plan.site;
    let children = if site.children { "children near" } else { "no children near" };
    format!(
        "Judged for region `{}`, wind `{}`, {children}: keys `region`, `wind` and `children` of the plan",
        site.region.word(),
        site.wind.word()
    )
}
