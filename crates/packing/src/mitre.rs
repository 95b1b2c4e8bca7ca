//! Parts with slanted ends, side by side on one board: where two neighbours meet at the same slant, one cut serves both.
//!
//! An end whose cut runs across the board at a slant makes its part longer on one edge by its *overhang*. A part may be turned over and
//! turned round, so of two ends with the same overhang the one can always be laid so that the cuts are parallel; the parts then lie
//! in each other by the overhang. Each end meets at most one other, and the parts stand in a row, not in a ring.
//!
//! So the parts are the edges of a graph whose nodes are the overhangs, and a row is a set of trails. With `d` ends of an overhang
//! `floor(d / 2)` of them meet; only where all are even in a part of the graph that hangs together, the ring has to be opened at its
//! least overhang (Euler). That is the most that can be saved, and [`nested`] gives a row that saves it.

use std::collections::BTreeMap;

/// One part of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Which part.
    pub part: usize,
    /// True if its second end stands first.
    pub turned: bool,
}

/// The row of parts in which neighbours save most, by the overhangs of the two ends of each part (zero for a square end), with what it
/// saves: the row takes the sum of the lengths, a kerf between any two, less that.
///
/// Between two neighbours the overhang is saved if the ends that meet have the same one; whoever cuts them turns one over so that the two
/// cuts are parallel.
///
/// # Example
/// Two parts with ends of 30 share one cut; a third between a slanted and a square end stands behind them.
/// ```
/// let (row, saved) = packing::nested(&[[30, 30], [0, 30], [30, 30]]);
/// assert_eq!((row.len(), saved), (3, 60));
/// ```
pub fn nested(ends: &[[i64; 2]]) -> (Vec<Placed>, i64) {
    let mut graph = Graph::new(ends);
    let mut row = Vec::with_capacity(ends.len());
    for start in graph.starts() {
        row.extend(graph.trails(start));
    }
    let at = |placed: &Placed, second: bool| ends[placed.part][usize::from(placed.turned != second)];
    let saved =
        row.windows(2).filter(|two| at(&two[0], true) == at(&two[1], false)).map(|two| at(&two[1], false)).sum();
    (row, saved)
}

/// What the best row saves, for so many parts of each pair of overhangs.
pub(crate) fn saved(ends: &[[i64; 2]], counts: &[u32]) -> i64 {
    let there: Vec<([i64; 2], i64)> =
        ends.iter().zip(counts).filter(|(_, n)| **n > 0).map(|(&ends, &n)| (ends, i64::from(n))).collect();
    let mut degrees: BTreeMap<i64, i64> = BTreeMap::new();
    for &([a, b], n) in &there {
        *degrees.entry(a).or_default() += n;
        *degrees.entry(b).or_default() += n;
    }
    let most: i64 = degrees.iter().map(|(&overhang, &degree)| overhang * (degree / 2)).sum();
    let edges: Vec<[i64; 2]> = there.iter().map(|one| one.0).collect();
    let rings = joined(&edges).into_iter().filter(|nodes| nodes.iter().all(|node| degrees[node] % 2 == 0));
    most - rings.filter_map(|nodes| nodes.first().copied()).sum::<i64>()
}

/// The nodes of each part of a graph that hangs together, ascending.
fn joined(edges: &[[i64; 2]]) -> Vec<Vec<i64>> {
    let mut groups: Vec<Vec<i64>> = Vec::new();
    for &[a, b] in edges {
        let (mut with, without): (Vec<_>, Vec<_>) =
            groups.into_iter().partition(|group| group.contains(&a) || group.contains(&b));
        with.push(vec![a, b]);
        let mut group = with.concat();
        group.sort_unstable();
        group.dedup();
        groups = without;
        groups.push(group);
    }
    groups
}

/// Parts as edges between overhangs; edges past the parts stand for the gaps between two trails.
struct Graph {
    edges: Vec<[i64; 2]>,
    parts: usize,
    /// Edges at each node that were not looked at yet.
    open: BTreeMap<i64, Vec<usize>>,
    used: Vec<bool>,
}

impl Graph {
    fn new(ends: &[[i64; 2]]) -> Graph {
        let mut degrees: BTreeMap<i64, usize> = BTreeMap::new();
        ends.iter().flatten().for_each(|&end| *degrees.entry(end).or_default() += 1);
        let mut edges = ends.to_vec();
        for nodes in joined(ends) {
            let odd: Vec<i64> = nodes.into_iter().filter(|node| degrees[node] % 2 == 1).collect();
            edges.extend(odd.chunks_exact(2).map(|two| [two[0], two[1]]));
        }
        let mut open: BTreeMap<i64, Vec<usize>> = BTreeMap::new();
        // Looked at from the back, so the first parts stand first.
        for (at, edge) in edges.iter().enumerate().rev() {
            edge.iter().for_each(|&node| open.entry(node).or_default().push(at));
        }
        Graph { parts: ends.len(), used: vec![false; edges.len()], open, edges }
    }

    /// Where the ring through each part of the graph is opened: at its least overhang.
    fn starts(&self) -> Vec<i64> {
        joined(&self.edges[..self.parts]).into_iter().filter_map(|nodes| nodes.first().copied()).collect()
    }

    /// An edge at a node that was not gone along yet.
    fn next(&mut self, node: i64) -> Option<usize> {
        let open = self.open.get_mut(&node)?;
        while let Some(at) = open.pop() {
            if !self.used[at] {
                return Some(at);
            }
        }
        None
    }

    /// The ring from a node through all that hangs together with it (Hierholzer), cut at a gap if there is one.
    fn trails(&mut self, start: i64) -> Vec<Placed> {
        let mut stack = vec![(start, None)];
        let mut ring: Vec<Placed> = Vec::new();
        while let Some(&(node, came)) = stack.last() {
            if let Some(part) = self.next(node) {
                self.used[part] = true;
                let turned = self.edges[part][0] != node;
                let far = self.edges[part][usize::from(!turned)];
                stack.push((far, Some(Placed { part, turned })));
            } else {
                ring.extend(came);
                stack.pop();
            }
        }
        ring.reverse();
        if let Some(gap) = ring.iter().position(|placed| placed.part >= self.parts) {
            ring.rotate_left(gap);
        }
        ring.retain(|placed| placed.part < self.parts);
        ring
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Most that a row of parts saves, by trying every order and both ways round.
    fn brute(ends: &[[i64; 2]], used: &mut Vec<bool>, last: Option<i64>) -> i64 {
        let mut most = 0;
        for at in 0..ends.len() {
            if used[at] {
                continue;
            }
            used[at] = true;
            for [first, second] in [ends[at], [ends[at][1], ends[at][0]]] {
                let own = if last == Some(first) { first } else { 0 };
                most = most.max(own + brute(ends, used, Some(second)));
            }
            used[at] = false;
        }
        most
    }

    /// Source: brute force over all rows of up to six parts of up to four overhangs, own generator.
    #[test]
    fn a_row_saves_what_brute_force_saves() {
        let mut state = 3u64;
        let mut next = |below: u64| {
            state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (state >> 33) % below
        };
        let mut rings = 0;
        for _ in 0..400 {
            let count = 1 + next(6) as usize;
            let ends: Vec<[i64; 2]> = (0..count).map(|_| [7 * next(4) as i64, 7 * next(4) as i64]).collect();
            let want = brute(&ends, &mut vec![false; count], None);
            assert_eq!(saved(&ends, &vec![1; count]), want, "{ends:?}");
            let (row, got) = nested(&ends);
            assert_eq!(got, want, "{ends:?} {row:?}");
            let mut parts: Vec<usize> = row.iter().map(|placed| placed.part).collect();
            parts.sort_unstable();
            assert!(parts.into_iter().eq(0..count));
            let sum: i64 = ends.iter().flatten().sum();
            rings += usize::from(2 * want < sum - 14);
        }
        assert!(rings > 50, "{rings}");
    }

    /// By hand: four parts with both ends of 20 meet three times; one of 20 and 0 more meets a fourth time.
    #[test]
    fn a_chain_of_one_slant() {
        assert_eq!(saved(&[[20, 20]], &[4]), 60);
        assert_eq!(saved(&[[20, 20], [0, 20]], &[4, 1]), 80);
        assert_eq!(saved(&[[0, 0]], &[5]), 0);
        // Two rings that do not hang together are both opened.
        assert_eq!(saved(&[[20, 20], [30, 30]], &[2, 2]), 20 + 30);
    }
}
