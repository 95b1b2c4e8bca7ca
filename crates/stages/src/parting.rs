//! Where the yard parts what is longer than the car, so that the pieces can be sawn at home: `docs/buying.md`, *The way home*.

use crate::cut::{BoardCut, Section, SheetCut, Sheets, squared_off};
use measure::Length;
use model::plan::Plan;
use model::stock::From;
use std::ops::Range;

/// One piece of a parted board or sheet as it comes home.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Piece {
    /// How long it is.
    pub length: Length,
    /// Which of the pattern's parts, or of the sheet's strips, come out of it.
    pub parts: Range<usize>,
    /// What squares off its first end: half the trim at the end as it is sold, a kerf where the yard cut.
    pub off: Length,
}

/// What the saw at home and the yard take.
struct Losses {
    kerf: Length,
    trim: Length,
    yard_kerf: Length,
    accuracy: Length,
}

/// The pieces of a board; nothing if nobody parts it, no pieces if it is too long and cannot be parted between its parts.
pub(crate) fn board(section: &Section, cut: &BoardCut, plan: &Plan) -> Option<Vec<Piece>> {
    let longest = plan.shed.car_longest.filter(|&longest| cut.stock_length > longest)?;
    let sold = &plan.yard.boards[section.stock.place].lengths;
    if plan.standing.is_home(section.stock) || sold[cut.length].from != From::Yard {
        return None;
    }
    let saw = Losses::of(section.kerf, plan.shed.trim, plan)?;
    // Where a board is split nobody cuts for a car.
    let parts = if cut.stretches.is_empty() { cut.lengths.as_slice() } else { &[] };
    Some(saw.pieces(cut.stock_length, parts, longest).unwrap_or_default())
}

/// The pieces of a sheet that is too wide for the car, between its strips; nothing and no pieces as of a board.
pub(crate) fn sheet(sheets: &Sheets, sheet: &SheetCut, plan: &Plan) -> Option<Vec<Piece>> {
    let [length, width] = sheet.measures;
    let longest = plan.shed.car_longest.filter(|&longest| width > longest && length <= longest)?;
    if plan.yard.sheets[sheets.stock.place].sizes[sheet.size].from != From::Yard {
        return None;
    }
    let saw = Losses::of(sheets.kerf, plan.shed.saw_for_sheets().trim, plan)?;
    let strips: Vec<Length> = sheet.strips.iter().map(|strip| strip.width).collect();
    Some(saw.pieces(width, &strips, longest).unwrap_or_default())
}

/// What so many cuts by the yard take of the slack of a pattern cut with a kerf: of each, what it may be off, the yard's kerf, and
/// the kerf that squares the end it leaves.
pub(crate) fn taken(cuts: u64, kerf: Length, plan: &Plan) -> Length {
    // A board takes far fewer cuts than an i64 counts.
    plan.yard.cuts.map_or(Length::ZERO, |yard| (yard.accuracy + yard.kerf + kerf) * cuts as i64)
}

impl Losses {
    /// Nothing if the yard does not cut.
    fn of(kerf: Length, trim: Length, plan: &Plan) -> Option<Losses> {
        plan.yard.cuts.map(|yard| Losses { kerf, trim, yard_kerf: yard.kerf, accuracy: yard.accuracy })
    }

    /// The pieces from the start, each as far as it goes into the car; `None` if one would be longer than the car all the same.
    fn pieces(&self, stock: Length, parts: &[Length], longest: Length) -> Option<Vec<Piece>> {
        let (mut pieces, mut begin, mut left, mut off) = (Vec::new(), 0, stock, squared_off(self.trim));
        while left > longest {
            let mut length = off + self.accuracy;
            let mut end = begin;
            while end < parts.len() && length + parts[end] + self.kerf <= longest {
                length = length + parts[end] + self.kerf;
                end += 1;
            }
            if end == begin || length + self.yard_kerf >= left {
                return None;
            }
            pieces.push(Piece { length, parts: begin..end, off });
            (begin, left, off) = (end, left - length - self.yard_kerf, self.kerf);
        }
        pieces.push(Piece { length: left, parts: begin..parts.len(), off });
        Some(pieces)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 3600 with three of 1100, trim 10, kerf 3, a yard that cuts with 4 and is off by 2, and a car of 2500: 5 + 2 · 1103 +
    /// 2 = 2213; 3600 − 2213 − 4 = 1383 are left, of which 3 square the yard's cut.
    #[test]
    fn a_board_is_parted_as_far_from_its_start_as_it_goes() {
        let mm = Length::mm;
        let saw = Losses { kerf: mm(3), trim: mm(10), yard_kerf: mm(4), accuracy: mm(2) };
        let own = |stock: i64, parts: &[i64], car: i64| {
            let parts: Vec<Length> = parts.iter().map(|&part| mm(part)).collect();
            let pieces = saw.pieces(mm(stock), &parts, mm(car))?;
            Some(pieces.into_iter().map(|piece| (piece.length, piece.parts, piece.off)).collect::<Vec<_>>())
        };
        assert_eq!(own(3600, &[1100, 1100, 1100], 2500), Some(vec![(mm(2213), 0..2, mm(5)), (mm(1383), 2..3, mm(3))]));
        assert_eq!(own(2400, &[1100, 1100], 2500), Some(vec![(mm(2400), 0..2, mm(5))]), "it goes in as it is");
        assert_eq!(own(3600, &[1000], 2500), None, "2586 are left of it");
        // The rest makes it too long: a cut behind the last part.
        assert_eq!(own(3600, &[2000], 2500), Some(vec![(mm(2010), 0..1, mm(5)), (mm(1586), 1..1, mm(3))]));
        assert_eq!(own(3600, &[2600], 2500), None, "one part is longer than the car");
        // A middle piece has a yard's cut at both ends: 3 + 1103 + 2.
        let three = own(3500, &[1100; 3], 1400).expect("three pieces");
        assert_eq!((three[1].0, three[2].0), (mm(1108), mm(3500 - 1110 - 1108 - 2 * 4)));
    }
}
