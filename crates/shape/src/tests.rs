//! Against closed forms of school geometry, and as properties of random cuts.

use super::*;
use crate::vector::{cross, dot, length, minus, plus, ring_area, times, unit};
use proptest::prelude::*;
use std::f64::consts::PI;

const AXES: [Vector; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

fn cube(size: f64) -> Convex {
    Convex::cuboid([0.0; 3], AXES, [size; 3])
}

fn keep(point: Vector, outwards: Vector) -> HalfSpace {
    HalfSpace::through(point, outwards).unwrap()
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} instead of {expected}");
}

/// Euler's formula, each edge between two faces, corners on the planes of their faces, and none outside of any.
#[track_caller]
fn sound(solid: &Convex) {
    let edges = solid.edges();
    assert_eq!(solid.corners().len() + solid.faces().len(), edges.len() + 2);
    assert!(edges.iter().all(|edge| edge.faces[0] != edge.faces[1]));
    for face in solid.faces() {
        assert!(face.ring.len() >= 3);
        for corner in solid.ring(face) {
            near(face.plane.height(corner), 0.0, 2.0 * TOUCH);
        }
        assert!(solid.corners().iter().all(|&corner| face.plane.height(corner) < 2.0 * TOUCH));
        assert!(dot(ring_area(&solid.ring(face).collect::<Vec<_>>()), face.plane.normal) > 0.0);
    }
}

/// What is told by corners and rings is the same solid; rings that do not close are none.
#[test]
fn a_solid_of_corners_and_rings() {
    let solid = cube(7.0).cut(&keep([5.0, 5.0, 5.0], [1.0, 1.0, 1.0])).unwrap();
    let rings = || solid.faces().iter().map(|face| face.ring.clone()).collect::<Vec<_>>();
    let again = Convex::of(solid.corners().to_vec(), rings()).unwrap();
    sound(&again);
    near(again.volume(), solid.volume(), 1e-9);
    let of = |change: fn(&mut Vec<Vec<usize>>)| {
        let mut rings = rings();
        change(&mut rings);
        Convex::of(solid.corners().to_vec(), rings)
    };
    assert_eq!(of(|rings| _ = rings.pop()), None, "open");
    assert_eq!(of(|rings| rings[0].reverse()), None, "inside out");
    assert_eq!(of(|rings| rings[0][0] = 99), None, "no such corner");
    assert_eq!(of(|rings| rings.push(vec![0, 1])), None, "no face");
    assert_eq!(of(Vec::clear), None, "nothing");
}

#[test]
fn a_cuboid_has_its_volume_area_and_centre_in_any_hand() {
    for extents in [[2.0, 3.0, 4.0], [-2.0, 3.0, 4.0], [-2.0, -3.0, -4.0]] {
        for axes in [AXES, [AXES[1], AXES[0], AXES[2]]] {
            let solid = Convex::cuboid([10.0, 20.0, 30.0], axes, extents);
            sound(&solid);
            near(solid.volume(), 24.0, 1e-9);
            near(solid.area(), 52.0, 1e-9);
            let far = (0..3).fold([10.0, 20.0, 30.0], |at, axis| plus(at, times(axes[axis], extents[axis] / 2.0)));
            (0..3).for_each(|axis| near(solid.centre()[axis], far[axis], 1e-9));
        }
    }
}

#[test]
fn a_corner_cut_off_a_cube_is_a_tetrahedron() {
    let plane = keep([3.0, 0.0, 0.0], [1.0, 1.0, 1.0]);
    let corner = cube(10.0).cut(&plane).unwrap();
    sound(&corner);
    // A sixth of the cube on its legs; its slanted face is an equilateral triangle with sides of 3√2; its centre is the
    // mean of its corners.
    near(corner.volume(), 27.0 / 6.0, 1e-9);
    near(corner.area(), 3.0 * 4.5 + 18.0 * 3.0_f64.sqrt() / 4.0, 1e-9);
    (0..3).for_each(|axis| near(corner.centre()[axis], 0.75, 1e-9));
    assert_eq!((corner.corners().len(), corner.faces().len()), (4, 4));
    let rest = cube(10.0).cut(&plane.flipped()).unwrap();
    sound(&rest);
    near(rest.volume(), 1000.0 - 4.5, 1e-9);
    assert_eq!((rest.corners().len(), rest.faces().len()), (10, 7));
}

#[test]
fn planes_that_only_touch_leave_no_sliver() {
    let solid = cube(10.0);
    for off in [0.0, TOUCH / 2.0, -TOUCH / 2.0] {
        for (point, outwards) in [
            ([10.0 + off, 0.0, 0.0], [1.0, 0.0, 0.0]),
            ([10.0 + off, 10.0, 0.0], [1.0, 1.0, 0.0]),
            ([10.0 + off, 10.0, 10.0], [1.0, 1.0, 1.0]),
        ] {
            assert_eq!(solid.cut(&keep(point, outwards)), Some(solid.clone()));
            assert_eq!(solid.cut(&keep(point, outwards).flipped()), None);
            assert!(solid.section(&keep(point, outwards)).is_empty());
        }
    }
    assert_eq!(solid.cut(&keep([-1.0, 0.0, 0.0], [1.0, 0.0, 0.0])), None);
}

#[test]
fn a_plane_through_corners_and_edges_makes_no_corner_anew() {
    let wedge = cube(10.0).cut(&keep([0.0, 0.0, 0.0], [1.0, -1.0, 0.0])).unwrap();
    sound(&wedge);
    near(wedge.volume(), 500.0, 1e-9);
    assert_eq!((wedge.corners().len(), wedge.faces().len()), (6, 5));
    let three = cube(10.0).cut(&keep([10.0, 0.0, 0.0], [1.0, 1.0, 1.0])).unwrap();
    near(three.volume(), 1000.0 / 6.0, 1e-9);
    assert_eq!(three.corners().len(), 4);
}

/// The prismatoid formula `V = h (A + 4 M + B) / 6` (Newton–Simpson; exact for every solid between two parallel planes).
#[test]
fn a_board_with_bevelled_ends_is_a_prismatoid() {
    let board = Convex::cuboid([-500.0, 0.0, 0.0], AXES, [1000.0, 90.0, 20.0]);
    let left = keep([-450.0, 0.0, 0.0], [-1.0, 0.3, 0.4]);
    let right = keep([470.0, 0.0, 0.0], [1.0, -0.2, 0.9]);
    let cut = board.cut(&left).and_then(|rest| rest.cut(&right)).unwrap();
    sound(&cut);
    let area = |z: f64| length(ring_area(&cut.section(&keep([0.0, 0.0, z], AXES[2]))));
    // Sections within the solid, and the two faces by formula of a trapezium: mean length times width.
    let long = |y: f64, z: f64| (470.0 + 0.2 * y - 0.9 * z) - (-450.0 + 0.3 * y + 0.4 * z);
    let trapezium = |z: f64| (long(0.0, z) + long(90.0, z)) / 2.0 * 90.0;
    near(area(10.0), trapezium(10.0), 1e-6);
    near(cut.volume(), 20.0 * (trapezium(0.0) + 4.0 * trapezium(10.0) + trapezium(20.0)) / 6.0, 1e-6);
}

#[test]
fn a_section_runs_counter_clockwise_about_the_normal() {
    let plane = keep([5.0, 5.0, 5.0], [1.0, 1.0, 1.0]);
    let ring = cube(10.0).section(&plane);
    // A cube cut square to its diagonal through the middle: a regular hexagon with sides of s/√2 (Euclid's cube).
    assert_eq!(ring.len(), 6);
    let area = ring_area(&ring);
    near(dot(area, plane.normal), 1.5 * 3.0_f64.sqrt() * 50.0, 1e-9);
}

#[test]
fn rays_enter_and_leave() {
    let solid = cube(10.0);
    assert_eq!(solid.ray([5.0, 5.0, -3.0], [0.0, 0.0, 2.0]), Some((1.5, 6.5)));
    let (enter, leave) = solid.ray([0.0; 3], [1.0, 1.0, 1.0]).unwrap();
    assert_eq!((enter, leave), (0.0, 10.0));
    assert_eq!(solid.ray([11.0, 5.0, 0.0], [0.0, 0.0, 1.0]), None);
    assert_eq!(solid.ray([10.0, 5.0, 0.0], [0.0, 0.0, 1.0]), None);
}

#[test]
fn overlap_is_the_shortest_way_out() {
    let solid = cube(10.0);
    for (by, depth) in [
        ([8.0, 1.0, 3.0], 2.0),
        ([10.0, 0.0, 0.0], 0.0),
        ([10.0, 10.0, 10.0], 0.0),
        ([13.0, 0.0, 0.0], -3.0),
        ([0.0; 3], 10.0),
    ] {
        near(solid.overlap(&solid.moved(by)), depth, 1e-12);
        near(solid.moved(by).overlap(&solid), depth, 1e-12);
    }
    // Two bars crossing edge to edge, each turned by 45° about its length: only the product of the edges parts them.
    let half = 0.5_f64.sqrt();
    let along_x =
        Convex::cuboid([-50.0, 0.0, 0.0], [AXES[0], [0.0, half, half], [0.0, -half, half]], [100.0, 10.0, 10.0]);
    let along_y =
        Convex::cuboid([0.0, -50.0, 0.0], [AXES[1], [half, 0.0, half], [-half, 0.0, half]], [100.0, 10.0, 10.0]);
    let high = 10.0 * 2.0_f64.sqrt();
    near(along_x.overlap(&along_y.moved([0.0, 0.0, high - 1.0])), 1.0, 1e-9);
    near(along_x.overlap(&along_y.moved([0.0, 0.0, high + 1.0])), -1.0, 1e-9);
}

#[test]
fn contact_is_where_faces_lie_on_one_another() {
    let solid = cube(10.0);
    let contact = solid.contact(&solid.moved([10.0, 4.0, 3.0]), 1e-3).unwrap();
    near(contact.area(), 6.0 * 7.0, 1e-9);
    assert_eq!(contact.normal, [1.0, 0.0, 0.0]);
    near(dot(ring_area(&contact.ring), contact.normal), 42.0, 1e-9);
    // Apart by less than the tolerance, by more, touching along an edge only, and at a corner only.
    near(solid.contact(&solid.moved([10.0005, 4.0, 3.0]), 1e-3).unwrap().area(), 42.0, 1e-9);
    assert!(solid.contact(&solid.moved([10.002, 4.0, 3.0]), 1e-3).is_none());
    assert!(solid.contact(&solid.moved([10.0, 10.0, 0.0]), 1e-3).is_none());
    assert!(solid.contact(&solid.moved([10.0, 10.0, 10.0]), 1e-3).is_none());
    // A smaller one standing wholly on a larger.
    let post = Convex::cuboid([2.0, 3.0, 10.0], AXES, [4.0, 5.0, 100.0]);
    near(solid.contact(&post, 1e-3).unwrap().area(), 20.0, 1e-9);
    near(post.contact(&solid, 1e-3).unwrap().area(), 20.0, 1e-9);
}

/// A board for one of `sides` equal sides that lean outwards by `lean`, as it leaves the saw: its outer face on z = 0, x
/// along the board, y up its face, its lower edge `low` long from long point to long point.
///
/// Saw and tilt by the compound-angle formulas, which are *common practice*: the saw swung by
/// `atan(tan(180°/N) · sin S)` from square, the blade tilted by `asin(sin(180°/N) · cos S)`.
fn sawn(sides: usize, lean: f64, low: f64, width: f64, thickness: f64) -> Convex {
    let share = PI / sides as f64;
    let saw = libm::atan(libm::tan(share) * libm::sin(lean));
    let tilt = libm::asin(libm::sin(share) * libm::cos(lean));
    let board = Convex::cuboid([-low * 2.0, 0.0, -thickness], AXES, [low * 4.0, width, thickness]);
    let end = |way: f64| {
        let outwards = [way * libm::cos(tilt) * libm::cos(saw), -libm::cos(tilt) * libm::sin(saw), -libm::sin(tilt)];
        keep([way * low / 2.0, 0.0, 0.0], outwards)
    };
    board.cut(&end(1.0)).and_then(|board| board.cut(&end(-1.0))).unwrap()
}

/// The board stood up as the given side: its outer lower edge on the polygon's side, leaning outwards.
fn stood(board: &Convex, side: usize, sides: usize, lean: f64, low: f64) -> Vec<Vector> {
    let turn = 2.0 * PI * side as f64 / sides as f64;
    let out = [libm::cos(turn), libm::sin(turn), 0.0];
    let along = [-libm::sin(turn), libm::cos(turn), 0.0];
    let up = plus(times(out, libm::sin(lean)), times(AXES[2], libm::cos(lean)));
    let normal = cross(along, up);
    let apothem = low / 2.0 / libm::tan(PI / sides as f64);
    let place = |corner: &Vector| {
        let moved = plus(times(along, corner[0]), plus(times(up, corner[1]), times(normal, corner[2])));
        plus(times(out, apothem), moved)
    };
    board.corners().iter().map(place).collect()
}

/// Boards cut by the compound-angle formulas close: neighbours meet on the whole of their ends, to a micrometre.
#[test]
fn leaning_boards_cut_by_the_compound_angles_meet_in_planes() {
    const MICROMETRE: f64 = 1e-3;
    for sides in [3, 4, 5, 6, 8] {
        for lean in [0.0, 5.0, 10.0, 22.5, 45.0, 60.0_f64].map(f64::to_radians) {
            let board = sawn(sides, lean, 300.0, 180.0, 18.0);
            sound(&board);
            let corners: Vec<Vec<Vector>> = (0..sides).map(|side| stood(&board, side, sides, lean, 300.0)).collect();
            for side in 0..sides {
                let (own, next) = (&corners[side], &corners[(side + 1) % sides]);
                let met = own.iter().filter(|&&a| next.iter().any(|&b| length(minus(a, b)) < MICROMETRE));
                assert_eq!(met.count(), 4, "{sides} sides leaning {lean}");
            }
        }
    }
}

/// The dihedral angle between two outer faces of the tapered box, measured on solids made in space by mitre planes alone,
/// and the settings of the saw read off those solids: they are those of the compound-angle formulas.
#[test]
fn four_mitred_boards_made_in_space_have_the_angles_of_the_formulas() {
    let (lean, low, width, thickness) = (15.0_f64.to_radians(), 400.0, 250.0, 20.0);
    let quarter = PI / 2.0;
    let board = |side: usize| {
        let (sine, cosine) = [(0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0)][side];
        let (out, along) = ([cosine, sine, 0.0], [-sine, cosine, 0.0]);
        let up = plus(times(out, libm::sin(lean)), times(AXES[2], libm::cos(lean)));
        let inwards = times(cross(along, up), -1.0);
        let corner = plus(times(out, low / 2.0), times(along, -low * 2.0));
        let blank = Convex::cuboid(corner, [along, up, inwards], [low * 4.0, width, thickness]);
        let mitre = |way: f64| keep([0.0; 3], minus(times(along, way), out));
        blank.cut(&mitre(1.0)).and_then(|board| board.cut(&mitre(-1.0))).unwrap()
    };
    let boards: Vec<Convex> = (0..4).map(board).collect();
    for side in 0..4 {
        let (own, next) = (&boards[side], &boards[(side + 1) % 4]);
        sound(own);
        let contact = own.contact(next, 1e-6).unwrap();
        let lid = own.faces().iter().find(|face| length(minus(face.plane.normal, contact.normal)) < 1e-9).unwrap();
        near(contact.area(), length(ring_area(&own.ring(lid).collect::<Vec<_>>())), 1e-6);
        near(own.overlap(next), 0.0, 1e-9);
        let outer = |solid: &Convex| {
            let wide = |face: &&Face| length(ring_area(&solid.ring(face).collect::<Vec<_>>())) > low / 2.0 * width;
            let faces = solid.faces().iter().filter(wide).map(|face| face.plane);
            faces.max_by(|a, b| a.offset.total_cmp(&b.offset)).unwrap().normal
        };
        // Two planes leaning by S whose feet stand at a right angle: the cosine between their normals is sin² S.
        near(dot(outer(own), outer(next)), libm::sin(lean) * libm::sin(lean), 1e-12);
        near(dot(contact.normal, outer(own)).abs(), libm::sin(quarter / 2.0) * libm::cos(lean), 1e-12);
        let mark = unit(cross(contact.normal, outer(own))).unwrap();
        let level = unit(cross(outer(own), AXES[2])).unwrap();
        let square = cross(outer(own), level);
        near(dot(mark, level).abs() / dot(mark, square).abs(), libm::tan(quarter / 2.0) * libm::sin(lean), 1e-12);
    }
    // The prismatoid formula on the frame's boards: the ends taper linearly, so the mean length is that of the middle.
    let middle = low + width * libm::sin(lean) - thickness * libm::cos(lean);
    near(boards[0].volume(), width * thickness * middle, 1e-6);
}

fn direction() -> impl Strategy<Value = Vector> {
    [-1.0..1.0_f64, -1.0..1.0, -1.0..1.0].prop_filter("a direction", |a| length(*a) > 0.1)
}

fn cuts() -> impl Strategy<Value = Vec<HalfSpace>> {
    let plane = (direction(), [0.0..100.0_f64, 0.0..60.0, 0.0..20.0]);
    prop::collection::vec(plane.prop_map(|(outwards, point)| keep(point, outwards)), 1..8)
}

proptest! {
    #[test]
    fn both_sides_of_random_cuts_add_up(cuts in cuts()) {
        let mut solid = Convex::cuboid([0.0; 3], AXES, [100.0, 60.0, 20.0]);
        for plane in cuts {
            let (kept, off) = (solid.cut(&plane), solid.cut(&plane.flipped()));
            let volume = |part: &Option<Convex>| part.as_ref().map_or(0.0, Convex::volume);
            prop_assert!((volume(&kept) + volume(&off) - solid.volume()).abs() < 0.02);
            if let (Some(kept), Some(off)) = (&kept, &off) {
                sound(kept);
                sound(off);
                let section = length(ring_area(&solid.section(&plane)));
                prop_assert!((kept.area() + off.area() - solid.area() - 2.0 * section).abs() < 0.02);
                prop_assert!(kept.overlap(off).abs() < 1e-5);
                let back = plus(times(kept.centre(), kept.volume()), times(off.centre(), off.volume()));
                prop_assert!(length(minus(back, times(solid.centre(), solid.volume()))) < 1.0);
            }
            let Some(kept) = kept else { break };
            solid = kept;
        }
    }

    /// The same plane again, moved by about the tolerance and turned by next to nothing: the surface stays closed.
    #[test]
    fn cuts_that_nearly_repeat_leave_a_closed_surface(
        cuts in cuts(),
        shifts in prop::collection::vec((-3.0..3.0_f64, direction()), 12),
    ) {
        let mut solid = Convex::cuboid([0.0; 3], AXES, [100.0, 60.0, 20.0]);
        for (at, (shift, turn)) in shifts.into_iter().enumerate() {
            let plane = cuts[at % cuts.len()];
            let normal = unit(plus(plane.normal, times(turn, 1e-8))).unwrap();
            let Some(kept) = solid.cut(&HalfSpace { normal, offset: plane.offset + shift * TOUCH }) else { break };
            prop_assert!(kept.edges().iter().all(|edge| edge.faces[0] != edge.faces[1]));
            prop_assert!(kept.volume() > 0.0 && kept.volume() <= solid.volume() + 0.05);
            solid = kept;
        }
    }

    #[test]
    fn a_ray_is_inside_between_its_ends(cuts in cuts(), from in direction(), way in direction()) {
        let mut solid = Convex::cuboid([0.0; 3], AXES, [100.0, 60.0, 20.0]);
        for plane in &cuts {
            solid = solid.cut(plane).unwrap_or(solid);
        }
        let from = plus(times(from, 30.0), [50.0, 30.0, 10.0]);
        let height = |t: f64| {
            let point = plus(from, times(way, t));
            solid.faces().iter().map(|face| face.plane.height(point)).fold(f64::NEG_INFINITY, f64::max)
        };
        match solid.ray(from, way) {
            Some((enter, leave)) => {
                prop_assert!(height((enter + leave) / 2.0) < 0.0);
                prop_assert!(height(enter).abs() < 1e-6 && height(leave).abs() < 1e-6);
            }
            None => prop_assert!((-300..300).all(|t| height(f64::from(t)) > -1e-9)),
        }
    }
}
