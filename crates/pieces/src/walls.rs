//! `walls`: a closed box without top or bottom, of sheet or of boards in courses.
//!
//! Boards lie level, one on the other, with or without a gap between the courses. The outline is the outside of the walls. Where
//! they stand is `stance`, what they are of `stock`; corners on posts, leaning walls and courses longer than the stock have
//! files of their own.

pub(crate) mod batter;
mod checks;
mod keys;
mod laid;
mod posts;
pub(crate) mod ribs;
mod stance;
mod stock;

pub(crate) use keys::SCHEMA;

use crate::angles::{half_tan, times_up};
use crate::ask::{Ask, RowAsk, Stand, When};
use crate::borne::Ties;
use crate::fitted::{Fitted, explain_row};
use crate::named::choose_size;
use crate::place::Ground;
use crate::rows::{Corners, Course, RowLine, WALL_CORNERS, row_line};
use crate::timber::Timber;
use crate::{Piece, rules};
use batter::Lean;
use laid::Laid;
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Going, Note, Row, With};
use model::corner::Layer;
use model::outline::Outline;
use model::part::PartKey;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::why::{Input, Of, Quantity, Value};
use stance::Stance;
use stock::Made;

/// Walls as the plan states them.
pub(crate) struct Walls {
    text: PieceText,
    made: Made,
    stance: Stance,
    /// The posts in the corners of walls on posts.
    post: Option<Timber>,
    /// The ribs of courses that are joined.
    rib: Option<Timber>,
    batter: Length,
    /// What they may stand by.
    ties: Ties,
    is_held: bool,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let made = Made::of(text, plan)?;
    let stance = Stance::of(text, plan)?;
    let (post, rib) = (Timber::behind(text, plan, "post")?, Timber::behind(text, plan, "rib")?);
    let batter = text.need_length("batter")?;
    let ties = Ties::of(&text.name, plan);
    let is_held = crate::extra::holds(plan, &text.name);
    let walls = Walls { text: text.clone(), made, stance, post, rib, batter, ties, is_held };
    walls.check_corners(plan)?;
    walls.check_batter()?;
    walls.check_ribs(plan)?;
    Ok(Box::new(walls))
}

impl Walls {
    /// The corners that are possible round an outline.
    fn corners(&self, outline: &Outline) -> Result<Vec<Corners>, Problem> {
        let square = outline.is_right_angled();
        match self.text.values.word("corners") {
            _ if self.batter != Length::ZERO => Ok(vec![Corners::Mitred]),
            None if square => Ok(vec![Corners::FrontThrough]),
            None | Some("any") if !square => Ok(vec![Corners::Mitred]),
            Some("on posts") if !outline.is_rectangle() => {
                let odd = "only the corners of a rectangle can be `on posts`";
                Err(self.refused("corners", odd, "take `mitred`, or add a piece that `is = \"posts\"`"))
            }
            word => Ok(Corners::of_word(word.unwrap_or("any"), WALL_CORNERS)),
        }
    }

    fn layer(&self) -> Layer {
        // A thickness is longer than nothing: the yard's schema says so.
        Layer::new(-self.made.thickness, Length::ZERO).expect("a wall has a thickness")
    }

    fn line(&self, outline: &Outline, corners: Course, side: usize) -> Result<RowLine, Problem> {
        let layers = vec![Some(self.layer()); outline.count()];
        let mut line = row_line(outline, self.layer(), &layers, corners, side, &self.text.values.place_of("corners"))?;
        if let Some(post) = self.post {
            let short = -Walls::beside_posts(post, side);
            line.reach = [short; 2];
            line.face = outline.sides()[side].length.clone() + short * 2;
        }
        Ok(line)
    }

    /// The rows along all sides in one course.
    fn lines(&self, outline: &Outline, corners: Course) -> Result<Vec<RowLine>, Problem> {
        (0..outline.count()).map(|side| self.line(outline, corners, side)).collect()
    }

    fn ask_lengths(&self, ask: &mut Ask<'_>, outline: &Outline, sizes: &[When]) -> Result<(), Problem> {
        let corners = self.corners(outline)?;
        let words: Vec<String> = corners.iter().map(|corners| corners.word().into()).collect();
        let options = ask.choice(&self.text.called("corners"), &words);
        for (&corners, when) in corners.iter().zip(&options) {
            for line in self.lines(outline, corners.into())? {
                let what = format!("the {} of {}", outline.sides()[line.side].name, self.text.name);
                if self.rib.is_none() && self.made.board.is_some() && self.batter == Length::ZERO {
                    ask.may_be_joined(what.clone());
                }
                for (reach, size) in self.made.reaches.iter().zip(sizes) {
                    let when = [size.as_slice(), when].concat();
                    match self.rib {
                        Some(_) => ask.is_there(&what, when, &line.face),
                        None => ask.comes_from_stock(&what, when, &line.face, reach.long),
                    }
                }
            }
        }
        if corners == [Corners::Mitred] {
            self.ask_inside(ask, outline);
        }
        Ok(())
    }

    /// The inner faces of mitred walls are shorter than their parts.
    fn ask_inside(&self, ask: &mut Ask<'_>, outline: &Outline) {
        for (place, side) in outline.sides().iter().enumerate() {
            let turn = |corner: usize| half_tan(outline.turn_after(corner).angle());
            let lost = times_up(-self.made.thickness, turn(outline.before(place)) + turn(place));
            let what = format!("the inside of the {} of {}", side.name, self.text.name);
            ask.is_there(&what, Vec::new(), &(side.length.clone() + lost));
        }
    }

    fn ask_uprights(&self, ask: &mut Ask<'_>, height: &Affine) {
        for (what, timber) in [("posts", self.post), ("ribs", self.rib)] {
            if let Some(timber) = timber {
                ask.comes_from_stock(&format!("the {what} of {}", self.text.name), Vec::new(), height, timber.longest);
            }
        }
    }

    fn key(&self, role: &str, face: &str, course: u32, index: u32) -> PartKey {
        PartKey { piece: self.text.name.clone(), role: role.into(), face: face.into(), course, index }
    }

    /// The heights of the courses' lower edges above that of the walls, and how high each course is.
    fn courses(&self, fitted: &Fitted<'_>, height: Length, out: &mut Build) -> Result<(Vec<Length>, Length), Problem> {
        let Some(board) = self.made.board else { return Ok((vec![Length::ZERO], height)) };
        let fit = fitted.need_row(&self.text.called("courses"))?;
        let row = Row {
            piece: self.text.name.clone(),
            face: "courses".into(),
            length: height,
            pattern: vec![board],
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap: false,
            up: true,
        };
        let starts = row.starts().collect();
        explain_row(out, row);
        Ok((starts, board))
    }
}

impl Piece for Walls {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let placed = self.stance.ask(ask, &self.text, self.made.thickness)?;
        let (outline, height) = (placed.outline, placed.height);
        if self.batter != Length::ZERO && outline.is_right_angled() && !outline.is_rectangle() {
            let odd = "only rectangles and outlines with equal sides can lean";
            return Err(self.refused("batter", odd, "leave `batter` out, or take another outline"));
        }
        let sizes = choose_size(ask, &self.text, &self.made.reaches);
        match self.made.board {
            Some(board) => {
                let gap = self.text.need_wish("gap")?;
                let gap = ask.gap(&self.text.called("gap"), gap, self.text.values.place_of("gap"));
                let (name, face) = (&self.text.called("courses"), height.clone());
                ask.row(RowAsk {
                    name,
                    when: Vec::new(),
                    face,
                    pattern: &[board],
                    more: 0,
                    end_gaps: 0,
                    gap,
                    times: 1,
                });
            }
            None => self.made.ask_height_of_panels(ask, &self.text.name, &height, &sizes),
        }
        self.ask_lengths(ask, &outline, &sizes)?;
        self.ask_uprights(ask, &height);
        if self.batter != Length::ZERO {
            self.ask_lean(ask, &outline, &height);
        }
        let (top, wall) = (placed.bottom.clone() + height, Some(self.made.thickness));
        let batter = self.batter;
        Ok(Stand { outline, origin: placed.origin, bottom: placed.bottom, top, has_faces: true, wall, batter })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let stand = fitted.stand(&self.text.name)?;
        let ground = Ground::of(stand, fitted)?;
        let word = fitted.choice(&self.text.called("corners"))?;
        let corners =
            Corners::from_word(word).ok_or_else(|| Problem::new(format!("no corners are called `{word}`")))?;
        let [bottom, top] = [&stand.bottom, &stand.top].map(|height| height.at(fitted.sizes()));
        let (courses, high) = self.courses(fitted, top - bottom, out)?;
        // Courses turn the other way in turn, or not at all: the first two stand for all.
        let lines = [0, 1].map(|course| self.lines(&stand.outline, corners.in_course(course)));
        let [even, odd] = lines;
        let laid = Laid {
            walls: self,
            ground: &ground,
            lean: Lean::of(stand, fitted)?,
            sides: stand
                .outline
                .sides()
                .iter()
                .map(|side| (side.length.at(fitted.sizes()), side.turn.angle()))
                .collect(),
            lines: [even?, odd?],
            bottom,
        };
        laid.explain(&stand.outline, corners, out);
        laid.uprights([bottom, top], courses.len(), out);
        for (course, &low) in courses.iter().enumerate() {
            let keys = laid.course(course, [low, low + high], out);
            out.steps.push(self.step(course, courses.len(), word, keys));
        }
        if let Some(host) = self.stance.host() {
            out.with.push(With { piece: self.text.name.clone(), to: host.to_owned(), going: Going::Stands });
        }
        out.outlines.push(ground.drawn(&self.text.name));
        Ok(())
    }

    fn after(&self, _fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let name = &self.text.name;
        out.notes.extend(self.ties.note(name, out));
        if !self.is_held && out.fixings.iter().all(|fixing| fixing.held.piece != *name) {
            let text = format!(
                "Nothing in this plan holds {name} together at its corners: `posts` with a `screw` do, or brackets, screws or pegs that you choose yourself, an `extra` of it that `does = \"holds\"`; soil pushes walls apart."
            );
            out.notes.push(Note { piece: name.clone(), text });
        }
        Ok(())
    }
}

/// The why of the length of a part along a side.
pub(crate) fn explain_length(piece: &str, face: &str, side: Length, reach: [Length; 2]) -> Option<Quantity> {
    let name = format!("{piece}.{}.length", face.replace(' ', "-"));
    let inputs = vec![
        Input::new(format!("the {face} of the outline"), Value::length(side)),
        Input::new("reach at its start", Value::length(reach[0])),
        Input::new("reach at its end", Value::length(reach[1])),
    ];
    Quantity::by(name, format!("length of the parts along the {face}"), Of::Length, &rules::ROW_LENGTH, inputs)
}
