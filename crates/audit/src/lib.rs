//! The independent referee: reads the plan, the yard and the shed with its own reader and the exported record, and trusts
//! none of what the record says.
//!
//! Of our crates it uses `measure` alone and shares no code with the solvers. It takes solids, places, cuts and purchases as
//! claims and derives every length, count, sum and price itself; what is called proven is proven again from the certificate.
//! Each rule is one module:
//!
//! | rule | holds |
//! | --- | --- |
//! | `form` | the record is whole: format, version, fields, indices |
//! | `stock` | what the record says of plan, yard and shed stands there |
//! | `closing` | every closing closes, its vector is right, the list is in order, the right way was chosen |
//! | `geometry` | parts lie where the plan's wishes and the chosen sizes put them; nothing is missing |
//! | `overlap` | no two parts share space |
//! | `cutting` | every part is cut once from a board or sheet that holds it with kerf and trim |
//! | `buying` | what is cut and laid is bought, at the yard's prices |
//! | `proven` | certificates, covering trees and windows, proven again |
//! | `whys` | every number with a why follows from its inputs |
//! | `questions` | verdicts follow from value and limit |
//! | `steps` | every part is put in place exactly once |
#![deny(missing_docs)]
#![forbid(unsafe_code)]

mod json;
mod ledger;
mod claims;
mod texts;
mod ground;
mod asked;
mod fitting;

mod stock;
mod closing;
mod geometry;
mod overlap;
mod cutting;
mod buying;
mod proven;
mod whys;
mod questions;
mod steps;

use asked::Asked;
use claims::Record;
use ledger::Ledger;
use texts::Papers;

/// The three texts that a record was made from.
#[derive(Clone, Copy, Debug)]
pub struct Texts<'t> {
    /// The plan.
    pub plan: &'t str,
    /// The yard that it names.
    pub yard: &'t str,
    /// The shed that it names.
    pub shed: &'t str,
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
}

/// Audits a record against the texts that it was made from. Never panics, whatever the texts and the record are.
pub fn audit(texts: &Texts<'_>, record_json: &str) -> Verdict {
    let mut ledger = Ledger::default();
    ledger.turn_to("form");
    let record = claims::read(record_json, &mut ledger);
    ledger.turn_to("stock");
    let papers = texts::read(texts).map_err(|wrong| ledger.find(wrong)).ok();
    if let (Some(record), Some(papers)) = (record, papers) {
        if ledger.clean() {
            hold_all(&record, &papers, &mut ledger);
        }
    }
    ledger.close()
}

fn hold_all(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    stock::hold(record, papers, ledger);
    let asked = match asked::derive(papers) {
        Ok(asked) => asked,
        Err(wrong) => return ledger.find(wrong),
    };
    let fits = stock::hold_question(record, &asked, ledger);
    overlap::hold(record, ledger);
    cutting::hold(record, papers, ledger);
    buying::hold(record, papers, ledger);
    steps::hold(record, ledger);
    proven::hold_cutting(record, papers, ledger);
    // What follows reads the question by the plan's own names; if the record asks another one, that has been found.
    if fits {
        hold_fit(record, papers, &asked, ledger);
    }
}

fn hold_fit(record: &Record, papers: &Papers, asked: &Asked, ledger: &mut Ledger) {
    if !closing::hold(record, papers, ledger) {
        return;
    }
    proven::hold_fit(record, ledger);
    if let Some(built) = geometry::hold(record, papers, asked, ledger) {
        whys::hold(record, papers, &built, ledger);
        questions::hold(record, papers, ledger);
    }
    closing::hold_prices(record, papers, asked, ledger);
}
