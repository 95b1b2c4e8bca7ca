//! Rules and the numbers that come from them: every number on the page can be asked why.
//!
//! A [`Rule`] is declared once, beside the code that uses it: its words, formula, source, the arithmetic itself and a
//! reference case. The page's answer, the reference page in `docs/` and the test of the rule all come from that one
//! declaration. A [`Quantity`] is one number with the rule and the inputs that gave it; recomputing it by the rule must give
//! the number again, and a test holds that for every example.

use std::fmt;

/// How a rule or number is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Read in the published source that is named, or in a named copy of it.
    Published,
    /// Known in the trade, published nowhere in particular.
    CommonPractice,
    /// Remembered from the source that is named, not looked up.
    FromMemory,
    /// Arithmetic: follows from definitions.
    Arithmetic,
    /// The maker's own number.
    YourNumber,
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Mark::Published => "published",
            Mark::CommonPractice => "common practice",
            Mark::FromMemory => "from memory",
            Mark::Arithmetic => "arithmetic",
            Mark::YourNumber => "your number",
        })
    }
}

/// A worked case of a rule: whole numbers in, a whole number out.
#[derive(Debug)]
pub struct Case {
    /// The inputs, in the rule's order and units.
    pub given: &'static [i128],
    /// What must come out.
    pub gives: i128,
    /// Who worked it out.
    pub source: &'static str,
}

/// A rule: one formula with its words and source.
#[derive(Debug)]
pub struct Rule {
    /// A short name: `row-length`, `spares`, …
    pub id: &'static str,
    /// What it says, in words of the trade.
    pub words: &'static str,
    /// The formula, in the symbols of the inputs.
    pub formula: &'static str,
    /// The names of its inputs, in order.
    pub inputs: &'static [&'static str],
    /// Where it comes from.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
    /// The arithmetic, on whole numbers (lengths in nm, money in hundredths, masses in mg). `None` where it has no answer:
    /// a division by zero, an overflow, another number of inputs.
    pub compute: fn(&[i128]) -> Option<i128>,
    /// A case worked out elsewhere.
    pub case: Case,
}

/// What a number counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// Nanometres.
    Length,
    /// Things.
    Count,
    /// Hundredths of the currency.
    Money,
    /// Milligrams.
    Mass,
    /// Kilograms per cubic metre.
    Density,
    /// Square millimetres.
    Area,
    /// Cubic millimetres.
    Volume,
    /// Millionths of a degree.
    Angle,
    /// Hundredths of a percent.
    Percent,
    /// Millinewtons.
    Force,
    /// Pascals, of a pressure, a stress or a modulus.
    Pressure,
    /// Newton-millimetres.
    Moment,
    /// Newtons per metre.
    LineLoad,
    /// Newtons per cubic metre.
    UnitWeight,
    /// Millimetres per second.
    Speed,
    /// Thousandths.
    Factor,
}

/// A whole number with what it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Value {
    /// What it counts.
    pub of: Of,
    /// How many.
    pub value: i128,
}

impl Value {
    /// A length.
    pub fn length(length: measure::Length) -> Value {
        Value { of: Of::Length, value: length.nanometres().into() }
    }

    /// A count.
    pub fn count(count: impl Into<i128>) -> Value {
        Value { of: Of::Count, value: count.into() }
    }

    /// A sum of money.
    pub fn money(money: measure::Money) -> Value {
        Value { of: Of::Money, value: money.value().into() }
    }

    /// A mass.
    pub fn mass(mass: measure::Mass) -> Value {
        Value { of: Of::Mass, value: mass.value().into() }
    }

    /// An angle.
    pub fn angle(angle: measure::Angle) -> Value {
        Value { of: Of::Angle, value: angle.millionths().into() }
    }

    /// A force.
    pub fn force(force: measure::Force) -> Value {
        Value { of: Of::Force, value: force.value().into() }
    }

    /// A pressure, a stress or a modulus.
    pub fn pressure(pressure: measure::Pressure) -> Value {
        Value { of: Of::Pressure, value: pressure.value().into() }
    }

    /// A moment.
    pub fn moment(moment: measure::Moment) -> Value {
        Value { of: Of::Moment, value: moment.value().into() }
    }

    /// A force for each length.
    pub fn line_load(line_load: measure::LineLoad) -> Value {
        Value { of: Of::LineLoad, value: line_load.value().into() }
    }

    /// A weight for each volume.
    pub fn unit_weight(unit_weight: measure::UnitWeight) -> Value {
        Value { of: Of::UnitWeight, value: unit_weight.value().into() }
    }

    /// A speed.
    pub fn speed(speed: measure::Speed) -> Value {
        Value { of: Of::Speed, value: speed.value().into() }
    }

    /// A number without unit.
    pub fn factor(factor: measure::Factor) -> Value {
        Value { of: Of::Factor, value: factor.value().into() }
    }
}

/// One input of a quantity: what it is in this plan, and how many.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Input {
    /// What it is here: the name of another quantity if it is one (`trough.length`), or words.
    pub what: String,
    /// How many.
    pub value: Value,
}

impl Input {
    /// An input of this name and value.
    pub fn new(what: impl Into<String>, value: Value) -> Input {
        Input { what: what.into(), value }
    }
}

/// A name as it stands in the names of quantities, which are parted by points: spaces, points and commas become hyphens.
pub fn flat(name: &str) -> String {
    name.replace([' ', '.', ','], "-")
}

/// A number of the plan that can be asked why.
#[derive(Clone, Debug)]
pub struct Quantity {
    /// Its name: `ring.front.gap`.
    pub name: String,
    /// What it is, in a few words.
    pub what: String,
    /// The number.
    pub value: Value,
    /// The rule it comes from.
    pub rule: &'static Rule,
    /// What went into the rule, in its order.
    pub inputs: Vec<Input>,
}

impl Quantity {
    /// The quantity that a rule makes of its inputs; `None` where the rule has no answer.
    pub fn by(
        name: impl Into<String>,
        what: impl Into<String>,
        of: Of,
        rule: &'static Rule,
        inputs: Vec<Input>,
    ) -> Option<Quantity> {
        let numbers: Vec<i128> = inputs.iter().map(|input| input.value.value).collect();
        let value = Value { of, value: (rule.compute)(&numbers)? };
        Some(Quantity { name: name.into(), what: what.into(), value, rule, inputs })
    }
}

/// Asserts that a rule's worked case comes out and that it has as many input names as its case has numbers. For the tests
/// of the crates that declare rules.
///
/// # Panics
/// If it does not.
pub fn check_rule(rule: &Rule) {
    assert_eq!(
        (rule.compute)(rule.case.given),
        Some(rule.case.gives),
        "rule `{}` misses its case ({})",
        rule.id,
        rule.case.source
    );
    assert!(
        rule.inputs.len() == rule.case.given.len() || rule.inputs.last().is_some_and(|last| last.ends_with('…')),
        "rule `{}` names {} inputs and its case gives {}",
        rule.id,
        rule.inputs.len(),
        rule.case.given.len()
    );
    assert!(!rule.words.is_empty() && !rule.source.is_empty() && !rule.formula.is_empty());
}
