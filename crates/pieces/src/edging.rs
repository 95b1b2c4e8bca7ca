//! `edging`: a ring of whole units (setts, pavers, bricks) laid round another piece, none of them cut.

use crate::Piece;
use crate::ask::{Ask, MOST_MEMBERS, RowAsk, Stand, When};
use crate::fitted::{Fitted, RowFit, explain_row};
use crate::place::{Ground, Spans, Way};
use crate::rows::{Corners, RowLine, UNIT_CORNERS, row_line};
use measure::{Length, Percent};
use model::build::{Build, Row, Step};
use model::corner::Layer;
use model::outline::{Outline, Turn};
use model::part::{Part, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, Wish, WishOf};
use model::stock::{StockRef, Unit};

/// The keys of `edging`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "edging",
    doc: "A ring of whole setts, pavers or bricks round another piece, none of them cut.",
    fields: &[
        Field { key: "around", doc: "The piece it goes round.", kind: Kind::Piece, default: Default::Required },
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
                ("along", "its longer side along the row"),
                ("across", "its longer side across the row"),
                ("any", "whichever comes out nearest to the wishes"),
            ]),
            default: Default::Text("along"),
        },
        Field {
            key: "joint",
            doc: "Between one unit and the next.",
            kind: Kind::Wish { of: WishOf::Gap, least: 0, most: 100 },
            default: Default::Required,
        },
        Field {
            key: "corners",
            doc: "How the rows meet.",
            kind: Kind::Word(UNIT_CORNERS),
            default: Default::Text("pinwheel"),
        },
        Field {
            key: "corner-unit",
            doc: "The square unit in each corner, for `corners = \"square\"`; the unit itself if left out.",
            kind: Kind::Stock(StockKind::Unit),
            default: Default::Absent,
        },
        Field {
            key: "clearance",
            doc: "Between the piece and the ring, all round.",
            kind: Kind::Length { least: 0, most: 5_000 },
            default: Default::Text("0"),
        },
        Field {
            key: "sunk",
            doc: "How much of a unit's thickness lies below the ground: 100 % is flush with it.",
            kind: Kind::Percent { most: 100 },
            default: Default::Text("100 %"),
        },
    ],
};

/// One way of laying the ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Pattern {
    along: bool,
    corners: Corners,
}

impl Pattern {
    fn word(self) -> String {
        format!("{}, {}", if self.along { "along" } else { "across" }, self.corners.word())
    }
}

/// The measures of a unit as it lies.
#[derive(Clone, Copy, Debug)]
struct Measures {
    stock: StockRef,
    length: Length,
    width: Length,
    thickness: Length,
}

impl Measures {
    fn of(stock: StockRef, unit: &Unit) -> Measures {
        Measures { stock, length: unit.length, width: unit.width, thickness: unit.thickness }
    }
}

/// A ring as the plan states it.
struct Edging {
    text: PieceText,
    around: String,
    unit: Measures,
    corner: Measures,
    joint: Wish,
    clearance: Length,
    sunk: Percent,
    patterns: Vec<Pattern>,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let values = &text.values;
    let missing = |key: &str| Problem::new(format!("`{}` needs `{key}`", text.name)).at(&values.place);
    let measures = |key: &str| {
        let stock = values.text(key).and_then(|name| plan.yard.find(StockKind::Unit, &name));
        stock.map(|stock| Measures::of(stock, &plan.yard.units[stock.place]))
    };
    let unit = measures("unit").ok_or_else(|| missing("unit"))?;
    let mut edging = Edging {
        around: values.text("around").ok_or_else(|| missing("around"))?,
        unit,
        corner: measures("corner-unit").unwrap_or(unit),
        joint: values.wish("joint").ok_or_else(|| missing("joint"))?,
        clearance: values.length("clearance").unwrap_or_default(),
        sunk: values.percent("sunk").unwrap_or_default(),
        patterns: Vec::new(),
        text: text.clone(),
    };
    edging.patterns = edging.patterns()?;
    Ok(Box::new(edging))
}

impl Edging {
    fn called(&self, what: &str) -> String {
        format!("{}.{}", self.text.name, what.replace(' ', "-"))
    }

    /// The ways of laying that the plan leaves open and that can be laid: a corner square fills its corner only if it is as
    /// wide as the row is deep, both ways.
    fn patterns(&self) -> Result<Vec<Pattern>, Problem> {
        let values = &self.text.values;
        let ways: &[bool] = match values.word("laid") {
            Some("across") => &[false],
            Some("any") if self.unit.length != self.unit.width => &[true, false],
            _ => &[true],
        };
        let corners = Corners::of_word(values.word("corners").unwrap_or("pinwheel"), UNIT_CORNERS);
        let all = ways.iter().flat_map(|&along| corners.iter().map(move |&corners| Pattern { along, corners }));
        let fills = |pattern: &Pattern| {
            let depth = self.depth(*pattern);
            pattern.corners != Corners::Square || (self.corner.length == depth && self.corner.width == depth)
        };
        let patterns: Vec<Pattern> = all.filter(fills).collect();
        if patterns.is_empty() {
            let depth = self.depth(Pattern { along: ways[0], corners: Corners::Square }).as_mm();
            let no_square = Problem::new(format!(
                "the unit in the corners of `{}` is not as wide both ways as the row is deep ({depth} mm)",
                self.text.name
            ));
            return Err(no_square
                .at(&values.place_of("corners"))
                .hint("name a square unit of that size as `corner-unit`, or choose other `corners`"));
        }
        Ok(patterns)
    }

    /// What a unit takes of the row.
    fn member(&self, pattern: Pattern) -> Length {
        if pattern.along { self.unit.length } else { self.unit.width }
    }

    /// How deep the row is.
    fn depth(&self, pattern: Pattern) -> Length {
        if pattern.along { self.unit.width } else { self.unit.length }
    }

    fn layer(&self, pattern: Pattern) -> Layer {
        // A unit has a width: the yard's schema says so.
        Layer::new(self.clearance, self.clearance + self.depth(pattern)).expect("a unit has a width")
    }

    fn line(&self, outline: &Outline, pattern: Pattern, side: usize) -> Result<RowLine, Problem> {
        let layers = vec![Some(self.layer(pattern)); outline.count()];
        row_line(outline, &layers, pattern.corners, side, &self.text.place)
    }

    fn ask_rows(&self, ask: &mut Ask<'_>, outline: &Outline, pattern: Pattern, when: &When) -> Result<(), Problem> {
        let wish = self.joint;
        let gap = ask.gap_once(&self.called("joint"), wish, self.text.values.place_of("joint"));
        for side in 0..outline.count() {
            let line = self.line(outline, pattern, side)?;
            let face = &outline.sides()[side].name;
            ask.row(RowAsk {
                name: &self.called(face),
                when: when.clone(),
                end_gaps: line.end_gaps(),
                face: line.face,
                member: self.member(pattern),
                gap,
                count: (1, MOST_MEMBERS),
            });
        }
        Ok(())
    }
}

impl Piece for Edging {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let around = ask.stand(&self.around, &self.text.values.place_of("around"))?;
        for side in 0..around.outline.count() {
            ask.take(&self.around, side, &self.text.name, &self.text.values.place_of("around"))?;
        }
        let words: Vec<String> = self.patterns.iter().map(|pattern| pattern.word()).collect();
        let options = ask.choice(&self.called("laid"), &words);
        for (&pattern, when) in self.patterns.iter().zip(&options) {
            self.ask_rows(ask, &around.outline, pattern, when)?;
        }
        // Where two lays have different depths the deeper one is what others keep clear of.
        let deepest = self.patterns.iter().map(|&pattern| self.layer(pattern).far()).max().unwrap_or_default();
        let not_right = |_| Problem::new("only right-angled corners can be edged").at(&self.text.place);
        let outline = around.outline.moved_out(&vec![deepest; around.outline.count()]).map_err(not_right)?;
        let top = self.unit.thickness - self.sunk.of(self.unit.thickness);
        let origin = around.origin.map(|start| start + -deepest);
        Ok(Stand { outline, origin, bottom: (top - self.unit.thickness).into(), top: top.into() })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) {
        let Some((around, own)) = fitted.stand(&self.around).zip(fitted.stand(&self.text.name)) else { return };
        let Some(ground) = Ground::of(around, fitted) else { return };
        let word = fitted.choice(&self.called("laid")).unwrap_or_default();
        let Some(&pattern) = self.patterns.iter().find(|pattern| pattern.word() == word) else { return };
        let up = [own.bottom.at(fitted.sizes()), own.top.at(fitted.sizes())];
        let first = out.parts.len();
        for side in 0..around.outline.count() {
            let length = around.outline.sides()[side].length.at(fitted.sizes());
            let Ok(line) = self.line(&around.outline, pattern, side) else { return };
            let Some(fit) = fitted.row(&self.called(ground.name(side))) else { return };
            self.lay(&ground, &line, length, pattern, fit, up, out);
            if pattern.corners == Corners::Square {
                let part = self.corner_unit(&ground, side, around.outline.turn_after(side), length, pattern, up);
                out.parts.push(part);
            }
        }
        let parts = out.parts[first..].iter().map(|part| part.key.clone()).collect();
        out.steps.push(self.step(parts));
    }
}

impl Edging {
    #[allow(clippy::too_many_arguments)]
    fn lay(
        &self,
        ground: &Ground,
        line: &RowLine,
        side: Length,
        pattern: Pattern,
        fit: RowFit,
        up: [Length; 2],
        out: &mut Build,
    ) {
        let (member, layer) = (self.member(pattern), self.layer(pattern));
        let face = ground.name(line.side);
        let row = Row {
            piece: self.text.name.clone(),
            face: face.into(),
            length: side + line.reach[0] + line.reach[1],
            member,
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap: line.joints[0],
            up: false,
        };
        let lie = if pattern.along { [Way::Along, Way::Out] } else { [Way::Out, Way::Along] };
        for (index, start) in row.starts().enumerate() {
            let from = start - line.reach[0];
            let spans = Spans { along: [from, from + member], out: [layer.near(), layer.far()], up };
            // Members are counted by fit, whose counts stay far below a u32.
            let key = self.key("unit", face, index as u32);
            out.parts.push(ground.part(line.side, spans, lie, key, self.unit.stock));
        }
        explain_row(out, row);
    }

    /// The square unit in the corner at the end of a side: it fills the crossing of the two rows.
    fn corner_unit(
        &self,
        ground: &Ground,
        side: usize,
        turn: Turn,
        length: Length,
        pattern: Pattern,
        up: [Length; 2],
    ) -> Part {
        let layer = self.layer(pattern);
        let along = match turn {
            Turn::Inside => [length - layer.far(), length - layer.near()],
            _ => [length + layer.near(), length + layer.far()],
        };
        let spans = Spans { along, out: [layer.near(), layer.far()], up: [up[1] - self.corner.thickness, up[1]] };
        let key = self.key("corner", ground.name(side), 0);
        ground.part(side, spans, [Way::Along, Way::Out], key, self.corner.stock)
    }

    fn key(&self, role: &str, face: &str, index: u32) -> PartKey {
        PartKey { piece: self.text.name.clone(), role: role.into(), face: face.into(), course: 0, index }
    }

    fn step(&self, parts: Vec<PartKey>) -> Step {
        let what = format!(
            "Lay {} dry round {} first, check both diagonals, then bed it from the corners",
            self.text.name, self.around
        );
        let caution = "Have buried services marked before you dig; lift with your knees; no unit is cut here, and if you ever cut one, cut it wet and wear an FFP3 mask";
        Step { piece: self.text.name.clone(), what, caution: Some(caution.into()), parts }
    }
}
