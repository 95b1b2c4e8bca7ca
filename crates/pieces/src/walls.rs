//! `walls`: a closed box without top or bottom, of sheet or of boards in courses.
//!
//! Boards lie level, one on the other, with or without a gap between the courses. The outline is the outside of the walls. Where
//! they stand is `stance`, what they are of `stock`; corners on posts, leaning walls and courses longer than the stock have
//! files of their own.

pub(crate) mod batter;
mod posts;
pub(crate) mod ribs;
mod stance;
mod stock;

use crate::angles::{explain_mitre, half_tan, times_up};
use crate::ask::{Ask, RowAsk, Stand, When};
use crate::fitted::{Fitted, explain_row};
use crate::place::{Ground, Spans, Way};
use crate::rows::{Corners, Course, RowLine, WALL_CORNERS, row_line};
use crate::timber::Timber;
use crate::{Piece, rules};
use batter::Lean;
use measure::{Angle, Length};
use model::affine::Affine;
use model::build::{Build, Note, Row, Step};
use model::corner::Layer;
use model::outline::Outline;
use model::part::PartKey;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, WishOf};
use model::why::{Input, Of, Quantity, Value};
use stance::Stance;
use stock::Made;

/// The keys of `walls`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "walls",
    doc: "A box without top or bottom, of sheet or of boards in courses, standing on the ground, beside others or in another.",
    fields: &[
        Field {
            key: "outline",
            doc: "The shape seen from above; `rectangle` if left out.",
            kind: Kind::Word(&[
                ("rectangle", "four faces: front, right, back, left"),
                ("L", "six faces: front, right, inner back, inner right, back, left"),
                ("triangle", "three equal faces: front, side 2, side 3"),
                ("pentagon", "five equal faces: front, side 2, … side 5"),
                ("hexagon", "six equal faces: front, side 2, … side 6"),
                ("octagon", "eight equal faces: front, side 2, … side 8"),
                ("decagon", "ten equal faces: front, side 2, … side 10"),
                ("dodecagon", "twelve equal faces: front, side 2, … side 12"),
            ]),
            default: Default::Absent,
        },
        Field {
            key: "length",
            doc: "Outside, along the front; for equal faces, of each. Needed unless `like` or `in` gives it.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "width",
            doc: "Outside, from front to back. A rectangle without it is square.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "height",
            doc: "From the lower edge to the top edge; of walls that lean, up the slope. Needed unless `like` gives it.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "front-arm",
            doc: "For an L: how deep the arm along the front is, outside.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "left-arm",
            doc: "For an L: how wide the arm along the left is, outside.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "like",
            doc: "Other walls whose outline, sizes and height these have too, so that both come out alike.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "beside",
            doc: "Other walls to the right of which these stand, both rectangles; `apart` or `overall` says how far away.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "apart",
            doc: "For walls beside others: the clear distance between the two.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "overall",
            doc: "For walls beside others: from the left end of those to the right end of these.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "in",
            doc: "Walls that these stand in as a tier, all round the same `setback` inside them.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "setback",
            doc: "For a tier: from the inner faces of the walls round it to its outer ones.",
            kind: Kind::Wish { of: WishOf::Size, least: 10, most: 20_000 },
            default: Default::Absent,
        },
        Field {
            key: "off-ground",
            doc: "How far the lower edge lies above the ground; of a tier, above the lower edge of what it stands in.",
            kind: Kind::Length { least: 0, most: 5_000 },
            default: Default::Text("0"),
        },
        Field {
            key: "board",
            doc: "The board that the courses are of. Either this or `sheet`.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Absent,
        },
        Field {
            key: "sheet",
            doc: "The sheet that the walls are of, one panel for each face. Either this or `board`.",
            kind: Kind::Stock(StockKind::Sheet),
            default: Default::Absent,
        },
        Field {
            key: "gap",
            doc: "Between one course of boards and the next.",
            kind: Kind::Wish { of: WishOf::Gap, least: 0, most: 100 },
            default: Default::Text("0"),
        },
        Field {
            key: "corners",
            doc: "Which walls run through at the corners; `front through` if left out, and `mitred` where corners are not right angles.",
            kind: Kind::Word(WALL_CORNERS),
            default: Default::Absent,
        },
        Field {
            key: "post",
            doc: "The board of the posts in the corners, for `corners = \"on posts\"`; it stands with its width along the front.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Absent,
        },
        Field {
            key: "batter",
            doc: "For mitred walls that lean: how far the lower outer edges lie inside the upper ones; less than nothing for walls that are narrower at the top. The sizes are those at the top, and the lean is less than 30 degrees.",
            kind: Kind::Length { least: -500, most: 500 },
            default: Default::Text("0"),
        },
        Field {
            key: "join",
            doc: "How courses are made that are longer than the stock.",
            kind: Kind::Word(&[(
                "over ribs",
                "equal boards meet on a rib behind the wall, staggered in every second course",
            )]),
            default: Default::Absent,
        },
        Field {
            key: "rib",
            doc: "The board of the ribs behind the joints, for `join = \"over ribs\"`; it lies flat against the wall.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Absent,
        },
    ],
};

const SIZE: Kind = Kind::Wish { of: WishOf::Size, least: 50, most: 20_000 };

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
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let made = Made::of(text, plan)?;
    let stance = Stance::of(text, plan)?;
    let (post, rib) = (Timber::behind("post", text, plan)?, Timber::behind("rib", text, plan)?);
    let batter = text.need_length("batter")?;
    let walls = Walls { text: text.clone(), made, stance, post, rib, batter };
    walls.check_corners(plan)?;
    walls.check_batter()?;
    walls.check_ribs(plan)?;
    Ok(Box::new(walls))
}

impl Walls {
    fn refused(&self, key: &str, why: impl Into<String>, hint: &str) -> Problem {
        Problem::new(why).at(&self.text.values.place_of(key)).hint(hint)
    }

    fn check_corners(&self, plan: &Plan) -> Result<(), Problem> {
        let corners = self.text.values.word("corners");
        match (corners, self.post) {
            (Some("on posts"), None) => {
                Err(self.refused("corners", "walls on posts need posts", "add `post = …` with a board of the yard"))
            }
            (Some("on posts"), Some(post)) if post.width.min(post.thickness) < self.made.thickness => {
                let [post, wall] = [post.width.min(post.thickness), self.made.thickness]
                    .map(|length| plan.tape.show_with_unit(length));
                let thin = format!("a post of {post} does not cover the ends of walls {wall} thick");
                Err(self.refused("post", thin, "take a post that is at least as thick as the walls"))
            }
            (Some("pinwheel, turned"), _) if self.made.board.is_none() => {
                let idle = "panels of sheet have no second course that could turn the other way";
                Err(self.refused("corners", idle, "take `corners = \"pinwheel\"`"))
            }
            (Some("on posts"), Some(_)) | (_, None) => Ok(()),
            (_, Some(_)) => {
                let idle = "only walls with `corners = \"on posts\"` have posts of their own";
                Err(self.refused("post", idle, "leave `post` out, or add a piece that `is = \"posts\"`"))
            }
        }
    }

    fn check_batter(&self) -> Result<(), Problem> {
        if self.batter == Length::ZERO {
            return Ok(());
        }
        if self.text.values.word("corners").is_some_and(|corners| corners != "mitred") {
            return Err(self.refused("corners", "walls that lean can only be mitred", "add `corners = \"mitred\"`"));
        }
        if self.stance.is_tier() {
            return Err(self.refused("batter", "a tier does not lean", "leave `batter` out"));
        }
        if self.batter < Length::ZERO && self.text.values.has("beside") {
            let wide = "walls that are wider at their foot than at their top stand beside nothing";
            return Err(self.refused("batter", wide, "leave `beside` out, or let them be wider at the top"));
        }
        Ok(())
    }

    fn check_ribs(&self, plan: &Plan) -> Result<(), Problem> {
        let Some(rib) = self.rib else {
            return match self.text.values.has("join") {
                true => {
                    Err(self.refused("join", "joints need ribs behind them", "add `rib = …` with a board of the yard"))
                }
                false => Ok(()),
            };
        };
        if !self.text.values.has("join") {
            return Err(self.refused("rib", "without joints there are no ribs", "add `join = \"over ribs\"`"));
        }
        if self.made.board.is_none() || self.batter != Length::ZERO {
            let odd = "only plumb courses of boards are joined over ribs";
            return Err(self.refused("join", odd, "leave `join` and `rib` out"));
        }
        // Where a course is just too long, its boards are half as long as the stock gives, and joints a quarter of that apart.
        if rib.width + self.made.thickness * 2 > Length::nm(self.made.longest().nanometres() / 4) {
            let [rib, long] = [rib.width, self.made.longest()].map(|length| plan.tape.show_with_unit(length));
            let close = format!("ribs {rib} wide could meet behind joints of boards that are {long} long at most");
            return Err(self.refused("rib", close, "take narrower ribs or longer boards"));
        }
        Ok(())
    }

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
        let sizes = self.made.sizes_of_sheet(ask, &self.text);
        match self.made.board {
            Some(board) => {
                let gap = self.text.need_wish("gap")?;
                let gap = ask.gap(&self.text.called("gap"), gap, self.text.values.place_of("gap"));
                let (name, face) = (&self.text.called("courses"), height.clone());
                ask.row(RowAsk { name, when: Vec::new(), face, pattern: &[board], more: 0, end_gaps: 0, gap });
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
        out.outlines.push(ground.drawn(&self.text.name));
        Ok(())
    }
}

/// Walls as they are laid for sizes that came out.
struct Laid<'a> {
    walls: &'a Walls,
    ground: &'a Ground,
    lean: Option<Lean>,
    /// How long each side is, and how much the corner at its end turns.
    sides: Vec<(Length, Angle)>,
    /// The rows in even and in odd courses, counted from 0.
    lines: [Vec<RowLine>; 2],
    bottom: Length,
}

impl Laid<'_> {
    fn explain(&self, outline: &Outline, corners: Corners, out: &mut Build) {
        if let Some(lean) = &self.lean {
            return lean.explain(self.walls, outline, out);
        }
        if corners == Corners::Mitred {
            explain_mitre(&self.walls.text.name, outline, out);
        }
        for line in &self.lines[0] {
            let (face, side) = (self.ground.name(line.side), self.sides[line.side].0);
            out.quantities.extend(explain_length(&self.walls.text.name, face, side, line.reach));
            self.walls.explain_joints(face, side + line.reach[0] + line.reach[1], out);
        }
    }

    /// Posts in the corners and ribs behind the joints, which stand before the courses are fixed to them.
    fn uprights(&self, up: [Length; 2], courses: usize, out: &mut Build) {
        let posts = self.walls.lay_posts(self.ground, self.sides[0].0, up, out);
        let mut ribs = Vec::new();
        for (side, &(length, _)) in self.sides.iter().enumerate() {
            let lines: Vec<&RowLine> = self.lines.iter().map(|lines| &lines[side]).take(courses).collect();
            ribs.extend(self.walls.lay_ribs(self.ground, &lines, (side, length), up, out));
        }
        let name = &self.walls.text.name;
        if !posts.is_empty() {
            let text = "The boards or panels end at the posts: screws into their ends hold badly there, so fix them to cleats or brackets on the inside.";
            out.notes.push(Note { piece: name.clone(), text: text.into() });
            let what = format!("Stand the four posts of {name} on their marks, plumb, and check both diagonals");
            out.steps.push(Step { piece: name.clone(), what, caution: None, parts: posts });
        }
        if !ribs.is_empty() {
            let what = format!(
                "Mark the ribs of {name}, one behind each joint, and hold them plumb until the courses are on them"
            );
            out.steps.push(Step { piece: name.clone(), what, caution: None, parts: ribs });
        }
    }

    /// Lays one course, which reaches from `up[0]` to `up[1]` above the lower edge of the walls.
    fn course(&self, course: usize, up: [Length; 2], out: &mut Build) -> Vec<PartKey> {
        let first = out.parts.len();
        for (side, &(length, turn)) in self.sides.iter().enumerate() {
            let face = self.ground.name(side);
            match &self.lean {
                Some(lean) => {
                    // Courses are counted by fit, whose counts stay far below a u32.
                    let key = self.walls.key(self.walls.made.role(), face, course as u32, 0);
                    out.parts.push(lean.part(self.walls, self.ground, (side, length, turn), up, key));
                    lean.explain_length(self.walls, (face, length, turn), course, up, out);
                }
                None => self.plumb(&self.lines[course % 2][side], course, up, out),
            }
        }
        out.parts[first..].iter().map(|part| part.key.clone()).collect()
    }

    /// Lays the parts of one course along a side that stands plumb: one, or several that meet on ribs.
    fn plumb(&self, line: &RowLine, course: usize, up: [Length; 2], out: &mut Build) {
        let (walls, length) = (self.walls, self.sides[line.side].0);
        let along = [-line.reach[0], length + line.reach[1]];
        let joints = match walls.rib {
            Some(_) => ribs::joints(along[1] - along[0], walls.made.longest(), course),
            None => Vec::new(),
        };
        let cuts = joints.iter().map(|&joint| along[0] + joint);
        let cuts: Vec<Length> = std::iter::once(along[0]).chain(cuts).chain([along[1]]).collect();
        let last = cuts.len() - 2;
        for (index, ends) in cuts.windows(2).enumerate() {
            let up = up.map(|height| self.bottom + height);
            let spans = Spans { along: [ends[0], ends[1]], out: [-walls.made.thickness, Length::ZERO], up };
            // Courses and boards are counted by fit or by lengths that are read, far below a u32.
            let key = walls.key(walls.made.role(), self.ground.name(line.side), course as u32, index as u32);
            let mut part = self.ground.part(line.side, spans, [Way::Along, Way::Up], key, walls.made.stock);
            if index == 0 {
                self.ground.mitre(&mut part, 0, line, walls.layer(), length);
            }
            if index == last {
                self.ground.mitre(&mut part, 1, line, walls.layer(), length);
            }
            out.parts.push(part);
        }
    }
}

impl Walls {
    fn step(&self, course: usize, courses: usize, corners: &str, parts: Vec<PartKey>) -> Step {
        let name = &self.text.name;
        let what = match (self.made.board.is_some(), course) {
            (false, _) => format!("Stand the panels of {name} together ({corners}) and check both diagonals"),
            (true, 0) => format!("Lay the first course of {name} out level ({corners}) and check both diagonals"),
            (true, _) => format!("Add course {} of {courses} of {name}", course + 1),
        };
        let caution = (course == 0).then(|| {
            "Saw with the guard in place and the work held; wear a mask and gloves with treated wood and do not burn its offcuts"
                .to_owned()
        });
        Step { piece: name.clone(), what, caution, parts }
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
