//! A liner: a sheet off a roll that covers the bottom, goes up all sides and is turned over at the top.

use super::reach::reaches;
use super::{Asked, Form, Planned, Stand};
use crate::fitting::up;
use crate::geometry::Case;
use crate::ground::{Outline, Sum};
use crate::laid::{Built, ROUNDED, Site};
use crate::ledger::Ledger;
use crate::needs::{Of, Want, Wanted};
use crate::texts::{Papers, Piece};

/// How far strips lap over one another: 150 mm.
const LAP: i128 = 150_000_000;
/// What is turned over the top unless the plan says otherwise, in millimetres.
const USUAL_FOLD: i64 = 100;

/// A liner as it is planned.
struct Liner {
    host: String,
    roll: String,
    width: i128,
    fold: i128,
    inside: Outline,
    height: Sum,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let around = asked.find(&piece.word("in", "")?)?;
    let (host, stand) = (asked.pieces[around].name.clone(), asked.pieces[around].stand.clone());
    let inside = stand.inside()?;
    let bottom = match piece.has("on") {
        true => asked.pieces[asked.find(&piece.word("on", "")?)?].stand.top.clone(),
        false => stand.bottom.clone(),
    };
    let roll = piece.word("roll", "")?;
    let width = papers.roll(&roll).ok_or_else(|| format!("no roll is called `{roll}`"))?.width;
    if i128::from(width) <= LAP {
        return Err(format!("`{}` cannot be laid out", piece.name));
    }
    let height = stand.top.plus(&bottom, -1);
    asked.is_there(Vec::new(), height.clone());
    let own = Stand::plain(inside.clone(), bottom, stand.top);
    let fold = piece.length("fold", USUAL_FOLD)?.into();
    let form = Liner { host, roll, width: width.into(), fold, inside, height };
    Ok(Planned { around: Some(around), ..Planned::new(piece, "liner", own, Box::new(form)) })
}

/// How much of a roll so wide a sheet takes.
pub(crate) fn off_roll([length, width]: [i128; 2], roll: i128, lap: i128) -> i128 {
    let (shorter, longer) = (length.min(width), length.max(width));
    if longer <= roll {
        shorter
    } else if shorter <= roll {
        longer
    } else {
        up(shorter - lap, roll - lap) * longer
    }
}

impl Form for Liner {
    fn lay<'a>(&'a self, _own: &'a Planned, _site: &Site<'a>, _built: &mut Built<'a>) -> Option<()> {
        Some(())
    }

    fn needs(&self, own: &Planned, case: &Case<'_>, wanted: &mut Wanted) {
        let site = case.site;
        let (lengths, height) = (site.ground(&self.inside).lengths, site.value(&self.height));
        // The first side is the whole length of a rectangle and of an L, the last the whole width.
        let mut inside = [lengths[0], lengths[lengths.len() - 1]];
        if let Some(reaches) = reaches(lengths.len()).filter(|_| !self.inside.is_square()) {
            for (at, way) in ["along", "back"].into_iter().enumerate() {
                let inputs = vec![(lengths[0], ROUNDED), (reaches[at].times, 0), (reaches[at].over, 0)];
                let name = format!("{}.inside.{way}", own.name);
                inside[at] = wanted.near(case.record, name, "reach", "nm", inputs);
            }
        }
        let mut sheet = [0; 2];
        for (at, what) in ["length", "width"].into_iter().enumerate() {
            let inputs = vec![(inside[at], 0), (height, 0), (self.fold, 0)];
            sheet[at] = wanted.near(case.record, format!("{}.{what}", own.name), "liner", "nm", inputs);
        }
        let inputs = [sheet[0], sheet[1], self.width, LAP].map(|exact| (exact, 0)).to_vec();
        let length = wanted.near(case.record, format!("{}.off-roll", own.name), "off-roll", "nm", inputs);
        let what = format!("liner of {}", self.host);
        wanted.needs.push(Want { piece: own.name.clone(), what, of: Of::Roll(self.roll.clone(), length) });
    }

    /// Strips that have to be joined are told, by how many there are.
    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        // These two numbers have a why that is held with the others.
        let number = |what: &str| {
            let name = format!("{}.{what}", own.name);
            case.record.quantities.iter().find(|quantity| quantity.name == name).map(|of| i128::from(of.value))
        };
        let Some([length, width]) = number("length").zip(number("width")).map(<[i128; 2]>::from) else { return };
        let shorter = length.min(width);
        let strips = if shorter <= self.width { 1 } else { up(shorter - LAP, self.width - LAP) };
        let said = format!(" in {strips} strips, ");
        let any =
            |words: &str| case.record.notes.iter().any(|note| note.piece == own.name && note.text.contains(words));
        let (joined, told) = (any(" strips, each "), any(&said));
        ledger.hold(if strips > 1 { told } else { !joined }, || {
            format!("{} is laid in {strips} strips, and no note tells of that", own.name)
        });
    }
}

#[cfg(test)]
mod tests {
    use super::off_roll;

    /// Worked by hand, in millimetres: a sheet of 2470 by 1480 off a roll of 2 m is 2470 long, off one of 3 m 1480; one of
    /// 3000 by 2000 off a roll of 1 m is three strips of 3000 that lap by 150 (1000 + 850 + 850 = 2700).
    #[test]
    fn off_the_roll() {
        assert_eq!(off_roll([2470, 1480], 2000, 150), 2470);
        assert_eq!(off_roll([2470, 1480], 3000, 150), 1480);
        assert_eq!(off_roll([2000, 3000], 1000, 150), 9000);
        // 2700 is just what three strips cover.
        assert_eq!([off_roll([3000, 2700], 1000, 150), off_roll([3000, 2701], 1000, 150)], [9000, 12_000]);
    }
}
