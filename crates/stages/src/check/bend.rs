//! How wood bends and what it bears: what the questions about strength share.
//!
//! Strips of wood are taken as simply supported from one support to the next, which bends them more than if they ran on.

use handbook::strength::{self, Duration, Known};
use measure::{Factor, Length, Pressure};
use model::plan::{Plan, Region};
use model::schema::StockKind;
use model::stock::{Material, StockRef};
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// What a wood bends by and bears, by its material and the plan's region.
pub(super) struct Wood {
    /// Modulus of elasticity along the grain, for a panel across its weaker direction.
    pub stiffness: Pressure,
    /// Final over first bend under a load for good.
    pub creep: &'static Known,
    /// Where strength and stiffness are from.
    pub source: String,
    bears: Bears,
}

/// By which code a wood is judged.
enum Bears {
    /// EN 1995-1-1: characteristic strength, its partial factor, and whether thin pieces are stronger.
    Europe { bending: Pressure, gamma: &'static Known, sized: bool },
    /// NDS: a reference design value.
    NorthAmerica { bending: Pressure },
}

impl Wood {
    /// The wood of a stock.
    ///
    /// # Errors
    /// What the yard has to say of it.
    pub fn of(stock: StockRef, plan: &Plan) -> Result<Wood, String> {
        let name = plan.yard.label(stock).0;
        let Some(Material::Named(material)) = plan.yard.density(stock) else {
            return Err(format!("give `{name}` its `material` in the yard, by which its strength is known"));
        };
        let in_america = plan.site.region == Region::NorthAmerica && stock.kind == StockKind::Board;
        if let Some(row) = strength::reference_of(material).filter(|_| in_america) {
            return Ok(Wood {
                stiffness: row.stiffness,
                creep: &strength::CREEP_NDS,
                source: format!("{} as {}: {} ({})", material, row.grade, row.source, row.mark),
                bears: Bears::NorthAmerica { bending: row.bending },
            });
        }
        if let Some(panel) = strength::panel_of(material) {
            let bears = Bears::Europe { bending: panel.bending, gamma: &strength::GAMMA_PANEL, sized: false };
            let source = format!("{material}: {} ({}); EN 1995-1-1", panel.source, panel.mark);
            return Ok(Wood { stiffness: panel.stiffness, creep: &strength::CREEP_PANEL, source, bears });
        }
        let (class, mark) = strength::class_of(material)
            .ok_or_else(|| format!("nobody knows how strong `{material}` is: name another `material` for `{name}`"))?;
        let source = format!("{material} as {} ({mark}): {}; EN 1995-1-1", class.name, strength::CLASS_SOURCE);
        let bears = Bears::Europe { bending: class.bending, gamma: &strength::GAMMA_TIMBER, sized: true };
        Ok(Wood { stiffness: class.stiffness, creep: &strength::CREEP_TIMBER, source, bears })
    }

    /// The stress that it bears outdoors under a load of some duration, `depth` being what is bent. Stresses are compared
    /// without partial factors on the load, so that of Eurocode is in here.
    pub fn limit(&self, name: String, duration: Duration, depth: Length) -> Option<Quantity> {
        let known = |what: &str, known: &'static Known| {
            Input::new(format!("{what} ({}, {})", known.source, known.mark), Value::factor(known.factor))
        };
        let what = "the bending stress that it bears";
        match self.bears {
            Bears::Europe { bending, gamma, sized } => {
                let load = match duration {
                    Duration::Permanent => &strength::GAMMA_PERMANENT,
                    Duration::Short | Duration::Instant => &strength::GAMMA_VARIABLE,
                };
                let size = if sized { (SIZE.compute)(&[depth.nanometres().into()])? } else { 1000 };
                let inputs = vec![
                    Input::new("characteristic bending strength", Value::pressure(bending)),
                    Input::new("size factor kh (EN 1995-1-1 3.2(3), published)", Value { of: Of::Factor, value: size }),
                    known("kmod", strength::kmod(duration)),
                    known("partial factor of the wood", gamma),
                    known("partial factor of the load", load),
                ];
                Quantity::by(name, what, Of::Pressure, &BEARS_EUROPE, inputs)
            }
            Bears::NorthAmerica { bending } => {
                let inputs = vec![
                    Input::new("reference design value Fb", Value::pressure(bending)),
                    known("CD", strength::load_duration(duration)),
                    known("CM", &strength::WET_BENDING),
                ];
                Quantity::by(name, what, Of::Pressure, &BEARS_NDS, inputs)
            }
        }
    }
}

/// The most that something may bend over a span.
pub(super) fn most_bend(name: String, span: Length, over: &'static Known) -> Option<Quantity> {
    let inputs = vec![
        Input::new("span", Value::length(span)),
        Input::new(format!("span over so much ({}, {})", over.source, over.mark), Value::factor(over.factor)),
    ];
    Quantity::by(name, "the most that it may bend", Of::Length, &MOST_BEND, inputs)
}

/// A number as floating point.
pub(super) fn real(value: &i128) -> f64 {
    *value as f64
}

/// The nearest whole number; `None` for what is not a number or does not fit into the record.
pub(super) fn whole(value: f64) -> Option<i128> {
    (value.abs() < 9e18).then(|| libm::round(value) as i128)
}

/// A length in metres.
pub(super) fn metres(value: &i128) -> f64 {
    real(value) / 1e9
}

/// The size factor of Eurocode 5.
pub(super) static SIZE: Rule = Rule {
    id: "size-factor",
    words: "Solid timber that is bent and is less than 150 mm deep is stronger than a deep beam, by 1.3 times at most; rounded down",
    formula: "kh = (150 mm / h)^0.2, from 1 to 1.3",
    inputs: &["h"],
    source: "EN 1995-1-1 3.2(3)",
    mark: Mark::Published,
    compute: |x| match x {
        // The greatest k whose fifth power is not above 150 / h, found by trial: no root is needed, and nothing is rounded up.
        [depth] if *depth > 0 => {
            let fits =
                |k: &i128| depth.checked_mul(k.pow(5)).is_some_and(|power| power <= 150_000_000 * 1000_i128.pow(5));
            Some((1000..=Factor::value(strength::MOST_SIZE).into()).rev().find(fits).unwrap_or(1000))
        }
        _ => None,
    },
    case: Case {
        given: &[100_000_000],
        gives: 1084,
        source: "(150 / 100)^0.2 = 1.0845, in an open test file of EN 1995-1-1",
    },
};

/// What wood bears by Eurocode 5.
pub(super) static BEARS_EUROPE: Rule = Rule {
    id: "bears-ec5",
    words: "The bending strength of wood less what time and wet take, over the partial factors of the wood and of the load",
    formula: "f = fm,k × kh × kmod / (γM × γF)",
    inputs: &["fm,k", "kh", "kmod", "γM", "γF"],
    source: "EN 1995-1-1 2.4.1 and 3.2",
    mark: Mark::FromMemory,
    compute: |x| match x {
        [f, kh, kmod, gamma, load] if *gamma > 0 && *load > 0 => {
            Some(f.checked_mul(*kh)?.checked_mul(*kmod)?.checked_div(gamma.checked_mul(*load)?)?)
        }
        _ => None,
    },
    case: Case {
        given: &[24_000_000, 1000, 800, 1300, 1000],
        gives: 14_769_230,
        source: "C24, medium duration: 24 × 0.8 / 1.3 = 14.769 N/mm², a test of an open engineering library",
    },
};

/// What wood bears by the NDS.
pub(super) static BEARS_NDS: Rule = Rule {
    id: "bears-nds",
    words: "The reference design value in bending times its adjustment factors",
    formula: "Fb' = Fb × CD × CM × …",
    inputs: &["Fb", "factors…"],
    source: "NDS (AWC, 2018) Table 4.3.1",
    mark: Mark::FromMemory,
    compute: |x| match x {
        [value, factors @ ..] => {
            factors.iter().try_fold(*value, |left, factor| Some(left.checked_mul(*factor)?.div_euclid(1000)))
        }
        _ => None,
    },
    case: Case {
        given: &[6_722_388, 1150, 1200],
        gives: 9_276_895,
        source: "Fb 975 lb/in², Cr 1.15, CF 1.2: 1345 lb/in² = 9.277 N/mm², HUD Residential Structural Design Guide (2017) Example 5.1",
    },
};

/// The most that something may bend.
pub(super) static MOST_BEND: Rule = Rule {
    id: "most-bend",
    words: "What is bent may give by a share of its span",
    formula: "most = span / so much",
    inputs: &["span", "so much"],
    source: "a share of the span that the eye or the foot takes for straight",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [span, over] if *over > 0 => Some(span.checked_mul(1000)?.div_euclid(*over)),
        _ => None,
    },
    case: Case { given: &[2_110_000_000, 200_000], gives: 10_550_000, source: "2110 / 200 = 10.55, by hand" },
};

/// The bend of a strip.
pub(super) static STRIP_BEND: Rule = Rule {
    id: "strip-bend",
    words: "How far a strip of wood of even thickness bends under an even pressure on its face, from one support to the next, simply supported; its width falls out",
    formula: "w = 5 p L^4 / (384 E t^3 / 12) × creep",
    inputs: &["p", "L", "t", "E", "creep"],
    source: "AWC Design Aid 6 case 1, as used in the tests of an open engineering library",
    mark: Mark::Published,
    compute: |x| match x {
        [p, span, thickness, stiffness, creep] if *thickness > 0 && *stiffness > 0 => {
            let (l, t) = (metres(span), metres(thickness));
            let bend = 60.0 * real(p) * l * l * l * l / (384.0 * real(stiffness) * t * t * t);
            whole(bend * real(creep) / 1000.0 * 1e9)
        }
        _ => None,
    },
    case: Case {
        given: &[4_500, 2_110_000_000, 40_000_000, 8_000_000_000, 1000],
        gives: 27_220_268,
        source: "4.5 kN/m² on a 40 plank over 2110, E 8000 N/mm²: 27.2 mm, worked outside this project",
    },
};

/// The stress of a strip.
pub(super) static STRIP_STRESS: Rule = Rule {
    id: "strip-stress",
    words: "How hard the same strip is bent in its middle",
    formula: "σ = (p L^2 / 8) / (t^2 / 6)",
    inputs: &["p", "L", "t"],
    source: "AWC Design Aid 6 case 1, as used in the tests of an open engineering library",
    mark: Mark::Published,
    compute: |x| match x {
        [p, span, thickness] if *thickness > 0 => {
            let slender = metres(span) / metres(thickness);
            whole(0.75 * real(p) * slender * slender)
        }
        _ => None,
    },
    case: Case {
        given: &[4_500, 2_110_000_000, 40_000_000],
        gives: 9_391_148,
        source: "4.5 kN/m² on a 40 plank over 2110: 9.4 N/mm², worked outside this project",
    },
};
