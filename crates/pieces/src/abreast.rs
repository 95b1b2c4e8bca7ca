//! Pieces that stand abreast: what a seat lies between and a pad lies under.

use crate::ask::{Ask, Stand};
use measure::Length;
use model::affine::Affine;
use model::plan::PieceText;
use model::problem::Problem;

/// Asks that the pieces behind a key stand abreast: rectangles that stand plumb, of one width, their fronts in one line. They
/// come in the order in which they are named.
///
/// # Errors
/// If they cannot stand so, whatever their sizes.
pub(crate) fn abreast(ask: &mut Ask<'_>, text: &PieceText, key: &str) -> Result<Vec<Stand>, Problem> {
    let place = text.values.place_of(key);
    let names = text.values.names(key).unwrap_or_default();
    let mut stands: Vec<Stand> = Vec::new();
    for name in &names {
        let stand = ask.stand(name, &place)?;
        if !stand.outline.is_rectangle() || stand.batter != Length::ZERO {
            let bent = Problem::new(format!("`{name}` is no rectangle that stands plumb")).at(&place);
            return Err(bent.hint(format!("name pieces with four right-angled corners and plumb faces as `{key}`")));
        }
        if let (Some(first), Some(first_name)) = (stands.first(), names.first()) {
            for (what, of_first, of_this) in [
                ("the width", width(first), width(&stand)),
                ("the place of the front", first.origin[1].clone(), stand.origin[1].clone()),
            ] {
                let apart = of_this.clone() - of_first.clone();
                if apart.terms().count() == 0 && apart.constant() != Length::ZERO {
                    let [first, this] = [first_name, name];
                    let uneven = format!("{what} of `{this}` is not that of `{first}`, whatever their sizes");
                    return Err(Problem::new(uneven)
                        .at(&place)
                        .hint("let one stand `beside` the other, as wide as that"));
                }
                ask.is_same(&format!("{what} of {first_name} and of {name}"), Vec::new(), &of_first, &of_this);
            }
        }
        stands.push(stand);
    }
    Ok(stands)
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
