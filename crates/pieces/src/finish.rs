//! `finish`: oil, paint or stain on the boards and sheets of other pieces, by the real area of their parts.

use crate::Piece;
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::named::stock_needed;
use measure::Volume;
use model::build::{Build, Need, Needed, Step, Wait};
use model::part::Part;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind};
use model::stock::StockRef;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// The keys of `finish`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "finish",
    doc: "Oil, paint or stain on all faces of the boards and sheets of other pieces. Write it before what covers them, such as soil.",
    fields: &[
        Field { key: "of", doc: "The pieces that are finished.", kind: Kind::Pieces, default: Default::Required },
        Field {
            key: "finish",
            doc: "The finish of the yard.",
            kind: Kind::Stock(StockKind::Finish),
            default: Default::Required,
        },
        Field {
            key: "coats",
            doc: "How many coats (two are *common practice*).",
            kind: Kind::Count { least: 1, most: 10 },
            default: Default::Text("2"),
        },
    ],
};

/// A finish as the plan states it.
struct Finish {
    text: PieceText,
    of: Vec<String>,
    stock: StockRef,
    label: String,
    coats: u32,
    /// Thousandths of a square metre that a litre covers in the first coat, and in each after it.
    covers: [u32; 2],
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let stock = stock_needed(text, plan, StockKind::Finish, "finish")?;
    let finish = &plan.yard.finishes[stock.place];
    Ok(Box::new(Finish {
        of: text.values.names("of").unwrap_or_default(),
        stock,
        label: finish.label.clone(),
        coats: text.values.count("coats").unwrap_or(2),
        covers: [finish.first, finish.later],
        text: text.clone(),
    }))
}

impl Piece for Finish {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let place = self.text.values.place_of("of");
        let mut stands = Vec::new();
        for of in &self.of {
            stands.push(ask.stand(of, &place)?);
        }
        let first = stands.into_iter().next();
        let nothing = || Problem::new(format!("`{}` is on no piece", self.text.name)).at(&place);
        first.map(|of| Stand { has_faces: false, wall: None, ..of }).ok_or_else(nothing)
    }

    fn detail(&self, _fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let coats = if self.coats == 1 { "a coat".to_owned() } else { format!("{} coats", self.coats) };
        let what = format!(
            "Brush {coats} of {} on all faces of the parts of {}, before anything covers them; end grain twice",
            self.label,
            self.of.join(", ")
        );
        let caution = Some(
            "lay cloths soaked with oil out flat to dry, outdoors or under water: crumpled they can catch fire by themselves"
                .to_owned(),
        );
        let dry =
            format!("Let the {} dry as its label says, sheltered from rain, before anything covers it", self.label);
        out.waits.push(Wait { step: out.steps.len(), what: dry, hours: None });
        out.steps.push(Step { piece: self.text.name.clone(), what, caution, parts: Vec::new() });
        Ok(())
    }

    fn after(&self, _fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let too_much = || Problem::new(format!("the area of `{}` is too large", self.text.name));
        let mut inputs = Vec::new();
        for of in &self.of {
            let own = out.parts.iter().filter(|part| part.key.piece == *of && part.stock.kind != StockKind::Unit);
            let area = area(own).ok_or_else(too_much)?;
            inputs.push(Input::new(format!("surface of the parts of {of}"), Value { of: Of::Area, value: area }));
        }
        let name = self.text.called("area");
        let area = Quantity::by(name.clone(), "to be finished", Of::Area, &AREA, inputs).ok_or_else(too_much)?;
        let covers = self.covers.map(Value::count);
        let inputs = vec![
            Input::new(name, area.value),
            Input::new("thousandths of a square metre for a litre, first coat", covers[0]),
            Input::new("coats", Value::count(self.coats)),
            Input::new("the same in each coat after it", covers[1]),
        ];
        let litres = Quantity::by(self.text.called("litres"), "to brush on", Of::Volume, &LITRES, inputs);
        let litres = litres.ok_or_else(too_much)?;
        let volume = Volume::from_cubic_nanometres(litres.value.value.checked_mul(CUBIC).ok_or_else(too_much)?);
        out.needs.push(Need {
            piece: self.text.name.clone(),
            what: self.label.clone(),
            of: Needed::Brushed { finish: self.stock, volume },
        });
        out.quantities.extend([area, litres]);
        Ok(())
    }
}

/// Cubic nanometres in a cubic millimetre, square nanometres in a square millimetre.
const CUBIC: i128 = 10_i128.pow(18);
const SQUARE: i128 = 10_i128.pow(12);

/// The surface of some parts in whole square millimetres: boxes exactly, others by their shape; `None` if that is too large.
fn area<'p>(parts: impl Iterator<Item = &'p Part>) -> Option<i128> {
    let (mut boxes, mut shapes) = (0_i128, 0.0);
    for part in parts {
        if part.solid.ends.iter().all(Vec::is_empty) {
            let [l, w, t] =
                [part.solid.length, part.solid.width, part.solid.thickness].map(|side| i128::from(side.nanometres()));
            boxes = boxes.checked_add(2 * (l * w + l * t + w * t))?;
        } else {
            shapes += part.shape()?.area();
        }
    }
    Some((boxes + libm::round(shapes * 1e12) as i128 + SQUARE / 2).div_euclid(SQUARE))
}

/// All that is brushed.
pub(crate) static AREA: Rule = Rule {
    id: "surface",
    words: "The surface of all parts of the pieces that are finished, all faces of each",
    formula: "area = sum over pieces of the surface of their parts",
    inputs: &["surface of the parts of a piece…"],
    source: "a board has six faces",
    mark: Mark::Arithmetic,
    compute: |x| x.iter().try_fold(0_i128, |sum, area| sum.checked_add(*area)),
    case: Case { given: &[1_000_000, 250_000], gives: 1_250_000, source: "a square metre and a quarter" },
};

/// How much is brushed on.
pub(crate) static LITRES: Rule = Rule {
    id: "brushed",
    words: "The area over what a litre covers, once for the first coat and once more for each after it",
    formula: "litres = area / first + (coats - 1) × area / later, up",
    inputs: &["area", "first", "coats", "later"],
    source: "litres = area × coats / coverage",
    mark: Mark::CommonPractice,
    // A square millimetre at a thousandth of a square metre for a litre is a thousand cubic millimetres.
    compute: |x| match x {
        [area, first, coats, later] if *first > 0 && *later > 0 && *coats > 0 => {
            let shares = coats.checked_sub(1)?.checked_mul(*first)?.checked_add(*later)?;
            let above = area.checked_mul(1000)?.checked_mul(shares)?;
            Some(above.checked_neg()?.div_euclid(first.checked_mul(*later)?).checked_neg()?)
        }
        _ => None,
    },
    case: Case {
        given: &[9_000_000, 6_000, 2, 12_000],
        gives: 2_250_000,
        source: "nine square metres at 6 and then 12 for a litre: 1.5 + 0.75 litres, worked by hand",
    },
};

#[cfg(test)]
mod tests {
    use super::area;
    use measure::Length;
    use model::part::{At, Axis, Frame, Part, PartKey, Plane, Solid, UNIT};
    use model::schema::StockKind;
    use model::stock::StockRef;

    /// By hand: a board of 1000 × 100 × 20 has 2 (100,000 + 20,000 + 2,000) = 244,000 mm². Cut at 45° across its face at one end it
    /// loses a triangle of 5,000 mm² on two sides and 100 × 20 of one edge, and its end grows from 100 to 141.42 by 20.
    #[test]
    fn boards_square_and_mitred() {
        let mut part = Part {
            key: PartKey { piece: "p".into(), role: "board".into(), face: "front".into(), course: 0, index: 0 },
            id: "A1".into(),
            stock: StockRef { kind: StockKind::Board, place: 0 },
            solid: Solid::square(Length::mm(1000), Length::mm(100), Length::mm(20)),
            at: At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along: Axis::X, across: Axis::Y },
        };
        assert_eq!(area([&part, &part].into_iter()), Some(488_000));
        let half = (UNIT as f64 * std::f64::consts::FRAC_1_SQRT_2).round() as i64;
        let through = [Length::mm(1000), Length::ZERO, Length::ZERO];
        part.solid.ends[1].push(Plane { normal: [half, half, 0], through });
        let own = area(std::iter::once(&part)).expect("small");
        assert_eq!(own, 244_000 - 10_000 - 2_000 + 828, "141.42 × 20 less 100 × 20 is 828");
    }
}
