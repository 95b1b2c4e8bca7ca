//! Which parts move together, which way, and how far.

use crate::lines::View;
use model::build::Build;
use model::part::Frame;
use shape::Convex;
use shape::vector::{Vector, dot, times};
use std::collections::BTreeMap;

/// Room that is left between groups, as a share of their cluster's longest extent.
const GAP: f64 = 0.04;
/// Room that is left between clusters, as a share of the build's longest extent.
const CLUSTER_GAP: f64 = 0.02;
/// Clusters nearer than this share of the build's longest extent touch.
const TOUCH: f64 = 0.02;
/// A cluster goes down, where it does not lie lowest, only if that is so much shorter than any other way.
const DOWN: f64 = 2.0;
/// How far courses that lie one above the other part, as a share of their height.
const COURSE_GAP: f64 = 0.3;
/// A group is as flat as it is thin if its height is no more than this times its least depth: a ring of square setts is
/// flat.
const FLAT: f64 = 1.01;
/// Pieces share so much of the smaller one's area from above where one stands in or round the other.
const SHARED: f64 = 0.5;

/// Solids that move together.
pub(super) struct Group {
    /// Their places among the solids.
    pub solids: Vec<usize>,
    /// The way they move, of unit length; up and down for what lies flat.
    way: Vector,
    /// How far they lie from the middle of their cluster along their way.
    far: f64,
    /// Which cluster of pieces they belong to, from the left.
    cluster: usize,
}

/// All groups, cluster by cluster, in each the nearest to its middle first.
pub(super) fn groups(build: &Build, parts: &[usize], shapes: &[Convex]) -> Vec<Group> {
    let drafts = drafts(build, parts, shapes);
    let boxes: Vec<[Vector; 2]> = drafts.iter().map(|draft| bounds(&draft.solids, shapes)).collect();
    let clusters = in_order(&clusters(&drafts, &boxes), &boxes, longest(shapes));
    let middles = middles(&clusters, &boxes);
    let group = |(place, draft): (usize, Draft)| {
        let cluster = clusters[place];
        let middle =
            [0, 1, 2].map(|axis| (boxes[place][0][axis] + boxes[place][1][axis]) / 2.0 - middles[cluster][axis]);
        let along = dot(middle, draft.way);
        // What lies flat moves up or down, and a single post that no face gives a way moves to the side it stands on.
        let way = if draft.sided || along >= 0.0 { draft.way } else { times(draft.way, -1.0) };
        Group { solids: draft.solids, way, far: dot(middle, way), cluster }
    };
    let mut groups: Vec<Group> = drafts.into_iter().enumerate().map(group).collect();
    groups.sort_by(|a, b| a.cluster.cmp(&b.cluster).then(a.far.total_cmp(&b.far)));
    groups
}

/// A group before its middle is known.
struct Draft {
    piece: String,
    solids: Vec<usize>,
    way: Vector,
    /// Whether its way is already known to point outwards.
    sided: bool,
}

/// The parts of a face that have a role; those that lie flat from all faces of a piece together.
fn drafts(build: &Build, parts: &[usize], shapes: &[Convex]) -> Vec<Draft> {
    let mut faces: BTreeMap<(&str, &str, &str), Vec<usize>> = BTreeMap::new();
    for (solid, &part) in parts.iter().enumerate() {
        let key = &build.parts[part].key;
        faces.entry((&key.piece, &key.role, &key.face)).or_default().push(solid);
    }
    let mut drafts: Vec<Draft> = Vec::new();
    let mut flat: BTreeMap<(&str, &str), Vec<usize>> = BTreeMap::new();
    for ((piece, role, _), solids) in faces {
        let frame = build.parts[parts[solids[0]]].at.frame;
        match outwards(&solids, shapes, frame) {
            None => flat.entry((piece, role)).or_default().extend(solids),
            Some(way) => drafts.push(Draft { piece: piece.into(), solids, way, sided: frame != Frame::BUILD }),
        }
    }
    let up = [0.0, 0.0, 1.0];
    drafts.extend(flat.into_iter().map(|((piece, _), solids)| Draft {
        piece: piece.into(),
        solids,
        way: up,
        sided: false,
    }));
    drafts
}

/// The level way across a group where it is thinnest: out of its frame, or along x or y; `None` for a flat one.
fn outwards(solids: &[usize], shapes: &[Convex], frame: Frame) -> Option<Vector> {
    let level = Frame { lean: measure::Angle::ZERO, ..frame };
    let axes = level.axes();
    let deep = |axis: Vector| {
        let reaches = solids.iter().map(|&solid| shapes[solid].reach(axis));
        let [low, high] =
            reaches.fold([f64::INFINITY, f64::NEG_INFINITY], |all, one| [all[0].min(one[0]), all[1].max(one[1])]);
        high - low
    };
    let [along, across, high] = axes.map(deep);
    if high <= FLAT * along.min(across) {
        None
    } else if frame != Frame::BUILD || across <= along {
        // In the frame of a side, y runs inwards.
        Some(times(axes[1], if frame == Frame::BUILD { 1.0 } else { -1.0 }))
    } else {
        Some(axes[0])
    }
}

fn bounds(solids: &[usize], shapes: &[Convex]) -> [Vector; 2] {
    let all = solids.iter().map(|&solid| shapes[solid].bounds());
    let wider = |[low, high]: [Vector; 2], one: [Vector; 2]| {
        [[0, 1, 2].map(|axis| low[axis].min(one[0][axis])), [0, 1, 2].map(|axis| high[axis].max(one[1][axis]))]
    };
    all.fold([[f64::INFINITY; 3], [f64::NEG_INFINITY; 3]], wider)
}

/// Clusters numbered in the order in which they are placed: first those that touch fewest others, so that what lies between
/// others gives way to them.
fn in_order(clusters: &[usize], boxes: &[[Vector; 2]], longest: f64) -> Vec<usize> {
    let areas = areas(clusters, boxes);
    let near = TOUCH * longest;
    let touch = |a: &[Vector; 2], b: &[Vector; 2]| {
        (0..3).all(|axis| a[0][axis] <= b[1][axis] + near && b[0][axis] <= a[1][axis] + near)
    };
    let touched = |cluster: usize| areas.iter().filter(|other| touch(&areas[cluster], other)).count();
    let mut order: Vec<usize> = (0..areas.len()).collect();
    order.sort_by_key(|&cluster| (touched(cluster), cluster));
    let mut place = vec![0; order.len()];
    for (at, &cluster) in order.iter().enumerate() {
        place[cluster] = at;
    }
    clusters.iter().map(|&cluster| place[cluster]).collect()
}

/// The cluster of each group, numbered from the left: pieces that stand in or round one another. What lies flat under or over
/// several of them, as a pad, is a cluster of its own.
fn clusters(drafts: &[Draft], boxes: &[[Vector; 2]]) -> Vec<usize> {
    let mut pieces: BTreeMap<&str, ([Vector; 2], bool)> = BTreeMap::new();
    for (draft, &[low, high]) in drafts.iter().zip(boxes) {
        let stands = draft.way[2] == 0.0;
        let entry = pieces.entry(&draft.piece).or_insert(([low, high], stands));
        entry.0 = [
            [0, 1, 2].map(|axis| entry.0[0][axis].min(low[axis])),
            [0, 1, 2].map(|axis| entry.0[1][axis].max(high[axis])),
        ];
        entry.1 |= stands;
    }
    let mut order: Vec<(&str, [Vector; 2], bool)> =
        pieces.into_iter().map(|(name, (area, stands))| (name, area, stands)).collect();
    // Those that stand make the clusters, from the left; the others join them.
    order.sort_by(|a, b| b.2.cmp(&a.2).then(a.1[0][0].total_cmp(&b.1[0][0])));
    let mut found: Vec<[Vector; 2]> = Vec::new();
    let mut of_piece: BTreeMap<&str, usize> = BTreeMap::new();
    for (name, area, _) in order {
        let mut with = (0..found.len()).filter(|&other| shared(&area, &found[other]) >= SHARED);
        let cluster = with.next().filter(|_| with.next().is_none()).unwrap_or(found.len());
        if cluster == found.len() {
            found.push(area);
        }
        of_piece.insert(name, cluster);
    }
    drafts.iter().map(|draft| of_piece[draft.piece.as_str()]).collect()
}

/// Which share of the smaller of two areas, seen from above, the other takes.
fn shared(a: &[Vector; 2], b: &[Vector; 2]) -> f64 {
    let overlap = [0, 1].map(|axis| (a[1][axis].min(b[1][axis]) - a[0][axis].max(b[0][axis])).max(0.0));
    let size = |area: &[Vector; 2]| (area[1][0] - area[0][0]) * (area[1][1] - area[0][1]);
    overlap[0] * overlap[1] / size(a).min(size(b)).max(f64::MIN_POSITIVE)
}

/// The box round each cluster.
fn areas(clusters: &[usize], boxes: &[[Vector; 2]]) -> Vec<[Vector; 2]> {
    let count = clusters.iter().max().map_or(0, |last| last + 1);
    let area = |cluster: usize| {
        let own = clusters.iter().zip(boxes).filter(|(of, _)| **of == cluster).map(|(_, area)| area);
        own.fold([[f64::INFINITY; 3], [f64::NEG_INFINITY; 3]], |[low, high], one| {
            [[0, 1, 2].map(|axis| low[axis].min(one[0][axis])), [0, 1, 2].map(|axis| high[axis].max(one[1][axis]))]
        })
    };
    (0..count).map(area).collect()
}

/// The middle of each cluster.
fn middles(clusters: &[usize], boxes: &[[Vector; 2]]) -> Vec<Vector> {
    let middle = |[low, high]: [Vector; 2]| [0, 1, 2].map(|axis| (low[axis] + high[axis]) / 2.0);
    areas(clusters, boxes).into_iter().map(middle).collect()
}

/// The solids in their places apart from one another.
pub(super) fn moved(build: &Build, parts: &[usize], shapes: &[Convex], groups: &[Group], view: &View) -> Vec<Convex> {
    let mut moved = shapes.to_vec();
    for group in groups {
        part_courses(build, parts, group, &mut moved);
    }
    let whole = CLUSTER_GAP * longest(shapes);
    let (mut placed, mut known): (Vec<Vec<[f64; 2]>>, Vec<usize>) = (Vec::new(), Vec::new());
    for cluster in groups.chunk_by(|a, b| a.cluster == b.cluster) {
        let solids: Vec<usize> = cluster.iter().flat_map(|group| group.solids.iter().copied()).collect();
        let gap = GAP * extent(&bounds(&solids, shapes));
        let mut own: Vec<Vec<[f64; 2]>> = Vec::new();
        for group in cluster {
            let hull =
                hull(group.solids.iter().flat_map(|&solid| moved[solid].corners()).map(|&corner| view.flat(corner)));
            let step = view.flat(group.way);
            let far = clear(&hull, step, &own, gap);
            shift(&mut moved, &group.solids, times(group.way, far));
            own.push(shifted(&hull, step, far));
        }
        // It moves the shortest way until it is clear of those before it.
        let far = |way: Vector| (way, together(&own, view.flat(way), &placed, whole));
        let ways = ways(&bounds(&solids, shapes), &bounds(&known, shapes));
        let cost = |(way, far): &(Vector, f64)| if way[2] < 0.0 && ways.len() > 1 { DOWN * far } else { *far };
        let nearest = ways.iter().map(|&way| far(way)).min_by(|a, b| cost(a).total_cmp(&cost(b)));
        let (way, far) = nearest.unwrap_or(([1.0, 0.0, 0.0], 0.0));
        shift(&mut moved, &solids, times(way, far));
        placed.extend(own.iter().map(|hull| shifted(hull, view.flat(way), far)));
        known.extend(solids);
    }
    moved
}

/// The ways in which a cluster may give way to those before it: down what lies under them, up what reaches as high, and
/// sideways.
fn ways(own: &[Vector; 2], others: &[Vector; 2]) -> Vec<Vector> {
    let [right, back, up] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    let down = times(up, -1.0);
    let tall = others[1][2] - others[0][2];
    if own[1][2] <= others[0][2] + tall / 10.0 {
        return vec![down];
    }
    let mut ways = vec![right, times(right, -1.0), back, times(back, -1.0), down];
    if own[1][2] >= others[1][2] - tall / 10.0 {
        ways.insert(0, up);
    }
    ways
}

fn extent([low, high]: &[Vector; 2]) -> f64 {
    (0..3).map(|axis| high[axis] - low[axis]).fold(0.0, f64::max)
}

fn longest(shapes: &[Convex]) -> f64 {
    let all: Vec<usize> = (0..shapes.len()).collect();
    extent(&bounds(&all, shapes))
}

fn shift(shapes: &mut [Convex], solids: &[usize], by: Vector) {
    for &solid in solids {
        shapes[solid] = shapes[solid].moved(by);
    }
}

fn shifted(hull: &[[f64; 2]], step: [f64; 2], far: f64) -> Vec<[f64; 2]> {
    hull.iter().map(|point| [point[0] + far * step[0], point[1] + far * step[1]]).collect()
}

/// Moves courses that lie one above the other apart.
fn part_courses(build: &Build, parts: &[usize], group: &Group, shapes: &mut [Convex]) {
    let course = |solid: usize| build.parts[parts[solid]].key.course;
    let Some(first) = group.solids.iter().map(|&solid| course(solid)).min() else { return };
    let mut lowest: BTreeMap<u32, f64> = BTreeMap::new();
    for &solid in &group.solids {
        let low = shapes[solid].bounds()[0][2];
        lowest.entry(course(solid)).and_modify(|known| *known = known.min(low)).or_insert(low);
    }
    let rise: Vec<f64> = lowest.values().copied().collect();
    let Some(least) = rise.windows(2).map(|pair| pair[1] - pair[0]).reduce(f64::min).filter(|least| *least > 0.0)
    else {
        return;
    };
    for &solid in &group.solids {
        let up = f64::from(course(solid) - first) * least * COURSE_GAP;
        shapes[solid] = shapes[solid].moved([0.0, 0.0, up]);
    }
}

/// How far a hull moves along its step until it is clear of others.
fn clear(hull: &[[f64; 2]], step: [f64; 2], others: &[Vec<[f64; 2]>], gap: f64) -> f64 {
    together(&[hull.to_vec()], step, others, gap)
}

/// How far hulls move together until each is clear of all others.
fn together(hulls: &[Vec<[f64; 2]>], step: [f64; 2], others: &[Vec<[f64; 2]>], gap: f64) -> f64 {
    let pairs = hulls.iter().flat_map(|hull| others.iter().map(move |other| (hull, other)));
    let mut taken: Vec<[f64; 2]> = pairs.filter_map(|(hull, other)| forbidden(hull, step, other, gap)).collect();
    taken.sort_by(|a, b| a[0].total_cmp(&b[0]));
    taken.into_iter().fold(0.0, |far, [from, to]| if from < far + 1e-9 { f64::max(far, to) } else { far })
}

/// The stretch of ways along which a convex hull comes nearer to another than `gap`: they are clear where a line along a
/// side of either parts them (separating axis).
fn forbidden(hull: &[[f64; 2]], step: [f64; 2], other: &[[f64; 2]], gap: f64) -> Option<[f64; 2]> {
    let sides = |ring: &[[f64; 2]]| {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).map(|(a, b)| [b[1] - a[1], a[0] - b[0]]).collect::<Vec<_>>()
    };
    let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
    for normal in sides(hull).into_iter().chain(sides(other)) {
        let size = (normal[0] * normal[0] + normal[1] * normal[1]).sqrt();
        for sign in [1.0, -1.0] {
            let unit = normal.map(|part| sign * part / size.max(f64::MIN_POSITIVE));
            let along = |point: &[f64; 2]| unit[0] * point[0] + unit[1] * point[1];
            let low = hull.iter().map(along).fold(f64::INFINITY, f64::min);
            let high = other.iter().map(along).fold(f64::NEG_INFINITY, f64::max);
            // Clear where low + speed · far ≥ high + gap.
            let (speed, lack) = (along(&step), high + gap - low);
            if speed > 1e-9 {
                to = to.min(lack / speed);
            } else if speed < -1e-9 {
                from = from.max(lack / speed);
            } else if lack <= 0.0 {
                return None;
            }
        }
    }
    (from < to).then_some([from, to])
}

/// The convex hull of points, counter-clockwise (Andrew, 1979: a monotone chain; *from memory*).
fn hull(points: impl Iterator<Item = [f64; 2]>) -> Vec<[f64; 2]> {
    let mut sorted: Vec<[f64; 2]> = points.collect();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for point in points {
            while let [.., a, b] = chain[..]
                && (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0]) <= 0.0
            {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut ring = half(&mut sorted.iter().copied());
    ring.extend(half(&mut sorted.iter().rev().copied()));
    ring
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, size: f64) -> Vec<[f64; 2]> {
        vec![[x, y], [x + size, y], [x + size, y + size], [x, y + size]]
    }

    /// Squares of 10 side by side, worked by hand.
    #[test]
    fn a_hull_moves_until_it_is_clear() {
        let right = [1.0, 0.0];
        assert_eq!(clear(&square(0.0, 0.0, 10.0), right, &[square(5.0, 5.0, 10.0)], 2.0), 17.0);
        assert_eq!(clear(&square(0.0, 0.0, 10.0), right, &[square(5.0, 13.0, 10.0)], 2.0), 0.0);
        // The second stands where the first would have gone, so it moves past both.
        let others = [square(5.0, 5.0, 10.0), square(18.0, 0.0, 10.0)];
        assert_eq!(clear(&square(0.0, 0.0, 10.0), right, &others, 2.0), 30.0);
        // One that lies beyond its way is not in the way.
        assert_eq!(clear(&square(0.0, 0.0, 10.0), right, &[square(50.0, 0.0, 10.0)], 2.0), 0.0);
    }

    #[test]
    fn hulls_are_counter_clockwise() {
        let ring = hull([[0.0, 0.0], [4.0, 0.0], [2.0, 1.0], [4.0, 3.0], [0.0, 3.0]].into_iter());
        assert_eq!(ring, [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]]);
    }
}
