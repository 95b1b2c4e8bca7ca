//! A spacing at which members cannot come to stand in one another.

use crate::ask::SHORTEST;
use measure::{Length, Tape};
use model::plan::PieceText;
use model::problem::Problem;

/// The spacing behind a key, if it is there, for members that take so much of their row.
///
/// # Errors
/// If they could come to stand less than [`SHORTEST`] apart: a row a little too long for one bay has two of half a spacing.
pub(crate) fn spacing(text: &PieceText, key: &str, member: Length, tape: Tape) -> Result<Option<Length>, Problem> {
    let Some(spacing) = text.values.length(key) else { return Ok(None) };
    let least = (member + SHORTEST) * 2;
    if spacing < least {
        let [spacing, least, room, member] =
            [spacing, least, SHORTEST, member].map(|length| tape.show_with_unit(length));
        let close = format!("members of {member} at most {spacing} apart could stand less than {room} clear");
        return Err(Problem::new(close)
            .at(&text.values.place_of(key))
            .hint(format!("make `{key}` at least {least}: a row a little too long for one bay has two of half that")));
    }
    Ok(Some(spacing))
}
