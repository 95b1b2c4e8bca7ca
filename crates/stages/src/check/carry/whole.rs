//! What is carried as it is bought, and what a piece weighs full: whole sheets, bags, and a floor under wet soil.

use super::{ASKS, Limit, judge, mass_of};
use crate::check::judge::keep;
use crate::check::{Answers, Case as Asked, Verdict};
use crate::rules;
use handbook::{floors, lifting};
use measure::Pressure;
use model::build::{Going, Needed};
use model::part::Part;
use model::plan::Region;
use model::schema::StockKind;
use model::stock::From;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};
use std::collections::BTreeSet;

/// The lifting equation.
pub(crate) static LIFTING: Rule = Rule {
    id: "lifting-equation",
    words: "What suits a lift: a load constant, shortened for how far out the hands are, how low they begin, how far the load travels, how far the body turns, how often it is done, and the grip",
    formula: "RWL = 23 kg × 25/H × (1 − 0.003 |V − 75|) × (0.82 + 4.5/D) × (1 − 0.0032 A) × FM × CM, H, V, D in cm, at least 25",
    inputs: &[
        "out, in mm",
        "begins, in mm",
        "travels, in mm",
        "turns, in degrees",
        "frequency in thousandths",
        "grip in thousandths",
    ],
    source: "NIOSH, Applications Manual for the Revised Lifting Equation, DHHS 94-110; constant and frequency as coded in open libraries, the other multipliers from memory",
    mark: Mark::FromMemory,
    compute: |x| match *x {
        [out, begins, travels, turns, frequency, grip] => {
            let small = |value: i128| i64::try_from(value).ok().filter(|value| (0..=10_000).contains(value));
            let lift = lifting::Lift {
                out: small(out)?,
                begins: small(begins)?,
                travels: small(travels)?,
                turns: small(turns)?,
                frequency: small(frequency)?,
                grip: small(grip)?,
            };
            Some(lifting::niosh(&lift).value().into())
        }
        _ => None,
    },
    case: Case {
        given: &[250, 750, 250, 0, 1000, 1000],
        gives: 23_000_000,
        source: "the reference lift: 23 kg (an open library's test)",
    },
};

/// What presses on a floor.
pub(crate) static ON_FLOOR: Rule = Rule {
    id: "on-floor",
    words: "A mass on the area that it stands over, under standard gravity",
    formula: "pressure = mass × 9.80665 m/s² / area",
    inputs: &["mass", "area"],
    source: "definition of pressure; standard gravity by the CGPM, 1901",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [mass, area] if *area > 0 => Some(mass.checked_mul(980_665)?.div_euclid(area.checked_mul(100_000)?)),
        _ => None,
    },
    case: Case {
        given: &[392_000_000, 785_200],
        gives: 4895,
        source: "392 kg of wet soil on 1.51 × 0.52 m, worked by hand: 4.9 kN/m²",
    },
};

/// Asks of whole sheets and bags, and tells what a piece weighs full.
pub(super) fn ask(case: &Asked<'_>, limit: Option<&Limit>, out: &mut Answers) {
    sheets(case, limit, out);
    bags(case, limit, out);
    suits(case, out);
    full(case, out);
}

/// The largest sheet on sale of each kind that is used and can be weighed.
fn sheets(case: &Asked<'_>, limit: Option<&Limit>, out: &mut Answers) {
    let used: BTreeSet<usize> = case
        .build
        .parts
        .iter()
        .filter(|part| part.stock.kind == StockKind::Sheet)
        .map(|part| part.stock.place)
        .collect();
    for place in used {
        let sheet = &case.plan.yard.sheets[place];
        let on_sale = sheet.sizes.iter().filter(|size| size.from == From::Yard);
        let area = |size: &&model::stock::SheetSize| {
            i128::from(size.length.nanometres()) * i128::from(size.width.nanometres())
        };
        let (Some(size), Some((density, source))) =
            (on_sale.max_by_key(area), sheet.density.as_ref().and_then(super::density))
        else {
            continue;
        };
        let inputs = vec![
            Input::new("length", Value::length(size.length)),
            Input::new("width", Value::length(size.width)),
            Input::new("thickness", Value::length(sheet.thickness)),
            Input::new(format!("density ({source})"), Value { of: Of::Density, value: density.value().into() }),
        ];
        let whole =
            Quantity::by(format!("carry.sheet.{}", sheet.name), "a whole sheet", Of::Mass, &rules::MASS, inputs);
        let Some(whole) = whole else { continue };
        weigh(format!("a whole sheet of `{}`", sheet.name), whole, limit, case, out, "have it cut in the yard");
    }
}

/// The heaviest bag of each kind that is filled in, by its mass or, if the yard has none, by what it weighs wet.
fn bags(case: &Asked<'_>, limit: Option<&Limit>, out: &mut Answers) {
    let used = case.build.needs.iter().filter_map(|need| match need.of {
        Needed::Filled { bag, .. } => Some(bag.place),
        _ => None,
    });
    for place in used.collect::<BTreeSet<usize>>() {
        let bag = &case.plan.yard.bags[place];
        let name = format!("carry.bag.{}", bag.name);
        let stated = bag.masses.iter().copied().flatten().max();
        let bulk = bag.sizes.iter().map(|size| size.holds).max();
        let one = match (stated, bag.wet, bulk) {
            (Some(mass), _, _) => {
                let inputs = vec![Input::new("mass by the yard", Value::mass(mass))];
                Quantity::by(name, "a bag", Of::Mass, &rules::STATED_MASS, inputs)
            }
            (None, Some(wet), Some(bulk)) => {
                let inputs = vec![
                    Input::new("what it yields", Value { of: Of::Volume, value: bulk.into() }),
                    Input::new("wet density of the bag", Value { of: Of::Density, value: wet.value().into() }),
                ];
                Quantity::by(name, "a bag, if it is wet", Of::Mass, &rules::MASS_OF_VOLUME, inputs)
            }
            _ => None,
        };
        if let Some(one) = one {
            let other = match stated {
                Some(_) => "take smaller bags, or a barrow",
                None => {
                    "say its `mass` as it is sold, for this is what it weighs soaked; or take smaller bags, or a barrow"
                }
            };
            weigh(format!("a bag of `{}`", bag.name), one, limit, case, out, other);
        }
    }
}

/// More than so many do not get their hands on one sheet or bag (*common practice*).
const MOST_AT_ONE: u32 = 3;

fn weigh(about: String, whole: Quantity, limit: Option<&Limit>, case: &Asked<'_>, out: &mut Answers, other: &str) {
    let fix = |people: Option<u32>| match people {
        Some(people @ ..=MOST_AT_ONE) => format!("have {people} people carry it, or {other}"),
        _ => other.to_owned(),
    };
    out.answers.push(judge(about, &whole, limit, case.plan, fix));
    keep(whole, out);
}

/// What the lifting equation suits, told beside what is heavier and still within the limit.
fn suits(case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let lift = lifting::OFF_THE_GROUND;
    let given = [
        ("out, in mm", lift.out),
        ("begins, in mm", lift.begins),
        ("travels, in mm", lift.travels),
        ("turns, in degrees", lift.turns),
        ("frequency in thousandths", lift.frequency),
        ("grip in thousandths", lift.grip),
    ];
    let inputs = given.map(|(what, value)| Input::new(what, Value::count(value))).to_vec();
    let suits =
        Quantity::by("carry.suits", "what the lifting equation suits, off the ground", Of::Mass, &LIFTING, inputs)?;
    let most = mass_of(&suits)?;
    let one = case.plan.shed.lift.unwrap_or(lifting::ONE_PERSON.mass);
    let masses: Vec<(String, i128)> =
        out.quantities.iter().map(|quantity| (quantity.name.clone(), quantity.value.value)).collect();
    for answer in
        out.answers.iter_mut().filter(|answer| answer.question == ASKS && answer.verdict != Verdict::CannotTell)
    {
        let mass = masses.iter().find(|(name, _)| Some(name) == answer.value.as_ref()).map_or(0, |known| known.1);
        let carried = match mass {
            mass if mass <= most.value().into() => continue,
            mass if mass <= one.value().into() => format!(
                "one lifts it close to the body, with the legs; off the ground the lifting equation suits {}",
                most.show(case.plan.tape.unit())
            ),
            mass if mass <= i128::from(one.value()) * 1332 / 1000 => "two carry it".into(),
            _ => "take a trolley, or more hands".into(),
        };
        answer.cautions.push(carried);
    }
    keep(suits, out);
    Some(())
}

/// What filled pieces weigh wet, and what they press on a floor, told where they are put together.
fn full(case: &Asked<'_>, out: &mut Answers) {
    let fills = case.build.with.iter().filter(|with| with.going == Going::Fills);
    for with in fills {
        full_of(&with.piece, &with.to, case, out);
    }
}

fn full_of(fill: &str, host: &str, case: &Asked<'_>, out: &mut Answers) -> Option<()> {
    let is_wet = |quantity: &&Quantity| {
        quantity.value.of == Of::Mass
            && quantity.name.starts_with(&format!("{fill}."))
            && quantity.name.ends_with("wet")
    };
    let wet: Vec<&Quantity> = case.build.quantities.iter().filter(is_wet).collect();
    let empty = out.quantities.iter().find(|quantity| quantity.name == format!("{host}.lifted"))?;
    if wet.is_empty() {
        return None;
    }
    let each = [empty].into_iter().chain(wet);
    let inputs = each.flat_map(|mass| [Input::new("once", Value::count(1)), Input::new(mass.name.clone(), mass.value)]);
    let whole =
        Quantity::by(format!("carry.{host}.full"), "full and wet", Of::Mass, &rules::SUM_OF_MASSES, inputs.collect())?;
    let area = Value { of: Of::Area, value: under(host, case)? };
    let inputs = vec![Input::new(whole.name.clone(), whole.value), Input::new("the box that it stands over", area)];
    let press = Quantity::by(
        format!("carry.{host}.on-floor"),
        "what it presses on a floor, full and wet",
        Of::Pressure,
        &ON_FLOOR,
        inputs,
    )?;
    let floor = &floors::FLOORS[usize::from(case.plan.site.region != Region::NorthAmerica)];
    let kilonewtons = |pressure: i128| {
        format!("{:.1} kN/m²", Pressure::pascals(i64::try_from(pressure).unwrap_or(0)).value() as f64 / 1000.0)
    };
    let caution = format!(
        "full and wet it weighs {} and presses {} on what it stands on; {} is built for {} ({}, {}): ask an engineer before it stands on a balcony, a roof or a deck",
        mass_of(&whole)?.show(case.plan.tape.unit()),
        kilonewtons(press.value.value),
        floor.what,
        kilonewtons(floor.pascals.into()),
        floor.source,
        floor.mark,
    );
    let lifted = format!("{host}.lifted");
    let answer = out.answers.iter_mut().find(|answer| answer.value.as_ref() == Some(&lifted))?;
    answer.cautions.push(caution);
    keep(whole, out);
    keep(press, out);
    Some(())
}

/// The area of the box that the parts of a piece stand over, in square millimetres.
fn under(piece: &str, case: &Asked<'_>) -> Option<i128> {
    let parts: Vec<&Part> = case.build.parts.iter().filter(|part| part.key.piece == piece).collect();
    let side = |axis: usize| {
        let near = parts.iter().map(|part| part.near_corner()[axis]).min()?;
        let far = parts.iter().map(|part| part.far_corner()[axis]).max()?;
        Some(i128::from((far - near).nanometres()))
    };
    Some(side(0)?.checked_mul(side(1)?)?.div_euclid(1_000_000_000_000)).filter(|area| *area > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A birch plywood data sheet (read): a sheet of 1220 × 2440, 17.7 mm thick, weighs 36.7 kg; 685 kg/m³ give 36.1, 2 % less.
    #[test]
    fn a_whole_sheet_weighs_what_its_data_sheet_says() {
        let given = [2_440_000_000, 1_220_000_000, 17_700_000, 685];
        let own = (rules::MASS.compute)(&given).expect("small") as f64 / 1e6;
        assert!((own / 36.7 - 1.0).abs() < 0.02, "{own}");
    }

    /// The lifting equation worked by hand outside this project: 9.82 and 10.60 kg, and 5.97 with a body that turns.
    #[test]
    fn lifts_worked_elsewhere() {
        for (given, wanted) in [
            ([400, 300, 700, 0, 940, 950], 9_820_000),
            ([300, 200, 600, 45, 910, 950], 10_600_000),
            ([500, 0, 800, 30, 940, 900], 5_970_000),
        ] {
            let own = (LIFTING.compute)(&given).expect("a lift");
            assert!((own - wanted).abs() < 10_000, "{own}");
        }
    }

    /// Heavier or on less area it never presses less.
    #[test]
    fn heavier_presses_more() {
        let press = |mass: i128, area: i128| (ON_FLOOR.compute)(&[mass, area]).expect("a pressure");
        for mass in (1..500).step_by(17) {
            assert!(press(mass * 1_000_000, 500_000) <= press((mass + 1) * 1_000_000, 500_000));
            assert!(press(mass * 1_000_000, 500_001) <= press(mass * 1_000_000, 500_000));
        }
    }
}
