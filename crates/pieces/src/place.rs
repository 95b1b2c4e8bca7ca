//! Puts boxes alongside the sides of an outline, and trims their ends.

use crate::ask::Stand;
use crate::fitted::Fitted;
use crate::rows::RowLine;
use measure::{Angle, Length};
use model::build::Drawn;
use model::corner::Layer;
use model::outline::Point;
use model::part::{At, Axis, Frame, Part, PartKey, Plane, Solid, UNIT, from_mm};
use model::problem::Problem;
use model::stock::StockRef;

/// The three directions beside a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// Along the side, as one walks round counter-clockwise.
    Along,
    /// Outwards.
    Out,
    /// Up.
    Up,
}

/// From where to where a box reaches, in each direction beside a face.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Spans {
    /// Along the side, from its first corner.
    pub along: [Length; 2],
    /// Outwards of the side.
    pub out: [Length; 2],
    /// Above the ground; beside a leaning face, up the slope from the height at which the outline lies.
    pub up: [Length; 2],
}

impl Spans {
    fn extent(self, way: Way) -> Length {
        let [from, to] = match way {
            Way::Along => self.along,
            Way::Out => self.out,
            Way::Up => self.up,
        };
        to - from
    }
}

/// How a face leans: turned about its side, which lies at a height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Slope {
    /// Outwards from plumb.
    pub lean: Angle,
    /// The height of the line that it is turned about.
    pub base: Length,
}

impl Slope {
    /// A face that stands plumb on the ground.
    pub(crate) const PLUMB: Slope = Slope { lean: Angle::ZERO, base: Length::ZERO };
}

/// The outline of a stand with sizes put in.
pub(crate) struct Ground {
    corners: Vec<Point>,
    headings: Vec<Angle>,
    names: Vec<String>,
    right_angled: bool,
}

impl Ground {
    /// The outline for the sizes that came out.
    ///
    /// # Errors
    /// If it does not close or crosses itself; fit's limits keep every side longer than nothing, so an outline of sizes that
    /// came out does close.
    pub(crate) fn of(stand: &Stand, fitted: &Fitted<'_>) -> Result<Ground, Problem> {
        let origin = [0, 1].map(|axis| stand.origin[axis].at(fitted.sizes()));
        let shift = |corner: Point| [corner[0] + origin[0], corner[1] + origin[1]];
        let corners = stand.outline.corners(fitted.sizes()).map_err(|bad| Problem::new(bad.to_string()))?;
        let names = stand.outline.sides().iter().map(|side| side.name.clone()).collect();
        Ok(Ground {
            corners: corners.into_iter().map(shift).collect(),
            headings: stand.outline.headings(),
            names,
            right_angled: stand.outline.is_right_angled(),
        })
    }

    /// The face's name.
    pub(crate) fn name(&self, side: usize) -> &str {
        &self.names[side]
    }

    /// Where a side begins.
    pub(crate) fn corner(&self, side: usize) -> Point {
        self.corners[side]
    }

    /// The corners in the build's x and y, counter-clockwise.
    pub(crate) fn corners(&self) -> &[Point] {
        &self.corners
    }

    /// The outline as it is drawn.
    pub(crate) fn drawn(&self, piece: &str) -> Drawn {
        Drawn { piece: piece.into(), corners: self.corners.clone() }
    }

    /// The way of a side as cosine and sine.
    pub(crate) fn direction(&self, side: usize) -> [f64; 2] {
        let (sin, cos) = self.headings[side].sin_cos();
        [cos, sin]
    }

    /// A part beside a side, its length and width lying the two ways that `lie` names. Beside right-angled outlines it lies along
    /// the axes of the build, exactly; beside others in the frame of its side.
    pub(crate) fn part(&self, side: usize, spans: Spans, lie: [Way; 2], key: PartKey, stock: StockRef) -> Part {
        if !self.right_angled {
            return self.leaning(side, Slope::PLUMB, spans, lie, key, stock);
        }
        let heading = self.direction(side).map(|part| part as i64);
        // Outwards lies to the right of the heading.
        let outwards = [heading[1], -heading[0]];
        let corner = |along: Length, out: Length| {
            [0, 1].map(|axis| self.corners[side][axis] + along * heading[axis] + out * outwards[axis])
        };
        let (a, b) = (corner(spans.along[0], spans.out[0]), corner(spans.along[1], spans.out[1]));
        let lowest = [a[0].min(b[0]), a[1].min(b[1]), spans.up[0]];
        let axis = |way: Way| match (way, heading[0] != 0) {
            (Way::Up, _) => Axis::Z,
            (Way::Along, true) | (Way::Out, false) => Axis::X,
            (Way::Along, false) | (Way::Out, true) => Axis::Y,
        };
        let at = At { frame: Frame::BUILD, corner: lowest, along: axis(lie[0]), across: axis(lie[1]) };
        Part { key, id: String::new(), stock, solid: solid(spans, lie), at }
    }

    /// A part in the frame of a side whose face leans.
    pub(crate) fn leaning(
        &self,
        side: usize,
        slope: Slope,
        spans: Spans,
        lie: [Way; 2],
        key: PartKey,
        stock: StockRef,
    ) -> Part {
        let frame = Frame { heading: self.headings[side], lean: slope.lean };
        let own = [spans.along[0], -spans.out[1], spans.up[0]].map(Length::as_mm);
        let [x, y] = self.corners[side].map(Length::as_mm);
        let axes = frame.axes();
        let start = [x, y, slope.base.as_mm()];
        let corner = [0, 1, 2].map(|i| from_mm(start[i] + (0..3).map(|axis| own[axis] * axes[axis][i]).sum::<f64>()));
        let axis = |way: Way| match way {
            Way::Along => Axis::X,
            Way::Out => Axis::Y,
            Way::Up => Axis::Z,
        };
        let at = At { frame, corner, along: axis(lie[0]), across: axis(lie[1]) };
        Part { key, id: String::new(), stock, solid: solid(spans, lie), at }
    }

    /// Trims an end of a part of a side where its row is mitred; elsewhere the end stays square. `strip` is that of the row,
    /// `length` that of the side.
    pub(crate) fn mitre(&self, part: &mut Part, end: usize, line: &RowLine, strip: Layer, length: Length) {
        let Some([inner, outer]) = line.mitre[end] else { return };
        let points = match end {
            0 => [[-inner, strip.near()], [-outer, strip.far()]],
            _ => [[length + outer, strip.far()], [length + inner, strip.near()]],
        };
        self.trim_between(part, end, line.side, points);
    }

    /// Trims an end of a part of a side to the vertical plane that halves the corner there: for boards that lean, whose
    /// neighbours lean alike.
    pub(crate) fn halve(&self, part: &mut Part, end: usize, side: usize) {
        let count = self.corners.len();
        let (corner, neighbour, sense) = match end {
            0 => (side, (side + count - 1) % count, -1.0),
            _ => ((side + 1) % count, (side + 1) % count, 1.0),
        };
        let (own, other) = (self.direction(side), self.direction(neighbour));
        let sum = [own[0] + other[0], own[1] + other[1]];
        let length = libm::sqrt(sum[0] * sum[0] + sum[1] * sum[1]);
        let [x, y] = self.corners[corner].map(Length::as_mm);
        trim(part, end, [sense * sum[0] / length, sense * sum[1] / length, 0.0], [x, y, 0.0]);
    }

    /// Trims a part of a side to the vertical plane through two points beside the side, given along it and out of it. The part
    /// lies on the left of the way from the first point to the second, seen from above.
    pub(crate) fn trim_between(&self, part: &mut Part, end: usize, side: usize, points: [[Length; 2]; 2]) {
        let [cos, sin] = self.direction(side);
        let [x, y] = self.corners[side].map(Length::as_mm);
        let place = |[along, out]: [Length; 2]| {
            let [along, out] = [along.as_mm(), out.as_mm()];
            [x + along * cos + out * sin, y + along * sin - out * cos]
        };
        let [a, b] = points.map(place);
        let way = [b[0] - a[0], b[1] - a[1]];
        let length = libm::sqrt(way[0] * way[0] + way[1] * way[1]);
        // The right of the way is outside.
        trim(part, end, [way[1] / length, -way[0] / length, 0.0], [a[0], a[1], 0.0]);
    }
}

/// A box along the axes of the build: its corner with least x, y and z, how far it reaches along each, and the axes that its
/// length and its width lie along.
pub(crate) fn boxed(corner: [Length; 3], extent: [Length; 3], lie: [Axis; 2], key: PartKey, stock: StockRef) -> Part {
    let third = [Axis::X, Axis::Y, Axis::Z].into_iter().find(|axis| !lie.contains(axis)).unwrap_or(Axis::Z);
    let [length, width, thickness] = [lie[0], lie[1], third].map(|axis| extent[axis.index()]);
    let at = At { frame: Frame::BUILD, corner, along: lie[0], across: lie[1] };
    Part { key, id: String::new(), stock, solid: Solid::square(length, width, thickness), at }
}

fn solid(spans: Spans, lie: [Way; 2]) -> Solid {
    let third = [Way::Along, Way::Out, Way::Up].into_iter().find(|way| !lie.contains(way)).unwrap_or(Way::Up);
    Solid::square(spans.extent(lie[0]), spans.extent(lie[1]), spans.extent(third))
}

/// Trims a part to a plane of the build: `normal` points out of the part and is of unit length, `through` lies on the plane, in
/// millimetres.
pub(crate) fn trim(part: &mut Part, end: usize, normal: [f64; 3], through: [f64; 3]) {
    let axes = part.at.frame.axes();
    let corner = part.at.corner.map(Length::as_mm);
    let own = |vector: [f64; 3]| [0, 1, 2].map(|axis| (0..3).map(|i| vector[i] * axes[axis][i]).sum::<f64>());
    // A unit vector times UNIT is far below 2⁵³.
    let normal = own(normal).map(|part| libm::round(part * UNIT as f64) as i64);
    let through = own([0, 1, 2].map(|i| through[i] - corner[i])).map(from_mm);
    part.solid.ends[end].push(Plane { normal, through });
}
