//! `walls`: a closed box without top or bottom, of sheet or of boards in courses, standing on the ground.
//!
//! Boards lie level, one on the other, with or without a gap between the courses. The outline is the outside of the walls.

use crate::ask::{Ask, RowAsk, Stand, When};
use crate::fitted::{Fitted, explain_row};
use crate::place::{Ground, Spans, Way};
use crate::rows::{BOARD_CORNERS, Corners, RowLine, row_line};
use crate::{Piece, rules};
use measure::{Length, Tape};
use model::affine::{Affine, SizeId};
use model::build::{Build, Row, Step};
use model::corner::Layer;
use model::outline::Outline;
use model::part::{Part, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, WishOf};
use model::stock::{Sheet, SheetSize, StockRef};
use model::why::{Input, Of, Quantity, Value};

/// The keys of `walls`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "walls",
    doc: "A box without top or bottom, of sheet or of boards in courses, standing on the ground.",
    fields: &[
        Field {
            key: "outline",
            doc: "The shape seen from above.",
            kind: Kind::Word(&[
                ("rectangle", "four faces: front, right, back, left"),
                ("L", "six faces: front, right, inner back, inner right, back, left"),
            ]),
            default: Default::Text("rectangle"),
        },
        Field { key: "length", doc: "Outside, along the front.", kind: SIZE, default: Default::Required },
        Field { key: "width", doc: "Outside, from front to back.", kind: SIZE, default: Default::Required },
        Field { key: "height", doc: "From the ground to the top edge.", kind: SIZE, default: Default::Required },
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
            doc: "Which walls run through at the corners.",
            kind: Kind::Word(BOARD_CORNERS),
            default: Default::Text("front through"),
        },
    ],
};

const SIZE: Kind = Kind::Wish { of: WishOf::Size, least: 50, most: 20_000 };

/// Walls as the plan states them.
struct Walls {
    text: PieceText,
    stock: StockRef,
    thickness: Length,
    /// The width of a board; `None` for sheet.
    board: Option<Length>,
    /// What the parts may come from: the longest board, or one of the sizes of a sheet.
    reaches: Vec<Reach>,
    corners: Vec<Corners>,
}

/// What one size of stock gives.
struct Reach {
    /// What the size is called.
    word: String,
    /// How long a part can be.
    long: Length,
    /// How high.
    high: Length,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let name = |key| text.values.text(key);
    let (kind, stock_name) = match (name("board"), name("sheet")) {
        (Some(board), None) => (StockKind::Board, board),
        (None, Some(sheet)) => (StockKind::Sheet, sheet),
        (Some(_), Some(_)) => {
            let both = Problem::new("walls are of boards or of sheet, not of both").at(&text.values.place_of("sheet"));
            return Err(both.hint("keep `board` or `sheet`"));
        }
        (None, None) => {
            let none = Problem::new(format!("nothing says what the walls of `{}` are of", text.name)).at(&text.place);
            return Err(none.hint("add `board = …` or `sheet = …` with a name from the yard"));
        }
    };
    let stock = plan.yard.find(kind, &stock_name).ok_or_else(|| {
        Problem::new(format!("no {} called `{stock_name}` in the yard", kind.word())).at(&text.values.place)
    })?;
    if kind == StockKind::Sheet && text.values.wish("gap").is_some_and(|gap| gap.want != Length::ZERO) {
        let idle = Problem::new("panels of sheet have no courses, so there is no gap between them");
        return Err(idle.at(&text.values.place_of("gap")).hint("leave `gap` out, or build the walls of boards"));
    }
    let trim = plan.shed.trim;
    let (thickness, board, reaches) = match kind {
        StockKind::Board => {
            let board = &plan.yard.boards[stock.place];
            let none = || Problem::new(format!("no length of `{stock_name}` is on sale")).at(&board.place);
            let long = plan.yard.longest(stock, trim).ok_or_else(none)?;
            (board.thickness, Some(board.width), vec![Reach { word: stock_name, long, high: board.width }])
        }
        _ => {
            let sheet = &plan.yard.sheets[stock.place];
            let reaches = reaches(sheet, trim, plan.tape);
            if reaches.is_empty() {
                return Err(Problem::new(format!("no size of `{stock_name}` is on sale")).at(&sheet.place));
            }
            (sheet.thickness, None, reaches)
        }
    };
    let corners = Corners::of_word(text.need_word("corners")?, BOARD_CORNERS);
    Ok(Box::new(Walls { text: text.clone(), stock, thickness, board, reaches, corners }))
}

/// What each size of a sheet gives that another size does not: those that are nowhere larger than another one are left out.
///
/// The panels of a box are all of one height, and of the sizes that are as wide as that the narrowest is the longest and so
/// gives all that the others give: nothing is lost by taking all panels to come from that one.
fn reaches(sheet: &Sheet, trim: Length, tape: Tape) -> Vec<Reach> {
    let within = |small: &SheetSize, large: &SheetSize| small.length <= large.length && small.width <= large.width;
    let sizes = &sheet.sizes;
    let idle = |at: usize| {
        let covers = |(other, size): (usize, &SheetSize)| {
            other != at && within(&sizes[at], size) && (other < at || !within(size, &sizes[at]))
        };
        sizes.iter().enumerate().any(covers)
    };
    let kept = (0..sizes.len()).filter(|&at| !idle(at)).map(|at| &sizes[at]);
    kept.map(|size| Reach {
        word: format!("{} × {}", tape.show(size.length), tape.show(size.width)),
        long: size.length - trim,
        high: size.width - trim,
    })
    .collect()
}

impl Walls {
    /// Declares one size of the piece.
    fn size(&self, ask: &mut Ask<'_>, key: &'static str) -> Result<SizeId, Problem> {
        let wish = self.text.need_wish(key)?;
        Ok(ask.size(&self.text.called(key), wish, self.text.values.place_of(key)))
    }

    /// Panels are no higher than their sheet is wide, and higher than every narrower one, from which they would come otherwise.
    fn ask_height_of_panels(&self, ask: &mut Ask<'_>, height: &Affine, sizes: &[When]) {
        let what = format!("the height of the panels of {}", self.text.name);
        for (reach, when) in self.reaches.iter().zip(sizes) {
            ask.comes_from_stock(&what, when.clone(), height, reach.high);
            let narrower = self.reaches.iter().filter(|other| other.high < reach.high);
            if let Some(narrower) = narrower.max_by_key(|other| other.high) {
                let what = format!("{what}, which come from {} only if not from {}", reach.word, narrower.word);
                ask.is_more(&what, when.clone(), height, narrower.high);
            }
        }
    }

    fn ask_lengths(&self, ask: &mut Ask<'_>, outline: &Outline, sizes: &[When]) -> Result<(), Problem> {
        let words: Vec<String> = self.corners.iter().map(|corners| corners.word().into()).collect();
        let options = ask.choice(&self.text.called("corners"), &words);
        for (&corners, when) in self.corners.iter().zip(&options) {
            for side in 0..outline.count() {
                let line = self.line(outline, corners, side)?;
                let what = format!("the {} of {}", outline.sides()[side].name, self.text.name);
                for (reach, size) in self.reaches.iter().zip(sizes) {
                    ask.comes_from_stock(&what, [size.as_slice(), when].concat(), &line.face, reach.long);
                }
            }
        }
        Ok(())
    }

    /// Under which condition each of the sizes of stock is taken: sizes of sheet are chosen among.
    fn sizes_of_sheet(&self, ask: &mut Ask<'_>) -> Vec<When> {
        if self.reaches.len() < 2 {
            return vec![When::new()];
        }
        let words: Vec<String> = self.reaches.iter().map(|reach| reach.word.clone()).collect();
        ask.choice(&self.text.called("sheet"), &words)
    }

    fn outline(&self, ask: &mut Ask<'_>) -> Result<Outline, Problem> {
        let length = Affine::size(self.size(ask, "length")?);
        let width = Affine::size(self.size(ask, "width")?);
        if self.text.need_word("outline")? == "L" {
            let front_arm = Affine::size(self.size(ask, "front-arm")?);
            let left_arm = Affine::size(self.size(ask, "left-arm")?);
            let inside = |arm: &Affine| arm.clone() + self.thickness * -2;
            for (name, arm) in [("front", &front_arm), ("left", &left_arm)] {
                ask.is_there(&format!("the inside of the {name} arm of {}", self.text.name), Vec::new(), &inside(arm));
            }
            return Ok(Outline::ell(length, width, front_arm, left_arm));
        }
        for key in ["front-arm", "left-arm"] {
            if self.text.values.has(key) {
                let place = self.text.values.place_of(key);
                let lone = Problem::new(format!("a rectangle has no `{key}`")).at(&place);
                return Err(lone.hint("add `outline = \"L\"`, or leave this out"));
            }
        }
        Ok(Outline::rectangle(length, width))
    }

    fn layer(&self) -> Layer {
        // A thickness is longer than nothing: the yard's schema says so.
        Layer::new(-self.thickness, Length::ZERO).expect("a wall has a thickness")
    }

    fn line(&self, outline: &Outline, corners: Corners, side: usize) -> Result<RowLine, Problem> {
        let layers = vec![Some(self.layer()); outline.count()];
        row_line(outline, self.layer(), &layers, corners, side, &self.text.place)
    }

    fn part(&self, ground: &Ground, side: usize, course: u32, spans: Spans) -> Part {
        let role = if self.board.is_some() { "board" } else { "panel" };
        let face = ground.name(side).to_owned();
        let key = PartKey { piece: self.text.name.clone(), role: role.into(), face, course, index: 0 };
        ground.part(side, spans, [Way::Along, Way::Up], key, self.stock)
    }

    /// The heights of the courses' lower edges, and how high each course is.
    fn courses(&self, fitted: &Fitted<'_>, height: Length, out: &mut Build) -> Result<(Vec<Length>, Length), Problem> {
        let Some(board) = self.board else { return Ok((vec![Length::ZERO], height)) };
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
        let outline = self.outline(ask)?;
        let height = Affine::size(self.size(ask, "height")?);
        let sizes = self.sizes_of_sheet(ask);
        match self.board {
            Some(board) => {
                let gap = self.text.need_wish("gap")?;
                let gap = ask.gap(&self.text.called("gap"), gap, self.text.values.place_of("gap"));
                let (name, face) = (&self.text.called("courses"), height.clone());
                ask.row(RowAsk { name, when: Vec::new(), face, pattern: &[board], more: 0, end_gaps: 0, gap });
            }
            None => self.ask_height_of_panels(ask, &height, &sizes),
        }
        self.ask_lengths(ask, &outline, &sizes)?;
        let along_front = outline.sides()[0].length.clone();
        let origin = ask.stand_by_itself(&along_front);
        let wall = Some(self.thickness);
        Ok(Stand { outline, origin, bottom: Length::ZERO.into(), top: height, has_faces: true, wall, batter: Length::ZERO })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let stand = fitted.stand(&self.text.name)?;
        let ground = Ground::of(stand, fitted)?;
        let word = fitted.choice(&self.text.called("corners"))?;
        let corners =
            Corners::from_word(word).ok_or_else(|| Problem::new(format!("no corners are called `{word}`")))?;
        let (courses, high) = self.courses(fitted, stand.top.at(fitted.sizes()), out)?;
        let lines = (0..stand.outline.count()).map(|side| self.line(&stand.outline, corners, side));
        let lines: Vec<RowLine> = lines.collect::<Result<_, _>>()?;
        for line in &lines {
            let side = stand.outline.sides()[line.side].length.at(fitted.sizes());
            out.quantities.extend(explain_length(&self.text.name, ground.name(line.side), side, line.reach));
        }
        for (course, &low) in courses.iter().enumerate() {
            let mut keys = Vec::new();
            for line in &lines {
                let side = stand.outline.sides()[line.side].length.at(fitted.sizes());
                let spans = Spans {
                    along: [-line.reach[0], side + line.reach[1]],
                    out: [-self.thickness, Length::ZERO],
                    up: [low, low + high],
                };
                // Courses are counted by fit, whose counts stay far below a u32.
                let part = self.part(&ground, line.side, course as u32, spans);
                keys.push(part.key.clone());
                out.parts.push(part);
            }
            out.steps.push(self.step(course, courses.len(), word, keys));
        }
        out.outlines.push(ground.drawn(&self.text.name));
        Ok(())
    }
}

impl Walls {
    fn step(&self, course: usize, courses: usize, corners: &str, parts: Vec<PartKey>) -> Step {
        let name = &self.text.name;
        let what = match (self.board.is_some(), course) {
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
