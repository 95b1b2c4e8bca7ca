//! Boards with bad stretches: where they are clear, and what is cut there. Reckoned from the yard and from nothing that a stage says.

use crate::texts::Sold;

/// A clear stretch of a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Clear {
    pub from: i64,
    pub to: i64,
    /// What squaring takes at its two ends: half the trim where it has an end of the board.
    squared: [i64; 2],
    /// Whether an end meets a bad stretch and gives a kerf to it.
    bad: [bool; 2],
}

/// What a row of parts leaves of a clear stretch.
pub(crate) struct Row {
    pub slack: i128,
    /// What is left before any kerf, and how many kerfs are taken.
    pub room: i128,
    pub kerfs: i128,
    pub parts: i128,
}

impl Clear {
    /// The stretch from one place to another of a board so long.
    pub fn of([from, to]: [i64; 2], board: i64, trim: i64) -> Clear {
        let half = trim.div_euclid(2);
        let bad = [from > 0, to < board];
        let squared = [if bad[0] { 0 } else { half }, if bad[1] { 0 } else { trim - half }];
        Clear { from, to, squared, bad }
    }

    /// How many of its ends are bad.
    pub fn kerfs_at_ends(&self) -> i128 {
        self.bad.iter().filter(|bad| **bad).count() as i128
    }

    /// What squaring takes.
    pub fn off(&self) -> i64 {
        self.squared.iter().sum()
    }

    /// What parts with the kerfs between them may take.
    pub fn holds(&self, kerf: i64) -> i128 {
        let off: i128 = self.squared.iter().map(|&off| i128::from(off)).sum();
        i128::from(self.to) - i128::from(self.from) - off - self.kerfs_at_ends() * i128::from(kerf)
    }

    pub fn row(&self, lengths: &[i64], kerf: i64) -> Row {
        let parts = lengths.len() as i128;
        let sum: i128 = lengths.iter().map(|&length| i128::from(length)).sum();
        let between = (parts - 1).max(0);
        let kerfs = between + self.kerfs_at_ends();
        let slack = self.holds(kerf) - sum - between * i128::from(kerf);
        Row { slack, room: slack + kerfs * i128::from(kerf), kerfs, parts }
    }

    /// From where to where each part of a row lies on the board.
    pub fn lie(&self, lengths: &[i64], kerf: i64) -> Vec<[i128; 2]> {
        let mut at = i128::from(self.from) + i128::from(if self.bad[0] { kerf } else { self.squared[0] });
        let mut all = Vec::new();
        for &length in lengths {
            all.push([at, at + i128::from(length)]);
            at += i128::from(length) + i128::from(kerf);
        }
        all
    }

    /// What the tape reads, from the marked end, where it is sawn out.
    pub fn sawn(&self, kerf: i64) -> [i64; 2] {
        [self.from + if self.bad[0] { kerf } else { 0 }, self.to - if self.bad[1] { kerf } else { 0 }]
    }

    /// What is squared off its first end once it is sawn out.
    pub fn squared_off(&self) -> i64 {
        self.squared[0]
    }
}

impl Sold {
    /// The bad stretches that are not squared off.
    pub fn bad_past(&self, trim: i64) -> Vec<[i64; 2]> {
        let half = trim.div_euclid(2);
        let gone = |bad: &[i64; 2]| bad[1] <= half || bad[0] >= self.length - (trim - half);
        self.bad.iter().filter(|bad| !gone(bad)).copied().collect()
    }

    /// Its numbered clear stretches; `None` if it is one from end to end.
    pub fn clear(&self, trim: i64, kerf: i64) -> Option<Vec<Clear>> {
        let bad = self.bad_past(trim);
        if bad.is_empty() {
            return None;
        }
        let mut ends = vec![0];
        ends.extend(bad.iter().flatten());
        ends.push(self.length);
        let all = ends.chunks_exact(2).map(|two| Clear::of([two[0], two[1]], self.length, trim));
        Some(all.filter(|clear| clear.holds(kerf) > 0).collect())
    }

    /// How many there are, none of those with bad stretches.
    pub fn supply_if_sound(&self, trim: i64) -> Option<i64> {
        if self.bad_past(trim).is_empty() { self.supply() } else { Some(0) }
    }

    /// The longest part that comes out of it.
    pub fn gives(&self, trim: i64, kerf: i64) -> i128 {
        match self.clear(trim, kerf) {
            None => i128::from(self.length) - i128::from(trim),
            Some(clear) => clear.iter().map(|clear| clear.holds(kerf)).max().unwrap_or(0),
        }
    }
}

/// The parts of a board, shared out over so many in each clear stretch; `None` if the counts are not those of the parts.
pub(crate) fn shared<'l, T>(lengths: &'l [T], counts: &[i64]) -> Option<Vec<&'l [T]>> {
    let mut rest = lengths;
    let mut all = Vec::new();
    for &count in counts {
        let (own, others) = rest.split_at_checked(usize::try_from(count).ok()?)?;
        all.push(own);
        rest = others;
    }
    rest.is_empty().then_some(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a board of 1000 bad from 0 to 4 and from 400 to 410, trim 9, kerf 3. The first is squared off with 4 of the 9. What is left
    /// of it holds 400 − 4 − 3 and 590 − 5 − 3; three parts of 100 in the first leave 87 with two kerfs between them.
    #[test]
    fn a_board_bad_in_the_middle() {
        let sold = Sold { length: 1000, bad: vec![[0, 4], [400, 410]], ..Sold::default() };
        let clear = sold.clear(9, 3).expect("it is bad");
        assert_eq!(clear.iter().map(|clear| clear.holds(3)).collect::<Vec<i128>>(), [393, 582]);
        let row = clear[0].row(&[100, 100, 100], 3);
        assert_eq!((row.slack, row.kerfs, row.room), (87, 3, 96));
        assert_eq!(clear[0].lie(&[100, 100], 3), [[4, 104], [107, 207]]);
        assert_eq!([clear[0].sawn(3), clear[1].sawn(3)], [[0, 397], [413, 1000]]);
        assert_eq!(sold.gives(9, 3), 582);
        assert_eq!(shared(&[1, 2, 3], &[2, 0, 1]), Some(vec![&[1, 2][..], &[], &[3]]));
        assert!(shared(&[1, 2, 3], &[2]).is_none() && shared(&[1], &[2]).is_none());
    }
}
