//! How the units of a ring lie.

use crate::place::Way;
use crate::rows::Corners;
use measure::Length;
use model::stock::{StockRef, Unit};

/// How each unit of a ring lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lay {
    /// Flat, its longer side along the row.
    Along,
    /// Flat, its longer side across the row.
    Across,
    /// On its longer edge, which lies along the row.
    OnEdge,
}

impl Lay {
    pub(super) fn word(self) -> &'static str {
        match self {
            Lay::Along => "along",
            Lay::Across => "across",
            Lay::OnEdge => "on edge",
        }
    }

    /// Which ways its longer and its shorter side lie.
    pub(super) fn ways(self) -> [Way; 2] {
        match self {
            Lay::Along => [Way::Along, Way::Out],
            Lay::Across => [Way::Out, Way::Along],
            Lay::OnEdge => [Way::Along, Way::Up],
        }
    }
}

/// One way of laying the ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pattern {
    pub lay: Lay,
    pub corners: Corners,
}

impl Pattern {
    pub(super) fn word(self) -> String {
        format!("{}, {}", self.lay.word(), self.corners.word())
    }
}

/// The measures of a unit as it lies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measures {
    pub stock: StockRef,
    pub length: Length,
    pub width: Length,
    pub thickness: Length,
}

impl Measures {
    pub(super) fn of(stock: StockRef, unit: &Unit) -> Measures {
        Measures { stock, length: unit.length, width: unit.width, thickness: unit.thickness }
    }

    /// How much of it lies one way.
    fn extent(self, lay: Lay, way: Way) -> Length {
        match lay.ways() {
            [length, _] if length == way => self.length,
            [_, width] if width == way => self.width,
            _ => self.thickness,
        }
    }

    /// What it takes of its row.
    pub(super) fn member(self, lay: Lay) -> Length {
        self.extent(lay, Way::Along)
    }

    /// How deep that row is.
    pub(super) fn depth(self, lay: Lay) -> Length {
        self.extent(lay, Way::Out)
    }

    /// How high it is.
    pub(super) fn height(self, lay: Lay) -> Length {
        self.extent(lay, Way::Up)
    }
}
