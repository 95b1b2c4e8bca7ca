//! `pad`: a field of whole units under pieces that stand abreast, none of them cut, with as much showing all round.

use crate::Piece;
use crate::abreast::{abreast, far_end, length, width};
use crate::ask::{Ask, GapId, RowAsk, Stand};
use crate::fitted::{Fitted, explain_row};
use crate::named::stock_needed;
use crate::place::{Ground, boxed};
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Row, Step};
use model::outline::Outline;
use model::part::{Axis, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, Wish, WishOf};
use model::stock::StockRef;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// The keys of `pad`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "pad",
    doc: "A field of whole setts, pavers, bricks or slabs under pieces, none of them cut, flush with the ground, all joints in line.",
    fields: &[
        Field {
            key: "under",
            doc: "What stands on it, from the left to the right: one piece, or several of one width with their fronts in one line.",
            kind: Kind::Pieces,
            default: Default::Required,
        },
        Field {
            key: "unit",
            doc: "What it is laid of.",
            kind: Kind::Stock(StockKind::Unit),
            default: Default::Required,
        },
        Field {
            key: "laid",
            doc: "Which way each unit lies.",
            kind: Kind::Word(&[
                ("along", "its longer side along the front"),
                ("across", "its longer side from front to back"),
            ]),
            default: Default::Text("along"),
        },
        Field {
            key: "joint",
            doc: "Between one unit and the next, both ways.",
            kind: Kind::Wish { of: WishOf::Gap, least: 0, most: 100 },
            default: Default::Required,
        },
        Field {
            key: "showing",
            doc: "How much of it shows round what stands on it, the same on all four sides.",
            kind: Kind::Wish { of: WishOf::Size, least: 0, most: 2_000 },
            default: Default::Required,
        },
    ],
};

/// How far a pad reaches.
pub static ALL_ROUND: Rule = Rule {
    id: "all-round",
    words: "A pad reaches as far as what stands on it, and as far again on both sides as shows",
    formula: "pad = what stands on it + 2 × showing",
    inputs: &["what stands on it", "showing"],
    source: "the plan",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [stands, showing] => Some(stands + 2 * showing),
        _ => None,
    },
    case: Case {
        given: &[2_498_000_000, 69_000_000],
        gives: 2_636_000_000,
        source: "69 of paving round 2498: 2636, worked outside this project",
    },
};

/// How many units a field has.
pub static FIELD: Rule = Rule {
    id: "field",
    words: "A field has as many units as one row times the number of rows",
    formula: "units = units in a row × rows",
    inputs: &["units in a row", "rows"],
    source: "all joints in line, no unit cut",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [row, rows] => row.checked_mul(*rows),
        _ => None,
    },
    case: Case { given: &[13, 6], gives: 78, source: "thirteen by six pavers, worked outside this project" },
};

/// A row has no more units than these, so that a field has no more than [`MOST_MEMBERS`](crate::MOST_MEMBERS).
const MOST_IN_A_ROW: i64 = 141;

/// A pad as the plan states it.
struct Pad {
    text: PieceText,
    under: Vec<String>,
    stock: StockRef,
    /// What a unit takes along the front and from front to back.
    members: [Length; 2],
    thickness: Length,
    along: bool,
    joint: Wish,
    showing: Wish,
}

/// The faces whose rows are the field's two ways.
const FACES: [&str; 2] = ["front", "right"];

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let under = text.values.names("under").unwrap_or_default();
    lies_alone(text, plan, &under)?;
    holds_no_feet(text, plan, &under)?;
    let stock = stock_needed(text, plan, StockKind::Unit, "unit")?;
    let unit = &plan.yard.units[stock.place];
    let along = text.need_word("laid")? == "along";
    Ok(Box::new(Pad {
        under,
        stock,
        members: if along { [unit.length, unit.width] } else { [unit.width, unit.length] },
        thickness: unit.thickness,
        along,
        joint: text.need_wish("joint")?,
        showing: text.need_wish("showing")?,
        text: text.clone(),
    }))
}

/// Posts do not go down through a pad.
fn holds_no_feet(text: &PieceText, plan: &Plan, under: &[String]) -> Result<(), Problem> {
    let is_posts = |piece: &&PieceText| std::ptr::eq(piece.schema, &crate::posts::SCHEMA);
    for posts in plan.pieces.iter().filter(is_posts) {
        let Some(host) = posts.values.text("in").filter(|host| under.contains(host)) else { continue };
        let walls = plan.pieces.iter().find(|piece| piece.name == host);
        let up = walls.and_then(|walls| walls.values.length("off-ground")).unwrap_or(Length::ZERO);
        let Some(foot) = posts.values.length("foot").filter(|foot| *foot > up) else { continue };
        let [deep, most] = [foot - up, up].map(|length| plan.tape.show_with_unit(length));
        let through = format!("the feet of `{}` would stand {deep} deep in `{}`", posts.name, text.name);
        let hint = format!("make `foot` of `{}` at most {most}, how far `{host}` stands off the ground", posts.name);
        return Err(Problem::new(through).at(&text.values.place_of("under")).hint(hint));
    }
    Ok(())
}

/// Two pads, or a pad and a ring, do not lie in the ground round one piece.
fn lies_alone(text: &PieceText, plan: &Plan, under: &[String]) -> Result<(), Problem> {
    let place = text.values.place_of("under");
    let is_screen =
        |piece: &&PieceText| std::ptr::eq(piece.schema, &crate::screen::SCHEMA) && under.contains(&piece.name);
    if let Some(screen) = plan.pieces.iter().find(is_screen) {
        let deep = Problem::new(format!(
            "the posts of `{}` stand in the ground, where `{}` would lie",
            screen.name, text.name
        ));
        return Err(deep.at(&place).hint("a pad lies under pieces that stand on the ground"));
    }
    for other in plan.pieces.iter().filter(|other| other.name != text.name) {
        let is_pad = std::ptr::eq(other.schema, text.schema);
        let of_pad = other.values.names("under").unwrap_or_default();
        let round = other.values.text("around").filter(|_| std::ptr::eq(other.schema, &crate::edging::SCHEMA));
        let shared = under.iter().find(|name| (is_pad && of_pad.contains(name)) || round.as_ref() == Some(name));
        if let Some(shared) = shared {
            let both = format!(
                "`{}` and `{}` both lie in the ground round `{shared}`, so they would overlap",
                text.name, other.name
            );
            let hint = if is_pad {
                "let one pad lie under all of them".into()
            } else {
                format!("let `{}` go round `{}`", other.name, text.name)
            };
            return Err(Problem::new(both).at(&place).hint(hint));
        }
    }
    Ok(())
}

impl Pad {
    /// What stands on it, from the first to the last piece, along the front and from front to back.
    fn standing(first: &Stand, last: &Stand) -> [Affine; 2] {
        [far_end(last) - first.origin[0].clone(), width(first)]
    }

    fn ask_row(&self, ask: &mut Ask<'_>, way: usize, face: &Affine, gap: GapId) {
        let (name, pattern) = (&self.text.called(FACES[way]), &[self.members[way]]);
        let what =
            format!("the {} of {}, so that a row has no more than {MOST_IN_A_ROW} units,", FACES[way], self.text.name);
        ask.is_at_most(&what, Vec::new(), face, self.members[way] * MOST_IN_A_ROW);
        ask.row(RowAsk { name, when: Vec::new(), face: face.clone(), pattern, more: 0, end_gaps: 0, gap, times: 1 });
    }

    /// The pieces stand on the ground: what is sunk into it has no pad under it.
    fn hold_above(&self, stands: &[Stand]) -> Result<(), Problem> {
        let sunk = |stand: &Stand| stand.bottom.terms().count() == 0 && stand.bottom.constant() < Length::ZERO;
        match stands.iter().position(sunk) {
            Some(at) => {
                let place = self.text.values.place_of("under");
                let low = Problem::new(format!("`{}` reaches into the ground", self.under[at]));
                Err(low.at(&place).hint("a pad lies under pieces that stand on the ground"))
            }
            None => Ok(()),
        }
    }
}

impl Piece for Pad {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let stands = abreast(ask, &self.text, "under")?;
        self.hold_above(&stands)?;
        // At least one piece is named.
        let (first, last) = (&stands[0], &stands[stands.len() - 1]);
        let showing = ask.size(&self.text.called("showing"), self.showing, self.text.values.place_of("showing"));
        let gap = ask.gap(&self.text.called("joint"), self.joint, self.text.values.place_of("joint"));
        let around = Affine::size(showing) * 2;
        let sizes = Pad::standing(first, last).map(|stands| stands + around.clone());
        for (way, size) in sizes.iter().enumerate() {
            self.ask_row(ask, way, size, gap);
        }
        let origin = [0, 1].map(|axis| first.origin[axis].clone() - Affine::size(showing));
        let [long, wide] = sizes;
        Ok(Stand {
            outline: Outline::rectangle(long, wide),
            origin,
            bottom: (-self.thickness).into(),
            top: Length::ZERO.into(),
            has_faces: false,
            wall: None,
            batter: Length::ZERO,
        })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let stand = fitted.stand(&self.text.name)?;
        let ground = Ground::of(stand, fitted)?;
        let [x, y] = ground.corner(0);
        let sizes = [length(stand), width(stand)].map(|size| size.at(fitted.sizes()));
        let rows = [self.row(fitted, 0, sizes[0])?, self.row(fitted, 1, sizes[1])?];
        let starts = [0, 1].map(|way: usize| rows[way].starts().collect::<Vec<Length>>());
        let lie = if self.along { [Axis::X, Axis::Y] } else { [Axis::Y, Axis::X] };
        let mut parts = Vec::new();
        for (course, &back) in starts[1].iter().enumerate() {
            for (index, &along) in starts[0].iter().enumerate() {
                let key = self.key(course, index);
                let extent = [self.members[0], self.members[1], self.thickness];
                out.parts.push(boxed([x + along, y + back, -self.thickness], extent, lie, key.clone(), self.stock));
                parts.push(key);
            }
        }
        self.explain(fitted, [rows[0].count, rows[1].count], out)?;
        rows.into_iter().for_each(|row| explain_row(out, row));
        out.steps.push(self.step(parts));
        out.outlines.push(ground.drawn(&self.text.name));
        Ok(())
    }
}

impl Pad {
    fn row(&self, fitted: &Fitted<'_>, way: usize, length: Length) -> Result<Row, Problem> {
        let fit = fitted.need_row(&self.text.called(FACES[way]))?;
        Ok(Row {
            piece: self.text.name.clone(),
            face: FACES[way].into(),
            length,
            pattern: vec![self.members[way]],
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap: false,
            up: false,
        })
    }

    fn key(&self, course: usize, index: usize) -> PartKey {
        // Units are counted by fit, whose counts stay far below a u32.
        let (course, index) = (course as u32, index as u32);
        PartKey { piece: self.text.name.clone(), role: "unit".into(), face: "front".into(), course, index }
    }

    fn explain(&self, fitted: &Fitted<'_>, counts: [u32; 2], out: &mut Build) -> Result<(), Problem> {
        let stands: Result<Vec<&Stand>, Problem> = self.under.iter().map(|name| fitted.stand(name)).collect();
        let stands = stands?;
        let on_it = Pad::standing(stands[0], stands[stands.len() - 1]).map(|size| size.at(fitted.sizes()));
        let own = fitted.stand(&self.text.name)?;
        let showing = stands[0].origin[1].at(fitted.sizes()) - own.origin[1].at(fitted.sizes());
        for (what, stands) in ["length", "width"].into_iter().zip(on_it) {
            let inputs = vec![
                Input::new("what stands on it", Value::length(stands)),
                Input::new(self.text.called("showing"), Value::length(showing)),
            ];
            out.quantities.extend(Quantity::by(
                self.text.called(what),
                "size of the pad",
                Of::Length,
                &ALL_ROUND,
                inputs,
            ));
        }
        let [row, rows] = counts;
        let inputs = vec![Input::new("units in a row", Value::count(row)), Input::new("rows", Value::count(rows))];
        out.quantities.extend(Quantity::by(self.text.called("units"), "units of the pad", Of::Count, &FIELD, inputs));
        Ok(())
    }

    fn step(&self, parts: Vec<PartKey>) -> Step {
        let what = format!(
            "Set {} out and check both diagonals, dig and compact its base, lay one row each way dry, then bed all units with their joints in line, and hold the edge all round so that no unit can move out",
            self.text.name
        );
        let caution = "Have buried services marked before the first spade; lift with your knees; wear goggles, ear protection and closed shoes at the plate compactor; no unit is cut here, and if you ever cut one, cut it wet and wear an FFP3 mask";
        Step { piece: self.text.name.clone(), what, caution: Some(caution.into()), parts }
    }
}
