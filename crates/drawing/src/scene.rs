//! Solids as they are seen from one side: which one is foremost at a point, and where on a solid there is room for its id.

use crate::lines::View;
use shape::Convex;
use shape::vector::{dot, plus, times};

/// A face that looks at the viewer by less than this cosine is too foreshortened to write on.
const LEAST_COSINE: f64 = 0.3;
/// Cells of the grid each way: some hundred solids fall into cells of a few.
const CELLS: usize = 24;
/// Where along a face a text is tried, as shares from its middle to its ends: the middle first.
const TRIES: [f64; 7] = [0.0, 0.3, -0.3, 0.6, -0.6, 0.8, -0.8];

/// What is kept clear round the end of a leader, as a share of the whole picture.
const ANCHOR: f64 = 0.002;

/// A rectangle on the paper at full size: from left to right, from below upwards.
pub(crate) type Area = [[f64; 2]; 2];

/// Solids seen along parallel lines.
pub(crate) struct Scene<'a> {
    shapes: &'a [Convex],
    view: View,
    areas: Vec<Area>,
    whole: Area,
    cells: Vec<Vec<usize>>,
}

impl<'a> Scene<'a> {
    /// The solids in millimetres of the build, and from where one looks.
    pub(crate) fn new(shapes: &'a [Convex], view: View) -> Scene<'a> {
        let areas: Vec<Area> = shapes.iter().map(|shape| [shape.reach(view.right), shape.reach(view.up)]).collect();
        let whole = around(&areas);
        let mut scene = Scene { shapes, view, areas, whole, cells: vec![Vec::new(); CELLS * CELLS] };
        for place in 0..shapes.len() {
            let [columns, rows] = [0, 1].map(|way| scene.areas[place][way].map(|at| scene.cell(way, at)));
            for row in rows[0]..=rows[1] {
                for column in columns[0]..=columns[1] {
                    scene.cells[row * CELLS + column].push(place);
                }
            }
        }
        scene
    }

    /// What all solids reach over on the paper.
    pub(crate) fn whole(&self) -> Area {
        self.whole
    }

    fn cell(&self, way: usize, at: f64) -> usize {
        let [low, high] = self.whole[way];
        // A float as an integer saturates, so a point outside falls into a cell at the edge.
        ((((at - low) / (high - low).max(f64::MIN_POSITIVE)) * CELLS as f64) as usize).min(CELLS - 1)
    }

    /// The solid that is seen at a point of the paper.
    pub(crate) fn foremost(&self, point: [f64; 2]) -> Option<usize> {
        let from = plus(times(self.view.right, point[0]), times(self.view.up, point[1]));
        let towards = self.view.towards();
        let near = self.cells[self.cell(1, point[1]) * CELLS + self.cell(0, point[0])].iter();
        let inside = |area: &Area| (0..2).all(|way| area[way][0] <= point[way] && point[way] <= area[way][1]);
        let hit = near.filter(|&&place| inside(&self.areas[place]));
        let leaves = hit.filter_map(|&place| Some((place, self.shapes[place].ray(from, towards)?.1)));
        leaves.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(place, _)| place)
    }

    /// The middle of a place on a solid where a text of this half size stands on one face, nothing before it; `None` if
    /// there is none.
    pub(crate) fn room(&self, solid: usize, half: [f64; 2]) -> Option<[f64; 2]> {
        self.room_where(solid, half, |_| true)
    }

    /// The same, of the places that will do.
    pub(crate) fn room_where(
        &self,
        solid: usize,
        half: [f64; 2],
        will_do: impl Fn([f64; 2]) -> bool,
    ) -> Option<[f64; 2]> {
        let spots = [-1.0, 0.0, 1.0].map(|x| [-1.0, 0.0, 1.0].map(|y| [x * half[0], y * half[1]]));
        self.faces(solid).iter().find_map(|face| {
            along(face).into_iter().filter(|middle| will_do(*middle)).find(|middle| {
                spots.iter().flatten().all(|step| {
                    let point = [middle[0] + step[0], middle[1] + step[1]];
                    within(face, point) && self.foremost(point) == Some(solid)
                })
            })
        })
    }

    /// A point at which a solid is seen, for the end of a leader; `None` if it lies wholly behind others, as far as a few
    /// dozen points tell.
    pub(crate) fn anchor(&self, solid: usize) -> Option<[f64; 2]> {
        let seen = |point: &[f64; 2]| self.foremost(*point) == Some(solid);
        let clear = ANCHOR * (0..2).map(|way| self.whole[way][1] - self.whole[way][0]).fold(0.0, f64::max);
        let on_faces = self.room(solid, [clear; 2]);
        let [across, up] = self.areas[solid];
        let share = |[low, high]: [f64; 2], step: u32| low + (high - low) * (f64::from(step) + 0.5) / 9.0;
        let grid = || (0..81).map(|step| [share(across, step % 9), share(up, step / 9)]);
        on_faces.or_else(|| grid().find(seen))
    }

    /// The faces of a solid that look at the viewer, as they are seen, the largest first.
    fn faces(&self, solid: usize) -> Vec<Vec<[f64; 2]>> {
        let shape = &self.shapes[solid];
        let towards = self.view.towards();
        let facing = shape.faces().iter().filter(|face| dot(face.plane.normal, towards) > LEAST_COSINE);
        let mut faces: Vec<Vec<[f64; 2]>> =
            facing.map(|face| shape.ring(face).map(|corner| self.view.flat(corner)).collect()).collect();
        faces.sort_by(|a, b| area(b).total_cmp(&area(a)));
        faces
    }
}

/// The smallest rectangle around rectangles.
pub(crate) fn around(areas: &[Area]) -> Area {
    let first = areas.first().copied().unwrap_or([[0.0; 2]; 2]);
    areas.iter().fold(first, |all, one| [0, 1].map(|way| [all[way][0].min(one[way][0]), all[way][1].max(one[way][1])]))
}

/// Twice the area of a polygon, positive if it runs counter-clockwise.
pub(crate) fn area(polygon: &[[f64; 2]]) -> f64 {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum()
}

/// Whether a point lies within a convex polygon that runs counter-clockwise.
pub(crate) fn within(polygon: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).all(|(a, b)| (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0]) >= 0.0)
}

/// What of a line lies within a convex polygon that runs counter-clockwise (Cyrus and Beck, 1978; *from memory*).
pub(crate) fn clip(polygon: &[[f64; 2]], from: [f64; 2], to: [f64; 2]) -> Option<[[f64; 2]; 2]> {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (a, b) in polygon.iter().zip(polygon.iter().cycle().skip(1)) {
        let inside = |point: [f64; 2]| (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0]);
        let (start, end) = (inside(from), inside(to));
        if start < 0.0 && end < 0.0 {
            return None;
        } else if start < 0.0 {
            enter = enter.max(start / (start - end));
        } else if end < 0.0 {
            leave = leave.min(start / (start - end));
        }
    }
    let at = |share: f64| [0, 1].map(|way| from[way] + share * (to[way] - from[way]));
    (enter < leave).then(|| [at(enter), at(leave)])
}

/// Points along the middle line of a face, the middle first.
fn along(face: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let count = face.len() as f64;
    let middle = [0, 1].map(|way| face.iter().map(|corner| corner[way]).sum::<f64>() / count);
    let sides = face.iter().zip(face.iter().cycle().skip(1)).map(|(a, b)| [b[0] - a[0], b[1] - a[1]]);
    let square = |side: &[f64; 2]| side[0] * side[0] + side[1] * side[1];
    let Some(longest) = sides.max_by(|a, b| square(a).total_cmp(&square(b))) else { return Vec::new() };
    TRIES.map(|share| [0, 1].map(|way| middle[way] + share * longest[way] / 2.0)).to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    const AXES: [[f64; 3]; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

    /// A board that stands before the left half of another: the id of the farther one moves to the right (worked by hand).
    #[test]
    fn a_text_stands_where_its_solid_is_seen() {
        let near = Convex::cuboid([0.0, 0.0, 0.0], AXES, [50.0, 10.0, 40.0]);
        let far = Convex::cuboid([0.0, 20.0, 0.0], AXES, [100.0, 10.0, 40.0]);
        let hidden = Convex::cuboid([0.0, 40.0, 0.0], AXES, [90.0, 10.0, 30.0]);
        let shapes = [near, far, hidden];
        let scene = Scene::new(&shapes, View::FRONT);
        assert_eq!(scene.foremost([20.0, 20.0]), Some(0));
        assert_eq!(scene.foremost([70.0, 20.0]), Some(1));
        assert_eq!(scene.foremost([120.0, 20.0]), None);
        assert_eq!(scene.room(0, [5.0, 5.0]), Some([25.0, 20.0]));
        assert_eq!(scene.room(1, [5.0, 5.0]), Some([65.0, 20.0]));
        assert_eq!(scene.room(2, [1.0, 1.0]), None);
        assert_eq!(scene.anchor(2), None);
        assert!(scene.anchor(1).is_some_and(|[x, _]| x > 50.0));
    }
}
