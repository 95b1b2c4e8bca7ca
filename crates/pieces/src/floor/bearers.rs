//! What carries a floor: boards that lie flat under it.

use super::{Place, key, wrong};
use crate::ask::Ask;
use crate::bays::Bays;
use crate::place::boxed;
use crate::rules;
use crate::spaced::spacing;
use crate::timber::Timber;
use measure::Length;
use model::affine::Affine;
use model::build::Build;
use model::part::{Axis, Part};
use model::plan::{PieceText, Plan};
use model::problem::Problem;

/// Bearers as the plan states them.
pub(super) struct Bearers {
    pub board: Timber,
    spacing: Option<Length>,
}

impl Bearers {
    pub fn of(text: &PieceText, plan: &Plan) -> Result<Option<Bearers>, Problem> {
        let Some(board) = Timber::behind(text, plan, "bearer")? else {
            return match text.values.has("spacing") {
                false => Ok(None),
                true => {
                    let idle = format!("`{}` names no bearers that could be spaced", text.name);
                    Err(wrong(text, "spacing", idle, "add `bearer = …`, or leave `spacing` out"))
                }
            };
        };
        if text.values.has("fall") {
            let level = format!("bearers lie level, and `{}` has a fall", text.name);
            return Err(wrong(
                text,
                "bearer",
                level,
                "leave out `bearer` or `fall`: a panel with a fall lies on wedges or packers",
            ));
        }
        Ok(Some(Bearers { spacing: spacing(text, "spacing", board.width, plan.tape)?, board }))
    }

    /// Of two lengths, one along the front and one from front to back: what the bearers are spaced over, and what each lies
    /// along.
    fn over_and_long<T: Clone>(size: &[T; 2], along: bool) -> [T; 2] {
        let [front, back] = size.clone();
        if along { [back, front] } else { [front, back] }
    }

    /// `along` tells that they lie along the front.
    pub fn ask(&self, ask: &mut Ask<'_>, text: &PieceText, room: &[Affine; 2], along: bool) {
        let [over, long] = Bearers::over_and_long(room, along);
        ask.comes_from_stock(&format!("the bearers of {}", text.name), Vec::new(), &long, self.board.longest);
        let clear = over + self.board.width * -2;
        ask.is_there(&format!("the room between the outer bearers of {}", text.name), Vec::new(), &clear);
    }

    pub fn lay(
        &self,
        text: &PieceText,
        (size, place): (&[Length; 2], &Place<'_>),
        along: bool,
        out: &mut Build,
    ) -> Result<Vec<Part>, Problem> {
        let [over, long] = Bearers::over_and_long(size, along);
        let uncounted = || Problem::new(format!("the bearers of `{}` cannot be counted", text.name));
        let bays = Bays::needed(over - self.board.width, self.spacing).ok_or_else(uncounted)?;
        bays.explain(&text.called("bearer"), &format!("the bearers of {}", text.name), out);
        out.quantities.extend(rules::between_ends(
            text.called("bearer.length"),
            "length of the bearers",
            long,
            Length::ZERO,
        ));
        let part = |(index, start): (usize, Length)| {
            let [y, x] = if along { [start, Length::ZERO] } else { [Length::ZERO, start] };
            let corner = [place.corner[0] + x, place.corner[1] + y, place.low - self.board.thickness];
            let [deep, wide] = if along { [self.board.width, long] } else { [long, self.board.width] };
            let lie = if along { [Axis::X, Axis::Y] } else { [Axis::Y, Axis::X] };
            boxed(corner, [wide, deep, self.board.thickness], lie, key(text, "bearer", index), self.board.stock)
        };
        Ok(bays.starts().enumerate().map(part).collect())
    }
}
