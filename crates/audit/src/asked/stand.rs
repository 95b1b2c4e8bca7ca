//! A planned piece and what others may know of it: where it stands.

use super::Form;
use crate::ground::{Outline, Sum};
use crate::laid::Site;
use crate::texts::Piece;

/// A piece as it is planned.
pub(crate) struct Planned {
    pub name: String,
    pub is: &'static str,
    /// The piece that it stands on, in or round, by its place.
    pub around: Option<usize>,
    /// Whether it is fixed to that, and lifted with it.
    pub fixed: bool,
    pub standing: Standing,
    pub stand: Stand,
    /// What lays its parts.
    pub form: Box<dyn Form>,
}

/// What a piece stands by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Standing {
    /// By itself.
    Alone,
    /// Beside another, on the same ground.
    Beside,
    /// On, in or round another.
    By,
}

/// Where a piece stands, for those that refer to it.
#[derive(Clone, Debug)]
pub(crate) struct Stand {
    /// Its outermost outline.
    pub outline: Outline,
    pub bottom: Sum,
    pub top: Sum,
    /// How far the inner faces lie inwards of the outline, if it has an inside.
    pub wall: Option<i128>,
    /// Whether boards can be fixed to its faces.
    pub faces: bool,
    /// Whether its faces lean: how far the lower outer edges lie inwards of the outline (batter).
    pub batter: i128,
}

impl Stand {
    /// Plain: upright, with nothing inside.
    pub fn plain(outline: Outline, bottom: Sum, top: Sum) -> Stand {
        Stand { outline, bottom, top, wall: None, faces: false, batter: 0 }
    }

    /// The outline of its inside.
    pub fn inside(&self) -> Result<Outline, String> {
        let wall = self.wall.ok_or("it has no inside")?;
        Ok(self.outline.grown(-wall))
    }
}

impl Planned {
    /// A piece that is fixed to nothing and stands by another.
    pub fn new(piece: &Piece, is: &'static str, stand: Stand, form: Box<dyn Form>) -> Planned {
        Planned { name: piece.name.clone(), is, around: None, fixed: false, standing: Standing::By, stand, form }
    }

    /// The face's name as quantities have it.
    pub fn called(&self, face: &str) -> String {
        format!("{}.{}", self.name, face.replace(' ', "-"))
    }

    /// From the bottom to the top.
    pub fn up(&self, site: &Site<'_>) -> [i128; 2] {
        [site.value(&self.stand.bottom), site.value(&self.stand.top)]
    }
}
