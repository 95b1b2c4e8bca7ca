//! A floor of slats: boards lying flat with equal gaps, a gap at both ends too.

use super::{Room, key, wrong};
use crate::ask::{Ask, RowAsk};
use crate::fitted::{Fitted, explain_row};
use crate::place::boxed;
use crate::rules;
use crate::timber::Timber;
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Row};
use model::part::{Axis, Part};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::Wish;

/// Slats as the plan states them.
pub(super) struct Slats {
    pub board: Timber,
    /// From front to back, or along the front.
    pub across: bool,
    gap: Wish,
    play: Length,
}

impl Slats {
    pub fn of(text: &PieceText, plan: &Plan) -> Result<Slats, Problem> {
        if let Some(key) = ["fall", "drain-hole", "drain-spacing"].into_iter().find(|key| text.values.has(key)) {
            let idle = format!("`{}` is of slats, and `{key}` is for a panel", text.name);
            return Err(wrong(text, key, idle, format!("leave `{key}` out, or name a `sheet` in place of `board`")));
        }
        let open = || {
            let none = format!("nothing says how far apart the slats of `{}` lie", text.name);
            wrong(text, "board", none, "add `gap = …`: 5 to 15 mm drain and hold fabric (*common practice*)")
        };
        Ok(Slats {
            board: Timber::needed(text, plan, "board")?,
            across: text.need_word("boards")? == "across",
            gap: text.values.wish("gap").ok_or_else(open)?,
            play: text.need_length("play")?,
        })
    }

    /// The face that the row runs along: the front, or the right one from front to back.
    fn face(&self) -> &'static str {
        if self.across { "front" } else { "right" }
    }

    /// Of two lengths, one along the front and one from front to back: what the row fills, and what a slat lies along.
    fn run_and_long<T: Clone>(&self, size: &[T; 2]) -> [T; 2] {
        let [along, back] = size.clone();
        if self.across { [along, back] } else { [back, along] }
    }

    pub fn ask(&self, ask: &mut Ask<'_>, text: &PieceText, room: &[Affine; 2]) {
        let [face, long] = self.run_and_long(room);
        let gap = ask.gap(&text.called("gap"), self.gap, text.values.place_of("gap"));
        let (name, pattern) = (&text.called(self.face()), &[self.board.width]);
        ask.row(RowAsk { name, when: Vec::new(), face, pattern, more: 0, end_gaps: 2, gap });
        let what = format!("the slats of {}", text.name);
        ask.comes_from_stock(&what, Vec::new(), &(long + self.play * -2), self.board.longest);
    }

    pub fn lay(
        &self,
        text: &PieceText,
        room: &Room,
        fitted: &Fitted<'_>,
        out: &mut Build,
    ) -> Result<Vec<Part>, Problem> {
        let [length, long] = self.run_and_long(&room.size);
        let fit = fitted.need_row(&text.called(self.face()))?;
        let row = Row {
            piece: text.name.clone(),
            face: self.face().into(),
            length,
            pattern: vec![self.board.width],
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap: true,
            up: false,
        };
        let parts = row.starts().enumerate().map(|(index, start)| self.slat(text, room, index, start)).collect();
        explain_row(out, row);
        out.quantities.extend(rules::between_ends(text.called("slat.length"), "length of the slats", long, self.play));
        Ok(parts)
    }

    fn slat(&self, text: &PieceText, room: &Room, index: usize, start: Length) -> Part {
        let [_, long] = self.run_and_long(&room.size);
        let [x, y] = self.run_and_long(&[start, self.play]);
        let [wide, deep] = self.run_and_long(&[self.board.width, long + self.play * -2]);
        let corner = [room.corner[0] + x, room.corner[1] + y, room.low];
        let lie = self.run_and_long(&[Axis::Y, Axis::X]);
        boxed(corner, [wide, deep, self.board.thickness], lie, key(text, "slat", index), self.board.stock)
    }

    /// What to know of slats without play.
    pub fn tight(&self, text: &PieceText) -> Option<String> {
        let words = format!(
            "The slats of {} are as long as the room is wide: 2 or 3 mm of `play` let them go in, and keep their end grain off wet boards.",
            text.name
        );
        (self.play == Length::ZERO).then_some(words)
    }
}
