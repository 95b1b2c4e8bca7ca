//! `cladding`: upright or level boards on the faces of another piece, with equal gaps.
//!
//! Upright boards stand in a row along each face and meet round the corner as the corner law says, a gap standing in for the
//! joint; level boards lie in courses, butted at the corners.

use crate::ask::{Ask, GapId, RowAsk, Stand};
use crate::fitted::{Fitted, RowFit, explain_row};
use crate::place::{Ground, Spans, Way};
use crate::rows::{BOARD_CORNERS, Corners, RowLine, row_line};
use crate::walls::explain_length;
use crate::{Piece, rules};
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Fixed, Row, Step};
use model::corner::Layer;
use model::outline::Outline;
use model::part::PartKey;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, Wish, WishOf};
use model::stock::StockRef;
use model::why::{Input, Of, Quantity, Value};

/// The keys of `cladding`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "cladding",
    doc: "Boards on the faces of another piece, upright or level, with equal gaps.",
    fields: &[
        Field { key: "on", doc: "The piece that is clad.", kind: Kind::Piece, default: Default::Required },
        Field { key: "board", doc: "The board.", kind: Kind::Stock(StockKind::Board), default: Default::Required },
        Field {
            key: "boards",
            doc: "Which way the boards run.",
            kind: Kind::Word(&[("upright", "they stand, side by side"), ("level", "they lie, one above the other")]),
            default: Default::Text("upright"),
        },
        Field {
            key: "gap",
            doc: "Between one board and the next, and where a row of upright boards meets the board round the corner.",
            kind: Kind::Wish { of: WishOf::Gap, least: 0, most: 200 },
            default: Default::Required,
        },
        Field {
            key: "faces",
            doc: "Which faces are clad, by name; all if left out.",
            kind: Kind::Faces,
            default: Default::Absent,
        },
        Field {
            key: "corners",
            doc: "Which face's boards cover the edges of the boards round the corner.",
            kind: Kind::Word(BOARD_CORNERS),
            default: Default::Text("front through"),
        },
        Field {
            key: "off-ground",
            doc: "How far the lower edge stays above the lower edge of what is clad. Ten millimetres or more let it dry (*common practice*).",
            kind: Kind::Length { least: 0, most: 5_000 },
            default: Default::Text("0"),
        },
    ],
};

/// Cladding as the plan states it.
struct Cladding {
    text: PieceText,
    on: String,
    stock: StockRef,
    width: Length,
    thickness: Length,
    longest: Length,
    upright: bool,
    gap: Wish,
    off_ground: Length,
    corners: Vec<Corners>,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let name = text.need_text("board")?;
    let missing = || Problem::new(format!("no board called `{name}` in the yard")).at(&text.values.place_of("board"));
    let stock = plan.yard.find(StockKind::Board, &name).ok_or_else(missing)?;
    let longest = plan.yard.longest(stock, plan.shed.trim).ok_or_else(missing)?;
    let board = &plan.yard.boards[stock.place];
    Ok(Box::new(Cladding {
        on: text.need_text("on")?,
        stock,
        width: board.width,
        thickness: board.thickness,
        longest,
        upright: text.need_word("boards")? == "upright",
        gap: text.need_wish("gap")?,
        off_ground: text.need_length("off-ground")?,
        corners: Corners::of_word(text.need_word("corners")?, BOARD_CORNERS),
        text: text.clone(),
    }))
}

impl Cladding {
    /// Which sides are clad.
    fn faces(&self, outline: &Outline) -> Result<Vec<bool>, Problem> {
        let Some(names) = self.text.values.names("faces") else { return Ok(vec![true; outline.count()]) };
        let mut clad = vec![false; outline.count()];
        for name in names {
            let side = outline.find(&name).ok_or_else(|| {
                let has: Vec<String> = outline.sides().iter().map(|side| format!("`{}`", side.name)).collect();
                let unknown = Problem::new(format!("`{}` has no face called `{name}`", self.on));
                unknown.at(&self.text.values.place_of("faces")).hint(format!("it has {}", has.join(", ")))
            })?;
            clad[side] = true;
        }
        Ok(clad)
    }

    fn layer(&self) -> Layer {
        // A board has a thickness: the yard's schema says so.
        Layer::new(Length::ZERO, self.thickness).expect("a board has a thickness")
    }

    fn line(&self, outline: &Outline, clad: &[bool], corners: Corners, side: usize) -> Result<RowLine, Problem> {
        let layers: Vec<Option<Layer>> = clad.iter().map(|&clad| clad.then(|| self.layer())).collect();
        row_line(outline, self.layer(), &layers, corners, side, &self.text.place)
    }

    /// How high the cladding is.
    fn height(&self, stand: &Stand) -> Affine {
        stand.top.clone() - stand.bottom.clone() + -self.off_ground
    }

    /// The height of the cladding in words, with what its lower edge is kept off the ground.
    fn height_name(&self, ask: &Ask<'_>) -> String {
        match self.off_ground {
            Length::ZERO => format!("the height of {}", self.text.name),
            off => format!("the height of {}, which starts {} up,", self.text.name, ask.tape().show_with_unit(off)),
        }
    }

    fn ask_upright(
        &self,
        ask: &mut Ask<'_>,
        outline: &Outline,
        gap: GapId,
        clad: &[bool],
        height: &Affine,
    ) -> Result<(), Problem> {
        let name = self.height_name(ask);
        ask.comes_from_stock(&name, Vec::new(), height, self.longest);
        self.for_each_line(ask, outline, clad, |ask, face, when, line| {
            let name = &self.text.called(face);
            ask.row(RowAsk { name, when, end_gaps: line.end_gaps(), face: line.face, pattern: &[self.width], more: 0, gap });
        })
    }

    fn ask_level(
        &self,
        ask: &mut Ask<'_>,
        outline: &Outline,
        gap: GapId,
        clad: &[bool],
        height: &Affine,
    ) -> Result<(), Problem> {
        let (name, face) = (&self.text.called("courses"), height.clone());
        ask.row(RowAsk { name, when: Vec::new(), face, pattern: &[self.width], more: 0, end_gaps: 0, gap });
        self.for_each_line(ask, outline, clad, |ask, face, when, line| {
            ask.comes_from_stock(&format!("the {face} of {}", self.text.name), when, &line.face, self.longest);
        })
    }

    /// Does something for the row of each clad side under each option for the corners.
    fn for_each_line(
        &self,
        ask: &mut Ask<'_>,
        outline: &Outline,
        clad: &[bool],
        mut each: impl FnMut(&mut Ask<'_>, &str, Vec<(usize, usize)>, RowLine),
    ) -> Result<(), Problem> {
        let words: Vec<String> = self.corners.iter().map(|corners| corners.word().into()).collect();
        let options = ask.choice(&self.text.called("corners"), &words);
        for (&corners, when) in self.corners.iter().zip(options) {
            for side in (0..outline.count()).filter(|&side| clad[side]) {
                let line = self.line(outline, clad, corners, side)?;
                each(ask, &outline.sides()[side].name, when.clone(), line);
            }
        }
        Ok(())
    }
}

impl Piece for Cladding {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let on = ask.stand(&self.on, &self.text.values.place_of("on"))?;
        if !on.has_faces {
            let loose = Problem::new(format!("`{}` is laid of loose units, which nothing can be fixed to", self.on));
            return Err(loose.at(&self.text.values.place_of("on")).hint("clad walls, or another cladding"));
        }
        let clad = self.faces(&on.outline)?;
        for side in (0..clad.len()).filter(|&side| clad[side]) {
            ask.take(&self.on, side, &self.text.name, &self.text.values.place_of("on"))?;
        }
        let gap = ask.gap(&self.text.called("gap"), self.gap, self.text.values.place_of("gap"));
        let height = self.height(&on);
        if self.upright {
            self.ask_upright(ask, &on.outline, gap, &clad, &height)?;
        } else {
            self.ask_level(ask, &on.outline, gap, &clad, &height)?;
        }
        let by: Vec<Length> = clad.iter().map(|&clad| if clad { self.thickness } else { Length::ZERO }).collect();
        let bottom = on.bottom.clone() + self.off_ground;
        Ok(Stand { bottom, wall: None, ..on.moved_out(&by) })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let (on, own) = (fitted.stand(&self.on)?, fitted.stand(&self.text.name)?);
        let (ground, drawn) = (Ground::of(on, fitted)?, Ground::of(own, fitted)?);
        let word = fitted.choice(&self.text.called("corners"))?;
        let corners =
            Corners::from_word(word).ok_or_else(|| Problem::new(format!("no corners are called `{word}`")))?;
        let clad = self.faces(&on.outline)?;
        let sizes = fitted.sizes();
        let up = [own.bottom.at(sizes), own.top.at(sizes)];
        if self.upright {
            let raised = Input::new("off the ground", Value::length(self.off_ground));
            let top = Input::new("top of what is clad", Value::length(up[1]));
            let inputs = vec![top, Input::new("its lower edge", Value::length(on.bottom.at(sizes))), raised];
            out.quantities.extend(Quantity::by(
                self.text.called("length"),
                "length of the boards",
                Of::Length,
                &rules::UPRIGHT,
                inputs,
            ));
        }
        let courses = match self.upright {
            true => None,
            false => {
                let fit = fitted.need_row(&self.text.called("courses"))?;
                Some(self.row("courses", up[1] - up[0], fit, false))
            }
        };
        for side in (0..on.outline.count()).filter(|&side| clad[side]) {
            let line = self.line(&on.outline, &clad, corners, side)?;
            let length = on.outline.sides()[side].length.at(sizes);
            let first = out.parts.len();
            match &courses {
                Some(courses) => self.lay_level(&ground, &line, length, courses, up[0], out),
                None => {
                    let fit = fitted.need_row(&self.text.called(ground.name(side)))?;
                    self.lay_upright(&ground, &line, length, fit, up, out);
                }
            }
            let parts = out.parts[first..].iter().map(|part| part.key.clone()).collect();
            out.steps.push(self.step(ground.name(side), parts));
        }
        courses.into_iter().for_each(|row| explain_row(out, row));
        out.fixed.push(Fixed { piece: self.text.name.clone(), to: self.on.clone() });
        out.outlines.push(drawn.drawn(&self.text.name));
        Ok(())
    }
}

impl Cladding {
    fn row(&self, face: &str, length: Length, fit: RowFit, starts_with_gap: bool) -> Row {
        Row {
            piece: self.text.name.clone(),
            face: face.into(),
            length,
            pattern: vec![self.width],
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap,
            // Level boards have one row, their courses; upright ones have one along each face.
            up: !self.upright,
        }
    }

    fn lay_upright(
        &self,
        ground: &Ground,
        line: &RowLine,
        side: Length,
        fit: RowFit,
        up: [Length; 2],
        out: &mut Build,
    ) {
        let face = ground.name(line.side);
        let row = self.row(face, side + line.reach[0] + line.reach[1], fit, line.joints[0]);
        for (index, start) in row.starts().enumerate() {
            let from = start - line.reach[0];
            let spans = Spans { along: [from, from + self.width], out: [Length::ZERO, self.thickness], up };
            // Members are counted by fit, whose counts stay far below a u32.
            let key = self.key(face, 0, index as u32);
            out.parts.push(ground.part(line.side, spans, [Way::Up, Way::Along], key, self.stock));
        }
        explain_row(out, row);
    }

    fn lay_level(&self, ground: &Ground, line: &RowLine, side: Length, courses: &Row, bottom: Length, out: &mut Build) {
        let face = ground.name(line.side);
        out.quantities.extend(explain_length(&self.text.name, face, side, line.reach));
        for (course, start) in courses.starts().enumerate() {
            let low = bottom + start;
            let along = [-line.reach[0], side + line.reach[1]];
            let spans = Spans { along, out: [Length::ZERO, self.thickness], up: [low, low + self.width] };
            let key = self.key(face, course as u32, 0);
            out.parts.push(ground.part(line.side, spans, [Way::Along, Way::Up], key, self.stock));
        }
    }

    fn key(&self, face: &str, course: u32, index: u32) -> PartKey {
        PartKey { piece: self.text.name.clone(), role: "board".into(), face: face.into(), course, index }
    }

    fn step(&self, face: &str, parts: Vec<PartKey>) -> Step {
        let what = format!(
            "Fix the boards of {} on the {face} of {}, from one datum by the marks of the rod",
            self.text.name, self.on
        );
        Step { piece: self.text.name.clone(), what, caution: None, parts }
    }
}
