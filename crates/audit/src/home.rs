//! The way home, under the rule `buying`: what is longer than the car is parted as the page says, for the fee of the yard; what
//! does not pass the door is told.

use crate::asked::Asked;
use crate::claims::{Cut, Home, Line, Part, Parted, Record, Section, Sheet, Sheets};
use crate::ledger::Ledger;
use crate::solid::Solid;
use crate::texts::{Papers, Sold, YardCuts};

/// How near the door a size may be before it is left to the solver whether it passes: it is told to the nanometre, and here in
/// floats.
const NEAR: f64 = 0.01;

/// A piece that comes home: its length, how many of the parts or strips come out of it, and what squares off its first end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Piece {
    pub length: i64,
    pub holds: usize,
    pub off: i64,
}

/// The pieces of the boards of a cut; nothing if nobody parts them, none if they cannot be parted.
pub(crate) fn of_board(record: &Record, papers: &Papers, section: &Section, cut: &Cut) -> Option<Vec<Piece>> {
    let (longest, yard) = (papers.car.0?, papers.cuts?);
    let sold = papers.board(&section.board).map(|board| board.lengths.as_slice()).unwrap_or_default();
    let bought = sold.iter().any(|sold| sold.is([cut.stock, 0], cut.name.as_deref(), false));
    if cut.stock <= longest || cut.shed || !bought || papers.standing.is_home(&section.board) {
        return None;
    }
    let kerf = section.kerf.unwrap_or(record.cutting.kerf);
    let takes = Takes { kerf, trim: papers.trim, yard, longest };
    let parts = if cut.stretches.is_empty() { cut.lengths.as_slice() } else { &[] };
    Some(takes.pieces(cut.stock, parts).unwrap_or_default())
}

/// The pieces of a sheet; nothing and none as of a board.
pub(crate) fn of_sheet(record: &Record, papers: &Papers, sheets: &Sheets, sheet: &Sheet) -> Option<Vec<Piece>> {
    let (longest, yard) = (papers.car.0?, papers.cuts?);
    if sheet.width <= longest || sheet.length > longest {
        return None;
    }
    let sold = papers.sheet(&sheets.sheet).map(|sheet| sheet.sizes.as_slice()).unwrap_or_default();
    let is = |sold: &&Sold| sold.is([sheet.length, sheet.width], sheet.name.as_deref(), sheet.name.is_some());
    if sold.iter().find(is).is_none_or(|sold| sold.shed) {
        return None;
    }
    let kerf = sheets.kerf.unwrap_or(record.cutting.sheet_kerf);
    let strips: Vec<i64> = sheet.strips.iter().map(|strip| strip.width).collect();
    let takes = Takes { kerf, trim: papers.sheet_saw[1], yard, longest };
    Some(takes.pieces(sheet.width, &strips).unwrap_or_default())
}

/// What the yard cuts; nothing if nothing is too long, the car says nothing, or the yard does not cut.
pub(crate) fn home(record: &Record, papers: &Papers) -> Option<Home> {
    let yard = papers.cuts?;
    let mut all = Vec::new();
    let mut add = |kind: &str, name: &String, stock: i64, count: usize, pieces: Vec<Piece>, slack: i64, kerf: i64| {
        let cuts = (pieces.len() as i64 - 1).max(0);
        let left = slack - cuts * (yard.accuracy + yard.kerf + kerf);
        let pieces = pieces.iter().map(|piece| piece.length).collect();
        all.push(Parted { kind: kind.into(), name: name.clone(), stock, count: count as i64, left, pieces });
    };
    for section in &record.cutting.boards {
        let kerf = section.kerf.unwrap_or(record.cutting.kerf);
        for cut in &section.cuts {
            if let Some(pieces) = of_board(record, papers, section, cut) {
                add("board", &section.board, cut.stock, cut.boards.len(), pieces, cut.slack, kerf);
            }
        }
    }
    for sheets in &record.cutting.sheets {
        let kerf = sheets.kerf.unwrap_or(record.cutting.sheet_kerf);
        for sheet in &sheets.sheets {
            if let Some(pieces) = of_sheet(record, papers, sheets, sheet) {
                add("sheet", &sheets.sheet, sheet.width, 1, pieces, sheet.slack, kerf);
            }
        }
    }
    if all.is_empty() {
        return None;
    }
    let cuts = all.iter().map(|one| one.count * cuts_of(one)).sum::<i64>();
    Some(Home { cuts, fee: (cuts - yard.free).max(0) * yard.price, parted: all })
}

/// How many cuts a parted board takes.
fn cuts_of(one: &Parted) -> i64 {
    (one.pieces.len() as i64 - 1).max(0)
}

/// What the numbers of it come from.
pub(crate) fn numbers(home: &Home, papers: &Papers) -> (Vec<i128>, Vec<i128>) {
    let each = home.parted.iter().flat_map(|one| [i128::from(one.count), cuts_of(one).into()]).collect();
    let [free, price] = papers.cuts.map_or([0, 0], |yard| [yard.free, yard.price]);
    (each, vec![home.cuts.into(), free.into(), price.into()])
}

struct Takes {
    kerf: i64,
    trim: i64,
    yard: YardCuts,
    longest: i64,
}

impl Takes {
    fn pieces(&self, stock: i64, parts: &[i64]) -> Option<Vec<Piece>> {
        let mut pieces = Vec::new();
        let mut waiting = parts.iter().peekable();
        let mut rest = stock;
        // An end as it is sold takes half the trim; where the yard cut, a kerf squares it.
        let mut off = self.trim.div_euclid(2);
        while rest > self.longest {
            let mut length = self.yard.accuracy + off;
            let mut holds = 0;
            while let Some(part) = waiting.next_if(|part| length + **part + self.kerf <= self.longest) {
                length += part + self.kerf;
                holds += 1;
            }
            rest -= length + self.yard.kerf;
            if holds == 0 || rest <= 0 {
                return None;
            }
            pieces.push(Piece { length, holds, off });
            off = self.kerf;
        }
        pieces.push(Piece { length: rest, holds: waiting.count(), off });
        Some(pieces)
    }
}

/// Holds what is parted, and that what does not do is told.
pub(crate) fn hold(record: &Record, papers: &Papers, ledger: &mut Ledger) {
    let own = home(record, papers);
    let notes = |begins: &str| record.buying.notes.iter().filter(|note| note.starts_with(begins)).count();
    let parted = || own.iter().flat_map(|home| &home.parted);
    let not = parted().filter(|one| one.pieces.is_empty()).count();
    let short = parted().filter(|one| !one.pieces.is_empty() && one.left < 0).count();
    ledger.same("how many patterns are told as not parted", notes("not parted:"), not);
    ledger.same("how many parted patterns are told as not kept", notes("parted by the yard,"), short);
    ledger.same("what the yard parts", &record.buying.home, &own);
    let lines = record.buying.lines.iter().filter(|line| !is_parted(line, own.as_ref()));
    let longest = lines.map(|line| longest_side(line, papers)).max();
    let stays = papers.car.0.is_some_and(|car| longest.is_some_and(|longest| longest > car));
    ledger.same("whether it is told that something is too long for the car", notes("too long for the car") == 1, stays);
}

/// Whether the yard parts all of a line.
fn is_parted(line: &Line, home: Option<&Home>) -> bool {
    let same = |one: &&Parted| (&one.kind, &one.name, Some(&one.stock)) == (&line.kind, &line.name, line.size.last());
    let own: Vec<&Parted> = home.iter().flat_map(|home| &home.parted).filter(same).collect();
    !own.is_empty() && own.iter().all(|one| !one.pieces.is_empty())
}

/// The longest side of what is bought.
pub(crate) fn longest_side(line: &Line, papers: &Papers) -> i64 {
    let unit = papers.unit(&line.name).filter(|_| line.kind == "unit").map(|unit| unit.length);
    unit.or(line.size.iter().max().copied()).unwrap_or(0)
}

/// Holds that what does not pass the door is told, and nothing else.
pub(crate) fn hold_door(record: &Record, papers: &Papers, asked: &Asked, ledger: &mut Ledger) {
    for joined in asked.lifted() {
        let parts: Vec<&Part> = record.parts.iter().filter(|part| joined.contains(&part.piece.as_str())).collect();
        let Some(least) = least_side(&parts) else { continue };
        let begins = format!("door: {}, put together,", joined.join(" and "));
        let told = record.buying.notes.iter().any(|note| note.starts_with(&begins));
        let door = papers.door.map(|door| door as f64 / 1e6);
        if door.is_none_or(|door| (least - door).abs() > NEAR) {
            let stuck = door.is_some_and(|door| least > door);
            ledger.same(&format!("whether it is told that {} do not pass the door", joined.join(" and ")), told, stuck);
        }
    }
}

/// The least of the outside sizes of some parts together; nothing if units are among them, which are carried one by one.
fn least_side(parts: &[&Part]) -> Option<f64> {
    if parts.is_empty() || parts.iter().any(|part| part.kind == "unit") {
        return None;
    }
    let bounds: Vec<[[f64; 3]; 2]> =
        parts.iter().filter_map(|part| Solid::of(part)).map(|solid| solid.bounds()).collect();
    let side = |axis: usize| {
        let near = bounds.iter().map(|[near, _]| near[axis]).fold(f64::INFINITY, f64::min);
        bounds.iter().map(|[_, far]| far[axis]).fold(f64::NEG_INFINITY, f64::max) - near
    };
    Some((0..3).map(side).fold(f64::INFINITY, f64::min))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 4000 with parts of 1500, 1500 and 900, trim 10, kerf 3, a yard off by 2 that cuts with 4, car 2000: 5 + 1503 + 2 =
    /// 1510; 3 + 1503 + 2 = 1508; 4000 - 1510 - 1508 - 8 = 974.
    #[test]
    fn pieces_by_hand() {
        let mm = 1_000_000;
        let yard = YardCuts { price: 150, free: 0, accuracy: 2 * mm, kerf: 4 * mm };
        let takes = Takes { kerf: 3 * mm, trim: 10 * mm, yard, longest: 2000 * mm };
        let own = takes.pieces(4000 * mm, &[1500 * mm, 1500 * mm, 900 * mm]).expect("pieces");
        let own: Vec<[i64; 3]> = own.iter().map(|one| [one.length / mm, one.holds as i64, one.off / mm]).collect();
        assert_eq!(own, [[1510, 1, 5], [1508, 1, 3], [974, 1, 3]]);
        assert_eq!(takes.pieces(4000 * mm, &[2100 * mm]), None);
    }
}
