//! The independent referee: reads the plan, the yard and the shed with its own reader and the exported record, and trusts
//! none of what the record says.
//!
//! Of our crates it uses `measure` alone (SHA-256 is the same open crate that the day book uses) and shares no code with the solvers. It takes solids, places, cuts and purchases as
//! claims and derives every length, count, sum and price itself; what is called proven is proven again from the certificate.
//! Each rule is one module:
//!
//! | rule | holds |
//! | --- | --- |
//! | `form` | the record is whole: format, version, fields, indices |
//! | `stock` | what the record says of plan, yard, shed and day book stands there |
//! | `closing` | every closing closes, its vector is right, the list is in order, the right way was chosen |
//! | `geometry` | parts lie where the plan's wishes and the chosen sizes put them; nothing is missing |
//! | `overlap` | no two parts share space |
//! | `joints` | screws stay in the timber, meet no other, keep off ends and edges; all that should be joined is, or cannot be |
//! | `needs` | what is filled in, laid out and bought beside parts follows from the plan, in whole boxes, bags and metres |
//! | `cutting` | every part is cut once, or was cut by the day book, from a board or sheet that holds it with kerf and trim |
//! | `sawing` | the cards at the saw follow from the cutting plan and the parts' own planes |
//! | `buying` | what is cut and laid is bought, at the yard's prices |
//! | `what ifs` | what to do with too few in the yard comes out and costs what it says; traps and spacers |
//! | `side by side` | each way to build the plan is told as its own record has it |
//! | `proven` | certificates, covering trees and windows, proven again |
//! | `whys` | every number with a why follows from its inputs |
//! | `questions` | verdicts follow from value and limit |
//! | `steps` | every part is put in place exactly once, in an order in which it can be done |
#![deny(missing_docs)]
#![forbid(unsafe_code)]

mod json;
mod judged;
mod ledger;
mod claims;
mod clear;
mod texts;
mod daybook;
mod ground;
mod asked;
mod laid;
mod solid;
mod fitting;

mod stock;
mod closing;
mod geometry;
mod needs;
mod packs;
mod joints;
mod overlap;
mod strips;
mod cutting;
mod sawing;
mod buying;
mod able;
mod home;
mod whatif;
mod proven;
mod whys;
mod sides;
mod strength;
mod questions;
mod steps;

use claims::Record;
use ledger::Ledger;
use texts::Papers;

/// The texts that a record was made from.
#[derive(Clone, Copy, Debug)]
pub struct Texts<'t> {
    /// The plan.
    pub plan: &'t str,
    /// The yard that it names.
    pub yard: &'t str,
    /// The shed that it names.
    pub shed: &'t str,
    /// The day book beside it; empty if there is none.
    pub daybook: &'t str,
}

/// Something in a record that is not so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The name of the rule that is broken, as in the table at the head of this crate.
    pub rule: &'static str,
    /// What is not so, with both values.
    pub message: String,
}

/// What the referee came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// What is not so; at most fifty for each rule.
    pub findings: Vec<Finding>,
    /// How many statements were held for each rule.
    pub checked: Vec<(&'static str, u64)>,
    /// Claims that could be neither upheld nor refuted, in words: a cost with a bound only, a search too long to repeat.
    pub unchecked: Vec<String>,
}

impl Verdict {
    /// Whether nothing was found.
    pub fn passed(&self) -> bool {
        self.findings.is_empty()
    }

    /// The verdict in words for a terminal, a line for each finding and each claim that was left.
    pub fn text(&self) -> String {
        let checked: u64 = self.checked.iter().map(|entry| entry.1).sum();
        let passed = if self.passed() { "passed" } else { "not passed" };
        let mut lines = vec![format!("{passed}: {checked} statements checked, {} findings", self.findings.len())];
        lines.extend(self.findings.iter().map(|finding| format!("{}: {}", finding.rule, finding.message)));
        lines.extend(self.unchecked.iter().map(|claim| format!("not verified: {claim}")));
        lines.extend(self.checked.iter().map(|(rule, count)| format!("checked {rule}: {count}")));
        lines.join("\n") + "\n"
    }

    /// The verdict as JSON: `passed`, `findings` with `rule` and `message`, `checked` by rule, `unchecked`.
    pub fn json(&self) -> String {
        let finding = |finding: &Finding| {
            let (rule, message) = (json::quoted(finding.rule), json::quoted(&finding.message));
            format!("    {{ \"rule\": {rule}, \"message\": {message} }}")
        };
        let findings = listed("[", self.findings.iter().map(finding), "]");
        let checked = self.checked.iter().map(|(rule, count)| format!("    {}: {count}", json::quoted(rule)));
        let unchecked = self.unchecked.iter().map(|claim| format!("    {}", json::quoted(claim)));
        format!(
            "{{\n  \"passed\": {},\n  \"findings\": {findings},\n  \"checked\": {},\n  \"unchecked\": {}\n}}\n",
            self.passed(),
            listed("{", checked, "}"),
            listed("[", unchecked, "]"),
        )
    }
}

fn listed(open: &str, lines: impl Iterator<Item = String>, close: &str) -> String {
    let lines: Vec<String> = lines.collect();
    if lines.is_empty() { format!("{open}{close}") } else { format!("{open}\n{}\n  {close}", lines.join(",\n")) }
}

/// Audits a record against the texts that it was made from. Never panics, whatever the texts and the record are.
pub fn audit(texts: &Texts<'_>, record_json: &str) -> Verdict {
    audit_beside(texts, record_json, &[])
}

/// The same of a plan that states several ways to build it, with the records of the others: each is audited too, and what the
/// record says of that way is held against it.
pub fn audit_beside(texts: &Texts<'_>, record_json: &str, others: &[String]) -> Verdict {
    let mut ledger = Ledger::default();
    let mut columns = Vec::new();
    for other in others {
        let mut own = Ledger::default();
        if let Some(column) = audit_one(texts, other, &mut own) {
            columns.push(column);
        }
        ledger.take_in(own);
    }
    ledger.turn_to("form");
    if let Some(own) = audit_one(texts, record_json, &mut ledger) {
        sides::hold(own, columns, &mut ledger);
    }
    ledger.close()
}

/// Audits one record; gives what it says of the ways to build the plan, if it could be read.
fn audit_one(texts: &Texts<'_>, record_json: &str, ledger: &mut Ledger) -> Option<sides::Told> {
    ledger.turn_to("form");
    let mut record = claims::read(record_json, ledger)?;
    ledger.turn_to("stock");
    let papers = texts::read_by(texts, record.way.as_deref()).map_err(|wrong| ledger.find(wrong)).ok()?;
    if !ledger.clean() {
        return None;
    }
    daybook::mark(&mut record.parts, &papers);
    hold_all(&record, &papers, ledger);
    sides::told(&record, &papers)
}

/// Cheap rules first: what-ifs and proofs are looked at only where everything else is sound.
fn hold_all(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    stock::hold(record, papers, ledger);
    let mut asked = match asked::derive(papers) {
        Ok(asked) => asked,
        Err(wrong) => return ledger.find(wrong),
    };
    daybook::pin(papers, &mut asked, ledger);
    daybook::hold(&record.parts, papers, ledger);
    let fits = stock::hold_question(record, &mut asked, ledger);
    overlap::hold(record, ledger);
    cutting::hold(record, papers, ledger);
    sawing::hold(record, papers, ledger);
    buying::hold(record, papers, ledger);
    steps::hold(record, papers, ledger);
    // What follows reads the question by the plan's own names; if the record asks another one, that has been found.
    if fits && closing::hold(record, papers, ledger) {
        closing::hold_price(record, papers, ledger);
        if let Some(mut built) = geometry::hold(record, papers, &asked, ledger) {
            joints::hold(record, papers, &asked, &mut built, ledger);
            needs::hold(record, papers, &asked, &mut built, ledger);
            whys::hold(record, papers, &asked, &built, ledger);
            home::hold_door(record, papers, &asked, ledger);
            questions::hold(record, papers, &asked, ledger);
        }
    }
    if ledger.clean() {
        whatif::hold(record, papers, ledger);
    } else {
        ledger.leave(
            "what a few millimetres and an empty shelf do: it is looked at only where nothing else is wrong".into(),
        );
    }
    if ledger.clean() {
        proven::hold(record, papers, &asked, ledger);
    } else {
        ledger.leave("what is called proven: it is looked at only where nothing else is wrong".into());
    }
}
