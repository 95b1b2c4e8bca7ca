//! Dimension lines: each value once, above its line, read from the bottom or the right, ended by oblique strokes
//! (ISO 129-1, *from memory*; strokes as in building drawings, *common practice*).

use crate::lettering::{SMALL, width};
use crate::pen::{Hold, Line, Path, Pen};

/// From one dimension line to the next, in mm.
pub(crate) const PITCH: f64 = 6.0;

/// A dimension along one direction of the paper, with its text.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Dimension {
    pub from: f64,
    pub to: f64,
    pub text: String,
}

/// A dimension with its level and the middle of its text.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    pub dimension: Dimension,
    pub level: usize,
    pub middle: f64,
}

/// Puts dimensions in levels, short ones nearest to the view, so that neither their lines nor their texts overlap. Texts
/// stay within `limits`. They are given in the order of their worth: if they take more than `most` levels, the last are left
/// out until they do not.
pub(crate) fn in_levels(mut dimensions: Vec<Dimension>, limits: [f64; 2], most: usize) -> Vec<Placed> {
    loop {
        let placed = all_in_levels(&dimensions, limits);
        if placed.iter().all(|placed| placed.level < most) {
            return placed;
        }
        dimensions.pop();
    }
}

fn all_in_levels(dimensions: &[Dimension], limits: [f64; 2]) -> Vec<Placed> {
    let mut sorted: Vec<&Dimension> = dimensions.iter().collect();
    sorted.sort_by(|a, b| (a.to - a.from).total_cmp(&(b.to - b.from)).then(a.from.total_cmp(&b.from)));
    let mut placed: Vec<(Placed, [f64; 2])> = Vec::new();
    for dimension in sorted {
        let half = width(&dimension.text, SMALL) / 2.0;
        let middle = middle(dimension, half, limits);
        let span = [dimension.from.min(middle - half) - 1.0, dimension.to.max(middle + half) + 1.0];
        let taken = |(other, taken): &(Placed, [f64; 2])| {
            // Dimensions that follow one another share a stroke and a line.
            let apart = span[0] >= taken[1] - 2.0 || taken[0] >= span[1] - 2.0;
            (!apart).then_some(other.level + 1)
        };
        let level = placed.iter().filter_map(taken).max().unwrap_or(0);
        placed.push((Placed { dimension: dimension.clone(), level, middle }, span));
    }
    placed.into_iter().map(|(placed, _)| placed).collect()
}

/// Where the middle of a text stands: over its line, or beyond an end of it if it is longer than that.
fn middle(dimension: &Dimension, half: f64, limits: [f64; 2]) -> f64 {
    let Dimension { from, to, .. } = dimension;
    let (after, before) = (to + half + 2.0, from - half - 2.0);
    if 2.0 * half + 1.0 <= to - from {
        (from + to) / 2.0
    } else if after + half <= limits[1] {
        after
    } else if before - half >= limits[0] {
        before
    } else {
        ((from + to) / 2.0).min(limits[1] - half).max(limits[0] + half)
    }
}

/// How deep a stack of dimensions is.
pub(crate) fn depth(placed: &[Placed]) -> f64 {
    placed.iter().map(|placed| placed.level + 1).max().map_or(0.0, |levels| levels as f64 * PITCH + 2.5)
}

/// Draws dimensions below `edge`, reading from the bottom.
pub(crate) fn below(pen: &mut Pen, placed: &[Placed], edge: f64) {
    draw(
        pen,
        placed,
        |along, away| [along, edge + away],
        |pen, text, along, away| {
            pen.text(text, [along, edge + away], SMALL, Hold::Middle);
        },
    );
}

/// Draws dimensions to the right of `edge`, reading from the right.
pub(crate) fn beside(pen: &mut Pen, placed: &[Placed], edge: f64) {
    draw(
        pen,
        placed,
        |along, away| [edge + away, along],
        |pen, text, along, away| {
            pen.text_up(text, [edge + away, along], SMALL, Hold::Middle);
        },
    );
}

fn draw(pen: &mut Pen, placed: &[Placed], at: impl Fn(f64, f64) -> [f64; 2], write: impl Fn(&mut Pen, &str, f64, f64)) {
    let (mut lines, mut strokes) = (Path::default(), Path::default());
    for Placed { dimension, level, middle } in placed {
        let away = (*level as f64 + 1.0) * PITCH;
        let half = width(&dimension.text, SMALL) / 2.0;
        let (from, to) = (dimension.from.min(middle - half), dimension.to.max(middle + half));
        lines.stroke(at(from, away), at(to, away));
        for end in [dimension.from, dimension.to] {
            lines.stroke(at(end, 1.0), at(end, away + 1.5));
            let [x, y] = at(end, away);
            strokes.stroke([x - 1.0, y + 1.0], [x + 1.0, y - 1.0]);
        }
        write(pen, &dimension.text, *middle, away - 0.9);
    }
    pen.draw(&lines, Line::Narrow);
    pen.draw(&strokes, Line::Wide);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn levels(dimensions: &[(f64, f64)]) -> Vec<(f64, f64, usize)> {
        let list = dimensions.iter().map(|&(from, to)| Dimension { from, to, text: "1234".into() }).collect();
        let placed = in_levels(list, [-50.0, 250.0], 6);
        placed.iter().map(|placed| (placed.dimension.from, placed.dimension.to, placed.level)).collect()
    }

    #[test]
    fn a_chain_shares_a_level_and_the_whole_lies_outside() {
        let levels = levels(&[(0.0, 100.0), (0.0, 30.0), (30.0, 100.0)]);
        assert_eq!(levels, [(0.0, 30.0, 0), (30.0, 100.0, 0), (0.0, 100.0, 1)]);
    }

    /// Ten that all overlap need ten levels; the first given, which is the whole, is kept.
    #[test]
    fn the_first_are_kept() {
        let nested: Vec<(f64, f64)> = (0..10).map(|i| (f64::from(i), 100.0 - f64::from(i))).collect();
        let levels = levels(&nested);
        assert_eq!(levels.len(), 6);
        assert_eq!(levels.last(), Some(&(0.0, 100.0, 5)));
    }

    #[test]
    fn narrow_ones_make_room_for_their_text() {
        let levels = levels(&[(10.0, 12.0), (12.0, 14.0)]);
        assert_eq!(levels, [(10.0, 12.0, 0), (12.0, 14.0, 1)]);
    }
}
