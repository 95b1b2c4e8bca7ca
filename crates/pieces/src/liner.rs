//! `liner`: a sheet off a roll that lies in walls like a tray: over the bottom, up the inner faces and over their top.

use crate::Piece;
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::named::stock_needed;
use crate::reach::Reach;
use crate::within::{Host, floor_behind};
use measure::{Length, Tape};
use model::affine::Affine;
use model::build::{Build, Going, Need, Needed, Note, Step, With};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind};
use model::stock::StockRef;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// The keys of `liner`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "liner",
    doc: "A liner in walls of any outline: one sheet over the bottom, up all inner faces and turned over the top.",
    fields: &[
        Field { key: "in", doc: "The walls that are lined.", kind: Kind::Piece, default: Default::Required },
        Field {
            key: "on",
            doc: "The floor that it lies on; the lower edge of the walls if left out.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "roll",
            doc: "The roll that it is cut from.",
            kind: Kind::Stock(StockKind::Roll),
            default: Default::Required,
        },
        Field {
            key: "fold",
            doc: "What is turned over the top of the walls (*common practice*).",
            kind: Kind::Length { least: 0, most: 1_000 },
            default: Default::Text("100 mm"),
        },
    ],
};

/// What two strips of liner lie over one another (*common practice*).
const LAP: Length = Length::mm(150);

/// A liner as the plan states it.
struct Liner {
    text: PieceText,
    host: String,
    on: Option<String>,
    roll: StockRef,
    width: Length,
    fold: Length,
    tape: Tape,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let roll = stock_needed(text, plan, StockKind::Roll, "roll")?;
    let width = plan.yard.rolls[roll.place].width;
    if width < LAP * 2 {
        let [width, least] = [width, LAP * 2].map(|length| plan.tape.show_with_unit(length));
        let narrow = Problem::new(format!("a roll {width} wide is little more than the laps of its strips"));
        return Err(narrow.at(&text.values.place_of("roll")).hint(format!("take a roll at least {least} wide")));
    }
    floor_behind(text, plan, "on")?;
    let falls = |name: &String| {
        let floor = plan.pieces.iter().find(|piece| piece.name == *name);
        floor.and_then(|floor| floor.values.length("fall")).is_some_and(|fall| fall > Length::ZERO)
    };
    if let Some(on) = text.values.text("on").filter(falls) {
        let deeper = Problem::new(format!("`{on}` falls, so a liner on it is not equally deep all round"));
        return Err(deeper
            .at(&text.values.place_of("on"))
            .hint("leave `on` out: the liner is then reckoned from the lower edge of the walls, which is enough"));
    }
    Ok(Box::new(Liner {
        host: text.need_text("in")?,
        on: text.values.text("on"),
        roll,
        width,
        fold: text.need_length("fold")?,
        tape: plan.tape,
        text: text.clone(),
    }))
}

impl Liner {
    fn low(&self, ask: &Ask<'_>, host: &Host) -> Result<Affine, Problem> {
        match &self.on {
            Some(_) => Ok(host.holds(ask, &self.text, "on")?.top),
            None => Ok(host.stand.bottom.clone()),
        }
    }
}

impl Piece for Liner {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let host = Host::plumb(ask, &self.text)?;
        ask.line(&self.host, &self.text.name, &self.text.values.place_of("in"))?;
        let low = self.low(ask, &host)?;
        let top = host.stand.top.clone();
        ask.is_there(&format!("the height of {}", self.text.name), Vec::new(), &(top.clone() - low.clone()));
        Ok(Stand { bottom: low, top, has_faces: false, wall: None, ..host.inside })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let own = fitted.stand(&self.text.name)?;
        let sizes = fitted.sizes();
        let height = own.top.at(sizes) - own.bottom.at(sizes);
        let too_large = || Problem::new(format!("the sheet of `{}` is too large", self.text.name));
        let inside = self.inside(own, sizes, out).ok_or_else(too_large)?;
        let sheet = |name: &str, what: &str, inside: Length| {
            let inputs = vec![
                Input::new(what, Value::length(inside)),
                Input::new("height", Value::length(height)),
                Input::new("turned over the top", Value::length(self.fold)),
            ];
            let words = format!("{name} of the sheet");
            Quantity::by(self.text.called(name), words, Of::Length, &LINER, inputs).ok_or_else(too_large)
        };
        let [along, back] = inside;
        let length = sheet("length", &along.0, along.1)?;
        let width = sheet("width", &back.0, back.1)?;
        let inputs = vec![
            Input::new(length.name.clone(), length.value),
            Input::new(width.name.clone(), width.value),
            Input::new("width of the roll", Value::length(self.width)),
            Input::new("lap of two strips", Value::length(LAP)),
        ];
        let name = self.text.called("off-roll");
        let off = Quantity::by(name, "to cut off the roll", Of::Length, &OFF_ROLL, inputs).ok_or_else(too_large)?;
        let off_roll = i64::try_from(off.value.value).map(Length::nm).map_err(|_| too_large())?;
        let [long, wide] = [&length, &width].map(|side| side.value.value);
        out.needs.push(Need {
            piece: self.text.name.clone(),
            what: format!("liner of {}", self.host),
            of: Needed::LaidOut { roll: self.roll, length: off_roll },
        });
        out.with.push(With { piece: self.text.name.clone(), to: self.host.clone(), going: Going::Lines });
        out.steps.push(self.step(long, wide));
        out.notes.push(self.note());
        out.notes.extend(self.strips(long.min(wide)));
        out.quantities.extend([length, width, off]);
        Ok(())
    }
}

impl Liner {
    /// How far the inside reaches along the front and from front to back, each with what it is called.
    fn inside(&self, own: &Stand, sizes: &[Length], out: &mut Build) -> Option<[(String, Length); 2]> {
        let sides = own.outline.sides();
        if own.outline.is_right_angled() {
            // The first side of a rectangle and of an L is its whole length, and the last its whole width.
            let [along, back] = [sides.first()?, sides.last()?].map(|side| side.length.at(sizes));
            return Some([("length inside".into(), along), ("width inside".into(), back)]);
        }
        let (side, [along, back]) = (sides.first()?.length.at(sizes), Reach::of(&own.outline));
        let mut told = |reach: Reach, way: &str, what: &str| {
            let name = self.text.called(&format!("inside.{way}"));
            out.quantities.extend(reach.explain(name.clone(), what, side));
            reach.at(side).map(|reach| (name, reach))
        };
        Some([
            told(along, "along", "how far the inside reaches along the front")?,
            told(back, "back", "how far the inside reaches from front to back")?,
        ])
    }

    fn step(&self, long: i128, wide: i128) -> Step {
        // Both are lengths of the plan: they fit. Cut with scissors, a liner is up to a step of the tape larger.
        let step = self.tape.step().nanometres();
        let on_tape = |nm: i128| Length::nm((nm as i64 + step - 1).div_euclid(step) * step);
        let [long, wide] = [long, wide].map(|nm| self.tape.show_with_unit(on_tape(nm)));
        let what = format!(
            "Lay {long} × {wide} of liner into {}, fold its corners, turn it over the top and fix it there",
            self.host
        );
        Step { piece: self.text.name.clone(), what, caution: None, parts: Vec::new() }
    }

    /// What to know where the roll is narrower than the sheet both ways.
    fn strips(&self, shorter: i128) -> Option<Note> {
        let [roll, lap] = [self.width, LAP].map(|length| i128::from(length.nanometres()));
        if shorter <= roll {
            return None;
        }
        let strips = (shorter - lap + roll - lap - 1).div_euclid(roll - lap);
        let text = format!(
            "{} is wider than its roll both ways: lay it in {strips} strips, each {} over the next (common practice), and seal the laps where water is to stay in.",
            self.text.name,
            self.tape.show_with_unit(LAP)
        );
        Some(Note { piece: self.text.name.clone(), text })
    }

    fn note(&self) -> Note {
        let text = format!(
            "Cut {} open over every drain hole or gap, cover those with fabric, and leave about 10 mm of air between it and the wood (common practice).",
            self.text.name
        );
        Note { piece: self.text.name.clone(), text }
    }
}

/// How long or wide the sheet is.
pub(crate) static LINER: Rule = Rule {
    id: "liner",
    words: "A liner covers the bottom, goes up both sides and is turned over at the top",
    formula: "sheet = inside + 2 h + 2 × fold",
    inputs: &["inside", "h", "fold"],
    source: "sheet = inside + 2 h + 2 × 100",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [inside, height, fold] => Some(inside + 2 * height + 2 * fold),
        _ => None,
    },
    case: Case {
        given: &[1_470_000_000, 400_000_000, 100_000_000],
        gives: 2_470_000_000,
        source: "a trough 1470 long inside and 400 high: 1470 + 800 + 200, by hand",
    },
};

/// How much of a roll a sheet takes.
pub(crate) static OFF_ROLL: Rule = Rule {
    id: "off-roll",
    words: "If the roll is as wide as one side of the sheet, the other side is cut off it, the shorter one if it can be either; otherwise strips along the longer side lap one another",
    formula: "n = ⌈(shorter - lap) / (roll - lap)⌉ strips, each as long as the longer side",
    inputs: &["length", "width", "roll", "lap"],
    source: "strips that lap: n w - (n - 1) lap ≥ a",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [length, width, roll, lap] if roll > lap => {
            let (shorter, longer) = (*length.min(width), *length.max(width));
            Some(if longer <= *roll {
                shorter
            } else if shorter <= *roll {
                longer
            } else {
                longer * (shorter - lap + (roll - lap) - 1).div_euclid(roll - lap)
            })
        }
        _ => None,
    },
    case: Case {
        given: &[3_000_000_000, 2_000_000_000, 1_000_000_000, 150_000_000],
        gives: 9_000_000_000,
        source: "2000 of strips of 1000 that lap by 150: 1000 + 850 + 850 = 2700, so three of 3000, by hand",
    },
};
