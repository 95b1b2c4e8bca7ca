//! What the referee writes down while it goes through a record.

use crate::{Finding, Verdict};

/// Findings after which a rule says no more: a stranger's record may break one rule ten thousand times.
const ENOUGH: usize = 50;

/// A length as messages tell it: in millimetres, to the nanometre.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Mm(pub i128);

impl Mm {
    /// Of nanometres.
    pub fn of(nanometres: i64) -> Mm {
        Mm(nanometres.into())
    }
}

impl std::fmt::Display for Mm {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (sign, length) = (if self.0 < 0 { "-" } else { "" }, self.0.unsigned_abs());
        let (whole, parts) = (length / 1_000_000, format!("{:06}", length % 1_000_000));
        match parts.trim_end_matches('0') {
            "" => write!(f, "{sign}{whole} mm"),
            parts => write!(f, "{sign}{whole}.{parts} mm"),
        }
    }
}

impl std::fmt::Debug for Mm {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{self}")
    }
}

/// The book of one audit.
#[derive(Default)]
pub(crate) struct Ledger {
    findings: Vec<Finding>,
    checked: Vec<(&'static str, u64)>,
    unchecked: Vec<String>,
    rule: &'static str,
    told: usize,
}

impl Ledger {
    /// Turns to a rule: what is held from here on is held by it.
    pub fn turn_to(&mut self, rule: &'static str) {
        self.rule = rule;
        self.told = self.findings.iter().filter(|finding| finding.rule == rule).count();
        if !self.checked.iter().any(|entry| entry.0 == rule) {
            self.checked.push((rule, 0));
        }
    }

    /// Holds one statement; if it is false, the message is a finding. Returns whether it holds.
    pub fn hold(&mut self, holds: bool, message: impl FnOnce() -> String) -> bool {
        if let Some(entry) = self.checked.iter_mut().find(|entry| entry.0 == self.rule) {
            entry.1 += 1;
        }
        if !holds {
            self.told += 1;
            if self.told <= ENOUGH {
                self.findings.push(Finding { rule: self.rule, message: message() });
            }
        }
        holds
    }

    /// Holds that two things are the same.
    pub fn same<T: PartialEq + std::fmt::Debug>(&mut self, what: &str, claimed: T, found: T) -> bool {
        let holds = claimed == found;
        self.hold(holds, || format!("{what} is said to be {claimed:?}, and is {found:?}"))
    }

    /// A finding.
    pub fn find(&mut self, message: String) {
        self.hold(false, || message);
    }

    /// Notes a claim that could be neither upheld nor refuted.
    pub fn leave(&mut self, claim: String) {
        if !self.unchecked.contains(&claim) {
            self.unchecked.push(claim);
        }
    }

    /// Takes in what was found in the audit of another record of the same plan.
    pub fn take_in(&mut self, other: Ledger) {
        self.findings.extend(other.findings);
        for (rule, count) in other.checked {
            match self.checked.iter_mut().find(|entry| entry.0 == rule) {
                Some(entry) => entry.1 += count,
                None => self.checked.push((rule, count)),
            }
        }
        other.unchecked.into_iter().for_each(|claim| self.leave(claim));
    }

    /// Whether nothing has been found yet.
    pub fn clean(&self) -> bool {
        self.findings.is_empty()
    }

    /// The verdict.
    pub fn close(self) -> Verdict {
        Verdict { findings: self.findings, checked: self.checked, unchecked: self.unchecked }
    }
}

#[cfg(test)]
mod tests {
    use super::Mm;

    #[test]
    fn lengths_are_told_in_millimetres() {
        let told = [4_000_000_000, 0, -12_500_000, 1, -999_999, i64::MAX].map(|length| Mm::of(length).to_string());
        let own = ["4000 mm", "0 mm", "-12.5 mm", "0.000001 mm", "-0.999999 mm", "9223372036854.775807 mm"];
        assert_eq!(told, own);
    }
}
