//! `posts`: what holds walls together: a post in each corner, middle posts no further apart than a spacing, rails between them
//! and ties across.
//!
//! At right angles posts stand square to the faces; in other corners they are planed along one edge (`posts/planed.rs`).

mod lay;
pub(crate) mod planed;

use crate::Piece;
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::fittings::{self, Fitting};
use crate::named::stock_behind;
use crate::place::Ground;
use crate::spaced::spacing;
use crate::timber::Timber;
use crate::within::{Host, StandsOut, Within, floor_behind};
use measure::{Length, Tape};
use model::affine::Affine;
use model::build::{Build, Fixed, Fixing, Going, Load, Note, Roles, With, the};
use model::outline::Outline;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind};
use model::stock::StockRef;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// The keys of `posts`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "posts",
    doc: "Posts in the corners of walls and along them, with rails between them and ties across. In corners that are not right angles they are planed to fit.",
    fields: &[
        Field { key: "in", doc: "The walls that they hold.", kind: Kind::Piece, default: Default::Required },
        Field {
            key: "board",
            doc: "What they are cut from: its width lies along the face, its thickness away from it.",
            kind: BOARD,
            default: Default::Required,
        },
        Field {
            key: "stand",
            doc: "On which side of the walls they stand.",
            kind: Kind::Word(&[
                ("inside", "in the corners, against the inner faces"),
                ("outside", "against the front and the back of a rectangle, flush with its ends"),
            ]),
            default: Default::Text("inside"),
        },
        Field {
            key: "spacing",
            doc: "The most from centre to centre along a face: as many middle posts as that needs, none if left out.",
            kind: Kind::Length { least: 100, most: 5_000 },
            default: Default::Absent,
        },
        Field {
            key: "along",
            doc: "Which faces have middle posts, by name; all that have posts if left out.",
            kind: Kind::Faces,
            default: Default::Absent,
        },
        Field {
            key: "above-bottom",
            doc: "How far they begin above the lower edge of the walls; 0 if left out. Not together with `from` or `foot`.",
            kind: HEIGHT,
            default: Default::Absent,
        },
        Field {
            key: "from",
            doc: "The floor that they stand on. Not together with `above-bottom` or `foot`.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "foot",
            doc: "How far they reach below the lower edge of the walls, as feet. Not together with `above-bottom` or `from`.",
            kind: HEIGHT,
            default: Default::Absent,
        },
        Field {
            key: "below-top",
            doc: "How far they end below the top of the walls.",
            kind: HEIGHT,
            default: Default::Text("0"),
        },
        Field {
            key: "rail",
            doc: "A board on edge between neighbouring posts, its upper edge at the top of the walls.",
            kind: BOARD,
            default: Default::Absent,
        },
        Field {
            key: "tie",
            doc: "A board that lies flat from each middle post of the front to the one opposite and keeps the long sides from bulging.",
            kind: BOARD,
            default: Default::Absent,
        },
        Field {
            key: "screw",
            doc: "The screw that holds the boards or panels of the walls to posts and rails.",
            kind: Kind::Stock(StockKind::Screw),
            default: Default::Absent,
        },
        fittings::field("bracket", "The bracket that holds each tie at both ends."),
    ],
};

const BOARD: Kind = Kind::Stock(StockKind::Board);
const HEIGHT: Kind = Kind::Length { least: 0, most: 5_000 };

/// Posts as the plan states them.
struct Posts {
    text: PieceText,
    host: String,
    board: Timber,
    rail: Option<Timber>,
    tie: Option<Timber>,
    bracket: Option<Fitting>,
    screw: Option<StockRef>,
    outside: bool,
    spacing: Option<Length>,
    below_top: Length,
    /// The floor that they stand on, if it keeps off the walls, and how far.
    on_floor: Option<(String, Length)>,
    tape: Tape,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let board = Timber::needed(text, plan, "board")?;
    let posts = Posts {
        host: text.need_text("in")?,
        rail: Timber::behind(text, plan, "rail")?,
        tie: Timber::behind(text, plan, "tie")?,
        bracket: Fitting::behind(text, plan, "bracket")?,
        screw: stock_behind(text, plan, StockKind::Screw, "screw")?,
        outside: text.need_word("stand")? == "outside",
        spacing: spacing(text, "spacing", board.width, plan.tape)?,
        below_top: text.need_length("below-top")?,
        // What is no floor is told below, after what forbids `from` at all.
        on_floor: floor_behind(text, plan, "from").ok().flatten().and_then(|floor| {
            let clear = floor.values.length("clear").filter(|&clear| clear > Length::ZERO)?;
            Some((floor.name.clone(), clear))
        }),
        tape: plan.tape,
        board,
        text: text.clone(),
    };
    posts.hold_one_foot()?;
    posts.hold_corners(plan)?;
    posts.hold_floor(plan)?;
    posts.hold_rail()?;
    posts.hold_tie()?;
    Ok(Box::new(posts))
}

/// What the values of the keys forbid one another, whatever the sizes.
impl Posts {
    fn wrong(&self, key: &str, message: String, hint: impl Into<String>) -> Problem {
        Problem::new(message).at(&self.text.values.place_of(key)).hint(hint)
    }

    fn hold_one_foot(&self) -> Result<(), Problem> {
        let there: Vec<&str> =
            ["above-bottom", "from", "foot"].into_iter().filter(|key| self.text.values.has(key)).collect();
        match there.as_slice() {
            [first, second, ..] => {
                let both = format!("`{}` begins at two heights: by `{first}` and by `{second}`", self.text.name);
                Err(self.wrong(second, both, "keep one of `above-bottom`, `from` and `foot`"))
            }
            _ => Ok(()),
        }
    }

    fn hold_corners(&self, plan: &Plan) -> Result<(), Problem> {
        let stands_out = StandsOut::of(&self.text, plan)?;
        if self.outside {
            return Ok(());
        }
        if stands_out.posts.is_some() {
            let taken = format!("the walls of `{}` have posts in their corners already", self.host);
            return Err(self.wrong("in", taken, "give the walls other `corners`, or take these posts out"));
        }
        if stands_out.ribs.is_some() && self.rail.is_some() {
            let taken = format!("the ribs of `{}` stand where the rails of `{}` would run", self.host, self.text.name);
            return Err(self.wrong("rail", taken, "leave `rail` out, or let the posts stand outside"));
        }
        Ok(())
    }

    fn hold_floor(&self, plan: &Plan) -> Result<(), Problem> {
        let Some(name) = self.text.values.text("from") else { return Ok(()) };
        if self.outside {
            let inside = format!("`{}` stands outside, and `{name}` lies inside", self.text.name);
            return Err(self.wrong("from", inside, "take `from` out, or let the posts stand inside"));
        }
        if floor_behind(&self.text, plan, "from")?.is_some_and(|floor| floor.values.has("fall")) {
            let falls = format!("posts do not stand square on `{name}`, which falls to the front");
            return Err(self.wrong("from", falls, "take `fall` out of the floor, or keep it off the posts by `clear`"));
        }
        Ok(())
    }

    /// Rails lie beside the posts and within their depth, and every bay gives one that the stock reaches.
    fn hold_rail(&self) -> Result<(), Problem> {
        if let Some(rail) = self.rail.filter(|rail| self.below_top >= rail.width) {
            let [low, wide] = [self.below_top, rail.width].map(|length| self.tape.show_with_unit(length));
            let floats = format!(
                "the rails of `{}` are {wide} wide at the top, and its posts end {low} below it",
                self.text.name
            );
            return Err(self.wrong(
                "below-top",
                floats,
                "let the posts reach up between the rails, or leave `rail` out",
            ));
        }
        let Some(rail) = &self.rail else { return Ok(()) };
        if rail.thickness > self.board.thickness {
            let [rail, post] = [rail.thickness, self.board.thickness].map(|length| self.tape.show_with_unit(length));
            let thick = format!("a rail {rail} thick stands out of posts that are {post} deep");
            return Err(self.wrong(
                "rail",
                thick,
                "take a thinner board for the rails, or a thicker one for the posts",
            ));
        }
        match self.spacing.filter(|&spacing| spacing - self.board.width > rail.longest) {
            None => Ok(()),
            Some(spacing) => {
                let [apart, most] =
                    [spacing, rail.longest + self.board.width].map(|length| self.tape.show_with_unit(length));
                let long = format!("rails between posts {apart} apart are longer than any board for them");
                Err(self.wrong("spacing", long, format!("make `spacing` at most {most}")))
            }
        }
    }

    /// Ties lie on square posts, which stand opposite one another, and neither touch each other nor the posts of the sides.
    fn hold_tie(&self) -> Result<(), Problem> {
        fittings::holds(
            &self.text,
            "bracket",
            self.tie.is_some(),
            "brackets hold ties: name a `tie`, or leave it out",
        )?;
        let Some(tie) = &self.tie else { return Ok(()) };
        let (wide, deep) = (self.board.width, self.board.thickness);
        let Some(spacing) = self.spacing.filter(|_| !self.outside) else {
            let none = format!("`{}` has no middle posts inside that ties could lie between", self.text.name);
            return Err(self.wrong("tie", none, "add `spacing`, and let the posts stand inside"));
        };
        if wide != deep {
            let askew = "only square posts stand opposite one another, so that a tie lies straight";
            return Err(self.wrong("tie", askew.into(), "take a square board for the posts, or leave `tie` out"));
        }
        // Two bays may be as short as half a spacing each.
        let least = (deep * 2 + tie.width - wide).max(tie.width * 2);
        if spacing < least {
            let shown = self.tape.show_with_unit(least);
            let close = format!("ties of `{}` would touch one another or the posts of the sides", self.text.name);
            return Err(self.wrong("tie", close, format!("take a narrower board, or make `spacing` at least {shown}")));
        }
        Ok(())
    }
}

impl Posts {
    /// What they stand against: the inside of the walls, or their outside.
    fn line(&self, stand: &Stand) -> Stand {
        if self.outside { stand.clone() } else { stand.inside().unwrap_or_else(|| stand.clone()) }
    }

    /// What only right angles allow.
    fn hold_shape(&self, outline: &Outline) -> Result<(), Problem> {
        let (name, host) = (&self.text.name, &self.host);
        if self.outside && !outline.is_rectangle() {
            let other = format!("posts stand outside a rectangle only, and `{host}` is none");
            return Err(self.wrong("stand", other, "let them stand inside"));
        }
        if self.tie.is_some() && !outline.is_rectangle() {
            let other = format!("ties lie across a rectangle only, and `{host}` is none");
            return Err(self.wrong("tie", other, "leave `tie` out"));
        }
        let only_square = ["spacing", "along", "rail"].into_iter().find(|key| self.text.values.has(key));
        match only_square.filter(|_| !outline.is_right_angled()) {
            Some(key) => {
                let other = format!("the corners of `{host}` are not right angles: `{name}` has one post in each");
                Err(self.wrong(key, other, format!("leave `{key}` out")))
            }
            None => Ok(()),
        }
    }

    /// From which height to which.
    fn heights(&self, ask: &Ask<'_>, host: &Host) -> Result<[Affine; 2], Problem> {
        let values = &self.text.values;
        let bottom = match (values.length("foot"), values.length("above-bottom")) {
            (Some(foot), _) => host.stand.bottom.clone() + -foot,
            (_, Some(above)) => host.stand.bottom.clone() + above,
            _ if values.has("from") => host.holds(ask, &self.text, "from")?.top,
            _ => host.stand.bottom.clone(),
        };
        Ok([bottom, host.stand.top.clone() + -self.below_top])
    }

    /// Takes the room that the posts stand in.
    fn take_room(&self, ask: &mut Ask<'_>, stand: &Stand) -> Result<(), Problem> {
        let place = self.text.values.place_of("in");
        if self.outside {
            return [FRONT, BACK].into_iter().try_for_each(|side| ask.take(&self.host, side, &self.text.name, &place));
        }
        let (bottom, top) = (stand.bottom.clone(), stand.top.clone());
        let posts =
            Within { clear: Length::ZERO, deep: Some(self.board.thickness), bottom, top: top.clone(), loose: false };
        ask.stands_in(&self.host, &self.text.name, posts, &place)?;
        if let Some(rail) = &self.rail {
            let (head, deep) = (ask.stand(&self.host, &place)?.top, Some(rail.thickness));
            let rails =
                Within { clear: Length::ZERO, deep, bottom: head.clone() + -rail.width, top: head, loose: false };
            ask.stands_in(&self.host, &self.text.name, rails, &place)?;
        }
        if let Some(tie) = &self.tie {
            let bottom = top.clone() + -tie.thickness;
            let ties = Within { clear: self.board.thickness, deep: None, bottom, top, loose: false };
            ask.stands_in(&self.host, &self.text.name, ties, &place)?;
        }
        Ok(())
    }
}

/// The places of the faces of a rectangle that posts stand against from outside.
const FRONT: usize = 0;
const BACK: usize = 2;

impl Piece for Posts {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let host = Host::plumb(ask, &self.text)?;
        let line = self.line(&host.stand);
        self.hold_shape(&line.outline)?;
        let [bottom, top] = self.heights(ask, &host)?;
        let what = format!("the length of {}", the("post", &self.text.name));
        ask.comes_from_stock(&what, Vec::new(), &(top.clone() - bottom.clone()), self.board.longest);
        if line.outline.is_right_angled() {
            self.ask_square(ask, &line.outline, &host.stand, &(top.clone() - bottom.clone()))?;
        } else {
            self.ask_planed(ask, &line.outline)?;
        }
        let deep = if self.outside { self.board.thickness } else { Length::ZERO };
        let by: Vec<Length> =
            (0..line.outline.count()).map(|side| if side % 2 == 0 { deep } else { Length::ZERO }).collect();
        let stand = Stand { bottom, top, has_faces: false, wall: None, ..line.moved_out(&by) };
        self.take_room(ask, &stand)?;
        Ok(stand)
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        if let Some((floor, clear)) = &self.on_floor {
            let clear = self.tape.show_with_unit(*clear);
            let text = format!(
                "{floor} keeps {clear} off the walls, so {} stand on it in part or not at all: set them on packers, or let {floor} reach the walls.",
                the("post", &self.text.name)
            );
            out.notes.push(Note { piece: self.text.name.clone(), text });
        }
        if !self.outside {
            out.with.push(With { piece: self.text.name.clone(), to: self.host.clone(), going: Going::Stands });
        }
        let (host, own) = (fitted.stand(&self.host)?, fitted.stand(&self.text.name)?);
        let line = self.line(host);
        let ground = Ground::of(&line, fitted)?;
        let up = [own.bottom.at(fitted.sizes()), own.top.at(fitted.sizes())];
        out.quantities.extend(self.explain_length(up, host.top.at(fitted.sizes())));
        if line.outline.is_right_angled() {
            self.lay_square(&line.outline, &ground, up, host.top.at(fitted.sizes()), fitted.sizes(), out)?;
        } else {
            self.lay_planed(&line.outline, &ground, up, out);
        }
        self.fix(out);
        Ok(())
    }
}

impl Posts {
    fn explain_length(&self, up: [Length; 2], top: Length) -> Option<Quantity> {
        let inputs = vec![
            Input::new(format!("top of {}", self.host), Value::length(top)),
            Input::new("how far they end below it", Value::length(self.below_top)),
            Input::new("where they begin", Value::length(up[0])),
        ];
        Quantity::by(self.text.called("length"), "length of the posts", Of::Length, &POST_LENGTH, inputs)
    }

    /// The walls are screwed to posts and rails.
    fn fix(&self, out: &mut Build) {
        let roles = |piece: &str, role: &str| Roles { piece: piece.into(), role: role.into() };
        let of_walls = |role: &str| out.parts.iter().any(|part| part.key.piece == self.host && part.key.role == role);
        let held: Vec<&str> = ["board", "panel"].into_iter().filter(|role| of_walls(role)).collect();
        let bases = ["post", "rail"].into_iter().filter(|&role| role == "post" || self.rail.is_some());
        for (base, screw) in bases.flat_map(|base| self.screw.map(|screw| (base, screw))) {
            let fixing = |&role: &&str| Fixing {
                held: roles(&self.host, role),
                base: roles(&self.text.name, base),
                screw,
                each: None,
                load: Load::Outwards,
                air: None,
            };
            out.fixings.extend(held.iter().map(fixing));
        }
        out.fixed.push(Fixed { piece: self.text.name.clone(), to: self.host.clone() });
    }

    fn note(&self, text: String) -> Note {
        Note { piece: self.text.name.clone(), text }
    }
}

/// How long a post is.
pub(crate) static POST_LENGTH: Rule = Rule {
    id: "post-length",
    words: "A post reaches from where it begins to a little below the top of the walls that it holds",
    formula: "length = top - below the top - begin",
    inputs: &["top", "below the top", "begin"],
    source: "the plan",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [top, below, begin] => Some(top - below - begin),
        _ => None,
    },
    case: Case {
        given: &[440_000_000, 0, 52_000_000],
        gives: 388_000_000,
        source: "a rim at 440, posts on a floor whose top lies at 52: 388, worked outside this project",
    },
};

/// How long a rail between two posts is.
pub(crate) static RAIL_LENGTH: Rule = Rule {
    id: "rail-length",
    words: "A rail fits between two posts: what is left of the way from one post to the next after the post itself",
    formula: "length = pitch - post",
    inputs: &["pitch", "post"],
    source: "how rails between posts are cut",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [pitch, post] => Some(pitch - post),
        _ => None,
    },
    case: Case {
        given: &[474_333_333, 47_000_000],
        gives: 427_333_333,
        source: "posts of 47 that stand 474.3 apart leave 427.3 clear, worked by hand",
    },
};
