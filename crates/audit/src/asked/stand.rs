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
    /// A second piece that it is fixed to as well, and lifted with.
    pub and_to: Option<usize>,
    pub standing: Standing,
    pub stand: Stand,
    /// Whether an extra holds it.
    pub held: bool,
    /// What it asks to be screwed to what.
    pub fixings: Vec<Fixing>,
    /// The brackets, hangers and bolts that it asks for.
    pub fittings: Vec<Fitting>,
    /// What lays its parts.
    pub form: Box<dyn Form>,
}

/// A fitting, so many for each part of a role.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Fitting {
    pub stock: String,
    pub role: &'static str,
    pub each: i128,
    /// Whether they are bolts, which have a number of their own.
    pub bolts: bool,
}

/// Parts that are to be screwed to others wherever they touch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Fixing {
    /// Piece and role of what the heads lie in.
    pub held: (String, String),
    /// Piece and role of what the threads grip.
    pub base: (String, String),
    pub screw: String,
    /// How many at each place, if the plan says so.
    pub each: Option<i64>,
    pub load: Load,
    /// Whether the held parts only lean against the base, so that the screws cross air.
    pub leans: bool,
}

/// What pulls at what is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Load {
    /// Its own weight alone, as of cladding: it may be screwed nearer to its end.
    Own,
    /// It is pushed along its screws.
    Outwards,
    /// Its weight and what lies on it, borne by the base.
    Down,
    /// The base bears on it.
    DownOnBase,
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
        let (name, standing, fixings) = (piece.name.clone(), Standing::By, Vec::new());
        Planned {
            name,
            is,
            around: None,
            fixed: false,
            and_to: None,
            standing,
            stand,
            held: false,
            fixings,
            fittings: Vec::new(),
            form,
        }
    }

    /// Asks that parts of some role be screwed to parts of another one, wherever they touch; unless more is said of it, pushed
    /// outwards.
    pub fn fix(&mut self, held: (&str, &str), base: (&str, &str), screw: &str) -> &mut Fixing {
        let owned = |of: (&str, &str)| (of.0.to_string(), of.1.to_string());
        let (held, base) = (owned(held), owned(base));
        let at = self.fixings.len();
        self.fixings.push(Fixing { held, base, screw: screw.into(), each: None, load: Load::Outwards, leans: false });
        &mut self.fixings[at]
    }

    /// Asks for so many of the fitting behind a key for each part of a role, if the key is there.
    pub fn fit(&mut self, piece: &Piece, key: &str, role: &'static str, each: i128, there: bool) -> Result<(), String> {
        if !piece.has(key) {
            return Ok(());
        }
        if !there {
            return Err(format!("`{}` has nothing that `{key}` would hold", piece.name));
        }
        self.fittings.push(Fitting { stock: piece.word(key, "")?, role, each, bolts: key == "bolt" });
        Ok(())
    }

    /// Whether it is lifted with the piece of that place.
    pub fn is_fixed_to(&self, place: usize) -> bool {
        self.fixed && [self.around, self.and_to].contains(&Some(place))
    }

    /// The face's name as quantities have it.
    pub fn called(&self, face: &str) -> String {
        format!("{}.{}", self.name, face.replace(' ', "-"))
    }

    /// How many sides are kept free behind the front of what stands by itself.
    pub fn kept_free(&self) -> i128 {
        super::walls::beyond_front(&self.stand.outline)
    }

    /// From the bottom to the top.
    pub fn up(&self, site: &Site<'_>) -> [i128; 2] {
        [site.value(&self.stand.bottom), site.value(&self.stand.top)]
    }
}
