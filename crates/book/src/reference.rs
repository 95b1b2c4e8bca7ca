//! The reference pages of the rules and of the questions.

use model::why::Rule;
use stages::check::Question;

/// Every rule with its formula, source, mark and worked case, as Markdown.
pub fn rules_reference(rules: &[&Rule]) -> String {
    let mut text = String::from(
        "# Rules\n\nEvery number that a plan shows comes from one of these. This page is made from their declarations; lengths in the\nworked cases are nanometres, money is hundredths, masses are milligrams,\nforces millinewtons, pressures and stresses pascals, moments newton-millimetres, numbers without unit thousandths.\n",
    );
    for rule in rules {
        let given: Vec<String> = rule.case.given.iter().map(i128::to_string).collect();
        text += &format!(
            "\n## {}\n\n{}.\n\n`{}`\n\n- inputs: {}\n- source: {} (*{}*)\n- worked case: {} give {}. {}.\n",
            rule.id,
            rule.words,
            rule.formula,
            rule.inputs.join(", "),
            rule.source,
            rule.mark,
            given.join(", "),
            rule.case.gives,
            rule.case.source,
        );
    }
    text
}

/// Every question with what it looks at, its formula, source and limits, and the rules of its numbers, as Markdown.
pub fn questions_reference(questions: &[&Question]) -> String {
    let mut text = String::from(
        "# Questions\n\nEvery plan is asked these. An answer *holds*, is *tight* (above four fifths of the limit), *fails*, or *can't tell*, and then it\nsays what it would have to know. The answers are screening: sensible first looks and no certified design. Your local code,\nand a licensed professional where one is due, have the last word. This page is made from the questions' declarations.\n",
    );
    for question in questions {
        let rules: Vec<String> =
            question.rules.iter().map(|rule| format!("[`{}`](rules.md#{})", rule.id, rule.id)).collect();
        text += &format!(
            "\n## {}\n\n{}.\n\n`{}`\n\n- source: {}\n- holds for: {}\n- rules: {}\n",
            question.asks,
            question.looks_at,
            question.formula,
            question.source,
            question.holds_for,
            rules.join(", "),
        );
    }
    text
}
