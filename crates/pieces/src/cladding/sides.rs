//! Which sides are clad, and what can be.

use crate::ask::Stand;
use measure::Length;
use model::outline::Outline;
use model::plan::PieceText;
use model::problem::Problem;

/// Which sides of what is clad a cladding lies on.
///
/// # Errors
/// If it names a face that there is not.
pub(super) fn clad(text: &PieceText, outline: &Outline) -> Result<Vec<bool>, Problem> {
    let Some(names) = text.values.names("faces") else { return Ok(vec![true; outline.count()]) };
    let on = text.need_text("on")?;
    let mut clad = vec![false; outline.count()];
    for name in names {
        let side = outline.find(&name).ok_or_else(|| {
            let has: Vec<String> = outline.sides().iter().map(|side| format!("`{}`", side.name)).collect();
            let unknown = Problem::new(format!("`{on}` has no face called `{name}`"));
            unknown.at(&text.values.place_of("faces")).hint(format!("it has {}", has.join(", ")))
        })?;
        clad[side] = true;
    }
    Ok(clad)
}

/// Refuses what nothing can be fixed to.
///
/// # Errors
/// If what is clad has no faces, or its faces lean.
pub(super) fn can_be_clad(text: &PieceText, on: &Stand) -> Result<(), Problem> {
    let (name, place) = (text.need_text("on")?, text.values.place_of("on"));
    if !on.has_faces {
        let none = Problem::new(format!("`{name}` has no plain faces that boards could be fixed to"));
        return Err(none.at(&place).hint("clad walls, or a cladding whose boards do not lap"));
    }
    if on.batter != Length::ZERO {
        let leaning = Problem::new(format!("the walls of `{name}` lean, and boards on them would not close"));
        return Err(leaning.at(&place).hint("clad plumb walls"));
    }
    Ok(())
}

/// Refuses keys that say nothing of these boards; `KEY` in the sentence is the key.
///
/// # Errors
/// If one of them stands there.
pub(super) fn without(text: &PieceText, keys: &[&str], why: &str, instead: &str) -> Result<(), Problem> {
    let Some(key) = keys.iter().find(|key| text.values.has(key)) else { return Ok(()) };
    let idle = Problem::new(why.replace("KEY", key)).at(&text.values.place_of(key));
    Err(idle.hint(format!("leave `{key}` out, or take `{instead}`")))
}
