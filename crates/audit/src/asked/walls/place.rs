//! Where walls stand, and their outline.

use crate::asked::{Asked, BEYOND, Planned, SHORTEST, Standing};
use crate::ground::{Outline, Sum};
use crate::texts::Piece;

/// The outline in its place, from the bottom up.
pub(super) struct Placed {
    pub outline: Outline,
    pub bottom: Sum,
    pub height: Sum,
    pub standing: Standing,
    pub around: Option<usize>,
}

/// Asks for the sizes that say where walls stand.
pub(super) fn place(asked: &mut Asked, piece: &Piece, thickness: i128) -> Result<Placed, String> {
    let raised = i128::from(piece.length("off-ground", 0)?);
    if piece.has("in") {
        return tier(asked, piece, raised);
    }
    let (outline, height) = if piece.has("like") {
        let like = &asked.pieces[asked.find(&piece.word("like", "")?)?];
        let height = like.stand.top.plus(&like.stand.bottom, -1);
        let outline = like.stand.outline.clone();
        let back = Sum::default().plus(&outline.begins(), -1);
        (outline.from(&back), height)
    } else {
        let outline = own_outline(asked, piece, thickness)?;
        (outline, asked.size(piece, "height")?)
    };
    let (start, standing) = begin(asked, piece, &outline)?;
    let outline = outline.from(&start);
    Ok(Placed { outline, bottom: Sum::fixed(raised), height, standing, around: None })
}

/// Where it begins along the front.
fn begin(asked: &mut Asked, piece: &Piece, outline: &Outline) -> Result<(Sum, Standing), String> {
    let length = outline.length(0);
    if !piece.has("beside") {
        // A regular outline reaches further to both sides than its front: so many sides are kept free.
        let free = beyond_front(outline);
        let start = asked.stands_alone(&Sum::default().plus(&length, 1 + 2 * free));
        return Ok((start.plus(&length, free), Standing::Alone));
    }
    let other: &Planned = &asked.pieces[asked.find(&piece.word("beside", "")?)?];
    let (begins, long) = (other.stand.outline.begins(), other.stand.outline.length(0));
    let start = if piece.has("apart") {
        let apart = asked.size(piece, "apart")?;
        asked.is_there(Vec::new(), apart.clone());
        begins.plus(&long, 1).plus(&apart, 1)
    } else {
        let overall = asked.size(piece, "overall")?;
        asked.limit(Vec::new(), overall.plus(&long, -1).plus(&length, -1), SHORTEST, BEYOND);
        begins.plus(&overall, 1).plus(&length, -1)
    };
    asked.goes_on_behind(&start.plus(&length, 1));
    Ok((start, Standing::Beside))
}

/// How many sides a regular outline keeps free at either end of its front.
pub(in crate::asked) fn beyond_front(outline: &Outline) -> i128 {
    match outline.count() {
        _ if outline.is_square() => 0,
        3 => 0,
        5..=8 => 1,
        _ => 2,
    }
}

/// A piece in another one keeps off its inner faces.
fn tier(asked: &mut Asked, piece: &Piece, raised: i128) -> Result<Placed, String> {
    let around = asked.find(&piece.word("in", "")?)?;
    let setback = asked.size(piece, "setback")?;
    let height = asked.size(piece, "height")?;
    let stand = &asked.pieces[around].stand;
    let outline = stand.inside()?.shrunk(&setback);
    let outline = outline.ok_or_else(|| format!("`{}` stands in a piece that is not right-angled", piece.name))?;
    let bottom = stand.bottom.and(raised);
    Ok(Placed { outline, bottom, height, standing: Standing::By, around: Some(around) })
}

/// The outline as if nothing stood beside it.
fn own_outline(asked: &mut Asked, piece: &Piece, thickness: i128) -> Result<Outline, String> {
    let length = asked.size(piece, "length")?;
    let word = piece.word("outline", "rectangle")?;
    let regular =
        [("triangle", 3), ("pentagon", 5), ("hexagon", 6), ("octagon", 8), ("decagon", 10), ("dodecagon", 12)];
    if let Some((_, count)) = regular.iter().find(|regular| regular.0 == word) {
        return Ok(Outline::regular(*count, length));
    }
    let width = if piece.has("width") { asked.size(piece, "width")? } else { length.clone() };
    match word.as_str() {
        "rectangle" => Ok(Outline::rectangle(length, width)),
        "L" => {
            let (front, left) = (asked.size(piece, "front-arm")?, asked.size(piece, "left-arm")?);
            for arm in [&front, &left] {
                asked.is_there(Vec::new(), arm.and(-2 * thickness));
            }
            Ok(Outline::ell(length, width, front, left))
        }
        other => Err(format!("unknown outline `{other}`")),
    }
}
