//! The rules that the stages' numbers come from, each declared once.

use crate::buy::PACKS;
use model::price::PRICE_BY_MEASURE;
use model::why::{Case, Mark, Rule};

/// What a cutting pattern leaves.
pub static SLACK: Rule = Rule {
    id: "slack",
    words: "What a board has left when its trim, its parts and a kerf between each two of them are taken off",
    formula: "slack = stock - trim - sum of parts - (parts - 1) × kerf",
    inputs: &["stock", "trim", "sum of parts", "cuts between parts", "kerf"],
    source: "sum(p) + (n - 1) k <= L - trim, the kerf rule; the last part may end on the end of the board",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [stock, trim, parts, cuts, kerf] => {
            stock.checked_sub(*trim)?.checked_sub(*parts)?.checked_sub(cuts.checked_mul(*kerf)?)
        }
        _ => None,
    },
    case: Case {
        given: &[3_600_000_000, 10_000_000, 3_568_000_000, 7, 3_000_000],
        gives: 1_000_000,
        source: "eight posts of 446 from a 3600, kerf 3, trim 10: 1 left, worked by hand",
    },
};

/// The kerf at which a cutting pattern breaks.
pub static BREAKS: Rule = Rule {
    id: "breaks-at",
    words: "The kerf at which the last part no longer comes out of the board",
    formula: "kerf = (stock - trim - sum of parts) / (parts - 1)",
    inputs: &["stock", "trim", "sum of parts", "cuts between parts"],
    source: "the kerf rule solved for the kerf",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [stock, trim, parts, cuts] if *cuts > 0 => {
            Some(stock.checked_sub(*trim)?.checked_sub(*parts)?.div_euclid(*cuts))
        }
        _ => None,
    },
    case: Case {
        given: &[3_600_000_000, 10_000_000, 3_568_000_000, 7],
        gives: 3_142_857,
        source: "eight posts of 446 from a 3600, trim 10: breaks at kerf 3.14, worked by hand",
    },
};

/// Boxes, bags and metres are bought whole.
pub static WHOLE_PACKS: Rule = Rule {
    id: "whole-packs",
    words: "What is sold in boxes, bags or metres is bought in whole ones",
    formula: "to buy = used / in one, rounded up",
    inputs: &["used", "in one"],
    source: "bags = ceil(V (1 + waste) / yield)",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [used, each] if *each > 0 => Some(used.checked_neg()?.div_euclid(*each).checked_neg()?),
        _ => None,
    },
    case: Case {
        given: &[307_500_000, 50_000_000],
        gives: 7,
        source: "307.5 litres from bags of 50 are seven bags, worked by hand",
    },
};

/// What a comfortable pattern keeps.
pub static RESERVE: Rule = Rule {
    id: "reserve",
    words: "A pattern is comfortable if it keeps a reserve for each cut and for the board; a tighter one is possible, if measured",
    formula: "reserve = per cut × cuts between parts + per board",
    inputs: &["per cut", "cuts between parts", "per board"],
    source: "half a millimetre a cut and two a board unless the shed says otherwise",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [per_cut, cuts, per_board] => per_cut.checked_mul(*cuts)?.checked_add(*per_board),
        _ => None,
    },
    case: Case { given: &[500_000, 7, 2_000_000], gives: 5_500_000, source: "eight parts on a board: 7 × 0.5 + 2" },
};

/// What comes out of the shed.
pub static TAKEN: Rule = Rule {
    id: "taken",
    words: "What is left in the shed is taken first, as far as it is needed",
    formula: "taken = the lesser of needed and left",
    inputs: &["needed", "left"],
    source: "what is there costs nothing",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [needed, left] => Some(*needed.min(left)),
        _ => None,
    },
    case: Case { given: &[110, 60], gives: 60, source: "of 110 screws 60 lie in the shed: all of them are taken" },
};

/// What is still needed.
pub static LESS_LEFT: Rule = Rule {
    id: "less-left",
    words: "What is needed less what comes out of the shed",
    formula: "to get = needed - taken - …",
    inputs: &["needed", "taken…"],
    source: "what is there need not be bought",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [needed, taken @ ..] => taken.iter().try_fold(*needed, |left, taken| left.checked_sub(*taken)),
        _ => None,
    },
    case: Case { given: &[110, 60], gives: 50, source: "110 screws less 60 that are there" },
};

/// The tax on what is bought.
pub static TAX: Rule = Rule {
    id: "tax",
    words: "The tax on all that has a price, to the nearest hundredth, halves up",
    formula: "tax = goods × share",
    inputs: &["goods", "share in hundredths of a percent"],
    source: "the yard's prices without tax, and its `tax`",
    mark: Mark::YourNumber,
    compute: |x| match x {
        [goods, share] => Some(goods.checked_mul(*share)?.checked_add(5_000)?.div_euclid(10_000)),
        _ => None,
    },
    case: Case { given: &[4_973, 2_000], gives: 995, source: "20 % of 49.73 are 9.946, so 9.95; worked by hand" },
};

/// What bringing it costs.
pub static DELIVERY: Rule = Rule {
    id: "delivery",
    words: "One delivery, which costs nothing from a sum of goods up; told, and not added",
    formula: "delivery = price, or 0 where goods reach the sum",
    inputs: &["goods", "price of a delivery", "free from…"],
    source: "the yard's `[delivery]`",
    mark: Mark::YourNumber,
    compute: |x| match x {
        [_, price] => Some(*price),
        [goods, price, free] => Some(if goods >= free { 0 } else { *price }),
        _ => None,
    },
    case: Case { given: &[15_000, 3_500, 20_000], gives: 3_500, source: "goods for 150.00, free from 200.00 up" },
};

/// The longest of what is bought.
pub static LONGEST: Rule = Rule {
    id: "longest",
    words: "The longest side of all that is bought",
    formula: "longest = the greatest of all lengths",
    inputs: &["length…"],
    source: "the buying list",
    mark: Mark::Arithmetic,
    compute: |x| x.iter().max().copied(),
    case: Case { given: &[2_400_000_000, 3_600_000_000], gives: 3_600_000_000, source: "a 2400 and a 3600" },
};

/// How often the car goes.
pub static TRIPS: Rule = Rule {
    id: "trips",
    words: "The mass of what is bought over the load of the car, rounded up; at least one",
    formula: "trips = mass / load, up, at least 1",
    inputs: &["mass", "load"],
    source: "the shed's `[car]`",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [mass, load] if *load > 0 => Some(mass.checked_add(load - 1)?.div_euclid(*load).max(1)),
        _ => None,
    },
    case: Case { given: &[430_000_000, 400_000_000], gives: 2, source: "430 kg with 400 kg at a time" },
};

/// How many units to buy.
pub static SPARES: Rule = Rule {
    id: "spares",
    words: "What is laid and a share of it as spares, rounded up to a whole unit",
    formula: "buy = laid × (100 % + spare), up",
    inputs: &["laid", "spare in hundredths of a percent"],
    source: "5 % for straight bonds unless the yard says otherwise",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [laid, spare] if *laid >= 0 && *spare >= 0 => {
            Some(laid.checked_mul(spare.checked_add(10_000)?)?.checked_add(9_999)? / 10_000)
        }
        _ => None,
    },
    case: Case { given: &[42, 500], gives: 45, source: "42 setts and 5 %: 44.1, so 45" },
};

/// A line of the buying list.
pub static AMOUNT: Rule = Rule {
    id: "amount",
    words: "So many at the price of one",
    formula: "amount = count × price",
    inputs: &["count", "price of one"],
    source: "the yard's prices",
    mark: Mark::YourNumber,
    compute: |x| match x {
        [count, price] => count.checked_mul(*price),
        _ => None,
    },
    case: Case { given: &[2, 1692], gives: 3384, source: "two boards at 16.92" },
};

/// The sum of the buying list.
pub static TOTAL: Rule = Rule {
    id: "total",
    words: "All lines of the buying list that have a price",
    formula: "total = sum of amounts",
    inputs: &["amounts…"],
    source: "the buying list",
    mark: Mark::Arithmetic,
    compute: |x| x.iter().try_fold(0_i128, |sum, amount| sum.checked_add(*amount)),
    case: Case { given: &[3384, 1410, 1128], gives: 5922, source: "33.84 + 14.10 + 11.28 = 59.22" },
};

/// What a part weighs.
pub static MASS: Rule = Rule {
    id: "mass",
    words: "Length, width and thickness at the density of the material, as if both ends were square",
    formula: "mass = length × width × thickness × density",
    inputs: &["length", "width", "thickness", "density"],
    source: "definition of density; the density's own source stands in the handbook",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [length, width, thickness, density] => {
            // A cubic nanometre at a kilogram for the cubic metre is 10⁻²¹ mg; the nearest milligram is taken.
            let volume = length.checked_mul(*width)?.checked_mul(*thickness)?;
            let doubled = volume.checked_mul(*density)?.checked_mul(2)?;
            Some(doubled.checked_add(10_i128.pow(21))?.div_euclid(2 * 10_i128.pow(21)))
        }
        _ => None,
    },
    case: Case {
        given: &[2_400_000_000, 145_000_000, 21_000_000, 1000],
        gives: 7_308_000,
        source: "a deck board 2400 × 145 × 21 at 1000 kg/m³ is 7.308 kg, worked by hand",
    },
};

/// The mass of a part whose ends are trimmed.
pub static MASS_OF_VOLUME: Rule = Rule {
    id: "mass-of-volume",
    words: "The mass of a part is its volume times the density of its material",
    formula: "mass = volume × density",
    inputs: &["volume", "density"],
    source: "the definition of density",
    mark: Mark::Arithmetic,
    // A cubic millimetre at a kilogram for the cubic metre is a thousandth of a milligram.
    compute: |x| match x {
        [volume, density] => Some(volume.checked_mul(*density)?.checked_add(500)?.div_euclid(1_000)),
        _ => None,
    },
    case: Case {
        given: &[2_000_000, 550],
        gives: 1_100_000,
        source: "two litres of a timber of 550 kg/m³ weigh 1.1 kg, worked by hand",
    },
};

/// What one weighs that the yard has weighed.
pub static STATED_MASS: Rule = Rule {
    id: "stated-mass",
    words: "What one weighs, by the yard",
    formula: "mass = mass by the yard",
    inputs: &["mass by the yard"],
    source: "the yard's masses",
    mark: Mark::YourNumber,
    compute: |x| match x {
        [mass] => Some(*mass),
        _ => None,
    },
    case: Case { given: &[2_600_000], gives: 2_600_000, source: "a brick that the yard says weighs 2.6 kg" },
};

/// What all parts of a piece weigh.
pub static SUM_OF_MASSES: Rule = Rule {
    id: "sum-of-masses",
    words: "All parts of the piece together, without fasteners and filling",
    formula: "mass = sum over kinds of parts of count × mass of one",
    inputs: &["count, mass of one…"],
    source: "the list of parts",
    mark: Mark::Arithmetic,
    compute: |x| match x.as_chunks() {
        (pairs, []) => pairs.iter().try_fold(0_i128, |sum, [count, mass]| sum.checked_add(count.checked_mul(*mass)?)),
        _ => None,
    },
    case: Case { given: &[8, 7_308_000], gives: 58_464_000, source: "eight deck boards of 7.308 kg are 58.5 kg" },
};

/// What is brought home.
pub static LOAD: Rule = Rule {
    id: "load",
    words: "What is brought home: boards, sheets and units by what one weighs as it is sold, bags by what the yard says; screws, rolls, tins and other things are not in it, nor what nobody can weigh",
    formula: "load = sum over what is bought of count × mass of one",
    inputs: &["count, mass of one…"],
    source: "the buying list",
    mark: Mark::Arithmetic,
    compute: SUM_OF_MASSES.compute,
    case: Case {
        given: &[3, 6_160_000, 4, 14_000_000],
        gives: 74_480_000,
        source: "three boards of 6.16 kg and four bags of 14 kg are 18.48 + 56 = 74.48 kg, by hand",
    },
};

/// What so many people lift together.
pub static TEAM_LIFT: Rule = Rule {
    id: "team-lift",
    words: "What one person lifts, times the people, times what a team manages of that sum: two people two thirds (0.666, rounded down), three or more half",
    formula: "limit = one person × people × share of the team in thousandths / 1000",
    inputs: &["one person", "people", "share of the team in thousandths"],
    source: "UK Health and Safety Executive, L23, team handling",
    mark: Mark::FromMemory,
    compute: |x| match x {
        [one, people, share] => Some(one.checked_mul(*people)?.checked_mul(*share)?.div_euclid(1000)),
        _ => None,
    },
    case: Case {
        given: &[25_000_000, 2, 666],
        gives: 33_300_000,
        source: "two people of 25 kg lift two thirds of 50 kg, 33.33 kg, with the share rounded down 33.3 kg; worked by hand",
    },
};

/// The rules of this crate that belong to no question.
static OWN: &[&Rule] = &[
    &SLACK,
    &BREAKS,
    &RESERVE,
    &WHOLE_PACKS,
    &PRICE_BY_MEASURE,
    &PACKS,
    &TAKEN,
    &LESS_LEFT,
    &TAX,
    &DELIVERY,
    &LONGEST,
    &TRIPS,
    &SPARES,
    &AMOUNT,
    &TOTAL,
    &LOAD,
    &crate::saw::REST,
    &crate::saw::TALLY,
    &crate::work::MINUTES,
    &crate::buy::YARD_CUTS,
    &crate::buy::YARD_FEE,
];

/// All rules of this crate, for the reference page and the tests; a rule that several questions use comes once.
pub fn all() -> impl Iterator<Item = &'static Rule> {
    let questions = crate::check::QUESTIONS.iter().flat_map(|question| question.rules.iter().copied());
    let mut seen = std::collections::BTreeSet::new();
    OWN.iter().copied().chain(questions).filter(move |rule| seen.insert(rule.id))
}

#[cfg(test)]
mod tests {
    use super::all;

    #[test]
    fn every_rule_gives_its_case() {
        all().for_each(model::why::check_rule);
    }

    /// The largest and the smallest numbers in every place of every rule: an answer or none, and never a panic. Numbers of
    /// other counts than the rule takes are thrown too.
    #[test]
    fn no_rule_panics_on_huge_numbers() {
        let huge = [i128::MAX, i128::MIN, 1, 0];
        for rule in all() {
            for count in 0..=6_u32 {
                for turn in 0..huge.len().pow(count) {
                    let digit = |place: u32| huge[turn / huge.len().pow(place) % huge.len()];
                    let given: Vec<i128> = (0..count).map(digit).collect();
                    (rule.compute)(&given);
                }
            }
        }
    }

    /// i128::MAX twice cannot be added, nor multiplied: none of the sums and products answers with something else.
    #[test]
    fn sums_and_products_too_large_have_no_answer() {
        for id in ["slack", "reserve", "spares", "amount", "total", "mass", "sum-of-masses", "team-lift"] {
            let rule = all().find(|rule| rule.id == id).expect("a rule of this name");
            let count = rule.case.given.len().max(2);
            // Taken off one another, the largest and the largest negative are too far apart.
            let given: Vec<i128> = match id {
                "slack" => vec![i128::MAX, i128::MIN, 0, 0, 0],
                _ => vec![i128::MAX; count],
            };
            assert_eq!((rule.compute)(&given), None, "{id}");
        }
    }
}
