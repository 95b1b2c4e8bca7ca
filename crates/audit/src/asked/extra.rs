//! An extra: something bought as it is, that goes with a piece.

use super::{Asked, Form, Planned, Stand};
use crate::geometry::Case;
use crate::laid::{Built, Site};
use crate::needs::{Of, Want, Wanted};
use crate::texts::{Papers, Piece};

/// An extra as it is planned.
struct Extra {
    what: String,
    count: i128,
    price: Option<i64>,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, _papers: &Papers) -> Result<Planned, String> {
    let of = asked.find(&piece.word("of", "")?)?;
    let count = piece.whole("count", 1)?.into();
    let form = Extra { what: piece.word("what", "")?, count, price: piece.money("price")? };
    let stand = Stand { faces: false, wall: None, ..asked.pieces[of].stand.clone() };
    Ok(Planned { around: Some(of), ..Planned::new(piece, "extra", stand, Box::new(form)) })
}

impl Form for Extra {
    fn lay<'a>(&'a self, _own: &'a Planned, _site: &Site<'a>, _built: &mut Built<'a>) -> Option<()> {
        Some(())
    }

    fn needs(&self, own: &Planned, _case: &Case<'_>, wanted: &mut Wanted) {
        let (piece, what) = (own.name.clone(), self.what.clone());
        wanted.needs.push(Want { piece, what, of: Of::Extra(self.count, self.price) });
    }
}
