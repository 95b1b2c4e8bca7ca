//! `cap`: a board all round on the upper edge of walls, oversailing them, level or falling outwards.
//!
//! Its rows lie on the strip from the oversail inwards by the width of the board, and end by the corner law. What holds it, and
//! where that is refused, is `hold`; a cap that falls outwards is `fall`.

mod fall;
mod hold;

use crate::Piece;
use crate::angles::explain_mitre;
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::place::{Ground, Spans, Way};
use crate::rows::{CAP_CORNERS, Corners, RowLine, row_line};
use crate::timber::Timber;
use crate::walls::{batter::true_top, explain_length};
use fall::Fall;
use hold::Hold;
use measure::Length;
use model::build::{Build, Fixed, Going, Note, Step, With};
use model::corner::Layer;
use model::outline::Outline;
use model::part::PartKey;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind};

/// The keys of `cap`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "cap",
    doc: "A board all round on the upper edge of walls, flat, oversailing them.",
    fields: &[
        Field { key: "on", doc: "The piece that is capped.", kind: Kind::Piece, default: Default::Required },
        Field {
            key: "board",
            doc: "The board; it lies flat.",
            kind: Kind::Stock(StockKind::Board),
            default: Default::Required,
        },
        Field {
            key: "oversail",
            doc: "How far it stands out over the outer faces; less than its width.",
            kind: Kind::Length { least: 0, most: 500 },
            default: Default::Text("0"),
        },
        Field {
            key: "corners",
            doc: "How its boards meet.",
            kind: Kind::Word(CAP_CORNERS),
            default: Default::Text("mitred"),
        },
        Field {
            key: "slope",
            doc: "By how many whole degrees it falls outwards, for mitred ones; water runs off from 10 (*common practice*).",
            kind: Kind::Count { least: 0, most: 15 },
            default: Default::Text("0"),
        },
        Field {
            key: "drip",
            doc: "Whether a groove under its outer edge throws the water off. It takes an oversail of 15 mm.",
            kind: Kind::Word(&[("true", "there is one"), ("false", "there is none")]),
            default: Default::Text("false"),
        },
        Field {
            key: "screw",
            doc: "The screw that holds it; `from-below` or `into-end-grain` says where.",
            kind: Kind::Stock(StockKind::Screw),
            default: Default::Absent,
        },
        Field {
            key: "from-below",
            doc: "A piece that `is = \"posts\"`, up through whose rails the cap is screwed: no screw is seen and none stands in end grain.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "into-end-grain",
            doc: "Posts into whose upper ends the cap is screwed all the same: end grain holds badly.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
    ],
};

/// The least oversail that takes a drip groove: 5 wide, 5 in from the edge and 5 off the wall (*common practice*).
const DRIP: Length = Length::mm(15);

/// A cap as the plan states it.
struct Cap {
    text: PieceText,
    on: String,
    board: Timber,
    oversail: Length,
    corners: Corners,
    fall: Option<Fall>,
    drip: bool,
    hold: Option<Hold>,
    /// Whether an extra goes with it, which may hold it.
    is_held: bool,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let board = Timber::needed(text, plan, "board")?;
    let oversail = text.need_length("oversail")?;
    let shown = |length: Length| plan.tape.show_with_unit(length);
    if oversail >= board.width {
        let [out, wide] = [oversail, board.width].map(shown);
        let loose = format!("a board {wide} wide that oversails by {out} does not lie on the walls");
        return Err(Problem::new(loose)
            .at(&text.values.place_of("oversail"))
            .hint("make `oversail` less than its width"));
    }
    lies_level(text, plan)?;
    let drip = text.need_word("drip")? == "true";
    if drip && oversail < DRIP {
        let [out, least] = [oversail, DRIP].map(shown);
        let narrow = format!("an oversail of {out} has no room for a drip groove, which takes {least}");
        return Err(Problem::new(narrow)
            .at(&text.values.place_of("drip"))
            .hint("make `oversail` more, or leave `drip` out"));
    }
    let word = text.need_word("corners")?;
    let corners = Corners::from_word(word).ok_or_else(|| Problem::new(format!("no corners are called `{word}`")))?;
    let fall = Fall::of(text, corners)?;
    let hold = Hold::of(text, plan)?;
    let is_held = crate::extra::holds(plan, &text.name);
    let (on, text) = (text.need_text("on")?, text.clone());
    Ok(Box::new(Cap { on, board, oversail, corners, fall, drip, hold, is_held, text }))
}

/// A cap does not lie on boards whose upper ends are shaped.
fn lies_level(text: &PieceText, plan: &Plan) -> Result<(), Problem> {
    let on = text.need_text("on")?;
    let boards = plan.pieces.iter().find(|piece| piece.name == on);
    let Some(top) = boards.and_then(|boards| boards.values.word("top")) else { return Ok(()) };
    let uneven = format!("`{}` would lie on the {top} tops of `{on}`", text.name);
    Err(Problem::new(uneven)
        .at(&text.values.place_of("on"))
        .hint(format!("a cap needs a level top: leave `top` out of `{on}`, or leave the cap out")))
}

impl Cap {
    fn strip(&self) -> Layer {
        // A board has a width: the yard's schema says so.
        Layer::new(self.oversail - self.board.width, self.oversail).expect("a board has a width")
    }

    /// The row along a side: a cap that falls reaches as far as its slanted edges do.
    fn line(&self, outline: &Outline, side: usize) -> Result<RowLine, Problem> {
        let strip = self.strip();
        let layers = vec![Some(strip); outline.count()];
        let mut line = row_line(outline, strip, &layers, self.corners, side, &self.text.values.place_of("corners"))?;
        if let Some(fall) = self.fall {
            let ends = [outline.before(side), side].map(|corner| outline.turn_after(corner).angle());
            line.reach = ends.map(|turn| fall.reach(turn, strip, self.board.thickness));
            line.face = outline.sides()[side].length.clone() + line.reach[0] + line.reach[1];
        }
        Ok(line)
    }

    fn lines(&self, outline: &Outline) -> Result<Vec<RowLine>, Problem> {
        (0..outline.count()).map(|side| self.line(outline, side)).collect()
    }

    fn ask_lengths(&self, ask: &mut Ask<'_>, on: &Stand) -> Result<(), Problem> {
        for line in self.lines(&on.outline)? {
            let what = format!("the {} of {}", on.outline.sides()[line.side].name, self.text.name);
            ask.comes_from_stock(&what, Vec::new(), &line.face, self.board.longest);
        }
        let opening = on.outline.moved_out(&vec![self.strip().near(); on.outline.count()]);
        for side in opening.sides() {
            ask.is_there(&format!("the {} of the opening in {}", side.name, self.text.name), Vec::new(), &side.length);
        }
        Ok(())
    }

    fn place(&self) -> model::problem::Place {
        self.text.values.place_of("on")
    }
}

impl Piece for Cap {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let on = ask.stand(&self.on, &self.place())?;
        if !on.has_faces {
            let loose = Problem::new(format!("`{}` has no walls that a cap could lie on", self.on));
            return Err(loose.at(&self.place()).hint("cap walls, or a cladding"));
        }
        if self.hold.is_some() && (self.fall.is_some() || on.batter != Length::ZERO) {
            let arris = format!("`{}` touches `{}` along an arris only, where no screw holds", self.text.name, self.on);
            let hint = "leave `screw` out and bed the cap on wedges, or let level caps lie on plumb walls";
            return Err(Problem::new(arris).at(&self.text.values.place_of("screw")).hint(hint));
        }
        ask.take_top(&self.on, &self.text.name, &self.place())?;
        if self.fall.is_some() {
            ask.overhang(&self.on, &self.text.name, &self.place())?;
        }
        self.ask_lengths(ask, &on)?;
        let (bottom, top) = (on.top.clone(), on.top.clone() + self.board.thickness);
        let moved = on.moved_out(&vec![self.oversail; on.outline.count()]);
        Ok(Stand { bottom, top, has_faces: false, wall: None, batter: Length::ZERO, ..moved })
    }

    fn closes(&self) -> bool {
        true
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let (on, own) = (fitted.stand(&self.on)?, fitted.stand(&self.text.name)?);
        let (ground, drawn) = (Ground::of(on, fitted)?, Ground::of(own, fitted)?);
        let low = true_top(on, fitted)?;
        let first = out.parts.len();
        for line in self.lines(&on.outline)? {
            let side = on.outline.sides()[line.side].length.at(fitted.sizes());
            out.quantities.extend(explain_length(&self.text.name, ground.name(line.side), side, line.reach));
            self.lay(&ground, &line, side, low, out);
        }
        match self.fall {
            Some(fall) => fall.explain(&self.text, &on.outline, out),
            None if self.corners == Corners::Mitred => explain_mitre(&self.text.name, &on.outline, out),
            None => {}
        }
        let parts = out.parts[first..].iter().map(|part| part.key.clone()).collect();
        out.steps.push(self.step(parts));
        self.note(on, out);
        if let Some(hold) = &self.hold {
            hold.fix(&self.text.name, out);
        }
        out.with.push(With { piece: self.text.name.clone(), to: self.on.clone(), going: Going::Closes });
        out.fixed.push(Fixed { piece: self.text.name.clone(), to: self.on.clone() });
        out.outlines.push(drawn.drawn(&self.text.name));
        Ok(())
    }
}

impl Cap {
    fn lay(&self, ground: &Ground, line: &RowLine, side: Length, low: Length, out: &mut Build) {
        let strip = self.strip();
        let face = ground.name(line.side).to_owned();
        let key = PartKey { piece: self.text.name.clone(), role: "board".into(), face, course: 0, index: 0 };
        let along = [-line.reach[0], side + line.reach[1]];
        let spans = |up| Spans { along, out: [strip.near(), strip.far()], up };
        let (lie, thickness) = ([Way::Along, Way::Out], self.board.thickness);
        let part = match self.fall {
            Some(fall) => {
                let spans = spans([Length::ZERO, thickness]);
                let mut part = ground.leaning(line.side, fall.slope(low), spans, lie, key, self.board.stock);
                (0..2).for_each(|end| ground.halve(&mut part, end, line.side));
                part
            }
            None => {
                let mut part = ground.part(line.side, spans([low, low + thickness]), lie, key, self.board.stock);
                (0..2).for_each(|end| ground.mitre(&mut part, end, line, strip, side));
                part
            }
        };
        out.parts.push(part);
    }

    fn step(&self, parts: Vec<PartKey>) -> Step {
        let (name, on) = (&self.text.name, &self.on);
        let how = match &self.hold {
            Some(hold) => hold.words(),
            None => "fix it".into(),
        };
        let what =
            format!("Lay {name} out dry on {on} ({}), oversailing alike all round, then {how}", self.corners.word());
        let caution = "Hold short boards with a stop or a clamp at the saw, not by hand";
        Step { piece: name.clone(), what, caution: Some(caution.into()), parts }
    }

    fn note(&self, on: &Stand, out: &mut Build) {
        let name = &self.text.name;
        let mut note = |text: String| out.notes.push(Note { piece: name.clone(), text });
        if self.corners == Corners::Mitred {
            note(format!(
                "The mitres of {name} open and close with the weather, the more the wider the boards; butted corners show it less."
            ));
        }
        if self.drip {
            note(format!(
                "Cut a groove about 5 mm wide and deep along the under side of {name}, 5 mm in from its outer edge, before it is fixed (common practice); the drawings do not show it."
            ));
        }
        if self.hold.is_none() && !self.is_held {
            note(format!(
                "Nothing in this plan holds {name}: on a level cap `screw` does, `from-below` through rails or `into-end-grain`; else brackets or battens under it that you choose yourself, an `extra` of it that `does = \"holds\"`."
            ));
        }
        if self.fall.is_some() || on.batter != Length::ZERO {
            note(format!(
                "{name} lies on {} along an arris only: plane the walls' upper edges to it, or bed it on wedges.",
                self.on
            ));
        }
    }
}
