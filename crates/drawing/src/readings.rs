//! Many readings along one line: set level, or upright, moved apart until they clear one another, with leaders to where
//! they belong.

use crate::lettering::{SMALL, width};
use crate::pen::{Hold, Path, Pen};

/// Between two texts side by side, in mm.
const APART: f64 = 2.4;
/// Between two upright texts, baseline to baseline, in mm: the height of letters that reach below the line, and a little.
pub(crate) const UPRIGHT: f64 = 3.9;
/// The farthest that a level text is moved off its place before all are set upright.
const FARTHEST: f64 = 7.0;
/// The farthest that an upright text is moved off its place: with more, leaders run together and words are better.
const FARTHEST_UPRIGHT: f64 = 40.0;

/// Texts with the place on the paper that each belongs to, in order of the places.
pub(crate) type Labels = [(f64, String)];

/// How texts will stand: their middles, and whether they are upright.
pub(crate) struct Layout {
    middles: Vec<f64>,
    upright: bool,
    longest: f64,
    /// How far the leaders reach off the edge: the farther the texts are moved, the more.
    leader: f64,
}

impl Layout {
    /// How high the leaders and texts stand together.
    pub(crate) fn depth(&self) -> f64 {
        self.leader + if self.upright { self.longest } else { SMALL } + 1.0
    }
}

/// How the texts stand within `limits`; `None` if they do not fit there.
pub(crate) fn layout(labels: &Labels, limits: [f64; 2]) -> Option<Layout> {
    let widths: Vec<f64> = labels.iter().map(|(_, text)| width(text, SMALL)).collect();
    let wanted: Vec<f64> = labels.iter().map(|(at, _)| *at).collect();
    let longest = widths.iter().copied().fold(0.0, f64::max);
    let spaced: Vec<f64> = widths.iter().map(|width| width + APART).collect();
    let level = spread(&wanted, &spaced, limits).filter(|middles| {
        // At the ends of the line a text may be moved by half its length, so as not to leave the paper.
        moved(middles, &wanted) <= FARTHEST.max(longest)
            && middles.iter().zip(&wanted).filter(|(middle, wanted)| (*middle - *wanted).abs() > FARTHEST).count() <= 2
    });
    if let Some(middles) = level {
        return Some(Layout { middles, upright: false, longest, leader: 3.5 });
    }
    let middles = spread(&wanted, &vec![UPRIGHT; labels.len()], limits)?;
    let moved = moved(&middles, &wanted);
    let leader = (3.5 + moved / 5.0).min(9.0);
    (moved <= FARTHEST_UPRIGHT).then_some(Layout { middles, upright: true, longest, leader })
}

/// The farthest that any text is moved.
fn moved(middles: &[f64], wanted: &[f64]) -> f64 {
    middles.iter().zip(wanted).map(|(middle, wanted)| (middle - wanted).abs()).fold(0.0, f64::max)
}

/// Writes the texts above (`up`) or below `edge`, with leaders into `leaders`.
pub(crate) fn write(pen: &mut Pen, labels: &Labels, layout: &Layout, edge: f64, up: bool, leaders: &mut Path) {
    let way = if up { -1.0 } else { 1.0 };
    let foot = edge + way * layout.leader;
    for ((at, text), &middle) in labels.iter().zip(&layout.middles) {
        leaders.stroke([*at, edge], [middle, foot]);
        let near = foot + way * 0.5;
        match (layout.upright, up) {
            (false, true) => pen.text(text, [middle, near], SMALL, Hold::Middle),
            (false, false) => pen.text(text, [middle, near + SMALL], SMALL, Hold::Middle),
            (true, true) => pen.text_up(text, [middle + SMALL / 2.0, near], SMALL, Hold::Start),
            (true, false) => pen.text_up(text, [middle + SMALL / 2.0, near], SMALL, Hold::End),
        }
    }
}

/// Middles of things `widths` wide, in the order given, moved as little as may be (least squares) so that they do not
/// overlap and lie within `limits`; `None` if there is no room.
///
/// With the widths before each taken off, the middles need only not decrease: pooling neighbours that do is the least
/// squares answer (pool adjacent violators: Ayer and others, 1955; *from memory*).
pub(crate) fn spread(wanted: &[f64], widths: &[f64], limits: [f64; 2]) -> Option<Vec<f64>> {
    if widths.iter().sum::<f64>() > limits[1] - limits[0] + 1e-9 {
        return None;
    }
    let mut before = Vec::with_capacity(widths.len());
    let mut sum = 0.0;
    for width in widths {
        before.push(sum + width / 2.0);
        sum += width;
    }
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (wanted, before) in wanted.iter().zip(&before) {
        let (mut mean, mut count) = (wanted - before, 1);
        while let Some(&(last, members)) = pools.last()
            && last > mean
        {
            mean = (mean * count as f64 + last * members as f64) / (count + members) as f64;
            count += members;
            pools.pop();
        }
        pools.push((mean, count));
    }
    let start = pools.into_iter().flat_map(|(mean, count)| std::iter::repeat_n(mean, count));
    let clamp = |mean: f64| mean.min(limits[1] - sum).max(limits[0]);
    Some(start.zip(before).map(|(mean, before)| clamp(mean) + before).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_has_room_stays_and_what_has_not_moves_both_ways() {
        assert_eq!(spread(&[5.0, 50.0], &[4.0, 4.0], [0.0, 100.0]), Some(vec![5.0, 50.0]));
        assert_eq!(spread(&[50.0, 50.0], &[4.0, 4.0], [0.0, 100.0]), Some(vec![48.0, 52.0]));
        assert_eq!(spread(&[0.0, 99.0], &[4.0, 4.0], [0.0, 100.0]), Some(vec![2.0, 98.0]));
        assert_eq!(spread(&[1.0; 5], &[4.0; 5], [0.0, 20.0]), Some(vec![2.0, 6.0, 10.0, 14.0, 18.0]));
        assert_eq!(spread(&[1.0; 6], &[4.0; 6], [0.0, 20.0]), None);
    }
}
