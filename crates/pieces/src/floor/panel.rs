//! A floor of sheet: one panel, level or higher at the back so that it drains to the front; in an L two.

use super::drain::{Drain, Drilled};
use super::room::{Polygon, Room};
use super::slats::SLAT;
use super::{Place, Words, key, wrong};
use crate::ask::{Ask, When};
use crate::named::{Gives, choose_size, sizes_of, stock_needed};
use crate::place::{Ground, Slope, Spans, Way, boxed};
use crate::reach::Reach;
use crate::rules;
use measure::{Angle, Length, Tape};
use model::affine::Affine;
use model::build::Build;
use model::outline::Point;
use model::part::{Axis, Part};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::StockRef;
use model::why::{Input, Of, Quantity, Value};

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
    tape: Tape,
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
            tape: plan.tape,
        };
        if panel.fall.is_some() && panel.off == Length::ZERO {
            let tight =
                format!("the front edge of `{}` would stand in the wall, since the panel leans back", text.name);
            return Err(wrong(text, "fall", tight, "add a few millimetres of `play`"));
        }
        Ok(panel)
    }

    /// `room` is what the panel fills: the room less the play all round.
    pub fn ask(&self, ask: &mut Ask<'_>, text: &PieceText, room: &Room<Affine>) {
        let whens = choose_size(ask, text, &self.sizes);
        for (size, when) in self.sizes.iter().zip(whens) {
            match room {
                Room::Square { size: room, arms } => {
                    let [long, wide] = room;
                    let Some([arm, deep]) = arms else {
                        Panel::comes_from(ask, &format!("panel of {}", text.name), &when, [long, wide], size);
                        continue;
                    };
                    let behind = wide.clone() - deep.clone();
                    Panel::comes_from(ask, &format!("first panel of {}", text.name), &when, [long, deep], size);
                    Panel::comes_from(ask, &format!("second panel of {}", text.name), &when, [&behind, arm], size);
                }
                Room::Regular { side, reach } => {
                    let gives = [(reach[0], size.long), (reach[1], size.wide)];
                    let most = gives.map(|(reach, gives)| reach.side_within(gives));
                    let what = format!("a side of the panel of {}, cut from {},", text.name, size.word);
                    ask.is_at_most(&what, when, side, most[0].min(most[1]));
                }
            }
        }
        if let (Some(fall), Some([_, wide])) = (self.fall, room.rectangle()) {
            // Leaning back by sin = fall / width, the front upper arris comes forward by thickness × sin, into what the panel
            // keeps off.
            let [thick, rise, off] = [self.thickness, fall, self.off].map(|length| i128::from(length.nanometres()));
            let least = (thick * rise + off - 1).div_euclid(off);
            let least = Length::nm(i64::try_from(least).unwrap_or(i64::MAX)).min(Length::READ_LIMIT);
            let what = format!("the width of the panel of {}, which leans back by its fall,", text.name);
            ask.is_at_least(&what, Vec::new(), &wide, least.max(fall));
        }
    }

    fn comes_from(ask: &mut Ask<'_>, panel: &str, when: &When, [long, wide]: [&Affine; 2], size: &Gives) {
        ask.comes_from_stock(&format!("the length of the {panel}"), when.clone(), long, size.long);
        ask.comes_from_stock(&format!("the width of the {panel}"), when.clone(), wide, size.wide);
    }

    /// The panels in place, with their numbers; what is said of them.
    ///
    /// # Errors
    /// If the panel is shorter than its fall; as [`Drain::explain`].
    pub fn lay(&self, text: &PieceText, place: &Place<'_>, out: &mut Build) -> Result<(Vec<Part>, Words), Problem> {
        match &place.room {
            Room::Square { size, arms: None } => {
                let part = self.whole(text, *size, place)?;
                let names = [("panel.length", "length of the panel"), ("panel.width", "width of the panel")];
                for ((name, what), size) in names.into_iter().zip(*size) {
                    out.quantities.extend(rules::between_ends(text.called(name), what, size, self.play));
                }
                let words = self.words(text, &[Drilled::whole(size.map(|size| size + self.play * -2))], out)?;
                Ok((vec![part], words))
            }
            Room::Square { size, arms: Some(arms) } => self.in_two(text, *size, *arms, place, out),
            Room::Regular { reach, .. } => self.cut(text, *reach, place, out),
        }
    }

    /// The panel of a rectangle. Its lower front edge lies at the floor's height, and its frame leans back about that edge.
    fn whole(&self, text: &PieceText, size: [Length; 2], place: &Place<'_>) -> Result<Part, Problem> {
        let [long, wide] = size.map(|size| size + self.play * -2);
        let ground = Ground::of(&place.clear.moved_out(&[-self.play; 4]), place.fitted)?;
        let lie = [Way::Along, Way::Out];
        let spans =
            Spans { along: [Length::ZERO, long], out: [-wide, Length::ZERO], up: [Length::ZERO, self.thickness] };
        let key = key(text, "panel", 0);
        match self.fall {
            None => {
                let up = [place.low, place.low + self.thickness];
                Ok(ground.part(0, Spans { up, ..spans }, lie, key, self.stock))
            }
            Some(fall) => {
                let radians = libm::asin(fall.as_mm() / wide.as_mm());
                let too_short = |_| Problem::new(format!("the panel of `{}` is shorter than its fall", text.name));
                let lean = Angle::degrees(radians * (180.0 / std::f64::consts::PI)).map_err(too_short)?;
                Ok(ground.leaning(0, Slope { lean, base: place.low }, spans, lie, key, self.stock))
            }
        }
    }

    /// The two panels of an L: one in the front arm, and behind it one in what is left of the left arm.
    fn in_two(
        &self,
        text: &PieceText,
        size: [Length; 2],
        [arm, deep]: [Length; 2],
        place: &Place<'_>,
        out: &mut Build,
    ) -> Result<(Vec<Part>, Words), Problem> {
        let (play, ends) = (self.play, deep - self.play);
        let first = [size[0] + play * -2, deep + play * -2];
        let second = [size[1] - play - ends, arm + play * -2];
        let called = |panel: &str, what: &str| text.called(&format!("front.panel-{panel}.{what}"));
        out.quantities.extend(rules::between_ends(called("1", "length"), "length of the panel", size[0], play));
        out.quantities.extend(rules::between_ends(called("1", "width"), "width of the panel", deep, play));
        let inputs = vec![
            Input::new("where it ends", Value::length(size[1] - play)),
            Input::new("where it begins", Value::length(ends)),
        ];
        let what = "length of the panel, from front to back";
        out.quantities.extend(Quantity::by(called("2", "length"), what, Of::Length, &SLAT, inputs));
        out.quantities.extend(rules::between_ends(called("2", "width"), "width of the panel", arm, play));
        let [x, y] = place.corner;
        let part = |index: usize, at: [Length; 2], extent: [Length; 2], lie: [Axis; 2]| {
            let [wide, deep] = extent;
            boxed([at[0], at[1], place.low], [wide, deep, self.thickness], lie, key(text, "panel", index), self.stock)
        };
        let parts = vec![
            part(0, [x + play, y + play], first, [Axis::X, Axis::Y]),
            part(1, [x + play, y + ends], [second[1], second[0]], [Axis::Y, Axis::X]),
        ];
        let ways = ["from front to back", "across it"];
        let drilled = [
            Drilled { name: "drain-1", what: "the first panel", ..Drilled::whole(first) },
            Drilled { name: "drain-2", what: "the second one", ways, ..Drilled::whole(second) },
        ];
        let mut words = self.words(text, &drilled, out)?;
        words.notes.push(format!(
            "The two panels of {} butt {} from the front of its room: what carries them has to lie under that joint too.",
            text.name,
            self.tape.show_with_unit(ends)
        ));
        Ok((parts, words))
    }

    /// The panel of a regular room, cut to it.
    fn cut(
        &self,
        text: &PieceText,
        reach: [Reach; 2],
        place: &Place<'_>,
        out: &mut Build,
    ) -> Result<(Vec<Part>, Words), Problem> {
        let within = place.clear.moved_out(&vec![-self.play; place.clear.outline.count()]);
        let side = within.outline.sides()[0].length.at(place.fitted.sizes());
        let outline = Polygon::of(&within, place.fitted)?;
        let too_large = || Problem::new(format!("the panel of `{}` is too large", text.name));
        let mut size = [Length::ZERO; 2];
        let names = [("panel.length", "length of the panel's blank"), ("panel.width", "width of the panel's blank")];
        for ((name, what), (reach, size)) in names.into_iter().zip(reach.into_iter().zip(&mut size)) {
            *size = reach.at(side).ok_or_else(too_large)?;
            out.quantities.extend(reach.explain(text.called(name), what, side));
        }
        let corner = outline.near();
        let (at, extent) = ([corner[0], corner[1], place.low], [size[0], size[1], self.thickness]);
        let mut part = boxed(at, extent, [Axis::X, Axis::Y], key(text, "panel", 0), self.stock);
        outline.slanted().for_each(|side| outline.trim(&mut part, side, 0));
        let drilled = Drilled { cut: Some((&outline, corner)), ..Drilled::whole(size) };
        let mut words = self.words(text, &[drilled], out)?;
        words.first = format!(
            "{}{}",
            self.marks(&outline, size),
            words.first.replacen("Cut", "cut", 1).replacen("Drill", "cut it, drill", 1)
        );
        Ok((vec![part], words))
    }

    /// The corners to mark on a blank, in words.
    fn marks(&self, outline: &Polygon, size: [Length; 2]) -> String {
        let near = outline.near();
        let mark = |corner: &Point| {
            let [x, y] = [0, 1].map(|axis| self.tape.show(corner[axis] - near[axis]));
            format!("{x} / {y}")
        };
        let marks: Vec<String> = outline.corners().iter().map(mark).collect();
        let [long, wide] = size.map(|size| self.tape.show(size));
        format!(
            "Mark on a blank {long} × {wide} {}, along and up from its front left corner, the corners {}; ",
            self.tape.unit_word(),
            marks.join(", ")
        )
    }

    /// The drain holes of some panels: what to do first, and what to know.
    ///
    /// # Errors
    /// As [`Drain::explain`].
    fn words(&self, text: &PieceText, panels: &[Drilled<'_>], out: &mut Build) -> Result<Words, Problem> {
        let Some(drain) = &self.drain else { return Ok(Words::without_holes(text)) };
        let (mut through, mut notes) = (Vec::new(), Vec::new());
        for panel in panels {
            let (words, note) = drain.explain(text, panel, out)?;
            through.push(words);
            notes.extend(note);
        }
        Ok(Words { first: format!("Drill {}, seal their edges, and ", through.join(", and ")), notes })
    }
}

impl Drilled<'static> {
    /// The one panel of a floor, so long and wide.
    fn whole(size: [Length; 2]) -> Drilled<'static> {
        Drilled { name: "drain", what: "the panel", size, ways: ["along the front", "from front to back"], cut: None }
    }
}
