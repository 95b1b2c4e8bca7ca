//! Pieces that stand abreast: what a seat lies between and a pad lies under.

use crate::ask::{Ask, Stand};
use measure::Length;
use model::affine::Affine;
use model::plan::PieceText;
use model::problem::Problem;

/// Asks that the pieces behind a key stand abreast: rectangles that stand plumb, of one width, their fronts in one line, named from
/// the left to the right.
///
/// # Errors
/// If they cannot stand so, whatever their sizes.
pub(crate) fn abreast(ask: &mut Ask<'_>, text: &PieceText, key: &str) -> Result<Vec<Stand>, Problem> {
    let place = text.values.place_of(key);
    let mut abreast: Vec<(String, Stand)> = Vec::new();
    for name in text.values.names(key).unwrap_or_default() {
        let stand = ask.stand(&name, &place)?;
        if !stand.outline.is_rectangle() || stand.batter != Length::ZERO {
            let bent = Problem::new(format!("`{name}` is no rectangle that stands plumb")).at(&place);
            return Err(bent.hint(format!("name pieces with four right-angled corners and plumb faces as `{key}`")));
        }
        if let (Some(first), Some(before)) = (abreast.first(), abreast.last()) {
            let this = (name.as_str(), &stand);
            in_line(ask, (&first.0, &first.1), this).map_err(|uneven| uneven.at(&place))?;
            follows((&before.0, &before.1), this).map_err(|behind| behind.at(&place))?;
        }
        abreast.push((name, stand));
    }
    Ok(abreast.into_iter().map(|(_, stand)| stand).collect())
}

/// Asks that a piece is as wide as the first one and that its front lies where that of the first lies.
fn in_line(
    ask: &mut Ask<'_>,
    (first, of_first): (&str, &Stand),
    (this, of_this): (&str, &Stand),
) -> Result<(), Problem> {
    for (what, of_first, of_this) in [
        ("the width", width(of_first), width(of_this)),
        ("the place of the front", of_first.origin[1].clone(), of_this.origin[1].clone()),
    ] {
        let apart = of_this.clone() - of_first.clone();
        if apart.terms().count() == 0 && apart.constant() != Length::ZERO {
            let uneven = format!("{what} of `{this}` is not that of `{first}`, whatever their sizes");
            return Err(Problem::new(uneven).hint("let one stand `beside` the other, as wide as that"));
        }
        ask.is_same(&format!("{what} of {first} and of {this}"), Vec::new(), &of_first, &of_this);
    }
    Ok(())
}

/// A piece does not stand to the right of the one named before it if nothing or less lies between the two for all sizes.
fn follows((before, of_before): (&str, &Stand), (this, of_this): (&str, &Stand)) -> Result<(), Problem> {
    let between = of_this.origin[0].clone() - far_end(of_before);
    if between.constant() <= Length::ZERO && between.terms().all(|(_, times)| times < 0) {
        let behind = Problem::new(format!("`{this}` does not stand to the right of `{before}`"));
        return Err(behind.hint("name the pieces from the left to the right"));
    }
    Ok(())
}

/// How far a rectangle reaches along the front.
pub(crate) fn length(stand: &Stand) -> Affine {
    stand.outline.sides()[0].length.clone()
}

/// How far a rectangle reaches from front to back.
pub(crate) fn width(stand: &Stand) -> Affine {
    stand.outline.sides()[1].length.clone()
}

/// Where a rectangle ends along the front.
pub(crate) fn far_end(stand: &Stand) -> Affine {
    stand.origin[0].clone() + length(stand)
}
