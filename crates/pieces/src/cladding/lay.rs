//! Boards in place.

use super::Cladding;
use super::boards::Boards;
use crate::fitted::{RowFit, explain_row};
use crate::place::{Ground, Spans, Way};
use crate::rows::RowLine;
use crate::rules;
use crate::walls::explain_length;
use measure::Length;
use model::build::{Build, Row, Step};
use model::part::{Part, PartKey};
use model::why::{Input, Of, Quantity, Value};

impl Cladding {
    /// The row as it closes.
    pub(super) fn row(&self, face: &str, length: Length, fit: RowFit, starts_with_gap: bool) -> Row {
        Row {
            piece: self.text.name.clone(),
            face: face.into(),
            length,
            pattern: self.boards.iter().map(|board| board.width).collect(),
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap,
            // Level boards have one row, their courses; upright ones have one along each face.
            up: self.way == Boards::Level,
        }
    }

    /// Puts the length of upright boards, and the marks of their tops, into the build.
    pub(super) fn explain_upright(&self, up: [Length; 2], clad_from: Length, out: &mut Build) {
        if self.way == Boards::Level {
            return;
        }
        let raised = Input::new("off the ground", Value::length(self.off_ground));
        let top = Input::new("top of what is clad", Value::length(up[1]));
        let inputs = vec![top, Input::new("its lower edge", Value::length(clad_from)), raised];
        let name = self.text.called("length");
        out.quantities.extend(Quantity::by(name, "length of the boards", Of::Length, &rules::UPRIGHT, inputs));
        if let Some(top) = self.top {
            let widths: Vec<Length> = self.boards.iter().map(|board| board.width).collect();
            top.explain(&self.text, &widths, up[1] - up[0], out);
        }
    }

    pub(super) fn lay_upright(
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
        let first = out.parts.len();
        for (index, start) in row.starts().enumerate() {
            let board = self.boards[index % self.boards.len()];
            let from = start - line.reach[0];
            let spans = Spans { along: [from, from + board.width], out: [Length::ZERO, board.thickness], up };
            // Members are counted by fit, whose counts stay far below a u32.
            let key = self.key("board", face, 0, index as u32);
            let mut part = ground.part(line.side, spans, [Way::Up, Way::Along], key, board.stock);
            self.shape(&mut part, ground, line.side, spans.along, up[1]);
            out.parts.push(part);
        }
        self.step(face, first, out);
        if self.way == Boards::Covered {
            let first = out.parts.len();
            self.lay_covers(ground, line, &row, up, out);
            self.cover_step(face, first, out);
        }
        explain_row(out, row);
    }

    /// Shapes the upper end of an upright board, if the plan asks for that.
    pub(super) fn shape(&self, part: &mut Part, ground: &Ground, side: usize, along: [Length; 2], top: Length) {
        if let Some(shaped) = self.top {
            shaped.shape(part, ground, side, along, top);
        }
    }

    pub(super) fn lay_level(
        &self,
        ground: &Ground,
        line: &RowLine,
        side: Length,
        courses: &Row,
        bottom: Length,
        out: &mut Build,
    ) {
        let (face, board) = (ground.name(line.side), self.boards[0]);
        out.quantities.extend(explain_length(&self.text.name, face, side, line.reach));
        let first = out.parts.len();
        for (course, start) in courses.starts().enumerate() {
            let low = bottom + start;
            let along = [-line.reach[0], side + line.reach[1]];
            let spans = Spans { along, out: [Length::ZERO, board.thickness], up: [low, low + board.width] };
            let key = self.key("board", face, course as u32, 0);
            let mut part = ground.part(line.side, spans, [Way::Along, Way::Up], key, board.stock);
            (0..2).for_each(|end| ground.mitre(&mut part, end, line, self.layer(), side));
            out.parts.push(part);
        }
        self.step(face, first, out);
    }

    pub(super) fn key(&self, role: &str, face: &str, course: u32, index: u32) -> PartKey {
        PartKey { piece: self.text.name.clone(), role: role.into(), face: face.into(), course, index }
    }

    /// The step that fixes the parts from `first` on.
    fn step(&self, face: &str, first: usize, out: &mut Build) {
        let what = format!(
            "Fix the boards of {} on the {face} of {}, from one datum by the marks of the rod",
            self.text.name, self.on
        );
        self.push_step(what, first, out);
    }

    /// The step that covers the gaps by the parts from `first` on, if there are any.
    fn cover_step(&self, face: &str, first: usize, out: &mut Build) {
        if out.parts.len() > first {
            let name = &self.text.name;
            let what = format!(
                "Cover the gaps of {name} on the {face}, each board in the middle of its gap and fixed at one edge only, so that both layers can move"
            );
            self.push_step(what, first, out);
        }
    }

    fn push_step(&self, what: String, first: usize, out: &mut Build) {
        let parts = out.parts[first..].iter().map(|part| part.key.clone()).collect();
        out.steps.push(Step { piece: self.text.name.clone(), what, caution: None, parts });
    }
}
