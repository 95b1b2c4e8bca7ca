//! Shaped tops of upright boards: sloped, pointed with or without a flat, rounded.
//!
//! The top takes `rise` off the height at the edges of a board. A rounded one is cut along an arc; its solid is the board cut by
//! planes that touch the arc, so that it is never smaller than the board itself.

use crate::place::{Ground, trim};
use measure::{Angle, Length, Tape};
use model::build::Build;
use model::part::Part;
use model::plan::PieceText;
use model::problem::Problem;
use model::schema::{Default, Field, Kind};
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};
use std::f64::consts::PI;

/// The keys of a shaped top, for the schemas of pieces with upright boards.
pub(crate) const TOP: Field = Field {
    key: "top",
    doc: "How the upper ends of upright boards are shaped; square if left out.",
    kind: Kind::Word(&[
        ("sloped", "they fall from one edge to the other, to the left as one stands before them"),
        ("pointed", "they fall from the middle to both edges"),
        ("rounded", "an arc from edge to edge"),
    ]),
    default: Default::Absent,
};
/// See [`TOP`].
pub(crate) const RISE: Field = Field {
    key: "rise",
    doc: "For a shaped top: how much lower its edges are than its highest place; of a rounded one at most half the board's width.",
    kind: Kind::Length { least: 1, most: 1_000 },
    default: Default::Absent,
};
/// See [`TOP`].
pub(crate) const FLAT: Field = Field {
    key: "flat",
    doc: "For a pointed top: how wide it stays level in the middle.",
    kind: Kind::Length { least: 0, most: 1_000 },
    default: Default::Absent,
};

/// How far from the foot the mark at an edge is.
pub static SHOULDER: Rule = Rule {
    id: "shoulder",
    words: "The top begins at its edges so much below the full length",
    formula: "shoulder = length - rise",
    inputs: &["length", "rise"],
    source: "the plan",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [length, rise] => Some(length - rise),
        _ => None,
    },
    case: Case { given: &[440_000_000, 25_000_000], gives: 415_000_000, source: "440 less 25" },
};

/// How far from its edge the flat of a pointed top begins.
pub static RUN: Rule = Rule {
    id: "top-run",
    words: "A pointed top falls alike to both sides of its flat",
    formula: "run = (board - flat) / 2",
    inputs: &["board", "flat"],
    source: "halving what the flat leaves",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [board, flat] => Some((board - flat).div_euclid(2)),
        _ => None,
    },
    case: Case { given: &[95_000_000, 15_000_000], gives: 40_000_000, source: "95 less a flat of 15: 40 each side" },
};

/// The saw's angle for a straight cut of a top.
pub static CUT: Rule = Rule {
    id: "top-cut",
    words: "The saw is turned from square by the angle whose tangent is the rise over the run",
    formula: "cut = atan(rise / run)",
    inputs: &["rise", "run"],
    source: "right-angled triangle",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [rise, run] if *run > 0 => {
            let degrees = libm::atan(*rise as f64 / *run as f64) * (180.0 / PI);
            Some(Angle::degrees(degrees).ok()?.millionths().into())
        }
        _ => None,
    },
    case: Case { given: &[40_000_000, 40_000_000], gives: 45_000_000, source: "as far up as across: 45°" },
};

/// The radius of a rounded top.
pub static RADIUS: Rule = Rule {
    id: "top-radius",
    words: "The arc goes through both edges and the middle of the top",
    formula: "radius = (board² / 4 + rise²) / (2 rise)",
    inputs: &["board", "rise"],
    source: "intersecting chords: (board / 2)² = rise (2 radius - rise), Euclid, Elements III 35",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [board, rise] if *rise > 0 => Some((board * board + 4 * rise * rise + 4 * rise).div_euclid(8 * rise)),
        _ => None,
    },
    case: Case {
        given: &[100_000_000, 50_000_000],
        gives: 50_000_000,
        source: "as high as half its width: a half circle of that radius",
    },
};

/// What a straight-cut top takes off a board on average.
pub static LOST: Rule = Rule {
    id: "top-lost",
    words: "A top of straight cuts takes off its triangles, shared over the width of the board",
    formula: "lost = rise (board - flat) / (2 board)",
    inputs: &["rise", "board", "flat"],
    source: "area of a triangle",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [rise, board, flat] if *board > 0 => Some((rise * (board - flat)).div_euclid(2 * board)),
        _ => None,
    },
    case: Case {
        given: &[25_000_000, 100_000_000, 20_000_000],
        gives: 10_000_000,
        source: "two triangles 40 by 25 off a board of 100: 1000 mm², 10 over 100, worked by hand",
    },
};

/// What a rounded top takes off a board on average.
pub static LOST_ROUND: Rule = Rule {
    id: "top-lost-round",
    words: "A rounded top takes off what the segment of its circle leaves of the rise, shared over the width of the board",
    formula: "lost = rise - (radius² asin(board / (2 radius)) - board (radius - rise) / 2) / board",
    inputs: &["rise", "board"],
    source: "area of a circular segment",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [rise, board] if *rise > 0 && *board > 0 && 2 * rise <= *board => {
            let (rise, board) = (*rise as f64, *board as f64);
            let radius = (board * board / 4.0 + rise * rise) / (2.0 * rise);
            let sector = radius * radius * libm::asin((board / (2.0 * radius)).min(1.0));
            Some(libm::round(rise - (sector - board * (radius - rise) / 2.0) / board) as i128)
        }
        _ => None,
    },
    case: Case {
        given: &[50_000_000, 100_000_000],
        gives: 10_730_092,
        source: "a half circle on 100: 50 - π 50² / 2 / 100 = 10.73",
    },
};

/// The planes of a rounded top: few enough to be drawn, many enough that no corner stands more than a fortieth of the radius
/// off the arc.
const PLANES: usize = 8;

/// How the upper ends of boards are shaped.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Shaped {
    shape: Shape,
    rise: Length,
}

#[derive(Clone, Copy, Debug)]
enum Shape {
    Sloped,
    Pointed { flat: Length },
    Rounded,
}

impl Shaped {
    /// The top that a plan asks of boards of these widths, if it does.
    ///
    /// # Errors
    /// If a key is missing, or stands there without a use, or the top is wider or higher than the boards allow.
    pub(crate) fn of(text: &PieceText, widths: &[Length], tape: Tape) -> Result<Option<Shaped>, Problem> {
        let refused =
            |key: &str, why: String, hint: &str| Err(Problem::new(why).at(&text.values.place_of(key)).hint(hint));
        let word = text.values.word("top");
        if word != Some("pointed") && text.values.has("flat") {
            return refused("flat", "only a pointed top has a `flat`".into(), "leave `flat` out");
        }
        let Some(word) = word else {
            return match text.values.has("rise") {
                true => refused("rise", "a square top has no `rise`".into(), "add `top = …`, or leave `rise` out"),
                false => Ok(None),
            };
        };
        let rise = text.need_length("rise")?;
        let flat = text.values.length("flat").unwrap_or(Length::ZERO);
        let narrowest = widths.iter().copied().fold(Length::READ_LIMIT, Length::min);
        let [high, wide, board] = [rise, flat, narrowest].map(|length| tape.show_with_unit(length));
        if flat >= narrowest {
            return refused(
                "flat",
                format!("a flat of {wide} leaves nothing of a board {board} wide to fall"),
                "make `flat` less",
            );
        }
        if word == "rounded" && rise * 2 > narrowest {
            let steep =
                format!("a rise of {high} is more than half of a board {board} wide, so no arc goes through it");
            return refused("rise", steep, "make `rise` at most half the width");
        }
        let shape = match word {
            "sloped" => Shape::Sloped,
            "pointed" => Shape::Pointed { flat },
            _ => Shape::Rounded,
        };
        Ok(Some(Shaped { shape, rise }))
    }

    /// How much lower the edges of a board are than its highest place.
    pub(crate) fn rise(self) -> Length {
        self.rise
    }

    /// Shapes the upper end of an upright part that reaches along its side from one place to another and up to `top`.
    pub(crate) fn shape(self, part: &mut Part, ground: &Ground, side: usize, along: [Length; 2], top: Length) {
        let [cos, sin] = ground.direction(side);
        let [x, y] = ground.corner(side).map(Length::as_mm);
        for plane in self.planes((along[1] - along[0]).as_mm()) {
            let at = along[0].as_mm() + plane.through[0];
            let normal = [plane.normal[0] * cos, plane.normal[0] * sin, plane.normal[1]];
            trim(part, 1, normal, [x + at * cos, y + at * sin, top.as_mm() - plane.through[1]]);
        }
    }

    /// The cuts of a board of a width, in millimetres: along it from its first edge, and down from its highest place.
    fn planes(self, width: f64) -> Vec<Cut> {
        let rise = self.rise.as_mm();
        let falling = |run: f64, from: f64, sense: f64| {
            let long = libm::sqrt(rise * rise + run * run);
            Cut { normal: [sense * rise / long, run / long], through: [from, rise] }
        };
        match self.shape {
            Shape::Sloped => vec![falling(width, 0.0, -1.0)],
            Shape::Pointed { flat } => {
                let run = (width - flat.as_mm()) / 2.0;
                vec![falling(run, 0.0, -1.0), falling(run, width, 1.0)]
            }
            Shape::Rounded => {
                let radius = (width * width / 4.0 + rise * rise) / (2.0 * rise);
                let half = libm::asin((width / (2.0 * radius)).min(1.0));
                let touching = |place: usize| {
                    let angle = half * (2.0 * place as f64 / (PLANES - 1) as f64 - 1.0);
                    let (sin, cos) = (libm::sin(angle), libm::cos(angle));
                    Cut { normal: [sin, cos], through: [width / 2.0 + radius * sin, radius * (1.0 - cos)] }
                };
                (0..PLANES).map(touching).collect()
            }
        }
    }

    /// Puts the marks of the tops into the build, for boards of these widths and this length: as `PIECE.top.…` for one width, as
    /// `PIECE.top-1.…` and so on for several.
    pub(crate) fn explain(self, text: &PieceText, widths: &[Length], length: Length, out: &mut Build) {
        let rise = Input::new("rise", Value::length(self.rise));
        let inputs = vec![Input::new(text.called("length"), Value::length(length)), rise];
        let name = text.called("top.shoulder");
        out.quantities.extend(Quantity::by(name, "mark at a low edge, from the foot", Of::Length, &SHOULDER, inputs));
        let mut kinds: Vec<Length> = Vec::new();
        widths.iter().for_each(|width| {
            if !kinds.contains(width) {
                kinds.push(*width)
            }
        });
        for (place, &width) in kinds.iter().enumerate() {
            let prefix = if kinds.len() == 1 { "top".to_owned() } else { format!("top-{}", place + 1) };
            self.explain_width(&text.called(&prefix), width, out);
        }
    }

    fn explain_width(self, name: &str, width: Length, out: &mut Build) {
        let rise = Input::new("rise", Value::length(self.rise));
        let board = Input::new("board", Value::length(width));
        let mut add = |what: &str, words: &str, of: Of, rule: &'static Rule, inputs: Vec<Input>| {
            let quantity = Quantity::by(format!("{name}.{what}"), words, of, rule, inputs);
            let value = quantity.as_ref().map(|quantity| quantity.value);
            out.quantities.extend(quantity);
            value
        };
        let flat = match self.shape {
            Shape::Rounded => {
                let inputs = vec![board.clone(), rise.clone()];
                add("radius", "radius of the arc, its centre on the middle of the board", Of::Length, &RADIUS, inputs);
                add("lost", "what the top takes off on average", Of::Length, &LOST_ROUND, vec![rise, board]);
                return;
            }
            Shape::Sloped => Length::ZERO,
            Shape::Pointed { flat } => flat,
        };
        let flat = Input::new("flat", Value::length(flat));
        let run = match self.shape {
            Shape::Pointed { .. } => {
                let run = add(
                    "run",
                    "from an edge to the flat or the point",
                    Of::Length,
                    &RUN,
                    vec![board.clone(), flat.clone()],
                );
                run.map(|run| Input::new(format!("{name}.run"), run))
            }
            _ => Some(board.clone()),
        };
        if let Some(run) = run {
            add("cut", "saw turned from square", Of::Angle, &CUT, vec![rise.clone(), run]);
        }
        add("lost", "what the top takes off on average", Of::Length, &LOST, vec![rise, board, flat]);
    }
}

/// A plane that trims a top, in millimetres: its normal along the board's width and up, and a point on it, along from the first
/// edge and down from the highest place.
struct Cut {
    normal: [f64; 2],
    through: [f64; 2],
}
