//! The reference page of the rules.

use model::why::Rule;

/// Every rule with its formula, source, mark and worked case, as Markdown.
pub fn rules_reference(rules: &[&Rule]) -> String {
    let mut text = String::from(
        "# Rules\n\nEvery number that a plan shows comes from one of these. This page is made from their declarations; lengths in the\nworked cases are nanometres, money is hundredths, masses are milligrams.\n",
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
