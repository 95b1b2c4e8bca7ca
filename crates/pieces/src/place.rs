//! Puts boxes alongside the sides of a right-angled outline.

use crate::ask::Stand;
use crate::fitted::Fitted;
use measure::Length;
use model::build::Drawn;
use model::outline::Point;
use model::part::{At, Axis, Part, PartKey, Solid};
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
    /// Above the ground.
    pub up: [Length; 2],
}

/// The outline of a stand with sizes put in.
pub(crate) struct Ground {
    corners: Vec<Point>,
    headings: Vec<[i64; 2]>,
    names: Vec<String>,
}

impl Ground {
    /// The outline for the sizes that came out.
    ///
    /// # Errors
    /// If it does not close or crosses itself; fit's limits keep every side longer than nothing, so a right-angled outline of
    /// sizes that came out does close.
    pub(crate) fn of(stand: &Stand, fitted: &Fitted<'_>) -> Result<Ground, Problem> {
        let origin = [0, 1].map(|axis| stand.origin[axis].at(fitted.sizes()));
        let shift = |corner: Point| [corner[0] + origin[0], corner[1] + origin[1]];
        let corners = stand.outline.corners(fitted.sizes()).map_err(|bad| Problem::new(bad.to_string()))?;
        let corners = corners.into_iter().map(shift).collect();
        let headings = stand.outline.directions().iter().map(|heading| heading.map(|cosine| cosine as i64)).collect();
        let names = stand.outline.sides().iter().map(|side| side.name.clone()).collect();
        Ok(Ground { corners, headings, names })
    }

    /// The face's name.
    pub(crate) fn name(&self, side: usize) -> &str {
        &self.names[side]
    }

    /// The outline as it is drawn.
    pub(crate) fn drawn(&self, piece: &str) -> Drawn {
        Drawn { piece: piece.into(), corners: self.corners.clone() }
    }

    /// The axis that a way beside a side lies along.
    fn axis(&self, side: usize, way: Way) -> Axis {
        match (way, self.headings[side][0] != 0) {
            (Way::Up, _) => Axis::Z,
            (Way::Along, true) | (Way::Out, false) => Axis::X,
            (Way::Along, false) | (Way::Out, true) => Axis::Y,
        }
    }

    /// A part beside a side, its length and width lying the two ways that `lie` names.
    pub(crate) fn part(&self, side: usize, spans: Spans, lie: [Way; 2], key: PartKey, stock: StockRef) -> Part {
        let heading = self.headings[side];
        // Outwards lies to the right of the heading.
        let outwards = [heading[1], -heading[0]];
        let corner = |along: Length, out: Length| {
            [0, 1].map(|axis| self.corners[side][axis] + along * heading[axis] + out * outwards[axis])
        };
        let (a, b) = (corner(spans.along[0], spans.out[0]), corner(spans.along[1], spans.out[1]));
        let lowest = [a[0].min(b[0]), a[1].min(b[1]), spans.up[0]];
        let extent = |way: Way| match way {
            Way::Along => spans.along[1] - spans.along[0],
            Way::Out => spans.out[1] - spans.out[0],
            Way::Up => spans.up[1] - spans.up[0],
        };
        let third = [Way::Along, Way::Out, Way::Up].into_iter().find(|way| !lie.contains(way)).unwrap_or(Way::Up);
        Part {
            key,
            id: String::new(),
            stock,
            solid: Solid::square(extent(lie[0]), extent(lie[1]), extent(third)),
            at: At { corner: lowest, along: self.axis(side, lie[0]), across: self.axis(side, lie[1]) },
        }
    }
}
