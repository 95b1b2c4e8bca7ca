//! Shaped tops of upright boards: sloped, pointed with or without a flat, rounded.
//!
//! The top takes `rise` off the height at the edges of a board. A rounded one is cut along an arc; its solid is the board cut by
//! planes that touch the arc, so that it is never smaller than the board itself.

pub(crate) mod marks;

use crate::place::{Ground, trim};
use measure::{Length, Tape};
use model::part::Part;
use model::plan::PieceText;
use model::problem::Problem;
use model::schema::{Default, Field, Kind};

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
}

/// A plane that trims a top, in millimetres: its normal along the board's width and up, and a point on it, along from the first
/// edge and down from the highest place.
struct Cut {
    normal: [f64; 2],
    through: [f64; 2],
}
