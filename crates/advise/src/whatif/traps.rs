//! Traps: lengths that come out of the stock on paper and not at the saw.

use super::STEPS_NEAR;
use crate::Settled;
use measure::Length;
use model::stock::StockRef;
use std::collections::BTreeSet;

/// A length of which one more would come out of the stock if the saw took nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trap {
    /// The kind of board.
    pub stock: StockRef,
    /// The length of the board, by its place among the kind's.
    pub length: usize,
    /// The part.
    pub part: Length,
    /// How many come out on paper.
    pub on_paper: i64,
    /// How many come out at the saw.
    pub at_saw: i64,
    /// From this length down one more comes out, on the steps of the tape.
    pub comes_at: Length,
}

pub(super) fn all(settled: &Settled) -> Vec<Trap> {
    let mut traps = Vec::new();
    let (tape, trim) = (settled.plan.tape, settled.plan.shed.trim);
    for section in &settled.cutting.sections {
        let bought: BTreeSet<usize> = section.cuts.iter().map(|cut| cut.length).collect();
        let parts: BTreeSet<Length> = section.cuts.iter().flat_map(|cut| cut.lengths.iter().copied()).collect();
        let sold = &settled.plan.yard.boards[section.stock.place].lengths;
        let mut bought: Vec<usize> = bought.into_iter().filter(|&length| sold[length].is_on_sale()).collect();
        bought.sort_by_key(|&length| sold[length].length);
        for length in bought {
            let stock = sold[length].length;
            for &part in &parts {
                if let Some((on_paper, at_saw, comes_at)) = trap(stock, part, trim, section.kerf, tape.step()) {
                    traps.push(Trap { stock: section.stock, length, part, on_paper, at_saw, comes_at });
                }
            }
        }
    }
    traps
}

/// How many come out on paper and at the saw, and the length at which one more would, if that is near.
fn trap(stock: Length, part: Length, trim: Length, kerf: Length, step: Length) -> Option<(i64, i64, Length)> {
    let [stock, part, trim, kerf, step] = [stock, part, trim, kerf, step].map(Length::nanometres);
    let on_paper = stock / part;
    let at_saw = (stock - trim + kerf) / (part + kerf);
    let one_more = (stock - trim - at_saw * kerf) / (at_saw + 1);
    let comes_at = one_more - one_more.rem_euclid(step);
    let near = comes_at > 0 && part - comes_at <= STEPS_NEAR * step;
    (at_saw < on_paper && near).then_some((on_paper, at_saw, Length::nm(comes_at)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn mm(length: i64) -> Length {
        Length::mm(length)
    }

    /// Four 600s do not come out of a 2400: three kerfs of 3 and a trim of 10 are missing, and four of 595 do (by hand:
    /// 4 × 595 + 3 × 3 + 10 = 2399).
    #[test]
    fn four_of_600_do_not_come_out_of_a_2400() {
        assert_eq!(trap(mm(2400), mm(600), mm(10), mm(3), mm(1)), Some((4, 3, mm(595))));
        assert_eq!(trap(mm(2400), mm(595), mm(10), mm(3), mm(1)), None);
    }

    /// Eight of 448 out of a 3600 (3584 on paper) break on seven kerfs; 446 comes (8 × 446 + 21 + 10 = 3599, by hand).
    #[test]
    fn eight_posts_of_448_do_not_come_out_of_a_3600() {
        assert_eq!(trap(mm(3600), mm(448), mm(10), mm(3), mm(1)), Some((8, 7, mm(446))));
    }

    /// 1150 comes out twice on paper and twice at the saw of a 2400; 1210 not even on paper.
    #[test]
    fn what_comes_out_or_is_far_off_is_no_trap() {
        assert_eq!(trap(mm(2400), mm(1150), mm(10), mm(3), mm(1)), None);
        assert_eq!(trap(mm(2400), mm(1210), mm(10), mm(3), mm(1)), None);
    }
}
