//! Which boards a cladding is of, which way they run, and how their rows can meet.

use crate::rows::{BOARD_CORNERS, Corners};
use crate::timber::Timber;
use model::outline::Outline;
use model::plan::{PieceText, Plan};
use model::problem::Problem;

/// Which way the boards run, and in how many layers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Boards {
    /// They stand, side by side.
    Upright,
    /// They lie, one above the other.
    Level,
    /// They stand, and a second layer covers the gaps.
    Covered,
}

impl Boards {
    pub(super) fn of(text: &PieceText) -> Result<Boards, Problem> {
        Ok(match text.need_word("boards")? {
            "level" => Boards::Level,
            "board on board" => Boards::Covered,
            _ => Boards::Upright,
        })
    }

    /// The corners that the plan leaves open and that are possible round an outline.
    pub(super) fn corners(self, text: &PieceText, outline: &Outline) -> Result<Vec<Corners>, Problem> {
        let word = text.values.word("corners");
        if !outline.is_right_angled() && matches!(word, None | Some("any")) {
            return Ok(vec![if self == Boards::Level { Corners::Mitred } else { Corners::Open }]);
        }
        let (wrong, why, hint) = match self {
            Boards::Level => {
                (["open"].as_slice(), "level boards are not left open at the corners", "they can be `mitred`")
            }
            Boards::Upright => (["mitred"].as_slice(), "upright boards are not mitred", "they can stay `open`"),
            Boards::Covered => (
                ["mitred", "pinwheel"].as_slice(),
                "two layers of boards meet at the corners only where both run through or both stop",
                "take `front through`, `sides through` or `open`",
            ),
        };
        if word.is_some_and(|word| wrong.contains(&word)) {
            return Err(Problem::new(why).at(&text.values.place_of("corners")).hint(hint));
        }
        let mut corners = Corners::of_word(word.unwrap_or("front through"), BOARD_CORNERS);
        corners.retain(|corners| !wrong.contains(&corners.word()));
        Ok(corners)
    }
}

/// The boards along a row as they come in turn.
pub(super) fn named(text: &PieceText, plan: &Plan, way: Boards) -> Result<Vec<Timber>, Problem> {
    let refused =
        |key: &str, why: &str, hint: &str| Err(Problem::new(why.to_owned()).at(&text.values.place_of(key)).hint(hint));
    let Some(pattern) = text.values.names("pattern") else {
        if text.values.has("pattern-ends") {
            return refused(
                "pattern-ends",
                "boards that are all alike have no pattern",
                "add `pattern = …`, or leave this out",
            );
        }
        return Ok(vec![Timber::needed(text, plan, "board")?]);
    };
    if text.values.has("board") {
        return refused("board", "a cladding is of one `board` or of a `pattern`, not of both", "keep one of the two");
    }
    if way != Boards::Upright {
        return refused(
            "pattern",
            "only upright boards come in a pattern",
            "add `boards = \"upright\"`, or name one `board`",
        );
    }
    let place = text.values.place_of("pattern");
    let boards = pattern.iter().map(|name| Timber::named(plan, name, &place));
    let boards: Vec<Timber> = boards.collect::<Result<_, _>>()?;
    if boards.len() < 2 {
        return refused("pattern", "a pattern is of two boards or more", "name one `board` in its place");
    }
    if boards.iter().any(|board| board.thickness != boards[0].thickness) {
        return refused(
            "pattern",
            "the boards of a pattern are not all of one thickness",
            "take boards as thick as one another",
        );
    }
    Ok(boards)
}

/// The roles of the outer parts of a piece that can be clad.
pub(super) fn roles(plan: &Plan, name: &str) -> Vec<&'static str> {
    let Some(piece) = plan.pieces.iter().find(|piece| piece.name == name) else { return Vec::new() };
    if piece.values.has("sheet") {
        vec!["panel"]
    } else if piece.values.has("post") {
        vec!["board", "post"]
    } else if piece.values.word("boards") == Some("board on board") {
        vec!["cover"]
    } else {
        vec!["board"]
    }
}
