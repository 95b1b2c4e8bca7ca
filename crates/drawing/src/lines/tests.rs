//! Against closed forms, against rays that ask every solid, and against a picture of points.

use super::*;
use proptest::prelude::*;
use shape::HalfSpace;
use shape::vector::{plus, times};

const AXES: [Vector; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

fn cuboid(corner: Vector, extents: Vector) -> Convex {
    Convex::cuboid(corner, AXES, extents)
}

fn isometric() -> View {
    View::from([1.0, -1.0, 1.0]).unwrap()
}

fn long(stroke: &Stroke) -> f64 {
    length([stroke.to[0] - stroke.from[0], stroke.to[1] - stroke.from[1], 0.0])
}

fn total(strokes: &[Stroke], kind: LineKind) -> f64 {
    strokes.iter().filter(|stroke| stroke.kind == kind).map(long).sum()
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 0.02, "{found} instead of {expected}");
}

#[test]
fn views_are_right_handed() {
    for (view, towards) in
        [(View::FRONT, [0.0, -1.0, 0.0]), (View::ABOVE, [0.0, 0.0, 1.0]), (View::RIGHT, [1.0, 0.0, 0.0])]
    {
        assert_eq!(view.towards(), towards);
        assert_eq!(View::from(towards).unwrap_or(View::ABOVE), view);
    }
    assert_eq!(View::from([0.0, 0.0, -1.0]), None);
    assert_eq!(View::from([0.0; 3]), None);
}

/// An isometric cube: each edge is drawn √(2/3) of its length, nine of the twelve are seen, and the outline is a regular
/// hexagon of √3 s² (closed form).
#[test]
fn a_cube_shows_nine_edges_from_a_corner_and_four_from_the_front() {
    let cube = [cuboid([0.0; 3], [30.0; 3])];
    let short = 30.0 * (2.0_f64 / 3.0).sqrt();
    let all = lines(&cube, &isometric());
    assert_eq!(all.len(), 12);
    near(total(&all, LineKind::Visible), 9.0 * short);
    near(total(&all, LineKind::Hidden), 3.0 * short);
    assert_eq!(visible_lines(&cube, &isometric()).len(), 9);
    let hexagon: Vec<Vector> = outline(&cube[0], &isometric()).iter().map(|[x, y]| [*x, *y, 0.0]).collect();
    assert_eq!(hexagon.len(), 6);
    near(shape::vector::ring_area(&hexagon)[2], 3.0_f64.sqrt() * 900.0);
    for view in [View::FRONT, View::ABOVE, View::RIGHT] {
        let all = lines(&cube, &view);
        assert_eq!(all.len(), 4);
        near(total(&all, LineKind::Visible), 120.0);
        assert_eq!(outline(&cube[0], &view).len(), 4);
    }
}

/// Boards that touch, that miss touching by a few nanometres, and that run into one another by as much look alike.
#[test]
fn touching_boards_do_not_flicker() {
    for off in [0.0, 5e-6, -5e-6] {
        let flush = [cuboid([0.0; 3], [40.0, 20.0, 10.0]), cuboid([40.0 + off, 0.0, 0.0], [40.0, 20.0, 10.0])];
        let front = lines(&flush, &View::FRONT);
        near(total(&front, LineKind::Visible), 4.0 * 40.0 + 3.0 * 10.0);
        near(total(&front, LineKind::Hidden), 0.0);
        assert_eq!(front.len(), 7);
        // Two edges along x, then y, then z of each; the joint on top and in front is drawn once, and the face between the
        // two shows nothing.
        let short = (2.0_f64 / 3.0).sqrt();
        let seen = visible_lines(&flush, &isometric());
        near(total(&seen, LineKind::Visible), short * (2.0 * 3.0 * 40.0 + 3.0 * 20.0 + 20.0 + 3.0 * 10.0 + 10.0));

        // A lower, narrower board behind a wide one, then behind it one that stands out.
        let behind = [
            cuboid([0.0, 0.0, 0.0], [100.0, 20.0, 50.0]),
            cuboid([10.0, 20.0 + off, 0.0], [30.0, 20.0, 40.0]),
            cuboid([60.0, 20.0 + off, 0.0], [30.0, 20.0, 80.0]),
        ];
        let front = lines(&behind, &View::FRONT);
        near(total(&front, LineKind::Visible), 300.0 + 30.0 + 2.0 * 30.0);
        near(total(&front, LineKind::Hidden), 30.0 + 2.0 * 40.0 + 2.0 * 50.0);
        assert!(front.iter().all(|stroke| stroke.solid != 1 || stroke.kind == LineKind::Hidden));
    }
}

/// A board standing on a slab: its foot is drawn, and what of the slab's edges it covers is not.
#[test]
fn a_foot_on_a_slab_is_drawn() {
    let stack = [cuboid([0.0; 3], [100.0, 100.0, 10.0]), cuboid([40.0, 40.0, 10.0], [20.0, 20.0, 30.0])];
    let seen = visible_lines(&stack, &isometric());
    let short = (2.0_f64 / 3.0).sqrt();
    near(total(&seen, LineKind::Visible), short * (6.0 * 100.0 + 3.0 * 10.0 + 6.0 * 20.0 + 3.0 * 30.0));
}

/// A tub of four mitred boards that lean outwards, each placed to the nanometre as the house does: from above its rims and
/// its mitres are seen, each once, and the outer foot is hidden (closed forms of the frustum; sine and cosine 7 : 24 : 25).
#[test]
fn a_tapered_tub_from_above_shows_rims_and_mitres() {
    let (foot, width, thickness, [sine, cosine]) = (400.0, 250.0, 20.0, [0.28, 0.96]);
    let nanometre = |at: f64| (at * 1e6).round() / 1e6;
    let board = |out: Vector| {
        let along = cross(AXES[2], out);
        let up = plus(times(out, sine), times(AXES[2], cosine));
        let inner = plus(times(out, foot / 2.0 - thickness * cosine), times(AXES[2], thickness * sine));
        let corner = minus(inner, times(along, foot)).map(nanometre);
        let blank = Convex::cuboid(corner, [along, up, cross(along, up)], [2.0 * foot, width, thickness]);
        let mitre = |way: f64| HalfSpace::through([0.0; 3], minus(times(along, way), out)).unwrap();
        blank.cut(&mitre(1.0)).and_then(|board| board.cut(&mitre(-1.0))).unwrap()
    };
    let tub = [[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]].map(board);
    let all = lines(&tub, &View::ABOVE);
    let (lean, wall) = (width * sine, thickness * cosine);
    let rims = [foot + 2.0 * lean, foot + 2.0 * lean - 2.0 * wall, foot - 2.0 * wall];
    near(total(&all, LineKind::Visible), 4.0 * rims.iter().sum::<f64>() + 4.0 * 2.0_f64.sqrt() * (lean + wall));
    near(total(&all, LineKind::Hidden), 4.0 * foot);
    // Three rims, four mitres, four sides of the foot.
    assert_eq!(all.len(), 4 * 3 + 4 + 4);
}

#[test]
fn nothing_gives_nothing() {
    assert!(lines(&[], &View::FRONT).is_empty());
}

/// A board of a random scene: its corner, its extents, turned and leaning (as places in lists), and mitred or not.
type Draft = ([u8; 3], [u8; 3], u8, u8, bool);

fn board((corner, extents, turn, lean, mitred): Draft) -> Convex {
    // Pythagorean triples give turned axes without a sine.
    let (cosine, sine) = [(1.0, 0.0), (1.0, 0.0), (0.8, 0.6), (12.0 / 13.0, -5.0 / 13.0)][usize::from(turn % 4)];
    let (upright, out) = [(1.0, 0.0), (1.0, 0.0), (0.96, 0.28), (0.6, -0.8)][usize::from(lean % 4)];
    let (along, level) = ([cosine, sine, 0.0], [-sine, cosine, 0.0]);
    let across = plus(times(level, upright), times(AXES[2], out));
    let axes = [along, across, cross(along, across)];
    let extents = extents.map(|extent| f64::from(extent) * 10.0);
    let corner = corner.map(|place| f64::from(place) * 10.0);
    let whole = Convex::cuboid(corner, axes, extents);
    let mitre = HalfSpace::through(corner, plus(times(axes[0], -1.0), times(axes[1], 0.5)));
    if mitred { mitre.and_then(|mitre| whole.cut(&mitre)).unwrap_or(whole) } else { whole }
}

fn drafts() -> impl Strategy<Value = Vec<Draft>> {
    prop::collection::vec(([0..10_u8, 0..10, 0..10], [1..7_u8, 1..4, 1..6], 0..4_u8, 0..4_u8, any::<bool>()), 2..12)
}

fn views() -> impl Strategy<Value = View> {
    prop::sample::select(vec![
        View::FRONT,
        View::ABOVE,
        View::RIGHT,
        isometric(),
        View::from([-1.0, -1.0, 1.0]).unwrap(),
        View::from([1.0, -3.0, 2.0]).unwrap(),
        View::from([-2.0, 5.0, -1.0]).unwrap(),
    ])
}

/// Whether the way from a point to the viewer leads through a solid; `None` if that hangs on less than the test may judge.
fn covered(solid: &Convex, point: Vector, view: &View) -> Option<bool> {
    let leave = |at: Vector| solid.ray(at, view.towards()).map_or(0.0, |(_, leave)| leave);
    let here = leave(point);
    if (1e-6..0.1).contains(&here) {
        return None;
    }
    let around = [times(view.right, 1e-5), times(view.right, -1e-5), times(view.up, 1e-5), times(view.up, -1e-5)];
    let beside = around.map(|step| leave(plus(point, step)) > 1e-2);
    beside.into_iter().all(|beside| beside == (here > 0.1)).then_some(here > 0.1)
}

/// What the test finds about a point on an edge by asking all other solids.
fn hidden(solids: &[Convex], own: usize, point: Vector, view: &View) -> Option<bool> {
    let others = (0..solids.len()).filter(|&other| other != own);
    let answers: Vec<Option<bool>> = others.map(|other| covered(&solids[other], point, view)).collect();
    if answers.contains(&Some(true)) {
        return Some(true);
    }
    (!answers.contains(&None)).then_some(false)
}

/// What the stretches say about a point on an edge; `None` close to an end.
fn told(stretches: &[Stretch], own: usize, point: Vector) -> Option<LineKind> {
    let mut found = stretches.iter().filter(|stretch| stretch.solid == own).filter_map(|stretch| {
        let [from, to] = stretch.ends;
        let whole = minus(to, from);
        let share = dot(minus(point, from), whole) / dot(whole, whole);
        let off = length(minus(point, between(from, to, share.clamp(0.0, 1.0))));
        let margin = 2.0 * SHORTEST / length(whole);
        (off < 1e-6).then_some((margin..1.0 - margin).contains(&share).then_some(stretch.kind))
    });
    found.next().flatten()
}

/// Points along all edges of the boards, judged by rays: how many agree, and how many could not be judged.
fn agree(solids: &[Convex], view: &View) -> [usize; 2] {
    let stretches = strokes(solids, view, true);
    let (mut agreed, mut unknown) = (0, 0);
    for (own, solid) in solids.iter().enumerate() {
        for edge in solid.edges() {
            let normals = edge.faces.map(|face| dot(solid.faces()[face].plane.normal, view.towards()));
            let back = normals.into_iter().all(|normal| normal < 1e-9);
            let ends = edge.ends.map(|corner| solid.corners()[corner]);
            for share in (1..20).map(|step| f64::from(step) / 20.0 + 0.0123) {
                let point = between(ends[0], ends[1], share);
                let expected = if back { Some(true) } else { hidden(solids, own, point, view) };
                let (Some(expected), Some(kind)) = (expected, told(&stretches, own, view.seen(point))) else {
                    unknown += 1;
                    continue;
                };
                assert_eq!(kind == LineKind::Hidden, expected, "solid {own} at {point:?}");
                agreed += 1;
            }
        }
    }
    [agreed, unknown]
}

/// The face that is seen at a point of the paper.
fn seen_at(solids: &[Convex], view: &View, [x, y]: [f64; 2]) -> Option<(usize, usize)> {
    let from = plus(times(view.right, x), times(view.up, y));
    let ahead = solids.iter().enumerate();
    let leaves = ahead.filter_map(|(number, solid)| Some((number, solid.ray(from, view.towards())?.1)));
    let (number, leave) = leaves.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let hit = plus(from, times(view.towards(), leave));
    let faces = solids[number].faces().iter().enumerate();
    let height = |face: usize| solids[number].faces()[face].plane.height(hit);
    faces.map(|(face, _)| face).max_by(|&a, &b| height(a).total_cmp(&height(b))).map(|face| (number, face))
}

/// How many strokes are crossed on the way from one point to another; `None` if it leads too close past the end of one.
fn crossed(strokes: &[Stroke], from: [f64; 2], to: [f64; 2]) -> Option<usize> {
    let left = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| {
        let [u, v] = [[b[0] - a[0], b[1] - a[1]], [c[0] - a[0], c[1] - a[1]]];
        (u[0] * v[1] - u[1] * v[0]) / (u[0] * u[0] + u[1] * u[1]).sqrt()
    };
    let mut count = 0;
    for stroke in strokes {
        let step = ((to[0] - from[0]).powi(2) + (to[1] - from[1]).powi(2)).sqrt();
        let ends = [left(from, to, stroke.from), left(from, to, stroke.to)];
        let sides = [left(stroke.from, stroke.to, from), left(stroke.from, stroke.to, to)];
        let reach = 2.0 * step;
        let close = [stroke.from, stroke.to].iter().any(|end| {
            (end[0] - from[0]).abs() < reach && (end[1] - from[1]).abs() < reach && left(from, to, *end).abs() < 0.05
        });
        if close {
            return None;
        }
        count += usize::from(ends[0] * ends[1] < 0.0 && sides[0] * sides[1] < 0.0);
    }
    Some(count)
}

/// Boards of which none runs into another.
fn apart(drafts: Vec<Draft>) -> Vec<Convex> {
    let mut solids: Vec<Convex> = Vec::new();
    for solid in drafts.into_iter().map(board) {
        if solids.iter().all(|other| solid.overlap(other) < 1e-9) {
            solids.push(solid);
        }
    }
    solids
}

proptest! {
    /// Every edge of boards that stand, lean and run into one another, asked point by point.
    #[test]
    fn edges_are_hidden_where_rays_say_so(drafts in drafts(), view in views()) {
        let solids: Vec<Convex> = drafts.into_iter().map(board).collect();
        let [agreed, unknown] = agree(&solids, &view);
        prop_assert!(agreed > unknown, "{} points judged, {} not", agreed, unknown);
    }

    /// A picture of points, each with the face that is nearest to the viewer there (a depth buffer): between neighbours with
    /// different faces a line is crossed; between neighbours on one face none, or those of something fine between them.
    #[test]
    fn lines_part_what_a_depth_buffer_tells_apart(drafts in drafts(), view in views()) {
        let solids = apart(drafts);
        let strokes = visible_lines(&solids, &view);
        let ends = || solids.iter().flat_map(|solid| solid.corners()).map(|&corner| view.flat(corner));
        // Irrational, so that no point comes to lie on an edge.
        let margins = [5.0_f64.sqrt(), 7.0_f64.sqrt()];
        let low = [0, 1].map(|way| ends().map(|end| end[way]).fold(f64::INFINITY, f64::min) - margins[0]);
        let high = [0, 1].map(|way| ends().map(|end| end[way]).fold(f64::NEG_INFINITY, f64::max) + margins[1]);
        let place = |column: usize, row: usize| {
            [(column, 0), (row, 1)].map(|(step, way)| low[way] + (high[way] - low[way]) * (step as f64 + 0.37) / 41.0)
        };
        let mut judged = 0;
        for (column, row) in (0..40).flat_map(|column| (0..40).map(move |row| (column, row))) {
            for (next, under) in [(column + 1, row), (column, row + 1)] {
                let (from, to) = (place(column, row), place(next, under));
                let Some(count) = crossed(&strokes, from, to) else { continue };
                let (here, there) = (seen_at(&solids, &view, from), seen_at(&solids, &view, to));
                if here == there {
                    prop_assert!(count != 1, "one line on {here:?} between {from:?} and {to:?}");
                } else {
                    prop_assert!(count > 0, "no line between {here:?} and {there:?}, {from:?} and {to:?}");
                }
                judged += 1;
            }
        }
        prop_assert!(judged > 2500, "{} judged", judged);
    }

    /// The order in which solids are given changes which of two that share an edge is named, and no line.
    #[test]
    fn order_changes_no_line(drafts in drafts(), view in views()) {
        let solids = apart(drafts);
        let turned: Vec<Convex> = solids.iter().rev().cloned().collect();
        let (some, others) = (lines(&solids, &view), lines(&turned, &view));
        for kind in [LineKind::Visible, LineKind::Hidden] {
            prop_assert!((total(&some, kind) - total(&others, kind)).abs() < 0.05);
        }
    }
}
