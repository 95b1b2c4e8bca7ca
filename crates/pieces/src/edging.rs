//! `edging`: a ring of whole units (setts, pavers, bricks) laid round another piece, none of them cut.

mod pattern;

use crate::Piece;
use crate::ask::{Ask, GapId, RowAsk, Stand, When};
use crate::fitted::{Fitted, RowFit, explain_row};
use crate::named::stock_needed;
use crate::place::{Ground, Spans, Way};
use crate::rows::{Corners, RowLine, UNIT_CORNERS, row_line};
use measure::{Length, Percent, Tape};
use model::build::{Build, Row, Step};
use model::corner::{Layer, crossing};
use model::outline::{Outline, Turn};
use model::part::{Part, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, Wish, WishOf};
use pattern::{Lay, Measures, Pattern};

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
                ("any", "whichever of these two comes out nearest to the wishes"),
                ("on edge", "its longer side along the row, standing on its longer edge"),
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
            doc: "How the rows meet; `pinwheel` if left out, and `open` where corners are not right angles.",
            kind: Kind::Word(UNIT_CORNERS),
            default: Default::Absent,
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
            kind: Kind::Length { least: 0, most: 1_000 },
            default: Default::Text("0"),
        },
        Field {
            key: "sunk",
            doc: "How much of a unit's height, as it lies, is below the ground: 100 % is flush with it.",
            kind: Kind::Percent { most: 100 },
            default: Default::Text("100 %"),
        },
    ],
};

/// A ring as the plan states it.
struct Edging {
    text: PieceText,
    around: String,
    unit: Measures,
    corner: Measures,
    joint: Wish,
    clearance: Length,
    sunk: Percent,
    tape: Tape,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let measures = |key: &str| {
        let stock = stock_needed(text, plan, StockKind::Unit, key)?;
        Ok(Measures::of(stock, &plan.yard.units[stock.place]))
    };
    goes_round_outside(text, plan)?;
    let unit = measures("unit")?;
    let corner = if text.values.has("corner-unit") { measures("corner-unit")? } else { unit };
    Ok(Box::new(Edging {
        around: text.need_text("around")?,
        unit,
        corner,
        joint: text.need_wish("joint")?,
        clearance: text.need_length("clearance")?,
        sunk: text.need_percent("sunk")?,
        tape: plan.tape,
        text: text.clone(),
    }))
}

/// What stands in another piece has no ground round it that a ring could lie in; posts against its outside do.
fn goes_round_outside(text: &PieceText, plan: &Plan) -> Result<(), Problem> {
    let around = text.need_text("around")?;
    let inner = plan.pieces.iter().find(|piece| piece.name == around && piece.values.word("stand") != Some("outside"));
    match inner.and_then(|piece| piece.values.text("in")) {
        Some(host) => {
            let inside = format!("`{around}` stands in `{host}`, and `{}` would lie under its walls", text.name);
            let place = text.values.place_of("around");
            Err(Problem::new(inside).at(&place).hint(format!("let it go round `{host}`, or what lies on its faces")))
        }
        None => Ok(()),
    }
}

impl Edging {
    /// How the units can lie: two ways that come to the same are one.
    fn lays(&self) -> Result<&'static [Lay], Problem> {
        Ok(match self.text.need_word("laid")? {
            "across" => &[Lay::Across],
            "on edge" => &[Lay::OnEdge],
            "any" if self.unit.length != self.unit.width => &[Lay::Along, Lay::Across],
            _ => &[Lay::Along],
        })
    }

    /// How the rows can meet round an outline.
    fn corners(&self, outline: &Outline) -> Vec<Corners> {
        match self.text.values.word("corners") {
            None if outline.is_right_angled() => vec![Corners::Pinwheel],
            None | Some("any") if !outline.is_right_angled() => vec![Corners::Open],
            word => Corners::of_word(word.unwrap_or("any"), UNIT_CORNERS),
        }
    }

    /// The ways of laying that the plan leaves open and that can be laid: a corner square fills its corner only if it is as wide as
    /// the row is deep, both ways.
    fn patterns(&self, outline: &Outline) -> Result<Vec<Pattern>, Problem> {
        let (lays, corners) = (self.lays()?, self.corners(outline));
        let all = lays.iter().flat_map(|&lay| corners.iter().map(move |&corners| Pattern { lay, corners }));
        let fills = |pattern: &Pattern| {
            let depth = self.unit.depth(pattern.lay);
            pattern.corners != Corners::Square || (self.corner.length == depth && self.corner.width == depth)
        };
        let patterns: Vec<Pattern> = all.filter(fills).collect();
        if patterns.is_empty() {
            let depth = self.tape.show_with_unit(self.unit.depth(lays[0]));
            let name = &self.text.name;
            let no_square =
                format!("the unit in the corners of `{name}` is not as wide both ways as the row is deep ({depth})");
            return Err(Problem::new(no_square)
                .at(&self.text.values.place_of("corners"))
                .hint("name a square unit of that size as `corner-unit`, or choose other `corners`"));
        }
        Ok(patterns)
    }
}

impl Edging {
    fn layer(&self, pattern: Pattern) -> Layer {
        // A unit has a width: the yard's schema says so.
        Layer::new(self.clearance, self.clearance + self.unit.depth(pattern.lay)).expect("a unit has a width")
    }

    fn line(&self, outline: &Outline, pattern: Pattern, side: usize) -> Result<RowLine, Problem> {
        let layer = self.layer(pattern);
        row_line(
            outline,
            layer,
            &vec![Some(layer); outline.count()],
            pattern.corners,
            side,
            &self.text.values.place_of("corners"),
        )
    }

    fn ask_rows(
        &self,
        ask: &mut Ask<'_>,
        outline: &Outline,
        pattern: Pattern,
        when: &When,
        gap: GapId,
    ) -> Result<(), Problem> {
        for side in 0..outline.count() {
            let line = self.line(outline, pattern, side)?;
            let face = &outline.sides()[side].name;
            ask.row(RowAsk {
                name: &self.text.called(face),
                when: when.clone(),
                end_gaps: line.end_gaps(),
                face: line.face,
                pattern: &[self.unit.member(pattern.lay)],
                more: 0,
                gap,
                times: 1,
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
        let around = foot(around);
        let patterns = self.patterns(&around.outline)?;
        let words: Vec<String> = patterns.iter().map(|pattern| pattern.word()).collect();
        let gap = ask.gap(&self.text.called("joint"), self.joint, self.text.values.place_of("joint"));
        let options = ask.choice(&self.text.called("laid"), &words);
        for (&pattern, when) in patterns.iter().zip(&options) {
            self.ask_rows(ask, &around.outline, pattern, when, gap)?;
        }
        // Where two lays have different depths the deeper one is what others keep clear of.
        let deepest = patterns.iter().map(|&pattern| self.layer(pattern).far()).fold(self.clearance, Length::max);
        // Both flat lays are as high as one another.
        let high = self.unit.height(patterns[0].lay);
        let top = high - self.sunk.of(high);
        let bottom = (top - high).into();
        let moved = around.moved_out(&vec![deepest; around.outline.count()]);
        Ok(Stand { bottom, top: top.into(), has_faces: false, wall: None, batter: Length::ZERO, ..moved })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let (around, own) = (foot(fitted.stand(&self.around)?.clone()), fitted.stand(&self.text.name)?);
        let ground = Ground::of(&around, fitted)?;
        let word = fitted.choice(&self.text.called("laid"))?;
        let unknown = || Problem::new(format!("nothing can be laid `{word}`"));
        let patterns = self.patterns(&around.outline)?;
        let pattern = *patterns.iter().find(|pattern| pattern.word() == word).ok_or_else(unknown)?;
        let up = [own.bottom.at(fitted.sizes()), own.top.at(fitted.sizes())];
        let first = out.parts.len();
        for side in 0..around.outline.count() {
            let length = around.outline.sides()[side].length.at(fitted.sizes());
            let line = self.line(&around.outline, pattern, side)?;
            let fit = fitted.need_row(&self.text.called(ground.name(side)))?;
            let row = self.row(ground.name(side), &line, fitted.sizes(), pattern, fit);
            self.lay(&ground, &line, row, pattern, up, out);
            if pattern.corners == Corners::Square {
                let part = self.corner_unit(&ground, side, around.outline.turn_after(side), length, pattern, up);
                out.parts.push(part);
            }
        }
        let parts = out.parts[first..].iter().map(|part| part.key.clone()).collect();
        out.steps.push(self.step(parts));
        Ok(())
    }
}

impl Edging {
    /// The row along a side as it closes.
    fn row(&self, face: &str, line: &RowLine, sizes: &[Length], pattern: Pattern, fit: RowFit) -> Row {
        Row {
            piece: self.text.name.clone(),
            face: face.into(),
            length: line.face.at(sizes),
            pattern: vec![self.unit.member(pattern.lay)],
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap: line.joints[0],
            up: false,
        }
    }

    fn lay(&self, ground: &Ground, line: &RowLine, row: Row, pattern: Pattern, up: [Length; 2], out: &mut Build) {
        let layer = self.layer(pattern);
        let lie = pattern.lay.ways();
        for (index, start) in row.starts().enumerate() {
            let from = start - line.reach[0];
            let spans = Spans { along: [from, from + row.member(0)], out: [layer.near(), layer.far()], up };
            // Members are counted by fit, whose counts stay far below a u32.
            let key = self.key("unit", &row.face, index as u32);
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
        let along = crossing(turn, layer).map(|beyond| length + beyond);
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

/// What a ring goes round: the outline at the ground, which is larger than that at the top where walls are wider at their foot.
fn foot(around: Stand) -> Stand {
    match -around.batter {
        wider if wider > Length::ZERO => around.moved_out(&vec![wider; around.outline.count()]),
        _ => around,
    }
}
