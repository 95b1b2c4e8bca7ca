//! A seat between two pieces: boards from the one to the other, on a ledger at each and on bearers with legs between them.

use super::{key, row_of_boards};
use crate::abreast::{abreast, far_end, width};
use crate::ask::{Ask, RowAsk, SHORTEST, Stand};
use crate::bays::Bays;
use crate::fitted::{Fitted, explain_row};
use crate::named::stock_behind;
use crate::place::{Ground, boxed};
use crate::timber::Timber;
use crate::{Piece, rules};
use measure::{Length, Tape};
use model::affine::Affine;
use model::build::{Build, Fixed, Fixing, Load, Note, Roles, Step};
use model::outline::Outline;
use model::part::{Axis, Part, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{StockKind, Wish};
use model::stock::StockRef;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// How far two pieces stand apart.
pub static CLEAR: Rule = Rule {
    id: "clear",
    words: "Between two pieces is what lies from the far face of the left one to the near face of the right one",
    formula: "clear = place of the right one - place of the left one - length of the left one",
    inputs: &["place of the right one", "place of the left one", "length of the left one"],
    source: "where the two stand",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [right, left, length] => Some(right - left - length),
        _ => None,
    },
    case: Case {
        given: &[2_021_000_000, 0, 477_000_000],
        gives: 1_544_000_000,
        source: "two planters of 477 in 2498: 1544 between them, worked outside this project",
    },
};

/// What ledgers and bearers stop short of front and back if the plan does not say (*common practice*: out of sight and out of
/// the way of the legs of whoever sits there).
const SHORT: Length = Length::mm(20);

/// Screws from a piece into a ledger for each board that it touches, if the plan does not say.
const LEDGER_SCREWS: u32 = 4;

/// A seat as the plan states it.
struct Seat {
    text: PieceText,
    left: Neighbour,
    right: Neighbour,
    board: Timber,
    gap: Wish,
    top: Option<Length>,
    play: Length,
    short: Length,
    ledger: Timber,
    supports: Option<Supports>,
    screw: Option<StockRef>,
    ledger_screws: u32,
}

/// One of the two pieces.
struct Neighbour {
    name: String,
    /// What its faces are of: `board` or `panel`.
    role: &'static str,
}

/// What carries a seat on its way.
struct Supports {
    bearer: Timber,
    span: Length,
    leg: Timber,
    foot: Length,
}

pub(super) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let [left, right] = neighbours(text, plan)?;
    if text.need_word("boards")? != "along" {
        let place = text.values.place_of("boards");
        let lies = format!("the boards of the seat `{}` run from piece to piece", text.name);
        return Err(Problem::new(lies).at(&place).hint("leave `boards` out"));
    }
    let ledger = Timber::needed(text, plan, "ledger")?;
    let screw = stock_behind(text, plan, StockKind::Screw, "screw")?;
    Ok(Box::new(Seat {
        left,
        right,
        board: Timber::needed(text, plan, "board")?,
        gap: text.need_wish("gap")?,
        top: text.values.length("top"),
        play: text.values.length("play").unwrap_or(Length::ZERO),
        short: text.values.length("short").unwrap_or(SHORT),
        supports: supports(text, plan, &ledger)?,
        ledger,
        screw,
        ledger_screws: text.values.count("ledger-screws").unwrap_or(LEDGER_SCREWS),
        text: text.clone(),
    }))
}

fn neighbours(text: &PieceText, plan: &Plan) -> Result<[Neighbour; 2], Problem> {
    let names = text.values.names("between").unwrap_or_default();
    let [left, right] = <[String; 2]>::try_from(names).map_err(|names| {
        let count = Problem::new(format!("a seat lies between two pieces, and `between` names {}", names.len()));
        count.at(&text.values.place_of("between")).hint("name the left one and the right one")
    })?;
    if let Some(name) = [&left, &right].into_iter().find(|name| is_covered(name, plan)) {
        let covers = format!(
            "`{name}` is clad board on board: a ledger would hang on its covering boards alone, and nothing in this plan holds those"
        );
        let place = text.values.place_of("between");
        return Err(Problem::new(covers).at(&place).hint(format!(
            "let the seat lie between the walls, and leave the face where it lies out of the `faces` of `{name}`"
        )));
    }
    let of_sheet = |name: &str| plan.pieces.iter().any(|piece| piece.name == name && piece.values.has("sheet"));
    Ok([left, right].map(|name| Neighbour { role: if of_sheet(&name) { "panel" } else { "board" }, name }))
}

/// Whether a piece is a cladding whose outer boards only cover gaps.
fn is_covered(name: &str, plan: &Plan) -> bool {
    let cladding = |piece: &&PieceText| piece.name == name && piece.schema.name == "cladding";
    plan.pieces.iter().find(cladding).is_some_and(|piece| piece.values.word("boards") == Some("board on board"))
}

/// Bearers, their span and their legs come together, and leave room for one another.
fn supports(text: &PieceText, plan: &Plan, ledger: &Timber) -> Result<Option<Supports>, Problem> {
    const TOGETHER: [&str; 3] = ["bearer", "span", "leg"];
    let missing = TOGETHER.into_iter().find(|key| !text.values.has(key));
    let there = ["bearer", "span", "leg", "foot"].into_iter().find(|key| text.values.has(key));
    let (missing, there) = match (missing, there) {
        (_, None) => return Ok(None),
        (missing, Some(there)) => (missing, there),
    };
    if let Some(missing) = missing {
        let lone = Problem::new(format!("`{}` has `{there}` and no `{missing}`", text.name));
        let place = text.values.place_of(there);
        return Err(lone.at(&place).hint("bearers stand on legs: give `bearer`, `span` and `leg`, or none of them"));
    }
    let (bearer, leg) = (Timber::needed(text, plan, "bearer")?, Timber::needed(text, plan, "leg")?);
    let span = text.need_length("span")?;
    has_room(text, plan.tape, span, [&bearer, &leg, ledger])?;
    let foot = text.values.length("foot").unwrap_or(Length::ZERO);
    Ok(Some(Supports { bearer, span, leg, foot }))
}

/// A way a little longer than the span has two bays of half of it, and in each stand half a bearer, a leg and a ledger.
fn has_room(text: &PieceText, tape: Tape, span: Length, [bearer, leg, ledger]: [&Timber; 3]) -> Result<(), Problem> {
    let least = bearer.thickness + (leg.width + ledger.thickness + SHORTEST) * 2;
    if span >= least {
        return Ok(());
    }
    let [span, least] = [span, least].map(|length| tape.show_with_unit(length));
    let close = format!("with a span of {span} the legs of `{}` could stand in one another", text.name);
    Err(Problem::new(close).at(&text.values.place_of("span")).hint(format!("make `span` at least {least}")))
}

impl Seat {
    fn names(&self) -> [&str; 2] {
        [&self.left.name, &self.right.name]
    }

    /// Limits for what lies across, from front to back.
    fn ask_across(&self, ask: &mut Ask<'_>, wide: &Affine, under: &Affine) {
        let name = &self.text.name;
        let long = wide.clone() + self.short * -2;
        ask.comes_from_stock(&format!("the ledgers of {name}"), Vec::new(), &long, self.ledger.longest);
        let Some(Supports { bearer, leg, foot, .. }) = &self.supports else { return };
        ask.comes_from_stock(&format!("the bearers of {name}"), Vec::new(), &long, bearer.longest);
        ask.is_there(&format!("between the legs of {name}"), Vec::new(), &(long + leg.thickness * -2));
        let leg_long = under.clone() + -*foot;
        ask.comes_from_stock(&format!("the legs of {name}"), Vec::new(), &leg_long, leg.longest);
        let low = under.clone() + -bearer.width;
        ask.is_at_least(&format!("the lower edge of the bearers of {name}"), Vec::new(), &low, *foot);
    }

    /// A ledger lies against a face: it ends neither above nor below it.
    fn ask_heights(&self, ask: &mut Ask<'_>, stands: &[Stand], under: &Affine) {
        for (stand, other) in stands.iter().zip(self.names()) {
            let above = stand.top.clone() - under.clone();
            let what = format!("the height of {other} above the underside of {}", self.text.name);
            ask.is_at_least(&what, Vec::new(), &above, Length::ZERO);
            let below = under.clone() + -self.ledger.width - stand.bottom.clone();
            let what = format!("the height of the ledgers of {} above the lower edge of {other}", self.text.name);
            ask.is_at_least(&what, Vec::new(), &below, Length::ZERO);
        }
    }

    /// Nothing stands where its boards go.
    fn hold_way(&self, ask: &Ask<'_>) -> Result<(), Problem> {
        let [left, right] = self.names();
        let Some(other) = ask.stands_between(left, right) else { return Ok(()) };
        let through =
            format!("`{other}` stands between `{left}` and `{right}`, where the boards of `{}` go", self.text.name);
        let place = self.text.values.place_of("between");
        Err(Problem::new(through)
            .at(&place)
            .hint("let a seat lie between two neighbours, and another one between the next two"))
    }

    /// The faces that the ledgers lie against.
    fn take_faces(&self, ask: &mut Ask<'_>, stands: &[Stand]) -> Result<(), Problem> {
        let place = self.text.values.place_of("between");
        for ((stand, other), face) in stands.iter().zip(self.names()).zip(["right", "left"]) {
            let side = stand.outline.find(face).filter(|_| stand.has_faces).ok_or_else(|| {
                let loose = Problem::new(format!("nothing can be fixed to the {face} of `{other}`")).at(&place);
                loose.hint("a seat lies between walls, or their claddings")
            })?;
            ask.take(other, side, &self.text.name, &place)?;
        }
        Ok(())
    }
}

impl Piece for Seat {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let stands = abreast(ask, &self.text, "between")?;
        let [left, right] = [&stands[0], &stands[1]];
        let clear = right.origin[0].clone() - far_end(left);
        self.hold_way(ask)?;
        self.take_faces(ask, &stands)?;
        let name = &self.text.name;
        let wide = width(left);
        let gap = ask.gap(&self.text.called("gap"), self.gap, self.text.values.place_of("gap"));
        let (row, pattern) = (&self.text.called("right"), &[self.board.width]);
        ask.row(RowAsk {
            name: row,
            when: Vec::new(),
            face: wide.clone(),
            pattern,
            more: 0,
            end_gaps: 0,
            gap,
            times: 1,
        });
        let long = clear.clone() + self.play * -2;
        ask.comes_from_stock(&format!("the boards of {name}"), Vec::new(), &long, self.board.longest);
        let between = clear + self.ledger.thickness * -2;
        ask.is_there(&format!("between the ledgers of {name}"), Vec::new(), &between);
        let top = self.top.map_or_else(|| left.top.clone(), Affine::from);
        let under = top.clone() + -self.board.thickness;
        self.ask_across(ask, &wide, &under);
        self.ask_heights(ask, &stands, &under);
        let origin = [far_end(left) + self.play, left.origin[1].clone()];
        let outline = Outline::rectangle(long, wide);
        Ok(Stand { outline, origin, bottom: under, top, has_faces: false, wall: None, batter: Length::ZERO })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let room = self.room(fitted)?;
        self.explain_room(&room, fitted, out)?;
        self.lay_ledgers(&room, out);
        self.stand_bearers(&room, out)?;
        self.lay_boards(&room, fitted, out)?;
        self.fix(out);
        out.outlines.push(Ground::of(fitted.stand(&self.text.name)?, fitted)?.drawn(&self.text.name));
        Ok(())
    }
}

/// Where a seat lies once the sizes are known.
struct Room {
    /// The far face of the left piece.
    x: Length,
    /// The front.
    y: Length,
    /// To the near face of the right piece.
    clear: Length,
    wide: Length,
    /// The underside of the boards.
    under: Length,
    /// How long ledgers and bearers are.
    across: Length,
}

impl Seat {
    fn room(&self, fitted: &Fitted<'_>) -> Result<Room, Problem> {
        let [left, right] = [fitted.stand(&self.left.name)?, fitted.stand(&self.right.name)?];
        let sizes = fitted.sizes();
        let (x, wide) = (far_end(left).at(sizes), width(left).at(sizes));
        Ok(Room {
            x,
            y: left.origin[1].at(sizes),
            clear: right.origin[0].at(sizes) - x,
            wide,
            under: fitted.stand(&self.text.name)?.bottom.at(sizes),
            across: wide - self.short * 2,
        })
    }

    fn explain_room(&self, room: &Room, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let [left, right] = [fitted.stand(&self.left.name)?, fitted.stand(&self.right.name)?];
        let place = |stand: &Stand| Value::length(stand.origin[0].at(fitted.sizes()));
        let long = room.x - left.origin[0].at(fitted.sizes());
        let inputs = vec![
            Input::new(format!("where {} begins", self.right.name), place(right)),
            Input::new(format!("where {} begins", self.left.name), place(left)),
            Input::new(format!("how long {} is", self.left.name), Value::length(long)),
        ];
        let clear = Quantity::by(self.text.called("clear"), "between the two pieces", Of::Length, &CLEAR, inputs);
        out.quantities.extend(clear);
        let long = |role: &str, whole, off| {
            rules::between_ends(
                self.text.called(&format!("{role}.length")),
                &format!("length of the {role}s"),
                whole,
                off,
            )
        };
        out.quantities.extend(long("board", room.clear, self.play));
        out.quantities.extend(long("ledger", room.wide, self.short));
        if self.supports.is_some() {
            out.quantities.extend(long("bearer", room.wide, self.short));
        }
        Ok(())
    }

    fn lay_ledgers(&self, room: &Room, out: &mut Build) {
        let Timber { width, thickness, stock, .. } = self.ledger;
        let mut parts = Vec::new();
        for (face, x) in [("right", room.x), ("left", room.x + room.clear - thickness)] {
            let key = key(&self.text, "ledger", face, 0);
            let corner = [x, room.y + self.short, room.under - width];
            out.parts.push(boxed(corner, [thickness, room.across, width], [Axis::Y, Axis::Z], key.clone(), stock));
            parts.push(key);
        }
        let [left, right] = self.names();
        let what = format!(
            "Fix the ledgers of {} to {left} and {right}, their upper edges level with each other",
            self.text.name
        );
        let caution =
            "Clamp each ledger before you drill, keep your hands out of the line of the bit, and wear goggles";
        out.steps.push(Step { piece: self.text.name.clone(), what, caution: Some(caution.into()), parts });
    }

    fn stand_bearers(&self, room: &Room, out: &mut Build) -> Result<(), Problem> {
        let Some(Supports { bearer, span, leg, foot }) = &self.supports else { return Ok(()) };
        let uncounted = || Problem::new(format!("nothing says how many bearers `{}` needs", self.text.name));
        let bays = Bays::needed(room.clear, Some(*span)).ok_or_else(uncounted)?;
        bays.explain(&self.text.called("bearer"), &format!("the supports of {}", self.text.name), out);
        let mut parts = Vec::new();
        for index in 1..bays.count() {
            let left = room.x + left_of_bearer(room.clear, bays.count(), index, bearer.thickness);
            let alone = self.bearer(room, left, bearer, index - 1);
            let legs = self.legs(room, left + bearer.thickness, leg, *foot, index - 1);
            for part in std::iter::once(alone).chain(legs) {
                parts.push(part.key.clone());
                out.parts.push(part);
            }
        }
        if parts.is_empty() {
            return Ok(());
        }
        let long = rules::leg_length(self.text.called("leg.length"), room.under, Length::ZERO, *foot);
        out.quantities.extend(long);
        let what = format!(
            "Fix two legs to each bearer of {}, flush with its upper edge, and stand the bearers between the ledgers, level with them",
            self.text.name
        );
        out.steps.push(Step { piece: self.text.name.clone(), what, caution: None, parts });
        Ok(())
    }

    fn bearer(&self, room: &Room, left: Length, bearer: &Timber, index: u32) -> Part {
        let corner = [left, room.y + self.short, room.under - bearer.width];
        let extent = [bearer.thickness, room.across, bearer.width];
        boxed(corner, extent, [Axis::Y, Axis::Z], key(&self.text, "bearer", "front", index), bearer.stock)
    }

    fn legs(&self, room: &Room, x: Length, leg: &Timber, foot: Length, index: u32) -> [Part; 2] {
        let near = room.y + self.short;
        [("front", near), ("back", near + room.across - leg.thickness)].map(|(face, y)| {
            let extent = [leg.width, leg.thickness, room.under - foot];
            boxed([x, y, foot], extent, [Axis::Z, Axis::X], key(&self.text, "leg", face, index), leg.stock)
        })
    }

    fn lay_boards(&self, room: &Room, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let fit = fitted.need_row(&self.text.called("right"))?;
        let row = row_of_boards(&self.text, &self.board, "right", room.wide, fit);
        let Timber { width, thickness, stock, .. } = self.board;
        let mut parts: Vec<PartKey> = Vec::new();
        for (index, start) in row.starts().enumerate() {
            // Members are counted by fit, whose counts stay far below a u32.
            let key = key(&self.text, "board", "front", index as u32);
            let extent = [room.clear - self.play * 2, width, thickness];
            let corner = [room.x + self.play, room.y + start, room.under];
            out.parts.push(boxed(corner, extent, [Axis::X, Axis::Y], key.clone(), stock));
            parts.push(key);
        }
        explain_row(out, row);
        let name = &self.text.name;
        let what = format!(
            "Measure from {} to {} as they stand, cut the boards of {name} to that, and fix them by the marks of the rod",
            self.left.name, self.right.name
        );
        let caution = "Saw with the guard in place and the work held; round over every edge that a hand or a leg can touch, and sink the screws";
        out.steps.push(Step { piece: name.clone(), what, caution: Some(caution.into()), parts });
        Ok(())
    }

    fn fix(&self, out: &mut Build) {
        let name = &self.text.name;
        for other in [&self.left, &self.right] {
            out.fixed.push(Fixed { piece: name.clone(), to: other.name.clone() });
        }
        if self.play == Length::ZERO {
            let text = format!(
                "The boards of {name} stand with their end grain hard against {} and {}, and go in only if the two stand exactly right. With `play` they keep off, dry sooner, and go in all the same.",
                self.left.name, self.right.name
            );
            out.notes.push(Note { piece: name.clone(), text });
        }
        let Some(screw) = self.screw else { return };
        let own = |role: &str| Roles { piece: name.clone(), role: role.into() };
        let mut fixing = |held, base, each, load| {
            out.fixings.push(Fixing { held, base, screw, each, load, air: None });
        };
        fixing(own("board"), own("ledger"), None, Load::Down);
        for other in [&self.left, &self.right] {
            let held = Roles { piece: other.name.clone(), role: other.role.into() };
            fixing(held, own("ledger"), Some(self.ledger_screws), Load::DownOnBase);
        }
        if self.supports.is_some() {
            fixing(own("board"), own("bearer"), None, Load::Down);
            fixing(own("bearer"), own("leg"), None, Load::Down);
        }
    }
}

/// From the left piece to the left face of a bearer whose middle lies at `clear · index / bays`, down to the nanometre below.
fn left_of_bearer(clear: Length, bays: u32, index: u32, thickness: Length) -> Length {
    let bays = i128::from(bays);
    let twice = 2 * i128::from(clear.nanometres()) * i128::from(index) - i128::from(thickness.nanometres()) * bays;
    // It lies between the two pieces, which are a length apart.
    Length::nm(twice.div_euclid(2 * bays) as i64)
}
