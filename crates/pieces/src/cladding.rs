//! `cladding`: upright or level boards on the faces of another piece, with equal gaps.
//!
//! Upright boards stand in a row along each face and meet round the corner as the corner law says, a gap standing in for the
//! joint; level boards lie in courses, butted or mitred at the corners,
//! or lap (`lapped`). A row may be of boards of several widths in turn, or have
//! its gaps covered by a second layer (`covers`), and the upper ends may be shaped (`shaped`).

mod boards;
mod covers;
mod keys;
mod lapped;
mod lay;
mod sides;

pub(crate) use covers::OVERLAP;
pub(crate) use keys::SCHEMA;
pub(crate) use lapped::whys;

use crate::Piece;
use crate::angles::explain_mitre;
use crate::ask::{Ask, GapId, RowAsk, Stand};
use crate::fitted::{Fitted, explain_row};
use crate::named::stock_behind;
use crate::place::Ground;
use crate::rows::{Corners, RowLine, row_line};
use crate::shaped::Shaped;
use crate::timber::Timber;
use boards::Boards;
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Fixed, Fixing, Load, Note, Roles};
use model::corner::Layer;
use model::outline::Outline;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{StockKind, Wish};
use model::stock::StockRef;

/// Cladding as the plan states it.
struct Cladding {
    text: PieceText,
    on: String,
    /// The boards along a row as they come in turn: one if they are all alike.
    boards: Vec<Timber>,
    /// How many of them come once more at the end of a row.
    more: usize,
    way: Boards,
    gap: Wish,
    off_ground: Length,
    top: Option<Shaped>,
    screw: Option<StockRef>,
    is_held: bool,
    /// The roles of the parts of what is clad.
    clad_roles: Vec<&'static str>,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    if text.need_word("boards")? == "lapped" {
        return lapped::make(text, plan);
    }
    let way = Boards::of(text)?;
    sides::without(text, &["cover", "starter"], "only lapped boards have a `KEY`", "boards = \"lapped\"")?;
    let boards = boards::named(text, plan, way)?;
    let gap = text.need_wish("gap")?;
    if way == Boards::Covered && gap.to >= boards[0].width {
        let [wide, board] = [gap.to, boards[0].width].map(|length| plan.tape.show_with_unit(length));
        let open = format!("boards {board} wide do not cover gaps that may be {wide}");
        return Err(Problem::new(open)
            .at(&text.values.place_of("gap"))
            .hint("let the gap range to less than the board is wide"));
    }
    let widths: Vec<Length> = boards.iter().map(|board| board.width).collect();
    let top = Shaped::of(text, &widths, plan.tape)?;
    if way == Boards::Level && top.is_some() {
        let level =
            Problem::new("level boards have no upper ends that could be shaped").at(&text.values.place_of("top"));
        return Err(level.hint("leave `top` out, or add `boards = \"upright\"`"));
    }
    let whole = text.values.word("pattern-ends") == Some("whole");
    let on = text.need_text("on")?;
    Ok(Box::new(Cladding {
        more: usize::from(boards.len() > 1 && !whole),
        boards,
        way,
        gap,
        off_ground: text.need_length("off-ground")?,
        top,
        screw: stock_behind(text, plan, StockKind::Screw, "screw")?,
        is_held: crate::extra::holds(plan, &text.name),
        clad_roles: boards::roles(plan, &on),
        on,
        text: text.clone(),
    }))
}

impl Cladding {
    /// How thick the cladding is.
    fn depth(&self) -> Length {
        self.boards[0].thickness * if self.way == Boards::Covered { 2 } else { 1 }
    }

    fn layer(&self) -> Layer {
        // A board has a thickness: the yard's schema says so.
        Layer::new(Length::ZERO, self.depth()).expect("a board has a thickness")
    }

    fn line(&self, outline: &Outline, clad: &[bool], corners: Corners, side: usize) -> Result<RowLine, Problem> {
        let layers: Vec<Option<Layer>> = clad.iter().map(|&clad| clad.then(|| self.layer())).collect();
        let place = self.text.values.place_of("corners");
        let mut line = row_line(outline, self.layer(), &layers, corners, side, &place)?;
        if self.way == Boards::Covered {
            // The end of a layer that is closed stops hard.
            line.joints = [false; 2];
        }
        Ok(line)
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

    /// The longest part that every one of the boards gives.
    fn longest(&self) -> Length {
        self.boards.iter().map(|board| board.longest).fold(Length::READ_LIMIT, Length::min)
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
        ask.comes_from_stock(&name, Vec::new(), height, self.longest());
        if let Some(top) = self.top {
            let below = format!("what is left of the boards of {} below their tops", self.text.name);
            ask.is_there(&below, Vec::new(), &(height.clone() + -top.rise()));
        }
        let pattern: Vec<Length> = self.boards.iter().map(|board| board.width).collect();
        self.for_each_line(ask, outline, clad, |ask, face, when, line| {
            let (name, end_gaps) = (&self.text.called(face), line.end_gaps());
            ask.row(RowAsk {
                name,
                when,
                end_gaps,
                face: line.face,
                pattern: &pattern,
                more: self.more,
                gap,
                times: 1,
            });
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
        let pattern = &[self.boards[0].width];
        ask.row(RowAsk { name, when: Vec::new(), face, pattern, more: 0, end_gaps: 0, gap, times: 1 });
        self.for_each_line(ask, outline, clad, |ask, face, when, line| {
            ask.comes_from_stock(&format!("the {face} of {}", self.text.name), when, &line.face, self.longest());
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
        let corners = self.way.corners(&self.text, outline)?;
        let words: Vec<String> = corners.iter().map(|corners| corners.word().into()).collect();
        let options = ask.choice(&self.text.called("corners"), &words);
        for (&corners, when) in corners.iter().zip(options) {
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
        sides::can_be_clad(&self.text, &on)?;
        let clad = sides::clad(&self.text, &on.outline)?;
        ask.is_not_overhung(&self.on, &self.text.name, &self.text.values.place_of("on"))?;
        for side in (0..clad.len()).filter(|&side| clad[side]) {
            ask.take(&self.on, side, &self.text.name, &self.text.values.place_of("on"))?;
        }
        let gap = ask.gap(&self.text.called("gap"), self.gap, self.text.values.place_of("gap"));
        let height = self.height(&on);
        match self.way {
            Boards::Level => self.ask_level(ask, &on.outline, gap, &clad, &height)?,
            Boards::Upright | Boards::Covered => self.ask_upright(ask, &on.outline, gap, &clad, &height)?,
        }
        let by: Vec<Length> = clad.iter().map(|&clad| if clad { self.depth() } else { Length::ZERO }).collect();
        let bottom = on.bottom.clone() + self.off_ground;
        Ok(Stand { bottom, wall: None, ..on.moved_out(&by) })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let (on, own) = (fitted.stand(&self.on)?, fitted.stand(&self.text.name)?);
        let (ground, drawn) = (Ground::of(on, fitted)?, Ground::of(own, fitted)?);
        let word = fitted.choice(&self.text.called("corners"))?;
        let corners =
            Corners::from_word(word).ok_or_else(|| Problem::new(format!("no corners are called `{word}`")))?;
        let clad = sides::clad(&self.text, &on.outline)?;
        let sizes = fitted.sizes();
        let up = [own.bottom.at(sizes), own.top.at(sizes)];
        self.explain_upright(up, on.bottom.at(sizes), out);
        if corners == Corners::Mitred {
            explain_mitre(&self.text.name, &on.outline, out);
        }
        let courses = match self.way {
            Boards::Level => {
                let fit = fitted.need_row(&self.text.called("courses"))?;
                Some(self.row("courses", up[1] - up[0], fit, false))
            }
            Boards::Upright | Boards::Covered => None,
        };
        for side in (0..on.outline.count()).filter(|&side| clad[side]) {
            let line = self.line(&on.outline, &clad, corners, side)?;
            let length = on.outline.sides()[side].length.at(sizes);
            match &courses {
                Some(courses) => self.lay_level(&ground, &line, length, courses, up[0], out),
                None => {
                    let fit = fitted.need_row(&self.text.called(ground.name(side)))?;
                    self.lay_upright(&ground, &line, length, fit, up, out);
                }
            }
        }
        courses.into_iter().for_each(|row| explain_row(out, row));
        self.fix(out);
        out.fixed.push(Fixed { piece: self.text.name.clone(), to: self.on.clone() });
        out.outlines.push(drawn.drawn(&self.text.name));
        Ok(())
    }
}

impl Cladding {
    /// Says what is screwed to what, or that nothing is.
    fn fix(&self, out: &mut Build) {
        let Some(screw) = self.screw else {
            if !self.is_held {
                let name = self.text.name.clone();
                let text = format!(
                    "Nothing in this plan holds {name}: `screw` does; else nails or clips that you choose yourself, an `extra` of it that `does = \"holds\"`."
                );
                out.notes.push(Note { piece: name, text });
            }
            return;
        };
        let (name, roles) =
            (&self.text.name, |piece: &str, role: &str| Roles { piece: piece.to_owned(), role: role.to_owned() });
        for role in &self.clad_roles {
            let (held, base) = (roles(name, "board"), roles(&self.on, role));
            out.fixings.push(Fixing { held, base, screw, each: None, load: Load::Own, air: None });
        }
        if self.way == Boards::Covered {
            let text = format!(
                "The covering boards of {name} are not among the screws that are counted: fix each to one of the two boards behind it only, along one edge, so that both layers can move."
            );
            out.notes.push(Note { piece: name.clone(), text });
        }
    }
}
