//! `walls`: a closed box without top or bottom, of sheet or of boards in courses, standing on the ground.
//!
//! Boards lie level, one on the other, with or without a gap between the courses. The outline is the outside of the walls.

use crate::ask::{Ask, MOST_MEMBERS, RowAsk, Stand};
use crate::fitted::{Fitted, explain_row};
use crate::place::{Ground, Spans, Way};
use crate::rows::{BOARD_CORNERS, Corners, RowLine, row_line};
use crate::{Piece, rules};
use measure::Length;
use model::affine::{Affine, SizeId};
use model::build::{Build, Row, Step};
use model::corner::Layer;
use model::outline::Outline;
use model::part::{Part, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, WishOf};
use model::stock::StockRef;
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
    /// How long and how high a part can be that comes from the longest stock.
    reach: (Length, Length),
    corners: Vec<Corners>,
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
    let (thickness, board, reach) = match kind {
        StockKind::Board => {
            let board = &plan.yard.boards[stock.place];
            let longest = board.lengths.iter().map(|length| length.length).max().unwrap_or_default();
            (board.thickness, Some(board.width), (longest - trim, board.width))
        }
        _ => {
            let sheet = &plan.yard.sheets[stock.place];
            let longest = sheet.sizes.iter().map(|size| size.length).max().unwrap_or_default();
            let widest = sheet.sizes.iter().map(|size| size.width).max().unwrap_or_default();
            (sheet.thickness, None, (longest - trim, widest - trim))
        }
    };
    let word = text.values.word("corners").unwrap_or("front through");
    let corners = Corners::of_word(word, BOARD_CORNERS);
    Ok(Box::new(Walls { text: text.clone(), stock, thickness, board, reach, corners }))
}

impl Walls {
    fn called(&self, what: &str) -> String {
        format!("{}.{what}", self.text.name)
    }

    /// Declares one size of the piece.
    fn size(&self, ask: &mut Ask<'_>, key: &'static str) -> Result<SizeId, Problem> {
        let wish = self.text.values.wish(key).ok_or_else(|| {
            Problem::new(format!("an L needs `{key}`")).at(&self.text.values.place).hint(format!("add `{key} = …`"))
        })?;
        Ok(ask.size(&self.called(key), wish, self.text.values.place_of(key)))
    }

    fn outline(&self, ask: &mut Ask<'_>) -> Result<Outline, Problem> {
        let length = Affine::size(self.size(ask, "length")?);
        let width = Affine::size(self.size(ask, "width")?);
        if self.text.values.word("outline") == Some("L") {
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
        row_line(outline, &layers, corners, side, &self.text.place)
    }

    fn part(&self, ground: &Ground, side: usize, course: u32, spans: Spans) -> Part {
        let role = if self.board.is_some() { "board" } else { "panel" };
        let face = ground.name(side).to_owned();
        let key = PartKey { piece: self.text.name.clone(), role: role.into(), face, course, index: 0 };
        ground.part(side, spans, [Way::Along, Way::Up], key, self.stock)
    }

    /// The heights of the courses' lower edges, and how high each course is.
    fn courses(&self, fitted: &Fitted<'_>, height: Length, out: &mut Build) -> (Vec<Length>, Length) {
        let Some((board, fit)) = self.board.zip(fitted.row(&self.called("courses"))) else {
            return (vec![Length::ZERO], height);
        };
        let row = Row {
            piece: self.text.name.clone(),
            face: "courses".into(),
            length: height,
            member: board,
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap: false,
            up: true,
        };
        let starts = row.starts().collect();
        explain_row(out, row);
        (starts, board)
    }
}

impl Piece for Walls {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let outline = self.outline(ask)?;
        let height = Affine::size(self.size(ask, "height")?);
        match (self.board, self.text.values.wish("gap")) {
            (Some(board), Some(gap)) => {
                let gap = ask.gap(&self.called("gap"), gap, self.text.values.place_of("gap"));
                let (name, face) = (&self.called("courses"), height.clone());
                ask.row(RowAsk {
                    name,
                    when: Vec::new(),
                    face,
                    member: board,
                    end_gaps: 0,
                    gap,
                    count: (1, MOST_MEMBERS),
                });
            }
            _ => {
                ask.comes_from_stock(
                    &format!("the height of the panels of {}", self.text.name),
                    Vec::new(),
                    &height,
                    self.reach.1,
                );
            }
        }
        let words: Vec<String> = self.corners.iter().map(|corners| corners.word().into()).collect();
        let options = ask.choice(&self.called("corners"), &words);
        for (&corners, when) in self.corners.iter().zip(options) {
            for side in 0..outline.count() {
                let line = self.line(&outline, corners, side)?;
                let face = &outline.sides()[side].name;
                ask.comes_from_stock(
                    &format!("the {face} of {}", self.text.name),
                    when.clone(),
                    &line.face,
                    self.reach.0,
                );
            }
        }
        let along_front = outline.sides()[0].length.clone();
        let origin = ask.stand_by_itself(&along_front);
        Ok(Stand { outline, origin, bottom: Length::ZERO.into(), top: height })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) {
        let Some(stand) = fitted.stand(&self.text.name) else { return };
        let Some(ground) = Ground::of(stand, fitted) else { return };
        let word = fitted.choice(&self.called("corners")).unwrap_or_default();
        let Some(corners) = Corners::from_word(word) else { return };
        let (courses, high) = self.courses(fitted, stand.top.at(fitted.sizes()), out);
        let lines = (0..stand.outline.count()).filter_map(|side| self.line(&stand.outline, corners, side).ok());
        let lines: Vec<RowLine> = lines.collect();
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
