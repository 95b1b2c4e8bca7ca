//! Falsehoods: what is changed in a sound record, and the rule that has to find it.

use crate::records::Example;
use serde_json::Value;

/// One change of a record and what the referee has to say of it.
pub struct Falsehood {
    pub name: &'static str,
    /// The folder of the record.
    pub example: &'static str,
    pub does: fn(&mut Value),
    /// The rule that finds it.
    pub rule: &'static str,
    /// What its finding says, in part.
    pub says: &'static str,
}

/// Holds that each is found by its rule and named.
pub fn all_are_found(falsehoods: &[Falsehood]) {
    let mut missed = Vec::new();
    for falsehood in falsehoods {
        let example = Example::find(falsehood.example);
        let mut record = example.json();
        (falsehood.does)(&mut record);
        assert_ne!(record, example.json(), "{}: nothing was changed", falsehood.name);
        let verdict = example.judge(&record.to_string());
        let named =
            |finding: &audit::Finding| finding.rule == falsehood.rule && finding.message.contains(falsehood.says);
        if !verdict.findings.iter().any(named) {
            missed.push(format!("{}: {:#?}", falsehood.name, verdict.findings));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}
