//! The way home, under the rule `buying`: what is longer than the car is parted as the page says, for the fee of the yard; what
//! does not pass the door is told.

use crate::asked::Asked;
use crate::claims::{Home, Part, Parted, Record};
use crate::ledger::Ledger;
use crate::solid::Solid;
use crate::texts::{Papers, Sold};

/// How near the door a size may be before it is left to the solver whether it passes: it is told to the nanometre, and here in
/// floats.
const NEAR: f64 = 0.01;

/// What the yard cuts; nothing if nothing is too long, the car says nothing, or the yard does not cut.
pub(crate) fn home(record: &Record, papers: &Papers) -> Option<Home> {
    let (longest, (price, free, accuracy)) = (papers.car.0?, papers.cuts?);
    let mut all = Vec::new();
    for section in record.cutting.boards.iter().filter(|section| !papers.standing.is_home(&section.board)) {
        let sold = papers.board(&section.board).map(|board| board.lengths.as_slice()).unwrap_or_default();
        let bought = |stock: i64, name: Option<&str>| sold.iter().any(|sold| sold.is([stock, 0], name, false));
        for cut in &section.cuts {
            if cut.stock > longest && !cut.shed && bought(cut.stock, cut.name.as_deref()) {
                let takes =
                    Takes { kerf: section.kerf.unwrap_or(record.cutting.kerf), trim: papers.trim, accuracy, longest };
                let whole = Whole { kind: "board", name: &section.board, stock: cut.stock, count: cut.boards.len() };
                let parts = if cut.stretches.is_empty() { cut.lengths.as_slice() } else { &[] };
                all.push(takes.part(&whole, parts, cut.slack));
            }
        }
    }
    for sheets in &record.cutting.sheets {
        let sold = papers.sheet(&sheets.sheet).map(|sheet| sheet.sizes.as_slice()).unwrap_or_default();
        for sheet in sheets.sheets.iter().filter(|sheet| sheet.width > longest && sheet.length <= longest) {
            let is = |sold: &&Sold| sold.is([sheet.length, sheet.width], sheet.name.as_deref(), sheet.name.is_some());
            if sold.iter().find(is).is_some_and(|sold| !sold.shed) {
                let kerf = sheets.kerf.unwrap_or(record.cutting.sheet_kerf);
                let takes = Takes { kerf, trim: papers.sheet_saw[1], accuracy, longest };
                let strips: Vec<i64> = sheet.strips.iter().map(|strip| strip.width).collect();
                let whole = Whole { kind: "sheet", name: &sheets.sheet, stock: sheet.width, count: 1 };
                all.push(takes.part(&whole, &strips, sheet.slack));
            }
        }
    }
    if all.is_empty() {
        return None;
    }
    let cuts = all.iter().map(|one| one.count * cuts_of(one)).sum::<i64>();
    Some(Home { cuts, fee: (cuts - free).max(0) * price, parted: all })
}

/// How many cuts a parted board takes.
fn cuts_of(one: &Parted) -> i64 {
    (one.pieces.len() as i64 - 1).max(0)
}

/// What the numbers of it come from.
pub(crate) fn numbers(home: &Home, papers: &Papers) -> (Vec<i128>, Vec<i128>) {
    let each = home.parted.iter().flat_map(|one| [i128::from(one.count), cuts_of(one).into()]).collect();
    let (price, free, _) = papers.cuts.unwrap_or_default();
    (each, vec![home.cuts.into(), free.into(), price.into()])
}

struct Whole<'a> {
    kind: &'a str,
    name: &'a str,
    stock: i64,
    count: usize,
}

struct Takes {
    kerf: i64,
    trim: i64,
    accuracy: i64,
    longest: i64,
}

impl Takes {
    fn part(&self, whole: &Whole<'_>, parts: &[i64], slack: i64) -> Parted {
        let mut pieces = Vec::new();
        let mut waiting = parts.iter().peekable();
        let (mut rest, mut goes) = (whole.stock, true);
        while rest > self.longest && goes {
            let mut piece = self.accuracy + if pieces.is_empty() { self.trim.div_euclid(2) } else { 0 };
            let mut holds = 0;
            while let Some(part) = waiting.next_if(|part| piece + **part + self.kerf <= self.longest) {
                piece += part + self.kerf;
                holds += 1;
            }
            goes = holds > 0 && piece < rest;
            rest -= piece;
            pieces.push(piece);
        }
        pieces.push(rest);
        if !goes {
            pieces.clear();
        }
        let cuts = (pieces.len() as i64 - 1).max(0);
        Parted {
            kind: whole.kind.into(),
            name: whole.name.into(),
            stock: whole.stock,
            count: whole.count as i64,
            left: slack - cuts * self.accuracy,
            pieces,
        }
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

    /// By hand: 4000 with parts of 1500, 1500 and 900, trim 10, kerf 3, accuracy 2, car 2000: 5 + 1503 + 2 = 1510, 1505, 985.
    #[test]
    fn pieces_by_hand() {
        let mm = 1_000_000;
        let takes = Takes { kerf: 3 * mm, trim: 10 * mm, accuracy: 2 * mm, longest: 2000 * mm };
        let whole = |stock: i64| Whole { kind: "board", name: "x", stock: stock * mm, count: 2 };
        let own = takes.part(&whole(4000), &[1500 * mm, 1500 * mm, 900 * mm], 84 * mm);
        assert_eq!((own.pieces, own.left), (vec![1510 * mm, 1505 * mm, 985 * mm], 80 * mm));
        assert!(takes.part(&whole(4000), &[2100 * mm], 0).pieces.is_empty());
    }
}
