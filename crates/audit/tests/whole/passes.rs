//! What the house writes passes, and everything in it has been looked at.

use crate::records::EXAMPLES;

#[test]
fn the_records_of_the_examples_pass() {
    for example in EXAMPLES {
        let verdict = example.judge(example.record);
        assert!(verdict.passed(), "{}: {:#?}", example.name, verdict.findings);
        for rule in [
            "form",
            "stock",
            "closing",
            "geometry",
            "overlap",
            "cutting",
            "sawing",
            "buying",
            "proven",
            "what ifs",
            "whys",
            "questions",
            "steps",
        ] {
            let held = verdict.checked.iter().find(|entry| entry.0 == rule).map(|entry| entry.1);
            assert!(held.is_some_and(|held| held > 0), "{}: nothing was held by `{rule}`", example.name);
        }
    }
}

/// What is left unchecked is told in so many words, and no more of it than these.
#[test]
fn what_could_not_be_verified_is_told() {
    let verdict =
        crate::records::Example::find("kitchen-trough").judge(crate::records::Example::find("kitchen-trough").record);
    assert_eq!(
        verdict.unchecked,
        [
            "the cutting plan of `larch-145`: that no other plan of this cost is handier",
            "how many boards of the ways that were not chosen are tight",
            "that no closing at all costs less than the cheapest way",
        ]
    );
}

#[test]
fn a_verdict_is_told_in_words_and_as_json() {
    let example = &EXAMPLES[0];
    let verdict = example.judge(&example.record.replacen("\"scantling-record\"", "\"another \\\"record\\\"\"", 1));
    assert!(!verdict.passed() && verdict.text().starts_with("not passed"), "{}", verdict.text());
    let json: serde_json::Value = serde_json::from_str(&verdict.json()).expect("JSON");
    assert_eq!(json["passed"], false);
    assert_eq!(json["findings"][0]["rule"], "form");
    assert_eq!(json["findings"][0]["message"], verdict.findings[0].message);
    let passed: serde_json::Value = serde_json::from_str(&example.judge(example.record).json()).expect("JSON");
    assert_eq!((&passed["passed"], &passed["findings"]), (&true.into(), &serde_json::json!([])));
}

/// The same record against another plan, yard or shed does not pass.
#[test]
fn a_record_is_held_against_its_own_texts() {
    let example = &EXAMPLES[0];
    let with = |plan: &str, yard: &str, shed: &str| {
        let verdict = audit::audit(&audit::Texts { plan, yard, shed, daybook: "" }, example.record);
        verdict.findings.iter().map(|finding| finding.rule).collect::<Vec<_>>()
    };
    let (plan, yard, shed) = (example.plan, example.yard, example.shed);
    assert!(with(&plan.replace("want = 1500", "want = 1501"), yard, shed).contains(&"stock"));
    assert!(with(&plan.replace("clearance = 20", "clearance = 21"), yard, shed).contains(&"stock"));
    assert!(with(plan, &yard.replace("price = 11.28", "price = 11.27"), shed).contains(&"buying"));
    assert!(with(plan, &yard.replace("thickness = 20", "thickness = 21"), shed).contains(&"stock"));
    assert!(with(plan, yard, &shed.replace("kerf = 3", "kerf = 4")).contains(&"stock"));
    assert!(with("not a plan", yard, shed).contains(&"stock"));
}
