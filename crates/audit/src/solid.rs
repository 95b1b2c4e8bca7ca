//! Convex solids at any angle, in millimetres: a part's box cut by the planes that trim it, its volume, and how far two are
//! apart.

use crate::claims::Part;
use crate::ground::sin_cos;
#[cfg(test)]
use crate::laid::Laid;

/// A point or a direction.
pub(crate) type Vector = [f64; 3];

/// Nanometres in a millimetre.
const MILLIMETRE: f64 = 1e6;
/// What lies nearer to a plane than this counts as on it: a millionth of a millimetre.
const ON_IT: f64 = 1e-6;
/// Two directions whose cross product is shorter than this count as one.
const PARALLEL: f64 = 1e-9;

/// A convex solid.
#[derive(Clone)]
pub(crate) struct Solid {
    /// Each face's corners, counter-clockwise as seen from outside.
    faces: Vec<Vec<Vector>>,
    /// All corners, each once.
    points: Vec<Vector>,
    /// The directions in which two such solids can lie apart: the faces' normals, and those of the edges.
    normals: Vec<Vector>,
    edges: Vec<Vector>,
}

/// A plane: out of the solid, and a point on it.
pub(crate) type Plane = (Vector, Vector);

impl Solid {
    /// A part as it is claimed; `None` if its planes leave nothing of it.
    pub fn of(part: &Part) -> Option<Solid> {
        let to_mm = |at: i64| at as f64 / MILLIMETRE;
        let planes =
            part.planes.iter().map(|plane| (plane.normal.map(|at| at as f64 / 1e12), plane.through.map(to_mm)));
        let frame = frame(part.heading, part.lean);
        Solid::cut(part.extent().map(to_mm), planes.collect(), part.corner.map(to_mm), frame)
    }

    /// A part as the referee lays it.
    #[cfg(test)]
    pub fn laid(part: &Laid<'_>) -> Option<Solid> {
        let to_mm = |at: i128| at as f64 / MILLIMETRE;
        let planes = part.planes.iter().map(|plane| (plane.normal, plane.through.map(|at| at / MILLIMETRE)));
        let frame = frame(part.spot.heading, part.spot.lean);
        Solid::cut(part.spot.extent.map(to_mm), planes.collect(), part.spot.corner.map(to_mm), frame)
    }

    /// A box along the axes of the build, from corner to corner in nanometres.
    pub fn upright(from: [i64; 3], to: [i64; 3]) -> Solid {
        let place = |point: &Vector| [0, 1, 2].map(|axis| from[axis] as f64 / MILLIMETRE + point[axis]);
        let faces = box_faces([0, 1, 2].map(|axis| (to[axis] - from[axis]) as f64 / MILLIMETRE));
        Solid::of_faces(faces.iter().map(|face| face.iter().map(place).collect()).collect())
    }

    fn cut(extent: Vector, planes: Vec<Plane>, corner: Vector, frame: [Vector; 3]) -> Option<Solid> {
        let mut faces = box_faces(extent);
        for plane in &planes {
            faces = trimmed(faces, plane);
        }
        let place = |point: &Vector| {
            let along = |axis: usize| (0..3).map(|own| frame[own][axis] * point[own]).sum::<f64>();
            [0, 1, 2].map(|axis| corner[axis] + along(axis))
        };
        let faces: Vec<Vec<Vector>> = faces.iter().map(|face| face.iter().map(place).collect()).collect();
        (faces.len() >= 4).then(|| Solid::of_faces(faces))
    }

    fn of_faces(faces: Vec<Vec<Vector>>) -> Solid {
        let (mut points, mut normals, mut edges) = (Vec::new(), Vec::new(), Vec::new());
        for face in &faces {
            add_direction(&mut normals, normal(face));
            for (at, point) in face.iter().enumerate() {
                if !points.iter().any(|known| length(minus(*known, *point)) <= ON_IT) {
                    points.push(*point);
                }
                add_direction(&mut edges, minus(face[(at + 1) % face.len()], *point));
            }
        }
        Solid { faces, points, normals, edges }
    }

    pub fn points(&self) -> &[Vector] {
        &self.points
    }

    /// Each face's corners, counter-clockwise as seen from outside.
    pub fn faces(&self) -> &[Vec<Vector>] {
        &self.faces
    }

    /// What of it lies behind planes; `None` if nothing does.
    pub fn behind(&self, planes: &[Plane]) -> Option<Solid> {
        let faces = planes.iter().fold(self.faces.clone(), trimmed);
        (faces.len() >= 4).then(|| Solid::of_faces(faces))
    }

    /// The volume in cubic millimetres by the divergence theorem on the triangles of its faces.
    pub fn volume(&self) -> f64 {
        let origin = self.points[0];
        let fan = |face: &Vec<Vector>| {
            let from = |at: usize| minus(face[at], origin);
            (2..face.len()).map(|at| dot(from(0), cross(from(at - 1), from(at)))).sum::<f64>()
        };
        self.faces.iter().map(fan).sum::<f64>() / 6.0
    }

    /// The area of all faces in square millimetres: each is a fan of triangles about its first corner.
    pub fn surface(&self) -> f64 {
        let area = |face: &Vec<Vector>| {
            let side = |at: usize| minus(face[at], face[0]);
            let twice = (2..face.len()).fold([0.0; 3], |sum, at| {
                let own = cross(side(at - 1), side(at));
                [sum[0] + own[0], sum[1] + own[1], sum[2] + own[2]]
            });
            dot(twice, twice).sqrt() / 2.0
        };
        self.faces.iter().map(area).sum()
    }

    /// How far the solid reaches in a direction.
    fn shadow(&self, direction: Vector) -> [f64; 2] {
        let places = self.points.iter().map(|point| dot(*point, direction));
        places.fold([f64::MAX, f64::MIN], |[low, high], at| [low.min(at), high.max(at)])
    }

    /// How far two solids are apart in the direction in which they are furthest; less than nothing by as much as the one must
    /// be moved to be clear of the other.
    ///
    /// Two convex solids that share no space are apart along a face's normal of either or along the cross product of an edge of
    /// each (separating axes).
    pub fn gap(&self, other: &Solid) -> f64 {
        let mut widest = f64::MIN;
        let mut look = |direction: Vector| {
            let ([a, b], [c, d]) = (self.shadow(direction), other.shadow(direction));
            widest = widest.max((c - b).max(a - d));
        };
        self.normals.iter().chain(&other.normals).for_each(|direction| look(*direction));
        for a in &self.edges {
            for b in &other.edges {
                let both = cross(*a, *b);
                if length(both) > PARALLEL {
                    look(unit(both));
                }
            }
        }
        widest
    }

    /// The box along the axes of the build that holds it.
    pub fn bounds(&self) -> [Vector; 2] {
        let end = |pick: fn(f64, f64) -> f64, from: f64| {
            [0, 1, 2].map(|axis| self.points.iter().map(|point| point[axis]).fold(from, pick))
        };
        [end(f64::min, f64::MAX), end(f64::max, f64::MIN)]
    }
}

/// The directions of a frame's axes in the build: turned to the left by its heading, then leaning outwards by its lean.
pub(crate) fn frame(heading: i64, lean: i64) -> [Vector; 3] {
    let ((sin, cos), (leaning, upright)) = (sin_cos(heading), sin_cos(lean));
    let (level, up) = ([-sin, cos, 0.0], [0.0, 0.0, 1.0]);
    let y = [0, 1, 2].map(|axis| upright * level[axis] + leaning * up[axis]);
    let z = [0, 1, 2].map(|axis| upright * up[axis] - leaning * level[axis]);
    [[cos, sin, 0.0], y, z]
}

fn box_faces([x, y, z]: Vector) -> Vec<Vec<Vector>> {
    let at = |corner: usize| [[0.0, x][corner & 1], [0.0, y][corner >> 1 & 1], [0.0, z][corner >> 2 & 1]];
    let faces = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
    faces.iter().map(|face| face.iter().map(|&corner| at(corner)).collect()).collect()
}

/// What of a solid's faces lies behind a plane, with a new face on it.
fn trimmed(faces: Vec<Vec<Vector>>, (normal, through): &Plane) -> Vec<Vec<Vector>> {
    let height = |point: &Vector| dot(minus(*point, *through), *normal);
    if faces.iter().flatten().all(|point| height(point) <= ON_IT) {
        return faces;
    }
    let (mut kept, mut rim) = (Vec::new(), Vec::new());
    for face in &faces {
        let mut behind: Vec<Vector> = Vec::new();
        for (at, point) in face.iter().enumerate() {
            let next = &face[(at + 1) % face.len()];
            let (here, there) = (height(point), height(next));
            if here <= ON_IT {
                behind.push(*point);
            }
            if here.abs() <= ON_IT {
                rim.push(*point);
            }
            if (here < -ON_IT && there > ON_IT) || (here > ON_IT && there < -ON_IT) {
                let share = here / (here - there);
                let crossing = [0, 1, 2].map(|axis| point[axis] + share * (next[axis] - point[axis]));
                behind.push(crossing);
                rim.push(crossing);
            }
        }
        if behind.iter().any(|point| height(point) < -ON_IT) {
            kept.push(behind);
        }
    }
    let rim = ordered(rim, *normal);
    if rim.len() >= 3 {
        kept.push(rim);
    }
    kept
}

/// The corners of a face, each once, counter-clockwise about its normal.
fn ordered(points: Vec<Vector>, normal: Vector) -> Vec<Vector> {
    let mut corners: Vec<Vector> = Vec::new();
    for point in points {
        if !corners.iter().any(|known| length(minus(*known, point)) <= ON_IT) {
            corners.push(point);
        }
    }
    let count = corners.len().max(1) as f64;
    let middle = [0, 1, 2].map(|axis| corners.iter().map(|corner| corner[axis]).sum::<f64>() / count);
    let Some(first) = corners.first().map(|corner| minus(*corner, middle)) else { return corners };
    let second = cross(normal, first);
    let angle = |corner: &Vector| {
        let from = minus(*corner, middle);
        libm::atan2(dot(from, second), dot(from, first))
    };
    corners.sort_by(|a, b| angle(a).total_cmp(&angle(b)));
    corners
}

/// The normal of a face: of all corners, so that no three in line spoil it.
pub(crate) fn normal(face: &[Vector]) -> Vector {
    let mut sum = [0.0; 3];
    for at in 2..face.len() {
        let each = cross(minus(face[at - 1], face[0]), minus(face[at], face[0]));
        sum = [0, 1, 2].map(|axis| sum[axis] + each[axis]);
    }
    sum
}

/// Adds a direction if neither it nor its opposite is known.
fn add_direction(known: &mut Vec<Vector>, direction: Vector) {
    if length(direction) <= ON_IT {
        return;
    }
    let direction = unit(direction);
    if !known.iter().any(|other| length(cross(*other, direction)) <= PARALLEL) {
        known.push(direction);
    }
}

pub(crate) fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(crate) fn length(a: Vector) -> f64 {
    libm::sqrt(dot(a, a))
}

pub(crate) fn unit(a: Vector) -> Vector {
    let long = length(a);
    a.map(|part| part / long)
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOME: [Vector; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

    fn solid(extent: Vector, planes: &[Plane], corner: Vector, heading: i64) -> Solid {
        Solid::cut(extent, planes.to_vec(), corner, frame(heading, 0)).expect("something is left")
    }

    /// A box, a prism (half of it), and a cube less the tetrahedron at a corner, a³ (1 − 1/48) for a cut through the middles of
    /// three edges: closed forms.
    #[test]
    fn volumes() {
        let whole = Solid::cut([300.0, 20.0, 45.0], Vec::new(), [7.0, -3.0, 2.0], HOME).expect("a box");
        assert!((whole.volume() - 270_000.0).abs() < 1e-6);
        let half = (2.0_f64).sqrt().recip();
        let slant = ([half, half, 0.0], [10.0, 0.0, 0.0]);
        let prism = solid([10.0, 10.0, 5.0], &[slant], [0.0; 3], 37_000_000);
        assert!((prism.volume() - 250.0).abs() < 1e-9, "{}", prism.volume());
        let third = (3.0_f64).sqrt().recip();
        let corner = ([third; 3], [10.0, 10.0, 5.0]);
        let cube = solid([10.0; 3], &[corner], [1.0, 2.0, 3.0], 12_345_678);
        assert!((cube.volume() - 1000.0 * (1.0 - 1.0 / 48.0)).abs() < 1e-9, "{}", cube.volume());
        assert_eq!((cube.faces.len(), cube.points.len()), (7, 10));
    }

    /// A square of side 10 turned by 45° reaches 10 / √2 from its middle; edges that cross pass each other by the distance of
    /// their lines.
    #[test]
    fn gaps() {
        let square = solid([10.0; 3], &[], [0.0, 0.0, 0.0], 0);
        let turned = solid([10.0; 3], &[], [20.0, 0.0, 0.0], 45_000_000);
        // Its corner at the left lies 10 / √2 to the left of where it begins.
        assert!((square.gap(&turned) - (10.0 - 10.0 / 2.0_f64.sqrt())).abs() < 1e-9);
        let touching = solid([10.0; 3], &[], [10.0, 3.0, 0.0], 0);
        assert!(square.gap(&touching).abs() < 1e-12);
        let inside = solid([10.0; 3], &[], [9.0, 3.0, 0.0], 0);
        assert!((square.gap(&inside) + 1.0).abs() < 1e-12);
    }

    #[test]
    fn nothing_is_left_of_what_is_cut_away() {
        let plane = ([1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]);
        assert!(Solid::cut([10.0; 3], vec![plane], [0.0; 3], HOME).is_none());
    }
}
