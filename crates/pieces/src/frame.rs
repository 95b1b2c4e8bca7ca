//! `frame`: what carries a deck: two rims, joists between them, and legs down to ground that need not be level.

mod legs;

use crate::abreast::{length, width};
use crate::ask::{Ask, Stand};
use crate::bays::Bays;
use crate::fitted::Fitted;
use crate::fittings::{self, Fitting};
use crate::named::stock_behind;
use crate::place::{Ground, boxed};
use crate::spaced::spacing;
use crate::timber::Timber;
use crate::{Piece, rules};
use legs::Legs;
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Fixed, Fixing, Load, Note, Roles, Step};
use model::outline::Outline;
use model::part::{Axis, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind};
use model::stock::StockRef;

pub(crate) use legs::BOLTS;

/// The keys of `frame`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "frame",
    doc: "What carries a deck: two rims along the front and the back, joists between them, and legs.",
    fields: &[
        Field {
            key: "under",
            doc: "The deck that it carries: `slats` that stand by themselves, their boards along the front.",
            kind: Kind::Piece,
            default: Default::Required,
        },
        Field {
            key: "inset",
            doc: "How far the boards reach beyond the frame, all round.",
            kind: Kind::Length { least: 0, most: 300 },
            default: Default::Text("20 mm"),
        },
        Field { key: "board", doc: "The board of rims and joists, on edge.", kind: BOARD, default: Default::Required },
        Field {
            key: "spacing",
            doc: "The most from one joist to the next, from middle to middle: what the boards of the deck span.",
            kind: Kind::Length { least: 100, most: 3_000 },
            default: Default::Required,
        },
        Field {
            key: "leg",
            doc: "The board of the legs, its wider face towards the front; without legs the frame lies on what you have put there.",
            kind: BOARD,
            default: Default::Absent,
        },
        Field {
            key: "legs",
            doc: "Where the legs stand.",
            kind: Kind::Word(&[
                ("under", "under the rims, flush with their outer faces; brackets hold them"),
                ("inside", "behind the rims, beside the joists, up to the boards; bolts hold them"),
            ]),
            default: Default::Text("under"),
        },
        Field {
            key: "leg-spacing",
            doc: "The most from one leg to the next along a rim, from middle to middle: what the rims span. Two legs to each rim if left out.",
            kind: Kind::Length { least: 100, most: 5_000 },
            default: Default::Absent,
        },
        Field {
            key: "ground",
            doc: "How high the ground lies at each leg, above the height from which `top` is measured; lower ground is negative. Those of the front from the left, then those of the back from the left. Level if left out.",
            kind: Kind::Lengths { least: -3_000, most: 3_000 },
            default: Default::Absent,
        },
        Field {
            key: "pad",
            doc: "What lies on the ground under each leg; nothing if left out.",
            kind: Kind::Length { least: 0, most: 500 },
            default: Default::Absent,
        },
        Field {
            key: "screw",
            doc: "The screw that holds the boards of the deck to the joists.",
            kind: Kind::Stock(StockKind::Screw),
            default: Default::Absent,
        },
        fittings::field("hanger", "The hanger or bracket that holds each joist at both ends."),
        fittings::field("bracket", "The bracket that holds each leg under its rim."),
        fittings::field("bolt", "The bolt, with its nut and washers, two of which hold each leg that stands inside."),
    ],
};

const BOARD: Kind = Kind::Stock(StockKind::Board);

/// A frame as the plan states it.
struct Frame {
    text: PieceText,
    under: String,
    inset: Length,
    board: Timber,
    spacing: Length,
    legs: Option<Legs>,
    screw: Option<StockRef>,
    hanger: Option<Fitting>,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let under = text.need_text("under")?;
    holds_deck(text, plan, &under)?;
    let board = Timber::needed(text, plan, "board")?;
    let missing =
        || Problem::new(format!("nothing says how far apart the joists of `{}` are", text.name)).at(&text.place);
    Ok(Box::new(Frame {
        under,
        inset: text.need_length("inset")?,
        spacing: spacing(text, "spacing", board.thickness, plan.tape)?.ok_or_else(missing)?,
        legs: Legs::of(text, plan, &board)?,
        board,
        screw: stock_behind(text, plan, StockKind::Screw, "screw")?,
        hanger: Fitting::behind(text, plan, "hanger")?,
        text: text.clone(),
    }))
}

/// Whether the piece above is a deck whose boards lie across the joists, and no other frame is under it.
fn holds_deck(text: &PieceText, plan: &Plan, under: &str) -> Result<(), Problem> {
    let place = text.values.place_of("under");
    let is_deck = |piece: &&PieceText| {
        piece.name == under && std::ptr::eq(piece.schema, &crate::slats::SCHEMA) && !piece.values.has("between")
    };
    let Some(deck) = plan.pieces.iter().find(is_deck) else {
        let other = Problem::new(format!("`{under}` is no deck, and a frame carries one")).at(&place);
        return Err(other.hint("name `slats` that have no `between`"));
    };
    if deck.values.word("boards") == Some("across") {
        let lie = format!("the boards of `{under}` lie from front to back, as the joists of `{}` do", text.name);
        return Err(Problem::new(lie).at(&place).hint(format!("let the boards of `{under}` lie along the front")));
    }
    let is_other = |piece: &&PieceText| {
        std::ptr::eq(piece.schema, text.schema)
            && piece.name != text.name
            && piece.values.text("under").as_deref() == Some(under)
    };
    match plan.pieces.iter().find(is_other) {
        Some(other) => {
            let both = format!("`{}` and `{}` are both under `{under}`, so they would overlap", text.name, other.name);
            Err(Problem::new(both).at(&place).hint("leave one of them out"))
        }
        None => Ok(()),
    }
}

impl Piece for Frame {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let deck = ask.stand(&self.under, &self.text.values.place_of("under"))?;
        let long = length(&deck) + self.inset * -2;
        let wide = width(&deck) + self.inset * -2;
        let (name, thickness) = (&self.text.name, self.board.thickness);
        ask.comes_from_stock(&format!("the rims of {name}"), Vec::new(), &long, self.board.longest);
        let joist = wide.clone() + thickness * -2;
        ask.comes_from_stock(&format!("the joists of {name}"), Vec::new(), &joist, self.board.longest);
        ask.is_there(&format!("between the joists of {name}"), Vec::new(), &(long.clone() + thickness * -2));
        // A deck's height is no size: it is a length of the plan.
        let upper = deck.bottom.constant();
        let lower = upper - self.board.width;
        self.holds_height(lower, ask)?;
        if let Some(legs) = &self.legs {
            legs.ask(&self.text, ask, [&long, &wide], [lower, upper], thickness)?;
        }
        let origin = [0, 1].map(|axis| deck.origin[axis].clone() + self.inset);
        Ok(Stand {
            outline: Outline::rectangle(long, wide),
            origin,
            bottom: lower.into(),
            top: upper.into(),
            has_faces: true,
            wall: None,
            batter: Length::ZERO,
        })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let stand = fitted.stand(&self.text.name)?;
        let sizes = fitted.sizes();
        let [x, y] = [0, 1].map(|axis| stand.origin[axis].at(sizes));
        let place = Place {
            corner: [x, y, stand.bottom.at(sizes)],
            long: length(stand).at(sizes),
            wide: width(stand).at(sizes),
            upper: stand.top.at(sizes),
        };
        self.explain(fitted, out)?;
        let joists = self.lay(&place, out)?;
        if let Some(legs) = &self.legs {
            legs.stand(&self.text, &place, &joists, &self.board, out)?;
        }
        self.fix(joists.len(), out);
        out.outlines.push(Ground::of(stand, fitted)?.drawn(&self.text.name));
        Ok(())
    }
}

/// Where a frame lies once the sizes are known.
struct Place {
    /// Its corner with least x, y and z, without the legs.
    corner: [Length; 3],
    /// Along the front.
    long: Length,
    /// From front to back.
    wide: Length,
    /// The height of its upper edge.
    upper: Length,
}

impl Frame {
    /// Whether the frame stays above the ground.
    fn holds_height(&self, lower: Length, ask: &Ask<'_>) -> Result<(), Problem> {
        let highest = self.legs.as_ref().map_or(Length::ZERO, Legs::highest_ground);
        if lower >= highest {
            return Ok(());
        }
        let [lower, highest] = [lower, highest].map(|length| ask.tape().show_with_unit(length));
        let deep =
            format!("the lower edge of `{}` would be {lower} up, where the ground reaches {highest}", self.text.name);
        let hint = format!("make `top` of `{}` higher, or take narrower boards", self.under);
        Err(Problem::new(deep).at(&self.text.place).hint(hint))
    }

    fn explain(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let deck = fitted.stand(&self.under)?;
        let [long, wide] = [length(deck), width(deck)].map(|whole: Affine| whole.at(fitted.sizes()));
        let called = |what: &str| self.text.called(what);
        out.quantities.extend(rules::between_ends(called("rim.length"), "length of the rims", long, self.inset));
        out.quantities.extend(rules::between_ends(called("width"), "from front to back", wide, self.inset));
        let inner = wide - self.inset * 2;
        let joist = rules::between_ends(called("joist.length"), "length of the joists", inner, self.board.thickness);
        out.quantities.extend(joist);
        Ok(())
    }

    /// Lays rims and joists, and says where each joist starts.
    fn lay(&self, place: &Place, out: &mut Build) -> Result<Vec<Length>, Problem> {
        let Timber { width, thickness, stock, .. } = self.board;
        let [x, y, z] = place.corner;
        let mut parts = Vec::new();
        for (face, near) in [("front", y), ("back", y + place.wide - thickness)] {
            let key = key(&self.text, "rim", face, 0);
            let extent = [place.long, thickness, width];
            out.parts.push(boxed([x, near, z], extent, [Axis::X, Axis::Z], key.clone(), stock));
            parts.push(key);
        }
        let bays =
            Bays::needed(place.long - thickness, Some(self.spacing)).ok_or_else(|| uncounted(&self.text, "joists"))?;
        bays.explain(&self.text.called("joist"), &format!("the joists of {}", self.text.name), out);
        let starts: Vec<Length> = bays.starts().collect();
        for (index, &start) in starts.iter().enumerate() {
            // Bays are counted in a u32.
            let key = key(&self.text, "joist", "front", index as u32);
            let extent = [thickness, place.wide - thickness * 2, width];
            let corner = [x + start, y + thickness, z];
            out.parts.push(boxed(corner, extent, [Axis::Y, Axis::Z], key.clone(), stock));
            parts.push(key);
        }
        out.steps.push(self.step(parts));
        Ok(starts)
    }

    fn step(&self, parts: Vec<PartKey>) -> Step {
        let name = &self.text.name;
        let onto = if self.legs.is_some() { "onto its legs" } else { "to its place" };
        let hung = match &self.hanger {
            Some(_) => format!(", each joist in {} at both ends", Fitting::said(self.hanger.as_ref(), "")),
            None => String::new(),
        };
        let what = format!(
            "Join the rims and joists of {name} on a level place{hung}, all upper edges flush, brace it when both diagonals are alike, and bring it {onto}, level"
        );
        let caution = "Saw with the guard in place and the work held; wear a mask and gloves with treated wood and do not burn its offcuts; two people turn and carry the frame";
        Step { piece: name.clone(), what, caution: Some(caution.into()), parts }
    }

    fn fix(&self, joists: usize, out: &mut Build) {
        let name = &self.text.name;
        out.fixed.push(Fixed { piece: name.clone(), to: self.under.clone() });
        let bracket = Fitting::said(self.hanger.as_ref(), "a bracket");
        let text = format!(
            "Screws through the rims of {name} would sit in the end grain of the joists, where they hardly hold: hang each joist in {bracket} at both ends."
        );
        if let Some(hanger) = &self.hanger {
            hanger.for_each(&self.text, "joist", joists, 2, out);
        }
        out.notes.push(Note { piece: name.clone(), text });
        if let Some(screw) = self.screw {
            let held = Roles { piece: self.under.clone(), role: "board".into() };
            let base = Roles { piece: name.clone(), role: "joist".into() };
            out.fixings.push(Fixing { held, base, screw, each: None, load: Load::Down, air: None });
        }
    }
}

fn key(text: &PieceText, role: &str, face: &str, index: u32) -> PartKey {
    PartKey { piece: text.name.clone(), role: role.into(), face: face.into(), course: 0, index }
}

fn uncounted(text: &PieceText, what: &str) -> Problem {
    Problem::new(format!("nothing says how many {what} `{}` has", text.name)).at(&text.place)
}
