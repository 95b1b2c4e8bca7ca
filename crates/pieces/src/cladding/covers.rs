//! Board on board: a second layer of boards covers the gaps of the first.

use super::Cladding;
use crate::place::{Ground, Spans, Way};
use crate::rows::RowLine;
use measure::Length;
use model::build::{Build, Note, Row};
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// How far boards lie over one another.
pub static OVERLAP: Rule = Rule {
    id: "overlap",
    words: "A board that covers a gap lies over both its neighbours alike",
    formula: "overlap = (board - gap) / 2",
    inputs: &["board", "gap"],
    source: "board on board with overlap o: the gap between back boards is b - 2o",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [board, gap] => Some((board - gap).div_euclid(2)),
        _ => None,
    },
    case: Case { given: &[100_000_000, 40_000_000], gives: 30_000_000, source: "100 over 40: 30 on each side" },
};

/// The least overlap, and the least share of the board's width that it is: boards that dry no further leave no gap (*common
/// practice*).
pub(super) const LEAST: Length = Length::mm(25);
/// See [`LEAST`].
const LEAST_SHARE: i64 = 10;

/// Where the boards of the front row start, from the start of the row: each centred on its gap, rounded down once.
///
/// The gap after member `i` starts at `(i + 1) b + i G / n`, `G` being all `n` gaps together, and its middle lies `G / (2 n)` on.
fn starts(row: &Row) -> Vec<Length> {
    let Some(gaps) = row.gaps else { return Vec::new() };
    let (board, all, places) = (row.member(0).nanometres(), gaps.total().nanometres(), i64::from(gaps.places()));
    let [board, all, places] = [board, all, places].map(i128::from);
    let start = |gap: i128| ((2 * gap + 1) * (places * board + all)).div_euclid(2 * places);
    // A place along a row is a length.
    (0..places).map(|gap| Length::nm(start(gap) as i64)).collect()
}

impl Cladding {
    /// Lays the boards that cover the gaps of a row that has been laid.
    pub(super) fn lay_covers(&self, ground: &Ground, line: &RowLine, row: &Row, up: [Length; 2], out: &mut Build) {
        let (board, name) = (self.boards[0], &self.text.name);
        let face = ground.name(line.side);
        for (index, start) in starts(row).into_iter().enumerate() {
            let from = start - line.reach[0];
            let spans = Spans { along: [from, from + board.width], out: [board.thickness, board.thickness * 2], up };
            // Members are counted by fit, whose counts stay far below a u32.
            let key = self.key("cover", face, 0, index as u32);
            let mut part = ground.part(line.side, spans, [Way::Up, Way::Along], key, board.stock);
            self.shape(&mut part, ground, line.side, spans.along, up[1]);
            out.parts.push(part);
        }
        let Some(gaps) = row.gaps else { return };
        let gap = gaps.first(1);
        let inputs = vec![
            Input::new("one board", Value::length(board.width)),
            Input::new(format!("{}.gap", self.text.called(face)), Value::length(gap)),
        ];
        let what = format!("overlap of the boards on the {face}");
        let overlap = self.text.called(&format!("{face}.overlap"));
        out.quantities.extend(Quantity::by(overlap, what, Of::Length, &OVERLAP, inputs));
        let least = LEAST.max(Length::nm(board.width.nanometres() / LEAST_SHARE));
        if (board.width - gap) < least * 2 {
            let text = format!(
                "The boards of {name} on the {face} lie over one another by less than 25 mm or a tenth of their width (common practice): a narrower `gap` keeps them closed as they dry."
            );
            out.notes.push(Note { piece: name.clone(), text });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Share;

    /// Three boards of 100 on 400: gaps of 50, covered from 75 and from 225 on (worked by hand). With gaps that are not whole
    /// nanometres each place is rounded down once.
    #[test]
    fn covers_are_centred() {
        let row = |length: Length| Row {
            piece: String::new(),
            face: String::new(),
            length,
            pattern: vec![Length::mm(100)],
            count: 3,
            gaps: Share::new(length - Length::mm(300), 2),
            starts_with_gap: false,
            up: false,
        };
        assert_eq!(starts(&row(Length::mm(400))), [75, 225].map(Length::mm));
        assert_eq!(starts(&row(Length::nm(400_000_001))), [75_000_000, 225_000_000].map(Length::nm));
        assert_eq!(starts(&row(Length::nm(400_000_003))), [75_000_000, 225_000_002].map(Length::nm));
    }
}
