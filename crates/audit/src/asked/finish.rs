//! A finish: what is brushed on all faces of the boards and sheets of some pieces.

use super::{Asked, Form, Planned, Stand};
use crate::geometry::Case;
use crate::laid::{Built, Site};
use crate::needs::{Of, Want, Wanted};
use crate::solid::Solid;
use crate::texts::{Papers, Piece};

/// How far the area of shapes at angles may lie from the referee's, in square millimetres.
const ROUGHLY: i128 = 50;
/// Square nanometres in a square millimetre.
const SQUARE: i128 = 1_000_000_000_000;

/// A finish as it is planned.
struct Finish {
    of: Vec<String>,
    finish: String,
    label: String,
    coats: i128,
    covers: [i64; 2],
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let of = piece.names("of")?;
    let first = asked.find(of.first().ok_or_else(|| format!("`{}` is on no piece", piece.name))?)?;
    for other in &of {
        asked.find(other)?;
    }
    let name = piece.word("finish", "")?;
    let found = papers.finishes.iter().find(|finish| finish.name == name);
    let found = found.ok_or_else(|| format!("no finish is called `{name}`"))?;
    let (label, covers) = (found.label.clone(), found.covers);
    let form = Finish { of, finish: name, label, coats: piece.whole("coats", 2)?.into(), covers };
    let stand = Stand { faces: false, wall: None, ..asked.pieces[first].stand.clone() };
    Ok(Planned { around: Some(first), ..Planned::new(piece, "finish", stand, Box::new(form)) })
}

impl Form for Finish {
    fn lay<'a>(&'a self, _own: &'a Planned, _site: &Site<'a>, _built: &mut Built<'a>) -> Option<()> {
        Some(())
    }

    fn needs(&self, own: &Planned, case: &Case<'_>, wanted: &mut Wanted) {
        let areas = self.of.iter().map(|piece| surface(piece, case)).collect();
        let name = |what: &str| format!("{}.{what}", own.name);
        let area = wanted.near(case.record, name("area"), "surface", "mm2", areas);
        let [first, later] = self.covers.map(|covers| (i128::from(covers), 0));
        let inputs = vec![(area, 0), first, (self.coats, 0), later];
        let litres = wanted.near(case.record, name("litres"), "brushed", "mm3", inputs);
        let of = Of::Finish(self.finish.clone(), litres);
        wanted.needs.push(Want { piece: own.name.clone(), what: self.label.clone(), of });
    }
}

/// The surface of a piece's boards and sheets in square millimetres, and how far it may lie from that.
fn surface(piece: &str, case: &Case<'_>) -> (i128, i128) {
    let (mut exact, mut rough, mut slack) = (0_i128, 0.0, 0);
    for part in case.record.parts.iter().filter(|part| part.piece == piece && part.kind != "unit") {
        let [a, b, c] = [part.length, part.width, part.thickness].map(i128::from);
        if part.planes.is_empty() {
            exact += 2 * (a * b + b * c + c * a);
        } else {
            rough += Solid::of(part).map_or(0.0, |solid| solid.surface());
            slack = ROUGHLY;
        }
    }
    ((exact + (rough * 1e12).round() as i128 + SQUARE / 2).div_euclid(SQUARE), slack)
}
