//! `screen`: slats on posts that stand in holes, on ground that need not be level, with a return round the right corner.

mod posts;
mod slatted;

use crate::Piece;
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::fittings;
use crate::named::stock_behind;
use crate::place::Ground;
use crate::spaced::spacing;
use crate::timber::Timber;
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Fixing, Load, Roles};
use model::outline::Outline;
use model::part::PartKey;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, Wish, WishOf};
use model::stock::StockRef;
use posts::Posts;
use slatted::Slatted;

pub(crate) use posts::{BURIED, CONCRETE, HOLE, POST};
pub(crate) use slatted::RAIL;

/// The keys of `screen`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "screen",
    doc: "A fence or screen: level or upright slats with equal gaps, on posts that stand in holes, perhaps with a return that runs back from its right end.",
    fields: &[
        Field {
            key: "length",
            doc: "Along the front, over the outer faces of the end posts.",
            kind: SIZE,
            default: Default::Required,
        },
        Field {
            key: "return",
            doc: "How far it runs back from the right end, from the front face of the corner post to the far face of the last post; no return if left out.",
            kind: SIZE,
            default: Default::Absent,
        },
        Field {
            key: "height",
            doc: "What is slatted, from the lowest edge of the slats to the highest.",
            kind: SIZE,
            default: Default::Required,
        },
        Field {
            key: "top",
            doc: "The upper edge of slats and posts, above the height from which `ground` is measured.",
            kind: Kind::Length { least: 100, most: 5_000 },
            default: Default::Required,
        },
        Field { key: "board", doc: "The board of the slats.", kind: BOARD, default: Default::Required },
        Field {
            key: "boards",
            doc: "Which way the slats run.",
            kind: Kind::Word(&[
                ("level", "they lie, one above the other"),
                ("upright", "they stand side by side, on rails"),
            ]),
            default: Default::Text("level"),
        },
        Field {
            key: "gap",
            doc: "Between one slat and the next.",
            kind: Kind::Wish { of: WishOf::Gap, least: 0, most: 200 },
            default: Default::Required,
        },
        Field {
            key: "post",
            doc: "The board of the posts, its width along the front.",
            kind: BOARD,
            default: Default::Required,
        },
        Field {
            key: "spacing",
            doc: "The most from one post to the next, from middle to middle: what slats or rails span.",
            kind: Kind::Length { least: 100, most: 5_000 },
            default: Default::Required,
        },
        Field {
            key: "rail",
            doc: "For upright slats: the board, on edge, of the two rails between one post and the next.",
            kind: BOARD,
            default: Default::Absent,
        },
        fittings::field("bracket", "For upright slats: the bracket that holds each rail at both ends."),
        Field {
            key: "rail-in",
            doc: "For upright slats: how far the rails stay from the ends of the slats; 150 mm if left out.",
            kind: Kind::Length { least: 0, most: 1_000 },
            default: Default::Absent,
        },
        Field {
            key: "ground",
            doc: "How high the ground lies at each post; lower ground is negative. Those of the front from the left, the corner post last, then those of the return. Level if left out; otherwise there are as many posts as at the wished sizes.",
            kind: Kind::Lengths { least: -3_000, most: 3_000 },
            default: Default::Absent,
        },
        Field {
            key: "bury",
            doc: "How much of each post is in the ground, as a share of what shows: 50 % is a third of the whole post (*common practice*; check locally).",
            kind: Kind::Percent { most: 100 },
            default: Default::Text("50 %"),
        },
        Field {
            key: "bury-step",
            doc: "What the buried depth is rounded up to a multiple of.",
            kind: Kind::Length { least: 1, most: 500 },
            default: Default::Text("10 mm"),
        },
        Field {
            key: "bury-least",
            doc: "The least depth that a post is buried: never less than frost reaches where you are.",
            kind: Kind::Length { least: 0, most: 3_000 },
            default: Default::Text("600 mm"),
        },
        Field {
            key: "hole",
            doc: "How wide the holes are; some three times the post (*common practice*).",
            kind: Kind::Length { least: 50, most: 1_000 },
            default: Default::Absent,
        },
        Field {
            key: "gravel",
            doc: "How deep the gravel is on which each post stands.",
            kind: Kind::Length { least: 0, most: 500 },
            default: Default::Text("100 mm"),
        },
        Field {
            key: "concrete",
            doc: "The bag that the holes are filled from, round the posts. Earth rammed in layers if left out.",
            kind: Kind::Stock(StockKind::Bag),
            default: Default::Absent,
        },
        Field {
            key: "waste",
            doc: "How much more concrete to buy than the holes take.",
            kind: Kind::Percent { most: 100 },
            default: Default::Text("10 %"),
        },
        Field {
            key: "screw",
            doc: "The screw that holds the slats to posts or rails.",
            kind: Kind::Stock(StockKind::Screw),
            default: Default::Absent,
        },
    ],
};

const SIZE: Kind = Kind::Wish { of: WishOf::Size, least: 50, most: 20_000 };
const BOARD: Kind = Kind::Stock(StockKind::Board);

/// A screen as the plan states it.
struct Screen {
    text: PieceText,
    sizes: Wished,
    top: Length,
    spacing: Length,
    posts: Posts,
    slatted: Slatted,
    screw: Option<StockRef>,
}

/// The sizes as they are wished.
#[derive(Clone, Copy)]
struct Wished {
    length: Wish,
    back: Option<Wish>,
    height: Wish,
}

/// The sizes of a screen, as they are asked for.
struct Sizes {
    length: Affine,
    back: Option<Affine>,
    height: Affine,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let sizes = Wished {
        length: text.need_wish("length")?,
        back: text.values.wish("return"),
        height: text.need_wish("height")?,
    };
    let timber = Timber::needed(text, plan, "post")?;
    let deep = if sizes.back.is_some() { timber.thickness } else { Length::ZERO };
    let missing =
        || Problem::new(format!("nothing says how far apart the posts of `{}` are", text.name)).at(&text.place);
    let spacing = spacing(text, "spacing", timber.width.max(deep), plan.tape)?.ok_or_else(missing)?;
    Ok(Box::new(Screen {
        posts: Posts::of(text, plan, timber, &sizes, spacing)?,
        slatted: Slatted::of(text, plan, &timber, spacing)?,
        sizes,
        top: text.need_length("top")?,
        spacing,
        screw: stock_behind(text, plan, StockKind::Screw, "screw")?,
        text: text.clone(),
    }))
}

impl Piece for Screen {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let mut size = |key: &str, wish: Wish| {
            Affine::size(ask.size(&self.text.called(key), wish, self.text.values.place_of(key)))
        };
        let sizes = Sizes {
            length: size("length", self.sizes.length),
            back: self.sizes.back.map(|wish| size("return", wish)),
            height: size("height", self.sizes.height),
        };
        self.posts.ask(&self.text, ask, &sizes, self.spacing);
        let room = self.top - self.posts.highest_ground();
        let what = format!("the height of {}, from its top down to the highest ground,", self.text.name);
        ask.is_at_most(&what, Vec::new(), &sizes.height, room);
        self.slatted.ask(&self.text, ask, &sizes)?;
        let thickness = self.slatted.thickness();
        let past = if sizes.back.is_some() { thickness } else { Length::ZERO };
        let long = sizes.length + past;
        let deep = sizes.back.unwrap_or_else(|| self.posts.timber.thickness.into()) + thickness;
        let [x, y] = ask.stand_by_itself(&self.text.name, &long);
        Ok(Stand {
            outline: Outline::rectangle(long, deep),
            origin: [x, y + -thickness],
            bottom: Affine::from(self.top) - sizes.height,
            top: self.top.into(),
            has_faces: false,
            wall: None,
            batter: Length::ZERO,
        })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let stand = fitted.stand(&self.text.name)?;
        let place = self.place(stand, fitted)?;
        self.posts.set(&self.text, &place, out)?;
        self.slatted.lay(&self.text, &place, fitted, out)?;
        if let Some(screw) = self.screw {
            let own = |role: &str| Roles { piece: self.text.name.clone(), role: role.into() };
            let (held, base) = (own("slat"), own(self.slatted.base()));
            // Two at each crossing (*common practice*): one alone lets a slat turn.
            out.fixings.push(Fixing { held, base, screw, each: Some(2), load: Load::Own, air: None });
        }
        out.outlines.push(Ground::of(stand, fitted)?.drawn(&self.text.name));
        Ok(())
    }
}

/// Where a screen stands once the sizes are known.
struct Place {
    /// The front left corner of its first post.
    corner: [Length; 2],
    /// Over the posts, along the front.
    length: Length,
    /// The return, over its posts.
    back: Option<Length>,
    /// The lower edge of the slats.
    low: Length,
    /// The upper edge of slats and posts.
    top: Length,
    /// Where the posts along the front start, from the left.
    along: Vec<Length>,
    /// Where the posts of the return start, the corner post being the first of them.
    behind: Vec<Length>,
}

impl Screen {
    fn place(&self, stand: &Stand, fitted: &Fitted<'_>) -> Result<Place, Problem> {
        let sizes = fitted.sizes();
        let thickness = self.slatted.thickness();
        let side = |side: usize| stand.outline.sides()[side].length.at(sizes);
        let (length, back) = match self.sizes.back {
            Some(_) => (side(0) - thickness, Some(side(1) - thickness)),
            None => (side(0), None),
        };
        let [x, y] = [0, 1].map(|axis| stand.origin[axis].at(sizes));
        Ok(Place {
            corner: [x, y + thickness],
            length,
            back,
            low: stand.bottom.at(sizes),
            top: stand.top.at(sizes),
            along: self.posts.row(&self.text, length - self.posts.timber.width, self.spacing)?.starts().collect(),
            behind: match back {
                Some(back) => {
                    self.posts.row(&self.text, back - self.posts.timber.thickness, self.spacing)?.starts().collect()
                }
                None => Vec::new(),
            },
        })
    }
}

fn key(text: &PieceText, role: &str, face: &str, course: u32, index: u32) -> PartKey {
    PartKey { piece: text.name.clone(), role: role.into(), face: face.into(), course, index }
}
