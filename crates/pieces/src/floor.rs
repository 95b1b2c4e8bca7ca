//! `floor`: slats or a panel of sheet in a piece with an inside, on bearers or with a fall, with gaps or holes to drain.

mod bearers;
mod carried;
pub(crate) mod drain;
mod panel;
mod room;
pub(crate) mod slats;

use crate::Piece;
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::place::Ground;
use crate::within::{Host, StandsOut, Within};
use bearers::Bearers;
use carried::Around;
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Early, Going, Note, Step, With, the};
use model::part::{Part, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, WishOf};
use panel::Panel;
use room::{Room, hold_sides, only_in_rectangles};
use slats::Slats;

/// The keys of `floor`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "floor",
    doc: "A floor in walls: slats with equal gaps, or a panel of sheet (in an L two), cut to the walls' outline.",
    fields: &[
        Field { key: "in", doc: "The walls that it lies in.", kind: Kind::Piece, default: Default::Required },
        Field {
            key: "board",
            doc: "What the slats are cut from, lying flat. Either this or `sheet`.",
            kind: BOARD,
            default: Default::Absent,
        },
        Field {
            key: "sheet",
            doc: "What the panel is cut from. Either this or `board`.",
            kind: Kind::Stock(StockKind::Sheet),
            default: Default::Absent,
        },
        Field {
            key: "boards",
            doc: "Which way the slats run.",
            kind: Kind::Word(&[("across", "from front to back"), ("along", "along the front")]),
            default: Default::Text("across"),
        },
        Field {
            key: "gap",
            doc: "Between one slat and the next, and at both ends of the row. Needed with `board`.",
            kind: Kind::Wish { of: WishOf::Gap, least: 0, most: 100 },
            default: Default::Absent,
        },
        Field {
            key: "height",
            doc: "How far its lower face lies above the lower edge of the walls.",
            kind: Kind::Length { least: 0, most: 5_000 },
            default: Default::Text("0"),
        },
        Field {
            key: "clear",
            doc: "What it keeps off the inner faces all round: for posts that pass it.",
            kind: Kind::Length { least: 0, most: 1_000 },
            default: Default::Text("0"),
        },
        Field {
            key: "play",
            doc: "What slats are kept off at each end, and a panel on all sides, so that they go in: 2 or 3 mm (*common practice*).",
            kind: Kind::Length { least: 0, most: 50 },
            default: Default::Text("0"),
        },
        Field {
            key: "bearer",
            doc: "A board that lies flat under it, square to the slats, or from front to back under a panel. In rectangles only, and not with `fall`.",
            kind: BOARD,
            default: Default::Absent,
        },
        Field {
            key: "spacing",
            doc: "The most from centre to centre of the bearers; two bearers if left out.",
            kind: Kind::Length { least: 100, most: 5_000 },
            default: Default::Absent,
        },
        Field {
            key: "fall",
            doc: "How much higher the back edge of a panel lies than its front edge: 1 in 50 of its width drains (*common practice*). In rectangles only.",
            kind: Kind::Length { least: 1, most: 500 },
            default: Default::Absent,
        },
        Field {
            key: "drain-hole",
            doc: "How wide each drain hole in a panel is, across. Together with `drain-spacing`.",
            kind: Kind::Length { least: 3, most: 100 },
            default: Default::Absent,
        },
        Field {
            key: "drain-spacing",
            doc: "The most from middle to middle of the drain holes, both ways.",
            kind: Kind::Length { least: 20, most: 2_000 },
            default: Default::Absent,
        },
    ],
};

const BOARD: Kind = Kind::Stock(StockKind::Board);

/// A floor as the plan states it.
struct Floor {
    text: PieceText,
    host: String,
    made: Made,
    bearers: Option<Bearers>,
    height: Length,
    clear: Length,
    /// What of the walls it has to keep clear of.
    stands_out: StandsOut,
    around: Around,
}

/// What a floor is made of.
enum Made {
    Slats(Slats),
    Panel(Panel),
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let has = |key| text.values.has(key);
    let made = match (has("board"), has("sheet")) {
        (true, false) => Made::Slats(Slats::of(text, plan)?),
        (false, true) => Made::Panel(Panel::of(text, plan)?),
        (true, true) => {
            let both = Problem::new(format!("`{}` is of boards or of sheet, not of both", text.name));
            return Err(both.at(&text.values.place_of("sheet")).hint("keep `board` or `sheet`"));
        }
        (false, false) => {
            let none = Problem::new(format!("nothing says what `{}` is made of", text.name)).at(&text.place);
            return Err(none.hint("add `board = …` or `sheet = …` with a name from the yard"));
        }
    };
    let bearers = Bearers::of(text, plan)?;
    Ok(Box::new(Floor {
        host: text.need_text("in")?,
        made,
        bearers,
        height: text.need_length("height")?,
        clear: text.need_length("clear")?,
        stands_out: StandsOut::of(text, plan)?,
        around: Around::of(text, plan)?,
        text: text.clone(),
    }))
}

/// A problem with one key of a floor: what is wrong, and what to do.
fn wrong(text: &PieceText, key: &str, message: String, hint: impl Into<String>) -> Problem {
    Problem::new(message).at(&text.values.place_of(key)).hint(hint)
}

impl Floor {
    /// How high it is from its lower face to its highest edge.
    fn rise(&self) -> Length {
        match &self.made {
            Made::Slats(slats) => slats.board.thickness,
            Made::Panel(panel) => panel.thickness + panel.fall.unwrap_or(Length::ZERO),
        }
    }

    /// What lies below its lower face.
    fn below(&self) -> Length {
        self.bearers.as_ref().map_or(Length::ZERO, |bearers| bearers.board.thickness)
    }

    /// It keeps clear of the posts and ribs that the walls have themselves.
    fn hold_clear(&self, ask: &Ask<'_>, host: &Host) -> Result<(), Problem> {
        let least = self.stands_out.far(host.stand.wall.unwrap_or(Length::ZERO));
        if self.clear >= least {
            return Ok(());
        }
        let shown = ask.tape().show_with_unit(least);
        let meets = format!("the posts or ribs of `{}` stand {shown} into the room of `{}`", self.host, self.text.name);
        Err(wrong(&self.text, "clear", meets, format!("make `clear` at least {shown}")))
    }

    /// Bearers do not reach into the ground.
    fn hold_above_ground(&self, ask: &mut Ask<'_>, low: &Affine) -> Result<(), Problem> {
        let lowest = low.clone() + -self.below();
        let Some(bearers) = &self.bearers else { return Ok(()) };
        if lowest.terms().count() == 0 && lowest.constant() < Length::ZERO {
            let [thick, high] =
                [bearers.board.thickness, low.constant()].map(|length| ask.tape().show_with_unit(length));
            let deep =
                format!("bearers {thick} thick do not go under `{}`, whose lower face lies {high} up", self.text.name);
            return Err(wrong(&self.text, "bearer", deep, "make `height` more, or stand the walls `off-ground`"));
        }
        ask.is_at_least(&format!("the height of {} above the ground", self.text.name), Vec::new(), low, self.below());
        Ok(())
    }
}

impl Piece for Floor {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let host = Host::plumb(ask, &self.text)?;
        let clear = host.inside.moved_out(&vec![-self.clear; host.inside.outline.count()]).outline;
        if !clear.is_rectangle() {
            only_in_rectangles(&self.text, "fall", "a panel that leans back is cut to another outline than its room")?;
            only_in_rectangles(&self.text, "bearer", "battens along the inner faces carry such a floor")?;
            let play = self.text.need_length("play")?;
            if self.clear + play > Length::ZERO {
                // Else the walls themselves hold it.
                hold_sides(ask, &self.text, &clear, play);
            }
        }
        self.hold_clear(ask, &host)?;
        let room = Room::of(&clear);
        match &self.made {
            Made::Slats(slats) => slats.ask(ask, &self.text, &room),
            Made::Panel(panel) => {
                let play = self.text.need_length("play")?;
                panel.ask(ask, &self.text, &Room::of(&clear.moved_out(&vec![-play; clear.count()])));
            }
        }
        let runs_along = matches!(&self.made, Made::Slats(slats) if slats.across);
        if let (Some(bearers), Some(room)) = (&self.bearers, room.rectangle()) {
            bearers.ask(ask, &self.text, &room, runs_along);
        }
        let low = host.stand.bottom.clone() + self.height;
        self.hold_above_ground(ask, &low)?;
        let top = low.clone() + self.rise();
        let what = format!("the room over {}, up to the top of {},", self.text.name, self.host);
        ask.is_there(&what, Vec::new(), &(host.stand.top.clone() - top.clone()));
        let takes = Within {
            clear: self.clear,
            deep: None,
            bottom: low.clone() + -self.below(),
            top: top.clone(),
            loose: false,
        };
        ask.stands_in(&self.host, &self.text.name, takes, &self.text.values.place_of("in"))?;
        Ok(Stand { bottom: low, top, has_faces: false, wall: None, ..host.inside })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        out.with.push(With { piece: self.text.name.clone(), to: self.host.clone(), going: Going::Laid });
        let own = fitted.stand(&self.text.name)?;
        let place = Place::of(own.moved_out(&vec![-self.clear; own.outline.count()]), fitted)?;
        if let (Some(bearers), Room::Square { size, .. }) = (&self.bearers, &place.room) {
            let runs_along = matches!(&self.made, Made::Slats(slats) if slats.across);
            let parts = bearers.lay(&self.text, (size, &place), runs_along, out)?;
            let what = format!("Lay {} level", the("bearer", &self.text.name));
            self.put(parts, self.places().map(|place| format!("{what} {place}")), out);
        }
        let (parts, words, notes) = match &self.made {
            Made::Slats(slats) => {
                let parts = slats.lay(&self.text, &place, out)?;
                let notes = slats.notes(&self.text, &parts, &place);
                (parts, slats.step(&self.text, &place.room), notes)
            }
            Made::Panel(panel) => {
                let (parts, words) = panel.lay(&self.text, &place, out)?;
                let panels = if parts.len() == 1 { "panel" } else { "panels" };
                let what = format!("{}lay the {panels} of {}", words.first, self.text.name);
                (parts, [what, String::new()], words.notes)
            }
        };
        let [what, by] = words;
        let [there, to_come] = self.places();
        // Round what is laid first nothing stands yet that squares it.
        let early = format!("{what} {to_come}{by}, squared by both diagonals");
        self.put(parts, [format!("{what} {there}{by}"), early], out);
        let gap = self.around.gap_note(&self.text.name, &self.host);
        out.notes.extend(notes.into_iter().chain(gap).map(|text| self.note(text)));
        Ok(())
    }

    fn after(&self, _fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        out.notes.extend(self.carried_note(out));
        Ok(())
    }
}

/// The room of a floor in place.
struct Place<'a> {
    room: Room<Length>,
    /// Where it begins: its least x and y.
    corner: [Length; 2],
    /// The height of the floor's lower face.
    low: Length,
    /// The room as a stand.
    clear: Stand,
    fitted: &'a Fitted<'a>,
}

impl<'a> Place<'a> {
    fn of(clear: Stand, fitted: &'a Fitted<'a>) -> Result<Place<'a>, Problem> {
        let ground = Ground::of(&clear, fitted)?;
        let least = |axis: usize| ground.corners().iter().map(|corner| corner[axis]).min().unwrap_or_default();
        Ok(Place {
            room: Room::of(&clear.outline).at(fitted.sizes()),
            corner: [0, 1].map(least),
            low: clear.bottom.at(fitted.sizes()),
            clear,
            fitted,
        })
    }
}

/// What a panel comes to in words.
struct Words {
    /// What to do before it is laid, to stand before that.
    first: String,
    /// What to know.
    notes: Vec<String>,
}

impl Words {
    fn without_holes(text: &PieceText) -> Words {
        let note = format!(
            "The panel of {} has no drain holes, so that water stands on it: add `drain-hole` and `drain-spacing`.",
            text.name
        );
        Words { first: "Cut and ".into(), notes: vec![note] }
    }
}

impl Floor {
    fn note(&self, text: String) -> Note {
        Note { piece: self.text.name.clone(), text }
    }

    /// Where its parts go, in words, and where while the walls do not stand yet.
    fn places(&self) -> [String; 2] {
        [format!("in {}", self.host), format!("where {} is to stand", self.host)]
    }

    /// Puts parts into the build, all in one step: what to do, and what while the walls do not stand yet.
    fn put(&self, parts: Vec<Part>, [what, early]: [String; 2], out: &mut Build) {
        out.early.push(Early { step: out.steps.len(), to: self.host.clone(), what: early });
        let keys = parts.iter().map(|part| part.key.clone()).collect();
        out.parts.extend(parts);
        out.steps.push(Step { piece: self.text.name.clone(), what, caution: None, parts: keys });
    }
}

/// The key of a part of a floor: all of them count as lying at the front.
fn key(text: &PieceText, role: &str, index: usize) -> PartKey {
    // Parts are counted by fit or as bays, both below a u32.
    PartKey { piece: text.name.clone(), role: role.into(), face: "front".into(), course: 0, index: index as u32 }
}
