//! Whether panels come out of sheets in strips for less: the referee's own search, panel by panel.
//!
//! Each panel goes into a strip of its height that has room, into a new strip of a sheet that has room, or into a new sheet. A
//! branch ends where it costs as much as is claimed; places that are alike are tried once.

use crate::texts::Sold;

/// What a search found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Found {
    /// Sheets that cost less: so much.
    Cheaper(i128),
    /// Nothing, and every way was tried.
    Nothing,
    /// Nothing in the steps that were given.
    OutOfSteps,
}

/// Steps of one search.
const STEPS: u32 = 200_000;
/// The most panels that are tried: one calls the next, and no more would end anyway.
const MOST_PANELS: usize = 60;

/// Looks for sheets that cost less than `cost`. Panels by length and width; a sheet costs what `cost_of` says.
pub(crate) fn cheaper(
    panels: &[[i128; 2]],
    sizes: &[Sold],
    cost_of: impl Fn(&Sold) -> i128,
    [kerf, trim]: [i64; 2],
    cost: i128,
) -> Found {
    if panels.len() > MOST_PANELS {
        return Found::OutOfSteps;
    }
    let [kerf, trim] = [kerf, trim].map(i128::from);
    let mut panels = panels.to_vec();
    // High ones first, and long ones of them: those that fix most.
    panels.sort_by_key(|[length, width]| std::cmp::Reverse([*width, *length]));
    let on_sale = |sold: &Sold| Sheet {
        length: i128::from(sold.length) - trim + kerf,
        left: i128::from(sold.width) - trim + kerf,
        cost: cost_of(sold),
        strips: Vec::new(),
    };
    let there = sizes.iter().map(|sold| sold.supply().unwrap_or(i64::MAX)).collect();
    let sizes: Vec<Sheet> = sizes.iter().map(on_sale).collect();
    let mut search = Search { panels, sizes, there, kerf, cost, steps: STEPS };
    match search.place(0, &mut Vec::new(), 0) {
        Some(less) => Found::Cheaper(less),
        None if search.steps > 0 => Found::Nothing,
        None => Found::OutOfSteps,
    }
}

/// A sheet that is filled: one kerf is added to all that it has room for, since the last panel and strip need none.
#[derive(Clone, PartialEq)]
struct Sheet {
    length: i128,
    left: i128,
    cost: i128,
    /// The width of each strip and what is left of its length.
    strips: Vec<(i128, i128)>,
}

struct Search {
    panels: Vec<[i128; 2]>,
    sizes: Vec<Sheet>,
    /// How many of each size are still there.
    there: Vec<i64>,
    kerf: i128,
    cost: i128,
    steps: u32,
}

impl Search {
    /// Places the panels from `at` on; what everything costs as soon as that is less than is claimed.
    fn place(&mut self, at: usize, sheets: &mut Vec<Sheet>, spent: i128) -> Option<i128> {
        self.steps = self.steps.saturating_sub(1);
        if self.steps == 0 || spent >= self.cost {
            return None;
        }
        let Some(&[length, width]) = self.panels.get(at) else { return Some(spent) };
        let length = length + self.kerf;
        for sheet in 0..sheets.len() {
            if sheets[..sheet].contains(&sheets[sheet]) {
                continue;
            }
            let own = sheets[sheet].clone();
            for next in self.fillings(&own, length, width) {
                sheets[sheet] = next;
                let found = self.place(at + 1, sheets, spent);
                if found.is_some() {
                    return found;
                }
            }
            sheets[sheet] = own;
        }
        for size in 0..self.sizes.len() {
            if self.there[size] == 0 {
                continue;
            }
            let new = self.sizes[size].clone();
            self.there[size] -= 1;
            for next in self.fillings(&new, length, width) {
                let cost = next.cost;
                sheets.push(next);
                let found = self.place(at + 1, sheets, spent + cost);
                sheets.pop();
                if found.is_some() {
                    return found;
                }
            }
            self.there[size] += 1;
        }
        None
    }

    /// A sheet with one panel more: in each strip that has room for it, and in a new one.
    fn fillings(&self, sheet: &Sheet, length: i128, width: i128) -> Vec<Sheet> {
        let mut fillings = Vec::new();
        for (place, strip) in sheet.strips.iter().enumerate() {
            if strip.0 == width && strip.1 >= length && !sheet.strips[..place].contains(strip) {
                let mut next = sheet.clone();
                next.strips[place].1 -= length;
                fillings.push(next);
            }
        }
        if sheet.left >= width + self.kerf && sheet.length >= length {
            let mut next = sheet.clone();
            next.left -= width + self.kerf;
            next.strips.push((width, sheet.length - length));
            fillings.push(next);
        }
        fillings
    }
}

#[cfg(test)]
mod tests {
    use super::{Found, cheaper};
    use crate::texts::Sold;

    /// A job of our own, worked by hand: two panels of 1820 by 550 come out of one sheet of 2500 by 1250 (550 + 2.6 + 550 of 1238),
    /// each of two of 847 by 550 out of a sheet of 1250 by 625. One of 98.50 and two of 31.90 cost 162.30, and nothing costs less;
    /// with the small sheet at 60.00 the two large ones for 197.00 are cheaper than 218.50.
    #[test]
    fn two_sizes() {
        let panels = [[1820, 550], [847, 550], [1820, 550], [847, 550]].map(|panel| panel.map(|mm| mm * 1_000_000));
        let sold = |length: i64, width: i64, price: i64| Sold {
            length: length * 1_000_000,
            width: width * 1_000_000,
            price: Some(price),
            ..Sold::default()
        };
        let find = |small: i64, cost: i128| {
            let sizes = [sold(2500, 1250, 9850), sold(1250, 625, small)];
            cheaper(&panels, &sizes, |sold| sold.price.unwrap_or(0).into(), [2_600_000, 12_000_000], cost)
        };
        assert_eq!([find(3190, 16_230), find(3190, 16_231)], [Found::Nothing, Found::Cheaper(16_230)]);
        assert_eq!([find(6000, 19_700), find(6000, 21_850)], [Found::Nothing, Found::Cheaper(19_700)]);
        assert_eq!([find(100, 10_050), find(100, 10_051)], [Found::Nothing, Found::Cheaper(10_050)]);
    }

    /// Thirty panels that all differ, nine to a sheet (no three are longer than 987 of 1000; 3 · 100 of 310), fill four sheets; that three do not
    /// hold them is more than is tried, and that is said.
    #[test]
    fn out_of_steps() {
        let panels: Vec<[i128; 2]> = (0..30).map(|at| [301 + at, 100]).collect();
        let size = Sold { length: 1000, width: 310, price: Some(1), ..Sold::default() };
        assert_eq!(cheaper(&panels, &[size], |_| 1, [0, 0], 4), Found::OutOfSteps);
    }
}
