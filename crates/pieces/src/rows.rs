//! Rows along the sides of an outline: who has each corner, and what a row fills, by the corner law of `model::corner`.

use measure::Length;
use model::affine::Affine;
use model::corner::{Layer, Owner, RowEnd, row_end};
use model::outline::Outline;
use model::problem::{Place, Problem};

/// Who has the corners all round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Corners {
    /// Every row runs past one neighbour and stops at the other.
    Pinwheel,
    /// The rows along the front, and all that lie the same way, run through at both ends.
    FrontThrough,
    /// The rows along the sides, and all that lie the same way, run through at both ends.
    SidesThrough,
    /// Nobody: all rows stop at the opening and the corner stays open.
    Open,
    /// A square unit in each corner; the rows stop a joint before it.
    Square,
}

/// The words of the plan for walls and claddings.
pub const BOARD_CORNERS: &[(&str, &str)] = &[
    ("front through", "the faces that lie like the front run through, the others fit between"),
    ("sides through", "the faces that lie like the sides run through, the others fit between"),
    ("pinwheel", "each face runs past the next one and butts the one before"),
    ("any", "whichever comes out nearest to the wishes"),
];

/// The words of the plan for rings of units.
pub const UNIT_CORNERS: &[(&str, &str)] = &[
    ("pinwheel", "each row covers one corner"),
    ("front through", "the rows that lie like the front cover both corners"),
    ("sides through", "the rows that lie like the sides cover both corners"),
    ("square", "a square unit in each corner"),
    ("open", "the rows stop at the opening, the corners stay open"),
    ("any", "whichever comes out nearest to the wishes"),
];

impl Corners {
    /// The word of the plan.
    pub fn word(self) -> &'static str {
        match self {
            Corners::Pinwheel => "pinwheel",
            Corners::FrontThrough => "front through",
            Corners::SidesThrough => "sides through",
            Corners::Open => "open",
            Corners::Square => "square",
        }
    }

    /// The corners of a word of the plan; `None` for `any`.
    pub fn from_word(word: &str) -> Option<Corners> {
        [Corners::Pinwheel, Corners::FrontThrough, Corners::SidesThrough, Corners::Open, Corners::Square]
            .into_iter()
            .find(|corners| corners.word() == word)
    }

    /// Those that a word stands for: itself, or for `any` all of `words` in their order.
    pub fn of_word(word: &str, words: &[(&str, &str)]) -> Vec<Corners> {
        match Corners::from_word(word) {
            Some(corners) => vec![corners],
            None => words.iter().filter_map(|(word, _)| Corners::from_word(word)).collect(),
        }
    }

    /// Who has the corner at an end of a side, as the row of that side sees it. `lies_along_front` tells which way it lies.
    fn owner(self, lies_along_front: bool, end: End) -> Owner {
        match (self, end) {
            (Corners::Pinwheel, End::Start) => Owner::Neighbour,
            (Corners::Pinwheel, End::Finish) => Owner::Own,
            (Corners::FrontThrough, _) if lies_along_front => Owner::Own,
            (Corners::SidesThrough, _) if !lies_along_front => Owner::Own,
            (Corners::FrontThrough | Corners::SidesThrough, _) => Owner::Neighbour,
            (Corners::Open, _) => Owner::Open,
            (Corners::Square, _) => Owner::Unit,
        }
    }
}

/// The two ends of a side, walking counter-clockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    Start,
    Finish,
}

/// The row of a layer along one side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowLine {
    /// Which side.
    pub side: usize,
    /// How far it reaches beyond the corner at the start of the side and at its end; negative where it stops short.
    pub reach: [Length; 2],
    /// Whether a joint comes at its start and at its end.
    pub joints: [bool; 2],
    /// What it fills: the side and both reaches, joints included.
    pub face: Affine,
}

impl RowLine {
    /// How many of its ends have a joint.
    pub fn end_gaps(&self) -> u8 {
        self.joints.iter().map(|&joint| u8::from(joint)).sum()
    }
}

/// The row along a side of a layer that lies on some faces of an outline. `own` is the strip of that side, `layers` those of
/// all sides as their neighbours see them.
///
/// # Errors
/// If a corner of the outline is not a right angle: the sizes of such outlines are not yet decided by fit.
pub fn row_line(
    outline: &Outline,
    own: Layer,
    layers: &[Option<Layer>],
    corners: Corners,
    side: usize,
    place: &Place,
) -> Result<RowLine, Problem> {
    let mut line =
        RowLine { side, reach: [Length::ZERO; 2], joints: [false; 2], face: outline.sides()[side].length.clone() };
    let lies_along_front = side.is_multiple_of(2);
    for (slot, end) in [End::Start, End::Finish].into_iter().enumerate() {
        let (neighbour, corner) = match end {
            End::Start => (outline.before(side), outline.before(side)),
            End::Finish => (outline.after(side), side),
        };
        let turn = outline.turn_after(corner);
        let not_right = || Problem::new("only right-angled corners can be fitted").at(place);
        let ends = row_end(turn, layers[neighbour], corners.owner(lies_along_front, end)).map_err(|_| not_right())?;
        if turn.angle().quarters().is_none() {
            return Err(not_right());
        }
        let reach = ends.reach(turn, own, own.near()).fixed;
        line.reach[slot] = reach;
        line.joints[slot] = matches!(ends, RowEnd::Line { joint: true, .. });
        line.face = line.face + reach;
    }
    Ok(line)
}
