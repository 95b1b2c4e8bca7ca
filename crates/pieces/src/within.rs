//! Standing in another piece: its inside, and what stands there already.

use crate::ask::{Ask, Stand};
use crate::timber::Timber;
use measure::Length;
use model::affine::Affine;
use model::plan::{PieceText, Plan};
use model::problem::Problem;

/// What a piece takes of the inside of another: a band along the inner faces, between two heights.
#[derive(Clone, Debug)]
pub(crate) struct Within {
    /// How far inwards of the inner faces it begins.
    pub(crate) clear: Length,
    /// How far inwards of them it reaches; `None` for all the way across.
    pub(crate) deep: Option<Length>,
    /// Its lower edge.
    pub(crate) bottom: Affine,
    /// Its upper edge.
    pub(crate) top: Affine,
    /// Whether it is loose, as soil is, and goes round what stands there; then only other loose stuff is in its way.
    pub(crate) loose: bool,
}

impl Within {
    /// Whether two of them could meet: where neither their bands nor their heights keep them apart whatever the sizes that are
    /// wished. `least` tells the least value of a length within the wishes.
    pub(crate) fn meets(&self, other: &Within, least: &dyn Fn(&Affine) -> Length) -> bool {
        let beside = |a: &Within, b: &Within| a.deep.is_some_and(|deep| deep <= b.clear);
        let below = |a: &Within, b: &Within| least(&(b.bottom.clone() - a.top.clone())) >= Length::ZERO;
        self.loose == other.loose
            && !(beside(self, other) || beside(other, self) || below(self, other) || below(other, self))
    }

    /// What to do where it meets another.
    pub(crate) fn hint(&self) -> &'static str {
        match self.loose {
            true => "a piece is filled once, with as many `layers` as there are",
            false => {
                "posts stand on a floor with `from`; a floor keeps off the walls, and so off posts, by `clear`, and walls in others by `setback` or, higher up, by `off-ground`"
            }
        }
    }
}

/// What of the walls behind the key `in` stands out of their inner faces.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct StandsOut {
    /// How thick the ribs behind their joints are.
    pub(crate) ribs: Option<Length>,
    /// The longer side of the posts in their corners.
    pub(crate) posts: Option<Length>,
}

impl StandsOut {
    /// As the plan has it.
    ///
    /// # Errors
    /// If the walls name a board that is not in the yard.
    pub(crate) fn of(text: &PieceText, plan: &Plan) -> Result<StandsOut, Problem> {
        let host = text.values.text("in");
        let Some(walls) = plan.pieces.iter().find(|piece| Some(&piece.name) == host.as_ref()) else {
            return Ok(StandsOut::default());
        };
        let board = |key: &str| if walls.schema.name == "walls" { Timber::behind(walls, plan, key) } else { Ok(None) };
        let posts = board("post")?.map(|post| post.width.max(post.thickness));
        Ok(StandsOut { ribs: board("rib")?.map(|rib| rib.thickness), posts })
    }

    /// How far, from walls so thick.
    pub(crate) fn far(self, wall: Length) -> Length {
        let posts = self.posts.map_or(Length::ZERO, |deep| deep - wall);
        self.ribs.unwrap_or(Length::ZERO).max(posts)
    }
}

/// The floor behind a key, if it is there.
///
/// # Errors
/// If what it names is no floor.
pub(crate) fn floor_behind<'p>(text: &PieceText, plan: &'p Plan, key: &str) -> Result<Option<&'p PieceText>, Problem> {
    let Some(name) = text.values.text(key) else { return Ok(None) };
    let is_floor = |piece: &&PieceText| piece.name == name && std::ptr::eq(piece.schema, &crate::floor::SCHEMA);
    let other = || Problem::new(format!("`{name}` is no floor")).at(&text.values.place_of(key));
    let hint = || other().hint(format!("name a piece that is `floor`, or leave `{key}` out"));
    plan.pieces.iter().find(is_floor).ok_or_else(hint).map(Some)
}

/// A piece that others stand in: where it stands, and its inside.
pub(crate) struct Host {
    pub(crate) stand: Stand,
    pub(crate) inside: Stand,
}

impl Host {
    /// The piece behind the key `in`.
    ///
    /// # Errors
    /// If it has no inside.
    pub(crate) fn of(ask: &Ask<'_>, text: &PieceText) -> Result<Host, Problem> {
        let place = text.values.place_of("in");
        let name = text.need_text("in")?;
        let stand = ask.stand(&name, &place)?;
        let none = || Problem::new(format!("`{name}` has no inside")).at(&place).hint("name a piece that is `walls`");
        let inside = stand.inside().ok_or_else(none)?;
        Ok(Host { stand, inside })
    }

    /// The piece behind the key `in`, whose walls stand plumb.
    ///
    /// # Errors
    /// If it has no inside, or its walls lean.
    pub(crate) fn plumb(ask: &Ask<'_>, text: &PieceText) -> Result<Host, Problem> {
        let host = Host::of(ask, text)?;
        if host.stand.batter == Length::ZERO {
            return Ok(host);
        }
        let leans = format!("the walls of `{}` lean, and `{}` stands plumb", text.need_text("in")?, text.name);
        let place = text.values.place_of("in");
        Err(Problem::new(leans).at(&place).hint("leave `batter` out of the walls, or take this piece out"))
    }

    /// The piece behind another key, which has to stand in the same piece.
    ///
    /// # Errors
    /// If it does not.
    pub(crate) fn holds(&self, ask: &Ask<'_>, text: &PieceText, key: &str) -> Result<Stand, Problem> {
        let place = text.values.place_of(key);
        let name = text.need_text(key)?;
        let stand = ask.stand(&name, &place)?;
        if stand.origin == self.inside.origin && stand.outline == self.inside.outline {
            return Ok(stand);
        }
        let host = text.need_text("in")?;
        Err(Problem::new(format!("`{name}` is no floor in `{host}`"))
            .at(&place)
            .hint(format!("name a `floor` with `in = \"{host}\"`")))
    }
}
