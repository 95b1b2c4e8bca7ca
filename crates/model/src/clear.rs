//! What is clear on a board with bad stretches: the stretches in which parts may lie (`docs/buying.md`, *Single boards*).

use crate::stock::{Board, BoardLength, From};
use measure::{Length, Money};

/// So many boards with bad stretches that cost something are cut round of one kind: which of them are bought is tried in every way.
const MOST_BAD_BOARDS: usize = 6;

/// A clear stretch of a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clear {
    /// Where it begins, from the marked end of the board.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// What squaring takes at those of its ends that are ends of the board.
    pub off: Length,
    /// How many of its ends meet a bad stretch.
    pub bad_ends: u32,
}

impl Clear {
    /// What a row of parts in it may take with the kerfs between them: each bad end takes a kerf too.
    pub fn holds(&self, kerf: Length) -> Length {
        self.to - self.from - self.off - kerf * i64::from(self.bad_ends)
    }

    /// Whether it begins at the marked end of the board.
    pub fn is_first(&self) -> bool {
        self.from == Length::ZERO
    }

    /// From where to where it is sawn out, by the tape from the marked end, on a board so long.
    pub fn sawn(&self, kerf: Length, board: Length) -> [Length; 2] {
        let begins = if self.is_first() { self.from } else { self.from + kerf };
        let ends = if self.to == board { self.to } else { self.to - kerf };
        [begins, ends]
    }
}

/// What the marked end of a board gives up when it is squared, and the other end.
fn halves(trim: Length) -> [Length; 2] {
    let first = Length::nm(trim.nanometres().div_euclid(2));
    [first, trim - first]
}

impl BoardLength {
    /// The bad stretches that squaring does not take off.
    pub fn bad_past(&self, trim: Length) -> impl Iterator<Item = [Length; 2]> + '_ {
        let [first, last] = halves(trim);
        let counts = move |bad: &&[Length; 2]| bad[1] > first && bad[0] < self.length - last;
        self.bad.iter().filter(counts).copied()
    }

    /// Whether it is one clear stretch from end to end.
    pub fn is_sound(&self, trim: Length) -> bool {
        self.bad_past(trim).next().is_none()
    }

    /// The clear stretches of a board that is not sound, from the marked end on; those that hold nothing are left out. None of a
    /// sound one.
    pub fn clear(&self, trim: Length, kerf: Length) -> Vec<Clear> {
        let bad: Vec<[Length; 2]> = self.bad_past(trim).collect();
        let (Some(first), Some(last)) = (bad.first(), bad.last()) else { return Vec::new() };
        let [squared, other] = halves(trim);
        let begins = Clear { from: Length::ZERO, to: first[0], off: squared, bad_ends: 1 };
        let ends = Clear { from: last[1], to: self.length, off: other, bad_ends: 1 };
        let between = |two: &[[Length; 2]]| Clear { from: two[0][1], to: two[1][0], off: Length::ZERO, bad_ends: 2 };
        let all = [begins].into_iter().chain(bad.windows(2).map(between)).chain([ends]);
        all.filter(|clear| clear.holds(kerf) > Length::ZERO).collect()
    }

    /// The longest part that it gives; nothing or less if none.
    pub fn gives(&self, trim: Length, kerf: Length) -> Length {
        if self.is_sound(trim) {
            return self.length - trim;
        }
        self.clear(trim, kerf).iter().map(|clear| clear.holds(kerf)).max().unwrap_or(Length::ZERO)
    }
}

impl Board {
    /// Whether all its prices are known, so that it is chosen by money.
    pub fn is_priced(&self) -> bool {
        self.lengths.iter().all(|length| length.price.is_some())
    }

    /// The single boards, by their places, of which nothing is planned because there are too many with bad stretches.
    pub fn left_out(&self) -> Vec<usize> {
        let priced = self.is_priced();
        let is_free =
            |length: &BoardLength| length.from == From::Shed || (priced && length.price == Some(Money::hundredths(0)));
        let bad = self.lengths.iter().enumerate().filter(|(_, length)| !length.bad.is_empty() && !is_free(length));
        bad.map(|(place, _)| place).skip(MOST_BAD_BOARDS).collect()
    }

    /// The lengths of which parts can be planned.
    pub fn there(&self) -> impl Iterator<Item = &BoardLength> {
        let left_out = self.left_out();
        let all = self.lengths.iter().enumerate();
        all.filter(move |(place, length)| length.stock != Some(0) && !left_out.contains(place))
            .map(|(_, length)| length)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn board(length: i64, bad: &[[i64; 2]]) -> BoardLength {
        let bad = bad.iter().map(|stretch| stretch.map(Length::mm)).collect();
        BoardLength { bad, ..BoardLength::on_sale(Length::mm(length), None) }
    }

    /// By hand, from `docs/buying.md`: 3890 with bad 900 to 1040 and 2500 to 2510, trim 11, kerf 3. In whole millimetres: half the
    /// trim is 5.5 (5.5 mm is whole nanometres), so 900 − 5.5 − 3, 1460 − 6 and 1380 − 5.5 − 3.
    #[test]
    fn what_clear_stretches_hold() {
        let sold = board(3890, &[[900, 1040], [2500, 2510]]);
        let (trim, kerf) = (Length::mm(11), Length::mm(3));
        let holds: Vec<i64> = sold.clear(trim, kerf).iter().map(|clear| clear.holds(kerf).nanometres()).collect();
        assert_eq!(holds, [891_500_000, 1_454_000_000, 1_371_500_000]);
        assert_eq!(sold.gives(trim, kerf), Length::mm(1454));
        let sawn: Vec<[Length; 2]> = sold.clear(trim, kerf).iter().map(|clear| clear.sawn(kerf, sold.length)).collect();
        assert_eq!(sawn, [[0, 897], [1043, 2497], [2513, 3890]].map(|two| two.map(Length::mm)));
    }

    /// What squaring takes off counts for nothing; a stretch that holds nothing is no stretch.
    #[test]
    fn bad_ends_and_slivers() {
        let trim = Length::mm(10);
        assert!(board(2400, &[[0, 5]]).is_sound(trim) && board(2400, &[[2395, 2400]]).is_sound(trim));
        assert_eq!(board(2400, &[[0, 5]]).gives(trim, Length::mm(3)), Length::mm(2390));
        let split = board(2400, &[[0, 6], [10, 12], [2394, 2400]]);
        assert_eq!(split.clear(trim, Length::mm(3)).len(), 1);
        assert_eq!(split.gives(trim, Length::mm(3)), Length::mm(2394 - 12 - 6));
        assert_eq!(board(20, &[[8, 12]]).gives(trim, Length::mm(3)), Length::ZERO);
    }
}
