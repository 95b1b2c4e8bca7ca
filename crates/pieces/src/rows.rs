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
    /// All rows end on the plane that halves the corner.
    Mitred,
    /// As a pinwheel, and every second course the other way round.
    Turned,
    /// A post in each corner, at which both rows stop.
    OnPosts,
}

/// The words of the plan for claddings.
pub const BOARD_CORNERS: &[(&str, &str)] = &[
    ("front through", "the faces that lie like the front run through, the others fit between"),
    ("sides through", "the faces that lie like the sides run through, the others fit between"),
    ("pinwheel", "each face runs past the next one and butts the one before"),
    ("any", "whichever of these three comes out nearest to the wishes"),
    ("mitred", "the ends of level boards meet at half the angle"),
    ("open", "upright boards stop at the corner and leave it open"),
];

/// The words of the plan for walls.
pub const WALL_CORNERS: &[(&str, &str)] = &[
    ("front through", "the faces that lie like the front run through, the others fit between"),
    ("sides through", "the faces that lie like the sides run through, the others fit between"),
    ("pinwheel", "each face runs past the next one and butts the one before"),
    ("any", "whichever of these three comes out nearest to the wishes"),
    ("pinwheel, turned", "as a pinwheel, every second course the other way round"),
    ("mitred", "the ends meet at half the angle"),
    ("on posts", "a post in each corner, at which the walls end"),
];

/// The words of the plan for caps.
pub const CAP_CORNERS: &[(&str, &str)] = &[
    ("mitred", "the ends meet at half the angle"),
    ("front through", "the boards that lie like the front run through, the others fit between"),
    ("sides through", "the boards that lie like the sides run through, the others fit between"),
    ("pinwheel", "each board runs past the next one and butts the one before"),
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
            Corners::Mitred => "mitred",
            Corners::Turned => "pinwheel, turned",
            Corners::OnPosts => "on posts",
        }
    }

    /// The corners of a word of the plan; `None` for `any`.
    pub fn from_word(word: &str) -> Option<Corners> {
        const ALL: [Corners; 8] = [
            Corners::Pinwheel,
            Corners::FrontThrough,
            Corners::SidesThrough,
            Corners::Open,
            Corners::Square,
            Corners::Mitred,
            Corners::Turned,
            Corners::OnPosts,
        ];
        ALL.into_iter().find(|corners| corners.word() == word)
    }

    /// Those that a word stands for: itself, or for `any` all of `words` that stand before it, or all of them if it stands last.
    pub fn of_word(word: &str, words: &[(&str, &str)]) -> Vec<Corners> {
        match Corners::from_word(word) {
            Some(corners) => vec![corners],
            None => words.iter().map_while(|(word, _)| Corners::from_word(word)).collect(),
        }
    }

    /// As it is in a course, counted from below: a turned pinwheel is mirrored in every second one.
    pub fn in_course(self, course: usize) -> Course {
        Course { corners: self, mirrored: self == Corners::Turned && course % 2 == 1 }
    }
}

/// Corners as they are in one course.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Course {
    corners: Corners,
    mirrored: bool,
}

impl From<Corners> for Course {
    fn from(corners: Corners) -> Course {
        Course { corners, mirrored: false }
    }
}

impl Course {
    /// Who has the corner at an end of a side, as the row of that side sees it. `lies_along_front` tells which way it lies.
    fn owner(self, lies_along_front: bool, end: End) -> Owner {
        match (self.corners, end) {
            (Corners::Pinwheel | Corners::Turned, End::Start) if self.mirrored => Owner::Own,
            (Corners::Pinwheel | Corners::Turned, End::Finish) if self.mirrored => Owner::Neighbour,
            (Corners::Pinwheel | Corners::Turned, End::Start) => Owner::Neighbour,
            (Corners::Pinwheel | Corners::Turned, End::Finish) => Owner::Own,
            (Corners::FrontThrough, _) if lies_along_front => Owner::Own,
            (Corners::SidesThrough, _) if !lies_along_front => Owner::Own,
            (Corners::FrontThrough | Corners::SidesThrough, _) => Owner::Neighbour,
            (Corners::Open, _) => Owner::Open,
            (Corners::Mitred, _) => Owner::Mitre,
            (Corners::Square | Corners::OnPosts, _) => Owner::Unit,
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
    /// How far it reaches beyond the corner at the start of the side and at its end, to the long point of a mitre; negative
    /// where it stops short.
    pub reach: [Length; 2],
    /// For each end that is mitred: how far it reaches at the inner and at the outer line of its strip.
    pub mitre: [Option<[Length; 2]>; 2],
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
/// At a corner that is not a right angle, for corners that are neither mitred nor open: a square end does not fill such a corner.
pub fn row_line(
    outline: &Outline,
    own: Layer,
    layers: &[Option<Layer>],
    corners: impl Into<Course>,
    side: usize,
    place: &Place,
) -> Result<RowLine, Problem> {
    let corners = corners.into();
    let face = outline.sides()[side].length.clone();
    let mut line = RowLine { side, reach: [Length::ZERO; 2], mitre: [None; 2], joints: [false; 2], face };
    let lies_along_front = side.is_multiple_of(2);
    for (slot, end) in [End::Start, End::Finish].into_iter().enumerate() {
        let (neighbour, corner) = match end {
            End::Start => (outline.before(side), outline.before(side)),
            End::Finish => (outline.after(side), side),
        };
        let turn = outline.turn_after(corner);
        let owner = corners.owner(lies_along_front, end);
        if turn.angle().quarters().is_none() && !matches!(owner, Owner::Mitre | Owner::Open) {
            return Err(not_square(corners.corners, place));
        }
        let ends = row_end(turn, layers[neighbour], owner).map_err(|_| not_square(corners.corners, place))?;
        let at = [own.near(), own.far()].map(|line| ends.reach(turn, own, line).fixed);
        let mitred = matches!(ends, RowEnd::Bisector { .. });
        line.reach[slot] = if mitred { at[0].max(at[1]) } else { at[0] };
        line.mitre[slot] = mitred.then_some(at);
        line.joints[slot] = matches!(ends, RowEnd::Line { joint: true, .. });
        line.face = line.face + line.reach[slot];
    }
    Ok(line)
}

fn not_square(corners: Corners, place: &Place) -> Problem {
    Problem::new(format!("corners that are not right angles cannot be `{}`", corners.word()))
        .at(place)
        .hint("walls, caps and level boards are `mitred` there, upright boards and rings `open`")
}
