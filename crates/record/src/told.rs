//! Questions, steps, and every number with its why.

use crate::small;
use advise::Settled;
use model::why::{Of, Quantity, Rule, Value};
use serde::Serialize;
use stages::make::Ordered;
use std::collections::BTreeMap;

/// A question answered for one thing.
#[derive(Debug, Serialize)]
pub struct QuestionRecord {
    /// The question.
    pub question: &'static str,
    /// What it is asked of.
    pub about: String,
    /// `holds`, `tight`, `fails` or `can't tell`.
    pub verdict: &'static str,
    /// The quantity that was compared.
    pub value: Option<String>,
    /// The quantity that is its limit.
    pub limit: Option<String>,
    /// Where the limit comes from.
    pub source: String,
    /// What to change.
    pub change: Option<String>,
    /// What would have to be known, where nobody can tell; left out elsewhere.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needs: Option<String>,
    /// What the answer does not look at, and where to ask; left out if there is nothing to say.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<String>,
    /// The ids of the parts where it bites; left out if it is about no part alone.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub at: Vec<String>,
}

/// One thing to do.
#[derive(Debug, Serialize)]
pub struct StepRecord {
    /// The piece.
    pub piece: String,
    /// What to do.
    pub what: String,
    /// What can hurt at it.
    pub caution: Option<String>,
    /// `place` for a step that puts its parts in place, `treat` for one that treats their cut ends, `measure` for one that
    /// measures what they will be cut to, `wait` for one that lets something about them harden or dry.
    pub work: &'static str,
    /// The least time of a wait in hours, where more is known than a label tells.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<u32>,
    /// The ids of the parts that it is about.
    pub parts: Vec<String>,
    /// The steps that it waits for, by their places in this list.
    pub after: Vec<usize>,
    /// What is wanted at hand.
    pub tools: Vec<String>,
}

/// A number that can be asked why.
#[derive(Debug, Serialize)]
pub struct QuantityRecord {
    /// Its name.
    pub name: String,
    /// What it is.
    pub what: String,
    /// The number.
    #[serde(flatten)]
    pub value: ValueRecord,
    /// The id of its rule.
    pub rule: &'static str,
    /// What went into the rule, in its order.
    pub inputs: Vec<InputRecord>,
}

/// An input of a number.
#[derive(Debug, Serialize)]
pub struct InputRecord {
    /// What it is here.
    pub what: String,
    /// The number.
    #[serde(flatten)]
    pub value: ValueRecord,
}

/// A number and its unit.
#[derive(Debug, Serialize)]
pub struct ValueRecord {
    /// `nm`, `count`, `hundredths`, `mg`, `kg/m3`, `mm2`, `mm3`, `millionths of a degree`, `hundredths of a percent`, `mN`,
    /// `Pa`, `N mm`, `N/m`, `N/m3`, `mm/s` or `thousandths`.
    pub of: &'static str,
    /// The number.
    pub value: i64,
}

/// A rule.
#[derive(Debug, Serialize)]
pub struct RuleRecord {
    /// Its id.
    pub id: &'static str,
    /// What it says.
    pub words: &'static str,
    /// Its formula.
    pub formula: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// How it is known.
    pub mark: String,
}

pub(crate) fn questions(settled: &Settled) -> Vec<QuestionRecord> {
    let ids: BTreeMap<_, _> = settled.build.parts.iter().map(|part| (&part.key, &part.id)).collect();
    let question = |answer: &stages::check::Answer| QuestionRecord {
        question: answer.question,
        about: answer.about.clone(),
        verdict: answer.verdict.word(),
        value: answer.value.clone(),
        limit: answer.limit.clone(),
        source: answer.source.clone(),
        change: answer.change.clone(),
        needs: answer.needs.clone(),
        cautions: answer.cautions.clone(),
        at: answer.at.iter().filter_map(|key| ids.get(key).map(|id| (*id).clone())).collect(),
    };
    settled.answers.answers.iter().map(question).collect()
}

pub(crate) fn steps(settled: &Settled) -> Vec<StepRecord> {
    let ids: BTreeMap<_, _> = settled.build.parts.iter().map(|part| (&part.key, &part.id)).collect();
    let step = |ordered: &Ordered| StepRecord {
        piece: ordered.step.piece.clone(),
        what: ordered.step.what.clone(),
        caution: ordered.step.caution.clone(),
        work: ordered.work.word(),
        hours: ordered.hours,
        parts: ordered.step.parts.iter().filter_map(|key| ids.get(key).map(|id| (*id).clone())).collect(),
        after: ordered.after.clone(),
        tools: ordered.tools.clone(),
    };
    settled.making.steps.iter().map(step).collect()
}

fn value(value: Value) -> ValueRecord {
    let of = match value.of {
        Of::Length => "nm",
        Of::Count => "count",
        Of::Money => "hundredths",
        Of::Mass => "mg",
        Of::Density => "kg/m3",
        Of::Area => "mm2",
        Of::Volume => "mm3",
        Of::Angle => "millionths of a degree",
        Of::Percent => "hundredths of a percent",
        Of::Force => "mN",
        Of::Pressure => "Pa",
        Of::Moment => "N mm",
        Of::LineLoad => "N/m",
        Of::UnitWeight => "N/m3",
        Of::Speed => "mm/s",
        Of::Factor => "thousandths",
    };
    ValueRecord { of, value: small(value.value) }
}

pub(crate) fn quantities(settled: &Settled) -> Vec<QuantityRecord> {
    let quantity = |quantity: &Quantity| QuantityRecord {
        name: quantity.name.clone(),
        what: quantity.what.clone(),
        value: value(quantity.value),
        rule: quantity.rule.id,
        inputs: quantity
            .inputs
            .iter()
            .map(|input| InputRecord { what: input.what.clone(), value: value(input.value) })
            .collect(),
    };
    settled.quantities().map(quantity).collect()
}

pub(crate) fn rules(settled: &Settled) -> Vec<RuleRecord> {
    let rules: BTreeMap<&str, &Rule> = settled.quantities().map(|quantity| (quantity.rule.id, quantity.rule)).collect();
    let rule = |rule: &Rule| RuleRecord {
        id: rule.id,
        words: rule.words,
        formula: rule.formula,
        source: rule.source,
        mark: rule.mark.to_string(),
    };
    rules.into_values().map(rule).collect()
}
