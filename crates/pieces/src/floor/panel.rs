//! A floor of one panel: level, or higher at the back so that it drains to the front.

use super::drain::{Drain, Words};
use super::{Room, key, wrong};
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::named::{Gives, choose_size, sizes_of, stock_needed};
use crate::place::{Ground, Slope, Spans, Way};
use crate::rules;
use measure::{Angle, Length};
use model::affine::Affine;
use model::build::Build;
use model::part::Part;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::StockRef;

/// A panel as the plan states it.
pub(super) struct Panel {
    pub stock: StockRef,
    pub thickness: Length,
    pub fall: Option<Length>,
    sizes: Vec<Gives>,
    play: Length,
    /// What it keeps off the inner faces, play included.
    off: Length,
    drain: Option<Drain>,
}

impl Panel {
    pub fn of(text: &PieceText, plan: &Plan) -> Result<Panel, Problem> {
        if text.values.has("gap") {
            let idle = format!("`{}` is one panel, so there is no gap", text.name);
            return Err(wrong(text, "gap", idle, "leave `gap` out, or name a `board` in place of `sheet`"));
        }
        let stock = stock_needed(text, plan, StockKind::Sheet, "sheet")?;
        let sheet = &plan.yard.sheets[stock.place];
        let play = text.need_length("play")?;
        let panel = Panel {
            stock,
            thickness: sheet.thickness,
            fall: text.values.length("fall"),
            sizes: sizes_of(sheet, plan.shed.saw_for_sheets().trim, plan.tape),
            play,
            off: play + text.need_length("clear")?,
            drain: Drain::of(text, plan.tape)?,
        };
        if panel.fall.is_some() && panel.off == Length::ZERO {
            let tight =
                format!("the front edge of `{}` would stand in the wall, since the panel leans back", text.name);
            return Err(wrong(text, "fall", tight, "add a few millimetres of `play`"));
        }
        Ok(panel)
    }

    /// How large it is in a room, along the front and from front to back.
    pub fn size(&self, room: &Room) -> [Length; 2] {
        room.size.map(|size| size + self.play * -2)
    }

    pub fn ask(&self, ask: &mut Ask<'_>, text: &PieceText, room: &[Affine; 2]) {
        let [long, wide] = room.clone().map(|size| size + self.play * -2);
        let (length, width) =
            (format!("the length of the panel of {}", text.name), format!("the width of the panel of {}", text.name));
        for (size, when) in self.sizes.iter().zip(choose_size(ask, text, &self.sizes)) {
            ask.comes_from_stock(&length, when.clone(), &long, size.long);
            ask.comes_from_stock(&width, when, &wide, size.wide);
        }
        if let Some(fall) = self.fall {
            // Leaning back by sin = fall / width, the front upper arris comes forward by thickness × sin, into what the panel
            // keeps off.
            let [thick, rise, off] = [self.thickness, fall, self.off].map(|length| i128::from(length.nanometres()));
            let least = (thick * rise + off - 1).div_euclid(off);
            let least = Length::nm(i64::try_from(least).unwrap_or(i64::MAX)).min(Length::READ_LIMIT);
            ask.is_at_least(&format!("{width}, which leans back by its fall,"), Vec::new(), &wide, least.max(fall));
        }
    }

    /// The panel in place. Its lower front edge lies at the floor's height, and its frame leans back about that edge.
    pub fn lay(&self, text: &PieceText, clear: &Stand, room: &Room, fitted: &Fitted<'_>) -> Result<Part, Problem> {
        let [long, wide] = self.size(room);
        let ground = Ground::of(&clear.moved_out(&[-self.play; 4]), fitted)?;
        let lie = [Way::Along, Way::Out];
        let spans =
            Spans { along: [Length::ZERO, long], out: [-wide, Length::ZERO], up: [Length::ZERO, self.thickness] };
        let key = key(text, "panel", 0);
        match self.fall {
            None => {
                let up = [room.low, room.low + self.thickness];
                Ok(ground.part(0, Spans { up, ..spans }, lie, key, self.stock))
            }
            Some(fall) => {
                let radians = libm::asin(fall.as_mm() / wide.as_mm());
                let too_short = |_| Problem::new(format!("the panel of `{}` is shorter than its fall", text.name));
                let lean = Angle::degrees(radians * (180.0 / std::f64::consts::PI)).map_err(too_short)?;
                Ok(ground.leaning(0, Slope { lean, base: room.low }, spans, lie, key, self.stock))
            }
        }
    }

    pub fn explain(&self, text: &PieceText, room: &Room, out: &mut Build) {
        let names = [("panel.length", "length of the panel"), ("panel.width", "width of the panel")];
        for ((name, what), size) in names.into_iter().zip(room.size) {
            out.quantities.extend(rules::between_ends(text.called(name), what, size, self.play));
        }
    }

    /// The drain holes: their numbers, what to do first, and what to know.
    ///
    /// # Errors
    /// As [`Drain::explain`].
    pub fn drain(&self, text: &PieceText, room: &Room, out: &mut Build) -> Result<Words, Problem> {
        match &self.drain {
            Some(drain) => drain.explain(text, self.size(room), out),
            None => Ok(Words::without_holes(text)),
        }
    }
}
